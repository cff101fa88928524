"""The written door: a block or a single session in the trade's shorthand becomes a template.

Every exercise stays, in its order. Names are matched with a proposal where unsure; what was not written is
filled in by rule. All faults come at once, with their lines.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from itertools import pairwise

from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.names import is_lacking, match_name, plain
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.trainee import DAY_NAMES, DAYS, Day
from setwright.plan.arrange import PART_ORDER, what_it_is
from setwright.plan.bout import Bout
from setwright.plan.bout_lines import heading_line, piece_words, round_words, shared_bout
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS, default_rest_s
from setwright.plan.formats import Format, formats_of
from setwright.plan.schemes import SetScheme, eased_for_week, schemes_of
from setwright.plan.shorthand_bouts import BoutHead, named_format, read_bout, split_movements
from setwright.plan.shorthand_head import (
    RULE_LINE,
    DayHead,
    read_days,
    read_focus,
    read_loose_title,
    read_part,
    read_superset,
    read_title,
    read_week_count,
    read_week_rpe,
    read_weeks,
    week_span,
    weekdays_for,
)
from setwright.plan.shorthand_line import Line, Sets, Unreadable, read_line, scheme_of, tidy
from setwright.plan.shorthand_schemes import done_in, named_in, set_scheme
from setwright.plan.template import BASIC_KINDS, Scheme, Template, TemplateEntry, TemplateSession
from setwright.plan.written_bouts import (
    as_machine_work,
    by_machine,
    check_movement,
    fill_from,
    in_bout,
    line_bout,
    settled,
)

SPREAD: Mapping[int, tuple[Day, ...]] = {
    1: ("mon",),
    2: ("mon", "thu"),
    3: ("mon", "wed", "fri"),
    4: ("mon", "tue", "thu", "fri"),
    5: ("mon", "tue", "wed", "fri", "sat"),
    6: ("mon", "tue", "wed", "thu", "fri", "sat"),
}
USUAL_RPE = 7.5
EASY_SHARE = 0.6
NAME_ALLOWED = "the name of an exercise"
# Patterns whose hard end is at the top, where a pause is held (common practice, no published source).
TOP_PAUSE_PATTERNS = {
    *("pull_horizontal", "pull_vertical", "hip_extension", "calf", "shoulder_raise", "scapular", "knee_extension"),
    *("knee_flexion", "hip_abduction", "shin", "elbow_flexion"),
}
# Words before a name that say how it is done, not which exercise it is.
MANNER = re.compile(r"^(alternat(?:e|ing)|paused?|heavy|strict|slow|tempo|speed)\s+(.+)$", re.IGNORECASE)
IN_ALL = re.compile(r"(?:reps?\s+)?(?:in (?:all|total)|total|altogether|together|steps)", re.IGNORECASE)


@dataclass(frozen=True)
class UnsureName:
    """A name that could mean several exercises, with proposals, best first."""

    line: int
    text: str
    proposals: tuple[str, ...]


@dataclass(frozen=True)
class WrittenBlock:
    """What was read: title, weeks, the template, and what was understood by a guess, a sentence each.

    The guesses of an entry stand in its ``why`` too.
    """

    title: str
    weeks: int
    template: Template
    unsure: tuple[UnsureName, ...] = ()
    filled: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass
class _Row:
    """One entry as read: its line, its part if one was written, and the weeks it is for (None: all)."""

    number: int
    part: PartName | None
    line: Line
    body: str
    raw: str
    weeks: frozenset[int] | None = None
    left_out: frozenset[int] = frozenset()
    bout: Bout | None = None


@dataclass
class _Day:
    """One day as read. ``seen`` holds the weeks whose heading named it."""

    head: DayHead
    number: int = 0
    rows: list[_Row] = field(default_factory=list)
    seen: list[frozenset[int] | None] = field(default_factory=list)
    tried: bool = False


def is_note(text: str) -> bool:
    """True for empty lines, rulers and comments."""
    return not text.strip() or text.strip().startswith("#") or bool(RULE_LINE.match(text))


@dataclass
class _Reader:
    """Reads the lines of one text in turn; faults and notes carry the number of their line."""

    file: str
    catalogue: Catalogue
    names: Mapping[str, str]
    faults: list[tuple[int, Fault]] = field(default_factory=list)
    notes: list[tuple[int, str]] = field(default_factory=list)
    title: str = ""
    stated_weeks: int | None = None
    most_weeks: int = 0
    week_rpe: dict[int, float | None] = field(default_factory=dict)
    days: list[_Day] = field(default_factory=list)
    today: list[_Day] = field(default_factory=list)
    scope: frozenset[int] | None = None
    part: PartName | None = None
    group: str | None = None
    group_marked: bool | None = None
    group_rounds: int | None = None
    group_size: int = 0
    bout: Bout | None = None
    bout_line: int = 0
    bout_scope: frozenset[int] | None = None

    @property
    def formats(self) -> Mapping[str, Format]:
        """The formats of conditioning that a line may name: the packaged ones and the coach's own."""
        return formats_of(self.catalogue)

    @property
    def schemes(self) -> Mapping[str, SetScheme]:
        """The schemes that a line may name: the packaged ones and the coach's own."""
        return schemes_of(self.catalogue)

    def fault(self, number: int, found: str, allowed: str, hint: str = "") -> None:
        """Adds one fault of a line; a line has one at most."""
        if all(at != number or not number for at, _ in self.faults):
            self.faults.append((number, Fault(self.file, f"line {number}" if number else "", found, allowed, hint)))

    def end_group(self) -> None:
        """Ends a superset or a bout that a heading opened."""
        if self.bout is not None and not self.group_size:
            self.fault(
                self.bout_line, "a format without movements", "its movements on the lines below, or behind a colon"
            )
        self.bout = None
        self.group, self.group_marked, self.group_rounds, self.group_size = None, None, None, 0

    def free_letter(self) -> str:
        """The next letter that no superset of today has."""
        used = {row.line.superset for day in self.today for row in day.rows}
        return next((one for one in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if one not in used), "Z")

    def take(self, number: int, raw: str) -> None:
        """One line of the text."""
        if is_note(raw):
            if self.group_size and not raw.strip():
                self.end_group()
            inner = raw.strip().lstrip("# ")
            if raw.strip().startswith("#") and read_days(tidy(inner)) is not None:
                self.notes.append((number, f"{inner!r} stands behind a # and was taken for a note to yourself."))
            return
        marked = bool(re.match(r"^(?:\s+|\s*[-*•>]|\s*\d+[.)]\s|\s*[a-z]\))", raw))
        line = tidy(re.sub(r"(?<!\d)#.*$", "", raw))
        if not line:
            return
        if self.take_heading(number, line):
            return
        if self.group is not None and self.group_size and self.group_marked and not marked:
            self.end_group()
        self.take_entry(number, line, raw.strip(), marked)

    def take_heading(self, number: int, line: str) -> bool:
        """True when the line was a heading of any kind."""
        title = read_title(line)
        if title is not None:
            loose = read_loose_title(title)
            self.title = loose[0] if loose else title
            if loose and loose[1]:
                self.take_week_count(number, loose[1])
            return True
        count = read_week_count(line)
        if count is not None:
            self.take_week_count(number, count)
            return True
        if self.take_bout(number, line, line, False):
            return True
        faults: list[Fault] = []
        if read_week_rpe(line, self.file, f"line {number}", faults, self.week_rpe):
            self.faults += [(number, one) for one in faults]
            return True
        weeks = read_weeks(line)
        if weeks is not None and (not weeks[2] or weeks[2].startswith("(")):
            span = week_span(weeks[0], weeks[1])
            if span is None:
                self.fault(number, repr(line), "weeks 1 to 12 in order")
            else:
                self.scope = frozenset(range(span[0], span[1] + 1))
                self.most_weeks = max(self.most_weeks, span[1])
                self.today, self.part = [], None
                self.end_group()
            return True
        heads = read_days(line)
        if heads is not None:
            self.take_days(number, line, heads)
            return True
        group = read_superset(line)
        if group is not None:
            self.end_group()
            self.group, self.group_rounds = group[0] or self.free_letter(), group[1]
            return True
        focus = read_focus(line)
        if focus is not None and read_part(line) is None and not self.catalogue_knows(line.rstrip(": ")):
            self.take_focus(number, focus)
            return True
        part = read_part(line)
        if part is not None:
            self.part = part[0]
            self.end_group()
            if part[1]:
                self.take_entry(number, part[1], line, False)
            return True
        if not self.days and not self.title and not DOSED.search(line):
            loose = read_loose_title(line)
            if loose is not None:
                self.title = loose[0]
                self.notes.append((number, f"{line!r} was read as the title."))
                if loose[1]:
                    self.take_week_count(number, loose[1])
                return True
        return False

    def take_bout(self, number: int, line: str, raw: str, marked: bool) -> bool:
        """True where a line opens a bout of conditioning; its movements follow, behind the colon or on lines below."""
        try:
            found = read_bout(line, self.formats)
        except Unreadable as error:
            self.fault(number, error.found, error.allowed)
            for day in self.today:
                day.tried = True
            return True
        if found is not None:
            self.open_bout(number, found, raw, marked)
        return found is not None

    def open_bout(self, number: int, found: BoutHead, raw: str, marked: bool) -> None:
        """Opens a bout and takes the movements that stand on its line."""
        self.end_group()
        self.bout, self.bout_line, self.group = found.bout, number, self.free_letter()
        self.bout_scope = self.scope
        for one in split_movements(found.rest):
            self.take_entry(number, one, f"{found.text} {one}" if one != found.rest else raw, marked)
        if found.rest:
            self.end_group()

    def catalogue_knows(self, name: str) -> bool:
        """True for a sure name of an exercise."""
        return match_name(name, self.catalogue).sure

    def take_week_count(self, number: int, count: int) -> None:
        """The number of weeks."""
        if 1 <= count <= 12:
            self.stated_weeks = count
        else:
            self.fault(number, f"{count} weeks", "1 to 12 weeks")

    def take_days(self, number: int, line: str, heads: Sequence[DayHead]) -> None:
        """A heading with one or several days."""
        self.part, self.today = None, []
        self.end_group()
        for head in heads:
            day = next((one for one in self.days if one.head.label == head.label), None)
            if day is None:
                day = _Day(head, number)
                self.days.append(day)
            elif any(self.scope is None or seen is None or seen & self.scope for seen in day.seen):
                self.fault(
                    number,
                    f"two sessions on {head.day}" if head.day else f"two sessions called {head.label}",
                    "one session a day",
                    "A heading like 'weeks 4-6:' alone on its line starts other weeks." if self.week_rpe else "",
                )
            day.seen.append(self.scope)
            day.head.minutes = day.head.minutes if day.head.minutes is not None else head.minutes
            day.head.place, day.head.title = day.head.place or head.place, day.head.title or head.title
            self.today.append(day)
        if heads and is_day_off(heads[0]):
            self.today = []
        if heads and heads[0].entry:
            self.take_entry(number, tidy(heads[0].entry), line, False)

    def take_focus(self, number: int, head: DayHead) -> None:
        """A line that only says what a day is about: its title, or a day of its own where no day was named."""
        self.end_group()
        named = any(not day.head.label.startswith("part ") for day in self.days)
        if self.today and not any(day.rows for day in self.today):
            for day in self.today:
                day.head.title = day.head.title or head.title
                day.head.minutes = day.head.minutes if day.head.minutes is not None else head.minutes
        elif named and self.today:
            self.notes.append((number, f"{head.title!r} was read as a heading within the day."))
        else:
            self.part = None
            head.label = f"part {len(self.days) + 1}"
            self.take_days(number, head.title, [head])
            self.notes.append((number, f"{head.title!r} was read as a day of its own."))

    def take_entry(self, number: int, line: str, raw: str, marked: bool) -> None:
        """A line with an exercise, or more of the dose of the one before."""
        paired = re.match(r"^(?:super-?\s?set(?:ted)?|ss|paired)\s*(?:with|w/)\s*:?\s*", line, re.IGNORECASE)
        if paired:
            line = line[paired.end() :]
        scope = self.scope if self.bout is None else self.bout_scope
        weeks = read_weeks(line)
        if weeks is not None:
            span = week_span(weeks[0], weeks[1])
            if span is None:
                self.fault(number, repr(line), "weeks 1 to 12 in order")
                return
            scope = frozenset(range(span[0], span[1] + 1))
            self.most_weeks = max(self.most_weeks, span[1])
            line = weeks[2]
            if self.bout is None and self.take_scoped_bout(number, line, raw, marked, scope):
                return
            if not re.search(r"\d", line) and not self.catalogue_knows(line):
                self.fault(number, repr(line), "weeks 1 to 3 RPE 7, or week 4 easy")
                return
        if self.bout is None and self.take_bout(number, line, raw, marked):
            return
        try:
            self.add_entry(number, line, raw, marked, scope, weeks is not None, bool(paired))
        except Unreadable as error:
            self.fault(number, error.found, error.allowed)
            for day in self.today:
                day.tried = True

    def add_entry(
        self, number: int, line: str, raw: str, marked: bool, scope: frozenset[int] | None, by_week: bool, paired: bool
    ) -> None:
        """Reads an entry and puts it in today's sessions. Raises Unreadable."""
        if re.match(r"^(?:repeat|x)\b.*\brounds?$", line, re.IGNORECASE):
            raise Unreadable(repr(line), "the rounds above their lines, like '3 rounds:'")
        line, scheme = named_in(line, self.schemes)
        line, named = named_format(line, self.formats)
        entry = read_line(line)
        if scheme:
            set_scheme(entry, scheme)
        if named is not None:
            fill_from(entry, named)
        by_machine(entry)
        if self.bout is not None:
            check_movement(entry, self.bout)
            entry.superset = None
        last = self.today[0].rows[-1] if self.today and self.today[0].rows else None
        if not entry.name:
            if last is None:
                raise Unreadable("no name of an exercise", "the name first, then the dose")
            self.more_of(last, number, line, raw, scope, by_week)
            return
        if not self.today:
            head = DayHead(f"part {len(self.days) + 1}")
            self.days.append(_Day(head, number))
            self.today = [self.days[-1]]
        if paired and last is not None:
            last.line.superset = last.line.superset or self.free_letter()
            entry.superset = last.line.superset
        elif entry.superset is None and self.group is not None:
            entry.superset = self.group
            self.group_size += 1
            self.group_marked = marked if self.group_marked is None else self.group_marked
            if self.group_rounds is not None and self.bout is None:
                bare = [one for one in entry.sets if one.count is None]
                if not entry.sets:
                    entry.sets = [Sets(count=self.group_rounds)]
                for one in bare:
                    one.count = self.group_rounds
        elif entry.superset is not None:
            self.end_group()
        row = _Row(number, self.part, entry, line, raw, scope, bout=self.bout)
        for day in self.today:
            day.rows.append(row)

    def take_scoped_bout(self, number: int, line: str, raw: str, marked: bool, scope: frozenset[int] | None) -> bool:
        """A bout for the weeks that its line begins with; True where it is one."""
        before, self.scope = self.scope, scope
        try:
            return self.take_bout(number, line, raw, marked)
        finally:
            self.scope = before

    def more_of(
        self, last: _Row, number: int, line: str, raw: str, scope: frozenset[int] | None, by_week: bool
    ) -> None:
        """A line without a name belongs to the exercise above it."""
        if by_week and scope is not None:
            first = next(
                (
                    one
                    for day in self.today
                    for one in reversed(day.rows)  # the same exercise may stand there twice: the nearest is meant
                    if one.line.name == last.line.name and one.weeks is None
                ),
                last,
            )
            name = first.line.full_name or first.line.name
            entry = read_line(f"{name}, {line}")
            entry.superset = first.line.superset
            row = _Row(number, first.part, entry, f"{name}, {line}", f"{first.raw} / {raw}", scope)
            first.left_out = first.left_out | scope
            if not first.line.dosed():
                first.left_out = frozenset(range(1, 13))
            for day in self.today:
                day.rows.append(row)
            return
        more = last.line.dosed() and bool(read_line(line).sets)
        body = f"{last.body}, {line}"
        entry = read_line(body)
        entry.superset = last.line.superset
        if more:
            entry.guess("the line below it was read as more sets of the same exercise")
        last.line, last.body, last.raw = entry, body, f"{last.raw} / {raw}"


