"""What a variant asks of one person: moments, work, demand ratio and break angle, each with its spread.

Two ideas carry this module. One: what is unsure is drawn some hundred times (tables, lengths, dials, strength) and the
model runs once over all draws. Two: where the joint-strength table has no capacity (elbow, shoulder, trunk), the scale
is the share of body weight that the hands carry, and only a graded set says how much of it a person can carry.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import exp, hypot, log
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from setwright.body.capacity import Personal, has_table, joint_strength, usual
from setwright.body.lever import Model, Posture, Working, swing_share, turned_rad, work_of_rep, working_moment
from setwright.body.segments import TABLES, Body, Floats, Measured, Sex, TableName, body_of, guesses_of

Phase = Literal["raise", "lower", "hold"]
DRAWS = 400
BODY_COLUMNS = 18
MOST_DIALS = 30
CAPACITY_COLUMNS = 6
# How well one set tells the capacity (ln): what the model leaves out, and a repetition more or less in what was called.
MODEL_SD, GRADED_SD = 0.05, 0.06  # common practice, no published source
REACHED_SD_DEG = 5.0  # of the angle down to which a lowering was controlled, as a coach sees it: common practice
BREAKS_SELDOM = 0.10  # where fewer draws than this break, there is no break angle


@dataclass(frozen=True)
class Person:
    """Who the levers are reckoned for. Masses kg, lengths m, age in years; ``measured`` overrides the table."""

    mass_kg: float
    stature_m: float
    sex: Sex | None = None
    age_years: float = 30.0
    table: TableName = "de-leva"
    measured: Measured = field(default_factory=Measured)

    def body(self) -> Body:
        """The person by the chosen table, without spread."""
        return body_of(self.mass_kg, self.stature_m, self.sex, self.table, self.measured)


@dataclass(frozen=True)
class Known:
    """What graded sets said: strength over the table by joint action, and the greatest share of body weight by part.

    strength : joint action -> ``Personal``
    greatest_share : share name (``hands``) -> (ln of the greatest share of body weight, its spread), or missing
    """

    strength: Mapping[str, Personal] = field(default_factory=lambda: MappingProxyType({}))
    greatest_share: Mapping[str, tuple[float, float]] = field(default_factory=lambda: MappingProxyType({}))

    def of(self, motion: str) -> Personal:
        """What is known of one joint action."""
        return self.strength.get(motion) or usual(motion)


@dataclass(frozen=True)
class Range:
    """A modelled number with its spread: mean, and the values that one in ten lies below and above."""

    mean: float
    p10: float
    p90: float

    def as_json(self) -> dict[str, float]:
        """As plain values, rounded to four decimals."""
        return {"mean": round(self.mean, 4), "p10": round(self.p10, 4), "p90": round(self.p90, 4)}


@dataclass(frozen=True)
class CurvePoint:
    """One angle of the movement: moment of one limb and what it can hold there, N m."""

    angle_deg: float
    moment_nm: Range
    capacity_nm: Range | None
    possible: float = 1.0  # share of draws in which balance exists here


@dataclass(frozen=True)
class JointDemand:
    """One working joint over the movement."""

    motion: str
    limbs: int
    peak_moment_nm: Range
    peak_angle_deg: Range
    curve: tuple[CurvePoint, ...]
    demand_ratio: Range | None = None


@dataclass(frozen=True)
class Demand:
    """What a variant asks of a person. The joint with the largest demand ratio stands first.

    ``capacity_from``: ``table``, ``graded set`` or empty. ``break_angle_deg`` is None where the whole range is
    controlled or nothing is known; ``controlled``: chance that the whole way down is controlled.
    ``table_difference``: peak moment by each segment table, N m. ``swing``: share that the tempo adds by swinging.
    ``share_curve``: ``share`` at each angle of the movement.
    ``ratio_draws``: the drawn demand ratios behind ``demand_ratio``, for what is reckoned from it.
    """

    lead: str
    phase: Phase
    joints: tuple[JointDemand, ...]
    work_j: Range
    demand_ratio: Range | None
    break_angle_deg: Range | None
    controlled: float | None
    share: Range | None
    share_name: str
    capacity_from: str
    possible: float
    stops_at_deg: float | None
    why_not: str
    table_difference: Mapping[str, float]
    swing: float = 0.0
    ratio_draws: tuple[float, ...] = ()
    share_curve: tuple[Range, ...] = ()

    @property
    def share_decides(self) -> bool:
        """Whether the demand is the share of body weight over what a graded set gave, as no table has the joints."""
        return not any(has_table(one.motion) for one in self.joints)

    @property
    def joint(self) -> JointDemand:
        """The joint that decides."""
        return self.joints[0]


@lru_cache(maxsize=8)
def normal_draws(count: int, columns: int) -> Floats:
    """(count, columns) standard normal numbers, spread evenly over each column and always the same.

    The first row is zero: the person and the dials as they are stated.
    """
    from scipy.special import ndtri

    rng = np.random.default_rng(1996)
    levels = ndtri((np.arange(count - 1) + 0.5) / (count - 1))
    drawn = np.column_stack([rng.permutation(levels) for _ in range(columns)])
    found: Floats = np.vstack([np.zeros((1, columns)), drawn])
    found.setflags(write=False)
    return found


def assess(
    model: Model,
    given: Mapping[str, float | str],
    person: Person,
    known: Known | None = None,
    phase: Phase = "raise",
    draws: int = DRAWS,
) -> Demand:
    """What a variant asks of a person, with spread.

    given : dials set; the others stand as the model has them
    phase : which way the demand is reckoned: muscles are weaker shortening and stronger lengthening
    draws : how often what is unsure is drawn; with fewer than usual, as for orders and searches, the tables are not
        compared and the swing is not reckoned

    Raises ValueError or LookupError for a dial outside its limits or unknown.
    """
    known = known or Known()
    drawn = normal_draws(draws, BODY_COLUMNS + MOST_DIALS + CAPACITY_COLUMNS)
    body = guesses_of(
        person.mass_kg, person.stature_m, person.sex, person.table, person.measured, drawn[:, :BODY_COLUMNS]
    )
    setting = model.setting(given, draws, drawn[:, BODY_COLUMNS : BODY_COLUMNS + MOST_DIALS])
    posture = model.pose(body, setting)
    seconds = {"raise": setting["raise_s"], "lower": setting["lower_s"]}
    reached = _reached(posture, (draws, posture.lead_deg.size))
    capacity_draws = drawn[:, BODY_COLUMNS + MOST_DIALS :]
    joints: list[JointDemand] = []
    broken = np.full((draws, posture.lead_deg.size), False)
    worst: Floats | None = None
    for i, joint in enumerate(posture.working):
        moment = np.where(reached, working_moment(posture, joint), np.nan)
        capacity = _capacity(joint, body, person, known, phase, seconds, capacity_draws[:, i])
        lowering = _capacity(
            joint, body, person, known, "hold" if phase == "hold" else "lower", seconds, capacity_draws[:, i]
        )
        ratio = None if capacity is None else _largest(moment / capacity)
        if ratio is not None and lowering is not None:
            worst = ratio if worst is None else np.fmax(worst, ratio)
            broken |= np.nan_to_num(moment / lowering) > 1.0
        joints.append(_joint(joint, posture, moment, capacity, ratio))
    shares = {name: np.where(reached, value, np.nan) for name, value in posture.shares.items()}
    share_name = next(iter(shares), "")
    share = _largest(shares[share_name]) if share_name else None
    source = "" if worst is None else "table"
    if worst is not None and any(known.strength.get(joint.motion) for joint in posture.working):
        source = "graded set"
    if worst is None and share is not None and share_name in known.greatest_share:
        middle, sd = known.greatest_share[share_name]
        worst = share / np.exp(middle + sd * capacity_draws[:, -1])
        source = "graded set"
        joints = [_with_flat_capacity(one, worst) if i == 0 else one for i, one in enumerate(joints)]
    order = sorted(range(len(joints)), key=lambda i: (-_mean_ratio(joints[i]), i))
    breaks, controlled = None, None
    if any(has_table(one.motion) for one in joints) and float(np.ptp(posture.lead_deg)) > 0:
        breaks, controlled = _break_angle(posture, broken)
    stops = None
    if not bool(np.all(reached[0])):
        stops = float(posture.lead_deg[int(np.argmin(reached[0]))])
    return Demand(
        lead=posture.lead,
        phase=phase,
        joints=tuple(joints[i] for i in order),
        work_j=range_of(work_of_rep(posture)),
        demand_ratio=None if worst is None else range_of(worst),
        break_angle_deg=breaks,
        controlled=controlled,
        share=None if share is None else range_of(share),
        share_name=share_name,
        capacity_from=source,
        possible=float(np.mean(reached[:, -1])),
        stops_at_deg=stops,
        why_not=posture.why_not if stops is not None else "",
        table_difference=_by_table(model, given, person) if draws >= DRAWS else {},
        swing=_swing(model, given, person, phase) if draws >= DRAWS else 0.0,
        share_curve=() if not share_name else tuple(ranges_of(np.broadcast_to(shares[share_name], reached.shape))),
        ratio_draws=() if worst is None else tuple(float(one) for one in worst if np.isfinite(one)),
    )


def range_of(values: Floats) -> Range:
    """Mean and the two tenths of drawn values; draws that are not a number are left out."""
    good = values[np.isfinite(values)]
    if not good.size:
        return Range(float("nan"), float("nan"), float("nan"))
    return Range(float(np.mean(good)), float(np.quantile(good, 0.1)), float(np.quantile(good, 0.9)))


def _reached(posture: Posture, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Which angles are reached, (draws, angles): nothing beyond the first without balance."""
    found: NDArray[np.bool_] = np.logical_and.accumulate(
        np.broadcast_to(np.asarray(posture.possible, dtype=bool), shape), axis=1
    )
    return found


