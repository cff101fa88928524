"""Scores in the trade's words, in the log and in the review. Referee beside each check."""

from __future__ import annotations

import json

import jsonschema_rs
import pytest
from conditioning_floor import block_of
from made_block import estimates_of

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.plan.block import Block
from setwright.publish.csv_file import empty_log_csv, log_csv
from setwright.publish.review_schema import review_schema
from setwright.publish.review_text import review_text
from setwright.publish.schemas import log_schema
from setwright.review.as_json import review_json
from setwright.review.findings import Review, review_block
from setwright.review.log_file import read_log
from setwright.review.score import Score, read_score
from setwright.strength.logged import Log

SAID = [
    ("5 rounds + 12 reps", Score(rounds=5, reps=12), "5 rounds + 12 reps"),
    ("5+12", Score(rounds=5, reps=12), "5 rounds + 12 reps"),
    ("5 rds + 12", Score(rounds=5, reps=12), "5 rounds + 12 reps"),
    ("6 rounds", Score(rounds=6, reps=0), "6 rounds"),
    ("8:41", Score(time_s=521.0), "8:41"),
    ("8 min 41 s", Score(time_s=521.0), "8:41"),
    ("1:02:03", Score(time_s=3723.0), "62:03"),
    ("9 of 10", Score(rounds=9, of=10), "9 of 10"),
    ("9/10", Score(rounds=9, of=10), "9 of 10"),
    ("140 reps", Score(reps=140), "140 reps"),
    ("cap, 4 rounds + 3 reps", Score(rounds=4, reps=3, is_capped=True), "cap, 4 rounds + 3 reps"),
    ("capped at 15:00: 4+3", Score(rounds=4, reps=3, is_capped=True), "cap, 4 rounds + 3 reps"),
]


@pytest.mark.parametrize(("text", "score", "said"), SAID, ids=[one[0] for one in SAID])
def test_a_score_is_read_as_the_trade_says_it(text: str, score: Score, said: str) -> None:
    """Referee: what a coach means (common practice, no published source)."""
    assert read_score(text) == score and score.said == said


@pytest.mark.parametrize("text", ["", "five", "12 of 10", "8:71", "rounds", "-3", "5 + ", "0:00"])
def test_what_is_no_score_is_none(text: str) -> None:
    assert read_score(text) is None


HEAD = "date,week,session,exercise,set,reps,time_s,distance_m,session_rpe,minutes,part,bout,score,heart_rate\n"
DAY = "2026-09-07,1,mon,"
MIX = "AMRAP 12 min: 10 kettlebell swings @ 16 kg, 8 push-ups, 200 m run"


def log_of(*rows: str) -> Log:
    return read_log(HEAD + "\n".join(rows) + "\n", "log.csv", catalogue())


def reviewed(block: Block, log: Log) -> Review:
    return review_block(block, log, estimates_of(block.inputs.trainee, log), catalogue())


def test_rounds_and_what_was_begun_become_repetitions_in_the_order_of_the_round() -> None:
    """Referee: by hand: five rounds, then all ten swings and two push-ups of the sixth."""
    (done,) = reviewed(block_of(MIX), log_of(f"{DAY},,,,,,,,A,5 rounds + 12 reps,158")).bouts

    assert done.reps == {"kb_swing": 60, "pushup": 42} and done.metres == {"run": 1000.0}
    assert (done.minutes, done.heart_rate) == (12.0, 158.0)


def test_a_finished_time_is_all_the_work_and_a_cap_what_was_reached() -> None:
    """Referee: by hand: 21 + 15 + 9 = 45; capped in the third round, 36 and 4 of the nine swings."""
    block = block_of("21-15-9 for time, cap 10 min: kettlebell swings @ 16 kg, push-ups")
    (whole,) = reviewed(block, log_of(f"{DAY},,,,,,,,A,8:41,")).bouts
    (capped,) = reviewed(block, log_of(f'{DAY},,,,,,,,A,"cap, 2 rounds + 4 reps",')).bouts

    assert whole.reps == {"kb_swing": 45, "pushup": 45} and whole.minutes == pytest.approx(521 / 60)
    assert capped.reps == {"kb_swing": 40, "pushup": 36} and capped.minutes == 10.0


def test_minutes_made_and_rounds_of_stations_tell_how_long_it_took() -> None:
    """Referee: the clock: 9 minutes; 2 rounds x 2 stations x 60 s."""
    (minutes,) = reviewed(
        block_of("EMOM 10: 5 push-ups, 5 bodyweight squats"), log_of(f"{DAY},,,,,,,,A,9 of 10,")
    ).bouts
    (stations,) = reviewed(
        block_of("circuit, 3 rounds, 40 s work, 20 s to change: plank, push-up"), log_of(f"{DAY},,,,,,,,A,2 of 3,")
    ).bouts

    assert (minutes.minutes, stations.minutes) == (9.0, 4.0)


