"""Numbers at the edge of what the dials allow: no crash, no negative capacity, nothing learnt from nonsense."""

from __future__ import annotations

import json
import random
from itertools import pairwise

import numpy as np
import pytest

from setwright.body.capacity import joint_strength
from setwright.body.demand import Known, Person, assess, learnt
from setwright.body.lever import Dial, Model, check_dial
from setwright.body.models import models
from setwright.catalogue.load import catalogue
from setwright.services.levers import Answer, Asked, answer_text, ask, lever_files, phase_of

PERSON = Person(75.0, 1.75)
MOTIONS = ("hip-extension", "hip-flexion", "knee-extension", "knee-flexion", "ankle-plantar-flexion")


def any_dials(model: Model, rng: random.Random) -> dict[str, float | str]:
    """Some dials of a model anywhere inside their limits, often at an end."""
    found: dict[str, float | str] = {}
    for dial in model.dials:
        if rng.random() < 0.4:
            ends = (dial.low, dial.high, rng.uniform(dial.low, dial.high))
            found[dial.name] = rng.choice(dial.choices) if dial.choices else rng.choice(ends)
    return found


@pytest.mark.parametrize("name", sorted(models()))
def test_any_dials_and_bodies_give_ordered_numbers_in_valid_json(name: str) -> None:
    """Twelve of each model; dials that contradict each other raise ValueError, as a band shorter when hung."""
    rng, model = random.Random(name), models()[name]
    exercise = next((one for one in catalogue().values() if one.lever and one.lever.model == name), None)
    if exercise is None or exercise.lever is None:
        pytest.skip("no exercise of the catalogue has this model")
    answered = 0
    for number in range(12):
        dials = {**exercise.lever.dials, **any_dials(model, rng)}
        person = Person(rng.uniform(20, 350), rng.uniform(1.0, 2.5), rng.choice([None, "female", "male"]), 30.0)
        phase = phase_of(exercise.lever.phase, dials, model)
        try:
            demand = assess(model, dials, person, None, phase)
        except ValueError:
            continue
        answered += 1
        answer = Answer(Asked(exercise, model, dials, person, phase), demand)
        json.dumps(answer.as_json(), allow_nan=False)
        assert answer_text(answer)
        if number < 2 and demand.possible == 1.0:
            assert b"<svg" in lever_files(answer)["figure.svg"]
        for one in (demand.work_j, demand.demand_ratio, demand.share, *(j.peak_moment_nm for j in demand.joints)):
            if one is not None and demand.possible > 0 and one.mean == one.mean:
                assert one.p10 <= one.p90 and np.isfinite([one.mean, one.p10, one.p90]).all()
        for joint in demand.joints:
            for point in joint.curve:
                if point.capacity_nm is not None and point.possible > 0:
                    assert point.capacity_nm.p10 > 0
    assert answered >= 4


@pytest.mark.parametrize("motion", MOTIONS)
def test_the_faster_a_joint_shortens_the_less_it_holds_and_never_below_nothing(motion: str) -> None:
    """The published hyperbola turns negative, and positive again, beyond the fastest shortening."""
    for sex in ("female", "male"):
        for age in (20.0, 60.0, 80.0):
            strength = joint_strength(motion, sex, age)
            up = [strength.speed_factor(speed) for speed in np.linspace(0.0, 25.0, 200)]
            assert all(0 < later <= sooner for sooner, later in pairwise(up))
            assert min(strength.speed_factor(-speed) for speed in np.linspace(0.0, 25.0, 200)) > 0


def test_a_movement_that_ends_where_the_model_starts_is_a_hold() -> None:
    """Only one of the two ends is named."""
    found = ask("glute_bridge", mass_kg=70.0, stature_m=1.7, dials=["to_deg=0"])

    assert found.demand.phase == "hold"
    assert "held_angle_deg" in answer_text(found)


@pytest.mark.parametrize("value", [[1, 2], {"a": 1}, None, True, "40", float("nan"), float("inf")])
def test_a_dial_takes_numbers_only(value: object) -> None:
    with pytest.raises(ValueError, match="expected a number from 0 to 400"):
        check_dial(Dial("load_kg", 0.0, "load", 0.0, 400.0, "kg"), value)  # type: ignore[arg-type]


def test_a_set_that_asks_nothing_teaches_nothing() -> None:
    """A band that lifts the whole body, and feet that can't reach."""
    push_up, pull_up = models()["push-up"], models()["pull-up"]
    lifted = {"band_test_kg": 150.0, "band_test_cm": 120.0, "band_strands": 4.0}

    assert learnt(Known(), push_up, lifted, PERSON, share=0.9) == Known()
    assert learnt(Known(), pull_up, {}, PERSON, share=0.9) != Known()


def test_an_elbow_further_back_than_the_arm_is_long_has_no_posture() -> None:
    """20 kg and 1 m: an upper arm of 17 cm and an elbow 15 cm behind, which some guesses of the arm don't reach."""
    with np.errstate(invalid="raise"):
        found = assess(models()["copenhagen"], {"elbow_cm": 15.0}, Person(20.0, 1.0), None, "hold")

    assert 0.0 < found.possible <= 1.0
