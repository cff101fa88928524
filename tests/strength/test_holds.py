"""How long a load can be held: published curves as referees, and what a person's own holds teach."""

from __future__ import annotations

from datetime import date, timedelta
from math import exp, hypot, log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_person import GROWN

from setwright.catalogue.load import catalogue
from setwright.people.trainee import Baseline
from setwright.strength.estimates import Estimates, LiftEstimate, estimate_lifts, seconds_at, seconds_of_lift
from setwright.strength.gathering import own_part
from setwright.strength.holds import (
    LEAST_SHARE,
    SHORTEST_S,
    HoldBelief,
    LoggedHold,
    curve_of,
    curves,
    hold_figures,
    usual_belief,
)
from setwright.strength.logged import Log, LoggedSet
from setwright.strength.posterior import DAY_NOISE, prior

ON = date(2026, 9, 7)
PERSON = GROWN


def test_joints_rank_as_published_at_half_of_the_greatest_force() -> None:
    """Referee: Frey Law and Avin 2010, abstract (seen): ankle, trunk, hand/grip, elbow, knee, shoulder."""
    half = {name: one.seconds_at(0.5) for name, one in curves().items() if name != "general"}

    assert sorted(half, key=half.__getitem__, reverse=True) == ["ankle", "trunk", "grip", "elbow", "knee", "shoulder"]


@pytest.mark.parametrize(
    ("region", "seconds"),
    [("general", (530.6, 175.2, 86.5, 51.4, 34.1)), ("ankle", (955.7, 301.8, 144.7, 84.3, 55.0)),
     ("knee", (399.4, 139.5, 71.3, 43.6, 29.5))],
)  # fmt: skip
def test_curves_give_the_seconds_others_read_from_the_same_table(region: str, seconds: tuple[float, ...]) -> None:
    """Referee: power models of the paper's table 2, worked out by others at 20, 35, 50, 65 and 80 % (seen)."""
    found = [curves()[region].seconds_at(share) for share in (0.20, 0.35, 0.50, 0.65, 0.80)]

    assert found == pytest.approx(seconds, abs=0.06)


def three_compartments(share: float, fatigue: float, recovery: float) -> float:
    """Seconds until no rested units are left at a steady share: rested, active, fatigued, first order."""
    return -log(1.0 - recovery * (1.0 - share) / (fatigue * share)) / recovery


@pytest.mark.parametrize(
    ("region", "fatigue", "recovery"),
    [("ankle", 0.00589, 0.00058), ("shoulder", 0.0182, 0.00168), ("elbow", 0.00912, 0.00094)],
)
def test_another_model_of_fatigue_agrees(region: str, fatigue: float, recovery: float) -> None:
    """Referee: three compartments (Xia and Frey Law 2008), rates of Frey-Law et al. 2012 (ankle and shoulder seen in
    the abstract, elbow seen second-hand), solved in closed form, which is too short next to the greatest force and so
    is asked up to 65 %. Others, stepping through it, found ratios of 0.77 to 1.57 (seen)."""
    curve = curves()[region]
    ratios = [three_compartments(f, fatigue, recovery) / curve.seconds_at(f) for f in (0.2, 0.35, 0.5, 0.65)]

    assert all(0.75 < one < 1.6 for one in ratios)
    assert 0.8 < np.mean(ratios) < 1.35


def test_the_general_curve_lies_near_the_old_ones() -> None:
    """Referees, from memory: Rohmert 1960, MET = -1.5 + 2.1/f - 0.6/f^2 + 0.1/f^3 min, about a minute at half;
    Ma et al. 2009, MET = -ln f / (k f), k about 1 a minute. Holds are told to 30 % at best, so to a factor of 1.5."""
    for share in (0.3, 0.4, 0.5, 0.6, 0.7):
        rohmert = 60.0 * (-1.5 + 2.1 / share - 0.6 / share**2 + 0.1 / share**3)
        ma = 60.0 * -log(share) / share
        found = curves()["general"].seconds_at(share)
        assert min(rohmert, ma) / 1.5 < found < 1.5 * max(rohmert, ma)
    assert 50 < 60.0 * (-1.5 + 2.1 / 0.5 - 0.6 / 0.25 + 0.1 / 0.125) < 75


def test_below_fifteen_percent_the_line_is_not_followed() -> None:
    """Referee: Rohmert 1960, from memory: no end below 15 %. So no end is told there, and none is made up."""
    for curve in curves().values():
        assert curve.seconds_at(0.05) == curve.seconds_at(LEAST_SHARE)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(region=st.sampled_from(sorted(curves())), share=st.floats(0.05, 1.2), more=st.floats(0.0, 0.5))
