"""Pages: the same values as HTML that stands alone. No script, no request to anywhere, readable on a phone first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Session
from setwright.publish import words
from setwright.publish.sheet import FOOT, credit_rows, entry_data, talk_of
from setwright.publish.units import Unit
from setwright.review.findings import Review
from setwright.strength.estimates import Estimates

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
    values = {"sub": "", "home": "", "foot": FOOT, **values}
    text: str = _environment().get_template(template).render(**values)
    return text


def parts_of(session: Session, catalogue: Catalogue, unit: Unit) -> list[dict[str, Any]]:
    """Parts of a session for a page."""
    return [
        {
            "title": words.PART_NAMES[part.part],
            "hint": "Letters belong together: do them in turn." if any(one.superset for one in part.entries) else "",
            "entries": [entry_data(entry, part, catalogue, unit) for entry in part.entries],
        }
        for part in session.parts
    ]


def session_page(block: Block, week: int, day: str, catalogue: Catalogue, unit: Unit = "kg") -> str:
    """One session as a page."""
    this_week, session = words.find_session(block, week, day)
    when = words.date_text(words.session_date(block, week, day))
    return fill(
        "session.html",
        title=f"{words.DAY_NAMES[day]}, {when}",
        sub=f"{block.inputs.trainee.name}: {block.title}. {words.week_title(block, this_week)}, "
        f"about {session.minutes:.0f} min.",
        home="../index.html",
        lead=f"Effort today, {words.effort_of_week(this_week)}.",
        parts=parts_of(session, catalogue, unit),
        cautions=block.cautions,
    )


def block_page(block: Block, catalogue: Catalogue, unit: Unit = "kg") -> str:
    """The whole block as one page: weeks, sessions that open, counted sets, what could not be met."""
    weeks = [
        {
            "title": words.week_title(block, week),
            "effort": words.effort_of_week(week),
            "first": week.number == block.weeks[0].number,
            "sessions": [
                {
                    "title": f"{words.DAY_NAMES[session.day]}: {session.title} ({session.minutes:.0f} min)",
                    "parts": parts_of(session, catalogue, unit),
                }
                for session in week.sessions
            ],
        }
        for week in block.weeks
    ]
    return fill(
        "block.html",
        title=block.title,
        sub=f"{block.inputs.trainee.name}: {len(block.weeks)} weeks from {words.date_text(block.inputs.brief.start)}",
        home="index.html",
        proof=words.proof_text(block),
        cautions=block.cautions,
        weeks=weeks,
        credits=credit_rows(block),
        credit_head=["", *(f"week {week.number}" for week in block.weeks)],
        unmet=block.unmet,
    )


def notes_page(block: Block, week: int, day: str, catalogue: Catalogue, unit: Unit = "kg") -> str:
    """The coach's notes for one session as a page."""
    this_week, session = words.find_session(block, week, day)
    groups = []
    for part in session.parts:
        talks = [talk_of(entry, catalogue) for entry in part.entries]
        rows = [[talk["name"], talk["what"], talk["look"], talk["instead"]] for talk in talks]
        head = ["", "What it is for", "Look at, and how hard", "Instead"]
        groups.append(group(words.PART_NAMES[part.part], head=head, rows=rows))
    return fill(
        "tables.html",
        title=f"Coach's notes: {words.DAY_NAMES[day]}",
        sub=f"{block.title}. {words.week_title(block, this_week)}: {words.effort_of_week(this_week)}.",
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
    return {"title": title, "sentence": sentence, "links": list(links), "head": list(head), "rows": list(rows)}


def changes_page(block: Block, catalogue: Catalogue) -> str:
    """What changed in this revision, and why; equal changes of several weeks once."""
    grouped = words.grouped_changes(block)
    by_day: dict[str, list[list[str]]] = {}
    for weeks, one in grouped:
        by_day.setdefault(one.session, []).append([words.weeks_text(weeks), one.from_, one.to, one.why])
    groups = [
        group(words.DAY_NAMES.get(day, day), head=["Weeks", "Was", "Is", "Why"], rows=rows)
        for day, rows in by_day.items()
    ]
    if block.unmet:
        groups.append(
            group("Not met, or bent", head=["Wish or rule", "Why"], rows=[[u.wish, u.why] for u in block.unmet])
        )
    return fill(
        "tables.html",
        title="What changed, and why",
        sub=f"{block.inputs.trainee.name}: {block.title}, revision {block.revision}",
        home="index.html",
        lead=f"{len(grouped)} changes. Everything that is not listed is as it was. {block.proof.note}",
        groups=groups,
    )


def estimate_page(estimates: Estimates, catalogue: Catalogue, block: Block) -> str:
    """How strong, how sure: each lift with its range."""
    rows = []
    for slug, one in sorted(estimates.lifts.items()):
        whole = one.posterior.one_rm()
        low, high = whole.p10 - one.body_part_kg, whole.p90 - one.body_part_kg
        trend = one.trend_per_week
        change = (
            "not told yet" if trend is None else f"{trend.mean:+.1f} kg a week ({trend.p10:+.1f} to {trend.p90:+.1f})"
        )
        rows.append([words.name_of(slug, catalogue), f"{low:.0f} to {high:.0f} kg", change, one.rests_on])
    bias = estimates.effort_bias_reps()
    return fill(
        "tables.html",
        title="How strong, and how sure",
        sub=f"{estimates.trainee.name}, as of {words.date_text(estimates.today)}",
        home="index.html",
        lead="The one-repetition maximum lies in the range 8 times in 10. Added load for pull-ups and dips.",
        groups=[
            group("Lifts with sets", head=["Lift", "One-repetition maximum", "Change", "Rests on"], rows=rows),
            group(
                "Calling the reserve",
                f"Called reserves are too low by about {bias.mean:.1f} repetitions ({bias.p10:.1f} to {bias.p90:.1f}).",
            ),
        ],
    )


def review_page(review: Review, catalogue: Catalogue, block: Block) -> str:
    """Done against planned by week, and findings by weight."""
    weeks = []
    for week, load in zip(review.weeks, review.loads, strict=True):
        monotony = "not defined" if load.monotony is None else f"{load.monotony:.1f}"
        strain = "not defined" if load.strain is None else f"{load.strain:.0f}"
        done = f"{week.sessions_done} of {week.sessions_planned}"
        weeks.append([str(week.number), done, f"{load.load_au:.0f}", monotony, strain])
    found = []
    for one in review.findings:
        sure = "" if one.probability is None else f"{100 * one.probability:.0f} %"
        found.append([one.kind, one.about, one.evidence, sure, one.settles_it])
    return fill(
        "tables.html",
        title="Review",
        sub=f"{block.inputs.trainee.name}: {block.title}",
        home="index.html",
        groups=[
            group(
                "Findings, most important first",
                head=["What", "About", "Evidence", "Sure", "What settles it"],
                rows=found,
            ),
            group(
                "Weeks",
                "Load: session RPE times minutes, rest days 0. Monotony: mean over deviation (n - 1) of 7 days.",
                head=["Week", "Sessions", "Load", "Monotony", "Strain"],
                rows=weeks,
            ),
        ],
        lead="",
    )


def index_page(title: str, groups: Sequence[tuple[str, Sequence[Link]]], sentence: str = "") -> str:
    """A page of links by group."""
    made = [group(name, links=links) for name, links in groups]
    return fill("tables.html", title=title, lead=sentence, groups=made)
