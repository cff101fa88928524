"""Deeds with the records: keep a log, accept, decline, undo, look back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block, Change
from setwright.plan.identity import with_id
from setwright.plan.revisions import with_some
from setwright.publish.block_file import block_to_json
from setwright.publish.words import change_groups
from setwright.records.files import FileRecords, check_name
from setwright.records.port import Decision, Records
from setwright.review.approval import approvals
from setwright.review.log_file import with_row_keys
from setwright.services.block_check import block_faults
from setwright.services.clock import now_text, today
from setwright.services.files import write_whole
from setwright.services.gather import Say, catalogue, load_block, load_logs, silent
from setwright.services.limits_in_force import crossings, newly_crossed, who_holds
from setwright.services.opening import data_base_records, holds_data_base
from setwright.strength.logged import Log, LoggedSet

MADE_EARLIER = "It was made before that limit was set: have it made again."
WAY_OUT = "Who set the limit lifts it first, or the revision is made anew under it."


def records_in(folder: Path) -> Records:
    """The records of a folder: the data base of the application where it is there, else append-only files.

    Raises InputFaults where a file is in its place, or the data base can't be opened.
    """
    if folder.is_file():
        raise InputFaults([Fault(f"--records {folder}", "", "a file", "the folder of the records")])
    if holds_data_base(folder):
        return data_base_records(folder, catalogue)
    return FileRecords(folder, catalogue())


def earlier_revisions(records: Records, block: Block) -> list[Block]:
    """The revisions that a block came from, the newest first, as far as they are kept."""
    kept = {one.block for one in records.revisions(block.trainee)}
    found: list[Block] = []
    name = block.parent
    while name in kept and name not in {one.id for one in found}:
        found.append(records.block(str(name)))
        name = found[-1].parent
    return found


def settle(records: Records, trainee: str, deed: str, about: str = "", accepted: Block | None = None) -> None:
    """What a deed on a data base brings with it: the audit trail, and what the pages show counted anew.

    accepted : the block that came into force; its new restrictions go into the intake
    """
    if isinstance(records, FileRecords):
        return
    from setwright.records.data_base import DataBaseRecords
    from setwright.services.desk.settling import settle_deed

    if isinstance(records, DataBaseRecords):
        settle_deed(records, trainee, deed, about, accepted)


def kept_log(folder: Path | None, trainee: str) -> Log | None:
    """The log kept of a trainee; None where no records are asked for, a fault where they don't know the person."""
    if folder is None:
        return None
    records = records_in(folder)
    log, people = records.log(trainee), records.trainees()
    if not log.sets and not log.sessions and trainee not in people:
        known = ", ".join(people)
        hint = f"Kept there: {known}." if known else "Keep one first: setwright log."
        raise InputFaults([Fault(f"--records {folder}", "", f"no log of {trainee}", "records that hold one", hint)])
    return log


@dataclass(frozen=True)
class Kept:
    """What came of keeping logs: rows that are new, rows kept in all, and whether a block of the trainee is known.

    where : the file that holds them, or the folder of the data base
    """

    new: int
    total: int
    is_known: bool
    near: tuple[str, ...]
    where: Path


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
    if new:
        settle(records, trainee, "kept a log")
    log = records.log(trainee)
    near = tuple(nearest(trainee, people)) if trainee not in people else ()
    where = folder / "events.jsonl" if isinstance(records, FileRecords) else folder
    return Kept(new, len(log.sets) + len(log.sessions), bool(records.revisions(trainee)), near, where)


def set_of(one: LoggedSet) -> tuple[object, ...]:
    """Which set a row tells of."""
    return (one.date, one.session, one.exercise, one.set)


def named_block(records: Records, block_file: Path, say: Say) -> Block:
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


def accept_block(
    folder: Path,
    block_file: Path,
    reason: str = "",
    say: Say = silent,
    wanted: str = "",
    before_file: Path | None = None,
    without_asking: bool = False,
) -> Block:
    """Keeps a block and puts it in force, with all of its changes or some of them.

    wanted : numbers of the changes to take, like ``1,3-5``; empty for all that were not declined
    before_file : the block it was made from; else it is looked for in the records
    without_asking : only what may reach the trainee without the coach: less, and small steps where allowed
    """
    records = records_in(folder)
    block = named_block(records, block_file, say)
    taken = rows_of(wanted, block) if wanted else not_declined(records, block)
    needs_parent = without_asking or len(taken) < len(block.changes)
    before = parent_of(records, block, before_file) if needs_parent else None
    if before is not None and without_asking:
        taken = freely_taken(before, block, taken)
    made = take_changes(records, block, taken, before, reason)
    settle(records, block.trainee, "put a block in force", made.id, made)
    return made


