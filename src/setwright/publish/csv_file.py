"""Planned sets and logs as CSV for a spreadsheet. Cells that a spreadsheet would run as a formula are defused."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Collection, Iterable, Mapping, Sequence

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Entry, PlannedSet, Session
from setwright.plan.block_days import session_date
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED, formats_of
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.bout_words import written_bout
from setwright.publish.units import Unit, in_number, in_unit, mass_text, pieces_in_unit
from setwright.review.log_file import COLUMNS, CONDITIONING_COLUMNS, as_rows
from setwright.strength.logged import Log
from setwright.strength.tempo import slowness

RISKY = ("=", "+", "-", "@", "\t", "\r")
PLANNED = (
    "week",
    "day",
    "date",
    "part",
    "superset",
    "format",
    "format_asks",
    "exercise",
    "name",
    "set",
    "kind",
    "reps_from",
    "reps_to",
    "load_kg",
    "load_means",
    "take",
    "rir",
    "rest_s",
    "tempo",
    "hold_s",
    "distance_m",
    "time_s",
    "each_side",
    "inside",
    "why",
)


def cell(value: object) -> str:
    """A value as a cell; a text that starts like a formula gets an apostrophe in front."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, (int, float)):
        return f"{value:g}"
    text = json.dumps(value) if isinstance(value, dict) else str(value)
    return "'" + text if text.startswith(RISKY) else text


def table(columns: Iterable[str], rows: Iterable[Mapping[str, object]]) -> bytes:
    """Rows as CSV in UTF-8, CRLF line ends (RFC 4180)."""
    names = list(columns)
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(names)
    for row in rows:
        writer.writerow([cell(row.get(name)) for name in names])
    return out.getvalue().encode()


def load_columns(columns: Sequence[str], units: Collection[Unit]) -> list[str]:
    """Columns with the load in the units there are: ``load_kg``, ``load_lb``, or both where places differ."""
    wanted = [f"load_{unit}" for unit in ("kg", "lb") if unit in units] or ["load_kg"]
    return [name for column in columns for name in (wanted if column == "load_kg" else [column])]


def load_cell(load_kg: float | None, unit: Unit) -> dict[str, object]:
    """The load of a row in its column."""
    return {f"load_{unit}": None if load_kg is None else in_number(load_kg, unit)}


def planned_csv(block: Block, catalogue: Catalogue, unit: Unit | None = None) -> bytes:
    """Every planned set, one row each; loads in the unit asked for, else in that of the place."""
    rows, units = planned_rows(block, catalogue, unit)
    return table(load_columns(PLANNED, units), rows)


def planned_rows(
    block: Block, catalogue: Catalogue, unit: Unit | None = None
) -> tuple[list[dict[str, object]], set[Unit]]:
    """The rows of every planned set, and the units their loads are in."""
    rows: list[dict[str, object]] = []
    units: set[Unit] = set()
    for week in block.weeks:
        for session in week.sessions:
            own = words.unit_of(block.inputs.places, session.place)
            shown = unit or own
            units.add(shown)
            for part in session.parts:
                for entry in part.entries:
                    for number, one in enumerate(entry.sets, start=1):
                        rows.append(
                            {
                                "week": week.number,
                                "day": session.day,
                                "date": session_date(block, week.number, session.day).isoformat(),
                                "part": part.part,
                                "superset": entry.superset,
                                "format": entry.bout.format if entry.bout is not None else None,
                                "format_asks": written_bout(entry.bout) if entry.bout is not None else None,
                                "exercise": entry.exercise,
                                "name": words.name_of(entry.exercise, catalogue),
                                "set": number,
                                "kind": one.kind,
                                "reps_from": one.reps[0] if one.reps else None,
                                "reps_to": one.reps[1] if one.reps else None,
                                **load_cell(one.load_kg, shown),
                                "load_means": one.load_means,
                                "take": pieces_in_unit(one.pieces, own, shown),
                                "rir": one.rir,
                                "rest_s": one.rest_s,
                                "tempo": one.tempo,
                                "hold_s": one.hold_s,
                                "distance_m": one.distance_m,
                                "time_s": one.time_s,
                                "each_side": one.per_side,
                                "inside": inside_cell(one, shown),
                                "why": in_unit(entry.why, shown),
                            }
                        )
    return rows, units


def empty_log_csv(block: Block, week: int, catalogue: Catalogue, unit: Unit | None = None) -> bytes:
    """A log of one week to fill in: a row for each working set with its plan, and one for each session.

    Conditioning and fillers follow under their part, a row each; left empty, nothing is said of them.
    A tempo that is slower than usual stands among the dials: it tells how to read the repetitions.
    So does how a step of a progression is set: change the word when a small step is taken.
    A set in parts tells its parts and the rest inside; write ``12+5+4`` where they came out otherwise.
    The plan stands in ``load_kg``, or in ``load_lb`` where the place (or ``unit``) speaks pounds; reps, rir and the
    rest are left to write. Rows left unfilled are no sets.
    """
    rows: list[dict[str, object]] = []
    units: set[Unit] = set()
    for one_week in block.weeks:
        if one_week.number != week:
            continue
        for session in one_week.sessions:
            day = session_date(block, week, session.day).isoformat()
            shown = unit or words.unit_of(block.inputs.places, session.place)
            units.add(shown)
            for part in session.parts:
                if part.part in ("warm-up", "conditioning"):
                    continue
                for entry in part.entries:
                    if is_told_by_score(entry):
                        continue
                    for number, one in enumerate(entry.working_sets, start=1):
                        rows.append(
                            {
                                "date": day,
                                "week": week,
                                "session": session.day,
                                "exercise": entry.exercise,
                                "set": number,
                                "dials": told_dials(one, entry, catalogue),
                                **load_cells(one, shown),
                                "load_means": one.load_means,
                            }
                        )
            for letter in scored_bouts(session, catalogue):
                rows.append({"date": day, "week": week, "session": session.day, "bout": letter})
            for slug, name, count in beside_lifts(session):
                same = {"date": day, "week": week, "session": session.day, "exercise": slug, "part": name}
                rows += [{**same, "set": number} for number in range(1, count + 1)]
            rows.append({"date": day, "week": week, "session": session.day})
    return table(log_columns(load_columns(COLUMNS, units), rows, has_bouts(block)), rows)


