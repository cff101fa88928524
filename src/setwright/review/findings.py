"""What a review noticed: each finding with its evidence, how sure it is, and what would settle it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import floor

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAYS
from setwright.plan.block import Block
from setwright.plan.block_days import session_date, week_start
from setwright.review.believed import from_pairs
from setwright.review.bout_progress import bout_findings
from setwright.review.bouts import BoutDone, bouts_done
from setwright.review.calls import pairs_of, repeats_the_plan, reserves_not_there
from setwright.review.changed_then import changed_then, with_what_changed
from setwright.review.conditioning import Conditioning, conditioning_done
from setwright.review.decline import decline_of
from setwright.review.finding import Finding, number_of
from setwright.review.gains import did_not_gain, spans_enough, verdict_of
from setwright.review.load_monitoring import (
    HALF_LIVES_DAYS,
    DayLoad,
    WeekLoad,
    WeightedLoad,
    daily_loads,
    week_load,
    weighted_load,
)
from setwright.review.pain import RegionPain, pain_by_region
from setwright.review.pain_findings import pain_findings, red_flag_notes
from setwright.review.pieces import PiecesDone, pieces_done
from setwright.review.progress import planned_standings
from setwright.review.set_targets import GroupWeek, sets_against_target
from setwright.review.shown_strength import another_machine, leans_still, shown_by_lift, standing_still
from setwright.review.slow_and_fast import SlowAndFast, slow_and_fast_of_log
from setwright.review.tired import morning_counts, time_away, tired_all_round
from setwright.review.volume import WeekDone, done_by_week
from setwright.review.week_findings import falling, return_shares, return_too_fast, too_few_sets
from setwright.review.wellness import WellnessDay, wellness_days, wellness_findings
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log


@dataclass(frozen=True)
class Review:
    """All of one review: weeks done, their loads, findings by weight; then what was looked at day by day.

    ``days``: the load of every day; ``weighted``: its weighted averages. ``pains``: by region, the most urgent first.
    ``conditioning``: every row of it with its energy; ``bouts``: every bout of several movements with its score;
    ``pieces``: every bout that is logged piece by piece;
    ``wellness``: every morning answered.
    ``return_shares``: after a break, by week: the share of a usual week that the published ramp gives, and that done.
    ``sets_asked``: counted sets of each group by week against the band that the brief asks for.
    ``slow_and_fast``: the two parts of a lift's course, or why they can't be told apart; None where nothing was lifted.
    """

    weeks: tuple[WeekDone, ...]
    loads: tuple[WeekLoad, ...]
    findings: tuple[Finding, ...]
    days: tuple[DayLoad, ...] = ()
    weighted: tuple[WeightedLoad, ...] = ()
    conditioning: tuple[Conditioning, ...] = ()
    wellness: tuple[WellnessDay, ...] = ()
    pains: tuple[RegionPain, ...] = ()
    slow_and_fast: SlowAndFast | None = None
    return_shares: dict[int, tuple[float, float]] = field(default_factory=dict)
    bouts: tuple[BoutDone, ...] = ()
    sets_asked: tuple[GroupWeek, ...] = ()
    pieces: tuple[PiecesDone, ...] = ()


def review_block(
    block: Block,
    log: Log,
    estimates: Estimates,
    catalogue: Catalogue,
    before: Log | None = None,
    half_lives: Sequence[float] = HALF_LIVES_DAYS,
) -> Review:
    """What the log says about the block so far. Estimates must rest on the same log.

    before : rows from before the block; they count for what is usual (load, mornings, pain), not for what was planned
    half_lives : days after which a day weighs half as much, one weighted average of load each
    """
    weeks = done_by_week(block, log, catalogue)
    loads = tuple(week_load(log.sessions, week_start(block, week.number)) for week in weeks)
    earlier = before or Log()
    whole = Log((*earlier.sets, *log.sets), (*earlier.sessions, *log.sessions))
    dates = [*(one.date for one in whole.sets), *(one.date for one in whole.sessions)]
    person = block.inputs.trainee
    days = daily_loads(whole.sessions, min(dates), max(dates)) if dates else ()
    rated = next((number for number, one in enumerate(days) if one.sessions), len(days))
    weighted = tuple(one for life in half_lives if (one := weighted_load(days[rated:], life)) is not None)
    mornings = wellness_days(whole.sessions)
    pains = pain_by_region(whole, person.restrictions, catalogue, max(dates)) if dates else ()
    bouts = bouts_done(block, log, catalogue)
    shown, pairs = shown_by_lift(block, log, estimates), pairs_of(block, log)
    told = with_long_trends(estimates, leans_still(shown))
    findings = [
        *red_flag_notes(log, catalogue),
        *pain_findings(pains, catalogue),
        *decline_of(block, log, estimates, catalogue),
        *doubtful_sets(estimates, catalogue),
        *missed_sessions(weeks, block),
        *moved_sessions(weeks),
        *missed_reps(weeks, catalogue),
        *effort_off(weeks, catalogue),
        *falling(told, catalogue),
        *trends(told, catalogue),
        *standing_still(shown),
        *another_machine(shown, catalogue),
        *repeats_the_plan(pairs),
        *reserves_not_there(pairs, catalogue, from_pairs(pairs).off),
        *time_away(block, weeks, mornings),
        *(tired_all_round(shown, mornings, weeks, max(dates)) if dates else ()),
        *too_few_sets(weeks),
        *return_too_fast(block, weeks),
        *flat_weeks(loads, weeks),
        *unrated_sessions(loads, weeks),
        *(wellness_findings(mornings) if morning_counts(mornings) else ()),
        *progress_findings(block, log, catalogue),
        *bout_findings(bouts),
    ]
    findings = with_what_changed(together(findings), changed_then(block, weeks, mornings))
    findings.sort(key=lambda one: (-one.weight, one.kind, one.about))
    return Review(
        weeks,
        loads,
        tuple(findings),
        days,
        weighted,
        conditioning_done(log.sets, person.body_mass_kg, catalogue),
        mornings,
        pains,
        slow_and_fast_of_log(whole, days, catalogue),
        return_shares(block, weeks),
        bouts,
        sets_against_target(block, weeks, catalogue),
        pieces_done(block, log, catalogue),
    )


MANY_MOVED = 2
LEAST_SHORT = 2  # repetitions, from which a load steps back, too
# Repetitions: a day's form alone is 0.8 (2.5 % at 0.032 a repetition), so one lift in two is a whole one off some day.
CLEARLY_OFF, STILL_OFF = 1.5, 1.0  # on average over the newest sessions, and in each of the newest three
LEAST_SESSIONS, EFFORT_SESSIONS = 3, 4
MANY = 2  # lifts with the same finding that are said in one breath
SAID_TOGETHER = ("easier than planned", "harder than planned", "not told from noise")


def together(findings: Sequence[Finding]) -> list[Finding]:
    """The findings with those that many lifts share said once, each lift with its own figures."""
    kept = [one for one in findings if one.kind not in SAID_TOGETHER]
    for kind in SAID_TOGETHER:
        same = [one for one in findings if one.kind == kind]
        if len(same) < MANY:
            kept += same
            continue
        first = [one.evidence.split(" (")[0].removesuffix(".") for one in same]
        words = "; ".join(f"{one.about} {figure}" for one, figure in zip(same, first, strict=True))
        words = words[:1].upper() + words[1:] + "."
        kept.append(Finding(kind, f"{len(same)} lifts", words, None, same[0].settles_it, same[0].weight))
    return kept


def doubtful_sets(estimates: Estimates, catalogue: Catalogue) -> list[Finding]:
    """Logged sets that can hardly be true; they hardly count until they are checked."""
    found = []
    for slug, lift in sorted(estimates.lifts.items()):
        if not lift.doubtful:
            continue
        first = lift.doubtful[0]
        now = lift.posterior.one_rm()
        low, high = now.p10 - lift.body_part_kg, now.p90 - lift.body_part_kg
        count = len(lift.doubtful)
        found.append(
            Finding(
                "check this set" if count == 1 else "check these sets",
                catalogue.get(slug).name,
                f"{first.load_kg - lift.body_part_kg:g} kg x {first.reps} on {first.date.isoformat()}"
                + (f" and {count - 1} more" if count > 1 else "")
                + f" lies far from what is known (one-repetition maximum between {low:.0f} and {high:.0f} kg).",
                None,
                "Check load and unit. It hardly counts until then; a set that is real goes into the trainee file "
                "as a baseline.",
                90,
            )
        )
    return found


def missed_sessions(weeks: Sequence[WeekDone], block: Block) -> list[Finding]:
    """Sessions that were due and left no trace."""
    missed = [(week.number, day) for week in weeks for day in week.missed]
    if not missed:
        return []
    planned = sum(week.sessions_planned for week in weeks)
    words = ", ".join(
        f"{day} of week {number} ({session_date(block, number, day).isoformat()})" for number, day in missed
    )
    return [
        Finding(
            "missed sessions",
            f"{len(missed)} of {planned}",
            words + ".",
            None,
            "Ask whether they were missed or not logged.",
            60 if len(missed) > 1 else 40,
        )
    ]


def moved_sessions(weeks: Sequence[WeekDone]) -> list[Finding]:
    """Sessions that were done on another day of their week; once is no news."""
    moved = [one for week in weeks for one in week.sessions if one.status == "moved" and one.done_on is not None]
    if len(moved) < MANY_MOVED:
        return []
    words = ", ".join(f"{one.day} of week {one.week} on {DAYS[one.done_on.weekday()]}" for one in moved if one.done_on)
    planned = sum(week.sessions_planned for week in weeks)
    asks = "Ask whether other days suit better; reshape moves them."
    return [Finding("moved sessions", f"{len(moved)} of {planned}", words + ".", None, asks, 25)]


def unrated_sessions(loads: Sequence[WeekLoad], weeks: Sequence[WeekDone]) -> list[Finding]:
    """Weeks with sessions that lack RPE or minutes: their load counts as 0, so the week looks easier than it was."""
    found = [(week.number, load.unrated) for load, week in zip(loads, weeks, strict=True) if load.unrated]
    if not found:
        return []
    words = ", ".join(f"{number_of(count, 'session')} of week {number}" for number, count in found)
    words = f"No RPE or no minutes: {words}. They count as 0, so load, monotony and strain are off."
    asks = "Ask for both about half an hour after each session."
    return [Finding("load not whole", number_of(len(found), "week"), words, None, asks, 22)]


def missed_reps(weeks: Sequence[WeekDone], catalogue: Catalogue) -> list[Finding]:
    """Lifts whose repetitions fell short of the range in the last week they were done; one alone is a day's form."""
    last: dict[str, tuple[int, int, int]] = {}
    for week in weeks:
        for entry in week.entries:
            if entry.sets_done:
                number, short, sets = last.get(entry.exercise, (week.number, 0, 0))
                if number != week.number:
                    short, sets = 0, 0
                last[entry.exercise] = (week.number, short + entry.reps_short, sets + entry.sets_done)
    return [
        Finding(
            "missed repetitions",
            catalogue.get(slug).name,
            f"{short} repetitions under the range in {sets} sets of week {number}.",
            None,
            "One more session at the same load tells a bad day from a load that is too high.",
            70,
        )
        for slug, (number, short, sets) in sorted(last.items())
        if short >= LEAST_SHORT
    ]


