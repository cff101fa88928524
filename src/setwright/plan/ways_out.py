"""Why nothing fits, in a coach's words, and the cheapest ways out, each tried before it is named.

What may conflict: every wish that is met whole or not at all (lifts, exercises to include, skill, loaded mobility,
conditioning, work that a restriction wants kept), the minutes of each day, the coach's own rules about days and
entries, and the places that close a wish on some days. Costs are counted in minutes a week: a minute given more counts
once, a minute of wished work that goes counts twice (a choice of this project, no published source). What is no matter
of minutes comes after: an own rule, then equipment, then a restriction.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.equipment import in_words as equipment_words
from setwright.faults import NoPlan, Repair
from setwright.people.trainee import DAY_NAMES, DAYS, Day, TrainingDay
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.conflict import smallest_conflict
from setwright.plan.explain import join_words
from setwright.plan.fit import Search
from setwright.plan.gates import judge
from setwright.plan.trial import STEP_MIN, ChooseDays, Room, Trial, cap_of

MOST_REPAIRS = 3
MOST_DAYS, LEAST_DAYS = 6, 2  # a week, as a brief allows
COUNTS = {1: "once", 2: "twice", 3: "three times", 4: "four times"}
DAY_RULES = ("only-on", "not-on", "at-most-entries")

GOES, MINUTES, RULE, EQUIPMENT, RESTRICTION = range(5)  # what a way out takes: wished work, minutes, or others

Complete = Callable[[Brief], Brief]


@dataclass(frozen=True)
class Offer:
    """A change that may be a way out: its kind (one of each is named), the words, the cost, and what to try."""

    kind: str
    repair: Repair
    trial: Trial
    rank: int = GOES
    caps: tuple[tuple[Day, float], ...] = ()  # minutes of the days that grow, where that is what it does

    @property
    def dear(self) -> tuple[int, float]:
        """What it costs, to be compared."""
        minutes = self.repair.minutes or 0.0
        return max(self.rank, MINUTES), minutes * (2 if self.rank == GOES else 1)


@dataclass(frozen=True)
class Deadlock:
    """A smallest conflict, by member, in words; and the ways out."""

    members: tuple[str, ...]
    lines: tuple[str, ...]
    offers: tuple[Offer, ...]

    @property
    def repairs(self) -> tuple[Repair, ...]:
        """The ways out, the cheapest first."""
        return tuple(one.repair for one in self.offers)

    def as_error(self) -> NoPlan:
        """The error that carries it."""
        return NoPlan(self.lines, repairs=self.repairs)


def deadlock_of(search: Search, choose: ChooseDays, complete: Complete = lambda brief: brief) -> Deadlock | None:
    """Why the wishes of a search have no room, or None where they have.

    choose : the days of a trainee and a brief; complete : what a design adds to a brief before it searches
    """
    room = Room(search, choose)
    base = Trial(search.context.trainee, search.brief)
    if room.is_possible(base):
        return None
    members = members_of(room, base)
    core = smallest_conflict(members, lambda active: room.is_possible(without(base, members, active)))
    if not core:
        return None
    lines = tuple(lines_of(room, base, core))
    return Deadlock(core, lines, tuple(ways_out(room, base, core, complete)))


# Members


def members_of(room: Room, trial: Trial) -> tuple[str, ...]:
    """Everything that may be in a conflict, by name: wishes first, in the coach's order, then limits."""
    brief = trial.brief
    days = room.choose(trial.trainee, brief)
    wished = {one.key for one in room.wished(trial, days)}
    found = [f"lift {wish.exercise}" for wish in brief.lifts if wish.exercise in wished]
    found += [f"include {slug}" for slug in brief.include if slug in wished and f"lift {slug}" not in found]
    entries = [entry for day in days for entry in room.fixed(trial, day, cap_of(day, brief))]
    for name, there in (
        ("skill", any(entry.part == "skill" for entry in entries)),
        ("wanted", any(entry.locked for entry in entries)),
        ("loaded mobility", brief.loaded_mobility),
        ("conditioning", brief.conditioning != "none" or bool(brief.bouts)),
    ):
        found += [name] if there else []
    found += [f"minutes {day.day}" for day in days]
    found += [f"rule {rule.id}" for rule in brief.own_rules if rule.kind in DAY_RULES and rule.weight > 0]
    named = [one.split(" ", 1)[1] for one in found if one.startswith(("lift ", "include "))]
    found += [f"place {slug}" for slug in named if any(day.place not in room.candidates[slug].places for day in days)]
    return tuple(found)


