"""Schemes in a written line: clusters, rest-pause, drops, back-offs, held repetitions, holds at two angles.

Plain words as on a whiteboard. What is not written comes from the file of the scheme; a coach's own scheme is named by
its own words, and repetitions on the line take the place of those of its first piece.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from setwright.plan.schemes import SetScheme, packaged_schemes, scheme_as_written, words_of
from setwright.plan.stretch import Stretch
from setwright.plan.template import Scheme

if TYPE_CHECKING:
    from setwright.plan.shorthand_line import Line, Sets

COUNT_WORDS = {
    **dict.fromkeys(("a", "an", "one", "once", "single"), 1),
    **dict.fromkeys(("two", "twice", "double"), 2),
    **dict.fromkeys(("three", "triple"), 3),
    "four": 4,
}
MOST_DROPS, MOST_PARTS = 4, 8
INSIDE_S, DROP_REST_S = 20.0, 5.0  # where nobody wrote them: those of the packaged files
LONGEST_INSIDE_S = 90.0
DROP = 0.2  # of the load, where nobody wrote it: as in most trials (Sødal 2023, table 1, seen)
# A first part so much longer than the second, and longer than four, is a set near its end: rest-pause, no cluster.
LONGER, SHORT_PART = 1.5, 4
NEED_NO_DETAIL = frozenset({"double-progression", "top-and-back-offs"})
ANY_COUNT = r"(?:\d+|an?|one|two|three|four|once|twice|single|double|triple)"
TIME = r"(\d+(?:[.,]\d+)?)\s*-?(minutes?|mins?|seconds?|secs?|s|'|\")(?![a-z])"


def unreadable(found: str, allowed: str) -> Exception:
    """The fault of a line; imported late, since the line reads with these pieces."""
    from setwright.plan.shorthand_line import Unreadable

    return Unreadable(found, allowed)


def seconds_in(value: str, unit: str) -> float:
    """Seconds of a number with its unit."""
    return float(value.replace(",", ".")) * (60.0 if unit.lower().startswith("m") or unit == "'" else 1.0)


def count_in(text: str | None, otherwise: int) -> int:
    """A count in digits or words."""
    if not text:
        return otherwise
    return int(text) if text.isdigit() else COUNT_WORDS[text.lower()]


def set_scheme(line: Line, name: str) -> None:
    """Notes the scheme of a line. Two that differ are a fault."""
    if line.scheme and line.scheme != name:
        words = {one: one.replace("-", " ") for one in (line.scheme, name)}
        raise unreadable(f"{words[line.scheme]} and {words[name]}", "one scheme a line")
    line.scheme = name


def take_parts(match: re.Match[str], line: Line) -> bool:
    """``4 x (2+2+2)``, ``2 x 12+4+4``: the parts of a set."""
    from setwright.plan.shorthand_line import add, count_of, rising

    texts = [one.strip() for one in match.group("parts").split("+")]
    parts = tuple(rising(*part_ends(one), 1, 100, "reps") for one in texts)
    if len(parts) > MOST_PARTS:
        raise unreadable(f"{len(parts)} parts in a set", f"2 to {MOST_PARTS} parts")
    line.parted = True
    count = count_of(match.group("n")) if match.group("n") else None
    return add(match, line, count=count, reps=parts[0], parts=parts[1:])


def part_ends(text: str) -> tuple[str, str | None]:
    """The ends of ``10-12``."""
    low, _, high = text.partition("-")
    return low.strip(), high.strip() or None


def take_inside(match: re.Match[str], line: Line) -> bool:
    """``20 s inside``."""
    if line.inside_s is not None:
        raise unreadable("the rest inside twice", "each piece once on a line")
    found = [one for one in match.groups() if one]
    line.inside_s = seconds_in(found[0], found[1])
    if not 1 <= line.inside_s <= LONGEST_INSIDE_S:
        raise unreadable(match.group(0).strip(" ,"), f"a rest inside a set of 1 to {LONGEST_INSIDE_S:g} s")
    return True


def take_cluster(match: re.Match[str], line: Line) -> bool:
    """The word cluster."""
    set_scheme(line, "cluster")
    return True


def take_rest_pause(match: re.Match[str], line: Line) -> bool:
    """The word rest-pause."""
    set_scheme(line, "rest-pause")
    return True


def take_later(match: re.Match[str], line: Line) -> bool:
    """``then 2 x what is left``, ``then twice as many as you can``: parts that take what is left."""
    line.later = count_in(match.group("n") or match.group("m"), 1)
    if not 1 <= line.later <= MOST_PARTS - 1:
        raise unreadable(match.group(0).strip(" ,"), f"1 to {MOST_PARTS - 1} more parts")
    if match.group("t"):
        line.inside_s = seconds_in(match.group("t"), match.group("unit"))
    if line.scheme != "drop":
        set_scheme(line, "rest-pause")
    return True


def take_drop(match: re.Match[str], line: Line) -> bool:
    """``drop set``, ``then 2 drops of 20 %``, ``last set a drop set``."""
    set_scheme(line, "drop")
    line.drop_last = line.drop_last or bool(match.group("last") or match.group("end"))
    bare = re.search(r"double|triple", match.group(0), re.IGNORECASE)
    line.drops = count_in(match.group("n") or (bare and bare.group(0)), line.drops or 1)
    if not 1 <= line.drops <= MOST_DROPS:
        raise unreadable(match.group(0).strip(" ,"), f"1 to {MOST_DROPS} drops")
    if match.group("p"):
        value = float(match.group("p").replace(",", ".")) / 100.0
        line.drop = 1.0 - value if match.group("to") else value
        if not 0.05 <= line.drop <= 0.6:
            raise unreadable(match.group(0).strip(" ,"), "a drop of 5 to 60 % of the load")
    return True


def take_less(match: re.Match[str], line: Line) -> bool:
    """``10 % less``, ``at 90 % of it``: the load of back-off sets beside the top set's."""
    less = match.group("less") or match.group("minus")
    value = float((less or match.group("of")).replace(",", ".")) / 100.0
    line.back_share = 1.0 - value if less else value
    if not 0.4 <= line.back_share < 1.0:
        raise unreadable(match.group(0).strip(" ,"), "back-offs of 40 to 99 % of the top set")
    return True


