"""What the filters of the pages say."""

from __future__ import annotations

import doctest

from setwright.web.templatetags import said


def test_dates_and_headings_are_said_as_a_coach_would() -> None:
    assert said.spoken_dates("missed on 2026-11-09, not 2026-13-40") == "missed on 9 November, not 2026-13-40"
    assert said.about("missed sessions", "1 of 16") == "Missed sessions: 1 of 16"
    tried = doctest.testmod(said)
    assert tried.attempted == 6 and not tried.failed
