"""The questionnaires of the morning: sums, directions, the own usual."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from setwright.review.wellness import WellnessDay, wellness_days, wellness_findings
from setwright.review.wellness_scales import scales
from setwright.strength.logged import LoggedSession, Wellness

START = date(2026, 9, 7)


def days_of(scale: str, *answers: float) -> tuple[WellnessDay, ...]:
    """One morning a day; every question gets the same answer."""
    rows = [
        LoggedSession(START + timedelta(days=n), None, "", None, None,
                      wellness=Wellness(scale, dict.fromkeys(scales()[scale].questions, one)))
        for n, one in enumerate(answers)
    ]  # fmt: skip
    return wellness_days(rows)


@pytest.mark.parametrize(
    ("scale", "questions", "low", "high", "good_is_high"),
    [("bad-is-high", 4, 4, 28, False), ("good-is-high", 5, 5, 25, True)],
)
def test_the_scales_are_the_published_ones(
    scale: str, questions: int, low: float, high: float, good_is_high: bool
) -> None:
    """Referee: Hooper and Mackinnon 1995 (4 questions, 1 to 7, sum 4 to 28, high is bad) and McLean et al. 2010
    (5 questions, 1 to 5, high is good); both seen second-hand (rule M06)."""
    (best, worst) = days_of(scale, scales()[scale].low, scales()[scale].high)

    assert len(scales()[scale].questions) == questions
    assert (best.score, worst.score, best.good_is_high) == (low, high, good_is_high)


@pytest.mark.parametrize(("scale", "bad"), [("bad-is-high", 5.0), ("good-is-high", 1.0)])
def test_clearly_worse_is_told_on_either_scale_after_a_week(scale: str, bad: float) -> None:
    few = days_of(scale, *[3.0, 2.0] * 3, bad)[-1]
    found = days_of(scale, *[3.0, 2.0] * 4, bad)

    assert (few.earlier_days, few.against, few.usual) == (6, "not yet", None)
    assert found[-1].against == "clearly worse" and found[-1].worse_by and found[-1].worse_by > 1.5
    (finding,) = wellness_findings(found)
    assert "earlier days" in finding.evidence and finding.about == "this morning"


@pytest.mark.parametrize(("scale", "good"), [("bad-is-high", 1.0), ("good-is-high", 5.0)])
def test_a_good_morning_and_a_usual_one_are_no_findings(scale: str, good: float) -> None:
    better = days_of(scale, *[3.0, 2.0] * 4, good)

    assert better[-1].against == "clearly better" and wellness_findings(better) == []
    assert wellness_findings(days_of(scale, *[3.0, 2.0] * 5)) == []


def test_the_spread_is_by_hand() -> None:
    """Referee: by hand, sums of 12, 8, 12, 8 ...: mean 10, spread sqrt(32 / 7) = 2.138 (n - 1), 16 is 2.806 off."""
    last = days_of("bad-is-high", *[3.0, 2.0] * 4, 4.0)[-1]

    assert (last.usual, last.spread) == (10, pytest.approx(2.1381, abs=1e-4))
    assert last.worse_by == pytest.approx(2.806, abs=1e-3)


def test_scales_are_never_mixed() -> None:
    both = [
        *(LoggedSession(START + timedelta(days=n), None, "", None, None,
                        wellness=Wellness("bad-is-high", dict.fromkeys(scales()["bad-is-high"].questions, 2.0)))
          for n in range(8)),
        LoggedSession(START + timedelta(days=8), None, "", None, None,
                      wellness=Wellness("good-is-high", dict.fromkeys(scales()["good-is-high"].questions, 1.0))),
    ]  # fmt: skip

    assert wellness_days(both)[-1].against == "not yet"
