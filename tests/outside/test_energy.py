"""Metabolic equations against their worked examples."""

from __future__ import annotations

import pytest

from setwright.review.energy import arm_cycling_uptake, energy_kcal, leg_cycling_uptake, walking_uptake


def test_walking_uphill_is_the_worked_example() -> None:
    """Referee: course slides on the ACSM equations (seen): 3.5 mph (93.8 m/min) at 10 % gives 29.76."""
    assert walking_uptake(93.8, 0.10) == pytest.approx(29.76, abs=0.01)


def test_leg_cycling_is_the_worked_example() -> None:
    """Referee: the same slides (seen): 450 kgm/min at 62 kg gives 20 (rounded; exact 20.0645)."""
    assert leg_cycling_uptake(450, 62) == pytest.approx(20.0645, abs=0.001)


def test_arm_cycling_by_hand() -> None:
    """Referee: arithmetic on the equation as remembered (memory): 300 kgm/min at 75 kg gives 15.5."""
    assert arm_cycling_uptake(300, 75) == pytest.approx(15.5)


def test_rest_is_about_a_kilocalorie_per_kilogram_and_hour() -> None:
    """Referee: 1 MET is 3.5 mL/kg/min, about 1 kcal per kg and hour (definition, from memory)."""
    assert energy_kcal(walking_uptake(0, 0), 70, 60) == pytest.approx(70, rel=0.06)


def test_a_mass_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="mass_kg is 0"):
        leg_cycling_uptake(450, 0)
