"""Who can have no version of a master is told the smallest set of limits, and ways out that work. All is invented.

Referee: every answer is tried with ``fit_master`` itself, limit by limit; nothing here asks the code that found it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_block import GYM, PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.place import Place
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Trainee, TrainingDay
from setwright.plan.fit_master import Fitted, fit_master
from setwright.plan.master import Master, master_of_text
from setwright.plan.shorthand import read_block_text
from setwright.publish.fit_table import Refused, refused_lines, table_of
from setwright.services.deeds import plain_brief

BARE = Place("bare", "Empty room", invented=True)
KNEE = replace(parse_restriction("sore knee"), id="knee", set_by="physiotherapist", level="none", wanted=())


def master_of(*lines: str) -> Master:
    text = "\n".join(("Block: Invented", "3 weeks", "weeks 1 to 2 RPE 7, week 3 easy", "Monday", *lines))
    written = read_block_text(text, catalogue())
    return master_of_text(written, plain_brief(written.title, written.weeks, 1, START), catalogue())


def person_of(minutes: float, place: str) -> Trainee:
    return replace(PERSON, days=(TrainingDay("mon", minutes, place), TrainingDay("fri", minutes, place)))


def fitted(master: Master, person: Trainee, *places: Place) -> Fitted:
    return fit_master(master, person, places or (GYM,), catalogue(), estimates_of(person))


def refused(master: Master, person: Trainee, *places: Place) -> NoPlan:
    with pytest.raises(NoPlan) as caught:
        fitted(master, person, *places)
    return caught.value


def test_minutes_too_few_name_the_fewest_more_that_do() -> None:
    master, person = master_of("deadlift 3 x 5, rest 3 min"), person_of(8.0, "gym")
    error = refused(master, person)

    assert error.conflict[1:] == ("Monday and Friday: 8 min each",)
    more = error.repairs[0].minutes
    assert more and error.repairs[0].what.startswith(f"Monday {8 + more:g} min instead of 8")
    longer = (TrainingDay("mon", 8 + more, "gym"), person.days[1])
    assert fitted(master, replace(person, days=longer)).block.weeks
    refused(master, replace(person, days=(TrainingDay("mon", 8 + more - 5, "gym"), person.days[1])))


def test_what_a_place_lacks_is_named_and_enough() -> None:
    master, person = master_of("lat pulldown 3 x 8-10, rest 2 min"), person_of(40.0, "bare")
    error = refused(master, person, BARE)

    assert error.conflict[1:] == ("Empty room has no cable machine",)
    assert [one.what for one in error.repairs] == ["cable machine at Empty room"]
    assert fitted(master, person, replace(BARE, fixtures={"cable": 1})).block.weeks


def test_a_restriction_is_lifted_only_by_who_set_it() -> None:
    master = master_of("leg extension 3 x 10, rest 2 min")
    person = replace(person_of(40.0, "gym"), restrictions=(KNEE,))
    error = refused(master, person)

    (limit,) = error.conflict[1:]
    assert limit.startswith("The knee restriction (set by physiotherapist): ")
    assert error.repairs[-1].what == "the knee restriction lifted by physiotherapist"
    assert fitted(master, replace(person, restrictions=())).block.weeks


def test_the_table_holds_the_conflict_and_the_ways_out() -> None:
    master, person = master_of("lat pulldown 3 x 8-10, rest 2 min"), person_of(40.0, "bare")
    error = refused(master, person, BARE)
    table = table_of(master, (), (Refused("anna", "Anna", error.conflict, error.repairs),), catalogue())
    (line,) = refused_lines(table)

    assert "Empty room has no cable machine" in line and "cable machine at Empty room: to be bought" in line
