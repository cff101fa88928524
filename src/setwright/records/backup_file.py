"""A backup as one file: a ZIP archive whose manifest names every member with its length and SHA-256.

The comment of the archive is the SHA-256 of the manifest, so that a damaged manifest is known too. Nothing of a file
that is damaged anywhere is ever taken over: ``checked`` reads the whole of it first.
"""

from __future__ import annotations

import hashlib
import json
import os
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, Any

from setwright.faults import Fault, InputFaults

FORMAT = "setwright/backup/1"
MANIFEST = "manifest.json"
KINDS = ("sqlite", "tables", "files")
PIECE = 1 << 20
MOST_MANIFEST_BYTES = 100_000_000
BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    NotImplementedError,  # parts of the format that we never write
    RuntimeError,  # said to be encrypted
    ValueError,
    LookupError,
    OverflowError,
    OSError,  # a place before the beginning of the file
)


@dataclass(frozen=True)
class Manifest:
    """What a backup says of itself.

    kind : ``sqlite`` (a data base file), ``tables`` (rows as JSON lines, for every data base), ``files``
    steps : the steps of the tables that the data stand on; empty for files
    rows : how many rows each table has, or lines each file
    files : length and SHA-256 of every member
    """

    kind: str
    made_at: str
    version: str
    steps: tuple[str, ...]
    rows: Mapping[str, int]
    files: Mapping[str, tuple[int, str]]

    def as_bytes(self) -> bytes:
        """The manifest as it stands in the archive."""
        value = {
            "format": FORMAT,
            "kind": self.kind,
            "made_at": self.made_at,
            "version": self.version,
            "steps": list(self.steps),
            "rows": dict(self.rows),
            "files": {name: {"bytes": size, "sha256": digest} for name, (size, digest) in self.files.items()},
        }
        return json.dumps(value, indent=1).encode()


def write_backup(
    out: Path, members: Mapping[str, Path], kind: str, made_at: str, version: str, steps: tuple[str, ...], rows: Any
) -> Manifest:
    """Writes a backup whole or not at all, readable by its owner only; it is read again before it gets its name.

    members : the files by the names that they get in the archive
    """
    side = out.with_name(f".{out.name}.{os.getpid()}")
    try:
        made = os.open(side, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(made, "w+b") as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
                files = {name: pack(archive, name, path) for name, path in sorted(members.items())}
                manifest = Manifest(kind, made_at, version, steps, rows, files)
                archive.writestr(MANIFEST, manifest.as_bytes())
                archive.comment = hashlib.sha256(manifest.as_bytes()).hexdigest().encode()
            file.flush()
            os.fsync(file.fileno())
        checked(side)
        os.replace(side, out)
    finally:
        side.unlink(missing_ok=True)
    return manifest


def pack(archive: zipfile.ZipFile, name: str, path: Path) -> tuple[int, str]:
    """Puts a file into an archive; gives its length and SHA-256."""
    digest, size = hashlib.sha256(), 0
    with open(path, "rb") as source, archive.open(name, "w", force_zip64=True) as target:
        while piece := source.read(PIECE):
            digest.update(piece)
            size += len(piece)
            target.write(piece)
    return size, digest.hexdigest()


def damaged(file: Path, member: str, found: str) -> InputFaults:
    """The one fault of a backup that is not whole."""
    hint = "Nothing was changed. Take another backup."
    return InputFaults([Fault(str(file), member, found, "a whole backup as setwright backup wrote it", hint)])


@contextmanager
def opened(file: Path) -> Iterator[zipfile.ZipFile]:
    """The archive of a backup. Raises InputFaults where it is none, or breaks while it is read."""
    try:
        with zipfile.ZipFile(file) as archive:
            yield archive
    except InputFaults:
        raise
    except FileNotFoundError:
        raise InputFaults([Fault(str(file), "", "no such file", "a backup file")]) from None
    except (PermissionError, IsADirectoryError):
        raise
    except BROKEN as error:
        raise damaged(file, "", f"what can't be read ({str(error)[:80]})") from None


def checked(file: Path) -> Manifest:
    """The manifest of a backup, after every byte of every member was held against it.

    Raises InputFaults where anything is damaged, missing, or not of this format.
    """
    with opened(file) as archive:
        if {one.compress_type for one in archive.infolist()} - {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
            raise damaged(file, "", "a way of packing that we never write")
        manifest = manifest_of(file, archive)
        there = [one.filename for one in archive.infolist() if one.filename != MANIFEST]
        for name in sorted({*there} ^ {*manifest.files}):
            raise damaged(file, name, "a member that is not there" if name in manifest.files else "a stray member")
        if len(there) != len({*there}):
            raise damaged(file, "", "a member twice")
        for name, (size, digest) in manifest.files.items():
            if not is_safe(name):
                raise damaged(file, name, "a name that leads out of the folder")
            if measured(archive, name) != (size, digest):
                raise damaged(file, name, "a checksum that does not fit")
    return manifest


def manifest_of(file: Path, archive: zipfile.ZipFile) -> Manifest:
    """The manifest of an archive, itself checked by the archive's comment."""
    if MANIFEST not in archive.namelist() or archive.getinfo(MANIFEST).file_size > MOST_MANIFEST_BYTES:
        raise damaged(file, MANIFEST, "none, or one that is too long")
    raw = archive.read(MANIFEST)
    if archive.comment != hashlib.sha256(raw).hexdigest().encode():
        raise damaged(file, MANIFEST, "a checksum that does not fit")
    value = json.loads(raw)
    if value.get("format") != FORMAT or value.get("kind") not in KINDS:
        found = f"{value.get('format')!r}, kind {value.get('kind')!r}"
        raise InputFaults([Fault(str(file), f"{MANIFEST}: format", found, f"{FORMAT!r} of a kind this version knows")])
    files = {name: (int(one["bytes"]), str(one["sha256"])) for name, one in value["files"].items()}
    steps = tuple(str(one) for one in value["steps"])
    return Manifest(value["kind"], value["made_at"], value["version"], steps, value["rows"], files)


def is_safe(name: str) -> bool:
    """True for a name that stays below the folder it is unpacked in."""
    path = PurePosixPath(name)
    return bool(name) and not path.is_absolute() and ".." not in path.parts and "\\" not in name and "\0" not in name


def measured(archive: zipfile.ZipFile, name: str) -> tuple[int, str]:
    """Length and SHA-256 of a member as it is now."""
    digest, size = hashlib.sha256(), 0
    with archive.open(name) as source:
        while piece := source.read(PIECE):
            digest.update(piece)
            size += len(piece)
    return size, digest.hexdigest()


def unpack(file: Path, manifest: Manifest, folder: Path) -> None:
    """Unpacks every member below a folder, held against the manifest once more, on the disk when it returns."""
    with opened(file) as archive:
        for name, (size, digest) in manifest.files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with archive.open(name) as source, open(path, "wb") as target:
                found = copied(source, target)
            if found != (size, digest):
                raise damaged(file, name, "a checksum that does not fit")


def copied(source: IO[bytes], target: IO[bytes]) -> tuple[int, str]:
    """Copies all of a stream; gives its length and SHA-256."""
    digest, size = hashlib.sha256(), 0
    while piece := source.read(PIECE):
        digest.update(piece)
        size += len(piece)
        target.write(piece)
    target.flush()
    os.fsync(target.fileno())
    return size, digest.hexdigest()
