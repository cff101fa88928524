"""What to shorten or leave out of a session that is too long, so that the least is lost; exact.

First the fewest entries that would otherwise stay as the coach wrote them are touched, in all weeks together; then the
lost worth is smallest. All choices of entries are tried from the fewest up, and for each one every number of sets of
every entry by dynamic programming over the session: seconds of a group depend on what is kept of it, the change-over
on the group before. So the answer is proven, not found by trying.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.dose.minutes import DRILL_CHANGE_S, SAME_STATION_S, SetTime
from setwright.plan.block import Entry
from setwright.plan.bout_time import bout_seconds
from setwright.plan.session_time import as_minutes, change_over_seconds, entry_times, group_seconds, groups_of

# Worth of a set by part, and of the first, second, third and later sets of an entry: the first set of an exercise
# gives most (common practice, no published source).
PART_WORTH: Mapping[PartName, int] = {
    "warm-up": 0,
    "main": 4,
    "skill": 3,
    "assistance": 2,
    "finisher": 1,
    "loaded-mobility": 1,
    "conditioning": 1,
}
SET_WORTH = (6, 4, 3, 2)
MOST_TRIES = 20_000  # choices of entries looked at; a session of ten entries has at most 1,024

Key = tuple[str, int]


@dataclass(frozen=True)
class Row:
    """One entry of one week of a session.

    key : what it is the same entry by in all weeks
    is_kept : work that may not be cut
    floor : sets that stay at least
    touched : it differs from the master already, so that cutting it changes no further entry
    """

    key: Key
    part: PartName
    entry: Entry
    is_kept: bool = False
    touched: bool = False
    floor: int = 0

    @property
    def sets(self) -> int:
        """Working sets."""
        return sum(1 for one in self.entry.sets if one.kind != "ramp")


@dataclass(frozen=True)
class Cut:
    """Sets kept of each entry in each week, for those that lose some; 0: left out. ``is_best``: proven."""

    kept: tuple[Mapping[Key, int], ...]
    worth: int
    is_best: bool = True


def worth_of(part: PartName, sets: int) -> int:
    """What so many sets of an entry are worth."""
    return PART_WORTH[part] * sum(SET_WORTH[min(one, len(SET_WORTH) - 1)] for one in range(sets))


def with_sets(entry: Entry, count: int) -> Entry:
    """The entry with its ramp sets and the first ``count`` working sets."""
    ramps = tuple(one for one in entry.sets if one.kind == "ramp")
    working = tuple(one for one in entry.sets if one.kind != "ramp")
    return replace(entry, sets=(*ramps, *working[:count]))


@dataclass(frozen=True)
class _Option:
    """One way to do a group: sets kept of each member, what it takes, what is lost."""

    counts: tuple[int, ...]
    seconds: float
    worth: int
    first: Exercise | None
    first_rest_s: float | None


@dataclass(frozen=True)
class _Group:
    """A group of one week: its rows, whether it is warm-up, and how it could be done."""

    rows: tuple[Row, ...]
    is_warm_up: bool
    options: tuple[_Option, ...]


def groups_of_week(rows: Sequence[Row], catalogue: Catalogue) -> list[_Group]:
    """The groups of a week with every way to do each, whole first."""
    found = []
    for part in dict.fromkeys(row.part for row in rows):
        here = [row for row in rows if row.part == part]
        at = 0
        for group in groups_of([row.entry for row in here]):
            members = tuple(here[at : at + len(group)])
            at += len(group)
            found.append(_Group(members, part == "warm-up", options_of(members, catalogue)))
    return found


def options_of(members: Sequence[Row], catalogue: Catalogue) -> tuple[_Option, ...]:
    """Every way to do a group, whole first; a bout of conditioning is done whole or not at all."""
    if members[0].entry.bout is not None:
        return options_of_bout(members, catalogue)
    times = [entry_times(row.entry, catalogue) for row in members]
    ramps = [len(row.entry.sets) - row.sets for row in members]
    fixed = [row.part == "warm-up" or row.is_kept for row in members]
    ranges = [[row.sets] if fixed[at] else range(row.sets, row.floor - 1, -1) for at, row in enumerate(members)]
    options = []
    for counts in product(*ranges):
        kept = [at for at, count in enumerate(counts) if count]
        lost = sum(worth_of(row.part, row.sets) - worth_of(row.part, n) for row, n in zip(members, counts, strict=True))
        if not kept:
            options.append(_Option(counts, 0.0, lost, None, None))
            continue
        shown: list[Sequence[SetTime]] = [times[at][: ramps[at] + counts[at]] for at in kept]
        first = catalogue.get(members[kept[0]].entry.exercise)
        rest_s = shown[0][0].rest_s if len(kept) == 1 else None
        options.append(_Option(counts, group_seconds(shown), lost, first, rest_s))
    return tuple(options)


def options_of_bout(members: Sequence[Row], catalogue: Catalogue) -> tuple[_Option, ...]:
    """A bout whole, by its clock, and left out where none of its movements must stay."""
    counts = tuple(row.sets for row in members)
    first = catalogue.get(members[0].entry.exercise)
    rest_s = members[0].entry.sets[0].rest_s if len(members) == 1 and members[0].entry.sets else None
    whole = _Option(counts, bout_seconds([row.entry for row in members], catalogue), 0, first, rest_s)
    if any(row.part == "warm-up" or row.is_kept or row.floor for row in members):
        return (whole,)
    lost = sum(worth_of(row.part, row.sets) for row in members)
    return (whole, _Option((0,) * len(members), 0.0, lost, None, None))


def fits(seconds: float, cap: float) -> bool:
    """True when a session of so many seconds keeps the minutes."""
    return as_minutes(seconds) <= cap + 1e-6


def whole_seconds(groups: Sequence[_Group]) -> float:
    """Seconds of a week as it is."""
    seconds, before = 0.0, None
    for group in groups:
        option = group.options[0]
        if option.first is None:
            continue
        seconds += option.seconds + change_of(group, before, option)
        before = option.first
    return seconds


def change_of(group: _Group, before: Exercise | None, option: _Option) -> float:
    """Seconds before a group starts."""
    if option.first is None:
        return 0.0
    return DRILL_CHANGE_S if group.is_warm_up else change_over_seconds(before, option.first, option.first_rest_s)


def least_seconds(groups: Sequence[_Group], loose: frozenset[Key]) -> float:
    """Seconds that no cut of the ``loose`` entries goes below."""
    total = 0.0
    for group in groups:
        whole = group.options[0]
        if group.is_warm_up:
            total += whole.seconds + DRILL_CHANGE_S
        elif all(row.key not in loose for row in group.rows):
            rest_s = SAME_STATION_S if whole.first_rest_s is None else whole.first_rest_s
            total += whole.seconds + min(SAME_STATION_S, rest_s)
        elif any(row.key not in loose for row in group.rows):
            total += min(one.seconds for one in allowed(group, loose))
    return total


def allowed(group: _Group, loose: frozenset[Key]) -> list[_Option]:
    """The ways to do a group in which only ``loose`` entries lose sets."""
    whole = group.options[0].counts
    return [
        one
        for one in group.options
        if all(row.key in loose or n == all_ for row, n, all_ in zip(group.rows, one.counts, whole, strict=True))
    ]


@dataclass(frozen=True)
class _Label:
    """A way through the groups so far: seconds, and the options taken."""

    seconds: float
    options: tuple[_Option, ...]


def best_week(groups: Sequence[_Group], loose: frozenset[Key], cap: float) -> tuple[int, tuple[_Option, ...]] | None:
    """(lost worth, option of each group) with the least lost that keeps the minutes, or None where nothing does.

    At least one entry beside the warm-up stays. A state is the last exercise done; for each lost worth the quickest
    way is kept, and none that loses more and takes longer.
    """
    states: dict[tuple[str, bool], dict[int, _Label]] = {("", False): {0: _Label(0.0, ())}}
    last: dict[str, Exercise | None] = {"": None}
    for group in groups:
        grown: dict[tuple[str, bool], dict[int, _Label]] = {}
        for (name, has_work), labels in states.items():
            for option in allowed(group, loose):
                extra = change_of(group, last[name], option) + option.seconds
                if option.first is None:
                    state = (name, has_work)
                else:
                    last[option.first.slug] = option.first
                    state = (option.first.slug, has_work or not group.is_warm_up)
                here = grown.setdefault(state, {})
                for worth, label in labels.items():
                    seconds = label.seconds + extra
                    old = here.get(worth + option.worth)
                    if fits(seconds, cap) and (old is None or seconds < old.seconds - 1e-9):
                        here[worth + option.worth] = _Label(seconds, (*label.options, option))
        states = {state: undominated(labels) for state, labels in grown.items() if labels}
    ends = [
        (worth, label.seconds, at, label.options)
        for at, ((_, has_work), labels) in enumerate(states.items())
        if has_work
        for worth, label in labels.items()
    ]
    if not ends:
        return None
    worth, _, _, options = min(ends, key=lambda one: one[:3])
    return worth, options


def undominated(labels: Mapping[int, _Label]) -> dict[int, _Label]:
    """The labels without those that lose more and take no less."""
    kept: dict[int, _Label] = {}
    quickest = float("inf")
    for worth in sorted(labels):
        if labels[worth].seconds < quickest - 1e-9:
            quickest = labels[worth].seconds
            kept[worth] = labels[worth]
    return kept


def floor_of(row: Row, level: int) -> int:
    """Sets that an entry keeps at least: half of a main lift and one of a skill, then one of a main lift, then none."""
    if row.part == "main":
        return ((row.sets + 1) // 2, 1, 0)[level]
    return 1 if row.part == "skill" and level == 0 else 0


def least_loss(weeks: Sequence[Sequence[Row]], cap: float, catalogue: Catalogue) -> Cut | None:
    """The least loss that leaves every main lift half its sets, or one, or where nothing else fits, none.

    A day is built on its main lift, so it goes last even where leaving it out would touch fewer entries (common
    practice, no published source). Arguments and result as of ``least_loss_above``.
    """
    for level in range(3):
        rows = [[replace(row, floor=floor_of(row, level)) for row in week] for week in weeks]
        found = least_loss_above(rows, cap, catalogue)
        if found is not None:
            return found
    return None


def least_loss_above(weeks: Sequence[Sequence[Row]], cap: float, catalogue: Catalogue) -> Cut | None:
    """The cut that touches the fewest entries, then loses the least worth, so that every week keeps ``cap`` minutes.

    weeks : the entries of each week in the order done; a week without any is left as it is
    None where not even one entry fits. A cut without losses where all fits already.
    """
    made = [groups_of_week(rows, catalogue) for rows in weeks]
    long = [week for week, groups in enumerate(made) if groups and not fits(whole_seconds(groups), cap)]
    if not long:
        return Cut(tuple({} for _ in weeks), 0)
    movable = {row.key: row for rows in weeks for row in rows if row.part != "warm-up" and not row.is_kept}
    free = frozenset(key for key, row in movable.items() if row.touched)
    others = [key for key in reversed(movable) if key not in free]
    distinct: dict[tuple[object, ...], list[int]] = {}
    for week in long:
        distinct.setdefault(shape_of(made[week]), []).append(week)
    tries, is_best = 0, True
    for count in range(len(others) + 1):
        best: tuple[int, dict[int, tuple[_Option, ...]]] | None = None
        for chosen in combinations(others, count):
            tries += 1
            if tries > MOST_TRIES:
                is_best = False
                break
            loose = free | frozenset(chosen)
            if any(not fits(least_seconds(made[same[0]], loose), cap) for same in distinct.values()):
                continue
            total, ways = 0, dict[int, tuple[_Option, ...]]()
            for same in distinct.values():
                found = best_week(made[same[0]], loose, cap)
                if found is None or (best is not None and total + len(same) * found[0] >= best[0]):
                    break
                total += len(same) * found[0]
                ways |= dict.fromkeys(same, found[1])
            else:
                best = (total, ways)
        if best is not None:
            return Cut(tuple(counts_of(made[week], best[1].get(week)) for week in range(len(weeks))), best[0], is_best)
        if not is_best:
            return cut_all(made, long, free | frozenset(others), cap)
    return None


def cut_all(made: Sequence[Sequence[_Group]], long: Sequence[int], loose: frozenset[Key], cap: float) -> Cut | None:
    """The cut with the least worth lost when all entries may be touched: for sessions too large to try everything."""
    ways, total = {}, 0
    for week in long:
        found = best_week(made[week], loose, cap)
        if found is None:
            return None
        total += found[0]
        ways[week] = found[1]
    return Cut(tuple(counts_of(groups, ways.get(week)) for week, groups in enumerate(made)), total, is_best=False)


def shape_of(groups: Sequence[_Group]) -> tuple[object, ...]:
    """What tells two weeks of a session apart: entries and what each way to do them takes."""
    return tuple(
        (tuple(row.key for row in group.rows), tuple((one.counts, one.seconds, one.worth) for one in group.options))
        for group in groups
    )


def counts_of(groups: Sequence[_Group], options: Sequence[_Option] | None) -> dict[Key, int]:
    """Sets kept of the entries that lose some."""
    if options is None:
        return {}
    return {
        row.key: count
        for group, option in zip(groups, options, strict=True)
        for row, count in zip(group.rows, option.counts, strict=True)
        if count < row.sets
    }
