"""Filters that say what was counted as a coach would."""

from __future__ import annotations

import re
from datetime import date

from django import template

from setwright.publish.words import spoken_days

register = template.Library()
SAID_OF_KINDS = {"not told from noise": "no clear change yet"}
UNIT = re.compile(r"(?<=\d) (?=(?:kg|lb|min|s|m|mm|cm|left)\b)")
A_DAY = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b")


@register.filter
def spoken_dates(text: str) -> str:
    """A sentence with its dates and weekdays as they are said.

    >>> spoken_dates("The exit test was met on 2026-11-09 and 2026-11-12.")
    'The exit test was met on 9 November and 12 November.'
    >>> spoken_dates("tue of week 3 (2026-11-10).")
    'Tuesday of week 3 (10 November).'
    """

    def said(found: re.Match[str]) -> str:
        try:
            on = date(int(found[1]), int(found[2]), int(found[3]))
        except ValueError:
            return found[0]
        return f"{on.day} {on:%B}"

    return spoken_days(A_DAY.sub(said, str(text)))


@register.filter
def bound(text: str) -> str:
    """A text whose numbers stay on one line with their units.

    >>> bound("rest 75 s, 8 kg") == "rest 75\\N{NO-BREAK SPACE}s, 8\\N{NO-BREAK SPACE}kg"
    True
    """
    return UNIT.sub("\N{NO-BREAK SPACE}", str(text))


@register.filter
def ended(text: str) -> str:
    """A sentence with its full stop.

    >>> ended("The load stays"), ended("Done.")
    ('The load stays.', 'Done.')
    """
    said = str(text).rstrip()
    return said if not said or said[-1] in ".!?:" else f"{said}."


@register.filter
def about(kind: str, what: str) -> str:
    """What was found, and of what.

    >>> about("step up", "push-up"), about("another machine?", "row")
    ('Step up: push-up', 'Another machine? Row')
    >>> about("not told from noise", "9 lifts")
    'No clear change yet: 9 lifts'
    """
    kind = SAID_OF_KINDS.get(kind, kind)
    head = f"{kind[:1].upper()}{kind[1:]}"
    return f"{head} {what[:1].upper()}{what[1:]}" if head.endswith("?") else f"{head}: {what}"
