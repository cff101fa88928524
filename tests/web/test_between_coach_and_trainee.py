"""Words, pain, cues, own data and the floor, as pages without a browser."""

from __future__ import annotations

import csv
import io
import json
import tempfile
import uuid
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from setwright.people.trainee import DAYS
from setwright.records import models
from setwright.records.data_base import log_of
from setwright.services.desk.cues import MB
from setwright.services.gather import catalogue

PNG = b"\x89PNG\r\n\x1a\n" + bytes.fromhex("00000000 49454e44 ae426082")  # the least there is: its end alone
CLIP = b"\x00\x00\x00\x18ftypmp42" + bytes(12) + b"\x00\x00\x28\x08mdat" + bytes(range(256)) * 40


def row_of(gym: Any, **more: Any) -> dict[str, Any]:
    """A logged set as a phone sends it."""
    base = {"row": str(uuid.uuid4()), "date": gym.today.isoformat(), "session": "", "exercise": "back_squat", "set": 1}
    return {**base, "load_kg": 60, "reps": 5, "rir": 3, **more}


def send(gym: Any, rows: list[Any], notes: list[Any] | None = None, browser: Any = None) -> Any:
    """Sends rows and notes as a phone does."""
    body = json.dumps({"rows": rows, "notes": notes or []})
    address = f"/t/{gym.trainee.id}/log/"
    return (browser or gym.as_trainee()).post(address, body, content_type="application/json")


def test_pain_in_a_row_is_told_to_the_coach_once_however_often_it_is_sent(gym: Any) -> None:
    one = row_of(gym, pain=6, pain_where="left knee", pain_kind="sharp", ended_by="pain", note="it caught")

    send(gym, [one])
    send(gym, [one, row_of(gym, set=2)])

    (note,) = gym.trainee.notes.all()
    assert note.needs_coach and not note.is_from_coach
    assert note.text == 'Pain 6 of 10 at the left knee, sharp. In set 1, after 5 repetitions. "it caught"'


def test_pain_stands_on_the_roster_until_the_coach_has_seen_it(gym: Any) -> None:
    browser = gym.as_coach()
    send(gym, [row_of(gym, pain=6, pain_where="left knee", ended_by="pain")])
    assert "Pain 6 of 10 at the left knee" in browser.get("/roster/").content.decode()

    (note,) = gym.trainee.notes.all()
    browser.post(f"/t/{gym.trainee.id}/notes/{note.id}/seen/")

    assert "Pain 6 of 10" not in browser.get("/roster/").content.decode()
    assert "Pain 6 of 10" in browser.get(f"/t/{gym.trainee.id}/notes/").content.decode()


def test_a_red_flag_in_a_note_is_told_with_whom_to_see(gym: Any) -> None:
    send(gym, [row_of(gym, note="went dizzy, nearly fainted")])

    (note,) = gym.trainee.notes.all()
    assert "A red flag." in note.text and "emergency medical services" in note.text and "no diagnosis" in note.text


def test_an_ordinary_set_tells_the_coach_nothing(gym: Any) -> None:
    send(gym, [row_of(gym, note="felt good, chest up")])

    assert not gym.trainee.notes.exists()


def test_two_corrections_of_one_row_leave_one_set(gym: Any) -> None:
    """Referee: the log as every other part reads it."""
    first = row_of(gym)
    send(gym, [first])
    send(gym, [row_of(gym, reps=4, corrects=first["row"])])
    send(gym, [row_of(gym, reps=6, corrects=first["row"])])

    assert gym.trainee.log_rows.count() == 3
    assert [one.reps for one in log_of(gym.trainee, catalogue()).sets] == [6]


def test_a_set_of_another_slot_is_no_correction(gym: Any) -> None:
    send(gym, [row_of(gym, slot="a/1"), row_of(gym, slot="b/1"), row_of(gym, slot="", set=2)])

    assert len(log_of(gym.trainee, catalogue()).sets) == 3


def test_the_time_of_the_phone_is_kept_and_a_clock_that_runs_ahead_is_not_believed(gym: Any) -> None:
    send(gym, [row_of(gym, at="2026-01-05T09:00:00.000Z"), row_of(gym, set=2, at="2199-01-01T00:00:00Z")])

    said, ahead = gym.trainee.log_rows.order_by("id")
    assert said.at == "2026-01-05T09:00:00+00:00"
    assert not ahead.at.startswith("2199")


@pytest.mark.parametrize("body", ["", "[]", "{}", '{"rows": 3}', '{"rows": [], "notes": [1]}', "{" * 3000])
def test_what_is_no_list_of_rows_is_refused_with_a_sentence(gym: Any, body: str) -> None:
    more = {"content_type": "application/json", "headers": {"accept": "application/json"}}
    answer = gym.as_trainee().post(f"/t/{gym.trainee.id}/log/", body, **more)

    assert answer.status_code == 400
    assert "rows" in answer.json()["faults"][0]