def log_columns(columns: Sequence[str], rows: Sequence[Mapping[str, object]], wanted: bool = False) -> list[str]:
    """The columns of a log; those of conditioning only where they are wanted, or a row fills one of them."""
    used = wanted or any(row.get(name) for row in rows for name in CONDITIONING_COLUMNS)
    return [name for name in columns if used or name not in CONDITIONING_COLUMNS]


def has_bouts(block: Block) -> bool:
    """True where a block holds a bout of conditioning."""
    sessions = (session for week in block.weeks for session in week.sessions)
    return any(entry.bout for session in sessions for part in session.parts for entry in part.entries)


def scored_bouts(session: Session, catalogue: Catalogue) -> list[str]:
    """The letters of the bouts of a session that several movements share and that have a score to write."""
    known = formats_of(catalogue)
    groups = (group for part in session.parts for group in groups_of(part.entries))
    return [
        group[0].superset
        for group in groups
        if group[0].superset and group[0].bout is not None and known[group[0].bout.format].score != "none"
    ]


def beside_lifts(session: Session) -> list[tuple[str, str, int]]:
    """Conditioning and fillers of a session, each once: exercise, the part it is written under, how many sets."""
    found: dict[tuple[str, str], int] = {}
    for part in session.parts:
        for entry in part.entries:
            if part.part == "conditioning" and not is_told_by_score(entry):
                found[entry.exercise, part.part] = found.get((entry.exercise, part.part), 0) + rows_of(entry)
            if entry.filler is not None:
                found[entry.filler.exercise, "filler"] = 1
    return [(slug, name, count) for (slug, name), count in found.items()]


def is_told_by_score(entry: Entry) -> bool:
    """True for a movement of a bout whose one score tells of all its movements."""
    return entry.bout is not None and entry.superset is not None and like(entry.bout) in SHARED


def rows_of(entry: Entry) -> int:
    """Rows to fill in for an entry of conditioning: one a piece, one for all rounds of a bout by itself."""
    return 1 if entry.bout is not None and like(entry.bout) in SHARED else len(entry.working_sets)


def inside_cell(one: PlannedSet, unit: Unit) -> str | None:
    """What follows inside a set, part by part with the rest before it: ``20 s, about 4-6``."""
    if not one.inside:
        return None
    said = []
    for part in one.inside:
        load = "" if part.load_kg is None else f" with {mass_text(part.load_kg, unit)}"
        count = f"{part.hold_s:g} s hold" if part.hold_s else words.span(*part.reps) if part.reps else "what is left"
        said.append(f"{part.rest_s:g} s, {'about ' if part.left and part.reps else ''}{count}{load}")
    return "; ".join(said)


def load_cells(one: PlannedSet, unit: Unit) -> dict[str, object]:
    """The load of a row in its column, those of its drops behind it: ``50+40``."""
    later = [part.load_kg for part in one.inside if part.load_kg is not None]
    if not later or one.load_kg is None:
        return load_cell(one.load_kg, unit)
    return {f"load_{unit}": "+".join(f"{in_number(load, unit):g}" for load in (one.load_kg, *later))}


def inside_dials(one: PlannedSet) -> list[str]:
    """What a row must tell of a set in parts: the parts where all are said, the rest inside, holds that count once."""
    rests = {part.rest_s for part in one.inside if part.reps or part.left}
    told = []
    if rests and not any(part.left for part in one.inside) and one.reps and one.reps[0] == one.reps[1]:
        counts = [one.reps, *(part.reps for part in one.inside if part.reps)]
        told.append("parts=" + "+".join(str(reps[0]) for reps in counts))
    if rests and max(rests) > 0:
        told.append(f"inside_s={max(rests):g}")
    holds = [part.hold_s for part in one.inside if part.hold_s]
    if holds and one.reps:
        told.append("holds=1")
    elif holds and one.hold_s:
        told.append("holds_s=" + "+".join(f"{held:g}" for held in (one.hold_s, *holds)))
    return told


STEP_DIALS = ("support", "depth", "assistance", "angle", "load", "hand_height_cm", "foot_height_cm", "step_cm")


def told_dials(one: PlannedSet, entry: Entry, catalogue: Catalogue) -> str | None:
    """The dials that a row must tell: a slow tempo, and how a step of a progression is set where that may change."""
    told = [slow_dial(one, entry.exercise, catalogue), *inside_dials(one)]
    if entry.progression is not None:
        told += [f"{name}={entry.dials[name]}" for name in STEP_DIALS if name in entry.dials]
    return "; ".join(text for text in told if text) or None


def slow_dial(one: PlannedSet, slug: str, catalogue: Catalogue) -> str | None:
    """The tempo of a set as a dial of its row, where it is slower than usual."""
    if one.kind == "lowering" or slug not in catalogue or slowness(one.tempo, catalogue.get(slug).rep_s) == 1.0:
        return None
    return f"tempo={one.tempo}"


def log_csv(log: Log) -> bytes:
    """A log in the published columns."""
    rows = as_rows(log)
    return table(log_columns(COLUMNS, rows), rows)
