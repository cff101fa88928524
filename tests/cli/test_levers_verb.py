"""The verb levers: what a coach and a program get, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema_rs
import pytest

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.publish.schemas import levers_schema

BODY = ["--mass", "75", "--stature", "175", "--sex", "male"]
TRAINEE = """
id = "lena"
name = "Lena Invented"
birth_year = 1998
sex = "female"
body_mass_kg = 61
stature_cm = 168
training_years = 2
invented = true
lengths = { thigh_cm = 41 }
[screening]
active_now = true
[[days]]
day = "mon"
minutes = 60
place = "hall"
[[baselines]]
date = 2026-08-01
exercise = "nordic_ecc"
reached_deg = 35
[[baselines]]
date = 2026-08-02
exercise = "pushup"
reps = 9
rir = 1
dials = { hand_height_cm = 30 }
[[place]]
id = "hall"
name = "Hall"
[[place.bands]]
name = "long"
rest_cm = 100
hung_kg = 12
hung_cm = 160
[[place.bands]]
name = "never measured"
"""


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    """The JSON of one question."""
    assert run(["levers", *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.fixture
def trainee(tmp_path: Path) -> str:
    """An invented trainee with graded sets, a measured thigh and a measured band."""
    path = tmp_path / "lena.toml"
    path.write_text(TRAINEE, encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("slug", [one.slug for one in catalogue().values() if one.lever is not None])
def test_every_modelled_exercise_answers_in_the_published_form(slug: str, capsys: pytest.CaptureFixture[str]):
    """Each against the JSON Schema of the format (referee: jsonschema-rs), with numbers that are not all missing."""
    found = asked(capsys, slug, *BODY)

    jsonschema_rs.validator_for(levers_schema()).validate(found)
    assert found["exercise"] == slug
    assert found["peak_moment_nm"] is None or found["peak_moment_nm"]["p10"] <= found["peak_moment_nm"]["p90"]
    assert found["peak_moment_nm"] is not None or found["why_not"]


def test_the_nordic_is_told_with_its_moment_and_the_angle_where_control_is_lost(capsys: pytest.CaptureFixture[str]):
    """Moments of both knees together; the break angle lies between upright and flat."""
    found = asked(capsys, "nordic_ecc", *BODY, "--age", "22")

    assert found["joint"] == "knee" and found["action"] == "flexion" and found["limbs"] == 2
    assert 370 < found["peak_moment_nm"]["mean"] < 420
    assert 30 < found["break_angle_deg"]["mean"] < 80
    assert found["demand_ratio"]["mean"] > 1.2
    assert found["curve"][0]["angle_deg"] == 90 and found["curve"][-1]["angle_deg"] == 0


def test_a_held_angle_and_a_part_of_the_range_are_dials(capsys: pytest.CaptureFixture[str]):
    """Held at 60 degrees there is one angle; from 90 to 45 the movement ends at 45."""
    held = asked(capsys, "nordic", *BODY, "--dial", "held_angle_deg=60")
    part = asked(capsys, "nordic", *BODY, "--dial", "range_deg=45-90")

    assert {row["angle_deg"] for row in held["curve"]} == {60}
    assert part["curve"][0]["angle_deg"] == 90 and part["curve"][-1]["angle_deg"] == 45
    assert part["peak_moment_nm"]["mean"] < asked(capsys, "nordic", *BODY)["peak_moment_nm"]["mean"]


def test_a_trainee_file_makes_it_personal(trainee: str, capsys: pytest.CaptureFixture[str]):
    """The reached angle, the graded push-up on 30 cm, the measured thigh and the measured band all count."""
    nordic = asked(capsys, "nordic_ecc", "--trainee", trainee)
    pushup = asked(capsys, "pushup", "--trainee", trainee)
    helped = asked(capsys, "nordic_band", "--trainee", trainee, "--band", "long")

    assert nordic["capacity_from"] == "graded set" and nordic["person"]["lengths_m"] == {"thigh": 0.41}
    assert pushup["capacity_from"] == "graded set" and 0.6 < pushup["demand_ratio"]["mean"] < 1.4
    assert helped["dials"]["band_test_kg"] == 12
    assert helped["peak_moment_nm"]["mean"] < nordic["peak_moment_nm"]["mean"]


def test_without_a_graded_set_the_push_up_says_that_it_does_not_know(capsys: pytest.CaptureFixture[str]):
    """Null in the JSON, a sentence for people."""
    assert asked(capsys, "pushup", *BODY)["demand_ratio"] is None
    assert run(["levers", "pushup", *BODY]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "is not known" in said and "--reps 8 --rir 2" in said


def test_own_lengths_and_the_other_table_change_the_answer(capsys: pytest.CaptureFixture[str]):
    """A longer thigh is a longer lever."""
    plain = asked(capsys, "nordic", *BODY)["peak_moment_nm"]["mean"]

    assert asked(capsys, "nordic", *BODY, "--length", "thigh=46")["peak_moment_nm"]["mean"] > plain
    assert asked(capsys, "nordic", *BODY, "--table", "winter")["peak_moment_nm"]["mean"] > plain


def test_the_answer_for_people_keeps_to_eighty_columns_and_carries_the_caution(capsys: pytest.CaptureFixture[str]):
    """Read in a terminal on a gym floor."""
    assert run(["levers", "nordic", *BODY]) == 0
    said = capsys.readouterr().out

    assert max(len(line) for line in said.splitlines()) <= 80
    assert "licensed clinician" in said and "control is lost" in said


@pytest.mark.parametrize(
    "words,says",
    [
        (["back_squat_xyz"], "exercise by slug or name"),
        (["walk"], "reckoned as a lever"),
        (["nordic", "--dial", "slope=20"], "a dial of nordic"),
        (["nordic", "--dial", "incline_deg=steep"], "a number from -10 to 60"),
        (["nordic", "--dial", "incline_deg=99"], "a number from -10 to 60"),
        (["nordic", "--dial", "incline_deg"], "NAME=VALUE"),
        (["nordic", "--dial", "range_deg=10"], "two angles"),
        (["nordic", "--mass", "3"], "20 to 350"),
        (["nordic", "--stature", "900"], "1 to 2.5"),
        (["nordic", "--length", "nose=5"], "NAME=CM"),
        (["nordic", "--band", "long"], "--trainee"),
        (["nordic_band", "--dial", "band_test_cm=100", *BODY], "hang more"),
        (["dead_hang", "--reps", "8", *BODY], "log a hold with its seconds"),
        (["nordic_ecc", "--reached", "110", *BODY], "an angle of this movement, 0 to 90"),
        (["nordic", "--dial", "held_angle_deg=40", "--reached", "40", *BODY], "an angle of a lowering"),
        ([], "name an exercise"),
        (["pushup", "--reps", "nan", *BODY], "--reps is nan"),
        (["pushup", "--rir", "2", *BODY], "name both"),
        (["pushup", "--reached", "40", *BODY], "a graded set tells"),
    ],
)
def test_what_cannot_be_reckoned_is_refused_in_one_clear_error(
    words: list[str], says: str, capsys: pytest.CaptureFixture[str]
):
    """Exit code 2, nothing on standard output, no traceback; the fault names what is allowed."""
    assert run(["levers", *words]) == 2
    shown = capsys.readouterr()

    assert shown.out == ""
    assert says in " ".join(shown.err.split()) and "Traceback" not in shown.err


@pytest.mark.parametrize(
    "line,becomes,says",
    [
        ("reached_deg = 35", "reached_deg = 400", "0 to 180"),
        ("dials = { hand_height_cm = 30 }", "dials = { hands = 30 }", "an unknown dial"),
        ("dials = { hand_height_cm = 30 }", "dials = { hand_height_cm = 900 }", "0 to 150"),
        ("lengths = { thigh_cm = 41 }", "lengths = { thigh = 41 }", "an unknown key"),
        ("hung_cm = 160", "hung_cm = 101", "at least 5 %"),
        ("hung_cm = 160", "", "all of rest_cm, hung_kg and hung_cm"),
    ],
)
def test_faults_of_the_new_keys_are_named(
    line: str, becomes: str, says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    """check and levers say the same: file, key, what was found, what is allowed."""
    path = tmp_path / "lena.toml"
    assert line in TRAINEE
    path.write_text(TRAINEE.replace(line, becomes), encoding="utf-8")

    assert run(["levers", "nordic", "--trainee", str(path)]) == 2
    assert says in " ".join(capsys.readouterr().err.split())


def test_a_band_that_was_never_measured_is_no_help(trainee: str, capsys: pytest.CaptureFixture[str]):
    """Only measured bands are offered by name."""
    assert run(["levers", "nordic_band", "--trainee", trainee, "--band", "never measured"]) == 2
    assert "long" in capsys.readouterr().err


def test_the_models_are_listed_with_their_dials(capsys: pytest.CaptureFixture[str]):
    """Every dial of every model with its limits, for people and as JSON; no model without an exercise."""
    assert run(["levers", "--models"]) == 0
    said = capsys.readouterr().out
    assert run(["levers", "--models", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)

    assert "hand_height_cm" in said and len(rows) >= 3
    assert all(row["exercises"] for row in rows)
    assert all(dial["says"] for row in rows for dial in row["dials"])


def test_a_hold_is_told_with_its_seconds_and_without_a_way_down(capsys: pytest.CaptureFixture[str]):
    """Held at 70 degrees: some seconds, fewer at 60, none to speak of at 20; no angle where control is lost."""
    seconds = []
    for angle in (80, 70, 60, 20):
        found = asked(capsys, "nordic", *BODY, "--dial", f"held_angle_deg={angle}")
        assert found["phase"] == "hold" and found["break_angle_deg"] is None
        seconds.append(found["hold_s"]["mean"])
        assert run(["levers", "nordic", *BODY, "--dial", f"held_angle_deg={angle}"]) == 0
        said = capsys.readouterr().out
        assert "Held to the end" in said and "On the way down" not in said

    assert seconds == sorted(seconds, reverse=True) and seconds[0] > 40 and seconds[-1] < 1
    assert run(["levers", "nordic", *BODY, "--dial", "held_angle_deg=90"]) == 0


def test_an_unmeasured_band_is_twice_as_unsure_and_says_so(capsys: pytest.CaptureFixture[str]):
    """The catalogue's example band is believed within 20 %, the same band measured within 10 %."""
    stated = asked(capsys, "nordic_band", *BODY)
    measured = asked(capsys, "nordic_band", *BODY, "--dial", "band_test_kg=15")

    wide, narrow = (one["peak_moment_nm"]["p90"] - one["peak_moment_nm"]["p10"] for one in (stated, measured))
    assert wide > 1.2 * narrow
    assert stated["dials"]["band_known"] == "stated" and measured["dials"]["band_known"] == "measured"
    assert run(["levers", "nordic_band", *BODY]) == 0
    assert "measure yours" in capsys.readouterr().out


def test_a_trainee_without_baselines_is_as_old_as_the_file_says(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    """Born in 1948 and nothing logged: not the strength of thirty; pounds and inches are told in round numbers."""
    before, after = TRAINEE.index("[[baselines]]"), TRAINEE.index("[[place]]")
    said = TRAINEE[:before] + TRAINEE[after:]
    said = said.replace("1998", "1948").replace("mass_kg = 61", "mass_lb = 119").replace("cm = 168", "in = 66")
    path = tmp_path / "old.toml"
    path.write_text(said, encoding="utf-8")

    assert asked(capsys, "nordic_ecc", "--trainee", str(path))["person"]["age_years"] > 75
    assert run(["levers", "nordic_ecc", "--trainee", str(path)]) == 0
    assert "54 kg, 168 cm, woman" in capsys.readouterr().out
