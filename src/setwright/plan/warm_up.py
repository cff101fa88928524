"""The warm-up of a day: raise, then floor to standing, then one light loaded piece; ramp sets of the lifts follow.

Two ideas carry this module. One: the day asks for work and for range, and both choose the drills; where a measured
range falls short of what a lift asks, that comes first. Two: few drills, each with its reason, inside the minutes.

Frame: Jeffreys 2007 (raise 5 to 10 min, activate and mobilise, potentiate), seen second-hand. Nothing is held for a
minute and drills move (Behm 2016, seen: rules W01 and W02). The choice is a greedy cover, the project's own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.body.anatomy import muscle_groups
from setwright.body.movers import muscle_values
from setwright.catalogue.derive import FULL_CREDIT_FROM, WIDE_RANGE, muscle_vector, working_angles
from setwright.catalogue.exercise import ActionUse, Exercise
from setwright.catalogue.store import Catalogue
from setwright.dose.minutes import DRILL_CHANGE_S, work_seconds
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.drills import how_done, in_a_word, may_be_asked, moves, region, usual_range, worked_regions
from setwright.plan.gates import judge, uses_of
from setwright.plan.likeness import cosine, main_actions, main_muscles
from setwright.plan.range_limits import OVERHEAD_ENOUGH_DEG, held_back, range_of, shortfalls
from setwright.plan.template import Scheme, TemplateEntry

MOST_DRILLS, MOST_IN_SHORT = 5, 2
WHOLE_MIN = 8.0  # a warm-up of less leaves more to the ramp sets (rule W04: light sets of the first lifts may do)
TOP_DEMANDS = 4
LEAST_GAIN = 0.8  # a drill that answers less than a usual need isn't worth its minute
FLOOR_FIRST = ("supine", "prone", "side", "quadruped", "sit", "kneel", "half-kneel", "plank", "stand", "hang")
NEAR_DEG = 10.0  # a lift this close to the end of the measured range asks for it
SHORT, NEAR, WIDE = 3.0, 2.0, 1.0
HEAVY_ON_HANDS = 3  # how heavy a lift gets that asks more of a wrist under the body than a push-up does
# Elbows and wrists are warm after the first light sets; drills go where more is asked.
SMALL = {"elbow": 0.4, "wrist": 0.4, "neck": 0.4}
DRILL_REPS, LOADED_REPS, HOLD_S = (5, 6), (12, 15), 20.0
BIG = ("hip", "knee", "trunk")  # where a drill has to work the muscles of the day
REHEARSED = 1.0  # the light form of the heaviest lift is worth a drill of its own
REHEARSAL = 0.3  # a light form of a lift of the day readies more than its joints
EXPERIENCED_YEARS = 0.5
LOADED_REPS_A_SIDE = (8, 10)
LOADED_SHARE = 0.35  # of the busiest region: a joint that works less needs no loaded piece of its own
MACHINES = ("machine:", "cable", "sled")
SUPPORTED = ("sit", "supine", "prone")


@dataclass(frozen=True)
class Need:
    """One thing a day asks for: work in a region, range in a ``motion``, or a light form of a lift.

    muscles : those the day works there, where a drill has to work one of them
    """

    region: str
    motion: str
    weight: float
    lift: str
    why: str = ""
    muscles: frozenset[str] = frozenset()
    rehearses: Exercise | None = None

    def met_by(self, drill: Exercise) -> bool:
        """True when a drill works the region, or moves in the motion; a short range needs a drill of its own.

        A squat readies no knee for a leg curl: what is no drill of range works a muscle of the day there, or from the
        muscle's other joint (a bridge before nordics).
        """
        if self.rehearses is not None:
            return is_light_form(drill, self.rehearses)
        if self.motion:
            return moves(drill, self.motion) or (self.weight == WIDE and deep_enough(drill, self.motion))
        here = [use for use in drill.actions if region(use.joint) == self.region and use.role != "held"]
        if not self.muscles or drill.mode == "active-mobility":
            return bool(here)
        whole = {muscle for muscle, value in muscle_vector(drill).items() if value >= FULL_CREDIT_FROM}
        return not self.muscles.isdisjoint(led_muscles(here)) or not self.muscles.isdisjoint(whole)


def led_muscles(uses: Sequence[ActionUse]) -> frozenset[str]:
    """The muscles that work at least half as much as the busiest one in some joint actions."""
    values = muscle_values(uses)
    return frozenset(muscle for muscle, value in values.items() if value >= 0.5 * max(values.values()))


def deep_enough(drill: Exercise, motion: str) -> bool:
    """True for light lifts and deep positions that go far in a motion (a body-weight squat bends hip and ankle)."""
    usual = usual_range(motion)
    works_there = any(use.joint == motion.split("-")[0] and use.role != "held" for use in drill.actions)
    is_deep = "deep-squat" in drill.positions or drill.is_dynamic
    near = works_there or (motion == "ankle-dorsiflexion" and drill.body_position == "stand")
    return usual is not None and is_deep and near and drill.max_angles.get(motion, 0.0) >= WIDE_RANGE * usual


def demands(exercises: Sequence[Exercise]) -> dict[str, float]:
    """How much each region works on a day: roles added up, heavy lifts more."""
    return worked_regions(exercises)


def needs_of(
    exercises: Sequence[Exercise], trainee: Trainee, dials: Sequence[Mapping[str, object]] = ()
) -> tuple[Need, ...]:
    """What a day asks for, the most pressing first: ranges that fall short, ranges near the end, work, wide ranges."""
    found: list[Need] = []
    worked = demands(exercises)
    most = max(worked.values(), default=0.0) or 1.0
    for where in sorted(worked, key=lambda name: (-worked[name] * SMALL.get(name, 1.0), name))[:TOP_DEMANDS]:
        lift = heaviest_at(exercises, where)
        weight = (0.5 + worked[where] / most) * SMALL.get(where, 1.0)
        found.append(Need(where, "", weight, lift.name if lift else "", muscles=muscles_at(exercises, where)))
    found += [*range_needs(exercises, trainee, dials), *rehearsal(exercises)]
    return tuple(sorted(found, key=lambda one: (-one.weight, one.region, one.motion)))


def muscles_at(exercises: Sequence[Exercise], where: str) -> frozenset[str]:
    """The muscles a day works at a hip, a knee or the trunk; empty elsewhere: the cuff readies any shoulder."""
    if where not in BIG:
        return frozenset()
    led = [[use for use in one.actions if region(use.joint) == where and use.role != "held"] for one in exercises]
    held = [[use for use in one.actions if region(use.joint) == where] for one in exercises]
    return frozenset(muscle for uses in (led if any(led) else held) if uses for muscle in led_muscles(uses))


def rehearsal(exercises: Sequence[Exercise]) -> list[Need]:
    """A light form of the day's heaviest lift, whatever else readies its joints (common practice)."""
    main = max(exercises, key=lambda one: one.load_capacity, default=None)
    if main is None or main.load_capacity <= 1:
        return []
    where = next((region(use.joint) for use in main.actions if use.role == "prime"), "")
    return [Need(where, "", REHEARSED, main.name, rehearses=main)]


