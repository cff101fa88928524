"""A picture with its words and its numbers: one Vega-Lite value, its description, and the table that stands below it.

Every picture of a page is one of these, so that none can be there without a description and the same numbers in words.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from setwright.publish.strength_chart import INK, LOOK, WIDTH, chart_svg, printable

CAPTION_LETTERS = 58  # of a line of the caption below the title, where a picture stands alone


@dataclass(frozen=True)
class Table:
    """Rows of texts below their heads; ``title`` says what they are, or is empty."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""


@dataclass(frozen=True)
class Picture:
    """One picture of a page. ``tables`` hold all of its numbers, ``printed`` those that fit below it on paper.

    slug : its name as a file; caption : what the marks mean and by which convention; spec : the Vega-Lite value, with
    ``description`` in it
    """

    slug: str
    title: str
    caption: str
    spec: dict[str, Any]
    tables: tuple[Table, ...]
    printed: Table

    @property
    def description(self) -> str:
        """The picture in words."""
        return str(self.spec["description"])


def framed(description: str, **body: Any) -> dict[str, Any]:
    """A Vega-Lite value with the look that all pictures share; ``body``: its layers or panels."""
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v5.json",
        "description": printable(description),
        "background": None,
        "padding": 4,
        "config": LOOK,
        **body,
    }


def drawing(description: str, layers: Sequence[dict[str, Any]], height: float) -> dict[str, Any]:
    """Layers over each other in one plot, as wide as a phone leaves room for; ``height``: of the plot, px."""
    return framed(description, width=WIDTH, height=height, layer=list(layers))


def svg_inside(picture: Picture) -> str:
    """The picture for a page or a sheet, whose heading and caption stand around it."""
    spec = {key: value for key, value in picture.spec.items() if key != "title"}
    return chart_svg(spec)


def svg_alone(picture: Picture) -> str:
    """The picture as a file of its own: title and caption inside."""
    title = {
        "text": picture.title,
        "subtitle": textwrap.wrap(picture.caption, CAPTION_LETTERS),
        "anchor": "start",
        "frame": "bounds",
        "offset": 10,
        "fontSize": 14,
        "color": INK,
        "subtitleColor": INK,
        "subtitleFontSize": 11,
    }
    return chart_svg({**picture.spec, "title": title})
