"""The coach's own rules, checked on a block as it stands, designed or written.

What each kind means is in ``plan.own_wishes``. Warm-ups and fillers are easy work and count for none of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import combinations

from setwright.people.trainee import Day
from setwright.plan.block import Session, Week
from setwright.plan.own_rules import OwnKind, OwnRule
from setwright.plan.own_wishes import allows, credit_of, free_days, least_rest_s, stands_first, stands_later
from setwright.plan.rules.view import COUNTED, View, weeks_in_words


def broken_own_rules(view: View) -> Iterator[tuple[OwnRule, str]]:
    """Every own rule of the brief that the block breaks, and where, each sentence once."""
    for own in view.block.inputs.brief.own_rules:
        for where in dict.fromkeys(CHECKS[own.kind](view, own)):
            yield own, where


def in_weeks(found: Mapping[str, list[int]]) -> Iterator[str]:
    """Each sentence with its weeks: ``7 on mon in weeks 2 and 3.``"""
    for sentence, weeks in found.items():
        yield f"{sentence} in {weeks_in_words(weeks)}."


def sets_of(view: View, own: OwnRule) -> Iterator[tuple[Week, Day, float]]:
    """(week, day, counted sets) of the rule's muscle for every session."""
    for week in view.block.weeks:
        for session in week.sessions:
            total = sum(
                credit_of(own, view.catalogue.get(entry.exercise)) * view.counted(entry)
                for part in session.parts
                if part.part in COUNTED
                for entry in part.entries
            )
            yield week, session.day, total


def amounts(view: View, own: OwnRule) -> Iterator[tuple[Week, str, float]]:
    """(week, where, counted sets) of the rule's muscle by session or week, as the rule says."""
    if own.per == "session":
        yield from sets_of(view, own)
        return
    totals: dict[int, float] = {}
    for week, _, sets in sets_of(view, own):
        totals[week.number] = totals.get(week.number, 0.0) + sets
    for week in view.block.weeks:
        yield week, "", totals.get(week.number, 0.0)


def too_many_sets(view: View, own: OwnRule) -> Iterable[str]:
    """Sessions or weeks over the number."""
    found: dict[str, list[int]] = {}
    for week, where, sets in amounts(view, own):
        if sets > own.sets + 1e-9:
            found.setdefault(f"{sets:g}{' on ' + where if where else ''}", []).append(week.number)
    return in_weeks(found)


def too_few_sets(view: View, own: OwnRule) -> Iterable[str]:
    """Weeks under the number, easier ones let off; or sessions that train the muscle, but too little."""
    found: dict[str, list[int]] = {}
    for week, where, sets in amounts(view, own):
        is_due = week.kind != "deload" and (not where or sets > 0)
        if is_due and sets < own.sets - 1e-9:
            found.setdefault(f"{sets:g}{' on ' + where if where else ''}", []).append(week.number)
    return in_weeks(found)


def on_a_wrong_day(view: View, own: OwnRule) -> Iterable[str]:
    """What the rule keeps off a weekday, planned there."""
    for _, session, part, _, exercise in view.rows(counted=False):
        if part != "warm-up" and not allows(own, exercise, session.day):
            yield f"{exercise.name} on {session.day}."


def in_a_wrong_order(view: View, own: OwnRule) -> Iterable[str]:
    """What should stand later, before what should stand first."""
    for week in view.block.weeks:
        for session in week.sessions:
            yield from wrong_order_in(view, own, session)


def wrong_order_in(view: View, own: OwnRule, session: Session) -> Iterator[str]:
    """The same for one session."""
    early = ""
    for part in session.parts:
        if part.part == "warm-up":
            continue
        for entry in part.entries:
            exercise = view.catalogue.get(entry.exercise)
            if stands_first(own, exercise) and early:
                yield f"{exercise.name} on {session.day} comes after {early}."
            if stands_later(own, exercise):
                early = early or exercise.name


def hard_days_too_near(view: View, own: OwnRule) -> Iterable[str]:
    """Two hard days of the rule's muscle with too few free days between them."""
    found: dict[str, list[int]] = {}
    for week in view.block.weeks:
        hard = [day for one, day, sets in sets_of(view, own) if one is week and sets >= own.sets - 1e-9]
        for first, second in combinations(hard, 2):
            free = free_days(first, second)
            if free < own.days_between:
                between = {0: "no free day", 1: "one free day"}.get(free, f"{free} free days")
                found.setdefault(f"{first} and {second} with {between} between", []).append(week.number)
    return in_weeks(found)


def too_many_entries(view: View, own: OwnRule) -> Iterable[str]:
    """Sessions with more counted entries than the rule allows."""
    found: dict[str, list[int]] = {}
    for week in view.block.weeks:
        for session in week.sessions:
            count = sum(len(part.entries) for part in session.parts if part.part in COUNTED)
            if count > own.entries:
                found.setdefault(f"{count} on {session.day}", []).append(week.number)
    return in_weeks(found)


def rest_too_short(view: View, own: OwnRule) -> Iterable[str]:
    """Working sets with less rest than the rule asks."""
    for _, session, _, entry, exercise in view.rows():
        short = [one.rest_s for one in entry.sets if one.kind != "ramp" and one.rest_s < least_rest_s(own, exercise)]
        if short:
            yield f"{exercise.name} on {session.day} has {min(short):.0f} s."


CHECKS: dict[OwnKind, Callable[[View, OwnRule], Iterable[str]]] = {
    "at-most-sets": too_many_sets,
    "at-least-sets": too_few_sets,
    "not-on": on_a_wrong_day,
    "only-on": on_a_wrong_day,
    "before": in_a_wrong_order,
    "days-between": hard_days_too_near,
    "at-most-entries": too_many_entries,
    "rest-at-least": rest_too_short,
}
