"""The manual is tested: every line it shows reads, and every page it links is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from setwright.catalogue.load import catalogue
from setwright.cli.main import VERBS, run
from setwright.people.restriction_text import parse_restriction
from setwright.plan.shorthand import read_block_text
from setwright.review.log_file import COLUMNS

ROOT = Path(__file__).resolve().parents[2]
SHORTHAND = (ROOT / "docs" / "shorthand.md").read_text(encoding="utf-8")
LINES = [
    line for row in re.findall(r"^\| (`[^|]*) \|", SHORTHAND, re.MULTILINE) for line in re.findall(r"`([^`]+)`", row)
]
ENTRIES = [
    line for line in LINES if re.search(r"\d", line) and not re.match(r"^(Block|\d+ weeks|weeks|Tuesday|Day|@)", line)
]


def test_the_manual_shows_enough_lines() -> None:
    assert len(ENTRIES) >= 11


@pytest.mark.parametrize("line", ENTRIES)
def test_a_line_of_the_manual_reads(line: str) -> None:
    assert read_block_text(line, catalogue()).template.sessions[0].entries


def test_the_block_in_the_readme_reads() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (block,) = re.findall(r"```\n(Block: .*?)```", readme, re.DOTALL)

    template = read_block_text(block, catalogue()).template
    assert len(template.sessions[0].entries) == 4 and len(template.week_kinds) == 6


def test_the_readme_names_only_verbs_that_exist() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"setwright ([a-z]+) ", readme))

    assert named and named <= set(VERBS)


@pytest.mark.parametrize(
    "page",
    [
        "README.md",
        "CONTRIBUTING.md",
        "docs/glossary.md",
        "docs/cautions.md",
        "docs/files.md",
        "docs/how-strong.md",
        "docs/estimator.md",
        "docs/range-of-motion.md",
        "docs/progressions.md",
        "docs/season.md",
        "docs/schemes.md",
        "docs/changes-in-mid-block.md",
        "docs/levers.md",
        "docs/holds-and-tempo.md",
        "docs/benchmarks.md",
        "docs/fit.md",
        "docs/publishing.md",
        "docs/reasons.md",
        "docs/rules-of-training.md",
        "docs/conditioning.md",
        "docs/shorthand.md",
    ],
)
def test_links_lead_somewhere(page: str) -> None:
    path = ROOT / page
    for target in re.findall(r"\]\((?!https:)([^)#]+)\)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


FILES = (ROOT / "docs" / "files.md").read_text(encoding="utf-8")
SAYINGS = re.findall(r"`([^`]+)`", FILES.split("| you say |")[1].split("One joint a saying")[0])


@pytest.mark.parametrize("saying", SAYINGS)
def test_a_saying_of_the_manual_closes_something(saying: str) -> None:
    rule = parse_restriction(saying)
    closes = (rule.positions, rule.max_angles, rule.grip_max is not None, rule.impact_max is not None)

    assert any(bool(one) for one in closes) or rule.level != "hard"


def test_the_manual_names_every_column_a_coach_fills_in() -> None:
    table = FILES.split("| column |")[1].split("Rows left empty")[0]
    named = set(re.findall(r"`([a-z_]+)`", table)) - {"load_lb"}

    assert named <= set(COLUMNS)
    assert set(COLUMNS) - named == {"date", "week", "session", "exercise", "set", "dials"}


RANGE = (ROOT / "docs" / "range-of-motion.md").read_text(encoding="utf-8")


def test_the_manual_names_every_range_test_with_its_figure() -> None:
    """Referee: 1.96 * sqrt 2 * SEM of the data file, to two figures, against the table of the page."""
    from setwright.body.range_of_motion import range_tests

    rows = re.findall(r"^\| (`[^|]*) \| ([^|]*) \|", RANGE, re.MULTILINE)
    figures = {slug: said for names, said in rows for slug in re.findall(r"`([^`]+)`", names)}
    assert set(figures) == set(range_tests())
    for slug, test in range_tests().items():
        if test.sem is None:
            assert "own repeats" in figures[slug]
            continue
        found = float(figures[slug].split()[0])
        assert found == pytest.approx(1.96 * 2**0.5 * test.sem, rel=0.02), slug


CLIMBS = (ROOT / "docs" / "progressions.md").read_text(encoding="utf-8")


def test_the_manual_of_progressions_names_every_verdict_but_the_end() -> None:
    from typing import get_args

    from setwright.review.progress import Verdict

    table = CLIMBS.split("| what the log shows |")[1].split("Under half")[0]
    said = {"step up": "**up**", "small step": "**small step**", "step back": "**back**", "sideways": "**sideways**"}

    assert set(said) | {"stay", "top reached", "closed"} == set(get_args(Verdict))
    assert all(word in table for word in said.values()) and "stay;" in table


def test_the_dials_shown_in_the_manual_are_those_of_the_steps() -> None:
    """`support=one hand` and the like are words that a step of the catalogue knows."""
    (line,) = [one for one in CLIMBS.splitlines() if "in the column `dials`" in one]
    shown = dict(piece.split("=") for piece in re.findall(r"`(\w+=[^`]+)`", line))
    small = [one for climb in catalogue().progressions.values() for step in climb.steps for one in step.inside]

    assert shown["support"] in {one.to for one in small if one.dial == "support"}
    assert shown["assistance"] in {one.to for one in small if one.dial == "assistance"}
    assert {"hand_height_cm": float(shown["hand_height_cm"])} in [dict(one.sets) for one in small]


LEVERS = (ROOT / "docs" / "levers.md").read_text(encoding="utf-8")
ASKED = [line.split("#")[0].split() for line in re.findall(r"^setwright (levers .*)$", LEVERS, re.MULTILINE)]


@pytest.mark.parametrize("words", [one for one in ASKED if "--trainee" not in one], ids=" ".join)
def test_a_command_of_the_levers_page_answers(
    words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every example that needs no trainee file is run as it stands."""
    monkeypatch.chdir(tmp_path)

    assert len(ASKED) >= 4
    assert run(words) == 0