def freely_taken(before: Block, block: Block, taken: Sequence[int]) -> tuple[int, ...]:
    """Of some changes those that may reach the trainee without the coach."""
    free = approvals(before, block, catalogue())
    return tuple(number for number in taken if free[number - 1] != "coach")


def take_changes(
    records: Records, block: Block, taken: Sequence[int], before: Block | None = None, reason: str = ""
) -> Block:
    """Keeps a block and puts it in force with some of its changes, by their rows; gives what is in force then.

    before : the block it was made from; it may be None where all changes are taken
    Raises InputFaults where it crosses a limit that was set since it was made; nothing is kept then.
    """
    count = len(block.changes)
    made = block if before is None or len(taken) == count else some_of(before, block, taken)
    crossed = newly_crossed(records, made, catalogue(), today()) if made.id != block.parent else []
    if crossed:
        hint = f"{crossed[-1].hint} {MADE_EARLIER}".strip()
        raise InputFaults([*crossed[:-1], replace(crossed[-1], hint=hint)])
    at = now_text()
    if before is not None and made is not block:
        records.keep_block(before, at)
    records.keep_block(block, at)
    if taken or not count:
        records.decide(Decision(block.trainee, block.id, "accepted", tuple(taken), at, reason))
    if made.id == block.parent:
        return made  # nothing was taken: what is in force stays
    records.keep_block(made, at)
    records.put_in_force(block.trainee, made.id, at, reason or "accepted")
    return made


def rows_of(text: str, block: Block) -> tuple[int, ...]:
    """The rows of the changes that a text like ``1,3-5`` names by the numbers a coach reads.

    Raises InputFaults where a number is no change's.
    """
    groups = change_groups(block)
    found: set[int] = set()
    for piece in text.replace(" ", "").split(","):
        first, dash, last = piece.partition("-")
        try:
            low, high = int(first), int(last) if dash else int(first)
        except ValueError:
            low, high = 0, 0
        if not 1 <= low <= high <= len(groups):
            many = f"numbers from 1 to {len(groups)}, like 2 or 1,3-4"
            raise InputFaults([Fault("--changes", "", repr(piece), many if groups else "nothing: it changes nothing")])
        found |= {row for group in groups[low - 1 : high] for row in group}
    return tuple(sorted(found))


def not_declined(records: Records, block: Block) -> tuple[int, ...]:
    """Numbers of the changes of a block that nobody declined; all of them where every one was declined before."""
    declined: set[int] = set()
    for one in records.decisions(block.trainee):
        if one.block == block.id:
            declined = declined | set(one.changes) if one.verdict == "declined" else declined - set(one.changes)
    everything = range(1, len(block.changes) + 1)
    return tuple(number for number in everything if number not in declined) or tuple(everything)


def parent_of(records: Records, block: Block, before_file: Path | None) -> Block:
    """The block that a revision was made from: the file named, else as it is kept."""
    if before_file is not None:
        before = load_block(before_file)
        if block.parent is not None and before.id != block.parent:
            raise InputFaults([Fault("--before", "", before.id, f"{block.parent}, which the revision was made from")])
        return before
    if block.parent is None:
        raise InputFaults([Fault("--changes", "", "a first revision", "a block that changes another")])
    try:
        return records.block(block.parent)
    except LookupError:
        hint = "Name the block it was made from with --before FILE."
        raise InputFaults([Fault("--changes", "", f"{block.parent} is not kept", "a kept block", hint)]) from None


def some_of(before: Block, block: Block, taken: Sequence[int]) -> Block:
    """The revision with only some of its changes, held against the hard rules.

    Raises InputFaults where what is left out cannot be: a restriction, missing equipment, the minutes of the day.
    """
    made = with_some(before, block, taken, catalogue())
    if made.id in (before.id, block.id):
        return made
    as_before = block_faults(before, "", catalogue())
    crossed = [one for one in block_faults(made, "", catalogue()) if one not in as_before]
    faults = [*forced_faults(block, taken, crossed), *minute_faults(before, made)]
    if faults:
        raise InputFaults(faults)
    return made


