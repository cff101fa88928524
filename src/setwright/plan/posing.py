"""A week's wishes as a problem of numbers for the search, and its plan back as picks on days.

Points of the product, each with what it stands for. A half set missing in a week costs 4 (8 or 12 where the group is
wanted or first), under the floor 6 more, too many 1; all once-only points count as many times as there are weeks, so
that a long block weighs them like a short one. Rules that the coach weighs anew count by their weight.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from setwright.catalogue.derive import joint_stress, muscle_vector, set_credits
from setwright.catalogue.exercise import Exercise
from setwright.dose.minutes import CHANGE_OVER_S, SETTLE_S
from setwright.people.trainee import DAYS, Day, TrainingDay
from setwright.plan.brief import Brief
from setwright.plan.candidates import PRESSES, SINGLE_JOINT_PATTERNS, Candidate, is_ballistic, is_big_lift, kin_of
from setwright.plan.demand import MuscleDemand, WeekDemand, muscles_of
from setwright.plan.difference import NO_DIFFERENCE, Difference
from setwright.plan.goal_claims import SIZE_SETS
from setwright.plan.interference import Weight, day_points
from setwright.plan.own_rules import OwnRule
from setwright.plan.own_wishes import allows, credit_of, free_days
from setwright.plan.search.problem import Apart, Group, Item, Need, Plan, Problem, Share, Together, Week, Wish
from setwright.plan.special_schemes import small_for_big, suits_hold_reps_hold
from setwright.plan.weeks import WeekShape

UNDER, FLOOR, OVER, BEYOND = 4, 6, 1, 4  # points for a half set in one week
PATTERN, PREFERENCE, ENTRY, THIN, SCHEME = 14, 6, 1, 3, 16  # once, times the weeks
ONCE_ONLY, HARD, SESSION, TWICE, BIGLESS, CROWDED, UNEVEN, LEAP = 5, 6, 2, 5, 4, 4, 1, 3
BAND = 2  # half sets around a target that are free
SESSION_HALF_SETS, HARD_HALF_SETS = 16, 11  # from 8 sets a session gains fade; six sets and more are hard
MOST_ENTRIES = 7
COUNTED_KINDS = ("at-most-sets", "at-least-sets", "days-between")  # own rules that count sets of a muscle
SETS = (2, 4)
UNEVEN_FREE_S, UNEVEN_STEP_S = 600, 300
SAVED = 0.5  # of the rest of a paired set; the time model gives back more (Burke 2024: 36 % of a whole session)
PRIME = 0.75
HEAVIEST = 5  # load capacity of the big barbell lifts


@dataclass(frozen=True)
class Pick:
    """One chosen exercise on one day, with its sets in each week, and the slug it shares its rests with, or empty."""

    candidate: Candidate
    day: int
    sets: tuple[int, ...]
    is_goal_lift: bool
    partner: str = ""


@dataclass(frozen=True)
class Posed:
    """The problem, and what its items and pattern wishes are."""

    problem: Problem
    candidates: tuple[Candidate, ...]
    patterns: tuple[tuple[int, str], ...]
    goal_lifts: frozenset[str]

    def picks(self, plan: Plan) -> tuple[tuple[Pick, ...], ...]:
        """A plan as picks on each day."""
        return tuple(
            tuple(
                Pick(
                    self.candidates[spot.item],
                    day,
                    spot.sets,
                    self.candidates[spot.item].slug in self.goal_lifts,
                    self.candidates[spot.partner].slug if spot.partner >= 0 else "",
                )
                for spot in spots
            )
            for day, spots in enumerate(plan.days)
        )

    def missing_patterns(self, plan: Plan) -> tuple[str, ...]:
        """Pattern wishes that nothing in a plan serves."""
        chosen = plan.chosen()
        return tuple(name for number, name in self.patterns if not self.problem.wishes[number].items & chosen)


def half_credit(candidate: Candidate, demand: MuscleDemand) -> int:
    """Credit of one set for a demand, in half sets: the largest credit among its muscles."""
    return round(2 * max((candidate.credits.get(muscle, 0.0) for muscle in demand.muscles), default=0.0))


def set_seconds(candidate: Candidate) -> int:
    """Seconds of one set with its rest, rounded up (an allowance is never rounded in our favour)."""
    return int(candidate.set_s + SETTLE_S + candidate.rest_s + 0.999)


def is_big(candidate: Candidate) -> bool:
    """True for a candidate that a session can be built on."""
    return is_big_lift(candidate.exercise)


def are_consecutive(first: TrainingDay, second: TrainingDay) -> bool:
    """True when the second day follows the first, Sunday to Monday included."""
    return (DAYS.index(second.day) - DAYS.index(first.day)) % 7 == 1


def tired_by(exercise: Exercise) -> frozenset[str]:
    """The muscles that a partner in a superset may not lead with: the prime movers, and the helpers of heavy lifts.

    A deadlift and a leg curl share no prime mover, and yet one spoils the other (common practice, no published source).
    """
    least = 0.5 if exercise.load_capacity >= HEAVIEST else 1.0
    led = {muscle for muscle, credit in set_credits(exercise).items() if credit >= least}
    return frozenset(led | {muscle for muscle, value in muscle_vector(exercise).items() if value >= PRIME})


BENT_OVER_DEG = 60.0


def leans_on_the_back(exercise: Exercise) -> bool:
    """True for hinges and for work done bent over, where the lower back holds the trunk."""
    holds = any(use.joint == "trunk" and use.action == "extension" for use in exercise.actions)
    bent = (
        exercise.max_angles.get("hip-flexion", 0.0) >= BENT_OVER_DEG
        and exercise.max_angles.get("knee-flexion", 0.0) < 90.0
    )
    return holds and bent and exercise.support in ("two-feet", "one-foot")


TRUNK_WORK = frozenset(
    {"anti_extension", "anti_lateral", "anti_rotation", "trunk_flexion", "trunk_extension", "trunk_rotation"}
)


def firm_trunk(exercise: Exercise) -> frozenset[str]:
    """Kinds of trunk work that tire what an exercise leans on: its own, or all for the heaviest that load the trunk.

    Common practice, no published source.
    """
    if exercise.load_capacity >= HEAVIEST and joint_stress(exercise)["trunk"] >= 2:
        return TRUNK_WORK
    return TRUNK_WORK & {exercise.pattern}


def cliques_of(candidate: Candidate, single: frozenset[str]) -> frozenset[str]:
    """Marks of what two entries of a pair may not share (rule T03; all but muscles: common practice)."""
    exercise = candidate.exercise
    marks = {f"muscle {muscle}" for muscle in tired_by(exercise)}
    if exercise.overhead and "pull" not in exercise.pattern:
        marks.add("overhead")
    if exercise.grip >= 2:
        marks.add("grip")
    if is_ballistic(exercise):
        marks.add("fast")
    if leans_on_the_back(exercise):
        marks.add("lower back")
    if exercise.pattern in PRESSES:
        marks.add("press")
    marks |= {f"trunk {kind}" for kind in firm_trunk(exercise)}
    needed = exercise.equipment[0] if exercise.equipment else frozenset()
    return frozenset(marks) | {f"station {token}" for token in needed & single}


def item_of(
    candidate: Candidate,
    needs: Sequence[MuscleDemand | None],
    own: Sequence[int],
    brief: Brief,
    days: Sequence[TrainingDay],
    single: frozenset[str],
    weeks: int,
) -> Item:
    """A candidate as an item of the search. ``own``: half credits for needs that stand for the coach's own rules."""
    wish = next((one for one in brief.lifts if one.exercise == candidate.slug), None)
    open_days = tuple(
        index
        for index, day in enumerate(days)
        if day.place in candidate.places
        and all(rule.weight <= 0 or allows(rule, candidate.exercise, day.day) for rule in brief.own_rules)
    )
    reachable = open_days or tuple(index for index, day in enumerate(days) if day.place in candidate.places)
    included = candidate.slug in brief.include
    times = (0, min(2, len(open_days)))
    if wish is not None:
        most = min(wish.times_a_week, len(reachable))
        times = (most, most)
    elif included:
        times = (1, min(2, len(reachable)))
    credits = {index: half_credit(candidate, need) for index, need in enumerate(needs) if need is not None}
    credits |= {len(needs) + index: value for index, value in enumerate(own)}
    return Item(
        key=candidate.slug,
        credits={index: value for index, value in credits.items() if value},
        set_s=set_seconds(candidate),
        once_s=int(CHANGE_OVER_S - candidate.rest_s),
        saved_s=0 if wish is not None or not brief.supersets else int(SAVED * candidate.rest_s),
        cost=PREFERENCE * candidate.cost * weeks,
        entry_cost=ENTRY * weeks,
        days=reachable if wish is not None or included else open_days,
        times=times,
        sets=(wish.sets, wish.sets) if wish is not None else (SETS[0], min(SETS[1], candidate.most_sets)),
        fixed=wish is not None,
        cliques=cliques_of(candidate, single),
        may_pair=wish is None and brief.supersets,
        marks=frozenset(
            mark
            for mark, holds in (("big", is_big(candidate) or wish is not None), ("goal", wish is not None))
            if holds
        ),
        kin=kin_of(candidate.exercise),
    )


