"""Heart rates to train at. Referee beside each check."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conditioning_floor import block_of, bouts_in
from made_block import PERSON

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.intake import read_trainee
from setwright.people.trainee import HeartRate
from setwright.publish.bout_words import heading_text
from setwright.strength.heart_rate import Zone, beats_for, heart_zones, maximum_by_age
from setwright.strength.logged import Log

YEAR = 2026


def named(zones: tuple[Zone, ...], name: str) -> Zone:
    return next(one for one in zones if one.name == name)


@pytest.mark.parametrize(("age", "beats"), [(20, 198.2), (40, 185.4), (60, 172.6)])
def test_the_age_equation_comes_with_its_published_error(age: int, beats: float) -> None:
    """211 - 0.64 age, SEE 10.8 beats a minute. Referee: Nes 2013 (HUNT, 3320 people), abstract seen."""
    found = maximum_by_age(age)

    assert found.mean == pytest.approx(beats) and found.sd == 10.8
    assert found.p90 - found.mean == pytest.approx(1.2816 * 10.8, abs=0.01)


@pytest.mark.parametrize(
    ("name", "low", "high"), [("light", 0.57, 0.64), ("moderate", 0.64, 0.77), ("vigorous", 0.77, 0.96)]
)
def test_classes_are_the_published_shares_of_the_highest(name: str, low: float, high: float) -> None:
    """Referee: ACSM position stand, Garber 2011: light 57-63, moderate 64-76, vigorous 77-95 % (seen in a table of
    another paper); a class ends where the next begins.
    """
    person = replace(PERSON, heart_rate=HeartRate(maximum=200.0))
    zone = named(heart_zones(person, YEAR).zones, name)

    assert zone.low is not None and zone.high is not None
    assert (zone.low.mean, zone.high.mean) == (pytest.approx(200 * low), pytest.approx(200 * high))


def test_shares_of_the_reserve_start_from_the_resting_heart_rate() -> None:
    """HR = rest + share x (highest - rest). Referee: Karvonen 1957, from memory; 40 to 60 % moderate, Garber 2011."""
    person = replace(PERSON, heart_rate=HeartRate(maximum=190.0, resting=50.0))
    found = heart_zones(person, YEAR)
    zone = named(found.zones, "moderate")

    assert found.basis == "heart-rate reserve" and zone.low is not None and zone.high is not None
    assert (zone.low.mean, zone.high.mean) == (pytest.approx(106.0), pytest.approx(134.0))


def test_a_measured_threshold_counts_before_all_else() -> None:
    person = replace(PERSON, heart_rate=HeartRate(maximum=190.0, resting=50.0, threshold=170.0))
    found = heart_zones(person, YEAR)
    zone = named(found.zones, "at threshold")

    assert found.basis == "measured threshold" and zone.low is not None and zone.low.mean == pytest.approx(161.5)


def test_measuring_makes_the_bounds_narrower() -> None:
    by_age = named(heart_zones(PERSON, YEAR).zones, "moderate").low
    measured = named(heart_zones(replace(PERSON, heart_rate=HeartRate(maximum=188.0)), YEAR).zones, "moderate").low

    assert by_age is not None and measured is not None and measured.sd < 0.4 * by_age.sd


def test_a_share_becomes_beats_of_this_person_with_its_doubt() -> None:
    """Referee: by hand: born 1990, 36 in 2026: 211 - 23.04 = 187.96; 65 and 75 % of it; 1.28 x 0.75 x 10.8 = 10."""
    (entry,) = bouts_in(block_of("bike 30 min at 65-75 % of max heart rate"))

    assert entry.bout is not None and entry.bout.target is not None
    assert (entry.bout.target.low, entry.bout.target.high) == (122.0, 141.0)
    assert heading_text(entry.bout, catalogue()) == (
        "Steady work, at a heart rate of 122 to 141. Give or take 10 beats: the highest, 188, is by age. "
        "The talk test decides"
    )


def test_what_was_never_measured_is_not_made_up() -> None:
    (entry,) = bouts_in(block_of("bike 30 min at 60-70 % of heart rate reserve"))

    assert beats_for("reserve", (0.6, 0.7), PERSON, YEAR) is None
    assert entry.bout is not None and entry.bout.target is not None and entry.bout.target.low is None
    assert "No resting heart rate on file" in heading_text(entry.bout, catalogue())


FILE = """
id = "invented"
birth_year = 1990
body_mass_kg = 78
stature_cm = 179
training_years = 3
invented = true
[screening]
active_now = true
[[days]]
day = "mon"
minutes = 60
place = "gym"
[heart_rate]
{}
"""


def test_heart_rates_stand_in_the_trainee_file() -> None:
    found = read_trainee(FILE.format("maximum = 188\nresting = 52"), "trainee.toml")

    assert found.heart_rate == HeartRate(maximum=188.0, resting=52.0)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("maximum = 300", "heart_rate.maximum: found 300; allowed: a number from 100 to 230 beats a minute"),
        ("maximum = 150\nthreshold = 170", "heart_rate.maximum: found 150.0; allowed: more than threshold, 170"),
        ("highest = 188", "heart_rate.highest: found an unknown key"),
    ],
)
def test_a_heart_rate_that_cannot_be_is_one_clear_fault(line: str, expected: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_trainee(FILE.format(line), "trainee.toml")

    assert expected in str(caught.value) and len(caught.value.faults) == 1


def test_nobody_hears_of_heart_rates_who_never_measured_one() -> None:
    from setwright.strength.endurance import endurance_of

    assert endurance_of(PERSON, Log(), PERSON.baselines[0].date, catalogue()) is None
