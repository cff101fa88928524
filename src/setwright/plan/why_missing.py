"""Why no exercise of a wanted movement is in a week: closed, left to the coach, without room, or dearer than without.

Nothing here is a set phrase: the gates are asked again, and in the search's own problem every way to bring the movement
in, one exercise added or exchanged, is counted (``plan.what_if``).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from setwright.catalogue.exercise import Exercise
from setwright.people.trainee import DAY_NAMES
from setwright.plan.candidates import STRENGTH_PARTS
from setwright.plan.explain import join_words
from setwright.plan.gates import judge
from setwright.plan.reasons import effect_words
from setwright.plan.reasons_frame import Frame, points_words
from setwright.plan.search.problem import Plan
from setwright.plan.what_if import Effect

MOST_NAMED = 2
TOO_LONG = "is too long"
LIMITS = (  # what a broken limit of the search says, and what it is for a coach
    (TOO_LONG, "the minutes of a day"),
    (" entries", "the most exercises of a day"),
    ("of a group", "how many of one kind there may be"),
    ("stands on", "what is asked for, which would go"),
    ("over its budget", "what a joint may be asked in a session"),
    (" share ", "how different the block has to be"),
    ("what every day holds", "what every day has to hold"),
)


@dataclass(frozen=True)
class _Way:
    """One exercise added to a day, or in the place of another one there; what that does, and the limits it breaks."""

    item: int
    day: int
    instead_of: int | None
    effect: Effect
    broken: tuple[str, ...]


def why_missing(frame: Frame, name: str, patterns: frozenset[str]) -> str:
    """Why nothing serves a movement, by its name, in the week of a design; ``patterns``: those that may serve it."""
    number = next(number for number, one in frame.posed.patterns if one == name)
    items = sorted(frame.posed.problem.wishes[number].items)
    if not items:
        return closed_words(frame, serving_of(frame, patterns))
    ways = ways_in(frame, items)
    kept = [one for one in ways if not one.broken]
    return dear_words(frame, kept) if kept else no_room_words(ways)


def serving_of(frame: Frame, patterns: frozenset[str]) -> list[Exercise]:
    """Strength exercises of some patterns; those that move, where there are such."""
    found = [
        one for one in frame.context.catalogue.values() if one.pattern in patterns and set(one.parts) & STRENGTH_PARTS
    ]
    return [one for one in found if one.is_dynamic] or found


def closed_words(frame: Frame, serving: Sequence[Exercise]) -> str:
    """What closes every exercise of a movement: equipment, restrictions, the brief, or that a search takes none."""
    rules, trainee = frame.trainee.restrictions, frame.trainee
    rooms = [frame.context.tokens(frame.session(day).place) for day in range(len(frame.days))]
    open_ones = [one for one in serving if any(judge(one, rules, here, trainee).allowed for here in rooms)]
    if not open_ones:
        if any(judge(one, rules, frozenset(), trainee, ignore_equipment=True).allowed for one in serving):
            return "Nothing that serves it is open here: the equipment for what the restrictions leave is missing."
        return "Nothing that serves it is open here: the restrictions close it."
    left = [one for one in open_ones if not {one.slug, one.base} & set(frame.brief.exclude)]
    if not left:
        return "Your exclude leaves nothing that serves it."
    names = join_words([one.name for one in sorted(left, key=lambda one: (one.skill, one.slug))[:MOST_NAMED]])
    return f"What is open here a search does not take by itself ({names}); put it into include to have it."


def ways_in(frame: Frame, items: Sequence[int]) -> list[_Way]:
    """Every way to bring one of some items in: added to a day, or in the place of another there."""
    return [way for item in items for day in frame.posed.problem.items[item].days for way in ways_on(frame, item, day)]


def ways_on(frame: Frame, item: int, day: int) -> Iterator[_Way]:
    """The ways to bring an item in on one day."""
    counted = frame.counted

    def way(plan: Plan, instead_of: int | None) -> _Way:
        changed = counted.change(plan)
        points, broken = sum(changed.values()), counted.breaks(counted.room, plan)
        is_margin = points < 0 and not broken and bool(counted.breaks(counted.problem, plan))
        return _Way(item, day, instead_of, Effect(plan, points, changed, broken, is_margin), broken)

    yield way(counted.added(day, item), None)
    for spot in frame.plan.days[day]:
        yield way(counted.exchanged(day, spot.item, item), spot.item)


def dear_words(frame: Frame, ways: Sequence[_Way]) -> str:
    """What the cheapest way that keeps all limits would cost."""
    best = min(ways, key=lambda one: (one.effect.points, one.instead_of is not None, one.item, one.day))
    place = DAY_NAMES[frame.days[best.day]]
    name = frame.name(frame.candidate(best.item).slug)
    where = (
        f"added on {place}"
        if best.instead_of is None
        else f"in the place of the {frame.name(frame.candidate(best.instead_of).slug)} on {place}"
    )
    said = effect_words(frame, best.effect, MOST_NAMED) if best.effect.points > 0 else []
    costs = points_words(best.effect) + (f": {'; '.join(said)}" if said else "")
    return f"The cheapest way to it is {name} {where}, {costs}. Put it into include to have it all the same."


def no_room_words(ways: Sequence[_Way]) -> str:
    """Which limits stand against every way."""
    if not ways:
        return "No day of the block is open for what serves it."
    fewest = min(len(kinds_of(one.broken)) for one in ways)
    kinds = dict.fromkeys(kind for one in ways if len(kinds_of(one.broken)) == fewest for kind in kinds_of(one.broken))
    text = f"No room for it: one exercise more, or in the place of another, breaks a limit: {' or '.join(kinds)}."
    if any(all(TOO_LONG in line for line in one.broken) for one in ways):
        text += " More minutes would let it in."
    return text


def kinds_of(broken: Sequence[str]) -> tuple[str, ...]:
    """Broken limits as a coach names them, each once."""
    return tuple(
        dict.fromkeys(
            next((words for found, words in LIMITS if found in line), "a limit of sets or weeks") for line in broken
        )
    )


__all__ = ["why_missing"]
