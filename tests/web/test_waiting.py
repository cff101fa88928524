"""What waits beside each other: a change by hand while a proposal waits, and what becomes of the other one then."""

from __future__ import annotations

from typing import Any

from test_changing import entries_on, part_of, today_of, weeks_of, where
from test_pages import finish_jobs

from setwright.publish.words import change_groups
from setwright.records.data_base import block_of
from setwright.services.desk.overview import count_anew
from setwright.services.desk.waiting import waiting_revisions


def asked(gym: Any, slug: str, deed: str, block: str = "", **said: str) -> Any:
    """The job of a change by hand of an entry of today, done."""
    at = where(gym, slug, part_of(gym, slug)).replace(gym.block.id, block or gym.in_force().id)
    gym.as_coach().post(at, {"what": "dose", "weeks": weeks_of(gym), "deed": deed, **(said or {"sets": "2"})})
    job = finish_jobs()[-1]
    assert job.state == "done", job.result
    return job


def knee(gym: Any) -> str:
    """What a sore knee would change, as it waits."""
    gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", {"joint": "knee", "side": "both", "set_by": "Ode"})
    return str(finish_jobs()[-1].result["block"])


def waits(gym: Any) -> dict[str, bool]:
    """The revisions that wait, and whether each is an old one."""
    return {one.revision.block: one.is_old for one in waiting_revisions(gym.trainee)}


def page(gym: Any, path: str) -> str:
    """A page of the coach about the trainee."""
    return str(gym.as_coach().get(f"/t/{gym.trainee.id}/{path}").content.decode())


def again(gym: Any, block: str) -> Any:
    """The job of making a revision again, over."""
    gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{block}/", {"verdict": "again"})
    return finish_jobs()[-1]


def test_the_page_of_an_entry_tells_that_a_proposal_waits_and_where_to_change_it(gym: Any) -> None:
    proposal = knee(gym)

    shown = page(gym, where(gym, "bench_bb", part_of(gym, "bench_bb")).split("/", 3)[3])

    assert "the change for what hurts" in shown and "without it" in shown and f"/block/{proposal}/" in shown


def test_a_change_by_hand_beside_a_proposal_leaves_both_to_decide(gym: Any) -> None:
    proposal, mine = knee(gym), asked(gym, "bench_bb", "look").result["block"]

    assert waits(gym) == {mine: False, proposal: False}
    shown = page(gym, "")
    assert f"/changes/{mine}/" in shown and f"/changes/{proposal}/" in shown
    assert "waits too" in page(gym, f"changes/{mine}/")
    made = [block_of(gym.trainee.revisions.get(block=one)) for one in (mine, proposal)]
    assert count_anew(gym.trainee).waiting == sum(len(change_groups(one)) for one in made) > 1


def test_declining_one_leaves_the_other_to_take_as_it_is(gym: Any) -> None:
    proposal, mine = knee(gym), asked(gym, "bench_bb", "look").result["block"]

    gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{mine}/", {"verdict": "decline-all"})

    assert waits(gym) == {proposal: False}
    gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{proposal}/", {"verdict": "accept-all"})
    assert gym.in_force().id == proposal and not waits(gym)


def test_what_waited_when_another_came_into_force_is_made_again_on_it_and_keeps_both(gym: Any) -> None:
    proposal = knee(gym)
    sent = asked(gym, "bench_bb", "send").result["block"]
    assert gym.in_force().id == sent and waits(gym) == {proposal: True}
    for path in ("", f"sent/{sent}/", "block/", f"changes/{proposal}/"):
        assert "ade before another" in page(gym, path), path
    refused = gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{proposal}/", {"verdict": "accept-all"})
    assert refused.status_code == 400 and gym.in_force().id == sent

    job = again(gym, proposal)

    assert job.state == "done" and waits(gym) == {job.result["block"]: False}
    assert "took its place" in page(gym, f"changes/{proposal}/")
    gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{job.result['block']}/", {"verdict": "accept-all"})
    now = gym.in_force()
    assert len(entries_on(now, today_of(gym))["bench_bb"].working_sets) == 2
    assert [one.joint for one in now.inputs.trainee.restrictions] == ["knee"] and not waits(gym)


