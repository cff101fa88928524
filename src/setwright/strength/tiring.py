"""How much of the earlier sets of a lift is still felt, and what that takes from the next one.

One hard set two minutes before takes ``loss`` of the repetitions; easier sets take less, and rest gives back.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from setwright.strength.population import Population, population

Floats = NDArray[np.float64]
USUAL_REST_S = 150.0
# Doubt about what earlier sets take, as a share of it, for a set to come: people and lifts differ (a third, the spread
# of ``loss``), rests vary by a quarter and calls scatter (this project's guess).
FELT_DOUBT = 0.45
LEAST_LEFT = 0.4  # no set is tired to less than this (keeps far-off states sane)


def hardness(reserve: Floats | float, people: Population) -> Floats:
    """How tiring a set is, 1 to the last repetition, less with more in reserve."""
    return np.asarray(np.exp(-np.asarray(reserve, dtype=np.float64) / people.effort_scale_reps))


def recovery(rest_s: Floats | float, people: Population) -> Floats:
    """What a rest leaves of what was felt, 1 after two minutes; unknown (nan) rests count as two and a half."""
    rest = np.asarray(rest_s, dtype=np.float64)
    rest = np.where(np.isnan(rest), USUAL_REST_S, rest)
    return np.asarray(np.exp(-(rest - 120.0) / people.recovery_s))


def left_after(before: int, reserve: float, rest_s: float, loss: float, people: Population | None = None) -> float:
    """Share of the fresh repetitions that ``before`` sets alike, with ``reserve`` left in each, leave for the next.

    >>> left_after(0, 2.0, 150.0, 0.2)
    1.0
    """
    people = people or population()
    felt = 0.0
    for _ in range(before):
        felt = (felt + float(hardness(reserve, people))) * float(recovery(rest_s, people))
    return max(LEAST_LEFT, 1.0 - loss * felt)
