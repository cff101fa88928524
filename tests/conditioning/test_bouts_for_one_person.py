"""A bout fitted to one person: gates, stand-ins, own steps, loads, minutes. Referee beside each check."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conditioning_floor import GYM, block_of, bouts_in
from made_block import PERSON, START

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import StepReached, Trainee
from setwright.plan.bout import Target
from setwright.plan.gates import judge
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.words import NO_LIFTS, effort_of_lifts, effort_today

MIX = "10 kettlebell swings @ 16 kg, 8 push-ups, 200 m run"


def alone(text: str, person: Trainee = PERSON) -> float:
    """Minutes of a session that is only this."""
    block = block_of(text, person)
    (session,) = block.weeks[0].sessions
    warm_up = [part for part in session.parts if part.part == "warm-up"]
    from setwright.plan.session_time import session_minutes_of

    return session.minutes - session_minutes_of(warm_up, catalogue(), GYM)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        (f"AMRAP 12 min: {MIX}", 12.0),
        ("every minute on the minute for 10 min: 5 push-ups", 10.0),
        ("every 90 s for 8 rounds: sled push 20 m", 12.0),
        ("circuit, 3 rounds, 40 s work, 20 s to change: sled push, plank, rower", 8.7),
        ("rower 6 x 500 m, rest 2 min @ 2:00/500 m", 22.0),
        ("bike 30 min at heart rate 125-140", 30.0),
        ("bike, tabata", 3.8),
    ],
)
def test_a_bout_takes_what_its_clock_says(text: str, minutes: float) -> None:
    """Referee: the clock, by hand: 3 x 3 x 60 s - 20 s; 6 x 2 min + 5 x 2 min; 8 x 20 s + 7 x 10 s."""
    changing = (10.0 + 75.0) / 60.0  # to get ready, and from the warm-up

    assert alone(text) == pytest.approx(minutes + changing, abs=0.2)


def test_a_bout_for_time_takes_its_cap_at_most() -> None:
    long = "30 rounds for time{}: " + MIX
    (first, *_) = bouts_in(block_of(long.format("")))

    assert first.bout is not None and first.bout.likely_s is not None and first.bout.likely_s[0] > 900.0
    assert alone(long.format(", cap 15 min")) == pytest.approx(15.0 + 85.0 / 60.0, abs=0.2)


def test_a_restriction_closes_a_movement_and_another_stands_in_with_its_reason() -> None:
    person = replace(PERSON, restrictions=(parse_restriction("no impact on the knee"),))
    block = block_of(f"AMRAP 12 min: {MIX}", person)

    movements = bouts_in(block)
    (change,) = [one for one in block.changes if one.entry == "run"]
    assert "run" not in [one.exercise for one in movements] and len(movements) == 3
    assert len({one.superset for one in movements}) == 1 and "knee restriction" in change.why
    assert all(
        judge(catalogue().get(one.exercise), person.restrictions, frozenset(), ignore_equipment=True).allowed
        for one in movements
    )


def test_a_stand_in_takes_about_as_long() -> None:
    """Referee: the file of usual paces, common practice: 200 m at 2.8 m/s are 71 s, 264 m on the rower."""
    person = replace(PERSON, restrictions=(parse_restriction("no impact on the knee"),))
    block = block_of(f"AMRAP 12 min: {MIX}", person)

    (other,) = [one for one in bouts_in(block) if one.exercise not in ("kb_swing", "pushup")]
    from setwright.plan.bout_time import work_s

    assert other.bout is not None
    seconds = work_s(other.sets[0], catalogue().get(other.exercise), other.bout)
    assert seconds == pytest.approx(200 / 2.8, rel=0.35)


def test_a_pace_meant_for_one_machine_is_not_asked_of_another() -> None:
    person = replace(PERSON, restrictions=(parse_restriction("knee flexion over 60"),))
    (rowed,) = bouts_in(block_of("rower 4 x 500 m, rest 2 min @ 2:05/500 m", person))
    (talked,) = bouts_in(block_of("rower 20 min, talk test: short sentences", person))

    assert rowed.exercise != "rower" and rowed.bout is not None and rowed.bout.target is None
    assert talked.bout is not None and talked.bout.target == Target("talk", says="short sentences")


def test_who_stands_lower_on_a_progression_does_the_own_step() -> None:
    """Referee: the progression file: step 4 is slow lowering, for no rounds; beside it stands feet-assisted work."""
    person = replace(PERSON, steps=(StepReached("pullup", 4, START),))
    block = block_of("AMRAP 10 min: 5 pull-ups, 10 push-ups", person)

    first = bouts_in(block)[0]
    assert first.exercise == "pullup_feet" and first.sets[0].reps == (5, 5)
    assert any("has reached step 4" in one.why for one in block.changes)


def test_who_stands_high_enough_does_what_was_written() -> None:
    person = replace(PERSON, steps=(StepReached("pullup", 99, START),))
    top = max(step.number for step in catalogue().progressions["pullup"].steps)
    person = replace(PERSON, steps=(StepReached("pullup", top, START),))
    block = block_of("AMRAP 10 min: 5 pull-ups", person)

    assert [one.exercise for one in bouts_in(block)] == ["pullup"] and not block.changes


def test_the_coachs_load_stands_in_a_bout() -> None:
    (swing, *_) = bouts_in(block_of("AMRAP 12 min: 10 kettlebell swings @ 16 kg, 8 push-ups"))

    assert swing.sets[0].load_kg == 16.0


def test_a_limited_joint_is_not_loaded_by_the_coachs_number_nor_raced() -> None:
    person = replace(PERSON, restrictions=(parse_restriction("light knee work"),))
    block = block_of("5 rounds for time: 10 goblet squats @ 24 kg, 10 push-ups", person)

    squat = bouts_in(block)[0]
    assert squat.exercise == "goblet_squat" and squat.sets[0].load_kg is not None and squat.sets[0].load_kg < 24.0
    assert any("own pace" in one for one in squat.cautions)


def test_a_load_too_heavy_for_rounds_is_said() -> None:
    """Twice the repetitions should be possible fresh. Referee: common practice, no published source."""
    heavy = bouts_in(block_of("AMRAP 12 min: 10 bench press @ 75 kg, 8 push-ups"))[0]
    light = bouts_in(block_of("AMRAP 12 min: 10 bench press @ 30 kg, 8 push-ups"))[0]

    assert "Heavy for rounds" in heavy.sets[0].note and "Heavy" not in light.sets[0].note


def test_a_ladder_has_its_own_repetitions_in_each_round() -> None:
    made = bouts_in(block_of("21-15-9 for time: kettlebell swings @ 16 kg, push-ups"))

    assert [[one.reps for one in entry.sets] for entry in made] == [[(21, 21), (15, 15), (9, 9)]] * 2


def test_a_day_of_conditioning_alone_is_warmed_up_for() -> None:
    (session,) = block_of(f"AMRAP 12 min: {MIX}").weeks[0].sessions

    assert session.parts[0].part == "warm-up" and len(session.parts[0].entries) >= 2


def test_a_bout_survives_its_file_and_older_blocks_know_none() -> None:
    """Referee: the block itself, read back; and the keys of the file."""
    with_bout = block_of(f"AMRAP 12 min: {MIX}")
    without = block_of("push-up 3 x 8\nbike 8 x 20 s, rest 10 s")

    assert block_from_json(block_to_json(with_bout), "block.json") == with_bout
    assert b'"bout"' in block_to_json(with_bout) and b'"bout"' not in block_to_json(without)


def test_the_head_of_a_session_says_the_effort_that_its_own_main_lifts_ask() -> None:
    """Referee: RPE = 10 - RIR (Helms 2016, from memory), and what the text asks, line by line."""
    text = "1 week\nMonday\nMain\nback squat 3 x 5 @ 7\n{}\nTuesday\nbike 20 min, talk test: whole sentences"
    one, none = block_of(text.format("")).weeks[0].sessions
    two = block_of(text.format("bench press 3 x 5 @ 8")).weeks[0].sessions[0]

    assert effort_of_lifts(one) == "main lifts RPE 7: about 3 left"
    assert effort_of_lifts(two) == "main lifts RPE 7 to 8: about 2 to 3 left"
    assert effort_of_lifts(none) == NO_LIFTS and effort_today(none) == ""
