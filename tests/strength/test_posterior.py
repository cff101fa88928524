"""What is believed of a lift: against draws, against real legs, and the laws of the trade."""

from __future__ import annotations

import csv
import random
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import log
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_person import GROWN

from setwright.catalogue.load import catalogue
from setwright.people.trainee import Baseline, Trainee
from setwright.strength.calling import usual_bias
from setwright.strength.course import Course, followed, moved, one_set
from setwright.strength.estimates import TREND_WEEKS, Estimates, LiftEstimate, estimate_lifts, start_of
from setwright.strength.evidence import SetEvidence
from setwright.strength.gathering import evidence_of
from setwright.strength.logged import Log, LoggedSet
from setwright.strength.mixture import share_below
from setwright.strength.population import population
from setwright.strength.posterior import LiftPosterior
from setwright.strength.roster import with_sets

ON = date(2026, 9, 7)
PERSON = GROWN
NOVICE = replace(PERSON, training_years=0.0)


def done(
    load: float | None,
    reps: int | None,
    rir: float | None = None,
    ago: int = 1,
    number: int = 1,
    exercise: str = "back_squat",
    **other: object,
) -> LoggedSet:
    return LoggedSet(
        date=ON - timedelta(days=ago),
        week=1,
        session="mon",
        exercise=exercise,
        set=number,
        load_kg=load,
        reps=reps,
        rir=rir,
        **other,  # type: ignore[arg-type]
    )


def known(*rows: LoggedSet, base: tuple[Baseline, ...] = (), person: Trainee = PERSON, today: date = ON) -> Estimates:
    return estimate_lifts(person, catalogue(), base, Log(tuple(rows)), today)


def lift(*rows: LoggedSet, exercise: str = "back_squat", person: Trainee = PERSON) -> LiftEstimate:
    found = known(*rows, person=person)
    return {**found.lifts, **found.holds}[exercise]


def kg(one: LiftEstimate) -> float:
    return one.posterior.one_rm().mean


MONTH = tuple(done(100, 5, 2, ago=29 - 7 * week, number=number) for week in range(5) for number in (1, 2, 3))


@cache
def after_a_month() -> LiftEstimate:
    return lift(*MONTH)


# One belief against draws from it.


def any_belief() -> LiftPosterior:
    spread = np.array([[0.06, 0.0, 0.0], [0.002, 0.006, 0.0], [0.0, 0.1, 0.5]])
    cov = spread @ spread.T
    return LiftPosterior(
        np.array([0.7, 0.3]),
        np.array([[log(120), 0.031, 1.0], [log(126), 0.036, 0.6]]),
        np.stack([cov, 2.0 * cov]),
        np.array([0.02, 0.03]),
    )


@cache
def draws() -> np.ndarray:
    """(400000, 4) of ln 1RM, curve parameter, bias, form of the day."""
    draw, belief = np.random.default_rng(20260907), any_belief()
    parts = []
    for weight, mean, cov, day in zip(belief.weights, belief.mean, belief.cov, belief.day_noise, strict=True):
        count = round(400_000 * weight)
        parts.append(np.column_stack([draw.multivariate_normal(mean, cov, count), draw.normal(0, day, count)]))
    return np.concatenate(parts)


def test_the_1rm_and_its_range_are_those_of_draws() -> None:
    """Referee: 400,000 draws; their own error is 0.015 kg in the mean and 0.05 kg in the ends: four times these."""
    one_rm, drawn = any_belief().one_rm(), np.exp(draws()[:, 0])

    assert one_rm.mean == pytest.approx(drawn.mean(), abs=0.06)
    assert one_rm.sd == pytest.approx(drawn.std(), abs=0.06)
    assert (one_rm.p10, one_rm.p90) == pytest.approx(np.quantile(drawn, [0.1, 0.9]), abs=0.2)
    assert any_belief().probability_of(125.0) == pytest.approx((drawn >= 125).mean(), abs=0.004)


