"""A bout as it stands in a session: repetitions round by round, the target in this person's numbers, likely minutes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Trainee
from setwright.plan.block import Entry, Part, PlannedSet
from setwright.plan.bout import Bout
from setwright.plan.bout_time import likely_s
from setwright.plan.session_time import groups_of
from setwright.plan.template import TemplateEntry
from setwright.strength.heart_rate import P90_SDS, beats_for, maximum_of


def for_person(bout: Bout | None, trainee: Trainee, year: int) -> Bout | None:
    """The bout with shares of a heart rate as beats a minute of this person, and what they rest on."""
    target = None if bout is None else bout.target
    if bout is None or target is None or target.share is None:
        return bout
    beats = beats_for(target.of, target.share, trainee, year)
    if beats is None:
        missing = "a resting heart rate" if target.of == "reserve" else "a threshold heart rate"
        return replace(bout, target=replace(target, note=f"No {missing[2:]} on file: go by the talk test."))
    low, high = beats
    highest, is_measured = maximum_of(trainee, year)
    note = f"Give or take {P90_SDS * high.sd:.0f} beats"
    if target.of != "threshold" and not is_measured:
        note += f": the highest, {highest.mean:.0f}, is by age. The talk test decides"
    made = replace(target, low=float(round(low.mean)), high=float(round(high.mean)), note=f"{note}.")
    return replace(bout, target=made)


def in_ladder(sets: Sequence[PlannedSet], bout: Bout | None) -> tuple[PlannedSet, ...]:
    """The sets with the repetitions of each round, where the rounds change; a distance or a time stays."""
    if bout is None or not bout.ladder or len(sets) != len(bout.ladder):
        return tuple(sets)
    return tuple(
        replace(one, reps=(reps, reps)) if one.reps else one for one, reps in zip(sets, bout.ladder, strict=True)
    )


def with_likely_times(parts: Sequence[Part], catalogue: Catalogue) -> tuple[Part, ...]:
    """The parts with how long each bout for time likely takes."""
    return tuple(
        replace(part, entries=tuple(one for group in groups_of(part.entries) for one in timed(group, catalogue)))
        if any(entry.bout for entry in part.entries)
        else part
        for part in parts
    )


def timed(group: Sequence[Entry], catalogue: Catalogue) -> list[Entry]:
    """The entries of one bout with its likely time; others as they are."""
    found = likely_s(group, catalogue) if group[0].bout else None
    if found is None:
        return list(group)
    return [one if one.bout is None else replace(one, bout=replace(one.bout, likely_s=found)) for one in group]


def takes_turns(entries: Sequence[TemplateEntry]) -> list[TemplateEntry]:
    """The movements of an every-minute bout, each with its share of the minutes: they take turns."""
    made = []
    for number, entry in enumerate(entries):
        schemes = []
        for week, scheme in enumerate(entry.schemes):
            bout = entry.bout(week)
            if scheme is not None and bout is not None and bout.format == "every-minute" and bout.rounds:
                scheme = replace(scheme, sets=max(1, len(range(number, bout.rounds, len(entries)))))
            schemes.append(scheme)
        made.append(replace(entry, schemes=tuple(schemes)))
    return made
