"""The season file: what is read, what is refused, and which goals hold together."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from setwright.cli.main import run
from setwright.faults import InputFaults
from setwright.people.season import goals_together, read_season
from setwright.people.trainee import Goal
from setwright.services.templates import template_text


def test_the_template_reads_and_names_every_key() -> None:
    """Referee: the keys that the reader itself offers where one is unknown."""
    text = template_text("season")
    found = read_season(text, "season.toml")
    assert [one.kind for one in found.events] == ["break", "meet"] and found.climbs[0].progression == "pullup"

    with pytest.raises(InputFaults) as refused:
        read_season(text.replace("show_dates", "showdates"), "season.toml")
    (fault,) = refused.value.faults
    keys = fault.allowed.split(", ")
    assert len(keys) > 8
    assert [one for one in keys if not re.search(rf"^#? ?(\[\[)?{one}\b", text, re.MULTILINE)] == []


def test_a_meet_eases_off_two_weeks_before_unless_the_coach_says_otherwise() -> None:
    """Referee: Travis et al. 2020, Sports 8:125: about two weeks (partly seen)."""
    text = template_text("season")
    told = text.replace("# taper_weeks = 2 ", "taper_weeks = 3 ")
    assert told != text

    assert read_season(text, "s.toml").events[1].taper_weeks == 2
    assert read_season(told, "s.toml").events[1].taper_weeks == 3


def test_all_faults_come_at_once_with_the_nearest_word(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = template_text("season").replace('kind = "meet"', 'kind = "met"').replace('"deadlift"]', '"deadlfit"]')
    (tmp_path / "season.toml").write_text(text.replace("2027-01-03", "2026-01-03"), encoding="utf-8")

    assert run(["check", str(tmp_path / "season.toml")]) == 2
    said = " ".join(capsys.readouterr().out.split())
    assert "events[1].kind: found 'met'" in said and "Nearest: meet" in said
    assert "events[1].counts[1]: found 'deadlfit'" in said
    assert "events[2].until: found '2026-01-03'; allowed: a day from 2026-12-23 on" in said


def test_a_goal_of_the_season_takes_the_place_of_that_of_the_trainee_file() -> None:
    old = (Goal("strength", "deadlift", target=100), Goal("size", "back"))
    new = (Goal("strength", "deadlift", target=110, by=date(2027, 3, 20)),)

    assert goals_together(old, new) == (new[0], old[1])


def test_a_time_line_covers_a_year_and_every_date() -> None:
    found = read_season(template_text("season"), "season.toml")

    assert found.last_day(date(2026, 9, 7)) == date(2027, 9, 7)
    assert found.last_day(date(2024, 9, 7)) == date(2027, 6, 1)  # the last date in the file
