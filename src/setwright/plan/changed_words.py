"""What differs between an entry and the one that took its place, in a coach's words."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Entry, PlannedSet

Told = tuple[str, ...]


def changed_words(old: Entry | None, new: Entry | None, catalogue: Catalogue) -> Told:
    """Each thing that differs, the weightiest first, masses in kg; empty where the same is planned.

    Reasons, cautions and alternatives are no part of the plan.
    """
    if old is None or new is None:
        return () if old is new else ("new",) if old is None else ("taken out",)
    if old.exercise != new.exercise:
        return ("another exercise",)
    before, after = old.working_sets, new.working_sets
    found = [
        count_words(len(before), len(after)),
        dose_words(before, after),
        load_words(before, after),
        span_words("RPE", efforts(before), efforts(after)),
        span_words("rest", rests(before), rests(after)),
        span_words("tempo", tempos(before), tempos(after)),
        "" if old.scheme == new.scheme else f"sets as {new.scheme.replace('-', ' ')}",
        "" if old.dials == new.dials else "other settings",
        "" if old.superset == new.superset else "out of its superset" if new.superset is None else "in a superset",
        filler_words(old, new, catalogue),
    ]
    told = tuple(one for one in found if one)
    if not told and [plain(one) for one in old.sets] != [plain(one) for one in new.sets]:
        return ("other sets" if [plain(one) for one in before] != [plain(one) for one in after] else "other ramp sets",)
    return told


def plain(one: PlannedSet) -> tuple[object, ...]:
    """What is done in a set, without how likely it is and what is said of it."""
    return (one.kind, one.reps, one.hold_s, one.hold_after_s, one.distance_m, one.time_s, one.load_kg, one.inside)


def count_words(before: int, after: int) -> str:
    """``1 set more``, ``2 sets fewer``, or an empty text."""
    gap = abs(after - before)
    return "" if not gap else f"{gap} {'set' if gap == 1 else 'sets'} {'more' if after > before else 'fewer'}"


def dose_of(one: PlannedSet) -> str:
    """What a set asks for: ``5-6 reps``, ``20 s``, ``40 m``; empty where it asks for none of them."""
    if one.reps is not None:
        low, high = one.reps
        return f"{low if low == high else f'{low}-{high}'} reps"
    for value, unit in ((one.hold_s, "s"), (one.distance_m, "m"), (one.time_s, "s")):
        if value:
            return f"{value:g} {unit}"
    return ""


def dose_words(before: Sequence[PlannedSet], after: Sequence[PlannedSet]) -> str:
    """``5-6 reps, not 4-6``, or an empty text."""
    old, new = ([*dict.fromkeys(dose_of(one) for one in some)] for some in (before, after))
    if old == new:
        return ""
    unit = new[-1].rpartition(" ")[2] if new else ""
    return f"{', '.join(new) or 'none'}, not {', '.join(old).removesuffix(f' {unit}') or 'none'}"


def load_words(before: Sequence[PlannedSet], after: Sequence[PlannedSet]) -> str:
    """``2.5 kg more``, ``other loads`` where the sets do not move together, or an empty text."""
    old, new = ([one.load_kg for one in some] for some in (before, after))
    if [*dict.fromkeys(old)] == [*dict.fromkeys(new)]:
        return ""
    gaps = {round(b - a, 3) for a, b in zip(old, new, strict=False) if a is not None and b is not None}
    if len(gaps) != 1 or None in (*old, *new):
        return "other loads"
    gap = gaps.pop()
    if not gap:
        return "other loads"
    of_help = " of help" if after[0].load_means == "assistance" else ""
    return f"{abs(gap):g} kg{of_help} {'more' if gap > 0 else 'less'}"


def efforts(some: Sequence[PlannedSet]) -> list[str]:
    """The efforts of sets, each once."""
    return [*dict.fromkeys(f"{one.rpe:g}" for one in some if one.rpe is not None)]


def rests(some: Sequence[PlannedSet]) -> list[str]:
    """The rests of sets, each once."""
    return [*dict.fromkeys(f"{one.rest_s:g} s" for one in some if one.rest_s)]


def tempos(some: Sequence[PlannedSet]) -> list[str]:
    """The tempos of sets, each once."""
    return [*dict.fromkeys(one.tempo for one in some if one.tempo)]


def span_words(what: str, before: Sequence[str], after: Sequence[str]) -> str:
    """``RPE 8, not 7``, or an empty text."""
    if before == after:
        return ""
    return f"{what} {', '.join(after) or 'none'}, not {', '.join(before) or 'none'}"


def filler_words(old: Entry, new: Entry, catalogue: Catalogue) -> str:
    """What became of the filler of an entry, or an empty text."""
    was, now = (one.filler.exercise if one.filler else "" for one in (old, new))
    if was == now:
        return ""
    return f"filler {catalogue.get(now).name}" if now else "no filler"
