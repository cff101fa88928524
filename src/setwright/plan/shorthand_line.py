"""One written line: an exercise with its dose, in the trade's common shorthand.

The name and pieces that each say one thing stand in any order, parted by commas or just spaces:
``front squat 4 x 5-6 @ RPE 8, rest 3 min, tempo 3-1-1-0``. A piece that is understood is taken out; figures that
are left over are a fault, words that are left over are kept as a note, so that nothing is silently dropped.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from setwright.body.units import FOOT_M, LB_KG, YARD_M
from setwright.plan.bout import Target
from setwright.plan.shorthand_schemes import SCHEME_PIECES, settle_scheme
from setwright.plan.shorthand_targets import take_piece_time, take_target
from setwright.plan.template import Scheme

NUMBER = r"(\d+(?:[.,]\d+)?)"
RANGE = NUMBER + r"(?:\s*(?:-|to)\s*" + NUMBER + r")?"
# As many good repetitions as possible keeps one to two in reserve (common practice, no published source).
MOST_RIR = 1.5
PLAIN_SIGNS = {
    **dict.fromkeys("×✕✖⨯хХ", "x"),
    **dict.fromkeys("‐‑‒–—―−", "-"),
    **dict.fromkeys("’‘′´`", "'"),
    **dict.fromkeys("“”″", '"'),
    **dict.fromkeys("•·◦‣▪●", "-"),
    **dict.fromkeys("\t\u00a0\u2009\u202f", " "),
    "°": " degrees",
    "≈": "",
    "~": "",
    "％": "%",
    "\u200b": "",
    "\ufeff": "",
}
# Figures that belong to a name: 1-arm, 45 degrees, 90 90.
OWN_FIGURES = re.compile(r"\b(?:\d[- ]?(?:arm|leg|hand)(?:ed)?|\d+[- ]?deg(?:ree)?s?|90 90|t2b)\b", re.IGNORECASE)
SIDE_WORDS = r"sides?|legs?|arms?|hands?|feet|foot|way|direction|limb"


class Unreadable(ValueError):
    """A piece of a line that can't be read; ``found`` and ``allowed`` say what and what could stand there."""

    def __init__(self, found: str, allowed: str) -> None:
        self.found, self.allowed = found, allowed
        super().__init__(f"{found}: {allowed}")


@dataclass
class Sets:
    """Sets that are alike: how many, what each asks, and the load or effort written for them.

    most : as many good repetitions as possible; more : at least ``reps``, then as many as are good
    parts : repetitions of what follows the first part of a set in parts
    """

    at: int = 0
    text: str = ""
    count: int | None = None
    reps: tuple[int, int] | None = None
    most: bool = False
    more: bool = False
    ramp: bool = False
    hold_s: float | None = None
    time_s: float | None = None
    distance_m: float | None = None
    pct: float | None = None
    load_kg: float | None = None
    rir: float | None = None
    parts: tuple[tuple[int, int], ...] = ()

    def timed(self) -> bool:
        """True for holds, timed work and distances."""
        return self.hold_s is not None or self.time_s is not None or self.distance_m is not None


@dataclass
class Line:
    """What one entry line said. Fields that were not written are None.

    name : the words before a comma; full_name : all words before the dose, where a comma stands in them
    sets : groups of like sets in order, empty where no set was written; guesses : what was understood by a guess
    scheme and the fields after it : the scheme that was written, and its details (``shorthand_schemes``)
    target, every_s, format : how hard conditioning is meant to be, a start every so many seconds, a format by its name
    """

    name: str = ""
    full_name: str = ""
    extra: str = ""
    superset: str | None = None
    sets: list[Sets] = field(default_factory=list)
    rest_s: float | None = None
    tempo: str | None = None
    pause_s: float | None = None
    pause_at: str = ""
    lower_first_s: float | None = None
    hold_s: float | None = None
    hold_after_s: float | None = None
    per_side: bool | None = None
    lowering: bool = False
    lower_s: float | None = None
    easy: bool = False
    easy_sets: int | None = None
    primes: bool = False
    bare_reps: bool = False
    note: str = ""
    guesses: list[str] = field(default_factory=list)
    dials: dict[str, object] = field(default_factory=dict)
    written: set[str] = field(default_factory=set)
    loads: list[tuple[int, str, tuple[float, ...]]] = field(default_factory=list)
    scheme: str = ""
    parted: bool = False
    inside_s: float | None = None
    later: int | None = None
    drops: int | None = None
    drop: float | None = None
    drop_last: bool = False
    back_share: float | None = None
    reach: int | None = None
    end_hold_s: float | None = None
    second_angle: float | None = None
    target: Target | None = None
    every_s: float | None = None
    format: str = ""

    def dosed(self) -> bool:
        """True when sets, repetitions, a time or a distance stand on the line."""
        return bool(self.sets)

    def guess(self, text: str) -> None:
        """Notes what was understood by a guess, once."""
        if text not in self.guesses:
            self.guesses.append(text)


def tidy(text: str) -> str:
    """A line with plain signs: × as x, dashes as -, curly quotes straight, bullets and tabs gone."""
    text = "".join(PLAIN_SIGNS.get(sign, sign) for sign in text)
    text = re.sub(r"\*\*|__", "", text)
    text = re.sub(r"(?<=\d)\s*\*\s*(?=\d)", " x ", text)
    text = re.sub(r"^\s*(?:[-*>]+\s*|\+\s+)", "", text)
    text = re.sub(r"^\s*(?:\[[ xX]?\]\s*|[☐☑✓✔]\s*)", "", text)
    text = re.sub(r"^\s*(?:\d+[.)](?:\s+|(?=[A-Za-z]))|[a-z]\)\s*|\(?[a-z\d]\)\s+)", "", text)
    text = re.sub(r"(\d)\s*#", r"\1 lb", text)
    return re.sub(r"\s+", " ", text).strip()


def number(text: str) -> float:
    """A number with a point or a decimal comma."""
    return float(text.replace(",", "."))


def seconds(value: str, unit: str) -> float:
    """Seconds of a number with its unit."""
    word = unit.lower()
    return number(value) * (60.0 if word.startswith("min") or word == "'" else 3600.0 if word[:1] == "h" else 1.0)


