"""Names to choose from, where a coach has more people than a list holds: anybody is found, what was ticked stays."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import timezone

from setwright.records import models
from setwright.services.desk.hours import new_hour
from setwright.services.desk.kept_sessions import keep_session
from setwright.web.views import names

KEPT = "Block: Legs for {name}\nDay 1\nback squat 3 x 5 @ RIR 2\n"


@pytest.fixture
def crowd(gym: Any, monkeypatch: Any) -> list[models.Trainee]:
    """Four invented people more than the two that a list holds here, all of the coach, and one of another coach."""
    monkeypatch.setattr(names, "MOST_NAMES", 2)
    one = {"practice": gym.coach.practice, "coach": gym.coach, "is_invented": True}
    called = ("Aaro", "Abel", "Zita", "Zoltan")
    return [models.Trainee.objects.create(slug=name.lower(), name=f"{name} Invented", **one) for name in called]


def options(page: Any) -> str:
    """A page as text."""
    return str(page.content.decode())


def test_somebody_far_down_the_names_drops_in_on_the_floor(gym: Any, crowd: Any) -> None:
    browser, far = gym.as_coach(), crowd[-1]

    first = options(browser.get("/floor/"))
    found = options(browser.get("/floor/", {"find": "zolt", "who": str(gym.trainee.id)}))

    assert far.name not in first and 'name="find"' in first and "finds anybody" in first
    assert f'<option value="{far.id}">{far.name}' in found and crowd[0].name not in found
    assert f'name="who" value="{gym.trainee.id}"' in found


def test_a_name_that_nobody_has_is_told_and_the_search_stays(gym: Any, crowd: Any) -> None:
    page = options(gym.as_coach().get("/floor/", {"find": "Nobody<b>"}))

    assert "Nobody is called that" in page and 'value="Nobody&lt;b&gt;"' in page
    other = gym.strangers_trainee
    assert str(other.id) not in options(gym.as_coach().get("/floor/", {"find": other.name}))


def test_few_names_need_no_search(gym: Any) -> None:
    assert 'name="find"' not in options(gym.as_coach().get("/floor/"))
    assert 'name="find"' not in options(gym.as_coach().get("/floor/hours/"))


def test_looking_for_a_name_keeps_who_is_ticked_for_an_hour_and_makes_none(gym: Any, crowd: Any) -> None:
    said = {"deed": "find", "find": "zoltan", "who": [str(crowd[0].id)], "begins": "17:30", "shown": "numbers"}

    page = options(gym.as_coach().post("/floor/hours/", said))

    assert f'value="{crowd[0].id}" checked' in page and f'value="{crowd[-1].id}"' in page
    assert 'value="17:30"' in page and 'value="numbers" checked' in page and crowd[1].name not in page
    assert not models.FloorHour.objects.exists()


def test_somebody_far_down_the_names_comes_into_an_hour_under_way(gym: Any, crowd: Any) -> None:
    made = new_hour(gym.coach, [gym.trainee], "shed", timezone.now(), by_number=False)

    page = options(gym.as_coach().get(f"/floor/hours/{made.id}/", {"find": "zita"}))

    assert f'<option value="{crowd[2].id}">' in page and crowd[0].name not in page


def test_a_kept_session_is_used_for_anybody_and_fitted_to_those_ticked(gym: Any, crowd: Any) -> None:
    slug, browser = keep_session(gym.coach, KEPT), gym.as_coach()

    one = options(browser.get(f"/kept/{slug}/", {"find": "zoltan"}))
    several = options(browser.post(f"/kept/{slug}/fit/", {"deed": "find", "find": "zita", "who": [str(crowd[0].id)]}))

    assert f'<option value="{crowd[-1].id}">' in one and crowd[0].name not in one
    assert f'value="{crowd[0].id}" checked' in several and f'value="{crowd[2].id}"' in several
    assert "<details open" in several and not models.Job.objects.exists()


def test_an_hour_is_offered_where_those_of_today_train(gym: Any) -> None:
    from setwright.services.desk.people import keep_document

    for slug in ("attic", "shed"):
        text = f'id = "{slug}"\nname = "Invented {slug}"\n'
        keep_document(gym.coach.practice, "place", slug, text, gym.coach.user)

    page = options(gym.as_coach().get("/floor/hours/"))

    assert '<option value="shed" selected>' in page and '<option value="attic">' in page
