"""Kept sessions and public editions in the application: kept from a block, found, used, published, withdrawn.

Referee for machines' data: ``json`` of Python; the vocabulary is held against a table in tests/publish.
"""

from __future__ import annotations

import json
import re
from typing import Any

from django.test import Client
from test_pages import finish_jobs

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.plan.gates import judge
from setwright.records import models
from setwright.records.data_base import block_of
from setwright.records.erasing import erase_trainee
from setwright.services.desk.blocks import write_for
from setwright.services.desk.cues import keep_cue
from setwright.services.desk.kept_sessions import keep_session, shelf_of

TEXT = "Block: Legs for {name}\nDay 1\n{here: back squat} 3 x 5 @ RIR 2; {cue}\ndead bug 2 x 8\n"


def block_path(gym: Any, deed: str) -> str:
    return f"/t/{gym.trainee.id}/block/{gym.block.id}/{deed}/"


def publish(gym: Any, **said: Any) -> str:
    """The path of a fresh public link."""
    given = {"week": "1", "day": gym.block.weeks[0].sessions[0].day, "talk": "30", "days": "7", **said}
    answer = gym.as_coach().post(block_path(gym, "publish"), given)
    found = re.search(r"<code>http://testserver(/p/[^<]+)</code>", answer.content.decode())
    assert found, answer.content.decode()
    return found[1]


def test_a_session_is_kept_from_a_block_without_its_person(gym: Any) -> None:
    day = gym.block.weeks[0].sessions[0].day

    answer = gym.as_coach().post(block_path(gym, "keep"), {"week": "1", "day": day, "here": "yes", "title": ""})

    (kept,) = shelf_of(gym.coach.practice)
    assert answer["Location"] == f"/kept/{kept.slug}/"
    page = gym.as_coach().get(f"/kept/{kept.slug}/").content.decode()
    assert "{here:" in page and "Ode" not in models.Document.objects.get(kind="kept").text
    planned = {
        entry.exercise
        for part in gym.block.weeks[0].sessions[0].parts
        if part.part != "warm-up"
        for entry in part.entries
    }
    assert kept.kept.sessions == 1 and set(kept.kept.exercises) == planned


def test_the_shelf_is_searched_and_belongs_to_the_practice(gym: Any) -> None:
    keep_session(gym.coach, TEXT)
    keep_session(gym.coach, "Block: Rows\nseated cable row 3 x 10\n")

    found = gym.as_coach().get("/kept/?find=squats").content.decode()
    assert "Legs for {name}" in found and "Rows" not in found
    assert "Nothing kept has golf in it" in gym.as_coach().get("/kept/?find=golf").content.decode()
    assert "Legs" not in gym.as_stranger().get("/kept/").content.decode()


def test_fitted_to_several_each_gets_a_proposal_of_their_own(gym: Any) -> None:
    """Referee: the gate, asked of every exercise in the place where it stands."""
    slug = keep_session(gym.coach, TEXT.replace("{cue}", "{cue: knees out}"))
    browser, row = gym.as_coach(), gym.trainee

    to = browser.post(f"/kept/{slug}/fit/", {"who": [str(row.id)], "start": "2026-09-07"})["Location"]
    assert "waiting for its turn" in browser.get(to).content.decode().lower()
    (job,) = finish_jobs()
    page = browser.get(to).content.decode()

    assert job.state == models.Job.DONE and job.trainee == row
    block = block_of(row.revisions.get(block=job.result["block"]))
    assert block.title == f"Legs for {row.name}" and block.parent is None
    assert f"/t/{row.id}/block/{block.id}/" in page and row.name in page
    for session in block.weeks[0].sessions:
        place = next(one for one in block.inputs.places if one.id == session.place)
        for entry in (e for part in session.parts if part.part != "warm-up" for e in part.entries):
            trainee = block.inputs.trainee
            tokens = expand_tokens(place.tokens())
            exercise = catalogue().get(entry.exercise)
            assert judge(exercise, trainee.restrictions, tokens, trainee, entry.dials).allowed
    assert "Put it in force" in browser.get(f"/t/{row.id}/block/{block.id}/").content.decode()
    assert row.name not in gym.as_stranger().get(to).content.decode()


