"""The checker's own arithmetic of loads and stations: what can be built from counted pieces, in whole grams."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from exercise_facts import Facts
from hard_restrictions import there

MOVABLE = {"wall", "bench", "chair_bench", "step", "box", "pad", "anchor"}  # may be shared or moved between two entries
HAND_PIECES = {"dumbbell", "kettlebell", "band", "band_heavy", "loop_band", "plates"}
BARS = {"barbell", "hexbar", "landmine"}


def grams(kg: float) -> int:
    return round(kg * 1000)


@lru_cache(maxsize=512)
def sums(pieces: tuple[tuple[int, int], ...], most: int = 99) -> frozenset[int]:
    """Every sum of at most so many pieces; ``pieces`` are (grams, how many there are)."""
    reached = {(0, 0)}
    for mass, count in pieces:
        reached |= {
            (total + mass * n, used + n) for total, used in reached for n in range(1, count + 1) if used + n <= most
        }
    return frozenset(total for total, _ in reached)


def plates_of(place: Any, halves: bool) -> tuple[tuple[int, int], ...]:
    """(grams, count) of the plates: of one side where they go on in pairs."""
    return tuple((grams(one.mass_kg), one.count // 2 if halves else one.count) for one in place.plates)


def bar_loads(bar: Any, place: Any) -> set[int]:
    """Every load of one bar: the same plates on both sides, or on one end, where half of the bar rests on the floor."""
    if bar.kind == "landmine":
        own = grams(bar.mass_kg / 2) + grams(bar.collar_kg)
        return {own + one for one in sums(plates_of(place, False))}
    own = grams(bar.mass_kg) + 2 * grams(bar.collar_kg)
    return {own + 2 * one for one in sums(plates_of(place, True))}


def stack_loads(stack: Any) -> set[int]:
    """Every pin with any of the add-ons, each there once."""
    step = grams(stack.step_kg)
    pins = range(grams(stack.first_kg), grams(stack.last_kg) + 1, step) if step else [grams(stack.first_kg)]
    extras = sums(tuple(Counter(grams(one) for one in stack.add_ons_kg).items()))
    return {pin + extra for pin in pins for extra in extras}


def buildable(one: Facts, place: Any) -> set[int]:
    """Every load, in grams, that a place has for an exercise with any list of equipment that is there."""
    tokens = there(place)
    found: set[int] = set()
    if one.means == "added":
        small = tuple((mass, count) for mass, count in plates_of(place, False) if mass <= 25_000)
        found |= sums(small, 3) | {0}
        return found | {grams(piece.mass_kg) for piece in (*place.dumbbells, *place.kettlebells) if piece.count}
    hands = 2 if one.means == "each hand" and not one.counts_each_side else 1
    for option in one.options:
        if not option <= tokens:
            continue
        for stack in place.stacks:
            found |= stack_loads(stack) if stack.kind in option and stack.count else set()
        for bar in place.bars:
            found |= bar_loads(bar, place) if bar.kind in option and bar.count else set()
        for token, pieces in (("dumbbell", place.dumbbells), ("kettlebell", place.kettlebells)):
            if token in option:
                found |= {grams(piece.mass_kg) for piece in pieces if piece.count >= hands}
        if "sled" in option:
            found |= sums(plates_of(place, False))
        elif "plates" in option and not option & BARS:
            found |= sums(plates_of(place, False), 1) - {0}
    return found


SIDE = re.compile(r"^([\d. +]+) (?:a side|on the end)")


def plates_named(pieces: str) -> tuple[list[int], int]:
    """The plates that a line of the sheet names, in grams, and on how many ends each of them goes."""
    line = SIDE.match(pieces)
    if line:
        return [grams(float(one)) for one in line[1].split("+")], 1 if "on the end" in pieces else 2
    if pieces.endswith((" kg plate", " kg held", " kg on the sled")):
        return [grams(float(one)) for one in re.findall(r"\d+(?:\.\d+)?", pieces)], 1
    return [], 1


def wrong_load(one: Facts, planned: dict[str, Any], place: Any) -> str:
    """Why a printed load can't be built, or is not what its line of pieces says; empty where all is well."""
    load, pieces = planned["load_kg"], planned["pieces"]
    if load is None:
        return ""
    if one.means in ("body", "assistance"):
        return f"load: {load:g} kg for an exercise without a load"
    if load < 0 or grams(load) not in buildable(one, place):
        return f"load: {load:g} kg can't be built"
    named, ends = plates_named(pieces)
    owned = {grams(piece.mass_kg): piece.count for piece in place.plates}
    for mass, count in Counter(named).items():
        if count * ends > owned.get(mass, 0):
            return f"load: {pieces!r} takes {count * ends} plates of {mass / 1000:g} kg, there are {owned.get(mass, 0)}"
    rest = grams(load) - ends * sum(named)
    if SIDE.match(pieces) or pieces.startswith("the empty bar"):
        own = {
            grams(bar.mass_kg / (2 if bar.kind == "landmine" else 1))
            + (1 if bar.kind == "landmine" else 2) * grams(bar.collar_kg)
            for bar in place.bars
            if bar.count and any(bar.kind in option for option in one.options)
        }
        if rest not in own:
            return f"load: {pieces!r} makes no {load:g} kg with a bar of this place"
    elif named and rest:
        return f"load: {pieces!r} is not {load:g} kg"
    elif pieces.startswith("pin at"):
        masses = [grams(float(number)) for number in re.findall(r"\d+(?:\.\d+)?", pieces)]
        if sum(masses) != grams(load):
            return f"load: {pieces!r} is not {load:g} kg"
    elif re.match(r"2 (?:dumbbells|kettlebells) of", pieces):
        hand_weights = place.kettlebells if "kettlebell" in pieces else place.dumbbells
        count = {grams(piece.mass_kg): piece.count for piece in hand_weights}
        if count.get(grams(load), 0) < 2:
            return f"load: there are no two of {load:g} kg"
    return ""


