"""One written line: an exercise with its dose, in the trade's common shorthand.

The name comes first; then pieces that each say one thing, in any order, parted by commas or just spaces:
``front squat 4 x 5-6 @ RPE 8, rest 3 min, tempo 3-1-1-0``. A piece that is understood is taken out; what is left
over is a fault, so that nothing a coach wrote is silently dropped.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from setwright.plan.template import Scheme

NUMBER = r"(\d+(?:[.,]\d+)?)"
RANGE = NUMBER + r"(?:\s*(?:-|to)\s*" + NUMBER + r")?"
LB_KG = 0.45359237


class Unreadable(ValueError):
    """A piece of a line that can't be read; ``found`` and ``allowed`` say what and what could stand there."""

    def __init__(self, found: str, allowed: str) -> None:
        self.found, self.allowed = found, allowed
        super().__init__(f"{found}: {allowed}")


@dataclass
class Line:
    """What one entry line said. Fields that were not written are None."""

    name: str = ""
    superset: str | None = None
    sets: int | None = None
    reps: tuple[int, int] | None = None
    reps_each: tuple[int, ...] = ()
    rir: float | None = None
    rest_s: float | None = None
    tempo: str | None = None
    load_kg: float | None = None
    pct: float | None = None
    hold_s: float | None = None
    hold_after_s: float | None = None
    distance_m: float | None = None
    time_s: float | None = None
    per_side: bool | None = None
    lowering: bool = False
    lower_s: float | None = None
    ramp: bool = False
    back_off: tuple[int, tuple[int, int]] | None = None
    easy: bool = False
    easy_sets: int | None = None
    note: str = ""
    dials: dict[str, object] = field(default_factory=dict)
    written: set[str] = field(default_factory=set)


def tidy(text: str) -> str:
    """A line with plain signs: × as x, dashes as -, curly quotes straight, bullets and tabs gone."""
    for found, plain in (
        ("×", "x"),
        ("–", "-"),
        ("—", "-"),
        ("−", "-"),
        ("’", "'"),
        ("‘", "'"),
        ("“", '"'),
        ("”", '"'),
    ):
        text = text.replace(found, plain)
    text = text.replace("\t", " ").replace("\u00a0", " ").replace("°", " degrees")
    text = re.sub(r"^\s*(?:[-*•]\s+|\d+[.)]\s+)", "", text)
    return re.sub(r"\s+", " ", text).strip()


def number(text: str) -> float:
    """A number with a point or a decimal comma."""
    return float(text.replace(",", "."))


def seconds(value: str, unit: str) -> float:
    """Seconds of a number with its unit."""
    factor = 60.0 if (unit.startswith("m") and unit != "m") or unit == "'" else 1.0
    return number(value) * factor


def read_line(text: str) -> Line:
    """What an entry line says. Raises Unreadable for what is left over, or a slash or formula."""
    line = Line()
    rest = tidy(text)
    note = re.search(r"\(([^)]*)\)|;(.*)$", rest)
    if note:
        line.note = (note.group(1) or note.group(2) or "").strip()
        rest = (rest[: note.start()] + " " + rest[note.end() :]).strip()
    if "/" in rest:
        raise Unreadable("a slash", "words: write 'each side', 'and', or two lines")
    sign = re.search(r"[=*{}<>^\[\]]", rest)
    if sign:
        raise Unreadable(f"the sign {sign.group(0)!r}", "plain words")
    letter = re.match(r"^([A-Z])(\d)?[.):]?\s+(?=\S)", rest)
    if letter:
        line.superset = letter.group(1)
        rest = rest[letter.end() :]
    for pattern, take in PIECES:
        rest = take_all(rest, pattern, take, line)
    rest = re.sub(r"^[\s,@]+|[\s,@:]+$", "", rest)
    name, _, left = rest.partition(",")
    left = re.sub(r"[\s,@]+", " ", left).strip()
    line.name = re.sub(r"\s+", " ", name).strip(" ,-:")
    for word in ("with", "at", "for", "then"):
        line.name = re.sub(rf"\s+{word}$", "", line.name)
        left = re.sub(rf"^{word}$", "", left)
    if left:
        raise Unreadable(
            repr(left), "sets x reps, effort, load, rest, tempo, hold, distance, time, each side, lowering"
        )
    if not line.name:
        raise Unreadable("no name of an exercise", "the name first, then the dose")
    return line


