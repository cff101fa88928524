"""The checker's own reading of what a restriction, a history and a place close.

The law, as design and decision 0005 say it: a barred joint is not moved under load beyond its level, no barred position
is held, no motion goes under load beyond its limit; the work that is wanted there is open, as far as it is that work.
One-sided limits leave the other side open to work of one limb. Nothing here is shared with the planner.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from exercise_facts import Facts, implied

# What "short range" means at each joint, degrees; what each level leaves by how heavy an exercise can be made (0 to 5).
SHORT = {
    "elbow-flexion": (60, 100),
    "knee-flexion": (20, 60),
    "shoulder-elevation": (20, 60),
    "hip-flexion": (20, 60),
    "ankle-dorsiflexion": (0, 20),
    "wrist-flexion": (0, 20),
    "wrist-extension": (0, 20),
    "trunk-flexion": (0, 20),
}
HEAVIEST = {"none": -1, "light": 1, "moderate": 2, "hard": 5}
STRESS_LEFT = {"none": 0, "light": 1, "moderate": 2, "hard": 3}
ARMS = {"scapula", "shoulder", "elbow", "forearm", "wrist", "fingers"}
LEGS = {"hip", "knee", "ankle", "toes"}
BOTH_SIDES_HOLD = {"hang", "weight-on-hands", "kneeling", "bar-on-back", "load-at-hips"}
# The motion and the angle at which a position begins; who stays below it is not there.
BEGINS_AT = {"deep-squat": ("knee-flexion", 100.0), "hands-overhead": ("shoulder-elevation", 120.0)}


def planned_range(dials: Mapping[str, Any]) -> tuple[str, float, float] | None:
    """(motion, least angle, largest angle) that the dials of an entry leave, or None where they narrow nothing."""
    between = dials.get("range_deg")
    if "range_of" not in dials or not isinstance(between, (list, tuple)) or len(between) != 2:
        return None
    return str(dials["range_of"]), float(between[0]), float(between[1])


def reach(one: Facts, motion: str, dials: Mapping[str, Any]) -> float:
    """How far a motion goes, degrees; the dial shortens the motion that it names, and the ankle with the knee."""
    full = one.angles.get(motion, 0.0)
    left = planned_range(dials)
    if left is None or left[0] not in one.crop:
        return full
    if motion == "ankle-dorsiflexion" and left[0] == "knee-flexion":
        return full * min(1.0, left[2] / one.angles["knee-flexion"])
    return min(full, left[2]) if left[0] == motion else full


# Positions in which a joint bears a weight without working. The ankle under who stands and the wrist over the hand bear
# wherever an exercise states an angle of theirs.
BEARS = {
    "shoulder": {"hang", "bar-on-back", "front-rack", "weight-on-hands", "hands-overhead"},
    "knee": {"kneeling"},
}
# The joints that bear the body itself in a position, also in a drill.
CARRIED = {"deep-squat": LEGS, "kneeling": {"knee"}, "weight-on-hands": ARMS}


def is_loaded(one: Facts, joint: str) -> bool:
    """True when a joint works, holds, or bears a weight."""
    bears = joint in ("ankle", "wrist") or bool(one.positions & BEARS.get(joint, set()))
    return bears or one.touches(joint) or (joint == "shoulder" and one.touches("scapula"))


def works_other_side(one: Facts, rule: Any, dials: Mapping[str, Any]) -> bool:
    """True when the dials leave the sore side out, and the exercise can be done so."""
    other = {"left": "right", "right": "left"}.get(rule.side)
    if other is None or dials.get("side") != other or not one.counts_each_side:
        return False
    if one.positions & set(rule.positions) & BOTH_SIDES_HOLD:
        return False
    primes = {joint for joint, _, role in one.uses if role == "prime"}
    if rule.joint in ARMS:
        return "weight-on-hands" not in one.positions and (one.laterality != "one" or bool(primes & ARMS))
    if rule.joint in LEGS:
        return one.laterality == "one" and one.support in ("one-foot", "full") and bool(primes & LEGS)
    return False


def is_wanted_work(one: Facts, rule: Any, dials: Mapping[str, Any]) -> bool:
    """True when an entry is the hold, the carry or the short-range work that a restriction asks for."""
    if one.mode == "isometric":
        return "holds" in rule.wanted
    if one.mode == "carry":
        return "carries" in rule.wanted
    left = planned_range(dials)
    if "short-range" not in rule.wanted or rule.level == "none" or left is None or left[0] not in SHORT:
        return False
    low, high = SHORT[left[0]]
    return left[0].startswith(rule.joint) and left[0] in one.crop and left[1] >= low and left[2] <= high


def moves_too_much(one: Facts, rule: Any, dials: Mapping[str, Any]) -> str:
    """Why the work itself is barred, or an empty string."""
    if rule.level == "hard" or not one.works(rule.joint, rule.actions) or is_wanted_work(one, rule, dials):
        return ""
    if one.mode == "active-mobility" and rule.level != "none":
        return ""
    if one.capacity <= HEAVIEST[rule.level] and rule.level != "none":
        return ""
    if rule.joint == "ankle" and rule.level != "none" and one.body_position == "sit" and not one.is_prime("ankle"):
        return ""  # a foot that only guides the pedal
    return f"action: works the {rule.joint} beyond {rule.level}"


def held_badly(one: Facts, rule: Any, dials: Mapping[str, Any]) -> Iterable[str]:
    """Barred positions, grips, landings and shapes of the back."""
    for position in sorted(one.positions & set(rule.positions)):
        shallow = position in BEGINS_AT and reach(one, BEGINS_AT[position][0], dials) <= BEGINS_AT[position][1]
        if not shallow:
            yield f"position: {position}"
    if rule.grip_max is not None and one.grip > rule.grip_max:
        yield f"grip: {one.grip} over {rule.grip_max}"
    if rule.joint == "fingers" and rule.level == "none" and one.grip >= 2:
        yield "grip: hard grip with fingers that may do nothing"
    if rule.impact_max is not None and one.impact > rule.impact_max:
        yield f"impact: {one.impact} over {rule.impact_max}"
    if one.spine in rule.spine:
        yield f"spine: {one.spine} back"


def goes_too_far(one: Facts, rule: Any, dials: Mapping[str, Any]) -> Iterable[str]:
    """Motions that go beyond a limit while their joint is loaded; drills that carry nothing, not even the body, may."""
    drill = one.mode == "active-mobility" and one.capacity == 0
    pedals = one.mode == "cyclic" and one.capacity <= 1 and one.body_position == "sit"
    for motion, limit in sorted(rule.max_angles.items()):
        joint = motion.split("-")[0]
        carried = any(joint in CARRIED[position] for position in one.positions & CARRIED.keys())
        if is_loaded(one, joint) and (carried or not drill) and not pedals and reach(one, motion, dials) > limit + 1e-9:
            yield f"range: {motion} to {reach(one, motion, dials):g}, allowed {limit:g}"


def is_cleared_on(clearance: Any, day: date) -> bool:
    """True when a clearance was given by a day and has not ended before it."""
    return (
        clearance is not None
        and clearance.given_on <= day
        and (clearance.expires_on is None or day <= clearance.expires_on)
    )


def crossed(one: Facts, rule: Any, dials: Mapping[str, Any], stress: Mapping[str, int], on: date) -> list[str]:
    """Every way in which an exercise with its dials crosses one restriction; empty where it keeps it.

    stress : how much the exercise, with its dials, asks of each joint, 0 to 3, as the catalogue publishes it
    """
    if works_other_side(one, rule, dials):
        return []
    found = [*held_badly(one, rule, dials), *goes_too_far(one, rule, dials)]
    if rule.needs_clearance and one.touches(rule.joint) and one.capacity > 0 and not is_cleared_on(rule.clearance, on):
        found.append(f"clearance: the {rule.joint} waits for it")
    too_much = moves_too_much(one, rule, dials)
    if too_much:
        found.append(too_much)
    leans = one.spine != "unloaded" and one.mode != "carry" and one.capacity >= (4 if one.touches("trunk") else 5)
    leans = leans and not (one.mode == "isometric" and "holds" in rule.wanted and stress.get("trunk", 0) <= 1)
    if rule.joint == "trunk" and rule.level in ("none", "light") and leans:
        found.append("support: a heavy lift leans on the back")
    heavy = not rule.actions and one.capacity > max(1, HEAVIEST[rule.level])
    if heavy and not is_wanted_work(one, rule, dials) and stress.get(rule.joint, 0) > STRESS_LEFT[rule.level]:
        found.append(f"support: loads the {rule.joint} ({stress[rule.joint]} of 3)")
    return found


def closed_by_person(one: Facts, trainee: Any) -> list[str]:
    """What a history of back trouble and a pregnancy close (rules S05 and S06)."""
    found = []
    if trainee.back_trouble and one.spine == "flexed" and one.capacity > 0:
        found.append("history: loaded bending of the back after back trouble")
    if trainee.screening.pregnant and one.body_position == "supine" and one.mode != "active-mobility":
        found.append("history: on the back in pregnancy")
    return found


def must_be_easy(one: Facts, rule: Any, dials: Mapping[str, Any]) -> bool:
    """True when an entry still works a joint that may do light or moderate work only (decision 0005, point 3)."""
    return (
        rule.level in ("light", "moderate")
        and one.works(rule.joint, rule.actions)
        and not works_other_side(one, rule, dials)
    )


def there(place: Any) -> set[str]:
    """Every piece of equipment of a place, and what each is good for."""
    found = {"none", "wall"}
    found |= {bar.kind for bar in place.bars if bar.count > 0}
    found |= {stack.kind for stack in place.stacks if stack.count > 0}
    found |= {token for token, count in place.fixtures.items() if count > 0}
    found |= {"plates"} if any(one.count > 0 for one in place.plates) else set()
    found |= {"dumbbell"} if any(one.count > 0 for one in place.dumbbells) else set()
    found |= {"kettlebell"} if any(one.count > 0 for one in place.kettlebells) else set()
    for band in place.bands:
        if band.count > 0:
            found |= {"band"} | ({"band_heavy"} if band.heavy else set()) | ({"loop_band"} if band.loop else set())
    waiting = list(found)
    while waiting:
        for more in implied().get(waiting.pop(), []):
            if more not in found:
                found.add(more)
                waiting.append(more)
    return found


def can_be_set_up(one: Facts, tokens: set[str]) -> bool:
    """True when a place has all of one of the exercise's lists of equipment."""
    return any(option <= tokens for option in one.options)