def effort_off(weeks: Sequence[WeekDone], catalogue: Catalogue) -> list[Finding]:
    """Lifts that were called clearly easier or harder than planned in each of the newest three sessions."""
    gaps: dict[str, list[float]] = {}
    for week in weeks:
        for entry in week.entries:
            if entry.rir_gap is not None:
                gaps.setdefault(entry.exercise, []).append(entry.rir_gap)
    found = []
    for slug, every in sorted(gaps.items()):
        rows = every[-EFFORT_SESSIONS:]
        mean = sum(rows) / len(rows)
        is_still_off = all(row * mean > 0 and abs(row) >= STILL_OFF for row in rows[-LEAST_SESSIONS:])
        if len(rows) >= LEAST_SESSIONS and abs(mean) >= CLEARLY_OFF and is_still_off:
            way, more = ("easier", "more") if mean > 0 else ("harder", "fewer")
            found.append(
                Finding(
                    f"{way} than planned",
                    catalogue.get(slug).name,
                    f"{abs(mean):.1f} repetitions {more} left than planned, over {number_of(len(rows), 'session')}.",
                    None,
                    "A last set to the planned reserve with somebody watching.",
                    35 if mean > 0 else 50,
                )
            )
    return found


def with_long_trends(estimates: Estimates, leans_still: bool) -> Estimates:
    """The estimates without the bad news of trends that rest on too few weeks; what is surely gained stays.

    leans_still : False where all lifts together speak for gains; then one lift is told only from where it surely fell
    """
    lifts = {}
    for slug, lift in estimates.lifts.items():
        is_short = not spans_enough(one.date for one in estimates.evidence.get(slug, ()))
        is_alone = not leans_still and lift.gained is not None and verdict_of(lift.gained) == "no gain"
        is_early = did_not_gain(lift.gained) and (is_short or is_alone)
        lifts[slug] = replace(lift, trend_per_week=None, gained=None) if is_early else lift
    return replace(estimates, lifts=lifts)


