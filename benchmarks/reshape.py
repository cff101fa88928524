"""Re-planning in week 3 of 6: proven or not, how fast, against the same rows without a hint and in HiGHS.

Three tables. One exercise barred: 12 cases (the five invented trainees of the demo, and one more way of each to train).
A day lost, and a quarter of the minutes: the harder kinds, for information. Sets only, over a full design of the same
person, in the same run. Nothing here asserts a time. Run: make bench.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from same_rows import in_highs
from setwright.catalogue.load import catalogue
from setwright.people.trainee import TrainingDay
from setwright.plan.block import Block
from setwright.plan.design import design_block
from setwright.plan.reshape import frame_of, prepare, reshape_block, too_long
from setwright.plan.reshape_model import Model, Reshaped, first_guess, reshape
from setwright.plan.reshape_options import Asked, working_sets
from setwright.services.demo import GUESTS, unpack
from setwright.services.gather import estimates_for, load_brief, load_person
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

FROM_WEEK, WEEKS = 3, 6
LIMIT = 2.0
PEER_LIMIT_S = 20.0


@dataclass(frozen=True)
class Case:
    """An invented trainee with the block they are in, and how long it took to design."""

    name: str
    block: Block
    estimates: Estimates
    design_s: float


def cases(data: Path) -> Iterator[Case]:
    """The demo people, and each again on three days of 50 minutes without any restriction."""
    for guest in GUESTS:
        person = load_person(data / "people" / f"{guest.id}.toml")
        brief = replace(load_brief(data / "briefs" / f"{guest.id}.toml"), weeks=WEEKS)
        place = person.trainee.days[0].place
        days = tuple(TrainingDay(day, 50, place) for day in ("mon", "wed", "sat"))  # type: ignore[arg-type]
        other = replace(person.trainee, id=f"{guest.id}-2", name="Invented Other", days=days, restrictions=())
        for trainee, wishes in (
            (person.trainee, brief),
            (other, replace(brief, days_a_week=3, minutes=50, lifts=brief.lifts[:1])),
        ):
            estimates = estimates_for(trainee, Log(), brief.start, person.places)
            started = time.perf_counter()
            block = design_block(trainee, person.places, wishes, catalogue(), estimates)
            yield Case(trainee.id, block, estimates, time.perf_counter() - started)


def entries(block: Block) -> Iterator[tuple[str, str, Any]]:
    """(day, part, entry) of week 3."""
    for session in block.weeks[FROM_WEEK - 1].sessions:
        for part in session.parts:
            for entry in part.entries:
                yield session.day, part.part, entry


def barred(block: Block, number: int) -> str:
    """The exercise of the strength parts with the most sets, or the next one after it."""
    sets: dict[str, int] = {}
    for _, part, entry in entries(block):
        if part in ("main", "assistance", "skill", "finisher"):
            sets[entry.exercise] = sets.get(entry.exercise, 0) + working_sets(entry)
    return sorted(sets, key=lambda slug: (-sets[slug], slug))[number]


def line(case: Case, words: str, asked: Asked) -> tuple[bool, float]:
    """One row of the table; gives whether the fewest are proven, and our search time over that without a hint."""
    started = time.perf_counter()
    block = reshape_block(case.block, asked, catalogue(), case.estimates, FROM_WEEK, LIMIT)
    whole_s = time.perf_counter() - started
    frame = frame_of(case.block, asked, catalogue(), case.estimates, FROM_WEEK)
    plan = prepare(frame)

    def run(limit: float, with_hint: bool) -> tuple[float, Reshaped]:
        begun = time.perf_counter()
        found = reshape(plan.problem, lambda decision: too_long(plan, decision, frame), limit, with_hint)
        return time.perf_counter() - begun, found

    ours_s, ours = run(LIMIT, True)
    peer_s, peer = run(2 * LIMIT, False)
    rows = Model(plan.problem)
    values = rows.values(first_guess(plan.problem))
    begun = time.perf_counter()
    alone = rows.minimise(sum(rows.changed), values, LIMIT)
    count_s = time.perf_counter() - begun
    rows.model.minimize(sum(rows.changed))
    highs_s, value, bound = in_highs(rows.model.proto, PEER_LIMIT_S)
    is_proven = ours.changed == ours.bound  # the fewest while the lifts stay; the fewest alone is proven apart
    assert block.proof.objective == ours.changed and block.proof.bound == ours.bound_alone
    numbers = f"{whole_s:8.2f} {ours_s:8.2f} {peer_s:8.2f} {count_s:8.2f} {highs_s:8.2f}"
    ours_told = f"{ours.changed:5d} {ours.bound:5d} {ours.bound_alone:5d} {ours.points:6d}"
    peers_told = f"{peer.changed:5d} {peer.points:6d} {value:6.0f} {bound:6.1f}"
    print(f"{case.name:<9} {words:<30.30} {numbers} {ours_told} {peers_told} {alone.objective:5.0f}", flush=True)
    return is_proven, (ours_s / peer_s if peer_s else float("nan"))


HEADS = (
    f"{'trainee':<9} {'what happened':<30} {'whole s':>8} {'search s':>8} {'no hint':>8} {'count s':>8} {'HiGHS s':>8}"
    f" {'chg':>5} {'bound':>5} {'alone':>5} {'points':>6}"
    f" {'chg':>5} {'points':>6} {'HiGHS':>6} {'bound':>6} {'ours':>5}"
)


def main() -> None:
    """Prints the tables."""
    with tempfile.TemporaryDirectory() as scratch:
        found = list(cases(unpack(Path(scratch))))
    print("ours: changed, fewest with the lifts kept, fewest alone, points; then without a hint at twice the limit;")
    print("then HiGHS on the rows of the fewest alone (value, bound), and ours there")
    print(HEADS)
    proven, ratios = [], []
    for number, case in [*((0, one) for one in found), *((1, one) for one in found[:4:2])]:
        slug = barred(case.block, number)
        is_proven, ratio = line(case, f"{slug} barred", Asked(barred=(slug,)))
        proven.append(is_proven)
        ratios.append(ratio)
    over = statistics.median(ratios)
    print(f"# barred: proven minimal in {sum(proven)} of {len(proven)}; search over no hint {over:.2f}")
    harder = []
    for case in found[::2]:
        sessions = case.block.weeks[FROM_WEEK - 1].sessions
        harder.append(line(case, f"{sessions[-1].day} lost", Asked(lost_days=(sessions[-1].day,)))[0])
        short = {one.day: float(int(0.75 * one.minutes)) for one in sessions}
        harder.append(line(case, "three quarters of the minutes", Asked(minutes=short))[0])
    print(f"# day lost and minutes cut: proven minimal in {sum(harder)} of {len(harder)}")
    sets_only(found)


def sets_only(found: list[Case]) -> None:
    """Sets-only re-plans over full designs of the same person: nine tenths of the minutes each session takes."""
    print(f"{'trainee':<9} {'design s':>8} {'sets s':>8} {'ratio':>8} {'chg':>5} {'bound':>5}")
    ratios = []
    for case in found:
        longest: dict[str, float] = {}
        for week in case.block.weeks[FROM_WEEK - 1 :]:
            for one in week.sessions:
                longest[one.day] = max(longest.get(one.day, 0.0), one.minutes)
        minutes = {day: float(int(0.9 * most)) for day, most in longest.items()}
        times = []
        for _ in range(3):
            started = time.perf_counter()
            block = reshape_block(
                case.block, Asked(minutes=minutes, sets_only=True), catalogue(), case.estimates, FROM_WEEK, LIMIT
            )
            times.append(time.perf_counter() - started)
        ratios.append(statistics.median(times) / case.design_s)
        told = f"{case.design_s:8.2f} {statistics.median(times):8.2f} {ratios[-1]:8.3f}"
        print(f"{case.name:<9} {told} {block.proof.objective:5.0f} {block.proof.bound:5.0f}", flush=True)
    print(f"# sets only over a full design: median {statistics.median(ratios):.3f}, worst {max(ratios):.3f}")


if __name__ == "__main__":
    main()
