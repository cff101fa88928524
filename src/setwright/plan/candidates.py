"""The exercises a week can be made of: everything the gates let through, with what each costs.

Gates come before the model, never as constraints in it: no setting of a solver can then break safety.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.derive import joint_stress, set_credits
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.dose.prescribe import CLOSE
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.brief import Brief
from setwright.plan.easing import EASED_REPS, EASED_RIR
from setwright.plan.gates import Verdict, can_take_place, judge
from setwright.plan.own_wishes import own_rest_s
from setwright.plan.range_limits import range_of, with_range
from setwright.strength.estimates import Estimates

STRENGTH_PARTS = frozenset({"main", "assistance", "finisher"})
# Effort grows with what an entry is for: heavy lifts rest long, single joints short (rules T01, T02).
SINGLE_JOINT_PATTERNS = frozenset(
    {
        "knee_extension",
        "knee_flexion",
        "hip_adduction",
        "hip_abduction",
        "hip_rotation",
        "hip_flexion",
        "calf",
        "shin",
        "shoulder_raise",
        "rotator_cuff",
        "scapular",
        "elbow_flexion",
        "elbow_extension",
        "grip_wrist",
        "anti_extension",
        "anti_lateral",
        "anti_rotation",
        "trunk_flexion",
        "trunk_extension",
        "trunk_rotation",
        "neck",
        "foot",
    }
)
PRESSES = frozenset({"push_horizontal", "push_incline", "push_vertical", "dip"})
BIG_KIN: Mapping[str, frozenset[str]] = {
    "legs and hips": frozenset({"squat", "split_squat", "hinge", "single_leg_hinge", "hip_extension"}),
    "presses": PRESSES,
    "pulls": frozenset({"pull_horizontal", "pull_vertical"}),
}
# Heavier implements first when all else is equal; a band is for those who have nothing else (common practice).
LIGHT_CAPACITY = 2
YOUTH, OLDER = 18, 65
FIRST_YEAR, TRAINED_YEARS = 1.0, 2.0
LIFTS_BESIDES = 3  # so many lifts that train a muscle besides serve it (common practice, no published source)
RAISED_SHARE = 0.5  # of the body on the hands: less with hands raised or knees down (Ebben 2011: 0.41, 0.49; full 0.64)
# Patterns that stand in for one another: a dip is judged beside the presses of the place, not beside other dips.
SAME_WORK = {
    "dip": "push_horizontal",
    "push_incline": "push_horizontal",
    "single_leg_hinge": "hinge",
    "sled": "squat",
    "scapular": "pull_horizontal",
}


@dataclass(frozen=True)
class Candidate:
    """An exercise that may be planned, the places where it may, and what choosing it costs (0 to 4)."""

    exercise: Exercise
    places: frozenset[str]
    verdicts: Mapping[str, Verdict]
    cost: int
    credits: Mapping[str, float]
    reps: tuple[int, int]
    rest_s: float
    set_s: float
    most_sets: int = 4

    @property
    def slug(self) -> str:
        """The slug of the exercise."""
        return self.exercise.slug


@dataclass(frozen=True)
class Refusal:
    """An exercise that the gates keep out of every place, with the reasons."""

    slug: str
    reasons: tuple[str, ...]


def skill_ceiling(trainee: Trainee) -> int:
    """The hardest skill (1 to 5) planned without the coach asking, by training age (common practice)."""
    if trainee.training_years < 0.5:
        return 2
    return 3 if trainee.training_years < 2 else 4


# After so many weeks off a fast lift that was never done waits (common practice, no published source).
LONG_OFF_WEEKS = 4
BALLISTIC = frozenset({"power_clean", "push_press", "kb_swing"})


def is_ballistic(exercise: Exercise) -> bool:
    """True for lifts done as fast as can be: no tempo, few repetitions, and the set ends when the speed goes."""
    return exercise.base in BALLISTIC or (exercise.mode == "concentric" and exercise.pattern in ("hinge", "jump_land"))


def is_big_lift(exercise: Exercise) -> bool:
    """True for lifts that a session can be built on."""
    return exercise.pattern not in SINGLE_JOINT_PATTERNS and exercise.load_capacity >= 3 and exercise.is_dynamic


def kin_of(exercise: Exercise) -> str:
    """What should not stand on two days in a row: big lifts of legs and hips, presses, pulls; else one movement."""
    kin = next((name for name, patterns in BIG_KIN.items() if exercise.pattern in patterns), "")
    return kin if kin and is_big_lift(exercise) else exercise.base


def default_reps(exercise: Exercise, brief: Brief, is_main: bool, is_novice: bool = False) -> tuple[int, int]:
    """Rep range of an entry: the brief's, moved up for single joints and low-skill small work."""
    if is_main:
        return brief.reps_main
    low, high = brief.reps_assistance
    if is_ballistic(exercise):
        return (10, 15) if exercise.base == "kb_swing" else (3, 5)
    if exercise.pattern == "hinge" and exercise.load_capacity >= 4 and not is_novice:
        # Long sets of a heavy hinge tire more than they build (common practice, no published source).
        # Never shorter than the main lifts: where those stay long, effort is limited.
        return max(4, low - 3, min(low, brief.reps_main[0])), max(6, high - 4, min(high, brief.reps_main[1]))
    if exercise.base == "nordic" or exercise.mode == "lowering":
        return 4, 6  # heavy lowering work loses its quality in longer sets (rule W08)
    if exercise.pattern in SINGLE_JOINT_PATTERNS:
        return max(low, 10), max(high, 15)
    return low, high


