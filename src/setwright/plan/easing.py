"""How work that still uses a sore joint is dosed: more repetitions, more in reserve, or a plainly light load."""

from __future__ import annotations

from dataclasses import replace

from setwright.dose.minutes import tempo_seconds
from setwright.plan.template import Scheme

EASED_REPS, EASED_RIR = (8, 12), 4.0  # moderate work of a sore joint (common practice, no published source)
EASED_TEMPO, SLOW_S = "2-0-1-0", 4.0  # slow repetitions make a light load hard, so few of them would be left


NEW_REPS, NEW_RIR = (6, 8), 3.0  # a lift that stands in and was never done (common practice, no published source)


def first_time(scheme: Scheme) -> Scheme:
    """The scheme of a lift that nothing is known of: no heavy triples with a guessed load."""
    if scheme.kind not in ("straight", "ramp") or not scheme.reps or scheme.reps[0] >= NEW_REPS[0]:
        return scheme
    return replace(scheme, reps=NEW_REPS, rir=None if scheme.rir is None else max(scheme.rir, NEW_RIR))


def eased_scheme(scheme: Scheme, level: str) -> Scheme:
    """The same sets made easy for a joint that may only do moderate or light work."""
    if scheme.inside or scheme.back_offs is not None:
        scheme = scheme.as_straight()
    rir = None if scheme.rir is None else max(scheme.rir, EASED_RIR)
    if scheme.kind not in ("straight", "ramp", "hold-reps-hold", "lowering"):
        return replace(scheme, rir=rir)
    reps = scheme.reps if scheme.reps and scheme.reps[0] >= EASED_REPS[0] else EASED_REPS
    kind = "straight" if scheme.kind == "ramp" else scheme.kind
    is_slow = kind == "straight" and tempo_seconds(scheme.tempo, 0.0) > SLOW_S
    return replace(
        scheme,
        kind=kind,
        reps=reps,
        rir=rir,
        load_kg=None,
        pct=None,
        light=level == "light",
        to_top_set=False,
        tempo=EASED_TEMPO if is_slow else scheme.tempo,
    )
