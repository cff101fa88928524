"""Blocks as sloppy people type them. Referee: what a coach means by it (common practice, no published source).

All texts are invented.
"""

from __future__ import annotations

import pytest

from setwright.catalogue.load import catalogue
from setwright.catalogue.names import common_names, match_name, names_of, near_names, plain
from setwright.faults import InputFaults
from setwright.people.trainee import Day
from setwright.plan.shorthand import WrittenBlock, read_block_text
from setwright.plan.template import Scheme, TemplateEntry

DAYS: tuple[Day, ...] = ("tue", "fri", "sun")

LINES: list[tuple[str, str, dict[str, object]]] = [
    ("split squat 3 x 12/side", "split_squat", {"sets": 3, "reps": (12, 12), "per_side": True}),
    ("split squat 3x12/leg", "split_squat", {"reps": (12, 12), "per_side": True}),
    ("split squat 3x8 ea", "split_squat", {"sets": 3, "reps": (8, 8), "per_side": True}),
    ("split squat 3x8ea", "split_squat", {"sets": 3, "reps": (8, 8), "per_side": True}),
    ("split squat 3x8 each leg", "split_squat", {"per_side": True}),
    ("split squat 3x8 (each leg)", "split_squat", {"per_side": True}),
    ("split squat 3x8/8", "split_squat", {"reps": (8, 8), "per_side": True}),
    ("DB row 3x8 per side", "row_db", {"per_side": True}),
    ("side plank 30s ea", "side_plank", {"hold_s": 30.0, "per_side": True}),
    ("side plank 3x30s ea side", "side_plank", {"sets": 3, "hold_s": 30.0, "per_side": True}),
    ("push-up 4xAMRAP", "pushup", {"sets": 4, "reps": None, "rir": 1.5}),
    ("push-up 3xmax", "pushup", {"sets": 3, "reps": None, "rir": 1.5}),
    ("push-up 3 x max reps @ RPE 9", "pushup", {"sets": 3, "reps": None, "rir": 1.0}),
    ("push-up max reps x 3", "pushup", {"sets": 3, "reps": None}),
    ("pull ups 3 sets to failure", "pullup", {"sets": 3, "reps": None, "rir": 0.0}),
    ("back ext 5 sets x 15 reps", "back_ext45", {"sets": 5, "reps": (15, 15)}),
    ("- back ext 5 sets of 15", "back_ext45", {"sets": 5, "reps": (15, 15)}),
    ("-back ext 15 reps, 5 sets", "back_ext45", {"sets": 5, "reps": (15, 15)}),
    ("* squat 3x5", "back_squat", {"sets": 3, "reps": (5, 5)}),
    ("1. squat 3x5", "back_squat", {"sets": 3}),
    ("a) squat 3x5", "back_squat", {"sets": 3}),
    ("• squat 3×5", "back_squat", {"sets": 3, "reps": (5, 5)}),
    ("**Squat** 3*5", "back_squat", {"sets": 3, "reps": (5, 5)}),
    ("[ ] squat 3x5", "back_squat", {"sets": 3}),
    ("3 x 10 push-ups", "pushup", {"sets": 3, "reps": (10, 10)}),
    ("10 push-ups", "pushup", {"reps": (10, 10)}),
    ('plank 3 x 45"', "plank", {"sets": 3, "hold_s": 45.0}),
    ("plank 3 x 45″", "plank", {"sets": 3, "hold_s": 45.0}),
    ("plank 2 x 90sec", "plank", {"sets": 2, "hold_s": 90.0}),
    ("plank 3 x 2:00", "plank", {"sets": 3, "hold_s": 120.0}),
    ("plank 3x45", "plank", {"sets": 3, "hold_s": 45.0}),
    ("rower 3′", "rower", {"kind": "interval", "time_s": 180.0}),
    ("rower 5:00 easy", "rower", {"time_s": 300.0, "rir": 4.0}),
    ("bike 8 x 20s on 10s off", "bike", {"sets": 8, "time_s": 20.0, "rest_s": 10.0}),
    ("OHP 3x5 pause 2s", "ohp_bb", {"sets": 3, "tempo": "2-2-1-0"}),
    ("bench 3x5, 2 s pause", "bench_bb", {"tempo": "2-2-1-0"}),
    ("bench 3x5 w/ 2-sec pause at the chest, tempo 3-0-1-0", "bench_bb", {"tempo": "3-2-1-0"}),
    ("hip thrust 3x8, 2 s pause", "hip_thrust", {"tempo": "2-0-1-2"}),
    ("pause bench 3x5", "bench_bb", {"tempo": "2-2-1-0"}),
    ("squat 3x5, 4 s eccentric", "back_squat", {"kind": "straight", "tempo": "4-0-1-0"}),
    ("squat 3x5 30X1", "back_squat", {"sets": 3, "reps": (5, 5), "tempo": "3-0-x-1"}),
    ("squat 3x5 @ 31X0", "back_squat", {"tempo": "3-1-x-0"}),
    ("squat 3x5 3-0-X-1", "back_squat", {"tempo": "3-0-x-1"}),
    ("squat 3x5 tempo 30x1", "back_squat", {"tempo": "3-0-x-1"}),
    ("squat 3x5 tempo 3/1/1/0", "back_squat", {"tempo": "3-1-1-0"}),
    ("squat 10x1", "back_squat", {"sets": 10, "reps": (1, 1)}),
    ("squat 3x5 @ 7", "back_squat", {"rir": 3.0}),
    ("squat 3x5 @RPE7-8", "back_squat", {"rir": 2.5}),
    ("squat 3x5 RIR 2", "back_squat", {"rir": 2.0}),
    ("squat 3x5 1-2 RIR", "back_squat", {"rir": 1.5}),
    ("squat 3x5, 2 in the tank", "back_squat", {"rir": 2.0}),
    ("squat 3x5 leave 2", "back_squat", {"rir": 2.0}),
    ("squat 3x5 (leave 2 in the tank)", "back_squat", {"rir": 2.0}),
    ("squat 3x5 @315 lb", "back_squat", {"load_kg": 142.882}),
    ("squat 3x5 @ 225#", "back_squat", {"load_kg": 102.058}),
    ("squat 3x5 @ 100kg", "back_squat", {"load_kg": 100.0}),
    ("squat 100 kg x 5 x 3", "back_squat", {"sets": 3, "reps": (5, 5), "load_kg": 100.0}),
    ("squat 3 x 5 x 100 kg", "back_squat", {"sets": 3, "reps": (5, 5), "load_kg": 100.0}),
    ("squat 3x5 70-75%", "back_squat", {"pct": 0.725}),
    ("squat 3x5 rest 2-3 min", "back_squat", {"rest_s": 150.0}),
    ("squat 3x5 rest 90", "back_squat", {"rest_s": 90.0}),
    ("squat 3x5 rest 2'", "back_squat", {"rest_s": 120.0}),
    ("squat 3x5, 2 min between sets", "back_squat", {"rest_s": 120.0}),
    ("farmer carry x 20 m", "farmer", {"kind": "carry", "distance_m": 20.0}),
    ("farmer carry 3 x 40 yd", "farmer", {"sets": 3, "distance_m": 36.58}),
    ("sled push 20m x 4", "sled_push", {"sets": 4, "distance_m": 20.0}),
    ("1-arm DB row 3x10", "row_db", {"sets": 3, "reps": (10, 10)}),
    ("BB row 3x8", "row_bb", {"sets": 3}),
    ("KB swing 10 x 10", "kb_swing", {"sets": 10, "reps": (10, 10)}),
    ("Deads 1x5", "deadlift", {"sets": 1}),
    ("BSS 3x8", "rfe_split", {"sets": 3}),
    ("Bulgarian split sq 3x8", "rfe_split", {"sets": 3}),
    ("Y raise 3x12", "y_raise", {"sets": 3}),
    ("pull-ups 3x5 +10kg", "pullup", {"load_kg": 10.0}),
    ("pull-ups 3x5 BW", "pullup", {"load_kg": 0.0}),
    ("sl rdl 3x8 e/s", "sl_rdl", {"per_side": True}),
    ("Row (BB) 4x8", "row_bb", {"sets": 4}),
    ("Chins 3x8", "chinup", {"sets": 3}),
    ("squat 3 x 5—6", "back_squat", {"reps": (5, 6)}),
    ("squat 3 ✕ 5‑6", "back_squat", {"reps": (5, 6)}),
]  # fmt: skip