def default_rest_s(exercise: Exercise, reps: tuple[int, int], is_main: bool) -> float:
    """Rest by rules T01 and T02: 3 min for lifts of 6 and fewer, 2 min for other big lifts, 75 s for small work."""
    if exercise.mode in ("isometric", "carry", "loaded-mobility", "active-mobility"):
        return 60.0
    if exercise.pattern in SINGLE_JOINT_PATTERNS:
        return 75.0
    if reps[1] <= 6 and is_main:
        return 180.0
    return 150.0 if is_main else 120.0


def working_seconds(exercise: Exercise, reps: tuple[int, int]) -> float:
    """Seconds under work for one set, both sides where it is done for each side."""
    sides = 2.0 if exercise.per_side else 1.0
    if exercise.measured_in == "seconds":
        return 30.0 * sides
    if exercise.measured_in == "metres":
        return 30.0 * sides
    return (reps[0] + reps[1]) / 2.0 * exercise.rep_s * sides


def bodily_reps(exercise: Exercise, estimates: Estimates, reps: tuple[int, int]) -> tuple[int, int] | None:
    """The rep range for an exercise that moves the body, moved down to what is likely with two left; None below 3.

    Only pull-ups, dips, push-ups and their like need it: machines and bars get lighter. A trainee with six
    pull-ups gets sets of 3 to 4, not an easier exercise; one who never did any gets the easier one.
    """
    if exercise.load_means not in ("added", "body") or not exercise.body_share:
        return reps
    found = estimates.for_exercise(exercise.slug)
    least = sum(reps) // 2  # who does eight gets sets of six to eight, not of twelve
    if found.posterior.chance(found.body_part_kg, least, 2.0) >= 0.5:
        return reps
    if found.basis != "sets":
        sure = int(found.posterior.reps_at(found.body_part_kg).p10 - 1.0)
        return (max(3, sure - 3), sure) if sure >= 5 else None
    likely = int(found.posterior.reps_at(found.body_part_kg).mean - 2.0)
    return None if likely < 3 else (max(3, likely - 2), min(likely, reps[1]))


def is_range_work(exercise: Exercise) -> bool:
    """True for work towards the end of a range: it has its own part, and is no lift even where it moves."""
    return exercise.pattern.startswith("mobility")


def is_drill(exercise: Exercise) -> bool:
    """True for small body-weight work that a warm-up uses too."""
    small = exercise.pattern in SINGLE_JOINT_PATTERNS and exercise.load_means == "body"
    return small and exercise.is_dynamic and "warm-up" in exercise.parts


