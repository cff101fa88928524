"""How hard a lever is for a person, in a coach's words and as a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.body.demand import CurvePoint, Demand, JointDemand, Person, Range
from setwright.catalogue.exercise import Exercise

ROWS = 10  # of the table for people; the JSON has every angle
LEAST_NM = 2.0  # a joint that holds less is not worth a line
SWINGS = 0.10  # share of the peak from which the tempo is worth a word
CAUTION = "The moment is not the load on muscle, tendon, joint or disc. Pain or an injury: ask a licensed clinician."
HOW = {"raise": "on the way up", "lower": "on the way down", "hold": "held still"}


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
    """
    mean, low, high = (f"{value * times:.{digits}f}" for value in (one.mean, one.p10, one.p90))
    return f"{mean}{unit}" if low == high == mean else f"{mean}{unit} ({low} to {high})"


def who_words(person: Person, name: str) -> str:
    """The person in one line."""
    sex = {"female": "woman", "male": "man"}.get(person.sex or "", "sex not stated: the middle of both tables")
    said = f"{person.mass_kg:g} kg, {person.stature_m * 100:g} cm, {sex}, {person.age_years:g} years"
    return f"{name}: {said}" if name else said


def both(limbs: int) -> str:
    """Whose moment it is."""
    return "both sides together" if limbs == 2 else "one side"


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
    lines += verdict(demand)
    lines.append(
        f"Hardest at {between(lead.peak_angle_deg)}° of {joint_name(demand.lead)}: {joint_name(lead.motion)} must hold "
        f"{between(lead.peak_moment_nm, times=lead.limbs, unit=' N m')}, {both(lead.limbs)}."
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
        lines.append(f"Carried by the {demand.share_name}: at most {most} % of body weight{at_start}.")
    if hold_s is not None:
        lines.append(f"Held to the end: {between(hold_s, unit=' s')}, by the usual endurance of that joint.")
    if demand.work_j.mean > 0.5 and demand.phase != "hold":
        lines.append(f"Work of one repetition: {between(demand.work_j, unit=' J')}.")
    return LeverWords(f"{exercise.name} as a lever", tuple(lines), table(lead), tuple(notes(demand, said)))


def share_words(ratio: Range) -> str:
    """A demand ratio as a share of what the joint can hold."""
    return f"{between(ratio, times=100)} % of what can be held"


def verdict(demand: Demand) -> list[str]:
    """How hard it is, and how far down it is controlled."""
    found = []
    if demand.stops_at_deg is not None:
        found.append(f"{demand.why_not} (From {demand.stops_at_deg:.0f}° of {joint_name(demand.lead)} on.)")
    ratio = demand.demand_ratio
    if ratio is None:
        found.append(
            "How hard that is for this person is not known: no table says what this joint can hold. "
            "One graded set makes it known: --reps 8 --rir 2."
        )
        return found
    lead = demand.joint
    hard = (
        f"How hard for you, {HOW[demand.phase]}: {between(ratio, times=100)} % of what {joint_name(lead.motion)} can do"
    )
    if ratio.p10 > 1.0:
        hard += "; more than one whole repetition asks for"
    elif ratio.p90 < 1.0:
        hard += "; within reach"
    else:
        hard += "; it may or may not be within reach"
    found.append(hard + ".")
    if demand.phase == "hold":
        return found
    if demand.break_angle_deg is not None:
        often = (
            ""
            if demand.controlled is None or demand.controlled < 0.05
            else (f" The whole way is controlled with a chance of {demand.controlled * 100:.0f} %.")
        )
        where = f"{between(demand.break_angle_deg)}° of {joint_name(demand.lead)}"
        found.append(f"On the way down control is lost near {where}.{often}")
    elif demand.controlled is not None:
        found.append(f"The whole way down is controlled (chance {demand.controlled * 100:.0f} %).")
    return found


def table(joint: JointDemand) -> tuple[tuple[str, ...], ...]:
    """Angle, moment and capacity in some ten rows, first row the heads."""
    step = max(1, (len(joint.curve) - 1) // ROWS)
    if joint.curve[0].angle_deg == joint.curve[-1].angle_deg:
        step = len(joint.curve)  # a hold
    points = [point for i, point in enumerate(joint.curve) if i % step == 0 or (i == len(joint.curve) - 1 and step < i)]
    heads = ("angle", "must hold, N m", "can hold, N m", "share")
    return (heads, *(row(point, joint.limbs) for point in points))


def row(point: CurvePoint, limbs: int) -> tuple[str, ...]:
    """One row of the table."""
    if point.moment_nm.mean != point.moment_nm.mean:
        return (f"{point.angle_deg:.0f}°", "no balance", "", "")
    can = "" if point.capacity_nm is None else between(point.capacity_nm, times=limbs)
    share = ""
    if point.capacity_nm is not None and point.capacity_nm.mean > 0:
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
    one, other = demand.table_difference.values()
    if one == one and other == other and abs(one) > 1.0:
        found.append(
            f"Two published body tables differ by {100 * abs(other / one - 1):.0f} % here; the spread holds that."
        )
    if demand.swing > SWINGS:
        found.append(
            f"At this tempo starting and stopping adds up to {demand.swing * 100:.0f} % that is not in the table."
        )
    found += [one for one in said if one]
    found.append(
        "The moment is not the load on muscle, tendon, joint or disc. Pain or an injury: ask a licensed clinician."
    )
    return found
