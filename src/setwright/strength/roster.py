"""Beliefs about every lift of every trainee of a roster, carried from day to day and from set to set.

Two ideas. One: a set compares the load with what could be lifted *now* for so many repetitions: the 1RM, plus the
form of the day, less the curve times the repetitions, more of them when earlier sets tired the lift, less what an
unfamiliar lift does not show yet. All of these are unknown, and each set teaches a little about each of them.
Two: strength wanders, with rough stretches, and new strength comes slower the longer somebody has trained.

State of one trainee with L lifts: x (L) log 1RM in ln kg of the whole load; form (L) of the day; k (L) curve
parameter; rate (L) growth per unit of ln(weeks trained); bias (multiple of the published bias of calls); loss
(share of repetitions lost to one hard set); learning (what an unfamiliar lift hides at first).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from setwright.strength.calling import bias_slope, call_for, scatter, usual_bias
from setwright.strength.evidence import KINDS
from setwright.strength.mixture import (
    ROOT_2PI,
    Floats,
    Ints,
    Line,
    Mixture,
    Reading,
    branched,
    collapsed,
    forgotten,
    grown,
    observed,
    observed_beside,
    on_line,
    shared,
    tilted,
)
from setwright.strength.population import Population, population
from setwright.strength.tiring import LEAST_LEFT, hardness, recovery

Bools = NDArray[np.bool_]
LEAST_K = 0.008
# Where people lie: curves from 6 to 35 repetitions at 75 % of 1RM, 40 of endurance runners on a leg press at 70 %
# (0.009; open-access study, seen) being the far end; and multiples of the usual bias of calls (this project's line).
CURVES, BIASES_OF_PEOPLE = (0.009, 0.055), (-1.5, 3.0)
ROTE_SCATTER = 1.5  # this project's choice, after people simulated who always call two left
BOUND_SOFT_REPS = 0.3  # how blurred the edge between a done and a failed repetition is (common practice)
EASY_LEFT, EASY_SOFT = 2.0, 1.5  # "easy" means two or more left, give or take (common practice, no published source)
FAR_CALL = 4.75  # five or more called means "at least five": true 7 to 10 are called over 2 off (Hackett 2017, seen)
TEST_LEFT, TEST_SOFT = 0.05, 0.012  # a test single leaves 0 to 5 % (fitted: see the meets of the priors)
STRANGE_SD = 4.0  # a row that waits for a check says next to nothing
LINE_DOUBT = 1.15  # what a straight line leaves out, as more scatter of calls (measured in benchmarks/calibration.py)
PLATE_SD = 0.004  # loads of a gym are known to half a per cent (common practice)
LOSS_DOUBT = 0.5  # what is lost in weeks off is known to half of itself (this project's guess)
BIASES = (-1.0, 4.0)  # multiples of the usual bias that a straight line may be drawn at
MOST_LOSS = 0.5  # of the repetitions, lost to one hard set (keeps far-off states sane)
UNCALLED_LEFT = 4.0  # a set without any call tires like one with four left (this project's guess)
FARTHEST_TOUCH = 6.0  # repetitions by which the touching point may leave what the set says
MOST_SURPRISE = 4.0  # two standard deviations: beyond, the tails of the reading take over
TIRED_DOUBT = 0.3  # doubt about what earlier sets took, as a share of it (rests vary by a quarter, calls scatter)
CLASS_SHARES = np.array([0.25, 0.5, 0.25])


@dataclass(frozen=True, eq=False)
class Start:
    """What is believed of one trainee before the first set.

    log_1rm, log_1rm_sd : (L,), ln kg of the whole load; like : (L, L) correlation of strength, 1 on the diagonal
    k, k_sd : (L,) curve parameter; training_years : before the first day, >= 0; for growth and learning
    """

    log_1rm: Floats
    log_1rm_sd: Floats
    like: Floats
    k: Floats
    k_sd: Floats
    training_years: float


@dataclass(frozen=True, eq=False)
class Roster:
    """What is believed of n trainees with up to L lifts each.

    belief : mixture of three classes of restlessness times a quiet and a rough stretch, (n, 6, 4 L + 3)
    like : (n, L, L); weeks : (n,) on the clock of growth; exposed : (n, L) days on which the lift was
    done; tired : (n, L) hard sets still felt today; done_today : (n, L) 1 where the lift was done
    """

    belief: Mixture
    like: Floats
    weeks: Floats
    exposed: Floats
    tired: Floats
    done_today: Floats

    @property
    def lifts(self) -> int:
        """How many lifts each trainee has room for."""
        return int(self.exposed.shape[1])

    def number_of(self, what: str, lift: int = 0) -> int:
        """Where a number stands in the state: ``x``, ``form``, ``k``, ``rate`` of a lift; ``bias``, ``loss``,
        ``learning``."""
        own = ("x", "form", "k", "rate")
        if what in own:
            return own.index(what) * self.lifts + lift
        return 4 * self.lifts + ("bias", "loss", "learning").index(what)


def restlessness(people: Population) -> Floats:
    """(6,) by how much each component varies more than usual: three classes, each twice."""
    return np.repeat(np.array([1.0 / people.restless, 1.0, people.restless]), 2)


def begin(starts: Sequence[Start], people: Population | None = None) -> Roster:
    """The beliefs about trainees before their first set; all with the same number of lifts."""
    people = people or population()
    count, lifts = len(starts), len(starts[0].log_1rm)
    size = 4 * lifts + 3
    mean, cov = np.zeros((count, size)), np.zeros((count, size, size))
    own, _, curve, rate = (slice(n * lifts, (n + 1) * lifts) for n in range(4))
    for row, one in enumerate(starts):
        mean[row, own], mean[row, curve] = one.log_1rm, one.k
        cov[row, own, own] = one.like * np.outer(one.log_1rm_sd, one.log_1rm_sd)
        cov[row, curve, curve] = shared(lifts, people.k_shared) * np.outer(one.k_sd, one.k_sd)
        still_new = 0.5 ** (one.training_years / people.rate_halves_at)
        mean[row, rate] = people.trained_rate + (people.novice_rate - people.trained_rate) * still_new
        rate_sd = people.rate_sd + (people.novice_rate_sd - people.rate_sd) * still_new
        cov[row, rate, rate] = shared(lifts, people.rate_shared) * rate_sd**2
        learning = people.learning_trained + (people.learning_novice - people.learning_trained) * still_new
        mean[row, -3:] = people.bias, people.loss, learning
        learning_sd = people.learning_sd * learning / people.learning_novice
        cov[row, [-3, -2, -1], [-3, -2, -1]] = people.bias_sd**2, people.loss_sd**2, learning_sd**2
    weights = np.repeat(CLASS_SHARES, 2) / 2.0
    covs = np.repeat(cov[:, None], len(weights), axis=1)
    covs[:, :, rate, rate] *= restlessness(people)[:, None, None] ** 2
    belief = Mixture(np.tile(weights, (count, 1)), np.repeat(mean[:, None], len(weights), axis=1), covs)
    like = np.stack([one.like for one in starts])
    years = np.array([one.training_years for one in starts], dtype=np.float64)
    settled = 1.0 - 0.5 ** (years / people.rate_halves_at)
    weeks = people.novice_weeks + (people.settled_weeks - people.novice_weeks) * settled
    zeros = np.zeros((count, lifts))
    return with_form(Roster(belief, like, weeks, zeros, zeros, zeros), people)


def with_form(roster: Roster, people: Population) -> Roster:
    """The same beliefs on a new day, whose form nobody knows yet. The state's form must be zero before."""
    lifts, scale = roster.lifts, restlessness(people)
    form = slice(lifts, 2 * lifts)
    cov = roster.belief.cov.copy()
    cov[:, :, form, form] += shared(lifts, people.day_shared) * (people.day * scale[:, None, None]) ** 2
    return replace(roster, belief=Mixture(roster.belief.weights, roster.belief.mean, cov))