def clock_seconds(text: str) -> float:
    """Seconds of a time like ``2:30``.

    >>> clock_seconds("2:30")
    150.0
    """
    minutes, _, more = text.partition(":")
    return 60.0 * int(minutes) + int(more)


def said(value: float) -> str:
    """Seconds as said on the floor.

    >>> said(150), said(90), said(180)
    ('2:30 min', '90 s', '3 min')
    """
    if value < 120:
        return f"{value:g} s"
    minutes, rest = divmod(round(value), 60)
    return f"{minutes}:{rest:02d} min" if rest else f"{minutes} min"


def plain_words(text: str) -> str:
    """Written shorthand for words spelled out: ``w/``, ``/side``, ``1-arm``, ``8/8``."""
    text = re.sub(r"\bw/\s*", "with ", text, flags=re.IGNORECASE)
    text = re.sub(r"\b(?:L/R|R/L|e/s|p/s)\b", "each side", text, flags=re.IGNORECASE)
    text = re.sub(rf"\s*/\s*(?:ea(?:ch)?\.?\s*)?(?:{SIDE_WORDS})\b", " each side", text, flags=re.IGNORECASE)
    text = re.sub(r"\s*/\s*(?:ea|each|s)\b\.?", " each side", text, flags=re.IGNORECASE)
    text = re.sub(r"\b90\s*/\s*90\b", "90 90", text)
    return re.sub(r"\b(\d)\s(arm|leg|hand)(?:ed)?\b", r"\1-\2", text, flags=re.IGNORECASE)


def take_label(text: str, line: Line) -> str:
    """The text without its superset label: ``A``, ``A1.``, ``b2)``, ``1a``."""
    for pattern in (
        r"^([A-H])(?:\d)?(?:[.):]\s*|\s+(?:-\s*)?)(?=\S)",
        r"^([A-Za-z])\d(?:[.):]\s*|\s+(?:-\s*)?)(?=\S)",
        r"^(\d)[a-h](?:[.):]\s*|\s+(?:-\s*)?)(?=\S)",
    ):
        found = re.match(pattern, text)
        if found:
            letter = found.group(1)
            line.superset = chr(64 + int(letter)) if letter.isdigit() and letter != "0" else letter.upper()
            return text[found.end() :]
    return text


def take_notes(text: str) -> tuple[str, list[str]]:
    """The text without what stands in brackets or after a semicolon, and those."""
    notes = re.findall(r"\(([^)]*)\)", text)
    text = re.sub(r"\([^)]*\)", " ", text)
    text, *after = text.split(";")
    return text.strip(), [one.strip() for one in (*notes, *after) if one.strip()]


def read_line(text: str) -> Line:
    """What an entry line says. Raises Unreadable for figures that are left over, a slash or a formula.

    A line without a name has an empty ``name``.
    """
    line = Line()
    rest = take_label(tidy(text), line)
    rest = re.sub(r"\(\s*(\d+(?:-\d+)?(?:\s*\+\s*\d+(?:-\d+)?)+)\s*\)", r" \1", rest)
    rest, notes = take_notes(plain_words(rest))
    sign = re.search(r"[=*{}<>^\[\]]", rest)
    if sign:
        raise Unreadable(f"the sign {sign.group(0)!r}", "plain words")
    for note in notes:
        trial = Line()
        left = take_pieces(note, trial)
        if not re.search(r"\w", left):
            rest += " , " + note
        elif trial.sets and re.search(r"[A-Za-z]{3}", left):
            raise Unreadable(repr(note), "one exercise a line")
        else:
            line.note = f"{line.note} {note}".strip()
    left = take_pieces(take_target(take_piece_time(rest, line), line), line)
    if "/" in left:
        raise Unreadable("a slash", "words: write 'each side', 'and', or two lines")
    take_name(left, line)
    settle(line)
    refuse_lone_clock(line)
    return line


def refuse_lone_clock(line: Line) -> None:
    """A time beside pieces of a distance could be their pace, their time or one more piece: it is asked about."""
    far = any(one.distance_m for one in line.sets)
    lone = next(
        (one for one in line.sets if one.time_s and not one.distance_m and re.search(r"\d:\d\d", one.text)), None
    )
    if far and lone is not None:
        said = lone.text.strip(" ,@")
        raise Unreadable(repr(said), f"{said} per 500 m for a pace, in {said} for each piece, or rest {said}")


def take_pieces(text: str, line: Line) -> str:
    """Takes every piece that is understood out of the text; places of figures are kept."""
    for pattern, take in (*SCHEME_PIECES, *PIECES):
        text = take_all(text, pattern, take, line)
    return text


def take_all(text: str, pattern: re.Pattern[str], take: Callable[[re.Match[str], Line], bool], line: Line) -> str:
    """Takes every match of one kind of piece out of the text."""
    start = 0
    while True:
        match = pattern.search(text, start)
        if match is None:
            return text
        if match.end() > match.start() and take(match, line):
            text = text[: match.start()] + "," + " " * (match.end() - match.start() - 1) + text[match.end() :]
        start = match.end() if match.end() > match.start() else match.end() + 1


def take_name(left: str, line: Line) -> None:
    """The name of the exercise in what is left, and the words that are no part of it."""
    first = min([one.at for one in line.sets] + [at for at, _, _ in line.loads], default=len(left))
    words = [one for one in (clean(piece) for piece in left.split(",")) if one]
    head = [one for one in (clean(piece) for piece in left[:first].split(",")) if one]
    if not words:
        return
    if not head:  # the dose stands first: "3 x 10 push-ups"
        head = words[:1]
    line.name, line.full_name = head[0], " ".join(head)
    later = words[1:]
    if len(line.sets) > 1 and later and len(words) > len(head):
        raise Unreadable(repr(" ".join(words[len(head) :])), "one exercise a line")
    figures = next((one for one in later if re.search(r"\d", OWN_FIGURES.sub("", one))), None)
    stray = re.search(r"\S*\d\S*", OWN_FIGURES.sub("", line.full_name))
    if figures is None and stray:
        raise Unreadable(repr(stray.group(0)), "a dose like 3 x 8, 3 x 30 s, 4 x 20 m or 10 min")
    if figures is not None:
        raise Unreadable(
            repr(figures), "sets x reps, effort, load, rest, tempo, hold, distance, time, each side, lowering"
        )
    line.extra = ", ".join(later)


