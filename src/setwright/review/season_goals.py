"""Where a trainee stands on each goal of a season: how much is there, how likely the rest is by its day, and why.

Two ideas: a forecast is a chance and a range, from the same estimates that dose the loads, and it holds only if
training goes on as it did; where there is pain, or a restriction at the joint, there is none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import sqrt
from typing import Literal

from setwright.body.anatomy import muscle_groups
from setwright.body.range_of_motion import RangeChange, changed, find_test
from setwright.body.units import LB_KG
from setwright.catalogue.store import Catalogue
from setwright.people.season import Season, goals_together
from setwright.people.trainee import Goal, Trainee
from setwright.plan.brief import Brief
from setwright.plan.demand import MOST_SETS, muscles_of
from setwright.plan.goal_claims import KEEP_SETS, size_sets
from setwright.review.climb import ClimbAhead, StepAheadOfYou
from setwright.review.no_forecast import Limits
from setwright.review.volume import WeekDone
from setwright.strength.estimates import Estimates, LiftEstimate

# there: most likely there today; likely, open, behind: by its day; no date: a forecast without a day; short: under its
# target, and no published rate forecasts it; no forecast: pain, a restriction, or nothing to tell it from.
Verdict = Literal["there", "likely", "open", "behind", "short", "no date", "no forecast"]
# Shares from which a goal is there, likely, and not behind (common practice, no published source).
THERE, LIKELY, OPEN = 0.9, 0.7, 0.3
OLD_DAYS = 42  # older sets say little of today (common practice, no published source)
MANY = 10**9  # readings of a number that has no error
Dates = tuple[date | None, date | None, date | None]


@dataclass(frozen=True)
class Amount:
    """A number with its range, 8 times in 10 between low and high, in ``unit``; all alike where it was counted."""

    low: float
    middle: float
    high: float
    unit: str


@dataclass(frozen=True)
class GoalStanding:
    """How it stands on one goal.

    now : what is there; ``ahead``: what is likely on its day; None where nothing tells it
    chance : to be there by its day, or today where the day is over; None without a forecast
    likely : days by which it is there with chances of 10, 50 and 90 %, None each where not to be expected
    why : the verdict in figures; ``trend``: how fast it goes and how fast it would have to; ``rests_on``: by what
    """

    goal: Goal
    name: str
    verdict: Verdict
    why: str
    now: Amount | None = None
    target: Amount | None = None
    chance: float | None = None
    likely: Dates | None = None
    ahead: Amount | None = None
    trend: str = ""
    rests_on: str = ""

    @property
    def is_behind(self) -> bool:
        """True where more is needed than comes by itself: behind, or counted short."""
        return self.verdict in ("behind", "short")


@dataclass(frozen=True)
class SeasonInputs:
    """What the standing on goals is reckoned from; ``climbs`` by progression, ``weeks``: those of the last block."""

    trainee: Trainee
    estimates: Estimates
    catalogue: Catalogue
    limits: Limits
    today: date
    climbs: Mapping[str, ClimbAhead]
    weeks: Sequence[WeekDone] = ()
    brief: Brief | None = None


def goals_of(season: Season, trainee: Trainee) -> tuple[Goal, ...]:
    """Every goal of the season: its own, those of the trainee file, and a skill goal for each progression.

    The day of a progression holds where its goal has none; the goals that count first stand first.
    """
    found = list(goals_together(trainee.goals, season.goals))
    for climb in season.climbs:
        at = next((i for i, one in enumerate(found) if (one.kind, one.about) == ("skill", climb.progression)), None)
        if at is None:
            found.append(Goal("skill", climb.progression, by=climb.by))
        elif found[at].by is None:
            found[at] = replace(found[at], by=climb.by)
    return tuple(sorted(found, key=lambda one: (one.priority, one.by or date.max)))


def stand_on(goal: Goal, known: SeasonInputs) -> GoalStanding:
    """Where the trainee stands on one goal."""
    if goal.kind == "strength":
        return on_strength(goal, known)
    if goal.kind == "skill":
        return on_skill(goal, known)
    if goal.kind == "range":
        return on_range(goal, known)
    if goal.kind == "size":
        return on_sets(goal, known, size_band(known))
    if goal.kind == "keep" and goal.about:
        return on_keeping(goal, known)
    return on_work(goal, known)


def verdict_by(chance_now: float, chance: float | None) -> Verdict:
    """The verdict by the chance to be there today, and by its day (None without one)."""
    if chance_now >= THERE:
        return "there"
    if chance is None:
        return "no date"
    return "likely" if chance >= LIKELY else "open" if chance >= OPEN else "behind"


def percent(share: float) -> str:
    """A chance as a coach says it: ``34 %``; never quite none or sure."""
    return "under 1 %" if share < 0.01 else "over 99 %" if share > 0.99 else f"{100 * share:.0f} %"


# Strength


def on_strength(goal: Goal, known: SeasonInputs) -> GoalStanding:
    """A goal about a lift: the chance that its one-repetition maximum is at the target by the day."""
    exercise = known.catalogue.get(goal.about)
    closed = known.limits.of_exercise(exercise)
    lift = known.estimates.for_exercise(exercise.slug)
    wanted = None if goal.target is None else goal.target * (LB_KG if goal.unit == "lb" else 1.0)
    is_load = goal.unit in ("kg", "lb", "")
    target = None if wanted is None else Amount(wanted, wanted, wanted, "kg" if is_load else goal.unit)
    made = GoalStanding(goal, exercise.name, "no forecast", "", target=target, rests_on=rests_on(lift, known))
    place = place_of(lift, known.estimates)
    if place is None:
        return replace(made, why=f"nothing of it is logged{f'; {closed}' if closed else ''}")
    made = replace(made, now=printed(lift, known.estimates.today, known, place))
    if closed:
        return replace(made, why=f"no forecast: {closed}")
    if wanted is None:
        return replace(made, why="no target is written, so there is no day to forecast", trend=trend_words(lift))
    if not is_load:
        return replace(made, why=f"a target in {goal.unit} of a lift is not forecast; write it in kg or lb")
    return forecast_lift(made, lift, place, wanted, known)


def forecast_lift(
    made: GoalStanding, lift: LiftEstimate, place: int, target_kg: float, known: SeasonInputs
) -> GoalStanding:
    """The standing with the forecast of a lift that has sets; ``target_kg`` as printed on the bar."""
    course, today, by = known.estimates.course, known.today, made.goal.by
    assert course is not None
    whole = target_kg + lift.body_part_kg
    if whole <= 0:
        return replace(made, why="with so much help it is not told apart from nothing")
    now = course.chance_of(whole, today, place)
    is_ahead = by is not None and by > today
    chance = None if by is None else course.chance_of(whole, by, place) if is_ahead else now
    verdict = verdict_by(now, chance)
    why = f"{percent(now)} that it is there today"
    if by is not None:
        why += f", {percent(chance or 0.0)} by its day" if is_ahead else "; its day is over"
    return replace(
        made,
        verdict=verdict,
        why=why,
        chance=chance if by is not None else now if verdict == "there" else None,
        likely=course.reached_by(whole, place),
        ahead=printed(lift, by, known, place) if by is not None and by > today else None,
        trend=trend_words(lift, target_kg, by, today),
    )


def place_of(lift: LiftEstimate, estimates: Estimates) -> int | None:
    """Which of the followed lifts it is; None without sets that count."""
    if estimates.course is None or lift.exercise not in estimates.evidence or not lift.sets_used:
        return None
    return list(estimates.evidence).index(lift.exercise)


def printed(lift: LiftEstimate, on: date, known: SeasonInputs, place: int) -> Amount:
    """The one-repetition maximum on a day as printed on the bar, kg, 8 times in 10; its middle is the mean."""
    course = known.estimates.course
    assert course is not None
    whole, own = course.one_rm_on(on, place), lift.body_part_kg
    return Amount(whole.p10 - own, whole.mean - own, whole.p90 - own, "kg")


def trend_words(
    lift: LiftEstimate, target_kg: float | None = None, by: date | None = None, today: date | None = None
) -> str:
    """How fast a lift went, and how fast it would have to go."""
    said = []
    if lift.trend_per_week is not None and lift.gained is not None:
        trend = lift.trend_per_week
        said.append(
            f"{signed(trend.mean)} kg a week (between {signed(trend.p10)} and {signed(trend.p90)}) "
            f"over the last eight weeks, {percent(lift.gained)} that it rose"
        )
    if target_kg is not None and by is not None and today is not None and by > today:
        middle = lift.posterior.one_rm().mean - lift.body_part_kg
        if target_kg > middle:
            said.append(f"needed {(target_kg - middle) / ((by - today).days / 7.0):+.1f} kg a week")
    return "; ".join(said)


def signed(value: float) -> str:
    """A change with its sign and one decimal, no minus before a nought."""
    return f"{round(value, 1) + 0.0:+.1f}"


def plural(number: int) -> str:
    """The ending of a word for so many."""
    return "" if number == 1 else "s"


def rests_on(lift: LiftEstimate, known: SeasonInputs) -> str:
    """What a belief rests on, and how old that is where it is old."""
    rows = known.estimates.evidence.get(lift.exercise, ())
    last = max((one.date for one in rows), default=None)
    if last is None:
        return "nothing logged of it"
    old = f", the last {(known.today - last).days // 7} weeks ago" if (known.today - last).days > OLD_DAYS else ""
    days = len({one.date for one in rows})
    return f"{lift.sets_used} set{plural(lift.sets_used)} on {days} day{plural(days)}{old}"


# Skill


def on_skill(goal: Goal, known: SeasonInputs) -> GoalStanding:
    """A progression: the chance to have done its top, or the step that the goal names, by the day."""
    climb = known.climbs.get(goal.about)
    title = known.catalogue.progressions[goal.about].title
    made = GoalStanding(goal, title, "no forecast", "")
    if climb is None:
        return replace(made, why="not begun: no step in the trainee file and nothing in the log")
    stands = climb.standing
    name = known.catalogue.get(stands.step.exercise).name
    now = Amount(stands.place, stands.place, stands.place, f"step of {len(stands.way)}")
    target = target_step(goal, climb)
    made = replace(made, now=now, rests_on=f"{name}, by {stands.source}; {climb.rests_on}")
    if stands.verdict == "top reached":
        return replace(made, verdict="there", why="the exit test of the top step is met", chance=1.0)
    if target is None:
        return replace(made, verdict="there", why=f"step {goal.target:g} is done", chance=1.0)
    made = replace(made, target=Amount(target.place, target.place, target.place, "step"))
    closed = why_no_climb(climb, target, known)
    if closed:
        return replace(made, why=f"no forecast: {closed}")
    chance = target.chance_asked
    verdict = verdict_by(0.0, chance) if goal.by is not None else "no date"
    # Within 26 weeks: the farthest of the checkpoints of a climb.
    within = (
        f"{percent(target.chances[-1])} that {step_name(target, known)} is done within {climb.checkpoints[-1]} weeks"
    )
    if goal.by is not None and goal.by > known.today and chance is not None:
        within = f"{percent(chance)} that {step_name(target, known)} is done by its day"
    elif goal.by is not None:
        verdict, within = "behind", "its day is over"
    return replace(
        made, verdict=verdict, why=within, chance=chance, likely=target.dates, trend=next_step_words(climb, known)
    )


def target_step(goal: Goal, climb: ClimbAhead) -> StepAheadOfYou | None:
    """The step that is wanted: the one that the goal names, else the top; None where it is done."""
    if goal.target is None or goal.unit not in ("step", ""):
        return climb.steps[-1]
    wanted = int(goal.target)
    if wanted < climb.standing.step.number and all(one.step.number != wanted for one in climb.steps):
        return None
    return next((one for one in climb.steps if one.step.number == wanted), climb.steps[-1])


def step_name(row: StepAheadOfYou, known: SeasonInputs) -> str:
    """A step by its place and exercise."""
    return f"step {row.place}, {known.catalogue.get(row.step.exercise).name},"


def next_step_words(climb: ClimbAhead, known: SeasonInputs) -> str:
    """What comes next on a progression."""
    stands = climb.standing
    return f"now {stands.verdict}: {stands.why.rstrip('.')}"


def why_no_climb(climb: ClimbAhead, target: StepAheadOfYou, known: SeasonInputs) -> str:
    """Why nothing is forecast of a climb: pain, or a restriction on one of the steps up to the target."""
    stands = climb.standing
    if stands.stopped or stands.verdict in ("step back", "closed"):
        return stands.why.rstrip(".")
    if stands.closed:
        return stands.closed[0].rstrip(".")
    for row in climb.steps:
        exercise = known.catalogue.get(row.step.exercise)
        if row.closed:
            return f"{exercise.name} is closed: {row.closed[0].rstrip('.')}"
        why = row.limited or known.limits.of_exercise(exercise)
        if why:
            return f"{exercise.name}: {why}"
        if row is target:
            break
    return ""


# Range


def on_range(goal: Goal, known: SeasonInputs) -> GoalStanding:
    """A range of motion: the last reading against the target, with the error of measuring."""
    rows = [one for one in known.trainee.range_measures if one.date <= known.today]
    here = [one for one in changed(rows) if goal.about in (one.test.slug, one.test.motion)]
    name = find_test(goal.about).name if not here else here[0].test.name
    made = GoalStanding(goal, name, "no forecast", "")
    if not here:
        return replace(made, why="never measured")
    last = min(here, key=lambda one: one.last.value * (-1 if one.test.less_is_more else 1))
    half = error_80(last)
    value, unit = last.last.value, last.test.unit
    side = "" if last.side == "both" else f", {last.side} side"
    made = replace(
        made,
        now=Amount(value - (half or 0.0), value, value + (half or 0.0), unit),
        rests_on=f"{last.last.readings} readings on {last.last.date.isoformat()}{side}"
        if last.last.readings > 1
        else f"one reading on {last.last.date.isoformat()}{side}",
        trend=range_trend(last),
    )
    if goal.target is None:
        return replace(made, why="no target is written")
    made = replace(made, target=Amount(goal.target, goal.target, goal.target, unit))
    missing = (goal.target - value) * (-1 if last.test.less_is_more else 1)
    chance = last.error.chance_above_zero(-missing, last.last.readings, MANY)
    if chance is None:
        return replace(made, why="the measuring error is not known yet: repeat the reading within a week")
    verdict: Verdict = "there" if chance >= THERE else "short"
    short_by = f"{abs(missing):.1f} {unit} {'short of' if missing > 0 else 'past'} the target"
    why = f"{short_by}; {percent(chance)} that it is there, by the error of measuring alone"
    return replace(made, verdict=verdict, why=why, chance=chance)


def error_80(change: RangeChange) -> float | None:
    """Half the width that holds the true value 8 times in 10, by Student's t; None where the error is unknown."""
    if change.error.sem is None:
        return None
    from scipy.special import stdtrit

    return float(stdtrit(change.error.freedom, 0.9)) * change.error.sem / sqrt(change.last.readings)


