"""Rules on rest between sets and days, on tempo, on supersets, and on the order of a session."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.plan.block import Entry, Session
from setwright.plan.candidates import BIG_KIN, is_ballistic, kin_of
from setwright.plan.rules.book import label, rule
from setwright.plan.rules.view import COUNTED, View

HARD_DAY_SETS = 6.0
HEAVY_CAPACITY = 4


def counted(session: Session) -> Iterator[tuple[str, Entry]]:
    """(part, entry) of the parts whose sets count, in the order of the sheet."""
    for part in session.parts:
        if part.part in COUNTED:
            for entry in part.entries:
                yield part.part, entry


def moving_joints(exercise: Exercise) -> int:
    """How many joint actions drive or help an exercise."""
    return sum(1 for use in exercise.actions if use.role in ("prime", "secondary"))


@rule(
    "T01",
    "at least 2 min of rest on heavy multi-joint sets",
    "ACSM 2009 (2 to 3 min, 3 to 5 at 1 to 6RM); handbook 2 to 5 min",
    "published",
    "seen",
)
def heavy_rest_too_short(view: View) -> Iterable[str]:
    """Sets of six and fewer on big lifts with less than 120 s."""
    for _, _, _, entry, exercise in view.rows():
        for one in entry.sets:
            heavy = one.kind == "work" and one.reps is not None and one.reps[1] <= 6 and one.load_kg
            if heavy and moving_joints(exercise) >= 2 and one.rest_s < 120:
                yield f"{exercise.name} has {one.rest_s:.0f} s."
                break


@rule(
    "T02",
    "at least 1 min of rest on sets for size",
    "Singer 2024 (short 0.48, longer 0.56, wide overlap)",
    "published",
    "seen",
)
def size_rest_too_short(view: View) -> Iterable[str]:
    """Loaded working sets with less than a minute, unless they are half of a superset."""
    for _, _, _, entry, exercise in view.rows():
        short = [one.rest_s for one in entry.sets if one.kind == "work" and one.load_kg and one.rest_s < 60]
        if short and entry.superset is None:
            yield f"{exercise.name} has {short[0]:.0f} s."


@rule(
    "T03",
    "a superset shares no prime mover, unless that is meant",
    "Iversen 2021 and 2024; Burke 2024; Kadota 2024",
    "published",
    "seen",
)
def superset_shares_a_mover(view: View) -> Iterable[str]:
    """Two entries of a superset led by the same muscle, same-muscle supersets left out."""
    for week in view.block.weeks:
        for session in week.sessions:
            groups: dict[str, list[tuple[str, str]]] = {}
            for part, entry in counted(session):
                if entry.superset and part != "skill":
                    groups.setdefault(entry.superset, []).append((entry.exercise, entry.why))
            for members in groups.values():
                for (first, why), (second, _) in pairwise(members):
                    a, b = (muscle_vector(view.catalogue.get(slug)) for slug in (first, second))
                    shared = [m for m, value in a.items() if value >= 0.9 and b.get(m, 0.0) >= 0.9]
                    if shared and "Same-muscle" not in why:
                        names = f"{view.catalogue.get(first).name} and {view.catalogue.get(second).name}"
                        yield f"{names} on {session.day} are both led by {label(shared[0])}."


@rule(
    "T04",
    "the lift tested for 1RM stays out of supersets",
    "Iversen 2024 (pull-down +5.2 kg better unpaired, p = 0.033)",
    "published",
    "seen",
)
def goal_lift_in_a_superset(view: View) -> Iterable[str]:
    """A goal lift that shares its rest with another entry."""
    goals = {wish.exercise for wish in view.block.inputs.brief.lifts if wish.aim == "1rm"}
    for _, session, _, entry, exercise in view.rows():
        if entry.exercise in goals and entry.superset is not None:
            yield f"{exercise.name} on {session.day}."


@rule("T07", "a repetition takes 0.5 to 8 s", "Schoenfeld 2015 (alike from 0.5 to 8 s)", "published", "seen")
def odd_tempo(view: View) -> Iterable[str]:
    """Repetitions slower than eight seconds, loaded mobility and lowering work left out."""
    for _, _, _, entry, exercise in view.rows():
        for one in entry.sets:
            if one.kind == "work" and one.tempo:
                seconds = sum(float(piece) for piece in one.tempo.split("-") if piece.replace(".", "").isdigit())
                if seconds > 8 or (seconds < 0.5 and "x" not in one.tempo):
                    yield f"{exercise.name}: tempo {one.tempo} is {seconds:g} s a repetition."
                    break


@rule(
    "T09",
    "the goal lift comes first",
    "Nunes 2021 (what comes first gains most strength: 0.32 and 0.58; size 0.03)",
    "published",
    "seen",
)
def goal_lift_late(view: View) -> Iterable[str]:
    """A goal lift with other counted work before it that is not a goal lift."""
    goals = {wish.exercise for wish in view.block.inputs.brief.lifts}
    for week in view.block.weeks:
        for session in week.sessions:
            others = False
            for _, entry in counted(session):
                if entry.exercise in goals and others:
                    yield f"{view.catalogue.get(entry.exercise).name} on {session.day} comes after other work."
                others = others or entry.exercise not in goals


def is_heavy_and_big(exercise: Exercise) -> bool:
    """True for heavy lifts over several joints."""
    return exercise.load_capacity >= HEAVY_CAPACITY and moving_joints(exercise) >= 2


@rule(
    "T10",
    "explosive lifts before big ones, big before small",
    "ACSM 2009; handbook (power, then other multi-joint, then single-joint)",
    "published",
    "seen",
)
def small_before_big(view: View) -> Iterable[str]:
    """A single-joint exercise before a heavy multi-joint one, or a heavy one before an explosive one.

    Goal lifts go first whatever they are (T09), those of the trainee's own goals too. A small lift done in turn with a
    big one comes with it, not before.
    """
    goals = {wish.exercise for wish in view.block.inputs.brief.lifts}
    goals |= {goal.about for goal in view.block.inputs.trainee.goals if goal.kind == "strength"}
    for week in view.block.weeks:
        for session in week.sessions:
            small = big = ""
            beside_big = {
                entry.superset for _, entry in counted(session) if is_heavy_and_big(view.catalogue.get(entry.exercise))
            } - {None}
            for part, entry in counted(session):
                exercise = view.catalogue.get(entry.exercise)
                if part not in ("main", "assistance") or not exercise.is_dynamic:
                    continue
                is_big = is_heavy_and_big(exercise)
                fast = is_ballistic(exercise)
                if is_big and small:
                    yield f"{exercise.name} on {session.day} comes after {small}."
                    small = ""
                elif fast and big and exercise.slug not in goals:
                    yield f"{exercise.name} on {session.day} comes after {big}."
                elif (
                    moving_joints(exercise) == 1
                    and exercise.load_means != "body"
                    and exercise.slug not in goals
                    and entry.superset not in beside_big
                ):
                    small = exercise.name
                if is_big and not fast and exercise.slug not in goals:
                    big = exercise.name


@rule(
    "X01",
    "hard days for the same muscles are not back to back",
    "common practice, no published source",
    "practice",
    "ours",
)
def hard_days_in_a_row(view: View) -> Iterable[str]:
    """Six counted sets or more of a muscle on two consecutive days."""
    found: dict[tuple[str, str, str], None] = {}
    for (week, day, muscle), sets in view.sets_by_session.items():
        if sets < HARD_DAY_SETS:
            continue
        for (other_week, other_day, other_muscle), more in view.sets_by_session.items():
            same = other_week == week and other_muscle == muscle
            if same and more >= HARD_DAY_SETS and view.follows(day, other_day):
                found[(day, other_day, muscle)] = None
    for day, other_day, muscle in found:
        yield f"{label(muscle)} on {day} and {other_day}."


@rule(
    "X07",
    "big lifts of one kind keep a day between: those of legs and hips, presses, pulls",
    "common practice, no published source",
    "practice",
    "ours",
)
def kin_in_a_row(view: View) -> Iterable[str]:
    """Big lifts of one kind on two consecutive days, however few their sets."""
    found: dict[tuple[str, str, str], None] = {}
    for week in view.block.weeks:
        there = {
            session.day: {kin_of(view.catalogue.get(entry.exercise)) for _, entry in counted(session)} & set(BIG_KIN)
            for session in week.sessions
        }
        for day, kin in there.items():
            for other, more in there.items():
                if view.follows(day, other):
                    found |= {(name, day, other): None for name in sorted(kin & more)}
    for name in BIG_KIN:
        days = [f"{day} and {other}" for kin, day, other in found if kin == name]
        if days:
            yield f"{name} on {', '.join(days)}."
