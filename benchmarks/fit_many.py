"""One master block of 4 days and 6 weeks fitted to 1,000 invented trainees, on 1 and 2 processes.

The people vary around those of the demo by a seeded generator: strength, body mass, minutes, days, restrictions, and
one of 40 places that vary around those of the demo. Everything is counted: estimates from their sets, fitting, rules,
and the bytes of block.json.
Peer in the same run: the same people one by one through ``plan.written.fit_written`` (what ``write`` does with the same
master as a text), each in a context of its own; it exchanges closed entries but moves no days and keeps no minutes.
Run: make bench. Nothing here asserts a time.
"""

from __future__ import annotations

import os
import random
import resource
import statistics
import sys
import tempfile
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

from setwright.people.place import Place, Stack
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import DAYS, Trainee, TrainingDay
from setwright.plan.master import Master, master_of_text
from setwright.plan.shorthand import WrittenBlock, read_block_text
from setwright.plan.written import fit_written
from setwright.publish.block_file import block_to_json
from setwright.services.deeds import plain_brief
from setwright.services.demo import GUESTS, unpack
from setwright.services.fitting import Done, Task, fit_many
from setwright.services.gather import Person, catalogue, estimates_for, load_person
from setwright.services.many import InProcesses, InThisProcess, Workers
from setwright.strength.logged import Log

PEOPLE, PEERS, PLACES, SEED = 1000, 40, 40, 20260907
SAYINGS = ("sore elbow", "left knee flexion over 60", "sore shoulder", "no hangs", "strained finger", "sore back")
MASTER = """
Block: Invented master
6 weeks
weeks 1 to 3 RPE 7, week 4 easy, weeks 5 and 6 RPE 8
Monday
Main
back squat 4 x 4-6 @ RPE 8, rest 3 min
bench press 3 x 5-6 @ RPE 8, rest 3 min
Assistance
A seated cable row 3 x 8-10, rest 90 s
A dumbbell split squat 3 x 8 each side, rest 90 s
plank 3 x 45 s
rower 8 x 20 s, rest 40 s
Tuesday
Main
deadlift 3 x 4-5 @ RPE 8, rest 3 min
overhead press 3 x 6-8, rest 150 s
Assistance
A pull-up 3 x 3-5, rest 2 min
A step-up 3 x 8 each side, rest 90 s
farmer's carry 3 x 20 m, rest 90 s
Thursday
Main
front squat 4 x 5-6, rest 3 min
Assistance
A romanian deadlift 3 x 8, rest 2 min
A push-up 3 x 10-15, rest 90 s
dumbbell row 3 x 10 each side, rest 90 s
side plank 2 x 30 s each side
Saturday
Main
trap bar deadlift 3 x 5, rest 3 min
incline dumbbell bench press 3 x 8-10, rest 2 min
Assistance
A lat pulldown 3 x 8-12, rest 90 s
A leg curl 3 x 10-12, rest 90 s
dead bug 3 x 8 each side
bike 10 min easy
"""


def written() -> WrittenBlock:
    """The master as a text that was read."""
    return read_block_text(MASTER, catalogue())


def master_block() -> Master:
    """The master of the run."""
    text = written()
    return master_of_text(text, plain_brief(text.title, text.weeks, 4, date(2026, 9, 7)), catalogue())


def varied_place(place: Place, draw: random.Random) -> Place:
    """A place with some of its equipment gone."""
    stacks: tuple[Stack, ...] = tuple(one for one in place.stacks if draw.random() < 0.8)
    fixtures = {name: count for name, count in place.fixtures.items() if draw.random() < 0.85}
    bars = tuple(one for one in place.bars if draw.random() < 0.85)
    dumbbells = place.dumbbells[: max(1, round(len(place.dumbbells) * draw.uniform(0.4, 1.0)))]
    return replace(place, stacks=stacks, fixtures=fixtures, bars=bars, dumbbells=dumbbells)


