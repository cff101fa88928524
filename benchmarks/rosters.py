"""How often each story of an invented trainee is found, how late, and what two simple policies do on the same people.

People train a written block of ten weeks; every week is logged, reviewed and adapted, all changes accepted, as
`setwright review` and `setwright adapt` do it. Peers in the same run, on the same people and days: the first plan as it
stands (its loads are fixed shares of the 1RM believed at the start), and the smallest step up when all repetitions were
done. Seeds below 1000 are for tuning findings; reported are seeds from 1000.
Run: python benchmarks/rosters.py [--people 8] [--first-seed 1000] [--workers 2] [--write]
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from math import sqrt
from multiprocessing import get_context
from pathlib import Path

for _threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_threads] = "1"  # before numpy is loaded, here and in every worker

import numpy as np  # noqa: E402

from setwright.catalogue.load import catalogue  # noqa: E402
from setwright.dose.implements import loads_in  # noqa: E402
from setwright.people.place import Bar, Counted, Place, Stack  # noqa: E402
from setwright.people.trainee import Baseline, Screening, Trainee, TrainingDay  # noqa: E402
from setwright.plan.block import Block, Entry, Week  # noqa: E402
from setwright.plan.block_days import week_start  # noqa: E402
from setwright.plan.shorthand import read_block_text  # noqa: E402
from setwright.plan.written import fit_written  # noqa: E402
from setwright.review.believed import believed  # noqa: E402
from setwright.review.finding import Finding  # noqa: E402
from setwright.review.findings import review_block  # noqa: E402
from setwright.review.proposals import proposed  # noqa: E402
from setwright.services.deeds import plain_brief  # noqa: E402
from setwright.services.invented_people import (  # noqa: E402
    STORIES,
    Condition,
    Happening,
    Happens,
    InventedPerson,
    TrueSet,
    invented_person,
    live_week,
)
from setwright.strength.estimates import Estimates, estimate_lifts  # noqa: E402
from setwright.strength.logged import Log  # noqa: E402

PAGE = Path(__file__).resolve().parents[1] / "docs" / "rosters.md"
START = date(2026, 9, 7)
WEEKS = 10
ONSET: dict[Happens, int] = {"RIR optimist": 1}
USUAL_ONSET = 5
RESET_AFTER, RESET_TO = 3, 0.9  # common practice, no published source
LIFTS = ("back_squat", "bench_bb", "leg_press", "row_cable")
TEXT = """Block: Ten invented weeks
10 weeks
weeks 1 to 3 RPE 7.5, week 4 easy, weeks 5 to 10 RPE 8

Monday, 90 min
Main
back squat 3 x 5, rest 3 min
bench press 3 x 6, rest 3 min

Wednesday, 90 min
Main
leg press 3 x 8, rest 3 min
seated cable row 3 x 8, rest 2 min