def week_of(shapes: Sequence[WeekShape], index: int, most: int) -> Week:
    """A week of the curve: one that holds less than a building week before it is an easy one for the search."""
    shape = shapes[index]
    peak = max((one.share for one in shapes[:index] if one.kind != "deload"), default=0.0)
    share = round(100 * shape.share)
    if shape.kind == "deload" or shape.share < peak - 1e-9:
        return Week("easy", share, most)
    return Week("return" if shape.kind == "return" else "build", share, most)


def pose(
    candidates: Sequence[Candidate],
    demand: WeekDemand,
    brief: Brief,
    days: Sequence[TrainingDay],
    shapes: Sequence[WeekShape],
    seconds: Sequence[int],
    given: Mapping[str, Sequence[int]],
    fixed_entries: Sequence[int] = (),
    wanted_entries: int = 0,
    single: frozenset[str] = frozenset(),
    most_sets: Sequence[int] = (),
    differ: Difference = NO_DIFFERENCE,
    conditioning: Mapping[str, Weight] | None = None,
) -> Posed:
    """The problem of a block.

    seconds : for each day, what is left for these entries; given : half sets of the fixed parts by demand and week
    fixed_entries : entries of the fixed parts on each day; wanted_entries : entries a week that fill the sessions
    single : equipment that one person can use at a time; most_sets : the most sets of an entry by week
    differ : what makes it another block than those before
    conditioning : what the bouts of each weekday weigh on the lifts near them (rule X06); None or empty for none
    """
    weeks = len(shapes)
    costs = conditioning_costs(candidates, days, conditioning or {}, weeks, brief)
    kept = without_twins(candidates, brief, differ, costs)
    needs: list[MuscleDemand | None] = [*demand.muscles]
    own = [rule for rule in brief.own_rules if rule.kind in COUNTED_KINDS and rule.weight > 0]
    items = tuple(
        replace(
            within(
                item_of(
                    one, needs, [round(2 * credit_of(rule, one.exercise)) for rule in own], brief, days, single, weeks
                ),
                differ,
            ),
            day_costs=costs.get(one.slug, ()),
        )
        for one in kept
    )
    limit = min(
        (rule.entries for rule in brief.own_rules if rule.kind == "at-most-entries" and rule.entries), default=99
    )
    most_entries = max(1, min(MOST_ENTRIES, limit - max(fixed_entries, default=0)))
    wishes, patterns = wishes_of(kept, demand, brief, weeks)
    several = len(days) >= 2
    problem = Problem(
        items=items,
        needs=(
            *(need_of(one, given.get(one.roll_up, ()), weeks, brief, several) for one in demand.muscles),
            *(own_need(rule, weeks, [day.day for day in days]) for rule in own),
        ),
        weeks=tuple(week_of(shapes, index, most_sets[index] if most_sets else 99) for index in range(weeks)),
        seconds=tuple(seconds),
        entries=(1, most_entries),
        neighbours=tuple(
            (a, b) for a in range(len(days)) for b in range(len(days)) if a != b and are_consecutive(days[a], days[b])
        ),
        set_units=2,
        session_units=SESSION_HALF_SETS,
        session_points=points(SESSION * weeks, brief, "V04"),
        hard_units=HARD_HALF_SETS,
        hard_points=points(HARD * weeks, brief, "X01"),
        twice_points=points(TWICE * weeks, brief, "X07"),
        bigless_points=BIGLESS * weeks,
        crowded_points=CROWDED * weeks,
        thin=(wanted_entries, THIN * weeks),
        uneven=(UNEVEN_FREE_S, UNEVEN_STEP_S),
        wishes=wishes,
        groups=(*groups_of(kept, brief), *(Group(among(kept, these), most) for these, most in differ.at_most)),
        shares=tuple(Share(among(kept, these), among(kept, those)) for these, those in differ.shares),
        daily=tuple(among(kept, these) for these in differ.daily),
        together=together_of(kept, brief, weeks),
    )
    return Posed(problem, kept, patterns, frozenset(wish.exercise for wish in brief.lifts))