DOSED = re.compile(r"\d\s*x\s*\d|@|\d\s*sets?\b|\d\s*reps?\b|\d\s*%", re.IGNORECASE)


def read_block_text(
    text: str,
    catalogue: Catalogue,
    file: str = "text",
    place: str = "",
    weeks: int | None = None,
    days: Sequence[Day] = (),
    names: Mapping[str, str] | None = None,
) -> WrittenBlock:
    """The block in a text. Raises InputFaults with every fault in the order of the lines, one a line at most.

    place : the place of sessions that name none; weeks : used where the text says none (1 otherwise)
    days : weekdays for sessions that name none, in order; names : answers for unsure names, text to slug
    """
    reader = _Reader(file, catalogue, {})
    reader.names = answers_of(names or {}, catalogue, reader)
    for number, raw in enumerate(text.splitlines(), start=1):
        reader.take(number, raw)
    reader.end_group()
    sessions = [one for one in reader.days if one.rows or not is_day_off(one.head)]
    for one in reader.days:
        if not one.rows and one not in sessions:
            reader.notes.append((one.number, f"{one.head.label} is a day off."))
        elif not one.rows and not one.tried:
            reader.fault(one.number, f"no exercise on {one.head.label}", "at least one line with an exercise")
    if not sessions and not reader.faults:
        reader.fault(0, "no session", "at least one line with an exercise, like: front squat 4 x 5")
    if len(sessions) > 7:
        reader.fault(sessions[7].number, f"{len(sessions)} days", "at most 7 days a week")
    total = reader.stated_weeks or weeks or max([reader.most_weeks, *reader.week_rpe], default=1) or 1
    if reader.stated_weeks is None and weeks is None and total > 1:
        reader.notes.append((0, f"{total} weeks: the last week that is named."))
    unsure: list[UnsureName] = []
    chosen = weekdays_for([one.head for one in sessions], days, SPREAD.get(len(sessions), DAYS))
    made = [
        build_session(one, day, total, place, reader, unsure, len(sessions), days, nth)
        for nth, (one, day) in enumerate(zip(sessions, chosen, strict=True), start=1)
    ]
    twice = [one.day for one in made]
    for day_name in sorted({one for one in twice if twice.count(one) > 1}):
        reader.fault(0, f"two sessions on {day_name}", "one session a day")
    if reader.faults:
        raise InputFaults(one for _, one in sorted(reader.faults, key=lambda pair: pair[0] or 10**9))
    made.sort(key=lambda one: DAYS.index(one.day))
    week_rpe = reader.week_rpe
    kinds = tuple("deload" if week_rpe.get(week, 0.0) is None else "build" for week in range(1, total + 1))
    efforts = tuple(
        week_rpe.get(week) or (5.5 if kinds[week - 1] == "deload" else USUAL_RPE) for week in range(1, total + 1)
    )
    notes = tuple(f"Line {number}: {one}" if number else one for number, one in sorted(dict.fromkeys(reader.notes)))
    return WrittenBlock(
        reader.title or "Written block", total, Template(tuple(made), kinds, efforts), tuple(unsure), notes=notes
    )


