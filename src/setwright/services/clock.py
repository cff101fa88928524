"""The clock: the only place that looks at it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta


def today() -> date:
    """Today, where the machine is."""
    return datetime.now().date()


def now_text() -> str:
    """This moment in UTC, to the second."""
    return datetime.now(UTC).replace(microsecond=0).isoformat()


def now_utc() -> datetime:
    """This moment in UTC, to the second."""
    return datetime.now(UTC).replace(microsecond=0)


def next_monday() -> date:
    """The coming Monday; today if it is one."""
    day = today()
    return day + timedelta(days=-day.weekday() % 7)
