"""Invented people who train week by week, with the truth beside the log. Nothing here was measured on anybody.

Two ideas. One: what happens to somebody (a story with a known first week) changes strength, effort or the log, and a
story of size 0 leaves the log of the same seed as it was. Two: every week draws from its own generators, as many
numbers whatever was planned, so the same person has the same days under any plan.

The truth is invented. Figures of the response: gains of 0.5 to 0.8 % a week in the first year of once-a-week training
(Steele et al. 2022, seen) and about 1 % a week in eight hard weeks (Helms et al. 2018, seen: +14 to 17 kg in the
squat); strength flattens near four sets a week (Pelland et al. 2025, seen second-hand) and does not need the last
repetitions (Robinson et al. 2024, seen); calls by ``strength.calling``. All else: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Literal, get_args

import numpy as np

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS
from setwright.plan.block import Entry, PlannedSet, Session, Week
from setwright.strength.calling import call_for, scatter
from setwright.strength.curve import reps_at_share, share_of_1rm
from setwright.strength.estimates import Estimates
from setwright.strength.logged import EndedBy, Log, LoggedSession, LoggedSet, Wellness

Happens = Literal["nothing", "stall", "overreach", "illness", "changed gym", "dishonest log", "RIR optimist"]
STORIES: tuple[Happens, ...] = tuple(one for one in get_args(Happens) if one != "nothing")

START_SD, K_MEDIAN, K_LOG_SD = 0.04, 0.032, 0.2
GAIN_A_WEEK, GAIN_LOG_SD = 0.007, 0.4  # at a full dose of useful loads, in log of the 1RM
DAY_SD = 0.025  # Grgic et al. 2020, as in the estimator (seen)
USEFUL_FROM, USEFUL_FULL, MOST_USEFUL = 0.45, 0.80, 1.1  # shares of the 1RM between which a load becomes useful
SETS_OF_FULL = 2.0  # sets a week after which 63 % of the gain is there
FATIGUE_A_SET, EFFORT_REPS, FATIGUE_DAYS = 0.0015, 3.0, 10.0  # a set to failure; reps left; days to leave by 63 %
LOSS_A_SET = 0.04  # of the repetitions, for each set before
MISSES = 0.04  # of the sessions
BIAS_MEAN, BIAS_SD = 0.8, 0.4  # multiples of the usual bias of calls
MORNINGS: tuple[int, ...] = (0, 2, 4, 5)  # days of the week on which the questionnaire is answered
WORSE_BY_FATIGUE = 15.0  # points a question for each unit of fatigue: 2 % make 0.3 points
OVERREACH_DROP = (0.02, 0.045, 0.06, 0.06, 0.04, 0.02)  # of strength, in the weeks from the onset
OVERREACH_MORNING = (0.6, 1.2, 1.5, 1.5, 1.0, 0.5)
ILL_DROP = (0.0, 0.06, 0.03)  # the week away, then two weeks
ILL_MORNING = (2.5, 0.6, 0.2)
OPTIMIST_REPS = 2.0
COPIES = 0.95  # of the sets
BAR_LOG_SD, MACHINE_LOG_SD = 0.03, 0.25  # what is lifted over what is written, in another gym
TOLERATED = 0.08  # how far off a load may be before somebody in another gym takes another one


@dataclass(frozen=True)
class Happening:
    """What happens to somebody, from which week on, and how much: 1 as described, 0 not at all."""

    story: Happens = "nothing"
    onset: int = 1
    size: float = 1.0

    def since(self, week: int, story: Happens) -> int | None:
        """Weeks since this story began (0 in its first week); None where another is told, or not yet."""
        return week - self.onset if self.story == story and week >= self.onset else None

    def of(self, week: int, story: Happens, figures: Sequence[float]) -> float:
        """The figure of a week of this story times its size; 0 outside it."""
        since = self.since(week, story)
        return self.size * figures[since] if since is not None and since < len(figures) else 0.0


@dataclass(frozen=True)
class InventedLift:
    """One lift: true 1RM of the whole load, kg; curve parameter; full weekly gain, in log; own part of the body, kg.

    ``elsewhere``: what is lifted over what is written, in the gym of the story of a changed gym.
    """

    exercise: str
    one_rm_kg: float
    k: float
    gain: float
    body_part_kg: float
    elsewhere: float
    step_kg: float


@dataclass(frozen=True)
class InventedPerson:
    """Somebody with a seed, lifts, a way of calling what is left (multiple of the usual bias), usual mornings, a story.

    ``rounds_up``: a dishonest log of this person hides what fell short, and does not copy all.
    """

    seed: int
    lifts: Mapping[str, InventedLift]
    bias: float
    morning: float
    happening: Happening
    rounds_up: bool


@dataclass(frozen=True)
class Condition:
    """How somebody stands after a day: ln of what was gained in each lift, fatigue as a share of strength, the day."""

    gained: Mapping[str, float] = field(default_factory=dict)
    fatigue: float = 0.0
    day: date | None = None


@dataclass(frozen=True)
class TrueSet:
    """What is true of a set: repetitions wanted and done, repetitions truly left, reserve wanted."""

    exercise: str
    wanted: int
    done: int
    left: float
    wanted_left: float

    @property
    def is_too_hard(self) -> bool:
        """True where at least one repetition fewer was left than wanted, or the set fell short."""
        return self.done < self.wanted or self.left <= self.wanted_left - 1.0


@dataclass(frozen=True)
class WeekLived:
    """A week: the log as this person wrote it, how they stand after it, and what is true of each set."""

    log: Log
    after: Condition
    sets: tuple[TrueSet, ...]


def invented_person(estimates: Estimates, exercises: Sequence[str], seed: int, happening: Happening) -> InventedPerson:
    """Somebody whose lifts lie near what is believed (4 %); an optimist's lie lower, by what their calls overstated."""
    chance = np.random.default_rng([seed, 0])
    other = np.random.default_rng([seed, 1])
    lifts = {}
    for slug in exercises:
        estimate = estimates.for_exercise(slug)
        exercise = estimates.catalogue.get(slug)
        k = K_MEDIAN * float(np.exp(K_LOG_SD * chance.standard_normal()))
        start = float(np.log(estimate.posterior.middle_kg())) + START_SD * float(chance.standard_normal())
        gain = GAIN_A_WEEK * float(np.exp(GAIN_LOG_SD * chance.standard_normal()))
        if happening.story == "RIR optimist":
            start -= k * OPTIMIST_REPS * happening.size
        is_bar = any("barbell" in tokens for tokens in exercise.equipment)
        turn = (BAR_LOG_SD if is_bar else MACHINE_LOG_SD) * float(other.standard_normal())
        is_there = happening.story == "changed gym"
        factor = float(np.exp(turn * happening.size)) if is_there else 1.0
        lifts[slug] = InventedLift(
            slug, float(np.exp(start)), k, gain, estimate.body_part_kg, factor, 2.5 if is_bar else 5.0
        )
    bias = BIAS_MEAN + BIAS_SD * float(chance.standard_normal())
    morning = 2.5 + 0.4 * float(chance.standard_normal())
    return InventedPerson(seed, lifts, bias, morning, happening, bool(other.random() < 1 / 3))


