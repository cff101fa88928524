"""Runs one random case, and says what came of it: a block with its breaches, a true refusal, or a false one."""

from __future__ import annotations

import json
import re
import sys
import traceback
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from exercise_facts import all_facts
from hard_restrictions import can_be_set_up, closed_by_person, crossed, there
from hard_rules import Breach, Given, check_block, why_not_at_all
from random_people import START, Case, case_of

from setwright.catalogue.derive import joint_stress
from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.plan.design import design_block
from setwright.plan.restrict import restrict_block
from setwright.publish.block_file import block_to_json
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log

LIMIT = {True: 0.006, False: 0.12}  # deterministic solver time of a stage, by the size of a case


@dataclass(frozen=True)
class Outcome:
    """What came of a case. ``kind``: block, no plan, or crash; ``refusal``: the sentence of a refusal."""

    kind: str
    breaches: tuple[Breach, ...] = ()
    refusal: str = ""
    data: bytes = b""


def stress_of(slug: str, dials: Mapping[str, Any]) -> Mapping[str, int]:
    """How much an exercise asks of each joint after its dials, as the catalogue publishes it."""
    return joint_stress(catalogue().get(slug), dials)


def run(case: Case) -> Outcome:
    """Designs the block of a case, checks it, and changes it where a restriction comes later."""
    given = Given(case.trainee, case.places, case.brief, stress_of)
    try:
        estimates = estimate_lifts(case.trainee, case.catalogue, case.trainee.baselines, Log(), START)
        limit = LIMIT[case.is_small]
        block = design_block(case.trainee, case.places, case.brief, case.catalogue, estimates, limit=limit)
    except NoPlan as refused:
        return Outcome("no plan", tuple(false_reason(refused, case)), "\n".join(refused.conflict))
    except Exception:
        return Outcome("crash", (Breach("crash", "design", traceback.format_exc(limit=-4)),))
    data = block_to_json(block)
    found = check_block(json.loads(data), given)
    if case.later is not None:
        try:
            changed = restrict_block(block, case.later, case.catalogue, estimates, case.from_week)
        except Exception:
            return Outcome("crash", (Breach("crash", "restrict", traceback.format_exc(limit=-4)),), data=data)
        limited = Given(changed.inputs.trainee, case.places, case.brief, stress_of)
        if case.later not in limited.trainee.restrictions:
            found.append(Breach("restriction", "block", "the new restriction is not in force"))
        again = check_block(json.loads(block_to_json(changed)), limited, json.loads(data), case.from_week)
        found += [Breach(one.rule, f"restricted {one.where}", one.what) for one in again]
    return Outcome("block", tuple(found), data=data)


def false_reason(refused: NoPlan, case: Case) -> list[Breach]:
    """The refusal, where its reason is not true of the case; nothing where it is."""
    said = " ".join(refused.conflict)
    start, rpe = case.brief.start, max(case.brief.rpe)
    last = start + timedelta(days=7 * case.brief.weeks - 1)
    why = why_not_at_all(case.trainee, rpe, start) or why_not_at_all(case.trainee, rpe, last)
    words = {
        "red flag": "Red flag",
        "signs or symptoms": "Signs or symptoms",
        "pregnancy": "Pregnancy",
        "known disease, not active": "no regular activity",
        "known disease, vigorous effort": "before vigorous effort",
    }
    if why:
        return [] if words[why] in said else [Breach("no plan", "clearance", f"{why}, but said: {said}")]
    if said.startswith("Every exercise is closed"):
        left = open_anywhere(case)
        return [Breach("no plan", "closed", f"open all the same: {left[:5]}")] if left else []
    short = re.search(r"The (\w+) session needs more than (\d+) min even at its shortest", said)
    if short:
        cap = min(float(short[2]), case.brief.minutes)
        return [] if cap < SHORTEST_MIN else [Breach("no plan", "minutes", f"{cap:g} min hold one exercise: {said}")]
    caps = [float(number) for number in re.findall(r"day: (\d+(?:\.\d+)?) min", said)]
    if caps:
        sets = [int(number) for number in re.findall(r"(\d+) sets? of \d", said)] + [2] * said.count(
            "in include, 2 sets"
        )
        enough = sum(GENEROUS_SET_MIN * one + GENEROUS_LIFT_MIN for one in sets) + GENEROUS_REST_MIN
        limit = enough if sets else SHORTEST_MIN
        return [] if min(caps) < limit else [Breach("no plan", "minutes", f"{min(caps):g} min hold it: {said}")]
    named = re.findall(r"your own rule: ", said)
    return [] if named else [Breach("no plan", "unknown", said)]


