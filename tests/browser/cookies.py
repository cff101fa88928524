"""Somebody logged in, without the page where one logs in."""

from __future__ import annotations

from typing import Any


def log_in_cookie(user: Any, url: str) -> dict[str, str]:
    """The session cookie of a user."""
    from django.conf import settings
    from django.test import Client

    client = Client()
    client.force_login(user)
    return {
        "name": settings.SESSION_COOKIE_NAME,
        "value": client.cookies[settings.SESSION_COOKIE_NAME].value,
        "url": url,
    }
