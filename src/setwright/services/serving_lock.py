"""Who works on a folder of data: servers share it, a restore wants it alone.

The lock lies on an open file and goes with the last process that holds it, also where that was killed.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from setwright.faults import Fault, InputFaults

LOCK_FILE = "in-use"


def hold_shared(folder: Path) -> int:
    """Holds the folder for a server, with all others; gives the open file, for those it starts to hold too.

    Raises InputFaults while a restore is at work there.
    """
    return hold(folder, fcntl.LOCK_SH, "a restore at work on it", "a folder that nothing restores into")


@contextmanager
def alone_with(folder: Path) -> Iterator[None]:
    """Holds the folder alone. Raises InputFaults where a server works on it."""
    held = hold(folder, fcntl.LOCK_EX, "a server at work on it", "a folder that no setwright serve uses")
    try:
        yield
    finally:
        os.close(held)


def hold(folder: Path, how: int, found: str, allowed: str) -> int:
    """An open file with a lock of one kind on it, inherited by processes that are started with it."""
    file = os.open(folder / LOCK_FILE, os.O_RDWR | os.O_CREAT, 0o600)
    os.set_inheritable(file, True)
    try:
        fcntl.flock(file, how | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(file)
        raise InputFaults([Fault(f"--records {folder}", "", found, allowed, "Stop it, then try again.")]) from None
    return file