def read(text: str, **options: object) -> WrittenBlock:
    return read_block_text(text, catalogue(), "board.txt", **options)  # type: ignore[arg-type]


def entries(text: str) -> list[TemplateEntry]:
    return [entry for session in read(text).template.sessions for entry in session.entries]


def first_scheme(entry: TemplateEntry) -> Scheme:
    return next(one for one in entry.schemes if one is not None)


def faults(text: str, **options: object) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        read(text, **options)
    return [one.sentence() for one in caught.value.faults]


@pytest.mark.parametrize(("text", "slug", "fields"), LINES, ids=[one[0] for one in LINES])
def test_a_sloppy_line_means_what_a_coach_means(text: str, slug: str, fields: dict[str, object]) -> None:
    (entry,) = entries(text)

    assert entry.exercise == slug and entry.written == text.strip()
    for name, value in fields.items():
        found = getattr(first_scheme(entry), name)
        assert found == (pytest.approx(value) if isinstance(value, float) else value), name


# Each set: repetitions, share of 1RM, kilograms.
UNLIKE = [
    ("bench 5,5,5,3,3 @8", [(5, None, None)] * 3 + [(3, None, None)] * 2),
    ("bench 10-8-6", [(10, None, None), (8, None, None), (6, None, None)]),
    ("bench 5/3/1", [(5, None, None), (3, None, None), (1, None, None)]),
    ("squat 1x5 65%, 1x5 75%, 1x5+ 85%", [(5, 0.65, None), (5, 0.75, None), (5, 0.85, None)]),
    ("squat 65% x 5, 75% x 5, 85% x 5+", [(5, 0.65, None), (5, 0.75, None), (5, 0.85, None)]),
    ("squat 5 @ 65%, 5 @ 75%, 5+ @ 85%", [(5, 0.65, None), (5, 0.75, None), (5, 0.85, None)]),
    ("squat 3x5 65/75/85%", [(5, 0.65, None), (5, 0.75, None), (5, 0.85, None)]),
    ("squat 5,5,5 @ 60, 80, 100 kg", [(5, None, 60.0), (5, None, 80.0), (5, None, 100.0)]),
    ("squat 60 kg x 5, 80 kg x 3", [(5, None, 60.0), (3, None, 80.0)]),
    ("squat 3x5 @ 80%, 2x3 @ 90%", [(5, 0.8, None)] * 3 + [(3, 0.9, None)] * 2),
    ("squat 3x5 then 1x10 @ 60%", [(5, None, None)] * 3 + [(10, 0.6, None)]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "sets"), UNLIKE, ids=[one[0] for one in UNLIKE])
