"""The API: the deeds of the pages for programs, under the same permissions, described by OpenAPI 3.1, and no 500.

Referee of the description: schemathesis, which makes requests from it, right and wrong ones, and holds every answer
against it.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable
from typing import Any

import pytest
import schemathesis
from django.test import Client
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi import checks as openapi_checks

from setwright.records import models
from setwright.review.log_file import COLUMNS

EXAMPLES = 12
SLOW_IS_FINE = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.filter_too_much]


def sent(browser: Any, address: str, value: Any) -> Any:
    """A POST with JSON."""
    return browser.post(address, json.dumps(value), content_type="application/json")


def test_the_roster_is_that_of_the_page(gym: Any) -> None:
    found = gym.as_coach().get("/api/roster").json()

    (line,) = found["trainees"]
    assert (line["name"], line["block"]) == ("Ode Invented", gym.block.id)
    assert line["next"]["date"] == gym.today.isoformat()
    assert gym.as_coach().get("/api/roster?name=pim").json()["count"] == 0


def test_a_trainee_a_block_and_a_day_are_read(gym: Any) -> None:
    browser, own = gym.as_coach(), f"/api/trainees/{gym.trainee.id}"

    person, block = browser.get(own).json(), browser.get(f"{own}/block").json()
    day = gym.as_trainee().get(f"{own}/days/{gym.today}").json()
    off = gym.as_trainee().get(f"{own}/days/2001-01-01").json()

    assert person["intake"].startswith("\nid = ") and person["block"] == block["id"] == gym.block.id
    assert browser.get(f"{own}/blocks/{gym.block.id}").json() == block
    assert day["planned"] and day["session"]["entries"]
    assert off == {"date": "2001-01-01", "planned": False, "session": None}


def test_a_row_that_is_sent_twice_counts_once_and_a_wrong_one_is_named(gym: Any) -> None:
    browser, address = gym.as_trainee(), f"/api/trainees/{gym.trainee.id}/log"
    row = {"row": str(uuid.uuid4()), "date": "2026-11-23", "session": "mon", "exercise": "back_squat", "set": 1}
    rows = [{**row, "reps": 5}, {**row, "row": str(uuid.uuid4()), "reps": "many"}]

    first, again = sent(browser, address, {"rows": rows}).json(), sent(browser, address, {"rows": rows}).json()

    assert first["kept"] == again["kept"] == [row["row"]]
    assert ["reps" in one for one in first["refused"].values()] == [True]
    kept = browser.get(address).json()["rows"]
    assert [one["row"] for one in kept] == [row["row"]]
    assert browser.get(f"{address}?until=2020-01-01").json()["rows"] == []


def test_a_sore_joint_becomes_a_job_and_its_changes_are_decided(gym: Any) -> None:
    from test_pages import finish_jobs

    browser, own = gym.as_coach(), f"/api/trainees/{gym.trainee.id}"
    answer = sent(browser, f"{own}/sore", {"words": "elbow is sore"})
    assert answer.status_code == 202, answer.content
    finish_jobs()

    job = browser.get(f"/api/jobs/{answer.json()['id']}").json()
    waiting = browser.get(f"{own}/changes").json()
    beyond = sent(browser, f"{own}/changes/{waiting['block']}", {"verdict": "accept", "changes": [99]})
    taken = sent(browser, f"{own}/changes/{waiting['block']}", {"verdict": "accept"}).json()
    late = sent(browser, f"{own}/changes/{waiting['block']}", {"verdict": "decline"})

    assert job["state"] == "done" and job["result"]["block"] == waiting["block"] == taken["block"]
    assert waiting["parent"] == gym.block.id and waiting["changes"][0]["number"] == 1
    assert beyond.status_code == 400 and "numbers from 1 to" in beyond.json()["faults"][0]
    assert late.status_code == 409 and "no longer in force" in late.json()["faults"][0]
    assert browser.get(f"{own}/changes").status_code == 404


def test_changes_are_made_again_on_what_came_into_force_meanwhile(gym: Any) -> None:
    from test_pages import finish_jobs

    browser, own = gym.as_coach(), f"/api/trainees/{gym.trainee.id}"
    for words in ("elbow is sore", "knee is sore"):
        assert sent(browser, f"{own}/sore", {"words": words}).status_code == 202
    elbow, knee = (one.result["block"] for one in finish_jobs()[-2:])
    assert sent(browser, f"{own}/changes/{knee}", {"verdict": "accept"}).status_code == 200
    assert sent(browser, f"{own}/changes/{elbow}", {"verdict": "accept"}).status_code == 409

    answer = sent(browser, f"{own}/changes/{elbow}/again", {})
    finish_jobs()

    made = browser.get(f"/api/jobs/{answer.json()['id']}").json()
    assert (answer.status_code, made["state"]) == (202, "done")
    waiting = browser.get(f"{own}/changes").json()
    assert (waiting["block"], waiting["parent"]) == (made["result"]["block"], knee)
    assert sent(browser, f"{own}/changes/{waiting['block']}", {"verdict": "accept"}).status_code == 200
    assert sent(browser, f"{own}/changes/blk-000000000000/again", {}).status_code == 404


def test_what_changes_something_needs_the_token(gym: Any) -> None:
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(gym.coach.user)
    address = f"/api/trainees/{gym.trainee.id}/sore"

    without = sent(browser, address, {"words": "elbow is sore"})
    token = browser.get("/token/").json()["token"]
    value = json.dumps({"words": "elbow is sore"})
    with_it = browser.post(address, value, content_type="application/json", headers={"x-csrftoken": token})

    assert (without.status_code, with_it.status_code) == (403, 202)
    assert models.Job.objects.count() == 1


def test_nobody_is_told_to_log_in_and_a_strangers_things_are_not_there(client: Any, gym: Any) -> None:
    own = f"/api/trainees/{gym.trainee.id}"

    assert client.get("/api/roster").status_code == 401
    assert gym.as_stranger().get(own).status_code == 404
    assert gym.as_trainee().get(own).status_code == 404
    assert gym.as_trainee().get("/api/roster").status_code == 404


def test_the_description_names_every_answer_and_fetches_nothing(client: Any, db: None) -> None:
    found = client.get("/api/openapi.json").json()

    assert found["openapi"].startswith("3.1")
    for path, operations in found["paths"].items():
        for method, one in operations.items():
            assert {"401", "404", "422"} <= set(one["responses"]), path
            assert method == "get" or {"400", "403"} <= set(one["responses"]), path
    assert client.get("/api/docs").status_code == 404


@pytest.fixture
def description(gym: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The API as it describes itself, served by the application, on the connection of the test."""
    from django.db import connection

    from setwright.web.wsgi import application

    monkeypatch.setattr(connection, "close_if_unusable_or_obsolete", lambda: None)
    found = schemathesis.openapi.from_wsgi("/api/openapi.json", application)
    found.config.generation.update(with_security_parameters=False)  # every request is that of a coach who is logged in
    return found


