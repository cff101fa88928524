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
from setwright.plan.arrange import Placed, arrange_day, same_muscle_pairs
from setwright.plan.block import Unmet, Week
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate
from setwright.plan.compose import Context, compose_weeks
from setwright.plan.demand import WeekDemand
from setwright.plan.difference import NO_DIFFERENCE, Difference
from setwright.plan.explain import join_words, why_chosen
from setwright.plan.fixed_parts import (
    FixedPart,
    all_seconds,
    conditioning_part,
    entry_seconds,
    mobility_part,
    skill_part,
    wanted_part,
)
from setwright.plan.halves import lightened
from setwright.plan.interference import Weight, weight_planned
from setwright.plan.own_order import in_own_order, rested
from setwright.plan.pairing import SHAREABLE, can_pair, how_many
from setwright.plan.plates import dosed
from setwright.plan.posing import Pick, Posed, pose
from setwright.plan.search.problem import Plan, Problem, Spot
from setwright.plan.search.solve import Effort, Solution, solve_block
from setwright.plan.search.worth import seconds_of, total_points
from setwright.plan.template import Template, TemplateEntry, TemplateSession
from setwright.plan.weeks import WeekShape, most_on_the_way_back
from setwright.plan.wished_bouts import wished_bouts, with_bouts

FIT_ROUNDS = 3
WORTH_GROWING_MIN = 5.0  # spare minutes of a day that are worth a second search while something is missing
LEAST_WORK_S = 4 * 60  # two sets of a short exercise; more of a floor leaves short days to be cut by hand
WIDE_OF_IT_MIN = 6.0  # minutes too long that are worth a whole new search
TIGHTER_ROUNDS, FREE_ROUNDS = 4, 2
SEARCH_ROUNDS, LEAST_SEARCH_ROUNDS, MOST_SEARCH_ROUNDS = 8, 3, 12  # of the bound, for each unit of its limit
GROWING_ROUNDS = 2
SPARE_S = 15
HALF_HOUR_S, FIXED_SHARE, FIXED_SHARE_SHORT = 30 * 60, 0.42, 0.08
ASKED_SHARE = 0.6  # of a day, where the brief asks for conditioning by name (common practice)
SHORT_DAY_S, SHORT_WARM_UP_S, WARM_UP_S = 40 * 60, 5 * 60, 8 * 60
ONE_EXERCISE_S = 6 * 60  # two sets of a short exercise, with its ramp or a longer warm-up
OLDER_YEARS, NOVICE_YEARS = 65, 0.5  # rule L08: people new to lifting at this age start with one set


@dataclass(frozen=True)
class Fixed:
    """The entries of every day that are not chosen by the search, with the seconds they take."""

    by_day: tuple[tuple[TemplateEntry, ...], ...]
    seconds: tuple[int, ...]
    unmet: tuple[Unmet, ...]


def most_fixed(cap_s: float, trainee: Trainee) -> float:
    """Seconds of a day that fixed parts may take before conditioning, then range, give way.

    Half an hour is for lifts, unless range or work capacity is a goal (common practice, no published source).
    """
    asked = any(goal.kind in ("range", "work-capacity") for goal in trainee.goals)
    return cap_s * (FIXED_SHARE if asked or cap_s > HALF_HOUR_S else FIXED_SHARE_SHORT)


