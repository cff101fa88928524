"""A season in its published form, and the JSON Schemas of it and of the season file."""

from __future__ import annotations

from datetime import date
from typing import Any

from setwright.people.intake import TARGET_UNITS
from setwright.people.season import EVENT_KINDS, MOST_TAPER
from setwright.publish.schemas import TEXT, closed, listed, maybe, number
from setwright.review.group_volume import GroupMove
from setwright.review.no_forecast import pain_words
from setwright.review.season import Counted, EventAhead, SeasonView
from setwright.review.season_goals import Amount, GoalStanding
from setwright.review.season_weeks import Stretch

GOAL_KINDS = ("strength", "size", "skill", "range", "work-capacity", "keep")
VERDICTS = ("there", "likely", "open", "behind", "short", "no date", "no forecast")
WEEK_KINDS = ("build", "easy", "taper", "test", "break", "way back")


def rounded(value: float | None, places: int = 3) -> float | None:
    """A number rounded, or None."""
    return None if value is None else round(value, places) + 0.0


def day(value: date | None) -> str | None:
    """A day as ISO text, or None."""
    return None if value is None else value.isoformat()


def season_json(view: SeasonView) -> dict[str, Any]:
    """The published form of ``season --json``: everything the coach sees, loads in kg as printed."""
    return {
        "season": view.season.id,
        "trainee": view.trainee.id,
        "as_of": view.today.isoformat(),
        "show_dates": view.season.show_dates,
        "last_block": None if view.block is None else view.block.id,
        "goals": [goal_json(one) for one in view.standings],
        "events": [event_json(one) for one in view.events],
        "weeks": [stretch_json(one) for one in view.stretches],
        "groups": [group_json(one) for one in view.moves],
        "no_forecast": [
            *(f"restriction {one.id}" for one in view.limits.restrictions),
            *(pain_words(one) for one in view.limits.pains),
        ],
    }


def amount_json(one: Amount | None) -> dict[str, Any] | None:
    """An amount with its range, or None."""
    if one is None:
        return None
    return {"p10": rounded(one.low), "mean": rounded(one.middle), "p90": rounded(one.high), "unit": one.unit}


def goal_json(one: GoalStanding) -> dict[str, Any]:
    """One goal."""
    goal = one.goal
    likely = one.likely or (None, None, None)
    return {
        "kind": goal.kind,
        "about": goal.about,
        "name": one.name,
        "priority": goal.priority,
        "by": day(goal.by),
        "verdict": one.verdict,
        "why": one.why,
        "now": amount_json(one.now),
        "target": amount_json(one.target),
        "chance": rounded(one.chance),
        "likely_by": {"p10": day(likely[0]), "p50": day(likely[1]), "p90": day(likely[2])},
        "on_its_day": amount_json(one.ahead),
        "trend": one.trend,
        "rests_on": one.rests_on,
    }


def event_json(one: EventAhead) -> dict[str, Any]:
    """One event."""

    def counted(row: Counted) -> dict[str, Any]:
        return {"about": row.about, "likely": amount_json(row.likely), "why": row.why}

    event = one.event
    return {
        "name": event.name,
        "kind": event.kind,
        "date": event.date.isoformat(),
        "until": day(event.until),
        "weeks_left": round(one.weeks_left, 1),
        "counts": [counted(row) for row in one.counts],
    }


def stretch_json(one: Stretch) -> dict[str, Any]:
    """One stretch of weeks."""
    weeks = [{"start": week.start.isoformat(), "kind": week.kind, "event": week.event} for week in one.weeks]
    return {"title": one.title, "to_come": bool(one.number), "weeks": weeks, "why": list(one.why)}


def group_json(one: GroupMove) -> dict[str, Any]:
    """What the last block showed of a group, and what the next one would do."""
    return {
        "group": one.shown.name,
        "sets_planned": rounded(one.shown.planned, 2),
        "sets_done": rounded(one.shown.done, 2),
        "chance_of_gain": rounded(one.shown.gained),
        "lifts": list(one.shown.lifts),
        "next": one.move,
        "next_sets": rounded(one.sets, 2),
        "why": one.why,
    }