def later(roster: Roster, days: Floats, people: Population | None = None, is_growing: bool = True) -> Roster:
    """The beliefs ``days`` (n,) later; where days is 0 nothing changes.

    Growth goes with ln(weeks trained), none of it where ``is_growing`` is False; after some weeks off strength is
    lost; the walk widens, in one of two branches much more.
    """
    people = people or population()
    moved = days > 0
    if not moved.any():
        return roster
    lifts = roster.lifts
    weeks = np.maximum(days, 0.0) / 7.0
    learned = np.log((1.0 + roster.weeks + weeks) / (1.0 + roster.weeks)) * float(is_growing)
    off = np.maximum(0.0, weeks - people.rest_weeks)
    lost = np.minimum(people.most_loss, people.loss_per_week * off)
    scale = restlessness(people).reshape(3, 2) * np.array([1.0, people.rough_times])
    variance = people.walk**2 * weeks[:, None, None] * scale**2 + (LOSS_DOUBT * lost[:, None, None]) ** 2
    walk_like = people.walk_shared + (1.0 - people.walk_shared) * roster.like
    noise = variance[..., None, None] * walk_like[:, None, None]
    own, form, rate = slice(0, lifts), slice(lifts, 2 * lifts), slice(3 * lifts, 4 * lifts)
    belief = forgotten(collapsed(roster.belief, 3), form)
    belief = grown(belief, own, rate, learned, -np.repeat(lost[:, None], lifts, axis=1))
    chance = np.array([1.0 - people.rough_chance, people.rough_chance])
    belief = branched(belief, chance, noise)
    fresh = np.zeros_like(roster.tired)
    after = with_form(
        Roster(belief, roster.like, roster.weeks + weeks, roster.exposed + roster.done_today, fresh, fresh), people
    )
    if moved.all():
        return after
    return chosen(moved, after, roster)


