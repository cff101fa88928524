"""What the filters of the pages say."""

from __future__ import annotations

import doctest

from setwright.web.templatetags import numbers, said


def test_dates_and_headings_are_said_as_a_coach_would() -> None:
    assert said.spoken_dates("missed on 2026-11-09, not 2026-13-40") == "missed on 9 November, not 2026-13-40"
    assert said.about("missed sessions", "1 of 16") == "Missed sessions: 1 of 16"
    tried = doctest.testmod(said)
    assert tried.attempted == 6 and not tried.failed


def test_rows_of_numbers_are_safe_to_show() -> None:
    assert numbers.as_rows([['<img src="x">', "5 & 6"]]) == (
        "<tr><td>&lt;img src=&quot;x&quot;&gt;</td><td>5 &amp; 6</td></tr>"
    )
    tried = doctest.testmod(numbers)
    assert tried.attempted == 2 and not tried.failed
