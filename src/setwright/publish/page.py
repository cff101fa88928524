"""Pages: the same values as HTML that stands alone. No script, no request to anywhere, readable on a phone first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block, Session
from setwright.plan.block_days import session_date
from setwright.publish import words
from setwright.publish.catalogue_figure import Drawn, entry_drawn
from setwright.publish.reason_words import reason_rows
from setwright.publish.sheet import FOOT, credit_rows, entries_data, talk_of
from setwright.publish.units import Unit, change_text
from setwright.strength.spread import Spread

Link = tuple[str, str, str]


@cache
def _environment() -> Any:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("setwright.publish", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def fill(template: str, **values: Any) -> str:
    """A page of a template; title, sub, home and foot are there on every page."""
    values = {"sub": "", "home": "", "foot": FOOT, "figures": [], **values}
    text: str = _environment().get_template(template).render(**values)
    return text


def figures_of(parts: Sequence[dict[str, Any]], catalogue: Catalogue) -> list[Drawn]:
    """The figures of the entries of some parts, each once; every entry is told its own (``figure``)."""
    found: dict[str, Drawn | None] = {}
    for part in parts:
        for entry in part["entries"]:
            slug = entry["exercise"]
            if slug not in found:
                found[slug] = entry_drawn(catalogue.get(slug)) if slug in catalogue else None
            entry["figure"] = found[slug]
    return [one for one in found.values() if one is not None]


def parts_of(block: Block, found: Session, catalogue: Catalogue, unit: Unit | None) -> list[dict[str, Any]]:
    """Parts of a session for a page, in the unit of its place where none is asked for."""
    session, shown = words.spoken_session(block, found, unit)
    return [
        {
            "title": words.PART_NAMES[part.part],
            "entries": entries_data(part, catalogue, shown),
        }
        for part in session.parts
    ]


def session_page(
    block: Block, week: int, day: str, catalogue: Catalogue, unit: Unit | None = None, figures: bool = True
) -> str:
    """One session as a page, with a small figure of each exercise unless ``figures`` is false."""
    this_week, session = words.find_session(block, week, day)
    when = words.date_text(session_date(block, week, day))
    parts = parts_of(block, session, catalogue, unit)
    return fill(
        "session.html",
        title=f"{DAY_NAMES[day]}, {when}",
        sub=f"{block.inputs.trainee.name}: {block.title}. {words.week_title(block, this_week)}, "
        f"about {session.minutes:.0f} min.",
        home="../index.html",
        lead=words.effort_today(session).strip(),
        parts=parts,
        figures=figures_of(parts, catalogue) if figures else [],
        cautions=block.cautions,
    )


def block_page(block: Block, catalogue: Catalogue, unit: Unit | None = None, figures: bool = True) -> str:
    """The whole block as one page: weeks, sessions that open, counted sets, what could not be met."""
    weeks: list[dict[str, Any]] = [
        {
            "title": words.week_title(block, week),
            "effort": words.effort_of_lifts(*week.sessions),
            "first": week.number == block.weeks[0].number,
            "sessions": [
                {
                    "title": DAY_NAMES[session.day]
                    + (f": {session.title}" if session.title else "")
                    + f" ({session.minutes:.0f} min)",
                    "parts": parts_of(block, session, catalogue, unit),
                }
                for session in week.sessions
            ],
        }
        for week in block.weeks
    ]
    parts = [part for week in weeks for session in week["sessions"] for part in session["parts"]]
    return fill(
        "block.html",
        figures=figures_of(parts, catalogue) if figures else [],
        title=block.title,
        sub=words.span_text(block),
        home="index.html",
        proof=words.proof_text(block),
        cautions=block.cautions,
        weeks=weeks,
        credits=credit_rows(block),
        credit_head=["", *(f"week {week.number}" for week in block.weeks)],
        unmet=words.spoken_unmet(block, unit),
    )


def notes_page(
    block: Block, week: int, day: str, catalogue: Catalogue, unit: Unit | None = None, figures: bool = True
) -> str:
    """The coach's notes for one session as a page: below each name the dose, the load with its plates, a small figure.

    Below each entry a fold tells why it is there, why so much and what instead, where the block carries its reasons.
    """
    this_week, found = words.find_session(block, week, day)
    session, shown = words.spoken_session(block, found, unit)
    groups: list[dict[str, Any]] = []
    drawn: dict[str, Drawn] = {}
    for part in session.parts:
        talks = [talk_of(entry, catalogue) for entry in part.entries]
        rows = [[talk["name"], talk["what"], talk["look"], talk["instead"]] for talk in talks]
        head = ["", "What it is for", "Look at, and how hard", "Instead"]
        groups.append(group(words.PART_NAMES[part.part], head=head, rows=rows))
        for entry in part.entries:
            made = entry_drawn(catalogue.get(entry.exercise)) if figures and entry.exercise in catalogue else None
            if made is not None:
                drawn[entry.exercise] = made
        groups[-1]["figures"] = [drawn.get(entry.exercise) for entry in part.entries]
        groups[-1]["doses"] = entries_data(part, catalogue, shown)
        groups[-1]["whys"] = [reason_rows(entry.reasons, shown) for entry in part.entries]
    return fill(
        "tables.html",
        figures=list(drawn.values()),
        title=f"Coach's notes: {DAY_NAMES[day]}",
        sub=f"{block.title}. {words.week_title(block, this_week)}: {words.effort_of_lifts(session)}.",
        home="../index.html",
        lead="The talk through one session: what each movement is for, how to judge effort, what to do instead.",
        groups=groups,
    )


def group(
    title: str,
    sentence: str = "",
    links: Sequence[Link] = (),
    head: Sequence[str] = (),
    rows: Sequence[Sequence[str]] = (),
) -> dict[str, Any]:
    """A titled group of links or rows."""
    return {
        "title": title,
        "sentence": sentence,
        "links": list(links),
        "head": list(head),
        "rows": list(rows),
        "figures": [],
        "doses": [],
        "whys": [],
    }


def weeks_label(weeks: list[int]) -> str:
    """``week 2`` or ``weeks 2 to 7``; empty where the change is in the reading of a text."""
    if set(weeks) == {0}:
        return ""
    return f"{'week' if len(set(weeks)) == 1 else 'weeks'} {words.weeks_text(weeks)}"


def trend_text(trend: Spread, unit: Unit) -> str:
    """A gain or loss a week with its range."""
    low, high = change_text(trend.p10, unit), change_text(trend.p90, unit)
    return f"{change_text(trend.mean, unit)} {unit} a week ({low} to {high})"


def index_page(title: str, groups: Sequence[tuple[str, Sequence[Link]]], sentence: str = "") -> str:
    """A page of links by group."""
    made = [group(name, links=links) for name, links in groups]
    return fill("tables.html", title=title, lead=sentence, groups=made)
