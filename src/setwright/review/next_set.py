"""The next set of an exercise, from the one just done: its load or repetitions, and one reason.

Pain comes first: after pain nothing is ever more, and at the stop level the exercise ends. Else what the set showed
(repetitions done and left) is held against what the next one asks; one call is only worth so much, so part of the
difference counts. The same answers fit in a small table that can travel with a session: ``next_set`` reads it itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from math import exp, log

from setwright.dose.implements import Buildable
from setwright.people.restriction_text import needs_a_clinician
from setwright.plan.block import PlannedSet
from setwright.review.finding import HELP
from setwright.review.pain import PainLimit, whom_to_see
from setwright.strength.estimates import LiftEstimate
from setwright.strength.logged import LoggedSet
from setwright.strength.parts_done import reps_by_part

LESS_AFTER_PAIN = 0.90  # of the load that hurt
MOST_RISE, MOST_FALL = 1.10, 0.90  # of the load planned (rule L04: a step is 2 to 10 %, ACSM 2009)
LEAST_DIFFERENCE = 1.0  # repetitions beyond what was planned, from which a load changes (rule L04: one to two)
CALL_SD = 1.0  # repetitions by which one call scatters near failure (common practice, no published source)
ROWS = 6  # repetitions to either side of what is planned that the table tells of
MOST_MORE_REPS = 2
SAME_KG = 1e-6
NOT_THE_MUSCLE = ("form", "balance", "grip", "breath")


@dataclass(frozen=True)
class NextSet:
    """What to do in the next set, with one reason. ``stop``: the exercise ends; load and repetitions are None then.

    ``load_kg`` as printed, ``reps`` (from, to), ``hold_s``: None where the set has none. ``pieces``: what to take.
    """

    load_kg: float | None
    reps: tuple[int, int] | None
    why: str
    stop: bool = False
    pieces: str = ""
    hold_s: float | None = None

    def as_json(self) -> dict[str, object]:
        """The published form."""
        return {**asdict(self), "reps": None if self.reps is None else list(self.reps)}


@dataclass(frozen=True)
class Row:
    """Where ``possible`` repetitions (done and left together) were in the set, to ``possible_to``: what is next."""

    possible: int
    possible_to: int
    next: NextSet


@dataclass(frozen=True)
class Table:
    """Every answer for one next set: ``rows`` by repetitions possible, ``less`` after pain, ``stay`` as planned.

    ``watch``, ``stop``: pain 0 to 10 from which there is less, and from which the exercise ends.
    """

    rows: tuple[Row, ...]
    stay: NextSet
    less: NextSet
    watch: int
    stop: int
    is_helped: bool = False

    def as_json(self) -> dict[str, object]:
        """The published form, small enough to travel with a session."""
        return {
            "rows": [{"possible": [one.possible, one.possible_to], **one.next.as_json()} for one in self.rows],
            "not_called": self.stay.as_json(),
            "pain": {"from": self.watch, "to": self.stop - 1, **self.less.as_json()},
            "stop_from_pain": self.stop,
        }


def next_set(done: LoggedSet, table: Table) -> NextSet:
    """What to do after a set, by the table of the next one.

    Red flags and pain at the stop level end the exercise, sharp or numb pain too. Less pain never brings more; a set
    that ended for form, balance, grip or breath neither, since it was not the muscle. Without a call nothing rises.
    """
    where = done.pain_where
    if needs_a_clinician(done.note, is_note=True) or done.pain_kind == "numb" or needs_a_clinician(where):
        return NextSet(None, None, HELP, stop=True)
    if done.pain_kind == "sharp" or (done.pain or 0) >= table.stop:
        level = "sharp pain" if done.pain_kind == "sharp" else f"pain {done.pain} of 10"
        rest = f"this exercise ends today, and all else that loads the place. See {whom_to_see(where)}; no diagnosis"
        return NextSet(None, None, f"{level}: {rest}", stop=True)
    free = by_effort(done, table)
    if (done.pain or 0) >= table.watch or done.ended_by == "pain":
        return lighter_of(free, table.less, table.is_helped)
    if done.pain or done.pain_kind is not None:
        return held_at(free, done, table, f"pain {done.pain or 'without a number'}: nothing goes up")
    if done.ended_by in NOT_THE_MUSCLE:
        return held_at(free, done, table, f"it ended for {done.ended_by}, not for the muscle: nothing goes up")
    return free


def by_effort(done: LoggedSet, table: Table) -> NextSet:
    """The answer by what the set showed, pain left out; of a set in parts its first part, as it was planned."""
    parts = reps_by_part(done)
    reps = int(parts[0]) if parts else done.reps
    if reps is None or not table.rows:
        return table.stay
    if done.rir is None and done.ended_by != "muscle":
        possible = possible_at_least(reps, table)
        if possible is None:
            return table.stay
    else:
        possible = round(reps + (0.0 if done.ended_by == "muscle" else done.rir or 0.0) + 1e-9)
    inside = max(table.rows[0].possible, min(table.rows[-1].possible_to, possible))
    return next(one.next for one in table.rows if one.possible <= inside <= one.possible_to)


def possible_at_least(reps: int, table: Table) -> int | None:
    """Repetitions of a set that nobody called, where they are fewer than the next one asks; None where not."""
    low = table.stay.reps[0] if table.stay.reps else 0
    return reps if reps < low else None


def asks_more(one: NextSet, other: NextSet, is_helped: bool) -> bool:
    """True where one answer asks more load (less help), or more repetitions at the same load, than another."""
    loads = [-kilograms(kg) if is_helped else kilograms(kg) for kg in (one.load_kg, other.load_kg)]
    if abs(loads[0] - loads[1]) > SAME_KG:
        return loads[0] > loads[1]
    return (one.reps or (0, 0))[1] > (other.reps or (0, 0))[1]


def kilograms(load_kg: float | None) -> float:
    """A load as a number; none is nothing."""
    return load_kg or 0.0


def held_at(free: NextSet, done: LoggedSet, table: Table, why: str) -> NextSet:
    """The answer, but no more than planned, nor than what was just done."""
    kept = table.stay if asks_more(free, table.stay, table.is_helped) else free
    if kept.load_kg is not None and done.load_kg is not None:
        same = NextSet(done.load_kg, kept.reps, f"{why}, nor over the load just done")
        if asks_more(kept, same, table.is_helped):
            return same
    if kept is free and free is not table.stay:
        return free
    return replace(kept, why=why)


def lighter_of(free: NextSet, less: NextSet, is_helped: bool) -> NextSet:
    """The easier of what the effort says and one step down, with the reason of the pain."""
    if not asks_more(less, free, is_helped):
        return less
    fewer = less.reps if free.reps is None or less.reps is None or less.reps[1] < free.reps[1] else free.reps
    return replace(free, reps=fewer, why=less.why)


def next_table(
    planned: PlannedSet,
    loads: Sequence[Buildable],
    lift: LiftEstimate,
    limit: PainLimit,
    done_kg: float | None = None,
    worth: float | None = None,
) -> Table:
    """The answers for a planned set that comes next.

    loads : what the place can build for the exercise; limit : how much pain is allowed there
    done_kg : the load of the set before, where it was another than planned; an answer counts from it
    worth : ``worth_of_a_call`` of the lift, for whoever makes many tables of it
    """
    stay = as_planned(planned)
    less = one_less(planned, loads, done_kg)
    rows: list[Row] = []
    if planned.reps is not None:
        asked = sum(planned.reps) / 2.0 + (planned.rir if planned.rir is not None else 2.0)
        first, last = max(0, round(asked) - ROWS), round(asked) + ROWS
        worth = worth_of_a_call(lift) if worth is None else worth
        for possible in range(first, last + 1):
            made = answer(possible, asked, planned, loads, lift, worth, done_kg, stay)
            if rows and rows[-1].next == made:
                rows[-1] = Row(rows[-1].possible, possible, made)
            else:
                rows.append(Row(possible, possible, made))
    helped = planned.load_means == "assistance"
    return Table(tuple(rows), stay, less, limit.watch, limit.stop, helped)


def as_planned(planned: PlannedSet) -> NextSet:
    """The planned set as it stands."""
    return NextSet(planned.load_kg, planned.reps, "as planned", pieces=planned.pieces, hold_s=planned.hold_s)


def worth_of_a_call(lift: LiftEstimate) -> float:
    """The share of a difference that one call is worth: what is not known of the day, over that and the call itself."""
    belief = lift.posterior
    whole = belief.one_rm()
    day = (whole.sd / max(whole.mean, 1e-9)) ** 2 + belief.usual_day_noise() ** 2
    return day / (day + (belief.k().mean * CALL_SD) ** 2)


def answer(
    possible: int,
    asked: float,
    planned: PlannedSet,
    loads: Sequence[Buildable],
    lift: LiftEstimate,
    worth: float,
    done_kg: float | None,
    stay: NextSet,
) -> NextSet:
    """The next set after one in which so many repetitions were possible.

    asked : what the next one asks, left in; worth : the share of a difference that one call is worth
    """
    k = lift.posterior.k().mean
    low, high = planned.reps or (1, 1)
    off = possible - asked
    if planned.load_kg is None or planned.load_means == "assistance" or planned.inside:
        return by_reps(off, planned, loads, stay)
    own, was = lift.body_part_kg, planned.load_kg if done_kg is None else done_kg
    if planned.load_kg + own <= 0 or was + own <= 0:
        return by_reps(off, planned, loads, stay)
    shown = log((was + own) / (planned.load_kg + own)) / k + off  # repetitions beyond plan at the planned load
    wanted = (planned.load_kg + own) * exp(k * worth * shown) - own
    by_hand = [one.load_kg for one in loads if one.means == planned.load_means]
    if shown >= LEAST_DIFFERENCE:
        most = min(wanted, MOST_RISE * planned.load_kg)
        best = max((kg for kg in by_hand if planned.load_kg + SAME_KG < kg <= most + SAME_KG), default=None)
        if best is not None:
            return made(best, planned.reps, f"{shown:.0f} more left in you than planned: more load", loads, planned)
        more = min(MOST_MORE_REPS, int(worth * shown))
        if more:
            why = "more left in you than planned, and the next load is too far: more repetitions"
            return made(planned.load_kg, (low + more, high + more), why, loads, planned)
        return stay
    if shown <= -LEAST_DIFFERENCE:
        least = max(wanted, MOST_FALL * planned.load_kg)
        lighter = [kg for kg in by_hand if kg < planned.load_kg - SAME_KG]
        best = min((kg for kg in lighter if kg >= least - SAME_KG), default=max(lighter, default=None))
        if best is not None:
            return made(best, planned.reps, f"{-shown:.0f} fewer left in you than planned: less load", loads, planned)
        fewer = (max(1, low - 1), max(1, high - 1))
        return made(
            planned.load_kg, fewer, "fewer left in you than planned, and there is no lighter load", loads, planned
        )
    return stay


def by_reps(off: float, planned: PlannedSet, loads: Sequence[Buildable], stay: NextSet) -> NextSet:
    """More or fewer repetitions, or a step of help, where the load is the body or help."""
    low, high = planned.reps or (1, 1)
    if planned.load_means == "assistance" and planned.load_kg is not None and abs(off) >= LEAST_DIFFERENCE:
        steps = [one.load_kg for one in loads if one.means == "assistance"]
        side = [kg for kg in steps if (kg < planned.load_kg - SAME_KG if off > 0 else kg > planned.load_kg + SAME_KG)]
        if side:
            kg = max(side) if off > 0 else min(side)
            why = "more left in you than planned: less help" if off > 0 else "fewer left in you than planned: more help"
            return made(kg, planned.reps, why, loads, planned)
    if off >= LEAST_DIFFERENCE:
        more = min(MOST_MORE_REPS, int(off))
        return made(planned.load_kg, (low + more, high + more), "more left in you than planned", loads, planned)
    if off <= -LEAST_DIFFERENCE:
        less = min(int(-off), max(0, low - 1))
        reps = (max(1, low - less), max(1, high - less))
        return made(planned.load_kg, reps, "fewer left in you than planned: fewer repetitions", loads, planned)
    return stay


def made(
    load_kg: float | None, reps: tuple[int, int] | None, why: str, loads: Sequence[Buildable], planned: PlannedSet
) -> NextSet:
    """An answer with what to take for its load."""
    pieces = next((one.pieces for one in loads if load_kg is not None and abs(one.load_kg - load_kg) < SAME_KG), "")
    return NextSet(load_kg, reps, why, pieces=pieces or planned.pieces, hold_s=planned.hold_s)


def one_less(planned: PlannedSet, loads: Sequence[Buildable], done_kg: float | None) -> NextSet:
    """Less after pain: a load lighter by a tenth or more (a step more help), else fewer reps, a shorter hold.

    By a tenth: nobody feels one small plate less of a heavy bar (common practice, no published source). Where every
    lighter load is nearer than that, the lightest.
    """
    why = "it hurt: less, and stop where it rises; a licensed physiotherapist or doctor if it stays"
    helped = planned.load_means == "assistance"
    if planned.load_kg is not None:
        base = planned.load_kg
        if done_kg is not None:
            base = max(base, done_kg) if helped else min(base, done_kg)
        there = [one.load_kg for one in loads if one.means == planned.load_means]
        side = [kg for kg in there if (kg > base + SAME_KG if helped else kg < base - SAME_KG)]
        if side:
            well_under = [kg for kg in side if kg <= LESS_AFTER_PAIN * base + SAME_KG]
            best = min(side) if helped else max(well_under, default=min(side))
            return made(best, planned.reps, why, loads, planned)
    reps = None if planned.reps is None else (max(1, planned.reps[0] - 2), max(1, planned.reps[1] - 2))
    hold = None if planned.hold_s is None else round(0.75 * planned.hold_s)
    load = planned.load_kg
    if load is not None and done_kg is not None:
        load = max(load, done_kg) if helped else min(load, done_kg)
    return NextSet(load, reps, why, pieces=planned.pieces, hold_s=hold)