def test_nobody_a_stranger_and_no_date_are_refused(gym: Any) -> None:
    slug = keep_session(gym.coach, TEXT)
    browser, at = gym.as_coach(), f"/kept/{slug}/fit/"

    nobody = browser.post(at, {"start": "2026-09-07"})
    assert nobody.status_code == 400 and "1 to 40 of your people" in nobody.content.decode()
    no_date = browser.post(at, {"start": "soon", "who": [str(gym.trainee.id)]})
    assert no_date.status_code == 400 and "a date like" in no_date.content.decode()
    others = browser.post(at, {"start": "2026-09-07", "who": [str(gym.strangers_trainee.id)]})
    assert others.status_code == 404
    assert not models.Job.objects.exists()


def test_used_for_somebody_it_is_filled_in_and_dosed_as_a_written_block(gym: Any) -> None:
    slug = keep_session(gym.coach, TEXT)
    keep_cue(gym.coach, gym.trainee, "back_squat", "knees out; slowly")

    to = gym.as_coach().get(f"/kept/{slug}/use/?who={gym.trainee.id}")
    assert to["Location"] == f"/t/{gym.trainee.id}/write/?kept={slug}"
    page = gym.as_coach().get(to["Location"]).content.decode()
    assert "Everything was understood" in page and "Legs for Ode Invented" in page and "knees out slowly" in page
    block = write_for(gym.trainee, TEXT, gym.today)
    whys = [e.why for week in block.weeks for s in week.sessions for part in s.parts for e in part.entries]
    assert block.title == "Legs for Ode Invented" and any("knees out slowly" in one for one in whys)


def test_what_cannot_be_filled_in_is_said_at_its_line_and_not_written(gym: Any) -> None:
    page = gym.as_coach().post(
        f"/t/{gym.trainee.id}/write/", {"text": TEXT, "start": gym.today.isoformat(), "deed": "keep"}
    )

    said = page.content.decode()
    assert page.status_code == 400 and "line 3" in said and "none is on file" in said
    assert not models.Job.objects.filter(deed="write").exists()


def test_a_wrong_text_is_refused_with_what_was_typed_and_a_taken_one_is_gone(gym: Any) -> None:
    slug = keep_session(gym.coach, TEXT)
    browser = gym.as_coach()

    wrong = browser.post(f"/kept/{slug}/", {"text": "{stepp: x} 3 x 5", "deed": "keep"})
    assert wrong.status_code == 400 and "{stepp: x} 3 x 5" in wrong.content.decode()
    browser.post(f"/kept/{slug}/", {"deed": "away"})
    assert browser.get(f"/kept/{slug}/").status_code == 404 and not shelf_of(gym.coach.practice)
    assert keep_session(gym.coach, TEXT) != slug  # what is in the records keeps its name


def test_whoever_holds_the_link_reads_the_edition_and_nothing_of_the_person(gym: Any) -> None:
    answer = Client().get(publish(gym))
    page = answer.content.decode()

    assert "The talk, in 30 minutes" in page and "Look at:" in page
    assert "Ode" not in page and not re.search(r"\d kg\b", page) and "/t/" not in page
    assert "noindex" in answer["X-Robots-Tag"] and 'name="robots"' in page
    data = json.loads(re.search(r'<script type="application/ld\+json">(.*?)</script>', page, re.DOTALL)[1])  # type: ignore[index]
    assert data["@type"] == "ExercisePlan" and data["hasPart"]


def test_one_for_everybody_may_be_found_and_is_still_withdrawn_at_once(gym: Any) -> None:
    path = publish(gym, everybody="yes")
    answer = Client().get(path)

    assert "X-Robots-Tag" not in answer and "noindex" not in answer.content.decode()
    share = models.Share.objects.get(what="public")
    assert "A public edition" in gym.as_coach().get(f"/t/{gym.trainee.id}/links/").content.decode()
    gym.as_coach().post(f"/t/{gym.trainee.id}/links/{share.id}/withdraw/")
    assert Client().get(path).status_code == 404


def test_each_link_opens_its_own_kind_only_and_ends_with_the_person(gym: Any) -> None:
    path = publish(gym)

    assert Client().get(path.replace("/p/", "/s/")).status_code == 404
    erase_trainee(gym.trainee)
    assert Client().get(path).status_code == 404


