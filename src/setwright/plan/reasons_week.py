"""Why so much in one week: its own sets, effort and load, for who asks about a week and not about the whole block."""

from __future__ import annotations

from setwright.plan.block import Entry, Session, Week
from setwright.plan.reasons_dose import first_work, load_words
from setwright.plan.reasons_fixed import sets_by_week
from setwright.plan.reasons_frame import Frame, parts_without, runs_words, sets_words


def much_in_week(frame: Frame, week: Week, session: Session, part: str, entry: Entry) -> str:
    """Sets, effort and load of an entry in one week, and what they take of that week's minutes."""
    said = [
        sets_in_week(frame, week, session, part, entry),
        takes_in_week(frame, week, session, part, entry),
        "" if part == "warm-up" else effort_in_week(week, entry),
        load_words(frame, entry, session.place, week.number),
    ]
    return " ".join(text for text in said if text)


def sets_in_week(frame: Frame, week: Week, session: Session, part: str, entry: Entry) -> str:
    """The sets of the week beside those of all weeks."""
    counts = sets_by_week(frame, frame.days.index(session.day), part, entry)
    here = sets_words(len(entry.working_sets))
    easier = ", an easier week" if week.kind == "deload" else ""
    if len(set(counts)) == 1:
        return f"{here} in week {week.number}{easier}, as in all weeks."
    return f"{here} in week {week.number}{easier}; over the weeks {runs_words(counts)}."


def takes_in_week(frame: Frame, week: Week, session: Session, part: str, entry: Entry) -> str:
    """The minutes of the session that it takes in the week."""
    takes = session.minutes - frame.minutes_of(session, parts_without(session, part, entry.exercise))
    return f"Takes {takes:.1f} of {session.minutes:g} min in week {week.number}." if takes > 0 else ""


def effort_in_week(week: Week, entry: Entry) -> str:
    """The effort of the first working set beside that of the week."""
    first = first_work(entry)
    if first is None or first.rpe is None:
        return ""
    apart = round(first.rpe - week.rpe, 2)
    if apart == 0.0:
        return f"RPE {first.rpe:g}: the effort of week {week.number}."
    return f"RPE {first.rpe:g}: {abs(apart):g} {'over' if apart > 0 else 'under'} the effort of week {week.number}."
