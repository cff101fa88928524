"""Broken files: each gives its faults at once, in one sentence each, and nothing is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.faults import InputFaults
from setwright.review.log_file import read_log
from setwright.services.deeds import check_file
from setwright.services.templates import template_text

TRAINEE, PLACE, BRIEF = template_text("trainee"), template_text("place"), template_text("brief")
LOG = "date,week,session,exercise,set,load_kg,reps,rir,pain,row,corrects\n"


def swap(text: str, old: str, new: str) -> str:
    assert old in text, old
    return text.replace(old, new, 1)


# name of the file, its content, a piece of each expected sentence (one fault each)
CASES: list[tuple[str, str | bytes, list[str]]] = [
    ("empty.toml", "", ["empty.toml: found an empty file"]),
    ("binary.toml", b"id = 1\0\0\x07", ["found binary data; allowed: a text file in UTF-8"]),
    ("latin.toml", "name = 'Zoë'".encode("latin-1"), ["a byte that is no UTF-8"]),
    ("big.toml", "# x\n" * 2_600_000, ["found 10.4 MB; allowed: a file of at most 1 MB"]),
    ("syntax.toml", swap(TRAINEE, 'id = "example"', "id = example"), ["found no TOML"]),
    ("key.toml", swap(TRAINEE, "training_years", "training_year"), ["training_years: found nothing", "Did you mean training_years?"]),
    ("unit.toml", swap(TRAINEE, "body_mass_kg = 68.0", 'body_mass = "80 kg"'), ["body_mass_kg or body_mass_lb"]),
    ("mass.toml", swap(TRAINEE, "body_mass_kg = 68.0", "body_mass_kg = -68"), ["body_mass_kg: found -68; allowed: a number from 25 to 300 kg"]),
    ("quoted.toml", swap(TRAINEE, "body_mass_kg = 68.0", 'body_mass_kg = "68"'), ["without quotes"]),
    ("stature.toml", swap(TRAINEE, "stature_cm = 172", "stature_cm = 1.72"), ["stature_cm: found 1.72"]),
    ("birth.toml", swap(TRAINEE, "1988", "88"), ["birth_year: found 88"]),
    ("slug.toml", swap(TRAINEE, 'exercise = "deadlift"', 'exercise = "deadlfit machine thing"'), ["baselines[1].exercise: found 'deadlfit machine thing'"]),
    ("date.toml", swap(TRAINEE, "date = 2026-08-28", "date = 2026-02-30"), ["found no TOML"]),
    ("datetext.toml", swap(TRAINEE, "date = 2026-08-28", 'date = "28.8.2026"'), ["baselines[1].date: found '28.8.2026'; allowed: a date like 2026-09-07"]),
    ("reps.toml", swap(TRAINEE, "reps = 5", "reps = 500"), ["baselines[1].reps: found 500; allowed: a whole number from 0 to 100"]),
    ("rir.toml", swap(TRAINEE, "rir = 2 ", "rir = -2 "), ["baselines[1].rir: found -2"]),
    ("day.toml", swap(TRAINEE, 'day = "mon"', 'day = "monday"'), ["days[1].day: found 'monday'"]),
    ("twice.toml", swap(TRAINEE, 'day = "thu"', 'day = "mon"'), ["days: found 'mon twice'"]),
    ("minutes.toml", swap(TRAINEE, "minutes = 60", "minutes = 5"), ["days[1].minutes: found 5; allowed: a number from 10 to 240 min"]),
    ("restriction.toml", swap(TRAINEE, "left knee flexion over 60", "the moon hurts"), ["restrictions[1].says: found 'the moon hurts'"]),
    ("review.toml", swap(TRAINEE, "review_on = 2026-10-01", "review_on = 2026-01-01"), ["restrictions[1].review_on"]),
    ("wanted.toml", swap(TRAINEE, '"holds", "short-range"', '"hold"'), ["restrictions[1].wanted[1]: found 'hold'"]),
    ("goal.toml", swap(TRAINEE, 'about = "deadlift"', 'about = "xyzzy"'), ["goals[1].about: found 'xyzzy'"]),
    ("step.toml", swap(TRAINEE, "step = 3", "step = 40"), ["steps[1].step: found 40"]),
    ("noplace.toml", swap(TRAINEE, 'place = "station"', 'place = "nowhere"'), ["days[1].place: found 'nowhere'"]),
    ("place-kind.toml", swap(PLACE, 'kind = "cable"', 'kind = "cabel"'), ["stacks[1].kind: found 'cabel'"]),
    ("place-range.toml", swap(PLACE, "to_kg = 20", "to_kg = 2"), ["dumbbells[1].to_kg"]),
    ("place-fix.toml", swap(PLACE, "rack = 1", "rak = 1"), ["fixtures.rak: found an unknown key"]),
    ("place-bar.toml", swap(PLACE, "mass_kg = 20\ncount", "mass_kg = 200\ncount"), ["bars[1].mass_kg: found 200"]),
    ("brief-weeks.toml", swap(BRIEF, "weeks = 6", "weeks = 60"), ["weeks: found 60; allowed: a whole number from 4 to 12 weeks"]),
    ("brief-rpe.toml", swap(BRIEF, "rpe = [6.5, 8.5]", "rpe = [8.5, 6.5]"), ["rpe: found [8.5, 6.5]; allowed: two rising numbers"]),
    ("brief-both.toml", swap(swap(BRIEF, "include = []", 'include = ["deadlift"]'), "exclude = []", 'exclude = ["deadlift"]'), ["exclude: found 'deadlift'"]),
    ("brief-muscle.toml", swap(BRIEF, '["back"]', '["bakc"]'), ["emphasis[1]: found 'bakc'"]),
    ("brief-tempo.toml", swap(BRIEF, '"2-0-1-0"', '"slow"'), ["tempo_main: found 'slow'"]),
    ("log-column.csv", LOG.replace("reps", "repz"), ["column 'repz': found an unknown column"]),
    ("log-name.csv", LOG + "2026-09-07,1,mon,blorptwist,1,60,5,2,,,\n", ["row 2: exercise: found 'blorptwist'"]),
    ("log-pain.csv", LOG + "2026-09-07,1,mon,deadlift,1,60,5,2,11,,\n", ["row 2: pain: found '11'; allowed: a whole number from 0 to 10"]),
    ("log-date.csv", LOG + "7.9.2026,1,mon,deadlift,1,60,5,2,,,\n", ["row 2: date: found '7.9.2026'"]),
    ("log-key.csv", LOG + "2026-09-07,1,mon,deadlift,1,60,5,2,,a,\n2026-09-07,1,mon,deadlift,2,60,5,2,,a,\n", ["row key 'a': found the same key twice"]),
    ("log-lost.csv", LOG + "2026-09-07,1,mon,deadlift,1,60,5,2,,b,zzz\n", ["corrects 'zzz'"]),
    ("log-cells.csv", LOG + "2026-09-07,1,mon\n", ["row 2: found 3 cells; allowed: 11 cells"]),
    ("log.json", "[{]", ["found no JSON"]),
    ("block.json", '{"format": "setwright/block/9"}', ["format: found 'setwright/block/9'; allowed: 'setwright/block/1'"]),
    ("cut.json", '{"format": "setwright/block/1", "weeks": [', ["found no JSON"]),
    ("text.txt", "Monday\nfront squat 4 x 5 / 3 x 8\n", ["line 2: found a slash"]),
    ("unsure.txt", "Monday\nblorptwist 3 x 8\n", ["line 2: found 'blorptwist'"]),
]  # fmt: skip


def test_there_are_at_least_thirty_broken_files() -> None:
    assert len({name for name, _, _ in CASES}) == len(CASES) >= 30


@pytest.mark.parametrize(("name", "content", "expected"), CASES, ids=[one[0] for one in CASES])
def test_a_broken_file_gives_its_faults_at_once(
    name: str, content: str | bytes, expected: list[str], tmp_path: Path
) -> None:
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    (tmp_path / "station.toml").write_text(PLACE)
    before = sorted(tmp_path.iterdir())

    checked = check_file(path)

    sentences = [fault.sentence() for fault in checked.faults]
    if name != "noplace.toml":
        assert len(sentences) == len(expected), sentences
    for piece, sentence in zip(expected, sentences, strict=False):
        assert piece in sentence, sentences
        assert name in sentence and "; allowed: " in sentence
    assert sorted(tmp_path.iterdir()) == before


def test_all_faults_of_a_file_come_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "many.toml"
    text = swap(TRAINEE, "body_mass_kg = 68.0", "body_mass_kg = 3")
    path.write_text(swap(swap(text, "reps = 5", "reps = -1"), 'day = "mon"', 'day = "moon"'))

    assert run(["check", str(path)]) == 2

    shown = capsys.readouterr()
    assert all(piece in shown.out for piece in ("body_mass_kg", "baselines[1].reps", "days[1].day"))
    assert "3 faults" in shown.err


@pytest.mark.parametrize("kind", ["trainee", "place", "brief", "exercise"])
def test_the_templates_are_in_order(kind: str, tmp_path: Path) -> None:
    path = tmp_path / f"{kind}.toml"
    path.write_text(template_text(kind))
    (tmp_path / "station.toml").write_text(PLACE)

    assert [one.sentence() for one in check_file(path).faults] == []


@pytest.mark.parametrize(
    "text",
    [
        "[" * 5000 + "]" * 5000,
        '[{"date": "2026-09-01", "session": "a", "exercise": "pushup", "set": 1, "reps": 5, "dials": "{\\"a\\": '
        + "[" * 5000
        + "]" * 5000
        + '}"}]',
    ],
    ids=["a log", "dials"],
)
def test_json_that_is_nested_too_deep_is_a_fault(text: str) -> None:
    with pytest.raises(InputFaults, match=r"nested too deep|a JSON object"):
        read_log(text, "log.json", catalogue())
