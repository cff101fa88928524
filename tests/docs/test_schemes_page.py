"""The page of set schemes says what the files say."""

from __future__ import annotations

import re
from pathlib import Path

from setwright.plan.schemes import packaged_schemes

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "schemes.md").read_text(encoding="utf-8")
ROWS = {
    row[0]: row[1:] for row in re.findall(r"^\| `([a-z-]+)` \| (.*) \| (.*) \| (.*) \| (.*) \|$", PAGE, re.MULTILINE)
}


def test_every_scheme_has_its_row() -> None:
    assert set(ROWS) == set(packaged_schemes())


def test_the_rows_say_what_the_files_say() -> None:
    for name, one in packaged_schemes().items():
        what, counts, fatigue, log = ROWS[name]
        numbers = [float(text) for text in re.findall(r"[\d.]+", counts)]

        assert what == one.what and float(fatigue) == one.fatigue and log == ", ".join(one.log)
        assert numbers == ([one.counts, one.each_more, one.counts_at_most] if one.each_more else [one.counts])
