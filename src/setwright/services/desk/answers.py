"""Every answer to "what next?" of an entry, packed so that a phone looks it up: nothing is reckoned there.

``review.next_set`` is the law; here its tables for every load that the set before may have had are put together, each
answer once. ``static/setwright/next.js`` reads them, and a test holds both against each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from setwright.dose.implements import Buildable
from setwright.people.restriction_text import defaults
from setwright.people.trainee import Restriction
from setwright.plan.block import PlannedSet
from setwright.review.finding import HELP
from setwright.review.next_set import NextSet, Table, next_table, worth_of_a_call
from setwright.review.pain import bands, limit_at
from setwright.strength.estimates import LiftEstimate

REGIONS = (
    *("neck", "shoulder", "elbow", "wrist", "fingers", "upper back", "lower back", "chest"),
    *("hip", "groin", "thigh", "knee", "calf", "ankle", "foot"),
)


class Answers:
    """The tables of one entry, each answer kept once.

    loads : all that the place can build for the exercise; on : the day, for limits of pain that a clearance allows
    """

    def __init__(
        self, loads: Sequence[Buildable], lift: LiftEstimate, restrictions: Sequence[Restriction], on: date
    ) -> None:
        self.loads, self.lift = loads, lift
        self.limit, self.worth = limit_at("", restrictions, on), worth_of_a_call(lift)
        self.numbers: dict[NextSet, int] = {}
        self.tables: dict[PlannedSet, int] = {}
        self.packed: list[dict[str, Any]] = []

    def number_of(self, one: NextSet) -> int:
        """The number under which an answer is kept."""
        return self.numbers.setdefault(one, len(self.numbers))

    def table(self, planned: PlannedSet, done_kg: float | None = None) -> Table:
        """The table of a planned set after one with a load."""
        return next_table(planned, self.loads, self.lift, self.limit, done_kg, self.worth)

    def loads_asked(self, sets: Sequence[PlannedSet]) -> list[Buildable]:
        """The loads that answers to sets done as planned may ask."""
        asked = set()
        for one in sets:
            table = self.table(one)
            asked |= {row.next.load_kg for row in table.rows} | {table.less.load_kg}
        return [one for one in self.loads if one.load_kg in asked]

    def table_for(self, planned: PlannedSet, steps: Sequence[Buildable]) -> int:
        """The number of the table for a planned set: what it becomes, by the step of load that was done before it."""
        if planned not in self.tables:
            bare = self.table(planned)
            by_step = [self.table(planned, one.load_kg) for one in steps]
            self.tables[planned] = len(self.packed)
            self.packed.append(
                {
                    "stay": self.number_of(bare.stay),
                    "helped": bare.is_helped,
                    "bare": self.rows_of(bare),
                    "steps": [self.rows_of(one) for one in by_step],
                }
            )
        return self.tables[planned]

    def rows_of(self, table: Table) -> dict[str, Any]:
        """A table by numbers: rows of (possible from, to, answer), and the answer after pain."""
        rows = [[one.possible, one.possible_to, self.number_of(one.next)] for one in table.rows]
        return {"rows": rows, "less": self.number_of(table.less)}

    def as_values(self) -> dict[str, Any]:
        """What travels with the entry."""
        answers = [
            {
                "load_kg": one.load_kg,
                "reps": None if one.reps is None else list(one.reps),
                "hold_s": one.hold_s,
                "why": one.why,
                "stop": one.stop,
            }
            for one in self.numbers
        ]
        return {"answers": answers, "tables": self.packed}


def law_values(restrictions: Sequence[Restriction], on: date) -> dict[str, Any]:
    """What the rule must know of pain: red flags as patterns, whom to see, and the limits at each region."""
    limits = {"": limit_at("", restrictions, on)} | {where: limit_at(where, restrictions, on) for where in REGIONS}
    words = defaults()["clinician_first"]
    return {
        "help": HELP,
        "signs": list(words["signs"]),
        "words": list(words["words"]),
        "see": [[list(one["words"]), one["who"]] for one in bands()["see"]],
        "limits": {where: [one.watch, one.stop] for where, one in limits.items()},
    }
