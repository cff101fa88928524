"""Easy work in a rest period that disturbs nothing.

Interference = 0.5 x muscle cosine (a third of it for a drill of range) + 0.1 where both are a set for one muscle
+ 0.15 both grip + 0.15 both load the spine + 0.2 systemic load. Filler is under 0.12 (project's knowledge model; the
hand-over pairs are its check), for the lift before, around and after the rest.

What it serves, in this order: the holds and carries that a restriction wants, the range that is a goal or that a lift
of the day asks for and the person has not, calves where they are wanted, else the joint that works least that day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import floor

from setwright.body.anatomy import muscle_groups
from setwright.body.range_of_motion import motions_of
from setwright.catalogue.derive import joint_stress, muscle_vector, set_credits
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.block import Entry, Filler
from setwright.plan.drills import how_done, in_a_word, may_be_asked, moves, region, worked_regions
from setwright.plan.gates import judge, said_joint, uses_of
from setwright.plan.likeness import cosine
from setwright.plan.range_limits import range_of, shortfalls

MOST = 0.12
PAIR_MOST = 0.28
SAME_SET = 0.1  # both count as a set for one muscle: the next set of the lift has less
DRILL_SHARE = 1 / 3  # of its muscles, what a drill without load tires: it moves a joint, it trains nothing
LEFT_OVER_S = 30.0  # of the rest, untouched
WALK_S = 10.0
LEAST_REPS, MOST_REPS = 3, 6
LEAST_HOLD_S, MOST_HOLD_S = 15.0, 30.0
LEAST_WORK_S = 15.0  # less isn't worth the way
LIGHTEST = 1  # how heavy wanted carries are in a rest: as light as the lightest work
# One more turn of the same filler counts as much as serving a goal two places down: two or three take turns.
AGAIN, MOST_DIFFERENT, MANY = 2.0, 3, 5.0
# Regions worth moving in a rest when nothing special is wanted; a wrist or neck drill is for who asks for it.
USUAL_REGIONS = ("hip", "shoulder", "ankle", "trunk")
LITTLE = 0.25  # of what the busiest region of the day does
WANTED, GOAL, SHORT, CALVES, LEAST = 0.0, 1.0, 1.5, 2.0, 3.0
LONGER_MOST_SHARE, LONGER_MOST_S = 1.5, 60.0


@dataclass(frozen=True)
class Around:
    """What stands around a rest.

    before, after : the entries next to this one, or None; day : all lifts of the day
    used : fillers given so far that day, in order; wished : muscle groups or roll-ups that the brief wants first
    """

    before: Exercise | None = None
    after: Exercise | None = None
    day: tuple[Exercise, ...] = ()
    used: tuple[str, ...] = ()
    wished: frozenset[str] = frozenset()

    @property
    def key(self) -> tuple[object, ...]:
        """What tells two of them apart, for remembering."""
        near = tuple(None if one is None else one.slug for one in (self.before, self.after))
        return (*near, tuple(one.slug for one in self.day), self.used, tuple(sorted(self.wished)))


NOTHING_AROUND = Around()


def around_of(day: Sequence[Exercise], number: int, used: Sequence[str] = (), wished: Iterable[str] = ()) -> Around:
    """What stands around the entry ``number`` of a day, counted from 0 in the order done; below 0 is the warm-up."""
    before = day[number - 1] if 0 < number <= len(day) else None
    after = day[number + 1] if 0 <= number + 1 < len(day) else None
    return Around(before, after, tuple(day), tuple(used), frozenset(wished))


@dataclass(frozen=True)
class Purpose:
    """What a filler serves: its place in the order (0 first), and why in a coach's words."""

    rank: float
    why: str


@dataclass(frozen=True)
class LongerRest:
    """A rest lengthened for filler work: seconds of each rest, seconds the entry takes more in all, and why."""

    rest_s: float
    extra_s: float
    why: str


@dataclass(frozen=True)
class Pool:
    """The fillers that are open to a person at a place, each with what it serves whatever the lift."""

    open_ones: tuple[tuple[Exercise, Purpose | None], ...] = field(default=())


def interference(main: Exercise, other: Exercise, other_is_light: bool = False) -> float:
    """How much ``other`` in the rest disturbs the next set of ``main``, 0 to 1."""
    share = DRILL_SHARE if other.mode == "active-mobility" else 1.0
    score = 0.5 * share * cosine(muscle_vector(main), muscle_vector(other))
    if not set_credits(main).keys().isdisjoint(set_credits(other)):
        score += SAME_SET
    if main.grip >= 2 and other.grip >= 1:
        score += 0.15
    if loads_spine(main) and loads_spine(other):
        score += 0.15
    return score + 0.2 * systemic(other, other_is_light)


