"""Files in and out: sizes checked before reading, nothing half-written, errors in one sentence."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import MOST_BYTES, decode_text

MOST_BLOCK_BYTES = 50_000_000


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """The bytes of a file, or one clear fault: not there, a folder, too big, not readable."""
    name = str(path)
    try:
        size = path.stat().st_size
        if path.is_dir():
            raise InputFaults([Fault(name, "", "a folder", "a file")])
        if size > most:
            raise InputFaults([Fault(name, "", f"{size / 1e6:.1f} MB", f"a file of at most {most / 1e6:g} MB")])
        return path.read_bytes()
    except FileNotFoundError:
        near = nearby(path)
        hint = f"Near it: {', '.join(near)}." if near else ""
        raise InputFaults([Fault(name, "", "no such file", "a file that exists", hint)]) from None
    except PermissionError:
        raise InputFaults([Fault(name, "", "a file that can't be read", "a readable file")]) from None


def nearby(path: Path) -> list[str]:
    """Files of the same ending in the same folder, at most five."""
    folder = path.parent
    if not folder.is_dir():
        return []
    return sorted(one.name for one in folder.iterdir() if one.suffix == path.suffix)[:5]


def read_text(path: Path, most: int = MOST_BYTES) -> str:
    """The text of a file, or one clear fault."""
    return decode_text(read_bytes(path, most), str(path), most)


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file in one step: the old one stays until the new one is on the disk."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, side = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
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


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Writes a set of files below a folder; every content exists before the first is written."""
    for name, data in files.items():
        write_whole(folder / name, data)
