"""The checker of the hard rules reads the parts inside a set: clusters, drops, rest-pause, hold-reps-hold."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from case_runs import stress_of
from hard_rules import Given, check_session
from test_schemes import PLACE, block_of

from setwright.people.trainee import Restriction
from setwright.publish.block_file import block_to_json

LINES = (
    "bench press 3 x (2+2+2), 20 s inside @ RPE 8",
    "leg extension 3 x 10-12, drop set",
    "dumbbell row rest-pause 2 x 12",
    "split squat hold 12 s, 6 reps, hold 12 s, 2 sets each side",
)
Json = dict[str, Any]


@cache
def made() -> tuple[bytes, Given]:
    block = block_of(*LINES)
    return block_to_json(block), Given(block.inputs.trainee, (PLACE,), block.inputs.brief, stress_of)


def session() -> Json:
    return json.loads(made()[0])["weeks"][0]["sessions"][0]  # type: ignore[no-any-return]


def first_with(day: Json, key: str) -> tuple[Json, Json]:
    """The first set with a part inside that has a key, and that part."""
    for part in day["parts"]:
        for entry in part["entries"]:
            for planned in entry["sets"]:
                for inside in planned.get("inside", []):
                    if inside.get(key):
                        return planned, inside
    raise AssertionError(f"no part inside with {key}")


def breaches(day: Json, given: Given) -> list[str]:
    return [str(one) for one in check_session(day, "week 1 mon", given, 90.0)]


def test_a_session_with_parts_inside_its_sets_is_whole() -> None:
    assert breaches(session(), made()[1]) == []


def no_such_load(day: Json) -> None:
    first_with(day, "load_kg")[1]["load_kg"] += 0.3


def heavier_drop(day: Json) -> None:
    planned, inside = first_with(day, "load_kg")
    inside |= {"load_kg": planned["load_kg"] + 2.5, "pieces": ""}


def longer_rest_inside(day: Json) -> None:
    first_with(day, "rest_s")[1]["rest_s"] += 20.0


def nothing_to_do(day: Json) -> None:
    inside = first_with(day, "left")[1]
    inside |= {"reps": None, "left": False}


BROKEN = [
    (no_such_load, "load", "can't be built"),
    (heavier_drop, "load", "kg after"),
    (longer_rest_inside, "minutes", "takes"),
    (nothing_to_do, "structure", "nothing to do"),
]


@pytest.mark.parametrize(("break_it", "rule", "words"), BROKEN, ids=[one[0].__name__ for one in BROKEN])
def test_a_part_broken_inside_a_set_is_found_out(break_it: Callable[[Json], None], rule: str, words: str) -> None:
    day = session()
    break_it(day)

    assert any(one.startswith(rule) and words in one for one in breaches(day, made()[1]))


def test_all_that_is_left_and_a_hold_too_deep_are_no_work_for_a_sore_joint() -> None:
    given = made()[1]
    knee = Restriction("knee", "knee", level="moderate", max_angles={"knee-flexion": 60.0})
    elbow = Restriction("elbow", "elbow", level="moderate", max_angles={"elbow-flexion": 60.0})
    sore = replace(given, trainee=replace(given.trainee, restrictions=(knee, elbow)))
    day = session()
    first_with(day, "left")[1]["angle_deg"] = 90.0

    found = breaches(day, sore)

    assert any("inside: all that is left" in one for one in found)
    assert any("inside: held at 90, allowed 60" in one for one in found)
