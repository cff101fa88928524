"""What a log says of days and times: wellness, morning pain, time of day, part. Rows of old logs stay as they were."""

from __future__ import annotations

import csv
import io
import json
from datetime import date

import jsonschema_rs
import pytest

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.publish.csv_file import log_csv
from setwright.publish.schemas import log_schema
from setwright.review.log_file import as_rows, read_log, with_row_keys
from setwright.strength.logged import Log, LoggedSession, LoggedSet

HEAD = (
    "date,week,session,exercise,set,load_kg,reps,rir,session_rpe,minutes,time,part,wellness,morning_pain,pain_where\n"
)
TOLD = (
    HEAD
    + "2026-09-07,1,mon,back_squat,1,80,5,2,,,18:30,main,,,\n"
    + "2026-09-07,1,mon,glute_bridge,1,,8,4,,,,filler,,,\n"
    + "2026-09-07,1,mon,,,,,,7,60,7:05,,,,\n"
    + "2026-09-08,,,,,,,,,,,,scale=hooper; sleep=3; stress=2; fatigue=4; soreness=3,2,left knee\n"
    + "2026-09-09,,,,,,,,5,30,,,scale=good-is-high; fatigue=4; sleep=3.5; soreness=4; stress=4; mood=5,0,\n"
)


def read(text: str) -> Log:
    return read_log(text, "log.csv", catalogue())


def faults_of(cells: str) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        read(HEAD + cells)
    return [str(one) for one in caught.value.faults]


def test_days_times_and_parts_are_read() -> None:
    log = read(TOLD)

    assert [(one.time, one.part) for one in log.sets] == [("18:30", "main"), ("", "filler")]
    session, day, both = log.sessions
    assert (session.time, session.is_session) == ("07:05", True)
    assert (day.is_session, day.morning_pain, day.pain_where) == (False, 2, "left knee")
    assert day.wellness and day.wellness.scale == "bad-is-high" and sum(day.wellness.answers.values()) == 12
    assert both.is_session and both.morning_pain == 0 and both.wellness and both.wellness.answers["sleep"] == 3.5


def test_rows_come_back_the_same_from_json_csv_and_the_published_schema() -> None:
    log = with_row_keys(read(TOLD))
    rows = as_rows(log)

    jsonschema_rs.validator_for(log_schema()).validate(rows)
    assert read_log(json.dumps(rows), "log.json", catalogue()) == log
    assert read(log_csv(log).decode()) == log
    assert csv.DictReader(io.StringIO(log_csv(log).decode())).fieldnames


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ("2026-09-08,,,,,,,,,,,,scale=hooper; sleep=8; stress=2; fatigue=4; soreness=3,,", "1 to 7 in whole numbers"),
        ("2026-09-08,,,,,,,,,,,,scale=bad-is-high; sleep=2.5; stress=2; fatigue=4; soreness=3,,", "sleep=2.5"),
        ("2026-09-08,,,,,,,,,,,,scale=good-is-high; sleep=3; stress=2; fatigue=4; soreness=3,,", "no mood"),
        ("2026-09-08,,,,,,,,,,,,scale=bad-is-high; sleep=3; stress=2; fatigue=4; soreness=3; mood=2,,", "'mood'"),
        ("2026-09-08,,,,,,,,,,,,sleep=3; stress=2,,", "bad-is-high, good-is-high"),
        ("2026-09-08,,,,,,,,,,,,sleep is fine,,", "name=value"),
        ("2026-09-08,,,,,,,,,,,,,11,knee", "a whole number from 0 to 10"),
        ("2026-09-08,,,,,,,,5,60,25:00,,,,", "from 00:00 to 23:59"),
        ("2026-09-07,1,mon,back_squat,1,80,5,2,,,,fillers,,,", "Did you mean filler?"),
        ("2026-09-07,1,mon,back_squat,1,80,5,2,,,,,,3,knee", "a row of its own"),
    ],
)
def test_what_is_out_of_scale_is_one_clear_fault(cells: str, says: str) -> None:
    faults = faults_of(cells + "\n")

    assert len(faults) == 1 and says in faults[0] and "row 2" in faults[0]


def test_keys_made_for_old_rows_stay_what_they_were() -> None:
    """Referee: the key that the version before these columns made for the same row (SHA-256 of its repr, seen)."""
    old = LoggedSet(date(2026, 9, 7), 1, "mon", "back_squat", 1, 80.0, reps=5)
    session = LoggedSession(date(2026, 9, 7), 1, "mon", 7.0, 60.0)

    keyed = with_row_keys(Log((old,), (session,)))

    assert (keyed.sets[0].row, keyed.sessions[0].row) == ("65850679b927-1", "08679b1a3b90-1")


def test_two_days_that_differ_only_in_what_is_new_are_two_rows() -> None:
    row = "2026-09-08,,,,,,,,,,,,,{},knee\n"

    assert len(read(HEAD + row.format(2) + row.format(3)).sessions) == 2
    assert len(read(HEAD + row.format(2) + row.format(2)).sessions) == 1
