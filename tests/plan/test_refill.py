"""Work in the rests of a changed block disturbs nothing of the sessions as they are now.

Referee: the interference of each filler with the entries before, around and after it, counted here from the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from made_block import estimates_of, made_block
from test_reshape import after

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block, Entry
from setwright.plan.filler import MOST, interference
from setwright.plan.restrict import restrict_block

SORE = ("elbow pulling", "shoulder", "knee to 60 degrees")


def rests(block: Block) -> Iterator[tuple[str, str, list[str]]]:
    """Where, the filler, and the entry of its rests with its neighbours."""
    for week in block.weeks[1:]:
        for session in week.sessions:
            day: list[Entry] = [e for part in session.parts if part.part != "warm-up" for e in part.entries]
            for at, entry in enumerate(day):
                if entry.filler is not None:
                    near = [one.exercise for one in day[max(0, at - 1) : at + 2]]
                    yield f"week {week.number} {session.day}", entry.filler.exercise, near


def assert_disturbs_nothing(block: Block) -> None:
    known = catalogue()
    found = list(rests(block))
    assert found
    for where, slug, near in found:
        other = known.get(slug)
        for lift in near:
            assert interference(known.get(lift), other, other.mode == "carry") < MOST, (where, slug, lift)


@pytest.mark.parametrize("text", SORE)
def test_fillers_of_a_restricted_block_disturb_nothing_before_or_after(text: str) -> None:
    block = restrict_block(made_block(), parse_restriction(text), catalogue(), estimates_of(), from_week=2)

    assert_disturbs_nothing(block)


@pytest.mark.parametrize("name", ("lost", "hotel on thursdays"))
def test_fillers_of_a_reshaped_block_disturb_nothing_before_or_after(name: str) -> None:
    assert_disturbs_nothing(after(name))
