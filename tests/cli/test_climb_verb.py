"""The verb climb, and a coach's own progressions."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import jsonschema_rs
import pytest

from setwright.cli.main import run
from setwright.publish.schemas import climb_schema
from setwright.services.templates import template_text

OWN = """title = "own push-up"
pain_limit = 2
source = "common practice, no published source"

[[step]]
exercise = "pushup_incline"
dials = { hand_height_cm = 45 }
entry_test = "None."
exit_test = "2 sets of 5 with the hands on 45 cm."
way_back = "Raise the hands."
exit_sets = 2
exit_reps = 5

[[step]]
exercise = "own_push"
entry_test = "Hands on 45 cm are done."
exit_test = "2 sets of 5."
way_back = "Back to 45 cm."
exit_sets = 2
exit_reps = 5
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "station.toml").write_text(template_text("place"), encoding="utf-8")
    text = template_text("trainee").replace('progression = "pullup"\nstep = 3', 'progression = "pushup"\nstep = 1')
    assert 'progression = "pushup"' in text
    head, _, tail = text.partition("[[restrictions]]")
    rest = tail[tail.index("[[goals]]") :] if "[[goals]]" in tail else tail[tail.index("[[baselines]]") :]
    (tmp_path / "anna.toml").write_text(head + rest, encoding="utf-8")
    rows = ["date,session,exercise,set,reps,rir,pain"]
    for day, reps in (("2026-09-07", 15), ("2026-09-10", 15)):
        rows += [f"{day},mon,pushup_wall,{n},{reps},2,0" for n in (1, 2, 3)]
    (tmp_path / "log.csv").write_text("\n".join(rows), encoding="utf-8")
    own = tmp_path / "own"
    own.mkdir()
    (own / "pushup.toml").write_text(OWN.replace("own_push", "pushup"), encoding="utf-8")
    return tmp_path


def said(capsys: pytest.CaptureFixture[str]) -> str:
    captured = capsys.readouterr()
    return " ".join((captured.out + captured.err).split())


def test_the_verb_says_where_somebody_stands_and_when_the_top_is_likely(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Wall push-up, 3 sets of 15, twice: up."""
    assert run(["climb", str(folder / "anna.toml"), str(folder / "log.csv")]) == 0
    text = said(capsys)

    assert "push-up to dip: step 1 of 8" in text and "Up a step, to hands-elevated push-up" in text
    assert "2026-09-07 and 2026-09-10" in text
    assert "Next time: hands-elevated push-up" in text
    assert "within 4, 8, 12, 26 weeks" in text and "Top, parallel-bar dip" in text and "8 times in 10" in text
    assert "by practice" in text and "licensed clinician" in text


def test_no_line_is_wider_than_a_terminal(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["climb", str(folder / "anna.toml"), str(folder / "log.csv"), "--by", "2027-01-01"]) == 0

    assert max(len(line) for line in capsys.readouterr().out.splitlines()) <= 80


@pytest.mark.parametrize("more", [[], ["--by", "2027-01-01"], ["--progression", "ohcarry"], ["--progression", "lmob"]])
def test_the_json_keeps_to_its_published_form(
    more: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Referee: the JSON Schema that `setwright schema climb` prints, read by another library."""
    assert run(["climb", str(folder / "anna.toml"), str(folder / "log.csv"), "--json", *more]) == 0
    found = json.loads(capsys.readouterr().out)

    jsonschema_rs.validator_for(climb_schema()).validate(found)
    assert found and found[0]["steps"]


def test_every_progression_can_be_asked_for(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["catalogue", "--progressions", "--json"]) == 0
    slugs = [one["progression"] for one in json.loads(capsys.readouterr().out)]
    asked = [piece for slug in slugs for piece in ("--progression", slug)]

    assert run(["climb", str(folder / "anna.toml"), "--json", *asked]) == 0
    assert [one["progression"] for one in json.loads(capsys.readouterr().out)] == slugs


def test_the_branch_of_holds_and_carries_can_be_taken(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["--progression", "ohcarry", "--way", "holds and carries", "--json"]
    assert run(["climb", str(folder / "anna.toml"), *asked]) == 0
    (found,) = json.loads(capsys.readouterr().out)

    way = [row["exercise"] for row in found["steps"]]
    assert "landmine_press" not in way and way[-4:] == ["rack_carry", "bottoms_up", "oh_hold", "oh_carry"]
    assert "ask a licensed clinician" in found["caution"]


def test_back_trouble_closes_loaded_bending_and_says_who_opens_it(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["climb", str(folder / "anna.toml"), "--progression", "lmob", "--json"]) == 0
    (free,) = json.loads(capsys.readouterr().out)
    assert free["verdict"] == "stay" and not free["closed"]

    text = (folder / "anna.toml").read_text(encoding="utf-8")
    (folder / "anna.toml").write_text(f"back_trouble = true\n{text.replace('back_trouble = false', '')}", "utf-8")
    assert run(["climb", str(folder / "anna.toml"), "--progression", "lmob", "--json"]) == 0
    (shut,) = json.loads(capsys.readouterr().out)
    assert shut["verdict"] == "closed" and "licensed clinician" in shut["closed"][0]
    assert shut["next_dose"] is None


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["--progression", "pushups"], "pushup"),
        (["--way", "left"], "--way"),
        (["--by", "2020-01-01"], "within four years"),
        (["--own", "nowhere"], "no such folder"),
    ],
)
def test_what_cannot_be_answered_is_named(
    more: list[str], says: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["climb", str(folder / "anna.toml"), str(folder / "log.csv"), *more]) == 2
    assert says in said(capsys)