def test_unlike_sets_keep_their_own_repetitions_and_loads(
    text: str, sets: list[tuple[int, float | None, float | None]]
) -> None:
    made = entries(text)
    found = []
    for entry in made:
        one = first_scheme(entry)
        assert one.reps is not None and one.reps[0] == one.reps[1]
        found += [(one.reps[0], one.pct, one.load_kg)] * one.sets

    assert found == sets
    assert len({entry.exercise for entry in made}) == 1


def test_the_open_set_is_the_last_and_says_how_much_to_keep() -> None:
    made = entries("squat 3x5+ 80%")

    assert [first_scheme(one).sets for one in made] == [2, 1]
    assert [first_scheme(one).rir for one in made] == [None, 1.5]
    assert "5 or more" in made[1].why and "keep 1 to 2 left" in made[1].why and "or more" not in made[0].why


def test_as_many_as_possible_says_to_keep_some() -> None:
    (free,), (told,) = entries("push-up 3xmax"), entries("push-up 3xmax RIR 0")

    assert "As many good repetitions as you can, keep 1 to 2 left." in free.why
    assert "no more than the effort you wrote" in told.why


def test_a_superset_of_unlike_sets_is_cut_into_rounds() -> None:
    made = entries("A bench 5,5,3\nA row_db 3x8\nB curl 3x12\n")

    rows = [(one.superset, one.exercise, first_scheme(one).sets, first_scheme(one).reps) for one in made]
    assert rows == [
        ("A", "bench_bb", 2, (5, 5)),
        ("A", "row_db", 2, (8, 8)),
        ("C", "bench_bb", 1, (3, 3)),
        ("C", "row_db", 1, (8, 8)),
        ("B", "curl_db", 3, (12, 12)),
    ]


