"""Sheets to print: one session with room to write, the block on paper, and the coach's notes. Values in, PDF out.

Typst draws; all text goes in as data. Fonts are packaged, the time stamp is fixed: same values, same bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Any, Literal

from setwright.body.anatomy import muscle_groups
from setwright.body.units import LB_KG
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.asked_effort import asked_effort
from setwright.plan.block import Block, Entry, Part, PlannedSet, Session, Week
from setwright.plan.block_days import session_date
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.bout_words import heading_text, score_label
from setwright.publish.catalogue_figure import entry_drawn, entry_figure
from setwright.publish.units import Unit, range_text

Paper = Literal["a4", "us-letter"]
FOOT = (
    "Not medical advice. Chest pain, fainting, breathlessness, numbness: stop and get help. "
    "Sharp or rising joint pain: stop, tell your coach."
)
SIZES = (9.6, 9.0, 8.5, 8.0)
FIXED_STAMP = 1_767_225_600  # 1 January 2026, so that the same sheet has the same bytes


@cache
def _source(name: str) -> bytes:
    return resources.files("setwright.publish").joinpath(name).read_bytes()


def typeset(source: str, data: dict[str, Any], output: Literal["pdf", "png"] = "pdf", **more: Any) -> Any:
    """The document of a packaged typst file, by name, and its data; the same values give the same bytes.

    What several papers draw (``drawn.typ``) stands before each.
    """
    import typst

    settings: dict[str, Any] = {
        "ignore_system_fonts": True,
        "font_paths": [str(resources.files("setwright.publish").joinpath("fonts"))],
        "sys_inputs": {"data": json.dumps(data, ensure_ascii=False, sort_keys=True)},
    }
    if output == "pdf":
        settings["timestamp"] = FIXED_STAMP
    return typst.compile(_source("drawn.typ") + _source(source), format=output, **settings, **more)


def render(data: dict[str, Any], output: Literal["pdf", "png"] = "pdf", ppi: float = 110.0) -> bytes | list[bytes]:
    """The document of some data: PDF bytes, or PNG bytes (a list where there are several pages)."""
    if output == "pdf":
        made: bytes = typeset("sheet.typ", data)
        return made
    pictures: bytes | list[bytes] = typeset("sheet.typ", data, "png", ppi=ppi)
    return pictures


def pdf(data: dict[str, Any]) -> bytes:
    """The PDF of some data."""
    made = render(data)
    assert isinstance(made, bytes)
    return made


def pages_of(document: bytes) -> int:
    """How many pages a PDF made here has, read from its page tree."""
    return len(re.findall(rb"/Type\s*/Page\b", document))


def on_fewest_pages(data: dict[str, Any]) -> tuple[dict[str, Any], bytes]:
    """The data at the largest size that takes the fewest pages, never under 8 pt, and its PDF."""
    best: tuple[int, dict[str, Any], bytes] | None = None
    for size in SIZES:
        sized = {**data, "size": size}
        made = pdf(sized)
        count = pages_of(made)
        if best is None or count < best[0]:
            best = (count, sized, made)
        if count == 1:
            break
    assert best is not None
    return best[1], best[2]


def base(block: Block, paper: Paper, title: str, sub: str, right: str, right2: str) -> dict[str, Any]:
    """The frame that every document shares."""
    return {
        "paper": paper,
        "size": SIZES[0],
        "flipped": False,
        "title": title,
        "sub": sub,
        "right": right,
        "right2": right2,
        "lead": "",
        "foot": FOOT,
        "sections": [],
        "cautions": [],
    }


def section(
    title: str, hint: str = "", entries: Sequence[Any] = (), texts: Sequence[Any] = (), tables: Sequence[Any] = ()
) -> dict[str, Any]:
    """A titled part of a document."""
    return {"title": title, "hint": hint, "entries": list(entries), "tables": list(tables)}


def plates_of(pieces: str, unit: Unit) -> list[dict[str, Any]]:
    """Plates of one side from the words of a load (``45 + 10 a side``): what is written on each, and its kilograms.

    Empty where the load is no bar; the words may name their unit, else it is ``unit``.
    """
    for end in (" a side", " on the end"):
        if end in pieces:
            numbers = pieces.split(end)[0]
            for named in ("kg", "lb"):
                if numbers.endswith(f" {named}"):
                    numbers, unit = numbers.removesuffix(f" {named}"), named
            factor = LB_KG if unit == "lb" else 1.0
            return [{"text": one, "kg": round(float(one) * factor, 3)} for one in numbers.split(" + ")]
    return []


def sentences(line: Sequence[str], note: str) -> str:
    """What stands below a dose: its facts as one sentence, and what is said of its load as it was said.

    >>> sentences(["rest 2 min", "tempo 2-0-1-0"], "The lightest there is.")
    'Rest 2 min; tempo 2-0-1-0. The lightest there is.'
    """
    told = "; ".join(line)
    end = ". " if told and note else ""
    return f"{told[:1].upper()}{told[1:]}{end}{note}"


def entry_data(entry: Entry, part: Part, catalogue: Catalogue, unit: Unit) -> dict[str, Any]:
    """One entry of a session sheet; its sentences speak the unit already (``words.spoken_session``)."""
    working = entry.working_sets
    first = working[0] if working else None
    line = []
    if first is not None:
        if first.rest_s and words.rests_alone(entry):
            after = " after both" if entry.superset else ""
            line.append(f"rest {words.rest_text(first.rest_s)}{after}")
        if first.tempo:
            line.append(f"tempo {first.tempo}")
        if first.load_kg and words.take_text(working):
            line.append(f"take {words.take_text(working)}")
        if first.load_range_kg and first.load_kg and not first.note:
            low, high = first.load_range_kg
            line.append(f"today {range_text(low, high, unit).replace(' and ', ' to ')} may fit")
            line += [text for text in [words.chance_text(working)] if text]
    quiet = part.part in ("warm-up", "conditioning") or entry.bout is not None
    sets: list[dict[str, Any]] = []
    heads: list[str] = []
    if not quiet:
        timed = first is not None and first.reps is None
        inside = first is not None and any(part.reps or part.left for part in first.inside)
        done = "s / m" if timed else "by part" if inside else "reps"
        heads = [*([unit] if first is not None and first.load_kg else []), done, *([] if timed else ["left"]), "pain"]
        same = len({(words.work_text(one), one.load_kg) for one in working}) == 1
        sets = [
            {"number": n, "plan": "" if same else " ".join((words.work_text(one), words.load_text(one, unit))).strip()}
            for n, one in enumerate(working, start=1)
        ]
    if entry.bout is not None and working and like(entry.bout) not in SHARED:
        heads, rows = piece_boxes(working, unit)
        sets = [{"number": n, "plan": ""} for n in range(1, rows + 1)]
    dose = words.asks_text(entry)
    effort = "" if first is None else words.efforts_text(working)
    instead = instead_text(entry, catalogue)
    why = entry.why
    if entry.filler:
        why += " " + words.filler_text(entry.filler, catalogue)
    return {
        "exercise": entry.exercise,
        "figure": None,
        "letter": entry.superset or "",
        "bout": "",
        "score": "",
        "name": words.name_of(entry.exercise, catalogue),
        "dials": words.dial_text(entry),
        "dose": dose + (f", {effort}" if effort and not quiet else ""),
        "load": words.loads_text(working, unit),
        "plates": [] if first is None else plates_of(first.pieces, unit),
        "line": "" if part.part == "warm-up" else sentences(line, first.note if first else ""),
        "ramp": words.ramp_text(entry, unit),
        "heads": heads,
        "sets": sets,
        "why": f"{why[:1].upper()}{why[1:]}",
        "caution": " ".join(entry.cautions),
        "instead": "" if quiet else instead,
    }


SHORT_PIECE_S = 30.0  # nobody writes down each of eight pieces of 20 s


def piece_boxes(working: Sequence[PlannedSet], unit: Unit) -> tuple[list[str], int]:
    """What to write of pieces of conditioning, and how many rows: one a piece, one in all where pieces are short."""
    first = working[0]
    load = [unit] if first.load_kg else []
    done = "min:s" if first.distance_m else "m"
    is_short = first.time_s is not None and first.time_s <= SHORT_PIECE_S
    return [*load, done, "heart rate"], 1 if is_short else len(working)


def entries_data(part: Part, catalogue: Catalogue, unit: Unit) -> list[dict[str, Any]]:
    """The entries of a part; the first of a bout carries its heading, the last the score to fill in."""
    made = [entry_data(entry, part, catalogue, unit) for entry in part.entries]
    at = 0
    for group in groups_of(part.entries):
        bout = group[0].bout
        if bout is not None:
            made[at]["bout"] = heading_text(bout, catalogue)
            made[at + len(group) - 1]["score"] = score_label(bout, catalogue)
        at += len(group)
    return words.with_letters_hint(made)


def instead_text(entry: Entry, catalogue: Catalogue) -> str:
    """The alternatives in one line: for which case, and what."""
    return "; ".join(f"{one.case}: {words.name_of(one.exercise, catalogue)}" for one in entry.alternatives)


FIGURE_MM = 0.125  # of paper for a px of a figure: a standing person is about 11 mm high
# Where there is no room below the boxes they stand beside the words: smaller where space is short, mm for a px.
BESIDE_MM = (0.125, 0.09, 0.08)
LEAST_WITH_FIGURES = 8.5  # pt; words are not made smaller than this for the sake of figures


def figure_data(slug: str, catalogue: Catalogue, beside_mm: float, thrifty: bool) -> dict[str, Any] | None:
    """The figure of an exercise for paper: SVG, height in px, and mm for a px below and beside; None where none is."""
    if slug not in catalogue:
        return None
    exercise = catalogue.get(slug)
    made, svg = entry_drawn(exercise), entry_figure(exercise)
    if made is None or svg is None:
        return None
    return {"svg": svg, "height": round(made.height, 2), "below": FIGURE_MM, "beside": beside_mm, "thrifty": thrifty}


def with_figures(data: dict[str, Any], catalogue: Catalogue, beside_mm: float, thrifty: bool) -> dict[str, Any]:
    """The data of a session sheet with a small figure at each entry."""
    sections = [
        {
            **one,
            "entries": [
                {**e, "figure": figure_data(e["exercise"], catalogue, beside_mm, thrifty)} for e in one["entries"]
            ],
        }
        for one in data["sections"]
    ]
    return {**data, "sections": sections}


def session_sheet(data: dict[str, Any], catalogue: Catalogue, figures: bool) -> tuple[dict[str, Any], bytes]:
    """The data of a session sheet as laid out, and its PDF; figures only where they cost no page.

    Where space is short the figures are smaller, then the words a little, then figures stand only where they cost no
    height.
    """
    sized, made = on_fewest_pages(data)
    if not figures:
        return sized, made
    large, small, smallest = BESIDE_MM
    sizes = [size for size in SIZES if LEAST_WITH_FIGURES <= size <= sized["size"]]
    tried = [(sized["size"], large, False), *((size, small, False) for size in sizes), (sized["size"], smallest, True)]
    for size, beside_mm, thrifty in tried:
        drawn = with_figures({**sized, "size": size}, catalogue, beside_mm, thrifty)
        with_them = pdf(drawn)
        if pages_of(with_them) <= pages_of(made):
            return drawn, with_them
    return sized, made
    smaller = [size for size in SIZES if size <= sized["size"]]
    for size, mm in [(smaller[0], FIGURE_MM[0]), *((size, FIGURE_MM[1]) for size in smaller)]:
        drawn = with_figures({**sized, "size": size}, catalogue, mm)
        with_them = pdf(drawn)
        if pages_of(with_them) <= pages_of(made):
            return drawn, with_them
    return sized, made


def session_data(
    block: Block, week: int, day: str, catalogue: Catalogue, paper: Paper, unit: Unit | None = None
) -> dict[str, Any]:
    """The data of a session sheet, in the unit of its place where none is asked for."""
    this_week, found = words.find_session(block, week, day)
    session, shown = words.spoken_session(block, found, unit)
    place = next((one.name for one in block.inputs.places if one.id == session.place), session.place)
    data = base(
        block,
        paper,
        f"{DAY_NAMES[day]}, {words.date_text(session_date(block, week, day))}",
        f"{block.inputs.trainee.name}: {block.title}. {words.week_title(block, this_week)}.",
        f"about {session.minutes:.0f} min",
        place,
    )
    data["lead"] = f"{words.effort_today(found)}Write down what you did; pain from 0 to 10."
    for part in session.parts:
        if part.part == "warm-up":
            data["sections"].append(warm_up_section(part, catalogue, shown))
            continue
        entries = entries_data(part, catalogue, shown)
        data["sections"].append(section(words.PART_NAMES[part.part], entries=entries))
    data["sections"].append(
        section(
            "After",
            tables=[
                {"columns": [1, 1, 2], "head": ["Session RPE, 0 to 10", "Minutes", "Note"], "rows": [[" ", " ", " "]]}
            ],
        )
    )
    data["cautions"] = [one for one in block.cautions if not one.startswith(("Training plan", "Stop and get help"))]
    return data


def warm_up_section(part: Part, catalogue: Catalogue, unit: Unit = "kg") -> dict[str, Any]:
    """The warm-up as a small table: drill, dose with its light load, what for."""
    rows = []
    for entry in part.entries:
        working = entry.working_sets
        name = words.name_of(entry.exercise, catalogue)
        dials = words.dial_text(entry)
        dose = words.work_text(working[0]) if working else ""
        if working and working[0].load_kg:
            dose += f", {words.load_text(working[0], unit)}"
        rows.append([name + (f" ({dials})" if dials else ""), dose, entry.why])
    return section("Warm-up", tables=[{"columns": [2, 1, 3], "head": ["Do", "How much", "What for"], "rows": rows}])


def session_pdf(
    block: Block,
    week: int,
    day: str,
    catalogue: Catalogue,
    paper: Paper = "a4",
    unit: Unit | None = None,
    figures: bool = True,
) -> bytes:
    """The sheet of one session, on one page where at all possible, with figures where there is room for them.

    Raises LookupError for a session that is not there.
    """
    return session_sheet(session_data(block, week, day, catalogue, paper, unit), catalogue, figures)[1]


def session_png(
    block: Block,
    week: int,
    day: str,
    catalogue: Catalogue,
    paper: Paper = "a4",
    unit: Unit | None = None,
    ppi: float = 110.0,
    figures: bool = True,
) -> list[bytes]:
    """The sheet of one session as pictures, one a page."""
    data = session_sheet(session_data(block, week, day, catalogue, paper, unit), catalogue, figures)[0]
    made = render(data, "png", ppi)
    return [made] if isinstance(made, bytes) else made


def week_effort_text(block: Block, week: Week) -> str:
    """The effort of a week's lifts in a cell: ``RPE 7, about 3 left``."""
    asked = asked_effort(block, week)
    left = "" if asked is None else f", about {words.range_text(10 - asked[1], 10 - asked[0])} left"
    return words.week_effort(block, week) + left


