"""An old log comes in: nothing is kept before the coach takes it, every fault is shown, a second time adds nothing."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import Workbook

from setwright.faults import InputFaults
from setwright.publish.csv_file import log_csv
from setwright.records import models
from setwright.records.data_base import log_of
from setwright.review.log_file import read_log
from setwright.services.desk.importing import read_sheets
from setwright.services.gather import catalogue

TABLE = """Date;Exercise;Weight;Reps;RPE
03.02.2026;back squat;70;5;7
;;72,5;5;8
15.02.2026;deficit deads of joy;90;5;8
"""


def uploaded(gym: Any, data: bytes = TABLE.encode(), name: str = "old.csv") -> str:
    """Uploads a table; gives the address of its mapping page."""
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/import/", {"file": SimpleUploadedFile(name, data)})
    assert answer.status_code == 302, answer.content.decode()
    return str(answer["Location"])


def mapping(page: str, **more: str) -> dict[str, str]:
    """What a browser would send from the mapping page."""
    found = dict(re.findall(r'<input type="hidden" name="(name-\d+)" value="([^"]*)"', page))
    for select in re.findall(r"<select.*?</select>", page, re.DOTALL):
        (name,) = re.findall(r'name="([^"]+)"', select)
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', select)
        if chosen:
            found[name] = chosen[1] if chosen[1] is not None else chosen[2]
    return {**found, "same": "yes", **more}


def test_nothing_is_in_the_log_before_it_is_taken(gym: Any) -> None:
    browser, address = gym.as_coach(), uploaded(gym)

    page = browser.get(address).content.decode()

    assert "2 sets" in page and "deficit deads of joy" in page
    assert not gym.trainee.log_rows.exists()


def test_an_unsettled_name_holds_everything_up_until_it_is_answered(gym: Any) -> None:
    browser, address = gym.as_coach(), uploaded(gym)
    page = browser.get(address).content.decode()

    refused = browser.post(address, mapping(page, deed="take"))
    assert refused.status_code == 400 and not gym.trainee.log_rows.exists()
    assert "1 name below needs your answer. Answer, or correct" in " ".join(refused.content.decode().split())
    browser.post(address, mapping(page, deed="take", **{"typed-1": "conventional deadlift"}))

    rows = [one.data for one in gym.trainee.log_rows.order_by("day", "id")]
    assert [(one["date"], one["exercise"], one["load_kg"], one["rir"]) for one in rows] == [
        ("2026-02-03", "back_squat", 70.0, 3.0),
        ("2026-02-03", "back_squat", 72.5, 2.0),
        ("2026-02-15", "deadlift", 90.0, 2.0),
    ]
    assert not gym.trainee.documents.filter(kind="import").exists()


def test_what_is_wrong_can_be_left_out_on_purpose(gym: Any) -> None:
    browser, address = gym.as_coach(), uploaded(gym)

    browser.post(address, mapping(browser.get(address).content.decode(), deed="take", without="yes"))

    assert gym.trainee.log_rows.count() == 2


def test_the_same_table_twice_adds_nothing(gym: Any) -> None:
    browser = gym.as_coach()
    for _ in range(2):
        address = uploaded(gym)
        browser.post(address, mapping(browser.get(address).content.decode(), deed="take", without="yes"))

    assert gym.trainee.log_rows.count() == 2


def test_a_table_that_is_thrown_away_leaves_nothing(gym: Any) -> None:
    browser, address = gym.as_coach(), uploaded(gym)

    browser.post(address, {"deed": "away"})

    assert not gym.trainee.documents.filter(kind="import").exists() and not gym.trainee.log_rows.exists()
    assert browser.get(address).status_code == 404


def test_a_workbook_says_the_same_as_its_csv(gym: Any) -> None:
    """Referee: openpyxl, which wrote it."""
    book = Workbook()
    for line in (["Date", "Lift", "kg", "Reps"], [date(2026, 2, 3), "back squat", 72.5, 5], [None, None, 75, 4]):
        book.active.append(line)
    data = io.BytesIO()
    book.save(data)

    (found,) = read_sheets("old.xlsx", data.getvalue())

    assert found.header == ("Date", "Lift", "kg", "Reps")
    assert found.rows == (("2026-02-03", "back squat", "72.5", "5"), ("", "", "75", "4"))


def zip_of(size: int) -> bytes:
    """A workbook-like file that unpacks to so many bytes."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/sheet1.xml", b"0" * size)
    return data.getvalue()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "no rows"),
        (b"Date,Exercise\n", "no rows"),
        (b"\xd0\xcf\x11\xe0" + b"\x00" * 100, "Save it as CSV or XLSX"),
        (b"PK\x03\x04 no zip at all", "can't be opened"),
        (zip_of(70_000_000), "unpacks to too much"),
        (b"x" * 5_000_001, "at most 5 MB"),
        (b"a,b\n" + b"1,2\n" * 20_001, "at most 20000"),
    ],
    ids=["empty", "header only", "old format", "broken", "bomb", "large", "long"],
)
def test_a_file_that_is_no_table_is_refused_with_a_reason(data: bytes, says: str) -> None:
    with pytest.raises(InputFaults, match=says):
        read_sheets("old", data)


