"""An hour of several people on one floor, kept: timetable, what comes between, who may see it, and the board."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta
from typing import Any

import pytest
from an_hour import eight_people
from django.test import Client
from django.utils import timezone
from practice import PASSWORD

from setwright.records import models
from setwright.records.erasing import erase_trainee
from setwright.services.desk import better_hour, hours
from setwright.services.desk.better_hour import look_for_better
from setwright.services.desk.board import board_values, where_words
from setwright.services.desk.hours import Between, board_of, new_hour, open_board, something_came
from setwright.services.desk.people import keep_place
from setwright.services.desk.practice import invite, take_invitation
from setwright.web.views import hours as hours_view


@pytest.fixture
def hour(gym: Any) -> Any:
    """Three people in the shed, ten minutes in."""
    rows = eight_people(gym)[:3]
    return new_hour(gym.coach, rows, "shed", timezone.now() - timedelta(minutes=10), by_number=False)


def at(hour: Any, minutes: float) -> dict[int, Any]:
    """Everybody's place so many minutes after the start, by number."""
    now = hour.begins_at + timedelta(minutes=minutes)
    return {one.number: one for one in board_values(hour, now)["people"]}


def log_set(row: Any, when: Any, number: int = 1, exercise: str = "back_squat") -> None:
    """A set as a phone logs it, arrived at a moment."""
    on, key = timezone.localtime(when).date(), str(uuid.uuid4())
    data = {"exercise": exercise, "set": number, "reps": 5, "date": on.isoformat(), "row": key}
    made = row.log_rows.create(key=key, day=on, data=data, at=when.isoformat())
    models.LogRow.objects.filter(id=made.id).update(arrived=when)


def test_nobody_is_at_the_only_rack_together(hour: Any) -> None:
    """Counted from the rows of the timetable: one rack, so never two spans of it at once."""
    spans = [
        (hold["from_s"], hold["to_s"], row["name"])
        for row in hour.plan["timetable"]["sets"]
        for hold in row["holds"]
        if hold["thing"] == "rack"
    ]
    clashes = [(a, b) for a in spans for b in spans if a[2] != b[2] and a[0] < b[1] and b[0] < a[1]]

    assert len({name for _, _, name in spans}) == 3
    assert not clashes


def test_the_timetable_names_nobody(hour: Any) -> None:
    text = str(hour.plan)

    assert "Person 1" in text and "Invented shed" in text
    assert not re.search(r"Ode|Ana|Bo Invented", text)


def test_the_board_follows_the_clock_where_nothing_is_logged(hour: Any) -> None:
    rows = [one for one in hour.plan["timetable"]["sets"] if one["name"] == "Person 1"]
    middle = (rows[3]["from_s"] + rows[3]["to_s"]) / 120

    one = at(hour, middle)[1]

    assert one.state == "on" and one.what == hour.plan["names"][rows[3]["exercise"]]
    assert at(hour, 600)[1].state == "done"


def test_the_board_follows_what_is_logged(hour: Any, gym: Any) -> None:
    """The second working set is next once the first is logged, after the rest that was planned."""
    work = [
        one
        for one in hour.plan["timetable"]["sets"]
        if one["name"] == "Person 1" and one["exercise"] == "back_squat" and one["kind"] != "ramp"
    ]
    arrived = hour.begins_at + timedelta(minutes=9)
    log_set(gym.trainee, arrived)
    rest_s = work[1]["from_s"] - work[0]["to_s"]

    soon, later = at(hour, 9.1)[1], at(hour, 9 + rest_s / 60 + 0.1)[1]

    assert (soon.state, soon.count) == ("rest", "set 2 of 3")
    assert soon.until == arrived + timedelta(seconds=rest_s)
    assert (later.state, later.count) == ("on", "set 2 of 3")


