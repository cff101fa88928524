"""What the poses share: the angles of an entry, things that stand around, and the load where the entry says it lies."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from setwright.catalogue.exercise import Exercise
from setwright.publish.drawing import Point, Scene, Thing
from setwright.publish.mannequin import Build, Figure

# What poses an entry: its scenes in order (one for a hold), or None where a picture would mislead.
Poser = Callable[[Exercise, Build], Sequence[Scene] | None]
BENCH = 0.43
BAR_HIGH, BAR_LOW = 2.15, 0.95


def angle(exercise: Exercise, motion: str, default: float = 0.0) -> float:
    """The largest angle of a joint motion of the entry, degrees; the default where it has none."""
    return float(exercise.max_angles.get(motion, default))


def tokens(exercise: Exercise) -> frozenset[str]:
    """All equipment that any set of the entry names."""
    return frozenset().union(*exercise.equipment) if exercise.equipment else frozenset()


def floor(left: float = -0.7, right: float = 0.7, z: float = 0.0) -> Thing:
    """The floor as a line."""
    return Thing("floor", ((left, z), (right, z)))


def box(left: float, right: float, top: float, bottom: float = 0.0, kind: str = "box") -> Thing:
    """A box seen from the side."""
    return Thing(kind, ((left, bottom), (left, top), (right, top), (right, bottom)))


def bench(left: float, right: float, top: float = BENCH) -> tuple[Thing, ...]:
    """A flat bench: a thin top on two legs."""
    return (
        Thing("frame", ((left + 0.12, top - 0.06), (left + 0.12, 0.0))),
        Thing("frame", ((right - 0.12, top - 0.06), (right - 0.12, 0.0))),
        box(left, right, top, top - 0.07, "bench"),
    )


def slope(start: Point, end: Point, thick: float = 0.05) -> tuple[Thing, ...]:
    """An inclined board between two points, with a leg to the floor at its higher end."""
    (x1, z1), (x2, z2) = start, end
    length = ((x2 - x1) ** 2 + (z2 - z1) ** 2) ** 0.5
    nx, nz = -(z2 - z1) / length * thick, (x2 - x1) / length * thick
    if nz > 0:
        nx, nz = -nx, -nz
    high, low = (end, start) if z2 > z1 else (start, end)
    middle = ((high[0] + low[0]) / 2, (high[1] + low[1]) / 2)
    return (
        Thing("frame", (middle, (middle[0], 0.0))),
        Thing("bench", (start, end, (x2 + nx, z2 + nz), (x1 + nx, z1 + nz))),
    )


def wall(x: float, top: float = 1.9) -> Thing:
    """A wall as an upright line."""
    return Thing("wall", ((x, 0.0), (x, top)))


def post(x: float, top: float = 1.2) -> Thing:
    """Something upright to hold."""
    return Thing("post", ((x, 0.0), (x, top)))


def scene(figure: Figure, *things: Thing | Sequence[Thing]) -> Scene:
    """A posed person with things around."""
    flat: list[Thing] = []
    for one in things:
        flat += [one] if isinstance(one, Thing) else list(one)
    return Scene(figure.limbs(), tuple(flat))


def pull_line(exercise: Exercise, start: Point, end: Point) -> tuple[Thing, ...]:
    """What pulls from a place: a cable with its pulley, or a band with its anchor."""
    if "cable" in tokens(exercise):
        return Thing("cable", (start, end)), Thing("pulley", (end,))
    return Thing("band", (start, end)), Thing("grip", (end,))


def in_hands(exercise: Exercise, figure: Figure, both: bool = True) -> tuple[Thing, ...]:
    """The load where the entry says: on the back, in front of the shoulders, at the hips, in one hand or both."""
    what = tokens(exercise)
    if exercise.load_means == "body" and not what & {"dumbbell", "kettlebell", "barbell", "hexbar", "sandbag"}:
        return ()
    if exercise.load_means == "assistance":
        return ()
    if "bar-on-back" in exercise.positions:
        return (Thing("plate", (figure.front_of("shoulder", -0.07),)),)
    if "load-at-hips" in exercise.positions:
        kind = "plate" if "barbell" in what else "dumbbell"
        return (Thing(kind, (figure.front_of("hip", 0.12),)),)
    if "front-rack" in exercise.positions and "barbell" in what:
        return (Thing("plate", (figure.front_of("shoulder", 0.09),)),)
    if "barbell" in what or "hexbar" in what:
        return (Thing("plate", (figure["hand"],)),)
    kind = next((one for one in ("dumbbell", "kettlebell", "plates", "sandbag") if one in what), "")
    if not kind:
        return ()
    kind = "plate" if kind == "plates" else kind
    made = [Thing(kind, (figure["hand"],))]
    far = figure["far_hand"]
    apart = abs(far[0] - figure["hand"][0]) + abs(far[1] - figure["hand"][1]) > 0.1
    if both and exercise.is_held_in_both_hands and apart:
        made.insert(0, Thing(kind, (far,), far=True))
    return tuple(made)


def solve(make: Callable[[float], float], low: float, high: float) -> float:
    """The number between two at which a rising or falling measure is nought; the nearer end where it never is."""
    a, b = make(low), make(high)
    if a * b > 0:
        return low if abs(a) < abs(b) else high
    for _ in range(40):
        middle = (low + high) / 2
        if make(middle) * a > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
