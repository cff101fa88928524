"""One thing that a review noticed: its evidence, how sure it is, what would settle it, and how much it weighs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

HELP = "Stop training and get medical help now; nothing is planned round this."
CLINICIAN = "Stop the exercises concerned and ask a licensed physiotherapist or doctor; this is no diagnosis."


def number_of(count: int, noun: str) -> str:
    """``1 day``, ``2 days``."""
    return f"{count} {noun}" + ("" if count == 1 else "s")


def one_or_many(names: Sequence[str], noun: str) -> str:
    """The only name, or how many there are: ``bench press``, ``2 lifts``."""
    return names[0] if len(names) == 1 else number_of(len(names), noun)


@dataclass(frozen=True)
class Finding:
    """One finding. ``kind`` names it, ``about`` what it concerns, ``probability`` 0 to 1 where it is one, else None."""

    kind: str
    about: str
    evidence: str
    probability: float | None
    settles_it: str
    weight: int

    def as_json(self) -> dict[str, object]:
        """The published form of ``review --json``."""
        return {
            "kind": self.kind,
            "about": self.about,
            "evidence": self.evidence,
            "probability": self.probability,
            "settles_it": self.settles_it,
        }
