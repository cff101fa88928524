"""What a further block must keep beyond the rules, so that it really differs from the blocks before it.

All of it is hard for the search: nothing here is a wish. Exercises are named by their slugs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Difference:
    """Limits that make a block another one.

    shares : pairs (these, those): no more of these may be chosen than of those
    at_most : pairs (these, number): at most so many of these may be chosen
    days : the indexes of the days that an exercise may stand on, where not all are open to it
    daily : exercises of which every day holds at least one
    most_days : the most days a week of an exercise that the coach did not ask for, or None for as always
    """

    shares: tuple[tuple[frozenset[str], frozenset[str]], ...] = ()
    at_most: tuple[tuple[frozenset[str], int], ...] = ()
    days: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    daily: tuple[frozenset[str], ...] = ()
    most_days: int | None = None

    def marks_of(self, slug: str) -> tuple[object, ...]:
        """What tells an exercise from another of the same numbers, for these limits."""
        return (
            tuple((slug in these, slug in those) for these, those in self.shares),
            tuple(slug in these for these, _ in self.at_most),
            self.days.get(slug),
            tuple(slug in these for these in self.daily),
        )


NO_DIFFERENCE = Difference()
