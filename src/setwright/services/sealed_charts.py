"""Charts that know that they are ours and unaltered, so that a later review can clear away what it no longer draws.

A chart ends with a comment that names it and holds the digest of all that stands before. What lacks it, was altered, or
stands under another name is somebody else's by now, and stays.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection
from pathlib import Path

FOLDER = "charts"
SEAL = re.compile(rb"\n<!-- Setwright review: ([\w.-]+) ([0-9a-f]{16}) -->\n$")


def sealed(name: str, svg: str) -> bytes:
    """A chart with its seal; ``name``: that of its file, without the ending."""
    drawn = svg.rstrip("\n").encode()
    return drawn + f"\n<!-- Setwright review: {name} {digest_of(drawn)} -->\n".encode()


def digest_of(drawn: bytes) -> str:
    """Sixteen hex digits of the SHA-256 of a chart."""
    return hashlib.sha256(drawn).hexdigest()[:16]


def is_ours(path: Path) -> bool:
    """True for a chart as a review wrote it, under the name it was given."""
    if path.is_symlink() or not path.is_file():
        return False
    data = path.read_bytes()
    seal = SEAL.search(data)
    return seal is not None and seal[1].decode() == path.stem and seal[2].decode() == digest_of(data[: seal.start()])


def clear_old(folder: Path, kept: Collection[str]) -> tuple[str, ...]:
    """Takes away the charts of earlier reviews below a folder that are not among ``kept``; gives their names."""
    names = []
    for path in sorted((folder / FOLDER).glob("*.svg")):
        name = f"{FOLDER}/{path.name}"
        if name not in kept and is_ours(path):
            path.unlink()
            names.append(name)
    return tuple(names)
