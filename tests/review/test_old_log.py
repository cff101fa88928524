"""An old spreadsheet: columns are guessed and shown, dates are read as they were written, every fault is named.

Referees: tables typed by hand with what a coach would read in them; the reader of log files for every row.
"""

from __future__ import annotations

from datetime import date

import pytest

from setwright.catalogue.load import catalogue
from setwright.review.old_log import LEFT_OUT, Columns, Sheet, date_of, guessed_columns, order_of, read_old_log

TODAY = date(2026, 11, 28)


def sheet(text: str) -> Sheet:
    """A table from lines with ``|`` between cells."""
    header, *rows = [tuple(cell.strip() for cell in line.split("|")) for line in text.strip().splitlines()]
    return Sheet(header, tuple(rows))


def read(text: str, **more: object) -> object:
    """What a table becomes under the guessed mapping, changed as said."""
    from dataclasses import replace

    table = sheet(text)
    return read_old_log(table, replace(guessed_columns(table), **more), catalogue(), TODAY)  # type: ignore[arg-type]


def test_columns_are_guessed_by_their_names() -> None:
    found = guessed_columns(sheet("Date|Exercise|Weight (lbs)|Reps|Sets|RPE|Notes|Mood\n|||||||"))

    assert found.fields == ("date", "exercise", "load", "reps", "sets", "rpe", "note", "")
    assert found.unit == "lb"


def test_a_published_log_is_mapped_onto_itself() -> None:
    found = guessed_columns(sheet("date|week|session|exercise|set|load_kg|reps|rir|hold_s|note\n|||||||||"))

    assert found.fields == ("date", "", "session", "exercise", "set", "load", "reps", "rir", "hold_s", "note")


@pytest.mark.parametrize(
    ("text", "order", "wanted"),
    [
        ("03/02/2026", "day first", date(2026, 2, 3)),
        ("03/02/2026", "month first", date(2026, 3, 2)),
        ("3.2.26", "day first", date(2026, 2, 3)),
        ("2026-02-03", "day first", date(2026, 2, 3)),
        ("2026/2/3", "year first", date(2026, 2, 3)),
        ("31/02/2026", "day first", None),
        ("Tuesday", "day first", None),
    ],
)
def test_dates_are_read_as_they_were_written(text: str, order: str, wanted: date | None) -> None:
    """ISO 8601 leaves no doubt; the others hang on the order."""
    assert date_of(text, order) == wanted  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("dates", "wanted"),
    [
        (["03/02/2026", "15/02/2026"], "day first"),
        (["03/02/2026", "02/15/2026"], "month first"),
        (["2026-02-03"], "year first"),
        (["2026-02-03", "3/4/26", "13/4/26"], "day first"),
        (["2026-02-03", "3/4/26", "4/13/26"], "month first"),
        (["03/02/2026"], "day first"),
    ],
)
def test_the_first_date_without_doubt_says_the_order(dates: list[str], wanted: str) -> None:
    table = Sheet(("Date", "Exercise"), tuple((one, "squat") for one in dates))

    assert order_of(table, guessed_columns(table)) == wanted


def test_several_sets_may_stand_in_one_row() -> None:
    """3 x 5 is three sets of five; 5,5,4 are three sets; a column of sets says how many."""
    found = read(
        """
        Date | Exercise | Weight kg | Sets | Reps | RPE
        2026-02-03 | back squat | 100 | 3 | 5 | 7
        2026-02-03 | bench press | 60 | | 5,5,4 | 8.5
        2026-02-03 | pull-up | BW+10 | | 3x5 |
        """
    )

    told = [(one.exercise, one.set, one.load_kg, one.reps, one.rir) for one in found.log.sets]
    assert told == [
        *(("back_squat", number, 100.0, 5, 3.0) for number in (1, 2, 3)),
        *(("bench_bb", number, 60.0, reps, 1.5) for number, reps in ((1, 5), (2, 5), (3, 4))),
        *(("pullup", number, 10.0, 5, None) for number in (1, 2, 3)),
    ]
    assert not found.faults and not found.unsettled


def test_an_empty_date_or_exercise_is_that_of_the_row_above() -> None:
    text = """
        Date | Exercise | Weight | Reps
        2026-02-03 | back squat | 100 | 5
        | | 105 | 5
        | deadlift | 120 | 3
        2026-02-05 | | 60 | 5
    """

    above, alone = read(text), read(text, same_as_above=False)

    assert [(one.date.day, one.exercise) for one in above.log.sets] == [
        (3, "back_squat"),
        (3, "back_squat"),
        (3, "deadlift"),
    ]
    assert len(alone.log.sets) == 1
    assert [one.path for one in alone.faults] == ["row 3, column A (Date): date", "row 4, column A (Date): date"]


def test_pounds_are_pounds() -> None:
    """1 lb = 0.45359237 kg. Referee: international agreement of 1959, from memory."""
    found = read("Date|Exercise|lb|Reps\n2026-02-03|back squat|225|5\n2026-02-03|back squat|100 kg|5")

    assert [one.load_kg for one in found.log.sets] == pytest.approx([225 * 0.45359237, 100.0])


