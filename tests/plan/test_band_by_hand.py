"""A band that a coach chooses for an entry: one of the place by its name, and never the harder kind at a limited joint.

Common practice, no published source: a wide band pulls harder than a narrow one, so it helps more, and resists more.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from made_block import GYM, estimates_of, made_block

from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.place import Band
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block, Entry
from setwright.plan.by_hand import Edit, changed_by_hand
from setwright.plan.reshape_options import Spot
from setwright.publish.words import dial_text

FIRST = 2  # week 1 is done
PULL_UP = Spot("mon", "assistance", "pullup_band")
DIP = Spot("mon", "assistance", "dip_band")
CURL = Spot("mon", "assistance", "curl_band")
WALK = Spot("mon", "assistance", "band_walk")
BANDS = (Band("narrow"), Band("wide", heavy=True), Band("small loop", loop=True), Band("lent", count=0))


def edited(edit: Edit, block: Block) -> Block:
    return changed_by_hand(block, edit, catalogue(), estimates_of(), FIRST, limit=1.0)


@cache
def with_bands(limit: str = "") -> Block:
    """The block at a place with bands, under a limit that leaves some work of its joint where one is named."""
    block = made_block()
    fixtures = {**GYM.fixtures, "pullup_bar": 1, "anchor": 1, "dip_bars": 1}
    inputs = replace(block.inputs, places=(replace(GYM, bands=BANDS, fixtures=fixtures),))
    if limit:
        sore = parse_restriction(f"my {limit} is sore")
        eased = replace(sore, level="moderate", positions=(), wanted=(), actions=())
        inputs = replace(inputs, trainee=replace(inputs.trainee, restrictions=(eased,)))
    return replace(block, inputs=inputs)


def new(at: Spot, **said: Any) -> Edit:
    return Edit(at, is_new=True, **{"sets": 2, "reps": (10, 12), "rir": 4.0, **said})


def found(block: Block, at: Spot) -> Entry:
    (session,) = (one for one in block.weeks[FIRST - 1].sessions if one.day == at.day)
    return next(
        one for part in session.parts if part.part == at.part for one in part.entries if one.exercise == at.exercise
    )


@pytest.mark.parametrize(("at", "dial", "says"), [(PULL_UP, "assistance", "help: wide"), (CURL, "band", "band: wide")])
def test_the_band_is_named_on_the_sheet_and_all_else_of_the_entry_stays(at: Spot, dial: str, says: str) -> None:
    before = edited(new(at), with_bands())

    after = edited(Edit(at, band="Wide"), before)

    assert found(after, at).dials[dial] == "wide" and dial_text(found(after, at)) == says
    assert found(after, at).sets == found(before, at).sets
    assert "Band chosen by the coach." in found(after, at).why
    assert all("wide" in one.to and one.from_ != one.to for one in after.changes) and after.changes


def test_a_band_stays_chosen_when_sets_change_and_gives_way_to_another() -> None:
    chosen = edited(new(CURL, band="wide"), with_bands())

    more = edited(Edit(CURL, reps=(12, 15)), chosen)
    other = edited(Edit(CURL, band="narrow"), more)

    assert [found(one, CURL).dials["band"] for one in (chosen, more, other)] == ["wide", "wide", "narrow"]
    assert found(more, CURL).why.count("Band chosen") == found(other, CURL).why.count("Band chosen") == 1


@pytest.mark.parametrize(
    ("at", "name", "names"),
    [
        (CURL, "purple", "narrow or wide or small loop"),
        (CURL, "lent", "narrow or wide or small loop"),
        (WALK, "wide", "small loop"),
        (Spot("mon", "assistance", "curl_db"), "wide", "no band"),
    ],
)
def test_only_a_band_of_the_place_that_suits_the_exercise_is_taken(at: Spot, name: str, names: str) -> None:
    with pytest.raises(NoPlan, match="takes no band") as refused:
        edited(new(at, band=name), with_bands())

    assert [one.what for one in refused.value.repairs] == [names]


@pytest.mark.parametrize(("at", "harder", "easier"), [(CURL, "wide", "narrow"), (DIP, "narrow", "wide")])
def test_a_limited_joint_gets_the_easier_kind_of_band_only(at: Spot, harder: str, easier: str) -> None:
    limited = with_bands("elbow")

    with pytest.raises(NoPlan, match="moderate work only"):
        edited(new(at, band=harder), limited)

    assert easier in found(edited(new(at, band=easier), limited), at).dials.values()