def answers_of(names: Mapping[str, str], catalogue: Catalogue, reader: _Reader) -> dict[str, str]:
    """The answers for unsure names by their plain form; an answer that is no exercise is a fault."""
    found: dict[str, str] = {}
    for text, answer in names.items():
        match = match_name(answer, catalogue)
        if answer in catalogue:
            found[plain(text)] = catalogue.get(answer).slug
        elif match.slug is not None and match.sure:
            found[plain(text)] = match.slug
        else:
            known = [one.slug for one in catalogue.values()]
            near = match.proposals or tuple(get_close_matches(answer, known, 3, 0.6))
            hint = f"Nearest: {', '.join(near)}." if near else "List them with: setwright catalogue."
            fault = Fault("--name", "", f"the unknown slug {answer!r} for {text!r}", "the slug of an exercise", hint)
            reader.faults.append((-1, fault))
            found[plain(text)] = ""
    return found


def is_day_off(head: DayHead) -> bool:
    """True for ``Wed - rest``."""
    return bool(re.fullmatch(r"(?:rest|off|day off|rest day)", head.title.strip(), re.IGNORECASE))


def build_session(
    day: _Day,
    weekday: Day,
    weeks: int,
    place: str,
    reader: _Reader,
    unsure: list[UnsureName],
    count: int,
    days: Sequence[Day],
    nth: int,
) -> TemplateSession:
    """One session of the template from its lines; ``nth``: which of the ``count`` sessions it is, from 1."""
    made: list[list[TemplateEntry]] = []
    for row in day.rows:
        exercise = find_exercise(row, reader, unsure)
        if exercise is None:
            continue
        if not row_weeks(row, weeks, reader.week_rpe):
            if row.line.dosed() or not row.left_out:
                reader.fault(row.number, f"weeks beyond {weeks}", f"weeks 1 to {weeks}")
            continue
        exercise = as_moved(exercise, row.line, reader.catalogue)
        try:
            fit_measure(exercise, row.line)
        except Unreadable as error:
            reader.fault(row.number, error.found, error.allowed)
            continue
        try:
            is_bout = row.bout is not None or line_bout(exercise, row.line) is not None
            part = row.part or ("conditioning" if is_bout else guess_part(exercise, row.line, bool(made)))
            entries = entries_of(exercise, part, row, weeks, reader.week_rpe, reader.schemes)
        except Unreadable as error:
            reader.fault(row.number, error.found, error.allowed)
            continue
        reader.notes += [(row.number, f"{one[:1].upper()}{one[1:]}.") for one in row.line.guesses]
        made.append(entries)
    made = settled(made)
    made = one_part_each_superset(made, {row.line.superset for row in day.rows if row.part is not None})
    notes: list[str] = []
    if day.head.day is None and count > 1 and days:  # for nobody in particular a day with a number stays one
        own = "" if weekday in days else f", no training day of the trainee's {len(days)}"
        unnamed = repr(day.head.title) if day.head.title else "What stands under no day"
        label = unnamed if day.head.label.startswith("part ") else day.head.label.capitalize()
        notes.append(f"{label} is put on {DAY_NAMES[weekday]}{own}.")
        reader.notes.append((day.number, notes[-1]))
    entries = in_rounds(made)
    if entries and notes:
        entries[0] = replace(entries[0], why=" ".join((*notes, entries[0].why)))
    for week in range(1, weeks + 1):
        if entries and not reader.faults and all(one.schemes[week - 1] is None for one in entries):
            reader.fault(
                day.number,
                f"nothing for week {week} on {day.head.label}",
                "lines for every week of the block, or no headings by week",
            )
    name = "" if day.head.day is not None else f"Day {day.head.order or nth}"
    return TemplateSession(weekday, day.head.place or place, day.head.minutes, tuple(entries), day.head.title, name)


