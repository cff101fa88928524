"""The rules of training that warn. Each is one small function with its source and a sentence for a coach.

Hard rules (restrictions, equipment, clearance, minutes) are not here: they are gates and limits elsewhere.
The coach switches rules off, weighs them, and adds own ones (``own``). The order of the files is the
order of the book.
"""

from setwright.plan.rules import (  # isort: skip
    book,
    volume,
    curve,
    loads_and_effort,
    rest_and_order,
    ages_and_first_steps,
    warm_up_and_range,
    holds_and_lowering,
    after_a_break,
    measured_range,
    conditioning,
)
from setwright.plan.rules.book import RULES, Rule, check_rules

__all__ = [
    "RULES",
    "Rule",
    "after_a_break",
    "ages_and_first_steps",
    "book",
    "check_rules",
    "conditioning",
    "curve",
    "holds_and_lowering",
    "loads_and_effort",
    "measured_range",
    "rest_and_order",
    "volume",
    "warm_up_and_range",
]
