"""The trainee file and the place file: TOML in, checked values or all faults out."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

from setwright.body.anatomy import joint_actions, joints, muscle_groups, muscle_named
from setwright.body.bands import Band as Curve
from setwright.body.lever import check_dial
from setwright.body.models import models
from setwright.body.range_of_motion import range_tests, slug_of_test
from setwright.body.segments import MEASURABLE, body_of
from setwright.body.units import LB_KG
from setwright.catalogue.equipment import equipment
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.load import catalogue as load_catalogue
from setwright.catalogue.names import match_name, nearest
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.place import Band, Bar, Counted, Place, Stack
from setwright.people.restriction_text import parse_restriction
from setwright.people.toml_file import REQUIRED, Reader, finish, one_of_units, read_toml
from setwright.people.trainee import (
    DAYS,
    Baseline,
    Clearance,
    Goal,
    HeartRate,
    RangeMeasure,
    Restriction,
    Screening,
    StepReached,
    Trainee,
    TrainingDay,
)

MASS = {"kg": (1.0, 25.0, 300.0), "lb": (LB_KG, 55.0, 660.0)}
STATURE = {"m": (1.0, 1.0, 2.5), "cm": (0.01, 100.0, 250.0), "in": (0.0254, 39.0, 99.0)}
LOAD = {"kg": (1.0, -200.0, 1200.0), "lb": (LB_KG, -440.0, 2650.0)}
PIECE = {"kg": (1.0, 0.05, 500.0), "lb": (LB_KG, 0.1, 1100.0)}
TARGET_UNITS = ("kg", "lb", "reps", "s", "min", "m", "km", "cm", "deg", "step")
POSITIONS = (
    "bar-on-back",
    "front-rack",
    "grip",
    "hang",
    "hands-overhead",
    "weight-on-hands",
    "arm-behind-body",
    "kneeling",
    "deep-squat",
    "load-at-hips",
    "lying-on-back",
    "lying-on-front",
)
RED_FLAGS = (
    "saddle numbness",
    "bladder or bowel change",
    "progressive weakness",
    "fever",
    "unexplained weight loss",
    "cancer history",
    "major trauma",
    "severe night pain",
    "chest pain",
    "fainting",
)
# What they mean to somebody who is asked, where the clinic's word does not say it.
RED_FLAGS_IN_PLAIN = {
    "saddle numbness": "numb between the legs, where a saddle would touch",
    "bladder or bowel change": "new trouble holding or passing water or stool",
    "progressive weakness": "an arm or leg that gets weaker and weaker",
    "unexplained weight loss": "weight that goes without a reason",
    "cancer history": "cancer, now or in the past",
    "major trauma": "a bad fall, crash or blow",
    "severe night pain": "pain that is worst at night and lets nobody sleep",
}
MOTIONS = tuple(
    f"{joint}-{motion}"
    for joint, motions in {
        "knee": ("flexion", "extension"),
        "hip": ("flexion", "extension", "abduction", "external-rotation", "internal-rotation"),
        "ankle": ("dorsiflexion", "plantar-flexion"),
        "shoulder": ("elevation", "extension", "external-rotation", "internal-rotation"),
        "elbow": ("flexion", "extension"),
        "wrist": ("flexion", "extension"),
        "trunk": ("flexion", "extension", "rotation", "lateral-flexion"),
        "neck": ("flexion", "extension"),
    }.items()
    for motion in motions
)


def exercise_slug(reader: Reader, key: str, catalogue: Catalogue) -> str:
    """The exercise that a key names: a slug, or a name of the trade that is sure."""
    name = reader.text(key, REQUIRED)
    return resolve(reader, key, name, catalogue) if name else ""


def resolve(reader: Reader, key: str, name: str, catalogue: Catalogue) -> str:
    """One exercise name to its slug, or a fault with the nearest."""
    if name in catalogue:
        return catalogue.get(name).slug
    match = match_name(name, catalogue)
    if match.slug is not None and match.sure:
        return match.slug
    hint = f"Nearest: {', '.join(match.proposals)}." if match.proposals else ""
    reader.fault(key, name, "an exercise of the catalogue", hint)
    return ""


def exercise_list(reader: Reader, key: str, catalogue: Catalogue) -> tuple[str, ...]:
    """A list of exercises by slug or sure name; patterns of the catalogue are understood too."""
    patterns = {one.pattern for one in catalogue.values()}
    found = []
    for number, name in enumerate(reader.words(key), start=1):
        found.append(name if name in patterns else resolve(reader, f"{key}[{number}]", name, catalogue))
    return tuple(one for one in found if one)


def read_clearance(reader: Reader, of_joint: bool = False) -> Clearance | None:
    """A clearance table; one of a joint may say how much pain the clinician allows there."""
    who = reader.text("who", REQUIRED)
    given = reader.day("given_on", REQUIRED)
    scope = reader.text("scope", REQUIRED)
    ends = reader.day("expires_on")
    if given is not None and ends is not None and ends < given:
        reader.fault("expires_on", ends.isoformat(), f"a date on or after {given.isoformat()}, when it was given")
    pain = reader.number("pain_up_to", 0, 10, whole=True) if of_joint else None
    return None if given is None else Clearance(who, given, scope, ends, None if pain is None else int(pain))


def sub_clearance(reader: Reader, of_joint: bool = False) -> Clearance | None:
    """The ``clearance`` table below a reader, or None."""
    below = reader.sub("clearance")
    if below is None:
        return None
    found = read_clearance(below, of_joint)
    below.close()
    return found


def read_restriction(reader: Reader) -> Restriction | None:
    """A restriction: in plain words (``says``), in fields, or both; fields win."""
    says = reader.text("says", "")
    base: Restriction | None = None
    if says:
        try:
            base = parse_restriction(says, reader.file)
        except InputFaults as error:
            for one in error.faults:
                reader.faults.append(Fault(reader.file, reader.at("says"), one.found, one.allowed, one.hint))
    joint = reader.text("joint", base.joint if base else (REQUIRED if not says else ""), joints())
    # Spelled as the catalogue spells them ("plantar-flexion"): another spelling would bar nothing.
    actions_here = [one.removeprefix(f"{joint}-") for one, row in joint_actions().items() if row.joint == joint]
    limits = reader.sub("max_angles")
    stated = {motion for exercise in load_catalogue().values() for motion in exercise.max_angles}
    angles: dict[str, float] = dict(base.max_angles) if base else {}
    if limits is not None:
        for motion in MOTIONS:
            value = limits.number(motion, 0, 180, "degrees")
            if value is not None and motion not in stated:
                limits.fault(motion, value, "a motion whose angle exercises state; this limit would close nothing")
            elif value is not None:
                angles[motion] = value
        limits.close()
    grip = reader.number("grip_max", 0, 3, whole=True)
    impact = reader.number("impact_max", 0, 3, whole=True)
    since, review = reader.day("since"), reader.day("review_on")
    if since is not None and review is not None and review < since:
        reader.fault("review_on", review.isoformat(), f"a date on or after since, {since.isoformat()}")

    def listed(key: str, allowed: Iterable[str], default: tuple[str, ...]) -> tuple[str, ...]:
        return reader.words(key, allowed) if reader.has(key) else ((reader.words(key) and default) or default)

    side = reader.text("side", base.side if base else "both", ("left", "right", "both"))
    level = reader.text("level", base.level if base else "none", ("none", "light", "moderate", "hard"))
    return Restriction(
        id=reader.text("id", base.id if base else joint) or joint,
        joint=joint,
        side=side or "both",  # type: ignore[arg-type]
        actions=listed("actions", actions_here, base.actions if base else ()),
        level=level or "none",  # type: ignore[arg-type]
        max_angles=angles,
        positions=listed("positions", POSITIONS, base.positions if base else ()),
        grip_max=int(grip) if grip is not None else base.grip_max if base else None,
        impact_max=int(impact) if impact is not None else base.impact_max if base else None,
        spine=listed("spine", ("flexed", "rotating"), base.spine if base else ()),
        wanted=listed("wanted", ("holds", "carries", "short-range"), base.wanted if base else ()),  # type: ignore[arg-type]
        reason=reader.text("reason", base.reason if base else ""),
        since=since,
        review_on=review,
        set_by=reader.text("set_by", ""),
        needs_clearance=reader.flag("needs_clearance"),
        clearance=sub_clearance(reader, of_joint=True),
    )


def read_goal(reader: Reader, catalogue: Catalogue) -> Goal | None:
    """A goal; what it is about is checked by its kind."""
    kinds = ("strength", "size", "skill", "range", "work-capacity", "keep")
    kind = reader.text("kind", REQUIRED, kinds)
    about = reader.text("about", "" if kind in ("work-capacity", "keep") else REQUIRED)
    rolls = {group.roll_up for group in muscle_groups().values()}
    if about and kind == "strength":
        about = resolve(reader, "about", about, catalogue)
    elif about and kind == "size":
        about = reader.text("about", REQUIRED, [*muscle_groups(), *sorted(rolls)], "a muscle group", muscle_named)
    elif about and kind == "skill" and about not in catalogue.progressions:
        reader.text("about", REQUIRED, catalogue.progressions, "a progression: " + ", ".join(catalogue.progressions))
    elif about and kind == "range" and slug_of_test(about) in range_tests():
        about = slug_of_test(about)
    elif about and kind == "range" and about.split("-")[0] not in joints():
        known = [*MOTIONS, *range_tests()]
        reader.text(
            "about", REQUIRED, known, "a motion of a joint, like hip-flexion, or a range test, like knee-to-wall"
        )
    priority = reader.number("priority", 1, 3, default=2, whole=True)
    target = reader.number("target", 0, 2000)
    unit = reader.unit("unit", "", TARGET_UNITS)
    by = reader.day("by")
    if not kind:
        return None
    return Goal(kind, about, int(priority or 2), target, unit, by)  # type: ignore[arg-type]


def read_baseline(reader: Reader, catalogue: Catalogue) -> Baseline | None:
    """A dated set done before the block."""
    when = reader.day("date", REQUIRED)
    slug = exercise_slug(reader, "exercise", catalogue)
    load = one_of_units(reader, "load", LOAD, required=False)
    reps = reader.number("reps", 0, 100, whole=True)
    rir = reader.number("rir", 0, 10)
    hold = reader.number("hold_s", 1, 3600, "s")
    pain = reader.number("pain", 0, 10, whole=True)
    failure = reader.flag("to_failure")
    is_test = reader.flag("test")
    reached = reader.number("reached_deg", 0, 180, "degrees")
    dials = read_lever_dials(reader, catalogue.get(slug) if slug else None)
    given = [reader.has(key) for key in ("reps", "hold_s", "reached_deg")]
    if reps is None and hold is None and not any(given):
        reader.fault("reps", "nothing", "reps, hold_s for a hold, or reached_deg for a controlled lowering")
    if when is None or not slug:
        return None
    return Baseline(
        when,
        slug,
        load,
        None if reps is None else int(reps),
        rir,
        failure,
        hold,
        None if pain is None else int(pain),
        is_test,
        reached,
        dials,
    )


def read_lever_dials(reader: Reader, exercise: Exercise | None) -> dict[str, float | str]:
    """What was set on the lever model of an exercise: ``dials = { hand_height_cm = 45 }``."""
    below = reader.sub("dials")
    if below is None:
        return {}
    if exercise is None or exercise.lever is None:
        reader.fault("dials", "dials", "none: this exercise is not reckoned as a lever")
        return {}
    model = models()[exercise.lever.model]
    names = [dial.name for dial in model.dials]
    for key in (one for one in below.table if one not in names):
        close = nearest(key, names, 1)
        below.fault(key, "an unknown dial", ", ".join(names), f"Did you mean {close[0]}?" if close else "")
    found: dict[str, float | str] = {}
    for name in (one for one in names if one in below.table):
        value = below.get(name)
        try:
            check_dial(model.dial(name), value)
        except ValueError as error:
            below.fault(name, value, str(error).partition("expected ")[2])
            continue
        found[name] = value
    if found:
        try:  # values that are each in order may contradict each other, as a band that is shorter when hung
            usual = body_of(75.0, 1.75)
            model.pose(usual, model.setting({**exercise.lever.dials, **found}))
        except (ValueError, LookupError) as error:
            reader.fault("dials", dict(found), "dials that fit together", str(error).strip("'\""))
    return found


def read_lengths(reader: Reader) -> dict[str, float]:
    """Lengths measured on the person, m, from ``[lengths]`` in cm."""
    below = reader.sub("lengths")
    if below is None:
        return {}
    found = {}
    for name in MEASURABLE:
        value = below.number(f"{name}_cm", 2, 100, "cm")
        if value is not None:
            found[name] = value / 100.0
    below.close()
    return found


def read_trainee(text: str, file: str, catalogue: Catalogue | None = None) -> Trainee:
    """The trainee in a TOML text. Raises InputFaults with every fault of the file."""
    return read_trainee_and_places(text, file, catalogue)[0]


def read_trainee_and_places(
    text: str, file: str, catalogue: Catalogue | None = None
) -> tuple[Trainee, tuple[Place, ...]]:
    """The trainee and the places that stand in the same file. Raises InputFaults with every fault of the file."""
    known = catalogue or load_catalogue()
    faults: list[Fault] = []
    reader = Reader(read_toml(text, file), file, "", faults)
    identity = reader.text("id", REQUIRED)
    if identity and not all(letter.isalnum() or letter in "-_" for letter in identity):
        reader.fault("id", identity, "letters, digits, - and _")
    name = reader.text("name", identity)
    birth = reader.number("birth_year", 1910, 2020, whole=True, default=REQUIRED)
    mass = one_of_units(reader, "body_mass", MASS, required=True)
    stature = one_of_units(reader, "stature", STATURE, required=True)
    sex = reader.text("sex", "", ("female", "male"))
    years = reader.number("training_years", 0, 80, "years", default=REQUIRED)
    off = reader.number("weeks_off", 0, 520, "weeks", default=0)
    likes = exercise_list(reader, "likes", known)
    dislikes = exercise_list(reader, "dislikes", known)
    back = reader.flag("back_trouble")
    small = reader.flag("small_steps")
    invented = reader.flag("invented")
    places = reader.each("place", lambda one: read_place_table(one, known))

    def read_day(one: Reader) -> TrainingDay | None:
        day = one.text("day", REQUIRED, DAYS)
        minutes = one.number("minutes", 10, 240, "min", default=REQUIRED)
        where = one.text("place", REQUIRED)
        return TrainingDay(day, minutes, where) if day and minutes and where else None  # type: ignore[arg-type]

    days = reader.each("days", read_day, required=True)
    names = [day.day for day in days]
    for day in sorted({one for one in names if names.count(one) > 1}):
        reader.fault("days", f"{day} twice", "each weekday once")
    screening = read_screening(reader)
    restrictions = reader.each("restrictions", read_restriction)
    ids = [one.id for one in restrictions]
    for one in sorted({one for one in ids if ids.count(one) > 1}):
        reader.fault("restrictions", f"the id {one!r} twice", "an id of its own for each restriction")
    goals = reader.each("goals", lambda one: read_goal(one, known))
    baselines = reader.each("baselines", lambda one: read_baseline(one, known))
    measures = reader.each("range_measures", read_measure)
    lengths = read_lengths(reader)
    heart_rate = read_heart_rate(reader)
    steps = reader.each("steps", lambda one: read_step(one, known))
    reader.close({"weight": "Write body_mass_kg.", "height": "Write stature_cm."})
    finish(faults)
    assert mass is not None and stature is not None and birth is not None and years is not None
    trainee = Trainee(
        id=identity,
        name=name or identity,
        birth_year=int(birth),
        body_mass_kg=round(mass, 3),
        stature_m=round(stature, 4),
        training_years=years,
        days=days,
        screening=screening,
        sex=sex or None,  # type: ignore[arg-type]
        weeks_off=off or 0.0,
        restrictions=restrictions,
        goals=goals,
        baselines=baselines,
        range_measures=measures,
        steps=steps,
        likes=likes,
        dislikes=dislikes,
        lengths_m=lengths,
        back_trouble=back,
        small_steps=small,
        invented=invented,
        heart_rate=heart_rate,
    )
    return trainee, places


def read_screening(reader: Reader) -> Screening:
    """The screening table; it is required, because nothing is planned without it."""
    below = reader.sub("screening", required=True)
    if below is None:
        return Screening(active_now=False)
    active = below.get("active_now", REQUIRED)
    if active is not None and not isinstance(active, bool):
        below.fault("active_now", active, "true or false")
    found = Screening(
        active_now=bool(active),
        known_disease=below.flag("known_disease"),
        signs_or_symptoms=below.flag("signs_or_symptoms"),
        pregnant=below.flag("pregnant"),
        red_flags=below.words("red_flags", RED_FLAGS),
        clearance=sub_clearance(below),
    )
    below.close()
    return found


def read_heart_rate(reader: Reader) -> HeartRate | None:
    """Measured heart rates; a maximum has to lie above the threshold, and that above the resting one."""
    below = reader.sub("heart_rate")
    if below is None:
        return None
    found = HeartRate(
        maximum=below.number("maximum", 100, 230, "beats a minute"),
        threshold=below.number("threshold", 80, 220, "beats a minute"),
        resting=below.number("resting", 25, 110, "beats a minute"),
    )
    told = [
        (name, value) for name in ("resting", "threshold", "maximum") if (value := getattr(found, name)) is not None
    ]
    for (lower, low), (name, high) in pairwise(told):
        if low >= high:
            below.fault(name, high, f"more than {lower}, {low:g}")
    below.close()
    return found if told else None


def read_measure(reader: Reader) -> RangeMeasure | None:
    """A dated range measure; a name that is no known test is taken as the coach's own.

    The unit of a known test is fixed: a knee to wall in degrees would be read as centimetres for good.
    """
    when = reader.day("date", REQUIRED)
    name = slug_of_test(reader.text("measure", REQUIRED))
    test = range_tests().get(name)
    unit = reader.unit("unit", test.unit if test else "deg", ("deg", "cm"))
    if test is not None and unit and unit != test.unit:
        other = (
            "The shank's angle is knee-to-wall-angle." if name == "knee-to-wall" else "An own test needs an own name."
        )
        reader.fault("unit", unit, f"{test.unit}, the unit of {name}", other)
    value = reader.number("value", -60, 200, unit or "deg", default=REQUIRED)
    side = reader.text("side", "both", ("left", "right", "both"))
    if when is None or value is None or not name:
        return None
    return RangeMeasure(when, name, value, unit or "deg", side or "both")  # type: ignore[arg-type]


def read_step(reader: Reader, catalogue: Catalogue) -> StepReached | None:
    """The step of a progression."""
    slug = reader.text("progression", REQUIRED, catalogue.progressions)
    most = len(catalogue.progressions[slug].steps) if slug in catalogue.progressions else 12
    step = reader.number("step", 1, most, whole=True, default=REQUIRED)
    when = reader.day("date", REQUIRED)
    if not slug or step is None or when is None:
        return None
    return StepReached(slug, int(step), when)


def read_place(text: str, file: str, catalogue: Catalogue | None = None) -> Place:
    """The place in a TOML text. Raises InputFaults with every fault of the file."""
    faults: list[Fault] = []
    reader = Reader(read_toml(text, file), file, "", faults)
    place = read_place_table(reader, catalogue or load_catalogue())
    reader.close()
    finish(faults)
    return place


def read_place_table(reader: Reader, catalogue: Catalogue) -> Place:
    """A place from its table. ``pairs`` counts two pieces each; ranges are written from, to, step."""
    tokens = set(equipment().words)
    identity = reader.text("id", REQUIRED)
    name = reader.text("name", identity)
    unit = reader.unit("unit", "kg", ("kg", "lb"))

    def count_of(one: Reader, pairs_usual: bool) -> int:
        pairs = one.number("pairs", 0, 50, whole=True)
        single = one.number("count", 0, 100, whole=True)
        if pairs is not None and single is not None:
            one.fault("count", single, "either pairs or count")
        if pairs is not None:
            return int(pairs) * 2
        if single is not None:
            return int(single)
        return 2 if pairs_usual else 1

    def read_bar(one: Reader) -> Bar | None:
        kind = one.text("kind", "barbell", ("barbell", "hexbar", "landmine"))
        mass = one_of_units(one, "mass", {"kg": (1.0, 1.0, 60.0), "lb": (LB_KG, 2.0, 130.0)}, required=True)
        count = one.number("count", 1, 50, whole=True, default=1)
        collar = one_of_units(one, "collar", {"kg": (1.0, 0.0, 5.0), "lb": (LB_KG, 0.0, 11.0)}, required=False)
        return None if mass is None or not kind else Bar(kind, round(mass, 4), int(count or 1), round(collar or 0.0, 4))

    def read_pieces(one: Reader, pairs_usual: bool) -> list[Counted] | None:
        ranged = any(key.split("_")[0] in ("from", "to", "step") for key in one.table)
        count = count_of(one, pairs_usual)
        if not ranged:
            mass = one_of_units(one, "mass", PIECE, required=True)
            for key in ("from_kg", "to_kg", "step_kg"):
                one.known.append(key)
            return None if mass is None else [Counted(round(mass, 4), count)]
        first = one_of_units(one, "from", PIECE, required=True)
        last = one_of_units(one, "to", PIECE, required=True)
        step = one_of_units(one, "step", PIECE, required=True)
        if first is None or last is None or step is None:
            return None
        if last < first:
            written = "to_kg" if one.has("to_kg") else "to_lb"
            one.fault(written, one.table[written], "no less than where the run starts")
            return None
        return [Counted(round(first + n * step, 4), count) for n in range(int((last - first) / step + 1e-6) + 1)]

    def pieces(key: str, pairs_usual: bool) -> tuple[Counted, ...]:
        groups = reader.each(key, lambda one: read_pieces(one, pairs_usual))
        merged: dict[float, int] = {}
        for group in groups:
            for piece in group:
                merged[piece.mass_kg] = merged.get(piece.mass_kg, 0) + piece.count
        return tuple(Counted(mass, count) for mass, count in sorted(merged.items()))

    def read_stack(one: Reader) -> Stack | None:
        kinds = [*sorted(token for token in tokens if token.startswith("machine:")), "cable"]
        kind = one.text("kind", REQUIRED, kinds)
        first = one_of_units(one, "first", PIECE, required=True)
        step = one_of_units(one, "step", PIECE, required=True)
        last = one_of_units(one, "last", PIECE, required=True)
        extra: Any = one.get("add_ons_kg", [])
        if not isinstance(extra, list) or not all(isinstance(kg, (int, float)) and 0 < kg <= 20 for kg in extra):
            one.fault("add_ons_kg", extra, "a list of masses from 0 to 20 kg")
            extra = []
        count = one.number("count", 1, 50, whole=True, default=1)
        if not kind or first is None or step is None or last is None:
            return None
        if last < first:
            written = "last_kg" if one.has("last_kg") else "last_lb"
            one.fault(written, one.table[written], "no less than the first plate")
            return None
        return Stack(kind, first, step, last, tuple(float(kg) for kg in extra), int(count or 1))

    def read_band(one: Reader) -> Band | None:
        name = one.text("name", REQUIRED)
        heavy, loop = one.flag("heavy"), one.flag("loop")
        assist = one_of_units(one, "assist", {"kg": (1.0, 1.0, 100.0), "lb": (LB_KG, 2.0, 220.0)}, required=False)
        count = one.number("count", 1, 50, whole=True, default=1)
        rest = one.number("rest_cm", 10, 400, "cm")
        hung = one_of_units(one, "hung", {"kg": (1.0, 0.5, 150.0), "lb": (LB_KG, 1.0, 330.0)}, required=False)
        under = one.number("hung_cm", 10, 900, "cm")
        measured = (rest, hung, under)
        if any(value is not None for value in measured) and not all(value is not None for value in measured):
            one.fault(
                "rest_cm", "a part of it", "all of rest_cm, hung_kg and hung_cm: at rest, and with a mass hung on it"
            )
        elif rest is not None and hung is not None and under is not None:
            try:
                Curve.hung(rest / 100, hung, under / 100)
            except ValueError as error:
                one.fault("hung_cm", f"{under:g}", "a length at least 5 % over rest_cm", str(error))
        return Band(name, heavy, loop, assist, int(count or 1), rest, hung, under) if name else None

    fixtures: dict[str, int] = {}
    raw = reader.get("fixtures", [])
    allowed = sorted(token for token in tokens if token not in ("none", "wall"))
    if isinstance(raw, list):
        for token in reader.words("fixtures", [*allowed, "wall"], "an equipment name of the catalogue"):
            fixtures[token] = fixtures.get(token, 0) + 1
    elif isinstance(raw, dict):
        below = reader.sub("fixtures")
        if below is not None:
            for token in allowed:
                value = below.number(token, 0, 100, whole=True)
                if value:
                    fixtures[token] = int(value)
            below.close()
    else:
        reader.fault("fixtures", raw, 'a list like ["rack", "bench"], or a table of counts')
    return Place(
        id=identity,
        name=name or identity,
        bars=reader.each("bars", read_bar),
        plates=pieces("plates", True),
        dumbbells=pieces("dumbbells", True),
        kettlebells=pieces("kettlebells", False),
        stacks=reader.each("stacks", read_stack),
        bands=reader.each("bands", read_band),
        fixtures=fixtures,
        unit=unit or "kg",
        invented=reader.flag("invented"),
    )
