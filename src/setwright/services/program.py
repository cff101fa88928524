"""Which program counted something: what is kept as counted is counted anew after an update."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from pathlib import Path

import setwright

ROOMS = ("body", "catalogue", "people", "strength", "dose", "plan", "review", "publish", "services")


@cache
def program_mark() -> str:
    """The version, and a digest of the rooms that count: it tells two states of one version apart. Read once."""
    return f"{setwright.__version__}+{digest_of(Path(setwright.__file__).parent)}"


def digest_of(home: Path) -> str:
    """Eight letters that change with any file of the rooms that count; a page of the web changes nothing."""
    found = sha256()
    for room in ROOMS:
        for file in sorted((home / room).rglob("*")):
            if file.suffix in (".py", ".toml", ".json"):
                found.update(file.relative_to(home).as_posix().encode() + b"\0" + file.read_bytes())
    return found.hexdigest()[:8]
