"""Pounds, inches and centimetres at the door, kilograms and metres inside; an unknown unit names the nearest."""

from __future__ import annotations

import pytest

from setwright.faults import InputFaults
from setwright.people.intake import read_place, read_trainee

# Referee: NIST Special Publication 811 (2008), appendix B.8 and its footnotes: 1 lb = 0.45359237 kg and 1 in = 2.54 cm,
# both exactly. Memory.
LB_KG = 0.45359237
INCH_M = 0.0254

TRAINEE = """
id = "invented"
birth_year = 1990
training_years = 3
{size}
[screening]
active_now = true
[[days]]
day = "mon"
minutes = 60
place = "gym"
[[goals]]
kind = "strength"
about = "deadlift"
{goal}
[[baselines]]
date = 2026-08-28
exercise = "deadlift"
reps = 5
rir = 2
{load}
[[range_measures]]
date = 2026-08-28
measure = "knee-to-wall"
value = 9
{measure}
"""
SIZE = "body_mass_kg = 80\nstature_m = 1.8"


def trainee(size: str = SIZE, load: str = "load_kg = 100", measure: str = 'unit = "cm"', goal: str = ""):
    return read_trainee(TRAINEE.format(size=size, load=load, measure=measure, goal=goal), "trainee.toml")


def place(lines: str):
    return read_place(f'id = "gym"\n{lines}', "place.toml")


def only_fault(read, *words, **more):
    with pytest.raises(InputFaults) as caught:
        read(*words, **more)
    (fault,) = caught.value.faults
    return fault


@pytest.mark.parametrize("pounds", [60, 100, 150, 225.5, 400])
def test_a_body_mass_in_pounds_comes_to_kilograms(pounds: float) -> None:
    """To the gram, as it is kept: bathroom scales show 100 g."""
    found = trainee(f"body_mass_lb = {pounds}\nstature_m = 1.8").body_mass_kg

    assert found == pytest.approx(pounds * LB_KG, abs=0.0005 + 1e-9)


@pytest.mark.parametrize(
    ("written", "metres"),
    [
        ("stature_cm = 172", 1.72),
        ("stature_m = 1.72", 1.72),
        ("stature_in = 68", 1.7272),
        ("stature_cm = 165.5", 1.655),
    ],
)
def test_a_stature_comes_to_metres(written: str, metres: float) -> None:
    """68 in x 2.54 cm = 172.72 cm, by hand."""
    assert trainee(f"body_mass_kg = 80\n{written}").stature_m == pytest.approx(metres, abs=1e-9)


def test_a_baseline_in_pounds_comes_to_kilograms() -> None:
    """225 lb = 102.05828325 kg, by hand."""
    assert trainee(load="load_lb = 225").baselines[0].load_kg == pytest.approx(102.05828325, abs=1e-9)
    assert trainee(load="load_kg = 100").baselines[0].load_kg == 100


def test_help_from_a_band_in_pounds_stays_negative() -> None:
    assert trainee(load="load_lb = -44").baselines[0].load_kg == pytest.approx(-44 * LB_KG)


def test_a_place_in_pounds_comes_to_kilograms() -> None:
    """Half a gram is enough: the smallest plate of the rule books is 250 g (IWF equipment rules, memory)."""
    gym = place(
        'unit = "lb"\n[[bars]]\nkind = "barbell"\nmass_lb = 45\ncollar_lb = 5\n'
        "[[plates]]\nmass_lb = 45\npairs = 2\n[[plates]]\nmass_lb = 2.5\ncount = 1\n"
        "[[dumbbells]]\nfrom_lb = 5\nto_lb = 50\nstep_lb = 5\n[[kettlebells]]\nmass_lb = 53\n"
        '[[stacks]]\nkind = "cable"\nfirst_lb = 10\nstep_lb = 10\nlast_lb = 200\n'
        '[[bands]]\nname = "wide"\nassist_lb = 60\n'
    )

    near = {"abs": 0.0005}
    assert gym.unit == "lb"
    assert gym.bars[0].mass_kg == pytest.approx(45 * LB_KG, **near)
    assert gym.bars[0].collar_kg == pytest.approx(5 * LB_KG, **near)
    assert [(one.mass_kg, one.count) for one in gym.plates] == [
        (pytest.approx(2.5 * LB_KG, **near), 1),
        (pytest.approx(45 * LB_KG, **near), 4),
    ]
    assert [one.mass_kg for one in gym.dumbbells] == pytest.approx([n * 5 * LB_KG for n in range(1, 11)], **near)
    assert gym.kettlebells[0].mass_kg == pytest.approx(53 * LB_KG, **near)
    stack = gym.stacks[0]
    assert (stack.first_kg, stack.step_kg, stack.last_kg) == pytest.approx((10 * LB_KG, 10 * LB_KG, 200 * LB_KG))
    assert gym.bands[0].assist_kg == pytest.approx(60 * LB_KG)


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("body_mass_lbs = 150", "body_mass_lb"),
        ("body_mass_pounds = 150", "body_mass_lb"),
        ("body_mass_stone = 11", "body_mass_lb"),
        ("body_mass_kgs = 80", "body_mass_kg"),
        ("body_mass_grams = 80000", "body_mass_kg"),
        ("weight_kg = 80", "body_mass_kg"),
        ("weight_lb = 150", "body_mass_lb"),
    ],
)
def test_a_body_mass_in_an_unknown_unit_is_refused_with_the_nearest(written: str, nearest: str) -> None:
    fault = only_fault(trainee, f"{written}\nstature_m = 1.8")

    assert fault.path == written.split(" ")[0]
    assert "body_mass_kg or body_mass_lb" in fault.allowed
    assert fault.hint == f"Nearest: {nearest}."


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("stature_ft = 5.9", "stature_in"),
        ("stature_inches = 70", "stature_in"),
        ("stature_mm = 1800", "stature_cm"),
        ("stature_metres = 1.8", "stature_m"),
        ("height_cm = 180", "stature_cm"),
    ],
)
def test_a_stature_in_an_unknown_unit_is_refused_with_the_nearest(written: str, nearest: str) -> None:
    fault = only_fault(trainee, f"body_mass_kg = 80\n{written}")

    assert (fault.path, fault.hint) == (written.split(" ")[0], f"Nearest: {nearest}.")