@pytest.mark.parametrize("text", ["6 wks", "6 weeks", "6 Weeks", "6-week block", "weeks: 6", "Duration: 6 wks"])
def test_the_number_of_weeks_is_read(text: str) -> None:
    assert read(f"{text}\nsquat 3x5").weeks == 6


@pytest.mark.parametrize(
    "text",
    [
        "4 wks\nwk 1-3 RPE 7, wk 4 easy\n",
        "weeks 1-3: RPE 7\nweek 4: deload\n",
        "4 weeks\nWks 1–3 @7\ndeload week 4\n",
        "weeks 1 to 3: 7\nwk 4 - light week\n",
    ],
)
def test_effort_by_week_is_read_in_many_hands(text: str) -> None:
    template = read(text + "squat 3x5").template

    assert template.week_kinds == ("build", "build", "build", "deload")
    assert template.week_rpe == (7.0, 7.0, 7.0, 5.5)


@pytest.mark.parametrize(
    ("head", "day", "minutes", "place", "title"),
    [
        ("Mon 60min", "mon", 60.0, "", ""),
        ("Mon 60 min", "mon", 60.0, "", ""),
        ("Mon. 60'", "mon", 60.0, "", ""),
        ("MONDAY - 1 hr", "mon", 60.0, "", ""),
        ("thurs", "thu", None, "", ""),
        ("Tues:", "tue", None, "", ""),
        ("Weds", "wed", None, "", ""),
        ("Friday (45 min)", "fri", 45.0, "", ""),
        ("Mon - Lower, 60 min", "mon", 60.0, "", "Lower"),
        ("Mon – Upper body", "mon", None, "", "Upper body"),
        ("Tuesday, 60 min, station", "tue", 60.0, "station", ""),
        ("Day 1: Lower, 60 min, gym", "mon", 60.0, "gym", "Lower"),
        ("Full body - 45 min", "mon", 45.0, "", "Full body"),
        ("**Saturday**", "sat", None, "", ""),
    ],
)
def test_a_day_is_read(head: str, day: str, minutes: float | None, place: str, title: str) -> None:
    (session,) = read(f"{head}\nsquat 3x5").template.sessions

    assert (session.day, session.minutes_cap, session.place, session.title) == (day, minutes, place, title)


def test_numbered_days_take_the_trainees_days_in_order() -> None:
    found = read("Day 1 - Lower\nsquat 3x5\nDay 2: Upper\nbench 3x5\n", days=DAYS)

    assert [(one.day, one.title) for one in found.template.sessions] == [("tue", "Lower"), ("fri", "Upper")]
    assert "Day 1 is put on Tuesday." in found.template.sessions[0].entries[0].why
    assert any("Day 2 is put on Friday." in one for one in found.notes)


def test_a_numbered_day_leaves_a_named_day_alone() -> None:
    found = read("Day 2\nsquat 3x5\nTues\nbench 3x5\nDay 1\nrdl 3x5\n", days=DAYS)

    assert [(one.day, one.entries[0].exercise) for one in found.template.sessions] == [
        ("tue", "bench_bb"),
        ("fri", "rdl_bb"),
        ("sun", "back_squat"),
    ]


