"""Conditioning in the coach's shorthand. Referee: what a coach means by it (common practice, no published source)."""

from __future__ import annotations

import pytest

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.plan.bout import Bout, Target
from setwright.plan.shorthand import read_block_text, write_block_text
from setwright.plan.template import TemplateEntry

SWINGS = "10 kettlebell swings @ 16 kg, 8 push-ups"
HEADS: list[tuple[str, Bout]] = [
    ("5 rounds for time:", Bout("rounds-for-time", rounds=5)),
    ("3 RFT:", Bout("rounds-for-time", rounds=3)),
    ("5 rounds for time, cap 15 min:", Bout("rounds-for-time", rounds=5, time_s=900.0)),
    ("3 rounds for time (cap 12 min):", Bout("rounds-for-time", rounds=3, time_s=720.0)),
    ("For time, within 10 min:", Bout("rounds-for-time", rounds=1, time_s=600.0)),
    ("21-15-9 for time:", Bout("rounds-for-time", rounds=3, ladder=(21, 15, 9))),
    ("as many rounds as possible in 12 min:", Bout("as-many-rounds", time_s=720.0)),
    ("AMRAP 8 min:", Bout("as-many-rounds", time_s=480.0)),
    ("12 min AMRAP:", Bout("as-many-rounds", time_s=720.0)),
    ("every minute on the minute for 10 min:", Bout("every-minute", rounds=10, every_s=60.0, time_s=600.0)),
    ("EMOM 12:", Bout("every-minute", rounds=12, every_s=60.0, time_s=720.0)),
    ("E2MOM x 5:", Bout("every-minute", rounds=5, every_s=120.0, time_s=600.0)),
    ("every 90 s for 8 rounds:", Bout("every-minute", rounds=8, every_s=90.0, time_s=720.0)),
]


def entries(text: str, weeks: int = 1) -> list[TemplateEntry]:
    return list(read_block_text(text, catalogue(), weeks=weeks).template.sessions[0].entries)


def fault_of(text: str) -> str:
    with pytest.raises(InputFaults) as caught:
        read_block_text(text, catalogue(), "board.txt")
    return str(caught.value)


@pytest.mark.parametrize(("head", "bout"), HEADS, ids=[head for head, _ in HEADS])
def test_a_heading_says_the_format_with_its_numbers(head: str, bout: Bout) -> None:
    swing, push = entries(f"{head} {SWINGS}")

    assert swing.bouts == push.bouts == (bout,)
    assert (swing.exercise, push.exercise, swing.part) == ("kb_swing", "pushup", "conditioning")
    assert swing.superset == push.superset is not None


def test_minutes_and_rounds_that_disagree_are_told() -> None:
    assert "found 10 rounds in 12 min" in fault_of(f"every minute on the minute for 10 rounds, 12 min: {SWINGS}")
    agreed, *_ = entries(f"every 2 min for 5 rounds, 10 min: {SWINGS}")

    assert agreed.bouts == (Bout("every-minute", rounds=5, every_s=120.0, time_s=600.0),)


def test_movements_stand_behind_the_colon_or_on_the_lines_below() -> None:
    below = "AMRAP 12 min:\n- 10 kettlebell swings @ 16 kg\n- 8 push-ups\n\nplank 3 x 30 s"
    *lined, plank = entries(below)

    inline = entries(f"AMRAP 12 min: {SWINGS}")
    assert [(one.exercise, one.schemes, one.bouts) for one in lined] == [
        (one.exercise, one.schemes, one.bouts) for one in inline
    ]
    assert plank.exercise == "plank" and not plank.bouts


def test_an_every_minute_bout_of_three_movements_gives_each_its_turns() -> None:
    made = entries("every minute on the minute for 10 min: 6 push-ups, 10 bodyweight squats, 8 kettlebell swings")

    assert [one.schemes[0].sets for one in made if one.schemes[0]] == [4, 3, 3]