def trends(estimates: Estimates, catalogue: Catalogue) -> list[Finding]:
    """Lifts that changed beyond noise, and lifts that probably did not gain."""
    found = []
    for slug, lift in sorted(estimates.lifts.items()):
        trend = lift.trend_per_week
        gained = lift.gained
        if trend is None or gained is None:
            continue
        name = catalogue.get(slug).name
        now = lift.posterior.one_rm()
        low, high = now.p10 - lift.body_part_kg, now.p90 - lift.body_part_kg
        evidence = (
            f"{round(trend.mean, 1) + 0.0:+.1f} kg a week (between {trend.p10:+.1f} and {trend.p90:+.1f}); "
            f"one-repetition maximum now between {low:.0f} and {high:.0f} kg."
        )
        verdict = verdict_of(gained)
        if verdict == "gaining":
            found.append(Finding("gaining", name, evidence, round(gained, 2), "Nothing: go on.", 20))
        elif verdict == "no gain":
            found.append(
                Finding(
                    "no gain",
                    name,
                    evidence,
                    round(1 - gained, 2),
                    "Two more weeks of logged sets, or a set to the planned reserve.",
                    55,
                )
            )
        elif verdict == "not told from noise":
            found.append(
                Finding(
                    "not told from noise",
                    name,
                    f"{evidence} Chance that it rose: {floor(100 * gained)} %.",
                    None,
                    "More logged sets; the change is inside the measurement noise.",
                    10,
                )
            )
    return found


