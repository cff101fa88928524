"""Where a trainee stands on a progression, by the log, and what follows: a step up, a small step, stay, back, sideways.

Two ideas carry this module. One: a step is left upwards only when its exit test was met in two sessions, and downwards
at once after two failures in a row or pain above the limit of the progression. Two: a small step inside an entry (a
hand given up, a thinner band, a lower box) comes before a whole step.

A log tells repetitions, seconds, metres, loads and pain; it does not see form. The numbers are judged here, the form
stays with the coach, and every verdict says so by naming the tests in the coach's words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import InsideStep, Measure, Progression, ProgressionStep
from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import Baseline, Trainee
from setwright.plan.block import Block, Entry
from setwright.plan.block_days import week_start
from setwright.plan.gates import judge
from setwright.strength.logged import EASY_PARTS, Log, LoggedSet

Verdict = Literal["step up", "small step", "stay", "step back", "sideways", "top reached", "closed"]
# Reasons why an exercise is closed for this trainee here; empty when it is open.
Gate = Callable[[str], tuple[str, ...]]
FAILS_UNDER = 0.5  # of what the exit test asks: under half, the step is too high (common practice, no published source)
FAILURES_FOR_BACK = 2
MEANT_RIR = 2.0  # a short set that stops with this many left was meant to be short
LOAD_SLACK_KG = 1.25  # half the smallest step of usual plates, by which a load may miss the share of body mass
STRONG_KINDS = ("sharp", "numb")
PAIN_STOP = 5  # the published bands differ; without a clinician's figure the strictest holds
PAIN_WATCH = 3
STOPPED = "It rests until a licensed clinician or the coach opens it again; nothing is proposed until then."


def open_everywhere(slug: str) -> tuple[str, ...]:
    """A gate that closes nothing."""
    return ()


@dataclass(frozen=True)
class Tried:
    """One session at a step.

    ``amounts``: repetitions, seconds or metres of each set, largest first; ``counted``: what as many sets as the exit
    test wants all reached, or None where there were fewer. ``met``: the numbers of the exit test, all of them.
    ``dials``: what the log says was set.
    """

    date: date
    step: int
    amounts: tuple[float, ...]
    counted: float | None
    load_kg: float | None
    pain: int | None
    met: bool
    failed: bool
    dials: Mapping[str, object]
    at_exit_dials: bool = True
    is_sharp: bool = False
    ended_by_pain: bool = False
    rows: tuple[LoggedSet, ...] = ()


@dataclass(frozen=True)
class Standing:
    """Where somebody stands on a progression, and what follows.

    ``verdict`` with ``to`` (the step it leads to), ``exercise`` (what is done there: the step's own, or what stands in
    for it), ``small`` (the next step inside the entry); ``why`` says the reason, ``evidence`` the rows behind it,
    ``asks`` what is still asked or what the coach has to see first. ``closed``: reasons that close the step reached;
    ``sideways``: what is open and trains the same. ``stopped``: pain so strong or sharp that nothing is proposed.
    """

    climb: Progression
    step: ProgressionStep
    branch: str
    sessions: tuple[Tried, ...]
    met_on: tuple[date, ...]
    failures: int
    verdict: Verdict
    why: str
    evidence: str
    asks: str
    to: ProgressionStep | None = None
    exercise: str = ""
    small: InsideStep | None = None
    closed: tuple[str, ...] = ()
    sideways: tuple[str, ...] = ()
    source: str = ""
    stopped: bool = False

    @property
    def way(self) -> tuple[ProgressionStep, ...]:
        """The way this trainee is on."""
        return self.climb.way(self.branch)

    @property
    def place(self) -> int:
        """Which step of the way it is, from 1."""
        return [one.number for one in self.way].index(self.step.number) + 1


def measure_of(step: ProgressionStep) -> Measure | None:
    """What the exit test counts, or None where it is no set (a range measure)."""
    if step.exit_reps:
        return "reps"
    if step.exit_hold_s:
        return "seconds"
    return "metres" if step.exit_distance_m else None


def wanted_amount(step: ProgressionStep) -> float | None:
    """How much each set of the exit test asks, in its measure."""
    return step.exit_reps or step.exit_hold_s or step.exit_distance_m


def amount_of(one: LoggedSet, measure: Measure | None) -> float | None:
    """What a logged set reached in a measure, or None."""
    if measure == "reps":
        return None if one.reps is None else float(one.reps)
    if measure == "seconds":
        return one.hold_s if one.hold_s is not None else one.time_s
    return one.distance_m if measure == "metres" else None


def rows_of(log: Log, baselines: Sequence[Baseline] = ()) -> tuple[LoggedSet, ...]:
    """The sets of a log that are no warm-up, or hurt; a trainee file's dated sets as sessions of one set each."""
    early = [
        LoggedSet(
            date=one.date,
            week=None,
            session="baseline",
            exercise=one.exercise,
            set=1,
            load_kg=one.load_kg,
            reps=one.reps,
            rir=one.rir,
            hold_s=one.hold_s,
            ended_by="muscle" if one.to_failure else None,
            pain=one.pain,
            dials=dict(one.dials),
        )
        for one in baselines
    ]
    work = [one for one in log.sets if one.part not in EASY_PARTS or one.pain]
    return tuple(sorted((*early, *work), key=lambda one: (one.date, one.session, one.exercise, one.set)))