def strains_in_pregnancy(exercise: Exercise) -> bool:
    """True for work that is left to those who ask for it in pregnancy (common practice, no published source).

    Hanging, holding the whole body on the arms, curling up, roll-outs, and push-ups near the floor: the wall of the
    belly works hard or long in them, or a slip means a fall. No verdict on what is safe: that is the clinician's.
    """
    on_the_arms = exercise.support == "hang" or "hang" in exercise.positions
    face_down = exercise.body_position == "plank" and (exercise.body_share or 1.0) > RAISED_SHARE
    belly = exercise.pattern == "trunk_flexion" or (exercise.pattern == "anti_extension" and exercise.is_dynamic)
    return on_the_arms or face_down or belly


def most_sets(trainee: Trainee, brief: Brief) -> int:
    """Working sets of one lift in a session: 4, and 3 under 18 (rule L09) and over 65 (rule L07)."""
    age = brief.start.year - trainee.birth_year
    return 3 if age < YOUTH or age >= OLDER else 4


def cost_of(
    exercise: Exercise,
    trainee: Trainee,
    brief: Brief,
    known: frozenset[str],
    passed: frozenset[str] = frozenset(),
    aimed_at: frozenset[str] = frozenset(),
) -> int:
    """0 liked or already trained, 1 ordinary, 2 second choice, 3 and 4 only when nothing else serves.

    Few levels on purpose: finer ones only make near ties, and a coach can't honestly give them.
    ``passed``: steps of a progression that the trainee has left behind; ``aimed_at``: what the
    trainee's goals are about, the step reached of a goal's progression included.
    """
    cost = 1
    names = {exercise.slug, exercise.base, exercise.pattern}
    is_familiar = exercise.slug in known or exercise.slug in aimed_at
    if names & set(trainee.likes) or is_familiar:
        cost -= 1
    if names & set(trainee.dislikes):
        cost += 2
    if exercise.mode in ("isometric", "lowering", "loaded-mobility"):
        cost += 3
    elif exercise.mode == "carry":
        cost += 1  # a carry comes after the lifts, not in the place of one
    elif exercise.load_capacity < LIGHT_CAPACITY or is_range_work(exercise):
        cost += 2
    elif exercise.load_capacity == LIGHT_CAPACITY:
        cost += 1
    cost += is_drill(exercise)
    if exercise.skill > skill_ceiling(trainee):
        cost += 2
    elif exercise.skill >= 4 and not is_familiar:
        cost += 1
    if exercise.load_means == "assistance":
        cost += 1
    if exercise.slug in passed:
        cost += 2
    if trainee.training_years < 1 and (exercise.base == "nordic" or exercise.pattern == "dip"):
        cost += 2
    if exercise.impact >= 2:
        cost += 1
    if is_ballistic(exercise) and trainee.weeks_off >= LONG_OFF_WEEKS and not is_familiar:
        cost += 2
    if trainee.screening.pregnant and strains_in_pregnancy(exercise):
        cost += 2
    if trainee.back_trouble and joint_stress(exercise).get("trunk", 0) + (exercise.pattern == "pull_horizontal") >= 2:
        cost += 2 if exercise.spine != "unloaded" else 0
    return max(0, min(4, cost))


