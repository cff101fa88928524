"""Loads that exist in the room: federation rules, counting by brute force, and the laws."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.catalogue.load import catalogue
from setwright.dose.implements import bar_loads, loads_in, option_loads, side_loads, stack_loads
from setwright.dose.prescribe import Dose
from setwright.dose.ramp import ramp_sets
from setwright.people.place import Bar, Counted, Place, Stack
from setwright.publish.units import pieces_in_unit

# International Powerlifting Federation: bar with collars 25 kg (20 + 2 x 2.5); discs 25, 20, 15, 10, 5, 2.5, 1.25 kg;
# lighter discs only for records. Mass set seen (rule text); collar mass from memory.
IPF_BAR = Bar("barbell", 20.0, 1, 2.5)
IPF_DISCS = (*tuple(Counted(mass, 2) for mass in (25, 20, 15, 10, 5, 2.5, 1.25)), Counted(25, 10))


def test_the_lightest_competition_load_is_the_bar_with_its_collars() -> None:
    """Referee: IPF rule text, bar plus collars 25 kg (seen)."""
    assert bar_loads(IPF_BAR, IPF_DISCS)[0].load_kg == 25.0


def test_competition_discs_climb_in_steps_of_two_and_a_half() -> None:
    """Referee: IPF: attempts are multiples of 2.5 kg (rule from memory); the disc set must build each to 180 kg."""
    loads = {one.load_kg for one in bar_loads(IPF_BAR, IPF_DISCS)}

    assert {25 + 2.5 * n for n in range(63)} <= loads


def test_the_largest_disc_lies_innermost() -> None:
    """Referee: loading order, largest disc innermost, then descending outward (seen)."""
    for one in bar_loads(IPF_BAR, IPF_DISCS):
        assert list(one.plates_per_side) == sorted(one.plates_per_side, reverse=True)


def test_weightlifting_bars_and_discs_build_the_known_totals() -> None:
    """Referee: IWF: men's bar 20 kg, women's 15 kg, collars 2.5 kg each, discs 25 20 15 10 5 2.5 2 1.5 1 0.5 (seen)."""
    discs = tuple(Counted(mass, 2) for mass in (25, 20, 15, 10, 5, 2.5, 2, 1.5, 1, 0.5))
    women = {one.load_kg for one in bar_loads(Bar("barbell", 15.0, 1, 2.5), discs)}
    men = {one.load_kg for one in bar_loads(Bar("barbell", 20.0, 1, 2.5), discs)}

    assert {20.0, 21.0, 70.0, 100.0} <= women
    assert {25.0, 26.0, 180.0} <= men


@pytest.mark.parametrize("pairs", [(1, 1, 1), (2, 1, 2), (0, 3, 1)])
def test_the_fewest_plates_are_used(pairs: tuple[int, int, int]) -> None:
    """Referee: brute force over every way to load one side."""
    masses = (10, 5, 2.5)
    plates = tuple(Counted(mass, 2 * n) for mass, n in zip(masses, pairs, strict=True))
    fewest: dict[float, int] = {}
    for counts in product(*(range(n + 1) for n in pairs)):
        total = sum(mass * n for mass, n in zip(masses, counts, strict=True))
        fewest[total] = min(fewest.get(total, 99), sum(counts))

    found = {total / 1000: len(used) for total, used in side_loads(plates).items()}

    assert found == fewest


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    counts=st.lists(st.integers(0, 5), min_size=4, max_size=4),
    bar=st.sampled_from([15.0, 20.0, 25.0]),
    collar=st.sampled_from([0.0, 0.5, 2.5]),
)
def test_every_load_can_be_put_on_the_bar(counts: list[int], bar: float, collar: float) -> None:
    """Referee: an independent count of the plates used against the plates owned."""
    owned = dict(zip((20.0, 10.0, 5.0, 2.5), counts, strict=True))
    made = bar_loads(Bar("barbell", bar, 1, collar), tuple(Counted(m, n) for m, n in owned.items()))

    for one in made:
        for mass in set(one.plates_per_side):
            assert 2 * one.plates_per_side.count(mass) <= owned[mass]
        assert one.load_kg == pytest.approx(bar + 2 * collar + 2 * sum(one.plates_per_side), abs=1e-9)
    assert len({one.load_kg for one in made}) == len(made)


def test_two_hands_need_two_dumbbells() -> None:
    place = Place("p", "P", dumbbells=(Counted(10, 2), Counted(12, 1)), fixtures={"bench": 1})

    both = [one.load_kg for one in loads_in(place, catalogue().get("bench_db"))]
    one_hand = [one.load_kg for one in loads_in(place, catalogue().get("row_db"))]

    assert both == [10]
    assert one_hand == [10, 12]


def test_a_stack_has_its_pins_and_its_add_ons() -> None:
    loads = [one.load_kg for one in stack_loads(Stack("cable", 5, 5, 20, (2.5,)))]

    assert loads == [5, 7.5, 10, 12.5, 15, 17.5, 20, 22.5]


def test_a_pull_up_starts_at_body_weight() -> None:
    place = Place("p", "P", plates=(Counted(5, 2), Counted(2.5, 2)), fixtures={"pullup_bar": 1})

    loads = loads_in(place, catalogue().get("pullup"))

    assert loads[0].load_kg == 0.0
    assert {2.5, 5.0, 7.5} <= {one.load_kg for one in loads}


def test_a_load_names_its_bar_where_the_place_has_more_than_one_of_the_kind() -> None:
    """Referee: the sum of what is named. 15 + 2 x 2.5 = 20 and 20 + 2 x 2.5 = 25; the trap bar is the only one."""
    plates = (Counted(2.5, 2), Counted(10, 2))
    both = Place("p", "p", bars=(Bar("barbell", 20.0), Bar("barbell", 15.0), Bar("hexbar", 25.0)), plates=plates)
    one = Place("p", "p", bars=(Bar("barbell", 20.0, 2), Bar("hexbar", 25.0)), plates=plates)
    known = catalogue()

    named = {load.load_kg: load.pieces for load in option_loads(both, known.get("back_squat"), frozenset({"barbell"}))}
    trap = [load.pieces for load in option_loads(both, known.get("back_squat"), frozenset({"hexbar"}))]
    alone = [load.pieces for load in option_loads(one, known.get("back_squat"), frozenset({"barbell"}))]

    assert named[15.0] == "the empty bar of 15 kg" and named[20.0] == "the empty bar of 20 kg"
    assert named[25.0] == "2.5 a side, on the bar of 20 kg" and named[35.0] == "10 a side, on the bar of 15 kg"
    assert not [text for text in (*trap, *alone) if "bar of" in text]


@pytest.mark.parametrize("collar_kg", [0.0, 0.25])
def test_all_sets_of_an_entry_are_on_one_bar(collar_kg: float) -> None:
    """Nobody changes the bar between ramp sets; common practice. Referee: the bars named in the pieces, and their sums.

    By the fewest plates alone 35 kg would be on the bar of 15 kg, 25 and 45 kg on that of 20 kg.
    """
    plates = (Counted(2.5, 4), Counted(5, 2), Counted(10, 4), Counted(1.25, 2))
    bars = (Bar("barbell", 20.0, 1, collar_kg), Bar("barbell", 15.0, 1, collar_kg))
    both = Place("p", "p", bars=bars, plates=plates, fixtures={"rack": 1})
    squat, collars_kg = catalogue().get("back_squat"), 2 * collar_kg
    plain = {load.load_kg: load.pieces for load in loads_in(both, squat)}
    assert "bar of 15 kg" in plain[35.0 + collars_kg] and "bar of 20 kg" in plain[45.0 + collars_kg]

    for named in (15, 20):
        top = Dose(50.0 + collars_kg, None, "total", f"10 a side, on the bar of {named} kg", (5, 5), None, "")
        ramp = ramp_sets(squat, top, both)
        alike = {load.load_kg: load.pieces for load in loads_in(both, squat, top.pieces)}

        assert len(ramp) == 3 and all(f"bar of {named} kg" in one.pieces for one in ramp)
        assert all(one.pieces == alike[one.load_kg] for one in ramp)
        for load, pieces in alike.items():
            side = [float(kg) for kg in pieces.split(" a side")[0].split(" + ")] if " a side" in pieces else []
            bar = float(pieces.rpartition("bar of ")[2].partition(" kg")[0])
            assert bar + collars_kg + 2 * sum(side) == load
        assert set(alike) == set(plain)


def test_the_bar_is_named_in_the_unit_of_the_place() -> None:
    """A bar of 45 lb is kept as 20.412 kg, to the gram."""
    assert pieces_in_unit("20.412 a side, on the bar of 20.412 kg", "lb", "lb") == "45 a side, on the bar of 45 lb"
