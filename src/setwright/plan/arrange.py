"""Stage four of designing: the order of a session, its supersets, and the schemes of each entry.

Order: goal lifts, skill work fresh, big lifts before small ones, finishers, loaded mobility, conditioning
(rules T09, T10). Pairs are an exact matching: the most allowed pairs, then the least liked entries apart.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from setwright.catalogue.exercise import Exercise, PartName
from setwright.plan.block import Entry, Part
from setwright.plan.brief import Brief
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS, is_ballistic
from setwright.plan.easing import eased_scheme
from setwright.plan.posing import HEAVIEST, Pick
from setwright.plan.schemes import packaged_schemes, scheme_for_lift, unsuited
from setwright.plan.special_schemes import small_for_big, suits_hold_reps_hold
from setwright.plan.template import BASIC_KINDS, Scheme, TemplateEntry
from setwright.plan.weeks import WeekShape

LETTERS = "ABCDEFGHIJ"
ANTAGONISTS = (
    (frozenset({"push_horizontal", "push_incline"}), frozenset({"pull_horizontal"})),
    (frozenset({"push_vertical", "dip"}), frozenset({"pull_vertical"})),
    (frozenset({"elbow_flexion"}), frozenset({"elbow_extension"})),
    (frozenset({"knee_extension"}), frozenset({"knee_flexion"})),
)
HOLD_REPS_HOLD_S = 12.0


@dataclass(frozen=True)
class Placed:
    """One pick on one day with its sets in each week."""

    pick: Pick
    sets: tuple[int, ...]


def order_key(placed: Placed, wish_order: Sequence[str]) -> tuple[int, int, bool, int, str]:
    """Goal lifts by the coach's order, then big before small, heavy first, squats and hinges first (T09, T10)."""
    exercise = placed.pick.candidate.exercise
    if placed.pick.is_goal_lift:
        return (0, wish_order.index(exercise.slug), False, 0, exercise.slug)
    small = exercise.pattern in SINGLE_JOINT_PATTERNS
    upper = exercise.pattern not in ("squat", "hinge")
    return (2 if small else 1, -exercise.load_capacity, upper, -exercise.skill, exercise.slug)


def lead_lift(day: Sequence[Placed], wish_order: Sequence[str]) -> Placed | None:
    """The lift a session without a goal lift is built on: its heaviest big one."""
    big = [
        one
        for one in day
        if one.pick.candidate.exercise.pattern not in SINGLE_JOINT_PATTERNS and one.pick.candidate.exercise.is_dynamic
    ]
    if any(one.pick.is_goal_lift for one in day) or not big:
        return None
    return min(big, key=lambda one: order_key(one, wish_order))


def scheme_for(
    exercise: Exercise,
    sets: int,
    reps: tuple[int, int],
    rest_s: float,
    shape: WeekShape,
    brief: Brief,
    part: PartName,
) -> Scheme:
    """The sets of one entry in one week: main lifts at the effort of the week, assistance half a point easier."""
    rpe = shape.rpe if part == "main" else max(5.0, shape.rpe - (0.5 if exercise.load_capacity >= 3 else 0.0))
    rir = 10.0 - rpe
    side = exercise.per_side
    if exercise.measured_in == "metres" or exercise.mode == "carry":
        return Scheme("carry", sets, distance_m=20.0, rest_s=rest_s, rir=max(2.0, rir), per_side=side)
    if exercise.measured_in == "seconds" or exercise.mode == "isometric":
        return Scheme("hold", sets, hold_s=30.0, rest_s=rest_s, rir=max(2.0, rir), per_side=side)
    if exercise.mode == "lowering":
        return Scheme("lowering", sets, reps=(3, 5), tempo="5-0-1-0", rest_s=rest_s, rir=max(2.0, rir), per_side=side)
    if is_ballistic(exercise):
        return Scheme("straight", sets, reps=reps, rir=max(3.0, rir), rest_s=rest_s, per_side=side)
    tempo = brief.tempo_main if part == "main" else "2-0-1-0"
    straight = Scheme("straight", sets, reps=reps, rir=rir, tempo=tempo, rest_s=rest_s, per_side=side)
    wished = wished_scheme(exercise, brief, part)
    if not wished:
        return straight
    known = packaged_schemes().get(wished)
    if known is None:  # a coach's own: its pieces come where the catalogue is at hand (``compose.open_scheme``)
        return replace(straight, kind=wished)
    return scheme_for_lift(known, straight, shape.kind in ("deload", "return"), least_rir=10.0 - brief.rpe[1])