def without(trial: Trial, members: Sequence[str], active: frozenset[str]) -> Trial:
    """A trial in which only some members count."""
    gone = [one for one in members if one not in active]
    names = {kind: {one.removeprefix(f"{kind} ") for one in gone if one.startswith(f"{kind} ")} for kind in KINDS}
    brief = replace(
        trial.brief,
        lifts=tuple(wish for wish in trial.brief.lifts if wish.exercise not in names["lift"]),
        include=tuple(slug for slug in trial.brief.include if slug not in names["include"]),
        own_rules=tuple(rule for rule in trial.brief.own_rules if rule.id not in names["rule"]),
        loaded_mobility=trial.brief.loaded_mobility and "loaded mobility" not in gone,
        conditioning="none" if "conditioning" in gone else trial.brief.conditioning,
        bouts=() if "conditioning" in gone else trial.brief.bouts,
    )
    free = frozenset(day for day in DAYS if day in names["minutes"])
    return replace(
        trial, brief=brief, free=free, opened=frozenset(names["place"]), spared=frozenset(gone) & {"skill", "wanted"}
    )


KINDS = ("lift", "include", "rule", "minutes", "place")


# Words


def lines_of(room: Room, trial: Trial, core: Sequence[str]) -> Iterator[str]:
    """One line for each member of a conflict; days of the same minutes share one."""
    brief = trial.brief
    days = room.choose(trial.trainee, brief)
    for one in core:
        kind, _, name = one.partition(" ")
        if kind == "lift":
            wish = wish_of(name, brief)
            yield f"{lift_words(room, wish)}: {each_time(room, trial, name, wish.times_a_week)}"
        elif kind == "include":
            yield f"{name_of(room, name)} in include, 2 sets: {each_time(room, trial, name, 1)}"
        elif one in PART_WORDS:
            yield f"{PART_WORDS[one]}: {part_minutes(room, trial, one)}"
        elif kind == "rule":
            rule = next(rule for rule in brief.own_rules if rule.id == name)
            yield f"your own rule: {rule.says.rstrip('.')}"
        elif kind == "place":
            yield closed_words(room, trial, name, days)
    caps: dict[float, list[str]] = {}
    for day in days:
        if f"minutes {day.day}" in core:
            caps.setdefault(cap_of(day, brief), []).append(DAY_NAMES[day.day])
    lifts = [one.partition(" ")[2] for one in core if one.startswith(("lift ", "include "))]
    for cap, names in caps.items():
        each = " each" if len(names) > 1 else ""
        warm = max((room.warm_up_minutes(trial, day, lifts) for day in days if cap_of(day, brief) == cap), default=0.0)
        warming = f", about {ceil(warm)} of them for the warm-up" if warm >= 1 else ""
        yield f"{join_words(names)}: {cap:g} min{each}{warming if lifts else TOO_SHORT}"


TOO_SHORT = ", too short for a warm-up, the shortest exercise and what stands there anyway"
PART_WORDS = {
    "skill": "skill work",
    "wanted": "work that a restriction wants kept",
    "loaded mobility": "loaded mobility",
    "conditioning": "conditioning",
}


def name_of(room: Room, slug: str) -> str:
    """The name of an exercise."""
    return room.search.context.catalogue.get(slug).name


def wish_of(slug: str, brief: Brief) -> LiftWish:
    """The wish for a lift."""
    return next(wish for wish in brief.lifts if wish.exercise == slug)


