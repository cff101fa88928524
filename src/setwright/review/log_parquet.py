"""A log as a Parquet file becomes the rows that the reader of JSON logs checks: the same columns, the same faults."""

from __future__ import annotations

import io
import json
from datetime import date, datetime
from typing import Any

from setwright.faults import Fault, InputFaults
from setwright.review.log_file import COLUMNS, MOST_BYTES

MAGIC = b"PAR1"
MOST_ROWS = 200_000


def log_text_of(data: bytes, file: str) -> str:
    """The rows of a Parquet log as the JSON text of a log. Raises InputFaults for what is no Parquet, or too large."""
    try:
        import pyarrow
        from pyarrow import parquet
    except ImportError:
        hint = "Install it with the program: pip install 'setwright[parquet]', or give the log as CSV."
        raise InputFaults([Fault(file, "", "Parquet, and no pyarrow to read it", "CSV or JSON", hint)]) from None
    allowed = "a Parquet file with the columns of a log"
    try:
        opened = parquet.ParquetFile(io.BytesIO(data))
        if opened.metadata.num_rows > MOST_ROWS:
            raise InputFaults([Fault(file, "", f"{opened.metadata.num_rows} rows", f"at most {MOST_ROWS}")])
        names = opened.schema_arrow.names
        if len(set(names)) < len(names):
            raise InputFaults([Fault(file, "", "a column given twice", "each column once")])
        if "date" not in names:
            raise InputFaults([Fault(file, "column 'date'", "no such column", "the columns " + ", ".join(COLUMNS))])
        rows = opened.read().to_pylist()
    except (pyarrow.ArrowException, OSError, ValueError) as error:
        if isinstance(error, InputFaults):
            raise
        raise InputFaults([Fault(file, "", f"what can't be read ({error})"[:160], allowed)]) from None
    text = json.dumps([{name: as_json(value) for name, value in row.items() if value is not None} for row in rows])
    if len(text) > MOST_BYTES * 4:
        raise InputFaults(
            [Fault(file, "", f"{len(text) / 1e6:.0f} MB of rows", f"at most {MOST_BYTES * 4 / 1e6:g} MB")]
        )
    return text


def as_json(value: Any) -> Any:
    """A value of a cell as JSON holds it: dates as text, whole numbers without a point, what JSON lacks as text."""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value if isinstance(value, str | int | float | bool) else str(value)
