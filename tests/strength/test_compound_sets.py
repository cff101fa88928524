"""Sets made of holds and repetitions: laws, a slower obvious method, and another model of fatigue as referee."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.strength.compound import (
    SUMMING_DOUBT,
    Body,
    Piece,
    as_plain,
    left_in,
    possible_reps,
    share_for,
    used,
    usual_body,
)
from setwright.strength.curve import SECONDS_HELD_A_REP, reps_at_share, share_of_1rm
from setwright.strength.holds import HoldBelief, curves, hold_figures
from setwright.strength.tempo import share_of_reps, slowing

K = st.floats(0.015, 0.05)
REGION = st.sampled_from(sorted(curves()))
HOLD_S, REPS, RESERVE = st.floats(0.0, 30.0), st.integers(1, 12), st.floats(0.0, 4.0)
HOLD_REPS_HOLD = (Piece(seconds=12.0), Piece(reps=6, slow=1.25), Piece(seconds=12.0))


def body(k: float = 0.03, region: str = "knee") -> Body:
    return usual_body(k, curves()[region])


@settings(max_examples=60, deadline=None, derandomize=True)
@given(k=K, region=REGION, reps=REPS, reserve=RESERVE)
def test_without_holds_and_haste_it_is_the_plain_set(k: float, region: str, reps: int, reserve: float) -> None:
    pieces = [Piece(seconds=0.0), Piece(reps=reps), Piece(seconds=0.0)]
    plain = as_plain(pieces, reserve, body(k, region))

    assert plain.reps == pytest.approx(reps + reserve)
    assert plain.log_sd == 0.0
    assert share_for(pieces, reserve, body(k, region)) == pytest.approx(share_of_1rm(reps + reserve, k), rel=1e-6)


def test_a_hold_alone_to_its_end_uses_all() -> None:
    """By hand: at 66 % of the 1RM a hold is at 60 % of the greatest load held, 19.38 x 0.6^-1.88 = 50.6 s."""
    share = 0.6 * hold_figures().over_lifted

    assert used([Piece(seconds=19.38 * 0.6**-1.88)], 0.0, share, body()) == pytest.approx(1.0)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(k=K, region=REGION, first=HOLD_S, reps=REPS, last=HOLD_S, reserve=RESERVE, more=st.floats(0.1, 20.0))
def test_a_longer_hold_is_never_easier(
    k: float, region: str, first: float, reps: int, last: float, reserve: float, more: float
) -> None:
    one = body(k, region)

    def share(hold: float) -> float:
        return share_for([Piece(seconds=hold), Piece(reps=reps), Piece(seconds=last)], reserve, one)

    assert share(first + more) <= share(first) + 1e-12
    pieces = [Piece(seconds=first), Piece(reps=reps), Piece(seconds=last)]
    assert share_for(pieces, reserve + more, one) <= share_for(pieces, reserve, one) + 1e-12


@settings(max_examples=80, deadline=None, derandomize=True)
@given(k=K, region=REGION, first=HOLD_S, reps=REPS, last=HOLD_S, slow=st.floats(1.0, 3.0), reserve=RESERVE)
def test_the_load_for_a_wanted_reserve_leaves_that_reserve(
    k: float, region: str, first: float, reps: int, last: float, slow: float, reserve: float
) -> None:
    pieces = [Piece(seconds=first), Piece(reps=reps, slow=slow), Piece(seconds=last)]
    one = body(k, region)
    share = share_for(pieces, reserve, one)

    assert used(pieces, reserve, share, one) == pytest.approx(1.0, abs=1e-6)
    assert left_in(pieces, share, one).mean == pytest.approx(reserve, abs=1e-4)
    assert possible_reps(pieces, share, one) == pytest.approx(reps + reserve, abs=1e-4)


def test_the_load_is_what_a_plain_search_over_all_loads_finds() -> None:
    """Referee: brute force, the heaviest of 20 000 loads that uses no more than all."""
    one = body()
    shares = np.linspace(0.05, 1.2, 20_000)
    fitting = [share for share in shares if used(HOLD_REPS_HOLD, 2.0, float(share), one) <= 1.0]

    assert share_for(HOLD_REPS_HOLD, 2.0, one) == pytest.approx(max(fitting), abs=1e-4)


def test_heavier_leaves_less() -> None:
    left = [left_in(HOLD_REPS_HOLD, share, body()).mean for share in (0.4, 0.5, 0.6, 0.7, 0.8)]

    assert left == sorted(left, reverse=True)
    assert left[0] > 5 > 0 > left[-1]


def test_the_old_rule_of_four_seconds_a_repetition_lies_in_the_middle() -> None:
    """Referee: common practice. By joint a repetition is worth 2.3 to 9 s held; knee and elbow are near four."""
    worth = {}
    for region in curves():
        one = body(0.03, region)
        rates = []
        for share in (0.6, 0.7, 0.8):
            held = curves()[region].seconds_at(share / hold_figures().over_lifted)
            rates.append(held / reps_at_share(share, one.k))
        worth[region] = float(np.mean(rates))

    assert min(worth.values()) < SECONDS_HELD_A_REP < max(worth.values())
    assert all(2.3 < value < 9.0 for value in worth.values())
    assert worth["knee"] == pytest.approx(SECONDS_HELD_A_REP, rel=0.25)
    assert worth["general"] == pytest.approx(SECONDS_HELD_A_REP, rel=0.3)


def test_an_easier_position_costs_less() -> None:
    """A hold at two angles: the second at a place where the lever asks for 60 % of the hardest place."""
    hard = [Piece(seconds=15.0), Piece(seconds=15.0)]
    mixed = [Piece(seconds=15.0), Piece(seconds=15.0, demand=0.6)]

    assert share_for(mixed, 0.0, body()) > 1.02 * share_for(hard, 0.0, body())


FATIGUE, RECOVERY = 0.015, 0.00149  # a second; knee, three compartments, from memory


def sum_at_failure(first: float, second: float, part: float) -> float:
    """Shares used up when a hold at ``first`` for ``part`` of its end, then one at ``second``, fails."""

    def end(share: float) -> float:
        return -log(1.0 - RECOVERY * (1.0 - share) / (FATIGUE * share)) / RECOVERY

    def tired(fatigued: float, share: float) -> float:
        return fatigued + 0.01 * (FATIGUE * share - RECOVERY * fatigued)

    fatigued, seconds = 0.0, 0.0
    for _ in range(round(100.0 * part * end(first))):
        fatigued = tired(fatigued, first)
    while 1.0 - second - fatigued > 0.0:
        fatigued, seconds = tired(fatigued, second), seconds + 0.01
    return part + seconds / end(second)


def test_shares_add_up_to_one_in_another_model_where_the_load_is_one() -> None:
    """Referee: three compartments of fatigue (Xia and Frey Law 2008). One load: 1. A fifth apart in demand: within a
    fifth of 1. Order, which the sum ignores, shows there: the easier place first costs more than it says."""
    for part in (0.25, 0.5, 0.75):
        assert sum_at_failure(0.6, 0.6, part) == pytest.approx(1.0, abs=0.01)
        hard_first, easy_first = sum_at_failure(0.6, 0.5, part), sum_at_failure(0.5, 0.6, part)
        assert 0.79 < easy_first < 1.0 < hard_first < 1.21


def test_the_spread_is_that_of_many_drawn_people() -> None:
    """Referee: 4000 draws (seed 5) of own endurance, position, summing and tempo, each solved whole, no slopes."""
    chance, one, figures = np.random.default_rng(5), body(), hold_figures()
    plain = as_plain(HOLD_REPS_HOLD, 2.0, one)
    exponent, exponent_sd = slowing()
    shares = []
    for _ in range(4000):
        offset = chance.normal(0.0, figures.people) + chance.normal(0.0, SUMMING_DOUBT)
        offset += one.curve.power * chance.normal(0.0, figures.over_lifted_sd)
        slow = 1.25 ** ((exponent + chance.normal(0.0, exponent_sd)) / exponent)
        pieces = (HOLD_REPS_HOLD[0], Piece(reps=6, slow=max(1.0, slow)), HOLD_REPS_HOLD[2])
        low, high = log(0.1), log(1.5)
        for _ in range(25):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if used(pieces, 2.0, exp(middle), one, offset) > 1.0 else (middle, high)
        shares.append(low)

    assert plain.log_sd == pytest.approx(float(np.std(shares)), rel=0.15)
    assert log(plain.share) == pytest.approx(float(np.mean(shares)), abs=0.015)


def test_who_holds_longer_gets_a_heavier_load_and_who_is_known_a_surer_one() -> None:
    curve = curves()["knee"]
    usual, long, sure = (
        as_plain(HOLD_REPS_HOLD, 2.0, Body(0.03, curve, own))
        for own in (HoldBelief(0.0, 0.3), HoldBelief(0.3, 0.3), HoldBelief(0.0, 0.1))
    )

    assert long.share > usual.share and long.reps < usual.reps
    assert sure.log_sd < usual.log_sd


def test_slow_repetitions_alone_are_as_the_tempo_says() -> None:
    """By hand: six repetitions twice as slow, two left, are 8 / 0.637 = 12.6 plain ones to the last."""
    plain = as_plain([Piece(reps=6, slow=2.0)], 2.0, body())

    assert plain.reps == pytest.approx(8.0 / share_of_reps(2.0), abs=1e-6)


@pytest.mark.parametrize("wrong", [{"reps": -1.0}, {"seconds": -1.0}, {"slow": 0.5}, {"demand": 0.0}])
def test_an_impossible_piece_cannot_exist(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="expected"):
        Piece(**wrong)
