"""A load that a coach sets by hand: one that the place can build, none that a limit forbids, a word where it is heavy.

Two ideas carry this module. One: the coach may go over what is known of a trainee; the sheet then says so, and names
no reserve that the load rules out. Two: at a joint that may do moderate or light work only, the load that such work is
dosed with is the most (decision 0005): a limit is never planned through by typing a number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.dose.implements import Buildable, loads_in
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.plan.block import Entry
from setwright.plan.compose import HOPELESS, Context, dose_of, hopeless
from setwright.plan.easing import eased_scheme
from setwright.plan.gates import Verdict
from setwright.plan.template import Scheme

LOAD_SET = "Load set by the coach."
HEAVY = "Heavy:"
SAME_KG = 0.05  # a tenth of the smallest plate there is: what was typed means this load
LIGHT_PARTS: tuple[PartName, ...] = ("warm-up", "loaded-mobility")  # their loads are light whatever one could do


def loads_by_hand(exercise: Exercise, part: PartName, place: Place) -> Sequence[Buildable]:
    """Every load that a coach may set there, lightest first; none where the work takes none that is counted."""
    return () if part in LIGHT_PARTS else loads_in(place, exercise)


def require_buildable(exercise: Exercise, part: PartName, place: Place, load_kg: float) -> None:
    """Raises NoPlan, with the nearest loads, where a place can't build a load."""
    options = [one.load_kg for one in loads_by_hand(exercise, part, place)]
    if not options:
        raise NoPlan((f"{exercise.name} takes no load there that could be set.",), "no load")
    if any(abs(one - load_kg) < SAME_KG for one in options):
        return
    below = [one for one in options if one < load_kg][-1:]
    above = [one for one in options if one > load_kg][:1]
    near = " and ".join(f"{one:g} kg" for one in (*below, *above))
    raise NoPlan((f"{load_kg:g} kg of {exercise.name} can't be built in {place.name}.",), f"the nearest: {near}")


def require_within_limit(
    exercise: Exercise, scheme: Scheme, part: PartName, place: Place, context: Context, verdict: Verdict
) -> None:
    """Raises NoPlan where a load is more than the work that a limited joint may do is dosed with."""
    if not verdict.eased or scheme.load_kg is None:
        return
    eased = replace(eased_scheme(scheme, verdict.eased), load_kg=None, pct=None)
    dose = dose_of(exercise, eased, place, context, part)
    most = 0.0 if dose is None or dose.load_kg is None else dose.load_kg
    if scheme.load_kg > most + SAME_KG:
        level = f"{exercise.name} works a joint that may do {verdict.eased} work only"
        raise NoPlan((f"{level}: {most:g} kg at most.",), f"{most:g} kg or less")


def as_claimed(entry: Entry) -> Entry:
    """The entry with its load told: no reserve is named that it rules out, and a heavy load is a caution."""
    sets = tuple(
        hopeless(one) if one.kind != "ramp" and one.chance is not None and one.chance < HOPELESS else one
        for one in entry.sets
    )
    said = heavy_words(entry)
    return replace(entry, sets=sets, cautions=(*without_heavy(entry.cautions), *((said,) if said else ())))


def without_heavy(cautions: Sequence[str]) -> tuple[str, ...]:
    """The cautions without what was said of a load set before."""
    return tuple(one for one in cautions if not one.startswith(HEAVY))


def heavy_words(entry: Entry) -> str:
    """What to say of a load that is over what is known to fit, or an empty text."""
    first = next((one for one in entry.working_sets if one.load_kg is not None), None)
    if first is None or first.load_kg is None or first.load_range_kg is None:
        return ""
    low, high = first.load_range_kg
    if first.load_kg <= high + SAME_KG:
        return ""
    return f"{HEAVY} {first.load_kg:g} kg is set by the coach; {low:g} to {high:g} kg fit by what is known."