def lift_words(room: Room, wish: LiftWish) -> str:
    """``barbell back squat, 5 sets of 3 to 5 twice a week``."""
    low, high = wish.reps
    reps = f"{low}" if low == high else f"{low} to {high}"
    sets = f"{wish.sets} set{'' if wish.sets == 1 else 's'} of {reps}"
    return (
        f"{name_of(room, wish.exercise)}, {sets} {COUNTS.get(wish.times_a_week, f'{wish.times_a_week} times')} a week"
    )


def own_minutes(room: Room, trial: Trial, slug: str) -> float:
    """Minutes that a wish takes in a session, ramp sets and change-over included, at the least."""
    days = room.choose(trial.trainee, trial.brief)
    one = room.candidate(trial, slug)
    there = [day for day in days if one is not None and day.place in one.places]
    return max(1.0, min((room.entry_minutes(trial, day, slug) for day in there), default=1.0))


def each_time(room: Room, trial: Trial, slug: str, times: int) -> str:
    """``about 18 min each time``."""
    return f"about {ceil(own_minutes(room, trial, slug))} min{' each time' if times > 1 else ''}"


def part_minutes(room: Room, trial: Trial, part: str) -> str:
    """Minutes of a part in the session where it takes most."""
    days = room.choose(trial.trainee, trial.brief)
    gone = without(trial, (part,), frozenset())
    most = max(stands_anyway(room, trial, day) - stands_anyway(room, gone, day) for day in days)
    return f"about {ceil(most)} min a session"


def weekly(room: Room, trial: Trial) -> float:
    """Minutes a week of what stands on the days beside the lifts, warm-ups included."""
    return sum(stands_anyway(room, trial, day) for day in room.choose(trial.trainee, trial.brief))


def stands_anyway(room: Room, trial: Trial, day: TrainingDay) -> float:
    """Minutes of what stands on a day beside the lifts, its warm-up included."""
    return room.minutes_of(trial, day, cap_of(day, trial.brief), ())


def closed_words(room: Room, trial: Trial, slug: str, days: Sequence[TrainingDay]) -> str:
    """Why a wish cannot stand on some days."""
    one, places = room.candidates[slug], room.search.context.places
    shut = [day for day in days if day.place not in one.places]
    where = places[shut[0].place]
    missing = missing_equipment(one.exercise.equipment, expand_tokens(where.tokens()))
    names = join_words([DAY_NAMES[day.day] for day in shut])
    if missing:
        return f"{one.exercise.name} not on {names}: {where.name} has no {joined_by_or(missing)}"
    why = next(iter(one.verdicts[where.id].reasons), "it is closed there")
    return f"{one.exercise.name} not on {names}: {why.rstrip('.')}"


def joined_by_or(tokens: Sequence[str]) -> str:
    """``barbell or rack``."""
    return " or ".join(equipment_words(one) for one in tokens)


# Ways out


def ways_out(room: Room, trial: Trial, core: Sequence[str], complete: Complete) -> Iterator[Offer]:
    """The cheapest ways out that were tried, each of another kind, cheapest first."""
    taken: set[str] = set()
    for offer in sorted(offers(room, trial, core, complete), key=lambda one: one.dear):
        if offer.kind not in taken:
            taken.add(offer.kind)
            yield offer
        if len(taken) == MOST_REPAIRS:
            return


def offers(room: Room, trial: Trial, core: Sequence[str], complete: Complete) -> Iterator[Offer]:
    """Every single change that was tried and makes room."""

    def works(tried: Trial) -> bool:
        return room.is_possible(replace(tried, brief=complete(tried.brief)))

    yield from longer_days(room, trial, works)
    named = [one.split(" ", 1)[1] for one in core if one.startswith(("lift ", "include "))]
    yield from left_out(room, trial, named, works)
    yield from fewer_of_all(room, trial, works)
    for one in core:
        kind, _, name = one.partition(" ")
        if kind == "lift":
            yield from fewer_sets(room, trial, name, works)
            yield from fewer_times(room, trial, name, works)
        if one in PART_WORDS:
            yield from part_left_out(room, trial, one, works)
        if kind == "rule":
            yield from rule_left_out(trial, name, works)
        if kind == "place":
            yield from opened(room, trial, name, works)
    if any(one.startswith("minutes ") for one in core):
        yield from day_less(room, trial, works)
    yield from day_more(room, trial, works)