def take_all(text: str, pattern: re.Pattern[str], take: Callable[[re.Match[str], Line], bool], line: Line) -> str:
    """Takes every match of one kind of piece out of the text."""
    while True:
        match = pattern.search(text)
        if match is None or not take(match, line):
            return text
        text = text[: match.start()] + " , " + text[match.end() :]


def whole(text: str, low: int, high: int, what: str) -> int:
    """A whole number within limits."""
    value = number(text)
    if value != int(value) or not low <= value <= high:
        raise Unreadable(f"{text} {what}", f"a whole number from {low} to {high}")
    return int(value)


def rising(first: str, second: str | None, low: int, high: int, what: str) -> tuple[int, int]:
    """A range of whole numbers."""
    a = whole(first, low, high, what)
    b = whole(second, low, high, what) if second else a
    if b < a:
        raise Unreadable(f"{first}-{second} {what}", "the smaller number first")
    return a, b


def once(line: Line, key: str, what: str) -> None:
    """A piece may be written once."""
    if key in line.written:
        raise Unreadable(f"{what} twice", "each piece once on a line")
    line.written.add(key)


def take_ramp(match: re.Match[str], line: Line) -> bool:
    once(line, "sets", "sets")
    line.ramp, line.sets = True, 1
    line.reps = rising(match.group(1), match.group(2), 1, 100, "reps")
    return True


def take_back_off(match: re.Match[str], line: Line) -> bool:
    if not line.ramp:
        return False
    line.back_off = (whole(match.group(1), 1, 20, "sets"), rising(match.group(2), match.group(3), 1, 100, "reps"))
    return True


def take_hold_reps_hold(match: re.Match[str], line: Line) -> bool:
    once(line, "sets-kind", "hold")
    line.hold_s, line.hold_after_s = number(match.group(1)), number(match.group(4))
    line.reps = rising(match.group(2), match.group(3), 1, 100, "reps")
    return True


def take_distance(match: re.Match[str], line: Line) -> bool:
    once(line, "sets", "sets")
    line.sets = whole(match.group(1), 1, 50, "sets") if match.group(1) else 1
    line.distance_m = number(match.group(2))
    if not 1 <= line.distance_m <= 50_000:
        raise Unreadable(f"{match.group(2)} m", "1 to 50000 m")
    return True


def take_timed(match: re.Match[str], line: Line) -> bool:
    once(line, "sets", "sets")
    line.sets = whole(match.group(1), 1, 50, "sets") if match.group(1) else 1
    line.time_s = seconds(match.group(2), match.group(3))
    if not 1 <= line.time_s <= 14_400:
        raise Unreadable(match.group(0).strip(), "1 s to 240 min")
    if match.group(4):
        line.hold_s, line.time_s = line.time_s, None
    return True


def take_sets(match: re.Match[str], line: Line) -> bool:
    once(line, "sets", "sets")
    line.sets = whole(match.group(1), 1, 30, "sets")
    if match.group(2) == "max":
        line.reps, line.rir = None, 1.0
        line.dials["to"] = "one short of the most you can"
        return True
    line.reps = rising(match.group(2), match.group(3), 1, 100, "reps")
    return True


def take_only_sets(match: re.Match[str], line: Line) -> bool:
    once(line, "sets", "sets")
    line.sets = whole(match.group(1), 1, 30, "sets")
    return True


def take_reps_list(match: re.Match[str], line: Line) -> bool:
    numbers = tuple(whole(one, 1, 100, "reps") for one in re.findall(r"\d+", match.group(0)))
    once(line, "sets", "sets")
    line.sets, line.reps_each = len(numbers), numbers
    line.reps = (min(numbers), max(numbers))
    return True


def take_only_reps(match: re.Match[str], line: Line) -> bool:
    if line.reps is not None:
        raise Unreadable("repetitions twice", "each piece once on a line")
    line.reps = rising(match.group(1), match.group(2), 1, 100, "reps")
    return True


def take_rpe(match: re.Match[str], line: Line) -> bool:
    once(line, "effort", "effort")
    value = number(match.group(1))
    if not 1 <= value <= 10:
        raise Unreadable(f"RPE {match.group(1)}", "1 to 10")
    line.rir = 10.0 - value
    return True


