"""Simulated logs of invented people. Every number is made up by a seeded generator; nothing here was measured.

The truth behind a log (1RM, growth, curve, bias in calling) is written beside it, so that tests can compare.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.plan.block_days import session_date
from setwright.strength.calling import usual_bias
from setwright.strength.compound import Piece, possible_reps, usual_body
from setwright.strength.estimates import Estimates
from setwright.strength.holds import curve_of
from setwright.strength.logged import Log, LoggedSession, LoggedSet
from setwright.strength.posterior import LiftPosterior
from setwright.strength.tempo import slowness


@dataclass(frozen=True)
class LiftTruth:
    """What is true of one lift of an invented person: 1RM of the whole load at the start, weekly gain, curve."""

    exercise: str
    one_rm_kg: float
    weekly_gain: float
    k: float


@dataclass(frozen=True)
class Truth:
    """What is true of an invented person during the simulated weeks.

    ``bias`` is the multiple of the usual bias by which reserves are called too low.
    """

    seed: int
    bias: float
    lifts: tuple[LiftTruth, ...]
    missed: tuple[str, ...]


@dataclass(frozen=True)
class Story:
    """What happens to an invented person: sessions missed (week, day), pain (week, exercise, level, where)."""

    weekly_gain: float = 0.006
    strength_factor: float = 1.0
    missed: tuple[tuple[int, str], ...] = ()
    pain: tuple[tuple[int, str, int, str], ...] = ()


def drawn(belief: LiftPosterior, chance: np.random.Generator) -> tuple[float, float]:
    """A 1RM, kg, and its curve parameter, drawn together from what is believed, half as far out."""
    mean = belief.weights @ belief.mean
    off = belief.mean - mean
    cov = np.einsum("j,jab->ab", belief.weights, belief.cov) + np.einsum("j,ja,jb->ab", belief.weights, off, off)
    log_1rm, k, _ = chance.multivariate_normal(mean, 0.25 * cov)
    return float(np.exp(log_1rm)), max(0.012, float(k))


def called_of(left: float, reps: int, bias: float) -> float:
    """The reserve that a person calls who has ``left``, without scatter: too low by ``bias`` times the usual."""
    called = left
    for _ in range(20):
        called = 0.5 * (called + left - bias * float(usual_bias(max(0.0, called), reps)))
    return called


def simulate_log(
    block: Block, estimates: Estimates, catalogue: Catalogue, weeks: int, seed: int, story: Story
) -> tuple[Log, Truth]:
    """A log of the first weeks of a block as an invented person would have written it, and the truth behind it.

    Repetitions follow the true curve with day-to-day noise of 2.5 %; a set ends as planned, or by muscle when
    the reserve runs out; the called reserve is noisy and too low by a multiple of the usual amount.
    """
    chance = np.random.default_rng(seed)
    low_by = float(chance.uniform(0.4, 1.2))
    truths: dict[str, LiftTruth] = {}
    sets: list[LoggedSet] = []
    sessions: list[LoggedSession] = []
    missed = []
    for week in block.weeks[:weeks]:
        for session in week.sessions:
            when = session_date(block, week.number, session.day)
            if (week.number, session.day) in story.missed:
                missed.append(when.isoformat())
                continue
            day_form = float(chance.normal(0.0, 0.025))
            hardest = 5.0
            for part in session.parts:
                if part.part in ("warm-up", "conditioning"):
                    continue
                for entry in part.entries:
                    exercise = catalogue.get(entry.exercise)
                    estimate = estimates.for_exercise(entry.exercise)
                    if entry.exercise not in truths:
                        start, k = drawn(estimate.posterior, chance)
                        start *= story.strength_factor
                        gain = story.weekly_gain + float(chance.normal(0.0, 0.002))
                        truths[entry.exercise] = LiftTruth(entry.exercise, round(start, 2), round(gain, 5), round(k, 5))
                    truth = truths[entry.exercise]
                    number = 0
                    for planned in entry.sets:
                        if planned.kind == "ramp":
                            continue
                        number += 1
                        slow = 1.0 if planned.kind == "lowering" else slowness(planned.tempo, exercise.rep_s)
                        reps = rir = None
                        ended = "planned"
                        if planned.reps is not None:
                            one_rm = truth.one_rm_kg * np.exp(truth.weekly_gain * (week.number - 1) + day_form)
                            whole = (planned.load_kg or 0.0) + estimate.body_part_kg
                            target = planned.reps[1]
                            possible = target + (planned.rir or 3.0)
                            if whole > 0 and planned.load_kg is not None:
                                body = usual_body(truth.k, curve_of(exercise))
                                holds = (planned.hold_s or 0.0) + (planned.hold_after_s or 0.0)
                                pieces = (Piece(seconds=holds), Piece(reps=1.0, slow=slow))
                                possible = possible_reps(pieces, whole / one_rm, body) - 0.35 * (number - 1)
                            possible = max(0.0, possible + float(chance.normal(0.0, 0.3)))
                            wanted = (
                                target if possible - target >= max(0.0, (planned.rir or 0) - 1) else planned.reps[0]
                            )
                            reps = int(min(wanted, max(0.0, np.floor(possible))))
                            left = max(0.0, possible - reps)
                            if reps < wanted:
                                ended, rir = "muscle", 0.0
                            else:
                                called = called_of(left, reps, low_by) + float(chance.normal(0.0, 0.5))
                                rir = float(np.clip(round(2 * called) / 2, 0, 6))
                            hardest = max(hardest, 10.0 - rir)
                        pain = next((p for p in story.pain if p[0] == week.number and p[1] == entry.exercise), None)
                        sets.append(
                            LoggedSet(
                                date=when,
                                week=week.number,
                                session=session.day,
                                exercise=entry.exercise,
                                set=number,
                                load_kg=planned.load_kg,
                                load_means=planned.load_means,
                                reps=reps,
                                rir=rir,
                                hold_s=planned.hold_s,
                                distance_m=planned.distance_m,
                                time_s=planned.time_s,
                                dials={"tempo": planned.tempo} if slow > 1.0 else {},
                                ended_by=ended,  # type: ignore[arg-type]
                                pain=None if pain is None else pain[2],
                                pain_where="" if pain is None else pain[3],
                                row=f"{when.isoformat()}-{entry.exercise}-{part.part}-{number}",
                            )
                        )
            minutes = float(round(session.minutes * chance.uniform(0.92, 1.12)))
            sessions.append(
                LoggedSession(
                    date=when,
                    week=week.number,
                    session=session.day,
                    session_rpe=float(round(min(10.0, hardest - 1 + chance.uniform(0, 1)))),
                    minutes=minutes,
                    row=f"{when.isoformat()}-session",
                )
            )
    behind = Truth(seed, round(low_by, 3), tuple(truths[slug] for slug in sorted(truths)), tuple(missed))
    return Log(tuple(sets), tuple(sessions)), behind
