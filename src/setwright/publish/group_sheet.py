"""One sheet for a whole group: today's session of each person side by side, with loads and room to tick; page and PDF.

Unlike a timetable of the floor (``floor_report``) nobody waits for anybody here: each person has their own column.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import product
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block, Entry, Session, Week
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED
from setwright.plan.pace import pace_of
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.bout_words import heading_text, score_label
from setwright.publish.page import figures_of, fill
from setwright.publish.sheet import FOOT, Paper, figure_data, pages_of, plates_of, typeset
from setwright.publish.units import Unit

SIZES = (9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
LEAST_SIZE = 6.0  # pt; smaller nobody reads on a floor
MOST_BOXES = 8
FIGURE_MM = 0.075  # of paper for a px of a figure
LEAST_WITH_FIGURES, MOST_GIVEN = 7.0, 1.0  # pt: words are made no smaller for the sake of figures


@dataclass(frozen=True)
class Participant:
    """Somebody of the group with what they do that day; ``moved_from``: the day it was planned for, if another."""

    label: str
    block: Block
    week: Week
    session: Session
    moved_from: date | None = None


def group_data(
    people: Sequence[Participant], on: date, catalogue: Catalogue, unit: Unit | None = None
) -> dict[str, Any]:
    """The group of a day in ready sentences. unit : of all loads; that of each place when None."""
    return {
        "title": f"{DAY_NAMES[day_of(on)]}, {words.date_text(on)}",
        "sub": words.counted(len(people), "person", "people"),
        "people": [person_data(one, catalogue, unit) for one in people],
    }


def day_of(on: date) -> str:
    """The weekday of a date as blocks name it."""
    return list(DAY_NAMES)[on.weekday()]


def person_data(one: Participant, catalogue: Catalogue, unit: Unit | None) -> dict[str, Any]:
    """One column: who, how long, the warm-up in a line, every entry."""
    session, shown = words.spoken_session(one.block, one.session, unit)
    sub = f"{one.session.minutes:.0f} min, {words.effort_of_lifts(one.session)}"
    if one.moved_from is not None:
        sub += f"; planned for {words.date_text(one.moved_from)}"
    warm = [entry for part in session.parts if part.part == "warm-up" for entry in part.entries]
    rows = []
    for part in session.parts:
        if part.part == "warm-up":
            continue
        for group in groups_of(part.entries):
            for entry in group:
                row = entry_data(entry, catalogue, shown, part.part == "conditioning")
                if entry.bout is not None and entry is group[0]:
                    row["bout"] = heading_text(entry.bout, catalogue)
                if entry.bout is not None and entry is group[-1]:
                    row["score"] = score_label(entry.bout, catalogue)
                rows.append(row)
    warm_up = "; ".join(warm_text(entry, catalogue) for entry in warm)
    return {"label": one.label, "sub": sub, "warm_up": warm_up, "entries": rows}


def warm_text(entry: Entry, catalogue: Catalogue) -> str:
    """A warm-up movement with its dose."""
    text = words.asks_text(entry) if entry.working_sets else ""
    return f"{words.name_of(entry.exercise, catalogue)} {text.removeprefix('1 x ')}".strip()


def entry_data(entry: Entry, catalogue: Catalogue, unit: Unit, quiet: bool) -> dict[str, Any]:
    """One entry: name, dose, load with what to take, effort, rest, and a box to tick for each set."""
    working = entry.working_sets
    first = working[0] if working else None
    effort = pace_of(entry, catalogue) if first is None or quiet else words.efforts_text(working)
    line = [effort] if effort else []
    if first is not None and first.rest_s and words.rests_alone(entry):
        line.append(f"rest {words.rest_text(first.rest_s)}")
    if first is not None and first.tempo:
        line.append(f"tempo {first.tempo}")
    name = words.name_of(entry.exercise, catalogue)
    takes = words.take_text(working) if first is not None and first.load_kg else ""
    return {
        "exercise": entry.exercise,
        "letter": entry.superset or "",
        "bout": "",
        "score": "",
        "name": name[:1].upper() + name[1:],
        "dials": words.dial_text(entry),
        "asks": words.asks_text(entry) if working else "",
        "load": words.loads_text(working, unit),
        "take": takes,
        "plates": [] if first is None else plates_of(first.pieces, unit),
        "ramp": words.ramp_text(entry, unit),
        "line": ", ".join(line),
        "careful": " ".join(entry.cautions),
        "boxes": min(MOST_BOXES, len(working)) if is_ticked(entry, quiet) else 0,
    }


def is_ticked(entry: Entry, quiet: bool) -> bool:
    """True for what has a box for each set or piece; a bout with a score has that, other easy work has none."""
    return not quiet if entry.bout is None else like(entry.bout) not in SHARED


def group_html(data: dict[str, Any], catalogue: Catalogue) -> str:
    """The sheet as a page that stands alone: side by side on a desk, one below the other on a phone."""
    people = [{**one, "entries": [dict(entry) for entry in one["entries"]]} for one in data["people"]]
    return fill("group.html", **{**data, "people": people}, figures=figures_of(people, catalogue))


def group_pdf(data: dict[str, Any], catalogue: Catalogue, paper: Paper = "a4") -> bytes:
    """The sheet on one page in the largest type that fits, across or upright; where none does, on as few as it takes.

    Figures stand where they cost neither a page nor more than a little of the size. The same values give the same
    bytes.
    """
    size, flipped, plain = on_one_page(data, paper)
    drawn = with_figures(data, catalogue)
    for smaller in (one for one in SIZES if max(LEAST_WITH_FIGURES, size - MOST_GIVEN) <= one <= size):
        made = group_document(drawn, paper, smaller, flipped)
        if pages_of(made) <= pages_of(plain):
            return made
    return plain


def on_one_page(data: dict[str, Any], paper: Paper) -> tuple[float, bool, bytes]:
    """The largest size, and whether across, that takes one page, or the one that takes the fewest; with its PDF."""
    best: tuple[int, float, bool, bytes] | None = None
    for size, flipped in product((*SIZES, LEAST_SIZE), (True, False)):
        made = group_document(data, paper, size, flipped)
        pages = pages_of(made)
        if best is None or pages < best[0]:
            best = (pages, size, flipped, made)
        if pages == 1:
            break
    assert best is not None
    return best[1:]


def group_document(data: dict[str, Any], paper: Paper, size: float, flipped: bool) -> bytes:
    """The PDF at one size, so many people beside each other as the paper is wide."""
    count = max(1, len(data["people"]))
    wide = max(1, min(count, 6 if flipped else 4))
    rows = -(-count // wide)
    values = {**data, "paper": paper, "flipped": flipped, "size": size, "columns": -(-count // rows), "foot": FOOT}
    return bytes(typeset("group.typ", values))


def with_figures(data: dict[str, Any], catalogue: Catalogue) -> dict[str, Any]:
    """The data with a small figure at each entry that has one."""
    people = [
        {
            **one,
            "entries": [
                {**entry, "figure": figure_data(entry["exercise"], catalogue, FIGURE_MM, False)}
                for entry in one["entries"]
            ],
        }
        for one in data["people"]
    ]
    return {**data, "people": people}
