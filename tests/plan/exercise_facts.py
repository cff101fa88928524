"""What the checker of the hard rules knows of exercises: the catalogue files read anew, with nothing of setwright.

One idea: a mistake of the catalogue's own reader, or of what it derives, must not hide in the checker too.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

DATA = Path(__file__).parents[2] / "src" / "setwright"
WORTH = {"prime": 1.0, "secondary": 0.5, "held": 0.25}


LYING = {"supine": ("lying-on-back",), "prone": ("lying-on-front",)}


@dataclass(frozen=True)
class Facts:
    """One exercise as its file says it; ``uses`` are (joint, action, role), angles are degrees."""

    slug: str
    base: str
    pattern: str
    uses: tuple[tuple[str, str, str], ...]
    mode: str
    laterality: str
    body_position: str
    support: str
    spine: str
    positions: frozenset[str]
    angles: dict[str, float]
    crop: tuple[str, ...]
    grip: int
    impact: int
    skill: int
    rep_s: float
    means: str
    capacity: int
    measured_in: str
    options: tuple[frozenset[str], ...]
    parts: tuple[str, ...]
    dials: dict[str, Any] = field(default_factory=dict)

    def works(self, joint: str, actions: tuple[str, ...] | list[str] = ()) -> bool:
        """True when the exercise moves a joint, by one of some actions or by any."""
        return any(
            self.is_at(joint, where, role) and role != "held" and (not actions or action in actions)
            for where, action, role in self.uses
        )

    def is_prime(self, joint: str) -> bool:
        """True when the exercise is for a joint."""
        return any(where == joint and role == "prime" for where, _, role in self.uses)

    def touches(self, joint: str) -> bool:
        """True when a joint works or holds."""
        return any(self.is_at(joint, where, role) for where, _, role in self.uses)

    def is_at(self, joint: str, where: str, role: str) -> bool:
        """True when work counts to a joint: turning the hand, done by the forearm, counts to the wrist."""
        return where == joint or (joint == "wrist" and where == "forearm" and role == "prime")

    @property
    def counts_each_side(self) -> bool:
        return self.laterality in ("one", "one-side-load")


def merged(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """A layer over a table: tables key by key, all else replaced."""
    made = dict(under)
    for key, value in over.items():
        both = isinstance(value, dict) and isinstance(made.get(key), dict)
        made[key] = merged(made[key], value) if both else value
    return made


def facts_of(slug: str, base: str, raw: dict[str, Any]) -> Facts:
    """The facts of one table."""
    known = joint_actions()
    form, load = raw["form"], raw["load"]
    uses = []
    for role in ("prime", "secondary", "held"):
        for name in raw["actions"].get(role, ()):
            joint = known[name]["joint"]
            uses.append((joint, name.removeprefix(f"{joint}-"), role))
    return Facts(
        slug=slug,
        base=base,
        pattern=raw["pattern"],
        uses=tuple(uses),
        mode=form["mode"],
        laterality=form["laterality"],
        body_position=form["body_position"],
        support=form["support"],
        spine=form.get("spine", "neutral"),
        positions=frozenset((*form.get("positions", ()), *LYING.get(form["body_position"], ()))),
        angles={motion: float(deg) for motion, deg in form.get("max_angles", {}).items()},
        crop=tuple(form.get("crop", ())),
        grip=form.get("grip", 0),
        impact=form.get("impact", 0),
        skill=form["skill"],
        rep_s=float(form.get("rep_s", 4.0)),
        means=load["means"],
        capacity=load["capacity"],
        measured_in=load["measured_in"],
        options=tuple(frozenset(one) - {"none"} for one in load["equipment"]) or (frozenset(),),
        parts=tuple(raw["use"]["parts"]),
        dials=dict(raw.get("dials", {})),
    )


@cache
def joint_actions() -> dict[str, Any]:
    """The table of joint actions with the muscles that drive them."""
    return tomllib.loads((DATA / "body" / "data" / "joint_actions.toml").read_text("utf-8"))


@cache
def implied() -> dict[str, list[str]]:
    """What one piece of equipment is good for besides itself."""
    table = tomllib.loads((DATA / "catalogue" / "data" / "equipment.toml").read_text("utf-8"))
    return dict(table["implies"])


@cache
def all_facts() -> dict[str, Facts]:
    """Every exercise and variant of the packaged files, by slug."""
    found: dict[str, Facts] = {}
    for file in sorted((DATA / "catalogue" / "data" / "exercises").rglob("*.toml")):
        raw = tomllib.loads(file.read_text("utf-8"))
        layers = raw.pop("variant", [])
        found[file.stem] = facts_of(file.stem, file.stem, raw)
        for layer in layers:
            found[layer["slug"]] = facts_of(layer["slug"], file.stem, merged(raw, layer))
    return found


# A muscle that one action stretches while it works in the other counts for a quarter of it at most.
STRETCHES = {
    ("rectus_femoris", "knee-extension"): "hip-extension",
    ("rectus_femoris", "hip-flexion"): "knee-flexion",
    ("hamstrings", "hip-extension"): "knee-extension",
    ("hamstrings", "knee-flexion"): "hip-flexion",
    ("gastrocnemius", "knee-flexion"): "ankle-dorsiflexion",
}


@cache
def counted(slug: str) -> dict[str, float]:
    """What one set counts for each muscle: 1 or 0.5, by the rules that ``body.movers`` and the glossary state."""
    one = all_facts()[slug]
    if one.mode in ("active-mobility", "cyclic") or one.capacity == 0:
        return {}
    role_of: dict[str, float] = {}
    for joint, action, role in one.uses:
        name = f"{joint}-{action}"
        role_of[name] = max(WORTH[role], role_of.get(name, 0.0))
    moves = one.mode in ("dynamic", "concentric", "lowering", "loaded-mobility")
    knee_moves = moves and any(joint == "knee" and role != "held" for joint, _, role in one.uses)
    bent_knee = not knee_moves and one.angles.get("knee-flexion", 0.0) >= 60.0
    value: dict[str, float] = {}
    for name, role in role_of.items():
        for muscle, weight in joint_actions()[name]["movers"].items():
            worth = role * weight
            stretcher = STRETCHES.get((muscle, name), "")
            if stretcher in role_of:
                worth *= 1.0 - 0.75 * min(1.0, role_of[stretcher] / role)
            if muscle == "gastrocnemius" and name == "ankle-plantar-flexion" and bent_knee:
                worth *= 0.25
            value[muscle] = max(worth, value.get(muscle, 0.0))
    half_from = 0.75 if one.pattern == "anti_rotation" else 0.375  # arms that bring the handle out count for nothing
    return {m: 1.0 if worth >= 0.75 else 0.5 for m, worth in value.items() if worth >= half_from}
