"""A written block, dosed and checked for one trainee. Nothing in it is exchanged unless a gate forbids it.

A session that is too long is reported, not cut; every rule it bends is a warning with its reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.plan.asked_entry import as_before, fit_entry
from setwright.plan.block import Block, Change, Inputs, Proof, Unmet, Week
from setwright.plan.brief import Brief
from setwright.plan.cautions import block_cautions
from setwright.plan.clearance import for_whole_block, hardest_rpe, require_clearance
from setwright.plan.compose import Context, compose_weeks, count_credits
from setwright.plan.identity import with_id
from setwright.plan.rules import check_rules
from setwright.plan.shorthand import WrittenBlock
from setwright.plan.template import TemplateEntry, TemplateSession
from setwright.plan.too_long import too_long
from setwright.strength.estimates import Estimates


def fit_written(
    written: WrittenBlock,
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    catalogue: Catalogue,
    estimates: Estimates,
) -> Block:
    """The written block for one trainee: loads, ramp sets, warm-up where none was written, minutes, warnings.

    Entries that a restriction or missing equipment forbids are exchanged for the nearest open one, or rest;
    each such change is listed with its reason. Raises NoPlan when clearance is missing.
    """
    count = len(written.template.week_kinds)
    require_clearance(trainee, brief, count)
    as_given, trainee = trainee, for_whole_block(trainee, brief.start, count)
    by_id = {place.id: place for place in places}
    context = Context(trainee, by_id, brief, catalogue, estimates, brief.start)
    changes: list[Change] = []
    unmet: list[Unmet] = []
    sessions = []
    caps = {day.day: day.minutes for day in trainee.days}
    for session in written.template.sessions:
        place = place_for(session, places)
        if place is None:
            known = ", ".join(by_id) or "none"
            raise NoPlan(
                (f"The place {session.place!r} of the {session.day} session is not known.",), f"places: {known}"
            )
        entries = []
        taken = {entry.exercise for entry in session.entries}
        stand_ins: dict[str, TemplateEntry | None] = {}
        for entry in session.entries:
            if entry.exercise in stand_ins:
                made = as_before(entry, stand_ins[entry.exercise], context)
            else:
                made = fit_entry(entry, session, place, context, taken, changes, unmet)
                if made is None or made.exercise != entry.exercise:
                    stand_ins[entry.exercise] = made
            if made is not None:
                entries.append(made)
        cap = session.minutes_cap if session.minutes_cap is not None else caps.get(session.day)
        sessions.append(replace(session, place=place.id, minutes_cap=cap, entries=tuple(entries)))
        if session.day not in caps:
            unmet.append(Unmet(f"training on {session.day}", f"{trainee.name} has no such day in the trainee file."))
    template = replace(written.template, sessions=tuple(sessions))
    weeks = compose_weeks(template, context)
    screen_cautions = require_clearance(as_given, brief, count, hardest_rpe(weeks))  # lines may ask more than the brief
    unmet += too_long(template, weeks, context)
    unmet += [Unmet("read with a guess", note) for note in written.notes]
    unmet += built_differently(weeks, catalogue)
    block = Block(
        id="",
        title=written.title,
        trainee=trainee.id,
        place=sessions[0].place,
        weeks=weeks,
        set_credits=count_credits(weeks, catalogue),
        unmet=tuple(dict.fromkeys(unmet)),
        proof=Proof("written", 0.0, 0.0, 0.0, "Written by the coach: read, dosed and checked, not searched."),
        inputs=Inputs(as_given, tuple(places), brief, own=dict(catalogue.own)),
        door="write",
        cautions=tuple(dict.fromkeys((*screen_cautions, *block_cautions(trainee)))),
        changes=tuple(changes),
    )
    return with_id(replace(block, unmet=tuple(dict.fromkeys((*block.unmet, *check_rules(block, catalogue))))))


def place_for(session: TemplateSession, places: Sequence[Place]) -> Place | None:
    """The place a session names by id or name; the first one where it names none."""
    if not session.place:
        return places[0] if places else None
    wanted = session.place.strip().lower()
    return next((one for one in places if wanted in (one.id.lower(), one.name.lower())), None)


def built_differently(weeks: Sequence[Week], catalogue: Catalogue) -> list[Unmet]:
    """Loads the coach wrote that the place can't build: what is planned in their stead."""
    found = []
    for week in weeks:
        for session in week.sessions:
            for part in session.parts:
                for entry in part.entries:
                    for one in entry.sets:
                        if "can't be built here" in one.note and one.load_kg is not None:
                            asked = one.note.split(" as written")[0]
                            name = catalogue.get(entry.exercise).name
                            found.append(
                                Unmet(
                                    f"{name} with {asked} on {session.day}", f"The place can build {one.load_kg:g} kg."
                                )
                            )
    return list(dict.fromkeys(found))