@pytest.mark.parametrize(("reps", "rir"), [(1, 0), (5, 2), (8, 1), (12, 4)])
def test_the_load_for_a_set_is_that_of_draws(reps: float, rir: float) -> None:
    """Referee: draws of the bent statement, x - k (reps + rir + bias usual - 1); half a kilogram on 100."""
    x, k, bias, _ = draws().T
    drawn = np.exp(x - k * (reps + rir + bias * usual_bias(rir, reps) - 1))

    load = any_belief().load_for(reps, rir)

    assert load.mean == pytest.approx(drawn.mean(), rel=0.005)
    assert load.sd == pytest.approx(drawn.std(), rel=0.05)
    assert (load.p10, load.p90) == pytest.approx(np.quantile(drawn, [0.1, 0.9]), rel=0.01)


@pytest.mark.parametrize("load_kg", [70.0, 95.0, 110.0, 125.0, 140.0])
def test_repetitions_at_a_load_are_those_of_draws(load_kg: float) -> None:
    """Referee: draws of 1 + (x + form - ln load) / k, nought where nothing moves; a tenth of a repetition."""
    x, k, _, form = draws().T
    drawn = np.clip(1 + (x + form - log(load_kg)) / np.maximum(k, 1e-3), 0, 100)

    reps = any_belief().reps_at(load_kg)

    assert reps.mean == pytest.approx(drawn.mean(), abs=0.1)
    assert (reps.p10, reps.p90) == pytest.approx(np.quantile(drawn, [0.1, 0.9]), abs=0.15)


@pytest.mark.parametrize(("load_kg", "reps", "rir"), [(100, 5, 1), (90, 8, 0), (118, 1, 0), (80, 5, 4)])
def test_the_chance_of_a_set_is_that_of_draws(load_kg: float, reps: float, rir: float) -> None:
    """Referee: the share of draws, form of the day included, in which the load can be lifted; two in a hundred."""
    x, k, bias, form = draws().T
    share = (x + form - k * (reps + rir + bias * usual_bias(rir, reps) - 1) >= log(load_kg)).mean()

    assert 0.02 < share < 0.98
    assert any_belief().chance(load_kg, reps, rir) == pytest.approx(share, abs=0.02)


@settings(max_examples=50, deadline=None, derandomize=True)
@given(load=st.integers(40, 160), reps=st.integers(1, 15), rir=st.integers(0, 4))
def test_heavier_is_never_more_likely(load: int, reps: int, rir: int) -> None:
    belief = after_a_month().posterior
    chance = belief.chance(load, reps, rir)

    assert belief.chance(load + 2.5, reps, rir) <= chance + 1e-12
    # The product of curve and bias is straightened, which shows in the last thousandths.
    assert belief.chance(load, reps + 1, rir) <= chance + 1e-3
    assert belief.chance(load, reps, rir + 1) <= chance + 1e-3


@pytest.mark.parametrize(
    ("load_kg", "reps", "rir", "before", "rest_s"),
    [(90, 5, 2, 1, 150.0), (80, 8, 1, 2, 120.0), (75, 8, 3, 3, 150.0), (95, 5, 1, 1, 300.0), (100, 3, 1, 2, 90.0)],
)
def test_the_chance_of_a_later_set_is_that_of_draws(
    load_kg: float, reps: float, rir: float, before: int, rest_s: float
) -> None:
    """Referee: draws of the statement multiplied out: of (1 + (x + form - ln load) / k) repetitions each set before
    takes 22 %, give or take 45 % of it, less with a reserve (e times in 2.5) and with rest (e times in 200 s after two
    minutes; from the priors). Within 0.015, or 0.035 after short rests, where the doubt is far from a bell curve."""
    x, k, bias, form = draws().T
    belief, people = replace(any_belief(), loss=0.22), population()
    usual = usual_bias(rir, reps)
    hard = np.exp(-(rir + float(belief.weights @ belief.mean[:, 2]) * usual) / people.effort_scale_reps)
    rest = np.exp(-(rest_s - 120.0) / people.recovery_s)
    taken = 0.22 * hard * sum(rest**number for number in range(1, before + 1))
    left = np.maximum(0.05, 1 - taken * (1 + 0.45 * np.random.default_rng(11).normal(size=len(x))))
    share = (left * (1 + (x + form - log(load_kg)) / k) >= reps + rir + bias * usual).mean()

    assert 0.05 < share < 0.95
    assert belief.chance(load_kg, reps, rir, before, rest_s) == pytest.approx(
        share, abs=0.015 if rest_s > 100 else 0.035
    )
    assert belief.chance(load_kg, reps, rir) > share + 0.036


