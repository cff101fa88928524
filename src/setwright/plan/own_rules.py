"""A coach's own rule of training, as data: a sentence, and one of a few kinds that can be checked.

Pure values, so that the brief can hold them; what each kind means for an exercise, a day and a number of sets is
in ``plan.own_wishes``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from setwright.people.trainee import Day

OwnKind = Literal[
    "at-most-sets",
    "at-least-sets",
    "not-on",
    "only-on",
    "before",
    "days-between",
    "at-most-entries",
    "rest-at-least",
]
OWN_KINDS: tuple[OwnKind, ...] = get_args(OwnKind)
Span = Literal["session", "week"]
USUAL_WEIGHT = 1.0
HARD_DAY_SETS = 6.0  # as in rule X01


@dataclass(frozen=True)
class OwnRule:
    """One rule that a coach added. Which fields a kind reads, in the words of the brief file:

    ==================  ==============================================================================
    at-most-sets        ``muscle``, ``sets``, ``per``: at most so many counted sets in a session or week
    at-least-sets       the same, at least so many
    not-on, only-on     ``what`` (exercise slug or pattern), ``days``
    before              ``what`` stands before ``then`` in a session (exercise slugs or patterns)
    days-between        ``muscle``, ``days_between`` (free days between two hard ones), ``sets`` (what is hard)
    at-most-entries     ``entries`` in a session
    rest-at-least       ``rest_s``, and ``what``; every working set where ``what`` is empty
    ==================  ==============================================================================

    id : ``own-1``, ``own-2`` ... in the order of the brief; ``says`` is the coach's sentence, shown as it is
    weight : how dear a breach is to this coach, 0 to 10, 1 is usual
    """

    id: str
    says: str
    kind: OwnKind
    muscle: str = ""
    what: str = ""
    then: str = ""
    days: tuple[Day, ...] = ()
    per: Span = "week"
    sets: float = 0.0
    days_between: int = 0
    entries: int = 0
    rest_s: float = 0.0
    weight: float = USUAL_WEIGHT

    def __post_init__(self) -> None:
        if self.kind not in OWN_KINDS:
            raise ValueError(f"kind {self.kind!r}; allowed: {', '.join(OWN_KINDS)}")
        missing = [name for name in NEEDS[self.kind] if not getattr(self, name)]
        if missing:
            raise ValueError(f"{self.kind} needs {', '.join(missing)}")


NEEDS: dict[OwnKind, tuple[str, ...]] = {
    "at-most-sets": ("muscle",),  # at most 0 sets is a rule too
    "at-least-sets": ("muscle", "sets"),
    "not-on": ("what", "days"),
    "only-on": ("what", "days"),
    "before": ("what", "then"),
    "days-between": ("muscle", "days_between"),
    "at-most-entries": ("entries",),
    "rest-at-least": ("rest_s",),
}
