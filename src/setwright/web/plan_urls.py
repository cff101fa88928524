"""Addresses of the coach's work on a block: one entry of it, what came between, comparing."""

from __future__ import annotations

from django.urls import path

from setwright.web.views import changing, review

urlpatterns = [
    path("t/<uuid:trainee_id>/block/<str:block_id>/entry/", changing.entry, name="entry"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/lock/", changing.lock_one, name="lock"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/between/", changing.between, name="between"),
    path("t/<uuid:trainee_id>/review/", review.review, name="review"),
    path("t/<uuid:trainee_id>/review/<str:slug>.svg", review.picture, name="review-picture"),
]
