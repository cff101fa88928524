"""The book of rules, and how it is read: which are off, which are bent, in a coach's words.

Ids are those of the project's table of published planning rules. ``level`` says how strong the backing is:
``published``, ``handbook`` or ``practice``.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Unmet
from setwright.plan.rules.view import View, working_sets


@dataclass(frozen=True)
class Rule:
    """One rule: what it says to a coach, where it comes from, and the check that finds it bent."""

    id: str
    says: str
    source: str
    level: Literal["published", "handbook", "practice"]
    check: Callable[[View], Iterable[str]]


RULES: list[Rule] = []


def rule(
    id: str, says: str, source: str, level: Literal["published", "handbook", "practice"]
) -> Callable[[Callable[[View], Iterable[str]]], Callable[[View], Iterable[str]]]:
    """Enters a check into the book."""

    def enter(check: Callable[[View], Iterable[str]]) -> Callable[[View], Iterable[str]]:
        RULES.append(Rule(id, says, source, level, check))
        return check

    return enter


def check_rules(block: Block, catalogue: Catalogue) -> tuple[Unmet, ...]:
    """Every rule that the block bends, one line each, without those that the brief switches off."""
    view = View(block, catalogue)
    off = {setting.rule for setting in block.inputs.brief.rules if setting.off}
    found = []
    for one in RULES:
        if one.id in off:
            continue
        for where in dict.fromkeys(one.check(view)):
            found.append(Unmet(wish=one.says, why=where, rule=one.id))
    return tuple(found)


def label(muscle: str) -> str:
    """A muscle group as a coach reads it."""
    return muscle_groups()[muscle].label


def weeks_in_words(weeks: Iterable[int]) -> str:
    """``week 3`` or ``weeks 2, 3 and 5``."""
    numbers = sorted(set(weeks))
    if len(numbers) == 1:
        return f"week {numbers[0]}"
    return "weeks " + ", ".join(str(one) for one in numbers[:-1]) + f" and {numbers[-1]}"


@rule(
    "V04",
    "at most 11 counted sets of a muscle in one session",
    "Remmert 2025 preprint; IUSCA 2021 about 10",
    "published",
)
def too_much_in_one_session(view: View) -> Iterable[str]:
    """Sets of one muscle beyond which gains are no longer seen."""
    found: dict[tuple[str, str], list[int]] = {}
    for (week, day, muscle), sets in view.sets_by_session.items():
        if sets > 11:
            found.setdefault((day, muscle), []).append(week)
    for (day, muscle), weeks in found.items():
        worst = max(view.sets_by_session[week, day, muscle] for week in weeks)
        yield f"{label(muscle)} get {worst:g} on {day} in {weeks_in_words(weeks)}."


@rule(
    "V05",
    "at most 6 working sets of one lift in a session",
    "handbook table (NSCA Essentials 2 to 6); Remmert 2025",
    "handbook",
)
def too_many_sets_of_a_lift(view: View) -> Iterable[str]:
    """Direct sets of one lift beyond the handbook's upper end."""
    for _, session, _, entry, exercise in view.rows():
        if working_sets(entry) > 6:
            yield f"{exercise.name} has {working_sets(entry)} sets on {session.day}."


@rule("V06", "a muscle's weekly sets grow by at most a fifth, or by one set", "IUSCA 2021 (summary)", "published")
def volume_leaps(view: View) -> Iterable[str]:
    """Weekly sets of a muscle that leap from one hard week to the next; one more set is always allowed."""
    weeks = [week for week in view.hard_weeks if week.kind != "return"]
    found: dict[str, str] = {}
    for before, after in itertools.pairwise(weeks):
        for muscle in muscle_groups():
            old, new = (
                view.sets_by_week.get((before.number, muscle), 0),
                view.sets_by_week.get((after.number, muscle), 0),
            )
            if old >= 4 and new > max(1.2 * old, old + 1.0) + 1e-9:
                found.setdefault(
                    muscle, f"{label(muscle)}: {old:g} to {new:g} from week {before.number} to {after.number}."
                )
    yield from found.values()


