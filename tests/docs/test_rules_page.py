"""The page of rules is made from the book and cannot drift; the lines it shows read.

Referee: the project's table of published planning rules, its ids typed in.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from setwright.plan.brief_file import read_brief
from setwright.plan.own_rules import OWN_KINDS
from setwright.plan.rules import RULES
from setwright.plan.rules.page import MARK, NOT_HERE, rule_tables
from setwright.services.templates import template_text

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "rules-of-training.md").read_text(encoding="utf-8")
HEAD = 'id = "x"\nweeks = 6\ndays_a_week = 2\nminutes = 60\nstart = 2026-09-07\n'
PUBLISHED = [
    *(f"V{n:02d}" for n in range(1, 11)),
    *(f"L{n:02d}" for n in range(1, 12)),
    *(f"T{n:02d}" for n in range(1, 11)),
    *(f"W{n:02d}" for n in range(1, 9)),
    *(f"D{n:02d}" for n in range(1, 6)),
    *(f"M{n:02d}" for n in range(1, 9)),
    *(f"S{n:02d}" for n in range(1, 8)),
]


def not_here() -> set[str]:
    """The ids that the page accounts for outside the book, ranges spelled out."""
    found: set[str] = set()
    for names, _, _ in NOT_HERE:
        ids = re.findall(r"[A-Z]\d\d", names)
        if " to " in names:
            ids = [f"{ids[0][0]}{n:02d}" for n in range(int(ids[0][1:]), int(ids[1][1:]) + 1)]
        found |= set(ids)
    return found


def test_the_page_is_made_from_the_book() -> None:
    """When this fails: python -m setwright.plan.rules.page, and put it below the line of the page that says so."""
    assert PAGE[PAGE.index(MARK) :] == rule_tables()


@pytest.mark.parametrize("rule", PUBLISHED)
def test_every_row_of_the_table_is_in_the_book_or_accounted_for(rule: str) -> None:
    assert (rule in {one.id for one in RULES}) != (rule in not_here())


def test_rules_of_ones_own_have_ids_that_the_table_does_not_use() -> None:
    assert {one.id[0] for one in RULES if one.id not in PUBLISHED} == {"C", "G", "X"}


@pytest.mark.parametrize("text", re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL))
def test_what_the_page_shows_reads(text: str) -> None:
    brief = read_brief(HEAD + text, "brief.toml")

    assert brief.rules or brief.own_rules


def test_the_page_and_the_template_show_every_kind_of_own_rule() -> None:
    for kind in OWN_KINDS:
        assert f"`{kind}`" in PAGE and kind in template_text("brief")


def uncommented(template: str) -> list[str]:
    """Each commented example of the template that is a table of its own, without its comment marks."""
    blocks = re.findall(r"(?:^# .*\n)+", template, re.MULTILINE)
    texts = ["\n".join(line.removeprefix("# ") for line in one.splitlines()) for one in blocks]
    return [text[text.index("[[") :] for text in texts if "[[own_rules]]" in text or "[[rules]]" in text]


EXAMPLES = uncommented(template_text("brief"))


def test_the_template_shows_enough_examples() -> None:
    assert len(EXAMPLES) == 8


@pytest.mark.parametrize("text", EXAMPLES)
def test_an_example_of_the_template_reads(text: str) -> None:
    brief = read_brief(HEAD + text, "brief.toml")

    assert len(brief.rules) + len(brief.own_rules) == 1


def test_the_curve_of_the_template_reads() -> None:
    lines = re.findall(
        r"^# ((?:rpe_by_week|sets_by_week|easy_weeks|priorities) = \[[^\]]*\])", template_text("brief"), re.M
    )
    brief = read_brief(HEAD + "\n".join(lines), "brief.toml")

    assert len(lines) == 4 and brief.easy_weeks == (6,) and brief.priorities == ("skill", "size")
