"""Is what is believed about strength as sure as it says? Thousands of invented people, whose truth is known.

Four questions: does the truth lie in the belief where it should; do sets come out as often as their chance says, beside
a simple peer; do trends and forecasts hold; and what each simplification of the filter costs, beside an exact referee.
Peer: the best Epley estimate of the last four weeks, as yes or no, and as a logistic curve fitted on half the people.
Run: python benchmarks/calibration.py [--write]; the latter renews docs/calibration.md and its picture.
"""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from setwright.strength.calling import scatter
from setwright.strength.course import Course
from setwright.strength.mixture import Floats, Mixture
from setwright.strength.population import population
from setwright.strength.posterior import LiftPosterior
from setwright.strength.roster import LEAST_K, MOST_LOSS, Roster, Start, restlessness, with_sets
from setwright.strength.simulated import (
    CALLED,
    FAILURE,
    FIRST_DAY,
    MOST_CALLED,
    Crowd,
    Done,
    Flatness,
    Plan,
    Step,
    Tenth,
    Trained,
    World,
    brier,
    crowd_later,
    draw_crowd,
    flatness,
    mean_call,
    place_in,
    place_of,
    tenths,
    trained,
)
from setwright.strength.tiring import USUAL_REST_S

ROOT = Path(__file__).resolve().parents[1]
PAGE, PICTURE = ROOT / "docs" / "calibration.md", ROOT / "docs" / "pictures" / "reliability.svg"
PEER_DAYS = 28
AHEAD_WEEKS, MOST_AHEAD_WEEKS = 4, 26


def two_lifts(sd: float = 0.45) -> Start:
    """A squat and a bench press of somebody with two years of training, as wide as body mass leaves it."""
    k = np.array([0.03, 0.03])
    like = np.array([[1.0, 0.6], [0.6, 1.0]])
    return Start(np.log([120.0, 90.0]), np.array([sd, sd]), like, k, 0.28 * k, 2.0)


def both(told: Trained, what: str, truth: Floats) -> Flatness:
    """Flatness over all people, each giving one of the two lifts, so that the places are independent."""
    places = np.stack([place_of(told.roster, what, lift, truth[:, lift]) for lift in (0, 1)])
    count = places.shape[1]
    return flatness(places[np.arange(count) % 2, np.arange(count)])


def row(name: str, found: Flatness) -> str:
    """One line of the table of places."""
    covered = " / ".join(f"{100 * share:.0f}" for share in found.covered)
    return f"| {name} | {found.mean:.2f} | {covered} | {found.farthest:.3f} | {found.chi_square:.0f} | {found.p:.2g} |"


HEAD = (
    "| {} | mean place | middle 50 / 80 / 95 % hold | farthest | chi-square (19) | p |\n"
    "| --- | --- | --- | --- | --- | --- |"
)


def places(step: Step, count: int) -> Iterator[str]:
    """Where the truth lies in the belief after 1, 3 and 10 weeks."""
    yield HEAD.format("what, weeks of log")
    for weeks in (1, 3, 10):
        told = trained(np.random.default_rng(100 + weeks), two_lifts(), count, weeks, step=step)
        crowd = told.crowd
        yield row(f"ln 1RM, {weeks}", both(told, "x", crowd.x))
        yield row(f"curve, {weeks}", both(told, "k", crowd.k))
        for what, truth in (("bias", crowd.bias), ("loss", crowd.loss), ("learning", crowd.learning)):
            yield row(f"{what}, {weeks}", flatness(place_of(told.roster, what, 0, truth)))


def view(roster: Roster, person: int, lift: int) -> LiftPosterior:
    """The belief about one lift of one person, as a plan sees it."""
    at = [roster.number_of("x", lift), roster.number_of("k", lift), roster.number_of("bias")]
    belief, people = roster.belief, population()
    cov = belief.cov[person][:, at][:, :, at]
    loss = float(np.clip(belief.overall_mean[person, roster.number_of("loss")], 0.0, MOST_LOSS))
    day = people.day * restlessness(people)
    return LiftPosterior(belief.weights[person], belief.mean[person][:, at], cov, day, loss)


@dataclass(frozen=True)
class Predictions:
    """Predictions of sets, all (m,): who, number of the set, chance said, peer's margin in repetitions, outcomes.

    fresh : chance said as if it were the first set of the day; called : ``said`` with the scatter of the call that
    will be written, and its rounding
    """

    person: Floats
    number: Floats
    said: Floats
    fresh: Floats
    called: Floats
    margin: Floats
    kept: Floats
    kept_as_called: Floats


