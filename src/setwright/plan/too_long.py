"""A written session that is longer than its minutes: what would be enough, tried by the time model. Nothing is cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

from setwright.plan.block import Unmet, Week
from setwright.plan.bout import Bout
from setwright.plan.bout_lines import heading_line
from setwright.plan.bout_sets import takes_turns
from setwright.plan.bout_time import like
from setwright.plan.compose import Context
from setwright.plan.formats import SHARED
from setwright.plan.session_time import session_minutes_of
from setwright.plan.template import Template, TemplateEntry, TemplateSession
from setwright.plan.trial import bare_parts


def too_long(template: Template, weeks: tuple[Week, ...], context: Context) -> list[Unmet]:
    """Sessions longer than their minutes, each with the fewest minutes more and the least work less that would do."""
    found = []
    for index, session in enumerate(template.sessions):
        taken = [week.sessions[index].minutes for week in weeks]
        cap = session.minutes_cap
        if cap is None or max(taken) <= cap + 1e-6:
            continue
        over = [week for week, minutes in enumerate(taken) if minutes > cap + 1e-6]
        ways = [f"{ceil(max(taken) - cap)} more min"]
        less = least_less(session, cap, over, len(weeks), context)
        ways += [less] if less else []
        text = f"As written it takes about {ceil(max(taken))} min. It was left as you wrote it."
        found.append(Unmet(f"{cap:g} min on {session.day}", f"{text} Enough would be {', or '.join(ways)}.", "T06"))
    return found


def least_less(session: TemplateSession, cap: float, over: list[int], weeks: int, context: Context) -> str:
    """The one entry that has to give the fewest minutes: sets of it, or all; empty where none is enough."""
    best: tuple[float, int, str] | None = None
    for number, (words, shorter) in enumerate(shorter_sessions(session, context)):
        minutes = [minutes_of(shorter, week, weeks, context) for week in over]
        if max(minutes) <= cap + 1e-6:
            left = max(minutes)
            if best is None or (-left, number) < best[:2]:
                best = (-left, number, words)
    return "" if best is None else best[2]


def minutes_of(session: TemplateSession, week: int, weeks: int, context: Context) -> float:
    """Minutes of a session in a week by the time model."""
    parts = bare_parts(session, week, weeks, context)
    return session_minutes_of(parts, context.catalogue, context.places[session.place])


def shorter_sessions(session: TemplateSession, context: Context) -> Iterator[tuple[str, TemplateSession]]:
    """Every session with some sets less of one entry, or without it, and how one says that."""
    for index, entry in enumerate(session.entries):
        if entry.part == "warm-up":
            continue
        name = context.catalogue.get(entry.exercise).name
        members = movements(session.entries, index)
        if any(one is not None and like(one) in SHARED for one in entry.bouts):
            yield from shorter_bout(session, members) if members[0] == index else ()
            continue
        most = max((one.sets for one in entry.schemes if one is not None), default=0)
        for sets in range(most - 1, 0, -1):
            fewer = with_sets(entry, sets)
            entries = (*session.entries[:index], fewer, *session.entries[index + 1 :])
            words = f"{sets} set{'' if sets == 1 else 's'} of {name} instead of {most}"
            yield words, replace(session, entries=entries)
        rest = (*session.entries[:index], *session.entries[index + 1 :])
        if any(one.part != "warm-up" for one in rest):
            yield f"no {name}", replace(session, entries=rest)


def shorter_bout(session: TemplateSession, members: Sequence[int]) -> Iterator[tuple[str, TemplateSession]]:
    """The session with fewer minutes or rounds of a bout, or without it: its movements always together."""
    bout = max((one for one in session.entries[members[0]].bouts if one is not None), key=length_of)
    whole = heading_line(bout).removesuffix(":")
    for length in range(length_of(bout) - 1, 0, -1):
        entries = list(session.entries)
        for number in members:
            entries[number] = at_length(entries[number], length)
        turned = takes_turns([entries[number] for number in members])
        for number, entry in zip(members, turned, strict=True):
            entries[number] = entry
        words = heading_line(shorter(bout, length)).removesuffix(":")
        yield f"{words} instead of {whole}", replace(session, entries=tuple(entries))
    rest = tuple(one for number, one in enumerate(session.entries) if number not in members)
    if any(one.part != "warm-up" for one in rest):
        yield f"no {whole}", replace(session, entries=rest)


def length_of(bout: Bout) -> int:
    """Minutes of a bout that the clock ends, rounds of any other."""
    if like(bout) == "as-many-rounds":
        return round((bout.time_s or 0.0) / 60.0)
    return bout.rounds or len(bout.ladder) or 1


def shorter(bout: Bout, length: int) -> Bout:
    """The bout with so many minutes or rounds at most."""
    if length >= length_of(bout):
        return bout
    if like(bout) == "as-many-rounds":
        return replace(bout, time_s=60.0 * length)
    time_s = bout.every_s * length if bout.every_s is not None else bout.time_s
    return replace(bout, rounds=None if bout.rounds is None else length, time_s=time_s, ladder=bout.ladder[-length:])


def at_length(entry: TemplateEntry, length: int) -> TemplateEntry:
    """A movement of a bout with so many minutes or rounds at most, in every week."""
    bouts = tuple(None if one is None else shorter(one, length) for one in entry.bouts)
    by_clock = any(one is not None and like(one) == "as-many-rounds" for one in bouts)
    return replace(entry if by_clock else with_sets(entry, length), bouts=bouts)


def movements(entries: Sequence[TemplateEntry], index: int) -> list[int]:
    """The numbers of the movements of one bout."""
    entry = entries[index]
    if entry.superset is None:
        return [index]
    return [
        number
        for number, one in enumerate(entries)
        if any(one.bouts) and (one.part, one.superset) == (entry.part, entry.superset)
    ]


def with_sets(entry: TemplateEntry, most: int) -> TemplateEntry:
    """An entry with at most so many sets in every week."""
    return replace(
        entry,
        schemes=tuple(None if one is None else replace(one, sets=min(one.sets, most)) for one in entry.schemes),
    )