def suits_fives(exercise: Exercise) -> bool:
    """True for lifts that are done for five when they lead a day: bars and leg machines, not one leg, not a cable."""
    on_a_cable = any("cable" in option for option in exercise.equipment)
    heavy = exercise.load_capacity >= HEAVIEST and exercise.load_means == "total"
    return heavy and not exercise.per_side and not on_a_cable


def wished_scheme(exercise: Exercise, brief: Brief, part: PartName) -> str:
    """The scheme that the brief asks for the sets of an exercise, or an empty text for straight sets."""
    for wish in brief.lifts:
        if wish.exercise == exercise.slug:
            return "" if wish.scheme == "straight" else wish.scheme
    known = packaged_schemes().get(brief.scheme_assistance)
    if part != "assistance" or known is None or known.name == "straight" or unsuited(known, exercise):
        return ""
    return known.name


def what_it_is(name: str) -> str:
    """A scheme in one sentence for people: ``Rest-pause: a set near the end, ...``; empty for straight sets."""
    known = packaged_schemes().get(name)
    if known is None or name in BASIC_KINDS:
        return ""
    return f"{known.title[:1].upper()}{known.title[1:]}: {known.what[:1].lower()}{known.what[1:]}"


def peaking_reps(reps: tuple[int, int], shape: WeekShape, shapes: Sequence[WeekShape]) -> tuple[int, int]:
    """Reps of a lift that is peaked for a 1RM: they fall over the block, down to 1 or 2 in the test week."""
    if shape.kind == "test":
        return (1, 2)
    building = [one.number for one in shapes if one.kind in ("build", "return")]
    if shape.number not in building or len(building) < 3:
        return reps
    third = building.index(shape.number) * 3 // len(building)
    return (max(1, reps[0] - third), max(2, reps[1] - third))


def is_antagonist(a: Exercise, b: Exercise) -> bool:
    """True for opposite movements, the pairs that a coach reaches for first."""
    return any(
        (a.pattern in one and b.pattern in other) or (b.pattern in one and a.pattern in other)
        for one, other in ANTAGONISTS
    )


def best_pairs(entries: Sequence[int], worth: Callable[[int, int], int | None]) -> tuple[tuple[int, int], ...]:
    """The matching of most pairs, then of most worth; ``worth`` is None where a pair is not allowed.

    Exact by search: at most ten entries a session. Ties go to the earlier entries.
    """
    allowed = {(a, b): worth(a, b) for a, b in combinations(entries, 2)}
    best: tuple[tuple[int, int], tuple[tuple[int, int], ...]] = ((0, 0), ())

    def search(left: tuple[int, ...], chosen: tuple[tuple[int, int], ...], total: int) -> None:
        nonlocal best
        score = (len(chosen), total)
        if score > best[0]:
            best = (score, chosen)
        if len(chosen) + len(left) // 2 < best[0][0] or len(left) < 2:
            return
        first, rest = left[0], left[1:]
        for other in rest:
            value = allowed[first, other]
            if value is not None:
                search(tuple(one for one in rest if one != other), (*chosen, (first, other)), total + value)
        search(rest, chosen, total)

    search(tuple(entries), (), 0)
    return best[1]


