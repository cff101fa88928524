"""Slow repetitions: published counts as referees, and the laws of the trade."""

from __future__ import annotations

from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.dose.minutes import tempo_seconds
from setwright.strength.tempo import Tempo, doubt_of_reps, read_tempo, share_of_reps, slowness, time_under_load


@pytest.mark.parametrize(
    ("text", "rep_s"),
    [("3-1-1-0", 5.0), ("2-0-x-1", 3.5), ("30X0", 3.5), ("4/0/2/0", 6.0), ("5-0-1", 6.0), ("2.5-0-1-0", 3.5)],
)
def test_the_notations_of_the_trade_are_read(text: str, rep_s: float) -> None:
    tempo = read_tempo(text)

    assert tempo is not None and tempo.rep_s == rep_s


@pytest.mark.parametrize("text", ["slow", "", "3-1", "1-2-3-4-5", "3-a-1-0", None, 3110, "3--1-0"])
def test_what_is_no_tempo_is_not_guessed(text: object) -> None:
    assert read_tempo(text) is None
    assert slowness(text, 4.0) == 1.0


def test_negative_seconds_cannot_exist() -> None:
    with pytest.raises(ValueError, match=">= 0"):
        Tempo(-1.0, 0.0, 1.0, 0.0)


# (times slower, share of the repetitions of the quicker way), counts to the last repetition, all seen:
PUBLISHED = {
    # LaChance and Hortobagyi 1994, 75 men: self-paced 145 % more push-ups than at 6 s, in 51 % less time; pull-ups 96 %
    # more in 16 % less. So a self-paced push-up took 6 x 0.49 / 2.45 = 1.2 s and a pull-up 6 x 0.84 / 1.96 = 2.57 s.
    "push-ups": (6.0 / 1.2, 1.0 / 2.45),
    "pull-ups": (6.0 / 2.57, 1.0 / 1.96),
    # Keefer et al. 2021, conference abstract, 20 students: 22.75 push-ups at 2 s, 17.2 at 4 s.
    "push-ups of students": (2.0, 17.2 / 22.75),
    # Hatfield et al. 2006, abstract, 9 men: 20 s against the own pace, taken as 2.5 s (from memory).
    "squat, 60 %": (8.0, 5.0 / 24.0),
    "squat, 80 %": (8.0, 2.0 / 12.0),
    "shoulder press, 60 %": (8.0, 4.0 / 14.0),
    "shoulder press, 80 %": (8.0, 1.0 / 6.0),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_counts_lie_within_what_is_told(name: str) -> None:
    """Within two spreads of the line, all seven; the line was laid through them, so this guards its arithmetic."""
    slow, share = PUBLISHED[name]

    assert abs(log(share) - log(share_of_reps(slow))) < 2.0 * doubt_of_reps(slow)


def test_slower_sets_have_fewer_repetitions_and_more_time_under_load() -> None:
    """Referee: Wilk et al. 2018, bench press, abstract (seen): 2/0/2/0 > 5/0/3/0 and 6/0/4/0 in repetitions, and the
    other way round in time under tension."""
    tempos = ("2-0-2-0", "5-0-3-0", "6-0-4-0")
    reps = [19.0 * share_of_reps(slowness(tempo, 4.0)) for tempo in tempos]
    seconds = [time_under_load(count, tempo, 4.0) for count, tempo in zip(reps, tempos, strict=True)]

    assert reps == sorted(reps, reverse=True) and reps[0] > reps[1]
    assert seconds == sorted(seconds) and seconds[0] < seconds[1]


@settings(max_examples=80, deadline=None, derandomize=True)
@given(first=st.tuples(*[st.floats(0, 10)] * 4), more=st.tuples(*[st.floats(0, 5)] * 4), usual=st.floats(1.0, 8.0))
def test_slower_never_allows_more(first: tuple[float, ...], more: tuple[float, ...], usual: float) -> None:
    def told(seconds: tuple[float, ...]) -> float:
        return share_of_reps(slowness("-".join(f"{one:.3f}" for one in seconds), usual))

    slower = tuple(a + b for a, b in zip(first, more, strict=True))
    assert told(slower) <= told(first) + 1e-12 <= 1.0 + 1e-9


def test_haste_is_credited_with_nothing() -> None:
    assert share_of_reps(slowness("1-0-x-0", 4.0)) == 1.0


@pytest.mark.parametrize("tempo", ["3-1-1-0", "2-0-x-1", "5-0-1-0"])
def test_minutes_and_strength_read_a_tempo_alike(tempo: str) -> None:
    assert tempo_seconds(tempo, 4.0) == time_under_load(1, tempo, 4.0)