def live_week(person: InventedPerson, week: Week, monday: date, before: Condition, catalogue: Catalogue) -> WeekLived:
    """A planned week as this person trains and logs it. Work without a load or repetitions is done and not logged."""
    chance = np.random.default_rng([person.seed, 2, week.number])
    writing = np.random.default_rng([person.seed, 3, week.number])
    now = before
    sets: list[LoggedSet] = []
    rows: list[LoggedSession] = []
    truths: list[TrueSet] = []
    shares: dict[str, list[float]] = {}
    fatigues = {}
    away = person.happening.since(week.number, "illness") == 0 and person.happening.size > 0
    for session in week.sessions:
        day = monday + timedelta(days=[str(one) for one in DAYS].index(session.day))
        form, luck, pace, felt = chance.standard_normal(), chance.random(), chance.uniform(0.95, 1.1), chance.normal()
        noise = chance.standard_normal((60, 2))
        if luck < MISSES or away:
            continue
        now = rested(now, day)
        fatigues[day] = now.fatigue
        done: list[tuple[PlannedSet, LoggedSet, TrueSet, float]] = []
        for entry in lifted(session, person):
            lift = person.lifts[entry.exercise]
            log_1rm = strength_of(person, lift, now, week.number) + DAY_SD * float(form)
            working = entry.working_sets
            for number, planned in enumerate(working, start=1):
                row = done_set(person, lift, planned, number, log_1rm, week, noise[len(done) % 60])
                logged = replace(
                    row[0], date=day, session=session.day, row=f"{day.isoformat()}-{lift.exercise}-{number}"
                )
                done.append((planned, logged, row[1], row[2]))
                shares.setdefault(lift.exercise, []).append(row[2])
        truths += [one[2] for one in done]
        load = sum(float(np.exp(-one[2].left / EFFORT_REPS)) for one in done)
        now = replace(now, fatigue=now.fatigue + FATIGUE_A_SET * load)
        hardest = 10.0 - float(np.mean([one[1].rir or 0.0 for one in done])) if done else 5.0
        tired = person.happening.of(week.number, "overreach", OVERREACH_MORNING)
        rpe = float(np.clip(round(hardest - 0.5 + 0.5 * float(felt) + 0.8 * tired), 1, 10))
        written = LoggedSession(day, week.number, session.day, rpe, float(round(session.minutes * pace)))
        copied, told = as_written(person, session, week, [(a, b) for a, b, _, _ in done], written, writing)
        sets += copied
        rows.append(replace(told, row=f"{day.isoformat()}-session"))
    rows += mornings(person, week.number, monday, now.fatigue, fatigues, chance)
    rows.sort(key=lambda one: (one.date, one.row))
    return WeekLived(
        Log(tuple(sets), tuple(rows)),
        trained(person, rested(now, monday + timedelta(days=6)), shares, week),
        tuple(truths),
    )