def each(which: Bools, yes: Floats, no: Floats) -> Floats:
    """Row by row, the one or the other."""
    return np.where(which.reshape(-1, *[1] * (yes.ndim - 1)), yes, no)


def pick(which: Bools, yes: Mixture, no: Mixture) -> Mixture:
    """Trainee by trainee, the one belief or the other."""
    return Mixture(each(which, yes.weights, no.weights), each(which, yes.mean, no.mean), each(which, yes.cov, no.cov))


def chosen(which: Bools, yes: Roster, no: Roster) -> Roster:
    """Trainee by trainee, the one roster or the other."""
    names = ("like", "weeks", "exposed", "tired", "done_today")
    rest = (each(which, getattr(yes, name), getattr(no, name)) for name in names)
    return Roster(pick(which, yes.belief, no.belief), *rest)


@dataclass(frozen=True, eq=False)
class Sets:
    """One set of each trainee, all (n,): lift (index), ln of the whole load, reps, called rir, kind (index in KINDS),
    rest before it in s (nan: unknown), extra doubt about the load in log, strange (waits for a check), is_echo (a bound
    that an earlier set has given already), is_rote (a call that is always the same; none where None).

    A trainee without a set has ``lift`` -1.
    """

    lift: Ints
    log_load: Floats
    reps: Floats
    rir: Floats
    kind: Ints
    rest_s: Floats
    guess_sd: Floats
    strange: Floats
    is_echo: Floats
    is_rote: Floats | None = None


def with_sets(roster: Roster, sets: Sets, people: Population | None = None) -> tuple[Roster, Floats, Floats]:
    """(the beliefs after one set of each trainee, (n,) log chance of it, (n,) chance that it is a slip)."""
    people = people or population()
    tired = felt(roster, sets, people)
    heard = read(roster, sets, tired, people)
    belief, log_chance, slip = observed(tilted(roster.belief, heard.line.at, heard.tilt), heard.line, heard.reading)
    if sets.is_rote is not None and np.any(sets.is_rote):
        made = np.array([*range(2 * roster.lifts, 3 * roster.lifts), 4 * roster.lifts, 4 * roster.lifts + 1])
        beside, *_ = observed_beside(roster.belief, made, heard.line, heard.reading)
        belief = pick(sets.is_rote > 0, beside, belief)
    belief = kept_human(roster, belief, sets.lift)
    has = sets.lift >= 0
    who, lift = np.arange(len(has))[has], sets.lift[has]
    new_tired, new_done = roster.tired.copy(), roster.done_today.copy()
    hard = hardness(heard.reserve, people)
    new_tired[who, lift] = tired[has] + hard[has]
    new_done[who, lift] = 1.0
    # A row that says nothing has a floor of one and no more: that makes it no slip.
    slip = np.where(has & (sets.is_echo <= 0), slip, 0.0)
    return replace(roster, belief=belief, tired=new_tired, done_today=new_done), log_chance, slip


