"""Where training happens, with the equipment that is there, counted."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Bar:
    """A bar of a kind (``barbell``, ``hexbar``, ``landmine``); collars weigh ``collar_kg`` each."""

    kind: str
    mass_kg: float
    count: int = 1
    collar_kg: float = 0.0


@dataclass(frozen=True)
class Counted:
    """Things of one mass: ``count`` single pieces (two dumbbells of 20 kg: mass 20, count 2)."""

    mass_kg: float
    count: int


@dataclass(frozen=True)
class Stack:
    """A machine or cable with a pin: first step, step, last step, and add-on masses that may be laid on.

    ``kind`` is the equipment token it answers to (``cable``, ``machine:leg_press``).
    ``ratio``: felt load over printed load (0.5 for a double pulley).
    """

    kind: str
    first_kg: float
    step_kg: float
    last_kg: float
    add_ons_kg: tuple[float, ...] = ()
    count: int = 1


@dataclass(frozen=True)
class Band:
    """An elastic band by its own name; ``assist_kg`` is the help at the bottom of a pull-up if measured.

    ``rest_cm``, ``hung_kg``, ``hung_cm``: its length at rest, and under a mass hung on it once; all three or none.
    """

    name: str
    heavy: bool = False
    loop: bool = False
    assist_kg: float | None = None
    count: int = 1
    rest_cm: float | None = None
    hung_kg: float | None = None
    hung_cm: float | None = None


@dataclass(frozen=True)
class Place:
    """A room with its inventory. ``fixtures`` maps an equipment token to how many there are."""

    id: str
    name: str
    bars: tuple[Bar, ...] = ()
    plates: tuple[Counted, ...] = ()
    dumbbells: tuple[Counted, ...] = ()
    kettlebells: tuple[Counted, ...] = ()
    stacks: tuple[Stack, ...] = ()
    bands: tuple[Band, ...] = ()
    fixtures: dict[str, int] = field(default_factory=dict)
    unit: str = "kg"
    invented: bool = False

    def tokens(self) -> frozenset[str]:
        """Equipment tokens that this place answers to; ``wall`` and ``none`` are everywhere."""
        found = {"none", "wall"}
        found.update(bar.kind for bar in self.bars if bar.count)
        found.update(stack.kind for stack in self.stacks if stack.count)
        found.update(token for token, count in self.fixtures.items() if count)
        for token, owned in (
            ("plates", self.plates),
            ("dumbbell", self.dumbbells),
            ("kettlebell", self.kettlebells),
        ):
            if any(piece.count for piece in owned):
                found.add(token)
        for band in self.bands:
            if band.count:
                found.add("band")
                if band.heavy:
                    found.add("band_heavy")
                if band.loop:
                    found.add("loop_band")
        return frozenset(found)
