"""The problem that a block answers, posed anew from the block itself: to count what it would be like otherwise.

For blocks that no search made, or that changed since: written, restricted, reshaped, fitted, adapted ones. The wishes
are those of the block's own inputs; what stands in it stays open for counting even where a search had left it aside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.derive import set_credits
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS, TrainingDay
from setwright.plan.block import Block, Session
from setwright.plan.candidates import Candidate, find_candidates
from setwright.plan.clearance import for_whole_block
from setwright.plan.compose import Context
from setwright.plan.demand import WeekDemand, week_demand
from setwright.plan.fit import entries_for, single_stations
from setwright.plan.interference import Weight, weight_of
from setwright.plan.posing import Posed, groups_of, pose, together_of
from setwright.plan.reasons import with_reasons
from setwright.plan.reasons_frame import ENDLESS_S, Frame, entries_of, is_open_to_search
from setwright.plan.weeks import WeekShape, week_shapes
from setwright.strength.estimates import Estimates

COUNTED = ("main", "skill", "assistance", "finisher")


def told_again(block: Block, catalogue: Catalogue, estimates: Estimates, known: frozenset[str] = frozenset()) -> Block:
    """The block with answers counted from what stands in it now.

    known : exercises done before, besides the trainee's baselines
    """
    frame = frame_again(block, catalogue, estimates, known)
    return with_reasons(block, frame.posed, frame.context, frame.brief, frame.known)


def frame_again(
    block: Block,
    catalogue: Catalogue,
    estimates: Estimates,
    known: frozenset[str] = frozenset(),
    besides: frozenset[str] = frozenset(),
) -> Frame:
    """A block beside its own problem, posed anew. ``besides``: exercises to weigh where others would stand for them."""
    brief = block.inputs.brief
    trainee = for_whole_block(block.inputs.trainee, brief.start, len(block.weeks))
    done = known | frozenset(base.exercise for base in trainee.baselines)
    places = {place.id: place for place in block.inputs.places}
    context = Context(trainee, places, brief, catalogue, estimates, brief.start)
    days = days_of(block)
    used = [places[place] for place in dict.fromkeys(day.place for day in days)]
    candidates, _ = find_candidates(catalogue, trainee, used, brief, estimates, done)
    demand = without_served(week_demand(trainee, brief, trainee.restrictions, catalogue), block, catalogue)
    posed = posed_again(block, context, candidates, demand, days, besides)
    rough = Frame(block, posed, context, brief, done)
    return replace(rough, posed=with_true_seconds(posed, rough.counted.seconds, block.door == "design"))


def with_true_seconds(posed: Posed, seconds: tuple[int, ...], is_filled: bool) -> Posed:
    """The problem with the seconds that the dosed sessions leave, and the entries that fill them where they should."""
    problem = replace(posed.problem, seconds=seconds)
    entries = sum(entries_for(one) for one in seconds) if is_filled else 0
    return replace(posed, problem=replace(problem, thin=(entries, problem.thin[1])))


def posed_again(
    block: Block,
    context: Context,
    candidates: Sequence[Candidate],
    demand: WeekDemand,
    days: Sequence[TrainingDay],
    besides: frozenset[str] = frozenset(),
) -> Posed:
    """The problem with the block's own entries among its items, none of them wanted more than the brief wants it."""
    brief, shapes = context.brief, shapes_of(block)
    slugs = frozenset(one.slug for one in candidates)
    here = frozenset(
        entry.exercise
        for week in block.weeks
        for session in week.sessions
        for part, entry in entries_of(session)
        if is_open_to_search(part, entry) and entry.exercise in slugs
    )
    kept = here | (besides & slugs)
    named = {wish.exercise for wish in brief.lifts} | set(brief.include)
    widened = replace(brief, include=tuple(dict.fromkeys((*brief.include, *sorted(kept - named)))))
    seconds = [ENDLESS_S if day.minutes >= ENDLESS_S / 60 else int(60 * day.minutes) for day in days]
    by_day = [[one for week in block.weeks for one in week.sessions if one.day == day.day] for day in days]
    posed = pose(
        candidates,
        demand,
        widened,
        days,
        shapes,
        seconds,
        given_by(block, demand, here, context.catalogue),
        fixed_entries=[max((fixed_in(one, here) for one in rows), default=0) for rows in by_day],
        single=single_stations(list(context.places.values())),
        conditioning=conditioning_in(block, shapes, context.catalogue),
    )
    items = tuple(
        replace(item, times=(0, max(2, len(days)))) if item.key in kept - named else item
        for item in posed.problem.items
    )
    problem = replace(
        posed.problem,
        items=items,
        groups=groups_of(posed.candidates, brief),
        together=together_of(posed.candidates, brief, len(shapes)),
    )
    return replace(posed, problem=problem)


