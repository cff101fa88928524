"""Pain by region: published bands, a clinician's figure, rises, mornings, red flags, and loads that respect them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_block import PERSON, START, made_block

from setwright.catalogue.load import catalogue
from setwright.faults import NoPlan
from setwright.people.trainee import Clearance, Restriction
from setwright.plan.block import Block
from setwright.plan.identity import content_of
from setwright.review.adapt import adapt_block, loads_region
from setwright.review.findings import review_block
from setwright.review.pain import RegionPain, bands, limit_at, pain_by_region, whom_to_see
from setwright.services.deeds import check_file
from setwright.services.demo import unpack
from setwright.strength.estimates import Estimates, estimate_lifts
from setwright.strength.logged import Log, LoggedSession, LoggedSet

KNEE = Restriction("knee", "knee", clearance=Clearance("Dr Invented", date(2026, 9, 1), "tendon loading", pain_up_to=5))
SQUAT_KG = 80.0


def squat(day: int, pain: int | None, where: str = "knee", kind: str | None = None) -> LoggedSet:
    when = START + timedelta(days=day)
    return LoggedSet(
        when, 1 + day // 7, "mon" if day % 7 == 0 else "thu", "back_squat", 1, SQUAT_KG, reps=5, rir=4,
        pain=pain, pain_where=where if pain else "", pain_kind=kind,  # type: ignore[arg-type]
    )  # fmt: skip


def morning(day: int, level: int, where: str = "knee") -> LoggedSession:
    return LoggedSession(START + timedelta(days=day), None, "", None, None, morning_pain=level, pain_where=where)


def knee_of(log: Log, *restrictions: Restriction) -> RegionPain:
    (found,) = pain_by_region(log, restrictions, catalogue(), START + timedelta(days=14))
    return found


@pytest.mark.parametrize(
    ("band", "most"), [("tendon-cleared", 5), ("adductor-programme", 3), ("shoulder-programme", 3)]
)
def test_the_bands_are_the_published_ones(band: str, most: int) -> None:
    """Referee: rule S03 (Silbernagel 2007, the 5 from memory); the adductor (seen) and shoulder programmes (digest)."""
    (row,) = [one for one in bands()["band"] if one["id"] == band]

    assert (row["in_set"], row["next_morning"]) == (most, most) and row["source"] and row["how_known"]


def test_without_a_clinicians_figure_the_strictest_holds() -> None:
    ended = replace(KNEE, clearance=Clearance("Dr Invented", date(2026, 1, 1), "all", date(2026, 2, 1), 5))
    plain = replace(KNEE, clearance=Clearance("Dr Invented", date(2026, 9, 1), "tendon loading"))
    on = START + timedelta(days=14)

    assert limit_at("left knee", [KNEE], on).in_set == 5 and limit_at("left knee", [KNEE], on).who == "Dr Invented"
    for rules, where in (([], "knee"), ([ended], "knee"), ([plain], "knee"), ([KNEE], "elbow"), ([KNEE], "")):
        assert limit_at(where, rules, on).in_set == min(one["in_set"] for one in bands()["band"]) == 3


@pytest.mark.parametrize(("figure", "most"), [(0, 0), (2, 2), (4, 4), (5, 5), (8, 5), (None, 3)])
def test_a_clinicians_figure_counts_up_to_the_widest_published_band(figure: int | None, most: int) -> None:
    """Referee: the project's own law, never over the widest published band of 5; without a figure the strictest, 3."""
    rule = replace(KNEE, clearance=Clearance("Dr Invented", date(2026, 9, 1), "tendon loading", pain_up_to=figure))

    assert limit_at("knee", [rule], START).in_set == most


def test_of_several_figures_the_lowest_counts() -> None:
    rules = [
        replace(KNEE, id=str(figure), clearance=Clearance("Dr Invented", date(2026, 9, 1), "all", pain_up_to=figure))
        for figure in (5, 2, 4)
    ]

    assert limit_at("knee", rules, START).in_set == 2


