"""What somebody can do, in a coach's words: strength with its spread, progressions, range of motion."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from setwright.faults import InputFaults, NoPlan
from setwright.people.trainee import Goal
from setwright.plan.range_report import range_report
from setwright.publish.own_words import own_change
from setwright.publish.range_words import range_text
from setwright.publish.strength_report import facts_of
from setwright.publish.strength_words import most_trained, now_text, of_all
from setwright.publish.units import Unit
from setwright.publish.words import date_text, name_of, unit_of
from setwright.records import models
from setwright.records.data_base import log_of
from setwright.services.climb_files import page_of
from setwright.services.climbing import climbs_of
from setwright.services.desk import jobs
from setwright.services.desk.people import person_of
from setwright.services.gather import Person, catalogue, estimates_for
from setwright.services.program import program_mark
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

MOST_LIFTS = 12
A_DATE = re.compile(r"\b\d{4}-\d\d-\d\d\b")
GOAL_WORDS = {
    "strength": "strength",
    "size": "size",
    "skill": "skill",
    "range": "range of motion",
    "work-capacity": "work capacity",
    "keep": "keep what is there",
}


@dataclass(frozen=True)
class Ability:
    """What somebody can do, in words, as of a day; ``is_newest`` is False where the log or the intake went on since."""

    values: Mapping[str, Any]
    as_of: date
    is_newest: bool


def ability_of(row: models.Trainee, on: date) -> Ability | None:
    """What a trainee can do: as it was counted last, or counted here where that takes no second.

    None where a long log has not been counted yet: ask for it by a job.
    """
    overview = models.Overview.objects.filter(trainee=row).first()
    mark = mark_of(row)
    if overview is not None and "own" in overview.ability and overview.ability_of == mark:
        return kept(overview, True)
    if row.log_rows.count() <= jobs.LONG_LOG:
        return kept(count_ability(row, on), True)
    return kept(overview, False) if overview is not None and "own" in overview.ability else None


def kept(overview: models.Overview, is_newest: bool) -> Ability:
    """The ability that an overview keeps."""
    values = dict(overview.ability)
    return Ability(values, date.fromisoformat(values["as_of"]), is_newest)


def mark_of(row: models.Trainee) -> str:
    """What an ability rests on: the newest row of the log, the newest version of the intake, the program."""
    last = row.log_rows.order_by("-id").values_list("id", flat=True).first()
    intake = row.documents.filter(kind="trainee").order_by("-id").values_list("id", flat=True).first()
    return f"{last or 0}/{intake or 0}/{program_mark()}"


def count_ability(row: models.Trainee, on: date) -> models.Overview:
    """Counts what a trainee can do, and keeps it with the overview."""
    mark = mark_of(row)
    values = {"ability": {"as_of": on.isoformat(), **counted_ability(row, on)}, "ability_of": mark}
    made, _ = models.Overview.objects.update_or_create(trainee=row, defaults=values)
    return made


def counted_ability(row: models.Trainee, on: date) -> dict[str, Any]:
    """Everything that is believed of a trainee, as texts: lifts, how reserves are called, climbs, range."""
    person, log = person_of(row), log_of(row, catalogue())
    estimates = estimates_for(person.trainee, log, on, person.places)
    unit: Unit = unit_of(person.places, person.places[0].id)
    report = of_all(estimates, person.places, unit)
    return {
        "lifts": [
            {
                "name": one.name,
                "now": one.now_text,
                "facts": [list(pair) for pair in facts_of(one)],
                "reps": [list(pair) for pair in one.reps_rows],
                "first": list(one.first_session),
                "notes": list(one.notes),
            }
            for one in report.lifts
        ],
        "effort": report.effort_text if report.lifts else "",
        "climbs": climbs_in_words(person, log, on, estimates),
        "range": range_in_words(person, on),
        "own": own_words_of(estimates, unit),
    }


def own_words_of(estimates: Estimates, unit: Unit) -> list[dict[str, str]]:
    """The lifts that were trained most, as their trainee reads them: ``name``, ``now``, ``change``."""
    lifts = [estimates.lifts[slug] for slug in most_trained(estimates)[:MOST_LIFTS]]
    known = catalogue()
    return [
        {
            "name": name_of(one.exercise, known),
            "now": now_text(one, unit),
            "change": own_change(one, estimates),
        }
        for one in lifts
    ]


def climbs_in_words(person: Person, log: Log, on: date, estimates: Estimates) -> list[dict[str, Any]]:
    """Each progression that is begun as ``climb_files`` shows it, with its steps; or why none may be climbed now."""
    try:
        found = climbs_of(person, log, on, estimates=estimates)
    except NoPlan as refused:
        return [{"title": "No progression is climbed now", "lines": list(refused.conflict)}]
    except InputFaults:
        return []  # none is begun
    return [with_spoken_dates({**values, "steps": steps_in_words(values["steps"])}) for values in map(page_of, found)]


def steps_in_words(steps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The steps that are left, without their figures."""
    return [{key: value for key, value in one.items() if key != "figure"} for one in steps]


def with_spoken_dates(value: Any) -> Any:
    """Texts, and what holds texts, with every date as it is said."""
    if isinstance(value, dict):
        return {key: with_spoken_dates(one) for key, one in value.items()}
    if isinstance(value, list):
        return [with_spoken_dates(one) for one in value]
    return A_DATE.sub(lambda found: date_text(date.fromisoformat(found[0])), value) if isinstance(value, str) else value


def paragraphs(text: str) -> list[str]:
    """The paragraphs of a text that was set for a terminal, each on one line."""
    found: list[str] = []
    for line in text.splitlines():
        plain = line.strip()
        if plain and line.startswith("  ") and found:
            found[-1] += f" {plain}"
        elif plain:
            found.append(plain)
    return found


def range_in_words(person: Person, on: date) -> list[str]:
    """What the range measures say; nothing where there are none."""
    if not person.trainee.range_measures:
        return []
    return paragraphs(range_text(range_report(person.trainee, person.places, catalogue(), on), catalogue()))


def goal_text(one: Goal) -> str:
    """A goal as a sentence without its end: ``strength of the deadlift, 120 kg by 1 March 2027``."""
    known = catalogue()
    progression: Mapping[str, Any] = known.progressions
    about = progression[one.about].title if one.about in progression else name_of(one.about, known) if one.about else ""
    text = GOAL_WORDS[one.kind] + (f": {about.replace('_', ' ').replace('-', ' ')}" if about else "")
    if one.target is not None:
        text += f", {one.target:g} {one.unit}".rstrip()
    if one.by is not None:
        text += f" by {date_text(one.by)}"
    return text
