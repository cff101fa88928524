"""One's own log-in: password, a second step, passkeys, and the end of every log-in of mine."""

from __future__ import annotations

from allauth.mfa.models import Authenticator
from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from setwright.services.desk.log_ins import end_log_ins, open_log_ins


@require_GET
@never_cache
@login_required
def own(request: HttpRequest) -> HttpResponse:
    """What protects the log-in, and what can be changed."""
    mine = Authenticator.objects.filter(user=request.user)
    codes = mine.filter(type=Authenticator.Type.RECOVERY_CODES).first()
    values = {
        "has_codes_app": mine.filter(type=Authenticator.Type.TOTP).exists(),
        "keys": mine.filter(type=Authenticator.Type.WEBAUTHN).count(),
        "codes_left": None if codes is None else len(codes.wrap().get_unused_codes()),
        "devices": sum(1 for _ in open_log_ins(request.user)),
    }
    return render(request, "log_in.html", values)


@require_POST
@login_required
def end_all(request: HttpRequest) -> HttpResponse:
    """Ends every log-in of who asks, this one too."""
    count = end_log_ins(request.user)
    logout(request)
    messages.success(request, f"{count} log-in{'s' if count != 1 else ''} of yours ended, this one too.")
    return redirect("account_login")


@require_GET
def by_invitation(request: HttpRequest) -> HttpResponse:
    """What stands where others let people sign up, or send a new password by mail."""
    lines = ["Log-ins are made by invitation. If you have none, or lost yours, your coach makes you a new link."]
    return render(request, "fault.html", {"title": "Ask your coach", "lines": lines})
