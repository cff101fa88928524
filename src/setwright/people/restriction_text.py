"""From "my elbow is sore" to a restriction: what it closes, and what is wanted there instead.

The defaults of each joint are data (``data/restrictions.toml``), common practice, no published source; who
coaches or treats the person changes them.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import resources
from typing import Any

from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Restriction

CLINICIAN = "Ask a licensed clinician when it is sharp, numb, swollen or not better in a week."


@cache
def defaults() -> dict[str, Any]:
    """What a sore joint closes by default, as packaged."""
    text = resources.files("setwright.people").joinpath("data", "restrictions.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def joint_words() -> dict[str, str]:
    """Every word that names a joint, to the joint."""
    return {word: joint for joint, row in defaults()["joint"].items() for word in (joint, *row["words"])}


def parse_restriction(text: str, file: str = "restriction") -> Restriction:
    """A restriction from a few plain words.

    Understood: a joint, with or without a side (``left elbow``), what it must not do (``elbow pulling``,
    ``knee flexion over 60``), a kind (``isometric only``), or one of the sayings of the trade (``no overhead``,
    ``no hangs``, ``no impact``, ``no hard grip``, ``no flexed spine``). Anything else is a fault that says so.
    """
    words = re.sub(r"[^a-z0-9.°-]+", " ", text.lower()).strip()
    if not words:
        raise InputFaults([Fault(file, "", "nothing", "a joint, like: elbow, left knee, knee flexion over 60")])
    identity = re.sub(r"[^a-z0-9]+", "-", words).strip("-")
    for saying, row in defaults()["saying"].items():
        if saying in words:
            fields = {key: value for key, value in row.items() if key != "joint"}
            return made(identity, row["joint"], fields, text)
    tokens = words.split()
    joint = next((joint_words()[token] for token in tokens if token in joint_words()), None)
    if joint is None:
        joint = next((joint_words()[token[:-1]] for token in tokens if token[:-1] in joint_words()), None)
    if joint is None:
        proposals = [one for token in tokens for one in nearest(token, joint_words(), 1)]
        hint = f"Nearest: {', '.join(dict.fromkeys(proposals))}." if proposals else ""
        known = ", ".join(sorted(defaults()["joint"]))
        raise InputFaults([Fault(file, "", repr(text), f"words that name a joint ({known}) or a saying", hint)])
    row = dict(defaults()["joint"][joint])
    row.pop("words")
    side = "left" if "left" in tokens else "right" if "right" in tokens else "both"
    row["side"] = side
    angle = re.search(r"(over|above|beyond|past|more than)\s+(\d+(?:\.\d+)?)", words)
    if angle:
        motion = motion_of(joint, words)
        limit = float(angle.group(2))
        if not 0 <= limit <= 180:
            raise InputFaults([Fault(file, "", f"{limit:g} degrees", "an angle from 0 to 180 degrees")])
        closed = [position for position, least in POSITION_ANGLES.get(motion, ()) if least > limit]
        return made(
            identity,
            joint,
            {"level": "hard", "max_angles": {motion: limit}, "positions": closed, "side": side, "wanted": []},
            text,
            reason=f"{motion.replace('-', ' ')} under load to {limit:g} degrees at most",
        )
    if re.search(r"isometric|holds? only|only holds?", words):
        row.update(level="none", wanted=["holds"], actions=[])
        return made(identity, joint, row, text)
    for word, actions in defaults()["action"].get(joint, {}).items():
        if word in words:
            row["actions"] = actions
    return made(identity, joint, row, text)


# Held positions that need a motion up to an angle: a lower limit closes them.
POSITION_ANGLES: dict[str, tuple[tuple[str, float], ...]] = {
    "knee-flexion": (("deep-squat", 110.0), ("kneeling", 90.0)),
    "shoulder-elevation": (("hands-overhead", 120.0), ("hang", 150.0)),
}


def motion_of(joint: str, words: str) -> str:
    """The motion that an angle limits: flexion of most joints, elevation of the shoulder."""
    if joint == "shoulder":
        return "shoulder-elevation"
    if joint == "ankle":
        return "ankle-dorsiflexion"
    if "extension" in words and joint in ("wrist", "trunk", "neck"):
        return f"{joint}-extension"
    return f"{joint}-flexion"


def made(identity: str, joint: str, row: dict[str, Any], text: str, reason: str = "") -> Restriction:
    """The restriction of a table row."""
    return Restriction(
        id=identity,
        joint=joint,
        side=row.get("side", "both"),
        actions=tuple(row.get("actions", ())),
        level=row.get("level", "none"),
        max_angles={key: float(value) for key, value in row.get("max_angles", {}).items()},
        positions=tuple(row.get("positions", ())),
        grip_max=row.get("grip_max"),
        impact_max=row.get("impact_max"),
        spine=tuple(row.get("spine", ())),
        wanted=tuple(row.get("wanted", ())),
        reason=reason or row.get("reason", "") or text.strip(),
        set_by="",
    )