def is_light_form(drill: Exercise, lift: Exercise) -> bool:
    """True when a drill is the lift without its load: the same movement, in the same position, by the same joints."""
    done = {use.slug for use in drill.actions}
    alike = (drill.pattern, drill.body_position) == (lift.pattern, lift.body_position)
    return alike and done.issuperset(main_actions(lift))


def range_needs(exercises: Sequence[Exercise], trainee: Trainee, dials: Sequence[Mapping[str, object]]) -> list[Need]:
    """The range a day asks for: one need for each motion, of the lift that asks most of this person."""
    reach = range_of(trainee)
    best: dict[str, Need] = {}
    for number, lift in enumerate(exercises):
        set_to = {**lift.dials, **(dials[number] if number < len(dials) else {})}
        here: list[Need] = []
        for short in shortfalls(lift, reach, trainee.stature_m, set_to):
            words = short.motion.removesuffix("-straight").replace("-", " ")
            missing = round(short.asked_deg - short.reaches[1])
            why = f"Your {words} is {missing} degrees short of what it asks."
            here.append(Need(region(short.motion.split("-")[0]), short.motion, SHORT, lift.name, why))
        told = {one.motion.removesuffix("-straight") for one in here}
        angles = {motion: high for motion, (_, high) in working_angles(lift, set_to).items()}
        for motion, asked in angles.items():
            joint = motion.split("-")[0]
            stands = motion == "ankle-dorsiflexion" and lift.body_position == "stand"
            bears = joint == "wrist" and "weight-on-hands" in lift.positions
            if motion in told or not (
                stands or bears or any(region(use.joint) == region(joint) for use in lift.actions)
            ):
                continue
            known = held_back(lift, motion, angles, reach) if reach else None
            enough = min(asked, OVERHEAD_ENOUGH_DEG) if motion == "shoulder-elevation" else asked
            if known is not None and known.motion == motion and known.deg - enough <= NEAR_DEG:
                why = f"Your {motion.replace('-', ' ')} has little to spare for it."
                here.append(Need(region(joint), motion, NEAR, lift.name, why))
            elif motion not in main_actions(lift) and (usual_range(motion) or 999.0) * WIDE_RANGE <= asked:
                weight = NEAR if bears and lift.load_capacity >= HEAVY_ON_HANDS else WIDE
                here.append(Need(region(joint), motion, weight, lift.name))
        for one in here:
            if one.motion not in best or one.weight > best[one.motion].weight:
                best[one.motion] = one
    return list(best.values())


