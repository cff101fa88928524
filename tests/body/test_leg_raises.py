"""Leg raises, curls and the hollow hold: statics by hand, laws of the lever, what passive pivots must not hold."""

from __future__ import annotations

import numpy as np
import pytest

from setwright.body.chain import joint_moment
from setwright.body.demand import Person, assess
from setwright.body.lever import Posture, working_moment
from setwright.body.models import models
from setwright.body.segments import STANDARD_GRAVITY, Body, body_of
from setwright.catalogue.load import catalogue

MAN, WOMAN = body_of(75.0, 1.75, "male"), body_of(62.0, 1.65, "female")
HANGING = ("hang_leg_raise", "hang_knee_raise", "toes_to_bar")
LYING = ("slr", "psoas_march", "dead_bug", "dead_bug_legs", "sl_abd", "situp", "situp_load", "crunch", "curl_up")
LINKED = (*HANGING, *LYING, "psoas_march_stand", "straddle_lift", "hollow_hold", "push_hold")


def pose(name: str, body: Body = MAN, **dials: float | str) -> Posture:
    """A posture by the name of its model."""
    model = models()[name]
    return model.pose(body, model.setting(dials, body.people))


def curve(posture: Posture, motion: str) -> np.ndarray:
    """Moment of all limbs at a joint over the movement, N m, first person."""
    (joint,) = [one for one in posture.working if one.motion == motion]
    found = np.broadcast_to(working_moment(posture, joint)[:1], (1, posture.lead_deg.size))[0]
    return found * joint.limbs


def peak(name: str, motion: str, body: Body = MAN, **dials: float | str) -> float:
    """Largest moment of all limbs at a joint, N m."""
    return float(np.nanmax(curve(pose(name, body, **dials), motion)))


def test_a_straight_leg_held_level_by_hand():
    """75 kg, 1.75 m, de Leva by hand: 47 N m, and 8.5 more with 1 kg at the ankle 0.867 m away.

    Thigh 10.62 kg at 0.174 m, shank 3.25 kg at 0.424 + 0.195 m, foot 1.03 kg a hand's breadth beyond the ankle:
    9.81 (1.85 + 2.01 + 0.9) = 46.7 N m. Referee: the lever rule; within 1 N m, as the foot's place is rounded.
    """
    level = curve(pose("leg raise", legs="one"), "hip-flexion")[-1]
    loaded = curve(pose("leg raise", legs="one", load_kg=1.0), "hip-flexion")[-1]

    assert level == pytest.approx(46.7, abs=1.0)
    assert loaded - level == pytest.approx(0.867 * STANDARD_GRAVITY, abs=0.01)


def test_two_kinds_of_side_lying_weigh_the_same_leg():
    """Abduction of the upper leg and adduction of the lower one hold the same leg, level at the bottom."""
    up = peak("side-lying leg raise", "hip-abduction", load_kg=2.0)
    down = peak("side-lying adduction", "hip-adduction", load_kg=2.0)

    assert up == pytest.approx(down, rel=1e-9)


def test_a_crunch_by_hand():
    """The upper trunk, head and folded arms as one weight at the hinge: M = sum of m g d, level at the bottom."""
    posture = pose("sit-up", from_deg=30.0, curl_deg=70.0, bend_share=0.6)
    lifted = [one for one in posture.links if one.name in ("upper trunk", "head", "upper arm", "forearm")]
    hinge = 0.6 * float(MAN.trunk.length_m[0, 0])
    by_hand = sum(STANDARD_GRAVITY * float(one.mass_kg[0, 0]) * (-float(one.com[0, -1, 0]) - hinge) for one in lifted)

    assert len(lifted) == 4
    assert curve(posture, "trunk-flexion")[-1] == pytest.approx(by_hand, rel=1e-9)
    assert 30.0 < by_hand < 70.0


def test_the_trunk_keeps_its_weight_and_balance_wherever_it_bends():
    """Level on the floor, trunk and head pull on the hips alike for every hinge. Referee: the uncut trunk."""
    whole = float(MAN.trunk.mass_kg[0, 0] * MAN.trunk.com_m[0, 0])
    for share in (0.2, 0.4, 0.75):
        links = [one for one in pose("sit-up", bend_share=share).links if one.name.endswith("trunk")]
        assert len(links) == 2
        assert sum(float(one.mass_kg[0, 0] * -one.com[0, -1, 0]) for one in links) == pytest.approx(whole, rel=1e-9)


@pytest.mark.parametrize(
    "name,dials",
    [
        ("leg raise", {"position": "hanging", "from_deg": 120.0, "curl_deg": 45.0, "arms_deg": 40.0, "load_kg": 3.0}),
        ("leg raise", {"position": "hanging", "legs": "one", "knee_deg": 90.0}),
        ("sit-up", {"load_kg": 10.0}),
        ("sit-up", {"curl_deg": 0.0, "arms": "overhead"}),
        ("hollow hold", {}),
    ],
)
def test_what_nobody_holds_is_in_balance(name: str, dials: dict[str, float | str]):
    """About the grip, and about the hips of a body on the floor, all forces together turn nothing."""
    posture = pose(name, **dials)

    assert np.abs(joint_moment(posture.links, posture.pulls, 0)).max() < 1e-9
    assert np.abs(curve(posture, "hip-flexion")).max() > 20.0