def block_data(block: Block, catalogue: Catalogue, paper: Paper, unit: Unit | None = None) -> dict[str, Any]:
    """The data of the overview: named lines by week; each day in the unit of its place where none is asked for."""
    data = base(
        block,
        paper,
        block.title,
        words.span_text(block),
        f"revision {block.revision}",
        block.id,
    )
    data["lead"] = words.proof_text(block) + " In the tables = stands for: as the week before."
    rows = [
        [
            str(week.number),
            words.WEEK_WORDS[week.kind] or "building",
            week_effort_text(block, week),
            minutes_text(week),
        ]
        for week in block.weeks
    ]
    data["sections"].append(
        section(
            "Weeks", tables=[{"columns": [0, 1, 2, 3], "head": ["Week", "Kind", "Main lifts", "Minutes"], "rows": rows}]
        )
    )
    for index, session in enumerate(block.weeks[0].sessions if block.weeks else ()):
        data["sections"].append(
            section(
                DAY_NAMES[session.day] + (f": {session.title}" if session.title else ""),
                tables=[lines_by_week(block, index, catalogue, unit or words.day_unit(block, session.day))],
            )
        )
    credits = credit_rows(block)
    if credits:
        head = ["Counted sets"] + [str(week.number) for week in block.weeks]
        data["sections"].append(
            section(
                "Counted sets a week",
                "a set counts half where a muscle only helps",
                tables=[{"columns": [3] + [1] * len(block.weeks), "head": head, "rows": credits}],
            )
        )
    if block.unmet:
        bent = [[one.wish, one.why] for one in words.spoken_unmet(block, unit)]
        data["sections"].append(
            section("Not met, or bent", tables=[{"columns": [2, 3], "head": ["Wish or rule", "Why"], "rows": bent}])
        )
    data["cautions"] = list(block.cautions)
    return data


