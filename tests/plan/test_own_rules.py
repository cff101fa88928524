"""A coach's own rules: told of where a block breaks them, in the coach's own sentence, and silent where it does not.

Their figures are the coach's; the referee of every row is the block itself, counted by hand.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_block import BRIEF, GYM, PERSON, estimates_of
from plain_blocks import PLAIN_PERSON, Days, block_of, held, lift, said, week_of

from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.trainee import DAYS
from setwright.plan.block import Block, Week
from setwright.plan.brief_file import read_brief
from setwright.plan.own_rules import OwnRule
from setwright.plan.own_wishes import allows, credit_of, free_days, is_what, least_rest_s, stands_first, stands_later
from setwright.plan.posing import own_need
from setwright.plan.rules import check_rules
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written

HEAD = 'id = "x"\nweeks = 6\ndays_a_week = 2\nminutes = 60\nstart = 2026-09-07\n[[own_rules]]\nsays = "Mine."\n'


def own(kind: str, **facts: object) -> OwnRule:
    return OwnRule("own-1", "Mine.", kind, **facts)  # type: ignore[arg-type]


def heard(rule: OwnRule, *weeks: Week | Days) -> list[str]:
    made = [one if isinstance(one, Week) else week_of(one) for one in weeks]
    return said(block_of(*made, own_rules=(rule,)), "own-1", catalogue)


ROWS: Days = {"mon": (lift("row_cable", 4), lift("lat_pulldown", 3)), "thu": (lift("row_cable", 2),)}


def test_at_most_so_many_sets_in_a_session() -> None:
    rule = own("at-most-sets", muscle="lats", sets=6, per="session")

    assert heard(rule, ROWS, ROWS) == ["7 on mon in weeks 1 and 2."]
    assert not heard(replace(rule, sets=7.0), ROWS)


def test_at_most_so_many_sets_in_a_week() -> None:
    rule = own("at-most-sets", muscle="lats", sets=8)

    assert heard(rule, ROWS) == ["9 in week 1."]
    assert not heard(replace(rule, sets=9.0), ROWS)


def test_half_sets_count_half() -> None:
    """A row counts half for the elbow flexors (the credit of the catalogue): 9 sets are 4.5."""
    assert heard(own("at-most-sets", muscle="elbow_flexors", sets=4), ROWS) == ["4.5 in week 1."]
    assert not heard(own("at-most-sets", muscle="elbow_flexors", sets=4.5), ROWS)


def test_a_roll_up_counts_the_best_trained_group_of_each_set() -> None:
    """A row is a whole set for the back (lats), a face pull half of one (middle of the upper back)."""
    days: Days = {"mon": (lift("row_cable", 2), lift("face_pull", 2))}

    assert heard(own("at-most-sets", muscle="back", sets=2), days) == ["3 in week 1."]


def test_at_least_so_many_sets_in_a_week_lets_easier_weeks_off() -> None:
    rule = own("at-least-sets", muscle="lats", sets=10)

    assert heard(rule, ROWS) == ["9 in week 1."]
    assert not heard(replace(rule, sets=9.0), ROWS)
    assert not heard(rule, week_of(ROWS, kind="deload"))


def test_at_least_so_many_sets_in_a_session_asks_only_days_that_train_it() -> None:
    rule = own("at-least-sets", muscle="lats", sets=3, per="session")
    days: Days = {**ROWS, "fri": (lift("leg_press"),)}

    assert heard(rule, days) == ["2 on thu in week 1."]


def test_a_muscle_left_out_breaks_the_least_of_a_week() -> None:
    assert heard(own("at-least-sets", muscle="calf", sets=2), ROWS) == ["0 in week 1."]


def test_an_exercise_or_pattern_not_on_a_weekday() -> None:
    assert heard(own("not-on", what="row_cable", days=("thu",)), ROWS) == ["seated cable row on thu."]
    assert len(heard(own("not-on", what="pull_horizontal", days=("mon", "thu")), ROWS)) == 2
    assert not heard(own("not-on", what="row_cable", days=("fri",)), ROWS)


def test_an_exercise_or_pattern_only_on_weekdays() -> None:
    assert heard(own("only-on", what="pull_horizontal", days=("mon",)), ROWS) == ["seated cable row on thu."]
    assert not heard(own("only-on", what="lat_pulldown", days=("mon",)), ROWS)


def test_a_variant_is_meant_with_its_exercise() -> None:
    found = catalogue()
    assert is_what(found.get("nordic_ecc"), found.get("nordic_ecc").base)
    assert not is_what(found.get("leg_press"), "leg_ext")


def test_warm_ups_count_for_no_own_rule() -> None:
    days: Days = {"mon": (lift("row_cable", 1, "warm-up"), lift("leg_press"))}

    assert not heard(own("not-on", what="row_cable", days=("mon",)), days)
    assert not heard(own("at-most-sets", muscle="lats", sets=0), days)
    assert not heard(own("at-most-entries", entries=1), days)


def test_conditioning_keeps_off_a_weekday_too() -> None:
    days: Days = {"mon": (held("bike_easy", 600.0, part="conditioning"),)}

    assert heard(own("not-on", what="bike_easy", days=("mon",)), days)


def test_one_exercise_before_another_in_a_session() -> None:
    rule = own("before", what="lat_pulldown", then="row_cable")

    assert heard(rule, ROWS) == ["cable lat pulldown on mon comes after seated cable row."]
    assert not heard(own("before", what="row_cable", then="lat_pulldown"), ROWS)
    assert not heard(own("before", what="leg_press", then="row_cable"), ROWS)


def test_an_exercise_before_its_own_pattern_is_the_first_of_it() -> None:
    found = catalogue()
    rule = own("before", what="row_inv", then="pull_horizontal")

    assert stands_first(rule, found.get("row_inv")) and not stands_later(rule, found.get("row_inv"))
    assert stands_later(rule, found.get("row_cable")) and not stands_first(rule, found.get("row_cable"))
    turned = own("before", what="pull_horizontal", then="row_inv")
    assert stands_later(turned, found.get("row_inv")) and stands_first(turned, found.get("row_cable"))


def hard(*days: str, sets: int = 6) -> Days:
    return {day: (lift("leg_curl_lying", sets),) for day in days}


@pytest.mark.parametrize(
    ("days", "between", "broken"),
    [
        (("mon", "tue"), 1, True),
        (("mon", "wed"), 1, False),
        (("mon", "wed"), 2, True),
        (("mon", "thu"), 2, False),
        (("sat", "mon"), 2, True),  # the week repeats: only the sunday lies between
        (("sun", "mon"), 1, True),
    ],
)
def test_free_days_between_two_hard_days(days: tuple[str, ...], between: int, broken: bool) -> None:
    rule = own("days-between", muscle="hamstrings", days_between=between, sets=6)

    assert bool(heard(rule, hard(*days))) == broken


def test_a_day_under_the_number_is_not_hard() -> None:
    assert not heard(own("days-between", muscle="hamstrings", days_between=1, sets=6), hard("mon", "tue", sets=5))


def test_free_days_go_the_shorter_way_round() -> None:
    assert [free_days("mon", day) for day in DAYS] == [-1, 0, 1, 2, 2, 1, 0]


def test_at_most_so_many_entries() -> None:
    assert heard(own("at-most-entries", entries=1), ROWS) == ["2 on mon in week 1."]
    assert not heard(own("at-most-entries", entries=2), ROWS)


def test_at_least_so_much_rest() -> None:
    days: Days = {"mon": (lift("leg_press", rest_s=120.0), lift("row_cable", rest_s=60.0))}

    assert heard(own("rest-at-least", rest_s=121.0, what="squat"), days) == ["leg press on mon has 120 s."]
    assert not heard(own("rest-at-least", rest_s=120.0, what="squat"), days)
    assert len(heard(own("rest-at-least", rest_s=180.0), days)) == 2


def test_what_a_rule_means_for_a_search() -> None:
    found = catalogue()
    row, press = found.get("row_cable"), found.get("leg_press")
    rest, off = own("rest-at-least", rest_s=180.0, what="squat"), own("not-on", what="squat", days=("fri",))

    assert credit_of(own("at-most-sets", muscle="back", sets=8), row) == 1.0
    assert credit_of(own("at-most-sets", muscle="arm", sets=8), row) == 0.5
    assert credit_of(own("at-most-sets", muscle="back", sets=8), press) == 0.0
    assert (least_rest_s(rest, press), least_rest_s(rest, row), least_rest_s(off, press)) == (180.0, 0.0, 0.0)
    assert [day for day in DAYS if allows(off, press, day)] == [day for day in DAYS if day != "fri"]
    assert all(allows(off, row, day) and allows(rest, press, day) for day in DAYS)


def test_the_coachs_sentence_stands_before_the_book_and_dear_ones_first() -> None:
    rules = (
        OwnRule("own-1", "Short days.", "at-most-entries", entries=1),
        OwnRule("own-2", "No rows on Thursday.", "not-on", what="row_cable", days=("thu",), weight=3.0),
    )
    found = check_rules(block_of(week_of(ROWS), own_rules=rules), catalogue())

    assert [(one.rule, one.wish) for one in found[:2]] == [("own-2", "No rows on Thursday"), ("own-1", "Short days")]
    assert found[2].rule == "V02" or not found[2].rule.startswith("own")


@pytest.mark.parametrize("kind", ["not-on", "days-between", "before", "rest-at-least", "at-least-sets"])
def test_a_rule_that_lacks_what_its_kind_needs_cannot_exist(kind: str) -> None:
    with pytest.raises(ValueError, match="needs"):
        own(kind)


def test_a_written_block_is_held_against_own_rules_too() -> None:
    brief = replace(BRIEF, lifts=(), skill=None, own_rules=(own("before", what="bench press", then="back_squat"),))
    brief = replace(brief, own_rules=(replace(brief.own_rules[0], what="bench_bb"),))
    text = "Block: invented\n4 weeks\nMonday\nback squat 3 x 5 @ RPE 7\nbench press 3 x 5 @ RPE 7\n"
    block = fit_written(
        read_block_text(text, catalogue()), PERSON, (GYM,), brief, catalogue(), estimates_of(PLAIN_PERSON)
    )

    assert [one.wish for one in block.unmet if one.rule == "own-1"] == ["Mine"]


READ = [
    ('kind = "at-most-sets"\nmuscle = "back"\nsets = 8\nper = "session"', {"muscle": "back", "sets": 8.0}),
    ('kind = "at-least-sets"\nmuscle = "calves"\nsets = 4\nweight = 5', {"weight": 5.0, "per": "week"}),
    ('kind = "not-on"\nwhat = "hinge"\ndays = ["fri"]', {"what": "hinge", "days": ("fri",)}),
    ('kind = "only-on"\nwhat = "back squat"\ndays = ["mon", "thu"]', {"what": "back_squat"}),
    ('kind = "before"\nwhat = "face pull"\nthen = "push_horizontal"', {"then": "push_horizontal"}),
    ('kind = "days-between"\nmuscle = "hamstrings"\ndays_between = 2', {"days_between": 2, "sets": 6.0}),
    ('kind = "at-most-entries"\nentries = 6', {"entries": 6}),
    ('kind = "rest-at-least"\nrest_s = 180', {"rest_s": 180.0, "what": ""}),
]


@pytest.mark.parametrize(("text", "holds"), READ)
def test_the_brief_file_reads_every_kind(text: str, holds: dict[str, object]) -> None:
    (rule,) = read_brief(HEAD + text, "b").own_rules

    assert rule.id == "own-1" and rule.says == "Mine."
    assert {name: getattr(rule, name) for name in holds} == holds


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('kind = "at-most"\nmuscle = "back"\nsets = 8', "at-most-sets, at-least-sets"),
        ("", "own_rules[1].kind: found nothing"),
        ('kind = "not-on"\nwhat = "hinge"', "weekdays, like"),
        ('kind = "not-on"\nwhat = "hinge"\ndays = ["friday"]', "Nearest: fri"),
        ('kind = "not-on"\nwhat = "back squatt press"\ndays = ["fri"]', "an exercise of the catalogue"),
        ('kind = "at-most-sets"\nmuscle = "bak"\nsets = 8', "a muscle group"),
        ('kind = "at-most-sets"\nmuscle = "back"', "own_rules[1].sets: found nothing"),
        ('kind = "at-least-sets"\nmuscle = "back"\nsets = 0', "a number from 0.5 to 60"),
        ('kind = "at-most-sets"\nmuscle = "back"\nsets = 8\nper = "day"', "session, week"),
        ('kind = "before"\nwhat = "hinge"\nthen = "hinge"', "something else than what"),
        ('kind = "days-between"\nmuscle = "back"\ndays_between = 0', "a whole number from 1 to 6"),
        ('kind = "at-most-entries"\nentries = 6\nmuscle = "back"', "an unknown key"),
        ('kind = "rest-at-least"\nrest_s = 180\nweight = 11', "a number from 0 to 10"),
    ],
)
def test_a_wrong_own_rule_is_one_plain_fault(text: str, fault: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_brief(HEAD + text, "b")

    assert fault in str(caught.value) and len(str(caught.value).splitlines()) == 1, str(caught.value)


def test_a_block_with_own_rules_comes_back_from_its_file() -> None:
    from setwright.publish.block_file import block_from_json, block_to_json

    rules = tuple(read_brief(HEAD + text, "b").own_rules[0] for text, _ in READ)
    block: Block = block_of(week_of(ROWS), own_rules=rules, rpe_by_week=(6.0,), easy_weeks=(), priorities=("size",))

    assert block_from_json(block_to_json(block), "block.json") == block


@pytest.mark.parametrize(("weight", "dearer"), [(1.0, False), (5.0, True)])
def test_the_search_knows_the_most_sets_of_a_session_at_the_weight_of_the_coach(weight: float, dearer: bool) -> None:
    """Four and a half counted sets are nine halves; a weight of 1 is the usual price, more is dearer."""
    usual = own_need(own("at-most-sets", muscle="chest", sets=4.5, per="session"), 4)
    need = own_need(own("at-most-sets", muscle="chest", sets=4.5, per="session", weight=weight), 4)

    assert need.session is not None and usual.session is not None
    assert need.session[0] == 9
    assert (need.session[1] > usual.session[1]) is dearer
    assert own_need(own("at-least-sets", muscle="chest", sets=4, per="session"), 4).session is None
