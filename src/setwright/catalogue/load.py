"""From catalogue files to the catalogue: every file is read whole, and all its faults come at once.

Two ideas carry this module. One: the path is the identity, ``.../squat/back_squat.toml`` is ``back_squat``.
Two: a variant is a layer over its file's own exercise; tables merge key by key, lists are replaced.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache, lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from setwright.body.anatomy import joint_actions
from setwright.catalogue.exercise import (
    ActionUse,
    Exercise,
    InsideStep,
    Lever,
    Phase,
    Progression,
    ProgressionStep,
    Role,
)
from setwright.catalogue.schema import (
    SLUG,
    FaultBook,
    exercise_table,
    nearest_hint,
    progression_table,
    step_table,
    variant_table,
)
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults

PHASE_OF_MODE: Mapping[str, Phase] = {"lowering": "lower", "isometric": "hold"}
LONGEST_FILE = 60_000  # signs; one exercise with its variants is far below


@cache
def catalogue() -> Catalogue:
    """The packaged catalogue."""
    return build_catalogue(*_packaged())


@lru_cache(maxsize=32)
def catalogue_with(own: tuple[tuple[str, str], ...]) -> Catalogue:
    """The packaged catalogue with a coach's own files before it: (path, text) of exercises and progressions.

    An own file takes the place of the packaged one of the same name; a new name is an addition. Set schemes among them
    only travel along: the room that plans reads them (``plan.schemes``).
    Raises InputFaults with the faults of all files together.
    """
    exercises, progressions, renames = _packaged()
    for path, text in own:
        if is_scheme(path, text) or is_format(path):
            continue
        is_climb = is_progression(text)
        files = progressions if is_climb else exercises
        name = path.rsplit("/", 1)[-1]
        for packaged in [one for one in files if one.rsplit("/", 1)[-1] == name]:
            del files[packaged]
        files[path] = text
    return replace(build_catalogue(exercises, progressions, renames), own=MappingProxyType(dict(own)))


def is_format(path: str) -> bool:
    """True for a format of conditioning: a file of a folder ``formats``."""
    return "formats" in path.replace("\\", "/").split("/")[:-1]


def is_scheme(path: str, text: str) -> bool:
    """True for a set scheme: a file of a folder ``schemes``, or one with the pieces of a set."""
    if is_format(path):
        return False
    if "schemes" in path.replace("\\", "/").split("/")[:-1]:
        return True
    try:
        return bool({"piece", "fatigue"} & set(tomllib.loads(text)))
    except tomllib.TOMLDecodeError:
        return "[[piece]]" in text


def is_progression(text: str) -> bool:
    """True for the text of a progression file; False for an exercise, and for what is no TOML."""
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return "[[step]]" in text
    return bool({"step", "pain_limit"} & set(raw))


def _packaged() -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    """(exercise texts by path, progression texts by path, renames) of the package."""
    data = resources.files("setwright.catalogue").joinpath("data")
    return (
        dict(_texts(data.joinpath("exercises"), "exercises")),
        dict(_texts(data.joinpath("progressions"), "progressions")),
        tomllib.loads(data.joinpath("renames.toml").read_text(encoding="utf-8")),
    )


def build_catalogue(
    exercise_files: Mapping[str, str],
    progression_files: Mapping[str, str] | None = None,
    renames: Mapping[str, str] | None = None,
) -> Catalogue:
    """A catalogue from the texts of its files, by path.

    Raises InputFaults with the faults of all files: each file's own, then double slugs and names, then
    references that lead nowhere.
    """
    faults: list[Fault] = []
    exercises: list[tuple[str, Exercise]] = []
    for path, text in sorted(exercise_files.items()):
        try:
            exercises += [(path, exercise) for exercise in _read_once(path, text)]
        except InputFaults as error:
            faults += error.faults
    progressions: list[tuple[str, Progression]] = []
    for path, text in sorted((progression_files or {}).items()):
        try:
            progressions.append((path, parse_progression_file(path, text)))
        except InputFaults as error:
            faults += error.faults
    # A file that cannot be read leaves holes that would look like dangling references: say the cause first.
    if not faults:
        faults += _doubles(exercises)
        faults += _dangling(exercises, progressions, renames or {})
    if faults:
        raise InputFaults(faults)
    steps = {step.exercise: climb.slug for _, climb in reversed(progressions) for step in climb.steps}
    by_slug = {
        exercise.slug: _with_progression(exercise, steps.get(exercise.slug))
        for _, exercise in sorted(exercises, key=lambda pair: pair[1].slug)
    }
    return Catalogue(
        exercises=MappingProxyType(by_slug),
        progressions=MappingProxyType({climb.slug: climb for _, climb in progressions}),
        renames=MappingProxyType(dict(renames or {})),
    )


@lru_cache(maxsize=2048)
def _read_once(path: str, text: str) -> tuple[Exercise, ...]:
    """The exercises of a file, read once: a catalogue with own files shares all others with the packaged one."""
    return tuple(parse_exercise_file(path, text))


def parse_exercise_file(path: str, text: str) -> list[Exercise]:
    """The exercise of a file and its variants, the file's own first.

    ``path`` is the way to the file; its last part without ``.toml`` is the slug.
    Raises InputFaults with all faults of the file.
    """
    book = FaultBook(path)
    raw = _toml(text, book)
    variants = raw.pop("variant", [])
    slug = _slug_of(path, book)
    good = exercise_table().check(raw, "", book)
    if not isinstance(variants, list) or not all(isinstance(layer, dict) for layer in variants):
        book.add("variant", variants, "tables that begin with [[variant]]")
        variants = []
    exercises: list[Exercise] = []
    if good:
        exercises.append(_exercise(slug, slug, raw, "", book))
    for number, layer in enumerate(variants):
        at = f"variant[{number}]"
        fine = variant_table().check(layer, at, book, partly=True)
        for key in ("slug", "name"):
            if key not in layer:
                book.add(f"{at}.{key}", "nothing", "this key is needed")
                fine = False
        if good and fine:
            inherited = {key: value for key, value in raw.items() if key != "also_called"}
            exercises.append(_exercise(layer["slug"], slug, _layered(inherited, layer), at, book))
    if book.faults:
        raise InputFaults(book.faults)
    return exercises


def parse_progression_file(path: str, text: str) -> Progression:
    """The progression of a file.

    Raises InputFaults with all faults of the file, a climb in a circle (the same step twice) among them.
    """
    book = FaultBook(path)
    raw = _toml(text, book)
    steps = raw.pop("step", None)
    slug = _slug_of(path, book)
    progression_table().check(raw, "", book)
    if not isinstance(steps, list) or not steps or not all(isinstance(step, dict) for step in steps):
        book.add("step", "nothing" if steps is None else steps, "one table or more that begin with [[step]]")
        steps = []
    for number, step in enumerate(steps):
        step_table().check(step, f"step[{number}]", book)
        for before in range(number):
            if _same_step(steps[before], step):
                book.add(
                    f"step[{number}].exercise",
                    f"{step.get('exercise')!r} with the same dials as step[{before}]",
                    "a climb without circles",
                    "Change a dial, or take the step out.",
                )
                break
    _agree_on_ways(steps, book)
    if book.faults:
        raise InputFaults(book.faults)
    return Progression(
        slug=slug,
        title=raw["title"],
        pain_limit=raw["pain_limit"],
        source=raw["source"],
        steps=tuple(_step(i + 1, step) for i, step in enumerate(steps)),
        caution=raw.get("caution", ""),
        closed_with_back_trouble=raw.get("closed_with_back_trouble", False),
    )


def _step(number: int, raw: Mapping[str, Any]) -> ProgressionStep:
    inside = tuple(
        InsideStep(one["dial"], one["from"], one["to"], one["when"], MappingProxyType(one.get("set", {})))
        for one in raw.get("inside", ())
    )
    dials = MappingProxyType(raw.get("dials", {}))
    return ProgressionStep(
        number=number,
        **{**raw, "dials": dials, "sideways": tuple(raw.get("sideways", ())), "inside": inside},
    )


def _agree_on_ways(steps: list[dict[str, Any]], book: FaultBook) -> None:
    """Branches that leave and join the main way at steps of it, and come after all of it."""
    main = [step.get("exercise") for step in steps if "branch" not in step]
    first: dict[object, int] = {}
    for number, step in enumerate(steps):
        at = f"step[{number}]"
        branch = step.get("branch")
        if branch is None:
            if first:
                book.add(at, "a step of the main way after a branch", "branches at the end of the file")
            for key in ("after", "leads_to"):
                if key in step:
                    book.add(f"{at}.{key}", step[key], "only on a step with a branch")
            continue
        if branch not in first:
            first[branch] = number
            if step.get("after") not in main:
                allowed = "the exercise of a step of the main way, which the branch leaves"
                book.add(f"{at}.after", str(step.get("after", "nothing")), allowed)
        elif "after" in step:
            book.add(f"{at}.after", step["after"], "only on the first step of a branch")
        if "leads_to" in step:
            leaves = steps[first[branch]].get("after")
            later = main[main.index(leaves) + 1 :] if leaves in main else main
            if step["leads_to"] not in later:
                allowed = "a step of the main way above the one the branch leaves"
                book.add(f"{at}.leads_to", str(step["leads_to"]), allowed)


def _texts(folder: Traversable, path: str) -> Iterator[tuple[str, str]]:
    if not folder.is_dir():
        return
    for item in folder.iterdir():
        at = f"{path}/{item.name}"
        if item.is_dir():
            yield from _texts(item, at)
        elif item.name.endswith(".toml"):
            yield at, item.read_text(encoding="utf-8")


def _toml(text: str, book: FaultBook) -> dict[str, Any]:
    if len(text) > LONGEST_FILE:
        book.add("", f"{len(text)} signs", f"at most {LONGEST_FILE} signs: one exercise a file")
        raise InputFaults(book.faults)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        book.add("", str(error), "TOML as in template.toml")
        raise InputFaults(book.faults) from error


def _slug_of(path: str, book: FaultBook) -> str:
    slug = path.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".toml")
    if not SLUG.match(slug):
        book.add("", f"the file name {slug!r}", "small letters, digits and single underscores: it is the slug")
    return slug


def _layered(base: Mapping[str, Any], layer: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(base)
    for key, value in layer.items():
        under = merged.get(key)
        merged[key] = _layered(under, value) if isinstance(value, dict) and isinstance(under, dict) else value
    return merged


def _exercise(slug: str, base: str, raw: Mapping[str, Any], at: str, book: FaultBook) -> Exercise:
    form, load, use, talk = raw["form"], raw["load"], raw["use"], raw["talk"]
    exercise = Exercise(
        slug=slug,
        base=base,
        name=raw["name"],
        also_called=tuple(raw.get("also_called", ())),
        pattern=raw["pattern"],
        actions=tuple(_actions(raw["actions"], at, book)),
        mode=form["mode"],
        laterality=form["laterality"],
        equipment=tuple(frozenset(token for token in tokens if token != "none") for tokens in load["equipment"])
        or (frozenset(),),
        positions=tuple(form.get("positions", ())),
        body_position=form["body_position"],
        support=form["support"],
        spine=form.get("spine", "neutral"),
        length_bias=form.get("length_bias", "middle"),
        max_angles=MappingProxyType({motion: float(deg) for motion, deg in form.get("max_angles", {}).items()}),
        load_means=load["means"],
        load_capacity=load["capacity"],
        skill=form["skill"],
        grip=form.get("grip", 0),
        impact=form.get("impact", 0),
        parts=tuple(use["parts"]),
        measured_in=load["measured_in"],
        purpose=talk["purpose"],
        cues=tuple(talk["cues"]),
        effort_cue=talk["effort_cue"],
        dials=MappingProxyType(dict(raw.get("dials", {}))),
        crop=tuple(form.get("crop", ())),
        cautions=tuple(talk.get("cautions", ())),
        progression=use.get("progression"),
        body_share=load.get("body_share"),
        rep_s=float(form.get("rep_s", 4.0)),
        lever=_lever(raw.get("lever"), form["mode"]),
        sources=tuple(talk["sources"]),
    )
    _agree(exercise, at, book)
    return exercise


def _lever(raw: Mapping[str, Any] | None, mode: str) -> Lever | None:
    if raw is None or raw.get("model", "none") == "none":
        return None
    phase: Phase = raw.get("phase") or PHASE_OF_MODE.get(mode, "raise")
    return Lever(raw["model"], phase, MappingProxyType(dict(raw.get("dials", {}))))


def _actions(roles: Mapping[str, list[str]], at: str, book: FaultBook) -> Iterator[ActionUse]:
    known = joint_actions()
    seen: dict[str, str] = {}
    role: Role
    for role in ("prime", "secondary", "held"):
        for slug in roles.get(role, ()):
            if slug in seen:
                book.add(_under(at, f"actions.{role}"), slug, f"one role an action; it is {seen[slug]} already")
            seen[slug] = role
            joint = known[slug].joint
            yield ActionUse(joint=joint, action=slug.removeprefix(f"{joint}-"), role=role)


def _agree(exercise: Exercise, at: str, book: FaultBook) -> None:
    """Keys that must not contradict each other, because restrictions read both."""
    if (exercise.grip >= 2) != ("grip" in exercise.positions):
        book.add(
            _under(at, "form.positions"),
            f"grip = {exercise.grip} and positions {list(exercise.positions)}",
            "'grip' among the positions exactly when grip is 2 or 3",
        )
    if exercise.body_position == "hang" and "hang" not in exercise.positions:
        book.add(_under(at, "form.positions"), list(exercise.positions), "'hang', as body_position is 'hang'")
    for motion in exercise.crop:
        if motion not in exercise.max_angles:
            book.add(_under(at, "form.crop"), motion, "a motion that stands in max_angles")


def _under(at: str, path: str) -> str:
    return f"{at}.{path}" if at else path


def _same_step(a: Mapping[str, Any], b: Mapping[str, Any]) -> bool:
    same: bool = a.get("exercise") == b.get("exercise") and a.get("dials", {}) == b.get("dials", {})
    return same


def plain(name: str) -> str:
    """A name without what people write in different ways: case, hyphens, double blanks.

    >>> plain("Front-Foot  Elevated")
    'front foot elevated'
    """
    return " ".join(name.casefold().replace("-", " ").split())


def _doubles(exercises: Iterable[tuple[str, Exercise]]) -> Iterator[Fault]:
    slugs: dict[str, str] = {}
    names: dict[str, str] = {}
    for path, exercise in exercises:
        if exercise.slug in slugs:
            yield Fault(path, "slug", exercise.slug, f"a slug of its own; {slugs[exercise.slug]} has this one")
        slugs.setdefault(exercise.slug, path)
        for key, name in (("name", exercise.name), *(("also_called", other) for other in exercise.also_called)):
            owner = names.setdefault(plain(name), exercise.slug)
            if owner != exercise.slug:
                yield Fault(
                    path, f"{exercise.slug}.{key}", name, f"a name of its own; {owner} is called like this already"
                )


def _dangling(
    exercises: Iterable[tuple[str, Exercise]],
    progressions: Iterable[tuple[str, Progression]],
    renames: Mapping[str, str],
) -> Iterator[Fault]:
    slugs = {exercise.slug for _, exercise in exercises}
    climbs = [climb.slug for _, climb in progressions]
    for path, exercise in exercises:
        if exercise.progression is not None and exercise.progression not in climbs:
            yield Fault(
                path,
                f"{exercise.slug}.use.progression",
                exercise.progression,
                "a progression of the catalogue",
                nearest_hint(exercise.progression, climbs),
            )
    for path, climb in progressions:
        for number, step in enumerate(climb.steps):
            if renames.get(step.exercise, step.exercise) not in slugs:
                yield Fault(
                    path,
                    f"step[{number}].exercise",
                    step.exercise,
                    "an exercise of the catalogue",
                    nearest_hint(step.exercise, sorted(slugs)),
                )
            for place, slug in enumerate(step.sideways):
                if renames.get(slug, slug) not in slugs or slug == step.exercise:
                    yield Fault(
                        path,
                        f"step[{number}].sideways[{place}]",
                        slug,
                        "another exercise of the catalogue",
                        nearest_hint(slug, sorted(slugs)),
                    )
    for old, new in renames.items():
        if old in slugs:
            yield Fault("renames.toml", old, old, "a slug that is no longer in use")
        if new not in slugs:
            yield Fault("renames.toml", old, new, "an exercise of the catalogue", nearest_hint(str(new), sorted(slugs)))


def unknown_steps(path: str, climb: Progression, catalogue: Catalogue) -> list[Fault]:
    """The faults of a progression whose steps, or what stands in for them, are no exercises of a catalogue."""
    exercises = [("", replace(one, progression=None)) for one in catalogue.values()]
    return list(_dangling(exercises, [(path, climb)], {}))


def _with_progression(exercise: Exercise, climb: str | None) -> Exercise:
    if climb is None or exercise.progression is not None:
        return exercise
    return replace(exercise, progression=climb)
