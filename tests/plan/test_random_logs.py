"""Every hard rule after a log: random sets done, missed, failed and painful, and the block that is adapted to them."""

from __future__ import annotations

import json
from datetime import date, timedelta
from random import Random

import pytest
from case_runs import LIMIT, stress_of
from hard_rules import Given, check_block
from random_people import START, case_of

from setwright.faults import NoPlan
from setwright.people.trainee import DAYS
from setwright.plan.block import Block
from setwright.plan.design import design_block
from setwright.publish.block_file import block_to_json
from setwright.review.adapt import adapt_block
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSession, LoggedSet

FEW, MANY, STEP = 20, 320, 20


def some_log(r: Random, block: Block, weeks: int) -> Log:
    """The first weeks of a block as done: near the plan, with misses, failures and pain."""
    mood = r.choice(("as planned", "strong", "weak", "sore", "patchy"))
    sets: list[LoggedSet] = []
    sessions: list[LoggedSession] = []
    for week in block.weeks[:weeks]:
        for session in week.sessions:
            if mood == "patchy" and r.random() < 0.4:
                continue
            day = START + timedelta(days=7 * (week.number - 1) + DAYS.index(session.day))
            sessions.append(LoggedSession(day, week.number, session.day, r.uniform(3, 9), session.minutes))
            for part in session.parts:
                for entry in part.entries:
                    working = [one for one in entry.sets if one.kind != "ramp"]
                    for number, one in enumerate(working, 1):
                        if part.part != "warm-up" and r.random() < 0.9:
                            sets.append(some_set(r, mood, day, week.number, session.day, entry.exercise, number, one))
    return Log(tuple(sets), tuple(sessions))


def some_set(
    r: Random, mood: str, day: date, week: int, session: str, slug: str, number: int, one: object
) -> LoggedSet:
    off = {"strong": r.randint(0, 4), "weak": -r.randint(0, 3)}.get(mood, r.randint(-1, 1))
    reps, rir = one.reps, one.rir  # type: ignore[attr-defined]
    hurts = mood == "sore" and r.random() < 0.15
    return LoggedSet(
        date=day,
        week=week,
        session=session,
        exercise=slug,
        set=number,
        load_kg=one.load_kg,  # type: ignore[attr-defined]
        load_means=one.load_means,  # type: ignore[attr-defined]
        reps=None if reps is None else max(0, r.randint(*reps) + min(0, off)),
        rir=None if rir is None else max(0.0, rir + off),
        hold_s=one.hold_s,  # type: ignore[attr-defined]
        distance_m=one.distance_m,  # type: ignore[attr-defined]
        time_s=one.time_s,  # type: ignore[attr-defined]
        ended_by=r.choice(("planned", "planned", "form", "muscle")),
        pain=r.randint(1, 8) if hurts else None,
        pain_where=r.choice(("knee", "shoulder", "elbow", "back")) if hurts else "",
        pain_kind="dull" if hurts else None,
    )


def broken_after(seed: int) -> tuple[bool, list[str]]:
    """(whether the log changed the block, breaches of the adapted block) of a small case."""
    r, case = Random(f"log {seed}"), case_of(seed, is_small=True)
    person, known = case.trainee, case.catalogue
    try:
        estimates = estimate_lifts(person, known, person.baselines, Log(), START)
        block = design_block(person, case.places, case.brief, known, estimates, limit=LIMIT[True])
        done = r.randint(1, 3)
        log = some_log(r, block, done)
        after = estimate_lifts(person, known, person.baselines, log, START + timedelta(days=7 * done - 1))
        changed = adapt_block(block, log, after, known, START + timedelta(days=7 * done - 1))
    except NoPlan:
        return False, []
    if changed == block:
        return False, []
    before, now = (json.loads(block_to_json(one)) for one in (block, changed))
    given = Given(person, case.places, case.brief, stress_of)
    return True, [f"log {seed}: {one}" for one in check_block(now, given, before, from_week=done + 1)]


@pytest.mark.long
def test_a_block_adapted_to_a_random_log_keeps_every_hard_rule() -> None:
    made = [broken_after(seed) for seed in range(FEW)]

    found = [line for _, lines in made for line in lines]
    assert sum(changed for changed, _ in made) >= 4  # most logs near the plan change nothing
    assert not found, "\n".join(found)


@pytest.mark.long
@pytest.mark.parametrize("first", range(FEW, MANY, STEP))
def test_blocks_adapted_to_many_random_logs_keep_every_hard_rule(first: int) -> None:
    found = [line for seed in range(first, first + STEP) for line in broken_after(seed)[1]]

    assert not found, "\n".join(found)
