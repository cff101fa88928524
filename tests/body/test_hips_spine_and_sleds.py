"""Hinges, bridges, calves, adductors, sleds and carries: published figures, statics by hand, laws of the lever."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from setwright.body.chain import Link, cross, joint_moment, mass_centre, point
from setwright.body.demand import Known, Person, assess, learnt
from setwright.body.lever import Posture, work_of_rep, working_moment
from setwright.body.models import models
from setwright.body.postures.sleds import FALL_WITH_LOAD, friction_of, pull_power_w, steady_pull_n
from setwright.body.postures.spine import rolled_spine, straight_spine
from setwright.body.segments import STANDARD_GRAVITY, TABLES, Body, body_of
from setwright.catalogue.load import catalogue

MAN, WOMAN = body_of(75.0, 1.75, "male"), body_of(62.0, 1.65, "female")


def pose(name: str, body: Body = MAN, **dials: float | str) -> Posture:
    """A posture by the name of its model."""
    model = models()[name]
    return model.pose(body, model.setting(dials, body.people))


def curve(posture: Posture, motion: str) -> np.ndarray:
    """Moment of all limbs at a joint over the movement, N m, first person."""
    (joint,) = [one for one in posture.working if one.motion == motion]
    found = np.broadcast_to(working_moment(posture, joint), (posture.links[0].start.shape[0], posture.lead_deg.size))
    return found[0] * joint.limbs


def peak(name: str, motion: str, body: Body = MAN, **dials: float | str) -> float:
    """Largest moment of all limbs at a joint, N m."""
    return float(np.nanmax(curve(pose(name, body, **dials), motion)))


# Published figures


def test_the_copenhagen_asks_what_was_measured():
    """Hip adduction 1.54 (SD 0.23) N m/kg with the ankle on the stand, 0.93 (0.16) with the knee; 11 men, 13 women.

    Referee: 3D hip and knee loading in the Copenhagen adductor exercise (abstract seen). One constant, where the elbow
    stands, was chosen on seeing both; both tables and sexes are asked, and their middle must lie within one deviation.
    """
    for support, measured, deviation in (("ankle", 1.54, 0.23), ("knee", 0.93, 0.16)):
        found = [
            curve(pose("copenhagen", body_of(mass, stature, sex, table), support=support), "hip-adduction").mean()
            / mass
            for sex, mass, stature in (("male", 80.0, 1.80), ("female", 64.0, 1.68))
            for table in TABLES
        ]
        assert np.mean(found) == pytest.approx(measured, abs=deviation)


def test_the_knee_takes_two_fifths_off_the_copenhagen():
    """Knee over ankle: 0.93 / 1.54 = 0.60 in the same study; within 0.1, as the elbow's place moves both alike."""
    short, long = (peak("copenhagen", "hip-adduction", support=one) for one in ("knee", "ankle"))

    assert short / long == pytest.approx(0.60, abs=0.1)


def test_a_hip_thrust_asks_most_of_the_hips_low_down_and_straightens_the_knee():
    """Hip moment falls through the lift, and the knees hold extension near the top.

    Referees (abstracts seen): Brazil et al. 2021, PLoS ONE 16:e0249307, the hip moment diminished through the lift;
    Otsuka et al. 2021, PLoS ONE 16:e0251418, peak knee extension 66 N m (SD 33) in sprinters at six repetitions. How
    far the feet push away was chosen on seeing the second; the loads aren't in the abstracts, 100 kg is taken.
    """
    thrust = pose(
        "bridge", body_of(70.0, 1.75, "male"), back_height_cm=40.0, to_deg=75.0, knee_top_deg=90.0, load_kg=100.0
    )
    hip, knee = curve(thrust, "hip-extension"), curve(thrust, "knee-flexion")

    assert hip[-20:].mean() > hip[:10].mean()
    assert -knee.min() == pytest.approx(66.0, abs=33.0)
    assert int(np.argmin(knee)) == 0


def test_walking_asks_the_standing_hip_for_less_than_one_newton_metre_a_kilogram():
    """Hip abduction while walking peaks near 0.8 to 1.0 N m/kg. Referee: gait laboratories, from memory, unchecked."""
    for body in (MAN, WOMAN):
        found = peak("carry", "hip-abduction", body, from_deg=0.0, to_deg=0.0) / float(body.mass_kg[0, 0])
        assert 0.7 < found < 1.05


