"""How hard a body-weight, assisted or supported exercise is for one person: the deed behind ``levers``."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from setwright.body.capacity import has_table
from setwright.body.demand import Demand, Known, Person, Range, assess, learnt, range_of
from setwright.body.lever import Dial, Model, check_dial
from setwright.body.lifting_equation import COMPRESSION_LIMIT_N, LiftWarning, lift_warning
from setwright.body.models import models
from setwright.body.segments import LIMITS, MEASURABLE, Measured, Sex, TableName
from setwright.catalogue.exercise import Exercise, Phase
from setwright.catalogue.names import nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.place import Place
from setwright.people.trainee import Trainee
from setwright.services.clock import today as clock_today
from setwright.services.files import write_all
from setwright.services.gather import catalogue, load_person
from setwright.services.shelf import slug_of
from setwright.strength.curve import share_of_1rm
from setwright.strength.expected import k_prior
from setwright.strength.holds import curve_of, hold_figures
from setwright.strength.lever_load import body_at
from setwright.strength.measured_bands import calibration

if TYPE_CHECKING:
    from setwright.publish.lever_words import LeverWords

LONGEST_HOLD_S = 600.0  # the curves say nothing of longer holds
USUAL = Person(75.0, 1.75, None, 30.0)
UNMEASURED = (
    "The band is an example, believed within 20 %: measure yours once, its length at rest and with a mass hung on it "
    "(--dial band_rest_cm=, band_test_kg=, band_test_cm=, or in the place file)."
)
BAND_MEASURED = ("band_rest_cm", "band_test_kg", "band_test_cm")
BOTH = ("range_deg", "held_angle_deg")


@dataclass(frozen=True)
class Asked:
    """What a coach asked: an exercise, a person, dials, and what is known of the person's strength."""

    exercise: Exercise
    model: Model
    dials: Mapping[str, float | str]
    person: Person
    phase: Phase
    known: Known = field(default_factory=Known)
    who: str = ""


@dataclass(frozen=True)
class Answer:
    """A question with its answer."""

    asked: Asked
    demand: Demand

    @property
    def lifting(self) -> LiftWarning | None:
        """What a guideline for lifting at work says of a hinge with a load; None for everything else."""
        return lift_warning(self.asked.model.pose(self.asked.person.body(), self.asked.model.setting(self.asked.dials)))

    @property
    def hold_s(self) -> Range | None:
        """Seconds that the hold can be kept by the published curve of its joint; None for what moves or is unknown."""
        return seconds_of_hold(self.asked.exercise, self.demand)

    def as_json(self) -> dict[str, Any]:
        """The published form of ``levers --json``."""
        return {
            **demand_json(self.asked, self.demand),
            "hold_s": ranged(self.hold_s),
            "lifting": lifting_json(self.lifting),
        }


def ask(
    name: str,
    *,
    mass_kg: float | None = None,
    stature_m: float | None = None,
    sex: Sex | None = None,
    age_years: float | None = None,
    trainee: Path | None = None,
    dials: Sequence[str] = (),
    band: str | None = None,
    table: TableName = "de-leva",
    lengths: Sequence[str] = (),
    reps: float | None = None,
    rir: float = 0.0,
    reached_deg: float | None = None,
    today: date | None = None,
) -> Answer:
    """The demand of an exercise, with spread, for a trainee file or for the body that is stated.

    reps, rir, reached_deg : a graded set of this very variant: repetitions and reserve, or the last controlled angle
    Raises InputFaults for an unknown exercise, one without a model, an unknown dial, or a value outside its limits.
    """
    exercise = catalogue().get(slug_of(name))
    if exercise.lever is None:
        raise InputFaults([no_model(exercise)])
    model = models()[exercise.lever.model]
    own = read_dials(model, exercise, dials)
    given = {**exercise.lever.dials, **own}
    if any(name in own for name in BAND_MEASURED):
        given["band_known"] = own.get("band_known", "measured")
    known = Known()
    if trainee is not None:
        loaded = load_person(trainee)
        someone = loaded.trainee
        if band is not None:
            given.update(band_dials_of(loaded.places, band, model))
        person = person_of(someone, table, today)
        known = known_of(someone, catalogue(), person)
        who = someone.name
    else:
        if band is not None:
            raise InputFaults([Fault("--band", "", band, "a --trainee file whose places hold that band")])
        person = Person(
            within("--mass", mass_kg if mass_kg is not None else USUAL.mass_kg, "mass_kg"),
            within("--stature", stature_m if stature_m is not None else USUAL.stature_m, "stature_m"),
            sex,
            age_years if age_years is not None else USUAL.age_years,
            table,
        )
        who = ""
    person = with_lengths(person, lengths)
    phase = phase_of(exercise.lever.phase, given, model)
    if reached_deg is not None or reps is not None:
        refuse_what_tells_nothing(model, given, phase, reps, reached_deg)
        share = None if reps is None else share_of_1rm(reps + rir, float(_k(exercise)))
        try:
            known = learnt(known, model, given, person, share=share, reached_deg=reached_deg, phase=phase)
        except (ValueError, LookupError) as error:
            raise InputFaults([Fault("--reps", "", str(reps), str(error))]) from error
    asked = Asked(exercise, model, given, person, phase, known, who)
    return Answer(asked, demand_of(asked))


