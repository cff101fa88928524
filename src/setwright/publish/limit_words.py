"""A limit as a coach reads it: what it closes, what may stay, what is wanted there."""

from __future__ import annotations

from setwright.people.trainee import Restriction
from setwright.plan.gates import POSITION_WORDS, SAID
from setwright.publish.words import date_text

LEVELS = {
    "none": "no moving work",
    "light": "light moving work at most",
    "moderate": "moderate moving work at most",
    "hard": "moving work as usual",
}
GRIPS = ("none", "easy", "firm", "hard")
IMPACTS = ("none", "steps only", "landings at most", "hops and runs")
SPINES = {"flexed": "not bent", "rotating": "not turning"}
KINDS = {"holds": "holds", "carries": "carries", "short-range": "work in a short range"}


def limit_title(one: Restriction) -> str:
    """The joint with its side: ``left elbow``."""
    side = "" if one.side == "both" else f"{one.side} "
    return f"{side}{SAID.get(one.joint, one.joint)}"


def limit_lines(one: Restriction) -> tuple[str, ...]:
    """What a limit closes and leaves, a sentence each."""
    where = limit_title(one)
    what = ", ".join(action.replace("-", " ") for action in one.actions)
    found = [f"{where[:1].upper()}{where[1:]}{f', {what}' if what else ''}: {LEVELS[one.level]}."]
    if one.positions:
        held = ", ".join(POSITION_WORDS.get(position, position) for position in one.positions)
        found.append(f"Not held: {held}.")
    found += [
        f"{motion.replace('-', ' ').capitalize()} under load: {most:g} degrees at most."
        for motion, most in one.max_angles.items()
    ]
    if one.spine:
        found.append(f"Back under load: {', '.join(SPINES.get(word, word) for word in one.spine)}.")
    if one.grip_max is not None:
        found.append(f"Grip: {GRIPS[one.grip_max]}{' at most' if one.grip_max else ''}.")
    if one.impact_max is not None:
        found.append(f"Impact: {IMPACTS[one.impact_max]}.")
    if one.wanted:
        found.append(f"Wanted there: {', '.join(KINDS[kind] for kind in one.wanted)}.")
    return tuple(found)


def limit_dates(one: Restriction) -> str:
    """Who set a limit, since when, when to look again, as one sentence; empty where nothing of it is known."""
    pieces = []
    if one.set_by:
        pieces.append(f"set by {one.set_by}")
    if one.since is not None:
        pieces.append(f"since {date_text(one.since)}")
    if one.review_on is not None:
        pieces.append(f"to be looked at again on {date_text(one.review_on)}")
    text = ", ".join(pieces)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def clearance_text(one: Restriction) -> str:
    """What was cleared, or that clearance is missing; empty where none is asked for."""
    given = one.clearance
    if given is None:
        return (
            "Waits for clearance by a licensed clinician: nothing is loaded there until then."
            if one.needs_clearance
            else ""
        )
    until = f", until {date_text(given.expires_on)}" if given.expires_on is not None else ""
    pain = "" if given.pain_up_to is None else f"; pain up to {given.pain_up_to} of 10"
    return f"Cleared by {given.who} on {date_text(given.given_on)}: {given.scope}{pain}{until}."
