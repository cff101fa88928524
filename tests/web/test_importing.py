"""An old log comes in: nothing is kept before the coach takes it, every fault is shown, a second time adds nothing."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import Workbook

from setwright.faults import InputFaults
from setwright.records import models
from setwright.services.desk.importing import read_sheet

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

    found = read_sheet("old.xlsx", data.getvalue())

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
        read_sheet("old", data)


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

    found = read_sheet("old.csv", text.encode())

    assert found.header == ("Date", "Exercise", "Load")
    assert found.rows[0] == ("3.2.2026", "squat", "72,5") and found.first == 4
    assert found.rows[6 - found.first][0] == "31.2.2026" and len(found.rows) == 3
