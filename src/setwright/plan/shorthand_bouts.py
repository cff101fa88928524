"""Conditioning as a coach writes it: ``5 rounds for time, cap 15 min:``, ``as many rounds as possible in 12 min:``.

A heading says the format with its numbers; the movements stand below it, or behind its colon with commas between.
A format of the coach's own, or one with a name of its own, is named by its words: its numbers need not be written.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from setwright.plan.bout import Bout
from setwright.plan.formats import BUILT_IN, Format, words_of
from setwright.plan.shorthand_line import Line, Unreadable, clock_seconds, number, said
from setwright.plan.shorthand_targets import take_target

MINUTES = (
    r"(?:(?P<clock>\d{1,3}:\d{2})|(?P<t>\d+(?:[.,]\d+)?)\s*-?\s*(?P<unit>minutes?|mins?|seconds?|secs?|s|'|\"))"
    r"(?![a-z])"
)
ROUNDS = r"(?P<n>\d+)\s*(?:rounds?|rds?|times|x)\b"
MOST_ROUNDS, LONGEST_S, LONGEST_START_S = 100, 14_400.0, 1200.0
LADDER = r"(?P<ladder>\d+(?:\s*-\s*\d+){1,20})(?![\d:])"
WORK_REST = (
    r"(?P<w>\d+(?:[.,]\d+)?)\s*(?P<wu>s|sec|seconds|min|\"|')?\s*(?:on|work(?:ing)?)\s*(?:,|-|and)?\s*"
    r"(?P<r>\d+(?:[.,]\d+)?)\s*(?P<ru>s|sec|seconds|min|\"|')?\s*(?:off|rest|to change|changes?(?:over)?|between)\b"
)
# The seven, each by its words at the start of a heading; what stands before the words is looked at too.
HEADS: Mapping[str, str] = {
    "rounds-for-time": r"for time\b",
    "as-many-rounds": (r"amrap\b|as many (?:good )?rounds(?: and reps)? as (?:possible|you can|are good)\b"),
    "every-minute": r"emom\b|e(?P<e>\d+)mom\b|every minute(?:,? on the minute)?\b|on the minute\b"
    r"|every\s+(?=\d)(?:(?P<ec>\d{1,2}:\d{2})|(?P<et>\d+(?:[.,]\d+)?)\s*(?P<eu>minutes?|mins?|seconds?|secs?|s))(?![a-z])",
    "circuit": r"(?:circuit|stations?)\b",
}
ALLOWED: Mapping[str, str] = {
    "rounds-for-time": "5 rounds for time, or 21-15-9 for time, with a cap: cap 15 min",
    "as-many-rounds": "as many rounds as possible in 12 min",
    "every-minute": "every minute on the minute for 10 min, or every 90 s for 8 rounds",
    "circuit": "circuit, 3 rounds, 40 s work, 20 s to change",
}


@dataclass(frozen=True)
class BoutHead:
    """A heading as read: the bout, and what stands behind its colon; ``text`` is the heading itself."""

    bout: Bout
    rest: str
    text: str


def read_bout(line: str, formats: Mapping[str, Format]) -> BoutHead | None:
    """The bout that a line opens, or None. Raises Unreadable where its numbers are missing or wrong."""
    line = re.sub(r"^\s*(\d+)\s*rft\b", r"\1 rounds for time", line, flags=re.IGNORECASE)
    head, colon, rest = split_head(line)
    if re.fullmatch(rf"\s*{LADDER}\s*(?:\(?\s*(?:time\s*)?cap[^()]*\)?)?\s*:?\s*", rest, re.IGNORECASE):
        head, colon, rest = f"{head} {rest.strip(' :')}", "", ""
    for name in ("rounds-for-time", "as-many-rounds", "every-minute", "circuit"):
        found = re.search(rf"(?<![\w-])(?:{HEADS[name]})", head, re.IGNORECASE)
        if found is None or not opens(head[: found.start()], name):
            continue
        if name == "circuit" and not re.search(WORK_REST, head, re.IGNORECASE) and not timed_work(head):
            continue  # a circuit by repetitions is a superset
        return BoutHead(numbers_of(name, head, found, formats), rest.strip(), (head + colon).strip())
    return None


def split_head(line: str) -> tuple[str, str, str]:
    """The heading, its colon, and what follows; a colon inside a time (``1:30``) or after ``cap`` is none.

    After "heart rate" and "pace" it is one where no number follows.
    """
    for found in re.finditer(r":(?!\d\d)", line):
        opened = re.search(r"\b(?:cap|talk|talk test|(rate|pace))\s*$", line[: found.start()], re.IGNORECASE)
        if not opened or (opened[1] and not re.match(r"\s*\d", line[found.end() :])):
            return line[: found.start()], ":", line[found.end() :]
    return line, "", ""


def opens(before: str, name: str) -> bool:
    """True where nothing but numbers of a bout stands before its words: a name there makes a line of it."""
    left = re.sub(MINUTES, " ", before, flags=re.IGNORECASE)
    left = re.sub(ROUNDS, " ", left, flags=re.IGNORECASE)
    left = re.sub(LADDER, " ", left)
    left = re.sub(r"\b(?:of|in|a|an|the|x|reps?|then|intervals?)\b|[\s,;()+-]", " ", left, flags=re.IGNORECASE)
    return not left.strip()


def timed_work(head: str) -> bool:
    """True where a heading says how long the work at a station is."""
    return bool(
        re.search(r"\b\d+\s*(?:s|sec|seconds|min)\b\s*(?:each|per|at each|a station|stations?|of work|work)", head)
    )


def numbers_of(name: str, head: str, found: re.Match[str], formats: Mapping[str, Format]) -> Bout:
    """The bout of a heading with its numbers. Raises Unreadable."""
    usual = formats[name].usual
    line = Line()
    text = head[: found.start()] + " , " + head[found.end() :]
    text = take_target(text, line)
    target = line.target
    if name == "rounds-for-time":
        bout, text = for_time(text)
    elif name == "as-many-rounds":
        time_s, text = taken_time(text)
        if time_s is None:
            raise Unreadable(repr(head.strip()), ALLOWED[name])
        bout = Bout(name, time_s=time_s)
    elif name == "every-minute":
        bout, text = every_so_often(found, text, usual.every_s or 60.0)
    else:
        bout, text = by_station(head, text, usual.rest_s or 0.0)
    check_left(text, name)
    return replace(within(bout, head), target=target)


def for_time(text: str) -> tuple[Bout, str]:
    """Rounds, or a ladder of repetitions, and a cap."""
    cap: float | None = None
    found = re.search(r"(?:time\s*)?\bcap(?:ped)?\s*(?:at|of|:)?\s*" + MINUTES, text, re.IGNORECASE) or re.search(
        r"(?:\bwithin\s+|\bin at most\s+)?" + MINUTES + r"\s*(?:time\s*)?(?:cap\b|at most\b)", text, re.IGNORECASE
    )
    if found is None:
        found = re.search(r"\b(?:within|in at most)\s+" + MINUTES, text, re.IGNORECASE)
    if found:
        cap = seconds_of(found)
        text = text[: found.start()] + " " + text[found.end() :]
    ladder: tuple[int, ...] = ()
    steps = re.search(LADDER, text)
    if steps:
        ladder = tuple(int(one) for one in re.findall(r"\d+", steps.group("ladder")))
        text = text[: steps.start()] + " " + text[steps.end() :]
    rounds, text = taken_rounds(text)
    if ladder and rounds not in (None, len(ladder)):
        raise Unreadable(f"{rounds} rounds of {len(ladder)} numbers", "as many rounds as numbers")
    return Bout("rounds-for-time", rounds=len(ladder) or rounds or 1, time_s=cap, ladder=ladder), text


def every_so_often(found: re.Match[str], text: str, usual_s: float) -> tuple[Bout, str]:
    """A start every so often, for so many minutes or rounds."""
    every_s = usual_s
    if found.group("e"):
        every_s = 60.0 * int(found.group("e"))
    elif found.group("ec"):
        every_s = clock_seconds(found.group("ec"))
    elif found.group("et"):
        every_s = number(found.group("et")) * (60.0 if found.group("eu").lower().startswith("min") else 1.0)
    rounds, text = taken_rounds(text)
    time_s, text = taken_time(text)
    if rounds is None and time_s is None:
        bare = re.search(r"(?:\bx\s*|\bfor\s+)?\b(\d{1,2})\b(?!\s*[a-z])", text, re.IGNORECASE)
        if bare is None:
            raise Unreadable(repr(found.group(0).strip()), ALLOWED["every-minute"])
        rounds = int(bare.group(1))
        text = text[: bare.start()] + " " + text[bare.end() :]
    if rounds is not None and time_s is not None and rounds * every_s != time_s:
        raise Unreadable(f"{rounds} rounds in {said(time_s)}", f"one of both, or {said(rounds * every_s)}")
    if rounds is None and time_s is not None:
        rounds = round(time_s / every_s)
    if rounds is None or rounds < 1:
        raise Unreadable(repr(found.group(0).strip()), ALLOWED["every-minute"])
    return Bout("every-minute", rounds=rounds, every_s=every_s, time_s=rounds * every_s), text


def by_station(head: str, text: str, usual_rest_s: float) -> tuple[Bout, str]:
    """Rounds of stations with work and change by the clock."""
    both = re.search(WORK_REST, text, re.IGNORECASE)
    rest_s = usual_rest_s
    if both:
        unit, later = both.group("wu") or both.group("ru") or "s", both.group("ru") or both.group("wu") or "s"
        work_s = number(both.group("w")) * factor(unit)
        rest_s = number(both.group("r")) * factor(later)
        text = text[: both.start()] + " " + text[both.end() :]
    else:
        work = re.search(
            r"(?P<w>\d+)\s*(?P<wu>s|sec|seconds|min)\b\s*(?:each|per|at each|a station|stations?|of work|work)"
            r"(?:\s*station)?",
            text,
            re.IGNORECASE,
        )
        if work is None:
            raise Unreadable(repr(head.strip()), ALLOWED["circuit"])
        work_s = number(work.group("w")) * factor(work.group("wu"))
        text = text[: work.start()] + " " + text[work.end() :]
    rounds, text = taken_rounds(text)
    return Bout("circuit", rounds=rounds or 1, work_s=work_s, rest_s=rest_s), text


def factor(unit: str) -> float:
    """Seconds of a unit."""
    return 60.0 if unit.lower().startswith("min") or unit == "'" else 1.0


def seconds_of(found: re.Match[str]) -> float:
    """Seconds of a match of ``MINUTES``."""
    if found.group("clock"):
        return clock_seconds(found.group("clock"))
    return number(found.group("t")) * factor(found.group("unit"))


def taken_time(text: str) -> tuple[float | None, str]:
    """The first time in a text, s, and the text without it."""
    found = re.search(r"(?:\b(?:in|for|of)\s+)?" + MINUTES, text, re.IGNORECASE)
    if found is None:
        return None, text
    return seconds_of(found), text[: found.start()] + " " + text[found.end() :]


def taken_rounds(text: str) -> tuple[int | None, str]:
    """The number of rounds in a text, and the text without it."""
    found = re.search(r"(?:\bfor\s+)?" + ROUNDS, text, re.IGNORECASE) or re.search(r"\bx\s*(?P<n>\d+)\b", text)
    if found is None:
        return None, text
    return int(found.group("n")), text[: found.start()] + " " + text[found.end() :]


def check_left(text: str, name: str) -> None:
    """Raises Unreadable for figures or words of a heading that were not understood."""
    left = re.sub(r"\b(?:of|in|for|a|an|the|then|each|round|reps?|and|with|at|stations?|time)\b", " ", text, flags=re.I)
    left = re.sub(r"[\s,;:()+x-]+", " ", left).strip()
    if left:
        raise Unreadable(repr(left), f"a heading like: {ALLOWED[name]}")


def within(bout: Bout, head: str) -> Bout:
    """The bout, or Unreadable where a number of it is out of reach."""
    if bout.rounds is not None and not 1 <= bout.rounds <= MOST_ROUNDS:
        raise Unreadable(f"{bout.rounds} rounds", f"1 to {MOST_ROUNDS} rounds")
    if any(not 1 <= reps <= 200 for reps in bout.ladder):
        raise Unreadable("-".join(str(one) for one in bout.ladder), "1 to 200 repetitions a round")
    if bout.time_s is not None and not 30 <= bout.time_s <= LONGEST_S:
        raise Unreadable(repr(head.strip()), "30 s to 240 min")
    for value in (bout.every_s, bout.work_s):
        if value is not None and not 5 <= value <= LONGEST_START_S:
            raise Unreadable(repr(head.strip()), "5 s to 20 min of work, or between starts")
    return bout


def split_movements(text: str) -> list[str]:
    """The movements behind a colon: parted by commas, plus signs or ``then``; a decimal comma parts nothing."""
    pieces = re.split(r"\s*,(?!\d)\s*|\s*;\s*|\s+\+\s+|\s*\bthen\b\s*", text, flags=re.IGNORECASE)
    return [one.strip() for one in pieces if one.strip()]


def named_format(text: str, formats: Mapping[str, Format]) -> tuple[str, Format | None]:
    """(the line without the words that name a format with numbers of its own, that format)."""
    for name, one in formats.items():
        if name in BUILT_IN:
            continue
        for word in sorted(words_of(one), key=len, reverse=True):
            pattern = r"(?<!\w)" + r"[\s,-]+".join(re.escape(each) for each in word.split()) + r"(?!\w)"
            found = re.search(pattern, text, re.IGNORECASE)
            if found:
                return f"{text[: found.start()]}, {text[found.end() :]}", one
    return text, None


def eased_bout(bout: Bout, share: float) -> Bout:
    """The bout of an easy week: fewer rounds or minutes, by a share of them, and at least one."""
    rounds = None if bout.rounds is None else max(1, round(share * bout.rounds))
    time_s = bout.time_s
    if time_s is not None and bout.every_s is not None and rounds is not None:
        time_s = rounds * bout.every_s
    elif time_s is not None:
        time_s = max(60.0, 60.0 * round(share * time_s / 60.0))
    ladder = bout.ladder[-rounds:] if bout.ladder and rounds is not None else bout.ladder
    return replace(bout, rounds=rounds, time_s=time_s, ladder=ladder)