def minutes_text(week: Week) -> str:
    """Minutes of the days of a week."""
    return ", ".join(f"{session.day.capitalize()} {session.minutes:.0f}" for session in week.sessions)


def lines_by_week(block: Block, index: int, catalogue: Catalogue, unit: Unit) -> dict[str, Any]:
    """One day over the weeks: a line an entry, what it asks in each week. A week like the one before is a dash."""
    weeks = block.weeks
    found: dict[tuple[str, str, int], dict[int, str]] = {}
    for number in range(len(weeks)):
        if index >= len(weeks[number].sessions):
            continue
        seen: dict[tuple[str, str], int] = {}
        for part, entry in entries_of(weeks[number].sessions[index]):
            key = (part.part, entry.exercise)
            seen[key] = seen.get(key, 0) + 1
            working = entry.working_sets
            text = "-"
            if working:
                load = words.loads_text(working, unit)
                text = words.asks_text(entry) + (f"\n{load}" if load else "")
            found.setdefault((*key, seen[key]), {})[number] = text
    rows = []
    for (_, slug, _), by_week in found.items():
        cells, before = [], ""
        for number in range(len(weeks)):
            text = by_week.get(number, "")
            cells.append("=" if text and text == before else text or "-")
            before = text
        rows.append([words.name_of(slug, catalogue), *cells])
    head = ["", *(f"{week.number} {SHORT_KINDS.get(week.kind, '')}".strip() for week in weeks)]
    return {"columns": [2.2] + [1] * len(weeks), "head": head, "rows": rows}


