"""The catalogue as its pages show it: found by any of its names, by pattern, equipment, or a joint that is spared."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from setwright.body.anatomy import joints, muscle_groups
from setwright.catalogue.derive import joint_stress, set_credits
from setwright.catalogue.equipment import equipment, expand_tokens, in_words
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.names import match_name
from setwright.catalogue.schema import PATTERNS
from setwright.plan.explain import join_words
from setwright.plan.gates import POSITION_WORDS, SAID
from setwright.publish.catalogue_figure import Drawn, entry_drawn
from setwright.publish.words import PART_NAMES
from setwright.records import models
from setwright.services.desk.own_exercises import own_texts
from setwright.services.gather import catalogue

STRESS_WORDS = {0: "spared", 1: "lightly", 2: "clearly", 3: "hard"}
SPARED = 0  # the stress of a joint that an exercise spares; a little (1) where the coach says so
ALSO_SAID = {**SAID, "scapula": "shoulder blade", "fingers": "hand or fingers"}


@dataclass(frozen=True)
class Wanted:
    """What is looked for: words, a pattern, equipment there is, a joint to spare (``a_little``: light work is fine)."""

    find: str = ""
    pattern: str = ""
    have: tuple[str, ...] = ()
    joint: str = ""
    a_little: bool = False

    @property
    def is_nothing(self) -> bool:
        """True where everything is wanted."""
        return not (self.find or self.pattern or self.have or self.joint)


@dataclass(frozen=True)
class Found:
    """What was found, in the order it is shown; ``nearest``: nothing is called so, these are most like it."""

    rows: tuple[Exercise, ...]
    nearest: bool = False


def found_in_catalogue(wanted: Wanted) -> Found:
    """The exercises that pass every filter; by name the surest first."""
    passing = [one for one in catalogue().values() if passes(one, wanted)]
    if not wanted.find.strip():
        return Found(tuple(sorted(passing, key=lambda one: (PATTERNS.index(one.pattern), one.base, one.slug))))
    here = {one.slug: one for one in passing}
    match = match_name(wanted.find, catalogue())
    called = [one.slug for one in sorted(passing, key=lambda one: one.name) if is_called(one, wanted.find)]
    sure = [match.slug] if match.slug is not None and match.sure else []
    first = dict.fromkeys(slug for slug in (*sure, *called) if slug in here)
    if first:
        return Found(tuple(here[slug] for slug in first))
    near = dict.fromkeys(slug for slug in match.proposals if slug in here)
    return Found(tuple(here[slug] for slug in near), nearest=True)


def passes(one: Exercise, wanted: Wanted) -> bool:
    """Whether an exercise passes pattern, equipment and joint."""
    if wanted.pattern and one.pattern != wanted.pattern:
        return False
    if wanted.have:
        tokens = expand_tokens(wanted.have)
        if one.equipment and not any(option <= tokens for option in one.equipment):
            return False
    if not wanted.joint:
        return True
    return joint_stress(one).get(wanted.joint, 0) <= (1 if wanted.a_little else SPARED)


def is_called(one: Exercise, find: str) -> bool:
    """True when every word looked for stands in a name of the exercise."""
    names = " ".join((one.name, one.slug.replace("_", " "), *one.also_called)).lower()
    return all(word in names for word in find.lower().split())


def choices() -> dict[str, Any]:
    """What the filters offer."""
    used = {one.pattern for one in catalogue().values()}
    return {
        "patterns": [(one, pattern_words(one)) for one in PATTERNS if one in used],
        "equipment": [(token, says) for token, says in equipment().words.items() if token not in ("none", "wall")],
        "joints": [(one, ALSO_SAID.get(one, one)) for one in joints()],
    }


def row_values(one: Exercise, owned: Sequence[str]) -> dict[str, Any]:
    """One exercise in a list."""
    return {
        "slug": one.slug,
        "name": one.name,
        "also": ", ".join(one.also_called[:4]),
        "needs": needs_text(one),
        "pattern": pattern_words(one.pattern),
        "is_own": one.base in owned,
    }


def pattern_words(pattern: str) -> str:
    """A pattern as a coach says it.

    >>> pattern_words("pull_horizontal"), pattern_words("anti_rotation"), pattern_words("split_squat")
    ('horizontal pull', 'anti-rotation', 'split squat')
    """
    first, *others = pattern.split("_")
    if first in ("push", "pull", "mobility"):
        return " ".join((*others, first))
    return ("-" if first == "anti" else " ").join((first, *others))


def needs_text(one: Exercise) -> str:
    """What is needed, in words."""
    options = list(dict.fromkeys(one.equipment))
    common = frozenset[str]().union(*options).intersection(*options)
    rest = [option - common for option in options]
    if not all(rest):
        also = [option for option in rest if option]
        return either([" + ".join(words_of(common)) or "nothing", *(" + ".join(words_of(option)) for option in also)])
    beside = f", with {join_words(words_of(common))}" if common else ""
    firsts, seconds = pairs_of(rest)
    if seconds:
        one_of = words_of(seconds)
        return f"{either(words_of(firsts))}, with one of {', '.join(one_of)}{beside.replace(', with', ' and')}"
    return either([" + ".join(words_of(option)) for option in rest]) + beside


def words_of(tokens: Iterable[str]) -> list[str]:
    """Equipment in words, by name."""
    return sorted(in_words(token) for token in tokens)


def either(options: Sequence[str]) -> str:
    """Words of which one is enough.

    >>> either(["dumbbells", "kettlebells", "nothing"])
    'dumbbells, kettlebells or nothing'
    """
    return " or ".join(filter(None, (", ".join(options[:-1]), *options[-1:])))


def pairs_of(options: Sequence[frozenset[str]]) -> tuple[frozenset[str], frozenset[str]]:
    """Two groups of which each option takes one of each; two empty ones where the options are nothing of that kind."""
    if any(len(option) != 2 for option in options):
        return frozenset(), frozenset()
    first = min(options[0])
    seconds = frozenset(token for option in options if first in option for token in option - {first})
    firsts = frozenset(token for option in options for token in option) - seconds
    if len(seconds) < len(firsts):
        firsts, seconds = seconds, firsts
    whole = {frozenset({a, b}) for a in firsts for b in seconds}
    return (firsts, seconds) if whole == set(options) and len(whole) > 1 else (frozenset(), frozenset())


def exercise_values(slug: str, practice: models.Practice) -> dict[str, Any]:
    """Everything the page of an exercise says. LookupError for an unknown one."""
    known = catalogue()
    one = known.get(slug)
    credits, labels = set_credits(one), {slug: group.label for slug, group in muscle_groups().items()}
    kin = [other for other in known.values() if other.base == one.base and other.slug != one.slug]
    owned = own_texts(practice)
    return {
        "slug": one.slug,
        "name": one.name,
        "also": one.also_called,
        "purpose": one.purpose,
        "cues": one.cues,
        "effort": one.effort_cue,
        "cautions": one.cautions,
        "figure": figure_of(one),
        "counts": [labels[muscle] for muscle, credit in credits.items() if credit >= 1],
        "halves": [labels[muscle] for muscle, credit in credits.items() if credit < 1],
        "needs": needs_text(one),
        "parts": [PART_NAMES[part] for part in one.parts],
        "positions": [POSITION_WORDS.get(position, position.replace("-", " ")) for position in one.positions],
        "angles": [f"{motion.replace('-', ' ')} {angle:g} degrees" for motion, angle in one.max_angles.items()],
        "stress": stress_lines(one),
        "climb": climb_of(one),
        "kin": [(other.slug, other.name) for other in sorted(kin, key=lambda other: other.slug != other.base)],
        "sources": one.sources,
        "is_own": one.base in owned,
        "base": one.base,
    }


def stress_lines(one: Exercise) -> list[str]:
    """Which joints are loaded how much, the most first, and which are spared."""
    stress = joint_stress(one)
    lines = []
    for level in (3, 2, 1):
        there = [ALSO_SAID.get(joint, joint) for joint in joints() if stress.get(joint, 0) == level]
        if there:
            lines.append(f"{STRESS_WORDS[level].capitalize()}: {', '.join(there)}.")
    spared = [ALSO_SAID.get(joint, joint) for joint in joints() if not stress.get(joint, 0)]
    return [*lines, f"Spared: {', '.join(spared)}."] if spared else lines


def climb_of(one: Exercise) -> dict[str, Any] | None:
    """The progression that an exercise is a step of, with its steps; None where it is of none."""
    known = catalogue()
    climb = known.progressions.get(one.progression or "")
    if climb is None:
        return None
    steps = [
        {
            "number": step.number,
            "slug": step.exercise,
            "name": known.get(step.exercise).name,
            "branch": step.branch,
            "moves_on": step.exit_test,
            "is_here": step.exercise == one.slug,
        }
        for step in climb.steps
    ]
    return {"title": climb.title, "steps": steps, "caution": climb.caution, "pain_limit": climb.pain_limit}


def figure_of(one: Exercise) -> Drawn | None:
    """The drawn figure, or None where a picture would mislead."""
    return entry_drawn(one)
