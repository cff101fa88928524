"""What is derived from the log and the decisions, as it stands: to hold a rebuild against."""

from __future__ import annotations

from typing import Any

from setwright.records import models


def derived_of(row: models.Trainee) -> dict[str, Any]:
    """Overview and planned days of a trainee as they stand in the data base; empty where nothing was counted yet."""
    overview = models.Overview.objects.filter(trainee=row).values().first() or {}
    overview.pop("counted_at", None)
    days = row.planned_days.order_by("date").values_list("date", "week", "day", "title", "minutes")
    return {**overview, "days": list(days)}