def heaviest_at(exercises: Sequence[Exercise], where: str) -> Exercise | None:
    """The lift that loads a region most, the first of equals."""
    there = [one for one in exercises if any(region(use.joint) == where for use in one.actions)]
    prime = [one for one in there if any(region(use.joint) == where and use.role == "prime" for use in one.actions)]
    return max(prime or there, key=lambda one: one.load_capacity, default=None)


def warm_up_entries(
    exercises: Sequence[Exercise],
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
    minutes: float = 8.0,
    weeks: int = 1,
    dials: Sequence[Mapping[str, object]] = (),
) -> list[TemplateEntry]:
    """The warm-up entries of a day, in the order done, each saying what it prepares.

    exercises : the lifts of the day; minutes : the whole warm-up without ramp sets; dials : those of each lift
    Every entry passes the gates and needs no position the person may not take; a joint whose restriction wants holds
    gets one first. All entries together take no more than ``minutes`` by the time model.
    """
    needs = needs_of(exercises, trainee, dials)
    if not needs:
        return []
    raising = pick_raise(trainee, restrictions, tokens, catalogue, exercises)
    first = [] if raising is None else [raise_entry(raising, trainee, restrictions, tokens, minutes, weeks)]
    room_s = minutes * 60.0 - sum(seconds_of(one, catalogue) for one in first)
    loaded = pick_loaded(exercises, trainee, restrictions, tokens, catalogue)
    last = [] if loaded is None else [loaded_entry(*loaded, trainee, restrictions, tokens, weeks)]
    if room_s - sum(seconds_of(one, catalogue) for one in last) < 60.0:  # at least a drill comes before it
        last = []
    room_s -= sum(seconds_of(one, catalogue) for one in last)
    drills = [
        drill_entry(drill, need, exercises, trainee, restrictions, tokens, weeks)
        for drill, need in choose_drills(
            needs,
            exercises,
            trainee,
            drill_pool(exercises, trainee, restrictions, tokens, catalogue, loaded),
            room_s,
            MOST_DRILLS if minutes >= WHOLE_MIN else MOST_IN_SHORT,
        )
    ]
    order = {one.exercise: FLOOR_FIRST.index(catalogue.get(one.exercise).body_position) for one in drills}
    return [*first, *sorted(drills, key=lambda one: (order[one.exercise], one.exercise)), *last]


def choose_drills(
    needs: Sequence[Need],
    exercises: Sequence[Exercise],
    trainee: Trainee,
    pool: Sequence[Exercise],
    room_s: float,
    most: int = MOST_DRILLS,
) -> list[tuple[Exercise, Need]]:
    """The fewest drills that answer the needs, each with the need it answers first, as long as the seconds last."""
    day = muscles_of(exercises)
    chosen: list[tuple[Exercise, Need]] = []
    still = list(needs)
    for hold, need in wanted_holds(needs, trainee.restrictions, pool):
        if drill_seconds(hold) <= room_s and all(one.slug != hold.slug for one, _ in chosen):
            chosen.append((hold, need))
            room_s -= drill_seconds(hold)
            still = [one for one in still if one.region != need.region or one.motion]
    while still and len(chosen) < most:
        fitting = [
            one
            for one in pool
            if one.mode != "isometric"
            and drill_seconds(one) <= room_s
            and all(one.base != taken.base for taken, _ in chosen)
        ]
        best = min(fitting, key=lambda one: key_of(one, still, exercises, day, trainee), default=None)
        met = [] if best is None else [need for need in still if need.met_by(best)]
        if best is None or sum(need.weight for need in met) < LEAST_GAIN:
            break
        chosen.append((best, named(best, met)))
        room_s -= drill_seconds(best)
        still = [need for need in still if need not in met]
    return chosen


