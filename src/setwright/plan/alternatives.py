"""What can stand in for an exercise: gates first, then a likeness that can be explained.

Likeness adds up shared joint actions, muscles, length, pattern and sides. How heavy it can be made and how it
is done (moving or held) multiply: as added terms, an unloaded twin would beat a loaded lift.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import joint_stress, muscle_vector
from setwright.catalogue.exercise import ROLE_SHARE, Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import sore_joint
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.block import Alternative
from setwright.plan.gates import judge
from setwright.plan.range_limits import range_of, shortfalls

LIKE_ENOUGH = 0.4  # what a sheet may offer without a word
FLOOR = 0.2  # under this there is no good substitute
WEIGHTS = {"actions": 0.35, "muscles": 0.35, "pattern": 0.12, "length": 0.1, "sides": 0.08}
TRAVEL_TOKENS = frozenset({"none", "wall", "band", "band_heavy", "loop_band", "towel", "door", "chair_bench", "step"})
KIN = (
    frozenset({"squat", "split_squat", "sled"}),
    frozenset({"hinge", "single_leg_hinge", "hip_extension"}),
    frozenset({"push_horizontal", "push_incline", "dip"}),
    frozenset({"push_vertical", "push_incline"}),
    frozenset({"pull_horizontal", "pull_vertical"}),
    frozenset({"anti_extension", "trunk_flexion"}),
    frozenset({"anti_lateral", "anti_rotation", "trunk_rotation"}),
    frozenset({"mobility_spine", "mobility_hip"}),
)


@dataclass(frozen=True)
class Candidate:
    """One stand-in with its likeness 0 to 1, what is kept and lost; ``why`` where it is excluded."""

    exercise: str
    likeness: float
    kept: str
    lost: str
    excluded: bool = False
    why: str = ""
    cropped: bool = False  # a restriction narrows it, or it asks more range than was measured

    def as_json(self) -> dict[str, object]:
        """The published form of ``alternatives --json``."""
        row: dict[str, object] = {
            "exercise": self.exercise,
            "likeness": self.likeness,
            "kept": self.kept,
            "lost": self.lost,
            "excluded": self.excluded,
        }
        return {**row, "why": self.why} if self.excluded else row


def cosine(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    """Cosine of two sparse vectors, 0 where either is empty."""
    dot = sum(value * b.get(key, 0.0) for key, value in a.items())
    norm = sqrt(sum(v * v for v in a.values()) * sum(v * v for v in b.values()))
    return dot / norm if norm else 0.0


def action_vector(exercise: Exercise) -> dict[str, float]:
    """Joint actions with the share of their role."""
    found: dict[str, float] = {}
    for use in exercise.actions:
        found[use.slug] = max(found.get(use.slug, 0.0), ROLE_SHARE[use.role])
    return found


def mode_factor(target: Exercise, other: Exercise) -> float:
    """Moving work stands in for moving work, holds for holds."""
    if target.mode == other.mode:
        return 1.0
    still = {"isometric"}
    drills = {"active-mobility"}
    if (target.mode in still) != (other.mode in still):
        return 0.6
    if (target.mode in drills) != (other.mode in drills):
        return 0.5
    if (target.mode == "cyclic") != (other.mode == "cyclic"):
        return 0.7
    return 0.92


def load_factor(target: Exercise, other: Exercise) -> float:
    """A stand-in that cannot be made heavy enough counts less; one that can be heavier counts the same."""
    short = max(0, target.load_capacity - other.load_capacity)
    return 1.0 - 0.12 * short


def likeness(target: Exercise, other: Exercise) -> float:
    """How well ``other`` stands in for ``target``, 0 to 1."""
    kin = any({target.pattern, other.pattern} <= group for group in KIN)
    lengths = (target.length_bias, other.length_bias)
    parts = {
        "actions": cosine(action_vector(target), action_vector(other)),
        "muscles": cosine(muscle_vector(target), muscle_vector(other)),
        "pattern": 1.0 if target.pattern == other.pattern else 0.5 if kin else 0.0,
        "length": 1.0 if lengths[0] == lengths[1] else 0.5 if "middle" in lengths else 0.0,
        "sides": 1.0 if target.laterality == other.laterality else 0.4,
    }
    score = sum(WEIGHTS[name] * value for name, value in parts.items())
    overhead = 0.92 if target.overhead and not other.overhead else 1.0
    stance = 1.0 if (target.body_position == "hang") == (other.body_position == "hang") else 0.97
    return score * mode_factor(target, other) * load_factor(target, other) * overhead * stance


def what_is_kept(target: Exercise, other: Exercise) -> tuple[str, str]:
    """Two short phrases: what stays trained, and what goes."""
    wanted, given = muscle_vector(target), muscle_vector(other)
    strong = [muscle for muscle, value in wanted.items() if value >= 0.75]
    kept = [muscle_groups()[m].label for m in strong if given.get(m, 0.0) >= 0.5]
    lost = [muscle_groups()[m].label for m in strong if given.get(m, 0.0) < 0.5]
    keeps = ["work for " + ", ".join(kept)] if kept else []
    loses = ["work for " + ", ".join(lost)] if lost else []
    if target.pattern == other.pattern:
        keeps.append("the same movement")
    if target.length_bias != other.length_bias:
        loses.append(f"load in the {target.length_bias} position")
    if other.load_capacity < target.load_capacity:
        loses.append("the heaviest loads")
    if target.laterality == "both" and other.laterality in ("one", "alternating"):
        loses.append("both sides at once")
    elif target.laterality == "one" and other.laterality == "both":
        loses.append("each side on its own")
    if target.is_dynamic and not other.is_dynamic:
        loses.append("movement")
    return "; ".join(keeps) or "the place in the session", "; ".join(loses) or "little"


def what_dials_cost(dials: Mapping[str, object]) -> str:
    """What a gate's dials take away, as one says it."""
    limits = dials.get("range_deg")
    if isinstance(limits, (list, tuple)):
        return f"range beyond {limits[1]} degrees"
    return f"the {'left' if dials.get('side') == 'right' else 'right'} side"