def predictions(step: Step, count: int, load_sd: float = 0.06) -> Predictions:
    """Every set of ten weeks after the first day, foretold from the log before it."""
    rows: list[list[float]] = []
    best: list[tuple[int, int, Floats]] = []

    def watch(day: int, roster: Roster, crowd: Crowd, plan: Plan, done: Done) -> None:
        recent = [one for then, lift, one in best if lift == plan.lift and day - then <= PEER_DAYS]
        if day > 0 and recent:
            top = np.stack(recent).max(axis=0)
            margin = 30.0 * (top / plan.load_kg - 1.0) - (plan.reps + plan.rir)
            for person in np.flatnonzero((plan.has > 0) & (plan.to_failure == 0) & (top > 0)):
                who, load = int(person), float(plan.load_kg[person])
                one, reps, rir = view(roster, who, plan.lift), float(plan.reps[who]), float(plan.rir[who])
                said, fresh = (one.chance(load, reps, rir, before) for before in (plan.number - 1, 0))
                k = max(float(one.weights @ one.mean[:, 1]), LEAST_K)
                of_call = replace(one, day_noise=np.hypot(one.day_noise, k * float(scatter(rir, reps))))
                called = of_call.chance(load, reps, max(0.0, rir - 0.25), plan.number - 1)
                outcome = float(done.kept[who]), float(done.kept_as_called[who])
                rows.append([float(who), float(plan.number), said, fresh, called, float(margin[who]), *outcome])
        sets = done.sets
        tells = (sets.lift >= 0) & ((sets.kind == CALLED) | (sets.kind == FAILURE)) & (sets.reps > 0)
        best.append((day, plan.lift, np.where(tells, np.exp(sets.log_load) * (1 + (sets.reps + sets.rir) / 30), 0.0)))

    trained(np.random.default_rng(7), two_lifts(), count, 10, World(load_sd=load_sd), watch=watch, step=step)
    return Predictions(*np.array(rows).T)


def logistic(margin: Floats, came: Floats) -> Callable[[Floats], Floats]:
    """Chance as a logistic curve of the margin, by greatest likelihood (Newton)."""
    size = np.zeros(2)
    columns = np.stack([np.ones_like(margin), np.clip(margin, -15.0, 15.0)], axis=1)
    for _ in range(25):
        p = 1.0 / (1.0 + np.exp(-columns @ size))
        size = size + np.linalg.solve(columns.T @ (columns * (p * (1 - p))[:, None]), columns.T @ (came - p))
    return lambda new: 1.0 / (1.0 + np.exp(-(size[0] + size[1] * np.clip(new, -15.0, 15.0))))


def completed(found: Predictions, picture: bool) -> Iterator[str]:
    """Chances beside what came, and Brier scores beside base rate and peer; on people the peer was not fitted on."""
    test, every = found.person % 2 == 1, found.number > 0
    first, later_sets = found.number == 1, found.number >= 3
    meant, called = "done with what the call means", "done and called so"
    head = ("outcome, sets", "sets", "came", "Brier: ours", "base rate", "peer, yes or no", "peer, logistic", "ratio")
    yield f"| {' | '.join(head)} |\n{'| --- ' * len(head)}|"
    chosen = [
        (meant, found.kept, found.said, every),
        (f"{meant}, first sets of a lift", found.kept, found.said, first),
        (f"{meant}, third and later", found.kept, found.said, later_sets),
        (f"{meant}, third and later, ours as if first", found.kept, found.fresh, later_sets),
        (called, found.kept_as_called, found.said, every),
        (f"{called}, ours with the scatter of calls", found.kept_as_called, found.called, every),
    ]
    for name, came, said, which in chosen:
        fit = logistic(found.margin[~test & which], came[~test & which])
        some = test & which
        y, ours, curve = came[some], said[some], fit(found.margin[some])
        base = float(y.mean())
        scores = [brier(ours, y), base * (1 - base), brier((found.margin[some] >= 0).astype(float), y), brier(curve, y)]
        shown = " | ".join(f"{score:.4f}" for score in scores)
        yield f"| {name} | {some.sum()} | {base:.2f} | {shown} | {scores[0] / scores[3]:.2f} |"
    yield "\nThe ratio is ours over the logistic peer.\n"
    yield "| chance said | first sets: said -> came, % | sets | all sets: said -> came, % | sets | as if first | sets |"
    yield "| --- | --- | --- | --- | --- | --- | --- |"
    columns = [
        by_tenth(found.said[test & first], found.kept[test & first]),
        by_tenth(found.said[test], found.kept[test]),
        by_tenth(found.fresh[test], found.kept[test]),
    ]
    for number in range(10):
        cells = [
            f"{100 * one.said:.0f} -> {100 * one.came:.0f} | {one.count}" if one else " | "
            for one in (column.get(number) for column in columns)
        ]
        yield f"| {10 * number} to {10 * number + 10} | {' | '.join(cells)} |"
    if picture:
        curve = logistic(found.margin[~test & first], found.kept[~test & first])(found.margin[test & first])
        draw(
            {
                "ours, first sets of a lift": list(columns[0].values()),
                "ours, all sets": list(columns[1].values()),
                "peer, first sets": tenths(curve, found.kept[test & first]),
            }
        )