def test_heavier_is_never_held_longer(region: str, share: float, more: float) -> None:
    assert curves()[region].seconds_at(share + more) <= curves()[region].seconds_at(share)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(region=st.sampled_from(sorted(curves())), share=st.floats(LEAST_SHARE, 1.0))
def test_seconds_and_share_are_each_others_inverse(region: str, share: float) -> None:
    curve = curves()[region]

    assert curve.share_at(curve.seconds_at(share)) == pytest.approx(share)


@pytest.mark.parametrize(
    ("slug", "region"),
    [
        ("wall_sit", "knee"),
        ("plank", "trunk"),
        ("dead_hang", "grip"),
        ("pullup_hold", "shoulder"),
        ("curl_hold", "elbow"),
        ("calf_iso", "ankle"),
        ("copen_hold", "general"),  # the hip has no curve in the source, nor has the neck
        ("neck_iso", "general"),
        ("handstand_hold", "shoulder"),
    ],
)
def test_the_joint_that_works_chooses_the_curve(slug: str, region: str) -> None:
    assert curve_of(catalogue().get(slug)).region == region


def brute_force(curve: str, log_greatest: float, sd: float, holds: list[LoggedHold]) -> tuple[float, float]:
    """Mean and spread of the offset on a grid over offset and greatest load: no closed form anywhere."""
    one, figures = curves()[curve], hold_figures()
    a, x = np.meshgrid(np.linspace(-1.8, 1.8, 721), log_greatest + sd * np.linspace(-6, 6, 401), indexing="ij")
    ln = -0.5 * (a / figures.people) ** 2 - 0.5 * ((x - log_greatest) / sd) ** 2
    for held in holds:
        likely = log(one.seconds) + one.power * (x - log(held.load_kg)) + a
        off = (log(max(held.seconds, SHORTEST_S)) - likely) / figures.same
        if held.to_the_end:
            ln += -0.5 * off**2
        else:
            from scipy.special import log_ndtr

            ln += log_ndtr(-off)
    weight = np.exp(ln - ln.max())
    weight /= weight.sum()
    mean = float((weight * a).sum())
    return mean, sqrt(float((weight * (a - mean) ** 2).sum()))


@pytest.mark.parametrize(
    ("holds", "tolerance"),
    [
        ([LoggedHold(60.0, 70.0, True)], 0.004),
        ([LoggedHold(60.0, 70.0, True), LoggedHold(40.0, 95.0, True), LoggedHold(70.0, 31.0, True)], 0.004),
        ([LoggedHold(60.0, 80.0, False)], 0.01),
        ([LoggedHold(60.0, 15.0, False), LoggedHold(50.0, 70.0, True), LoggedHold(60.0, 75.0, False)], 0.02),
    ],
)
def test_the_closed_form_is_what_a_grid_gives(holds: list[LoggedHold], tolerance: float) -> None:
    """Referee: brute force on a grid. Exact to the grid for holds to the end; bounds are matched in two moments."""
    found, _ = usual_belief().after(curves()["knee"], log(100.0), 0.1, holds)
    mean, sd = brute_force("knee", log(100.0), 0.1, holds)

    assert found.mean == pytest.approx(mean, abs=tolerance)
    assert found.sd == pytest.approx(sd, abs=tolerance)


def test_a_hold_to_the_end_longer_than_the_curve_says_so_and_a_shorter_one_otherwise() -> None:
    curve = curves()["knee"]
    usual = curve.seconds_at(0.6)

    def after(seconds: float, to_the_end: bool = True) -> HoldBelief:
        return usual_belief().after(curve, log(100.0), 0.05, [LoggedHold(60.0, seconds, to_the_end)])[0]

    assert after(1.5 * usual).mean > 0.1 and after(usual / 1.5).mean < -0.1
    assert after(usual).sd < usual_belief().sd
    assert after(0.3 * usual, False).mean == pytest.approx(0.0, abs=0.02)  # "at least" a short while says little
    assert after(2.0 * usual, False).mean > 0.1


def test_many_holds_do_not_make_up_for_an_unknown_greatest_load() -> None:
    """By hand: the sum of offset and load is known at last, of which the offset has 0.09 / (0.09 + (1.88 x 0.2)^2)."""
    rows = [LoggedHold(60.0, 60.0, True)] * 400
    found, held = usual_belief().after(curves()["knee"], log(100.0), 0.2, rows)
    left = 0.09 * (1 - 0.09 / (0.09 + (1.88 * 0.2) ** 2))

    assert found.sd == pytest.approx(sqrt(left), rel=0.01)
    assert held.sd < 0.02  # the sum itself, and so this lift held still, is known


