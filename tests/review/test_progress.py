"""Where a trainee stands on a progression: up after two sessions, back at once, a small step before a whole one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_block import BRIEF, GYM, PERSON, made_block

from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Baseline, StepReached, Trainee
from setwright.plan.block import Block, Entry
from setwright.plan.compose import Context
from setwright.plan.design import design_block
from setwright.plan.restrict import restrict_block
from setwright.publish.csv_file import empty_log_csv
from setwright.review.adapt import adapt_block, much_at_once, open_at
from setwright.review.findings import review_block
from setwright.review.progress import Standing, gate_at, rows_of, standing
from setwright.services.block_check import block_faults
from setwright.services.step_demand import demand_port
from setwright.strength.estimates import estimate_lifts
from setwright.strength.logged import Log, LoggedSet

START = date(2026, 9, 7)


def sets(day: int, exercise: str, *amounts: float, **more: object) -> list[LoggedSet]:
    """One session: a set for each amount, in repetitions, seconds or metres as the exercise is measured."""
    field = {"reps": "reps", "seconds": "hold_s", "metres": "distance_m"}[catalogue().get(exercise).measured_in]
    when = START + timedelta(days=day)
    return [
        LoggedSet(
            date=when,
            week=None,
            session=f"day {day}",
            exercise=exercise,
            set=number,
            **{field: int(amount) if field == "reps" else amount},  # type: ignore[arg-type]
            **more,  # type: ignore[arg-type]
        )
        for number, amount in enumerate(amounts, start=1)
    ]


def person(progression: str, step: int, **more: object) -> Trainee:
    steps = (StepReached(progression, step, START - timedelta(days=7)),)
    return replace(PERSON, steps=steps, **more)  # type: ignore[arg-type]


def stands(progression: str, step: int, *sessions: list[LoggedSet], **more: object) -> Standing:
    log = Log(tuple(one for session in sessions for one in session))
    who = person(progression, step)
    return standing(catalogue().progressions[progression], rows_of(log), who, catalogue(), **more)  # type: ignore[arg-type]


def test_the_exit_test_met_in_two_sessions_is_a_step_up() -> None:
    """Knee push-up: 3 sets of 12, twice."""
    found = stands("pushup", 3, sets(0, "pushup_knee", 12, 12, 12), sets(3, "pushup_knee", 13, 12, 12))

    assert found.verdict == "step up"
    assert found.to is not None and found.to.number == 4 and found.exercise == "pushup_incline"
    assert found.met_on == (START, START + timedelta(days=3))
    assert "2026-09-07 and 2026-09-10" in found.evidence
    assert found.to.entry_test in found.asks, "the entry test of the next step is for the coach to see"


@pytest.mark.parametrize(
    "second",
    [
        sets(3, "pushup_knee", 12, 12, 11),
        sets(3, "pushup_knee", 12, 12),
        sets(3, "pushup_knee", 12, 12, 12, pain=4, pain_where="wrist"),
        [],
    ],
    ids=["a repetition short", "a set short", "with pain above the limit", "only once"],
)
def test_once_is_not_enough(second: list[LoggedSet]) -> None:
    found = stands("pushup", 3, sets(0, "pushup_knee", 12, 12, 12), second)

    assert found.verdict != "step up" and len(found.met_on) < 2


def test_two_sessions_on_one_day_are_one_session() -> None:
    again = [replace(one, session="evening", set=one.set + 3) for one in sets(0, "pushup_knee", 12, 12, 12)]
    found = stands("pushup", 3, sets(0, "pushup_knee", 12, 12, 12), again)

    assert found.verdict == "stay" and len(found.met_on) == 1


def test_two_failures_in_a_row_are_a_step_back() -> None:
    """Push-up, 3 sets of 15: 5 and 6 are under half of it."""
    found = stands(
        "pushup", 5, sets(0, "pushup", 5, 4, 4, ended_by="form"), sets(3, "pushup", 6, 5, 4, ended_by="muscle")
    )

    assert found.verdict == "step back" and found.failures == 2
    assert found.to is not None and found.to.number == 4
    assert "2026-09-07: 5, 4, 4" in found.evidence and "2026-09-10: 6, 5, 4" in found.evidence
    assert "Raise the hands." in found.asks


def test_a_failure_between_good_sessions_changes_nothing() -> None:
    found = stands(
        "pushup",
        5,
        sets(0, "pushup", 5, 4, 4, ended_by="form"),
        sets(3, "pushup", 10, 9, 9),
        sets(7, "pushup", 6, 5, 5, ended_by="form"),
    )

    assert found.verdict == "stay" and found.failures == 1


def test_short_sets_that_were_meant_short_are_no_failures() -> None:
    """An easy week: 5 repetitions with four left, or planned so."""
    easy = stands("pushup", 5, sets(0, "pushup", 5, 5, rir=4), sets(3, "pushup", 5, 5, ended_by="planned"))

    assert easy.verdict == "stay" and easy.failures == 0


def test_pain_above_the_limit_is_a_step_back_at_once() -> None:
    found = stands("nordic", 4, sets(0, "nordic_ecc", 5, 5, 5, pain=4, pain_where="hamstring"))

    assert found.verdict == "step back" and found.to is not None and found.to.exercise == "nordic_band"
    assert "4 of 10, above the limit of 3" in found.why and "licensed clinician" in found.asks


def test_the_tendon_programme_of_the_calf_allows_pain_of_five() -> None:
    """Referee: Silbernagel programme as tabulated in PMC7249277, table 2 (seen)."""
    at_limit = stands("calf", 2, sets(0, "calf_2_floor", 15, 15, 15, pain=5))
    above = stands("calf", 2, sets(0, "calf_2_floor", 15, 15, 15, pain=6))

    assert at_limit.verdict == "stay" and len(at_limit.met_on) == 1
    assert above.verdict == "step back"


def test_old_pain_that_is_gone_does_not_step_back() -> None:
    found = stands("nordic", 4, sets(0, "nordic_ecc", 5, 5, 5, pain=4), sets(4, "nordic_ecc", 5, 5, 5, pain=0))

    assert found.verdict == "stay"


def test_pain_on_the_lowest_step_means_less_of_it() -> None:
    found = stands("nordic", 1, sets(0, "ham_iso_bridge", 30, 30, 30, pain=4))

    assert found.verdict == "step back" and found.to is None
    assert catalogue().progressions["nordic"].steps[0].way_back in found.asks


def test_a_hand_given_up_comes_before_the_next_step() -> None:
    """Split squat with two hands on the support: the numbers are there, so one hand goes first."""
    told = {"support": "two hands on the support"}
    found = stands(
        "split", 1, sets(0, "split_squat_hand", 8, 8, 8, dials=told), sets(3, "split_squat_hand", 8, 8, 8, dials=told)
    )

    assert found.verdict == "small step" and found.met_on == ()
    assert found.small is not None and (found.small.dial, found.small.to) == ("support", "one hand")
    assert found.to is not None and found.to.number == 1


def test_a_hand_given_up_between_two_sets_is_a_step_taken_inside_the_entry() -> None:
    rows = sets(0, "split_squat_hand", 8, 8, 8, dials={"support": "two hands on the support"})
    rows[2] = replace(rows[2], dials={"support": "one hand"})

    found = stands("split", 1, rows)
    assert found.verdict == "small step" and found.small is not None and found.small.to == "fingertips"


def test_a_lower_surface_is_a_number_of_its_own() -> None:
    """Hands on 80 cm three times twelve is not yet the test with hands on 60 cm."""
    high = sets(0, "pushup_incline", 12, 12, 12, dials={"hand_height_cm": 80})
    found = stands("pushup", 2, high)

    assert found.verdict == "small step" and found.met_on == ()
    assert found.small is not None and found.small.sets == {"hand_height_cm": 70}


def test_the_height_tells_which_of_two_steps_was_done() -> None:
    low = [sets(day, "pushup_incline", 12, 12, 12, dials={"hand_height_cm": 30}) for day in (0, 3)]
    found = stands("pushup", 2, *low)

    assert found.step.number == 4 and found.verdict == "step up"
    assert found.to is not None and found.to.exercise == "pushup"


def test_a_carry_counts_with_its_load() -> None:
    """30 % of 78 kg is 23.4 kg in each hand: 20 kg are not the test, 22.5 are within half a small step of plates."""
    light = stands("ohcarry", 4, *[sets(day, "farmer", 30, 30, 30, load_kg=20.0) for day in (0, 3)])
    heavy = stands("ohcarry", 4, *[sets(day, "farmer", 30, 30, 30, load_kg=22.5) for day in (0, 3)])
    unsaid = stands("ohcarry", 4, *[sets(day, "farmer", 30, 30, 30) for day in (0, 3)])

    assert light.verdict == "stay" and "30 % of body mass" in light.why
    assert heavy.verdict == "step up"
    assert unsaid.verdict == "stay"


def test_a_closed_step_goes_sideways_to_what_trains_the_same() -> None:
    def no_bar(slug: str) -> tuple[str, ...]:
        return ("needs a pull-up bar: not here",) if "pullup" in slug and slug != "pullup_feet" else ()

    found = stands("pullup", 6, gate=no_bar)

    assert found.verdict == "sideways" and found.exercise == "lat_pulldown"
    assert found.closed == ("needs a pull-up bar: not here",)


def test_a_closed_next_step_is_taken_sideways_or_through_the_branch() -> None:
    """No landmine and no wall: after the front carry the way of holds and carries is open."""

    def no_press(slug: str) -> tuple[str, ...]:
        return ("closed",) if slug in ("landmine_press", "ohp_iso") else ()

    done = [sets(day, "front_carry", 30, 30, 30) for day in (0, 3)]
    found = stands("ohcarry", 5, *done, gate=no_press)
    wanted = stands("ohcarry", 5, *done, branch="holds and carries")

    assert found.verdict == wanted.verdict == "step up"
    assert found.to is not None and found.to.exercise == "rack_carry"
    assert wanted.to is not None and wanted.to.exercise == "rack_carry"


def test_the_way_of_holds_and_carries_reaches_the_top_without_a_press() -> None:
    """From the overhead hold the next step is the overhead carry."""
    found = stands("ohcarry", 10, *[sets(day, "oh_hold", 20, 20, 20) for day in (0, 3)])

    assert found.verdict == "step up" and found.to is not None and found.to.exercise == "oh_carry"
    assert "landmine_press" not in [step.exercise for step in found.way]


def test_nothing_open_is_said_and_nothing_is_planned() -> None:
    found = stands("pullup", 3, gate=lambda slug: ("closed",))

    assert found.verdict == "closed" and found.to is None


def test_the_top_step_ends_the_climb() -> None:
    found = stands("pullup", 6, *[sets(day, "pullup", 3, 3, 3) for day in (0, 3)])

    assert found.verdict == "top reached"


def test_the_log_moves_the_step_up_and_warm_ups_do_not_move_it_down() -> None:
    found = stands("pushup", 3, sets(0, "pushup", 10, 9, 8), sets(3, "pushup_wall", 10), sets(3, "pushup", 11, 9, 9))
    only_light = stands("pushup", 5, sets(0, "pushup", 10, 9, 9), sets(3, "pushup_wall", 15, 15, 15))

    assert found.step.number == 5 and found.source == "the log"
    assert only_light.step.number == 5


def test_after_a_step_back_the_log_is_judged_on_the_lower_step() -> None:
    found = stands(
        "pushup",
        5,
        *[sets(day, "pushup", 5, 4, ended_by="form") for day in (0, 3)],
        *[sets(day, "pushup_incline", 12, 12, 12, dials={"hand_height_cm": 30}) for day in (7, 10)],
    )

    assert found.step.number == 4 and found.verdict == "step up"


def test_what_was_logged_before_the_step_was_written_down_is_history() -> None:
    early = [sets(day, "pushup_knee", 12, 12, 12) for day in (-30, -20)]

    assert stands("pushup", 3, *early).sessions == ()


def test_a_dated_set_of_the_trainee_file_counts_as_a_session() -> None:
    """One hang of 30 s, twice: the exit test of the first step of the pull-up is a single set."""
    hangs = [Baseline(START + timedelta(days=day), "dead_hang", hold_s=32.0) for day in (0, 4)]
    rows = rows_of(Log(), hangs)

    found = standing(catalogue().progressions["pullup"], rows, person("pullup", 1), catalogue())
    assert found.verdict == "step up"


def test_the_order_of_the_rows_does_not_matter() -> None:
    one, two = sets(0, "pushup_knee", 12, 12, 12), sets(3, "pushup_knee", 12, 10, 11)

    assert stands("pushup", 3, one, two) == stands("pushup", 3, two[::-1], one[::-1])


def test_a_step_that_is_a_measure_is_left_to_the_coach() -> None:
    found = stands("deepsquat", 1, sets(0, "knee_to_wall", 10))

    assert found.verdict == "stay" and "measured, not logged" in found.why


def log_of(*sessions: list[LoggedSet]) -> Log:
    return Log(tuple(one for session in sessions for one in session))


def adapted(log: Log, block: Block | None = None) -> Block:
    block = block or made_block()
    on = max(one.date for one in log.sets)
    return adapt_block(block, log, estimate_lifts(PERSON, catalogue(), PERSON.baselines, log, on), catalogue())


def skill(block: Block, week: int) -> list[Entry]:
    return [
        entry
        for session in block.weeks[week - 1].sessions
        for part in session.parts
        for entry in part.entries
        if entry.progression == "nordic"
    ]


DONE = (sets(0, "nordic_band", 6, 6, 6), sets(3, "nordic_band", 6, 6, 6))
HURT = (sets(0, "nordic_band", 6, 6, 6, pain=4, pain_where="hamstring"),)


def test_a_step_up_is_proposed_for_the_weeks_that_remain() -> None:
    """The invented person stands on step 3 of the nordic: the band, 3 sets of 6."""
    after = adapted(log_of(*DONE))

    assert {entry.exercise for entry in skill(made_block(), 2)} == {"nordic_band"}
    assert skill(after, 1) == skill(made_block(), 1)
    for week in (2, 3, 4):
        assert {(entry.exercise, entry.step) for entry in skill(after, week)} == {("nordic_ecc", 4)}
        assert len(skill(after, week)) == len(skill(made_block(), week))
    change = next(one for one in after.changes if "lowering only" in one.to)
    assert "is done: on to" in change.why and "2026-09-07 and 2026-09-10" in change.evidence
    assert block_faults(after, "block.json", catalogue()) == []


def test_a_new_step_starts_below_its_exit_test_and_grows() -> None:
    after = adapted(log_of(*DONE))
    top = [skill(after, week)[0].sets[0].reps[1] for week in (2, 3, 4)]  # type: ignore[index]

    assert top[0] < 5 and top == sorted(top)


def test_pain_above_the_limit_goes_back_in_every_week_that_remains() -> None:
    after = adapted(log_of(*HURT))

    for week in (2, 3, 4):
        assert {entry.step for entry in skill(after, week)} <= {1, 2}
    assert any("above the limit of 3" in one.why for one in after.changes)


def test_no_new_step_makes_a_session_longer_than_there_is_time() -> None:
    after = adapted(log_of(*DONE))

    for week in after.weeks:
        for session in week.sessions:
            assert session.minutes_cap is None or session.minutes <= session.minutes_cap + 1e-6


def test_a_small_step_moves_a_dial_and_leaves_the_exercise() -> None:
    told = {"assistance": "a thick band"}
    after = adapted(log_of(sets(0, "nordic_band", 6, 6, 6, dials=told)))

    for entry in skill(after, 2):
        assert entry.exercise == "nordic_band" and entry.dials["assistance"] == "a thinner band"


def test_the_review_shows_the_step_with_its_evidence() -> None:
    log = log_of(*DONE)
    estimates = estimate_lifts(PERSON, catalogue(), PERSON.baselines, log, START + timedelta(days=6))
    found = review_block(made_block(), log, estimates, catalogue()).findings

    up = next(one for one in found if one.kind == "step up")
    assert "step 3 of 5" in up.about and "2026-09-10" in up.evidence and up.settles_it.startswith("Check first")


def test_without_a_finding_there_is_no_step() -> None:
    """One session with the exit test met: the weeks ahead keep their step."""
    after = adapted(log_of(DONE[0]))

    assert {entry.exercise for week in (2, 3, 4) for entry in skill(after, week)} == {"nordic_band"}


def test_a_restriction_sends_the_skill_work_sideways_and_it_stays_on_its_way() -> None:
    """No hangs: the pull-up becomes what the progression holds ready, and the step is still step 6."""
    who = replace(PERSON, steps=(StepReached("pullup", 6, START),))
    estimates = estimate_lifts(who, catalogue(), who.baselines, Log(), START)
    block = design_block(who, (GYM,), replace(BRIEF, skill="pullup"), catalogue(), estimates, limit=0.2)
    on_step = [e for s in block.weeks[1].sessions for p in s.parts for e in p.entries if e.progression == "pullup"]
    assert {entry.exercise for entry in on_step} == {"pullup"}

    after = restrict_block(block, parse_restriction("no hangs"), catalogue(), estimates, 2)

    aside = [e for s in after.weeks[1].sessions for p in s.parts for e in p.entries if e.progression == "pullup"]
    assert aside and all(entry.step == 6 for entry in aside)
    assert {entry.exercise for entry in aside} <= set(catalogue().progressions["pullup"].steps[5].sideways)
    assert any("Sideways on the way to the pull-up" in one.why for one in after.changes)


def test_the_sheet_says_the_small_steps_and_the_log_has_a_place_for_them() -> None:
    entry = skill(made_block(), 1)[0]
    assert "assistance: a thick band, then a thinner band, then the lightest band" in entry.why

    log = empty_log_csv(made_block(), 1, catalogue()).decode()
    assert "assistance=band" in next(line for line in log.splitlines() if "nordic_band" in line)


MET = (sets(0, "pushup_knee", 12, 12, 12), sets(3, "pushup_knee", 12, 12, 12))


@pytest.mark.parametrize(
    ("newest", "verdict"),
    [
        (sets(6, "pushup_knee", 4, ended_by="pain"), "step back"),
        (sets(6, "pushup_knee", 9, pain_where="wrist", pain_kind="dull"), "stay"),
        (sets(6, "pushup_wall", 10, pain=4), "step back"),
        (sets(6, "pushup_wall", 10, pain_kind="sharp"), "step back"),
        (sets(6, "pushup_knee", 12, 12, 12, pain=3), "step up"),
    ],
    ids=["ended by pain", "pain without a number", "pain on a lower step", "sharp on a lower step", "first number"],
)
def test_pain_of_the_newest_day_keeps_from_going_up(newest: list[LoggedSet], verdict: str) -> None:
    """Two sessions with the exit test lie behind; the newest day decides."""
    assert stands("pushup", 3, *MET, newest).verdict == verdict


def test_pain_that_rises_to_the_watch_level_never_steps_up() -> None:
    calm = [sets(3 * n, "pushup_knee", 12, 12, 12, pain=pain) for n, pain in enumerate((1, 2, 3))]

    found = stands("pushup", 3, *calm)
    assert found.verdict == "stay" and "pain rises" in found.why
    assert stands("pushup", 3, *calm, sets(9, "pushup_knee", 12, 12, 12, pain=1)).verdict == "step up"


def test_an_exit_test_before_pain_above_the_limit_counts_no_more() -> None:
    hurt = sets(3, "pushup_knee", 12, 12, 12, pain=6)

    assert stands("pushup", 3, MET[0], hurt, sets(6, "pushup_knee", 12, 12, 12)).verdict == "stay"


def test_pain_on_a_closed_first_step_proposes_no_closed_exercise() -> None:
    """Every step puts weight on the hands: nothing is left to go back to."""
    shut = stands("pushup", 1, sets(0, "pushup_wall", 9, pain=4), gate=lambda slug: ("shut",))
    aside = stands(
        "pushup", 1, sets(0, "pushup_wall", 9, pain=4), gate=lambda slug: ("shut",) if slug == "pushup_wall" else ()
    )

    assert shut.verdict == "closed" and shut.exercise == ""
    assert aside.verdict == "sideways" and aside.exercise == "pushup_incline"


def test_a_small_step_waits_while_pain_rises() -> None:
    low = {"hand_height_cm": 70}
    first, second = (sets(day, "pushup_incline", 12, pain=pain, dials=low) for day, pain in ((0, 1), (3, 3)))

    assert stands("pushup", 2, first).verdict == "small step"
    assert stands("pushup", 2, first, second).verdict == "stay"


def test_pain_at_the_watch_level_keeps_the_skill_where_it_is() -> None:
    """The loads of an exercise with pain of 3 go down; its step doesn't go up then. First with nothing told before."""
    watched = (sets(0, "nordic_band", 6, 6, 6), sets(3, "nordic_band", 6, 6, 6, pain=3))

    assert {entry.exercise for entry in skill(adapted(log_of(*DONE)), 2)} == {"nordic_ecc"}
    assert {entry.exercise for entry in skill(adapted(log_of(*watched)), 2)} == {"nordic_band"}