def test_a_station_works_by_the_clock() -> None:
    sled, plank = entries("circuit, 3 rounds, 40 s work, 20 s to change: sled push, plank")

    assert sled.bouts == (Bout("circuit", rounds=3, work_s=40.0, rest_s=20.0),)
    scheme, held = sled.schemes[0], plank.schemes[0]
    assert scheme is not None and held is not None
    assert (scheme.sets, scheme.time_s, held.kind, held.hold_s) == (3, 40.0, "hold", 40.0)


def test_rounds_without_a_clock_stay_a_superset() -> None:
    made = entries("3 rounds:\n10 push-ups\n12 kettlebell swings\n")

    assert all(not one.bouts for one in made) and {one.superset for one in made} == {"A"}


TARGETS: list[tuple[str, Target]] = [
    ("rower 4 x 500 m, rest 2 min @ 2:05-2:10/500 m", Target("pace", 125.0, 130.0, per_m=500.0)),
    ("run 5 x 1 km, rest 90 s, at 4:45 per km", Target("pace", 285.0, 285.0, per_m=1000.0)),
    ("bike 3 x 5 min, rest 3 min, 200-220 watts", Target("watts", 200.0, 220.0)),
    ("bike 40 min at heart rate 125-140", Target("heart rate", 125.0, 140.0)),
    ("run 30 min, 130-145 bpm", Target("heart rate", 130.0, 145.0)),
    ("bike 30 min at 65-75 % of max heart rate", Target("heart rate", of="maximum", share=(0.65, 0.75))),
    ("run 30 min so that you can talk in whole sentences", Target("talk", says="whole sentences")),
    ("walk 40 min, talk test: short sentences", Target("talk", says="short sentences")),
    ("run 6 x 400 m in 1:30, rest 2 min", Target("pace", 90.0, 90.0, per_m=400.0)),
    ("rower 4 x 1 km in 3:40-3:50", Target("pace", 220.0, 230.0, per_m=1000.0)),
]


@pytest.mark.parametrize(("line", "target"), TARGETS, ids=[line for line, _ in TARGETS])
def test_a_target_is_a_pace_watts_a_heart_rate_or_the_talk_test(line: str, target: Target) -> None:
    (entry,) = entries(line)

    assert entry.bouts[0] is not None and entry.bouts[0].target == target
    assert entry.bouts[0].format == ("intervals" if " x " in line else "steady")


def test_the_trades_name_for_eight_times_twenty_seconds_needs_no_numbers() -> None:
    """8 x 20 s with 10 s between. Referee: Tabata 1996, Med Sci Sports Exerc 28:1327, from memory."""
    (entry,) = entries("bike, tabata")

    scheme = entry.schemes[0]
    assert scheme is not None and (scheme.sets, scheme.time_s, scheme.rest_s) == (8, 20.0, 10.0)


def test_a_carry_may_start_by_the_clock() -> None:
    (entry,) = entries("farmer's carry 6 x 40 m every 90 s")

    assert entry.bouts == (Bout("carries-and-sled", rounds=6, every_s=90.0),)


def test_metres_with_a_row_are_on_the_machine() -> None:
    (entry,) = entries("row 4 x 500 m, rest 2 min")

    scheme = entry.schemes[0]
    assert entry.exercise == "rower" and scheme is not None and (scheme.kind, scheme.distance_m) == ("interval", 500.0)


def test_an_easy_week_has_fewer_rounds_and_minutes() -> None:
    text = f"2 weeks\nweek 1 RPE 7, week 2 easy\nMon\nAMRAP 10 min: {SWINGS}\n\n5 rounds for time: {SWINGS}"
    made = entries(text, 2)

    assert [one.time_s for one in made[0].bouts if one] == [600.0, 360.0]
    assert [one.rounds for one in made[2].bouts if one] == [5, 3]
    assert [one.sets for one in made[2].schemes if one] == [5, 3]


