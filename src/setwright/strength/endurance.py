"""What a log tells of conditioning: heart rates to train at, critical power and critical speed, or why not.

All-out efforts are marked by the coach: ``test=true`` among the dials, or "test" in the note. Watts are the dial
``power_w``; without them speed is metres over time, of one exercise at one kind of machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Trainee
from setwright.strength.critical_power import CriticalRate, Measure, Trial, critical_rate
from setwright.strength.gathering import is_tested
from setwright.strength.heart_rate import HeartZones, heart_zones
from setwright.strength.logged import Log, LoggedSet


@dataclass(frozen=True)
class Endurance:
    """Heart rates by class, and critical power or speed of every exercise with an all-out effort."""

    zones: HeartZones
    rates: tuple[CriticalRate, ...]


def endurance_of(trainee: Trainee, log: Log, today: date, catalogue: Catalogue) -> Endurance | None:
    """What is known of a person's conditioning, or None where neither the file nor the log tells anything of it."""
    efforts = trials_of(log.sets, catalogue)
    watched = any(one.heart_rate for one in log.sets) or any(one.heart_rate for one in log.sessions)
    if trainee.heart_rate is None and not efforts and not watched:
        return None
    rates = tuple(critical_rate(slug, measure, rows) for (slug, measure), rows in sorted(efforts.items()))
    return Endurance(heart_zones(trainee, today.year), rates)


def trials_of(sets: Sequence[LoggedSet], catalogue: Catalogue) -> dict[tuple[str, Measure], list[Trial]]:
    """All-out efforts by exercise and by what was measured."""
    found: dict[tuple[str, Measure], list[Trial]] = {}
    for one in sets:
        if one.exercise not in catalogue or not is_all_out(one) or not one.time_s:
            continue
        watts = one.dials.get("power_w")
        slug = catalogue.get(one.exercise).slug
        if isinstance(watts, (int, float)) and not isinstance(watts, bool) and watts > 0:
            found.setdefault((slug, "power"), []).append(Trial(one.date, float(watts), one.time_s))
        elif one.distance_m:
            found.setdefault((slug, "speed"), []).append(Trial(one.date, one.distance_m / one.time_s, one.time_s))
    return found


def is_all_out(one: LoggedSet) -> bool:
    """True for a row that the coach marked as a test; an effort that pain or form ended is none."""
    if one.ended_by in ("pain", "form", "balance", "grip"):
        return False
    return one.dials.get("test") is True or is_tested(one.note)
