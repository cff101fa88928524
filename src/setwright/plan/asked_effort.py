"""The effort that the lifts of a week ask, as they stand in the block: a coach's lines may ask other than the week."""

from __future__ import annotations

from setwright.plan.block import Block, Week


def asked_effort(block: Block, week: Week) -> tuple[float, float] | None:
    """The least and the most RPE that the first working sets of a week ask: of the main lifts, else of all lifts.

    In a designed block the effort of the week itself where any of them asks it; None where none asks an effort.
    """
    for wanted in (("main",), ("skill", "assistance", "finisher")):
        entries = [e for one in week.sessions for part in one.parts if part.part in wanted for e in part.entries]
        asked = {one.working_sets[0].rpe for one in entries if one.working_sets} - {None}
        if week.rpe in asked and block.door == "design":
            return week.rpe, week.rpe
        found = sorted(one for one in asked if one is not None)
        if found:
            return found[0], found[-1]
    return None
