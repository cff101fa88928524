"""Intake, place and brief by forms: the same reader judges, faults stand at their field, nothing typed is lost."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from typing import Any

import pytest
import tomli_w

from setwright.faults import InputFaults
from setwright.people.intake import read_place, read_trainee_and_places
from setwright.plan.brief_file import read_brief
from setwright.records import models
from setwright.services.gather import catalogue
from setwright.services.starting_places import ROOMS, starting_place
from setwright.services.templates import template_text
from setwright.web.forms.brief import brief_form
from setwright.web.forms.form import Faults
from setwright.web.forms.intake import intake_form
from setwright.web.forms.place import place_form
from setwright.web.forms.typed import typed_of

PERSON = {
    "name": ["Vilja Invented"],
    "birth_year": ["1988"],
    "body_mass": ["64,5"],
    "stature": ["168"],
    "training_years": ["3"],
    "screening.active_now": ["yes"],
    "days[mon].minutes": ["60"],
    "days[thu].minutes": ["45"],
}


def post(browser: Any, address: str, typed: dict[str, Any], deed: str = "keep", **more: Any) -> Any:
    """Sends a form as a browser would."""
    return browser.post(address, {**typed, **({"deed": deed} if deed else {}), **more})


def input_value(page: str, name: str) -> str:
    """What stands in a field of a page."""
    hit = re.search(rf'<input[^>]* name="{re.escape(name)}" value="([^"]*)"', page)
    assert hit, f"no field {name}"
    return hit[1]


READERS = {
    "trainee": (lambda: intake_form(catalogue(), (), "kg"), lambda text: read_trainee_and_places(text, "x")),
    "trainee in pounds": (lambda: intake_form(catalogue(), (), "lb"), lambda text: read_trainee_and_places(text, "x")),
    "place": (lambda: place_form("kg"), lambda text: read_place(text, "x")),
    "place in pounds": (lambda: place_form("lb"), lambda text: read_place(text, "x")),
    "brief": (lambda: brief_form(catalogue()), lambda text: read_brief(text, "x")),
}


@pytest.mark.parametrize("kind", READERS)
def test_a_document_that_goes_through_its_form_says_the_same(kind: str) -> None:
    """Referee: the reader of the files, on the annotated template with its examples."""
    make, read = READERS[kind]
    text = template_text(kind.split()[0])
    form = make()

    again = form.toml_from(form.typed_from(tomllib.loads(text)))

    assert read(again) == read(text)


BOUTS = """hard_half = "legs"
[[bouts]]
work = "rower 6 x 500 m, rest 2 min"
times_a_week = 2
[[bouts]]
work = "bike 25 min so that you can talk in whole sentences"
days = ["sat"]
"""
HEART = "[heart_rate]\nmaximum = 186\nthreshold = 168\nresting = 54\n"


def with_more(kind: str, was: str = "", becomes: str = "") -> str:
    """The annotated template with what stands in it as a comment only: conditioning, a hard half, heart rates."""
    text = template_text(kind)
    first_table = text.index("\n[") + 1
    more = BOUTS if kind == "brief" else HEART
    assert was in more
    return text[:first_table] + more.replace(was, becomes, 1) + text[first_table:]


@pytest.mark.parametrize("kind", ["trainee", "brief"])
def test_conditioning_a_hard_half_and_heart_rates_have_their_fields(kind: str) -> None:
    make, read = READERS[kind]
    form, text = make(), with_more(kind)
    typed = form.typed_from(tomllib.loads(text))

    again = form.toml_from(typed)

    assert read(again) == read(text) != read(template_text(kind))
    told = {"heart_rate.threshold": "168"} if kind == "trainee" else {"bouts[2].days": "sat", "hard_half": "legs"}
    assert {name: typed.get(name) for name in told} == told
    assert not [one for one in typed.texts.get("_kept", ()) if "bouts" in one or "heart" in one]


@pytest.mark.parametrize(
    ("kind", "was", "becomes", "at"),
    [
        ("brief", "rower 6 x 500 m, rest 2 min", "back squat 3 x 5", "bouts[1].work"),
        ("brief", '"sat"', '"someday"', "bouts[2].days"),
        ("brief", 'hard_half = "legs"', 'hard_half = "left"', "hard_half"),
        ("trainee", "maximum = 186", "maximum = 100", "heart_rate.maximum"),
    ],
)
def test_their_faults_are_said_at_their_fields(kind: str, was: str, becomes: str, at: str) -> None:
    make, read = READERS[kind]
    form, text = make(), with_more(kind, was, becomes)

    with pytest.raises(InputFaults) as wrong:
        read(text)

    found = Faults(form, form.typed_from(tomllib.loads(text)), wrong.value.faults)
    assert at in found.by_name and not found.elsewhere


def test_what_no_field_knows_is_kept(gym: Any) -> None:
    """An intake with its place inside, lever dials and measured lengths loses none of them in the form."""
    form = intake_form(catalogue(), (), "kg")
    text = models.Document.objects.get(trainee=gym.trainee, kind="trainee").text + (
        '\n[[baselines]]\ndate = 2026-06-01\nexercise = "pushup"\nreps = 8\nrir = 2\n'
        "dials = { hand_height_cm = 45 }\n[lengths]\nthigh_cm = 43\n"
    )

    again = form.toml_from(form.typed_from(tomllib.loads(text)))

    assert read_trainee_and_places(again, "x") == read_trainee_and_places(text, "x")
    assert tomllib.loads(again)["place"][0]["plates"]


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("unit", ["kg", "lb"])
def test_every_usual_room_is_a_place_that_can_be_kept(room: str, unit: str) -> None:
    text = tomli_w.dumps({"id": room, **starting_place(room, unit)})

    place = read_place(text, "x")
    form = place_form(unit)

    assert place.unit == unit
    assert place.tokens() > {"none", "wall"}
    assert read_place(form.toml_from(form.typed_from(tomllib.loads(text))), "x") == place


def test_a_trainee_is_taken_in_by_form(gym: Any) -> None:
    browser = gym.as_coach()
    post(browser, "/places/new/", {"name": ["Back yard"], "unit": ["kg"], "fixtures.pullup_bar": ["1"]})

    answer = post(browser, "/trainees/new/", PERSON)

    row = models.Trainee.objects.get(slug="vilja-invented")
    table = tomllib.loads(models.Document.objects.get(trainee=row).text)
    assert answer["Location"] == f"/t/{row.id}/"
    assert table["body_mass_kg"] == 64.5
    assert table["days"] == [
        {"day": "mon", "minutes": 60, "place": "back-yard"},
        {"day": "thu", "minutes": 45, "place": "back-yard"},
    ]


def test_the_second_of_a_name_gets_an_id_of_their_own(gym: Any) -> None:
    browser = gym.as_coach()
    post(browser, "/places/new/", {"name": ["Yard"], "unit": ["kg"]})

    post(browser, "/trainees/new/", PERSON)
    post(browser, "/trainees/new/", PERSON)

    slugs = set(models.Trainee.objects.filter(name="Vilja Invented").values_list("slug", flat=True))
    assert slugs == {"vilja-invented", "vilja-invented-2"}


def test_all_faults_stand_at_their_fields_and_what_was_typed_stays(gym: Any) -> None:
    browser = gym.as_coach()
    typed = {
        **PERSON,
        "birth_year": ["88"],
        "body_mass": ["heavy"],
        "baselines[1].exercise": [""],
        "baselines[3].exercise": ["bulgarian split squats of doom"],
        "baselines[3].reps": ["8"],
        "baselines[3].date": ["2026-05-01"],
        "days[thu].minutes": ["500"],
    }

    answer = post(browser, "/trainees/new/", typed)

    page = answer.content.decode()
    assert answer.status_code == 400
    assert not models.Trainee.objects.filter(name="Vilja Invented").exists()
    for name in ("birth-year", "body-mass", "baselines-3-exercise", "days-thu-minutes"):
        assert f'id="f-{name}-wrong"' in page, name
    assert input_value(page, "body_mass") == "heavy"
    assert input_value(page, "baselines[3].exercise") == "bulgarian split squats of doom"
    assert "a whole number from 1910 to 2020" in page


def test_an_unknown_name_is_answered_with_names_that_can_be_taken(gym: Any) -> None:
    browser = gym.as_coach()
    typed = {
        **PERSON,
        "baselines[1].exercise": ["deficit deadlifts"],
        "baselines[1].reps": ["5"],
        "baselines[1].date": ["2026-05-01"],
    }
    page = post(browser, "/trainees/new/", typed).content.decode()
    (meant, *_) = re.findall(r'name="meant" value="(baselines\[1\]\.exercise=[^"]+)"', page)

    answer = post(browser, "/trainees/new/", typed, deed="", meant=meant)

    assert answer.status_code == 200
    assert input_value(answer.content.decode(), "baselines[1].exercise") == meant.partition("=")[2]
    assert meant.partition("=")[2] in {one.name for one in catalogue().values()}


def test_rows_come_and_go_without_javascript(gym: Any) -> None:
    browser = gym.as_coach()
    one = {**PERSON, "goals[1].kind": ["strength"], "goals[1].about": ["deadlift"]}

    more = post(browser, "/trainees/new/", one, deed="", more="goals").content.decode()
    less = post(browser, "/trainees/new/", {**one, "goals[2].about": ["squat"]}, deed="", less="goals[1]")

    assert input_value(more, "goals[1].about") == "deadlift"
    assert input_value(more, "goals[2].about") == ""
    assert 'name="goals[2].kind" autofocus' in more
    assert 'name="goals[1].about"' not in less.content.decode()
    assert input_value(less.content.decode(), "goals[2].about") == "squat"


def test_a_new_restriction_is_not_lost_by_a_form_that_was_open_meanwhile(gym: Any) -> None:
    """Two write at once: who keeps later brings only what they changed."""
    from setwright.people.restriction_text import parse_restriction
    from setwright.services.desk.people import keep_document, with_restriction

    browser, row = gym.as_coach(), gym.trainee
    address = f"/t/{row.id}/intake/"
    typed, version = form_on_page(browser, address)
    text = models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text
    keep_document(
        row.practice, "trainee", row.slug, with_restriction(text, parse_restriction("elbow is sore")), None, row
    )

    post(browser, address, {**typed, "body_mass": ["71"], "version": [version]})

    table = tomllib.loads(models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text)
    assert table["body_mass_kg"] == 71
    assert [one["joint"] for one in table["restrictions"]] == ["elbow"]


def test_two_who_change_the_same_are_told_so(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    address = f"/t/{row.id}/intake/"
    typed, version = form_on_page(browser, address)
    post(browser, address, {**typed, "body_mass": ["71"], "version": [version]})

    answer = post(browser, address, {**typed, "body_mass": ["72"], "version": [version]})

    assert answer.status_code == 400
    assert "somebody else" in answer.content.decode()
    assert input_value(answer.content.decode(), "body_mass") == "72"


def form_on_page(browser: Any, address: str) -> tuple[dict[str, list[str]], str]:
    """What a browser would send from a page: its texts, and the version that it was opened with."""
    page = browser.get(address)
    row = page.context["row"]
    text = models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text
    return dict(intake_form(catalogue(), (), "kg").typed_from(tomllib.loads(text)).texts), page.context["version"]


def test_the_text_stays_a_second_door(gym: Any) -> None:
    browser, row = gym.as_coach(), gym.trainee
    address = f"/t/{row.id}/intake/"
    page = browser.get(address)
    text = models.Document.objects.get(trainee=row, kind="trainee").text

    wrong = browser.post(
        address,
        {
            "deed": "text",
            "version": page.context["version"],
            "text": text.replace("birth_year = 1990", "birth_year = 90"),
        },
    )
    right = browser.post(
        address,
        {
            "deed": "text",
            "version": page.context["version"],
            "text": text.replace("birth_year = 1990", "birth_year = 1991"),
        },
    )

    assert wrong.status_code == 400 and "birth_year = 90" in wrong.content.decode()
    assert right.status_code == 302
    assert "birth_year = 1991" in models.Document.objects.filter(trainee=row, kind="trainee").latest("id").text


def test_a_bare_number_is_read_in_the_unit_of_the_place(gym: Any) -> None:
    """45 on a plate that says lb is 45 lb; a bar of 20 kg beside it stays one. Referee: 1 lb = 0.45359237 kg."""
    typed = {
        "name": ["Iron shed"],
        "unit": ["lb"],
        "bars[1].kind": ["barbell"],
        "bars[1].mass": ["20 kg"],
        "plates[1].mass": ["45"],
        "plates[1].pairs": ["2"],
    }

    post(gym.as_coach(), "/places/new/", typed)

    place = read_place(models.Document.objects.get(kind="place", slug="iron-shed").text, "x")
    assert place.bars[0].mass_kg == 20
    assert place.plates[0].mass_kg == pytest.approx(45 * 0.45359237, abs=1e-4)
    assert place.plates[0].count == 4


def test_a_run_that_ends_before_it_starts_is_said_at_its_end(gym: Any) -> None:
    typed = {"name": ["Yard"], "dumbbells[2].from": ["20"], "dumbbells[2].to": ["4"], "dumbbells[2].step": ["2"]}

    page = post(gym.as_coach(), "/places/new/", typed).content.decode()

    assert 'id="f-dumbbells-2-to-wrong"' in page


def test_a_place_of_another_practice_is_not_there(gym: Any) -> None:
    post(gym.as_coach(), "/places/new/", {"name": ["Yard"], "unit": ["kg"]})

    assert gym.as_coach().get("/places/yard/").status_code == 200
    assert gym.as_stranger().get("/places/yard/").status_code == 404


def test_a_brief_by_form_asks_for_a_block(gym: Any) -> None:
    browser = gym.as_coach()
    page = browser.get(f"/t/{gym.trainee.id}/design/").content.decode()
    assert input_value(page, "days_a_week") == "2"
    typed = {
        "title": ["Autumn"],
        "start": ["2026-09-07"],
        "weeks": ["4"],
        "days_a_week": ["2"],
        "minutes": ["60"],
        "lifts[1].exercise": ["back squat"],
        "lifts[1].reps": ["4-6"],
        "supersets": ["yes"],
    }

    answer = post(browser, f"/t/{gym.trainee.id}/design/", typed)

    job = models.Job.objects.get()
    brief = read_brief(job.asked["brief"], "x")
    assert answer["Location"] == f"/jobs/{job.id}/"
    assert brief.start == date(2026, 9, 7) and brief.supersets and not brief.filler
    assert brief.rpe_is_default
    assert [(one.exercise, one.reps) for one in brief.lifts] == [("back_squat", (4, 6))]


def test_a_wrong_brief_stays_as_it_was_typed(gym: Any) -> None:
    typed = {"title": ["Autumn"], "weeks": ["40"], "lifts[1].exercise": ["back squat"], "lifts[1].reps": ["6-4"]}

    answer = post(gym.as_coach(), f"/t/{gym.trainee.id}/design/", typed)

    page = answer.content.decode()
    assert answer.status_code == 400 and not models.Job.objects.exists()
    assert input_value(page, "weeks") == "40" and input_value(page, "lifts[1].reps") == "6-4"
    for name in ("weeks", "lifts-1-reps", "days-a-week", "start"):
        assert f'id="f-{name}-wrong"' in page, name


def spoiled(value: Any) -> list[Any]:
    """A document with each of its values in turn turned into nonsense."""
    if isinstance(value, dict):
        return [{**value, key: bad} for key, one in value.items() for bad in spoiled(one)]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return [[*value[:place], bad, *value[place + 1 :]] for place, one in enumerate(value) for bad in spoiled(one)]
    return ["@"]


@pytest.mark.parametrize("kind", ["trainee", "place", "brief"])
def test_every_fault_of_a_file_finds_a_field(kind: str) -> None:
    """Each value of the templates, spoiled in turn, is said at a field of the form. Referee: the readers' own paths."""
    make, read = READERS[kind]
    form = make()
    lost, said = [], 0

    for table in spoiled(tomllib.loads(template_text(kind))):
        try:
            read(tomli_w.dumps(table))
        except InputFaults as error:
            found = Faults(form, form.typed_from(table), error.faults)
            lost += [one.path for one in found.elsewhere]
            said += len(found.by_name)

    assert said > 10
    assert not lost


def test_a_tampered_hidden_field_does_no_harm() -> None:
    form = place_form("kg")
    typed = typed_of({"name": ["Yard"], "_kept": ["not = [toml"]})

    assert form.table_from(typed)["name"] == "Yard"


def test_the_clinics_words_are_asked_in_plain_ones(gym: Any) -> None:
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/intake/").content.decode()

    assert "saddle numbness: numb between the legs, where a saddle would touch" in page
    assert 'value="saddle numbness"' in page
