"""What a coach and a clinic tell each other of one person: the values, before and after any file format."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from setwright.people.trainee import RangeMeasure, Restriction


@dataclass(frozen=True)
class ClinicMass:
    """A body mass, kg; ``date`` None where it is not known when it was measured."""

    date: date | None
    mass_kg: float


@dataclass(frozen=True)
class ClinicPain:
    """The most pain of a day at one place, 0 to 10; ``where`` as it was written, or empty."""

    date: date
    where: str
    value: int


@dataclass(frozen=True)
class ClinicSession:
    """A session as done: rating 0 to 10 and minutes, None for what was not told; ``note`` as written."""

    date: date
    session_rpe: float | None
    minutes: float | None
    note: str = ""


@dataclass(frozen=True)
class ClinicStrength:
    """An estimated one-repetition maximum, kg as a load is printed: its mean, and its 10 and 90 % points."""

    date: date
    exercise: str
    mean_kg: float
    p10_kg: float
    p90_kg: float


@dataclass(frozen=True)
class ClinicFile:
    """All that one file says of one person. ``unread``: a sentence for each thing that was not understood."""

    called: str
    restrictions: tuple[Restriction, ...] = ()
    range_measures: tuple[RangeMeasure, ...] = ()
    masses: tuple[ClinicMass, ...] = ()
    pains: tuple[ClinicPain, ...] = ()
    sessions: tuple[ClinicSession, ...] = ()
    strengths: tuple[ClinicStrength, ...] = ()
    unread: tuple[str, ...] = field(default=())
