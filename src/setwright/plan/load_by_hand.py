"""A load or a band that a coach sets by hand: one that the place has, none that a limit forbids, a word where heavy.

Two ideas carry this module. One: the coach may go over what is known of a trainee; the sheet then says so, and names
no reserve that the load rules out. Two: at a joint that may do moderate or light work only, the load that such work is
dosed with is the most (decision 0005): a limit is never planned through by typing a number. A band has no counted load:
there the harder of two kinds, a heavy one that resists or a thin one that helps, is closed (decision 0051).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.dose.implements import Buildable, loads_in, option_in
from setwright.faults import NoPlan
from setwright.people.place import Band, Place
from setwright.plan.block import Entry
from setwright.plan.compose import HOPELESS, Context, dose_of, hopeless
from setwright.plan.easing import eased_scheme
from setwright.plan.gates import Verdict
from setwright.plan.template import Scheme

LOAD_SET = "Load set by the coach."
BAND_SET = "Band chosen by the coach."
BAND_TOKENS = frozenset({"band", "band_heavy", "loop_band"})
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


def bands_by_hand(exercise: Exercise, place: Place) -> list[Band]:
    """The bands of a place that a coach may choose from; none where the exercise is done without one there."""
    needed = (option_in(place, exercise) or frozenset()) & BAND_TOKENS
    if not needed:
        return []
    fits = [one for one in place.bands if one.count and (one.heavy or "band_heavy" not in needed)]
    return [one for one in fits if one.loop or "loop_band" not in needed]


def band_dial(exercise: Exercise) -> str:
    """The dial that names the band: what helps, or what it works against."""
    return "assistance" if exercise.load_means == "assistance" else "band"


def band_named(dials: Mapping[str, object], exercise: Exercise) -> str:
    """The band that an entry names, or an empty text where it says no more than that there is one."""
    name = dials.get(band_dial(exercise))
    return str(name) if name and name != exercise.dials.get(band_dial(exercise)) else ""


def is_harder(band: Band, exercise: Exercise) -> bool:
    """True for a heavy band that is worked against, and for one that is not heavy where it helps."""
    return band.heavy != (exercise.load_means == "assistance")


def dials_with_band(
    dials: Mapping[str, object], name: str, exercise: Exercise, place: Place, verdict: Verdict
) -> dict[str, object]:
    """The dials of an entry with a band. Raises NoPlan where the place has none of that name, or a limit closes it."""
    there = bands_by_hand(exercise, place)
    found = next((one for one in there if one.name.casefold() == name.strip().casefold()), None)
    if found is None:
        names = " or ".join(one.name for one in there)
        line = f"{exercise.name} takes no band {name.strip()!r} in {place.name}."
        raise NoPlan((line,), names or "no band")
    if verdict.eased and is_harder(found, exercise) and any(not is_harder(one, exercise) for one in there):
        kind = "the heavier band helps more" if exercise.load_means == "assistance" else "not with a heavy band"
        level = f"{exercise.name} works a joint that may do {verdict.eased} work only"
        raise NoPlan((f"{level}: {kind}.",), " or ".join(one.name for one in there if not is_harder(one, exercise)))
    return {**dials, band_dial(exercise): found.name}


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