def step_of_row(
    one: LoggedSet, way: Sequence[ProgressionStep], here: ProgressionStep, catalogue: Catalogue
) -> ProgressionStep | None:
    """The step of the way that a set belongs to, or None.

    An exercise may be two steps that differ by a dial: then the dial of the row decides, by the nearest value; a row
    without it belongs to where the trainee stands, or to the lower one.
    """
    slug = catalogue.get(one.exercise).slug
    steps = [step for step in way if catalogue.get(step.exercise).slug == slug]
    if len(steps) < 2:
        return steps[0] if steps else None
    for name in steps[0].dials:
        told = one.dials.get(name)
        values = [step.dials.get(name) for step in steps]
        if isinstance(told, (int, float)) and all(isinstance(value, (int, float)) for value in values):
            return min(steps, key=lambda step: abs(float(step.dials[name]) - told))  # type: ignore[arg-type]
    return here if here in steps else steps[0]


def set_to(step: ProgressionStep, dials: Mapping[str, object]) -> tuple[bool, InsideStep | None]:
    """(whether the dials of a row are those of the exit test, the small step that comes next by them).

    Only what the log says counts: a row that names no dial of the step stands for the step as it is tested.
    """
    next_small: InsideStep | None = None
    for small in step.inside:
        if is_set(dials, small.dial, small.from_) and next_small is None:
            next_small = small
    numbers = all(
        is_same(dials[name], value)
        for name, value in step.dials.items()
        if name in dials and isinstance(value, (int, float))
    )
    if not numbers and next_small is None:
        next_small = next(
            (one for one in step.inside if one.sets and not all(is_same(dials.get(k), v) for k, v in one.sets.items())),
            None,
        )
    return numbers and next_small is None, next_small


def is_set(dials: Mapping[str, object], dial: str, words: str) -> bool:
    """True when a row says in these words that a dial stood so."""
    told = dials.get(dial)
    return isinstance(told, str) and told.strip().casefold() == words.casefold()


def is_same(told: object, value: object) -> bool:
    """True for equal words, and for numbers that nobody would set apart."""
    if isinstance(told, (int, float)) and isinstance(value, (int, float)):
        return abs(told - value) < 0.51 if abs(value) >= 5 else abs(told - value) < 1e-6
    return told == value


def tried(on: date, step: ProgressionStep, rows: Sequence[LoggedSet], trainee: Trainee, pain_limit: int) -> Tried:
    """One session at a step, from its sets."""
    measure, wanted = measure_of(step), wanted_amount(step)
    sets = step.exit_sets or 1
    pairs = [(amount_of(one, measure), one) for one in rows]
    told = sorted(((amount, one) for amount, one in pairs if amount is not None), key=lambda pair: -pair[0])
    amounts = tuple(amount for amount, _ in told)
    pains = [one.pain for one in rows if one.pain is not None]
    pain = max(pains, default=None)
    is_sharp = any(one.pain_kind in STRONG_KINDS for one in rows)
    counted = amounts[sets - 1] if len(amounts) >= sets else None
    dials: dict[str, object] = {}
    for one in sorted(rows, key=lambda row: row.set):
        dials.update(one.dials)
    at_exit, _ = set_to(step, dials)
    enough = wanted is not None and counted is not None and counted >= wanted
    heavy = [one for amount, one in told if wanted is not None and amount >= wanted and is_heavy(one, step, trainee)]
    calm = (pain is None or pain <= pain_limit) and not is_sharp and not any(has_unmeasured_pain(one) for one in rows)
    met = enough and len(heavy) >= sets and calm and at_exit
    failed = bool(wanted and told) and amounts[0] < FAILS_UNDER * (wanted or 0.0) and not meant_short(told[0][1])
    loads = [one.load_kg for one in rows if one.load_kg is not None]
    return Tried(
        on,
        step.number,
        amounts,
        counted,
        max(loads, default=None),
        pain,
        met,
        failed,
        dials,
        at_exit,
        is_sharp,
        any(one.ended_by == "pain" and not one.pain for one in rows),
        tuple(rows),
    )


