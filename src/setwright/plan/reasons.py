"""Why this, why here, why so much, what instead: the answers of every entry, from counts and not from set phrases.

The search's own problem is asked what would be different: the entry out, on another day, with a set more or less,
exchanged (``plan.what_if``). Minutes are those of the sessions as dosed. What was not counted is not said.
"""

from __future__ import annotations

from dataclasses import replace

from setwright.catalogue.equipment import expand_tokens, in_words
from setwright.people.trainee import DAY_NAMES
from setwright.plan.block import Block, Entry, Session
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate
from setwright.plan.compose import Context
from setwright.plan.demand import GENERAL
from setwright.plan.explain import AIM_WORDS, join_words
from setwright.plan.goal_claims import claims_of
from setwright.plan.posing import UNDER, Posed
from setwright.plan.reasons_dose import effort_words, load_words
from setwright.plan.reasons_fixed import case_words, filler_words, fixed_reasons, takes_words, written_words
from setwright.plan.reasons_frame import Frame, points_words, runs_words, sets_words
from setwright.plan.reasons_order import order_words, pair_words
from setwright.plan.search.worth import is_full, seconds_of, sets_range
from setwright.plan.what_if import Cause, Effect, Exchange

MOST_SAID = 3
QUESTIONS = ("this", "here", "much", "instead")


def with_reasons(
    block: Block, posed: Posed, context: Context, brief: Brief | None = None, known: frozenset[str] = frozenset()
) -> Block:
    """The block with the four answers of each entry, in the first week that holds it.

    posed : the problem that the block was searched in; known : exercises done before
    """
    frame = Frame(block, posed, context, brief or context.brief, known)
    told: set[tuple[str, str, str]] = set()
    weeks = []
    for week in block.weeks:
        sessions = []
        for session in week.sessions:
            sessions.append(told_session(frame, session, told, week.number))
        weeks.append(replace(week, sessions=tuple(sessions)))
    return replace(block, weeks=tuple(weeks))


def told_session(frame: Frame, session: Session, told: set[tuple[str, str, str]], week: int) -> Session:
    """A session of a week, by its number, whose entries that were not told before have their answers."""
    parts = []
    for part in session.parts:
        entries = []
        for entry in part.entries:
            key = (session.day, part.part, entry.exercise)
            if key in told:
                entries.append(entry)
                continue
            told.add(key)
            entries.append(replace(entry, reasons=reasons_of(frame, session, part.part, entry, week)))
        parts.append(replace(part, entries=tuple(entries)))
    return replace(session, parts=tuple(parts))


def reasons_of(frame: Frame, session: Session, part: str, entry: Entry, week: int = 1) -> dict[str, str]:
    """The four answers of one entry in a week, by its number; a question that nothing was counted for is left out."""
    day = frame.days.index(session.day)
    item = frame.numbers.get(entry.exercise, -1)
    if frame.is_searched(part, entry) and any(spot.item == item for spot in frame.plan.days[day]):
        made = {
            "this": why_this(frame, day, item, entry),
            "here": why_here(frame, day, item, part, entry),
            "much": why_much(frame, day, item, part, entry, week),
            "instead": what_instead(frame, day, item, entry),
        }
    else:
        made = fixed_reasons(frame, session, part, entry, week)
    return {question: text for question, text in made.items() if text}


def sentences(*texts: str) -> str:
    """The sentences that say something."""
    return " ".join(text for text in texts if text)


# Why this


def why_this(frame: Frame, day: int, item: int, entry: Entry) -> str:
    """What it gives, what the week would miss without it, who asked, and what is known of it."""
    return sentences(
        written_words(frame, entry),
        asked_words(frame, item),
        lead_words(frame, day, item),
        gives_words(frame, day, item),
        missed_words(frame, day, item),
        weight_words(frame, day, item),
        liking_words(frame, item),
    )


def asked_words(frame: Frame, item: int) -> str:
    """The coach's own wish for it."""
    slug = frame.candidate(item).slug
    wish = next((one for one in frame.brief.lifts if one.exercise == slug), None)
    if wish is not None:
        often = f"{sets_words(wish.sets)} of {wish.reps[0]} to {wish.reps[1]} reps"
        times = "once a week" if wish.times_a_week == 1 else f"{wish.times_a_week} times a week"
        is_goal = any(one.kind == "strength" and one.about == slug for one in frame.trainee.goals)
        who = f"A strength goal of {frame.trainee.name}" if is_goal else "You asked for it"
        return f"{who}: {AIM_WORDS[wish.aim]}, {often}, {times}."
    return "You put it into the brief." if slug in frame.brief.include else ""


