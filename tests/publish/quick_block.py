"""The block that the invented coach wrote, for people of the demo: what formats, pages and verbs are tried on."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

from setwright.plan.block import Block
from setwright.services.deeds import write

DATA = Path(__file__).resolve().parents[2] / "src" / "setwright" / "services" / "demo_data"


@cache
def quick_block(name: str) -> Block:
    """The written block of the demo, dosed and fitted for a person of the demo; nothing is searched."""
    return write(DATA / "people" / f"{name}.toml", DATA / "blocks" / "station_evening.txt", date(2026, 9, 7))
