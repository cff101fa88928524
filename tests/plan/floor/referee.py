"""An independent referee of a timetable: it reads the sessions and the place anew and knows nothing of the planner.

Every rule is checked by stepping through the seconds at which anything begins, or by comparing pairs: slow and plain.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from itertools import combinations, pairwise
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.dose.minutes import rest_window
from setwright.people.place import Place
from setwright.plan.block import Entry, Session
from setwright.plan.session_time import set_time

FREE_ORDER = {"assistance", "finisher", "loaded-mobility"}


def entries_with_part(session: Session) -> list[tuple[int, str, Entry]]:
    """(number of the part, its name, the entry), in the order of the sheet."""
    return [(number, part.part, entry) for number, part in enumerate(session.parts) for entry in part.entries]


def counted(place: Place) -> Counter[str]:
    """What the place has, counted again from its own lists."""
    there: Counter[str] = Counter(place.fixtures)
    for stack in place.stacks:
        there[stack.kind] += stack.count
    for bar in place.bars:
        there[f"{bar.kind} {bar.mass_kg:g} kg"] += bar.count
    for word, pieces in (("plate", place.plates), ("dumbbell", place.dumbbells), ("kettlebell", place.kettlebells)):
        for piece in pieces:
            there[f"{word} {piece.mass_kg:g} kg"] += piece.count
    for band in place.bands:
        there[f"band {band.name}"] += band.count
    return there


def faults(
    rows: Sequence[Mapping[str, Any]],
    sessions: Mapping[str, Session],
    place: Place,
    catalogue: Catalogue,
    arrives_s: Mapping[str, int] | None = None,
) -> list[str]:
    """Every rule that a timetable breaks, in words; empty where it keeps them all.

    rows : one a set: ``name``, ``visit``, ``entry``, ``set``, ``from_s``, ``to_s``; ``holds`` with ``use``, ``thing``,
        ``count``, ``from_s``, ``to_s``
    """
    found: list[str] = []
    for name, session in sessions.items():
        mine = [row for row in rows if row["name"] == name]
        found += everything_is_done(name, session, mine)
        found += nobody_is_in_two_places(name, mine)
        found += sets_take_their_time(name, session, mine, catalogue)
        found += rests_are_inside_their_windows(name, session, mine, catalogue)
        found += the_order_is_kept(name, session, mine)
        found += everything_needed_is_held(name, session, mine, catalogue)
        found += a_superset_holds_its_stations_throughout(name, session, mine)
        found += change_overs_are_kept(name, session, mine)
        if mine and min(row["from_s"] for row in mine) < (arrives_s or {}).get(name, 0):
            found.append(f"{name} starts before arriving")
    return found + nothing_is_taken_twice(rows, place)


def a_superset_holds_its_stations_throughout(
    name: str, session: Session, mine: Sequence[Mapping[str, Any]]
) -> list[str]:
    """It starts when everything is free: each thing is held from before its first set to the last that needs it."""
    entries = entries_with_part(session)
    by_visit: dict[int, list[Mapping[str, Any]]] = defaultdict(list)
    for row in mine:
        if entries[row["entry"]][2].superset and entries[row["entry"]][2].bout is None:
            by_visit[row["visit"]].append(row)
    wrong = []
    for here in by_visit.values():
        if len({row["entry"] for row in here}) < 2:
            continue
        start = min(row["from_s"] for row in here)
        for row in here:
            for hold in row["holds"]:
                if hold["from_s"] > start or hold["to_s"] < row["to_s"]:
                    wrong.append(f"{name}: a superset without {hold['thing']} from {start} to {row['to_s']}")
    return wrong


LEAST_CHANGE_S = 30  # between two exercises, same station or not; the time model takes 40 s and more


def change_overs_are_kept(name: str, session: Session, mine: Sequence[Mapping[str, Any]]) -> list[str]:
    """From one exercise to another that is no pair with it, outside the warm-up, there is time to change."""
    entries = entries_with_part(session)
    wrong = []
    for before, after in pairwise(sorted(mine, key=lambda row: row["from_s"])):
        (part_a, kind_a, a), (part_b, kind_b, b) = entries[before["entry"]], entries[after["entry"]]
        pair = part_a == part_b and a.superset and a.superset == b.superset
        if before["entry"] == after["entry"] or pair or "warm-up" in (kind_a, kind_b) or a.exercise == b.exercise:
            continue
        if after["from_s"] - before["to_s"] < LEAST_CHANGE_S:
            wrong.append(f"{name}: no time to change from {a.exercise} to {b.exercise}")
    return wrong


def the_past_is_kept(before: Sequence[Mapping[str, Any]], after: Sequence[Mapping[str, Any]], now_s: int) -> list[str]:
    """What had begun by now stands in the new timetable when and where it was, and nothing else begins before now."""

    def begun(rows: Sequence[Mapping[str, Any]]) -> set[tuple[Any, ...]]:
        return {
            (
                row["name"],
                row["entry"],
                row["set"],
                row["from_s"],
                row["to_s"],
                *sorted(h["thing"] for h in row["holds"]),
            )
            for row in rows
            if row["from_s"] <= now_s
        }

    lost, made = begun(before) - begun(after), begun(after) - begun(before)
    return [f"lost {one}" for one in sorted(lost)] + [f"made up {one}" for one in sorted(made)]


def faults_from_now(
    rows: Sequence[Mapping[str, Any]],
    sessions: Mapping[str, Session],
    place: Place,
    catalogue: Catalogue,
    now_s: int,
    done: Mapping[str, Collection[tuple[int, int]]],
) -> list[str]:
    """Every rule that a timetable breaks which goes on at ``now_s`` by what a log says is done.

    What is done stays done and is not planned again; what is not is to do from now on, or under way; of the past no
    more is asked, for a log tells no times. done : by name, (entry, number of the set)
    """
    found: list[str] = []
    for name, session in sessions.items():
        mine = [row for row in rows if row["name"] == name]
        later = [row for row in mine if row["from_s"] >= now_s]
        found += everything_is_done(name, session, mine) + nobody_is_in_two_places(name, mine)
        found += sets_take_their_time(name, session, mine, catalogue)
        found += the_order_is_kept(name, session, later, under_way(session, [r for r in mine if r["from_s"] < now_s]))
        found += everything_needed_is_held(name, session, later, catalogue)
        found += rests_are_inside_their_windows(name, session, later, catalogue)
        found += rests_from_now_are_no_shorter(name, session, mine, now_s)
        found += the_log_is_believed(name, session, mine, now_s, done.get(name))
    left = [{**row, "holds": [one for one in row["holds"] if one["to_s"] > now_s]} for row in rows]
    return found + nothing_is_taken_twice(left, place)


def under_way(session: Session, begun: Sequence[Mapping[str, Any]]) -> set[int]:
    """The entries that are begun, with all of a superset."""
    entries = entries_with_part(session)
    first = {row["entry"] for row in begun}
    pairs = {(entries[at][0], entries[at][2].superset) for at in first if entries[at][2].superset}
    return first | {at for at, (part, _, entry) in enumerate(entries) if (part, entry.superset) in pairs}


def rests_from_now_are_no_shorter(
    name: str, session: Session, mine: Sequence[Mapping[str, Any]], now_s: int
) -> list[str]:
    """The first set from now on rests from the one before as long as planned."""
    wrong = []
    for at, (_, part, entry) in enumerate(entries_with_part(session)):
        done = sorted((row for row in mine if row["entry"] == at), key=lambda row: row["from_s"])
        for before, after in pairwise(done):
            rest, planned = after["from_s"] - before["to_s"], entry.sets[before["set"] - 1].rest_s
            if before["from_s"] < now_s <= after["from_s"] and part != "warm-up" and rest < planned - 1e-6:
                wrong.append(f"{name}: {entry.exercise} rests {rest} s after now, not {planned}")
    return wrong


def the_log_is_believed(
    name: str,
    session: Session,
    mine: Sequence[Mapping[str, Any]],
    now_s: int,
    done: Collection[tuple[int, int]] | None,
) -> list[str]:
    """What is logged has begun by now; a working set that is not logged is under way at most."""
    if done is None:
        return []
    entries = entries_with_part(session)
    wrong = []
    for row in mine:
        part = entries[row["entry"]][1]
        is_logged = (row["entry"], row["set"]) in done
        if is_logged and row["from_s"] > now_s:
            wrong.append(f"{name}: {row['exercise']} {row['set']} is logged and planned again")
        if not is_logged and part != "warm-up" and row["kind"] != "ramp" and row["to_s"] <= now_s:
            wrong.append(f"{name}: {row['exercise']} {row['set']} is not logged and not to do")
    return wrong


def everything_is_done(name: str, session: Session, mine: Sequence[Mapping[str, Any]]) -> list[str]:
    """Every set of every entry once, and nothing else; a bout of conditioning is one row for its first entry."""
    wanted: Counter[tuple[int, int]] = Counter()
    bouts: set[str] = set()
    for at, (_, _, entry) in enumerate(entries_with_part(session)):
        if entry.bout is None:
            wanted.update((at, number) for number in range(1, len(entry.sets) + 1))
        elif (entry.superset or str(at)) not in bouts:
            bouts.add(entry.superset or str(at))
            wanted[(at, 1)] += 1
    got = Counter((row["entry"], row["set"]) for row in mine)
    return [] if wanted == got else [f"{name}: sets wanted {wanted - got}, too many {got - wanted}"]


def nobody_is_in_two_places(name: str, mine: Sequence[Mapping[str, Any]]) -> list[str]:
    """No two sets of one person overlap."""
    return [
        f"{name} does {a['exercise']} and {b['exercise']} at once"
        for a, b in combinations(mine, 2)
        if a["from_s"] < b["to_s"] and b["from_s"] < a["to_s"]
    ]


def sets_take_their_time(
    name: str, session: Session, mine: Sequence[Mapping[str, Any]], catalogue: Catalogue
) -> list[str]:
    """Every set gets the seconds of the time model, and less than a second more."""
    entries = entries_with_part(session)
    wrong = []
    for row in mine:
        entry = entries[row["entry"]][2]
        if entry.bout is None:
            work = set_time(entry.sets[row["set"] - 1], catalogue.get(entry.exercise)).work_s
            if not work - 1e-6 <= row["to_s"] - row["from_s"] < work + 1:
                wrong.append(f"{name}: {entry.exercise} takes {row['to_s'] - row['from_s']} s instead of {work}")
    return wrong


def rests_are_inside_their_windows(
    name: str, session: Session, mine: Sequence[Mapping[str, Any]], catalogue: Catalogue
) -> list[str]:
    """From planned to the longest that serves; the rhythm of a superset may lengthen a rest, never shorten it."""
    wrong = []
    for at, (_, part, entry) in enumerate(entries_with_part(session)):
        if entry.bout is not None or part == "warm-up":
            continue
        done = sorted((row for row in mine if row["entry"] == at), key=lambda row: row["set"])
        for before, after in pairwise(done):
            planned = entry.sets[before["set"] - 1]
            rest = after["from_s"] - before["to_s"]
            big = catalogue.get(entry.exercise).load_capacity >= 4
            longest = rest_window(planned.reps[1] if planned.reps else None, big, planned.rest_s)[1]
            if rest < planned.rest_s - 1e-6 or (not entry.superset and rest > longest + 1e-6):
                wrong.append(f"{name}: {entry.exercise} rests {rest} s, not {planned.rest_s} to {longest}")
    return wrong


def the_order_is_kept(
    name: str, session: Session, mine: Sequence[Mapping[str, Any]], begun: Collection[int] = ()
) -> list[str]:
    """Parts one after another, entries as written but inside assistance, finishers and loaded mobility.

    begun : entries that are under way, and so may go on before what was missed
    """
    entries = entries_with_part(session)
    wrong = []
    for a, b in combinations(mine, 2):
        (part_a, kind, entry_a), (part_b, _, entry_b) = entries[a["entry"]], entries[b["entry"]]
        together = entry_a.superset and entry_a.superset == entry_b.superset and part_a == part_b
        if a["entry"] == b["entry"]:
            before = a["set"] < b["set"]
        elif part_a == part_b and (together or kind in FREE_ORDER):
            continue
        else:
            before = a["entry"] < b["entry"]
        early, late = (a, b) if before else (b, a)
        if late["entry"] in begun and late["entry"] != early["entry"]:
            continue
        if early["to_s"] > late["from_s"]:
            wrong.append(f"{name}: {late['exercise']} comes before {early['exercise']}")
    return wrong


STATIONS = ("rack", "cable", "pullup_bar", "dip_bars", "bike", "rower", "roman_chair", "nordic_anchor")


def everything_needed_is_held(
    name: str, session: Session, mine: Sequence[Mapping[str, Any]], catalogue: Catalogue
) -> list[str]:
    """Through each set: its station where no other will do, its bar, and the weights that its words name.

    Only easy minutes of a warm-up may be done another way, and then that way's station is needed.
    """
    entries = entries_with_part(session)
    wrong = []
    for row in mine:
        _, part, entry = entries[row["entry"]]
        done = catalogue.get(row["done_as"] or entry.exercise)
        if row["done_as"] and (part, done.mode, catalogue.get(entry.exercise).mode) != ("warm-up", "cyclic", "cyclic"):
            wrong.append(f"{name}: {done.slug} in the place of {entry.exercise}")
        through = [one for one in row["holds"] if one["from_s"] <= row["from_s"] and one["to_s"] >= row["to_s"]]
        held = Counter({one["thing"].partition(" #")[0]: one["count"] for one in through})
        options = done.equipment
        always = frozenset.intersection(*options) if options else frozenset[str]()
        for token in always:
            if (token in STATIONS or token.startswith("machine:")) and not held[token]:
                wrong.append(f"{name}: {entry.exercise} without {token}")
            if token in ("barbell", "hexbar") and not any(one.startswith(f"{token} ") for one in held):
                wrong.append(f"{name}: {entry.exercise} without a {token}")
        if entry.bout is None:
            for thing, count in weights_in_words(entry.sets[row["set"] - 1].pieces).items():
                if held[thing] < count:
                    wrong.append(f"{name}: {entry.exercise} with {held[thing]} of {count} {thing}")
    return wrong


def weights_in_words(pieces: str) -> Counter[str]:
    """Plates and dumbbells read from the words of a load: ``20 + 5 a side``, ``2 dumbbells of 8 kg``."""
    found: Counter[str] = Counter()
    if side := re.fullmatch(r"([\d. +]+) a side(, collars)?(, on the bar of [\d.]+ kg)?", pieces):
        found.update({f"plate {float(kg):g} kg": 0 for kg in side[1].split(" + ")})
        for kg in side[1].split(" + "):
            found[f"plate {float(kg):g} kg"] += 2
    elif two := re.fullmatch(r"2 dumbbells of ([\d.]+) kg", pieces):
        found[f"dumbbell {float(two[1]):g} kg"] = 2
    elif one := re.fullmatch(r"([\d.]+) kg dumbbell", pieces):
        found[f"dumbbell {float(one[1]):g} kg"] = 1
    return found


def nothing_is_taken_twice(rows: Sequence[Mapping[str, Any]], place: Place) -> list[str]:
    """At each second that something is taken up, no more of it is held than there is; numbers are single pieces."""
    there = counted(place)
    held: dict[str, set[tuple[int, int, int, str]]] = defaultdict(set)
    for row in rows:
        for hold in row["holds"]:
            key = f"{row['name']}/{row['visit']}/{hold['use']}"
            held[hold["thing"]].add((hold["from_s"], hold["to_s"], hold["count"], key))
    wrong = []
    for thing, holds in held.items():
        kind, mark, _ = thing.partition(" #")
        room = 1 if mark else there[kind]
        if mark and int(thing.rpartition("#")[2]) > there[kind]:
            wrong.append(f"there is no {thing}")
        for at in sorted({one[0] for one in holds}):
            level = sum(one[2] for one in holds if one[0] <= at < one[1])
            if level > room:
                wrong.append(f"{thing}: {level} of {room} held at {at} s")
    return wrong
