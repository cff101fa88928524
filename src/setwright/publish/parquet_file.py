"""The log and the planned sets as Parquet: one row a set, every column with its type, unit and meaning.

The units are UCUM, in the metadata of each column and, for readers that show only those of the file, in one JSON text
under ``setwright:columns``. Writing needs pyarrow, which is an optional part of the installation.
"""

from __future__ import annotations

import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.util import find_spec
from typing import Any, Literal

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.publish.csv_file import PLANNED, planned_rows
from setwright.review.log_file import COLUMNS, as_rows
from setwright.strength.logged import Log

Type = Literal["date", "text", "whole", "number", "yes or no", "json"]
LOG_FORMAT, PLANNED_FORMAT = "setwright/log-table/1", "setwright/planned-table/1"


def is_installed() -> bool:
    """Whether this installation can write and read Parquet."""
    return find_spec("pyarrow") is not None


@dataclass(frozen=True)
class Column:
    """What a column holds. ``unit`` is UCUM, empty where there is none to name."""

    type: Type
    says: str
    unit: str = ""


SHARED = {
    "date": Column("date", "day of the session"),
    "week": Column("whole", "week of the block"),
    "exercise": Column("text", "slug of the catalogue; empty in a row of a session"),
    "set": Column("whole", "number of the set, from 1"),
    "load_kg": Column("number", "load, as load_means says; negative is help", "kg"),
    "load_means": Column("text", "total, each hand, added, assistance or body"),
    "rir": Column("number", "repetitions left", "{repetition}"),
    "hold_s": Column("number", "time held", "s"),
    "distance_m": Column("number", "distance", "m"),
    "time_s": Column("number", "time", "s"),
    "part": Column("text", "part of the session"),
}
LOG_COLUMNS: Mapping[str, Column] = {
    **SHARED,
    "session": Column("text", "weekday or name of the session"),
    "dials": Column("json", "what was set on the exercise, by name"),
    "reps": Column("whole", "repetitions done", "{repetition}"),
    "ended_by": Column("text", "why the set ended; only muscle is failure"),
    "pain": Column("whole", "pain, 0 none to 10", "{score}"),
    "pain_where": Column("text", "joint or region"),
    "pain_kind": Column("text", "sharp, dull, numb or other"),
    "note": Column("text", "as written"),
    "session_rpe": Column("number", "effort of the whole session, 0 to 10", "{score}"),
    "minutes": Column("number", "minutes of the whole session", "min"),
    "time": Column("text", "time of day it began, hours:minutes"),
    "wellness": Column("json", "scale and answers of the day"),
    "morning_pain": Column("whole", "pain on getting up, 0 none to 10", "{score}"),
    "bout": Column("text", "letter of the bout on the sheet"),
    "score": Column("text", "score of conditioning, as written"),
    "heart_rate": Column("number", "mean heart rate", "/min"),
    "row": Column("text", "key of the row"),
    "corrects": Column("text", "key of the row that this one corrects"),
}
PLANNED_COLUMNS: Mapping[str, Column] = {
    **SHARED,
    "day": Column("text", "weekday"),
    "superset": Column("text", "letter of the superset or bout"),
    "format": Column("text", "format of conditioning, like every-minute; empty elsewhere"),
    "format_asks": Column("text", "what the format asks, as it is written in a block: rounds, times, target"),
    "name": Column("text", "name of the exercise"),
    "kind": Column("text", "ramp, work, hold, hold-reps-hold or lowering"),
    "reps_from": Column("whole", "fewest repetitions", "{repetition}"),
    "reps_to": Column("whole", "most repetitions", "{repetition}"),
    "take": Column("text", "what to put on or take"),
    "rest_s": Column("number", "rest after the set", "s"),
    "tempo": Column("text", "seconds down, below, up, above"),
    "each_side": Column("yes or no", "each side does all of it"),
    "inside": Column("text", "what follows inside the set"),
    "why": Column("text", "why the entry is there"),
}


def log_parquet(log: Log) -> bytes:
    """The log, a row for each set and each session, as ``review.log_file`` publishes its columns."""
    return written(as_rows(log), COLUMNS, LOG_COLUMNS, LOG_FORMAT)


def planned_parquet(block: Block, catalogue: Catalogue) -> bytes:
    """Every planned set of a block, a row each; loads in kg."""
    return written(planned_rows(block, catalogue, "kg")[0], PLANNED, PLANNED_COLUMNS, PLANNED_FORMAT)


def written(
    rows: Sequence[Mapping[str, object]], names: Sequence[str], told: Mapping[str, Column], format_name: str
) -> bytes:
    """Rows as one Parquet file. Raises InputFaults where pyarrow is not installed."""
    try:
        import pyarrow as arrow
        from pyarrow import parquet
    except ImportError:
        hint = "Install it with the program: pip install 'setwright[parquet]'. CSV needs nothing more."
        raise InputFaults([Fault("Parquet", "", "no pyarrow", "an installation with pyarrow", hint)]) from None
    types = {
        "date": arrow.date32(),
        "text": arrow.string(),
        "json": arrow.string(),
        "whole": arrow.int32(),
        "number": arrow.float64(),
        "yes or no": arrow.bool_(),
    }
    described = {name: {"unit": told[name].unit, "description": told[name].says} for name in names}
    fields = [arrow.field(name, types[told[name].type], metadata=described[name]) for name in names]
    about = {"setwright:format": format_name, "setwright:columns": json.dumps(described, ensure_ascii=False)}
    columns = {name: [as_value(row.get(name), told[name].type) for row in rows] for name in names}
    table = arrow.Table.from_pydict(columns, schema=arrow.schema(fields, metadata=about))
    out = io.BytesIO()
    parquet.write_table(table, out, compression="snappy")
    return out.getvalue()


def as_value(value: object, kind: Type) -> Any:
    """A value as its column holds it; None where there is none."""
    if value is None:
        return None
    if kind == "date":
        return date.fromisoformat(str(value))
    if kind == "json":
        return json.dumps(value, ensure_ascii=False) if value else None
    return value