def arrange_day(
    day: Sequence[Placed],
    brief: Brief,
    shapes: Sequence[WeekShape],
    why_of: Callable[[Placed, PartName], str],
    place: str,
    may_pair: Callable[[TemplateEntry, TemplateEntry], tuple[bool, str]],
    fixed: Sequence[TemplateEntry] = (),
    novice: bool = False,
    most_lost: int = 99,
    fresh: frozenset[str] = frozenset(),
) -> tuple[TemplateEntry, ...]:
    """The entries of one day in order, paired where the brief wants supersets and the pairing rules allow it.

    novice : whether the heaviest lift of a day without a goal lift keeps its longer sets
    fixed : skill, wanted, mobility and conditioning entries, put where their part belongs
    most_lost : sets that a same-muscle superset of this day may lose over the block
    fresh : muscles of the day's skill, which only goal lifts may tire before it (common practice, no published source)
    """
    wish_order = [wish.exercise for wish in brief.lifts]
    aims = {wish.exercise: wish.aim for wish in brief.lifts}
    lead = lead_lift(day, wish_order)
    entries: list[TemplateEntry] = []
    for placed in sorted(day, key=lambda one: order_key(one, wish_order)):
        candidate = placed.pick.candidate
        led = {muscle for muscle, credit in candidate.credits.items() if credit >= 1}
        leads = placed is lead and not led & fresh
        part: PartName = "main" if placed.pick.is_goal_lift or leads else "assistance"
        reps, rest_s = candidate.reps, candidate.rest_s
        if placed is lead and not placed.pick.is_goal_lift:
            rest_s = max(rest_s, 150.0)
            if suits_fives(candidate.exercise) and not novice and brief.reps_main[0] < reps[0]:
                reps = brief.reps_main
        schemes = tuple(
            scheme_for(
                candidate.exercise,
                sets,
                peaking_reps(reps, shape, shapes) if aims.get(candidate.slug) == "1rm" else reps,
                rest_s,
                shape,
                brief,
                part,
            )
            for sets, shape in zip(placed.sets, shapes, strict=True)
        )
        wished = next((one.kind for one in schemes if one.kind not in BASIC_KINDS), "")
        eased = candidate.verdicts[place].eased
        if eased:
            schemes = tuple(eased_scheme(one, eased) for one in schemes)
        entries.append(
            TemplateEntry(
                exercise=candidate.slug,
                part=part,
                schemes=schemes,
                why=f"{why_of(placed, part)} {what_it_is(wished)}".strip(),
                dials={**candidate.exercise.dials, **candidate.verdicts[place].dials},
                cautions=candidate.verdicts[place].cautions,
                filler_wanted=brief.filler and rest_s >= 90.0,
            )
        )
    if brief.same_muscle_superset:
        entries = _with_same_muscle_superset(entries, day, most_lost)
    entries = _with_hold_reps_hold(entries, brief, day)
    entries += [entry for entry in fixed if entry.part not in ("loaded-mobility", "conditioning")]
    if brief.supersets:
        planned = frozenset(frozenset({one.pick.candidate.slug, one.pick.partner}) for one in day if one.pick.partner)
        entries = _with_supersets(entries, may_pair, planned)
    entries += [entry for entry in fixed if entry.part in ("loaded-mobility", "conditioning")]
    return in_part_order(entries)


PART_ORDER: tuple[PartName, ...] = (
    "warm-up",
    "main",
    "skill",
    "assistance",
    "finisher",
    "loaded-mobility",
    "conditioning",
)


def parts_with(parts: Sequence[Part], name: PartName, entry: Entry) -> tuple[Part, ...]:
    """Parts of a session with one entry more, at the end of its part, which is made where it was not there."""
    by_part = {one.part: one.entries for one in parts}
    by_part[name] = (*by_part.get(name, ()), entry)
    return tuple(Part(one, by_part[one]) for one in PART_ORDER if one in by_part)


def in_part_order(entries: Sequence[TemplateEntry]) -> tuple[TemplateEntry, ...]:
    """Entries by part, members of a superset side by side, lettered again in the order they are done."""
    by_part = sorted(range(len(entries)), key=lambda index: (PART_ORDER.index(entries[index].part), index))
    done: list[TemplateEntry] = []
    seen: set[int] = set()
    letters: dict[str, str] = {}
    for index in by_part:
        if index in seen:
            continue
        label = entries[index].superset
        group = [other for other in by_part if entries[other].superset == label] if label else [index]
        for member in group:
            seen.add(member)
            entry = entries[member]
            if label:
                letter = letters.setdefault(label, LETTERS[min(len(letters), len(LETTERS) - 1)])
                entry = replace(entry, superset=letter, part=entries[group[0]].part)
            done.append(entry)
    return tuple(done)


