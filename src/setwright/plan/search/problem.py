"""The block as a problem of numbers: items to choose, days to put them on, weeks to dose them over.

A plan puts some items on days, gives each its sets in every week, and joins some of them in pairs that share
their rests. It keeps every limit of the problem and gets points for what it misses; the fewest points win.
All numbers are whole: seconds, credit units (as many to a set as the problem says), points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

WeekSort = Literal["build", "return", "easy"]


@dataclass(frozen=True)
class Item:
    """One exercise that may be chosen.

    credits : units that one set gives to each need, by index of the need
    set_s : seconds of a set with its rest; once_s : seconds that each appearance adds (change-over less the last rest)
    saved_s : seconds that a set gives back when its entry is one of a pair
    cost : points for choosing it at all; entry_cost : points for each day it stands on
    station : what it occupies, or -1 for nothing that is scarce; days : indexes of the days it may stand on
    times : the fewest and the most days a week; 0 fewest where it need not be chosen
    sets : fewest and most sets a session in building weeks; fixed : whether building weeks all have the most
    cliques : marks; two entries that share one can't be a pair; may_pair : whether it may be in a pair at all
    stress : use of each limited budget (a joint, fatigue) by one set, by index of the budget
    day_costs : points for each day it stands on, by index of the day; empty for none
    marks : further properties that terms of the problem count (``big``, ``goal``, ...)
    kin : what it is one of; items of one kin, like an item with itself, should not stand on two days in a row
    """

    key: str
    credits: Mapping[int, int]
    set_s: int
    once_s: int
    saved_s: int = 0
    cost: int = 0
    entry_cost: int = 0
    station: int = -1
    days: tuple[int, ...] = ()
    times: tuple[int, int] = (0, 1)
    sets: tuple[int, int] = (2, 5)
    fixed: bool = False
    cliques: frozenset[str] = frozenset()
    may_pair: bool = True
    stress: Mapping[int, int] = field(default_factory=dict)
    day_costs: tuple[int, ...] = ()
    marks: frozenset[str] = frozenset()
    kin: str = ""

    def cost_on(self, day: int) -> int:
        """Points for standing on a day."""
        return self.day_costs[day] if self.day_costs else 0


@dataclass(frozen=True)
class Need:
    """Sets wanted for a group in the hardest week, in units, and the points for missing them.

    In a week of share r the wanted amount is r x target (rounded); ``band`` units around it are free. Each unit under
    the band costs ``under``, over it ``over``; each unit under r x least costs ``below`` more, over ``most``
    ``beyond`` more. ``once`` points are lost where fewer than two days hold an item with a full set's credit.
    ``given``: units of each week that stand there already, whatever is chosen; empty for none. ``leap``: points for
    each unit by which a week that builds holds more than 1.2 times the one before and 0.4 units (rounded up).
    ``session``: units that one session of the hardest week may hold, and points for each beyond; None for the usual.
    ``apart``: days that should not both be hard in it; None where that is left to the neighbours of the problem.
    """

    name: str
    target: int
    least: int
    most: int
    band: int
    under: int
    over: int
    below: int = 0
    beyond: int = 0
    once: int = 0
    leap: int = 0
    given: tuple[int, ...] = ()
    session: tuple[int, int] | None = None
    apart: Apart | None = None


@dataclass(frozen=True)
class Apart:
    """Each of these pairs of days costs points where both hold so many units of a need in the hardest week."""

    units: int
    pairs: tuple[tuple[int, int], ...]
    points: int


@dataclass(frozen=True)
class Wish:
    """At least ``count`` of the items wanted in the week; each one missing costs ``points`` (None: it is a limit)."""

    name: str
    items: frozenset[int]
    count: int = 1
    points: int | None = None


@dataclass(frozen=True)
class Group:
    """At most ``most`` of the items may be chosen."""

    items: frozenset[int]
    most: int


@dataclass(frozen=True)
class Share:
    """Of the items no more may be chosen than of the others."""

    items: frozenset[int]
    others: frozenset[int]


@dataclass(frozen=True)
class Together:
    """One of the options wanted: an item of the first and one of the second set on the same day; else ``points``."""

    name: str
    options: tuple[tuple[frozenset[int], frozenset[int]], ...]
    points: int


@dataclass(frozen=True)
class Cap:
    """A budget of one session: the sum of stress x sets may not pass ``most``."""

    name: str
    most: int


@dataclass(frozen=True)
class Week:
    """One week: its sort, its share of the hardest week's volume in hundredths, the most sets of an entry in it.

    In ``build`` and ``return`` weeks sets only grow from each such week to the next, by at most one a session
    (fixed items leave a return in one step); ``easy`` weeks have at most the sets of the last week that builds.
    In ``return`` weeks before the hardest one all sets together keep to their share of its sets, or to
    one an entry.
    """

    sort: WeekSort
    share: int
    most: int = 99


@dataclass(frozen=True)
class Problem:
    """All of it. Points that are None are limits instead: they may not be broken.

    seconds : for each day; entries : fewest and most entries a day
    neighbours : pairs of days of which the second follows the first
    set_units : credit of a full set; session_units : the most of a need in one session without points;
    session_points : for each unit more; hard_units : from here on a need is hard that day;
    hard_points : for a need hard on two days in a row
    twice_points : for a kin on two days in a row; bigless_points : for a day without a ``big`` item
    crowded_points : for each ``goal`` item on a day beyond its fair share; station_points : for each station of a day
    pair_points : for each pair; thin : (entries a week wanted, points for each one missing)
    uneven : (seconds of difference between days that are free, seconds a point), or None
    daily : sets of items of which every day holds at least one
    easy_near : whether easy weeks keep the sets of each item at its share, rounded either way and at least one; else
    they may have any number from the fewest of the item
    """

    items: tuple[Item, ...]
    needs: tuple[Need, ...]
    weeks: tuple[Week, ...]
    seconds: tuple[int, ...]
    entries: tuple[int, int] = (1, 7)
    neighbours: tuple[tuple[int, int], ...] = ()
    set_units: int = 2
    session_units: int = 20
    session_points: int | None = None
    hard_units: int = 12
    hard_points: int | None = None
    twice_points: int = 0
    bigless_points: int = 0
    crowded_points: int = 0
    station_points: int = 0
    pair_points: int = 0
    thin: tuple[int, int] = (0, 0)
    uneven: tuple[int, int] | None = None
    wishes: tuple[Wish, ...] = ()
    groups: tuple[Group, ...] = ()
    shares: tuple[Share, ...] = ()
    daily: tuple[frozenset[int], ...] = ()
    together: tuple[Together, ...] = ()
    caps: tuple[Cap, ...] = ()
    easy_near: bool = True

    def kin(self, item: int) -> str:
        """What an item is one of: its kin, else only itself."""
        return self.items[item].kin or self.items[item].key

    @property
    def growing(self) -> tuple[int, ...]:
        """Indexes of the weeks that build or return, in order."""
        return tuple(index for index, week in enumerate(self.weeks) if week.sort != "easy")

    @property
    def hardest(self) -> int:
        """Index of the week with the most sets: the last one that builds."""
        return self.growing[-1] if self.growing else len(self.weeks) - 1

    def wanted(self, need: Need, week: int) -> int:
        """Units of a need wanted in a week."""
        return (need.target * self.weeks[week].share + 50) // 100

    def given(self, need: Need, week: int) -> int:
        """Units of a need that stand in a week whatever is chosen."""
        return need.given[week] if need.given else 0

    def least(self, need: Need, week: int) -> int:
        """Units of a need below which a week is short."""
        return (need.least * self.weeks[week].share + 50) // 100


@dataclass(frozen=True)
class Spot:
    """An item on a day: its sets in each week, and the item it is paired with there, or -1."""

    item: int
    sets: tuple[int, ...]
    partner: int = -1


@dataclass(frozen=True)
class Plan:
    """The spots of each day, in no order."""

    days: tuple[tuple[Spot, ...], ...]

    def chosen(self) -> frozenset[int]:
        """Indexes of the items it uses."""
        return frozenset(spot.item for day in self.days for spot in day)
