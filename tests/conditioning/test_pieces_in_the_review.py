"""Intervals and steady work in the review: what the pieces came to, beside what was asked and the last time."""

from __future__ import annotations

from dataclasses import replace

import jsonschema_rs
import pytest
from conditioning_floor import block_of
from made_block import estimates_of

from setwright.catalogue.load import catalogue
from setwright.plan.block import Block
from setwright.plan.identity import with_id
from setwright.publish.review_schema import review_schema
from setwright.publish.review_text import bout_lines
from setwright.review.as_json import review_json
from setwright.review.findings import Review, review_block
from setwright.review.log_file import read_log

HEAD = "date,week,session,exercise,set,part,dials,distance_m,time_s,heart_rate\n"


def told(work: str, *rows: str) -> list[str]:
    """The lines of a review of four weeks of one session on Mondays; a row is `week,exercise,set,...`."""
    return bout_lines(reviewed(work, *rows))


def reviewed(work: str, *rows: str) -> Review:
    """That review."""
    made = block_of(f"Mon\nback squat 4 x 5 @ 7\n\n{work}")
    block: Block = with_id(replace(made, id="", weeks=tuple(replace(made.weeks[0], number=n) for n in (1, 2, 3, 4))))
    days = {"1": "2026-09-07", "2": "2026-09-14"}
    lines = [f"{days[row[0]]},{row[0]},mon,{row[2:]}" for row in rows]
    return review_block(block, read_log(HEAD + "\n".join(lines), "log.csv", catalogue()), estimates_of(), catalogue())


@pytest.mark.parametrize(
    ("seconds", "against"),
    [((128, 130), "as asked"), ((120, 122), "faster than asked"), ((140, 150), "slower than asked")],
)
def test_a_pace_is_all_the_time_over_all_the_metres(seconds: tuple[int, int], against: str) -> None:
    """By hand: (a + b) s over 1000 m is (a + b) / 2 s per 500 m."""
    rows = [f"1,rower,{n},conditioning,,500,{time},150" for n, time in enumerate(seconds, start=1)]
    (line,) = told("rower 3 x 500 m, rest 2 min @ 2:05-2:10/500 m", *rows)

    mean = sum(seconds) // 2
    assert f"2 of 3 pieces: {mean // 60}:{mean % 60:02d} per 500 m, heart rate 150, {against} (at 2:05 to 2:10" in line


def test_steady_watts_are_held_against_the_target_and_the_last_time() -> None:
    first, second = told(
        "rower 20 min, 150-160 watts",
        "1,rower,1,conditioning,power_w=152,,1200,150",
        "2,rower,1,conditioning,power_w=166,,1200,146",
    )

    assert "1 of 1 piece: 152 W, heart rate 150, as asked (at 150 to 160 W)" in first and "last time" not in first
    assert "166 W, heart rate 146, more than asked" in second and second.endswith("last time 152 W, heart rate 150.")


def test_a_warm_up_on_the_same_machine_is_no_piece_and_nothing_measured_is_said() -> None:
    assert told("rower 20 min, 150-160 watts", "1,rower,1,warm-up,,,240,") == []
    (line,) = told("rower 20 min, 150-160 watts", "1,rower,1,conditioning,,,1200,")
    assert "nothing measured (asked: at 150 to 160 W)" in line


def test_newest_first_keeps_the_order_of_a_day() -> None:
    made = reviewed(
        "rower 20 min, 150-160 watts\n\nbike 10 min, 100 watts",
        "1,rower,1,conditioning,power_w=152,,1200,",
        "1,bike,1,conditioning,power_w=100,,600,",
        "2,rower,1,conditioning,power_w=152,,1200,",
    )

    lines = bout_lines(made, newest_first=True)

    assert [line.split(",")[0] for line in lines] == ["Week 2", "Week 1", "Week 1"]
    assert [
        made.pieces.index(next(p for p in made.pieces if p.week == 1 and p.name in line)) for line in lines[1:]
    ] == [0, 1]


def test_the_published_review_holds_the_same_pieces_as_the_page() -> None:
    """By hand: 258 s over 1000 m is 129 s per 500 m. Referee of the form: the published schema, by jsonschema-rs."""
    rows = [f"1,rower,{n},conditioning,,500,{time},150" for n, time in enumerate((128, 130), start=1)]
    data = review_json(reviewed("rower 3 x 500 m, rest 2 min @ 2:05-2:10/500 m", *rows))

    jsonschema_rs.validator_for(review_schema()).validate(data)
    (one,) = data["pieces"]
    assert (one["pieces_planned"], one["pieces_done"]) == (3, 2)
    assert (one["pace_s"], one["pace_per_m"], one["heart_rate"], one["power_w"]) == (129.0, 500.0, 150.0, None)
    assert one["target"] == {"by": "pace", "from": 125.0, "to": 130.0} and one["against"] == "as asked"
