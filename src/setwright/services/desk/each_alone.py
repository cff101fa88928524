"""Things that a phone sends many of at once: each is kept or refused alone, so that one fault holds up no other."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from setwright.faults import Fault, InputFaults


def keep_each(
    some: Sequence[Mapping[str, Any]], what: str, most: int, keep: Callable[[Mapping[str, Any]], None]
) -> tuple[list[str], dict[str, str]]:
    """The ids that are kept now, and the faults of the others.

    some : each with ``id``
    what : their name in an error, as "notes"
    keep : keeps one, or raises InputFaults with all of its faults
    Raises InputFaults for more than can come at once.
    """
    if len(some) > most:
        raise InputFaults([Fault(what, "", f"{len(some)} {what}", f"at most {most} at once")])
    kept: list[str] = []
    refused: dict[str, str] = {}
    for one in some:
        key = str(one.get("id", ""))
        try:
            keep(one)
        except InputFaults as error:
            refused[key] = "; ".join(fault.sentence() for fault in error.faults)
        else:
            kept.append(key)
    return kept, refused