def test_a_hanging_body_swings_back_as_the_legs_come_forward():
    """Shoulders end behind the bar, legs before it; hanging still, all is plumb and nothing is held."""
    posture = pose("leg raise", position="hanging", from_deg=90.0)
    shoulder = next(one for one in posture.links if one.name == "upper trunk").start
    ankle = next(one for one in posture.links if one.name == "shank").end

    assert shoulder[0, 0, 0] < -0.03 and ankle[0, 0, 0] > 0.3
    assert abs(shoulder[0, -1, 0]) < 0.01
    assert abs(curve(posture, "hip-flexion")[-1]) < 2.0
    assert posture.shares["hands on the bar"] == pytest.approx(1.0)


@pytest.mark.parametrize("body", [MAN, WOMAN])
def test_longer_levers_are_never_easier(body: Body):
    """Bent knees, arms nearer, a lighter load, one leg less: each asks less. Overhead arms ask most."""
    for place in ("supine", "hanging", "seated straddle", "standing"):
        dials: dict[str, float | str] = {"position": place, "from_deg": 100.0}
        straight, bent = (peak("leg raise", "hip-flexion", body, **dials, knee_deg=one) for one in (0.0, 90.0))
        assert bent <= straight + 1e-9
    one, both = (peak("leg raise", "hip-flexion", body, legs=legs) for legs in ("one", "both"))
    assert both == pytest.approx(2 * one)
    for name in ("sit-up", "hollow hold"):
        by_arms = [peak(name, "trunk-flexion", body, arms=arms) for arms in ("along", "chest", "head", "overhead")]
        assert by_arms == sorted(by_arms) and by_arms[0] < 0.8 * by_arms[-1]
    assert peak("sit-up", "hip-flexion", body, load_kg=5.0) > peak("sit-up", "hip-flexion", body)


def test_a_back_that_curls_first_spares_the_hips():
    """The further the spine bends before the low back lifts, the less the hips hold at most."""
    found = [peak("sit-up", "hip-flexion", curl_deg=curl) for curl in (0.0, 20.0, 40.0, 60.0)]

    assert found == sorted(found, reverse=True) and found[-1] < 0.8 * found[0]


def test_legs_nearer_to_the_floor_are_harder_to_hold():
    """Supine and hollow: the moment grows all the way down."""
    for name in ("leg raise", "hollow hold"):
        assert np.all(np.diff(curve(pose(name), "hip-flexion")) > 0)


def test_a_heavier_body_in_proportion_has_the_same_share():
    """Twice the mass at one stature: twice the moment, the same share of body weight."""
    light, heavy = (body_of(mass, 1.75, "male") for mass in (50.0, 100.0))
    for name in ("side-lying leg raise", "sit-up", "hollow hold"):
        first, second = (next(iter(pose(name, one).shares.values())) for one in (light, heavy))
        assert np.abs(first).max() > 0.01
        assert first == pytest.approx(second)


def test_a_stiffer_band_between_the_feet_is_never_easier():
    """Lying and standing, from the ankle that stays to the one that is lifted."""
    for place in ("supine", "standing"):
        found = [
            peak(
                "leg raise",
                "hip-flexion",
                position=place,
                legs="one",
                knee_deg=90.0,
                from_deg=100.0,
                band_rest_cm=30.0,
                band_test_kg=mass,
                band_test_cm=60.0,
            )
            for mass in (0.0, 2.0, 6.0)
        ]
        assert found == sorted(found) and found[-1] > found[0] + 5.0


def test_nearly_everyone_lifts_a_bent_knee_above_the_hip_standing():
    """And a straight leg off the floor takes less than half. Common practice, no published source."""
    for person in (Person(75.0, 1.75, "male"), Person(62.0, 1.65, "female")):
        knee = {"position": "standing", "legs": "one", "knee_deg": 90.0, "from_deg": 110.0}
        for dials in (knee, {"legs": "one", "from_deg": 45.0}):
            ratio = assess(models()["leg raise"], dials, person, draws=100).demand_ratio
            assert ratio is not None and 0.2 < ratio.mean < 0.6 and ratio.p90 < 0.8


def test_a_hollow_that_tips_is_refused():
    """The usual one lies on the low back; a heavy plate on the chest with the legs up tips it onto the shoulders."""
    easy = pose("hollow hold")
    tips = pose("hollow hold", load_kg=30.0, from_deg=90.0, bend_share=0.3)

    assert np.all(easy.possible)
    assert not np.any(tips.possible[:, 0]) and "onto the shoulders" in tips.why_not


def test_a_crunch_is_told_by_its_share_as_no_table_has_the_trunk():
    """No demand ratio of hips that rest."""
    demand = assess(models()["sit-up"], {"from_deg": 30.0, "curl_deg": 70.0}, Person(75.0, 1.75, "male"), draws=50)

    assert [one.motion for one in demand.joints] == ["trunk-flexion"]
    assert demand.demand_ratio is None and demand.share is not None and 0.05 < demand.share.mean < 0.3


@pytest.mark.parametrize("slug", LINKED)
def test_entries_are_linked_with_dials_that_can_be_held(slug: str):
    """Every entry of the family poses for a man and a woman over its whole range."""
    lever = catalogue().get(slug).lever
    assert lever is not None
    for body in (MAN, WOMAN):
        posture = pose(lever.model, body, **lever.dials)
        assert np.all(posture.possible)
        assert float(np.nanmax(working_moment(posture, posture.working[0]))) > 3.0


def test_held_positions_are_reckoned_as_holds():
    """Push-up hold, curl-up and hollow hold: muscles neither shorten nor lengthen."""
    for slug in ("push_hold", "curl_up", "hollow_hold"):
        lever = catalogue().get(slug).lever
        assert lever is not None and lever.phase == "hold"
