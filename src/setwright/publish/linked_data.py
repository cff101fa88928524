"""A public edition in the vocabulary of schema.org (JSON-LD), for machines that read pages: no person is in it.

Types and properties: schema.org/ExercisePlan, /HowTo, /HowToStep, /QuantitativeValue (seen in part, see the table of
the test; every name is held against the vocabulary that an RDF library brings).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.plan.public import PublicEdition, PublicEntry, PublicSession
from setwright.publish import words
from setwright.publish.bout_words import heading_text
from setwright.publish.public_words import effort_words, session_name, weeks_words
from setwright.publish.talk_outline import TalkItem, capital

STRENGTH = "strength training"


def linked_data(
    edition: PublicEdition, title: str, talks: Sequence[Sequence[TalkItem]], catalogue: Catalogue
) -> dict[str, Any]:
    """The edition as one ExercisePlan with its sessions below it, each with its entries and the talk as a HowTo.

    talks : the outline of each session, in order
    """
    several = len(edition.sessions) > 1
    parts = [
        session_node(one, talk, catalogue, title if not several else "")
        for one, talk in zip(edition.sessions, talks, strict=True)
    ]
    if not several:
        return {"@context": "https://schema.org", **parts[0]}
    return {
        "@context": "https://schema.org",
        "@type": "ExercisePlan",
        "name": title,
        "inLanguage": "en",
        "exerciseType": STRENGTH,
        "activityFrequency": f"{len(edition.sessions)} sessions a week",
        "hasPart": parts,
    }


def session_node(session: PublicSession, talk: Sequence[TalkItem], catalogue: Catalogue, title: str) -> dict[str, Any]:
    """One session."""
    return {
        "@type": "ExercisePlan",
        "name": title or session_name(session, catalogue),
        "inLanguage": "en",
        "exerciseType": STRENGTH,
        "activityDuration": f"PT{5 * round(session.minutes / 5)}M",
        "hasPart": [*(entry_node(one, catalogue) for one in session.entries), talk_node(talk)],
    }


def entry_node(one: PublicEntry, catalogue: Catalogue) -> dict[str, Any]:
    """One entry: repetitions as a range where it counts any, the sets in words, effort, rest."""
    entry = one.first
    working = entry.working_sets
    node: dict[str, Any] = {
        "@type": "ExercisePlan",
        "name": capital(words.name_of(entry.exercise, catalogue)),
        "exerciseType": words.PART_NAMES[one.part].lower(),
    }
    if entry.why:
        node["description"] = entry.why
    if not working:
        return node
    node["additionalVariable"] = weeks_words(one)
    if entry.bout is not None:
        node["additionalVariable"] += f"; {heading_text(entry.bout, catalogue)}"
    first = working[0]
    if first.reps is not None:
        low, high = first.reps
        node["repetitions"] = low if low == high else {"@type": "QuantitativeValue", "minValue": low, "maxValue": high}
    if effort_words(entry):
        node["intensity"] = effort_words(entry)
    if first.rest_s and words.rests_alone(entry):
        node["restPeriods"] = words.rest_text(first.rest_s)
    return node


def talk_node(talk: Sequence[TalkItem]) -> dict[str, Any]:
    """The talk as steps in order."""
    total = sum(one.seconds for one in talk)
    return {
        "@type": "HowTo",
        "name": "The talk through the session",
        "totalTime": f"PT{total // 60}M" + (f"{total % 60}S" if total % 60 else ""),
        "step": [
            {
                "@type": "HowToStep",
                "position": number,
                "name": one.title,
                "text": " ".join(each.text for each in one.says) or one.title,
            }
            for number, one in enumerate(talk, start=1)
        ],
    }


def in_a_page(data: dict[str, Any]) -> str:
    """The data as text that can stand in an element ``script``: no sign in it can end the element."""
    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