def loads_spine(exercise: Exercise) -> bool:
    """True when the trunk holds against a load."""
    return exercise.spine in ("neutral", "flexed", "rotating") and exercise.load_capacity > 0


def systemic(exercise: Exercise, is_light: bool = False) -> float:
    """How tiring for the whole body, 0 to 1: heavy multi-joint and cyclic work is, drills are not."""
    if exercise.mode in ("active-mobility",) or exercise.load_capacity == 0:
        return 0.0
    if exercise.mode == "cyclic":
        return 0.8
    movers = sum(1 for value in muscle_vector(exercise).values() if value >= 0.75)
    load = min(exercise.load_capacity, LIGHTEST) if is_light else exercise.load_capacity
    return min(1.0, 0.12 * load * movers / 1.5)


def filler_for(
    exercise: Exercise,
    rest_s: float,
    catalogue: Catalogue,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    trainee: Trainee | None = None,
    around: Around = NOTHING_AROUND,
    pool: Pool | None = None,
) -> Filler | None:
    """The most useful filler for the rests of an exercise, or None.

    It passes every gate, disturbs neither this exercise nor the ones before and after it, and fits into the rest with
    the way there and back and half a minute to spare. Two or three take turns over a day.

    rest_s : rest between two sets, seconds; pool : ``open_fillers`` of the same person and place, where it is at hand
    """
    pool = pool or open_fillers(catalogue, restrictions, tokens, trainee)
    kinds = {other.slug: floor(own.rank) for other, own in pool.open_ones if own is not None}
    served = [kinds[slug] for slug in around.used if slug in kinds]
    best: tuple[tuple[float, ...], str, Exercise, str] | None = None
    for other, own in pool.open_ones:
        if other.slug == exercise.slug or dose_for(other, rest_s, "") is None:
            continue
        if any(other.base == one.base for one in around.day):
            continue  # it has its own place on the sheet
        if not disturbs_nothing(exercise, other, catalogue, around):
            continue
        purpose = purpose_here(other, own, exercise, around, trainee)
        if purpose is None:
            continue
        key = (
            purpose.rank + turn_cost(other, around, catalogue, served.count(kinds.get(other.slug, -1))),
            0.0 if other.slug in around.used else 1.0,
            0.0 if other.body_position == exercise.body_position else 1.0,
            round(nuisance(exercise, other, catalogue), 2),
            float(other.skill),
        )
        if best is None or (key, other.slug) < (best[0], best[1]):
            best = (key, other.slug, other, purpose.why)
    if best is None:
        return None
    why = f"{best[3]} {how_done(best[2], restrictions, trainee)}".strip()
    return dose_for(best[2], rest_s, why)


def turn_cost(other: Exercise, around: Around, catalogue: Catalogue, served: int) -> float:
    """What one more turn costs: twins of one exercise count as one, and after three different ones none is added.

    served : fillers of the day so far that serve the same wish; the next wish has its turn too
    """
    bases = [catalogue.get(slug).base for slug in around.used]
    new = other.base not in bases and len(set(bases)) >= MOST_DIFFERENT
    return AGAIN * max(bases.count(other.base), served) + (MANY if new else 0.0)


def open_fillers(
    catalogue: Catalogue,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    trainee: Trainee | None = None,
) -> Pool:
    """Every filler open to a person at a place, whatever the lift: drills, wanted holds and carries, calf raises."""
    found = []
    for other in catalogue.values():
        wanted = wanted_at(other, restrictions)
        is_calf = is_calf_raise(other)
        if not (other.mode == "active-mobility" or wanted or is_calf):
            continue
        if other.skill > 2 or other.body_position == "hang":
            continue
        touches = any(uses_of(other, rule) for rule in restrictions if rule.level != "hard")
        if touches and not wanted:
            continue  # a joint that may work little rests in the rests
        if not may_be_asked(other, restrictions, tokens, trainee):
            continue
        if judge(other, restrictions, tokens, trainee).dials:
            continue  # less range or one side only: a filler's line has no room to say it
        found.append((other, own_purpose(other, wanted, trainee)))
    return Pool(tuple(found))


