"""From baselines and logged rows to evidence: which kind of statement each row is.

A row never vanishes here unless it says nothing about strength (no load and no repetitions or seconds).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import exp, hypot, log
from statistics import median

from setwright.body.models import models
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Baseline, Trainee
from setwright.strength.compound import Piece, as_plain, usual_body
from setwright.strength.curve import SECONDS_HELD_A_REP
from setwright.strength.evidence import Kind, SetEvidence
from setwright.strength.expected import body_part, k_prior, ratio_prior
from setwright.strength.holds import LoggedHold, curve_of, hold_figures
from setwright.strength.lever_load import ANGLE_SD, breaks_on_the_way, help_kg, lever_dials
from setwright.strength.logged import EASY_PARTS, Log, LoggedSet
from setwright.strength.parts_done import bouts_done, what_tells
from setwright.strength.roster import EASY_LEFT, FAR_CALL
from setwright.strength.short_rests import bouts_as_plain
from setwright.strength.tempo import slowness

LONGEST_SET = 20  # repetitions beyond which a set says little about a single (common practice): at least so many
MOST_PLAIN_REPS = 25  # the same for sets with holds or at a slow tempo, as plain repetitions: their load is lighter
# What helps is known badly: a band differs by 10 to 20 % from its label (reference on bands), machines by friction.
HELP_SD = 0.15
# "light" counts only as the end of what is said: a light head or a light pain is no light set.
EASY = re.compile(
    r"\b(?:easy|comfortable|(?:felt|very|too|really|so) light"
    r"(?=\s*(?:$|[.,;:!)]|\b(?:today|again|now|and|but|all|for|throughout|enough)\b)))",
    re.IGNORECASE,
)
NOT_EASY = re.compile(
    r"(?:\b(?:not|never|no|less|hardly|scarcely|barely|far from|anything but|nothing)\b|n['\u2019]t\b)"
    r"[^.;,]{0,24}\b(?:easy|comfortable|light)\b"
    r"|\b(?:easy|comfortable)\W*(?:\?|not\b)|\blight\W?head|\b(?:dizz|faint|nause)",
    re.IGNORECASE,
)
# Only a note that begins so: "will test next week" and "meet me at five" are no tests.
TESTED = re.compile(
    r"^\W*(?:(?:in |at |a |the |new )*(?:1 ?rm(?: test)?|tested(?: single)?|test(?: day| single)?|competition|contest"
    r"|meet(?: day)?|max(?:imum)?(?: attempt)?)|(?:first|second|third|last|1st|2nd|3rd) attempt)"
    r"(?:\W*$|\W*[,.;:!(-]|\s+(?:day|single|attempt|lift|1 ?rm|today|\d))",
    re.IGNORECASE,
)
NOT_TESTED = re.compile(
    r"(?:\b(?:not|no|never|without|warm(?:ing|ed)?\W?up)\b|n['\u2019]t\b)"
    r"[^.;,]{0,24}\b(?:test|max|attempt|1 ?rm|competition|contest|meet)",
    re.IGNORECASE,
)
TEST_REPS = 3
PARTIAL = ("form", "balance", "grip", "breath", "pain")


@dataclass(frozen=True)
class Gathered:
    """All that says something about one lift, and the sets as they were written, for people to read."""

    exercise: Exercise
    sets: tuple[SetEvidence, ...]


def of_hold(
    on: date,
    load: float,
    seconds: float,
    failed: bool,
    rir: float | None,
    exercise: Exercise,
    doubt: float,
    number: int,
) -> SetEvidence:
    """A hold of a held lift as evidence about the greatest load that could be held, by the curve of its joint.

    A hold to the end is exact but for the scatter of one person from day to day: how this person differs from the
    curve goes into the greatest load, which only holds are compared with. Repetitions called as left count four
    seconds each. Any other hold is a lower bound.
    """
    curve = curve_of(exercise)
    of_day = hold_figures().same / curve.power
    called = None if failed or rir is None or rir >= FAR_CALL else rir
    if called is not None:
        more = SECONDS_HELD_A_REP * called
        unsure = SECONDS_HELD_A_REP * (0.5 + 0.5 * called) / (seconds + more) / curve.power
        seconds, doubt = seconds + more, hypot(doubt, unsure)
    kind: Kind = "failure" if failed or called is not None else "lower-bound"
    greatest = load * exp(curve.strain(seconds))
    return SetEvidence(on, greatest, 1, kind, 0.0, number, guess_sd=hypot(of_day, doubt), held_kg=load)


def of_baseline(base: Baseline, exercise: Exercise, own_kg: float, band_kg: float | None = None) -> SetEvidence | None:
    """A baseline set as evidence, or None where it holds no load and repetitions.

    band_kg : what a band takes off where no kilograms are written; None where nobody knows
    A lowering down to ``reached_deg`` is one repetition that was just possible over that range.
    """
    helped = help_of(base.load_kg, exercise.load_means, band_kg)
    if helped is None:
        return None
    load = own_kg - helped + (0.0 if helped else base.load_kg or 0.0)
    if load <= 0:
        return None
    if base.reached_deg is not None:
        return SetEvidence(base.date, load, 1, "failure", 0.0, guess_sd=ANGLE_SD)
    if base.reps is None and not base.hold_s:
        return None
    if base.reps is None:
        return of_hold(base.date, load, base.hold_s or 0.0, base.to_failure, base.rir, exercise, 0.0, 1)
    kind: Kind = "failure" if base.to_failure else "called" if base.rir is not None else "lower-bound"
    if base.is_test and not base.to_failure:
        kind = "test"
    assert base.reps is not None
    doubt = doubt_of_help(helped, base.load_kg, load)
    return SetEvidence(base.date, load, base.reps, kind, base.rir or 0.0, guess_sd=doubt)


def help_of(load_kg: float | None, means: str | None, band_kg: float | None) -> float | None:
    """Kilograms of help in a set: what is written, or what the band takes off; None for help that nobody knows."""
    if means != "assistance":
        return 0.0
    if load_kg is not None:
        return max(0.0, load_kg)
    return band_kg or None


def doubt_of_help(helped_kg: float, written_kg: float | None, load_kg: float) -> float:
    """Doubt about the load (ln) from help: twice as much where the band was never measured."""
    return HELP_SD * (1.0 if written_kg else 2.0) * helped_kg / load_kg


def is_tested(words: str) -> bool:
    """Whether a note or the name of a session says that a single was a test or an attempt in competition."""
    return bool(TESTED.search(words)) and not NOT_TESTED.search(words)


def of_set(
    done: LoggedSet, exercise: Exercise, own_kg: float, number: int, band_kg: float | None = None
) -> SetEvidence | None:
    """A logged set as evidence, or None where it says nothing about strength.

    Repetitions with a hold are hold, repetitions, hold; they, and repetitions at a tempo among the dials that is
    slower than usual, count as the plain set that asks as much.
    Only ``ended_by = muscle`` is failure; form, balance, grip, breath and pain give a lower bound.
    band_kg : what a band takes off where no kilograms are written; None where nobody knows
    """
    done = what_tells(done)
    helped = help_of(done.load_kg, done.load_means or exercise.load_means, band_kg)
    if helped is None:
        return None
    load = own_kg - helped + (0.0 if helped else done.load_kg or 0.0)
    if load <= 0 or (done.load_kg is None and own_kg <= 0) or (done.reps is None and not done.hold_s):
        return None
    doubt = doubt_of_help(helped, done.load_kg, load)
    failed = done.ended_by == "muscle"
    if done.reps is None:
        if exercise.is_dynamic:
            return None
        rir = None if done.ended_by in PARTIAL else done.rir
        return of_hold(done.date, load, done.hold_s or 0.0, failed, rir, exercise, doubt, number)
    if done.reps == 0 and not failed:
        return None
    kind: Kind = "failure"
    if failed:
        pass
    elif done.ended_by in PARTIAL:
        kind = "lower-bound"
    elif 1 <= done.reps <= TEST_REPS and (done.rir or 0) == 0 and (is_tested(done.note) or is_tested(done.session)):
        kind = "test"
    elif done.rir is not None:
        kind = "called"
    elif EASY.search(done.note) and not NOT_EASY.search(done.note):
        kind = "easy"
    else:
        kind = "lower-bound"
    reps, unsure = plain_reps(done, exercise, kind)
    doubt = hypot(doubt, unsure)
    if done.reps > LONGEST_SET or reps > MOST_PLAIN_REPS:
        return SetEvidence(done.date, load, LONGEST_SET, "lower-bound", 0.0, number, guess_sd=doubt)
    return SetEvidence(done.date, load, reps, kind, done.rir or 0.0, number, guess_sd=doubt)


def plain_reps(done: LoggedSet, exercise: Exercise, kind: Kind) -> tuple[float, float]:
    """(repetitions at the usual pace that a set with holds, in parts or at a slow tempo comes to, doubt in ln load).

    A hold is counted twice, before and after the repetitions, unless the log says ``holds=1``.
    """
    slow = slowness(done.dials.get("tempo"), exercise.rep_s)
    reps = float(done.reps or 0)
    bouts = bouts_done(done, slow)
    if (slow == 1.0 and not done.hold_s and not bouts) or reps == 0:
        return reps, 0.0
    reserve = min(done.rir or 0.0, FAR_CALL) if kind == "called" else 0.0
    log_k, _ = k_prior(exercise)
    body = usual_body(exp(log_k), curve_of(exercise))
    if bouts:
        in_parts = bouts_as_plain(bouts, reserve, body)
        return in_parts.reps - reserve, in_parts.log_sd
    times = 1.0 if done.dials.get("holds") == 1 else 2.0
    pieces = [Piece(seconds=times * (done.hold_s or 0.0)), Piece(reps=reps, slow=slow)]
    plain = as_plain(pieces, reserve, body)
    return plain.reps - reserve, plain.log_sd


def holds_of_moving_lifts(
    trainee: Trainee, catalogue: Catalogue, log: Log, until: date
) -> dict[str, tuple[LoggedHold, ...]]:
    """Holds of lifts that are otherwise moved, by exercise: they tell how long this person holds a known share.

    A hold that ended early is left out where another hold says as much with no less load.
    """
    found: dict[str, list[LoggedHold]] = {}
    for done in sorted(log.sets, key=in_order):
        exercise = catalogue.get(done.exercise)
        if not exercise.is_dynamic or done.reps is not None or not done.hold_s or done.date > until:
            continue
        if (done.load_means or exercise.load_means) == "assistance":
            continue
        load = (done.load_kg or 0.0) + own_part(exercise, trainee)
        if load > 0:
            to_the_end = done.ended_by == "muscle" or (done.rir == 0 and done.ended_by not in PARTIAL)
            found.setdefault(exercise.slug, []).append(LoggedHold(load, done.hold_s, to_the_end))
    return {slug: tuple(without_echoes(rows)) for slug, rows in sorted(found.items())}


def without_echoes(rows: Sequence[LoggedHold]) -> list[LoggedHold]:
    """The holds without those that ended early and are outdone by another, the longest first."""
    kept: list[LoggedHold] = []
    for one in sorted(rows, key=lambda row: (-row.seconds, -row.load_kg, not row.to_the_end)):
        if one.to_the_end or not any(other.load_kg >= one.load_kg for other in kept):
            kept.append(one)
    return kept


def in_order(done: LoggedSet) -> tuple[object, ...]:
    """Where a set stands among all, whatever the order of the rows."""
    called = -1.0 if done.rir is None else done.rir
    return (
        done.date,
        done.exercise,
        done.set,
        done.load_kg or 0.0,
        done.reps or 0,
        called,
        done.ended_by or "",
        done.row,
    )


def says_nothing(exercise: Exercise, dials: Mapping[str, object], reached_deg: float | None = None) -> bool:
    """Whether a set is a lowering that few control to the end, and nobody wrote how far it was controlled."""
    return breaks_on_the_way(exercise) and reached_deg is None and "range_deg" not in dials


def dials_of(base: Baseline, exercise: Exercise) -> Mapping[str, object]:
    """The dials of a baseline set, the range that a lowering was controlled over among them."""
    if base.reached_deg is None or exercise.lever is None:
        return base.dials
    start = exercise.lever.dials.get("from_deg", models()[exercise.lever.model].dial("from_deg").usual)
    return {**base.dials, "range_deg": [base.reached_deg, start]}


def own_part(exercise: Exercise, trainee: Trainee, dials: Mapping[str, object] | None = None) -> float:
    """Kilograms of the body that count as load: those moved, or for a hold without any figure half of the body.

    Only what the same hold is compared with later depends on that half, and there it cancels.
    """
    moved = body_part(exercise, trainee, dials)
    if moved or exercise.is_dynamic or exercise.load_means not in ("body", "added"):
        return moved
    return HALF_OF_BODY * trainee.body_mass_kg


def band_help(exercise: Exercise, trainee: Trainee, dials: Mapping[str, object]) -> float | None:
    """``help_kg`` of a band that the set itself describes; None else.

    Bands differ tenfold: one that nobody described may have carried nearly all, so its set tells nothing of strength.
    """
    return help_kg(exercise, trainee, dials) if "band_test_kg" in lever_dials(exercise, dials) else None


def gather(
    trainee: Trainee, catalogue: Catalogue, baselines: Sequence[Baseline], log: Log, until: date
) -> dict[str, list[SetEvidence]]:
    """All sets of all lifts up to a date as evidence, by exercise, in order of date and set; warm-ups tell nothing."""
    found: dict[str, list[SetEvidence]] = {}
    for base in baselines:
        exercise = catalogue.get(base.exercise)
        dials = dials_of(base, exercise)
        if says_nothing(exercise, dials, base.reached_deg):
            continue
        own, band = own_part(exercise, trainee, dials), band_help(exercise, trainee, dials)
        one = of_baseline(base, exercise, own, band)
        if one is not None and one.date <= until:
            found.setdefault(exercise.slug, []).append(one)
    numbers: dict[tuple[date, str], int] = {}
    for done in sorted((one for one in log.sets if one.part not in EASY_PARTS), key=in_order):
        exercise = catalogue.get(done.exercise)
        key = (done.date, exercise.slug)
        numbers[key] = numbers.get(key, 0) + 1
        if says_nothing(exercise, done.dials):
            continue
        own, band = own_part(exercise, trainee, done.dials), band_help(exercise, trainee, done.dials)
        one = of_set(done, exercise, own, numbers[key], band)
        if one is not None and one.date <= until:
            found.setdefault(exercise.slug, []).append(one)
    return {
        slug: sorted(rows, key=lambda s: (s.date, s.number, s.load_kg, s.reps, s.kind, s.rir))
        for slug, rows in sorted(found.items())
    }


HALF_OF_BODY = 0.5
ECHO_DAYS = 56  # a bound stays said for eight weeks (this project's line)


def bound_of(one: SetEvidence) -> float | None:
    """Repetitions that a row says were possible at least; None where it says more than a bound."""
    if one.kind == "called" and one.rir >= FAR_CALL:
        return one.reps + FAR_CALL
    return {"lower-bound": one.reps, "easy": one.reps + EASY_LEFT}.get(one.kind)


def with_echoes(sets: Sequence[SetEvidence]) -> list[SetEvidence]:
    """The same sets, those marked whose bound an earlier set of the last weeks has given already.

    "At least five" said ten times is no more than said once; the filter, which takes each row for news, would drift.
    A call of five or more says so anew on each day, because calls scatter.
    """
    said: list[SetEvidence] = []
    marked = []
    for one in sets:
        bound = bound_of(one)
        if bound is None or one.strange:
            marked.append(one)
            continue
        is_echo = any(
            (one.date - before.date).days <= (0 if one.kind == "called" else ECHO_DAYS)
            and before.load_kg >= one.load_kg - 1e-9
            and (bound_of(before) or 0.0) >= bound
            for before in said
        )
        marked.append(replace(one, is_echo=True) if is_echo else one)
        if not is_echo:
            said.append(one)
    return marked


# How far above what is known a logged set may lie before it waits for a check, in ln: half as much again beside a
# baseline or an earlier day, three times beside body mass alone. Pounds typed as kilograms are 0.79 off.
FAR_ABOVE_KNOWN, FAR_ABOVE_GUESS = 0.42, 1.1
# Far below what the other days say: a missed digit is 2.3 off, a light day with few left called rarely over 0.6.
FAR_BELOW = 0.7
SAME_STRENGTH, DAYS_THAT_TELL, DAYS_THAT_AGREE = 0.3, 3, 2  # days of one strength; other days needed to judge one


def rough_log_1rm(one: SetEvidence) -> float:
    """ln of the 1RM that one set suggests by the prior curve, repetitions counted to 15 at most."""
    return log(one.load_kg) + 0.032 * (min(15.0, one.reps + one.rir) - 1)


def with_strange(sets: Sequence[SetEvidence], sure: Sequence[SetEvidence], guess: float) -> list[SetEvidence]:
    """The same sets, those marked that can hardly be true and wait for a check.

    sure : sets of the trainee's file, which the coach entered as baselines; guess : ln of the 1RM by body mass

    Marked are sets far above all that was known before them, and sets far off what the other days of the lift agree on.
    Without a baseline three days that agree count for themselves, however strong somebody is. Nothing is forgotten:
    entering the real set as a baseline makes the marked ones count.
    """
    known = max((rough_log_1rm(one) for one in sure), default=None)
    limit = guess + FAR_ABOVE_GUESS if known is None else known + FAR_ABOVE_KNOWN
    usual = days_of_sets(sets)
    left = list(sure)
    marked = []
    for one in sets:
        if one in left:
            left.remove(one)
            marked.append(one)
            continue
        level = rough_log_1rm(one)
        is_claim = (one.kind != "failure" or one.reps > 0) and not one.held_kg
        others = [value for day, value in usual.items() if day != one.date]
        agree = sum(1 for value in others if abs(value - level) < SAME_STRENGTH)
        is_alone = len(others) >= DAYS_THAT_TELL and agree < DAYS_THAT_AGREE
        middle = median(others) if is_alone else level
        too_high = level > limit and not (known is None and agree >= DAYS_THAT_AGREE)
        too_high = too_high or level > middle + FAR_ABOVE_KNOWN
        too_low = one.kind == "called" and one.rir < FAR_CALL and level < middle - FAR_BELOW
        if is_claim and (too_high or too_low):
            marked.append(replace(one, strange=True))
            continue
        marked.append(one)
        if known is not None and is_claim:
            limit = max(limit, level + FAR_ABOVE_KNOWN)
    return marked


def days_of_sets(sets: Sequence[SetEvidence]) -> dict[date, float]:
    """The best that each day suggests, ln kg; days without a called, tested or failed set are left out."""
    days: dict[date, float] = {}
    for one in sets:
        if one.kind in ("called", "test", "failure") and one.reps > 0 and not one.held_kg:
            days[one.date] = max(days.get(one.date, -10.0), rough_log_1rm(one))
    return days


ROTE_SETS, ROTE_SPREAD = 5, 0.5  # so many calls in a row within half a repetition are taken for the plan's words


def with_rote(sets: Sequence[SetEvidence]) -> list[SetEvidence]:
    """The same sets, those marked whose call has hardly varied over the last sets of the lift, failures among them too.

    What a failure teaches about curve and bias, it teaches beside calls; beside rote ones it would teach nonsense.
    Judged by what came before alone, so a log that grows changes no mark.
    """
    calls: list[float] = []
    is_rote = False
    marked = []
    for one in sets:
        if one.strange or one.kind not in ("called", "failure"):
            marked.append(one)
            continue
        if one.kind == "called":
            calls = [*calls[1 - ROTE_SETS :], one.rir]
            is_rote = len(calls) == ROTE_SETS and max(calls) - min(calls) <= ROTE_SPREAD
        marked.append(replace(one, is_rote=True) if is_rote else one)
    return marked


def evidence_of(
    trainee: Trainee, catalogue: Catalogue, baselines: Sequence[Baseline], log: Log, until: date
) -> dict[str, list[SetEvidence]]:
    """All evidence by exercise up to a date; what waits for a check, echoes and rote calls are marked."""
    found = gather(trainee, catalogue, baselines, log, until)
    sure = gather(trainee, catalogue, baselines, Log(), until)
    marked = {}
    for slug, rows in found.items():
        guess, _ = ratio_prior(catalogue.get(slug), trainee, until.year)
        marked[slug] = with_rote(with_echoes(with_strange(rows, sure.get(slug, ()), guess)))
    return marked