def conditioning_costs(
    candidates: Sequence[Candidate],
    days: Sequence[TrainingDay],
    conditioning: Mapping[str, Weight],
    weeks: int,
    brief: Brief,
) -> dict[str, tuple[int, ...]]:
    """Points of each lift for each day by what conditioning weighs on it there; lifts that it leaves alone are out."""
    if not conditioning:
        return {}
    names, dear = [day.day for day in days], brief.weight_of("X06")
    made = {one.slug: day_points(one.exercise, names, conditioning, weeks, dear) for one in candidates}
    return {slug: costs for slug, costs in made.items() if costs}


def among(candidates: Sequence[Candidate], slugs: frozenset[str]) -> frozenset[int]:
    """The numbers of the candidates that some slugs name."""
    return frozenset(index for index, one in enumerate(candidates) if one.slug in slugs)


def within(item: Item, differ: Difference) -> Item:
    """An item on the days, and as many of them, as a difference leaves; what the coach asked for keeps its count."""
    days = tuple(day for day in item.days if day in differ.days.get(item.key, item.days))
    most = item.times[1] if differ.most_days is None or item.times[0] > 0 else differ.most_days
    return replace(item, days=days, times=(item.times[0], min(most, len(days)) if item.times[0] == 0 else most))


def points(usual: int, brief: Brief, rule: str) -> int:
    """Points of a rule by the weight that the coach gives it; at least 0."""
    return max(0, round(usual * brief.weight_of(rule)))


