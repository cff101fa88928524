"""Nothing kept is lost: append-only events, immutable revisions, decisions, undo, erasure."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from made_block import made_block

from setwright.catalogue.load import catalogue
from setwright.records.files import FileRecords
from setwright.records.port import Decision
from setwright.strength.logged import Log, LoggedSet


def one_set(row: str, reps: int = 5, corrects: str | None = None) -> LoggedSet:
    return LoggedSet(
        date=date(2026, 9, 7),
        week=1,
        session="mon",
        exercise="back_squat",
        set=1,
        load_kg=90,
        reps=reps,
        row=row,
        corrects=corrects,
    )


@pytest.fixture
def records(tmp_path: Path) -> FileRecords:
    return FileRecords(tmp_path / "records", catalogue())


def test_a_replayed_log_is_not_doubled(records: FileRecords) -> None:
    log = Log((one_set("a"), one_set("b")))

    assert records.keep_log("p", log, "t1") == 2
    assert records.keep_log("p", log, "t2") == 0
    assert len(records.log("p").sets) == 2


def test_a_correction_is_a_new_row(records: FileRecords) -> None:
    records.keep_log("p", Log((one_set("a", reps=5),)), "t1")
    before = (records.folder / "events.jsonl").read_bytes()

    records.keep_log("p", Log((one_set("c", reps=8, corrects="a"),)), "t2")

    assert (records.folder / "events.jsonl").read_bytes().startswith(before)
    assert [one.reps for one in records.log("p").sets] == [8]


def test_a_half_written_line_is_left_alone_and_named(records: FileRecords) -> None:
    records.keep_log("p", Log((one_set("a"),)), "t1")
    path = records.folder / "events.jsonl"
    path.write_bytes(path.read_bytes() + b'0bad {"kind": "log", "trai')

    records.keep_log("p", Log((one_set("b"),)), "t2")

    assert {one.row for one in records.log("p").sets} == {"a", "b"}
    assert records.damage() == ["events.jsonl line 2: not whole"]


def test_a_killed_writer_loses_nothing_that_was_confirmed(tmp_path: Path) -> None:
    """Referee: the operating system: a child is killed (SIGKILL) while it keeps rows and prints each confirmed one."""
    script = f"""
import sys; sys.path.insert(0, {str(Path(__file__).parent)!r})
from datetime import date
from pathlib import Path
from setwright.catalogue.load import catalogue
from setwright.records.files import FileRecords
from setwright.strength.logged import Log, LoggedSet
records = FileRecords(Path({str(tmp_path / "r")!r}), catalogue())
for n in range(10000):
    row = LoggedSet(date=date(2026, 9, 7), week=1, session="mon", exercise="back_squat", set=1, reps=5, row=str(n))
    records.keep_log("p", Log((row,)), "t"); print(n, flush=True)
"""
    child = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    confirmed = [child.stdout.readline().strip() for _ in range(12)]
    child.kill()
    child.wait()

    kept = {one.row for one in FileRecords(tmp_path / "r", catalogue()).log("p").sets}
    assert set(confirmed) <= kept and "" not in confirmed


def test_accept_then_undo_gives_the_old_block_byte_for_byte(records: FileRecords) -> None:
    first = made_block()
    second = replace(first, id="blk-second", revision=2, parent=first.id)
    records.keep_block(first, "t1")
    old = (records.folder / "blocks" / f"{first.id}.json").read_bytes()
    records.put_in_force(first.trainee, first.id, "t1", "accepted")
    records.keep_block(second, "t2")
    records.put_in_force(first.trainee, second.id, "t2", "accepted")
    assert records.current(first.trainee) == second

    records.put_in_force(first.trainee, first.id, "t3", "undo")

    assert records.current(first.trainee) == first
    assert (records.folder / "blocks" / f"{first.id}.json").read_bytes() == old
    assert [one.block for one in records.revisions(first.trainee)] == [first.id, "blk-second"]


def test_a_declined_change_is_remembered(records: FileRecords) -> None:
    records.decide(Decision("p", "blk-x", "declined", (1, 2), "t", "she wants the squat"))

    (kept,) = records.decisions("p")
    assert (kept.verdict, kept.reason, kept.changes) == ("declined", "she wants the squat", (1, 2))


def test_erasing_a_person_leaves_others_untouched(records: FileRecords) -> None:
    records.keep_log("p", Log((one_set("a"),)), "t1")
    records.keep_log("q", Log((one_set("b"),)), "t1")

    counts = records.erase("p", "t2")

    assert counts["log"] == 1
    assert list(records.trainees()) == ["q"]
    assert len(records.log("q").sets) == 1 and records.log("p").sets == ()
    assert b'"p"' not in (records.folder / "events.jsonl").read_bytes()


def test_an_unknown_block_is_named(records: FileRecords) -> None:
    with pytest.raises(LookupError, match="no block blk-none"):
        records.block("blk-none")