def one_part_each_superset(made: Sequence[list[TemplateEntry]], written: set[str | None]) -> list[list[TemplateEntry]]:
    """Members of a superset under no heading share one part, so that they stay together: a circuit is a finisher."""
    parts: dict[str, set[PartName]] = {}
    for entries in made:
        if entries[0].superset is not None and entries[0].superset not in written:
            parts.setdefault(entries[0].superset, set()).add(entries[0].part)
    common: dict[str, PartName] = {
        letter: "finisher" if "conditioning" in found else "assistance"
        for letter, found in parts.items()
        if len(found) > 1
    }
    return [[replace(one, part=common.get(one.superset or "", one.part)) for one in entries] for entries in made]


def row_weeks(row: _Row, weeks: int, week_rpe: Mapping[int, float | None]) -> set[int]:
    """The weeks in which a row is done; an easy week that has no lines of its own takes those of the week before."""
    everything = set(range(1, weeks + 1))
    own = everything if row.weeks is None else {one for one in row.weeks if one in everything}
    for week in sorted(everything):
        if row.weeks is not None and week - 1 in own and week_rpe.get(week, 0.0) is None and week - 1 == max(row.weeks):
            own.add(week)
    return own - row.left_out


def find_exercise(row: _Row, reader: _Reader, unsure: list[UnsureName]) -> Exercise | None:
    """The exercise that a name means; an unsure one is a fault with proposals."""
    catalogue, line = reader.catalogue, row.line
    tries = [line.name] if line.full_name in ("", line.name) else [line.full_name, line.name]
    if line.note and not match_name(line.name, catalogue).sure:
        tries.append(f"{line.note} {line.name}")
    for name in tries:
        answered = reader.names.get(plain(name))
        if answered is not None:
            return catalogue.get(answered) if answered else None
    for name in tries:
        match = match_name(name, catalogue)
        if match.slug is None or not match.sure:
            continue
        exercise = catalogue.get(match.slug)
        known = {plain(one) for one in (exercise.name, exercise.slug, *exercise.also_called)}
        if plain(name) not in known:
            line.guess(f"{name!r} was read as {exercise.name}")
        if name == line.full_name and name != line.name:
            line.extra = line.extra.removeprefix(name[len(line.name) :].strip()).strip(" ,")
        keep_extra(row, reader, exercise)
        return exercise
    manner = MANNER.match(line.name)
    if manner:
        match = match_name(manner.group(2), catalogue)
        if match.slug is not None and match.sure:
            exercise = catalogue.get(match.slug)
            word = manner.group(1).lower()
            if word.startswith("pause") and line.pause_s is None:
                line.pause_s = 2.0
                line.guess(f"{line.name!r} was read as {exercise.name} with a pause of 2 s")
            else:
                line.guess(f"{line.name!r} was read as {exercise.name}; {word!r} stays a note")
            keep_extra(row, reader, exercise)
            return exercise
    match = match_name(line.name, catalogue)
    unsure.append(UnsureName(row.number, line.name, match.proposals))
    proposals = [f"{catalogue.get(slug).name} ({slug})" for slug in match.proposals]
    if is_lacking(line.name):
        hint = (
            f"The catalogue lacks it. Nearest: {', or '.join(proposals)}." if proposals else "The catalogue lacks it."
        )
    elif proposals:
        hint = f"Did you mean {', or '.join(proposals)}?"
    else:
        hint = "The catalogue has nothing like it; look with: setwright catalogue."
    reader.fault(row.number, repr(line.name), NAME_ALLOWED, hint)
    return None


