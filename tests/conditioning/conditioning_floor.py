"""An invented floor with machines, bells and a sled, and one person on it, for the tests of conditioning."""

from __future__ import annotations

from dataclasses import replace

from made_block import GYM as BARE
from made_block import PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.place import Counted
from setwright.people.trainee import Trainee
from setwright.plan.block import Block, Entry
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.services.deeds import plain_brief

GYM = replace(
    BARE,
    kettlebells=tuple(Counted(mass, 2) for mass in (8, 12, 16, 24)),
    dumbbells=(*BARE.dumbbells, Counted(30, 2)),
    fixtures={**BARE.fixtures, **dict.fromkeys(("rower", "sled", "straps", "step"), 1)},
)


def block_of(text: str, person: Trainee = PERSON) -> Block:
    """The block that a text makes for a person on this floor."""
    written = read_block_text(text, catalogue())
    brief = plain_brief(written.title, written.weeks, 1, START)
    return fit_written(written, person, (GYM,), brief, catalogue(), estimates_of(person))


def bouts_in(block: Block, week: int = 1) -> list[Entry]:
    """The entries of a week that are done in bouts."""
    return [e for s in block.weeks[week - 1].sessions for p in s.parts for e in p.entries if e.bout is not None]