def clean(text: str) -> str:
    """Words without the signs and little words around them."""
    text = re.sub(r"^[\s,@:+.|-]+|[\s,@:+|-]+$", "", text)
    while True:
        shorter = re.sub(
            r"(?:^|\s+)(?:with|at|for|then|of|x|and|sets?|reps?)$|^(?:with|at|for|then|and)(?:\s+|$)", "", text
        )
        shorter = re.sub(r"^[\s,@:+.|-]+|[\s,@:+|-]+$", "", shorter)
        if shorter == text:
            return re.sub(r"\s+", " ", text)
        text = shorter


def settle(line: Line) -> None:
    """Puts counts, loads and efforts to the sets that they were written for."""
    line.sets.sort(key=lambda one: one.at)
    counts = [one for one in line.sets if one.count is not None and not asks(one)]
    works = [one for one in line.sets if asks(one)]
    if len(counts) > 1:
        raise Unreadable("sets twice", "each piece once on a line")
    if counts and works:
        bare = [one for one in works if one.count is None]
        if not bare:
            raise Unreadable("sets twice", "each piece once on a line")
        if len(bare) > 1:
            raise Unreadable(f"{counts[0].text.strip()!r} for {len(bare)} kinds of sets", "sets x reps for each")
        bare[0].count = counts[0].count
        bare[0].at = min(bare[0].at, counts[0].at)
        line.sets = sorted(works, key=lambda one: one.at)
    without = [one for one in line.sets if one.count is None and one.reps is not None and not one.ramp]
    if len(without) > 1 or (without and any(one.reps and one.count for one in line.sets)):
        raise Unreadable("repetitions twice", "each piece once on a line")
    mixed(line)
    last_set_more(line)
    settle_scheme(line)
    bind(line)


def asks(one: Sets) -> bool:
    """True when a group says what a set is, not only how many."""
    return one.reps is not None or one.most or one.timed()


def mixed(line: Line) -> None:
    """Repetitions beside a hold are a pause; beside a time or a distance they are a fault."""
    counted = [one for one in line.sets if one.reps is not None or one.most]
    timed = [one for one in line.sets if one.timed()]
    if not counted or not timed:
        return
    one = timed[0]
    if len(timed) == 1 and one.hold_s is not None and one.count is None and one.hold_s <= 10 and line.pause_s is None:
        line.pause_s = one.hold_s
        line.guess(f"the {one.hold_s:g} s hold was read as a pause in each repetition")
        line.sets.remove(one)
        return
    raise Unreadable(
        f"{one.text.strip(' ,')!r} beside repetitions", "repetitions or a time or distance; 'rest 60 s', 'pause 2 s'"
    )


def last_set_more(line: Line) -> None:
    """``3 x 5+``: the last set of them is the open one."""
    made: list[Sets] = []
    for one in line.sets:
        if one.more and one.count is not None and one.count > 1:
            made += [replace(one, count=one.count - 1, more=False), replace(one, count=1, at=one.at)]
            line.guess("the + was read as the last set only")
        else:
            made.append(one)
    line.sets = made


def bind(line: Line) -> None:
    """Gives each load or effort to the sets before it; one that stands before all sets is for all."""
    lists = [(at, key, values) for at, key, values in line.loads if len(values) > 1]
    if lists:
        spell_out(line, max(len(values) for _, _, values in lists))
    if not line.sets and line.loads:
        line.sets = [Sets()]
    starts = sorted({one.at for one in line.sets})
    for at, key, values in line.loads:
        before = [start for start in starts if start <= at]
        mine = [one for one in line.sets if not before or one.at == before[-1]]
        if len(values) > 1:
            mine = line.sets
            if len(values) != len(mine):
                raise Unreadable(f"{len(values)} loads for {len(mine)} sets", "as many loads as sets")
        for number_of, one in enumerate(mine):
            field_name = "load" if key in ("pct", "load_kg") else "effort"
            taken = one.rir is not None if key == "rir" else one.pct is not None or one.load_kg is not None
            if taken:
                raise Unreadable(f"{field_name} twice", "each piece once on a line")
            setattr(one, key, values[number_of] if len(values) > 1 else values[0])
    if len(starts) > 1:
        for key, word in (("rir", "the effort"), ("load_kg", "the load"), ("pct", "the percentage")):
            have = [getattr(one, key) is not None for one in line.sets]
            if (
                have[-1]
                and not any(have[:-1])
                and not any(one.pct or one.load_kg or one.ramp for one in line.sets[:-1])
            ):
                line.guess(f"{word} was read for the last sets only")


def spell_out(line: Line, wanted: int) -> None:
    """One group a set, so that a list of loads can be given out."""
    singles: list[Sets] = []
    for one in line.sets or [Sets(count=wanted)]:
        singles += [replace(one, count=1) for _ in range(one.count or wanted)]
    line.sets = singles


def whole(text: str, low: int, high: int, what: str, hint: str = "") -> int:
    """A whole number within limits."""
    value = number(text)
    if value != int(value) or not low <= value <= high:
        raise Unreadable(f"{text} {what}", f"a whole number from {low} to {high}{hint}")
    return int(value)


def count_of(text: str) -> int:
    """A number of sets."""
    return whole(text, 1, 30, "sets", "; a load needs its unit, kg or lb" if number(text) > 30 else "")


def rising(first: str, second: str | None, low: int, high: int, what: str) -> tuple[int, int]:
    """A range of whole numbers."""
    hint = "; a time or distance needs its unit, like 40 s or 500 m" if number(first) > high else ""
    a = whole(first, low, high, what, hint)
    b = whole(second, low, high, what) if second else a
    if b < a:
        raise Unreadable(f"{first}-{second} {what}", "the smaller number first")
    return a, b


def once(line: Line, key: str, what: str) -> None:
    """A piece may be written once."""
    if key in line.written:
        raise Unreadable(f"{what} twice", "each piece once on a line")
    line.written.add(key)


def middle(match: re.Match[str], first: str, second: str | None, said_as: Callable[[float], str], line: Line) -> float:
    """The number of a piece; of a range its middle, which is noted."""
    a = number(first)
    if not second:
        return a
    b = number(second)
    value = (a + b) / 2.0
    line.guess(f"{match.group(0).strip(' ,')} was planned at its middle, {said_as(value)}")
    return value


