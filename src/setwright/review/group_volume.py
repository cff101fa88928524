"""What a block showed of each muscle group: sets planned and done, whether its lifts gained, what spoke against more.

Two ideas: volume was tolerated where nothing in the log speaks against it, which is no proof that more is; and the base
of a rise is what was done, not what was planned.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Literal

from setwright.catalogue.derive import set_credits
from setwright.catalogue.store import Catalogue
from setwright.plan.demand import FLOOR_SETS, GENERAL, MOST_SETS, SMALL, muscles_of
from setwright.review.gains import did_not_gain, verdict_of
from setwright.review.no_forecast import Limits
from setwright.review.season_goals import percent
from setwright.review.volume import EntryDone, WeekDone
from setwright.strength.estimates import Estimates
from setwright.strength.group_change import chance_of_gain

Move = Literal["raise", "hold", "lower"]
# Rule V06: a muscle's weekly sets grow by at most a fifth in about four weeks (IUSCA 2021, seen second-hand), or by
# one set, and the way up to four is open.
GROWTH, ONE_SET = 1.2, 1.0
LOWERED = 0.8  # what is left where volume was not tolerated (common practice, no published source)
# Signs against more (common practice, no published source): repetitions short of the range by a twentieth of what was
# asked, a reserve called a whole repetition under the planned one, under four fifths of the sets done.
SHORT_SHARE, HARDER_RIR, DONE_SHARE = 0.05, -1.0, 0.8
LEAST_CALLS = 2


@dataclass(frozen=True)
class GroupShown:
    """One group of the general week, as a brief names it, in the block that was done.

    planned, done : counted sets of its hardest week; ``lifts``: slugs that count fully for it, the most sets first
    gained : chance that these lifts grew together over the last eight weeks, None where too little tells
    signs : what speaks against more, a sentence each; ``stop``: pain or a restriction at its joints, or empty;
    ``hurts``: that pain is over what is allowed
    """

    name: str
    planned: float
    done: float
    lifts: tuple[str, ...]
    gained: float | None
    signs: tuple[str, ...] = ()
    stop: str = ""
    hurts: bool = False

    @property
    def is_strong(self) -> bool:
        """True where it probably grew strong."""
        return self.gained is not None and verdict_of(self.gained) == "gaining"


@dataclass(frozen=True)
class GroupMove:
    """What the next block does with a group: counted sets of its hardest week, and why."""

    shown: GroupShown
    move: Move
    sets: float
    behind: tuple[str, ...]
    why: str


def groups_shown(
    weeks: Sequence[WeekDone], estimates: Estimates, catalogue: Catalogue, limits: Limits, stale: str = ""
) -> tuple[GroupShown, ...]:
    """Every group of the general week that the block trained; ``stale``: in words, if its log is old, or empty."""
    begun = [one for one in weeks if one.sets_done]
    found = []
    for name, muscles, _, _ in GENERAL:
        done = max((best(one.credits, muscles) for one in begun), default=0.0)
        planned = max((best(one.credits_planned, muscles) for one in weeks), default=0.0)
        if done <= 0:
            continue
        entries = [one for week in begun for one in week.entries if leads(one, muscles, catalogue)]
        sets = {slug: sum(one.sets_done for one in entries if one.exercise == slug) for slug in names_of(entries)}
        lifts = tuple(sorted(sets, key=lambda slug: (-sets[slug], slug)))
        gained = gain_of(sets, estimates)
        signs, stop, hurts = (
            (*signs_of(entries, gained), *([stale] if stale else [])),
            limits.of_muscles(muscles),
            limits.asks_less(muscles),
        )
        found.append(GroupShown(name, planned, done, lifts, gained, signs, stop, hurts))
    return tuple(found)


def best(credits: Mapping[str, tuple[float, float]], muscles: Iterable[str]) -> float:
    """Counted sets of the best served of some groups."""
    return max((credits.get(muscle, (0.0, 0.0))[1] for muscle in muscles), default=0.0)


def leads(entry: EntryDone, muscles: Sequence[str], catalogue: Catalogue) -> bool:
    """True for an entry of which a set counts fully for one of the groups."""
    credits = set_credits(catalogue.get(entry.exercise))
    return any(credits.get(muscle, 0.0) >= 1.0 for muscle in muscles)


def names_of(entries: Sequence[EntryDone]) -> list[str]:
    """The exercises of entries, each once."""
    return list(dict.fromkeys(one.exercise for one in entries))


def gain_of(sets: Mapping[str, int], estimates: Estimates) -> float | None:
    """Chance that the lifts of a group grew together, weighed by their sets; only lifts with a trend count."""
    course = estimates.course
    if course is None:
        return None
    numbers = list(estimates.evidence)
    told = {
        numbers.index(slug): float(count)
        for slug, count in sets.items()
        if count and slug in estimates.lifts and estimates.lifts[slug].gained is not None
    }
    return chance_of_gain(course, told) if told else None


def signs_of(entries: Sequence[EntryDone], gained: float | None) -> tuple[str, ...]:
    """What speaks against more sets, in figures."""
    signs = []
    done = [one for one in entries if one.sets_done and one.reps_planned is not None]
    asked, short = sum(one.reps_planned[0] for one in done if one.reps_planned), sum(one.reps_short for one in done)
    if asked and short > SHORT_SHARE * asked:
        signs.append(f"{short} of {asked} repetitions short")
    gaps = [one.rir_gap for one in entries if one.rir_gap is not None]
    if len(gaps) >= LEAST_CALLS and sum(gaps) / len(gaps) <= HARDER_RIR:
        signs.append(f"called {-sum(gaps) / len(gaps):.1f} repetitions harder than planned")
    planned, sets = sum(one.sets_planned for one in entries), sum(one.sets_done for one in entries)
    if planned and sets < DONE_SHARE * planned:
        signs.append(f"{sets} of {planned} planned sets done")
    if gained is not None and did_not_gain(gained):
        signs.append(f"{percent(1.0 - gained)} that its lifts did not gain")
    return tuple(signs)


def most_allowed(done: float) -> float:
    """The most counted sets a week after a block that had ``done`` in its hardest: rule V06.

    >>> most_allowed(10.0), most_allowed(3.0), most_allowed(4.0)
    (12.0, 4.0, 5.0)
    """
    return max(GROWTH * done, done + ONE_SET)


def moves(shown: Sequence[GroupShown], behind: Mapping[str, Sequence[str]], most: float = MOST_SETS) -> list[GroupMove]:
    """What the next block does with each group. ``behind``: goals that are behind, by the name of a group."""
    return [move_of(one, tuple(behind.get(one.name, ())), most) for one in shown]


def move_of(one: GroupShown, behind: tuple[str, ...], most: float) -> GroupMove:
    """One group: more where a goal is behind and nothing spoke against it, less where two things did."""
    told = f"{one.done:g} counted sets done in the hardest week"
    if one.gained is not None:
        told += f", {percent(one.gained)} that its lifts gained"
    if one.stop:
        if one.signs or one.hurts:
            spoken = "; ".join((one.stop, *one.signs))
            return made(one, "lower", LOWERED * one.done, behind, f"{told}; {spoken}: less before that is settled")
        return made(one, "hold", one.done, behind, f"{told}; {one.stop}: no more before that is settled")
    if len(one.signs) >= 2:
        return made(one, "lower", LOWERED * one.done, behind, f"{told}; not tolerated: {'; '.join(one.signs)}")
    if one.signs:
        return made(one, "hold", one.done, behind, f"{told}; {one.signs[0]}")
    is_low = one.done < FLOOR_SETS and one.name not in SMALL
    if behind or is_low:
        goals = f"{', '.join(behind)} behind" if behind else f"under the {FLOOR_SETS:g} a big group needs (rule V02)"
        sets = min(most_allowed(one.done), most)
        if sets > one.done:
            rise = f"at most {100 * (GROWTH - 1):.0f} % or one set more (rule V06)"
            return made(one, "raise", sets, behind, f"{told}; {goals} and nothing against more: {rise}")
        return made(
            one, "hold", one.done, behind, f"{told}; {goals}, but {most:g} is where more hardly helps (rule V03)"
        )
    grown = "it grew strong" if one.is_strong else "no goal asks for more"
    return made(one, "hold", one.done, behind, f"{told}; {grown}")


def made(one: GroupShown, move: Move, sets: float, behind: tuple[str, ...], why: str) -> GroupMove:
    """A move in half sets, rounded down, so that a rise never passes the most."""
    return GroupMove(one, move, floor(2.0 * sets + 1e-9) / 2.0, behind, why)


def behind_by_group(goals: Mapping[str, Iterable[str]]) -> dict[str, list[str]]:
    """Names of goals by the group of the general week; ``goals``: the muscle groups, or words for them, of each."""
    found: dict[str, list[str]] = {}
    for name, words in goals.items():
        wanted = {muscle for word in words for muscle in muscles_of(word)}
        for group, muscles, _, _ in GENERAL:
            if wanted & set(muscles):
                found.setdefault(group, []).append(name)
    return found
