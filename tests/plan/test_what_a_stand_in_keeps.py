"""What a stand-in keeps and loses, in words that hold: a hold keeps no movement, machines keep the breath.

Referee: the words themselves; common practice, no published source.
"""

from __future__ import annotations

from setwright.catalogue.load import catalogue
from setwright.plan.alternatives import what_is_kept


def test_a_hold_never_keeps_the_movement_that_it_loses() -> None:
    known = catalogue()
    pairs = [
        (a, b)
        for a in known.values()
        for b in known.values()
        if a.pattern == b.pattern and a.is_dynamic and not b.is_dynamic
    ]

    assert len(pairs) > 100
    for moves, held in pairs:
        kept, lost = what_is_kept(moves, held)
        assert "movement" in lost.split("; ") and "the same movement" not in kept, (moves.slug, held.slug)


def test_one_machine_for_another_keeps_work_for_heart_and_lungs_and_names_no_load() -> None:
    known = catalogue()
    kept, lost = what_is_kept(known.get("bike"), known.get("step_cardio"))
    assert kept.startswith("work for heart and lungs") and lost == "little"

    _, lost = what_is_kept(known.get("bike"), known.get("arm_bike"))
    assert "quadriceps" in lost and "loads" not in lost
