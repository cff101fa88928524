"""Reserves that were called and not there: taken off before anything is dosed, and never put on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from week_of_log import block, lines, log_of, most_kg

from setwright.catalogue.load import catalogue
from setwright.review import proposals
from setwright.review.believed import MOST_OFF, Believed, believed
from setwright.review.findings import review_block
from setwright.review.proposals import Proposal, proposed
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log, LoggedSet


def estimates_of(log: Log) -> Estimates:
    trainee = block().inputs.trainee
    return estimate_lifts(trainee, catalogue(), trainee.baselines, log, max(one.date for one in log.sets))


def failing(promised: float, fell_to: int, lifts: int = 2) -> Log:
    """Two weeks as planned, where the second set of some lifts failed after the first had promised more."""
    log = log_of([1, 2])
    chosen = sorted({one.exercise for one in log.sets})[:lifts]
    sets = []
    for one in log.sets:
        if one.week == 2 and one.exercise in chosen and one.set == 1:
            one = replace(one, rir=promised)
        elif one.week == 2 and one.exercise in chosen and one.set == 2:
            one = replace(one, reps=fell_to, rir=0.0, ended_by="muscle")
        sets.append(one)
    return Log(tuple(sets), log.sessions)


def test_calls_that_kept_their_promise_are_taken_as_said() -> None:
    log = log_of([1, 2])

    assert believed(block(), log) == Believed() and believed(block(), log).of(log) is log


def test_one_broken_promise_is_a_days_luck() -> None:
    assert believed(block(), failing(3.0, 3, lifts=1)) == Believed()


def test_two_broken_promises_count_what_was_missing_beyond_the_usual() -> None:
    """By hand: 5 and 3 left promise 0.95 x 8 = 7.6, failing at 3 and a half leaves 4.1 missing (in 8s: 0.95 x 11 - 3.5
    = 6.95); less the usual 0.7, in halves, at most 3."""
    log = failing(3.0, 3)
    trust = believed(block(), log)

    assert trust.off == MOST_OFF and "2 sets failed" in trust.words
    mild = believed(block(), failing(1.0, 4))
    reps = {one.exercise: one.reps for one in log_of([1]).sets}
    chosen = sorted(reps)[:2]
    gaps = [0.95 * ((reps[slug] or 0) + 1.0) - 4.5 for slug in chosen]
    wanted = sum(gaps) / 2
    assert mild.off == (min(3.0, round(2 * (wanted - 0.7)) / 2) if wanted >= 1.5 else 0.0)


@pytest.mark.parametrize("off", [0.5, 1.5, 3.0])
def test_fewer_are_left_and_failures_and_silence_stay(off: float) -> None:
    rows = [one for one in log_of([1]).sets if one.exercise == "back_squat"][:3]
    log = Log((replace(rows[0], rir=1.0), replace(rows[1], rir=0.0, ended_by="muscle"), replace(rows[2], rir=None)))

    assert [one.rir for one in Believed(off, "x").of(log).sets] == [max(0.0, 1.0 - off), 0.0, None]


def test_watched_sets_to_failure_that_hold_their_promise_end_it() -> None:
    """A set that failed where the call before had said it would is a gap near nothing, and the mean falls."""
    log = failing(3.0, 3)
    honest: list[LoggedSet] = []
    for one in log_of([3, 4]).sets:
        if one.set == 2:
            first = next(
                row for row in log_of([3, 4]).sets if (row.date, row.exercise, row.set) == (one.date, one.exercise, 1)
            )
            one = replace(one, reps=round(0.95 * ((first.reps or 0) + (first.rir or 0.0))), rir=0.0, ended_by="muscle")
        honest.append(one)
    more = Log((*log.sets, *honest), log.sessions)

    assert believed(block(), log).off > 0 and believed(block(), more).off < believed(block(), log).off


def with_trust(log: Log) -> Proposal:
    return proposed(block(), log, estimates_of(believed(block(), log).of(log)), catalogue())


@given(promised=st.sampled_from([2.0, 3.0, 4.0]), fell_to=st.integers(2, 4), lifts=st.integers(2, 4))
@settings(max_examples=6, deadline=None)
def test_disbelief_never_raises_a_load(promised: float, fell_to: int, lifts: int) -> None:
    """Law: believing fewer left asks for no more than believing the calls."""
    log = failing(promised, fell_to, lifts)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(proposals, "believed", lambda *_: Believed())
        said = proposed(block(), log, estimates_of(log), catalogue())
    found = with_trust(log)

    assert believed(block(), log).off > 0
    for week in range(3, 8):
        for _, slug in set(lines(said.block, week)) & set(lines(found.block, week)):
            assert most_kg(found.block, week, slug) <= most_kg(said.block, week, slug) + 1e-6


def test_what_is_not_believed_is_said_with_its_evidence() -> None:
    log = failing(3.0, 3)
    found, words = with_trust(log), believed(block(), log).words
    review = review_block(block(), log, estimates_of(log), catalogue()).findings
    (told,) = [one for one in review if one.kind == "less left than called"]

    assert found.block.changes and all(words in one.evidence for one in found.block.changes if one.to != "rests")
    assert any("watched, settles it" in one for one in found.notes)
    assert f"adapt counts {MOST_OFF:g} fewer left" in told.settles_it
