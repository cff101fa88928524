"""The rules of training that warn. Each is one small function with its source and a sentence for a coach.

Hard rules (restrictions, equipment, clearance, minutes) are not here: they are gates and limits elsewhere.
"""

from setwright.plan.rules import book, doses, measured_range
from setwright.plan.rules.book import RULES, Rule, check_rules

__all__ = ["RULES", "Rule", "book", "check_rules", "doses", "measured_range"]
