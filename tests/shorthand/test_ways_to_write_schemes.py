"""The ways a coach may write a set scheme on a whiteboard, and what each is read as."""

from __future__ import annotations

import pytest

from setwright.catalogue.load import catalogue
from setwright.plan.shorthand import read_block_text
from setwright.plan.template import Scheme

# line; kind, sets, repetitions, parts inside, rest inside
IN_PARTS = [
    ("squat cluster 5x(1+1+1+1) @ 90%, 30s rest inside", "cluster", 5, (1, 1), 3, 30.0),
    ("bench press 4 sets of (2+2+2) 20 sec intra-set rest, 3 min rest", "cluster", 4, (2, 2), 2, 20.0),
    ("power clean 4 x 2+2+2, 15 s between clusters", "cluster", 4, (2, 2), 2, 15.0),
    ("bench press 5 clusters of 2+2+2", "cluster", 5, (2, 2), 2, 20.0),
    ("leg press 1 x 15 rest-pause", "rest-pause", 1, (15, 15), 2, 20.0),
    ("leg press 1x15, rest pause, 3 more what is left after 25 s", "rest-pause", 1, (15, 15), 3, 25.0),
    ("leg curl 2 x 12+4+4, 15 s inside", "rest-pause", 2, (12, 12), 2, 15.0),
    ("curl 3 x 10 + drop set", "drop", 3, (10, 10), 1, 5.0),
    ("lateral raise 3x12, double drop", "drop", 3, (12, 12), 2, 5.0),
    ("lateral raise 3x12 with 2 drops", "drop", 3, (12, 12), 2, 5.0),
    ("leg curl 2 x 10, strip set", "drop", 2, (10, 10), 1, 5.0),
    ("curl 3x8, 10 s hold on last rep", "held-last-rep", 3, (8, 8), 1, 0.0),
    ("split squat 3 x 8 each side, hold last rep for 10 s", "held-last-rep", 3, (8, 8), 1, 0.0),
    ("pull-up negatives 3x3, 5 s down, then hold 10 s", "lowering-then-hold", 3, (3, 3), 1, 0.0),
    ("wall sit 20 s at 60° + 20 s at 90°, 3 sets", "two-angle-hold", 3, None, 1, 0.0),
]


def schemes_of(line: str) -> list[Scheme]:
    (session,) = read_block_text(f"Monday\n{line}", catalogue()).template.sessions
    return [one for entry in session.entries for one in entry.schemes if one is not None]


@pytest.mark.parametrize(("line", "kind", "sets", "reps", "parts", "rest_s"), IN_PARTS)
def test_sets_in_parts(
    line: str, kind: str, sets: int, reps: tuple[int, int] | None, parts: int, rest_s: float
) -> None:
    (one,) = schemes_of(line)

    assert (one.kind, one.sets, one.reps, len(one.inside)) == (kind, sets, reps, parts)
    assert {part.rest_s for part in one.inside} == {rest_s}


@pytest.mark.parametrize(
    ("line", "shares"),
    [
        ("leg curl 3 x 12, drop set", [0.8]),
        ("leg curl 3 x 12 drop to 70%", [0.7]),
        ("leg curl 3 x 12, 3 drops of 25 %", [0.75, 0.562, 0.422]),
    ],
)
def test_how_far_the_load_drops(line: str, shares: list[float]) -> None:
    (one,) = schemes_of(line)

    assert [part.load_share for part in one.inside] == shares and one.pct is None


@pytest.mark.parametrize(
    "line",
    [
        "lat pulldown 3x10-12, drop the last set 20%",
        "lat pulldown 3 x 10-12, drop set on the last set",
        "lat pulldown 3 x 10-12, last set a drop set",
    ],
)
def test_only_the_last_set_drops_and_at_the_same_effort(line: str) -> None:
    plain, last = schemes_of(line)

    assert (plain.kind, plain.sets, last.kind, last.sets) == ("straight", 2, "drop", 1)
    assert plain.rir == last.rir and plain.pct is None


@pytest.mark.parametrize(
    "line",
    [
        "squat top set of 5 @ 8, then 3 x 5 at 10 % less",
        "squat 1x5 @ RPE 8, then 3x5 -10%",
        "squat: top set of 5 @8, then back-offs 3 x 5 10% lighter",
        "squat top set 1x5 @ 8, back off sets 3x5 @ 90% of top set",
        "squat top set of 5, then 3 x 5 at 10 % less @ 8",
        "squat 4 x 5 @ 8, top set and back-offs",
    ],
)
def test_back_offs_by_load(line: str) -> None:
    (one,) = schemes_of(line)

    assert (one.kind, one.sets, one.reps, one.rir, one.back_offs) == ("top-and-back-offs", 4, (5, 5), 2.0, 0.9)
    assert one.pct is None and one.load_kg is None


def test_percentages_of_the_maximum_stay_what_they_are() -> None:
    assert [one.pct for one in schemes_of("squat 5x5 70-75%")] == [0.725]
    assert [one.pct for one in schemes_of("squat 1x5 65%, 1x5 75%")] == [0.65, 0.75]


@pytest.mark.parametrize("end", ["add load when all reach 12", "add weight once all sets hit 12", "double progression"])
def test_ranges_that_gain_repetitions_first(end: str) -> None:
    (one,) = schemes_of(f"dumbbell row 3 x 8-12, {end}")

    assert (one.kind, one.reps, one.rir) == ("double-progression", (8, 12), 2.0)
