"""The catalogue on pages: found by the trade's names and by limits; own exercises by form, theirs and nobody else's.

Referees: the catalogue files for names, ``catalogue.derive`` for joint stress (with its own tests against published
tables), ``catalogue.load.parse_exercise_file`` for what a form may keep.
"""

from __future__ import annotations

import doctest
import re
import threading
import tomllib
from typing import Any

import pytest
from own_exercise import OWN
from test_pages import finish_jobs

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.load import catalogue as packaged
from setwright.catalogue.load import parse_exercise_file
from setwright.records import models
from setwright.services.desk import catalogue_pages
from setwright.services.desk.catalogue_pages import needs_text, pattern_words
from setwright.services.desk.own_exercises import keep_exercise, left_out, practice_exercises
from setwright.services.gather import catalogue
from setwright.services.own import own_files
from setwright.web.forms.exercise import exercise_form
from setwright.web.views.catalogue import slug_of


def kept_own(gym: Any, text: str = OWN, slug: str = "sandbag_over_the_shoulder") -> None:
    """The own exercise, kept for the coach's practice."""
    with practice_exercises(gym.coach.practice):
        keep_exercise(gym.coach, slug, text)


def names_on(page: str) -> list[str]:
    """The exercises that a list shows, by their slugs."""
    return re.findall(r'<li><a href="/exercises/([a-z0-9_]+)/">', page)


@pytest.mark.parametrize(
    ("said", "slug"), [("RDL", "rdl_bb"), ("bb squat", "back_squat"), ("nordics", "nordic"), ("OHP", "ohp_bb")]
)
def test_the_trades_names_find_the_exercise_first(gym: Any, said: str, slug: str) -> None:
    page = gym.as_coach().get("/exercises/", {"find": said}).content.decode()

    assert names_on(page)[0] == slug


def test_a_name_that_nothing_has_is_told_with_what_is_most_like_it(gym: Any) -> None:
    page = gym.as_coach().get("/exercises/", {"find": "bulgarian spilt sqat"}).content.decode()

    assert "Nothing is called bulgarian spilt sqat" in page and names_on(page)


def test_a_joint_that_is_spared_carries_no_stress_in_anything_shown(gym: Any) -> None:
    browser = gym.as_coach()
    shown = []
    for number in range(1, 20):
        answer = browser.get("/exercises/", {"spares": "elbow", "pattern": "squat", "page": number}).content.decode()
        shown += names_on(answer)
        if "More</a>" not in answer:
            break
    everything = [one for one in packaged().values() if one.pattern == "squat"]

    assert shown and set(shown) == {one.slug for one in everything if not joint_stress(one).get("elbow", 0)}
    assert len(shown) < len(everything)


def test_only_what_can_be_done_with_the_equipment_is_shown(gym: Any) -> None:
    page = gym.as_coach().get("/exercises/", {"have": "kettlebell", "pattern": "hinge"}).content.decode()

    shown = names_on(page)
    assert "kb_deadlift" in shown or any(one.startswith("kb") for one in shown)
    assert "rdl_bb" not in shown


def test_an_exercise_says_what_it_trains_where_it_loads_and_how_it_goes_on(gym: Any) -> None:
    page = gym.as_coach().get("/exercises/nordic_band/").content.decode()

    climb = packaged().progressions[str(packaged().get("nordic_band").progression)]
    assert 'role="img"' in page and "A set counts for" in page and "hamstrings" in page
    assert "(this one)" in page and page.count("Moves on when") == len(climb.steps)
    assert 'style="' not in page
    assert gym.as_coach().get("/exercises/no_such_thing/").status_code == 404


def test_an_own_exercise_is_kept_by_form_and_can_be_planned_with(gym: Any) -> None:
    browser = gym.as_coach()
    form = {
        "name": "sandbag over the shoulder",
        "pattern": "hinge",
        "actions.prime": "hip extension, knee extension",
        "actions.held": "trunk extension",
        "form.mode": "dynamic",
        "form.laterality": "alternating",
        "form.body_position": "stand",
        "form.support": "two-feet",
        "form.skill": "2",
        "form.max_angles": "knee flexion 100\nhip flexion 100",
        "load.means": "total",
        "load.capacity": "3",
        "load.measured_in": "reps",
        "load.equipment": "dumbbell + bench\nkettlebell",
        "use.parts": ["main", "assistance"],
        "talk.purpose": "Trains the hips.",
        "talk.cues": "Hug it.\nStand up.",
        "talk.effort_cue": "Two left means two more.",
        "talk.sources": "the practice's own experience",
        "deed": "keep",
        "version": "",
    }

    answer = browser.post("/exercises/new/", form, follow=True)

    assert answer.redirect_chain[-1][0] == "/exercises/sandbag_over_the_shoulder/", answer.content.decode()
    text = models.Document.objects.get(kind="exercise").text
    (made,) = parse_exercise_file("sandbag_over_the_shoulder.toml", text)
    assert made.max_angles == {"knee-flexion": 100.0, "hip-flexion": 100.0}
    assert frozenset({"kettlebell"}) in made.equipment and len(made.equipment) == 2
    assert "own</span>" in browser.get("/exercises/", {"find": "sandbag over"}).content.decode()


