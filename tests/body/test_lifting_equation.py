"""The revised lifting equation against its printed tables, and what makes it a warning and no verdict."""

from __future__ import annotations

import math

import pytest

from setwright.body.lifting_equation import (
    COMPRESSION_LIMIT_N,
    Lift,
    asymmetry_multiplier,
    compression_n,
    coupling_multiplier,
    distance_multiplier,
    frequency_multiplier,
    horizontal_multiplier,
    lift_warning,
    lifting_index,
    recommended_kg,
    vertical_multiplier,
)
from setwright.body.models import models
from setwright.body.segments import body_of

# DHHS (NIOSH) publication 94-110, table 5 (seen): lifts a minute; up to 1 h, 2 h, 8 h, each below 75 cm and not.
FREQUENCY = """
0.2 1.00 1.00 .95 .95 .85 .85
0.5 .97 .97 .92 .92 .81 .81
1 .94 .94 .88 .88 .75 .75
2 .91 .91 .84 .84 .65 .65
3 .88 .88 .79 .79 .55 .55
4 .84 .84 .72 .72 .45 .45
5 .80 .80 .60 .60 .35 .35
6 .75 .75 .50 .50 .27 .27
7 .70 .70 .42 .42 .22 .22
8 .60 .60 .35 .35 .18 .18
9 .52 .52 .30 .30 .00 .15
10 .45 .45 .26 .26 .00 .13
11 .41 .41 .00 .23 .00 .00
12 .37 .37 .00 .21 .00 .00
13 .00 .34 .00 .00 .00 .00
14 .00 .31 .00 .00 .00 .00
15 .00 .28 .00 .00 .00 .00
15.1 .00 .00 .00 .00 .00 .00
"""
# Table 7 (seen): grip; below 75 cm and not.
COUPLING = {"good": (1.00, 1.00), "fair": (0.95, 1.00), "poor": (0.90, 0.90)}
WORKS = ("up_to_1_hour", "up_to_2_hours", "up_to_8_hours")


@pytest.mark.parametrize("row", FREQUENCY.strip().splitlines())
def test_how_often_is_as_printed(row: str):
    """All 18 rows of the frequency table. Referee: NIOSH 94-110, table 5 (seen)."""
    often, *printed = (float(one) for one in row.split())

    found = [frequency_multiplier(often, work, height) for work in WORKS for height in (30.0, 75.0)]

    assert found == pytest.approx(printed, abs=1e-12)


@pytest.mark.parametrize("grip", COUPLING)
def test_the_grip_is_as_printed(grip: str):
    """All rows of the coupling table. Referee: NIOSH 94-110, table 7 (seen)."""
    assert (coupling_multiplier(grip, 74.9), coupling_multiplier(grip, 75.0)) == COUPLING[grip]


def test_between_rows_the_frequency_is_interpolated_and_seldom_counts_as_seldom():
    """1.5 lifts a minute lies half way between 1 and 2; fewer than 0.2 are 0.2 (limits seen)."""
    assert frequency_multiplier(1.5, "up_to_1_hour", 30.0) == pytest.approx((0.94 + 0.91) / 2)
    assert frequency_multiplier(0.01, "up_to_8_hours", 30.0) == 0.85


def test_the_formulas_and_their_limits_are_as_printed():
    """25/H, 1 - 0.003 |V - 75|, 0.82 + 4.5/D, 1 - 0.0032 A. Referee: NIOSH 94-110 (formulas and limits seen)."""
    assert [horizontal_multiplier(one) for one in (10.0, 25.0, 50.0, 63.0, 63.1)] == pytest.approx(
        [1.0, 1.0, 0.5, 25.0 / 63.0, 0.0]
    )
    assert [vertical_multiplier(one) for one in (0.0, 75.0, 175.0, 175.1)] == pytest.approx([0.775, 1.0, 0.70, 0.0])
    assert [distance_multiplier(one) for one in (0.0, 25.0, 100.0, 175.0, 175.1)] == pytest.approx(
        [1.0, 1.0, 0.865, 0.82 + 4.5 / 175.0, 0.0]
    )
    assert [asymmetry_multiplier(one) for one in (0.0, 90.0, 135.0, 135.1)] == pytest.approx([1.0, 0.712, 0.568, 0.0])


def test_the_best_lift_recommends_the_load_constant():
    """23 kg where every multiplier is 1. Referee: the load constant (seen)."""
    assert recommended_kg(Lift(25.0, 75.0, 25.0)) == 23.0


