"""One scale for assisted, supported and loaded work: what a set with help says about the lift without it."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from setwright.catalogue.load import catalogue
from setwright.people.trainee import Baseline, Screening, Trainee
from setwright.strength.estimates import estimate_lifts
from setwright.strength.expected import body_part, correlations, ratio_prior
from setwright.strength.gathering import gather
from setwright.strength.lever_load import dial_share, help_kg, lever_dials, lever_kg, lever_prior, same_scale
from setwright.strength.logged import Log, LoggedSet

DAY = date(2026, 9, 1)
KNOWN = catalogue()


def person(**changes: object) -> Trainee:
    """An invented woman of 60 kg."""
    base: dict[str, object] = {
        "id": "p",
        "name": "Invented",
        "birth_year": 1996,
        "body_mass_kg": 60.0,
        "stature_m": 1.67,
        "training_years": 2.0,
        "days": (),
        "screening": Screening(active_now=True),
        "sex": "female",
    }
    return Trainee(**{**base, **changes})  # type: ignore[arg-type]


def done(exercise: str, reps: int, rir: float, on: date = DAY, **more: object) -> LoggedSet:
    """One logged set."""
    return LoggedSet(on, 1, "mon", exercise, 1, reps=reps, rir=rir, **more)  # type: ignore[arg-type]


def rows(*sets: LoggedSet, trainee: Trainee | None = None) -> dict[str, list]:
    """The evidence that a log holds."""
    return gather(trainee or person(), KNOWN, (), Log(tuple(sets), ()), DAY + timedelta(days=400))


def one_rm(trainee: Trainee, slug: str, log: Log | None = None) -> tuple[float, float]:
    """(mean, relative spread) of the 1RM of a lift, kg of the whole load."""
    found = estimate_lifts(
        trainee, KNOWN, trainee.baselines, log or Log((), ()), DAY + timedelta(days=30)
    ).for_exercise(slug)
    spread = found.posterior.one_rm()
    return spread.mean, (spread.p90 - spread.p10) / spread.mean


def test_pull_ups_with_help_tell_the_pull_up_without():
    """Sets with 20 kg of help, in whole kilograms moved, narrow what is believed of the pull-up itself."""
    sets = tuple(done("pullup_band", 6, 1.0, DAY + timedelta(days=7 * i), load_kg=20.0) for i in range(4))

    before, wide = one_rm(person(), "pullup")
    after, narrow = one_rm(person(), "pullup", Log(sets, ()))

    moved = body_part(KNOWN.get("pullup_band"), person()) - 20.0
    assert narrow < 0.75 * wide
    # six repetitions with one left: some seven at a load of 37 kg speak for a 1RM about a fifth higher
    assert after == pytest.approx(moved * np.exp(0.032 * 6.5), rel=0.10)
    assert abs(after - before) > 1.0


def test_help_that_nobody_wrote_down_is_not_taken_for_no_help():
    """A band-assisted pull-up without kilograms weighs less than the unassisted one, or says nothing at all."""
    found = rows(done("pullup_band", 8, 1.0)).get("pullup_band", [])

    alone = body_part(KNOWN.get("pullup"), person())
    assert all(one.load_kg < 0.95 * alone and one.guess_sd > 0.05 for one in found)


@pytest.mark.parametrize(
    "first,second", [("pullup", "pullup_band"), ("nordic", "nordic_ecc"), ("pushup", "pushup_knee")]
)
def test_variants_of_one_lever_are_nearly_one_lift(first: str, second: str):
    """Their strengths go together more than those of a lift and any other."""
    pair = [KNOWN.get(first), KNOWN.get(second)]
    other = KNOWN.get("leg_curl_seated" if first == "nordic" else "row_cable")

    assert same_scale(*pair)
    together = float(correlations(pair[:1], pair[1:])[0, 0])
    assert together > 0.9
    assert together > float(correlations(pair[:1], [other])[0, 0])


def test_the_correlations_of_all_lifts_stay_possible():
    """No combination of lifts has a negative variance: least eigenvalue at least zero (linear algebra)."""
    lifts = [one for one in KNOWN.values() if one.lever is not None][:120]
    matrix = correlations(lifts, lifts)

    assert len(lifts) > 15
    assert np.allclose(matrix, matrix.T) and matrix.max() <= 1.0 + 1e-12
    assert float(np.linalg.eigvalsh(matrix).min()) > -1e-9


def test_a_nordic_weighs_what_the_same_moment_would_at_the_chest():
    """Load on the scale: adding that load to a nordic doubles its peak moment, to the newton metre."""
    from setwright.body.lever import working_moment
    from setwright.body.models import models
    from setwright.strength.lever_load import person_of

    own = lever_kg(KNOWN.get("nordic"), person())
    assert own is not None
    model, body = models()["nordic"], person_of(person()).body()
    peaks = []
    for load in (0.0, own):
        posture = model.pose(body, model.setting({"load_kg": load}))
        peaks.append(float(working_moment(posture, posture.working[0]).max()))

    assert peaks[1] == pytest.approx(2 * peaks[0], rel=2e-3)


def test_a_slope_and_a_part_of_the_range_weigh_less():
    """Nordic on a slope of 30 degrees, and lowered to 45 degrees only; hands on a higher edge."""
    nordic, incline = KNOWN.get("nordic"), KNOWN.get("pushup_incline")

    assert dial_share(nordic, person(), {"incline_deg": 30}) < 0.95
    assert dial_share(nordic, person(), {"range_deg": [45, 90]}) == pytest.approx(np.cos(np.deg2rad(45.0)), abs=0.02)
    assert dial_share(incline, person(), {"hand_height_cm": 30}) > 1.1
    assert dial_share(incline, person(), {"tempo": "3-1-1-0"}) == 1.0


def test_a_lowering_without_its_range_says_nothing_and_with_it_a_lot():
    """Five lowerings: nobody knows how far they were controlled. Down to 50 degrees: that is the load."""
    silent = rows(done("nordic_ecc", 5, 1.0))
    told = rows(done("nordic_ecc", 5, 1.0, dials={"range_deg": [50, 90]}))

    assert "nordic_ecc" not in silent
    assert told["nordic_ecc"][0].load_kg < body_part(KNOWN.get("nordic_ecc"), person())


def test_the_angle_reached_in_a_lowering_moves_the_belief_about_the_nordic():
    """Control down to 20 degrees speaks for more strength than control down to 60."""
    strong, weak = (person(baselines=(Baseline(DAY, "nordic_ecc", reached_deg=angle),)) for angle in (20.0, 60.0))

    assert one_rm(strong, "nordic")[0] > 1.2 * one_rm(weak, "nordic")[0]
    assert one_rm(strong, "nordic")[1] < 0.8 * one_rm(person(), "nordic")[1]


def test_nothing_known_the_nordic_is_expected_by_the_joint_strength_table():
    """The expected 1RM over what the body weighs is one over the demand ratio. Referee: the table by another way."""
    from setwright.body.demand import Person, assess
    from setwright.body.models import models

    nordic = KNOWN.get("nordic")
    found = lever_prior(nordic, person(), 2026)
    own = lever_kg(nordic, person())
    asked = assess(models()["nordic"], {}, Person(60.0, 1.67, "female", 30.0))

    assert found is not None and own is not None and asked.demand_ratio is not None
    assert ratio_prior(nordic, person(), 2026) == found
    assert np.exp(found[0]) / own == pytest.approx(1.0 / asked.demand_ratio.mean, rel=0.06)
    assert 0.1 < found[1] < 0.35


def test_a_bands_help_is_the_difference_of_two_loads():
    """With the catalogue's example band; none without a band."""
    helped = help_kg(KNOWN.get("nordic_band"), person())

    assert helped is not None and helped > 5.0
    assert help_kg(KNOWN.get("nordic"), person()) == 0.0
    assert help_kg(KNOWN.get("back_squat"), person()) in (None, 0.0)


