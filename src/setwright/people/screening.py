"""The pre-exercise screen: who may start, at what intensity, and who sees a clinician first.

Source: Riebe et al. 2015 (ACSM), the published algorithm: activity habit (30 min, 3 days a week, 3 months),
known cardiovascular, metabolic or renal disease, signs or symptoms, wanted intensity. Habit and branches are seen
in the words of the figure as study pages repeat them, not in the article. It decides nothing about anybody's health;
it only says whom to ask first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from setwright.people.trainee import Clearance, Trainee

Intensity = Literal["light", "moderate", "vigorous"]
Answer = Literal["go", "light-only", "clearance-first", "stop"]
CLEARANCE_LASTS = timedelta(days=365)


@dataclass(frozen=True)
class Screen:
    """The answer of the screen, with its reasons in words."""

    verdict: Answer
    why: tuple[str, ...]


def is_cleared(clearance: Clearance | None, on: date) -> bool:
    """True when a clearance exists, was given by ``on`` and has not ended before it."""
    if clearance is None or clearance.given_on > on:
        return False
    return clearance.expires_on is None or clearance.expires_on >= on


def counts_for_screen(clearance: Clearance | None, on: date) -> bool:
    """True when a clearance answers the screen on a date: one without an end counts for 12 months.

    Source: Riebe et al. 2015, "within the last 12 months", printed there for vigorous effort of active people with a
    known disease; kept here for every branch, the more careful reading.
    """
    if clearance is None or not is_cleared(clearance, on):
        return False
    return clearance.expires_on is not None or on - clearance.given_on <= CLEARANCE_LASTS


def ends_on(clearance: Clearance) -> date:
    """The last day on which a clearance answers the screen: its own, or 12 months from when it was given."""
    return clearance.expires_on or clearance.given_on + CLEARANCE_LASTS


def without_expired(trainee: Trainee, on: date) -> Trainee:
    """The trainee as of a date: a restriction's clearance that has ended, or is not given yet, counts as none."""
    rules = tuple(
        one if one.clearance is None or is_cleared(one.clearance, on) else replace(one, clearance=None)
        for one in trainee.restrictions
    )
    return trainee if rules == trainee.restrictions else replace(trainee, restrictions=rules)


def screen(trainee: Trainee, wanted: Intensity, on: date) -> Screen:
    """Whether a block of the wanted intensity may start on a date.

    ``stop``: a red flag was answered, nothing is planned. ``clearance-first``: a licensed clinician first.
    ``light-only``: vigorous effort needs clearance; light work may go on, moderate too. ``go``: may start. Where a
    clearance opened the way, its words are among the reasons: no program can read its scope.
    """
    answers = trainee.screening
    cleared = counts_for_screen(answers.clearance, on)
    if answers.red_flags:
        named = ", ".join(answers.red_flags)
        return Screen(
            "stop", (f"Red flag answered: {named}. See a licensed clinician now; nothing is planned until then.",)
        )
    if answers.signs_or_symptoms and not cleared:
        return Screen(
            "clearance-first",
            ("Signs or symptoms were answered: stop, and see a licensed clinician before any training.",),
        )
    if answers.pregnant and not cleared:
        return Screen("clearance-first", ("Pregnancy: ask the midwife or doctor for clearance first.",))
    if answers.known_disease and not cleared:
        if not answers.active_now:
            return Screen(
                "clearance-first",
                ("A known heart, metabolic or kidney disease and no regular activity: clearance first.",),
            )
        if wanted == "vigorous":
            return Screen(
                "light-only",
                (
                    "A known heart, metabolic or kidney disease: clearance by a clinician, from the last 12 months, "
                    "before vigorous effort. Light and moderate effort may go on.",
                ),
            )
        return Screen("go", ("Moderate effort may go on; any new sign or symptom ends it.",))
    why: tuple[str, ...] = ()
    asked = answers.known_disease or answers.signs_or_symptoms or answers.pregnant
    if asked and cleared and answers.clearance is not None:
        why = (f"Stay within the clearance: {in_words(answers.clearance)}.",)
    if not answers.active_now and wanted == "vigorous":
        why = (*why, "Not active so far: the first weeks stay light to moderate and rise slowly.")
    return Screen("go", why)


def in_words(clearance: Clearance) -> str:
    """What was cleared, by whom, when, and until when."""
    until = f", until {clearance.expires_on.isoformat()}" if clearance.expires_on is not None else ""
    return f"{clearance.scope}, by {clearance.who} on {clearance.given_on.isoformat()}{until}"
