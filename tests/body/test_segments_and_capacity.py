"""Body tables, joint strength and bands against their sources."""

from __future__ import annotations

import numpy as np
import pytest

from setwright.body.bands import Band
from setwright.body.capacity import JointStrength, Personal, has_table, joint_strength, spread_of
from setwright.body.chain import hanging, mass_centre, point
from setwright.body.segments import STANDARD_GRAVITY, Measured, body_of, guesses_of, segment_shares


@pytest.mark.parametrize("table", ["de-leva", "winter"])
@pytest.mark.parametrize("sex", ["female", "male", None])
def test_the_segments_of_a_body_weigh_the_whole_body(table, sex):
    """Two of each limb, one trunk and head. The tables sum to 0.9998 to 1 as printed; here exactly to 1."""
    shares = segment_shares(table, sex)
    whole = sum(row["mass"] * (1 if name in ("trunk", "head") else 2) for name, row in shares.items())

    assert whole == pytest.approx(1.0, abs=1e-12)


def test_segment_lengths_of_the_reference_people_are_those_printed():
    """de Leva 1996, table 4 (seen): thigh 422.2 mm, shank 440.3, upper arm 281.7 at 1741 mm; 368.5, 438.6 at 1735."""
    man, woman = body_of(73.0, 1.741, "male"), body_of(61.9, 1.735, "female")

    assert float(man.thigh.length_m[0, 0]) == pytest.approx(0.4222, abs=2e-4)
    assert float(man.shank.length_m[0, 0]) == pytest.approx(0.4403, abs=2e-4)
    assert float(man.upper_arm.length_m[0, 0]) == pytest.approx(0.2817, abs=2e-4)
    assert float(woman.thigh.length_m[0, 0]) == pytest.approx(0.3685, abs=2e-4)
    assert float(woman.shank.length_m[0, 0]) == pytest.approx(0.4386, abs=2e-4)


def test_mass_centre_and_inertia_of_a_standing_leg():
    """Foot, shank and thigh of a person of 100 kg by Dempster and Winter from measured joints.

    Referee: worked notebook on body segments (BMClab/BMC, commit fa66686, seen): mass centre of the limb
    (0.818, 0.584) m, inertia 1.257 kg m2 about it and 3.317 about the hip.
    """
    shares = segment_shares("winter", None)
    toes, ankle, knee, hip = (point(*at) for at in ((1.011, 0.013), (0.849, 0.110), (0.864, 0.549), (0.721, 0.928)))
    links, radii = [], []
    for name, near, far, share in (
        ("thigh", hip, knee, 0.433),
        ("shank", knee, ankle, 0.433),
        ("foot", ankle, toes, 0.5),
    ):
        start, end = near[None, None], far[None, None]
        mass = np.array([[shares[name]["mass"] * 100.0]])
        links.append(hanging(name, len(links) - 1, start, end, share, mass))
        radii.append(shares[name]["gyration"] * float(np.hypot(*(far - near))))

    mass, centre = mass_centre(links)
    about_hip = sum(
        float(link.mass_kg[0, 0]) * (float(np.sum((link.com[0, 0] - hip) ** 2)) + radius**2)
        for link, radius in zip(links, radii, strict=True)
    )
    off = float(np.sum((centre[0, 0] - hip) ** 2))

    assert float(mass[0, 0]) == pytest.approx(16.1, abs=1e-9)
    assert centre[0, 0] == pytest.approx([0.818, 0.584], abs=5e-4)
    assert about_hip == pytest.approx(3.317, abs=5e-4)
    assert about_hip - 16.1 * off == pytest.approx(1.257, abs=5e-4)


def test_own_lengths_override_the_table():
    """A thigh measured at 45 cm is 45 cm; the others stay. A name that is no segment is refused."""
    own = body_of(75.0, 1.75, "male", measured=Measured({"thigh": 0.45}))

    assert float(own.thigh.length_m[0, 0]) == 0.45
    assert np.array_equal(own.shank.length_m, body_of(75.0, 1.75, "male").shank.length_m)
    with pytest.raises(ValueError, match="no segment that can be measured"):
        Measured({"nose": 0.05})


