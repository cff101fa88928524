"""Back after a restriction in stages: each opens more, a test ends it, people set the dates."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from week_of_log import block, lines

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block
from setwright.plan.gates import judge
from setwright.plan.restrict import restrict_block
from setwright.publish.block_file import block_to_json
from setwright.review.stages import OF_JOINT, STAGES, restriction_in, stage_now, stages_of
from setwright.services.block_check import since_week
from setwright.services.gather import load_block
from setwright.services.staging import stage_block
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

JOINTS = ("knee", "hip", "ankle", "shoulder", "elbow", "wrist", "trunk")


@pytest.mark.parametrize("joint", JOINTS)
def test_each_stage_opens_what_the_one_before_had_open(joint: str) -> None:
    """Law: holds, short range, light, full only ever widen; and holds come first, moving work later."""
    rule = parse_restriction(f"{joint} is sore", "test")
    known, open_before = catalogue(), set()
    for stage in stages_of(rule, known):
        rules = () if stage.restriction is None else (stage.restriction,)
        now = {one.slug for one in known.values() if judge(one, rules, frozenset(), ignore_equipment=True).allowed}
        assert open_before <= now, (stage.name, sorted(open_before - now)[:5])
        if stage.name == "isometric":
            primes = {s for s in now if any(u.joint == joint and u.role == "prime" for u in known.get(s).actions)}
            assert all(known.get(one).mode in ("isometric", "carry") for one in primes)
        open_before = now
    assert len(open_before) == len(list(known.values()))


@pytest.mark.parametrize("joint", JOINTS)
def test_each_stage_but_the_last_ends_with_a_test_and_names_its_source(joint: str) -> None:
    stages = stages_of(parse_restriction(f"{joint} is sore", "test"), catalogue())

    assert tuple(one.name for one in stages) == STAGES
    assert all("pain of at most" in one.ends_when and one.source for one in stages[:3]) and not stages[3].ends_when


def test_the_test_is_that_of_the_progression_of_the_joint() -> None:
    """Referee: the catalogue's own progression of the calf: its first hold and its first two moving steps."""
    way = catalogue().progressions[OF_JOINT["ankle"]].way()
    stages = stages_of(parse_restriction("ankle is sore", "test"), catalogue())

    for stage, step in zip(stages, way, strict=False):
        assert stage.restriction is None or step.exit_test.rstrip(".") in stage.ends_when


def test_no_stage_writes_a_date() -> None:
    rule = parse_restriction("knee is sore", "test")

    for name in STAGES[:3]:
        made = restriction_in(rule, name)
        assert made is not None and (made.since, made.review_on, made.clearance) == (None, None, None)
        assert stage_now(made) == name
        again = restriction_in(made, "light")
        assert again is not None and again.reason.count("Stage") == 1


@pytest.fixture
def sore(tmp_path: Path) -> tuple[Path, Path]:
    """(file of the block under a sore knee, file of the block before)."""
    return written(tmp_path)


def written(folder: Path, **more: object) -> tuple[Path, Path]:
    before, after = folder / "before.json", folder / "sore.json"
    trainee = block().inputs.trainee
    known = estimate_lifts(trainee, catalogue(), trainee.baselines, Log(), block().inputs.brief.start)
    rule = since_week(block(), replace(parse_restriction("knee is sore", "test"), **more), 2)  # type: ignore[arg-type]
    made: Block = restrict_block(block(), rule, catalogue(), known, 2)
    before.write_bytes(block_to_json(block()))
    after.write_bytes(block_to_json(made))
    return after, before


def test_a_stage_needs_the_week_that_people_name(sore: tuple[Path, Path]) -> None:
    with pytest.raises(InputFaults) as caught:
        stage_block(sore[0], "knee", "isometric", None, before_file=sore[1])
    assert "people set it" in str(caught.value)


def test_a_stage_that_waits_for_clearance_needs_who_sets_it_and_when(tmp_path: Path) -> None:
    after, before = written(tmp_path, needs_clearance=True)
    with pytest.raises(InputFaults) as caught:
        stage_block(after, "knee", "short range", 3, before_file=before)
    assert {"--by", "--given-on"} <= {one.file for one in caught.value.faults}

    made = stage_block(after, "knee", "short range", 3, "Dr Muster", date(2026, 9, 18), before)
    rule = made.inputs.trainee.restrictions[0]
    assert rule.clearance is not None and (rule.clearance.who, rule.clearance.given_on) == (
        "Dr Muster",
        date(2026, 9, 18),
    )


def test_a_stage_is_one_revision_and_touches_no_week_before_it(sore: tuple[Path, Path]) -> None:
    said: list[str] = []
    made = stage_block(sore[0], "knee", "light", 4, before_file=sore[1], say=said.append)
    start = load_block(sore[0])

    assert (made.revision, made.parent) == (start.revision + 1, start.id)
    assert made.weeks[:3] == start.weeks[:3] and lines(made, 4) != lines(start, 4)
    assert all("is lifted" not in one.why for one in made.changes)
    assert any("Left out: isometric, short range" in one for one in said)
    for week in made.weeks[3:]:
        for entry in (e for s in week.sessions for part in s.parts for e in part.entries):
            exercise, rules = catalogue().get(entry.exercise), made.inputs.trainee.restrictions
            assert judge(exercise, rules, frozenset(), None, entry.dials, ignore_equipment=True).allowed
