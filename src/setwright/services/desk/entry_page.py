"""One entry of a block as its page shows it: week by week, what may become of it, and what could stand in."""

from __future__ import annotations

from datetime import date
from typing import Any

from setwright.catalogue.equipment import expand_tokens
from setwright.faults import InputFaults
from setwright.people.place import Band, Place
from setwright.people.screening import without_expired
from setwright.people.trainee import DAY_NAMES
from setwright.plan.alternatives import Candidate, stand_ins
from setwright.plan.block import Block
from setwright.plan.load_by_hand import bands_by_hand, loads_by_hand
from setwright.plan.reshape_options import Spot
from setwright.publish import words
from setwright.publish.units import Unit, in_unit, mass_text, number_text
from setwright.records import models
from setwright.services.desk.changing import Held, ahead_of, locks_of, may_change, weeks_ahead
from setwright.services.desk.instead import session_place
from setwright.services.gather import catalogue

MOST_STAND_INS = 8


def entry_values(row: models.Trainee, block: Block, held: Held, on: date) -> dict[str, Any]:
    """What the page of one entry says."""
    known, spot, entry = catalogue(), held.spot, held.first
    unit = words.day_unit(block, spot.day)
    may = may_change(row, block.id)
    ahead = open_weeks(row, block, held, on) if may else []
    first = entry.working_sets[0] if entry.working_sets else None
    return {
        "spot": spot,
        "name": words.name_of(spot.exercise, known),
        "where": f"{DAY_NAMES[spot.day]}, {words.PART_NAMES[spot.part].lower()}",
        "letter": entry.superset,
        "why": in_unit(entry.why, unit),
        "cautions": list(
            words.told_cautions(list(dict.fromkeys(said for one in held.weeks.values() for said in one.cautions)), unit)
        ),
        "weeks": [
            {
                "number": week,
                "text": words.entry_text(one, known, unit).split(": ", 1)[-1],
                "note": in_unit(one.working_sets[0].note, unit) if one.working_sets else "",
                "is_ahead": week in ahead,
            }
            for week, one in held.weeks.items()
        ],
        "may": may and bool(ahead),
        "ahead": ahead,
        "is_locked": spot in locks_of(row, block),
        "days": days_for(block, spot, ahead),
        "asks": {
            "reps": bool(first and first.reps),
            "hold_s": bool(first and first.hold_s),
            "distance_m": bool(first and first.distance_m),
            "minutes": bool(first and first.time_s),
            "left": bool(first and first.rir is not None),
        },
        "unit": unit,
        "loads": loads_open(block, spot, unit),
        "bands": bands_open(block, spot, unit),
    }


def loads_open(block: Block, spot: Spot, unit: Unit) -> list[str]:
    """The loads that can be built for an entry where it stands, as their numbers; none where it takes none."""
    place = place_on(block, spot.day)
    found = loads_by_hand(catalogue().get(spot.exercise), spot.part, place)
    return [number_text(one.load_kg, unit) for one in found]


def bands_open(block: Block, spot: Spot, unit: Unit) -> list[tuple[str, str]]:
    """The bands that the place of an entry has for it, each with what is known of it; none where it takes none."""
    found = bands_by_hand(catalogue().get(spot.exercise), place_on(block, spot.day))
    return [(one.name, band_words(one, unit)) for one in found]


def band_words(band: Band, unit: Unit) -> str:
    """A band as a coach chooses it: ``wide, heavy, about 25 kg of help on a pull-up``."""
    helps = "" if band.assist_kg is None else f"about {mass_text(band.assist_kg, unit)} of help on a pull-up"
    return ", ".join(text for text in (band.name, "heavy" if band.heavy else "", helps) if text)


def place_on(block: Block, day: str) -> Place:
    """The place of a weekday of a block."""
    session = next(one for week in block.weeks for one in week.sessions if one.day == day)
    return session_place(block, session)


def open_weeks(row: models.Trainee, block: Block, held: Held, on: date) -> list[int]:
    """The weeks in which an entry may still change; none where the block is over."""
    try:
        return weeks_ahead(held, ahead_of(row, block, on))
    except InputFaults:
        return []


def days_for(block: Block, spot: Spot, ahead: list[int]) -> list[tuple[str, str]]:
    """The other days of the block in the weeks ahead, as weekday and name."""
    days = {one.day for week in block.weeks if week.number in ahead for one in week.sessions} - {spot.day}
    return [(day, name) for day, name in DAY_NAMES.items() if day in days]


def exchange_values(block: Block, held: Held) -> dict[str, Any]:
    """What could stand in for an entry where it is, the likest first, with what is kept and lost."""
    known, spot = catalogue(), held.spot
    place = place_on(block, spot.day)
    trainee = without_expired(block.inputs.trainee, block.inputs.brief.start)
    tokens = expand_tokens(place.tokens())
    found = stand_ins(
        spot.exercise,
        known,
        tokens,
        trainee.restrictions,
        trainee,
        MOST_STAND_INS,
        left_out=block.inputs.brief.exclude,
    )
    rows = [one for one in found.rows if not one.is_itself]
    return {
        "place": place.name,
        "stand_ins": [stand_in_values(one) for one in rows],
        "nothing_good": found.nothing_good,
        "names": sorted(one.name for one in known.values()),
    }


def stand_in_values(one: Candidate) -> dict[str, Any]:
    """One stand-in in words."""
    return {
        "slug": one.exercise,
        "name": words.name_of(one.exercise, catalogue()),
        "kept": one.way or one.kept,
        "lost": "" if one.lost == "little" else one.lost,
        "cautions": one.cautions,
    }