def take_rir(match: re.Match[str], line: Line) -> bool:
    once(line, "effort", "effort")
    value = number(match.group(1))
    if not 0 <= value <= 10:
        raise Unreadable(f"{match.group(1)} in reserve", "0 to 10")
    line.rir = value
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
    clock = match.group("clock")
    if clock:
        minutes, _, more = clock.partition(":")
        line.rest_s = 60.0 * int(minutes) + int(more)
    else:
        unit = match.group("unit")
        values = [number(one) for one in (match.group("a"), match.group("b")) if one]
        line.rest_s = seconds(str(sum(values) / len(values)), unit)
    if not 0 <= line.rest_s <= 1200:
        raise Unreadable(match.group(0).strip(), "a rest of 0 to 20 min")
    return True


def take_tempo(match: re.Match[str], line: Line) -> bool:
    once(line, "tempo", "tempo")
    digits = re.findall(r"\d+|x", match.group(1).lower())
    if len(digits) == 1 and len(digits[0]) in (3, 4):
        digits = list(digits[0])
    if len(digits) not in (3, 4):
        raise Unreadable(f"tempo {match.group(1)}", "three or four numbers of seconds: lower, pause, lift, pause")
    line.tempo = "-".join(digits if len(digits) == 4 else [*digits, "0"])
    return True


def take_percent(match: re.Match[str], line: Line) -> bool:
    once(line, "load", "load")
    value = number(match.group(1))
    if not 10 <= value <= 110:
        raise Unreadable(f"{match.group(1)} %", "10 to 110 % of the one-repetition maximum")
    line.pct = value / 100.0
    return True


def take_load(match: re.Match[str], line: Line) -> bool:
    once(line, "load", "load")
    value = number(match.group(1)) * (LB_KG if match.group(2).startswith("lb") else 1.0)
    if not 0 <= value <= 1000:
        raise Unreadable(match.group(0).strip(), "0 to 1000 kg")
    line.load_kg = round(value, 3)
    return True


def take_body(match: re.Match[str], line: Line) -> bool:
    once(line, "load", "load")
    line.load_kg = 0.0
    return True


def take_side(match: re.Match[str], line: Line) -> bool:
    line.per_side = True
    return True


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


def piece(pattern: str) -> re.Pattern[str]:
    """A compiled piece; words are matched whole, capitals don't matter."""
    return re.compile(pattern, re.IGNORECASE)