def conditioning_in(block: Block, shapes: Sequence[WeekShape], catalogue: Catalogue) -> dict[str, Weight]:
    """What the bouts of each weekday weigh in the hardest week of a block; days without any are left out."""
    peak = block.weeks[max(range(len(shapes)), key=lambda week: shapes[week].share)]
    made = {
        one.day: weight_of([entry for part in one.parts for entry in part.entries], catalogue) for one in peak.sessions
    }
    return {day: weight for day, weight in made.items() if weight.sets}


def days_of(block: Block) -> tuple[TrainingDay, ...]:
    """The weekdays of a block in order, with their minutes and place in the last week that has them."""
    found: dict[str, TrainingDay] = {}
    for week in block.weeks:
        for one in week.sessions:
            minutes = ENDLESS_S / 60 if one.minutes_cap is None else one.minutes_cap
            found[one.day] = TrainingDay(one.day, minutes, one.place)
    return tuple(found[day] for day in DAYS if day in found)


def shapes_of(block: Block) -> tuple[WeekShape, ...]:
    """The curve: effort and kinds as they stand; volume as the brief sets it, or as it was written."""
    brief, trainee = block.inputs.brief, block.inputs.trainee
    shares = [one.share for one in week_shapes(brief, trainee.weeks_off, trainee.screening.active_now)]
    if block.door == "write" or len(shares) != len(block.weeks):
        sets = [
            sum(len(entry.working_sets) for one in week.sessions for _, entry in entries_of(one))
            for week in block.weeks
        ]
        shares = [count / max(1, *sets) for count in sets]
    return tuple(
        WeekShape(week.number, week.kind, week.rpe, share) for week, share in zip(block.weeks, shares, strict=True)
    )


def fixed_in(session: Session, here: frozenset[str]) -> int:
    """Exercises of a session that no search chose; warm-up, range and conditioning count for none."""
    return sum(
        1
        for part, entry in entries_of(session)
        if part not in ("warm-up", "loaded-mobility", "conditioning")
        and not (is_open_to_search(part, entry) and entry.exercise in here)
    )


def given_by(
    block: Block, demand: WeekDemand, here: frozenset[str], catalogue: Catalogue
) -> dict[str, tuple[int, ...]]:
    """Half sets that entries which no search chose give to each demand in each week."""
    given = {need.roll_up: [0] * len(block.weeks) for need in demand.muscles}
    for number, week in enumerate(block.weeks):
        for session in week.sessions:
            for part, entry in entries_of(session):
                if part not in COUNTED or (is_open_to_search(part, entry) and entry.exercise in here):
                    continue
                credit = set_credits(catalogue.get(entry.exercise))
                for need in demand.muscles:
                    half = round(2 * max((credit.get(muscle, 0.0) for muscle in need.muscles), default=0.0))
                    given[need.roll_up][number] += half * len(entry.working_sets)
    return {name: tuple(units) for name, units in given.items()}


def without_served(demand: WeekDemand, block: Block, catalogue: Catalogue) -> WeekDemand:
    """The demand without the patterns that skill work already serves."""
    served = {
        catalogue.get(entry.exercise).pattern
        for week in block.weeks
        for session in week.sessions
        for part, entry in entries_of(session)
        if part == "skill"
    }
    return replace(demand, patterns=tuple(one for one in demand.patterns if not one[1] & served))
