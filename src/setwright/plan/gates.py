"""The one place where a restriction is enforced.

Every entry, warm-up drill, alternative and filler passes ``judge``. Where a rule is in doubt it closes: a joint
that must not work does not work here. A range limit is met by cropping where the exercise allows it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import floor

from setwright.catalogue.derive import joint_stress, range_motion
from setwright.catalogue.equipment import in_words
from setwright.catalogue.exercise import LYING, ActionUse, Exercise
from setwright.people.restriction_text import defaults
from setwright.people.trainee import Restriction, Trainee

# Motions of `max_angles` by joint, and the joint actions that need them.
SHORT_RANGE_DEG: Mapping[str, tuple[float, float]] = {
    "elbow": (60.0, 100.0),
    "knee": (20.0, 60.0),
    "shoulder": (20.0, 60.0),
    "hip": (20.0, 60.0),
    "ankle": (0.0, 20.0),
    "wrist": (0.0, 20.0),
    "trunk": (0.0, 20.0),
}
LEVEL_CAPACITY: Mapping[str, int] = {"none": -1, "light": 1, "moderate": 2, "hard": 9}
# The most stress (0 to 3) that a joint may get in a supporting role, by level: a sore back carries no heavy barbell.
LEVEL_STRESS: Mapping[str, int] = {"none": 0, "light": 1, "moderate": 2}
POSITION_WORDS = {
    "bar-on-back": "a bar on the back",
    "front-rack": "the front rack",
    "grip": "a firm grip",
    "hang": "hanging",
    "hands-overhead": "hands overhead",
    "weight-on-hands": "weight on the hands",
    "arm-behind-body": "the arm behind the body",
    "deep-squat": "the deep squat",
    "load-at-hips": "a load on the hips",
    "lying-on-back": "lying on the back",
    "lying-on-front": "lying on the front",
}
SAID = {"trunk": "back"}  # what a coach says for a joint
HARDEST_STRESS = 3
REAL_LOAD = 3  # how heavy an exercise can be made, 0 to 5, from where a load that only passes is worth a word
LONG_SUPINE = ("supine",)
ARM = frozenset({"scapula", "shoulder", "elbow", "forearm", "wrist", "fingers"})
HAND = frozenset({"forearm", "wrist", "fingers"})
LEG = frozenset({"hip", "knee", "ankle", "toes"})
# Held positions that only the working side takes; all others need both sides, or the resting one as support.
POSITIONS_OF_ONE_SIDE = frozenset({"grip", "front-rack", "hands-overhead", "arm-behind-body", "deep-squat"})


@dataclass(frozen=True)
class Verdict:
    """Whether an exercise is open, why not, and the dials and cautions with which it is.

    ``light``: it is open only as the light work that a restriction wants there.
    ``eased``: the gentlest level, ``light`` or ``moderate``, of a restriction at whose joint it works, or empty.
    ``range_note``: why dials follow from the range measured (``plan.range_limits``), or empty.
    """

    allowed: bool
    reasons: tuple[str, ...] = ()
    dials: Mapping[str, object] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    light: bool = False
    eased: str = ""
    range_note: str = ""


def said_joint(joint: str) -> str:
    """A joint as a coach says it: a sore trunk is a sore back."""
    return SAID.get(joint, joint)


def who_set(restriction: Restriction) -> str:
    """The restriction by name, with who set it: the sentence every reason starts with."""
    side = "" if restriction.side == "both" else f"{restriction.side} "
    by = f" (set by {restriction.set_by})" if restriction.set_by else ""
    return f"The {side}{said_joint(restriction.joint)} restriction{by}"


def judge(
    exercise: Exercise,
    restrictions: Sequence[Restriction],
    tokens: frozenset[str],
    trainee: Trainee | None = None,
    dials: Mapping[str, object] | None = None,
    on: date | None = None,
    ignore_equipment: bool = False,
    asked: bool = False,
) -> Verdict:
    """Whether an exercise may be done: equipment, every restriction, the trainee's history.

    tokens : equipment of the place, implied tokens included (``catalogue.equipment.expand_tokens``)
    dials : what is set on the entry already; a narrower range counts
    asked : the coach named this very exercise: what pregnancy only advises against is open then, with a caution
    on : the date for which a clearance must hold; None takes any clearance without regard to its expiry
    """
    reasons: list[str] = []
    cautions: list[str] = []
    wanted: dict[str, object] = {}
    light = False
    if not ignore_equipment and exercise.equipment and not any(option <= tokens for option in exercise.equipment):
        missing = min((sorted(option - tokens) for option in exercise.equipment), key=lambda one: (len(one), one))
        words = " and ".join(in_words(token) for token in missing)
        reasons.append(
            f"There is no {words} here." if words == exercise.name else f"{exercise.name} needs {words}: not here."
        )
    narrowed = dials or {}
    if isinstance(narrowed.get("range_deg"), (list, tuple)) and "range_of" in narrowed:
        wanted = {"range_deg": list(narrowed["range_deg"]), "range_of": narrowed["range_of"]}  # type: ignore[call-overload]
    if "side" in narrowed:
        wanted["side"] = narrowed["side"]
    levels: list[str] = []
    for restriction in restrictions:
        before = dict(wanted)
        reason = barred_by(exercise, restriction, wanted, cautions, on)
        if not reason:
            light = light or works_at(exercise, restriction)
            if restriction.level != "hard" and uses_of(exercise, restriction):
                levels.append(restriction.level)
            continue
        wanted.clear()
        wanted.update(before)
        side = free_side(exercise, restriction)
        if side and wanted.get("side", side) == side:
            wanted["side"] = side
            cautions.append(f"The {side} side only; the {restriction.side} one rests.")
        else:
            reasons.append(reason)
    if trainee is not None:
        reasons += closed_by_history(exercise, trainee, cautions, asked)
    if reasons:
        return Verdict(False, tuple(reasons), {}, ())
    eased = "light" if {"light", "none"} & set(levels) else "moderate" if levels else ""
    return Verdict(True, (), wanted, tuple(dict.fromkeys(cautions)), light, eased)


def uses_of(exercise: Exercise, restriction: Restriction) -> bool:
    """True when the exercise works the joint, and the actions, that a restriction is about."""
    return any(
        use.role in ("prime", "secondary") and (not restriction.actions or use.action in restriction.actions)
        for use in uses_at(exercise, restriction.joint)
    )


def uses_at(exercise: Exercise, joint: str) -> list[ActionUse]:
    """What an exercise works or holds at a joint; turning the hand for its own sake counts to the wrist."""
    return [
        use
        for use in exercise.actions
        if use.joint == joint or (joint == "wrist" and use.joint == "forearm" and use.role == "prime")
    ]


def free_side(exercise: Exercise, restriction: Restriction) -> str:
    """The side on which an exercise stays open under a one-sided restriction, or an empty string.

    Only work done by one arm, or by one leg with the other off duty, can leave the sore side out.
    """
    limb = ARM if restriction.joint in ARM else LEG if restriction.joint in LEG else frozenset[str]()
    if restriction.side == "both" or not limb or exercise.laterality not in ("one", "one-side-load"):
        return ""
    if not set(exercise.held_positions) & set(restriction.positions) <= POSITIONS_OF_ONE_SIDE:
        return ""
    working = {use.joint for use in exercise.actions if use.role == "prime"}
    if limb is LEG and (exercise.support not in ("one-foot", "full") or exercise.laterality != "one"):
        return ""
    if limb is ARM and "weight-on-hands" in exercise.positions:
        return ""
    if exercise.laterality == "one" and not working & limb:
        return ""
    return "right" if restriction.side == "left" else "left"


EVERY_POSITION = frozenset(
    {"stand", "kneel", "half-kneel", "quadruped", "plank", "hang", "sit", "supine", "prone", "side"}
)


def open_positions(restrictions: Sequence[Restriction], trainee: Trainee | None = None) -> frozenset[str]:
    """The body positions in which easy work may be asked of a person: drills, warm-ups, work in rests.

    Who may work neither hip nor knee at all is asked for nothing but sitting (no standing, kneeling, getting down to
    the floor); in pregnancy nothing is done on the back or the front.
    """
    still = {rule.joint for rule in restrictions if rule.level == "none" and rule.side == "both" and not rule.actions}
    closed = set(EVERY_POSITION - {"sit"}) if {"hip", "knee"} <= still else set()
    if trainee is not None and trainee.screening.pregnant:
        closed |= {"supine", "prone"}
    barred = {position for rule in restrictions for position in rule.positions}
    closed |= {body for body, lying in LYING.items() if lying in barred}
    return frozenset(EVERY_POSITION - closed)


ON_LEGS_OR_KNEES = frozenset({"stand", "kneel", "half-kneel", "quadruped", "plank"})


def can_take_place(exercise: Exercise, restrictions: Sequence[Restriction], trainee: Trainee | None = None) -> bool:
    """True when a lift is done in a position that the person can take: nothing on foot where hip and knee rest.

    Lifts of the arms alone are done sitting; nobody carries a load through the gym without legs.
    """
    if "stand" in open_positions(restrictions, trainee) or exercise.body_position not in ON_LEGS_OR_KNEES:
        return True
    arms_only = all(use.joint in ARM for use in exercise.actions if use.role != "held")
    bent_over = exercise.max_angles.get("hip-flexion", 0.0) >= 45.0
    return exercise.body_position == "stand" and arms_only and not bent_over and exercise.mode != "carry"


def works_at(exercise: Exercise, restriction: Restriction) -> bool:
    """True when the exercise works the barred actions of a joint that allows only light work, or none."""
    return restriction.level in ("none", "light") and uses_of(exercise, restriction)


ON_THE_FRONT = "Pregnancy: lying on the front presses on the belly; the midwife or doctor says whether."


def closed_by_history(exercise: Exercise, trainee: Trainee, cautions: list[str], asked: bool = False) -> list[str]:
    """Rules S05 and S06: pregnancy and a history of back trouble.

    Long spells on the back are part of the screen (ACOG 804, seen second-hand): no general clearance speaks of them.
    Lying on the front has no published source: nothing there is picked, but what the coach names stays, with a caution.
    """
    reasons = []
    if trainee.back_trouble and exercise.spine == "flexed" and exercise.load_capacity > 0:
        reasons.append(
            "Loaded bending of the back is closed with a history of back trouble; a licensed clinician can open it."
        )
    if trainee.screening.pregnant:
        if exercise.body_position in LONG_SUPINE and exercise.mode != "active-mobility":
            reasons.append("No long spells on the back in pregnancy.")
        elif exercise.body_position == "prone" and exercise.mode != "active-mobility":
            if asked:
                cautions.append(ON_THE_FRONT)
            else:
                reasons.append("Nothing lying on the front in pregnancy, unless you name it.")
        elif exercise.impact >= 2:
            cautions.append("Pregnancy: ask the midwife or doctor about jumps and runs.")
    return reasons


def barred_by(
    exercise: Exercise,
    restriction: Restriction,
    wanted_dials: dict[str, object],
    cautions: list[str],
    on: date | None,
) -> str:
    """Why one restriction closes an exercise, or an empty string; adds dials and cautions where it is open."""
    who = who_set(restriction)
    name = exercise.name
    for position in exercise.held_positions:
        if position in restriction.positions and not is_cropped_away(exercise, position, restriction, wanted_dials):
            return f"{who} closes {POSITION_WORDS.get(position, position.replace('-', ' '))}, which {name} needs."
    if restriction.grip_max is not None and exercise.grip > restriction.grip_max:
        return f"{who} allows no grip this hard."
    if restriction.joint == "fingers" and restriction.level == "none" and exercise.grip >= 2:
        return f"{who} allows no hard grip."
    if restriction.impact_max is not None and exercise.impact > restriction.impact_max:
        what = "landing or jumping of this kind" if exercise.impact > 1 else f"impact at all, not even that of {name}"
        return f"{who} allows no {what}."
    if exercise.spine in restriction.spine:
        return f"{who} bars a {exercise.spine} back under load."
    uses = uses_at(exercise, restriction.joint)
    barred = [use for use in uses if not restriction.actions or use.action in restriction.actions]
    working = [use for use in barred if use.role in ("prime", "secondary")]
    if restriction.needs_clearance and uses and exercise.load_capacity > 0:
        cleared = restriction.clearance
        if cleared is None:
            return f"{who} waits for clearance by a licensed clinician."
        if on is not None and cleared.expires_on is not None and cleared.expires_on < on:
            return f"{who}: the clearance by {cleared.who} ended on {cleared.expires_on.isoformat()}."
    if working and restriction.level != "hard":
        reason = barred_work(exercise, restriction, who, wanted_dials)
        if reason:
            return reason
        if bears(exercise, restriction):
            cautions.append(goes_through(restriction.joint))
    elif barred and restriction.level != "hard":
        holds = "hold" if restriction.joint in ("fingers", "toes") else "holds"
        cautions.append(f"The {said_joint(restriction.joint)} only {holds} here; stop if it hurts.")
    elif restriction.level in LEVEL_STRESS and not restriction.actions and not uses and bears(exercise, restriction):
        cautions.append(goes_through(restriction.joint))
    if exercise.mode == "cyclic" and uses and restriction.max_angles:
        cautions.append(f"No resistance that the {said_joint(restriction.joint)} feels; stop if it hurts.")
    for motion, limit in sorted(restriction.max_angles.items()):
        reason = out_of_range(exercise, motion, limit, who, wanted_dials)
        if reason:
            return reason
    if (
        restriction.joint == "trunk"
        and restriction.level in ("none", "light")
        and weighs_on_the_back(exercise, restriction)
    ):
        return f"{who} allows only {restriction.level} work of the back, and {name} loads it."
    most = LEVEL_STRESS.get(restriction.level, 3)
    is_wanted = {"isometric": "holds", "carry": "carries"}.get(exercise.mode, "short-range") in restriction.wanted
    cropped = is_short_at(restriction.joint, wanted_dials)
    supports = not restriction.actions and exercise.load_capacity > max(1, LEVEL_CAPACITY[restriction.level])
    is_wanted = is_wanted and (cropped or exercise.mode in ("isometric", "carry"))
    if supports and not is_wanted and joint_stress(exercise, wanted_dials).get(restriction.joint, 0) > most:
        return (
            f"{who} allows only {restriction.level} work of the {said_joint(restriction.joint)}, and {name} loads it."
        )
    if restriction.side != "both" and (working or barred) and exercise.per_side:
        cautions.append(f"The {restriction.side} side needs the care.")
    return ""


def weighs_on_the_back(exercise: Exercise, restriction: Restriction) -> bool:
    """True for lifts that are heavy for the back: the heaviest kinds, and heavy ones in which the trunk must hold.

    Upright with a weight in each hand, or with a hand on the bench, it hardly does (von Arx 2021: a load held close
    and upright asks least of the back).
    """
    if exercise.spine == "unloaded" or exercise.mode == "carry":
        return False
    if exercise.mode == "isometric" and "holds" in restriction.wanted and joint_stress(exercise)["trunk"] <= 1:
        return False
    holds = any(use.joint == "trunk" for use in exercise.actions)
    return exercise.load_capacity >= (4 if holds else 5)


def goes_through(joint: str) -> str:
    """The caution for work that loads a restricted joint, whether it works there or only passes."""
    return f"Goes through the {said_joint(joint)}: pain there at most 2 of 10, else stop."


def bears(exercise: Exercise, restriction: Restriction) -> bool:
    """True when a real load goes through the joint of a restriction, though no muscle works there.

    The muscles that move wrist and fingers start at the elbow.
    """
    if restriction.joint == "elbow" and any(use.joint in HAND and use.role == "prime" for use in exercise.actions):
        return True
    return exercise.load_capacity >= REAL_LOAD and joint_stress(exercise).get(restriction.joint, 0) > 0


def asks_too_much(other: Exercise, exercise: Exercise, restrictions: Sequence[Restriction]) -> bool:
    """True when a stand-in asks more of a limited joint than the level leaves open and than what it stands in for.

    A wanted hold or carry may be as hard as a coach likes who picks it; nobody is offered it unasked.
    """
    new, old = joint_stress(other), joint_stress(exercise)
    return any(
        new.get(rule.joint, 0) > max(LEVEL_STRESS[rule.level], old.get(rule.joint, 0))
        for rule in restrictions
        if rule.level in LEVEL_STRESS and not rule.actions
    )


def is_short_at(joint: str, dials: Mapping[str, object]) -> bool:
    """True when the range dial keeps this very joint inside its short range."""
    window, limits = SHORT_RANGE_DEG.get(joint), dials.get("range_deg")
    if window is None or not isinstance(limits, list) or not str(dials.get("range_of", "")).startswith(joint):
        return False
    return float(limits[1]) <= window[1]


# Positions that begin at an angle: below it the exercise does not get there.
GOES_WITH_RANGE: Mapping[str, tuple[str, float]] = {
    "deep-squat": ("knee-flexion", 100.0),
    "hands-overhead": ("shoulder-elevation", 120.0),
}

LEAST_RANGE_LEFT = 0.4
LEAST_WIDTH_DEG = 15.0
LEAST_MOBILITY_LEFT = 0.8


def may_crop(exercise: Exercise, motion: str, limit: float) -> bool:
    """True when an exercise is still worth doing to a limit: range work needs most of its range, lifts 40 % of it.

    A hold for the knee is the same hold at a smaller bend: holds at 60 degrees are what a sore kneecap tendon gets
    (Rio 2015, from memory, unchecked). Other holds are named for where they are held.
    """
    is_held = exercise.mode == "isometric" and motion != "knee-flexion"
    least = LEAST_MOBILITY_LEFT if "mobility" in exercise.mode or is_held else LEAST_RANGE_LEFT
    return motion in exercise.crop and limit >= least * exercise.max_angles.get(motion, 0.0)


def is_cropped_away(
    exercise: Exercise, position: str, restriction: Restriction, wanted_dials: dict[str, object]
) -> bool:
    """True when a position goes with the range: a squat to 60 degrees is no deep squat any more."""
    if position not in GOES_WITH_RANGE:
        return False
    motion, start = GOES_WITH_RANGE[position]
    limit = min(restriction.max_angles.get(motion, start), start)
    if position == "hands-overhead" and limit < start:
        return False  # nobody reaches the bar of a pulldown from shoulder height
    return may_crop(exercise, motion, limit) and crop_to(wanted_dials, exercise, motion, 0.0, limit)


def crop_to(wanted_dials: dict[str, object], exercise: Exercise, motion: str, low: float, high: float) -> bool:
    """Sets the range dial, or narrows the one another restriction has set; False where the two can't both hold.

    There is one range dial: two motions can't be cropped at once, and a range needs a width. An exercise that is a
    part of a range already (a leg extension from 90 to 45) is narrowed inside that part.
    """
    high = min(high, exercise.max_angles.get(motion, high))
    planned = wanted_dials.get("range_deg")
    if isinstance(planned, list):
        if wanted_dials.get("range_of") != motion:
            return False
        low, high = max(low, float(planned[0])), min(high, float(planned[1]))
    own = exercise.dials.get("range_deg")
    if isinstance(own, (list, tuple)) and range_motion(exercise) == motion:
        low, high = max(low, float(own[0])), min(high, float(own[1]))
    if high - low < LEAST_WIDTH_DEG:
        return False
    wanted_dials["range_deg"] = [round(low), round(high)]
    wanted_dials["range_of"] = motion
    return True


def barred_work(
    exercise: Exercise,
    restriction: Restriction,
    who: str,
    wanted_dials: dict[str, object],
) -> str:
    """The reason why work at the joint is closed, or an empty string where its kind is wanted or light enough."""
    joint, name = restriction.joint, exercise.name
    said = said_joint(joint)
    if exercise.mode == "isometric":
        if "holds" in restriction.wanted:
            return ""
        if restriction.level == "none":
            return f"{who} bars work of the {said}, holds included, in {name}."
    if exercise.mode == "carry":
        if "carries" in restriction.wanted:
            return ""
        if restriction.level == "none":
            return f"{who} bars work of the {said}, carries included, in {name}."
    if exercise.mode == "active-mobility" and restriction.level != "none":
        return ""
    if exercise.load_capacity <= LEVEL_CAPACITY[restriction.level]:
        return ""
    if restriction.level != "none" and joint_stress(exercise).get(joint, 0) == 0:
        return ""  # it asks next to nothing there: the ankle on a bike
    if "short-range" in restriction.wanted and restriction.level != "none" and exercise.is_dynamic:
        window = SHORT_RANGE_DEG.get(joint)
        usual = defaults()["motion"].get(joint, {}).get("usual", ())
        motion = next((one for one in exercise.crop if one in usual), None)
        prime = any(use.joint == joint and use.role == "prime" for use in exercise.actions)
        fits = window is not None and motion is not None and prime and exercise.load_capacity <= 4
        before = dict(wanted_dials)
        if fits and window is not None and motion is not None and crop_to(wanted_dials, exercise, motion, *window):
            if joint_stress(exercise, wanted_dials).get(joint, 0) < HARDEST_STRESS:
                return ""
            # A short range must spare the joint: a leg extension near straight asks most of a sore kneecap.
            wanted_dials.clear()
            wanted_dials.update(before)
    allowed = "no moving work" if restriction.level == "none" else f"only {restriction.level} work"
    return f"{who} allows {allowed} of the {said}, and {name} moves it under load."


# The weight goes through foot and hand wherever an exercise states an angle of them, whether muscles work there or not.
BEARING = frozenset({"ankle", "wrist"})
# Where the ankle bends as the knee does, so that less depth asks less of both.
BENT_WITH_THE_KNEE = frozenset({"squat", "split_squat", "hinge"})
# Positions in which a drill carries the body, though it has no load of its own, and the joints that bear it then.
CARRIES_THE_BODY: Mapping[str, frozenset[str]] = {
    "deep-squat": frozenset({"hip", "knee", "ankle"}),
    "kneeling": frozenset({"knee"}),
    "weight-on-hands": frozenset({"shoulder", "elbow", "wrist"}),
}


def is_under_load(exercise: Exercise, motion: str) -> bool:
    """True when the joint of a motion works, holds, or bears: the ankle in a squat, the wrist in a push-up."""
    joint = motion.split("-")[0]
    joints = (joint, "scapula") if joint == "shoulder" else (joint,)
    return (
        joint in BEARING
        or any(use.joint in joints for use in exercise.actions)
        or joint_stress(exercise).get(joint, 0) > 0
    )


def is_free_drill(exercise: Exercise, joint: str) -> bool:
    """True when an exercise moves a joint without any load: a range limit under load does not speak of it."""
    is_drill = exercise.load_capacity == 0 and exercise.mode == "active-mobility"
    return is_drill and not any(joint in CARRIES_THE_BODY.get(one, ()) for one in exercise.positions)


def out_of_range(
    exercise: Exercise,
    motion: str,
    limit: float,
    who: str,
    wanted_dials: dict[str, object],
) -> str:
    """The reason why a range limit closes an exercise, or an empty string; crops it where it can be cropped.

    A joint that neither works nor bears is not under load there: bent knees in a sit-up don't count.
    """
    if not is_under_load(exercise, motion):
        return ""
    reach = exercise.max_angles.get(motion)
    if reach is None or reach <= limit or is_free_drill(exercise, motion.split("-")[0]):
        return ""
    if exercise.mode == "cyclic" and exercise.load_capacity <= 1 and exercise.body_position == "sit":
        return ""  # turning the pedals without resistance is no bending under load; a caution goes with it
    lead, high = motion, limit
    if motion == "ankle-dorsiflexion" and exercise.pattern in BENT_WITH_THE_KNEE and "knee-flexion" in exercise.crop:
        lead, high = "knee-flexion", floor(exercise.max_angles["knee-flexion"] * limit / reach)
    if may_crop(exercise, lead, high) and crop_to(wanted_dials, exercise, lead, 0.0, high):
        return ""
    return f"{who} allows {motion.replace('-', ' ')} to {limit:g} degrees; {exercise.name} goes to {reach:g}."