def add(match: re.Match[str], line: Line, **values: object) -> bool:
    """Adds a group of sets that stands at a match."""
    made = Sets(at=match.start(), text=match.group(0))
    for key, value in values.items():
        setattr(made, key, value)
    line.sets.append(made)
    return True


def take_ramp(match: re.Match[str], line: Line) -> bool:
    once(line, "ramp", "ramp")
    reps = rising(match.group("a"), match.group("b"), 1, 100, "reps")
    return add(match, line, count=1, reps=reps, ramp=True, rir=0.0 if match.group("rm") else None)


def take_nothing(match: re.Match[str], line: Line) -> bool:
    return True


def take_hold_reps_hold(match: re.Match[str], line: Line) -> bool:
    once(line, "hold-reps-hold", "hold")
    line.hold_s, line.hold_after_s = number(match.group(1)), number(match.group(4))
    return add(match, line, reps=rising(match.group(2), match.group(3), 1, 100, "reps"))


def take_distance(match: re.Match[str], line: Line) -> bool:
    unit = match.group("unit").lower()
    factor = YARD_M if unit.startswith("y") else FOOT_M if unit.startswith("f") else 1000.0 if unit[0] == "k" else 1.0
    metres = round(number(match.group("d")) * factor, 2)
    if not 1 <= metres <= 50_000:
        raise Unreadable(match.group(0).strip(), "1 to 50000 m")
    times = match.group("n") or match.group("after")
    return add(match, line, count=count_of(times) if times else None, distance_m=metres)


def duration(match: re.Match[str], line: Line) -> float:
    """Seconds of a match with the groups clock, t, t2 and unit."""
    if match.group("clock"):
        return clock_seconds(match.group("clock"))
    unit = match.group("unit")
    value = middle(match, match.group("t"), match.group("t2"), lambda one: said(seconds(str(one), unit)), line)
    return seconds(str(value), unit)


def take_timed(match: re.Match[str], line: Line) -> bool:
    value = duration(match, line)
    if not 1 <= value <= 14_400:
        raise Unreadable(match.group(0).strip(), "1 s to 240 min")
    line.primes = line.primes or match.group("unit") == "'"
    times = match.group("n") or match.group("after")
    count = count_of(times) if times else None
    if match.group("hold"):
        return add(match, line, count=count, hold_s=value)
    return add(match, line, count=count, time_s=value)


def take_on_off(match: re.Match[str], line: Line) -> bool:
    once(line, "rest", "rest")
    line.rest_s = seconds(match.group(4), match.group(5) or match.group(3) or "s")
    count = count_of(match.group(1)) if match.group(1) else None
    return add(match, line, count=count, time_s=seconds(match.group(2), match.group(3) or match.group(5) or "s"))


def take_sets(match: re.Match[str], line: Line) -> bool:
    if re.search(r"\d[.,]$", match.string[: match.start()]):
        return False
    count = count_of(match.group("n"))
    reps = rising(match.group("a"), match.group("b"), 1, 100, "reps")
    line.bare_reps = line.bare_reps or "rep" not in match.group(0).lower()
    return add(match, line, count=count, reps=reps, more=bool(match.group("more")))


def take_most(match: re.Match[str], line: Line) -> bool:
    times = match.group("n") or match.group("after")
    rir = 0.0 if "fail" in match.group(0).lower() else None
    return add(match, line, count=count_of(times) if times else None, most=True, rir=rir)


def take_only_sets(match: re.Match[str], line: Line) -> bool:
    return add(match, line, count=count_of(match.group(1)))


def take_reps_list(match: re.Match[str], line: Line) -> bool:
    numbers = [whole(one, 1, 100, "reps") for one in re.findall(r"\d+", match.group(0))]
    start = 0
    for index in range(1, len(numbers) + 1):
        if index == len(numbers) or numbers[index] != numbers[start]:
            reps = (numbers[start], numbers[start])
            line.sets.append(Sets(match.start(), match.group(0), index - start, reps))
            start = index
    if match.group("more"):
        last = line.sets[-1]
        last.more = True
    return True


def take_only_reps(match: re.Match[str], line: Line) -> bool:
    return add(match, line, reps=rising(match.group("a"), match.group("b"), 1, 100, "reps"))


def take_rpe(match: re.Match[str], line: Line) -> bool:
    value = middle(match, match.group(1), match.group(2), lambda one: f"RPE {one:g}", line)
    if not 1 <= value <= 10:
        raise Unreadable(f"RPE {match.group(1)}", "1 to 10")
    line.loads.append((match.start(), "rir", (10.0 - value,)))
    return True


def take_at(match: re.Match[str], line: Line) -> bool:
    if number(match.group(1)) > 10:
        raise Unreadable(
            f"@ {match.group(1)}", "an effort from 1 to 10, or a load with its unit, like 100 kg, 225 lb or 75 %"
        )
    return take_rpe(match, line)


def take_rir(match: re.Match[str], line: Line) -> bool:
    value = middle(match, match.group(1), match.group(2), lambda one: f"{one:g} left", line)
    if not 0 <= value <= 10:
        raise Unreadable(f"{match.group(1)} in reserve", "0 to 10")
    line.loads.append((match.start(), "rir", (value,)))
    return True


def take_easy(match: re.Match[str], line: Line) -> bool:
    line.easy = True
    return True


def take_easy_sets(match: re.Match[str], line: Line) -> bool:
    once(line, "easy sets", "sets of the easy week")
    line.easy_sets = whole(match.group(1), 1, 20, "sets")
    return True


def take_rest(match: re.Match[str], line: Line) -> bool:
    once(line, "rest", "rest")
    line.rest_s = duration(match, line)
    if not 0 <= line.rest_s <= 1200:
        raise Unreadable(match.group(0).strip(), "a rest of 0 to 20 min")
    return True


def take_every(match: re.Match[str], line: Line) -> bool:
    once(line, "every", "every")
    line.every_s = duration(match, line)
    if not 10 <= line.every_s <= 1200:
        raise Unreadable(match.group(0).strip(), "a start every 10 s to 20 min")
    return True


