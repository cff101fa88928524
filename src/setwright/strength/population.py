"""What is known about people before anything is logged: the figures of ``data/priors.toml``, read once.

Every figure there stands with its source; those fitted on open data carry the interval of the fit.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib import resources
from typing import Any


@cache
def priors() -> Mapping[str, Any]:
    """The packaged priors, as they stand in the file."""
    text = resources.files("setwright.strength").joinpath("data", "priors.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@dataclass(frozen=True)
class Population:
    """How strength moves, how it shows on a day, and how people call their effort.

    walk : sd of the random walk of log 1RM in one week; rough_chance, rough_times : how often a stretch between
        two dates is rough, and how many times wider its walk is; walk_shared : correlation of the walks of unlike lifts
    day : sd of what a lift shows on one day, in log; day_shared : part of its variance common to all lifts
    restless : how many times more (and less) than usual the most (and least) restless quarter of people varies
    novice_rate, trained_rate, novice_rate_sd, rate_sd, rate_shared : growth of log 1RM per unit of ln(weeks trained),
        its spread in novices and in trained people, and the correlation between lifts; rate_halves_at : training
        years at which half of the way is gone; settled_weeks : weeks by which the clock of growth is ahead in trained
        people when a log begins
    rest_weeks, loss_per_week, most_loss : weeks off without loss, loss of log 1RM a week after, and its limit
    general, own : correlation of two lifts that share no muscle, and the part that a lift shares with no other
    k_shared : correlation of the curve parameters of two lifts of a person
    bias, bias_sd : how many times the published bias of called reserves a person has
    loss, loss_sd : share of the repetitions lost to one set to failure two minutes before; recovery_s : time
        constant of its recovery; effort_scale_reps : reserve that makes a set e times less tiring
    learning_novice, learning_trained, learning_sd, learning_kept : what an unfamiliar lift shows less at first, in
        log, and the share of that which is left after each day
    slip_chance, slip_sd, stray_chance, stray_times : wild rows of a log, and calls that are far off
    """

    walk: float
    rough_chance: float
    rough_times: float
    walk_shared: float
    day: float
    day_shared: float
    restless: float
    novice_rate: float
    trained_rate: float
    novice_rate_sd: float
    rate_sd: float
    rate_shared: float
    novice_weeks: float
    settled_weeks: float
    rate_halves_at: float
    rest_weeks: float
    loss_per_week: float
    most_loss: float
    general: float
    own: float
    k_shared: float
    bias: float
    bias_sd: float
    loss: float
    loss_sd: float
    recovery_s: float
    effort_scale_reps: float
    learning_novice: float
    learning_trained: float
    learning_sd: float
    learning_kept: float
    slip_chance: float
    slip_sd: float
    stray_chance: float
    stray_times: float


@cache
def population() -> Population:
    """The packaged population; KeyError names a figure that the file lacks."""
    table = priors()["population"]
    return Population(**{one.name: float(table[one.name]["value"]) for one in fields(Population)})
