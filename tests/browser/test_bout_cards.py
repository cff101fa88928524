"""The card of a bout on the phone: what was not finished, what each start asks, a time without a clock."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import expect
from steps import arrived, opened_today, to_the_work, until
from test_floor_more import put_in_force

from setwright.records.data_base import log_of
from setwright.review.score import read_score
from setwright.services.gather import catalogue


def scores(page: Any, gym: Any) -> list[str]:
    """The scores that the server keeps, once one has arrived."""
    until(page, lambda: gym.trainee.log_rows.exists())
    return [one.data["score"] for one in gym.trainee.log_rows.all() if "score" in one.data]


@pytest.mark.parametrize(
    ("text", "score"),
    [
        ("3 rounds for time, cap 8 min: 10 sit-ups, 8 push-ups", "cap, 2 rounds + 3 reps"),
        ("3 rounds for time: 10 sit-ups, 8 push-ups", "2 rounds + 3 reps"),
    ],
)
def test_what_was_not_finished_is_scored_in_rounds_without_a_clock(gym: Any, phone: Any, text: str, score: str) -> None:
    put_in_force(gym, text)
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    assert page.locator("[data-id=log]").is_disabled()

    page.locator("[data-id=end-part]").tap()
    for name in ("rounds", "rounds", "reps", "reps", "reps"):
        page.locator(f"[data-id={name}-more]").tap()
    page.locator("[data-id=log]").tap()

    assert scores(page, gym) == [score]
    read = read_score(score)
    assert read is not None and (read.rounds, read.reps) == (2, 3)


def test_a_time_without_a_clock_begins_at_a_likely_one(gym: Any, phone: Any) -> None:
    put_in_force(gym, "3 rounds for time, cap 8 min: 10 sit-ups, 8 push-ups")
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)

    page.locator("[data-id=time_s-more]").tap()
    page.locator("[data-id=time_s-more]").tap()
    page.locator("[data-id=log]").tap()

    (said,) = scores(page, gym)
    read = read_score(said)
    assert read is not None and read.time_s is not None and 60 < read.time_s <= 8 * 60 + 5


def test_a_score_of_nothing_waits_and_a_wrong_one_is_corrected(gym: Any, phone: Any) -> None:
    put_in_force(gym, "push-up 1 x 8\n\nAMRAP 10 min: 8 push-ups, 10 bodyweight squats")
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    page.locator("[data-id=log]").tap()
    page.get_by_text("Next: as many rounds as possible in 10 min").wait_for()
    assert page.locator("[data-id=log]").is_disabled()
    page.locator("[data-id=reps-more]").tap()
    page.locator("[data-id=log]").tap()
    page.get_by_text("That was the last set").wait_for()

    page.locator("[data-id=fold-done]").tap()
    page.get_by_role("button", name="Correct as many rounds").tap()
    for name in ("rounds", "rounds", "reps"):
        page.locator(f"[data-id={name}-more]").tap()
    page.get_by_role("button", name="Keep the correction").tap()

    until(page, lambda: gym.trainee.log_rows.count() == 3)
    said = [one.score for one in log_of(gym.trainee, catalogue()).sessions if one.score]
    assert len(said) == 1
    read = read_score(said[0])
    assert read is not None and (read.rounds, read.reps) == (2, 2)
    assert "2 rounds + 2 reps" in page.locator("[data-card]").inner_text()
    assert page.get_by_text("Done so far: 1 set, 1 score").is_visible()
    page.locator("[data-id=rpe-6]").tap()
    page.locator("[data-id=finish]").tap()
    page.locator("[data-card]").get_by_text(re.compile("^1 set, 1 score, .* min, 6 of 10")).wait_for()


@pytest.mark.parametrize(
    ("text", "most"),
    [("AMRAP 10 min: 3 push-ups, 2 bodyweight squats", 4), ("3 rounds for time: 2 sit-ups, 1 push-up", 2)],
)
def test_the_next_round_never_has_as_many_repetitions_as_a_whole_one(
    gym: Any, phone: Any, text: str, most: int
) -> None:
    put_in_force(gym, text)
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    if page.locator("[data-id=end-part]").count():
        page.locator("[data-id=end-part]").tap()

    for _ in range(most):
        page.locator("[data-id=reps-more]").tap()

    assert page.locator("[data-id=reps]").inner_text() == str(most)
    assert page.locator("[data-id=reps-more]").is_disabled()


def test_no_more_rounds_are_written_down_than_there_were(gym: Any, phone: Any) -> None:
    put_in_force(gym, "3 rounds for time: 10 sit-ups, 8 push-ups")
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    page.locator("[data-id=end-part]").tap()

    for _ in range(2):
        page.locator("[data-id=rounds-more]").tap()

    assert page.locator("[data-id=rounds-more]").is_disabled(), "all three would be finished"


def test_a_bout_of_several_movements_is_called_by_all_of_it(gym: Any, phone: Any) -> None:
    put_in_force(gym, "back squat 2 x 5 @ RPE 7, rest 2 min\n\n3 rounds for time: 10 sit-ups, 8 push-ups")
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)

    page.locator("[data-id=fold-left]").tap()

    card = page.locator("[data-card]")
    assert card.get_by_role("button", name="Do 3 rounds for time now").count() == 1
    assert card.get_by_role("button", name="Do Sit-up now").count() == 0

    card.get_by_role("button", name="Do 3 rounds for time now").tap()

    expect(card.locator("h2").first).to_contain_text("3 rounds for time")
    expect(card.locator("h2").first).to_be_in_viewport()


def test_each_minute_says_which_movement_is_on(gym: Any, phone: Any) -> None:
    put_in_force(gym, "every minute on the minute for 6 min: 5 push-ups, 8 bodyweight squats")
    page = phone(gym.trainee.user)
    page.clock.install()
    opened_today(page)
    to_the_work(page)
    page.locator("[data-id=start]").tap()
    turn = page.locator("[data-id=turn]")
    first = turn.inner_text()

    page.clock.fast_forward(62_000)
    second = turn.inner_text()
    page.clock.fast_forward(300_000)

    assert first.startswith("Minute 1 of 6: 5 reps") and "push-up" in first
    assert second.startswith("Minute 2 of 6: 8 reps") and "bodyweight squat" in second
    assert re.search(r"push-up\. In (1:00|0:5\d): 8 reps .*bodyweight squat$", first), "what comes next, and when"
    assert re.search(r"squat\. In 0:5\d: 5 reps .*push-up$", second)
    assert turn.inner_text() == "The time is up."
    assert "Minutes made" in page.locator("[data-card]").inner_text()


def test_the_clock_and_its_button_break_over_no_lines(gym: Any, phone: Any) -> None:
    """The widest clock of an hour, at a phone's width."""
    put_in_force(gym, "circuit, 6 rounds, 40 s work, 20 s to change: plank, push-up, bodyweight squat")
    page = phone(gym.trainee.user)
    page.clock.install()
    opened_today(page)
    to_the_work(page)
    page.locator("[data-id=start]").tap()

    page.clock.fast_forward(610_000)
    page.locator("[data-id=turn]").get_by_text("Round 4").wait_for()

    lines = "one => one.getBoundingClientRect().height / parseFloat(getComputedStyle(one).fontSize)"
    assert page.locator("[data-id=held]").evaluate(lines) < 2
    assert page.locator("[data-id=stop]").evaluate(lines) < 3.5, "one line and the room of a thumb"


