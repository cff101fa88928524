"""Figures of ``strength/data/priors.toml`` that open data can tell, with 95 % intervals by resampling people.

Run: python benchmarks/fit_population.py MEETS LEGS
MEETS : competition results (parquet, or the fixture of tests/data); LEGS : tests/data/textbook/training_legs.csv
Prints; the values go into the file by hand, beside those of other sources.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from meet_data import read_results
from setwright.catalogue.load import catalogue
from setwright.strength.expected import likeness

Floats = NDArray[np.float64]
DRAWS = 1000
LIFTS = ("back_squat", "bench_bb", "deadlift")


def first_meets(path: Path) -> Floats:
    """(n, 3) ln kg of squat, bench press and deadlift at the first meet with all three, less what sex, body mass and
    age tell (least squares)."""
    table = read_results(path).table
    found = {}
    for row in np.argsort(table.day, kind="stable"):
        lifter = int(table.lifter[row])
        if (
            lifter not in found
            and np.isfinite([*table.best_kg[row], table.body_mass_kg[row], table.age_years[row]]).all()
        ):
            found[lifter] = row
    rows = np.array(list(found.values()))
    mass, age, woman = np.log(table.body_mass_kg[rows] / 80.0), table.age_years[rows], table.female[rows].astype(float)
    known = np.stack(
        [np.ones(len(rows)), woman, mass, mass * woman, np.maximum(0, 23 - age), np.maximum(0, age - 35)], axis=1
    )
    lifted = np.log(table.best_kg[rows])
    size, *_ = np.linalg.lstsq(known, lifted, rcond=None)
    return np.asarray(lifted - known @ size, dtype=np.float64)


def hang_together(left: Floats) -> tuple[float, float]:
    """(general, own): correlation of lifts that share no muscle, and what a lift shares with no other."""
    known = catalogue()
    squat, _, deadlift = (known.get(slug) for slug in LIFTS)
    like = np.corrcoef(left.T)
    general = float((like[0, 1] + like[1, 2]) / 2.0)
    shared = (float(like[0, 2]) - general) / likeness(squat, deadlift) ** 2
    return general, 1.0 - general - shared


def growth_of_legs(path: Path) -> Floats:
    """(n,) growth of ln load per ln(2 + weeks) from the second test to the twelfth week, one for each person."""
    people: dict[str, list[float]] = {}
    with path.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if row["week_0.3"] and row["week_12"]:
                gain = np.log(float(row["week_12"]) / float(row["week_0.3"])) / np.log(14.0 / 2.3)
                people.setdefault(row["id"], []).append(float(gain))
    return np.array([np.mean(gains) for gains in people.values()])


def show(name: str, values: Floats, value: float) -> None:
    """One figure with the middle 95 % of its resamplings."""
    low, high = np.percentile(values, [2.5, 97.5])
    print(f"{name:24} {value:.3f}  ({low:.3f} to {high:.3f})")


def main(meets: Path, legs: Path) -> None:
    """Prints each figure with its interval."""
    draw = np.random.default_rng(20261126)
    left = first_meets(meets)
    print(f"first meets: {len(left)} lifters")
    resampled = np.array([hang_together(left[draw.integers(len(left), size=len(left))]) for _ in range(DRAWS)])
    for place, name in enumerate(("general", "own")):
        show(name, resampled[:, place], hang_together(left)[place])
    growth = growth_of_legs(legs)
    print(f"legs: {len(growth)} people, sd between them {growth.std(ddof=1):.3f}")
    again = [growth[draw.integers(len(growth), size=len(growth))] for _ in range(DRAWS)]
    show("rate of the study", np.array([one.mean() for one in again]), float(growth.mean()))
    show("its spread", np.array([one.std(ddof=1) for one in again]), float(growth.std(ddof=1)))


if __name__ == "__main__":
    if len(sys.argv) != 3:
        raise SystemExit(__doc__)
    main(Path(sys.argv[1]), Path(sys.argv[2]))
