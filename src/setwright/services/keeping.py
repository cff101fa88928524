"""Deeds with the records: keep a log, accept, decline, undo, look back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from setwright.plan.block import Block
from setwright.publish.block_file import block_to_json
from setwright.records.files import FileRecords
from setwright.records.port import Decision
from setwright.services.clock import now_text
from setwright.services.files import write_whole
from setwright.services.gather import catalogue, load_block, load_logs


def records_in(folder: Path) -> FileRecords:
    """The records of a folder."""
    return FileRecords(folder, catalogue())


def keep_logs(folder: Path, trainee: str, logs: Sequence[Path]) -> int:
    """Keeps log files; every file is read and checked before the first row is kept."""
    return records_in(folder).keep_log(trainee, load_logs(logs, whole=False), now_text())


def accept_block(folder: Path, block_file: Path, reason: str = "") -> Block:
    """Keeps a block and puts it in force."""
    block = load_block(block_file)
    records = records_in(folder)
    at = now_text()
    records.keep_block(block, at)
    changes = tuple(range(1, len(block.changes) + 1))
    records.decide(Decision(block.trainee, block.id, "accepted", changes, at, reason))
    records.put_in_force(block.trainee, block.id, at, reason or "accepted")
    return block


def decline_block(folder: Path, block_file: Path, reason: str) -> Block:
    """Keeps a block and that it was declined."""
    block = load_block(block_file)
    records = records_in(folder)
    at = now_text()
    records.keep_block(block, at)
    changes = tuple(range(1, len(block.changes) + 1))
    records.decide(Decision(block.trainee, block.id, "declined", changes, at, reason))
    return block


def undo_block(folder: Path, trainee: str, out: Path | None = None) -> Block:
    """Puts the parent of the revision in force back in force; LookupError where there is none."""
    records = records_in(folder)
    current = records.current(trainee)
    if current is None:
        raise LookupError(f"no block is in force for {trainee!r} in {folder}")
    if current.parent is None:
        raise LookupError(f"{current.id} is the first revision: there is nothing before it")
    before = records.block(current.parent)
    records.put_in_force(trainee, before.id, now_text(), f"undo of {current.id}")
    if out is not None:
        path = out / "block.json" if out.suffix != ".json" else out
        write_whole(path, block_to_json(before))
    return before


def history(folder: Path, trainee: str) -> list[dict[str, str]]:
    """Everything kept about the blocks of a trainee, in order of time."""
    records = records_in(folder)
    rows = [
        {"at": one.at, "what": f"revision {one.revision} kept", "block": one.block, "reason": ""}
        for one in records.revisions(trainee)
    ]
    rows += [
        {"at": one.at, "what": one.verdict, "block": one.block, "reason": one.reason}
        for one in records.decisions(trainee)
    ]
    current = records.current(trainee)
    rows.sort(key=lambda row: row["at"])
    if current is not None:
        rows.append({"at": "now", "what": "in force", "block": current.id, "reason": ""})
    return rows