def motions_of(model: Model, dials: Mapping[str, float | str]) -> tuple[str, ...]:
    """The joint actions that a model works with these dials."""
    posture = model.pose(USUAL.body(), model.setting(dials))
    return tuple(joint.motion for joint in posture.working)


def refuse_what_tells_nothing(
    model: Model, dials: Mapping[str, float | str], phase: Phase, reps: float | None, reached_deg: float | None
) -> None:
    """Raises InputFaults for repetitions of a hold, and for an angle reached that the movement does not pass.

    An angle reached tells nothing where no table says what the joint can hold.
    """
    if reached_deg is not None and not any(has_table(motion) for motion in motions_of(model, dials)):
        allowed = "an exercise of hip, knee or ankle; for others a graded set tells: --reps and --rir"
        raise InputFaults([Fault("--reached", "", f"{reached_deg:g}", allowed)])
    if reps is not None and phase == "hold":
        allowed = "repetitions of something that moves; log a hold with its seconds, hold_s, and ask setwright estimate"
        raise InputFaults([Fault("--reps", "", f"{reps:g}", allowed)])
    if reached_deg is None:
        return
    ends = sorted(float(dials.get(name, model.dial(name).usual)) for name in ("from_deg", "to_deg"))
    if phase == "hold" or not ends[0] <= reached_deg <= ends[1]:
        allowed = (
            "an angle of a lowering" if phase == "hold" else f"an angle of this movement, {ends[0]:g} to {ends[1]:g}"
        )
        raise InputFaults([Fault("--reached", "", f"{reached_deg:g}", allowed)])


def held_angle(dials: Mapping[str, float | str], model: Model) -> float | None:
    """The angle of a movement that starts where it ends, by the dials or else by the model; None for one that moves."""
    ends = [dials.get(one.name, one.usual) for one in model.dials if one.name in ("from_deg", "to_deg")]
    return float(ends[0]) if len(ends) == 2 and ends[0] == ends[1] else None


def phase_of(usual: Phase, dials: Mapping[str, float | str], model: Model) -> Phase:
    """A movement between one angle and itself is a hold."""
    return usual if held_angle(dials, model) is None else "hold"


def demand_of(asked: Asked) -> Demand:
    """The demand; a dial that makes no sense becomes a fault."""
    try:
        return assess(asked.model, asked.dials, asked.person, asked.known, asked.phase)
    except (ValueError, LookupError) as error:
        raise InputFaults([Fault("--dial", "", "these dials", str(error).strip("'\""))]) from error


def band_dials_of(places: Sequence[Place], name: str, model: Model) -> dict[str, float | str]:
    """The dials of a measured band that stands in a place."""
    if not any(dial.name == "band_test_kg" for dial in model.dials):
        raise InputFaults([Fault("--band", "", name, f"none: the model {model.name!r} has no band")])
    measured = {band.name: calibration(band) for place in places for band in place.bands if calibration(band)}
    if name not in measured:
        allowed = ", ".join(measured) or "a band with rest_cm, hung_kg and hung_cm in the place file; there is none"
        raise InputFaults([Fault("--band", "", name, allowed)])
    return measured[name]


def no_model(exercise: Exercise) -> Fault:
    """Says that an exercise has no model, and which of its family have."""
    family = [one.slug for one in catalogue().values() if one.lever and one.pattern == exercise.pattern]
    known = family or sorted(one.slug for one in catalogue().values() if one.lever)
    hint = f"With a model: {', '.join(known[:8])}."
    return Fault("levers", "", repr(exercise.slug), "an exercise that is reckoned as a lever", hint)