Works = Callable[[Trial], bool]


def longer_days(room: Room, trial: Trial, works: Works) -> Iterator[Offer]:
    """The fewest minutes more, in steps of five, over all days; one day rather than two."""
    packed = room.packed(trial, may_grow=True)
    if packed is None or not any(packed.steps):
        return
    days = room.choose(trial.trainee, trial.brief)
    caps = {day.day: cap_of(day, trial.brief) + STEP_MIN * more for day, more in zip(days, packed.steps, strict=True)}
    grown = [day for day, more in zip(days, packed.steps, strict=True) if more]
    tried = with_minutes(trial, {day.day: caps[day.day] for day in grown})
    if not works(tried):
        return
    total = sum(caps[day.day] - cap_of(day, trial.brief) for day in grown)
    words = longer_words(trial, grown, caps)
    offer = Repair(words, f"{total:g} min more a week", total)
    yield Offer("minutes", offer, tried, MINUTES, tuple((day.day, caps[day.day]) for day in grown))


def longer_words(trial: Trial, grown: Sequence[TrainingDay], caps: Mapping[Day, float]) -> str:
    """Which days get how many minutes, and in which file that is said."""
    old = trial.brief.minutes
    if all(caps[day.day] <= day.minutes for day in grown):
        names = join_words([DAY_NAMES[day.day] for day in grown])
        return f"{max(caps[day.day] for day in grown):g} min a session in the brief instead of {old:g}, for {names}"
    alike: dict[tuple[float, float], list[str]] = {}
    for day in grown:
        alike.setdefault((caps[day.day], cap_of(day, trial.brief)), []).append(DAY_NAMES[day.day])
    said = join_words([f"{join_words(names)} {new:g} min instead of {now:g}" for (new, now), names in alike.items()])
    both = "the brief and the trainee file" if any(caps[day.day] > old for day in grown) else "the trainee file"
    return f"{said} (in {both})"


def with_minutes(trial: Trial, caps: dict[Day, float]) -> Trial:
    """A trial with other minutes on some days; the brief's are raised where they are fewer."""
    days = tuple(
        replace(day, minutes=max(day.minutes, caps[day.day])) if day.day in caps else day for day in trial.trainee.days
    )
    brief = replace(trial.brief, minutes=max(trial.brief.minutes, *caps.values()))
    return replace(trial, trainee=replace(trial.trainee, days=days), brief=brief)


def fewer_sets(room: Room, trial: Trial, slug: str, works: Works) -> Iterator[Offer]:
    """The fewest sets less of a lift that make room."""
    wish = wish_of(slug, trial.brief)

    def tried(sets: int) -> Trial:
        return with_wish(trial, replace(wish, sets=sets))

    if wish.sets < 2 or not works(tried(1)):
        return
    low, high = 1, wish.sets - 1  # low works
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if works(tried(middle)) else (low, middle - 1)
    saved = own_minutes(room, trial, slug) - own_minutes(room, tried(low), slug)
    minutes = max(1.0, saved * wish.times_a_week)
    words = f"{name_of(room, slug)} with {low} set{'' if low == 1 else 's'} instead of {wish.sets}"
    yield Offer("sets", Repair(words, f"about {minutes:.0f} min less of it a week", round(minutes, 1)), tried(low))


def fewer_times(room: Room, trial: Trial, slug: str, works: Works) -> Iterator[Offer]:
    """The fewest times a week less of a lift that make room."""
    wish = wish_of(slug, trial.brief)
    for times in range(wish.times_a_week - 1, 0, -1):
        tried = with_wish(trial, replace(wish, times_a_week=times))
        if works(tried):
            minutes = own_minutes(room, trial, slug) * (wish.times_a_week - times)
            said = f"{COUNTS[times]} a week instead of {COUNTS.get(wish.times_a_week, str(wish.times_a_week))}"
            costs = f"about {minutes:.0f} min less of it a week"
            yield Offer("times", Repair(f"{name_of(room, slug)} {said}", costs, round(minutes, 1)), tried)
            return


