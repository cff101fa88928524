"""A season in words: for the coach with chances and dates in ranges, for the trainee without where the coach says so.

Two ideas: the coach sees every figure; and a trainee who is not shown forecasts gets how it stands and what is done
about it, in words. Days of events are facts, so everybody sees them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from setwright.publish.season_chart import ChartGoal, ChartWeek, SeasonChart
from setwright.publish.strength_chart import short_date
from setwright.publish.units import Unit, in_number, in_unit, range_text, short
from setwright.review.season import Counted, EventAhead, SeasonView
from setwright.review.season_goals import Amount, GoalStanding, monday_of, percent
from setwright.review.season_weeks import Stretch

COACH_VERDICTS: Mapping[str, str] = {
    "there": "there, most likely",
    "likely": "likely",
    "open": "open",
    "behind": "behind",
    "short": "short of it",
    "no date": "no day is set",
    "no forecast": "no forecast",
}
COUNTED_VERDICTS: Mapping[str, str] = {**COACH_VERDICTS, "there": "there", "short": "short", "no date": "without a day"}
# Words for a person in place of chances: from 70 % on likely, from 30 % on open, as the verdicts of the coach.
PLAIN: Mapping[str, str] = {
    "there": "You are there, most likely. Now it is kept.",
    "likely": "On its way: it is likely if training goes on like this.",
    "open": "Open: it can come out either way.",
    "behind": "Needs more than so far: your coach decides whether it gets more, or more time.",
    "short": "Not there yet.",
    "no date": "Being worked on.",
    "no forecast": "Nobody can tell yet.",
}
KINDS: Mapping[str, str] = {
    "strength": "strength",
    "size": "size",
    "skill": "progression",
    "range": "range of motion",
    "work-capacity": "work capacity",
    "keep": "keep",
}
COACH_NOTES = (
    "Chances and dates are forecasts from the log, never promises. They hold if training goes on as it did: breaks, "
    "illness and a change of plan are not in them.",
    "Easier weeks: coaches place one every 4 to 6 weeks (Bell 2022, 18 coaches), lifters every 5.6 +- 2.3 weeks "
    "(Rogerson 2024, 246 of them). Fewer sets before a meet: Travis 2020, partly seen. No figure here is a diagnosis.",
)
TRAINEE_NOTES = ("How it goes depends on training, sleep and health. If something hurts, stop and tell your coach.",)


@dataclass(frozen=True)
class GoalCard:
    """One goal as it is shown: ``stands`` printed large, then labelled sentences."""

    name: str
    stands: str
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class PlanRow:
    """One stretch of weeks: what, from when to when, how many weeks, what for."""

    what: str
    when: str
    weeks: str
    why: str


@dataclass(frozen=True)
class SeasonReport:
    """A season for one reader. ``numbers``: heading and rows of the table below the picture."""

    title: str
    subtitle: str
    made_for: str
    lead: str
    goals: tuple[GoalCard, ...]
    events: tuple[tuple[str, str, str], ...]
    plan: tuple[PlanRow, ...]
    heads: tuple[str, ...]
    numbers: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    chart: SeasonChart


def for_coach(view: SeasonView, unit: Unit) -> SeasonReport:
    """The season with every figure, dates in ranges."""
    return report_of(view, unit, is_coach=True, with_dates=True)


def for_trainee(view: SeasonView, unit: Unit) -> SeasonReport:
    """The season for the trainee: with forecast dates only where the season file shows them."""
    return report_of(view, unit, is_coach=False, with_dates=view.season.show_dates)


def report_of(view: SeasonView, unit: Unit, is_coach: bool, with_dates: bool) -> SeasonReport:
    """The season for one reader."""
    name = view.trainee.name + (" (invented)" if view.trainee.invented else "")
    return SeasonReport(
        title=view.season.title or "The season",
        subtitle=f"{name}, as of {short_date(view.today)}",
        made_for="For the coach" if is_coach else "",
        lead=lead_of(view, is_coach),
        goals=tuple(card_of(one, view.today, unit, is_coach, with_dates) for one in view.standings),
        events=tuple(event_row(one, unit, with_dates) for one in view.events),
        plan=tuple(plan_row(one, is_coach) for one in view.stretches if one.end >= view.today),
        heads=heads_of(with_dates),
        numbers=tuple(number_row(one, unit, with_dates) for one in view.standings),
        notes=COACH_NOTES if is_coach else TRAINEE_NOTES,
        chart=chart_of(view, unit, with_dates),
    )


def lead_of(view: SeasonView, is_coach: bool) -> str:
    """The first sentence: what comes next, and how many goals stand how."""
    ahead = [one for one in view.events if one.event.date >= view.today and one.event.kind != "break"]
    said = ""
    if ahead:
        first = ahead[0]
        said = f"Next: {first.event.name} on {short_date(first.event.date)}, {left_words(first.weeks_left)}."
    if is_coach and view.standings:
        counts: dict[str, int] = {}
        for one in view.standings:
            counts[COUNTED_VERDICTS[one.verdict]] = counts.get(COUNTED_VERDICTS[one.verdict], 0) + 1
        said += " Goals: " + ", ".join(f"{count} {words}" for words, count in counts.items()) + "."
    if view.limits.pains or view.limits.restrictions:
        said += (
            " Nothing is forecast of what loads a joint that hurts or is limited."
            if is_coach
            else " Something hurts or is limited: that comes first, and its goals wait."
        )
    return said.strip()


def left_words(weeks: float) -> str:
    """How far off a day is: ``today``, ``in 3 days``, ``in 8 weeks``."""
    days = round(7 * weeks)
    if days < 14:
        return "today" if days == 0 else f"in {days} day{'s' if days != 1 else ''}"
    return f"in {weeks:.0f} weeks"


# Goals


def amount_text(one: Amount, unit: Unit) -> str:
    """An amount with its range where it has one."""
    if one.unit == "kg":
        if one.low == one.high:
            return f"{short(in_number(one.middle, unit), 1)} {unit}"
        return f"between {range_text(one.low, one.high, unit)}"
    if one.unit.startswith("step"):
        return f"step {one.middle:g}{one.unit.removeprefix('step')}"
    word = {"deg": "degrees"}.get(one.unit, one.unit)
    low, high = short(one.low, 1), short(one.high, 1)
    return f"{low} {word}" if low == high else f"{low} to {high} {word}"


def target_text(one: GoalStanding, unit: Unit) -> str:
    """The target of a goal with its day."""
    by = f"by {short_date(one.goal.by)}" if one.goal.by else ""
    wanted = "" if one.target is None else amount_text(one.target, unit)
    return f"{wanted} {by}".strip()


def dates_text(one: GoalStanding, today: date) -> str:
    """When a goal is likely, with its range; empty without a forecast."""
    if one.likely is None or one.verdict == "there":
        return ""

    def by(day: date | None) -> str:
        return "later than is forecast" if day is None else "now" if day <= today else f"by {short_date(day)}"

    early, middle, late = one.likely
    if early is None:
        return "not to be expected as far as is forecast"
    if late is None or early <= today:
        return f"1 chance in 10 {by(early)}, even chances {by(middle)}, 9 in 10 {by(late)}"
    return f"8 times in 10 between {short_date(early)} and {short_date(late)}, even chances {by(middle)}"


def card_of(one: GoalStanding, today: date, unit: Unit, is_coach: bool, with_dates: bool) -> GoalCard:
    """One goal as its reader sees it."""
    name = f"{one.name[:1].upper()}{one.name[1:]}"
    kind = f" ({KINDS[one.goal.kind]})"
    wanted = target_text(one, unit)
    if not is_coach:
        facts = [("Wanted", wanted)]
        if with_dates:
            facts += [("Likely", dates_text(one, today))]
        return GoalCard(name + kind, plain_words(one), tuple(pair for pair in facts if pair[1]))
    told = one.chance is not None and one.verdict in ("likely", "open", "behind") and one.goal.by is not None
    is_over = one.goal.by is not None and one.goal.by <= today
    chance = (
        f", {percent(one.chance or 0.0)} {'today' if is_over else 'by its day'}"
        if told and one.goal.kind != "keep"
        else ""
    )
    facts = [
        ("Wanted", wanted),
        ("Now", "" if one.now is None else amount_text(one.now, unit)),
        ("On its day", "" if one.ahead is None else amount_text(one.ahead, unit)),
        ("Likely", dates_text(one, today)),
        ("Why", sentence(in_unit(one.why, unit))),
        ("Trend", in_unit(one.trend, unit)),
        ("Rests on", one.rests_on),
    ]
    return GoalCard(
        name + kind, COACH_VERDICTS[one.verdict].capitalize() + chance, tuple(pair for pair in facts if pair[1])
    )


def plain_words(one: GoalStanding) -> str:
    """How a goal stands, for the trainee: words, no chances and no dates."""
    if one.verdict == "no forecast" and one.why.startswith("no forecast"):
        return "Waits: something there hurts or is limited, and that comes first."
    if one.verdict == "no forecast" and one.goal.kind in ("work-capacity", "keep"):
        return "Being worked on."
    if one.verdict == "short" and one.goal.kind == "size":
        return "So far fewer sets than it takes to grow."
    return PLAIN[one.verdict]


def sentence(text: str) -> str:
    """A text with a capital letter and a full stop."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}." if text else ""


