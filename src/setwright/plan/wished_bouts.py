"""Conditioning that a brief wants in its own words, on its days, each movement fitted to the person and the place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Trainee, TrainingDay
from setwright.plan.asked_entry import fit_entry
from setwright.plan.block import Change, Unmet
from setwright.plan.bout import Bout
from setwright.plan.brief import Brief, ConditioningWish
from setwright.plan.compose import Context
from setwright.plan.fixed_parts import FixedPart, days_for, is_easy
from setwright.plan.shorthand import read_block_text
from setwright.plan.shorthand_bouts import eased_bout
from setwright.plan.template import Scheme, TemplateEntry, TemplateSession
from setwright.plan.weeks import WeekShape
from setwright.plan.written_bouts import EASY_SHARE
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

WISHED = "Conditioning as the brief asks for it."


def wished_bouts(
    catalogue: Catalogue,
    trainee: Trainee,
    brief: Brief,
    days: Sequence[TrainingDay],
    places: Mapping[str, Place],
    shapes: Sequence[WeekShape],
) -> FixedPart:
    """The bouts of a brief on their days, and what could not be met."""
    by_day: list[list[TemplateEntry]] = [[] for _ in days]
    unmet: list[Unmet] = []
    if not brief.bouts:
        return FixedPart(tuple(() for _ in days))
    estimates = estimate_lifts(trainee, catalogue, trainee.baselines, Log(), brief.start)
    context = Context(trainee, places, brief, catalogue, estimates, brief.start)
    for number, wish in enumerate(brief.bouts):
        for index in wanted_days(wish, days, [bool(there) for there in by_day], unmet):
            by_day[index] += bout_on(wish, number, days[index], shapes, context, unmet)
    return FixedPart(tuple(tuple(there) for there in by_day), tuple(dict.fromkeys(unmet)))


def wanted_days(
    wish: ConditioningWish, days: Sequence[TrainingDay], taken: Sequence[bool], unmet: list[Unmet]
) -> list[int]:
    """Indexes of the days of a bout: those it names, else days without one first, as far apart as they go."""
    if wish.days:
        there = {day.day: index for index, day in enumerate(days)}
        missing = [day for day in wish.days if day not in there]
        if missing:
            unmet.append(Unmet(f"conditioning on {', '.join(missing)}", "The block has no such training day."))
        return [there[day] for day in wish.days if day in there]
    if wish.times_a_week > len(days):
        unmet.append(Unmet(f"conditioning {wish.times_a_week} times a week", f"The week has {len(days)} days."))
    free = [index for index in range(len(days)) if not taken[index]]
    found = [free[at] for at in days_for(wish.times_a_week, len(free))] if free else []
    rest = [index for index in range(len(days)) if index not in found]
    return sorted([*found, *rest[: min(wish.times_a_week, len(days)) - len(found)]])


def bout_on(
    wish: ConditioningWish,
    number: int,
    day: TrainingDay,
    shapes: Sequence[WeekShape],
    context: Context,
    unmet: list[Unmet],
) -> list[TemplateEntry]:
    """The movements of a bout on one day, open there; a movement that no gate lets through is left out and said."""
    read = read_block_text(wish.work, context.catalogue).template.sessions[0]
    session = TemplateSession(day.day, day.place, day.minutes, read.entries)
    taken = {entry.exercise for entry in read.entries}
    found = []
    for entry in read.entries:
        changes: list[Change] = []
        exercise = context.catalogue.get(entry.exercise)
        if entry.exercise in context.brief.exclude:
            unmet.append(Unmet(f"{exercise.name} on {day.day}", "The brief asks for it and excludes it."))
            continue
        made = fit_entry(entry, session, context.places[day.place], context, taken, changes, unmet)
        if made is None:
            continue
        why = " ".join([WISHED, *(one.why for one in changes)])
        label = None if made.superset is None else f"bout {number} {made.superset}"
        found.append(over_weeks(replace(made, why=why, written="", superset=label, part="conditioning"), shapes))
    return found


def over_weeks(entry: TemplateEntry, shapes: Sequence[WeekShape]) -> TemplateEntry:
    """The entry of one week over all of them: fewer rounds or minutes in easy ones."""
    scheme, bout = entry.schemes[0], entry.bout(0)
    schemes: list[Scheme | None] = []
    bouts: list[Bout | None] = []
    for shape in shapes:
        mine, its = scheme, bout
        if bout is not None and scheme is not None and is_easy(shape):
            its = eased_bout(bout, EASY_SHARE)
            mine = replace(scheme, sets=max(1, round(EASY_SHARE * scheme.sets)))
            if bout.time_s is None and bout.rounds is None and scheme.time_s is not None:
                mine = replace(mine, time_s=max(60.0, 60.0 * round(EASY_SHARE * scheme.time_s / 60.0)))
        schemes.append(mine)
        bouts.append(its)
    return replace(entry, schemes=tuple(schemes), bouts=tuple(bouts), locked=False)


def with_bouts(part: FixedPart, wished: FixedPart) -> FixedPart:
    """Conditioning of each day: the bouts that the brief asks for, else the usual."""
    by_day = tuple(mine or usual for mine, usual in zip(wished.by_day, part.by_day, strict=True))
    return FixedPart(by_day, (*wished.unmet, *part.unmet))