def test_what_may_not_be_published_is_refused_and_nothing_is_made(gym: Any) -> None:
    said = {"week": "1", "talk": "30", "days": "7"}
    for wrong, says in (
        ({"title": "Ode's legs"}, "the trainee&#x27;s name"),
        ({"talk": "soon"}, "a number of minutes"),
        ({"talk": "1"}, "minutes or more"),
        ({"places": "nowhere"}, "a place of the practice"),
        ({"days": "9999"}, "one week"),
        ({"week": "x"}, "the number of a week"),
    ):
        answer = gym.as_coach().post(block_path(gym, "publish"), {**said, **wrong})
        assert answer.status_code == 400 and says in answer.content.decode(), wrong
    assert not models.Share.objects.exists()


def test_a_place_of_the_practice_stands_beside_the_session(gym: Any) -> None:
    from setwright.services.desk.people import keep_place

    keep_place(gym.coach, 'id = "meadow"\nname = "A meadow"\nunit = "kg"\ninvented = true\n')

    page = Client().get(publish(gym, places="meadow")).content.decode()

    assert "In each place" in page and "A meadow" in page
    assert "as it stands" in page or "keeps the work for" in page


def pdf_text(data: bytes) -> str:
    import pypdfium2

    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data))


def test_the_same_link_gives_page_paper_and_plain_text_without_the_person(gym: Any) -> None:
    """Referee: pypdfium2 reads the paper."""
    path = publish(gym, title="Legs for a hall")
    page, paper, plain = (Client().get(path + one) for one in ("", "session.pdf", "session.txt"))

    assert f'href="{path}session.pdf"' in page.content.decode()
    for answer, text in ((paper, pdf_text(paper.content)), (plain, plain.content.decode())):
        assert "Legs for a hall" in text and "The talk, in 30 minutes".lower() in text.lower()
        assert "Ode" not in text and not re.search(r"\d kg\b", text)
        assert "noindex" in answer["X-Robots-Tag"] and answer["Cache-Control"] == "no-store, private"
    share = models.Share.objects.get(what="public")
    gym.as_coach().post(f"/t/{gym.trainee.id}/links/{share.id}/withdraw/")
    assert [Client().get(path + one).status_code for one in ("", "session.pdf", "session.txt")] == [404] * 3


def test_an_edition_is_looked_at_and_taken_as_a_file_before_there_is_a_link(gym: Any) -> None:
    said = {"week": "1", "talk": "30", "days": "7", "title": "Only to look at"}
    browser = gym.as_coach()

    look, paper, plain = (
        browser.post(block_path(gym, "publish"), {**said, "deed": deed}) for deed in ("look", "pdf", "txt")
    )

    assert "Only to look at" in look.content.decode() and "Nobody else sees it yet" in look.content.decode()
    assert paper.content.startswith(b"%PDF") and "Only to look at" in plain.content.decode()
    assert not models.Share.objects.exists()
    wrong = browser.post(block_path(gym, "publish"), {**said, "title": "Ode's", "deed": "pdf"})
    assert wrong.status_code == 400 and "the trainee&#x27;s name" in wrong.content.decode()


def test_a_session_is_kept_or_published_from_its_own_page(gym: Any) -> None:
    session = gym.block.weeks[0].sessions[-1]
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/block/{gym.block.id}/1/{session.day}/").content.decode()

    for deed in ("publish", "keep"):
        address = f"{block_path(gym, deed)}?week=1&amp;day={session.day}"
        assert f'href="{address}"' in page
        form = gym.as_coach().get(address.replace("&amp;", "&")).content.decode()
        assert f'<option value="{session.day}" selected>' in form and '<option value="1" selected>' in form


def test_a_link_is_listed_by_what_it_shows_and_a_dead_one_says_whom_to_ask(gym: Any) -> None:
    path = publish(gym, title="")
    said = gym.as_coach().get(f"/t/{gym.trainee.id}/links/").content.decode()
    title = re.search(r"<h1>(.*?)</h1>", Client().get(path).content.decode())[1]  # type: ignore[index]

    assert f"A public edition, &quot;{title}&quot;" in said and title
    dead = Client().get("/p/nothing-of-that/")
    assert dead.status_code == 404 and "Ask whoever gave it to you" in dead.content.decode()
    assert "Ask whoever" not in Client().get("/nowhere/").content.decode()
