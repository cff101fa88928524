"""An hour goes on: by ticks of the coach, by what is logged, and to a better timetable that is found as a job."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from an_hour import eight_people
from django.utils import timezone

from setwright.plan.shorthand import read_block_text
from setwright.records import models
from setwright.services.desk import better_hour, hours
from setwright.services.desk.board import board_values
from setwright.services.desk.ticking import tick


@pytest.fixture
def hour(gym: Any) -> Any:
    """Two people in the shed, from noon; every moment below is told from there."""
    return from_noon(gym)


def from_noon(gym: Any) -> Any:
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    return hours.new_hour(gym.coach, eight_people(gym, 2), "shed", noon, by_number=False)


def minute(hour: Any, minutes: float) -> datetime:
    found: datetime = hour.begins_at + timedelta(minutes=minutes)
    return found


def at(hour: Any, minutes: float) -> dict[int, Any]:
    return {one.number: one for one in board_values(hour, minute(hour, minutes))["people"]}


def rows_of(hour: Any, number: int) -> list[dict[str, Any]]:
    return [one for one in hour.plan["timetable"]["sets"] if one["name"] == f"Person {number}"]


def log(row: Any, hour: Any, minutes: float, slot: str = "", **data: Any) -> str:
    """A row as a phone sends it, arrived at a minute of the hour."""
    key = str(uuid.uuid4())
    told = {"date": hour.on.isoformat(), "row": key, **data}
    corrects = data.get("corrects")
    made = row.log_rows.create(key=key, day=hour.on, data=told, at="", slot=slot, corrects=corrects)
    models.LogRow.objects.filter(id=made.id).update(arrived=minute(hour, minutes))
    return key


def test_who_is_ticked_off_goes_on_and_the_rack_is_free_for_the_next(hour: Any, gym: Any) -> None:
    mine = rows_of(hour, 1)
    place = next(index for index, one in enumerate(mine) if one["exercise"] == "back_squat" and one["kind"] != "ramp")
    now_min = (mine[place]["from_s"] + 5) / 60
    shown = at(hour, now_min)[1]
    assert (shown.at, shown.state) == (place, "on")

    moved = tick(hour, 1, place, minute(hour, now_min), gym.coach.user)

    after = at(hour, now_min + 0.1)[1]
    assert moved and after.at == place + 1
    assert rows_of(hour, 1)[place + 1]["from_s"] >= now_min * 60 + mine[place + 1]["from_s"] - mine[place]["to_s"] - 1
    assert hour.plan["timetable"]["from_s"] == round(now_min * 60)
    assert not models.LogRow.objects.exists()


def test_a_second_tap_counts_once(hour: Any, gym: Any) -> None:
    here = at(hour, 5)[1].at

    first = tick(hour, 1, here, minute(hour, 5), gym.coach.user)
    second = tick(hour, 1, here, minute(hour, 5.01), gym.coach.user)

    assert (first, second) == (True, False) and at(hour, 5.02)[1].at == here + 1


def test_one_set_back_is_planned_again_after_a_rest(hour: Any, gym: Any) -> None:
    mine = rows_of(hour, 1)
    place = next(i for i, one in enumerate(mine) if one["exercise"] == "back_squat" and one["kind"] != "ramp") + 1
    now_min = (mine[place]["from_s"] - 5) / 60
    assert at(hour, now_min)[1].at == place

    tick(hour, 1, place, minute(hour, now_min), gym.coach.user, is_done=False)

    assert at(hour, now_min)[1].at == place - 1
    assert rows_of(hour, 1)[place - 1]["from_s"] > now_min * 60


def test_a_tick_stands_beside_the_log_and_is_not_in_it(hour: Any, gym: Any) -> None:
    """One set is logged, the next ticked off: after something else came between, one of three is left."""
    log(gym.trainee, hour, 9, exercise="back_squat", set=1, reps=5)
    here = at(hour, 11)[1]
    assert here.is_logged and here.count == "set 2 of 3"

    tick(hour, 1, here.at, minute(hour, 11), gym.coach.user)
    hours.something_came(hour, hours.Between(absent=(2,)), minute(hour, 12), gym.coach.user)

    left = [one for one in rows_of(hour, 1) if one["exercise"] == "back_squat" and one["from_s"] >= 720]
    assert len(left) == 1 and at(hour, 12.1)[1].count == "set 3 of 3"
    assert models.LogRow.objects.count() == 1


def test_a_correction_does_not_begin_the_rest_anew(hour: Any, gym: Any) -> None:
    key = log(gym.trainee, hour, 9, exercise="back_squat", set=1, reps=5)
    before = at(hour, 10)[1]

    log(gym.trainee, hour, 10, exercise="back_squat", set=1, reps=6, corrects=key)

    assert at(hour, 10.1)[1].until == before.until


def test_what_is_done_instead_counts_for_the_planned_set(hour: Any, gym: Any) -> None:
    slot = f"{hour.on}/main/back_squat/1"

    log(gym.trainee, hour, 9, slot, exercise="goblet_squat", set=1, reps=8)
    hours.something_came(hour, hours.Between(), minute(hour, 10), gym.coach.user)

    assert at(hour, 10.1)[1].count == "set 2 of 3"


def test_after_planning_on_the_board_shows_what_was_planned(hour: Any, gym: Any) -> None:
    """Who is far behind is planned for from now; the rest is not counted a second time."""
    first = next(one for one in rows_of(hour, 1) if one["exercise"] == "back_squat" and one["kind"] != "ramp")
    late = first["to_s"] / 60 + 10
    log(gym.trainee, hour, late, exercise="back_squat", set=1, reps=5)
    assert at(hour, late + 0.2)[1].late_s == 600

    hours.something_came(hour, hours.Between(), minute(hour, late + 0.2), gym.coach.user)

    shown = at(hour, late + 0.3)[1]
    row = rows_of(hour, 1)[shown.at]
    assert shown.until == hour.begins_at + timedelta(seconds=row["from_s"]) and not shown.late_s


def test_what_stands_in_for_what_is_broken_is_taken_for_all_at_once_and_comes_in_its_turn(hour: Any, gym: Any) -> None:
    """The only rack breaks: squat and press are missed; another squat is taken, before the elbow extension."""
    hours.something_came(hour, hours.Between(broken=("rack",)), minute(hour, 2), gym.coach.user)
    missed = {one["words"]: one for one in hour.plan["missed"]}
    squat = missed["barbell back squat"]
    offer = squat["instead"]["goblet_squat"]
    assert squat["who"] == ["Person 1", "Person 2"] and squat["why"] == "rack is broken"
    models.FloorHour.objects.filter(id=hour.id).update(begins_at=timezone.now() - timedelta(minutes=3))
    browser, address = gym.as_coach(), f"/floor/hours/{hour.id}/"
    page = browser.get(address).content.decode()

    wrong = browser.post(address, {"deed": "instead", "instead": "barbell back squat=clean"})
    answer = browser.post(address, {"deed": "instead", "instead": "barbell back squat=goblet_squat"})

    after = models.FloorHour.objects.get(id=hour.id)
    assert "Missed by Ode, Ana." in page and wrong.status_code == 400 and answer.status_code == 302
    assert offer["takes"] == [f"Person {one}:back_squat=goblet_squat" for one in (1, 2)]
    for number in (1, 2):
        slugs = [one["exercise"] for one in rows_of(after, number) if one["part"] != "warm-up"]
        assert slugs.index("goblet_squat") < slugs.index("lying_triceps") and "back_squat" not in slugs


def test_the_sound_half_of_a_superset_is_offered_on_its_own(gym: Any) -> None:
    """Push-ups need no rack: with the squat gone they go on alone, by one tap; the stand-in of the squat stays open."""
    pair = "A back squat 3 x 5-6 @ RPE 7, rest 90 s\nA push-up 3 x 8 @ RPE 7, rest 90 s\n"
    change_block(gym, "back squat 3 x 5-6 @ RPE 7, rest 3 min\n", pair)
    hour = from_noon(gym)
    hours.something_came(hour, hours.Between(broken=("rack",)), minute(hour, 2), gym.coach.user)
    models.FloorHour.objects.filter(id=hour.id).update(begins_at=timezone.now() - timedelta(minutes=3))
    browser, address = gym.as_coach(), f"/floor/hours/{hour.id}/"
    page = browser.get(address).content.decode()
    assert "pushup" not in [one["exercise"] for one in rows_of(hour, 1)]

    answer = browser.post(address, {"deed": "instead", "instead": "push-up=pushup"})

    after = models.FloorHour.objects.get(id=hour.id)
    missed = {one["words"]: one for one in after.plan["missed"]}
    assert ">On its own</button>" in page and answer.status_code == 302
    assert [one["exercise"] for one in rows_of(after, 1)].count("pushup") == 3
    assert "push-up" not in missed and "goblet_squat" in missed["barbell back squat"]["instead"]


@pytest.mark.parametrize("new", ["goblet squat 2 x 8-10 @ RPE 6, rest 90 s\n", ""])
def test_a_session_that_changes_within_the_hour_is_planned_on(hour: Any, gym: Any, new: str) -> None:
    """The squat becomes another, or is gone: the press that was planned stays, and nothing of the old squat is left."""
    before = [one for one in rows_of(hour, 1) if one["exercise"] == "bench_bb"]
    change_block(gym, "back squat 3 x 5-6 @ RPE 7, rest 3 min\n", new)

    hours.something_came(hour, hours.Between(), minute(hour, 3), gym.coach.user)

    after = [one["exercise"] for one in rows_of(hour, 1)]
    assert before and after.count("bench_bb") == len(before) and "back_squat" not in after
    assert ("goblet_squat" in after) == bool(new) and rows_of(hour, 2)


@pytest.mark.parametrize("minutes", range(0, 50, 2))
def test_a_superset_that_is_joined_within_the_hour_is_planned_on_at_every_minute(gym: Any, minutes: int) -> None:
    """What was begun of the squat stays, what is left of it goes on in turn with the push-ups; nothing twice."""
    hour = from_noon(gym)
    was = [one for one in rows_of(hour, 1) if one["exercise"] == "back_squat"]
    pair = "A back squat 3 x 5-6 @ RPE 7, rest 90 s\nA push-up 3 x 8 @ RPE 7, rest 90 s\n"
    change_block(gym, "back squat 3 x 5-6 @ RPE 7, rest 3 min\n", pair)

    hours.something_came(hour, hours.Between(), minute(hour, minutes), gym.coach.user)

    after = rows_of(hour, 1)
    squats = [one for one in after if one["exercise"] == "back_squat"]
    begun = [one["from_s"] for one in was if one["from_s"] < 60 * minutes]
    assert [one["from_s"] for one in squats][: len(begun)] == begun
    assert [one["exercise"] for one in after].count("pushup") == 3
    assert len({(one["entry"], one["set"]) for one in after}) == len(after) and len(squats) == len(was)
    ends = sorted((one["from_s"], one["to_s"]) for one in after)
    assert all(b[0] >= a[1] for a, b in pairwise(ends))


def test_ramp_sets_go_by_the_clock_for_who_logs(hour: Any, gym: Any) -> None:
    """Three sets of squats are logged; the ramp set of the press after it is not waited for."""
    for number in (1, 2, 3):
        log(gym.trainee, hour, 9 + 3 * number, exercise="back_squat", set=number, reps=5)
    assert any(one["kind"] == "ramp" and one["exercise"] == "bench_bb" for one in rows_of(hour, 1))

    shown = at(hour, 60)[1]

    assert (shown.count, shown.state) == ("set 1 of 3", "on")


def with_bout(gym: Any, line: str) -> Any:
    """An hour of one, whose session ends with a bout of conditioning."""
    change_block(gym, "lying dumbbell elbow extension 2 x 10-12 @ RPE 8, rest 90 s", line)
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    return hours.new_hour(gym.coach, [gym.trainee], "shed", noon, by_number=False)


def change_block(gym: Any, old: str, new: str) -> None:
    """Another block comes into force, a line of whose text is another."""
    from practice import paper_of

    from setwright.people.intake import read_trainee_and_places
    from setwright.plan.written import fit_written
    from setwright.services.deeds import plain_brief
    from setwright.services.desk.blocks import accept, records_of
    from setwright.services.gather import catalogue, estimates_for
    from setwright.strength.logged import Log

    paper = paper_of("ode", "Ode Invented")
    person, places = read_trainee_and_places(paper.intake, "intake", catalogue())
    text = paper.text.replace(old, new)
    written = read_block_text(text, catalogue(), "text", days=tuple(one.day for one in person.days))
    start = paper.today - timedelta(days=paper.today.weekday())
    brief = plain_brief(written.title, 4, 2, start)
    block = fit_written(written, person, places, brief, catalogue(), estimates_for(person, Log(), start, places))
    records_of(gym.trainee, gym.coach.user).keep_block(block, "2026-01-02T00:00:00+00:00")
    accept(gym.trainee, block.id, None, gym.coach.user)


def test_a_bout_is_shown_by_its_own_clock_and_done_with_its_score(gym: Any) -> None:
    hour = with_bout(gym, "as many rounds as possible in 8 min: 10 push-ups, 8 bodyweight squats")
    *_, press, bout = rows_of(hour, 1)
    log(gym.trainee, hour, press["to_s"] / 60, exercise="bench_bb", set=3, reps=6)

    shown = at(hour, bout["from_s"] / 60 + 1)[1]
    assert bout["kind"] == "bout" and bout["to_s"] - bout["from_s"] == 8 * 60 + 10
    assert shown.state == "on" and "8 min" in shown.what and "push-up" in shown.what.lower()
    assert shown.until - minute(hour, bout["from_s"] / 60) >= timedelta(minutes=8)
    letter = hour.plan["bouts"][f"Person 1/{bout['entry']}"]["letter"]

    log(gym.trainee, hour, bout["from_s"] / 60 + 2, exercise="pushup", set=1, reps=10)
    assert at(hour, bout["from_s"] / 60 + 3)[1].state == "on"
    log(gym.trainee, hour, bout["to_s"] / 60, bout=letter, score="5+3")

    assert at(hour, bout["to_s"] / 60 + 0.1)[1].state == "done"


@pytest.mark.long
def test_the_better_timetable_follows_and_moves_nothing_that_begins_meanwhile(gym: Any) -> None:
    noon = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    hour = hours.new_hour(gym.coach, eight_people(gym, 4), "shed", noon, by_number=False)
    before = hour.plan
    soon = [one for one in before["timetable"]["sets"] if one["from_s"] <= 180]

    came = better_hour.look_for_better(str(hour.id), before["mark"], lambda: minute(hour, 1))

    after = models.FloorHour.objects.get(id=hour.id).plan
    assert came == better_hour.KEPT and after["mark"] == before["mark"] and soon
    assert all(one in after["timetable"]["sets"] for one in soon)
    assert after["timetable"]["proof"]["points"] <= before["timetable"]["proof"]["points"]
    assert after["exchange"]["takes"].startswith("Person ")


def test_a_better_timetable_of_another_one_is_not_kept(hour: Any, gym: Any) -> None:
    mark = hour.plan["mark"]
    hours.something_came(hour, hours.Between(absent=(2,)), minute(hour, 1), gym.coach.user)
    kept = models.FloorHour.objects.get(id=hour.id).plan

    came = better_hour.look_for_better(str(hour.id), mark, lambda: minute(hour, 2))

    assert came == better_hour.CAME_BETWEEN and models.FloorHour.objects.get(id=hour.id).plan == kept


def test_a_better_timetable_that_comes_too_late_is_given_up(
    hour: Any, gym: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(better_hour, "TRIES", ((better_hour.AT_ONCE, 1.0), (better_hour.AT_ONCE, 10.0)))
    ticking = iter(range(0, 300, 20))  # each look at the clock is twenty minutes after the one before
    kept = hour.plan

    came = better_hour.look_for_better(str(hour.id), kept["mark"], lambda: minute(hour, next(ticking)))

    assert came == better_hour.TOO_LATE and models.FloorHour.objects.get(id=hour.id).plan == kept


def test_every_change_asks_for_a_better_timetable_once(hour: Any, gym: Any) -> None:
    hours.something_came(hour, hours.Between(absent=(2,)), minute(hour, 1), gym.coach.user)

    asked = models.Job.objects.filter(deed="hour").order_by("made_at")
    assert [one.asked["hour"] for one in asked] == [str(hour.id)] * 2
    assert asked[1].asked["mark"] == hour.plan["mark"] and hours.is_searching(hour)