SHORT_KINDS = {"deload": "easier", "test": "heavy", "return": "return"}


def entries_of(session: Session) -> list[tuple[Part, Entry]]:
    """Entries of a session without its warm-up."""
    return [(part, entry) for part in session.parts if part.part != "warm-up" for entry in part.entries]


def credit_rows(block: Block) -> list[list[str]]:
    """Counted sets by muscle group and week, groups with four sets or more in some week."""
    table: dict[str, dict[int, float]] = {}
    for one in block.set_credits:
        table.setdefault(one.muscle, {})[one.week] = one.fractional
    rows = []
    for muscle, by_week in table.items():
        if max(by_week.values()) >= 2:
            label = muscle_groups()[muscle].label if muscle in muscle_groups() else muscle
            rows.append([label, *(f"{by_week.get(week.number, 0):g}" for week in block.weeks)])
    return rows


def block_pdf(block: Block, catalogue: Catalogue, paper: Paper = "a4", unit: Unit | None = None) -> bytes:
    """The overview of a block on paper."""
    return pdf({**block_data(block, catalogue, paper, unit), "size": 8.2, "flipped": True})


def notes_data(
    block: Block, week: int, day: str, catalogue: Catalogue, paper: Paper, unit: Unit | None = None
) -> dict[str, Any]:
    """The data of the coach's notes: the talk through one session."""
    this_week, found = words.find_session(block, week, day)
    session, _ = words.spoken_session(block, found, unit)
    data = base(
        block,
        paper,
        f"Coach's notes: {DAY_NAMES[day]}",
        f"{block.title}. {words.week_title(block, this_week)}: {words.effort_of_lifts(found)}.",
        f"about {session.minutes:.0f} min",
        "",
    )
    for part in session.parts:
        rows = []
        for entry in part.entries:
            talk = talk_of(entry, catalogue)
            rows.append([talk["name"], talk["what"], talk["look"], talk["instead"]])
        data["sections"].append(
            section(
                words.PART_NAMES[part.part],
                tables=[
                    {
                        "columns": [2, 3, 4, 3],
                        "head": ["", "What it is for", "Look at, and how hard", "Instead"],
                        "rows": rows,
                    }
                ],
            )
        )
    data["cautions"] = list(block.cautions)
    return data


def talk_of(entry: Entry, catalogue: Catalogue) -> dict[str, str]:
    """The talk about one entry: what it is for, what to look at, how to judge effort, what to do instead."""
    name = words.name_of(entry.exercise, catalogue)
    instead = "; ".join(
        f"{one.case}: {words.name_of(one.exercise, catalogue)}"
        + (f" (loses {one.lost})" if one.lost != "little" else "")
        for one in entry.alternatives
    )
    if entry.exercise not in catalogue:
        return {"name": name, "what": entry.why, "look": "", "instead": instead}
    exercise = catalogue.get(entry.exercise)
    cautions = " ".join(dict.fromkeys(entry.cautions))
    look = " ".join(exercise.cues) + (f" Effort: {exercise.effort_cue}" if exercise.effort_cue else "")
    return {
        "name": name,
        "what": f"{exercise.purpose} {entry.why}",
        "look": look + (f" Careful: {cautions}" if cautions else ""),
        "instead": instead or "-",
    }


def notes_pdf(
    block: Block, week: int, day: str, catalogue: Catalogue, paper: Paper = "a4", unit: Unit | None = None
) -> bytes:
    """The coach's notes for one session."""
    return pdf({**notes_data(block, week, day, catalogue, paper, unit), "size": 8.8})