def lead_words(frame: Frame, day: int, item: int) -> str:
    """That a session without a lift asked for is built on it."""
    main = next((part for part in frame.session(day).parts if part.part == "main"), None)
    if main is None or frame.block.door != "design":
        return ""
    is_first = main.entries[0].exercise == frame.candidate(item).slug
    goals = any(one.exercise in frame.posed.goal_lifts for one in main.entries)
    return "The lift that this day is built on." if is_first and not goals else ""


def gives_words(frame: Frame, day: int, item: int) -> str:
    """The counted sets that it gives to each need in the hardest week, of how many."""
    problem, week = frame.posed.problem, frame.hardest
    sets = frame.counted.spot(day, item).sets[week]
    given = [
        (problem.items[item].credits[need] * sets, need)
        for need in problem.items[item].credits
        if problem.needs[need].target > 0 and sets
    ]
    said = [
        f"{units / 2:g} of the {frame.counted.units[need][week] / 2:g} for {frame.need(need)}"
        for units, need in sorted(given, key=lambda one: (-one[0], one[1]))[:4]
    ]
    return f"Counted sets in {frame.week_words}: {join_words(said)}." if said else ""


def missed_words(frame: Frame, day: int, item: int) -> str:
    """What the week would miss without it, by recount."""
    effect = frame.counted.without(day, item)
    said = effect_words(frame, effect, MOST_SAID)
    if effect.points > 0:
        return f"Without it: {'; '.join(said)} ({points_words(effect)})." if said else ""
    if effect.points == 0:
        return "Without it no wish would be missed more than now."
    if frame.block.door == "write":
        stays = "you wrote it"
    else:
        stays = "it is asked for" if frame.posed.problem.items[item].times[0] else "the search left it in"
    return f"By points the week would be {points_words(effect)} without it; {stays}."


def weight_words(frame: Frame, day: int, item: int) -> str:
    """Needs that it serves and that count more than an ordinary one, with the goals that say so."""
    problem = frame.posed.problem
    claims = claims_of(frame.trainee, frame.brief, frame.context.catalogue)
    by_weight: dict[tuple[int, str], list[str]] = {}
    for need in problem.items[item].credits:
        weight = problem.needs[need].under // UNDER
        row = next((one for one in GENERAL if one[0] == problem.needs[need].name), None)
        if weight < 2 or row is None or problem.needs[need].target <= 0:
            continue
        words = {row[0], row[2], *row[1]}
        kinds = {claim.kind.replace("-", " ") for claim in claims if claim.weight == weight and claim.words & words}
        by_weight.setdefault((weight, join_words(sorted(kinds))), []).append(frame.need(need))
    said = []
    for (weight, kinds_said), names in sorted(by_weight.items(), reverse=True):
        goal = f" (goal: {kinds_said})" if kinds_said else ""
        verb = "counts" if len(names) == 1 else "count"
        times = "twice" if weight == 2 else f"{weight} times"
        said.append(f"{capital(join_words(names))} {verb} {times} an ordinary group{goal}.")
    return " ".join(said)


def capital(text: str) -> str:
    """A text that starts a sentence."""
    return text[:1].upper() + text[1:]


def liking_words(frame: Frame, item: int) -> str:
    """Likes, what was done before, and how far down the list of choices it stands."""
    candidate, trainee = frame.candidate(item), frame.trainee
    said = facts_of(frame, candidate)
    text = f"{trainee.name}: {join_words(said)}." if said else ""
    cost = frame.posed.problem.items[item].cost
    is_second = candidate.cost >= 2 and cost and frame.block.door == "design"
    return sentences(text, f"A second choice, {cost} points." if is_second else "")


def facts_of(frame: Frame, candidate: Candidate) -> list[str]:
    """What the trainee's file says of an exercise."""
    names = {candidate.slug, candidate.exercise.base, candidate.exercise.pattern}
    said = []
    if names & set(frame.trainee.likes):
        said.append("likes it")
    if names & set(frame.trainee.dislikes):
        said.append("does not like it")
    if candidate.slug in frame.known:
        said.append("has done it before")
    return said


# What an effect does, in words