MODES = {"right": GenerationMode.POSITIVE, "wrong": GenerationMode.NEGATIVE}
LEFT_OUT = [
    openapi_checks.positive_data_acceptance,  # a value of the right shape can still be refused: 400
    openapi_checks.ignored_auth,  # who may what: test_who_may_open_what
]


def as_program(gym: Any) -> dict[str, Any]:
    """What a program sends that has logged in as the coach."""
    browser = gym.as_coach()
    browser.get("/token/")
    cookies = {name: one.value for name, one in browser.cookies.items()}
    return {"cookies": cookies, "headers": {"X-CSRFToken": cookies["csrftoken"], "Accept-Encoding": "identity"}}


def fuzz(description: Any, mode: str, look_at: Callable[[Any], None]) -> int:
    """Makes requests for every operation of a description and looks at each; gives how many there were."""
    asked = []
    for found in description.get_all_operations():
        operation = found.ok()
        if mode == "wrong" and not operation.path_parameters and not operation.query and not operation.body:
            continue  # nothing of it can be wrong

        @given(case=operation.as_strategy(generation_mode=MODES[mode]))
        @settings(max_examples=EXAMPLES, deadline=None, derandomize=True, suppress_health_check=SLOW_IS_FINE)
        def ask(case: Any) -> None:
            asked.append(case.operation.label)
            look_at(case)

        ask()
    return len(asked)