def find_candidates(
    catalogue: Catalogue,
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    estimates: Estimates,
    known: frozenset[str],
) -> tuple[tuple[Candidate, ...], tuple[Refusal, ...]]:
    """All exercises of the strength parts that may be planned somewhere, and those refused with reasons.

    ``known`` are exercises with logged or baseline sets: their loads are sure, so they cost less.
    Progression steps above the one reached are left to the skill part.
    """
    wished = {wish.exercise for wish in brief.lifts} | set(brief.include)
    reached = {step.progression: step.step for step in trainee.steps}
    climbs = [one for one in catalogue.progressions.values() if one.slug in reached]
    behind = {one.slug: [step.exercise for step in one.up_to(min(reached[one.slug], len(one.steps)))] for one in climbs}
    too_high = {step.exercise for one in climbs for step in one.steps if step.exercise not in behind[one.slug]}
    passed = frozenset(slug for one in climbs for slug in behind[one.slug][:-1] if slug != behind[one.slug][-1])
    goals = {goal.about for goal in trainee.goals}
    aimed_at = frozenset(goals) | frozenset(
        step.exercise
        for progression in catalogue.progressions.values()
        if progression.slug in goals
        for step in progression.steps
        if step.number == reached.get(progression.slug)
    )
    found, refused = [], []
    reach = range_of(trainee, brief.start)
    for exercise in sorted(catalogue.values(), key=lambda one: one.slug):
        asked = exercise.slug in wished
        if exercise.slug in brief.exclude or (exercise.base in brief.exclude and not asked):
            refused += [Refusal(exercise.slug, (LEFT_OUT,))] if asked else []
            continue
        if not asked:
            if not set(exercise.parts) & STRENGTH_PARTS or exercise.slug in too_high or exercise.mode == "cyclic":
                continue
            if exercise.skill > skill_ceiling(trainee) + 1 or exercise.pattern == "jump_land":
                continue  # jumps count for no muscle's sets; the coach puts them in
            if not can_take_place(exercise, trainee.restrictions, trainee):
                continue
        verdicts = {
            place.id: judge(exercise, trainee.restrictions, expand_tokens(place.tokens()), trainee, asked=asked)
            for place in places
        }
        allowed = frozenset(
            place.id
            for place in places
            if verdicts[place.id].allowed
            and not (verdicts[place.id].light and not asked)
            and not is_too_heavy_here(exercise, place, estimates, verdicts[place.id].eased, asked)
        )
        if asked and not allowed and any(verdict.allowed for verdict in verdicts.values()):
            refused.append(Refusal(exercise.slug, (NOT_LIGHT_ENOUGH,)))
            continue
        if not allowed and any(verdict.allowed for verdict in verdicts.values()):
            continue  # open only as light work that a restriction wants: the wanted part plans that
        if not allowed:
            reasons = tuple(dict.fromkeys(reason for verdict in verdicts.values() for reason in verdict.reasons))
            refused.append(Refusal(exercise.slug, reasons))
            continue
        if reach:
            fitted = {
                place.id: with_range(exercise, verdicts[place.id], reach, trainee, expand_tokens(place.tokens()), asked)
                for place in places
                if place.id in allowed
            }
            verdicts |= {place: verdict for place, verdict in fitted.items() if verdict is not None}
            allowed = frozenset(place for place, verdict in fitted.items() if verdict is not None)
            if not allowed:
                continue  # beyond the range measured: open, but not chosen unless the coach names it
        is_main = exercise.slug in {wish.exercise for wish in brief.lifts}
        reps = default_reps(exercise, brief, is_main, trainee.training_years < 0.5)
        for wish in brief.lifts:
            if wish.exercise == exercise.slug:
                reps = wish.reps
        if not asked:
            manageable = bodily_reps(exercise, estimates, reps)
            if manageable is None:
                continue
            reps = manageable
        found.append(
            Candidate(
                exercise=exercise,
                places=allowed,
                verdicts=verdicts,
                cost=0 if asked else cost_of(exercise, trainee, brief, known, passed, aimed_at),
                credits=set_credits(exercise),
                reps=reps,
                rest_s=max(default_rest_s(exercise, reps, is_main), own_rest_s(brief.own_rules, exercise)),
                set_s=working_seconds(exercise, reps),
                most_sets=most_sets(trainee, brief),
            )
        )
    kept = without_needless(plain_first(beside_what_is_there(found), trainee), frozenset(wished))
    return kept, tuple(refused)


LEAST_EASY_REPS = 6  # what is planned with fewer is not easy, whatever is left (common practice, no published source)
NOT_LIGHT_ENOUGH = "The lightest load here is too heavy for the easy work that a restriction allows."
LEFT_OUT = "Your brief excludes it."


def is_too_heavy_here(
    exercise: Exercise, place: Place, estimates: Estimates, eased: str = "", asked: bool = False
) -> bool:
    """True when even the lightest load of the place is unlikely to be done five times with two left.

    eased : work of a joint that may do only light or moderate work: it has to be near 8 to 12 with 4 left (decision
        0005), or surely six with four left
    asked : the coach asks for it: only what a restriction wants easy is too heavy then
    Bodily work is judged by ``bodily_reps`` where it need not be easy.
    """
    if (asked and not eased) or not exercise.is_dynamic or exercise.measured_in != "reps":
        return False
    is_bodily = exercise.load_means in ("added", "body")
    if exercise.load_means not in ("total", "each hand") and not (eased and is_bodily):
        return False
    estimate, options = estimates.for_exercise(exercise.slug), loads_in(place, exercise)
    whole_kg = (options[0].load_kg if options else 0.0) + estimate.body_part_kg
    if whole_kg <= 0.0 or not (options or is_bodily):
        return False
    if eased:
        fits_kg = estimate.posterior.load_for(sum(EASED_REPS) / 2.0, EASED_RIR).mean
        surely = estimate.posterior.reps_at(whole_kg).p10 - EASED_RIR
        return whole_kg > CLOSE * fits_kg and surely < LEAST_EASY_REPS
    return estimate.posterior.chance(whole_kg, 5, 2.0) < 0.5


