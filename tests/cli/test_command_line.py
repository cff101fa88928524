"""The command line in process: exit codes, standard output only for results, the five-minute walk of the README."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from setwright.cli.main import SENTENCES, VERBS, run
from setwright.services.templates import template_text

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "src" / "setwright" / "services" / "demo_data"


def test_every_verb_has_its_sentence_and_answers_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert set(VERBS) == set(SENTENCES)
    for verb in VERBS:
        assert run([verb, "--help"]) == 0
        assert "Usage" in capsys.readouterr().out


def test_an_unknown_verb_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["desing"]) == 2
    assert "Did you mean design?" in capsys.readouterr().err


def test_the_catalogue_as_json_has_the_published_keys(capsys: pytest.CaptureFixture[str]) -> None:
    """Referee: the key list of the project's plan, typed in; at least 190 exercises."""
    assert run(["catalogue", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)

    assert len(rows) >= 190
    wanted = {"exercise", "name", "also_called", "pattern", "equipment", "actions", "positions", "mode", "laterality"}
    wanted |= {"spine", "overhead", "max_angles", "joint_stress", "credits", "progression", "parts"}
    assert all(wanted <= set(row) for row in rows)


def test_there_are_twelve_progressions(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["catalogue", "--progressions", "--json"]) == 0

    assert len(json.loads(capsys.readouterr().out)) == 12


def test_alternatives_name_what_is_kept_and_lost(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["alternatives", "back_squat", "--have", "dumbbell,bench", "--restriction", "elbow", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)

    assert rows and all({"exercise", "likeness", "kept", "lost", "excluded"} <= set(row) for row in rows)
    assert [row["likeness"] for row in rows] == sorted((row["likeness"] for row in rows), reverse=True)


def test_the_five_minute_walk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for kind, name in (("trainee", "anna.toml"), ("place", "station.toml"), ("brief", "autumn.toml")):
        (tmp_path / name).write_text(template_text(kind), encoding="utf-8")
    files = [str(tmp_path / name) for name in ("anna.toml", "station.toml", "autumn.toml")]
    assert run(["check", *files]) == 0

    out = tmp_path / "anna"
    assert run(["design", files[0], files[2], "--out", str(out), "--json"]) == 0
    printed = capsys.readouterr().out
    block = json.loads(printed[printed.index("{") :])
    assert block["format"] == "setwright/block/1"
    assert (out / "index.html").is_file() and (out / "block.ics").is_file()
    assert json.loads((out / "block.json").read_text()) == block

    log = (out / "logs" / "week-01.csv").read_text().splitlines()
    header = log[0].split(",")
    filled = []
    for line in log[1:]:
        cells = line.split(",")
        if cells[header.index("load_kg")] and cells[header.index("exercise")] == "deadlift":
            cells[header.index("reps")], cells[header.index("rir")] = "6", "4"
        filled.append(",".join(cells))
    done = tmp_path / "done.csv"
    done.write_text("\n".join([log[0], *filled]), encoding="utf-8")
    block_file = str(out / "block.json")
    assert run(["estimate", files[0], str(done), "--json"]) == 0
    assert any(lift["exercise"] == "deadlift" for lift in json.loads(capsys.readouterr().out)["lifts"])
    assert run(["review", block_file, str(done), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["weeks"][0]["monotony_sd"] == "n-1"
    assert run(["adapt", block_file, str(done), "--out", str(tmp_path / "next"), "--json"]) == 0
    adapted = json.loads(capsys.readouterr().out)
    assert {"block", "changes"} == set(adapted)
    assert all({"week", "session", "entry", "from", "to", "why"} <= set(one) for one in adapted["changes"])
    assert run(["restrict", block_file, "--restriction", "my elbow is sore", "--from-week", "2", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["changes"]

    records = ["--records", str(tmp_path / "records")]
    assert run(["accept", block_file, *records]) == 0
    assert run(["accept", str(tmp_path / "next"), *records, "--reason", "agreed"]) == 0
    assert run(["undo", "example", *records, "--out", str(tmp_path / "undone.json")]) == 0
    assert (tmp_path / "undone.json").read_bytes() == (out / "block.json").read_bytes()
    assert run(["history", "example", *records]) == 0
    listed = capsys.readouterr().out
    assert listed.count("accepted") == 2 and "in force" in listed and "agreed" in listed


def test_missing_clearance_leaves_with_three(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (
        (DATA / "people" / "marit.toml")
        .read_text()
        .replace("active_now = true", "active_now = false\nknown_disease = true")
    )
    (tmp_path / "places").mkdir()
    (tmp_path / "places" / "station.toml").write_text((DATA / "places" / "station.toml").read_text())
    person = tmp_path / "marit.toml"
    person.write_text(text)

    assert run(["design", str(person), str(DATA / "briefs" / "marit.toml"), "--out", str(tmp_path / "out")]) == 3
    assert "clearance" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_wrong_file_leaves_with_two_and_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('id = "x"\nbody_mass = "80 kg"\n')

    assert run(["design", str(bad), str(DATA / "briefs" / "marit.toml"), "--out", str(tmp_path / "out")]) == 2
    error = capsys.readouterr().err
    assert "body_mass_kg" in error and "nothing was written" in error
    assert not (tmp_path / "out").exists()


def test_the_hand_written_block_keeps_every_exercise(capsys: pytest.CaptureFixture[str]) -> None:
    person, text = DATA / "people" / "dunja.toml", DATA / "blocks" / "station_evening.txt"

    assert run(["write", str(person), str(text), "--start", "2026-09-07", "--json"]) == 0
    block = json.loads(capsys.readouterr().out)

    written = [line for line in text.read_text().splitlines() if re.search(r"\d", line)][3:]
    kept = [
        e["written"] for s in block["weeks"][0]["sessions"] for p in s["parts"] for e in p["entries"] if e["written"]
    ]
    names = [line for line in written if not re.match(r"^(Tuesday|Friday|weeks)", line)]
    assert len(set(kept)) == len(names) == 15
    assert set(kept) == set(names)


@pytest.mark.parametrize("kind", ["trainee", "place", "brief", "exercise", "progression"])
def test_a_template_is_printed_whole(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["template", kind]) == 0
    assert capsys.readouterr().out == template_text(kind)


@pytest.mark.parametrize("name", ["block", "log", "estimate", "review", "levers", "climb", "keep", "kept", "group"])
def test_a_schema_is_printed(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema", name]) == 0
    assert json.loads(capsys.readouterr().out)["$schema"].endswith("2020-12/schema")


def test_a_folder_is_served_on_loopback_only(tmp_path: Path) -> None:
    import threading
    import urllib.request

    from setwright.services.serving import make_server

    (tmp_path / "index.html").write_text("<p>here</p>")
    server = make_server(tmp_path, 8400)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    host, port = server.server_address[:2]

    body = urllib.request.urlopen(f"http://{host}:{port}/", timeout=5).read()
    server.shutdown()
    server.server_close()

    assert host == "127.0.0.1" and b"here" in body


def test_a_folder_without_pages_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["serve", str(tmp_path)]) == 2
    assert "setwright demo" in " ".join(capsys.readouterr().err.split())


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_speaks_json(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Contract: --json on every verb."""
    assert run([verb, "--help"]) == 0
    assert "--json" in capsys.readouterr().out


def test_a_session_can_be_pasted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import io
    import sys
    from types import SimpleNamespace

    pasted = b"Monday, 60 min\nfront squat 4 x 5-6 @ RPE 8, rest 3 min, tempo 3-1-1-0\nA push-up 3 x 10-15\n"
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(pasted)))
    person = DATA / "people" / "dunja.toml"

    assert run(["write", str(person), "-", "--start", "2026-09-07", "--out", str(tmp_path)]) == 0
    made = json.loads((tmp_path / "block.json").read_text())
    entries = [e["exercise"] for p in made["weeks"][0]["sessions"][0]["parts"] for e in p["entries"]]
    assert "front_squat" in entries and "pushup" in entries
