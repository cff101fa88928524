"""Filters that say what was counted as a coach would."""

from __future__ import annotations

import re
from datetime import date

from django import template

register = template.Library()
A_DAY = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b")


@register.filter
def spoken_dates(text: str) -> str:
    """A sentence with its dates as they are said.

    >>> spoken_dates("The exit test was met on 2026-11-09 and 2026-11-12.")
    'The exit test was met on 9 November and 12 November.'
    """

    def said(found: re.Match[str]) -> str:
        try:
            on = date(int(found[1]), int(found[2]), int(found[3]))
        except ValueError:
            return found[0]
        return f"{on.day} {on:%B}"

    return A_DAY.sub(said, str(text))


@register.filter
def about(kind: str, what: str) -> str:
    """What was found, and of what.

    >>> about("step up", "push-up"), about("another machine?", "row")
    ('Step up: push-up', 'Another machine? Row')
    """
    head = f"{kind[:1].upper()}{kind[1:]}"
    return f"{head} {what[:1].upper()}{what[1:]}" if head.endswith("?") else f"{head}: {what}"
