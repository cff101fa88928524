"""A block changed by its coach: one entry by hand, or what came between; planned again around what is locked.

A change is made from the block in force, or from a revision that waits already: then it takes the place of that one, so
that several can be looked at and taken together. Nothing reaches a trainee before it is taken (decision 0050).
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, cast

from django.db import transaction

from setwright.body.units import LB_KG
from setwright.catalogue.names import match_name
from setwright.faults import Fault, InputFaults, NoPlan
from setwright.people.trainee import DAY_NAMES, DAYS
from setwright.plan.away_days import MOST_BYTES, lost_together, read_away, sessions_hit
from setwright.plan.block import Block, Entry
from setwright.plan.block_days import week_start
from setwright.plan.by_hand import Edit, changed_by_hand
from setwright.plan.identity import with_id
from setwright.plan.reshape import reshape_block
from setwright.plan.reshape_options import Asked, Spot
from setwright.publish.block_grid import entries_of
from setwright.publish.units import Unit, in_unit
from setwright.publish.words import day_unit, name_of
from setwright.records import models
from setwright.records.data_base import in_force_id, log_of, log_of_days
from setwright.services.ahead import Ahead, what_is_ahead
from setwright.services.clock import now_text
from setwright.services.deeds import block_estimates
from setwright.services.desk.blocks import own_block, put_in_place_of, records_of
from setwright.services.desk.people import keep_document, newest
from setwright.services.desk.practice import note
from setwright.services.desk.waiting import Waiting, waiting_revisions
from setwright.services.gather import catalogue
from setwright.services.reshaping import Disturbance, nothing_to_do, read_disturbance

LOCKS = "locks"
MOST_SETS, MOST_REPS, MOST_LEFT, MOST_SECONDS, MOST_METRES, MOST_KG = 20, 100, 10.0, 3600.0, 50_000.0, 1000.0
MOST_REASON = 300


def may_change(row: models.Trainee, block_id: str) -> bool:
    """True for the block in force and for the revisions that wait and can be taken as they are."""
    if block_id == in_force_id(row):
        return True
    return any(one.revision.block == block_id for one in waiting_revisions(row) if not one.is_old)


def others_waiting(row: models.Trainee, block_id: str) -> list[Waiting]:
    """The revisions that wait beside the block in force, where that is the one to change; none beside another."""
    if block_id != in_force_id(row):
        return []
    return [one for one in waiting_revisions(row) if not one.is_old and one.revision.parent]


def block_to_change(row: models.Trainee, block_id: str) -> Block:
    """A block that changes start from. InputFaults for one that is neither in force nor waiting."""
    if not may_change(row, block_id):
        allowed = "the block in force, or the revision that waits for you"
        raise InputFaults([Fault("block", "", "a revision that is over", allowed)])
    return own_block(row, block_id)


def ahead_of(row: models.Trainee, block: Block, on: date) -> Ahead:
    """What may still change of a block of a trainee."""
    return what_is_ahead(block, log_of_days(row, catalogue(), week_start(block, 1)), on)


def change_entry(row: models.Trainee, block_id: str, edit: Edit, on: date, by: Any = None) -> Block:
    """The block after one change by hand, kept as a proposal; the block itself where nothing changes.

    Raises NoPlan where a hard rule closes it or the minutes leave no room.
    """
    block = block_to_change(row, block_id)
    log = log_of(row, catalogue())
    ahead = what_is_ahead(block, log, on)
    estimates = block_estimates(block, log)
    try:
        made = changed_by_hand(block, edit, catalogue(), estimates, ahead.week, locks_of(row, block), ahead.done)
    except NoPlan as refused:
        raise in_unit_of(refused, day_unit(block, edit.at.day)) from None
    return kept_change(row, block, made, by)


def in_unit_of(refused: NoPlan, unit: Unit) -> NoPlan:
    """A refusal whose masses are said in the unit of the place."""
    repairs = [replace(one, what=in_unit(one.what, unit), costs=in_unit(one.costs, unit)) for one in refused.repairs]
    return NoPlan([in_unit(one, unit) for one in refused.conflict], repairs=repairs)


def change_said(row: models.Trainee, block_id: str, said: Mapping[str, Any], on: date, by: Any = None) -> Block:
    """As ``change_entry``, of what a form said. Raises InputFaults for what can't be read."""
    block = block_to_change(row, block_id)
    spot = spot_in(said)
    unit = day_unit(block, spot.day)
    edit = edit_said(said, spot, require_entry(block, spot), ahead_of(row, block, on), unit)
    return change_entry(row, block_id, edit, on, by)


