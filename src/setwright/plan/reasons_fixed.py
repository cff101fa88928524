"""The answers of entries that no search chose: skill, wanted work, range, conditioning, warm-up, written lines."""

from __future__ import annotations

from setwright.catalogue.derive import set_credits
from setwright.catalogue.exercise import Exercise
from setwright.people.trainee import DAY_NAMES, Restriction
from setwright.plan.block import Entry, Session
from setwright.plan.demand import GENERAL
from setwright.plan.explain import join_words
from setwright.plan.fixed_parts import WANTED_MODES
from setwright.plan.gates import who_set
from setwright.plan.reasons_dose import effort_words, load_words
from setwright.plan.reasons_frame import WANTED_WORDS, Frame, entries_of, runs_words
from setwright.plan.reasons_order import order_words, pair_words

COUNTED = ("main", "skill", "assistance", "finisher")


def fixed_reasons(frame: Frame, session: Session, part: str, entry: Entry, week: int = 1) -> dict[str, str]:
    """The four answers of an entry that follows from a wish, a restriction, a goal or the coach's own line.

    week : number of the week that the session is of
    """
    day = frame.days.index(session.day)
    exercise = frame.context.catalogue.get(entry.exercise)
    return {
        "this": joined(
            written_words(frame, entry), entry.why, asker_words(frame, exercise, entry), gives(frame, day, part, entry)
        ),
        "here": joined(place_words(frame, day, part, entry), pair_words(frame, day, entry), filler_words(frame, entry)),
        "much": joined(
            f"Sets: {runs_words(sets_by_week(frame, day, part, entry))}.",
            takes_words(frame, day, part, entry),
            "" if part == "warm-up" else effort_words(frame, day, part, entry),
            load_words(frame, entry, session.place, week),
        ),
        "instead": joined(step_words(frame, entry), case_words(frame, entry)),
    }


def joined(*texts: str) -> str:
    """The sentences that say something."""
    return " ".join(text for text in texts if text)


def written_words(frame: Frame, entry: Entry) -> str:
    """The coach's own line, and what the rules say of it."""
    if not entry.written:
        return ""
    name = frame.name(entry.exercise).lower()
    said = [f"{one.wish}: {one.why.rstrip('.')}" for one in frame.block.unmet if one.rule and name in one.wish.lower()]
    rules = f" The rules say: {'; '.join(said)}." if said else ""
    return f'You wrote it: "{entry.written.strip()}".{rules}'


def asker_words(frame: Frame, exercise: Exercise, entry: Entry) -> str:
    """The restriction that wants it, by who set it."""
    if WANTED_WORDS not in entry.why:
        return ""
    asked = [rule for rule in frame.trainee.restrictions if wants(rule, exercise) and rule.joint in entry.why]
    if not asked:
        return ""
    rule = asked[0]
    since = f", since {rule.since.isoformat()}" if rule.since else ""
    return f"{who_set(rule)}{since}, wants {join_words([one.replace('-', ' ') for one in rule.wanted])}."


def wants(rule: Restriction, exercise: Exercise) -> bool:
    """True when a restriction wants the kind of work that an exercise is."""
    return any(exercise.mode in WANTED_MODES[wanted] for wanted in rule.wanted)


def gives(frame: Frame, day: int, part: str, entry: Entry) -> str:
    """Counted sets of the hardest week that it gives to the needs."""
    if part not in COUNTED:
        return ""
    exercise = frame.context.catalogue.get(entry.exercise)
    credits, rows = set_credits(exercise), {row[0]: row[1] for row in GENERAL}
    sets = sets_by_week(frame, day, part, entry)[frame.hardest]
    said = []
    for index, need in enumerate(frame.posed.problem.needs):
        credit = max((credits.get(muscle, 0.0) for muscle in rows.get(need.name, ())), default=0.0)
        if credit and need.target > 0 and sets:
            said.append(f"{credit * sets:g} for {frame.need(index)}")
    return f"Counted sets in {frame.week_words}: {join_words(said[:4])}." if said else ""


def place_words(frame: Frame, day: int, part: str, entry: Entry) -> str:
    """The order of the day, and the other days by their minutes."""
    said = []
    if part != "warm-up":
        order = order_words(frame, day, part, entry)
        said.append(f"{DAY_NAMES[frame.days[day]]}, {order[:1].lower()}{order[1:]}")
    here = [one for its, one in entries_of(frame.session(day)) if its == part and one.exercise == entry.exercise]
    at_peak = here[0] if here else None
    for to in range(len(frame.days)):
        if to == day or at_peak is None or part == "warm-up":
            continue
        name = DAY_NAMES[frame.days[to]]
        if any(one.exercise == entry.exercise and its == part for its, one in entries_of(frame.session(to))):
            said.append(f"{name} holds it too.")
            continue
        minutes, cap = frame.minutes_if_moved(at_peak, part, to), frame.session(to).minutes_cap
        if cap is not None and minutes > cap + 1e-6:
            said.append(f"{name} would last {minutes:g} of {cap:g} min with it.")
    return joined(*said)


def filler_words(frame: Frame, entry: Entry) -> str:
    """What is done in its rests, and why."""
    if entry.filler is None:
        return ""
    return f"In its rests: {frame.name(entry.filler.exercise)}. {entry.filler.why}".strip()


def sets_by_week(frame: Frame, day: int, part: str, entry: Entry) -> list[int]:
    """Working sets of the entry in each week."""
    return [
        sum(
            len(one.working_sets)
            for its, one in entries_of(frame.session(day, week))
            if its == part and one.exercise == entry.exercise
        )
        for week in range(len(frame.block.weeks))
    ]


def takes_words(frame: Frame, day: int, part: str, entry: Entry) -> str:
    """The minutes of the day that it takes in the hardest week."""
    session = frame.session(day)
    if all(one.exercise != entry.exercise for _, one in entries_of(session)):
        return ""
    takes = session.minutes - frame.minutes_without(day, part, entry.exercise)
    return f"Takes {takes:.1f} of {session.minutes:g} min in {frame.week_words}." if takes > 0 else ""


def step_words(frame: Frame, entry: Entry) -> str:
    """The way back from a step, and what trains the same."""
    progression = frame.context.catalogue.progressions.get(entry.progression or "")
    step = next((one for one in progression.steps if one.number == entry.step), None) if progression else None
    if step is None:
        return ""
    back = f"Way back: {step.way_back.rstrip('.')}." if step.way_back else ""
    others = [frame.name(slug) for slug in step.sideways if slug != entry.exercise]
    return joined(back, f"Trains the same: {join_words(others)}." if others else "")


def case_words(frame: Frame, entry: Entry) -> str:
    """The stand-ins that the entry has for other cases."""
    return " ".join(
        f"{one.case[:1].upper()}{one.case[1:]}: {frame.name(one.exercise)}." for one in entry.alternatives if one.case
    )
