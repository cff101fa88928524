"""After two weeks or more without training: the published ramp over the first four weeks, loads none above the plan.

Rules D01 to D04 (CSCCa/NSCA 2019, seen as a digest; D04 from memory): 50, 70, 80, 90 % of the usual sets; a muscle on
three days, then four; two weeks with sets x repetitions x share of a single up to 30; longer rests of intervals.
Effort starts at RPE 6 and rises by half a point a week, as in designing (common practice, no published source).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, floor

from setwright.catalogue.derive import set_credits
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Block, Change, Entry, Part, PlannedSet, Session, Week
from setwright.plan.block_days import week_start
from setwright.plan.bout_less import at_most, bout_row, is_shared, size_of, with_share
from setwright.plan.compose import planned_sets
from setwright.plan.reshape_options import with_sets
from setwright.plan.restrict import free_lonely_supersets, in_words
from setwright.plan.rules.after_a_break import MOST_DAYS, MOST_INTENSITY_VOLUME, REST_TIMES_WORK
from setwright.plan.rules.loads_and_effort import share_of
from setwright.plan.rules.view import View
from setwright.plan.session_time import groups_of
from setwright.plan.weeks import INACTIVE_RPE, RETURN_SHARES
from setwright.review.proposing import Situation, told_apart, week_words
from setwright.review.signs import LOADED
from setwright.strength.logged import Log

BREAK = dt.timedelta(days=14)
HALF = 0.5  # of the conditioning, where the longer rests have no time


@dataclass(frozen=True)
class Break:
    """Days without training: the last day before and the first one after (or the day it is seen from), and how long."""

    last: dt.date
    back: dt.date
    is_open: bool

    @property
    def days(self) -> int:
        """Days from the last session to the first one after."""
        return (self.back - self.last).days

    @property
    def words(self) -> str:
        """How a reason names it."""
        return f"{self.days} days off"


def newest_break(log: Log, today: dt.date) -> Break | None:
    """The newest break of two weeks or more in a log, up to a day; None where there was none."""
    trained = sorted({one.date for one in log.sets if one.date <= today})
    if not trained:
        return None
    if today - trained[-1] >= BREAK:
        return Break(trained[-1], today, True)
    gaps = [(a, b) for a, b in pairwise(trained) if b - a >= BREAK]
    return None if not gaps else Break(*gaps[-1], is_open=False)


def first_week_back(block: Block, back: dt.date) -> int:
    """The week of the block that a day falls in; 0 before it."""
    return max((one.number for one in block.weeks if week_start(block, one.number) <= back), default=0)


def way_back(situation: Situation, gap: Break) -> tuple[tuple[Week, ...], tuple[Change, ...]]:
    """The weeks with the ramp after a break, and a row for each entry that has less.

    Weeks that have begun stay, but for the one in which somebody is about to come back.
    """
    block = situation.block
    start = first_week_back(block, gap.back)
    first = start if gap.is_open else situation.first
    usual, amounts = usual_sets(block, start), usual_amounts(block, start)
    weeks, changes = [], []
    for week in block.weeks:
        nth = week.number - start
        if week.number < first or not 0 <= nth < len(RETURN_SHARES):
            weeks.append(week)
            continue
        made, rows = week_back(week, nth, usual, amounts, gap, situation)
        weeks.append(made)
        changes += rows
    return tuple(weeks), tuple(changes)


def usual_amounts(block: Block, start: int) -> dict[tuple[str, str, str], float]:
    """The usual amount of each bout of conditioning by (day, part, movements): that of its fullest week."""
    found: dict[tuple[str, str, str], float] = {}
    for week in block.weeks:
        nth = week.number - start
        is_ramp = week.kind == "return" and 0 <= nth < len(RETURN_SHARES)
        for session in week.sessions:
            for part in session.parts:
                for group in groups_of(part.entries) if part.part == "conditioning" else ():
                    key = (session.day, part.part, key_of(group))
                    size = size_of(group) / (RETURN_SHARES[nth] if is_ramp else 1.0)
                    found[key] = max(found.get(key, 0.0), size)
    return found


def usual_sets(block: Block, start: int) -> dict[tuple[str, str, str], float]:
    """The usual working sets of each entry by (day, part, exercise): those of its fullest week.

    start : the week of the return; a week on the way back from there stands for what its share was taken from
    """
    found: dict[tuple[str, str, str], float] = {}
    for week in block.weeks:
        for session in week.sessions:
            for part in session.parts:
                for entry in part.entries if part.part in LOADED else ():
                    key = (session.day, part.part, entry.exercise)
                    nth = week.number - start
                    is_ramp = week.kind == "return" and 0 <= nth < len(RETURN_SHARES)
                    sets = (
                        ceil(len(entry.working_sets) / RETURN_SHARES[nth] - 1e-9)
                        if is_ramp
                        else len(entry.working_sets)
                    )
                    found[key] = max(found.get(key, 0.0), float(sets))
    return found


def week_back(
    week: Week,
    nth: int,
    usual: Mapping[tuple[str, str, str], float],
    amounts: Mapping[tuple[str, str, str], float],
    gap: Break,
    situation: Situation,
) -> tuple[Week, list[Change]]:
    """One week of the ramp. ``nth``: weeks since the return, from 0; ``usual`` sets and ``amounts`` of bouts."""
    rpe = min(week.rpe, INACTIVE_RPE + 0.5 * nth)
    share = RETURN_SHARES[nth]
    sessions = []
    for session in week.sessions:
        sessions.append(session_back(session, share, rpe, nth, {**usual, **amounts}, situation))
    kind = week.kind if week.kind == "deload" else "return"
    made = replace(week, kind=kind, rpe=rpe, sessions=tuple(sessions))
    made = within_the_ramp(made, share * sum(usual.values()), situation)
    made = within_the_days(made, nth, situation)
    why = (
        f"Week {nth + 1} after {gap.words}: at most {round(100 * share)} % of the usual work, RPE {rpe:g} "
        "at most, and no load above the plan (rules D01 to D04)."
    )
    evidence = f"last session {gap.last.isoformat()}, back on {gap.back.isoformat()}; loads by the estimate of that day"
    rows = rows_between(week, made, why, evidence, situation)
    return (made, rows) if rows else (week, [])


def session_back(
    session: Session,
    share: float,
    rpe: float,
    nth: int,
    usual: Mapping[tuple[str, str, str], float],
    situation: Situation,
) -> Session:
    """A session of the ramp: fewer sets, less effort, loads none above the plan, longer rests of intervals."""
    parts = []
    for part in session.parts:
        if part.part == "conditioning":
            parts.append(bouts_back(part, session.day, share, nth, usual, situation))
            continue
        entries = []
        for entry in part.entries:
            if part.part in LOADED:
                most = max(1, floor(share * usual[session.day, part.part, entry.exercise] + 1e-9))
                entry = eased(with_sets(entry, most), part, rpe, nth, session, situation)
            entries.append(entry)
        parts.append(Part(part.part, tuple(entries)))
    made = situation.timed(replace(session, parts=tuple(parts)))
    cap = session.minutes_cap
    longer = cap is not None and made.minutes > max(cap, session.minutes) + 1e-6
    return without_rests(made, session, situation) if longer else made


def without_rests(made: Session, before: Session, situation: Situation) -> Session:
    """A session whose intervals lose repetitions instead where the longer rests have no time."""
    known = situation.context.catalogue
    parts = [
        Part(part.part, tuple(one for group in groups_of(part.entries) for one in with_share(group, HALF, known)))
        if part.part == "conditioning"
        else part
        for part in made.parts
    ]
    shorter = situation.timed(replace(made, parts=tuple(parts)))
    cap = before.minutes_cap
    if cap is None or shorter.minutes <= max(cap, before.minutes) + 1e-6:
        return shorter
    kept = tuple(part for part in shorter.parts if part.part != "conditioning")
    return situation.timed(replace(shorter, parts=kept))


def bouts_back(
    part: Part, day: str, share: float, nth: int, usual: Mapping[tuple[str, str, str], float], situation: Situation
) -> Part:
    """The conditioning of a day at its share of the usual amounts, a bout as one; longer rests between pieces."""
    entries: list[Entry] = []
    for group in groups_of(part.entries):
        most = share * usual[day, part.part, key_of(group)]
        entries += [rested(one, nth) for one in at_most(group, most, situation.context.catalogue)]
    return Part(part.part, tuple(entries))


def key_of(group: Sequence[Entry]) -> str:
    """What a bout is the same by in all weeks: its movements."""
    return " + ".join(one.exercise for one in group)


def rested(entry: Entry, nth: int) -> Entry:
    """An interval with the rest that the first two weeks ask (rule D04)."""
    times = REST_TIMES_WORK.get(nth + 1)
    if times is None or len(entry.working_sets) < 2:
        return entry
    sets = tuple(replace(one, rest_s=max(one.rest_s, times * one.time_s)) if one.time_s else one for one in entry.sets)
    return replace(entry, sets=sets)


def eased(entry: Entry, part: Part, rpe: float, nth: int, session: Session, situation: Situation) -> Entry:
    """An entry with at most an effort, dosed by what the estimate says now, and never above its old load."""
    most = entry.working_sets
    if not most:
        return entry
    rir = 10.0 - rpe
    first = most[0]
    if first.rir is not None and first.rir < rir and first.load_kg is not None and first.chance is not None:
        entry = dosed_again(entry, part, rir, first.load_kg, session, situation)
    else:
        entry = replace(entry, sets=tuple(easier(one, rir) for one in entry.sets))
    while nth < 2 and len(entry.working_sets) > 1 and intensity_volume(entry) > MOST_INTENSITY_VOLUME:
        entry = with_sets(entry, len(entry.working_sets) - 1)  # rule D03
    return entry


def easier(one: PlannedSet, rir: float) -> PlannedSet:
    """A set with at least so many left."""
    return replace(one, rir=rir, rpe=10.0 - rir) if one.rir is not None and one.rir < rir else one


def dosed_again(entry: Entry, part: Part, rir: float, most_kg: float, session: Session, situation: Situation) -> Entry:
    """The entry with more left, at the load that the estimate gives for it, none above the old one."""
    context, scheme = situation.context, scheme_of(entry)
    if scheme is None:
        return entry
    exercise, place = context.catalogue.get(entry.exercise), context.places[session.place]
    with_ramp = any(one.kind == "ramp" for one in entry.sets)
    asked = replace(scheme, rir=rir)
    sets = planned_sets(exercise, asked, place, context, part.part, with_ramp, most_kg)
    first = next((one for one in sets if one.kind != "ramp"), None)
    old = next(one for one in entry.sets if one.kind != "ramp")
    if first is None or first.load_kg is None or first.load_kg > most_kg + 1e-6:
        return replace(entry, sets=tuple(easier(one, rir) for one in entry.sets))
    if first.reps and old.reps and first.reps[1] > old.reps[1]:
        sets = tuple(
            replace(one, reps=old.reps) if one.kind != "ramp" else one for one in sets
        )  # less, in nothing more
    return replace(entry, sets=sets)


def intensity_volume(entry: Entry) -> float:
    """Sets x repetitions x share of a single, as rule D03 adds it up."""
    total = 0.0
    for one in entry.sets:
        share = share_of(one)
        if share is not None and one.reps and one.load_kg:
            total += share * (one.reps[0] + one.reps[1]) / 2.0
    return total


def within_the_ramp(week: Week, most: float, situation: Situation) -> Week:
    """A week within its share: where every entry has one set and it is still too much, the smallest work rests.

    One set for each session passes, as the rule lets it; main lifts stay.
    """
    order = ("finisher", "assistance", "skill")
    allowed = ceil(most - 1e-9) + len(week.sessions)
    while total_sets(week) > allowed:
        options = [
            (order.index(part.part), number, part.part, entry)
            for number, session in enumerate(week.sessions)
            for part in session.parts
            if part.part in order
            for entry in part.entries
        ]
        if not options:
            return week
        _, number, name, entry = min(options, key=lambda one: (one[0], -one[1]))
        week = without_entry(week, number, name, entry, situation)
    return week


def without_entry(week: Week, number: int, name: str, entry: Entry, situation: Situation) -> Week:
    """A week without one entry; who did it in turn with it stands alone."""
    session = week.sessions[number]
    parts = []
    for part in session.parts:
        rows = [one for one in part.entries if part.part != name or one is not entry]
        if rows:
            parts.append(Part(part.part, tuple(free_lonely_supersets(rows))))
    made = situation.timed(replace(session, parts=tuple(parts)))
    return replace(week, sessions=(*week.sessions[:number], made, *week.sessions[number + 1 :]))


def within_the_days(week: Week, nth: int, situation: Situation) -> Week:
    """A week in which no muscle works on more days than rule D02 gives: the last day's smallest work rests."""
    most = MOST_DAYS.get(nth + 1)
    if most is None or len(week.sessions) <= most:
        return week
    known = situation.context.catalogue
    while True:
        view = View(replace(situation.block, weeks=(week,)), known)
        days: dict[str, set[str]] = {}
        for (_, day, muscle), sets in view.sets_by_session.items():
            if sets >= 1:
                days.setdefault(muscle, set()).add(day)
        crowded = sorted(muscle for muscle, there in days.items() if len(there) > most)
        options = [
            (number, part.part, entry)
            for number, session in enumerate(week.sessions)
            for part in session.parts
            if part.part in LOADED and part.part != "main"
            for entry in part.entries
            if crowded and set_credits(known.get(entry.exercise)).get(crowded[0], 0.0) > 0
        ]
        if not options:
            return week
        week = without_entry(week, *options[-1], situation)