def come_between(row: models.Trainee, block_id: str, asked: Mapping[str, Any], on: date, by: Any = None) -> Block:
    """The block after something came between, kept as a proposal; the block itself where nothing has to change.

    asked : as ``happened_in`` reads it. Raises InputFaults for what can't be read, NoPlan where nothing fits.
    """
    block = block_to_change(row, block_id)
    log = log_of(row, catalogue())
    ahead = what_is_ahead(block, log, on)
    read = disturbance_said(block, asked, ahead)
    what = replace(read, locked=locks_of(row, block), done=ahead.done)
    made = reshape_block(block, what, catalogue(), block_estimates(block, log), ahead.week)
    return kept_change(row, block, made, by)


FORM_WORDS = {"--bar": "not to be had", "--lose-day": "lost day", "--minutes": "minutes", "--weeks": "weeks"}


def disturbance_said(block: Block, asked: Mapping[str, Any], ahead: Ahead) -> Asked:
    """What came between as the planner takes it. Raises InputFaults in the words of the form."""
    happened = happened_in(asked)
    if happened == Disturbance(weeks=happened.weeks):
        allowed = "a day that is lost, fewer minutes, or an exercise that is not to be had"
        raise InputFaults([Fault("what came between", "", "nothing", allowed)])
    try:
        return read_disturbance(block, happened, ahead.week)
    except InputFaults as wrong:
        faults = [replace(one, file=FORM_WORDS.get(one.file, one.file)) for one in wrong.faults]
        raise InputFaults(faults) from None


def happened_in(asked: Mapping[str, Any]) -> Disturbance:
    """What came between, from a form: ``gone`` (an exercise), ``lost`` (days), ``minutes`` with ``day``, ``weeks``."""
    minutes, day = str(asked.get("minutes") or "").strip(), str(asked.get("day") or "")
    return Disturbance(
        bars=tuple(one.strip() for one in str(asked.get("gone") or "").split(",") if one.strip()),
        lost_days=tuple(asked.get("lost") or ()),
        minutes=(f"{day}={minutes}" if day else minutes,) if minutes else (),
        weeks=",".join(str(one) for one in asked.get("weeks") or ()),
    )


def why_nothing(row: models.Trainee, block_id: str, asked: Mapping[str, Any], on: date) -> list[str]:
    """Why nothing had to change."""
    block = own_block(row, block_id)
    ahead = ahead_of(row, block, on)
    what = disturbance_said(block, asked, ahead)
    return nothing_to_do(block, what, ahead.week) or ["Nothing had to change."]


def kept_change(row: models.Trainee, block: Block, made: Block, by: Any) -> Block:
    """Keeps a changed block as the proposal that waits; one that waited already goes into it."""
    if made is block:
        return block
    is_on_top = block.id != in_force_id(row)
    after = on_top(block, made) if is_on_top else made
    records_of(row, by).keep_block(after, now_text())
    if is_on_top:
        put_in_place_of(row, row.revisions.filter(block=block.id), f"it went into revision {after.revision}", by)
    return after


def on_top(waiting: Block, made: Block) -> Block:
    """A change of a revision that waits, as one revision of the block in force; of a first one, as a first one."""
    changes = (*waiting.changes, *made.changes) if waiting.parent is not None else ()
    return with_id(replace(made, id="", parent=waiting.parent, changes=changes))


# What the coach locks


def lineage_of(block: Block) -> str:
    """What all revisions of a block share."""
    brief = block.inputs.brief
    return f"{brief.id}/{brief.start.isoformat()}"


def locks_of(row: models.Trainee, block: Block) -> frozenset[Spot]:
    """The entries of a block that the coach locked."""
    text = newest(row.practice, LOCKS, row.slug, row)
    kept = json.loads(text) if text else {}
    if kept.get("of") != lineage_of(block):
        return frozenset()
    return frozenset(Spot(*one) for one in kept["spots"])


@transaction.atomic
def lock(row: models.Trainee, block_id: str, spot: Spot, is_locked: bool, by: Any) -> None:
    """Locks an entry of a block, or unlocks it. LookupError where the block does not hold it."""
    block = block_to_change(row, block_id)
    require_entry(block, spot)
    spots = locks_of(row, block) - {spot} | ({spot} if is_locked else set())
    rows = sorted([one.day, one.part, one.exercise, one.number] for one in spots)
    keep_document(row.practice, LOCKS, row.slug, json.dumps({"of": lineage_of(block), "spots": rows}), by, row)
    note(row.practice, by, "locked an entry" if is_locked else "unlocked an entry", row)


# One entry of a block, and what a form says of it


@dataclass(frozen=True)
class Held:
    """One entry in every week that holds it."""

    spot: Spot
    weeks: Mapping[int, Entry]

    @property
    def first(self) -> Entry:
        """The entry of its first week."""
        return next(iter(self.weeks.values()))