def flat_weeks(loads: Sequence[WeekLoad], weeks: Sequence[WeekDone]) -> list[Finding]:
    """Weeks whose days were so alike that monotony passed 2 (rule M03, widely repeated, from memory)."""
    return [
        Finding(
            "monotonous week",
            f"week {week.number}",
            f"Monotony {load.monotony:.1f} (mean over deviation, n-1), load {load.load_au:.0f}.",
            None,
            "Harder hard days and easier easy ones; it says nothing about injury.",
            15,
        )
        for load, week in zip(loads, weeks, strict=True)
        if load.monotony is not None and load.monotony > 2.0
    ]


STEP_WEIGHTS = {"step back": 85, "sideways": 65, "step up": 62, "small step": 58, "top reached": 30}


def progress_findings(block: Block, log: Log, catalogue: Catalogue) -> list[Finding]:
    """What the log says of the progressions that the block plans: up, a small step, back, sideways."""
    found = []
    for one in planned_standings(block, log, catalogue).values():
        if one.verdict not in STEP_WEIGHTS:
            continue
        about = f"{one.climb.title}, step {one.place} of {len(one.way)}"
        why = one.why[:1].upper() + one.why[1:].rstrip(".") + "."
        now, to = (catalogue.get(slug).name if slug else "" for slug in (one.step.exercise, one.exercise))
        unsaid = [name for name in (now, to) if name and name.lower() not in why.lower()]
        where = f"{now[:1].upper()}{now[1:]}{f', to {to}' if to not in ('', now) else ''}. " if unsaid else ""
        evidence = f"{where}{why} Log: {one.evidence}." if one.evidence else f"{where}{why}"
        found.append(Finding(one.verdict, about, evidence, None, one.asks, STEP_WEIGHTS[one.verdict]))
    return found
