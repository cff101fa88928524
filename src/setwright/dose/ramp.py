"""Ramp sets: the lighter sets that lead to the first working set.

Shares of the working load and repetitions follow the published test protocols (College protocol: 10 at 50 %, 5 at
70 %, 3 at 80 %, 1 at 90 %, seen; NSCA steps seen), cut to what a working set of several repetitions needs.
"""

from __future__ import annotations

from dataclasses import dataclass

from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import loads_in, same_bar
from setwright.dose.prescribe import Dose
from setwright.people.place import Place

# (share of the working load, repetitions, rest in s); the last two only for heavy working sets.
STEPS = ((0.5, 8, 60.0), (0.7, 5, 90.0), (0.85, 3, 120.0), (0.93, 1, 120.0))
LEAST_GAP = 0.08
LIGHT_KG = 25.0


@dataclass(frozen=True)
class RampSet:
    """One ramp set: a buildable load, its repetitions, the rest after it."""

    load_kg: float
    reps: int
    rest_s: float
    pieces: str


def ramp_sets(exercise: Exercise, top: Dose, place: Place) -> tuple[RampSet, ...]:
    """Ramp sets to a dose, strictly rising and below it; none for body weight and for the lightest load there is.

    Heavy sets of three and fewer get the single at about 93 %; light lifts (under 25 kg) get one or two,
    one where ten repetitions and more ramp by themselves.
    """
    if top.load_kg is None or top.load_kg <= 0 or top.means in ("body", "assistance"):
        return ()
    options = same_bar(loads_in(place, exercise, top.pieces), top.pieces)  # nobody changes the bar while ramping
    low_reps = top.reps[0] if top.reps else 8
    steps: tuple[tuple[float, int, float], ...] = STEPS if low_reps <= 3 else STEPS[:3] if low_reps <= 6 else STEPS[:2]
    if top.load_kg < LIGHT_KG:
        steps = steps[:1] if top.load_kg < LIGHT_KG / 2 or top.means == "added" or low_reps >= 10 else steps[:2]
    found: list[RampSet] = []
    for share, reps, rest_s in steps:
        wanted = share * top.load_kg
        below = [one for one in options if one.load_kg <= wanted + 1e-9]
        option = below[-1] if below else options[0]
        last = found[-1].load_kg if found else -1.0
        if option.load_kg >= top.load_kg * (1 - LEAST_GAP / 2) or option.load_kg <= last + LEAST_GAP * top.load_kg / 2:
            continue
        if option.load_kg <= last or option.load_kg <= 0:
            continue  # the body alone, before a little added to it, is no lighter set
        found.append(RampSet(option.load_kg, max(1, min(reps, low_reps + 3)), rest_s, option.pieces))
    return tuple(found)
