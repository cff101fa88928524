"""Why nothing is forecast: pain of late, or a restriction, at a joint that an exercise loads. Never a diagnosis."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from setwright.body.anatomy import joint_actions
from setwright.catalogue.derive import joint_stress
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.gates import SAID, judge
from setwright.review.pain import RegionPain, level_of, pain_by_region
from setwright.review.progress import rows_of
from setwright.strength.logged import Log

LATE_DAYS = 28  # so long pain in a log counts as of late (common practice, no published source)


@dataclass(frozen=True)
class Limits:
    """What keeps a forecast back: restrictions in force, and pain of late that is not over."""

    restrictions: tuple[Restriction, ...] = ()
    pains: tuple[RegionPain, ...] = ()

    def of_exercise(self, exercise: Exercise) -> str:
        """Why nothing is forecast of an exercise; empty where it may be."""
        for rule in self.restrictions:
            closed = not judge(exercise, (rule,), frozenset(), ignore_equipment=True).allowed
            if loads_joint(exercise, rule.joint):
                return f"a restriction at the {said(rule.joint)}, which this loads"
            if closed:
                return f"a restriction at the {said(rule.joint)} closes it"
        for pain in self.pains:
            if pain.joint is None or exercise.slug in pain.exercises or loads_joint(exercise, pain.joint):
                return f"{pain_words(pain)}, which this may load"
        return ""

    def of_exercises(self, exercises: Iterable[Exercise]) -> str:
        """The first reason that any of several exercises has."""
        return next((why for one in exercises if (why := self.of_exercise(one))), "")

    def asks_less(self, muscles: Iterable[str]) -> bool:
        """True where pain of late at a joint that muscle groups move is over what is allowed."""
        strong = tuple(one for one in self.pains if one.verdict in ("help", "stop", "less"))
        return bool(Limits((), strong).of_muscles(muscles))

    def unanswered(self) -> tuple[RegionPain, ...]:
        """Pain at which work rests, and for which nobody has set a restriction at that joint."""
        set_at = {rule.joint for rule in self.restrictions}
        return tuple(one for one in self.pains if one.verdict in ("help", "stop") and one.joint not in set_at)

    def of_muscles(self, muscles: Iterable[str]) -> str:
        """Why no more is asked of muscle groups: something at a joint that they move; empty where nothing is."""
        joints = {
            action.joint
            for action in joint_actions().values()
            if any(action.movers.get(muscle, 0.0) >= 1.0 for muscle in muscles)
        }
        for rule in self.restrictions:
            if rule.joint in joints:
                return f"a restriction at the {said(rule.joint)}"
        for pain in self.pains:
            if pain.joint is None or pain.joint in joints:
                return pain_words(pain)
        return ""


def said(joint: str) -> str:
    """A joint as a coach says it."""
    return SAID.get(joint, joint)


def pain_words(pain: RegionPain) -> str:
    """``pain of 3 of 10 at the left knee on 2026-10-02``."""
    last = pain.days[-1] if pain.days else None
    when = f" on {last.date.isoformat()}" if last is not None else ""
    much = f"pain of {level_of(last)} of 10" if last is not None and level_of(last) else "pain"
    return f"{'sharp ' if pain.is_sharp else ''}{much} at the {pain.where}{when}"


def loads_joint(exercise: Exercise, joint: str) -> bool:
    """True when an exercise moves, holds or stresses a joint."""
    return any(use.joint == joint for use in exercise.actions) or joint_stress(exercise).get(joint, 0) > 0


def limits_of(trainee: Trainee, log: Log, catalogue: Catalogue, on: date) -> Limits:
    """What keeps forecasts back on a day: every restriction of the trainee, and pain of late that did not end."""
    rows = tuple(one for one in rows_of(log, trainee.baselines) if 0 <= (on - one.date).days <= LATE_DAYS)
    days = tuple(one for one in log.sessions if 0 <= (on - one.date).days <= LATE_DAYS)
    pains = pain_by_region(Log(rows, days), trainee.restrictions, catalogue, on)
    unnumbered = {one.exercise for one in rows if one.ended_by == "pain"}
    return Limits(trainee.restrictions, (*(one for one in pains if is_on(one)), *ended_by_pain(unnumbered, pains)))


def is_on(pain: RegionPain) -> bool:
    """True where pain is not over: more than allowed, or there on the newest day that tells of it."""
    return pain.verdict != "go on" or not pain.days or level_of(pain.days[-1]) > 0


def ended_by_pain(exercises: set[str], pains: Sequence[RegionPain]) -> list[RegionPain]:
    """A pain of its own for sets that pain ended though nobody gave it a number or a place."""
    from setwright.review.pain import strictest

    told = {slug for one in pains for slug in one.exercises}
    left = tuple(sorted(exercises - told))
    if not left:
        return []
    why = "a set ended by pain"
    return [
        RegionPain("place that nobody named", None, (), left, 0, None, None, "", False, strictest(), "stop", why, "")
    ]
