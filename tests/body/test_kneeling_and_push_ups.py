"""Nordics and push-ups: published figures, laws, and what a graded set does."""

from __future__ import annotations

import itertools

import mujoco
import numpy as np
import pytest
from tests.body.engine import engine_of

from setwright.body.demand import Known, Person, assess, learnt, normal_draws
from setwright.body.lever import swing_share, work_of_rep, working_moment
from setwright.body.models import models
from setwright.body.segments import SEGMENTS, STANDARD_GRAVITY, body_of

MAN, WOMAN = Person(75.0, 1.75, "male", 22.0), Person(62.0, 1.65, "female", 22.0)


def peak(name: str, person: Person, **dials: float | str) -> float:
    """Largest moment of all limbs at the first working joint, N m, by the table as it stands."""
    model = models()[name]
    posture = model.pose(person.body(), model.setting(dials))
    joint = posture.working[0]
    return float(np.nanmax(working_moment(posture, joint))) * joint.limbs


def hands(person: Person, elbow_deg: float, **dials: float | str) -> float:
    """Share of body weight on the hands of a push-up at an elbow angle, per cent."""
    model = models()["push-up"]
    posture = model.pose(person.body(), model.setting(dials))
    return 100.0 * float(np.interp(elbow_deg, posture.lead_deg, posture.shares["hands"][0]))


def test_the_hands_carry_what_was_measured_in_push_ups():
    """Static share on the hands, up and at the bottom: men 67.0 and 74.6 %, women 65.1 and 70.3 %, within 3 points.

    Referee: Mier et al. 2014, Int J Exerc Sci 7:161 (seen). Both body tables are asked; their middle counts, as the
    truth lies between them. How far the feet roll and where the hands are set was chosen on seeing these figures.
    """
    for sex, mass, stature, up, down in (("male", 78.0, 1.78, 67.0, 74.6), ("female", 62.0, 1.66, 65.1, 70.3)):
        people = [Person(mass, stature, sex, 22.0, table) for table in ("de-leva", "winter")]
        assert np.mean([hands(one, 0.0) for one in people]) == pytest.approx(up, abs=3.0)
        assert np.mean([hands(one, 90.0) for one in people]) == pytest.approx(down, abs=3.0)


@pytest.mark.parametrize(
    "dials,measured",
    [
        ({"hand_height_cm": 60.0}, 41.0),
        ({"support": "knees"}, 49.0),
        ({"hand_height_cm": 30.0}, 55.0),
        ({"foot_height_cm": 30.0}, 70.0),
        ({"foot_height_cm": 60.0}, 74.0),
    ],
)
def test_push_up_variants_stand_to_the_floor_as_measured(dials: dict[str, float | str], measured: float):
    """Share on the hands over that of the push-up on the floor (64 % of body mass there), within 0.05.

    Referee: Ebben et al. 2011, J Strength Cond Res 25:2891 (method seen, values second-hand). Shares themselves lie 3
    to 8 points higher here, as in Mier 2014. The values were known when the place of the hands was chosen (beside the
    chest at the bottom, in all variants alike); no constant was fitted to them.
    """
    shares = []
    for table in ("de-leva", "winter"):
        person = Person(78.0, 1.78, "male", 22.0, table)
        shares.append(hands(person, 45.0, **dials) / hands(person, 45.0))

    assert np.mean(shares) == pytest.approx(measured / 64.0, abs=0.05)


def test_push_ups_get_harder_in_the_order_that_was_measured():
    """Hands on 60 cm, knees, hands on 30 cm, floor, feet on 30 and 60 cm. Referee: Ebben et al. 2011, as above."""
    order = [
        hands(MAN, 45.0, hand_height_cm=60.0),
        hands(MAN, 45.0, support="knees"),
        hands(MAN, 45.0, hand_height_cm=30.0),
        hands(MAN, 45.0),
        hands(MAN, 45.0, foot_height_cm=30.0),
        hands(MAN, 45.0, foot_height_cm=60.0),
    ]

    assert order == sorted(order) and len(set(order)) == 6


def test_hands_higher_is_never_harder():
    """From the edge of a step to a wall, hands carry less and less."""
    shares = [hands(MAN, 60.0, hand_height_cm=height) for height in (15.0, 30.0, 45.0, 60.0, 80.0, 100.0, 120.0)]

    assert all(later < earlier for earlier, later in itertools.pairwise(shares))