@pytest.mark.parametrize(
    "scope",
    [
        "tendon loading, pain up to 5 of 10",
        "no pain up to 5 of 10 is allowed yet",
        "walking only; not cleared for pain up to 5",
        "avoid pain to 4",
        "stop at once when pain to 4",
        "pain up to 5 minutes after training",
        "pain up to 10 mm",
    ],
)
def test_words_never_allow_pain(scope: str) -> None:
    """Common practice, no published source: a sentence that denies a figure names it too, so only the key counts."""
    rule = replace(KNEE, clearance=Clearance("Dr Invented", date(2026, 9, 1), scope))
    found = limit_at("knee", [rule], START)

    assert (found.in_set, found.stop, found.who) == (3, 5, "") and "pain_up_to is missing" in found.source


CLEARED = """
[[restrictions]]
id = "knee"
joint = "knee"
[restrictions.clearance]
who = "Dr Invented"
given_on = 2026-09-01
scope = "tendon loading, pain up to 5 of 10"
"""


@pytest.mark.parametrize(
    ("more", "warnings", "faults"),
    [("", 1, 0), ("pain_up_to = 4\n", 0, 0), ("pain_up_to = 11\n", 0, 1), ('pain_up_to = "4 of 10"\n', 0, 1)],
)
def test_the_figure_is_read_from_its_key_and_words_are_told(
    more: str, warnings: int, faults: int, tmp_path: Path
) -> None:
    data = unpack(tmp_path)
    person = data / "people" / "dunja.toml"
    person.write_text(person.read_text(encoding="utf-8") + CLEARED + more, encoding="utf-8")
    checked = check_file(person)

    assert len(checked.faults) == faults and all("pain_up_to" in one.path for one in checked.faults)
    assert all("from 0 to 10" in one.allowed for one in checked.faults)
    assert len(checked.warnings) == warnings and all("words, which are not read" in one for one in checked.warnings)


def test_a_block_without_a_figure_keeps_its_name() -> None:
    """Blocks that were made before keep their bytes: the key is only there where somebody wrote it."""
    with_key, without = (
        replace(KNEE, clearance=Clearance("Dr Invented", date(2026, 9, 1), "all", pain_up_to=figure))
        for figure in (4, None)
    )
    trainee = made_block().inputs.trainee
    keys = []
    for rule in (with_key, without):
        inputs = replace(made_block().inputs, trainee=replace(trainee, restrictions=(rule,)))
        content = content_of(replace(made_block(), inputs=inputs))
        keys.append(set(content["inputs"]["trainee"]["restrictions"][0]["clearance"]))

    assert keys[0] - keys[1] == {"pain_up_to"}


@pytest.mark.parametrize(
    ("log", "cleared", "verdict"),
    [
        (Log((squat(0, 2),)), False, "go on"),
        (Log((squat(0, 3),)), False, "less"),
        (Log((squat(0, 4),)), False, "less"),
        (Log((squat(0, 4),)), True, "go on"),
        (Log((squat(0, 5),)), True, "go on"),
        (Log((squat(0, 5),)), False, "stop"),
        (Log((squat(0, 6),)), True, "stop"),
        (Log((squat(0, 2), squat(7, 3))), False, "stop"),
        (Log((squat(0, 1), squat(7, 2))), False, "hold"),
        (Log((squat(0, 3), squat(7, 4))), True, "less"),
        (Log((squat(0, 4), squat(7, 0))), False, "less"),
        (Log((squat(0, 2),), (morning(1, 4),)), False, "stop"),
        (Log((squat(0, 2),), (morning(1, 2),)), False, "go on"),
        (Log((squat(0, 0),), (morning(1, 3),)), False, "less"),
        (Log((squat(0, 1, kind="sharp"),)), True, "stop"),
        (Log((squat(0, 1, kind="numb"),)), True, "help"),
        (Log((squat(0, 1, where="knee gave way"),)), True, "help"),
    ],
)
def test_level_rise_and_kind_give_the_verdict(log: Log, cleared: bool, verdict: str) -> None:
    """Referee: rules S03 and S04 (a rise over a week or a night means less; seen as digests); from 5 on, and what
    rises to 3 without a clinician's figure, rests (the project's brief; common practice, no published source)."""
    assert knee_of(log, *((KNEE,) if cleared else ())).verdict == verdict