def test_words_go_to_the_coach_and_the_answer_comes_back(gym: Any) -> None:
    said = {"id": str(uuid.uuid4()), "day": gym.today.isoformat(), "text": "May I train on Sunday?"}
    for _ in range(2):
        assert send(gym, [], [said]).json()["kept"] == [said["id"]]
    page = gym.as_coach().get(f"/t/{gym.trainee.id}/").content.decode()
    assert page.count("May I train on Sunday?") == 1

    gym.as_coach().post(f"/t/{gym.trainee.id}/notes/", {"text": "Yes, the same session.", "note": said["id"]})

    assert "May I train on Sunday?" not in gym.as_coach().get(f"/t/{gym.trainee.id}/").content.decode()
    assert "Yes, the same session." in gym.as_trainee().get("/today/").content.decode()
    assert "Yes, the same session." in gym.as_trainee().get("/me/words/").content.decode()
    assert "Yes, the same session." not in gym.as_trainee().get("/today/").content.decode()


def test_an_empty_note_is_refused_and_what_was_typed_stays(gym: Any) -> None:
    answer = gym.as_trainee().post("/me/words/", {"text": " " * 3 + "x" * 4001})

    assert answer.status_code == 400 and "x" * 4001 in answer.content.decode()
    assert gym.as_trainee().post("/me/words/", {"text": "  "}).status_code == 400
    assert not gym.trainee.notes.exists()


def test_nobody_else_logs_or_writes_for_a_trainee(gym: Any) -> None:
    assert send(gym, [row_of(gym)], browser=gym.as_stranger()).status_code == 404
    for address in ("notes/", "cues/"):
        assert gym.as_stranger().get(f"/t/{gym.trainee.id}/{address}").status_code == 404
        assert gym.as_trainee().get(f"/t/{gym.trainee.id}/{address}").status_code == 404
    for address in ("/me/progress/", "/me/words/", "/me/log.csv", "/me/everything.json"):
        assert gym.as_coach().get(address).status_code == 404
    assert gym.as_trainee().get("/floor/").status_code == 404


def test_whoever_is_not_logged_in_is_asked_for_it_and_comes_back(gym: Any, client: Any) -> None:
    for address in ("/today/", f"/t/{gym.trainee.id}/day/{gym.today}/"):
        answer = client.get(address)
        assert (answer.status_code, answer["Location"]) == (302, f"/in/login/?next={address}")


def test_a_photo_is_shown_to_whom_it_is_for_and_to_nobody_else(gym: Any) -> None:
    slug = "back_squat"
    given = {"exercise": slug, "text": "Knees out", "whom": "one", "file": SimpleUploadedFile("x.png", PNG)}
    assert gym.as_coach().post(f"/t/{gym.trainee.id}/cues/", given).status_code == 302
    (cue,) = models.Cue.objects.all()

    address = f"/cues/{cue.id}/file/"
    answer = gym.as_trainee().get(address)
    assert answer["Content-Type"] == "image/png" and b"".join(answer.streaming_content) == PNG
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert gym.as_coach().get(address).status_code == 200
    assert gym.as_stranger().get(address).status_code == 404
    gym.as_coach().post(f"/t/{gym.trainee.id}/cues/{cue.id}/away/")
    assert gym.as_trainee().get(address).status_code == 404


def test_a_cue_stands_with_its_exercise_today(gym: Any) -> None:
    today = next(one for one in gym.block.weeks[0].sessions if one.day == DAYS[gym.today.weekday()])
    slug = next(entry.exercise for part in today.parts if part.part == "main" for entry in part.entries)
    gym.as_coach().post(f"/t/{gym.trainee.id}/cues/", {"exercise": slug, "text": "Chest tall, Ode", "whom": "one"})

    assert "Chest tall, Ode" in gym.as_trainee().get("/today/").content.decode()


def test_a_clip_is_sent_in_the_parts_that_a_player_asks_for(gym: Any) -> None:
    """Referee: RFC 9110, section 14, from memory."""
    given = {"exercise": "back_squat", "whom": "all", "file": SimpleUploadedFile("x.mp4", CLIP)}
    gym.as_coach().post(f"/t/{gym.trainee.id}/cues/", given)
    address = f"/cues/{models.Cue.objects.get().id}/file/"

    part = gym.as_trainee().get(address, headers={"range": "bytes=100-199"})
    beyond = gym.as_trainee().get(address, headers={"range": f"bytes={len(CLIP)}-"})

    assert (part.status_code, part["Content-Range"]) == (206, f"bytes 100-199/{len(CLIP)}")
    assert b"".join(part.streaming_content) == CLIP[100:200]
    assert (beyond.status_code, beyond["Content-Range"]) == (416, f"bytes */{len(CLIP)}")