def total_sets(week: Week) -> int:
    """Working sets of the loaded parts of a week."""
    return sum(
        len(entry.working_sets)
        for s in week.sessions
        for part in s.parts
        if part.part in LOADED
        for entry in part.entries
    )


def rows_between(old: Week, new: Week, why: str, evidence: str, situation: Situation) -> list[Change]:
    """A row for the week, and one for each entry that changed or rests."""
    known = situation.context.catalogue
    found = []
    for before, after in zip(old.sessions, new.sessions, strict=True):
        left = {part.part: list(part.entries) for part in after.parts}
        for part in before.parts:
            shared = [group for group in groups_of(part.entries) if is_shared(group[0])]
            for group in shared:
                row = bout_row(group, [one for one in left.get(part.part, []) if in_group(one, group)], known)
                if row is not None:
                    found.append(Change(old.number, before.day, *row, why, evidence))
            for entry in (one for one in part.entries if not is_shared(one)):
                same = next((one for one in left.get(part.part, []) if one.exercise == entry.exercise), None)
                if same is not None:
                    left[part.part].remove(same)
                was, to = (in_words(entry, known), "rests") if same is None else told_apart(entry, same, known)
                if to != was:
                    found.append(Change(old.number, before.day, known.get(entry.exercise).name, was, to, why, evidence))
    if not found and (old.kind, old.rpe) == (new.kind, new.rpe):
        return []
    kinds = [week_words(one) for one in (old, new)]
    if kinds[0] != kinds[1]:
        found.insert(0, Change(old.number, "", "the whole week", kinds[0], kinds[1], why, evidence))
    return found


def in_group(one: Entry, group: Sequence[Entry]) -> bool:
    """True for a movement of a bout, before or after it was made less."""
    return is_shared(one) and one.superset == group[0].superset and one.exercise in {entry.exercise for entry in group}
