"""The checker of the hard rules can fail: a good block broken in one spot is found out, by the name of the rule."""

from __future__ import annotations

import ast
import json
from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from case_runs import stress_of
from exercise_facts import all_facts, counted
from hard_loads import buildable, clash, sums
from hard_restrictions import crossed
from hard_rules import Given, check_block, why_not_at_all
from made_block import BRIEF, GYM, PERSON, START

from setwright.catalogue.derive import set_credits
from setwright.catalogue.load import catalogue
from setwright.people.place import Bar, Counted, Place, Stack
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Clearance, Restriction, Screening
from setwright.plan.design import design_block
from setwright.publish.block_file import block_to_json
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

KNEE = replace(parse_restriction("left knee flexion over 60"), id="knee")
ELBOW = replace(parse_restriction("elbow pulling"), id="elbow")
LIMITED = replace(PERSON, restrictions=(KNEE, ELBOW))
GIVEN = Given(LIMITED, (GYM,), replace(BRIEF, skill=None), stress_of)
Json = dict[str, Any]


@cache
def good_bytes() -> bytes:
    estimates = estimate_lifts(LIMITED, catalogue(), LIMITED.baselines, Log(), START)
    return block_to_json(design_block(LIMITED, (GYM,), GIVEN.brief, catalogue(), estimates, limit=0.3))


def good() -> Json:
    return json.loads(good_bytes())  # type: ignore[no-any-return]


def session(block: Json) -> Json:
    return block["weeks"][1]["sessions"][0]  # type: ignore[no-any-return]


def part(block: Json, name: str) -> Json:
    return next(one for one in session(block)["parts"] if one["part"] == name)  # type: ignore[no-any-return]


def entry(block: Json, part_name: str = "main") -> Json:
    return part(block, part_name)["entries"][0]  # type: ignore[no-any-return]


def loaded(block: Json) -> Json:
    """The first working set with a load."""
    return next(
        one
        for week in block["weeks"]
        for s in week["sessions"]
        for p in s["parts"]
        for e in p["entries"]
        for one in e["sets"]
        if one["load_kg"] and one["kind"] == "work"
    )  # type: ignore[no-any-return]


def barred_exercise(block: Json) -> None:
    entry(block)["exercise"] = "curl_db"


def barred_warm_up(block: Json) -> None:
    entry(block, "warm-up")["exercise"] = "curl_db"


def barred_filler(block: Json) -> None:
    entry(block)["filler"] = {"exercise": "back_squat", "reps": [5, 6], "hold_s": None, "per_side": False, "why": ""}


def barred_alternative(block: Json) -> None:
    entry(block)["alternatives"] = [{"exercise": "leg_press", "kept": "", "lost": "", "case": "or"}]


def full_range(block: Json) -> None:
    entry(block).update(exercise="leg_press", dials={"range_of": "knee-flexion", "range_deg": [0, 61]})


def absent_equipment(block: Json) -> None:
    entry(block)["exercise"] = "dip"


def odd_load(block: Json) -> None:
    loaded(block)["load_kg"] += 0.3


def wrong_pieces(block: Json) -> None:
    loaded(block)["pieces"] = "20 + 20 + 20 a side"


def wrong_minutes(block: Json) -> None:
    session(block)["minutes"] += 1.0


def long_rest(block: Json) -> None:
    for one in session(block)["parts"]:
        for row in one["entries"]:
            for planned in row["sets"]:
                planned["rest_s"] += 600


def other_cap(block: Json) -> None:
    session(block)["minutes_cap"] += 5


def other_day(block: Json) -> None:
    session(block)["day"] = "wed"


def other_place(block: Json) -> None:
    session(block)["place"] = "elsewhere"


def missing_week(block: Json) -> None:
    del block["weeks"][2]


def missing_session(block: Json) -> None:
    del block["weeks"][2]["sessions"][1]


def parts_turned(block: Json) -> None:
    session(block)["parts"].reverse()


def reps_turned(block: Json) -> None:
    loaded(block)["reps"] = [8, 6]


def no_sets(block: Json) -> None:
    entry(block)["sets"] = []


def lone_superset(block: Json) -> None:
    entry(block)["superset"] = "Z"


def hard_easy_week(block: Json) -> None:
    block["weeks"][3]["rpe"] = 9.5


def full_easy_week(block: Json) -> None:
    kept = block["weeks"][3]["sessions"][0]["parts"][1]["entries"][0]
    kept["sets"] = kept["sets"] * 60


def miscounted(block: Json) -> None:
    block["set_credits"][0]["direct"] += 1


def uncounted(block: Json) -> None:
    del block["set_credits"][0]


def bound_above(block: Json) -> None:
    block["proof"]["bound"] = block["proof"]["objective"] + 1


def gap_hidden(block: Json) -> None:
    block["proof"].update(status="optimal", bound=block["proof"]["objective"] - 5, gap=5.0)


def gap_wrong(block: Json) -> None:
    block["proof"]["gap"] += 2.0


def unmeant_load(block: Json) -> None:
    loaded(block)["load_means"] = "assistance"


