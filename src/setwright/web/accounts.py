"""Log-ins come from invitations only: nobody signs up by themselves."""

from __future__ import annotations

from typing import ClassVar

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class ByInvitation(DefaultAccountAdapter):
    """No open sign-up; no mail is ever sent."""

    error_messages: ClassVar = {
        **DefaultAccountAdapter.error_messages,
        "username_password_mismatch": "That name and password don't belong together.",
        "too_many_login_attempts": "Too many wrong passwords for this name. Wait five minutes, then try again.",
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Never: see ``views.join``."""
        return False

    def send_mail(self, template_prefix: str, email: str, context: dict[str, object]) -> None:
        """No mail: a new link comes from the coach."""