def effect_words(frame: Frame, effect: Effect, most: int) -> list[str]:
    """What a change makes worse, the dearest first; amounts of one need together."""
    ranked = sorted(grouped(effect).items(), key=lambda one: (-one[1], str(one[0])))
    said = [cause_words(frame, cause, effect) for cause, points in ranked if points > 0]
    return list(dict.fromkeys(text for text in said if text))[:most]


def gain_words(frame: Frame, effect: Effect, most: int = 1) -> list[str]:
    """The amounts that a change brings nearer to what is wanted, the greatest gain first."""
    ranked = sorted(grouped(effect).items(), key=lambda one: (one[1], str(one[0])))
    said = [
        amount_words(frame, int(cause[1]), effect, -1)
        for cause, points in ranked
        if points < 0 and cause[0] == "amount"
    ]
    return [text for text in said if text][:most]


def grouped(effect: Effect) -> dict[Cause, int]:
    """Points by cause, those for the amounts of one need together."""
    found: dict[Cause, int] = {}
    for cause, points in effect.causes.items():
        key = ("amount", cause[1]) if cause[0] in ("under", "over", "below", "beyond") else cause
        found[key] = found.get(key, 0) + points
    return found


def cause_words(frame: Frame, cause: Cause, effect: Effect) -> str:
    """One thing that a change makes worse."""
    problem, kind = frame.posed.problem, cause[0]
    match kind:
        case "amount":
            return amount_words(frame, int(cause[1]), effect)
        case "leap":
            return f"sets for {frame.need(int(cause[1]))} would leap by more than a fifth from one week to the next"
        case "wish":
            return f"nothing would serve {problem.wishes[int(cause[1])].name}"
        case "together":
            return f"no day would hold {problem.together[int(cause[1])].name}"
        case "once":
            return once_words(frame, int(cause[1]), effect)
        case "thin":
            return "the week would hold fewer entries than its minutes are good for"
        case "bigless":
            return f"{day_of(frame, cause[1])} would have no big lift"
        case "crowded":
            return f"{day_of(frame, cause[1])} would hold more than its share of the goal lifts"
        case "session":
            most = problem.session_units / 2
            return f"more than {most:g} sets for {frame.need(int(cause[1]))} on {day_of(frame, cause[2])}"
        case "own session":
            own = problem.needs[int(cause[1])].session
            most = (own[0] if own else 0) / 2
            return f"more than {most:g} sets on {day_of(frame, cause[2])}, against a rule of your own"
        case "hard":
            first, second = day_of(frame, cause[2]), day_of(frame, cause[3])
            return f"{frame.need(int(cause[1]))} would be hard on {first} and {second}, two days running"
        case "twice":
            first, second = day_of(frame, cause[2]), day_of(frame, cause[3])
            return f"the same lift, or one of its kind, on {first} and {second}, two days running"
        case "conditioning":
            return f"the conditioning near {day_of(frame, cause[2])} would weigh on it"
        case "uneven":
            return "the days would differ more in length"
        case _:
            return ""


def day_of(frame: Frame, day: str | int) -> str:
    """A day of the problem by its name."""
    return DAY_NAMES[frame.days[int(day)]]


def once_words(frame: Frame, need: int, effect: Effect) -> str:
    """How many days hold full sets for a need."""
    problem = frame.posed.problem
    held = sum(1 for day in effect.plan.days if any(is_full(problem, spot.item, need) for spot in day))
    return f"{'only one day' if held else 'no day'} would hold full sets for {frame.need(need)}"


