"""What goes to a clinic, and what comes from one: shown first, and taken only where the coach says."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import tomli_w

from setwright.faults import Fault, InputFaults
from setwright.people.clinic_file import read_clinic
from setwright.people.clinic_values import ClinicFile, ClinicMass, ClinicStrength
from setwright.people.intake import read_restriction, read_trainee_and_places
from setwright.people.toml_file import Reader, read_toml
from setwright.people.trainee import RangeMeasure, Restriction, Trainee
from setwright.plan.block import Block
from setwright.publish.clinic_bundle import Outgoing, clinic_bundle, clinic_values
from setwright.publish.limit_words import clearance_text, limit_dates, limit_lines, limit_title
from setwright.publish.restriction_toml import restriction_table
from setwright.publish.units import Unit, mass_text
from setwright.publish.words import counted, date_text
from setwright.services.deeds import block_estimates
from setwright.services.gather import catalogue
from setwright.strength.estimates import Estimates, lift_as_json
from setwright.strength.logged import Log

MOST_BYTES = 5_000_000
MOST_CALLED = 80


def clinic_file(block: Block, log: Log, may: Outgoing, unit: Unit = "kg") -> bytes:
    """The block in force and what was measured, as a bundle for a clinic. InputFaults for a name that is none."""
    called = " ".join(may.called.split())
    if not called or len(called) > MOST_CALLED:
        found = f"{len(called)} characters" if called else "nothing"
        raise InputFaults([Fault("for the clinic", "called", found, f"a name or pseudonym of 1 to {MOST_CALLED}")])
    named = replace(may, called=called)
    values = clinic_values(block, log, strengths_of(block_estimates(block, log)), named)
    return clinic_bundle(block, values, named, catalogue(), unit)


def strengths_of(found: Estimates) -> tuple[ClinicStrength, ...]:
    """The lifts that rest on sets, each with its range."""
    made = []
    for slug in sorted(found.lifts):
        one: Any = lift_as_json(found.lifts[slug])["one_rm_kg"]
        mean, low, high = (round(one[key], 1) for key in ("mean", "p10", "p90"))  # grams would promise too much
        made.append(ClinicStrength(found.today, slug, mean, low, high))
    return tuple(made)


@dataclass(frozen=True)
class Proposed:
    """One row that a clinic's file proposes for an intake. ``says``: what it is; ``more``: lines about it.

    ``is_there``: the intake holds it already.
    """

    number: int
    kind: str
    says: str
    more: tuple[str, ...]
    row: Restriction | RangeMeasure | ClinicMass
    is_there: bool


@dataclass(frozen=True)
class Arrival:
    """What a clinic's file comes to for one trainee: rows to take, what is only told, what was not read."""

    called: str
    rows: tuple[Proposed, ...]
    told: tuple[str, ...]
    unread: tuple[str, ...]


def look_at_clinic(text: str, file: str, trainee: Trainee, unit: Unit = "kg") -> Arrival:
    """What a file would bring; nothing is kept. Raises InputFaults where it can't be read."""
    found = read_clinic(text, file)
    rows: list[Proposed] = []
    refuse_impossible(found.restrictions, file)
    for limit in with_own_ids(found.restrictions, trainee):
        words = f'The words: "{limit.reason.rstrip(".")}".' if limit.reason else ""
        more = (*limit_lines(limit), words, limit_dates(limit), clearance_text(limit))
        there = any(alike(limit, one) and limit.clearance in (None, one.clearance) for one in trainee.restrictions)
        title = f"{limit_title(limit)[:1].upper()}{limit_title(limit)[1:]}"
        rows.append(Proposed(len(rows) + 1, "limitation", title, tuple(one for one in more if one), limit, there))
    for measure in found.range_measures:
        side = "" if measure.side == "both" else f", {measure.side}"
        unit_word = "degrees" if measure.unit == "deg" else measure.unit
        says = f"{measure.measure.replace('-', ' ')}{side}: {measure.value:g} {unit_word}, {date_text(measure.date)}"
        there = measure in trainee.range_measures
        rows.append(Proposed(len(rows) + 1, "range of motion", says, (), measure, there))
    newest = newest_mass(found.masses)
    if newest is not None:
        when = "no day given" if newest.date is None else date_text(newest.date)
        there = abs(newest.mass_kg - trainee.body_mass_kg) < 0.05
        more = () if there else (f"The intake says {mass_text(trainee.body_mass_kg, unit)}.",)
        says = f"{mass_text(newest.mass_kg, unit)}, {when}"
        rows.append(Proposed(len(rows) + 1, "body mass", says, more, newest, there))
    return Arrival(found.called, tuple(rows), told_of(found), found.unread)