def test_a_wrong_file_stays_on_the_page_with_its_reason(gym: Any) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/import/", {"text": "just words"})

    assert answer.status_code == 400
    assert "just words</textarea>" in answer.content.decode() and "no rows" in answer.content.decode()


def test_a_pasted_table_is_read_with_its_tabs(gym: Any) -> None:
    text = "Date\tExercise\tReps\n2026-02-03\tback squat\t5\n"

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/import/", {"text": text})

    assert "1 set<" in gym.as_coach().get(answer["Location"]).content.decode()


def test_an_upload_is_erased_with_its_person(gym: Any) -> None:
    from setwright.records.erasing import erase_trainee

    uploaded(gym)

    erase_trainee(gym.trainee)

    assert not models.Document.objects.filter(kind="import").exists()


def test_a_strangers_upload_is_not_there(gym: Any) -> None:
    address = uploaded(gym)

    assert gym.as_stranger().get(address).status_code == 404
    assert gym.as_trainee().get(address).status_code == 404
    assert gym.as_stranger().post(address, {"deed": "away"}).status_code == 404
    assert gym.as_coach().get(address).status_code == 200


def test_a_title_and_empty_rows_change_neither_the_columns_nor_the_numbers_of_the_rows() -> None:
    """Referee: the row numbers that a spreadsheet shows for this text, counted by hand."""
    text = "Log of Ode, 2026, all of it\n\nDate;Exercise;Load\n3.2.2026;squat;72,5\n\n31.2.2026;squat;75,0\n\n"

    (found,) = read_sheets("old.csv", text.encode())

    assert found.header == ("Date", "Exercise", "Load")
    assert found.rows[0] == ("3.2.2026", "squat", "72,5") and found.first == 4
    assert found.rows[6 - found.first][0] == "31.2.2026" and len(found.rows) == 3


def messy_workbook() -> bytes:
    """Two sheets of sets and one of words: a title over merged cells, dates in three ways, a formula never counted."""
    book = Workbook()
    squat = book.active
    squat.title = "Squat"
    squat.append(["LOG OF NOBODY"])
    squat.merge_cells("A1:D1")
    for line in (
        [],
        ["Date", "Lift", "Weight", "Sets x Reps"],
        [date(2026, 2, 3), "back squat", "72,5", "2x5"],
        [None, None, "=C4+5", 5],
        ["10 Feb 2026", "thingamajig press", 40, 5],
        [46066, "deadlift", "225 lb", 3],
    ):
        squat.append(line)
    squat.merge_cells("A4:A5")
    bench = book.create_sheet("Bench")
    bench.append(["When", "Exercise", "lb", "Reps"])
    bench.append([date(2026, 3, 1), "bench press", 185, 5])
    book.create_sheet("Words").append(["only words"])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def test_each_sheet_of_a_workbook_waits_on_its_own(gym: Any) -> None:
    browser = gym.as_coach()

    answer = browser.post(
        f"/t/{gym.trainee.id}/import/", {"file": SimpleUploadedFile("old.xlsx", messy_workbook())}, follow=True
    )

    page = answer.content.decode()
    assert "old.xlsx, sheet &#x27;Squat&#x27;" in page and "sheet &#x27;Bench&#x27;" in page and "Words" not in page
    assert gym.trainee.documents.filter(kind="import").count() == 2 and not gym.trainee.log_rows.exists()


