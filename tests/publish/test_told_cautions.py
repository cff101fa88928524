"""Cautions as they are told: nothing is said twice, nothing is lost. Common practice, no published source."""

from __future__ import annotations

from typing import Any

from setwright.catalogue.load import catalogue
from setwright.plan.block import PlannedSet
from setwright.plan.cautions import SPOTTER, cautions_for
from setwright.publish.words import WITHOUT_BARS, told_cautions

NOBODY_LIMITED: Any = type("NobodyLimited", (), {"restrictions": ()})
HEAVY = [PlannedSet("work", (3, 5), load_kg=100.0, rpe=8.5)]


def told(slug: str) -> tuple[str, ...]:
    """What is told at heavy sets of an exercise."""
    return told_cautions(cautions_for(catalogue().get(slug), NOBODY_LIMITED, HEAVY), "kg")


def test_a_heavy_squat_names_its_safety_bars_once_and_the_spotter_where_there_are_none() -> None:
    assert told("back_squat") == ("Set the safety bars just below the lowest point.", WITHOUT_BARS)


def test_an_exercise_that_names_bars_and_spotter_needs_no_more() -> None:
    assert told("bench_bb") == ("Use safety bars or a spotter; thumbs round the bar.",)


def test_the_word_for_all_stays_where_the_exercise_says_none() -> None:
    assert SPOTTER in told_cautions(("Keep the heels down.", SPOTTER), "kg")
