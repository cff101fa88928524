"""The revision of a block after some changes: counted anew, held against the rules, named by its content."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Change, Unmet, Week
from setwright.plan.compose import count_credits
from setwright.plan.identity import with_id
from setwright.plan.rules import check_rules


def next_revision(
    block: Block,
    weeks: Sequence[Week],
    changes: Sequence[Change],
    catalogue: Catalogue,
    unmet: Iterable[Unmet] = (),
    **more: Any,
) -> Block:
    """The revision that follows a block, with these weeks and the changes that led to them.

    unmet : what could not be met besides what the block says already; more : further fields of the block
    """
    made = replace(
        block,
        id="",
        weeks=tuple(weeks),
        set_credits=count_credits(weeks, catalogue),
        revision=block.revision + 1,
        parent=block.id,
        changes=tuple(changes),
        **more,
    )
    return with_rules(made, catalogue, unmet)


def with_rules(block: Block, catalogue: Catalogue, unmet: Iterable[Unmet] = ()) -> Block:
    """The block with its bent rules told anew after what else could not be met, each once, and its name."""
    kept = (one for one in block.unmet if not one.rule)
    told = (*kept, *unmet, *check_rules(block, catalogue))
    return with_id(replace(block, unmet=tuple(dict.fromkeys(told))))
