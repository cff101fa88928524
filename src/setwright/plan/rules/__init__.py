"""The rules of training that warn. Each is one small function with its source and a sentence for a coach.

Hard rules (restrictions, equipment, clearance, minutes) are not here: they are gates and limits elsewhere.
"""

from setwright.plan.rules import doses as _doses
from setwright.plan.rules.book import RULES, Rule, check_rules

assert _doses.PRIOR_K > 0  # importing the file enters its rules into the book

__all__ = ["RULES", "Rule", "check_rules"]
