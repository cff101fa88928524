"""What was done: one row a set, one row a session. The log is append-only; a correction is a new row."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from setwright.catalogue.exercise import LoadMeans

EndedBy = Literal["planned", "form", "balance", "grip", "breath", "pain", "muscle"]
PainKind = Literal["sharp", "dull", "numb", "other"]


@dataclass(frozen=True)
class LoggedSet:
    """One set as done. ``load_kg`` by ``load_means``; ``rir`` as called; ``ended_by`` why it ended.

    Only ``muscle`` is failure; any other end is a lower bound for strength.
    ``pain`` 0 to 10, ``pain_where`` a joint or region. ``corrects`` is the ``row`` of an earlier row, or None.
    """

    date: date
    week: int | None
    session: str
    exercise: str
    set: int
    load_kg: float | None = None
    load_means: LoadMeans | None = None
    reps: int | None = None
    rir: float | None = None
    hold_s: float | None = None
    distance_m: float | None = None
    time_s: float | None = None
    ended_by: EndedBy | None = None
    pain: int | None = None
    pain_where: str = ""
    pain_kind: PainKind | None = None
    note: str = ""
    dials: dict[str, object] = field(default_factory=dict)
    row: str = ""
    corrects: str | None = None


@dataclass(frozen=True)
class LoggedSession:
    """One session as done: session RPE 0 to 10 and its minutes."""

    date: date
    week: int | None
    session: str
    session_rpe: float | None
    minutes: float | None
    note: str = ""
    row: str = ""
    corrects: str | None = None


@dataclass(frozen=True)
class Log:
    """A whole log, corrections already applied, in order of date and set."""

    sets: tuple[LoggedSet, ...] = ()
    sessions: tuple[LoggedSession, ...] = ()
