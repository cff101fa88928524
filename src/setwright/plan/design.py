"""The big deed: from a trainee, a place and a brief to a block, with proof.

Reads as its method: screen; filter by the gates; demand; choose exercises and sets (stage one); put them on
days (two); sets by week (three); order and pair (four); dose; check minutes, and take sets out where a
session would be too long; check the rules of training, which warn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from setwright.catalogue.derive import set_credits
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.screening import screen, without_expired
from setwright.people.trainee import DAYS, Trainee, TrainingDay
from setwright.plan.arrange import Placed, arrange_day
from setwright.plan.block import Block, Inputs, Proof, Unmet, Week
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate, Refusal, find_candidates
from setwright.plan.cautions import block_cautions
from setwright.plan.choose import CHANGE_OVER_S, Choice, choose_exercises, half_credit, least_seconds
from setwright.plan.compose import Context, compose_weeks, count_credits
from setwright.plan.demand import WeekDemand, week_demand
from setwright.plan.explain import in_words, join_words, why_chosen
from setwright.plan.fixed_parts import FixedPart, conditioning_part, mobility_part, skill_part, wanted_part
from setwright.plan.identity import with_id
from setwright.plan.pairing import can_pair, scheme_work_s
from setwright.plan.rules import check_rules
from setwright.plan.spread_over_days import DayPlan, spread_over_days
from setwright.plan.template import Template, TemplateEntry, TemplateSession
from setwright.plan.weeks import WeekShape, sets_by_week, week_shapes
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

WARM_UP_S = 8 * 60
SHORT_WARM_UP_S = 5 * 60
RAMP_S = 4 * 60
NOVICE_RAMP_S = 2 * 60
FIT_ROUNDS = 6
WORTH_GROWING_MIN = 5.0  # spare minutes of a day that are worth a second search while something is missing
LEAST_WORK_S = 8 * 60
NOVICE_YEARS, NOVICE_RPE = 0.5, (5.5, 7.0)  # where the brief sets no effort (common practice, no published source)
OLDER_YEARS = 65  # rule L08: people new to lifting at this age start with one set


@dataclass(frozen=True)
class Fixed:
    """The entries of every day that are not chosen by the search, with the seconds they take."""

    by_day: tuple[tuple[TemplateEntry, ...], ...]
    seconds: tuple[int, ...]
    unmet: tuple[Unmet, ...]


def wanted_intensity(brief: Brief) -> str:
    """What the screen is asked: RPE to 4 light, to 6 moderate, above vigorous (common practice)."""
    top = max(brief.rpe)
    return "light" if top <= 4 else "moderate" if top <= 6 else "vigorous"


def require_clearance(trainee: Trainee, brief: Brief) -> tuple[str, ...]:
    """Refuses anything above light where the screen says so; gives the screen's cautions otherwise.

    Raises NoPlan when a clearance is missing or a red flag was answered (rules S01, S02, S05).
    """
    verdict = screen(trainee, wanted_intensity(brief), brief.start)  # type: ignore[arg-type]
    if verdict.verdict == "go":
        return verdict.why
    if verdict.verdict == "light-only" and wanted_intensity(brief) == "light":
        return verdict.why
    repair = (
        "see a licensed clinician first; no training is planned until then"
        if verdict.verdict == "stop"
        else "ask a licensed clinician for clearance and enter it, or plan light work only (rpe at most 4)"
    )
    raise NoPlan(verdict.why, repair)


def choose_days(trainee: Trainee, brief: Brief) -> tuple[tuple[TrainingDay, ...], tuple[Unmet, ...]]:
    """The weekdays of the block: as many as the brief wants, as far apart as the trainee's days allow.

    Among equal spacings the days with more minutes win, then the earlier ones.
    """
    from itertools import combinations

    open_days = sorted(trainee.days, key=lambda day: DAYS.index(day.day))
    if not open_days:
        raise NoPlan((f"{trainee.name} has no training day.",), "add at least two days to the trainee file")
    count = min(brief.days_a_week, len(open_days))
    unmet: tuple[Unmet, ...] = ()
    if count < brief.days_a_week:
        unmet = (Unmet(f"{brief.days_a_week} days a week", f"{trainee.name} can train on {len(open_days)} days only."),)

    def spacing(days: Sequence[TrainingDay]) -> tuple[list[int], float]:
        at = [DAYS.index(day.day) for day in days]
        gaps = sorted((at[(i + 1) % len(at)] - at[i]) % 7 or 7 for i in range(len(at)))
        return gaps, sum(min(day.minutes, brief.minutes) for day in days)

    return max(combinations(open_days, count), key=spacing), unmet


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
    peak = max(range(len(shapes)), key=lambda week: shapes[week].share)
    by_day, seconds = [], []
    for index, day in enumerate(days):
        cap = min(day.minutes, brief.minutes) * 60
        keep = ["skill", "wanted", "loaded mobility", "conditioning"]
        while True:
            entries = tuple(entry for name in keep for entry in made[name].by_day[index])
            spent = sum(entry_seconds(entry, peak, catalogue) for entry in entries)
            if spent <= 0.42 * cap or keep[-1] not in ("loaded mobility", "conditioning"):
                break
            dropped = keep.pop()
            if made[dropped].by_day[index]:
                unmet.append(Unmet(f"{dropped} on {day.day}", f"{cap / 60:.0f} min leave no room for it."))
        by_day.append(entries)
        seconds.append(spent)
    return Fixed(tuple(by_day), tuple(seconds), tuple(dict.fromkeys(unmet)))


def design_block(
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    catalogue: Catalogue,
    estimates: Estimates,
    log: Log | None = None,
    limit: float = 3.0,
) -> Block:
    """A block for one trainee from a brief, as good as the rules allow, with proof.

    limit : deterministic solver time for each stage
    Raises NoPlan when clearance is missing or the fixed wishes can't fit into the minutes.
    """
    screen_cautions = require_clearance(trainee, brief)
    as_given, trainee = trainee, without_expired(trainee, brief.start)
    if brief.rpe_is_default and trainee.training_years < NOVICE_YEARS:
        brief = replace(brief, rpe=NOVICE_RPE)
    by_id = {place.id: place for place in places}
    days, unmet_days = choose_days(trainee, brief)
    shapes = week_shapes(brief, trainee.weeks_off)
    known = frozenset(base.exercise for base in trainee.baselines) | frozenset(
        one.exercise for one in (log.sets if log else ())
    )
    used_places = [by_id[place] for place in dict.fromkeys(day.place for day in days)]
    candidates, refused = find_candidates(catalogue, trainee, used_places, brief, estimates, known)
    if not candidates:
        raise NoPlan(
            ("Every exercise is closed by the restrictions or by the equipment there is.",),
            "review the restrictions with who set them, or add equipment to the place",
        )
    fixed = gather_fixed(catalogue, trainee, brief, days, by_id, shapes)
    demand = without_served(week_demand(trainee, brief, trainee.restrictions), fixed, catalogue)
    context = Context(trainee, by_id, brief, catalogue, estimates, brief.start)
    ramp_s = RAMP_S if trainee.training_years >= 0.5 else NOVICE_RAMP_S
    caps = [min(day.minutes, brief.minutes) for day in days]
    seconds = [
        max(0, int(cap * 60) - (SHORT_WARM_UP_S if cap <= 40 else WARM_UP_S) - ramping - spent)
        for cap, spent, ramping in zip(
            caps, fixed.seconds, (ramp_s if by_id[d.place].bars else 0 for d in days), strict=True
        )
    ]
    refuse_what_cannot_fit(candidates, brief, seconds, caps)
    search = Search(candidates, demand, brief, days, caps, fixed, shapes, known, context, limit)
    fit, left = fit_to_minutes(search, seconds)
    if fit is None:
        raise NoPlan(conflict_of(candidates, brief, left, caps), "more minutes, fewer lifts, or fewer sets of them")
    chosen, placed, template, weeks = fit.choice, fit.days, fit.template, fit.weeks
    weeks, trimmed = trim_to_minutes(template, weeks, caps, context)
    unmet = [*unmet_days, *fixed.unmet, *trimmed]
    unmet += refused_wishes(brief, refused, catalogue)
    unmet += schemes_missed(brief, weeks)
    peak = max(weeks, key=lambda week: sum(one.minutes for one in week.sessions))
    is_time_short = min(cap - one.minutes for cap, one in zip(caps, peak.sessions, strict=True)) < WORTH_GROWING_MIN
    unmet += [Unmet(name, why_missing(name, demand, candidates, is_time_short)) for name in chosen.missing_patterns]
    credits = count_credits(weeks, catalogue)
    unmet += short_of_demand(demand, weeks, catalogue)
    objective, bound = chosen.objective + placed.objective, chosen.bound
    gap = max(0.0, objective - bound)
    proven = chosen.is_optimal and gap <= 1e-6
    block = Block(
        id="",
        title=brief.title,
        trainee=trainee.id,
        place=days[0].place,
        weeks=weeks,
        set_credits=credits,
        unmet=tuple(dict.fromkeys(unmet)),
        proof=Proof(
            status="optimal" if proven else "feasible",
            objective=round(objective, 3),
            bound=round(bound, 3),
            gap=round(gap, 3),
            note=proof_words(chosen, placed, gap),
        ),
        inputs=Inputs(as_given, tuple(places), brief),
        cautions=tuple(dict.fromkeys((*screen_cautions, *block_cautions(trainee)))),
    )
    block = replace(block, unmet=tuple(dict.fromkeys((*block.unmet, *check_rules(block, catalogue)))))
    return with_id(block)


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
    """The best week that keeps the minutes, and the seconds it was searched with.

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
        if max(over) <= 1e-6:
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
    if final is None or max(minutes_over(final, search.caps)) > 1e-6:
        return good[0], good[1]
    return final, good[1]