@settings(max_examples=50, deadline=None, derandomize=True)
@given(load=st.integers(60, 130), before=st.integers(0, 5), rest=st.floats(30, 400), reps=st.integers(1, 12))
def test_more_sets_before_never_help_and_longer_rests_never_hurt(
    load: int, before: int, rest: float, reps: int
) -> None:
    belief = after_a_month().posterior
    chance = belief.chance(load, reps, 1, before, rest)

    # More sets before make a set less sure as well as harder, which lifts chances of a few in a hundred a little.
    assert belief.chance(load, reps, 1, before + 1, rest) <= max(0.1, chance + 1e-3)
    assert chance < 0.1 or belief.chance(load, reps, 1, before, rest + 30) >= chance - 1e-3
    assert belief.chance(load, reps, 1, 0, rest) == belief.chance(load, reps, 1)


# Laws of what a set does.


@settings(max_examples=20, deadline=None, derandomize=True)
@given(load=st.integers(70, 150), reps=st.integers(1, 9), rir=st.integers(0, 3))
def test_a_better_first_set_never_means_less(load: int, reps: int, rir: int) -> None:
    """Only body mass is known, so the curve can't be blamed: more repetitions, more left or more load mean more."""
    base = kg(lift(done(load, reps, rir)))

    assert kg(lift(done(load, reps + 1, rir))) > base
    assert kg(lift(done(load, reps, rir + 1))) > base
    assert kg(lift(done(load * 1.025, reps, rir))) > base


@settings(max_examples=25, deadline=None, derandomize=True)
@given(near=st.floats(0.95, 1.05), reps=st.integers(1, 11), rir=st.integers(0, 3))
def test_more_load_never_means_less_for_such_a_set(near: float, reps: int, rir: int) -> None:
    """Near what is known; far from it, heavy tails may discount a row, and so they should.

    Not the 1RM: a weak set of ten beside strong sets of five speaks of a steep curve, and so of a higher single.
    """
    load = near * after_a_month().posterior.load_for(reps, rir).mean

    base, more = (
        lift(*MONTH, done(each, reps, rir, number=4)).posterior.load_for(reps, rir).mean for each in (load, load * 1.02)
    )

    assert more >= base - 0.6  # of a hundred kilograms: half the smallest common plate (1.25 kg)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(load=st.integers(70, 180))
def test_a_first_called_set_counts_in_full(load: int) -> None:
    """Law: with body mass alone to go by, ten per cent more load is nine to eleven per cent more 1RM nearby."""
    ratio = kg(lift(done(load * 1.1, 5, 2))) / kg(lift(done(load, 5, 2)))

    assert 1.0 < ratio < 1.11
    if 90 <= load <= 150:
        assert ratio > 1.06


def test_more_sets_leave_less_doubt() -> None:
    sds = [lift(*MONTH[:count]).posterior.one_rm().sd for count in (1, 3, 6, 15)]

    assert sds == sorted(sds, reverse=True)
    assert sds[-1] < 0.85 * sds[0]


def test_one_set_knows_a_lift_no_better_than_a_test_does() -> None:
    """Referee: Grgic et al. 2020: median CV of a tested 1RM 4.2 %, 2 to 3 % in familiar lifts (seen): not under 2 %."""
    found = lift(done(110, 3, 1)).posterior.one_rm()

    assert found.sd / found.mean > 0.02


def test_a_set_ended_by_form_never_lowers_the_estimate() -> None:
    for load, reps in ((60, 3), (100, 3), (100, 5), (120, 2)):
        found = kg(lift(*MONTH, done(load, reps, ended_by="form")))

        assert found >= kg(after_a_month()) - 0.05  # a day's walk alone moves the mean of the kilograms by a few grams