def test_every_fault_is_named_with_the_row_of_the_table() -> None:
    found = read(
        """
        Date | Exercise | Weight | Reps | RPE
        2026-02-03 | back squat | heavy | 5 |
        someday | back squat | 100 | 5 |
        2026-02-03 | back squat | 100 | many |
        2026-02-03 | back squat | 100 | 5 | 12
        2026-02-03 | back squat | 100 | 5 | 8
        """
    )

    assert [one.path for one in found.faults] == [
        "row 2, column C (Weight): load",
        "row 3, column A (Date): date",
        "row 4, column D (Reps): reps",
        "row 5, column E (RPE): rpe",
    ]
    assert [one.reps for one in found.log.sets] == [5]


def test_unknown_names_wait_for_an_answer() -> None:
    text = "Date|Exercise|Reps\n2026-02-03|Steve's special|5\n2026-02-04|Steve's special|5\n2026-02-03|back squat|5"
    waits = read(text)
    answered = read(text, names={"Steve's special": "front_squat"})
    left = read(text, names={"Steve's special": LEFT_OUT})

    assert [(one.text, one.rows) for one in waits.unsettled] == [("Steve's special", 2)]
    assert len(waits.log.sets) == 1
    assert [one.exercise for one in answered.log.sets] == ["back_squat", "front_squat", "front_squat"]
    assert left.left_out == 2 and len(left.log.sets) == 1 and not left.unsettled


def test_what_a_row_says_of_its_session_counts_once() -> None:
    found = read(
        """
        Date | Exercise | Reps | Session RPE | Minutes
        2026-02-03 | back squat | 5 | 7 | 55
        2026-02-03 | back squat | 5 | 7 | 55
        """
    )

    assert [(one.session_rpe, one.minutes) for one in found.log.sessions] == [(7.0, 55.0)]
    assert len(found.log.sets) == 2


def test_a_table_without_dates_says_what_is_missing() -> None:
    found = read_old_log(sheet("Lift|Reps\nsquat|5"), Columns(("exercise", "reps")), catalogue(), TODAY)

    assert [one.path for one in found.faults] == ["column 'date'"]


def test_what_would_be_done_after_today_is_a_fault_of_its_row() -> None:
    """A year typed wrong would else stand as the newest set there is."""
    found = read("Date|Exercise|Weight|Reps\n28.11.2026|squat|100|5\n|||\n29.11.2026|squat|100|5")

    assert [one.date for one in found.log.sets] == [TODAY]  # type: ignore[attr-defined]
    (fault,) = found.faults  # type: ignore[attr-defined]
    assert fault.path == "row 4, column A (Date): date" and fault.allowed == "a day from 1946 up to today, 2026-11-28"


@pytest.mark.parametrize(
    "text",
    [
        *("3 Feb 2026", "Tue 3 Feb 26", "3-Feb-2026", "Feb 3rd, 2026", "February 3 2026", "2026 Feb 3"),
        *("3. Februar 2026", "mardi 3 février 2026", "3 de feb. 2026", "46056", "46056.75", "2026-02-03 18:30"),
    ],
)
def test_a_date_in_words_or_as_the_number_of_a_spreadsheet_leaves_no_doubt(text: str) -> None:
    """Referee: a calendar; 3 February 2026 is a Tuesday.

    openpyxl counts day 46056 of the 1900 system as 2026-02-03.
    """
    from openpyxl.utils.datetime import from_excel

    assert from_excel(46056).date() == date(2026, 2, 3)
    assert date_of(text, "month first") == date_of(text, "day first") == date(2026, 2, 3)


@pytest.mark.parametrize("text", ["17/02", "3 Feb", "Week 4", "31 Feb 2026", "12345", "Total"])
def test_what_names_no_whole_day_is_no_date(text: str) -> None:
    assert date_of(text, "day first") is None


def test_what_stands_behind_an_at_is_a_load_or_an_effort_and_never_guessed() -> None:
    text = """
        Date | Exercise | Sets x Reps
        2026-02-03 | back squat | 3x5 @ 80
        2026-02-04 | back squat | 5 @ 175 lb
        2026-02-05 | back squat | 2x5 @RPE 8
        2026-02-06 | back squat | 2x5 @8
    """

    found = read(text)

    assert [(one.date.day, one.reps, one.load_kg, one.rir) for one in found.log.sets] == [
        *[(3, 5, 80.0, None)] * 3,
        (4, 5, pytest.approx(175 * 0.45359237), None),
        *[(5, 5, None, 2.0)] * 2,
    ]
    (fault,) = found.faults
    assert fault.path == "row 5, column C (Sets x Reps): reps" and fault.allowed == "2x5 @ RPE 8, or 2x5 @ 8 kg"


def test_a_comma_before_three_digits_is_asked_about() -> None:
    found = read("Date|Exercise|Weight|Reps\n2026-02-03|deadlift|1,250|5\n2026-02-03|deadlift|72,5|5")

    assert [one.load_kg for one in found.log.sets] == [72.5]
    assert [one.hint for one in found.faults] == ["Write it without the comma, or with a point."]


def test_less_than_the_body_is_help_and_more_is_added() -> None:
    found = read("Date|Exercise|Weight|Reps\n2026-02-03|pull up|BW-20|5\n2026-02-03|pull up|BW + 7,5 kg|5")

    assert [(one.load_kg, one.load_means) for one in found.log.sets] == [(20.0, "assistance"), (7.5, None)]


def test_the_names_of_the_columns_may_come_again() -> None:
    found = read("Date|Exercise|Reps\n2026-02-03|back squat|5\n|||\nDate|Exercise|Reps\n2026-03-03|back squat|5")

    assert len(found.log.sets) == 2 and not found.faults