def range_trend(change: RangeChange) -> str:
    """Whether the range changed beyond its error."""
    if change.verdict == "one occasion":
        return "one occasion: measure again"
    moved = f"{change.change:+.1f} {change.test.unit} since {change.first.date.isoformat()}"
    if change.detectable is None:
        return f"{moved}; the error is not known"
    beyond = "beyond" if change.verdict in ("more", "less") else "within"
    return f"{moved}, {beyond} the measuring error of {change.detectable:.1f}"


# Sets, keeping, work


def size_band(known: SeasonInputs) -> tuple[float, float]:
    """Counted sets a week between which a group grows: rule V03, less for beginners."""
    low = 10.0 if known.brief is None else size_sets(known.trainee, known.brief)
    return low, MOST_SETS


def sets_a_week(about: str, weeks: Sequence[WeekDone]) -> list[float]:
    """Counted sets of a group, or of the best served one of a region, in each hard week of a block that is over."""
    most = max((one.sets_planned for one in weeks), default=0)
    hard = [one for one in weeks if one.is_over and one.sets_planned > 0.7 * most]
    return [
        max((week.credits.get(muscle, (0.0, 0.0))[1] for muscle in muscles_of(about)), default=0.0) for week in hard
    ]


def on_sets(goal: Goal, known: SeasonInputs, band: tuple[float, float]) -> GoalStanding:
    """Size: the counted sets that were done against the band in which groups grow; size itself nobody measured."""
    done = sets_a_week(goal.about, known.weeks)
    low, high = band
    made = GoalStanding(goal, group_name(goal.about), "no forecast", "", target=Amount(low, low, high, "sets a week"))
    if not done:
        return replace(made, why="no hard week of a block is over in the log")
    mean = sum(done) / len(done)
    verdict: Verdict = "there" if low <= mean <= high else "short"
    if mean > high:
        verdict, side = "open", f"over the {high:g} past which little more is to be had"
    else:
        side = f"inside {low:.3g} to {high:g}" if mean >= low else f"under {low:.3g}"
    why = f"{mean:.1f} counted sets a week done in {len(done)} hard weeks, {side}; how much it grew nobody measured"
    return replace(
        made,
        verdict=verdict,
        why=why,
        now=Amount(min(done), mean, max(done), "sets a week"),
        rests_on=f"{len(done)} hard weeks of the last block",
    )


