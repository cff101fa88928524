"""Short rests and drops inside a set, against published repetitions and against the plain curve."""

from __future__ import annotations

from math import exp

import pytest

from setwright.strength.compound import Body, Piece, as_plain, usual_body
from setwright.strength.holds import curves
from setwright.strength.short_rests import Bout, bouts_as_plain, hardest_moment, reps_left, share_for_bouts

K = 0.032
BODY: Body = usual_body(K, curves()["knee"])


def in_parts(*counts: float, rest_s: float) -> list[Bout]:
    return [Bout(Piece(reps=count), rest_s if number else 0.0) for number, count in enumerate(counts)]


def test_sets_a_minute_apart_fall_as_published() -> None:
    """Squats with an 8RM to the end, a minute between: 7.9, 5.9, 4.5, 4.2. Referee: Willardson and Burkett, as a trade
    magazine (2018) reports it, seen. Within a repetition: their spread is about two.
    """
    share, done = exp(-K * 6.9), in_parts(7.9, rest_s=0.0)
    for published in (5.9, 4.5, 4.2):
        count = reps_left([*done, Bout(Piece(), 60.0)], 0.0, share, BODY)
        assert count == pytest.approx(published, abs=1.0)
        done.append(Bout(Piece(reps=count), 60.0))


def test_single_repetitions_with_long_rests_go_on_for_dozens() -> None:
    """At a 4RM with 45 s between singles people did 45 with a spread of 32 (Iglesias-Soler 2014, abstract, seen)."""
    share = exp(-K * 3.0)

    assert hardest_moment(in_parts(*[1.0] * 20, rest_s=45.4), 0.0, share, BODY) < 1.0
    assert hardest_moment(in_parts(*[1.0] * 20, rest_s=0.0), 0.0, share, BODY) > 1.0


def test_three_drops_of_a_fifth_are_about_the_work_of_three_sets() -> None:
    """12RM to the end, then three drops of 20 %, did about the work of 3 sets with 90 s between (Fink 2018, design seen
    in Sødal 2023, table 1; "similar volume" from memory). The account of sets is the one above.
    """
    share = exp(-K * 11.0)
    drop, straight = in_parts(12.0, rest_s=0.0), in_parts(12.0, rest_s=0.0)
    for number in (1, 2, 3):
        load = 0.8**number
        count = reps_left([*drop, Bout(Piece(), 5.0, load)], 0.0, share, BODY)
        drop.append(Bout(Piece(reps=count), 5.0, load))
    for _ in range(2):
        straight.append(Bout(Piece(reps=reps_left([*straight, Bout(Piece(), 90.0)], 0.0, share, BODY)), 90.0))
    works = [sum(one.piece.reps * one.load for one in each) for each in (drop, straight)]

    assert works[0] == pytest.approx(works[1], rel=0.2)


@pytest.mark.parametrize("rest_s", [5.0, 15.0, 30.0, 60.0])
def test_a_rest_inside_lets_a_heavier_load_be_done(rest_s: float) -> None:
    straight = as_plain([Piece(reps=6.0)], 2.0, BODY).share
    longer = share_for_bouts(in_parts(2, 2, 2, rest_s=rest_s + 10.0), 2.0, BODY)

    assert straight < share_for_bouts(in_parts(2, 2, 2, rest_s=rest_s), 2.0, BODY) < longer
    assert longer < as_plain([Piece(reps=2.0)], 2.0, BODY).share


def test_parts_without_rests_are_one_plain_set() -> None:
    made = bouts_as_plain(in_parts(3, 3, rest_s=0.0), 2.0, BODY)

    assert made == as_plain([Piece(reps=6.0)], 2.0, BODY)


def test_a_load_that_just_fits_is_the_account_at_failure() -> None:
    """The slow obvious way: walk the shares up until the account says 1."""
    bouts = in_parts(4, 3, 2, rest_s=20.0)
    found = share_for_bouts(bouts, 1.0, BODY)
    walked = next(share / 1e4 for share in range(5000, 10_000) if hardest_moment(bouts, 1.0, share / 1e4, BODY) > 1.0)

    assert found == pytest.approx(walked, abs=2e-4)


def test_rests_inside_bring_doubt_that_grows_with_what_they_give() -> None:
    doubts = [bouts_as_plain(in_parts(2, 2, 2, rest_s=rest), 2.0, BODY).log_sd for rest in (10.0, 30.0, 60.0)]

    assert 0.0 < doubts[0] < doubts[1] < doubts[2] < 0.06
