"""Addresses of the coach's work on a block: an entry, what came between, review, links; and of the catalogue."""

from __future__ import annotations

from django.urls import path

from setwright.web.views import catalogue, changes, changing, kept, review, sharing

urlpatterns = [
    path("t/<uuid:trainee_id>/block/<str:block_id>/entry/", changing.entry, name="entry"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/add/", changing.add, name="add-entry"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/lock/", changing.lock_one, name="lock"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/between/", changing.between, name="between"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/back/", changes.back, name="put-back"),
    path("t/<uuid:trainee_id>/compare/", changes.compare, name="compare"),
    path("t/<uuid:trainee_id>/review/", review.review, name="review"),
    path("t/<uuid:trainee_id>/review/<str:slug>.svg", review.picture, name="review-picture"),
    path("t/<uuid:trainee_id>/links/", sharing.links, name="links"),
    path("t/<uuid:trainee_id>/links/<int:share_id>/withdraw/", sharing.withdraw, name="withdraw-link"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/publish/", sharing.publish, name="publish"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/keep/", kept.from_block, name="keep"),
    path("kept/", kept.listed, name="kept"),
    path("kept/new/", kept.new, name="new-kept"),
    path("kept/<str:kept_slug>/", kept.one, name="kept-one"),
    path("kept/<str:kept_slug>/use/", kept.use, name="use-kept"),
    path("kept/<str:kept_slug>/fit/", kept.fit, name="fit-kept"),
    path("p/<str:secret>/", sharing.public, name="public"),
    path("p/<str:secret>/session.pdf", sharing.public_paper, name="public-paper"),
    path("p/<str:secret>/session.txt", sharing.public_text, name="public-text"),
    path("exercises/", catalogue.listed, name="catalogue"),
    path("exercises/new/", catalogue.new, name="new-exercise"),
    path("exercises/own/<str:slug>/", catalogue.own, name="own-exercise"),
    path("exercises/<str:slug>/", catalogue.one, name="exercise"),
    path("s/<str:secret>.ics", sharing.shared_calendar, name="shared-calendar"),
    path("s/<str:secret>/", sharing.shared, name="shared"),
    path("s/<str:secret>/<int:week>/<str:weekday>/", sharing.shared_session, name="shared-session"),
]
