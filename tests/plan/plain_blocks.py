"""Small blocks written out by hand, for tests of rules: days, entries and sets, all invented."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from made_block import BRIEF, GYM, PERSON

from setwright.plan.block import Block, Entry, Inputs, Part, PlannedSet, Proof, Session, Week
from setwright.plan.rules import check_rules

PLAIN_BRIEF = replace(BRIEF, lifts=(), skill=None)
PLAIN_PERSON = replace(PERSON, goals=(), steps=())
ORDER = ("warm-up", "main", "skill", "assistance", "finisher", "loaded-mobility", "conditioning")
Made = tuple[str, Entry]  # part and entry
Days = Mapping[str, Sequence[Made]]


def lift(slug: str, sets: int = 3, part: str = "assistance", superset: str | None = None, **facts: object) -> Made:
    """An entry of equal working sets; 8 to 10 repetitions, 2 left, 40 kg, 2 min of rest where nothing else is said."""
    usual: dict[str, object] = {"kind": "work", "reps": (8, 10), "rir": 2.0, "load_kg": 40.0, "rest_s": 120.0}
    one = PlannedSet(**{**usual, **facts})  # type: ignore[arg-type]
    return part, Entry(slug, (one,) * sets, "invented", superset=superset)


def held(slug: str, seconds: float, sets: int = 1, part: str = "assistance") -> Made:
    """An entry of holds."""
    return lift(slug, sets, part, kind="hold", reps=None, load_kg=None, hold_s=seconds)


def week_of(days: Days, number: int = 1, kind: str = "build", rpe: float = 7.0) -> Week:
    """One week; entries of a part stay in the order given, parts stand in the order first named."""
    sessions = []
    for day, entries in days.items():
        parts = [
            Part(name, tuple(entry for part, entry in entries if part == name))  # type: ignore[arg-type]
            for name in dict.fromkeys(part for part, _ in entries)
        ]
        sessions.append(Session(day, "gym", 50.0, tuple(parts), 60.0))  # type: ignore[arg-type]
    return Week(number, kind, rpe, tuple(sessions))  # type: ignore[arg-type]


def block_of(*weeks: Week, person: Mapping[str, object] | None = None, **brief: object) -> Block:
    """A block of these weeks, numbered in their order; ``person`` and ``brief`` facts differ from the plain ones."""
    return Block(
        id="blk-invented",
        title="Invented",
        trainee="invented",
        place="gym",
        weeks=tuple(replace(week, number=number) for number, week in enumerate(weeks, start=1)),
        set_credits=(),
        unmet=(),
        proof=Proof("written", 0.0, 0.0, 0.0),
        inputs=Inputs(
            replace(PLAIN_PERSON, **(person or {})),  # type: ignore[arg-type]
            (GYM,),
            replace(PLAIN_BRIEF, **brief),  # type: ignore[arg-type]
        ),
    )


def said(block: Block, rule: str, catalogue: Callable[[], object]) -> list[str]:
    """What a rule says of a block."""
    return [one.why for one in check_rules(block, catalogue()) if one.rule == rule]  # type: ignore[arg-type]