def lifted(session: Session, person: InventedPerson) -> list[Entry]:
    """The entries that this person's lifts are known of."""
    loaded = [part for part in session.parts if part.part not in ("warm-up", "conditioning", "loaded-mobility")]
    return [entry for part in loaded for entry in part.entries if entry.exercise in person.lifts]


def rested(before: Condition, day: date) -> Condition:
    """The condition on a later day: fatigue leaves."""
    days = 0 if before.day is None else (day - before.day).days
    return replace(before, fatigue=before.fatigue * float(np.exp(-days / FATIGUE_DAYS)), day=day)


def strength_of(person: InventedPerson, lift: InventedLift, now: Condition, week: int) -> float:
    """ln of what shows of the 1RM in a week, kg of the whole load, on a day of usual form."""
    happening = person.happening
    drop = happening.of(week, "overreach", OVERREACH_DROP) + happening.of(week, "illness", ILL_DROP)
    return float(np.log(lift.one_rm_kg)) + now.gained.get(lift.exercise, 0.0) - now.fatigue - drop


def written_load(person: InventedPerson, lift: InventedLift, planned: PlannedSet, log_1rm: float, week: Week) -> float:
    """The load that is written, kg: as planned, or in another gym one that fits where that is far off."""
    load = planned.load_kg or 0.0
    if person.happening.since(week.number, "changed gym") is None or lift.elsewhere == 1.0 or planned.reps is None:
        return load
    fits = float(np.exp(log_1rm)) * float(share_of_1rm(planned.reps[1] + (planned.rir or 2.0), lift.k))
    if abs(np.log((load * lift.elsewhere + lift.body_part_kg) / fits)) <= TOLERATED:
        return load
    return max(lift.step_kg, lift.step_kg * round((fits - lift.body_part_kg) / lift.elsewhere / lift.step_kg))


