"""What stays at a joint that hurts is made easier, never heavier or longer (common practice, no published source)."""

from __future__ import annotations

import pytest
from made_block import estimates_of, made_block

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block, Entry
from setwright.plan.by_hand import Edit, changed_by_hand
from setwright.plan.reshape_options import Spot
from setwright.plan.restrict import restrict_block

FIRST = 2  # week 1 is done


def found(block: Block, week: int, small: Spot) -> Entry | None:
    sessions = (one for one in block.weeks[week - 1].sessions if one.day == small.day)
    rows = (e for one in sessions for part in one.parts for e in part.entries if e.exercise == small.exercise)
    return next(rows, None)


@pytest.mark.parametrize("slug", ["lying_triceps", "oh_triceps_db"])
def test_a_sore_elbow_never_gets_more_sets_or_a_heavier_load_of_what_it_keeps(slug: str) -> None:
    small = Spot("mon", "assistance", slug)
    light = Edit(small, is_new=True, sets=1, reps=(10, 15), rir=4.0, load_kg=4.0)
    block = changed_by_hand(made_block(), light, catalogue(), estimates_of(), FIRST, limit=1.0)

    after = restrict_block(block, parse_restriction("my elbow is sore"), catalogue(), estimates_of(), FIRST)

    kept = [(found(block, week, small), found(after, week, small)) for week in range(FIRST, len(block.weeks) + 1)]
    both = [(old, new) for old, new in kept if old is not None and new is not None]
    assert both and all(new.dials.get("range_deg") for _, new in both)
    for old, new in both:
        assert len(new.working_sets) <= len(old.working_sets)
        assert (new.working_sets[0].load_kg or 0.0) <= (old.working_sets[0].load_kg or 0.0)
        assert new.working_sets[0].rir is None or new.working_sets[0].rir >= 4.0
