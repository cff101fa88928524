"""Pages of the coach: what the roster says, the sore joint in one action, changes taken and undone."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest

from setwright.people.trainee import DAYS
from setwright.records import models
from setwright.services.desk.jobs import run_here


def finish_jobs() -> list[models.Job]:
    """Does every waiting job here and now."""
    done = []
    for job in models.Job.objects.filter(state=models.Job.WAITING):
        models.Job.objects.filter(id=job.id).update(state=models.Job.RUNNING)
        run_here(str(job.id))
        job.refresh_from_db()
        done.append(job)
    return done


def test_an_empty_installation_asks_for_its_first_coach_once(client: Any, db: None) -> None:
    assert client.get("/", follow=True).redirect_chain[-1][0] == "/start/"

    given = {"practice": "Hall", "name": "Berit", "username": "berit", "password": "a long word for nobody 7"}
    answer = client.post("/start/", given, follow=True)

    assert "Nobody is on your roster yet" in answer.content.decode()
    assert client.get("/start/").status_code == 404


def test_a_short_password_is_refused_and_nothing_is_kept(client: Any, db: None) -> None:
    answer = client.post("/start/", {"practice": "Hall", "name": "B", "username": "berit", "password": "short"})

    assert answer.status_code == 400
    assert "at least 10 characters" in answer.content.decode()
    assert not models.Practice.objects.exists()


def test_the_roster_speaks_of_the_coachs_own_people_only(gym: Any) -> None:
    page = gym.as_coach().get("/roster/").content.decode()

    assert "Ode Invented" in page and "trains today" in page
    assert "Pim Invented" not in page


def test_a_sore_elbow_changes_only_what_it_touches_and_can_be_undone(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    browser.post(f"/t/{row.id}/sore/", {"joint": "elbow", "side": "both", "set_by": "Ode"})
    (job,) = finish_jobs()
    assert job.state == "done", job.result

    page = browser.get(f"/t/{row.id}/changes/{job.result['block']}/").content.decode()
    assert "elbow" in page and "Take them all" in page
    browser.post(f"/t/{row.id}/changes/{job.result['block']}/", {"verdict": "accept-all"})

    after = gym.in_force()
    assert after.parent == gym.block.id
    touched = {one.entry for one in after.changes}
    assert any("elbow extension" in one for one in touched)
    assert not any("deadlift" in one for one in touched)
    intake = models.Document.objects.filter(trainee=row, kind="trainee").order_by("-id")[0].text
    assert 'joint = "elbow"' in intake
    browser.post(f"/t/{row.id}/undo/")
    assert gym.in_force().id == after.id, "the limit holds"
    browser.post(f"/t/{row.id}/undo/", {"deed": "mistake", "wrong": "yes"})
    assert gym.in_force().id == gym.block.id


def test_a_set_that_is_sent_twice_counts_once(gym: Any) -> None:
    browser, row = gym.as_trainee(), gym.trainee
    one = {
        "row": str(uuid.uuid4()),
        "date": gym.today.isoformat(),
        "session": "",
        "exercise": "back_squat",
        "set": 1,
        "load_kg": 60,
        "reps": 5,
        "rir": 3,
    }
    body = json.dumps({"rows": [one, {**one, "row": str(uuid.uuid4()), "reps": "many"}]})

    first = browser.post(f"/t/{row.id}/log/", body, content_type="application/json").json()
    again = browser.post(f"/t/{row.id}/log/", body, content_type="application/json").json()

    assert first["kept"] == [one["row"]] == again["kept"]
    assert ["reps" in reason for reason in first["refused"].values()] == [True]
    assert row.log_rows.count() == 1


@pytest.mark.parametrize("address", ["/t/{}/", "/t/{}/block/", "/t/{}/intake/", "/t/{}/design/", "/t/{}/write/"])
def test_what_is_not_yours_is_not_there(gym: Any, address: str) -> None:
    own = address.format(gym.trainee.id)

    assert gym.as_coach().get(own).status_code == 200
    assert gym.as_stranger().get(own).status_code == 404
    assert gym.as_trainee().get(own).status_code == 404


def test_the_day_page_holds_the_session_and_its_data(gym: Any) -> None:
    page = gym.as_trainee().get("/today/").content.decode()

    planned = [one for one in gym.block.weeks[0].sessions if one.day == DAYS[gym.today.weekday()]]
    assert "data-session=" in page
    assert all(f'"exercise":"{entry.exercise}"' in page for part in planned[0].parts for entry in part.entries)
    assert gym.as_stranger().get(f"/t/{gym.trainee.id}/day/{gym.today}/").status_code == 404


def test_every_page_forbids_what_comes_from_elsewhere(gym: Any) -> None:
    answer = gym.as_coach().get("/roster/")

    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert "unsafe-inline" not in answer["Content-Security-Policy"]
    assert answer["X-Frame-Options"] == "DENY"


def test_an_address_that_only_takes_a_form_says_so_and_leads_back(gym: Any) -> None:
    answer = gym.as_coach().get(f"/t/{gym.trainee.id}/undo/")

    page = answer.content.decode()
    assert answer.status_code == 405 and answer["Allow"] == "POST"
    assert "This is no page of its own" in page and 'href="/"' in page
    assert gym.as_coach().get(f"/t/{gym.trainee.id}/undo/", headers={"accept": "application/json"}).json()["faults"]
