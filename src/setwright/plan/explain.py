"""Why an entry is on the sheet, in a coach's words. Every sentence comes from what the planner used."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.exercise import PartName
from setwright.plan.arrange import Placed
from setwright.plan.brief import Brief
from setwright.plan.demand import WeekDemand

AIM_WORDS = {"1rm": "a heavier single", "strength": "strength", "size": "size"}
ROLL_UP_WORDS = {"arm": "arms", "shoulder": "shoulders", "calf": "calves"}


def in_words(roll_up: str) -> str:
    """A roll-up as one says it."""
    return ROLL_UP_WORDS.get(roll_up, roll_up.replace("_", " "))


def join_words(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    words = list(words)
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]


def why_chosen(
    placed: Placed,
    part: PartName,
    brief: Brief,
    demand: WeekDemand,
    known: frozenset[str],
) -> str:
    """The reason for one entry: the wish it serves, the groups it counts for, and why not something heavier."""
    candidate = placed.pick.candidate
    exercise = candidate.exercise
    wish = next((one for one in brief.lifts if one.exercise == candidate.slug), None)
    full, half = [], []
    for need in demand.muscles:
        credit = max((candidate.credits.get(muscle, 0.0) for muscle in need.muscles), default=0.0)
        if credit >= 1 and need.target > 0:
            full.append(in_words(need.roll_up))
        elif credit > 0 and need.target > 0:
            half.append(in_words(need.roll_up))
    sentences = []
    if wish is not None:
        sentences.append(f"You asked for {AIM_WORDS[wish.aim]} here, so it comes first, while fresh.")
    elif candidate.slug in brief.include:
        sentences.append("You asked for it.")
    elif part == "main":
        sentences.append("The lift this day is built on, so it comes first.")
    if full:
        counts = f"Each set counts for {join_words(full)}"
        sentences.append(f"{counts}, half for {join_words(half)}." if half else f"{counts}.")
    elif half:
        sentences.append(f"Each set counts half for {join_words(half)}.")
    emphasised = [
        name
        for name in brief.emphasis
        if name in candidate.credits
        or any(muscle_groups()[m].roll_up == name for m in candidate.credits if m in muscle_groups())
    ]
    if emphasised:
        sentences.append(f"Serves the emphasis on {join_words([in_words(name) for name in emphasised])}.")
    if wish is None and candidate.slug in known:
        sentences.append("You have done it before, so its load is well known.")
    if candidate.cost >= 2 and wish is None and candidate.slug not in brief.include:
        sentences.append("A second choice, for what is open here and what you have done.")
    if exercise.per_side and not full and not half:
        sentences.append("Each side on its own.")
    return " ".join(sentences) or exercise.purpose
