"""Every load a place can build for an exercise, and what to take in hand for it.

Masses are counted in whole grams, so that no load is lost to rounding. A bar takes plates in pairs, one on each
side, largest inside; among equal loads the one on the bar of the sets before is kept, else that with the fewest plates.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise, LoadMeans
from setwright.people.place import Bar, Counted, Place, Stack

GRAM = 1000
# Tokens that carry the load, in the order one reaches for them when an exercise allows several.
LOAD_CARRIERS = ("barbell", "hexbar", "landmine", "dumbbell", "kettlebell", "plates", "vest", "sandbag")


@dataclass(frozen=True)
class Buildable:
    """One load that can be built: kg as printed, what it means, and the pieces that make it.

    ``plates_per_side`` kg, largest inside, for bars; empty for all else. ``implement`` is an equipment token.
    ``plates_kg``: every plate that it takes, on all ends, kg.
    """

    load_kg: float
    means: LoadMeans
    pieces: str
    implement: str
    plates_per_side: tuple[float, ...] = ()
    plates_kg: tuple[float, ...] = ()


def kilograms(grams: int) -> float:
    """Kilograms of a whole number of grams."""
    return grams / GRAM


def as_text(kg: float) -> str:
    """A mass without needless zeros: 2.5, 20."""
    return f"{kg:g}"


def side_loads(plates: Iterable[Counted]) -> dict[int, tuple[int, ...]]:
    """For each sum of plates on one side (grams), the fewest plates that make it, largest first.

    plates : counted single plates; half of each count, rounded down, is there for each side
    """
    best: dict[int, tuple[int, ...]] = {0: ()}
    for plate in sorted(plates, key=lambda one: -one.mass_kg):
        grams, pairs = round(plate.mass_kg * GRAM), plate.count // 2
        if grams <= 0 or pairs <= 0:
            continue
        new = dict(best)
        for total, used in best.items():
            for number in range(1, pairs + 1):
                made, sum_ = used + (grams,) * number, total + grams * number
                old = new.get(sum_)
                if old is None or (len(made), tuple(-g for g in made)) < (len(old), tuple(-g for g in old)):
                    new[sum_] = made
        best = new
    return best


@lru_cache(maxsize=256)
def bar_loads(bar: Bar, plates: tuple[Counted, ...]) -> tuple[Buildable, ...]:
    """Every load of one bar with the plates there are. A landmine takes its plates on one end only."""
    one_ended = bar.kind == "landmine"
    pool = tuple(Counted(p.mass_kg, p.count * 2) for p in plates) if one_ended else plates
    ends = 1 if one_ended else 2
    # A bar that pivots on one end weighs about half in the hand (lever: its centre is half way to the pivot).
    own = bar.mass_kg / 2.0 if one_ended else bar.mass_kg
    empty = round(own * GRAM) + ends * round(bar.collar_kg * GRAM)
    found = []
    for total, used in sorted(side_loads(pool).items()):
        side = tuple(kilograms(g) for g in used)
        where = "on the end" if one_ended else "a side"
        pieces = " + ".join(as_text(kg) for kg in side) + f" {where}" if side else "the empty bar"
        if bar.kind == "barbell" and bar.collar_kg:
            pieces += ", collars"
        found.append(Buildable(kilograms(empty + ends * total), "total", pieces, bar.kind, side, side * ends))
    return tuple(found)


def hand_loads(pieces: Iterable[Counted], token: str, hands: int, means: LoadMeans) -> tuple[Buildable, ...]:
    """Loads of dumbbells or kettlebells: two of a mass for two hands, one for one."""
    found = []
    for piece in sorted(pieces, key=lambda one: one.mass_kg):
        if piece.count >= hands and piece.mass_kg > 0:
            word = token if hands == 1 else token + "s"
            text = f"{as_text(piece.mass_kg)} kg {word}" if hands == 1 else f"2 {word} of {as_text(piece.mass_kg)} kg"
            found.append(Buildable(piece.mass_kg, means, text, token))
    return tuple(found)


@lru_cache(maxsize=256)
def stack_loads(stack: Stack) -> tuple[Buildable, ...]:
    """Every pin position of a machine or cable, with and without its add-on masses."""
    found: dict[int, Buildable] = {}
    first, step, last = (round(kg * GRAM) for kg in (stack.first_kg, stack.step_kg, stack.last_kg))
    pins = range(first, last + 1, step) if step > 0 else (first,)
    add_ons = {0: ()} | {
        total: used
        for total, used in side_loads(Counted(kg, 2) for kg in stack.add_ons_kg).items()
        if total and (step <= 0 or total < step)
    }
    for pin in pins:
        for extra, used in add_ons.items():
            text = f"pin at {as_text(kilograms(pin))}"
            if used:
                text += " + " + " + ".join(as_text(kilograms(g)) for g in used)
            load = pin + extra
            if load not in found or len(text) < len(found[load].pieces):
                found[load] = Buildable(kilograms(load), "total", text, stack.kind)
    return tuple(found[load] for load in sorted(found))


def body_loads(place: Place) -> tuple[Buildable, ...]:
    """Loads hung on the body: none, then a plate or a dumbbell on a belt or between the feet."""
    return body_loads_of(tuple(place.plates), (*place.dumbbells, *place.kettlebells))


@lru_cache(maxsize=256)
def body_loads_of(plates: tuple[Counted, ...], hand_weights: tuple[Counted, ...]) -> tuple[Buildable, ...]:
    """See ``body_loads``."""
    found = {0: Buildable(0.0, "added", "body weight", "none")}
    singles = tuple(Counted(p.mass_kg, p.count * 2) for p in plates if p.mass_kg <= 25)
    for total, used in side_loads(singles).items():
        if total and total <= 80 * GRAM and len(used) <= 3:
            found.setdefault(
                total,
                Buildable(
                    kilograms(total),
                    "added",
                    "+ " + " + ".join(as_text(kilograms(g)) for g in used) + " kg plate",
                    "plates",
                    plates_kg=tuple(kilograms(g) for g in used),
                ),
            )
    for piece in hand_weights:
        grams = round(piece.mass_kg * GRAM)
        if piece.count and grams <= 40 * GRAM:
            found.setdefault(grams, Buildable(piece.mass_kg, "added", f"+ {as_text(piece.mass_kg)} kg", "dumbbell"))
    return tuple(found[load] for load in sorted(found))


def option_in(place: Place, exercise: Exercise) -> frozenset[str] | None:
    """The first equipment option of an exercise that the place satisfies, or None."""
    tokens = expand_tokens(place.tokens())
    for option in exercise.equipment or (frozenset[str](),):
        if option <= tokens:
            return option
    return None


def loads_in(place: Place, exercise: Exercise, like: str = "") -> tuple[Buildable, ...]:
    """Every load the place can build for an exercise, rising; empty where it takes none that is known in kg.

    like : the pieces of another set of the entry; of several bars of a kind its bar comes first
    """
    if exercise.load_means in ("body", "assistance"):
        return ()
    tokens = expand_tokens(place.tokens())
    if exercise.load_means == "added":
        return body_loads(place)
    for option in exercise.equipment or (frozenset[str](),):
        if option <= tokens:
            made = option_loads(place, exercise, option, like)
            if made:
                return made
    return ()


def on_bar(pieces: str, bar: Bar) -> str:
    """What to take, with the bar that it goes on: where a place has several of its kind, they are told by mass.

    >>> on_bar("5 + 2.5 a side", Bar("barbell", 15.0)), on_bar("the empty bar", Bar("barbell", 20.0))
    ('5 + 2.5 a side, on the bar of 15 kg', 'the empty bar of 20 kg')
    """
    mass = f"{as_text(bar.mass_kg)} kg"
    if pieces.startswith("the empty bar"):
        return pieces.replace("the empty bar", f"the empty bar of {mass}", 1)
    return f"{pieces}, on the bar of {mass}"


def bar_named(pieces: str) -> str:
    """The bar that pieces name; nothing where a place has one of its kind.

    >>> bar_named("5 + 2.5 a side, on the bar of 15 kg"), bar_named("the empty bar of 15 kg, collars")
    ('15 kg', '15 kg')
    """
    return pieces.rpartition("bar of ")[2].partition(",")[0] if "bar of " in pieces else ""


def same_bar(options: Sequence[Buildable], like: str) -> tuple[Buildable, ...]:
    """The loads on the bar that some pieces name; all of them where they name none."""
    return tuple(one for one in options if bar_named(like) in ("", bar_named(one.pieces)))


@lru_cache(maxsize=256)
def loads_on_bars(bars: tuple[Bar, ...], plates: tuple[Counted, ...], named: str = "") -> tuple[Buildable, ...]:
    """Every load of the bars of a kind; of equal ones that on the bar that is named, else the one of fewest plates."""
    is_named = len({bar.mass_kg for bar in bars}) > 1
    merged: dict[float, Buildable] = {}
    for bar in sorted(bars, key=lambda one: (f"{as_text(one.mass_kg)} kg" != named, -one.mass_kg)):
        for one in bar_loads(bar, plates):
            if is_named:
                one = replace(one, pieces=on_bar(one.pieces, bar))
            old = merged.get(one.load_kg)
            is_alike = old is not None and bar_named(old.pieces) == named != ""
            if old is None or (not is_alike and len(one.plates_per_side) < len(old.plates_per_side)):
                merged[one.load_kg] = one
    return tuple(merged[load] for load in sorted(merged))


def option_loads(place: Place, exercise: Exercise, option: frozenset[str], like: str = "") -> tuple[Buildable, ...]:
    """Loads of one equipment option; ``like``: see ``loads_in``."""
    for stack in place.stacks:
        if stack.kind in option:
            return stack_loads(stack)
    for kind in ("barbell", "hexbar", "landmine"):
        if kind in option:
            bars = tuple(bar for bar in place.bars if bar.kind == kind)
            return loads_on_bars(bars, tuple(place.plates), bar_named(like))
    hands = 2 if exercise.is_held_in_both_hands else 1
    for token, pieces in (("dumbbell", place.dumbbells), ("kettlebell", place.kettlebells)):
        if token in option:
            return hand_loads(pieces, token, hands, exercise.load_means)
    if "plates" in option or "sled" in option:
        totals = side_loads(Counted(p.mass_kg, p.count * 2) for p in place.plates)
        word = "on the sled" if "sled" in option else "held"
        most = 8 if "sled" in option else 1
        return tuple(
            Buildable(
                kilograms(total),
                exercise.load_means,
                " + ".join(as_text(kilograms(g)) for g in used) + f" kg {word}" if used else "empty sled",
                "sled" if "sled" in option else "plates",
                plates_kg=tuple(kilograms(g) for g in used),
            )
            for total, used in sorted(totals.items())
            if (total or "sled" in option) and len(used) <= most
        )
    return ()