DATE: dict[str, Any] = {"type": "string", "format": "date"}


def season_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``season --json`` and season.json."""
    value = {"type": "number"}
    amount = maybe(closed(p10=value, mean=value, p90=value, unit=TEXT))
    share = number(0, 1, "chance, 0 to 1")
    sets = number(0, 200, "counted sets of the hardest week")
    goal = closed(
        kind={"enum": list(GOAL_KINDS)},
        about=TEXT,
        name=TEXT,
        priority=number(1, 3, "1 first", whole=True),
        by=maybe(DATE),
        verdict={"enum": list(VERDICTS)},
        why=TEXT,
        now=amount,
        target=amount,
        chance=maybe(share),
        likely_by=closed(p10=maybe(DATE), p50=maybe(DATE), p90=maybe(DATE)),
        on_its_day=amount,
        trend=TEXT,
        rests_on=TEXT,
    )
    event = closed(
        name=TEXT,
        kind={"enum": list(EVENT_KINDS)},
        date=DATE,
        until=maybe(DATE),
        weeks_left=number(0, 1000, "weeks until it"),
        counts=listed(closed(about=TEXT, likely=amount, why=TEXT)),
    )
    week = closed(start=DATE, kind={"enum": list(WEEK_KINDS)}, event=TEXT)
    group = closed(
        group=TEXT,
        sets_planned=sets,
        sets_done=sets,
        chance_of_gain=maybe(share),
        lifts=listed(TEXT),
        next={"enum": ["raise", "hold", "lower"]},
        next_sets=sets,
        why=TEXT,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright season, version 1",
        **closed(
            season=TEXT,
            trainee=TEXT,
            as_of=DATE,
            show_dates={"type": "boolean", "description": "whether the trainee sees forecast dates"},
            last_block=maybe(TEXT),
            goals=listed(goal),
            events=listed(event),
            weeks=listed(closed(title=TEXT, to_come={"type": "boolean"}, weeks=listed(week), why=listed(TEXT))),
            groups=listed(group),
            no_forecast=listed({**TEXT, "description": "a restriction, or pain of late"}),
        ),
    }


def open_keys(required: list[str], **properties: dict[str, Any]) -> dict[str, Any]:
    """An object with these keys, some of them required, and no other."""
    return {"type": "object", "properties": properties, "required": required, "additionalProperties": False}


def season_file_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of the season file; TOML dates stand as ISO text."""
    flag = {"type": "boolean"}
    event = open_keys(
        ["name", "date"],
        name=TEXT,
        date=DATE,
        kind={"enum": list(EVENT_KINDS)},
        until={**DATE, "description": "the last day"},
        counts=listed({**TEXT, "description": "lift or progression"}),
        taper_weeks=number(0, MOST_TAPER, "weeks before it with fewer sets", whole=True),
        note=TEXT,
    )
    goal = open_keys(
        ["kind"],
        kind={"enum": list(GOAL_KINDS)},
        about=TEXT,
        priority=number(1, 3, "1 first", whole=True),
        target=number(0, 2000, "in unit"),
        unit={"enum": list(TARGET_UNITS)},
        by=DATE,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright season file, version 1",
        **open_keys(
            ["id", "trainee"],
            id=TEXT,
            trainee={**TEXT, "description": "the id in the trainee file"},
            title=TEXT,
            **{"from": DATE},
            until=DATE,
            show_dates={**flag, "description": "whether the trainee sees forecast dates"},
            invented=flag,
            note=TEXT,
            events=listed(event),
            goals=listed(goal),
            progressions=listed(open_keys(["progression"], progression=TEXT, way=TEXT, by=DATE)),
            blocks=listed({"oneOf": [open_keys(["file"], file=TEXT), open_keys(["id"], id=TEXT)]}),
        ),
    }
