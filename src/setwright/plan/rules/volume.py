"""Rules on how many counted sets: of a muscle in a week and a session, of a lift, and how they grow."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise

from setwright.body.anatomy import muscle_groups
from setwright.plan.demand import muscles_of
from setwright.plan.rules.book import in_words, is_released, label, rule
from setwright.plan.rules.view import View, weeks_in_words

FLOOR_SETS = 4.0
BIG_MUSCLES = ("quads_vasti", "glute_max", "hamstrings", "lats", "pec_sternal")
SIZE_BAND = (10.0, 20.0)
MOST_IN_A_SESSION = 11.0
MOST_OF_A_LIFT = 6
GROWTH = 1.2
OLDER, NOVICE_YEARS = 65, 0.5


@rule(
    "V02",
    "at least four counted sets a week for each big muscle, and for each that a goal lists",
    "Iversen 2021, Sports Med 51:2079; Pelland 2025 (about 4 detectable, tier seen second-hand)",
    "published",
    "seen",
)
def under_the_floor(view: View) -> Iterable[str]:
    """Muscles that the hardest week trains, but below four sets, and listed ones that it leaves out."""
    week = view.hardest
    if week is None:
        return
    listed = set(wanted_words(view)) | set(view.block.inputs.brief.sets_per_muscle)
    for word in sorted(listed):
        sets = best_of(view, word)
        members = muscles_of(word)
        if members and sets < FLOOR_SETS and not is_released(view, members[0]):
            yield f"{in_plain_words(word)}: {sets:g} in week {week}."
    for muscle in BIG_MUSCLES:
        sets = view.sets_by_week.get((week, muscle), 0.0)
        if 0 < sets < FLOOR_SETS and not is_released(view, muscle) and not any(muscle in muscles_of(w) for w in listed):
            yield f"{label(muscle)}: {sets:g} in week {week}."


def wanted_words(view: View) -> tuple[str, ...]:
    """Words for the groups that should grow: the brief's emphasis and goals of size."""
    inputs = view.block.inputs
    goals = (goal.about for goal in inputs.trainee.goals if goal.kind == "size")
    return tuple(sorted({*inputs.brief.emphasis, *goals}))


def best_of(view: View, word: str) -> float:
    """Counted sets of the hardest week for a word, those of its best trained group."""
    return max((view.sets_by_week.get((view.hardest or 0, muscle), 0.0) for muscle in muscles_of(word)), default=0.0)


def in_plain_words(word: str) -> str:
    """A group or roll-up as a coach reads it."""
    return label(word) if word in muscle_groups() else word.replace("_", " ")


@rule(
    "V03",
    "10 to 20 counted sets a week for a muscle that should grow",
    "ACSM 2026 (at least 10); IUSCA 2021 (about 10); Baz-Valle 2022 (12 to 20 in trained young men)",
    "published",
    "seen second-hand",
)
def sets_for_size(view: View) -> Iterable[str]:
    """Groups that should grow whose hardest week lies outside the band; beginners need less."""
    if view.years < 0.5 or view.hardest is None:
        return
    for word in wanted_words(view):
        members = muscles_of(word)
        if not members or is_released(view, members[0]):
            continue
        best = best_of(view, word)
        if not SIZE_BAND[0] <= best <= SIZE_BAND[1]:
            yield f"{in_plain_words(word)}: {best:g} in week {view.hardest}."


@rule(
    "V04",
    "at most 11 counted sets of a muscle in one session",
    "Remmert 2025 preprint (no gain seen beyond about 11); IUSCA 2021 (about 10)",
    "published",
    "seen second-hand",
)
def too_much_in_one_session(view: View) -> Iterable[str]:
    """Sets of one muscle beyond which gains are no longer seen."""
    for (day, muscle), weeks in crowded(view).items():
        worst = max(view.sets_by_session[week, day, muscle] for week in weeks)
        yield f"{label(muscle)}: {worst:g} on {day} in {weeks_in_words(weeks)}."


def crowded(view: View) -> Mapping[tuple[str, str], list[int]]:
    """(day, muscle) with more sets than a session is good for, and the weeks in which it has."""
    found: dict[tuple[str, str], list[int]] = {}
    for (week, day, muscle), sets in view.sets_by_session.items():
        if sets > MOST_IN_A_SESSION:
            found.setdefault((day, muscle), []).append(week)
    return found


@rule(
    "V05",
    "at most 6 counted sets of one lift in a session",
    "handbook table (NSCA Essentials, 2 to 6); Remmert 2025 (strength hardly gains past 2 or 3)",
    "handbook",
    "seen second-hand",
)
def too_many_sets_of_a_lift(view: View) -> Iterable[str]:
    """Sets of one lift, as its scheme counts them, beyond the handbook's upper end; split entries together."""
    totals: dict[tuple[int, str, str], float] = {}
    for week, session, _, entry, exercise in view.rows():
        key = (week.number, session.day, exercise.name)
        totals[key] = totals.get(key, 0.0) + view.counted(entry)
    worst: dict[tuple[str, str], float] = {}
    for (_, day, name), sets in totals.items():
        worst[day, name] = max(sets, worst.get((day, name), 0))
    for (day, name), sets in worst.items():
        if sets > MOST_OF_A_LIFT:
            yield f"{name} has {sets:g} counted sets on {day}."


