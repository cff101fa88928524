"""The deed behind ``climb``: where a trainee stands on progressions, what comes next, and when the top is likely."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.exercise import Progression
from setwright.catalogue.names import nearest
from setwright.catalogue.step_sizes import DemandOf
from setwright.faults import Fault, InputFaults, NoPlan
from setwright.people.screening import screen, without_expired
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.clearance import REPAIRS
from setwright.plan.gates import SAID as JOINT_SAID
from setwright.plan.gates import Verdict, judge
from setwright.review.adapt import require_no_red_flag, sore_joints
from setwright.review.climb import ClimbAhead, Opened, Opens, StepAheadOfYou, climb_ahead
from setwright.review.progress import BACK_TROUBLE, PAIN_STOP, STRONG_KINDS, Gate, rows_of, standing
from setwright.services.clock import today as clock_today
from setwright.services.gather import Person, Say, catalogue, estimates_for, last_date, load_logs, load_person, silent
from setwright.services.keeping import kept_log
from setwright.services.step_demand import demand_port
from setwright.strength.estimates import Estimates
from setwright.strength.logged import Log, LoggedSet

LATEST = date(2200, 1, 1)  # by --on or by the last row of a log; beyond it four years ahead leave the calendar
SORE_DAYS = 28  # so long strong pain in the log closes what loads the joint (common practice, no published source)


def climb(
    trainee_file: Path,
    log_files: Sequence[Path] = (),
    slugs: Sequence[str] = (),
    *,
    branch: str = "",
    by: date | None = None,
    on: date | None = None,
    place_files: Sequence[Path] = (),
    records: Path | None = None,
    demand: DemandOf | None = None,
    say: Say = silent,
) -> tuple[ClimbAhead, ...]:
    """The climb on each progression that is asked for, or that the trainee file, a goal or the log names.

    demand : how hard a variant is, where it can be reckoned; by the levers of this trainee when None
    Raises InputFaults for an unknown progression or branch, and where nothing is begun; NoPlan where the screen or a
    red flag in the log says that a licensed clinician comes first.
    """
    person = load_person(trainee_file, place_files, say=say)
    log = load_logs(log_files, kept=kept_log(records, person.trainee.id), say=say)
    newest = [one.date for one in person.trainee.baselines] + [one.date for one in person.trainee.steps]
    now = on or last_date(log, max(newest, default=clock_today()))
    return climbs_of(person, log, now, slugs, branch=branch, by=by, demand=demand, file=str(trainee_file))


def climbs_of(
    person: Person,
    log: Log,
    now: date,
    slugs: Sequence[str] = (),
    *,
    branch: str = "",
    by: date | None = None,
    demand: DemandOf | None = None,
    file: str = "trainee",
    estimates: Estimates | None = None,
) -> tuple[ClimbAhead, ...]:
    """The climbs of a person by a log as of a day. Raises as ``climb`` does.

    file : what a fault names; estimates : those of the same log and day, where they are reckoned already
    """
    log = Log(tuple(one for one in log.sets if one.date <= now), tuple(one for one in log.sessions if one.date <= now))
    if now > LATEST:
        raise InputFaults([Fault(file, "the day of the climb", now.isoformat(), f"a day before {LATEST.isoformat()}")])
    require_no_red_flag(log)
    cautions = require_screen(person.trainee, now)
    rows = tuple(one for one in rows_of(log, person.trainee.baselines) if one.date <= now)
    if by is not None and not 0 < (by - now).days <= 7 * 208:
        raise InputFaults([Fault("--by", "", by.isoformat(), f"a day after {now} and within four years")])
    wanted = [named(slug) for slug in slugs] or begun(person, rows)
    if not wanted:
        known = ", ".join(catalogue().progressions)
        hint = f"Ask for one with --progression: {known}."
        raise InputFaults([Fault(file, "", "no progression begun", "a step, a skill goal or a log", hint)])
    if branch:
        ways = sorted({name for one in wanted for name in one.branches})
        if branch not in ways:
            allowed = ", ".join(ways) or "nothing: this progression has one way"
            raise InputFaults([Fault("--way", "", repr(branch), allowed)])
    estimates = estimates or estimates_for(person.trainee, log, now, person.places)
    port = demand or demand_port(person.trainee)
    found = []
    for one in wanted:
        sore = sore_by_log(log, now)
        gate = gate_of(person, one, now, sore)
        way = branch if branch in one.branches else ""
        stands = standing(one, rows, person.trainee, catalogue(), gate, branch=way)
        opens = opens_of(person, now)
        ahead = climb_ahead(stands, person.trainee, catalogue(), estimates, now, port, gate, by, opens)
        found.append(replace(ahead, notes=tuple(dict.fromkeys((*cautions, *ahead.notes)))))
    return tuple(found)


def require_screen(trainee: Trainee, now: date) -> tuple[str, ...]:
    """The screen's cautions. Raises NoPlan where a licensed clinician comes first, as for a block."""
    given = trainee.screening.clearance
    on = now if given is None else max(now, given.given_on)  # the file may be newer than the last session
    found = screen(trainee, "vigorous", on)
    if found.verdict != "go":
        raise NoPlan(found.why, REPAIRS[found.verdict])
    return found.why