def test_a_piece_by_distance_takes_its_time_and_heart_rate(gym: Any, phone: Any) -> None:
    """Referee of the first guess: 500 m at 2:20 to 2:30 per 500 m are 145 s."""
    put_in_force(gym, "run 2 x 500 m, rest 1 min @ 2:20-2:30/500 m")
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)

    page.locator("[data-id=time_s-more]").tap()
    page.locator("[data-id=time_s-less]").tap()
    page.locator("[data-id=more]").tap()
    page.locator("[data-id=heart-rate]").fill("152")
    page.locator("[data-id=log]").tap()
    page.locator("[data-card] .count", has_text="Piece 2 of 2").wait_for()
    assert len(arrived(page, gym, 1)) == 1  # the card is drawn anew once the first has arrived
    page.locator("[data-id=more]").tap()
    page.locator("[data-id=heart-rate]").fill("900")  # no heart rate: left out
    page.locator("[data-id=log]").tap()

    first, second = arrived(page, gym, 2)
    assert (first["distance_m"], first["time_s"], first["heart_rate"]) == (500, 144, 152)
    assert "time_s" not in second and "heart_rate" not in second
    assert [one.heart_rate for one in log_of(gym.trainee, catalogue()).sets] == [152, None]


def test_a_piece_that_is_logged_while_its_clock_runs_has_its_time(gym: Any, phone: Any) -> None:
    put_in_force(gym, "run 2 x 500 m, rest 1 min")
    page = phone(gym.trainee.user)
    page.clock.install()
    opened_today(page)
    to_the_work(page)

    page.locator("[data-id=start]").tap()
    page.clock.fast_forward(131_000)
    page.locator("[data-id=log]").tap()

    (row,) = arrived(page, gym, 1)
    assert 131 <= row["time_s"] <= 136


def test_a_circuit_tells_the_station_the_time_left_there_and_what_is_next(gym: Any, phone: Any) -> None:
    """Two rounds of two stations of 30 s with 15 s to change take 4 x 45 - 15 = 165 s; a reload changes nothing."""
    put_in_force(gym, "circuit, 2 rounds, 30 s work, 15 s to change: push-ups, bodyweight squats")
    page = phone(gym.trainee.user)
    page.clock.install()
    opened_today(page)
    to_the_work(page)
    page.locator("[data-id=start]").tap()
    turn, said = page.locator("[data-id=turn]"), {}

    for seconds in (20, 15, 15, 50):
        page.clock.fast_forward(seconds * 1000)
        said[seconds + sum(said, 0)] = turn.inner_text()
    page.reload()
    turn.wait_for()
    assert turn.inner_text().startswith("Round 2 of 2, station 1 of 2: ")
    page.clock.fast_forward(70_000)

    at_20, at_35, at_70, _ = said.values()
    assert (
        at_20.startswith("Round 1 of 2, station 1 of 2: ") and "push-up" in at_20 and at_20.endswith("0:10 left here")
    )
    assert at_35.startswith("Round 1 of 2, station 1 of 2 is done. Change to ") and at_35.endswith("in 0:10")
    assert "bodyweight squat" in at_35 and at_70.startswith("Round 1 of 2, station 2 of 2: ")
    assert turn.inner_text() == "The time is up."


def test_a_piece_by_watts_takes_its_mean_watts(gym: Any, phone: Any) -> None:
    put_in_force(gym, "run 2 x 3 min, rest 1 min, 200-220 watts")
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)

    page.locator("[data-id=more]").tap()
    page.locator("[data-id=watts]").fill("208")
    page.locator("[data-id=log]").tap()

    (row,) = arrived(page, gym, 1)
    assert (row["dials"], row["time_s"]) == ({"power_w": 208}, 180)
    assert [one.dials["power_w"] for one in log_of(gym.trainee, catalogue()).sets] == [208]