def test_muscular_failure_lowers_where_form_does_not() -> None:
    failed = kg(lift(*MONTH, done(105, 4, ended_by="muscle")))

    assert failed < kg(after_a_month()) - 1.0
    assert failed < kg(lift(*MONTH, done(105, 4, ended_by="form"))) - 1.0


def test_a_failed_single_lowers_the_estimate() -> None:
    base = kg(after_a_month())
    assert 118 < base < 134

    heavy, light = (kg(lift(*MONTH, done(load, 0, number=4, ended_by="muscle"))) for load in (130, 115))

    assert light < heavy < base


def test_a_test_and_a_heavier_failed_attempt_enclose_the_estimate() -> None:
    """A lift known from a month of sets: 120 kg was lifted in a test, 130 kg was not."""
    tested = (done(120, 1, 0, note="1RM test"), done(130, 0, number=2, ended_by="muscle"))

    found = lift(*MONTH, *tested).posterior.one_rm()

    assert 120 < found.mean < 130
    assert found.sd < after_a_month().posterior.one_rm().sd


def test_a_bound_said_ten_times_says_no_more_than_once() -> None:
    bare = [done(108, 5, ago=28 - 3 * day, number=9) for day in range(10)]

    once, often = lift(*MONTH, bare[0]), lift(*MONTH, *bare)

    assert kg(often) == pytest.approx(kg(once), rel=0.003)
    assert often.doubtful == () and often.sets_used == len(MONTH) + 10


def test_weeks_without_sets_raise_nothing() -> None:
    """Law: time alone raises no load: the 1RM is as on the last day, only less sure."""
    held = [known(*MONTH, today=ON + timedelta(weeks=weeks)).lifts["back_squat"].posterior.one_rm() for weeks in (0, 2)]

    # A wider spread of ln raises the mean of the kilograms: half its growth in variance, 0.05 kg here.
    assert held[1].mean == pytest.approx(held[0].mean, abs=0.1)
    assert held[1].sd > held[0].sd


@pytest.mark.parametrize(("ago", "since"), [((70, 57, 40, 7), 57), ((70, 56, 40, 7), 56), ((50, 40, 7), 50)])
def test_change_is_judged_from_the_last_day_with_sets_before_its_weeks(ago: tuple[int, ...], since: int) -> None:
    """Arithmetic: eight weeks are 56 days; a log that is younger is judged from its first day."""
    course = known(*(done(100, 5, 2, ago=one) for one in ago)).course

    assert isinstance(course, Course)
    assert course.since == ON - timedelta(days=since)


def test_old_sets_count_less_than_new_ones() -> None:
    """Ten per cent less today moves an estimate of last year further than one of this week."""
    alone = kg(lift(done(100, 5, 2, ago=0)))
    year, days = (kg(lift(done(111, 5, 2, ago=ago), done(100, 5, 2, ago=0))) for ago in (365, 3))

    assert alone < year < days
    assert (
        lift(done(100, 5, 2, ago=365)).posterior.one_rm().sd > 1.3 * lift(done(100, 5, 2, ago=0)).posterior.one_rm().sd
    )


def test_ten_times_the_load_waits_for_a_check_and_moves_nothing() -> None:
    slip = done(1000, 5, 2, ago=0)

    found = lift(*MONTH, slip)

    assert kg(found) == pytest.approx(kg(lift(*MONTH)), rel=0.01)
    assert [(one.load_kg, one.reps) for one in found.doubtful] == [(1000, 5)]
    assert found.sets_used == len(MONTH)


def test_ten_times_the_load_is_still_shown_after_a_hundred_good_sets() -> None:
    good = [done(100, 5, 2, ago=1 + day, number=number) for day in range(0, 100, 3) for number in (1, 2, 3)]

    for ago in (0, 50, 101):
        found = lift(*good, done(1000, 5, 2, ago=ago, number=9))

        assert [one.load_kg for one in found.doubtful] == [1000]


