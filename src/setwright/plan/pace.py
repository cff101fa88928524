"""How hard conditioning is done, in the words that stand for it: a brief's pieces carry no target but these."""

from __future__ import annotations

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Entry

STEADY = "steady, you can speak short sentences"
EASY = "easy, you can talk in whole sentences"
BRISK = "brisk, not all-out"
PACES = (STEADY, EASY, BRISK)
WALKS = frozenset({"walk", "march"})  # nobody walks in pieces of 40 s


def pace_in(why: str) -> str:
    """The pace that a reason tells of; empty for none."""
    return next((one for one in PACES if one in why.lower()), "")


def pace_of(entry: Entry, catalogue: Catalogue) -> str:
    """How hard an entry is done where no effort and no target says it: ``brisk, not all-out``; empty for nothing said.

    Its reason tells it, else the exercise itself where it is never hard.
    """
    working = entry.working_sets
    if entry.bout is not None or not working or any(one.rir is not None or one.time_s is None for one in working):
        return ""
    if entry.exercise not in catalogue:
        return pace_in(entry.why)
    return pace_in(entry.why) or str(catalogue.get(entry.exercise).dials.get("speed", ""))
