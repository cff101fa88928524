"""One set less where the week was too much, one set more where a group lies under its target and all is well.

A set less counts from the week that went badly, a set more from the last one done, so the same log never takes or adds
a second one. Only the next week changes; easier weeks and ways back stay.
"""

from __future__ import annotations

from dataclasses import replace

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import PartName
from setwright.plan.block import Block, Change, Entry, Session, Week
from setwright.plan.demand import MuscleDemand, week_demand
from setwright.plan.reshape_options import with_sets
from setwright.plan.restrict import in_words
from setwright.plan.rules.book import RULES
from setwright.plan.rules.view import View
from setwright.review.adapt import EASY_BY_RIR
from setwright.review.proposing import (
    Made,
    Situation,
    entries_of,
    exchanged,
    fits,
    most_minutes,
    one_more,
    planned_in,
    with_entries,
)
from setwright.review.signs import EASY_KINDS, HARDER_BY_RIR, SEVERAL, LiftSigns

SHORT_REPS = 2  # repetitions under the range in a week, from which it was too much, as for the load
LEAST_UNDER = 1.0  # counted sets under the target, from which a set more is worth it
MOST_GROUPS = 2  # groups that get a set more in one week (common practice, no published source)
GUARDS = ("V03", "V04", "V06")


def fewer_sets(week: Week, situation: Situation) -> Made:
    """The week with one set less, than in the week that went badly, of the entries concerned."""
    if week.kind in EASY_KINDS:
        return week, []
    concerned = {slug: told for slug, lift in situation.signs.lifts.items() if (told := too_much(lift, situation))}

    def of_entry(entry: Entry, part: PartName, session: Session) -> tuple[Entry, str, str] | None:
        told = concerned.get(entry.exercise)
        newest = situation.signs.lifts[entry.exercise].newest if told else None
        if told is None or newest is None or part == "skill":
            return None
        then = planned_in(situation.block, newest.week, session.day, entry.exercise)
        if then is None or len(entry.working_sets) <= max(1, then - 1):
            return None
        evidence = f"week {newest.week}: {newest.sets_planned} sets planned, {newest.sets_done} done"
        return with_sets(entry, max(1, then - 1)), f"One set less than in week {newest.week}: {told}.", evidence

    return with_entries(week, situation, of_entry, lambda one: in_words(one, situation.context.catalogue))


def too_much(lift: LiftSigns, situation: Situation) -> str:
    """Why the newest week of a lift was too much, or an empty text."""
    new, newest = lift.newest, situation.signs.newest_week
    if new is None or new.week != newest or new.is_easy:
        return ""
    if new.reps_short >= SHORT_REPS:
        return f"{new.reps_short} repetitions under the range"
    if new.rir_gap is not None and new.rir_gap <= -HARDER_BY_RIR:
        return f"{-new.rir_gap:.1f} fewer left than planned"
    fallen = situation.signs.fallen()
    if len(fallen) >= SEVERAL and lift in fallen:
        return f"it fell together with {len(fallen) - 1} more over two weeks"
    return ""


def more_sets(week: Week, situation: Situation, closed: frozenset[tuple[str, str]], plan: Week) -> Made:
    """The week with one set more for groups under their target, within the rules V03, V04 and V06 and the minutes.

    closed : (day, exercise) that get none; plan : the week before loads were dosed
    One thing at a time: where the load of the entry would have changed, it stays as planned this week.
    """
    signs = situation.signs
    bad = any(lift.has_bad_sign() or too_much(lift, situation) for lift in worked(situation))
    if week.kind != "build" or bad or not signs.is_calm() or situation.context.brief.is_implied:
        return week, []
    context = situation.context
    demand = week_demand(context.trainee, context.brief, context.trainee.restrictions)
    view = View(situation.block, context.catalogue)
    short: list[tuple[float, MuscleDemand]] = []
    for group in demand.muscles:
        planned = most_to_come(view, group, week.number)
        if planned > 0 and group.target - planned >= LEAST_UNDER:
            short.append((group.target - planned, group))
    short.sort(key=lambda one: (-one[1].weight, -one[0], one[1].roll_up))
    changes: list[Change] = []
    taken = set(closed)
    for under, group in short:
        if len(changes) >= MOST_GROUPS:
            break
        found = with_one_more(week, group, under, situation, taken, plan)
        if found is not None:
            week, change, key = found
            changes.append(change)
            taken.add(key)
    return week, changes