def test_the_low_back_holds_what_the_trial_of_the_plan_found():
    """Man of 75 kg, 1.75 m, trunk 60 degrees, arms hanging, load 0, 5, 10, 20 kg: 105, 123, 141, 176 N m within 6 %.

    Referee: own trial of the plan, another code, whose cut of head and arms differs by some 5 %.
    """
    for load, expected in ((0.0, 105.0), (5.0, 123.0), (10.0, 141.0), (20.0, 176.0)):
        hinge = pose("hinge", load_kg=load)
        (back,) = [one for one in hinge.working if one.motion == "trunk-extension"]
        found = np.interp(60.0, back.angle_deg[0], curve(hinge, "trunk-extension"))
        assert found == pytest.approx(expected, rel=0.06)


@pytest.mark.parametrize("hip,bend", [(60.0, 60.0), (30.0, 90.0)])
def test_rolling_down_costs_a_tenth_less_than_a_flat_back(hip: float, bend: float):
    """A rolled spine against a flat back at 90 degrees, load 0 to 20 kg: 7 to 15 % less, not an order less.

    Referee: own trial of the plan (7 to 13 %), whose cut of the trunk differs by a little.
    """
    for load in (0.0, 10.0, 20.0):
        rolled = curve(pose("roll-down", load_kg=load, hip_deg=hip, to_deg=bend), "trunk-extension")[-1]
        links: list[Link] = []
        hip_at = point(np.zeros((1, 1)), 0.0)
        _, trunk, shoulder = straight_spine(links, -1, hip_at, np.zeros((1, 1)), MAN)
        arms = 2 * (MAN.upper_arm.mass_kg + MAN.forearm.mass_kg + MAN.hand.mass_kg)
        links.append(Link("arms and load", trunk, shoulder, shoulder, shoulder, arms + load))
        flat = float(joint_moment(links, [], trunk)[0, 0])
        assert 0.05 < 1.0 - rolled / flat < 0.16


def test_sled_friction_falls_with_load_as_measured():
    """0.35, 0.33, 0.31 at 44.8, 90.0, 136.2 kg. Referee: Andre et al. 2013 (seen); the middle one wasn't used."""
    assert float(friction_of(90.0, 0.35, 44.8)) == pytest.approx(0.33, abs=0.006)
    assert float(friction_of(136.2, 0.35, 44.8)) == pytest.approx(0.31, abs=1e-3)
    assert 0.0 < FALL_WITH_LOAD < 0.2


def test_an_unknown_surface_is_as_unsure_as_the_published_ones():
    """Drawn pulls without a calibration spread about as 0.21 to 0.58 (Linthorne and Cooper 2013, abstract seen)."""
    person = Person(75.0, 1.75, "male")
    unknown = assess(models()["sled drag"], {"sled_kg": 60.0}, person).share
    known = assess(models()["sled drag"], {"sled_kg": 60.0, "pull_kg": 20.0, "pull_at_kg": 60.0}, person).share

    assert unknown is not None and known is not None
    assert 1.8 < unknown.p90 / unknown.p10 < 3.5
    assert known.p90 / known.p10 < 1.2


def test_most_people_rise_on_one_leg_so_two_legs_are_within_reach():
    """203 people of 20 to 59 rose 27.9 times on one leg (Lunsford and Perry 1995, abstract seen).

    So two legs must be well within reach of a usual person. On one leg the strength table says about 1 and is too low
    by that count: known, and said in the model's note.
    """
    for person in (Person(75.0, 1.75, "male"), Person(62.0, 1.65, "female")):
        two = assess(models()["calf raise"], {}, person).demand_ratio
        one = assess(models()["calf raise"], {"legs": "one"}, person).demand_ratio
        assert two is not None and one is not None
        assert two.mean < 0.75
        assert one.p10 < 1.0
    assert "table is low for calves" in models()["calf raise"].note


# Statics by hand


def test_a_scale_under_the_rope_gives_the_friction_back():
    """A scale of 20 kg on 60 kg means friction 1/3; the pull on those 60 kg is 20 kg again. By hand."""
    level = pose("sled push", sled_kg=60.0, pull_kg=20.0, pull_at_kg=60.0)

    assert -level.pulls[0].force_n[0, 0, 0] == pytest.approx(20.0 * STANDARD_GRAVITY)
    assert float(steady_pull_n(60.0, 1 / 3)) == pytest.approx(20.0 * STANDARD_GRAVITY)


