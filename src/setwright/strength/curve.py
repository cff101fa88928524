"""The rep curve: how the load that can be lifted falls with the repetitions wanted.

One parameter, ``k``: share of 1RM = exp(-k (reps - 1)). About 0.032 reproduces the handbook chart.
"""

from __future__ import annotations

from math import exp, log


def share_of_1rm(reps: float, k: float) -> float:
    """Share of 1RM that can be lifted for ``reps`` repetitions to failure, 0 to 1.

    reps : repetitions to failure, >= 0 (1 gives exactly 1); k : personal curve parameter, > 0
    Source: exponential form, this project's choice; the handbook chart is its referee.

    >>> share_of_1rm(1, 0.03)
    1.0
    """
    if k <= 0:
        raise ValueError(f"k is {k}, expected a number > 0")
    return exp(-k * (reps - 1.0))


# Repetitions called as left in a hold: four seconds each (common practice, no published source). What a hold costs in
# repetitions is in ``compound``, by joint and load.
SECONDS_HELD_A_REP = 4.0


def reps_at_share(share: float, k: float) -> float:
    """Repetitions to failure at a share of 1RM; below 1 where the load is over the 1RM.

    >>> reps_at_share(1.0, 0.03)
    1.0
    """
    if k <= 0 or share <= 0:
        raise ValueError(f"share is {share} and k is {k}, expected numbers > 0")
    return 1.0 - log(share) / k
