"""Logs of invented people drawn from the priors, and how the truth behind them lies in what is believed.

Two ideas. One: the draws follow the statement that ``roster`` makes in words, exactly and without its shortcuts: the
curve, the loss within a session and the call are multiplied out, a call is rounded, a repetition is done or not.
Two: where the truth is drawn from the prior, its place in the belief (0 to 1) must be uniform over many people.
Source of the second: Talts et al. 2018, simulation-based calibration, from memory.

Nothing here was measured on anybody.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import date, timedelta

import numpy as np

from setwright.strength.calling import scatter, usual_bias
from setwright.strength.equations import epley
from setwright.strength.evidence import KINDS, SetEvidence
from setwright.strength.gathering import ECHO_DAYS
from setwright.strength.mixture import Floats, Ints, share_below, shared
from setwright.strength.population import Population, population
from setwright.strength.roster import (
    BOUND_SOFT_REPS,
    CLASS_SHARES,
    FAR_CALL,
    LEAST_K,
    LOSS_DOUBT,
    PLATE_SD,
    Roster,
    Sets,
    Start,
    begin,
    later,
    with_sets,
)
from setwright.strength.tiring import USUAL_REST_S, hardness

FIRST_DAY = date(2026, 1, 5)  # of every simulated log
SESSION_DAYS = (0, 3)  # of a week
LONGEST_SET = 20.0  # a longer set is logged as at least so many
MOST_CALLED = 10.0  # nobody calls more (from five on a call means "many" anyway)
CALLED, FAILURE, LOWER_BOUND = (KINDS.index(kind) for kind in ("called", "failure", "lower-bound"))


@dataclass(frozen=True)
class World:
    """What holds where the logs are drawn; the defaults are the whole statement, each change makes it simpler.

    rounded : calls are rounded to half repetitions; skewed_curve : ln k is normal, otherwise k is
    edge_reps : blur between a repetition done and failed; rest_log_sd : spread of ln of the rests, which nobody writes
    to_failure, unwritten : how often the last set goes to failure, and how often no reserve is written
    informed : loads are chosen around the truth, not by what is logged (a trainee who knows more than the log)
    load_sd : by how much a chosen load misses, in log
    """

    people: Population = field(default_factory=population)
    rounded: bool = True
    skewed_curve: bool = True
    edge_reps: float = BOUND_SOFT_REPS
    rest_log_sd: float = 0.25
    to_failure: float = 0.15
    unwritten: float = 0.15
    informed: bool = False
    load_sd: float = 0.03


@dataclass(frozen=True, eq=False)
class Crowd:
    """What is true of n invented people with L lifts.

    restless, bias, loss, learning, weeks : (n,); x, form, k, rate, exposed, tired, done_today : (n, L); like : (L, L)
    """

    restless: Floats
    x: Floats
    form: Floats
    k: Floats
    rate: Floats
    bias: Floats
    loss: Floats
    learning: Floats
    weeks: Floats
    exposed: Floats
    tired: Floats
    done_today: Floats
    like: Floats


@dataclass(frozen=True, eq=False)
class Plan:
    """One set that everybody of a crowd is to do: ``lift`` and ``number`` the same for all, the rest (n,).

    load_kg; reps; rir : wanted as called; to_failure, written, has : yes or no
    """

    lift: int
    number: int
    load_kg: Floats
    reps: Floats
    rir: Floats
    to_failure: Floats
    written: Floats
    has: Floats


@dataclass(frozen=True, eq=False)
class Done:
    """What came of a planned set: ``sets`` as logged, and (n,) what is true of it.

    possible : repetitions that could be done; reserve : left in truth; called : as called, written or not
    kept : done with at least the reserve that this person means by the call wanted; kept_as_called : called so
    """

    sets: Sets
    possible: Floats
    reserve: Floats
    called: Floats
    kept: Floats
    kept_as_called: Floats


def correlated(chance: np.random.Generator, count: int, like: Floats) -> Floats:
    """(n, L) standard normal draws with the correlation ``like`` (L, L)."""
    return np.asarray(chance.standard_normal((count, len(like))) @ np.linalg.cholesky(like).T)


def draw_crowd(chance: np.random.Generator, start: Start, count: int, world: World) -> Crowd:
    """People drawn from the priors, on their first day."""
    people, lifts = world.people, len(start.log_1rm)
    restless = chance.choice(np.array([1.0 / people.restless, 1.0, people.restless]), size=count, p=CLASS_SHARES)
    x = start.log_1rm + start.log_1rm_sd * correlated(chance, count, start.like)
    curve = correlated(chance, count, shared(lifts, people.k_shared))
    k = start.k * np.exp(start.k_sd / start.k * curve) if world.skewed_curve else start.k + start.k_sd * curve
    still_new = 0.5 ** (start.training_years / people.rate_halves_at)
    rate = people.trained_rate + (people.novice_rate - people.trained_rate) * still_new
    rate_sd = people.rate_sd + (people.novice_rate_sd - people.rate_sd) * still_new
    rates = rate + rate_sd * restless[:, None] * correlated(chance, count, shared(lifts, people.rate_shared))
    learning = people.learning_trained + (people.learning_novice - people.learning_trained) * still_new
    learning_sd = people.learning_sd * learning / people.learning_novice
    zeros = np.zeros((count, lifts))
    crowd = Crowd(
        restless=restless,
        x=x,
        form=zeros,
        k=np.maximum(k, LEAST_K),
        rate=rates,
        bias=people.bias + people.bias_sd * chance.standard_normal(count),
        loss=np.clip(people.loss + people.loss_sd * chance.standard_normal(count), 0.0, 0.5),
        learning=learning + learning_sd * chance.standard_normal(count),
        weeks=np.full(count, people.novice_weeks + (people.settled_weeks - people.novice_weeks) * (1.0 - still_new)),
        exposed=zeros,
        tired=zeros,
        done_today=zeros,
        like=start.like,
    )
    return replace(crowd, form=new_form(chance, crowd, people))


def new_form(chance: np.random.Generator, crowd: Crowd, people: Population) -> Floats:
    """(n, L) form of a new day."""
    count, lifts = crowd.x.shape
    return people.day * crowd.restless[:, None] * correlated(chance, count, shared(lifts, people.day_shared))


def crowd_later(chance: np.random.Generator, crowd: Crowd, days: float, world: World) -> Crowd:
    """The same people some days later, on their next day of training: one stretch, quiet or rough for each of them."""
    people, (count, lifts), weeks = world.people, crowd.x.shape, days / 7.0
    learned = np.log((1.0 + crowd.weeks + weeks) / (1.0 + crowd.weeks))
    lost = min(people.most_loss, people.loss_per_week * max(0.0, weeks - people.rest_weeks))
    rough = chance.random(count) < people.rough_chance
    sd = people.walk * np.sqrt(weeks) * crowd.restless * np.where(rough, people.rough_times, 1.0)
    walk_like = people.walk_shared + (1.0 - people.walk_shared) * crowd.like
    step = np.hypot(sd, LOSS_DOUBT * lost)[:, None] * correlated(chance, count, walk_like)
    zeros = np.zeros((count, lifts))
    moved = replace(
        crowd,
        x=crowd.x + crowd.rate * learned[:, None] - lost + step,
        weeks=crowd.weeks + weeks,
        exposed=crowd.exposed + crowd.done_today,
        tired=zeros,
        done_today=zeros,
    )
    return replace(moved, form=new_form(chance, moved, people))


def mean_call(reserve: Floats, reps: Floats, bias: Floats) -> Floats:
    """(n,) reserve that people with these biases call on average when so much is left: c + bias usual(c) = reserve."""
    low, high = np.zeros_like(reserve), np.full_like(reserve, 40.0)
    for _ in range(24):
        middle = 0.5 * (low + high)
        is_over = middle + bias * usual_bias(middle, reps) > reserve
        low, high = np.where(is_over, low, middle), np.where(is_over, middle, high)
    return np.asarray(0.5 * (low + high))


def do_set(chance: np.random.Generator, crowd: Crowd, plan: Plan, world: World) -> tuple[Crowd, Done]:
    """(the people after a set, what came of it)."""
    people, count, lift = world.people, len(crowd.bias), plan.lift
    rest = USUAL_REST_S * np.exp(world.rest_log_sd * chance.standard_normal(count))
    tired = crowd.tired[:, lift] * np.exp(-(rest - 120.0) / people.recovery_s)
    left = np.maximum(0.4, 1.0 - crowd.loss * tired)
    load_kg = plan.load_kg * np.exp(PLATE_SD * chance.standard_normal(count))
    hidden = crowd.learning * people.learning_kept ** crowd.exposed[:, lift]
    shows = crowd.x[:, lift] + crowd.form[:, lift] - hidden
    possible = left * (1.0 + (shows - np.log(load_kg)) / crowd.k[:, lift])
    edge = possible + world.edge_reps * chance.standard_normal(count)
    whole = np.maximum(0.0, np.floor(edge))
    failed = (plan.to_failure > 0) | (edge < plan.reps)
    reps = np.where(failed, whole, plan.reps)
    reserve = np.where(failed, 0.0, np.maximum(0.0, possible - reps))
    mean = mean_call(reserve, reps, crowd.bias)
    far = np.where(chance.random(count) < people.stray_chance, people.stray_times, 1.0)
    called = np.clip(mean + far * scatter(mean, reps) * chance.standard_normal(count), 0.0, MOST_CALLED)
    called = np.where(failed, 0.0, np.round(2.0 * called) / 2.0 if world.rounded else called)
    meant = np.maximum(0.0, plan.rir + crowd.bias * usual_bias(plan.rir, plan.reps))
    did = (reps >= plan.reps) & np.where(plan.to_failure > 0, possible >= plan.reps, edge >= plan.reps)
    long = failed & (reps > LONGEST_SET)
    kind = np.where(failed & ~long, FAILURE, np.where((plan.written > 0) & ~long, CALLED, LOWER_BOUND))
    slip = np.where(chance.random(count) < people.slip_chance, people.slip_sd * chance.standard_normal(count), 0.0)
    has = plan.has > 0
    said: dict[str, Floats | Ints] = {
        "lift": np.where(has, lift, -1).astype(np.intp),
        "log_load": np.log(plan.load_kg) + slip,
        "reps": np.minimum(reps, LONGEST_SET),
        "rir": np.where(kind == CALLED, called, 0.0),
        "kind": kind.astype(np.intp),
        "rest_s": np.full(count, np.nan),
    }
    # Whatever else a row can say (doubt about the load, a check it waits for), these rows do not say.
    silent = {one.name: np.zeros(count) for one in fields(Sets) if one.name not in said}
    sets = Sets(**said, **silent)  # type: ignore[arg-type]
    after_tired, done_today = crowd.tired.copy(), crowd.done_today.copy()
    after_tired[has, lift] = (tired + hardness(reserve, people))[has]
    done_today[has, lift] = 1.0
    done = Done(
        sets,
        possible,
        reserve,
        called,
        (did & (possible >= plan.reps + meant)).astype(np.float64),
        (did & (called >= plan.rir)).astype(np.float64),
    )
    return replace(crowd, tired=after_tired, done_today=done_today), done


Watch = Callable[[int, Roster, Crowd, Plan, Done], None]
Step = Callable[[Roster, Sets, Population], tuple[Roster, Floats, Floats]]


@dataclass(frozen=True, eq=False)
class Trained:
    """People after some weeks of training: the truth, what is believed on the last day, and the log between them.

    rows : (day, lift, sets of all people) in the order of doing; truth_then : (n, L) x on the day of the copy
    """

    start: Start
    crowd: Crowd
    roster: Roster
    rows: tuple[tuple[int, int, Sets], ...]
    last_day: int
    copy_day: int
    truth_then: Floats

    def evidence(self, person: int) -> list[list[SetEvidence]]:
        """The log of one person as evidence, for each lift by date and number."""
        found: list[list[SetEvidence]] = [[] for _ in self.start.log_1rm]
        numbers: dict[tuple[int, int], int] = {}
        for day, lift, sets in self.rows:
            if sets.lift[person] < 0:
                continue
            numbers[day, lift] = numbers.get((day, lift), 0) + 1
            load, reps = float(np.exp(sets.log_load[person])), float(sets.reps[person])
            kind, rir = KINDS[sets.kind[person]], float(sets.rir[person])
            when = FIRST_DAY + timedelta(days=day)
            one = SetEvidence(when, load, reps, kind, rir, numbers[day, lift], is_echo=bool(sets.is_echo[person]))
            found[lift].append(one)
        return found


def bounds_of(sets: Sets) -> Floats:
    """(n,) repetitions that each row says were possible at least; nan where it says more than a bound, or nothing."""
    far = (sets.kind == CALLED) & (sets.rir >= FAR_CALL)
    bound = np.where(far, sets.reps + FAR_CALL, np.where(sets.kind == LOWER_BOUND, sets.reps, np.nan))
    return np.where(sets.lift >= 0, bound, np.nan)


def echoes(day: int, sets: Sets, earlier: Sequence[tuple[int, int, Sets]]) -> Floats:
    """(n,) 1 where a bound was given by an ``earlier`` set of the lift; the rule of ``gathering``, many people at once.

    earlier : (day, lift, sets of all people) of this lift, in the order of doing
    """
    bound, kg = bounds_of(sets), np.exp(sets.log_load)
    days = np.where(sets.kind == CALLED, 0, ECHO_DAYS)
    found = np.zeros(len(kg), dtype=bool)
    for then, _, before in earlier:
        if day - then <= ECHO_DAYS:
            is_said = (before.is_echo <= 0) & (np.exp(before.log_load) >= kg - 1e-9) & (bounds_of(before) >= bound)
            found |= is_said & (day - then <= days)
    return found.astype(np.float64)


def trained(
    chance: np.random.Generator,
    start: Start,
    count: int,
    weeks: int,
    world: World | None = None,
    trend_weeks: int = 8,
    watch: Watch | None = None,
    step: Step = with_sets,
    days_of_week: Sequence[int] = SESSION_DAYS,
) -> Trained:
    """People who train every lift twice a week, three or four sets of 5 to 8 with 1 to 3 left, and the belief so far.

    The first session finds the load from half of the expected 1RM upwards. ``watch`` sees each set with the
    belief before it. Loads follow from what was logged, so choosing them tells nothing beyond the log.
    ``days_of_week`` are those of the sessions, 0 first; ``step`` is how a set changes the belief, so that another way
    can be judged on the same people.
    """
    from setwright.strength.course import with_copy

    world = world or World()
    people = world.people
    crowd, roster = draw_crowd(chance, start, count, world), begin([start] * count, people)
    level = np.tile(0.6 * np.exp(start.log_1rm), (count, 1))  # what the log suggests as 1RM, kg
    days = [7 * week + day for week in range(weeks) for day in days_of_week]
    copy_day = max((one for one in days if one <= days[-1] - 7 * trend_weeks), default=days[0])
    rows: list[tuple[int, int, Sets]] = []
    truth_then = crowd.x
    for place, day in enumerate(days):
        if place:
            gap = float(day - days[place - 1])
            crowd = crowd_later(chance, crowd, gap, world)
            roster = later(roster, np.full(count, gap), people)
        for lift in range(roster.lifts):
            wanted = chance.integers(5, 9, count).astype(np.float64), chance.integers(1, 4, count).astype(np.float64)
            sets = 3 + (chance.random(count) < 0.5)
            for number in range(1, 7 if place == 0 else 5):
                plan = planned(chance, crowd, lift, number, wanted, level[:, lift], sets, place == 0, world)
                crowd, done = do_set(chance, crowd, plan, world)
                if watch is not None:
                    watch(day, roster, crowd, plan, done)
                written = replace(done.sets, is_echo=echoes(day, done.sets, [one for one in rows if one[1] == lift]))
                roster, _, _ = step(roster, written, people)
                rows.append((day, lift, written))
                level[:, lift] = suggested(level[:, lift], plan, done)
        if day == copy_day:
            roster, truth_then = with_copy(roster), crowd.x
    return Trained(start, crowd, roster, tuple(rows), days[-1], copy_day, truth_then)


def planned(
    chance: np.random.Generator,
    crowd: Crowd,
    lift: int,
    number: int,
    wanted: tuple[Floats, Floats],
    level: Floats,
    sets: Ints,
    is_first: bool,
    world: World,
) -> Plan:
    """The next set of everybody, to the nearest 2.5 kg; the two first sets of all find the load."""
    count, (reps, rir) = len(level), wanted
    finds = is_first and number <= 2
    whole = reps + rir
    load = level / (1.0 + whole / 30.0)
    if world.informed and not finds:
        meant = reps + rir + crowd.bias * usual_bias(rir, reps) - 1.0
        load = np.exp(crowd.x[:, lift] - crowd.k[:, lift] * np.maximum(0.0, meant))
    load = load * np.exp(world.load_sd * chance.standard_normal(count))
    last = sets + (2 if is_first else 0)
    is_last = number == last
    return Plan(
        lift=lift,
        number=number,
        load_kg=np.maximum(2.5, 2.5 * np.round(load / 2.5)),
        reps=reps,
        rir=rir,
        to_failure=(is_last & (not is_first) & (chance.random(count) < world.to_failure)).astype(np.float64),
        written=(chance.random(count) >= (0.0 if finds else world.unwritten)).astype(np.float64),
        has=(number <= last).astype(np.float64),
    )


def suggested(level: Floats, plan: Plan, done: Done) -> Floats:
    """(n,) 1RM that the last set suggests by Epley, at most half as much again as before; as before where none does."""
    whole = done.sets.reps + np.where(done.sets.kind == CALLED, done.sets.rir, 0.0)
    new = np.array([epley(float(kg), max(1.0, float(reps))) for kg, reps in zip(plan.load_kg, whole, strict=True)])
    new = np.where(whole < 1.0, 0.9 * new, new)
    tells = (plan.has > 0) & (done.sets.kind != LOWER_BOUND)
    return np.where(tells, np.clip(new, 0.6 * level, 1.5 * level), level)


def place_of(roster: Roster, what: str, lift: int, truth: Floats, shrunk: float = 1.0) -> Floats:
    """(n,) share of the belief that lies below the truth, 0 to 1: uniform where the belief is calibrated.

    shrunk : the belief is first made narrower about its mean so many times; to prove that a check can fail
    """
    at = roster.number_of(what, lift)
    return place_in(roster.belief.weights, roster.belief.mean[:, :, at], roster.belief.cov[:, :, at, at], truth, shrunk)


def place_in(weights: Floats, mean: Floats, variance: Floats, truth: Floats, shrunk: float = 1.0) -> Floats:
    """(n,) share below ``truth`` (n,) of mixtures of bell curves (n, j); see ``place_of``."""
    middle = (weights * mean).sum(axis=1, keepdims=True)
    below = share_below(weights, middle + shrunk * (mean - middle), shrunk**2 * variance, truth)
    return np.clip(below, 0.0, 1.0)


@dataclass(frozen=True)
class Flatness:
    """How uniform places between 0 and 1 are.

    chi_square : over twenty equal bins, 19 degrees of freedom; p : its chance where uniform; farthest : greatest
    distance of the distribution function from the straight line; covered : share of truths in the middle 50, 80, 95 %;
    mean : 0.5 where unbiased, more where the truth lies higher than believed
    """

    count: int
    chi_square: float
    p: float
    farthest: float
    covered: tuple[float, float, float]
    mean: float


def flatness(places: Floats) -> Flatness:
    """How uniform places are; ValueError where fewer than 100 are given, or one is not between 0 and 1."""
    from scipy.stats import chi2

    count = len(places)
    if count < 100 or not ((places >= 0) & (places <= 1)).all():
        raise ValueError(f"{count} places, expected 100 or more, each between 0 and 1")
    bins = np.bincount(np.minimum(19, (20 * places).astype(int)), minlength=20)
    chi_square = float(((bins - count / 20) ** 2 / (count / 20)).sum())
    ordered, steps = np.sort(places), np.arange(count + 1) / count
    farthest = float(max((steps[1:] - ordered).max(), (ordered - steps[:-1]).max()))
    off = np.abs(places - 0.5)
    half, most, nearly_all = (float((off <= share / 2).mean()) for share in (0.5, 0.8, 0.95))
    p = float(chi2.sf(chi_square, 19))
    return Flatness(count, chi_square, p, farthest, (half, most, nearly_all), float(places.mean()))


@dataclass(frozen=True)
class Tenth:
    """Predictions with chances in one tenth: how many, the mean chance said, the share that came true."""

    count: int
    said: float
    came: float


def tenths(said: Floats, came: Floats) -> Sequence[Tenth]:
    """Reliability of chances: predictions in ten groups by the chance said; empty groups are left out."""
    group = np.minimum(9, (10 * said).astype(int))
    found = []
    for number in range(10):
        is_in = group == number
        if is_in.any():
            found.append(Tenth(int(is_in.sum()), float(said[is_in].mean()), float(came[is_in].mean())))
    return found


def brier(said: Floats, came: Floats) -> float:
    """Mean squared distance of chances from what came, 0 best. Source: Brier 1950, from memory."""
    return float(((said - came) ** 2).mean())
