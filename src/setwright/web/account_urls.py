"""Addresses of log-in, password and second step. Nobody signs up by themselves, and no mail is ever sent."""

from __future__ import annotations

from allauth.account import views as account
from django.urls import include, path
from django.views.generic import RedirectView

from setwright.web.views import log_in

urlpatterns = [
    path("", log_in.own, name="own-log-in"),
    path("end-all/", log_in.end_all, name="end-log-ins"),
    path("login/", account.login, name="account_login"),
    path("logout/", account.logout, name="account_logout"),
    path("inactive/", account.account_inactive, name="account_inactive"),
    path("reauthenticate/", account.reauthenticate, name="account_reauthenticate"),
    path("password/change/", account.password_change, name="account_change_password"),
    # the library asks for these names
    path("signup/", log_in.by_invitation, name="account_signup"),
    path("password/reset/", log_in.by_invitation, name="account_reset_password"),
    path("email/", RedirectView.as_view(pattern_name="own-log-in"), name="account_email"),
    path("2fa/", RedirectView.as_view(pattern_name="own-log-in"), name="mfa_index"),
    path("2fa/", include("allauth.mfa.urls")),
]