def take_double(match: re.Match[str], line: Line) -> bool:
    """``add load when all reach 12``."""
    set_scheme(line, "double-progression")
    top = re.search(r"\d+", match.group(0))
    line.reach = int(top.group(0)) if top else None
    return True


def take_held_last(match: re.Match[str], line: Line) -> bool:
    """``hold the last rep 10 s``."""
    set_scheme(line, "held-last-rep")
    line.end_hold_s = hold_within(match, next(one for one in match.groups() if one))
    return True


def take_lower_then_hold(match: re.Match[str], line: Line) -> bool:
    """``lowering 5 s, then hold 10 s``."""
    set_scheme(line, "lowering-then-hold")
    line.lowering = True
    down = match.group("s") or match.group("d")
    if down:
        line.lower_s = float(down.replace(",", "."))
    line.end_hold_s = hold_within(match, match.group("h") or match.group("i"))
    line.guess("the hold comes once, at the end of the last repetition")
    return True


def hold_within(match: re.Match[str], text: str) -> float:
    """Seconds of a hold within limits."""
    value = float(text.replace(",", "."))
    if not 1 <= value <= 120:
        raise unreadable(match.group(0).strip(" ,"), "a hold of 1 to 120 s")
    return value


def take_two_angles(match: re.Match[str], line: Line) -> bool:
    """``3 x 20 s at 60 degrees + 20 s at 90 degrees``."""
    from setwright.plan.shorthand_line import add, count_of

    set_scheme(line, "two-angle-hold")
    line.dials["held_angle_deg"] = round(float(match.group("a")))
    line.second_angle = float(match.group("b"))
    line.end_hold_s = hold_within(match, match.group("t"))
    count = count_of(match.group("n")) if match.group("n") else None
    return add(match, line, count=count, hold_s=hold_within(match, match.group("s")))


def piece(pattern: str) -> re.Pattern[str]:
    """A compiled piece; capitals don't matter."""
    return re.compile(pattern, re.IGNORECASE)


