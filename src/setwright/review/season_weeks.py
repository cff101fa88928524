"""The weeks of a season, from a block to the next event: what each is for, and where the easier ones fall.

Two ideas: days of events are known, so weeks are laid out towards them (fewer sets just before, none in a break, a ramp
after a long one); and blocks that lie beyond the next one are a frame, filled in when the one before has been done.

Sources: easier weeks every 4 to 6 (Bell et al. 2022, 18 coaches; Rogerson et al. 2024, 246 lifters: every 5.6 +- 2.3
weeks for 6.4 +- 1.7 days; both seen). Fewer sets before a meet: Travis et al. 2020, Sports 8:125 (partly seen, the
rest from memory). The ramp after two weeks off and more: rule D01 (CSCCa/NSCA 2019).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Literal

from setwright.people.season import Season, SeasonEvent
from setwright.plan.block import Block
from setwright.plan.weeks import RETURN_SHARES
from setwright.review.season_goals import monday_of

SeasonWeekKind = Literal["build", "easy", "taper", "test", "break", "way back"]
LEAST_WEEKS, MOST_WEEKS = 4, 12  # of a block, as a brief allows
USUAL_WEEKS, USUAL_EASY_EVERY = 6, 4
MIDWEEK = 2  # an event from Wednesday on has training days before it in its own week
BREAK_DAYS = 4  # a week that loses so many days to a break counts as one
LONG_BREAK_WEEKS = 2  # from so many weeks off a way back follows (rule D01)
WEEK = timedelta(days=7)
# Sets before a meet fall by 30 to 50 % (up to 70); load stays at 85 % of the best single or more; the last heavy day
# is 2 to 4 days before, up to 7. Travis et al. 2020, Sports 8:125: partly seen second-hand, the rest from memory.
TAPER_FALL = (0.3, 0.5)
TAPER_LEAST_LOAD = 0.85
TAPER_LAST_HEAVY_DAYS = (2, 4)


@dataclass(frozen=True)
class SeasonWeek:
    """One week from its Monday: its kind, the block it belongs to (by number), and the event it leads to or holds."""

    start: date
    kind: SeasonWeekKind
    event: str = ""
    is_planned: bool = False


@dataclass(frozen=True)
class Stretch:
    """Weeks that belong together: a block that is planned or done, one to come, or a break.

    ``number``: of a block to come, 0 for others; ``why``: what it is for, a sentence each.
    """

    title: str
    weeks: tuple[SeasonWeek, ...]
    number: int = 0
    why: tuple[str, ...] = ()

    @property
    def start(self) -> date:
        """Its first Monday."""
        return self.weeks[0].start

    @property
    def end(self) -> date:
        """Its last Sunday."""
        return self.weeks[-1].start + timedelta(days=6)

    def numbers(self, *kinds: SeasonWeekKind) -> tuple[int, ...]:
        """The numbers of its weeks of some kinds, from 1."""
        return tuple(number for number, one in enumerate(self.weeks, start=1) if one.kind in kinds)


def stretches(
    season: Season, blocks: Sequence[Block], today: date, weeks: int = USUAL_WEEKS, easy_every: int = USUAL_EASY_EVERY
) -> tuple[Stretch, ...]:
    """All weeks of a season in order: blocks so far, breaks, and blocks to come.

    weeks : length of a usual block; easy_every : an easier week after so many of training, 0 for none
    """
    known = [of_block(one) for one in sorted(blocks, key=lambda one: one.inputs.brief.start)]
    after = max([monday_of(today), *(one.weeks[-1].start + WEEK for one in known)])
    last = monday_of(season.last_day(today))
    ahead = []
    day = after
    while day <= last:
        ahead.append(day)
        day += WEEK
    kinds = [kind_of_week(one, season.events) for one in ahead]
    found: list[Stretch] = []
    number = 0
    for group in runs(ahead, kinds):
        if group[0][1] == "break":
            name = group[0][2]
            found.append(Stretch(name, tuple(SeasonWeek(day, "break", name) for day, *_ in group)))
            continue
        off = len(found[-1].weeks) if found and found[-1].weeks[0].kind == "break" else 0
        for place, part in enumerate(parts_of(group, weeks)):
            number += 1
            returning = off if place == 0 else 0
            found.append(Stretch(f"Block {number} to come", with_easy(part, easy_every, returning), number))
    return (*known, *found)


def of_block(block: Block) -> Stretch:
    """The weeks of a block that is planned or done."""
    first = monday_of(block.inputs.brief.start)
    kinds: dict[str, SeasonWeekKind] = {"deload": "easy", "test": "test", "return": "way back"}
    return Stretch(
        block.title,
        tuple(
            SeasonWeek(first + (one.number - 1) * WEEK, kinds.get(one.kind, "build"), is_planned=True)
            for one in block.weeks
        ),
    )


Marked = tuple[date, SeasonWeekKind, str]


def kind_of_week(monday: date, events: Sequence[SeasonEvent]) -> tuple[SeasonWeekKind, str]:
    """What the events make of a week: a break, fewer sets before a day that counts, or training; and whose it is."""
    for one in events:
        days = sum(one.date <= monday + timedelta(days=n) <= one.last for n in range(7))
        if one.kind == "break" and days >= BREAK_DAYS:
            return "break", one.name
    for one in events:
        week = monday_of(one.date)
        if one.kind == "test" and week == monday:
            return "test", one.name
        first, last = taper_weeks(one)
        if first <= monday <= last or (one.taper_weeks and monday == week):
            return "taper", one.name
    return "build", next((one.name for one in events if monday_of(one.date) == monday), "")


def taper_weeks(event: SeasonEvent) -> tuple[date, date]:
    """(first, last) Monday of the weeks with fewer sets; the last lies before the first where there are none.

    An event from Wednesday on has its own week among them, except a test: that week tests.
    """
    week = monday_of(event.date)
    own = event.date.weekday() >= MIDWEEK and event.kind != "test"
    last = week if own else week - WEEK
    return last - (event.taper_weeks - 1) * WEEK, last


def runs(days: Sequence[date], kinds: Sequence[tuple[SeasonWeekKind, str]]) -> list[list[Marked]]:
    """Weeks in groups that a break or the week of an event with a taper ends."""
    groups: list[list[Marked]] = []
    for place, (day, (kind, name)) in enumerate(zip(days, kinds, strict=True)):
        before = kinds[place - 1] if place else None
        is_new = before is None or (kind == "break") != (before[0] == "break")
        is_new = is_new or (kind == "break" and before is not None and name != before[1])
        # After the day that counts a new block begins; the weeks before two events close together stay one.
        is_new = is_new or (before is not None and before[0] in ("taper", "test") and kind == "build")
        if is_new:
            groups.append([])
        groups[-1].append((day, kind, name))
    return groups


def parts_of(group: Sequence[Marked], weeks: int) -> list[list[Marked]]:
    """A run of weeks in blocks of about the usual length, each of a length that a brief allows where that fits."""
    count = len(group)
    parts = max(1, round(count / max(1, weeks)))
    parts = max(parts, ceil(count / MOST_WEEKS))
    while parts > 1 and count / parts < LEAST_WEEKS:
        parts -= 1
    sizes = [count // parts + (1 if n < count % parts else 0) for n in range(parts)]
    found, at = [], 0
    for size in sizes:
        found.append(list(group[at : at + size]))
        at += size
    return found


def with_easy(part: Sequence[Marked], easy_every: int, weeks_off: int = 0) -> tuple[SeasonWeek, ...]:
    """The weeks of a block with its easier ones; none just before weeks that are easier anyhow, none on a way back."""
    found: list[SeasonWeek] = []
    in_row = 0
    for place, (day, kind, name) in enumerate(part):
        following = part[place + 1][1] if place + 1 < len(part) else ""
        if kind == "build" and weeks_off >= LONG_BREAK_WEEKS and place < len(RETURN_SHARES):
            found.append(SeasonWeek(day, "way back", name))
            continue
        in_row = in_row + 1 if kind == "build" else 0
        is_last = place + 1 == len(part)
        due = easy_every > 0 and (in_row >= easy_every or (is_last and in_row >= 3))
        before_test = following == "test"
        if kind == "build" and (before_test or (due and following != "taper")):
            kind, in_row = "easy", 0
        found.append(SeasonWeek(day, kind, name))
    return tuple(found)


def next_event(events: Sequence[SeasonEvent], today: date) -> SeasonEvent | None:
    """The next event that training eases off for, or None."""
    ahead = [one for one in events if one.date >= today and one.taper_weeks]
    return min(ahead, key=lambda one: one.date, default=None)


def next_block(found: Sequence[Stretch]) -> Stretch | None:
    """The next block to come that is long enough for a brief; None where there is none."""
    return next((one for one in found if one.number and len(one.weeks) >= LEAST_WEEKS), None)


def stretch_event(stretch: Stretch, events: Sequence[SeasonEvent]) -> SeasonEvent | None:
    """The event that a stretch eases off for or tests at: the last of its weeks that has one; None without."""
    names = [one.event for one in stretch.weeks if one.kind in ("taper", "test") and not one.is_planned]
    return next((one for one in events if names and one.name == names[-1]), None)


def easing_words(stretch: Stretch, events: Sequence[SeasonEvent]) -> tuple[str, ...]:
    """Where a block to come is easier and why, a sentence each; empty for blocks planned already and breaks."""
    if not stretch.number:
        return ()
    said = []
    easy = stretch.numbers("easy")
    if easy:
        word = "week" if len(easy) == 1 else "weeks"
        said.append(f"Easier in {word} {', '.join(map(str, easy))}.")
    taper = stretch.numbers("taper")
    if taper:
        said.append(taper_words(stretch, taper, events))
    test = stretch.numbers("test")
    if test:
        said.append(f"Week {test[0]} tests: {stretch.weeks[test[0] - 1].event}.")
    back = stretch.numbers("way back")
    if back:
        shares = " to ".join(f"{100 * one:.0f}" for one in (RETURN_SHARES[0], RETURN_SHARES[len(back) - 1]))
        said.append(f"Weeks {back[0]} to {back[-1]} are a way back: {shares} % of the sets at most.")
    return tuple(said)


def taper_words(stretch: Stretch, taper: Sequence[int], events: Sequence[SeasonEvent]) -> str:
    """What comes down before a date that counts; only a meet has published figures for its last heavy day."""
    word = f"week {taper[0]}" if len(taper) == 1 else f"weeks {taper[0]} to {taper[-1]}"
    name = stretch.weeks[taper[-1] - 1].event
    kind = next((one.kind for one in events if one.name == name), "other")
    low, high = (100 * one for one in TAPER_FALL)
    said = f"Fewer sets in {word}, before {name}: {low:.0f} to {high:.0f} % less"
    if kind not in ("meet", "test"):
        return f"{said}, the loads stay (taken over from meets of lifters)."
    said += f" at {100 * TAPER_LEAST_LOAD:.0f} % of the best single or more"
    first, last = TAPER_LAST_HEAVY_DAYS
    return f"{said}, the last heavy day {first} to {last} days before it."
