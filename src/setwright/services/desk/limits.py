"""What must not be loaded: said on the floor, ended by who set it, cleared by a licensed clinician."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import tomli_w
from django.db import transaction

from setwright.body.anatomy import joints
from setwright.faults import Fault, InputFaults
from setwright.people.restriction_text import parse_restriction, sore_joint
from setwright.people.toml_file import read_toml
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.block import Block
from setwright.plan.done_days import with_done_days
from setwright.publish.limit_words import limit_lines
from setwright.records import models
from setwright.records.data_base import block_of, current_of, log_of
from setwright.services.ahead import what_is_ahead
from setwright.services.clock import now_text
from setwright.services.deeds import block_estimates
from setwright.services.desk.blocks import records_of
from setwright.services.desk.people import keep_trainee, newest, one_at_a_time, person_of, restrictions_by_id
from setwright.services.desk.practice import note
from setwright.services.gather import catalogue
from setwright.services.lifting import has_it, lifted_block, may_lift

SIDES = ("both", "left", "right")
LEVELS = ("none", "light", "moderate")
WANTED = ("holds", "carries", "short-range")
MOST_WORDS = 300
LOOK_AGAIN_DAYS = (7, 14, 28)


def limit_said(said: Mapping[str, Any], on: date) -> Restriction:
    """The limit that somebody said: in their own words, or by pointing at a joint; what they chose beside it wins.

    said : ``words``, or ``joint`` and ``side``; ``level`` of moving work that may stay, kinds of work ``wanted``,
        ``set_by``, ``look_again`` in so many days. Raises InputFaults.
    """
    words, joint, side = (str(said.get(key) or "").strip() for key in ("words", "joint", "side"))
    if words:
        made = parse_restriction(words[:MOST_WORDS], "what hurts")
    elif joint in joints():
        made = replace(sore_joint(joint), id=f"{side}-{joint}-is-sore".removeprefix("-").removeprefix("both-"))
    else:
        allowed = ", ".join(sorted(joints()))
        raise InputFaults([Fault("what hurts", "joint", repr(joint) if joint else "nothing", allowed)])
    if side in SIDES and not words:
        made = replace(made, side=side)  # type: ignore[arg-type]
    usual = made.level
    if said.get("level") in LEVELS:
        made = replace(made, level=said["level"])
    wanted = tuple(one for one in said.get("wanted") or () if one in WANTED)
    if wanted:
        made = replace(made, wanted=wanted)
    if made.level != usual and not words:
        first, *others = limit_lines(made)
        made = replace(made, reason=" ".join((f"Sore {first[:1].lower()}{first[1:]}", *others)))
    days = int(said.get("look_again") or 0)
    if days in LOOK_AGAIN_DAYS:
        made = replace(made, review_on=on + timedelta(days=days))
    return replace(made, set_by=str(said.get("set_by") or "")[:120])


@dataclass(frozen=True)
class Limit:
    """A limit that holds for somebody, and where it stands.

    is_kept : the block in force closes what it closes; True where there is no block
    """

    restriction: Restriction
    is_in_block: bool
    is_in_intake: bool
    is_kept: bool


def limits_of(row: models.Trainee) -> list[Limit]:
    """Every limit that holds: those of the intake, and those that only the block in force knows."""
    intake = {one.id: one for one in person_of(row).trainee.restrictions}
    block = current_of(row)
    inside = {} if block is None else {one.id: one for one in block.inputs.trainee.restrictions}
    both = {**inside, **intake}
    return [
        Limit(
            one,
            one.id in inside,
            one.id in intake,
            block is None or (one.id in inside and what_it_closes(inside[one.id]) == what_it_closes(one)),
        )
        for one in both.values()
    ]


def trainee_now(row: models.Trainee) -> Trainee:
    """A trainee with every limit that holds now: the intake's, and those of the block in force that never ended.

    A limit that only the block knows, and that an earlier intake held, was lifted: the block is behind, not the limit.
    """
    trainee = person_of(row).trainee
    beside = [one.restriction for one in limits_of(row) if not one.is_in_intake]
    ended = ids_ever_taken_in(row) if beside else frozenset()
    more = tuple(one for one in beside if one.id not in ended)
    return replace(trainee, restrictions=(*trainee.restrictions, *more))


def ids_ever_taken_in(row: models.Trainee) -> frozenset[str]:
    """Ids of the limits of every version of an intake that can still be read."""
    found: set[str] = set()
    for text in row.documents.filter(kind="trainee").values_list("text", flat=True):
        with suppress(InputFaults):
            found |= {name for name, _ in restrictions_by_id(text)}
    return frozenset(found)


def what_it_closes(one: Restriction) -> Restriction:
    """A limit without what closes nothing: who set it, when, why, and what was cleared."""
    return replace(one, id="", reason="", since=None, review_on=None, set_by="", clearance=None)


def limit_asked(row: models.Trainee, asked: Mapping[str, Any], on: date) -> Restriction:
    """The limit that a job is about: one of the intake by its id (``limit``), or one that was said."""
    name = asked.get("limit")
    return limit_of(row, str(name)).restriction if name else limit_said(asked, on)


def limit_of(row: models.Trainee, name: str) -> Limit:
    """One limit by its id; LookupError where there is none."""
    for one in limits_of(row):
        if one.restriction.id == name:
            return one
    raise LookupError(f"no limit {name!r} holds for {row.name}")


@transaction.atomic
def lift(row: models.Trainee, name: str, lifted_by: str, on: date, by: Any) -> Block | None:
    """Ends a limit: it leaves the intake, and a revision that goes back is kept as a proposal where the block kept it.

    lifted_by : who says that it ends; only who set it may. Gives the proposal, or None where no block is touched.
    Raises InputFaults where somebody else set it; LookupError where it does not hold.
    """
    one_at_a_time(row)
    limit = limit_of(row, name)
    may_lift(limit.restriction, lifted_by)
    block = current_of(row)
    if limit.is_in_intake:
        without(row, name, by)
    note(row.practice, by, "lifted a limit", row)
    if block is None or not limit.is_in_block:
        return None
    inside = next(one for one in block.inputs.trainee.restrictions if one.id == name)
    before = block_without(row, block, inside)
    if before is None:
        return None
    log = log_of(row, catalogue())
    ahead = what_is_ahead(block, log, on)
    made = lifted_block(block, before, inside, block_estimates(block, log), ahead.week, lifted_by)
    made = with_done_days(block, made, ahead.done, catalogue())
    records_of(row, by).keep_block(made, now_text())
    return made


def block_without(row: models.Trainee, block: Block, restriction: Restriction) -> Block | None:
    """The nearest earlier revision that was made without a limit; None where the block began with it."""
    name = block.parent
    while name:
        kept = row.revisions.filter(block=name).first()
        if kept is None:
            return None
        before = block_of(kept)
        if not has_it(before, restriction):
            return before
        name = before.parent
    return None


@transaction.atomic
def without(row: models.Trainee, name: str, by: Any) -> None:
    """Takes a limit out of the intake; the versions before keep it."""
    one_at_a_time(row)
    text = newest(row.practice, "trainee", row.slug, row)
    data = dict(read_toml(text, "intake"))
    data["restrictions"] = [table for one, table in restrictions_by_id(text) if one != name]
    if not data["restrictions"]:
        del data["restrictions"]
    keep_trainee(row.coach, tomli_w.dumps(data), row)


@transaction.atomic
def clear(row: models.Trainee, name: str, clearance: Mapping[str, Any], by: Any) -> None:
    """Enters a clearance into the intake, at a limit of it or, with an empty name, at the questions before training.

    clearance : who, given_on, scope, expires_on as the intake writes them. Raises InputFaults.
    """
    one_at_a_time(row)
    text = newest(row.practice, "trainee", row.slug, row)
    data = dict(read_toml(text, "intake"))
    table = {key: value for key, value in clearance.items() if value not in ("", None)}
    if name:
        kept = restrictions_by_id(text)
        if name not in {one for one, _ in kept}:
            raise LookupError(f"the intake of {row.name} has no limit {name!r}")
        data["restrictions"] = [{**old, "clearance": table} if one == name else old for one, old in kept]
    else:
        data["screening"] = {**data.get("screening", {}), "clearance": table}
    keep_trainee(row.coach, tomli_w.dumps(data), row)
    note(row.practice, by, "entered a clearance", row)
