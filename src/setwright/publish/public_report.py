"""A public edition as a page that stands alone, on paper, and as plain text: ready sentences in, bytes out."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.plan.public import PublicEdition
from setwright.publish.linked_data import in_a_page, linked_data
from setwright.publish.page import figures_of, fill
from setwright.publish.public_words import edition_words
from setwright.publish.sheet import FOOT, SIZES, Paper, pages_of, pdf, section, with_figures
from setwright.publish.talk_outline import TalkItem

Talks = Sequence[Sequence[TalkItem]]
WIDTH = 80
FIGURE_BESIDE_MM = 0.125
PUBLIC_FOOT = FOOT.replace("tell your coach", "ask a coach or a clinician")


def public_page(
    edition: PublicEdition, talks: Talks, catalogue: Catalogue, title: str = "", figures: bool = True
) -> str:
    """The edition as a page without a request to anywhere; machines find it in the vocabulary of schema.org."""
    data = edition_words(edition, talks, catalogue, title)
    parts = [part for one in data["sessions"] for part in one["parts"]]
    linked = in_a_page(linked_data(edition, data["title"], talks, catalogue))
    drawn = figures_of(parts, catalogue) if figures else []
    return fill("public.html", **data, figures=drawn, linked=linked, foot="")


def public_pdf(
    edition: PublicEdition,
    talks: Talks,
    catalogue: Catalogue,
    title: str = "",
    paper: Paper = "a4",
    figures: bool = True,
) -> bytes:
    """The edition on paper, each session followed by its places and its talk, on as few pages as 8 pt allows."""
    data = paper_data(edition_words(edition, talks, catalogue, title), paper)
    if figures:
        data = with_figures(data, catalogue, FIGURE_BESIDE_MM, False)
    made = [pdf({**data, "size": size}) for size in (SIZES[0], SIZES[-1])]
    return made[0] if pages_of(made[0]) <= pages_of(made[1]) else made[1]


def paper_data(data: dict[str, Any], paper: Paper) -> dict[str, Any]:
    """The sections of the paper."""
    many = len(data["sessions"]) > 1
    sections: list[dict[str, Any]] = []
    for one in data["sessions"]:
        first = len(sections)
        for part in one["parts"]:
            sections.append(section(part["title"], entries=[paper_entry(e) for e in part["entries"]]))
        if one["rows"]:
            head = ["", *data["places"]]
            rows = [[row["name"], *(paper_cell(c) for c in row["cells"])] for row in one["rows"]]
            columns = [2] + [3] * len(data["places"])
            sections.append(section("In each place", tables=[{"columns": columns, "head": head, "rows": rows}]))
        rows = [[f"{t['at']}\nfor {t['for']}", t["title"], paper_said(t)] for t in one["talk"]]
        table = {"columns": [0, 2, 6], "head": ["At", "About", "Say"], "rows": rows}
        sections.append(section(f"The talk, in {one['talk_minutes']} minutes", tables=[table]))
        if many:
            opens = {
                "title": f"{one['day']}: {one['title']}",
                "sub": one["sub"],
                "new_page": one is not data["sessions"][0],
            }
            sections[first] = {**sections[first], "opens": opens}
    return {
        "paper": paper,
        "size": SIZES[0],
        "flipped": False,
        "title": data["title"],
        "sub": data["sub"],
        "right": "",
        "right2": "",
        "lead": data["lead"],
        "foot": PUBLIC_FOOT,
        "sections": sections,
        "cautions": data["cautions"],
    }


def paper_entry(e: dict[str, Any]) -> dict[str, Any]:
    """One entry on paper: what it is for and the cautions; what to look at stands in the talk."""
    weeks = [[row["weeks"], "; ".join(one for one in (row["dose"], row["load"]) if one)] for row in e["by_week"]]
    return {
        **e,
        "dose": "" if e["by_week"] else e["dose"],
        "weeks": weeks,
        "load": "",
        "plates": [],
        "ramp": "",
        "heads": [],
        "sets": [],
        "why": " ".join(one for one in (e["for"], e["filler"]) if one),
    }


def paper_cell(cell: dict[str, str]) -> str | list[list[str]]:
    """A cell of the places on paper: what stands in comes first and strong."""
    if cell["kind"] == "same":
        return cell_text(cell)
    strong = cell["kind"] == "other"
    lines = [["", one] for one in cell_text(cell).split("\n")]
    return [[lines[0][1], ""], *lines[1:]] if strong else lines


def paper_said(one: dict[str, Any]) -> list[list[str]]:
    """What is said in a stretch of the talk, on paper."""
    lines = [[f"{each['kind']}:", each["text"]] for each in one["says"]]
    return [*lines, *([["", one["spare"]]] if one["spare"] else [])]


def cell_text(cell: dict[str, str]) -> str:
    """A cell of the places on paper or in plain text."""
    if cell["kind"] == "same":
        return "as it stands"
    return "\n".join(one for one in (cell["name"], cell["dose"], cell["kept"], cell["lost"]) if one)


def cell_line(cell: dict[str, str]) -> str:
    """A cell in one line of plain text."""
    return cell_text(cell).replace("\n", ". " if cell["kind"] == "none" else "; ")


def said_text(one: dict[str, Any]) -> str:
    """What is said in a stretch of the talk, a line for each thing."""
    lines = [f"{each['kind']}: {each['text']}" for each in one["says"]]
    return "\n".join([*lines, *([one["spare"]] if one["spare"] else [])])


def public_text(edition: PublicEdition, talks: Talks, catalogue: Catalogue, title: str = "") -> str:
    """The edition as plain text in 80 columns."""
    data = edition_words(edition, talks, catalogue, title)
    many = len(data["sessions"]) > 1
    lines = [data["title"], "=" * min(WIDTH, len(data["title"])), f"{data['sub']}.", "", data["lead"]]
    for one in data["sessions"]:
        if many:
            name = f"{one['day']}: {one['title']}"
            lines += ["", "", name, "-" * min(WIDTH, len(name)), f"{one['sub']}."]
        for part in one["parts"]:
            lines += ["", part["title"].upper()]
            for e in part["entries"]:
                lines += entry_lines(e)
        for row in one["rows"]:
            if row is one["rows"][0]:
                lines += ["", "IN EACH PLACE"]
            other = [c for c in row["cells"] if c["kind"] != "same"]
            lines.append(f"{row['name']}:" + ("" if other else " as it stands everywhere"))
            lines += [f"  {c['place']}: {cell_line(c)}" for c in row["cells"] if other]
        lines += ["", f"THE TALK, IN {one['talk_minutes']} MINUTES"]
        for t in one["talk"]:
            lines.append(f"{t['at']:>5}  {t['title']} (for {t['for']})")
            lines += [f"       {text}" for text in said_text(t).splitlines()]
    lines += ["", *data["cautions"]]
    return "\n".join(wrapped(one) for one in lines) + "\n"


def entry_lines(e: dict[str, Any]) -> list[str]:
    """One entry in plain text."""
    lines = [one for one in (e["bout"], e["hint"]) if one]
    head = f"[{e['letter']}] " if e["letter"] else ""
    dials = f" ({e['dials']})" if e["dials"] else ""
    lines.append(f"{head}{e['name']}{dials}" + ("" if e["by_week"] else f": {e['dose']}"))
    for row in e["by_week"]:
        lines.append("  " + "; ".join(one for one in (f"{row['weeks']}: {row['dose']}", row["load"]) if one))
    lines += [f"  {one}" for one in (e["line"], e["for"]) if one]
    if e["caution"]:
        lines.append(f"  Careful: {e['caution']}")
    if e["filler"]:
        lines.append(f"  {e['filler']}")
    if e["instead"]:
        lines.append(f"  Instead, {e['instead']}")
    return lines


def wrapped(line: str) -> str:
    """A line in 80 columns, what follows the first indented a little more."""
    indent = " " * (len(line) - len(line.lstrip()) + 2) if line.startswith(" ") else ""
    return textwrap.fill(line, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