@pytest.mark.parametrize(
    ("typed", "band", "needs", "line"),
    [
        ("", "band_heavy", [{"band_heavy"}], ""),
        ("fixed anchor for a band", "band", [{"anchor", "band"}], "fixed anchor for a band"),
        ("rack\nbench", "loop_band", [{"rack", "loop_band"}, {"bench", "loop_band"}], "rack\nbench"),
        ("band\nheavy band", "", [{"band"}, {"band_heavy"}], "band\nheavy band"),
    ],
)
def test_the_band_of_an_own_exercise_has_a_field_and_stays_in_it(
    typed: str, band: str, needs: list[set[str]], line: str
) -> None:
    form = exercise_form()
    given = form.typed_from(tomllib.loads(OWN))
    given.texts["load.equipment"], given.texts["load.band"] = [typed], [band]

    table = form.table_from(given)
    again = form.typed_from(table)

    assert [set(one) for one in table["load"]["equipment"]] == needs and "band" not in table["load"]
    assert (again.get("load.equipment"), again.get("load.band")) == (line, band)


@pytest.mark.parametrize(
    ("slug", "says"),
    [
        ("back_squat", "barbell + rack"),
        ("row_db", "dumbbells or kettlebells, with chair or bench"),
        ("split_squat_asym", "dumbbells or kettlebells, with one of chair or bench, rack, wall"),
        ("bw_squat", "nothing"),
        ("rev_lunge", "nothing, dumbbells or kettlebells"),
    ],
)
def test_what_is_needed_is_said_in_one_reading(gym: Any, slug: str, says: str) -> None:
    """Referee: the equipment lists of the catalogue files, read by hand."""
    assert needs_text(packaged().get(slug)) == says


def test_words_of_patterns_and_equipment_are_a_coachs() -> None:
    assert doctest.testmod(catalogue_pages).failed == 0
    assert pattern_words("mobility_hip") == "hip mobility" and pattern_words("knee_extension") == "knee extension"


def test_the_band_of_a_form_is_held_against_the_checks_of_the_files(gym: Any) -> None:
    browser = gym.as_coach()
    browser.post("/exercises/new/", {"text": OWN, "deed": "text"})

    page = browser.get("/exercises/own/sandbag_over_the_shoulder/").content.decode()
    wrong = browser.post("/exercises/new/", {"name": "odd", "load.band": "rubber", "deed": "keep"})

    assert '<option value="band_heavy">heavy band</option>' in page
    assert wrong.status_code == 400 and "rubber" in wrong.content.decode()


def test_a_form_is_held_against_the_checks_of_the_files(gym: Any) -> None:
    answer = gym.as_coach().post(
        "/exercises/new/",
        {"name": "odd one", "pattern": "hinge", "actions.prime": "hip extensoin", "form.grip": "3", "deed": "keep"},
    )

    page = answer.content.decode()
    assert answer.status_code == 400 and not models.Document.objects.filter(kind="exercise").exists()
    for said in ("hip-extension", "This is needed", "talk"):
        assert said.lower() in page.lower()
    assert 'value="hip extensoin"' in page


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("bag to shoulder", "back squat"), "is called like this already"),
        (('pattern = "hinge"', 'pattern = "hing"'), "hinge"),
        (("skill = 2", "skill = 9"), "1 to 5"),
        (("[use]", "[use]\nprogression = 'nowhere'"), "a progression of the catalogue"),
    ],
)
def test_a_text_is_held_against_the_same_checks(gym: Any, change: tuple[str, str], says: str) -> None:
    answer = gym.as_coach().post("/exercises/new/", {"text": OWN.replace(*change), "deed": "text"})

    assert answer.status_code == 400 and says in answer.content.decode()
    assert not models.Document.objects.filter(kind="exercise").exists()


def test_an_exercise_of_the_catalogue_is_not_replaced_by_its_name(gym: Any) -> None:
    text = OWN.replace("sandbag over the shoulder", "back squat").replace('["bag to shoulder"]', "[]")

    answer = gym.as_coach().post("/exercises/new/", {"text": text, "deed": "text"})

    assert answer.status_code == 400 and "which the catalogue has" in answer.content.decode()


