"""Why an entry stands where it does in its session: before what, after what, and with whom it shares its rests."""

from __future__ import annotations

from dataclasses import replace

from setwright.catalogue.exercise import Exercise
from setwright.plan.arrange import is_antagonist
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Entry
from setwright.plan.candidates import SINGLE_JOINT_PATTERNS
from setwright.plan.pairing import can_pair
from setwright.plan.reasons_frame import Frame, entries_of, is_open_to_search

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def order_words(frame: Frame, day: int, part: str, entry: Entry) -> str:
    """The place in the order of the day, with the rule that holds between it and its neighbours."""
    rows = [(one_part, one) for one_part, one in entries_of(frame.session(day)) if one_part != "warm-up"]
    at = next((index for index, (_, one) in enumerate(rows) if one.exercise == entry.exercise), None)
    if at is None:
        return ""
    place = ORDINALS[at] if at < len(ORDINALS) else f"number {at + 1}"
    said = [f"{place.capitalize()} of {len(rows)}" if len(rows) > 1 else "The only one"]
    if at > 0:
        why = why_after(frame, rows[at - 1], (part, entry))
        if why:
            said.append(f"after the {frame.name(rows[at - 1][1].exercise)}: {why}")
    elif entry.exercise in frame.posed.goal_lifts:
        said.append("while fresh, as a goal lift (rule T09)")
    if at + 1 < len(rows) and at == 0 and len(said) == 1:
        why = why_after(frame, (part, entry), rows[at + 1])
        if why:
            said.append(f"before the {frame.name(rows[at + 1][1].exercise)}: {why}")
    return ", ".join(said[:1] + said[1:]) + "."


def why_after(frame: Frame, before: tuple[str, Entry], after: tuple[str, Entry]) -> str:
    """Why one entry comes after another; empty where only the fixed order of the parts or a tie says so."""
    (first_part, first), (second_part, second) = before, after
    catalogue = frame.context.catalogue
    one, other = catalogue.get(first.exercise), catalogue.get(second.exercise)
    if first.superset and first.superset == second.superset:
        return "the two are done in turn"
    goals = frame.posed.goal_lifts
    if first.exercise in goals and second.exercise not in goals:
        return "the goal lift comes first (rule T09)"
    if first_part != second_part and second_part in ("finisher", "loaded-mobility", "conditioning"):
        return f"{second_part.replace('-', ' ')} comes after the lifts"
    chosen = all(is_open_to_search(part, entry) and not entry.written for part, entry in (before, after))
    if first_part != second_part or not chosen:
        return ""  # the parts have their order, wanted work stands last, and a coach's lines stay where they were
    if is_small(other) and not is_small(one):
        return "big lifts before small ones (rule T10)"
    if is_small(one) == is_small(other) and one.load_capacity > other.load_capacity:
        return "of two alike the heavier first (rule T10)"
    return ""


def is_small(exercise: Exercise) -> bool:
    """True for work of one joint."""
    return exercise.pattern in SINGLE_JOINT_PATTERNS


def pair_words(frame: Frame, day: int, entry: Entry) -> str:
    """With whom it shares its rests, why the two may, and what that saves; empty where it stands alone."""
    if not entry.superset:
        return ""
    session = frame.session(day)
    group = [one for _, one in entries_of(session) if one.superset == entry.superset]
    others = [one for one in group if one.exercise != entry.exercise]
    if len(others) != 1:
        return ""
    other = others[0]
    catalogue = frame.context.catalogue
    mine, its = catalogue.get(entry.exercise), catalogue.get(other.exercise)
    slugs = {entry.exercise, other.exercise}
    apart = frame.minutes(day, lambda one: (alone(one) if one.exercise in slugs else one,))
    saved = round(apart - session.minutes, 1)
    gain = f"; apart the two would take {saved:g} min more" if saved > 0 else ""
    schemes = scheme_of(entry), scheme_of(other)
    if schemes[0] is None or schemes[1] is None:
        return ""
    allowed, _ = can_pair(mine, its, schemes[0], schemes[1], frame.context.places[session.place])
    if not allowed:
        same = "on purpose for the same muscle" if "Same-muscle" in entry.why else "as they were put together"
        return f"In turn with the {its.name}, {same}{gain}."
    kind = "opposite movements" if is_antagonist(mine, its) else "no muscle leads both"
    return f"Shares its rests with the {its.name}: {kind}{gain}."


def alone(entry: Entry) -> Entry:
    """The entry without its superset."""
    return replace(entry, superset=None)
