"""What goes in and out of the API: one small shape for each thing, with its units."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Any, Literal
from uuid import UUID

from ninja import Schema
from pydantic import ConfigDict, Field

Text = Annotated[str, Field(max_length=500)]
Free = dict[str, Any]  # a published format of its own: block, log row


class Wrong(Schema):
    """Why something was refused, in sentences."""

    title: str
    faults: list[str]


class NextDay(Schema):
    """The next planned day of a trainee."""

    date: date
    title: str
    minutes: int = Field(description="minutes of the session")


class Finding(Schema):
    """What a review of the log found."""

    kind: str
    about: str
    evidence: str
    settles_it: str
    weight: float = Field(description="how much it matters; larger is more")


class Line(Schema):
    """One trainee on the roster."""

    id: UUID
    name: str
    block: str = Field(description="id of the block in force; empty where there is none")
    next: NextDay | None
    last_logged: date | None
    waiting: int = Field(description="changes that wait for a decision")
    first_finding: Finding | None


class Roster(Schema):
    """One page of the trainees of the coach who asks, by name."""

    count: int
    page: int
    pages: int
    trainees: list[Line]


class Document(Schema):
    """A file of the coach, as TOML."""

    name: str
    text: str


class Person(Schema):
    """One trainee."""

    id: UUID
    slug: str
    name: str
    intake: str = Field(description="the intake file as it stands, TOML")
    block: str = Field(description="id of the block in force; empty where there is none")
    waiting: str = Field(description="id of the revision that waits for a decision; empty where none does")
    findings: list[Finding]


class Findings(Schema):
    """What the reviews of the log found, the weightiest first."""

    counted_at: datetime | None
    findings: list[Finding]


class Day(Schema):
    """The session of a day: sets with loads in kg, what the result of one says of the next, what instead."""

    date: date
    planned: bool
    session: Free | None


class Rows(Schema):
    """Rows of a log, in the published columns."""

    rows: list[Free]


class NewRows(Schema):
    """Rows to be kept; each with ``row``, a UUID made by who logs it: the same one again is kept once."""

    model_config = ConfigDict(extra="forbid")
    rows: list[Free] = Field(max_length=500)


class Kept(Schema):
    """The keys that are kept now, new or before; the faults of the others; which row of another phone one replaces."""

    kept: list[str]
    refused: dict[str, str]
    replaced: dict[str, str]


class Change(Schema):
    """One change that the coach can take or decline, as it reads on a page."""

    number: int
    weeks: list[int]
    session: str
    entry: str
    was: str
    becomes: str
    why: str


class Changes(Schema):
    """A revision that waits for a decision: its id, and its changes."""

    block: str
    parent: str
    changes: list[Change]


class Verdict(Schema):
    """What the coach decides: on all changes, or on some by their numbers."""

    model_config = ConfigDict(extra="forbid")
    verdict: Literal["accept", "decline"]
    changes: list[Annotated[int, Field(ge=1, le=10_000)]] | None = Field(default=None, max_length=10_000)
    reason: Text = ""


class InForce(Schema):
    """The block that is in force now; empty where none is."""

    block: str


class Sore(Schema):
    """Something hurts: in words, or by joint and side; what may stay, what is wanted."""

    model_config = ConfigDict(extra="forbid")
    words: Annotated[str, Field(max_length=300)] = ""
    joint: Annotated[str, Field(max_length=40)] = ""
    side: Literal["both", "left", "right"] = "both"
    level: Literal["", "none", "light", "moderate"] = ""
    wanted: list[Literal["holds", "carries", "short-range"]] = Field(default=[], max_length=3)
    set_by: Annotated[str, Field(max_length=120)] = ""
    send: bool = Field(default=False, description="put it in force at once, without a look at the changes")


class Job(Schema):
    """Long work: how far it is, and what came of it."""

    id: UUID
    deed: str
    state: Literal["waiting", "running", "done", "refused", "failed", "cancelled"]
    doing: str
    share_done: float = Field(description="0 to 1")
    result: Free
