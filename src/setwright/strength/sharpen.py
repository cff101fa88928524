"""What would make a belief surer: sets that could be asked for, tried on paper, before anybody lifts.

Each candidate set is taken to go as expected; what matters is how much narrower the belief about the 1RM, or about a
working load, would be afterwards. Nothing here asks for a test from somebody who should not do one: the caller says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from setwright.strength.course import Course, one_set, view
from setwright.strength.evidence import Kind, SetEvidence
from setwright.strength.posterior import WIDE, LiftPosterior
from setwright.strength.roster import later, with_sets

NEXT_SESSION_DAYS = 3
SURE = 0.05  # of the load: half the usual step of 10 % (this project's line, as the issue of a useful answer)
MOST_SETS = 30
SETS_A_SESSION = 3


@dataclass(frozen=True)
class Question:
    """A set worth asking for: reps at ``load_kg`` (whole load) with ``rir`` left; spread of the 1RM, as a share of it,
    before and after."""

    kind: Kind
    reps: int
    rir: float
    load_kg: float
    before: float
    after: float


TESTED: tuple[Kind, int, float] = ("test", 1, 0.0)


def relative_spread(posterior: LiftPosterior) -> float:
    """Standard deviation of the 1RM as a share of it."""
    now = posterior.one_rm()
    return now.sd / now.mean


def best_questions(
    course: Course, lift: int, reps: Sequence[int], rir: float, may_test: bool
) -> tuple[Question | None, Question | None]:
    """(the set with something left, (the tested single)) of the next session that would narrow a 1RM most.

    reps, rir : repetitions that may be asked for, and the reserve to keep
    may_test : whether a tested single may be asked for at all; None in its place where not
    Loads are on the safe side, kept nine times in ten; None where no load for such a set is known well enough to ask.
    """
    next_day = later(course.now, np.array([float(NEXT_SESSION_DAYS)]), is_growing=False)
    day = course.today + timedelta(days=NEXT_SESSION_DAYS)
    before = relative_spread(view(next_day, lift))

    def tried(kind: Kind, reps: int, rir: float) -> Question:
        load = view(next_day, lift).load_for(reps, rir).p10
        after, _, _ = with_sets(next_day, one_set(lift, SetEvidence(day, load, reps, kind, rir)))
        return Question(kind, reps, rir, load, before, relative_spread(view(after, lift)))

    fits = [(count, view(next_day, lift).load_for(count, rir)) for count in reps]
    known = [count for count, load in fits if load.sd <= WIDE * load.mean]
    if not known:
        return None, None
    best = min((tried("called", count, rir) for count in known), key=lambda one: one.after)
    return best, tried(*TESTED) if may_test and before <= WIDE else None


def sets_until_sure(course: Course, lift: int, reps: int, rir: float, share: float = SURE) -> int | None:
    """Sets, three a session, until the load for ``reps`` with ``rir`` left is known to ``share``; 0 when it is now.

    None where 30 are not enough, because a day is never quite like another.
    """
    roster = course.now
    for count in range(MOST_SETS + 1):
        load = view(roster, lift).load_for(reps, rir)
        if load.sd <= share * load.mean:
            return count
        if count % SETS_A_SESSION == 0:
            roster = later(roster, np.array([float(NEXT_SESSION_DAYS)]), is_growing=False)
        asked = SetEvidence(course.today, load.mean, reps, "called", rir, count % SETS_A_SESSION + 1)
        roster, _, _ = with_sets(roster, one_set(lift, asked))
    return None


def usual_work(sets: Sequence[SetEvidence]) -> tuple[int, float]:
    """The (repetitions, reserve) that a lift is mostly trained at, from its last twelve called sets; (5, 2) without."""
    called = [one for one in sets if one.kind == "called" and not one.strange and one.rir < 5][-12:]
    if not called:
        return 5, 2.0
    return round(float(np.median([one.reps for one in called]))), float(np.median([one.rir for one in called]))
