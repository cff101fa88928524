"""What the answers of a block are read from: the searched problem, the plan in it, and the sessions as dosed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from setwright.people.trainee import DAYS, Day, Trainee
from setwright.plan.block import Block, Entry, Part, Session
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate
from setwright.plan.compose import Context
from setwright.plan.posing import Posed
from setwright.plan.search.pairs import may_join
from setwright.plan.search.problem import Plan, Spot
from setwright.plan.search.worth import seconds_of
from setwright.plan.session_time import session_minutes_of
from setwright.plan.what_if import Counted, Effect

ENDLESS_S = 10**6  # of a day without a limit on its minutes
SEARCHED = ("main", "assistance", "finisher")
WANTED_WORDS = "restriction wants kept"


@dataclass(frozen=True)
class Frame:
    """A block beside the problem it was searched in. ``known``: exercises done before; ``brief``: as searched with.

    The days of the problem are those of the block, in the order of the week.
    """

    block: Block
    posed: Posed
    context: Context
    brief: Brief
    known: frozenset[str]

    @property
    def trainee(self) -> Trainee:
        """Who trains, without what has expired."""
        return self.context.trainee

    @property
    def hardest(self) -> int:
        """Index of the week with the most sets."""
        return self.posed.problem.hardest

    @property
    def week_words(self) -> str:
        """``week 5``."""
        return f"week {self.block.weeks[self.hardest].number}"

    @cached_property
    def days(self) -> tuple[Day, ...]:
        """The weekdays of the block, in the order of the week."""
        here = {session.day for week in self.block.weeks for session in week.sessions}
        return tuple(day for day in DAYS if day in here)

    @cached_property
    def numbers(self) -> dict[str, int]:
        """Index of an item by its slug."""
        return {one.slug: index for index, one in enumerate(self.posed.candidates)}

    def session(self, day: int, week: int | None = None) -> Session:
        """A session of a week, the hardest one where None; an empty one where the week has none on that day."""
        name = self.days[day]
        found = self.block.weeks[self.hardest if week is None else week].sessions
        return next((one for one in found if one.day == name), None) or self.empty_session(name)

    def empty_session(self, day: Day) -> Session:
        """A day of which a week holds nothing, at the place of another week."""
        other = next(one for week in self.block.weeks for one in week.sessions if one.day == day)
        return replace(other, minutes=0.0, parts=())

    def candidate(self, item: int) -> Candidate:
        """The candidate of an item."""
        return self.posed.candidates[item]

    def name(self, slug: str) -> str:
        """An exercise by its name, in the middle of a sentence."""
        return self.context.catalogue.get(slug).name

    def need(self, index: int) -> str:
        """A need by its name."""
        name = self.posed.problem.needs[index].name
        return f"your rule {name}" if any(rule.id == name for rule in self.brief.own_rules) else name

    def is_searched(self, part: str, entry: Entry) -> bool:
        """True for an entry that the search chose, or that can be counted as if it had."""
        return is_open_to_search(part, entry) and entry.exercise in self.numbers

    @cached_property
    def plan(self) -> Plan:
        """What stands in the block as a plan of the problem, pairs included."""
        return Plan(tuple(self.spots(day) for day in range(len(self.days))))

    def spots(self, day: int) -> tuple[Spot, ...]:
        """The spots of a day: the sets of each week, and who shares rests with whom."""
        sets: dict[int, list[int]] = {}
        letters: dict[str, list[int]] = {}
        for week in range(len(self.block.weeks)):
            for part, entry in entries_of(self.session(day, week)):
                if self.is_searched(part, entry):
                    item = self.numbers[entry.exercise]
                    row = sets.setdefault(item, [0] * len(self.block.weeks))
                    row[week] += len(entry.working_sets)
                    if entry.superset and item not in letters.setdefault(entry.superset, []):
                        letters[entry.superset].append(item)
        partner: dict[int, int] = {}
        for pair in letters.values():
            if len(pair) == 2 and may_join(self.posed.problem, pair[0], pair[1]):
                partner |= {pair[0]: pair[1], pair[1]: pair[0]}
        return tuple(Spot(item, tuple(row), partner.get(item, -1)) for item, row in sets.items())

    @cached_property
    def counted(self) -> Counted:
        """The plan ready to be asked, with the seconds that the dosed sessions truly leave."""
        problem, seconds = self.posed.problem, []
        for day, spots in enumerate(self.plan.days):
            cap = self.session(day).minutes_cap
            longest = max(self.session(day, week).minutes for week in range(len(self.block.weeks)))
            spare = ENDLESS_S if cap is None else int(60 * (cap - longest))
            seconds.append(seconds_of(problem, spots, self.hardest) + max(0, spare))
        return Counted(problem, self.plan, tuple(seconds))

    def minutes(self, day: int, change: Callable[[Entry], Sequence[Entry]]) -> float:
        """Minutes of a day in the hardest week with each entry put through ``change``, as the time model has them."""
        session = self.session(day)
        return self.minutes_of(session, changed_parts(session, change))

    def minutes_of(self, session: Session, parts: Sequence[Part]) -> float:
        """Minutes of some parts at the place of a session."""
        return session_minutes_of(parts, self.context.catalogue, self.context.places[session.place])

    def minutes_without(self, day: int, part: str, slug: str) -> float:
        """Minutes of a day in the hardest week without an exercise of one part; the same drill of the warm-up stays."""
        session = self.session(day)
        return self.minutes_of(session, parts_without(session, part, slug))

    def minutes_with_set(self, day: int, slug: str, more: int) -> float:
        """Minutes of a day in the hardest week with one working set of an exercise more, or less."""

        drills = [entry for part, entry in entries_of(self.session(day)) if part == "warm-up"]

        def change(one: Entry) -> Sequence[Entry]:
            if one.exercise != slug or not one.working_sets or one in drills:
                return (one,)
            sets = (*one.sets, one.sets[-1]) if more > 0 else one.sets[:-1]
            return (replace(one, sets=sets),)

        return self.minutes(day, change)

    def minutes_if_moved(self, entry: Entry, part: str, to: int) -> float:
        """Minutes of another day in the hardest week with an entry added at the end of its part."""
        session = self.session(to)
        guest = replace(entry, superset=None)
        parts = [replace(one, entries=(*one.entries, guest)) if one.part == part else one for one in session.parts]
        if all(one.part != part for one in parts):
            parts.append(Part(part, (guest,)))  # type: ignore[arg-type]
        return self.minutes_of(session, parts)


def is_open_to_search(part: str, entry: Entry) -> bool:
    """True for an entry of a part that a search fills, and that no restriction wants."""
    return part in SEARCHED and WANTED_WORDS not in entry.why


def entries_of(session: Session) -> list[tuple[str, Entry]]:
    """(part, entry) of a session in order."""
    return [(part.part, entry) for part in session.parts for entry in part.entries]


def changed_parts(session: Session, change: Callable[[Entry], Sequence[Entry]]) -> list[Part]:
    """The parts of a session with each entry put through ``change``; empty parts go."""
    made = [replace(part, entries=tuple(new for one in part.entries for new in change(one))) for part in session.parts]
    return [part for part in made if part.entries]


def parts_without(session: Session, part: str, slug: str) -> list[Part]:
    """The parts of a session without an exercise of one of them; empty parts go."""
    made = [
        replace(one, entries=tuple(entry for entry in one.entries if one.part != part or entry.exercise != slug))
        for one in session.parts
    ]
    return [one for one in made if one.entries]


def sets_words(count: float) -> str:
    """``1 set``, ``2.5 sets``."""
    return f"{count:g} set" if count == 1 else f"{count:g} sets"


def points_words(effect: Effect) -> str:
    """``3 points worse``, ``1 point better``, ``as good by points``; a margin of the search that it needs is named."""
    points = abs(effect.points)
    if points == 0:
        return "as good by points"
    text = f"{points} point{'s' if points != 1 else ''} {'worse' if effect.points > 0 else 'better'}"
    return f"{text}, but in minutes that the search kept as a margin" if effect.uses_margin else text


def runs_words(counts: Sequence[int]) -> str:
    """Counts of weeks 1, 2, ... with equal ones together: ``2 in weeks 1 to 3, 1 in week 4``."""
    said, start = [], 0
    for end in range(1, len(counts) + 1):
        if end == len(counts) or counts[end] != counts[start]:
            weeks = f"week {end}" if end - start == 1 else f"weeks {start + 1} to {end}"
            said.append(f"{counts[start]} in {weeks}")
            start = end
    return ", ".join(said)
