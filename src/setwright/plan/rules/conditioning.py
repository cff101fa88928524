"""The rule on conditioning near strength work: a hard day for a muscle, and hard conditioning for it, stand apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from setwright.people.trainee import Day
from setwright.plan.interference import Weight, felt_share, figures, weight_of
from setwright.plan.own_rules import HARD_DAY_SETS
from setwright.plan.rules.book import label, rule
from setwright.plan.rules.view import View, weeks_in_words


@rule(
    "X06",
    "hard conditioning keeps away from hard sets of the same muscles, the day before, the day itself and the day after",
    "Robineau 2016 (0 h between costs strength, 6 to 24 h less or nothing); Schumann 2022 (explosive strength, most "
    "within one session); the limits are common practice, no published source",
    "practice",
    "seen",
)
def conditioning_near_a_hard_day(view: View) -> Iterable[str]:
    """Days with six counted sets of a muscle on which bouts of the same or a neighbouring day weigh two hard sets."""
    least = figures()["day"]["least"]
    found: dict[tuple[str, str, Day], list[int]] = {}
    worst: dict[tuple[str, str, Day], float] = {}
    for week in view.hard_weeks:
        weights = weights_of(view, week.number)
        for (number, day, muscle), sets in view.sets_by_session.items():
            if number != week.number or sets < HARD_DAY_SETS:
                continue
            for other, weight in weights.items():
                weighs = felt_share(other, day) * weight.sets.get(muscle, 0.0)
                if weighs >= least:
                    key = (muscle, day, other)
                    found.setdefault(key, []).append(week.number)
                    worst[key] = max(worst.get(key, 0.0), weighs)
    for (muscle, day, other), weeks in found.items():
        when = "the same day" if other == day else other
        yield (
            f"{label(muscle)} on {day}: conditioning on {when} weighs like {worst[muscle, day, other]:.1f} hard sets "
            f"in {weeks_in_words(weeks)}."
        )


def weights_of(view: View, number: int) -> Mapping[Day, Weight]:
    """What the bouts of each day of a week weigh, days without one left out."""
    week = next(one for one in view.block.weeks if one.number == number)
    made = {
        session.day: weight_of([entry for part in session.parts for entry in part.entries], view.catalogue)
        for session in week.sessions
    }
    return {day: weight for day, weight in made.items() if weight.sets}