def by_tenth(said: Floats, came: Floats) -> dict[int, Tenth]:
    """Tenths with at least 30 predictions, by number."""
    return {int(min(9, 10 * one.said)): one for one in tenths(said, came) if one.count >= 30}


def draw(series: dict[str, Any]) -> None:
    """The reliability diagram as SVG: series differ in shape and stroke, not in colour only."""
    from setwright.publish.strength_chart import chart_svg

    points = [
        {"series": name, "said": 100 * one.said, "came": 100 * one.came}
        for name, rows in series.items()
        for one in rows
    ]
    names = list(series)
    axis = {"values": list(range(0, 101, 20)), "gridColor": "#dddddd", "titleFontSize": 12, "labelFontSize": 11}
    scale = {"domain": [0, 100]}
    where = {
        "x": {"field": "said", "type": "quantitative", "title": "chance said, %", "scale": scale, "axis": axis},
        "y": {"field": "came", "type": "quantitative", "title": "came true, %", "scale": scale, "axis": axis},
    }
    legend = {"orient": "bottom", "direction": "vertical", "title": None, "labelFontSize": 12, "labelLimit": 300}
    spec = {
        "$schema": "https://vega.github.io/schema/vega-lite/v5.json",
        "description": "Sets completed as prescribed by the chance said before, invented people; diagonal: ideal.",
        "width": 320,
        "height": 320,
        "background": "#ffffff",
        "layer": [
            {
                "data": {"values": [{"said": 0, "came": 0}, {"said": 100, "came": 100}]},
                "mark": {"type": "line", "color": "#888888", "strokeWidth": 1},
                "encoding": where,
            },
            {
                "data": {"values": points},
                "mark": {"type": "line", "strokeWidth": 1.6},
                "encoding": where
                | {
                    "color": {
                        "field": "series",
                        "scale": {"domain": names, "range": ["#000000", "#2f7bbf", "#b35900"]},
                        "legend": legend,
                    },
                    "strokeDash": {
                        "field": "series",
                        "scale": {"domain": names, "range": [[1, 0], [7, 3], [2, 3]]},
                        "legend": None,
                    },
                },
            },
            {
                "data": {"values": points},
                "mark": {"type": "point", "size": 60, "filled": True, "opacity": 1},
                "encoding": where
                | {
                    "color": {
                        "field": "series",
                        "scale": {"domain": names, "range": ["#000000", "#2f7bbf", "#b35900"]},
                        "legend": legend,
                    },
                    "shape": {
                        "field": "series",
                        "scale": {"domain": names, "range": ["circle", "diamond", "square"]},
                        "legend": legend,
                    },
                },
            },
        ],
    }
    PICTURE.write_text(chart_svg(spec), encoding="utf-8")


def course_of(told: Trained, person: int) -> Course:
    """The followed beliefs of one of many."""
    which, roster = np.array([person]), told.roster
    belief: Mixture = roster.belief.rows(which)
    own = (getattr(roster, name)[which] for name in ("like", "weeks", "exposed", "tired", "done_today"))
    today, since = (FIRST_DAY + timedelta(days=day) for day in (told.last_day, told.copy_day))
    return Course(told.start, Roster(belief, *own), today, since, (), ())


