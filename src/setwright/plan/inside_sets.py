"""Doses of sets with parts inside: what the whole asks as a plain set, and the loads and repetitions of later parts.

A load is chosen for all parts whose repetitions are said. Where the later ones take what is left, it is chosen for the
first alone, and the sheet says how many are likely. Loads after a drop, and of back-off sets, are the heaviest the
place has that are not over the wanted share.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import floor

import numpy as np

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import Buildable, loads_in
from setwright.dose.prescribe import Dose
from setwright.people.place import Place
from setwright.plan.block import PlannedSet
from setwright.plan.stretch import Stretch
from setwright.plan.template import Scheme
from setwright.strength.calling import call_for, usual_bias
from setwright.strength.compound import Body, Piece, PlainSet
from setwright.strength.estimates import LiftEstimate
from setwright.strength.holds import HoldBelief, curve_of
from setwright.strength.population import population
from setwright.strength.short_rests import Bout, bouts_as_plain, reps_left, share_for_bouts
from setwright.strength.tempo import slowness
from setwright.strength.tiring import left_after

USUAL_RESERVE = 1.0  # left in a part that takes what is left, where nobody wrote an effort (common practice)
MOST_LEFT = 5.0  # a back-off set is planned with no more left than this: it is easy, and nobody can call more
DOUBT_OF_LEFT = 0.2
NO_DROP = "The place has no lighter load for the drop: it is left out."
SAME_LOAD = "The place has no lighter load: the back-off sets keep it."


def slow_of(exercise: Exercise, scheme: Scheme) -> float:
    """How many times slower than usual a repetition is; lowering sets keep their count (see ``compose.asked_of``)."""
    return 1.0 if scheme.basic == "lowering" else slowness(scheme.tempo, exercise.rep_s)


def stretches(scheme: Scheme) -> list[Stretch]:
    """All stretches of a set, the first among them; the hold that a set begins with is one of its own."""
    found = []
    if scheme.hold_s and scheme.reps:
        found.append(Stretch(hold_s=scheme.hold_s))
    found.append(Stretch(reps=scheme.reps, hold_s=None if scheme.reps else scheme.hold_s))
    if scheme.hold_after_s:
        found.append(Stretch(hold_s=scheme.hold_after_s))
    return [*found, *scheme.inside]


def piece_of(one: Stretch, at: float, slow: float) -> Piece:
    """A stretch as a piece of the strength model; ``at`` 0 for the low end of its repetitions, 1 for the high one."""
    if one.hold_s:
        return Piece(seconds=one.hold_s)
    low, high = one.reps or (0, 0)
    return Piece(reps=low + at * (high - low), slow=slow)


def said_bouts(exercise: Exercise, scheme: Scheme, at: float) -> list[Bout]:
    """The stretches up to the first that takes what is left."""
    slow, found = slow_of(exercise, scheme), []
    for one in stretches(scheme):
        if one.left:
            break
        found.append(Bout(piece_of(one, at, slow), one.rest_s, one.load_share))
    return found


def plain_ends(exercise: Exercise, scheme: Scheme, rir: float, body: Body) -> tuple[PlainSet, PlainSet]:
    """The plain sets that ask as much as a set at the low and at the high end of its repetitions."""
    low, high = (bouts_as_plain(said_bouts(exercise, scheme, at), rir, body) for at in (0.0, 1.0))
    return low, high


def lighter_option(options: Sequence[Buildable], most_kg: float, under_kg: float) -> Buildable | None:
    """The heaviest load of at most ``most_kg`` that is lighter than ``under_kg``, or None."""
    fitting = [one for one in options if one.load_kg <= most_kg + 1e-9 and one.load_kg < under_kg - 1e-9]
    return max(fitting, key=lambda one: one.load_kg) if fitting else None


def dosed_inside(
    work: PlannedSet, exercise: Exercise, scheme: Scheme, place: Place, estimate: LiftEstimate, endurance: HoldBelief
) -> PlannedSet:
    """The set with the loads and the likely repetitions of its later parts; a drop that can't be built is left out.

    What is left is told for a set that goes as planned, whatever the load turns out to be.
    """
    if work.load_kg is None:
        return replace(work, inside=tuple(one for one in scheme.inside if one.load_share == 1.0))
    options = loads_in(place, exercise, work.pieces)
    own, slow = estimate.body_part_kg, slow_of(exercise, scheme)
    body = Body(estimate.posterior.k().mean, curve_of(exercise), endurance)
    called, first = USUAL_RESERVE if work.rir is None else work.rir, sum(work.reps or (8, 8)) / 2.0
    reserve = called + own_bias(estimate) * float(usual_bias(called, first))
    whole = replace(scheme, reps=work.reps or scheme.reps)
    share = share_for_bouts(said_bouts(exercise, whole, 0.5), reserve, body)
    done = said_bouts(exercise, replace(whole, inside=()), 0.5)
    made: list[Stretch] = []
    load, note = work.load_kg, ""
    for one in scheme.inside:
        option = None
        if one.load_share < 1.0:
            option = lighter_option(options, one.load_share * work.load_kg, load)
            if option is None and not (made and made[-1].load_share == one.load_share):
                note = NO_DROP
                break
            load = load if option is None else option.load_kg
        factor = (load + own) / (work.load_kg + own)
        reps = one.reps
        if one.left:
            likely = reps_left([*done, Bout(Piece(slow=slow), one.rest_s, factor)], reserve, share, body)
            reps = about(likely)
        dosed = replace(one, reps=reps)
        if option is not None or load != work.load_kg:
            built = option or next(each for each in options if each.load_kg == load)
            dosed = replace(dosed, load_kg=built.load_kg, pieces=built.pieces)
        made.append(dosed)
        done.append(Bout(piece_of(dosed, 0.5, slow), one.rest_s, factor))
    return replace(work, inside=tuple(made), note=f"{work.note} {note}".strip())


def own_bias(estimate: LiftEstimate) -> float:
    """How many times the usual bias of called reserves this trainee has."""
    return float(estimate.posterior.weights @ estimate.posterior.mean[:, 2])


def about(likely: float) -> tuple[int, int]:
    """The repetitions to be expected, a fifth and at least one to either side (this project's guess of the doubt)."""
    spread = max(1, round(DOUBT_OF_LEFT * likely))
    return max(1, round(likely) - spread), max(2, round(likely) + spread)


def next_load_note(scheme: Scheme, load_kg: float, reps: tuple[int, int], exercise: Exercise, place: Place) -> str:
    """When to take which load next, for sets that gain repetitions first; empty where there is no heavier load."""
    above = [one.load_kg for one in loads_in(place, exercise) if one.load_kg > load_kg + 1e-9]
    if not above:
        return ""
    words = {1: "the set reaches", 2: "both sets reach"}
    sets = words.get(scheme.sets, f"all {scheme.sets} sets reach")
    return f"When {sets} {reps[1]}, take {min(above):g} kg next time and begin at {reps[0]} again."


def back_off_sets(
    top: PlannedSet, scheme: Scheme, exercise: Exercise, place: Place, estimate: LiftEstimate, rest_s: float
) -> list[PlannedSet]:
    """The sets after a top set: the share of its load that is wanted, and how many that likely leaves."""
    share, count = scheme.back_offs or 1.0, scheme.sets - 1
    if top.load_kg is None or top.reps is None or count < 1:
        return [replace(top, load_share=scheme.back_offs) for _ in range(count)]
    option = lighter_option(loads_in(place, exercise, top.pieces), share * top.load_kg, top.load_kg)
    if option is None:
        return [replace(top, load_share=share, note=f"{top.note} {SAME_LOAD}".strip()) for _ in range(count)]
    own, people = estimate.body_part_kg, population()
    reps = scheme.back_reps or top.reps
    found = []
    for number in range(1, count + 1):
        possible = estimate.posterior.reps_at(option.load_kg + own).mean
        kept = left_after(number, top.rir if top.rir is not None else 2.0, rest_s, people.loss)
        left = np.array([kept * possible - reps[1]])
        called = floor(float(call_for(left, np.array([float(reps[1])]), np.array([own_bias(estimate)]))[0]))
        rir = None if top.rir is None else min(MOST_LEFT, max(top.rir, float(called)))
        found.append(
            replace(
                top,
                reps=reps,
                load_kg=option.load_kg,
                load_range_kg=None,
                pieces=option.pieces,
                rir=rir,
                rpe=None if rir is None else 10.0 - rir,
                note="",
                load_share=share,
            )
        )
    least = min((one.rir for one in found if one.rir is not None), default=None)
    return [one if one.rir is None else replace(one, rir=least, rpe=10.0 - (least or 0.0)) for one in found]


def keeps_its_reps(scheme: Scheme) -> bool:
    """True for sets with parts that are said beyond the first: a coarse load can't be made up by more repetitions."""
    return bool(scheme.inside) and not scheme.inside[0].left


def without_other_reps(dose: Dose, reps: tuple[int, int]) -> Dose:
    """The dose with the repetitions as they are said, and without words about other ones."""
    if dose.reps == reps:
        return dose
    words = ("instead", "fewer reps")
    return replace(dose, reps=reps, note="" if any(word in dose.note for word in words) else dose.note)