HOLD_AT = (
    r"(?:hold\s*)?(?P<%s>\d+(?:[.,]\d+)?)\s*(?:s|sec|seconds|\")\s*(?:hold\s*)?(?:at|@|in)?\s*(?P<%s>\d{1,3})"
    r"\s*deg(?:ree)?s?\b"
)
INSIDE_WORDS = (
    r"(?:inside|within|intra(?:[- ]?set)?|in the set|(?:between|btwn?)\s*(?:the\s*)?(?:parts|clusters|mini[- ]?sets"
    r"|minis|singles|doubles|triples))\b(?:\s*rest\b)?"
)
SECONDS_OF = r"(?P<%s>\d+(?:[.,]\d+)?)\s*(?:s|sec|seconds)\b"
DROP_OR_STRIP = (
    r"(?:(?:double|triple)\s+(?:drop|strip)\b|\b(?:drop|strip)(?:[- ]?sets?\b|s\b|(?=\s*(?:to|by|of)?\s*\d+\s*%)"
    r"|(?=\s+(?:on\s+)?the\s+last\b)))"
)
# Taken before all other pieces of a line, in this order.
SCHEME_PIECES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], Line], bool]], ...] = (
    (
        piece(
            r"(?:\b(?P<n>\d+)\s*(?:x|sets?(?:\s*(?:x|of))?)\s*)?\b"
            + HOLD_AT % ("s", "a")
            + r"[\s,+]*(?:and|then|plus)?\s*"
            + HOLD_AT % ("t", "b")
        ),
        take_two_angles,
    ),
    (piece(r"(?:\brest(?:ing)?\s*:?\s*)?\b" + TIME + r"\s*(?:of\s*)?(?:rest\s*)?" + INSIDE_WORDS), take_inside),
    (piece(r"\b(?:rest\s*)?inside\s*:?\s*" + TIME), take_inside),
    (
        piece(
            r"(?:\b(?:and\s+)?then\s+(?P<n>" + ANY_COUNT + r")?|\b(?P<m>" + ANY_COUNT + r"))\s*"
            r"(?:x|times|more(?: times)?)?\s*(?:of\s+)?(?:what(?:'s| is| are)? left"
            r"|as many(?: good)?(?: reps?)? as (?:you can|possible|are left|go)|the rest)\b"
            r"(?:\s*(?:after|every|with)\s*(?P<t>\d+)\s*(?P<unit>s|sec|seconds|min)\b(?:\s*rest)?)?"
        ),
        take_later,
    ),
    (piece(r"\brest[- ]?pause(?:[- ]?sets?)?\b"), take_rest_pause),
    (
        piece(
            r"(?:\+\s*)?(?:\b(?:and\s+|with\s+|then\s+)*(?P<last>last\s+(?:one|set)?\s*(?:is\s+|as\s+)?)?)?"
            r"(?:(?<!x )(?<![x-])\b(?P<n>"
            + ANY_COUNT
            + r")\s*(?:x\s*)?)?"
            + DROP_OR_STRIP
            + r"(?:\s+(?P<end>(?:on\s+)?the\s+last(?:\s+(?:set|one))?)\b)?"
            r"(?:\s*(?:(?P<to>to)|by|of)?\s*(?P<p>\d+(?:[.,]\d+)?)\s*%)?(?:\s*each\b)?"
        ),
        take_drop,
    ),
    (
        piece(
            r"(?:\b(?:double|rep[- ]range) progression\b(?:\s*to\s*\d+)?)|\b(?:add|up|raise|increase|more)\s*"
            r"(?:the\s+)?(?:load|weight|kilos?)\s*(?:when|once|after|if|as soon as)\b[^,;]*"
        ),
        take_double,
    ),
    (
        piece(
            r"\b(?:hold(?:ing)?|with)\s+(?:the\s+)?last\s*(?:rep(?:etition)?|one)?\s*(?:held\s*)?(?:for\s*)?(\d+)\s*s(?:ec)?\b"
            r"|\blast\s*(?:rep(?:etition)?|one)?\s*held\s*(?:for\s*)?(\d+)\s*s(?:ec)?\b"
            r"|\b(\d+)\s*s(?:ec)?\s*hold\s*(?:on|in|at)\s*(?:the\s+)?last(?:\s*rep(?:etition)?)?\b"
        ),
        take_held_last,
    ),
    (
        piece(
            r"(?:\blower(?:ing)?(?: only)?(?:,?\s*(?:for\s*)?"
            + SECONDS_OF % "s"
            + r")?|\b"
            + SECONDS_OF % "d"
            + r"\s*(?:down|eccentrics?|negatives?|lower(?:ing)?))\s*,?\s*(?:and\s+)?"
            r"then\s+(?:hold\s*(?:for\s*)?(?P<h>\d+)\s*s(?:ec)?\b|(?P<i>\d+)\s*s(?:ec)?\s*hold\b)"
        ),
        take_lower_then_hold,
    ),
    (
        piece(
            r"(?:\bat\s+|@\s*)?(?:(?<=\s)-(?P<minus>[1-3]?\d(?:[.,]\d+)?)\s*%|(?<![\d.])-?\s*(?P<less>\d+(?:[.,]\d+)?)\s*%\s*(?:less|lighter|off|below|down|under)\b"
            r"(?:\s*(?:it|that|(?:the\s*)?top(?:\s*set)?))?|\b(?P<of>\d+(?:[.,]\d+)?)\s*%\s*of\s*(?:it|that|(?:the\s*)?top"
            r"(?:\s*set)?)\b)"
        ),
        take_less,
    ),
    (
        piece(
            r"(?:\b(?P<n>\d+)\s*(?:x|sets?(?:\s*(?:x|of))?|clusters?(?:\s*(?:x|of))?)\s*)?(?<![\d.,])"
            r"(?P<parts>\d+(?:-\d+)?\b(?:\s*\+\s*\d+(?:-\d+)?\b)+)(?!\s*(?:kg|lb|%|s\b|sec|min|m\b))(?:\s*reps?\b)?"
        ),
        take_parts,
    ),
    (piece(r"\bclusters?(?:[- ]?sets?)?(?:\s*of)?\b"), take_cluster),
)


