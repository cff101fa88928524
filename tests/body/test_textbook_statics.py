"""Worked examples of a physics textbook, reckoned with the chain and its moments.

Referee of every test: OpenStax, College Physics 2e, section 9.6 "Forces and torques in muscles and joints" (answers
seen; g = 9.80 m/s2 there). Weights are given as forces, so that our own g doesn't enter. A muscle is a pull of unknown
size: its force is the moment without it over the moment of one newton of it. A force at a joint comes from moments
about other points.
"""

from __future__ import annotations

import numpy as np
import pytest

from setwright.body.chain import Floats, Link, Pull, joint_moment, mass_centre, point

G = 9.80
Force = tuple[float, float]


def at(x: float, z: float) -> Floats:
    """One point as the chain wants it."""
    return point(np.full((1, 1), x), z)


def bar(pivot: Force = (0.0, 0.0), mass_kg: float = 0.0, com: Force = (0.0, 0.0)) -> Link:
    """A rigid part that turns about a pivot."""
    return Link("part", -1, at(*pivot), at(*com), at(*com), np.full((1, 1), mass_kg))


def pull(where: Force, force: Force) -> Pull:
    """A force on it, N."""
    return Pull(0, at(*where), at(*force), "load")


def moment(pulls: list[Pull], pivot: Force = (0.0, 0.0)) -> float:
    """Moment about a pivot that something else must hold, N m."""
    return float(joint_moment([bar(pivot)], pulls, 0)[0, 0])


def muscle(pulls: list[Pull], where: Force, unit: Force) -> float:
    """Force of a muscle along a unit vector that balances the others about the joint at the origin, N."""
    return -moment(pulls) / moment([pull(where, unit)])


def joint_force(pulls: list[Pull]) -> np.ndarray:
    """Force of the neighbour on the part at the joint, N: what is left of the others, from moments about three points.

    Moving the pivot by a metre along x changes the moment by the plumb part of the sum of forces, along z by the level.
    """
    here = moment(pulls)
    up = moment(pulls, (1.0, 0.0)) - here
    ahead = here - moment(pulls, (0.0, 1.0))
    return -np.array([ahead, up])


def down(where: float, newton: float) -> Pull:
    """A weight at a distance along x."""
    return pull((where, 0.0), (0.0, -newton))


def test_moments_about_three_points_give_the_force():
    """Guard of this file's own way: one slanting force of (3, 4) N is answered by (-3, -4)."""
    assert joint_force([pull((0.2, 0.7), (3.0, 4.0))]) == pytest.approx([-3.0, -4.0])


def test_the_biceps_holds_seven_times_the_weight_of_forearm_and_book():
    """470 N, 7.38 times the weight held; 407 N at the elbow."""
    weights = [down(0.160, 2.50 * G), down(0.380, 4.00 * G)]

    biceps = muscle(weights, (0.040, 0.0), (0.0, 1.0))
    elbow = joint_force([*weights, pull((0.040, 0.0), (0.0, biceps))])

    assert biceps == pytest.approx(470.0, abs=0.5)
    assert biceps / (6.50 * G) == pytest.approx(7.38, abs=0.005)
    assert elbow == pytest.approx([0.0, -407.0], abs=0.5)


def test_a_bent_back_that_lifts_a_box_pulls_with_five_times_the_weight():
    """Back muscles 4.20e3 N, 5.04 times the weight; vertebrae 2.87e3 N plumb, 3.67e3 level: 4.66e3 N at 38.0 deg."""
    weights = [down(0.350, 55.0 * G), down(0.500, 30.0 * G)]
    slope = np.deg2rad(29.0)
    # The muscle passes 8.00 cm from the pivot and pulls the trunk back along a line 29.0 degrees above the horizontal.
    unit = (-float(np.cos(slope)), -float(np.sin(slope)))
    where = (0.0800 * float(-np.sin(slope)), 0.0800 * float(np.cos(slope)))

    back = muscle(weights, where, unit)
    spine = joint_force([*weights, pull(where, (back * unit[0], back * unit[1]))])

    assert back == pytest.approx(4.20e3, abs=5.0)
    assert back / (85.0 * G) == pytest.approx(5.04, abs=0.005)
    assert spine == pytest.approx([3.67e3, 2.87e3], abs=5.0)
    assert float(np.hypot(*spine)) == pytest.approx(4.66e3, abs=5.0)
    assert float(np.rad2deg(np.arctan2(spine[1], spine[0]))) == pytest.approx(38.0, abs=0.05)


def test_a_hand_bears_147_newton_in_a_push_up_and_the_triceps_1680():
    """Mass centre 0.90 m, hands 1.50 m from the feet: 147 N a hand; triceps 1.75 cm, floor 20.0 cm from the elbow.

    The mass, 50 kg, is inferred from the 147 N (the figure gives it), so the first is a check of ours only in part.
    """
    floor = muscle([down(0.90, 50.0 * G)], (1.50, 0.0), (0.0, 1.0))
    hand = floor / 2.0
    triceps = muscle([pull((0.200, 0.0), (0.0, hand))], (-0.0175, 0.0), (0.0, 1.0))

    assert hand == pytest.approx(147.0, abs=0.5)
    assert triceps == pytest.approx(1680.0, abs=1.0)
    assert triceps / (50.0 * G) == pytest.approx(3.4, abs=0.05)


