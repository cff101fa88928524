"""Figures are drawn from the same joint angles that are reckoned with, and say the same numbers."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from math import atan2, degrees, hypot

import numpy as np
import pytest
from made_block import made_block

from setwright.body.chain import beyond
from setwright.body.demand import Person, assess
from setwright.body.lever import Posture, working_moment
from setwright.body.models import models
from setwright.body.segments import STANDARD_GRAVITY
from setwright.catalogue.load import catalogue
from setwright.publish.catalogue_figure import drawn_from_model, entry_drawn, entry_figure, entry_scenes
from setwright.publish.figure import action_beyond, lever_picture, moments_of
from setwright.publish.moment_chart import curve_chart, nice_ticks
from setwright.publish.page import notes_page, session_page
from setwright.publish.sheet import pages_of, session_pdf

SVG = "{http://www.w3.org/2000/svg}"
PERSON = Person(72.0, 1.72)
EVERY = sorted(catalogue().exercises)
# Seen from one side these would mislead (turning hips, twists, work across the body) or have no angles.
NO_FIGURE_AT_MOST = 32
PX_AT_45_MM = 45 / 25.4 * 72  # points that a strip printed 45 mm wide has


def posed(name: str, **dials: float | str) -> Posture:
    model = models()[name]
    return model.pose(PERSON.body(), model.setting(dials))


def ends(element: ET.Element) -> tuple[tuple[float, float], tuple[float, float]]:
    x1, y1, x2, y2 = (float(element.get(key, "nan")) for key in ("x1", "y1", "x2", "y2"))
    return (x1, y1), (x2, y2)


def direction(element: ET.Element) -> float:
    """Direction of a drawn line, degrees, z up."""
    (x1, y1), (x2, y2) = ends(element)
    return degrees(atan2(y1 - y2, x2 - x1))


def panels(svg: str) -> list[ET.Element]:
    return [one for one in ET.fromstring(svg).iter(f"{SVG}g") if one.get("data-angle")]


def drawn_links(panel: ET.Element) -> dict[str, ET.Element]:
    return {one.get("data-link", ""): one for one in panel.iter(f"{SVG}line") if one.get("data-link")}


def test_every_link_of_a_posture_is_drawn() -> None:
    for name in ("nordic", "kneeling lean back", "push-up"):
        posture = posed(name)
        long = {one.name for one in posture.links if np.hypot(*(one.end - one.start)[0, 0]) > 0.01}

        for panel in panels(lever_picture(posture)):
            assert set(drawn_links(panel)) == long


@pytest.mark.parametrize("hip", [0.0, 40.0])
def test_drawn_joint_angles_are_those_of_the_posture(hip: float) -> None:
    """Referee: the definition of the angles; knee flexion turns from shank to thigh, hip flexion on from there."""
    found = panels(lever_picture(posed("nordic", hip_flexion_deg=hip, incline_deg=10)))

    assert [float(one.get("data-angle", "nan")) for one in found][::2] == [90.0, 0.0]
    for panel in found:
        links = drawn_links(panel)
        knee = direction(links["thigh"]) - direction(links["shank"])
        assert knee == pytest.approx(float(panel.get("data-angle", "nan")), abs=0.3)
        assert direction(links["thigh"]) - direction(links["trunk"]) == pytest.approx(hip, abs=0.3)


def test_the_drawn_arm_is_moment_over_weight_beyond_the_knee() -> None:
    """Referee: M = m g d with the segment masses beyond the knee; both legs share the moment."""
    posture = posed("nordic", load_kg=10.0)
    joint = posture.working[0]
    weight = sum(float(posture.links[i].mass_kg[0, 0]) for i in beyond(posture.links, joint.link)) * STANDARD_GRAVITY
    moment = working_moment(posture, joint)[0] * joint.limbs
    thigh_m = float(PERSON.body().thigh.length_m[0, 0])

    for panel in panels(lever_picture(posture)):
        at = int(np.argmin(np.abs(posture.lead_deg - float(panel.get("data-angle", "nan")))))
        arm = next(one for one in panel.iter(f"{SVG}line") if one.get("data-lever") == "arm")
        px_a_metre = hypot(*np.subtract(*ends(drawn_links(panel)["thigh"]))) / thigh_m
        drawn_m = hypot(*np.subtract(*ends(arm))) / px_a_metre
        assert drawn_m == pytest.approx(abs(moment[at]) / weight, abs=0.002)
        assert abs(direction(arm)) % 180 == pytest.approx(0.0, abs=1.0) or drawn_m < 0.01


@pytest.mark.parametrize("name", ["nordic", "push-up"])
def test_arm_times_pull_is_the_moment_also_where_floor_or_band_push(name: str) -> None:
    posture = posed(name, band_test_kg=15.0)
    joint = posture.working[0]
    moment = working_moment(posture, joint)[0] * joint.limbs
    told = 0

    for index in range(posture.lead_deg.size):
        action = action_beyond(posture, joint, index)
        if action is not None:
            told += 1
            assert action.arm_m * action.weight_kg * STANDARD_GRAVITY == pytest.approx(abs(moment[index]), abs=0.01)
    assert told > 40


def test_the_hardest_figure_stands_at_the_largest_moment() -> None:
    for name, model in models().items():
        posture = model.pose(PERSON.body(), model.setting({}))
        joint = posture.working[0]
        moment = np.broadcast_to(working_moment(posture, joint), (1, posture.lead_deg.size))[0]
        hardest = next(one for one in moments_of(posture, joint) if "hardest" in one.name)
        tolerance = 0.03 * float(np.nanmax(np.abs(moment)))
        assert moment[hardest.index] >= np.nanmax(moment) - tolerance, name


@pytest.mark.parametrize("name", sorted(models()))
def test_every_model_can_be_drawn_at_every_angle_shown(name: str) -> None:
    posture = models()[name].pose(PERSON.body(), models()[name].setting({}))
    svg = lever_picture(posture)

    found = panels(svg)
    assert len(found) == 3
    assert "nan" not in re.sub(r"data-\w+=\"[^\"]*\"", "", svg)
    assert all(len(drawn_links(one)) >= 3 for one in found)
    # Nothing of the body lies outside the picture.
    _, _, width, height = (float(one) for one in ET.fromstring(svg).get("viewBox", "").split())
    for panel in found:
        for link in drawn_links(panel).values():
            for x, y in ends(link):
                assert -1 <= x <= width + 1 and -1 <= y <= height + 1


def test_words_of_the_strip_are_readable_at_45_mm_and_on_a_phone() -> None:
    """6 pt is the least that is read in print: common practice. The strip is 360 px wide on a phone of 390."""
    root = ET.fromstring(lever_picture(posed("push-up")))
    width = float(root.get("viewBox", "").split()[2])
    sizes = [float(one.get("font-size", "0")) for one in root.iter(f"{SVG}text")]

    assert sizes and width <= 390
    assert min(sizes) / width * PX_AT_45_MM >= 6.0
    assert min(sizes) >= 12


def test_the_strip_tells_its_facts_to_who_cannot_see_it() -> None:
    posture = posed("nordic")
    root = ET.fromstring(lever_picture(posture))
    said = root.findtext(f"{SVG}desc") or ""
    peak = float(np.max(working_moment(posture, posture.working[0]))) * posture.working[0].limbs

    assert root.get("role") == "img" and root.findtext(f"{SVG}title")
    assert f"{peak:.0f} N m" in said and "0 degrees" in said and "lever arm" in said


def test_own_captions_stand_below_the_figures() -> None:
    svg = lever_picture(posed("nordic"), captions=("one", "two\nlines", "three"))

    texts = [one.text for one in ET.fromstring(svg).iter(f"{SVG}text")]
    assert [one for one in texts if one in ("one", "two", "lines", "three")] == ["one", "two", "lines", "three"]


def test_the_curve_draws_moment_and_capacity_where_they_are() -> None:
    demand = assess(models()["nordic"], {}, PERSON, phase="lower")
    svg = curve_chart(demand)
    root = ET.fromstring(svg)
    series = {one.get("data-series"): one for one in root.iter() if one.get("data-series")}

    assert set(series) == {"moment", "capacity", "break"}
    rows = [tuple(map(float, one.split())) for one in (series["moment"].get("d") or "")[1:].split("L")]
    means = [one.moment_nm.mean for one in demand.joint.curve]
    assert len(rows) == len(means) == 61
    # Equal steps of moment are equal steps of height: the drawn points lie on one line against the means.
    fit = np.polyfit(means, [y for _, y in rows], 1)
    assert np.max(np.abs(np.polyval(fit, means) - [y for _, y in rows])) < 0.02
    assert fit[0] < 0
    assert min(float(one.get("font-size", "0")) for one in root.iter(f"{SVG}text")) >= 12


def test_without_a_capacity_there_is_no_capacity_line() -> None:
    svg = curve_chart(assess(models()["push-up"], {}, PERSON))

    assert 'data-series="moment"' in svg and 'data-series="capacity"' not in svg


def test_ticks_are_round_and_span_the_range() -> None:
    assert nice_ticks(0, 93, 5) == [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]
    assert nice_ticks(-9, 90, 5)[0] <= -9 and nice_ticks(-9, 90, 5)[-1] >= 90


@pytest.mark.parametrize("slug", EVERY)
def test_every_entry_has_a_well_formed_figure_or_none(slug: str) -> None:
    exercise = catalogue().get(slug)
    svg, made = entry_figure(exercise), entry_drawn(exercise)
    if svg is None or made is None:
        assert svg is None and made is None
        return
    root = ET.fromstring(svg)
    joints = [one for one in root.iter(f"{SVG}line") if one.get("data-link")]

    assert root.findtext(f"{SVG}title") == exercise.name
    assert len(joints) >= 7 and 'data-link="head"' in svg
    assert not re.search(r"[\"MLr ](?:nan|-?inf)[\" Z]", made.marks)
    _, _, width, height = (float(one) for one in root.get("viewBox", "").split())
    assert 15 < width < 330 and 15 < height <= 130
    for one in joints:
        for x, y in ends(one):
            assert -1 <= x <= width + 1 and -1 <= y <= height + 1
    # No script, no style sheet, no picture and no address but the name of the format.
    assert not re.findall(r"(?:href|src|url\(|<image|<script|<style|@import)", svg)
    assert set(re.findall(r"https?://[^\"]+", svg)) == {"http://www.w3.org/2000/svg"}


def test_few_entries_with_angles_go_without_a_figure() -> None:
    without = [one for one in EVERY if catalogue().get(one).max_angles and entry_figure(catalogue().get(one)) is None]

    assert len(without) <= NO_FIGURE_AT_MOST


def test_limbs_keep_their_length_in_every_side_view() -> None:
    """A thigh is a thigh: a led hand or foot out of reach would stretch or tear the figure."""
    wrong = []
    for slug in EVERY:
        exercise = catalogue().get(slug)
        if drawn_from_model(exercise):
            continue
        for scene in entry_scenes(exercise):
            for limb in scene.limbs:
                if limb.name == "thigh" and any(one.name == "upper trunk" for one in scene.limbs):
                    length = hypot(limb.end[0] - limb.start[0], limb.end[1] - limb.start[1])
                    if abs(length - float(PERSON.body().thigh.length_m[0, 0])) > 0.02:
                        wrong.append(slug)
    assert not wrong


@pytest.mark.parametrize(
    "slug", ["back_squat", "front_squat", "goblet_squat", "leg_ext", "rdl_bb", "split_squat", "step_up"]
)
def test_the_drawn_knee_bends_as_far_as_the_entry_says(slug: str) -> None:
    exercise = catalogue().get(slug)
    found = []
    for scene in entry_scenes(exercise):
        limbs = {one.name: one for one in scene.limbs if not one.far}
        turn = _heading(limbs["thigh"]) - _heading(limbs["shank"])
        found.append(abs((turn + 180) % 360 - 180))

    assert max(found) == pytest.approx(exercise.max_angles["knee-flexion"], abs=2.5)


def _heading(limb: object) -> float:
    start, end = limb.start, limb.end  # type: ignore[attr-defined]
    return degrees(atan2(end[1] - start[1], end[0] - start[0]))


def test_a_figure_has_the_same_bytes_twice() -> None:
    first = [entry_figure(catalogue().get(one)) for one in EVERY[:40]] + [lever_picture(posed("nordic"))]
    second = [entry_figure(catalogue().get(one)) for one in EVERY[:40]] + [lever_picture(posed("nordic"))]

    assert first == second and any(first)


def test_a_page_holds_each_figure_once_and_can_go_without() -> None:
    block = made_block()
    day = block.weeks[0].sessions[0].day
    page = session_page(block, 1, day, catalogue())
    entries = [e.exercise for part in block.weeks[0].sessions[0].parts for e in part.entries]
    drawn = {one for one in entries if entry_drawn(catalogue().get(one)) is not None}

    assert drawn
    for slug in drawn:
        assert page.count(f'<symbol id="fig-{slug}"') == 1
        assert page.count(f'<use href="#fig-{slug}"') == entries.count(slug)
    assert "<symbol" not in session_page(block, 1, day, catalogue(), figures=False)
    assert "<symbol" in notes_page(block, 1, day, catalogue())


def test_figures_never_cost_a_sheet_of_paper() -> None:
    block = made_block()
    for session in block.weeks[0].sessions:
        plain = session_pdf(block, 1, session.day, catalogue(), figures=False)
        drawn = session_pdf(block, 1, session.day, catalogue())
        assert pages_of(drawn) == pages_of(plain)
        assert len(drawn) > len(plain)
