"""Whether the wishes of a brief have room: each trial is a trainee and a brief, changed or not, packed onto days.

The time model itself is asked for every session that is tried, so what has room here has room on the sheet. Nothing
is searched but the days of the wishes: assistance takes what is left, and an empty day takes its shortest exercise.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import PartName
from setwright.dose.minutes import CHANGE_OVER_S, straight_seconds
from setwright.people.place import Place
from setwright.people.trainee import Day, Trainee, TrainingDay
from setwright.plan.arrange import PART_ORDER
from setwright.plan.block import Entry, Part
from setwright.plan.brief import Brief
from setwright.plan.candidates import Candidate, find_candidates
from setwright.plan.compose import Context, compose_entry, needs_ramp, warm_up_of
from setwright.plan.conflict import NEVER, Packed, Wished, pack
from setwright.plan.fit import (
    NOVICE_YEARS,
    OLDER_YEARS,
    SPARE_S,
    Fixed,
    Search,
    build_template,
    counted_entries,
    gather_fixed,
)
from setwright.plan.own_rules import OwnRule
from setwright.plan.own_wishes import allows
from setwright.plan.posing import MOST_ENTRIES, Pick, item_of, set_seconds, without_twins
from setwright.plan.session_time import session_minutes_of, set_time
from setwright.plan.template import TemplateEntry, TemplateSession

STEP_MIN = 5.0
MOST_MIN = 240.0  # of a session, as a brief allows
LEAST_SETS = 2  # of an exercise in ``include``, and of what fills an empty day
SHORT_TRIED = 4  # exercises that are tried for the shortest day

ChooseDays = Callable[[Trainee, Brief], tuple[TrainingDay, ...]]


@dataclass(frozen=True)
class Trial:
    """What is tried: a trainee and a brief.

    opened : wished exercises that may stand on every day, whatever the places and restrictions close
    free : days whose minutes do not count; spared : "skill", "wanted" (what restrictions want): without it, and
        nothing comes in its place, so that less asked is never more to do
    """

    trainee: Trainee
    brief: Brief
    opened: frozenset[str] = frozenset()
    free: frozenset[Day] = frozenset()
    spared: frozenset[str] = frozenset()


def cap_of(day: TrainingDay, brief: Brief) -> float:
    """Minutes of a day: its own, or the brief's where they are fewer."""
    return min(day.minutes, brief.minutes)


