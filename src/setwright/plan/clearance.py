"""Missing clearance is hard: what the pre-exercise screen asks of a block, from its first day to its last.

A clearance opens the whole block or none of it. One that ends before the block does would leave weeks that nobody
cleared: the screen then refuses and says how many weeks it covers; a joint that waits for clearance stays closed, and
the block says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from setwright.faults import NoPlan
from setwright.people.screening import Intensity, Screen, ends_on, is_cleared, screen, without_expired
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.block import Week
from setwright.plan.brief import Brief
from setwright.plan.gates import said_joint

LIGHT_RPE, MODERATE_RPE = 4.0, 6.0  # common practice, no published source
FEWEST_WEEKS = 4  # of a brief
REPAIRS = {
    "stop": "see a licensed clinician first; no training is planned until then",
    "clearance-first": "ask a licensed clinician for clearance and enter it; nothing is planned until then",
    "light-only": "ask a licensed clinician for clearance and enter it, or plan moderate work (rpe at most 6)",
}


def intensity_of(rpe: float) -> Intensity:
    """What the screen is asked: RPE to 4 light, to 6 moderate, above vigorous (common practice)."""
    return "light" if rpe <= LIGHT_RPE else "moderate" if rpe <= MODERATE_RPE else "vigorous"


def last_day(start: date, weeks: int) -> date:
    """The last day of a block."""
    return start + timedelta(days=7 * weeks - 1)


def for_whole_block(trainee: Trainee, start: date, weeks: int) -> Trainee:
    """The trainee as of a block: a restriction's clearance counts only if it holds from the first day to the last."""
    return without_expired(without_expired(trainee, start), last_day(start, weeks))


def hardest_rpe(weeks: Sequence[Week]) -> float:
    """The hardest effort on the sheets of a block, 0 where none is named; a load that the reserve rules out is 10."""
    found = [0.0]
    for week in weeks:
        for session in week.sessions:
            for part in session.parts:
                for entry in part.entries:
                    work = entry.working_sets
                    found += [one.rpe for one in work if one.rpe is not None]
                    found += [10.0 for one in work if one.rpe is None and one.chance is not None]
    return max(found)


def require_clearance(trainee: Trainee, brief: Brief, weeks: int | None = None, rpe: float = 0.0) -> tuple[str, ...]:
    """Refuses what the screen does not allow on any day of a block; gives the screen's cautions otherwise.

    weeks : how long the block is, the brief's where None; rpe : the hardest effort asked beyond the brief's
    Raises NoPlan when a clearance is missing or ends too early, or a red flag was answered (rules S01, S02, S05).
    """
    count = brief.weeks if weeks is None else weeks
    asked = max((*brief.rpe, *brief.rpe_by_week))
    intensity = intensity_of(max(asked, rpe))
    found = screen(trainee, intensity, brief.start)
    if not is_open(found, intensity):
        more = (f"The sheet asks for RPE {rpe:g}.",) if rpe > asked else ()
        raise NoPlan((*found.why, *more), REPAIRS[found.verdict])
    covered = weeks_covered(trainee, intensity, brief.start, count)
    if covered < count:
        raise ends_too_early(trainee, intensity, brief.start, count, covered)
    waiting = [one for one in trainee.restrictions if one.needs_clearance]
    told = [ending_words(one, brief.start, count) for one in waiting]
    return (*found.why, *(one for one in told if one))


def is_open(found: Screen, intensity: Intensity) -> bool:
    """True when a screen allows effort of this intensity."""
    return found.verdict == "go" or (found.verdict == "light-only" and intensity == "light")


def weeks_covered(trainee: Trainee, intensity: Intensity, start: date, weeks: int) -> int:
    """How many whole weeks from a start the screen allows, at most ``weeks``."""
    for week in range(1, weeks + 1):
        if not is_open(screen(trainee, intensity, last_day(start, week)), intensity):
            return week - 1
    return weeks


def ends_too_early(trainee: Trainee, intensity: Intensity, start: date, weeks: int, covered: int) -> NoPlan:
    """The refusal of a block that outlasts its clearance, with the two ways out."""
    clearance = trainee.screening.clearance
    found = screen(trainee, intensity, last_day(start, covered + 1))
    until = last_day(start, weeks).isoformat()
    repair = f"ask a licensed clinician for clearance until {until} and enter it"
    if covered >= FEWEST_WEEKS:
        repair += f", or plan {covered} weeks"
    if found.verdict == "light-only":
        repair += ", or plan moderate work (rpe at most 6)"
    if clearance is None:
        return NoPlan(found.why, repair)
    ends = ends_on(clearance)
    year = "" if clearance.expires_on is not None else " (without an end it counts for 12 months)"
    words = f"The clearance by {clearance.who} counts until {ends.isoformat()}{year}; the block runs until {until}."
    return NoPlan((words, *found.why), repair)


def ending_words(restriction: Restriction, start: date, weeks: int) -> str:
    """That a joint's clearance ends before a block does and counts for none of it; empty where it holds to the end."""
    clearance = restriction.clearance
    if clearance is None or is_cleared(clearance, last_day(start, weeks)) or clearance.given_on > start:
        return ""
    ends = ends_on(clearance).isoformat()
    when = (
        f"ended on {ends}, before this block"
        if not is_cleared(clearance, start)
        else f"ends on {ends}, before this block does"
    )
    joint = said_joint(restriction.joint)
    return (
        f"The {joint} restriction waits for clearance: the one given by {clearance.who} {when}. "
        f"Nothing loaded at the {joint} is planned. Ask the licensed clinician for a later date, or plan "
        "fewer weeks."
    )
