"""What a design could not meet, and why, in a coach's words; and the wishes that can't fit together at all."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.derive import set_credits
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.trainee import DAY_NAMES
from setwright.plan.alternatives import alternatives
from setwright.plan.block import Unmet, Week
from setwright.plan.brief import Brief
from setwright.plan.candidates import LEFT_OUT, Refusal
from setwright.plan.demand import WeekDemand
from setwright.plan.explain import in_words, join_words
from setwright.plan.fit import (
    Fit,
    Search,
    fit_to_minutes,
    pose_search,
    sketched,
    tightened,
    trim_to_minutes,
)
from setwright.plan.makeshift import makeshift
from setwright.plan.posing import item_of, least_seconds
from setwright.plan.schemes import counted_sets
from setwright.plan.search.problem import Plan
from setwright.plan.search.solve import Effort, Solution, solve_block
from setwright.plan.trial import ChooseDays, Room, Trial, on_packed_days
from setwright.plan.ways_out import COUNTS, Complete, deadlock_of, who_opens


def refused_wishes(brief: Brief, refused: Sequence[Refusal], search: Search) -> list[Unmet]:
    """Wishes that a restriction or missing equipment closes, with the reason and who may open them."""
    why = {one.slug: one.reasons for one in refused}
    wished = [wish.exercise for wish in brief.lifts] + list(brief.include)
    found = []
    for slug in dict.fromkeys(wished):
        if slug in why:
            reason = " ".join(why[slug]) or "No place of this trainee has what it needs."
            name = search.context.catalogue.get(slug).name
            near = "" if reason == LEFT_OUT else nearest_open(slug, search)
            said = " ".join(one for one in (reason, who_opens(slug, search), near) if one)
            found.append(Unmet(name, said))
    return found


def nearest_open(slug: str, search: Search) -> str:
    """What stands in best for an exercise where the trainee trains; empty where nothing is like enough."""
    context = search.context
    found = [
        best
        for place in dict.fromkeys(day.place for day in search.days)
        for best in alternatives(
            slug,
            context.catalogue,
            context.tokens(place),
            context.trainee.restrictions,
            context.trainee,
            1,
            left_out=search.brief.exclude,
        )
        if best.is_good
    ]
    if not found:
        return ""
    best = max(found, key=lambda one: (one.likeness, one.exercise))
    return f"Nearest that is open: {context.catalogue.get(best.exercise).name}."


def too_many_times(search: Search) -> list[Unmet]:
    """Lifts wished more often than there are days that can hold them."""
    found = []
    by_slug = {one.slug: one for one in search.candidates}
    for wish in search.brief.lifts:
        if wish.exercise not in by_slug:
            continue
        one = by_slug[wish.exercise]
        item = item_of(one, (), (), search.brief, search.days, frozenset(), len(search.shapes))
        if item.times[0] >= wish.times_a_week:
            continue
        names = join_words([DAY_NAMES[search.days[day].day] for day in item.days])
        at = "" if len(item.days) == len(search.days) else ", where it is open"
        missing = wish.times_a_week - item.times[0]
        days = "One more day" if missing == 1 else f"{missing} more days"
        less = COUNTS[item.times[0]] if item.times[0] else "none"
        why = f"It can stand on {names} only{at}. {days} for it, or {less} in the brief, would do."
        found.append(Unmet(f"{one.exercise.name} {COUNTS[wish.times_a_week]} a week", why))
    return found


def cut_lifts(search: Search, fit: Fit, plan: Plan, choose: ChooseDays, complete: Complete) -> list[Unmet]:
    """Lifts of the brief that the true minutes cut below the sets wished, and the cheapest way out."""
    week, cut = fit.posed.problem.hardest, []
    for wish in search.brief.lifts:
        here = [
            spot.sets[week]
            for day in plan.days
            for spot in day
            if fit.posed.candidates[spot.item].slug == wish.exercise and spot.sets[week]
        ]
        item = next((one for one in fit.posed.problem.items if one.key == wish.exercise), None)
        if item is not None and min(here, default=item.sets[1]) < item.sets[1]:
            cut.append((wish, min(here)))
    if not cut:
        return []
    deadlock = deadlock_of(search, choose, complete)
    ways = "" if deadlock is None or not deadlock.repairs else f" What would help: {deadlock.repairs[0].sentence()}."
    names = search.context.catalogue
    return [
        Unmet(f"{wish.sets} sets of {names.get(wish.exercise).name}", f"The minutes hold {least} on some day.{ways}")
        for wish, least in cut
    ]


def short_of_demand(demand: WeekDemand, weeks: Sequence[Week], catalogue: Catalogue) -> list[Unmet]:
    """Groups that the hardest week leaves more than two sets short, and groups that a restriction released."""
    counted = [sets_for(demand, week, catalogue) for week in weeks if week.kind != "deload"] or [{}]
    totals = max(reversed(counted), key=lambda one: sum(one.values()))  # the later of equals
    found = []
    for need in demand.muscles:
        name = in_words(need.roll_up)
        if need.released_by:
            found.append(Unmet(f"sets for {name}", f"Released: {need.released_by}"))
        elif totals.get(need.roll_up, 0.0) < need.target - 2.0:
            found.append(
                Unmet(
                    f"{round(need.target, 1):g} counted sets a week for {name}",
                    f"The hardest week holds {totals.get(need.roll_up, 0.0):g}: the minutes, the place or the limits "
                    "leave no better week.",
                )
            )
    return found


def sets_for(demand: WeekDemand, week: Week, catalogue: Catalogue) -> dict[str, float]:
    """Counted sets of a week for each group of a demand."""
    totals: dict[str, float] = {}
    for session in week.sessions:
        for part in session.parts:
            if part.part in ("warm-up", "loaded-mobility", "conditioning"):
                continue
            for entry in part.entries:
                working = counted_sets(entry, catalogue)
                credit = set_credits(catalogue.get(entry.exercise))
                for need in demand.muscles:
                    best = max((credit.get(muscle, 0.0) for muscle in need.muscles), default=0.0)
                    totals[need.roll_up] = totals.get(need.roll_up, 0.0) + best * working
    return totals


def schemes_missed(brief: Brief, weeks: Sequence[Week]) -> list[Unmet]:
    """Wished schemes that no day of the block could carry."""
    entries = [entry for week in weeks for session in week.sessions for part in session.parts for entry in part.entries]
    found = []
    if brief.same_muscle_superset and not any("Same-muscle superset" in entry.why for entry in entries):
        why = "No day holds a big and a small lift for the same muscle; put both into include to have one."
        found.append(Unmet("a same-muscle superset", why))
    if brief.hold_reps_hold and not any(entry.scheme == "hold-reps-hold" for entry in entries):
        why = "No chosen exercise suits it; put a small, simple one into include to have one."
        found.append(Unmet("hold, repetitions, hold", why))
    for wish in brief.lifts:
        here = [entry.scheme for entry in entries if entry.exercise == wish.exercise]
        if wish.scheme not in ("", "straight", *here) and here:
            why = "A joint that it moves is limited: straight sets instead."
            found.append(Unmet(f"{wish.scheme.replace('-', ' ')} for {in_words(wish.exercise)}", why))
    return found


def refuse_what_cannot_fit(search: Search, seconds: Sequence[int], choose: ChooseDays, complete: Complete) -> None:
    """Before any search: where the lifts alone seem too long for the week, they must have room by the time model.

    Raises NoPlan with the smallest set of wishes and limits that has none, and the cheapest ways out.
    """
    needed = sum(one for _, one in least_seconds(search.candidates, search.brief))
    if needed > sum(seconds):
        found = deadlock_of(search, choose, complete)
        if found is not None:
            raise found.as_error()


def fit_or_refuse(
    search: Search, seconds: Sequence[int], choose: ChooseDays, complete: Complete
) -> tuple[Fit, Sequence[int]]:
    """The best block that keeps the minutes or nearly does, and the seconds it was searched with.

    Where the search finds none, the wishes are packed onto days by the time model: they go where they have room there,
    and a search that still finds nothing leaves a block of the wishes alone. Raises NoPlan where they have no room.
    """
    fit, left = fit_to_minutes(search, seconds)
    if fit is not None:
        return fit, left
    found = deadlock_of(search, choose, complete)
    if found is not None:
        raise found.as_error()
    made, enough = fit_packed(search, left, choose)
    if made is None:
        raise NoPlan((SEARCH_ENDED,), "a few more minutes a day, or a lift less")
    return made, enough


def fit_packed(search: Search, seconds: Sequence[int], choose: ChooseDays) -> tuple[Fit | None, Sequence[int]]:
    """A block whose wishes stand on the days where they have room by the time model, and the seconds searched with."""
    room = Room(search, choose)
    trial = Trial(search.context.trainee, search.brief)
    packed = room.packed(trial)
    if packed is None:
        return None, seconds
    narrow, enough = on_packed_days(room, trial, packed, seconds)
    posed = pose_search(narrow, enough)
    effort = Effort(week=0.4 * narrow.limit, whole=0.4 * narrow.limit, proof=narrow.limit)
    solution = solve_block(posed.problem, effort, ties=False) or makeshift(posed, room, trial, packed)
    made = sketched(posed, solution, posed.picks(solution.plan), search)  # with the words of the brief as it is
    return tightened(made, search), enough


def trim_or_refuse(
    fit: Fit, search: Search, choose: ChooseDays, complete: Complete
) -> tuple[tuple[Week, ...], list[Unmet], Plan]:
    """The weeks cut to the minutes that there are, as ``trim_to_minutes``; where nothing is left to cut, the reason."""
    try:
        return trim_to_minutes(fit, search.caps, search.context)
    except NoPlan:
        found = deadlock_of(search, choose, complete)
        if found is not None:
            raise found.as_error() from None
        made, _ = fit_packed(search, fit.posed.problem.seconds, choose)
        if made is None:
            raise
        return trim_to_minutes(made, search.caps, search.context)


SEARCH_ENDED = "No week was found for these wishes before the search ended; that does not prove that there is none."


def proof_words(solution: Solution, objective: float) -> str:
    """What was proven, plainly: exercises, days, weeks and shared rests together."""
    gap = max(0.0, objective - solution.bound)
    if gap <= 0:
        text = "Exercises, days, weeks and shared rests together are proven best within the rules and the minutes."
    elif solution.is_makeshift:
        text = (
            "The search ended before it found a week, so this block holds the wishes and little else; at most "
            f"{gap:g} points better exists."
        )
    else:
        text = (
            f"A good block; at most {gap:g} points better exists. One set missing in one week costs 8 points for an "
            "ordinary group."
        )
    if solution.fuse_blown:
        text += " The time fuse blew: on a slower machine this block may differ."
    return text