def test_more_days_than_the_trainee_has_are_said() -> None:
    text = "".join(f"Day {n}\nsquat 3x5\n" for n in range(1, 5))
    found = read(text, days=DAYS)

    assert len({one.day for one in found.template.sessions}) == 4
    assert any("no training day of the trainee's 3" in one for one in found.notes)


def test_one_list_for_two_days_is_done_on_both() -> None:
    sessions = read("Mon & Thurs\nsquat 3x5\nbench 3x5\n").template.sessions

    assert [(one.day, len(one.entries)) for one in sessions] == [("mon", 2), ("thu", 2)]


def test_a_superset_heading_holds_the_lines_below_it() -> None:
    made = entries(
        "squat 3x5\nsuperset:\n- row_db 3x10\n- push-up 3xmax\n\nplank 3x30s\nSuperset\ncurl 3x12\npushdown 3x12"
    )

    assert [one.superset for one in made] == [None, "A", "A", None, "B", "B"]


def test_rounds_of_a_circuit_are_its_sets() -> None:
    made = entries("3 rounds:\n10 push-ups\n12 KB swings\n200 m run\n")

    assert [(first_scheme(one).sets, one.superset, one.part) for one in made] == [(3, "A", "finisher")] * 3


def test_a_dose_below_its_exercise_belongs_to_it() -> None:
    plank, squat, more = entries("Plank\n- 3 x 45 s\nSquat 3x5 @8\n- then 2x8 @ 60%\n- rest 3 min\n")

    assert (first_scheme(plank).sets, first_scheme(plank).hold_s) == (3, 45.0)
    assert (first_scheme(squat).sets, first_scheme(squat).rest_s, first_scheme(more).reps) == (3, 180.0, (8, 8))
    assert first_scheme(more).pct == 0.6


def test_doses_by_week_stand_below_their_exercise() -> None:
    made = entries("Squat\nwk 1-2: 3x8 @7\nwk 3: 4x6 @8\nbench 3x5\n")
    weeks = [[one.reps if one else None for one in entry.schemes] for entry in made]

    assert weeks == [[(8, 8), (8, 8), None], [None, None, (6, 6)], [(5, 5)] * 3]


def test_headings_by_week_hold_their_own_days() -> None:
    text = "Week 1-2:\nMon\nSquat 3x8\nWed\nBench 3x8\nWeek 3:\nMon\nSquat 4x6\nWed\nBench 4x6\nwk 4 easy\n"
    sessions = read(text).template.sessions

    assert [one.day for one in sessions] == ["mon", "wed"]
    squats = [[one.sets if one else None for one in entry.schemes] for entry in sessions[0].entries]
    assert squats == [[3, 3, None, None], [None, None, 4, 2]]


def test_what_was_guessed_is_said() -> None:
    text = "squat 3x5 @RPE7-8, rest 2-3 min, pause 2s\n1-arm DB row 100 kg x 5 x 3\ncurl 3x12 slow and controlled\n"
    found = read(text)
    notes = "\n".join(found.notes)

    for words in (
        "RPE7-8 was planned at its middle, RPE 7.5",
        "2:30 min",
        "pause is at the bottom",
        "read as 3 sets of 5",
        "'slow and controlled' stays a note",
    ):
        assert words in notes
    assert "stays a note" in found.template.sessions[0].entries[2].why