def take_rest_bare(match: re.Match[str], line: Line) -> bool:
    once(line, "rest", "rest")
    value = number(match.group(1))
    line.rest_s = value * 60.0 if value <= 10 else value
    line.guess(f"the rest of {match.group(1)} was read as {said(line.rest_s)}")
    if line.rest_s > 1200:
        raise Unreadable(match.group(0).strip(), "a rest of 0 to 20 min")
    return True


def take_no_rest(match: re.Match[str], line: Line) -> bool:
    once(line, "rest", "rest")
    if match.group(0).lower().startswith("no"):
        line.rest_s = 0.0
    else:
        line.guess("the rest is the usual one, take more as needed")
    return True


def take_tempo(match: re.Match[str], line: Line) -> bool:
    digits = re.findall(r"\d+|x", match.group("tempo").lower())
    if "x" in match.group("tempo").lower() or len(digits) == 1:
        digits = re.findall(r"\d|x", match.group("tempo").lower()) if len(digits) != 4 else digits
    if len(digits) not in (3, 4):
        raise Unreadable(f"tempo {match.group('tempo')}", "three or four numbers of seconds: lower, pause, lift, pause")
    once(line, "tempo", "tempo")
    line.tempo = "-".join(digits if len(digits) == 4 else [*digits, "0"])
    if "x" in digits:
        line.guess("x in the tempo is as fast as you can")
    return True


def take_bare_tempo(match: re.Match[str], line: Line) -> bool:
    others = match.string[: match.start()] + " " + match.string[match.end() :]
    written = match.group("tempo")
    has_sets = re.search(r"\d\s*x\s*\d|\dx?max|\bsets?\b|\breps?\b|amrap", others, re.IGNORECASE) or line.sets
    if "tempo" in line.written or "x" in written.lower():
        compact = re.fullmatch(r"\d\dx\d", written.lower())
        if "tempo" in line.written or (
            compact and not has_sets and not written.endswith("0") and int(written[:2]) < 21
        ):
            return False
    elif not has_sets:
        return False
    return take_tempo(match, line)


def take_pause(match: re.Match[str], line: Line) -> bool:
    once(line, "pause", "pause")
    value = match.group("p") or match.group("q")
    line.pause_s = number(value) if value else 2.0
    if not value:
        line.guess("the pause was read as 2 s")
    if not 0 < line.pause_s <= 30:
        raise Unreadable(match.group(0).strip(), "a pause of up to 30 s")
    where = (match.group("where") or "").lower()
    line.pause_at = "top" if "top" in where else "bottom" if where else ""
    return True


def take_eccentric(match: re.Match[str], line: Line) -> bool:
    once(line, "eccentric", "lowering")
    line.lower_first_s = number(match.group("e") or match.group("f"))
    return True


def percent(value: float, text: str) -> float:
    """A share of the one-repetition maximum from a percentage within limits."""
    if not 10 <= value <= 110:
        raise Unreadable(f"{text} %", "10 to 110 % of the one-repetition maximum")
    return value / 100.0


def kilograms(value: float, unit: str, text: str) -> float:
    """Kilograms of a load within limits."""
    mass = value * (LB_KG if unit.lower().startswith(("lb", "pound")) else 1.0)
    if not 0 <= mass <= 1000:
        raise Unreadable(text.strip(), "0 to 1000 kg")
    return round(mass, 3)


def loaded(unit: str, value: float, text: str) -> tuple[str, float]:
    """The field and value of a load with its unit."""
    if unit.lower() in ("%", "percent"):
        return "pct", percent(value, text)
    return "load_kg", kilograms(value, unit, f"{text} {unit}")


def take_load_list(match: re.Match[str], line: Line) -> bool:
    if re.search(r"x\s*$", match.string[: match.start()], re.IGNORECASE):
        return False
    texts = re.findall(r"\d+(?:\.\d+)?", match.group(0))
    values = [float(one) for one in texts]
    if max(values) >= 3 * min(values) or min(values) < 10:
        return False
    made = [loaded(match.group("unit"), value, text) for value, text in zip(values, texts, strict=True)]
    line.loads.append((match.start(), made[0][0], tuple(value for _, value in made)))
    return True


def take_sets_reps_load(match: re.Match[str], line: Line) -> bool:
    """``3 x 5 x 100 kg``, ``3 x 5 @ 75 %``, ``5 x 100 kg``, ``5 @ 75 %``."""
    if re.search(r"(?:\d\s*[,/.-]|x)\s*$", match.string[: match.start()], re.IGNORECASE):
        return False
    unit, sets, join = match.group("unit"), match.group("n"), match.group("join").lower()
    if sets is None and join == "x" and unit != "%" and match.group("a") == "2" and not match.group("b"):
        return False  # two dumbbells: 2 x 24 kg
    if sets is None and join != "x" and unit != "%":
        return False
    key, value = loaded(unit, number(match.group("v")), match.group("v"))
    reps = rising(match.group("a"), match.group("b"), 1, 100, "reps")
    if sets is None:
        line.guess(f"{match.group(0).strip()} was read as one set")
    count = count_of(sets) if sets else 1
    return add(match, line, count=count, reps=reps, more=bool(match.group("more")), **{key: value})


def take_load_reps_sets(match: re.Match[str], line: Line) -> bool:
    """``100 kg x 5 x 3``, ``65 % x 5+``: load, repetitions, sets."""
    key, value = loaded(match.group("unit"), number(match.group("v")), match.group("v"))
    reps = rising(match.group("a"), match.group("b"), 1, 100, "reps")
    sets = match.group("n")
    count = count_of(sets) if sets else 1
    if sets:
        line.guess(f"{match.group(0).strip()} was read as {count} sets of {match.group('a')} repetitions")
    return add(match, line, count=count, reps=reps, more=bool(match.group("more")), **{key: value})


def take_load(match: re.Match[str], line: Line) -> bool:
    unit = match.group("unit")
    value = middle(match, match.group("v"), match.group("v2"), lambda one: f"{one:g} {unit}", line)
    key, made = loaded(unit, value, match.group("v"))
    line.loads.append((match.start(), key, (made,)))
    return True


def take_body(match: re.Match[str], line: Line) -> bool:
    line.loads.append((match.start(), "load_kg", (0.0,)))
    return True


def take_side(match: re.Match[str], line: Line) -> bool:
    line.per_side = True
    return True


