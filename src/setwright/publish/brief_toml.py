"""A proposed brief as the TOML file a coach edits: every line with the reason above it, what is left to them below."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from datetime import date

from setwright.publish.strength_chart import printable
from setwright.review.next_brief import BriefLine, NextBrief

WIDTH = 100


def brief_toml(brief: NextBrief) -> str:
    """The text of the file; ``check`` and ``design`` take it as it is."""
    parts = [comment(" ".join(brief.about)), "\n".join(map(line_text, brief.lines))]
    for table in brief.tables:
        head = f"[[{table.name}]]" if table.is_list else f"[{table.name}]"
        why = [comment(table.why)] if table.why else []
        parts.append("\n".join([*why, head, *map(line_text, table.lines)]))
    if brief.left:
        parts.append("\n".join([comment("Left to you:"), *(comment(f"- {one}", "  ") for one in brief.left)]))
    return "\n\n".join(parts) + "\n"


def comment(text: str, hang: str = "") -> str:
    """A text as comment lines; ``hang`` stands before all lines after the first."""
    lines = textwrap.wrap(printable(text), WIDTH - 2, subsequent_indent=hang, break_on_hyphens=False)
    return "\n".join(f"# {line}" for line in lines)


def line_text(line: BriefLine) -> str:
    """A key with its value, and above it why."""
    why = line.why[:1].upper() + line.why[1:].rstrip(".") + "."
    return f"{comment(why)}\n{key_text(line.key)} = {value_text(line.value)}"


def key_text(key: str) -> str:
    """A key, in quotes where it needs them."""
    plain = key.replace("_", "").replace("-", "")
    return key if plain.isascii() and plain.isalnum() else value_text(key)


def value_text(value: object) -> str:
    """A value in TOML. TypeError for what a brief does not hold.

    >>> value_text([6.5, 8]), value_text('say "up"')
    ('[6.5, 8]', '"say \\\\"up\\\\""')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (int, float)):
        return f"{value:g}"
    if isinstance(value, str):
        return '"' + "".join(escaped(one) for one in value) + '"'
    if isinstance(value, Sequence):
        return f"[{', '.join(map(value_text, value))}]"
    raise TypeError(f"found {type(value).__name__}, expected text, number, date, true or false, or a list of them")


def escaped(letter: str) -> str:
    """A letter of a basic string: quotes, backslashes and control characters escaped."""
    if letter in '"\\':
        return "\\" + letter
    return f"\\u{ord(letter):04X}" if ord(letter) < 32 or ord(letter) == 127 else letter
