"""What a trainee reads of their own strength: plainly, and never surer than it is."""

from __future__ import annotations

from datetime import timedelta

from setwright.publish.words import counted
from setwright.strength.estimates import Estimates, LiftEstimate

SURE, PROBABLE = 0.9, 0.6
A_WEEK = timedelta(days=7)


def own_change(one: LiftEstimate, estimates: Estimates) -> str:
    """Whether one is stronger than some weeks ago, and how sure that is; empty where no set tells of it."""
    if not one.sets_used:
        return ""
    if one.gained is None or estimates.course is None:
        return "Too few days yet to tell a change."
    if not was_done_then(one, estimates):
        return "Not done long enough yet to tell a change."
    return change_words(one.gained, max(1, round((estimates.today - estimates.course.since).days / 7)))


def was_done_then(one: LiftEstimate, estimates: Estimates) -> bool:
    """True where sets of the lift itself reach back to the day that a change is told from, give or take a week.

    Other lifts and an old log say what a lift may have been then, but a change is told of what was seen.
    """
    seen = [each.date for each in estimates.evidence.get(one.exercise, ())]
    return bool(seen) and estimates.course is not None and min(seen) <= estimates.course.since + A_WEEK


def change_words(gained: float, weeks: int) -> str:
    """A chance of a gain over some weeks in words.

    >>> change_words(0.95, 8), change_words(0.5, 1)
    ('Stronger than 8 weeks ago: 95 % sure.', 'No change to be seen over 1 week.')
    """
    ago, lost = f"than {counted(weeks, 'week')} ago", 1.0 - gained
    if gained >= SURE:
        return f"Stronger {ago}: {100 * gained:.0f} % sure."
    if gained >= PROBABLE:
        return f"Probably stronger {ago} ({100 * gained:.0f} %), not sure yet."
    if lost >= SURE:
        return f"Weaker {ago}: {100 * lost:.0f} % sure."
    if lost >= PROBABLE:
        return f"Perhaps weaker {ago} ({100 * lost:.0f} %), not sure."
    return f"No change to be seen over {counted(weeks, 'week')}."
