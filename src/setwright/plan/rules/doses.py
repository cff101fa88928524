"""Rules on loads and effort, on who needs other doses, on warm-ups, and on the weeks after a break.

Shares of a single maximum are read from repetitions and reserve by the prior rep curve, k = 0.032.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from setwright.body.anatomy import muscle_groups
from setwright.body.range_of_motion import motions_of, trained_by
from setwright.catalogue.derive import muscle_vector
from setwright.plan.block import PlannedSet
from setwright.plan.range_goals import joints_of_goals
from setwright.plan.rules.book import label, muscle_is_near, rule
from setwright.plan.rules.view import View, working_sets
from setwright.strength.curve import share_of_1rm

PRIOR_K = 0.032
UNLIKELY, TOO_SURE = 0.15, 0.995


def share_of(one: PlannedSet) -> float | None:
    """The share of a single maximum that a planned set is, 0 to 1, or None where it states no effort."""
    if one.kind != "work" or not one.reps or one.rir is None:
        return None
    return float(share_of_1rm((one.reps[0] + one.reps[1]) / 2.0 + one.rir, PRIOR_K))


@rule(
    "V03",
    "10 to 20 counted sets a week for a muscle that should grow",
    "ACSM 2026 (at least 10); IUSCA 2021; Baz-Valle 2022 (12 to 20)",
    "published",
)
def sets_for_size(view: View) -> Iterable[str]:
    """Emphasised groups whose hardest week lies outside the band; beginners need less."""
    inputs = view.block.inputs
    wanted = set(inputs.brief.emphasis) | {goal.about for goal in inputs.trainee.goals if goal.kind == "size"}
    if view.years < 0.5 or not view.hard_weeks:
        return
    week = view.hard_weeks[-1].number
    for name in sorted(wanted):
        members = [m for m, group in muscle_groups().items() if name in (m, group.roll_up)]
        if not members:
            continue
        if any(
            rule.level in ("none", "light") and muscle_is_near(members[0], rule.joint)
            for rule in inputs.trainee.restrictions
        ):
            continue
        best = max(view.sets_by_week.get((week, muscle), 0.0) for muscle in members)
        if not 10 <= best <= 20:
            yield f"{name.replace('_', ' ')}: {best:g} in week {week}."


@rule("L02", "trained people lift 80 % of a single and more in two sets a week", "ACSM 2026", "published")
def too_light_for_strength(view: View) -> Iterable[str]:
    """Lifts for strength that no hard week loads to four fifths of a single."""
    if view.years < 1:
        return
    for wish in view.block.inputs.brief.lifts:
        if wish.aim not in ("strength", "1rm"):
            continue
        heavy: dict[int, int] = {}
        for week, _, _, entry, _ in view.rows():
            if entry.exercise == wish.exercise:
                shares = [share_of(one) for one in entry.sets]
                heavy[week.number] = heavy.get(week.number, 0) + sum(1 for s in shares if s is not None and s >= 0.795)
        if heavy and max(heavy.values()) < 2:
            yield f"{view.catalogue.get(wish.exercise).name} stays lighter in every week."


@rule("L04", "the same set grows by at most a tenth from one week to the next", "ACSM 2009, 2 to 10 %", "published")
def load_leaps(view: View) -> Iterable[str]:
    """Loads that leap though repetitions and reserve stay; a planned rise in effort is no leap."""
    last: dict[tuple[str, str, object, object], tuple[int, float]] = {}
    for week, session, _, entry, exercise in view.rows():
        for one in entry.sets:
            if one.kind != "work" or not one.load_kg:
                continue
            key = (session.day, entry.exercise, one.reps, one.rir)
            before = last.get(key)
            if before is not None and before[0] < week.number and one.load_kg > 1.10 * before[1] + 1e-6:
                yield f"{exercise.name} from week {before[0]} to week {week.number}."
            last[key] = (week.number, one.load_kg)


@rule("L06", "load, repetitions and reserve fit together", "NSCA load table (seen second-hand)", "handbook")
def load_and_effort_disagree(view: View) -> Iterable[str]:
    """A load that makes the repetitions at the stated reserve very unlikely, or far too easy."""
    for week, session, _, entry, exercise in view.rows():
        for one in entry.sets:
            if one.kind != "work" or one.chance is None or not one.reps or one.rir is None or not entry.written:
                continue
            if one.chance < UNLIKELY:
                what = f"{one.reps[1]} with {one.rir:g} left"
                yield f"{exercise.name} on {session.day}, week {week.number}: too heavy for {what}."
                break
            if one.chance > TOO_SURE and one.rir <= 3 and one.load_kg:
                yield f"{exercise.name} on {session.day}, week {week.number}: far lighter than {one.rir:g} left says."
                break


@rule("S01", "people not active so far start light to moderate", "Riebe 2015 (ACSM screening algorithm)", "published")
def hard_start_for_the_inactive(view: View) -> Iterable[str]:
    """A first week of vigorous effort for somebody who is not active yet."""
    if view.block.inputs.trainee.screening.active_now or not view.block.weeks:
        return
    first = view.block.weeks[0]
    if first.rpe > 6.5:
        yield f"Week {first.number} is RPE {first.rpe:g}."


@rule("X03", "people new to lifting start at RPE 7 or less", "common practice, no published source", "practice")
def hard_start_for_beginners(view: View) -> Iterable[str]:
    """A first week harder than RPE 7 in the first half year."""
    if view.years < 0.5 and view.block.weeks and view.block.weeks[0].rpe > 7.0:
        yield f"Week {view.block.weeks[0].number} is RPE {view.block.weeks[0].rpe:g}."


@rule(
    "X04", "the young, beginners over 65 and the pregnant stay moderate", "Lloyd 2014; NSCA 2019; ACOG 804", "published"
)
def too_hard_for_some(view: View) -> Iterable[str]:
    """Sets under six repetitions or with less than two left for people who should stay moderate."""
    trainee = view.block.inputs.trainee
    gentle = view.age < 16 or (view.age >= 65 and view.years < 0.5) or trainee.screening.pregnant
    if not gentle:
        return
    for _, session, _, entry, exercise in view.rows():
        for one in entry.sets:
            heavy = one.kind == "work" and one.reps is not None and one.load_kg
            if heavy and one.reps and (one.reps[1] < 6 or (one.rir is not None and one.rir < 2)):
                yield f"{exercise.name} on {session.day}: {one.reps[1]} repetitions, {one.rir or 0:g} left."
                break


@rule("L07", "people over 65 train two or three days a week", "NSCA 2019 (Fragala)", "published")
def days_for_older_people(view: View) -> Iterable[str]:
    """More sessions a week than the position stand gives."""
    most = max((len(week.sessions) for week in view.block.weeks), default=0)
    if view.age >= 65 and most > 3:
        yield f"The block has {most} days a week."


@rule(
    "L09",
    "people under 18 train two or three days a week, not in a row, with somebody watching",
    "Lloyd 2014 consensus",
    "published",
)
def days_for_youth(view: View) -> Iterable[str]:
    """More than three days, or two in a row."""
    if view.age >= 18 or not view.block.weeks:
        return
    days = [session.day for session in view.block.weeks[0].sessions]
    if len(days) > 3:
        yield f"The block has {len(days)} days a week."
    for first in days:
        for second in days:
            if view.follows(first, second):
                yield f"{first} and {second} are in a row."


@rule(
    "T03",
    "a superset shares no prime mover, unless that is meant",
    "Iversen 2021; Burke 2024; Kadota 2024",
    "published",
)
def superset_shares_a_mover(view: View) -> Iterable[str]:
    """Two entries of a superset led by the same muscle, same-muscle supersets left out."""
    for week in view.block.weeks[:1]:
        for session in week.sessions:
            groups: dict[str, list[tuple[str, str]]] = {}
            for part in session.parts:
                for entry in part.entries:
                    if entry.superset and part.part in ("main", "assistance", "finisher"):
                        groups.setdefault(entry.superset, []).append((entry.exercise, entry.why))
            for members in groups.values():
                for (first, why), (second, _) in pairwise(members):
                    a, b = (muscle_vector(view.catalogue.get(slug)) for slug in (first, second))
                    shared = [m for m, value in a.items() if value >= 0.9 and b.get(m, 0.0) >= 0.9]
                    if shared and "Same-muscle" not in why:
                        names = f"{view.catalogue.get(first).name} and {view.catalogue.get(second).name}"
                        yield f"{names} on {session.day} are both led by {label(shared[0])}."


@rule("W01", "less than a minute of still stretching for a muscle before lifting", "Behm 2016", "published")
def long_stretch_before_lifting(view: View) -> Iterable[str]:
    """Held stretches of a minute and more in the warm-up."""
    for _, session, part, entry, exercise in view.rows(counted=False):
        held = sum((one.hold_s or 0.0) for one in entry.sets)
        if part == "warm-up" and exercise.mode == "active-mobility" and held >= 60:
            yield f"{exercise.name} on {session.day} is held {held:.0f} s."


@rule("W03", "a warm-up starts with what makes warm", "Jeffreys 2007", "handbook")
def warm_up_without_a_raise(view: View) -> Iterable[str]:
    """Warm-ups whose first entry is not a few minutes of easy whole-body work."""
    for week in view.block.weeks[:1]:
        for session in week.sessions:
            for part in session.parts:
                if part.part == "warm-up" and part.entries:
                    first = view.catalogue.get(part.entries[0].exercise)
                    if first.mode != "cyclic" and (session.minutes_cap or 99) > 40:
                        yield f"{session.day} starts with {first.name}."


@rule("W05", "range grows by full range under load, not by the body alone", "Alizadeh 2023; Afonso 2021", "published")
def range_without_load(view: View) -> Iterable[str]:
    """A range goal that no loaded full-range work serves."""
    for goal in view.block.inputs.trainee.goals:
        if goal.kind != "range" or not goal.about:
            continue
        joints = sorted(joints_of_goals([goal]))
        trainers = {slug for motion in motions_of(goal.about) for slug in trained_by(motion)}
        served = any(
            (exercise.slug in trainers or any(use.joint in joints for use in exercise.actions))
            and any(one.load_kg for one in entry.sets)
            and (part == "loaded-mobility" or exercise.length_bias == "lengthened")
            for _, _, part, entry, exercise in view.rows(counted=False)
        )
        if not served:
            yield f"Nothing loads the {' or '.join(joints)} through its full range."


@rule("D01", "the first weeks after a break hold 50, 70, 80, 90 % of the usual sets", "CSCCa/NSCA 2019", "published")
def too_much_after_a_break(view: View) -> Iterable[str]:
    """Weeks of a returner with more sets than the published ramp, one set for each session let pass."""
    if view.block.inputs.trainee.weeks_off < 2:
        return
    totals: dict[int, int] = {}
    for week, _, _, entry, _ in view.rows():
        totals[week.number] = totals.get(week.number, 0) + working_sets(entry)
    usual = max(totals.values(), default=0)
    for week, share in zip(view.block.weeks[:4], (0.5, 0.7, 0.8, 0.9), strict=False):
        if totals.get(week.number, 0) > share * usual + len(week.sessions):
            yield f"Week {week.number} has {totals[week.number]} of {usual} sets, the ramp gives {share * usual:.0f}."


@rule(
    "D03",
    "two weeks after a break: sets x repetitions x share of a single from 11 to 30",
    "CSCCa/NSCA 2019 (digest): 3 x 10 at 50 % is 15",
    "published",
)
def intensity_volume_after_a_break(view: View) -> Iterable[str]:
    """Exercises of a returner over the band; under it is the coach's own choice."""
    if view.block.inputs.trainee.weeks_off < 2:
        return
    for week, session, _, entry, exercise in view.rows():
        if week.number > 2:
            continue
        total = 0.0
        for one in entry.sets:
            share = share_of(one)
            if share is not None and one.reps and one.load_kg:
                total += share * (one.reps[0] + one.reps[1]) / 2.0
        if total > 30:
            yield f"{exercise.name} on {session.day} in week {week.number}: {total:.0f}."


@rule(
    "D04",
    "after a break, intervals rest four times the work at first, then three times",
    "CSCCa/NSCA 2019 (from memory)",
    "published",
)
def interval_rest_after_a_break(view: View) -> Iterable[str]:
    """Intervals of a returner with too little rest in the first two weeks."""
    if view.block.inputs.trainee.weeks_off < 2:
        return
    for week, session, part, entry, exercise in view.rows(counted=False):
        times = {1: 4.0, 2: 3.0}.get(week.number)
        if part != "conditioning" or times is None:
            continue
        timed = [one for one in entry.sets if one.time_s]
        if len(timed) > 1 and any((one.time_s or 0.0) * times > one.rest_s + 1e-6 for one in timed):
            yield f"{exercise.name} on {session.day} in week {week.number}."