def test_a_rope_that_rises_takes_weight_off_the_ground():
    """mu m g / (cos d + mu sin d): least where tan d = mu. By hand, and by the balance of the sled."""
    mu, up = 0.4, np.deg2rad(20.0)
    force = float(steady_pull_n(50.0, mu, up))
    ground = 50.0 * STANDARD_GRAVITY - force * np.sin(up)

    assert force * np.cos(up) == pytest.approx(mu * ground)
    angles = np.deg2rad(np.linspace(0.0, 60.0, 601))
    best = angles[int(np.argmin(steady_pull_n(50.0, mu, angles)))]
    assert np.tan(best) == pytest.approx(mu, abs=0.005)


def test_twenty_metres_of_sled_are_force_times_way():
    """60 kg at friction 0.3 over 20 m: 0.3 x 588 N x 20 m and no more than one step's rise beside. Power = F v."""
    far, near = (
        float(work_of_rep(pose("sled push", sled_kg=60.0, pull_kg=18.0, pull_at_kg=60.0, distance_m=way))[0])
        for way in (20.0, 0.0)
    )

    assert far - near == pytest.approx(18.0 * STANDARD_GRAVITY * 20.0)
    assert float(pull_power_w(18.0 * STANDARD_GRAVITY, 1.2)) == pytest.approx(211.8, abs=0.1)


def test_forty_kilograms_on_a_sled_say_little_without_the_surface():
    """The two ends of the published surfaces differ by a factor of 2.8 (0.58 / 0.21, Linthorne and Cooper 2013)."""
    rough, smooth = (float(steady_pull_n(40.0, mu)) for mu in (0.58, 0.21))

    assert rough / smooth == pytest.approx(2.8, abs=0.05)


def test_a_leg_raise_at_level_holds_the_legs_at_their_mass_centre():
    """Straight legs level over the edge: weight of both legs times the distance of their mass centre. By hand."""
    links = pose("prone leg raise").links
    legs = [one for one in links if one.name in ("thigh", "shank", "foot")]
    mass, centre = mass_centre(legs)

    by_hand = STANDARD_GRAVITY * float(mass[0, 0]) * float(centre[0, 0, 0])
    assert curve(pose("prone leg raise"), "hip-extension")[0] == pytest.approx(by_hand)


def test_a_suitcase_of_ten_kilograms_at_thirty_centimetres_adds_29_newton_metres():
    """Weight times distance from the middle, trunk upright: 10 x 9.81 x 0.30. By hand."""
    with_it, without = (
        peak("carry", "trunk-lateral-flexion", load_kg=load, hand_out_cm=30.0, from_deg=0.0, to_deg=0.0)
        for load in (10.0, 0.0)
    )

    assert with_it - without == pytest.approx(10.0 * STANDARD_GRAVITY * 0.30)


def test_a_back_extension_is_hardest_with_the_trunk_level():
    """On the 45-degree bench near 45 degrees of hip flexion, on the level one near 0; the peaks are one and the same.

    Folded arms lie a little off the line of the trunk: 3 degrees are let pass.
    """
    slope, level = pose("back extension"), pose("back extension", bench_deg=0.0)
    hip = curve(slope, "hip-extension")

    assert slope.lead_deg[int(np.argmax(hip))] == pytest.approx(45.0, abs=3.0)
    assert hip.max() == pytest.approx(curve(level, "hip-extension")[0], rel=5e-3)


def test_on_the_ball_of_the_foot_the_ankle_holds_the_push_of_the_floor():
    """One leg: weight times the level distance from ankle to ball, less the foot's own weight. By hand."""
    stood = pose("calf raise", legs="one", from_deg=0.0, to_deg=0.0)
    foot = stood.links[0]
    ball, ankle = float(foot.start[0, 0, 0]), float(foot.end[0, 0, 0])
    own = float(foot.mass_kg[0, 0]) * (float(foot.com[0, 0, 0]) - ankle)

    by_hand = STANDARD_GRAVITY * (75.0 * (ball - ankle) - own)
    assert curve(stood, "ankle-plantar-flexion")[0] == pytest.approx(by_hand)