Friday, 90 min
Main
bench press 3 x 5, rest 3 min
back squat 3 x 6, rest 3 min
"""
GYM = Place(
    "gym",
    "Invented gym",
    bars=(Bar("barbell", 20.0),),
    plates=tuple(Counted(mass, 6) for mass in (20, 15, 10, 5, 2.5, 1.25)),
    stacks=(Stack("cable", 5, 5, 120, (2.5,)), Stack("machine:leg_press", 20, 10, 300, (5.0,))),
    fixtures=dict.fromkeys(("rack", "bench", "anchor", "pad"), 1),
    invented=True,
)
TRAINEE = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1990,
    body_mass_kg=80.0,
    stature_m=1.80,
    training_years=3.0,
    days=tuple(TrainingDay(day, 90, "gym") for day in ("mon", "wed", "fri")),
    screening=Screening(True),
    sex="male",
    baselines=(
        Baseline(date(2026, 8, 24), "back_squat", 110, 5, 2),
        Baseline(date(2026, 8, 25), "bench_bb", 80, 5, 2),
        Baseline(date(2026, 8, 26), "leg_press", 180, 8, 2),
        Baseline(date(2026, 8, 28), "row_cable", 70, 8, 2),
    ),
    invented=True,
)


@cache
def first_plan() -> tuple[Block, Estimates]:
    """The block of everybody, as it is dosed before the first day, and what is believed then."""
    known = catalogue()
    believed = estimate_lifts(TRAINEE, known, TRAINEE.baselines, Log(), START)
    written = read_block_text(TEXT, known, "rosters", days=("mon", "wed", "fri"))
    brief = plain_brief(written.title, WEEKS, 3, START)
    return fit_written(written, TRAINEE, (GYM,), brief, known, believed), believed


@dataclass(frozen=True)
class Told:
    """One person under one policy: ln of the strength gained, mean over lifts, and what is true of every set."""

    gained: float
    sets: tuple[TrueSet, ...]

    def percent_in_eight_weeks(self) -> float:
        return 100.0 * float(np.expm1(self.gained * 8 / WEEKS))

    def missed_in_hundred(self) -> float:
        return 100.0 * sum(max(0, one.wanted - one.done) for one in self.sets) / max(1, len(self.sets))

    def too_hard_percent(self) -> float:
        return 100.0 * sum(one.is_too_hard for one in self.sets) / max(1, len(self.sets))


@dataclass(frozen=True)
class Lived:
    """One person: the findings of each weekly review, and how each policy went."""

    happening: Happening
    reviews: tuple[tuple[Finding, ...], ...]
    policies: dict[str, Told]


def joined(logs: Sequence[Log]) -> Log:
    """Logs of weeks as one."""
    return Log(tuple(s for one in logs for s in one.sets), tuple(s for one in logs for s in one.sessions))


def told(condition: Condition, sets: Sequence[TrueSet]) -> Told:
    return Told(float(np.mean([condition.gained.get(slug, 0.0) for slug in LIFTS])), tuple(sets))


@dataclass(frozen=True)
class Underway:
    """Where somebody stands after some weeks: the block as adapted, the condition, the logs, true sets, reviews."""

    block: Block
    now: Condition
    logs: tuple[Log, ...] = ()
    sets: tuple[TrueSet, ...] = ()
    reviews: tuple[tuple[Finding, ...], ...] = ()


def with_week(person: InventedPerson, before: Underway) -> Underway:
    """One week more, logged, reviewed and adapted; all changes accepted."""
    known, number = catalogue(), len(before.logs) + 1
    monday = week_start(before.block, number)
    lived = live_week(person, before.block.weeks[number - 1], monday, before.now, known)
    logs = (*before.logs, lived.log)
    log, on = joined(logs), monday + timedelta(days=6)
    estimates = estimate_lifts(TRAINEE, known, TRAINEE.baselines, log, on)
    found = review_block(before.block, log, estimates, known).findings
    trust = believed(before.block, log)
    if trust.off:
        estimates = estimate_lifts(TRAINEE, known, TRAINEE.baselines, trust.of(log), on)
    block = proposed(before.block, log, estimates, known, on).block
    return Underway(block, lived.after, logs, (*before.sets, *lived.sets), (*before.reviews, found))


def ours(person: InventedPerson, start: Underway | None = None) -> tuple[Underway, ...]:
    """Where somebody stands before the first week and after each; ``start``: weeks that are lived already."""
    found = [start or Underway(first_plan()[0], Condition())]
    while len(found[-1].logs) < WEEKS:
        found.append(with_week(person, found[-1]))
    return tuple(found)


def as_planned(person: InventedPerson) -> Told:
    """The first plan as it stands: fixed shares of the 1RM believed at the start."""
    block, _ = first_plan()
    now, sets = Condition(), []
    for number, week in enumerate(block.weeks, start=1):
        lived = live_week(person, week, week_start(block, number), now, catalogue())
        now = lived.after
        sets += lived.sets
    return told(now, sets)


def smallest_step(person: InventedPerson) -> Told:
    """After a session with all repetitions done the next load that can be built, else the same again.

    After three sessions of a lift in a row that fell short a tenth less, as is usual where people train so.
    An easy week stands as far under the last load as the plan has it, and changes nothing.
    """
    block, _ = first_plan()
    now, sets = Condition(), []
    loads: dict[tuple[str, str], float] = {}
    short: Counter[tuple[str, str]] = Counter()
    for number, week in enumerate(block.weeks, start=1):
        lived = live_week(person, with_loads(block, week, loads), week_start(block, number), now, catalogue())
        now = lived.after
        sets += lived.sets
        if week.kind == "deload":
            continue
        for session in week.sessions:
            for entry in entries_of(session):
                rows = [s for s in lived.log.sets if s.session == session.day and s.exercise == entry.exercise]
                key = session.day, entry.exercise
                load = loads.get(key, working_load(block.weeks[0], key))
                options = [one.load_kg for one in loads_in(GYM, catalogue().get(entry.exercise))]
                if rows and all((row.reps or 0) >= entry.sets[-1].reps[0] for row in rows):  # type: ignore[index]
                    short[key], load = 0, min((one for one in options if one > load + 1e-6), default=load)
                elif rows:
                    short[key] += 1
                    if short[key] == RESET_AFTER:
                        short[key], load = 0, max(one for one in options if one <= RESET_TO * load)
                loads[key] = load
    return told(now, sets)


def entries_of(session: object) -> list[Entry]:
    return [e for p in session.parts if p.part == "main" for e in p.entries]  # type: ignore[attr-defined]


def working_load(week: Week, key: tuple[str, str]) -> float:
    """The planned load of an exercise on a day, kg."""
    session = next(one for one in week.sessions if one.day == key[0])
    entry = next(one for one in entries_of(session) if one.exercise == key[1])
    return entry.sets[-1].load_kg or 0.0


def with_loads(block: Block, week: Week, loads: dict[tuple[str, str], float]) -> Week:
    """A week with the loads of the policy; an easy week keeps its share of the first week's loads."""
    sessions = []
    for session in week.sessions:
        parts = []
        for part in session.parts:
            entries = []
            for entry in part.entries:
                key = session.day, entry.exercise
                if part.part == "main" and key[1] in LIFTS:
                    load = loads.get(key, working_load(block.weeks[0], key))
                    if week.kind == "deload":
                        load *= working_load(week, key) / working_load(block.weeks[0], key)
                    entry = replace(entry, sets=tuple(replace(one, load_kg=load) for one in entry.sets))
                entries.append(entry)
            parts.append(replace(part, entries=tuple(entries)))
        sessions.append(replace(session, parts=tuple(parts)))
    return replace(week, sessions=tuple(sessions))