UNIT = r"(s|sec|secs|second|seconds|min|mins|minute|minutes|')"
# In this order: what could be mistaken for another piece is taken out first.
PIECES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], Line], bool]], ...] = (
    (piece(r"\bramp(?:ing)? to (?:a )?top set of " + RANGE), take_ramp),
    (piece(r"\b(?:then|and then|back-?offs?:?) " + NUMBER + r"\s*x\s*" + RANGE), take_back_off),
    (piece(r"\beasy week:?\s*" + NUMBER + r"\s*sets?\b"), take_easy_sets),
    (
        piece(
            r"\brest\s*:?\s*(?:(?P<clock>\d+:\d{2})|(?P<a>\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(?P<b>\d+(?:[.,]\d+)?))?\s*"
            r"(?P<unit>s|sec|secs|seconds?|min|mins|minutes?)\b)"
        ),
        take_rest,
    ),
    (
        piece(
            r"(?:^|(?<=[\s,]))(?:(?P<clock>\d+:\d{2})|(?P<a>\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(?P<b>\d+(?:[.,]\d+)?))?\s*"
            r"(?P<unit>s|sec|secs|seconds?|min|mins|minutes?))\s+rest\b"
        ),
        take_rest,
    ),
    (piece(r"\btempo\s*:?\s*((?:\d+|x)(?:\s*-\s*(?:\d+|x)){0,3})"), take_tempo),
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
    (piece(r"\blower(?:ing)?(?: only)?,?(?:\s*(?:for\s*)?" + NUMBER + r"\s*s(?:ec)?\b)?"), take_lowering),
    (piece(r"@?\s*\bRPE\s*" + NUMBER), take_rpe),
    (piece(r"@?\s*\bRIR\s*" + NUMBER), take_rir),
    (piece(r"@?\s*" + NUMBER + r"\s*(?:reps? )?in reserve\b"), take_rir),
    (piece(r"@?\s*" + NUMBER + r"\s*RIR\b"), take_rir),
    (piece(r"(?:@|\bat)?\s*" + NUMBER + r"\s*(?:%|percent\b)(?:\s*(?:of )?(?:1RM|max)\b)?"), take_percent),
    (piece(r"\bheels? (?:raised|up)(?: by)?\s*" + NUMBER + r"\s*(cm|mm)\b"), take_heels),
    (piece(r"\bto\s*" + NUMBER + r"\s*degrees?\b"), take_range),
    (piece(r"(?:@|\bwith|\bat)?\s*(?:\b2\s*x\s*)" + NUMBER + r"\s*(kg|lbs?)\b(?:\s*each hand)?"), take_load),
    (piece(r"(?:@|\bwith|\bat|\+)?\s*" + NUMBER + r"\s*(kg|lbs?)\b(?:\s*(?:each hand|total))?"), take_load),
    (piece(r"(?:@|\bwith|\bat)\s*(?:body ?weight|bw)\b"), take_body),
    (piece(r"(?:" + NUMBER + r"\s*x\s*)?" + NUMBER + r"\s*(?:m|metres?|meters?)\b(?!in)"), take_distance),
    (piece(r"(?:" + NUMBER + r"\s*x\s*)?" + NUMBER + r"\s*" + UNIT + r"(?![a-z])(\s*holds?\b)?"), take_timed),
    (piece(r"\b" + NUMBER + r"\s*(?:x|sets? of)\s*(?:" + RANGE + r")(?:\s*reps?\b)?"), take_sets),
    (piece(r"\b" + NUMBER + r"\s*(?:x|sets? of)\s*(max)\b"), take_sets),
    (piece(r"(?<![\w-])\d+(?:\s*,\s*\d+){2,}(?:\s*reps?\b)?"), take_reps_list),
    (piece(r"\b" + NUMBER + r"\s*sets?\b"), take_only_sets),
    (piece(r"\b" + RANGE + r"\s*reps?\b"), take_only_reps),
    (piece(r"\b(?:on )?(?:each|per|both) (?:side|leg|arm)s?\b|\be\.s\."), take_side),
    (piece(r"@\s*(\d+(?:[.,]\d+)?)(?!\s*(?:kg|lb|%))"), take_rpe),
    (piece(r"\b(?:easy|light)\b(?! week)"), take_easy),
)


def scheme_of_line(line: Line, defaults: Scheme) -> Scheme:
    """The scheme that a line and the defaults of its exercise make; what was written wins."""
    scheme = replace(
        defaults,
        sets=line.sets or defaults.sets,
        reps=line.reps or defaults.reps,
        rir=line.rir if line.rir is not None else (4.0 if line.easy else defaults.rir),
        rest_s=line.rest_s if line.rest_s is not None else defaults.rest_s,
        tempo=line.tempo or defaults.tempo,
        load_kg=line.load_kg,
        pct=line.pct,
        per_side=line.per_side if line.per_side is not None else defaults.per_side,
    )
    if line.hold_after_s is not None:
        return replace(scheme, kind="hold-reps-hold", hold_s=line.hold_s, hold_after_s=line.hold_after_s)
    if line.hold_s is not None:
        return replace(scheme, kind="hold", hold_s=line.hold_s, reps=None, tempo=None)
    if line.distance_m is not None:
        return replace(scheme, kind="carry", distance_m=line.distance_m, reps=None, hold_s=None, tempo=None)
    if line.time_s is not None:
        kind = "hold" if defaults.kind == "hold" else "interval"
        if kind == "hold":
            return replace(scheme, kind="hold", hold_s=line.time_s, reps=None, tempo=None)
        return replace(scheme, kind="interval", time_s=line.time_s, reps=None, hold_s=None, tempo=None)
    if line.lowering:
        tempo = line.tempo or f"{(line.lower_s or 4):g}-0-1-0"
        return replace(scheme, kind="lowering", tempo=tempo, hold_s=None)
    if line.ramp:
        return replace(scheme, kind="straight", to_top_set=True)
    if line.reps is not None and defaults.kind in ("hold", "carry", "interval"):
        return replace(scheme, kind="straight", hold_s=None, distance_m=None, time_s=None)
    return scheme