def test_several_changes_that_waited_are_all_made_again_and_what_was_declined_stays_declined(gym: Any) -> None:
    first = asked(gym, "bench_bb", "look").result["block"]
    both = asked(gym, "back_squat", "look", first).result["block"]
    assert waits(gym) == {both: False} and "went into revision" in page(gym, f"changes/{first}/")
    old = block_of(gym.trainee.revisions.get(block=both))
    (number,) = (n for n, rows in enumerate(change_groups(old), 1) if "bench" in old.changes[rows[0] - 1].entry)
    gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{both}/", {"verdict": "decline-some", "change": [str(number)]})
    asked(gym, "back_squat", "send", left="4")
    assert waits(gym) == {both: True}

    job = again(gym, both)

    made = block_of(gym.trainee.revisions.get(block=job.result["block"]))
    day = entries_on(made, today_of(gym))
    assert [len(day[slug].working_sets) for slug in ("bench_bb", "back_squat")] == [2, 2]
    assert day["back_squat"].working_sets[0].rir == 4.0
    still = gym.trainee.decisions.get(block=made.id, verdict="declined").changes
    assert {made.changes[n - 1].entry for n in still} == {old.changes[change_groups(old)[number - 1][0] - 1].entry}


def test_what_cannot_be_made_again_is_told_and_still_waits(gym: Any) -> None:
    mine = asked(gym, "bench_bb", "look").result["block"]
    at = where(gym, "bench_bb", part_of(gym, "bench_bb"))
    gym.as_coach().post(at, {"what": "out", "weeks": weeks_of(gym), "deed": "send"})
    assert finish_jobs()[-1].state == "done"

    job = again(gym, mine)

    assert job.state == "refused" and waits(gym) == {mine: True}
    gym.as_coach().post(f"/t/{gym.trainee.id}/changes/{mine}/", {"verdict": "decline-all"})
    assert not waits(gym)


def test_the_log_read_again_takes_the_place_of_what_it_proposed_before(gym: Any, monkeypatch: Any) -> None:
    from dataclasses import replace

    from setwright.plan.block import Settled
    from setwright.plan.identity import with_id
    from setwright.services.desk import blocks

    def proposed(reps: str) -> str:
        settled = (*gym.block.settled, Settled("a log", 1, "mon", "bench_bb", reps))
        (change,) = block_of(gym.trainee.revisions.get(block=mine)).changes[:1]
        made = replace(gym.block, id="", revision=2, parent=gym.block.id, settled=settled)
        made = with_id(replace(made, changes=(replace(change, to=reps, evidence="By the log."),)))
        found = replace(blocks.Proposal(made, ()))
        monkeypatch.setattr(blocks, "fit_of_log", lambda *given: None)
        monkeypatch.setattr(blocks, "proposal_of", lambda *given: found)
        return str(blocks.adapt_for(gym.trainee).block.id)

    mine = asked(gym, "bench_bb", "look").result["block"]
    first, second = proposed("3 x 6"), proposed("3 x 7")

    assert first != second and waits(gym) == {second: False, mine: False}
    assert "the log was read again" in page(gym, f"changes/{first}/").lower()


def test_a_single_change_is_asked_for_in_the_singular(gym: Any) -> None:
    one = asked(gym, "bench_bb", "look").result["block"]

    shown = page(gym, f"changes/{one}/")

    assert ">Take it</button>" in shown and ">Decline it</button>" in shown
    assert "them all" not in shown and "Decline all" not in shown and "ticked" not in shown


def test_a_first_block_that_waits_is_not_told_as_no_block(gym: Any) -> None:
    for taken in (gym.trainee.in_force, gym.trainee.decisions, gym.trainee.planned_days):
        taken.all().delete()  # as it was before the coach said yes

    shown = page(gym, "")

    assert waits(gym) == {gym.block.id: False}
    assert "What is ready waits for you below" in shown and "No block yet" not in shown
