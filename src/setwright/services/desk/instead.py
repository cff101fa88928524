"""What a trainee may take instead, dosed for today: the alternatives that the block was approved with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from setwright.people.place import Place
from setwright.plan.block import Alternative, Block, Entry, Session, Week
from setwright.plan.compose import Context, compose_entry
from setwright.plan.reshape_options import asks_no_more
from setwright.plan.restrict import Swap, swapped_template
from setwright.services.gather import catalogue
from setwright.strength.estimates import Estimates

SORE = " sore"  # alternatives for a joint that hurts: never a mere exchange, see ``desk.pain``


@dataclass(frozen=True)
class Instead:
    """One alternative, dosed. ``waits``: it asks more of a limited joint, so the coach decides first."""

    of: Alternative
    entry: Entry
    waits: bool


def context_of(block: Block, estimates: Estimates) -> Context:
    """What dosing needs to know of a block."""
    inputs = block.inputs
    places = {one.id: one for one in inputs.places}
    return Context(inputs.trainee, places, inputs.brief, catalogue(), estimates, estimates.today)


def instead_of(entry: Entry, part: str, week: Week, place: Place, context: Context) -> Iterator[Instead]:
    """The alternatives of an entry for missing or taken equipment, each with its sets for today."""
    if part in ("warm-up", "conditioning"):
        return
    old = context.catalogue.get(entry.exercise)
    for one in entry.alternatives:
        if one.case.endswith(SORE):
            continue
        swap = Swap(one.exercise, {}, None, f"{one.case[:1].upper()}{one.case[1:]}. Kept: {one.kept}.")
        template = swapped_template(entry, part, swap, week, context)  # type: ignore[arg-type]
        made = None if template is None else compose_entry(template, 0, place, context, with_ramp=False, bare=True)
        if made is not None:
            rules = context.trainee.restrictions
            yield Instead(one, made, not asks_no_more(one.exercise, made.dials, old, rules, context))


def session_place(block: Block, session: Session) -> Place:
    """The place where a session is."""
    return next(one for one in block.inputs.places if one.id == session.place)
