"""A block changed from its page: one entry by hand, locks, what came between; each a job and a revision that waits."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from test_pages import finish_jobs

from setwright.people.trainee import DAYS
from setwright.plan.block import Block, Entry
from setwright.plan.block_days import session_date
from setwright.plan.reshape_options import Spot
from setwright.records import models
from setwright.records.data_base import block_of
from setwright.services.desk.changing import locks_of


def today_of(gym: Any) -> str:
    """The weekday on which the invented practice trains today."""
    return DAYS[gym.today.weekday()]


def where(gym: Any, of: str, part: str) -> str:
    """The address of the page of one entry of today."""
    return f"/t/{gym.trainee.id}/block/{gym.block.id}/entry/?day={today_of(gym)}&part={part}&of={of}&number=0"


def part_of(gym: Any, slug: str) -> str:
    """The part that an exercise of today stands in."""
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == today_of(gym))
    return next(
        part.part for part in session.parts if part.part != "warm-up" and slug in [e.exercise for e in part.entries]
    )


def entries_on(block: Block, day: str) -> dict[str, Entry]:
    """The entries of work of a day of the first week, by exercise."""
    (session,) = (one for one in block.weeks[0].sessions if one.day == day)
    return {one.exercise: one for part in session.parts if part.part != "warm-up" for one in part.entries}


def weeks_of(gym: Any) -> list[str]:
    """Every week of the block, as a form sends them."""
    return [str(one.number) for one in gym.block.weeks]


def test_the_block_page_names_each_entry_once_with_what_each_week_asks(gym: Any) -> None:
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/block/").content.decode()

    assert page.count(">Barbell back squat</a>") == 1
    load = entries_on(gym.block, today_of(gym))["back_squat"].working_sets[0].load_kg
    assert f"{load:g}\xa0kg" in page and '<th scope="row"' in page and 'style="' not in page


def test_the_stand_ins_say_what_is_kept_and_what_is_lost(gym: Any) -> None:
    page = gym.as_coach().get(where(gym, "back_squat", part_of(gym, "back_squat")) + "&show=exchange").content.decode()

    assert "Kept: work for quadriceps" in page and "Lost: the heaviest loads" in page


def test_an_entry_is_exchanged_by_a_job_and_waits_until_it_is_taken(gym: Any) -> None:
    browser, row, day = gym.as_coach(), gym.trainee, today_of(gym)
    given = {"what": "exchange", "other": "front squat", "weeks": weeks_of(gym), "reason": "Kinder to the back."}

    browser.post(where(gym, "back_squat", part_of(gym, "back_squat")), given)
    (job,) = finish_jobs()

    assert job.state == "done", job.result
    assert gym.in_force().id == gym.block.id
    page = browser.get(f"/t/{row.id}/changes/{job.result['block']}/").content.decode()
    assert "Kinder to the back. Chosen by the coach in place of barbell back squat" in page
    browser.post(f"/t/{row.id}/changes/{job.result['block']}/", {"verdict": "accept-all"})
    after = entries_on(gym.in_force(), day)
    assert "front_squat" in after and "back_squat" not in after
    assert after["bench_bb"].sets == entries_on(gym.block, day)["bench_bb"].sets


def test_two_changes_wait_as_one_revision(gym: Any) -> None:
    browser, day = gym.as_coach(), today_of(gym)
    browser.post(
        where(gym, "back_squat", part_of(gym, "back_squat")), {"what": "dose", "sets": "2", "weeks": weeks_of(gym)}
    )
    (first,) = finish_jobs()

    second_at = where(gym, "bench_bb", part_of(gym, "bench_bb")).replace(gym.block.id, first.result["block"])
    browser.post(second_at, {"what": "dose", "sets": "2", "weeks": weeks_of(gym), "deed": "send"})
    (second,) = finish_jobs()

    assert second.state == "done", second.result
    after = gym.in_force()
    assert after.id == second.result["block"] and after.parent == gym.block.id
    assert [len(entries_on(after, day)[one].working_sets) for one in ("back_squat", "bench_bb")] == [2, 2]
    assert {one.entry for one in after.changes} == {"barbell back squat", "barbell bench press"}


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"what": "dose", "sets": "many"}, "a whole number from 1 to 20"),
        ({"what": "dose", "reps": "8-3"}, "5 or 5-6, from 1 to 100"),
        ({"what": "dose"}, "sets, repetitions, effort, a load or a band"),
        ({"what": "exchange", "other": "a horse"}, "an exercise of the catalogue"),
        ({"what": "move", "to_day": "never"}, "another day of this block"),
        ({"what": "fly"}, "another exercise, another day, other sets"),
        ({"what": "dose", "sets": "3", "weeks": ["99"]}, "weeks that are ahead"),
    ],
)
def test_what_cannot_be_read_is_said_and_what_was_typed_stays(gym: Any, given: dict[str, Any], says: str) -> None:
    answer = gym.as_coach().post(
        where(gym, "back_squat", part_of(gym, "back_squat")), {"weeks": weeks_of(gym), **given}
    )

    page = answer.content.decode()
    assert answer.status_code == 400 and says in page
    assert all(f'value="{one}"' in page for key, one in given.items() if key in ("sets", "reps", "other"))
    assert not models.Job.objects.exists()


def test_a_closed_exercise_is_refused_with_the_reason_and_nothing_is_kept(gym: Any) -> None:
    before = gym.trainee.revisions.count()
    gym.as_coach().post(
        where(gym, "back_squat", part_of(gym, "back_squat")),
        {"what": "exchange", "other": "leg press", "weeks": weeks_of(gym)},
    )
    (job,) = finish_jobs()

    assert job.state == "refused"
    assert any("no leg press here" in one for one in job.result["lines"])
    assert gym.trainee.revisions.count() == before


def test_a_locked_entry_is_told_and_makes_no_room(gym: Any) -> None:
    browser, row, day = gym.as_coach(), gym.trainee, today_of(gym)
    part = part_of(gym, "bench_bb")
    spot = {"day": day, "part": part, "of": "bench_bb", "number": "0"}

    browser.post(f"/t/{row.id}/block/{gym.block.id}/lock/", {**spot, "locked": "yes"})
    assert locks_of(row, gym.block) == {Spot(day, part, "bench_bb")}
    assert "locked" in browser.get(f"/t/{row.id}/block/").content.decode()

    browser.post(f"/t/{row.id}/block/{gym.block.id}/between/", {"gone": "bench press", "weeks": weeks_of(gym)})
    (job,) = finish_jobs()
    assert job.state == "refused" and any("can't stay as it is" in one for one in job.result["lines"])

    browser.post(f"/t/{row.id}/block/{gym.block.id}/lock/", {**spot, "locked": "no"})
    assert locks_of(row, gym.block) == frozenset()


def test_fewer_minutes_change_that_day_only(gym: Any) -> None:
    browser, row, day = gym.as_coach(), gym.trainee, today_of(gym)
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == day)
    minutes = round(session.minutes) - 4

    browser.post(
        f"/t/{row.id}/block/{gym.block.id}/between/",
        {"minutes": str(minutes), "day": day, "weeks": weeks_of(gym)},
    )
    (job,) = finish_jobs()

    assert job.state == "done", job.result
    after = block_of(row.revisions.get(block=job.result["block"]))
    (shorter,) = (one for one in after.weeks[0].sessions if one.day == day)
    assert shorter.minutes <= minutes
    assert {one.session for one in after.changes} == {day}


def test_nothing_said_and_nothing_to_do_are_both_told(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    at = f"/t/{row.id}/block/{gym.block.id}/between/"

    empty = browser.post(at, {"weeks": weeks_of(gym)})
    assert empty.status_code == 400 and "a day that is lost" in empty.content.decode()

    browser.post(at, {"gone": "leg press", "weeks": weeks_of(gym)})
    (job,) = finish_jobs()
    page = browser.get(f"/jobs/{job.id}/").content.decode()
    assert "leg press is not in the weeks that remain" in page and "Back to the block" in page


def calendar_of(*days: Any) -> SimpleUploadedFile:
    """A calendar with one busy whole day each, and one dinner that counts for nothing."""
    events = [f"BEGIN:VEVENT\nUID:{one}@x\nSUMMARY:Secret\nDTSTART;VALUE=DATE:{one:%Y%m%d}\nEND:VEVENT" for one in days]
    dinner = "BEGIN:VEVENT\nUID:d@x\nDTSTART:20260907T190000\nEND:VEVENT"
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//x//x//EN", *events, dinner, "END:VCALENDAR"]
    return SimpleUploadedFile("away.ics", "\n".join(lines).replace("\n", "\r\n").encode() + b"\r\n")


def test_a_calendar_says_which_sessions_are_lost_and_fills_the_form_in(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    at = f"/t/{row.id}/block/{gym.block.id}/between/"
    last = gym.block.weeks[-1].number
    lost = session_date(gym.block, last, today_of(gym))

    answer = browser.post(at, {"deed": "calendar", "calendar": calendar_of(lost)})
    page = answer.content.decode()

    assert answer.status_code == 200 and "1 session of the weeks ahead falls on days away" in page
    assert f"?lost={today_of(gym)}&amp;weeks={last}" in page and "Secret" not in page
    assert "a time of day: only whole days count" in page
    assert not models.Job.objects.exists()
    filled = browser.get(f"{at}?lost={today_of(gym)}&weeks={last}").content.decode()
    assert f'name="lost" value="{today_of(gym)}" checked' in filled
    assert filled.count("checked") == 2, "one day, one week"


@pytest.mark.parametrize(
    ("given", "says"),
    [({}, "a calendar file (.ics)"), ({"calendar": SimpleUploadedFile("x.ics", b"no calendar")}, "iCalendar")],
)
def test_what_is_no_calendar_is_told(gym: Any, given: Any, says: str) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/block/{gym.block.id}/between/", {"deed": "calendar", **given})

    assert answer.status_code == 400 and says in answer.content.decode()


@pytest.mark.parametrize("page", ["entry", "between"])
def test_no_other_coach_and_no_trainee_sees_or_changes_it(gym: Any, page: str) -> None:
    at = f"/t/{gym.trainee.id}/block/{gym.block.id}/between/"
    at = where(gym, "back_squat", part_of(gym, "back_squat")) if page == "entry" else at

    for browser in (gym.as_stranger(), gym.as_trainee()):
        assert browser.get(at).status_code == 404
        assert browser.post(at, {"what": "out", "weeks": weeks_of(gym)}).status_code == 404
        lock = browser.post(f"/t/{gym.trainee.id}/block/{gym.block.id}/lock/", {"locked": "yes"})
        assert lock.status_code == 404
    assert not models.Job.objects.exists()
