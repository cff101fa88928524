"""Rules on the warm-up, and on how range of motion grows."""

from __future__ import annotations

from collections.abc import Iterable

from setwright.body.range_of_motion import motions_of, trained_by
from setwright.catalogue.derive import muscle_vector
from setwright.plan.block import Session
from setwright.plan.range_goals import joints_of_goals
from setwright.plan.rules.book import in_words, label, rule
from setwright.plan.rules.view import COUNTED, View

LONGEST_STRETCH_S = 60.0
SHORT_SESSION_MIN = 40.0
LED_FROM = 0.75


@rule(
    "W01",
    "less than a minute of still stretching for a muscle before lifting",
    "Behm 2016 (-1.1 % below 60 s, -4.6 % from 60 s on)",
    "published",
    "seen",
)
def long_stretch_before_lifting(view: View) -> Iterable[str]:
    """Held stretches of a minute and more in the warm-up: of one drill, or of one muscle in several."""
    for week in view.block.weeks:
        for session in week.sessions:
            totals: dict[str, float] = {}
            for part in session.parts:
                if part.part != "warm-up":
                    continue
                for entry in part.entries:
                    exercise = view.catalogue.get(entry.exercise)
                    held = sum((one.hold_s or 0.0) for one in entry.sets)
                    if exercise.mode != "active-mobility" or not held:
                        continue
                    if held >= LONGEST_STRETCH_S:
                        yield f"{exercise.name} on {session.day} is held {held:.0f} s."
                        continue
                    for muscle, value in muscle_vector(exercise).items():
                        if value >= LED_FROM:
                            totals[muscle] = totals.get(muscle, 0.0) + held
            for muscle, held in totals.items():
                if held >= LONGEST_STRETCH_S:
                    yield f"{label(muscle)} on {session.day}: {held:.0f} s in all."


@rule(
    "W02",
    "still stretching is followed by moving work before the first hard set",
    "Behm 2016 (dynamic +1.3 %, still -3.7 %)",
    "published",
    "seen",
)
def stretch_right_before_a_hard_set(view: View) -> Iterable[str]:
    """Warm-ups that end with a held drill, before a first lift without ramp sets."""
    for week in view.block.weeks:
        for session in week.sessions:
            drills = [entry for part in session.parts if part.part == "warm-up" for entry in part.entries]
            if not drills:
                continue
            last = view.catalogue.get(drills[-1].exercise)
            is_held = last.mode == "active-mobility" and all(one.hold_s and not one.reps for one in drills[-1].sets)
            if is_held and not starts_with_ramp(session):
                yield f"{session.day} goes from {last.name} straight into the first hard set."


def starts_with_ramp(session: Session) -> bool:
    """True when the first counted entry has ramp sets, or there is none."""
    for part in session.parts:
        if part.part in COUNTED and part.entries:
            return any(one.kind == "ramp" for one in part.entries[0].sets)
    return True


@rule(
    "W03",
    "a warm-up starts with what makes warm",
    "Jeffreys 2007 (raise, then activate and mobilise, then potentiate); Iversen 2021 lets short sessions do without",
    "handbook",
    "seen",
)
def warm_up_without_a_raise(view: View) -> Iterable[str]:
    """Warm-ups whose first entry is not a few minutes of easy whole-body work, sessions up to 40 min left out."""
    found: list[tuple[str, str]] = []
    for week in view.block.weeks:
        for session in week.sessions:
            for part in session.parts:
                if part.part == "warm-up" and part.entries:
                    first = view.catalogue.get(part.entries[0].exercise)
                    if first.mode != "cyclic" and (session.minutes_cap or 99) > SHORT_SESSION_MIN:
                        found.append((session.day, first.name))
    if found:
        days = in_words(session_day for session_day, _ in found)
        names = in_words(name for _, name in found)
        yield f"{days} start{'' if ' and ' in days else 's'} with {names}."


@rule(
    "W05",
    "range grows by full range under load, not by the body alone",
    "Alizadeh 2023 (0.73, none with body mass only); Afonso 2021",
    "published",
    "seen",
)
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