def test_impossible_bodies_are_refused():
    """Mass and stature have limits that are named."""
    with pytest.raises(ValueError, match="mass_kg is 5, expected 20 to 350"):
        body_of(5.0, 1.75)
    with pytest.raises(ValueError, match=r"stature_m is 175, expected 1 to 2\.5"):
        body_of(75.0, 175.0)


def test_guesses_of_a_person_keep_the_mass_and_the_first_is_the_table():
    """Every guess weighs what the person weighs; the row of zeros is the table as it stands."""
    normal = np.vstack([np.zeros((1, 18)), np.random.default_rng(4).normal(size=(200, 18))])
    bodies = guesses_of(80.0, 1.80, "male", "de-leva", None, normal)
    plain = body_of(80.0, 1.80, "male")
    twice = sum(getattr(bodies, name).mass_kg for name in ("thigh", "shank", "foot", "upper_arm", "forearm", "hand"))

    assert np.allclose(2 * twice + bodies.trunk.mass_kg + bodies.head.mass_kg, 80.0)
    assert float(bodies.thigh.length_m[0, 0]) == pytest.approx(float(plain.thigh.length_m[0, 0]), abs=1e-12)
    assert 0.02 < float(np.std(np.log(bodies.thigh.length_m))) < 0.12


def test_joint_strength_falls_to_three_quarters_and_to_half_at_its_two_speeds():
    """f(C4) = 0.75 and f(C5) = 0.5, and no step at rest. Referee: Anderson et al. 2007, meaning of C4 and C5."""
    for motion in ("knee-flexion", "knee-extension", "hip-extension", "hip-flexion", "ankle-plantar-flexion"):
        for sex in ("female", "male"):
            for age in (21, 60, 70):
                one = joint_strength(motion, sex, age)
                assert one.speed_factor(one.c4) == pytest.approx(0.75, abs=1e-12)
                assert one.speed_factor(one.c5) == pytest.approx(0.5, abs=1e-12)
                assert one.speed_factor(1e-9) == pytest.approx(one.speed_factor(-1e-9), abs=1e-6)


def test_a_young_mans_hamstrings_hold_about_a_tenth_of_weight_times_height():
    """Best angle C3 = 0.522 rad: C1 m g H = 0.087 of 75 kg and 1.75 m, 112 N m. Referee: Anderson 2007, table 3."""
    one = joint_strength("knee-flexion", "male", 21.0)
    body = body_of(75.0, 1.75, "male")

    best = float(one.moment_nm(body, np.rad2deg(0.522))[0, 0])

    assert best == pytest.approx(0.087 * 75.0 * STANDARD_GRAVITY * 1.75, rel=1e-9)
    assert float(one.moment_nm(body, np.rad2deg(0.522), -0.5)[0, 0]) > best
    assert float(one.moment_nm(body, np.rad2deg(0.522), 0.5)[0, 0]) < best


def test_strength_is_interpolated_between_the_ages_of_the_table_and_kept_outside():
    """Forty lies between twenty-one and sixty; a hundred is taken as the oldest group."""
    young, middle, old, older = (joint_strength("knee-extension", "female", age).c1 for age in (21, 40, 60, 100))

    assert old < middle < young
    assert older == pytest.approx(0.124, abs=1e-12)


def test_the_table_says_nothing_of_arms():
    """Elbow and shoulder have no capacity until a graded set gives one."""
    assert has_table("ankle-dorsiflexion") and not has_table("elbow-flexion")
    with pytest.raises(LookupError, match="covers hip, knee and ankle"):
        joint_strength("elbow-flexion", "male", 30.0)
    assert spread_of("knee-flexion") == pytest.approx(0.17, abs=0.005)  # SD 0.015 of 0.087, same table


