"""Range of motion as a coach reads it, and as JSON. No reading is called a change before it beats its error."""

from __future__ import annotations

from typing import Any

from setwright.body.range_of_motion import LEAST_OWN, MeasuringError, Occasion, RangeChange, RangeTest, SideDifference
from setwright.catalogue.store import Catalogue
from setwright.plan.range_limits import MOTION_WORDS
from setwright.plan.range_report import RangeEffect, RangeReport
from setwright.publish.terminal import fill
from setwright.publish.words import counted, date_text

MOST_NAMED = 4
TENTH = 1.2815515655 / 1.6448536270  # from 5 % and 95 % ends to 10 % and 90 %
NO_DIAGNOSIS = (
    "Readings say how far a joint goes on a day, not why: no diagnosis. Pain, locking, or range lost from one week to "
    "the next: ask a licensed clinician."
)


def unit_word(test: RangeTest) -> str:
    """``degrees`` or ``cm``."""
    return "degrees" if test.unit == "deg" else test.unit


def figure(value: float) -> str:
    """A reading to a tenth, without a needless zero."""
    return f"{round(value, 1):g}"


def sure_text(probability: float | None) -> str:
    """How sure: ``97 % sure``, never quite 100."""
    if probability is None:
        return ""
    percent = 100.0 * max(probability, 1.0 - probability)
    return "over 99 % sure" if percent > 99.0 else f"{percent:.0f} % sure"


def occasion_text(one: Occasion, unit: str) -> str:
    """``64 degrees on 12 August 2026 (2 readings)``."""
    many = f" (mean of {one.readings} readings)" if one.readings > 1 else ""
    return f"{figure(one.value)} {unit} on {date_text(one.date)}{many}"


def change_text(one: RangeChange) -> str:
    """First against last occasion of one side, in a sentence."""
    unit = unit_word(one.test)
    if one.verdict == "one occasion":
        counts = one.error.detectable(one.last.readings, 1)
        again = f"; a change counts from {figure(counts)}" if counts is not None else ""
        return f"{occasion_text(one.last, unit)}. One occasion: measure again{again}."
    moved = f"{figure(abs(one.change))} {'more' if one.change > 0 else 'less'}" if one.change else "the same"
    text = f"{occasion_text(one.first, unit)}, {occasion_text(one.last, unit)}: {moved}. "
    if one.verdict == "error not known":
        return text + repeats_needed(one.error)
    needed = figure(one.detectable or 0.0)
    if one.verdict == "not told apart":
        leaning = f" ({sure_text(one.probability)} of {'more' if one.gain > 0 else 'less'} range)" if one.gain else ""
        return f"{text}Not told apart from measuring error, {needed} here{leaning}."
    sure = sure_text(one.probability)
    return f"{text}{one.verdict.capitalize()} range: beyond the measuring error of {needed} ({sure})."


def repeats_needed(error: MeasuringError) -> str:
    """What a test without a published error still needs."""
    missing = LEAST_OWN - error.own_repeats
    return f"No published error: {counted(missing, 'more repeat')} within a week give your own."


def side_text(one: SideDifference) -> str:
    """The sides of one test, in a sentence."""
    unit = unit_word(one.test)
    if not one.difference:
        return "the same on both sides"
    lesser = "left" if one.difference > 0 else "right"
    text = f"{lesser} has {figure(abs(one.difference))} {unit} less range"
    if one.detectable is None:
        return f"{text}; the error is not known yet"
    if one.verdict == "not told apart":
        return f"{text}; not told apart from measuring error ({figure(one.detectable)})"
    return f"{text}, beyond the measuring error of {figure(one.detectable)} ({sure_text(one.probability)})"


def error_text(test: RangeTest, error: MeasuringError) -> str:
    """What one reading is uncertain by, and from where that is known."""
    own = f"{counted(error.own_repeats, 'repeat')} of your own" if error.own_repeats else ""
    if error.sem is None:
        return f"{test.source}."
    known = test.source if test.sem is not None else ""
    weak = "; weak, so read it two or three times a day" if test.is_weak and "weak" not in test.source else ""
    sources = " and ".join(one for one in (own, known) if one)
    return f"{figure(error.sem)} {unit_word(test)} a reading, from {sources}{weak}."


def limits_text(report: RangeReport, test: RangeTest) -> list[str]:
    """What a test limits here: the angle reached, and what becomes of which exercises by default."""
    found = report.reach.get(test.motion or "")
    if found is None or found.test.slug != test.slug:
        return []
    words = MOTION_WORDS.get(found.motion, found.motion.replace("-", " "))
    lines = [f"{words} {found.low:.0f} to {found.high:.0f} degrees"]
    here = [one for one in report.effects if one.motion == found.motion]
    if not here:
        return [lines[0] + "; no exercise that is open here clearly asks for more"]
    for label, kept in (
        ("with a heel wedge", [one for one in here if "heel_mm" in one.fit.dials]),
        ("less deep", [one for one in here if "range_deg" in one.fit.dials and "heel_mm" not in one.fit.dials]),
        ("not chosen unless you name it", [one for one in here if one.fit.closes]),
    ):
        if kept:
            lines.append(f"{label}: {named(kept)}")
    return lines