def test_parts_of_the_spine_in_one_line_weigh_like_the_trunk():
    """Rolled by nothing, a spine in parts has the mass and mass centre of the straight one, by both tables."""
    for table in TABLES:
        body = body_of(70.0, 1.70, "female", table)
        hip, tilt = point(np.zeros((1, 1)), 1.0), np.full((1, 1), 0.4)
        flat: list[Link] = []
        straight_spine(flat, -1, hip, tilt, body)
        rolled: list[Link] = []
        rolled_spine(rolled, -1, hip, tilt, tilt, tilt, body)
        whole = [Link("trunk", -1, hip, hip, hip, body.trunk.mass_kg)]

        assert mass_centre(flat)[1] == pytest.approx(mass_centre(rolled)[1], abs=1e-12)
        assert mass_centre(flat)[0] - mass_centre(whole)[0] == pytest.approx(body.head.mass_kg)


# Balance


STANDS = [
    ("hinge", {"load_kg": 30.0}),
    ("hinge", {"load_kg": 60.0, "hold": "close", "knee_per_hip": 0.6}),
    ("hinge", {"legs": "one", "hand_share": 0.1, "load_kg": 8.0}),
    ("hinge", {"hold": "back", "load_kg": 40.0}),
    ("roll-down", {"load_kg": 10.0}),
    ("front carry", {"load_kg": 30.0}),
    ("pull-through", {"stack_kg": 30.0}),
    ("sled drag", {"sled_kg": 90.0}),
    ("sled drag", {"sled_kg": 90.0, "hold": "hips"}),
]


@pytest.mark.parametrize("name,dials", STANDS)
def test_who_stands_is_in_balance_over_the_middle_of_the_foot(name: str, dials: dict[str, float | str]):
    """Weights and pulls together have no moment about the point 5 cm ahead of the ankle. Referee: statics."""
    body = body_of([58.0, 96.0], [1.58, 1.88], None)
    posture = pose(name, body, **dials)
    over = point(np.full((2, 1), 0.05), 0.0)
    mass, centre = mass_centre(posture.links)
    left = -STANDARD_GRAVITY * mass * (centre[..., 0] - over[..., 0])
    for pull in posture.pulls:
        left = left + cross(pull.at - over, pull.force_n)

    assert np.isfinite(left).all()
    # A pull-through closes in by steps: half a millimetre under the foot is let pass.
    assert np.abs(left).max() < (0.0005 * STANDARD_GRAVITY * 100.0 if name == "pull-through" else 1e-8)


PIVOTS = [
    ("bridge", {}),
    ("bridge", {"back_height_cm": 40.0, "load_kg": 60.0, "legs": "one"}),
    ("long-lever bridge", {}),
    ("sliding leg curl", {}),
    ("copenhagen", {}),
    ("copenhagen", {"support": "knee"}),
    ("calf raise", {"legs": "one", "to_deg": -20.0}),
    ("seated calf raise", {"load_kg": 40.0}),
    ("sled push", {"sled_kg": 60.0}),
    ("sled drag", {"way": "forward", "hold": "shoulders"}),
]


@pytest.mark.parametrize("name,dials", PIVOTS)
def test_a_pivot_that_nobody_holds_holds_nothing(name: str, dials: dict[str, float | str]):
    """Moment at the back on the floor, the elbow, the ball of the foot: nought, as the other support balances."""
    posture = pose(name, body_of([58.0, 96.0], [1.58, 1.88], None), **dials)

    root = joint_moment(posture.links, posture.pulls, 0)

    assert np.isfinite(root).all()
    assert np.abs(root).max() < 1e-8


def test_shoulders_and_feet_of_a_bridge_stay_where_they_are():
    """Over the whole movement knees and hips keep their lengths, and the ankle doesn't wander."""
    links = {one.name: one for one in pose("bridge", back_height_cm=40.0, to_deg=75.0).links}

    assert np.ptp(links["shank"].end[0], axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)
    assert np.hypot(*(links["shank"].end - links["shank"].start)[0].T) == pytest.approx(float(MAN.shank.length_m[0, 0]))


def test_the_heel_of_a_sliding_curl_stays_on_the_floor():
    """The ankle keeps its height and only slides away."""
    ankle = {one.name: one for one in pose("sliding leg curl").links}["shank"].end[0]

    assert np.ptp(ankle[:, 1]) < 1e-9
    assert (np.diff(ankle[:, 0]) > 0).all()


# Laws


SHARED = ["back_ext45", "sl_rdl_bw", "glute_bridge", "copen_long", "calf_2_floor", "slide_curl"]