def test_an_own_exercise_is_in_force_for_its_practice_and_nowhere_else(gym: Any) -> None:
    kept_own(gym)

    assert gym.as_coach().get("/exercises/sandbag_over_the_shoulder/").status_code == 200
    assert gym.as_stranger().get("/exercises/sandbag_over_the_shoulder/").status_code == 404
    assert "sandbag_over_the_shoulder" not in names_on(
        gym.as_stranger().get("/exercises/", {"find": "sandbag"}).content.decode()
    )
    assert "sandbag_over_the_shoulder" not in catalogue() and not own_files()


def test_requests_side_by_side_see_their_own_catalogue(gym: Any) -> None:
    kept_own(gym)
    seen: dict[str, set[bool]] = {"own": set(), "other": set()}

    def look(who: str, practice: models.Practice) -> None:
        for _ in range(20):
            with practice_exercises(practice):
                seen[who].add("sandbag_over_the_shoulder" in catalogue())

    with practice_exercises(gym.stranger.practice):
        seen["other"].add("sandbag_over_the_shoulder" in catalogue())
    look("own", gym.coach.practice)
    outside: list[bool] = []
    thread = threading.Thread(target=lambda: outside.append("sandbag_over_the_shoulder" in catalogue()))
    with practice_exercises(gym.coach.practice):
        thread.start()
        thread.join()

    assert seen == {"own": {True}, "other": {False}}
    assert outside == [False]


def test_a_block_is_planned_with_an_own_exercise_by_a_job_and_its_page_opens(gym: Any) -> None:
    from setwright.people.trainee import DAYS

    kept_own(gym)
    browser, row, day = gym.as_coach(), gym.trainee, DAYS[gym.today.weekday()]
    (session,) = (one for one in gym.block.weeks[0].sessions if one.day == day)
    part = next(p.part for p in session.parts if "back_squat" in [e.exercise for e in p.entries])
    at = f"/t/{row.id}/block/{gym.block.id}/entry/?day={day}&part={part}&of=back_squat&number=0"
    weeks = [str(one.number) for one in gym.block.weeks]

    browser.post(at, {"what": "exchange", "other": "bag to shoulder", "weeks": weeks, "deed": "send"})
    (job,) = finish_jobs()

    assert job.state == "done", job.result
    assert "Sandbag over the shoulder" in browser.get(f"/t/{row.id}/block/").content.decode()
    assert gym.as_trainee().get("/today/").status_code == 200


def test_a_changed_own_exercise_is_a_new_version_and_the_old_one_stays(gym: Any) -> None:
    kept_own(gym)
    browser = gym.as_coach()
    text = OWN.replace("Hug the bag before", "Squeeze the bag before")
    now = models.Document.objects.get(kind="exercise")

    browser.post("/exercises/own/sandbag_over_the_shoulder/", {"text": text, "deed": "text", "version": str(now.id)})

    rows = list(models.Document.objects.filter(kind="exercise").order_by("id"))
    assert len(rows) == 2 and tomllib.loads(rows[0].text) == tomllib.loads(OWN)
    assert "Squeeze the bag" in browser.get("/exercises/sandbag_over_the_shoulder/").content.decode()
    assert gym.as_stranger().get("/exercises/own/sandbag_over_the_shoulder/").status_code == 404


def test_what_a_later_version_no_longer_takes_is_left_out_and_told_and_the_pages_go_on(gym: Any) -> None:
    kept_own(gym)
    models.Document.objects.create(
        practice=gym.coach.practice,
        kind="exercise",
        slug="old_one",
        text=OWN.replace("sandbag over the shoulder", "old one")
        .replace("bag to shoulder", "old")
        .replace("hinge", "gone"),
        at=models.Document.objects.get(kind="exercise").at,
    )

    page = gym.as_coach().get("/exercises/", {"find": "sandbag over"}).content.decode()

    assert left_out(gym.coach.practice) == ["old_one"]
    assert "Not in force" in page and "sandbag_over_the_shoulder" in names_on(page)


def test_a_trainee_has_no_catalogue_to_change(gym: Any) -> None:
    for address in ("/exercises/", "/exercises/new/", "/exercises/back_squat/"):
        assert gym.as_trainee().get(address).status_code == 404
    assert gym.as_trainee().post("/exercises/new/", {"text": OWN, "deed": "text"}).status_code == 404
    assert not models.Document.objects.filter(kind="exercise").exists()


def test_an_empty_form_of_an_exercise_says_what_is_needed_and_nothing_of_files(gym: Any) -> None:
    page = gym.as_coach().post("/exercises/new/", {"deed": "keep"}).content.decode()

    assert "This is needed." in page
    assert "this key" not in page and ".toml" not in page.split("The same as text")[0]


@pytest.mark.parametrize(
    ("name", "slug"), [("Přítah k pásu", "pritah_k_pasu"), ("Romanian  Deadlift", "romanian_deadlift")]
)
def test_a_name_with_accents_gives_a_plain_slug(name: str, slug: str) -> None:
    """Referee: how the words are written without their accents."""
    assert slug_of(name) == slug
