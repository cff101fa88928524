"""What a review noticed: each finding with its evidence, how sure it is, and what would settle it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import needs_a_clinician
from setwright.plan.block import Block
from setwright.review.load_monitoring import MONOTONY_SD, WeekLoad, week_load
from setwright.review.progress import PAIN_STOP, PAIN_WATCH, planned_standings
from setwright.review.volume import WeekDone, done_by_week, session_date, week_start
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

HELP = "Stop training and get medical help now; nothing is planned round this."
CLINICIAN = "Stop the exercises concerned and ask a licensed physiotherapist or doctor; this is no diagnosis."


def number_of(count: int, noun: str) -> str:
    """``1 day``, ``2 days``."""
    return f"{count} {noun}" + ("" if count == 1 else "s")


@dataclass(frozen=True)
class Finding:
    """One finding. ``kind`` names it, ``about`` what it concerns, ``probability`` 0 to 1 where it is one, else None."""

    kind: str
    about: str
    evidence: str
    probability: float | None
    settles_it: str
    weight: int

    def as_json(self) -> dict[str, object]:
        """The published form of ``review --json``."""
        return {
            "kind": self.kind,
            "about": self.about,
            "evidence": self.evidence,
            "probability": self.probability,
            "settles_it": self.settles_it,
        }


@dataclass(frozen=True)
class Review:
    """All of one review: weeks done, their loads, findings by weight."""

    weeks: tuple[WeekDone, ...]
    loads: tuple[WeekLoad, ...]
    findings: tuple[Finding, ...]

    def as_json(self) -> dict[str, object]:
        """The published form, with the conventions named."""
        rows = []
        for week, load in zip(self.weeks, self.loads, strict=True):
            rows.append(
                {
                    "week": week.number,
                    "load_au": round(load.load_au, 1),
                    "monotony": None if load.monotony is None else round(load.monotony, 3),
                    "monotony_sd": MONOTONY_SD,
                    "strain": None if load.strain is None else round(load.strain, 1),
                    "sessions_planned": week.sessions_planned,
                    "sessions_done": week.sessions_done,
                    "set_credits": [
                        {"week": week.number, "muscle": muscle, "direct": direct, "fractional": fractional}
                        for muscle, (direct, fractional) in sorted(week.credits.items())
                    ],
                }
            )
        return {
            "weeks": rows,
            "findings": [one.as_json() for one in self.findings],
            "conventions": "load_au = session RPE x minutes; rest days count as 0; deviation over 7 days with n-1",
        }


def review_block(block: Block, log: Log, estimates: Estimates, catalogue: Catalogue) -> Review:
    """What the log says about the block so far. Estimates must rest on the same log."""
    weeks = done_by_week(block, log, catalogue)
    loads = tuple(week_load(log.sessions, week_start(block, week.number)) for week in weeks)
    findings = [
        *pain_findings(log, catalogue),
        *doubtful_sets(estimates, catalogue),
        *missed_sessions(weeks, block),
        *missed_reps(weeks, catalogue),
        *effort_off(weeks, catalogue),
        *trends(estimates, catalogue),
        *flat_weeks(loads, weeks),
        *progress_findings(block, log, catalogue),
    ]
    findings = [*together(findings)]
    findings.sort(key=lambda one: (-one.weight, one.kind, one.about))
    return Review(weeks, loads, tuple(findings))


MANY = 3  # lifts with the same finding that are said in one breath
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


def pain_findings(log: Log, catalogue: Catalogue) -> list[Finding]:
    """Pain of 3 and more, by region: rising, or at the stop level; sharp and numb weigh most."""
    by_where: dict[str, list[tuple[object, int, str, str | None]]] = {}
    for one in log.sets:
        if one.pain or one.pain_kind in ("sharp", "numb"):
            where = one.pain_where or "unnamed place"
            by_where.setdefault(where, []).append((one.date, one.pain or 0, one.exercise, one.pain_kind))
    found = []
    for where, rows in sorted(by_where.items()):
        worst = max(pain for _, pain, _, _ in rows)
        names = ", ".join(dict.fromkeys(catalogue.get(slug).name for _, pain, slug, _ in rows if pain == worst))
        days = sorted({str(day) for day, _, _, _ in rows})
        peaks = [max(pain for day, pain, _, _ in rows if str(day) == one) for one in days]
        rising = len(peaks) >= 2 and peaks[-1] > peaks[0]
        alarming = any(kind in ("sharp", "numb") for _, _, _, kind in rows)
        red = needs_a_clinician(where) or any(kind == "numb" for _, _, _, kind in rows)
        if worst >= PAIN_STOP or alarming or red:
            found.append(
                Finding(
                    "pain",
                    where,
                    f"{worst} of 10 in {names}" + (", sharp or numb" if alarming else "") + ".",
                    None,
                    HELP if red else CLINICIAN,
                    110 if red else 100,
                )
            )
        elif rising or worst >= PAIN_WATCH:
            trend = f"from {peaks[0]} to {peaks[-1]} of 10" if rising else f"up to {worst} of 10"
            found.append(
                Finding(
                    "pain",
                    where,
                    f"{trend} over {number_of(len(days), 'day')}, most in {names}.",
                    None,
                    "Less load or range there next time, and ask how it is the next morning; a licensed "
                    "physiotherapist or doctor if it stays. This is no diagnosis.",
                    80,
                )
            )
    return found


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


def missed_reps(weeks: Sequence[WeekDone], catalogue: Catalogue) -> list[Finding]:
    """Lifts whose repetitions fell short of the range in the last week they were done."""
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
            70 if short > 1 else 45,
        )
        for slug, (number, short, sets) in sorted(last.items())
        if short > 0
    ]


def effort_off(weeks: Sequence[WeekDone], catalogue: Catalogue) -> list[Finding]:
    """Lifts that were called clearly easier or harder than planned over at least two sessions."""
    gaps: dict[str, list[float]] = {}
    for week in weeks:
        for entry in week.entries:
            if entry.rir_gap is not None:
                gaps.setdefault(entry.exercise, []).append(entry.rir_gap)
    found = []
    for slug, rows in sorted(gaps.items()):
        mean = sum(rows) / len(rows)
        if len(rows) >= 2 and abs(mean) >= 1.0:
            way, more = ("easier", "more") if mean > 0 else ("harder", "fewer")
            found.append(
                Finding(
                    f"{way} than planned",
                    catalogue.get(slug).name,
                    f"{abs(mean):.1f} {more} left than planned, over {number_of(len(rows), 'session')}.",
                    None,
                    "A last set to the planned reserve with somebody watching.",
                    35 if mean > 0 else 50,
                )
            )
    return found


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
        if gained >= 0.9:
            found.append(Finding("gaining", name, evidence, round(gained, 2), "Nothing: go on.", 20))
        elif gained <= 0.25:
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
        else:
            found.append(
                Finding(
                    "not told from noise",
                    name,
                    evidence,
                    round(gained, 2),
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
        name = catalogue.get(one.step.exercise).name
        to = f", to {catalogue.get(one.exercise).name}" if one.exercise not in ("", one.step.exercise) else ""
        about = f"{one.climb.title}, step {one.place} of {len(one.way)}, {name}{to}"
        why = one.why[:1].upper() + one.why[1:].rstrip(".") + "."
        evidence = f"{why} Log: {one.evidence}." if one.evidence else why
        found.append(Finding(one.verdict, about, evidence, None, one.asks, STEP_WEIGHTS[one.verdict]))
    return found