@rule("V08", "each big muscle on two days a week", "ACSM 2026 stand (seen second-hand)", "published")
def trained_once_a_week(view: View) -> Iterable[str]:
    """Muscles that get four sets or more a week, all on one day."""
    sessions = max((len(week.sessions) for week in view.block.weeks), default=0)
    if sessions < 2 or not view.hard_weeks:
        return
    week = view.hard_weeks[-1].number
    for muscle in muscle_groups():
        days = [
            day
            for (number, day, name), sets in view.sets_by_session.items()
            if number == week and name == muscle and sets >= 1
        ]
        if len(days) == 1 and view.sets_by_week.get((week, muscle), 0.0) >= 4:
            yield f"{label(muscle)} all get their sets on {days[0]}."


@rule("V09", "a leg press pattern, an upper pull and an upper push every week", "Iversen 2021", "published")
def a_pattern_is_missing(view: View) -> Iterable[str]:
    """A whole week without one of the three patterns of the shortest useful week."""
    wanted = {
        "a squat or leg press": {"squat", "split_squat", "sled", "knee_extension"},
        "an upper pull": {"pull_horizontal", "pull_vertical"},
        "an upper push": {"push_horizontal", "push_incline", "push_vertical", "dip"},
    }
    for name, patterns in wanted.items():
        missing = []
        for week in view.block.weeks:
            there = {exercise.pattern for one, _, _, _, exercise in view.rows() if one.number == week.number}
            if not there & patterns:
                missing.append(week.number)
        if missing:
            yield f"No {name.removeprefix('a ').removeprefix('an ')} in {weeks_in_words(missing)}."


@rule("L01", "people new to lifting work with 8 to 12 repetitions", "ACSM 2009", "published")
def novice_reps(view: View) -> Iterable[str]:
    """Heavy sets of five and fewer for somebody in the first half year."""
    if view.years >= 0.5:
        return
    for _, _, _, entry, exercise in view.rows():
        if any(one.kind == "work" and one.reps and one.reps[1] < 8 and one.load_kg for one in entry.sets):
            yield (
                f"{exercise.name} is planned with {entry.sets[-1].reps[0]} to {entry.sets[-1].reps[1]}."
                if entry.sets[-1].reps
                else exercise.name
            )


@rule("L08", "people over 65 and new to lifting start with one set", "NSCA 2019 (digest)", "published")
def older_novice_sets(view: View) -> Iterable[str]:
    """More than one set of a lift in the first week for an older beginner."""
    if view.age < 65 or view.years >= 0.5 or not view.block.weeks:
        return
    first = view.block.weeks[0].number
    worst = [
        exercise.name for week, _, _, entry, exercise in view.rows() if week.number == first and working_sets(entry) > 1
    ]
    if worst:
        yield f"Week {first} has more than one set of {worst[0]}."


@rule(
    "L10",
    "sets for size end 0 to 3 short of failure",
    "Robinson 2024 (direction seen; the band is ours)",
    "published",
)
def too_easy_for_size(view: View) -> Iterable[str]:
    """A block for size whose hardest week stays further from failure than three."""
    brief = view.block.inputs.brief
    if not brief.emphasis and not any(wish.aim == "size" for wish in brief.lifts):
        return
    if view.block.weeks and max(week.rpe for week in view.block.weeks) < 7.0:
        yield f"The hardest week is RPE {max(week.rpe for week in view.block.weeks):g}."


@rule("L11", "no set has to end in failure", "ACSM 2026: failure gave no consistent benefit", "published")
def planned_failure(view: View) -> Iterable[str]:
    """Working sets planned with nothing in reserve."""
    for week, _, _, entry, exercise in view.rows():
        if any(one.rir is not None and one.rir <= 0 for one in entry.sets):
            yield f"{exercise.name} in week {week.number}."


@rule("T01", "at least 2 min of rest on heavy multi-joint sets", "ACSM 2009; handbook 2 to 5 min", "published")
def heavy_rest_too_short(view: View) -> Iterable[str]:
    """Sets of six and fewer on big lifts with less than 120 s."""
    for _, _, _, entry, exercise in view.rows():
        prime = sum(1 for use in exercise.actions if use.role == "prime")
        for one in entry.sets:
            if one.kind == "work" and one.reps and one.reps[1] <= 6 and one.load_kg and prime >= 2 and one.rest_s < 120:
                yield f"{exercise.name} has {one.rest_s:.0f} s."
                break


