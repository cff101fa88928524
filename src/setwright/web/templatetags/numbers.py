"""The rows of long tables, made at once: a review of two years holds twenty thousand numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from django import template
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


@register.filter
def as_named_rows(rows: Iterable[Sequence[object]], head: Sequence[str]) -> SafeString:
    """Rows whose cells carry the name of their column, so that a narrow screen can show each row as lines.

    >>> as_named_rows([["1", "4 (4)"]], ["Week", "Sessions"])
    '<tr><td data-of="Week">1</td><td data-of="Sessions">4 (4)</td></tr>'
    """
    made = [
        "".join([f'<td data-of="{escape(of)}">{escape(str(cell))}</td>' for of, cell in zip(head, row, strict=True)])
        for row in rows
    ]
    return mark_safe("".join(f"<tr>{row}</tr>" for row in made))


@register.filter
def as_rows(rows: Iterable[Sequence[object]]) -> SafeString:
    """Rows of cells as those of a table.

    >>> as_rows([["squat", 100], ["a < b", ""]])
    '<tr><td>squat</td><td>100</td></tr><tr><td>a &lt; b</td><td></td></tr>'
    """
    return mark_safe("".join(f"<tr>{''.join([f'<td>{escape(str(cell))}</td>' for cell in row])}</tr>" for row in rows))
