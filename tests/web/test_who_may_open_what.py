"""No one sees or changes what is not theirs: every address of the application, as everybody.

A table (``matrix``, ``ENTRIES``) says who may open what; the addresses come from the application itself.
"""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.apps import apps
from django.db import transaction
from matrix import (
    COACHES,
    EVERYBODY,
    LOGGED_IN,
    NOBODY_AT_ALL,
    OF_THE_PRACTICE,
    OWNER,
    SECRET_NAMES,
    SELF,
    SELF_OR_COACH,
    THEIR_COACH,
    TRAINEES,
    Entry,
    World,
    is_shut,
    make_world,
    routes,
    text_of,
)
from own_exercise import OWN
from practice import PASSWORD, paper_of

PLACE = 'id = "yard"\nname = "Invented yard"\ninvented = true\nfixtures = ["pullup_bar"]\n'
ROW = {"row": str(uuid.uuid4()), "date": "2026-11-23", "session": "mon", "exercise": "back_squat", "set": 1, "reps": 5}
YARD = {"name": "Taken over", "unit": "kg", "fixtures.pullup_bar": "1", "deed": "keep", "version": "{place_version}"}
OWN_EXERCISE = {"text": OWN, "deed": "text"}
LINK = {"what": "notes", "name": "A physio", "days": "28", "starts": "18:00"}
ENTRIES = {
    "": Entry(EVERYBODY),
    "start/": Entry(NOBODY_AT_ALL, {"practice": "X", "name": "X", "username": "newcoach", "password": PASSWORD}),
    "in/": Entry(LOGGED_IN),
    "in/end-all/": Entry(LOGGED_IN),
    "in/login/": Entry(EVERYBODY),
    "in/logout/": Entry(EVERYBODY),
    "in/inactive/": Entry(EVERYBODY),
    "in/reauthenticate/": Entry(LOGGED_IN),
    "in/password/change/": Entry(LOGGED_IN),
    "in/signup/": Entry(EVERYBODY, {"username": "newname", "password1": PASSWORD}),
    "in/password/reset/": Entry(EVERYBODY, {"email": "ode@example.org"}),
    "in/email/": Entry(EVERYBODY),
    "in/2fa/": Entry(EVERYBODY),
    "in/2fa/authenticate/": Entry(EVERYBODY),
    "in/2fa/reauthenticate/": Entry(LOGGED_IN),
    "in/2fa/totp/activate/": Entry(LOGGED_IN),
    "in/2fa/totp/deactivate/": Entry(LOGGED_IN, may_lack=True),
    "in/2fa/recovery-codes/": Entry(LOGGED_IN, may_lack=True),
    "in/2fa/recovery-codes/generate/": Entry(LOGGED_IN),
    "in/2fa/recovery-codes/download/": Entry(LOGGED_IN, may_lack=True),
    "in/2fa/webauthn/": Entry(LOGGED_IN),
    "in/2fa/webauthn/add/": Entry(LOGGED_IN),
    "in/2fa/webauthn/reauthenticate/": Entry(LOGGED_IN),
    "in/2fa/webauthn/keys/<int:pk>/remove/": Entry(SELF, {"x": "1"}),
    "in/2fa/webauthn/keys/<int:pk>/edit/": Entry(SELF, {"name": "Mine"}),
    "in/2fa/webauthn/login/": Entry(EVERYBODY),
    "join/<str:secret>/": Entry(NOBODY_AT_ALL, {"username": "newname", "password": PASSWORD}),
    "roster/": Entry(COACHES),
    "trainees/new/": Entry(COACHES, {"deed": "keep"}),
    "practice/": Entry(COACHES, {"name": "Taken over", "word": "lifter", "unit": "kg"}),
    "practice/invite/": Entry(OWNER | {"stranger"}, {"name": "Frieda"}, changes=True),
    "practice/withdraw/<int:invitation_id>/": Entry(OWNER, {"x": "1"}, changes=True),
    "practice/coaches/<uuid:coach_id>/": Entry(OWNER | {"coach"}, {"deed": "owner"}),
    "places/": Entry(COACHES),
    "places/new/": Entry(COACHES),
    "places/<str:slug>/": Entry(OF_THE_PRACTICE, YARD, changes=True),
    "t/<uuid:trainee_id>/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/intake/": Entry(THEIR_COACH, {"deed": "keep", "name": "Taken"}),
    "t/<uuid:trainee_id>/invite/": Entry(THEIR_COACH, {"x": "1"}, changes=True),
    "t/<uuid:trainee_id>/sore/": Entry(THEIR_COACH, {"joint": "elbow", "side": "both", "deed": "show"}, changes=True),
    "t/<uuid:trainee_id>/sent/<str:block_id>/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/can-do/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/import/": Entry(THEIR_COACH, {"text": "date,exercise\n2026-01-06,squat\n"}, changes=True),
    "t/<uuid:trainee_id>/import/<str:slug>/": Entry(THEIR_COACH, {"deed": "away"}, changes=True),
    "t/<uuid:trainee_id>/clinic/": Entry(THEIR_COACH, {"deed": "write", "who": "name"}, changes=True),
    "t/<uuid:trainee_id>/data/": Entry(THEIR_COACH, {"deed": "erase", "name": "Ode Invented"}, changes=True),
    "t/<uuid:trainee_id>/data.zip": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/tables/<str:kind>.zip": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/history/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/limit/": Entry(THEIR_COACH, {"limit": "elbow", "deed": "lift"}),
    "t/<uuid:trainee_id>/design/": Entry(THEIR_COACH, {"deed": "keep", "title": "X"}),
    "t/<uuid:trainee_id>/write/": Entry(THEIR_COACH, {"text": "Monday\nback squat 3 x 5\n", "deed": "write"}),
    "t/<uuid:trainee_id>/block/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/block/<str:block_id>/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/block/<str:block_id>/<int:week>/<str:weekday>/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/block/<str:block_id>/entry/": Entry(THEIR_COACH, {"deed": "x"}),
    "t/<uuid:trainee_id>/block/<str:block_id>/add/": Entry(THEIR_COACH, {"deed": "x"}),
    "t/<uuid:trainee_id>/block/<str:block_id>/lock/": Entry(THEIR_COACH, {"deed": "x"}),
    "t/<uuid:trainee_id>/block/<str:block_id>/between/": Entry(THEIR_COACH, {"deed": "x"}),
    "t/<uuid:trainee_id>/block/<str:block_id>/back/": Entry(THEIR_COACH, {"x": "1"}),
    "t/<uuid:trainee_id>/compare/": Entry(THEIR_COACH, may_lack=True),
    "t/<uuid:trainee_id>/links/": Entry(THEIR_COACH, LINK, changes=True),
    "t/<uuid:trainee_id>/links/<int:share_id>/withdraw/": Entry(THEIR_COACH, {"x": "1"}, changes=True),
    "t/<uuid:trainee_id>/block/<str:block_id>/publish/": Entry(THEIR_COACH, {"days": "7", "talk": "30"}, changes=True),
    "t/<uuid:trainee_id>/block/<str:block_id>/keep/": Entry(THEIR_COACH, {"week": "1"}, changes=True),
    "kept/": Entry(COACHES),
    "kept/new/": Entry(COACHES, {"text": "Block: Legs\nback squat 3 x 5\n"}, changes=True),
    "kept/<str:kept_slug>/": Entry(
        OF_THE_PRACTICE, {"deed": "keep", "text": "Block: Other\nbench press 3 x 5\n"}, True
    ),
    "kept/<str:kept_slug>/use/": Entry(NOBODY_AT_ALL),
    "kept/<str:kept_slug>/fit/": Entry(OF_THE_PRACTICE, {"start": "2026-09-07"}),
    "p/<str:secret>/": Entry(NOBODY_AT_ALL),
    "p/<str:secret>/session.pdf": Entry(NOBODY_AT_ALL),
    "p/<str:secret>/session.txt": Entry(NOBODY_AT_ALL),
    "s/<str:secret>.ics": Entry(NOBODY_AT_ALL),
    "s/<str:secret>/": Entry(NOBODY_AT_ALL),
    "s/<str:secret>/<int:week>/<str:weekday>/": Entry(NOBODY_AT_ALL),
    "t/<uuid:trainee_id>/review/": Entry(THEIR_COACH, may_lack=True),
    "t/<uuid:trainee_id>/review/<str:slug>.svg": Entry(THEIR_COACH, may_lack=True),
    "t/<uuid:trainee_id>/print/<str:block_id>/": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/print/<str:block_id>/block.pdf": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/print/<str:block_id>/<int:week>/<str:weekday>.pdf": Entry(THEIR_COACH),
    "t/<uuid:trainee_id>/changes/<str:block_id>/": Entry(THEIR_COACH, {"verdict": "decline-all"}, changes=True),
    "t/<uuid:trainee_id>/undo/": Entry(THEIR_COACH, {"x": "1"}),
    "t/<uuid:trainee_id>/look-again/": Entry(THEIR_COACH, {"x": "1"}, changes=True),
    "t/<uuid:trainee_id>/day/<str:on>/": Entry(SELF_OR_COACH),
    "t/<uuid:trainee_id>/now/": Entry(SELF_OR_COACH),
    "t/<uuid:trainee_id>/log/": Entry(SELF_OR_COACH, {"rows": [ROW]}, changes=True, is_json=True),
    "t/<uuid:trainee_id>/notes/": Entry(THEIR_COACH, {"text": "well done"}, changes=True),
    "t/<uuid:trainee_id>/notes/<uuid:note_id>/seen/": Entry(THEIR_COACH, {"x": "1"}, changes=True),
    "t/<uuid:trainee_id>/cues/": Entry(THEIR_COACH, {"exercise": "back_squat", "text": "hips back"}, changes=True),
    "t/<uuid:trainee_id>/cues/<int:cue_id>/away/": Entry(THEIR_COACH, {"x": "1"}, changes=True),
    "cues/<int:cue_id>/file/": Entry(SELF_OR_COACH),
    "today/": Entry(TRAINEES),
    "exercises/": Entry(COACHES),
    "exercises/new/": Entry(COACHES, OWN_EXERCISE, changes=True),
    "exercises/own/<str:slug>/": Entry(COACHES, {"deed": "keep"}, may_lack=True),
    "exercises/<str:slug>/": Entry(COACHES, may_lack=True),
    "floor/": Entry(COACHES),
    "floor/sheet/": Entry(COACHES),
    "floor/sheet.pdf": Entry(COACHES),
    "floor/hours/": Entry(COACHES, {"x": "1"}, may_lack=True),
    "floor/hours/<uuid:hour_id>/": Entry(THEIR_COACH, {"deed": "away", "number": "1"}, changes=True),
    "floor/hours/<uuid:hour_id>/now/": Entry(THEIR_COACH),
    "floor/hours/<uuid:hour_id>/screen/": Entry(THEIR_COACH, {"deed": "open"}, changes=True),
    "open-links/": Entry(COACHES),
    "board/<str:secret>/": Entry(NOBODY_AT_ALL),
    "board/<str:secret>/now/": Entry(NOBODY_AT_ALL),
    "me/progress/": Entry(TRAINEES),
    "me/words/": Entry(TRAINEES, {"text": "it went well"}, changes=True),
    "me/log.csv": Entry(TRAINEES),
    "me/log.parquet": Entry(TRAINEES),
    "me/everything.json": Entry(TRAINEES),
    "jobs/<uuid:job_id>/": Entry(SELF_OR_COACH),
    "jobs/<uuid:job_id>/cancel/": Entry(SELF_OR_COACH, {"x": "1"}, changes=True),
    "api/": Entry(NOBODY_AT_ALL),
    "api/openapi.json": Entry(EVERYBODY),
    "api/roster": Entry(COACHES),
    "api/trainees/<trainee_id>": Entry(THEIR_COACH),
    "api/trainees/<trainee_id>/findings": Entry(THEIR_COACH),
    "api/trainees/<trainee_id>/block": Entry(THEIR_COACH),
    "api/trainees/<trainee_id>/blocks/<block_id>": Entry(THEIR_COACH),
    "api/trainees/<trainee_id>/days/<on>": Entry(SELF_OR_COACH),
    "api/trainees/<trainee_id>/log": Entry(SELF_OR_COACH, {"rows": [ROW]}, changes=True, is_json=True),
    "api/trainees/<trainee_id>/changes": Entry(THEIR_COACH, may_lack=True),
    "api/trainees/<trainee_id>/changes/<block_id>": Entry(
        THEIR_COACH, {"verdict": "decline"}, changes=True, is_json=True
    ),
    "api/trainees/<trainee_id>/changes/<block_id>/again": Entry(THEIR_COACH, {"x": 1}, changes=True, is_json=True),
    "api/trainees/<trainee_id>/sore": Entry(THEIR_COACH, {"words": "elbow is sore"}, changes=True, is_json=True),
    "api/jobs/<job_id>": Entry(SELF_OR_COACH),
    "api/jobs/<job_id>/cancel": Entry(SELF_OR_COACH, {"x": 1}, changes=True, is_json=True),
    "worker.js": Entry(EVERYBODY),
    "token/": Entry(EVERYBODY),
}
KNOWN = [route for route in routes() if route in ENTRIES]
# What ends the session of who asks, or belongs to a passage of one's own log-in, is asked alone (test_log_in).
ALONE = {"in/end-all/", "in/logout/"}
METHODS = ("get", "post", "put", "patch", "delete")