def ranges_of(values: Floats) -> list[Range]:
    """``range_of`` of each column, (draws, n) to n ranges."""
    good = np.isfinite(values)
    count = good.sum(axis=0)
    ordered = np.sort(np.where(good, values, np.inf), axis=0)  # what is not a number goes last

    def at(share: float) -> Floats:
        place = share * np.maximum(count - 1, 0)
        below = np.floor(place).astype(int)
        above = np.minimum(below + 1, np.maximum(count - 1, 0))
        columns = np.arange(values.shape[1])
        found: Floats = ordered[below, columns] + (place - below) * (ordered[above, columns] - ordered[below, columns])
        return found

    with np.errstate(invalid="ignore"):
        mean = np.where(good, values, 0.0).sum(axis=0) / np.maximum(count, 1)
        low, high = at(0.1), at(0.9)
    none = Range(float("nan"), float("nan"), float("nan"))
    return [Range(float(mean[i]), float(low[i]), float(high[i])) if count[i] else none for i in range(values.shape[1])]


def _largest(values: Floats) -> Floats:
    """Largest value over the movement, (draws,); not a number where nothing is reached."""
    found: Floats = np.fmax.reduce(values, axis=1)
    return found


def _capacity(
    joint: Working,
    body: Body,
    person: Person,
    known: Known,
    phase: Phase,
    seconds: Mapping[str, Floats],
    normal: Floats,
) -> Floats | None:
    """Greatest moment of one limb over the movement, (draws, angles), or None where no table has it."""
    if not has_table(joint.motion):
        return None
    strength = joint_strength(joint.motion, person.sex, person.age_years)
    span = turned_rad(joint)
    speed = 0.0
    if phase != "hold":
        speed = float(span / seconds[phase][0, 0]) * (1 if phase == "raise" else -1)
    own = known.of(joint.motion)
    return strength.moment_nm(body, joint.angle_deg, speed) * np.exp(own.mean + own.sd * normal[:, None])


