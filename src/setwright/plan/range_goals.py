"""Goals of range: which loaded-mobility entry serves them, how long at end range, and how that grows over the weeks.

Two ideas carry this module. One: time at end range grows first, then the range, then the load, one of them at a time.
Two: loaded range keeps what it opens, so an entry that can be loaded here goes before one that can't.

Doses: stretching for range is worth more up to about 4 min a session and 10 min a week, whatever the intensity (Ingram
et al. 2024, Sports Med, 189 studies, abstract and summary seen); at least 2 to 3 days a week, holds of 10 to 30 s, in
older people 30 to 60 s (ACSM guidelines, 11th edition, seen on its own page); strength through full range does as well
as stretching, body mass alone does not (Afonso 2021; Alizadeh 2023, abstracts seen). The steps are common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from setwright.body.range_of_motion import (
    RangeChange,
    changed,
    motions_of,
    range_tests,
    side_differences,
    slug_of_test,
    trained_by,
)
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.people.place import Place
from setwright.people.trainee import Goal, Trainee
from setwright.plan.candidates import skill_ceiling
from setwright.plan.gates import Verdict, judge
from setwright.plan.light_loads import HEAVIEST_FOR_RANGE
from setwright.plan.template import Scheme, TemplateEntry
from setwright.plan.weeks import WeekShape

REST_S = 45.0
# Sets and seconds at end range, step by step; 4 x 60 s is the 4 min beyond which nothing more was found (Ingram 2024).
TIME_STEPS = ((2, 30.0), (3, 30.0), (3, 45.0), (4, 45.0), (4, 60.0))
SHORT_DAY_MIN, SHORT_DAY_STEPS = 40.0, 3
# The same for repetitions with a pause at end range: sets, seconds of pause.
PAUSE_STEPS = ((2, 2), (3, 2), (3, 4), (4, 4))
PAUSE_REPS = (6, 8)


@dataclass(frozen=True)
class RangeWish:
    """One goal and one of its motions; ``now`` is the newest measured change of a test of it, or None."""

    goal: Goal
    motion: str
    now: RangeChange | None = None
    lesser_side: str = ""

    @property
    def words(self) -> str:
        """The goal as one says it."""
        return slug_of_test(self.goal.about).replace("-", " ")


def joints_of_goals(goals: Sequence[Goal]) -> frozenset[str]:
    """The joints that goals of range are about."""
    return frozenset(
        motion.split("-")[0] for goal in goals if goal.kind == "range" for motion in motions_of(goal.about)
    )


def range_wishes(trainee: Trainee) -> tuple[RangeWish, ...]:
    """Every motion that the range goals are about, the most wanted first; only those that some entry trains.

    A goal that could mean two motions (the hip with the knee bent, or straight) means the one that was measured, if
    one was, else both in turn.
    """
    changes = changed(trainee.range_measures)
    differences = {one.test.slug: one for one in side_differences(trainee.range_measures)}
    found = []
    for goal in sorted((one for one in trainee.goals if one.kind == "range"), key=lambda one: one.priority):
        motions = [one for one in motions_of(goal.about) if trained_by(one)]
        named = [one for one in changes if one.test.slug == slug_of_test(goal.about) and one.test.slug in range_tests()]
        measured = [one for one in motions if any(one in change.test.trained_motions for change in changes)]
        for motion in measured or motions:
            rows = named or [one for one in changes if one.test.motion == motion]
            rows = rows or [one for one in changes if motion in one.test.trained_motions]
            least = min(rows, key=lambda one: one.last.value * (-1 if one.test.less_is_more else 1), default=None)
            side = ""
            apart = differences.get(least.test.slug) if least is not None else None
            if apart is not None and apart.verdict in ("more", "less"):
                side = "left" if apart.verdict == "more" else "right"
            found.append(RangeWish(goal, motion, least, side))
    return tuple(found)


def untrained_goals(trainee: Trainee) -> tuple[Goal, ...]:
    """Goals of range that no loaded-mobility entry trains."""
    return tuple(
        goal
        for goal in trainee.goals
        if goal.kind == "range" and not any(trained_by(motion) for motion in motions_of(goal.about))
    )


def entry_for(
    wish: RangeWish,
    catalogue: Catalogue,
    trainee: Trainee,
    place: Place,
    shapes: Sequence[WeekShape],
    minutes: float,
) -> TemplateEntry | None:
    """The loaded-mobility entry that serves a wish at a place, with its dose of every week; None where none is open."""
    tokens = expand_tokens(place.tokens())
    open_ones: list[tuple[tuple[int, int], Exercise, Verdict, int]] = []
    for number, slug in enumerate(trained_by(wish.motion)):
        exercise = catalogue.get(slug)
        verdict = judge(exercise, trainee.restrictions, tokens, trainee)
        if not verdict.allowed or exercise.skill > skill_ceiling(trainee):
            continue
        options = loads_in(place, exercise) if exercise.load_means in ("total", "each hand") else ()
        light = [one for one in options if one.load_kg <= HEAVIEST_FOR_RANGE * trainee.body_mass_kg]
        if options and not light:
            continue
        open_ones.append(((0 if light else 1, number), exercise, verdict, len(light)))
    if not open_ones:
        return None
    _, exercise, verdict, loads = min(open_ones, key=lambda one: one[0])
    schemes = weekly_schemes(exercise, shapes, minutes, can_load=loads > 1)
    return TemplateEntry(
        exercise=exercise.slug,
        part="loaded-mobility",
        schemes=schemes,
        why=why_text(wish, shapes, schemes, loads),
        dials={**exercise.dials, **verdict.dials},
        cautions=verdict.cautions,
    )


def phases(count: int, can_load: bool) -> tuple[str, ...]:
    """What grows in each building week: time first, range in the next quarter, load in the last."""
    quarter = count // 4
    loads = quarter if can_load else 0
    return ("time",) * (count - quarter - loads) + ("range",) * quarter + ("load",) * loads


def weekly_schemes(
    exercise: Exercise, shapes: Sequence[WeekShape], minutes: float, can_load: bool
) -> tuple[Scheme, ...]:
    """The dose of every week; easy weeks go back to the first step and the first load.

    When the load goes up the time goes back by one step: one thing at a time. minutes : of the session, on which the
    time depends; 0 where there is room for the first step only
    """
    timed = exercise.measured_in == "seconds"
    last = len(TIME_STEPS if timed else PAUSE_STEPS) - 1
    if minutes <= SHORT_DAY_MIN:
        last = SHORT_DAY_STEPS - 1 if minutes > 0 else 0
    building = [shape.number for shape in shapes if not is_easy(shape)]
    grows = phases(len(building), can_load)
    longest = min(last, max(0, grows.count("time") - 1))
    made = []
    for shape in shapes:
        if shape.number not in building:
            made.append(one_scheme(exercise, 0))
            continue
        index = building.index(shape.number)
        if grows[index] == "time":
            made.append(one_scheme(exercise, min(index, longest)))
        elif grows[index] == "range":
            made.append(one_scheme(exercise, longest))
        else:
            made.append(one_scheme(exercise, max(0, longest - 1), steps_up=1))
    return tuple(made)


def is_easy(shape: WeekShape) -> bool:
    """Easier weeks, and the first weeks of a return."""
    return shape.kind == "deload" or (shape.kind == "return" and shape.share <= 0.7)


def one_scheme(exercise: Exercise, step: int, steps_up: int = 0) -> Scheme:
    """The sets of one step: a hold, or slow repetitions with a pause at end range."""
    if exercise.measured_in == "seconds":
        sets, seconds = TIME_STEPS[step]
        scheme = Scheme("hold", sets, hold_s=seconds, rest_s=REST_S, rir=4.0, per_side=exercise.per_side)
    else:
        sets, pause = PAUSE_STEPS[step]
        scheme = Scheme(
            "straight",
            sets,
            reps=PAUSE_REPS,
            tempo=f"4-{pause}-2-0",
            rest_s=REST_S,
            rir=4.0,
            per_side=exercise.per_side,
        )
    return replace(scheme, steps_up=steps_up)


def why_text(wish: RangeWish, shapes: Sequence[WeekShape], schemes: Sequence[Scheme], loads: int) -> str:
    """Why this entry, how far to go, how it grows, and from where."""
    building = [shape.number for shape in shapes if not is_easy(shape)]
    grows = phases(len(building), loads > 1)
    first, most = schemes[building[0] - 1] if building else schemes[0], max(schemes, key=lambda one: time_of(one))
    text = f"Your goal: {wish.words}. To your own end range, a strong stretch and never a sharp one."
    steps = [f"time grows ({dose_text(first)} to {dose_text(most)})" if dose_text(first) != dose_text(most) else ""]
    for phase, words in (("range", "go further"), ("load", "one load step more, a little less time")):
        weeks = [number for number, grow in zip(building, grows, strict=True) if grow == phase]
        if weeks:
            steps.append(f"from week {weeks[0]} {words}")
    said = "; ".join(one for one in steps if one)
    text += f" {said[0].upper()}{said[1:]}." if said else ""
    if not loads:
        text += " Without a load here: range grows less by the body alone."
    if wish.now is not None:
        unit = "degrees" if wish.now.test.unit == "deg" else wish.now.test.unit
        side = "" if wish.now.side == "both" else f", {wish.now.side}"
        text += f" Now {wish.now.last.value:.3g} {unit} ({wish.now.test.name}{side})"
        needed = wish.now.error.detectable()
        text += "." if needed is None else f"; a change counts from {needed:.2g}."
    if wish.goal.target is not None and wish.goal.unit in ("deg", "cm"):
        text += f" Goal {wish.goal.target:g} {'degrees' if wish.goal.unit == 'deg' else 'cm'}."
    if wish.lesser_side:
        text += f" The {wish.lesser_side} side has less: start with it."
    return text


def time_of(scheme: Scheme) -> float:
    """Seconds at end range, all sets."""
    pause = float((scheme.tempo or "0-0").split("-")[1])
    return scheme.sets * (scheme.hold_s or (scheme.reps or (0, 0))[0] * pause)


def dose_text(scheme: Scheme) -> str:
    """``3 x 45 s``, or ``3 x 6-8 with 4 s at the end``."""
    if scheme.hold_s:
        return f"{scheme.sets} x {scheme.hold_s:g} s"
    low, high = scheme.reps or PAUSE_REPS
    return f"{scheme.sets} x {low}-{high} with {(scheme.tempo or '0-0').split('-')[1]} s at the end"