def alternatives(
    slug: str,
    catalogue: Catalogue,
    have: frozenset[str] | None,
    restrictions: Sequence[Restriction],
    trainee: Trainee | None = None,
    n: int = 3,
    include_excluded: bool = False,
    among: Sequence[str] | None = None,
) -> list[Candidate]:
    """What can stand in, best first; an empty list is the honest "no good substitute".

    have : equipment tokens there are (implied ones included), or None for anything
    among : only these exercises; include_excluded adds those a gate closes, with the reason, after the open ones
    """
    target = catalogue.get(slug)
    found, closed = [], []
    reach = range_of(trainee) if trainee is not None else {}
    pool = [catalogue.get(one) for one in among] if among is not None else list(catalogue.values())
    for other in pool:
        if other.slug == target.slug:
            continue
        key = ("likeness", target.slug, other.slug)
        score = catalogue.remember(key, lambda other=other: round(likeness(target, other), 3))  # type: ignore[misc]
        if score < FLOOR and among is None:
            continue
        kept, lost = what_is_kept(target, other)
        verdict = judge(other, restrictions, have or frozenset(), trainee, ignore_equipment=have is None)
        if verdict.allowed:
            if verdict.dials:
                lost = f"{lost}; {what_dials_cost(verdict.dials)}"
                score = round(score * 0.93, 3)
            beyond = trainee is not None and bool(
                reach and shortfalls(other, reach, trainee.stature_m, {**other.dials, **verdict.dials})
            )
            if beyond:
                lost = f"{lost}; it asks more range than was measured"
                score = round(score * 0.93, 3)
            found.append(Candidate(other.slug, score, kept, lost, cropped=bool(verdict.dials) or beyond))
        elif include_excluded:
            closed.append(Candidate(other.slug, score, kept, lost, True, " ".join(verdict.reasons)))
    found.sort(key=lambda one: (-one.likeness, one.exercise))
    closed.sort(key=lambda one: (-one.likeness, one.exercise))
    return found[:n] + closed


def alternatives_for_entry(
    exercise: Exercise,
    catalogue: Catalogue,
    tokens: frozenset[str],
    restrictions: Sequence[Restriction],
    trainee: Trainee | None = None,
) -> tuple[Alternative, ...]:
    """Two or three stand-ins for different cases: equipment taken, travelling, a sore joint.

    A stand-in for one case is not repeated for another. Fewer come back where nothing is like enough.
    """
    found: list[Alternative] = []
    taken = {exercise.slug}

    def add(case: str, options: Sequence[Candidate], floor: float = LIKE_ENOUGH) -> None:
        for one in options:
            other = catalogue.get(one.exercise)
            if one.exercise in taken or other.base == exercise.base:
                continue
            if one.likeness < floor or not one.kept.startswith("work for") or one.cropped:
                continue
            if trainee is not None and trainee.training_years < 0.5 and other.skill > max(2, exercise.skill):
                continue
            taken.add(one.exercise)
            found.append(Alternative(one.exercise, one.kept, one.lost, case))
            return

    own = next((option for option in exercise.equipment if option <= tokens), frozenset[str]())
    carriers = own - {"bench", "chair_bench", "wall", "none", "step", "box", "pad"}
    if carriers:
        word = in_words_of(carriers)
        case = f"if the {word} {'are' if word.endswith('s') and not word.endswith('ss') else 'is'} taken"
        add(case, alternatives(exercise.slug, catalogue, tokens - carriers, restrictions, trainee, n=12))
    else:
        add("for a change", alternatives(exercise.slug, catalogue, tokens, restrictions, trainee, n=12))
    if not own <= TRAVEL_TOKENS:
        add("travelling", alternatives(exercise.slug, catalogue, TRAVEL_TOKENS, restrictions, trainee, n=12))
    stress = joint_stress(exercise)
    if stress:
        joint = min(stress, key=lambda name: (-stress[name], name))
        if stress[joint] >= 2:
            sore = sore_joint(joint)
            open_ones = alternatives(exercise.slug, catalogue, tokens, (*restrictions, sore), trainee, n=12)
            gentler = [one for one in open_ones if spares(catalogue.get(one.exercise), joint, stress[joint])]
            add(f"if the {joint} {'are' if joint.endswith('s') else 'is'} sore", gentler)
    for _ in range(2 - len(found)):
        add("or", alternatives(exercise.slug, catalogue, tokens, restrictions, trainee, n=12), FLOOR)
    return tuple(found[:3])


def spares(other: Exercise, joint: str, stress: int) -> bool:
    """True when an exercise asks less of a joint than ``stress`` (0 to 3), and does not work it first of all."""
    led = any(use.joint == joint and use.role == "prime" for use in other.actions)
    return joint_stress(other).get(joint, 0) < stress and not led


def in_words_of(tokens: frozenset[str]) -> str:
    """Equipment as one says it: the piece that is most likely to be taken."""
    order = ("rack", "barbell", "cable", "hexbar", "landmine", "pullup_bar", "dumbbell", "kettlebell")
    best = min(tokens, key=lambda token: (order.index(token) if token in order else -1, token))
    return best.removeprefix("machine:").replace("_", " ").replace("pullup", "pull-up")
