"""Rules for the young, for people over 65, for those new to lifting, and for those who should stay moderate."""

from __future__ import annotations

from collections.abc import Iterable

from setwright.plan.rules.book import rule
from setwright.plan.rules.loads_and_effort import share_of
from setwright.plan.rules.view import View, working_sets
from setwright.plan.rules.volume import NOVICE_YEARS, OLDER

YOUTH = 18
MOST_DAYS = 3
OLDER_SHARE = 0.855  # 85 % with room for rounding
OLDER_SETS = 3
YOUTH_SETS = 3


def most_days(view: View) -> int:
    """Training days of the fullest week."""
    return max((len(week.sessions) for week in view.block.weeks), default=0)


@rule(
    "L07",
    "people over 65: two or three days a week, two or three sets of a lift, up to 85 % of a single",
    "NSCA 2019 position statement (Fragala): 70 to 85 %, 2 to 3 sets, 2 to 3 days a week",
    "published",
    "seen",
)
def doses_for_older_people(view: View) -> Iterable[str]:
    """More days, more sets of a lift or heavier sets than the position statement gives."""
    if view.age < OLDER:
        return
    if most_days(view) > MOST_DAYS:
        yield f"The block has {most_days(view)} days a week."
    for _, session, _, entry, exercise in view.rows():
        if working_sets(entry) > OLDER_SETS:
            yield f"{exercise.name} on {session.day} has {working_sets(entry)} sets."
        shares = [share for one in entry.sets if one.load_kg and (share := share_of(one)) is not None]
        if shares and max(shares) > OLDER_SHARE:
            yield f"{exercise.name} on {session.day} goes to about {100 * max(shares):.0f} % of a single."


@rule(
    "L08",
    "people over 65 and new to lifting start with one set",
    "NSCA 2019 position statement (digest)",
    "published",
    "seen",
)
def older_novice_sets(view: View) -> Iterable[str]:
    """More than one set of a lift in the first week for an older beginner."""
    if view.age < OLDER or view.years >= NOVICE_YEARS or not view.block.weeks:
        return
    first = view.block.weeks[0].number
    worst = [
        exercise.name for week, _, _, entry, exercise in view.rows() if week.number == first and working_sets(entry) > 1
    ]
    if worst:
        yield f"Week {first} has more than one set of {worst[0]}."


@rule(
    "L09",
    "people under 18 train two or three days a week, not in a row, with somebody watching, and test no single at first",
    "Lloyd 2014 consensus (digest); Faigenbaum 2009 (1 to 3 sets, from memory)",
    "published",
    "seen",
)
def doses_for_youth(view: View) -> Iterable[str]:
    """More than three days, days in a row, more than three sets of a lift, or a test in the first half year."""
    if view.age >= YOUTH or not view.block.weeks:
        return
    if most_days(view) > MOST_DAYS:
        yield f"The block has {most_days(view)} days a week."
    for week in view.block.weeks:
        days = [session.day for session in week.sessions]
        for first in days:
            for second in days:
                if view.follows(first, second):
                    yield f"{first} and {second} are in a row."
    for _, session, _, entry, exercise in view.rows():
        if working_sets(entry) > YOUTH_SETS:
            yield f"{exercise.name} on {session.day} has {working_sets(entry)} sets."
    for wish in view.block.inputs.brief.lifts:
        if wish.aim == "1rm" and view.years < NOVICE_YEARS:
            yield f"{view.catalogue.get(wish.exercise).name} is aimed at a single before its technique is settled."


@rule(
    "G01",
    "people new to lifting train two or three days a week",
    "ACSM 2009 (2 to 3 days); handbook (2 to 3 for beginners)",
    "published",
    "seen",
)
def days_for_beginners(view: View) -> Iterable[str]:
    """More than three days a week in the first half year."""
    if view.years < NOVICE_YEARS and most_days(view) > MOST_DAYS:
        yield f"The block has {most_days(view)} days a week."


@rule(
    "S01",
    "people not active so far start light to moderate",
    "Riebe 2015 (ACSM screening algorithm)",
    "published",
    "seen",
)
def hard_start_for_the_inactive(view: View) -> Iterable[str]:
    """A first week of vigorous effort for somebody who is not active yet."""
    if view.block.inputs.trainee.screening.active_now or not view.block.weeks:
        return
    first = view.block.weeks[0]
    if first.rpe > 6.5:
        yield f"Week {first.number} is RPE {first.rpe:g}."


@rule(
    "X02",
    "an exercise above the trainee's skill is taught first",
    "common practice, no published source",
    "practice",
    "ours",
)
def skill_too_high(view: View) -> Iterable[str]:
    """Exercises of skill 4 and 5 for people in their first half year."""
    for _, _, _, _, exercise in view.rows():
        if view.years < NOVICE_YEARS and exercise.skill >= 4:
            yield f"{exercise.name} is hard to learn in the first half year."


@rule(
    "X03",
    "people new to lifting start at RPE 7 or less",
    "common practice, no published source",
    "practice",
    "ours",
)
def hard_start_for_beginners(view: View) -> Iterable[str]:
    """A first week harder than RPE 7 in the first half year."""
    if view.years < NOVICE_YEARS and view.block.weeks and view.block.weeks[0].rpe > 7.0:
        yield f"Week {view.block.weeks[0].number} is RPE {view.block.weeks[0].rpe:g}."


@rule(
    "X04",
    "the young, beginners over 65 and the pregnant stay moderate",
    "Lloyd 2014; NSCA 2019; ACOG 804 (digests); six repetitions and two left are ours",
    "published",
    "seen second-hand",
)
def too_hard_for_some(view: View) -> Iterable[str]:
    """Sets under six repetitions or with less than two left for people who should stay moderate."""
    trainee = view.block.inputs.trainee
    gentle = view.age < 16 or (view.age >= OLDER and view.years < NOVICE_YEARS) or trainee.screening.pregnant
    if not gentle:
        return
    for _, session, _, entry, exercise in view.rows():
        for one in entry.sets:
            heavy = one.kind == "work" and one.reps is not None and one.load_kg
            if heavy and one.reps and (one.reps[1] < 6 or (one.rir is not None and one.rir < 2)):
                left = "" if one.rir is None else f", {one.rir:g} left"
                yield f"{exercise.name} on {session.day}: {one.reps[1]} repetitions{left}."
                break
