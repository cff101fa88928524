"""What pain in a log comes to: one finding a region, and one for each note that names a red flag."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import needs_a_clinician
from setwright.review.finding import HELP, Finding, number_of
from setwright.review.pain import RegionPain, whom_to_see
from setwright.strength.logged import Log

NO_DIAGNOSIS = "This is no diagnosis."
WEIGHTS = {"help": 110, "stop": 100, "less": 80, "hold": 75}


def pain_findings(regions: Sequence[RegionPain], catalogue: Catalogue) -> list[Finding]:
    """A finding for every region whose pain is over what is allowed there, or rises."""
    return [
        Finding("pain", one.where, evidence_of(one, catalogue), None, settles(one), WEIGHTS[one.verdict])
        for one in regions
        if one.verdict != "go on"
    ]


def evidence_of(one: RegionPain, catalogue: Catalogue) -> str:
    """How much, in what, over how many days, and by which limit that is too much."""
    names = ", ".join(catalogue.get(slug).name for slug in one.exercises[:3])
    more = f" and {len(one.exercises) - 3} more" if len(one.exercises) > 3 else ""
    said = [f"Up to {one.worst} of 10" + (f" in {names}{more}" if names else "")]
    if one.is_sharp:
        said[0] += ", sharp or numb"
    if one.worst_morning is not None:
        said.append(f"up to {one.worst_morning} of 10 the next morning")
    if one.rise:
        said.append(f"it rises {one.rise}")
    allowed = f"{one.limit.in_set} of 10 at most ({one.limit.source})"
    return f"{'; '.join(said)}; over {number_of(len(one.days), 'day')}. Allowed: {allowed}."


def settles(one: RegionPain) -> str:
    """What to do, and whom to see."""
    if one.verdict == "help":
        return f"{HELP} See {one.see}."
    if one.verdict == "stop":
        return f"Stop the exercises concerned and see {one.see}. Until then they rest; this is no diagnosis."
    if one.verdict == "less":
        return (
            "Less load or range there next time, and ask how it is the next morning; "
            f"see {one.see} if it stays. {NO_DIAGNOSIS}"
        )
    return f"No more there until it falls; ask how it is the next morning. See {one.see} if it goes on. {NO_DIAGNOSIS}"


def red_flag_notes(log: Log, catalogue: Catalogue) -> list[Finding]:
    """Notes that name what no plan answers: they come before everything."""
    told = [(one.date, one.note, "the session") for one in log.sessions]
    told += [(one.date, one.note, catalogue.get(one.exercise).name) for one in log.sets]
    found = {}
    for day, note, about in told:
        if note and needs_a_clinician(note, is_note=True):
            words = f"{day.isoformat()}: {note.rstrip('.')}."
            found[words] = Finding("red flag", about, words, None, f"{HELP} See {whom_to_see(note)}.", 120)
    return list(found.values())
