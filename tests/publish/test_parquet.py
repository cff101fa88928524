"""Parquet out is read by another library, with types, units and meanings; Parquet in is checked like any log."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import duckdb
import pyarrow as arrow
import pytest
from made_block import made_block
from pyarrow import parquet
from ucumvert import get_ucum_parser

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.publish.csv_file import PLANNED, log_csv, planned_csv
from setwright.publish.parquet_file import LOG_COLUMNS, PLANNED_COLUMNS, log_parquet, planned_parquet
from setwright.review.log_file import COLUMNS, read_log
from setwright.services.gather import load_log
from setwright.strength.logged import Log

ROWS = """\
date,week,session,exercise,set,dials,load_kg,load_means,reps,rir,hold_s,pain,pain_where,note,session_rpe,minutes
2026-09-07,1,mon,back_squat,1,tempo=3-1-1-0,82.5,total,5,2.5,,2,knee,"felt like ""=1+1"", invented",,
2026-09-07,1,mon,plank,1,,,,,,45,,,,,
2026-09-07,1,mon,,,,,,,,,,,,6.5,58
"""


def log() -> Log:
    return read_log(ROWS, "log.csv", catalogue())


def test_another_library_reads_the_log_with_its_types(tmp_path: Path) -> None:
    """Referee: duckdb, which reads Parquet with code of its own."""
    file = tmp_path / "log.parquet"
    file.write_bytes(log_parquet(log()))

    rows = duckdb.sql(f"select date, exercise, load_kg, reps, rir, hold_s, note, minutes from '{file}'").fetchall()
    kinds = dict(duckdb.sql(f"select column_name, column_type from (describe select * from '{file}')").fetchall())

    assert [str(one[0]) for one in rows] == ["2026-09-07"] * 3
    assert rows[0][1:6] == ("back_squat", 82.5, 5, 2.5, None) and '"=1+1"' in rows[0][6]
    assert [one[5] for one in rows] == [None, 45.0, None]
    assert rows[2][7] == 58.0
    assert list(kinds) == list(COLUMNS)
    assert (kinds["date"], kinds["reps"], kinds["load_kg"], kinds["note"]) == ("DATE", "INTEGER", "DOUBLE", "VARCHAR")


def test_units_and_meanings_stand_in_the_file_and_are_ucum(tmp_path: Path) -> None:
    """Referees: duckdb reads the metadata, ucumvert parses the units."""
    file = tmp_path / "log.parquet"
    file.write_bytes(log_parquet(log()))

    found = dict(duckdb.sql(f"select decode(key), decode(value) from parquet_kv_metadata('{file}')").fetchall())
    told = json.loads(found["setwright:columns"])

    assert found["setwright:format"] == "setwright/log-table/1"
    assert told["load_kg"]["unit"] == "kg" and told["minutes"]["unit"] == "min"
    assert all(one["description"] for one in told.values()) and list(told) == list(COLUMNS)
    parser = get_ucum_parser()
    units = {one.unit for one in (*LOG_COLUMNS.values(), *PLANNED_COLUMNS.values())} - {""}
    assert len(units) > 5 and all(parser.parse(unit) is not None for unit in units)
    field = parquet.read_schema(file).field("load_kg")
    assert field.metadata[b"unit"] == b"kg"


def test_names_say_the_same_units_as_the_metadata() -> None:
    ends = {"_kg": "kg", "_s": "s", "_m": "m"}
    for columns in (LOG_COLUMNS, PLANNED_COLUMNS):
        named = {name: unit for name in columns for end, unit in ends.items() if name.endswith(end)}
        assert len(named) >= 4
        assert {name: columns[name].unit for name in named} == named


def test_planned_sets_are_those_of_the_csv(tmp_path: Path) -> None:
    file = tmp_path / "planned.parquet"
    file.write_bytes(planned_parquet(made_block(), catalogue()))
    rows = duckdb.sql(f"select week, exercise, set, load_kg, reps_to, rest_s from '{file}'").fetchall()

    told = list(csv.DictReader(io.StringIO(planned_csv(made_block(), catalogue(), "kg").decode())))

    assert len(rows) == len(told) > 20 and list(told[0]) == list(PLANNED)
    for row, line in zip(rows, told, strict=True):
        texts = [line[name] for name in ("week", "exercise", "set", "load_kg", "reps_to", "rest_s")]
        assert ["" if one is None else one if isinstance(one, str) else f"{one:g}" for one in row] == texts


def test_a_log_goes_out_and_comes_back_the_same(tmp_path: Path) -> None:
    file = tmp_path / "log.parquet"
    file.write_bytes(log_parquet(log()))

    assert load_log(file) == log() == read_log(log_csv(log()).decode(), "log.csv", catalogue())


def test_a_log_that_another_library_wrote_is_read(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(ROWS)
    file = tmp_path / "log.parquet"
    duckdb.sql(f"copy (select * from read_csv('{tmp_path / 'log.csv'}')) to '{file}' (format parquet)")

    assert load_log(file) == log()


def table(**columns: list[object]) -> bytes:
    out = io.BytesIO()
    parquet.write_table(arrow.table(columns), out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"PAR1 and then nothing", "can't be read"),
        (table(exercise=["back_squat"]), "no such column"),
        (table(date=["2026-09-07"], session=["mon"], exercise=["back_squat"], set=[1], reps=[999]), "999"),
        (table(date=["2026-09-07"], session=["mon"], exercise=["no such lift"], set=[1], reps=[5]), "no such lift"),
        (table(date=["2026-09-07"], session=["mon"], exercise=["back_squat"], set=[1], repz=[5]), "repz"),
        (table(date=["2026-09-07"], load_kg=[["60", "70"]], session=["mon"], exercise=["back_squat"]), "60"),
    ],
)
def test_a_wrong_file_is_refused_with_its_fault(tmp_path: Path, data: bytes, says: str) -> None:
    file = tmp_path / "log.parquet"
    file.write_bytes(data)

    with pytest.raises(InputFaults, match=says):
        load_log(file)