def has_unmeasured_pain(one: LoggedSet) -> bool:
    """True where a set ended by pain, or names a place or kind of pain without a number above 0."""
    return one.ended_by == "pain" or (not one.pain and bool(one.pain_where or one.pain_kind))


def is_heavy(one: LoggedSet, step: ProgressionStep, trainee: Trainee) -> bool:
    """True when a set carried the load that the exit test asks, with no more help than it allows; or it asks none."""
    if step.exit_help_share is not None and (one.load_kg or 0.0) > step.exit_help_share * trainee.body_mass_kg:
        return False  # kilograms of help: a lighter band comes first
    if step.exit_load_share is None:
        return True
    return one.load_kg is not None and one.load_kg >= step.exit_load_share * trainee.body_mass_kg - LOAD_SLACK_KG


def meant_short(one: LoggedSet) -> bool:
    """True when a short set stopped because it was planned so, or with some left."""
    if one.rir is not None:
        return one.rir >= MEANT_RIR
    return one.ended_by == "planned"


def standing(
    climb: Progression,
    rows: Sequence[LoggedSet],
    trainee: Trainee,
    catalogue: Catalogue,
    gate: Gate = open_everywhere,
    at: int | None = None,
    branch: str = "",
) -> Standing:
    """Where a trainee stands on a progression, and what follows.

    rows : sets by date (``rows_of``), corrections applied
    gate : what closes an exercise for this trainee here
    at : the step that is planned, where a block plans one; else the trainee file and the log tell
    branch : the way wanted; the branch of the step reached when empty
    """
    declared = [one for one in trainee.steps if one.progression == climb.slug]
    newest = max(declared, key=lambda one: one.date, default=None)
    number = at if at is not None else newest.step if newest is not None else 1
    number = max(1, min(number, len(climb.steps)))
    branch = climb.step(number).branch or branch
    way = climb.way(branch)
    here = climb.step(number)
    source = "the block" if at is not None else "the trainee file" if newest is not None else "the first step"
    since = newest.date if newest is not None and at is None else date.min
    days: dict[date, list[tuple[ProgressionStep, LoggedSet]]] = {}
    hurting: dict[date, list[LoggedSet]] = {}
    for one in rows:
        if one.date < since:
            continue
        step = step_of_row(one, way, here, catalogue)
        if step is not None:
            days.setdefault(one.date, []).append((step, one))
        elif catalogue.get(one.exercise).slug in here.sideways:
            hurting.setdefault(one.date, []).append(one)
        if step is not None and row_hurts(one, climb.pain_limit):
            hurting.setdefault(one.date, []).append(one)  # pain counts on whichever step it came
    sessions: list[Tried] = []
    for day in sorted(days):
        here, sessions, moved = after_day(day, days[day], way, here, sessions, trainee, climb.pain_limit, at is None)
        source = "the log" if moved else source
    return judged(climb, branch, here, sessions, hurting, catalogue, gate, source)


def after_day(
    day: date,
    rows: Sequence[tuple[ProgressionStep, LoggedSet]],
    way: Sequence[ProgressionStep],
    here: ProgressionStep,
    sessions: list[Tried],
    trainee: Trainee,
    pain_limit: int,
    follows: bool,
) -> tuple[ProgressionStep, list[Tried], bool]:
    """(step, sessions at it, whether it moved) after one day of the log.

    follows : the log may move the step: up with a higher step that was done, down only after what calls for it, since
        lower steps are warm-ups too
    """
    order = {step.number: i for i, step in enumerate(way)}
    done = sorted({step.number for step, _ in rows}, key=order.__getitem__)
    target = here
    if follows:
        higher = [number for number in done if order[number] > order[here.number]]
        if higher:
            target = next(step for step in way if step.number == higher[-1])
        elif here.number not in done and called_back(sessions, pain_limit):
            target = next(step for step in way if step.number == done[-1])
    moved = target is not here
    kept = [] if moved else sessions
    own = [one for step, one in rows if step.number == target.number]
    if own:
        kept = [*kept, tried(day, target, own, trainee, pain_limit)]
    return target, kept, moved


