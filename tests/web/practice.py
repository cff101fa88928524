"""An invented practice: two coaches under two roofs, their trainees, a block in force for each. Made for web tests."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from itertools import groupby
from typing import Any

import django

django.setup()

from django.apps import apps  # noqa: E402  (what follows needs the framework started)
from django.db import transaction  # noqa: E402
from django.test import Client  # noqa: E402

from setwright.people.trainee import DAYS  # noqa: E402
from setwright.strength.logged import Log  # noqa: E402

PASSWORD = "a long word for nobody 7"


def plain(settings: Any) -> None:
    """Static files without a manifest, quick passwords, counts in memory: nothing has to be made first."""
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}


@dataclass
class Gym:
    """The invented practice: a coach, a trainee with a log-in and a block in force; and a stranger of another roof."""

    coach: Any
    trainee: Any
    stranger: Any
    strangers_trainee: Any
    block: Any
    today: date

    def as_coach(self) -> Client:
        """A browser in which the coach is logged in."""
        client = Client()
        client.force_login(self.coach.user)
        return client

    def as_trainee(self) -> Client:
        """A browser in which the trainee is logged in."""
        client = Client()
        client.force_login(self.trainee.user)
        return client

    def in_force(self) -> Any:
        """The block in force of the trainee."""
        from setwright.records.data_base import current_of

        return current_of(self.trainee)

    def as_stranger(self) -> Client:
        """A browser in which the coach of another practice is logged in."""
        client = Client()
        client.force_login(self.stranger.user)
        return client


INTAKE = """
id = "{slug}"
name = "{name}"
birth_year = 1990
body_mass_kg = 70
stature_cm = 172
training_years = 2
invented = true

[screening]
active_now = true

[[days]]
day = "{first}"
minutes = 60
place = "shed"
[[days]]
day = "{second}"
minutes = 60
place = "shed"

[[baselines]]
date = 2026-06-20
exercise = "back_squat"
load_kg = 70
reps = 5
rir = 2

[[place]]
id = "shed"
name = "Invented shed"
invented = true
fixtures = ["rack", "bench", "pullup_bar"]
[[place.bars]]
kind = "barbell"
mass_kg = 20
[[place.plates]]
mass_kg = 20
pairs = 2
[[place.plates]]
mass_kg = 10
pairs = 2
[[place.plates]]
mass_kg = 2.5
pairs = 2
[[place.plates]]
mass_kg = 1.25
pairs = 1
[[place.dumbbells]]
from_kg = 4
to_kg = 14
step_kg = 2
pairs = 1
"""
TEXT = """Invented block

{first}
back squat 3 x 5-6 @ RPE 7, rest 3 min
barbell bench press 3 x 6-8 @ RPE 7, rest 2 min
lying dumbbell elbow extension 2 x 10-12 @ RPE 8, rest 90 s

{second}
conventional deadlift 3 x 5 @ RPE 7, rest 3 min
dumbbell curl 2 x 10-12 @ RPE 8, rest 90 s
"""
NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True)
class Paper:
    """What the invented practice is made from: the day it is seen from, the intake, the written block."""

    today: date
    intake: str
    text: str


def paper_of(slug: str, name: str) -> Paper:
    """An intake with a training day today, and a block for it: what is done today is the same on every weekday."""
    today = date.today()
    first, second = today.weekday(), (today.weekday() + 3) % 7
    days = [DAYS[one] for one in sorted((first, second))]
    intake = INTAKE.format(slug=slug, name=name, first=days[0], second=days[1])
    return Paper(today, intake, TEXT.format(first=NAMES[first], second=NAMES[second]))


@cache
def written_block(slug: str, name: str) -> Any:
    """The block of an invented trainee, this week its first; made once for all tests."""
    from setwright.people.intake import read_trainee_and_places
    from setwright.plan.shorthand import read_block_text
    from setwright.plan.written import fit_written
    from setwright.services.deeds import plain_brief
    from setwright.services.gather import catalogue, estimates_for

    paper = paper_of(slug, name)
    person, places = read_trainee_and_places(paper.intake, "intake", catalogue())
    written = read_block_text(paper.text, catalogue(), "text", days=tuple(one.day for one in person.days))
    start = paper.today - timedelta(days=paper.today.weekday())
    brief = plain_brief(written.title, 4, 2, start)
    estimates = estimates_for(person, Log(), start, places)
    return fit_written(written, person, places, brief, catalogue(), estimates)


def make_gym() -> Gym:
    """The invented practice, and another one beside it; made by the deeds of a coach once, then put back as rows."""
    today = date.today()
    if today not in _MADE:
        before = {model: set(model._default_manager.values_list("pk", flat=True)) for model in _tables()}
        gym = found_gym()
        rows = [row for model, old in before.items() for row in model._default_manager.all() if row.pk not in old]
        people = [(type(one), one.pk) for one in (gym.coach, gym.trainee, gym.stranger, gym.strangers_trainee)]
        _MADE[today] = (deepcopy(rows), people, gym.block)
        return gym
    rows, people, block = _MADE[today]
    with transaction.atomic():  # keys between tables are looked at when it ends
        for model, alike in groupby(rows, key=type):
            model._default_manager.bulk_create(deepcopy(list(alike)))
    coach, trainee, stranger, strangers = (model._default_manager.get(pk=pk) for model, pk in people)
    return Gym(coach, trainee, stranger, strangers, block, today)


_MADE: dict[date, tuple[list[Any], list[tuple[Any, Any]], Any]] = {}


def _tables() -> list[Any]:
    """Every table that the deeds may write to."""
    return [one for one in apps.get_models(include_auto_created=True) if one._meta.managed and not one._meta.proxy]


def found_gym() -> Gym:
    """The invented practice as two coaches make it."""
    from setwright.services.desk.blocks import accept, records_of
    from setwright.services.desk.overview import count_anew
    from setwright.services.desk.people import keep_trainee
    from setwright.services.desk.practice import found_practice, invite, take_invitation

    made = []
    for roof, coach_name, slug, name in (
        ("Invented hall", "berit", "ode", "Ode Invented"),
        ("Another roof", "kuno", "pim", "Pim Invented"),
    ):
        coach = found_practice(roof, coach_name.capitalize(), coach_name, PASSWORD)
        row = keep_trainee(coach, paper_of(slug, name).intake)
        block = written_block(slug, name)
        records_of(row, coach.user).keep_block(block, "2026-01-01T00:00:00+00:00")
        accept(row, block.id, None, coach.user)
        take_invitation(invite(coach, name, row).secret, slug, PASSWORD)
        row.refresh_from_db()
        count_anew(row)
        made.append((coach, row, block))
    (coach, row, block), (stranger, strangers, _) = made
    return Gym(coach, row, stranger, strangers, block, date.today())