def test_a_named_band_counts_as_it_was_measured():
    """A set with "green", measured in the place, weighs what a band so strong leaves; an unmeasured name stays."""
    from setwright.people.place import Band, Place
    from setwright.strength.measured_bands import with_measured_bands

    places = (Place("gym", "Gym", bands=(Band("green", rest_cm=100.0, hung_kg=20.0, hung_cm=150.0), Band("red"))),)
    log = Log(
        (
            done("pullup_band", 5, 1.0, dials={"assistance": "Green band"}),
            done("pullup_band", 5, 1.0, DAY + timedelta(days=1), dials={"assistance": "red"}),
        ),
        (),
    )

    now = with_measured_bands(log, places)

    assert now.sets[0].dials["band_test_kg"] == 20.0 and now.sets[1] == log.sets[1]
    weak = Place("gym", "Gym", bands=(Band("green", rest_cm=100.0, hung_kg=5.0, hung_cm=150.0),))
    strong_help = rows(*now.sets[:1])["pullup_band"][0].load_kg
    weak_help = rows(*with_measured_bands(log, (weak,)).sets[:1])["pullup_band"][0].load_kg
    assert strong_help < weak_help < body_part(KNOWN.get("pullup"), person())


@pytest.mark.parametrize(
    "ends", [["a", 2], [[1], 2], [], None, {"a": 1}, [float("nan"), 5.0], [1e308, -1e308], [10, 20, 30], "0-90"]
)
def test_a_range_that_is_none_is_left_out(ends: object):
    """Logs hold what people write."""
    assert lever_dials(catalogue().get("pushup"), {"range_deg": ends, "held_angle_deg": "x"}) == {}


def test_a_band_that_nobody_described_makes_no_pull_up_likely():
    """Fifteen repetitions in a thick band, without kilograms or a measure: the pull-up stays as unknown as it was."""
    before = one_rm(person(), "pullup")
    sets = tuple(
        done("pullup_band", 15, 1.0, DAY + timedelta(days=3 * i), dials={"assistance": "thick"}) for i in range(6)
    )

    assert one_rm(person(), "pullup", Log(sets, ())) == pytest.approx(before)


def test_the_part_of_the_body_is_never_negative_and_holds_no_load():
    """Dials at the end of their limits, and a load that stands among the dials as well."""
    high = {"to_deg": 119.0, "incline_deg": 6.4, "band_test_kg": 0.0}

    assert body_part(KNOWN.get("nordic_band"), person(body_mass_kg=30.0), high) >= 0.0
    pull_up = KNOWN.get("pullup")
    assert body_part(pull_up, person(), {"load_kg": 40.0}) == body_part(pull_up, person())
