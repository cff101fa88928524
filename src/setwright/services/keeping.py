"""Deeds with the records: keep a log, accept, decline, undo, look back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.plan.identity import with_id
from setwright.publish.block_file import block_to_json
from setwright.records.files import FileRecords, check_name
from setwright.records.port import Decision
from setwright.review.log_file import with_row_keys
from setwright.services.clock import now_text
from setwright.services.files import write_whole
from setwright.services.gather import Say, catalogue, load_block, load_logs, silent
from setwright.strength.logged import Log, LoggedSet


def records_in(folder: Path) -> FileRecords:
    """The records of a folder. Raises InputFaults where a file is in its place."""
    if folder.is_file():
        raise InputFaults([Fault(f"--records {folder}", "", "a file", "the folder of the records")])
    return FileRecords(folder, catalogue())


def kept_log(folder: Path | None, trainee: str) -> Log | None:
    """The log kept of a trainee; None where no records are asked for, a fault where they hold nothing of them."""
    if folder is None:
        return None
    records = records_in(folder)
    log = records.log(trainee)
    if not log.sets and not log.sessions:
        known = ", ".join(records.trainees())
        hint = f"Kept there: {known}." if known else "Keep one first: setwright log."
        raise InputFaults([Fault(f"--records {folder}", "", f"no log of {trainee}", "records that hold one", hint)])
    return log


@dataclass(frozen=True)
class Kept:
    """What came of keeping logs: rows that are new, rows kept in all, and whether a block of the trainee is known."""

    new: int
    total: int
    is_known: bool
    near: tuple[str, ...]


def keep_logs(folder: Path, trainee: str, logs: Sequence[Path], say: Say = silent) -> Kept:
    """Keeps log files; every file is read and checked before the first row is kept."""
    check_name("trainee", trainee)
    records = records_in(folder)
    people = records.trainees()
    given = with_row_keys(load_logs(logs, whole=False, say=say))
    told = {set_of(one): one.row for one in records.log(trainee).sets}
    twice = [one for one in given.sets if told.get(set_of(one), one.row) != one.row and not one.corrects]
    new = records.keep_log(trainee, given, now_text())
    if new and twice:
        first = twice[0]
        say(
            f"{len(twice)} sets are kept already with other numbers, like {first.exercise} set {first.set} on "
            f"{first.date}; both count. To correct a row, write its key ({told[set_of(first)]}) under corrects."
        )
    log = records.log(trainee)
    near = tuple(nearest(trainee, people)) if trainee not in people else ()
    return Kept(new, len(log.sets) + len(log.sessions), bool(records.revisions(trainee)), near)


def set_of(one: LoggedSet) -> tuple[object, ...]:
    """Which set a row tells of."""
    return (one.date, one.session, one.exercise, one.set)


def named_block(records: FileRecords, block_file: Path, say: Say) -> Block:
    """The block of a file; where it was edited after it was kept, as a revision of its own: nothing kept is altered."""
    block = load_block(block_file)
    try:
        kept = records.block(block.id)
    except LookupError:
        return block
    if block_to_json(kept) == block_to_json(block):
        return block
    edited = with_id(replace(block, id="", revision=block.revision + 1, parent=block.id))
    say(f"{block_file} differs from {block.id} as it was kept: it is revision {edited.revision}, {edited.id}.")
    return edited


def accept_block(folder: Path, block_file: Path, reason: str = "", say: Say = silent) -> Block:
    """Keeps a block and puts it in force."""
    records = records_in(folder)
    block = named_block(records, block_file, say)
    at = now_text()
    records.keep_block(block, at)
    changes = tuple(range(1, len(block.changes) + 1))
    records.decide(Decision(block.trainee, block.id, "accepted", changes, at, reason))
    records.put_in_force(block.trainee, block.id, at, reason or "accepted")
    return block


def decline_block(folder: Path, block_file: Path, reason: str, say: Say = silent) -> Block:
    """Keeps a block and that it was declined."""
    records = records_in(folder)
    block = named_block(records, block_file, say)
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
        known = ", ".join(records.trainees())
        hint = f"; kept there: {known}" if known else ""
        raise LookupError(f"no block is in force for {trainee!r} in {folder}{hint}")
    if current.parent is None:
        raise LookupError(f"{current.id} is the first revision: there is nothing before it")
    before = records.block(current.parent)
    if out is not None:
        path = out / "block.json" if out.suffix != ".json" else out
        write_whole(path, block_to_json(before))
    records.put_in_force(trainee, before.id, now_text(), f"undo of {current.id}")
    return before


def history(folder: Path, trainee: str) -> list[dict[str, str]]:
    """Everything kept of a trainee, in order of time: revisions, decisions, undoing, logs; last what is in force."""
    records = records_in(folder)
    rows: list[dict[str, str]] = []
    accepted = ""
    for event in records.events(trainee):
        data = event.data
        row = {"at": event.at, "what": "", "block": str(data.get("block", "")), "reason": str(data.get("reason", ""))}
        if event.kind == "revision":
            row["what"] = f"revision {data['revision']} kept"
        elif event.kind == "decision":
            row["what"] = data["verdict"]
            accepted = data["block"] if data["verdict"] == "accepted" else ""
        elif event.kind == "in-force":
            was_accepted, accepted = accepted == data["block"], ""
            if was_accepted:
                continue  # accepting says it already
            row["what"] = "put back in force"
        elif event.kind == "log":
            days = sorted(str(one["date"]) for one in data["rows"])
            row["what"] = f"{len(days)} log rows kept, {days[0]} to {days[-1]}"
        else:
            row["what"] = event.kind
        rows.append(row)
    current = records.current(trainee)
    if current is not None:
        rows.append({"at": "now", "what": "in force", "block": current.id, "reason": ""})
    return rows