def test_the_nordic_of_the_trial_person_peaks_near_400_newton_metres():
    """75 kg, 1.75 m: 394 N m by de Leva, 407 by Winter, 10 % more with the arms overhead (own trial of the plan).

    The arms are folded differently in that trial, so 1.5 % is allowed.
    """
    assert peak("nordic", MAN) == pytest.approx(394.0, rel=0.015)
    assert peak("nordic", Person(75.0, 1.75, "male", 22.0, "winter")) == pytest.approx(407.0, rel=0.015)
    assert peak("nordic", MAN, arms="overhead") / peak("nordic", MAN) == pytest.approx(431.0 / 394.0, abs=0.015)


def test_the_peak_of_a_bent_nordic_is_that_of_the_formula():
    """Peak = g sqrt(A2 + B2 + 2 A B cos hip) at the angle atan(B sin hip / (A + B cos hip)): moments by hand.

    A from thighs and upper body at the hip, B from the upper body beyond it; statics, worked here a second time.
    """
    model = models()["nordic"]
    body = MAN.body()
    posture = model.pose(body, model.setting({"hip_flexion_deg": 40.0}))
    upper = [link for link in posture.links if link.name not in ("shank", "thigh")]
    hip = posture.links[1].end
    mass = sum(float(link.mass_kg[0, 0]) for link in upper)
    thigh = float(body.thigh.length_m[0, 0])
    a = 2 * float(body.thigh.mass_kg[0, 0]) * thigh * (1 - 0.4095) + mass * thigh
    at = 30
    b = sum(
        float(link.mass_kg[0, 0]) * np.exp(1j * 0) * complex(*(link.com[0, at] - hip[0, at])) for link in upper
    ) / np.exp(1j * np.deg2rad(posture.lead_deg[at] - 40.0))
    total = a * np.exp(1j * np.deg2rad(posture.lead_deg)) + b * np.exp(1j * np.deg2rad(posture.lead_deg - 40.0))
    ours = working_moment(posture, posture.working[0])[0] * 2

    assert ours == pytest.approx(STANDARD_GRAVITY * total.real, abs=1e-9)
    assert ours.max() == pytest.approx(STANDARD_GRAVITY * abs(a + b * np.exp(-1j * np.deg2rad(40.0))), rel=2e-4)


def test_a_heavier_body_of_the_same_proportions_has_the_same_nordic():
    """Moment and table strength both go with mass times height, so the demand ratio stays."""
    light = assess(models()["nordic"], {}, Person(55.0, 1.75, "male", 22.0), phase="lower")
    heavy = assess(models()["nordic"], {}, Person(110.0, 1.75, "male", 22.0), phase="lower")

    assert light.demand_ratio is not None and heavy.demand_ratio is not None
    assert heavy.demand_ratio.mean == pytest.approx(light.demand_ratio.mean, rel=1e-12)
    assert heavy.work_j.mean == pytest.approx(2 * light.work_j.mean, rel=1e-12)


def test_a_longer_lever_is_never_easier():
    """A taller body of the same mass, arms overhead, a load at the chest: each adds moment."""
    base = peak("nordic", MAN)

    assert peak("nordic", Person(75.0, 1.85, "male", 22.0)) > base
    assert peak("nordic", MAN, arms="overhead") > base
    assert peak("nordic", MAN, load_kg=5.0) > base


def test_a_stiffer_band_is_never_harder():
    """Bands from soft to stiff on the same anchor: the peak falls each time."""
    peaks = [
        peak("nordic", MAN, band_test_kg=float(kg), band_rest_cm=90.0, band_test_cm=150.0) for kg in (2, 5, 10, 20)
    ]

    assert peak("nordic", MAN) > peaks[0]
    assert all(later < earlier for earlier, later in itertools.pairwise(peaks))


def test_a_steeper_support_lets_a_lowering_go_further():
    """The break angle comes later at 20 and 40 degrees of slope, for both sexes. Law of the lever, and the order in
    which sloped supports are used in practice (common practice, no published source)."""
    for person in (MAN, WOMAN):
        found = []
        for slope in (0.0, 20.0, 40.0):
            demand = assess(models()["nordic"], {"incline_deg": slope}, person, phase="lower")
            assert demand.break_angle_deg is not None
            assert demand.break_angle_deg.p10 < demand.break_angle_deg.mean < demand.break_angle_deg.p90
            found.append(demand.break_angle_deg.mean)
        assert found[0] > found[1] > found[2]


def test_hips_that_bend_shorten_the_lever_near_the_floor_and_lengthen_none():
    """With the hips bent the trunk hangs lower: less moment at the bottom."""
    assert peak("nordic", MAN, hip_flexion_deg=60.0) < peak("nordic", MAN)


