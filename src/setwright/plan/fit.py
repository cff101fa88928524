"""Rounds of the search: choose, place on days, dose, and look at the true minutes; grow or shrink, and again.

The search reckons with estimated seconds because the true ones need loads, ramp sets and pairs. Minutes are hard,
so what is still too long at the end loses sets, then entries.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import PartName
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import Trainee, TrainingDay
from setwright.plan.arrange import Placed, arrange_day
from setwright.plan.block import Unmet, Week
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate
from setwright.plan.choose import CHANGE_OVER_S, Choice, choose_exercises, half_credit
from setwright.plan.compose import Context, compose_weeks
from setwright.plan.demand import WeekDemand
from setwright.plan.explain import join_words, why_chosen
from setwright.plan.fixed_parts import FixedPart, conditioning_part, mobility_part, skill_part, wanted_part
from setwright.plan.not_met import short_of_demand
from setwright.plan.pairing import can_pair, scheme_work_s
from setwright.plan.spread_over_days import DayPlan, spread_over_days
from setwright.plan.template import Template, TemplateEntry, TemplateSession
from setwright.plan.weeks import WeekShape, sets_by_week

FIT_ROUNDS = 6
WORTH_GROWING_MIN = 5.0  # spare minutes of a day that are worth a second search while something is missing
LEAST_WORK_S = 8 * 60
TRIMMABLE_MIN = 4.0  # minutes too long that a set or two less cures better than a whole new search
OLDER_YEARS, NOVICE_YEARS = 65, 0.5  # rule L08: people new to lifting at this age start with one set


@dataclass(frozen=True)
class Fixed:
    """The entries of every day that are not chosen by the search, with the seconds they take."""

    by_day: tuple[tuple[TemplateEntry, ...], ...]
    seconds: tuple[int, ...]
    unmet: tuple[Unmet, ...]


def entry_seconds(entry: TemplateEntry, week: int, catalogue: Catalogue) -> int:
    """Seconds of a fixed entry by the time model, with its change-over."""
    scheme = entry.schemes[week]
    if scheme is None:
        return 0
    work = scheme_work_s(catalogue.get(entry.exercise), scheme)
    return int(scheme.sets * work + (scheme.sets - 1) * scheme.rest_s + CHANGE_OVER_S) + 1


def gather_fixed(
    catalogue: Catalogue,
    trainee: Trainee,
    brief: Brief,
    days: Sequence[TrainingDay],
    places: Mapping[str, Place],
    shapes: Sequence[WeekShape],
) -> Fixed:
    """Skill, wanted work, range and conditioning for each day; conditioning, then range, give way to short days."""
    day_places = [places[day.place] for day in days]
    made: dict[str, FixedPart] = {
        "skill": skill_part(catalogue, trainee, brief, day_places, shapes),
        "wanted": wanted_part(catalogue, trainee, day_places, shapes),
        "loaded mobility": mobility_part(catalogue, trainee, brief, day_places, shapes),
        "conditioning": conditioning_part(catalogue, trainee, brief, day_places, shapes),
    }
    unmet = [one for part in made.values() for one in part.unmet]
    made["short conditioning"] = conditioning_part(
        catalogue, trainee, replace(brief, conditioning="short"), day_places, shapes
    )
    made["short loaded mobility"] = mobility_part(catalogue, trainee, brief, day_places, shapes, grows=False)
    peak = max(range(len(shapes)), key=lambda week: shapes[week].share)
    by_day, seconds = [], []
    for index, day in enumerate(days):
        cap = min(day.minutes, brief.minutes) * 60
        keep = ["skill", "wanted", "loaded mobility", "conditioning"]
        while True:
            entries = tuple(entry for name in keep for entry in made[name].by_day[index])
            spent = sum(entry_seconds(entry, peak, catalogue) for entry in entries)
            if spent <= 0.42 * cap or not keep[-1].endswith(("loaded mobility", "conditioning")):
                break
            dropped = keep.pop()
            if dropped == "conditioning" and brief.conditioning == "long":
                keep.append("short conditioning")
                continue
            shorter = made["short loaded mobility"].by_day[index]
            if dropped == "loaded mobility" and shorter != made[dropped].by_day[index]:
                keep.append("short loaded mobility")
                continue
            if made[dropped].by_day[index]:
                name = dropped.replace("short loaded", "loaded")
                unmet.append(Unmet(f"{name} on {day.day}", f"{cap / 60:.0f} min leave no room for it."))
        by_day.append(entries)
        seconds.append(spent)
    return Fixed(tuple(by_day), tuple(seconds), tuple(dict.fromkeys(unmet)))


@dataclass(frozen=True)
class Search:
    """Everything that the rounds of the search share."""

    candidates: Sequence[Candidate]
    demand: WeekDemand
    brief: Brief
    days: Sequence[TrainingDay]
    caps: Sequence[float]
    fixed: Fixed
    shapes: Sequence[WeekShape]
    known: frozenset[str]
    context: Context
    limit: float


@dataclass(frozen=True)
class Fit:
    """One round: what was chosen, on which days, the template and the dosed weeks."""

    choice: Choice
    days: DayPlan
    template: Template
    weeks: tuple[Week, ...]


def one_round(search: Search, seconds: Sequence[int], budget: int, ties: bool) -> Fit | None:
    """Stages one to four for some seconds a day, dosed; None where nothing fits. ``ties``: break them."""
    chosen = choose_exercises(
        search.candidates,
        search.demand,
        search.brief,
        [day.place for day in search.days],
        budget,
        fixed_credits(search.fixed, search.demand, search.shapes, search.context.catalogue),
        wanted_entries=sum(entries_for(one) for one in seconds),
        limit=search.limit,
        ties=ties,
    )
    if chosen is None:
        return None
    placed = spread_over_days(chosen.picks, search.demand, search.brief, search.days, seconds, limit=search.limit)
    if placed is None:
        return None
    template = build_template(
        placed,
        search.days,
        search.caps,
        search.fixed,
        search.shapes,
        search.brief,
        search.demand,
        search.known,
        search.context,
    )
    return Fit(chosen, placed, template, compose_weeks(template, search.context))


def minutes_over(fit: Fit, caps: Sequence[float]) -> list[float]:
    """For each day, minutes of its longest week beyond the cap; negative where minutes are spare."""
    return [max(week.sessions[index].minutes for week in fit.weeks) - cap for index, cap in enumerate(caps)]


def fit_to_minutes(search: Search, seconds: Sequence[int]) -> tuple[Fit | None, Sequence[int]]:
    """The best week that keeps the minutes or nearly does, and the seconds it was searched with.

    The search works with estimated seconds; the dosed week tells the true ones. Days that came out too long lose
    seconds, and once, where something is missing and minutes are spare, all days gain. Ties are broken in a last
    round only: the rounds before it need just the length.
    """
    good: tuple[Fit, Sequence[int], int] | None = None
    last: Fit | None = None
    share, grown = 1.0, False
    for _ in range(FIT_ROUNDS):
        budget = int(sum(seconds) * share)
        made = one_round(search, seconds, budget, ties=False)
        if made is None:
            share *= 0.93
            continue
        last = made
        over = minutes_over(made, search.caps)
        if max(over) <= TRIMMABLE_MIN:
            if good is None or made.choice.objective <= good[0].choice.objective:
                good = (made, seconds, budget)
            is_short = made.choice.missing_patterns or any(
                one.why.startswith("The hardest week")
                for one in short_of_demand(search.demand, made.weeks, search.context.catalogue)
            )
            if grown or not is_short or -min(over) < WORTH_GROWING_MIN:
                break
            seconds = [one + int(50 * max(0.0, -extra)) for one, extra in zip(seconds, over, strict=True)]
            grown = True
            continue
        seconds = [
            max(LEAST_WORK_S, one - int(60 * extra) - 45) if extra > 1e-6 else one
            for one, extra in zip(seconds, over, strict=True)
        ]
    if good is None:
        return last, seconds
    final = one_round(search, good[1], good[2], ties=True)
    if final is None or max(minutes_over(final, search.caps)) > TRIMMABLE_MIN:
        return good[0], good[1]
    return final, good[1]


def entries_for(seconds: int) -> int:
    """Strength entries that fill a session: one for about seven minutes, two to six."""
    return max(2, min(6, seconds // 420))


def fixed_credits(
    fixed: Fixed, demand: WeekDemand, shapes: Sequence[WeekShape], catalogue: Catalogue
) -> dict[str, int]:
    """Half sets that the fixed entries of the peak week already give to each demand."""
    peak = max(range(len(shapes)), key=lambda week: shapes[week].share)
    given: dict[str, int] = {}
    for entries in fixed.by_day:
        for entry in entries:
            scheme = entry.schemes[peak]
            if scheme is None or entry.part not in ("skill", "assistance"):
                continue
            credit = set_credits(catalogue.get(entry.exercise))
            for need in demand.muscles:
                half = round(2 * max((credit.get(muscle, 0.0) for muscle in need.muscles), default=0.0))
                given[need.roll_up] = given.get(need.roll_up, 0) + half * scheme.sets
    return given


def build_template(
    placed: DayPlan,
    days: Sequence[TrainingDay],
    caps: Sequence[float],
    fixed: Fixed,
    shapes: Sequence[WeekShape],
    brief: Brief,
    demand: WeekDemand,
    known: frozenset[str],
    context: Context,
) -> Template:
    """Stages three and four: sets by week over the whole block, then order and pairs of every day."""
    flat = [(day, pick, sets) for day, picks in enumerate(placed.days) for pick, sets in picks]
    credits = [{need.roll_up: half_credit(pick.candidate, need) for need in demand.muscles} for _, pick, _ in flat]
    table, _ = sets_by_week([sets for _, _, sets in flat], credits, shapes, [pick.is_goal_lift for _, pick, _ in flat])
    if context.on.year - context.trainee.birth_year >= OLDER_YEARS and context.trainee.training_years < NOVICE_YEARS:
        table = tuple(
            tuple(min(sets, (1, 2)[week] if week < 2 else sets) for week, sets in enumerate(row)) for row in table
        )
    sessions = []
    for index, day in enumerate(days):
        rows = [Placed(pick, table[number]) for number, (where, pick, _) in enumerate(flat) if where == index]
        place = context.places[day.place]

        def may_pair(a: TemplateEntry, b: TemplateEntry, place: Place = place) -> tuple[bool, str]:
            first, second = context.catalogue.get(a.exercise), context.catalogue.get(b.exercise)
            schemes = next(
                ((x, y) for x, y in zip(a.schemes, b.schemes, strict=True) if x is not None and y is not None),
                None,
            )
            if schemes is None:
                return False, "they never stand in the same week"
            return can_pair(first, second, schemes[0], schemes[1], place)

        def why_here(one: Placed, part: PartName, place: str = day.place) -> str:
            note = one.pick.candidate.verdicts[place].range_note
            return f"{why_chosen(one, part, brief, demand, known)} {note}".rstrip()

        entries = arrange_day(
            rows,
            brief,
            shapes,
            why_here,
            day.place,
            may_pair,
            fixed.by_day[index],
            context.trainee.training_years < NOVICE_YEARS,
        )
        sessions.append(TemplateSession(day.day, day.place, caps[index], entries, title=session_title(rows, index)))
    return Template(tuple(sessions), tuple(shape.kind for shape in shapes), tuple(shape.rpe for shape in shapes))


def session_title(rows: Sequence[Placed], index: int) -> str:
    """A short name for a day: the lifts it is built on."""
    goals = [one.pick.candidate.exercise.name for one in rows if one.pick.is_goal_lift]
    big = sorted(
        (one for one in rows if one.pick.candidate.exercise.load_capacity >= 3),
        key=lambda one: (-one.pick.candidate.exercise.load_capacity, one.pick.candidate.slug),
    )
    names = goals or [one.pick.candidate.exercise.name for one in (big or list(rows))[:2]]
    return join_words(names[:2]) or f"Session {index + 1}"


def trim_to_minutes(
    template: Template, weeks: tuple[Week, ...], caps: Sequence[float], context: Context
) -> tuple[tuple[Week, ...], list[Unmet]]:
    """Minutes are hard: what the search left too long loses sets from its last entries, then whole entries.

    Goal lifts and work that a restriction wants go last of all.
    """
    trimmed: list[Unmet] = []
    sessions = list(template.sessions)
    for index, cap in enumerate(caps):
        for _ in range(60):
            worst = max(range(len(weeks)), key=lambda week: weeks[week].sessions[index].minutes)
            if weeks[worst].sessions[index].minutes <= cap + 1e-6:
                break
            entries = list(sessions[index].entries)
            target = most_expendable(entries, worst)
            if target is None:
                raise NoPlan(
                    (f"The {sessions[index].day} session needs more than {cap:.0f} min even at its shortest.",),
                    "more minutes on that day, or one lift less",
                )
            entry = entries[target]
            scheme = entry.schemes[worst]
            name = context.catalogue.get(entry.exercise).name
            if scheme is not None and scheme.sets > 2 and entry.part not in ("conditioning", "loaded-mobility"):
                fewer = tuple(
                    replace(one, sets=min(one.sets, scheme.sets - 1)) if one is not None else None
                    for one in entry.schemes
                )
                entries[target] = replace(entry, schemes=fewer)
            else:
                del entries[target]
                if entry.superset is not None:
                    entries = [
                        replace(one, superset=None) if one.superset == entry.superset else one for one in entries
                    ]
                trimmed.append(Unmet(f"{name} on {sessions[index].day}", f"{cap:.0f} min leave no room for it."))
            sessions[index] = replace(sessions[index], entries=tuple(entries))
            weeks = compose_weeks(replace(template, sessions=tuple(sessions)), context)
    return weeks, trimmed


def most_expendable(entries: Sequence[TemplateEntry], week: int) -> int | None:
    """The entry to shorten first; never the last one.

    A third or fourth set of assistance goes before anything else, then conditioning, range, assistance from the
    back, skill, and the lifts of the day.
    """
    order = {"conditioning": 1, "loaded-mobility": 2, "finisher": 3, "assistance": 4, "skill": 5, "main": 6}
    open_ones = [index for index, entry in enumerate(entries) if entry.part != "warm-up"]
    if len(open_ones) <= 1:
        scheme = entries[open_ones[0]].schemes[week] if open_ones else None
        return open_ones[0] if scheme is not None and scheme.sets > 2 else None

    def how_dear(index: int) -> tuple[bool, int, int]:
        entry, scheme = entries[index], entries[index].schemes[week]
        has_spare = entry.part in ("assistance", "finisher") and scheme is not None and scheme.sets > 2
        return entry.locked, 0 if has_spare else order[entry.part], -index

    return min(open_ones, key=how_dear)