@pytest.mark.parametrize(
    ("name", "content"),
    [("x.png", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"), ("x.jpg", b"GIF89a"), ("x.mp4", b"")],
)
def test_a_file_that_is_not_what_its_name_says_is_refused(gym: Any, name: str, content: bytes) -> None:
    given = {"exercise": "back_squat", "text": "kept words", "file": SimpleUploadedFile(name, content)}

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/cues/", given)

    assert answer.status_code == 400 and "kept words" in answer.content.decode()
    assert not models.Cue.objects.exists()


def test_a_photo_that_is_too_large_is_refused(gym: Any) -> None:
    given = {"exercise": "back_squat", "file": SimpleUploadedFile("x.png", PNG + bytes(6 * MB))}

    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/cues/", given)

    assert answer.status_code == 400 and "at most 6 MB" in answer.content.decode()


def test_progress_tells_ranges_and_what_was_done(gym: Any) -> None:
    send(gym, [row_of(gym, set=n, reps=5, rir=2) for n in (1, 2, 3)])

    page = gym.as_trainee().get("/me/progress/").content.decode()

    assert "Barbell back squat: 60 kg x 5, 5, 5; 2 left in the last." in page
    assert "most likely" in page and " to " in page.split("Barbell back squat:")[1][:80]


def test_everything_that_is_kept_can_be_taken_away(gym: Any) -> None:
    first = row_of(gym)
    send(gym, [first], [{"id": str(uuid.uuid4()), "day": gym.today.isoformat(), "text": "hello"}])
    send(gym, [row_of(gym, reps=4, corrects=first["row"])])

    table = list(csv.DictReader(io.StringIO(gym.as_trainee().get("/me/log.csv").content.decode())))
    whole = json.loads(gym.as_trainee().get("/me/everything.json").content)

    assert [one["reps"] for one in table] == ["4"]
    assert [one["reps"] for one in whole["log"]] == [5, 4]
    assert whole["notes"][0]["text"] == "hello"
    assert whole["in_force"] == gym.block.id == whole["blocks"][0]["id"]
    assert "birth_year = 1990" in whole["documents"][0]["text"]


def test_the_log_is_a_table_for_other_programs_too(gym: Any) -> None:
    """Referee: duckdb reads the Parquet; the same rows as in the CSV."""
    import zipfile

    import duckdb

    send(gym, [row_of(gym, set=n, reps=5) for n in (1, 2, 3)])
    own = gym.as_trainee().get("/me/log.parquet")
    packed = gym.as_coach().get(f"/t/{gym.trainee.id}/tables/parquet.zip").content
    files = zipfile.ZipFile(io.BytesIO(packed))
    table = files.read("log.parquet")
    csv_files = zipfile.ZipFile(io.BytesIO(gym.as_coach().get(f"/t/{gym.trainee.id}/tables/csv.zip").content))

    assert own.content == table and own["Cache-Control"].startswith("max-age=0")
    assert sorted(files.namelist()) == ["log.parquet", "planned.parquet"]
    assert len(list(csv.DictReader(io.StringIO(csv_files.read("log.csv").decode())))) == 3
    with tempfile.NamedTemporaryFile(suffix=".parquet") as kept:
        kept.write(table)
        kept.flush()
        rows = duckdb.sql(f"select exercise, reps from '{kept.name}'").fetchall()
    assert [reps for _, reps in rows] == [5, 5, 5]
    assert gym.as_coach().get(f"/t/{gym.trainee.id}/tables/exe.zip").status_code == 404
    assert 'href="/me/log.parquet"' in gym.as_trainee().get("/me/progress/").content.decode()
    assert "/tables/parquet.zip" in gym.as_coach().get(f"/t/{gym.trainee.id}/data/").content.decode()


def test_the_floor_shows_who_trains_today_and_takes_a_drop_in_on(gym: Any) -> None:
    browser = gym.as_coach()
    assert browser.get("/floor/").content.decode().count("data-session=") == 1
    gym.trainee.planned_days.filter(date=gym.today).delete()

    assert "data-session=" not in browser.get("/floor/").content.decode()
    page = browser.get(f"/floor/?who={gym.trainee.id}&who={gym.strangers_trainee.id}&who=nonsense").content.decode()

    assert "Ode Invented" in page and "Pim Invented" not in page
    assert "Not planned for today" in page
