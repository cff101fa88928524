"""All that a week of log proposes for the weeks that remain, as one revision with a row for each entry.

In this order: a decline that no rule answers stops all but resting; a break brings the published way back; else what
was missed is caught up, easier weeks move, lifts are exchanged. Then loads are dosed, and sets come off or are added.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date

from setwright.catalogue.step_sizes import DemandOf, nothing_known
from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Change, Entry, Part, Session, Week
from setwright.plan.block_days import week_start
from setwright.plan.bout_less import bout_name
from setwright.plan.clearance import for_whole_block
from setwright.plan.compose import Context
from setwright.plan.restrict import in_words
from setwright.plan.revisions import with_some
from setwright.plan.weeks import RETURN_SHARES
from setwright.review.adapt import adapt_block, require_no_red_flag, revised
from setwright.review.believed import believed
from setwright.review.bout_progress import more_bouts
from setwright.review.bouts import bouts_done
from setwright.review.decline import decline_finding
from setwright.review.easier_week import moved_easy_week
from setwright.review.exchanges import exchanged_lifts
from setwright.review.finding import Finding
from setwright.review.missed_session import caught_up
from setwright.review.pain import pain_by_region
from setwright.review.proposing import Situation, joined, one_row_each
from setwright.review.set_counts import fewer_sets, more_sets
from setwright.review.settled import SettledBy, settled_by, with_settled
from setwright.review.signs import long_decline, signs_of
from setwright.review.volume import sets_of_week
from setwright.review.way_back import Break, first_week_back, newest_break, way_back
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Proposal:
    """The next revision (the block itself where nothing changes), what is said beside it, and a finding that refers."""

    block: Block
    notes: tuple[str, ...] = ()
    finding: Finding | None = None


def proposed(
    block: Block,
    log: Log,
    estimates: Estimates,
    catalogue: Catalogue,
    as_of: date | None = None,
    demand: DemandOf = nothing_known,
) -> Proposal:
    """What a log proposes. Estimates must rest on the log as believed (``review.believed``), seen from the same day.

    as_of : the day it is seen from; the last date of the log when None
    Raises NoPlan where the log names a red flag: a licensed clinician comes first.
    """
    if not log.sets and not log.sessions:
        return Proposal(block)
    require_no_red_flag(log)
    today = as_of or max([one.date for one in log.sets] + [one.date for one in log.sessions])
    so_far, mark, trust = settled_by(block, log), mark_of(log), believed(block, log)
    log = trust.of(log)
    situation = situation_of(block, log, estimates, catalogue, today)
    told = long_decline(situation.signs)
    if told:
        return Proposal(only_rests(block, log, estimates, catalogue, today), (), decline_finding(told))
    notes: list[str] = []
    gap = newest_break(log, today)
    if gap is not None and is_on_the_way_back(situation, gap):
        weeks, rows = (block.weeks, ()) if so_far.has_way_back(gap.words) else way_back(situation, gap)
        changes = list(rows)
    else:
        gap = None
        weeks, changes, notes = reordered(situation, log)
    whole = frozenset(one.why for one in changes if not one.session)
    dosed = adapt_block(replace(block, weeks=weeks), log, estimates, catalogue, today, demand)
    loads = list(dosed.changes) if dosed.revision != block.revision else []
    held = frozenset(lifts_without_a_week(situation, log))
    quiet = range(1, len(weeks) + 1) if gap is not None else eased_weeks(block.weeks, weeks)
    kept, loads = without_raises(weeks, dosed.weeks, loads, held, quiet, situation)
    changes += loads
    if gap is None:
        kept, changes = counted(block, weeks, kept, situation, changes, log, so_far)
    rows = one_row_each(sorted(changes, key=lambda one: one.week), whole)
    kept, rows = without_settled(block, kept, rows, so_far, situation)
    marked = [
        replace(one, evidence=joined(one.evidence, "" if one.to == "rests" else trust.words, mark)) for one in rows
    ]
    settled = with_settled(so_far, marked, "" if gap is None else gap.words)
    if trust.off:
        notes.append(f"{trust.words[:1].upper()}{trust.words[1:]}. A last set to failure, watched, settles it.")
    return Proposal(revised(block, kept, marked, catalogue, settled), tuple(notes))


def mark_of(log: Log) -> str:
    """Which log a row rests on: its newest day and how many sets it holds."""
    newest = max([one.date for one in log.sets] + [one.date for one in log.sessions])
    return f"log to {newest.isoformat()}, {len(log.sets)} sets"


def eased_weeks(before: Sequence[Week], after: Sequence[Week]) -> tuple[int, ...]:
    """Weeks that became easier ones: nothing rises in them."""
    pairs = zip(before, after, strict=True)
    return tuple(new.number for old, new in pairs if new.kind == "deload" and old.kind != "deload")


def without_settled(
    block: Block, weeks: Sequence[Week], rows: Sequence[Change], so_far: SettledBy, situation: Situation
) -> tuple[tuple[Week, ...], tuple[Change, ...]]:
    """The weeks and rows without what the same log has settled before, in whichever revision: once is enough.

    A step of a load counts from the load planned, so the same log would step again. What pain asks for passes always.
    """
    again = [one for one in rows if so_far.holds(one) and one.to != "rests" and "pain" not in one.why]
    if not again:
        return tuple(weeks), tuple(rows)
    kept = with_rows_back(block, weeks, again, situation)
    return kept, tuple(one for one in rows if one not in again)


def with_rows_back(
    block: Block, weeks: Sequence[Week], rows: Sequence[Change], situation: Situation
) -> tuple[Week, ...]:
    """The weeks with the entries that rows speak of as they stand in the block."""
    found = []
    for before, after in zip(block.weeks, weeks, strict=True):
        sessions = []
        for session in after.sessions:
            lines = {one.from_ for one in rows if (one.week, one.session) == (after.number, session.day)}
            old = next((one for one in before.sessions if one.day == session.day), None)
            sessions.append(session if old is None or not lines else as_before(old, session, lines, situation))
        found.append(replace(after, sessions=tuple(sessions)))
    return tuple(found)


def as_before(old: Session, new: Session, lines: set[str], situation: Situation) -> Session:
    """A session with the entries of some lines as they were."""
    known = situation.context.catalogue
    parts = []
    for part in new.parts:
        was = {one.exercise: one for p in old.parts if p.part == part.part for one in p.entries}
        entries = [
            was[one.exercise] if one.exercise in was and said(was[one.exercise], known) & lines else one
            for one in part.entries
        ]
        parts.append(Part(part.part, tuple(entries)))
    return situation.timed(replace(new, parts=tuple(parts)))


def said(entry: Entry, catalogue: Catalogue) -> set[str]:
    """What a row may call an entry: its own line, or the bout it is in."""
    return {in_words(entry, catalogue), bout_name(entry)} - {""}


def situation_of(block: Block, log: Log, estimates: Estimates, catalogue: Catalogue, today: date) -> Situation:
    """The block, what its log says, what hurts, and the trainee with the restrictions in force."""
    inputs = block.inputs
    trainee = for_whole_block(inputs.trainee, inputs.brief.start, len(block.weeks))
    places = {place.id: place for place in inputs.places}
    context = Context(trainee, places, inputs.brief, catalogue, estimates, today)
    pains = pain_by_region(log, inputs.trainee.restrictions, catalogue, today)
    return Situation(block, signs_of(block, log, estimates, catalogue, today), context, pains)


def only_rests(block: Block, log: Log, estimates: Estimates, catalogue: Catalogue, today: date) -> Block:
    """The block with nothing but what rests for pain."""
    dosed = adapt_block(block, log, estimates, catalogue, today)
    rows = {number for number, one in enumerate(dosed.changes, start=1) if one.to == "rests"}
    return block if dosed is block else with_some(block, dosed, rows, catalogue)


def is_on_the_way_back(situation: Situation, gap: Break) -> bool:
    """True while the ramp after a break lasts, inside the block."""
    start = first_week_back(situation.block, gap.back)
    now = first_week_back(situation.block, situation.today)
    return start > 0 and now - start < len(RETURN_SHARES)


def reordered(situation: Situation, log: Log) -> tuple[tuple[Week, ...], list[Change], list[str]]:
    """The weeks after what was missed, moved and exchanged, with the rows and what is said beside them."""
    changes: list[Change] = []
    notes: list[str] = []
    caught = caught_up(situation, log)
    weeks = situation.block.weeks
    if caught is not None:
        weeks = tuple(caught.week if one.number == caught.week.number else one for one in weeks)
        changes += caught.changes
        notes += caught.notes
    situation = replace(situation, block=replace(situation.block, weeks=weeks))
    moved = None if misses_a_week(situation, log) else moved_easy_week(situation)
    if moved is not None:
        weeks = moved.weeks
        changes += moved.changes
        situation = replace(situation, block=replace(situation.block, weeks=weeks))
    exchanged = exchanged_lifts(situation)
    return exchanged.weeks, [*changes, *exchanged.changes], [*notes, *exchanged.notes]


def misses_a_week(situation: Situation, log: Log) -> bool:
    """True where the newest week that is over holds no set: nothing is caught up, nothing rises."""
    over = [
        one for one in situation.block.weeks if (situation.today - week_start(situation.block, one.number)).days >= 7
    ]
    return bool(over) and not sets_of_week(situation.block, over[-1], log)


def lifts_without_a_week(situation: Situation, log: Log) -> list[str]:
    """Lifts that were planned in the newest week that is over, and not done in it, or that week was missed whole."""
    block = situation.block
    over = [one for one in block.weeks if (situation.today - week_start(block, one.number)).days >= 7]
    if not over:
        return []
    done = {one.exercise for one in sets_of_week(block, over[-1], log)}
    later = {one.exercise for one in log.sets if one.date >= week_start(block, over[-1].number + 1)}
    planned = {e.exercise for s in over[-1].sessions for part in s.parts for e in part.entries}
    return sorted(planned - done - later)


def without_raises(
    plan: Sequence[Week],
    dosed: Sequence[Week],
    rows: Sequence[Change],
    held: frozenset[str],
    quiet: Collection[int],
    situation: Situation,
) -> tuple[tuple[Week, ...], list[Change]]:
    """The dosed weeks without what rises for lifts that missed a week, and for all lifts in quiet weeks.

    A missed week never raises the next load; a way back goes no higher than its ramp, an easier week no higher than it.
    """
    kept_weeks: list[Week] = []
    undone: set[tuple[int, str, str]] = set()
    for before, after in zip(plan, dosed, strict=True):
        everything = after.number in quiet
        if before is after or not (held or everything):
            kept_weeks.append(after)
            continue
        sessions = []
        for session in after.sessions:
            old = next(one for one in before.sessions if one.day == session.day)
            made, names = back_where_it_rises(old, session, held, everything)
            undone |= {(after.number, session.day, situation.name(slug)) for slug in names}
            sessions.append(situation.timed(made) if names else session)
        kept_weeks.append(replace(after, sessions=tuple(sessions)))
    return tuple(kept_weeks), [one for one in rows if (one.week, one.session, one.entry) not in undone]


def back_where_it_rises(
    old: Session, new: Session, held: frozenset[str], everything: bool
) -> tuple[Session, list[str]]:
    """(session with the old entry wherever a held one asks more than it did, their slugs)."""
    undone: list[str] = []
    parts = []
    for part in new.parts:
        there = list(next((one.entries for one in old.parts if one.part == part.part), ()))
        entries: list[Entry] = []
        for entry in part.entries:
            was = next((one for one in there if one.exercise == entry.exercise), None)
            if was is not None:
                there.remove(was)
            if was is not None and (everything or entry.exercise in held) and rises(was, entry):
                undone.append(entry.exercise)
                entry = was
            entries.append(entry)
        parts.append(Part(part.part, tuple(entries)))
    return replace(new, parts=tuple(parts)), undone


def rises(old: Entry, new: Entry) -> bool:
    """True where an entry asks more load (less help), or more repetitions, than before."""

    def size(entry: Entry) -> tuple[float, int]:
        work = entry.working_sets
        load = max((one.load_kg or 0.0 for one in work), default=0.0)
        helped = any(one.load_means == "assistance" for one in work)
        return (-load if helped else load), max((one.reps[1] for one in work if one.reps), default=0)

    (old_load, old_reps), (new_load, new_reps) = size(old), size(new)
    return new_load > old_load + 1e-6 or (new_load > old_load - 1e-6 and new_reps > old_reps)


def counted(
    block: Block,
    plan: Sequence[Week],
    dosed: Sequence[Week],
    situation: Situation,
    changes: Sequence[Change],
    log: Log,
    so_far: SettledBy,
) -> tuple[tuple[Week, ...], list[Change]]:
    """(the weeks with sets taken off or added in the next one, all rows). ``plan``: before loads were dosed."""
    situation = replace(situation, block=replace(block, weeks=tuple(dosed)))
    week = situation.week(situation.first)
    if week is None:
        return tuple(dosed), list(changes)
    entries = [entry for session in week.sessions for part in session.parts for entry in part.entries]
    slugs = {situation.name(entry.exercise): entry.exercise for entry in entries}
    closed = frozenset((day, slugs[entry]) for day, entry in so_far.entries_of(week.number) if entry in slugs)
    week, rows = fewer_sets(week, situation)
    if not rows and not misses_a_week(situation, log):
        planned = next(one for one in plan if one.number == week.number)
        painless = replace(situation, signs=situation.signs.without_pain())
        given, wanted = more_sets(week, painless, closed, planned)
        instead = {(one.week, one.session, one.entry) for one in wanted}
        if wanted and not situation.signs.is_calm():  # pain: no set, and no load in its stead
            slugs_held = frozenset(slugs[one.entry] for one in wanted)
            sessions = zip(planned.sessions, week.sessions, strict=True)
            held = [back_where_it_rises(old, new, slugs_held, False) for old, new in sessions]
            week = replace(week, sessions=tuple(situation.timed(one) if names else one for one, names in held))
            instead = {(week.number, one.day, situation.name(slug)) for one, names in held for slug in names}
        else:
            week, rows = given, wanted
        changes = [one for one in changes if (one.week, one.session, one.entry) not in instead]
        weeks = [week if one.number == week.number else one for one in dosed]
        weeks, steps = more_bouts(weeks, bouts_done(block, log, situation.context.catalogue), situation)
        return tuple(weeks), [*changes, *rows, *steps]
    return tuple(week if one.number == week.number else one for one in dosed), [*changes, *rows]