def within(option: str, value: float, key: str) -> float:
    """A number inside the limits of the body."""
    low, high = LIMITS[key]
    if not low <= value <= high:
        raise InputFaults([Fault(option, "", f"{value:g}", f"a number from {low:g} to {high:g}")])
    return value


def read_dials(model: Model, exercise: Exercise, written: Sequence[str]) -> dict[str, float | str]:
    """``NAME=VALUE`` pieces as dials of the model; ``range_deg=45-90`` and ``held_angle_deg=30`` set both ends."""
    found: dict[str, float | str] = {}
    faults: list[Fault] = []
    names = [one.name for one in model.dials]
    for piece in written:
        name, equals, value = piece.partition("=")
        name, value = name.strip(), value.strip()
        if not equals or not value:
            faults.append(Fault("--dial", "", piece, "NAME=VALUE, as hand_height_cm=45"))
        elif name in BOTH and "from_deg" in names:
            found.update(_both_ends(model, name, value, faults))
        elif name not in names:
            near = nearest(name, names)
            hint = f"Nearest: {', '.join(near)}." if near else ""
            faults.append(Fault("--dial", "", name, f"a dial of {exercise.slug}: {', '.join(names)}", hint))
        else:
            found.update(_one_dial(model.dial(name), value, faults))
    if faults:
        raise InputFaults(faults)
    return found


def _one_dial(dial: Dial, value: str, faults: list[Fault]) -> dict[str, float | str]:
    number: float | str = value
    if not dial.choices:
        try:
            number = float(value)
        except ValueError:
            number = value
    try:
        check_dial(dial, number)
    except ValueError as error:
        faults.append(Fault("--dial", dial.name, value, str(error).partition("expected ")[2]))
        return {}
    return {dial.name: number}


def _both_ends(model: Model, name: str, value: str, faults: list[Fault]) -> dict[str, float | str]:
    """The two ends of the movement from one dial, in the direction of the model."""
    pieces = value.replace("..", "-").replace(",", "-").split("-")
    try:
        ends = [float(piece) for piece in pieces]
    except ValueError:
        ends = []
    if len(ends) != (2 if name == "range_deg" else 1):
        allowed = "two angles, as range_deg=45-90" if name == "range_deg" else "one angle, as held_angle_deg=30"
        faults.append(Fault("--dial", name, value, allowed))
        return {}
    start, end = model.ends(ends[0], ends[-1])
    found: dict[str, float | str] = {}
    for key, number in (("from_deg", start), ("to_deg", end)):
        found.update(_one_dial(model.dial(key), f"{number:g}", faults))
    return found


def with_lengths(person: Person, written: Sequence[str]) -> Person:
    """The person with own lengths, ``thigh=43`` in cm each."""
    found = dict(person.measured.lengths_m)
    for piece in written:
        name, _, value = piece.partition("=")
        try:
            found[name.strip()] = float(value) / 100.0
            Measured(found)
        except ValueError as error:
            allowed = f"NAME=CM, with {', '.join(MEASURABLE)}"
            raise InputFaults([Fault("--length", "", piece, allowed, str(error))]) from error
    return Person(person.mass_kg, person.stature_m, person.sex, person.age_years, person.table, Measured(found))


def person_of(trainee: Trainee, table: TableName = "de-leva", today: date | None = None) -> Person:
    """A trainee as a body; the age is that of ``today``, of the newest baseline, or without one that of this year."""
    on = today or max((base.date for base in trainee.baselines), default=None) or clock_today()
    return body_at(trainee, float(on.year - trainee.birth_year), table)


def known_of(trainee: Trainee, known_catalogue: Catalogue, person: Person) -> Known:
    """What the trainee's graded sets of modelled exercises say, oldest first."""
    found = Known()
    for base in sorted(trainee.baselines, key=lambda one: (one.date, one.exercise)):
        exercise = known_catalogue.get(base.exercise)
        if exercise.lever is None:
            continue
        model = models()[exercise.lever.model]
        dials = {**exercise.lever.dials, **base.dials}
        if base.load_kg and any(one.name == "load_kg" for one in model.dials) and exercise.load_means == "added":
            dials["load_kg"] = base.load_kg
        graded = base.rir is not None or base.to_failure or base.is_test
        share = None
        if base.reps and graded:
            share = share_of_1rm(base.reps + (base.rir or 0.0), float(_k(exercise)))
        if share is None and base.reached_deg is None:
            continue
        found = learnt(
            found, model, dials, person, share=share, reached_deg=base.reached_deg, phase=exercise.lever.phase
        )
    return found