def varied(person: Person, number: int, places: list[Place], draw: random.Random) -> Person:
    """An invented person near one of the demo."""
    trainee: Trainee = person.trainee
    strength = draw.lognormvariate(0.0, 0.15)
    baselines = tuple(
        one if one.load_kg is None else replace(one, load_kg=round(one.load_kg * strength, 1))
        for one in trainee.baselines
    )
    place = draw.choice(places)
    chosen = sorted(draw.sample(range(7), draw.choice((2, 3, 4, 4, 5))))
    days = tuple(TrainingDay(DAYS[at], draw.choice((40.0, 50.0, 60.0, 75.0, 90.0)), place.id) for at in chosen)
    rules = trainee.restrictions
    if draw.random() < 0.2:
        rules = (*rules, parse_restriction(draw.choice(SAYINGS)))
    made = replace(
        trainee,
        id=f"invented-{number:04d}",
        name=f"Invented {number}",
        body_mass_kg=round(trainee.body_mass_kg * draw.uniform(0.85, 1.2), 1),
        baselines=baselines,
        days=days,
        restrictions=rules,
        invented=True,
    )
    return Person(made, (place,))


def people(count: int) -> list[Task]:
    """The invented roster."""
    draw = random.Random(SEED)
    with tempfile.TemporaryDirectory() as scratch:
        data = unpack(Path(scratch))
        demo = [load_person(data / "people" / f"{guest.id}.toml") for guest in GUESTS]
    homes = {place.id: place for person in demo for place in person.places}
    places = [replace(varied_place(homes["station"], draw), id=f"place-{n}") for n in range(PLACES - 2)]
    places += homes.values()
    return [Task(varied(demo[number % len(demo)], number, places, draw)) for number in range(count)]


def processor_s() -> float:
    """Seconds of processor time of this process and of those it waited for."""
    mine, others = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return mine.ru_utime + mine.ru_stime + others.ru_utime + others.ru_stime


def timed(master: Master, tasks: list[Task], workers: Workers) -> tuple[float, float, list[Done]]:
    """Seconds and processor seconds for all, the start of processes included, and what came of it."""
    started, before = time.perf_counter(), processor_s()
    done = list(fit_many(master, tasks, workers))
    return time.perf_counter() - started, processor_s() - before, done


def one_by_one(master: Master, tasks: list[Task]) -> list[float]:
    """Seconds for each trainee in this process, its caches warm."""
    seconds = []
    for task in tasks:
        started = time.perf_counter()
        list(fit_many(master, [task], InThisProcess()))
        seconds.append(time.perf_counter() - started)
    return seconds


def peer_seconds(master: Master, tasks: list[Task]) -> list[float]:
    """Seconds of the peer for each trainee."""
    text, known, seconds = written(), catalogue(), []
    for task in tasks:
        started = time.perf_counter()
        person = task.person
        estimates = estimates_for(person.trainee, Log(), master.brief.start, person.places)
        block_to_json(fit_written(text, person.trainee, person.places, master.brief, known, estimates))
        seconds.append(time.perf_counter() - started)
    return seconds


def main(count: int = PEOPLE) -> None:
    """Prints the table."""
    master, tasks = master_block(), people(count)
    print(f"# {count} invented trainees, seed {SEED}, 4 days x 6 weeks, {os.cpu_count()} cores", flush=True)
    two, two_cpu, by_two = timed(master, tasks, InProcesses(2))
    line("trainees a second, 2 processes", count / two)
    line("processor ms a trainee, 2 processes", 1e3 * two_cpu / count)
    line("a second on two cores of its own", 2 * count / two_cpu)
    one, one_cpu, by_one = timed(master, tasks, InThisProcess())
    line("trainees a second, 1 process", count / one)
    line("processor ms a trainee, 1 process", 1e3 * one_cpu / count)
    line("2 processes over 1", one / two)
    assert [(done.block, done.column) for done in by_one] == [(done.block, done.column) for done in by_two]
    print("bytes are the same on 1 and 2 processes")
    each = one_by_one(master, tasks[: min(count, 100)])
    peer = peer_seconds(master, tasks[: min(count, PEERS)])
    line("ms a trainee, warm: median", 1e3 * statistics.median(each))
    line("ms a trainee, warm: p90", p90(each))
    line("peer, ms a trainee by write: median", 1e3 * statistics.median(peer))
    line("peer, ms a trainee by write: p90", p90(peer))
    line("fit over peer, medians", statistics.median(each) / statistics.median(peer))
    line("without a block", sum(done.refused is not None for done in by_one))


def line(words: str, value: float) -> None:
    """One row of the table."""
    print(f"{words:<44} {value:9.2f}", flush=True)


def p90(seconds: list[float]) -> float:
    """The ninetieth percentile in ms."""
    return 1e3 * statistics.quantiles(seconds, n=10)[-1]


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE)
