"""The next brief, proposed from what the last block showed. The coach decides; every line says in figures why.

Two ideas: what is not known to be wrong stays as it was, so that one change can be told from another; and where there
is pain, less is proposed and a person decides. It is a brief, not a block: ``design`` holds it against all rules.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from setwright.catalogue.store import Catalogue
from setwright.people.season import SeasonEvent
from setwright.people.trainee import Trainee
from setwright.plan.block import Block
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.gates import judge
from setwright.plan.goal_claims import led_by
from setwright.plan.own_rules import OwnRule
from setwright.plan.rules.volume import MOST_OF_A_LIFT
from setwright.plan.weeks import DELOAD_SHARE, FIRST_WEEK_SHARE
from setwright.review.climb import ClimbAhead
from setwright.review.group_volume import GroupMove, behind_by_group
from setwright.review.no_forecast import Limits, pain_words
from setwright.review.season_goals import GoalStanding, percent
from setwright.review.season_weeks import (
    LEAST_WEEKS,
    LONG_BREAK_WEEKS,
    MOST_WEEKS,
    TAPER_FALL,
    TAPER_LAST_HEAVY_DAYS,
    TAPER_LEAST_LOAD,
    USUAL_EASY_EVERY,
    Stretch,
)
from setwright.review.volume import WeekDone
from setwright.strength.estimates import Estimates

HARDER_RPE = 0.5  # reserves called so much under the planned on average: less is asked (common practice, no source)
MISSED_SHARE = 0.2  # of the sessions due: worth asking about (common practice, no published source)
MOST_EMPHASIS = 3
EASY_SOURCE = (
    "coaches ease off every 4 to 6 weeks (Bell 2022, 18 coaches), lifters every 5.6 +- 2.3 (Rogerson 2024, 246 of them)"
)


@dataclass(frozen=True)
class BriefLine:
    """One key of a brief with its value, and why it is so."""

    key: str
    value: object
    why: str


@dataclass(frozen=True)
class BriefTable:
    """One table of a brief: ``[[lifts]]`` or, with ``is_list`` False, ``[sets_per_muscle]``; why stands above it."""

    name: str
    lines: tuple[BriefLine, ...]
    why: str = ""
    is_list: bool = True


@dataclass(frozen=True)
class NextBrief:
    """A proposed brief: lines, tables, and what is left to the coach, a sentence each. ``about``: its first lines."""

    about: tuple[str, ...]
    lines: tuple[BriefLine, ...]
    tables: tuple[BriefTable, ...]
    left: tuple[str, ...]


@dataclass(frozen=True)
class Shown:
    """What the last block showed, and what lies ahead: all that a brief is proposed from.

    ahead : the weeks of the block to come; ``event``: the one that ends it, or None; ``today``: as of which day
    skipped : weeks before it that are too few for a block of their own
    """

    block: Block
    weeks: Sequence[WeekDone]
    standings: Sequence[GoalStanding]
    moves: Sequence[GroupMove]
    limits: Limits
    ahead: Stretch
    event: SeasonEvent | None
    climbs: Mapping[str, ClimbAhead]
    estimates: Estimates
    catalogue: Catalogue
    trainee: Trainee
    today: date
    weeks_off: int = 0
    skipped: tuple[Stretch, ...] = ()

    @property
    def old(self) -> Brief:
        """The brief of the last block."""
        return self.block.inputs.brief

    @property
    def as_before(self) -> str:
        """The words for what stays."""
        return f"as in the last block, {self.old.id}"


def propose(shown: Shown) -> NextBrief:
    """The next brief."""
    old = shown.old
    begun = [one for one in shown.weeks if one.sets_done]
    due, done = sum(one.sessions_planned for one in shown.weeks), sum(one.sessions_done for one in shown.weeks)
    about = (
        f"The next brief of {shown.trainee.name}, proposed on {shown.today.isoformat()} from block {shown.block.id}.",
        f"It rests on {len(begun)} of {len(shown.block.weeks)} weeks in the log, {done} of {due} sessions done.",
        "A proposal: change what you know better. Chances are no promises; they hold if training goes on as it did.",
    )
    lines = (
        *frame_lines(shown, done, due),
        *curve_lines(shown),
        *kept_lines(shown),
        *wish_lines(shown),
    )
    tables = (*lift_tables(shown), *muscle_table(shown), *rule_tables(old, shown.as_before))
    return NextBrief(about, lines, tables, tuple(left_to_coach(shown, done, due)))


# The frame


def next_id(last: str) -> str:
    """The id of the brief after one: ``autumn`` becomes ``autumn-2``, ``autumn-2`` becomes ``autumn-3``."""
    found = re.fullmatch(r"(.*?)-(\d{1,3})", last)
    return f"{found[1]}-{int(found[2]) + 1}" if found else f"{last}-2"


def next_title(last: str) -> str:
    """The title of the block after one: a number in brackets, one more than before."""
    found = re.fullmatch(r"(.*) \((\d{1,3})\)", last)
    return f"{found[1]} ({int(found[2]) + 1})" if found else f"{last} (2)"


def weeks_of(shown: Shown) -> int:
    """Weeks of the next block, as many as a brief allows."""
    return max(LEAST_WEEKS, min(MOST_WEEKS, len(shown.ahead.weeks)))


def frame_lines(shown: Shown, done: int, due: int) -> list[BriefLine]:
    """Id, weeks, days, minutes, start."""
    old, weeks, event = shown.old, weeks_of(shown), shown.event
    last = shown.ahead.start + timedelta(days=7 * weeks - 1)
    if event is not None:
        why = f"from {shown.ahead.start} to {last}: {event.name} is on {event.date}"
    elif weeks != len(shown.block.weeks):
        why = f"the last block had {len(shown.block.weeks)}; so the weeks to the next date divide evenly"
    else:
        why = "as many as in the last block; no event falls inside"
    if len(shown.ahead.weeks) < LEAST_WEEKS:
        why += f"; only {len(shown.ahead.weeks)} weeks are free, and a block has at least {LEAST_WEEKS}"
    said = f"{done} of {due} sessions of the last block were done"
    return [
        BriefLine("id", next_id(old.id), f"follows {old.id}"),
        BriefLine("title", next_title(old.title), f"follows {old.title!r}"),
        BriefLine("weeks", weeks, why),
        BriefLine("days_a_week", old.days_a_week, said),
        BriefLine("minutes", old.minutes, minutes_why(shown)),
        BriefLine("start", shown.ahead.start, f"the Monday after {start_why(shown)}"),
        *([BriefLine("invented", True, "the trainee is invented")] if shown.trainee.invented else []),
    ]


def start_why(shown: Shown) -> str:
    """What the next block follows."""
    first = shown.block.inputs.brief.start
    end = first - timedelta(days=first.weekday()) + timedelta(days=7 * len(shown.block.weeks) - 1)
    if shown.skipped:
        return f"{shown.skipped[-1].end}: the weeks before are too few for a block"
    if shown.weeks_off:
        return f"the last block and {shown.weeks_off} weeks without training"
    return f"the last block, which ends on {end}" if shown.ahead.start > end else "today"


def minutes_why(shown: Shown) -> str:
    """Minutes planned and done, where the log tells."""
    told = [one for one in shown.weeks if one.minutes_done is not None and one.sessions_done]
    if not told:
        return shown.as_before
    done = sum(one.minutes_done or 0.0 for one in told) / sum(one.sessions_done for one in told)
    return f"{shown.as_before}; {done:.0f} minutes a session were logged"


# The curve


def rpe_of(shown: Shown) -> tuple[tuple[float, float], str]:
    """First and last effort, and why: half a point less where the last block was called harder than planned."""
    low, high = shown.old.rpe
    gaps = [one.rir_gap for week in shown.weeks for one in week.entries if one.rir_gap is not None]
    if not gaps:
        return (low, high), f"{shown.as_before}; no reserve was called in the log"
    gap = -sum(gaps) / len(gaps)
    told = f"called {abs(gap):.1f} {'harder' if gap > 0 else 'easier'} than planned on average over {len(gaps)} entries"
    if gap >= HARDER_RPE:
        return (max(1.0, low - 0.5), max(1.0, high - 0.5)), f"{told}: half a point less"
    return (low, high), f"{told}: {'the loads follow the estimates, so it stays' if gap < 0 else 'it stays'}"


def easy_every_of(block: Block, weeks: Sequence[WeekDone], moves: Sequence[GroupMove] = ()) -> tuple[int, str]:
    """After how many weeks an easier one comes, and why."""
    every = block.inputs.brief.deload_every
    lowered = [one.shown.name for one in moves if one.move == "lower"]
    if lowered:
        most = min(every or USUAL_EASY_EVERY, USUAL_EASY_EVERY)
        return most, f"after {most} weeks at most: {', '.join(lowered)} did not tolerate the volume; {EASY_SOURCE}"
    if every:
        return every, f"one in {every}, as in the last block; {EASY_SOURCE}"
    if not any(one.kind == "deload" for one in block.weeks):
        return 0, "none, as in the last block"
    return USUAL_EASY_EVERY, f"one in {USUAL_EASY_EVERY}; {EASY_SOURCE}"


def curve_lines(shown: Shown) -> list[BriefLine]:
    """Effort and sets from week to week, and the easier weeks."""
    (low, high), why = rpe_of(shown)
    kinds = [one.kind for one in shown.ahead.weeks][: weeks_of(shown)]
    kinds += ["build"] * (weeks_of(shown) - len(kinds))
    easy = [number for number, kind in enumerate(kinds, start=1) if kind in ("easy", "taper")]
    if len(easy) == len(kinds):
        easy = easy[1:]  # a block has at least one week that is not easier
    _, easy_why = easy_every_of(shown.block, shown.weeks, shown.moves)
    if shown.weeks_off >= LONG_BREAK_WEEKS:
        why += f"; {shown.weeks_off} weeks off: rule D01 holds the first weeks lower, by weeks_off in the trainee file"
    if not {"taper", "test"} & set(kinds):
        return [
            BriefLine("rpe", [low, high], why),
            BriefLine("easy_weeks", easy, easy_why),
        ]
    efforts, shares = by_week(kinds, low, high)
    event = shown.event
    taper = f"{event.name} on {event.date}" if event else "a date that counts"
    fall = f"sets down by {100 * TAPER_FALL[0]:.0f} to {100 * TAPER_FALL[1]:.0f} % before it (Travis 2020)"
    sets_why = f"{taper}: {fall}" if "taper" in kinds else f"{taper}; the week before a test is the easy one"
    load = f"the load stays at {100 * TAPER_LEAST_LOAD:.0f} % of the best single or more (Travis 2020)"
    return [
        BriefLine("rpe_by_week", efforts, f"{why}; {load}" if "taper" in kinds else why),
        BriefLine("sets_by_week", shares, sets_why),
        BriefLine("easy_weeks", easy, f"{easy_why}; the last weeks before a date that counts are easier too"),
    ]


def by_week(kinds: Sequence[str], low: float, high: float) -> tuple[list[float], list[float]]:
    """Effort and share of the hardest week's sets for each week, the largest share 1.

    Sets climb from three quarters to the whole as in every block; before a date that counts they fall evenly from the
    smaller to the larger published cut, at half a point less effort (that half point: common practice, no source).
    """
    building = [place for place, kind in enumerate(kinds) if kind in ("build", "way back")]
    tapering = [place for place, kind in enumerate(kinds) if kind == "taper"]
    efforts, shares = [], []
    for place, kind in enumerate(kinds):
        step = building.index(place) / max(1, len(building) - 1) if place in building else 0.0
        if kind == "easy":
            effort, share = low - 0.5, DELOAD_SHARE
        elif kind == "taper":
            part = tapering.index(place) / (len(tapering) - 1) if len(tapering) > 1 else 0.5
            effort, share = high - 0.5, 1.0 - (TAPER_FALL[0] + part * (TAPER_FALL[1] - TAPER_FALL[0]))
        elif kind == "test":
            effort, share = high, DELOAD_SHARE
        else:
            effort = low + step * (high - low)
            share = FIRST_WEEK_SHARE + (1.0 - FIRST_WEEK_SHARE) * step
        efforts.append(max(1.0, round(2.0 * effort) / 2.0))
        shares.append(round(share, 2))
    most = max(shares)
    return efforts, [round(one / most, 2) for one in shares]


# What is wanted


def kept_lines(shown: Shown) -> list[BriefLine]:
    """Settings that stay as they were; those at their usual value are left out, as a brief may."""
    old, usual = shown.old, Brief("", "", 4, 2, 60.0, shown.old.start)
    rows = (
        ("reps_main", list(old.reps_main), True),
        ("reps_assistance", list(old.reps_assistance), True),
        ("tempo_main", old.tempo_main, old.tempo_main != usual.tempo_main),
        ("chance_wanted", old.risk, old.risk != usual.risk),
        ("supersets", old.supersets, old.supersets != usual.supersets),
        ("same_muscle_superset", old.same_muscle_superset, old.same_muscle_superset),
        ("hold_reps_hold", old.hold_reps_hold, old.hold_reps_hold),
        ("filler", old.filler, old.filler != usual.filler),
        ("conditioning", old.conditioning, True),
        ("scheme_assistance", old.scheme_assistance, bool(old.scheme_assistance)),
    )
    lines = [BriefLine(key, value, shown.as_before) for key, value, said in rows if said]
    short = [one for one in shown.standings if one.goal.kind == "range" and one.verdict != "there"]
    wanted = old.loaded_mobility or bool(short)
    why = f"{short[0].name}: {short[0].why}" if short else shown.as_before
    return [*lines, BriefLine("loaded_mobility", wanted, why)]


def wish_lines(shown: Shown) -> list[BriefLine]:
    """Skill, emphasis, what is in and out, and what counts first."""
    old = shown.old
    lines = []
    skill = skill_of(shown)
    if skill is not None:
        lines.append(BriefLine("skill", skill.goal.about, skill_why(skill, shown)))
    raised = [one for one in shown.moves if one.move == "raise" and one.behind]
    raised.sort(key=lambda one: (-len(one.behind), one.shown.name))
    names = [one.shown.name for one in raised[:MOST_EMPHASIS]]
    if names:
        goals = ", ".join(dict.fromkeys(goal for one in raised for goal in one.behind))
        lines.append(BriefLine("emphasis", names, f"behind: {goals}; nothing in the log speaks against more"))
    elif old.emphasis:
        open_words = [word for word in old.emphasis if not stopped_word(word, shown)]
        if open_words:
            lines.append(BriefLine("emphasis", open_words, f"{shown.as_before}; no group is behind with room for more"))
    hurt = hurting(shown)
    keeps = [one for one in old.include if one not in hurt]
    if keeps:
        lines.append(BriefLine("include", keeps, shown.as_before))
    leaves = list(dict.fromkeys((*old.exclude, *hurt)))
    if leaves:
        why = "; ".join(f"{shown.catalogue.get(slug).name}: {why}" for slug, why in hurt.items())
        lines.append(BriefLine("exclude", leaves, f"{why}: out until you decide" if why else shown.as_before))
    kinds = list(dict.fromkeys(one.goal.kind for one in shown.standings if one.is_behind))
    if kinds and len({one.goal.kind for one in shown.standings}) > 1:
        told = "; ".join(f"{one.name}: {one.why}" for one in shown.standings if one.is_behind)
        lines.append(BriefLine("priorities", kinds, f"behind first: {told}"))
    elif old.priorities:
        lines.append(BriefLine("priorities", list(old.priorities), shown.as_before))
    return lines


def stopped_word(word: str, shown: Shown) -> bool:
    """True where a group of an emphasis has pain or a restriction at its joints."""
    return any(one.shown.stop and one.shown.name in behind_by_group({"": (word,)}) for one in shown.moves)


def hurting(shown: Shown) -> dict[str, str]:
    """Exercises that hurt of late, with the words for it."""
    return {slug: pain_words(one) for one in shown.limits.pains for slug in one.exercises}


def skill_of(shown: Shown) -> GoalStanding | None:
    """The progression to climb: the one that is most behind, else that of the last block; none that is closed."""
    order = {"behind": 0, "open": 1, "no date": 2, "likely": 3}
    found = [one for one in shown.standings if one.goal.kind == "skill" and one.verdict in order]
    found.sort(key=lambda one: (order[one.verdict], one.goal.priority, one.goal.about != shown.old.skill))
    return found[0] if found else None


def skill_why(one: GoalStanding, shown: Shown) -> str:
    """Where it stands, and what comes next."""
    climb = shown.climbs.get(one.goal.about)
    step = ""
    if climb is not None:
        stands = climb.standing
        to = stands.to or stands.step
        step = f"step {stands.place} of {len(stands.way)}, next {shown.catalogue.get(to.exercise).name}; "
    return f"{step}{one.why}"


# Lifts


def lift_tables(shown: Shown) -> list[BriefTable]:
    """The lifts that the block serves: those of the last one, and those of strength goals that it left out."""
    by_slug = {one.goal.about: one for one in shown.standings if one.goal.kind == "strength"}
    wishes = {one.exercise: one for one in shown.old.lifts}
    for slug in by_slug:
        wishes.setdefault(slug, LiftWish(slug))
    return [
        lift_table(wish, slug in {one.exercise for one in shown.old.lifts}, by_slug.get(slug), shown)
        for slug, wish in wishes.items()
        if not closed_lift(slug, shown)
    ]


def closed_lift(slug: str, shown: Shown) -> str:
    """Why a lift is no wish of the next block: pain of late where it loads, or a restriction that closes it."""
    exercise = shown.catalogue.get(slug)
    pain = Limits((), shown.limits.pains).of_exercise(exercise)
    if pain:
        return pain
    verdict = judge(exercise, shown.limits.restrictions, frozenset(), shown.trainee, ignore_equipment=True)
    return "" if verdict.allowed else verdict.reasons[0].rstrip(".")


def lift_table(wish: LiftWish, is_old: bool, stands: GoalStanding | None, shown: Shown) -> BriefTable:
    """One lift with its sets, days and aim."""
    lift = shown.estimates.for_exercise(wish.exercise)
    gained = "" if lift.gained is None else f"{percent(lift.gained)} that it rose over the last eight weeks"
    goal = "" if stands is None else f"goal {stands.verdict}: {stands.why}"
    why = "; ".join(one for one in (goal, gained) if one) or "too few days of late to tell whether it rose"
    sets, sets_why = sets_of(wish, stands, shown)
    aim, aim_why = aim_of(wish, shown)
    before = shown.as_before if is_old else "usual for a lift that a goal names and the last block did not serve"
    lines = [
        BriefLine("exercise", wish.exercise, why),
        BriefLine("reps", list(wish.reps), before),
        BriefLine("sets", sets, sets_why or before),
        BriefLine("times_a_week", wish.times_a_week, before),
        BriefLine("aim", aim, aim_why or before),
    ]
    if wish.scheme:
        lines.append(BriefLine("scheme", wish.scheme, before))
    return BriefTable("lifts", tuple(lines))


def sets_of(wish: LiftWish, stands: GoalStanding | None, shown: Shown) -> tuple[int, str]:
    """Sets a session: one more where the goal is behind and each group it leads has room for it, else as it was."""
    leads = set(behind_by_group({"": led_by(shown.catalogue.get(wish.exercise))}))
    groups = [one for one in shown.moves if one.shown.name in leads]
    lowered = [one.shown.name for one in groups if one.move == "lower"]
    if lowered and wish.sets > 1:
        return wish.sets - 1, f"one less a session: {', '.join(lowered)} did not tolerate the volume"
    if stands is None or stands.verdict != "behind" or not groups:
        return wish.sets, ""
    room = min(one.sets - one.shown.done for one in groups)
    if room >= wish.times_a_week and wish.sets < MOST_OF_A_LIFT:
        return wish.sets + 1, f"behind, and {', '.join(sorted(leads))} have room for {room:g} sets more (rule V06)"
    return (
        wish.sets,
        f"behind, but one more set on {wish.times_a_week} days is over the {max(0.0, room):g} there is room for",
    )


def aim_of(wish: LiftWish, shown: Shown) -> tuple[str, str]:
    """What a lift is aimed at: a single where the block ends with a test in which it counts."""
    event = shown.event
    counts = event is not None and (not event.counts or wish.exercise in event.counts)
    if event is not None and event.kind == "test" and counts:
        return "1rm", f"{event.name} on {event.date} tests it"
    if wish.aim == "1rm":
        reason = (
            f"{event.name} itself is the single" if event is not None and counts else "no test falls into the block"
        )
        return "strength", reason
    return wish.aim, ""


# Sets of groups, and rules


def muscle_table(shown: Shown) -> list[BriefTable]:
    """Counted sets of the hardest week for each group."""
    if not shown.moves:
        return []
    words = {"raise": "more", "hold": "held", "lower": "less"}
    lines = [BriefLine(one.shown.name, one.sets, f"{words[one.move]}: {one.why}") for one in shown.moves]
    named = {one.shown.name for one in shown.moves}
    lines += [
        BriefLine(word, sets, f"{shown.as_before}; none of it was done in the log")
        for word, sets in sorted(shown.old.sets_per_muscle.items())
        if word not in named and not (set(behind_by_group({"": (word,)})) & named)
    ]
    why = "Counted sets of the hardest week; most 20 % or one set over what was done (rule V06, IUSCA 2021)."
    return [BriefTable("sets_per_muscle", tuple(lines), why, is_list=False)]


def rule_tables(old: Brief, as_before: str) -> list[BriefTable]:
    """Rules of training that the coach set or added, as they were."""
    found = []
    for one in old.rules:
        lines = [BriefLine("rule", one.rule, as_before)]
        if one.reason:
            lines.append(BriefLine("reason", one.reason, as_before))
        if one.weight is not None:
            lines.append(BriefLine("weight", one.weight, as_before))
        found.append(BriefTable("rules", tuple(lines)))
    return [*found, *(own_rule_table(one, as_before) for one in old.own_rules)]


OWN_KEYS: Mapping[str, tuple[str, ...]] = {
    "at-most-sets": ("muscle", "sets", "per"),
    "at-least-sets": ("muscle", "sets", "per"),
    "not-on": ("what", "days"),
    "only-on": ("what", "days"),
    "before": ("what", "then"),
    "days-between": ("muscle", "days_between", "sets"),
    "at-most-entries": ("entries",),
    "rest-at-least": ("rest_s", "what"),
}


def own_rule_table(one: OwnRule, as_before: str) -> BriefTable:
    """One rule that the coach added."""
    keys = ["says", "kind", *(key for key in OWN_KEYS[one.kind] if getattr(one, key) not in ("", ())), "weight"]
    values = [(key, getattr(one, key)) for key in keys]
    return BriefTable(
        "own_rules",
        tuple(BriefLine(key, list(value) if isinstance(value, tuple) else value, as_before) for key, value in values),
    )


# What is left to the coach


def left_to_coach(shown: Shown, done: int, due: int) -> list[str]:
    """What the figures can't decide, a sentence each."""
    left = []
    for pain in shown.limits.pains:
        left.append(
            f"{pain_words(pain).capitalize()}: you and a licensed clinician decide what goes on. Write it as a "
            "restriction into the trainee file; what hurts is left out here, and nothing is forecast of what loads it."
        )
    for rule in shown.limits.restrictions:
        again = f", to look at again on {rule.review_on.isoformat()}" if rule.review_on else ""
        left.append(f"The restriction {rule.id}{again}: who set it lifts it; until then the groups there get no more.")
    for slug in dict.fromkeys([one.exercise for one in shown.old.lifts]):
        why = closed_lift(slug, shown)
        if why:
            left.append(f"{shown.catalogue.get(slug).name} is left out of the lifts: {why}.")
    for one in shown.standings:
        if (
            one.verdict == "no forecast"
            and one.goal.kind in ("strength", "skill", "range")
            and not one.why.startswith("no forecast")
        ):
            left.append(f"{one.name}: {one.why}.")
    left += [
        f"The weeks from {one.start} to {one.end} are too few for a block; the last goes on. {' '.join(one.why[1:])}"
        for one in shown.skipped
    ]
    left += steps_to_write(shown)
    doubtful = sorted(slug for slug, lift in shown.estimates.lifts.items() if lift.doubtful)
    if doubtful:
        names = ", ".join(shown.catalogue.get(slug).name for slug in doubtful)
        left.append(f"Sets that can hardly be true: {names}. Check load and unit; they hardly count until then.")
    if due and (due - done) / due >= MISSED_SHARE:
        left.append(f"{due - done} of {due} sessions were missed: ask whether {shown.old.days_a_week} days suit.")
    if shown.weeks_off >= LONG_BREAK_WEEKS:
        left.append(
            f"Where nothing was trained, write weeks_off = {shown.weeks_off} into the trainee file, for a way back."
        )
    if shown.event is not None and shown.event.kind == "meet":
        first, last = TAPER_LAST_HEAVY_DAYS
        left.append(f"The last heavy day, usually {first} to {last} days before {shown.event.name}, and the attempts.")
    for move in shown.moves:
        if move.move == "lower" and not move.shown.stop:
            left.append(
                f"Why {move.shown.name} did not tolerate its volume ({'; '.join(move.shown.signs)}): ask first."
            )
    left.append(
        "Which exercises, repetitions and days: they stay as they were, because no figure here speaks against them."
    )
    return left


def steps_to_write(shown: Shown) -> list[str]:
    """Steps of progressions that the log has passed, or gone back from, and the trainee file does not know yet."""
    told = {one.progression: one.step for one in shown.trainee.steps}
    left = []
    for slug, climb in shown.climbs.items():
        stands = climb.standing
        now = stands.to if stands.verdict in ("step up", "step back") and stands.to is not None else stands.step
        if told.get(slug) != now.number:
            file = f"step {told[slug]}" if slug in told else "no step"
            left.append(
                f"{stands.climb.title}: the log leads to step {now.number}, the trainee file has {file}. You judge the "
                f"form; then write step = {now.number} there, for the next block begins where the file stands."
            )
    return left
