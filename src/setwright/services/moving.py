"""Records that come and go: one trainee's whole data as a file, and into other records again."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from setwright.faults import Fault, InputFaults
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.csv_file import log_csv
from setwright.publish.own_data_schema import FORMAT
from setwright.records.files import FileRecords
from setwright.records.port import Decision, Records
from setwright.review.log_file import read_log
from setwright.services.clock import now_text, today
from setwright.services.files import read_bytes, read_text, write_whole
from setwright.services.gather import Say, catalogue, kind_of, silent
from setwright.services.keeping import records_in
from setwright.services.limits_in_force import crossings, who_holds
from setwright.services.opening import holds_data_base

WHOLE = "everything.json"
MOST_BYTES = 500_000_000
TAKEN = "an export of one trainee, a folder of records, an intake or a place"
STILL_IN_FORCE = "still in force: what was brought in is older, or crosses a limit that holds"

KINDS = {str: "a text", list: "a list", dict: "a table", bool: "true or false", int: "a whole number"}
SHAPE: dict[str, Any] = {
    "id": str,
    "name": str,
    "documents": [{"kind": str, "name": str, "at": str, "text": str}],
    "places": [{"id": str, "text": str}],
    "blocks": [{"id": str}],
    "log": [{"row": str, "date": str}],
    "kept": {
        "blocks": [{"block": str, "at": str}],
        "in_force": [{"block": str, "reason": str, "at": str}],
        "rows": [{"row": str, "at": str, "slot": str}],
    },
    "decisions": [{"block": str, "verdict": str, "changes": [int], "reason": str, "at": str}],
    "notes": [{"id": str, "day": str, "from": str, "about": str, "text": str, "needs_coach": bool, "at": str}],
    "cues": [{"file": str}],
}


def export_person(folder: Path, trainee: str) -> bytes:
    """A ZIP with everything that is kept of a trainee, as JSON, CSV and the files they came from.

    LookupError where the records don't know them.
    """
    records = records_in(folder)
    if trainee not in records.trainees():
        known = ", ".join(records.trainees()) or "nobody"
        raise LookupError(f"no trainee {trainee!r} in {folder}; kept there: {known}")
    if isinstance(records, FileRecords):
        return export_of_files(records, trainee)
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.whole_data import whole_data

    assert isinstance(records, DataBaseRecords)
    return whole_data(records.row_of(trainee))


def export_of_files(records: FileRecords, trainee: str) -> bytes:
    """The same for records that are kept as files."""
    from setwright.services.archive import packed

    blocks = {one.block: records.block(one.block) for one in records.revisions(trainee)}
    in_force = [one for one in records.events(trainee) if one.kind == "in-force"]
    logs = [one for one in records.events(trainee) if one.kind == "log"]
    rows = [(row, one.at) for one in logs for row in one.data["rows"]]
    value = {
        "format": FORMAT,
        "id": trainee,
        "name": trainee,
        "practice": "",
        "documents": [],
        "places": [],
        "in_force": in_force[-1].data["block"] if in_force else None,
        "blocks": [json.loads(block_to_json(one)) for one in blocks.values()],
        "log": [row for row, _ in rows],
        "kept": {
            "blocks": [{"block": one.block, "at": one.at} for one in records.revisions(trainee)],
            "in_force": [{**one.data, "at": one.at} for one in in_force],
            "rows": [{"row": row["row"], "at": at, "slot": ""} for row, at in rows],
        },
        "decisions": [
            {"block": one.block, "verdict": one.verdict, "changes": one.changes, "reason": one.reason, "at": one.at}
            for one in records.decisions(trainee)
        ],
        "notes": [],
        "cues": [],
    }
    files = {WHOLE: json.dumps(value, ensure_ascii=False, indent=1).encode()}
    files["log.csv"] = log_csv(records.log(trainee))
    return packed({**files, **{f"blocks/{name}.json": block_to_json(one) for name, one in blocks.items()}})


def written_export(data: bytes, out: Path) -> list[Path]:
    """An export written as one ZIP, or as its files where a folder is named; gives the files."""
    if out.suffix == ".zip":
        write_whole(out, data)
        return [out]
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            (out / name).parent.mkdir(parents=True, exist_ok=True)
            write_whole(out / name, archive.read(name))
        return [out / name for name in archive.namelist()]


def everything_in(data: bytes) -> Any:
    """The JSON of an export."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return json.loads(archive.read(WHOLE))


@dataclass
class Arrived:
    """What came of an import: what was new, by kind, and who."""

    counts: dict[str, int] = field(default_factory=dict)
    trainees: dict[str, None] = field(default_factory=dict)

    def add(self, kind: str, count: int, trainee: str = "") -> None:
        """Counts what was new."""
        self.counts[kind] = self.counts.get(kind, 0) + count
        if trainee:
            self.trainees[trainee] = None


def import_into(folder: Path, sources: Sequence[Path], coach: str = "", say: Say = silent) -> Arrived:
    """Takes exports, folders of records, intakes and places into records, all or nothing in a data base.

    coach : the log-in name of the coach who is responsible for new trainees; the owner where it is left out
    What is kept already is left as it is, so the same import twice is one. Raises InputFaults with every fault of the
    first source that has some.
    """
    given = [(path, read_source(path)) for path in sources]
    records, arrived = records_in(folder), Arrived()
    if not holds_data_base(folder):
        for path, source in given:
            if isinstance(source, str):
                allowed = "an export of one trainee, or a folder of records"
                hint = "Intakes and places are kept in a data base only: setwright serve makes one."
                raise InputFaults([Fault(str(path), "", f"a {kind_of(source, path)}", allowed, hint)])
            for person in source:
                keep_person(records, person, str(path), arrived)
        return arrived
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.arriving import take_in

    assert isinstance(records, DataBaseRecords)
    take_in(records, given, coach, arrived, say)
    return arrived


