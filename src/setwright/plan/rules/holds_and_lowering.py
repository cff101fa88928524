"""Rules on holds for size, and on lowering work for the hamstrings."""

from __future__ import annotations

from collections.abc import Iterable

from setwright.catalogue.derive import set_credits
from setwright.plan.demand import muscles_of
from setwright.plan.rules.book import label, rule
from setwright.plan.rules.view import View, working_sets
from setwright.plan.rules.volume import wanted_words

# Repetitions of the first three weeks: 1 x (2 x 5), 2 x (2 x 6), 3 x (3 x 6 to 8); then 12 + 10 + 8 in a session.
NORDIC_WEEKS = (10, 24, 72)
NORDIC_SESSION = 30
NORDIC_SET, NORDIC_REST_S = 6, 60.0


@rule(
    "W06",
    "holds for size are done at a long length of the muscle too",
    "Oranchuk 2019 (0.86 to 1.69 % a week at long length, 0.08 to 0.83 % at short)",
    "published",
    "seen",
)
def holds_only_at_short_length(view: View) -> Iterable[str]:
    """Muscles that should grow and get nothing but holds, none of them at a long length."""
    for word in wanted_words(view):
        for muscle in muscles_of(word):
            rows = [
                exercise
                for week, _, _, _, exercise in view.rows()
                if week.number == view.hardest and set_credits(exercise).get(muscle, 0.0) >= 1
            ]
            if rows and all(one.mode == "isometric" and one.length_bias != "lengthened" for one in rows):
                yield f"{label(muscle)}: {', '.join(dict.fromkeys(one.name for one in rows))}."


def nordic_reps(view: View) -> dict[tuple[int, str], int]:
    """Nordic repetitions by (week, day), bands left out: with help the start may be larger."""
    totals: dict[tuple[int, str], int] = {}
    for week, session, _, entry, exercise in view.rows():
        if exercise.base.startswith("nordic") and exercise.slug != "nordic_band":
            reps = sum(one.reps[1] for one in entry.sets if one.kind != "ramp" and one.reps)
            totals[week.number, session.day] = totals.get((week.number, session.day), 0) + reps
    return totals


def knows_nordics(view: View) -> bool:
    """True for somebody whose baselines, log or step reached hold nordic lowering without a band."""
    inputs = view.block.inputs
    done = {base.exercise for base in inputs.trainee.baselines} | {str(row.get("exercise", "")) for row in inputs.log}
    if any(slug.startswith("nordic") and slug != "nordic_band" for slug in done):
        return True
    progression = view.catalogue.progressions.get("nordic")
    lowering = [step.number for step in progression.steps if step.exercise == "nordic_ecc"] if progression else []
    reached = [step.step for step in inputs.trainee.steps if step.progression == "nordic"]
    return bool(lowering and reached and max(reached) > min(lowering))


@rule(
    "W07",
    "people new to nordic lowering start with two sets of five, once a week, and grow over three weeks",
    "Mjolsnes 2004; Petersen 2011 (weeks 1 to 3 seen, 30 in a session after them from memory)",
    "published",
    "seen",
)
def nordic_start(view: View) -> Iterable[str]:
    """More nordic repetitions than the published start, for starters only."""
    if knows_nordics(view):
        return
    reps = nordic_reps(view)
    for week, most in zip([week.number for week in view.block.weeks], NORDIC_WEEKS, strict=False):
        total = sum(count for (number, _), count in reps.items() if number == week)
        if total > most:
            yield f"Week {week} holds {total} repetitions; the published start is {most}."
    for (week, day), count in reps.items():
        if week > len(NORDIC_WEEKS) and count > NORDIC_SESSION:
            yield f"{count} repetitions on {day} in week {week}; the published way goes to {NORDIC_SESSION}."


@rule(
    "W08",
    "at most six nordic repetitions in a set, a minute of rest or more",
    "PMC8448479 (force falls from repetition 4, 1 min of rest is enough)",
    "published",
    "seen",
)
def nordic_sets(view: View) -> Iterable[str]:
    """Long nordic sets, whose last repetitions are no longer controlled."""
    for _, _, _, entry, exercise in view.rows():
        if exercise.base.startswith("nordic") and working_sets(entry):
            for one in entry.sets:
                if one.kind != "ramp" and one.reps and (one.reps[1] > NORDIC_SET or one.rest_s < NORDIC_REST_S):
                    yield f"{exercise.name}: {one.reps[1]} repetitions, {one.rest_s:.0f} s of rest."
                    break