BROKEN: list[tuple[Callable[[Json], None], str, str]] = [
    (barred_exercise, "restriction", "action: works the elbow"),
    (barred_warm_up, "restriction", "action: works the elbow"),
    (barred_filler, "restriction", "range: knee-flexion to 120"),
    (barred_alternative, "restriction", "range: knee-flexion"),
    (full_range, "restriction", "range: knee-flexion to 61, allowed 60"),
    (absent_equipment, "equipment", "dip_bars"),
    (odd_load, "load", "can't be built"),
    (wrong_pieces, "load", "20 kg"),
    (wrong_minutes, "minutes", "says"),
    (long_rest, "minutes", "min of 60"),
    (other_cap, "minutes", "cap 65"),
    (other_day, "structure", "sessions on"),
    (other_place, "structure", "no place 'elsewhere'"),
    (missing_week, "structure", "weeks [1, 2, 4]"),
    (missing_session, "structure", "1 sessions of 2"),
    (parts_turned, "structure", "parts in the order"),
    (reps_turned, "structure", "repetitions [8, 6]"),
    (no_sets, "structure", "no working set"),
    (lone_superset, "structure", "superset Z of one"),
    (hard_easy_week, "structure", "an easier week at RPE 9.5"),
    (full_easy_week, "structure", "sets after"),
    (miscounted, "credits", "counted"),
    (uncounted, "credits", "None printed"),
    (bound_above, "proof", "above"),
    (gap_hidden, "proof", "optimal with a gap"),
    (gap_wrong, "proof", "gap"),
    (unmeant_load, "load", "assistance"),
]


def test_a_good_block_breaks_nothing() -> None:
    block = good()

    assert sum(len(p["entries"]) for w in block["weeks"] for s in w["sessions"] for p in s["parts"]) > 20
    assert [str(one) for one in check_block(block, GIVEN)] == []


@pytest.mark.parametrize(("break_it", "rule", "words"), BROKEN, ids=[one[0].__name__ for one in BROKEN])
def test_a_block_broken_in_one_spot_is_found_out(break_it: Callable[[Json], None], rule: str, words: str) -> None:
    block = good()
    break_it(block)

    found = check_block(block, GIVEN)

    assert any(one.rule == rule and words in one.what for one in found), [str(one) for one in found]


@pytest.mark.parametrize(
    ("screening", "words"),
    [
        (Screening(True, red_flags=("saddle numbness",)), "red flag"),
        (Screening(True, signs_or_symptoms=True), "signs or symptoms"),
        (Screening(True, pregnant=True), "pregnancy"),
        (Screening(False, known_disease=True), "not active"),
        (Screening(True, known_disease=True), "vigorous effort"),
        (Screening(True, pregnant=True, clearance=Clearance("x", START, "all")), "RPE"),
    ],
)
def test_a_block_for_somebody_without_clearance_is_found_out(screening: Screening, words: str) -> None:
    given = replace(GIVEN, trainee=replace(LIMITED, screening=screening))

    assert any(one.rule == "clearance" and words in one.what for one in check_block(good(), given))


def test_a_clearance_counts_for_a_year_and_not_before_it_is_given() -> None:
    """Referee: Riebe et al. 2015, "within the last 12 months" (as quoted in ``people.screening``)."""

    def asked(given_on: date) -> str:
        screening = Screening(True, known_disease=True, clearance=Clearance("x", given_on, "all"))
        return why_not_at_all(replace(PERSON, screening=screening), 8.0, START)

    assert asked(date(2026, 9, 1)) == "" and asked(date(2025, 9, 8)) == ""
    assert asked(date(2025, 9, 1)) and asked(date(2026, 9, 8))


def test_a_done_week_that_changed_is_found_out() -> None:
    before, after = good(), good()
    after.update(parent=before["id"], revision=2)
    assert check_block(after, GIVEN, before, from_week=2) == []

    after["weeks"][0]["sessions"][0]["title"] = "another"

    assert [one.rule for one in check_block(after, GIVEN, before, from_week=2)] == ["done weeks"]


def test_hard_work_of_a_joint_that_may_do_light_work_is_found_out() -> None:
    rule = Restriction("ankle", "ankle", level="moderate")
    block = good()
    planned = deepcopy(loaded(block)) | {"load_kg": None, "pieces": "", "load_means": "body", "rir": 2.0, "rpe": 8.0}
    entry(block, "assistance").update(exercise="calf_2_step", dials={}, sets=[planned], superset=None, alternatives=[])

    found = check_block(block, replace(GIVEN, trainee=replace(LIMITED, restrictions=(rule,))))

    assert any("easy:" in one.what and "calf_2_step" in one.where for one in found), [str(one) for one in found]


