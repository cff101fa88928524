"""How hard conditioning is meant to be, as written: a pace, watts, a heart rate, or the talk test."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from setwright.plan.bout import Target

if TYPE_CHECKING:
    from setwright.plan.shorthand_line import Line

CLOCK = r"\d{1,2}:\d{2}(?:[.,]\d)?"
TO = r"\s*(?:-|to|and)\s*"
AT = r"(?:@|\bat|\bwith)?\s*"
SAID = r"(?P<%s>(?:whole|full|long|short)\s+sentences|single words|a few words|few words)"
PER = (
    r"\s*(?:/|per|a|an|for)\s*(?P<per>\d+(?:[.,]\d+)?)?\s*"
    r"(?P<pu>km|kilometres?|kilometers?|m|metres?|meters?|miles?|mi)\b"
)
PACE = re.compile(
    rf"(?:@|\bat|\bpace(?:\s*of)?)?\s*:?\s*(?P<a>{CLOCK})(?:{TO}(?P<b>{CLOCK}))?{PER}(?:\s*pace\b)?", re.IGNORECASE
)
IN_A_TIME = re.compile(
    rf"\b(?P<far>\d+(?:[.,]\d+)?)\s*(?P<fu>km|m|met(?:re|er)s?|miles?|mi)\b(?P<between>[^:]*?)"
    rf"\bin\s+(?P<a>{CLOCK})(?:{TO}(?P<b>{CLOCK}))?\b",
    re.IGNORECASE,
)
WATTS = re.compile(rf"(?:@|\bat)?\s*\b(?P<a>\d{{2,4}})(?:{TO}(?P<b>\d{{2,4}}))?\s*(?:w|watts?)\b", re.IGNORECASE)
HEART = re.compile(
    AT + r"(?:\b(?:a\s+)?(?:heart[- ]?rate|hr|pulse)\b\s*(?:of|at|from|between)?\s*:?\s*(?P<a>\d{2,3})"
    rf"(?:{TO}(?P<b>\d{{2,3}}))?(?!\s*%)(?:\s*(?:bpm|beats?(?: a minute)?))?"
    rf"|\b(?P<c>\d{{2,3}})(?:{TO}(?P<d>\d{{2,3}}))?\s*(?:bpm|beats? a minute)\b)",
    re.IGNORECASE,
)
SHARE = re.compile(
    AT + r"(?:\b(?:heart[- ]?rate|hr)\s*(?:of|at)?\s*:?\s*)?\b(?P<a>\d{2,3})\s*%?"
    rf"(?:{TO}(?P<b>\d{{2,3}}))?\s*%\s*(?:of\s*)?(?:the\s*|your\s*)?"
    r"(?:(?P<max>max(?:imum|imal)?\s*(?:heart[- ]?rate|hr|pulse)|hr\s*max|heart[- ]?rate max(?:imum)?)"
    r"|(?P<res>heart[- ]?rate reserve|hrr|hr reserve)|(?P<thr>threshold (?:heart[- ]?rate|hr|pulse)|lthr))\b",
    re.IGNORECASE,
)
TALK = re.compile(
    r"(?:\b(?:at|with)\s+)?(?:\btalk(?:ing)?(?:\s*test)?\s*[:,]?\s*" + SAID % "a" + r"|\b(?:you\s+can|able to|so that"
    r" you can)\s+(?:still\s+)?(?:talk|speak|say)\s*(?:in\s+)?" + SAID % "b" + r"?)\b",
    re.IGNORECASE,
)
METRES = {"k": 1000.0, "mi": 1609.344}
SLOWEST_S_PER_KM, FASTEST_S_PER_KM = 3600.0, 60.0
TALKED = {"full": "whole", "long": "whole", "whole": "whole", "short": "short"}


def take_piece_time(text: str, line: Line) -> str:
    """The text without the time that each piece of a distance is meant to take: ``6 x 400 m in 1:30`` is a pace."""
    found = IN_A_TIME.search(text)
    if found is None:
        return text
    line.target = paced(found, found.group("far"), found.group("fu"))
    start = found.end("between")
    return text[:start] + "," + " " * (found.end() - start - 1) + text[found.end() :]


def take_target(text: str, line: Line) -> str:
    """The text without its target, which is put on the line. Raises Unreadable for two, or for one out of reach."""
    for pattern, made in ((PACE, pace), (SHARE, share), (HEART, heart_rate), (WATTS, watts), (TALK, talk)):
        found = pattern.search(text)
        if found is None:
            continue
        if line.target is not None:
            raise refused("two targets", "one of pace, watts, heart rate or talk test")
        line.target = made(found)
        text = text[: found.start()] + "," + " " * (found.end() - found.start() - 1) + text[found.end() :]
    return text


def refused(found: str, allowed: str) -> Exception:
    """The fault of a line; imported late, since the line reads with these pieces."""
    from setwright.plan.shorthand_line import Unreadable

    return Unreadable(found, allowed)


def clock(text: str) -> float:
    """Seconds of ``2:05`` or ``1:58.5``."""
    minutes, _, rest = text.partition(":")
    return 60.0 * int(minutes) + float(rest.replace(",", "."))


def pace(found: re.Match[str]) -> Target:
    """A pace, as written: seconds for a distance."""
    return paced(found, found.group("per") or "1", found.group("pu"))


def paced(found: re.Match[str], far: str, unit: str) -> Target:
    """A pace of the clock times a and b over a distance; the faster end is the low one. Raises Unreadable."""
    unit = unit.lower()
    factor = 1000.0 if unit.startswith("k") else METRES["mi"] if unit.startswith("mi") else 1.0
    per_m = float(far.replace(",", ".")) * factor
    first = clock(found.group("a"))
    second = clock(found.group("b")) if found.group("b") else first
    low, high = sorted((first, second))
    per_km = (low * 1000.0 / per_m, high * 1000.0 / per_m) if per_m else (0.0, 0.0)
    if not per_m or per_km[0] < FASTEST_S_PER_KM or per_km[1] > SLOWEST_S_PER_KM:
        raise refused(found.group(0).strip(" ,@"), "a pace like 2:05 per 500 m or 5:30 per km")
    return Target("pace", low, high, per_m=per_m)


def watts(found: re.Match[str]) -> Target:
    """Watts on a machine that shows them."""
    low, high = ends(found)
    if not 10 <= low <= high <= 1500:
        raise refused(found.group(0).strip(" ,@"), "10 to 1500 W, the smaller number first")
    return Target("watts", low, high)


def heart_rate(found: re.Match[str]) -> Target:
    """Beats a minute."""
    first, second = found.group("a") or found.group("c"), found.group("b") or found.group("d")
    low = float(first)
    high = float(second or first)
    if not 60 <= low <= high <= 220:
        raise refused(found.group(0).strip(" ,@"), "a heart rate of 60 to 220, the smaller number first")
    return Target("heart rate", low, high)


def share(found: re.Match[str]) -> Target:
    """Shares of a maximum, a threshold or the reserve; beats a minute come from the person."""
    low, high = ends(found)
    if not 30 <= low <= high <= 110:
        raise refused(found.group(0).strip(" ,@"), "30 to 110 %, the smaller number first")
    of = "maximum" if found.group("max") else "reserve" if found.group("res") else "threshold"
    return Target("heart rate", of=of, share=(round(low / 100.0, 4), round(high / 100.0, 4)))


def talk(found: re.Match[str]) -> Target:
    """The talk test in words."""
    said = (found.group("a") or found.group("b") or "whole sentences").lower()
    first = said.split()[0]
    words = f"{TALKED[first]} sentences" if first in TALKED else "single words" if first == "single" else "a few words"
    return Target("talk", says=words)


def ends(found: re.Match[str]) -> tuple[float, float]:
    """The two ends of a range, equal where one number stands."""
    low = float(found.group("a"))
    return low, float(found.group("b") or low)