def take_same_both(match: re.Match[str], line: Line) -> bool:
    if match.group("a") != match.group("b"):
        return False
    line.per_side = True
    reps = rising(match.group("a"), None, 1, 100, "reps")
    line.guess(f"{match.group('a')}/{match.group('b')} was read as {match.group('a')} each side")
    return add(match, line, count=count_of(match.group("n")), reps=reps)


def take_lowering(match: re.Match[str], line: Line) -> bool:
    line.lowering = True
    if match.group(1):
        line.lower_s = number(match.group(1))
    return True


def take_heels(match: re.Match[str], line: Line) -> bool:
    value = number(match.group(1)) * (10.0 if match.group(2) == "cm" else 1.0)
    line.dials["heel_mm"] = round(value)
    return True


def take_range(match: re.Match[str], line: Line) -> bool:
    line.dials["range_deg"] = [0, round(number(match.group(1)))]
    return True


def take_whole_plan(match: re.Match[str], line: Line) -> bool:
    raise Unreadable(
        match.group(0).strip(" ,:"),
        "the format first, its movements behind a colon: every minute on the minute for 10 min: 5 power cleans",
    )


def take_first_number(match: re.Match[str], line: Line) -> bool:
    if line.sets:
        return False
    return add(match, line, reps=rising(match.group("a"), match.group("b"), 1, 100, "reps"))


def piece(pattern: str) -> re.Pattern[str]:
    """A compiled piece; words are matched whole, capitals don't matter."""
    return re.compile(pattern, re.IGNORECASE)


