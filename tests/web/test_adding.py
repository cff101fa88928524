"""An exercise added to a day from the block's page, and a load set by hand: refused in plain words where it must be."""

from __future__ import annotations

from typing import Any

import pytest
from test_changing import entries_on, part_of, today_of, weeks_of, where
from test_pages import finish_jobs

from setwright.records import models


def adding(gym: Any) -> str:
    """The address of the page that adds to today."""
    return f"/t/{gym.trainee.id}/block/{gym.block.id}/add/?day={today_of(gym)}"


def loads(gym: Any, of: str) -> set[float | None]:
    """The loads of the working sets of an exercise of today, in the block in force."""
    return {one.load_kg for one in entries_on(gym.in_force(), today_of(gym))[of].working_sets}


def test_an_exercise_is_added_waits_is_taken_and_undone(gym: Any) -> None:
    browser, row, day = gym.as_coach(), gym.trainee, today_of(gym)
    assert f'add/?day={day}">Add an exercise' in browser.get(f"/t/{row.id}/block/").content.decode()
    given = {"to": "goblet squat", "sets": "2", "reps": "10-12", "weeks": weeks_of(gym), "reason": "More legs."}

    browser.post(adding(gym), given)
    (job,) = finish_jobs()

    assert job.state == "done", job.result
    assert gym.in_force().id == gym.block.id
    page = browser.get(f"/t/{row.id}/changes/{job.result['block']}/").content.decode()
    assert "More legs." in page and "goblet squat, 2 x 10-12" in page
    browser.post(f"/t/{row.id}/changes/{job.result['block']}/", {"verdict": "accept-all"})
    after = entries_on(gym.in_force(), day)
    assert [one.reps for one in after["goblet_squat"].working_sets] == [(10, 12)] * 2
    assert {slug: one for slug, one in after.items() if slug != "goblet_squat"} == entries_on(gym.block, day)
    browser.post(f"/t/{row.id}/undo/")
    assert gym.in_force().id == gym.block.id


def test_the_page_offers_what_the_place_and_the_limits_leave_open(gym: Any) -> None:
    page = gym.as_coach().get(adding(gym)).content.decode()

    assert '<option value="barbell front squat">' in page  # a bar and a rack are there
    assert '<option value="leg press">' not in page  # no such machine


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({}, "an exercise of the catalogue"),
        ({"to": "a horse"}, "an exercise of the catalogue"),
        ({"to": "front squat", "part": "conditioning"}, "a part that barbell front squat is for: "),
        ({"to": "front squat", "sets": "0"}, "a whole number from 1 to 20"),
        ({"to": "front squat", "load": "heavy"}, "a number from 0 to 1000"),
        ({"to": "front squat", "weeks": ["99"]}, "weeks that are ahead"),
    ],
)
def test_what_cannot_be_added_is_said_and_what_was_typed_stays(gym: Any, given: dict[str, Any], says: str) -> None:
    answer = gym.as_coach().post(adding(gym), {"weeks": weeks_of(gym), **given})

    page = answer.content.decode()
    assert answer.status_code == 400 and says in page
    assert all(f'value="{one}"' in page for key, one in given.items() if key in ("to", "sets", "load"))
    assert not models.Job.objects.exists()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"to": "leg press"}, "There is no leg press here."),
        ({"to": "back squat", "part": ""}, "stands on"),
        ({"to": "plank", "reps": "5"}, "counted in seconds held"),
        ({"to": "goblet squat", "load": "15"}, "15 kg of goblet squat can't be built in Invented shed."),
    ],
)
def test_a_hard_rule_refuses_it_with_the_reason_and_nothing_is_kept(gym: Any, given: dict[str, str], says: str) -> None:
    before = gym.trainee.revisions.count()
    part = {"part": part_of(gym, "back_squat")} if given["to"] == "back squat" else {}

    gym.as_coach().post(adding(gym), {"weeks": weeks_of(gym), **given, **part})
    (job,) = finish_jobs()

    assert job.state == "refused" and any(says in one for one in job.result["lines"]), job.result
    assert gym.trainee.revisions.count() == before