def called_back(sessions: Sequence[Tried], pain_limit: int) -> bool:
    """True when the sessions at a step call for a step back."""
    return failures_in_row(sessions) >= FAILURES_FOR_BACK or bool(sessions and hurts(sessions[-1], pain_limit))


def failures_in_row(sessions: Sequence[Tried]) -> int:
    """How many of the newest sessions failed, one after the other."""
    count = 0
    for one in reversed(sessions):
        if not one.failed:
            break
        count += 1
    return count


def hurts(one: Tried, pain_limit: int) -> bool:
    """True when a session hurt above the limit, or sharply, or ended by pain that nobody gave a number."""
    return one.is_sharp or one.ended_by_pain or (one.pain is not None and one.pain > pain_limit)


def row_hurts(one: LoggedSet, pain_limit: int) -> bool:
    """``hurts`` of a single set."""
    unmeasured = one.ended_by == "pain" and not one.pain
    return unmeasured or one.pain_kind in STRONG_KINDS or (one.pain or 0) > pain_limit


def pain_rises(sessions: Sequence[Tried]) -> str:
    """Why pain keeps a step from going up, or an empty text.

    The newest session hurt at the watch level or more, and more than the one before it with a number; or it names
    pain without a number.
    """
    if not sessions:
        return ""
    if any(has_unmeasured_pain(one) for one in sessions[-1].rows):
        return "pain that nobody gave a number"
    told = [one.pain for one in sessions if one.pain is not None]
    last = sessions[-1].pain
    rises = last is not None and last >= PAIN_WATCH and len(told) >= 2 and last > told[-2]
    return f"pain rises, to {last} of 10" if rises else ""


