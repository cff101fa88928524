"""A review for a terminal, in a coach's words: each week done against planned, load, mornings, then the findings."""

from __future__ import annotations

from setwright.body.anatomy import muscle_groups
from setwright.people.trainee import DAYS
from setwright.publish.terminal import fill
from setwright.publish.units import Unit, in_unit
from setwright.publish.words import counted
from setwright.review.as_json import belongs
from setwright.review.conditioning import Conditioning
from setwright.review.energy import KJ_PER_KCAL
from setwright.review.findings import Review
from setwright.review.load_monitoring import WeekLoad, WeightedLoad
from setwright.review.slow_and_fast import LEAST_MEASURES, SlowAndFast
from setwright.review.volume import WeekDone
from setwright.review.week_findings import NAMED
from setwright.review.wellness import WellnessDay

SHORT_BY = 1.0  # counted sets of a muscle under the plan, from which a week says so


def review_text(found: Review, unit: Unit = "kg") -> str:
    """Weeks, what was told day by day, and findings for people."""
    if not found.weeks:
        return "The log holds nothing of this block yet."
    lines = []
    for week, load in zip(found.weeks, found.loads, strict=True):
        lines.append(fill(week_line(week, load)))
        lines += [fill(text, "  ") for text in week_details(week, found.conditioning) if text]
    days = [weighted_text(found.weighted), morning_text(found.wellness), parts_text(found.slow_and_fast)]
    if any(days):
        lines += ["", *(fill(text) for text in days if text)]
    lines.append("")
    many = ", most important first:" if len(found.findings) > 1 else ":"
    lines.append(counted(len(found.findings), "finding") + many if found.findings else "No findings.")
    for number, one in enumerate(found.findings, start=1):
        sure = "" if one.probability is None else f" ({100 * one.probability:.0f} % sure)"
        lines.append(fill(f"{number}. {one.kind}: {one.about}{sure}", hang="   "))
        lines.append(fill(in_unit(one.evidence, unit), "   ", ""))
        lines.append(fill("-> " + in_unit(one.settles_it, unit), "   "))
    return "\n".join(lines)


def week_line(week: WeekDone, load: WeekLoad) -> str:
    """The first line of a week: sessions, minutes, load."""
    text = f"Week {week.number}: {week.sessions_done} of {counted(week.sessions_planned, 'session')} done"
    if week.moved:
        text += f", {len(week.moved)} of them moved"
    if week.minutes_done is not None:
        text += f", {week.minutes_done:.0f} of {week.minutes_planned:.0f} min"
    if load.load_au:
        text += f", load {load.load_au:.0f} (RPE x minutes)"
    if load.monotony is not None:
        text += f", monotony {load.monotony:.1f}"
    return text + "."


def week_details(week: WeekDone, rows: tuple[Conditioning, ...]) -> tuple[str, ...]:
    """Sets, repetitions and effort; warm-up, fillers and conditioning; when; which muscles came short."""
    said = [f"Sets {week.sets_done} of {week.sets_planned}"]
    if week.reps_planned is not None:
        said.append(f"repetitions {week.reps_done} (planned {week.reps_planned[0]} to {week.reps_planned[1]})")
    if week.rpe_called is not None:
        said.append(f"effort called RPE {week.rpe_called:.1f} (planned {week.rpe_planned:g})")
    beside = []
    if week.warm_up is not None:
        beside.append(f"warm-up {week.warm_up[0]} of {counted(week.warm_up[1], 'drill')}")
    if week.fillers is not None:
        beside.append(f"fillers {week.fillers[0]} of {week.fillers[1]}")
    conditioning = conditioning_text(week, rows)
    if conditioning:
        beside.append(conditioning)
    times = [f"{DAYS[one.done_on.weekday()]} {one.time}" for one in week.sessions if one.time and one.done_on]
    if times:
        beside.append("began " + ", ".join(times))
    first = ", ".join(beside)
    return (", ".join(said) + ".", f"{first[:1].upper()}{first[1:]}." if first else "", short_text(week))


def conditioning_text(week: WeekDone, rows: tuple[Conditioning, ...]) -> str:
    """Minutes of conditioning in a week and what they cost, or an empty text."""
    mine = [one for one in rows if belongs(one, week)]
    minutes = sum(one.minutes or 0.0 for one in mine)
    kcal = sum(one.kcal or 0.0 for one in mine)
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
    return "Counted sets short: " + ", ".join(text for _, text in sorted(short)[:NAMED]) + more + "."


def weighted_text(weighted: tuple[WeightedLoad, ...]) -> str:
    """The weighted averages of daily load, with their half lives; empty where no session was rated."""
    if not weighted:
        return ""
    said = ", ".join(f"{one.load_au:.0f} a day (half life {one.half_life_days:g} days)" for one in weighted)
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
