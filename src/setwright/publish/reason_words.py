"""The four answers of an entry as they are shown: in the order a coach asks them, in one unit."""

from __future__ import annotations

from collections.abc import Mapping

from setwright.publish.units import Unit, in_unit

QUESTIONS = {"this": "Why this", "here": "Why here", "much": "Why so much", "instead": "What instead"}


def reason_rows(reasons: Mapping[str, str], unit: Unit) -> list[tuple[str, str]]:
    """(question, answer) of the answers there are."""
    return [(title, in_unit(reasons[key], unit)) for key, title in QUESTIONS.items() if reasons.get(key)]
