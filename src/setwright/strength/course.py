"""How the beliefs about one trainee went, day by day; what they say of change so far and of the days to come.

Change is judged on the same state at two dates: a copy of every 1RM is kept from the first of them, and each later
set teaches about the copy too. So a change is told from noise with all that is shared between the dates taken out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from setwright.strength.evidence import KINDS, SetEvidence
from setwright.strength.mixture import Floats, Mixture, point_with_share, share_below
from setwright.strength.population import population
from setwright.strength.posterior import P10, P90, LiftPosterior, lognormal_spread
from setwright.strength.roster import MOST_LOSS, Roster, Sets, Start, begin, later, restlessness, with_sets
from setwright.strength.spread import Spread

SLIP = 0.8  # chance of a slip from which on a row is shown for a check
FARTHEST_WEEKS = 104


@dataclass(frozen=True, eq=False)
class Day:
    """What was believed at the end of a day with sets: ``weights`` (6,), ``mean`` and ``variance`` (6, L) of x."""

    date: date
    weights: Floats
    mean: Floats
    variance: Floats


@dataclass(frozen=True, eq=False)
class Course:
    """The followed beliefs of one trainee with L lifts.

    now : the beliefs on ``today``, whose state ends with a copy of each 1RM as of ``since``
    slips : for each lift, which of its sets are more likely a slip than not
    """

    start: Start
    now: Roster
    today: date
    since: date
    days: tuple[Day, ...]
    slips: tuple[tuple[bool, ...], ...]

    def marginal(self, roster: Roster, what: str, lift: int = 0) -> tuple[Floats, Floats]:
        """((6,) mean, (6,) variance) of one number of the state."""
        at = roster.number_of(what, lift)
        return roster.belief.mean[0, :, at], roster.belief.cov[0, :, at, at]

    def change(self, lift: int) -> tuple[Floats, Floats]:
        """((6,) mean, (6,) variance) of ln 1RM today less ln 1RM on ``since``."""
        now, then = self.now.number_of("x", lift), 4 * self.now.lifts + 3 + lift
        mean, cov = self.now.belief.mean[0], self.now.belief.cov[0]
        variance = cov[:, now, now] + cov[:, then, then] - 2.0 * cov[:, now, then]
        return mean[:, now] - mean[:, then], np.maximum(variance, 1e-12)

    def trend(self, lift: int) -> tuple[Spread, float]:
        """(weekly change of the 1RM since ``since``, kg; the chance that it rose at all)."""
        weeks = max((self.today - self.since).days, 1) / 7.0
        weights = self.now.belief.weights[0]
        mean, variance = self.change(lift)
        x, _ = self.marginal(self.now, "x", lift)
        level = float(np.exp((weights * x).sum()))
        rose = 1.0 - float(share_below(weights, mean, variance, np.zeros(())))
        middle = float((weights * mean).sum())
        sd = float(np.sqrt((weights * (variance + (mean - middle) ** 2)).sum()))
        low, high = (float(point_with_share(weights, mean, variance, share)) for share in (P10, P90))
        a_week, least, most = (level * (1.0 - float(np.exp(-value))) / weeks for value in (middle, low, high))
        return Spread(a_week, least, most, level * sd / weeks), rose

    def on(self, when: date) -> Roster:
        """The beliefs on a later day if nothing more is logged and training goes on as it did."""
        return ahead(self.now, (when - self.today).days)

    def one_rm_on(self, when: date, lift: int) -> Spread:
        """The 1RM on a later day, kg of the whole load."""
        roster = self.on(when)
        mean, variance = self.marginal(roster, "x", lift)
        return lognormal_spread(roster.belief.weights[0], mean, variance)

    def chance_of(self, target_kg: float, when: date, lift: int) -> float:
        """Chance that the 1RM is at ``target_kg`` of the whole load on a later day."""
        roster = self.on(when)
        mean, variance = self.marginal(roster, "x", lift)
        below = share_below(roster.belief.weights[0], mean, variance, np.asarray(np.log(target_kg)))
        return 1.0 - float(below)

    def reached_by(self, target_kg: float, lift: int) -> tuple[date | None, date | None, date | None]:
        """The days by which the 1RM is at ``target_kg`` of the whole load with chances of 10, 50 and 90 %.

        None where that is not to be expected within two years.
        """
        found: list[date | None] = []
        shares = [0.1, 0.5, 0.9]
        for week in range(FARTHEST_WEEKS + 1):
            chance = self.chance_of(target_kg, self.today + timedelta(weeks=week), lift)
            while shares and chance >= shares[0]:
                found.append(self.today + timedelta(weeks=week))
                shares.pop(0)
            if not shares:
                break
        padded = [*found, None, None, None]
        return padded[0], padded[1], padded[2]


def view(roster: Roster, lift: int) -> LiftPosterior:
    """The belief about one lift of the first trainee."""
    at = [roster.number_of("x", lift), roster.number_of("k", lift), roster.number_of("bias")]
    belief = roster.belief
    return LiftPosterior(
        belief.weights[0], belief.mean[0][:, at], belief.cov[0][:, at][:, :, at], day_noise(), loss_in(roster)
    )


def day_noise() -> Floats:
    """(6,) sd of what shows on one day, in log, by component."""
    people = population()
    return people.day * restlessness(people)


def loss_in(roster: Roster) -> float:
    """What one hard set takes from the next, at its mean and within what people lose."""
    mean = roster.belief.mean[0, :, roster.number_of("loss")]
    return float(np.clip(roster.belief.weights[0] @ mean, 0.0, MOST_LOSS))


def ahead(roster: Roster, days: int) -> Roster:
    """The beliefs some days later while training goes on: growth and doubt, no loss for weeks off."""
    people = replace(population(), loss_per_week=0.0)
    return later(roster, np.array([float(max(0, days))]), people)


def by_day(sets: Sequence[Sequence[SetEvidence]]) -> Iterator[tuple[date, list[tuple[int, int, SetEvidence]]]]:
    """Day by day, (lift, which of its sets, the set), in an order that does not depend on that of the rows."""
    days: dict[date, list[tuple[int, int, SetEvidence]]] = {}
    for lift, rows in enumerate(sets):
        for place, one in enumerate(rows):
            days.setdefault(one.date, []).append((lift, place, one))
    for day in sorted(days):
        yield day, sorted(days[day], key=lambda row: (row[0], row[2].number, row[1]))


def followed(start: Start, sets: Sequence[Sequence[SetEvidence]], today: date, trend_weeks: int) -> Course:
    """The beliefs about a trainee after all sets up to ``today``.

    sets : for each lift its sets, by date and number
    trend_weeks : the copy for change is kept on the last day with sets that lies so far back, or on the first of all
    """
    roster = begin([start])
    days: list[Day] = []
    slips = [[False] * len(rows) for rows in sets]
    wanted = today - timedelta(weeks=trend_weeks)
    dates = sorted({one.date for rows in sets for one in rows})
    since = max((day for day in dates if day <= wanted), default=dates[0])
    last = dates[0]
    for day, rows in by_day(sets):
        roster = moved(roster, last, day, is_growing=not all(one.strange for _, _, one in rows))
        last = day
        for lift, place, one in rows:
            roster, _, slip = with_sets(roster, one_set(lift, one))
            slips[lift][place] = bool(slip[0] > SLIP)
        lifts = roster.lifts
        mean = roster.belief.mean[0, :, :lifts]
        variance = np.diagonal(roster.belief.cov[0, :, :lifts, :lifts], axis1=1, axis2=2)
        days.append(Day(day, roster.belief.weights[0], mean, variance.copy()))
        if day == since:
            roster = with_copy(roster)
    # No growth is assumed since the last set: time alone raises no load.
    roster = moved(roster, last, today, is_growing=False)
    return Course(start, roster, today, since, tuple(days), tuple(tuple(row) for row in slips))


def moved(roster: Roster, last: date, day: date, is_growing: bool = True) -> Roster:
    """The beliefs on ``day``, carried from ``last``."""
    return later(roster, np.array([float((day - last).days)]), is_growing=is_growing) if day > last else roster


def with_copy(roster: Roster) -> Roster:
    """The same beliefs with a copy of each 1RM put at the end of the state."""
    lifts, size = roster.lifts, roster.belief.mean.shape[2]
    at = [*range(size), *range(lifts)]
    belief = roster.belief
    copied = Mixture(belief.weights, belief.mean[:, :, at], belief.cov[:, :, at][:, :, :, at])
    return replace(roster, belief=copied)


def one_set(lift: int, one: SetEvidence) -> Sets:
    """One set of one trainee in the form that the roster reads."""

    def number(value: float) -> Floats:
        return np.array([value], dtype=np.float64)

    return Sets(
        np.array([lift], dtype=np.intp),
        number(float(np.log(one.load_kg))),
        number(one.reps),
        number(one.rir),
        np.array([KINDS.index(one.kind)], dtype=np.intp),
        number(np.nan if one.rest_s is None else one.rest_s),
        number(one.guess_sd),
        number(float(one.strange)),
        number(float(one.is_echo)),
        number(float(one.is_rote)),
    )
