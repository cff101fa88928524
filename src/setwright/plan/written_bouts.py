"""The movements of a written bout: what one round asks of each, week by week, and what a line of its own is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.exercise import Exercise
from setwright.plan.bout import Bout
from setwright.plan.bout_sets import takes_turns
from setwright.plan.formats import Format
from setwright.plan.shorthand_bouts import eased_bout
from setwright.plan.shorthand_line import Line, Sets, Unreadable
from setwright.plan.template import Scheme, TemplateEntry

EASY_SHARE = 0.6  # of rounds or minutes in an easy week, as of sets (common practice, no published source)
ROUND_ALLOWED: Mapping[str, str] = {
    "circuit": "the movement alone: its work is by the clock of the heading",
    "": "what one round asks, like '10 push-ups', '200 m run' or 'plank 30 s'",
}


def check_movement(line: Line, bout: Bout) -> None:
    """Raises Unreadable where a movement of a bout says what belongs in the heading, or says no amount."""
    by_clock = bout.work_s is not None
    allowed = ROUND_ALLOWED["circuit" if by_clock else ""]
    if not line.name:
        raise Unreadable("no name of an exercise", allowed)
    if line.target is not None:
        raise Unreadable("a target at one movement", "the target in the heading, or a line of its own")
    if line.rest_s is not None or line.every_s is not None:
        raise Unreadable("a rest inside a round", "the movements one after another; rests stand in the heading")
    if line.scheme:
        raise Unreadable(line.scheme.replace("-", " "), "plain repetitions, metres or seconds in a round")
    if len(line.sets) > 1:
        raise Unreadable("several doses", allowed)
    one = line.sets[0] if line.sets else None
    if one is not None and (one.count or 1) > 1:
        raise Unreadable(f"{one.count} sets", f"{allowed}; the rounds stand in the heading")
    has_amount = one is not None and (one.reps is not None or one.timed())
    if by_clock and one is not None and has_amount:
        raise Unreadable(repr(one.text.strip(" ,")), allowed)
    if not by_clock and not has_amount and not bout.ladder:
        found = "max" if one is not None and one.most else "no amount"
        raise Unreadable(found, allowed)


# What a bare verb means where metres or minutes stand with it.
MACHINE_WORDS: Mapping[str, str] = {"row": "rower", "rows": "rower", "rowing": "rower", "ski": "ski machine"}


def by_machine(line: Line) -> None:
    """Reads ``500 m row`` as the rowing machine: a row of repetitions is another exercise."""
    meant = MACHINE_WORDS.get(line.name.lower())
    if meant is None or not any(one.distance_m or one.time_s for one in line.sets):
        return
    if line.full_name == line.name:
        line.full_name = meant
    line.guess(f"{line.name!r} with metres or minutes was read as {meant}")
    line.name = meant


def fill_from(line: Line, named: Format) -> None:
    """Puts the numbers of a named format on a line that says none. Raises Unreadable where it says others."""
    if named.like not in ("intervals", "steady", "carries-and-sled"):
        raise Unreadable(named.title, "this format as a heading, with its movements behind a colon")
    if line.sets and any(one.timed() or one.reps for one in line.sets):
        raise Unreadable(f"{named.title} and other numbers", "the format alone: its numbers are its own")
    usual = named.usual
    line.format = named.name
    line.sets = [Sets(count=usual.rounds or 1, time_s=usual.work_s or usual.time_s)]
    line.rest_s = usual.rest_s if line.rest_s is None else line.rest_s


def line_bout(exercise: Exercise, line: Line) -> Bout | None:
    """The bout that a line of its own is, or None where it says nothing beyond plain sets.

    A named format, a target, a start every so often, and metres on a machine or on foot make a bout.
    """
    alone = line.superset is None
    far = alone and exercise.mode == "cyclic" and any(one.distance_m is not None for one in line.sets)
    if not (line.format or line.target or line.every_s or far):
        return None
    by_distance = exercise.mode == "carry" or exercise.pattern == "sled" or exercise.measured_in == "metres"
    if line.every_s is not None and any(one.reps is not None for one in line.sets):
        kind = "every-minute"
    elif by_distance:
        kind = "carries-and-sled"
    else:
        kind = "intervals" if sum(one.count or 1 for one in line.sets) > 1 else "steady"
    if line.target is not None and exercise.mode != "cyclic" and not by_distance:
        raise Unreadable("a target of pace, watts, heart rate or talk", "such a target at conditioning work only")
    return Bout(line.format or kind, every_s=line.every_s, target=line.target)


def as_machine_work(exercise: Exercise, scheme: Scheme) -> Scheme:
    """Metres on a machine or on foot are a piece of work, not a carry; one piece needs no rest."""
    if exercise.mode != "cyclic" or scheme.kind not in ("carry", "interval"):
        return scheme
    return replace(scheme, kind="interval", rir=None, rest_s=scheme.rest_s if scheme.sets > 1 else 0.0)


def in_bout(
    exercise: Exercise, line: Line, bout: Bout, weeks: Sequence[tuple[bool, bool]]
) -> tuple[tuple[Scheme | None, ...], tuple[Bout | None, ...]]:
    """The scheme and the bout of each week, by whether the movement is done in it and whether the week is easy."""
    schemes: list[Scheme | None] = []
    bouts: list[Bout | None] = []
    for is_done, is_easy in weeks:
        mine = eased_bout(bout, EASY_SHARE) if is_easy else bout
        schemes.append(round_scheme(exercise, line, mine) if is_done else None)
        bouts.append(mine if is_done else None)
    return tuple(schemes), tuple(bouts)


def round_scheme(exercise: Exercise, line: Line, bout: Bout) -> Scheme:
    """What a round asks of one movement: repetitions, metres, seconds; no rest beyond the format's.

    As many rounds as possible are one set: how many it becomes is the score. Twenty lunges are twenty in all.
    """
    one = line.sets[0] if line.sets else Sets()
    rounds = 1 if bout.format == "as-many-rounds" else bout.rounds or 1
    side = exercise.is_counted_each_side(in_reps=False) if line.per_side is None else line.per_side
    plain = Scheme(
        "straight", rounds, rir=one.rir, rest_s=bout.rest_s or 0.0, load_kg=one.load_kg, pct=one.pct, per_side=side
    )
    held = exercise.measured_in == "seconds" and exercise.mode != "cyclic"
    seconds = bout.work_s if bout.work_s is not None else one.time_s if one.time_s is not None else one.hold_s
    if seconds is not None:
        if held or one.hold_s is not None:
            return replace(plain, kind="hold", hold_s=seconds)
        return replace(plain, kind="interval", time_s=seconds)
    if one.distance_m is not None:
        return replace(plain, kind="interval" if exercise.mode == "cyclic" else "carry", distance_m=one.distance_m)
    reps = one.reps or (bout.ladder[0], bout.ladder[0])
    return replace(plain, reps=reps)


def settled(made: Sequence[list[TemplateEntry]]) -> list[list[TemplateEntry]]:
    """The entries with the bouts settled: one of one movement has no letter, in an every-minute one they take turns."""
    letters = [entries[0].superset for entries in made if entries[0].bouts]
    found = []
    for entries in made:
        letter = entries[0].superset
        if not entries[0].bouts or letter is None:
            found.append(list(entries))
        elif letters.count(letter) == 1:
            found.append([replace(one, superset=None) for one in entries])
        else:
            mates = [one[0] for one in made if one[0].bouts and one[0].superset == letter]
            found.append([takes_turns(mates)[mates.index(entries[0])]])
    return found