def heads_of(with_dates: bool) -> tuple[str, ...]:
    """The heads of the table below the picture."""
    return ("Goal", "Wanted by", "Stands", "Early", "Middle", "Late") if with_dates else ("Goal", "Wanted by")


def number_row(one: GoalStanding, unit: Unit, with_dates: bool) -> tuple[str, ...]:
    """One goal in the table below the picture."""
    by = short_date(one.goal.by) if one.goal.by else "no day"
    name = f"{one.name}, {amount_text(one.target, unit)}" if one.target is not None else one.name
    if not with_dates:
        return (name, by)
    stands = COUNTED_VERDICTS[one.verdict]
    if one.likely is None or one.verdict == "there":
        return (name, by, stands, "", "", "")
    return (name, by, stands, *(short_date(day) if day else "later" for day in one.likely))


# Events and weeks


def event_row(one: EventAhead, unit: Unit, with_dates: bool) -> tuple[str, str, str]:
    """An event: name, when, and what counts there with what is likely on the day."""
    event = one.event
    until = f" to {short_date(event.until)}" if event.until else ""
    left = f", {left_words(one.weeks_left)}" if one.weeks_left or not event.until else ""
    counts = "; ".join(count_text(row, unit, with_dates) for row in one.counts)
    note = event.note
    return (event.name, f"{short_date(event.date)}{until}{left}", "; ".join(part for part in (counts, note) if part))