def _with_hold_reps_hold(entries: list[TemplateEntry], brief: Brief, day: Sequence[Placed]) -> list[TemplateEntry]:
    """Turns one small assistance entry of the day into hold-reps-hold where the brief wants it."""
    if not brief.hold_reps_hold:
        return entries
    by_slug = {placed.pick.candidate.slug: placed.pick.candidate.exercise for placed in day}
    paired = {placed.pick.candidate.slug for placed in day if placed.pick.partner}
    last_first = sorted(range(len(entries)), key=lambda index: (entries[index].exercise in paired, -index))
    for index in last_first:
        entry, exercise = entries[index], by_slug[entries[index].exercise]
        free = entry.part == "assistance" and entry.superset is None
        plain = all(s and s.kind in ("straight", brief.scheme_assistance) for s in entry.schemes)
        if free and suits_hold_reps_hold(exercise) and plain:
            schemes = tuple(
                replace(
                    scheme,
                    kind="hold-reps-hold",
                    inside=(),
                    reps=(6, 8),
                    hold_s=HOLD_REPS_HOLD_S,
                    hold_after_s=HOLD_REPS_HOLD_S,
                    tempo="3-0-2-0",
                    rest_s=90.0,
                )
                for scheme in entry.schemes
                if scheme
            )
            why = entry.why + " Hold, slow repetitions, hold again: long under tension with a light load."
            return [
                *entries[:index],
                replace(entry, schemes=schemes, part="finisher", why=why),
                *entries[index + 1 :],
            ]
    return entries


def same_muscle_pairs(day: Sequence[Placed]) -> list[tuple[int, str, str]]:
    """(sets lost, big, small) for each pair of a day that could be a same-muscle superset, fewest lost first."""
    free = [one for one in day if not one.pick.is_goal_lift]
    found = []
    for small in free:
        for big in free:
            one, other = small.pick.candidate, big.pick.candidate
            if small_for_big(one.exercise, one.credits, other.exercise, other.credits) is not None:
                lost = sum(abs(mine - its) for mine, its in zip(small.sets, big.sets, strict=True))
                found.append((lost, other.slug, one.slug))
    return sorted(found)


def _with_same_muscle_superset(
    entries: list[TemplateEntry], day: Sequence[Placed], most_lost: int
) -> list[TemplateEntry]:
    """Joins a small lift to a bigger one of the same muscle as a finisher, once a day, where the day has both.

    The big one comes first, the small one straight after it; both with the sets of the one that has fewer, so that a
    pair loses ``most_lost`` sets over the block at most.
    """
    where = {entry.exercise: index for index, entry in enumerate(entries) if entry.part == "assistance"}
    for lost, big_slug, small_slug in same_muscle_pairs(day):
        if lost > most_lost or big_slug not in where or small_slug not in where:
            continue
        big, small = where[big_slug], where[small_slug]
        note = " Same-muscle superset: straight after one another on purpose, then rest."
        changed = list(entries)
        for index, partner in ((big, small), (small, big)):
            schemes = tuple(
                replace(mine, sets=min(mine.sets, its.sets), rest_s=120.0) if mine and its else mine
                for mine, its in zip(entries[index].schemes, entries[partner].schemes, strict=True)
            )
            changed[index] = replace(
                entries[index],
                part="finisher",
                superset="same-muscle",
                schemes=schemes,
                why=entries[index].why + note,
            )
        if small < big:
            changed[small], changed[big] = changed[big], changed[small]
        return changed
    return entries


def _with_supersets(
    entries: list[TemplateEntry],
    may_pair: Callable[[TemplateEntry, TemplateEntry], tuple[bool, str]],
    planned: frozenset[frozenset[str]],
) -> list[TemplateEntry]:
    """Pairs assistance entries: those the plan reckons with, then antagonists; what can't be paired stays alone.

    planned : pairs of slugs that the minutes of the day were reckoned with; only they may hold the lift of the day
    """
    counted_on = {slug for pair in planned for slug in pair}
    open_ones = [
        index
        for index, entry in enumerate(entries)
        if (entry.part == "assistance" or entry.exercise in counted_on) and entry.superset is None and not entry.locked
    ]

    def worth(a: int, b: int) -> int | None:
        allowed, reason = may_pair(entries[a], entries[b])
        if not allowed:
            return None
        same_sets = sum(
            1
            for x, y in zip(entries[a].schemes, entries[b].schemes, strict=True)
            if x is not None and y is not None and x.sets == y.sets
        )
        as_planned = frozenset({entries[a].exercise, entries[b].exercise}) in planned
        if not as_planned and "main" in (entries[a].part, entries[b].part):
            return None
        return same_sets + (20 if "opposite" in reason else 0) + (200 if as_planned else 0)

    changed = list(entries)
    for number, (a, b) in enumerate(best_pairs(open_ones, worth)):
        for index in (a, b):
            changed[index] = replace(entries[index], superset=f"pair {number}")
    return changed