def wanted_at(other: Exercise, restrictions: Sequence[Restriction]) -> Restriction | None:
    """The restriction that wants this easy hold or carry at its joint, or None.

    Holds need no load of the place and little of the joint; a carry is one that works the joint.
    """
    for rule in restrictions:
        if rule.level == "hard" or not uses_of(other, rule):
            continue
        gentle = joint_stress(other).get(rule.joint, 0) <= 1 and other.load_means == "body"
        if "holds" in rule.wanted and other.mode == "isometric" and other.load_capacity <= 2 and gentle:
            return rule
        if "carries" in rule.wanted and other.mode == "carry" and joint_stress(other).get(rule.joint, 0) <= 2:
            return rule
    return None


def is_calf_raise(other: Exercise) -> bool:
    """True for calf raises without a load."""
    return other.pattern == "calf" and other.is_dynamic and other.load_means == "body" and other.load_capacity <= 2


def own_purpose(other: Exercise, wanted: Restriction | None, trainee: Trainee | None) -> Purpose | None:
    """What a filler serves whatever the lift: wanted work or a goal of range; None where that depends on the day."""
    if wanted is not None:
        kind = "carries" if other.mode == "carry" else "holds"
        by = f" ({wanted.set_by})" if wanted.set_by else ""
        return Purpose(WANTED, f"Easy {kind} that the {said_joint(wanted.joint)} restriction wants kept{by}.")
    for goal in sorted((trainee.goals if trainee else ()), key=lambda one: one.priority):
        if (
            goal.kind == "range"
            and other.mode == "active-mobility"
            and any(moves(other, motion) for motion in motions_of(goal.about))
        ):
            return Purpose(GOAL + 0.1 * (goal.priority - 1), f"Range is your goal: {goal.about.replace('-', ' ')}.")
    return None


def purpose_here(
    other: Exercise, own: Purpose | None, exercise: Exercise, around: Around, trainee: Trainee | None
) -> Purpose | None:
    """What a filler serves in this rest: its own purpose, a range the day asks for, calves, the least worked joint."""
    if own is not None:
        return own
    day = around.day or (exercise,)
    if is_calf_raise(other):
        return Purpose(CALVES, "Calves are wanted.") if calves_wanted(around, trainee) else None
    if other.mode != "active-mobility":
        return None
    short = short_motion(other, day, trainee)
    if short:
        return Purpose(SHORT, short)
    worked = worked_regions(day)
    regions = [region(use.joint) for use in other.actions if use.role == "prime"]
    here = [where for where in regions if where in USUAL_REGIONS]
    if not here:
        return None
    least = min(here, key=lambda where: (worked.get(where, 0.0), where))
    most = max(worked.values(), default=0.0) or 1.0
    share = worked.get(least, 0.0) / most
    if share < LITTLE:
        rests = "works little today"
    elif worked_regions((exercise,)).get(least):
        rests = "has less to do today than others"
    else:
        rests = f"rests in the {exercise.name}"
    return Purpose(LEAST + share, f"Moves the {in_a_word(least)}, which {rests}.")


def short_motion(other: Exercise, day: Iterable[Exercise], trainee: Trainee | None) -> str:
    """Why a drill serves a range that a lift of the day asks for and the person has not, or an empty string."""
    reach = range_of(trainee) if trainee is not None else {}
    if not reach or trainee is None:
        return ""
    for lift in day:
        for short in shortfalls(lift, reach, trainee.stature_m, lift.dials):
            if moves(other, short.motion):
                missing = round(short.asked_deg - short.reaches[1])
                words = short.motion.removesuffix("-straight").replace("-", " ")
                return f"Your {words} is {missing} degrees short of what the {lift.name} asks."
    return ""


def calves_wanted(around: Around, trainee: Trainee | None) -> bool:
    """True when the brief or a goal of size wants calves."""
    groups = muscle_groups()
    calves = {slug for slug, one in groups.items() if one.roll_up.startswith("cal")}
    names = calves | {groups[slug].roll_up for slug in calves}
    goals = {goal.about for goal in (trainee.goals if trainee else ()) if goal.kind == "size"}
    return bool(names & (around.wished | goals))


def nuisance(main: Exercise, other: Exercise, catalogue: Catalogue) -> float:
    """``interference`` reckoned once for each pair; carries in a rest are light ones."""
    light = other.mode == "carry"
    return catalogue.remember(("interference", main.slug, other.slug), lambda: interference(main, other, light))


def disturbs_nothing(exercise: Exercise, other: Exercise, catalogue: Catalogue, around: Around) -> bool:
    """True when a filler leaves this exercise and its neighbours alone."""
    near = [one for one in (exercise, around.before, around.after) if one is not None]
    return all(nuisance(one, other, catalogue) < MOST for one in near)


