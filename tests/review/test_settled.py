"""A log is answered once: through restrictions, changes taken in part, and files read in another order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from week_of_log import block, lines, log_of, most_kg, proposal

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.block import Block, Entry
from setwright.plan.restrict import restrict_block
from setwright.plan.revisions import with_some
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.review.settled import log_name
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log


def easy(week: int, entry: Entry) -> dict[str, object]:
    return {"rir_off": 2.0}


def short(week: int, entry: Entry) -> dict[str, object]:
    return {"reps_off": -2, "rir_off": -9}


def restricted(made: Block, log: Log, text: str) -> Block:
    trainee = made.inputs.trainee
    today = max(one.date for one in log.sets)
    known = estimate_lifts(trainee, catalogue(), trainee.baselines, log, today)
    return restrict_block(made, parse_restriction(text, "test"), catalogue(), known, 2)


@cache
def adapted(effort: Callable[[int, Entry], dict[str, object]]) -> tuple[Log, Block]:
    log = log_of([1], effort)
    return log, proposal(log).block


@pytest.mark.parametrize("effort", [easy, short])
@pytest.mark.parametrize("text", ["my knee is sore", "my elbow is sore", "my shoulder is sore"])
def test_a_restriction_in_between_lets_no_log_step_twice(
    effort: Callable[[int, Entry], dict[str, object]], text: str
) -> None:
    """Law of the house: the same log again changes nothing of what it has changed."""
    log, first = adapted(effort)
    between = restricted(first, log, text)
    again = proposal(log, between).block
    answered = {(one.week, one.session, one.entry) for one in first.changes}

    assert first is not block() and between is not first
    assert not answered & {(one.week, one.session, one.entry) for one in again.changes if again is not between}
    for week in range(2, 8):
        for _, slug in set(lines(first, week)) & set(lines(again, week)):
            assert most_kg(again, week, slug) == pytest.approx(most_kg(between, week, slug))


def test_a_third_reading_changes_nothing_either() -> None:
    log, first = adapted(easy)
    between = restricted(first, log, "my knee is sore")
    again = proposal(log, between).block

    assert proposal(log, again).block is again


def test_what_was_left_out_is_proposed_again_and_what_was_taken_is_not() -> None:
    log, first = adapted(easy)
    some = with_some(block(), first, {1}, catalogue())
    again = proposal(log, some).block
    spots = [(one.week, one.session, one.entry) for one in first.changes]

    assert len(spots) > 1 and again is not some
    assert spots[0] not in {(one.week, one.session, one.entry) for one in again.changes}
    assert {(one.week, one.session, one.entry) for one in again.changes} & set(spots[1:])


def test_a_log_is_the_same_in_another_order_and_another_with_one_set_corrected() -> None:
    log, _ = adapted(easy)
    turned = Log(tuple(replace(one, row="x") for one in reversed(log.sets)), tuple(reversed(log.sessions)))
    corrected = Log((replace(log.sets[0], reps=(log.sets[0].reps or 0) - 3), *log.sets[1:]), log.sessions)

    assert log_name(turned) == log_name(log) != log_name(corrected)


def test_another_log_is_answered_anew() -> None:
    log, first = adapted(easy)
    more = log_of([1, 2], easy)
    made = proposal(more, first).block

    assert made is not first and {one.log for one in made.settled} == {log_name(more)} != {log_name(log)}


def test_what_is_settled_goes_through_the_file_and_leaves_no_key_where_there_is_none() -> None:
    _, first = adapted(easy)

    assert first.settled and block_from_json(block_to_json(first), "test") == first
    assert b'"settled"' not in block_to_json(block())
