"""Something hurts, and how it ends: said in one action, sent at once where the coach wants, lifted by who set it."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
import tomli_w
from test_pages import finish_jobs

from setwright.faults import InputFaults
from setwright.people.restriction_text import defaults
from setwright.people.trainee import Restriction
from setwright.publish.limit_words import limit_lines
from setwright.records import models
from setwright.services.block_check import block_faults
from setwright.services.desk import ability, jobs
from setwright.services.desk.limits import lift, limit_said, limits_of
from setwright.services.desk.people import keep_trainee
from setwright.services.gather import catalogue

SORE = {"joint": "elbow", "side": "left", "level": "", "set_by": "Ode", "look_again": "7"}


def intake_of(row: Any) -> dict[str, Any]:
    """The intake as it stands."""
    return tomllib.loads(models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text)


def sent(gym: Any, **said: Any) -> Any:
    """The coach says what hurts and sends the changed block at once; gives the job."""
    gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", {**SORE, **said, "deed": "send"})
    (job,) = finish_jobs()
    assert job.state == "done", job.result
    return job


def test_a_sore_elbow_is_in_the_trainees_pocket_in_one_step(gym: Any) -> None:
    job = sent(gym)

    after = gym.in_force()
    assert after.id == job.result["block"] and after.parent == gym.block.id
    assert [(one.joint, one.side) for one in after.inputs.trainee.restrictions] == [("elbow", "left")]
    reason = gym.trainee.in_force.latest("id").reason
    assert reason.startswith("sent at once")
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/sent/{after.id}/").content.decode()
    assert "Ode Invented has it" in page and "Undo it all" in page


def test_no_set_of_what_was_sent_crosses_the_limit(gym: Any) -> None:
    """Referee: the check of block files, which holds every entry against the gates."""
    sent(gym)

    after = gym.in_force()
    without = replace(
        gym.block, inputs=replace(gym.block.inputs, trainee=after.inputs.trainee)
    )  # the old block under the new limit

    assert not block_faults(after, "sent", catalogue())
    assert block_faults(without, "old", catalogue())


def test_undo_stands_after_sending(gym: Any) -> None:
    sent(gym)

    gym.as_coach().post(f"/t/{gym.trainee.id}/undo/", {"deed": "mistake", "wrong": "yes"})

    assert gym.in_force().id == gym.block.id and "restrictions" not in intake_of(gym.trainee)


def test_to_look_first_changes_nothing_yet(gym: Any) -> None:
    gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", {**SORE, "deed": "look"})
    (job,) = finish_jobs()

    assert job.state == "done" and gym.in_force().id == gym.block.id


def test_what_the_coach_chooses_wins_over_what_is_usual(gym: Any) -> None:
    usual = limit_said({"joint": "knee"}, gym.today)
    chosen = limit_said(
        {"joint": "knee", "side": "right", "level": "none", "wanted": ["holds"], "look_again": "14"}, gym.today
    )

    assert usual.level == defaults()["joint"]["knee"]["level"] != "none"
    assert (chosen.level, chosen.side, chosen.wanted) == ("none", "right", ("holds",))
    assert chosen.review_on == gym.today + timedelta(days=14)
    assert chosen.reason.startswith("Sore right knee: no moving work.") and "Wanted there: holds." in chosen.reason
    assert usual.reason == defaults()["joint"]["knee"]["reason"]


@pytest.mark.parametrize("joint", ["toes", "scapula", "forearm"])
def test_a_joint_without_usual_words_can_hurt_too(gym: Any, joint: str) -> None:
    made = limit_said({"joint": joint, "side": "left"}, gym.today)

    assert (made.joint, made.side, made.level) == (joint, "left", "light")


@pytest.mark.parametrize("words", ["numb fingers", "chest pain", "knee is swollen after a fall"])
def test_a_red_flag_is_answered_with_a_clinician_and_no_plan(gym: Any, words: str) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", {"words": words, "deed": "send"})

    page = answer.content.decode()
    assert answer.status_code == 400 and "clinician" in page
    assert f'value="{words}"' in page
    assert not models.Job.objects.exists()


def test_what_was_understood_is_said_before_anything_is_done(gym: Any) -> None:
    said = {"words": "left knee flexion over 60", "deed": "check"}

    page = gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", said).content.decode()

    assert "Knee flexion under load: 60 degrees at most." in page
    assert not models.Job.objects.exists()


def test_who_set_a_limit_lifts_it_and_nobody_else(gym: Any) -> None:
    sent(gym, set_by="Dr Invented")
    row = gym.trainee
    (limit,) = limits_of(row)

    with pytest.raises(InputFaults, match="Dr Invented"):
        lift(row, limit.restriction.id, "the coach", gym.today, gym.coach.user)
    answer = gym.as_coach().post(f"/t/{row.id}/limit/?of={limit.restriction.id}", {"deed": "lift"})

    assert answer.status_code == 400
    assert [one["joint"] for one in intake_of(row)["restrictions"]] == ["elbow"]


def test_a_lifted_limit_brings_back_what_it_closed_as_a_proposal(gym: Any) -> None:
    sent(gym)
    row, browser = gym.trainee, gym.as_coach()
    (limit,) = limits_of(row)

    answer = browser.post(f"/t/{row.id}/limit/?of={limit.restriction.id}", {"deed": "lift", "over": "yes"})

    assert "restrictions" not in intake_of(row)
    assert gym.in_force().inputs.trainee.restrictions, "nothing reaches anybody before the coach takes it"
    browser.post(answer["Location"], {"verdict": "accept-all"})
    after = gym.in_force()
    assert not after.inputs.trainee.restrictions and "restrictions" not in intake_of(row)
    exercises = {one.exercise for day in after.weeks[-1].sessions for part in day.parts for one in part.entries}
    assert "lying_db_extension" in exercises or any("elbow extension" in one.entry for one in after.changes)


def test_a_clearance_is_entered_at_its_limit(gym: Any) -> None:
    sent(gym)
    row = gym.trainee
    (limit,) = limits_of(row)
    address = f"/t/{row.id}/limit/?of={limit.restriction.id}"
    given = {"deed": "clear", "who": "Dr Invented", "given_on": "2026-08-01", "scope": "light elbow work"}

    wrong = gym.as_coach().post(address, {**given, "given_on": "soon"})
    gym.as_coach().post(address, given)

    assert wrong.status_code == 400 and "soon" in wrong.content.decode()
    assert intake_of(row)["restrictions"][0]["clearance"]["who"] == "Dr Invented"
    assert "pain_up_to" not in intake_of(row)["restrictions"][0]["clearance"]

    high = gym.as_coach().post(address, {**given, "pain_up_to": "11"})
    gym.as_coach().post(address, {**given, "pain_up_to": "4"})

    assert high.status_code == 400 and "from 0 to 10" in high.content.decode()
    assert intake_of(row)["restrictions"][0]["clearance"]["pain_up_to"] == 4


def test_a_limit_is_said_whole() -> None:
    """Every field of a limit has its words; hand-made, no source."""
    one = Restriction(
        "x",
        "elbow",
        side="right",
        actions=("flexion",),
        level="light",
        max_angles={"elbow-flexion": 100.0},
        positions=("hang",),
        grip_max=2,
        impact_max=1,
        spine=("flexed",),
        wanted=("holds",),
    )

    text = " ".join(limit_lines(one))

    for piece in (
        "Right elbow, flexion",
        "light moving work",
        "hanging",
        "100 degrees",
        "firm",
        "steps",
        "bent",
        "holds",
    ):
        assert piece in text, piece


def test_limits_of_others_are_not_there(gym: Any) -> None:
    sent(gym)
    (limit,) = limits_of(gym.trainee)

    for address in ("sore/", f"limit/?of={limit.restriction.id}", "can-do/", "history/", f"sent/{gym.in_force().id}/"):
        assert gym.as_coach().get(f"/t/{gym.trainee.id}/{address}").status_code == 200, address
        assert gym.as_stranger().get(f"/t/{gym.trainee.id}/{address}").status_code == 404, address
        assert gym.as_trainee().get(f"/t/{gym.trainee.id}/{address}").status_code == 404, address


def test_history_tells_what_happened_newest_first(gym: Any) -> None:
    sent(gym)

    page = gym.as_coach().get(f"/t/{gym.trainee.id}/history/").content.decode()

    assert page.index("Came into force") < page.index("Revision 1 was made")
    assert "sent at once" in page.lower() and "The intake was kept" in page


def test_what_somebody_can_do_is_a_range(gym: Any) -> None:
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/can-do/").content.decode()

    assert "Barbell back squat" in page and "most likely" in page


def test_a_lift_that_is_hardly_known_says_how_its_load_is_found(gym: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("setwright.publish.strength_words.WIDE", 0.0)
    found = ability.count_ability(gym.trainee, gym.today).ability["lifts"]
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/can-do/").content.decode()

    hardly = [one for one in found if one["first"]]
    assert [one for one in found if any("by the loads below" in text for _, text in one["facts"])] == hardly
    assert page.count("To find the load") == len(hardly) > 0


def test_a_way_up_is_told_step_by_step_with_days_as_they_are_said() -> None:
    told = ability.with_spoken_dates({"steps": [{"when": "Likely by 2027-02-04, between 2027-01-02 and 2028-04-16."}]})

    assert told == {"steps": [{"when": "Likely by 4 February 2027, between 2 January 2027 and 16 April 2028."}]}


def test_what_somebody_asked_for_goes_before_a_count(gym: Any, django_capture_on_commit_callbacks: Any) -> None:
    from django_tasks_db.models import DBTaskResult

    with django_capture_on_commit_callbacks(execute=True):
        count = jobs.ask(gym.trainee, "count", {}, gym.coach.user)
        asked = jobs.ask(gym.trainee, "adapt", {}, gym.coach.user)

    assert [one.args_kwargs["args"][0] for one in DBTaskResult.objects.ready()] == [str(asked.id), str(count.id)]


def test_what_somebody_can_do_is_counted_once_for_the_same_log(gym: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    browser, address = gym.as_coach(), f"/t/{gym.trainee.id}/can-do/"
    first = browser.get(address).context["found"]

    monkeypatch.setattr(ability, "counted_ability", never)

    assert first.values["lifts"] and browser.get(address).context["found"] == first


def test_a_long_log_is_counted_by_a_job(gym: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    browser, address = gym.as_coach(), f"/t/{gym.trainee.id}/can-do/"
    monkeypatch.setattr(jobs, "LONG_LOG", -1)

    waits = browser.get(address).content.decode()
    again = browser.get(address).content.decode()
    (job,) = finish_jobs()
    done = browser.get(address).content.decode()

    assert "being counted" in waits and "being counted" in again
    assert job.deed == "count" and job.state == "done"
    assert "being counted" not in done and "Barbell back squat" in done


def test_a_limit_of_the_intake_that_the_block_does_not_keep_is_said_and_brought_in(gym: Any) -> None:
    """A restriction is never planned through: one that came into the intake later has to reach the block."""
    row, browser = gym.trainee, gym.as_coach()
    text = models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text
    keep_trainee(gym.coach, text + '\n[[restrictions]]\nsays = "elbow is sore"\nset_by = "Ode"\n', row)
    (limit,) = limits_of(row)
    assert not limit.is_kept
    assert "does not keep this yet" in browser.get(f"/t/{row.id}/").content.decode()

    browser.post(f"/t/{row.id}/limit/?of={limit.restriction.id}", {"deed": "keep"})
    (job,) = finish_jobs()
    assert job.state == "done", job.result
    browser.post(f"/t/{row.id}/changes/{job.result['block']}/", {"verdict": "accept-all"})

    assert [one.is_kept for one in limits_of(row)] == [True]
    assert "does not keep this yet" not in browser.get(f"/t/{row.id}/").content.decode()


def test_a_limit_that_was_made_tighter_is_not_kept_by_the_old_block(gym: Any) -> None:
    sent(gym)
    row = gym.trainee
    assert [one.is_kept for one in limits_of(row)] == [True]
    data = intake_of(row)
    data["restrictions"][0]["level"] = "none"

    keep_trainee(gym.coach, tomli_w.dumps(data), row)

    assert [one.is_kept for one in limits_of(row)] == [False]


def never(*given: Any) -> Any:
    """Must not be called."""
    raise AssertionError("counted again")
