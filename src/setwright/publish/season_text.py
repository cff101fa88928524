"""A season for a terminal, 80 columns: what the coach's page says."""

from __future__ import annotations

from setwright.publish.season_words import SeasonReport
from setwright.publish.terminal import fill


def season_text(report: SeasonReport) -> str:
    """The season in lines."""
    lines = [fill(f"{report.title}: {report.subtitle}"), *([fill(report.lead)] if report.lead else []), ""]
    for goal in report.goals:
        lines.append(fill(f"{goal.name}: {goal.stands}"))
        lines += [fill(f"{label}: {text}", "  ") for label, text in goal.facts]
    if report.events:
        lines += ["", "Dates"]
        lines += [fill(f"{name}, {when}" + (f": {text}" if text else ""), "  ") for name, when, text in report.events]
    lines += ["", "The weeks until then"]
    for row in report.plan:
        lines.append(fill(f"{row.what}, {row.when}, {row.weeks} weeks. {row.why}".rstrip(), "  "))
    return "\n".join([*lines, "", *map(fill, report.notes)])