def test_a_tenth_of_the_load_is_a_slip_as_well() -> None:
    found = lift(*MONTH, done(10, 5, 2, ago=0))

    assert kg(found) == pytest.approx(kg(after_a_month()), rel=0.03)
    assert [one.load_kg for one in found.doubtful] == [10]


def test_the_order_of_the_rows_does_not_matter() -> None:
    rows = [
        done(80 + 2 * week + number, 5, 2, ago=40 - 7 * week, number=number, exercise=exercise)
        for week in range(5)
        for number in (1, 2, 3)
        for exercise in ("bench_bb", "back_squat", "deadlift")
    ]
    expected = known(*rows)
    assert set(expected.lifts) == {"bench_bb", "back_squat", "deadlift"}

    for seed in range(3):
        shuffled = rows[:]
        random.Random(seed).shuffle(shuffled)
        found = known(*shuffled)

        for slug, one in expected.lifts.items():
            assert np.array_equal(found.lifts[slug].posterior.mean, one.posterior.mean)
            assert np.array_equal(found.lifts[slug].posterior.cov, one.posterior.cov)
            assert found.lifts[slug].trend_per_week == one.trend_per_week


def test_adding_a_day_equals_following_all_days_again() -> None:
    """To the bit, within the weeks over which change is judged."""
    slugs = ("back_squat", "bench_bb")
    rows = [
        done(80 + week, 5, 2, ago=2 + 7 * week, number=number, exercise=slug)
        for week in range(6)
        for slug in slugs
        for number in (1, 2)
    ]
    rows += [done(90, 4, 1, ago=0, number=number, exercise=slug) for slug in slugs for number in (1, 2)]
    evidence = evidence_of(PERSON, catalogue(), (), Log(tuple(rows)), ON)
    before = [[one for one in sets if one.date < ON] for sets in evidence.values()]
    start = start_of([catalogue().get(slug) for slug in evidence], PERSON, ON.year)
    whole = followed(start, list(evidence.values()), ON, TREND_WEEKS).now

    tuesday = followed(start, before, ON - timedelta(days=2), TREND_WEEKS)
    roster = moved(tuesday.now, tuesday.today, ON)
    for number, sets in enumerate(evidence.values()):
        for one in sets:
            if one.date == ON:
                roster, _, _ = with_sets(roster, one_set(number, one))

    assert whole.done_today.all()
    for name in ("weights", "mean", "cov"):
        assert np.array_equal(getattr(roster.belief, name), getattr(whole.belief, name))
    for name in ("weeks", "exposed", "tired", "done_today"):
        assert np.array_equal(getattr(roster, name), getattr(whole, name))


def test_help_says_something_about_the_unhelped_lift_and_stays_wide() -> None:
    nothing = known().for_exercise("pullup").posterior.one_rm()
    helped, alone = (
        lift(done(load, 8, 1, exercise="pullup", load_means=means), exercise="pullup").posterior.one_rm()
        for load, means in ((30.0, "assistance"), (0.0, "added"))
    )

    assert helped.mean < alone.mean - 15  # he needed thirty kilograms of help
    assert alone.sd / alone.mean < helped.sd / helped.mean < nothing.sd / nothing.mean


def test_a_set_that_felt_easy_says_more_than_a_bare_one() -> None:
    bare, easy, not_easy = (
        kg(lift(*MONTH, done(105, 5, ago=0, note=note))) for note in ("", "felt easy", "that was not easy")
    )

    assert easy > bare + 0.5
    assert not_easy == bare


def test_a_hold_to_failure_says_something() -> None:
    """Longer holds to failure with the same load mean more strength; all leave less doubt than body mass alone."""
    before = known().for_exercise("push_hold").posterior.one_rm()
    short, long = (
        lift(done(None, None, exercise="push_hold", hold_s=held, ended_by="muscle"), exercise="push_hold")
        for held in (20.0, 60.0)
    )

    assert kg(long) > 1.15 * kg(short)
    assert short.posterior.one_rm().sd / kg(short) < before.sd / before.mean + 0.01


def test_a_load_that_is_not_positive_says_nothing() -> None:
    assert known(done(0, 5, 2)).lifts == {}