def judged(
    climb: Progression,
    branch: str,
    here: ProgressionStep,
    sessions: Sequence[Tried],
    hurting: Mapping[date, Sequence[LoggedSet]],
    catalogue: Catalogue,
    gate: Gate,
    source: str,
) -> Standing:
    """The verdict on a step, after all sessions at it."""
    name = catalogue.get(here.exercise).name
    pain_days = [one.date for one in sessions if hurts(one, climb.pain_limit)]
    pain_days += [day for day, rows in hurting.items() if any(row_hurts(one, climb.pain_limit) for one in rows)]
    calm_since = max(pain_days, default=date.min)  # what was met before pain above the limit no longer counts
    met_on = tuple(one.date for one in sessions if one.met and one.date > calm_since)
    failures = failures_in_row(sessions)
    closed = gate(here.exercise)
    aside = tuple(slug for slug in here.sideways if not gate(slug))

    def made(verdict: Verdict, why: str, evidence: str, asks: str, **more: object) -> Standing:
        return Standing(
            climb,
            here,
            branch,
            tuple(sessions),
            met_on,
            failures,
            verdict,
            why,
            evidence,
            asks,
            closed=closed,
            sideways=aside,
            source=source,
            **more,  # type: ignore[arg-type]
        )

    way = climb.way(branch)
    numbers = [one.number for one in way]
    below = way[: numbers.index(here.number)]
    pain = newest_pain(sessions, hurting, climb.pain_limit)
    stopped = pain is not None and newest_is_strong(sessions, hurting, climb.pain_limit)
    if pain or failures >= FAILURES_FOR_BACK:
        why, evidence = pain or (
            f"failed {in_a_row(failures)}: under half of what the exit test asks",
            "; ".join(session_words(one, here) for one in sessions[-failures:]),
        )
        lower = next((one for one in reversed(below) if not gate(one.exercise)), None)
        asks = here.way_back + (" If the pain stays, ask a licensed clinician." if pain else "")
        if stopped:
            asks = STOPPED
        if lower is not None:
            return made("step back", why, evidence, asks, to=lower, exercise=lower.exercise, stopped=stopped)
        if not closed:
            return made("step back", why, evidence, asks, exercise=here.exercise, stopped=stopped)
        if not aside:
            return made("closed", why, evidence, asks, stopped=stopped)
        return made("sideways", why, evidence, asks, to=here, exercise=aside[0], stopped=stopped)
    if closed:
        if aside:
            return made("sideways", "; ".join(closed), "", here.exit_test, to=here, exercise=aside[0])
        lower = next((one for one in reversed(below) if not gate(one.exercise)), None)
        if lower is not None:
            return made("sideways", "; ".join(closed), "", lower.exit_test, to=lower, exercise=lower.exercise)
        return made("closed", "; ".join(closed), "", "Nothing on this way is open; leave it for now.")
    last = sessions[-1] if sessions else None
    small = None if last is None else next_small(here, last)
    rises = pain_rises(sessions)
    if small is not None and last is not None and not rises:
        return made(
            "small step",
            f"{small.dial}: from {small.from_} to {small.to}, inside the entry",
            session_words(last, here),
            f"The sign for it: {small.when}.",
            small=small,
            to=here,
            exercise=here.exercise,
        )
    if last is not None and rises:
        why = f"{rises}: nothing goes up until it falls again"
        return made("stay", why, evidence_of(sessions, here), here.exit_test)
    if len(met_on) >= here.exit_sessions:
        evidence = f"the exit test was met on {' and '.join(day.isoformat() for day in met_on[-here.exit_sessions :])}"
        after = climb.next_of(here.number, branch)
        if not after:
            return made("top reached", "the exit test of the top step is met", evidence, "From here the load climbs.")
        for step in after:
            for slug in (step.exercise, *step.sideways):
                if not gate(slug):
                    other = "" if slug == step.exercise else ", sideways"
                    why = f"{name} is done: on to {catalogue.get(slug).name}{other}"
                    return made("step up", why, evidence, f"Check first: {step.entry_test}", to=step, exercise=slug)
        why = f"{name} is done, but the next step is closed: " + "; ".join(gate(after[0].exercise))
        return made("stay", why, evidence, after[0].entry_test)
    return made("stay", still_asked(here, sessions, met_on), evidence_of(sessions, here), here.exit_test)


def next_small(step: ProgressionStep, last: Tried) -> InsideStep | None:
    """The small step that the newest session is ready for: its amount was reached, and the log names its dial."""
    at_exit, small = set_to(step, last.dials)
    wanted = wanted_amount(step)
    if at_exit or small is None or wanted is None or not last.amounts:
        return None
    return small if last.amounts[0] >= wanted and not last.failed else None


def newest_pain(
    sessions: Sequence[Tried], hurting: Mapping[date, Sequence[LoggedSet]], pain_limit: int
) -> tuple[str, str] | None:
    """(why, evidence) where the newest day hurt above the limit, by the step, another step or what stands in for it."""
    rows, day = newest_rows(sessions, hurting)
    if day is None or not any(row_hurts(one, pain_limit) for one in rows):
        return None
    worst = max((one.pain or 0 for one in rows), default=0)
    if any(one.pain_kind in STRONG_KINDS for one in rows):
        level = "sharp pain or numbness"
    elif worst > pain_limit:
        level = f"pain {worst} of 10, above the limit of {pain_limit}"
    else:
        level = "a set ended by pain"
    return f"{level}: back at once", f"{level} on {day.isoformat()}"


def newest_is_strong(sessions: Sequence[Tried], hurting: Mapping[date, Sequence[LoggedSet]], pain_limit: int) -> bool:
    """True when the newest day hurt sharply, or at the level where work stops and above what the progression allows."""
    rows, _ = newest_rows(sessions, hurting)
    return any(
        one.pain_kind in STRONG_KINDS or ((one.pain or 0) >= PAIN_STOP and (one.pain or 0) > pain_limit) for one in rows
    )


def newest_rows(
    sessions: Sequence[Tried], hurting: Mapping[date, Sequence[LoggedSet]]
) -> tuple[tuple[LoggedSet, ...], date | None]:
    """The sets of the newest day of the step, of what stands in for it, and of other steps that hurt."""
    day = max([one.date for one in sessions] + list(hurting), default=None)
    if day is None:
        return (), None
    own = [row for one in sessions if one.date == day for row in one.rows]
    return (*own, *hurting.get(day, ())), day