def test_work_of_a_nordic_is_the_rise_of_the_body():
    """From flat to upright: weight beyond the knee times how far its centre rises. Worked a second time by hand."""
    model = models()["nordic"]
    body = MAN.body()
    posture = model.pose(body, model.setting({}))
    moving = [link for link in posture.links if link.name != "shank"]
    rise = sum(float(link.mass_kg[0, 0]) * (link.com[0, 0, 1] - link.com[0, -1, 1]) for link in moving)

    assert float(work_of_rep(posture)[0]) == pytest.approx(STANDARD_GRAVITY * rise, rel=1e-9)


def test_lowering_is_reckoned_easier_than_raising_and_a_hold_between():
    """Muscles hold more while they lengthen: demand down < still < up. Force and velocity, Anderson 2007."""
    down, still, up = (
        assess(models()["nordic"], {}, MAN, phase=phase).demand_ratio for phase in ("lower", "hold", "raise")
    )

    assert down is not None and still is not None and up is not None
    assert down.mean < still.mean < up.mean


def test_a_set_to_failure_makes_its_own_variant_all_but_exactly_possible():
    """After one nordic done once with nothing left, the demand of the nordic is near 1 and its spread is halved."""
    before = assess(models()["nordic"], {}, MAN)
    after = assess(models()["nordic"], {}, MAN, learnt(Known(), models()["nordic"], {}, MAN, share=1.0))

    assert before.demand_ratio is not None and after.demand_ratio is not None
    assert before.capacity_from == "table" and after.capacity_from == "graded set"
    assert 1.0 < after.demand_ratio.mean < 1.5 < before.demand_ratio.mean
    wide = (before.demand_ratio.p90 - before.demand_ratio.p10) / before.demand_ratio.mean
    narrow = (after.demand_ratio.p90 - after.demand_ratio.p10) / after.demand_ratio.mean
    assert narrow < 0.65 * wide


def test_many_graded_sets_bring_the_break_angle_to_what_was_reached():
    """Ten lowerings controlled down to 30 degrees: the reckoned break angle comes to 30, give or take 3."""
    known = Known()
    for _ in range(10):
        known = learnt(known, models()["nordic"], {}, MAN, reached_deg=30.0, phase="lower")

    demand = assess(models()["nordic"], {}, MAN, known, phase="lower")

    assert demand.break_angle_deg is not None
    assert demand.break_angle_deg.mean == pytest.approx(30.0, abs=3.0)


def test_what_was_learnt_on_a_slope_speaks_for_the_flat():
    """A man who holds down to 10 degrees on a slope of 30 is above the table, and so on the flat too."""
    known = learnt(Known(), models()["nordic"], {"incline_deg": 30.0}, MAN, reached_deg=10.0, phase="lower")

    plain = assess(models()["nordic"], {}, MAN, phase="lower").break_angle_deg
    told = assess(models()["nordic"], {}, MAN, known, phase="lower").break_angle_deg

    assert plain is not None and told is not None
    assert told.mean < plain.mean


def test_push_ups_have_no_demand_ratio_before_a_graded_set():
    """No table covers the elbow: the ratio is missing, the share of body weight is not."""
    demand = assess(models()["push-up"], {}, MAN)

    assert demand.demand_ratio is None and demand.break_angle_deg is None and demand.capacity_from == ""
    assert demand.share is not None and demand.share_name == "hands"
    assert all(point.capacity_nm is None for point in demand.joint.curve)


def test_a_graded_push_up_grades_all_its_variants():
    """Known from the floor at 0.8 of the greatest, hands on 60 cm ask for less, feet on 60 cm and 20 kg for more."""
    known = learnt(Known(), models()["push-up"], {}, MAN, share=0.8)

    def ratio(**dials: float | str) -> float:
        found = assess(models()["push-up"], dials, MAN, known).demand_ratio
        assert found is not None
        return found.mean

    assert ratio() == pytest.approx(0.8, rel=0.02)
    assert ratio(hand_height_cm=60.0) < ratio(support="knees") < ratio() < ratio(load_kg=20.0)