def settle_scheme(line: Line) -> None:
    """Says which scheme a line with parts means, and refuses what does not go together. After all pieces are taken."""
    parted = [one for one in line.sets if one.parts]
    if line.parted and not line.scheme and parted:
        first, second = parted[0].reps or (1, 1), parted[0].parts[0]
        if line.inside_s is None and len(parted[0].parts) == 1 and first == second:
            both = f"{first[0]}+{second[0]}"
            raise unreadable(
                f"'{both}'", f"'{first[0]} each side', or a cluster with its rest: 4 x ({both}), 20 s inside"
            )
        is_cluster = first[0] <= SHORT_PART or first[0] < LONGER * second[1]
        line.scheme = "cluster" if is_cluster else "rest-pause"
        text = re.sub(r"\s+", " ", parted[0].text).strip(" ,")
        line.guess(f"{text} was read as {'a cluster' if is_cluster else 'rest-pause'}")
    if line.scheme == "cluster" and not parted:
        raise unreadable("a cluster without its parts", "its parts, like 4 x (2+2+2), 20 s inside")
    if line.inside_s is not None and line.scheme not in ("cluster", "rest-pause", "drop"):
        raise unreadable("a rest inside", "a set in parts, like 4 x (2+2+2), 20 s inside, or rest-pause")
    if line.back_share is not None and len(line.sets) != 2:
        raise unreadable(
            "back-offs without a top set", "a top set and back-offs: top set of 5, then 3 x 5 at 10 % less"
        )
    if line.back_share is not None and line.scheme:
        raise unreadable("back-offs in another scheme", "one scheme a line")
    if line.scheme in ("cluster", "rest-pause") and line.inside_s is None:
        line.inside_s = INSIDE_S
        line.guess("20 s of rest inside each set")


def done_in(line: Line, one: Sets, scheme: Scheme, known: Mapping[str, SetScheme]) -> Scheme:
    """A scheme of the line done as the line says: in parts, with drops, with a hold at its end, or as an own scheme."""
    name = line.scheme
    if not name or name not in known:
        return scheme
    file = known[name]
    keeps = one.rir is not None or file.rir is None or line.easy or line.drop_last
    rir = scheme.rir if keeps else file.rir
    scheme = replace(scheme, rir=rir)
    if name == "cluster":
        parts = tuple(Stretch(reps=part, rest_s=line.inside_s or INSIDE_S) for part in one.parts)
        return replace(scheme, kind=name, inside=parts) if parts else scheme
    if name == "rest-pause":
        rest = line.inside_s or INSIDE_S
        if one.parts:
            return replace(scheme, kind=name, inside=tuple(Stretch(reps=part, rest_s=rest) for part in one.parts))
        later = line.later or file.pieces[-1].times
        return replace(scheme, kind=name, inside=(Stretch(rest_s=rest, left=True),) * later)
    if name == "drop":
        rest, drop = DROP_REST_S if line.inside_s is None else line.inside_s, line.drop or DROP
        count = len(one.parts) or line.drops or 1
        drops = []
        for number in range(1, count + 1):
            reps = one.parts[number - 1] if one.parts else None
            share = max(0.3, round((1.0 - drop) ** number, 3))
            drops.append(Stretch(reps=reps, rest_s=rest, load_share=share, left=reps is None))
        return replace(scheme, kind=name, inside=tuple(drops))
    if name in ("held-last-rep", "lowering-then-hold"):
        hold = Stretch(hold_s=line.end_hold_s or file.pieces[-1].hold_s)
        return replace(scheme, kind=name, inside=(hold,), lowering=file.lowering)
    if name == "two-angle-hold":
        return replace(scheme, kind=name, inside=(Stretch(hold_s=line.end_hold_s, angle_deg=line.second_angle),))
    if name == "double-progression":
        return replace(scheme, kind=name)
    made = scheme_as_written(file, scheme)
    return replace(made, reps=one.reps, rir=rir) if one.reps and made.reps else replace(made, rir=rir)


def named_in(text: str, known: Mapping[str, SetScheme]) -> tuple[str, str]:
    """(the line without the words that name a scheme, the name): own schemes, and packaged ones that need no detail."""
    packaged = packaged_schemes()
    for name, one in known.items():
        if name in packaged and known[name] == packaged[name] and name not in NEED_NO_DETAIL:
            continue
        for word in sorted(words_of(one), key=len, reverse=True):
            pattern = r"(?<!\w)" + r"[\s,-]+".join(re.escape(each) for each in word.split()) + r"(?!\w)"
            found = re.search(pattern, text, re.IGNORECASE)
            if found:
                return f"{text[: found.start()]}, {text[found.end() :]}", name
    return text, ""
