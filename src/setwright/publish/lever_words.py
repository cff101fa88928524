"""How hard a lever is for a person, in a coach's words and as a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.body.capacity import has_table
from setwright.body.demand import CurvePoint, Demand, JointDemand, Person, Range
from setwright.catalogue.exercise import Exercise

ROWS = 10  # of the table for people; the JSON has every angle
LEAST_NM = 2.0  # a joint that holds less is not worth a line
LEAST_TOLD_NM = 10.0  # of a smaller moment a difference in per cent tells nothing
SWINGS = 0.10  # share of the peak from which the tempo is worth a word
CAUTION = "The moment is not the load on muscle, tendon, joint or disc. Pain or an injury: ask a licensed clinician."
HOW = {"raise": "on the way up", "lower": "on the way down", "hold": "held still"}
HEAVY_BMI = 30.0  # kg/m2; the table grows with body mass, and people of much more were not in it
HEAVY = (
    "The table takes a heavier body to be as much stronger, which a heavy build seldom is: expect it to be harder than "
    "told, begin with more support, and trust a graded set."
)
HEADS = ("angle", "must hold, N m", "can hold, N m", "share")
STEPS = ("sled push", "sled drag")  # models whose range is one step: nothing goes up or down
ELSEWHERE = 0.5  # share of the leading joint's moment from which a joint without a table is named
LONGEST_S = 600.0  # a longer hold is not told


@dataclass(frozen=True)
class LeverWords:
    """Lines for people: what it asks, the table, and what to keep in mind."""

    title: str
    lines: tuple[str, ...]
    table: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def joint_name(motion: str) -> str:
    """``knee-flexion`` as ``knee flexion``."""
    return motion.replace("-", " ")


def between(one: Range, digits: int = 0, times: float = 1.0, unit: str = "") -> str:
    """A number with what one in ten lies below and above: ``397 N m (373 to 422)``.

    >>> between(Range(397.2, 373.0, 422.0), unit=" N m")
    '397 N m (373 to 422)'
    >>> between(Range(118.0, 120.0, 120.0)), between(Range(0.0, -0.2, 0.1))
    ('120', '0')
    """
    inside = min(max(one.mean, one.p10), one.p90)  # a lopsided spread can leave its own mean outside
    mean, low, high = (f"{round(value * times, digits) + 0.0:.{digits}f}" for value in (inside, one.p10, one.p90))
    return f"{mean}{unit}" if low == high == mean else f"{mean}{unit} ({low} to {high})"


def who_words(person: Person, name: str) -> str:
    """The person in one line."""
    sex = {"female": "woman", "male": "man"}.get(person.sex or "", "sex not stated: the middle of both tables")
    said = f"{round(person.mass_kg, 1):g} kg, {round(person.stature_m * 100):g} cm, {sex}, {person.age_years:g} years"
    return f"{name}: {said}" if name else said


def whose(motion: str, limbs: int) -> str:
    """Whose moment it is, behind a comma; nothing for the one trunk.

    >>> whose("knee-flexion", 2), whose("trunk-flexion", 1)
    (', both sides together', '')
    """
    if motion.startswith(("trunk", "neck")):
        return ""
    return ", both sides together" if limbs == 2 else ", one side"


def lever_words(
    exercise: Exercise,
    person: Person,
    name: str,
    demand: Demand,
    set_to: Mapping[str, float | str],
    said: Sequence[str],
    hold_s: Range | None = None,
) -> LeverWords:
    """What a coach reads. ``set_to``: dials that differ from the model's usual ones; ``hold_s``: how long it holds.

    said : what the model and the guidelines have to say, a sentence each
    """
    lead = demand.joint
    lines = [who_words(person, name)]
    if set_to:
        lines.append(
            "Set: "
            + ", ".join(
                f"{key} {value:g}" if isinstance(value, float | int) else f"{key} {value}"
                for key, value in set_to.items()
            )
        )
    steps = exercise.lever is not None and exercise.lever.model in STEPS
    lines += verdict(demand, steps)
    if demand.capacity_from == "table" and person.mass_kg > HEAVY_BMI * person.stature_m**2:
        lines.append(HEAVY)
    if never_starts(demand):
        return LeverWords(
            f"{exercise.name} as a lever", tuple(lines), (HEADS,), tuple(one for one in (*said, CAUTION) if one)
        )
    lines.append(
        f"Hardest at {between(lead.peak_angle_deg)}° of {joint_name(demand.lead)}: {joint_name(lead.motion)} must hold "
        f"{between(lead.peak_moment_nm, times=lead.limbs, unit=' N m')}{whose(lead.motion, lead.limbs)}."
    )
    for other in demand.joints[1:]:
        if other.peak_moment_nm.mean > LEAST_NM:  # what is not a number is none either
            most = between(other.peak_moment_nm, times=other.limbs, unit=" N m")
            share = f", {share_words(other.demand_ratio)}" if other.demand_ratio else ""
            lines.append(f"Also {joint_name(other.motion)}: at most {most}{share}.")
    if demand.share is not None:
        start = demand.share_curve[0].mean if demand.share_curve else demand.share.mean
        at_start = f", {100 * start:.0f} % at the start" if abs(start - demand.share.mean) > 0.05 else ""
        most = between(demand.share, times=100)
        part = "foot" if demand.share_name == "feet" and lead.limbs == 1 else demand.share_name
        lines.append(f"Carried by the {part}: at most {most} % of body weight{at_start}.")
    if hold_s is not None:
        held = between(hold_s, unit=" s") + (" or more" if hold_s.p90 >= LONGEST_S else "")
        lines.append(
            f"Held to the end: {held}, by the usual endurance of {joint_name(lead.motion)}; "
            "grip, breath or another joint may end it sooner."
        )
    if demand.work_j.mean > 0.5 and demand.phase != "hold":
        lines.append(f"Work of {'the whole way' if steps else 'one repetition'}: {between(demand.work_j, unit=' J')}.")
    return LeverWords(f"{exercise.name} as a lever", tuple(lines), table(lead), tuple(notes(demand, said)))


def share_words(ratio: Range) -> str:
    """A demand ratio as a share of what the joint can hold."""
    return f"{between(above_nothing(ratio), times=100)} % of what can be held"


def above_nothing(one: Range) -> Range:
    """A share that is never less than nothing: below it other muscles work."""
    return Range(max(one.mean, 0.0), max(one.p10, 0.0), max(one.p90, 0.0))


def verdict(demand: Demand, steps: bool = False) -> list[str]:
    """How hard it is, and how far down it is controlled. ``steps``: the movement is a step, not a way up and down."""
    found = []
    if demand.stops_at_deg is not None:
        found.append(f"{demand.why_not} (From {demand.stops_at_deg:.0f}° of {joint_name(demand.lead)} on.)")
        if never_starts(demand):
            return found
    ratio = demand.demand_ratio
    if ratio is None:
        found.append("How hard that is for this person is not known: no table says what this joint can hold.")
        found[-1] += (
            " A hold to the end, logged with its seconds, tells it: setwright estimate."
            if demand.phase == "hold"
            else " One graded set makes it known: --reps 8 --rir 2."
        )
        return found
    lead = demand.joint
    motion = joint_name(lead.motion)
    if ratio.p90 <= 0.0:
        found.append(f"As it is set, {motion} has next to nothing to hold: the help or the position carries it all.")
        return found
    how = "at the hardest point of a step" if steps else HOW[demand.phase]
    one = {"hold": "the hold"}.get(demand.phase, "a step" if steps else "one whole repetition")
    hard = f"How hard for you, {how}: {between(above_nothing(ratio), times=100)} % of what {motion} can do"
    if ratio.p10 > 1.0:
        hard += f"; {one} asks for more than there is"
    elif ratio.p90 < 1.0:
        hard += "; within reach"
    else:
        hard += "; it may or may not be within reach"
    found.append(hard + ".")
    unknown = without_table(demand)
    if unknown:
        found.append(f"That is {motion} alone: what {' and '.join(unknown)} can hold stands in no table.")
    if demand.phase == "hold" or steps or demand.controlled is None:
        return found
    way = "the whole way down" if demand.stops_at_deg is None else "the way down to there"
    if unknown:
        way = f"as far as {motion} goes, {way}"
    chance = f"chance {demand.controlled * 100:.0f} %"
    if demand.break_angle_deg is None:
        found.append(f"{way[0].upper()}{way[1:]} is controlled ({chance}).")
        return found
    where = f"near {between(demand.break_angle_deg)}° of {joint_name(demand.lead)}"
    if demand.controlled >= 0.5:
        found.append(f"{way[0].upper()}{way[1:]} is likely controlled ({chance}); where not, control is lost {where}.")
    else:
        often = (
            f" {way[0].upper()}{way[1:]} is controlled with a chance of {demand.controlled * 100:.0f} %."
            if demand.controlled >= 0.05
            else ""
        )
        found.append(f"On the way down control is lost {where}.{often}")
    return found


def never_starts(demand: Demand) -> bool:
    """Whether not even the first angle can be taken: there is nothing to tell but why."""
    return demand.stops_at_deg is not None and demand.stops_at_deg == demand.joint.curve[0].angle_deg


def without_table(demand: Demand) -> list[str]:
    """Joints that must hold much and of which no table says what they can, beside a leading joint that has one."""
    lead = demand.joint
    if demand.capacity_from != "table":
        return []
    least = ELSEWHERE * lead.limbs * lead.peak_moment_nm.mean
    others = [one for one in demand.joints[1:] if not has_table(one.motion)]
    return [joint_name(one.motion) for one in others if one.limbs * one.peak_moment_nm.mean > least]


def table(joint: JointDemand) -> tuple[tuple[str, ...], ...]:
    """Angle, moment and capacity in some ten rows, first row the heads."""
    span = abs(joint.curve[-1].angle_deg - joint.curve[0].angle_deg)
    rows = min(ROWS, int(span))  # no degree twice
    step = max(1, (len(joint.curve) - 1) // rows) if rows > 1 else len(joint.curve)  # one row of a hold
    points = [point for i, point in enumerate(joint.curve) if i % step == 0 or (i == len(joint.curve) - 1 and step < i)]
    return (HEADS, *(row(point, joint.limbs) for point in points))


def row(point: CurvePoint, limbs: int) -> tuple[str, ...]:
    """One row of the table."""
    if point.possible < 0.5 or point.moment_nm.mean != point.moment_nm.mean:
        return (f"{point.angle_deg:.0f}°", "no balance", "", "")
    can = "" if point.capacity_nm is None else between(point.capacity_nm, times=limbs)
    share = ""
    if point.capacity_nm is not None and point.capacity_nm.mean > 0 and point.moment_nm.mean >= 0:
        share = f"{100 * point.moment_nm.mean / point.capacity_nm.mean:.0f} %"
    return (f"{point.angle_deg:.0f}°", between(point.moment_nm, times=limbs), can, share)


def notes(demand: Demand, said: Sequence[str]) -> list[str]:
    """Where the numbers come from, and what they don't say."""
    found = []
    if demand.capacity_from == "table":
        found.append(
            "What can be held comes from a published table for sex and age; one graded set, or the angle down to which "
            "a lowering is controlled, makes it this person's own (--reps, --reached)."
        )
    elif demand.capacity_from:
        found.append("What can be held comes from a graded set of this person.")
    if demand.capacity_from and demand.phase != "hold" and not demand.share_decides:
        found.append("The table is for holding still at each angle; while moving up a joint can do less, down more.")
    if demand.share_decides and demand.phase != "hold" and demand.share is not None:
        found.append("Compare variants by the share of body weight: the moment of one joint leaves out the others.")
    if any(point.moment_nm.mean < -LEAST_NM for point in demand.joint.curve):
        found.append("Below zero the muscles on the other side of the joint work.")
    one, other = demand.table_difference.values()
    if one == one and other == other and abs(one) > LEAST_TOLD_NM:
        found.append(
            f"Two published body tables differ by {100 * abs(other / one - 1):.0f} % here; the spread holds that."
        )
    if demand.swing > SWINGS:
        found.append(
            f"At this tempo starting and stopping adds up to {demand.swing * 100:.0f} % that is not in the table."
        )
    found += [one for one in said if one]
    found.append(CAUTION)
    return found