def test_a_push_up_that_lifts_the_mass_centre_24_centimetres_is_118_joules():
    """118 J, and 49.0 W at 25 a minute."""
    lifted = mass_centre([bar(mass_kg=50.0, com=(0.0, 0.240))])

    work = float(lifted[0][0, 0]) * G * float(lifted[1][0, 0, 1])

    assert work == pytest.approx(118.0, abs=0.5)
    assert work * 25.0 / 60.0 == pytest.approx(49.0, abs=0.05)


def test_on_the_toes_of_one_foot_the_tendon_pulls_three_times_the_weight():
    """75 kg: tendon 2.21e3 N up, shin 2.94e3 N down. The split of the 16 cm, 12 and 4, is inferred from the answer."""
    floor = [pull((0.120, 0.0), (0.0, 75.0 * G))]

    tendon = muscle(floor, (-0.040, 0.0), (0.0, 1.0))

    assert tendon == pytest.approx(2.21e3, abs=5.0)
    assert joint_force([*floor, pull((-0.040, 0.0), (0.0, tendon))]) == pytest.approx([0.0, -2.94e3], abs=5.0)


def test_an_upright_head_needs_25_newton_in_the_neck():
    """50 N, 2.5 cm in front of the pivot, muscles 5.0 cm behind: 25 N down, pivot 75 N up."""
    weight = [down(0.025, 50.0)]

    neck = muscle(weight, (-0.050, 0.0), (0.0, -1.0))

    assert neck == pytest.approx(25.0)
    assert joint_force([*weight, pull((-0.050, 0.0), (0.0, -neck))]) == pytest.approx([0.0, 75.0])


def test_a_head_bent_over_a_desk_presses_the_vertebrae_with_97_newton():
    """50 N of head, 60 N of muscle, vertebrae 97 N at 59 degrees.

    The direction of the muscle stands in a figure that was not seen; it is taken from the answer's angle, so only the
    size is a check: the one direction for which the force leans 59 degrees must make it 97 N.
    """

    def vertebrae(slope_deg: float) -> np.ndarray:
        slope = np.deg2rad(slope_deg)
        return joint_force([down(0.0, 50.0), pull((0.0, 0.0), (-60.0 * np.cos(slope), -60.0 * np.sin(slope)))])

    slopes = np.linspace(0.0, 60.0, 6001)
    found = np.array([vertebrae(one) for one in slopes])
    lean = np.rad2deg(np.arctan2(found[:, 1], found[:, 0]))
    best = int(np.argmin(np.abs(lean - 59.0)))

    assert lean[best] == pytest.approx(59.0, abs=0.01)
    assert float(np.hypot(*found[best])) == pytest.approx(97.0, abs=0.5)


def test_the_quadriceps_press_the_kneecap_on_the_thigh_bone():
    """1250 N over the kneecap at 55 and 75 degrees: 1.1e3 N, 190 degrees counter-clockwise from +x.

    Upper tendon up and back at 55 degrees, lower one down and back at 75 (figure not seen, the pair inferred).
    """
    upper, lower = np.deg2rad(180.0 - 55.0), np.deg2rad(180.0 + 75.0)
    tendons = [pull((0.0, 0.0), (1250.0 * np.cos(one), 1250.0 * np.sin(one))) for one in (upper, lower)]

    pressed = -joint_force(tendons)

    assert float(np.hypot(*pressed)) == pytest.approx(1.1e3, abs=50.0)
    assert float(np.rad2deg(np.arctan2(pressed[1], pressed[0]))) % 360.0 == pytest.approx(190.0, abs=0.5)


def test_a_jaw_shares_the_masseter_between_bite_and_joint():
    """Masseter 200 N, bite 5.0 cm from the joint: 1.2e2 N on the teeth, 84 N on the joint.

    Where the muscle pulls stands in a figure that was not seen: 2.9 cm fits the bite of 116 N. The joint's 84 N is
    then the check.
    """
    masseter = pull((0.029, 0.0), (0.0, 200.0))

    bite = muscle([masseter], (0.050, 0.0), (0.0, -1.0))

    assert bite == pytest.approx(1.2e2, abs=5.0)
    assert joint_force([masseter, down(0.050, bite)]) == pytest.approx([0.0, -84.0], abs=0.5)


def test_a_child_on_the_foot_asks_45_newton_metres_of_the_knee():
    """10 kg of child 38 cm from the knee, 4.0 kg of leg at 20 cm (inputs seen, no answer is printed): 45.1 N m."""
    assert moment([down(0.38, 10.0 * G), down(0.20, 4.0 * G)]) == pytest.approx(45.1, abs=0.05)