def test_who_is_not_there_leaves_the_rack_to_the_others(hour: Any, gym: Any) -> None:
    before = hour.plan["timetable"]["proof"]["end_s"]

    something_came(hour, Between(absent=(2,)), hour.begins_at + timedelta(minutes=1), gym.coach.user)

    after = hour.plan["timetable"]
    assert at(hour, 5)[2].state == "away"
    assert after["absent"] == ["Person 2"] and after["proof"]["end_s"] <= before
    assert not [one for one in after["sets"] if one["name"] == "Person 2" and one["from_s"] > 120]


def test_a_set_that_is_logged_stays_done_when_something_comes_between(hour: Any, gym: Any) -> None:
    log_set(gym.trainee, hour.begins_at + timedelta(minutes=9))

    something_came(hour, Between(absent=(3,)), hour.begins_at + timedelta(minutes=10), gym.coach.user)

    ahead = [
        one["set"]
        for one in hour.plan["timetable"]["sets"]
        if one["name"] == "Person 1" and one["exercise"] == "back_squat" and one["kind"] != "ramp"
        if one["from_s"] >= 600
    ]
    assert len(ahead) == 2


def test_an_hour_over_midnight_counts_what_is_logged_on_both_days(gym: Any) -> None:
    ten_to = timezone.localtime().replace(hour=23, minute=50, second=0, microsecond=0)
    hour = new_hour(gym.coach, eight_people(gym)[:3], "shed", ten_to, by_number=False)
    log_set(gym.trainee, ten_to + timedelta(minutes=9))
    assert at(hour, 9.1)[1].count == "set 2 of 3"

    log_set(gym.trainee, ten_to + timedelta(minutes=14), number=2)
    assert at(hour, 14.1)[1].count == "set 3 of 3"
    something_came(hour, Between(absent=(3,)), ten_to + timedelta(minutes=15), gym.coach.user)

    ahead = [
        one
        for one in hour.plan["timetable"]["sets"]
        if one["name"] == "Person 1" and one["exercise"] == "back_squat" and one["kind"] != "ramp"
        if one["from_s"] >= 900
    ]
    assert len(ahead) == 1


def test_who_trains_today_is_proposed_for_an_hour_unless_they_are_too_many_for_one(gym: Any, monkeypatch: Any) -> None:
    eight_people(gym)
    ticks = re.compile(r'name="who" value="[^"]+" checked')
    proposed = len(ticks.findall(gym.as_coach().get("/floor/hours/").content.decode()))
    assert proposed == gym.coach.practice.trainees.filter(planned_days__date=gym.today).count() >= 8

    monkeypatch.setattr(hours_view, "MOST_PEOPLE", proposed - 1)

    page = gym.as_coach().get("/floor/hours/").content.decode()
    assert not ticks.findall(page) and page.count('name="who"') >= proposed


def test_the_coach_makes_an_hour_on_the_page_and_changes_it(gym: Any) -> None:
    rows, browser = eight_people(gym), gym.as_coach()
    sent = {"place": "shed", "begins": "", "shown": "numbers", "who": [str(one.id) for one in rows[:4]]}

    answer = browser.post("/floor/hours/", sent)
    address = answer["Location"]
    dropped = browser.post(address, {"deed": "drop-in", "who": str(rows[5].id)})
    away = browser.post(address, {"deed": "away", "number": "2"})
    broken = browser.post(address, {"deed": "broken", "thing": "bench"})
    page = browser.get(address).content.decode()

    assert [answer.status_code, dropped.status_code, away.status_code, broken.status_code] == [302] * 4
    assert "Eva" in page and "not here" in page
    hour = gym.coach.hours.get()
    assert hour.people.count() == 5 and hour.plan["timetable"]["broken"] == ["bench"]