# More than a set with its rest, the ramp sets of a lift, and all that may stand beside the lifts ever take.
GENEROUS_SET_MIN, GENEROUS_LIFT_MIN, GENEROUS_REST_MIN = 7.0, 12.0, 70.0
# A warm-up of 8 min, a ramp and two sets of one lift with its rests take less than this (own reckoning).
SHORTEST_MIN = 25.0


def open_anywhere(case: Case) -> list[str]:
    """Ordinary strength exercises that every rule leaves open at a place of the case, by the checker's own law."""
    known, on = all_facts(), case.brief.start
    used = {day.place for day in case.trainee.days}
    tokens = [there(place) for place in case.places if place.id in used]
    found = []
    for slug in case.catalogue:
        one = known[slug]
        if not set(one.parts) & {"main", "assistance", "finisher"} or one.skill > 1 or slug in case.brief.exclude:
            continue
        rules = case.trainee.restrictions
        shut = any(crossed(one, rule, {}, stress_of(slug, {}), on) for rule in rules)
        if not shut and not closed_by_person(one, case.trainee) and any(can_be_set_up(one, here) for here in tokens):
            found.append(slug)
    return found


def failures(seeds: range, is_small: bool) -> list[tuple[str, str]]:
    """(rule, line) of every breach of a run of cases, each with the number of its case."""
    size = "small" if is_small else "whole"
    return [(one.rule, f"{size} case {seed}: {one}") for seed in seeds for one in run(case_of(seed, is_small)).breaches]


# The smallest case that still fails: one thing less at a time, as long as the same rule is broken.


def smaller(case: Case) -> Iterator[Case]:
    """The case with one thing taken away, for each thing."""
    person, brief = case.trainee, case.brief
    if case.later is not None:
        yield case.with_(later=None)
    for name in ("restrictions", "goals", "baselines", "range_measures", "steps", "likes", "dislikes"):
        for index in range(len(getattr(person, name))):
            kept = getattr(person, name)[:index] + getattr(person, name)[index + 1 :]
            yield case.with_(trainee=replace(person, **{name: kept}))
    for name in ("lifts", "include", "exclude", "emphasis"):
        for index in range(len(getattr(brief, name))):
            kept = getattr(brief, name)[:index] + getattr(brief, name)[index + 1 :]
            yield case.with_(brief=replace(brief, **{name: kept}))
    plain = {"skill": None, "conditioning": "none", "loaded_mobility": False, "filler": False, "supersets": False}
    plain |= {"hold_reps_hold": False, "same_muscle_superset": False, "weeks": 4, "days_a_week": 2, "deload_every": 4}
    for name, value in plain.items():
        if getattr(brief, name) != value:
            yield case.with_(brief=replace(brief, **{name: value}), from_week=min(case.from_week, 4))
    for name, value in {"weeks_off": 0.0, "back_trouble": False}.items():
        if getattr(person, name) != value:
            yield case.with_(trainee=replace(person, **{name: value}))
    if len(person.days) > 2:
        for index in range(len(person.days)):
            yield case.with_(trainee=replace(person, days=person.days[:index] + person.days[index + 1 :]))


def shrunk(case: Case, rule: str) -> Case:
    """The smallest case found that breaks a rule as ``case`` does."""
    while True:
        less = next((one for one in smaller(case) if any(b.rule == rule for b in run(one).breaches)), None)
        if less is None:
            return case
        case = less


def main() -> None:
    size, seed = sys.argv[1], int(sys.argv[2])
    case = case_of(seed, size == "small")
    outcome = run(case)
    print(outcome.kind, outcome.refusal, *outcome.breaches, sep="\n")
    for rule in dict.fromkeys(one.rule for one in outcome.breaches):
        least = shrunk(case, rule)
        print(f"\n{rule}, the smallest case:", least.trainee, *least.places, least.brief, least.later, sep="\n")
        print(least.from_week, *(one for one in run(least).breaches if one.rule == rule), sep="\n")


if __name__ == "__main__":
    main()