def kept_human(roster: Roster, belief: Mixture, lift: Ints) -> Mixture:
    """The belief with the curve of the lift and the bias cut off where nobody lies; most often nothing is done."""
    lifts, who = roster.lifts, np.arange(len(lift))
    curve = 2 * lifts + np.maximum(lift, 0)
    for at, (low, high), soft in (
        (curve, CURVES, 0.15 * CURVES[0]),
        (np.full(len(lift), 4 * lifts), BIASES_OF_PEOPLE, 0.2),
    ):
        mean = belief.overall_mean[who, at]
        outside = (lift >= 0) & ((mean < low) | (mean > high))
        if not outside.any():
            continue
        one, none = np.ones(len(lift)), np.zeros((1, len(lift)))
        reading = Reading(
            none,
            none,
            np.ones((1, len(lift), 1)),
            np.where(outside, one, 0.0),
            np.full(len(lift), low),
            np.full(len(lift), high),
            np.full(len(lift), soft),
            np.where(outside, 1e-9, one),
        )
        belief, _, _ = observed(belief, Line(at[:, None], outside[:, None] * one[:, None]), reading)
    return belief


def felt(roster: Roster, sets: Sets, people: Population) -> Floats:
    """(n,) hard sets of the lift still felt when the set begins."""
    at = np.maximum(sets.lift, 0)
    return np.asarray(roster.tired[np.arange(len(at)), at] * recovery(sets.rest_s, people))


@dataclass(frozen=True, eq=False)
class Said:
    """What each set says, before any doubt: all (n,).

    called, far, failed, none_done, easy, test, floor_only : which statement it is
    reserve : likely repetitions left; usual : the usual bias of the call; whole : repetitions to failure that it
    speaks of (between two for a failure); left : share of the fresh repetitions that earlier sets left;
    k, bias, loss : at their means, kept within what people can have
    """

    called: Bools
    far: Bools
    failed: Bools
    none_done: Bools
    easy: Bools
    test: Bools
    reserve: Floats
    usual: Floats
    whole: Floats
    left: Floats
    k: Floats
    bias: Floats
    loss: Floats


def said(roster: Roster, sets: Sets, tired: Floats) -> Said:
    """The statements of some sets, with bias and loss at their means."""
    lifts, who = roster.lifts, np.arange(len(sets.lift))
    state = roster.belief.overall_mean
    k = np.maximum(state[who, 2 * lifts + np.maximum(sets.lift, 0)], LEAST_K)
    bias, loss = np.clip(state[:, 4 * lifts], *BIASES), np.clip(state[:, 4 * lifts + 1], 0.0, MOST_LOSS)
    called, failed, easy, test = (sets.kind == KINDS.index(kind) for kind in ("called", "failure", "easy", "test"))
    far = called & (sets.rir >= FAR_CALL)
    called = called & ~far
    none_done = failed & (sets.reps <= 0)
    call = np.minimum(sets.rir, FAR_CALL)
    usual = np.where(called | far, usual_bias(call, sets.reps), 0.0)
    reserve = np.where(called | far, np.maximum(0.0, call + bias * usual), np.where(easy, EASY_LEFT, 0.0))
    whole = sets.reps + reserve + np.where(failed, np.where(none_done, 1.0, 0.5), 0.0)
    left = np.maximum(LEAST_LEFT, 1.0 - loss * tired)
    return Said(called, far, failed, none_done, easy, test, reserve, usual, whole, left, k, bias, loss)


