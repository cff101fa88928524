"""One master block for many trainees: from the paths a coach gives to blocks, a table, and files in one go."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults, NoPlan
from setwright.plan.brief import Brief
from setwright.plan.fit_master import Memory, fit_master
from setwright.plan.kept import has_placeholders
from setwright.plan.kept_master import master_of_kept
from setwright.plan.master import Master, master_of_block, master_of_text
from setwright.plan.shorthand import WrittenBlock, read_block_text
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.fit_table import (
    Column,
    FitTable,
    Refused,
    column_of,
    table_json,
    table_of,
    table_page,
    table_pdf,
)
from setwright.publish.page import index_page
from setwright.publish.units import Unit
from setwright.services.deeds import plain_brief
from setwright.services.files import read_text, write_all
from setwright.services.gather import (
    Person,
    Say,
    catalogue,
    estimates_for,
    kind_of,
    load_block,
    load_person,
    on_whole_week,
    silent,
    sure_kind_of,
)
from setwright.services.keeping import records_in
from setwright.services.many import InProcesses, InThisProcess, Workers
from setwright.strength.logged import Log

WORTH_PROCESSES = 12  # people from which starting more processes pays


@dataclass(frozen=True)
class Task:
    """One trainee to fit a master to, with what they logged so far, and their own cues by exercise."""

    person: Person
    log: Log = field(default_factory=Log)
    cues: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Done:
    """What came of one trainee: the bytes of their block.json and their column, or why there is none."""

    trainee: str
    name: str
    block: bytes
    column: Column | None
    refused: Refused | None


@dataclass(frozen=True)
class Fitting:
    """A master fitted to many: what came of each, in the order asked, and the table."""

    master: Master
    done: tuple[Done, ...]
    table: FitTable

    @property
    def is_whole(self) -> bool:
        """True when everybody has a block."""
        return not self.table.refused


@dataclass(frozen=True)
class _Shared:
    """What all trainees of one run share."""

    master: Master
    unit: Unit | None


# What is remembered between trainees of this process, and for which catalogue.
_memory: tuple[Catalogue, Memory] | None = None


def memory_of(known: Catalogue) -> Memory:
    """What is remembered between trainees of this process; begun anew with another catalogue."""
    global _memory
    if _memory is None or _memory[0] is not known:
        _memory = (known, Memory())
    return _memory[1]


def fit_chunk(shared: _Shared, tasks: Sequence[Task]) -> list[Done]:
    """A few trainees, one after the other."""
    known = catalogue()
    memory = memory_of(known)
    return [fit_one(shared, one, known, memory) for one in tasks]


def fit_one(shared: _Shared, task: Task, known: Catalogue, memory: Memory) -> Done:
    """One trainee."""
    master, trainee = shared.master, task.person.trainee
    start = on_whole_week(master.brief.start, [one.day for one in trainee.days])
    estimates = estimates_for(trainee, task.log, start, task.person.places)
    try:
        brief = replace(master.brief, start=start)
        fitted = fit_master(master, trainee, task.person.places, known, estimates, brief, memory, task.cues)
    except NoPlan as error:
        return Done(
            trainee.id, trainee.name, b"", None, Refused(trainee.id, trainee.name, error.conflict, error.repairs)
        )
    column = column_of(master, fitted, known, shared.unit)
    return Done(trainee.id, trainee.name, block_to_json(fitted.block), column, None)


def fit_many(master: Master, tasks: Sequence[Task], workers: Workers, unit: Unit | None = None) -> Iterator[Done]:
    """A master fitted to many trainees, in their order; the same bytes whatever the workers are."""
    return workers.each(fit_chunk, _Shared(master, unit), tasks)


def load_master(path: Path, start: date | None, names: Mapping[str, str] | None = None, say: Say = silent) -> Master:
    """The master in a block.json, its folder, or a text in shorthand; ``start``: its first day."""
    from setwright.services.clock import next_monday

    if path.is_dir() or path.suffix == ".json":
        block = load_block(path)
        person = block.inputs.trainee
        estimates = estimates_for(person, Log(), block.inputs.brief.start, block.inputs.places)
        master = master_of_block(block, catalogue(), estimates)
        begin = start or block.inputs.brief.start
        return replace(master, brief=replace(master.brief, start=begin))
    text = read_text(path)
    kind = kind_of(text, path) if path.suffix in (".csv", ".tsv") else sure_kind_of(text)
    if kind:
        hint = "The master comes first, then the trainees: setwright fit BLOCK TRAINEE..."
        raise InputFaults([Fault(str(path), "", f"a {kind} file", "a block.json, or a block in shorthand", hint)])
    return master_from_text(text, start or next_monday(), str(path), names)


def master_from_text(text: str, start: date, file: str = "text", names: Mapping[str, str] | None = None) -> Master:
    """The master in a text in shorthand, kept with placeholders or not. Raises InputFaults."""

    def brief_of(written: WrittenBlock) -> Brief:
        return plain_brief(written.title, written.weeks, len(written.template.sessions), start)

    if has_placeholders(text):
        return master_of_kept(text, brief_of, catalogue(), file, names)
    written = read_block_text(text, catalogue(), file, names=names)
    return master_of_text(written, brief_of(written), catalogue())


def load_tasks(
    trainee_files: Sequence[Path],
    place_files: Sequence[Path] = (),
    records: Path | None = None,
    say: Say = silent,
    cues: Mapping[str, str] | None = None,
) -> list[Task]:
    """The trainees of some files with places and kept logs. Raises InputFaults with the faults of all files at once."""
    found: list[Task] = []
    faults: list[Fault] = []
    first: dict[str, Path] = {}
    kept = None if records is None else records_in(records)
    for path in trainee_files:
        try:
            person = load_person(path, place_files, say=say)
        except InputFaults as error:
            faults += error.faults
            continue
        name = person.trainee.id
        if name in first:
            hint = f"{first[name]} has it too: one block.json for each id."
            faults.append(Fault(str(path), "id", repr(name), "an id of its own", hint))
            continue
        first[name] = path
        found.append(Task(person, Log() if kept is None else kept.log(name), cues or {}))
    if faults:
        raise InputFaults(faults)
    return found


def workers_for(count: int, processes: int | None = None) -> Workers:
    """Processes for many trainees, this process for few; ``processes``: as many as asked for."""
    wanted = processes if processes is not None else min(4, os.cpu_count() or 1) if count >= WORTH_PROCESSES else 1
    if wanted <= 1:
        return InThisProcess()
    return InProcesses(wanted, max(1, min(25, -(-count // (2 * wanted)))))


def fit(
    master_file: Path,
    trainee_files: Sequence[Path],
    place_files: Sequence[Path] = (),
    start: date | None = None,
    names: Mapping[str, str] | None = None,
    records: Path | None = None,
    unit: Unit | None = None,
    processes: int | None = None,
    say: Say = silent,
    cues: Mapping[str, str] | None = None,
) -> Fitting:
    """A master block fitted to every trainee of some files; those without clearance are named, the others go on.

    cues : by exercise, for a kept session that asks for them

    Raises InputFaults before anything is fitted where a file is wrong.
    """
    master = load_master(master_file, start, names, say)
    tasks = load_tasks(trainee_files, place_files, records, say, cues)
    done = tuple(fit_many(master, tasks, workers_for(len(tasks), processes), unit))
    return fitting_of(master, done, unit)


def fitting_of(master: Master, done: Sequence[Done], unit: Unit | None = None) -> Fitting:
    """What came of many, with the table."""
    columns = [one.column for one in done if one.column is not None]
    refused = [one.refused for one in done if one.refused is not None]
    return Fitting(master, tuple(done), table_of(master, columns, refused, catalogue(), unit or "kg"))


def fitting_json(found: Fitting) -> dict[str, object]:
    """The published form of ``fit --json``: the table, and each block with its changes."""
    blocks = [json.loads(one.block) for one in found.done if one.block]
    fitted = [{"trainee": one["trainee"], "block": one, "changes": one["changes"]} for one in blocks]
    return {"table": table_json(found.table), "fitted": fitted}


def fitting_files(
    found: Fitting, sheets: bool = False, paper: str = "a4", unit: Unit | None = None
) -> dict[str, bytes]:
    """Every file by its name below the folder: the table as page, print and JSON, a folder for each trainee.

    sheets : each trainee's sheets, pages and notes too, as ``publish`` makes them
    """
    from setwright.services.publishing import block_files

    files: dict[str, bytes] = {}
    links: dict[str, str] = {}
    for one in found.done:
        if not one.block:
            continue
        files[f"{one.trainee}/block.json"] = one.block
        links[one.trainee] = f"{one.trainee}/block.json"
        if sheets:
            block = block_from_json(one.block, f"{one.trainee}/block.json")
            made = block_files(block, paper=paper, unit=unit)  # type: ignore[arg-type]
            files |= {f"{one.trainee}/{name}": data for name, data in made.items()}
            links[one.trainee] = f"{one.trainee}/index.html"
    files["table.json"] = (json.dumps(table_json(found.table), ensure_ascii=False, indent=1) + "\n").encode()
    files["table.pdf"] = table_pdf(found.table, paper)
    files["table.html"] = table_page(found.table, links).encode()
    rows = [(links[one.trainee], one.name, "") for one in found.done if one.trainee in links]
    groups = [
        ("The group", [("table.html", "Who differs where, and why", ""), ("table.pdf", "The same to print", "")]),
        ("Blocks", rows),
    ]
    files["index.html"] = index_page(found.table.title, groups).encode()
    return files


def write_fitting(
    found: Fitting, folder: Path, sheets: bool = False, paper: str = "a4", unit: Unit | None = None
) -> int:
    """Writes all files; every one is made before the first is written. Gives how many."""
    files = fitting_files(found, sheets, paper, unit)
    write_all(folder, files)
    return len(files)
