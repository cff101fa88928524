"""A week that has begun: sessions that are over stay as they were, whatever becomes of the days after them."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from setwright.faults import InputFaults
from setwright.plan.block_days import session_date
from setwright.records.data_base import current_of, keep_rows, log_of
from setwright.services.ahead import what_is_ahead
from setwright.services.block_check import block_faults
from setwright.services.clock import now_text
from setwright.services.desk.blocks import accept, limit
from setwright.services.desk.limits import limit_said
from setwright.services.gather import catalogue


def days_of(gym: Any) -> list[tuple[Any, str]]:
    """The two days of the invented week with their dates, the earlier one first."""
    return sorted((session_date(gym.block, 1, one.day), one.day) for one in gym.block.weeks[0].sessions)


def rows_of(gym: Any, on: Any, sets: int) -> list[dict[str, Any]]:
    """So many sets of each lift of a day, as a phone logs them."""
    day = next(day for date, day in days_of(gym) if date == on)
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == day)
    lifts = [one for part in session.parts if part.part != "warm-up" for one in part.entries]
    return [
        {
            "row": f"{one.exercise}-{number}",
            "date": on.isoformat(),
            "week": 1,
            "session": day,
            "exercise": one.exercise,
            "set": number,
            "load_kg": one.working_sets[0].load_kg,
            "reps": 5,
        }
        for one in lifts
        for number in range(1, min(sets, len(one.working_sets)) + 1)
    ]


def test_a_joint_that_gets_sore_on_the_second_day_leaves_the_first_as_it_was(gym: Any) -> None:
    (_, first), (second_date, second) = days_of(gym)
    sore = limit_said({"joint": "elbow", "side": "both"}, second_date)

    after = limit(gym.trainee, sore, second_date, gym.coach.user)

    assert after.changes and {one.session for one in after.changes if one.week == 1} == {second}
    old, new = (next(one for one in block.weeks[0].sessions if one.day == first) for block in (gym.block, after))
    assert old == new
    kept = next(one for one in after.inputs.trainee.restrictions if one.joint == "elbow")
    assert kept.since == second_date
    assert not block_faults(after, "block", catalogue())
    accept(gym.trainee, after.id, None, gym.coach.user)
    assert current_of(gym.trainee).id == after.id


def test_a_joint_that_gets_sore_in_mid_session_still_changes_what_is_left_of_it(gym: Any) -> None:
    first_date, first = days_of(gym)[0]
    keep_rows(gym.trainee, rows_of(gym, first_date, 1), now_text())

    ahead = what_is_ahead(gym.block, log_of(gym.trainee, catalogue()), first_date)

    assert (ahead.week, ahead.day) == (1, first_date) and (first, 1) not in ahead.done


def test_what_stands_in_in_mid_session_has_only_the_sets_that_are_left(gym: Any) -> None:
    """Two of three sets of a press are done when the elbow gets sore: one set of something else is left, not three."""
    first_date, first = next(one for one in days_of(gym) if one[0] == gym.today)  # with the squat and the press
    keep_rows(gym.trainee, rows_of(gym, first_date, 2), now_text())

    after = limit(gym.trainee, limit_said({"joint": "elbow"}, first_date), first_date, gym.coach.user)

    lifts = {catalogue().get(row["exercise"]).name for row in rows_of(gym, first_date, 1)}
    now = [one for one in after.changes if (one.week, one.session) == (1, first) and one.entry in lifts]
    swapped = [one for one in now if one.from_.startswith(one.entry) and not one.to.startswith(one.entry)]
    assert any(sets_in(one.from_) == 3 for one in swapped)
    for one in swapped:
        planned = sets_in(one.from_)
        assert f"{min(2, planned)} of {planned} sets are done already." in one.why
        assert one.to == "rests" if planned <= 2 else sets_in(one.to) <= planned - 2
    untouched = [one for one in after.changes if one.entry not in lifts]
    assert not any("are done already" in one.why for one in untouched)
    assert not block_faults(after, "block", catalogue())


def sets_in(words: str) -> int:
    """How many sets the words of an entry name: ``bench press, 3 x 5``."""
    found = re.search(r"(\d+) x ", words)
    assert found, words
    return int(found[1])


def test_a_session_of_which_every_set_is_logged_is_over(gym: Any) -> None:
    (first_date, first), (second_date, _) = days_of(gym)
    keep_rows(gym.trainee, rows_of(gym, first_date, 9), now_text())

    ahead = what_is_ahead(gym.block, log_of(gym.trainee, catalogue()), first_date)

    assert ahead.day == second_date and (first, 1) in ahead.done


def test_a_limit_of_long_ago_is_kept_from_the_first_session_that_is_still_ahead(gym: Any) -> None:
    second_date = days_of(gym)[1][0]
    old = replace(limit_said({"joint": "elbow"}, second_date), since=second_date - timedelta(days=40))

    after = limit(gym.trainee, old, second_date, gym.coach.user)

    assert not block_faults(after, "block", catalogue())
    assert next(one.since for one in after.inputs.trainee.restrictions if one.joint == "elbow") == second_date


def test_a_limit_said_between_two_sessions_holds_from_that_day(gym: Any) -> None:
    (first_date, _), (second_date, _) = days_of(gym)
    between = first_date + timedelta(days=1)
    assert between < second_date

    after = limit(gym.trainee, limit_said({"joint": "elbow"}, between), between, gym.coach.user)

    assert next(one.since for one in after.inputs.trainee.restrictions if one.joint == "elbow") == between


def test_a_limit_said_after_the_session_of_a_day_holds_from_the_next_day(gym: Any) -> None:
    first_date = days_of(gym)[0][0]
    keep_rows(gym.trainee, rows_of(gym, first_date, 9), now_text())

    after = limit(gym.trainee, limit_said({"joint": "elbow"}, first_date), first_date, gym.coach.user)

    since = next(one.since for one in after.inputs.trainee.restrictions if one.joint == "elbow")
    assert since == first_date + timedelta(days=1)


def test_after_the_last_session_nothing_can_change(gym: Any) -> None:
    last = session_date(gym.block, len(gym.block.weeks), "sun") + timedelta(days=1)

    with pytest.raises(InputFaults, match="Every session of the block is over"):
        what_is_ahead(gym.block, log_of(gym.trainee, catalogue()), last)