def beside_what_is_there(found: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """The candidates with costs seen beside what the place offers for the same movement.

    Where bands are all there is, a band row is an ordinary choice and no second one. Range work is never one.
    """
    least: dict[str, int] = {}
    for one in found:
        if one.exercise.mode == "dynamic":
            least[work_of(one)] = min(one.cost, least.get(work_of(one), 4))
    return tuple(
        replace(one, cost=max(1, one.cost - min(lightness(one.exercise), max(0, least.get(work_of(one), 0) - 1))))
        if one.exercise.mode == "dynamic" and one.cost > 1 and not is_range_work(one.exercise)
        else one
        for one in found
    )


def lightness(exercise: Exercise) -> int:
    """How much of a cost is about a light load, which counts less where nothing heavier is there."""
    light = 2 if exercise.load_capacity < LIGHT_CAPACITY else 1 if exercise.load_capacity == LIGHT_CAPACITY else 0
    return light + is_drill(exercise) + (exercise.load_means == "assistance")


def plain_first(found: Sequence[Candidate], trainee: Trainee) -> tuple[Candidate, ...]:
    """The candidates, variations dearer where their plain lift is open.

    In the first year those that are no easier, by two steps of cost: a bench press is learned before a close-grip one.
    For the trained those that make the body lighter, by one: a roll-out is stopped by a wall for who can't do without
    (common practice, no published source).
    """
    by_slug = {one.slug: one for one in found}

    def is_variation(one: Candidate) -> bool:
        plain = by_slug.get(one.exercise.base)
        if plain is None or plain is one or not plain.places >= one.places:
            return False
        more_skill = one.exercise.skill - plain.exercise.skill
        heavier = one.exercise.load_capacity - plain.exercise.load_capacity
        if trainee.training_years < FIRST_YEAR:
            return more_skill >= 0 and heavier >= 0 and plain.cost <= one.cost
        is_eased = one.exercise.load_means == "body" and more_skill < 0 and heavier < 0
        return is_eased and trainee.training_years >= TRAINED_YEARS

    step = 2 if trainee.training_years < FIRST_YEAR else 1
    return tuple(replace(one, cost=min(4, one.cost + step)) if one.cost and is_variation(one) else one for one in found)


def without_needless(found: Sequence[Candidate], asked: frozenset[str]) -> tuple[Candidate, ...]:
    """The candidates without holds of big muscles, and drills, where lifts of the place train the same as fully.

    Drills stay in the warm-up (common practice, no published source). A muscle that no lift leads is served where
    several lifts train it besides: the middle of the upper back in every row.
    """
    lifts = [
        one
        for one in found
        if one.exercise.is_dynamic and one.exercise.mode != "carry" and one.cost < 4 and not is_drill(one.exercise)
    ]
    led = {muscle for one in lifts for muscle, credit in one.credits.items() if credit >= 1}
    helped = [muscle for one in lifts for muscle, credit in one.credits.items() if 0 < credit < 1]
    served = led | {muscle for muscle in helped if helped.count(muscle) >= LIFTS_BESIDES}
    trained = led | set(helped)

    def is_needless(one: Candidate) -> bool:
        is_hold = one.exercise.mode == "isometric" and one.exercise.pattern not in SINGLE_JOINT_PATTERNS
        leads = {muscle for muscle, credit in one.credits.items() if credit >= 1}
        is_small = is_hold or is_drill(one.exercise)
        return is_small and one.slug not in asked and leads <= served and set(one.credits) <= trained

    return tuple(one for one in found if not is_needless(one))


def work_of(one: Candidate) -> str:
    """The pattern beside which a candidate's cost is seen."""
    return SAME_WORK.get(one.exercise.pattern, one.exercise.pattern)
