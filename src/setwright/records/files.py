"""Records as append-only files in one folder.

    <folder>/events.jsonl          one event a line, each with a checksum; only ever appended to
    <folder>/blocks/<id>.json      immutable revisions; written to a side file first, then renamed

A line counts once its checksum is right; a half-written last line (a kill in mid-write) is left alone, reported
by ``damage`` and never read. Confirmed means: on the disk (``fsync``).
"""

from __future__ import annotations

import json
import os
import re
import zlib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.records.port import Decision, Event, Revision
from setwright.review.log_file import as_rows, read_log, with_row_keys, without_repeats
from setwright.strength.logged import Log

NAME = re.compile(r"[A-Za-z0-9_-]{1,100}")


def check_name(what: str, name: str) -> None:
    """Refuses a name that could be a path: trainees and blocks are letters, digits, - and _."""
    if not NAME.fullmatch(name):
        raise InputFaults([Fault(what, "", repr(name), "letters, digits, - and _, at most 100")])


class FileRecords:
    """The port ``Records`` over a folder."""

    def __init__(self, folder: Path, catalogue: Catalogue) -> None:
        self.folder = folder
        self.catalogue = catalogue

    @property
    def _events(self) -> Path:
        return self.folder / "events.jsonl"

    def _append(self, kind: str, trainee: str, at: str, data: Mapping[str, Any]) -> None:
        """Adds one event and returns only when it is on the disk."""
        check_name("trainee", trainee)
        self._make(self.folder)
        body = json.dumps({"kind": kind, "trainee": trainee, "at": at, "data": data}, sort_keys=True)
        line = f"{zlib.crc32(body.encode()):08x} {body}\n".encode()
        needs_newline = self._events.exists() and not self._ends_with_newline()
        with open(self._events, "ab") as file:
            if needs_newline:
                file.write(b"\n")
            file.write(line)
            file.flush()
            os.fsync(file.fileno())

    def _make(self, folder: Path) -> None:
        """Makes a folder of the records, or one clear fault."""
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            taken = any(one.is_file() for one in (folder, *folder.parents))
            found = "a file" if taken else f"a folder that can't be made ({error.strerror})"
            allowed = "a folder that can be written"
            raise InputFaults([Fault(f"--records {self.folder}", "", found, allowed)]) from None

    def _ends_with_newline(self) -> bool:
        with open(self._events, "rb") as file:
            file.seek(0, os.SEEK_END)
            if file.tell() == 0:
                return True
            file.seek(-1, os.SEEK_END)
            return file.read(1) == b"\n"

    def _lines(self) -> Iterator[tuple[int, dict[str, Any] | None]]:
        if not self._events.exists():
            return
        with open(self._events, "rb") as file:
            for number, raw in enumerate(file, start=1):
                if not raw.strip():
                    continue
                checksum, _, body = raw.rstrip(b"\n").partition(b" ")
                good = checksum == f"{zlib.crc32(body):08x}".encode()
                yield number, json.loads(body) if good else None

    def _of(self, kind: str, trainee: str) -> Iterator[dict[str, Any]]:
        for _, event in self._lines():
            if event is not None and event["kind"] == kind and event["trainee"] == trainee:
                yield event

    def damage(self) -> Sequence[str]:
        """Lines that can't be trusted, by number; empty when all is well."""
        return [f"{self._events.name} line {number}: not whole" for number, event in self._lines() if event is None]

    def keep_block(self, block: Block, at: str) -> None:
        """Keeps a revision; the same one twice is kept once."""
        check_name("block", block.id)
        check_name("trainee", block.trainee)
        folder = self.folder / "blocks"
        self._make(folder)
        path = folder / f"{block.id}.json"
        if not path.exists():
            side = folder / f".{block.id}.{os.getpid()}"
            with open(side, "wb") as file:
                file.write(block_to_json(block))
                file.flush()
                os.fsync(file.fileno())
            os.replace(side, path)
        if all(one["data"]["block"] != block.id for one in self._of("revision", block.trainee)):
            data = {"block": block.id, "revision": block.revision, "parent": block.parent}
            self._append("revision", block.trainee, at, data)

    def block(self, block_id: str) -> Block:
        """A kept revision; LookupError for an unknown one."""
        check_name("block", block_id)
        path = self.folder / "blocks" / f"{block_id}.json"
        if not path.exists():
            raise LookupError(f"no block {block_id} in these records")
        return block_from_json(path.read_bytes(), path.name)

    def revisions(self, trainee: str) -> Sequence[Revision]:
        """All revisions of a trainee in the order they were kept."""
        force = self._in_force(trainee)
        return [
            Revision(
                event["data"]["block"],
                event["data"]["revision"],
                event["data"]["parent"],
                event["at"],
                event["data"]["block"] == force,
            )
            for event in self._of("revision", trainee)
        ]

    def _in_force(self, trainee: str) -> str | None:
        last = None
        for event in self._of("in-force", trainee):
            last = event["data"]["block"]
        return last

    def current(self, trainee: str) -> Block | None:
        """The revision in force, or None."""
        found = self._in_force(trainee)
        return None if found is None else self.block(found)

    def put_in_force(self, trainee: str, block_id: str, at: str, reason: str) -> None:
        """Makes a kept revision the one in force: accepting, and undoing."""
        self.block(block_id)
        self._append("in-force", trainee, at, {"block": block_id, "reason": reason})

    def keep_log(self, trainee: str, log: Log, at: str) -> int:
        """Adds rows that are not kept yet; gives how many were new.

        Raises InputFaults where a row corrects one that is kept nowhere.
        """
        kept = {row["row"] for event in self._of("log", trainee) for row in event["data"]["rows"]}
        once, _ = without_repeats(log)
        fresh = [row for row in as_rows(with_row_keys(once)) if row["row"] not in kept]
        known = kept | {row["row"] for row in fresh}
        lost = [row["corrects"] for row in fresh if row.get("corrects") and row["corrects"] not in known]
        if lost:
            raise InputFaults(
                [
                    Fault("log", f"corrects {one!r}", "a row that is kept nowhere", "the key of an earlier row")
                    for one in lost
                ]
            )
        if fresh:
            self._append("log", trainee, at, {"rows": fresh})
        return len(fresh)

    def log(self, trainee: str) -> Log:
        """The whole log, corrections applied."""
        rows = [row for event in self._of("log", trainee) for row in event["data"]["rows"]]
        return read_log(json.dumps(rows), "records", self.catalogue) if rows else Log()

    def events(self, trainee: str) -> Sequence[Event]:
        """Everything kept of a trainee, in the order it was kept."""
        return [
            Event(event["kind"], event["at"], event["data"])
            for _, event in self._lines()
            if event is not None and event["trainee"] == trainee
        ]

    def decide(self, decision: Decision) -> None:
        """Keeps a decision of the coach."""
        data = {
            "block": decision.block,
            "verdict": decision.verdict,
            "changes": list(decision.changes),
            "reason": decision.reason,
        }
        self._append("decision", decision.trainee, decision.at, data)

    def decisions(self, trainee: str) -> Sequence[Decision]:
        """All decisions about a trainee, in order."""
        return [
            Decision(
                trainee,
                event["data"]["block"],
                event["data"]["verdict"],
                tuple(event["data"]["changes"]),
                event["at"],
                event["data"]["reason"],
            )
            for event in self._of("decision", trainee)
        ]

    def trainees(self) -> Sequence[str]:
        """Who has records, in order of first appearance; erased people are left out."""
        found: dict[str, None] = {}
        for _, event in self._lines():
            if event is not None and event["kind"] != "tombstone":
                found[event["trainee"]] = None
        return list(found)

    def erase(self, trainee: str, at: str) -> Mapping[str, int]:
        """Erases a person and leaves an anonymous tombstone; gives what was erased, by kind.

        The only deed that rewrites the file: everything of others stays byte for byte, in a new file that replaces
        the old one in one step.
        """
        counts: dict[str, int] = {}
        blocks = {event["data"]["block"] for event in self._of("revision", trainee)}
        side = self.folder / f".events.{os.getpid()}"
        with open(side, "wb") as new, open(self._events, "rb") as old:
            for raw in old:
                _, _, body = raw.rstrip(b"\n").partition(b" ")
                try:
                    event = json.loads(body)
                except ValueError:
                    new.write(raw)
                    continue
                if event.get("trainee") == trainee:
                    counts[event["kind"]] = counts.get(event["kind"], 0) + 1
                else:
                    new.write(raw)
            new.flush()
            os.fsync(new.fileno())
        os.replace(side, self._events)
        for name in blocks:
            (self.folder / "blocks" / f"{name}.json").unlink(missing_ok=True)
        counts["block files"] = len(blocks)
        self._append("tombstone", "erased", at, {"counts": counts})
        return counts