def group_name(word: str) -> str:
    """A muscle group, or a region, as a coach says it."""
    groups = muscle_groups()
    return groups[word].label if word in groups else word.replace("_", " ")


def on_keeping(goal: Goal, known: SeasonInputs) -> GoalStanding:
    """Keeping a lift or a group: whether it probably fell, or whether the sets that keep it were done."""
    if goal.about not in known.catalogue:
        return on_sets(goal, known, (KEEP_SETS, MOST_SETS))
    exercise = known.catalogue.get(goal.about)
    closed = known.limits.of_exercise(exercise)
    lift = known.estimates.for_exercise(exercise.slug)
    made = GoalStanding(goal, exercise.name, "no forecast", "", rests_on=rests_on(lift, known))
    place = place_of(lift, known.estimates)
    if closed or place is None:
        return replace(made, why=f"no forecast: {closed or 'nothing of it is logged'}")
    made = replace(made, now=printed(lift, known.today, known, place), trend=trend_words(lift))
    if lift.gained is None:
        return replace(made, why="too few days of late to tell")
    fell = 1.0 - lift.gained
    verdict: Verdict = "behind" if fell >= LIKELY else "open" if fell >= OPEN else "likely"
    return replace(
        made, verdict=verdict, why=f"{percent(fell)} that it fell over the last eight weeks", chance=lift.gained
    )


def on_work(goal: Goal, known: SeasonInputs) -> GoalStanding:
    """Work capacity, and keeping everything: the minutes that were done; nothing is forecast."""
    weeks = [one for one in known.weeks if one.is_over]
    name = "work capacity" if goal.kind == "work-capacity" else "keeping what is there"
    minutes = [one.minutes_done for one in weeks if one.minutes_done is not None]
    if not minutes:
        return GoalStanding(goal, name, "no forecast", "no session of the last block has its minutes in the log")
    mean = sum(minutes) / len(minutes)
    done, due = sum(one.sessions_done for one in weeks), sum(one.sessions_planned for one in weeks)
    why = f"{done} of {due} sessions done, {mean:.0f} minutes a week; nothing is forecast from that"
    now = Amount(min(minutes), mean, max(minutes), "minutes a week")
    return GoalStanding(goal, name, "no forecast", why, now, rests_on=f"{len(weeks)} weeks of the last block")


def weeks_between(start: date, end: date) -> float:
    """Weeks from a day to another, 0 at least."""
    return max(0.0, (end - start).days / 7.0)


def monday_of(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())
