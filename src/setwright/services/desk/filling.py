"""The invented roster in a data base: what ``setwright demo`` wrote, moved by whole weeks so that a week is under way.

Every person and number of it is invented; the log is simulated (``services.simulation``).
"""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import tomli_w
from django.contrib.auth import get_user_model
from django.db import transaction

from setwright.people.toml_file import read_toml
from setwright.plan.block import Block
from setwright.plan.identity import with_id
from setwright.publish.block_file import block_from_json
from setwright.records import models
from setwright.records.data_base import keep_rows
from setwright.review.log_file import as_rows, read_log, with_row_keys
from setwright.services.clock import now_text, today
from setwright.services.demo import GUESTS, INVENTED, WEEKS_LOGGED
from setwright.services.desk import jobs
from setwright.services.desk.blocks import accept, adapt_for, records_of
from setwright.services.desk.overview import count_anew
from setwright.services.desk.people import keep_document, keep_place, keep_trainee
from setwright.services.desk.practice import found_practice
from setwright.services.gather import catalogue

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
WITH_LOG_IN = ("dunja", "marit")


@dataclass(frozen=True)
class LogIn:
    """A log-in of the invented roster, made fresh and shown once."""

    who: str
    username: str
    password: str


def fill(folder: Path, say: Callable[[str], None] = lambda text: None, on: date | None = None) -> list[LogIn]:
    """Fills an empty data base from the folder of a demo; gives the log-ins. Nothing where a practice is there."""
    if models.Practice.objects.exists():
        return []
    files = folder / "files"
    moved_by = weeks_to(files / "briefs" / f"{GUESTS[0].id}.toml", on or today())
    passwords = {name: secrets.token_urlsafe(9) for name in ("coach", *WITH_LOG_IN)}
    with transaction.atomic():
        coach = found_practice("Karrenkopf rescue station (invented)", "Ilva Brandt", "coach", passwords["coach"])
        for path in sorted((files / "places").glob("*.toml")):
            keep_place(coach, path.read_text())
        rows = []
        for guest in GUESTS:
            text = moved_toml((files / "people" / f"{guest.id}.toml").read_text(), moved_by)
            row = keep_trainee(coach, text)
            brief = moved_toml((files / "briefs" / f"{guest.id}.toml").read_text(), moved_by)
            keep_document(coach.practice, "brief", guest.id, brief, coach.user, row)
            block = moved_block((folder / guest.id / "block.json").read_bytes(), moved_by)
            records_of(row, coach.user).keep_block(block, now_text())
            accept(row, block.id, None, coach.user, INVENTED)
            log = read_log((folder / guest.id / "log.csv").read_text(), guest.id, catalogue())
            kept = as_rows(with_row_keys(moved_log(log, moved_by)))
            keep_rows(row, kept, now_text(), coach.user)
            if guest.id in WITH_LOG_IN:
                row.user = get_user_model().objects.create_user(guest.id, password=passwords[guest.id])
                row.save(update_fields=["user"])
            rows.append(row)
    for row in rows:
        adapt_for(row)
        count_anew(row)
        jobs.ask(row, "count", {}, coach.user)  # what they can do takes two seconds, which no page has to wait for then
        say(f"{row.name}: block, log, what waits")
    return [LogIn(who_of(name), name, word) for name, word in passwords.items()]


def who_of(name: str) -> str:
    """What a log-in is for."""
    return "the coach" if name == "coach" else f"the trainee {name.capitalize()}"


def weeks_to(brief: Path, on: date) -> timedelta:
    """By how much the demo moves, so that the week after those logged is the week of a day."""
    start: date = read_toml(brief.read_text(), str(brief))["start"]
    monday = on - timedelta(days=on.weekday())
    return monday - timedelta(weeks=WEEKS_LOGGED) - start


def moved_toml(text: str, by: timedelta) -> str:
    """A TOML text with every date moved."""
    return tomli_w.dumps(moved(read_toml(text, "demo"), by))


def moved(value: Any, by: timedelta) -> Any:
    """A value of tables, lists and dates with every date moved; dates as text too."""
    if isinstance(value, dict):
        return {key: moved(one, by) for key, one in value.items()}
    if isinstance(value, list):
        return [moved(one, by) for one in value]
    if isinstance(value, date):
        return value + by
    if isinstance(value, str) and DAY.fullmatch(value):
        return (date.fromisoformat(value) + by).isoformat()
    return value


def moved_block(data: bytes, by: timedelta) -> Block:
    """A block with every date moved, under the name of its new content."""
    block = block_from_json(json.dumps(moved(json.loads(data), by)).encode(), "demo")
    return with_id(replace(block, id=""))


def moved_log(log: Any, by: timedelta) -> Any:
    """A log with every date moved."""
    return replace(
        log,
        sets=tuple(replace(one, date=one.date + by, row="") for one in log.sets),
        sessions=tuple(replace(one, date=one.date + by, row="") for one in log.sessions),
    )
