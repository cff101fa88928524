"""The verb floor as a coach types it: several blocks, one place, one day; and the hour that changes."""

from __future__ import annotations

import json
import re
import sys
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import tomli_w

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.plan.floor.rows import rows_of
from setwright.plan.gates import judge
from setwright.plan.identity import with_id
from setwright.publish.block_file import block_from_json, block_to_json
from setwright.publish.floor_json import floor_schema
from setwright.publish.floor_picture import floor_svg
from setwright.publish.floor_text import floor_text
from setwright.publish.floor_words import floor_report
from setwright.publish.sheet import pages_of
from setwright.services.floor import Asked, hold_hour, hour_of
from setwright.strength.logged import Log

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "plan" / "floor"))
from old_mill_hall import DAY, LINES, PLACE, RESTRICTED, build_hall
from referee import faults


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four invented people with a written block each, one of them restricted, and the place."""
    folder = tmp_path_factory.mktemp("hall")
    build_hall(folder)
    return folder


def blocks(hall: Path, *names: str) -> list[str]:
    return [str(hall / name / "block.json") for name in names or ("edda", "falk", "gesa")]


def floor(hall: Path, capsys: pytest.CaptureFixture[str], *more: str, names: tuple[str, ...] = ()) -> dict[str, Any]:
    capsys.readouterr()
    assert run(["floor", *blocks(hall, *names), "--on", DAY, "--json", *more]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    jsonschema_rs.Draft202012Validator(floor_schema()).validate(found)
    return found


def sessions_of(hall: Path, *names: str) -> dict[str, Any]:
    loaded = [block_from_json(Path(one).read_bytes(), one) for one in blocks(hall, *names)]
    return {one.inputs.trainee.name: one.weeks[0].sessions[0] for one in loaded}


def place_of(hall: Path) -> Any:
    return block_from_json(Path(blocks(hall)[0]).read_bytes(), "").inputs.places[0]


def test_everybody_gets_a_timetable_that_keeps_every_rule(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = floor(hall, capsys)

    assert [one["name"] for one in found["people"]] == list(LINES)
    assert faults(found["sets"], sessions_of(hall), place_of(hall), catalogue()) == []
    assert found["proof"]["bound_s"] <= found["proof"]["end_s"]


def test_the_same_day_gives_the_same_bytes(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert floor(hall, capsys) == floor(hall, capsys)


def test_a_coach_reads_it_by_names_or_numbers(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run(["floor", *blocks(hall), "--on", DAY, "--no-costs"]) == 0
    by_name = capsys.readouterr().out
    assert run(["floor", *blocks(hall), "--on", DAY, "--no-costs", "--numbers"]) == 0
    by_number = capsys.readouterr().out

    assert "Edda Morn: done at" in by_name and "rack" in by_name
    assert max(len(line) for line in by_name.splitlines()) <= 80
    assert "Edda" not in by_number and "\n1: done at" in by_number


def test_who_is_late_starts_late_and_who_is_absent_is_not_there(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = floor(hall, capsys, "--late", "Edda=12", "--absent", "3")

    assert min(row["from_s"] for row in found["sets"] if row["name"] == "Edda Morn") >= 12 * 60
    assert {row["name"] for row in found["sets"]} == {"Edda Morn", "Falk Terrin"}


def test_a_broken_machine_leaves_its_entries_out_and_names_what_could_stand_in(
    hall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = floor(hall, capsys, "--broken", "leg extension machine")

    missed = {(one["name"], one["exercise"]) for one in found["left_out"]}
    assert missed == {("Edda Morn", "leg_ext"), ("Gesa Wrobel", "leg_ext")}
    assert all(one["sets"] >= 3 and "leg extension machine is broken" in one["why"] for one in found["left_out"])
    assert not any(row["exercise"] == "leg_ext" for row in found["sets"])


@pytest.mark.parametrize("pair", [("bench press", "cable row"), ("cable row", "bench press")])
def test_who_only_loses_the_partner_of_a_superset_is_told_so(
    pair: tuple[str, str], hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A bench press needs the rack, a cable row does not: whichever comes first."""
    text = tmp_path / "pair.txt"
    lines = "\n".join(f"A {one} 3 x 8 @ 7" for one in pair)
    text.write_text(f"Block: Pair\n1 week\n\nMonday, 90 min, hall\n{lines}\n")
    assert run(["write", str(hall / "edda.toml"), str(text), "--start", DAY, "--out", str(tmp_path)]) == 0
    capsys.readouterr()

    def asked(*more: str) -> dict[str, Any]:
        assert run(["floor", str(tmp_path / "block.json"), "--on", DAY, "--json", "--no-costs", *more]) == 0
        found: dict[str, Any] = json.loads(capsys.readouterr().out)
        return found

    rack = [
        (row["exercise"], one["for_partner"])
        for row in asked()["sets"]
        for one in row["holds"]
        if one["thing"] == "rack"
    ]
    assert {one for one in rack if one[0] == "bench_bb"} == {("bench_bb", False)}
    assert {one for one in rack if one[0] == "row_cable"} <= {("row_cable", True)}
    why = {one["exercise"]: one["why"] for one in asked("--broken", "rack")["left_out"]}
    assert why == {
        "bench_bb": "rack is broken",
        "row_cable": "rack is broken, which the other half of its superset needs",
    }

    alone = asked("--broken", "rack", "--exchange", "1:row_cable=row_cable")

    assert [one["exercise"] for one in alone["left_out"]] == ["bench_bb"]
    rows = [row for row in alone["sets"] if row["exercise"] == "row_cable"]
    assert len(rows) == len([row for row in asked()["sets"] if row["exercise"] == "row_cable"]) >= 3
    assert not any(one["thing"] == "rack" for row in rows for one in row["holds"])