def named(effects: list[RangeEffect]) -> str:
    """Exercises with what is set, the first four and how many more."""
    words = []
    for one in effects[:MOST_NAMED]:
        heel, limits = one.fit.dials.get("heel_mm"), one.fit.dials.get("range_deg")
        depth = ""
        if isinstance(limits, list):
            motion = str(one.fit.dials["range_of"]).split("-")[0]
            depth = f" (to {limits[1]} degrees of the {motion})"
        words.append(one.name + (f" ({heel} mm)" if heel is not None else depth))
    more = f" and {len(effects) - MOST_NAMED} more" if len(effects) > MOST_NAMED else ""
    return ", ".join(words) + more


def range_text(report: RangeReport, catalogue: Catalogue) -> str:
    """The whole report for a terminal, 80 columns."""
    if not report.changes:
        return fill(
            "No range measure up to that day: add [[range_measures]] to the trainee file "
            "(setwright template trainee shows how)."
        )
    lines = [fill(f"Range of motion of {report.trainee.name}, as of {date_text(report.on)}.")]
    for test in report.tests:
        lines += ["", test.name[0].upper() + test.name[1:]]
        rows = [one for one in report.changes if one.test.slug == test.slug]
        sides = [one for one in report.sides if one.test.slug == test.slug]
        for one in rows:
            lines.append(fill(f"{one.side if one.side != 'both' else 'both sides'}: {change_text(one)}", "  "))
        lines += [fill(f"sides: {side_text(one)}.", "  ") for one in sides]
        lines += [fill(f"- {text}.", "  ") for text in limits_text(report, test)]
        trains = [catalogue.get(slug).name for slug in report.trains.get(test.slug, ())]
        lines.append(fill(f"- trains it: {', '.join(trains) or 'nothing that is open here'}.", "  "))
        lines.append(fill(f"- error: {error_text(test, rows[0].error)}", "  "))
        if test.how:
            lines.append(fill(f"- how: {test.how}", "  "))
    return "\n".join([*lines, "", fill(NO_DIAGNOSIS)])


def rounded(value: float | None, places: int = 3) -> float | None:
    """A figure for JSON, or null."""
    return None if value is None else round(value, places)


def range_json(report: RangeReport) -> dict[str, Any]:
    """``range --json``: readings in the unit of their test, angles in degrees, chances 0 to 1, dates ISO."""

    def occasion(one: Occasion) -> dict[str, Any]:
        return {"date": one.date.isoformat(), "value": rounded(one.value), "readings": one.readings}

    return {
        "trainee": report.trainee.id,
        "as_of": None if not report.changes else report.on.isoformat(),
        "tests": [
            {
                "test": one.test.slug,
                "name": one.test.name,
                "unit": one.test.unit,
                "side": one.side,
                "first": occasion(one.first),
                "last": occasion(one.last),
                "change": rounded(one.change),
                "gain_of_range": rounded(one.gain),
                "minimal_detectable_change": rounded(one.detectable),
                "sem": rounded(one.error.sem),
                "own_repeats": one.error.own_repeats,
                "probability_of_more_range": rounded(one.probability),
                "verdict": one.verdict,
                "source": one.test.source,
                "how_had": one.test.had,
                "weak": one.test.is_weak,
            }
            for one in report.changes
        ],
        "sides": [
            {
                "test": one.test.slug,
                "right_minus_left": rounded(one.difference),
                "minimal_detectable_change": rounded(one.detectable),
                "probability_of_more_on_the_right": rounded(one.probability),
                "verdict": one.verdict,
            }
            for one in report.sides
        ],
        "reached": [
            {
                "motion": motion,
                "deg": {
                    "mean": rounded(one.deg, 1),
                    "p10": rounded(one.deg - TENTH * (one.deg - one.low), 1),
                    "p90": rounded(one.deg + TENTH * (one.high - one.deg), 1),
                },
                "test": one.test.slug,
                "side": one.side,
                "date": one.date.isoformat(),
            }
            for motion, one in sorted(report.reach.items())
        ],
        "limits": [
            {
                "exercise": one.exercise,
                "motion": one.motion,
                "asked_deg": one.asked_deg,
                "default": "left out" if one.fit.closes else "fitted",
                "dials": dict(one.fit.dials),
                "why": one.fit.why,
            }
            for one in report.effects
        ],
        "trained_by": {slug: list(found) for slug, found in report.trains.items()},
    }