def room_for_wanted(cap_s: float) -> float:
    """Seconds of a day that work wanted by restrictions may take: what a warm-up and one exercise leave."""
    warm_up_s = SHORT_WARM_UP_S if cap_s <= SHORT_DAY_S else WARM_UP_S
    return cap_s - warm_up_s - ONE_EXERCISE_S


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
    caps = [min(day.minutes, brief.minutes) * 60 for day in days]
    skill = skill_part(catalogue, trainee, brief, day_places, shapes)
    room_s = [
        room_for_wanted(cap)
        - max(sum(entry_seconds(one, week, catalogue) for one in there) for week in range(len(shapes)))
        for cap, there in zip(caps, skill.by_day, strict=True)
    ]
    wished = wished_bouts(catalogue, trainee, brief, days, places, shapes)
    made: dict[str, FixedPart] = {
        "skill": skill,
        "wanted": wanted_part(catalogue.without(brief.exclude), trainee, day_places, shapes, room_s=room_s),
        "loaded mobility": mobility_part(catalogue, trainee, brief, day_places, shapes),
        "conditioning": with_bouts(conditioning_part(catalogue, trainee, brief, day_places, shapes), wished),
    }
    for name in ("skill", "wanted"):
        days_rested = tuple(tuple(rested(one, brief, catalogue) for one in there) for there in made[name].by_day)
        made[name] = replace(made[name], by_day=days_rested)
    unmet = [one for part in made.values() for one in part.unmet]
    made["short conditioning"] = with_bouts(
        conditioning_part(catalogue, trainee, replace(brief, conditioning="short"), day_places, shapes), wished
    )
    made["short loaded mobility"] = mobility_part(catalogue, trainee, brief, day_places, shapes, grows=False)
    peak = max(range(len(shapes)), key=lambda week: shapes[week].share)
    by_day, seconds = [], []
    for index, (day, cap) in enumerate(zip(days, caps, strict=True)):
        keep = ["skill", "wanted", "loaded mobility", "conditioning"]
        most_s = most_fixed(cap, trainee)
        if wished.by_day[index]:  # what the coach asks for by name comes before range
            keep, most_s = ["skill", "wanted", "conditioning", "loaded mobility"], max(most_s, ASKED_SHARE * cap)
        while True:
            entries = tuple(entry for name in keep for entry in made[name].by_day[index])
            spent = all_seconds(entries, peak, catalogue)
            if spent <= most_s or not keep[-1].endswith(("loaded mobility", "conditioning")):
                break
            dropped = keep.pop()
            if dropped == "conditioning" and brief.conditioning == "long":
                keep.append("short conditioning")
                if made[dropped].by_day[index] != made["short conditioning"].by_day[index]:
                    why = f"{cap / 60:.0f} min leave room for a short one only."
                    unmet.append(Unmet(f"long conditioning on {day.day}", why))
                continue
            shorter = made["short loaded mobility"].by_day[index]
            if dropped == "loaded mobility" and shorter != made[dropped].by_day[index]:
                keep.append("short loaded mobility")
                continue
            if made[dropped].by_day[index]:
                name = dropped.removeprefix("short ")
                unmet = [one for one in unmet if one.wish != f"long {name} on {day.day}"]
                unmet.append(Unmet(f"{name} on {day.day}", f"{cap / 60:.0f} min leave no room for it."))
        by_day.append(entries)
        seconds.append(spent)
    return Fixed(tuple(by_day), tuple(seconds), tuple(dict.fromkeys(unmet)))


@dataclass(frozen=True)
class Search:
    """Everything that the rounds of the search share. ``differ``: what makes it another block than those before."""

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
    differ: Difference = NO_DIFFERENCE


@dataclass(frozen=True)
class Fit:
    """One round: the problem, its solution, the template and the weeks dosed for their minutes."""

    posed: Posed
    solution: Solution
    template: Template
    weeks: tuple[Week, ...]

    @property
    def missing_patterns(self) -> tuple[str, ...]:
        """Pattern wishes that nothing serves."""
        return self.posed.missing_patterns(self.solution.plan)


def counted_entries(entries: Sequence[TemplateEntry]) -> int:
    """How many of a day's fixed entries count as exercises of the session: range and conditioning don't."""
    return sum(one.part not in ("loaded-mobility", "conditioning") for one in entries)


def pose_search(search: Search, seconds: Sequence[int]) -> Posed:
    """The problem of a search with some seconds a day."""
    trainee = search.context.trainee
    is_old_and_new = search.context.on.year - trainee.birth_year >= OLDER_YEARS
    is_old_and_new = is_old_and_new and trainee.training_years < NOVICE_YEARS
    return pose(
        search.candidates,
        search.demand,
        search.brief,
        search.days,
        search.shapes,
        seconds,
        fixed_credits(search.fixed, search.demand, search.shapes, search.context.catalogue),
        fixed_entries=[counted_entries(entries) for entries in search.fixed.by_day],
        wanted_entries=sum(entries_for(one) for one in seconds),
        single=single_stations([search.context.places[day.place] for day in search.days]),
        most_sets=[
            (1, 2)[week] if is_old_and_new and week < 2 else most_on_the_way_back(shape)
            for week, shape in enumerate(search.shapes)
        ],
        differ=search.differ,
        conditioning=conditioning_of(search),
    )