def in_a_row(count: int) -> str:
    """``twice in a row``."""
    return {1: "once", 2: "twice in a row"}.get(count, f"{count} times in a row")


UNIT: Mapping[Measure, str] = {"reps": "", "seconds": " s", "metres": " m"}


def session_words(one: Tried, step: ProgressionStep) -> str:
    """One session in a line: ``2026-09-07: 8, 8, 7``."""
    unit = UNIT[measure_of(step) or "reps"]
    amounts = ", ".join(f"{amount:g}{unit}" for amount in one.amounts) or "nothing that counts"
    load = f" with {one.load_kg:g} kg" if one.load_kg else ""
    return f"{one.date.isoformat()}: {amounts}{load}"


def evidence_of(sessions: Sequence[Tried], step: ProgressionStep) -> str:
    """The newest sessions in words."""
    return "; ".join(session_words(one, step) for one in sessions[-2:])


def still_asked(step: ProgressionStep, sessions: Sequence[Tried], met_on: Sequence[date]) -> str:
    """What is missing for the exit test."""
    wanted, measure = wanted_amount(step), measure_of(step)
    if wanted is None or measure is None:
        return "this test is measured, not logged: write the next step into the trainee file when it is met"
    if not sessions:
        return "nothing of this step is logged yet"
    left = step.exit_sessions - len(met_on)
    if met_on:
        return f"the exit test was met once; {left} more session{'s' if left > 1 else ''} with it"
    last = sessions[-1]
    if last.counted is None:
        short = (step.exit_sets or 1) - len(last.amounts)
        return f"{short} more set{'s' if short > 1 else ''} in a session to show the exit test"
    if last.counted >= wanted:
        if step.exit_help_share is not None and not last.met and last.at_exit_dials:
            return f"the amount is there; the help comes down to {100 * step.exit_help_share:g} % of body mass first"
        if step.exit_load_share is not None and not last.met and last.at_exit_dials:
            return f"the amount is there; the load is {100 * step.exit_load_share:g} % of body mass"
        return "the numbers are there, but with a dial not yet where the test wants it, or with pain"
    return f"{last.counted:g} of {wanted:g}{UNIT[measure]} in all sets so far"


def planned_skills(block: Block, until: date) -> dict[str, tuple[Entry, Place]]:
    """The newest skill entry of each progression that a block plans in weeks begun by a day, with its place."""
    places = {place.id: place for place in block.inputs.places}
    found: dict[str, tuple[Entry, Place]] = {}
    for week in block.weeks:
        if week_start(block, week.number) > until:
            break
        for session in week.sessions:
            for part in session.parts:
                for entry in part.entries:
                    if entry.progression is not None and entry.step is not None:
                        found[entry.progression] = (entry, places[session.place])
    return found


BACK_TROUBLE = "Closed with a history of back trouble; a licensed clinician can open it."


def gate_at(place: Place, trainee: Trainee, catalogue: Catalogue, climb: Progression | None = None) -> Gate:
    """What closes an exercise of a progression for a trainee at a place."""
    tokens = expand_tokens(place.tokens())

    def gate(slug: str) -> tuple[str, ...]:
        if climb is not None and climb.closed_with_back_trouble and trainee.back_trouble:
            return (BACK_TROUBLE,)
        verdict = judge(catalogue.get(slug), trainee.restrictions, tokens, trainee)
        return () if verdict.allowed else verdict.reasons

    return gate


def planned_standings(block: Block, log: Log, catalogue: Catalogue) -> dict[str, Standing]:
    """Where the trainee of a block stands on each progression that it plans, by its log; nothing without a log."""
    if not log.sets:
        return {}
    until = max(one.date for one in log.sets)
    trainee = block.inputs.trainee
    found: dict[str, Standing] = {}
    for slug, (entry, place) in planned_skills(block, until).items():
        climb = catalogue.progressions.get(slug)
        if climb is None or entry.step is None or entry.step > len(climb.steps):
            continue
        gate = gate_at(place, trainee, catalogue, climb)
        one = standing(climb, rows_of(log), trainee, catalogue, gate, at=entry.step)
        if one.verdict == "sideways" and one.exercise == entry.exercise:
            continue  # it is planned sideways already
        found[slug] = one
    return found
