"""The block as it was before a restriction, read from its own changes where no earlier revision is at hand.

What a change says of an entry is its exercise, its sets and its load; that is dosed anew, never above the old load. All
else of the entry (rests, effort, filler) is that of what stands in its place now.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.exercise import Exercise, PartName
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Day, Restriction
from setwright.plan.arrange import parts_with
from setwright.plan.as_template import scheme_as, scheme_of
from setwright.plan.block import Block, Change, Entry, Session, Week
from setwright.plan.clearance import for_whole_block
from setwright.plan.compose import Context, planned_sets
from setwright.plan.gates import who_set
from setwright.plan.restrict import in_words, without_old_limits
from setwright.plan.template import Scheme
from setwright.strength.estimates import Estimates

DOSE = re.compile(
    r"(?P<sets>\d+) x (?P<low>[\d.]+)(?:-(?P<high>\d+))?(?P<unit> s hold| m| s)?"
    r"(?:, (?P<load>[\d.]+) kg(?: each hand| in one hand)?)?(?:, [\d.]+ to [\d.]+ degrees)?(?:, \w+ side only)?"
)
TO_ITS_OWN = re.compile(r"(?P<name>.+) in superset (?P<letter>[A-Z])")
USUAL_REST_S, USUAL_RIR = 120.0, 3.0


def block_before(block: Block, restriction: Restriction, catalogue: Catalogue, estimates: Estimates) -> Block | None:
    """The block without a restriction, as its changes tell; None where they tell nothing of it."""
    rows = [one for one in block.changes if who_set(restriction) in one.why]
    if not rows:
        return None
    trainee = block.inputs.trainee
    trainee = replace(trainee, restrictions=tuple(one for one in trainee.restrictions if one.id != restriction.id))
    brief = block.inputs.brief
    places = {place.id: place for place in block.inputs.places}
    context = Context(
        for_whole_block(trainee, brief.start, len(block.weeks)), places, brief, catalogue, estimates, brief.start
    )
    homes = homes_in(block, catalogue)
    weeks = tuple(week_before(week, block.changes, rows, homes, context) for week in block.weeks)
    return replace(
        block,
        weeks=weeks,
        inputs=replace(block.inputs, trainee=trainee),
        cautions=tuple(without_old_limits(block.cautions)),
        unmet=tuple(one for one in block.unmet if who_set(restriction) not in one.why),
    )


def homes_in(block: Block, catalogue: Catalogue) -> dict[tuple[Day, str], PartName]:
    """The part of its day in which an exercise stands wherever the block still has it, by its name."""
    return {
        (session.day, catalogue.get(entry.exercise).name): part.part
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
        if part.part != "warm-up"
    }


def week_before(
    week: Week,
    every: Sequence[Change],
    rows: Sequence[Change],
    homes: Mapping[tuple[Day, str], PartName],
    context: Context,
) -> Week:
    """A week with what its changes say stood there."""
    sessions = []
    for session in week.sessions:
        mine = [one for one in rows if (one.week, one.session) == (week.number, session.day)]
        apart = [one for one in every if (one.week, one.session) == (week.number, session.day)]
        made = session
        for row in mine:
            made = with_old_entry(made, row, homes.get((session.day, row.entry)), context)
        sessions.append(with_old_supersets(made, apart, context.catalogue) if mine else session)
    return replace(week, sessions=tuple(sessions))


def with_old_entry(session: Session, row: Change, home: PartName | None, context: Context) -> Session:
    """The session with one entry as it was: in the place of what stands in for it, else at the end of its part.

    home : the part where it stands in other weeks, None where it stands in none
    """
    known = context.catalogue
    exercise = next((one for one in known.values() if one.name == row.entry), None)
    dose = DOSE.fullmatch(row.from_.removeprefix(f"{row.entry}, "))
    if exercise is None or dose is None:
        return session
    place = context.places[session.place]
    parts = list(session.parts)
    for at, part in enumerate(parts):
        for spot, entry in enumerate(part.entries):
            if in_words(entry, known) == row.to:
                old = old_entry(exercise, dose, part.part, entry, place, context)
                entries = (*part.entries[:spot], old, *part.entries[spot + 1 :])
                parts[at] = replace(part, entries=entries)
                return replace(session, parts=tuple(parts))
    if row.to != "rests":
        return session
    if dose["sets"] == "1" and "warm-up" in exercise.parts:
        home = "warm-up"
    home = home or likely_home(exercise)
    old = old_entry(exercise, dose, home, None, place, context)
    return replace(session, parts=parts_with(session.parts, home, old))


def likely_home(exercise: Exercise) -> PartName:
    """The part where an exercise most likely stood: range work at the end, other work among the assistance."""
    first: tuple[PartName, ...] = ("loaded-mobility", "assistance") if "mobility" in exercise.mode else ("assistance",)
    return next(part for part in (*first, *exercise.parts) if part in exercise.parts)


def old_entry(
    exercise: Exercise, dose: re.Match[str], part: PartName, now: Entry | None, place: Place, context: Context
) -> Entry:
    """The entry that a change tells of, dosed by what is known today and never above its old load."""
    usual = None if now is None else scheme_of(now)
    usual = usual or Scheme("straight", 1, reps=(8, 10), rir=USUAL_RIR, rest_s=USUAL_REST_S)
    low, high = float(dose["low"]), float(dose["high"] or dose["low"])
    scheme = replace(scheme_as(exercise, usual), sets=int(dose["sets"]))
    if dose["unit"] is None:
        scheme = replace(scheme, reps=(int(low), int(high)))
    elif dose["unit"] == " s hold":
        scheme = replace(scheme, kind="hold", reps=None, hold_s=low)
    elif dose["unit"] == " m":
        scheme = replace(scheme, kind="carry", reps=None, distance_m=low)
    else:
        scheme = replace(scheme, kind="interval", reps=None, time_s=low)
    most = None if dose["load"] is None else float(dose["load"])
    sets = planned_sets(exercise, scheme, place, context, part, part == "main", most)
    return Entry(
        exercise=exercise.slug,
        sets=sets,
        why="As it was planned before the limit." if now is None else f"Back in the place of {now.exercise}.",
        superset=None if now is None else now.superset,
        scheme=scheme.kind,
        dials=dict(exercise.dials),
    )


def with_old_supersets(session: Session, rows: Sequence[Change], catalogue: Catalogue) -> Session:
    """The session with the letters that entries lost when their partner changed."""
    letters = {}
    for row in rows:
        found = TO_ITS_OWN.fullmatch(row.from_)
        if found is not None and row.to == "on its own":
            letters[found["name"]] = found["letter"]
    if not letters:
        return session
    parts = tuple(
        replace(
            part,
            entries=tuple(
                replace(entry, superset=letters.get(catalogue.get(entry.exercise).name, entry.superset))
                for entry in part.entries
            ),
        )
        for part in session.parts
    )
    return replace(session, parts=parts)
