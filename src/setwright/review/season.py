"""A whole season as of a day: the standing on each goal, the events ahead, the weeks until then, the groups shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from setwright.catalogue.store import Catalogue
from setwright.people.season import Season, SeasonEvent
from setwright.people.trainee import Trainee
from setwright.plan.block import Block
from setwright.plan.goal_claims import led_by
from setwright.review.climb import ClimbAhead
from setwright.review.group_volume import GroupMove, behind_by_group, groups_shown, moves
from setwright.review.next_brief import NextBrief, Shown, easy_every_of, propose
from setwright.review.no_forecast import Limits
from setwright.review.season_goals import (
    Amount,
    GoalStanding,
    SeasonInputs,
    goals_of,
    place_of,
    printed,
    stand_on,
    weeks_between,
)
from setwright.review.season_weeks import (
    LONG_BREAK_WEEKS,
    USUAL_EASY_EVERY,
    USUAL_WEEKS,
    Stretch,
    easing_words,
    next_block,
    next_event,
    stretch_event,
    stretches,
)
from setwright.review.volume import WeekDone
from setwright.strength.estimates import Estimates


@dataclass(frozen=True)
class Counted:
    """What counts at an event: its name, what is likely on the day, or why nothing is forecast."""

    about: str
    name: str
    likely: Amount | None
    why: str = ""


@dataclass(frozen=True)
class EventAhead:
    """An event that is not over, with the weeks left until it and what counts there."""

    event: SeasonEvent
    weeks_left: float
    counts: tuple[Counted, ...]


@dataclass(frozen=True)
class SeasonView:
    """All of a season as of ``today``. ``block``: the last one begun, None without; ``moves``: what it showed."""

    season: Season
    trainee: Trainee
    today: date
    standings: tuple[GoalStanding, ...]
    events: tuple[EventAhead, ...]
    stretches: tuple[Stretch, ...]
    limits: Limits
    block: Block | None = None
    weeks: tuple[WeekDone, ...] = ()
    moves: tuple[GroupMove, ...] = ()


def view_season(
    season: Season,
    trainee: Trainee,
    today: date,
    blocks: Sequence[Block],
    weeks: Sequence[WeekDone],
    climbs: Mapping[str, ClimbAhead],
    estimates: Estimates,
    limits: Limits,
    catalogue: Catalogue,
) -> SeasonView:
    """The season. ``weeks``: those done of the last block begun; estimates and limits must be as of ``today``."""
    block = last_block(blocks, today)
    brief = None if block is None else block.inputs.brief
    known = SeasonInputs(trainee, estimates, catalogue, limits, today, climbs, weeks, brief)
    standings = tuple(stand_on(goal, known) for goal in goals_of(season, trainee))
    shown = groups_shown(weeks, estimates, catalogue, limits, stale_words(estimates, today))
    group_moves = tuple(moves(shown, behind_by_group(muscles_behind(standings, climbs, catalogue))))
    every = USUAL_EASY_EVERY if block is None else easy_every_of(block, weeks, group_moves)[0]
    length = USUAL_WEEKS if block is None else len(block.weeks)
    laid = stretches(season, blocks, today, length, every)
    ahead = next_block(laid)
    laid = tuple(
        replace(one, why=why_of(one, season, standings, group_moves, today, one is ahead, ahead)) for one in laid
    )
    events = tuple(
        EventAhead(one, weeks_between(today, one.date), tuple(counted(slug, one, known) for slug in one.counts))
        for one in season.events
        if one.last >= today
    )
    return SeasonView(season, trainee, today, standings, events, laid, limits, block, tuple(weeks), group_moves)


def last_block(blocks: Sequence[Block], today: date) -> Block | None:
    """The block that began last by a day, or None."""
    begun = [one for one in blocks if one.inputs.brief.start <= today]
    return max(begun, key=lambda one: (one.inputs.brief.start, one.revision), default=None)


def muscles_behind(
    standings: Sequence[GoalStanding], climbs: Mapping[str, ClimbAhead], catalogue: Catalogue
) -> dict[str, tuple[str, ...]]:
    """The muscle groups, or words for them, that goals which are behind ask more of, by the name of the goal."""
    found: dict[str, tuple[str, ...]] = {}
    for one in standings:
        if not one.is_behind:
            continue
        if one.goal.kind in ("size", "keep") and one.goal.about and one.goal.about not in catalogue:
            found[one.name] = (one.goal.about,)
        elif one.goal.kind in ("strength", "keep") and one.goal.about in catalogue:
            found[one.name] = led_by(catalogue.get(one.goal.about))
        elif one.goal.kind == "skill" and one.goal.about in climbs:
            steps = climbs[one.goal.about].steps
            slugs = dict.fromkeys((steps[0].step.exercise, steps[-1].step.exercise))
            found[one.name] = tuple(dict.fromkeys(word for slug in slugs for word in led_by(catalogue.get(slug))))
    return found


def counted(slug: str, event: SeasonEvent, known: SeasonInputs) -> Counted:
    """What is likely of a lift on the day of an event; a progression's forecast stands with its goal."""
    if slug in known.catalogue.progressions:
        return Counted(slug, known.catalogue.progressions[slug].title, None, "see the progression")
    exercise = known.catalogue.get(slug)
    closed = known.limits.of_exercise(exercise)
    lift = known.estimates.for_exercise(exercise.slug)
    place = place_of(lift, known.estimates)
    if closed:
        return Counted(slug, exercise.name, None, f"no forecast: {closed}")
    if place is None:
        return Counted(slug, exercise.name, None, "nothing of it is logged")
    return Counted(slug, exercise.name, printed(lift, max(event.date, known.today), known, place))


