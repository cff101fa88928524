"""A small figure of a catalogue entry: start and end side by side, posed from its body position and joint angles.

Two ideas carry this module. One: entries are posed by their family (``poses``), or drawn from the lever model where its
posture is a whole picture. Two: where a picture seen from one side would mislead (turning forearms, drills on
several planes), there is none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from setwright.body.demand import Person
from setwright.body.models import models
from setwright.body.segments import Sex
from setwright.catalogue.exercise import Exercise
from setwright.publish.drawing import INK, PAPER, Frame, Scene, arrow_head, bounds, document, draw, line
from setwright.publish.mannequin import USUAL_STATURE_M, build_of
from setwright.publish.poses import arms, legs, trunk
from setwright.publish.poses.kit import Poser
from setwright.publish.posture_scene import posture_scene

PANEL, HEIGHT, EDGE, GAP = 100.0, 100.0, 3.0, 16.0
MOST_SCALE = 50.0  # px a metre, so that a person has about one size in all figures
USUAL_MASS_KG = 70.0
# Models whose posture is a whole picture of the exercise; the others leave out the bench, the bar or a limb.
WHOLE_MODELS = ("nordic", "kneeling lean back", "push-up", "wall push-up")


@cache
def posers() -> Mapping[str, Poser]:
    """What poses the entries of a pattern."""
    return MappingProxyType({**legs.PATTERNS, **arms.PATTERNS, **trunk.PATTERNS})


def entry_scenes(exercise: Exercise, stature_m: float = USUAL_STATURE_M, sex: Sex | None = None) -> Sequence[Scene]:
    """The scenes of an entry in order, one for a hold; none where it has no joint angles or would mislead."""
    if drawn_from_model(exercise):
        return lever_scenes(exercise, stature_m, sex)
    poser = posers().get(exercise.pattern)
    if poser is None or not exercise.max_angles:
        return ()
    return tuple(poser(exercise, build_of(stature_m, sex)) or ())


def drawn_from_model(exercise: Exercise) -> bool:
    """Whether the small figure is the lever model's own posture."""
    return exercise.lever is not None and exercise.lever.model in WHOLE_MODELS


def lever_scenes(exercise: Exercise, stature_m: float, sex: Sex | None) -> Sequence[Scene]:
    """Start and end of the lever model that the entry names, with its dials."""
    assert exercise.lever is not None
    model = models()[exercise.lever.model]
    posture = model.pose(Person(USUAL_MASS_KG, stature_m, sex).body(), model.setting(exercise.lever.dials))
    last = posture.lead_deg.size - 1
    if exercise.mode == "isometric":
        return (posture_scene(posture, last),)
    return posture_scene(posture, 0), posture_scene(posture, last)


@dataclass(frozen=True)
class Drawn:
    """A small figure without its frame: for one symbol of a page that many entries use. Sizes in px."""

    slug: str
    width: float
    height: float
    title: str
    desc: str
    marks: str


def entry_drawn(exercise: Exercise, stature_m: float = USUAL_STATURE_M, sex: Sex | None = None) -> Drawn | None:
    """The figure of an entry as marks, or None where it has no joint angles or a picture would mislead."""
    scenes = entry_scenes(exercise, stature_m, sex)
    if not scenes:
        return None
    boxes = [bounds([scene]) for scene in scenes]
    low, high = min(box[1] for box in boxes), max(box[3] for box in boxes)
    wide = max(box[2] - box[0] for box in boxes)
    scale = min(MOST_SCALE, (HEIGHT - 2 * EDGE) / (high - low), 1.5 * PANEL / wide)
    widths = [scale * (box[2] - box[0]) for box in boxes]
    width = sum(widths) + GAP * (len(widths) - 1) + 2 * EDGE
    height = scale * (high - low) + 2 * EDGE
    body = [f'<rect width="{width:.2f}" height="{height:.2f}" fill="{PAPER}"/>']
    left = EDGE
    for i, (scene, box, room) in enumerate(zip(scenes, boxes, widths, strict=True)):
        body.append(f"<g>{draw(scene, Frame(scale, left - scale * box[0], EDGE + scale * high))}</g>")
        left += room
        if i + 1 < len(scenes):
            middle = height / 2
            body.append(line((left + 3, middle), (left + GAP - 5, middle), f'stroke="{INK}" stroke-width="1.6"'))
            body.append(arrow_head((left + GAP - 3, middle), 0.0, 5.0, INK))
            left += GAP
    return Drawn(exercise.slug, width, height, exercise.name, describe(exercise, len(scenes)), "".join(body))


def entry_figure(exercise: Exercise, stature_m: float = USUAL_STATURE_M, sex: Sex | None = None) -> str | None:
    """The figure of an entry as SVG, or None where it has no joint angles or a picture would mislead.

    It has no words but its title and description, so that it can be printed 12 mm high.
    """
    made = entry_drawn(exercise, stature_m, sex)
    return None if made is None else document(made.width, made.height, made.title, made.desc, [made.marks])


def describe(exercise: Exercise, count: int) -> str:
    """What the figure shows in words: start and end, and the largest angles."""
    shown = "The position that is held." if count == 1 else "From left to right: start and end."
    angles = ", ".join(f"{motion.replace('-', ' ')} {deg:g} degrees" for motion, deg in exercise.max_angles.items())
    return shown + (f" Largest angles: {angles}." if angles else "")