REFUSED = [
    ("squat 3x5 @ 100", "found @ 100; allowed: an effort from 1 to 10, or a load with its unit"),
    ("bench 135 x 5", "found 135 sets; allowed: a whole number from 1 to 30; a load needs its unit"),
    ("squat 3x5, bench 3x5", "found 'bench'; allowed: one exercise a line"),
    ("squat 3x5; bench 3x5", "found 'bench 3x5'; allowed: one exercise a line"),
    ("squat 3x5 bench", "found 'bench'; allowed: one exercise a line"),
    ("squat 3x5 60 s", "found '60 s' beside repetitions; allowed: repetitions or a time or distance; 'rest 60 s'"),
    ("squat 3x5 65/75%", "found 2 loads for 3 sets; allowed: as many loads as sets"),
    ("row machine 500", "found '500'; allowed: a dose like"),
    ("EMOM 10 min: swings", "allowed: what one round asks"),
    ("farmer carry 3 x 20'", "found the sign '"),
    ("rower 3 x 500", "found 500 reps; allowed: a whole number from 1 to 100; a time or distance needs its unit"),
    ("rower 3 x 40", "allowed: a time or a distance with its unit"),
    ("repeat 3 rounds", "the rounds above their lines, like '3 rounds:'"),
    ("rest 2 min", "found no name of an exercise"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), REFUSED, ids=[one[0] for one in REFUSED])
def test_a_refused_line_gives_one_clear_fault(text: str, expected: str) -> None:
    (sentence,) = faults("\n" + text)

    assert "board.txt: line 2: " in sentence and expected in sentence


def test_faults_stand_in_the_order_of_the_lines_one_a_line() -> None:
    found = faults("Mon\nblorp 3x5 @ 100\npress 3x5\nsquat 99 x 5\nThurs\nburpees 3x10\nbench 3x5 = 15\n")

    assert [one.split(": ")[1] for one in found] == ["line 2", "line 3", "line 4", "line 6", "line 7"]


def test_an_ambiguous_press_proposes_overhead_then_bench() -> None:
    (sentence,) = faults("press 3x5")

    assert "Did you mean barbell overhead press (ohp_bb), or barbell bench press (bench_bb)" in sentence


def test_an_answer_that_is_no_exercise_is_named() -> None:
    (sentence,) = faults("press 3x5", names={"press": "foo"})

    assert "--name: found the unknown slug 'foo' for 'press'" in sentence and "short_foot" not in sentence


def test_an_answer_may_be_a_name_of_the_trade() -> None:
    assert read("Press 3x5", names={"press": "overhead press"}).template.sessions[0].entries[0].exercise == "ohp_bb"


LACKING = {
    "get-up": "arm_bar",
    "Turkish get-ups": "arm_bar",
    "thrusters": "push_press",
    "snatch": "power_clean",
    "clean & jerk": "power_clean",
    "burpees": "pushup",
}


@pytest.mark.parametrize(("text", "near"), LACKING.items())
def test_a_name_the_catalogue_lacks_is_said_with_its_nearest(text: str, near: str) -> None:
    found = match_name(text, catalogue())
    if found.sure:  # once the catalogue has it, it is no longer lacking
        return
    (sentence,) = faults(f"{text} 3x5")

    assert f"found {text!r}" in sentence and "The catalogue lacks it. Nearest: " in sentence
    assert found.proposals[0] == near


@pytest.mark.parametrize("text", ["Mon", "Moon", "Lower", "blorp", "xyz", "upper body", "stuff", "machine"])
def test_no_nonsense_is_proposed(text: str) -> None:
    assert match_name(text, catalogue()).proposals == ()


@pytest.mark.parametrize(
    ("text", "first"),
    [("hip thurst", "hip_thrust"), ("landmine row", "landmine_press"), ("lunge thing", "rev_lunge"), ("row", "row_bb")],
)
def test_the_nearest_name_shares_a_telling_word(text: str, first: str) -> None:
    assert match_name(text, catalogue()).proposals[0] == first


def test_every_packaged_name_leads_to_the_catalogue() -> None:
    known = catalogue()

    assert [slug for slug in common_names().values() if slug not in known] == []
    assert [slug for slugs in near_names().values() for slug in slugs if slug not in known] == []


def test_every_name_of_the_catalogue_is_its_own() -> None:
    known = catalogue()
    wrong = [one.name for one in known.values() if match_name(one.name, known).slug != one.slug]

    assert wrong == [] and len(names_of(known)) > 300
    assert plain("1-arm DB rows") == plain("single-arm dumbbell row")