def newest_set(estimates: Estimates) -> date | None:
    """The day of the newest set that tells something, or None."""
    return max((row.date for rows in estimates.evidence.values() for row in rows), default=None)


def stale_words(estimates: Estimates, today: date) -> str:
    """What to say where nothing was logged for two weeks and more; empty else."""
    newest = newest_set(estimates)
    if newest is None or (today - newest).days < 7 * LONG_BREAK_WEEKS:
        return ""
    return f"nothing logged for {(today - newest).days // 7} weeks"


def why_of(
    one: Stretch,
    season: Season,
    standings: Sequence[GoalStanding],
    group_moves: Sequence[GroupMove],
    today: date,
    is_next: bool,
    ahead: Stretch | None,
) -> tuple[str, ...]:
    """What a stretch is for: easier weeks, what counts at its end, and for the next block what the last one showed."""
    if not one.number:
        return ()
    said = list(easing_words(one, season.events))
    event = next_event(season.events, today)
    if is_next:
        behind = [stands.name for stands in standings if stands.is_behind]
        if behind:
            said.insert(0, f"Behind: {', '.join(behind)}.")
        elif any(stands.verdict != "no forecast" for stands in standings):
            said.insert(0, "No goal is behind: it keeps what works.")
        for word, move in (("More", "raise"), ("Fewer", "lower")):
            groups = [f"{row.shown.name} {row.shown.done:g} to {row.sets:g}" for row in group_moves if row.move == move]
            said += [f"{word} sets: {', '.join(groups)}."] if groups else []
    elif ahead is not None and one.start < ahead.start:
        said.insert(0, "Too short for a block of its own: the last one goes on.")
    elif event is not None and one.start <= event.date:
        said.insert(0, f"Towards {event.name}; its sets follow from the block before it.")
    else:
        said.append("A frame: filled in when the block before it is done.")
    return tuple(said)


def weeks_off_before(view: SeasonView, ahead: Stretch, estimates: Estimates) -> int:
    """Weeks without training before a block: those of a break just before it, or since the last set of a stale log."""
    place = view.stretches.index(ahead)
    before = view.stretches[place - 1] if place else None
    off = len(before.weeks) if before is not None and before.weeks[0].kind == "break" else 0
    newest = newest_set(estimates)
    if newest is not None and stale_words(estimates, view.today):
        off = max(off, (ahead.start - newest).days // 7)
    return off


def next_brief_of(
    view: SeasonView, climbs: Mapping[str, ClimbAhead], estimates: Estimates, catalogue: Catalogue
) -> NextBrief:
    """The next brief, from the last block of a season. ValueError where no block has begun, or none is to come."""
    ahead = next_block(view.stretches)
    if view.block is None or ahead is None:
        raise ValueError("the next brief is proposed from a block that has begun, and needs weeks after it")
    return propose(
        Shown(
            view.block,
            view.weeks,
            view.standings,
            view.moves,
            view.limits,
            ahead,
            stretch_event(ahead, view.season.events),
            climbs,
            estimates,
            catalogue,
            view.trainee,
            view.today,
            weeks_off_before(view, ahead, estimates),
            tuple(one for one in view.stretches if one.number and one.start < ahead.start),
        )
    )