def test_the_exchange_that_saves_most_is_taken_from_the_page(gym: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    for search in ("USUAL", "QUICK"):  # the search for a better timetable is another test
        monkeypatch.setattr(better_hour, search, better_hour.AT_ONCE)
    monkeypatch.setattr(better_hour, "TRIES", ((better_hour.AT_ONCE, 2.0),))
    rows, browser = eight_people(gym), gym.as_coach()
    sent = {"place": "shed", "shown": "names", "who": [str(one.id) for one in rows[:4]]}
    address = browser.post("/floor/hours/", sent)["Location"]
    made = gym.coach.hours.get()
    look_for_better(str(made.id), made.plan["mark"])
    offered = gym.coach.hours.get().plan["exchange"]
    assert offered and "Exchange it for today" in browser.get(address).content.decode()

    wrong = browser.post(address, {"deed": "exchange", "takes": "Person 1:back_squat=clean"})
    answer = browser.post(address, {"deed": "exchange", "takes": offered["takes"]})

    name, _, what = offered["takes"].partition(":")
    made = gym.coach.hours.get().plan["timetable"]
    assert wrong.status_code == 400 and answer.status_code == 302
    assert made["exchanged"] == [{"name": name, "exercise": what.split("=")[0], "instead": what.split("=")[1]}]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"place": "moon"}, "one of these places"),
        ({"begins": "soon"}, "a time like 18:00"),
        ({"who": []}, "1 to 40"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_kept(gym: Any, sent: dict[str, Any], said: str) -> None:
    whole = {"place": "shed", "begins": "18:00", "who": [str(gym.trainee.id)], **sent}

    answer = gym.as_coach().post("/floor/hours/", whole)

    assert answer.status_code == 400 and said in answer.content.decode()
    assert not gym.coach.hours.exists()


@pytest.mark.parametrize("few", [12, 0])
def test_a_place_that_a_block_brings_can_be_chosen_beside_those_kept(gym: Any, monkeypatch: Any, few: int) -> None:
    """Blocks are read while they are few; with more people the kept places stand alone."""
    monkeypatch.setattr(hours, "FEW_PEOPLE", few)
    eight_people(gym)
    keep_place(gym.coach, 'id = "meadow"\nname = "A meadow"\nunit = "kg"\ninvented = true\n')

    page = gym.as_coach().get("/floor/hours/").content.decode()
    assert 'value="meadow"' in page and ('value="shed"' in page) == (few > 0)


def test_the_board_opens_without_a_log_in_and_tells_nothing_private(hour: Any, gym: Any) -> None:
    secret = open_board(hour, gym.coach.user)
    hour.by_number = True
    hour.save()

    page = Client().get(f"/board/{secret}/")
    lines = Client().get(f"/board/{secret}/now/")

    text = page.content.decode() + lines.content.decode()
    assert page.status_code == lines.status_code == 200 and "no-store" in page["Cache-Control"]
    assert "Barbell back squat" in text or "squat" in text
    assert not re.search(
        r"Ode|Invented (?!shed)|\bkg\b|RPE|1990|knee", text.replace("Invented shed", "").replace(secret, "")
    )


def test_a_board_ends_when_it_is_closed_and_after_its_hours(hour: Any, gym: Any) -> None:
    secret = open_board(hour, gym.coach.user)
    assert board_of(secret) is not None and board_of("") is None

    models.FloorHour.objects.update(open_until=timezone.now() - timedelta(seconds=1))
    assert Client().get(f"/board/{secret}/now/").status_code == 404
    second = open_board(hour, gym.coach.user)
    gym.as_coach().post(f"/floor/hours/{hour.id}/screen/", {"deed": "close"})

    assert Client().get(f"/board/{second}/").status_code == 404


def test_an_open_screen_is_listed_among_the_private_links_and_withdrawn_there(hour: Any, gym: Any) -> None:
    secret = open_board(hour, gym.coach.user)
    gym.trainee.shares.create(what="notes", name="the other coach", digest="e" * 64)
    page = gym.as_coach().get("/open-links/").content.decode()
    others = gym.as_stranger().get("/open-links/").content.decode()

    gym.as_coach().post(f"/floor/hours/{hour.id}/screen/", {"deed": "close", "back": "all"})

    after = gym.as_coach().get("/open-links/").content.decode()
    told = [one.deed for one in models.AuditEntry.objects.order_by("id")]
    assert "Invented shed" in page and "the other coach" in page and secret not in page
    assert "Invented shed" not in others and "the other coach" not in others
    assert (
        'Withdraw it<span class="unseen">: the screen' not in after
        and Client().get(f"/board/{secret}/").status_code == 404
    )
    assert told[-2:] == ["made the link of a screen", "ended the link of a screen"]


def test_the_first_opening_of_a_screen_is_told_once_for_each_link(hour: Any, gym: Any) -> None:
    def openings() -> int:
        return models.AuditEntry.objects.filter(deed="the link of a screen was opened").count()

    secret = open_board(hour, gym.coach.user)
    assert openings() == 0 and "not opened yet" in gym.as_coach().get("/open-links/").content.decode()

    for address in (f"/board/{secret}/", f"/board/{secret}/now/", f"/board/{secret}/"):
        Client().get(address)
    assert openings() == 1 and "opened first" in gym.as_coach().get("/open-links/").content.decode()

    Client().get(f"/board/{open_board(hour, gym.coach.user)}/now/")
    assert openings() == 2


def test_the_owner_of_a_practice_sees_and_ends_the_screens_of_all_its_coaches(hour: Any, gym: Any) -> None:
    cara = take_invitation(invite(gym.coach, "Cara").secret, "cara", PASSWORD)
    coach = models.Coach.objects.get(user=cara)
    models.FloorHour.objects.filter(id=hour.id).update(coach=coach)
    own = new_hour(gym.coach, [gym.trainee], "shed", timezone.now(), by_number=False)
    secrets = [open_board(models.FloorHour.objects.get(id=one.id), gym.coach.user) for one in (hour, own)]
    as_cara = Client()
    as_cara.force_login(cara)
    address, others = (f"/floor/hours/{one.id}/" for one in (hour, own))

    page = gym.as_coach().get("/open-links/").content.decode()
    assert "Cara" in page and page.count("the screen of Invented shed") == 2 and f'href="{address}"' not in page
    assert not re.search(r"Ode|Ana|Bo Invented", page)
    assert as_cara.get("/open-links/").content.decode().count("the screen of Invented shed") == 1

    shut = [
        as_cara.post(f"{others}screen/", {"deed": "close"}),  # another's
        gym.as_stranger().post(f"{address}screen/", {"deed": "close"}),  # another practice's
        gym.as_coach().post(f"{address}screen/", {"deed": "open"}),  # an owner ends links, and makes none for others
        gym.as_coach().get(address),
    ]
    assert [one.status_code for one in shut] == [404] * 4
    assert [Client().get(f"/board/{one}/").status_code for one in secrets] == [200, 200]

    ended = gym.as_coach().post(f"{address}screen/", {"deed": "close", "back": "all"})
    assert (ended.status_code, ended["Location"]) == (302, "/open-links/")
    assert [Client().get(f"/board/{one}/").status_code for one in secrets] == [404, 200]


def test_who_is_erased_leaves_the_hour(hour: Any, gym: Any) -> None:
    erase_trainee(gym.trainee)

    assert [one.number for one in hour.people.order_by("number")] == [2, 3]
    assert [one.number for one in board_values(hour, timezone.now())["people"]] == [2, 3]


def test_nobody_is_sent_to_the_station_of_the_other_half_of_a_superset() -> None:
    held = [{"thing": "bench", "for_partner": False}, {"thing": "rack", "for_partner": True}]

    assert where_words({"holds": held}, "dumbbell press") == "bench"


def test_what_comes_within_half_a_minute_comes_now(hour: Any) -> None:
    said = [one.then for seconds in range(0, 1800, 10) for one in at(hour, seconds / 60).values() if one.then]

    assert any(one.startswith("now: ") for one in said) and any(one.startswith("in 1 min: ") for one in said)
    assert not any("in 0 min" in one for one in said)