@pytest.mark.parametrize(
    ("slug", "rule", "dials", "words"),
    [
        (
            "back_squat",
            Restriction("r", "trunk", level="hard", positions=("bar-on-back",)),
            {},
            "position: bar-on-back",
        ),
        ("deadlift", Restriction("r", "fingers", level="hard", grip_max=1), {}, "grip"),
        ("deadlift", Restriction("r", "fingers", level="none"), {}, "grip"),
        ("rope_skip", Restriction("r", "ankle", level="hard", impact_max=1), {}, "impact"),
        ("crunch", Restriction("r", "trunk", level="hard", spine=("flexed",)), {}, "spine"),
        ("deadlift", Restriction("r", "trunk", level="light"), {}, "leans on the back"),
        ("back_squat", Restriction("r", "knee", level="hard", needs_clearance=True), {}, "clearance"),
        ("curl_db", Restriction("r", "elbow", level="none"), {}, "action"),
        ("curl_db", Restriction("r", "elbow", level="light", wanted=("short-range",)), {}, "action"),
        (
            "curl_db",
            Restriction("r", "elbow", level="light", wanted=("short-range",)),
            {"range_of": "elbow-flexion", "range_deg": [40, 100]},
            "action",
        ),
        ("back_squat", Restriction("r", "knee", "left", level="none"), {"side": "right"}, "action"),
    ],
)
def test_each_way_of_crossing_a_restriction_has_its_name(
    slug: str, rule: Restriction, dials: dict[str, Any], words: str
) -> None:
    found = crossed(all_facts()[slug], rule, dials, stress_of(slug, dials), START)

    assert any(words in one for one in found), found


@pytest.mark.parametrize(
    ("slug", "rule", "dials"),
    [
        ("leg_press", Restriction("r", "elbow", level="none"), {}),
        (
            "leg_press",
            Restriction("r", "knee", level="hard", max_angles={"knee-flexion": 60.0}),
            {"range_of": "knee-flexion", "range_deg": [0, 60]},
        ),
        (
            "curl_db",
            Restriction("r", "elbow", level="light", wanted=("short-range",)),
            {"range_of": "elbow-flexion", "range_deg": [60, 100]},
        ),
        ("leg_press_single", Restriction("r", "knee", "left", level="none"), {"side": "right"}),
        ("curl_db", Restriction("r", "elbow", level="none", actions=("extension",)), {}),
    ],
)
def test_what_a_restriction_leaves_open_is_left_open(slug: str, rule: Restriction, dials: dict[str, Any]) -> None:
    assert crossed(all_facts()[slug], rule, dials, stress_of(slug, dials), START) == []


def test_loads_are_built_from_what_can_be_counted_by_hand() -> None:
    """One bar of 20 kg with collars of 0.5 kg, two plates of 10 and three of 5 kg: a pair of each goes on."""
    place = Place("p", "p", bars=(Bar("barbell", 20.0, 1, 0.5),), plates=(Counted(10, 2), Counted(5, 3)))
    curl = replace(all_facts()["deadlift"], options=(frozenset({"barbell"}),))

    assert sorted(buildable(curl, place)) == [21_000, 31_000, 41_000, 51_000]
    assert sums(((5_000, 3), (10_000, 1))) == {0, 5_000, 10_000, 15_000, 20_000, 25_000}


def test_two_dumbbells_of_a_mass_are_needed_for_two_hands() -> None:
    place = Place("p", "p", dumbbells=(Counted(10, 1), Counted(12, 2)))
    press = replace(all_facts()["curl_db"], options=(frozenset({"dumbbell"}),), laterality="both", means="each hand")

    assert buildable(press, place) == {12_000}
    assert buildable(replace(press, laterality="one"), place) == {10_000, 12_000}


def test_a_superset_on_one_machine_or_with_the_same_plates_is_found_out() -> None:
    place = Place(
        "p",
        "p",
        bars=(Bar("barbell", 20.0), Bar("hexbar", 25.0)),
        plates=(Counted(20, 2),),
        stacks=(Stack("cable", 5, 5, 50),),
    )
    known = all_facts()
    cable = [(known["row_cable"], []), (known["face_pull"], [])]
    heavy = {"kind": "work", "pieces": "20 a side"}
    bars = [
        (replace(known["deadlift"], options=(frozenset({"barbell"}),)), [heavy]),
        (replace(known["deadlift"], options=(frozenset({"hexbar"}),)), [heavy]),
    ]

    assert "cable" in clash(cable, place)
    assert "4 plates of 20 kg" in clash(bars, place)
    assert clash(bars, replace(place, plates=(Counted(20, 4),))) == ""


def test_sets_are_counted_as_the_catalogue_counts_them() -> None:
    """Referee: ``counted`` is an own derivation from the files; the two must agree on every exercise."""
    different = [slug for slug in catalogue() if counted(slug) != set_credits(catalogue().get(slug))]

    assert len(all_facts()) == len(catalogue()) and different == []


@pytest.mark.parametrize("name", ["exercise_facts", "hard_restrictions", "hard_loads", "hard_minutes", "hard_rules"])
def test_the_checker_shares_no_code(name: str) -> None:
    tree = ast.parse((Path(__file__).parent / f"{name}.py").read_text("utf-8"))
    names = [
        one.module if isinstance(one, ast.ImportFrom) else one.names[0].name
        for one in ast.walk(tree)
        if isinstance(one, ast.Import | ast.ImportFrom)
    ]

    assert names and not [one for one in names if one and one.startswith(("setwright", "ortools"))]