@dataclass(frozen=True, eq=False)
class Heard:
    """One set of each trainee as the filter takes it: line, reading, ``tilt`` (n, q) of the numbers on the line, and
    the likely ``reserve`` (n,) in repetitions."""

    line: Line
    reading: Reading
    tilt: Floats
    reserve: Floats


def read(roster: Roster, sets: Sets, tired: Floats, people: Population) -> Heard:
    """What each set says about the state.

    The repetitions in a set are (1 + (x + form - learning - ln load) / k) times what earlier sets left, bent in k. A
    count of them (called, or between two) is read on the line that touches at the number likely once the set is known.
    Touching at the number called would take the scatter of calls for a flat curve (errors in the regressor), and
    touching at the number expected would go astray where next to nothing is known yet, because the load was then
    chosen to fit the repetitions. A count is a density over repetitions, not over loads, so it carries a factor k (and
    what is left) where the doubt lies in the load; that factor is the tilt. A bound needs neither: "at least n" is a
    half-plane that touches at n.
    """
    lifts, count = roster.lifts, len(sets.lift)
    has = sets.lift >= 0
    at = np.maximum(sets.lift, 0)
    says = said(roster, sets, tired)
    k, fresh = says.k, says.whole / says.left
    end = np.full(count, 4 * lifts)
    places = np.stack([at, lifts + at, 2 * lifts + at, end, end + 1, end + 2], axis=1)
    unlearned = people.learning_kept ** roster.exposed[np.arange(count), at]
    bias = says.bias
    call = np.minimum(sets.rir, FAR_CALL)
    stretch = np.where(says.called | says.far, np.maximum(0.3, 1.0 + bias * bias_slope(call, sets.reps)), 1.0)
    of_bias = -k * says.usual / says.left
    is_worn = says.left > LEAST_LEFT
    of_loss = np.where(is_worn, -k * fresh * tired / says.left, 0.0)
    share = np.stack([np.ones(count), np.ones(count), 1.0 - fresh, of_bias, of_loss, -unlearned], axis=1)
    doubt = np.hypot(PLATE_SD, sets.guess_sd)
    # How tired the sets before left the lift is a guess: rests are not written, reserves are only called.
    doubt = np.hypot(doubt, TIRED_DOUBT * k * fresh * says.loss * tired / says.left)
    call_sd = np.hypot(LINE_DOUBT * k * stretch * scatter(call, sets.reps) / says.left, doubt)
    is_count = (says.called | (says.failed & ~says.none_done)) & (sets.strange <= 0)
    is_rote = np.zeros(count, dtype=np.bool_) if sets.is_rote is None else sets.is_rote > 0
    call_sd = np.where(is_rote, ROTE_SCATTER * call_sd, call_sd)
    touch, due = likely_reps(roster, Line(places, share), sets.log_load, says, fresh, call_sd)
    # A rote call moves strength alone, so it is compared at its own repetitions, where the curve has no say.
    touch, due = np.where(is_count & ~is_rote, touch, fresh), np.where(is_rote, 0.0, due)
    # The bias is read at the call that is likely, for the same reason as the repetitions.
    likely_call = call_for(touch * says.left - sets.reps, sets.reps, bias)
    of_bias = np.where(says.called, -k * usual_bias(likely_call, sets.reps) / says.left, of_bias)
    # Calls scatter more the more is left, so the likely call sets the scatter: a low slip of the tongue is no surer.
    likely_sd = scatter(np.minimum(likely_call, FAR_CALL + 1.0), sets.reps)
    call_sd = np.where(
        says.called & ~is_rote, np.hypot(LINE_DOUBT * k * stretch * likely_sd / says.left, doubt), call_sd
    )
    of_loss = np.where(is_worn, -k * touch * tired / says.left, 0.0)
    share[:, 2], share[:, 3], share[:, 4] = 1.0 - touch, of_bias, of_loss
    value = sets.log_load + k * (fresh - touch) + of_bias * bias + of_loss * says.loss
    reading = reading_of(sets, says, value, call_sd, doubt, people)
    reserve = np.where(sets.kind == KINDS.index("lower-bound"), UNCALLED_LEFT, says.reserve)
    tilt = np.zeros_like(share)
    due = np.where(has & is_count, due, 0.0)
    tilt[:, 2] = due / k
    tilt[:, 3] = np.where(says.called, due * (stretch - 1.0) / np.maximum(bias, 0.3) / stretch, 0.0)
    tilt[:, 4] = np.where(is_worn, due * tired / says.left, 0.0)
    return Heard(Line(places, share * has[:, None]), reading, tilt, reserve)