def with_wish(trial: Trial, wish: LiftWish) -> Trial:
    """A trial with another wish for a lift."""
    lifts = tuple(wish if one.exercise == wish.exercise else one for one in trial.brief.lifts)
    return replace(trial, brief=replace(trial.brief, lifts=lifts))


def fewer_of_all(room: Room, trial: Trial, works: Works) -> Iterator[Offer]:
    """All lifts with at most so many sets, or once a week each, or both: the most that makes room, from two sets on."""
    lifts = [wish for wish in trial.brief.lifts if wish.exercise in room.candidates]
    if len(lifts) < 2:
        return
    top = max(wish.sets for wish in lifts)
    for once in (False, True):
        if once and all(wish.times_a_week == 1 for wish in lifts):
            return
        for most in range(top if once else top - 1, 1, -1):
            tried = with_less_of_all(trial, most, once)
            if works(tried):
                before = minutes_of_wishes(room, trial, [wish.exercise for wish in lifts])
                after = minutes_of_wishes(room, tried, [wish.exercise for wish in lifts])
                minutes = max(1.0, before - after)
                words = less_words(room, lifts, most, once)
                costs = f"about {minutes:.0f} min less of them a week"
                yield Offer("times" if once else "sets", Repair(words, costs, round(minutes, 1)), tried)
                return


def with_less_of_all(trial: Trial, most: int, once: bool) -> Trial:
    """A trial whose lifts have at most so many sets, and stand once a week where that is asked."""
    fewer = tuple(
        replace(wish, sets=min(wish.sets, most), times_a_week=1 if once else wish.times_a_week)
        for wish in trial.brief.lifts
    )
    return replace(trial, brief=replace(trial.brief, lifts=fewer))


def less_words(room: Room, lifts: Sequence[LiftWish], most: int, once: bool) -> str:
    """``at most 3 sets of A (instead of 5) and B (instead of 4)``, or each lift once a week."""
    touched = [wish for wish in lifts if wish.sets > most]
    sets = join_words([f"{name_of(room, one.exercise)} (instead of {one.sets})" for one in touched])
    if once:
        return "each lift once a week" + (f", at most {most} sets of {sets}" if touched else "")
    return f"at most {most} sets of {sets}"


MOST_LEFT_OUT = 3


def left_out(room: Room, trial: Trial, slugs: Sequence[str], works: Works) -> Iterator[Offer]:
    """The fewest wishes that make room when they go whole: any one of the core, else the fewest of all together."""
    alone = [(slug, without_wishes(trial, (slug,))) for slug in slugs]
    enough = [(minutes_of_wishes(room, trial, (slug,)), slug, tried) for slug, tried in alone if works(tried)]
    if enough:
        minutes, _, tried = min(enough, key=lambda one: one[:2])
        names = [goal_words(room, trial, one) for _, one, _ in enough]
        costs = f"{'about' if len(names) == 1 else 'at least about'} {minutes:.0f} min less of it a week"
        words = f"without {', '.join([*names[:-2], ' or '.join(names[-2:])])}"
        yield Offer("wish", Repair(words, costs, round(minutes, 1)), tried)
        return
    every = [wish.exercise for wish in trial.brief.lifts] + list(trial.brief.include)
    open_ones = [slug for slug in dict.fromkeys(every) if slug in room.candidates]
    for count in range(2, MOST_LEFT_OUT + 1):
        found = [
            (minutes_of_wishes(room, trial, some), some, tried)
            for some in combinations(open_ones, count)
            if works(tried := without_wishes(trial, some))
        ]
        if found:
            minutes, some, tried = min(found, key=lambda one: one[:2])
            words = f"without {join_words([goal_words(room, trial, one) for one in some])}"
            yield Offer("wish", Repair(words, f"about {minutes:.0f} min less of them a week", round(minutes, 1)), tried)
            return


def minutes_of_wishes(room: Room, trial: Trial, slugs: Sequence[str]) -> float:
    """Minutes a week that some wishes take."""
    times = {wish.exercise: wish.times_a_week for wish in trial.brief.lifts}
    return sum(own_minutes(room, trial, slug) * times.get(slug, 1) for slug in slugs)


