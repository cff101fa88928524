"""The practice and its coaches; a trainee handed over, exported whole, erased."""

from __future__ import annotations

import io
import json
import re
import zipfile
from typing import Any

import pytest
from django.contrib.auth import get_user_model
from django.test import Client
from practice import PASSWORD

from setwright.faults import InputFaults
from setwright.records import models
from setwright.review.log_file import read_log
from setwright.services.desk.practice import invite, take_invitation
from setwright.services.desk.roof import leave, make_owner
from setwright.services.gather import catalogue

PRACTICE = {"name": "Invented hall", "word": "client", "unit": "lb"}


@pytest.fixture
def second(gym: Any) -> Any:
    """Another coach under the same roof, with a log-in."""
    user = take_invitation(invite(gym.coach, "Runa").secret, "runa", PASSWORD)
    return models.Coach.objects.get(user=user)


def browser_of(coach: Any) -> Client:
    """A browser in which a coach is logged in."""
    client = Client()
    client.force_login(coach.user)
    return client


def test_the_word_for_a_trainee_is_the_practices_own(gym: Any) -> None:
    gym.as_coach().post("/practice/", PRACTICE)

    page = gym.as_coach().get("/roster/").content.decode()

    assert "Take in a client" in page and "trainee" not in re.sub(r"href=\"[^\"]*\"", "", page)


def test_numbers_are_read_in_the_unit_of_the_practice(gym: Any) -> None:
    gym.as_coach().post("/practice/", PRACTICE)

    page = gym.as_coach().get("/trainees/new/").content.decode()

    assert re.search(r'for="f-body-mass">Body mass<span class="faint">, lb', page)


def test_a_first_coach_says_what_the_plates_say(client: Any, db: None) -> None:
    given = {"practice": "Hall", "name": "Berit", "username": "berit", "password": PASSWORD, "unit": "lb"}

    client.post("/start/", given)

    assert models.Practice.objects.get().unit == "lb"
    assert "45" in re.findall(
        r'name="plates\[1\]\.mass" value="([^"]*)"', client.get("/places/new/?like=garage").content.decode()
    )


def test_a_first_run_that_is_wrong_leaves_nothing(client: Any, db: None) -> None:
    given = {"practice": "Hall", "name": "Berit", "username": "berit", "password": PASSWORD, "unit": "stone"}

    answer = client.post("/start/", given)

    assert answer.status_code == 400 and "kg, lb" in answer.content.decode()
    assert not models.Practice.objects.exists() and not get_user_model().objects.exists()


@pytest.mark.parametrize(
    ("typed", "says"), [({"name": " "}, "letters"), ({"word": "x1"}, "one word"), ({"unit": "stone"}, "kg, lb")]
)
def test_a_wrong_practice_is_said_and_stays_typed(gym: Any, typed: dict[str, str], says: str) -> None:
    answer = gym.as_coach().post("/practice/", {**PRACTICE, **typed})

    gym.coach.practice.refresh_from_db()
    assert answer.status_code == 400 and says in answer.content.decode()
    assert gym.coach.practice.word_for_trainee == "trainee"


def test_only_the_owner_changes_the_practice_and_invites(gym: Any, second: Any) -> None:
    browser = browser_of(second)

    assert browser.post("/practice/", PRACTICE).status_code == 400
    assert browser.post("/practice/invite/", {"name": "Ulf"}).status_code == 404
    assert browser.get(f"/practice/coaches/{gym.coach.id}/").status_code == 404
    assert "Ode Invented" not in browser.get("/practice/").content.decode()


def test_an_invited_coach_sees_nobody_yet(gym: Any) -> None:
    page = gym.as_coach().post("/practice/invite/", {"name": "Ulf"}).content.decode()
    (link,) = re.findall(r"<code>https?://[^/]+(/join/[^<]+)</code>", page)

    Client().post(link, {"username": "ulf", "password": PASSWORD})

    ulf = models.Coach.objects.get(name="Ulf")
    assert ulf.practice_id == gym.coach.practice_id and not ulf.is_owner
    assert browser_of(ulf).get(f"/t/{gym.trainee.id}/").status_code == 404


def test_a_withdrawn_link_makes_no_coach(gym: Any) -> None:
    made = invite(gym.coach, "Ulf")

    gym.as_coach().post(f"/practice/withdraw/{made.invitation.id}/")

    assert Client().get(f"/join/{made.secret}/").status_code == 404


def test_a_link_of_another_practice_can_not_be_withdrawn(gym: Any) -> None:
    made = invite(gym.coach, "Ulf")

    assert gym.as_stranger().post(f"/practice/withdraw/{made.invitation.id}/").status_code == 404
    assert Client().get(f"/join/{made.secret}/").status_code == 200


