"""A file for a clinic, and what one sends: made from what holds now, kept only where the coach takes it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from django.db import transaction

from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import decode_text
from setwright.publish.clinic_bundle import Outgoing
from setwright.publish.units import Unit
from setwright.records import models
from setwright.records.data_base import current_of, log_of
from setwright.services.clinic import Arrival, clinic_file, look_at_clinic, with_rows
from setwright.services.desk.limits import limits_of
from setwright.services.desk.people import keep_trainee, newest, person_of
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue

MOST_BYTES = 2_000_000


def unit_of(row: models.Trainee) -> Unit:
    """The unit of the practice."""
    return "lb" if row.practice.unit == "lb" else "kg"


def file_for_clinic(row: models.Trainee, may: Outgoing, by: Any) -> bytes:
    """The block in force, every limit that holds, and what was measured and logged; that it was made is noted.

    Raises InputFaults where no block is in force, or the person has no name in the file.
    """
    block = current_of(row)
    if block is None:
        raise InputFaults([Fault("for the clinic", "", "no block in force", "a block in force", "Put one in force.")])
    trainee = replace(person_of(row).trainee, restrictions=tuple(one.restriction for one in limits_of(row)))
    now = replace(block, inputs=replace(block.inputs, trainee=trainee))
    data = clinic_file(now, log_of(row, catalogue()), may, unit_of(row))
    note(row.practice, by, "wrote a file for a clinic", row)
    return data


def text_sent(name: str, data: bytes) -> str:
    """The text of a file that a clinic sent. Raises InputFaults for what is none, or too large."""
    return decode_text(data, name, MOST_BYTES)


def look_at(row: models.Trainee, text: str, name: str) -> Arrival:
    """What a clinic's file would bring; nothing is kept."""
    return look_at_clinic(text, name, person_of(row).trainee, unit_of(row))


@transaction.atomic
def take_rows(coach: models.Coach, row: models.Trainee, text: str, name: str, numbers: Collection[int]) -> None:
    """Puts rows of a clinic's file into the intake, as a new version of it. Raises InputFaults."""
    intake = newest(row.practice, "trainee", row.slug, row)
    keep_trainee(coach, with_rows(intake, look_at(row, text, name), numbers), row)
    note(row.practice, coach.user, "took in a clinic's file", row, f"{len(numbers)} rows")
