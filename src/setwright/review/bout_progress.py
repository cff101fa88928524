"""Whether the scores of a bout got better beyond noise, and the one small step that may follow.

Like is held against like: the same format, numbers and movements. One score differs from the next by about a
twentieth (common practice, no published source), so a gain counts from what two scores differ by eight times in ten.
A bout that was made in full twice running has nothing left to gain. The coach decides; nobody is asked to race.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt
from statistics import fmean

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Change, Entry, Part, Session, Week
from setwright.plan.bout import Bout
from setwright.plan.bout_less import bout_row, is_shared, last_sets, with_bout
from setwright.plan.bout_lines import heading_line
from setwright.plan.bout_sets import timed
from setwright.plan.bout_time import like
from setwright.plan.session_time import groups_of
from setwright.review.bouts import BoutDone
from setwright.review.finding import Finding
from setwright.review.proposing import Situation, fits, most_minutes

SCORE_CV = 0.05
EIGHT_IN_TEN = 1.2816  # standard deviations to either side (standard normal quantile of 0.9)
TOO_HARD_RPE = 9.0  # session RPE from which no step follows (common practice, no published source)
FRESH = dt.timedelta(days=14)  # a newer score than this speaks for a step
MINUTE_S = 60.0


@dataclass(frozen=True)
class Better:
    """A bout whose scores got better. ``told``: the scores in words; ``is_hard``: the last one cost too much."""

    bout: Bout
    movements: tuple[str, ...]
    newest: dt.date
    told: str
    is_hard: bool


def better_bouts(done: Sequence[BoutDone]) -> list[Better]:
    """Each bout that was done again with a better score beyond noise, or made in full twice running."""
    found = []
    for group in alike(done):
        told = gain_words(group) or full_words(group)
        if told:
            newest = group[-1]
            is_hard = newest.session_rpe is not None and newest.session_rpe >= TOO_HARD_RPE
            found.append(Better(without_time(newest.bout), newest.movements, newest.date, told, is_hard))
    return found


def alike(done: Sequence[BoutDone]) -> list[list[BoutDone]]:
    """The bouts with a score, those of the same format, numbers and movements together, the oldest first."""
    groups: dict[tuple[Bout, tuple[str, ...]], list[BoutDone]] = {}
    for one in sorted(done, key=lambda one: one.date):
        if one.score is not None:
            groups.setdefault((without_time(one.bout), one.movements), []).append(one)
    return list(groups.values())


def without_time(bout: Bout) -> Bout:
    """The bout without how long it likely takes, which the numbers tell already."""
    return replace(bout, likely_s=None)


def measure_of(one: BoutDone) -> float | None:
    """What grows with a better score: repetitions in the time there was, or 1 over the time it took; else None."""
    kind = like(one.bout)
    if one.score is None or one.score.is_capped:
        return None
    if kind == "as-many-rounds":
        reps = float(sum(one.reps.values()))
        return reps or (None if one.score.rounds is None else float(one.score.rounds))
    return 1.0 / one.score.time_s if kind == "rounds-for-time" and one.score.time_s else None


def gain_words(group: Sequence[BoutDone]) -> str:
    """The newest score against the ones before it, where it is better beyond noise; else empty."""
    measures = [measure_of(one) for one in group]
    told = [one for one in measures if one is not None]
    if len(told) < 2 or measures[-1] is None:
        return ""
    gain = told[-1] / fmean(told[:-1]) - 1.0
    noise = EIGHT_IN_TEN * SCORE_CV * sqrt(1.0 + 1.0 / (len(told) - 1))
    if gain < noise:
        return ""
    return f"{scores_of(group)}: {100 * gain:.0f} % better than before, where {100 * noise:.0f} % is noise"


def full_words(group: Sequence[BoutDone]) -> str:
    """Two scores running with every minute or round made; else empty."""
    newest = group[-2:]
    if len(newest) < 2 or like(newest[-1].bout) not in ("every-minute", "circuit"):
        return ""
    is_full = all(
        one.score is not None and one.bout.rounds and (one.score.rounds or 0) >= one.bout.rounds for one in newest
    )
    return f"{scores_of(newest)}: made in full twice running; once can be a good day" if is_full else ""


def scores_of(group: Sequence[BoutDone]) -> str:
    """The newest scores with their days: ``4 rounds (2026-09-07), then 5 rounds (2026-09-14)``."""
    return ", then ".join(f"{one.score.said} ({one.date.isoformat()})" for one in group[-3:] if one.score is not None)


def bout_findings(done: Sequence[BoutDone]) -> list[Finding]:
    """A finding for each bout that got better."""
    found = []
    for one in better_bouts(done):
        more = next_of(one.bout)
        asks = "It was called very hard: the same again first." if one.is_hard else step_words(one.bout, more)
        found.append(Finding("better score", heading_line(one.bout).removesuffix(":"), f"{one.told}.", None, asks, 19))
    return found


def step_words(bout: Bout, more: Bout | None) -> str:
    """What may come next."""
    if more is None:
        return "Nothing: go on; what comes next is your choice."
    unit = "minute" if like(bout) == "as-many-rounds" else "start" if like(bout) == "every-minute" else "round"
    return f"One {unit} more, if you want it; nobody has to race."


def next_of(bout: Bout) -> Bout | None:
    """The bout with one minute, start or round more; None where its rounds change, and nothing follows by itself."""
    if like(bout) == "as-many-rounds" and bout.time_s is not None:
        return replace(bout, time_s=bout.time_s + MINUTE_S)
    if bout.ladder or bout.rounds is None:
        return None
    rounds = bout.rounds + 1
    return replace(bout, rounds=rounds, time_s=rounds * bout.every_s if bout.every_s is not None else bout.time_s)


def more_of(group: Sequence[Entry], catalogue: Catalogue) -> list[Entry]:
    """The entries of a bout after one small step; the same ones where none follows."""
    bout = group[0].bout
    more = None if bout is None else next_of(without_time(bout))
    if bout is None or more is None:
        return list(group)
    if like(bout) == "as-many-rounds":
        return with_bout(group, more)
    turn = (bout.rounds or 0) % len(group) if like(bout) == "every-minute" else None
    grown = [one_set_more(one) if turn in (None, number) else one for number, one in enumerate(group)]
    return timed(with_bout(grown, more), catalogue)


def one_set_more(entry: Entry) -> Entry:
    """The entry with its last round once more."""
    return replace(entry, sets=(*entry.sets, *last_sets(entry, 1).working_sets))


def more_bouts(
    weeks: Sequence[Week], done: Sequence[BoutDone], situation: Situation
) -> tuple[list[Week], list[Change]]:
    """(the weeks ahead, rows): one small step of each bout that got better, in the hard weeks that hold the same one.

    None where it was called very hard, is weeks old, loads what hurts, or has no minutes.
    """
    steps = [one for one in better_bouts(done) if not one.is_hard and situation.today - one.newest <= FRESH]
    made, rows = list(weeks), []
    for better in steps:
        if any(situation.is_sore(slug) for slug in better.movements):
            continue
        for at, week in enumerate(made):
            if week.number >= situation.first and week.kind == "build":
                made[at], more = stepped(week, better, situation)
                rows += more
    return made, rows


def stepped(week: Week, better: Better, situation: Situation) -> tuple[Week, list[Change]]:
    """A week with the step wherever it holds the same bout."""
    rows: list[Change] = []
    sessions = []
    for session in week.sessions:
        for group in [one for part in session.parts for one in groups_of(part.entries)]:
            if not is_same(group, better):
                continue
            new = more_of(group, situation.context.catalogue)
            row = bout_row(group, new, situation.context.catalogue)
            longer = situation.timed(in_stead(session, group, new))
            if row is not None and fits(longer, most_minutes(session)):
                why = "its score got better beyond noise: one small step"
                rows.append(Change(week.number, session.day, *row, why, better.told))
                session = longer
        sessions.append(session)
    return (replace(week, sessions=tuple(sessions)), rows) if rows else (week, rows)


def is_same(group: Sequence[Entry], better: Better) -> bool:
    """True for the bout that got better: the same numbers and movements."""
    bout = group[0].bout
    names = tuple(one.exercise for one in group)
    return bout is not None and is_shared(group[0]) and (without_time(bout), names) == (better.bout, better.movements)


def in_stead(session: Session, old: Sequence[Entry], new: Sequence[Entry]) -> Session:
    """The session with the entries of one bout in the place of others."""
    parts = []
    for part in session.parts:
        entries = [
            next((after for before, after in zip(old, new, strict=True) if before is one), one) for one in part.entries
        ]
        parts.append(Part(part.part, tuple(entries)))
    return replace(session, parts=tuple(parts))