@pytest.fixture
def world(gym: Any) -> World:
    """The invented practice with everybody in it."""
    return make_world(gym, paper_of("una", "Una Invented").intake, PLACE)


def everything() -> dict[str, list[str]]:
    """Every row of every table that holds something of somebody; open log-ins and counted tries left out."""
    found = {}
    for model in apps.get_models():
        if model._meta.app_label not in ("records", "auth", "mfa"):
            continue
        hidden = {"last_login", "last_used_at", "opened_at"}
        columns = [one.attname for one in model._meta.concrete_fields if one.name not in hidden]
        found[model._meta.label] = sorted(repr(row) for row in model._default_manager.values_list(*columns))
    return found


def test_every_address_has_an_entry() -> None:
    """A new address without an entry in ENTRIES fails here: say who may open it."""
    assert len(KNOWN) > 60
    assert [route for route in routes() if route not in ENTRIES] == []


@pytest.mark.parametrize("role", sorted(EVERYBODY))
def test_what_is_not_yours_is_not_there_and_does_not_change(world: World, role: str) -> None:
    browser, before, open_doors = world.browser(role), everything(), []
    shut = [route for route in KNOWN if role not in ENTRIES[route].who and route not in ALONE]

    for route in shut:
        for method in METHODS:
            answer = world.ask(browser, method, route, ENTRIES[route])
            if not is_shut(answer):
                open_doors.append(f"{method} {route}: {answer.status_code}")
            told = [name for name in SECRET_NAMES[role] if name in text_of(answer)]
            if told:
                open_doors.append(f"{method} {route} tells {told}")

    assert not open_doors, "\n".join(open_doors)
    assert everything() == before
    assert shut or role == "coach"