def require_entry(block: Block, spot: Spot) -> Held:
    """An entry of a block, week by week; LookupError where the block does not hold it."""
    sessions = {week.number: one for week in block.weeks for one in week.sessions if one.day == spot.day}
    found = entries_of(sessions).get(spot)
    if found is None:
        raise LookupError(f"no {spot.exercise} on {spot.day} in this block")
    return Held(spot, found)


def spot_in(said: Mapping[str, Any]) -> Spot:
    """Where an entry stands, from an address or a form; LookupError for what is no place."""
    day, part, number = (str(said.get(key) or "") for key in ("day", "part", "number"))
    if day not in DAYS or (number and not number.isdigit()):
        raise LookupError("no such entry")
    return Spot(cast(Any, day), cast(Any, part), str(said.get("of") or ""), int(number or 0))


def edit_said(said: Mapping[str, Any], spot: Spot, held: Held, ahead: Ahead, unit: Unit) -> Edit:
    """What a coach said of one entry. Raises InputFaults with every fault.

    unit : of a load that names none

    said : ``what`` (``exchange``, ``move``, ``dose``, ``out``) with ``to`` (exercise or weekday), ``sets``, ``reps``,
        ``hold_s``, ``distance_m``, ``minutes``, ``left``, ``load``, ``band``; ``weeks``; ``reason``
    """
    faults: list[Fault] = []
    weeks = weeks_said(said, weeks_ahead(held, ahead), faults)
    edit = Edit(spot, weeks, reason=reason_said(said))
    what = said.get("what")
    if what == "out":
        edit = replace(edit, is_out=True)
    elif what == "move":
        edit = replace(edit, day=day_said(said, spot, faults))
    elif what == "exchange":
        edit = replace(edit, exercise=exercise_said(said, spot, faults))
    elif what == "dose":
        edit = replace(edit, **doses_said(said, faults, unit))
        if not faults and not edit.is_dose:
            faults.append(Fault("sets", "", "nothing new", "sets, repetitions, effort, a load or a band that differ"))
    else:
        faults.append(Fault("change", "", repr(what), "another exercise, another day, other sets, or leaving it out"))
    if faults:
        raise InputFaults(faults)
    return edit


def reason_said(said: Mapping[str, Any]) -> str:
    """The coach's own words for why."""
    return str(said.get("reason") or "").strip()[:MOST_REASON]


def weeks_said(said: Mapping[str, Any], left: Sequence[int], faults: list[Fault]) -> tuple[int, ...] | None:
    """The weeks that are meant, of those that are ``left``; None for all that may still change."""
    weeks = sorted({int(one) for one in said.get("weeks") or () if str(one).isdigit()})
    if not weeks or not set(weeks) <= set(left):
        numbers = ", ".join(str(one) for one in left)
        faults.append(Fault("weeks", "", ", ".join(map(str, weeks)) or "none", f"weeks that are ahead: {numbers}"))
        return None
    return None if weeks == list(left) else tuple(weeks)


def weeks_ahead(held: Held, ahead: Ahead) -> list[int]:
    """The weeks in which an entry may still change."""
    return [week for week in held.weeks if week >= ahead.week and (held.spot.day, week) not in ahead.done]


def day_said(said: Mapping[str, Any], spot: Spot, faults: list[Fault]) -> Any:
    """The weekday that an entry goes to."""
    day = said.get("to")
    if day in DAYS and day != spot.day:
        return day
    faults.append(Fault("day", "", repr(day) if day else "no day", "another day of this block"))
    return None


def exercise_said(said: Mapping[str, Any], spot: Spot, faults: list[Fault]) -> str:
    """The slug of the exercise that takes the place, by slug or by any of its names."""
    found = exercise_named(said, faults)
    if found == spot.exercise:
        faults.append(Fault("exercise", "", catalogue().get(found).name, "another one than stands there"))
        return ""
    return found


def exercise_named(said: Mapping[str, Any], faults: list[Fault]) -> str:
    """The slug of an exercise, by slug or by any of its names; empty, and a fault, where it is none."""
    known, text = catalogue(), str(said.get("to") or "").strip()[:100]
    found = known.get(text).slug if text in known else ""
    match = None if found or not text else match_name(text, known)
    if match is not None and match.slug is not None and match.sure:
        found = match.slug
    if found:
        return found
    near = () if match is None else tuple(known.get(one).name for one in match.proposals if one in known)
    hint = f"Nearest: {', '.join(near)}." if near else ""
    faults.append(Fault("exercise", "", repr(text) if text else "nothing", "an exercise of the catalogue", hint))
    return ""


