"""What a coach reads of a lever: no sentence says more, or other, than the numbers behind it.

Referee: plain reading. Each sentence is checked against the JSON numbers of the same answer.
"""

from __future__ import annotations

import pytest

from setwright.publish.lever_words import LeverWords
from setwright.services.levers import Answer, ask, words_of

BODY = {"mass_kg": 75.0, "stature_m": 1.75, "sex": "male"}


def told(slug: str, *dials: str) -> tuple[Answer, LeverWords, str]:
    """The answer, its words, and all its sentences as one text."""
    answer = ask(slug, dials=dials, **BODY)  # type: ignore[arg-type]
    words = words_of(answer)
    return answer, words, " ".join((*words.lines, *words.notes))


def test_more_than_there_is_cannot_be_read_as_easy():
    """A man's nordic asks for over twice what he has: the sentence says who asks and who has."""
    answer, _, said = told("nordic")

    assert answer.demand.demand_ratio is not None and answer.demand.demand_ratio.p10 > 1.0
    assert "asks for more than there is" in said and "more than one whole" not in said


@pytest.mark.parametrize("slug", ["rev_nordic", "deadlift", "sl_rdl", "pistol", "nordic_ecc"])
def test_control_is_not_called_lost_where_it_is_likely_kept(slug: str):
    """With a chance of a half or more the sentence begins with control, below it with its loss."""
    answer, words, _ = told(slug)
    chance = answer.demand.controlled
    line = next(one for one in words.lines if "control is lost" in one)

    assert chance is not None
    assert line.startswith("On the way down control is lost") == (chance < 0.5)
    assert ("is likely controlled" in line) == (chance >= 0.5)


def test_the_way_down_ends_where_balance_ends():
    """A squat that can't be balanced below some angle is not called controlled the whole way."""
    answer, _, said = told("bw_squat", "ankle_limit_deg=5")

    assert answer.demand.stops_at_deg is not None
    assert "Cannot balance" in said and "way down to there" in said and "hole way down" not in said


def test_what_never_starts_is_told_without_numbers():
    """Hands higher than the arms reach: the reason, and no moment, share or work."""
    answer, words, said = told("pushup", "hand_height_cm=140")

    assert answer.demand.stops_at_deg == 0.0
    assert "do not reach" in said and len(words.table) == 1
    assert not any(word in said for word in ("nan", "must hold", "Carried by", "Work of", "--reps"))


@pytest.mark.parametrize("slug", ["rollout_stand", "rollout_knee", "body_saw", "plank", "deadlift"])
def test_joints_without_a_table_are_named_beside_the_one_that_has_one(slug: str):
    """A trunk that must hold as much as the hips, and of which nothing is known, is no promise of control."""
    _, words, said = told(slug)

    assert "alone: what trunk" in said and "stands in no table" in said
    assert not any(line.startswith("The whole way down") for line in words.lines)


@pytest.mark.parametrize("slug", ["dead_hang", "side_plank", "farmer", "dip_support"])
def test_a_hold_is_not_asked_for_repetitions(slug: str):
    """Nobody does eight repetitions of a hang; what is asked for is seconds."""
    _, _, said = told(slug)

    assert "--reps" not in said and "hold to the end" in said


def test_a_sled_goes_neither_up_nor_down():
    """One step of a sled, and the work of the whole way."""
    _, words, _ = told("sled_push")
    lines = " ".join(words.lines)

    assert "hardest point of a step" in lines and "Work of the whole way" in lines
    assert not any(word in lines for word in ("way up", "way down", "one repetition"))


@pytest.mark.parametrize("slug", ["bw_squat", "pistol", "rev_lunge", "rev_nordic", "dip_support", "copen_short"])
def test_shares_are_never_less_than_nothing_and_means_lie_inside_their_spread(slug: str):
    """A moment on the other side of the joint has no share; no "-0"; no mean outside what eight in ten hold."""
    import re

    _, words, said = told(slug)

    assert not any(row[3].startswith("-") for row in words.table)
    assert not re.search(r"-0(?![.\d])", said)
    for mean, low, high in re.findall(r"(-?\d+)(?: N m| J| s)? \((-?\d+) to (-?\d+)", said):
        assert int(low) <= int(mean) <= int(high), said


def test_the_load_is_carried_where_it_lies():
    """A bar on the back is not in the hands, and one leg stands on one foot."""
    assert "Carried by the back" in told("good_morning")[2]
    assert "Carried by the foot" in told("pistol")[2]
    assert "Carried by the feet" in told("bw_squat")[2]


def test_a_heavy_build_is_told_that_the_table_flatters_it():
    """At 130 kg the table gives the same share as at 70 kg; that is said where the share is, until a set tells more."""
    heavy = ask("bw_squat", mass_kg=130.0, stature_m=1.78, sex="male")
    lean = ask("bw_squat", mass_kg=70.0, stature_m=1.78, sex="male")
    graded = ask("bw_squat", mass_kg=130.0, stature_m=1.78, sex="male", reps=10, rir=2)

    assert any("heavy build" in one for one in words_of(heavy).lines)
    assert not any("heavy build" in one for one in (*words_of(lean).lines, *words_of(graded).lines))


@pytest.mark.parametrize("slug", ["dead_hang", "farmer", "pullup_hold", "split_squat_hold", "nordic", "wall_sit"])
def test_no_degree_stands_twice_in_the_table(slug: str):
    """A hold within a degree is one row; three degrees are no ten rows."""
    degrees = [row[0] for row in told(slug)[1].table[1:]]

    assert degrees and len(set(degrees)) == len(degrees)


def test_the_table_ends_where_the_sentence_says():
    """Where most bodies like this can't balance, the row says so, as the sentence above it does."""
    answer, words, _ = told("bw_squat", "ankle_limit_deg=5")
    stops = answer.demand.stops_at_deg

    assert stops is not None
    for row in words.table[1:]:
        far = float(row[0].rstrip("°")) - stops
        assert (row[1] == "no balance") == (far > 0) or abs(far) < 6