def forecasts(step: Step, count: int) -> Iterator[str]:
    """Whether trends, gains and forecasts hold as often as they say; the truth trains on, twice a week."""
    chance = np.random.default_rng(11)
    world = World()
    told = trained(chance, two_lifts(), count, 10, world, step=step)
    weekly: list[Floats] = []
    crowd = told.crowd
    for half_week in range(2 * MOST_AHEAD_WEEKS):
        crowd = crowd_later(chance, crowd, 3.5, world)
        if half_week % 2:
            weekly.append(crowd.x)
    courses = [course_of(told, person) for person in range(count)]
    in_trend, in_ahead, gained, rose = [], [], [], []
    moved, ahead = np.zeros(count), np.zeros(count)
    reached: dict[int, list[tuple[float, float, float]]] = {0: [], 1: [], 2: []}
    for person, course in enumerate(courses):
        lift = person % 2
        now, then = told.crowd.x[person, lift], told.truth_then[person, lift]
        trend, said = course.trend(lift)
        weeks = (course.today - course.since).days / 7
        true_trend = (np.exp(now) - np.exp(then)) / weeks
        in_trend.append(trend.p10 <= true_trend <= trend.p90)
        gained.append(said)
        rose.append(float(now > then))
        mean, variance = course.change(lift)
        moved[person] = place_in(course.now.belief.weights, mean[None], variance[None], np.array([now - then]))[0]
        when = course.today + timedelta(weeks=AHEAD_WEEKS)
        spread, true_ahead = course.one_rm_on(when, lift), weekly[AHEAD_WEEKS - 1][person, lift]
        in_ahead.append(spread.p10 <= np.exp(true_ahead) <= spread.p90)
        roster = course.on(when)
        mean, variance = course.marginal(roster, "x", lift)
        ahead[person] = place_in(roster.belief.weights, mean[None], variance[None], np.array([true_ahead]))[0]
        for place, said_day in enumerate(course.reached_by(1.05 * course.one_rm_on(course.today, lift).mean, lift)):
            week = late(course.today, said_day)
            if week is None:
                continue
            target = np.log(1.05 * course.one_rm_on(course.today, lift).mean)
            assert said_day is not None
            later_on = course.on(said_day)
            mean, variance = course.marginal(later_on, "x", lift)
            at_target = 1 - place_in(later_on.belief.weights, mean[None], variance[None], np.array([target]))[0]
            path = np.array([one[person, lift] for one in weekly[:week]])
            reached[place].append((at_target, float(path[-1] >= target), float(path.max() >= target)))
    yield HEAD.format("what")
    yield row("change of ln 1RM in eight weeks", flatness(moved))
    yield row("ln 1RM four weeks ahead", flatness(ahead))
    yield ""
    yield f"- `trend`: its 10 to 90 % range holds the true weekly change in {100 * np.mean(in_trend):.0f} %."
    yield f"- `one_rm_on`, four weeks ahead: its 10 to 90 % range holds in {100 * np.mean(in_ahead):.0f} %."
    said_gain, came = np.array(gained), np.array(rose)
    groups = ", ".join(f"{100 * g.said:.0f} -> {100 * g.came:.0f} ({g.count})" for g in tenths(said_gain, came))
    base = came.mean()
    scores = f"Brier {brier(said_gain, came):.3f}, base rate {base * (1 - base):.3f}"
    yield f"- `gained`: {scores}; said -> came, % (people): {groups}."
    for place, share in enumerate((10, 50, 90)):
        rows = np.array(reached[place])
        if len(rows) < 30:
            yield f"- `reached_by`, {share} %: {len(rows)} dates within {MOST_AHEAD_WEEKS} weeks, too few to judge."
            continue
        at, there, once = 100 * rows.mean(axis=0)
        yield (
            f"- `reached_by`, {share} % ({len(rows)} dates up to {MOST_AHEAD_WEEKS} weeks ahead, 5 % above now): said "
            f"{at:.0f}, at the target on that day {there:.0f}, at it at the end of some week up to then {once:.0f} %."
        )


def late(today: date, said: date | None) -> int | None:
    """Weeks until a day foretold, None where it is today or too far to be simulated."""
    if said is None:
        return None
    week = (said - today).days // 7
    return week if 1 <= week <= MOST_AHEAD_WEEKS else None


