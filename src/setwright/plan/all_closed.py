"""When restrictions, equipment and exclusions leave no exercise: which few of them close everything, and who opens it.

Each way out is tried at the gates again, with the exercises that a design would choose from.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.equipment import in_words as equipment_words
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.faults import NoPlan, Repair
from setwright.people.place import Place
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.brief import Brief
from setwright.plan.candidates import STRENGTH_PARTS, find_candidates, skill_ceiling
from setwright.plan.conflict import smallest_conflict
from setwright.plan.explain import join_words
from setwright.plan.gates import judge, who_set
from setwright.strength.estimates import Estimates

EVERYTHING = "Every exercise is closed by the restrictions or by the equipment there is."
USUAL = "review the restrictions with who set them, or add equipment to the place"


def all_closed(
    catalogue: Catalogue,
    trainee: Trainee,
    places: Sequence[Place],
    brief: Brief,
    estimates: Estimates,
    known: frozenset[str],
) -> NoPlan:
    """The error for a person to whom nothing is open: the smallest set of what closes everything, and ways out."""
    rules = {f"restriction {rule.id}": rule for rule in trainee.restrictions}
    members = (*rules, *(f"equipment {place.id}" for place in places), *(("exclude",) if brief.exclude else ()))
    tokens = {place.id: expand_tokens(place.tokens()) for place in places}
    usable = [one for one in catalogue.values() if is_ordinary(one, trainee)]

    def is_possible(active: frozenset[str]) -> bool:
        still = [rule for name, rule in rules.items() if name in active]
        out = set(brief.exclude) if "exclude" in active else set[str]()
        return any(
            judge(one, still, here, trainee, ignore_equipment=f"equipment {place}" not in active).allowed
            for one in usable
            if not out & {one.slug, one.base}
            for place, here in tokens.items()
        )

    core = smallest_conflict(members, is_possible)
    repairs = []

    def is_open(someone: Trainee, there: Sequence[Place], wishes: Brief) -> bool:
        return bool(find_candidates(catalogue, someone, there, wishes, estimates, known)[0])

    if "exclude" in core and is_open(trainee, places, replace(brief, exclude=())):
        repairs.append(Repair("nothing in exclude", "your own exclusions"))
    if any(one.startswith("equipment ") for one in core):
        repairs += [one for one in [more_equipment(usable, trainee, places, tokens)] if one is not None]
    for name in core:
        if name in rules:
            fewer = tuple(rule for rule in trainee.restrictions if rule != rules[name])
            if is_open(replace(trainee, restrictions=fewer), places, brief):
                repairs.append(Repair(f"{without_article(rules[name])} lifted", "who set it decides"))
    return NoPlan((EVERYTHING, *words_of(core, rules, places, brief)), "" if repairs else USUAL, repairs)


def is_ordinary(exercise: Exercise, trainee: Trainee) -> bool:
    """True for exercises that a design would choose from."""
    fits = set(exercise.parts) & STRENGTH_PARTS and exercise.pattern != "jump_land"
    return bool(fits) and exercise.skill <= skill_ceiling(trainee) + 1


def words_of(core: Sequence[str], rules: Mapping[str, Restriction], places: Sequence[Place], brief: Brief) -> list[str]:
    """One line for each member of the conflict."""
    names = {f"equipment {place.id}": place.name for place in places}
    lines = [f"{who_set(rules[one])}: {rules[one].reason}".rstrip(": ") for one in core if one in rules]
    lines += [f"the equipment of {names[one]}" for one in core if one in names]
    return lines + ([f"what the brief excludes: {', '.join(brief.exclude)}"] if "exclude" in core else [])


def without_article(rule: Restriction) -> str:
    """``the elbow restriction (set by ...)``."""
    return f"the{who_set(rule)[3:]}"


def more_equipment(
    usable: Sequence[Exercise], trainee: Trainee, places: Sequence[Place], tokens: Mapping[str, frozenset[str]]
) -> Repair | None:
    """The fewest things that would open an exercise at a place, with every restriction in force."""
    best: tuple[int, str, str] | None = None
    for place in places:
        for one in sorted(usable, key=lambda exercise: exercise.slug):
            if (
                not one.equipment
                or not judge(one, trainee.restrictions, frozenset(), trainee, ignore_equipment=True).allowed
            ):
                continue
            missing = min(
                (sorted(option - tokens[place.id]) for option in one.equipment), key=lambda few: (len(few), few)
            )
            words = join_words([equipment_words(token) for token in missing])
            if missing and (best is None or len(missing) < best[0]):
                best = len(missing), words, f"{words} at {place.name}, for {one.name}"
    return None if best is None else Repair(best[2], "to be bought, or another room")
