"""A review for a terminal, in a coach's words: one sentence, the findings, then week by week and day by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.body.anatomy import muscle_groups
from setwright.people.trainee import DAYS
from setwright.publish.bout_words import metres_text, pace_clock, shared_text, target_text
from setwright.publish.terminal import WIDTH, fill
from setwright.publish.units import Unit, in_unit
from setwright.publish.words import counted
from setwright.review.as_json import belongs
from setwright.review.bouts import BoutDone
from setwright.review.conditioning import Conditioning
from setwright.review.energy import KJ_PER_KCAL
from setwright.review.finding import Finding
from setwright.review.findings import Review
from setwright.review.load_monitoring import WeekLoad, WeightedLoad
from setwright.review.pieces import PiecesDone
from setwright.review.slow_and_fast import LEAST_MEASURES, SlowAndFast
from setwright.review.volume import WeekDone
from setwright.review.week_findings import NAMED
from setwright.review.wellness import WellnessDay

WEEK_HEADS = ("Week", "Sessions", "Minutes", "Sets", "Reps", "Effort", "Load", "Monotony")
LOAD_WORDS = "Effort: RPE as called. Load: RPE x minutes, rest days 0. Monotony: how alike the days were."
URGENT = 80  # weight of a finding that comes before everything else
TOGETHER, MANY = ("gaining", "no gain"), 3  # kinds of findings, and so many lifts, that are said in one breath
MOST_TOLD = 4  # lifts or muscles of one finding; the page and --json have them all
NOTHING = "The log holds nothing of this block yet."
SHORT_BY = 1.0  # counted sets of a muscle under the plan, from which a week says so


def review_text(found: Review, unit: Unit = "kg") -> str:
    """The headline, findings, then a line for each week and what was told day by day."""
    if not found.weeks:
        return NOTHING
    lines = [fill(headline(found)), ""]
    told = told_findings(found.findings)
    many = ", most important first:" if len(told) > 1 else ":"
    lines.append(counted(len(told), "finding") + many if told else "No findings.")
    for number, one in enumerate(told, start=1):
        sure = "" if one.probability is None else f" ({100 * one.probability:.0f} % sure)"
        lines.append(fill(f"{number}. {one.kind}: {one.about}{sure}", hang="   "))
        lines.append(fill(few(in_unit(one.evidence, unit)), "   ", ""))
        lines.append(fill("-> " + in_unit(one.settles_it, unit), "   "))
    lines += ["", "Weeks: done (planned)", *columns(weeks_table(found))]
    if any(one.load_au for one in found.loads):
        lines.append(fill(LOAD_WORDS))
    if found.bouts or found.pieces:
        lines += ["", "Conditioning, bout by bout", *(fill(one, "  ") for one in bout_lines(found)), ""]
    days = [weighted_text(found.weighted), morning_text(found.wellness), parts_text(found.slow_and_fast)]
    lines += [fill(text) for text in (*week_remarks(found), *days) if text]
    return "\n".join(lines)


def headline(found: Review) -> str:
    """The review in one sentence: what was done, what grows or falls, and what to look at first."""
    if not found.weeks:
        return NOTHING
    planned = sum(week.sessions_planned for week in found.weeks)
    done = sum(week.sessions_done for week in found.weeks)
    numbers = [week.number for week in found.weeks]
    when = f"week {numbers[0]}" if len(numbers) == 1 else f"weeks {numbers[0]} to {numbers[-1]}"
    kinds = [one.kind for one in found.findings]
    said = [f"{done} of {counted(planned, 'session')} done in {when}"]
    falling = next((one.about for one in found.findings if one.kind == "getting weaker"), "")
    if falling:
        said.append(f"{falling} getting weaker")
    if "gaining" in kinds:
        gaining = [one.about for one in found.findings if one.kind == "gaining"]
        said.append(f"{gaining[0]} gaining" if len(gaining) == 1 else f"{counted(len(gaining), 'lift')} gaining")
    if not found.findings:
        return ", ".join(said) + "; nothing stands out."
    first = found.findings[0]
    look = f"{first.kind.rstrip('?')}, {first.about.split(', ')[0]}"
    if first.weight >= URGENT:
        return f"{look[:1].upper()}{look[1:]}: look at this first; {', '.join(said)}."
    return f"{', '.join(said)}; first to look at: {look}."


def told_findings(findings: Sequence[Finding]) -> list[Finding]:
    """The findings as they are read: lifts that gain, and lifts that do not, are each said in one breath."""
    told: list[Finding] = []
    for one in findings:
        same = [other for other in findings if other.kind == one.kind]
        if one.kind not in TOGETHER or len(same) < MANY:
            told.append(one)
        elif one is same[0]:
            said = "; ".join(f"{each.about} {each.evidence.split(' (')[0].removesuffix('.')}" for each in same)
            told.append(
                replace(one, about=f"{len(same)} lifts", evidence=f"{said[:1].upper()}{said[1:]}.", probability=None)
            )
    return told


def few(evidence: str) -> str:
    """Evidence of many lifts or muscles with the first of them, and how many more there are.

    >>> few("Squat +1 kg; press +2 kg; row +1 kg; curl +0 kg; dip +1 kg; chin-up +1 kg.")
    'Squat +1 kg; press +2 kg; row +1 kg; curl +0 kg; and 2 more.'
    """
    parts = evidence.split("; ")
    if len(parts) <= MOST_TOLD + 1:
        return evidence
    return "; ".join(parts[:MOST_TOLD]) + f"; and {len(parts) - MOST_TOLD} more."


def weeks_table(found: Review) -> list[list[str]]:
    """Heads, then a row for each week: done, and planned in brackets; what no week tells of has no column."""
    rows = [week_row(week, load) for week, load in zip(found.weeks, found.loads, strict=True)]
    kept = [n for n in range(len(WEEK_HEADS)) if any(row[n] for row in rows)]
    return [[WEEK_HEADS[n] for n in kept], *([row[n] or "-" for n in kept] for row in rows)] if rows else []


def week_row(week: WeekDone, load: WeekLoad) -> list[str]:
    """One week as cells, in the order of the heads; empty where nothing is told."""
    minutes = "" if week.minutes_done is None else f"{week.minutes_done:.0f} ({week.minutes_planned:.0f})"
    reps = week.reps_planned
    effort = "" if week.rpe_called is None else f"{week.rpe_called:.1f} ({week.rpe_planned:g})"
    return [
        str(week.number) + ("" if week.is_over else " now"),
        f"{week.sessions_done} ({week.sessions_planned})",
        minutes,
        f"{week.sets_done} ({week.sets_planned})",
        "" if reps is None else f"{week.reps_done} ({reps[0]}-{reps[1]})",
        effort,
        f"{load.load_au:.0f}" if load.load_au else "",
        "" if load.monotony is None or not load.load_au else f"{load.monotony:.1f}",
    ]


def columns(rows: list[list[str]]) -> list[str]:
    """Rows of cells as lines, each column as wide as its widest cell; closer where the lines would be too long."""
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))] if rows else []
    gap = "  " if sum(widths) + 2 * len(widths) <= WIDTH else " "
    return [
        (gap + gap.join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))).rstrip() for row in rows
    ]


def week_remarks(found: Review) -> list[str]:
    """What the table of weeks has no column for, a sentence for each week that has something to tell."""
    said = []
    for week in found.weeks:
        parts = [text for text in (beside_text(week, found.conditioning, found.bouts), short_text(week)) if text]
        said += [f"Week {week.number}: {' '.join(parts)}"] if parts else []
    return said


def beside_text(week: WeekDone, rows: tuple[Conditioning, ...], bouts: tuple[BoutDone, ...] = ()) -> str:
    """Moved sessions, warm-up, fillers, conditioning, and when the sessions began; empty where nothing is told."""
    beside = [f"{counted(len(week.moved), 'session')} moved"] if week.moved else []
    if week.warm_up is not None:
        beside.append(f"warm-up {week.warm_up[0]} of {counted(week.warm_up[1], 'drill')}")
    if week.fillers is not None:
        beside.append(f"fillers {week.fillers[0]} of {week.fillers[1]}")
    conditioning = conditioning_text(week, rows, bouts)
    if conditioning:
        beside.append(conditioning)
    times = [f"{DAYS[one.done_on.weekday()]} {one.time}" for one in week.sessions if one.time and one.done_on]
    if times:
        beside.append("began " + ", ".join(times))
    return f"{', '.join(beside)}." if beside else ""


def bout_lines(found: Review, newest_first: bool = False) -> list[str]:
    """Every bout with what came out of it, by its date: by score, or by its pieces. Those of a day in their order."""
    told = [(one.date, bout_line(one, found.bouts)) for one in found.bouts]
    told += [(one.date, piece_line(one, found.pieces)) for one in found.pieces]
    return [text for _, text in sorted(told, key=lambda one: one[0], reverse=newest_first)]


def piece_line(one: PiecesDone, every: Sequence[PiecesDone]) -> str:
    """One bout by pieces: how many were done, what they came to beside the target, and the like ones before them."""
    asked = target_text(one.bout.target)
    text = f"Week {one.week}, {one.day}, {one.name}, {one.done} of {counted(one.planned, 'piece')}: "
    text += measured_text(one) or "nothing measured"
    text += f", {one.against} ({asked})" if one.against else f" (asked: {asked})" if asked else ""
    like = [old for old in every if old.date < one.date and (old.exercise, old.bout) == (one.exercise, one.bout)]
    before = [told for old in like if (told := measured_text(old))]
    return f"{text}; last time {before[-1]}." if before else f"{text}."


def measured_text(one: PiecesDone) -> str:
    """What was measured of the pieces, on average; empty for nothing."""
    told = [] if one.pace_s is None else [f"{pace_clock(one.pace_s)} per {metres_text(one.per_m)}"]
    told += [] if one.power_w is None else [f"{one.power_w:.0f} W"]
    told += [] if one.heart_rate is None else [f"heart rate {one.heart_rate:.0f}"]
    return ", ".join(told)


def bout_line(one: BoutDone, every: Sequence[BoutDone]) -> str:
    """One bout: what it was, its score, what that comes to, its energy, and the score of the like one before it."""
    letter = f" {one.letter}" if one.letter else ""
    text = f"Week {one.week}, {one.day}{letter}, {shared_text(one.bout)}: "
    if one.score is None:
        return f"{text}no score written."
    text += one.score.said
    done = [f"{count} x {one.names[slug]}" for slug, count in one.reps.items()]
    done += [f"{metres:g} m {one.names[slug]}" for slug, metres in one.metres.items()]
    text += f" ({', '.join(done)})" if done else ""
    text += f", {one.minutes:.0f} min" if one.minutes is not None else ""
    if one.kcal is not None:
        best, low, high = one.kcal
        text += f", about {best:.0f} kcal ({low:.0f} to {high:.0f})"
    before = [old.score for old in every if old.date < one.date and is_like(old, one) and old.score is not None]
    if before:
        text += f"; last time {before[-1].said}"
    return f"{text}."


def is_like(old: BoutDone, new: BoutDone) -> bool:
    """True for the same bout done again: same format, numbers and movements."""
    return (replace(old.bout, likely_s=None), old.movements) == (replace(new.bout, likely_s=None), new.movements)


def conditioning_text(week: WeekDone, rows: tuple[Conditioning, ...], bouts: tuple[BoutDone, ...] = ()) -> str:
    """Minutes of conditioning in a week and what they cost, or an empty text."""
    mine = [one for one in rows if belongs(one, week)]
    here = [one for one in bouts if one.week == week.number]
    minutes = sum(one.minutes or 0.0 for one in mine) + sum(one.minutes or 0.0 for one in here)
    kcal = sum(one.kcal or 0.0 for one in mine) + sum(one.kcal[0] for one in here if one.kcal is not None)
    if not minutes:
        return ""
    return f"conditioning {minutes:.0f} min" + (
        f", about {kcal:.0f} kcal ({kcal * KJ_PER_KCAL:.0f} kJ)" if kcal else ""
    )


def short_text(week: WeekDone) -> str:
    """The muscles whose counted sets came clearly short in a week that is over, or an empty text."""
    if not week.is_over or not week.credits:
        return ""
    short: list[tuple[float, str]] = []
    for muscle, (_, planned) in sorted(week.credits_planned.items()):
        done = week.credits.get(muscle, (0.0, 0.0))[1]
        if done <= planned - SHORT_BY:
            short.append((done - planned, f"{muscle_groups()[muscle].label} {done:g} of {planned:g}"))
    if not short:
        return ""
    more = f" and {len(short) - NAMED} more" if len(short) > NAMED else ""
    return "counted sets short: " + ", ".join(text for _, text in sorted(short)[:NAMED]) + more + "."


def weighted_text(weighted: tuple[WeightedLoad, ...]) -> str:
    """The weighted averages of daily load, with their half lives; empty where no session was rated."""
    if not weighted:
        return ""
    said = ", ".join(f"{one.load_au:.0f} a day (half life {round(one.half_life_days, 1):g} days)" for one in weighted)
    days = weighted[0].days
    few = "" if weighted[0].is_enough else ", too few to lean on"
    return f"Load with newer days weighing more: {said}. Rests on {counted(days, 'day')}{few}."


def morning_text(days: tuple[WellnessDay, ...]) -> str:
    """The newest morning against the own usual; empty where none was answered."""
    if not days:
        return ""
    last = days[-1]
    way = "high is good" if last.good_is_high else "high is bad"
    if last.usual is None:
        against = f"not yet to be told from usual ({counted(last.earlier_days, 'earlier day')})"
    else:
        against = f"{last.against} (own usual {last.usual:.1f})"
    return (
        f"Morning of {last.date.isoformat()}: {last.score:g} of {last.lowest:g} to {last.highest:g} ({way}), {against}."
    )


def parts_text(found: SlowAndFast | None) -> str:
    """The slow and the fast part of the lift most measured; empty where there are few measures."""
    if found is None or len(found.measures) < LEAST_MEASURES:
        return ""
    name = found.exercise.replace("_", " ")
    if not found.is_shown or found.slow_days is None or found.fast_days is None:
        return f"Slow and fast part of {name}: not shown, {found.why}."
    slow, fast = found.slow_days, found.fast_days
    return (
        f"Slow part of {name}: fades over {slow.best:.0f} days ({slow.low:.0f} to {slow.high:.0f}). "
        f"Fast part: over {fast.best:.0f} days ({fast.low:.0f} to {fast.high:.0f})."
    )