def test_the_swing_of_a_tempo_is_that_of_the_physics_engine():
    """Nordic in 2, 4 and 6 s: inertia times the largest angular acceleration of a cosine course.

    Referee: MuJoCo's inverse dynamics with that acceleration at the knee, on bodies with their own inertia.
    """
    model = models()["nordic"]
    body = MAN.body()
    posture = model.pose(body, model.setting({}))
    most = float(working_moment(posture, posture.working[0]).max()) * 2
    engine = engine_of(posture.links, 0, posture.lead_deg.size - 1)
    for i, link in enumerate(posture.links):
        name = link.name.replace(" ", "_")
        if name in SEGMENTS:
            segment = getattr(body, name)
            radius = segment.gyration * float(segment.length_m[0, 0])
            engine.body_inertia[i + 1] = float(link.mass_kg[0, 0]) * radius**2
    data = mujoco.MjData(engine)
    mujoco.mj_inverse(engine, data)
    still = float(data.qfrc_inverse[1])
    for seconds, about in ((2.0, 0.15), (4.0, 0.04), (6.0, 0.02)):
        data.qacc[:] = 0.0
        data.qacc[1] = np.deg2rad(90.0) / 2.0 * (np.pi / seconds) ** 2
        mujoco.mj_inverse(engine, data)
        theirs = (float(data.qfrc_inverse[1]) - still) / most
        assert swing_share(posture, body, seconds) == pytest.approx(theirs, abs=1e-4)
        assert theirs == pytest.approx(about, abs=0.01)  # +59, +15, +7 N m on 394 in the plan's own trial


def test_dials_outside_their_limits_are_named():
    """The dial, what was found, what is allowed."""
    with pytest.raises(ValueError, match="incline_deg is 95, expected a number from -10 to 60 deg"):
        models()["nordic"].setting({"incline_deg": 95})
    with pytest.raises(ValueError, match="support is 'nose', expected toes, knees"):
        models()["push-up"].setting({"support": "nose"})
    with pytest.raises(LookupError, match="there are: from_deg"):
        models()["nordic"].setting({"colour": 1.0})


def test_draws_are_the_same_every_time_and_even():
    """Each column of the draws has mean 0 and the spread of a standard normal; the first row is the stated person."""
    drawn = normal_draws(400, 10)

    assert np.array_equal(drawn, normal_draws(400, 10))
    assert np.all(drawn[0] == 0.0)
    assert np.allclose(drawn.mean(axis=0), 0.0, atol=1e-9)
    assert np.allclose(drawn.std(axis=0), 1.0, atol=0.02)


def test_two_people_at_once_are_each_alone():
    """Arrays over people mix nobody."""
    model = models()["push-up"]
    both = model.pose(body_of([58.0, 96.0], [1.58, 1.88], "female"), model.setting({}, 2))
    for i, (mass, stature) in enumerate(((58.0, 1.58), (96.0, 1.88))):
        alone = model.pose(body_of(mass, stature, "female"), model.setting({}))
        assert working_moment(both, both.working[0])[i] == pytest.approx(
            working_moment(alone, alone.working[0])[0], abs=1e-9
        )


@pytest.mark.parametrize("slope,measured", [(0.0, 57.75), (20.0, 36.27), (40.0, 16.26)])
def test_control_is_lost_where_it_was_measured_on_slopes(slope: float, measured: float):
    """Break-point angle of 15 men on supports of 0, 20 and 40 degrees: 57.75, 36.27, 16.26 of knee flexion.

    Referee: Soga et al. 2021, J Sports Sci Med 20:216 (abstract seen; SD 9.6 to 13.3). The model was written, and its
    answer printed, before the figures were looked up; nothing was changed after. Half of the smallest SD is allowed.
    """
    demand = assess(models()["nordic"], {"incline_deg": slope}, Person(70.0, 1.73, "male", 22.0), phase="lower")

    assert demand.break_angle_deg is not None
    assert demand.break_angle_deg.mean == pytest.approx(measured, abs=4.8)


@pytest.mark.parametrize("slope,measured", [(-10.0, 67.9), (0.0, 54.0), (10.0, 45.9)])
def test_the_largest_moment_comes_where_it_was_measured_on_a_device(slope: float, measured: float):
    """Angle of the largest moment of 18 men on a 10 degree decline, flat and a 10 degree incline.

    Referee: Frontiers Sports Act Living 2021;3:629606 (abstract seen): 112.1, 126.0 and 134.1 degrees counted from a
    fully bent knee, SD 8.3 to 9.8. What is held is largest where control is lost, so the break angle answers.
    """
    demand = assess(models()["nordic"], {"incline_deg": slope}, Person(78.0, 1.79, "male", 24.0), phase="lower")

    assert demand.break_angle_deg is not None
    assert demand.break_angle_deg.mean == pytest.approx(measured, abs=4.8)
