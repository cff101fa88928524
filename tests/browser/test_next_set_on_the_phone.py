"""What the phone looks up is what the rule says: ``next.js`` against ``review.next_set``, case by case.

Referee: ``review.next_set.next_set`` with a table made for the very set that was done, in Python.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from practice import paper_of

from setwright.dose.implements import Buildable, loads_in
from setwright.people.intake import read_trainee_and_places
from setwright.people.screening import is_cleared
from setwright.people.trainee import Clearance, Restriction
from setwright.plan.block import PlannedSet
from setwright.plan.stretch import Stretch
from setwright.review.next_set import next_set, next_table
from setwright.review.pain import limit_at
from setwright.services.desk.answers import REGIONS, Answers, law_values
from setwright.services.desk.loads import steps_near
from setwright.services.gather import catalogue, estimates_for
from setwright.strength.logged import Log, LoggedSet
from setwright.web.views.worker import as_plain_script, text_of

ON = date(2026, 9, 7)
CASES = 4000
KNEE = Restriction("knee", "knee", clearance=Clearance("Dr Invented", ON, "knee work", None, pain_up_to=4))
NOTES = ("", "", "", "felt good", "Chest pain", "went numb", "it popped", "chest up", "sharp pain in there")
RULES = (KNEE,)


def planned_sets() -> list[tuple[str, PlannedSet, list[Buildable]]]:
    """Sets of every kind of load: a bar, a hand, the body alone and with a load, help in steps, a hold."""
    _, places = read_trainee_and_places(paper_of("ode", "Ode").intake, "intake", catalogue())
    (shed,) = places
    found = []
    for slug, kind in (("back_squat", "total"), ("curl_db", "each hand"), ("bench_bb", "total"), ("pullup", "added")):
        loads = list(loads_in(shed, catalogue().get(slug)))
        for middle in (3, len(loads) // 2):
            one = loads[middle]
            made = PlannedSet("work", (5, 6), rir=2.0, load_kg=one.load_kg, load_means=one.means, pieces=one.pieces)
            assert one.means == kind
            found += [(slug, made, loads), (slug, replace(made, reps=(8, 12), rir=None), loads)]
    help_steps = [Buildable(float(kg), "assistance", f"pin at {kg}", "machine") for kg in range(5, 45, 5)]
    helped = PlannedSet("work", (4, 6), rir=1.5, load_kg=20.0, load_means="assistance")
    slug, one, loads = found[0]
    parts = replace(one, inside=(Stretch((3, 3), rest_s=20.0), Stretch((2, 2), rest_s=20.0)))
    found.append((slug, parts, loads))
    body = PlannedSet("work", (8, 10), rir=2.0)
    hold = PlannedSet("hold", None, hold_s=30.0, rir=2.0)
    return [*found, ("pullup", helped, help_steps), ("pushup", body, []), ("plank", hold, [])]


def random_set(pick: random.Random, slug: str, steps: list[Buildable]) -> LoggedSet:
    """A set as somebody might log it."""
    where = pick.choice(("", *REGIONS))
    first = pick.choice((None, *range(16)))
    in_parts = bool(first) and pick.random() < 0.1
    return LoggedSet(
        ON,
        1,
        "mon",
        slug,
        1,
        load_kg=pick.choice(steps).load_kg if steps and pick.random() < 0.9 else None,
        reps=(first or 0) + 5 if in_parts else first,
        dials={"parts": f"{first}+3+2", "inside_s": 20} if in_parts else {},
        rir=pick.choice((None, 0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0)),
        ended_by=pick.choice((None, None, "planned", "muscle", "form", "balance", "grip", "breath", "pain")),
        pain=pick.choice((None, None, None, 0, *range(1, 11))),
        pain_kind=pick.choice((None, None, None, "dull", "sharp", "numb", "other")),
        pain_where=" ".join(one for one in (pick.choice(("", "left", "right")) if where else "", where) if one),
        note=pick.choice(NOTES),
    )


@pytest.fixture(scope="module")
def asked() -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Cases for the phone, and what the rule says to each."""
    assert is_cleared(KNEE.clearance, ON)
    pick = random.Random(20260907)
    trainee, places = read_trainee_and_places(paper_of("ode", "Ode").intake, "intake", catalogue())
    estimates = estimates_for(trainee, Log(), ON, places)
    law = law_values(RULES, ON)
    kinds = []
    for slug, planned, loads in planned_sets():
        lift = estimates.for_exercise(slug)
        answers = Answers(loads, lift, RULES, ON)
        steps = steps_near(loads, [planned], answers.loads_asked([planned]))
        table = answers.table_for(planned, steps)
        entry = {"steps": [{"kg": one.load_kg} for one in steps], **answers.as_values()}
        kinds.append((slug, planned, loads, lift, steps, entry, table))
    cases, said = [], []
    for _ in range(CASES):
        slug, planned, loads, lift, steps, entry, table = pick.choice(kinds)
        done = random_set(pick, slug, steps)
        limit = limit_at(done.pain_where, RULES, ON)
        rule = next_set(done, next_table(planned, loads, lift, limit, done.load_kg))
        names = ("load_kg", "reps", "rir", "ended_by", "pain", "pain_kind", "pain_where", "note")
        told = {name: getattr(done, name) for name in names}
        if done.dials:
            told["reps"] = int(str(done.dials["parts"]).split("+")[0])  # as ``session.js`` hands it on
        cases.append({"done": told, "entry": entry, "planned": {"table": table}, "law": law})
        whole = rule.as_json()
        said.append({name: whole[name] for name in ("load_kg", "reps", "hold_s", "why", "stop")})
    return cases, said


def test_the_phone_says_what_the_rule_says(chromium: Any, asked: Any) -> None:
    cases, said = asked
    page = chromium.new_page()
    source = as_plain_script(text_of("setwright/next.js"))

    found = page.evaluate(
        f"(cases) => {{ {source}; return cases.map((one) => nextSet(one.done, one.entry, one.planned, one.law)); }}",
        cases,
    )
    page.close()

    assert len(found) == len(said) == CASES
    told = [{name: one[name] for name in ("load_kg", "reps", "hold_s", "why", "stop")} for one in found]
    wrong = [(case["done"], rule, phone) for case, rule, phone in zip(cases, said, told, strict=True) if rule != phone]
    assert not wrong, f"{len(wrong)} of {CASES}, the first: {wrong[0]}"


def test_the_cases_reach_every_kind_of_answer(asked: Any) -> None:
    _, said = asked
    whys = {one["why"] for one in said}

    def some(words: str) -> bool:
        return any(words in one for one in whys)

    assert {one["stop"] for one in said} == {True, False}
    for words in (
        "as planned",
        "more load",
        "less load",
        "fewer repetitions",
        "less help",
        "more help",
        "it hurt: less",
        "nothing goes up",
        "nor over the load just done",
        "not for the muscle",
        "get medical help",
        "sharp pain",
        "of 10: this exercise ends",
        "hand therapist",
    ):
        assert some(words), words