def test_who_takes_over_sees_everything_and_who_hands_over_nothing(gym: Any, second: Any) -> None:
    address = f"/t/{gym.trainee.id}/"

    gym.as_coach().post(f"{address}data/", {"deed": "hand-over", "to": str(second.id)})

    assert gym.as_coach().get(address).status_code == 404
    assert browser_of(second).get(address).status_code == 200
    assert browser_of(second).get(f"{address}block/").status_code == 200


def test_nobody_is_handed_to_another_practice(gym: Any) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/data/", {"deed": "hand-over", "to": str(gym.stranger.id)})

    gym.trainee.refresh_from_db()
    assert answer.status_code == 404 and gym.trainee.coach_id == gym.coach.id


def test_a_coach_who_leaves_hands_everybody_over_first(gym: Any, second: Any) -> None:
    models.Trainee.objects.filter(id=gym.trainee.id).update(coach=second)

    with pytest.raises(InputFaults, match="1 trainees without a coach"):
        leave(gym.coach, second, None)
    gym.as_coach().post(f"/practice/coaches/{second.id}/", {"deed": "leave", "heir": str(gym.coach.id)})

    second.refresh_from_db()
    gym.trainee.refresh_from_db()
    assert second.left_at is not None and gym.trainee.coach_id == gym.coach.id
    assert not Client().login(username="runa", password=PASSWORD)


def test_the_owner_can_not_leave_the_practice_alone(gym: Any, second: Any) -> None:
    with pytest.raises(InputFaults, match="owner first"):
        leave(gym.coach, gym.coach, second)

    make_owner(gym.coach, second)

    gym.coach.refresh_from_db()
    assert (gym.coach.is_owner, models.Coach.objects.get(id=second.id).is_owner) == (False, True)


def one_set(gym: Any) -> None:
    """A set of the trainee in the log."""
    from setwright.records.data_base import keep_rows

    row = {
        "row": "a",
        "date": "2026-02-03",
        "session": "",
        "exercise": "back_squat",
        "set": 1,
        "load_kg": 70,
        "reps": 5,
    }
    keep_rows(gym.trainee, [row], "2026-02-03T10:00:00+00:00")


def test_an_export_holds_everything_and_reads_back(gym: Any) -> None:
    """Referee: the readers of the published formats."""
    one_set(gym)
    gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", {"joint": "knee", "deed": "look"})

    answer = gym.as_coach().get(f"/t/{gym.trainee.id}/data.zip")

    files = zipfile.ZipFile(io.BytesIO(answer.content))
    names = set(files.namelist())
    everything = json.loads(files.read("everything.json"))
    log = read_log(files.read("log.csv").decode(), "log.csv", catalogue())
    assert [(one.exercise, one.load_kg, one.reps) for one in log.sets] == [("back_squat", 70.0, 5)]
    assert f"blocks/{gym.block.id}.json" in names and "documents/trainee-001.toml" in names
    assert everything["asked"][0]["asked"]["joint"] == "knee"
    assert answer.content == gym.as_coach().get(f"/t/{gym.trainee.id}/data.zip").content


def test_erasing_asks_for_the_name(gym: Any) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/data/", {"deed": "erase", "name": "Ode"})

    gym.trainee.refresh_from_db()
    assert answer.status_code == 400 and gym.trainee.erased_at is None
    assert "typed to confirm" in answer.content.decode() and 'value="Ode"' in answer.content.decode()


def test_who_is_erased_leaves_a_row_without_a_name(gym: Any) -> None:
    one_set(gym)
    row = gym.trainee

    gym.as_coach().post(f"/t/{row.id}/data/", {"deed": "erase", "name": "ode invented"})

    row.refresh_from_db()
    assert (row.name, row.user, row.erased_at is not None) == ("", None, True)
    assert not get_user_model().objects.filter(username="ode").exists()
    left = {
        one: one.objects.filter(trainee=row).count() for one in (models.LogRow, models.Document, models.BlockRevision)
    }
    assert not any(left.values())
    said = " ".join(f"{one.deed} {one.about}" for one in models.AuditEntry.objects.all())
    assert "Ode" not in said and "erased a trainee" in said
    for address in (f"/t/{row.id}/", f"/t/{row.id}/data.zip"):
        assert gym.as_coach().get(address).status_code == 404


def test_a_strangers_data_are_not_there(gym: Any) -> None:
    for address in (f"/t/{gym.trainee.id}/data/", f"/t/{gym.trainee.id}/data.zip"):
        assert gym.as_stranger().get(address).status_code == 404
        assert gym.as_trainee().get(address).status_code == 404
    gym.as_stranger().post(f"/t/{gym.trainee.id}/data/", {"deed": "erase", "name": "Ode Invented"})
    gym.trainee.refresh_from_db()
    assert gym.trainee.erased_at is None
