"""The Old mill hall, all invented: four people with a written block each, and one rack between them."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import tomli_w

from setwright.cli.main import run

DAY = "2026-09-07"  # a Monday
PLACE: dict[str, Any] = {
    "id": "hall",
    "name": "Old mill hall",
    "invented": True,
    "bars": [{"kind": "barbell", "mass_kg": 20, "count": 1}],
    "plates": [{"mass_kg": kg, "pairs": 2} for kg in (20, 10, 5, 2.5)],
    "dumbbells": [{"from_kg": 4, "to_kg": 20, "step_kg": 2, "pairs": 2}],
    "stacks": [
        {"kind": "cable", "first_kg": 5, "step_kg": 5, "last_kg": 80, "count": 2},
        {"kind": "machine:leg_extension", "first_kg": 5, "step_kg": 5, "last_kg": 80},
    ],
    "fixtures": {"rack": 1, "bench": 4, "step": 2},
}
LINES = {
    "Edda Morn": ["back squat 3 x 5 @ RPE 7, rest 3 min", "leg extension 3 x 10 @ RPE 8, rest 90 s"],
    "Falk Terrin": ["back squat 3 x 5 @ RPE 7, rest 3 min", "cable row 3 x 10 @ RPE 8, rest 90 s"],
    "Gesa Wrobel": ["dumbbell bench press 3 x 8 @ RPE 8, rest 2 min", "leg extension 3 x 10 @ RPE 8, rest 90 s"],
}


RESTRICTED = "Hanno Quist"
SAYS = "right elbow pulling"


def build_hall(folder: Path) -> None:
    """Writes the place, the people, and a block for each into a folder."""
    (folder / "hall.toml").write_text(tomli_w.dumps(PLACE), encoding="utf-8")
    for name, lines in {**LINES, RESTRICTED: ["leg extension 3 x 10 @ RPE 8, rest 90 s"]}.items():
        first = name.split()[0].lower()
        person: dict[str, Any] = {
            "id": first,
            "name": name,
            "birth_year": 1990,
            "body_mass_kg": 70,
            "stature_cm": 172,
            "training_years": 3,
            "invented": True,
            "screening": {"active_now": True, "known_disease": False, "signs_or_symptoms": False},
            "days": [{"day": "mon", "minutes": 90, "place": "hall"}],
        }
        if name == RESTRICTED:
            person["restrictions"] = [{"says": SAYS, "set_by": "physiotherapist (invented)", "since": date(2026, 8, 1)}]
        (folder / f"{first}.toml").write_text(tomli_w.dumps(person), encoding="utf-8")
        text = f"Block: {name}\n1 week\n\nMonday, 90 min, hall\nMain\n" + "\n".join(lines) + "\n"
        (folder / f"{first}.txt").write_text(text, encoding="utf-8")
        files = [str(folder / f"{first}.toml"), str(folder / f"{first}.txt")]
        assert run(["write", *files, "--start", DAY, "--out", str(folder / first)]) == 0, text
