"""What is said of a movement that a week does not hold is so. Referee: every way is tried again here, by the words of
the problem (``search.worth``), not by the code that made the sentence."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from made_block import BRIEF, GYM, estimates_of, made_block

from setwright.catalogue.load import catalogue
from setwright.people.place import Place
from setwright.plan.block import Block
from setwright.plan.brief import Brief
from setwright.plan.reasons_frame import Frame
from setwright.plan.recount import frame_again
from setwright.plan.search.problem import Plan, Spot
from setwright.plan.search.worth import broken_limits, sets_range, total_points
from setwright.plan.why_missing import why_missing

VERTICAL = frozenset({"pull_vertical"})


def without(block: Block, patterns: frozenset[str]) -> Block:
    """The block with no entry of some patterns."""

    def stays(slug: str) -> bool:
        return catalogue().get(slug).pattern not in patterns

    def thinned(part: object) -> object:
        kept = [one for one in part.entries if stays(one.exercise)]  # type: ignore[attr-defined]
        return replace(part, entries=tuple(replace(one, superset=None) for one in kept))  # type: ignore[type-var]

    return replace(
        block,
        weeks=tuple(
            replace(
                week,
                sessions=tuple(
                    replace(session, parts=tuple(thinned(part) for part in session.parts))  # type: ignore[misc]
                    for session in week.sessions
                ),
            )
            for week in block.weeks
        ),
    )


def frame_of(brief: Brief = BRIEF, place: Place = GYM) -> Frame:
    block = without(made_block(), VERTICAL)
    inputs = replace(block.inputs, brief=brief, places=(place,))
    return frame_again(replace(block, inputs=inputs), catalogue(), estimates_of())


def tried(frame: Frame) -> list[int]:
    """Points more of every way to put one pull in that breaks no limit that stood before."""
    problem, plan = frame.counted.room, frame.plan
    before, bent = total_points(problem, plan), set(broken_limits(problem, plan))
    pulls = [at for at, one in enumerate(frame.posed.candidates) if one.exercise.pattern in VERTICAL]
    found = []
    for item, day in product(pulls, range(len(plan.days))):
        ranges = [sets_range(problem, item, week) for week in range(len(problem.weeks))]
        for old in (None, *plan.days[day]):
            kept = [replace(one, partner=-1) for one in plan.days[day] if one is not old]
            wanted = [low for low, _ in ranges] if old is None else old.sets
            sets = tuple(min(max(count, low), high) for count, (low, high) in zip(wanted, ranges, strict=True))
            spots = (*kept, Spot(item, sets))
            made = Plan(tuple(spots if at == day else one for at, one in enumerate(plan.days)))
            if set(broken_limits(problem, made)) <= bent:
                found.append(total_points(problem, made) - before)
    return found


def test_the_cheapest_way_is_named_and_none_is_cheaper() -> None:
    frame = frame_of()
    text = why_missing(frame, "a vertical pull", VERTICAL)
    points = min(tried(frame))
    said = f"{abs(points)} point" if points else "as good by points"

    assert text.startswith("The cheapest way to it is ") and said in text
    assert ("worse" in text) == (points > 0)


@pytest.mark.parametrize("what", ["exclude", "equipment"])
def test_what_closes_a_movement_is_named(what: str) -> None:
    pulls = tuple(one.slug for one in catalogue().values() if one.pattern in VERTICAL)
    bare = Place("gym", "Invented room", invented=True)
    frame = frame_of(replace(BRIEF, exclude=pulls)) if what == "exclude" else frame_of(place=bare)
    text = why_missing(frame, "a vertical pull", VERTICAL)

    assert ("exclude" in text) == (what == "exclude")
    assert ("the equipment" in text) == (what == "equipment")
    assert "second choice" not in text
