"""Parts that follow from a wish rather than from a search: skill work, work a restriction wants, range, conditioning.

Each function gives template entries with the schemes of every week, or says why the wish can't be met.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import inf

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise, PartName, Progression, ProgressionStep
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.dose.minutes import CHANGE_OVER_S
from setwright.people.place import Place
from setwright.people.trainee import Restriction, Trainee, Wanted
from setwright.plan.block import Unmet
from setwright.plan.bout_time import planned_seconds
from setwright.plan.brief import Brief
from setwright.plan.candidates import OLDER, YOUTH, skill_ceiling
from setwright.plan.easing import eased_scheme
from setwright.plan.gates import Verdict, judge, said_joint
from setwright.plan.light_loads import HEAVIEST_FOR_RANGE
from setwright.plan.pace import BRISK, EASY, STEADY, WALKS
from setwright.plan.pairing import scheme_work_s
from setwright.plan.range_goals import entry_for, joints_of_goals, range_wishes, untrained_goals
from setwright.plan.template import Scheme, TemplateEntry
from setwright.plan.weeks import WeekShape

# Nordic lowering for people new to it, reps a set by week (Mjolsnes 2004 / Petersen 2011; weeks 1 to 3 seen
# second-hand in the reference table of protocols, capped at 6 a set by rule W08).
NORDIC_START = ((2, 5), (2, 6), (3, 6))
WANTED_MODES: dict[Wanted, tuple[str, ...]] = {
    "holds": ("isometric",),
    "carries": ("carry",),
    "short-range": ("dynamic", "concentric"),
}


@dataclass(frozen=True)
class FixedPart:
    """Entries for one day by index, and what could not be met."""

    by_day: tuple[tuple[TemplateEntry, ...], ...]
    unmet: tuple[Unmet, ...] = ()


def is_easy(shape: WeekShape) -> bool:
    """True for easier weeks, and for the first of a return."""
    return shape.kind == "deload" or (shape.kind == "return" and shape.share <= 0.7)


def days_for(times: int, count: int) -> tuple[int, ...]:
    """``times`` days of ``count``, as far apart as they go."""
    times = min(times, count)
    return tuple(sorted({round(index * count / times) % count for index in range(times)}))


def entry_seconds(entry: TemplateEntry, week: int, catalogue: Catalogue) -> int:
    """Seconds of a fixed entry by the time model, with its change-over."""
    scheme = entry.schemes[week]
    if scheme is None:
        return 0
    work = scheme_work_s(catalogue.get(entry.exercise), scheme)
    return int(scheme.sets * work + (scheme.sets - 1) * scheme.rest_s + CHANGE_OVER_S) + 1


def all_seconds(entries: Sequence[TemplateEntry], week: int, catalogue: Catalogue) -> int:
    """Seconds of fixed entries of a day; the movements of one bout share its clock."""
    plain = sum(entry_seconds(entry, week, catalogue) for entry in entries if not entry.bouts)
    bouts: dict[object, list[TemplateEntry]] = {}
    for number, entry in enumerate(entries):
        if entry.bouts:
            bouts.setdefault(entry.superset or number, []).append(entry)
    return plain + sum(int(planned_seconds(members, week, catalogue) + CHANGE_OVER_S) + 1 for members in bouts.values())


def skill_part(
    catalogue: Catalogue,
    trainee: Trainee,
    brief: Brief,
    day_places: Sequence[Place],
    shapes: Sequence[WeekShape],
) -> FixedPart:
    """The step of the wished progression, on two days; sideways, or else a step down, where a gate closes it."""
    empty = FixedPart(tuple(() for _ in day_places))
    if not brief.skill:
        return empty
    progression = catalogue.progressions[brief.skill]
    if progression.closed_with_back_trouble and trainee.back_trouble:
        why = "Closed with a history of back trouble; a licensed clinician can open it."
        return FixedPart(empty.by_day, (Unmet(f"skill work: {progression.title}", f"Left out: {why}"),))
    highest = len(progression.steps)
    reached = min(highest, max((one.step for one in trainee.steps if one.progression == brief.skill), default=1))
    reasons: list[str] = []
    days = days_for(2, len(day_places))
    for step in progression.up_to(reached)[::-1]:
        for slug in (step.exercise, *step.sideways):
            exercise = catalogue.get(slug)
            if slug in brief.exclude:
                reasons += [f"The brief leaves {exercise.name} out."] if slug == step.exercise else []
                continue
            verdicts = [
                judge(exercise, trainee.restrictions, expand_tokens(day_places[day].tokens()), trainee) for day in days
            ]
            if not all(verdict.allowed for verdict in verdicts):
                if slug == step.exercise:
                    reasons += [reason for verdict in verdicts for reason in verdict.reasons]
                continue
            if slug != step.exercise and exercise.skill > skill_ceiling(trainee) + 1:
                continue
            entry = skill_entry(progression, step, exercise, verdicts[0], shapes, 10.0 - max(brief.rpe))
            lower = skill_unmet(progression, step, reached, exercise, reasons)
            return FixedPart(tuple((entry,) if day in days else () for day in range(len(day_places))), lower)
    why = "; ".join(dict.fromkeys(reasons)) or "no step is open"
    return FixedPart(empty.by_day, (Unmet(f"skill work: {progression.title}", f"Left out: {why}"),))


def skill_entry(
    progression: Progression,
    step: ProgressionStep,
    exercise: Exercise,
    verdict: Verdict,
    shapes: Sequence[WeekShape],
    least_rir: float = 0.0,
) -> TemplateEntry:
    """The entry of a step, or of what stands in for it sideways.

    least_rir : repetitions left at least, so that skill work is never harder than the hardest week of the brief
    """
    sideways = exercise.slug != step.exercise
    schemes = [skill_scheme(exercise, step, shape, progression.slug, step.number) for shape in shapes]
    schemes = [replace(one, rir=max(one.rir or 0.0, least_rir)) for one in schemes]
    if verdict.eased:
        schemes = [eased_scheme(one, verdict.eased) for one in schemes]
    way = [one.number for one in progression.up_to(step.number)]
    where = f"Step {len(way)} of {len(progression.way(step.branch))} of the way to the {progression.title}"
    dials = dict(exercise.dials) if sideways else {**exercise.dials, **step.dials}
    return TemplateEntry(
        exercise=exercise.slug,
        part="skill",
        schemes=tuple(schemes),
        why=(
            f"{where}, {'sideways: it trains the same' if sideways else 'done fresh'}. "
            f"Moves on when: {step.exit_test.rstrip('.')}, in {in_sessions(step.exit_sessions)}."
            f"{'' if sideways else small_steps_words(step)}"
        ),
        dials={**dials, **verdict.dials},
        progression=progression.slug,
        step=step.number,
        cautions=(*verdict.cautions, *((progression.caution,) if progression.caution else ())),
    )


def small_steps_words(step: ProgressionStep) -> str:
    """The small steps of an entry in one sentence, dial by dial; empty where there are none."""
    ladders: dict[str, list[str]] = {}
    for one in step.inside:
        ladders.setdefault(one.dial, [one.from_]).append(one.to)
    said = "; ".join(f"{dial}: {', then '.join(rungs)}" for dial, rungs in ladders.items())
    return f" Small steps between two sets, one dial at a time: {said}." if said else ""


def in_sessions(count: int) -> str:
    """``two sessions``."""
    words = {1: "one session", 2: "two sessions", 3: "three sessions"}
    return words.get(count, f"{count} sessions")


def skill_unmet(
    progression: Progression, step: ProgressionStep, reached: int, exercise: Exercise, reasons: Sequence[str]
) -> tuple[Unmet, ...]:
    """What to say where not the step reached is trained."""
    if step.number == reached and exercise.slug == step.exercise:
        return ()
    instead = (
        f"Step {step.number} is trained instead" if exercise.slug == step.exercise else f"Sideways, {exercise.name}"
    )
    said = f"step {reached} of the {progression.title} progression"
    return (Unmet(said, f"{instead}: " + "; ".join(dict.fromkeys(reasons))),)


def skill_scheme(exercise: Exercise, step: ProgressionStep, shape: WeekShape, progression: str, number: int) -> Scheme:
    """The dose of a skill step: near its exit test, never to failure, fewer sets in an easy week."""
    usual = min(3, max(2, step.exit_sets or 3))
    sets = min(2, usual) if is_easy(shape) else usual
    side = exercise.per_side
    if exercise.measured_in == "seconds":
        hold = max(8.0, round((step.exit_hold_s or 30.0) * (0.6 + 0.3 * shape.share)))
        return Scheme("hold", sets, hold_s=hold, rest_s=75.0, rir=3.0, per_side=side)
    if exercise.measured_in == "metres":
        return Scheme("carry", sets, distance_m=step.exit_distance_m or 20.0, rest_s=75.0, rir=3.0, per_side=side)
    if progression == "nordic" and exercise.mode == "lowering":
        start_sets, reps = NORDIC_START[min(shape.number, len(NORDIC_START)) - 1]
        sets = min(sets, start_sets)
        return Scheme("lowering", sets, reps=(max(3, reps - 1), reps), tempo="5-0-1-0", rest_s=120.0, rir=2.0)
    top = step.exit_reps or 8
    reps_range = (max(1, top - 2), top) if top > 3 else (1, top)
    if exercise.mode == "lowering":
        return Scheme("lowering", sets, reps=reps_range, tempo="5-0-1-0", rest_s=120.0, rir=2.0, per_side=side)
    return Scheme("straight", sets, reps=reps_range, tempo="3-1-1-0", rest_s=120.0, rir=2.0, per_side=side)


def wanted_part(
    catalogue: Catalogue,
    trainee: Trainee,
    day_places: Sequence[Place],
    shapes: Sequence[WeekShape],
    restrictions: Sequence[Restriction] | None = None,
    room_s: Sequence[float] | None = None,
) -> FixedPart:
    """The holds, carries and short-range work that restrictions want, twice a week each, light.

    ``restrictions``: only these (all of the trainee's when None); the gates always see all of them.
    ``room_s``: seconds that each day has for it (any number when None): what a short day cannot hold goes to the day
    with the most room, and is left out with a word where none has any.
    """
    wanting = Wanting(catalogue, trainee, day_places, shapes, list(room_s or [inf] * len(day_places)))
    for restriction in trainee.restrictions if restrictions is None else restrictions:
        for offset, wanted in enumerate(restriction.wanted):
            wanting.place(restriction, wanted, offset)
    return FixedPart(tuple(tuple(entries) for entries in wanting.by_day), tuple(wanting.unmet))


@dataclass
class Wanting:
    """Wanted work on its way to the days: what each day has room for, what stands there, what could not be met."""

    catalogue: Catalogue
    trainee: Trainee
    day_places: Sequence[Place]
    shapes: Sequence[WeekShape]
    left_s: list[float]
    by_day: list[list[TemplateEntry]] = field(init=False)
    unmet: list[Unmet] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.by_day = [[] for _ in self.day_places]

    def place(self, restriction: Restriction, wanted: Wanted, offset: int) -> None:
        """One kind of work on its two days, or on others that have room; ``offset``: by how many days it is moved."""
        count, homeless = len(self.day_places), 0
        name = f"{wanted} for the {said_joint(restriction.joint)}"
        for index, day in enumerate(days_for(2, count)):
            day = (day + offset) % count if count > 2 else day
            entry = self.entry(restriction, wanted, day)
            if entry is None and index == 0:
                why = f"Nothing at {self.day_places[day].name} does this within the limits that are set."
                self.unmet.append(Unmet(name, why))
            homeless += entry is not None and not self.stands(entry, day) and not self.put(entry, day)
        for _ in range(homeless):
            roomiest = sorted(range(count), key=lambda day: (-self.left_s[day], day))
            if not any(self.put(self.entry(restriction, wanted, day), day) for day in roomiest):
                self.unmet.append(Unmet(f"{name} twice a week", TOO_SHORT_FOR_IT))
                break

    def entry(self, restriction: Restriction, wanted: Wanted, day: int) -> TemplateEntry | None:
        """The work as the place of a day has it."""
        return wanted_entry(self.catalogue, self.trainee, restriction, wanted, self.day_places[day], self.shapes)

    def stands(self, entry: TemplateEntry, day: int) -> bool:
        """True when the exercise stands on the day already."""
        return any(entry.exercise == other.exercise for other in self.by_day[day])

    def put(self, entry: TemplateEntry | None, day: int) -> bool:
        """Puts an entry on a day that has room for it; False where it has none, or the exercise stands there."""
        if entry is None or self.stands(entry, day):
            return False
        takes = max(entry_seconds(entry, week, self.catalogue) for week in range(len(self.shapes)))
        if takes > self.left_s[day]:
            return False
        self.by_day[day].append(entry)
        self.left_s[day] -= takes
        return True


TOO_SHORT_FOR_IT = "The days are too short for more of it beside a warm-up and one exercise."


def wanted_entry(
    catalogue: Catalogue,
    trainee: Trainee,
    restriction: Restriction,
    wanted: Wanted,
    place: Place,
    shapes: Sequence[WeekShape],
    part: PartName = "assistance",
) -> TemplateEntry | None:
    """The gentlest open exercise of the wanted kind at the restricted joint, or None."""
    tokens = expand_tokens(place.tokens())
    best: tuple[tuple[int, int, int, int, str], Exercise] | None = None
    for exercise in catalogue.values():
        if exercise.mode not in WANTED_MODES[wanted] or exercise.skill > skill_ceiling(trainee):
            continue
        touches = [use for use in exercise.actions if use.joint == restriction.joint]
        near = wanted == "carries" and restriction.joint in (
            "elbow",
            "wrist",
            "shoulder",
            "fingers",
            "trunk",
            "hip",
        )
        if not touches and not near:
            continue
        verdict = judge(exercise, trainee.restrictions, tokens, trainee)
        if not verdict.allowed:
            continue
        if wanted == "short-range" and "range_deg" not in verdict.dials:
            continue
        works = any(use.role in ("prime", "secondary") for use in touches)
        if wanted == "holds" and not works:
            continue  # a bell over the face is no hold for a sore hand
        prime = any(use.role == "prime" for use in touches)
        # A carry is trunk work first: helped by the trunk where that is sore, and away from any other sore joint.
        for_trunk = restriction.joint == "trunk"
        carried = (int(prime) if works else 2) if for_trunk else (2 if works else 0)
        rank = carried if wanted == "carries" else (0 if prime else 1)
        if wanted == "carries" and (
            exercise.pattern != "carry" or exercise.load_means == "body" or led_by_leg(exercise)
        ):
            rank += 3
        stress = joint_stress(exercise, verdict.dials).get(restriction.joint, 0)
        if stress >= 3:
            continue
        gentle = int(exercise.overhead) if wanted == "carries" else 10 * stress + exercise.load_capacity
        key = (rank, gentle, exercise.skill, 0 if for_trunk else exercise.grip, exercise.slug)
        if best is None or key < best[0]:
            best = (key, exercise)
    if best is None:
        return None
    exercise = best[1]
    verdict = judge(exercise, trainee.restrictions, tokens, trainee)
    return TemplateEntry(
        exercise=exercise.slug,
        part=part,
        schemes=tuple(wanted_scheme(exercise, wanted, shape) for shape in shapes),
        why=(
            f"{wanted.replace('-', ' ').capitalize()} that the {said_joint(restriction.joint)} restriction wants kept"
            f"{' (' + restriction.set_by + ')' if restriction.set_by else ''}: light, no rise in pain."
        ),
        dials={**exercise.dials, **verdict.dials},
        cautions=verdict.cautions,
        locked=True,
    )


def led_by_leg(exercise: Exercise) -> bool:
    """True for carries that are calf work first of all."""
    return any(use.role == "prime" and use.joint in ("ankle", "toes") for use in exercise.actions)


def wanted_scheme(exercise: Exercise, wanted: Wanted, shape: WeekShape) -> Scheme:
    """Light doses (common practice, no published source): holds 3 x 30 s, carries 3 x 20 m, short range 3 x 10."""
    sets = 2 if is_easy(shape) else 3
    side = exercise.per_side
    if wanted == "holds":
        return Scheme("hold", sets, hold_s=30.0, rest_s=60.0, rir=4.0, per_side=side, light=True)
    if wanted == "carries":
        return Scheme("carry", sets, distance_m=20.0, rest_s=60.0, rir=4.0, per_side=side, light=True)
    return Scheme("straight", sets, reps=(10, 12), rir=4.0, tempo="3-0-2-0", rest_s=60.0, per_side=side, light=True)


RANGE_ROTATION = ("mobility_hip", "mobility_shoulder", "mobility_spine")


def is_bent_for_nothing(exercise: Exercise, trainee: Trainee, brief: Brief) -> bool:
    """True for rounding the back under a load, for those who have no use for it yet (common practice)."""
    age = brief.start.year - trainee.birth_year
    gentle = trainee.screening.pregnant or trainee.training_years < 1 or not YOUTH <= age < OLDER
    return gentle and exercise.spine == "flexed"


def mobility_part(
    catalogue: Catalogue,
    trainee: Trainee,
    brief: Brief,
    day_places: Sequence[Place],
    shapes: Sequence[WeekShape],
    grows: bool = True,
) -> FixedPart:
    """One loaded-mobility entry at the end of each session: range goals in turn, else hip, shoulder and spine.

    ``grows`` False: the time at end range of a goal stays that of the first week, for days that hold no more.
    """
    if not brief.loaded_mobility:
        return FixedPart(tuple(() for _ in day_places))
    goals = joints_of_goals(trainee.goals)
    wishes = range_wishes(trainee)
    by_day: list[tuple[TemplateEntry, ...]] = []
    used: list[str] = []
    unmet = [
        Unmet(f"range: {goal.about.replace('-', ' ')}", "No loaded-mobility entry trains it; drills of the warm-up do.")
        for goal in untrained_goals(trainee)
    ]
    unmet += [
        Unmet(f"range: {wish.words}", f"{len(day_places)} days hold the {len(day_places)} goals before it.")
        for wish in wishes[len(day_places) :]
    ]
    for day, place in enumerate(day_places):
        if wishes:
            wish = wishes[day % len(wishes)]
            served = entry_for(wish, catalogue, trainee, place, shapes, brief.minutes if grows else 0.0)
            if served is not None and served.exercise not in brief.exclude:
                used.append(served.exercise)
                by_day.append((served,))
                continue
            why = f"Nothing at {place.name} trains it under a light load within the limits that are set."
            unmet.append(Unmet(f"range: {wish.words}", why))
        tokens = expand_tokens(place.tokens())
        open_ones = []
        for exercise in catalogue.values():
            if "loaded-mobility" not in exercise.parts or exercise.skill > skill_ceiling(trainee):
                continue
            if exercise.slug in brief.exclude:
                continue
            verdict = judge(exercise, trainee.restrictions, tokens, trainee)
            if not verdict.allowed:
                continue
            wanted = RANGE_ROTATION[day % len(RANGE_ROTATION)]
            options = loads_in(place, exercise) if exercise.load_means in ("total", "each hand") else ()
            too_heavy = bool(options) and options[0].load_kg > HEAVIEST_FOR_RANGE * trainee.body_mass_kg
            for_goal = any(use.joint in goals for use in exercise.actions)
            in_turn = exercise.pattern == wanted
            key = (
                1 if too_heavy or is_bent_for_nothing(exercise, trainee, brief) else 0,
                used.count(exercise.slug),
                0 if for_goal else 1,
                0 if in_turn else 1,
                exercise.skill,
                exercise.slug,
            )
            open_ones.append((key, exercise, verdict))
        if not open_ones:
            by_day.append(())
            unmet.append(Unmet("loaded mobility", f"Nothing at {place.name} does this within the limits that are set."))
            continue
        _, exercise, verdict = min(open_ones, key=lambda one: one[0])
        used.append(exercise.slug)
        joint = next((use.joint for use in exercise.actions if use.role == "prime"), "joint")
        timed = exercise.measured_in == "seconds"
        by_day.append(
            (
                TemplateEntry(
                    exercise=exercise.slug,
                    part="loaded-mobility",
                    schemes=tuple(
                        Scheme("hold", 2, hold_s=30.0, rest_s=45.0, rir=4.0, per_side=exercise.per_side)
                        if timed
                        else Scheme(
                            "straight",
                            2,
                            reps=(6, 8),
                            tempo="4-2-2-0",
                            rest_s=45.0,
                            rir=4.0,
                            per_side=exercise.per_side,
                        )
                        for _ in shapes
                    ),
                    why=f"Range under a light load for the {joint}: loaded full range keeps what it opens.",
                    dials={**exercise.dials, **verdict.dials},
                    cautions=verdict.cautions,
                ),
            )
        )
    return FixedPart(tuple(by_day), tuple(dict.fromkeys(unmet)))


MOST_CARRIES = 2
CARRIES_WHY = "Only carries are open here, and twice a week of them is enough for the hands and the back."


def conditioning_part(
    catalogue: Catalogue,
    trainee: Trainee,
    brief: Brief,
    day_places: Sequence[Place],
    shapes: Sequence[WeekShape],
) -> FixedPart:
    """Work capacity at the end: short intervals, or one long easy piece; the kindest machine in turn.

    Carries, where nothing else is open, stand on two days at most (common practice, no published source).
    """
    if brief.conditioning == "none":
        return FixedPart(tuple(() for _ in day_places))
    by_day: list[tuple[TemplateEntry, ...]] = []
    used: list[str] = []
    unmet: list[Unmet] = []
    for place in day_places:
        tokens = expand_tokens(place.tokens())
        open_ones = []
        for exercise in catalogue.values():
            if "conditioning" not in exercise.parts or exercise.skill > skill_ceiling(trainee):
                continue
            if exercise.slug in brief.exclude:
                continue
            if exercise.mode not in ("cyclic", "concentric", "carry", "dynamic"):
                continue
            verdict = judge(exercise, trainee.restrictions, tokens, trainee)
            if verdict.allowed:
                liked = exercise.slug in trainee.likes
                is_machine = exercise.mode == "cyclic" and exercise.impact < 2 and any(exercise.equipment)
                key = (
                    0 if liked or is_machine else 1,  # the bike again rather than a sixth kind of carry
                    used.count(exercise.slug),
                    0 if liked else 1,
                    exercise.impact,
                    0 if exercise.mode == "cyclic" else 1,
                    -exercise.load_capacity,
                    exercise.slug,
                )
                open_ones.append((key, exercise, verdict))
        if not open_ones:
            by_day.append(())
            unmet.append(Unmet("conditioning", f"Nothing at {place.name} does this within the limits that are set."))
            continue
        _, exercise, verdict = min(open_ones, key=lambda one: one[0])
        if exercise.mode == "carry" and sum(catalogue.get(one).mode == "carry" for one in used) >= MOST_CARRIES:
            by_day.append(())
            unmet.append(Unmet("conditioning on every day", CARRIES_WHY))
            continue
        used.append(exercise.slug)
        by_day.append(
            (
                TemplateEntry(
                    exercise=exercise.slug,
                    part="conditioning",
                    schemes=tuple(
                        conditioning_scheme(exercise, brief, shape, trainee.weeks_off >= 2) for shape in shapes
                    ),
                    why="Work capacity, last, so that it costs the lifts nothing. " + how_hard(exercise, brief),
                    dials={**exercise.dials, **verdict.dials},
                    cautions=verdict.cautions,
                ),
            )
        )
    return FixedPart(tuple(by_day), tuple(dict.fromkeys(unmet)))


def is_steady(exercise: Exercise, brief: Brief) -> bool:
    """True for short conditioning that is done in one easy piece: walks, and what is set to easy."""
    easy = exercise.base in WALKS or "easy" in exercise.slug or "easy" in str(exercise.dials.get("speed", ""))
    return brief.conditioning != "long" and easy


def how_hard(exercise: Exercise, brief: Brief) -> str:
    """How hard the conditioning of a day is, in one sentence."""
    pace = STEADY if brief.conditioning == "long" else EASY if is_steady(exercise, brief) else BRISK
    return f"{pace.capitalize()}."


def conditioning_scheme(exercise: Exercise, brief: Brief, shape: WeekShape, returns: bool = False) -> Scheme:
    """Short: four pieces of 40 s with 60 s easy; long: 15 to 20 min steady; sleds by distance.

    ``returns``: after a break the first two weeks rest four and three times the work (rule D04).
    """
    if exercise.measured_in == "metres" or exercise.pattern == "sled":
        rounds = 3 if is_easy(shape) else 5
        return Scheme("carry", rounds, distance_m=20.0, rest_s=75.0, rir=4.0)
    if is_steady(exercise, brief):
        return Scheme("interval", 1, time_s=360.0 if is_easy(shape) else 480.0, rest_s=0.0)
    if brief.conditioning == "long":
        return Scheme("interval", 1, time_s=720.0 if is_easy(shape) else 1080.0, rest_s=0.0)
    rest_s = {1: 160.0, 2: 120.0}.get(shape.number, 60.0) if returns else 60.0
    return Scheme("interval", 3 if is_easy(shape) else 4, time_s=40.0, rest_s=rest_s)