def test_the_punch_press_of_the_manual():
    """Stock of 44 lb, hands 23 in forward and 15 in up, way 49 in, fair grip: limit 16.3 lb, index 2.7 at the start.

    Referee: NIOSH 94-110, example 1, from memory, unchecked. The manual rounds each multiplier to two digits and
    reckons in inches, so 5 % is allowed.
    """
    inch, pound = 2.54, 0.45359237
    lift = Lift(23 * inch, 15 * inch, 49 * inch, coupling="fair")

    assert recommended_kg(lift) == pytest.approx(16.3 * pound, rel=0.05)
    assert lifting_index(44 * pound, lift) == pytest.approx(2.7, rel=0.05)


def test_no_part_of_a_lift_made_worse_ever_raises_the_limit():
    """Further out, lower, a longer way, more twist, more often, longer work, a worse grip: never more kilograms."""
    base = {"hands_cm": 35.0, "height_cm": 60.0, "way_cm": 50.0, "twist_deg": 10.0, "lifts_per_min": 2.0}
    usual = recommended_kg(Lift(**base))  # type: ignore[arg-type]
    worse = [
        {"hands_cm": 45.0},
        {"height_cm": 30.0},
        {"way_cm": 90.0},
        {"twist_deg": 60.0},
        {"lifts_per_min": 6.0},
        {"work": "up_to_8_hours"},
        {"coupling": "poor"},
    ]

    for change in worse:
        assert recommended_kg(Lift(**{**base, **change})) < usual  # type: ignore[arg-type]


def test_where_nothing_is_recommended_any_load_is_beyond():
    """Hands 80 cm out: no limit, and the index has no end; no load is no lift."""
    far = Lift(80.0, 75.0, 25.0)

    assert lifting_index(1.0, far) == math.inf
    assert lifting_index(0.0, far) == 0.0


@pytest.mark.parametrize("field", ["hands_cm", "height_cm", "way_cm", "twist_deg", "lifts_per_min"])
def test_a_length_below_nought_is_refused(field: str):
    """The message names the field and what is allowed."""
    given = {"hands_cm": 30.0, "height_cm": 60.0, "way_cm": 50.0, field: -1.0}

    with pytest.raises(ValueError, match=f"{field} is -1.0, expected a number >= 0"):
        Lift(**given)  # type: ignore[arg-type]


def test_unknown_grips_and_works_are_told_what_there_is():
    """Both messages list the words."""
    with pytest.raises(LookupError, match="no grip 'firm'; there is: good, fair, poor"):
        coupling_multiplier("firm", 30.0)  # type: ignore[arg-type]
    with pytest.raises(LookupError, match="there is: up_to_1_hour, up_to_2_hours, up_to_8_hours"):
        frequency_multiplier(1.0, "lifts_per_min", 30.0)  # type: ignore[arg-type]


def test_one_muscle_behind_the_spine_presses_by_its_short_arm():
    """110 N m over 5 and 6 cm, trunk level: 1.8 and 2.2 kN; upright the weight above comes on top."""
    assert compression_n(110.0, 500.0, math.pi / 2) == pytest.approx((110.0 / 0.06, 110.0 / 0.05))
    assert compression_n(0.0, 500.0, 0.0) == pytest.approx((500.0, 500.0))


def hinge_warning(**dials: float | str):
    """The warning of a hinge of a man of 75 kg and 1.75 m."""
    model = models()["hinge"]
    return lift_warning(model.pose(body_of(75.0, 1.75, "male"), model.setting(dials)))


def test_a_stoop_for_a_heavy_load_is_worth_a_look_and_a_light_one_is_not():
    """60 kg beyond both figures, 2 kg beyond none; the words call it a reason to look and no verdict."""
    heavy, light = hinge_warning(load_kg=60.0), hinge_warning(load_kg=2.0, to_deg=45.0)

    assert heavy is not None and light is not None
    assert heavy.worth_a_look and heavy.index > 1.0 and heavy.compression_n[0] > COMPRESSION_LIMIT_N
    assert not light.worth_a_look
    assert "not a verdict" in heavy.words() and "60 kg" in heavy.words()


def test_the_warning_reads_hands_and_way_from_the_posture():
    """Held over the foot the hands are 5 cm from the ankles; bending further lengthens the way and lowers the start."""
    less, more = hinge_warning(load_kg=20.0, hold="close", to_deg=60.0), hinge_warning(load_kg=20.0, hold="close")

    assert less is not None and more is not None
    assert more.lift.hands_cm == pytest.approx(5.0)
    assert more.lift.height_cm < less.lift.height_cm
    assert more.lift.way_cm > less.lift.way_cm


def test_without_a_load_there_is_no_warning():
    """Nothing lifted, nothing to warn of."""
    assert hinge_warning() is None