@pytest.mark.parametrize(("rpe", "met"), [(3, 3.5), (6, 5.0), (9, 7.5)])
def test_the_energy_of_a_mix_is_by_activity_code_with_its_spread(rpe: int, met: float) -> None:
    """kcal = MET x 3.5 / 1000 x 5 x kg x min. Referee: Compendium 2024 (Herrmann et al.), codes 02034, 02035, 02040 of
    the project's reference table, seen second-hand; a third to either side is common practice.
    """
    log = log_of(f"{DAY},,,,,,,,A,6 rounds,", f"{DAY},,,,,{rpe},40,,,,")
    (done,) = reviewed(block_of(MIX), log).bouts

    assert done.kcal is not None
    best = met * 3.5 / 1000 * 5 * 78 * 12
    assert done.kcal == pytest.approx((best, best * 2 / 3, best * 4 / 3))


def test_a_bout_of_one_movement_is_scored_in_its_own_row() -> None:
    block = block_of("for time: 2000 m row")
    (done,) = reviewed(block, log_of(f"{DAY}rower,1,,,,,,conditioning,,8:05,171")).bouts

    assert done.minutes == pytest.approx(485 / 60) and done.heart_rate == 171.0 and done.letter == ""


def test_a_score_alone_means_the_session_was_done() -> None:
    found = reviewed(block_of(f"push-up 3 x 8\n\n{MIX}"), log_of(f"{DAY},,,,,,,,A,6 rounds,"))

    assert [one.status for one in found.weeks[0].sessions] == ["done"]


def test_the_same_bout_done_again_is_held_against_the_last_score() -> None:
    block = block_of(f"2 weeks\nMon\n{MIX}")
    log = log_of(f"{DAY},,,,,,,,A,5 rounds + 12 reps,", "2026-09-14,2,mon,,,,,,,,,A,6 rounds,")

    assert "6 rounds (60 x" in review_text(reviewed(block, log)).replace("\n    ", " ")
    assert "last time 5 rounds + 12 reps" in review_text(reviewed(block, log)).replace("\n    ", " ")


def test_the_review_keeps_to_its_published_form() -> None:
    """Referee: jsonschema-rs."""
    found = reviewed(block_of(MIX), log_of(f"{DAY},,,,,,,,A,5 rounds + 12 reps,", f"{DAY}rower,1,,600,2500,,,,,,140"))
    told = json.loads(json.dumps(review_json(found)))

    jsonschema_rs.validator_for(review_schema()).validate(told)
    assert told["bouts"][0]["score"] == "5 rounds + 12 reps" and told["conditioning"][0]["heart_rate"] == 140.0
    low, high = told["conditioning"][0]["kcal_from_to"]
    assert low == pytest.approx(told["conditioning"][0]["kcal"] * 2 / 3, abs=0.01) and high > low


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        (f"{DAY},,,,,,,,A,five rounds,", "row 2: score: found 'five rounds'"),
        (f"{DAY},,,,,,,,,5+3,", "row 2: bout: found nothing; allowed: the letter"),
        (f"{DAY}pushup,1,8,,,,,,A,,", "row 2: bout: found 'A'; allowed: empty in the row of a set"),
        (f"{DAY},,,,,,,,A,5+3,400", "row 2: heart_rate: found '400'"),
    ],
)
def test_a_wrong_score_is_one_clear_fault(row: str, expected: str) -> None:
    with pytest.raises(InputFaults) as caught:
        log_of(row)

    assert expected in str(caught.value) and len(caught.value.faults) == 1


def test_the_printed_log_has_a_row_for_each_score_and_each_piece() -> None:
    text = "\n\n".join([MIX, "rower 3 x 500 m, rest 2 min @ 2:05/500 m", "5 rounds for time: 10 push-ups"])
    rows = empty_log_csv(block_of(text), 1, catalogue()).decode().splitlines()
    head = rows[0].split(",")
    told = [dict(zip(head, row.split(","), strict=True)) for row in rows[1:]]

    assert [one["bout"] for one in told if one["bout"]] == ["A"]
    assert [one["exercise"] for one in told if one["exercise"]] == ["rower"] * 3 + ["pushup"]


def test_a_log_without_conditioning_is_printed_as_before() -> None:
    head = empty_log_csv(block_of("push-up 3 x 8"), 1, catalogue()).decode().splitlines()[0]

    assert not {"bout", "score", "heart_rate"} & set(head.split(","))


def test_nothing_logged_of_a_bout_is_lost() -> None:
    """Referee: the log itself, written and read again; and its JSON Schema."""
    log = log_of(f"{DAY},,,,,,,,A,5 rounds + 12 reps,158", f"{DAY}rower,1,,126,500,,,conditioning,,,165")

    assert read_log(log_csv(log).decode(), "again.csv", catalogue()) == log
    from setwright.review.log_file import as_rows

    jsonschema_rs.validator_for(log_schema()).validate(json.loads(json.dumps(as_rows(log))))
