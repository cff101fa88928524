"""A graded set of a lift in which two joints work hard tells of both.

Referee: the set itself. What was done for five repetitions cannot ask for far more than the person has.
"""

from __future__ import annotations

from setwright.body.demand import Known, Person, assess, learnt
from setwright.body.models import models

TALL = Person(95.0, 1.98, "male", 30.0)
HEAVY = {"hold": "high bar", "load_kg": 180.0}


def test_a_heavy_squat_that_was_done_is_not_called_out_of_reach():
    """180 kg for five, two left: knees and hips both do what the table would not give them."""
    squat = models()["squat"]
    before = assess(squat, HEAVY, TALL)
    after = assess(squat, HEAVY, TALL, learnt(Known(), squat, HEAVY, TALL, share=0.83))

    assert before.demand_ratio is not None and before.demand_ratio.p10 > 1.2
    assert after.demand_ratio is not None and after.demand_ratio.p10 < 1.0 and after.demand_ratio.mean < 1.1
    assert all(one.demand_ratio.mean < 1.0 for one in after.joints if one.demand_ratio is not None)


def test_a_joint_that_was_not_tried_is_not_called_weak():
    """An easy set tells of the hardest joint only: the others keep what was believed of them."""
    squat = models()["squat"]
    known = learnt(Known(), squat, {"load_kg": 0.0}, TALL, share=0.95)

    assert len(known.strength) == 1
