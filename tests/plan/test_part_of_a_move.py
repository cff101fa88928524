"""Only some changes of a revision that moves entries to another day: each stands on one of the two days, never on none.

Counted entry by entry, apart from what merges the revisions.
"""

from __future__ import annotations

from functools import cache

import pytest
from made_block import estimates_of, made_block, spot_of

from setwright.catalogue.load import catalogue
from setwright.plan.block import Block
from setwright.plan.by_hand import Edit, changed_by_hand
from setwright.plan.reshape import reshape_block
from setwright.plan.reshape_options import Asked
from setwright.plan.revisions import with_some

ROW = spot_of("row_cable")
OTHER_DAY = "thu" if ROW.day == "mon" else "mon"
MADE = ("by hand", "a day lost for a week", "a day lost")


@cache
def after(name: str) -> Block:
    if name == "by hand":
        return changed_by_hand(made_block(), Edit(ROW, day=OTHER_DAY), catalogue(), estimates_of(), 2, limit=1.0)
    asked = Asked(lost_days=("mon",), weeks=(3,)) if name.endswith("week") else Asked(lost_days=("thu",))
    return reshape_block(made_block(), asked, catalogue(), estimates_of(), 2, limit=1.0)


def count(block: Block, week: int, name: str) -> int:
    """How often an exercise stands in a week, warm-ups left out."""
    return sum(
        catalogue().get(entry.exercise).name == name
        for session in block.weeks[week - 1].sessions
        for part in session.parts
        if part.part != "warm-up"
        for entry in part.entries
    )


def test_the_revisions_move_something() -> None:
    for name in MADE:
        assert [one for one in after(name).changes if one.to.startswith("to ")], name


@pytest.mark.parametrize("name", MADE)
@pytest.mark.parametrize("is_left_out", [False, True], ids=["one taken", "one left out"])
def test_what_moves_stands_on_one_of_the_two_days(name: str, is_left_out: bool) -> None:
    made, before = after(name), made_block()
    everything = list(range(1, len(made.changes) + 1))
    wrong = []

    for number in everything:
        taken = [one for one in everything if one != number] if is_left_out else [number]
        mixed = with_some(before, made, taken, catalogue())
        for row, change in enumerate(made.changes, start=1):
            if change.to.startswith("to "):
                there = count(mixed, change.week, change.entry)
                wanted = {count(made if row in taken else before, change.week, change.entry)}
                others = [one for one in made.changes if one.entry == change.entry and one.week == change.week]
                if there not in wanted and len(others) == 1:
                    wrong.append(f"{change.entry} in week {change.week}: {there}, with {number}")

    assert not wrong
