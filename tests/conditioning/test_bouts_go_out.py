"""What goes out of a block with conditioning says the format of each bout, not its movements alone.

Referees: fhir.resources (R4B), icalendar, pandas and duckdb read the files; of the public page, the headings of its
plain text.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, time
from pathlib import Path

import duckdb
import pandas
import pytest
from conditioning_floor import block_of, bouts_in
from fhir.resources.R4B.bundle import Bundle
from icalendar import Calendar

from setwright.catalogue.load import catalogue
from setwright.plan.block import Entry
from setwright.plan.bout import Bout
from setwright.plan.formats import BUILT_IN, SHARED
from setwright.publish.calendar_file import block_calendar
from setwright.publish.clinic_bundle import Outgoing, clinic_bundle, clinic_values
from setwright.publish.csv_file import planned_csv
from setwright.publish.parquet_file import planned_parquet
from setwright.services.public_edition import public_files
from setwright.strength.logged import Log

TEXT = """Mon
back squat 2 x 5 @ 7

every minute on the minute for 6 min: 5 push-ups, 8 bodyweight squats

rower 20 min, talk test: whole sentences
"""
SAID = ["Every minute on the minute for 6 min", "Steady work, so that you can say whole sentences"]


def clinic(text: str = TEXT) -> str:
    block, may = block_of(text), Outgoing("Probe")
    data = json.loads(clinic_bundle(block, clinic_values(block, Log(), (), may), may, catalogue()))
    plan = next(
        one.resource for one in Bundle.model_validate(data).entry if one.resource.get_resource_type() == "CarePlan"
    )
    return str(plan.activity[0].detail.description)


def dates(text: str = TEXT) -> str:
    event = Calendar.from_ical(
        block_calendar(block_of(text), catalogue(), time(18), datetime(2026, 1, 1, tzinfo=UTC))
    ).walk("VEVENT")[0]
    return str(event["DESCRIPTION"])


def test_the_talk_says_each_format_before_its_first_movement() -> None:
    """Referee: the headings of the session itself, in the same text."""
    text = public_files(block_of(TEXT), title="Mixed", formats=("txt",))["public.txt"].decode()
    talk = " ".join(text.partition("THE TALK")[2].split())

    assert f"{SAID[0]}: Push-up, 5 reps" in talk and f"{SAID[1]}: Rowing machine, 20 min" in talk
    assert talk.count(SAID[0]) == talk.count(SAID[1]) == 1 and " Bodyweight squat, 8 reps" in talk


@pytest.mark.parametrize("told", [clinic, dates])
def test_a_day_of_conditioning_alone_begins_with_its_format(told: Callable[[str], str]) -> None:
    """Common practice, no published source: what is not asked need not be said."""
    assert told(TEXT.replace("back squat 2 x 5 @ 7\n", "")).splitlines()[0] == SAID[0]
    assert told(TEXT).startswith("main lifts RPE 7")


@pytest.mark.parametrize("told", [clinic, dates])
def test_a_session_says_the_heading_of_each_bout_once_before_its_movements(told: Callable[[], str]) -> None:
    lines = told().splitlines()

    at = [lines.index(one) for one in SAID]
    assert lines[at[0] + 1 : at[0] + 3] == ["push-up: 5 reps", "bodyweight squat: 8 reps"]
    assert at[1] == at[0] + 3 and lines[at[1] + 1].startswith("rowing machine")


def test_the_page_for_machines_says_of_each_movement_which_bout_it_is_of() -> None:
    files = public_files(block_of(TEXT), title="Mixed", formats=("html", "txt"))
    page, text = files["public.html"].decode(), files["public.txt"].decode()
    data = json.loads(page.partition('<script type="application/ld+json">')[2].partition("</script>")[0])

    told = {one["name"]: one.get("additionalVariable", "") for one in data["hasPart"]}

    assert all(one in text for one in SAID)
    assert told["Push-up"] == f"5 reps; {SAID[0]}" and told["Bodyweight squat"] == f"8 reps; {SAID[0]}"
    assert told["Rowing machine"].endswith(f"; {SAID[1]}")
    assert ";" not in told["Barbell back squat"]


ALL = """Mon
back squat 2 x 5 @ 7

5 rounds for time, cap 15 min, heart rate 140-150: 10 push-ups, 8 bodyweight squats

21-15-9 for time: kettlebell swings @ 16 kg, push-ups

as many rounds as possible in 12 min, talk test a few words: 8 bodyweight squats

every 90 s for 4 rounds: 5 push-ups

circuit, 2 rounds, 40 s work, 20 s to change: plank, rower

rower 3 x 500 m, rest 2 min, 2:05-2:10/500 m
bike 3 x 60 s every 90 s, 150-170 watts
run 20 min, 60-70 % of max heart rate
farmer carry 3 x 20 m every 90 s
"""


def test_the_tables_of_planned_sets_say_every_format_and_it_reads_back(tmp_path: Path) -> None:
    block = block_of(ALL)
    file = tmp_path / "planned.parquet"
    file.write_bytes(planned_parquet(block, catalogue()))
    table = pandas.read_csv(io.BytesIO(planned_csv(block, catalogue())), keep_default_na=False)
    rows = [tuple(one) for one in table[["exercise", "format", "format_asks"]].itertuples(index=False)]
    columns = "exercise, coalesce(format, ''), coalesce(format_asks, '')"

    assert duckdb.sql(f"select {columns} from '{file}'").fetchall() == rows
    assert {one[1] for one in rows} - {""} == set(BUILT_IN)
    assert all(asks == name == "" for lift, name, asks in rows if lift == "back_squat")
    asked = iter([asks for _, name, asks in rows if name])
    bouts = bouts_in(block)
    for one in bouts:
        (asks,) = {next(asked) for _ in one.sets}
        bout = plain(one)
        movement = "push-up" if bout.work_s else "5 push-ups"
        line = f"{asks}: {movement}" if bout.format in SHARED else f"rower {len(one.sets)} x 60 s, rest 60 s, {asks}"
        (again,) = bouts_in(block_of(f"Mon\nback squat 2 x 5 @ 7\n\n{line.removesuffix(', ')}"))
        if asks or bout.format in SHARED:
            assert replace(plain(again), format="") == replace(bout, format=""), asks
    assert len(bouts) == 12 and next(asked, None) is None


def plain(entry: Entry) -> Bout:
    """The bout of an entry without what was reckoned for it."""
    assert entry.bout is not None
    return replace(entry.bout, likely_s=None)
