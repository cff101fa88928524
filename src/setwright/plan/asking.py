"""What a set may be asked for, of whom: no question about strength is worth a load through a restriction.

A tested single is a maximal effort. It is offered only to grown people with a year of training, without restriction and
with a screen that allows vigorous effort; whoever is limited to gentle work is asked for gentle sets; and where an
exercise is closed, or the screen says to see somebody first, nothing is asked at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from setwright.catalogue.exercise import Exercise
from setwright.people.screening import screen, without_expired
from setwright.people.trainee import Trainee
from setwright.plan.design import gentle_limits
from setwright.plan.gates import judge

BREAK_WEEKS = 3.0  # off for longer: gentle at first (strength is held about three weeks, from memory)
TEST_YEARS = 1.0  # of training before a tested single (common practice, no published source)
HARD_RIR, GENTLE_RIR = 1.0, 4.0
HARD_REPS, ASSISTANCE_REPS, GENTLE_REPS = (3, 5, 8, 10), (6, 8, 10, 12), (8, 10, 12)
# Lifts that people test with one repetition; all others are asked for sets of six and more (common practice).
TESTED_PATTERNS = (
    "squat", "hinge", "hip_extension", "push_horizontal", "push_incline", "push_vertical", "dip", "pull_vertical",
)  # fmt: skip


@dataclass(frozen=True)
class Asking:
    """What may be asked: sets at all, a tested single, at which repetitions and reserve; ``why_not`` where nothing.

    may_search : whether loads may be climbed to find one; not at a joint that a restriction eases
    """

    is_open: bool
    may_test: bool = False
    reps: tuple[int, ...] = ()
    rir: float = GENTLE_RIR
    why_not: str = ""
    may_search: bool = True


def asking(exercise: Exercise, trainee: Trainee, on: date, last: date | None = None) -> Asking:
    """What may be asked of a trainee in one exercise on a date; ``last`` is the last day with logged sets, if known."""
    now = without_expired(trainee, on)
    verdict = judge(exercise, now.restrictions, frozenset(), now, on=on, ignore_equipment=True)
    if not verdict.allowed:
        return Asking(False, why_not=" ".join(verdict.reasons))
    screened = screen(now, "vigorous", on)
    if screened.verdict in ("stop", "clearance-first"):
        return Asking(False, why_not=" ".join(screened.why))
    is_sore = bool(verdict.eased or verdict.light)
    is_back = now.weeks_off > BREAK_WEEKS or (last is not None and (on - last).days > 7 * BREAK_WEEKS)
    is_gentle = is_sore or is_back or bool(verdict.dials) or screened.verdict == "light-only"
    if is_gentle or gentle_limits(now, on.year) is not None or not now.screening.active_now:
        return Asking(True, False, GENTLE_REPS, GENTLE_RIR, may_search=not is_sore)
    if exercise.pattern not in TESTED_PATTERNS or exercise.load_means in ("each hand", "assistance", "body"):
        return Asking(True, False, ASSISTANCE_REPS, HARD_RIR)
    may_test = not now.restrictions and now.training_years >= TEST_YEARS and not now.weeks_off
    return Asking(True, may_test, HARD_REPS, HARD_RIR)