# Familiarisation: the second test of a new lift is better for reasons that are not strength.


def trained_on(*rows: tuple[float, int]) -> Estimates:
    """Tests of the leg press by a novice: (load in kg, days ago)."""
    return known(
        *(done(load, 1, 0, ago=ago, exercise="leg_press", note="1RM test") for load, ago in rows), person=NOVICE
    )


def test_a_second_test_two_days_later_starts_no_trend() -> None:
    """Invented, of the usual size: nine per cent up in two days, level from then on (Ritti-Dias 2011, seen)."""
    two, five = trained_on((100, 14), (109, 12)), trained_on((100, 23), (109, 21), (109, 14), (109, 7), (109, 0))

    assert two.lifts["leg_press"].trend_per_week is None
    trend = five.lifts["leg_press"].trend_per_week
    assert trend is not None
    assert trend.mean / kg(five.lifts["leg_press"]) < 0.02


def ahead(found: Estimates, weeks: int) -> float:
    """Forecast of the 1RM over that of today."""
    assert isinstance(found.course, Course)
    return found.course.one_rm_on(ON + timedelta(weeks=weeks), 0).mean / kg(found.lifts["leg_press"])


def test_a_second_test_two_days_later_is_not_extrapolated() -> None:
    """Nine per cent in two days is thirty a week; the forecast stays within 6 % of that without any jump, for weeks.

    Referee: on the real legs below, the gain from the first to the second test says nothing about later gains.
    """
    jump, level = trained_on((100, 2), (109, 0)), trained_on((100, 2), (100, 0))

    for weeks, within in ((1, 0.015), (4, 0.03), (12, 0.06)):
        assert ahead(jump, weeks) == pytest.approx(ahead(level, weeks), abs=within)
    # Referee: real legs (below) gained 26 % in the first five weeks after their second test.
    assert 1.0 < ahead(jump, 4) < 1.26


LEGS = Path(__file__).parents[1] / "data" / "textbook" / "training_legs.csv"
LIFTS = {"legext": "leg_ext_single", "legpress": "leg_press_single"}
WEEKS = (2, 5, 9, 12)


def test_the_first_gain_of_real_novices_says_nothing_about_later_gains() -> None:
    """Referee: the same legs; slope of the gain of weeks 0.3 to 5 on that of the first two days, beside its error."""
    gains = []
    with LEGS.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if row["week_0"] and row["week_0.3"] and row["week_5"]:
                first, second, later = (log(float(row[name])) for name in ("week_0", "week_0.3", "week_5"))
                gains.append((second - first, later - second))
    table = np.array(gains)
    slope = float(np.cov(table.T)[0, 1] / table[:, 0].var(ddof=1))
    error = float(np.sqrt((table[:, 1] - slope * table[:, 0]).var() / table[:, 0].var() / len(table)))

    assert len(table) > 90
    assert table[:, 0].mean() == pytest.approx(0.075, abs=0.03)
    assert slope < 2.0 * error


@cache
def places_of_later_tests() -> dict[tuple[str, int], list[float]]:
    """For each lift and week, where the test of each leg lay in its forecast made after the second test (0 to 1)."""
    legs: dict[tuple[str, str], list[dict[str, str]]] = {}
    with LEGS.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            legs.setdefault((row["id"], row["leg"]), []).append(row)
    assert len(legs) > 60
    first, second = date(2026, 1, 5), date(2026, 1, 7)
    found: dict[tuple[str, int], list[float]] = {}
    for rows in legs.values():
        one = rows[0]
        person = replace(
            NOVICE,
            birth_year=2026 - int(float(one["age"])),
            body_mass_kg=float(one["mass_kg"]),
            stature_m=float(one["stature_cm"]) / 100,
            sex=one["sex"],  # type: ignore[arg-type]
        )
        start = start_of([catalogue().get(LIFTS[row["exercise"]]) for row in rows], person, 2026)
        sets = [
            [
                SetEvidence(first, float(row["week_0"]), 1, "test"),
                SetEvidence(second, float(row["week_0.3"]), 1, "test"),
            ]
            for row in rows
        ]
        course = followed(start, sets, second, TREND_WEEKS)
        for week in WEEKS:
            roster = course.on(first + timedelta(weeks=week))
            for number, row in enumerate(rows):
                if row[f"week_{week}"]:
                    mean, variance = course.marginal(roster, "x", number)
                    value = np.asarray(log(float(row[f"week_{week}"])))
                    place = float(share_below(roster.belief.weights[0], mean, variance, value))
                    found.setdefault((row["exercise"], week), []).append(place)
    return found


