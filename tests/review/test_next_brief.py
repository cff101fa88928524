"""The next brief: what the last block speaks for, never more than the published rise, never round pain."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from made_block import PERSON
from season_case import MEET, SEASON, brief_after, log_of, plain_block, usual, viewed

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Goal
from setwright.plan.brief_file import read_brief
from setwright.publish.brief_toml import brief_toml
from setwright.review.group_volume import GroupShown, most_allowed, move_of
from setwright.review.next_brief import NextBrief, by_week, next_id


def value(brief: NextBrief, key: str) -> object:
    return next(one.value for one in brief.lines if one.key == key)


def sets_of(brief: NextBrief) -> dict[str, float]:
    return {one.key: one.value for table in brief.tables if table.name == "sets_per_muscle" for one in table.lines}  # type: ignore[misc]


@pytest.mark.parametrize("done", [n / 2 for n in range(1, 41)])
def test_no_group_rises_by_more_than_a_fifth_or_one_set(done: float) -> None:
    """Referee: IUSCA 2021 (20 % in about four weeks, second-hand); one set is always allowed (rule V06)."""
    found = move_of(GroupShown("quadriceps", done, done, (), 0.95), ("a goal",), 20.0)

    assert found.sets <= max(1.2 * done, done + 1.0) + 1e-9
    assert found.sets <= 20.0 and found.sets >= done
    assert most_allowed(done) >= done + 1.0


@pytest.mark.parametrize(
    ("signs", "stop", "behind", "move"),
    [
        ((), "", ("goal",), "raise"),
        ((), "", (), "hold"),
        (("8 of 60 repetitions short",), "", ("goal",), "hold"),
        (("8 of 60 repetitions short", "called 1.4 harder"), "", ("goal",), "lower"),
        ((), "pain of 4 of 10 at the knee", ("goal",), "hold"),
        (("8 of 60 repetitions short",), "pain of 4 of 10 at the knee", ("goal",), "lower"),
    ],
)
def test_a_group_moves_by_what_spoke_for_and_against_it(
    signs: tuple[str, ...], stop: str, behind: tuple[str, ...], move: str
) -> None:
    """Which signs count: common practice, no published source."""
    shown = GroupShown("quadriceps", 10.0, 10.0, (), 0.5, signs, stop)
    found = move_of(shown, behind, 20.0)

    assert found.move == move
    assert (found.sets > 10.0, found.sets < 10.0) == (move == "raise", move == "lower")
    assert all(text in found.why for text in (*signs, stop))


def test_the_brief_reads_and_every_line_says_why() -> None:
    text = brief_toml(brief_after(log_of()))
    brief = read_brief(text, "next.toml", catalogue())

    assert brief.id == "invented-brief-2" and brief.start == date(2026, 10, 5)
    rows = text.splitlines()
    keys = [n for n, row in enumerate(rows) if row and not row.startswith(("#", "["))]
    assert len(keys) > 15
    assert all(rows[n - 1].startswith("# ") for n in keys)
    assert rows[-1].startswith("#") and "# Left to you:" in rows


def test_what_is_behind_and_was_tolerated_gets_more_and_the_rest_is_held() -> None:
    view, _ = usual()
    behind = {one.goal.about for one in view.standings if one.is_behind}
    assert behind == {"back_squat", "chest"}
    done = {one.shown.name: one.shown.done for one in view.moves}
    found = sets_of(brief_after(log_of()))

    assert found["quadriceps"] > done["quadriceps"] and found["chest"] > done["chest"]
    assert all(sets <= max(1.2 * done[name], done[name] + 1.0, 4.0) for name, sets in found.items())
    assert found["elbow flexors"] == done["elbow flexors"]


def test_sets_called_much_harder_than_planned_bring_no_more_and_less_effort() -> None:
    easy, hard = brief_after(log_of()), brief_after(log_of(gain=0.0, rir=0.0))

    assert all(sets <= sets_of(easy)[name] for name, sets in sets_of(hard).items())
    assert sets_of(hard)["quadriceps"] < sets_of(easy)["quadriceps"]
    low, high = value(hard, "rpe")  # type: ignore[misc]
    assert (low, high) == tuple(one - 0.5 for one in value(easy, "rpe"))  # type: ignore[union-attr]


def test_what_hurts_is_left_out_and_left_to_the_coach() -> None:
    brief = brief_after(log_of(pain={"back_squat": (4, "left knee")}))

    lifts = [
        one.value for table in brief.tables if table.name == "lifts" for one in table.lines if one.key == "exercise"
    ]
    assert "back_squat" not in lifts
    assert "back_squat" in value(brief, "exclude")  # type: ignore[operator]
    done = {one.shown.name: one.shown.done for one in viewed(log_of())[0].moves}
    assert sets_of(brief)["quadriceps"] == pytest.approx(0.8 * done["quadriceps"], abs=0.5)
    assert any("left knee" in one and "licensed clinician" in one for one in brief.left)


@pytest.mark.parametrize(("level", "rests"), [(2, False), (4, True), (7, True)])
def test_strong_pain_that_nobody_decided_on_stops_the_proposal_until_a_restriction_answers_it(
    level: int, rests: bool
) -> None:
    """Referee: the strictest band of ``pain_bands.toml``: work rests from 5 of 10 on, and from 3 where it rises."""
    log = log_of(pain={"back_squat": (level, "left knee")})
    knee = parse_restriction("left knee flexion over 60", "test")
    view, _ = viewed(log)
    answered, _ = viewed(log, trainee=replace(PERSON, restrictions=(knee,)))

    assert bool(view.limits.unanswered()) == rests
    assert not answered.limits.unanswered()


def test_a_restriction_never_gets_more_at_its_joint() -> None:
    elbow = parse_restriction("elbow", "test")
    person = replace(PERSON, restrictions=(elbow,))
    brief = brief_after(log_of(), trainee=person)
    done = {one.shown.name: one.shown.done for one in viewed(log_of())[0].moves}

    assert all(sets_of(brief)[name] <= done[name] for name in ("triceps", "elbow flexors"))
    assert any("restriction" in one for one in brief.left)


def test_a_block_that_ends_with_a_meet_cuts_sets_as_published() -> None:
    """Referee: Travis et al. 2020, Sports 8:125: sets down by 30 to 50 % in about two weeks (partly seen)."""
    meet = replace(MEET, date=date(2026, 11, 14))  # a Saturday, six weeks on
    goal = Goal("strength", "back_squat", 1, 190.0, "kg", meet.date)
    brief = read_brief(
        brief_toml(brief_after(log_of(), replace(SEASON, events=(meet,), goals=(goal,)))), "n", catalogue()
    )

    assert brief.weeks == 6 and max(brief.sets_by_week) == 1.0
    assert brief.sets_by_week[-2:] == (0.7, 0.5)
    assert brief.easy_weeks is not None and {5, 6} <= set(brief.easy_weeks)


def test_weeks_too_few_for_a_block_before_a_meet_are_left_to_the_last_one() -> None:
    """Referee: a brief's least weeks, four; the calendar by hand: the meet is on the second Saturday."""
    meet = replace(MEET, date=date(2026, 10, 17))
    brief = brief_after(log_of(), replace(SEASON, events=(meet,)))

    assert value(brief, "start") == date(2026, 10, 19) and value(brief, "weeks") >= 4  # type: ignore[operator]
    assert any("from 2026-10-05 to 2026-10-18 are too few" in one and "30 to 50 %" in one for one in brief.left)