def worlds() -> dict[str, World]:
    """From the simplest world to the whole one: each adds one thing to the simplest."""
    people = population()
    calm = replace(
        people,
        stray_chance=1e-4,
        slip_chance=1e-4,
        loss=1e-9,
        loss_sd=1e-9,
        bias=0.0,
        bias_sd=1e-6,
        learning_novice=1e-9,
        learning_trained=1e-9,
        learning_sd=1e-12,
        rough_chance=1e-4,
    )
    base = World(calm, rounded=False, skewed_curve=False, to_failure=0.0, unwritten=0.0, rest_log_sd=0.0)
    of_bias = replace(calm, bias=people.bias, bias_sd=people.bias_sd)
    of_loss = replace(calm, loss=people.loss, loss_sd=people.loss_sd)
    of_wild = replace(calm, stray_chance=people.stray_chance, slip_chance=people.slip_chance)
    return {
        "calls that scatter, one curve parameter": base,
        "+ calls rounded to half repetitions": replace(base, rounded=True),
        "+ ln k is normal, not k": replace(base, skewed_curve=True),
        "+ sets to failure and without a call": replace(base, to_failure=0.15, unwritten=0.15),
        "+ own bias of calls (linearised)": replace(base, people=of_bias),
        "+ own loss within a session (linearised)": replace(base, people=of_loss),
        "+ far-off calls and wild rows (moments)": replace(base, people=of_wild),
        "+ rough stretches (moments)": replace(base, people=replace(calm, rough_chance=people.rough_chance)),
        "everything": World(),
        "everything, loads chosen by who knows the truth": World(informed=True),
    }


def costs(step: Step, count: int) -> Iterator[str]:
    """What each simplification costs, by worlds in which only some of them matter; three weeks."""
    yield "| world | error of ln 1RM: mean | sd | mean place, ln 1RM | 80 % holds | mean place, curve | 80 % holds |"
    yield "| --- | --- | --- | --- | --- | --- | --- |"
    for name, world in worlds().items():
        told = trained(np.random.default_rng(5), two_lifts(0.2), count, 3, world, step=step)
        error = told.roster.belief.overall_mean[:, :2] - told.crowd.x
        x, k = both(told, "x", told.crowd.x), both(told, "k", told.crowd.k)
        yield (
            f"| {name} | {error.mean():+.4f} | {error.std():.4f} | {x.mean:.2f} | {100 * x.covered[1]:.0f} % "
            f"| {k.mean:.2f} | {100 * k.covered[1]:.0f} % |"
        )


def exact(told: Trained, person: int, chance: np.random.Generator, count: int, world: World) -> tuple[Floats, Floats]:
    """((4,) mean, (4,) sd) of x, k, bias, loss of the first lift by weighing people drawn from the prior by their log.

    Importance sampling with the statement itself, no shortcut; for one session. NaN where under 200 draws count.
    """
    from scipy.special import ndtr

    crowd, people = draw_crowd(chance, told.start, count, world), world.people
    x, k = crowd.x[:, 0], crowd.k[:, 0]
    tired, log_weight = np.zeros(count), np.zeros(count)
    for _, lift, sets in told.rows:
        if lift != 0 or sets.lift[person] < 0:
            continue
        tired = tired * np.exp(-(USUAL_REST_S - 120.0) / people.recovery_s)
        left = np.maximum(0.4, 1.0 - crowd.loss * tired)
        load = sets.log_load[person] + 0.004 * chance.standard_normal(count)
        possible = left * (1.0 + (x + crowd.form[:, 0] - crowd.learning - load) / np.maximum(k, LEAST_K))
        reps, rir = np.full(count, sets.reps[person]), sets.rir[person]
        if sets.kind[person] == FAILURE:
            likely = ndtr((possible - reps) / world.edge_reps) - ndtr((possible - reps - 1) / world.edge_reps)
            if reps[0] <= 0:
                likely = ndtr((1 - possible) / world.edge_reps)
            reserve = np.zeros(count)
        else:
            reserve = np.maximum(0.0, possible - reps)
            likely = ndtr((possible - reps) / world.edge_reps)
            if sets.kind[person] == CALLED:
                mean = mean_call(reserve, reps, crowd.bias)
                said = np.zeros(count)
                for share, times in ((1 - people.stray_chance, 1.0), (people.stray_chance, people.stray_times)):
                    sd = times * scatter(mean, reps)
                    under = ndtr((rir - 0.25 - mean) / sd) if rir > 0 else 0.0
                    over = ndtr((rir + 0.25 - mean) / sd) if rir < MOST_CALLED else 1.0
                    said = said + share * (over - under)
                likely = likely * said
        log_weight = log_weight + np.log(np.maximum(likely, 1e-300))
        tired = tired + np.exp(-reserve / people.effort_scale_reps)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    numbers = np.stack([x, k, crowd.bias, crowd.loss])
    mean = numbers @ weight
    sd = np.sqrt(((numbers - mean[:, None]) ** 2) @ weight)
    enough = 1.0 / (weight**2).sum() > 200
    return (mean, sd) if enough else (np.full(4, np.nan), np.full(4, np.nan))