def test_a_coach_s_own_progression_stands_before_the_packaged_one(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["climb", str(folder / "anna.toml"), "--progression", "pushup", "--json"]
    assert run([*asked, "--own", str(folder / "own")]) == 0
    (own,) = json.loads(capsys.readouterr().out)
    assert run(asked) == 0
    (packaged,) = json.loads(capsys.readouterr().out)

    assert (own["title"], own["of"]) == ("own push-up", 2)
    assert (packaged["title"], packaged["of"]) == ("push-up to dip", 8), "the next run is without it"


def test_the_environment_may_name_the_folder(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SETWRIGHT_OWN", str(folder / "own"))
    assert run(["catalogue", "--progressions", "--json"]) == 0
    titles = [one["title"] for one in json.loads(capsys.readouterr().out)]
    assert "own push-up" in titles and len(titles) == 12

    monkeypatch.setenv("SETWRIGHT_OWN", str(folder / "gone"))
    assert run(["catalogue", "--progressions"]) == 2
    assert "SETWRIGHT_OWN" in said(capsys)


def test_an_own_exercise_can_be_a_step(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "own" / "pushup.toml").write_text(OWN, encoding="utf-8")
    exercise = template_text("exercise").split("\n[[variant]]")[0]
    exercise = re.sub(r"^name = .*$", 'name = "own push"', exercise, flags=re.MULTILINE)
    exercise = re.sub(r"^also_called = .*$", "", exercise, flags=re.MULTILINE)
    (folder / "own" / "own_push.toml").write_text(exercise, encoding="utf-8")
    asked = ["climb", str(folder / "anna.toml"), "--progression", "pushup", "--json", "--own", str(folder / "own")]

    code = run(asked)
    told = capsys.readouterr()
    assert code == 0, told.err
    assert json.loads(told.out)[0]["steps"][-1]["exercise"] == "own_push"


def test_faults_of_own_files_are_named_with_their_path(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A step that is no exercise, an unknown key: both at once, each with file and place."""
    broken = OWN.replace('way_back = "Raise the hands."', 'way_back = "Raise the hands."\nsidways = ["dip"]')
    (folder / "own" / "pushup.toml").write_text(broken, encoding="utf-8")
    assert run(["catalogue", "--progressions", "--own", str(folder / "own")]) == 2
    text = said(capsys)
    assert str(folder / "own" / "pushup.toml") in text and "sidways" in text and "sideways" in text

    (folder / "own" / "pushup.toml").write_text(OWN, encoding="utf-8")
    assert run(["catalogue", "--progressions", "--own", str(folder / "own")]) == 2
    assert "step[1].exercise" in said(capsys)


@pytest.mark.long
def test_a_block_carries_the_own_files_it_was_made_with(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Made with the folder, adapted and restricted without it: its step and its tests are still the own ones."""
    brief = template_text("brief").replace("[[lifts]]", 'skill = "pushup"\n[[lifts]]', 1)
    lines = brief.splitlines()
    skills = [i for i, line in enumerate(lines) if line.startswith("skill")]
    for i in skills[1:]:
        lines[i] = ""
    (folder / "brief.toml").write_text("\n".join(lines), encoding="utf-8")
    out = folder / "out"
    made = ["design", str(folder / "anna.toml"), str(folder / "brief.toml"), "--out", str(out), "--json"]
    assert run([*made, "--own", str(folder / "own")]) == 0
    block = json.loads(capsys.readouterr().out)

    assert block["inputs"]["own"] == {"pushup.toml": OWN.replace("own_push", "pushup")}
    start = block["inputs"]["brief"]["start"]
    rows = ["date,session,exercise,set,reps,rir,dials"]
    for days in (0, 3):
        day = (date.fromisoformat(start) + timedelta(days=days)).isoformat()
        rows += [f"{day},x,pushup_incline,{n},5,2,hand_height_cm=45" for n in (1, 2)]
    (folder / "done.csv").write_text("\n".join(rows), encoding="utf-8")
    assert run(["adapt", str(out / "block.json"), str(folder / "done.csv"), "--json"]) == 0
    after = json.loads(capsys.readouterr().out)

    assert any("on to push-up" in one["why"] for one in after["changes"]), after["changes"]
    assert after["block"]["inputs"]["own"] == block["inputs"]["own"]
    assert run(["restrict", str(out / "block.json"), "--restriction", "my elbow is sore", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["block"]["inputs"]["own"] == block["inputs"]["own"]


@pytest.mark.long
def test_without_own_files_a_block_is_as_it_was(folder: Path) -> None:
    """No key, no other bytes, no other id: blocks of before stay what they were."""
    from made_block import made_block

    from setwright.publish.block_file import block_from_json, block_to_dict, block_to_json

    assert "own" not in block_to_dict(made_block())["inputs"]
    assert block_from_json(block_to_json(made_block()), "block.json") == made_block()


def test_check_names_a_step_that_is_no_exercise(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = folder / "steps.toml"
    path.write_text(OWN.replace("own_push", "pushupp"), encoding="utf-8")

    assert run(["check", str(path)]) == 2
    text = said(capsys)
    assert "step[1].exercise" in text and "Did you mean 'pushup'?" in text


def test_the_template_of_a_progression_is_in_order_and_can_be_climbed(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The manual of the file is itself a file that reads, branch included."""
    (folder / "own" / "own_row.toml").write_text(template_text("progression"), encoding="utf-8")
    assert run(["check", str(folder / "own" / "own_row.toml")]) == 0
    capsys.readouterr()
    asked = ["--own", str(folder / "own"), "--progression", "own_row", "--json"]

    assert run(["climb", str(folder / "anna.toml"), *asked, "--way", "bent knees"]) == 0
    (found,) = json.loads(capsys.readouterr().out)
    assert [row["exercise"] for row in found["steps"]] == ["row_strap", "row_inv_bent", "row_inv"]


def test_the_climb_is_a_page_with_figures_too(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every step that is left with its exit test and dates, well-formed figures, the caution on pain."""
    out = tmp_path / "climb"

    assert run(["climb", str(folder / "anna.toml"), "--progression", "pushup", "--out", str(out)]) == 0
    page = (out / "climb.html").read_text(encoding="utf-8")
    told = json.loads((out / "climb.json").read_text(encoding="utf-8"))

    assert page.count("Moves on when") == len(told[0]["steps"]) >= 3
    assert "<svg" in page and "8 times in 10" in page and "licensed clinician" in page


def test_a_limited_range_is_said_at_every_step_it_touches(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Knee flexion to 60 degrees: the single-leg squat has a date, and beside it that the full range waits."""
    path = folder / "anna.toml"
    limit = '\n[[restrictions]]\nsays = "knee flexion over 60"\nset_by = "the trainee"\n'
    path.write_text(path.read_text(encoding="utf-8") + limit, encoding="utf-8")

    assert run(["climb", str(path), "--progression", "pistol", "--json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)
    limited = [row["limited"] for row in told["steps"] if not row["closed"]]
    assert run(["climb", str(path), "--progression", "pistol"]) == 0
    said = " ".join(capsys.readouterr().out.split())

    assert limited and all(one and "60 degrees" in one for one in limited)
    assert "while the restriction stands" in said


def test_two_own_files_of_one_name_are_a_fault(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One of them would win without a word."""
    (folder / "own" / "old").mkdir()
    (folder / "own" / "old" / "pushup.toml").write_text((folder / "own" / "pushup.toml").read_text(), encoding="utf-8")

    assert run(["climb", str(folder / "anna.toml"), "--own", str(folder / "own")]) == 2
    assert "the same name as" in said(capsys)


def test_a_day_at_the_end_of_the_calendar_is_a_fault(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["climb", str(folder / "anna.toml"), "--progression", "pushup", "--on", "9999-12-31"]) == 2
    assert "the day of the climb" in said(capsys)
