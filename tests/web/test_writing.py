"""Writing a block: what was read stands beside each line, unsure names are proposed, rows become the same text."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from test_pages import finish_jobs

from setwright.plan.shorthand import read_block_text
from setwright.plan.shorthand_check import read_lines, with_name
from setwright.records import models
from setwright.records.data_base import block_of
from setwright.services.gather import catalogue
from setwright.web.forms.written import composed

MIXED = """Block: Spring
4 weeks
Monday
back squat 3 x 5-6 @ RPE 7, rest 3 min
deficit deadlifts of joy 3 x 5
bench 3 x 8
  2 x 12
curls 3 x banana
Thursday
# mind the elbow
pull-up 3 x max
"""


def test_a_good_line_says_what_it_became_beside_a_bad_one() -> None:
    """Referee: each line alone under a day, read by the reader of whole blocks."""
    read = read_lines(MIXED, catalogue())
    kinds = {one.number: one.kind for one in read.lines}

    alone = read_block_text("Monday\nback squat 3 x 5-6 @ RPE 7, rest 3 min", catalogue())
    squat = next(one for one in read.lines if one.number == 4)

    assert kinds[4] == "entry" and kinds[5] == "wrong" and kinds[7] == "more" and kinds[8] == "wrong"
    assert kinds[3] == kinds[9] == "heading" and kinds[10] == "note"
    assert squat.says.startswith(catalogue().get(alone.template.sessions[0].entries[0].exercise).name)
    assert "3 x 5-6" in squat.says and "rest 3 min" in squat.says


def test_what_a_line_says_reads_back_to_the_same_entry() -> None:
    """Referee: the reader itself, on what was said of each line."""
    read = read_lines(MIXED, catalogue())
    said = [one for one in read.lines if one.says]

    for one in said:
        again = read_lines(f"Monday\n{one.says}", catalogue())
        assert [line.says for line in again.lines if line.says] == [one.says]
    assert len(said) == 3


@pytest.mark.parametrize(
    "line",
    [
        "every minute on the minute for 10 min: 5 push-ups, 8 bodyweight squats",
        "5 rounds for time, cap 15 min: 12 kettlebell swings @ 16 kg, 10 sit-ups, 200 m run",
        "21-15-9 for time: kettlebell swings @ 16 kg, push-ups",
        "AMRAP 12 min: 10 push-ups",
        "every 90 s for 8 rounds: sled push 20 m",
        "circuit, 3 rounds, 40 s work, 20 s to change: sled push, plank, rower",
        "AMRAP 8 min: 6 dumbbell step-ups each side @ 10 kg, 200 m run",
        "bike 3 x 5 min, rest 3 min, 150-170 watts",
        "walk 20 min, talk test: whole sentences",
    ],
)
def test_a_bout_says_what_it_became_and_reads_back_to_it(line: str) -> None:
    """Referee: the reader itself, on the line as typed and on what was said of it."""
    said = [one.says for one in read_lines(f"Monday\n{line}", catalogue()).lines if one.says]
    typed, again = (
        [
            replace(one, written="")
            for one in read_block_text(f"Monday\n{text}", catalogue()).template.sessions[0].entries
        ]
        for text in (line, *said)
    )

    assert typed and again == typed
    assert " 0 s" not in said[0] and "300 s" not in said[0]


def test_the_heading_of_a_bout_says_its_format_beside_its_movements() -> None:
    text = "Monday\nAMRAP 12 min, talk test: a few words:\n- 10 kettlebell swings @ 16 kg\n- 8 push-ups"
    says = {one.number: one.says for one in read_lines(text, catalogue()).lines}

    assert says[2] == "as many rounds as possible in 12 min, talk test a few words"
    assert (says[3], says[4]) == ("kettlebell swing 10 reps @ 16 kg", "push-up 8 reps")


def test_an_unsure_name_is_proposed_and_taken_in_the_text_itself() -> None:
    line = next(one for one in read_lines(MIXED, catalogue()).lines if one.number == 5)
    assert line.name == "deficit deadlifts of joy" and line.proposals

    after = with_name(MIXED, 5, line.proposals[0].slug, catalogue())

    assert after.splitlines()[4] == f"{line.proposals[0].name} 3 x 5"
    assert after.splitlines()[:4] == MIXED.splitlines()[:4]
    assert not [one for one in read_lines(after, catalogue()).lines if one.number == 5 and one.faults]


def test_the_page_checks_without_keeping_anything(gym: Any) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/write/", {"text": MIXED, "start": "2026-09-07", "deed": "check"})

    page = answer.content.decode()
    assert answer.status_code == 200 and not models.Job.objects.exists()
    assert "Not all of it was understood" in page and "deficit deadlifts of joy" in page
    assert re.search(r'name="deed" value="meant:5:[a-z_]+"', page)


def test_a_text_that_is_not_understood_stays_on_the_page(gym: Any) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/write/", {"text": MIXED, "start": "soon", "deed": "keep"})

    page = answer.content.decode()
    assert answer.status_code == 400 and not models.Job.objects.exists()
    assert "curls 3 x banana</textarea>" in page.replace("\nThursday\n# mind the elbow\npull-up 3 x max\n", "")
    assert "a date like 2026-09-07" in page


def test_a_proposal_is_taken_by_a_button_without_javascript(gym: Any) -> None:
    browser, address = gym.as_coach(), f"/t/{gym.trainee.id}/write/"
    page = browser.post(address, {"text": MIXED, "start": "2026-09-07", "deed": "check"}).content.decode()
    (deed, *_) = re.findall(r'name="deed" value="(meant:5:[a-z_]+)"', page)

    after = browser.post(address, {"text": MIXED, "start": "2026-09-07", "deed": deed}).content.decode()

    assert "of joy" not in after.partition("<textarea")[2].partition("</textarea>")[0]


def test_a_first_line_that_is_no_exercise_can_be_the_title(gym: Any) -> None:
    text = "Springtime for legs\n2 weeks\nMonday\nback squat 3 x 5"
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/write/", {"text": text, "start": "2026-09-07", "deed": "title"})

    assert "Block: Springtime for legs" in answer.content.decode()


def test_rows_become_the_lines_of_a_text() -> None:
    """Referee: the same block typed by hand."""
    table = {
        "title": "Spring",
        "weeks": 2,
        "entries": [
            {"day": "thu", "exercise": "pullup", "sets": 3, "reps": "5-6", "effort": "RIR 2", "rest": "2 min"},
            {"day": "mon", "exercise": "back_squat", "sets": 3, "reps": "5", "effort": "80 kg", "rest": "180 s"},
            {"day": "mon", "exercise": "side_plank", "sets": 2, "reps": "30 s"},
        ],
    }
    by_hand = (
        "Block: Spring\n2 weeks\nMonday\nback squat 3 x 5 @ 80 kg, rest 3 min\nside plank 2 x 30 s\n"
        "Thursday\npull-up 3 x 5-6, RIR 2, rest 2 min\n"
    )

    made = composed(table, catalogue())

    one, other = read_block_text(made.text, catalogue()), read_block_text(by_hand, catalogue())
    for first, second in zip(one.template.sessions, other.template.sessions, strict=True):
        pairs = list(zip(first.entries, second.entries, strict=True))
        assert [a.exercise for a, _ in pairs] == [b.exercise for _, b in pairs]
        assert [a.schemes for a, _ in pairs] == [b.schemes for _, b in pairs]
    assert made.field_of_line[4 + 1] == "entries[2].exercise"


PIECES: list[dict[str, Any]] = [
    {"day": "mon", "format": "every-minute", "minutes": 10, "movements": "5 push-ups\n8 bodyweight squats"},
    {"day": "mon", "format": "rounds-for-time", "rounds": 5, "minutes": 15, "movements": "- 10 push-ups\n- 200 m run"},
    {"day": "thu", "format": "as-many-rounds", "minutes": 12, "movements": "10 kettlebell swings @ 16 kg"},
    {"day": "thu", "format": "circuit", "rounds": 3, "work": "40", "rest": "20 s", "movements": "plank\nrower"},
]


def test_pieces_of_conditioning_by_rows_become_the_same_bouts_as_by_hand() -> None:
    """Referee: the same block typed by hand."""
    by_hand = (
        "Block: Spring\n2 weeks\nMonday\nback squat 3 x 5\n\n"
        "every minute on the minute for 10 min: 5 push-ups, 8 bodyweight squats\n\n"
        "5 rounds for time, cap 15 min: 10 push-ups, 200 m run\n\nThursday\n"
        "as many rounds as possible in 12 min: 10 kettlebell swings @ 16 kg\n\n"
        "circuit, 3 rounds, 40 s work, 20 s to change: plank, rower\n"
    )
    squat = {"day": "mon", "exercise": "back_squat", "sets": 3, "reps": "5"}

    made = composed({"title": "Spring", "weeks": 2, "entries": [squat], "bouts": PIECES}, catalogue())

    one, other = read_block_text(made.text, catalogue()), read_block_text(by_hand, catalogue())
    first, second = (
        [[(entry.exercise, entry.bouts, entry.schemes) for entry in day.entries] for day in read.template.sessions]
        for read in (one, other)
    )
    assert sum(bool(bouts) for day in second for _, bouts, _ in day) == 7
    assert first == second


@pytest.mark.parametrize(
    ("piece", "typed"),
    [
        ({"format": "every-minute", "every": "90", "rounds": "4"}, "every 90 s for 4 rounds: 5 push-ups"),
        (
            {"format": "every-minute", "minutes": 6, "target": "a few words"},
            "every minute for 6 min, talk test a few words: 5 push-ups",
        ),
        (
            {"format": "rounds-for-time", "rounds": "21-15-9", "minutes": 9, "movements": "push-ups"},
            "21-15-9 for time, cap 9 min: push-ups",
        ),
        (
            {"format": "as-many-rounds", "minutes": 8, "target": "heart rate", "at": "140-150"},
            "as many rounds as possible in 8 min, heart rate 140-150: 5 push-ups",
        ),
        (
            {
                "format": "circuit",
                "rounds": "2",
                "work": "40 s",
                "rest": "20",
                "target": "max heart rate",
                "at": "70-80 %",
                "movements": "plank",
            },
            "circuit, 2 rounds, 40 s work, 20 s to change, 70-80 % of max heart rate:\n- plank",
        ),
        (
            {
                "format": "intervals",
                "rounds": "6",
                "work": "500 m",
                "rest": "2 min",
                "target": "pace per 500 m",
                "at": "2:05-2:10",
                "movements": "rower",
            },
            "rower 6 x 500 m, rest 2 min @ 2:05-2:10/500 m",
        ),
        (
            {
                "format": "intervals",
                "rounds": "3",
                "work": "5 min",
                "rest": "180",
                "target": "watts",
                "at": "150-170",
                "movements": "bike",
            },
            "bike 3 x 5 min, rest 3 min, 150-170 watts",
        ),
        (
            {"format": "steady", "minutes": 20, "target": "whole sentences", "movements": "walk"},
            "walk 20 min, talk test: whole sentences",
        ),
        (
            {"format": "steady", "work": "5 km", "target": "pace per km", "at": "6:30", "movements": "run"},
            "run 5 km at 6:30 per km",
        ),
        (
            {
                "format": "carries",
                "rounds": "6",
                "work": "20 m",
                "every": "90",
                "movements": "farmer carry @ 24 kg\nsled push @ 60 kg",
            },
            "farmer carry 6 x 20 m @ 24 kg every 90 s\nsled push 6 x 20 m @ 60 kg every 90 s",
        ),
    ],
)
def test_every_format_and_target_is_written_by_rows(piece: dict[str, Any], typed: str) -> None:
    """Referee: the same conditioning typed by hand."""
    made = composed({"weeks": 1, "bouts": [{"day": "mon", "movements": "5 push-ups", **piece}]}, catalogue())

    one, other = read_block_text(made.text, catalogue()), read_block_text(f"1 week\nMonday\n{typed}", catalogue())
    first, second = (
        [(entry.exercise, entry.part, entry.bouts, entry.schemes) for entry in read.template.sessions[0].entries]
        for read in (one, other)
    )
    assert made.faults == () and first == second and all(bouts for _, _, bouts, _ in second)


@pytest.mark.parametrize(
    ("piece", "field", "says"),
    [
        ({"format": "intervals", "work": "500 m", "rest": "2 min"}, "rounds", "how many"),
        ({"format": "intervals", "rounds": "6", "rest": "2 min"}, "work", "with its unit"),
        ({"format": "intervals", "rounds": "6", "work": "500"}, "work", "with its unit"),
        ({"format": "carries", "rounds": "6", "work": "20 m", "rest": "60", "every": "90"}, "every", "not both"),
        ({"format": "steady"}, "work", "with its unit"),
        ({"format": "steady", "minutes": 20, "rounds": "3"}, "rounds", "steady work has none"),
        ({"format": "steady", "minutes": 20, "target": "pace per 500 m"}, "at", "minutes and seconds"),
        ({"format": "steady", "minutes": 20, "target": "pace per 500 m", "at": "2"}, "at", "minutes and seconds"),
        ({"format": "steady", "minutes": 20, "target": "watts", "at": "5000-6000"}, "at", "10 to 1500 W"),
        ({"format": "steady", "minutes": 20, "at": "150"}, "at", "How hard"),
        ({"format": "as-many-rounds", "minutes": 8, "target": "heart rate", "at": "fast"}, "at", "a number"),
    ],
)
def test_what_a_row_of_conditioning_lacks_is_said_at_its_field(piece: dict[str, Any], field: str, says: str) -> None:
    made = composed({"bouts": [{"day": "mon", "movements": "rower", **piece}]}, catalogue())

    assert [(one.path, says in one.allowed) for one in made.faults] == [(f"bouts[1].{field}", True)]
    read = read_lines(made.text, catalogue())
    told = made.at_rows([*made.faults, *(fault for line in read.lines for fault in line.faults)])
    assert piece["format"] == "as-many-rounds" or told == made.faults


@pytest.mark.parametrize(
    ("piece", "field", "says"),
    [
        ({"format": "every-minute"}, "format", "every minute on the minute for 10 min"),
        ({"format": "as-many-rounds", "rounds": 3}, "format", "as many rounds as possible in 12 min"),
        ({"format": "every-minute", "minutes": 10, "rounds": 3}, "format", "a heading like"),
        ({"format": "circuit", "rounds": 3}, "format", "5 s to 20 min of work"),
        ({"format": "circuit", "rounds": 3, "work": "long"}, "format", "circuit, 3 rounds, 40 s work"),
        ({"format": "rounds-for-time", "rounds": 3, "movements": "8 squats\n5 burly flurries"}, "movements", "name"),
        ({"format": "rounds-for-time", "rounds": 3, "movements": ""}, "format", "its movements"),
    ],
)
def test_a_wrong_piece_of_conditioning_is_said_at_its_field(piece: dict[str, Any], field: str, says: str) -> None:
    made = composed({"bouts": [{"day": "mon", "movements": "5 push-ups", **piece}]}, catalogue())

    read = read_lines(made.text, catalogue())
    found = made.at_rows([*read.faults, *(fault for line in read.lines for fault in line.faults)])

    assert [(one.path, says in one.allowed) for one in found] == [(f"bouts[1].{field}", True)]


def test_a_row_without_a_name_says_so_in_the_words_of_a_form() -> None:
    made = composed({"entries": [{"day": "mon", "sets": 3, "reps": "5"}]}, catalogue())

    read = read_lines(made.text, catalogue())
    (found,) = made.at_rows([*read.faults, *(fault for line in read.lines for fault in line.faults)])

    assert (found.path, found.found) == ("entries[1].exercise", "no name")
    assert "setwright" not in found.hint


def test_a_wrong_row_is_said_at_the_row(gym: Any) -> None:
    typed = {
        "door": "rows",
        "deed": "keep",
        "title": "Spring",
        "weeks": "2",
        "start": "2026-09-07",
        "entries[1].day": "mon",
        "entries[1].exercise": "back squat",
        "entries[1].sets": "3",
        "entries[1].reps": "5",
        "entries[3].day": "mon",
        "entries[3].exercise": "squish squash",
        "entries[3].sets": "3",
        "entries[3].reps": "5",
    }

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/write/", typed)

    page = answer.content.decode()
    assert answer.status_code == 400
    assert 'id="f-entries-3-exercise-wrong"' in page and 'id="f-entries-1-exercise-wrong"' not in page
    assert 'value="squish squash"' in page


def test_a_new_row_is_of_the_day_above_it(gym: Any) -> None:
    """Common practice, no published source: a session is written from top to bottom."""
    typed = {"door": "rows", "entries[1].day": "thu", "entries[1].exercise": "pull-up", "more": "entries"}

    page = gym.as_coach().post(f"/t/{gym.trainee.id}/write/", typed).content.decode()

    row = page.partition('name="entries[2].day"')[2].partition("</select>")[0]
    assert '<option value="thu" selected>' in row


def test_rows_become_a_block_that_waits_for_the_coach(gym: Any) -> None:
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    typed = {
        "door": "rows",
        "deed": "keep",
        "title": "By rows",
        "weeks": "1",
        "start": "2026-09-07",
        "entries[1].day": names[gym.today.weekday()],
        "entries[1].exercise": "back squat",
        "entries[1].sets": "3",
        "entries[1].reps": "5",
        "entries[1].effort": "RPE 7",
    }

    gym.as_coach().post(f"/t/{gym.trainee.id}/write/", typed)
    (job,) = finish_jobs()

    assert job.state == "done", job.result
    block = block_of(gym.trainee.revisions.get(block=job.result["block"]))
    assert block.title == "By rows"
    entries = [one for part in block.weeks[0].sessions[0].parts if part.part != "warm-up" for one in part.entries]
    assert [one.exercise for one in entries] == ["back_squat"]