def named(drill: Exercise, met: Sequence[Need]) -> Need:
    """The need that a drill's reason names: a short range, the lift it rehearses, what it works first of all.

    Else the most pressing.
    """
    short = next((need for need in met if need.why), None)
    rehearsed = next((need for need in met if need.rehearses is not None), None)
    return short or rehearsed or next((need for need in met if leads_to(drill, need)), met[0])


def leads_to(drill: Exercise, need: Need) -> bool:
    """True when a drill answers a need by what it does first of all."""
    return any(region(use.joint) == need.region and use.role == "prime" for use in drill.actions)


def muscles_of(exercises: Sequence[Exercise]) -> dict[str, float]:
    """How much each muscle group works on a day, heavier lifts more."""
    found: dict[str, float] = {}
    for one in exercises:
        for muscle, value in muscle_vector(one).items():
            found[muscle] = found.get(muscle, 0.0) + value * (1 + one.load_capacity)
    return found


def key_of(
    drill: Exercise, needs: Sequence[Need], exercises: Sequence[Exercise], day: Mapping[str, float], trainee: Trainee
) -> tuple[object, ...]:
    """Most weight answered first, rehearsals of a lift of the day before others, then the day's own muscles.

    Among equals: plain before supported for who has trained, few held positions, the simple, the quick.
    """
    gain = sum(need.weight for need in needs if need.met_by(drill))
    first = next((number for number, need in enumerate(needs) if need.met_by(drill)), len(needs))
    rehearses = any(one.pattern == drill.pattern for one in exercises)
    is_supported = bool({"support", "assistance"} & set(drill.dials))
    return (
        round(-gain - (REHEARSAL if rehearses else 0.0), 1),
        first,
        first == len(needs) or not leads_to(drill, needs[first]),
        -round(cosine(muscle_vector(drill), day), 1),
        is_supported == (trainee.training_years >= EXPERIENCED_YEARS),
        drill.mode != "active-mobility",
        len(drill.positions),
        drill.skill,
        round(drill_seconds(drill), 1),
        drill.slug,
    )


def drill_pool(
    exercises: Sequence[Exercise],
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
    loaded: tuple[Exercise, str, str] | None = None,
) -> list[Exercise]:
    """Every drill that may be asked of this person here: moving drills, light body-weight lifts, easy holds.

    loaded : the light loaded piece of the warm-up; no drill is of its kind
    """
    twin = loaded[0].pattern if loaded is not None else ""
    today = {one.slug for one in exercises}
    return [
        one
        for one in catalogue.values()
        if one.mode in ("active-mobility", "dynamic", "isometric")
        and "warm-up" in one.parts
        and one.skill <= 2
        and one.load_capacity <= 1
        and one.impact <= 1
        and one.load_means == "body"
        and one.body_position != "hang"
        and one.slug not in today
        and one.spine not in ("flexed", "rotating")
        and (one.pattern != twin or one.mode == "active-mobility")
        and may_be_asked(one, restrictions, tokens, trainee)
    ]


def wanted_holds(
    needs: Sequence[Need], restrictions: Sequence[Restriction], pool: Sequence[Exercise]
) -> list[tuple[Exercise, Need]]:
    """A hold for each restricted joint of the day whose restriction wants holds."""
    found = []
    for rule in restrictions:
        need = next((one for one in needs if one.region == region(rule.joint)), None)
        holds = [one for one in pool if one.mode == "isometric" and uses_of(one, rule)]
        best = min(holds, key=lambda one: (not leads(one, rule), one.skill, one.slug), default=None)
        if "holds" in rule.wanted and need is not None and best is not None:
            found.append((best, Need(need.region, "", need.weight, need.lift)))
    return found


def leads(exercise: Exercise, rule: Restriction) -> bool:
    """True when an exercise works the restricted joint first of all."""
    return any(use.joint == rule.joint and use.role == "prime" for use in exercise.actions)