def test_a_load_is_set_by_hand_with_a_warning_where_it_is_heavy(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    at = where(gym, "back_squat", part_of(gym, "back_squat"))
    assert '<option value="42.5">' in browser.get(at).content.decode()

    browser.post(at, {"what": "dose", "load": "42.5", "weeks": weeks_of(gym), "deed": "send"})
    (job,) = finish_jobs()
    assert job.state == "done", job.result
    assert loads(gym, "back_squat") == {42.5}

    now = at.replace(gym.block.id, gym.in_force().id)
    browser.post(now, {"what": "dose", "load": "187.39 lb", "weeks": weeks_of(gym), "deed": "send"})
    (job,) = finish_jobs()
    assert job.state == "done", job.result
    assert loads(gym, "back_squat") == {85.0}
    page = browser.get(at.replace(gym.block.id, gym.in_force().id)).content.decode()
    page += browser.get(f"/t/{row.id}/changes/{gym.in_force().id}/").content.decode()
    assert page.count("Heavy: 85 kg is set by the coach") >= 2


def test_a_load_over_what_a_limit_allows_is_refused(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    asked = {"joint": "elbow", "side": "both", "level": "moderate", "deed": "send"}
    browser.post(f"/t/{row.id}/sore/", asked)
    finish_jobs()
    limited = gym.in_force()
    eased = [
        slug
        for slug, one in entries_on(limited, today_of(gym)).items()
        if one.working_sets[0].load_kg and one.working_sets[0].rir == 4.0
    ]
    assert eased
    part = next(
        part.part
        for one in limited.weeks[0].sessions
        if one.day == today_of(gym)
        for part in one.parts
        if part.part != "warm-up" and eased[0] in [entry.exercise for entry in part.entries]
    )
    at = where(gym, eased[0], part).replace(gym.block.id, limited.id)

    browser.post(at, {"what": "dose", "load": "14", "weeks": weeks_of(gym)})
    job = finish_jobs()[-1]

    assert job.state == "refused" and any("moderate work only" in one for one in job.result["lines"]), job.result
    assert gym.in_force().id == limited.id


def test_nobody_else_adds(gym: Any) -> None:
    for browser in (gym.as_stranger(), gym.as_trainee()):
        assert browser.get(adding(gym)).status_code == 404
        assert browser.post(adding(gym), {"to": "front squat", "weeks": weeks_of(gym)}).status_code == 404
    assert not models.Job.objects.exists()


def test_a_band_of_the_place_is_chosen_by_its_name_and_stands_on_the_sheet(gym: Any) -> None:
    from dataclasses import replace

    from setwright.people.place import Band
    from setwright.plan.identity import with_id
    from setwright.services.desk.blocks import accept, records_of

    inputs = gym.block.inputs
    places = tuple(replace(one, bands=(Band("narrow"), Band("wide", heavy=True))) for one in inputs.places)
    block = with_id(replace(gym.block, id="", inputs=replace(inputs, places=places)))
    records_of(gym.trainee).keep_block(block, "2026-01-02T00:00:00+00:00")
    accept(gym.trainee, block.id, None, gym.coach.user)
    browser, week = gym.as_coach(), weeks_of(gym)
    page = adding(gym).replace(gym.block.id, block.id)
    assert '<option value="narrow">narrow</option>' in browser.get(page).content.decode()
    browser.post(page, {"to": "band curl", "band": "narrow", "weeks": week, "deed": "send"})
    assert finish_jobs()[-1].state == "done"
    assert entries_on(gym.in_force(), today_of(gym))["curl_band"].dials["band"] == "narrow"
    at = where(gym, "curl_band", "assistance").replace(gym.block.id, gym.in_force().id)
    assert '<option value="wide">wide, heavy</option>' in browser.get(at).content.decode()

    browser.post(at, {"what": "dose", "band": "wide", "weeks": week, "deed": "send"})
    job = finish_jobs()[-1]

    assert job.state == "done", job.result
    assert entries_on(gym.in_force(), today_of(gym))["curl_band"].dials["band"] == "wide"
    day = browser.get(f"/t/{gym.trainee.id}/day/{gym.today.isoformat()}/").content.decode()
    assert "band: wide" in day
