"""The picture of an hour: a row for each trainee, a bar for each visit, by its letter. Plain SVG, readable in grey."""

from __future__ import annotations

from html import escape

from setwright.publish.floor_words import FloorReport, clock, first_names

WIDTH, LABEL, ROW, TOP = 1000.0, 110.0, 23.0, 24.0
TINTS = {
    "warm-up": "#e6e6e6",
    "main": "#f2b37a",
    "skill": "#e7d27a",
    "assistance": "#a9cbe8",
    "finisher": "#c9b6e4",
    "loaded-mobility": "#b5dcb8",
    "conditioning": "#e8b4bd",
}


def floor_svg(report: FloorReport) -> str:
    """The picture as SVG text."""
    span = max(60, report.end_s)
    height = TOP + ROW * len(report.people) + 6

    def x(seconds: float) -> float:
        return LABEL + (WIDTH - LABEL - 12) * seconds / span

    title = f"{report.title}: done at {clock(report.end_s)}"
    found = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" role="img" '
        f'style="width:100%;background:#fff" font-family="Open Sans, sans-serif">',
        f"<title>{escape(title)}</title>",
    ]
    step = 300 if span <= 5400 else 600
    for at in range(0, span + 1, step):
        found.append(
            f'<line x1="{x(at):.1f}" x2="{x(at):.1f}" y1="{TOP - 4:g}" y2="{height - 4:g}" stroke="#bbb" '
            f'stroke-width="0.7"/><text x="{x(at):.1f}" y="15" font-size="12" text-anchor="middle" '
            f'fill="#333">{at // 60}</text>'
        )
    labels = first_names([person.label for person in report.people])
    for number, person in enumerate(report.people):
        y = TOP + ROW * number
        found.append(name_text(labels[number], y))
        for line in person.lines:
            width = max(2.0, x(line.to_s) - x(line.from_s))
            found.append(
                f'<rect x="{x(line.from_s):.1f}" y="{y + 2:g}" width="{width:.1f}" height="{ROW - 4:g}" rx="2" '
                f'fill="{TINTS.get(line.part, "#ddd")}" stroke="#555" stroke-width="0.6"/>'
            )
            if width >= 11:
                found.append(
                    f'<text x="{x(line.from_s) + width / 2:.1f}" y="{y + 16:g}" font-size="13" text-anchor="middle" '
                    f'fill="#111">{line.letter}</text>'
                )
    return "".join(found) + "</svg>"


def names_svg(report: FloorReport) -> str:
    """The names of the picture alone, as high as it: they stay in sight where a phone moves the bars along."""
    height = TOP + ROW * len(report.people) + 6
    labels = first_names([person.label for person in report.people])
    found = [name_text(label, TOP + ROW * number) for number, label in enumerate(labels)]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {LABEL:g} {height:g}" aria-hidden="true" class="names" '
        f'style="width:{100 * LABEL / WIDTH:g}%;background:#fff" font-family="Open Sans, sans-serif">'
        f"{''.join(found)}</svg>"
    )


def name_text(label: str, y: float) -> str:
    """A name at the left of its row."""
    return f'<text x="4" y="{y + 16:g}" font-size="14" fill="#111">{escape(label[:14])}</text>'
