"""What conditioning cost, against published equations, their worked examples and the published activity codes."""

from __future__ import annotations

from datetime import date

import pytest

from setwright.catalogue.load import catalogue
from setwright.plan.formats import packaged_formats
from setwright.review.conditioning import Conditioning, activity_codes, cost_of
from setwright.review.energy import RANGES, running_uptake, stepping_uptake
from setwright.strength.logged import LoggedSet

MPH_35 = 93.8  # m/min, as the worked example rounds 3.5 mph


def cost(slug: str, mass_kg: float = 70.0, time_s: float | None = 1800, **more: object) -> Conditioning:
    dials = {name: value for name, value in more.items() if name != "distance_m"}
    distance = more.get("distance_m")
    one = LoggedSet(date(2026, 9, 7), 1, "mon", slug, 1, time_s=time_s, distance_m=distance, dials=dials)  # type: ignore[arg-type]
    return cost_of(one, catalogue().get(slug), mass_kg)


def test_half_an_hour_uphill_is_the_worked_example() -> None:
    """Referee: course slides on the ACSM equations (seen): 29.76 mL/kg/min; x 70 kg x 30 min x 5 kcal/L by hand."""
    found = cost("incline_walk", speed_m_min=MPH_35, grade_percent=10)

    assert (found.method, found.formula) == ("equation", "walking")
    assert found.uptake == pytest.approx(29.76, abs=0.01) and found.met == pytest.approx(8.50, abs=0.01)
    assert found.kcal == pytest.approx(29.764 * 70 / 1000 * 5 * 30, rel=1e-6)
    assert found.kj == pytest.approx(found.kcal * 4.184)


@pytest.mark.parametrize(
    ("slug", "mass", "dials", "uptake"),
    [
        ("bike", 62, {"power_kgm_min": 450}, 20.0645),
        ("bike", 62, {"power_w": 75}, 20.0645),
        ("arm_bike", 75, {"power_kgm_min": 300}, 15.5),
        ("arm_bike", 75, {"power_w": 50}, 15.5),
    ],
)
def test_cycling_is_the_worked_example_in_either_unit(
    slug: str, mass: float, dials: dict[str, float], uptake: float
) -> None:
    """Referee: the same slides (seen) for the legs, with their form in watts (10.8 = 1.8 x 6); arms from memory."""
    assert cost(slug, mass, **dials).uptake == pytest.approx(uptake, abs=0.001)


def test_running_and_stepping_by_hand() -> None:
    """Referee: the ACSM equations as remembered (memory), worked by hand: 3.5 + 0.2 x 160 + 0.9 x 160 x 0.02 = 38.38;
    3.5 + 0.2 x 24 + 1.33 x 1.8 x 0.25 x 24 = 22.664."""
    assert running_uptake(160, 0.02) == pytest.approx(38.38)
    assert stepping_uptake(24, 0.25) == pytest.approx(22.664)
    assert cost("run", distance_m=4800, grade_percent=2).uptake == pytest.approx(38.38)
    assert cost("step_cardio", steps_min=24, step_cm=25).uptake == pytest.approx(22.664)


@pytest.mark.parametrize(
    ("slug", "dials"),
    [
        ("walk", {"speed_m_min": 120}),
        ("run", {"speed_m_min": 120}),
        ("bike", {"power_w": 30}),
        ("arm_bike", {"power_w": 150}),
        ("step_cardio", {"steps_min": 40, "step_cm": 20}),
        ("step_cardio", {"steps_min": 20, "step_cm": 60}),
    ],
)
def test_outside_its_range_no_equation_is_used(slug: str, dials: dict[str, float]) -> None:
    found = cost(slug, **dials)

    assert found.method == "activity code" and "equation holds for" in found.rests_on


@pytest.mark.parametrize(
    ("slug", "dials", "code", "met"),
    [
        ("rower", {"power_w": 120}, "02072", 7.5),
        ("rower", {"power_w": 210}, "02074", 14.0),
        ("rower", {}, "02072", 7.5),
        ("bike_easy", {}, "01214", 4.0),
        ("bike", {"rpe": 9}, "01228", 8.0),
        ("double_pole", {}, "02080", 6.8),
        ("rope_skip", {}, "02068", 11.0),
    ],
)
def test_without_an_equation_the_published_code_counts(
    slug: str, dials: dict[str, float], code: str, met: float
) -> None:
    """Referee: Compendium of Physical Activities 2024 (Herrmann et al., seen second-hand)."""
    found = cost(slug, **dials)

    assert (found.method, found.formula, found.met) == ("activity code", code, pytest.approx(met))
    assert found.kcal == pytest.approx(met * 3.5 * 70 / 200 * 30)  # the usual short form: MET x 3.5 x kg / 200 a minute


def test_without_a_time_there_is_no_energy_and_it_says_so() -> None:
    assert cost("rower", time_s=None).kcal is None and "no time" in cost("rower", time_s=None).rests_on
    assert cost("walk", time_s=None, speed_km_h=5, distance_m=2500).minutes == pytest.approx(30)


def test_every_code_that_an_exercise_names_is_there() -> None:
    data = activity_codes()
    named = {code for row in data["exercise"].values() for code in row["by_effort"]}
    named |= {code for row in data["exercise"].values() for _, code in row.get("by_power_w", [])}
    named |= {code for one in packaged_formats().values() for code in one.activity}

    assert named == set(data["code"]) and set(data["exercise"]) <= set(catalogue().exercises)
    assert set(RANGES) == {"walking", "running", "leg cycling", "arm cycling", "stepping"}
