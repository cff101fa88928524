"""How soon a stall could be found at best, by a judge who knows all but the person: an upper bound for the rosters.

The judge knows the week on which gains would end, the spread of gains over people and the spread of a day, and reads
what all lifts together show each hard week (three days a week, week 4 easy, as in rosters.py). It holds "gains ended"
against "gains go on" by the ratio of their likelihoods, which no other rule on these readings beats (Neyman and
Pearson 1933). Printed: the share of stalls found at some shares of needless alarms.
Run: python benchmarks/stall_bound.py [--people 20000] [--seed 1]
"""

from __future__ import annotations

import argparse

import numpy as np

DAY_SD, READING_SD, DAYS = 0.025, 0.015, 3  # as in setwright.review.shown_strength
GAIN, GAIN_SD = 0.007, 0.0025  # ln a week: two people in three between 0.5 and 1.0 %, as the people of rosters.py
ONSET, LEVEL_SD = 4.0, 1.0  # the last week with a gain; a level that nobody knows
NEEDLESS = (0.05, 0.1, 0.2, 0.3)


def log_likelihood(course: np.ndarray, seen: np.ndarray, sd: float) -> np.ndarray:
    """(people,) ln of the likelihood of readings (people, weeks) along a course (weeks,) of weeks with gains."""
    cov = np.eye(len(course)) * sd**2 + LEVEL_SD**2 + GAIN_SD**2 * np.outer(course, course)
    off = seen - GAIN * course
    return -0.5 * np.einsum("ij,ij->i", off, np.linalg.solve(cov, off.T).T)


def found(weeks_after: int, people: int, rng: np.random.Generator) -> list[float]:
    """Shares of stalls found so many weeks after their onset, at each share of needless alarms."""
    weeks = np.array([1, 2, 3, *range(5, 5 + weeks_after)], dtype=float)
    sd = float(np.sqrt((DAY_SD**2 + READING_SD**2) / DAYS))
    ended, going = np.minimum(weeks, ONSET) - 1, weeks - 1
    gains, form = rng.normal(GAIN, GAIN_SD, (people, 1)), rng.normal(0, sd, (people, len(weeks)))
    sign = 0.5 * (logdet(going, sd) - logdet(ended, sd))
    scores = []
    for course in (ended, going):
        seen = gains * course + form
        scores.append(log_likelihood(ended, seen, sd) - log_likelihood(going, seen, sd) + sign)
    return [float(np.mean(scores[0] > np.quantile(scores[1], 1 - share))) for share in NEEDLESS]


def logdet(course: np.ndarray, sd: float) -> float:
    """ln of the determinant of the spread of readings."""
    cov = np.eye(len(course)) * sd**2 + LEVEL_SD**2 + GAIN_SD**2 * np.outer(course, course)
    return float(np.linalg.slogdet(cov)[1])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--people", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    print("weeks after onset | " + " | ".join(f"{100 * share:.0f} % needless" for share in NEEDLESS))
    for weeks_after in (3, 6):
        row = found(weeks_after, asked.people, np.random.default_rng(asked.seed))
        print(f"{weeks_after} | " + " | ".join(f"{100 * share:.0f} %" for share in row))


if __name__ == "__main__":
    main()
