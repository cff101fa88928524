"""The climb ahead: chances and dates of each step, the next dose, and what stands between two steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_block import PERSON

from setwright.body.models import models
from setwright.catalogue.load import catalogue
from setwright.catalogue.step_sizes import Demand, DemandOf, nothing_known, settings
from setwright.people.trainee import Baseline, StepReached, Trainee
from setwright.review.climb import ClimbAhead, climb_ahead
from setwright.review.progress import rows_of, standing
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSet

START = date(2026, 9, 7)
FAR = date(2099, 1, 1)


def sessions(exercise: str, *best: float, sets: int = 3, **more: object) -> list[LoggedSet]:
    """A session every 3.5 days: so many equal sets of each amount, to the end."""
    field = {"reps": "reps", "seconds": "hold_s", "metres": "distance_m"}[catalogue().get(exercise).measured_in]
    return [
        LoggedSet(
            date=START + timedelta(days=round(3.5 * n)),
            week=None,
            session="x",
            exercise=exercise,
            set=number + 1,
            **{field: int(amount) if field == "reps" else amount, "ended_by": "muscle", **more},  # type: ignore[arg-type]
        )
        for n, amount in enumerate(best)
        for number in range(sets)
    ]


def ahead(
    slug: str,
    step: int,
    rows: list[LoggedSet],
    demand: DemandOf = nothing_known,
    who: Trainee = PERSON,
    asked: date | None = None,
) -> ClimbAhead:
    who = replace(who, steps=(StepReached(slug, step, START - timedelta(days=1)),))
    log = Log(tuple(rows))
    on = max((one.date for one in rows), default=START)
    estimates = estimate_lifts(who, catalogue(), who.baselines, log, on)
    stands = standing(catalogue().progressions[slug], rows_of(log, who.baselines), who, catalogue())
    return climb_ahead(stands, who, catalogue(), estimates, on, demand, asked=asked)


def test_a_climb_takes_months_and_says_so() -> None:
    """Knee push-up from 6 to 9 repetitions in five weeks: the dip is a matter of many months."""
    found = ahead("pushup", 3, sessions("pushup_knee", 6, 6, 7, 7, 8, 8, 8, 9, 9, 9))
    low, middle, high = found.steps[-1].dates

    assert found.steps[-1].step.exercise == "dip" and len(found.steps) == 6
    assert low is not None and middle is not None
    assert (middle - found.today).days > 90
    assert ((high or FAR) - low).days > 60, "an honest range of a year-long climb is wide"


def test_chances_rise_with_time_and_fall_with_height() -> None:
    found = ahead("pushup", 3, sessions("pushup_knee", 6, 7, 8, 8, 9))

    for row in found.steps:
        assert list(row.chances) == sorted(row.chances)
    for below, above in zip(found.steps, found.steps[1:], strict=False):
        assert all(a >= b for a, b in zip(below.chances, above.chances, strict=True))
        assert (below.dates[1] or FAR) <= (above.dates[1] or FAR)


def test_the_chance_by_a_day_asked_agrees_with_the_weeks() -> None:
    found = ahead("pushup", 3, sessions("pushup_knee", 6, 7, 8), asked=START + timedelta(days=7 + 8 * 7))

    assert [row.chance_asked for row in found.steps] == [row.chances[1] for row in found.steps]


def test_a_step_done_leaves_only_what_is_above() -> None:
    found = ahead("pushup", 3, sessions("pushup_knee", 12, 12))

    assert found.standing.verdict == "step up"
    assert found.steps[0].chances == (1.0, 1.0, 1.0, 1.0)
    assert found.steps[1].chances[0] < 0.5


def test_the_next_dose_leaves_two_and_never_passes_the_exit_test() -> None:
    """9 repetitions to the end: 5 to 7 next time. The exit test is 12."""
    found = ahead("pushup", 3, sessions("pushup_knee", 9, 9, 9))
    dose = found.dose
    assert dose is not None

    assert dose.exercise == "pushup_knee" and dose.sets == 3
    assert 5 <= dose.high <= 8 and dose.low <= dose.high
    assert "rest 120 s" in dose.words


def test_a_new_step_starts_low_with_its_dial_set_easy() -> None:
    dose = ahead("split", 1, sessions("split_squat_hand", 8, 8)).dose
    assert dose is not None

    assert dose.exercise == "split_squat_asym" and dose.high <= 5
    assert "one hand on the support" in dose.words


def test_a_carry_is_dosed_with_its_load() -> None:
    """30 % of 78 kg: 23.4, said as 23.5 kg in each hand."""
    dose = ahead("ohcarry", 4, sessions("farmer", 20, 20, load_kg=22.5)).dose
    assert dose is not None

    assert dose.load_kg == pytest.approx(23.5) and "in each hand" in dose.words


def test_a_pull_up_with_a_load_scale_rests_on_the_estimate() -> None:
    """Weighted sets tell what is possible without load: 10 kg for 6 with one left is far over 3."""
    strong = replace(PERSON, baselines=(*PERSON.baselines, Baseline(date(2026, 9, 1), "pullup", 10.0, 6, 1)))
    found = ahead("pullup", 6, [], who=strong)

    assert "estimate" in found.rests_on
    assert found.amount is not None and found.amount[0] > 5
    assert found.steps[0].chances[0] > 0.9


def test_a_set_of_less_load_than_the_test_asks_counts_for_less() -> None:
    light = ahead("ohcarry", 4, sessions("farmer", 20, 20, load_kg=12.5))
    heavy = ahead("ohcarry", 4, sessions("farmer", 20, 20, load_kg=22.5))

    assert light.steps[0].chances[1] < heavy.steps[0].chances[1]


def test_sets_on_an_easier_dial_do_not_count_for_the_exit_test() -> None:
    helped = ahead("split", 1, sessions("split_squat_hand", 7, 7, dials={"support": "two hands on the support"}))

    assert helped.amount is None


def on_hands(slug: str, dials: Mapping[str, object]) -> Demand | None:
    """A stand-in for the mechanics: made-up shares, the push-up twice the hands on 60 cm, lower hands in between."""
    if slug == "pushup_incline":
        share = 0.70 - 0.005 * float(dials.get("hand_height_cm", 60))  # type: ignore[arg-type]
    elif slug in ("pushup_knee", "pushup", "pushup_feet"):
        share = {"pushup_knee": 0.45, "pushup": 0.80, "pushup_feet": 0.88}[slug]
    else:
        return None
    return Demand(share, 0.9 * share, 1.1 * share, "made up")


def test_a_step_that_is_too_big_gets_one_in_between() -> None:
    """Hands on 30 cm to the floor, 0.55 to 0.80, is 45 % more: proposed is about the geometric mean, 0.66."""
    found = ahead("pushup", 4, sessions("pushup_incline", 9, 9, dials={"hand_height_cm": 30}), on_hands)
    up = next(row for row in found.steps if row.step.exercise == "pushup")

    assert up.size is not None and up.size.ratio == pytest.approx(0.80 / 0.55) and up.size.is_too_big
    assert up.between[0].demand.mean == pytest.approx((0.80 * 0.55) ** 0.5, rel=0.05)
    dip = found.steps[-1]
    assert dip.size is not None and dip.size.ratio is None and dip.between == ()


def test_a_bigger_step_takes_longer() -> None:
    rows = sessions("pushup_incline", 12, 12, dials={"hand_height_cm": 30})

    def small(slug: str, dials: Mapping[str, object]) -> Demand | None:
        found = on_hands(slug, dials)
        return found if slug != "pushup" or found is None else replace(found, mean=0.57)

    far, near = (ahead("pushup", 4, rows, demand).steps[1].dates[1] for demand in (on_hands, small))
    assert far is not None and near is not None and far > near


def test_after_a_step_back_the_climb_starts_from_the_lower_step() -> None:
    found = ahead("pushup", 5, sessions("pushup", 4, 4))

    assert found.standing.verdict == "step back"
    assert found.steps[0].step.number == 4 and found.dose is not None and found.dose.exercise == "pushup_incline"


def test_the_same_log_gives_the_same_climb() -> None:
    rows = sessions("pushup_knee", 6, 7, 8)

    assert ahead("pushup", 3, rows) == ahead("pushup", 3, rows[::-1])


def test_what_was_lifted_beside_the_climb_shortens_or_lengthens_the_steps_above() -> None:
    """The band is the step now: six pull-ups with 10 kg bring the top nearer than a pull-up that failed."""
    did = Baseline(date(2026, 9, 1), "pullup", 10.0, 6, 1)
    failed = Baseline(date(2026, 9, 1), "pullup", None, 0, to_failure=True)
    near, far = (
        ahead("pullup", 5, [], who=replace(PERSON, baselines=(*PERSON.baselines, one))).steps[-1].dates[1]
        for one in (did, failed)
    )

    assert near is not None and far is not None and near < far


def test_too_much_help_is_neither_done_nor_hopeless() -> None:
    """Sets with 25 kg of help on 60 kg: the lightest band is weeks away, not done and not out of reach."""
    climb = catalogue().progressions["pullup"]
    number = next(one.number for one in climb.steps if one.exercise == "pullup_band")
    person = replace(PERSON, body_mass_kg=60.0, steps=(StepReached("pullup", number, date(2026, 9, 1)),), baselines=())
    log = Log(
        tuple(
            LoggedSet(date(2026, 9, day), None, "s", "pullup_band", n, load_kg=25.0, reps=6, rir=2.0)
            for day in (7, 14)
            for n in (1, 2, 3)
        ),
        (),
    )
    now = date(2026, 9, 14)
    stands = standing(climb, rows_of(log), person, catalogue())
    estimates = estimate_lifts(person, catalogue(), (), log, now)

    found = climb_ahead(stands, person, catalogue(), estimates, now)

    assert stands.verdict == "stay" and "help comes down" in stands.why
    assert found.steps[0].chances[0] < 0.5 < found.steps[0].chances[-1]


def test_no_range_at_all_is_nothing_to_put_in_between() -> None:
    """The nordic with less range: down to the angle that it starts from would be a hold."""
    tried = [sets["to_deg"] for _, _, sets in settings(catalogue().get("nordic_ecc"), {}) if "to_deg" in sets]
    lever = catalogue().get("nordic_ecc").lever
    assert lever is not None
    start = lever.dials.get("from_deg", models()[lever.model].dial("from_deg").usual)

    assert tried and all(abs(float(str(one)) - float(start)) >= 15.0 for one in tried)


def test_the_next_dose_names_the_height_of_its_step() -> None:
    """Hands on 60 cm: the dose says 60 cm, as a push-up on another edge is another step."""
    climb = catalogue().progressions["pushup"]
    person = replace(PERSON, steps=(StepReached("pushup", 2, date(2026, 9, 1)),), baselines=())
    stands = standing(climb, (), person, catalogue())
    estimates = estimate_lifts(person, catalogue(), (), Log((), ()), date(2026, 9, 1))

    found = climb_ahead(stands, person, catalogue(), estimates, date(2026, 9, 1))

    assert found.dose is not None and "60 cm" in found.dose.words


def test_a_drill_of_a_warm_up_moves_nobody_on_a_way_and_one_that_hurts_counts() -> None:
    """Five easy ones in a warm-up are neither a try at the exit test nor short of it (common practice)."""
    drills = sessions("pushup_incline", 5, 5, sets=1, part="warm-up", ended_by="planned")
    hurt = replace(drills[0], pain=6, pain_where="shoulder")

    assert rows_of(Log(tuple(drills))) == ()
    assert rows_of(Log((hurt, *drills[1:]))) == (hurt,)
    assert rows_of(Log(tuple(replace(one, part="skill") for one in drills))) != ()
