"""The seven published equations that predict a 1RM from one set to failure. For comparison only: no load uses them.

Each takes the load (any unit) and the repetitions to failure and gives the 1RM in the same unit.
Coefficients: seen in a list of all seven; originals as cited, from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import exp


def _checked(load: float, reps: float, most: float) -> None:
    if load <= 0:
        raise ValueError(f"load is {load}, expected a number > 0")
    if not 1 <= reps < most:
        raise ValueError(f"reps is {reps}, expected a number from 1 to below {most:g}")


def epley(load: float, reps: float) -> float:
    """1RM by Epley 1985: W (1 + r / 30). One repetition gives 103.3 %, not 100.

    >>> epley(100, 30)
    200.0
    """
    _checked(load, reps, 100)
    return load * (1 + reps / 30)


def brzycki(load: float, reps: float) -> float:
    """1RM by Brzycki 1993: W / (1.0278 - 0.0278 r). Defined below 36.97 repetitions."""
    _checked(load, reps, 36.97)
    return load / (1.0278 - 0.0278 * reps)


def lander(load: float, reps: float) -> float:
    """1RM by Lander 1985: 100 W / (101.3 - 2.67123 r). Defined below 37.92 repetitions."""
    _checked(load, reps, 37.92)
    return 100 * load / (101.3 - 2.67123 * reps)


def lombardi(load: float, reps: float) -> float:
    """1RM by Lombardi 1989: W r^0.10."""
    _checked(load, reps, 100)
    return float(load * reps**0.10)


def mayhew(load: float, reps: float) -> float:
    """1RM by Mayhew et al. 1992: 100 W / (52.2 + 41.9 exp(-0.055 r)). One repetition gives 108.9 %."""
    _checked(load, reps, 100)
    return 100 * load / (52.2 + 41.9 * exp(-0.055 * reps))


def oconner(load: float, reps: float) -> float:
    """1RM by O'Conner, Simmons and O'Shea 1989: W (1 + 0.025 r)."""
    _checked(load, reps, 100)
    return load * (1 + 0.025 * reps)


def wathan(load: float, reps: float) -> float:
    """1RM by Wathan 1994: 100 W / (48.8 + 53.8 exp(-0.075 r))."""
    _checked(load, reps, 100)
    return 100 * load / (48.8 + 53.8 * exp(-0.075 * reps))


EQUATIONS: Mapping[str, Callable[[float, float], float]] = {
    "Epley 1985": epley,
    "Brzycki 1993": brzycki,
    "Lander 1985": lander,
    "Lombardi 1989": lombardi,
    "Mayhew 1992": mayhew,
    "O'Conner 1989": oconner,
    "Wathan 1994": wathan,
}