def amount_words(frame: Frame, need: int, effect: Effect, sign: int = 1) -> str:
    """How much of a need there would be instead of what there is: in the hardest week, or in the worst other one.

    sign : 1 for weeks that it makes worse, -1 for those that it makes better
    """
    problem, plan = frame.posed.problem, effect.plan
    weeks = {
        int(cause[2]): sign * points
        for cause, points in effect.causes.items()
        if cause[0] in ("under", "over", "below", "beyond") and cause[1] == need and sign * points > 0
    }
    if not weeks:
        return ""
    week = frame.hardest if frame.hardest in weeks else max(weeks, key=lambda one: (weeks[one], -one))
    credits = [(spot, problem.items[spot.item].credits.get(need, 0)) for day in plan.days for spot in day]
    after = problem.given(problem.needs[need], week) + sum(credit * spot.sets[week] for spot, credit in credits)
    before = frame.counted.units[need][week]
    wanted = problem.wanted(problem.needs[need], week)
    when = "" if week == frame.hardest else f" in week {frame.block.weeks[week].number}"
    wish = f"{wanted / 2:g}"
    if frame.block.door == "write":  # nobody asked for it: it is what a week for these goals usually holds
        return f"{frame.need(need)} {sets_words(after / 2)} instead of {before / 2:g} (usual: {wish}){when}"
    if after < before:
        return (
            f"{frame.need(need)} {after / 2:g} instead of {before / 2:g} of the {sets_words(wanted / 2)} wanted{when}"
        )
    if sign < 0:
        return (
            f"{frame.need(need)} {after / 2:g} instead of {before / 2:g} of the {sets_words(wanted / 2)} wanted{when}"
        )
    return f"{frame.need(need)} {sets_words(after / 2)} where {wish} are wanted{when}"


# Why here


def why_here(frame: Frame, day: int, item: int, part: str, entry: Entry) -> str:
    """The order of the day, who shares its rests, and what each other day would cost."""
    others = [other_day_words(frame, day, item, part, entry, to) for to in range(len(frame.days)) if to != day]
    return sentences(
        f"{DAY_NAMES[frame.days[day]]}, {lowered(order_words(frame, day, part, entry))}",
        pair_words(frame, day, entry),
        filler_words(frame, entry),
        *others,
    )


def lowered(text: str) -> str:
    """A text that goes on inside a sentence."""
    return text[:1].lower() + text[1:]


def other_day_words(frame: Frame, day: int, item: int, part: str, entry: Entry, to: int) -> str:
    """What another day would cost: the place, the minutes, muscles, lifts."""
    name = DAY_NAMES[frame.days[to]]
    problem = frame.posed.problem
    if to not in problem.items[item].days:
        return f"{name}: {closed_words(frame, item, to)}."
    if any(spot.item == item for spot in frame.plan.days[to]):
        return f"{name} holds it too."
    at_peak = next(
        (one for part_ in frame.session(day).parts for one in part_.entries if one.exercise == entry.exercise), entry
    )
    minutes, cap = frame.minutes_if_moved(at_peak, part, to), frame.session(to).minutes_cap
    effect = frame.counted.moved(day, item, to)
    said = []
    if cap is not None and minutes > cap + 1e-6:
        said.append(f"{minutes:g} of {cap:g} min with it")
    if len(effect.plan.days[to]) > problem.entries[1]:
        said.append(f"more than {problem.entries[1]} lifts")
    said += effect_words(frame, effect, 2)
    if not said:
        return (
            f"{name} would do as well."
            if effect.points == 0
            else f"{name} would be {points_words(effect)}{brings(frame, effect)}."
        )
    return f"{name}: {'; '.join(said)}{'' if effect.points <= 0 else f' ({points_words(effect)})'}."


def closed_words(frame: Frame, item: int, to: int) -> str:
    """Why an item may not stand on a day."""
    candidate, session = frame.candidate(item), frame.session(to)
    place = frame.context.places[session.place]
    if session.place in candidate.places:
        return "a rule of yours keeps it away"
    tokens = expand_tokens(place.tokens())
    missing = [sorted(option - tokens) for option in candidate.exercise.equipment]
    if missing and all(missing):
        least = min(missing, key=lambda one: (len(one), one))
        return f"{place.name} has no {join_words([in_words(one) for one in least])}"
    verdict = candidate.verdicts.get(session.place)
    return verdict.reasons[0].rstrip(".") if verdict is not None and verdict.reasons else f"not open at {place.name}"


# Why so much


def why_much(frame: Frame, day: int, item: int, part: str, entry: Entry, week: int = 1) -> str:
    """Sets over the weeks, what one more or less would do, and where effort and the load of a week come from."""
    spot = frame.counted.spot(day, item)
    return sentences(
        f"Sets: {runs_words(spot.sets)}.",
        more_words(frame, day, item),
        less_words(frame, day, item),
        takes_words(frame, day, part, entry),
        effort_words(frame, day, part, entry),
        load_words(frame, entry, frame.session(day).place, week),
    )