def compared(step: Step, people: int, draws: int) -> Floats:
    """(m, 4) which number (x, k, bias, loss), ours less exact, ratio of spreads, truth less exact; in exact spreads.

    After one session of one lift; people for whom too few draws count are left out.
    """
    world = World(replace(population(), slip_chance=1e-6), rest_log_sd=0.0)
    start = two_lifts(0.15)
    start = Start(start.log_1rm[:1], start.log_1rm_sd[:1], start.like[:1, :1], start.k[:1], start.k_sd[:1], 2.0)
    told = trained(np.random.default_rng(3), start, people, 1, world, step=step, days_of_week=(0,))
    truths = np.stack([told.crowd.x[:, 0], told.crowd.k[:, 0], told.crowd.bias, told.crowd.loss])
    rows = []
    for person in range(people):
        mean, sd = exact(told, person, np.random.default_rng(1000 + person), draws, world)
        belief = told.roster.belief
        for place, what in enumerate(("x", "k", "bias", "loss")):
            at = told.roster.number_of(what, 0)
            w, m, v = belief.weights[person], belief.mean[person, :, at], belief.cov[person, :, at, at]
            ours = float((w * m).sum())
            ours_sd = float(np.sqrt((w * (v + (m - ours) ** 2)).sum()))
            off, true = (ours - mean[place]) / sd[place], (truths[place, person] - mean[place]) / sd[place]
            rows.append((place, off, ours_sd / sd[place], true))
    table = np.array(rows)
    return np.asarray(table[np.isfinite(table[:, 1])])


def beside_exact(step: Step, people: int, draws: int) -> Iterator[str]:
    """The filter beside the exact posterior after one session, person by person."""
    table = compared(step, people, draws)
    yield "| one session | ours less exact: mean | spread | our sd / exact sd | truth less exact: mean, rms | people |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for place, name in enumerate(("ln 1RM", "curve", "bias of calls", "loss")):
        some = table[table[:, 0] == place]
        true = some[:, 3]
        yield (
            f"| {name} | {some[:, 1].mean():+.2f} | {some[:, 1].std():.2f} | {np.median(some[:, 2]):.2f} "
            f"| {true.mean():+.2f}, {np.sqrt((true**2).mean()):.2f} | {len(some)} |"
        )


def figures(step: Step = with_sets, size: float = 1.0, picture: bool = False) -> Iterator[str]:
    """All sections of the page, as they are made."""
    yield "## Where the truth lies in the belief\n"
    yield from places(step, int(2000 * size))
    yield "\n## Completed as prescribed\n"
    yield from completed(predictions(step, int(240 * size)), picture)
    yield "\n## Trends and forecasts\n"
    yield from forecasts(step, int(600 * size))
    yield "\n## What each simplification costs\n"
    yield from costs(step, int(1000 * size))
    yield ""
    yield from beside_exact(step, int(60 * size), 40_000)


def main() -> None:
    """Prints the figures; with --write also renews the page and the picture."""
    started = time.perf_counter()
    is_kept = "--write" in sys.argv
    lines = []
    for line in figures(picture=is_kept):
        print(line, flush=True)
        lines.append(line)
    print(f"# {time.perf_counter() - started:.0f} s", file=sys.stderr)
    if is_kept:
        page = PAGE.read_text(encoding="utf-8")
        made = "<!-- made by benchmarks/calibration.py -->\n" + "\n".join(lines) + "\n<!-- end -->"
        PAGE.write_text(re.sub(r"<!-- made by .*<!-- end -->", lambda _: made, page, flags=re.S), encoding="utf-8")


if __name__ == "__main__":
    main()