def need_of(demand: MuscleDemand, given: Sequence[int], weeks: int, brief: Brief, several: bool) -> Need:
    """A demand in half sets."""
    target = round(2 * demand.target)
    floor = round(2 * demand.floor)
    return Need(
        name=demand.roll_up,
        target=target,
        least=floor,
        most=round(2 * demand.most),
        band=0 if demand.weight > 1 and demand.target >= SIZE_SETS else BAND,  # ten wanted are ten (rule V03)
        under=UNDER * demand.weight,
        over=OVER,
        below=points(FLOOR * demand.weight, brief, "V02"),
        beyond=points(BEYOND, brief, "V03"),
        once=points(ONCE_ONLY * weeks, brief, "V08") if demand.target >= 4 and several else 0,
        leap=points(LEAP, brief, "V06"),
        given=tuple(given),
    )


def own_need(rule: OwnRule, weeks: int, days: Sequence[Day] = ()) -> Need:
    """A coach's own rule on the sets of a muscle a week or a session, or on the days between two hard ones.

    The least of a session is only checked.
    """
    weight = max(1, round(UNDER * rule.weight))
    units = round(2 * rule.sets)
    if rule.kind == "days-between":
        near = [(a, b) for a, b in combinations(range(len(days)), 2) if free_days(days[a], days[b]) < rule.days_between]
        apart = Apart(units, tuple(near), max(1, round(HARD * weeks * rule.weight)))
        return Need(rule.id, 0, 0, 999, 999, 0, 0, apart=apart)
    if rule.per != "week":
        most = (units, weight) if rule.kind == "at-most-sets" else None
        return Need(rule.id, 0, 0, 999, 999, 0, 0, session=most)
    if rule.kind == "at-most-sets":
        return Need(rule.id, 1, 0, units, 999, 0, 0, beyond=weight)
    return Need(rule.id, units, 0, 999, 0, weight, 0)


def wishes_of(
    candidates: Sequence[Candidate], demand: WeekDemand, brief: Brief, weeks: int
) -> tuple[tuple[Wish, ...], tuple[tuple[int, str], ...]]:
    """Pattern wishes, and the scheme that one exercise must suit; with the numbers of the pattern wishes."""
    found: list[Wish] = []
    patterns = []
    for name, wanted in demand.patterns:
        serving = whole_ones(candidates, wanted)
        cost = points(PATTERN * weeks, brief, "V09") * demand.weight_of(name)
        patterns.append((len(found), name))
        found.append(Wish(name, serving, 1, cost))
    if brief.hold_reps_hold:
        named = {wish.exercise for wish in brief.lifts}
        serving = frozenset(
            index
            for index, one in enumerate(candidates)
            if one.slug not in named and suits_hold_reps_hold(one.exercise)
        )
        count = 2 if brief.same_muscle_superset else 1  # the superset may take one of them
        found.append(Wish("hold, repetitions, hold", serving, count, SCHEME * weeks))
    return tuple(found), tuple(patterns)


