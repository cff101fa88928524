"""What is chosen on the floor reaches the server once, and the later word stands, whatever arrives first."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest
from test_between_coach_and_trainee import row_of
from test_changing import part_of

from setwright.records import models
from setwright.services.desk.kept_days import own_version
from setwright.services.desk.people import keep_document

EARLY, LATE = "2026-01-01T08:00:00Z", "2026-01-01T09:00:00.250Z"


def choice(gym: Any, at: str = EARLY, **things: Any) -> dict[str, Any]:
    """A choice of today's squat, as a phone sends it."""
    entry = f"{part_of(gym, 'back_squat')}/back_squat"
    return {"id": str(uuid.uuid4()), "day": gym.today.isoformat(), "entry": entry, "at": at, **things}


def send(gym: Any, *choices: dict[str, Any], browser: Any = None) -> dict[str, Any]:
    """Sends choices; gives the answer."""
    answer = (browser or gym.as_trainee()).post(
        f"/t/{gym.trainee.id}/log/", json.dumps({"rows": [], "choices": choices}), content_type="application/json"
    )
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def said(gym: Any, browser: Any) -> dict[str, Any]:
    """What the page of today says of the squat, thing by thing."""
    page = browser.get(f"/t/{gym.trainee.id}/day/{gym.today}/").content.decode()
    text = page.split('type="application/json"')[1].split(">", 1)[1].split("</script>")[0]
    things = json.loads(text)["choices"].get(f"{part_of(gym, 'back_squat')}/back_squat", {})
    return {thing: value for thing, (value, _) in things.items()}


def test_a_choice_is_there_for_the_coach_and_every_other_phone(gym: Any) -> None:
    one = choice(gym, ended="left out")

    assert send(gym, one)["kept"] == [one["id"]]

    assert said(gym, gym.as_trainee()) == said(gym, gym.as_coach()) == {"ended": "left out"}
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/history/").content.decode()
    assert f"n the floor, {gym.today}: barbell back squat: left out" in page


def test_sent_again_it_is_kept_once_and_nothing_said_is_lost(gym: Any) -> None:
    first, second = choice(gym, ended="left out"), choice(gym, LATE, ended="")

    for some in ([first], [first], [first, second], [second, first]):
        assert send(gym, *some)["refused"] == {}

    assert [json.loads(one.text) for one in models.Document.objects.filter(kind="choices").order_by("id")] == [
        {first["entry"]: {"ended": ["left out", "2026-01-01T08:00:00+00:00"]}},
        {first["entry"]: {"ended": ["", "2026-01-01T09:00:00.250000+00:00"]}},
    ]


def test_of_two_phones_the_later_word_stands_thing_by_thing(gym: Any) -> None:
    send(gym, choice(gym, LATE, taken="front_squat"))
    send(gym, choice(gym, EARLY, taken="goblet_squat", more=1))
    send(gym, choice(gym, EARLY, ended="pain"))

    assert said(gym, gym.as_trainee()) == {"taken": "front_squat", "more": 1, "ended": "pain"}


def test_a_clock_that_is_ahead_does_not_keep_the_last_word(gym: Any) -> None:
    send(gym, choice(gym, "2126-01-01T08:00:00Z", ended="left out"))
    kept = json.loads(models.Document.objects.get(kind="choices").text)

    ((things,),) = ([one["ended"] for one in kept.values()],)
    assert things[1] < "2100"


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"id": "x"}, "a UUID"),
        ({"day": "today"}, "a date like"),
        ({"at": "now"}, "a time like"),
        ({"at": "2026-02-31T00:00:00Z"}, "a time like"),
        ({"entry": "main/horse"}, "part/exercise"),
        ({"taken": "horse"}, "an exercise of the catalogue"),
        ({"taken": ["back_squat"]}, "an exercise of the catalogue"),
        ({"more": 1.5}, "a whole number"),
        ({"eased": "weight"}, "load, range or nothing"),
        ({"ended": "x" * 200}, "at most 120 letters"),
        ({}, "nothing chosen"),
    ],
)
def test_an_unsound_choice_is_named_and_holds_up_no_other(gym: Any, wrong: dict[str, Any], says: str) -> None:
    good, bad = choice(gym, ended="left out"), {**choice(gym), **wrong}
    if wrong and not set(wrong) & {"taken", "more", "eased", "ended"}:
        bad["ended"] = "left out"

    told = send(gym, bad, good)

    assert told["kept"] == [good["id"]]
    assert list(told["refused"]) == [str(bad["id"])] and says in told["refused"][str(bad["id"])]


def test_a_stranger_chooses_nothing(gym: Any) -> None:
    at, body = f"/t/{gym.trainee.id}/log/", json.dumps({"rows": [], "choices": [choice(gym, ended="left out")]})

    assert gym.as_stranger().post(at, body, content_type="application/json").status_code == 404
    assert not models.Document.objects.filter(kind="choices").exists()


def test_an_open_page_learns_that_an_own_exercise_has_another_text(gym: Any) -> None:
    at = f"/t/{gym.trainee.id}/now/"
    before = gym.as_trainee().get(at).json()

    keep_document(gym.coach.practice, "exercise", "own_squat", "# another text", gym.coach.user)

    after = gym.as_trainee().get(at).json()
    assert after["block"] == before["block"] and after["own"] == own_version(gym.trainee) != before["own"]


def test_an_open_page_learns_once_what_was_chosen_and_logged_elsewhere(gym: Any) -> None:
    page, at = gym.as_trainee(), f"/t/{gym.trainee.id}/now/"
    one = choice(gym, ended="left out")
    asked = {"on": gym.today.isoformat(), "told": page.get(at, {"on": gym.today.isoformat()}).json()["told"]}
    assert "done" not in page.get(at, asked).json()

    row = row_of(gym, reps=5)
    body = json.dumps({"rows": [row], "choices": [one]})
    assert gym.as_coach().post(f"/t/{gym.trainee.id}/log/", body, content_type="application/json").status_code == 200

    came = page.get(at, asked).json()
    assert [done["row"] for done in came["done"]] == [row["row"]]
    assert came["choices"][one["entry"]]["ended"][0] == "left out"
    assert "done" not in page.get(at, {**asked, "told": came["told"]}).json()


@pytest.mark.parametrize("asked", [{}, {"on": "tomorrow"}, {"on": "1999-01-01", "told": "x"}, {"on": "2026-99-99"}])
def test_a_page_of_no_session_is_told_the_revision_alone(gym: Any, asked: dict[str, str]) -> None:
    assert set(gym.as_trainee().get(f"/t/{gym.trainee.id}/now/", asked).json()) == {"block", "own"}