@pytest.mark.parametrize("slug", SHARED)
def test_a_body_heavier_in_proportion_asks_for_moments_in_proportion(slug: str):
    """Twice the mass, same lengths: every moment doubles and every share stays."""
    lever = catalogue().get(slug).lever
    assert lever is not None
    light, heavy = (pose(lever.model, body_of(mass, 1.70, "male"), **lever.dials) for mass in (50.0, 100.0))

    for one, two in zip(light.working, heavy.working, strict=True):
        assert np.nanmax(np.abs(2 * working_moment(light, one) - working_moment(heavy, two))) < 1e-8
    for name, share in light.shares.items():
        assert heavy.shares[name] == pytest.approx(share)


HARDER = [
    ("hinge", "hip-extension", "load_kg", (0.0, 10.0, 40.0, 80.0)),
    ("roll-down", "trunk-extension", "load_kg", (0.0, 5.0, 10.0, 20.0)),
    ("back extension", "hip-extension", "load_kg", (0.0, 10.0, 20.0)),
    ("pull-through", "hip-extension", "stack_kg", (0.0, 10.0, 20.0, 40.0)),
    ("bridge", "hip-extension", "load_kg", (0.0, 20.0, 60.0)),
    ("calf raise", "ankle-plantar-flexion", "load_kg", (0.0, 20.0, 60.0)),
    ("seated calf raise", "ankle-plantar-flexion", "load_kg", (0.0, 20.0, 60.0)),
    ("copenhagen", "hip-adduction", "load_kg", (0.0, 5.0, 10.0)),
    ("side-lying adduction", "hip-adduction", "load_kg", (0.0, 1.0, 3.0)),
    ("sled drag", "knee-extension", "sled_kg", (20.0, 60.0, 120.0)),
    ("carry", "trunk-lateral-flexion", "load_kg", (0.0, 8.0, 24.0)),
    ("carry", "trunk-lateral-flexion", "hand_out_cm", (20.0, 30.0, 40.0)),
    ("front carry", "trunk-extension", "load_kg", (0.0, 16.0, 48.0)),
]


@pytest.mark.parametrize("name,motion,dial,values", HARDER)
def test_more_load_or_a_longer_lever_is_never_easier(name: str, motion: str, dial: str, values: tuple[float, ...]):
    """The peak at the trained joint rises with every step of the dial."""
    given: dict[str, float | str] = {"load_kg": 10.0} if dial == "hand_out_cm" else {}
    peaks = [peak(name, motion, **{**given, dial: value}) for value in values]

    assert all(later > earlier for earlier, later in itertools.pairwise(peaks))


EASIER = [
    ("hinge", "hip-extension", {"legs": "one", "load_kg": 10.0}),
    ("calf raise", "ankle-plantar-flexion", {"legs": "one"}),
]


@pytest.mark.parametrize("name,motion,dials", EASIER)
def test_more_push_of_a_hand_is_never_harder(name: str, motion: str, dials: dict[str, float | str]):
    """From balance only to a firm hand, the peak falls."""
    peaks = [peak(name, motion, **{**dials, "hand_share": share}) for share in (0.0, 0.05, 0.10, 0.20)]

    assert all(later < earlier for earlier, later in itertools.pairwise(peaks))


def test_the_copenhagen_is_longer_at_the_ankle_and_bridges_at_the_far_heel():
    """A longer lever asks more: ankle over knee; straighter knees, more of the hamstrings."""
    assert peak("copenhagen", "hip-adduction") > peak("copenhagen", "hip-adduction", support="knee")
    far = [peak("long-lever bridge", "knee-flexion", knee_top_deg=knee) for knee in (60.0, 45.0, 30.0)]
    assert all(later > earlier for earlier, later in itertools.pairwise(far))


def test_a_graded_short_copenhagen_tells_of_the_long_one():
    """What six repetitions with two left say of the short lever makes the long one harder by the lever, not easier."""
    person, model = Person(75.0, 1.75, "male"), models()["copenhagen"]
    known = learnt(Known(), model, {"support": "knee"}, person, share=0.8)
    short, long = (assess(model, {"support": one}, person, known).demand_ratio for one in ("knee", "ankle"))

    assert short is not None and long is not None
    assert short.mean == pytest.approx(0.8, abs=0.05)
    assert long.mean / short.mean == pytest.approx(
        peak("copenhagen", "hip-adduction") / peak("copenhagen", "hip-adduction", support="knee"), abs=0.05
    )


