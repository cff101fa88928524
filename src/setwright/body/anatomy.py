"""Joints, joint actions and muscle groups, as data.

Two ideas carry this module. One: every movement is a set of joint actions, each written `joint-action`
(`knee-extension`). Two: muscles are never typed beside an exercise, they follow from its actions
(see ``movers``).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType


@dataclass(frozen=True)
class JointAction:
    """One thing a joint can do, and who does it.

    ``movers`` maps a muscle group to its weight, 1 (prime), 0.5 or 0.25.
    ``usual_range_deg`` is (from, to) with zero at the anatomical position, or None where no angle is usual.
    """

    slug: str
    joint: str
    action: str
    movers: Mapping[str, float]
    usual_range_deg: tuple[float, float] | None = None
    also_called: str = ""
    note: str = ""
    source: str = ""


@dataclass(frozen=True)
class MuscleGroup:
    """A trainable group of muscles; ``roll_up`` is the coarser name that a coach reads."""

    slug: str
    label: str
    latin: str
    roll_up: str
    fma: tuple[str, ...] = ()
    note: str = ""


def _table(name: str) -> dict[str, dict[str, object]]:
    text = resources.files("setwright.body").joinpath("data", name).read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def joint_actions() -> Mapping[str, JointAction]:
    """All joint actions by slug (``knee-extension``)."""
    found: dict[str, JointAction] = {}
    for slug, row in _table("joint_actions.toml").items():
        usual = row.pop("usual_range_deg", None)
        movers = row.pop("movers")
        assert isinstance(movers, dict)
        found[slug] = JointAction(
            slug=slug,
            movers=MappingProxyType(dict(movers)),
            usual_range_deg=(float(usual[0]), float(usual[1])) if isinstance(usual, list) else None,
            **{key: str(value) for key, value in row.items()},
        )
    return MappingProxyType(found)


@cache
def muscle_groups() -> Mapping[str, MuscleGroup]:
    """All muscle groups by slug (``quads_vasti``)."""
    found: dict[str, MuscleGroup] = {}
    for slug, row in _table("muscle_groups.toml").items():
        fma = row.pop("fma", [])
        assert isinstance(fma, list)
        found[slug] = MuscleGroup(slug=slug, fma=tuple(fma), **{key: str(value) for key, value in row.items()})
    return MappingProxyType(found)


# What coaches call groups beside their labels (common practice, no published source).
TRADE_WORDS = MappingProxyType(
    {
        "quads": "quadriceps",
        "hams": "hamstrings",
        "calves": "calf",
        "pecs": "chest",
        "shoulders": "shoulder",
        "delts": "shoulder",
        "front delts": "delt_anterior",
        "side delts": "delt_lateral",
        "rear delts": "delt_posterior",
        "rotator cuffs": "rotator_cuff",
        "lower back": "erectors",
        "arms": "arm",
        "biceps": "elbow_flexors",
        "forearms": "forearm",
        "core": "trunk",
        "abs": "abdominals",
        "obliques": "obliques_ql",
    }
)


def muscle_named(word: str) -> str:
    """The group or coarse group that a word of the trade or a label names; the word itself where it names none."""
    labels = {group.label: slug for slug, group in muscle_groups().items()}
    return TRADE_WORDS.get(word) or labels.get(word, word)


@cache
def joints() -> tuple[str, ...]:
    """The joints, in the order of the data file."""
    return tuple(dict.fromkeys(action.joint for action in joint_actions().values()))