def test_ranges_of_seconds_hold_eight_times_in_ten_on_simulated_people() -> None:
    """Simulated people (invented, seed 7): offset, single, place and days drawn as the belief says, three holds seen, a
    fourth at another load foretold. 80 % of 1200 is due, 2.3 % are two standard errors."""
    chance, curve, figures = np.random.default_rng(7), curves()["shoulder"], hold_figures()
    belief = prior(log(50.0), 0.08, log(0.03), 0.28)
    one = LiftEstimate("invented", belief, 4, "sets")
    greatest, sd = log(50.0 * figures.over_lifted), hypot(0.08, figures.over_lifted_sd)
    inside = narrower = 0
    people = 1200
    for _ in range(people):
        offset, single = chance.normal(0.0, figures.people), greatest + chance.normal(0.0, sd)

        def seconds(load: float, a: float = offset, x: float = single) -> float:
            of_day = chance.normal(0.0, hypot(figures.same, curve.power * DAY_NOISE))
            return exp(log(curve.seconds) + curve.power * (x - log(load)) + a + of_day)

        seen = []
        for share in chance.uniform(0.4, 0.8, 3):
            whole, is_cut = seconds(50.0 * share), chance.random() < 0.3
            seen.append(LoggedHold(50.0 * share, whole * (chance.uniform(0.4, 0.95) if is_cut else 1.0), not is_cut))
        own, held = usual_belief().after(curve, greatest, sd, seen)
        told = seconds_of_lift(one, 30.0, curve, own, held)
        untold = seconds_of_lift(one, 30.0, curve, usual_belief())
        inside += told.p10 <= seconds(30.0) <= told.p90
        narrower += told.p90 / told.p10 < untold.p90 / untold.p10

    assert 0.777 <= inside / people <= 0.823
    assert narrower > 0.99 * people


def logged(slug: str, load: float | None, hold_s: float | None, ago: int, **more: object) -> LoggedSet:
    return LoggedSet(ON - timedelta(days=ago), 1, "mon", slug, 1, load, hold_s=hold_s, **more)  # type: ignore[arg-type]


def known(*rows: LoggedSet) -> Estimates:
    base = Baseline(ON - timedelta(days=20), "leg_ext", 60.0, 8, 1.0)
    return estimate_lifts(PERSON, catalogue(), (base,), Log(rows), ON)


def test_holds_of_a_moving_lift_teach_how_long_this_person_holds_and_leave_its_strength_alone() -> None:
    sets = [logged("leg_ext", 60.0, None, ago, reps=8, rir=1.0) for ago in (16, 12, 8)]
    plain = known(*sets)
    one = plain.for_exercise("leg_ext")
    usual = seconds_of_lift(one, 50.0, curve_of(catalogue().get("leg_ext")), plain.endurance)
    long = known(*sets, *(logged("leg_ext", 50.0, 1.6 * usual.mean, ago, ended_by="muscle") for ago in (6, 4, 2)))

    assert plain.endurance == usual_belief()
    assert long.endurance.mean > 0.1 and long.endurance.sd < 0.25
    assert long.for_exercise("leg_ext").posterior.one_rm() == one.posterior.one_rm()


def test_a_held_lift_is_foretold_at_another_load_by_its_curve() -> None:
    """Simulated people (invented, seed 3) hold two loads to the end three times each; a third load is foretold.

    Expected 80 %; of 60 people 68 to 92 % are within 2.3 standard errors.
    """
    chance, figures = np.random.default_rng(3), hold_figures()
    exercise = catalogue().get("back_ext45_hold")
    curve, own = curve_of(exercise), own_part(exercise, PERSON)
    inside, people = 0, 60
    for _ in range(people):
        greatest = own * exp(chance.normal(0.45, 0.2))

        def held(load: float, greatest: float = greatest) -> float:
            ln = log(curve.seconds) + curve.power * log(greatest / load)
            return exp(ln + chance.normal(0.0, hypot(figures.same, 0.022 * curve.power)))

        rows = [
            logged("back_ext45_hold", load, held(own + load), 20 - 3 * n, ended_by="muscle")
            for n, load in enumerate((0.0, 10.0) * 3)
        ]
        found = estimate_lifts(PERSON, catalogue(), (), Log(tuple(rows)), ON)
        told = seconds_at(found.holds["back_ext45_hold"], own + 5.0, curve)
        inside += told.p10 <= held(own + 5.0) <= told.p90

    assert 0.68 <= inside / people <= 0.95