def sore_by_log(log: Log, now: date) -> tuple[tuple[date, Restriction], ...]:
    """What the default of a sore joint closes, for each joint that a log of late names with strong or sharp pain."""
    found: dict[str, tuple[date, Restriction]] = {}
    for one in log.sets:
        is_strong = one.pain_kind in STRONG_KINDS or (one.pain or 0) >= PAIN_STOP
        if is_strong and (now - one.date).days <= SORE_DAYS:
            found.update({rule.joint: (one.date, rule) for rule in sore_joints(one.pain_where)})
    for row in log.sessions:
        is_strong = row.pain_kind in STRONG_KINDS or (row.morning_pain or 0) >= PAIN_STOP
        if is_strong and (now - row.date).days <= SORE_DAYS:
            found.update({rule.joint: (row.date, rule) for rule in sore_joints(row.pain_where)})
    return tuple(found.values())


def named(slug: str) -> Progression:
    """The progression of a slug or title. Raises InputFaults with the nearest."""
    known = catalogue().progressions
    for one in known.values():
        if slug.strip().lower() in (one.slug, one.title.lower()):
            return one
    near = nearest(slug, known)
    hint = f"Nearest: {', '.join(near)}." if near else ""
    raise InputFaults([Fault("--progression", "", repr(slug), ", ".join(known), hint)])


def begun(person: Person, rows: Sequence[LoggedSet]) -> list[Progression]:
    """Progressions that the trainee file names as steps or goals; else those whose steps the log knows."""
    known = catalogue()
    told = {one.progression for one in person.trainee.steps}
    told |= {one.about for one in person.trainee.goals if one.kind == "skill"}
    if not told:
        done = {known.get(one.exercise).slug for one in rows}
        told = {one.slug for one in known.progressions.values() if done & {step.exercise for step in one.steps}}
    return [one for one in known.progressions.values() if one.slug in told]


def gate_of(person: Person, climb: Progression, on: date, sore: Sequence[tuple[date, Restriction]] = ()) -> Gate:
    """What closes an exercise for a person: open where some place of theirs opens it and nothing sore is loaded."""
    trainee = without_expired(person.trainee, on)

    def gate(slug: str) -> tuple[str, ...]:
        if climb.closed_with_back_trouble and trainee.back_trouble:
            return (BACK_TROUBLE,)
        verdicts = verdicts_of(person, trainee, slug)
        if not any(verdict.allowed for verdict in verdicts):
            return tuple(dict.fromkeys(verdicts[0].reasons))
        exercise = catalogue().get(slug)
        hurt = [
            f"The log has strong or sharp pain at the {JOINT_SAID.get(rule.joint, rule.joint)} on {day.isoformat()}, "
            "which this loads: it rests until a licensed clinician or the coach decides."
            for day, rule in sore
            if closes(judge(exercise, (rule,), frozenset(), trainee, ignore_equipment=True))
        ]
        return tuple(hurt)

    return gate


def closes(verdict: Verdict) -> bool:
    """Whether soreness closes an exercise; what stays open only on one side or cropped rests too until decided."""
    return not verdict.allowed or bool(verdict.dials)


def verdicts_of(person: Person, trainee: Trainee, slug: str) -> list[Verdict]:
    """The verdict on an exercise at each place of a person; without regard to equipment where they have none."""
    exercise = catalogue().get(slug)
    tokens = [expand_tokens(place.tokens()) for place in person.places]
    if not tokens:
        return [judge(exercise, trainee.restrictions, frozenset(), trainee, ignore_equipment=True)]
    return [judge(exercise, trainee.restrictions, one, trainee) for one in tokens]


def opens_of(person: Person, on: date) -> Opens:
    """With which dials, cautions and loads an exercise is open for a person, at the first place that opens it."""
    trainee = without_expired(person.trainee, on)

    def opens(slug: str) -> Opened:
        limited = bool(trainee.restrictions)
        for verdict in verdicts_of(person, trainee, slug):
            if verdict.allowed:
                is_light = verdict.light or verdict.eased == "light"
                return Opened(verdict.dials, verdict.cautions, is_light, limited)
        return Opened(limited=limited)

    return opens


def climb_json(found: Sequence[ClimbAhead]) -> list[dict[str, Any]]:
    """The published form of ``climb --json``."""
    return [one_json(one) for one in found]