def _k(exercise: Exercise) -> float:
    from math import exp

    return exp(k_prior(exercise)[0])


def ranged(one: Range | None, times: float = 1.0) -> dict[str, float] | None:
    """A number with its spread as JSON values; null where there is none."""
    if one is None or one.mean != one.mean:
        return None
    return {key: round(value * times, 4) for key, value in one.as_json().items()}


def lifting_json(found: LiftWarning | None) -> dict[str, Any] | None:
    """The guideline's figures as plain values."""
    if found is None:
        return None
    return {
        "load_kg": found.load_kg,
        "limit_kg": round(found.limit_kg, 2),
        "index": round(found.index, 3) if found.index != float("inf") else None,
        "compression_n": [round(one) for one in found.compression_n],
        "compression_limit_n": COMPRESSION_LIMIT_N,
    }


def seconds_of_hold(exercise: Exercise, demand: Demand) -> Range | None:
    """How long the hold can be kept, s: the endurance curve of the joint at each drawn share of the greatest moment.

    0 s where it can't be held at all. The difference between people at one share is laid over the draws in a fixed
    order that goes with none of them.
    """
    if demand.phase != "hold" or not demand.ratio_draws:
        return None
    import numpy as np
    from scipy.special import ndtri

    curve, figures = curve_of(exercise), hold_figures()
    share = np.asarray(demand.ratio_draws)
    order = np.random.default_rng(30).permutation(share.size)
    between = figures.people * ndtri((order + 0.5) / share.size)
    least = np.maximum(share, 1e-6)  # below zero others hold: as long as is told at all
    seconds = np.where(share >= 1.0, 0.0, curve.seconds * least**-curve.power * np.exp(between))
    seconds = np.minimum(seconds, LONGEST_HOLD_S)
    return range_of(seconds)


def demand_json(asked: Asked, demand: Demand) -> dict[str, Any]:
    """The published form: moments of all limbs of the joint together, each number with its spread."""
    lead = demand.joint

    def curve(joint: Any) -> list[dict[str, Any]]:
        return [
            {
                "angle_deg": round(point.angle_deg, 3),
                "moment_nm": ranged(point.moment_nm, joint.limbs),
                "capacity_nm": ranged(point.capacity_nm, joint.limbs),
                "possible": round(point.possible, 3),
            }
            for point in joint.curve
        ]

    joint, _, action = lead.motion.partition("-")
    return {
        "exercise": asked.exercise.slug,
        "model": asked.model.name,
        "dials": {one.name: asked.dials.get(one.name, one.usual) for one in asked.model.dials},
        "person": {
            "mass_kg": asked.person.mass_kg,
            "stature_m": asked.person.stature_m,
            "sex": asked.person.sex,
            "age_years": asked.person.age_years,
            "table": asked.person.table,
            "lengths_m": dict(asked.person.measured.lengths_m),
        },
        "phase": demand.phase,
        "joint": joint,
        "action": action,
        "limbs": lead.limbs,
        "peak_moment_nm": ranged(lead.peak_moment_nm, lead.limbs),
        "peak_angle_deg": ranged(lead.peak_angle_deg),
        "work_j": ranged(demand.work_j),
        "demand_ratio": ranged(demand.demand_ratio),
        "capacity_from": demand.capacity_from or None,
        "break_angle_deg": ranged(demand.break_angle_deg),
        "controlled_chance": None if demand.controlled is None else round(demand.controlled, 3),
        "share_of_body_mass": ranged(demand.share),
        "share_of": demand.share_name or None,
        "share_curve": [
            {"angle_deg": round(point.angle_deg, 3), "share": ranged(one)}
            for point, one in zip(lead.curve, demand.share_curve, strict=False)
        ],
        "possible": round(demand.possible, 3),
        "stops_at_deg": demand.stops_at_deg,
        "why_not": demand.why_not or None,
        "angle_of": demand.lead,
        "table_difference_nm": {
            name: round(value, 3) if value == value else None for name, value in demand.table_difference.items()
        },
        "curve": curve(lead),
        "other_joints": [
            {
                "joint": one.motion.partition("-")[0],
                "action": one.motion.partition("-")[2],
                "limbs": one.limbs,
                "peak_moment_nm": ranged(one.peak_moment_nm, one.limbs),
                "peak_angle_deg": ranged(one.peak_angle_deg),
                "demand_ratio": ranged(one.demand_ratio),
                "curve": curve(one),
            }
            for one in demand.joints[1:]
        ],
        "swing_share": round(demand.swing, 4),
        "note": asked.model.note,
    }


