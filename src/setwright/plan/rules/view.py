"""A block seen by muscle, session and lift, so that each rule stays a few lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS
from setwright.plan.block import Block, Entry, Session, Week
from setwright.plan.schemes import counted_sets

COUNTED: tuple[PartName, ...] = ("main", "skill", "assistance", "finisher")


@dataclass(frozen=True)
class View:
    """A block with its catalogue; entries are given as (week, session, part, entry, exercise).

    Sets count as their scheme says (``plan.schemes``): a drop set with two drops is 2, a cluster set 1.
    """

    block: Block
    catalogue: Catalogue

    def rows(self, counted: bool = True) -> Iterator[tuple[Week, Session, PartName, Entry, Exercise]]:
        """Every entry, or only those of the parts whose sets count."""
        for week in self.block.weeks:
            for session in week.sessions:
                for part in session.parts:
                    if counted and part.part not in COUNTED:
                        continue
                    for entry in part.entries:
                        yield week, session, part.part, entry, self.catalogue.get(entry.exercise)

    @cached_property
    def sets_by_session(self) -> Mapping[tuple[int, str, str], float]:
        """Fractional sets by (week, day, muscle)."""
        found: dict[tuple[int, str, str], float] = {}
        for week, session, _, entry, exercise in self.rows():
            counted = self.counted(entry)
            for muscle, credit in set_credits(exercise).items():
                key = (week.number, session.day, muscle)
                found[key] = found.get(key, 0.0) + credit * counted
        return found

    @cached_property
    def sets_by_week(self) -> Mapping[tuple[int, str], float]:
        """Fractional sets by (week, muscle)."""
        found: dict[tuple[int, str], float] = {}
        for (week, _, muscle), sets in self.sets_by_session.items():
            found[week, muscle] = found.get((week, muscle), 0.0) + sets
        return found

    def counted(self, entry: Entry) -> float:
        """What the working sets of an entry count together, a straight set being 1."""
        return counted_sets(entry, self.catalogue)

    @cached_property
    def hardest(self) -> int | None:
        """The number of the hard week with the most counted sets, the later of equals; None where all are easy."""
        numbers = [week.number for week in self.hard_weeks]
        return max(numbers, key=lambda number: (self.total_sets(number), number), default=None)

    def total_sets(self, week: int) -> float:
        """What the working sets of all counted parts of a week count together."""
        return self._totals.get(week, 0.0)

    @cached_property
    def _totals(self) -> Mapping[int, float]:
        found: dict[int, float] = {}
        for week, _, _, entry, _ in self.rows():
            found[week.number] = found.get(week.number, 0.0) + self.counted(entry)
        return found

    def days_of(self, week: int, muscle: str) -> list[str]:
        """The days of a week on which a muscle gets a counted set or more."""
        return [
            day
            for (number, day, name), sets in self.sets_by_session.items()
            if number == week and name == muscle and sets >= 1
        ]

    @property
    def years(self) -> float:
        """Years of training."""
        return self.block.inputs.trainee.training_years

    @property
    def age(self) -> int:
        """Age in the year of the start."""
        return self.block.inputs.brief.start.year - self.block.inputs.trainee.birth_year

    @property
    def hard_weeks(self) -> tuple[Week, ...]:
        """Weeks that are not easy ones."""
        return tuple(week for week in self.block.weeks if week.kind != "deload")

    def follows(self, first: str, second: str) -> bool:
        """True when the second weekday is the day after the first."""
        names = list(DAYS)
        return (names.index(second) - names.index(first)) % 7 == 1  # type: ignore[arg-type]


def working_sets(entry: Entry) -> int:
    """Sets that are not ramp sets."""
    return sum(1 for one in entry.sets if one.kind != "ramp")


def weeks_in_words(weeks: Iterable[int]) -> str:
    """``week 3``, ``weeks 2, 3 and 5``, ``weeks 1 to 6``.

    >>> weeks_in_words([3]), weeks_in_words([5, 2, 3]), weeks_in_words([1, 2, 3]), weeks_in_words([4, 5])
    ('week 3', 'weeks 2, 3 and 5', 'weeks 1 to 3', 'weeks 4 and 5')
    """
    numbers = sorted(set(weeks))
    if len(numbers) == 1:
        return f"week {numbers[0]}"
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"weeks {numbers[0]} to {numbers[-1]}"
    return "weeks " + ", ".join(str(one) for one in numbers[:-1]) + f" and {numbers[-1]}"
