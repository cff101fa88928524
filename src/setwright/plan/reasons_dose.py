"""Where the repetitions, the effort and the load of an entry come from, with their numbers."""

from __future__ import annotations

from setwright.dose.implements import loads_in
from setwright.plan.as_template import scheme_of
from setwright.plan.block import Entry, PlannedSet
from setwright.plan.compose import asked_of
from setwright.plan.reasons_frame import Frame
from setwright.strength.estimates import LiftEstimate


def effort_words(frame: Frame, day: int, part: str, entry: Entry) -> str:
    """The effort over the weeks beside that of the weeks themselves."""
    mine = rpe_by_week(frame, day, entry.exercise)
    if not mine:
        return ""
    weeks = [week.rpe for week in frame.block.weeks]
    first, most = mine[0], max(mine)
    text = f"RPE {first:g}" if first == most else f"RPE {first:g} in week 1, {most:g} at most"
    shifts = {round(week - own, 2) for week, own in zip(weeks, mine, strict=False)}
    if len(shifts) > 1 or len(mine) != len(weeks):
        return f"{text}; the weeks ask {weeks[0]:g} in week 1, {max(weeks):g} at most."
    shift = shifts.pop()
    if shift == 0.0:
        return f"{text}: the effort of the weeks."
    is_heavier = frame.context.catalogue.get(entry.exercise).load_capacity >= 3
    usual = ", as for all heavier assistance" if part == "assistance" and shift == 0.5 and is_heavier else ""
    return f"{text}: {abs(shift):g} {'under' if shift > 0 else 'over'} the effort of the weeks{usual}."


def rpe_by_week(frame: Frame, day: int, slug: str) -> list[float]:
    """RPE of the first working set in each week that has the entry."""
    found = []
    for week in range(len(frame.block.weeks)):
        for part in frame.session(day, week).parts:
            for one in part.entries:
                first = first_work(one)
                if one.exercise == slug and part.part != "warm-up" and first is not None and first.rpe is not None:
                    found.append(first.rpe)
                    break
    return found


def first_work(entry: Entry) -> PlannedSet | None:
    """The first working set."""
    return next((one for one in entry.sets if one.kind != "ramp"), None)


def load_words(frame: Frame, entry: Entry, place: str, week: int = 1) -> str:
    """From the estimate to the load of a week: 1RM with its range, what fits, what can be built, how sure.

    entry : as it stands in that week; week : its number
    """
    first = first_work(entry)
    scheme = scheme_of(entry)
    exercise = frame.context.catalogue.get(entry.exercise)
    if first is None or scheme is None or first.load_kg is None or first.load_range_kg is None or first.reps is None:
        return own_weight_words(first, week)
    estimate = frame.context.estimates.for_exercise(exercise.slug)
    low, high = first.load_range_kg
    loads = [one.load_kg for one in loads_in(frame.context.places[place], exercise)]
    above = [one for one in loads if one > first.load_kg + 1e-9]
    if first.load_kg == 0.0:
        more = "" if above else ", but nothing can be built here"
        return f"No load in week {week}: {strength_words(estimate)}; {low:g} to {high:g} kg may fit{more}."
    reps = span(*first.reps)
    left = "" if first.rir is None else f" with {first.rir:g} left"
    said = [
        f"{first.load_kg:g} kg in week {week}: {strength_words(estimate)}; "
        f"for {reps}{left}, {low:g} to {high:g} kg may fit"
    ]
    if first.rir is not None and above and not scheme.inside and first.load_means != "assistance":
        asked = asked_of(exercise, scheme, frame.context)
        middle = sum(asked.plain) / 2.0
        own, belief = asked.estimate.body_part_kg, asked.estimate.posterior
        here = belief.chance(first.load_kg + own, middle, first.rir)
        there = belief.chance(above[0] + own, middle, first.rir)
        said.append(
            f"{percent(here, frame.brief.risk)} likely for the middle of the range, {above[0]:g} kg, the next that can "
            f"be built here, {percent(there, frame.brief.risk)} (you want {100 * frame.brief.risk:.0f} %)"
        )
    elif not above:
        said.append("nothing heavier can be built here")
    return "; ".join(said) + "."


def percent(chance: float, wanted: float) -> str:
    """A chance in per cent, with a decimal where it would else look like the one that is wanted."""
    near = round(100 * chance) == round(100 * wanted) and chance != wanted
    return f"{100 * chance:.1f} %" if near else f"{100 * chance:.0f} %"


def own_weight_words(first: PlannedSet | None, week: int) -> str:
    """What stands instead of a load."""
    if first is None:
        return ""
    if first.note and first.load_kg is None:
        return first.note
    if first.load_kg is not None:
        return f"{first.load_kg:g} kg in week {week}{': ' + first.pieces if first.pieces else ''}."
    return ""


def strength_words(estimate: LiftEstimate) -> str:
    """The 1RM with its range, as printed, and what it rests on."""
    whole, own = estimate.posterior.one_rm(), estimate.body_part_kg
    low, high = whole.p10 - own, whole.p90 - own
    if estimate.basis == "sets":
        rests = f"from {estimate.sets_used} set{'s' if estimate.sets_used != 1 else ''} done"
    elif estimate.basis == "relatives":
        rests = "from related lifts, never done itself"
    else:
        rests = "guessed from body mass, never done"
    return f"1RM between {max(0.0, low):.0f} and {max(0.0, high):.0f} kg, {rests}"


def span(low: int, high: int) -> str:
    """``8 to 10 reps``."""
    return f"{low} reps" if low == high else f"{low} to {high} reps"
