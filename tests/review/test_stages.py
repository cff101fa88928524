"""Back after a restriction in stages: each opens more, a test ends it, people set the dates."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from made_block import GYM, START
from week_of_log import HOLDER, block, lines

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block
from setwright.plan.gates import judge
from setwright.plan.identity import with_id
from setwright.plan.restrict import restrict_block
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.publish.block_file import block_to_json
from setwright.review.stages import OF_JOINT, STAGES, restriction_in, stage_now, stages_of
from setwright.services.block_check import since_week
from setwright.services.deeds import plain_brief
from setwright.services.gather import load_block
from setwright.services.staging import AS_OLD, stage_block
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


def written(folder: Path, first: int = 2, **more: object) -> tuple[Path, Path]:
    before, after = folder / "before.json", folder / "sore.json"
    trainee = block().inputs.trainee
    known = estimate_lifts(trainee, catalogue(), trainee.baselines, Log(), block().inputs.brief.start)
    rule = since_week(block(), replace(parse_restriction("knee is sore", "test"), **more), first)  # type: ignore[arg-type]
    made: Block = restrict_block(block(), rule, catalogue(), known, first)
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


WITH_BIKE = """
Block: Invented weeks with a bike
6 weeks
weeks 1 to 6 RPE 7
Monday, 75 min
back squat 3 x 5 @ RPE 7, rest 3 min
seated cable row 3 x 8 @ RPE 7, rest 2 min
conditioning
stationary bike 3 x 40 s, rest 60 s
"""


@pytest.fixture
def bike(tmp_path: Path) -> tuple[Path, Path]:
    """(file of a block under a sore knee, file of the block before, with timed work on a bike)."""
    place = replace(GYM, fixtures={**GYM.fixtures, "bike": 1})
    trainee = replace(HOLDER, days=(TrainingDay("mon", 75, "gym"),))
    known = estimate_lifts(trainee, catalogue(), trainee.baselines, Log(), START)
    text = read_block_text(WITH_BIKE, catalogue())
    first = fit_written(text, trainee, (place,), plain_brief(text.title, 6, 1, START), catalogue(), known)
    rule = since_week(first, replace(parse_restriction("knee is sore", "test"), level="none"), 2)
    before, after = tmp_path / "before.json", tmp_path / "sore.json"
    before.write_bytes(block_to_json(first))
    after.write_bytes(block_to_json(restrict_block(first, rule, catalogue(), known, 2)))
    return after, before


def timed(made: Block, week: int) -> list[tuple[str, str, float | None, float | None]]:
    """Exercise, kind, seconds and held seconds of the conditioning of a week."""
    return [
        (entry.exercise, one.kind, one.time_s, one.hold_s)
        for session in made.weeks[week - 1].sessions
        for part in session.parts
        if part.part == "conditioning"
        for entry in part.entries
        for one in entry.sets
    ]


def test_timed_work_comes_back_as_timed_work(bike: tuple[Path, Path]) -> None:
    """Referee: the block before the restriction, set by set."""
    first, sore = load_block(bike[1]), load_block(bike[0])
    made = stage_block(bike[0], "knee", "full", 4, before_file=bike[1])

    assert timed(first, 6) == [("bike", "work", 40.0, None)] * 3 != timed(sore, 6)
    assert timed(made, 6) == timed(first, 6) and timed(made, 3) == timed(sore, 3)


@pytest.mark.parametrize("stage", STAGES)
def test_without_the_block_before_a_stage_is_refused(stage: str, bike: tuple[Path, Path]) -> None:
    """Words in a list of changes hold no seconds, dials or partners: a bike came back as a hold."""
    with pytest.raises(InputFaults) as caught:
        stage_block(bike[0], "knee", stage, 4)

    (fault,) = caught.value.faults
    assert fault.file == "--before" and "--records FOLDER" in fault.allowed


def test_a_block_made_under_a_restriction_needs_no_block_before(tmp_path: Path) -> None:
    sore, _ = written(tmp_path, 1, level="none")
    old = with_id(replace(load_block(sore), id="", revision=1, parent=None, changes=()))
    file, said = tmp_path / "block.json", list[str]()
    file.write_bytes(block_to_json(old))
    made = stage_block(file, "knee", "short range", 3, say=said.append)

    assert AS_OLD in said and (made.revision, made.parent) == (old.revision + 1, old.id)
    later = tmp_path / "later.json"
    later.write_bytes(block_to_json(made))
    again = stage_block(later, "knee", "light", 5, before_file=file)
    assert stage_now(again.inputs.trainee.restrictions[0]) == "light"


def test_a_stage_that_allows_less_than_the_limit_so_far_says_so(sore: tuple[Path, Path]) -> None:
    said: list[str] = []
    stage_block(sore[0], "knee", "isometric", 4, before_file=sore[1], say=said.append)

    assert any("allows less than the limit so far (moderate work)" in one for one in said)
