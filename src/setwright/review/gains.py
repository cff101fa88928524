"""What a chance of a gain means, in one place: gaining, not told from noise, no gain, falling.

Two ideas. One: review, changes and the next brief read the same chance by the same bounds. Two: over a few weeks a
lift's own noise is as large as its usual gain, so bad news of one lift waits until its sets span six weeks.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

GainVerdict = Literal["gaining", "not told from noise", "no gain", "falling"]
GAINING, NO_GAIN, FALLS = 0.9, 0.15, 0.05  # chances of a gain; the two in the middle tuned (docs/rosters.md)
TREND_DAYS = 42  # before, a lift's own noise is as large as its gain: 2.5 % a day, 0.5 % a week (docs/rosters.md)


def verdict_of(gained: float) -> GainVerdict:
    """What a chance of a gain is called.

    >>> [verdict_of(one) for one in (0.9, 0.5, 0.15, 0.05)]
    ['gaining', 'not told from noise', 'no gain', 'falling']
    """
    if gained >= GAINING:
        return "gaining"
    if gained > NO_GAIN:
        return "not told from noise"
    return "no gain" if gained > FALLS else "falling"


def did_not_gain(gained: float | None) -> bool:
    """True where a chance of a gain says that there was none; also where it fell. Unknown says nothing."""
    return gained is not None and gained <= NO_GAIN


def spans_enough(days: Iterable[date]) -> bool:
    """True where the days of a lift's sets span the six weeks from which bad news of it alone is told."""
    told = sorted(days)
    return bool(told) and (told[-1] - told[0]).days >= TREND_DAYS


def stands_still(gained: float | None, days: Iterable[date]) -> bool:
    """True where a lift did not gain, by a chance and over days that are enough to say so."""
    return did_not_gain(gained) and spans_enough(days)
