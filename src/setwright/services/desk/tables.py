"""The log and the planned sets of somebody as tables to take away: CSV, or Parquet where that part is installed."""

from __future__ import annotations

from setwright.publish.csv_file import log_csv, planned_csv
from setwright.publish.parquet_file import is_installed, log_parquet, planned_parquet
from setwright.records import models
from setwright.records.data_base import current_of, log_of
from setwright.services.archive import packed
from setwright.services.gather import catalogue

CSV, PARQUET = "csv", "parquet"


def kinds_of_table() -> tuple[str, ...]:
    """The formats that this installation can write."""
    return (CSV, PARQUET) if is_installed() else (CSV,)


def log_table(row: models.Trainee) -> bytes:
    """The log as Parquet, corrections applied. Raises InputFaults where that part is not installed."""
    return log_parquet(log_of(row, catalogue()))


def tables_of(row: models.Trainee, kind: str) -> bytes:
    """A ZIP with the log, and with the planned sets of the block in force where there is one, in one format.

    Raises InputFaults where that part is not installed.
    """
    known, block = catalogue(), current_of(row)
    files = {f"log.{kind}": log_table(row) if kind == PARQUET else log_csv(log_of(row, known))}
    if block is not None:
        files[f"planned.{kind}"] = planned_parquet(block, known) if kind == PARQUET else planned_csv(block, known)
    return packed(files)