@pytest.mark.parametrize("role", sorted(EVERYBODY))
def test_what_is_yours_opens_and_tells_of_nobody_else(world: World, role: str) -> None:
    """The other half: each address answers those who may open it, and what it sends really would change something."""
    browser, wrong = world.browser(role), []
    mine = [route for route in KNOWN if role in ENTRIES[route].who and route not in ALONE]
    asked = [("get", route) for route in mine] + [("post", route) for route in mine if ENTRIES[route].sends]

    for method, route in asked:
        entry = ENTRIES[route]
        before = everything() if entry.changes and method == "post" else {}
        with transaction.atomic():
            answer = world.ask(browser, method, route, entry)
            told = [name for name in SECRET_NAMES[role] if name in text_of(answer)]
            unmoved = entry.changes and method == "post" and everything() == before
            transaction.set_rollback(True)
        if told:
            wrong.append(f"{method} {route} tells {told}")
        if unmoved:
            wrong.append(f"post {route}: {answer.status_code} and nothing has changed")
        if answer.status_code >= 500 or (method == "get" and answer.status_code == 404 and not lacks(entry)):
            wrong.append(f"{method} {route}: {answer.status_code}")

    assert not wrong, "\n".join(wrong)


def lacks(entry: Entry) -> bool:
    """True where "not there" is a right answer for those who may open it."""
    return entry.may_lack or bool(entry.sends)


def test_the_referee_sees_a_door_that_is_open(world: World) -> None:
    """Guard of the guard: what a coach may do is no shut door, and it changes the data."""
    route = "t/<uuid:trainee_id>/data/"
    before = everything()

    answer = world.ask(world.browser("coach"), "post", route, ENTRIES[route])

    assert not is_shut(answer)
    assert everything() != before
