"""Rule M07: strength that stays down for two weeks in spite of an easy week. No rule answers it; people do."""

from __future__ import annotations

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.review.finding import Finding
from setwright.review.signs import long_decline, signs_of
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log


def decline_finding(told: str) -> Finding:
    """The finding, from what the signs say in words: no rule goes on adapting; a coach and a doctor look first."""
    return Finding(
        "lower for two weeks",
        "several lifts",
        f"{told[:1].upper()}{told[1:]}.",
        None,
        "No rule adapts this block any more but for rest where it hurts: look at sleep, food, illness and life with "
        "the trainee, and send them to a doctor. This is no diagnosis (Meeusen 2013, two weeks or more).",
        95,
    )


def decline_of(block: Block, log: Log, estimates: Estimates, catalogue: Catalogue) -> list[Finding]:
    """The finding in a log as far as its last set; none without a long decline."""
    if not log.sets:
        return []
    told = long_decline(signs_of(block, log, estimates, catalogue, max(one.date for one in log.sets)))
    return [decline_finding(told)] if told else []
