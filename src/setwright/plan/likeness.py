"""How alike two exercises are as training, in pieces that can be read aloud.

Two ideas carry this module. One: work counts first (joint actions, muscles); movement, length and sides count only as
far as the work is alike, else any two standing lifts would look related. Two: what a stand-in can't do (get heavy,
move, train the main muscles) or asks on top (skill, landing) multiplies: as added terms, an unloaded twin would win.

The weights are the project's own; the handed-over triples and those of ``tests/outside`` are their check.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import prod, sqrt
from typing import Literal

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import muscle_vector, range_motion
from setwright.catalogue.exercise import ROLE_SHARE, Exercise
from setwright.plan.candidates import is_ballistic
from setwright.plan.drills import SAME_MOTION

WEIGHTS: Mapping[str, float] = {
    "same joints": 0.35,
    "same muscles": 0.35,
    "same movement": 0.12,
    "same length": 0.1,
    "same sides": 0.08,
}
KIN = (
    frozenset({"squat", "split_squat", "sled"}),
    frozenset({"squat", "split_squat", "knee_extension"}),
    frozenset({"hinge", "single_leg_hinge", "hip_extension"}),
    frozenset({"push_horizontal", "push_incline", "dip"}),
    frozenset({"push_vertical", "push_incline"}),
    frozenset({"pull_horizontal", "pull_vertical"}),
    frozenset({"hip_abduction", "hip_rotation"}),
    frozenset({"anti_extension", "trunk_flexion"}),
    frozenset({"anti_lateral", "anti_rotation", "trunk_rotation"}),
    frozenset({"mobility_spine", "mobility_hip"}),
)
# Where at least half the work is alike, likeness of form counts in full.
FORM_FROM = 0.5
LOAD_STEP, SKILL_STEP, IMPACT_STEP = 0.12, 0.05, 0.08
EASY_LOAD = 1  # an exercise that gets no heavier is a drill
EASY_SKILL = 2  # skill that asks nobody for practice
MAIN_MUSCLE = 0.75  # muscles that work so much are what a lift is for (full set credit)
MAIN_FLOOR = 0.75  # what is left of a likeness where no main muscle of the lift works
SLOW_FOR_FAST = 0.7  # of a lift that is fast, what a slow one keeps (common practice, no published source)
# What a stand-in keeps that misses the point of a lift (the project's own shares, common practice).
BENT_FOR_BRACED = 0.7  # it bends or turns a spine that the lift keeps still
SIDEWAYS = 0.9  # it steps to the side, or no longer does
OTHER_JOINT_WORK = 0.7  # it does none of the lift's main joint actions
KNEE_FOR_HIP = 0.85  # the knee leads it, not the hip
SLACK_KNEE, SLACK_KNEE_DEG = 0.9, 45.0  # a hip lift with a bent knee for one with a straight knee
SHORTEST, SHORTEST_DRILL = 0.96, 0.6  # it moves nowhere in the lift's own range; a drill is there for its range
BODY_ALONE = 2  # how heavy a lift can be made where the place has no load for it
# What an implement must be to make a lift heavier; benches, walls and steps only hold one up.
LOADS = frozenset(
    {
        *("band", "band_heavy", "barbell", "belt", "cable", "dumbbell", "harness", "hexbar", "kettlebell", "landmine"),
        *("loop_band", "plates", "sandbag", "sled", "vest"),
    }
)

Kind = Literal["moving", "still", "carry", "cyclic", "drill"]
KIND_OF: Mapping[str, Kind] = {
    "dynamic": "moving",
    "concentric": "moving",
    "lowering": "moving",
    "loaded-mobility": "moving",
    "isometric": "still",
    "carry": "carry",
    "cyclic": "cyclic",
    "active-mobility": "drill",
}
HELD_TRUNK = 0.85  # a hold where the trunk resists in both, whatever the limbs do
WANTED_KIND = 0.7  # a hold where a restriction wants holds and bars movement
# A walk with a load is a hold of the hand, the trunk and the shoulder: holds stand in for it better than lifts do.
KINDS_APART: Mapping[frozenset[str], float] = {
    frozenset({"moving", "still"}): 0.6,
    frozenset({"moving", "carry"}): 0.6,
    frozenset({"still", "carry"}): 0.85,
    frozenset({"moving", "cyclic"}): 0.45,
    frozenset({"still", "cyclic"}): 0.4,
    frozenset({"carry", "cyclic"}): 0.5,
    frozenset({"moving", "drill"}): 0.5,
    frozenset({"still", "drill"}): 0.5,
    frozenset({"carry", "drill"}): 0.4,
    frozenset({"cyclic", "drill"}): 0.4,
}


@dataclass(frozen=True)
class Piece:
    """One piece of a likeness: ``value`` 0 to 1; added pieces count ``weight`` times, others multiply (weight None)."""

    words: str
    value: float
    weight: float | None = None

    def as_json(self) -> dict[str, object]:
        """The published form; ``counts`` is the weight of an added piece, null where the piece multiplies."""
        return {"part": self.words, "value": self.value, "counts": self.weight}


@dataclass(frozen=True)
class Likeness:
    """A likeness 0 to 1 with its pieces; ``score`` follows from the pieces alone."""

    pieces: tuple[Piece, ...]

    @property
    def score(self) -> float:
        """Sum of the added pieces times all the others, to three decimals."""
        return total(self.pieces)

    def times(self, words: str, factor: float) -> Likeness:
        """The likeness with one more piece that multiplies."""
        return Likeness((*self.pieces, Piece(words, factor)))


def total(pieces: tuple[Piece, ...]) -> float:
    """The score of pieces: added ones summed up, then multiplied by the rest.

    >>> total((Piece("same joints", 1.0, 0.5), Piece("same muscles", 0.8, 0.5), Piece("how heavy it gets", 0.5)))
    0.45
    """
    added = sum(one.value * one.weight for one in pieces if one.weight is not None)
    return round(added * prod(one.value for one in pieces if one.weight is None), 3)


def in_words(pieces: tuple[Piece, ...]) -> str:
    """The pieces as one says them: ``same muscles 0.9, same joints 0.8; times how heavy it gets 0.88``."""
    added = ", ".join(f"{one.words} {one.value:.2g}" for one in pieces if one.weight)
    times = ", ".join(f"{one.words} {one.value:.2g}" for one in pieces if one.weight is None and one.value != 1.0)
    return f"{added}; times {times}" if times else added


def cosine(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    """Cosine of two sparse vectors, 0 where either is empty."""
    dot = sum(value * b.get(key, 0.0) for key, value in a.items())
    norm = sqrt(sum(v * v for v in a.values()) * sum(v * v for v in b.values()))
    return dot / norm if norm else 0.0


# Actions of one joint that are largely the same work: a press up a slant is part press forward and part press overhead,
# and the arm comes down in front or at the side by much the same muscles. A bent hip turned out is
# opened by the muscles that lift a straight leg to the side (the project's own shares).
NEAR_ACTIONS: Mapping[tuple[str, str], float] = {
    ("shoulder-horizontal-adduction", "shoulder-horizontal-adduction-with-flexion"): 0.8,
    ("shoulder-flexion", "shoulder-horizontal-adduction-with-flexion"): 0.6,
    ("shoulder-abduction", "shoulder-flexion"): 0.6,
    ("shoulder-adduction", "shoulder-extension"): 0.5,
    ("hip-abduction", "hip-external-rotation"): 0.6,
}


def joints_alike(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    """Cosine of two vectors of joint actions in which near actions count in part, 0 to 1."""

    def dot(first: Mapping[str, float], second: Mapping[str, float]) -> float:
        found = sum(value * second.get(action, 0.0) for action, value in first.items())
        for (one, other), share in NEAR_ACTIONS.items():
            crossed = first.get(one, 0.0) * second.get(other, 0.0) + first.get(other, 0.0) * second.get(one, 0.0)
            found += share * crossed
        return found

    norm = sqrt(dot(a, a) * dot(b, b))
    return min(1.0, dot(a, b) / norm) if norm else 0.0


def action_vector(exercise: Exercise) -> dict[str, float]:
    """Joint actions with the share of their role."""
    found: dict[str, float] = {}
    for use in exercise.actions:
        found[use.slug] = max(found.get(use.slug, 0.0), ROLE_SHARE[use.role])
    return found


def main_muscles(exercise: Exercise) -> tuple[str, ...]:
    """The muscle groups a lift is for: those that work most, in the order of the anatomy table."""
    worked = muscle_vector(exercise)
    least = min(MAIN_MUSCLE, max(worked.values(), default=0.0))
    return tuple(muscle for muscle in muscle_groups() if worked.get(muscle, 0.0) >= least > 0.0)


def main_share(target: Exercise, other: Exercise) -> float:
    """How much of the main muscles of ``target`` the other works, 0 to 1."""
    wanted, given = muscle_vector(target), muscle_vector(other)
    mains = main_muscles(target)
    return sum(min(1.0, given.get(one, 0.0) / wanted[one]) for one in mains) / len(mains) if mains else 1.0


def mode_factor(target: Exercise, other: Exercise, wanted: frozenset[Kind] = frozenset()) -> float:
    """Moving work stands in for moving work, holds for holds, lifting without lowering for the same.

    wanted : kinds of work that a restriction wants at a joint of the target: they cost less there
    """
    if target.mode == other.mode:
        return 1.0
    kinds = frozenset({KIND_OF[target.mode], KIND_OF[other.mode]})
    if len(kinds) > 1:
        resists = target.pattern == other.pattern and target.pattern.startswith("anti_")
        held = HELD_TRUNK if resists and kinds == {"moving", "still"} else 0.0
        return max(KINDS_APART[kinds], held, WANTED_KIND if KIND_OF[other.mode] in wanted else 0.0)
    return 0.88 if "concentric" in (target.mode, other.mode) else 0.92


def speed_factor(target: Exercise, other: Exercise) -> float:
    """Grinding is no stand-in for speed, and speed less so for grinding."""
    fast = is_ballistic(target), is_ballistic(other)
    return 1.0 if fast[0] == fast[1] else SLOW_FOR_FAST if fast[0] else 0.94


def heaviness_factor(target: Exercise, other: Exercise, tokens: frozenset[str] | None) -> float:
    """What a stand-in that gets less heavy loses, or that is far too heavy for a drill.

    Half of it where both are fast: a jump needs no bar to be one.
    """
    more = reachable(other, tokens) - target.load_capacity
    is_drill = target.load_capacity <= EASY_LOAD and not is_ballistic(target)
    both_fast = is_ballistic(target) and is_ballistic(other)
    return 1.0 - LOAD_STEP * (abs(more) if is_drill else max(0, -more)) * (0.5 if both_fast else 1.0)


def main_actions(exercise: Exercise) -> tuple[str, ...]:
    """The joint actions an exercise does first of all."""
    return tuple(use.slug for use in exercise.actions if use.role == "prime")


def share_of_action(exercise: Exercise, action: str) -> float:
    """How much an exercise works a joint action, or one that is largely the same work, 0 to 1."""
    near = {action, *(one for pair in NEAR_ACTIONS if action in pair for one in pair)}
    return max((ROLE_SHARE[use.role] for use in exercise.actions if use.slug in near), default=0.0)


def main_action_factor(target: Exercise, other: Exercise) -> float:
    """Muscles alone make no stand-in: of what moves, at least one main joint action must be moved too."""
    if KIND_OF[target.mode] != "moving":
        return 1.0
    done = max((share_of_action(other, one) for one in main_actions(target)), default=1.0)
    return OTHER_JOINT_WORK + (1.0 - OTHER_JOINT_WORK) * done


def is_knee_for_hip(target: Exercise, other: Exercise) -> bool:
    """True when the knee leads where the hip led: a squat for a hinge."""
    return is_hip_led(target) and "knee-extension" in main_actions(other)


def is_hip_led(exercise: Exercise) -> bool:
    """True when the hip straightens first of all, and not the knee with it: hinges, bridges, back extensions."""
    led = main_actions(exercise)
    return "hip-extension" in led and "knee-extension" not in led


def bends_knee_more(target: Exercise, other: Exercise) -> bool:
    """True when a hip lift with a near straight knee gets one with a bent knee, which leaves the hamstrings slack.

    A bridge for a hinge or a back extension; the reverse costs its other length alone.
    """
    knees = [one.max_angles.get("knee-flexion", 0.0) for one in (target, other)]
    return is_hip_led(target) and is_hip_led(other) and knees[1] - knees[0] > SLACK_KNEE_DEG


def range_factor(target: Exercise, other: Exercise) -> float:
    """What a stand-in loses that goes less far in the motions the target is about; drills lose most."""
    is_drill = KIND_OF[target.mode] == "drill"
    motions = own_motions(target)
    if not motions or KIND_OF[other.mode] == "still":  # what a hold loses is counted already
        return 1.0
    reached = [min(1.0, other.max_angles.get(one, 0.0) / target.max_angles[one]) for one in motions]
    least = SHORTEST_DRILL if is_drill else SHORTEST
    return least + (1.0 - least) * sum(reached) / len(reached)


def own_motions(exercise: Exercise) -> tuple[str, ...]:
    """The motions whose angle an exercise is about: those of the actions it does first of all."""
    joints = {use.joint for use in exercise.actions if use.role == "prime"}
    if KIND_OF[exercise.mode] != "drill":
        lead = next(
            (one for one in (range_motion(exercise), *exercise.crop) if one and one.split("-")[0] in joints), None
        )
        return (lead,) if lead and exercise.max_angles.get(lead, 0.0) > 0.0 else ()
    stated = {action: motion for motion, actions in SAME_MOTION.items() for action in actions}
    found = [stated.get(one, one) for one in main_actions(exercise)]
    return tuple(one for one in dict.fromkeys(found) if exercise.max_angles.get(one, 0.0) > 0.0)


def bends_trunk(exercise: Exercise) -> bool:
    """True when the spine bends or turns."""
    return exercise.spine in ("flexed", "rotating")


def goes_sideways(exercise: Exercise) -> bool:
    """True when one leg goes out to the side."""
    return exercise.laterality != "both" and exercise.max_angles.get("hip-abduction", 0.0) >= 30.0


def reachable(exercise: Exercise, tokens: frozenset[str] | None) -> int:
    """How heavy an exercise can be made with what is there, 0 to 5: a lunge without weights stays a light one.

    tokens : equipment there is, implied tokens included, or None for anything
    """
    if tokens is None:
        return exercise.load_capacity
    open_ones = [option for option in exercise.equipment if option <= tokens]
    is_loaded = [any(token in LOADS or token.startswith("machine:") for token in option) for option in open_ones]
    could_be = any(token in LOADS for option in exercise.equipment for token in option)
    if open_ones and could_be and not any(is_loaded):
        return min(exercise.load_capacity, BODY_ALONE)
    return exercise.load_capacity


def at_most(target: Exercise, other: Exercise) -> float:
    """An upper bound of a likeness, quickly: most exercises share too little work to be reckoned in full."""
    work = (
        joints_alike(action_vector(target), action_vector(other)),
        cosine(muscle_vector(target), muscle_vector(other)),
    )
    form = WEIGHTS["same movement"] + WEIGHTS["same length"] + WEIGHTS["same sides"]
    return WEIGHTS["same joints"] * work[0] + WEIGHTS["same muscles"] * work[1] + form * min(1.0, max(work) / FORM_FROM)


def likeness(
    target: Exercise,
    other: Exercise,
    tokens: frozenset[str] | None = None,
    wanted: frozenset[Kind] = frozenset(),
) -> Likeness:
    """How well ``other`` stands in for ``target``, with the pieces.

    tokens : equipment there is (how heavy the stand-in gets depends on it), or None for anything
    wanted : kinds of work that a restriction wants kept at a joint of the target
    """
    kin = any({target.pattern, other.pattern} <= group for group in KIN)
    lengths = (target.length_bias, other.length_bias)
    values = {
        "same joints": joints_alike(action_vector(target), action_vector(other)),
        "same muscles": cosine(muscle_vector(target), muscle_vector(other)),
        "same movement": 1.0 if target.pattern == other.pattern else 0.5 if kin else 0.0,
        "same length": 1.0 if lengths[0] == lengths[1] else 0.5 if "middle" in lengths else 0.0,
        "same sides": 1.0 if target.laterality == other.laterality else 0.4,
    }
    alike = min(1.0, max(values["same joints"], values["same muscles"]) / FORM_FROM)
    pieces = [
        Piece(
            name, round(value, 3), round(WEIGHTS[name] * (1.0 if name in ("same joints", "same muscles") else alike), 3)
        )
        for name, value in values.items()
    ]
    factors = {
        "main muscles": MAIN_FLOOR + (1.0 - MAIN_FLOOR) * main_share(target, other),
        "moves or holds alike": mode_factor(target, other, wanted),
        "as fast": speed_factor(target, other),
        "how heavy it gets": heaviness_factor(target, other, tokens),
        "main joint actions": main_action_factor(target, other),
        "knee for hip": KNEE_FOR_HIP if is_knee_for_hip(target, other) else 1.0,
        "knee as straight": SLACK_KNEE if bends_knee_more(target, other) else 1.0,
        "as far": range_factor(target, other),
        "trunk kept still": BENT_FOR_BRACED if bends_trunk(other) and not bends_trunk(target) else 1.0,
        "to the side": SIDEWAYS if goes_sideways(target) != goes_sideways(other) else 1.0,
        "arms overhead": 0.92 if target.overhead and not other.overhead else 1.0,
        "hanging": 1.0 if (target.body_position == "hang") == (other.body_position == "hang") else 0.97,
        "more skill": 1.0 - SKILL_STEP * max(0, other.skill - max(EASY_SKILL, target.skill)),
        "more landing": 1.0 - IMPACT_STEP * max(0, other.impact - target.impact),
    }
    return Likeness((*pieces, *(Piece(name, round(value, 3)) for name, value in factors.items())))
