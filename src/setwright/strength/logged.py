"""What was done: one row a set, one row a session. The log is append-only; a correction is a new row."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from setwright.catalogue.exercise import LoadMeans

EndedBy = Literal["planned", "form", "balance", "grip", "breath", "pain", "muscle"]
PainKind = Literal["sharp", "dull", "numb", "other"]
LoggedPart = Literal["warm-up", "main", "skill", "assistance", "finisher", "loaded-mobility", "conditioning", "filler"]
EASY_PARTS = ("warm-up", "filler")  # easy on purpose: what was done there tells nothing of strength


@dataclass(frozen=True)
class Wellness:
    """The answers of one day to a short questionnaire: ``scale`` names it, ``answers`` holds each question by name."""

    scale: str
    answers: dict[str, float]


@dataclass(frozen=True)
class LoggedSet:
    """One set as done. ``load_kg`` by ``load_means``; ``rir`` as called; ``ended_by`` why it ended.

    Only ``muscle`` is failure; any other end is a lower bound for strength.
    ``pain`` 0 to 10, ``pain_where`` a joint or region. ``corrects`` is the ``row`` of an earlier row, or None.
    ``time``: when it began, ``HH:MM``, or empty. ``part``: the part of the session it was done in, where written.
    ``score``: of conditioning, as written (``review.score`` reads it). ``heart_rate``: mean, beats a minute.
    Fields that came after the first logs are no part of ``repr``: keys made from it stay as they are.
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
    time: str = field(default="", repr=False)
    part: LoggedPart | None = field(default=None, repr=False)
    score: str = field(default="", repr=False)
    heart_rate: float | None = field(default=None, repr=False)


@dataclass(frozen=True)
class LoggedSession:
    """One row without an exercise: a session as done (session RPE 0 to 10, minutes), what was said of a day, or both.

    Or a bout of conditioning: ``bout`` is its letter on the sheet, ``score`` what came out, as written; ``heart_rate``
    its mean, beats a minute.
    ``time``: when the session began, ``HH:MM``, or empty. ``morning_pain``: 0 to 10 on getting up that day, at
    ``pain_where``. ``wellness``: the questionnaire of that day.
    """

    date: date
    week: int | None
    session: str
    session_rpe: float | None
    minutes: float | None
    note: str = ""
    row: str = ""
    corrects: str | None = None
    time: str = field(default="", repr=False)
    wellness: Wellness | None = field(default=None, repr=False)
    morning_pain: int | None = field(default=None, repr=False)
    pain_where: str = field(default="", repr=False)
    pain_kind: PainKind | None = field(default=None, repr=False)
    bout: str = field(default="", repr=False)
    score: str = field(default="", repr=False)
    heart_rate: float | None = field(default=None, repr=False)

    @property
    def is_session(self) -> bool:
        """True where it tells of a session; False where it only tells of a day or a bout."""
        return self.session_rpe is not None or self.minutes is not None

    @property
    def is_work(self) -> bool:
        """True where it tells of work done, a session or a bout; False where it only tells of a day."""
        return self.is_session or bool(self.score)


@dataclass(frozen=True)
class Log:
    """A whole log, corrections already applied, in order of date and set."""

    sets: tuple[LoggedSet, ...] = ()
    sessions: tuple[LoggedSession, ...] = ()
