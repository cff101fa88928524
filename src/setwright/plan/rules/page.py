"""The tables of rules for coaches, made from the book: ``python -m setwright.plan.rules.page`` prints them.

They stand in docs/rules-of-training.md below the line that ``MARK`` holds; a test keeps the two the same.
"""

from __future__ import annotations

from setwright.plan.rules import RULES
from setwright.plan.rules.book import Rule

MARK = "<!-- from here on made by: python -m setwright.plan.rules.page -->"

NOT_HERE: tuple[tuple[str, str, str], ...] = (
    ("V01", "a set counts 1 or a half", "a definition: every counted set is reckoned so"),
    (
        "L05",
        "two extra repetitions in two sessions before more load",
        "needs the log: `adapt` reckons loads from what was done",
    ),
    ("T05", "pairs take 0.5 to 0.65 of the time", "a check of the time model, kept as a test"),
    ("T06", "minutes", "hard: a design keeps them; a written session that is too long is told of, not cut"),
    ("T08", "1 to 2 s up and down", "a default: `tempo_main` in the brief"),
    ("W04", "short sessions may warm up with light sets only", "a permission: W03 is silent up to 40 min"),
    ("M01 to M08", "load, monotony, wellness, decline", "about what was done: `review`"),
    ("S02, S05", "red flags, pregnancy", "hard: the screen comes before any plan"),
    ("S03, S04", "pain in and after a set", "needs the log: `review` and `adapt`"),
    ("S06", "loaded end-range bending of the back", "hard with a history of back trouble, open otherwise"),
    ("S07", "nothing diagnoses", "a rule of the house, on every sheet"),
)


def rule_tables() -> str:
    """The tables as Markdown, one row for each rule, by subject in the order of the book."""
    lines = [MARK, "", "## The rules"]
    for subject in dict.fromkeys(one.subject for one in RULES):
        lines += ["", f"### {subject.capitalize()}", "", "| rule | says | source | level | known |"]
        lines += ["| --- | --- | --- | --- | --- |"]
        lines += [row_of(one) for one in RULES if one.subject == subject]
    lines += [
        "",
        "## Published rules that are no warnings",
        "",
        "| rule | says | where it lives |",
        "| --- | --- | --- |",
    ]
    lines += [f"| {name} | {what} | {where} |" for name, what, where in NOT_HERE]
    return "\n".join(lines) + "\n"


def row_of(rule: Rule) -> str:
    """One rule as a row of the page."""
    known = rule.seen.removeprefix("seen ")
    return f"| {rule.id} | {rule.says} | {rule.source} | {rule.level} | {known} |"


if __name__ == "__main__":
    print(rule_tables(), end="")