def forced_faults(block: Block, taken: Sequence[int], crossed: Sequence[Fault]) -> list[Fault]:
    """One fault for each change left out whose entry a hard rule closes; all else that is crossed, as it is."""
    faults = []
    for number, rows in enumerate(change_groups(block), start=1):
        change = block.changes[rows[0] - 1]
        names = {block.changes[row - 1].entry for row in rows if row not in taken}
        closed = next((one for one in crossed if one.found in names), None)
        if closed is not None:
            what = f"left out: {change.from_} -> {change.to}"
            allowed = f"changes with this one ({number}): a hard rule closes {closed.found}"
            faults.append(Fault("--changes", "", what, allowed, closed.hint))
    return faults or [replace(one, file="--changes") for one in crossed]


def minute_faults(before: Block, made: Block) -> list[Fault]:
    """Sessions that some of the changes make longer than there is time."""
    was = {(week.number, one.day): one.minutes for week in before.weeks for one in week.sessions}
    faults = []
    for week in made.weeks:
        for one in week.sessions:
            allowed = None if one.minutes_cap is None else max(one.minutes_cap, was.get((week.number, one.day), 0.0))
            if allowed is not None and one.minutes > allowed + 1e-6:
                path = f"week {week.number}, {one.day}"
                faults.append(Fault("--changes", path, f"{one.minutes:g} min", f"at most {allowed:g} min"))
    return faults


def decline_block(
    folder: Path, block_file: Path, reason: str, say: Say = silent, wanted: str = ""
) -> tuple[Block, tuple[int, ...]]:
    """Keeps a block and that it was declined, whole or some of its changes; gives their numbers too."""
    records = records_in(folder)
    block = named_block(records, block_file, say)
    at = now_text()
    changes = rows_of(wanted, block) if wanted else tuple(range(1, len(block.changes) + 1))
    records.keep_block(block, at)
    records.decide(Decision(block.trainee, block.id, "declined", changes, at, reason))
    settle(records, block.trainee, "declined changes", block.id)
    return block, changes


def declined_changes(folder: Path | None, trainee: str) -> tuple[Change, ...]:
    """The changes that the coach declined and did not accept later, in order."""
    return () if folder is None else declined_in(records_in(folder), trainee)


def declined_in(records: Records, trainee: str) -> tuple[Change, ...]:
    """The changes in some records that the coach declined and did not accept later, in order."""
    found: dict[tuple[object, ...], Change] = {}
    for one in records.decisions(trainee):
        try:
            rows = records.block(one.block).changes
        except (LookupError, InputFaults):
            continue  # what was decided about a file that is gone or was made by hand teaches nothing
        for number in one.changes:
            if not 1 <= number <= len(rows):
                continue
            change = rows[number - 1]
            if one.verdict == "declined":
                found[key_of(change)] = change
            else:
                found.pop(key_of(change), None)
    return tuple(found.values())


def key_of(change: Change) -> tuple[object, ...]:
    """What makes two proposed changes the same: where, what, and to what."""
    return (change.week, change.session, change.entry, change.to)


def write_block(block: Block, out: Path) -> None:
    """Writes a block as it is kept, into a folder as block.json or under the name of a file."""
    write_whole(out / "block.json" if out.suffix != ".json" else out, block_to_json(block))


def parent_in_force(records: Records, trainee: str) -> Block:
    """The revision before the one in force; LookupError where there is none."""
    current = records.current(trainee)
    if current is None:
        raise LookupError(f"no block is in force for {trainee!r}")
    if current.parent is None:
        raise LookupError(f"{current.id} is the first revision: there is nothing before it")
    return records.block(current.parent)


def step_back(records: Records, trainee: str, way_out: str = WAY_OUT) -> Block:
    """Puts the revision before the one in force back in force; LookupError where there is none.

    Raises InputFaults where it crosses a limit that holds now.
    """
    current, before = records.current(trainee), parent_in_force(records, trainee)
    assert current is not None
    put_again(records, before, f"undo of {current.id}", way_out)
    return before


def put_again(records: Records, block: Block, reason: str, way_out: str = WAY_OUT) -> None:
    """Puts a kept revision in force again. Raises InputFaults where it crosses a limit that holds now.

    way_out : what can be done then, in words
    """
    known = who_holds(records, block.trainee)
    if known is not None:
        faults = crossings(block, known, catalogue(), today(), f"revision {block.revision}")
        if faults:
            raise InputFaults([*faults[:-1], replace(faults[-1], hint=f"{faults[-1].hint} {way_out}".strip())])
    records.put_in_force(block.trainee, block.id, now_text(), reason)


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
