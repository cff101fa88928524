"""The easier week sooner, where at least two independent signs ask for it; later by one week, where none does.

Two weeks exchange their kinds: the sets, repetitions and effort of each entry that stands in both. Loads follow when
the block is dosed anew. Never more than eight weeks of building in a row (rule D05).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from setwright.plan.block import Change, Entry, Part, Session, Week
from setwright.plan.rules.curve import MOST_HARD_WEEKS
from setwright.plan.weeks import easy_weeks_of
from setwright.review.proposing import Situation, fits, most_minutes, told_apart, week_words
from setwright.review.signs import LOADED

LEAST_SIGNS = 2
EASY_BY_RIR, SURE_GAIN = 0.5, 0.75  # every lift with this much more left, and this sure to gain (common practice)
LEAST_LIFTS = 2


@dataclass(frozen=True)
class MovedWeek:
    """Weeks in which two exchanged their kinds, and the rows that say so; ``why`` is that of all of them."""

    weeks: tuple[Week, ...]
    changes: tuple[Change, ...]
    why: str


def moved_easy_week(situation: Situation) -> MovedWeek | None:
    """The easier week pulled forward to the next week, or put off by one, or None where it stays."""
    block, first = situation.block, situation.first
    week = situation.week(first)
    if week is None:
        return None
    if week.kind == "build":
        later = next((one for one in block.weeks if one.number > first and one.kind == "deload"), None)
        before = situation.week(first - 1)
        told = situation.signs.of_tiredness()
        if later is None or len(told) < LEAST_SIGNS or (before is not None and before.kind != "build"):
            return None
        why = f"The easier week comes sooner, in week {first} and not in week {later.number}: {' and '.join(told)}."
        return exchange(week, later, why, "; ".join(told), situation)
    after = situation.week(first + 1)
    if week.kind == "deload" and after is not None and after.kind == "build":
        told_well = all_well(situation)
        if told_well and stands_as_planned(week, situation):
            why = f"The easier week waits one week, for week {after.number}: {told_well}."
            return exchange(after, week, why, told_well, situation)
    return None


def stands_as_planned(week: Week, situation: Situation) -> bool:
    """True where an easier week stands where the brief puts it, so that it was not put off before."""
    block = situation.block
    return block.door == "design" and week.number in easy_weeks_of(block.inputs.brief, block.inputs.trainee.weeks_off)


def all_well(situation: Situation) -> str:
    """That every lift is easy and gaining and nothing speaks against it, in words; else empty."""
    signs = situation.signs
    lifts = [one for one in signs.lifts.values() if one.newest is not None and one.newest.week == signs.newest_week]
    calls = [one.newest.rir_gap for one in lifts if one.newest is not None and one.newest.rir_gap is not None]
    gains = [one.gained for one in lifts if one.gained is not None]
    if not signs.is_calm() or any(one.has_bad_sign() for one in lifts) or min(len(calls), len(gains)) < LEAST_LIFTS:
        return ""
    if min(calls) < EASY_BY_RIR or min(gains) < SURE_GAIN:
        return ""
    return f"all {len(calls)} lifts called had more left than planned, {len(gains)} are gaining, and no sign is bad"


def exchange(easy: Week, hard: Week, why: str, evidence: str, situation: Situation) -> MovedWeek | None:
    """The block in which ``easy`` takes the doses of ``hard`` (or the other way round: the two exchange).

    None where the weeks have other days or places, or where too many building weeks would stand in a row.
    """
    block = situation.block
    if [(one.day, one.place) for one in easy.sessions] != [(one.day, one.place) for one in hard.sessions]:
        return None
    made = {easy.number: with_doses(easy, hard, situation), hard.number: with_doses(hard, easy, situation)}
    weeks = tuple(made.get(one.number, one) for one in block.weeks)
    if longest_run(weeks) > max(MOST_HARD_WEEKS, longest_run(block.weeks)):
        return None
    changes = []
    for old in sorted((easy, hard), key=lambda one: one.number):
        new = made[old.number]
        words = week_words(old), week_words(new)
        changes.append(Change(old.number, "", "the whole week", *words, why, evidence))
        for before, after in zip(old.sessions, new.sessions, strict=True):
            changes += rows_of(before, after, old.number, why, evidence, situation)
    return MovedWeek(weeks, tuple(changes), why)


def longest_run(weeks: Sequence[Week]) -> int:
    """The most weeks in a row without an easier one."""
    run = longest = 0
    for week in weeks:
        run = 0 if week.kind == "deload" else run + 1
        longest = max(longest, run)
    return longest


def with_doses(week: Week, other: Week, situation: Situation) -> Week:
    """A week with the kind, the effort and the doses of another; a session that would be too long keeps its own."""
    sessions = []
    for session, model in zip(week.sessions, other.sessions, strict=True):
        new = situation.timed(with_doses_of(session, model))
        sessions.append(new if fits(new, most_minutes(session)) else session)
    return replace(week, kind=other.kind, rpe=other.rpe, sessions=tuple(sessions))


def with_doses_of(session: Session, model: Session) -> Session:
    """A session whose loaded entries take the sets that the same entries have in another week."""
    parts = []
    for part in session.parts:
        there = next((one.entries for one in model.parts if one.part == part.part), ())
        left = list(there)
        entries = []
        for entry in part.entries:
            same = next((one for one in left if is_same(one, entry)), None)
            if same is None or part.part not in LOADED:
                entries.append(entry)
                continue
            left.remove(same)
            entries.append(replace(entry, sets=same.sets, scheme=same.scheme))
        parts.append(Part(part.part, tuple(entries)))
    return replace(session, parts=tuple(parts))


def is_same(one: Entry, other: Entry) -> bool:
    """True for the same exercise with the same dials on the same step: only the dose may differ."""
    return (one.exercise, one.dials, one.step) == (other.exercise, other.dials, other.step)


def rows_of(before: Session, after: Session, week: int, why: str, evidence: str, situation: Situation) -> list[Change]:
    """A row for each entry whose dose changed."""
    known = situation.context.catalogue
    found = []
    for old_part, new_part in zip(before.parts, after.parts, strict=True):
        for old, new in zip(old_part.entries, new_part.entries, strict=True):
            words = told_apart(old, new, known)
            if words[0] != words[1]:
                name = known.get(old.exercise).name
                found.append(Change(week, before.day, name, *words, why, evidence))
    return found