@pytest.mark.parametrize(
    ("said", "who"),
    [
        ("chest pain", "emergency"),
        ("saddle numbness", "emergency"),
        ("numb foot", "doctor"),
        ("left knee", "physiotherapist"),
        ("thumb", "hand therapist"),
        ("pelvic floor", "midwife"),
    ],
)
def test_the_kind_of_professional_is_named(said: str, who: str) -> None:
    """Referee: common practice, no published source."""
    assert who in whom_to_see(said)


@cache
def estimates(reps_left: int = 4) -> Estimates:
    return estimate_lifts(PERSON, catalogue(), PERSON.baselines, Log((squat(0, None),)), START + timedelta(days=7))


def loads_at_the_knee(block: Block) -> dict[tuple[int, str, str], float]:
    where = knee_of(Log((squat(0, 3),)))
    return {
        (week.number, session.day, entry.exercise): max((one.load_kg or 0.0) for one in entry.sets)
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
        if loads_region(entry.exercise, where, catalogue())
    }


@pytest.mark.long
@settings(max_examples=12, deadline=None)
@given(
    first=st.integers(0, 6),
    low=st.integers(0, 10),
    more=st.integers(0, 10),
    by_morning=st.booleans(),
    clear=st.booleans(),
)
def test_more_pain_never_means_more_load_at_that_joint(
    first: int, low: int, more: int, by_morning: bool, clear: bool
) -> None:
    """Referee: the law itself, on the newest level told: in the set, or on the morning after it."""
    person = replace(PERSON, restrictions=(KNEE,) if clear else ())
    block = replace(made_block(), inputs=replace(made_block().inputs, trainee=person))

    def at(level: int) -> dict[tuple[int, str, str], float]:
        log = Log((squat(0, first), squat(3, first)), (morning(4, level),))
        if not by_morning:
            log = Log((squat(0, first), squat(3, level)))
        return loads_at_the_knee(adapt_block(block, log, estimates(), catalogue()))

    calm, sore, planned = at(low), at(min(10, low + more)), loads_at_the_knee(block)

    assert calm and planned
    for key, load in sore.items():
        assert load <= calm.get(key, 0.0) + 1e-6
        assert min(low + more, 10) < 3 or clear or load <= planned[key] + 1e-6


def test_rising_pain_rests_the_lift_and_holds_the_joint() -> None:
    after = adapt_block(made_block(), Log((squat(0, 2), squat(3, 4))), estimates(), catalogue())

    rests = [one for one in after.changes if one.entry == "barbell back squat"]
    assert rests and all(one.to == "rests" and "rises" in one.why and "physiotherapist" in one.why for one in rests)


def test_a_morning_at_the_stop_level_rests_what_loads_the_joint() -> None:
    log = Log((squat(0, None), squat(3, None)), (morning(4, 6),))
    after = adapt_block(made_block(), log, estimates(), catalogue())

    assert any(one.entry == "barbell back squat" and one.to == "rests" for one in after.changes)


def test_a_morning_before_the_first_session_of_a_week_still_changes_that_week() -> None:
    log = Log((squat(0, None), squat(3, None)), (morning(7, 6),))
    after = adapt_block(made_block(), log, estimates(), catalogue())

    assert {one.week for one in after.changes if one.to == "rests"} == {2, 3, 4}


@pytest.mark.parametrize(("where", "kind"), [("saddle numbness", None), ("left foot", "numb")])
def test_a_red_flag_of_the_morning_plans_nothing(where: str, kind: str | None) -> None:
    told = replace(morning(4, 2, where), pain_kind=kind)  # type: ignore[arg-type]

    with pytest.raises(NoPlan, match="in the morning"):
        adapt_block(made_block(), Log((squat(0, None),), (told,)), estimates(), catalogue())


def test_a_red_flag_in_a_note_comes_first_of_all() -> None:
    log = Log((squat(0, 6),), (LoggedSession(START, 1, "mon", 7, 60, note="chest pain on the stairs"),))
    first, second = review_block(made_block(), log, estimates(), catalogue()).findings[:2]

    assert first.kind == "red flag" and "emergency" in first.settles_it
    assert second.kind == "pain" and second.about == "knee"