def test_an_old_log_speaks_for_no_rise() -> None:
    """Referee: CSCCa/NSCA 2019 (rule D01): after two weeks off and more, less comes first."""
    fresh, old = (viewed(log_of(), on=day)[0] for day in (date(2026, 10, 4), date(2026, 11, 4)))

    assert "raise" in {one.move for one in fresh.moves}
    assert "raise" not in {one.move for one in old.moves}
    assert all("nothing logged for 4 weeks" in one.why for one in old.moves)


def test_a_curve_has_one_number_for_each_week_and_its_hardest_is_one() -> None:
    efforts, shares = by_week(["build", "build", "easy", "build", "taper", "test"], 7.0, 8.5)

    assert len(efforts) == len(shares) == 6 and max(shares) == 1.0
    assert shares[:4] == [0.75, 0.88, 0.55, 1.0]


def test_ids_count_on() -> None:
    assert [next_id(one) for one in ("autumn", "autumn-2", "year-2027")] == ["autumn-2", "autumn-3", "year-2027-2"]


def test_awkward_words_survive_the_file() -> None:
    """Referee: Python's own TOML reader, by way of the brief reader."""
    block = plain_block()
    title = 'Say "up" \\ now\tand go'
    brief = brief_after(log_of())
    lines = tuple(replace(one, value=title) if one.key == "title" else one for one in brief.lines)

    assert block.inputs.brief.title != title
    assert read_brief(brief_toml(replace(brief, lines=lines)), "n", catalogue()).title == title
