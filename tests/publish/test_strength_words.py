"""What is believed of a lift, in a coach's words and as data: ranges everywhere, and nothing asked that may not be."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import jsonschema_rs
import pytest
from made_block import GYM, PERSON

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Baseline, Goal, Trainee
from setwright.publish.own_words import own_change
from setwright.publish.schemas import estimate_schema
from setwright.publish.strength_json import strength_json
from setwright.publish.strength_words import of_all, of_one, percent, suggested
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.evidence import SetEvidence
from setwright.strength.logged import Log, LoggedSet

ON = date(2026, 10, 5)


def row(ago: int, load: float, reps: int = 5, rir: float | None = 2.0, **more: object) -> LoggedSet:
    day = ON - timedelta(days=ago)
    return LoggedSet(day, 1, "mon", "back_squat", 1, load, reps=reps, rir=rir, **more)  # type: ignore[arg-type]


def known(*rows: LoggedSet, person: Trainee = PERSON, on: date = ON) -> Estimates:
    return estimate_lifts(person, catalogue(), person.baselines, Log(rows), on)


STEADY = tuple(row(35 - 7 * week, 100.0) for week in range(6))
CLIMBING = tuple(row(35 - 7 * week, 92.0 + 4.0 * week) for week in range(6))


def squat(found: Estimates, **more: object):
    return of_one(found.for_exercise("back_squat"), found, [GYM], "kg", **more)  # type: ignore[arg-type]


def test_steady_sets_are_not_called_a_change() -> None:
    assert squat(known(*STEADY)).change_text.startswith("no clear change over")


def test_a_steep_climb_is() -> None:
    report = squat(known(*CLIMBING))

    assert report.change_text.startswith("stronger over")
    assert "kg a week" in report.trend_text


def test_a_forecast_is_for_the_day_asked_and_wider_than_now() -> None:
    found = known(*STEADY)
    lift = found.for_exercise("back_squat")
    later = found.course.one_rm_on(date(2027, 1, 4), 0) if found.course else None

    assert "4 January 2027" in squat(found, until=date(2027, 1, 4)).forecast_text
    assert later is not None and later.sd > lift.posterior.one_rm().sd


def test_a_target_has_three_dates_or_says_that_it_has_none() -> None:
    near = replace(PERSON, goals=(Goal("strength", "back_squat", 1, 126.0, "kg", date(2027, 3, 1)),))
    far = replace(PERSON, goals=(Goal("strength", "back_squat", 1, 300.0, "kg"),))

    assert "chances" in squat(known(*STEADY, person=near)).target_text
    assert "1 March 2027" in squat(known(*STEADY, person=near)).target_text
    assert squat(known(*STEADY, person=far)).target_text == "300 kg: not to be expected within two years"


def test_a_closed_lift_is_asked_for_nothing() -> None:
    sore = replace(PERSON, restrictions=(parse_restriction("no bar on the back"),))
    report = squat(known(*STEADY, person=sore))

    assert report.sharpen.startswith("Nothing is asked for.")
    assert report.first_session == ()


def test_the_working_set_that_sharpens_leaves_a_reserve_to_novices() -> None:
    new = replace(PERSON, training_years=0.3)

    assert "tested single" not in squat(known(*STEADY, person=new)).sharpen


def test_a_row_that_waits_for_a_check_is_named() -> None:
    (note,) = squat(known(*STEADY, row(0, 1000.0))).notes

    assert "1000 kg x 5" in note and "Check" in note


def test_every_lift_with_sets_is_reported_once() -> None:
    found = known(*STEADY)
    names = [one.name for one in of_all(found, [GYM], "kg").lifts]

    assert sorted(names) == sorted(catalogue().get(slug).name for slug in found.lifts)


def test_a_point_of_the_chart_is_the_set_by_the_curve() -> None:
    """Referee: arithmetic: 5 done and 2 left are 7 to failure; exp(0.03 x 6) = 1.1972 where calls are true."""
    assert suggested(SetEvidence(ON, 100.0, 5, "called", 2.0), 0.03, 0.0) == pytest.approx(119.72, abs=0.01)
    assert suggested(SetEvidence(ON, 100.0, 5, "called", 2.0), 0.03, 1.0) > 119.8
    assert suggested(SetEvidence(ON, 100.0, 1, "test"), 0.03, 1.0) == 100.0


@pytest.mark.parametrize(("share", "text"), [(0.05, "±5 %"), (0.1234, "±12 %")])
def test_a_spread_is_said_in_percent(share: float, text: str) -> None:
    assert percent(share) == text


@pytest.mark.parametrize("rows", [(), STEADY, (*STEADY, row(0, 1000.0))], ids=["none", "steady", "slip"])
def test_the_estimates_obey_their_schema(rows: tuple[LoggedSet, ...]) -> None:
    """Referee: jsonschema-rs, JSON Schema 2020-12."""
    plank = Baseline(ON - timedelta(days=3), "plank", None, None, None, True, 60.0)
    person = replace(
        PERSON,
        baselines=(*PERSON.baselines, plank),
        goals=(Goal("strength", "back_squat", 1, 130.0, "kg"),),
    )
    made = strength_json(known(*rows, person=person), [GYM], date(2026, 12, 24), ["leg_press", "curl_db"])
    validator = jsonschema_rs.validator_for(estimate_schema())

    assert list(validator.iter_errors(json.loads(json.dumps(made)))) == []
    assert {"back_squat", "leg_press"} <= {one["exercise"] for one in made["lifts"]}
    assert made["holds"][0]["exercise"] == "plank" and made["holds"][0]["seconds"]["mean"] > 20
    broken = {**made, "lifts": [{**made["lifts"][0], "one_rm_kg": 5}]}
    assert not validator.is_valid(json.loads(json.dumps(broken)))


def written(folder: Path) -> tuple[Path, Path]:
    """A trainee file with its place, and a log of steady squats, invented."""
    from setwright.services.templates import template_text

    (folder / "station.toml").write_text(template_text("place"), encoding="utf-8")
    anna = folder / "anna.toml"
    anna.write_text(template_text("trainee"), encoding="utf-8")
    log = folder / "log.csv"
    rows = [f"2026-09-{day:02d},mon,deadlift,1,{load},5,2" for day, load in ((7, 85), (14, 87.5), (21, 87.5))]
    log.write_text("date,session,exercise,set,load_kg,reps,rir\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return anna, log


def test_estimate_writes_page_print_numbers_and_charts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna, log = written(tmp_path)
    assert run(["estimate", str(anna), str(log), "--out", str(tmp_path / "out")]) == 0

    made = {str(one.relative_to(tmp_path / "out")) for one in (tmp_path / "out").rglob("*") if one.is_file()}
    assert made == {"strength.html", "strength.pdf", "strength.json", "charts/deadlift.svg"}
    assert (tmp_path / "out" / "strength.pdf").read_bytes().startswith(b"%PDF")
    assert "conventional deadlift" in (tmp_path / "out" / "strength.html").read_text(encoding="utf-8")
    assert "8 times in 10" in capsys.readouterr().out


def test_a_lift_never_done_is_told_with_its_first_session(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna, log = written(tmp_path)
    assert run(["estimate", str(anna), str(log), "--exercise", "romanian deadlift"]) == 0

    said = " ".join(capsys.readouterr().out.split())
    assert "no set of its own" in said and "first session: 6 repetitions at" in said and "romanian deadlift" in said


@pytest.mark.parametrize("day", ["2026-01-01", "2032-01-01"])
def test_a_forecast_to_a_day_gone_or_far_away_is_refused(
    day: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    anna, log = written(tmp_path)
    assert run(["estimate", str(anna), str(log), "--forecast", day, "--out", str(tmp_path / "out")]) == 2

    assert f"--forecast: found {day}; allowed: a day after 2026-09-21" in capsys.readouterr().err.replace("\n  ", " ")
    assert not (tmp_path / "out").exists()


def test_a_set_of_a_day_to_come_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    anna, log = written(tmp_path)
    with log.open("a", encoding="utf-8") as file:
        file.write("2131-01-06,mon,deadlift,1,90,5,2\n")

    assert run(["estimate", str(anna), str(log)]) in (0, 2)
    assert "2131-01-06" in capsys.readouterr().err


def test_a_lift_without_a_safe_first_load_says_so() -> None:
    """Invented: a frail beginner of 50 kg in a gym whose lightest bar is 20 kg."""
    frail = replace(PERSON, birth_year=1950, body_mass_kg=50.0, sex="female", training_years=0.0, baselines=())
    found = known(person=frail)

    report = of_one(found.for_exercise("ohp_bb"), found, [GYM], "kg")
    assert report.first_session == () and "take help, or an alternative" in report.sharpen


def test_no_load_is_climbed_at_a_sore_joint() -> None:
    sore = replace(PERSON, restrictions=(parse_restriction("my elbow is sore"),))
    found = known(*STEADY, person=sore)

    report = of_one(found.for_exercise("curl_db"), found, [GYM], "kg")
    assert report.first_session == () and report.sharpen


def test_a_lift_that_needs_help_says_so_in_kilograms_of_help() -> None:
    """A 1RM below the body's own part is help that one repetition takes, never a negative load."""
    from setwright.publish.strength_words import load_or_help, needs_help, shown
    from setwright.strength.spread import Spread

    whole = Spread(45.0, 40.0, 50.0, 4.0)

    assert shown(whole, 60.0, "kg") == "10 to 20 kg of help"
    assert needs_help(whole, 60.0, -15.0, "kg") == "not without help yet: one repetition with 10 to 20 kg of help"
    assert "perhaps without any already" in needs_help(whole, 48.0, -3.0, "kg")
    assert load_or_help(-12.5, "kg") == "12.5 kg of help" and load_or_help(5.0, "kg") == "5 kg"


def test_a_lift_that_began_lately_is_not_held_against_a_day_when_others_were_logged() -> None:
    """An old log of squats reaches back 40 weeks, that of presses six. Common practice, no published source."""
    presses = tuple(replace(row(ago, 60.0), exercise="bench_bb") for ago in (14, 10, 7, 3))
    found = known(row(280, 100.0), row(273, 100.0), *presses, *(row(ago, 105.0) for ago in (13, 9, 5)))

    assert found.for_exercise("bench_bb").gained is not None and found.course is not None
    assert (
        of_one(found.for_exercise("bench_bb"), found, [GYM], "kg").change_text
        == "not done long enough to tell a change"
    )
    assert own_change(found.for_exercise("bench_bb"), found) == "Not done long enough yet to tell a change."
    assert " 39 weeks" in squat(found).change_text
