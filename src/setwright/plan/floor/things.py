"""What is on the floor, counted, and what one set takes of it.

A thing has a key in a coach's words (``rack``, ``barbell 20 kg``, ``plate 10 kg``). A set takes *any one* of some
things: who needs a chair may sit on the bench. What is everywhere, and what a place does not count, is never short.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from setwright.catalogue.equipment import equipment
from setwright.catalogue.exercise import Exercise
from setwright.dose.implements import Buildable, loads_in, option_in
from setwright.people.place import Place
from setwright.plan.block import PlannedSet

BARS = ("barbell", "hexbar", "landmine")
HAND_WEIGHTS = ("dumbbell", "kettlebell")
BANDS = ("band", "band_heavy", "loop_band")
NOT_COUNTED = frozenset({"hill", "plates", *HAND_WEIGHTS})  # by themselves; weights are counted by what is taken


@dataclass(frozen=True)
class Take:
    """What one set takes: ``count`` of any one of ``things``, the usual one first.

    ``token`` is the equipment token it answers; ``things`` is empty where the place has none.
    """

    token: str
    things: tuple[str, ...]
    count: int = 1


def bar_key(kind: str, mass_kg: float) -> str:
    """A bar as a thing."""
    return f"{kind} {mass_kg:g} kg"


def piece_key(token: str, mass_kg: float) -> str:
    """A plate, dumbbell or kettlebell as a thing."""
    return f"{token} {mass_kg:g} kg"


def stock_of(place: Place) -> dict[str, int]:
    """How many there are of each thing in a place, in the order of the place."""
    found: Counter[str] = Counter()
    for token, count in place.fixtures.items():
        found[token] += count
    for stack in place.stacks:
        found[stack.kind] += stack.count
    for bar in place.bars:
        found[bar_key(bar.kind, bar.mass_kg)] += bar.count
    for token, pieces in (("plate", place.plates), ("dumbbell", place.dumbbells), ("kettlebell", place.kettlebells)):
        for piece in pieces:
            found[piece_key(token, piece.mass_kg)] += piece.count
    for band in place.bands:
        found[f"band {band.name}"] += band.count
    return {key: count for key, count in found.items() if count > 0}


@cache
def givers(token: str) -> tuple[str, ...]:
    """The token itself, then those that imply it (a bench is a chair too), nearest first.

    >>> givers("step")
    ('step', 'box')
    """
    found, at = [token], 0
    while at < len(found):
        found += [one for one, more in equipment().implies.items() if found[at] in more and one not in found]
        at += 1
    return tuple(found)


def things_for(token: str, place: Place) -> tuple[str, ...]:
    """Every thing of a place that answers to a token, the usual one first; empty where there is none."""
    found: list[str] = []
    for one in givers(token):
        if one in BARS:
            found += [bar_key(bar.kind, bar.mass_kg) for bar in place.bars if bar.kind == one and bar.count]
        elif one in BANDS:
            found += [
                f"band {band.name}"
                for band in place.bands
                if band.count and (one == "band" or (band.heavy if one == "band_heavy" else band.loop))
            ]
        elif place.fixtures.get(one) or any(stack.kind == one and stack.count for stack in place.stacks):
            found.append(one)
    return tuple(dict.fromkeys(found))


def built(exercise: Exercise, one: PlannedSet, place: Place) -> Buildable | None:
    """The load of a set as this place builds it: the same pieces, else the same load; None where none is planned."""
    if one.load_kg is None:
        return None
    options = [load for load in loads_in(place, exercise, one.pieces) if abs(load.load_kg - one.load_kg) < 0.01]
    return next((load for load in options if load.pieces == one.pieces), options[0] if options else None)


def option_used(exercise: Exercise, load: Buildable | None, place: Place) -> frozenset[str] | None:
    """The set of tokens that a set is done with: one that carries its load, else the first that is here; or None."""
    first = option_in(place, exercise)
    if load is None or first is None or load.implement in first:
        return first
    tokens = place.tokens()
    return next((one for one in exercise.equipment if load.implement in one and one <= tokens), first)


def takes_of(exercise: Exercise, one: PlannedSet, place: Place) -> list[Take]:
    """Everything one set takes. A take without things is one that the place can't give."""
    load = built(exercise, one, place)
    option = option_used(exercise, load, place)
    if option is None:
        lacking = min((missing(option, place) for option in exercise.equipment), key=len)
        return [Take(token, ()) for token in lacking]
    found = [
        Take(token, token_things(token, load, place))
        for token in sorted(option)
        if token not in equipment().everywhere and token not in NOT_COUNTED
    ]
    return [take for take in found if take.things] + weights_of(exercise, load, place)


def missing(option: frozenset[str], place: Place) -> list[str]:
    """The tokens of an option that a place can't answer, in order."""
    return [token for token in sorted(option) if not things_for(token, place) and token not in place.tokens()]


def token_things(token: str, load: Buildable | None, place: Place) -> tuple[str, ...]:
    """Things for a token; of bars only the one that the load was built on."""
    things = things_for(token, place)
    if token not in BARS or load is None or load.implement != token:
        return things
    ends = 1 if token == "landmine" else 2
    share = 0.5 if token == "landmine" else 1.0
    bare = load.load_kg - sum(load.plates_kg)
    fitting = [
        bar_key(bar.kind, bar.mass_kg)
        for bar in place.bars
        if bar.kind == token and bar.count and abs(bar.mass_kg * share + ends * bar.collar_kg - bare) < 0.01
    ]
    return tuple(dict.fromkeys(fitting)) or things


def weights_of(exercise: Exercise, load: Buildable | None, place: Place) -> list[Take]:
    """Plates, dumbbells and kettlebells of a load; none where no load is planned."""
    if load is None or load.load_kg <= 0:
        return []
    if load.implement in HAND_WEIGHTS:
        two = load.means == "each hand" and exercise.laterality in ("both", "alternating")
        alike = HAND_WEIGHTS if load.means == "added" else (load.implement,)
        keys = tuple(key for token in alike if (key := piece_key(token, load.load_kg)) in stock_of(place))
        return [Take(load.implement, keys, 2 if two else 1)] if keys else []
    counted: Mapping[float, int] = Counter(load.plates_kg)
    return [Take("plates", (piece_key("plate", mass),), number) for mass, number in sorted(counted.items())]
