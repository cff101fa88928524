"""A public edition in ready sentences: the same for page, paper, plain text and the application."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Entry, PlannedSet
from setwright.plan.public import PublicEdition, PublicEntry, PublicSession, Variant
from setwright.publish import words
from setwright.publish.bout_words import heading_text
from setwright.publish.talk_outline import TalkItem, capital

MOST_NAMED = 3  # exercises in the name of a session
LEAD = (
    "No loads stand here: take what leaves the repetitions that a line says, for you, today. "
    "Two left means two more good ones were there."
)
SAYS = {
    "for": "What for",
    "effort": "Effort",
    "look": "Look at",
    "careful": "Careful",
    "rest": "In the rest",
    "instead": "Instead",
    "then": "Then",
}
CLIMBS = "first a few lighter sets that climb to it"


def session_name(session: PublicSession, catalogue: Catalogue) -> str:
    """A session by its first lifts, so that no typed words are needed: ``Front squat, bench press and row``."""
    lifts = [one for one in session.entries if one.part not in ("warm-up",)] or list(session.entries)
    main = [one for one in lifts if one.part == "main"]
    chosen = [*main, *(one for one in lifts if one not in main)][:MOST_NAMED]
    # "nordic hamstring exercise, band-assisted" would read as two of a list: what is behind the comma stays out
    names = list(dict.fromkeys(words.name_of(one.first.exercise, catalogue).split(",")[0] for one in chosen))
    return capital(names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}")


def edition_name(edition: PublicEdition, catalogue: Catalogue) -> str:
    """The whole edition where the coach gave no title."""
    if len(edition.sessions) == 1:
        return session_name(edition.sessions[0], catalogue)
    days, weeks = words.counted(len(edition.sessions), "session"), words.counted(len(edition.weeks), "week")
    return f"A block of {weeks}" if len(edition.weeks) > 1 else f"{capital(days)} of one week"


def effort_words(entry: Entry) -> str:
    """The effort in plain words with its RPE, ``about 2 left (RPE 8)``; of conditioning, its pace."""
    working = entry.working_sets
    if not working:
        return ""
    if "pace" in entry.dials:
        return str(entry.dials["pace"])
    text = words.efforts_text(working)
    rir = working[0].rir
    return f"{text} (RPE {10 - rir:g})" if text.startswith("about") and rir is not None and "then" not in text else text


def load_words(working: Sequence[PlannedSet]) -> str:
    """Which load that is, without one: how often it could be lifted, or how much help it takes."""
    first = working[0] if working else None
    if first is None or first.rir is None or first.reps is None or first.inside or first.kind == "lowering":
        return ""
    if first.load_means == "assistance":
        return f"as much help as leaves {first.rir:g}"
    if first.load_means == "body" or first.rir >= 4:
        return ""
    low, high = math.floor(first.reps[0] + first.rir), math.ceil(first.reps[1] + first.rir)
    return f"a load you could lift {low if low == high else f'{low} to {high}'} times"


def dose_words(entry: Entry) -> str:
    """Sets and effort: ``4 x 5-6, about 2 left (RPE 8)``."""
    return ", ".join(one for one in (words.asks_text(entry), effort_words(entry)) if one)


def week_rows(one: PublicEntry) -> list[dict[str, str]]:
    """What each run of weeks asks, and which load that is; weeks that ask the same stand in one row."""
    rows: dict[tuple[str, str], list[int]] = {}
    for weeks, entry in one.by_week:
        load = "" if is_quiet(one) else load_words(entry.working_sets)
        rows.setdefault((dose_words(entry), load), []).extend(weeks)
    return [
        {"weeks": f"{'week' if len(weeks) == 1 else 'weeks'} {words.weeks_text(weeks)}", "dose": dose, "load": load}
        for (dose, load), weeks in rows.items()
    ]


def short(load: str) -> str:
    """Which load that is, for a row of a week: ``load for 7 to 9 reps``."""
    return load.replace("a load you could lift ", "load for ").replace(" times", " reps")


def weeks_words(one: PublicEntry) -> str:
    """What an entry asks in one line; the weeks are named where they differ."""
    rows = week_rows(one)
    return rows[0]["dose"] if len(rows) == 1 else "; ".join(f"{row['weeks']}: {row['dose']}" for row in rows)


def is_quiet(one: PublicEntry) -> bool:
    """True for what is no lift: warm-up, conditioning, bouts."""
    return one.part in ("warm-up", "conditioning") or one.first.bout is not None


def entry_words(one: PublicEntry, catalogue: Catalogue) -> dict[str, Any]:
    """One entry of a page or of paper."""
    entry = one.first
    exercise = catalogue.get(entry.exercise) if entry.exercise in catalogue else None
    working = entry.working_sets
    first = working[0] if working else None
    quiet = is_quiet(one)
    rows = week_rows(one)
    same_load = len({row["load"] for row in rows}) == 1
    line = []
    if first is not None and first.rest_s and words.rests_alone(entry) and one.part != "warm-up":
        line.append(f"rest {words.rest_text(first.rest_s)}{' after both' if entry.superset else ''}")
    if first is not None and first.tempo:
        line.append(f"tempo {first.tempo}")
    if same_load and rows[0]["load"]:
        line.append(rows[0]["load"])
    if one.climbs and not quiet:
        line.append(CLIMBS)
    return {
        "exercise": entry.exercise,
        "figure": None,
        "letter": entry.superset or "",
        "bout": "",
        "score": "",
        "name": capital(words.name_of(entry.exercise, catalogue)),
        "dials": words.dial_text(entry),
        "dose": dose_words(entry),
        "by_week": [] if len(rows) == 1 else [{**row, "load": "" if same_load else short(row["load"])} for row in rows],
        "line": "; ".join(line),
        "for": entry.why,
        "look": [] if exercise is None or one.part == "warm-up" else list(exercise.cues),
        "effort": "" if exercise is None or quiet else exercise.effort_cue,
        "caution": " ".join(entry.cautions),
        "filler": "" if entry.filler is None else words.filler_text(entry.filler, catalogue),
        "instead": "" if quiet else "; ".join(instead_words(entry, catalogue)),
        "quiet": quiet,
    }


def instead_words(entry: Entry, catalogue: Catalogue) -> list[str]:
    """The alternatives with what is lost: ``travelling: push-up (loses the heaviest loads)``."""
    return [
        f"{'otherwise' if each.case == 'or' else each.case}: {words.name_of(each.exercise, catalogue)}"
        + (f" (loses {each.lost})" if each.lost != "little" else "")
        for each in entry.alternatives
    ]


def variant_words(one: Variant, entry: PublicEntry, catalogue: Catalogue) -> dict[str, str]:
    """One cell of the places: what is done there, what it keeps and what it loses, or that nothing good is there."""
    if one.entry is None:
        return {"kind": "none", "name": "Nothing good here", "dose": "", "kept": "", "lost": ways_words(one, catalogue)}
    name = capital(words.name_of(one.entry.exercise, catalogue))
    if one.is_same:
        return {"kind": "same", "name": name, "dose": "", "kept": "", "lost": ""}
    return {
        "kind": "other",
        "name": name,
        "dose": dose_words(one.entry),
        "kept": f"keeps {kept_words(one.kept)}",
        "lost": "" if one.lost == "little" else f"loses {one.lost}",
    }


def kept_words(kept: str) -> str:
    """What a stand-in keeps, as one says it: ``the movement and the work for chest``."""
    work = next((f"the {each}" for each in kept.split("; ") if each.startswith("work for ")), "")
    if "the same movement" in kept:
        return f"the movement and {work}" if work else "the movement"
    return work or kept


def ways_words(one: Variant, catalogue: Catalogue) -> str:
    """Another way where nothing is good: for each main muscle what still trains it, or why nothing does."""
    said = []
    for way in one.ways:
        names = " or ".join(f"{words.name_of(each.exercise, catalogue)} ({each.kind})" for each in way.open_ones)
        said.append(f"{way.label}: {names}" if names else f"{way.label}: nothing, {way.why_none}")
    return f"Another way for {'; '.join(said)}" if said else "leave it out there"


def session_words(
    session: PublicSession, edition: PublicEdition, talk: Sequence[TalkItem], catalogue: Catalogue
) -> dict[str, Any]:
    """One session: its parts in order, the table of places, the talk."""
    parts: list[dict[str, Any]] = []
    for number, one in enumerate(session.entries):
        if not parts or parts[-1]["part"] != one.part:
            parts.append({"part": one.part, "title": words.PART_NAMES[one.part], "entries": []})
        shown = entry_words(one, catalogue)
        before = session.entries[number - 1] if number else None
        bout = one.first.bout
        if bout is not None and (before is None or before.first.bout != bout or one.first.superset is None):
            shown["bout"] = heading_text(bout, catalogue)
        parts[-1]["entries"].append(shown)
    for part in parts:
        part["entries"] = words.with_letters_hint(part["entries"])
    rows = [
        {
            "name": capital(words.name_of(one.first.exercise, catalogue)),
            "cells": [
                {"place": place.name, **variant_words(each, one, catalogue)}
                for place, each in zip(edition.places, one.variants, strict=True)
            ],
        }
        for one in session.entries
    ]
    return {
        "title": session_name(session, catalogue),
        "day": DAY_NAMES[session.day],
        "minutes": 5 * round(session.minutes / 5),
        "parts": parts,
        "rows": rows if edition.places else [],
        "sub": f"About {5 * round(session.minutes / 5)} minutes",
        "talk": [talk_words(one) for one in talk],
        "talk_minutes": f"{sum(one.seconds for one in talk) / 60:g}",
    }


def talk_words(one: TalkItem) -> dict[str, Any]:
    """One stretch of the talk."""
    length = f"{one.seconds // 60}:{one.seconds % 60:02d}"
    says = [
        {"kind": SAYS[kind], "text": " ".join(each.text for each in group)}
        for kind, group in groupby(one.says, key=lambda each: each.kind)
    ]
    return {"at": one.clock, "for": length, "title": one.title, "says": says, "spare": spare_words(one)}


LEAST_SPARE_S = 10


def spare_words(one: TalkItem) -> str:
    """What is left of a stretch once all is said: for the movement, or for questions where there is none."""
    if one.spare_s < LEAST_SPARE_S:
        return ""
    spare = 5 * (one.spare_s // 5)
    length = f"{spare} s" if spare < 60 else f"{spare // 60}:{spare % 60:02d} min"
    return f"{length} {'to show it' if one.is_movement else 'for questions'}"


def edition_words(
    edition: PublicEdition, talks: Sequence[Sequence[TalkItem]], catalogue: Catalogue, title: str = ""
) -> dict[str, Any]:
    """The whole edition in ready sentences. talks : of each session, in order; title : the coach's own, or empty."""
    sessions = [session_words(one, edition, talk, catalogue) for one, talk in zip(edition.sessions, talks, strict=True)]
    minutes = sorted({one["minutes"] for one in sessions})
    about = f"{minutes[0]}" if len(minutes) == 1 else f"{minutes[0]} to {minutes[-1]}"
    return {
        "title": title or edition_name(edition, catalogue),
        "sub": f"About {about} minutes" + weeks_sub(edition),
        "lead": LEAD,
        "places": [one.name for one in edition.places],
        "sessions": sessions,
        "cautions": list(edition.cautions),
    }


def weeks_sub(edition: PublicEdition) -> str:
    """How many sessions and weeks an edition has, and which are easy; empty for one week alone."""
    if len(edition.weeks) == 1:
        return ""
    text = f", {words.counted(len(edition.sessions), 'session')} a week, {words.counted(len(edition.weeks), 'week')}"
    if not edition.easy:
        return text
    *some, last = (str(number) for number in edition.easy)
    easy = f"weeks {', '.join(some)} and {last} are" if some else f"week {last} is"
    return f"{text}; {easy} easy"
