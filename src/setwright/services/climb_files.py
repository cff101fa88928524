"""The climb as a page: every step that is left with its figure, how much harder it is, and when it is likely."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from setwright.publish.figure import entry_figure
from setwright.publish.page import fill
from setwright.review.climb import ClimbAhead, StepAheadOfYou
from setwright.services.climbing import LIMITED, SAID, climb_json, harder_words, notes_of, percent, step_name, when
from setwright.services.files import write_all
from setwright.services.gather import catalogue


def climb_files(found: Sequence[ClimbAhead], who: str = "", home: str = "") -> dict[str, bytes]:
    """The page and the numbers by name; ``home``: where the way back leads, none where empty."""
    page = fill("climb.html", title="The climb", sub=who, home=home, climbs=[page_of(one) for one in found])
    numbers = json.dumps(climb_json(found), ensure_ascii=False, indent=1) + "\n"
    return {"climb.html": page.encode(), "climb.json": numbers.encode()}


def write_climbs(found: Sequence[ClimbAhead], out: Path, who: str = "") -> int:
    """Writes the files into a folder, all made before the first is written; gives how many."""
    files = climb_files(found, who)
    write_all(out, files)
    return len(files)


def page_of(one: ClimbAhead) -> dict[str, Any]:
    """One climb as the page shows it."""
    known, stands = catalogue(), one.standing
    way = f", by {stands.branch}" if stands.branch else ""
    verdict = SAID[stands.verdict]
    if stands.exercise and stands.exercise != stands.step.exercise:
        verdict += f", to {known.get(stands.exercise).name}"
    lines = [f"{verdict}: {stands.why.rstrip('.')}."]
    if stands.evidence:
        lines.append(f"Log: {stands.evidence}.")
    if stands.stopped:
        lines.append(stands.asks)
    if one.dose is not None:
        lines.append(f"Next time: {one.dose.words}.")
    top = one.steps[-1]
    goes_on = stands.verdict not in ("top reached", "closed")
    by = [] if one.asked is None else [f"by {one.asked.isoformat()}"]
    return {
        "title": f"{stands.climb.title}{way}",
        "stands": f"Step {stands.place} of {len(stands.way)}: {known.get(stands.step.exercise).name}",
        "lines": lines,
        "top": f"Top, {known.get(top.step.exercise).name}: {when(top.dates)}."
        if goes_on and len(one.steps) > 1
        else "",
        "heads": [*(f"{weeks} weeks" for weeks in one.checkpoints), *by],
        "steps": [step_of(row, row.step.number == stands.step.number) for row in one.steps] if goes_on else [],
        "notes": [note.strip() for note in notes_of(one) if note.strip()],
    }


def step_of(row: StepAheadOfYou, now: bool) -> dict[str, Any]:
    """One step as the page shows it."""
    known = catalogue()
    exercise = known.get(row.step.exercise)
    lines = []
    if row.between:
        ways = "; or ".join(f"{known.get(b.exercise).name} with {b.words}" for b in row.between)
        lines.append(f"In between: {ways}.")
    if row.limited:
        lines.append(f"{LIMITED[:1].upper()}{LIMITED[1:]} {row.limited}.")
    if row.closed:
        aside = ", ".join(known.get(slug).name for slug in row.sideways) or "nothing that is open"
        lines.append(f"Closed here: {' '.join(row.closed)} Sideways: {aside}.")
    shares = [*row.chances, *(() if row.chance_asked is None else (row.chance_asked,))]
    said = harder_words(row)
    return {
        "number": row.place,
        "name": step_name(row.step.exercise, row.step.dials),
        "now": now,
        "test": f"{row.step.exit_test.rstrip('.')}, in {row.step.exit_sessions} sessions.",
        "figure": entry_figure(exercise),
        "harder": f"{said[:1].upper()}{said[1:]}." if said else "",
        "chances": [percent(share) for share in shares],
        "when": f"{when(row.dates)[:1].upper()}{when(row.dates)[1:]}.",
        "lines": lines,
    }
