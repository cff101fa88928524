"""What may reach a trainee before the coach has looked: less, and small load steps where the coach allows them.

Less is an exercise that rests, or the same one with no more of anything: load, sets, repetitions, seconds, metres,
range, and no harder effort. A small step is the same exercise, sets and repetitions with a load that rises by at most
one twentieth (rule L04: a step is 2 to 10 %). All else waits for the coach.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Trainee
from setwright.plan.block import Block, Change, Entry, Part, PlannedSet, Session
from setwright.plan.bout import Bout
from setwright.plan.revisions import Changed, pairs

Approval = Literal["less", "small step", "coach"]
WORDS: dict[Approval, str] = {
    "less": "less than before: may be used at once",
    "small step": "a small step, which this trainee may take alone",
    "coach": "waits for the coach",
}
ORDER: tuple[Approval, ...] = ("less", "small step", "coach")
SMALL_STEP = 1.05
SAME = 1e-6


def worst(found: Iterable[Approval]) -> Approval:
    """The strictest of several approvals."""
    return max(found, key=ORDER.index, default="coach")


def approvals(before: Block, after: Block, catalogue: Catalogue) -> tuple[Approval, ...]:
    """For each change of ``after``, in order: whether it may be used at once, or waits for the coach.

    The trainee of ``after`` says whether small steps are allowed. A change that no entry answers for waits.
    """
    found: list[Approval] = []
    old: dict[tuple[int, str], Session] = {
        (week.number, session.day): session for week in before.weeks for session in week.sessions
    }
    new: dict[tuple[int, str], Session] = {
        (week.number, session.day): session for week in after.weeks for session in week.sessions
    }
    sessions = {key: session_approvals(key, old.get(key), new.get(key), after, catalogue) for key in {*old, *new}}
    for number, change in enumerate(after.changes, start=1):
        found.append(sessions.get((change.week, change.session), {}).get(number, "coach"))
    return tuple(of_whole_weeks(after.changes, found))


def of_whole_weeks(changes: Sequence[Change], found: Sequence[Approval]) -> list[Approval]:
    """The approvals, those of a whole week as strict as what changes in it for the same reason."""
    made = list(found)
    for row, one in enumerate(changes):
        if one.week and not one.session:
            made[row] = worst(
                kind for other, kind in zip(changes, found, strict=True) if other.session and other.why == one.why
            )
    return made


def session_approvals(
    key: tuple[int, str], old: Session | None, new: Session | None, after: Block, catalogue: Catalogue
) -> dict[int, Approval]:
    """The approval of each change of one session, by number."""
    week, day = key
    here = {
        number: change
        for number, change in enumerate(after.changes, start=1)
        if change.session == day and change.week == week
    }
    if not here or old is None or new is None:
        return {}
    changed = Changed(here, catalogue)
    strictest: dict[int, Approval] = {}
    for before, now in ((part_of(old, name), part_of(new, name)) for name in names_of(old, new)):
        for pair in pairs(before, now):
            if pair[0] == pair[1]:
                continue
            verdict = approval_of(pair[0], pair[1], after.inputs.trainee)
            for number in changed.of(pair) | changed.of_filler(pair):
                strictest[number] = worst((strictest.get(number, "less"), verdict))
    return strictest


def names_of(old: Session, new: Session) -> list[str]:
    """Names of the parts of two sessions."""
    return list(dict.fromkeys(part.part for part in (*old.parts, *new.parts)))


def part_of(session: Session, name: str) -> Sequence[Entry]:
    """The entries of a part; none where the session has no such part."""
    found: Part | None = next((part for part in session.parts if part.part == name), None)
    return () if found is None else found.entries


def approval_of(old: Entry | None, new: Entry | None, trainee: Trainee) -> Approval:
    """Whether an entry after a change is less, an allowed small step, or for the coach."""
    if new is None:
        return "less"
    if old is None or old.exercise != new.exercise:
        return "coach"
    if is_less(old, new):
        return "less"
    return "small step" if trainee.small_steps and is_small_step(old, new) else "coach"


def is_less(old: Entry, new: Entry) -> bool:
    """True when the same exercise asks no more of anything."""
    if len(new.sets) > len(old.sets) or not range_within(old, new) or adds_work(old, new):
        return False
    if not bout_is_less(old.bout, new.bout):
        return False
    # Any set may be gone: each one left needs one of the old sets, in order, that asked at least as much.
    left = list(old.sets)
    for one in new.sets:
        while left and not set_is_less(left[0], one):
            left.pop(0)
        if not left:
            return False
        left.pop(0)
    return True


def bout_is_less(old: Bout | None, new: Bout | None) -> bool:
    """True when a bout asks no more: no more minutes, rounds or work, no less rest, the same format and target."""
    if old is None or new is None or old == new:
        return old == new
    if (old.format, old.target, old.every_s) != (new.format, new.target, new.every_s):
        return False
    if old.work_s is not None and (new.rest_s or 0.0) < (old.rest_s or 0.0) - SAME:
        return False
    amounts = [(new.rounds, old.rounds), (new.work_s, old.work_s), (len(new.ladder), len(old.ladder))]
    has_cap = old.format not in ("as-many-rounds", "every-minute")
    amounts += [] if has_cap else [(new.time_s, old.time_s)]  # a cap alone is no work
    is_rest = bool(new.ladder) == bool(old.ladder) and new.ladder == old.ladder[len(old.ladder) - len(new.ladder) :]
    return is_rest and all(no_more(now, was) for now, was in amounts)


def adds_work(old: Entry, new: Entry) -> bool:
    """True when a filler, a superset or another dial came in."""
    dials = {key for key in {*old.dials, *new.dials} if key != "range_deg" and old.dials.get(key) != new.dials.get(key)}
    filler = new.filler is not None and new.filler != old.filler
    joined = new.superset is not None and old.superset is None
    return bool(dials - {"range_of"}) or filler or joined


def range_within(old: Entry, new: Entry) -> bool:
    """True when the new range of motion lies in the old one; no range said is the whole."""
    was, now = old.dials.get("range_deg"), new.dials.get("range_deg")
    if not isinstance(now, (list, tuple)):
        return was == now
    if not isinstance(was, (list, tuple)):
        return True
    return bool(was[0] <= now[0] and now[1] <= was[1])


def set_is_less(old: PlannedSet, new: PlannedSet) -> bool:
    """True when a set asks no more than an old one: kind, load, repetitions, time, distance, effort, parts."""
    helped = new.load_means == "assistance"
    return (
        (old.kind, old.load_means, old.tempo, old.inside) == (new.kind, new.load_means, new.tempo, new.inside)
        and (no_more(new.load_kg, old.load_kg) if not helped else no_more(old.load_kg, new.load_kg))
        and no_more(None if new.reps is None else new.reps[1], None if old.reps is None else old.reps[1])
        and all(
            no_more(getattr(new, name), getattr(old, name))
            for name in ("hold_s", "hold_after_s", "distance_m", "time_s", "rpe")
        )
        and new.rest_s >= old.rest_s - SAME
    )


def no_more(new: float | None, old: float | None) -> bool:
    """True when a figure did not rise; one that came up from nowhere did."""
    return new is None if old is None else new is not None and new <= old + SAME


def is_small_step(old: Entry, new: Entry) -> bool:
    """True when nothing but the loads differ, each by at most one twentieth; ramp sets follow their working sets."""
    before = old.working_sets
    after = new.working_sets
    if len(before) != len(after) or old.dials != new.dials or adds_work(old, new) or old.bout != new.bout:
        return False
    for was, now in zip(before, after, strict=True):
        same = (was.kind, was.reps, was.hold_s, was.distance_m, was.time_s, was.rir, was.tempo, was.load_means)
        if same != (now.kind, now.reps, now.hold_s, now.distance_m, now.time_s, now.rir, now.tempo, now.load_means):
            return False
        if (was.load_kg is None) != (now.load_kg is None) or len(was.inside) != len(now.inside):
            return False
        if was.load_kg is not None and now.load_kg is not None:
            high, low = SMALL_STEP * was.load_kg, was.load_kg / SMALL_STEP
            if not low - SAME <= now.load_kg <= high + SAME:
                return False
    return True