def refuse_impossible(limits: Sequence[Restriction], file: str) -> None:
    """Holds every limit against the reader of intakes. Raises InputFaults with the fields that it refuses."""
    faults: list[Fault] = []
    for number, one in enumerate(limits, start=1):
        read_restriction(Reader(restriction_table(one), file, f"limit {number}", faults))
    if faults:
        raise InputFaults(faults)


def with_own_ids(limits: Sequence[Restriction], trainee: Trainee) -> list[Restriction]:
    """The limits, each with an id that no other limit of the trainee has, unless it is the same limit."""
    taken = {one.id: one for one in trainee.restrictions}
    made: list[Restriction] = []
    for one in limits:
        name, number = one.id, 2
        while name in taken and not alike(one, taken[name]):
            name, number = f"{one.id}-{number}", number + 1
        taken[name] = one
        made.append(replace(one, id=name))
    return made


def alike(one: Restriction, other: Restriction) -> bool:
    """True where two limits are the same but for their id, their words and who set them."""
    bare = [replace(each, id="", reason="", set_by="", clearance=None) for each in (one, other)]
    return bare[0] == bare[1]


def newest_mass(masses: Sequence[ClinicMass]) -> ClinicMass | None:
    """The newest body mass; one without a day only where no other is there."""
    dated = [one for one in masses if one.date is not None]
    if dated:
        return max(dated, key=lambda one: str(one.date))
    return masses[-1] if masses else None


def told_of(found: ClinicFile) -> tuple[str, ...]:
    """What stands in a file and is no row of an intake: pain, sessions and estimates, in a few lines."""
    pains = [
        f"Pain {one.value} of 10{f' at {one.where}' if one.where else ''}, {date_text(one.date)}."
        for one in sorted(found.pains, key=lambda one: one.date, reverse=True)[:10]
    ]
    counts = (
        (len(found.sessions), counted(len(found.sessions), "session") + " done"),
        (len(found.strengths), counted(len(found.strengths), "estimated maximum", "estimated maxima")),
    )
    return (*pains, *(f"{says}: read, not taken; the log is yours." for count, says in counts if count))


def with_rows(text: str, arrival: Arrival, numbers: Collection[int], file: str = "intake") -> str:
    """An intake with the rows that the coach takes, as TOML; comments of the file are lost.

    Raises InputFaults for a number that is none, and with every fault that the new intake would have.
    """
    known = {one.number: one for one in arrival.rows}
    strange = [number for number in numbers if number not in known]
    if strange or not numbers:
        allowed = f"numbers from 1 to {len(known)}" if known else "none: the file proposes no row"
        raise InputFaults([Fault("take", "", str(strange[0]) if strange else "nothing", allowed)])
    data = dict(read_toml(text, file))
    ids = [one.id for one in read_trainee_and_places(text, file, catalogue())[0].restrictions]
    for number in sorted(numbers):
        row = known[number].row
        if isinstance(row, Restriction) and row.id in ids:
            del data["restrictions"][ids.index(row.id)]
            ids.remove(row.id)
        take(data, row)
    made = tomli_w.dumps(data)
    read_trainee_and_places(made, file, catalogue())
    return made


def take(data: dict[str, Any], row: Restriction | RangeMeasure | ClinicMass) -> None:
    """Puts one row into the tables of an intake."""
    if isinstance(row, Restriction):
        data["restrictions"] = [*data.get("restrictions", []), dict(restriction_table(row))]
    elif isinstance(row, RangeMeasure):
        table = {"date": row.date, "measure": row.measure, "value": row.value, "unit": row.unit, "side": row.side}
        data["range_measures"] = [*data.get("range_measures", []), table]
    else:
        data.pop("body_mass_lb", None)
        data["body_mass_kg"] = round(row.mass_kg, 3)