SECONDS = r"(?:seconds?|secs?|s|count|ct|\")(?![a-z])"
TIME_UNIT = r"(?P<unit>minutes?|mins?|seconds?|secs?|s|hours?|hrs?|h|'|\")(?![a-z])"
TIME = (
    r"(?:(?P<clock>\d{1,2}:\d{2})|(?P<t>\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(?P<t2>\d+(?:[.,]\d+)?))?\s*-?"
    + TIME_UNIT
    + ")"
)
N_X = r"(?P<n>\d+(?:\.\d+)?)\s*(?:x|sets?\s*(?:x|of|,)?|rounds?\s*(?:x|of|,)?)\s*"
REPS = r"(?P<a>\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(?P<b>\d+(?:[.,]\d+)?))?"
MORE = r"(?:\s*(?P<more>\+)(?!\s*\d))?"
KG = r"(?P<unit>kgs?|kilos?|lbs?|pounds?)\b"
LOAD = r"(?P<v>\d+(?:[.,]\d+)?)\s*(?P<unit>%|percent\b|kgs?\b|kilos?\b|lbs?\b|pounds?\b)"
OF_MAX = r"(?:\s*(?:of\s*)?(?:1\s*RM|max)\b)?"
AT_END = r"(?:\s*(?:at|in|on)\s+(?:the\s+)?(?P<where>bottom|top|chest|floor|hole|box|knees?)\b)?"
EACH = "|".join(
    (
        rf"(?:on\s+)?(?:each|per|both|ea\.?|every)\s*(?:{SIDE_WORDS})\b",
        r"\be\.s\.",
        r"(?<=[\d\s,\"'])ea\b\.?",
        r"(?<=\ds)ea\b\.?",
        rf"(?<=[\d,])\s*each\b(?!\s*(?:{SIDE_WORDS}))",
        rf"(?<=[\ds,])\s+each\b(?!\s*(?:{SIDE_WORDS}))",
    )
)
# In this order: what could be mistaken for another piece is taken out first.
PIECES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], Line], bool]], ...] = (
    (
        piece(
            r"\b(?:E\d?MOM|every minute on the minute|tabata|for time)\b.*|\bAMRAP\s*(?:in\s*)?\d+\s*(?:min|').*"
            r"|\b\d+\s*(?:min(?:utes?)?|')\s*AMRAP\b.*"
        ),
        take_whole_plan,
    ),
    (
        piece(
            r"\b(?:(?:ramp(?:ing|ed)?|work(?:ing)?|build(?:ing)?)\s*(?:up\s*)?to\s+(?:a\s+|an\s+|your\s+)?"
            r"(?:(?:heavy|hard|top)\s+)?(?:set\s+of\s+)?|top\s+set\s*:?\s*(?:of\s+)?(?:1\s*x\s*)?)"
            + REPS
            + r"(?P<rm>\s*-?RM\b)?(?:\s*reps?\b)?(?!\s*(?:kg|lb|%|s\b|min))"
        ),
        take_ramp,
    ),
    (piece(r"\beasy week:?\s*" + NUMBER + r"\s*sets?\b"), take_easy_sets),
    (
        piece(
            r"\brest(?:ing)?(?:\s+for)?\s*[:=]?\s*" + TIME + r"(?:\s*(?:between|btwn?|b/w|after)\s*(?:each\s+)?(?:sets?"
            r"|rounds?)?)?"
        ),
        take_rest,
    ),
    (
        piece(
            r"(?:^|(?<=[\s,]))" + TIME + r"\s+(?:of\s+)?(?:rests?\b(?:\s*(?:between|btwn?)\s*"
            r"(?:sets?|rounds?))?|(?:between|btwn?)\s*(?:sets?|rounds?))"
        ),
        take_rest,
    ),
    (piece(r"\b(?:a\s+(?:start|set)\s+)?every\s+" + TIME), take_every),
    (piece(r"\brest\s*:?\s*(\d+)(?![\d:.]|\s*(?:-|to)\s*\d)\b"), take_rest_bare),
    (piece(r"\b(?:no\s+rest|rest\s+as\s+(?:needed|required))\b"), take_no_rest),
    (
        piece(
            r"(?:\b(\d+)\s*x\s*)?\b(\d+)\s*(s|sec|min|\"|')?\s*(?:on"
            r"|work)\s*(?:,|-|/|and)?\s*(\d+)\s*(s|sec|min|\"|')?\s*"
            r"(?:off|rest|easy)\b"
        ),
        take_on_off,
    ),
    (
        piece(
            r"\btempo\s*:?\s*@?\s*(?P<tempo>(?:\d+|x)(?:\s*[-/.]\s*"
            r"(?:\d+|x)){1,3}|[\dx]{3,4}\b|\d+\b)"
        ),
        take_tempo,
    ),
    (
        piece(
            r"@?\s*(?<![\w/.,-])(?P<tempo>\d-\d-x-\d|\d/\d/x/\d|\d\dx\d"
            r"|\d-x-\d-\d|\d\.\d\.x\.\d)(?![\w/%-])(?!\s*(?:kg|lb"
            r"|%|x))(?:\s*tempo\b)?"
        ),
        take_bare_tempo,
    ),
    (
        piece(
            r"@?\s*(?<![\w/.,-])(?P<tempo>\d-\d-\d-\d|\d{4})(?![\w/%-])"
            r"(?!\s*(?:m|kg|lb|%|x|[-,]\s*\d)\b)(?:\s*tempo\b)?"
        ),
        take_bare_tempo,
    ),
    (
        piece(
            r"\bhold\s*"
            + NUMBER
            + r"\s*s(?:ec)?\b\s*,?\s*(?:then )?"
            + RANGE
            + r"\s*(?:slow )?reps?\s*,?\s*(?:then )?hold\s*"
            + NUMBER
            + r"\s*s(?:ec)?\b"
        ),
        take_hold_reps_hold,
    ),
    (
        piece(
            r"(?:\bwith\s+(?:a\s+)?)?(?:\bpause[ds]?\s*:?\s*(?:for\s+)?(?P<p>\d+(?:[.,]\d+)?)\s*-?"
            + SECONDS
            + r"|\b(?P<q>\d+(?:[.,]\d+)?)\s*-?"
            + SECONDS
            + r"\s*pauses?\b|(?<=\d)[\s,]+(?:with\s+)?(?:a\s+)?pause[ds]?\b"
            r"(?!\s*:?\s*(?:for\s+)?\d))" + AT_END
        ),
        take_pause,
    ),
    (
        piece(
            r"\b(?P<e>\d+(?:[.,]\d+)?)\s*-?" + SECONDS + r"\s*(?:eccentrics?|negatives?|down|descent|lower(?:ing)?)\b"
            r"|\b(?:eccentric|down)\s*:?\s*(?P<f>\d+(?:[.,]\d+)?)\s*" + SECONDS
        ),
        take_eccentric,
    ),
    (piece(r"\blower(?:ing)?(?: only)?\b(?! body),?(?:\s*(?:for\s*)?" + NUMBER + r"\s*s(?:ec)?\b)?"), take_lowering),
    (piece(r"(?:@|\bat)?\s*\bRPE\s*:?\s*" + RANGE), take_rpe),
    (piece(r"(?:@|\bat)?\s*\bRIR\s*:?\s*" + RANGE), take_rir),
    (
        piece(
            r"(?:\b(?:leav(?:e|ing)|keep(?:ing)?|with|save|saving)\s*)?@?\s*(?<!x )(?<!x)(?<![\d-])\b"
            + RANGE
            + r"\s*(?:more\s*)?(?:good\s*)?(?:reps?\s*)?(?:in (?:the )?"
            r"(?:reserve|tank)\b|left(?: in (?:the )?tank)?\b)"
        ),
        take_rir,
    ),
    (piece(r"\b(?:leav(?:e|ing)|keep(?:ing)?)\s*" + RANGE + r"(?:\s*reps?\b)?(?!\s*(?:kg|lb|%|x))"), take_rir),
    (piece(r"@?\s*(?<![\d-])\b" + RANGE + r"\s*RIR\b"), take_rir),
    (
        piece(
            r"(?:@|\bat|\bwith)?\s*\b\d+(?:\.\d+)?(?:(?:\s*(?:%|kg"
            r"|lbs?)?\s*/\s*\d+(?:\.\d+)?)+|(?:\s*(?:%|kg|lbs?)?\s*,\s*\d+"
            r"(?:\.\d+)?){2,}|(?:\s*%\s*,\s*\d+(?:\.\d+)?)+)\s*(?P<unit>%"
            r"|kgs?\b|lbs?\b)"
        ),
        take_load_list,
    ),
    (
        piece(
            r"(?:@|\bat|\bwith)?\s*\b"
            + LOAD
            + OF_MAX
            + r"\s*x\s*"
            + REPS
            + MORE
            + r"(?:\s*reps?\b)?(?:\s*x\s*(?P<n>\d+)(?:\s*sets?\b)?)?"
            r"(?!\d|\s*(?:m|yds?|s|sec|min|kg|lb|%)\b|\s*%)"
        ),
        take_load_reps_sets,
    ),
    (
        piece(
            r"\b(?:" + N_X + ")?" + REPS + MORE + r"(?:\s*reps?)?\s*(?P<join>x|@|at)\s*" + LOAD + OF_MAX + r"(?!\s*x)"
        ),
        take_sets_reps_load,
    ),
    (
        piece(
            r"(?:@|\bat|\bx)?\s*\b(?P<v>\d+(?:[.,]\d+)?)(?:\s*(?:-"
            r"|to)\s*(?P<v2>\d+(?:[.,]\d+)?))?\s*(?P<unit>%|percent\b)" + OF_MAX
        ),
        take_load,
    ),
    (piece(r"\bheels? (?:raised|up)(?: by)?\s*" + NUMBER + r"\s*(cm|mm)\b"), take_heels),
    (piece(r"\bto\s*" + NUMBER + r"\s*degrees?\b"), take_range),
    (
        piece(
            r"(?:@|\bwith|\bat|\bx)?\s*\b2\s*x\s*(?P<v>\d+(?:[.,]\d+)?)"
            r"(?P<v2>)?\s*" + KG + r"(?:\s*(?:each hand|each|per hand|dbs?|kbs?|dumbbells"
            r"|kettlebells)\b)?"
        ),
        take_load,
    ),
    (
        piece(
            r"(?:@|\bwith|\bat|\bx|\+|\bbw\s*\+|\bbody ?weight\s*\+)?\s*"
            r"(?<![\d.,])(?P<v>\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*"
            r"(?P<v2>\d+(?:[.,]\d+)?))?\s*" + KG + rf"(?:\s*(?:(?:each|per|ea\.?|a)\s+hand|total|each(?!\s*"
            rf"(?:{SIDE_WORDS}))|ea(?!\s*(?:{SIDE_WORDS}))|dbs?|kbs?"
            rf"|dumbbells?|kettlebells?|bar)\b)?"
        ),
        take_load,
    ),
    (
        piece(
            r"(?:@|\bwith|\bat)\s*(?:body ?weight|bw)\b|(?<=[\d,])\s*,?\s*"
            r"(?:body ?weight|bw)\b(?=\s*(?:,|$))"
        ),
        take_body,
    ),
    (
        piece(
            r"(?:\b" + N_X + r"|\bx\s*)?(?P<d>\d+(?:[.,]\d+)?)\s*-?(?P<unit>metres?"
            r"|meters?|m|yards?|yds?|feet|ft|km)\b(?!in)(?:\s*x\s*"
            r"(?P<after>\d+)\b)?"
        ),
        take_distance,
    ),
    (
        piece(
            r"(?:\b" + N_X + r"|\bx\s*)?(?<![\d:])" + TIME + r"(?P<hold>\s*(?:iso(?:metric)?\s*)?holds?\b)?(?:\s*x\s*"
            r"(?P<after>\d+)\b)?"
        ),
        take_timed,
    ),
    (piece(r"\b(?P<n>\d+)\s*x\s*(?P<a>\d+)/(?P<b>\d+)(?![\d/])(?!\s*(?:kg|lb|%))"), take_same_both),
    (piece(r"\b" + N_X + r"(?P<after>)?(?:to\s*|till\s*)?(?:max|amrap|failure)\b(?:\s*reps?\b)?"), take_most),
    (
        piece(
            r"\b(?:max(?:imum)?\s*reps?|amrap|as many(?: good)?(?: reps?)? as "
            r"(?:possible|you can)|to failure|max)\b(?:\s*x\s*(?P<after>\d+)"
            r"(?:\s*sets?)?\b)?(?P<n>)?"
        ),
        take_most,
    ),
    (piece(r"\b" + N_X + REPS + MORE + r"(?:\s*reps?\b)?"), take_sets),
    (
        piece(
            r"\b(?P<a>\d+)(?:\s*(?:-|to)\s*(?P<b>\d+))?\s*reps?\s*"
            r"(?:x|,|for)\s*(?P<n>\d+)\s*sets?\b(?P<more>)?"
        ),
        take_sets,
    ),
    (
        piece(
            r"(?<![\w.-])\d+(?:(?:\s*,\s*\d+){2,}|(?:\s*-\s*\d+){2,}"
            r"|(?:\s*/\s*\d+){2,})(?![\d.])" + MORE + r"(?:\s*reps?\b)?"
        ),
        take_reps_list,
    ),
    (piece(r"\b" + NUMBER + r"\s*(?:sets?|rounds?)\b"), take_only_sets),
    (piece(r"(?:\bx\s*)?\b" + REPS + r"\s*(?:reps?|times)\b"), take_only_reps),
    (piece(r"(?<![\w\d])x\s*" + REPS + r"(?![\w%])"), take_only_reps),
    (piece(EACH), take_side),
    (piece(r"@\s*" + RANGE + r"(?!\s*(?:kg|lb|%))"), take_at),
    (piece(r"\b(?:zone\s*[12]|easy pace|conversational(?: pace)?|easy|light)\b(?! week)"), take_easy),
    (piece(r"\b(?:and\s+)?then\b|\bback[- ]?offs?(?:\s*sets?)?\b\s*:?|\bfollowed by\b"), take_nothing),
    (piece(r"^[\s,]*(?P<a>\d+)(?:\s*-\s*(?P<b>\d+))?\s+(?=[a-z]{2})"), take_first_number),
)


