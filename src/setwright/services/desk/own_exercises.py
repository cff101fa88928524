"""A practice's own exercises: kept as files of the catalogue, in force for its people and nobody else's.

An own exercise is changed by a new version and never taken away, so that every block that holds it can be opened.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import lru_cache
from typing import Any

from django.db import transaction

from setwright.catalogue.exercise import Exercise
from setwright.catalogue.load import catalogue_with, parse_exercise_file
from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.services.desk.people import keep_document
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue
from setwright.services.own import only_here, own_files

EXERCISE = "exercise"
MOST_OWN = 300
FOLDER = "exercises/"


def path_of(slug: str) -> str:
    """The path of an own exercise among the files of the catalogue."""
    return f"{FOLDER}{slug}.toml"


def own_texts(practice: models.Practice) -> dict[str, str]:
    """The texts of the practice's own exercises as they stand, by slug."""
    rows = models.Document.objects.filter(practice=practice, kind=EXERCISE, trainee=None).order_by("id")
    return dict(rows.values_list("slug", "text"))


@lru_cache(maxsize=64)
def sound(files: tuple[tuple[str, str], ...]) -> Mapping[str, str]:
    """Of some files those that make a catalogue: what a later version of the program no longer takes is left out."""
    left = dict(files)
    while left:
        try:
            catalogue_with(tuple(sorted(left.items())))
            return left
        except InputFaults as error:
            wrong = {one.file for one in error.faults} & set(left)
            if not wrong:
                return {}
            left = {path: text for path, text in left.items() if path not in wrong}
    return {}


def sound_files_of(practice: models.Practice) -> Mapping[str, str]:
    """The own files of a practice that are in force, by path."""
    return sound(tuple(sorted((path_of(slug), text) for slug, text in own_texts(practice).items())))


@contextmanager
def practice_exercises(practice: models.Practice) -> Iterator[None]:
    """The practice's own exercises in force for what is done inside, and only there."""
    with only_here(sound_files_of(practice)):
        yield


def left_out(practice: models.Practice) -> list[str]:
    """The slugs of own exercises that are not in force, because the program no longer takes them as they are."""
    return sorted(slug for slug in own_texts(practice) if path_of(slug) not in sound_files_of(practice))


@transaction.atomic
def keep_exercise(coach: models.Coach, slug: str, text: str) -> Exercise:
    """Keeps an own exercise, a new one or a new version, by the same checks as the files. Raises InputFaults.

    The own exercises of the practice must be in force (``practice_exercises``).
    """
    path, owned = path_of(slug), own_texts(coach.practice)
    if slug not in owned and slug in catalogue():
        raise InputFaults([Fault(slug, "name", f"{slug!r}, which the catalogue has", "a name of its own")])
    if slug not in owned and len(owned) >= MOST_OWN:
        raise InputFaults([Fault(slug, "", f"{len(owned)} own exercises", f"at most {MOST_OWN}")])
    made = parse_exercise_file(path, text)
    try:
        catalogue_with(tuple(sorted({**own_files(), path: text}.items())))
    except InputFaults as error:
        # What other files say of this one is said at this one.
        raise InputFaults([as_of(one, path, slug) for one in error.faults]) from None
    keep_document(coach.practice, EXERCISE, slug, text, coach.user)
    note(coach.practice, coach.user, "kept an own exercise", about=slug)
    return made[0]


def as_of(fault: Fault, path: str, slug: str) -> Fault:
    """A fault of the whole catalogue as a fault of one file, its keys as the file names them."""
    return replace(fault, file=path, path=fault.path.removeprefix(f"{slug}."))


def table_of(slug: str) -> dict[str, Any]:
    """What the form of a new exercise takes over from one that is there: all but its names. LookupError for none."""
    one = catalogue().get(slug)
    roles: dict[str, list[str]] = {}
    for use in one.actions:
        roles.setdefault(use.role, []).append(use.slug)
    form = {
        "mode": one.mode,
        "laterality": one.laterality,
        "body_position": one.body_position,
        "support": one.support,
        "spine": one.spine,
        "length_bias": one.length_bias,
        "positions": list(one.positions),
        "max_angles": dict(one.max_angles),
        "crop": list(one.crop),
        "skill": one.skill,
        "grip": one.grip,
        "impact": one.impact,
        "rep_s": one.rep_s,
    }
    load = {
        "means": one.load_means,
        "capacity": one.load_capacity,
        "measured_in": one.measured_in,
        "equipment": [sorted(option) for option in one.equipment],
    }
    talk = {
        "purpose": one.purpose,
        "cues": list(one.cues),
        "effort_cue": one.effort_cue,
        "cautions": list(one.cautions),
        "sources": [f"like {one.name}"],
    }
    share = {} if one.body_share is None else {"body_share": one.body_share}
    return {
        "pattern": one.pattern,
        "actions": roles,
        "form": form,
        "load": {**load, **share},
        "use": {"parts": list(one.parts)},
        "talk": talk,
    }