def _joint(
    joint: Working, posture: Posture, moment: Floats, capacity: Floats | None, ratio: Floats | None
) -> JointDemand:
    full = np.broadcast_to(moment, (moment.shape[0], posture.lead_deg.size))
    peak = _largest(full)
    where = np.argmax(np.nan_to_num(full, nan=-np.inf), axis=1)
    angles = posture.lead_deg[where]
    held = ranges_of(full)
    can = [None] * posture.lead_deg.size if capacity is None else ranges_of(np.broadcast_to(capacity, full.shape))
    there = np.mean(np.isfinite(full), axis=0)
    curve = tuple(
        CurvePoint(float(angle), held[i], can[i], float(there[i])) for i, angle in enumerate(posture.lead_deg)
    )
    return JointDemand(
        joint.motion, joint.limbs, range_of(peak), range_of(angles), curve, None if ratio is None else range_of(ratio)
    )


def _with_flat_capacity(joint: JointDemand, ratio: Floats) -> JointDemand:
    """A joint whose capacity is known only from a graded set: the same over the whole movement."""
    share = range_of(ratio)
    peak = joint.peak_moment_nm.mean
    flat = Range(peak / share.mean, peak / share.p90, peak / share.p10)
    curve = tuple(CurvePoint(one.angle_deg, one.moment_nm, flat, one.possible) for one in joint.curve)
    return JointDemand(joint.motion, joint.limbs, joint.peak_moment_nm, joint.peak_angle_deg, curve, share)


def _mean_ratio(joint: JointDemand) -> float:
    found = -1.0 if joint.demand_ratio is None else joint.demand_ratio.mean
    return -1.0 if np.isnan(found) else found


def _break_angle(posture: Posture, broken: Floats) -> tuple[Range | None, float]:
    """(angle at which control is lost on the way down, chance that none is lost). Where it isn't, the end counts."""
    lost = broken.any(axis=1)
    first = np.where(lost, np.argmax(broken, axis=1), posture.lead_deg.size - 1)
    controlled = 1.0 - float(np.mean(lost))
    if controlled > 1.0 - BREAKS_SELDOM:
        return None, controlled
    return range_of(posture.lead_deg[first]), controlled


