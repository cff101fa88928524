"""What became of the planned bouts of conditioning: the score, what it means in repetitions and minutes, the energy.

A score is read against the bout as planned: ``5 rounds + 12 reps`` of three movements becomes repetitions of each.
Energy of a mix of movements is by activity code for all its minutes, with its spread; single pieces on a machine have
their own rows (``conditioning``).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Entry, Session
from setwright.plan.bout import Bout
from setwright.plan.bout_time import like, likely_s, work_of_rounds_s
from setwright.plan.formats import SHARED, Format, formats_of
from setwright.plan.session_time import groups_of
from setwright.review.attendance import Attended
from setwright.review.conditioning import EASY_RPE, HARD_RPE, SPREAD, activity_codes
from setwright.review.energy import REST_UPTAKE, energy_kcal
from setwright.review.score import Score, read_score
from setwright.review.volume import attendance
from setwright.strength.logged import Log


@dataclass(frozen=True)
class BoutDone:
    """One planned bout of several movements, or of one in a shared format, against the log.

    letter : its letter, or empty for one movement; written : the score as written, or None where nobody wrote one
    names : the movements by slug, as a coach reads them
    reps : repetitions of each movement that the score comes to, where it tells; metres likewise
    minutes : that it took; kcal : best, low, high; rests_on : what the energy rests on, or why there is none
    """

    week: int
    day: str
    date: dt.date
    letter: str
    format: str
    movements: tuple[str, ...]
    written: str | None
    score: Score | None
    reps: Mapping[str, int]
    metres: Mapping[str, float]
    minutes: float | None
    heart_rate: float | None
    kcal: tuple[float, float, float] | None
    rests_on: str
    bout: Bout
    names: Mapping[str, str]
    session_rpe: float | None = None


def bouts_done(block: Block, log: Log, catalogue: Catalogue) -> tuple[BoutDone, ...]:
    """Every planned bout in a shared format of the sessions that were done, in order."""
    known = formats_of(catalogue)
    found = []
    for week in block.weeks:
        everyone, _ = attendance(block, week, log)
        for one in everyone:
            if not one.is_done:
                continue
            for group in bouts_of(one.session):
                bout = group[0].bout
                if bout is not None and bout.format in known:
                    found.append(bout_done(week.number, one, group, known[bout.format], block, catalogue))
    return tuple(found)


def bouts_of(session: Session) -> list[list[Entry]]:
    """The entries of each bout in a shared format."""
    groups = [group for part in session.parts for group in groups_of(part.entries)]
    return [group for group in groups if group[0].bout is not None and like(group[0].bout) in SHARED]


def bout_done(
    week: int, one: Attended, group: Sequence[Entry], form: Format, block: Block, catalogue: Catalogue
) -> BoutDone:
    """One bout against what was written of it."""
    bout = group[0].bout
    assert bout is not None
    written, heart_rate = told_of(one, group)
    score = None if written is None else read_score(written)
    reps, metres = amounts(score, group, bout)
    minutes = minutes_of(score, group, bout, catalogue)
    mass = block.inputs.trainee.body_mass_kg
    kcal, rests_on = cost(form, minutes, one.session_rpe, mass)
    return BoutDone(
        week,
        one.session.day,
        one.visits[0].date,
        group[0].superset or "",
        bout.format,
        tuple(entry.exercise for entry in group),
        written,
        score,
        reps,
        metres,
        minutes,
        heart_rate,
        kcal,
        rests_on if score is not None else "no score written, so no minutes",
        bout,
        {entry.exercise: catalogue.get(entry.exercise).name for entry in group},
        one.session_rpe,
    )


def told_of(one: Attended, group: Sequence[Entry]) -> tuple[str | None, float | None]:
    """(score, mean heart rate) as written for a bout: by its letter, or in the row of its one movement."""
    letter = group[0].superset
    rows = [row for visit in one.visits for row in visit.rows if letter and row.bout == letter and row.score]
    if rows:
        return rows[-1].score, rows[-1].heart_rate
    sets = [row for row in one.sets if row.exercise == group[0].exercise and row.score]
    return (sets[-1].score, sets[-1].heart_rate) if sets and len(group) == 1 else (None, None)


def rounds_planned(group: Sequence[Entry]) -> list[list[tuple[str, int, float]]]:
    """What each round asks, movement by movement: exercise, repetitions, metres. One round where all are alike."""
    rounds = max(len(entry.working_sets) for entry in group)
    found = []
    for number in range(rounds):
        row = []
        for entry in group:
            if number < len(entry.working_sets):
                planned = entry.working_sets[number]
                sides = 2 if planned.per_side else 1
                reps = sides * planned.reps[1] if planned.reps else 0
                row.append((entry.exercise, reps, sides * (planned.distance_m or 0.0)))
        found.append(row)
    return found


def amounts(score: Score | None, group: Sequence[Entry], bout: Bout) -> tuple[dict[str, int], dict[str, float]]:
    """Repetitions and metres of each movement that a score comes to; empty where it tells none.

    A finished time is all rounds. Repetitions of the round begun are shared out in the order of the movements; metres
    and seconds of a round count once the next movement was begun.
    """
    kind = like(bout)
    planned = rounds_planned(group)
    if score is None or kind in ("circuit", "every-minute"):
        return {}, {}
    rounds = len(planned) if score.time_s is not None else score.rounds
    if rounds is None:
        return {}, {}
    reps: dict[str, int] = {}
    metres: dict[str, float] = {}
    for number in range(rounds):
        for exercise, count, distance in planned[min(number, len(planned) - 1)]:
            reps[exercise] = reps.get(exercise, 0) + count
            metres[exercise] = metres.get(exercise, 0.0) + distance
    left = score.reps or 0
    for exercise, count, distance in planned[min(rounds, len(planned) - 1)] if left else ():
        if left <= 0:
            break
        done = min(left, count)
        reps[exercise] = reps.get(exercise, 0) + done
        metres[exercise] = metres.get(exercise, 0.0) + (distance if not count else 0.0)
        left -= done
    return {key: value for key, value in reps.items() if value}, {key: value for key, value in metres.items() if value}


def minutes_of(score: Score | None, group: Sequence[Entry], bout: Bout, catalogue: Catalogue) -> float | None:
    """Minutes that a bout took, by its score and its clock; None where neither tells."""
    if score is None:
        return None
    kind = like(bout)
    if score.time_s is not None:
        return score.time_s / 60.0
    if kind == "every-minute" and bout.every_s is not None and score.rounds is not None:
        return score.rounds * bout.every_s / 60.0
    if kind == "circuit" and score.rounds is not None:
        return score.rounds * len(group) * ((bout.work_s or 0.0) + (bout.rest_s or 0.0)) / 60.0
    if bout.time_s is not None:
        return bout.time_s / 60.0
    likely = likely_s(group, catalogue)
    return None if likely is None else work_of_rounds_s(group, catalogue) / 60.0


def cost(
    form: Format, minutes: float | None, session_rpe: float | None, mass_kg: float
) -> tuple[tuple[float, float, float] | None, str]:
    """Energy of a bout, kcal: best, low and high; and what it rests on. The gentlest code up to session RPE 4."""
    if not form.activity:
        return None, "no activity code for this format"
    place = 1 if session_rpe is None else 0 if session_rpe <= EASY_RPE else 2 if session_rpe > HARD_RPE else 1
    code = form.activity[min(place, len(form.activity) - 1)]
    row = activity_codes()["code"][code]
    words = f"activity code {code}, {row['words']}; body mass {mass_kg:g} kg; a third more or less is usual"
    if minutes is None:
        return None, f"{words}; no minutes told, so no energy"
    best = energy_kcal(row["met"] * REST_UPTAKE, mass_kg, minutes)
    return (best, (1 - SPREAD) * best, (1 + SPREAD) * best), words