def person_of(seed: int, story: Happens) -> InventedPerson:
    """The person of a seed with a story; controls of the same seed are the same person without one."""
    happening = Happening(story, ONSET.get(story, USUAL_ONSET))
    return invented_person(first_plan()[1], LIFTS, seed, happening)


def everyone_of(seed: int) -> list[Lived]:
    """The person of a seed without a story and with each, under the three policies.

    Before its onset a story changes nothing (a law that the tests hold), so these weeks are those of the control.
    """
    control = ours(person_of(seed, "nothing"))
    found = []
    for story in ("nothing", *STORIES):
        person, onset = person_of(seed, story), ONSET.get(story, USUAL_ONSET)
        after = control[-1] if story == "nothing" else ours(person, control[onset - 1] if onset > 1 else None)[-1]
        policies = {OURS: told(after.now, after.sets), "plan as it stands": as_planned(person)}
        policies["smallest step when all reps were done"] = smallest_step(person)
        found.append(Lived(person.happening, after.reviews, policies))
    return found


OURS = "ours, adapted weekly"
NEWS = ("gaining", "not told from noise")
FACTS = ("missed repetitions", "missed sessions", "moved sessions", "too few sets", "load not whole")
FOUND_BY: dict[Happens, tuple[str, ...]] = {
    "stall": ("standing still", "no gain", "getting weaker"),
    "overreach": ("tired all round", "getting weaker"),
    "illness": ("a week away", "tired all round"),
    "changed gym": ("another machine?", "check this set", "check these sets"),
    "dishonest log": ("log repeats the plan",),
    "RIR optimist": ("less left than called",),
}
SOON_WEEKS = 3
MONTH_WEEKS = 365.25 / 12 / 7
Z95 = 1.959964