def one_json(one: ClimbAhead) -> dict[str, Any]:
    """One climb as JSON values."""
    known, stands = catalogue(), one.standing

    def day(value: date | None) -> str | None:
        return None if value is None else value.isoformat()

    top = one.steps[-1]
    dose = one.dose
    return {
        "progression": stands.climb.slug,
        "title": stands.climb.title,
        "as_of": one.today.isoformat(),
        "way": stands.branch or None,
        "step": stands.step.number,
        "place": stands.place,
        "of": len(stands.way),
        "exercise": stands.step.exercise,
        "known_from": stands.source,
        "verdict": stands.verdict,
        "why": stands.why,
        "evidence": stands.evidence,
        "asks": stands.asks,
        "to_step": None if stands.to is None else stands.to.number,
        "met_on": [value.isoformat() for value in stands.met_on],
        "failures_in_a_row": stands.failures,
        "small_step": None
        if stands.small is None
        else {
            "dial": stands.small.dial,
            "from": stands.small.from_,
            "to": stands.small.to,
            "when": stands.small.when,
            "set": dict(stands.small.sets),
        },
        "closed": list(stands.closed),
        "sideways": list(stands.sideways),
        "amount_now": None
        if one.amount is None
        else {"middle": round(one.amount[0], 2), "p10": round(one.amount[1], 2), "p90": round(one.amount[2], 2)},
        "rests_on": one.rests_on,
        "sessions_a_week": round(one.sessions_a_week, 2),
        "next_dose": None
        if dose is None
        else {
            "exercise": dose.exercise,
            "sets": dose.sets,
            "measure": dose.measure,
            "from": dose.low,
            "to": dose.high,
            "rest_s": dose.rest_s,
            "load_kg": dose.load_kg,
            "dials": dict(dose.dials),
            "words": dose.words,
        },
        "steps": [
            {
                "step": row.step.number,
                "place": row.place,
                "exercise": row.step.exercise,
                "name": known.get(row.step.exercise).name,
                "dials": dict(row.step.dials),
                "exit_test": row.step.exit_test,
                "chance_within_weeks": {
                    str(weeks): share for weeks, share in zip(one.checkpoints, row.chances, strict=True)
                },
                "chance_by": None if one.asked is None else {"date": day(one.asked), "chance": row.chance_asked},
                "done_by": {"p10": day(row.dates[0]), "p50": day(row.dates[1]), "p90": day(row.dates[2])},
                "order": "the step now"
                if row.size is None
                else "by demand"
                if row.size.ratio is not None
                else "by practice",
                "times_as_hard": None if row.size is None or row.size.ratio is None else round(row.size.ratio, 3),
                "in_between": [
                    {"exercise": b.exercise, "dial": b.dial, "set": dict(b.sets), "words": b.words} for b in row.between
                ],
                "closed": list(row.closed),
                "limited": row.limited or None,
                "sideways": list(row.sideways),
            }
            for row in one.steps
        ],
        "top": {
            "exercise": top.step.exercise,
            "p10": day(top.dates[0]),
            "p50": day(top.dates[1]),
            "p90": day(top.dates[2]),
        },
        "caution": " ".join((*((stands.climb.caution,) if stands.climb.caution else ()), *one.notes)) or None,
    }


def climbs_text(found: Sequence[ClimbAhead]) -> str:
    """All climbs for people."""
    return "\n\n".join(climb_text(one) for one in found)


LIMITED = "while the restriction stands, it can't be shown in full here:"
SAID = {
    "step up": "Up a step",
    "small step": "A small step inside the entry",
    "stay": "Stay",
    "step back": "Back a step, from the next session on",
    "sideways": "Sideways",
    "top reached": "The top is reached",
    "closed": "Closed",
}


def climb_text(one: ClimbAhead) -> str:
    """One climb for people, in 80 columns."""
    from setwright.publish.terminal import fill

    known, stands = catalogue(), one.standing
    name = known.get(stands.step.exercise).name
    way = f", by {stands.branch}" if stands.branch else ""
    lines = [
        fill(f"{stands.climb.title}{way}: step {stands.place} of {len(stands.way)}, {name} (by {stands.source})"),
        fill(f"Moves on when: {stands.step.exit_test.rstrip('.')}, in {stands.step.exit_sessions} sessions.", "  "),
        "",
    ]
    verdict = SAID[stands.verdict]
    if stands.exercise and stands.exercise != stands.step.exercise:
        verdict += f", to {known.get(stands.exercise).name}"
    lines.append(fill(f"{verdict}: {stands.why.rstrip('.')}."))
    if stands.evidence:
        lines.append(fill(f"Log: {stands.evidence}.", "  "))
    if stands.asks and (stands.stopped or stands.verdict not in ("stay", "sideways")):
        lines.append(fill(stands.asks, "  "))
    if stands.closed and stands.verdict != "sideways":
        aside = ", ".join(known.get(slug).name for slug in stands.sideways) or "nothing that is open"
        lines.append(fill(f"Closed here: {' '.join(stands.closed)} Sideways: {aside}.", "  "))
    if one.amount is not None and stands.sessions:
        unit = {"reps": "repetitions", "seconds": "s", "metres": "m"}[known.get(stands.step.exercise).measured_in]
        middle, low, high = one.amount
        now = f"about {middle:.0f} {unit}, between {low:.0f} and {high:.0f} (8 times in 10)"
        lines.append(fill(f"In all sets on a usual day now: {now}; rests on {one.rests_on}.", "  "))
    if one.dose is not None:
        lines += ["", fill(f"Next time: {one.dose.words}.")]
    if stands.verdict not in ("top reached", "closed"):
        lines += ["", *way_lines(one)]
    lines += notes_of(one)
    return "\n".join(lines)


