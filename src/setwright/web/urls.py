"""Every address of the application."""

from __future__ import annotations

from django.urls import include, path

from setwright.web.views import (
    account,
    block,
    changes,
    day,
    importing,
    intake,
    jobs,
    making,
    places,
    roster,
    sore,
    trainee,
    worker,
)

urlpatterns = [
    path("", roster.home, name="home"),
    path("start/", account.start, name="start"),
    path("in/", include("allauth.urls")),
    path("join/<str:secret>/", account.join, name="join"),
    path("roster/", roster.roster, name="roster"),
    path("trainees/new/", intake.take_in, name="new-trainee"),
    path("places/", places.listed, name="places"),
    path("places/new/", places.new, name="new-place"),
    path("places/<str:slug>/", places.one, name="place"),
    path("t/<uuid:trainee_id>/", trainee.show, name="trainee"),
    path("t/<uuid:trainee_id>/intake/", intake.intake, name="intake"),
    path("t/<uuid:trainee_id>/invite/", trainee.invite_them, name="invite"),
    path("t/<uuid:trainee_id>/sore/", sore.sore, name="sore"),
    path("t/<uuid:trainee_id>/sent/<str:block_id>/", sore.sent, name="sent"),
    path("t/<uuid:trainee_id>/can-do/", trainee.can_do, name="can-do"),
    path("t/<uuid:trainee_id>/import/", importing.upload, name="import"),
    path("t/<uuid:trainee_id>/import/<str:slug>/", importing.columns, name="import-map"),
    path("t/<uuid:trainee_id>/history/", trainee.history, name="history"),
    path("t/<uuid:trainee_id>/limit/", sore.limit, name="limit"),
    path("t/<uuid:trainee_id>/design/", making.design, name="design"),
    path("t/<uuid:trainee_id>/write/", making.write, name="write"),
    path("t/<uuid:trainee_id>/block/", block.show, name="block"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/", block.show, name="block-revision"),
    path("t/<uuid:trainee_id>/block/<str:block_id>/<int:week>/<str:weekday>/", block.session, name="session"),
    path("t/<uuid:trainee_id>/changes/<str:block_id>/", changes.show, name="changes"),
    path("t/<uuid:trainee_id>/undo/", changes.undo_one, name="undo"),
    path("t/<uuid:trainee_id>/look-again/", trainee.look_again, name="look-again"),
    path("t/<uuid:trainee_id>/day/<str:on>/", day.show, name="day"),
    path("t/<uuid:trainee_id>/log/", day.take, name="log"),
    path("today/", day.own_day, name="today"),
    path("", include("setwright.web.floor_urls")),
    path("jobs/<uuid:job_id>/", jobs.show, name="job"),
    path("jobs/<uuid:job_id>/cancel/", jobs.stop, name="job-cancel"),
    path("worker.js", worker.script, name="worker"),
    path("token/", worker.token, name="token"),
]
handler404 = "setwright.web.views.account.not_found"
handler500 = "setwright.web.views.account.our_fault"
