"""Rooms as they usually are, to start a place from: a coach changes what differs. Common practice, no source."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any

ROOMS = ("garage", "gym", "home", "hotel", "park")


def starting_places() -> list[tuple[str, str]]:
    """Each room as its word and what is in it."""
    return [(room, str(read(room)["says"])) for room in ROOMS]


def starting_place(room: str, unit: str) -> dict[str, Any]:
    """The tables of a room in kg or lb; empty for an unknown one."""
    if room not in ROOMS:
        return {"unit": unit}
    found = read(room)
    tables = {**found["place"], **found.get(unit, {})}
    return {"name": found["name"], "unit": unit, **tables}


def read(room: str) -> dict[str, Any]:
    """A room as packaged."""
    path = resources.files("setwright.services").joinpath("starting_places_data", f"{room}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))