def most_to_come(view: View, group: MuscleDemand, first: int) -> float:
    """Counted sets of a group in the fullest week that is left: the target is that of the hardest week."""
    weeks = [one.number for one in view.block.weeks if one.number >= first]
    return max((view.sets_by_week.get((week, one), 0.0) for week in weeks for one in group.muscles), default=0.0)


def worked(situation: Situation) -> list[LiftSigns]:
    """Lifts that were done in the newest week."""
    week = situation.signs.newest_week
    return [one for one in situation.signs.lifts.values() if one.newest is not None and one.newest.week == week]


def with_one_more(
    week: Week, group: MuscleDemand, under: float, situation: Situation, taken: set[tuple[str, str]], plan: Week
) -> tuple[Week, Change, tuple[str, str]] | None:
    """The week with a set more for a group, of the entry that gives it most; None where none may have it."""
    known = situation.context.catalogue
    options = []
    for number, session in enumerate(week.sessions):
        for part, entry in entries_of(session):
            credit = max((set_credits(known.get(entry.exercise)).get(one, 0.0) for one in group.muscles), default=0.0)
            told = welcome(entry, session, situation)
            if credit >= 1 and told and part != "skill" and (session.day, entry.exercise) not in taken:
                options.append((len(entry.working_sets), number, part, entry, told))
    for sets, number, part, entry, told in sorted(options, key=lambda one: (one[0], one[1], one[3].exercise)):
        session = week.sessions[number]
        was = as_planned(entry, session.day, plan)
        new = one_more(was)
        longer = situation.timed(exchanged(session, part, entry, new))
        sessions = (*week.sessions[:number], longer, *week.sessions[number + 1 :])
        made = replace(week, sessions=sessions)
        if not fits(longer, most_minutes(session)) or bends_more(situation.block, made, situation):
            continue
        name = group.roll_up.replace("_", " ")
        why = f"One set more for the {name}, {under:g} under their target in every week left: {told}."
        if was is not entry:
            why = f"{why[:-1]}; the load waits a week."
        words = in_words(was, known), in_words(new, known)
        evidence = f"{group.target - under:g} of {group.target:g} counted sets, {sets} of them here; no sign against it"
        change = Change(week.number, session.day, known.get(entry.exercise).name, *words, why, evidence)
        return made, change, (session.day, entry.exercise)
    return None


def as_planned(entry: Entry, day: str, plan: Week) -> Entry:
    """The entry as it stood before loads were dosed; itself where it is as it was."""
    rows = [old for session in plan.sessions if session.day == day for _, old in entries_of(session)]
    return next((old for old in rows if old.exercise == entry.exercise and old.sets != entry.sets), entry)


def welcome(entry: Entry, session: Session, situation: Situation) -> str:
    """Why a lift may get a set more, or an empty text: easier than planned, or it stands still without a bad sign."""
    lift = situation.signs.lifts.get(entry.exercise)
    if lift is None or lift.newest is None or lift.newest.week != situation.signs.newest_week or lift.newest.is_easy:
        return ""
    then = planned_in(situation.block, lift.newest.week, session.day, entry.exercise)
    if then is None or len(entry.working_sets) > then:
        return ""
    gap = lift.newest.rir_gap
    if gap is not None and gap >= EASY_BY_RIR:
        return f"{situation.name(entry.exercise)} had {gap:.1f} more left than planned"
    if lift.stands_still and lift.gained is not None and (gap is None or gap > -HARDER_BY_RIR):
        return f"{situation.name(entry.exercise)} stands still (chance of a gain {100 * lift.gained:.0f} %)"
    return ""


def bends_more(block: Block, week: Week, situation: Situation) -> bool:
    """True where the block with this week bends a rule on sets that it did not bend before."""
    after = replace(block, weeks=tuple(week if one.number == week.number else one for one in block.weeks))
    old, new = View(block, situation.context.catalogue), View(after, situation.context.catalogue)
    return any(set(one.check(new)) - set(one.check(old)) for one in RULES if one.id in GUARDS)
