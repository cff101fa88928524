"""A bout of a lost day goes to another day whole, or is left out with the reason. Referees beside each check."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from conditioning_floor import GYM, block_of
from made_block import estimates_of

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.plan.gates import judge
from setwright.plan.reshape import reshape_block
from setwright.plan.reshape_options import Asked
from setwright.plan.revisions import with_some
from setwright.plan.session_time import session_minutes_of

SWINGS = "as many rounds as possible in 12 min: 10 kettlebell swings @ 16 kg, 5 pull-ups, 200 m run"
THREE = f"Mon\nback squat 3 x 5 @ 7\n\n{SWINGS}\n\nWed\nbench press 3 x 6 @ 7\n\nFri\ndeadlift 3 x 5 @ 7"
EMOM = "every minute on the minute for 10 min: 5 push-ups, 8 glute bridges"
LOST = Asked(lost_days=("mon",))


def moved(text: str = THREE, asked: Asked = LOST) -> tuple[Any, Any]:
    before = block_of(text)
    return before, reshape_block(before, asked, catalogue(), estimates_of(), 1)


def bouts_on(block: Any, week: int = 0) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for session in block.weeks[week].sessions:
        found[session.day] = [e for p in session.parts for e in p.entries if e.bout is not None]
    return {day: entries for day, entries in found.items() if entries}


def test_a_bout_of_a_lost_day_moves_as_one() -> None:
    before, after = moved()
    (day,) = bouts_on(after)
    old, new = bouts_on(before)["mon"], bouts_on(after)[day]

    assert [one.exercise for one in new] == [one.exercise for one in old] == ["kb_swing", "pullup", "run"]
    assert [(one.bout, one.sets) for one in new] == [(one.bout, one.sets) for one in old]
    assert len({one.superset for one in new}) == 1 and new[0].superset
    rows = [one for one in after.changes if one.entry.startswith("as many rounds")]
    assert [(one.week, one.session) for one in rows] == [(1, "mon")]
    assert rows[0].to.startswith("to ") and rows[0].to.endswith(rows[0].from_) and "Monday is lost" in rows[0].why


def test_minutes_equipment_and_limits_hold_where_it_goes() -> None:
    """Referees: the time model, asked of each session as it stands, and the gate, asked of each movement."""
    for minutes in (20.0, 30.0, 40.0, 60.0):
        asked = Asked(lost_days=("mon",), minutes={"wed": minutes, "fri": minutes})
        before, after = moved(asked=asked)
        for session in after.weeks[0].sessions:
            assert session_minutes_of(session.parts, catalogue(), GYM) == session.minutes <= minutes + 1e-6
            shared = [e for p in session.parts for e in p.entries if e.superset and e.bout]
            assert len(shared) in (0, 3), "never a part of it"
        for entries in bouts_on(after).values():
            for one in entries:
                tokens = expand_tokens(GYM.tokens())
                trainee = before.inputs.trainee
                assert judge(catalogue().get(one.exercise), trainee.restrictions, tokens, trainee, one.dials).allowed


def test_a_bout_that_no_day_has_room_for_is_left_out_in_one_row() -> None:
    _, after = moved(asked=Asked(lost_days=("mon",), minutes={"wed": 20.0, "fri": 20.0}))

    assert bouts_on(after) == {}
    (row,) = [one for one in after.changes if one.entry.startswith("as many rounds")]
    assert row.to == "left out" and "No other day has room for it" in row.why


@pytest.mark.parametrize(("part", "goes"), [("Warm-up", True), ("Assistance", False)])
def test_a_drill_of_the_warm_up_keeps_no_bout_away_and_work_does(part: str, goes: bool) -> None:
    """Common practice, no published source: a warm-up may hold a movement that the work of the day holds too."""
    text = (
        "Mon\nback squat 3 x 5 @ 7\n\nevery minute on the minute for 8 min: 5 push-ups, 8 bodyweight squats\n\n"
        f"Wed\n{part}\nbodyweight squat 1 x 10\n\nMain\nbench press 3 x 6 @ 7"
    )
    before, after = moved(text)
    (session,) = after.weeks[0].sessions
    slugs = [(part.part, one.exercise) for part in session.parts for one in part.entries]
    shared = bouts_on(before)["mon"][1].exercise

    assert (part.lower(), shared) in slugs
    assert (len(bouts_on(after).get("wed", [])) == 2) is goes
    assert goes or not bouts_on(after)


def test_it_gets_a_letter_of_its_own_beside_the_bout_of_that_day() -> None:
    """Referee: the time model again: two clocks, one after the other, not one of five movements."""
    text = f"Mon\nback squat 3 x 5 @ 7\n\n{SWINGS}\n\nWed\nbench press 3 x 6 @ 7\n\n{EMOM}"
    _, after = moved(text)
    by_letter: dict[str, list[str]] = {}
    for one in bouts_on(after)["wed"]:
        by_letter.setdefault(one.superset, []).append(one.exercise)

    assert sorted(map(len, by_letter.values())) == [2, 3]
    (session,) = after.weeks[0].sessions
    alone = replace(
        session,
        parts=tuple(
            replace(part, entries=tuple(e for e in part.entries if e.bout is None or e.bout.format != "as-many-rounds"))
            for part in session.parts
        ),
    )
    assert session.minutes - session_minutes_of(alone.parts, catalogue(), GYM) == pytest.approx(12 + 75 / 60, abs=0.6)


def test_two_lost_bouts_keep_their_own_clocks() -> None:
    text = f"Mon\nback squat 3 x 5 @ 7\n\n{SWINGS}\n\nTue\nbench press 3 x 6 @ 7\n\n{EMOM}\n\nFri\ndeadlift 3 x 5 @ 7"
    _, after = moved(text, Asked(lost_days=("mon", "tue"), minutes={"fri": 120.0}))
    here = bouts_on(after)["fri"]

    letters = {one.superset: one.bout.format for one in here}
    assert len(here) == 5 and sorted(letters.values()) == ["as-many-rounds", "every-minute"]


def test_whoever_leaves_the_move_keeps_the_bout_where_it_stood() -> None:
    before, after = moved()
    number = next(n for n, one in enumerate(after.changes, start=1) if one.entry.startswith("as many rounds"))
    others = [n for n in range(1, len(after.changes) + 1) if n != number]

    only, without = (with_some(before, after, taken, catalogue()) for taken in ([number], others))

    assert set(bouts_on(only)) == set(bouts_on(after)) and len(next(iter(bouts_on(only).values()))) == 3
    assert list(bouts_on(without)) == ["mon"] and len(bouts_on(without)["mon"]) == 3
