"""Each rule of training finds the block that bends it, and is silent on the one that does not.

Referee of every row: the figure of the source that the rule names, worked by hand here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from made_block import BRIEF, GYM, PERSON, estimates_of, made_block
from test_rules_at_the_edge import CASES

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.trainee import Goal, RangeMeasure, Screening
from setwright.plan.block import Block, Entry, PlannedSet, Session, Week
from setwright.plan.bout import Bout
from setwright.plan.brief import RuleSetting
from setwright.plan.brief_file import read_brief
from setwright.plan.design import design_block
from setwright.plan.own_rules import OwnRule
from setwright.plan.rules import RULES, check_rules

Change = Callable[[Week, Session, str, Entry], Entry]


def changed(change: Change, block: Block | None = None) -> Block:
    """A block with every entry passed through ``change``."""
    old = block or made_block()
    return replace(
        old,
        weeks=tuple(
            replace(
                week,
                sessions=tuple(
                    replace(
                        session,
                        parts=tuple(
                            replace(part, entries=tuple(change(week, session, part.part, one) for one in part.entries))
                            for part in session.parts
                        ),
                    )
                    for session in week.sessions
                ),
            )
            for week in old.weeks
        ),
    )


def work(change: Callable[[PlannedSet], PlannedSet], only: str = "", weeks: tuple[int, ...] = ()) -> Change:
    """Changes the working sets of all entries, or of one exercise, in some weeks."""

    def apply(week: Week, session: Session, part: str, entry: Entry) -> Entry:
        if (only and entry.exercise != only) or (weeks and week.number not in weeks):
            return entry
        return replace(entry, sets=tuple(change(one) if one.kind == "work" else one for one in entry.sets))

    return apply


def person(block: Block, **facts: object) -> Block:
    trainee = replace(block.inputs.trainee, **facts)  # type: ignore[arg-type]
    return replace(block, inputs=replace(block.inputs, trainee=trainee))


def brief(block: Block, **facts: object) -> Block:
    return replace(block, inputs=replace(block.inputs, brief=replace(block.inputs.brief, **facts)))  # type: ignore[arg-type]


def doubled(factor: int) -> Change:
    return lambda week, session, part, entry: replace(entry, sets=entry.sets * factor)


BENT: dict[str, Callable[[], Block]] = {
    "V03": lambda: brief(person(made_block(), training_years=3.0), emphasis=("calf",)),
    "V04": lambda: changed(doubled(5)),
    "V05": lambda: changed(doubled(3)),
    "V06": lambda: changed(lambda w, s, p, e: replace(e, sets=e.sets * 2) if w.number == 3 else e),
    "V09": lambda: changed(
        lambda w, s, p, e: (
            replace(e, exercise="curl_cable") if catalogue().get(e.exercise).pattern.startswith("push") else e
        )
    ),
    "L01": lambda: person(changed(work(lambda one: replace(one, reps=(3, 5), load_kg=60.0))), training_years=0.1),
    "L02": lambda: person(changed(work(lambda one: replace(one, reps=(12, 15), rir=4.0))), training_years=3.0),
    "L04": lambda: changed(work(lambda one: replace(one, load_kg=(one.load_kg or 40) * 1.3), weeks=(3,)), constant()),
    "L06": lambda: changed(
        lambda w, s, p, e: replace(e, written="x", sets=tuple(replace(one, chance=0.05) for one in e.sets))
    ),
    "L07": lambda: person(more_days(), birth_year=1950),
    "L08": lambda: person(made_block(), birth_year=1950, training_years=0.1),
    "L09": lambda: person(more_days(), birth_year=2012),
    "L11": lambda: changed(work(lambda one: replace(one, rir=0.0))),
    "S01": lambda: replace(
        person(made_block(), screening=Screening(False)),
        weeks=(replace(made_block().weeks[0], rpe=8.0), *made_block().weeks[1:]),
    ),
    "T01": lambda: changed(work(lambda one: replace(one, reps=(3, 5), rest_s=60.0), only="back_squat")),
    "T02": lambda: changed(
        lambda w, s, p, e: replace(e, superset=None, sets=tuple(replace(o, rest_s=20.0) for o in e.sets))
    ),
    "T03": lambda: changed(lambda w, s, p, e: replace(e, exercise="leg_ext", superset="Z") if p == "assistance" else e),
    "T07": lambda: changed(work(lambda one: replace(one, tempo="6-2-4-0"))),
    "W01": lambda: changed(
        lambda w, s, p, e: (
            replace(e, exercise="deep_squat_pry", sets=tuple(replace(o, hold_s=70.0) for o in e.sets))
            if p == "warm-up"
            else e
        )
    ),
    "W03": lambda: changed(lambda w, s, p, e: replace(e, exercise="cat_cow") if p == "warm-up" else e),
    "W05": lambda: person(
        changed(lambda w, s, p, e: replace(e, sets=tuple(replace(o, load_kg=None) for o in e.sets))),
        goals=(Goal("range", "hip-flexion", 1),),
    ),
    "X05": lambda: person(
        made_block(), range_measures=(RangeMeasure(BRIEF.start, "hip-flexion", 80.0, "deg", "both"),)
    ),
    "D01": lambda: person(made_block(), weeks_off=4.0),
    "D03": lambda: person(
        changed(
            lambda w, s, p, e: replace(
                e, sets=tuple(replace(o, reps=(12, 15), rir=2.0, load_kg=20.0) for o in e.sets) * 2
            )
        ),
        weeks_off=4.0,
    ),
    "D04": lambda: person(
        changed(
            lambda w, s, p, e: (
                replace(e, sets=(PlannedSet("work", time_s=40.0, rest_s=60.0),) * 4) if p == "conditioning" else e
            )
        ),
        weeks_off=4.0,
    ),
    "X04": lambda: person(changed(work(lambda one: replace(one, reps=(1, 3), rir=0.5, load_kg=60.0))), birth_year=2014),
    "X03": lambda: replace(
        person(made_block(), training_years=0.1),
        weeks=(replace(made_block().weeks[0], rpe=8.0), *made_block().weeks[1:]),
    ),
    "D02": lambda: person(more_days(), weeks_off=4.0),
    "D05": lambda: longer_block(10),
    "L10": lambda: replace(
        brief(made_block(), emphasis=("back",)), weeks=tuple(replace(one, rpe=6.0) for one in made_block().weeks)
    ),
    "T04": lambda: brief(
        changed(lambda w, s, p, e: replace(e, superset="Z") if e.exercise == "back_squat" else e),
        lifts=(replace(BRIEF.lifts[0], aim="1rm"),),
    ),
    "T09": lambda: parts_turned_round(),
    "T10": lambda: assistance_of("curl_cable", "row_bb"),
    "V02": lambda: changed(lambda w, s, p, e: replace(e, sets=e.sets[-1:])),
    "V08": lambda: changed(
        lambda w, s, p, e: (
            replace(e, exercise="back_squat" if s.day == "mon" else "plank")
            if p in ("main", "assistance", "finisher", "skill")
            else e
        )
    ),
    "V10": lambda: changed(lambda w, s, p, e: replace(e, exercise="leg_press") if w.number == 2 else e),
    "W07": lambda: changed(nordics(6)),
    "W08": lambda: changed(nordics(9)),
    "X01": lambda: changed(doubled(3), more_days()),
    "X07": lambda: more_days(),
    "X06": lambda: changed(in_a_bout, changed(doubled(3), more_days())),
    "X02": lambda: person(changed(lambda w, s, p, e: replace(e, exercise="pullup")), training_years=0.1),
}


def in_a_bout(week: Week, session: Session, part: str, entry: Entry) -> Entry:
    """Conditioning as half an hour of hard running intervals: no such thing on a day with twelve sets of squats."""
    if part != "conditioning":
        return entry
    work = PlannedSet("work", time_s=240.0, rest_s=60.0)
    return replace(entry, exercise="run", sets=(work,) * 6, bout=Bout("intervals", rounds=6))


def parts_turned_round() -> Block:
    """The made block with assistance before the main lifts."""
    order = {"warm-up": 0, "assistance": 1, "finisher": 2, "main": 3}
    old = made_block()
    return replace(
        old,
        weeks=tuple(
            replace(
                week,
                sessions=tuple(
                    replace(one, parts=tuple(sorted(one.parts, key=lambda part: order.get(part.part, 4))))
                    for one in week.sessions
                ),
            )
            for week in old.weeks
        ),
    )


def assistance_of(*slugs: str) -> Block:
    """The made block with these exercises, in this order, as the assistance of every session."""
    old = made_block()
    return replace(
        old,
        weeks=tuple(
            replace(
                week,
                sessions=tuple(
                    replace(
                        one,
                        parts=tuple(
                            replace(
                                part,
                                entries=tuple(replace(part.entries[0], exercise=slug, superset=None) for slug in slugs),
                            )
                            if part.part == "assistance"
                            else part
                            for part in one.parts
                        ),
                    )
                    for one in week.sessions
                ),
            )
            for week in old.weeks
        ),
    )


def longer_block(weeks: int) -> Block:
    """Hard weeks one after another."""
    first = made_block().weeks[0]
    return replace(made_block(), weeks=tuple(replace(first, number=n + 1, kind="build") for n in range(weeks)))


def nordics(reps: int) -> Change:
    """Every skill entry as slow lowering, three sets."""
    one = PlannedSet("lowering", reps=(reps, reps), rest_s=120.0)
    return lambda w, s, p, e: replace(e, exercise="nordic_ecc", sets=(one,) * 3) if p == "skill" else e


def constant() -> Block:
    """The made block with the same reps, reserve and load in every week."""
    return changed(work(lambda one: replace(one, reps=(5, 6), rir=2.0, load_kg=40.0)))


def more_days() -> Block:
    """The made block with every session twice over, on four days in a row."""
    old = made_block()
    days = ("mon", "tue", "wed", "thu", "fri", "sat")
    return replace(
        old,
        weeks=tuple(
            replace(
                week,
                sessions=tuple(replace(one, day=day) for one, day in zip(week.sessions * 4, days[:4], strict=False)),  # type: ignore[arg-type]
            )
            for week in old.weeks
        ),
    )


def bent_rules(block: Block) -> set[str]:
    return {one.rule for one in check_rules(block, catalogue())}


@pytest.mark.parametrize("rule", sorted(BENT))
def test_a_bent_rule_is_said(rule: str) -> None:
    assert rule in bent_rules(BENT[rule]())


@pytest.mark.parametrize(
    "rule", sorted(set(BENT) - {"D02", "V02", "V08", "T10", "V03", "L07", "L08", "L09", "D01", "D03", "D04", "W05"})
)
def test_the_designed_block_keeps_the_rule(rule: str) -> None:
    assert rule not in bent_rules(made_block())


def test_ages_and_breaks_bind_only_whom_they_are_about() -> None:
    assert not {"L07", "L08", "L09", "D01", "D03", "D04"} & bent_rules(made_block())


def test_a_rule_switched_off_with_a_reason_is_silent() -> None:
    block = BENT["L11"]()
    quiet = brief(block, rules=(RuleSetting("L11", "a test week", True, None),))

    assert "L11" in bent_rules(block) and "L11" not in bent_rules(quiet)


def test_every_rule_has_a_block_that_bends_it_here_or_at_its_edge() -> None:
    assert set(BENT) | {rule for rule, *_ in CASES} == {one.id for one in RULES}


def test_every_rule_names_its_source_and_speaks_to_a_coach() -> None:
    assert len({one.id for one in RULES}) == len(RULES) >= 45
    for one in RULES:
        assert one.source and one.says and not one.says.endswith(".")
        has_a_year = any(letter.isdigit() for letter in one.source)
        assert has_a_year or "table" in one.source or "no published source" in one.source
        if "no published source" in one.source:
            assert one.level == "practice"
        if one.seen == "ours":
            assert one.level == "practice" and "no published source" in one.source


def test_what_is_dear_to_the_coach_stands_first() -> None:
    block = changed(work(lambda one: replace(one, rir=0.0, rest_s=20.0)), BENT["V09"]())
    usual = [one.rule for one in check_rules(block, catalogue())]
    dear = brief(
        block,
        rules=(
            RuleSetting("L11", "", weight=5.0),
            RuleSetting("V09", "", weight=0.5),
            RuleSetting("T01", "", weight=2.0),
        ),
    )
    weighed = [one.rule for one in check_rules(dear, catalogue())]

    assert usual.index("V09") < usual.index("L11")
    assert weighed[0] == "L11" and weighed[-1] == "V09" and sorted(weighed) == sorted(usual)
    assert weighed.index("T01") > weighed.index("L11")


def test_the_weight_of_a_rule_is_one_unless_the_coach_says_more() -> None:
    own = OwnRule("own-1", "Short days.", "at-most-entries", entries=4, weight=7.0)
    said = replace(
        BRIEF,
        rules=(RuleSetting("L11", "", weight=5.0), RuleSetting("T09", "so be it", True), RuleSetting("T10", "", False)),
        own_rules=(own,),
    )

    assert [said.weight_of(rule) for rule in ("L11", "T09", "T10", "V04", "own-1")] == [5.0, 0.0, 1.0, 1.0, 7.0]


HEAD = 'id = "x"\nweeks = 6\ndays_a_week = 2\nminutes = 60\nstart = 2026-09-07\n'


def test_the_brief_file_switches_off_and_weighs_rules() -> None:
    found = read_brief(
        HEAD + '[[rules]]\nrule = "T09"\nreason = "so be it"\n[[rules]]\nrule = "X01"\nweight = 5\n', "b"
    )

    assert found.rules == (RuleSetting("T09", "so be it", True, None), RuleSetting("X01", "", False, 5.0))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('rule = "T09"', "rules[1].reason: found nothing"),
        ('rule = "T99"\nreason = "r"', "allowed: a rule: C01"),
        ('rule = "T09"\nweight = 11', "a number from 0 to 10"),
        ('rule = "T09"\nweight = 2\noff = true\nreason = "r"', "off = true or a weight, not both"),
        ('rule = "T09"\nreason = "r"\n[[rules]]\nrule = "T09"\nweight = 2', "T09 twice"),
    ],
)
def test_a_wrong_setting_of_a_rule_is_one_plain_fault(text: str, said: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_brief(HEAD + "[[rules]]\n" + text, "b")

    assert said in str(caught.value) and len(str(caught.value).splitlines()) == 1


def test_a_block_designed_for_a_return_follows_the_published_ramp() -> None:
    """Referee: CSCCa/NSCA 2019, 50, 70, 80 and 90 % in the first four weeks, rest four and three times the work."""
    returner = replace(PERSON, weeks_off=4.0)
    block = design_block(
        returner, (GYM,), replace(BRIEF, weeks=6, conditioning="short"), catalogue(), estimates_of(returner), limit=0.2
    )

    assert block.weeks[0].kind == "return"
    assert not {"D01", "D02", "D04"} & bent_rules(block)
