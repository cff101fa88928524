"""One exercise more on one day of a block, from this week on: what a form says of it, and what the page offers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Exercise, PartName
from setwright.faults import Fault, InputFaults
from setwright.people.screening import without_expired
from setwright.people.trainee import DAY_NAMES, DAYS, Day
from setwright.plan.block import Block
from setwright.plan.by_hand import Edit
from setwright.plan.gates import judge
from setwright.plan.reshape_options import STRENGTH, Spot
from setwright.publish import words
from setwright.records import models
from setwright.services.ahead import Ahead
from setwright.services.desk.changing import (
    ahead_of,
    block_to_change,
    change_entry,
    doses_said,
    exercise_named,
    may_change,
    reason_said,
    weeks_said,
)
from setwright.services.desk.entry_page import band_words, place_on
from setwright.services.gather import catalogue

# Where an exercise goes when the coach names no part: the first of these that it is for.
USUAL_PARTS: tuple[PartName, ...] = ("assistance", "main", "skill", "finisher", "loaded-mobility", "conditioning")


def add_said(row: models.Trainee, block_id: str, said: Mapping[str, Any], on: date, by: Any = None) -> Block:
    """The block with one exercise more, kept as a proposal, of what a form said.

    Raises InputFaults for what can't be read, NoPlan where a hard rule closes it or the minutes leave no room.
    """
    block = block_to_change(row, block_id)
    return change_entry(row, block_id, new_said(block, said, ahead_of(row, block, on)), on, by)


def new_said(block: Block, said: Mapping[str, Any], ahead: Ahead) -> Edit:
    """What a coach said of an exercise that is added. Raises InputFaults with every fault, LookupError for no day.

    said : ``day``, ``to`` (exercise), ``part``, and what ``edit_said`` knows of sets, weeks and the reason
    """
    day = day_of(block, said)
    faults: list[Fault] = []
    slug = exercise_named(said, faults)
    part = part_said(catalogue().get(slug), said, faults) if slug else "assistance"
    edit = Edit(
        Spot(day, part, slug),
        weeks_said(said, weeks_with(block, day, ahead), faults),
        **doses_said(said, faults, words.day_unit(block, day)),
        is_new=True,
        reason=reason_said(said),
    )
    if faults:
        raise InputFaults(faults)
    return edit


def day_of(block: Block, said: Mapping[str, Any]) -> Day:
    """The weekday that a form or an address names; LookupError where the block has no session on it."""
    day = str(said.get("day") or "")
    if day not in DAYS or not any(one.day == day for week in block.weeks for one in week.sessions):
        raise LookupError("no such day in this block")
    return day


def parts_for(exercise: Exercise) -> list[PartName]:
    """The parts of a session that an exercise may be added to, the usual one first; none for mere warm-up drills."""
    own = [part for part in USUAL_PARTS if part in exercise.parts]
    lifts = STRENGTH if any(part in STRENGTH for part in own) else ()
    return list(dict.fromkeys((*own, *lifts)))


def part_said(exercise: Exercise, said: Mapping[str, Any], faults: list[Fault]) -> PartName:
    """The part that is meant; the usual one of the exercise where none is named."""
    open_parts, text = parts_for(exercise), str(said.get("part") or "")
    if open_parts and not text:
        return open_parts[0]
    if text in open_parts:
        return text
    names = ", ".join(words.PART_NAMES[one].lower() for one in open_parts)
    allowed = f"a part that {exercise.name} is for: {names}" if names else "another exercise: it is for warm-ups only"
    faults.append(Fault("part", "", repr(text) if text else "none", allowed))
    return "assistance"


def weeks_with(block: Block, day: str, ahead: Ahead) -> list[int]:
    """The weeks with a session on a day that may still change."""
    here = [week.number for week in block.weeks if any(one.day == day for one in week.sessions)]
    return [week for week in here if week >= ahead.week and (day, week) not in ahead.done]


def adding_values(row: models.Trainee, block: Block, day: Day, on: date) -> dict[str, Any]:
    """What the page offers: the weeks ahead, the parts, the names of what is open where the day is trained."""
    place = place_on(block, day)
    trainee = without_expired(block.inputs.trainee, block.inputs.brief.start)
    tokens = expand_tokens(place.tokens())
    open_here = [
        one
        for one in catalogue().values()
        if parts_for(one) and judge(one, trainee.restrictions, tokens, trainee, asked=True).allowed
    ]
    return {
        "day": day,
        "day_name": DAY_NAMES[day],
        "place": place.name,
        "unit": words.day_unit(block, day),
        "parts": [(part, words.PART_NAMES[part]) for part in USUAL_PARTS],
        "names": sorted(one.name for one in open_here),
        "bands": [(one.name, band_words(one, words.day_unit(block, day))) for one in place.bands if one.count],
        "ahead": open_weeks_of(row, block, day, on) if may_change(row, block.id) else [],
    }


def open_weeks_of(row: models.Trainee, block: Block, day: str, on: date) -> list[int]:
    """The weeks in which something can be added to a day; none where the block is over."""
    try:
        return weeks_with(block, day, ahead_of(row, block, on))
    except InputFaults:
        return []
