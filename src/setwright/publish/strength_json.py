"""``estimate --json``: what is believed about each lift, for other programs. Loads in kg as printed, dates ISO."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from setwright.dose.first_session import FirstSession
from setwright.people.place import Place
from setwright.plan.asking import asking
from setwright.publish.strength_words import (
    FORECAST_WEEKS,
    first_session,
    followed_course,
    goal_of,
    hold_loads,
    hold_seconds,
    label_of,
    last_day,
    next_best_of,
    place_of,
    target_kg,
)
from setwright.strength.estimates import Estimates, LiftEstimate, lift_as_json
from setwright.strength.gathering import own_part
from setwright.strength.sharpen import best_questions, sets_until_sure, usual_work
from setwright.strength.spread import Spread


def strength_json(
    found: Estimates, places: Sequence[Place], until: date | None = None, asked: Sequence[str] = ()
) -> dict[str, Any]:
    """All lifts with sets, and the lifts ``asked`` for without any; keys of the published form and more.

    until : the day of the last forecast; eight weeks from the date of the estimates when None
    """
    base = found.as_json()
    slugs = sorted({*found.lifts, *(found.catalogue.get(one).slug for one in asked)})
    held = {*found.holds, *(slug for slug in slugs if found.catalogue.get(slug).mode == "isometric")}
    slugs = [slug for slug in slugs if slug not in held]
    lifts = [lift_json(found.for_exercise(slug), found, places, until) for slug in slugs]
    holds = [hold_json(found.for_exercise(slug), found) for slug in sorted(held)]
    return {**base, "as_of": found.today.isoformat(), "lifts": lifts, "holds": holds}


def lift_json(one: LiftEstimate, found: Estimates, places: Sequence[Place], until: date | None) -> dict[str, Any]:
    """One lift: its belief, forecast, target, what would sharpen it, and how to find its load."""
    exercise, own = found.catalogue.get(one.exercise), one.body_part_kg
    may = asking(exercise, found.trainee, found.today, last_day(found))
    rows = found.evidence.get(one.exercise, ())
    first = first_session(one, exercise, places, rows, may) if may.is_open and may.may_search else None
    made: dict[str, Any] = {
        **lift_as_json(one),
        "rests_on": one.rests_on,
        "doubtful": [{"date": row.date.isoformat(), "set": label_of(row, own, "kg")} for row in one.doubtful],
        "first_session": None if first is None else first_json(first),
        "forecast": [],
        "to_sharpen": None,
        "sets_until_sure": None,
        "target": None,
        "next_competition": None,
    }
    told = next_best_of(one, found, until)
    if told is not None:
        made["next_competition"] = {
            "date": told.on.isoformat(),
            "p10": round(told.p10, 3),
            "p50": round(told.p50, 3),
            "p90": round(told.p90, 3),
            "tests": told.tests,
        }
    lift = place_of(one, found)
    if lift is None:
        return made
    course = followed_course(found)
    ends = [found.today + timedelta(weeks=week) for week in FORECAST_WEEKS]
    if until is not None and until > found.today:
        ends = [*[day for day in ends if day < until], until]
    made["forecast"] = [
        {"date": day.isoformat(), "one_rm_kg": less(course.one_rm_on(day, lift), own).as_json()} for day in ends
    ]
    if may.is_open:
        best, _ = best_questions(course, lift, may.reps, may.rir, False)
        made["to_sharpen"] = best and {
            "reps": best.reps,
            "rir": best.rir,
            "load_kg": round(best.load_kg - own, 1),
            "spread_before": round(best.before, 4),
            "spread_after": round(best.after, 4),
        }
    reps, rir = usual_work(rows)
    made["sets_until_sure"] = {
        "reps": reps,
        "rir": rir,
        "spread": 0.05,
        "sets": sets_until_sure(course, lift, reps, rir),
    }
    goal = goal_of(one, found.trainee.goals)
    if goal is not None:
        early, middle, late = course.reached_by(target_kg(goal) + own, lift)
        made["target"] = {
            "load_kg": round(target_kg(goal), 3),
            "p10": None if early is None else early.isoformat(),
            "p50": None if middle is None else middle.isoformat(),
            "p90": None if late is None else late.isoformat(),
        }
    return made


def less(whole: Spread, own_kg: float) -> Spread:
    """A spread of the whole load as one of the printed load."""
    return Spread(whole.mean - own_kg, whole.p10 - own_kg, whole.p90 - own_kg, whole.sd)


def first_json(first: FirstSession) -> dict[str, Any]:
    """A first session that finds the load."""
    return {
        "reps": first.reps,
        "rir": first.rir,
        "loads": [{"load_kg": one.load_kg, "pieces": one.pieces, "chance": one.chance} for one in first.loads],
        "stop": first.stop_rule(),
    }


def hold_json(one: LiftEstimate, found: Estimates) -> dict[str, Any]:
    """A lift that is held: seconds possible with the load of its last set, and with others; loads as printed."""
    exercise = found.catalogue.get(one.exercise)
    rows = [row.held_kg for row in found.evidence.get(one.exercise, ()) if row.held_kg]
    held = rows[-1] - own_part(exercise, found.trainee) if rows else None
    return {
        "exercise": one.exercise,
        "sets_used": one.sets_used,
        "load_kg": None if held is None else round(held, 1),
        "seconds": None if held is None else hold_seconds(one, found, held).as_json(),
        "seconds_at": {f"{load:g}": hold_seconds(one, found, load).as_json() for load in hold_loads(one, found, "kg")},
    }