def test_what_could_come_first_is_open() -> None:
    """A sore knee closes and crops what lies between; then nothing is named."""
    climb, block = catalogue().progressions["nordic"], made_block()
    now, later = climb.step(3), climb.step(4)
    stands_up = replace(stands("nordic", 3, *DONE), to=later)
    entry = replace(skill(block, 2)[0], exercise=later.exercise)
    known = estimate_lifts(PERSON, catalogue(), PERSON.baselines, Log(), START)

    def said(*sayings: str) -> str:
        who = replace(PERSON, restrictions=tuple(parse_restriction(one, "test") for one in sayings))
        context = Context(who, {GYM.id: GYM}, BRIEF, catalogue(), known, START)
        return much_at_once(stands_up, entry, demand_port(), catalogue(), open_at(GYM.id, context))

    assert now.exercise == "nordic_band"
    assert "in between" in said() and "more at once" in said("knee is sore") and "between" not in said("knee is sore")
    assert "load of" not in said("wrist is sore")


def test_a_progression_closed_with_back_trouble_is_closed_in_a_block_too() -> None:
    shut = catalogue().progressions["lmob"]
    gate = gate_at(GYM, replace(PERSON, back_trouble=True), catalogue(), shut)

    assert shut.closed_with_back_trouble
    assert all("back trouble" in " ".join(gate(step.exercise)) for step in shut.steps)


def test_a_thick_bands_kilograms_are_not_the_lightest_band() -> None:
    """Three sets of six with 25 kg of help on 60 kg are not the exit test of the lightest band; with 5 kg they are."""
    from setwright.review.progress import is_heavy

    step = next(one for one in catalogue().progressions["pullup"].steps if one.exercise == "pullup_band")
    set_of = {"date": date(2026, 9, 1), "week": 1, "session": "mon", "exercise": "pullup_band", "set": 1, "reps": 6}
    person = replace(PERSON, body_mass_kg=60.0)

    thick, thin, unknown = (LoggedSet(**set_of, load_kg=kg) for kg in (25.0, 5.0, None))  # type: ignore[arg-type]

    assert not is_heavy(thick, step, person)
    assert is_heavy(thin, step, person) and is_heavy(unknown, step, person)