def doses_said(said: Mapping[str, Any], faults: list[Fault], unit: Unit) -> dict[str, Any]:
    """Sets, what each asks, its effort and its load; what was left empty stays."""
    sets = number_said(said, "sets", "sets", 1, MOST_SETS, faults, whole=True)
    minutes = number_said(said, "minutes", "minutes", 0.1, MOST_SECONDS / 60, faults)
    return {
        "sets": None if sets is None else int(sets),
        "reps": reps_said(said, faults),
        "hold_s": number_said(said, "hold_s", "hold, s", 1, MOST_SECONDS, faults),
        "distance_m": number_said(said, "distance_m", "distance, m", 1, MOST_METRES, faults),
        "time_s": None if minutes is None else 60 * minutes,
        "rir": number_said(said, "left", "repetitions left", 0, MOST_LEFT, faults),
        "load_kg": load_said(said, unit, faults),
        "band": str(said.get("band") or "").strip()[:80] or None,
    }


LOAD = re.compile(r"(.*?)\s*(kg|lbs?)?", re.IGNORECASE)


def load_said(said: Mapping[str, Any], unit: Unit, faults: list[Fault]) -> float | None:
    """A load like ``62.5`` or ``135 lb``, kg; None where nothing was said."""
    read = LOAD.fullmatch(str(said.get("load") or "").strip())
    number, named = (read[1], (read[2] or unit).lower()) if read else (str(said.get("load")), unit)
    one_kg = LB_KG if named.startswith("lb") else 1.0
    found = number_said({"load": number}, "load", f"load, {named}", 0, round(MOST_KG / one_kg), faults)
    return None if found is None else found * one_kg


def number_said(
    said: Mapping[str, Any],
    key: str,
    name: str,
    low: float,
    high: float,
    faults: list[Fault],
    whole: bool = False,
) -> float | None:
    """A number of a form, or None where nothing was said."""
    text = str(said.get(key) or "").strip().replace(",", ".")
    if not text:
        return None
    kind = "whole number" if whole else "number"
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high or (whole and value != int(value)):
        faults.append(Fault(name, "", repr(text[:40]), f"a {kind} from {low:g} to {high:g}"))
        return None
    return value


REPS = re.compile(r"(\d{1,3})(?:\s*(?:-|to)\s*(\d{1,3}))?")


def reps_said(said: Mapping[str, Any], faults: list[Fault]) -> tuple[int, int] | None:
    """Repetitions like ``5`` or ``5-6``, or None where nothing was said."""
    text = str(said.get("reps") or "").strip()
    if not text:
        return None
    read = REPS.fullmatch(text)
    low, high = (int(read[1]), int(read[2] or read[1])) if read else (0, 0)
    if 1 <= low <= high <= MOST_REPS:
        return low, high
    faults.append(Fault("repetitions", "", repr(text[:40]), f"5 or 5-6, from 1 to {MOST_REPS}"))
    return None


@dataclass(frozen=True)
class DaysAway:
    """Sessions ahead that fall on days away of a calendar: their dates, and what the form would have to say of them.

    asks : for each set of weekdays that some weeks lose together, those weekdays and weeks
    unread : a sentence for each kind of event that was not read
    """

    dates: tuple[date, ...]
    asks: tuple[tuple[tuple[str, ...], tuple[int, ...]], ...]
    unread: tuple[str, ...]


def days_away(block: Block, data: bytes, file: str, ahead: Sequence[int]) -> DaysAway:
    """What a calendar (iCalendar) says of the weeks ahead of a block; nothing is changed. Raises InputFaults."""
    if len(data) > MOST_BYTES:
        raise InputFaults([Fault(file, "", f"{len(data) / 1e6:.1f} MB", f"at most {MOST_BYTES / 1e6:g} MB")])
    away = read_away(data, file)
    hits = [one for one in sessions_hit(block, away.days) if one.week in ahead]
    return DaysAway(tuple(one.date for one in hits), tuple(lost_together(hits)), away.unread)


def between_values(row: models.Trainee, block: Block, on: date) -> dict[str, Any]:
    """What the page of what came between offers: weeks ahead, days of the block, its exercises."""
    try:
        first = ahead_of(row, block, on).week
    except InputFaults:
        first = len(block.weeks) + 1
    sessions = [one for week in block.weeks if week.number >= first for one in week.sessions]
    days = {one.day for one in sessions}
    slugs = {entry.exercise for one in sessions for part in one.parts for entry in part.entries}
    return {
        "ahead": list(range(first, len(block.weeks) + 1)),
        "days": [(day, name) for day, name in DAY_NAMES.items() if day in days],
        "names": sorted(name_of(slug, catalogue()) for slug in slugs),
    }