def held(places: list[float], share: float) -> float:
    return float(np.mean([abs(place - 0.5) <= share / 2 for place in places]))


@pytest.mark.parametrize(("share", "least", "most"), [(0.5, 0.3, 0.75), (0.8, 0.6, 0.95), (0.95, 0.8, 1.0)])
def test_forecasts_of_real_novices_hold_roughly_what_they_say(share: float, least: float, most: float) -> None:
    """Referee: legs of an open training study (Hammarström et al. 2020), tested twice in two days, forecast to week 12.

    Over 400 tests, but of 34 people whose eight or so tests go together: the error of these shares is some 7 points.
    The study's training was harder than the usual novice's, and its machines load unlike others, so the bands are wide.
    """
    places = [place for of_lift in places_of_later_tests().values() for place in of_lift]

    assert len(places) > 400
    assert least <= held(places, share) <= most


def dropped_to(load: float) -> float:
    """1RM after sixteen weeks of 90 x 5 with two left, and one day with a lighter load called the same; invented."""
    weeks = [done(90, 5, 2, ago=112 - 7 * week, number=number) for week in range(16) for number in (1, 2, 3)]
    return kg(lift(*weeks, *(done(load, 5, 2, ago=0, number=number) for number in (1, 2, 3))))


def test_a_lighter_load_called_the_same_never_raises_the_estimate() -> None:
    """Arithmetic: the same call at a load a sixth lighter is a sixth less strength, if it is believed whole."""
    found = [dropped_to(load) for load in (90.0, 85.0, 80.0, 75.0)]

    assert found == sorted(found, reverse=True)
    assert found[0] * 75 / 90 < found[-1] < 0.97 * found[0]


def test_who_always_calls_two_left_gets_no_steep_curve() -> None:
    """Invented: loads that vary by 4 % under one call; believed whole, they would say that repetitions cost no load."""
    draw = np.random.default_rng(3)
    rows = [
        done(round(100 * float(np.exp(0.04 * draw.normal())), 1), 5, 2, ago=120 - 3 * day, number=number)
        for day in range(40)
        for number in (1, 2, 3)
    ]

    found = lift(*rows).posterior
    assert 0.02 < found.k().mean < 0.04
    assert 108 < found.one_rm().mean < 135


def test_the_first_day_in_pounds_is_found_once_others_disagree() -> None:
    """Referee: 1 kg is 2.2046 lb (from memory): the first day lies 2.2 times above the five that follow."""
    first = [done(220.5, 5, 2, ago=42, number=number) for number in (1, 2, 3)]
    right = [done(100, 5, 2, ago=35 - 7 * week, number=number) for week in range(5) for number in (1, 2, 3)]

    found = lift(*first, *right)
    assert len(found.doubtful) == 3 and {row.load_kg for row in found.doubtful} == {220.5}
    assert kg(found) == pytest.approx(kg(lift(*right)), rel=0.03)


def test_a_missed_digit_is_found_and_moves_little() -> None:
    found = lift(*MONTH, done(10, 5, 2, ago=0))

    assert [row.load_kg for row in found.doubtful] == [10]
    assert kg(found) == pytest.approx(kg(lift(*MONTH)), rel=0.01)


def test_three_days_that_agree_count_however_strong_somebody_is() -> None:
    rows = [done(400, 5, 2, ago=21 - 7 * day, number=number) for day in range(4) for number in (1, 2)]

    assert lift(*rows).sets_used == 8 and kg(lift(*rows)) > 400