def goal_words(room: Room, trial: Trial, slug: str) -> str:
    """The name of a wish; with what to do where a design would take it in again."""
    return name_of(room, slug) + (" (put it into exclude, it is a goal too)" if is_goal(trial, slug) else "")


def is_goal(trial: Trial, slug: str) -> bool:
    """True for a strength goal of the trainee, which a design takes into the brief unless that excludes it."""
    return any(goal.kind == "strength" and goal.about == slug for goal in trial.trainee.goals)


def without_wishes(trial: Trial, slugs: Sequence[str]) -> Trial:
    """A trial without some wishes."""
    brief = trial.brief
    fewer = replace(
        brief,
        lifts=tuple(wish for wish in brief.lifts if wish.exercise not in slugs),
        include=tuple(one for one in brief.include if one not in slugs),
        exclude=(*brief.exclude, *(slug for slug in slugs if is_goal(trial, slug))),
    )
    return replace(trial, brief=fewer)


def part_left_out(room: Room, trial: Trial, part: str, works: Works) -> Iterator[Offer]:
    """Skill work, loaded mobility or conditioning left out; what a restriction wants is for who set it to say."""
    shorter = replace(trial, brief=replace(trial.brief, conditioning="short"))
    if part == "conditioning" and trial.brief.conditioning == "long" and works(shorter):
        minutes = max(1.0, weekly(room, trial) - weekly(room, shorter))
        costs = f"about {minutes:.0f} min less of it a week"
        yield Offer("shorter part", Repair("short conditioning instead of long", costs, round(minutes, 1)), shorter)
    tried = without(trial, (part,), frozenset())
    if not works(tried):
        return
    minutes = max(1.0, weekly(room, trial) - weekly(room, tried))
    if part != "wanted":
        costs = f"about {minutes:.0f} min less of it a week"
        yield Offer("part", Repair(f"without {PART_WORDS[part]}", costs, round(minutes, 1)), tried)
        return
    setters = [rule.set_by or "the coach" for rule in trial.trainee.restrictions if rule.wanted]
    words = f"without the work that a restriction wants kept, if {join_words(list(dict.fromkeys(setters)))} agrees"
    yield Offer("restriction", Repair(words, "who set it decides"), tried, RESTRICTION)


def rule_left_out(trial: Trial, name: str, works: Works) -> Iterator[Offer]:
    """An own rule left out."""
    rules = tuple(rule for rule in trial.brief.own_rules if rule.id != name)
    tried = replace(trial, brief=replace(trial.brief, own_rules=rules))
    if works(tried):
        says = next(rule.says for rule in trial.brief.own_rules if rule.id == name)
        yield Offer("rule", Repair(f"without your rule: {says.rstrip('.')}", "one of your own rules"), tried, RULE)


def opened(room: Room, trial: Trial, slug: str, works: Works) -> Iterator[Offer]:
    """What would open a wish at the places that close it."""
    if not works(replace(trial, opened=trial.opened | {slug})):
        return
    days = room.choose(trial.trainee, trial.brief)
    places = dict.fromkeys(day.place for day in days if day.place not in room.candidates[slug].places)
    said = [opening_words(room, slug, place) for place in places]
    rank = max(level for _, level in said)
    costs = "who set it decides" if rank == RESTRICTION else "to be bought, or another room"
    words = "; ".join(text for text, _ in said)
    yield Offer("place", Repair(words, costs), replace(trial, opened=trial.opened | {slug}), rank)


def opening_words(room: Room, slug: str, place: str) -> tuple[str, int]:
    """What opens an exercise at a place, in words, and what that takes."""
    context = room.search.context
    exercise, here = context.catalogue.get(slug), context.places[place]
    tokens = expand_tokens(here.tokens())
    missing = missing_equipment(exercise.equipment, tokens)
    shut = [
        rule
        for rule in context.trainee.restrictions
        if not judge(exercise, (rule,), tokens, dials={}, ignore_equipment=True).allowed
    ]
    words = [f"{join_words([equipment_words(one) for one in missing])} at {here.name}"] if missing else []
    words += [lift_restriction_words(rule.joint, rule.set_by) for rule in shut]
    text = f"{exercise.name} is open with {join_words(words)}" if words else f"{exercise.name} opened at {here.name}"
    return text, RESTRICTION if shut else EQUIPMENT