def whole_ones(candidates: Sequence[Candidate], patterns: frozenset[str]) -> frozenset[int]:
    """Numbers of the candidates that serve a wish for a movement.

    A pull or a press moves the elbow too; one with a still elbow serves only where no other is open.
    """
    serving = [index for index, one in enumerate(candidates) if serves(one.exercise, patterns)]
    with_elbow = [
        index
        for index in serving
        if any(use.joint == "elbow" and use.role != "held" for use in candidates[index].exercise.actions)
    ]
    arm_work = any(one.startswith(("pull_", "push_")) for one in patterns)
    return frozenset(with_elbow if arm_work and with_elbow else serving)


def serves(exercise: Exercise, patterns: frozenset[str]) -> bool:
    """True where an exercise is one of these movements: a hold is no row, a plank is trunk work."""
    is_movement = exercise.mode != "isometric" or exercise.pattern in SINGLE_JOINT_PATTERNS
    return is_movement and exercise.pattern in patterns


def groups_of(candidates: Sequence[Candidate], brief: Brief) -> tuple[Group, ...]:
    """One of a family, two of a pattern."""
    named = {wish.exercise for wish in brief.lifts} | set(brief.include)
    families: dict[str, list[int]] = {}
    patterns: dict[str, list[int]] = {}
    for index, one in enumerate(candidates):
        if one.slug not in named:
            families.setdefault(one.exercise.base, []).append(index)
            patterns.setdefault(one.exercise.pattern, []).append(index)
    found = [Group(frozenset(group), 1) for group in families.values() if len(group) > 1]
    found += [Group(frozenset(group), 2) for group in patterns.values() if len(group) > 2]
    return tuple(found)


def together_of(candidates: Sequence[Candidate], brief: Brief, weeks: int) -> tuple[Together, ...]:
    """The same-muscle superset: a small and a bigger lift of one muscle on one day."""
    if not brief.same_muscle_superset:
        return ()
    named = {wish.exercise for wish in brief.lifts}
    sides: dict[str, tuple[set[int], set[int]]] = {}
    for a, small in enumerate(candidates):
        for b, big in enumerate(candidates):
            if small.slug in named or big.slug in named:
                continue
            muscle = small_for_big(small.exercise, small.credits, big.exercise, big.credits)
            if muscle is not None:
                sides.setdefault(muscle, (set(), set()))[0].add(a)
                sides[muscle][1].add(b)
    options = tuple((frozenset(one), frozenset(other)) for _, (one, other) in sorted(sides.items()))
    return (Together("a same-muscle superset", options, SCHEME * weeks),)


TWINS_KEPT = 3


def without_twins(
    candidates: Sequence[Candidate],
    brief: Brief,
    differ: Difference = NO_DIFFERENCE,
    costs: Mapping[str, tuple[int, ...]] | None = None,
) -> tuple[Candidate, ...]:
    """The candidates without those that no row of the model can tell from three others.

    At most two of a pattern are chosen, so the first three of different families in the order of the tie-break
    stand for all: the best week is the same, found sooner.
    """
    named = {wish.exercise for wish in brief.lifts} | set(brief.include)
    families: dict[object, set[str]] = {}
    kept = []
    for one in sorted(candidates, key=lambda candidate: candidate.slug):
        exercise = one.exercise
        if one.slug not in named:
            key = (
                exercise.pattern,
                one.cost,
                tuple(sorted(one.credits.items())),
                set_seconds(one),
                one.places,
                (exercise.mode, is_big(one), cliques_of(one, frozenset()), suits_hold_reps_hold(exercise)),
                differ.marks_of(one.slug),
                (costs or {}).get(one.slug, ()),
            )
            seen = families.setdefault(key, set())
            if exercise.base in seen or len(seen) >= TWINS_KEPT:
                continue
            seen.add(exercise.base)
        kept.append(one)
    return tuple(kept)


def least_seconds(candidates: Sequence[Candidate], brief: Brief) -> tuple[tuple[str, int], ...]:
    """Seconds a week that each fixed wish needs at the very least, by exercise slug."""
    wishes = {wish.exercise: wish for wish in brief.lifts}
    needed = []
    for one in candidates:
        wish = wishes.get(one.slug)
        if wish is not None:
            sets, times, saved = wish.sets * wish.times_a_week, wish.times_a_week, 0.0
        elif one.slug in brief.include:
            sets, times, saved = 2, 1, SAVED * one.rest_s if brief.supersets else 0.0
        else:
            continue
        needed.append((one.slug, int(sets * (set_seconds(one) - saved) + (CHANGE_OVER_S - one.rest_s) * times)))
    return tuple(needed)


__all__ = ["Pick", "Posed", "are_consecutive", "half_credit", "is_big", "least_seconds", "muscles_of", "pose"]