def without_served(demand: WeekDemand, fixed: Fixed, catalogue: Catalogue) -> WeekDemand:
    """The demand without the patterns that skill work already serves."""
    served = {catalogue.get(entry.exercise).pattern for day in fixed.by_day for entry in day if entry.part == "skill"}
    return WeekDemand(demand.muscles, tuple(one for one in demand.patterns if not one[1] & served))


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

        entries = arrange_day(
            rows,
            brief,
            shapes,
            lambda one, part: why_chosen(one, part, brief, demand, known),
            day.place,
            may_pair,
            fixed.by_day[index],
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
    """The entry to shorten first: conditioning, range, assistance from the back, lead lifts; never the last one."""
    order = {"conditioning": 0, "loaded-mobility": 1, "finisher": 2, "assistance": 3, "skill": 4, "main": 5}
    open_ones = [index for index, entry in enumerate(entries) if entry.part != "warm-up"]
    if len(open_ones) <= 1:
        scheme = entries[open_ones[0]].schemes[week] if open_ones else None
        return open_ones[0] if scheme is not None and scheme.sets > 2 else None
    return min(open_ones, key=lambda index: (entries[index].locked, order[entries[index].part], -index))


def refused_wishes(brief: Brief, refused: Sequence[Refusal], catalogue: Catalogue) -> list[Unmet]:
    """Wishes that a restriction or missing equipment closes, with the reason."""
    why = {one.slug: one.reasons for one in refused}
    wished = [wish.exercise for wish in brief.lifts] + list(brief.include)
    return [
        Unmet(catalogue.get(slug).name, " ".join(why[slug]) or "No place of this trainee has what it needs.")
        for slug in dict.fromkeys(wished)
        if slug in why
    ]


def short_of_demand(demand: WeekDemand, weeks: Sequence[Week], catalogue: Catalogue) -> list[Unmet]:
    """Groups that the hardest week leaves more than two sets short, and groups that a restriction released."""
    peak = max(weeks, key=lambda week: (week.kind != "deload", week.number))
    totals: dict[str, float] = {}
    for session in peak.sessions:
        for part in session.parts:
            if part.part in ("warm-up", "loaded-mobility", "conditioning"):
                continue
            for entry in part.entries:
                working = sum(1 for one in entry.sets if one.kind != "ramp")
                credit = set_credits(catalogue.get(entry.exercise))
                for need in demand.muscles:
                    best = max((credit.get(muscle, 0.0) for muscle in need.muscles), default=0.0)
                    totals[need.roll_up] = totals.get(need.roll_up, 0.0) + best * working
    found = []
    for need in demand.muscles:
        name = in_words(need.roll_up)
        if need.released_by:
            found.append(Unmet(f"sets for {name}", f"Released: {need.released_by}"))
        elif totals.get(need.roll_up, 0.0) < need.target - 2.0:
            found.append(
                Unmet(
                    f"{need.target:g} counted sets a week for {name}",
                    f"The hardest week holds {totals.get(need.roll_up, 0.0):g}: the minutes, the place or the limits "
                    "leave no better week.",
                )
            )
    return found


def schemes_missed(brief: Brief, weeks: Sequence[Week]) -> list[Unmet]:
    """Wished schemes that no day of the block could carry."""
    entries = [entry for week in weeks for session in week.sessions for part in session.parts for entry in part.entries]
    found = []
    if brief.same_muscle_superset and not any("Same-muscle superset" in entry.why for entry in entries):
        why = "No day holds a big and a small lift for the same muscle; put both into include to have one."
        found.append(Unmet("a same-muscle superset", why))
    if brief.hold_reps_hold and not any(entry.scheme == "hold-reps-hold" for entry in entries):
        why = "No chosen exercise suits it; put a small, simple one into include to have one."
        found.append(Unmet("hold, repetitions, hold", why))
    return found


def why_missing(name: str, demand: WeekDemand, candidates: Sequence[Candidate], is_time_short: bool) -> str:
    """Why no exercise of a wanted pattern is in the week."""
    wanted = next(patterns for one, patterns in demand.patterns if one == name)
    if not any(one.exercise.pattern in wanted for one in candidates):
        return "Nothing that serves it is open here: the restrictions or the equipment close it."
    if is_time_short:
        return "The minutes went to what counts for more; more time or a shorter wish list brings it in."
    return "Only second choices serve it here; put one into include to have it all the same."


def refuse_what_cannot_fit(
    candidates: Sequence[Candidate], brief: Brief, seconds: Sequence[int], caps: Sequence[float]
) -> None:
    """Arithmetic before any solver: the fixed wishes must fit into the seconds that are left.

    Raises NoPlan with the smallest set of wishes that does not fit.
    """
    needed = sum(one for _, one in least_seconds(candidates, brief))
    if needed > sum(seconds):
        raise NoPlan(
            conflict_of(candidates, brief, seconds, caps),
            f"about {(needed - sum(seconds)) / 60:.0f} more minutes a week, or fewer of these",
        )


def conflict_of(
    candidates: Sequence[Candidate], brief: Brief, seconds: Sequence[int], caps: Sequence[float]
) -> tuple[str, ...]:
    """A smallest set of wishes that cannot fit together (dropping any one of it would fit), in words."""
    names = {one.slug: one.exercise.name for one in candidates}
    needs = sorted(least_seconds(candidates, brief), key=lambda one: -one[1])
    room = sum(seconds)
    core = list(needs)
    for one in needs[::-1]:
        without = [other for other in core if other is not one]
        if sum(need for _, need in without) > room:
            core = without
    lines = [f"{names[slug]} as wished needs about {need / 60:.0f} min a week" for slug, need in core]
    remain = f"{room / 60:.0f} remain after warm-up, ramp sets and fixed parts"
    lines.append(f"there are {sum(caps):.0f} min a week, of which {remain}")
    return tuple(lines)


def proof_words(chosen: Choice, placed: DayPlan, gap: float) -> str:
    """What was proven, plainly."""
    first = "Exercises and weekly sets are proven best" if chosen.is_optimal else "Exercises and weekly sets are good"
    second = "the days are proven best for them" if placed.is_optimal else "the days are good for them"
    text = f"{first}; {second}. At most {gap:g} points better exists; one missing set costs 8 points."
    if chosen.fuse_blown:
        text += " The time fuse blew: on a slower machine this block may differ."
    return text