def drill_scheme(drill: Exercise) -> Scheme:
    """One turn: five or six repetitions, or 20 s, on each side where it has sides."""
    if drill.measured_in == "seconds" or drill.mode == "isometric":
        return Scheme("hold", 1, hold_s=HOLD_S, rest_s=0.0, rir=5.0, per_side=drill.per_side)
    return Scheme("drill", 1, reps=DRILL_REPS, rest_s=0.0, per_side=drill.per_side)


def scheme_seconds(scheme: Scheme, exercise: Exercise) -> float:
    """Seconds of an entry of the warm-up by the time model, the way to it included."""
    reps = None if scheme.reps is None else (scheme.reps[0] + scheme.reps[1]) / 2.0
    work = work_seconds(
        reps,
        exercise.rep_s,
        scheme.hold_s or 0.0,
        scheme.distance_m or 0.0,
        scheme.time_s or 0.0,
        2 if scheme.per_side else 1,
    )
    return DRILL_CHANGE_S + scheme.sets * work + (scheme.sets - 1) * scheme.rest_s


def drill_seconds(drill: Exercise) -> float:
    """Seconds of one drill."""
    return scheme_seconds(drill_scheme(drill), drill)


def seconds_of(entry: TemplateEntry, catalogue: Catalogue) -> float:
    """Seconds of a made entry."""
    scheme = entry.schemes[0]
    return 0.0 if scheme is None else scheme_seconds(scheme, catalogue.get(entry.exercise))


def drill_entry(
    drill: Exercise,
    need: Need,
    exercises: Sequence[Exercise],
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    weeks: int,
) -> TemplateEntry:
    """The entry of a drill, with what it readies and why."""
    lift = lift_readied(drill, need, exercises)
    why = f"Readies the {part_readied(drill, need)}" + (f" for {lift}." if lift else ".")
    return made_entry(
        drill, drill_scheme(drill), " ".join(f"{why} {need.why}".split()), trainee, restrictions, tokens, weeks
    )


def lift_readied(drill: Exercise, need: Need, exercises: Sequence[Exercise]) -> str:
    """The lift that a drill's reason names: the heaviest there whose muscles the drill works, else that of the need."""
    mine = set(main_muscles(drill))
    alike = [one for one in exercises if need.muscles and not mine.isdisjoint(muscles_at([one], need.region))]
    lift = heaviest_at(alike, need.region)
    return need.lift if lift is None else lift.name


def part_readied(drill: Exercise, need: Need) -> str:
    """The region a drill readies, or the muscle where it works that from its other joint."""
    if need.muscles and not any(region(use.joint) == need.region for use in drill.actions if use.role != "held"):
        shared = next((one for one in main_muscles(drill) if one in need.muscles), "")
        return muscle_groups()[shared].label if shared else in_a_word(need.region)
    return in_a_word(need.region)


def made_entry(
    exercise: Exercise,
    scheme: Scheme,
    why: str,
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    weeks: int,
) -> TemplateEntry:
    """An entry of the warm-up with the dials and cautions of its gates."""
    verdict = judge(exercise, restrictions, tokens, trainee)
    return TemplateEntry(
        exercise.slug,
        "warm-up",
        (scheme,) * weeks,
        f"{why} {how_done(exercise, restrictions, trainee)}".strip(),
        dials={**exercise.dials, **verdict.dials},
        cautions=verdict.cautions,
    )


def raise_entry(
    raising: Exercise,
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    minutes: float,
    weeks: int,
) -> TemplateEntry:
    """A few easy minutes: four of eight, three of less, never more than half of the whole warm-up."""
    raise_s = 60.0 * min(4.0 if minutes >= WHOLE_MIN else 3.0, max(1.0, minutes / 2.0))
    scheme = Scheme("interval", 1, time_s=raise_s, rest_s=0.0)
    if raising.measured_in == "metres":
        scheme = Scheme("carry", 3, distance_m=20.0, rest_s=20.0)
    why = "Easy, until you are warm and can still talk."
    return made_entry(raising, scheme, why, trainee, restrictions, tokens, weeks)


def pick_raise(
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
    exercises: Sequence[Exercise] = (),
) -> Exercise | None:
    """The gentlest open way to get warm: a machine, a light sled, a walk; no landing.

    Among equals one that moves what the day works: arms before a day of the arms alone.
    """
    return next(iter(open_raises(trainee, restrictions, tokens, catalogue, exercises)), None)


