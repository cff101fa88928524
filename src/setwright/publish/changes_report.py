"""What a revision changes, as a page and on paper: each change by its number, with its reason, evidence and verdict.

The numbers are those of the terminal, so that a coach accepts or declines by them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from shlex import quote

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block
from setwright.publish import words
from setwright.publish.page import fill, weeks_label
from setwright.publish.sheet import Paper, base, on_fewest_pages, section
from setwright.publish.units import Unit, in_unit
from setwright.review.approval import Approval, approvals, worst

VERDICTS: dict[Approval, str] = {
    "less": "May be used at once: it is less",
    "small step": "May be used at once: a small step",
    "coach": "Waits for you",
}


@dataclass(frozen=True)
class Deciding:
    """The files that accept and decline name, as the coach types them; empty where there is none to name."""

    block: str = "block.json"
    before: str = ""
    records: str = ""


@dataclass(frozen=True)
class ChangeRow:
    """One change as a coach reads it. ``verdict`` is empty where nothing is known of the block before."""

    number: int
    day: str
    week: int
    weeks: str
    was: str
    becomes: str
    why: str
    evidence: str
    verdict: str
    waits: bool


@dataclass(frozen=True)
class ChangesReport:
    """All changes of a revision, what decides about them, and what could not be met.

    rests_on : the log that all of them rest on, and how few they are, or empty
    commands : what each does, and what to type
    """

    title: str
    subtitle: str
    lead: str
    rests_on: str
    rows: tuple[ChangeRow, ...]
    commands: tuple[tuple[str, str], ...]
    unmet: tuple[tuple[str, str], ...]


def changes_report(
    block: Block,
    catalogue: Catalogue,
    unit: Unit | None = None,
    before: Block | None = None,
    deciding: Deciding | None = None,
) -> ChangesReport:
    """The report on a revision.

    before : the block it was made from; then each change says whether it may be used before the coach has looked
    """
    free = approvals(before, block, catalogue) if before is not None else ()
    mark = shared_mark([one.evidence for one in block.changes])
    rows: list[ChangeRow] = []
    said: dict[str, int] = {}
    for number, group in enumerate(words.change_groups(block), start=1):
        raw = [block.changes[row - 1] for row in group]
        one = words.spoken_change(block, raw[0], unit)
        verdict = worst(free[row - 1] for row in group) if free else "coach"
        rows.append(
            ChangeRow(
                number,
                DAY_NAMES.get(one.session, one.session),
                min(each.week for each in raw),
                weeks_label([each.week for each in raw]),
                f"{one.entry}: {one.from_}" if one.entry.startswith("filler") else one.from_,
                one.to,
                words.told_once(one.why, number, said),
                one.evidence.removesuffix(mark).removesuffix("; "),
                VERDICTS[verdict] if free else "",
                verdict == "coach",
            )
        )
    # A proof of the block before says nothing of these changes.
    note = "" if before is not None and before.proof.note == block.proof.note else block.proof.note
    return ChangesReport(
        title="What changed, and why",
        subtitle=f"{block.inputs.trainee.name}: {block.title}, revision {block.revision}",
        lead=summary(rows),
        rests_on=" ".join(
            text
            for text in (
                f"All of them rest on the {mark}." if mark else "",
                in_unit(note, unit or words.block_unit(block)),
            )
            if text
        ),
        rows=tuple(rows),
        commands=tuple(commands_of(rows, deciding or Deciding())) if block.parent is not None else (),
        unmet=tuple((one.wish, one.why) for one in words.spoken_unmet(block, unit)),
    )


def shared_mark(evidence: Sequence[str]) -> str:
    """The words on the log that end the evidence of every change, or an empty text."""
    ends = [text.rpartition("; ")[2] for text in evidence]
    same = bool(ends) and len(set(ends)) == 1 and ends[0].startswith("log to ")
    return ends[0] if same else ""


def summary(rows: Sequence[ChangeRow]) -> str:
    """How many changes there are, and which of them wait for the coach."""
    said = f"{words.counted(len(rows), 'change')}; everything else is as it was."
    if not any(one.verdict for one in rows):
        return said
    waits, free = ([one.number for one in rows if one.waits is kind] for kind in (True, False))
    if not free:
        return f"{said} {'It waits' if len(rows) == 1 else 'All of them wait'} for you."
    named = ("Change " if len(free) == 1 else "Changes ") + numbers_text(free).replace(",", ", ").replace("-", " to ")
    if not waits:
        return f"{said} {'It' if len(rows) == 1 else 'All of them'} may be used at once."
    rest = "the other one waits" if len(waits) == 1 else f"the other {len(waits)} wait"
    return f"{said} {named} may be used at once; {rest} for you."


def numbers_text(numbers: Sequence[int]) -> str:
    """Numbers as ``--changes`` reads them: ``1,3-5``.

    >>> numbers_text([1, 3, 4, 5])
    '1,3-5'
    """
    runs: list[list[int]] = []
    for one in numbers:
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ",".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


def commands_of(rows: Sequence[ChangeRow], names: Deciding) -> list[tuple[str, str]]:
    """What a coach types to take all, some, or none of the changes."""
    kept = f" --records {quote(names.records)}" if names.records else ""
    made_from = f" --before {quote(names.before)}" if names.before else ""
    some, one = numbers_text([row.number for row in rows][:2]), rows[-1].number if rows else 1
    block = quote(names.block)
    free = [row.number for row in rows if row.verdict and not row.waits]
    said = [("Take all", f"setwright accept {block}{kept}")]
    if free and len(free) < len(rows):
        said.append(("Take what may be used at once", f"setwright accept {block} --without-asking{made_from}{kept}"))
    if len(rows) > 1:
        said.append(("Take some, by number", f"setwright accept {block} --changes {some}{made_from}{kept}"))
    decline = f'setwright decline {block} --changes {one} --reason "why"{kept}'
    return [*said, ("Decline one, by number", decline)]


def whole(text: str) -> str:
    """A text whose masses keep their unit on the same line."""
    return re.sub(r"(?<=\d) (?=(?:kg|lb)\b)", "\u00a0", text)


def changes_page(
    block: Block,
    catalogue: Catalogue,
    unit: Unit | None = None,
    before: Block | None = None,
    deciding: Deciding | None = None,
) -> str:
    """The changes of a revision as a page that stands alone."""
    report = changes_report(block, catalogue, unit, before, deciding)
    return fill(
        "changes.html",
        title=report.title,
        sub=report.subtitle,
        home="index.html",
        lead=report.lead,
        rests_on=report.rests_on,
        commands=report.commands,
        unmet=report.unmet,
        days=[(title, list(rows)) for title, rows in groupby(report.rows, key=day_title)],
    )


def day_title(one: ChangeRow) -> str:
    """The heading a change stands under, in the order of the numbers: ``Week 5: Monday``."""
    week = f"Week {one.week}" if one.week else ""
    return ": ".join(text for text in (week, one.day) if text) or "The whole block"


def changes_pdf(
    block: Block,
    catalogue: Catalogue,
    paper: Paper = "a4",
    unit: Unit | None = None,
    before: Block | None = None,
    deciding: Deciding | None = None,
) -> bytes:
    """The changes of a revision on paper, on the fewest pages that stay readable."""
    report = changes_report(block, catalogue, unit, before, deciding)
    head = ["", "When", "Was", "Becomes", "Why, and what it rests on", "May be used"]
    rows = [
        [
            str(one.number),
            f"{one.day[:3]} {one.weeks}".strip(),
            whole(one.was),
            whole(one.becomes),
            "\n".join(text for text in (one.why, one.evidence) if text),
            one.verdict or "-",
        ]
        for one in report.rows
    ]
    sections = [section("Changes", tables=[{"columns": [0, 1.1, 2.4, 2.4, 4, 1.5], "head": head, "rows": rows}])]
    if report.unmet:
        bent = [list(one) for one in report.unmet]
        sections.append(
            section("Not met, or bent", tables=[{"columns": [1, 2], "head": ["Wish or rule", "Why"], "rows": bent}])
        )
    if report.commands:
        typed = [list(one) for one in report.commands]
        sections.append(section("How to decide", tables=[{"columns": [1, 4], "head": ["To", "Type"], "rows": typed}]))
    data = base(block, paper, report.title, report.subtitle, "", "")
    lead = " ".join(text for text in (report.lead, report.rests_on) if text)
    return on_fewest_pages({**data, "flipped": True, "lead": lead, "sections": sections})[1]