@pytest.mark.parametrize(
    ("read", "more", "path", "nearest"),
    [
        (trainee, {"load": "load_lbs = 225"}, "baselines[1].load_lbs", "load_lb"),
        (trainee, {"load": "load_stone = 9"}, "baselines[1].load_stone", "load_lb"),
        (trainee, {"measure": 'unit = "inch"'}, "range_measures[1].unit", "cm"),
        (trainee, {"measure": 'unit = "degrees"'}, "range_measures[1].unit", "deg"),
        (trainee, {"goal": 'target = 300\nunit = "lbs"'}, "goals[1].unit", "lb"),
        (place, {"lines": 'unit = "lbs"'}, "unit", "lb"),
        (place, {"lines": 'unit = "pounds"'}, "unit", "lb"),
        (place, {"lines": 'unit = "KG"'}, "unit", "kg"),
        (place, {"lines": "[[bars]]\nmass_lbs = 45"}, "bars[1].mass_lbs", "mass_lb"),
        (place, {"lines": "[[plates]]\nmass_kilos = 20"}, "plates[1].mass_kilos", "mass_kg"),
        (place, {"lines": "[[dumbbells]]\nfrom_kg = 4\nto_kgs = 20\nstep_kg = 2"}, "dumbbells[1].to_kgs", "to_kg"),
    ],
)
def test_an_unknown_unit_anywhere_is_one_fault_with_the_nearest(read, more, path: str, nearest: str) -> None:
    fault = only_fault(read, **more)

    assert (fault.path, fault.hint) == (path, f"Nearest: {nearest}.")


def test_a_bare_number_is_refused_because_its_unit_is_missing() -> None:
    assert "the unit stands in the key" in only_fault(trainee, "weight = 80\nstature_m = 1.8").allowed
    assert "the unit stands in the key" in only_fault(trainee, load="load = 80").allowed


def test_two_units_for_one_measure_are_refused() -> None:
    fault = only_fault(trainee, "body_mass_kg = 80\nbody_mass_lb = 176\nstature_m = 1.8")

    assert (fault.path, fault.allowed) == ("body_mass_lb", "only one of body_mass_kg, body_mass_lb")


@pytest.mark.parametrize(
    ("size", "path"),
    [
        ("body_mass_kg = 80\nstature_m = 180", "stature_m"),
        ("body_mass_kg = 80\nstature_cm = 1.8", "stature_cm"),
        ("body_mass_kg = 80\nstature_in = 180", "stature_in"),
        ("body_mass_kg = nan\nstature_m = 1.8", "body_mass_kg"),
        ("body_mass_lb = inf\nstature_m = 1.8", "body_mass_lb"),
        ('body_mass_kg = "80 kg"\nstature_m = 1.8', "body_mass_kg"),
    ],
)
def test_a_number_that_can_only_be_in_another_unit_is_refused(size: str, path: str) -> None:
    assert only_fault(trainee, size).path == path


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1990.5"])
def test_a_whole_number_that_is_none_is_a_fault_and_no_crash(number: str) -> None:
    text = TRAINEE.format(size=SIZE, load="load_kg = 1", measure="", goal="").replace("1990", number)

    assert only_fault(read_trainee, text, "trainee.toml").path == "birth_year"


def test_a_run_that_ends_before_it_starts_is_shown_as_it_was_written() -> None:
    run = only_fault(place, "[[dumbbells]]\nfrom_lb = 50\nto_lb = 5\nstep_lb = 5")
    stack = only_fault(place, '[[stacks]]\nkind = "cable"\nfirst_lb = 50\nstep_lb = 10\nlast_lb = 20')

    assert (run.path, run.found) == ("dumbbells[1].to_lb", "5")
    assert (stack.path, stack.found) == ("stacks[1].last_lb", "20")


def test_inches_in_a_stature_are_international_inches() -> None:
    assert trainee("body_mass_kg = 80\nstature_in = 70").stature_m == pytest.approx(70 * INCH_M)


HEAD = """
id = "invented"
birth_year = 1990
training_years = 3
body_mass_kg = 70
stature_cm = 170
[screening]
active_now = true
[[days]]
day = "mon"
minutes = 60
place = "gym"
"""


@pytest.mark.parametrize(
    ("dials", "said"),
    [
        ("{ load_kg = [1, 2] }", "baselines[1].dials.load_kg: found [1, 2]"),
        ("{ load_kg = { a = 1 } }", "baselines[1].dials.load_kg"),
        ("{ load_kg = 2026-01-01 }", "baselines[1].dials.load_kg"),
        ('{ support = ["toes"] }', "baselines[1].dials.support"),
        ("{ band_test_kg = 20, band_test_cm = 20, band_rest_cm = 100 }", "dials that fit together"),
    ],
)
def test_dials_of_a_wrong_type_or_that_contradict_are_one_fault(dials: str, said: str) -> None:
    base = f'[[baselines]]\ndate = 2026-08-25\nexercise = "pushup"\nreps = 5\nrir = 1\ndials = {dials}\n'
    with pytest.raises(InputFaults) as found:
        read_trainee(HEAD + base, "x.toml")

    (fault,) = found.value.faults
    assert said in fault.sentence() and "x.toml: baselines[1].dials" in fault.sentence()