def _swing(model: Model, given: Mapping[str, float | str], person: Person, phase: Phase) -> float:
    """Share of the peak moment that starting and stopping adds at the tempo set; 0 for a hold."""
    if phase == "hold":
        return 0.0
    setting, body = model.setting(given), person.body()
    seconds = setting["raise_s" if phase == "raise" else "lower_s"]
    return swing_share(model.pose(body, setting), body, float(seconds[0, 0]))


def _by_table(model: Model, given: Mapping[str, float | str], person: Person) -> dict[str, float]:
    found: dict[str, float] = {}
    for table in TABLES:
        posture = model.pose(replace(person, table=table).body(), model.setting(given))
        moment = working_moment(posture, posture.working[0])
        reached = _reached(posture, moment.shape)
        found[table] = float(np.fmax.reduce(np.where(reached, moment, np.nan)[0]))
    return found


def learnt(
    known: Known,
    model: Model,
    given: Mapping[str, float | str],
    person: Person,
    *,
    share: float | None = None,
    reached_deg: float | None = None,
    phase: Phase = "raise",
) -> Known:
    """What is known after one graded set of any variant: either a share of the greatest, or the angle reached.

    share : demand of the set over the greatest possible, 0 to 1 (a set of 5 with none left: about 0.87)
    reached_deg : the last angle of a lowering that was still controlled

    Closed form: the capacity that makes the demand of the hardest point equal to ``share`` (or 1 at the angle).
    A set that asked nothing of these joints, or whose posture does not balance, tells nothing.
    """
    posture = model.pose(person.body(), model.setting(given))
    setting = model.setting(given)
    seconds = {"raise": setting["raise_s"], "lower": setting["lower_s"]}
    ratios: list[tuple[float, str]] = []
    of_angle: dict[str, float] = {}
    nothing = Known()
    zero = np.zeros(1)
    there = _reached(posture, (1, posture.lead_deg.size))[0]
    for joint in posture.working:
        capacity = _capacity(joint, person.body(), person, nothing, phase, seconds, zero)
        if capacity is None:
            continue
        ratio = np.broadcast_to(working_moment(posture, joint) / capacity, (1, posture.lead_deg.size))[0]
        ratio = np.where(there, ratio, np.nan)
        if reached_deg is not None:
            found = at_angle(posture.lead_deg, ratio, reached_deg)
            near = (at_angle(posture.lead_deg, ratio, reached_deg + off) for off in (-REACHED_SD_DEG, REACHED_SD_DEG))
            low, high = (log(max(one, 1e-6)) for one in near)
            of_angle[joint.motion] = abs(high - low) / 2.0
        else:
            found = float(np.fmax.reduce(ratio))
        if not np.isfinite(found) or not np.isfinite(of_angle.get(joint.motion, 0.0)):
            return known
        ratios.append((found, joint.motion))
    if ratios and (reached_deg is not None or share):
        hardest = max(ratios)
        if hardest[0] <= 0:
            return known
        target = 1.0 if reached_deg is not None else float(share or 1.0)
        # The hardest joint is what the set tells of. Another joint that the table, or what is known so far, calls too
        # weak for the set was strong enough all the same: at least that is learnt of it.
        told = {
            motion: known.of(motion).learnt(
                log(ratio / target), hypot(MODEL_SD, of_angle[motion]) if motion in of_angle else GRADED_SD
            )
            for ratio, motion in ratios
            if (ratio, motion) == hardest or ratio > target * exp(known.of(motion).mean)
        }
        return Known({**known.strength, **told}, known.greatest_share)
    name = next(iter(posture.shares), "")
    if not name or not share:
        return known
    carried = float(np.fmax.reduce(np.where(there, np.broadcast_to(posture.shares[name], (1, there.size))[0], np.nan)))
    if not carried > 0:
        return known
    most = log(carried / share)
    if name in known.greatest_share:
        old = Personal(*known.greatest_share[name]).learnt(most, GRADED_SD)
        return Known(known.strength, {**known.greatest_share, name: (old.mean, old.sd)})
    return Known(known.strength, {**known.greatest_share, name: (most, GRADED_SD)})


def at_angle(angles_deg: Floats, values: Floats, angle_deg: float) -> float:
    """A value of the movement at an angle, between its points; beyond its ends the value at the end."""
    order = np.argsort(angles_deg)
    return float(np.interp(angle_deg, angles_deg[order], values[order]))
