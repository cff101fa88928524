"""From "5 to 6 reps with 2 in reserve" to a load that exists in the room.

The wanted load is a distribution. The heaviest load is taken that leaves the wanted reserve in the middle of the
rep range with the chance that the brief asks for; the sheet states the chance for the top of the range.
A reserve is meant as trainees call it, so a set done exactly as planned changes no later load.
Where the next load is too far away, repetitions make up the difference.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot

from setwright.catalogue.exercise import Exercise, LoadMeans
from setwright.dose.implements import Buildable, loads_in
from setwright.people.place import Place
from setwright.strength.estimates import LiftEstimate
from setwright.strength.posterior import WIDE

MOST_MORE_REPS = 6  # repetitions that a range may move up before the exercise itself should change
FAR_FROM_RANGE = 3  # repetitions beyond the range; then the heavier load with fewer is nearer to what is wanted
COARSE_STEP = 0.10  # rule L04: a step is 2 to 10 % (ACSM 2009)
UNSURE_CHANCE = 0.75  # a first load is on the safe side
CLOSE = (
    1.15  # the lightest load may be so many times what fits and stay as it is (common practice, no published source)
)
ORDINARY_REPS = (8, 12)
FIND_YOUR_LOAD = "Find your load"


@dataclass(frozen=True)
class Dose:
    """A load for one kind of set. ``load_kg`` as printed (each hand, added...), None where no kilogram applies.

    ``range_kg``: 10 to 90 % range of the load that fits on the day, day-to-day noise included;
    ``chance``: of the top of ``reps`` at the wanted reserve.
    """

    load_kg: float | None
    range_kg: tuple[float, float] | None
    means: LoadMeans
    pieces: str
    reps: tuple[int, int] | None
    chance: float | None
    note: str = ""
    plates_per_side: tuple[float, ...] = ()


def prescribe(
    estimate: LiftEstimate,
    exercise: Exercise,
    place: Place,
    reps: tuple[int, int],
    rir: float,
    risk: float,
    written_kg: float | None = None,
    cap_kg: float | None = None,
) -> Dose:
    """The load of one set.

    reps : (from, to); rir : reserve wanted; risk : chance wanted, 0.5 to 0.99, that the middle of the range keeps it
    written_kg : a load the coach wrote, as printed; it is built as near as can be, never searched for
    cap_kg : no load above this, as printed
    A load that nobody could build gives ``load_kg`` None with a note.
    """
    options = [one for one in loads_in(place, exercise) if cap_kg is None or one.load_kg <= cap_kg + 1e-9]
    if not options:
        note = "" if exercise.load_means == "assistance" else "By feel: the place has no counted load for it."
        return Dose(None, None, exercise.load_means, "", reps, None, note)
    belief, own = estimate.posterior, estimate.body_part_kg
    middle = (reps[0] + reps[1]) / 2.0
    fits = belief.load_for(middle, rir)
    day = 1.2816 * belief.usual_day_noise() * fits.mean
    low, high = fits.mean - hypot(fits.mean - fits.p10, day), fits.mean + hypot(fits.p90 - fits.mean, day)
    fit_range = (round(max(0.0, low - own), 1), round(max(0.0, high - own), 1))

    def dose(option: Buildable, wanted: tuple[int, int], note: str) -> Dose:
        chance = round(belief.chance(option.load_kg + own, wanted[1], rir), 2)
        return Dose(
            option.load_kg, fit_range, option.means, option.pieces, wanted, chance, note, option.plates_per_side
        )

    def keeps(option: Buildable, count: float, chance: float) -> bool:
        return belief.chance(option.load_kg + own, count, rir) >= chance

    if written_kg is not None:
        option = nearest_to(options, written_kg)
        note = "" if abs(option.load_kg - written_kg) < 0.05 else f"{written_kg:g} kg as written can't be built here."
        if not keeps(option, reps[0], 0.2):
            note = f"{note} Heavy: {reps[0]} at this effort are unlikely by what is known.".strip()
        return dose(option, reps, note)
    is_wide = fits.sd > WIDE * fits.mean
    wanted_chance = max(risk, UNSURE_CHANCE) if is_wide else risk
    # Heavier is never more likely, so the first load that fails is found by halving.
    first_failing = bisect_left(options, True, key=lambda one: not keeps(one, middle, wanted_chance))
    if first_failing == 0:
        return too_heavy(estimate, options[0], reps, rir, fits.mean, dose)
    option = options[first_failing - 1]
    above = options[first_failing] if first_failing < len(options) else None
    if option.load_kg < fit_range[0] and above is not None and keeps(above, middle, 0.5):
        option = above
        above = next((one for one in options if one.load_kg > option.load_kg), None)
    if is_wide and above is None:
        more = reps_for(estimate, option.load_kg + own, reps, rir, wanted_chance)
        if more != reps:
            return dose(option, more, "The heaviest there is: more repetitions instead.")
    if is_wide:
        then = f", then {above.load_kg:g} kg" if above and above.load_kg <= fit_range[1] + 1e-9 else ""
        note = (
            f"{FIND_YOUR_LOAD}: start here{then}, and stop where {rir:g} are left. "
            f"It lies between {fit_range[0]:g} and {fit_range[1]:g} kg."
        )
        return dose(option, reps, note)
    more = reps_for(estimate, option.load_kg + own, reps, rir, risk)
    if more == reps:
        return dose(option, reps, "")
    if above is None:
        return dose(option, more, "The heaviest there is: more repetitions instead.")
    step = (above.load_kg - option.load_kg) / max(option.load_kg + own, 1e-9)
    if step <= COARSE_STEP:
        return dose(option, reps, "")
    if more[0] - reps[0] > FAR_FROM_RANGE:
        fewer = next((n for n in range(1, reps[0] // 2) if keeps(above, middle - n, wanted_chance)), None)
        if fewer is not None:
            note = f"{option.load_kg:g} kg is too light and this {100 * step:.0f} % heavier: fewer reps."
            return dose(above, (reps[0] - fewer, reps[1] - fewer), note)
    return dose(option, more, f"The next load, {above.load_kg:g} kg, is {100 * step:.0f} % heavier: more reps instead.")


def too_heavy(
    estimate: LiftEstimate,
    lightest: Buildable,
    reps: tuple[int, int],
    rir: float,
    fits_kg: float,
    dose: Callable[[Buildable, tuple[int, int], str], Dose],
) -> Dose:
    """The lightest load where even that may be too much: as it is when it is close, else with fewer repetitions.

    Long sets become ordinary ones first; only a load too heavy for those is planned by what is surely possible.
    """
    whole = lightest.load_kg + estimate.body_part_kg
    if whole <= fits_kg * CLOSE:
        return dose(lightest, reps, "The lightest there is." if lightest.load_kg else "")
    can = int(estimate.posterior.reps_at(whole).p10 - rir)
    ordinary = min(reps[0], ORDINARY_REPS[0]), min(reps[1], ORDINARY_REPS[1])
    usual_kg = estimate.posterior.load_for(sum(ordinary) / 2.0, rir).mean
    if can < ORDINARY_REPS[0] and ordinary != reps and whole <= usual_kg * CLOSE:
        return dose(lightest, ordinary, "The lightest there is: fewer repetitions.")
    if can < min(3, reps[0]):
        unlikely = f"{reps[0]} at this effort are unlikely by what is known"
        note = f"The lightest there is; {unlikely}: take help or an alternative."
        return dose(lightest, reps, note)
    fewer = (min(can, reps[0]), min(can, reps[1]))
    return dose(lightest, fewer, "The lightest there is may be too heavy: fewer repetitions, or an alternative.")


def nearest_to(options: Sequence[Buildable], load_kg: float) -> Buildable:
    """The buildable load nearest to one that was written, the lighter of two equals."""
    return min(options, key=lambda one: (abs(one.load_kg - load_kg), one.load_kg))


def reps_for(
    estimate: LiftEstimate, whole_kg: float, reps: tuple[int, int], rir: float, risk: float, most: int = 30
) -> tuple[int, int]:
    """The rep range, as wide as the old one, whose middle keeps the reserve with the wanted chance."""
    more, half = 0, (reps[1] - reps[0]) / 2.0
    while (
        more < MOST_MORE_REPS
        and reps[1] + more < most
        and estimate.posterior.chance(whole_kg, reps[0] + half + more + 1, rir) >= risk
    ):
        more += 1
    return (reps[0] + more, reps[1] + more)


def step_is_usual(new_kg: float, old_kg: float) -> bool:
    """True when a rise in load is at most 10 % (rule L04, ACSM 2009). Less is always usual.

    >>> step_is_usual(110, 100), step_is_usual(120, 100)
    (True, False)
    """
    return new_kg <= old_kg * (1 + COARSE_STEP) + 1e-9
