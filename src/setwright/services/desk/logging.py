"""What a phone or a coach logs: rows checked by the same reader as the files, kept once by their keys."""

from __future__ import annotations

import json
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.records.data_base import keep_rows
from setwright.review.log_file import as_rows, read_log
from setwright.services.clock import now_text
from setwright.services.gather import catalogue

MOST_ROWS = 500


@dataclass(frozen=True)
class Taken:
    """What came of some rows: the keys that are kept now (new or before), and the faults of the others by key."""

    kept: tuple[str, ...]
    refused: Mapping[str, str]


def take_rows(row: models.Trainee, rows: Sequence[Mapping[str, Any]], by: Any = None) -> Taken:
    """Keeps rows one by one: a wrong one is refused with its reason and holds up no other.

    rows : as the log columns name them, each with a ``row``: the UUID that the phone made
    Raises InputFaults where what came is no list of rows.
    """
    if len(rows) > MOST_ROWS:
        raise InputFaults([Fault("log", "", f"{len(rows)} rows", f"at most {MOST_ROWS} at once")])
    kept: list[str] = []
    refused: dict[str, str] = {}
    good: list[Mapping[str, Any]] = []
    for one in rows:
        key = str(one.get("row", ""))
        try:
            checked = checked_row(one)
        except InputFaults as error:
            refused[key] = "; ".join(fault.sentence() for fault in error.faults)
            continue
        good.append(checked)
        kept.append(key)
    try:
        keep_rows(row, good, now_text(), by)
    except InputFaults:  # a correction whose row never came: one by one, so that it holds up no other
        for one in good:
            try:
                keep_rows(row, [one], now_text(), by)
            except InputFaults as error:
                kept.remove(one["row"])
                refused[one["row"]] = "; ".join(fault.sentence() for fault in error.faults)
    return Taken(tuple(kept), refused)


def checked_row(one: Mapping[str, Any]) -> Mapping[str, Any]:
    """One row as it is kept. Raises InputFaults with all of its faults."""
    key = str(one.get("row", ""))
    try:
        uuid.UUID(key)
    except ValueError:
        raise InputFaults([Fault("log", "row", repr(key)[:60], "a UUID made by who logs it")]) from None
    log = read_log(json.dumps([dict(one)]), "log", catalogue(), whole=False)
    (made,) = as_rows(log)
    return made