def read_source(path: Path) -> str | list[Mapping[str, Any]]:
    """The text of a TOML file, or the people of an export or a folder of records. Raises InputFaults for all else."""
    if path.is_dir():
        if not (path / "events.jsonl").is_file():
            raise InputFaults([Fault(str(path), "", "a folder without events.jsonl", TAKEN)])
        records = FileRecords(path, catalogue())
        return [everything_in(export_of_files(records, one)) for one in records.trainees()]
    if path.suffix == ".toml":
        return read_text(path)
    return [checked_export(read_bytes(path, MOST_BYTES), path)]


def checked_export(data: bytes, path: Path) -> Mapping[str, Any]:
    """The content of an export, ZIP or JSON. Raises InputFaults where it is none."""
    try:
        value = everything_in(data) if data[:2] == b"PK" else json.loads(data)
    except (ValueError, KeyError, zipfile.BadZipFile):
        raise InputFaults([Fault(str(path), "", "what can't be read", TAKEN)]) from None
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        found = repr(value.get("format")) if isinstance(value, dict) else "a list"
        raise InputFaults([Fault(str(path), "format", found, repr(FORMAT))])
    faults = misshapen(value, SHAPE, str(path), "")
    if faults:
        raise InputFaults(faults)
    return value


def misshapen(value: Any, shape: Any, file: str, at: str) -> list[Fault]:
    """Where a value is not of a shape: a type, a table of shapes, or a list of one shape."""
    kind: type = type(shape) if isinstance(shape, dict | list) else shape
    fits = isinstance(value, kind)
    if not fits:
        found = "nothing" if value is None else f"{value!r}"[:60]
        return [Fault(file, at, found, KINDS[kind])]
    if isinstance(shape, dict):
        dot = f"{at}." if at else ""
        return [one for key, below in shape.items() for one in misshapen(value.get(key), below, file, dot + key)]
    if isinstance(shape, list):
        rows = enumerate(value, start=1)
        return [one for number, row in rows for one in misshapen(row, shape[0], file, f"{at}[{number}]")]
    return []


def keep_person(records: Records, person: Mapping[str, Any], file: str, arrived: Arrived) -> None:
    """Keeps blocks, log, decisions and what was in force of one person, in the order it was kept once.

    Raises InputFaults with the place of what can't be read.
    """
    trainee = str(person["id"])
    try:
        kept_at = {one["block"]: one["at"] for one in person["kept"]["blocks"]}
        blocks = [block_from_json(json.dumps(one).encode(), f"{file}: blocks") for one in person["blocks"]]
        known = {one.block for one in records.revisions(trainee)}
        for block in blocks:
            records.keep_block(block, kept_at[block.id])
        arrived.add("blocks", len({one.id for one in blocks} - known), trainee)
        arrived.add("log rows", keep_log_rows(records, person, file), trainee)
        arrived.add("decisions", keep_decisions(records, person))
        arrived.add("in force", keep_in_force(records, person))
    except (KeyError, TypeError) as error:
        raise InputFaults([Fault(file, "", f"something that is missing or of another kind ({error})", TAKEN)]) from None


def keep_log_rows(records: Records, person: Mapping[str, Any], file: str) -> int:
    """Keeps the rows of an export's log under their own keys; gives how many were new."""
    rows, about = person["log"], {one["row"]: one for one in person["kept"]["rows"]}
    if not rows:
        return 0
    read_log(json.dumps(rows), f"{file}: log", catalogue())
    strange = [row["row"] for row in rows if row["row"] not in about]
    if strange:
        raise InputFaults([Fault(file, "kept.rows", f"no row {strange[0]!r}", "when each row of the log was kept")])
    groups: dict[str, list[Any]] = {}
    for row in rows:
        groups.setdefault(about[row["row"]]["at"], []).append(row)
    new = 0
    for at, some in groups.items():
        log = read_log(json.dumps(some), f"{file}: log", catalogue(), whole=False)
        new += records.keep_log(str(person["id"]), log, at)
    return new


def keep_decisions(records: Records, person: Mapping[str, Any]) -> int:
    """Keeps the decisions that are not kept yet; gives how many."""
    known, new = set(records.decisions(str(person["id"]))), 0
    for one in person["decisions"]:
        made = Decision(
            str(person["id"]), one["block"], one["verdict"], tuple(one["changes"]), one["at"], one["reason"]
        )
        if made not in known:
            records.decide(made)
            new += 1
    return new


def keep_in_force(records: Records, person: Mapping[str, Any]) -> int:
    """Keeps what came into force and is not kept yet; gives how many.

    What is in force stays so where what comes in is older, or crosses a limit that holds now.
    """
    trainee = str(person["id"])
    moments = {(one.data["block"], one.at) for one in records.events(trainee) if one.kind == "in-force"}
    new = [one for one in person["kept"]["in_force"] if (one["block"], one["at"]) not in moments]
    before = records.current(trainee)
    holds = None if before is None else who_holds(records, trainee)
    for one in new:
        records.put_in_force(trainee, one["block"], one["at"], one["reason"])
    if before is None or holds is None or not new:
        return len(new)
    is_older = max(one["at"] for one in new) < max(at for _, at in moments)
    if is_older or crossings(records.block(new[-1]["block"]), holds, catalogue(), today(), "import"):
        records.put_in_force(trainee, before.id, now_text(), STILL_IN_FORCE)
    return len(new)