def test_a_bout_may_be_for_some_weeks_only() -> None:
    made = entries("2 weeks\nMon\nweek 1: AMRAP 10 min: 10 push-ups\nweek 2: AMRAP 14 min: 10 push-ups", 2)

    assert [[one.time_s if one else None for one in each.bouts] for each in made] == [[600.0, None], [None, 840.0]]


REFUSED = [
    ("AMRAP: 10 push-ups", "as many rounds as possible in 12 min"),
    ("AMRAP 12 min:", "its movements on the lines below, or behind a colon"),
    ("AMRAP 12 min: push-ups", "what one round asks"),
    ("AMRAP 12 min: 3 x 10 push-ups", "the rounds stand in the heading"),
    ("AMRAP 12 min: 10 push-ups rest 30 s", "rests stand in the heading"),
    ("5 rounds of 21-15-9 for time: push-ups", "as many rounds as numbers"),
    ("circuit, 2 rounds, 40 s work: 10 push-ups", "its work is by the clock"),
    ("AMRAP 999 min: 10 push-ups", "30 s to 240 min"),
    ("every minute on the minute: 5 push-ups", "every minute on the minute for 10 min"),
    ("AMRAP 12 min with gusto: 10 push-ups", "a heading like"),
    ("rower 4 x 500 m @ 0:20/500 m", "a pace like 2:05 per 500 m"),
    ("back squat 4 x 5 at heart rate 130", "such a target at conditioning work only"),
    ("bike 20 min at heart rate 140, 200 watts", "one of pace, watts, heart rate or talk test"),
    ("power clean EMOM 10 min", "the format first"),
]


@pytest.mark.parametrize(("text", "expected"), REFUSED, ids=[one[0] for one in REFUSED])
def test_a_line_that_cannot_be_meant_gives_one_clear_fault(text: str, expected: str) -> None:
    sentence = fault_of(text)

    assert sentence.count("board.txt: line 1") == 1 and expected in sentence


def test_what_is_written_out_reads_back_to_the_same() -> None:
    """Referee: the text itself, read again."""
    text = "\n".join(
        [
            "Mon",
            *(f"{head} {SWINGS}" for head, bout in HEADS if not bout.ladder),
            "21-15-9 for time: kettlebell swings @ 16 kg, push-ups",
            "circuit, 3 rounds, 40 s work, 20 s to change: sled push, plank",
            *(line for line, _ in TARGETS),
            "farmer's carry 6 x 40 m @ 24 kg every 90 s",
        ]
    )
    first = read_block_text(text, catalogue())
    again = read_block_text(write_block_text("Again", first.template, catalogue()), catalogue())

    def shown(found: list[TemplateEntry]) -> list[object]:
        return [(one.exercise, one.part, one.schemes, one.bouts, one.dials) for one in found]

    assert shown(list(again.template.sessions[0].entries)) == shown(list(first.template.sessions[0].entries))


@pytest.mark.parametrize("line", ["rower 6 x 500 m @ 2:05, rest 2 min", "rower 6 x 500 m, rest 2 min, 2:05"])
def test_a_time_that_could_mean_two_things_is_asked_about(line: str) -> None:
    """On a rower it is a pace for 500 m, on a track the time of a piece: common practice, no published source."""
    with pytest.raises(InputFaults) as raised:
        read_block_text(f"Mon\n{line}", catalogue())

    (fault,) = raised.value.faults
    assert fault.found == "'2:05'" and "in 2:05 for each piece" in fault.allowed and "rest 2:05" in fault.allowed


def test_a_heading_may_end_with_a_heart_rate() -> None:
    line = "circuit, 2 rounds, 40 s work, 20 s to change, 70-80 % of max heart rate: plank, bike"
    made = entries(line)

    assert [one.exercise for one in made] == ["plank", "bike"]
    assert {one.bouts[0].target.share for one in made if one.bouts[0] and one.bouts[0].target} == {(0.7, 0.8)}
