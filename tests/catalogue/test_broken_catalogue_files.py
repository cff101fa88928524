"""A broken catalogue file is refused with every fault, its place, what is allowed, and the nearest word."""

from __future__ import annotations

import tomllib
from importlib import resources

import pytest

from setwright.catalogue.load import build_catalogue, parse_exercise_file, parse_progression_file
from setwright.faults import InputFaults

GOOD = """
name = "test squat"
also_called = ["invented squat"]
pattern = "squat"
[actions]
prime = ["knee-extension"]
[form]
mode = "dynamic"
laterality = "both"
body_position = "stand"
support = "two-feet"
skill = 2
max_angles = { knee-flexion = 100 }
crop = ["knee-flexion"]
[load]
means = "total"
capacity = 3
measured_in = "reps"
equipment = [["barbell", "rack"]]
[use]
parts = ["main"]
[talk]
purpose = "Invented for a test."
cues = ["Stand up."]
effort_cue = "Two left means two more."
sources = ["invented for a test"]
"""
CLIMB = """
title = "invented climb"
pain_limit = 3
source = "invented for a test"
[[step]]
exercise = "test_squat"
entry_test = "Can stand."
exit_test = "Ten repetitions."
way_back = "Two failed days."
"""


def faults_of(text: str, path: str = "exercises/squat/test_squat.toml") -> list[tuple[str, str]]:
    with pytest.raises(InputFaults) as caught:
        parse_exercise_file(path, text)
    assert all(fault.file == path for fault in caught.value.faults)
    return [(fault.path, fault.sentence()) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("old", "new", "path", "says"),
    [
        ('pattern = "squat"', 'pattern = "squad"', "pattern", "'squat'"),
        ('also_called = ["inv', 'also_caled = ["inv', "also_caled", "'also_called'"),
        ('"knee-extension"', '"knee-extention"', "actions.prime[0]", "'knee-extension'"),
        ('"rack"', '"rak"', "load.equipment[0][1]", "'rack'"),
        ("skill = 2", "skill = 9", "form.skill", "1 to 5"),
        ("skill = 2", 'skill = "2"', "form.skill", "a whole number"),
        ("skill = 2", "skill = true", "form.skill", "a whole number"),
        ("skill = 2", "skill = nan", "form.skill", "a whole number"),
        ("skill = 2", "skill = 2\nrep_s = nan", "form.rep_s", "0.2 to 60"),
        ("knee-flexion = 100", "knee-flexion = -5", "form.max_angles.knee-flexion", "0 to 180"),
        ("knee-flexion = 100", "kne-flexion = 100", "form.max_angles.kne-flexion", "'knee-flexion'"),
        ('crop = ["knee-flexion"]', 'crop = ["hip-flexion"]', "form.crop", "max_angles"),
        ("skill = 2", "skill = 2\ngrip = 3", "form.positions", "grip"),
        ('body_position = "stand"', 'body_position = "hang"', "form.positions", "'hang'"),
        ('parts = ["main"]', "parts = []", "use.parts", "1 to 30"),
        ('parts = ["main"]', 'parts = ["main", "main"]', "use.parts", "once"),
        ("capacity = 3\n", "", "load.capacity", "needed"),
        ('name = "test squat"', 'name = ""', "name", "a text"),
        (
            'prime = ["knee-extension"]',
            'prime = ["knee-extension"]\nheld = ["knee-extension"]',
            "actions.held",
            "one role",
        ),
        ('[use]\nparts = ["main"]', "use = 3", "", "TOML"),
    ],
)
def test_one_broken_line_gives_one_fault_with_its_place_and_what_is_allowed(
    old: str, new: str, path: str, says: str
) -> None:
    assert GOOD.count(old) == 1

    found = faults_of(GOOD.replace(old, new))

    if new == "use = 3":  # it lands inside [load], and takes the [use] table away
        assert {"load.use", "use"} == {place for place, _ in found}
        return
    assert [place for place, _ in found] == [path]
    assert says in found[0][1]


def test_all_faults_of_a_file_come_at_once() -> None:
    text = GOOD.replace("skill = 2", "skill = 0").replace('"rack"', '"rak"').replace('mode = "dynamic"', "mode = 1")

    assert {path for path, _ in faults_of(text)} == {"form.skill", "load.equipment[0][1]", "form.mode"}


@pytest.mark.parametrize("text", ["", "\0\1\2", "name = ", "[[variant]]\nslug = 3"])
def test_an_empty_or_binary_or_half_file_is_refused(text: str) -> None:
    assert faults_of(text)


def test_a_file_of_ten_megabytes_is_refused_before_it_is_read() -> None:
    found = faults_of("#" * 10_000_000)

    assert len(found) == 1
    assert "signs" in found[0][1]


def test_a_file_name_that_is_no_slug_is_refused() -> None:
    assert any("slug" in sentence for _, sentence in faults_of(GOOD, "exercises/squat/Test Squat.toml"))


