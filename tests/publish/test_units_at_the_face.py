"""Every face speaks the unit of the place: sheets, pages, terminal, calendar, logs, estimates, changes.

Referee for the pound: NIST Special Publication 811, appendix B: 1 lb = 0.453 592 37 kg exactly (memory).
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from datetime import UTC, date, datetime, time
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_block import GYM, PERSON, made_block

from setwright.catalogue.load import catalogue
from setwright.dose.implements import loads_in
from setwright.faults import InputFaults
from setwright.people.place import Bar, Counted, Place, Stack
from setwright.people.trainee import Baseline
from setwright.plan.block import Block, Change, Unmet
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.design import design_block
from setwright.publish import words
from setwright.publish.block_file import block_to_json
from setwright.publish.calendar_file import block_calendar
from setwright.publish.changes_report import changes_page
from setwright.publish.csv_file import empty_log_csv, planned_csv
from setwright.publish.page import block_page, notes_page, session_page
from setwright.publish.sheet import base, pdf, plates_of, section, session_data, session_pdf
from setwright.publish.strength_report import report_html
from setwright.publish.strength_words import of_all
from setwright.publish.terminal import WIDTH, block_text, changes_text, session_text
from setwright.publish.units import in_unit, mass_text, number_text, pieces_in_unit
from setwright.publish.words import block_unit
from setwright.review.log_file import read_log
from setwright.services.comparing import comparison_text
from setwright.services.show import estimate_text, review_text
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

LB = Decimal("0.45359237")
STAMP = datetime(2026, 9, 7, tzinfo=UTC)
PLATES_LB = (45, 35, 25, 10, 5, 2.5, 1.25)


def kept(pounds: float) -> float:
    """A mass as a place file keeps it: kilograms to a tenth of a gram."""
    return float(round(Decimal(str(pounds)) * LB, 4))


POUND_GYM = Place(
    "gym",
    "Invented pound gym",
    bars=(Bar("barbell", kept(45)), Bar("hexbar", kept(55))),
    plates=tuple(Counted(kept(pounds), 6 if pounds == 45 else 4) for pounds in PLATES_LB),
    dumbbells=tuple(Counted(kept(pounds), 2) for pounds in range(5, 105, 5)),
    stacks=(Stack("cable", kept(10), kept(10), kept(200)),),
    fixtures=GYM.fixtures,
    unit="lb",
    invented=True,
)
BASELINES = (
    Baseline(date(2026, 8, 24), "back_squat", kept(225), 5, 2),
    Baseline(date(2026, 8, 26), "bench_bb", kept(155), 6, 2),
)
POUND_PERSON = replace(PERSON, baselines=BASELINES)
BRIEF = Brief(
    "pound-brief", "Invented pounds", 4, 2, 60, date(2026, 9, 7), lifts=(LiftWish("back_squat", (4, 6), 3, 1),)
)


@cache
def pound_block() -> Block:
    estimates = estimate_lifts(POUND_PERSON, catalogue(), BASELINES, Log(), BRIEF.start)
    block = design_block(POUND_PERSON, (POUND_GYM,), BRIEF, catalogue(), estimates, limit=1.0)
    changes = (
        Change(
            1, "mon", "squat", "back squat, 3 x 5, 174.636 kg", "back squat, 3 x 5, 165.564 kg", "74.844 kg is safe"
        ),
    )
    return replace(block, changes=changes, unmet=(Unmet("squat of 174.636 kg", "between 95 and 108 kg fits"),))


def squat_day(block: Block) -> str:
    """The first day with the squat that the brief asks for: a bar, so plates."""
    return next(
        session.day
        for session in block.weeks[0].sessions
        for part in session.parts
        for entry in part.entries
        if entry.exercise == "back_squat"
    )


@pytest.mark.parametrize("pounds", [*PLATES_LB, 55, 100, 17.5, 22.5])
def test_a_pound_plate_says_its_own_number(pounds: float) -> None:
    assert mass_text(kept(pounds), "lb") == f"{pounds:g} lb"


def test_every_load_of_a_pound_bar_is_the_sum_of_its_plates() -> None:
    """Referee: the sums in pounds themselves. Each load is a sum of masses rounded to the gram."""
    built = loads_in(POUND_GYM, catalogue().get("back_squat"))
    assert len(built) > 150
    for one in built:
        pieces = pieces_in_unit(one.pieces, "lb", "lb")
        side = [float(plate["text"]) for plate in plates_of(pieces, "lb")]
        assert set(side) <= set(PLATES_LB), pieces
        assert mass_text(one.load_kg, "lb") == f"{45 + 2 * sum(side):g} lb"


def test_kilograms_have_two_decimals_at_most_and_no_needless_zero() -> None:
    assert [mass_text(kg) for kg in (174.636, 18.1437, 82.5, 20.0, 100, 1.25, 0)] == [
        "174.64 kg",
        "18.14 kg",
        "82.5 kg",
        "20 kg",
        "100 kg",
        "1.25 kg",
        "0 kg",
    ]


@given(st.floats(0.0, 400.0))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_printing_pounds_moves_a_load_by_no_more_than_a_twentieth_of_a_pound(kg: float) -> None:
    """Tolerance: half of the tenth that is printed; less than any plate. Referee: exact decimal arithmetic."""
    assert abs(Decimal(number_text(kg, "lb")) - Decimal(kg) / LB) <= Decimal("0.0501")


@pytest.mark.parametrize(
    ("said", "pounds"),
    [
        (
            "Find your load: start here, then 74.844 kg, and stop where 4 are left. It lies between 68.2 and 74.8 kg.",
            "Find your load: start here, then 165 lb, and stop where 4 are left. It lies between 150 and 165 lb.",
        ),
        ("102.058 kg as written can't be built here.", "225 lb as written can't be built here."),
        ("The next load, 22.68 kg, is 12 % heavier: more reps instead.", None),
        ("back squat, 4 x 5-6, 61.235 kg", "back squat, 4 x 5-6, 135 lb"),
        ("60 to 80 kg", "132 to 176 lb"),
        ("60-80 kg", "132-176 lb"),
        ("between 17 and 25 kg", "between 37 and 55 lb"),
        ("1.134 to 20.412 kg", "2.5 to 45 lb"),
        ("between 3.1 and 3.2 kg", "between 6.8 and 7.1 lb"),
        ("+ 20.412 + 2.268 kg plate", "+ 45 + 5 lb plate"),
        (
            "+0.5 kg a week (between -0.1 and +1.0); one-repetition maximum now between 95 and 108 kg.",
            "+1.1 lb a week (between -0.2 and +2.2); one-repetition maximum now between 209 and 238 lb.",
        ),
        ("a 20.412-kg plate and 4.536kg more", "a 45-lb plate and 10lb more"),
        (
            "3 x 20 m, 90 s rest, RPE 8, pain 2 of 10, 60 degrees",
            "3 x 20 m, 90 s rest, RPE 8, pain 2 of 10, 60 degrees",
        ),
        ("27 kg/m2 is no load", "27 kg/m2 is no load"),
        ("8 a side, then 10 a side", "8 a side, then 10 a side"),
        ("kg", "kg"),
    ],
)
def test_a_sentence_speaks_one_unit(said: str, pounds: str | None) -> None:
    made = in_unit(said, "lb")

    assert made == (pounds or "The next load, 50 lb, is 12 % heavier: more reps instead.")
    assert in_unit(made, "lb") == made


def test_a_sentence_in_kilograms_only_loses_needless_decimals() -> None:
    assert in_unit("then 74.844 kg, between 68.2 and 74.8 kg", "kg") == "then 74.84 kg, between 68.2 and 74.8 kg"
    assert in_unit("225 lb as written", "kg") == "102.06 kg as written"


@given(st.text(alphabet="0123456789 .+-kglb/abetwn,", max_size=40))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_no_sentence_breaks_the_rewriting_and_twice_is_once(text: str) -> None:
    once = in_unit(text, "lb")

    assert in_unit(once, "lb") == once
    assert re.search(r"(?<![\w.])\d+(\.\d+)? kg\b(?!/)", once) is None


@pytest.mark.parametrize(
    ("kept_as", "own", "shown", "said"),
    [
        ("20.412 + 11.34 + 4.536 a side", "lb", "lb", "45 + 25 + 10 a side"),
        ("20.412 + 11.34 a side, collars", "lb", "kg", "45 + 25 lb a side, collars"),
        ("20 + 1.25 a side", "kg", "lb", "20 + 1.25 kg a side"),
        ("20 + 1.25 a side", "kg", "kg", "20 + 1.25 a side"),
        ("9.072 on the end", "lb", "lb", "20 on the end"),
        ("2 dumbbells of 18.1437 kg", "lb", "lb", "2 dumbbells of 40 lb"),
        ("2 dumbbells of 20 kg", "kg", "lb", "2 dumbbells of 20 kg"),
        ("pin at 45.359 + 2.268", "lb", "lb", "pin at 100 + 5"),
        ("pin at 45 + 2.5", "kg", "lb", "pin at 45 + 2.5 kg"),
        ("+ 20.412 kg plate", "lb", "lb", "+ 45 lb plate"),
        ("the empty bar", "lb", "lb", "the empty bar"),
    ],
)
def test_what_to_take_is_named_as_in_the_place(kept_as: str, own: str, shown: str, said: str) -> None:
    assert pieces_in_unit(kept_as, own, shown) == said  # type: ignore[arg-type]


def test_the_plate_picture_shows_what_the_plates_say() -> None:
    assert [one["text"] for one in plates_of("45 + 25 + 2.5 a side", "lb")] == ["45", "25", "2.5"]
    assert plates_of("20 + 5 kg a side", "lb") == [{"text": "20", "kg": 20.0}, {"text": "5", "kg": 5.0}]
    assert plates_of("2 dumbbells of 40 lb", "lb") == []


def faces(block: Block, unit: str | None) -> dict[str, str]:
    day, known = squat_day(block), catalogue()
    estimates = estimate_lifts(block.inputs.trainee, known, block.inputs.trainee.baselines, Log(), BRIEF.start)
    asked = {} if unit is None else {"unit": unit}
    return {
        "terminal": block_text(block, known, **asked),  # type: ignore[arg-type]
        "session": session_text(block, 1, day, known, **asked),  # type: ignore[arg-type]
        "changes": changes_text(block, known, **asked),  # type: ignore[arg-type]
        "block page": block_page(block, known, **asked),  # type: ignore[arg-type]
        "session page": session_page(block, 1, day, known, **asked),  # type: ignore[arg-type]
        "changes page": changes_page(block, known, **asked),  # type: ignore[arg-type]
        "notes page": notes_page(block, 1, day, known, **asked),  # type: ignore[arg-type]
        "estimates": report_html(of_all(estimates, block.inputs.places, unit or block_unit(block))),  # type: ignore[arg-type]
        "calendar": block_calendar(block, known, time(18), STAMP, **asked).replace(b"\r\n ", b"").decode(),  # type: ignore[arg-type]
        "sheet": str(session_data(block, 1, day, known, "us-letter", **asked)),  # type: ignore[arg-type]
        "planned": planned_csv(block, known, **asked).decode(),  # type: ignore[arg-type]
    }


@pytest.mark.parametrize("face", list(faces(made_block(), None)))
def test_a_pound_gym_hears_no_kilogram(face: str) -> None:
    text = faces(pound_block(), None)[face]

    assert re.search(r"\d ?kg\b", text) is None
    assert "load_kg" not in text
    if face != "notes page":
        assert re.search(r"\d lb\b|load_lb", text)


@pytest.mark.parametrize("face", list(faces(made_block(), None)))
def test_a_kilogram_gym_hears_no_pound(face: str) -> None:
    assert re.search(r"\d ?lb\b", faces(made_block(), None)[face]) is None


def test_asking_for_a_unit_wins_but_plates_keep_their_names() -> None:
    text = session_text(pound_block(), 1, squat_day(pound_block()), catalogue(), "kg")

    assert re.search(r"back squat: .* kg", text)
    assert re.search(r"Take: [\d.]+( \+ [\d.]+)* lb a side", text)


def test_two_places_speak_each_its_own_unit() -> None:
    block = pound_block()
    other = replace(GYM, id="kilos")
    weeks = tuple(
        replace(week, sessions=(week.sessions[0], replace(week.sessions[1], place="kilos"))) for week in block.weeks
    )
    mixed = replace(block, weeks=weeks, inputs=replace(block.inputs, places=(POUND_GYM, other)))
    first, second = (session.day for session in weeks[0].sessions)

    assert " lb" in session_text(mixed, 1, first, catalogue())
    assert " lb" not in session_text(mixed, 1, second, catalogue())
    header = empty_log_csv(mixed, 1, catalogue()).decode().splitlines()[0].split(",")
    assert "load_kg" in header and "load_lb" in header


def test_the_box_to_write_in_asks_for_pounds() -> None:
    data = session_data(pound_block(), 1, squat_day(pound_block()), catalogue(), "us-letter")
    heads = [head for part in data["sections"] for entry in part["entries"] for head in entry["heads"]]

    assert "lb" in heads and "reps" in heads
    assert "kg" not in heads


def test_the_printed_sheet_holds_the_plates_of_the_place() -> None:
    """Referee: pypdfium2 reads the text back."""
    import pypdfium2

    made = session_pdf(pound_block(), 1, squat_day(pound_block()), catalogue(), "us-letter")
    text = " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made))

    assert re.search(r"take \d+(\.\d+)?( \+ \d+(\.\d+)?)* a side", text)
    assert "kg" not in text


def test_a_filled_pound_log_reads_as_kilograms() -> None:
    """Referee: exact decimal arithmetic with the pound of NIST."""
    rows = list(csv.DictReader(io.StringIO(empty_log_csv(pound_block(), 1, catalogue()).decode())))
    row = next(one for one in rows if one["exercise"] == "back_squat")
    assert "load_kg" not in row
    row.update(load_lb="185", reps="5", rir="2")
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)

    log = read_log(out.getvalue(), "log.csv", catalogue())

    assert [one.load_kg for one in log.sets] == [pytest.approx(float(185 * LB), abs=1e-9)]


def test_a_load_in_both_units_is_a_clear_fault() -> None:
    text = "date,session,exercise,set,load_kg,load_lb,reps\n2026-09-07,mon,back_squat,1,100,220,5\n"

    with pytest.raises(InputFaults) as raised:
        read_log(text, "log.csv", catalogue())

    (fault,) = raised.value.faults
    assert fault.path == "row 2: load_lb"
    assert "load_kg" in fault.allowed and "once" in fault.hint


def test_a_load_in_either_unit_is_fine() -> None:
    text = (
        "date,session,exercise,set,load_kg,load_lb,reps\n"
        "2026-09-07,mon,back_squat,1,100,,5\n2026-09-07,mon,back_squat,2,,225,5\n"
    )

    loads = [one.load_kg for one in read_log(text, "log.csv", catalogue()).sets]

    assert loads == pytest.approx([100, float(225 * LB)])


def test_the_block_file_stays_in_kilograms() -> None:
    assert b'"load_kg"' in block_to_json(pound_block())
    assert b"174.636 kg" in block_to_json(pound_block())


def test_estimates_and_reviews_speak_pounds_when_asked() -> None:
    from setwright.review.findings import Finding, Review, WeekDone
    from setwright.review.load_monitoring import WeekLoad

    estimates = estimate_lifts(POUND_PERSON, catalogue(), BASELINES, Log(), BRIEF.start)
    whole = estimates.lifts["back_squat"].posterior.one_rm()
    text = estimate_text(estimates, "lb")
    assert f"{float(Decimal(whole.p10) / LB):.0f} to {float(Decimal(whole.p90) / LB):.0f} lb" in text
    assert " kg" not in text and "1 set on 1 day" in text

    finding = Finding("gaining", "back squat", "+0.5 kg a week (between +0.1 and +1.0)", 0.95, "Nothing: go on.", 20)
    week = WeekDone(1, BRIEF.start, 1, 1, (), (), {}, 60.0, None)
    review = Review((week,), (WeekLoad(BRIEF.start, 300.0, None, None, 1),), (finding,))
    said = review_text(review, "lb")
    assert "+1.1 lb a week (between +0.2 and +2.2)" in said
    assert "1 finding:" in said and "1 of 1 session done" in said


def test_a_comparison_speaks_the_unit_and_counts_one_difference() -> None:
    rows: list[dict[str, object]] = [
        {"week": 1, "session": "mon", "entry": "x", "from": "squat, 3 x 5, 102.058 kg", "to": "squat, 3 x 5, 61.235 kg"}
    ]

    assert comparison_text(rows, "lb").splitlines() == [
        "1 difference:",
        "week 1, mon",
        "  squat, 3 x 5, 225 lb",
        "    -> squat, 3 x 5, 135 lb",
    ]


def test_one_is_singular() -> None:
    assert (words.counted(1, "week"), words.counted(2, "week")) == ("1 week", "2 weeks")
    assert words.singular("1 sets on 1 days") == "1 set on 1 day"
    assert words.singular("11 sets on 2.1 days") == "11 sets on 2.1 days"
    assert changes_text(pound_block(), catalogue()).splitlines()[1].startswith("1 change (1 over all weeks)")


@pytest.mark.parametrize("unit", ["kg", "lb"])
def test_no_terminal_line_is_longer_than_eighty_columns(unit: str) -> None:
    for block in (pound_block(), made_block(), replace(pound_block(), title="A long invented title " * 5)):
        texts = faces(block, unit)
        for face in ("terminal", "session", "changes"):
            lines = texts[face].splitlines()
            assert lines[0] and max(map(len, lines)) <= WIDTH == 80


def test_a_number_keeps_its_unit_on_its_line() -> None:
    for face in ("terminal", "session", "changes"):
        lines = faces(pound_block(), None)[face].splitlines()
        assert not [line for line in lines if re.match(r"\s*(lb|kg|min|s|reps)\b", line)]


def test_no_heading_stands_alone_at_the_end_of_a_page() -> None:
    """Referee: pypdfium2 reads each page. The heading moves down line by line past the end of the page."""
    import pypdfium2

    seen = set()
    for rows in range(44, 62, 2):
        data = base(made_block(), "us-letter", "T", "s", "r", "r2")
        filler = [[f"row {number}", "x"] for number in range(rows)]
        table = {"columns": [1, 1], "head": ["Head", "Other"], "rows": filler}
        below = {
            "columns": [1, 1],
            "head": ["Second head", ""],
            "rows": [["First below " + "word " * 60, ""], ["b", ""]],
        }
        data["sections"] = [section("First", tables=[table]), section("Orphan", tables=[below])]
        document = pypdfium2.PdfDocument(pdf(data))
        pages = [page.get_textpage().get_text_range() for page in document]
        (at,) = [number for number, text in enumerate(pages) if "Orphan" in text]
        seen.add(at)
        assert "Second head" in pages[at] and "First below" in pages[at], rows
    assert seen == {0, 1}  # the trial did pass the end of the page


def test_a_day_without_a_title_ends_without_a_colon() -> None:
    block = pound_block()
    first = block.weeks[0]
    bare = replace(first, sessions=tuple(replace(one, title="") for one in first.sessions))
    lines = block_text(replace(block, weeks=(bare, *block.weeks[1:])), catalogue()).splitlines()

    days = [line for line in lines if line.startswith(("Monday,", "Thursday,"))]
    assert len(days) == 2 and all(line.endswith(" min") for line in days)
