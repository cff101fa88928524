"""What a place can have, and what one thing implies: a real bench is also a chair to sit on."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType


@dataclass(frozen=True)
class EquipmentWords:
    """The known equipment tokens with their words, what each implies, and what is everywhere."""

    words: Mapping[str, str]
    implies: Mapping[str, tuple[str, ...]]
    everywhere: frozenset[str]


@cache
def equipment() -> EquipmentWords:
    """The packaged list of equipment."""
    text = resources.files("setwright.catalogue").joinpath("data", "equipment.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    return EquipmentWords(
        words=MappingProxyType(dict(data["tokens"])),
        implies=MappingProxyType({token: tuple(more) for token, more in data["implies"].items()}),
        everywhere=frozenset(data["everywhere"]),
    )


def expand_tokens(tokens: Iterable[str]) -> frozenset[str]:
    """The tokens with all that they imply, and what is everywhere.

    >>> sorted(expand_tokens({"bench"}))
    ['bench', 'chair_bench', 'none', 'wall']
    """
    words = equipment()
    found: set[str] = set()
    open_tokens = [*tokens, *words.everywhere]
    while open_tokens:
        token = open_tokens.pop()
        if token not in found:
            found.add(token)
            open_tokens += words.implies.get(token, ())
    return frozenset(found)


def in_words(token: str) -> str:
    """The token as one would say it (``machine:leg_press`` is "leg press")."""
    return equipment().words.get(token, token.replace("_", " "))
