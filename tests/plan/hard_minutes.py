"""The checker's own reckoning of what a session takes, from the words of ``dose.minutes`` and ``plan.session_time``.

A set: repetitions at their tempo, holds, metres at 1 m/s, seconds, on each side, parts inside it with the short rests
before them, and 10 s to settle. Straight sets rest
between, not after the last. A superset goes round by round with 10 s from one to the other. Between entries 75 s, 40 s
at the same equipment, the set's own rest at the same lift, 10 s between drills of the warm-up.
"""

from __future__ import annotations

from itertools import groupby
from typing import Any

from exercise_facts import Facts, all_facts


def rep_seconds(tempo: str | None, usual: float) -> float:
    """Seconds of one repetition; an x counts half a second."""
    if not tempo:
        return usual
    return sum(0.5 if one.strip().lower() == "x" else float(one) for one in tempo.split("-"))


def set_seconds(one: Facts, planned: dict[str, Any]) -> float:
    """Seconds of one set without its rest."""
    usual = min(one.rep_s, 3.0) if planned["kind"] == "ramp" else one.rep_s
    later = planned.get("inside", [])
    reps = sum(sum(one["reps"]) / 2 for one in (planned, *later) if one.get("reps"))
    work = reps * rep_seconds(planned["tempo"], usual)
    work += sum((one.get("hold_s") or 0.0) + (one.get("rest_s") or 0.0) for one in later)
    work += sum(planned[key] or 0.0 for key in ("hold_s", "hold_after_s", "distance_m", "time_s"))
    return work * (2 if planned["per_side"] else 1) + 10.0


def straight(one: Facts, sets: list[dict[str, Any]]) -> float:
    return sum(set_seconds(one, s) for s in sets) + sum(s["rest_s"] for s in sets[:-1])


def in_turn(members: list[tuple[Facts, list[dict[str, Any]]]]) -> float:
    """Seconds of a superset."""
    rounds = max(len(sets) for _, sets in members)
    total = 0.0
    for number in range(rounds):
        here = [(set_seconds(one, sets[number]), sets[number]["rest_s"]) for one, sets in members if number < len(sets)]
        work = sum(seconds for seconds, _ in here) + 10.0 * (len(here) - 1)
        total += work
        if number < rounds - 1:
            still = max(0.0, *(rest - (work - own) for own, rest in here)) if len(here) > 1 else here[0][1]
            total += max(still, 10.0) if len(here) > 1 else still
    return total


def session_minutes(session: dict[str, Any]) -> float:
    """Minutes of a session as planned."""
    known = all_facts()
    seconds, last = 0.0, None
    for part in session["parts"]:
        keys = enumerate(part["entries"])
        for _, group in groupby(keys, key=lambda pair: pair[1]["superset"] or pair[0]):
            entries = [entry for _, entry in group]
            members = [(known[entry["exercise"]], entry["sets"]) for entry in entries]
            first = members[0][0]
            if part["part"] == "warm-up":
                seconds += 10.0
            elif last is not None and last.slug == first.slug and len(members) == 1:
                seconds += members[0][1][0]["rest_s"]
            elif last is not None:
                seconds += 40.0 if last.options[0] & first.options[0] else 75.0
            seconds += straight(*members[0]) if len(members) == 1 else in_turn(members)
            last = first
    return seconds / 60.0