@rule(
    "V06",
    "a muscle's weekly sets grow by at most a fifth, or by one set",
    "IUSCA 2021 (20 % in about four weeks); one more set is always allowed, and so is the way up to four",
    "published",
    "seen second-hand",
)
def volume_leaps(view: View) -> Iterable[str]:
    """Weekly sets of a muscle that leap from one hard week to the next; a way back has its own ramp (D01).

    The one set of each lift with which an older beginner starts (rule L08) is such a ramp too.
    """
    weeks = [week.number for week in view.hard_weeks if week.kind != "return"]
    if view.age >= OLDER and view.years < NOVICE_YEARS:
        weeks = weeks[1:]
    for muscle in muscle_groups():
        for before, after in pairwise(weeks):
            old, new = view.sets_by_week.get((before, muscle), 0.0), view.sets_by_week.get((after, muscle), 0.0)
            if old > 0 and new > max(GROWTH * old, old + 1.0, FLOOR_SETS) + 1e-9:
                yield f"{label(muscle)}: {old:g} to {new:g} from week {before} to {after}."
                break


@rule(
    "V07",
    "sets that are too many for one session go to one more day",
    "IUSCA 2021 (more than about 10 in a session: one more day a week)",
    "published",
    "seen second-hand",
)
def could_be_spread(view: View) -> Iterable[str]:
    """Crowded sessions of a muscle that other training days of the week leave out."""
    for (day, muscle), weeks in crowded(view).items():
        days = [session.day for week in view.block.weeks if week.number == weeks[0] for session in week.sessions]
        free = [one for one in days if view.sets_by_session.get((weeks[0], one, muscle), 0.0) < 1]
        if free:
            yield f"{label(muscle)}: some of {day} fits on {' or '.join(free)}."


@rule(
    "V08",
    "each big muscle on two days a week",
    "ACSM 2026 position stand (at least 2 days a week)",
    "published",
    "seen second-hand",
)
def trained_once_a_week(view: View) -> Iterable[str]:
    """Muscles that get four sets or more a week, all on one day; and weeks of one training day."""
    most = max((len(week.sessions) for week in view.block.weeks), default=0)
    if most == 1:
        yield "The week has one training day."
    if most < 2 or view.hardest is None:
        return
    by_day: dict[str, list[str]] = {}
    for muscle in muscle_groups():
        days = view.days_of(view.hardest, muscle)
        if len(days) == 1 and view.sets_by_week.get((view.hardest, muscle), 0.0) >= FLOOR_SETS:
            by_day.setdefault(days[0], []).append(label(muscle))
    for day, names in by_day.items():
        yield f"all sets of {in_words(names)} come on {day}."


SHORTEST_WEEK = {
    "squat or leg press": (("squat", "split_squat", "sled"), ("knee", "hip", "ankle")),
    "upper pull": (("pull_horizontal", "pull_vertical"), ("shoulder", "elbow", "wrist")),
    "upper push": (("push_horizontal", "push_incline", "push_vertical", "dip"), ("shoulder", "elbow", "wrist")),
}


@rule(
    "V09",
    "a leg press pattern, an upper pull and an upper push every week",
    "Iversen 2021, Sports Med 51:2079",
    "published",
    "seen",
)
def a_pattern_is_missing(view: View) -> Iterable[str]:
    """Weeks without one of the three patterns of the shortest useful week; a restriction there releases it."""
    there = {
        week.number: {exercise.pattern for one, _, _, _, exercise in view.rows() if one.number == week.number}
        for week in view.block.weeks
    }
    limited = {one.joint for one in view.block.inputs.trainee.restrictions}
    for name, (patterns, joints) in SHORTEST_WEEK.items():
        missing = [week for week, found in there.items() if not found & set(patterns)]
        if missing and not limited & set(joints):
            yield f"No {name} in {weeks_in_words(missing)}."


@rule(
    "V10",
    "a lift aimed at a heavier single gets a hard set every week",
    "Androulakis-Korakakis 2020 (one set, one to three times a week); Pelland 2025",
    "published",
    "seen",
)
def goal_lift_missing(view: View) -> Iterable[str]:
    """A lift for strength that a hard week leaves out."""
    for wish in view.block.inputs.brief.lifts:
        if wish.aim == "size":
            continue
        weeks = {week.number for week, _, _, entry, _ in view.rows() if entry.exercise == wish.exercise}
        missing = [week.number for week in view.hard_weeks if week.number not in weeks]
        if missing and weeks:
            yield f"{view.catalogue.get(wish.exercise).name} is missing in {weeks_in_words(missing)}."