def test_a_half_of_a_superset_that_is_begun_goes_on_alone(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What of both halves is done stays in the timetable; all the sets of the sound one are in it."""
    text = tmp_path / "pair.txt"
    text.write_text("Block: Pair\n1 week\n\nMonday, 90 min, hall\nA bench press 3 x 8 @ 7\nA cable row 3 x 8 @ 7\n")
    assert run(["write", str(hall / "edda.toml"), str(text), "--start", DAY, "--out", str(tmp_path)]) == 0

    def asked(*more: str) -> list[dict[str, Any]]:
        capsys.readouterr()
        assert run(["floor", str(tmp_path / "block.json"), "--on", DAY, "--json", "--no-costs", *more]) == 0
        found: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["sets"]
        return [row for row in found if row["exercise"] in ("bench_bb", "row_cable")]

    first = asked("--out", str(tmp_path / "hour"))
    begun = next(row for row in first if row["exercise"] == "row_cable")
    minute = str(begun["to_s"] // 60 + 1)
    again = ("--again", str(tmp_path / "hour" / "floor.json"), "--from-minute", minute, "--broken", "rack")

    left, alone = asked(*again), asked(*again, "--exchange", "1:row_cable=row_cable")

    done = [(row["exercise"], row["from_s"]) for row in first if row["to_s"] <= 60 * int(minute)]
    assert done and set(done) <= {(row["exercise"], row["from_s"]) for row in alone}
    rows_of = [sum(row["exercise"] == "row_cable" for row in rows) for rows in (first, left, alone)]
    assert rows_of[0] == rows_of[2] > rows_of[1]


def test_only_what_is_in_a_superset_is_exchanged_for_itself(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["floor", str(hall / "edda" / "block.json"), "--on", DAY, "--exchange", "1:leg_ext=leg_ext"]

    assert run(asked) == 2
    assert "itself only to leave a superset" in " ".join(capsys.readouterr().err.split())


def test_a_picture_has_room_for_names(hall: Path) -> None:
    """Whole names are cut in the picture; first names fit."""
    hour = hold_hour(Asked(tuple(Path(one) for one in blocks(hall)), date.fromisoformat(DAY)), {}, at_once=True)
    report = floor_report(hour, catalogue())

    rows = floor_text(report).splitlines()
    assert {"Edda", "Falk", "Gesa"} <= {
        row.split()[0] for row in rows if row.startswith(("Edda  ", "Falk  ", "Gesa  "))
    }
    assert ">Edda<" in floor_svg(report) and ">Edda Morn<" not in floor_svg(report)


def test_the_hour_goes_on_from_a_minute(hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = floor(hall, capsys, "--out", str(tmp_path), names=("edda", "falk"))
    old = str(tmp_path / "floor.json")

    again = floor(hall, capsys, "--again", old, "--from-minute", "10")

    begun = [row for row in first["sets"] if row["from_s"] <= 600]
    assert begun and all(row in strip(again["sets"]) for row in strip(begun))
    late = min(row["from_s"] for row in again["sets"] if row["name"] == "Gesa Wrobel")
    assert late >= 600 and {one["name"] for one in again["moved"]} >= {"Gesa Wrobel"}
    assert faults(again["sets"], sessions_of(hall), place_of(hall), catalogue(), {"Gesa Wrobel": 600}) == []


def strip(rows: list[dict[str, Any]]) -> list[tuple[Any, ...]]:
    return [(row["name"], row["entry"], row["set"], row["from_s"]) for row in rows]


def test_a_machine_that_breaks_in_the_hour_stops_what_is_under_way(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = floor(hall, capsys, "--out", str(tmp_path))
    at = min(row["from_s"] for row in first["sets"] if row["exercise"] == "leg_ext") + 20
    minute = str(-(-at // 60))

    again = floor(
        hall, capsys, "--again", str(tmp_path / "floor.json"), "--from-minute", minute,
        "--broken", "machine:leg_extension",
    )  # fmt: skip

    later = [row for row in again["sets"] if row["from_s"] > 60 * int(minute)]
    assert not any(row["exercise"] == "leg_ext" for row in later) and again["left_out"]


def test_an_exchange_is_made_only_when_it_is_asked_for(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain = floor(hall, capsys)
    asked = floor(hall, capsys, "--exchange", "Falk:row_cable=row_db")

    assert plain["exchanged"] == [] and any(row["exercise"] == "row_cable" for row in plain["sets"])
    assert asked["exchanged"] == [{"name": "Falk Terrin", "exercise": "row_cable", "instead": "row_db"}]
    assert not any(row["exercise"] == "row_cable" for row in asked["sets"])


def test_an_exchange_that_crosses_a_restriction_is_refused(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()

    code = run(["floor", *blocks(hall, "edda", "hanno"), "--on", DAY, "--exchange", "Hanno:leg_ext=row_cable"])

    said = " ".join(capsys.readouterr().err.split())
    assert code == 3 and "elbow restriction (set by physiotherapist (invented))" in " ".join(said.split())


def test_no_proposed_exchange_crosses_a_restriction(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Referee: the gate of the restriction itself, for every stand-in named."""
    found = floor(hall, capsys, "--broken", "machine:leg_extension", names=("hanno", "edda", "gesa"))

    trainee = block_from_json(Path(blocks(hall, "hanno")[0]).read_bytes(), "").inputs.trainee
    named = [other["exercise"] for one in found["left_out"] if one["name"] == RESTRICTED for other in one["instead"]]
    tokens = expand_tokens(place_of(hall).tokens())
    assert trainee.restrictions and named
    assert all(judge(catalogue().get(one), trainee.restrictions, tokens, trainee).allowed for one in named)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--late", "Edda"], "--late: found 'Edda'; allowed: NAME=MINUTES"),
        (["--late", "Edda=-3"], "--late"),
        (["--absent", "Nobody"], "--absent: found 'Nobody'; allowed: who comes: Edda Morn, Falk Terrin, Gesa Wrobel"),
        (["--broken", "cable"], "which of them: 'cable machine 1' or 'cable machine 2'"),
        (["--broken", "swimming pool"], "what Old mill hall has"),
        (["--hold", "bench"], "where people take turns"),
        (["--exchange", "Edda"], "NAME:EXERCISE=OTHER"),
        (["--from-minute", "10"], "--again: found one of --again and --from-minute; allowed: both, or none"),
        (["--on", "2026-09-08"], "no session on 2026-09-08"),
    ],
)
def test_a_slip_is_told_with_what_is_allowed(
    hall: Path, more: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()

    code = run(["floor", *blocks(hall), *(() if "--on" in more else ("--on", DAY)), *more])

    shown = capsys.readouterr()
    assert code == 2 and words in " ".join(shown.err.split()) and shown.out == ""


def test_what_the_place_never_had_is_no_plan(hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bare = {**PLACE, "stacks": [one for one in PLACE["stacks"] if one["kind"] == "cable"]}
    (tmp_path / "bare.toml").write_text(tomli_w.dumps(bare), encoding="utf-8")
    capsys.readouterr()

    code = run(["floor", *blocks(hall), "--on", DAY, "--place", str(tmp_path / "bare.toml")])

    said = " ".join(capsys.readouterr().err.split())
    assert code == 3 and "Edda Morn: leg extension" in said.replace("machine ", "") and "Gesa Wrobel" in said


def test_the_files_are_a_page_a_single_sheet_and_the_timetable(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = floor(hall, capsys, "--out", str(tmp_path))

    assert json.loads((tmp_path / "floor.json").read_text(encoding="utf-8")) == found
    page, sheet = (tmp_path / "floor.html").read_text(encoding="utf-8"), (tmp_path / "floor.pdf").read_bytes()
    assert all(name in page for name in LINES) and "<script" not in page and "http://" not in page.replace(SVG, "")
    assert sheet.startswith(b"%PDF") and pages_of(sheet) == 1


SVG = "http://www.w3.org/2000/svg"


LOG_HEAD = "date,week,session,exercise,set,reps,load_kg,load_means\n"


def log_of(path: Path, *sets: tuple[str, int]) -> str:
    path.parent.mkdir(exist_ok=True)
    path.write_text(LOG_HEAD + "".join(f"{DAY},1,mon,{slug},{number},5,40,total\n" for slug, number in sets))
    return str(path)


def test_with_a_log_what_is_logged_is_done_and_what_is_not_is_still_to_do(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = floor(hall, capsys, "--out", str(tmp_path))
    falk = [row for row in first["sets"] if row["name"] == "Falk Terrin" and row["kind"] == "work"]
    late = max(row["to_s"] for row in falk if row["exercise"] == "back_squat")
    log = log_of(tmp_path / "some.csv", ("back_squat", 1), ("back_squat", 2))
    minute = -(-late // 60) + 1

    again = floor(
        hall, capsys, "--again", str(tmp_path / "floor.json"), "--from-minute", str(minute), "--log", f"Falk={log}"
    )

    mine = [row for row in again["sets"] if row["name"] == "Falk Terrin" and row["kind"] == "work"]
    squats = [row for row in mine if row["exercise"] == "back_squat"]
    assert [row["from_s"] >= 60 * minute for row in squats] == [False, False, True]
    assert len(mine) == len(falk)
    others = [row for row in first["sets"] if row["name"] != "Falk Terrin" and row["from_s"] <= 60 * minute]
    assert others and all(row in strip(again["sets"]) for row in strip(others))


def test_a_log_beside_the_block_needs_no_name_and_a_wrong_one_is_told(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    floor(hall, capsys, "--out", str(tmp_path))
    go_on = ("--again", str(tmp_path / "floor.json"), "--from-minute", "5")
    mine = log_of(hall / "edda" / "log.csv", ("back_squat", 1))
    lost = log_of(tmp_path / "elsewhere" / "log.csv", ("back_squat", 1))
    other = log_of(tmp_path / "other.csv", ("pullup", 1))

    again = floor(hall, capsys, *go_on, "--log", mine)

    done = [row for row in again["sets"] if row["name"] == "Edda Morn" and row["exercise"] == "back_squat"]
    assert next(row for row in done if row["kind"] == "work")["from_s"] <= 300
    for wrong, words in (
        (("--log", lost), "NAME=FILE"),
        (("--log", f"Edda={other}"), "Is it the log of Edda Morn?"),
        (("--log", f"Nobody={mine}"), "who comes"),
    ):
        assert run(["floor", *blocks(hall), "--on", DAY, *go_on, *wrong]) == 2
        assert words in capsys.readouterr().err
    assert run(["floor", *blocks(hall), "--on", DAY, "--log", mine]) == 2
    assert "--again" in capsys.readouterr().err


def test_the_hour_goes_on_twice_by_logs(hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    floor(hall, capsys, "--out", str(tmp_path / "a"))
    log = log_of(tmp_path / "edda.csv", ("back_squat", 1))
    floor(
        hall,
        capsys,
        "--again",
        str(tmp_path / "a" / "floor.json"),
        "--from-minute",
        "14",
        "--log",
        f"Edda={log}",
        "--out",
        str(tmp_path / "b"),
    )

    more = log_of(tmp_path / "edda.csv", ("back_squat", 1), ("back_squat", 2), ("back_squat", 3))
    again = floor(
        hall, capsys, "--again", str(tmp_path / "b" / "floor.json"), "--from-minute", "22", "--log", f"Edda={more}"
    )

    squats = [row for row in again["sets"] if row["name"] == "Edda Morn" and row["exercise"] == "back_squat"]
    assert all(row["from_s"] <= 22 * 60 for row in squats if row["kind"] == "work") and len(squats) >= 3
    assert len(again["sets"]) == sum(
        len(one.sets) for s in sessions_of(hall).values() for p in s.parts for one in p.entries
    )


def test_who_leaves_with_a_set_missing_in_between_does_not_stop_the_others(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    floor(hall, capsys, "--out", str(tmp_path / "a"))
    log = f"Edda={log_of(tmp_path / 'edda.csv', ('back_squat', 1), ('back_squat', 3))}"
    first = ("--again", str(tmp_path / "a" / "floor.json"), "--from-minute", "30", "--log", log, "--absent", "Edda")
    left = floor(hall, capsys, *first, "--out", str(tmp_path / "b"))

    again = floor(hall, capsys, "--again", str(tmp_path / "b" / "floor.json"), "--from-minute", "35")

    for found in (left, again):
        mine = [row for row in found["sets"] if row["name"] == "Edda Morn" and row["kind"] == "work"]
        assert len([row for row in mine if row["part"] == "main"]) == 2
        assert all(row["from_s"] <= 30 * 60 for row in mine)


def test_a_caller_hands_over_logs_and_gets_the_repaired_hour_at_once(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    floor(hall, capsys, "--out", str(tmp_path))
    again = tmp_path / "floor.json"
    paths = tuple(Path(one) for one in blocks(hall))
    asked = Asked(paths, date.fromisoformat(DAY), again=again, from_minute=30.0)

    hour = hold_hour(asked, {"Edda Morn": Log()}, at_once=True)

    later = [
        row for row in rows_of(hour.floor, hour.solved.timetable) if row.name == "Edda Morn" and row.kind == "work"
    ]
    main = [row for row in later if row.part == "main"]
    assert main and all(row.from_s >= 30 * 60 for row in main)
    assert "What Edda Morn did is as it was logged" in " ".join(floor_report(hour, catalogue()).facts)
    assert hold_hour(asked, {"Edda Morn": Log()}).solved.points <= hour.solved.points
    loaded = [block_from_json(one.read_bytes(), str(one)) for one in paths]
    assert hour_of(asked, loaded, json.loads(again.read_text()), {"Edda Morn": Log()}, at_once=True) == hour


def test_who_does_not_train_that_day_is_left_out_and_named(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Falk begins a week after the others; the numbers stay those of the files."""
    falk = block_from_json(Path(blocks(hall, "falk")[0]).read_bytes(), "")
    brief = replace(falk.inputs.brief, start=falk.inputs.brief.start + timedelta(days=7))
    path = tmp_path / "falk.json"
    path.write_bytes(block_to_json(with_id(replace(falk, inputs=replace(falk.inputs, brief=brief)))))
    edda, gesa = blocks(hall, "edda", "gesa")
    capsys.readouterr()

    assert run(["floor", edda, str(path), gesa, "--on", DAY, "--json"]) == 0

    shown = capsys.readouterr()
    assert [one["number"] for one in json.loads(shown.out)["people"]] == [1, 3]
    assert "Left out, no session that day: Falk Terrin; nearest " in shown.err


def test_the_names_of_the_picture_stay_where_they_are_and_stand_at_its_bars(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Common practice, no published source: the names alone are as high as the whole, each at its height."""
    floor(hall, capsys, "--out", str(tmp_path), names=("edda", "falk"))
    page = (tmp_path / "floor.html").read_text()
    whole, alone = re.findall(r"<svg xmlns.*?</svg>", page, flags=re.DOTALL)

    def heights(svg: str) -> dict[str, str]:
        return {name: y for y, name in re.findall(r'<text x="4" y="([\d.]+)"[^>]*>([^<]+)<', svg)}

    assert set(heights(alone)) == {"Edda", "Falk"} and heights(alone) == heights(whole)
    assert re.findall(r'viewBox="0 0 [\d.]+ ([\d.]+)"', whole) == re.findall(r'viewBox="0 0 [\d.]+ ([\d.]+)"', alone)
    assert "position: sticky" in page and 'class="names"' in alone and "aria-hidden" in alone