@dataclass
class Room:
    """Answers whether trials have room; remembers the minutes of every session it tried."""

    search: Search
    choose: ChooseDays
    minutes_known: dict[Hashable, float] = field(default_factory=dict)
    steps_known: dict[Hashable, int] = field(default_factory=dict)
    fixed_known: dict[Hashable, tuple[TemplateEntry, ...]] = field(default_factory=dict)
    least_known: dict[Hashable, int] = field(default_factory=dict)
    candidates: dict[str, Candidate] = field(init=False)

    def __post_init__(self) -> None:
        found, context = self.search.candidates, self.search.context
        searched = {day.place for day in self.search.days}
        others = {day.place for day in context.trainee.days} - searched
        if others:  # a day that is not used yet may be at another place
            places = [place for name, place in context.places.items() if name in searched | others]
            brief, known = self.search.brief, self.search.known
            found, _ = find_candidates(context.catalogue, context.trainee, places, brief, context.estimates, known)
        self.candidates = {one.slug: one for one in found}

    def is_possible(self, trial: Trial) -> bool:
        """True when every wish of a trial that is open anywhere finds its days."""
        return self.packed(trial) is not None

    def packed(self, trial: Trial, may_grow: bool = False) -> Packed | None:
        """The wishes of a trial on its days; with ``may_grow`` in days that grow as little as they must."""
        days = self.choose(trial.trainee, trial.brief)
        most = [max(0, int((MOST_MIN - cap_of(day, trial.brief)) // STEP_MIN)) if may_grow else 0 for day in days]
        seconds = [60 * (24 * 60 if day.day in trial.free else cap_of(day, trial.brief)) for day in days]
        limit = min((one.entries for one in trial.brief.own_rules if limits_entries(one)), default=99)
        fixed = max((counted_entries(self.fixed(trial, day, cap_of(day, trial.brief))) for day in days), default=0)
        return pack(
            self.wished(trial, days),
            seconds,
            lambda day, keys: self.steps_needed(trial, days[day], keys),
            most,
            int(60 * STEP_MIN),
            max(1, min(MOST_ENTRIES, limit - fixed)),
        )

    def wished(self, trial: Trial, days: tuple[TrainingDay, ...]) -> list[Wished]:
        """The wishes that are open on some day, each with its days; of the others the block says why."""
        names = [wish.exercise for wish in trial.brief.lifts] + list(trial.brief.include)
        found = []
        for slug in dict.fromkeys(names):
            one = self.candidate(trial, slug)
            if one is None:
                continue
            item = item_of(one, (), (), trial.brief, days, frozenset(), len(self.search.shapes))
            if not item.days:
                continue
            least = min(self.least_seconds(trial, slug, days[day]) for day in item.days)
            found.append(Wished(slug, item.times[0], item.days, least))
        return [one for one in found if one.times > 0]

    def candidate(self, trial: Trial, slug: str) -> Candidate | None:
        """A wished exercise as a candidate, or None where it is closed everywhere."""
        one = self.candidates.get(slug)
        if one is None or slug not in trial.opened:
            return one
        return replace(one, places=frozenset(self.search.context.places))

    def fixed(self, trial: Trial, day: TrainingDay, cap: float) -> tuple[TemplateEntry, ...]:
        """The entries that stand on a day of ``cap`` minutes beside the wishes for lifts."""
        brief = replace(trial.brief, minutes=max(trial.brief.minutes, cap), lifts=(), include=())
        days = self.choose(trial.trainee, trial.brief)
        key = (days, day.day, cap, brief.minutes, brief.skill, brief.conditioning, brief.bouts, brief.loaded_mobility)
        if key not in self.fixed_known:
            context = self.search.context
            here = [replace(one, minutes=cap) if one.day == day.day else one for one in days]
            made = gather_fixed(
                context.catalogue, self.search.context.trainee, brief, here, context.places, self.search.shapes
            )
            for one, entries in zip(here, made.by_day, strict=True):
                if one.day == day.day:
                    self.fixed_known[key] = entries
        entries = self.fixed_known[key]
        return tuple(
            one
            for one in entries
            if not (one.part == "skill" and "skill" in trial.spared)
            and not (one.locked and one.part != "skill" and "wanted" in trial.spared)
        )

    def steps_needed(self, trial: Trial, day: TrainingDay, keys: frozenset[str]) -> int:
        """By how many steps a day must grow to hold some wishes (its shortest exercise where there are none)."""
        if day.day in trial.free:
            return 0
        cap = cap_of(day, trial.brief)
        sets = frozenset((slug, sets_wished(slug, trial.brief)) for slug in keys)
        days = self.choose(trial.trainee, trial.brief)
        brief = trial.brief
        work = (brief.conditioning, brief.bouts)
        parts = (brief.minutes, brief.skill, work, brief.loaded_mobility, trial.spared)
        rules = tuple(one for one in brief.own_rules if one.kind in ("only-on", "not-on"))
        shortest = () if keys else (rules, wished_of(brief))
        key = (days, day, sets, parts, shortest)
        if key not in self.steps_known:
            steps = 0
            while cap + STEP_MIN * steps <= MOST_MIN or steps == 0:
                now = cap + STEP_MIN * steps
                made = self.minutes(trial, day, now, keys)
                if made <= now + 1e-6:
                    break
                if made > MOST_MIN:
                    steps = NEVER
                    break
                steps += 1
            else:
                steps = NEVER
            self.steps_known[key] = steps
        return self.steps_known[key]

    def minutes(self, trial: Trial, day: TrainingDay, cap: float, keys: frozenset[str]) -> float:
        """Minutes of a session of some wishes and what stands there anyway, in its longest week."""
        if keys:
            return self.minutes_of(trial, day, cap, tuple((one, sets_wished(one, trial.brief)) for one in sorted(keys)))
        tried = [self.minutes_of(trial, day, cap, ((one.slug, LEAST_SETS),)) for one in self.shortest(trial, day)]
        return min(tried, default=float("inf"))

    def minutes_alone(self, trial: Trial, day: TrainingDay, slug: str) -> float:
        """Minutes of a day that holds two sets of one exercise, and what stands there anyway."""
        return self.minutes_of(trial, day, cap_of(day, trial.brief), ((slug, LEAST_SETS),))

    def shortest(self, trial: Trial, day: TrainingDay) -> list[Candidate]:
        """The few exercises beside the wishes that are likely to take a day's fewest minutes, likeliest first."""
        named = wished_of(trial.brief)
        open_ones = [
            one
            for one in without_twins(tuple(self.candidates.values()), self.search.brief)
            if day.place in one.places
            and one.slug not in named
            and all(rule.weight <= 0 or allows(rule, one.exercise, day.day) for rule in trial.brief.own_rules)
        ]
        return sorted(open_ones, key=lambda one: (LEAST_SETS * set_seconds(one) - one.rest_s, one.slug))[:SHORT_TRIED]

    def minutes_of(self, trial: Trial, day: TrainingDay, cap: float, rows: tuple[tuple[str, int], ...]) -> float:
        """Minutes of a session of exercises with their sets, in its longest week."""
        fixed = self.fixed(trial, day, cap)
        key = (day.day, day.place, cap <= 40, tuple((one.exercise, one.part, one.schemes) for one in fixed), rows)
        if key not in self.minutes_known:
            session = self.session(trial, day, cap, fixed, rows)
            weeks = [self.hardest]
            if self.search.shapes[0].kind == "build" and not self.starts_with_one_set:
                weeks.append(0)
            self.minutes_known[key] = max(self.bare_minutes(session, week) for week in dict.fromkeys(weeks))
        return self.minutes_known[key]

    @property
    def hardest(self) -> int:
        """Index of the week with the most sets, the last of equals."""
        shapes = self.search.shapes
        return max(range(len(shapes)), key=lambda week: (shapes[week].kind != "deload", shapes[week].share, week))

    @property
    def starts_with_one_set(self) -> bool:
        """True for people over 65 who are new to lifting (rule L08): their first weeks are shorter."""
        trainee, on = self.search.context.trainee, self.search.context.on
        return on.year - trainee.birth_year >= OLDER_YEARS and trainee.training_years < NOVICE_YEARS

    def session(
        self,
        trial: Trial,
        day: TrainingDay,
        cap: float,
        fixed: tuple[TemplateEntry, ...],
        rows: tuple[tuple[str, int], ...],
    ) -> TemplateSession:
        """A day of exercises with their sets, arranged as a design arranges it."""
        goals = {wish.exercise for wish in trial.brief.lifts}
        weeks = len(self.search.shapes)
        picks = [Pick(self.candidates[slug], 0, (sets,) * weeks, slug in goals) for slug, sets in rows]
        here = replace(self.search, brief=trial.brief, days=[day], caps=[cap], fixed=Fixed((fixed,), (0,), ()))
        return build_template([picks], here).sessions[0]

    def bare_minutes(self, session: TemplateSession, week: int) -> float:
        """Minutes of a session by the time model."""
        context = self.search.context
        return session_minutes_of(self.parts(session, week), context.catalogue, context.places[session.place])

    def parts(self, session: TemplateSession, week: int, warm: bool = True) -> list[Part]:
        """A session composed without what takes no time; ``warm``: with its warm-up."""
        return bare_parts(session, week, len(self.search.shapes), self.search.context, warm)

    def entry_minutes(self, trial: Trial, day: TrainingDay, slug: str) -> float:
        """Minutes of one wish on a day by itself, with ramp sets and one change-over."""
        sets = sets_wished(slug, trial.brief)
        key = ("entry", slug, sets, day.place)
        if key not in self.minutes_known:
            session = self.session(trial, day, cap_of(day, trial.brief), (), ((slug, sets),))
            alone = self.parts(session, self.hardest, warm=False)
            context = self.search.context
            minutes = session_minutes_of(alone, context.catalogue, context.places[session.place])
            self.minutes_known[key] = minutes + CHANGE_OVER_S / 60.0
        return self.minutes_known[key]

    def warm_up_minutes(self, trial: Trial, day: TrainingDay, slugs: Sequence[str]) -> float:
        """Minutes of the warm-up of a day, for those of some wishes that may stand there."""
        open_ones = [slug for slug in slugs if day.place in self.candidates[slug].places]
        rows = tuple((slug, sets_wished(slug, trial.brief)) for slug in sorted(open_ones))
        session = self.session(trial, day, cap_of(day, trial.brief), (), rows)
        context = self.search.context
        first = [part for part in self.parts(session, self.hardest) if part.part == "warm-up"]
        return session_minutes_of(first, context.catalogue, context.places[session.place])

    def least_seconds(self, trial: Trial, slug: str, day: TrainingDay) -> int:
        """Seconds that the working sets of a wish take on a day whatever stands beside it."""
        sets = sets_wished(slug, trial.brief)
        key = (slug, sets, day.place)
        if key not in self.least_known:
            session = self.session(trial, day, cap_of(day, trial.brief), (), ((slug, sets),))
            entry = next(one for one in session.entries if one.exercise == slug)
            context = self.search.context
            made = compose_entry(entry, self.hardest, context.places[day.place], context, False, bare=True)
            times = [] if made is None else [set_time(one, context.catalogue.get(slug)) for one in made.sets]
            alone = slug in {wish.exercise for wish in trial.brief.lifts}
            self.least_known[key] = int(straight_seconds(times) if alone else sum(one.work_s for one in times))
        return self.least_known[key]


def bare_parts(session: TemplateSession, week: int, weeks: int, context: Context, warm: bool = True) -> list[Part]:
    """A session composed without what takes no time (stand-ins, fillers); ``warm``: with its warm-up."""
    place = context.places[session.place]
    ready: set[str] = set()
    done: set[str] = set()
    made: dict[PartName, list[Entry]] = {}
    for entry in (*(warm_up(session, place, weeks, context) if warm else ()), *session.entries):
        if entry.schemes[week] is None:
            continue
        exercise = context.catalogue.get(entry.exercise)
        ramp = entry.exercise not in done and needs_ramp(entry, exercise, ready)
        one = compose_entry(entry, week, place, context, ramp, bare=True)
        done.add(entry.exercise)
        if entry.part in ("main", "skill", "assistance", "finisher"):
            ready |= {muscle for muscle, credit in set_credits(exercise).items() if credit == 1}
        if one is not None:
            made.setdefault(entry.part, []).append(one)
    return [Part(name, tuple(made[name])) for name in PART_ORDER if name in made]


def warm_up(session: TemplateSession, place: Place, weeks: int, context: Context) -> tuple[TemplateEntry, ...]:
    """The warm-up of a session, made once for the same lifts."""
    is_short = session.minutes_cap is not None and session.minutes_cap <= 40
    lifts = tuple((one.exercise, one.part, str(one.dials)) for one in session.entries if one.part not in LAST_PARTS)
    key = ("bare", session.place, is_short, lifts)
    return context.remember(key, lambda: warm_up_of(session, place, context, weeks))


LAST_PARTS = ("loaded-mobility", "conditioning")


def limits_entries(rule: OwnRule) -> bool:
    """True for an own rule that says how many entries a session has at most."""
    return rule.kind == "at-most-entries" and bool(rule.entries)


def wished_of(brief: Brief) -> frozenset[str]:
    """The exercises that a brief names: they take their own places, and fill no empty day."""
    return frozenset(wish.exercise for wish in brief.lifts) | frozenset(brief.include)


def sets_wished(slug: str, brief: Brief) -> int:
    """Sets a session of a wish: a lift's own, two of what is only to be included."""
    return next((wish.sets for wish in brief.lifts if wish.exercise == slug), LEAST_SETS)


def spare_seconds(minutes: float) -> int:
    """Spare minutes of a day as seconds for the search, a few of them kept back."""
    return max(0, int(60 * minutes) - SPARE_S)


LEAST_SEARCH = 0.5  # deterministic time of each question of such a search
ROOM_FOR_MORE_MIN = 8.0  # a day with less to spare gets its shortest exercise and no other


def on_packed_days(room: Room, trial: Trial, packed: Packed, seconds: Sequence[int]) -> tuple[Search, list[int]]:
    """A search with every wish kept to the days it was packed on, and seconds in which its own reckoning holds them.

    For wishes that have room by the time model where the search, with its guess at ramp sets and warm-up, saw none.
    A short day without a wish gets its shortest exercise.
    """
    search, weeks = room.search, len(room.search.shapes)
    stands: dict[str, list[Day]] = {}
    least = [0] * len(search.days)
    rules: list[OwnRule] = []
    for index, (day, keys) in enumerate(zip(search.days, packed.days, strict=True)):
        for slug in sorted(keys):
            stands.setdefault(slug, []).append(day.day)
            item = item_of(room.candidates[slug], (), (), search.brief, search.days, frozenset(), weeks)
            least[index] += sets_wished(slug, search.brief) * item.set_s + item.once_s
        cap = cap_of(day, trial.brief)
        short = [] if keys else room.shortest(trial, day)
        if not short:
            least[index] += spare_seconds(cap - room.minutes(trial, day, cap, keys)) if keys else 0
            continue
        first = min(short, key=lambda one: room.minutes_alone(trial, day, one.slug))
        spare = cap - room.minutes_alone(trial, day, first.slug)
        least[index] = LEAST_SETS * set_seconds(first) + int(CHANGE_OVER_S) + spare_seconds(spare)
        if spare < ROOM_FOR_MORE_MIN:
            stands.setdefault(first.slug, []).append(day.day)
            others = [one.slug for one in search.candidates if one.slug != first.slug]
            rules += [OwnRule(f"packed-{one}", "too long", "not-on", what=one, days=(day.day,)) for one in others]
    rules += [
        OwnRule(f"packed-{slug}", "where it has room", "only-on", what=slug, days=tuple(days))
        for slug, days in sorted(stands.items())
    ]
    named = {wish.exercise for wish in search.brief.lifts} | set(search.brief.include)
    include = (*search.brief.include, *(slug for slug in sorted(stands) if slug not in named))
    brief = replace(search.brief, own_rules=(*search.brief.own_rules, *rules), include=include)
    enough = [max(one, other) for one, other in zip(seconds, least, strict=True)]
    return replace(search, brief=brief, limit=max(search.limit, LEAST_SEARCH)), enough