@pytest.mark.parametrize("mode", MODES)
def test_any_request_gets_a_described_answer_and_no_500(description: Any, gym: Any, mode: str) -> None:
    program = as_program(gym)

    count = fuzz(description, mode, lambda case: case.call_and_validate(**program, excluded_checks=LEFT_OUT))

    assert count > 60


@pytest.mark.parametrize("mode", MODES)
def test_any_request_about_a_real_trainee_gets_a_described_answer_and_no_500(
    description: Any, gym: Any, mode: str
) -> None:
    """The same with the ids of things that are there, so that the deeds behind them are reached."""
    job = models.Job.objects.create(practice=gym.coach.practice, trainee=gym.trainee, deed="adapt", asked={})
    real = {"trainee_id": str(gym.trainee.id), "block_id": gym.block.id, "job_id": str(job.id)}
    program, told = as_program(gym), set()

    def look_at(case: Any) -> None:
        for name in case.path_parameters or {}:
            case.path_parameters[name] = real.get(name, case.path_parameters[name])
        answer = case.call(**program)
        told.add(answer.status_code)
        left_out = [*LEFT_OUT, openapi_checks.negative_data_rejection]  # the path is right now
        case.validate_response(answer, excluded_checks=left_out)

    fuzz(description, mode, look_at)

    assert {"right": {200, 404}, "wrong": {422}}[mode] <= told


VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.floats(allow_nan=False),
    st.text(max_size=20),
    st.just("\0"),
    st.just("\ud800"),
    st.lists(st.integers(0, 9), max_size=3),
    st.dictionaries(st.text(max_size=5), st.integers(), max_size=2),
)
GOOD_ROW = {"date": "2026-11-23", "session": "mon", "exercise": "back_squat", "set": 1, "reps": 5}
KEYS = st.sampled_from([*COLUMNS, "slot", "at", "load_lb", "unknown"])


@given(spoiled=st.dictionaries(KEYS, VALUES, min_size=1, max_size=4), key=st.uuids(version=4))
@example(spoiled={"note": "\0"}, key=uuid.uuid4())
@example(spoiled={"note": "\ud800"}, key=uuid.uuid4())
@example(spoiled={"slot": "\0"}, key=uuid.uuid4())
@example(spoiled={"at": "\0"}, key=uuid.uuid4())
@example(spoiled={"corrects": "\0"}, key=uuid.uuid4())
@settings(max_examples=150, deadline=None, derandomize=True, suppress_health_check=SLOW_IS_FINE)
def test_a_row_with_anything_in_it_is_kept_or_named(gym: Any, spoiled: dict[str, Any], key: uuid.UUID) -> None:
    """Law: whatever stands in a row, it is kept under its key or refused with a reason, and never a 500."""
    row = {**GOOD_ROW, "row": str(key), **spoiled}

    answer = sent(gym.as_trainee(), f"/api/trainees/{gym.trainee.id}/log", {"rows": [row]})

    assert answer.status_code in (200, 400), (answer.status_code, row)
    if answer.status_code == 200:
        told = answer.json()
        assert len(told["kept"]) + len(told["refused"]) == 1, row
        assert all(told["refused"].values())


def test_a_set_with_a_character_that_no_data_base_keeps_is_not_lost(gym: Any) -> None:
    row = {**GOOD_ROW, "row": str(uuid.uuid4()), "note": "left\0knee \ud800"}

    told = sent(gym.as_trainee(), f"/api/trainees/{gym.trainee.id}/log", {"rows": [row]}).json()

    assert told["kept"] == [row["row"]]
    assert gym.trainee.log_rows.get().data["note"] == "left\N{REPLACEMENT CHARACTER}knee \N{REPLACEMENT CHARACTER}"


@pytest.mark.parametrize("address", ["/roster/?name=%00", "/places/%00/"])
def test_an_address_or_form_with_such_a_character_is_a_sentence(gym: Any, address: str) -> None:
    form = gym.as_coach().post(f"/t/{gym.trainee.id}/notes/", {"text": "a\0b"})

    for answer in (gym.as_coach().get(address), form):
        assert answer.status_code == 400 and "can&#x27;t be kept" in answer.content.decode()


def test_the_fuzzer_would_see_a_500() -> None:
    """Guards the guard: the check is among those that are on."""
    from schemathesis.checks import CHECKS

    assert not_a_server_error in CHECKS.get_all()
