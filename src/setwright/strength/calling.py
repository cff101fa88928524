"""What a called reserve is worth: how far it lies from the truth on average, and how it scatters."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Halperin et al. 2022 (414 people, seen): called reserves are 0.95 repetitions too low on average; the error grows
# by 0.06 a repetition up to 12 to failure and by 0.47 beyond. It shrinks towards failure (-0.025 a step, seen; one
# repetition at 4 called, nothing at 0: this project's line through these).
MEAN_BIAS, BIAS_PER_REP, BIAS_PER_REP_OVER_12, MIDDLE_REPS, FULL_BIAS_AT = 0.95, 0.06, 0.47, 9.0, 4.0
# Scatter of a call about the person's own bias. Absolute errors, bias and the day's form included: 0.7 at 1 called and
# 1.0 to 1.4 at 4 (a master thesis, 12 men; seen), 0.65 on the bench at 75 % (Refalo et al., 24 people; seen), so what
# is left for the call itself is less; more in sets over twelve repetitions (Halperin 2022, seen).
NEWTON_STEPS = 4
CALL_SD, CALL_SD_PER_RIR, CALL_SD_PER_REP_OVER_12 = 0.4, 0.15, 0.35


def full_bias(whole: Floats) -> Floats:
    """The usual bias of a call with four or more left, in a set of ``whole`` repetitions to failure."""
    return np.asarray(
        MEAN_BIAS
        + BIAS_PER_REP * (np.minimum(whole, 12.0) - MIDDLE_REPS)
        + BIAS_PER_REP_OVER_12 * np.clip(whole - 12.0, 0.0, 8.0)
    )


def usual_bias(rir: Floats | float, reps: Floats | float) -> Floats:
    """Repetitions by which a called reserve is too low in most people; 0 at failure, never below 0.

    rir : called reserve, >= 0; reps : repetitions done; both broadcast
    """
    rir, whole = np.asarray(rir, dtype=np.float64), np.asarray(reps, dtype=np.float64) + np.asarray(rir)
    return np.asarray(full_bias(whole) * np.minimum(1.0, rir / FULL_BIAS_AT))


def bias_slope(rir: Floats | float, reps: Floats | float) -> Floats:
    """By how much the usual bias grows with one more repetition called, >= 0 for sets of two and more."""
    rir = np.asarray(rir, dtype=np.float64)
    whole = np.asarray(reps, dtype=np.float64) + rir
    steep = np.where(whole < 12.0, BIAS_PER_REP, np.where(whole < 20.0, BIAS_PER_REP_OVER_12, 0.0))
    full = full_bias(whole)
    return np.asarray(
        steep * np.minimum(1.0, rir / FULL_BIAS_AT) + np.where(rir < FULL_BIAS_AT, full, 0.0) / FULL_BIAS_AT
    )


def call_for(left: Floats, reps: Floats, bias: Floats) -> Floats:
    """The reserve that is called, without scatter, by somebody with ``bias`` times the usual bias who has ``left``.

    Where the usual bias would ask for a call below 0, it is 0.
    """
    left = np.maximum(np.asarray(left, dtype=np.float64), 0.0)
    call = left / (1.0 + 0.3 * np.maximum(bias, 0.0))
    for _ in range(NEWTON_STEPS):
        over = call + bias * usual_bias(call, reps) - left
        call = np.maximum(0.0, call - over / np.maximum(0.3, 1.0 + bias * bias_slope(call, reps)))
    return np.asarray(call)


def scatter(rir: Floats | float, reps: Floats | float) -> Floats:
    """Standard deviation of a called reserve about its mean, repetitions."""
    over = np.maximum(0.0, np.asarray(reps, dtype=np.float64) - 12.0)
    return np.asarray(CALL_SD + CALL_SD_PER_RIR * np.asarray(rir) + CALL_SD_PER_REP_OVER_12 * over)