def more_words(frame: Frame, day: int, item: int) -> str:
    """What one set more in the hardest week would break or cost."""
    problem, counted = frame.posed.problem, frame.counted
    spot, week = counted.spot(day, item), frame.hardest
    top = spot.sets[week] + 1
    said = []
    if problem.items[item].fixed:
        said.append(f"{sets_words(problem.items[item].sets[1])} of it are asked for")
    elif top > sets_range(problem, item, week)[1] and frame.block.door == "design":
        said.append(f"no exercise gets more than {sets_range(problem, item, week)[1]} a session")
    minutes, cap = frame.minutes_with_set(day, frame.candidate(item).slug, 1), frame.session(day).minutes_cap
    if cap is not None and minutes > cap + 1e-6:
        said.append(f"{DAY_NAMES[frame.days[day]]} would last {minutes:g} of {cap:g} min")
    effect = counted.with_top(day, item, top)
    said += effect_words(frame, effect, 2)
    start = f"One more in {frame.week_words}"
    if not said:
        if effect.points < 0:
            against = "" if effect.is_allowed else ", against a limit of the search"
            return f"{start} would be {points_words(effect)}{against}{brings(frame, effect)}."
        return f"{start} would take {round(minutes - frame.session(day).minutes, 1):g} min and bring no wish nearer."
    return f"{start}: {'; '.join(said)}{'' if effect.points <= 0 else f' ({points_words(effect)})'}."


def less_words(frame: Frame, day: int, item: int) -> str:
    """What one set less in the hardest week would miss."""
    problem, counted = frame.posed.problem, frame.counted
    spot, week = counted.spot(day, item), frame.hardest
    top = spot.sets[week] - 1
    if problem.items[item].fixed or top < 1:
        return ""
    least = sets_range(problem, item, week)[0]
    effect = counted.with_top(day, item, top)
    said = effect_words(frame, effect, 2)
    if effect.points > 0 and said:
        return f"One less: {'; '.join(said)} ({points_words(effect)})."
    if top < least and frame.block.door == "design":
        return f"It is the least: an exercise gets {sets_words(least)} or none."
    if effect.points:
        return f"One less would be {points_words(effect)}{brings(frame, effect)}."
    return "One less would miss no wish."


def brings(frame: Frame, effect: Effect) -> str:
    """What a better change brings, after a colon; empty where nothing is named."""
    said = gain_words(frame, effect) if effect.points < 0 else []
    return f": {said[0]}" if said else ""


# What instead


def what_instead(frame: Frame, day: int, item: int, entry: Entry) -> str:
    """The two best exchanges by points, with what they lose; then the stand-ins for other cases."""
    searched = frame.block.door == "design" and frame.block.parent is None
    found = frame.counted.exchanges(day, item, only_alike=not searched)
    said = [f"{frame.name(frame.candidate(one.item).slug)}, {exchange_words(frame, day, item, one)}" for one in found]
    asked = frame.posed.problem.items[item].times[0] > 0
    start = "It is asked for itself; nearest by points" if asked else "Nearest by points with the same sets"
    text = f"{start}: {'. '.join(said)}." if said else "No other exercise that is open here keeps the limits."
    return sentences(text, case_words(frame, entry))


def exchange_words(frame: Frame, day: int, item: int, exchange: Exchange) -> str:
    """What an exchange comes to: points, what it gains and loses, minutes, and whether it was done before."""
    effect, other = exchange.effect, exchange.item
    gains = gain_words(frame, effect) if effect.points < 0 else []
    later = ["a later choice"] if problem_cost(frame, item, other) > 0 else []
    facts = facts_of(frame, frame.candidate(other))
    told = [*gains, *effect_words(frame, effect, 2), *later, *longer_words(frame, day, effect), *facts]
    return points_words(effect) + (f": {'; '.join(told)}" if told else "")


def problem_cost(frame: Frame, old: int, new: int) -> int:
    """How much later a choice one item is than another."""
    items = frame.posed.problem.items
    return items[new].cost - items[old].cost


def longer_words(frame: Frame, day: int, effect: Effect) -> list[str]:
    """About how many minutes more or less a changed day takes, by the reckoning of the search."""
    problem = frame.posed.problem
    before = seconds_of(problem, frame.plan.days[day], frame.hardest)
    more = (seconds_of(problem, effect.plan.days[day], frame.hardest) - before) / 60
    if abs(more) < 0.5:
        return []
    return [f"about {abs(more):.0f} min {'longer' if more > 0 else 'shorter'}"]


__all__ = ["QUESTIONS", "reasons_of", "with_reasons"]
