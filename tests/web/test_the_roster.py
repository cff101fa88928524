"""The roster: sentences, nobody twice, and a bounded number of questions to the data base however many there are."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest

from setwright.records import models
from setwright.services.desk.overview import count_anew

FINDING = {"kind": "easier than planned", "about": "2 lifts", "evidence": "3 left.", "settles_it": "", "weight": 2.0}


@pytest.fixture
def crowd(gym: Any) -> Any:
    """Sixty invented people beside Ode: some train today, some wait, some stand out, some have nothing."""
    rows = models.Trainee.objects.bulk_create(
        models.Trainee(practice=gym.coach.practice, coach=gym.coach, slug=f"p{number:02d}", name=f"Person {number:02d}")
        for number in range(60)
    )
    models.Overview.objects.bulk_create(
        models.Overview(
            trainee=row,
            block="b" if number % 5 else "",
            waiting=number % 3 == 0,
            weight=2.0 if number % 2 == 0 else 0.0,
            findings=[FINDING] if number % 2 == 0 else [],
            last_logged=gym.today - timedelta(days=30),
        )
        for number, row in enumerate(rows)
    )
    models.PlannedDay.objects.bulk_create(
        models.PlannedDay(trainee=row, date=gym.today + timedelta(days=number % 4), week=1, day="mon", minutes=50)
        for number, row in enumerate(rows)
        if number % 5
    )
    return gym


def people_on(page: str) -> list[str]:
    """The names that lines of a roster begin with, in order."""
    return re.findall(r"<li><strong><a href=\"/t/[^\"]+\">([^<]+)</a>", page)


def test_nobody_stands_on_the_first_page_twice(crowd: Any) -> None:
    page = crowd.as_coach().get("/roster/").content.decode()

    names = people_on(page)
    assert len(names) > 20
    assert len(names) == len(set(names))


def test_each_group_says_how_many_more_there_are(crowd: Any) -> None:
    browser = crowd.as_coach()
    page = browser.get("/roster/").content.decode()
    more = {key: int(count) for key, count in re.findall(r'\?show=(\w+)">(\d+) more', page)}

    for key, count in more.items():
        listed = browser.get(f"/roster/?show={key}").context["page"].paginator.count
        assert listed == count + 12, key
    assert "waiting" in more


def test_groups_divide_people_by_what_they_need_first(crowd: Any) -> None:
    """Trains today before waits, waits before what stands out: each group leaves out those before it."""
    browser = crowd.as_coach()
    groups = {
        key: {one.name for one in browser.get(f"/roster/?show={key}").context["page"].paginator.object_list}
        for key in ("today", "waiting", "first")
    }

    assert all(groups.values())
    assert not groups["today"] & groups["waiting"] and not groups["first"] & (groups["today"] | groups["waiting"])


def test_a_name_is_found_however_it_is_spelled(crowd: Any) -> None:
    page = crowd.as_coach().get("/roster/?name=pErSoN 07").content.decode()

    assert people_on(page) == ["Person 07"]


def test_everybody_is_paged_by_name(crowd: Any) -> None:
    browser = crowd.as_coach()

    pages = [people_on(browser.get(f"/roster/?show=all&page={number}").content.decode()) for number in (1, 2)]

    assert len(pages[0]) == 40 and len(pages[1]) == 21
    assert pages[0] + pages[1] == sorted(pages[0] + pages[1])


def test_a_silent_log_is_said(crowd: Any) -> None:
    page = crowd.as_coach().get("/roster/").content.decode()

    since = crowd.today - timedelta(days=30)
    assert f"Nothing logged since {since.day} {since:%B}" in page


def test_a_strangers_people_are_on_no_page(crowd: Any) -> None:
    for address in (
        "/roster/",
        "/roster/?show=all",
        "/roster/?show=today",
        "/roster/?name=Ode",
        "/roster/?name=Person",
    ):
        page = crowd.as_stranger().get(address).content.decode()
        assert "Ode Invented" not in page and not [one for one in people_on(page) if one.startswith("Person")], address


def test_a_longer_roster_asks_the_data_base_no_more_often(crowd: Any, django_assert_max_num_queries: Any) -> None:
    browser = crowd.as_coach()
    browser.get("/roster/")

    with django_assert_max_num_queries(20):
        browser.get("/roster/")
    with django_assert_max_num_queries(12):
        browser.get("/roster/?show=all")


def test_a_limit_that_is_due_waits_for_the_coach(gym: Any) -> None:
    """Common practice, no published source: a limit without an end is forgotten."""
    from setwright.services.desk.people import keep_trainee

    row = gym.trainee
    text = models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text
    due = gym.today - timedelta(days=1)
    limit = f'\n[[restrictions]]\nsays = "elbow is sore"\nsince = 2026-01-01\nreview_on = {due}\n'

    keep_trainee(gym.coach, text + limit, row)
    count_anew(row, with_findings=False)
    models.PlannedDay.objects.all().delete()

    page = gym.as_coach().get("/roster/").content.decode()
    assert "Waits for you" in page and "A limit is to be looked at again" in page


def test_on_a_small_roster_nobody_is_missing_from_the_first_page(gym: Any) -> None:
    quiet = models.Trainee.objects.create(practice=gym.coach.practice, coach=gym.coach, slug="quiet", name="Quiet One")

    page = gym.as_coach().get("/roster/").content.decode()

    assert sorted(people_on(page)) == ["Ode Invented", quiet.name]
    assert "The others" in page and "has no block in force" in page and "Your first" not in page


def test_the_first_steps_stay_until_a_block_is_in_force_and_lead_on(gym: Any) -> None:
    models.InForce.objects.all().delete()
    models.Decision.objects.all().delete()
    models.PlannedDay.objects.all().delete()
    count_anew(gym.trainee, with_findings=False)
    browser, own = gym.as_coach(), f"/t/{gym.trainee.id}/"

    waiting = browser.get("/roster/").content.decode()
    models.BlockRevision.objects.all().delete()
    count_anew(gym.trainee, with_findings=False)
    nothing = browser.get("/roster/").content.decode()

    assert "Look at the block" in waiting and f'href="{own}design/"' not in waiting
    assert f'href="{own}design/"' in nothing and "Design a block for Ode Invented" in nothing
    assert "Nobody is on your roster yet" not in nothing


def test_a_new_block_waits_on_the_roster_as_soon_as_it_is_made(gym: Any) -> None:
    from test_pages import finish_jobs

    from setwright.people.trainee import DAYS
    from setwright.services.desk import jobs

    day = {"mon": "Monday", "tue": "Tuesday", "wed": "Wednesday", "thu": "Thursday", "fri": "Friday"}
    day |= {"sat": "Saturday", "sun": "Sunday"}
    text = f"Block: Next\n1 week\n\n{day[DAYS[gym.today.weekday()]]}\nback squat 3 x 5 @ RPE 7\n"
    start = gym.today + timedelta(days=7 * 20)
    jobs.ask(gym.trainee, "write", {"text": text, "start": start.isoformat()}, gym.coach.user)

    (job,) = finish_jobs()

    assert job.state == "done", job.result
    assert models.Overview.objects.get(trainee=gym.trainee).waiting == 1
    assert "1 change waits" in gym.as_coach().get("/roster/").content.decode()
