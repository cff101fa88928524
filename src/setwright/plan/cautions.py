"""The usual cautions, where they apply. They never diagnose; they name who to ask."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.exercise import Exercise
from setwright.people.trainee import Trainee
from setwright.plan.block import PlannedSet
from setwright.plan.gates import goes_through

STOP_RULE = (
    "Stop and get help for chest pain, fainting, sudden breathlessness, numbness or sudden weakness. "
    "Sharp or rising joint pain ends the exercise: tell your coach, and ask a licensed clinician."
)
NOT_ADVICE = "Training plan, not medical advice. A licensed clinician's word goes before anything on this sheet."
PREGNANCY_STOP = (
    "Pregnancy: stop for bleeding, fluid loss, contractions, chest pain, dizziness, headache, calf pain or swelling, "
    "or breathlessness at rest, and call the midwife or doctor."
)
SPOTTER = "Safety bars set or a spotter there before the first heavy set."


def block_cautions(trainee: Trainee) -> tuple[str, ...]:
    """Cautions that stand on every sheet of a block."""
    found = [NOT_ADVICE, STOP_RULE]
    if trainee.screening.pregnant:
        found.append(PREGNANCY_STOP)
    if trainee.restrictions:
        named = []
        for one in trainee.restrictions:
            side = "" if one.side == "both" else f"{one.side} "
            by = f" (set by {one.set_by})" if one.set_by else ""
            named.append(f"{side}{one.joint}{by}" + (f": {one.reason.rstrip('.')}" if one.reason else ""))
        found.append(f"Restrictions in force: {'; '.join(dict.fromkeys(named))}. Who set them lifts them.")
    return tuple(found)


def cautions_for(exercise: Exercise, trainee: Trainee, sets: Sequence[PlannedSet]) -> tuple[str, ...]:
    """Cautions of one entry: its own, those of heavy barbells, and joints that it stresses and a restriction names."""
    found = list(exercise.cautions)
    heavy = any(one.load_kg and one.kind == "work" and (one.rpe or 0) >= 8 for one in sets)
    barbell = any("barbell" in option for option in exercise.equipment)
    if heavy and barbell and exercise.pattern in ("squat", "push_horizontal", "push_incline"):
        found.append(SPOTTER)
    stress = joint_stress(exercise)
    for restriction in trainee.restrictions:
        if stress.get(restriction.joint, 0) >= 1 and restriction.level != "hard":
            found.append(goes_through(restriction.joint))
    return tuple(dict.fromkeys(found))
