"""Energy of conditioning by published metabolic equations. Oxygen uptake in mL/kg/min; steady work only.

Source: ACSM metabolic equations (walking and leg cycling seen in course slides; arm cycling from memory).
"""

from __future__ import annotations

KCAL_PER_LITRE = 5.0  # of oxygen, the usual round figure (common practice)


def walking_uptake(speed_m_min: float, grade: float) -> float:
    """Oxygen uptake of walking: 3.5 + 0.1 S + 1.8 S G. Speed m/min, grade as a share (0.10 is 10 %).

    Valid for about 50 to 100 m/min.
    """
    if speed_m_min < 0:
        raise ValueError(f"speed_m_min is {speed_m_min}, expected a number >= 0")
    return 3.5 + 0.1 * speed_m_min + 1.8 * speed_m_min * grade


def leg_cycling_uptake(power_kgm_min: float, mass_kg: float) -> float:
    """Oxygen uptake of leg cycling: 7 + 1.8 W / M. Power kgm/min, body mass kg."""
    if mass_kg <= 0:
        raise ValueError(f"mass_kg is {mass_kg}, expected a number > 0")
    return 7.0 + 1.8 * power_kgm_min / mass_kg


def arm_cycling_uptake(power_kgm_min: float, mass_kg: float) -> float:
    """Oxygen uptake of arm cranking: 3.5 + 3 W / M (from memory, unchecked)."""
    if mass_kg <= 0:
        raise ValueError(f"mass_kg is {mass_kg}, expected a number > 0")
    return 3.5 + 3.0 * power_kgm_min / mass_kg


def energy_kcal(uptake: float, mass_kg: float, minutes: float) -> float:
    """Energy of some minutes at an uptake, kcal: uptake x mass / 1000 x 5 x minutes."""
    return uptake * mass_kg / 1000.0 * KCAL_PER_LITRE * minutes