def test_a_fault_of_a_workbook_names_sheet_row_column_what_was_found_and_what_is_allowed(gym: Any) -> None:
    """A formula that was never counted has no value in the file: it is a fault, never an empty load."""
    from setwright.review.old_log import guessed_columns
    from setwright.services.desk.importing import keep_upload, take_in

    squat, _ = read_sheets("old.xlsx", messy_workbook())
    slug = keep_upload(gym.trainee, "old.xlsx", squat, gym.coach.user)

    with pytest.raises(InputFaults) as wrong:
        take_in(gym.trainee, slug, guessed_columns(squat), False, gym.coach.user)

    unsettled, formula = (one.sentence() for one in wrong.value.faults)
    assert unsettled.startswith("old.xlsx, sheet 'Squat': row 6: exercise: found 'thingamajig press', in 1 row;")
    assert formula.startswith(
        "old.xlsx, sheet 'Squat': row 5, column C (Weight): load: found the formula '=C4+5' without its value;"
    )
    assert not gym.trainee.log_rows.exists()


def test_an_accepted_workbook_stands_in_the_history(gym: Any) -> None:
    browser = gym.as_coach()
    browser.post(f"/t/{gym.trainee.id}/import/", {"file": SimpleUploadedFile("old.xlsx", messy_workbook())})
    for kept in list(gym.trainee.documents.filter(kind="import").order_by("id")):
        address = f"/t/{gym.trainee.id}/import/{kept.slug}/"
        browser.post(address, mapping(browser.get(address).content.decode(), deed="take", without="yes"))

    rows = [one.data for one in gym.trainee.log_rows.order_by("day", "id")]
    assert [(one["date"], one["exercise"], one["load_kg"]) for one in rows] == [
        *[("2026-02-03", "back_squat", 72.5)] * 2,
        ("2026-02-13", "deadlift", pytest.approx(225 * 0.45359237)),
        ("2026-03-01", "bench_bb", pytest.approx(185 * 0.45359237)),
    ]
    history = browser.get(f"/t/{gym.trainee.id}/history/").content.decode()
    assert re.search(r"log rows kept, 3 February 2026 to (13 February|1 March) 2026", history)
    own = gym.as_trainee().get("/me/progress/").content.decode()
    assert "72.5 kg" in own and "13 February 2026" in own


def test_a_log_of_the_program_itself_comes_back_whole(gym: Any) -> None:
    """Referee: the reader of logs, on the same text: bouts with scores, heart rates and dials are rows of it."""
    text = (
        "date,week,session,exercise,set,dials,load_kg,load_means,reps,rir,session_rpe,minutes,bout,score,heart_rate\r\n"
        "2026-02-03,1,tue,back_squat,1,tempo=3-1-1-0,70,total,5,2,,,,,\r\n"
        "2026-02-03,1,tue,,,,,,,,6,,A,9:30,148\r\n"
        "2026-02-03,1,tue,,,,,,,,7,45,,,\r\n"
    )
    browser, address = gym.as_coach(), uploaded(gym, text.encode(), "log.csv")
    page = browser.get(address).content.decode()
    assert "Which column says what" not in page and "every column is read as it stands" in page

    browser.post(address, {"deed": "take"})

    kept = log_csv(log_of(gym.trainee, catalogue())).decode()
    assert "A,9:30,148" in kept and "tempo" in kept
    back, given = (read_log(one, "log.csv", catalogue()) for one in (kept, text))
    assert len(given.sets) == 1 and [replace(one, row="") for one in back.sets] == list(given.sets)
    assert len(given.sessions) == 2 and [replace(one, row="") for one in back.sessions] == list(given.sessions)
