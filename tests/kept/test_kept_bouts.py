"""Conditioning that changes over the weeks is kept week by week. Referee: the reader of written blocks."""

from __future__ import annotations

from typing import Any

import pytest

from setwright.catalogue.load import catalogue
from setwright.plan.kept_text import kept_text
from setwright.plan.shorthand import read_block_text
from setwright.plan.template import Template

HEAD = (
    "Block: Engine\n4 weeks\nweek 1 RPE 7, week 2 RPE 7.5, week 3 RPE 8, week 4 easy\nDay 1\nback squat 3 x 5 @ RIR 2\n"
)
MOVES = "- 10 kettlebell swings\n- 8 push-ups\n"
CHANGING = {
    "as many rounds": f"weeks 1-2 as many rounds as possible in 8 min:\n{MOVES}\nweek 3 AMRAP 12 min:\n{MOVES}",
    "rounds for time": f"weeks 1-2: 4 rounds for time, cap 15 min:\n{MOVES}\nweek 3: 5 rounds for time:\n{MOVES}",
    "a ladder": "week 1: 15-9 for time: kettlebell swings, push-ups\n\n"
    "weeks 2-3: 21-15-9 for time, cap 20 min: kettlebell swings, push-ups\n",
    "every minute": f"weeks 1-2: EMOM 8:\n{MOVES}\nweek 3: every 90 s for 10 rounds:\n{MOVES}",
    "a circuit": "week 1: circuit, 2 rounds, 40 s work, 20 s to change: plank, rower\n\n"
    "weeks 2-3: circuit, 3 rounds, 40 s work, 20 s to change: plank, rower\n",
    "more of each": f"week 1: AMRAP 8 min:\n{MOVES}\nweek 2: AMRAP 8 min:\n- 15 kettlebell swings\n- 8 push-ups\n\n"
    "week 3: AMRAP 8 min:\n- 15 kettlebell swings\n",
    "intervals": "rower\n- weeks 1-2: 4 x 500 m, rest 2 min, talk test: a few words\n- week 3: 6 x 500 m, rest 90 s\n",
    "steady": "bike\n- week 1: 20 min at 65-75 % of max heart rate\n- weeks 2-3: 30 min at 65-75 % of max heart rate\n",
    "a week without": f"weeks 1-2: AMRAP 8 min:\n{MOVES}",
    "the same": f"AMRAP 8 min:\n{MOVES}\nrower 4 x 500 m, rest 2 min\n",
}


def by_week(template: Template) -> list[Any]:
    """What each week asks, in order; letters of bouts by who shares one."""
    found = []
    for session in template.sessions:
        for week in range(len(template.week_kinds)):
            here = [entry for entry in session.entries if entry.schemes[week] is not None]
            letters = list(dict.fromkeys(entry.superset for entry in here if entry.superset))
            found.append(
                [
                    (
                        entry.exercise,
                        entry.part,
                        letters.index(entry.superset) if entry.superset else None,
                        entry.schemes[week],
                        entry.bout(week),
                    )
                    for entry in here
                ]
            )
    return found


@pytest.mark.parametrize("name", CHANGING)
def test_a_bout_that_changes_over_the_weeks_reads_back_to_the_same_weeks(name: str) -> None:
    template = read_block_text(HEAD + CHANGING[name], catalogue()).template
    text = kept_text("Engine", template, catalogue())
    again = read_block_text(text, catalogue(), days=[one.day for one in template.sessions]).template

    assert sum(entry.bout(0) is not None for entry in template.sessions[0].entries) >= 1
    assert by_week(again) == by_week(template), text
    assert ("weeks 1-2: " in text or "weeks 2-3: " in text or "week 3: " in text) == (name != "the same")


def test_a_bout_of_a_block_is_kept_week_by_week_too() -> None:
    """A block holds one slot for a movement, with a bout of its own in each week: the same text comes from it."""
    template = read_block_text(HEAD + CHANGING["as many rounds"], catalogue()).template
    joined = as_a_block_holds_it(template)
    text = kept_text("Engine", joined, catalogue())

    assert len(joined.sessions[0].entries) == 3
    assert by_week(read_block_text(text, catalogue(), days=["mon"]).template) == by_week(template)


def as_a_block_holds_it(template: Template) -> Template:
    """The same weeks with one entry for each movement."""
    from dataclasses import replace

    (session,) = template.sessions
    made: dict[str, Any] = {}
    for one in session.entries:
        if one.exercise not in made:
            made[one.exercise] = one
            continue
        first = made[one.exercise]
        schemes = tuple(a or b for a, b in zip(first.schemes, one.schemes, strict=True))
        bouts = tuple(a or b for a, b in zip(first.bouts, one.bouts, strict=True))
        made[one.exercise] = replace(first, schemes=schemes, bouts=bouts)
    return replace(template, sessions=(replace(session, day="mon", entries=tuple(made.values())),))