@pytest.mark.parametrize(
    ("layer", "path"),
    [
        ('name = "x"', "variant[0].slug"),
        ('slug = "x"', "variant[0].name"),
        ('slug = "x"\nname = "x"\ndials = { hel_mm = 20 }', "variant[0].dials.hel_mm"),
        ('slug = "x"\nname = "x"\ndials = { range_deg = [90, 45] }', "variant[0].dials.range_deg"),
        ('slug = "x"\nname = "x"\nform = { skil = 2 }', "variant[0].form.skil"),
        ('slug = "x"\nname = "x"\nform = { grip = 2 }', "variant[0].form.positions"),
    ],
)
def test_a_broken_variant_is_named_with_its_number(layer: str, path: str) -> None:
    assert [place for place, _ in faults_of(f"{GOOD}\n[[variant]]\n{layer}\n")] == [path]


def test_a_variant_is_a_layer_tables_merge_and_lists_are_replaced() -> None:
    layer = '[[variant]]\nslug = "b"\nname = "b"\ndials = { heel_mm = 20 }\nform = { skill = 4, crop = [] }\n'

    base, variant = parse_exercise_file("exercises/squat/test_squat.toml", f"{GOOD}\n{layer}")

    assert (variant.slug, variant.base, variant.skill, variant.crop) == ("b", "test_squat", 4, ())
    assert variant.max_angles == base.max_angles
    assert variant.also_called == ()
    assert dict(variant.dials) == {"heel_mm": 20}


def test_two_exercises_may_not_share_a_slug_or_a_name() -> None:
    other = GOOD.replace('name = "test squat"', 'name = "Invented-Squat"').replace(
        'also_called = ["invented squat"]', ""
    )

    with pytest.raises(InputFaults) as caught:
        build_catalogue({"a/test_squat.toml": GOOD, "b/other.toml": other, "c/test_squat.toml": GOOD})

    assert {fault.path for fault in caught.value.faults} == {"slug", "other.name"}


def test_a_progression_must_lead_somewhere_and_never_in_a_circle() -> None:
    with pytest.raises(InputFaults, match="without circles"):
        parse_progression_file("p/climb.toml", CLIMB + CLIMB[CLIMB.index("[[step]]") :])
    with pytest.raises(InputFaults, match=r"step\[0\].exercise: found test_sqat.*'test_squat'"):
        build_catalogue({"a/test_squat.toml": GOOD}, {"p/climb.toml": CLIMB.replace("test_squat", "test_sqat")})
    with pytest.raises(InputFaults, match=r"pain_limit.*0 to 5"):
        parse_progression_file("p/climb.toml", CLIMB.replace("pain_limit = 3", "pain_limit = 6"))
    with pytest.raises(InputFaults, match=r"\[\[step\]\]"):
        parse_progression_file("p/climb.toml", CLIMB[: CLIMB.index("[[step]]")])


def test_an_exercise_that_names_a_missing_progression_is_refused() -> None:
    text = GOOD.replace('parts = ["main"]', 'parts = ["main"]\nprogression = "clim"')

    with pytest.raises(InputFaults, match=r"test_squat.use.progression: found clim.*'climb'"):
        build_catalogue({"a/test_squat.toml": text}, {"p/climb.toml": CLIMB})


def test_the_steps_of_a_progression_tell_the_exercise_where_it_stands() -> None:
    found = build_catalogue({"a/test_squat.toml": GOOD}, {"p/climb.toml": CLIMB})

    assert found.get("test_squat").progression == "climb"
    assert found.step_of("test_squat") == ("climb", 1)


def test_an_old_slug_still_answers_and_a_rename_to_nowhere_is_refused() -> None:
    found = build_catalogue({"a/test_squat.toml": GOOD}, renames={"old_squat": "test_squat"})

    assert "old_squat" in found
    assert found.get("old_squat").slug == "test_squat"
    with pytest.raises(LookupError, match="Nearest: test_squat"):
        found.get("test_sqaut")
    with pytest.raises(InputFaults, match=r"renames\.toml"):
        build_catalogue({"a/test_squat.toml": GOOD}, renames={"old_squat": "nowhere"})


def test_the_template_that_is_the_manual_is_itself_a_good_file_and_shows_every_key() -> None:
    text = resources.files("setwright.catalogue").joinpath("data", "template.toml").read_text(encoding="utf-8")

    base, variant = parse_exercise_file("template.toml", text)

    from setwright.catalogue.schema import exercise_table

    raw = tomllib.loads(text)
    assert variant.slug == "split_squat_hand" and base.name == "dumbbell split squat"
    for key, kind in exercise_table().keys.items():
        assert key in raw
        for inner in getattr(kind, "keys", ()) if isinstance(raw[key], dict) else ():
            assert f"{inner} =" in text, inner