def conditioning_of(search: Search) -> dict[str, Weight]:
    """What the bouts of each weekday weigh in the hardest week; days without any are left out."""
    peak = max(range(len(search.shapes)), key=lambda week: search.shapes[week].share)
    made = {
        day.day: weight_planned(entries, peak, search.context.catalogue)
        for day, entries in zip(search.days, search.fixed.by_day, strict=True)
    }
    return {day: weight for day, weight in made.items() if weight.sets}


def led_by_skill(entries: Sequence[TemplateEntry], catalogue: Catalogue) -> frozenset[str]:
    """The muscles that the skill of a day counts fully for."""
    skills = [catalogue.get(one.exercise) for one in entries if one.part == "skill"]
    return frozenset(muscle for one in skills for muscle, credit in set_credits(one).items() if credit >= 1)


def single_stations(places: Sequence[Place]) -> frozenset[str]:
    """Equipment that two entries of a pair can't hold at once in some of the places; a loaded bar never."""
    found = {"barbell"}
    for place in places:
        kinds = set(place.fixtures) | {bar.kind for bar in place.bars} | {stack.kind for stack in place.stacks}
        found |= {token for token in kinds - SHAREABLE if how_many(token, place) < 2}
    return frozenset(found)


def one_round(search: Search, seconds: Sequence[int], before: Fit | None, is_last: bool) -> Fit | None:
    """A block for some seconds a day, dosed; None where nothing fits.

    before : an earlier round to start from; ``is_last``: with proof, and ties settled
    """
    limit = search.limit
    posed = pose_search(search, seconds)
    effort = Effort(
        week=0.4 * limit,
        whole=0.4 * limit,
        proof=limit if is_last else 0.0,
        rounds=max(LEAST_SEARCH_ROUNDS, min(MOST_SEARCH_ROUNDS, round(SEARCH_ROUNDS * limit))),
        tie=0.4 * limit,
    )
    solution = solve_block(posed.problem, effort, ties=is_last, start=None if before is None else before.solution)
    if solution is None:
        return None
    if before is not None and before.solution.plan == solution.plan:
        return replace(before, posed=posed, solution=solution)
    return sketched(posed, solution, posed.picks(solution.plan), search)


def sketched(posed: Posed, solution: Solution, picks: Sequence[Sequence[Pick]], search: Search) -> Fit:
    """A solution as a template with its weeks, dosed without what takes no time."""
    template, weeks = dosed(build_template(picks, search), replace(search.context, is_sketch=True))
    return Fit(posed, solution, template, weeks)


def minutes_over(fit: Fit, caps: Sequence[float]) -> list[float]:
    """For each day, minutes of its longest week beyond the cap; negative where minutes are spare."""
    return [max(week.sessions[index].minutes for week in fit.weeks) - cap for index, cap in enumerate(caps)]


def fit_to_minutes(search: Search, seconds: Sequence[int]) -> tuple[Fit | None, Sequence[int]]:
    """The best block that keeps the minutes or nearly does, and the seconds it was searched with.

    The search works with estimated seconds; the dosed weeks tell the true ones, and the next round reckons with what
    the one before was wrong by. Quick rounds find the seconds; the last one has the proof.
    """
    made = None
    for _ in range(FIT_ROUNDS):
        made = one_round(search, seconds, made, is_last=False)
        if made is None:
            break
        over = minutes_over(made, search.caps)
        if min(over) > -WORTH_GROWING_MIN and max(over) <= 1e-6:
            break
        seconds = truer_seconds(made, search.caps)
    final = one_round(search, seconds, made, is_last=True)
    if final is not None and max(minutes_over(final, search.caps)) > WIDE_OF_IT_MIN:
        seconds = truer_seconds(final, search.caps)
        final = one_round(search, seconds, final, is_last=True) or final
    if final is None:
        return None, seconds
    return grown_again(tightened(final, search), search, seconds)


