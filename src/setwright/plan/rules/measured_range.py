"""The rule on measured range: what is asked stays within it. It warns; the coach decides."""

from __future__ import annotations

from collections.abc import Iterable

from setwright.plan.range_limits import range_of, shortfalls
from setwright.plan.rules.book import rule
from setwright.plan.rules.view import View


@rule(
    "X05",
    "what an exercise asks stays within the range measured",
    "errors: Powden 2015, Neto 2015, Dougherty 2015; the limits are common practice, no published source",
    "practice",
    "seen",
)
def beyond_the_measured_range(view: View) -> Iterable[str]:
    """Entries that ask for more than the upper end of what was measured, error included, dials and wedge counted."""
    inputs = view.block.inputs
    reach = range_of(inputs.trainee, inputs.brief.start)
    if not reach:
        return
    for _, _, _, entry, exercise in view.rows():
        for short in shortfalls(exercise, reach, inputs.trainee.stature_m, entry.dials):
            yield f"{exercise.name}: {short.text}"
