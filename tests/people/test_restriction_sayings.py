"""What coaches say about a restriction, and what must be shut by it.

Referee of the whole file: common practice, no published source; typed from what a coach means, not from the data.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.body.anatomy import joint_actions
from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.intake import MOTIONS, POSITIONS, read_trainee
from setwright.people.restriction_text import defaults, parse_restriction
from setwright.people.trainee import Restriction
from setwright.plan.gates import judge

# What a coach means where nothing but a sore joint is named.
SORE_ELBOW: dict[str, Any] = {
    "joint": "elbow",
    "level": "light",
    "positions": {"bar-on-back", "front-rack", "hang", "weight-on-hands"},
    "wanted": {"holds", "carries", "short-range"},
}
SORE_KNEE: dict[str, Any] = {
    "joint": "knee",
    "level": "moderate",
    "max_angles": {"knee-flexion": 60},
    "positions": {"deep-squat", "kneeling"},
    "impact_max": 1,
    "wanted": {"holds", "short-range"},
}
SORE_SHOULDER: dict[str, Any] = {
    "joint": "shoulder",
    "level": "light",
    "max_angles": {"shoulder-elevation": 90},
    "positions": {"hang", "hands-overhead", "bar-on-back", "arm-behind-body"},
    "wanted": {"holds", "carries"},
}
SORE_FINGER: dict[str, Any] = {
    "joint": "fingers",
    "level": "light",
    "positions": {"hang", "grip"},
    "grip_max": 1,
    "wanted": {"holds"},
}
SORE_BACK: dict[str, Any] = {
    "joint": "trunk",
    "level": "light",
    "spine": {"flexed", "rotating"},
    "impact_max": 1,
    "wanted": {"holds", "carries"},
}
OPEN: dict[str, Any] = {
    "side": "both",
    "actions": set(),
    "level": "hard",
    "max_angles": {},
    "positions": set(),
    "grip_max": None,
    "impact_max": None,
    "spine": set(),
    "wanted": set(),
}


def knee_to(degrees: float, *positions: str, **more: Any) -> dict[str, Any]:
    return {"joint": "knee", "max_angles": {"knee-flexion": degrees}, "positions": set(positions), **more}


OVERHEAD = {"joint": "shoulder", "max_angles": {"shoulder-elevation": 120}, "positions": {"hands-overhead"}}
PRESSING = {"flexion", "abduction", "horizontal-adduction", "horizontal-adduction-with-flexion"}
# saying, what differs from no restriction at all
SAYINGS: list[tuple[str, dict[str, Any]]] = [
    # a sore joint
    ("my elbow is sore", SORE_ELBOW),
    ("Left elbow hurts.", {**SORE_ELBOW, "side": "left"}),
    ("tennis elbow, R", {**SORE_ELBOW, "side": "right"}),
    ("elbow sore for over 3 weeks", SORE_ELBOW),
    ("pain 4/10 in the right knee", {**SORE_KNEE, "side": "right"}),
    ("left and right knee are sore", SORE_KNEE),
    ("bad shoulder", SORE_SHOULDER),
    ("strained finger", SORE_FINGER),
    ("my lower back is sore", SORE_BACK),
    ("right elbow is fine, left elbow is sore", {**SORE_ELBOW, "side": "left"}),
    ("overhead is fine, my elbow is sore", SORE_ELBOW),
    # kinds of work at a joint
    ("elbow pulling", {**SORE_ELBOW, "actions": {"flexion"}}),
    ("right elbow, no curls", {**SORE_ELBOW, "side": "right", "actions": {"flexion"}}),
    ("elbow: no pushing and no pulling", {**SORE_ELBOW, "actions": {"flexion", "extension"}}),
    ("no elbow extension", {**SORE_ELBOW, "actions": {"extension"}}),
    ("shoulder pressing", {**SORE_SHOULDER, "actions": PRESSING}),
    ("shoulder: isometric only", {**SORE_SHOULDER, "level": "none", "wanted": {"holds"}}),
    ("elbow: holds and carries only", {**SORE_ELBOW, "level": "none", "wanted": {"holds", "carries"}}),
    ("sore shoulder, no carries", {**SORE_SHOULDER, "wanted": {"holds"}}),
    ("left knee: light work only", {**SORE_KNEE, "side": "left", "level": "light"}),
    ("no load on the left knee", {**SORE_KNEE, "side": "left", "level": "none", "wanted": set()}),
    # how far
    ("knee flexion over 60", knee_to(60, "deep-squat", "kneeling")),
    ("knee-flexion over 60°", knee_to(60, "deep-squat", "kneeling")),
    ("knee only to 60 degrees", knee_to(60, "deep-squat", "kneeling")),
    ("left knee 0-45 degrees", knee_to(45, "deep-squat", "kneeling", side="left")),
    ("limit knee flexion to 45", knee_to(45, "deep-squat", "kneeling")),
    ("no knee bend past 90 degrees under load", knee_to(90, "deep-squat")),
    ("left knee is fine up to 70 degrees", knee_to(70, "deep-squat", "kneeling", side="left")),
    ("my knee hurts past 90 degrees", {**SORE_KNEE, "max_angles": {"knee-flexion": 90}}),
    ("left knee no deep bend", knee_to(90, "deep-squat", side="left")),
    ("no deep squats", knee_to(90, "deep-squat")),
    ("no squatting below parallel", knee_to(100, "deep-squat")),
    ("hip flexion over 90", {"joint": "hip", "max_angles": {"hip-flexion": 90}}),
    (
        "shoulder abduction over 90",
        {**OVERHEAD, "max_angles": {"shoulder-elevation": 90}, "positions": {"hands-overhead", "hang"}},
    ),
    ("shoulder external rotation over 60", {"joint": "shoulder", "max_angles": {"shoulder-external-rotation": 60}}),
    ("ankle plantar flexion over 20", {"joint": "ankle", "max_angles": {"ankle-plantar-flexion": 20}}),
    ("wrist over 45", {"joint": "wrist", "max_angles": {"wrist-flexion": 45, "wrist-extension": 45}}),
    ("back rotation over 30", {"joint": "trunk", "max_angles": {"trunk-rotation": 30}}),
    # held positions
    ("no hangs", {"joint": "shoulder", "positions": {"hang"}}),
    ("no hanging, left finger", {"joint": "fingers", "side": "left", "positions": {"hang"}}),
    ("nothing overhead", OVERHEAD),
    ("no overhead pressing", OVERHEAD),
    ("left shoulder: no pressing overhead", {**OVERHEAD, "side": "left"}),
    (
        "shoulder: nothing above shoulder height",
        {"joint": "shoulder", "max_angles": {"shoulder-elevation": 90}, "positions": {"hands-overhead", "hang"}},
    ),
    ("wrist: no weight on hands", {"joint": "wrist", "positions": {"weight-on-hands"}}),
    ("no weight on her left hand", {"joint": "wrist", "side": "left", "positions": {"weight-on-hands"}}),
    ("no barbell on the back", {"joint": "trunk", "positions": {"bar-on-back"}}),
    ("neck: no bar on the back", {"joint": "neck", "positions": {"bar-on-back"}}),
    ("no front rack", {"joint": "wrist", "positions": {"front-rack"}}),
    ("can't kneel on the right knee", {"joint": "knee", "side": "right", "positions": {"kneeling"}}),
    ("no arm behind the body", {"joint": "shoulder", "positions": {"arm-behind-body"}}),
    ("no hard grip", {"joint": "fingers", "grip_max": 1, "positions": {"grip"}}),
    ("sore elbow, no gripping", {**SORE_ELBOW, "grip_max": 1, "positions": SORE_ELBOW["positions"] | {"grip"}}),
    # the back, and landing
    ("low back no flexion under load", {"joint": "trunk", "spine": {"flexed"}}),
    ("no flexed spine", {"joint": "trunk", "spine": {"flexed"}}),
    ("no rounding of the back", {"joint": "trunk", "spine": {"flexed"}}),
    ("no twisting", {"joint": "trunk", "spine": {"rotating"}}),
    ("lower back: no arching", {"joint": "trunk", "max_angles": {"trunk-extension": 0}}),
    ("no impact", {"joint": "ankle", "impact_max": 0}),
    ("left achilles: low impact only", {"joint": "ankle", "side": "left", "impact_max": 1}),
    ("no jumping", {"joint": "ankle", "impact_max": 1}),
    ("no running", {"joint": "ankle", "impact_max": 2}),
    # several at once
    ("no hangs, nothing overhead", {**OVERHEAD, "positions": {"hang", "hands-overhead"}}),
    (
        "left knee: no jumping, no kneeling",
        {"joint": "knee", "side": "left", "impact_max": 1, "positions": {"kneeling"}},
    ),
    ("knee to 70 degrees, no impact", knee_to(70, "deep-squat", "kneeling", impact_max=0)),
]


def fields(rule: Restriction) -> dict[str, Any]:
    found = {key: getattr(rule, key) for key in ("joint", *OPEN)}
    return {key: set(value) if isinstance(value, tuple) else value for key, value in found.items()}


@pytest.mark.parametrize(("saying", "meant"), SAYINGS, ids=[saying for saying, _ in SAYINGS])
def test_a_saying_bars_what_the_coach_means(saying: str, meant: dict[str, Any]) -> None:
    rule = parse_restriction(saying)

    assert fields(rule) == {**OPEN, **meant}
    assert rule.reason and rule.id


# saying, exercises that it shuts, exercises that it leaves open (any place, so equipment doesn't count)
SHUT_AND_OPEN = [
    ("no barbell on the back", "back_squat back_squat_half box_squat_bar", "front_squat trapbar_dl leg_press"),
    ("no front rack", "front_squat", "back_squat"),
    ("no hangs", "pullup chinup dead_hang toes_to_bar", "row_inv lat_pulldown"),
    ("nothing overhead", "ohp_bb ohp_db push_press pullup", "bench_bb row_db"),
    ("wrist: no weight on hands", "pushup bear_hold bench_dip", "bench_bb plank"),
    ("no kneeling", "rollout_knee nordic", "plank leg_curl_lying"),
    ("no hard grip", "deadlift bottoms_up pullup", "leg_press"),
    ("low back no flexion under load", "situp_load toes_to_bar", "deadlift rdl_bb plank"),
    ("no twisting", "woodchop", "situp_load deadlift"),
    ("no impact", "run box_jump rope_skip", "bike rower"),
    ("no jumping", "run box_jump", "walk step_up"),
    ("no running", "run rope_skip", "walk bike"),
    ("shoulder pressing", "bench_bb pushup ohp_bb", "row_db leg_press"),
    ("elbow: no pushing and pulling", "bench_bb row_bb", "leg_press"),
    ("right elbow isometric only", "curl_db bench_bb", "row_iso triceps_hold leg_press"),
    ("no load on left knee", "leg_ext leg_press wall_sit", "bench_bb"),
    ("my elbow is sore", "back_squat front_squat pullup bench_bb", "leg_press leg_curl_lying"),
]


@pytest.mark.parametrize(("saying", "shut", "left"), SHUT_AND_OPEN, ids=[row[0] for row in SHUT_AND_OPEN])
def test_a_saying_shuts_the_exercises_it_means_and_no_others(saying: str, shut: str, left: str) -> None:
    rule = parse_restriction(saying)

    def is_open(slug: str) -> bool:
        return judge(catalogue().get(slug), (rule,), frozenset(), ignore_equipment=True).allowed

    assert [slug for slug in shut.split() if is_open(slug)] == []
    assert [slug for slug in left.split() if not is_open(slug)] == []


@pytest.mark.parametrize("degrees", [30, 45, 60, 75, 90, 120])
@pytest.mark.parametrize(
    "saying",
    [
        "knee flexion over {}",
        "no knee flexion past {} degrees",
        "knee only to {} degrees",
        "knee at most {}°",
        "limit the knee to {}",
        "knee bend up to {} deg, no more",
        "knee below {} degrees",
        "knee 0 to {}",
        "sore knee, not beyond {}",
    ],
)
def test_an_angle_that_is_said_is_the_angle_that_is_kept(saying: str, degrees: int) -> None:
    assert parse_restriction(saying.format(degrees)).max_angles == {"knee-flexion": degrees}


REFUSED = [
    # saying, what the one error must say
    ("the moon is made of cheese", "allowed: a joint (ankle, elbow, fingers, hip, knee, neck, shoulder, trunk, wrist)"),
    ("purple monkey", "or a saying about: overhead,"),
    ("", "a joint, like: elbow"),
    ("my elbo is sore", "Nearest: elbow."),
    ("no hanks", "Nearest: hangs."),
    ("hangs are fine", "found nothing barred in 'hangs are fine'"),
    ("left elbow and right knee are sore", "found elbow and knee in"),
    ("knee: nothing over 40 kg", "Loads, counts, times and efforts can't be said in words."),
    ("elbow not over rpe 6", "Loads, counts, times and efforts can't be said in words."),
    ("knee flexion over 200", "found 200 degrees; allowed: one largest angle, from 0 to 180 degrees"),
    ("knee 30 to 90 degrees", "a least angle"),
    ("knee at least 60 degrees", "a least angle"),
    ("knee only over 60 degrees", "a least angle"),
    ("knee flexion to 60, to 90 with a band", "the angles 60 and 90"),
    ("elbow extension over 30", "a motion that exercises state: flexion, bend"),
    ("fingers over 30 degrees", "no angle at the fingers"),
    ("no weight bearing on the left ankle", "No plan keeps a leg free of weight"),
    ("no spinal loading", "no bar on the back, no front rack"),
    ("no back squats", "Leave an exercise out in the brief"),
    ("chest pain", "see a licensed clinician now"),
]


@pytest.mark.parametrize(("saying", "said"), REFUSED, ids=[saying or "empty" for saying, _ in REFUSED])
def test_what_is_not_understood_is_refused_with_one_error(saying: str, said: str) -> None:
    with pytest.raises(InputFaults) as caught:
        parse_restriction(saying, "trainee.toml")

    (fault,) = caught.value.faults
    assert said in fault.sentence()
    assert fault.file == "trainee.toml" and fault.allowed


def test_every_saying_and_default_closes_something_that_exercises_have() -> None:
    """Referee: the catalogue; a word that no exercise carries would bar nothing."""
    exercises = list(catalogue().values())
    stated = {motion for one in exercises for motion in one.max_angles}
    held = {position for one in exercises for position in one.held_positions}
    rows = [*defaults()["joint"].values(), *defaults()["saying"].values()]

    assert len(rows) > 20 and stated and held
    for row in rows:
        assert set(row.get("max_angles", {})) <= stated
        assert set(row.get("positions", ())) <= held & set(POSITIONS)
    for joint, table in defaults()["motion"].items():
        for motions in table.values():
            assert set(motions) <= stated & set(MOTIONS), joint
    for joint, table in defaults()["action"].items():
        for actions in table.values():
            assert {f"{joint}-{one}" for one in actions} <= set(joint_actions()), joint


TRAINEE = """
id = "invented"
birth_year = 1990
body_mass_kg = 80
stature_cm = 180
training_years = 3
[screening]
active_now = true
[[days]]
day = "mon"
minutes = 60
place = "gym"
[[restrictions]]
"""


def restriction_of(lines: str) -> Restriction:
    return read_trainee(TRAINEE + lines, "trainee.toml").restrictions[0]


def test_fields_win_over_the_words() -> None:
    rule = restriction_of('says = "my elbow is sore"\nside = "left"\nlevel = "none"\nwanted = ["holds"]')

    assert (rule.joint, rule.side, rule.level, rule.wanted) == ("elbow", "left", "none", ("holds",))
    assert set(rule.positions) == SORE_ELBOW["positions"]


@pytest.mark.parametrize("action", ["plantar-flexion", "dorsiflexion", "inversion"])
def test_an_action_that_a_file_may_bar_is_one_that_exercises_use(action: str) -> None:
    rule = restriction_of(f'joint = "ankle"\nactions = ["{action}"]')

    used = {use.action for one in catalogue().values() for use in one.actions if use.joint == "ankle"}
    assert set(rule.actions) == {action} <= used


def test_an_action_in_another_spelling_is_refused_because_it_would_bar_nothing() -> None:
    with pytest.raises(InputFaults, match=r"actions\[1\]: found 'plantar flexion'.*Nearest: plantar-flexion"):
        restriction_of('joint = "ankle"\nactions = ["plantar flexion"]')


def test_a_limit_on_an_angle_that_no_exercise_states_is_refused() -> None:
    with pytest.raises(InputFaults, match=r"max_angles.knee-extension: found 10.*would close nothing"):
        restriction_of('joint = "knee"\nmax_angles = { knee-extension = 10 }')


def test_a_saying_that_is_not_understood_names_its_place_in_the_file() -> None:
    with pytest.raises(InputFaults) as caught:
        restriction_of('says = "the moon hurts"')

    (fault,) = caught.value.faults
    assert fault.path == "restrictions[1].says"


@pytest.mark.parametrize("joint", sorted(defaults()["joint"]))
def test_one_more_saying_never_opens_what_a_sore_joint_closes(joint: str) -> None:
    """A law: the tighter of two rules counts."""
    order = ("none", "light", "moderate", "hard")
    sore = parse_restriction(f"sore {joint}")

    for row in defaults()["saying"].values():
        for phrase in row["words"]:
            both = parse_restriction(f"sore {joint}, no {phrase}")
            assert both.joint == joint and order.index(both.level) <= order.index(sore.level)
            assert {*sore.positions, *row.get("positions", ())} <= {*both.positions}, phrase
            assert {*sore.spine, *row.get("spine", ())} <= {*both.spine}, phrase
            for one in (sore.max_angles, row.get("max_angles", {})):
                assert all(both.max_angles[motion] <= most for motion, most in one.items()), phrase
            for name, most in (("grip_max", row.get("grip_max")), ("impact_max", row.get("impact_max"))):
                limits = [one for one in (getattr(sore, name), most) if one is not None]
                assert getattr(both, name) == (min(limits) if limits else None), phrase


WORDS = [
    *("no", "not", "only", "left", "right", "over", "past", "to", "at", "least", "60", "90", "kg", "degrees", "weeks"),
    *("elbow", "knee", "back", "hand", "hangs", "overhead", "deep", "hold", "light", "sore", "fine", "flexion"),
    *("rotation", ",", ".", "-", "°"),
]


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.lists(st.sampled_from(WORDS) | st.text("ab x0.-/%", max_size=6), max_size=8).map(" ".join))
def test_any_words_are_a_restriction_that_bars_something_or_one_error(words: str) -> None:
    try:
        rule = parse_restriction(words)
    except InputFaults as error:
        assert len(error.faults) == 1
    else:
        bars = (rule.level != "hard", rule.max_angles, rule.positions, rule.spine)
        assert any(bars) or rule.grip_max is not None or rule.impact_max is not None


@pytest.mark.parametrize(
    "saying",
    [
        "my back spasmed and I have a numb saddle area",
        "low back pain and my leg went numb",
        "back pain, can't control my bladder",
        "achilles ruptured last month",
        "knee swollen and hot",
        "shoulder popped out yesterday",
        "broken wrist",
        "felt dizzy, sore neck",
    ],
)
def test_a_red_flag_or_a_fresh_injury_is_sent_to_a_clinician(saying: str) -> None:
    """Referee: AHCPR red flags (seen in the reference table); fresh injuries: common practice, no published source."""
    with pytest.raises(InputFaults) as told:
        parse_restriction(saying)
    assert "licensed clinician first" in str(told.value)


@pytest.mark.parametrize(
    ("saying", "told"),
    [
        ("elbow sore except when pushing", "exceptions"),
        ("knee hurts until 60 then fine", "largest angle"),
        ("knee hurts in the first 30 degrees", "largest angle"),
        ("knee can't straighten past 20", "largest angle"),
        ("knee doesn't hurt any more", "--lift"),
        ("elbow is not sore", "--lift"),
        ("elbow was sore, now fine", "--lift"),
    ],
)
def test_what_could_be_read_the_wrong_way_round_is_refused(saying: str, told: str) -> None:
    with pytest.raises(InputFaults) as refused:
        parse_restriction(saying)
    assert told in str(refused.value)


@pytest.mark.parametrize("saying", ["knee bothers me when running", "hip pinches in a deep squat", "elbow niggles"])
def test_a_complaint_in_other_words_closes_what_a_sore_joint_closes(saying: str) -> None:
    assert parse_restriction(saying).level in ("light", "moderate")
