"""Published examples through `review --json`, from a file to the numbers, each with its source beside it."""

from __future__ import annotations

import json
from math import log
from pathlib import Path
from statistics import fmean, stdev
from typing import Any

import pytest
from made_block import made_block

from setwright.cli.main import run
from setwright.publish.block_file import block_to_json


@pytest.fixture
def told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    """The review of a log that is given as text, as data."""

    def review(text: str, *more: str) -> dict[str, Any]:
        (tmp_path / "block.json").write_bytes(block_to_json(made_block()))
        (tmp_path / "log.csv").write_text(text, encoding="utf-8")
        assert run(["review", str(tmp_path / "block.json"), str(tmp_path / "log.csv"), "--json", *more]) == 0
        found: dict[str, Any] = json.loads(capsys.readouterr().out)
        return found

    return review


DAYS = ("07", "08", "09", "10", "11", "12", "13")


def sessions(loads: list[int]) -> str:
    rows = [f"2026-09-{day},{load // 60},60" for day, load in zip(DAYS, loads, strict=False) if load]
    return "date,session_rpe,minutes\n" + "\n".join(rows) + "\n"


def test_monotony_and_strain_of_a_week_with_rest_days(told: Any) -> None:
    """Foster 1998: mean of seven days over their deviation, strain is that times the week's load (formula seen);
    which deviation was meant no primary text says, so both stand in the output. Referee: the standard library."""
    loads = [300, 480, 0, 420, 0, 540, 0]
    week = told(sessions(loads))["weeks"][0]

    assert week["days_au"] == loads and week["load_au"] == 1740 and week["monotony_sd"] == "n-1"
    assert week["monotony"] == pytest.approx(fmean(loads) / stdev(loads), abs=1e-3)
    assert week["strain"] == pytest.approx(1740 * fmean(loads) / stdev(loads), abs=0.1)
    assert week["monotony_by_n"] > week["monotony"]


def test_seven_equal_days_are_null_and_the_output_says_why(told: Any) -> None:
    """Rule M02 of the planning rules: a deviation of 0 is not defined, never infinite."""
    found = told(sessions([300] * 7))

    assert (found["weeks"][0]["monotony"], found["weeks"][0]["strain"]) == (None, None)
    assert "not defined" in found["conventions_in_full"]["load"]["monotony"]


def test_a_weighted_average_by_two_over_n_plus_one(told: Any) -> None:
    """Williams et al. 2017 (from memory): load x 2 / (N + 1) + the rest of yesterday's. By hand for N = 7, which is a
    quarter: 240, then 180 after rest, then 0.25 x 480 + 0.75 x 180 = 255."""
    half_life = log(0.5) / log(0.75)
    found = told(sessions([240, 0, 480]), "--half-life", f"{half_life}")
    (one,) = found["weighted_load"]

    assert one["smoothing"] == pytest.approx(0.25, abs=1e-6) and one["seed_au"] == 240
    assert one["recursive_au"] == pytest.approx(255.0, abs=0.01)
    assert found["conventions_in_full"]["weighted_load"]["half_life_days"] == [one["half_life_days"]]


CONDITIONING = [
    # Course slides on the equations of the American College of Sports Medicine (seen): 3.5 mph, grade 10 %, 29.76.
    ("incline_walk", "speed_m_min=93.8; grade_percent=10", 29.76, "equation"),
    # The equations as remembered, by hand: 3.5 + 0.2 x 160.9344 = 35.69; 7 + 1.8 x 600 / 78 = 20.85.
    ("run", "speed_mph=6", 35.69, "equation"),
    ("bike", "power_w=100", 20.85, "equation"),
    # Compendium 2024 (Herrmann et al., seen second-hand): codes 02073, 02068; one MET is 3.5.
    ("rower", "power_w=150", 11.0 * 3.5, "activity code"),
    ("rope_skip", "", 11.0 * 3.5, "activity code"),
]


@pytest.mark.parametrize(("slug", "dials", "uptake", "method"), CONDITIONING)
def test_energy_by_equation_or_activity_code(told: Any, slug: str, dials: str, uptake: float, method: str) -> None:
    """Uptake as published; kcal by hand: uptake x kg / 1000 x 5 x minutes."""
    head = "date,session,exercise,set,time_s,dials\n"
    (one,) = told(f"{head}2026-09-07,mon,{slug},1,1200,{dials}\n")["conditioning"]

    assert one["method"] == method and one["uptake_ml_kg_min"] == pytest.approx(uptake, abs=0.01)
    mass = made_block().inputs.trainee.body_mass_kg
    assert one["kcal"] == pytest.approx(uptake * mass / 1000 * 5 * 20, rel=1e-3)


def test_two_questionnaires_run_in_opposite_directions(told: Any) -> None:
    """Hooper and Mackinnon 1995, four items of 1 to 7, high is bad; McLean et al. 2010, five of 1 to 5, high is good
    (both seen second-hand). The worst morning of one is the highest sum, of the other the lowest."""
    found = told(
        "date,wellness\n"
        '2026-09-07,"scale=bad-is-high; sleep=7; stress=7; fatigue=7; soreness=7"\n'
        '2026-09-08,"scale=good-is-high; fatigue=1; sleep=1; soreness=1; stress=1; mood=1"\n'
    )
    first, second = found["wellness"]

    assert (first["score"], first["score_to"], first["good_is_high"]) == (28, 28, False)
    assert (second["score"], second["score_from"], second["good_is_high"]) == (5, 5, True)


@pytest.mark.parametrize(("pain", "verdict"), [(0, "go on"), (2, "go on"), (3, "less"), (5, "stop")])
def test_the_strictest_band_holds_without_a_clinician(told: Any, pain: int, verdict: str) -> None:
    """The adductor programme (PMC9872240, seen) allows up to 3, the tendon programme of Silbernagel 2007 up to 5 to the
    cleared alone: nobody cleared anything here. That 3 itself means less is the house's own, stricter line."""
    head = "date,session,exercise,set,load_kg,reps,rir,pain,pain_where\n"
    found = told(f"{head}2026-09-07,mon,back_squat,1,60,5,3,{pain},knee\n")

    assert [one["verdict"] for one in found["pain"]] == ([verdict] if pain else [])
    assert "strictest band" in found["conventions_in_full"]["pain"]["which_holds"]