def with_pause(tempo: str | None, pause_s: float, top: bool) -> str:
    """A tempo with a pause put in at the bottom, or at the top.

    >>> with_pause("3-0-1-0", 2, False)
    '3-2-1-0'
    """
    digits = (tempo or "2-0-1-0").split("-")
    digits[3 if top else 1] = f"{pause_s:g}"
    return "-".join(digits)


def scheme_of(line: Line, one: Sets, defaults: Scheme, top_pause: bool = False) -> Scheme:
    """The scheme that a group of sets and the defaults of its exercise make; what was written wins."""
    open_end = one.most or one.more
    each_loaded = len(line.sets) > 1 and (one.pct is not None or one.load_kg is not None)
    rir = defaults.rir
    if one.rir is not None:
        rir = one.rir
    elif open_end:
        rir = MOST_RIR
    elif line.easy:
        rir = 4.0
    elif each_loaded:
        rir = None
    tempo = line.tempo or defaults.tempo
    if line.lower_first_s is not None:
        tempo = "-".join([f"{line.lower_first_s:g}", *(tempo or "2-0-1-0").split("-")[1:]])
    if line.pause_s is not None:
        tempo = with_pause(tempo, line.pause_s, top_pause)
    scheme = replace(
        defaults,
        sets=one.count or defaults.sets,
        reps=None if one.most else one.reps or defaults.reps,
        rir=rir,
        rest_s=line.rest_s if line.rest_s is not None else defaults.rest_s,
        tempo=tempo,
        load_kg=one.load_kg,
        pct=one.pct,
        per_side=line.per_side if line.per_side is not None else defaults.per_side,
    )
    if line.hold_after_s is not None:
        return replace(scheme, kind="hold-reps-hold", hold_s=line.hold_s, hold_after_s=line.hold_after_s)
    if one.hold_s is not None:
        return replace(scheme, kind="hold", hold_s=one.hold_s, reps=None, tempo=None)
    if one.distance_m is not None:
        return replace(scheme, kind="carry", distance_m=one.distance_m, reps=None, hold_s=None, time_s=None, tempo=None)
    if one.time_s is not None:
        if defaults.kind == "hold":
            return replace(scheme, kind="hold", hold_s=one.time_s, reps=None, tempo=None)
        return replace(scheme, kind="interval", time_s=one.time_s, reps=None, hold_s=None, distance_m=None, tempo=None)
    if line.lowering:
        tempo = line.tempo or f"{(line.lower_s or 4):g}-0-1-0"
        return replace(scheme, kind="lowering", tempo=tempo, hold_s=None)
    if one.ramp:
        return replace(scheme, kind="straight", to_top_set=True)
    if one.reps is not None and defaults.kind in ("hold", "carry", "interval"):
        return replace(scheme, kind="straight", hold_s=None, distance_m=None, time_s=None)
    return scheme