@rule("T02", "at least 1 min of rest on sets for size", "Singer 2024", "published")
def size_rest_too_short(view: View) -> Iterable[str]:
    """Loaded working sets with less than a minute, unless they are half of a superset."""
    for _, _, _, entry, exercise in view.rows():
        short = [one.rest_s for one in entry.sets if one.kind == "work" and one.load_kg and one.rest_s < 60]
        if short and entry.superset is None:
            yield f"{exercise.name} has {short[0]:.0f} s."


@rule("T04", "the lift tested for 1RM stays out of supersets", "Iversen 2024", "published")
def goal_lift_in_a_superset(view: View) -> Iterable[str]:
    """A goal lift that shares its rest with another entry."""
    goals = {wish.exercise for wish in view.block.inputs.brief.lifts if wish.aim == "1rm"}
    for _, session, _, entry, exercise in view.rows():
        if entry.exercise in goals and entry.superset is not None:
            yield f"{exercise.name} on {session.day}."


@rule("T07", "a repetition takes 0.5 to 8 s", "Schoenfeld 2015", "published")
def odd_tempo(view: View) -> Iterable[str]:
    """Repetitions slower than eight seconds, loaded mobility and lowering work left out."""
    for _, _, _, entry, exercise in view.rows():
        for one in entry.sets:
            if one.kind == "work" and one.tempo:
                seconds = sum(float(piece) for piece in one.tempo.split("-") if piece.replace(".", "").isdigit())
                if seconds > 8 or seconds < 0.5:
                    yield f"{exercise.name}: tempo {one.tempo} is {seconds:g} s a repetition."
                    break


@rule("T09", "the goal lift comes first", "Nunes 2021", "published")
def goal_lift_late(view: View) -> Iterable[str]:
    """A goal lift with other counted work before it that is not a goal lift."""
    goals = {wish.exercise for wish in view.block.inputs.brief.lifts}
    for week in view.block.weeks[:1]:
        for session in week.sessions:
            others = False
            for part in session.parts:
                for entry in part.entries:
                    if part.part not in ("main", "skill", "assistance", "finisher"):
                        continue
                    if entry.exercise in goals and others:
                        yield f"{view.catalogue.get(entry.exercise).name} on {session.day} comes after other work."
                    others = others or entry.exercise not in goals


@rule("T10", "big lifts before small ones", "ACSM 2009; handbook", "published")
def small_before_big(view: View) -> Iterable[str]:
    """A single-joint exercise before a heavy multi-joint one in the main or assistance part."""
    for week in view.block.weeks[:1]:
        for session in week.sessions:
            small = ""
            for part in session.parts:
                if part.part not in ("main", "assistance"):
                    continue
                for entry in part.entries:
                    exercise = view.catalogue.get(entry.exercise)
                    prime = sum(1 for use in exercise.actions if use.role in ("prime", "secondary"))
                    if exercise.load_capacity >= 4 and prime >= 2 and small and exercise.is_dynamic:
                        yield f"{exercise.name} on {session.day} comes after {small}."
                        small = ""
                    elif prime == 1 and exercise.is_dynamic and exercise.load_means != "body":
                        small = exercise.name


@rule(
    "D05",
    "an easier week about every four to eight weeks",
    "Rogerson 2024 survey (practice, not proof)",
    "practice",
)
def no_easy_week(view: View) -> Iterable[str]:
    """More than eight hard weeks in a row."""
    run = 0
    for week in view.block.weeks:
        run = 0 if week.kind == "deload" else run + 1
        if run > 8:
            yield f"Weeks {week.number - run + 1} to {week.number} have none."
            return


@rule(
    "X01",
    "hard days for the same muscles are not back to back",
    "common practice, no published source",
    "practice",
)
def hard_days_in_a_row(view: View) -> Iterable[str]:
    """Six counted sets or more of a muscle on two consecutive days."""
    found: dict[tuple[str, str, str], None] = {}
    for (week, day, muscle), sets in view.sets_by_session.items():
        if sets < 6:
            continue
        for (other_week, other_day, other_muscle), more in view.sets_by_session.items():
            if other_week == week and other_muscle == muscle and more >= 6 and view.follows(day, other_day):
                found[(day, other_day, muscle)] = None
    for day, other_day, muscle in found:
        yield f"{label(muscle)} on {day} and {other_day}."