def likely_reps(
    roster: Roster, line: Line, log_load: Floats, says: Said, fresh: Floats, call_sd: Floats
) -> tuple[Floats, Floats]:
    """((n,) the fresh repetitions to failure that are likely once a count is known, (n,) how much of the tilt is due).

    A count is trusted nearly whole where next to nothing is known of the lift, and not at all once as much is known as
    one set tells. The tilt undoes on average what the touching point, moved by the same surprise, would do to the
    curve; it goes with the surprise itself, so that a prior that is wide on purpose is not taken for a finding.
    """
    mean, variance, _ = on_line(roster.belief, line)
    weights = roster.belief.weights
    middle = (weights * mean).sum(axis=1)
    spread = (weights * (variance + (mean - middle[:, None]) ** 2)).sum(axis=1)
    ends = np.take_along_axis(roster.belief.overall_mean, line.at[:, 3:5], axis=1)
    above = (middle - (line.share[:, 3:5] * ends).sum(axis=1) - log_load) / says.k
    form = line.at[:, 1]
    who = np.arange(len(form))
    of_day = (weights * roster.belief.cov[who, :, form, form]).sum(axis=1)
    trust = np.clip(1.0 - (call_sd**2 + of_day) / np.maximum(spread - of_day, 1e-12), 0.0, 1.0)
    away = np.clip((1.0 - trust) * above, -FARTHEST_TOUCH, FARTHEST_TOUCH)
    surprise = np.minimum((says.k * above) ** 2 / (spread + call_sd**2), MOST_SURPRISE)
    return np.asarray(np.maximum(fresh + away, 0.5)), trust * surprise


def reading_of(sets: Sets, says: Said, value: Floats, call_sd: Floats, doubt: Floats, people: Population) -> Reading:
    """The likelihood of each set along its line; ``value`` (n,) is where it would lie without any doubt."""
    has, strange, one = sets.lift >= 0, sets.strange > 0, np.ones(len(value))
    echo = sets.is_echo > 0
    stray, slip = people.stray_chance, people.slip_chance
    is_reading = (says.called | strange) & has & ~echo
    weight = np.stack([(1.0 - stray - slip) * one, stray * one, slip * one]) * is_reading
    weight[:2, strange] = 0.0
    sd = np.stack([call_sd, people.stray_times * call_sd, np.where(strange, STRANGE_SD, people.slip_sd)])
    half = 0.5 * says.k / says.left
    low = np.where(says.failed, np.where(says.none_done, -np.inf, value - half), value)
    high = np.where(says.failed, np.where(says.none_done, value, value + half), np.inf)
    high = np.where(says.test, value + TEST_LEFT, high)
    soft_reps = np.where(says.easy, EASY_SOFT, BOUND_SOFT_REPS)
    soft = np.where(says.far, call_sd, np.hypot(np.where(says.test, TEST_SOFT, says.k * soft_reps), doubt))
    is_bound = has & ~is_reading & ~echo
    # A window in load says no more than a reading of its width: its slips are a density too, not a chance.
    window = np.where(np.isfinite(low) & np.isfinite(high), (high - low) / (people.slip_sd * ROOT_2PI), 1.0)
    floor = np.where(is_bound, slip * window, np.where(is_reading, 0.0, 1.0))
    return Reading(
        weight, np.stack([value] * 3), sd[:, :, None] ** 2, np.where(is_bound, 1.0 - slip, 0.0), low, high, soft, floor
    )