def keep_extra(row: _Row, reader: _Reader, exercise: Exercise) -> None:
    """Words beside the dose stay as a note, unless they name another exercise or count both sides together."""
    extra = row.line.extra
    if not extra:
        return
    if exercise.per_side and IN_ALL.fullmatch(extra) and any(one.reps for one in row.line.sets):
        count_each_side(row.line, extra)
        return
    if match_name(extra, reader.catalogue).sure:
        reader.fault(row.number, repr(extra), "one exercise a line")
    row.line.guess(f"{extra!r} stays a note, nothing is planned from it")


def count_each_side(line: Line, in_all: str) -> None:
    """Repetitions written for both sides together, as those of each side; an odd number stays what was written."""
    ends_written = [reps for one in line.sets for reps in one.reps or ()]
    line.per_side = all(reps % 2 == 0 for reps in ends_written)
    if not line.per_side:
        line.guess(f"{ends_written[-1]} {in_all} stays the number of both sides together")
        return
    line.guess(f"{ends_written[-1]} {in_all} was read as {ends_written[-1] // 2} each side")
    for one in line.sets:
        one.reps = one.reps and (one.reps[0] // 2, one.reps[1] // 2)


MOST_REPS = 20  # of an exercise that is usually held


def as_moved(exercise: Exercise, line: Line, catalogue: Catalogue) -> Exercise:
    """The form for repetitions of an exercise that is usually held, where a line counts up to twenty without a unit.

    Twelve of a Pallof press are twelve presses; forty are seconds (common practice, no published source).
    """
    counted = [one.reps[1] for one in line.sets if one.reps is not None]
    if exercise.mode != "isometric" or not counted or max(counted) > MOST_REPS:
        return exercise
    moved = [one for one in catalogue.values() if one.base == exercise.base and one.measured_in == "reps"]
    named = [one for one in moved if one.name.startswith(exercise.name)]
    if len(named) != 1:
        return exercise
    line.guess(f"{line.name!r} was read as {named[0].name}")
    return named[0]


def fit_measure(exercise: Exercise, line: Line) -> None:
    """Bare numbers of exercises that are measured in seconds or metres. Raises Unreadable where they say neither."""
    metres, held = exercise.measured_in == "metres", exercise.measured_in == "seconds"
    if line.primes and metres:
        raise Unreadable("the sign '", "min for minutes, ft for feet")
    for one in line.sets:
        if one.most and (held or metres):
            one.most = False
            if held and exercise.mode != "cyclic":
                one.hold_s = 30.0
                line.guess("as long as you can hold it well; planned as 30 s")
            else:
                raise Unreadable("max", "metres or a time")
        elif one.reps is not None and line.bare_reps and (held or metres) and one.reps[0] >= 10:
            if metres:
                one.distance_m, one.reps = float(one.reps[1]), None
                line.guess(f"{one.distance_m:g} was read as metres")
            elif exercise.mode != "cyclic":
                one.hold_s, one.reps = float(one.reps[1]), None
                line.guess(f"{one.hold_s:g} was read as seconds")
            else:
                raise Unreadable(f"{one.text.strip(' ,')!r}", "a time or a distance with its unit: 40 s, 2 min, 500 m")


def guess_part(exercise: Exercise, line: Line, has_entries: bool) -> PartName:
    """The part of an entry that stands under no heading: by what the exercise is for."""
    if line.superset is None and "main" in exercise.parts and exercise.load_capacity >= 4:
        return "main"
    if exercise.parts and exercise.parts[0] in ("conditioning", "loaded-mobility"):
        return exercise.parts[0]
    if not has_entries and exercise.parts == ("warm-up",):
        return "warm-up"
    return "assistance"


def usual_scheme(exercise: Exercise, part: PartName, rpe: float) -> Scheme:
    """What a coach means who writes only a name: the scheme filled in where the line is silent."""
    rir = max(1.0, 10.0 - rpe)
    if part == "conditioning" or exercise.mode == "cyclic":
        return Scheme("interval", 1, time_s=600.0, rest_s=60.0)
    if exercise.measured_in == "metres":
        return Scheme("carry", 3, distance_m=20.0, rest_s=90.0, rir=3.0, per_side=exercise.per_side)
    if exercise.measured_in == "seconds":
        return Scheme("hold", 3, hold_s=30.0, rest_s=60.0, rir=3.0, per_side=exercise.per_side)
    if part == "warm-up" or exercise.mode == "active-mobility":
        return Scheme("drill", 1, reps=(6, 8), rest_s=0.0, per_side=exercise.per_side)
    if part == "loaded-mobility":
        return Scheme("straight", 2, reps=(6, 8), tempo="4-2-2-0", rest_s=45.0, rir=4.0, per_side=exercise.per_side)
    small = exercise.pattern in SINGLE_JOINT_PATTERNS
    reps = (5, 5) if part == "main" else (10, 12) if small else (8, 10)
    rest = default_rest_s(exercise, reps, part == "main")
    return Scheme("straight", 3, reps=reps, rir=rir, tempo="2-0-1-0", rest_s=rest, per_side=exercise.per_side)


def entries_of(
    exercise: Exercise,
    part: PartName,
    row: _Row,
    weeks: int,
    week_rpe: Mapping[int, float | None],
    known: Mapping[str, SetScheme],
) -> list[TemplateEntry]:
    """The template entries of a line: one for each group of like sets, in order.

    A line without effort takes the effort of its week; an easy week has fewer sets and is never harder.
    """
    line = row.line
    if row.bout is not None:
        return [bout_entry(exercise, part, row, weeks, week_rpe)]
    bout = line_bout(exercise, line)
    top = line.pause_at == "top" or (not line.pause_at and exercise.pattern in TOP_PAUSE_PATTERNS)
    if line.pause_s is not None:
        line.guess(f"the pause is at the {'top' if top else 'bottom'}")
    groups = line.sets or [Sets()]
    if line.back_share is not None:
        groups = [top_as_led(groups[0], groups[1]), groups[1]]
    if line.drop_last:
        groups = line.sets = last_one_apart(groups)
    tops = line.back_share is not None or line.scheme == "top-and-back-offs"
    done = row_weeks(row, weeks, week_rpe)
    by_group: list[list[Scheme | None]] = [[] for _ in groups]
    for week in range(1, weeks + 1):
        if week not in done:
            for schemes in by_group:
                schemes.append(None)
            continue
        easy = week in week_rpe and week_rpe[week] is None
        rpe = 5.5 if easy else week_rpe.get(week) or USUAL_RPE
        usual = usual_scheme(exercise, part, rpe)
        made = [scheme_of(line, one, usual, top) for one in groups]
        if line.per_side is None:
            made = [replace(one, per_side=exercise.is_counted_each_side(one.reps is not None)) for one in made]
        for index in range(len(groups)):
            if not line.drop_last or index == len(groups) - 1:
                made[index] = done_in(line, groups[index], made[index], known)
        if line.back_share is not None:
            made = [top_and_back_offs(made[0], made[1], line.back_share)]
        elif groups[0].ramp:
            made = [
                made[0],
                *(after_top_set(one, made[0], group) for one, group in zip(made[1:], groups[1:], strict=True)),
            ]
        if easy:
            made = [eased_for_week(one, known) for one in made]
        if bout is not None:
            made = [as_machine_work(exercise, one) for one in made]
        for schemes, scheme in zip(by_group, made if not easy else made_easy(made, line), strict=not tops):
            schemes.append(scheme)
    entries = []
    if tops:
        groups, by_group = groups[:1], by_group[:1]
    for index, (one, schemes) in enumerate(zip(groups, by_group, strict=True)):
        entries.append(
            TemplateEntry(
                exercise=exercise.slug,
                part=part,
                schemes=tuple(schemes),
                why=why_of(line, one, index, len(groups)),
                superset=line.superset,
                dials={**exercise.dials, **line.dials},
                filler_wanted=False,
                written=row.raw,
                locked=True,
                bouts=line_bouts(bout, schemes),
            )
        )
    return entries


def line_bouts(bout: Bout | None, schemes: Sequence[Scheme | None]) -> tuple[Bout | None, ...]:
    """The bout of each week of a line of its own, with as many pieces as the week has sets; empty for other work."""
    if bout is None:
        return ()
    return tuple(None if one is None else replace(bout, rounds=one.sets) for one in schemes)


def bout_entry(
    exercise: Exercise, part: PartName, row: _Row, weeks: int, week_rpe: Mapping[int, float | None]
) -> TemplateEntry:
    """One movement of a bout as a template entry: what a round asks, week by week."""
    assert row.bout is not None
    done = row_weeks(row, weeks, week_rpe)
    easy = {week for week, rpe in week_rpe.items() if rpe is None}
    schemes, bouts = in_bout(
        exercise, row.line, row.bout, [(week in done, week in easy) for week in range(1, weeks + 1)]
    )
    one = row.line.sets[0] if row.line.sets else Sets()
    return TemplateEntry(
        exercise=exercise.slug,
        part=part,
        schemes=schemes,
        why=why_of(row.line, replace(one, more=False, most=False), 0, 1),
        superset=row.line.superset,
        dials={**exercise.dials, **row.line.dials},
        written=row.raw,
        locked=True,
        bouts=bouts,
    )


def last_one_apart(groups: Sequence[Sets]) -> list[Sets]:
    """The groups with the last set as one of its own."""
    last = groups[-1]
    if last.count is None or last.count < 2:
        return list(groups)
    return [*groups[:-1], replace(last, count=last.count - 1), replace(last, count=1)]


def top_as_led(top: Sets, after: Sets) -> Sets:
    """A top set with the effort and the load that stand behind its back-offs: the top set leads."""
    if top.rir is None and top.load_kg is None and top.pct is None:
        return replace(top, rir=after.rir, load_kg=after.load_kg, pct=after.pct)
    return top


def top_and_back_offs(top: Scheme, after: Scheme, share: float) -> Scheme:
    """A top set and the back-offs after it as one scheme."""
    return replace(
        top,
        kind="top-and-back-offs",
        sets=top.sets + after.sets,
        back_offs=round(share, 4),
        back_reps=None if after.reps == top.reps else after.reps,
        to_top_set=True,
    )


def after_top_set(scheme: Scheme, top: Scheme, group: Sets) -> Scheme:
    """A back-off group: one repetition more in reserve than the top set where nothing else is written."""
    if group.rir is not None or group.pct is not None or group.load_kg is not None:
        return scheme
    return replace(scheme, rir=None if top.rir is None else top.rir + 1.0)


def made_easy(schemes: Sequence[Scheme], line: Line) -> list[Scheme | None]:
    """The schemes of an easy week: the first sets of them, four in reserve, a tenth lighter."""
    total = sum(one.sets for one in schemes)
    left = line.easy_sets or max(1, round(EASY_SHARE * total))
    found: list[Scheme | None] = []
    for one in schemes:
        sets = min(one.sets, left) if one is not schemes[-1] or not line.easy_sets else left
        left -= sets
        rir = None if one.rir is None else max(one.rir, 4.0)
        pct = None if one.pct is None else round(0.9 * one.pct, 4)
        found.append(replace(one, sets=sets, rir=rir, pct=pct) if sets > 0 else None)
    return found


def why_of(line: Line, one: Sets, index: int, count: int) -> str:
    """Why an entry stands there, what its scheme is, and what was understood by a guess."""
    pieces = ["You wrote it."]
    scheme = "top-and-back-offs" if line.back_share is not None else line.scheme
    if scheme and (not line.drop_last or index == count - 1):
        pieces.append(what_it_is(scheme))
    if count > 1 and index and line.sets[0].ramp:
        pieces.append("Back-off sets after the top set.")
    elif count > 1:
        counts = [each.count or 1 for each in line.sets]
        first, last = sum(counts[:index]) + 1, sum(counts[: index + 1])
        pieces.append(
            f"Set {first} of {sum(counts)}." if first == last else f"Sets {first} to {last} of {sum(counts)}."
        )
    kept = "keep 1 to 2 left" if one.rir is None else "no more than the effort you wrote"
    if one.most:
        pieces.append(f"As many good repetitions as you can, {kept}.")
    if one.more and one.reps:
        pieces.append(f"{one.reps[0]} or more: as many good repetitions as you can, {kept}.")
    if line.note:
        pieces.append(line.note)
    if line.guesses and not index:
        pieces.append(f"Understood so: {'; '.join(line.guesses)}.")
    return " ".join(pieces)


def in_rounds(made: Sequence[Sequence[TemplateEntry]]) -> list[TemplateEntry]:
    """The entries in order; a superset with unlike sets is cut where its sets change, so that rounds stay together."""
    found: list[TemplateEntry] = []
    used = {one.superset for entries in made for one in entries}
    index = 0
    while index < len(made):
        letter = made[index][0].superset
        last = index + 1
        while letter is not None and last < len(made) and made[last][0].superset == letter:
            last += 1
        members = made[index:last]
        if len(members) == 1 or all(len(one) == 1 for one in members):
            found += [entry for one in members for entry in one]
        else:
            found += cut_rounds(members, used)
        index = last
    return found


def cut_rounds(members: Sequence[Sequence[TemplateEntry]], used: set[str | None]) -> list[TemplateEntry]:
    """The members of one superset, cut into stretches of rounds in which every member's sets are alike."""
    cuts = {0}
    for entries in members:
        at = 0
        for entry in entries:
            at += max((one.sets for one in entry.schemes if one is not None), default=0)
            cuts.add(at)
    edges = sorted(cuts)
    found: list[TemplateEntry] = []
    letter = members[0][0].superset
    for low, high in pairwise(edges):
        stretch = [one for one in (stretch_of(entries, low, high) for entries in members) if one is not None]
        if low:
            letter = next((one for one in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if one not in used), letter)
            used.add(letter)
        found += [replace(one, superset=letter if len(stretch) > 1 else None) for one in stretch]
    return found


def stretch_of(entries: Sequence[TemplateEntry], low: int, high: int) -> TemplateEntry | None:
    """The sets from ``low`` to ``high`` of one member, week by week."""
    schemes: list[Scheme | None] = []
    whose = entries[0]
    for week in range(len(entries[0].schemes)):
        row = [
            (entry, scheme)
            for entry in entries
            if (scheme := entry.schemes[week]) is not None
            for _ in range(scheme.sets)
        ][low:high]
        if row:
            whose = row[0][0]
        schemes.append(replace(row[0][1], sets=len(row)) if row else None)
    return replace(whose, schemes=tuple(schemes)) if any(schemes) else None


def ordered(entries: Sequence[TemplateEntry]) -> bool:
    """True when the parts of a written session stand in the usual order."""
    places = [PART_ORDER.index(entry.part) for entry in entries]
    return places == sorted(places)


def write_block_text(title: str, template: Template, catalogue: Catalogue) -> str:
    """A template as shorthand that reads back to the same first week."""
    lines = [f"Block: {title}", f"{len(template.week_kinds)} weeks"]
    efforts = [
        f"week {number} easy" if kind == "deload" else f"week {number} RPE {rpe:g}"
        for number, (kind, rpe) in enumerate(zip(template.week_kinds, template.week_rpe, strict=True), start=1)
    ]
    lines.append(", ".join(efforts))
    for session in template.sessions:
        head = [DAY_NAMES[session.day]]
        if session.minutes_cap is not None:
            head.append(f"{session.minutes_cap:g} min")
        if session.place:
            head.append(session.place)
        lines += ["", ", ".join(head)]
        part, before = "", None
        for entry in session.entries:
            if entry.part != part:
                part = entry.part
                lines.append(part.replace("-", " ").capitalize())
            shared = shared_bout(entry)
            if shared is not None and (shared != before or entry.superset is None):
                lines += ["", heading_line(shared)]
            elif shared is None and before is not None:
                lines.append("")
            before = shared
            scheme = next((one for one in entry.schemes if one is not None), None)
            if scheme is not None:
                lines.append(line_of(entry, scheme, catalogue))
    return "\n".join(lines) + "\n"


def effort_and_load(scheme: Scheme) -> list[str]:
    """The load that was written, and the effort."""
    pieces = []
    if scheme.load_kg is not None:
        pieces.append(f"@ {scheme.load_kg:g} kg")
    if scheme.pct is not None:
        pieces.append(f"@ {100 * scheme.pct:g} %")
    if scheme.rir is not None:
        pieces.append(f"RIR {scheme.rir:g}")
    return pieces


def line_of_scheme(scheme: Scheme, reps: str, catalogue: Catalogue) -> str:
    """The sets of a scheme as a coach writes them; empty for the basic kinds."""
    sets, inside = scheme.sets, scheme.inside
    said = all(one.reps for one in inside)
    parts = "+".join([reps, *(ends(one.reps) for one in inside if one.reps)])
    rest = f"{inside[0].rest_s:g} s" if inside else ""
    if scheme.kind == "cluster":
        return f"{sets} x ({parts}), {rest} inside"
    if scheme.kind == "rest-pause":
        later = f"{sets} x {reps}, then {len(inside)} x what is left after {rest}"
        return f"rest-pause {sets} x ({parts}), {rest} inside" if said else f"rest-pause {later}"
    if scheme.kind == "drop":
        count = "a drop" if len(inside) == 1 else f"{len(inside)} drops"
        drops = f"{count} of {100 * (1 - inside[0].load_share):g} %" if inside else "drop set"
        return f"{sets} x ({parts}), {drops}" if said and inside else f"{sets} x {reps}, then {drops}"
    if scheme.back_offs is not None:
        first = ", ".join([f"top set of {reps}", *effort_and_load(scheme)])
        less = f"{100 * (1 - scheme.back_offs):g} % less"
        return f"{first}, then {sets - 1} x {ends(scheme.back_reps or scheme.reps)} at {less}"
    if scheme.kind == "double-progression":
        return f"{sets} x {reps}, double progression"
    if scheme.kind == "held-last-rep":
        return f"{sets} x {reps}, hold the last rep {inside[0].hold_s:g} s"
    if scheme.kind == "lowering-then-hold":
        return f"{sets} x {reps}, lowering, then hold {inside[0].hold_s:g} s"
    if scheme.kind in BASIC_KINDS:
        return ""
    known = schemes_of(catalogue).get(scheme.kind)
    return f"{sets} x {reps or 1}, {known.title if known else scheme.kind}"


def two_angles(entry: TemplateEntry, scheme: Scheme) -> str:
    """A hold at two angles as written; empty for anything else, and where the first angle is not known."""
    first = entry.dials.get("held_angle_deg")
    if scheme.kind != "two-angle-hold" or not isinstance(first, (int, float)):
        return ""
    second = scheme.inside[0]
    after = f"{second.hold_s:g} s at {second.angle_deg:g} degrees"
    return f"{scheme.sets} x {scheme.hold_s:g} s at {first:g} degrees + {after}"


def ends(reps: tuple[int, int] | None) -> str:
    """A range of repetitions as written."""
    if reps is None:
        return ""
    return f"{reps[0]}" if reps[0] == reps[1] else f"{reps[0]}-{reps[1]}"


def line_of_bout(name: str, entry: TemplateEntry, scheme: Scheme, bout: Bout) -> str:
    """One movement of a bout, or a bout of one movement, as a line."""
    if shared_bout(entry) is None:
        return f"{name} {', '.join(piece_words(scheme, bout))}"
    pieces = [name, round_words(scheme, bout), *effort_and_load(scheme), "each side" if scheme.per_side else ""]
    return " ".join(one for one in pieces if one)  # no comma: it would part movements behind a heading


def seconds_as_written(value: float) -> str:
    """A rest or a time as written: ``90 s``, from two minutes on ``3 min`` or ``2.5 min``."""
    return f"{value / 60:g} min" if value >= 120 and value % 30 == 0 else f"{value:g} s"


def line_of(entry: TemplateEntry, scheme: Scheme, catalogue: Catalogue) -> str:
    """One entry as a line."""
    exercise = catalogue.get(entry.exercise)
    name = exercise.name.replace("/", " ").replace(",", "")
    bout = next((one for one in entry.bouts if one is not None), None)
    if bout is not None:
        return line_of_bout(name, entry, scheme, bout)
    head = f"{entry.superset} {name}" if entry.superset else name
    reps = ends(scheme.reps)
    pieces = []
    in_words = two_angles(entry, scheme) or line_of_scheme(scheme, reps, catalogue)
    if in_words:
        pieces.append(in_words)
    elif scheme.kind == "hold-reps-hold":
        pieces.append(f"hold {scheme.hold_s:g} s, {reps} reps, hold {scheme.hold_after_s:g} s, {scheme.sets} sets")
    elif scheme.kind == "hold":
        pieces.append(f"{scheme.sets} x {scheme.hold_s:g} s hold")
    elif scheme.kind == "carry":
        pieces.append(f"{scheme.sets} x {scheme.distance_m:g} m")
    elif scheme.kind == "interval":
        pieces.append(f"{scheme.sets} x {seconds_as_written(scheme.time_s or 0.0)}")
    elif scheme.to_top_set and scheme.sets == 1 and reps:
        pieces.append(f"ramp to a top set of {reps}")
    else:
        pieces.append(f"{scheme.sets} x {reps or 'max'}")
    if scheme.kind == "lowering":
        pieces.append("lowering")
    if scheme.back_offs is None:
        pieces += effort_and_load(scheme)
    pieces.append(f"rest {seconds_as_written(scheme.rest_s)}")
    if scheme.tempo and scheme.basic not in ("hold", "carry", "interval"):
        pieces.append(f"tempo {scheme.tempo}")
    if scheme.per_side:
        pieces.append("each side")
    elif scheme.reps and scheme.per_side is False and exercise.laterality == "alternating":
        pieces.append("in all")
    return f"{head} {', '.join(pieces)}"
