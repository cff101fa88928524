"""Back after a restriction in stages: holds, short range, light, full. Each is a restriction; people set the dates.

A test ends each stage: that of the joint's progression where it has one, else common practice. The program names the
test and never says when: who set the restriction does, and a licensed clinician where it waits for clearance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, get_args

from setwright.catalogue.exercise import ProgressionStep
from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import defaults
from setwright.people.trainee import Clearance, Restriction, Wanted
from setwright.plan.gates import LEG, SHORT_RANGE_DEG
from setwright.review.pain import strictest

StageName = Literal["isometric", "short range", "light", "full"]
STAGES: tuple[StageName, ...] = get_args(StageName)
# The progression whose tests speak for a joint (choice of the project; the tests carry their own sources).
OF_JOINT: Mapping[str, str] = {
    "ankle": "calf",
    "knee": "pistol",
    "hip": "slhinge",
    "shoulder": "ohcarry",
    "trunk": "plank",
}
IN_PRACTICE: Mapping[str, str] = {
    "isometric": "5 holds of 30 s in the middle of the range, in two sessions",
    "short range": "3 sets of 8 slow repetitions in the short range, in two sessions",
    "light": "3 sets of 12 light repetitions over the whole range, in two sessions",
}
PRACTICE = "common practice, no published source"


@dataclass(frozen=True)
class Stage:
    """One stage: the restriction that holds in it (None: full, it is lifted), the test that ends it, and its source."""

    name: StageName
    restriction: Restriction | None
    ends_when: str
    source: str


def stages_of(restriction: Restriction, catalogue: Catalogue) -> tuple[Stage, ...]:
    """The stages back from a restriction, in their order."""
    return tuple(
        Stage(name, restriction_in(restriction, name), *test_of(restriction, name, catalogue)) for name in STAGES
    )


def restriction_in(restriction: Restriction, name: StageName) -> Restriction | None:
    """The restriction as it holds in a stage; each opens what the one before had open, and more.

    isometric : holds only, no moving work of the joint
    short range : holds, light work, and work inside the joint's short range, none of it beyond
    light : light work over the whole range, heavier only in the short range; held positions stay barred
    Nothing in it is a date: since when, and when to look again, stay as people wrote them.
    """
    if name == "full":
        return None
    wanted: dict[str, tuple[Wanted, ...]] = {
        "isometric": ("holds",),
        "short range": ("holds", "short-range"),
        "light": ("holds", "short-range"),
    }
    kept: tuple[Wanted, ...] = ("carries",) if "carries" in restriction.wanted else ()
    impact = {"isometric": 0, "short range": 0, "light": 1}[name] if restriction.joint in LEG else None
    limits = [one for one in (restriction.impact_max, impact) if one is not None]
    return replace(
        restriction,
        level="none" if name == "isometric" else "light",
        wanted=(*wanted[name], *kept),
        max_angles={} if name == "light" else short_angles(restriction),
        impact_max=min(limits, default=None),
        reason=f"Stage {STAGES.index(name) + 1} of {len(STAGES)} back, {name}. {said_before(restriction)}".strip(),
    )


def said_before(restriction: Restriction) -> str:
    """The reason as people gave it, without the words of an earlier stage."""
    words = restriction.reason
    if words.startswith("Stage "):
        words = words.partition(". ")[2]
    return words


def stage_now(restriction: Restriction) -> StageName | None:
    """The stage that a restriction is in, or None before the first."""
    return next((name for name in STAGES if restriction.reason.startswith(f"Stage {STAGES.index(name) + 1} of ")), None)


def short_angles(restriction: Restriction) -> dict[str, float]:
    """The largest angles of the short range, none over what the restriction allows already."""
    window = SHORT_RANGE_DEG.get(restriction.joint)
    motions = defaults()["motion"].get(restriction.joint, {}).get("usual", ())
    found = dict(restriction.max_angles)
    if window is not None:
        found.update({motion: min(found.get(motion, window[1]), window[1]) for motion in motions})
    return found


def test_of(restriction: Restriction, name: StageName, catalogue: Catalogue) -> tuple[str, str]:
    """(the test that ends a stage, its source); both empty for the last."""
    if name == "full":
        return "", ""
    climb = catalogue.progressions.get(OF_JOINT.get(restriction.joint, ""))
    step = None if climb is None else step_for(name, climb.way(), catalogue)
    if climb is None or step is None:
        limit = strictest().in_set
        return f"{IN_PRACTICE[name]}, with pain of at most {limit} of 10 and no more the next morning", PRACTICE
    test = step.exit_test.rstrip(".")
    exercise = catalogue.get(step.exercise).name
    words = f"{exercise}: {test}, in {step.exit_sessions} sessions, with pain of at most {climb.pain_limit} of 10"
    return f"{words} and no more the next morning", f"{climb.title}, step {step.number} ({climb.source})"


def step_for(name: StageName, way: tuple[ProgressionStep, ...], catalogue: Catalogue) -> ProgressionStep | None:
    """The step of a progression whose test ends a stage: its first hold, then its first and second moving one."""
    holds = [one for one in way if catalogue.get(one.exercise).mode == "isometric"]
    moving = [one for one in way if catalogue.get(one.exercise).mode == "dynamic"]
    rows = {"isometric": holds[:1], "short range": moving[:1], "light": moving[1:2]}[name]
    return rows[0] if rows else None


def cleared(restriction: Restriction, name: StageName, who: str, given_on: date) -> Restriction:
    """A restriction with the clearance that people gave for a stage."""
    return replace(restriction, clearance=Clearance(who, given_on, f"stage {name}"))
