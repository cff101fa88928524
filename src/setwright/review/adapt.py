"""The weeks that remain, dosed anew from what was learnt. The shape of the plan stays; every change says why.

What was done as planned lowers nothing, and one bad week takes off a tenth at most.
A missed week never raises the next load; more pain never means more load at that joint; missed repetitions step
the load back even where the estimate would keep it; pain at the stop level, or sharp or numb, stops the exercise.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import joint_stress, set_credits
from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.step_sizes import Between, DemandOf, in_between, nothing_known, step_size
from setwright.catalogue.store import Catalogue
from setwright.dose.implements import loads_in
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.restriction_text import joint_words, needs_a_clinician, sore_joint
from setwright.people.trainee import Restriction
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Block, Change, Entry, Part, PlannedSet, Session, Settled, Week
from setwright.plan.block_days import week_start
from setwright.plan.compose import Context, compose_entry, planned_sets
from setwright.plan.fixed_parts import skill_entry, skill_scheme
from setwright.plan.gates import LEG, SAID, judge, uses_of
from setwright.plan.next_revision import next_revision
from setwright.plan.restrict import free_lonely_supersets, in_words, parted
from setwright.plan.schemes import schemes_of
from setwright.plan.session_time import session_minutes_of
from setwright.plan.template import Scheme
from setwright.plan.weeks import WeekShape
from setwright.review.pain import RegionPain, limit_at, pain_by_region
from setwright.review.progress import PAIN_WATCH, Standing, planned_standings
from setwright.review.rep_range import RangeDone, is_in_range, next_load, ranges_done
from setwright.review.volume import WeekDone, done_by_week, last_day
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log

STEP_BACK = 0.95
MOST_RISE, MOST_RISE_WHEN_EASY = 1.05, 1.10  # over the load planned (rule L04: a step is 2 to 10 %)
EASY_BY_RIR, VERY_EASY_BY_RIR = 1.0, 2.0
AS_PLANNED_RIR = -1.0  # called reserve less planned reserve, down to which a week counts as done as planned
MOST_FALL, MOST_FALL_AFTER_TWO = 0.90, 0.80  # of the load planned, after one bad week and after two
LEAST_CHANCE = 0.2  # of the top of the rep range; a rise that the estimate thinks less likely than this is not made
EVEN_CHANCE = 0.5  # of a rise beyond the usual step
LOADED_PARTS = ("main", "skill", "assistance", "finisher")
SAME_KG = 1e-6
LEAST_SHIFT = 2  # repetitions at the same load that are worth a change (common practice, no published source)


def adapt_block(
    block: Block,
    log: Log,
    estimates: Estimates,
    catalogue: Catalogue,
    as_of: date | None = None,
    demand: DemandOf = nothing_known,
) -> Block:
    """The next revision: weeks after the last logged one, re-dosed, with the list of changes.

    as_of : the date up to which the log counts; its last date when None (a morning tells of the day before)
    demand : how hard a variant is, so that a step up that is much at once says what could come in between
    Raises NoPlan where the log names a red flag: a licensed clinician comes first.
    Weeks that have begun stay as they are. Where nothing changes, the old block comes back unchanged.
    """
    if not log.sets and not log.sessions:
        return block
    require_no_red_flag(log)
    today = as_of or last_day(log) or block.inputs.brief.start
    weeks_done = done_by_week(block, log, catalogue)
    context = Context(
        block.inputs.trainee,
        {place.id: place for place in block.inputs.places},
        block.inputs.brief,
        catalogue,
        estimates,
        today,
    )
    pains = pain_by_region(log, block.inputs.trainee.restrictions, catalogue, today)
    brakes = find_brakes(weeks_done, log, catalogue, block.inputs.trainee.restrictions, today)
    brake_for_regions(brakes, pains, weeks_done, block, catalogue)
    brakes.moves = planned_standings(block, log, catalogue)
    brakes.demand = demand
    brakes.ranges = ranges_done(block, log, schemes_of(catalogue))
    brakes.first_week = next((one.number for one in block.weeks if week_start(block, one.number) > today), 0)
    weeks, changes = [], []
    for week in block.weeks:
        if week_start(block, week.number) <= today:
            weeks.append(week)
            continue
        new_week, made = adapt_week(week, brakes, context)
        weeks.append(new_week)
        changes += made
    return revised(block, weeks, changes, catalogue)


def revised(
    block: Block,
    weeks: Sequence[Week],
    changes: Sequence[Change],
    catalogue: Catalogue,
    settled: Sequence[Settled] = (),
) -> Block:
    """The next revision with these weeks and rows; the block itself where nothing changes."""
    if not changes:
        return block
    inputs = replace(block.inputs, own=dict(catalogue.own))
    return next_revision(block, weeks, changes, catalogue, inputs=inputs, settled=tuple(settled))


class Brakes:
    """What must not go up: exercises by slug, with the reason and the highest load allowed (kg), or None for any.

    ``stops``: exercises that rest, with the reason; ``told``: those with a call or a failure in the log
    ``easy``: those called clearly easier than planned, by how many repetitions; ``steady``: those done as planned in
    their last week; ``bad_weeks``: weeks with missed repetitions
    ``sore``: what a sore joint would close, for every place where pain reached the stop level; ``sore_lifts``: lifts
    that hurt at a place nobody named; ``sore_muscles``: groups a log names as painful
    ``moves``: where the trainee stands on each progression planned; ``first_week``: the first week that may change
    ``demand``: how hard a variant is; ``ranges``: the last time of each exercise in a range of repetitions
    """

    def __init__(self) -> None:
        self.caps: dict[str, tuple[float | None, str]] = {}
        self.stops: dict[str, str] = {}
        self.told: set[str] = set()
        self.easy: dict[str, float] = {}
        self.steady: set[str] = set()
        self.bad_weeks: dict[str, int] = {}
        self.sore: tuple[Restriction, ...] = ()
        self.sore_lifts: set[str] = set()
        self.sore_muscles: set[str] = set()
        self.demand: DemandOf = nothing_known
        self.moves: dict[str, Standing] = {}
        self.first_week = 0
        self.ranges: dict[str, RangeDone] = {}

    def put(self, slug: str, cap_kg: float | None, why: str) -> None:
        """Adds a brake; the lower cap and its reason win."""
        old = self.caps.get(slug)
        if old is None or (cap_kg is not None and (old[0] is None or cap_kg < old[0])):
            self.caps[slug] = (cap_kg, why)


def find_brakes(
    weeks: tuple[WeekDone, ...],
    log: Log,
    catalogue: Catalogue,
    restrictions: Sequence[Restriction] = (),
    on: date = date.max,
) -> Brakes:
    """Brakes from missed repetitions, pain, and weeks without a set.

    restrictions, on : a clinician's figure in a clearance in force that day says how much pain is allowed
    """
    watched: dict[str, int] = {}
    brakes = Brakes()
    last: dict[str, tuple[int, float | None]] = {}
    for week in weeks:
        for entry in week.entries:
            if entry.sets_done:
                _, load = last.get(entry.exercise, (0, None))
                load = entry.load_done_kg if entry.load_done_kg is not None else load
                last[entry.exercise] = (week.number, load)
    for done_set in log.sets:
        sharp = done_set.pain_kind in ("sharp", "numb")
        level = "pain" if done_set.pain is None else f"pain {done_set.pain} of 10"
        slug = catalogue.get(done_set.exercise).slug
        limit = limit_at(done_set.pain_where, restrictions, on)
        if done_set.pain:
            watched[slug] = min(limit.watch, watched.get(slug, limit.watch))
        if done_set.rir is not None or done_set.ended_by == "muscle":
            brakes.told.add(slug)
        if sharp or (done_set.pain is not None and done_set.pain >= limit.stop):
            kind = f", {done_set.pain_kind}," if sharp else ""
            where = f" ({done_set.pain_where})" if done_set.pain_where else ""
            brakes.stops[slug] = (
                f"{level}{kind}{where} on {done_set.date.isoformat()}: stopped until a licensed "
                "clinician or the coach opens it again; restrict the sore joint to get work in its place"
            )
            muscles = sore_muscles(done_set.pain_where)
            brakes.sore += sore_joints(done_set.pain_where)
            brakes.sore_muscles |= muscles
            if not muscles and not sore_joints(done_set.pain_where):
                brakes.sore_lifts.add(slug)
        elif not done_set.pain and (done_set.ended_by == "pain" or done_set.pain_where or done_set.pain_kind):
            why = f"pain without a number on {done_set.date.isoformat()}: less; a licensed clinician if it stays"
            brakes.put(slug, None if done_set.load_kg is None else STEP_BACK * done_set.load_kg, why)
    newest = max((week.number for week in weeks), default=0)
    gaps: dict[str, list[float]] = {}
    for week in weeks:
        for entry in week.entries:
            if entry.rir_gap is not None:
                gaps.setdefault(entry.exercise, []).append(entry.rir_gap)
    means = {slug: sum(rows) / len(rows) for slug, rows in gaps.items()}
    brakes.easy = {slug: gap for slug, gap in means.items() if gap >= EASY_BY_RIR}
    for week in weeks:
        for entry in week.entries:
            if entry.sets_done and last[entry.exercise][0] == week.number:
                done = entry.load_done_kg
                enough = entry.reps_short == 0 and entry.sets_done >= entry.sets_planned
                calm = entry.worst_pain is None or entry.worst_pain < watched.get(entry.exercise, PAIN_WATCH)
                if enough and calm and (entry.rir_gap is None or entry.rir_gap >= AS_PLANNED_RIR):
                    brakes.steady.add(entry.exercise)
                if entry.reps_short >= 2 and done is not None:
                    brakes.put(
                        entry.exercise,
                        STEP_BACK * done,
                        f"{entry.reps_short} repetitions missed in week {week.number}: a step back",
                    )
                if entry.worst_pain is not None and entry.worst_pain >= watched.get(entry.exercise, PAIN_WATCH):
                    brakes.put(
                        entry.exercise,
                        None if done is None else STEP_BACK * done,
                        f"pain {entry.worst_pain} of 10 in week {week.number}: less; a licensed clinician if it stays",
                    )
    for week in weeks:
        short = {entry.exercise for entry in week.entries if entry.reps_short >= 2}
        for slug in short:
            brakes.bad_weeks[slug] = brakes.bad_weeks.get(slug, 0) + 1
    for slug, (number, load) in last.items():
        if number < newest and load is not None:
            brakes.put(slug, load, f"not done since week {number}: no more than then")
    return brakes


def brake_for_regions(
    brakes: Brakes, pains: Sequence[RegionPain], weeks: tuple[WeekDone, ...], block: Block, catalogue: Catalogue
) -> None:
    """Adds what pain at a region means for all that loads it: stops where it rises or is too much, else no more.

    A morning counts like a set: what was done the day before at that region rests, or gets no more.
    """
    last = {entry.exercise: entry.load_done_kg for week in weeks for entry in week.entries if entry.sets_done}
    planned = {
        entry.exercise
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
    }
    for one in pains:
        if one.verdict == "go on":
            continue
        why = f"pain at the {one.where}, {one.why}"
        rests = f"{why}: it rests until {one.see} or the coach opens it again"
        strong = one.worst_morning is not None and one.worst_morning >= one.limit.stop
        if one.verdict == "stop":
            for slug in one.exercises:
                brakes.stops.setdefault(slug, rests)
            if strong:
                brakes.sore += sore_joints(one.where)
                brakes.sore_muscles |= sore_muscles(one.where)
        for slug in sorted(planned):
            works = loads_region(slug, one, catalogue)
            if slug not in one.exercises and not works:
                continue
            load = last.get(slug)
            if one.verdict != "hold" and (slug in one.exercises or not one.exercises) and load is not None:
                brakes.put(slug, STEP_BACK * load, f"{why}: less; see {one.see} if it stays")
            brakes.put(slug, load, f"{why}: no more load there until it falls")
            brakes.easy.pop(slug, None)


def loads_region(slug: str, one: RegionPain, catalogue: Catalogue) -> bool:
    """True where an exercise works a painful joint or muscle, or stresses it at all; all lifts for an unnamed place."""
    exercise = catalogue.get(slug)
    muscles = sore_muscles(one.where)
    if one.joint is not None:
        works = any(use.joint == one.joint and use.role != "held" for use in exercise.actions)
        return works or joint_stress(exercise).get(one.joint, 0) >= 1
    if muscles:
        credits = set_credits(exercise)
        return any(credits.get(muscle, 0.0) > 0 for muscle in muscles)
    return not one.exercises


MUSCLE_WORDS = {
    "hamstring": "hamstrings",
    "hamstrings": "hamstrings",
    "hammy": "hamstrings",
    "quad": "quads_vasti",
    "quads": "quads_vasti",
    "thigh": "quads_vasti",
    "glute": "glute_max",
    "glutes": "glute_max",
    "adductor": "adductors",
    "adductors": "adductors",
    "groin": "adductors",
    "calf": "gastrocnemius",
    "calves": "gastrocnemius",
    "biceps": "elbow_flexors",
    "bicep": "elbow_flexors",
    "triceps": "triceps",
    "tricep": "triceps",
    "pec": "pec_sternal",
    "pecs": "pec_sternal",
    "lat": "lats",
    "lats": "lats",
    "delt": "delt_lateral",
    "delts": "delt_lateral",
    "forearm": "forearm_flexors",
    "forearms": "forearm_flexors",
    "abs": "abdominals",
}


def sore_muscles(where: str) -> set[str]:
    """The muscle groups that a place in a log names."""
    return {MUSCLE_WORDS[word] for word in re.findall(r"[a-z]+", where.lower()) if word in MUSCLE_WORDS}


def sore_joints(where: str) -> tuple[Restriction, ...]:
    """What the default of a sore joint closes, for every joint that a place in a log names.

    Nothing is wanted there instead until somebody decides, and a leg takes no impact.
    """
    found = []
    named = dict.fromkeys(joint_words().get(word) for word in re.findall(r"[a-z]+", where.lower()))
    for joint in named:
        if joint is not None:
            default = sore_joint(joint)
            impact = 0 if joint in LEG else default.impact_max
            found.append(replace(default, wanted=(), impact_max=impact))
    return tuple(found)


CLINICIAN_FIRST = "stop and see a licensed clinician first; nothing is planned round this"


def require_no_red_flag(log: Log) -> None:
    """Raises NoPlan when pain in a log, or a note, names what no plan answers."""
    for note, day in ((one.note, one.date) for one in log.sessions):
        if needs_a_clinician(note, is_note=True):
            raise NoPlan((f"{day.isoformat()}: {note}.",), CLINICIAN_FIRST)
    for row in log.sessions:
        hurts = row.morning_pain or row.pain_kind in ("sharp", "numb")
        if row.pain_kind == "numb" or (hurts and needs_a_clinician(row.pain_where)):
            words = ", ".join(piece for piece in (row.pain_kind or "", row.pain_where) if piece)
            raise NoPlan((f"{row.date.isoformat()}, in the morning: {words}.",), CLINICIAN_FIRST)
    for one in log.sets:
        hurts = one.pain or one.pain_kind in ("sharp", "numb") or one.ended_by == "pain"
        flagged = one.pain_kind == "numb" or (hurts and needs_a_clinician(one.pain_where))
        if flagged or needs_a_clinician(one.note, is_note=True):
            words = ", ".join(piece for piece in (one.pain_kind or "", one.pain_where, one.note) if piece)
            raise NoPlan((f"{one.date.isoformat()}, {one.exercise.replace('_', ' ')}: {words}.",), CLINICIAN_FIRST)


SORE_STRESS = 2  # joint stress (0 to 3) from which an entry rests after pain at the stop level


def closed_by_pain(entry: Entry, place_id: str, brakes: Brakes, context: Context) -> str:
    """Why an entry rests after pain at the stop level, or an empty text."""
    if entry.exercise in brakes.stops:
        return brakes.stops[entry.exercise]
    exercise = context.catalogue.get(entry.exercise)
    until = "it rests until a licensed clinician or the coach decides"
    for rule in brakes.sore:
        said = SAID.get(rule.joint, rule.joint)
        verdict = judge(exercise, (rule,), context.tokens(place_id), dials=entry.dials, ignore_equipment=True)
        changed = "side" in verdict.dials or verdict.dials.get("range_deg") != entry.dials.get("range_deg")
        works = uses_of(exercise, rule) and exercise.load_capacity > 0 and exercise.mode != "cyclic"
        stressed = joint_stress(exercise, entry.dials).get(rule.joint, 0) >= SORE_STRESS
        if not verdict.allowed or changed or works or stressed:
            return (
                f"the log has strong or sharp pain at the {said}, which this loads: {until}; "
                f'restrict with "{said} is sore" plans work in its place'
            )
    credits = set_credits(exercise)
    for muscle in sorted(brakes.sore_muscles):
        if credits.get(muscle, 0.0) > 0 and exercise.load_capacity > 0:
            return f"the log has strong or sharp pain in the {muscle_groups()[muscle].label}, which this works: {until}"
    primes = {use.slug for use in exercise.actions if use.role == "prime"}
    for slug in sorted(brakes.sore_lifts):
        hurt = context.catalogue.get(slug)
        if primes & {use.slug for use in hurt.actions if use.role == "prime"} and exercise.load_capacity > 0:
            return f"it moves like {hurt.name}, which hurt: {until}"
    return ""


def adapt_week(week: Week, brakes: Brakes, context: Context) -> tuple[Week, list[Change]]:
    """One week that lies ahead, re-dosed."""
    changes: list[Change] = []
    sessions = []
    for session in week.sessions:
        new, made = adapt_session(session, week.number, brakes, context, frozenset())
        cap = None if session.minutes_cap is None else max(session.minutes_cap, session.minutes)
        kept: set[str] = set()
        while cap is not None and new.minutes > cap + 1e-6:
            longer = [
                one.exercise for one in entries_of(new) if one.exercise not in kept and takes_longer(one, session)
            ] or [one for one in steps_left(session, new) if one not in kept]
            if not longer:
                break
            kept.add(longer[-1])  # the last entry that grew stays as it was: minutes are hard
            new, made = adapt_session(session, week.number, brakes, context, frozenset(kept))
        sessions.append(new)
        changes += made
    if not changes:
        return week, []
    return replace(week, sessions=tuple(sessions)), changes


def entries_of(session: Session) -> list[Entry]:
    """All entries of a session, in order."""
    return [entry for part in session.parts for entry in part.entries]


def steps_left(before: Session, after: Session) -> list[str]:
    """Exercises of progressions that a session held before and no longer holds: a step was taken."""
    now = {entry.exercise for entry in entries_of(after)}
    return [entry.exercise for entry in entries_of(before) if entry.progression and entry.exercise not in now]


def takes_longer(new: Entry, before: Session) -> bool:
    """True when an entry asks more repetitions, or more ramp sets, than it did."""

    def size(entry: Entry) -> int:
        return sum((one.reps[0] + one.reps[1]) if one.reps else 1 for one in entry.sets)

    return any(size(new) > size(old) for old in entries_of(before) if old.exercise == new.exercise)


def adapt_session(
    session: Session, week: int, brakes: Brakes, context: Context, kept: frozenset[str]
) -> tuple[Session, list[Change]]:
    """One session that lies ahead, re-dosed. ``kept``: exercises that stay as they are."""
    changes: list[Change] = []
    parts = []
    for part in session.parts:
        if part.part not in LOADED_PARTS and not (brakes.sore or brakes.sore_lifts or brakes.sore_muscles):
            parts.append(part)
            continue
        entries = []
        for entry in part.entries:
            name, was = context.catalogue.get(entry.exercise).name, in_words(entry, context.catalogue)
            why = closed_by_pain(entry, session.place, brakes, context)
            if why:
                changes.append(Change(week, session.day, name, was, "rests", why, "the log"))
                continue
            move = None
            if entry.exercise not in kept:
                move = moved_step(entry, part.part, session.place, week, brakes, context)
            if move is not None and not_up(move[1], entry, brakes):
                entries.append(entry)  # pain never brings more
                continue
            if move is not None and not closed_by_pain(move[0], session.place, brakes, context):
                new, stands = move
                to = in_words(new, context.catalogue)
                much = much_at_once(stands, new, brakes.demand, context.catalogue, open_at(session.place, context))
                why = f"{stands.why.rstrip('.')}. {much}" if much else stands.why
                changes.append(Change(week, session.day, name, was, to, why, stands.evidence or LIMITS))
                entries.append(new)
                continue
            new, why = (
                (entry, "") if entry.exercise in kept else adapt_entry(entry, part, session.place, brakes, context)
            )
            if new is not entry:
                now, evidence = in_words(new, context.catalogue), evidence_of(entry.exercise, context)
                changes.append(Change(week, session.day, name, was, now, why, evidence))
            entries.append(new)
        if entries:
            alone = free_lonely_supersets(entries)
            changes += parted(entries, alone, week, session.day, context.catalogue)
            parts.append(Part(part.part, tuple(alone)))
    minutes = session_minutes_of(tuple(parts), context.catalogue, context.places[session.place])
    return replace(session, parts=tuple(parts), minutes=minutes), changes


LIMITS = "the restrictions and what the place has"
ENTRY_SHARE, SHARE_A_WEEK = 0.6, 0.1  # of the exit test on a new step, and more a week (common practice, no source)


def not_up(stands: Standing, entry: Entry, brakes: Brakes) -> bool:
    """True where a move leads up, also inside the entry, and the log has pain in this very exercise."""
    return stands.verdict in ("step up", "small step") and "pain" in brakes.caps.get(entry.exercise, (None, ""))[1]


def much_at_once(
    stands: Standing,
    new: Entry,
    demand: DemandOf,
    catalogue: Catalogue,
    is_open: Callable[[Between], bool] = lambda one: True,
) -> str:
    """What to say of a step up that asks much more at once, with what is open and could come first; empty else."""
    step = stands.to
    if stands.verdict != "step up" or step is None or new.exercise != step.exercise:
        return ""
    size = step_size(stands.step, step, demand)
    if not size.is_too_big or size.ratio is None:
        return ""
    ways = [one for one in in_between(stands.step, step, catalogue, demand) if is_open(one)]
    first = "; or ".join(f"{catalogue.get(one.exercise).name} with {one.words}" for one in ways)
    said = f"It asks {round(100 * (size.ratio - 1))} % more at once"
    return f"{said}; in between: {first}." if first else f"{said}."


def open_at(place_id: str, context: Context) -> Callable[[Between], bool]:
    """Whether restrictions leave a way in between open as it is said; no load is proposed beside a restriction."""
    rules = context.trainee.restrictions

    def is_open(one: Between) -> bool:
        verdict = judge(context.catalogue.get(one.exercise), rules, context.tokens(place_id), context.trainee)
        return verdict.allowed and not verdict.dials and not (rules and one.dial == "load")

    return is_open


def moved_step(
    entry: Entry, part: PartName, place_id: str, week: int, brakes: Brakes, context: Context
) -> tuple[Entry, Standing] | None:
    """The skill entry after a step up, back, sideways or inside it, or None where it stays.

    A new step begins at 60 % of its exit test and grows by a tenth of it a week; sets stay as many as planned.
    """
    stands = brakes.moves.get(entry.progression or "")
    if stands is None or entry.step != stands.step.number:
        return None
    if stands.verdict == "small step" and stands.small is not None:
        small = stands.small
        dials = {**entry.dials, small.dial: small.to, **small.sets}
        return None if dials == entry.dials else (replace(entry, dials=dials), stands)
    step = stands.to
    if stands.verdict not in ("step up", "step back", "sideways") or step is None:
        return None
    place, old = context.places[place_id], scheme_of(entry)
    for slug in dict.fromkeys((stands.exercise, step.exercise, *step.sideways)):
        exercise = context.catalogue.get(slug)
        verdict = judge(exercise, context.trainee.restrictions, context.tokens(place_id), context.trainee)
        if not verdict.allowed or old is None or slug in context.brief.exclude:
            continue
        shape = WeekShape(week, "build", 7.0, 1.0)
        made = skill_entry(stands.climb, step, exercise, verdict, (shape,))
        share = min(1.0, ENTRY_SHARE + SHARE_A_WEEK * max(0, week - brakes.first_week))
        scheme = eased(skill_scheme(exercise, step, shape, stands.climb.slug, step.number), share)
        scheme = replace(scheme, sets=min(scheme.sets, old.sets))
        template = replace(made, part=part, schemes=(scheme,), superset=entry.superset)
        new = compose_entry(template, 0, place, context, with_ramp=False)
        if new is not None and (new.exercise, new.step) != (entry.exercise, entry.step):
            return new, stands
    return None


def eased(scheme: Scheme, share: float) -> Scheme:
    """A skill dose at a share of its exit test."""
    if scheme.reps is not None:
        high = max(1, round(share * scheme.reps[1]))
        return replace(scheme, reps=(max(1, high - 2), high))
    if scheme.hold_s is not None:
        return replace(scheme, hold_s=max(5.0, float(round(share * scheme.hold_s))))
    if scheme.distance_m is not None:
        return replace(scheme, distance_m=max(5.0, float(5 * round(share * scheme.distance_m / 5))))
    return scheme


def adapt_entry(entry: Entry, part: Part, place_id: str, brakes: Brakes, context: Context) -> tuple[Entry, str]:
    """The entry with new loads, or the same object where nothing changes; and why.

    Only entries dosed from strength move: light work that a restriction wants has no chance and stays.
    """
    scheme = scheme_of(entry)
    working = entry.working_sets
    if scheme is None or not working or working[0].load_kg is None or working[0].chance is None:
        return entry, ""
    exercise = context.catalogue.get(entry.exercise)
    if exercise.slug not in context.estimates.lifts:
        return entry, ""
    old_load = working[0].load_kg
    place = context.places[place_id]
    with_ramp = any(one.kind == "ramp" for one in entry.sets)
    cap, braked = brakes.caps.get(exercise.slug, (None, ""))
    if braked:
        cap = old_load if cap is None else min(cap, old_load)
    in_range = brakes.ranges.get(exercise.slug)
    if not braked and in_range is not None and is_in_range(entry, schemes_of(context.catalogue)):
        load = next_load(in_range, exercise, place)
        if abs(load - old_load) < SAME_KG:
            return entry, ""
        made = planned_sets(exercise, replace(scheme, load_kg=load), place, context, part.part, with_ramp)
        what = f"all sets reached {in_range.reps[1]}" if in_range.reached else f"a set had {in_range.lowest}"
        then = "the next load" if in_range.reached else "the load stays"
        return replace(entry, sets=made), f"{what} at {in_range.load_kg:g} kg: {then}"
    if not braked:
        cap = old_load * (MOST_RISE_WHEN_EASY if exercise.slug in brakes.easy else MOST_RISE)
    sets = planned_sets(exercise, scheme, place, context, part.part, with_ramp, cap)
    new = next(one for one in sets if one.kind != "ramp")
    if new.load_kg is None:
        return entry, ""
    in_pain = "pain" in braked
    if outgrows(new, scheme) and (in_pain or (not braked and new.load_kg > old_load + SAME_KG)):
        # The step of the load is limited, so the rest of the gain waits for the next one: the range stays the coach's.
        sets = sets_at(new.load_kg, exercise, scheme, place, context, part.part, with_ramp)
        new = next(one for one in sets if one.kind != "ramp")
    if new.load_kg is None:
        return entry, ""
    gap = brakes.easy.get(exercise.slug, 0.0)
    is_less = new.load_kg < old_load - SAME_KG or (
        abs(new.load_kg - old_load) < SAME_KG and fewer_reps(new, working[0])
    )
    if gap and not braked and new.load_kg < old_load + SAME_KG:
        up = next((one.load_kg for one in loads_in(place, exercise) if one.load_kg > old_load + SAME_KG), None)
        if up is not None and (up <= old_load * MOST_RISE_WHEN_EASY + SAME_KG or gap >= VERY_EASY_BY_RIR):
            risen = sets_at(up, exercise, scheme, place, context, part.part, with_ramp)
            first = next(one for one in risen if one.kind != "ramp")
            sure = LEAST_CHANCE if up <= old_load * MOST_RISE + SAME_KG else EVEN_CHANCE
            if first.chance is not None and first.chance >= sure:
                return replace(entry, sets=risen), "the sets so far were easier than planned: more load"
    if is_less and not braked and (exercise.slug in brakes.steady or gap):
        return entry, ""  # done as planned: nothing to take off
    if not is_less and not braked:
        if exercise.slug not in brakes.told:
            return entry, ""  # nobody called how hard it was: nothing says that more is due
        if new.load_kg > old_load + SAME_KG and new.chance is not None and new.chance < LEAST_CHANCE:
            return entry, ""
    if in_pain and new.load_kg > old_load - SAME_KG:
        return entry, ""  # pain never brings more, nor more repetitions
    least = old_load * (MOST_FALL_AFTER_TWO if brakes.bad_weeks.get(exercise.slug, 0) >= 2 else MOST_FALL)
    if new.load_kg < least - SAME_KG and not in_pain:
        lighter = [one.load_kg for one in loads_in(place, exercise) if one.load_kg < old_load - SAME_KG]
        held = next((load for load in lighter if load >= least - SAME_KG), max(lighter, default=None))
        if held is not None and held > new.load_kg + SAME_KG:
            sets = sets_at(held, exercise, scheme, place, context, part.part, with_ramp)
            new = next(one for one in sets if one.kind != "ramp")
    if new.load_kg is None or (abs(new.load_kg - old_load) < SAME_KG and new.reps == working[0].reps):
        return entry, ""
    if not braked and abs(new.load_kg - old_load) < SAME_KG and top_shift(new, working[0]) < LEAST_SHIFT:
        return entry, ""  # one repetition more or less at the same load is inside the noise of any day
    if braked and new.load_kg <= old_load:
        why = braked
    elif abs(new.load_kg - old_load) < SAME_KG:
        why = "the load stays, the repetitions follow what was logged"
    elif new.load_kg > old_load:
        why = (
            "the sets so far were easier than planned: more load"
            if gap
            else "what was logged makes the estimate surer: the same effort allows more"
        )
    else:
        why = "what was logged puts the estimate lower: less load for the same effort"
    return replace(entry, sets=sets), why


def sets_at(
    load_kg: float,
    exercise: Exercise,
    scheme: Scheme,
    place: Place,
    context: Context,
    part: PartName,
    with_ramp: bool,
) -> tuple[PlannedSet, ...]:
    """The sets of a scheme at a load that was settled here, so without a note on how it was found."""
    sets = planned_sets(exercise, replace(scheme, load_kg=load_kg), place, context, part, with_ramp)
    return tuple(replace(one, note="") if one.kind != "ramp" else one for one in sets)


def outgrows(new: PlannedSet, scheme: Scheme) -> bool:
    """True when a set asks more repetitions than its scheme."""
    return bool(new.reps and scheme.reps and new.reps[1] > scheme.reps[1])


def top_shift(new: PlannedSet, old: PlannedSet) -> int:
    """Repetitions by which the top of a set's range moved; large where one of them has none."""
    return abs(new.reps[1] - old.reps[1]) if new.reps and old.reps else 99


def fewer_reps(new: PlannedSet, old: PlannedSet) -> bool:
    """True when a set asks fewer repetitions than before."""
    return bool(new.reps and old.reps and new.reps[1] < old.reps[1])


def evidence_of(slug: str, context: Context) -> str:
    """What the new load rests on, as a range."""
    lift = context.estimates.for_exercise(slug)
    whole = lift.posterior.one_rm()
    low, high = whole.p10 - lift.body_part_kg, whole.p90 - lift.body_part_kg
    return f"one-repetition maximum between {low:.0f} and {high:.0f} kg, from {lift.sets_used} sets"
