"""Reads competition results for the fit and the benchmark of meets: parquet with attempts, or the fixture's csv.

Parquet: one row a meet, columns id, sex, birth_year, date, bw_kg, event, {squat,bench,dead}_kg and
{squat,bench,dead}{1..4}_kg, failed attempts negative. Csv (may be gzipped): id, sex, age_band_at_first, day (since the
first meet), bw_kg, {squat,bench,dead}_kg, ..._opener_kg, ..._lowest_fail_above_kg; every row a full meet.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from setwright.strength.meets import AGE_YEARS, LIFT_KG, MASS_KG, MeetTable
from setwright.strength.mixture import Floats

COLUMNS = ("squat", "bench", "dead")
MIDDLE_OF_BAND = 2.5  # ages of the csv come in bands of five years


@dataclass(frozen=True, eq=False)
class Results:
    """Meets as a table; year : (n,) nan where only days are known; full : (n,) whether all three lifts were contested.

    lifters without a sex, and sexes other than F and M, are left out: the figures know two.
    """

    table: MeetTable
    year: Floats
    full: NDArray[np.bool_]

    def where(self, which: NDArray[np.bool_]) -> Results:
        """Some of the rows."""
        names = ("lifter", "day", "female", "age_years", "body_mass_kg", "best_kg", "failed_kg", "all_known")
        return Results(
            MeetTable(*(getattr(self.table, name)[which] for name in names)), self.year[which], self.full[which]
        )


def read_results(path: Path) -> Results:
    """The results of a file, in its form: parquet, or csv.

    Raises ValueError naming the columns that the file lacks.
    """
    import duckdb

    is_parquet = path.suffix == ".parquet"
    source = f"{'read_parquet' if is_parquet else 'read_csv'}('{str(path).replace(chr(39), chr(39) * 2)}')"
    with duckdb.connect() as base:
        base.execute("SET threads = 1")
        there = [row[0] for row in base.execute(f"DESCRIBE SELECT * FROM {source}").fetchall()]
        wanted = parquet_columns() if is_parquet else csv_columns()
        missing = sorted(set(wanted) - set(there))
        if missing:
            raise ValueError(f"{path.name} lacks {', '.join(missing)}, expected {', '.join(wanted)}.")
        numbers = [one for one in wanted if one not in ("id", "sex", "event", "date")]
        chosen = ["id", "CAST(sex AS VARCHAR) AS sex", *(f"CAST({one} AS DOUBLE) AS {one}" for one in numbers)]
        if is_parquet:
            chosen += ["CAST(event AS VARCHAR) AS event", "year(CAST(date AS DATE)) AS year"]
            chosen += ["date_diff('day', DATE '1970-01-01', CAST(date AS DATE)) AS day"]
        query = f"SELECT {', '.join(chosen)} FROM {source} WHERE CAST(sex AS VARCHAR) IN ('F', 'M')"
        raw = {name: filled(column) for name, column in base.execute(query).fetchnumpy().items()}
    return of_attempts(raw) if is_parquet else of_bests(raw)


def parquet_columns() -> list[str]:
    attempts = [f"{lift}{number}_kg" for lift in COLUMNS for number in (1, 2, 3, 4)]
    return ["id", "sex", "birth_year", "date", "bw_kg", "event", *(f"{one}_kg" for one in COLUMNS), *attempts]


def csv_columns() -> list[str]:
    own = [f"{lift}_{what}" for lift in COLUMNS for what in ("kg", "opener_kg", "lowest_fail_above_kg")]
    return ["id", "sex", "age_band_at_first", "day", "bw_kg", *own]


def filled(column: Any) -> NDArray[Any]:
    """A column with nan where a number is missing."""
    if isinstance(column, np.ma.MaskedArray):
        return column.astype(np.float64).filled(np.nan) if column.dtype.kind in "iuf" else column.filled("")
    return np.asarray(column)


def of_attempts(raw: dict[str, NDArray[Any]]) -> Results:
    best = within(np.stack([raw[f"{one}_kg"] for one in COLUMNS], axis=1), LIFT_KG)
    failed, is_known = np.full_like(best, np.nan), np.zeros(best.shape, dtype=bool)
    for lift, name in enumerate(COLUMNS):
        attempts = np.stack([raw[f"{name}{number}_kg"] for number in (1, 2, 3)], axis=1)
        heavier = (attempts < 0) & (-attempts > np.nan_to_num(best[:, lift, None]))
        lightest = np.where(heavier, -attempts, np.inf).min(axis=1)
        failed[:, lift] = np.where(np.isinf(lightest), np.nan, lightest)
        is_known[:, lift] = ~np.isnan(attempts).any(axis=1)
    year = raw["year"].astype(np.float64)
    age = within(year - raw["birth_year"], AGE_YEARS)
    event = raw["event"].astype(str)
    return table_of(raw, raw["day"].astype(np.float64), age, best, failed, is_known, year, event == "SBD")


def of_bests(raw: dict[str, NDArray[Any]]) -> Results:
    best = within(np.stack([raw[f"{one}_kg"] for one in COLUMNS], axis=1), LIFT_KG)
    failed = np.stack([raw[f"{one}_lowest_fail_above_kg"] for one in COLUMNS], axis=1)
    is_known = ~np.isnan(np.stack([raw[f"{one}_opener_kg"] for one in COLUMNS], axis=1))
    age = within(raw["age_band_at_first"] + MIDDLE_OF_BAND + raw["day"] / 365.25, AGE_YEARS)
    count = len(best)
    unknown = np.full(count, np.nan)
    return table_of(raw, raw["day"], age, best, failed, is_known, unknown, np.ones(count, dtype=bool))


def table_of(
    raw: dict[str, NDArray[Any]],
    day: Floats,
    age: Floats,
    best: Floats,
    failed: Floats,
    is_known: NDArray[np.bool_],
    year: Floats,
    full: NDArray[np.bool_],
) -> Results:
    failed = np.where(failed <= best, np.nan, within(failed, LIFT_KG))
    female = (raw["sex"].astype(str) == "F").astype(np.float64)
    mass = within(raw["bw_kg"], MASS_KG)
    return Results(MeetTable(raw["id"], day, female, age, mass, best, failed, is_known), year, full)


def within(values: Floats, limits: tuple[float, float]) -> Floats:
    """The values, nan where out of range: a wild one in open data is a slip of the pen, not a reason to stop."""
    return np.where((values >= limits[0]) & (values <= limits[1]), values, np.nan)