def test_one_leg_asks_more_of_a_leg_than_two_and_less_than_twice():
    """The free leg behind balances a hinge a little, so one leg holds more than half and less than all of both."""
    one = peak("hinge", "hip-extension", legs="one", load_kg=16.0)
    both = peak("hinge", "hip-extension", load_kg=16.0)

    assert both / 2 < one < both * 1.1


def test_a_pull_through_still_pulls_when_standing_tall():
    """Standing tall the share of the cable is smaller than lower down, and never nought: at least a fifth of the peak.

    Without the cable there is next to nothing to hold there.
    """
    with_it, without = (curve(pose("pull-through", stack_kg=load), "hip-extension") for load in (20.0, 0.0))

    assert 0.2 * with_it.max() < with_it[0] < with_it.max()
    assert abs(without[0]) < 0.05 * without.max()


def test_a_band_under_the_foot_eases_downwards_and_pulls_most_at_the_top():
    """The share that the hands hold of a band is largest standing tall; a stiffer band is never easier."""
    band: dict[str, float | str] = {"hold": "close", "band_rest_cm": 40.0, "band_test_cm": 75.0}
    soft, stiff = (pose("hinge", **band, band_test_kg=kg) for kg in (10.0, 20.0))
    held = soft.shares["hands"][0]

    assert int(np.argmax(held)) < 6 and held[0] > 0.1 > held[-1]
    assert (curve(stiff, "hip-extension")[30:] >= curve(soft, "hip-extension")[30:]).all()


def test_a_load_close_over_the_foot_spares_the_low_back_beside_one_that_hangs_ahead():
    """Same 40 kg: kept over the foot the low back holds less than with the arms plumb below the shoulders."""
    close, hanging = (peak("hinge", "trunk-extension", hold=hold, load_kg=40.0) for hold in ("close", "hanging"))

    assert close < hanging


def test_a_load_in_each_hand_spares_the_side_but_not_the_standing_hip():
    """Two bells balance the trunk and press the standing hip; one bell on the far side of it asks most of all."""
    one = pose("carry", load_kg=16.0, to_deg=0.0)
    two = pose("carry", load_kg=16.0, to_deg=0.0, hands="two")
    none = pose("carry", load_kg=0.0, to_deg=0.0)

    assert curve(two, "trunk-lateral-flexion")[0] == pytest.approx(0.0, abs=1e-9)
    assert curve(none, "hip-abduction")[0] < curve(two, "hip-abduction")[0] < curve(one, "hip-abduction")[0]


def test_pushing_the_feet_away_moves_work_from_hip_to_knee():
    """The further the feet push away, the less the hip holds at the top and the more the knee leans to extension."""
    thrusts = [pose("bridge", back_height_cm=40.0, load_kg=60.0, push_tilt_deg=tilt) for tilt in (0.0, 5.0, 10.0)]

    for motion in ("hip-extension", "knee-flexion"):
        tops = [curve(one, motion)[0] for one in thrusts]
        assert all(later < earlier for earlier, later in itertools.pairwise(tops))


def test_a_pull_beyond_what_body_and_feet_can_hold_is_said():
    """A pull of 250 kg: the feet would slip, and the sentence tells a coach so."""
    posture = pose("sled drag", sled_kg=400.0, pull_kg=250.0, pull_at_kg=400.0)

    assert not np.asarray(posture.possible).all()
    assert "feet" in posture.why_not


FAMILY = {"hinge", "single_leg_hinge", "hip_extension", "calf", "hip_adduction", "sled", "carry"}


def test_what_the_family_asks_of_usual_people_is_believable():
    """Every modelled exercise of these families, as the catalogue sets it: a demand between a tenth and 1.5.

    No measured figure: a guard against postures that no coach would believe. Common practice.
    """
    found = 0
    for exercise in catalogue().values():
        if exercise.lever is None or exercise.pattern not in FAMILY:
            continue
        for person in (Person(75.0, 1.75, "male"), Person(62.0, 1.65, "female")):
            demand = assess(models()[exercise.lever.model], exercise.lever.dials, person, phase=exercise.lever.phase)
            assert demand.possible > 0.6, exercise.slug
            if demand.demand_ratio is not None:
                assert 0.1 < demand.demand_ratio.mean < 1.5, (exercise.slug, demand.demand_ratio)
                found += 1
    assert found > 40