def wilson(hits: int, of: int) -> tuple[float, float]:
    """95 % interval of a share, in %. Source: Wilson 1927, from memory."""
    if not of:
        return 0.0, 100.0
    p, z = hits / of, Z95
    middle, half = p + z * z / (2 * of), z * sqrt(p * (1 - p) / of + z * z / (4 * of * of))
    return max(0.0, 100 * (middle - half) / (1 + z * z / of)), min(100.0, 100 * (middle + half) / (1 + z * z / of))


def bootstrap(values: Sequence[float]) -> tuple[float, float]:
    """95 % interval of a mean over people, by 4,000 draws of people."""
    rows = np.asarray(values, dtype=float)
    drawn = np.random.default_rng(1).integers(0, len(rows), (4000, len(rows)))
    low, high = np.quantile(rows[drawn].mean(axis=1), (0.025, 0.975))
    return float(low), float(high)


def share(hits: int, of: int) -> str:
    low, high = wilson(hits, of)
    return f"{100 * hits / max(1, of):.0f} ({low:.0f} to {high:.0f})"


def mean_words(values: Sequence[float], digits: int = 1) -> str:
    low, high = bootstrap(values)
    return f"{np.mean(values):.{digits}f} ({low:.{digits}f} to {high:.{digits}f})"


def first_found(one: Lived, kinds: Sequence[str], onset: int) -> int | None:
    """In which week of the story a weekly review first has one of the kinds: 1 is the first; None where none has."""
    for number, review in enumerate(one.reviews, start=1):
        if number >= onset and any(finding.kind in kinds for finding in review):
            return number - onset + 1
    return None


def new_alarms(one: Lived) -> list[str]:
    """Kinds that ask for something and were not in the review of the week before about the same lift."""
    found: list[str] = []
    before: set[tuple[str, str]] = set()
    for review in one.reviews:
        now = {(f.kind, re.sub(r"\d+", "", f.about)) for f in review if f.kind not in NEWS}
        found += [kind for kind, _ in sorted(now - before)]
        before = now
    return found


def row(*cells: object) -> str:
    return "| " + " | ".join(str(one) for one in cells) + " |"


