"""What a coach decides about changes: all, some, what may be used at once, none; compared, undone, put back."""

from __future__ import annotations

import re
from typing import Any

import pytest
from test_pages import finish_jobs

from setwright.publish.words import change_groups
from setwright.records.data_base import block_of
from setwright.services.desk.waiting import waiting_revision


def proposal(gym: Any, joint: str = "knee") -> Any:
    """What a sore joint would change, as it waits."""
    gym.as_coach().post(f"/t/{gym.trainee.id}/sore/", {"joint": joint, "side": "both", "set_by": "Ode"})
    (job,) = finish_jobs()
    assert job.state == "done", job.result
    return block_of(gym.trainee.revisions.get(block=job.result["block"]))


def by_hand(gym: Any) -> Any:
    """Two changes by hand that wait as one revision: fewer sets of two lifts."""
    from setwright.people.trainee import DAYS

    day, block = DAYS[gym.today.weekday()], gym.block.id
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == day)
    for slug in ("back_squat", "bench_bb"):
        part = next(p.part for p in session.parts if p.part != "warm-up" and slug in [e.exercise for e in p.entries])
        at = f"/t/{gym.trainee.id}/block/{block}/entry/?day={day}&part={part}&of={slug}&number=0"
        gym.as_coach().post(at, {"what": "dose", "sets": "2", "weeks": [str(w.number) for w in gym.block.weeks]})
        (job,) = finish_jobs()
        block = job.result["block"]
    return block_of(gym.trainee.revisions.get(block=block))


def page_of(gym: Any, block: Any) -> str:
    """The page of the changes of a revision."""
    return f"/t/{gym.trainee.id}/changes/{block.id}/"


def test_declining_one_leaves_the_other_waiting_and_it_can_still_be_taken(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()
    assert len(change_groups(block)) == 2

    after = browser.post(
        page_of(gym, block), {"verdict": "decline-some", "change": ["1"], "reason": "Too few."}, follow=True
    )

    assert "Declined." in after.content.decode() and "Take the rest" in after.content.decode()
    assert waiting_revision(gym.trainee).block == block.id
    browser.post(page_of(gym, block), {"verdict": "accept-all"})
    changed = {one.entry for one in gym.in_force().changes}
    assert changed == {block.changes[row - 1].entry for row in change_groups(block)[1]}
    assert gym.trainee.decisions.filter(verdict="declined").get().reason == "Too few."


def test_declining_each_of_them_settles_the_revision(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()

    browser.post(page_of(gym, block), {"verdict": "decline-some", "change": ["1"]})
    browser.post(page_of(gym, block), {"verdict": "decline-some", "change": ["2"]})

    assert waiting_revision(gym.trainee) is None
    assert gym.in_force().id == gym.block.id
    assert "are settled" in browser.get(page_of(gym, block)).content.decode()


@pytest.mark.parametrize("ticks", [[], ["0"], ["99"], ["one"]])
@pytest.mark.parametrize("verdict", ["accept-some", "decline-some"])
def test_ticks_that_name_no_change_are_refused_in_words(gym: Any, ticks: list[str], verdict: str) -> None:
    block = by_hand(gym)

    answer = gym.as_coach().post(page_of(gym, block), {"verdict": verdict, "change": ticks, "reason": "kept"})

    assert answer.status_code == 400
    assert "one or more of changes 1 to 2" in answer.content.decode() and 'value="kept"' in answer.content.decode()
    assert not gym.trainee.decisions.filter(block=block.id).exists()


def test_a_change_that_a_limit_forces_cannot_be_left_out(gym: Any) -> None:
    block = proposal(gym)
    groups = change_groups(block)
    forced = [n for n, rows in enumerate(groups, start=1) if "knee restriction" in block.changes[rows[0] - 1].why]
    assert len(forced) > 1

    answer = gym.as_coach().post(page_of(gym, block), {"verdict": "accept-some", "change": forced[:1]})

    page = answer.content.decode()
    assert answer.status_code == 400 and "knee restriction" in page and "Nothing was kept" in page
    assert gym.in_force().id == gym.block.id


def test_two_revisions_are_compared_entry_by_entry_with_sets_and_minutes(gym: Any) -> None:
    block = by_hand(gym)

    page = gym.as_coach().get(f"/t/{gym.trainee.id}/compare/?was={gym.block.id}&becomes={block.id}").content.decode()

    assert "1 set fewer" in page and "barbell back squat, 2 x 5-6" in page
    assert "Counted sets" in page and "3 to 2" in page
    same = gym.as_coach().get(f"/t/{gym.trainee.id}/compare/?was={block.id}&becomes={block.id}").content.decode()
    assert "The two blocks plan the same." in same


def test_a_comparison_begins_with_the_newest_and_the_one_before_and_a_block_with_what_waits(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()

    page = browser.get(f"/t/{gym.trainee.id}/compare/").content.decode()
    here = browser.get(f"/t/{gym.trainee.id}/block/").content.decode()

    was, becomes = page.split('id="becomes"')
    assert f'value="{gym.block.id}" selected' in was and f'value="{block.id}" selected' in becomes
    assert f"was={gym.block.id}&amp;becomes={block.id}" in here


def test_the_pickers_of_a_comparison_say_the_title_once_above_the_revisions_that_share_it(gym: Any) -> None:
    by_hand(gym)

    page = gym.as_coach().get(f"/t/{gym.trainee.id}/compare/").content.decode()

    assert page.count(f'<optgroup label="{gym.block.title}">') == 2
    assert [one.strip() for one in re.findall(r"<option[^>]*>([^<]*)", page) if gym.block.title in one] == []


def test_only_own_revisions_are_compared_or_put_back(gym: Any) -> None:
    at = f"/t/{gym.trainee.id}"

    assert gym.as_coach().get(f"{at}/compare/?was=blk-of-somebody&becomes={gym.block.id}").status_code == 404
    assert gym.as_coach().post(f"{at}/block/blk-of-somebody/back/").status_code == 404
    for browser in (gym.as_stranger(), gym.as_trainee()):
        assert browser.get(f"{at}/compare/").status_code == 404
        assert browser.post(f"{at}/block/{gym.block.id}/back/").status_code == 404


def test_an_undone_revision_can_be_put_back(gym: Any) -> None:
    block, browser = by_hand(gym), gym.as_coach()
    browser.post(page_of(gym, block), {"verdict": "accept-all"})
    browser.post(f"/t/{gym.trainee.id}/undo/")
    assert gym.in_force().id == gym.block.id
    assert "Put this revision back" in browser.get(f"/t/{gym.trainee.id}/block/{block.id}/").content.decode()

    browser.post(f"/t/{gym.trainee.id}/block/{block.id}/back/")

    assert gym.in_force().id == block.id


def test_a_revision_from_before_a_limit_is_not_put_back_while_the_limit_holds(gym: Any) -> None:
    block, browser = proposal(gym), gym.as_coach()
    browser.post(page_of(gym, block), {"verdict": "accept-all"})

    answer = browser.post(f"/t/{gym.trainee.id}/block/{gym.block.id}/back/")

    assert answer.status_code == 400 and "knee" in answer.content.decode()
    assert gym.in_force().id == block.id
