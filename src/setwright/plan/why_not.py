"""Why an exercise is not in a block: closed here, not weighed, or what it would cost in the best place for it."""

from __future__ import annotations

from setwright.catalogue.equipment import expand_tokens
from setwright.people.trainee import DAY_NAMES
from setwright.plan.candidates import LEFT_OUT, STRENGTH_PARTS, skill_ceiling
from setwright.plan.explain import join_words
from setwright.plan.gates import judge
from setwright.plan.reasons import exchange_words
from setwright.plan.reasons_frame import Frame
from setwright.plan.search.worth import broken_limits
from setwright.plan.what_if import Exchange


def why_not(frame: Frame, slug: str) -> str:
    """Why an exercise does not stand in the block, by the gates and by a count of the best exchange for it."""
    exercise = frame.context.catalogue.get(slug)
    if slug in frame.brief.exclude or exercise.base in frame.brief.exclude:
        return LEFT_OUT
    if slug in frame.numbers:
        return weighed_words(frame, frame.numbers[slug])
    closed = []
    for place in dict.fromkeys(frame.session(day).place for day in range(len(frame.days))):
        here = frame.context.places[place]
        verdict = judge(exercise, frame.trainee.restrictions, expand_tokens(here.tokens()), frame.trainee)
        closed += [f"{here.name}: {reason}" for reason in verdict.reasons]
    if closed:
        return " ".join(dict.fromkeys(closed))
    parts = [part.replace("-", " ") for part in exercise.parts]
    if not set(exercise.parts) & STRENGTH_PARTS:
        return f"It is for another part of a session: {join_words(parts)}."
    if exercise.skill > skill_ceiling(frame.trainee) + 1:
        return "It asks more skill than the training so far; put it into include to have it all the same."
    return "It is open here, but a search does not take it by itself; put it into include to have it."


def weighed_words(frame: Frame, item: int) -> str:
    """The best exchange that brings an item in, with what it would cost; limits that it breaks are named."""
    found = []
    for day, spots in enumerate(frame.plan.days):
        if day not in frame.posed.problem.items[item].days:
            continue
        for spot in spots:
            plan = frame.counted.exchanged(day, spot.item, item)
            wanted = f"{frame.posed.problem.items[spot.item].key} stands on"
            effect = frame.counted.effect(plan, wanted)
            new = [line for line in broken_limits(frame.counted.room, plan) if line not in frame.counted.bent]
            broken = [line for line in new if not line.startswith(wanted)]
            found.append((bool(broken), effect.points, day, spot.item, effect))
    if not found:
        return "No day of the block is open for it."
    is_broken, _, day, old, effect = min(found, key=lambda one: one[:4])
    place = f"in the place of the {frame.name(frame.candidate(old).slug)} on {DAY_NAMES[frame.days[day]]}"
    words = exchange_words(frame, day, old, Exchange(item, effect))
    limit = " Every exchange for it breaks a limit: minutes, entries, or two of a kind." if is_broken else ""
    return f"Best {place}, and still {words}.{limit}" if effect.points > 0 else f"Best {place}: {words}.{limit}"
