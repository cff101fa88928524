"""What follows in the same set after a short rest, a drop in load or at once: a stretch of repetitions or a hold."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Stretch:
    """One more stretch of a set.

    reps : (from, to), or None for a hold and where it is what is left; hold_s : seconds held
    rest_s : rest before it, s; load_share : its load over that of the set's first stretch, as wanted
    left : as many repetitions as the wanted reserve leaves, not a number of its own; a planned set says how many likely
    angle_deg : the joint angle of a hold where it is another than that of the entry
    load_kg, pieces : the load in the place and what to take, where it is not the set's own
    """

    reps: tuple[int, int] | None = None
    hold_s: float | None = None
    rest_s: float = 0.0
    load_share: float = 1.0
    left: bool = False
    angle_deg: float | None = None
    load_kg: float | None = None
    pieces: str = ""
