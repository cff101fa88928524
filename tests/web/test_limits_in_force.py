"""No revision comes into force through a limit that holds now, by whichever way it comes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
import tomli_w
from test_deciding import by_hand, page_of
from test_limits import intake_of, sent
from test_pages import finish_jobs

from setwright.catalogue.equipment import expand_tokens
from setwright.plan.block_days import session_date
from setwright.plan.gates import judge
from setwright.plan.identity import with_id
from setwright.records import models
from setwright.records.data_base import current_of, last_day_of
from setwright.services.desk.blocks import records_of
from setwright.services.desk.people import keep_trainee, person_of
from setwright.services.gather import catalogue


def barred(row: Any, on: date) -> list[str]:
    """Entries of the block in force, from a day on, that the gates bar under the intake as it stands.

    Referee: the gates asked entry by entry, without the code that decides what comes into force.
    """
    block, trainee = current_of(row), person_of(row).trainee
    tokens = {place.id: expand_tokens(place.tokens()) for place in block.inputs.places}
    found = []
    for week in block.weeks:
        for session in week.sessions:
            day = session_date(block, week.number, session.day)
            rules = [one for one in trainee.restrictions if one.since is None or one.since <= day]
            for part in session.parts if day >= on else ():
                for entry in part.entries:
                    exercise = catalogue().get(entry.exercise)
                    verdict = judge(exercise, rules, tokens[session.place], trainee, entry.dials, asked=True)
                    is_whole = any(entry.dials.get(name) != value for name, value in verdict.dials.items())
                    found += [f"{day} {entry.exercise}"] if is_whole or not verdict.allowed else []
    return found


def test_the_referee_sees_a_crossing(gym: Any) -> None:
    """Guards the guard: with the old block under the new limit it has something to say."""
    sent(gym, side="both")
    gym.trainee.in_force.create(block=gym.block.id, reason="by hand", at="2026-01-02T00:00:00+00:00")

    assert any("back_squat" in one for one in barred(gym.trainee, gym.today))


def test_undo_does_not_bring_back_a_load_through_a_limit(gym: Any) -> None:
    sent(gym)
    after = gym.in_force().id

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/undo/")

    page = answer.content.decode()
    assert answer.status_code == 400 and "elbow restriction" in page
    assert ": the left elbow restriction" in page and "found" not in page and "lifts it first" not in page
    assert gym.in_force().id == after and not barred(gym.trainee, gym.today)


def with_limit(gym: Any, joint: str = "elbow", **more: Any) -> None:
    """A limit goes into the intake, as by its form; the block in force is left as it is."""
    data = intake_of(gym.trainee)
    table = {"id": f"invented-{joint}", "joint": joint, "level": "none", "set_by": "Dr Invented", **more}
    data["restrictions"] = [*data.get("restrictions", []), table]
    keep_trainee(gym.coach, tomli_w.dumps(data), gym.trainee)


def test_a_limit_that_came_with_no_revision_is_asked_too(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()
    browser.post(page_of(gym, block), {"verdict": "accept-all"})
    with_limit(gym)

    for address in (f"/t/{gym.trainee.id}/undo/", f"/t/{gym.trainee.id}/block/{gym.block.id}/back/"):
        answer = browser.post(address)
        assert answer.status_code == 400 and "Dr Invented" in answer.content.decode()

    assert gym.in_force().id == block.id


def test_going_back_under_the_limit_undoes_the_change_and_keeps_the_limit(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()
    browser.post(page_of(gym, block), {"verdict": "accept-all"})
    with_limit(gym)
    assert "Make it anew under the limits" in browser.post(f"/t/{gym.trainee.id}/undo/").content.decode()

    browser.post(f"/t/{gym.trainee.id}/undo/", {"deed": "anew"})
    *_, job = finish_jobs()

    after = gym.in_force()
    assert job.state == "done" and after.id == job.result["block"] and after.parent == gym.block.id
    assert not barred(gym.trainee, gym.today)
    parts = [part for week in after.weeks for session in week.sessions for part in session.parts]
    squats = [one for part in parts for one in part.entries if one.exercise == "back_squat"]
    assert squats and all(len(one.working_sets) == 3 for one in squats if one.working_sets), "the sets of before"
    assert gym.as_coach().get(f"/t/{gym.trainee.id}/sent/{after.id}/").status_code == 200


def test_going_back_under_the_only_limit_says_that_nothing_would_change(gym: Any) -> None:
    sent(gym)
    after = gym.in_force().id

    gym.as_coach().post(f"/t/{gym.trainee.id}/undo/", {"deed": "anew"})
    job = models.Job.objects.filter(deed="anew").latest("made_at")
    finish_jobs()
    job.refresh_from_db()

    assert job.state == "refused" and "in force already" in job.result["lines"][0]
    assert gym.in_force().id == after


@pytest.mark.parametrize("said", [{}, {"said_by": "the coach"}, {"wrong": "no"}])
def test_only_who_set_a_limit_calls_it_a_mistake(gym: Any, said: dict[str, str]) -> None:
    sent(gym, set_by="Dr Invented")
    after = gym.in_force().id

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/undo/", {"deed": "mistake", **said})

    assert answer.status_code == 400 and gym.in_force().id == after
    assert [one["joint"] for one in intake_of(gym.trainee)["restrictions"]] == ["elbow"]


def test_a_mistake_that_nobody_owns_up_to_is_asked_for_again_with_what_is_in_the_way(gym: Any) -> None:
    sent(gym)

    page = gym.as_coach().post(f"/t/{gym.trainee.id}/undo/", {"deed": "mistake"}).content.decode()

    assert "Say below who says that the limit was a mistake" in page and "Nobody:" not in page
    assert "elbow restriction" in page and 'name="wrong" value="yes" required' in page


def test_a_mistake_takes_out_its_own_limit_and_no_other(gym: Any) -> None:
    sent(gym, side="both")
    with_limit(gym, "knee")
    after = gym.in_force().id

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/undo/", {"deed": "mistake", "wrong": "yes"})

    assert answer.status_code == 400 and "knee restriction" in answer.content.decode()
    assert gym.in_force().id == after
    assert len(intake_of(gym.trainee)["restrictions"]) == 2, "nothing is half done"


def test_changes_made_before_a_limit_was_set_do_not_come_into_force_through_it(gym: Any) -> None:
    """A new block that waited while the limit was set."""
    first = with_id(replace(gym.block, id="", title="Waiting block", parent=None))
    records_of(gym.trainee).keep_block(first, "2026-01-03T00:00:00+00:00")
    with_limit(gym)

    answer = gym.as_coach().post(page_of(gym, first), {"verdict": "accept-all"})

    assert answer.status_code == 400 and "made before that limit" in answer.content.decode()
    assert gym.in_force().id == gym.block.id and not gym.trainee.decisions.filter(block=first.id).exists()


def test_what_stands_in_for_one_limit_does_not_cross_another_that_the_block_never_kept(gym: Any) -> None:
    """A sore elbow closed the bar on the back; what came was a split squat, with a sore knee in the intake."""
    with_limit(gym, "knee")

    sent(gym, side="both")

    assert {one.joint for one in gym.in_force().inputs.trainee.restrictions} == {"knee", "elbow"}
    assert not barred(gym.trainee, gym.today)


def test_a_clearance_that_ended_closes_the_way_back(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()
    browser.post(page_of(gym, block), {"verdict": "accept-all"})
    data = intake_of(gym.trainee)
    ended = {"who": "Dr Invented", "given_on": date(2025, 1, 1), "scope": "all", "expires_on": date(2025, 3, 1)}
    data["screening"] = {**data["screening"], "signs_or_symptoms": True, "clearance": ended}
    keep_trainee(gym.coach, tomli_w.dumps(data), gym.trainee)

    answer = browser.post(f"/t/{gym.trainee.id}/undo/")

    assert answer.status_code == 400 and "licensed clinician" in answer.content.decode()
    assert gym.in_force().id == block.id


def test_what_is_over_is_over(gym: Any) -> None:
    """A limit of the last day of the block leaves the days before it alone; none of them is asked."""
    block, browser = by_hand(gym), gym.as_coach()
    browser.post(page_of(gym, block), {"verdict": "accept-all"})
    with_limit(gym, since=last_day_of(block) + timedelta(days=1))

    browser.post(f"/t/{gym.trainee.id}/undo/")

    assert gym.in_force().id == gym.block.id
