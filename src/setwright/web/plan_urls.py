"""Addresses of the coach's work on a block: one entry of it, what came between, comparing."""

from __future__ import annotations

from django.urls import path

from setwright.web.views import changing

urlpatterns = [
    path("t/<uuid:trainee_id>/block/<str:block_id>/entry/", changing.entry, name="entry"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/lock/", changing.lock_one, name="lock"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/between/", changing.between, name="between"),
]
