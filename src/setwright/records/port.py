"""What every keeper of records can do. The rooms above know only this; files and data bases stand behind it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, Protocol

from setwright.plan.block import Block
from setwright.strength.logged import Log

Verdict = Literal["accepted", "declined", "replaced"]


@dataclass(frozen=True)
class Decision:
    """What the coach decided about one proposed revision: all its changes, or some by number."""

    trainee: str
    block: str
    verdict: Verdict
    changes: tuple[int, ...]
    at: str
    reason: str = ""


@dataclass(frozen=True)
class Revision:
    """One kept revision: its block, whether it is the one in force, and when it was kept."""

    block: str
    revision: int
    parent: str | None
    at: str
    in_force: bool


@dataclass(frozen=True)
class Event:
    """One thing that was kept: its kind (``revision``, ``in-force``, ``log``, ``decision``), when, and its content."""

    kind: str
    at: str
    data: Mapping[str, Any]


class Records(Protocol):
    """An append-only keeper of logs, immutable block revisions and decisions."""

    def keep_block(self, block: Block, at: str) -> None:
        """Keeps a revision; the same one twice is kept once."""

    def block(self, block_id: str) -> Block:
        """A kept revision; LookupError for an unknown one."""

    def revisions(self, trainee: str) -> Sequence[Revision]:
        """All revisions of a trainee in the order they were kept."""

    def current(self, trainee: str) -> Block | None:
        """The revision in force, or None."""

    def put_in_force(self, trainee: str, block_id: str, at: str, reason: str) -> None:
        """Makes a kept revision the one in force: accepting, and undoing."""

    def keep_log(self, trainee: str, log: Log, at: str) -> int:
        """Adds rows that are not kept yet; gives how many were new."""

    def log(self, trainee: str) -> Log:
        """The whole log, corrections applied."""

    def events(self, trainee: str) -> Sequence[Event]:
        """Everything kept of a trainee, in the order it was kept."""

    def decide(self, decision: Decision) -> None:
        """Keeps a decision of the coach."""

    def decisions(self, trainee: str) -> Sequence[Decision]:
        """All decisions about a trainee, in order."""

    def trainees(self) -> Sequence[str]:
        """Who has records."""

    def erase(self, trainee: str, at: str) -> Mapping[str, int]:
        """Erases a person and leaves an anonymous tombstone; gives what was erased, by kind."""