def way_lines(one: ClimbAhead) -> list[str]:
    """The steps that are left with their chances and dates, and what stands between two that lie too far apart."""
    from setwright.publish.terminal import fill

    known = catalogue()
    by = "" if one.asked is None else f", and by {one.asked.isoformat()}"
    lines = [fill(f"The way up; chance to have done the step within {', '.join(map(str, one.checkpoints))} weeks{by}:")]
    for row in one.steps:
        shares = [*row.chances, *(() if row.chance_asked is None else (row.chance_asked,))]
        chances = ", ".join(percent(share) for share in shares)
        lines.append(
            fill(f"{row.place}. {step_name(row.step.exercise, row.step.dials)}: {chances}; {when(row.dates)}", "   ")
        )
        harder = harder_words(row)
        if harder:
            lines.append(fill(harder, "      ", "   "))
        if row.between:
            ways = "; or ".join(f"{known.get(b.exercise).name} with {b.words}" for b in row.between)
            lines.append(fill(f"in between: {ways}", "      ", "   "))
        if row.limited:
            lines.append(fill(f"{LIMITED} {row.limited}", "      ", "   "))
        if row.closed:
            aside = ", ".join(known.get(slug).name for slug in row.sideways) or "nothing that is open"
            lines.append(fill(f"closed here: {' '.join(row.closed)} Sideways: {aside}.", "      ", "   "))
    top = one.steps[-1]
    if len(one.steps) > 1:
        lines += ["", fill(f"Top, {known.get(top.step.exercise).name}: {when(top.dates)}.")]
    return lines


def harder_words(row: StepAheadOfYou) -> str:
    """How much harder a step is than the one before; empty where that rests on practice."""
    if row.size is None or row.size.ratio is None:
        return ""
    much = round(100 * (row.size.ratio - 1))
    said = f"asks {much} % more than the step before" if much > 0 else f"asks {-much} % less than the step before"
    return f"{said}, which is much at once" if row.size.is_too_big else said


def step_name(slug: str, dials: Any) -> str:
    """A step by its exercise, with the number that tells it from others of the same exercise."""
    told = [f"{value:g} cm" for key, value in dials.items() if key.endswith("_cm") and isinstance(value, (int, float))]
    return ", ".join([catalogue().get(slug).name, *told])


def percent(share: float) -> str:
    """A chance as a coach says it."""
    if share < 0.01:
        return "under 1 %"
    return "over 99 %" if share > 0.99 else f"{100 * share:.0f} %"


def when(dates: tuple[date | None, date | None, date | None]) -> str:
    """A date with its range: ``likely by 2027-03-02, between 2026-12-01 and 2027-08-10 (8 times in 10)``."""
    low, middle, high = dates
    if low is None:
        return "hardly within four years"
    late = "later than four years" if high is None else high.isoformat()
    if middle is None:
        return f"likely not within four years; {low.isoformat()} at the earliest (1 time in 10)"
    if middle == low == high:
        return "done"
    return f"likely by {middle.isoformat()}, between {low.isoformat()} and {late} (8 times in 10)"


def notes_of(one: ClimbAhead) -> list[str]:
    """What the numbers do not know, and the cautions."""
    from setwright.publish.terminal import fill

    stands = one.standing
    practice = any(row.size is not None and row.size.ratio is None for row in one.steps)
    notes = []
    if practice:
        notes.append("The order of steps without a figure is by practice; nobody has measured it.")
    notes.append(
        "The log does not see form: you judge it. Dates hold if training goes on as it did; each step above is a "
        "guess from practice, so they are wide."
    )
    notes += [stands.climb.caution] if stands.climb.caution else []
    notes += one.notes
    notes.append(
        f"Pain above {stands.climb.pain_limit} of 10: back a step at once; if it stays, ask a licensed clinician."
    )
    return ["", *(fill(note) for note in notes)]