def words_of(answer: Answer) -> LeverWords:
    """The answer in a coach's words."""
    from setwright.publish.lever_words import lever_words

    asked = answer.asked
    usual = {dial.name: dial.usual for dial in asked.model.dials}
    set_to = {key: value for key, value in asked.dials.items() if value != usual[key]}
    held = held_angle(asked.dials, asked.model)
    if held is not None and {"from_deg", "to_deg"} & set(asked.dials):
        rest = {key: value for key, value in set_to.items() if key not in ("from_deg", "to_deg")}
        set_to = {"held_angle_deg": held, **rest}
    lifting = answer.lifting
    said = (
        lifting.words() if lifting is not None and lifting.worth_a_look else "",
        UNMEASURED if asked.dials.get("band_known") == "stated" else "",
        asked.model.note,
    )
    return lever_words(asked.exercise, asked.person, asked.who, answer.demand, set_to, said, answer.hold_s)


def answer_text(answer: Answer) -> str:
    """What a coach reads: lines, table, notes, in 80 columns."""
    words = words_of(answer)
    widths = [max(len(line[i]) for line in words.table) for i in range(4)]
    rows = [
        "  ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in words.table
    ]
    return "\n".join(
        [words.title, "", *(fill(line) for line in words.lines), "", *rows, "", *(fill(line) for line in words.notes)]
    )


def lever_files(answer: Answer) -> dict[str, bytes]:
    """The answer as files by name: a page with both pictures, the pictures alone, and the numbers."""
    from setwright.publish.figure import lever_picture
    from setwright.publish.moment_chart import curve_chart
    from setwright.publish.page import fill as fill_page

    asked, demand = answer.asked, answer.demand
    words = words_of(answer)
    posture = asked.model.pose(asked.person.body(), asked.model.setting(asked.dials))
    lead = next(one for one in posture.working if one.motion == demand.joint.motion)
    try:
        figure, curve = lever_picture(posture, lead), curve_chart(demand)
    except ValueError as error:
        raise InputFaults(
            [Fault("levers", asked.exercise.slug, "no posture", f"one that can be drawn: {error}")]
        ) from error
    page = fill_page(
        "levers.html",
        title=words.title,
        says="How hard for this person",
        lines=words.lines,
        figure=figure,
        curve=curve,
        table=words.table,
        notes=words.notes,
    )
    numbers = json.dumps(answer.as_json(), ensure_ascii=False, indent=1) + "\n"
    return {
        "levers.html": page.encode(),
        "figure.svg": figure.encode(),
        "curve.svg": curve.encode(),
        "levers.json": numbers.encode(),
    }


def write_levers(answer: Answer, out: Path) -> int:
    """Writes the files into a folder, all made before the first is written; gives how many."""
    files = lever_files(answer)
    write_all(out, files)
    return len(files)


def fill(text: str) -> str:
    """Text in 80 columns, lines after the first indented."""
    return textwrap.fill(text, 80, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)


def models_text(rows: Sequence[Mapping[str, Any]]) -> str:
    """The models with their dials, for people."""
    lines: list[str] = []
    for one in rows:
        lines += [one["model"], fill(f"  {one['note']}"), fill(f"  for: {', '.join(one['exercises']) or 'none yet'}")]
        for dial in one["dials"]:
            allowed = " | ".join(dial["choices"]) if "choices" in dial else f"{dial['low']:g} to {dial['high']:g}"
            usual = dial["usual"] if isinstance(dial["usual"], str) else f"{dial['usual']:g}"
            lines.append(fill(f"  {dial['dial']} = {usual}  ({allowed})  {dial['says']}"))
        lines.append("")
    return "\n".join(lines).rstrip()


def models_json() -> list[dict[str, Any]]:
    """All models with their dials, and the exercises that use each."""
    return [
        {
            "model": model.name,
            "note": model.note,
            "exercises": [one.slug for one in catalogue().values() if one.lever and one.lever.model == model.name],
            "dials": [
                {
                    "dial": dial.name,
                    "usual": dial.usual,
                    "says": dial.says,
                    **({"choices": list(dial.choices)} if dial.choices else {"low": dial.low, "high": dial.high}),
                    "unit": dial.unit,
                }
                for dial in model.dials
            ],
        }
        for model in models().values()
    ]
