"""Rules for the first weeks after two weeks off or more."""

from __future__ import annotations

from collections.abc import Iterable

from setwright.body.anatomy import muscle_groups
from setwright.plan.rules.book import label, rule
from setwright.plan.rules.loads_and_effort import share_of
from setwright.plan.rules.view import View
from setwright.plan.weeks import RETURN_SHARES

BREAK_WEEKS = 2.0
MOST_DAYS = {1: 3, 2: 4}
MOST_INTENSITY_VOLUME = 30.0
REST_TIMES_WORK = {1: 4.0, 2: 3.0}


def returns(view: View) -> bool:
    """True for somebody who comes back after two weeks off or more."""
    return view.block.inputs.trainee.weeks_off >= BREAK_WEEKS


@rule(
    "D01",
    "the first weeks after a break hold 50, 70, 80, 90 % of the usual sets",
    "CSCCa/NSCA 2019 (50/30/20/10 rule, digest)",
    "published",
    "seen",
)
def too_much_after_a_break(view: View) -> Iterable[str]:
    """Weeks of a returner with more sets than the published ramp, one set for each session let pass."""
    if not returns(view):
        return
    usual = usual_sets(view)
    for week, share in zip(view.block.weeks, RETURN_SHARES, strict=False):
        sets = view.total_sets(week.number)
        if sets > share * usual + len(week.sessions):
            yield f"Week {week.number} has {sets:g} of {usual:.0f} sets, the ramp gives {share * usual:.0f}."


def usual_sets(view: View) -> float:
    """Counted sets of a usual week: those of the fullest week, or what the last one stands for inside the ramp."""
    totals = [view.total_sets(week.number) for week in view.block.weeks]
    inside = 0 < len(totals) <= len(RETURN_SHARES)
    return max([*totals, totals[-1] / RETURN_SHARES[len(totals) - 1] if inside else 0.0], default=0.0)


@rule(
    "D02",
    "after a break, three sessions a week for a muscle at first, then four",
    "CSCCa/NSCA 2019 (digest)",
    "published",
    "seen",
)
def too_often_after_a_break(view: View) -> Iterable[str]:
    """Returners who train a muscle on more days than the published ramp allows."""
    if not returns(view):
        return
    for week, most in MOST_DAYS.items():
        for muscle in muscle_groups():
            days = view.days_of(week, muscle)
            if len(days) > most:
                yield f"{label(muscle)} on {len(days)} days in week {week}."


@rule(
    "D03",
    "two weeks after a break: sets x repetitions x share of a single up to 30",
    "CSCCa/NSCA 2019 (digest: 11 to 30; 3 x 10 at 50 % is 15); under the band is the coach's choice",
    "published",
    "seen",
)
def intensity_volume_after_a_break(view: View) -> Iterable[str]:
    """Exercises of a returner over the band."""
    if not returns(view):
        return
    for week, session, _, entry, exercise in view.rows():
        if week.number > 2:
            continue
        total = 0.0
        for one in entry.sets:
            share = share_of(one)
            if share is not None and one.reps and one.load_kg:
                total += share * (one.reps[0] + one.reps[1]) / 2.0
        if total > MOST_INTENSITY_VOLUME:
            yield f"{exercise.name} on {session.day} in week {week.number}: {total:.0f}."


@rule(
    "D04",
    "after a break, intervals rest four times the work at first, then three times",
    "CSCCa/NSCA 2019",
    "published",
    "from memory",
)
def interval_rest_after_a_break(view: View) -> Iterable[str]:
    """Intervals of a returner with too little rest in the first two weeks."""
    if not returns(view):
        return
    for week, session, part, entry, exercise in view.rows(counted=False):
        times = REST_TIMES_WORK.get(week.number)
        if part != "conditioning" or times is None:
            continue
        timed = [one for one in entry.sets if one.time_s]
        if len(timed) > 1 and any((one.time_s or 0.0) * times > one.rest_s + 1e-6 for one in timed):
            yield f"{exercise.name} on {session.day} in week {week.number}."
