"""Files in and out: sizes checked before reading, nothing half-written, errors in one sentence.

A filled-in log is work of the coach: it is never overwritten.
"""

from __future__ import annotations

import codecs
import os
import sys
import tempfile
from collections.abc import Collection, Mapping
from pathlib import Path, PurePosixPath

from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import MOST_BYTES, decode_text

MOST_BLOCK_BYTES = 50_000_000


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """The bytes of a file, or of standard input where the path is ``-``.

    One clear fault where it is not there, a folder, too big or not readable.
    """
    name = str(path)
    if name == "-":
        data = sys.stdin.buffer.read(most + 1)
        if len(data) > most:
            found = f"more than {most / 1e6:g} MB"
            raise InputFaults([Fault("standard input", "", found, f"at most {most / 1e6:g} MB")])
        return data
    try:
        size = path.stat().st_size
        if path.is_dir():
            raise InputFaults([Fault(name, "", "a folder", "a file")])
        if size > most:
            raise InputFaults([Fault(name, "", f"{size / 1e6:.1f} MB", f"a file of at most {most / 1e6:g} MB")])
        return path.read_bytes()
    except InputFaults:
        raise
    except FileNotFoundError:
        near = nearby(path)
        hint = f"Near it: {', '.join(near)}." if near else ""
        raise InputFaults([Fault(name, "", "no such file", "a file that exists", hint)]) from None
    except PermissionError:
        raise InputFaults([Fault(name, "", "a file that can't be read", "a readable file")]) from None
    except (OSError, ValueError) as error:
        raise InputFaults([Fault(name, "", reason_of(error), "a readable file")]) from None


def nearby(path: Path) -> list[str]:
    """Files of the same ending in the same folder, at most five."""
    folder = path.parent
    if not folder.is_dir():
        return []
    return sorted(one.name for one in folder.iterdir() if one.suffix == path.suffix and one.is_file())[:5]


def reason_of(error: Exception) -> str:
    """Why the machine refused, in its words, lower case."""
    text = getattr(error, "strerror", None) or str(error)
    return str(text)[:1].lower() + str(text)[1:]


SAVE_AS = "Save it again as UTF-8: in a spreadsheet, Save as, CSV UTF-8."


def read_text(path: Path, most: int = MOST_BYTES) -> str:
    """The text of a file, or one clear fault; UTF-16 that says so is read too, as spreadsheets write it."""
    data, name = read_bytes(path, most), str(path)
    unit = "row" if path.suffix in (".csv", ".tsv") else "line"
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        try:
            return data.decode("utf-16")
        except UnicodeDecodeError:
            raise InputFaults([Fault(name, "", "broken UTF-16", "a text file in UTF-8", SAVE_AS)]) from None
    if len(data) >= 4 and (not any(data[1:200:2]) or not any(data[0:200:2])):
        raise InputFaults([Fault(name, "", "UTF-16", "a text file in UTF-8", SAVE_AS)])
    if b"\0" not in data:
        try:
            data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            number = data.count(b"\n", 0, error.start) + 1
            line = data[data.rfind(b"\n", 0, error.start) + 1 :].split(b"\n", 1)[0].decode("latin-1").strip()
            shown = line if len(line) <= 40 else line[:37] + "..."
            found = f"a byte that is no UTF-8, in {shown!r}"
            raise InputFaults([Fault(name, f"{unit} {number}", found, "a text file in UTF-8", SAVE_AS)]) from None
    return decode_text(data, name, most)


def make_folder(folder: Path) -> None:
    """Makes a folder where there is none, or one clear fault: a file is in the way, or it can't be written."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        taken = next((one for one in (folder, *folder.parents) if one.is_file()), folder)
        raise InputFaults([Fault(str(taken), "", "a file", "a folder to write into")]) from None
    except (OSError, ValueError) as error:
        found = f"a folder that can't be made ({reason_of(error)})"
        raise InputFaults([Fault(str(folder), "", found, "a folder to write into")]) from None


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file in one step: the old one stays until the new one is on the disk."""
    make_folder(path.parent)
    if path.is_dir():
        raise InputFaults([Fault(str(path), "", "a folder", "a file to write")])
    try:
        handle, side = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    except OSError as error:
        found = f"a folder that can't be written to ({reason_of(error)})"
        raise InputFaults([Fault(str(path.parent), "", found, "a folder to write into")]) from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(side, 0o644)
        os.replace(side, path)
    except BaseException:
        Path(side).unlink(missing_ok=True)
        raise


def is_log_to_fill(name: str) -> bool:
    """True for the logs of a block that a coach fills in: ``logs/week-01.csv``."""
    path = PurePosixPath(name)
    return path.suffix == ".csv" and path.parent.name == "logs"


def write_all(
    folder: Path, files: Mapping[str, bytes], blanks: Mapping[str, Collection[bytes]] | None = None
) -> dict[str, str]:
    """Writes a set of files below a folder; every content exists before the first is written.

    blanks : logs as they were handed out before, by name: one that is still like that was not filled in
    A log that is there and differs from the blank ones is never overwritten: the new blank log goes beside it.
    Gives the logs that were kept, with the name of the blank one beside.
    """
    make_folder(folder)
    kept: dict[str, str] = {}
    for name, data in files.items():
        target = name
        if is_log_to_fill(name):
            target = free_name(folder, name, data, (blanks or {}).get(name, ()))
            if target != name:
                kept[name] = target
        write_whole(folder / target, data)
    return kept


def free_name(folder: Path, name: str, data: bytes, blanks: Collection[bytes]) -> str:
    """The name itself, or the next one with a number where a file stands that somebody may have filled in."""
    stem = name.removesuffix(".csv")
    number, target = 1, name
    while (folder / target).exists() and (folder / target).read_bytes() not in (data, *blanks):
        number += 1
        target = f"{stem}-{number}.csv"
    return target
