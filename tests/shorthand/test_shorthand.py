"""The trade's shorthand, line by line. Referee: what a coach means by it (common practice, no published source)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.catalogue.load import catalogue
from setwright.catalogue.names import match_name
from setwright.faults import InputFaults
from setwright.plan.shorthand import read_block_text, write_block_text
from setwright.plan.template import Scheme, Template, TemplateEntry, TemplateSession

LINES: list[tuple[str, str, dict[str, object]]] = [
    ("front squat 4 x 5-6 @ RPE 8, rest 3 min, tempo 3-1-1-0", "front_squat", {"sets": 4, "reps": (5, 6), "rir": 2.0, "rest_s": 180.0, "tempo": "3-1-1-0"}),
    ("front squat 4x5 @8", "front_squat", {"sets": 4, "reps": (5, 5), "rir": 2.0}),
    ("Front Squat 4 × 5–6", "front_squat", {"sets": 4, "reps": (5, 6)}),
    ("- back squat 3 sets of 8", "back_squat", {"sets": 3, "reps": (8, 8)}),
    ("back squat 4 x 5 to 6", "back_squat", {"reps": (5, 6)}),
    ("squat 5 x 5 @ 100 kg", "back_squat", {"sets": 5, "load_kg": 100.0}),
    ("squat 5 x 5 at 225 lb", "back_squat", {"load_kg": 102.058}),
    ("squat 5 x 5 @ 82,5 kg", "back_squat", {"load_kg": 82.5}),
    ("squat 3 x 5 @ 75 %", "back_squat", {"pct": 0.75}),
    ("squat 3 x 5 @ 75% 1RM", "back_squat", {"pct": 0.75}),
    ("deadlift 3 x 5, 2 in reserve", "deadlift", {"rir": 2.0}),
    ("deadlift 3 x 5 @ RIR 1", "deadlift", {"rir": 1.0}),
    ("deadlift 3 x 5 3 RIR", "deadlift", {"rir": 3.0}),
    ("deadlift 3 x 5 easy", "deadlift", {"rir": 4.0}),
    ("bench 3 x 8, rest 90 s", "bench_bb", {"rest_s": 90.0}),
    ("bench press 3 x 8, rest 2:30", "bench_bb", {"rest_s": 150.0}),
    ("bench press 3 x 8, rest 2-3 min", "bench_bb", {"rest_s": 150.0}),
    ("bench press 3 x 8, 90 s rest", "bench_bb", {"rest_s": 90.0}),
    ("RDL 3 x 8, tempo 3110", "rdl_bb", {"tempo": "3-1-1-0"}),
    ("db row 3 x 10 each side", "row_db", {"per_side": True, "sets": 3}),
    ("split squat 3 x 8 per leg", "split_squat", {"per_side": True}),
    ("split squat hold 12 s, 6 reps, hold 12 s, 2 sets each side", "split_squat", {"kind": "hold-reps-hold", "hold_s": 12.0, "hold_after_s": 12.0, "reps": (6, 6), "sets": 2}),
    ("reverse lunge 3 x 8", "rev_lunge", {"per_side": True, "reps": (8, 8)}),
    ("walking lunge 3 x 20 steps", "walk_lunge", {"per_side": True, "reps": (10, 10)}),
    ("alternating reverse lunge 3 x 16 total", "rev_lunge", {"per_side": True, "reps": (8, 8)}),
    ("dead bug 2 x 8-12, both sides together", "dead_bug", {"per_side": True, "reps": (4, 6)}),
    ("reverse lunge 3 x 15 in all", "rev_lunge", {"per_side": False, "reps": (15, 15)}),
    ("walking lunge 3 x 20 m", "walk_lunge", {"per_side": False, "distance_m": 20.0}),
    ("bench press 3 x 10 total", "bench_bb", {"per_side": False, "reps": (10, 10)}),
    ("nordic 3 x 5 lowering 5 s", "nordic", {"kind": "lowering", "tempo": "5-0-1-0", "reps": (5, 5)}),
    ("nordic 3 x 5 lowering only", "nordic", {"kind": "lowering"}),
    ("plank 3 x 45 s", "plank", {"kind": "hold", "hold_s": 45.0, "sets": 3}),
    ("plank 3 x 45 s hold", "plank", {"kind": "hold", "hold_s": 45.0}),
    ("side plank 2 x 30 s each side", "side_plank", {"hold_s": 30.0, "per_side": True}),
    ("farmer's carry 4 x 20 m", "farmer", {"kind": "carry", "distance_m": 20.0, "sets": 4}),
    ("farmer's carry 4 x 20 m with 2 x 24 kg", "farmer", {"load_kg": 24.0, "distance_m": 20.0}),
    ("rower 10 min easy", "rower", {"kind": "interval", "time_s": 600.0, "sets": 1}),
    ("bike 6 x 40 s, rest 60 s", "bike", {"kind": "interval", "time_s": 40.0, "sets": 6, "rest_s": 60.0}),
    ("deep squat hold 2 x 30 s", "deep_squat_hold", {"hold_s": 30.0, "sets": 2}),
    ("pull-up 3 x 5 + 10 kg", "pullup", {"load_kg": 10.0}),
    ("pull-up 3 x 5 @ body weight", "pullup", {"load_kg": 0.0}),
    ("deadlift ramp to a top set of 5 @ RPE 8", "deadlift", {"to_top_set": True, "reps": (5, 5), "sets": 1}),
    ("OHP 3 x 5 (strict; no leg drive)", "ohp_bb", {"sets": 3}),
    ("1. overhead press 3 x 5", "ohp_bb", {"sets": 3}),
]  # fmt: skip


def only_scheme(text: str) -> tuple[TemplateEntry, Scheme]:
    entry = read_block_text(text, catalogue()).template.sessions[0].entries[0]
    assert entry.schemes[0] is not None
    return entry, entry.schemes[0]


@pytest.mark.parametrize(("text", "slug", "fields"), LINES, ids=[one[0] for one in LINES])
def test_a_line_means_what_a_coach_means(text: str, slug: str, fields: dict[str, object]) -> None:
    entry, scheme = only_scheme(text)

    assert entry.exercise == slug
    assert entry.written == text
    for name, value in fields.items():
        assert getattr(scheme, name) == (pytest.approx(value) if isinstance(value, float) else value), name


BROKEN = [
    ("squat 3 x 5 / 5", "line 1: found a slash; allowed: words"),
    ("squat 3 x 5 @ RPE 12", "line 1: found RPE 12; allowed: 1 to 10"),
    ("squat 3 x 8-5", "line 1: found 8-5 reps; allowed: the smaller number first"),
    ("squat 99 x 5", "line 1: found 99 sets; allowed: a whole number from 1 to 30"),
    ("squat 3 x 5 @ 300 %", "line 1: found 300 %; allowed: 10 to 110 %"),
    ("squat 3 x 5, rest 3 min, rest 2 min", "line 1: found rest twice; allowed: each piece once"),
    ("squat 3 x 5 = 15", "line 1: found the sign '='; allowed: plain words"),
    ("3 x 5 @ RPE 8", "line 1: found no name of an exercise"),
    ("press 3 x 5", "line 1: found 'press'; allowed: the name of an exercise. Did you mean"),
    ("weeks 1 to 3 banana\nsquat 3 x 5", "allowed: weeks 1 to 3 RPE 7, or week 4 easy"),
    ("99 weeks\nsquat 3 x 5", "line 1: found 99 weeks; allowed: 1 to 12 weeks"),
    ("Monday\nsquat 3 x 5\nMonday\nbench 3 x 5", "found two sessions on mon; allowed: one session a day"),
    ("# nothing here", "found no session"),
]


@pytest.mark.parametrize(("text", "expected"), BROKEN, ids=[one[0][:40] for one in BROKEN])
def test_a_broken_line_says_what_is_wrong(text: str, expected: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_block_text(text, catalogue(), "block.txt")

    assert expected in str(caught.value)


def test_letters_make_supersets_and_headings_make_parts() -> None:
    text = (
        "Tuesday, 60 min, station\nMain\nsquat 3 x 5\nAssistance\nA RDL 3 x 8\nA1 push-up 3 x 10\nB. plank 3 x 30 s\n"
    )
    (session,) = read_block_text(text, catalogue()).template.sessions

    assert (session.day, session.minutes_cap, session.place) == ("tue", 60.0, "station")
    assert [one.superset for one in session.entries] == [None, "A", "A", "B"]
    assert [one.part for one in session.entries] == ["main", "assistance", "assistance", "assistance"]


@pytest.mark.parametrize(
    ("heading", "line", "part"),
    [
        ("Intervals", "bike 5 x 60 s, rest 60 s", "conditioning"),
        ("Interval work:", "bike 5 x 60 s, rest 60 s", "conditioning"),
        ("Conditioning", "bike 20 min", "conditioning"),
        ("Finisher", "kettlebell swing 3 x 15", "finisher"),
        ("Warm-up", "band pull-apart 2 x 15", "warm-up"),
        ("Mobility", "cossack squat 2 x 8", "loaded-mobility"),
        ("Skill", "wall handstand hold 3 x 20 s", "skill"),
    ],
)
def test_the_name_of_a_part_alone_on_its_line_opens_it(heading: str, line: str, part: str) -> None:
    (session,) = read_block_text(f"Mon\nMain\nback squat 3 x 5\n{heading}\n{line}\n", catalogue()).template.sessions

    assert [one.part for one in session.entries] == ["main", part]


def test_effort_by_week_is_read() -> None:
    text = "6 weeks\nweeks 1 to 3 RPE 7, week 4 easy, weeks 5 and 6 RPE 8.5\nsquat 3 x 5\n"
    template = read_block_text(text, catalogue()).template

    assert template.week_kinds == ("build", "build", "build", "deload", "build", "build")
    assert template.week_rpe == (7.0, 7.0, 7.0, 5.5, 8.5, 8.5)


def test_an_answered_name_is_taken() -> None:
    found = read_block_text("press 3 x 5", catalogue(), names={"press": "ohp_bb"})

    assert found.template.sessions[0].entries[0].exercise == "ohp_bb"


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.text(alphabet=st.sampled_from("abcsquat 0123456789x@,.-:%/()=kgmRPEI\n\t°×–'"), max_size=60))
def test_no_text_breaks_the_reader(text: str) -> None:
    try:
        read_block_text(text, catalogue())
    except InputFaults as error:
        assert error.faults


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    slug=st.sampled_from(["back_squat", "bench_bb", "rdl_bb", "row_db", "split_squat", "pullup"]),
    sets=st.integers(1, 8),
    low=st.integers(1, 15),
    more=st.integers(0, 4),
    rir=st.sampled_from([0.0, 1.0, 2.0, 2.5, 4.0]),
    rest=st.sampled_from([30.0, 75.0, 120.0, 180.0]),
    letter=st.sampled_from([None, "A", "B"]),
)
def test_what_is_written_reads_back_the_same(slug, sets, low, more, rir, rest, letter) -> None:
    scheme = Scheme("straight", sets, reps=(low, low + more), rir=rir, tempo="3-1-1-0", rest_s=rest)
    entry = TemplateEntry(slug, "main", (scheme,), "", superset=letter)
    template = Template((TemplateSession("tue", "gym", 60.0, (entry,)),), ("build",), (8.0,))

    again = read_block_text(write_block_text("T", template, catalogue()), catalogue()).template

    (back,) = again.sessions[0].entries
    assert back.schemes[0] is not None
    assert (back.exercise, back.superset, again.sessions[0].minutes_cap) == (slug, letter, 60.0)
    found = back.schemes[0]
    assert (found.sets, found.reps, found.rir, found.tempo, found.rest_s) == (
        sets,
        (low, low + more),
        rir,
        "3-1-1-0",
        rest,
    )


def test_repetitions_of_both_sides_together_are_written_so() -> None:
    """An odd number of both sides, or one of a block from before sides were counted, never becomes that of each side."""
    _, scheme = only_scheme("reverse lunge 3 x 15 in all")
    entry = TemplateEntry("rev_lunge", "main", (scheme,), "")
    written = write_block_text(
        "T", Template((TemplateSession("tue", "gym", 60.0, (entry,)),), ("build",), (8.0,)), catalogue()
    )

    again = read_block_text(written, catalogue()).template.sessions[0].entries[0].schemes[0]

    assert again is not None and (again.reps, again.per_side) == ((15, 15), False)


NAMES = {
    "squat": "back_squat", "Back Squats": "back_squat", "squat front": "front_squat", "frnt squat": "front_squat", "goblet squat": "goblet_squat",
    "bench": "bench_bb", "DB bench press": "bench_db", "OHP": "ohp_bb", "military press": "ohp_bb", "RDL": "rdl_bb", "db rdl": "rdl_db",
    "deadlift": "deadlift", "trap bar deadlift": "trapbar_dl", "RFESS": "rfe_split", "pull ups": "pullup", "chin-up": "chinup", "push ups": "pushup",
    "lat pulldown": "lat_pulldown", "cable row": "row_cable", "face pulls": "face_pull", "hip thrust": "hip_thrust", "leg press": "leg_press",
    "leg extension": "leg_ext", "farmer's walk": "farmer", "suitcase carry": "suitcase", "plank": "plank", "side plank": "side_plank", "dead bug": "dead_bug",
    "sled push": "sled_push", "walking lunges": "walk_lunge", "good mornings": "good_morning", "kettlebell swing": "kb_swing", "wall sit": "wall_sit",
}  # fmt: skip


@pytest.mark.parametrize(("text", "slug"), NAMES.items())
def test_a_name_of_the_trade_is_sure(text: str, slug: str) -> None:
    found = match_name(text, catalogue())

    assert (found.slug, found.sure) == (slug, True)


@pytest.mark.parametrize("text", ["press", "blorp", "lunge thing", "machine"])
def test_an_unsure_name_is_never_taken_for_sure(text: str) -> None:
    assert not match_name(text, catalogue()).sure