def words_of(delays: Sequence[int], of: int) -> str:
    """Median and 90 % of the weeks until found, those never found counted as later than the block."""
    weeks = sorted(delays) + [10**6] * (of - len(delays))
    middle, late = weeks[(of - 1) // 2], weeks[min(of - 1, int(0.9 * of))]
    return ", ".join("not in the block" if one == 10**6 else str(one) for one in (middle, late))


def story_table(everyone: Sequence[Lived]) -> Iterator[str]:
    """How often each story is found, how late, and how often the same kinds show in controls."""
    yield row(
        "story (people)",
        "found by the end of the block, %",
        f"within {SOON_WEEKS} weeks, %",
        "week of the story: median, 90 %",
        "controls with these kinds in the same weeks, %",
        "by (people)",
    )
    yield row(*["---"] * 6)
    controls = [one for one in everyone if one.happening.story == "nothing"]
    for story in STORIES:
        people = [one for one in everyone if one.happening.story == story]
        kinds, onset = FOUND_BY[story], ONSET.get(story, USUAL_ONSET)
        weeks = [found for one in people if (found := first_found(one, kinds, onset)) is not None]
        by: Counter[str] = Counter()
        for one in people:
            by.update({f.kind for review in one.reviews[onset - 1 :] for f in review if f.kind in kinds})
        chance = sum(first_found(one, kinds, onset) is not None for one in controls)
        yield row(
            f"{story} ({len(people)})",
            share(len(weeks), len(people)),
            share(sum(one <= SOON_WEEKS for one in weeks), len(people)),
            words_of(weeks, len(people)),
            share(chance, len(controls)),
            ", ".join(f"{kind} ({number})" for kind, number in by.most_common()) or "nothing",
        )


def alarm_table(everyone: Sequence[Lived]) -> Iterator[str]:
    """Needless alarms of controls, by kind, per trainee and month; what is true of them stands apart."""
    controls = [one for one in everyone if one.happening.story == "nothing"]
    months = WEEKS / MONTH_WEEKS
    counts = [Counter(new_alarms(one)) for one in controls]
    kinds = sorted({kind for one in counts for kind in one}, key=lambda kind: -sum(one[kind] for one in counts))
    yield row("kind", "new per trainee and month")
    yield row("---", "---")
    for kind in (one for one in kinds if one not in FACTS):
        yield row(kind, mean_words([one[kind] / months for one in counts], 2))
    needless = [sum(n for kind, n in one.items() if kind not in FACTS) / months for one in counts]
    yield row("all of these", mean_words(needless, 2))
    late = [sum(f.kind not in (*NEWS, *FACTS) for r in one.reviews[2:] for f in r) / (WEEKS - 2) for one in controls]
    yield row("lines that ask for something, in a review after the second week", mean_words(late, 2))
    for kind in (one for one in kinds if one in FACTS):
        yield row(f"{kind} (they were)", mean_words([one[kind] / months for one in counts], 2))
    yield row("all of both", mean_words([sum(one.values()) / months for one in counts], 2))


def policy_table(everyone: Sequence[Lived]) -> Iterator[str]:
    """What each policy does to strength, missed repetitions and effort; differences are of the same people."""
    yield row(
        "people",
        "policy",
        "strength, % in 8 weeks",
        "less ours",
        "repetitions missed in 100 sets",
        "too hard, % of sets",
    )
    yield row(*["---"] * 6)
    for story in ("nothing", *STORIES):
        people = [one for one in everyone if one.happening.story == story]
        for name in people[0].policies if people else ():
            rows = [one.policies[name] for one in people]
            mine = [one.policies[OURS].percent_in_eight_weeks() for one in people]
            gains = [one.percent_in_eight_weeks() for one in rows]
            yield row(
                "controls" if story == "nothing" else story,
                name,
                mean_words(gains, 2),
                "" if name.startswith("ours") else mean_words([a - b for a, b in zip(gains, mine, strict=True)], 2),
                mean_words([one.missed_in_hundred() for one in rows]),
                mean_words([one.too_hard_percent() for one in rows]),
            )


def everybody(people: int, first_seed: int, workers: int) -> list[Lived]:
    """All people, the same on any number of workers."""
    seeds = range(first_seed, first_seed + people)
    if workers < 2:
        return counted(map(everyone_of, seeds), people)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return counted(pool.map(everyone_of, seeds), people)


def counted(groups: Iterable[list[Lived]], people: int) -> list[Lived]:
    """All people of the groups, with a line on standard error for each group that is done."""
    found: list[Lived] = []
    for number, some in enumerate(groups, start=1):
        found += some
        print(f"# {number} of {people}", file=sys.stderr, flush=True)
    return found


def tables(everyone: Sequence[Lived], people: int, first_seed: int) -> Iterator[str]:
    """All sections of the page, as they are made."""
    yield f"{people} people a story and {people} controls, seeds {first_seed} to {first_seed + people - 1}.\n"
    yield "## Stories\n"
    yield from story_table(everyone)
    yield "\n## Alarms of people without a story\n"
    yield from alarm_table(everyone)
    yield "\n## Three ways to choose loads\n"
    yield from policy_table(everyone)


def main(arguments: list[str] | None = None) -> int:
    """Prints the tables; with --write also renews the page."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])  # type: ignore[union-attr]
    parser.add_argument("--people", type=int, default=8, help="a story (default 8, about three minutes on two cores)")
    parser.add_argument("--first-seed", type=int, default=1000, help="below 1000: for tuning only")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--write", action="store_true", help="renew docs/rosters.md")
    asked = parser.parse_args(arguments)
    started = time.perf_counter()
    lines = list(tables(everybody(asked.people, asked.first_seed, asked.workers), asked.people, asked.first_seed))
    print("\n".join(lines))
    print(f"# {time.perf_counter() - started:.0f} s", file=sys.stderr)
    if asked.write:
        made = "<!-- made by benchmarks/rosters.py -->\n" + "\n".join(lines) + "\n<!-- end -->"
        page = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(re.sub(r"<!-- made by .*<!-- end -->", lambda _: made, page, flags=re.S), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
