"""The talk through a session in so many minutes: what each part is for, how to judge effort, what to look at, instead.

Two ideas carry this module. One: what must be said (name, purpose, cautions) has its time first, and a talk that is too
short for it is refused with the least that would do. Two: the time left goes to each part by its weight, and as much is
said as can be spoken in it; what is left over then is for showing the movement.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.plan.block import Entry
from setwright.plan.public import PublicEdition, PublicEntry, PublicSession, Variant
from setwright.publish import words
from setwright.publish.bout_words import heading_text

WORDS_A_MINUTE = 130  # slow speech before a group; common practice, no published source
STEP_S = 5
WEIGHTS: Mapping[str, int] = {"main": 4, "skill": 3, "warm-up": 1}
USUAL_WEIGHT = 2
MOST_MINUTES = 180
USUAL_MINUTES = 20
EFFORT = (
    "It is judged by what is left: two left (RPE 8) means two more good repetitions were there when you put it "
    "down. Nobody needs the last one. Take a load that leaves what the line says, and take less when in doubt."
)
QUESTIONS = "Questions, and the first movement of the warm-up together."


@dataclass(frozen=True)
class Saying:
    """One thing said, with what it is: ``for``, ``effort``, ``look``, ``careful``, ``rest``, ``instead``, ``then``."""

    kind: str
    text: str


@dataclass(frozen=True)
class TalkItem:
    """One stretch of the talk: when it begins and how long it takes, s, what it is about, and what is said.

    spare_s : what is left once all is said; is_movement : there is a movement to show
    """

    start_s: int
    seconds: int
    title: str
    says: tuple[Saying, ...]
    spare_s: int
    is_movement: bool

    @property
    def clock(self) -> str:
        """When it begins, as read on a clock: ``4:05``."""
        return f"{self.start_s // 60}:{self.start_s % 60:02d}"


@dataclass(frozen=True)
class _Draft:
    """What one stretch must say, what it would say in the order of worth, and its weight."""

    title: str
    must: tuple[Saying, ...]
    would: tuple[Saying, ...]
    weight: int
    is_movement: bool = True

    @property
    def least_s(self) -> int:
        """Seconds that what must be said takes, in whole steps."""
        return in_steps(spoken_s((Saying("", self.title), *self.must)))


def spoken_s(says: Sequence[Saying]) -> float:
    """Seconds that words take to be spoken."""
    return 60.0 * sum(len(one.text.split()) for one in says) / WORDS_A_MINUTE


def in_steps(seconds: float) -> int:
    """Seconds rounded up to whole steps."""
    return STEP_S * math.ceil(seconds / STEP_S)


def talk_outline(
    edition: PublicEdition, session: PublicSession, catalogue: Catalogue, minutes: float = USUAL_MINUTES
) -> tuple[TalkItem, ...]:
    """The talk through one session; its stretches follow each other and fill the minutes exactly.

    Raises InputFaults where the minutes are no number of minutes, or too few for what must be said.
    """
    if not 1 <= minutes <= MOST_MINUTES:
        raise InputFaults([Fault("--talk", "", f"{minutes:g}", f"1 to {MOST_MINUTES} minutes")])
    drafts = drafts_of(edition, session, catalogue)
    least = sum(one.least_s for one in drafts)
    total = STEP_S * round(60.0 * minutes / STEP_S)
    if total < least:
        enough = math.ceil(least / 60)
        hint = "What each movement is for, and the cautions, are always said."
        raise InputFaults([Fault("--talk", "", f"{minutes:g} minutes", f"{enough} minutes or more here", hint)])
    given = shared_out(total - least, [one.weight for one in drafts])
    made, at = [], 0
    for one, more in zip(drafts, given, strict=True):
        seconds = one.least_s + more
        says = said_within(one, seconds)
        spare = int(seconds - spoken_s((Saying("", one.title), *says)))
        made.append(TalkItem(at, seconds, one.title, says, spare, one.is_movement))
        at += seconds
    return tuple(made)


def shared_out(seconds: int, weights: Sequence[int]) -> list[int]:
    """Seconds shared out by weight in whole steps, to the last one: the largest remainders get the steps left over."""
    steps, whole = seconds // STEP_S, sum(weights)
    exact = [steps * weight / whole for weight in weights]
    found = [math.floor(one) for one in exact]
    by_rest = sorted(range(len(weights)), key=lambda n: (found[n] - exact[n], n))
    for number in by_rest[: steps - sum(found)]:
        found[number] += 1
    return [STEP_S * one for one in found]


def said_within(draft: _Draft, seconds: int) -> tuple[Saying, ...]:
    """What must be said, and as much of the rest, by its worth, as can be spoken; in the order of a talk."""
    says = list(draft.must)
    for one in draft.would:
        if spoken_s((Saying("", draft.title), *says, one)) <= seconds:
            says.append(one)
    order = ("for", "effort", "look", "careful", "rest", "instead", "then")
    return tuple(sorted(says, key=lambda one: order.index(one.kind)))


def drafts_of(edition: PublicEdition, session: PublicSession, catalogue: Catalogue) -> list[_Draft]:
    """The stretches of a talk: how effort is judged, the warm-up in one, each entry, the cautions at the end."""
    warm = [one for one in session.entries if one.part == "warm-up"]
    rest = [one for one in session.entries if one.part != "warm-up"]
    drafts = [_Draft("How to judge effort", (Saying("effort", EFFORT),), (), 1, False)]
    if warm:
        drafts.append(warm_up_draft(warm, catalogue))
    for before, one in zip((None, *rest), rest, strict=False):
        made = draft_of(one, edition, catalogue)
        drafts.append(replace(made, title=f"{bout_title(before, one, catalogue)}{made.title}"))
    careful = tuple(Saying("careful", one) for one in edition.cautions)
    drafts.append(_Draft("Before you begin", careful, (Saying("then", QUESTIONS),), 1, False))
    return drafts


def bout_title(before: PublicEntry | None, one: PublicEntry, catalogue: Catalogue) -> str:
    """The heading of a bout before its first movement: ``3 rounds for time: ``; empty for all else."""
    bout, letter = one.first.bout, one.first.superset
    is_going_on = before is not None and letter and (before.first.superset, before.first.bout) == (letter, bout)
    return "" if bout is None or is_going_on else f"{heading_text(bout, catalogue)}: "


def warm_up_draft(warm: Sequence[PublicEntry], catalogue: Catalogue) -> _Draft:
    """The warm-up in one stretch: its movements by name and their cautions, then what each is for, then a cue each."""
    names = [words.name_of(one.first.exercise, catalogue) for one in warm]
    must = [Saying("for", f"The joints of today, easy: {'; '.join(names)}.")]
    must += [
        Saying("careful", f"{capital(name)}: {text}")
        for name, one in zip(names, warm, strict=True)
        for text in one.first.cautions
    ]
    would = [
        Saying("for", f"{capital(name)}: {one.first.why}")
        for name, one in zip(names, warm, strict=True)
        if one.first.why
    ]
    would += [
        Saying("look", f"{capital(name)}: {cue}")
        for name, one in zip(names, warm, strict=True)
        if one.first.exercise in catalogue
        for cue in catalogue.get(one.first.exercise).cues[:1]
    ]
    return _Draft("Warm-up", tuple(must), tuple(would), WEIGHTS["warm-up"])


def draft_of(one: PublicEntry, edition: PublicEdition, catalogue: Catalogue) -> _Draft:
    """One entry: what it is for and its cautions must be said; then effort, the first cue, what instead, other cues."""
    entry = one.first
    asked = {words.asks_text(each) for _, each in one.by_week}
    title = ", ".join([capital(words.name_of(entry.exercise, catalogue)), *(asked if len(asked) == 1 else ())])
    must = [Saying("for", entry.why)] if entry.why else []
    must += [Saying("careful", text) for text in entry.cautions]
    if entry.exercise not in catalogue:
        return _Draft(title, tuple(must), (), WEIGHTS.get(one.part, USUAL_WEIGHT))
    exercise = catalogue.get(entry.exercise)
    cues = [Saying("look", text) for text in exercise.cues]
    pace = str(entry.dials.get("pace", ""))
    effort = [Saying("effort", f"{capital(pace)}.")] if pace else []
    effort += [Saying("effort", exercise.effort_cue)] if exercise.effort_cue and not pace else []
    instead = [Saying("instead", text) for text in instead_texts(one, edition, catalogue)]
    would = (*cues[:1], *effort, *instead[:1], *cues[1:], *rest_of(entry, catalogue), *instead[1:])
    return _Draft(title, tuple(must), would, WEIGHTS.get(one.part, USUAL_WEIGHT))


def rest_of(entry: Entry, catalogue: Catalogue) -> list[Saying]:
    """The work in the rest of an entry, where it has any."""
    if entry.filler is None:
        return []
    return [Saying("rest", capital(words.filler_text(entry.filler, catalogue).removeprefix("In the rest: ")))]


def instead_texts(one: PublicEntry, edition: PublicEdition, catalogue: Catalogue) -> list[str]:
    """What instead: where it is another exercise or nothing good, places that do the same in one, then usual cases."""
    there: dict[str, list[str]] = {}
    for place, variant in zip(edition.places, one.variants, strict=True):
        if not variant.is_same:
            there.setdefault(there_text(variant, one.first.exercise, catalogue), []).append(place.name)
    said = [f"{' / '.join(names)}: {text}." for text, names in there.items()]
    named = {each.entry.exercise for each in one.variants if each.entry is not None}
    others = [each for each in one.first.alternatives if each.exercise not in named]
    cases = [(capital("otherwise" if each.case == "or" else each.case), each) for each in others]
    said += [f"{case}: {words.name_of(each.exercise, catalogue)}." for case, each in cases]
    return said


def there_text(variant: Variant, exercise: str, catalogue: Catalogue) -> str:
    """What is done in a place that lacks something for an exercise."""
    if variant.entry is None:
        other = next((each.exercise for way in variant.ways for each in way.open_ones), "")
        return "nothing good" + (f"; another way is {words.name_of(other, catalogue)}" if other else "")
    if variant.entry.exercise == exercise:
        return "the same without a load"
    return words.name_of(variant.entry.exercise, catalogue)


def capital(text: str) -> str:
    """A text with a capital."""
    return text[:1].upper() + text[1:]
