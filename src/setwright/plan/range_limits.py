"""What the range that a person reaches means for exercises that ask for more: a wedge, less depth, or another one.

Two ideas carry this module. One: this is a default and a warning, never a closed door; the coach who names an exercise
gets it. Two: a limit speaks only when the upper end of what was measured, error included, lies below what is asked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import asin, ceil, degrees, radians, sin

from setwright.body.range_of_motion import FOOT_SHARE, Reached, reached
from setwright.catalogue.derive import range_motion, working_angles
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.block import Unmet
from setwright.plan.brief import Brief
from setwright.plan.gates import LEAST_WIDTH_DEG, Verdict, judge, may_crop

OVERHEAD_ENOUGH_DEG = 160.0  # the trunk gives the rest of an arm overhead (common practice, no published source)
ROUNDED_DEG = 2.5  # angles of exercises stand in steps of five: a shortfall below half a step says nothing
# A bent knee slackens the hamstrings: degrees of hip bend gained for a degree of knee bend (from memory, unchecked; the
# ratio of their lever arms at knee and hip), and the bend from which they no longer hold the hip back.
HIP_PER_KNEE, STRAIGHT_KNEE_MAX_DEG = 0.6, 40.0
# A raised heel leans the foot: heel to ball of the foot as a share of foot length (from memory, unchecked).
BALL_SHARE = 0.70
HEEL_STEP_MM, HEEL_MOST_MM = 5, 40
FIRM_HEELS = "Heels on something firm and flat that can't slide."
HEEL_TOKENS = frozenset({"wedge", "plates"})
HEEL_PATTERNS = frozenset({"squat"})
STANDING_PATTERNS = frozenset({"squat", "split_squat", "hinge", "jump_land"})
MOTION_WORDS = {
    "ankle-dorsiflexion": "the ankle bends (knee over the toes)",
    "hip-flexion": "the hip bends",
    "hip-flexion-straight": "the hip bends with a nearly straight knee",
    "hip-abduction": "the leg opens to the side",
    "shoulder-elevation": "the arm goes overhead",
}


@dataclass(frozen=True)
class Shortfall:
    """One motion in which an exercise asks for more than was measured; degrees of that motion.

    reaches : (low, high) in the motion of the exercise, the slack of a bent knee added
    """

    motion: str
    asked_deg: float
    reaches: tuple[float, float]
    found: Reached

    @property
    def text(self) -> str:
        """What was measured and what is asked, in one sentence."""
        low, high = (round(one) for one in self.reaches)
        words = MOTION_WORDS.get(self.motion, self.motion.replace("-", " "))
        return f"{measured_text(self.found)}: {words} {low} to {high} degrees, {self.asked_deg:g} asked."


def measured_text(found: Reached) -> str:
    """What was measured: ``Measured 4 cm in knee to wall, left``."""
    unit = "degrees" if found.test.unit == "deg" else found.test.unit
    side = "" if found.side == "both" else f", {found.side}"
    return f"Measured {found.value:.3g} {unit} in {found.test.name}{side}"


@dataclass(frozen=True)
class RangeFit:
    """What the measured range makes of an exercise: dials that fit it, or that it is not chosen by default.

    dials : to add to the entry; closes : not chosen unless the coach names it; why : a sentence for the coach
    """

    dials: Mapping[str, object] = field(default_factory=dict)
    closes: bool = False
    why: str = ""


NOTHING = RangeFit()


def range_of(trainee: Trainee, on: date | None = None) -> Mapping[str, Reached]:
    """What each motion of a trainee reaches on a date, or on the day of the newest measure; empty where none is."""
    if not trainee.range_measures:
        return {}
    return reached(trainee.range_measures, trainee.stature_m, on or max(one.date for one in trainee.range_measures))


def wedge_deg(heel_mm: float, stature_m: float) -> float:
    """How far a raised heel leans the foot, degrees: asin(height / heel-to-ball length).

    >>> round(wedge_deg(25, 1.75), 1)
    7.7
    """
    return degrees(asin(min(1.0, heel_mm / 1000.0 / (BALL_SHARE * FOOT_SHARE * stature_m))))


def wedge_mm(angle_deg: float, stature_m: float) -> int:
    """The lowest heel height, in steps of 5 mm, that leans the foot by an angle."""
    exact = 1000.0 * BALL_SHARE * FOOT_SHARE * stature_m * sin(radians(angle_deg))
    return HEEL_STEP_MM * ceil(exact / HEEL_STEP_MM - 1e-9)


def shortfalls(
    exercise: Exercise, reach: Mapping[str, Reached], stature_m: float, dials: Mapping[str, object] | None = None
) -> tuple[Shortfall, ...]:
    """The motions in which an exercise, with its dials, asks for more than the upper end of what was measured.

    Range work, drills and pedalling ask for nothing: they go as far as they go.
    """
    is_range_work = "mobility" in exercise.mode or exercise.pattern.startswith("mobility")
    if not reach or is_range_work or exercise.mode == "cyclic":
        return ()
    angles = depths(exercise, dials)
    found = []
    for motion, asked in sorted(angles.items()):
        here = held_back(exercise, motion, angles, reach)
        if here is None:
            continue
        slack = 0.0
        if here.motion == "hip-flexion-straight":
            slack = HIP_PER_KNEE * angles.get("knee-flexion", 0.0)
        elif motion == "ankle-dorsiflexion":
            # The catalogue's own heel heights are in its angles already.
            raised = float(str((dials or {}).get("heel_mm", 0))) - float(str(exercise.dials.get("heel_mm", 0)))
            slack = wedge_deg(max(0.0, raised), stature_m)
        elif motion == "shoulder-elevation":
            asked = min(asked, OVERHEAD_ENOUGH_DEG)
        if here.high + slack < asked - ROUNDED_DEG:
            found.append(Shortfall(here.motion, asked, (here.low + slack, here.high + slack), here))
    return tuple(found)


def depths(exercise: Exercise, dials: Mapping[str, object] | None) -> dict[str, float]:
    """The largest angle of each motion after the dials; the ankle under a squat shrinks with the depth too."""
    angles = {motion: high for motion, (_, high) in working_angles(exercise, dials).items()}
    lead, ankle = range_motion(exercise), "ankle-dorsiflexion"
    if lead is not None and ankle in angles and ankle not in exercise.crop and shrinks(exercise, ankle):
        full = exercise.max_angles.get(lead, 0.0)
        angles[ankle] *= min(1.0, angles[lead] / full) if full else 1.0
    return angles


def held_back(
    exercise: Exercise, motion: str, angles: Mapping[str, float], reach: Mapping[str, Reached]
) -> Reached | None:
    """The measure that can hold a motion of an exercise back, or None.

    The ankle counts where one stands on the foot, the hip where it extends under load; with a nearly straight knee
    the straight-leg raise decides, else the hip with the knee bent.
    """
    joint = motion.split("-")[0]
    if motion == "ankle-dorsiflexion":
        stands = exercise.body_position == "stand" and exercise.pattern in STANDING_PATTERNS
        return reach.get(motion) if stands else None
    if motion == "hip-flexion":
        if not any(use.joint == "hip" and use.action in ("extension", "adduction") for use in exercise.actions):
            return None
        straight = reach.get("hip-flexion-straight")
        if straight is not None and angles.get("knee-flexion", 0.0) <= STRAIGHT_KNEE_MAX_DEG:
            return straight
        return reach.get(motion)
    if motion == "hip-abduction":
        stands = exercise.pattern in STANDING_PATTERNS  # a wide stance; abductors work as far as they go
        return reach.get(motion) if stands or any(use.slug == "hip-adduction" for use in exercise.actions) else None
    if not any(use.joint in (joint, "scapula" if joint == "shoulder" else joint) for use in exercise.actions):
        return None
    return reach.get(motion)


def fit_to_range(
    exercise: Exercise,
    dials: Mapping[str, object],
    reach: Mapping[str, Reached],
    trainee: Trainee,
    tokens: frozenset[str],
) -> RangeFit:
    """What the measured range makes of an exercise at a place: a heel wedge, less depth, or not by default.

    dials : those that restrictions have set already; they are narrowed, never widened
    """
    before = {**exercise.dials, **dials}
    found = shortfalls(exercise, reach, trainee.stature_m, before)
    if not found:
        return NOTHING
    made: dict[str, object] = {}
    why = []
    for short in found:
        heel = heel_for(exercise, short, before, trainee, tokens)
        if heel is not None:
            made["heel_mm"] = heel
            angle = wedge_deg(heel, trainee.stature_m)
            why.append(f"{short.text} Heels raised {heel} mm give {angle:.0f} more; that moves load from hip to knee.")
    left = shortfalls(exercise, reach, trainee.stature_m, {**before, **made})
    if left:
        depth = depth_for(exercise, {**before, **made}, reach, trainee.stature_m)
        if depth is None:
            return RangeFit({}, True, f"{left[0].text} Not chosen by default; name it to have it.")
        lead, high = depth
        made["range_deg"], made["range_of"] = [0, high], lead
        why += [short.text for short in left] + [f"Planned to {high} degrees of {lead.replace('-', ' ')}."]
    return RangeFit(made, False, " ".join(why))


def heel_for(
    exercise: Exercise, short: Shortfall, dials: Mapping[str, object], trainee: Trainee, tokens: frozenset[str]
) -> int | None:
    """The heel height that makes up for an ankle, mm; None where it can't, or where a knee is restricted.

    Source: a wedge adds to the ankle and moves moment from hip to knee (Monteiro 2022; Lu 2022, seen).
    """
    can = short.motion == "ankle-dorsiflexion" and exercise.pattern in HEEL_PATTERNS and bool(tokens & HEEL_TOKENS)
    if not can or "heel_mm" in dials or any(one.joint == "knee" for one in trainee.restrictions):
        return None
    height = wedge_mm(short.asked_deg - short.found.deg, trainee.stature_m)
    return height if height <= HEEL_MOST_MM else None


def depth_for(
    exercise: Exercise, dials: Mapping[str, object], reach: Mapping[str, Reached], stature_m: float
) -> tuple[str, int] | None:
    """The motion and the largest angle, in steps of 5 degrees, at which nothing is short; None where too little is.

    Motions shrink together: half a squat bends hip and ankle less too (as in ``catalogue.derive.working_angles``).
    """
    lead = range_motion(exercise)
    if lead is None or lead not in exercise.crop or dials.get("range_of", lead) != lead:
        return None
    low, full = working_angles(exercise, dials)[lead]
    if low > 0:
        return None
    for high in range(5 * int(full / 5.0 + 1e-9), int(LEAST_WIDTH_DEG) - 1, -5):
        if not may_crop(exercise, lead, high):
            return None
        if not shortfalls(exercise, reach, stature_m, {**dials, "range_deg": [0, high], "range_of": lead}):
            return lead, high
    return None


def shrinks(exercise: Exercise, motion: str) -> bool:
    """True when less depth asks less of a motion: those that may be cropped, and the ankle under a squat."""
    joint_motion = motion.removesuffix("-straight")
    return joint_motion in exercise.crop or (joint_motion == "ankle-dorsiflexion" and "knee-flexion" in exercise.crop)


def with_range(
    exercise: Exercise,
    verdict: Verdict,
    reach: Mapping[str, Reached],
    trainee: Trainee,
    tokens: frozenset[str],
    asked: bool,
) -> Verdict | None:
    """The verdict with the dials that the measured range suggests; None where the program would not choose it.

    asked : the coach named it; then it is never taken away, and a warning goes with it
    """
    fit = fit_to_range(exercise, verdict.dials, reach, trainee, tokens)
    if fit is NOTHING:
        return verdict
    if not fit.closes:
        firm = (FIRM_HEELS,) if "heel_mm" in fit.dials else ()
        dials = {**verdict.dials, **fit.dials}
        return replace(verdict, dials=dials, range_note=fit.why, cautions=(*verdict.cautions, *firm))
    if not asked:
        return None
    warning = fit.why.replace(
        "Not chosen by default; name it to have it.", "You named it: only as far as it goes well."
    )
    return replace(verdict, cautions=(*verdict.cautions, warning))


def left_out_by_range(
    catalogue: Catalogue, trainee: Trainee, places: Sequence[Place], brief: Brief
) -> tuple[Unmet, ...]:
    """For each motion, what the program does not choose because of it, in one line for the coach."""
    reach = range_of(trainee, brief.start)
    if not reach:
        return ()
    wished = {wish.exercise for wish in brief.lifts} | set(brief.include)
    names: dict[str, list[str]] = {}
    texts: dict[str, str] = {}
    tokens = [expand_tokens(place.tokens()) for place in places]
    for exercise in sorted(catalogue.values(), key=lambda one: (-one.load_capacity, one.slug)):
        if exercise.slug in wished or not set(exercise.parts) & {"main", "assistance", "finisher"}:
            continue
        for here in tokens:
            verdict = judge(exercise, trainee.restrictions, here, trainee)
            if not verdict.allowed:
                continue
            if fit_to_range(exercise, verdict.dials, reach, trainee, here).closes:
                short = shortfalls(exercise, reach, trainee.stature_m, exercise.dials)[0]
                names.setdefault(short.motion, []).append(exercise.name)
                texts.setdefault(short.motion, short.text)
                break
    return tuple(
        Unmet(
            f"{', '.join(found[:3])}" + (f" and {len(found) - 3} more" if len(found) > 3 else ""),
            f"{texts[motion]} Not chosen by default; name one in the brief to have it.",
        )
        for motion, found in sorted(names.items())
    )
