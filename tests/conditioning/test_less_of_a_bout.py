"""Less of a bout, in every format: its movements together, its amounts never above the share. Referees beside."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from conditioning_floor import GYM, block_of, bouts_in
from made_block import PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block, Entry
from setwright.plan.bout_less import at_most, bout_in_words, bout_name, size_of, with_share
from setwright.plan.identity import with_id
from setwright.plan.reshape import reshape_block
from setwright.plan.reshape_options import Asked
from setwright.plan.restrict import restrict_block
from setwright.plan.revisions import with_some
from setwright.plan.session_time import session_minutes_of
from setwright.review.proposals import proposed
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSet

MOVES = "10 kettlebell swings @ 16 kg, 5 pull-ups, 200 m run"
ROUNDS = f"as many rounds as possible in 12 min: {MOVES}"


def bout_of(text: str) -> list[Entry]:
    return bouts_in(block_of(f"Mon\nback squat 4 x 5 @ 7\n\n{text}"))


@pytest.mark.parametrize(
    ("text", "half"),
    [
        (ROUNDS, "as many rounds as possible in 6 min: kettlebell swing 10 reps, pull-up 5 reps, run 200 m"),
        (f"5 rounds for time: {MOVES}", "2 rounds for time: kettlebell swing 10 reps, pull-up 5 reps, run 200 m"),
        ("21-15-9 for time: kettlebell swings @ 16 kg, push-ups", "9 for time: kettlebell swing, push-up"),
        (f"1 rounds for time: {MOVES}", "1 rounds for time: kettlebell swing 5 reps, pull-up 2 reps, run 100 m"),
        (
            "every minute on the minute for 10 min: 5 push-ups, 8 bodyweight squats",
            "every minute on the minute for 5 min: push-up 5 reps, bodyweight squat 8 reps",
        ),
        (
            "circuit, 3 rounds, 40 s work, 20 s to change: sled push, plank, rower",
            "circuit, 1 rounds, 40 s work, 20 s to change: sled push, forearm plank, rowing machine",
        ),
    ],
)
def test_half_of_a_bout_by_hand(text: str, half: str) -> None:
    """Referee: halves by hand, rounded down; of falling rounds the small ones stay."""
    before = bout_of(text)
    after = with_share(before, 0.5, catalogue())

    assert bout_in_words(after, catalogue()).replace("  ", " ") == half
    assert [one.exercise for one in after] == [one.exercise for one in before]
    assert len({one.bout for one in after}) == 1 and size_of(after) <= 0.5 * size_of(before)


def test_movements_that_take_turns_share_the_minutes_that_are_left() -> None:
    """Referee: by hand: of seven minutes three are left, the first movement has two of them."""
    text = "every minute on the minute for 7 min: 5 push-ups, 8 bodyweight squats"
    after = with_share(bout_of(text), 0.5, catalogue())

    assert [len(one.working_sets) for one in after] == [2, 1]
    assert all(one.bout is not None and (one.bout.rounds, one.bout.time_s) == (3, 180.0) for one in after)


@pytest.mark.parametrize(
    "text", ["rower 4 x 500 m, rest 2 min @ 2:05/500 m", "walk 40 min, talk test: whole sentences"]
)
def test_pieces_get_fewer_and_one_alone_shorter(text: str) -> None:
    """Referee: halves by hand."""
    (before,) = bout_of(text)
    (after,) = with_share([before], 0.5, catalogue())

    assert size_of([after]) == 0.5 * size_of([before]) and after.bout == before.bout


@pytest.mark.parametrize("share", [0.2, 0.5, 0.7, 0.9, 1.0])
def test_no_more_than_a_size_and_again_changes_nothing(share: float) -> None:
    before = bout_of(ROUNDS)
    after = at_most(before, share * size_of(before), catalogue())

    assert size_of(after) <= share * size_of(before) + 1e-9
    assert at_most(after, share * size_of(before), catalogue()) == after
    assert share < 1.0 or after == before


def test_a_short_day_keeps_a_bout_whole_gives_less_of_it_or_leaves_it_out() -> None:
    """Minutes are hard. Referee: the time model, and the movements of the bout before."""
    before = block_of(f"Mon\nback squat 4 x 5 @ 7\n\n{ROUNDS}\n\nWed\nbench press 4 x 6 @ 7")
    moves, seen = [one.exercise for one in bouts_in(before)], set()
    for minutes in range(20, 46):
        made = reshape_block(before, Asked(minutes={"mon": float(minutes)}), catalogue(), estimates_of(), 1)
        session = made.weeks[0].sessions[0]
        entries = [one for part in session.parts for one in part.entries if one.bout]

        assert session.minutes == session_minutes_of(session.parts, catalogue(), GYM) <= minutes + 1e-6
        assert [one.exercise for one in entries] in ([], moves) and len({one.bout for one in entries}) <= 1
        seen.add(bout_name(entries[0]) if entries else "none")
    assert {"none", "as many rounds as possible in 9 min", "as many rounds as possible in 12 min"} <= seen


def test_less_of_a_bout_is_one_change_taken_or_left_as_one() -> None:
    before = block_of(f"Mon\nback squat 4 x 5 @ 7\n\n{ROUNDS}\n\nWed\nbench press 4 x 6 @ 7")
    whole = before.weeks[0].sessions[0].minutes
    made = reshape_block(before, Asked(minutes={"mon": whole - 2.5}), catalogue(), estimates_of(), 1)
    rows = [one for one in made.changes if one.week == 1 and one.entry == bout_name(bouts_in(before)[0])]

    assert len(rows) == 1 and rows[0].to == bout_name(bouts_in(made)[0]) != rows[0].from_
    number = made.changes.index(rows[0]) + 1
    taken = with_some(before, made, [number], catalogue())
    left = with_some(before, made, [one for one in range(1, len(made.changes) + 1) if one != number], catalogue())
    assert bouts_in(taken) == bouts_in(made) and bouts_in(left) == bouts_in(before)


def test_a_barred_movement_gets_a_stand_in_and_the_bout_stays_one() -> None:
    before = block_of(f"Mon\nback squat 4 x 5 @ 7\n\n{ROUNDS}")
    made = reshape_block(before, Asked(barred=("run",)), catalogue(), estimates_of(), 1)
    entries = bouts_in(made)

    assert [one.exercise for one in entries][:2] == ["kb_swing", "pullup"] and len(entries) == 3
    assert entries[2].exercise != "run" and len({one.superset for one in entries}) == 1


def test_a_stand_in_at_a_station_of_the_bout_leaves_it_one() -> None:
    """Referee: the clock of the heading: a bout is done in its minutes, whatever stands in it."""
    text = "as many rounds as possible in 12 min: 250 m row, 10 push-ups, 200 m run"
    before = block_of(f"Mon\nback squat 4 x 5 @ 7\n\n{text}")
    rule = parse_restriction("no impact on the knee")
    made = restrict_block(before, rule, catalogue(), estimates_of(), 1)

    assert len({one.superset for one in bouts_in(made)}) == 1 and len(bouts_in(made)) == 3
    assert made.weeks[0].sessions[0].minutes <= before.weeks[0].sessions[0].minutes + 1


def test_the_way_back_gives_a_share_of_each_bout_and_every_movement() -> None:
    """Referee: CSCCa/NSCA 2019 (digest): 50 and 70 % of the usual conditioning; by hand of 12 min and of 4 pieces."""
    text = f"{ROUNDS}\n\nrower 4 x 500 m, rest 2 min @ 2:05/500 m"
    written = block_of(f"4 weeks\n\nMon\nback squat 4 x 5 @ 7\n\n{text}")
    week = written.weeks[0]
    before = with_id(replace(written, id="", weeks=tuple(replace(week, number=n) for n in (1, 2, 3, 4))))
    back, first = START + timedelta(days=21), LoggedSet(START, 1, "mon", "back_squat", 1, load_kg=60.0, reps=5)

    def ahead(block: Block) -> Block:
        log = Log((first,), ())
        known = estimate_lifts(PERSON, catalogue(), PERSON.baselines, log, back)
        return proposed(block, log, known, catalogue(), back).block

    made = ahead(before)
    minutes = {
        n: [one.bout.time_s / 60 for one in bouts_in(made, n) if one.bout and one.bout.time_s] for n in (1, 2, 3, 4)
    }
    assert minutes[4] == [6.0] * 3 and minutes[1] == [12.0] * 3
    assert [len(one.working_sets) for one in bouts_in(made, 4) if one.exercise == "rower"] == [2]
    assert [one.exercise for one in bouts_in(made, 4)] == [one.exercise for one in bouts_in(before, 4)]
    assert [one.to for one in made.changes if "as many rounds" in one.entry] == ["as many rounds as possible in 6 min"]
    assert ahead(made) is made


def test_a_written_day_that_is_too_long_is_told_what_less_of_the_bout_would_do() -> None:
    person = replace(PERSON, days=(TrainingDay("mon", 60, "gym"),))
    text = f"Mon, 24 min\n{ROUNDS}\n\nrower 4 x 250 m, rest 1 min @ 2:05/500 m"
    words = " ".join(one.why for one in block_of(text, person).unmet)

    assert "as many rounds as possible in" in words and "instead of as many rounds as possible in 12 min" in words
    assert "sets of kettlebell swing" not in words and "no kettlebell swing" not in words