def who_opens(slug: str, search: Search) -> str:
    """Who may open a wish that restrictions close everywhere, tried at the gates; empty where none of them does."""
    context = search.context
    exercise, trainee = context.catalogue.get(slug), context.trainee
    shut = [
        rule
        for rule in trainee.restrictions
        if not judge(exercise, (rule,), frozenset(), dials={}, ignore_equipment=True).allowed
    ]
    still = tuple(rule for rule in trainee.restrictions if rule not in shut)
    if not shut or not judge(exercise, still, frozenset(), trainee, ignore_equipment=True).allowed:
        return ""
    setters = join_words(list(dict.fromkeys(rule.set_by or "who set it" for rule in shut)))
    return f"Only {setters} can lift that."


def lift_restriction_words(joint: str, set_by: str) -> str:
    """Who must lift a restriction."""
    name = {"trunk": "back"}.get(joint, joint)
    return f"the {name} restriction lifted by {set_by or 'who set it'}"


def missing_equipment(options: Sequence[frozenset[str]], tokens: frozenset[str]) -> list[str]:
    """The fewest things that are missing for an exercise; none where one of its sets is there."""
    if not options or any(option <= tokens for option in options):
        return []
    return min((sorted(option - tokens) for option in options), key=lambda one: (len(one), one))


def day_more(room: Room, trial: Trial, works: Works) -> Iterator[Offer]:
    """One day more: a day of the trainee that is not used yet, or else a new one."""
    if trial.brief.days_a_week >= MOST_DAYS:
        return
    used = {day.day for day in room.choose(trial.trainee, trial.brief)}
    more = replace(trial, brief=replace(trial.brief, days_a_week=max(len(used), LEAST_DAYS - 1) + 1))
    new_day = len(trial.trainee.days) == len(used)
    if new_day:
        longest = max(trial.trainee.days, key=lambda day: day.minutes)
        new = replace(longest, day=farthest_day(used))
        more = replace(more, trainee=replace(trial.trainee, days=(*trial.trainee.days, new)))
    days = room.choose(more.trainee, more.brief)
    if len(days) <= len(used) or not works(more):
        return
    added = [day for day in days if day.day not in used]
    minutes = sum(cap_of(day, trial.brief) for day in days) - sum(
        cap_of(day, trial.brief) for day in room.choose(trial.trainee, trial.brief)
    )
    said = join_words([f"{DAY_NAMES[day.day]} {cap_of(day, trial.brief):g} min" for day in added])
    note = ", new in the trainee file" if new_day else ""
    words = f"{len(days)} days a week instead of {len(used)} ({said}{note})"
    yield Offer("day", Repair(words, f"{minutes:g} min more a week", minutes), more, MINUTES)


def farthest_day(used: Iterable[Day]) -> Day:
    """The weekday farthest from all used ones, the earliest of equals."""
    at = [DAYS.index(day) for day in used]

    def gap(index: int) -> int:
        return min((min((index - one) % 7, (one - index) % 7) for one in at), default=7)

    return DAYS[max(range(7), key=lambda index: (gap(index), -index))]


def day_less(room: Room, trial: Trial, works: Works) -> Iterator[Offer]:
    """One training day less, where a day that must be filled is itself the trouble."""
    before = room.choose(trial.trainee, trial.brief)
    if len(before) <= LEAST_DAYS:
        return
    fewer = replace(trial, brief=replace(trial.brief, days_a_week=len(before) - 1))
    if works(fewer):
        after = {day.day for day in room.choose(fewer.trainee, fewer.brief)}
        gone = [day for day in before if day.day not in after]
        minutes = sum(cap_of(day, trial.brief) for day in gone)
        words = f"{len(before) - 1} days a week instead of {len(before)}"
        yield Offer("day less", Repair(words, f"{minutes:g} min of training a week", minutes), fewer)