def count_text(one: Counted, unit: Unit, with_dates: bool) -> str:
    """What counts at an event, and for readers of forecasts what is likely on the day."""
    if not with_dates:
        return one.name
    if one.likely is None:
        return f"{one.name}: {one.why}"
    return f"{one.name}: 8 times in 10 {amount_text(one.likely, unit)}"


def plan_row(one: Stretch, is_coach: bool) -> PlanRow:
    """One stretch of weeks."""
    why = one.why if is_coach else tuple(text for text in one.why if is_for_all(text))
    when = f"{short_date(one.start)} to {short_date(one.end)}"
    return PlanRow(one.title, when, f"{len(one.weeks)}", " ".join(why))


def is_for_all(text: str) -> bool:
    """True for sentences that a trainee reads too: no verdicts, and nothing that the coach has not approved yet."""
    return not text.startswith(("Behind:", "No goal is behind", "A frame", "Towards", "More sets:", "Fewer sets:"))


# The picture


def chart_of(view: SeasonView, unit: Unit, with_dates: bool) -> SeasonChart:
    """The picture of the season for a reader."""
    weeks = [ChartWeek(week.start, week.kind, week.is_planned) for stretch in view.stretches for week in stretch.weeks]
    begins = min([monday_of(view.today), *(one.start for one in weeks)])
    first = view.season.since or max(begins, view.today - timedelta(days=182))
    last = view.season.last_day(view.today)
    events = tuple((one.name, one.date) for one in view.season.events if first <= one.date <= last)
    goals = tuple(chart_goal(one, unit, with_dates) for one in view.standings if is_drawn(one, with_dates))
    shown = tuple(one for one in weeks if first - timedelta(days=6) <= one.start <= last)
    return SeasonChart(view.season.title or "The season", first, last, view.today, shown, events, goals)


def is_drawn(one: GoalStanding, with_dates: bool) -> bool:
    """True where a goal has something to draw: a day, or a forecast that the reader sees."""
    return one.goal.by is not None or (with_dates and has_dates(one))


def has_dates(one: GoalStanding) -> bool:
    """True where a goal has a forecast of days."""
    return one.likely is not None and one.likely[0] is not None and one.verdict != "there"


def chart_goal(one: GoalStanding, unit: Unit, with_dates: bool) -> ChartGoal:
    """One goal in the picture."""
    target = "" if one.target is None or one.target.unit != "kg" else f" {amount_text(one.target, unit)}"
    return ChartGoal(f"{one.name}{target}", one.goal.by, one.likely if with_dates and has_dates(one) else None)
