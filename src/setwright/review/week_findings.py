"""What whole weeks come to: muscles that got too little, a return that went too fast, strength that falls."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block
from setwright.plan.weeks import RETURN_SHARES
from setwright.review.finding import Finding, number_of, one_or_many
from setwright.review.gains import verdict_of
from setwright.review.volume import WeekDone
from setwright.strength.estimates import Estimates

LEAST_SETS = 4.0  # counted sets of a muscle a week; rule V02, Iversen et al. 2021
BREAK_WEEKS = 2.0
NAMED = 5  # muscles that a finding names
ONE_EACH = 1.0  # sets for each session that a return may be over, as the rule for planned weeks (D01) lets pass


def too_few_sets(weeks: Sequence[WeekDone]) -> list[Finding]:
    """Muscles that were planned at four counted sets a week or more and got fewer, in weeks that are over.

    A week without a single logged set says nothing of them: it is missed, or was not written down.
    """
    short: dict[str, list[str]] = {}
    for week in (one for one in weeks if one.credits):
        for muscle, (_, planned) in sorted(week.credits_planned.items()):
            done = week.credits.get(muscle, (0.0, 0.0))[1]
            if week.is_over and planned >= LEAST_SETS > done:
                short.setdefault(muscle, []).append(f"{done:g} of {planned:g} in week {week.number}")
    if not short:
        return []
    longest = sorted(short.items(), key=lambda one: -len(one[1]))
    words = "; ".join(f"{muscle_groups()[muscle].label} {', '.join(rows)}" for muscle, rows in longest[:NAMED])
    words += f"; and {len(longest) - NAMED} more" if len(longest) > NAMED else ""
    evidence = f"Counted sets, done of planned: {words}. Fewer than {LEAST_SETS:g} a week keep little (Iversen 2021)."
    asks = "Ask what came between; the sets are not to be made up in one session."
    return [Finding("too few sets", number_of(len(short), "muscle"), evidence, None, asks, 33)]


def return_shares(block: Block, weeks: Sequence[WeekDone]) -> dict[int, tuple[float, float]]:
    """For each of the first weeks after a break: the most that the published ramp gives, and what was done.

    Both as shares of the sets of a usual week: the fullest planned week, or what the last stands for inside the ramp.
    Empty for who had no break of two weeks. Source: CSCCa/NSCA 2019 (50, 70, 80, 90 %; seen as a digest).
    """
    if block.inputs.trainee.weeks_off < BREAK_WEEKS:
        return {}
    planned = [planned_sets(block, number) for number in range(len(block.weeks))]
    inside = 0 < len(planned) <= len(RETURN_SHARES)
    usual = max([*planned, planned[-1] / RETURN_SHARES[len(planned) - 1] if inside else 0.0], default=0.0)
    if usual <= 0:
        return {}
    ramp = dict(enumerate(RETURN_SHARES, start=1))
    return {week.number: (ramp[week.number], week.sets_done / usual) for week in weeks if week.number in ramp}


def planned_sets(block: Block, row: int) -> float:
    """Working sets of a week of the block, by its place."""
    return float(
        sum(
            one.kind != "ramp"
            for session in block.weeks[row].sessions
            for part in session.parts
            if part.part not in ("warm-up", "loaded-mobility", "conditioning")
            for entry in part.entries
            for one in entry.sets
        )
    )


def return_too_fast(block: Block, weeks: Sequence[WeekDone]) -> list[Finding]:
    """Weeks after a break in which more was done than the published ramp gives."""
    found = []
    for week in weeks:
        most, done = return_shares(block, weeks).get(week.number, (0.0, 0.0))
        slack = ONE_EACH * week.sessions_done * done / week.sets_done if week.sets_done else 0.0
        if most and done > most + slack:
            words = f"{week.sets_done} sets, {100 * done:.0f} % of a usual week; the ramp gives {100 * most:.0f} %."
            asks = "Less next week: after a break the first four weeks hold 50, 70, 80, 90 % (CSCCa/NSCA 2019)."
            found.append(Finding("return too fast", f"week {week.number}", words, None, asks, 72))
    return found


def falling(estimates: Estimates, catalogue: Catalogue) -> list[Finding]:
    """Lifts that surely fell over two weeks or more, said once: no rule of a program answers that."""
    lifts = [
        (catalogue.get(slug).name, one.trend_per_week, one.gained)
        for slug, one in sorted(estimates.lifts.items())
        if one.gained is not None and one.trend_per_week is not None and verdict_of(one.gained) == "falling"
    ]
    if not lifts:
        return []
    words = "; ".join(f"{name} {trend.mean:+.1f} kg a week" for name, trend, _ in lifts)
    asks = (
        "Easy days first. If it goes on for two weeks in spite of them, stop changing the plan by rule, ask what else "
        "is going on, and see a doctor (Meeusen 2013). This is no diagnosis."
    )
    sure = round(1 - max(gained for _, _, gained in lifts), 2)
    about = one_or_many([name for name, _, _ in lifts], "lift")
    return [Finding("getting weaker", about, f"{words}, over two weeks or more.", sure, asks, 78)]