def grown_again(fit: Fit, search: Search, seconds: Sequence[int]) -> tuple[Fit, Sequence[int]]:
    """The block with the minutes used that the reckoning left over; the better one of those that keep the caps.

    Days that trade their lifts make the reckoning jump: a day is cut for what another one holds now. A quick round
    tells whether more minutes are worth anything before the proof is sought again.
    """
    for _ in range(GROWING_ROUNDS):
        if min(minutes_over(fit, search.caps)) > -WORTH_GROWING_MIN:
            break
        more = truer_seconds(fit, search.caps)
        quick = one_round(search, more, fit, is_last=False)
        if quick is None or quick.solution.points >= fit.solution.points:
            break
        other = one_round(search, more, quick, is_last=True)
        other = None if other is None else tightened(other, search)
        if other is None or max(minutes_over(other, search.caps)) > 1e-6:
            break
        problem = fit.posed.problem
        if total_points(problem, other.solution.plan) >= total_points(problem, fit.solution.plan):
            break
        fit, seconds = other, more
    return fit, seconds


def tightened(fit: Fit, search: Search) -> Fit:
    """The same exercises with the sets that the true minutes allow, pairs free again; the better of two ways.

    Fewer seconds only take plans away, so the bound of the round before still holds, and points are counted as there.
    Days stay at first, for a day that trades its lifts is wrong by other minutes than those it was cut by; where that
    costs points, days are free again for a few rounds.
    """
    if max(minutes_over(fit, search.caps)) <= 1e-6:
        return fit
    kept = cut_to_minutes(fit, search, TIGHTER_ROUNDS, days_stay=True)
    if points_in(fit, kept) <= fit.solution.points and max(minutes_over(kept, search.caps)) <= 1e-6:
        return kept
    other = cut_to_minutes(fit, search, FREE_ROUNDS, days_stay=False)
    return min((kept, other), key=lambda one: (max(0.0, *minutes_over(one, search.caps)) > 1e-6, points_in(fit, one)))


def points_in(fit: Fit, other: Fit) -> int:
    """Points of a block counted in the problem of another one."""
    return total_points(fit.posed.problem, other.solution.plan)


def cut_to_minutes(fit: Fit, search: Search, rounds: int, days_stay: bool) -> Fit:
    """A block of the same exercises, its days cut by what they are over, round by round until all fit."""
    made, less = fit, fit.posed.problem.seconds
    for _ in range(rounds):
        if max(minutes_over(made, search.caps)) <= 1e-6:
            break
        less = tuple(min(new, old) for new, old in zip(truer_seconds(made, search.caps), less, strict=True))
        problem = replace(fit.posed.problem, seconds=less)
        if days_stay:
            problem = on_its_days(problem, made.solution.plan)
        effort = Effort(week=0.4 * search.limit, whole=0.4 * search.limit, proof=0.0)
        solution = solve_block(problem, effort, ties=False, start=made.solution)
        if solution is None:
            break
        solution = replace(solution, bound=fit.solution.bound)
        made = sketched(fit.posed, solution, fit.posed.picks(solution.plan), search)
    return made


def on_its_days(problem: Problem, plan: Plan) -> Problem:
    """The problem with the items of a plan open on the days where they stand, and all others as they are."""
    days: dict[int, list[int]] = {}
    for day, spots in enumerate(plan.days):
        for spot in spots:
            days.setdefault(spot.item, []).append(day)
    items = [
        replace(one, days=tuple(days[number]), times=(min(one.times[0], len(days[number])), one.times[1]))
        if number in days
        else one
        for number, one in enumerate(problem.items)
    ]
    return replace(problem, items=tuple(items))


def truer_seconds(fit: Fit, caps: Sequence[float]) -> list[int]:
    """Seconds of each day for the search, corrected by how far its reckoning was from the dosed minutes."""
    problem, plan = fit.posed.problem, fit.solution.plan
    used = [seconds_of(problem, day, problem.hardest) for day in plan.days]
    over = minutes_over(fit, caps)
    return [max(LEAST_WORK_S, spent - int(60 * extra) - SPARE_S) for spent, extra in zip(used, over, strict=True)]


