"""Warm-ups of invented days: what is asked is readied, nothing that is closed, in order, inside the minutes.

Order raise, mobilise, activate: Jeffreys 2007, seen second-hand. Under a minute of still stretching for a muscle, and
movement after it: Behm 2016, seen (rules W01, W02). Which drill suits which day: common practice, no published source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from setwright.catalogue.derive import muscle_vector
from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import RangeMeasure, Restriction, Screening, Trainee
from setwright.plan.drills import done_sitting
from setwright.plan.gates import judge
from setwright.plan.template import TemplateEntry
from setwright.plan.warm_up import FLOOR_FIRST, seconds_of, warm_up_entries

GYM = expand_tokens(
    {
        *("barbell", "rack", "plates", "bench", "dumbbell", "cable", "bike", "sled", "step", "stick", "band"),
        *("machine:leg_curl", "machine:leg_press", "machine:calf_seated", "machine:abduction", "arm_crank"),
    }
)
HOTEL = expand_tokens({"towel", "door", "chair_bench"})
PERSON = Trainee(
    id="invented",
    name="Invented Person",
    birth_year=1990,
    body_mass_kg=80.0,
    stature_m=1.78,
    training_years=3.0,
    days=(),
    screening=Screening(True),
    invented=True,
)
LEGS_REST = tuple(Restriction(joint, joint, level="none") for joint in ("hip", "knee", "ankle"))
DAYS = {
    "squat": ("back_squat", "rdl_bb", "calf_1_step"),
    "bench": ("bench_bb", "row_cable", "incline_db"),
    "overhead": ("ohp_bb", "pullup", "lat_raise"),
    "deadlift": ("deadlift", "leg_press", "pullup"),
    "power": ("power_clean", "front_squat", "push_press"),
    "jumps": ("box_jump", "back_squat", "calf_1_step_load"),
    "sled": ("sled_push", "sled_drag_back", "farmer"),
    "arms": ("curl_db", "pushdown", "lat_raise"),
    "calves": ("calf_1_step_load", "calf_seated", "tib_raise"),
    "nordic": ("nordic", "hip_thrust", "copen_short"),
    "whole body": ("goblet_squat", "pushup", "row_db", "rdl_db"),
    "body weight": ("bw_squat", "pushup", "sl_bridge"),
    "machines": ("leg_press", "chest_press_m", "lat_pulldown"),
    "carries": ("farmer", "suitcase", "front_carry"),
    "trunk": ("rollout_knee", "woodchop", "situp_load"),
    "hold day": ("row_iso", "press_iso_pins", "wall_sit"),
}
LIMITS = ("", "knee is sore", "elbow is sore", "shoulder is sore", "back is sore", "wrist is sore", "no kneeling")


def with_limit(*texts: str, **changes: object) -> Trainee:
    """The invented person with limits."""
    rules = tuple(parse_restriction(text) for text in texts if text)
    return replace(PERSON, restrictions=rules, **changes)  # type: ignore[arg-type]


def measured(name: str, value: float, unit: str = "deg") -> Trainee:
    return replace(PERSON, range_measures=(RangeMeasure(date(2026, 9, 1), name, value, unit),))  # type: ignore[arg-type]


def warm_up(
    day: str, person: Trainee = PERSON, tokens: frozenset[str] = GYM, minutes: float = 8.0
) -> list[TemplateEntry]:
    lifts = [catalogue().get(slug) for slug in DAYS[day]]
    return warm_up_entries(lifts, person, person.restrictions, tokens, catalogue(), minutes)


@pytest.mark.parametrize("limit", LIMITS)
@pytest.mark.parametrize("day", DAYS)
def test_every_warm_up_is_short_ordered_and_open(day: str, limit: str) -> None:
    person = with_limit(limit)

    for tokens, minutes in ((GYM, 8.0), (HOTEL, 8.0), (GYM, 5.0)):
        made = warm_up(day, person, tokens, minutes)
        assert made
        assert sum(seconds_of(one, catalogue()) for one in made) <= 60.0 * minutes
        assert len(made) <= 7 and len({one.exercise for one in made}) == len(made)
        assert all(one.why for one in made)
        for one in made:
            assert judge(catalogue().get(one.exercise), person.restrictions, tokens, person).allowed
        drills = [one for one in made[1:] if one.schemes[0] is not None and one.schemes[0].kind in ("drill", "hold")]
        order = [FLOOR_FIRST.index(catalogue().get(one.exercise).body_position) for one in drills]
        assert order == sorted(order)


@pytest.mark.parametrize("day", DAYS)
def test_no_muscle_is_held_still_for_a_minute_and_movement_follows(day: str) -> None:
    """Rules W01 and W02. Source: Behm 2016, seen."""
    for limit in LIMITS:
        held: dict[str, float] = {}
        for one in warm_up(day, with_limit(limit)):
            scheme = one.schemes[0]
            for muscle, value in muscle_vector(catalogue().get(one.exercise)).items():
                if scheme is not None and scheme.hold_s and value >= 0.5:
                    held[muscle] = held.get(muscle, 0.0) + scheme.hold_s
        assert all(seconds < 60.0 for seconds in held.values())


def test_a_short_ankle_gets_a_drill_of_its_own_with_the_degrees() -> None:
    made = warm_up("squat", measured("knee-to-wall", 1, "cm"))

    own = [one for one in made if "dorsiflexion" in one.why]
    assert len(own) == 1 and own[0].exercise.startswith(("knee_to_wall", "deep_squat_pry"))
    assert not any("dorsiflexion" in one.why for one in warm_up("bench", measured("knee-to-wall", 1, "cm")))


def test_a_stiff_shoulder_is_readied_for_the_press_and_told_why() -> None:
    made = warm_up("overhead", measured("shoulder-flexion", 130))

    own = next(one for one in made if "short of what it asks" in one.why)
    assert "barbell overhead press" in own.why and "degrees" in own.why
    assert catalogue().get(own.exercise).max_angles["shoulder-elevation"] >= 150


def test_a_light_loaded_piece_readies_the_busiest_joint_where_the_place_has_one() -> None:
    last = warm_up("squat")[-1]

    assert last.schemes[0] is not None and last.schemes[0].light and last.schemes[0].rir == 6.0
    assert any(
        "machine" in token or token == "cable"
        for option in catalogue().get(last.exercise).equipment
        for token in option
    )
    assert all(one.schemes[0] is None or not one.schemes[0].light for one in warm_up("squat", tokens=HOTEL))


def test_a_sore_knee_is_held_first_and_loaded_by_no_machine() -> None:
    made = warm_up("nordic", with_limit("knee is sore"))

    holds = [one for one in made if one.schemes[0] is not None and one.schemes[0].kind == "hold"]
    assert any(use.joint == "knee" for one in holds for use in catalogue().get(one.exercise).actions)
    loaded = [one for one in made if one.schemes[0] is not None and one.schemes[0].light]
    assert not any(use.joint == "knee" for one in loaded for use in catalogue().get(one.exercise).actions)


@pytest.mark.parametrize("day", ["bench", "arms", "overhead"])
def test_who_may_not_stand_warms_up_sitting(day: str) -> None:
    person = replace(PERSON, restrictions=LEGS_REST)

    made = warm_up(day, person)

    assert made[0].exercise == "arm_bike"
    for one in made:
        exercise = catalogue().get(one.exercise)
        sits = exercise.body_position == "sit"
        assert sits or (done_sitting(exercise, LEGS_REST, person) and "Do it sitting." in one.why)


@pytest.mark.parametrize("day", DAYS)
def test_in_pregnancy_nothing_is_done_on_the_back_or_the_front(day: str) -> None:
    person = replace(PERSON, screening=Screening(True, pregnant=True))

    made = warm_up(day, person)

    assert made and not {catalogue().get(one.exercise).body_position for one in made} & {"supine", "prone"}


def test_a_short_warm_up_has_two_drills_at_most() -> None:
    made = warm_up("whole body", minutes=5.0)

    assert sum(one.schemes[0] is not None and one.schemes[0].kind in ("drill", "hold") for one in made) <= 2


def test_an_arm_day_gets_no_squats() -> None:
    joints = {
        use.joint for one in warm_up("arms")[1:] for use in catalogue().get(one.exercise).actions if use.role == "prime"
    }

    assert joints and not joints & {"hip", "knee", "ankle"}


@pytest.mark.parametrize(
    ("lifts", "limit", "there", "not_there"),
    [
        ("handstand_hold pike_pushup", "", "wrist_circle", ""),
        ("handstand_hold dip_support hollow_hold", "", "wrist_circle", ""),
        ("pushup_load rollout_knee", "", "wrist_circle", ""),
        ("nordic_ecc copen_long", "", "glute_bridge", "rev_lunge_bw leg_press_single"),
        ("nordic hip_thrust copen_short", "", "glute_bridge", "leg_press_single"),
        ("crunch copen_long side_plank", "", "sl_add", ""),
        ("good_morning rdl_bb", "", "bw_hinge", ""),
        ("deadlift pullup", "", "bw_hinge", ""),
        ("back_squat bench_bb", "", "bw_squat", "hip_hinge_dowel"),
        ("rdl_db leg_curl_lying", "hip is sore", "", "bw_squat"),
    ],
)
def test_drills_ready_what_the_lifts_work(lifts: str, limit: str, there: str, not_there: str) -> None:
    """A wrist that bears the body, the muscles of the day, a light form of its heaviest lift.

    Common practice, no published source.
    """
    person = with_limit(limit)

    made = warm_up_entries(
        [catalogue().get(slug) for slug in lifts.split()], person, person.restrictions, GYM, catalogue(), 8.0
    )

    found = {one.exercise for one in made}
    assert found and found >= set(there.split()) and found.isdisjoint(not_there.split()), found


def test_a_drill_names_a_lift_whose_muscles_it_works() -> None:
    """A squat readies no knee for a leg curl. Common practice, no published source."""
    person = with_limit("hip is sore")
    lifts = [catalogue().get(slug) for slug in ("rdl_db", "leg_curl_lying", "split_squat_bw")]

    made = warm_up_entries(lifts, person, person.restrictions, GYM, catalogue(), 8.0)

    [squat] = [one for one in made if "split_squat" in one.exercise]
    assert "bodyweight split squat" in squat.why and "leg curl" not in squat.why