def test_learning_of_strength_is_that_of_two_normal_measurements():
    """Referee: textbook product of normals, weights by inverse variance."""
    first, second = Personal(0.1, 0.2), (0.4, 0.1)

    now = first.learnt(*second)

    weights = np.array([1 / 0.2**2, 1 / 0.1**2])
    assert now.mean == pytest.approx(float(weights @ [0.1, 0.4] / weights.sum()), abs=1e-12)
    assert now.sd == pytest.approx(float(weights.sum() ** -0.5), abs=1e-12)


def test_a_band_gives_back_its_one_calibration_and_nothing_when_slack():
    """10 kg hung on it pull it from 1.0 to 1.6 m: at 1.6 m it pulls 98.07 N. Doubled it pulls twice as much."""
    band = Band.hung(1.0, 10.0, 1.6)

    assert float(band.force_n(1.6)) == pytest.approx(10 * STANDARD_GRAVITY, rel=1e-12)
    assert float(band.force_n(0.9)) == 0.0
    assert float(Band.hung(1.0, 10.0, 1.6, strands=2).force_n(1.6)) == pytest.approx(20 * STANDARD_GRAVITY)


def test_the_energy_of_a_band_is_the_integral_of_its_force():
    """Referee: trapezoids over ten thousand lengths."""
    band = Band.hung(0.8, 12.0, 1.5)
    lengths = np.linspace(0.7, 1.9, 10_001)

    assert float(band.energy_j(1.9)) == pytest.approx(float(np.trapezoid(band.force_n(lengths), lengths)), rel=1e-6)


def test_a_longer_band_never_pulls_less_and_a_stiffer_never_less_than_a_softer():
    """Over the whole range that a band may be stretched."""
    lengths = np.linspace(1.0, 3.5, 60)
    soft, stiff = Band.hung(1.0, 8.0, 1.5).force_n(lengths), Band.hung(1.0, 16.0, 1.5).force_n(lengths)

    assert np.all(np.diff(soft) >= 0)
    assert np.all(stiff >= soft) and stiff[-1] > soft[-1]


@pytest.mark.parametrize(
    "rest,mass,length,says",
    [(1.0, 10.0, 1.02, "hang more"), (1.0, -2.0, 1.5, "more than 0"), (9.0, 10.0, 12.0, "0.05")],
)
def test_a_calibration_that_measures_nothing_is_refused(rest, mass, length, says):
    """Too little stretch, no mass, or no band."""
    with pytest.raises(ValueError, match=says):
        Band.hung(rest, mass, length)


def test_constants_are_not_mixed_up():
    """One row of the table typed again here: women over 65, hip extension (Anderson 2007, table 3, seen)."""
    assert joint_strength("hip-extension", "female", 80.0) == JointStrength(
        "hip-extension", 0.138, 0.707, 1.542, 1.613, 3.256, 0.36
    )


def test_ranges_of_columns_are_those_of_each_alone():
    """Mean and tenths column by column, with gaps. Referee: numpy's quantile of the finite values of each column."""
    from setwright.body.demand import range_of, ranges_of

    values = np.random.default_rng(8).normal(size=(57, 9))
    values[3:20, 4] = np.nan
    values[:, 7] = np.nan
    values[1:, 8] = np.nan

    found = ranges_of(values)

    for i in (0, 4, 8):
        alone = values[np.isfinite(values[:, i]), i]
        assert found[i].p10 == pytest.approx(float(np.quantile(alone, 0.1)), abs=1e-12)
        assert found[i].p90 == pytest.approx(float(np.quantile(alone, 0.9)), abs=1e-12)
        assert found[i].mean == pytest.approx(float(alone.mean()), abs=1e-12)
        assert found[i].p90 == pytest.approx(range_of(values[:, i]).p90, abs=1e-12)
    assert np.isnan(found[7].mean)