def dose_for(other: Exercise, rest_s: float, why: str) -> Filler | None:
    """The dose that fits into a rest, at most six repetitions or 30 s a side; None where too little fits."""
    sides = 2 if other.per_side else 1
    room = (rest_s - LEFT_OVER_S - 2 * WALK_S) / sides
    if other.measured_in == "reps" and other.mode != "isometric":
        most = min(MOST_REPS, floor(room / other.rep_s + 1e-9))
        if most < LEAST_REPS or most * sides * other.rep_s < LEAST_WORK_S:
            return None
        return Filler(other.slug, reps=(max(LEAST_REPS, most - 1), most), per_side=other.per_side, why=why)
    seconds = min(MOST_HOLD_S, 5.0 * floor(room / 5.0 + 1e-9))
    if seconds < LEAST_HOLD_S:
        return None
    return Filler(other.slug, hold_s=seconds, per_side=other.per_side, why=why)


def work_s(filler: Filler, exercise: Exercise) -> float:
    """Seconds that one turn of a filler takes, both sides, without the way there and back."""
    sides = 2 if filler.per_side else 1
    return sides * (filler.reps[1] * exercise.rep_s if filler.reps else filler.hold_s or 0.0)


def lengthened_rest(rest_s: float, sets: int, filler: Exercise, spare_s: float) -> LongerRest | None:
    """How much longer each rest must be for a whole turn of a filler, or None where it fits already or can't.

    A whole turn is six repetitions or 30 s on each side. It needs its own seconds, 10 s there and 10 s back, and 30 s
    that stay free (``LEFT_OVER_S``); the rest becomes that long, rounded up to 5 s. It is never shortened, and grows
    by half and by 60 s at most: beyond that the sets get cold, and the filler gets fewer repetitions instead.

    Parameters
    ----------
    rest_s : rest between two sets as planned, seconds
    sets : working sets of the entry; the rest after the last one is not counted, so sets - 1 rests grow
    filler : the exercise done in the rests
    spare_s : seconds of the session that are still free; the entry takes at most these

    Returns
    -------
    ``LongerRest`` with the new ``rest_s``, the seconds the whole entry takes more (``extra_s`` =
    (sets - 1) x (new rest - old rest) <= ``spare_s``) and why; None where nothing has to change, or it may not.
    A search that counts minutes adds ``extra_s`` to the entry and takes it from the session's spare seconds.

    Source: common practice, no published source. A longer rest costs a lift nothing but time (Schoenfeld 2016, from
    memory, unchecked).

    >>> from setwright.catalogue.load import catalogue
    >>> lengthened_rest(90, 3, catalogue().get("knee_to_wall"), 120).rest_s
    100.0
    """
    sides = 2 if filler.per_side else 1
    is_held = filler.measured_in != "reps" or filler.mode == "isometric"
    whole = sides * (MOST_HOLD_S if is_held else MOST_REPS * filler.rep_s)
    needed = 5.0 * -floor(-(whole + 2 * WALK_S + LEFT_OVER_S) / 5.0)
    longer = needed - rest_s
    extra = max(0, sets - 1) * longer
    if longer <= 0 or sets < 2 or longer > LONGER_MOST_S or needed > LONGER_MOST_SHARE * rest_s or extra > spare_s:
        return None
    return LongerRest(needed, extra, f"Rests {longer:.0f} s longer, so that {filler.name} fits into them.")


def with_longer_rests(entry: Entry, catalogue: Catalogue, pool: Pool, spare_s: float) -> tuple[Entry, float]:
    """The entry with rests long enough for a whole turn of its filler, and the seconds that takes; 0 where it stays.

    Only for what somebody asked for: holds and carries that a restriction wants, a goal of range, calves. A filler that
    is there because nothing better was lengthens no rest, and a line that the coach wrote keeps its own.
    """
    filler = entry.filler
    work = entry.working_sets
    if filler is None or entry.superset or entry.written or len({one.rest_s for one in work}) != 1:
        return entry, 0.0
    exercise = catalogue.get(filler.exercise)
    asked_for = is_calf_raise(exercise) or any(
        one.slug == exercise.slug and own is not None for one, own in pool.open_ones
    )
    longer = lengthened_rest(work[0].rest_s, len(work), exercise, spare_s) if asked_for else None
    if longer is None:
        return entry, 0.0
    sets = tuple(one if one.kind == "ramp" else replace(one, rest_s=longer.rest_s) for one in entry.sets)
    whole = dose_for(exercise, longer.rest_s, f"{filler.why} {longer.why}")
    return replace(entry, sets=sets, filler=whole), longer.extra_s