def open_raises(
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
    exercises: Sequence[Exercise] = (),
) -> list[Exercise]:
    """Every open way to get warm, the gentlest first: see ``pick_raise``."""
    worked = demands(exercises)
    open_ones = [
        one
        for one in catalogue.values()
        if "warm-up" in one.parts
        and one.mode in ("cyclic", "concentric")
        and one.impact <= 1
        and one.skill <= 2
        and may_be_asked(one, restrictions, tokens, trainee)
    ]

    def key(one: Exercise) -> tuple[object, ...]:
        shared = sum(worked.get(where, 0.0) for where in {region(use.joint) for use in one.actions})
        return ("easy" not in one.slug, one.mode != "cyclic", one.impact, one.skill, round(-shared, 2), one.slug)

    return sorted(open_ones, key=key)


def pick_loaded(
    exercises: Sequence[Exercise],
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    catalogue: Catalogue,
) -> tuple[Exercise, str, str] | None:
    """One light loaded exercise for the joint that the day loads most: a machine, a sled, calf raises; or None.

    It works that joint with muscles that the day's first heavy lift uses least, so that it warms and does not tire:
    a leg curl before squats (common practice, no published source). A side of the knee that nothing moves that day is
    left alone: no leg press before nordics. Also returned: the region and the lift it readies.
    """
    worked = demands(exercises)
    most = max(worked.values(), default=0.0)
    busy = [where for where in sorted(worked, key=lambda name: (-worked[name], name)) if where not in SMALL]
    today = {one.base for one in exercises}
    main = max(exercises, key=lambda one: one.load_capacity, default=None)
    moved = {muscle for one in exercises for muscle in muscle_values([u for u in one.actions if u.role != "held"])}
    pool = [
        one
        for one in catalogue.values()
        if is_light_piece(one, tokens)
        and one.base not in today
        and not any(uses_of(one, rule) for rule in restrictions if rule.level != "hard")
        and may_be_asked(one, restrictions, tokens, trainee)
    ]
    for where in busy[:3]:
        lift = heaviest_at(exercises, where)
        if worked[where] < LOADED_SHARE * most or lift is None:
            break
        there = [one for one in pool if any(region(use.joint) == where and use.role == "prime" for use in one.actions)]
        if where == "knee":
            there = [one for one in there if moved.issuperset(main_muscles(one))]
        main_lift = main if main is not None else lift
        best = min(there, key=lambda one: loaded_key(one, main_lift), default=None)
        if best is not None:
            return best, where, lift.name
    return None


def is_light_piece(exercise: Exercise, tokens: frozenset[str]) -> bool:
    """True for what warms under a light load here: machines, cable, sled, calf raises; moving, simple, no landing."""
    here = [option for option in exercise.equipment if option <= tokens]
    machine = any(token.startswith(MACHINES) for option in here for token in option)
    is_calf = exercise.pattern == "calf" and exercise.load_capacity <= 4
    return (
        "warm-up" in exercise.parts
        and exercise.mode in ("dynamic", "concentric")
        and exercise.skill <= 2
        and exercise.impact <= 1
        and exercise.grip <= 1
        and (machine or is_calf or exercise.slug == "sled_push_light")
    )


def loaded_key(exercise: Exercise, main: Exercise) -> tuple[float, float, float, str]:
    """Least of the main lift's muscles, then what holds the body up, then the lighter."""
    shared = round(cosine(muscle_vector(exercise), muscle_vector(main)), 1)
    return (shared, float(exercise.body_position not in SUPPORTED), float(exercise.load_capacity), exercise.slug)


def loaded_entry(
    exercise: Exercise,
    where: str,
    lift: str,
    trainee: Trainee,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    weeks: int,
) -> TemplateEntry:
    """The entry of the light loaded piece: one set of 12 to 15 far from tired, or two short ways with the sled."""
    reps = LOADED_REPS_A_SIDE if exercise.per_side else LOADED_REPS
    scheme = Scheme("straight", 1, reps=reps, rest_s=0.0, rir=6.0, per_side=exercise.per_side, light=True)
    if exercise.measured_in == "metres":
        scheme = Scheme("carry", 2, distance_m=15.0, rest_s=20.0, rir=6.0, light=True)
    why = f"Readies the {in_a_word(where)} for {lift}."
    return made_entry(exercise, scheme, why, trainee, restrictions, tokens, weeks)