def station_of(one: Facts, place: Any, sets: Iterable[dict[str, Any]]) -> set[str]:
    """What an entry keeps busy: the first list of equipment that is there, without what can be moved or shared."""
    tokens = there(place)
    option = next((option for option in one.options if option <= tokens), frozenset[str]())
    return set(option) - MOVABLE


def how_many(token: str, place: Any) -> int:
    """How many of a station there are."""
    own = place.fixtures.get(token, 0)
    own += sum(bar.count for bar in place.bars if bar.kind == token)
    return own + sum(stack.count for stack in place.stacks if stack.kind == token)


def clash(members: list[tuple[Facts, list[dict[str, Any]]]], place: Any) -> str:
    """Why entries can't be done in turn here, or an empty string.

    One person does all of them, so a dumbbell may serve two; a machine, a rack or a bar set up for one can't serve the
    other, and plates that hang on one bar are not there for the next.
    """
    busy: Counter[str] = Counter()
    for one, sets in members:
        busy.update(station_of(one, place, sets) - HAND_PIECES)
    for token, wanted in sorted(busy.items()):
        if wanted > 1 and how_many(token, place) < wanted:
            return f"station: {wanted} entries of a superset need the {token}, there are {how_many(token, place)}"
    plates: Counter[int] = Counter()
    for _, sets in members:
        most: Counter[int] = Counter()
        for one in sets:
            if one["kind"] != "ramp":
                named, ends = plates_named(one["pieces"])
                most |= Counter({mass: count * ends for mass, count in Counter(named).items()})
        plates += most
    owned = {grams(piece.mass_kg): piece.count for piece in place.plates}
    for mass, wanted in sorted(plates.items()):
        if wanted > owned.get(mass, 0):
            return f"station: a superset takes {wanted} plates of {mass / 1000:g} kg, there are {owned.get(mass, 0)}"
    return ""