def entries_for(seconds: int) -> int:
    """Strength entries that fill a session: one for about seven minutes, two to six."""
    return max(2, min(6, seconds // 420))


def fixed_credits(
    fixed: Fixed, demand: WeekDemand, shapes: Sequence[WeekShape], catalogue: Catalogue
) -> dict[str, tuple[int, ...]]:
    """Half sets that the fixed entries already give to each demand in each week."""
    given = {need.roll_up: [0] * len(shapes) for need in demand.muscles}
    for entries in fixed.by_day:
        for entry in entries:
            if entry.part not in ("skill", "assistance"):
                continue
            credit = set_credits(catalogue.get(entry.exercise))
            for need in demand.muscles:
                half = round(2 * max((credit.get(muscle, 0.0) for muscle in need.muscles), default=0.0))
                for week, scheme in enumerate(entry.schemes):
                    given[need.roll_up][week] += half * scheme.sets if scheme is not None else 0
    return {name: tuple(units) for name, units in given.items()}


def build_template(picks: Sequence[Sequence[Pick]], search: Search) -> Template:
    """The last stage: order, pairs and schemes of every day."""
    brief, context, demand = search.brief, search.context, search.demand
    days, caps, fixed, shapes, known = search.days, search.caps, search.fixed, search.shapes, search.known
    sessions = []
    all_rows = [[Placed(pick, pick.sets) for pick in here] for here in picks]
    losses = [min((lost for lost, _, _ in same_muscle_pairs(rows)), default=999) for rows in all_rows]
    for index, day in enumerate(days):
        rows = all_rows[index]
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
            most_lost=losses[index] if index == losses.index(min(losses)) else 0,
            fresh=led_by_skill(fixed.by_day[index], context.catalogue),
        )
        entries = tuple(rested(one, brief, context.catalogue) for one in entries)
        entries = lightened(in_own_order(entries, brief, context.catalogue), brief, context.catalogue)
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


def plan_of(posed: Posed, sessions: Sequence[TemplateSession]) -> Plan:
    """What stands in some sessions as a plan of the search, so that its points can be counted."""
    number = {one.slug: index for index, one in enumerate(posed.candidates)}
    days = []
    for session in sessions:
        sets: dict[int, list[int]] = {}
        for entry in session.entries:
            if entry.exercise in number and not entry.locked and entry.part in ("main", "assistance", "finisher"):
                row = sets.setdefault(number[entry.exercise], [0] * len(entry.schemes))
                for week, scheme in enumerate(entry.schemes):
                    row[week] += 0 if scheme is None else scheme.sets
        days.append(tuple(Spot(item, tuple(row)) for item, row in sets.items()))
    return Plan(tuple(days))


def trim_to_minutes(fit: Fit, caps: Sequence[float], context: Context) -> tuple[tuple[Week, ...], list[Unmet], Plan]:
    """Minutes are hard: what the search left too long loses sets from its last entries, then whole entries.

    Goal lifts and work that a restriction wants go last of all. The third value is what is left as a plan.
    """
    trimmed: list[Unmet] = []
    template = fit.template
    weeks = compose_weeks(template, context)
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
            if scheme is not None and scheme.sets > 2 and entry.part not in ("conditioning", "loaded-mobility"):
                fewer = tuple(
                    replace(one, sets=min(one.sets, scheme.sets - 1)) if one is not None else None
                    for one in entry.schemes
                )
                entries[target] = replace(entry, schemes=fewer)
            else:
                gone = members_of(entries, target)
                entries = [one for one in entries if one not in gone]
                if entry.superset is not None:
                    entries = [
                        replace(one, superset=None) if one.superset == entry.superset else one for one in entries
                    ]
                names = join_words([context.catalogue.get(one.exercise).name for one in gone])
                trimmed.append(Unmet(f"{names} on {sessions[index].day}", f"{cap:.0f} min leave no room for it."))
            sessions[index] = replace(sessions[index], entries=tuple(entries))
            weeks = compose_weeks(replace(template, sessions=tuple(sessions)), context)
    return weeks, trimmed, plan_of(fit.posed, sessions)


def members_of(entries: Sequence[TemplateEntry], index: int) -> list[TemplateEntry]:
    """The entry, with the other movements where it is one of a bout: a bout is left out whole."""
    entry = entries[index]
    if entry.superset is None or not any(entry.bouts):
        return [entry]
    return [one for one in entries if any(one.bouts) and (one.part, one.superset) == (entry.part, entry.superset)]


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