@rule(
    "X02",
    "an exercise above the trainee's skill is taught first",
    "common practice, no published source",
    "practice",
)
def skill_too_high(view: View) -> Iterable[str]:
    """Exercises of skill 4 and 5 for people in their first half year."""
    for _, _, _, _, exercise in view.rows():
        if view.years < 0.5 and exercise.skill >= 4:
            yield f"{exercise.name} is hard to learn in the first half year."


@rule(
    "W07",
    "people new to nordic lowering start with two sets of five, once a week",
    "Mjolsnes 2004; Petersen 2011",
    "published",
)
def nordic_start(view: View) -> Iterable[str]:
    """More than ten lowering repetitions in the first week for somebody whose log and baselines hold none."""
    trainee = view.block.inputs.trainee
    done = {base.exercise for base in trainee.baselines if base.exercise.startswith("nordic")}
    if done or not view.block.weeks:
        return
    first = view.block.weeks[0].number
    total = sum(
        one.reps[1]
        for week, _, _, entry, exercise in view.rows()
        if week.number == first and exercise.base.startswith("nordic") and exercise.slug != "nordic_band"
        for one in entry.sets
        if one.kind != "ramp" and one.reps
    )
    if total > 10:
        yield f"Week {first} holds {total} repetitions; the published start is 10."


@rule("W08", "at most six nordic repetitions in a set, a minute of rest or more", "PMC8448479", "published")
def nordic_sets(view: View) -> Iterable[str]:
    """Long nordic sets, whose last repetitions are no longer controlled."""
    for _, _, _, entry, exercise in view.rows():
        if exercise.base.startswith("nordic"):
            for one in entry.sets:
                if one.kind != "ramp" and one.reps and (one.reps[1] > 6 or one.rest_s < 60):
                    yield f"{exercise.name}: {one.reps[1]} repetitions, {one.rest_s:.0f} s of rest."
                    break


@rule(
    "D02",
    "after a break, three sessions a week for a muscle at first, then four",
    "CSCCa/NSCA 2019 (digest)",
    "published",
)
def too_often_after_a_break(view: View) -> Iterable[str]:
    """Returners who train a muscle on more days than the published ramp allows."""
    if view.block.inputs.trainee.weeks_off < 2:
        return
    for week, most in ((1, 3), (2, 4)):
        for muscle in muscle_groups():
            days = {
                day
                for (number, day, name), sets in view.sets_by_session.items()
                if number == week and name == muscle and sets >= 1
            }
            if len(days) > most:
                yield f"{label(muscle)} on {len(days)} days in week {week}."


@rule(
    "V10",
    "a lift aimed at a heavier single gets a hard set every week",
    "Androulakis-Korakakis 2020; Pelland 2025",
    "published",
)
def goal_lift_missing(view: View) -> Iterable[str]:
    """A goal lift that a building week leaves out."""
    for wish in view.block.inputs.brief.lifts:
        weeks = {week.number for week, _, _, entry, _ in view.rows() if entry.exercise == wish.exercise}
        missing = [week.number for week in view.hard_weeks if week.number not in weeks]
        if missing and weeks:
            yield f"{view.catalogue.get(wish.exercise).name} is missing in {weeks_in_words(missing)}."


@rule("V02", "at least four counted sets a week for each big muscle", "Iversen 2021; Pelland 2025", "published")
def under_the_floor(view: View) -> Iterable[str]:
    """Roll-ups that the hardest week trains, but below four sets."""
    hard = view.hard_weeks
    if not hard:
        return
    week = hard[-1].number
    for muscle in ("quads_vasti", "glute_max", "hamstrings", "lats", "pec_sternal"):
        sets = view.sets_by_week.get((week, muscle), 0.0)
        closed = any(
            restriction.level in ("none", "light") and muscle_is_near(muscle, restriction.joint)
            for restriction in view.block.inputs.trainee.restrictions
        )
        if 0 < sets < 4 and not closed:
            yield f"{label(muscle)} get {sets:g} in week {week}."


def muscle_is_near(muscle: str, joint: str) -> bool:
    """True when the joint is one that the muscle moves strongly: a restriction there releases its minimum."""
    from setwright.body.anatomy import joint_actions

    return any(action.joint == joint and action.movers.get(muscle, 0.0) >= 1 for action in joint_actions().values())


__all__ = ["RULES", "Rule", "check_rules"]