def done_set(
    person: InventedPerson,
    lift: InventedLift,
    planned: PlannedSet,
    number: int,
    log_1rm: float,
    week: Week,
    noise: Sequence[float],
) -> tuple[LoggedSet, TrueSet, float]:
    """A set as it went and as an honest person would log it, what is true of it, and its share of the 1RM."""
    happening = person.happening
    load = written_load(person, lift, planned, log_1rm, week)
    there = lift.elsewhere if happening.since(week.number, "changed gym") is not None else 1.0
    share = (load * there + lift.body_part_kg) / float(np.exp(log_1rm))
    low, high = planned.reps or (8, 8)
    possible = float(reps_at_share(share, lift.k)) * (1.0 - LOSS_A_SET) ** (number - 1) + 0.3 * float(noise[0])
    wanted_left = 2.0 if planned.rir is None else planned.rir
    target = high if possible - high >= wanted_left - 1.0 else low
    reps = int(max(0, min(target, np.floor(possible))))
    left = max(0.0, possible - reps)
    ended: EndedBy = "planned" if reps >= target else "muscle"
    if reps < target:
        rir = 0.0
    else:
        call = float(call_for(np.array(left), np.array(float(reps)), np.array(person.bias)))
        call += float(noise[1]) * float(scatter(call, reps))
        if happening.since(week.number, "RIR optimist") is not None:
            call += OPTIMIST_REPS * happening.size
        rir = float(np.clip(round(2.0 * call) / 2.0, 0.0, 6.0))
    row = LoggedSet(
        date.min, week.number, "", lift.exercise, number, load, planned.load_means, reps, rir, ended_by=ended
    )
    return row, TrueSet(lift.exercise, low, reps, left, wanted_left), share


def as_written(
    person: InventedPerson,
    session: Session,
    week: Week,
    done: Sequence[tuple[PlannedSet, LoggedSet]],
    told: LoggedSession,
    writing: np.random.Generator,
) -> tuple[list[LoggedSet], LoggedSession]:
    """The rows as this person writes them: as they were, or as the plan has them."""
    luck = writing.random(60)
    if person.happening.since(week.number, "dishonest log") is None:
        return [row for _, row in done], told
    size = person.happening.size
    rows = []
    for number, (planned, row) in enumerate(done):
        if planned.reps is None or luck[number % 60] >= COPIES * size:
            rows.append(row)
        elif person.rounds_up:
            reps = max(row.reps or 0, planned.reps[0])
            rows.append(replace(row, reps=reps, rir=max(row.rir or 0.0, planned.rir or 0.0), ended_by="planned"))
        else:
            rows.append(
                replace(row, reps=planned.reps[1], rir=planned.rir, load_kg=planned.load_kg, ended_by="planned")
            )
    if size <= 0 or person.rounds_up:
        return rows, told
    return rows, replace(told, session_rpe=float(round(week.rpe)), minutes=float(round(session.minutes)))


def mornings(
    person: InventedPerson,
    week: int,
    monday: date,
    fatigue: float,
    fatigues: Mapping[date, float],
    chance: np.random.Generator,
) -> list[LoggedSession]:
    """The questionnaire of four mornings, 1 good to 7 bad (Hooper and Mackinnon 1995, as packaged)."""
    happening = person.happening
    worse = happening.of(week, "overreach", OVERREACH_MORNING) + happening.of(week, "illness", ILL_MORNING)
    rows = []
    for offset in MORNINGS:
        day = monday + timedelta(days=offset)
        usual = person.morning + WORSE_BY_FATIGUE * fatigues.get(day, fatigue) + worse
        level = usual + 0.5 * float(chance.standard_normal())
        points = np.clip(np.rint(level + 0.6 * chance.standard_normal(4)), 1, 7)
        told = dict(zip(("sleep", "stress", "fatigue", "soreness"), map(float, points), strict=True))
        name = f"{day.isoformat()}-morning"
        rows.append(LoggedSession(day, week, "", None, None, row=name, wellness=Wellness("bad-is-high", told)))
    return rows


def trained(person: InventedPerson, now: Condition, shares: Mapping[str, Sequence[float]], week: Week) -> Condition:
    """The condition with what a week of sets brought: shares of the 1RM by lift."""
    happening, number = person.happening, week.number
    works = 1.0
    if happening.since(number, "stall") is not None:
        works = 1.0 - happening.size
    if happening.of(number, "overreach", OVERREACH_DROP) or happening.of(number, "illness", (1.0, 1.0, 1.0)):
        works = 1.0 - min(1.0, happening.size)
    gained = dict(now.gained)
    for slug, done in shares.items():
        near = (np.asarray(done) - USEFUL_FROM) / (USEFUL_FULL - USEFUL_FROM)
        useful = float(np.clip(near, 0.0, MOST_USEFUL).mean())
        dose = 1.0 - float(np.exp(-len(done) / SETS_OF_FULL))
        gained[slug] = gained.get(slug, 0.0) + works * person.lifts[slug].gain * dose * useful
    return replace(now, gained=gained)
