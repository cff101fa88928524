"""Whether a group of lifts grew together: the chance that their mean 1RM, in log, rose since a day.

One lift seldom tells; several that load the same muscles tell more, and less than as many would that know nothing of
each other: their changes are drawn from one joint belief, so what they share is counted once.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from setwright.strength.course import Course
from setwright.strength.mixture import share_below


def chance_of_gain(course: Course, weights: Mapping[int, float]) -> float:
    """Chance that the weighted mean of ln 1RM is higher today than on ``course.since``.

    weights : by the number of a followed lift, each >= 0, not all 0; they need not sum to 1
    ValueError where no weight is above 0.
    """
    total = sum(weights.values())
    if total <= 0 or min(weights.values()) < 0:
        raise ValueError(f"weights {dict(weights)}: expected numbers >= 0, one above 0")
    roster = course.now
    along = np.zeros(roster.belief.mean.shape[-1])
    for lift, weight in weights.items():
        along[roster.number_of("x", lift)] += weight / total
        along[4 * roster.lifts + 3 + lift] -= weight / total  # the copy of the 1RM as of ``since``
    mean = roster.belief.mean[0] @ along
    variance = np.einsum("a,jab,b->j", along, roster.belief.cov[0], along)
    below = share_below(roster.belief.weights[0], mean, np.maximum(variance, 1e-12), np.zeros(()))
    return 1.0 - float(below)
