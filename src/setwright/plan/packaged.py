"""The files of data that come with the plan room."""

from __future__ import annotations

from functools import cache
from importlib import resources


@cache
def packaged_files(folder: str) -> tuple[tuple[str, str], ...]:
    """Path and text of every TOML file of a folder of ``plan/data``, by name."""
    place = resources.files("setwright.plan").joinpath("data", folder)
    names = sorted(one.name for one in place.iterdir() if one.name.endswith(".toml"))
    return tuple((f"{folder}/{name}", place.joinpath(name).read_text(encoding="utf-8")) for name in names)
