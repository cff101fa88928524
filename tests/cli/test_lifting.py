"""A restriction ends: what it closed comes back lighter, what it never touched stays."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from made_block import made_block

from setwright.catalogue.load import catalogue
from setwright.cli.main import run
from setwright.plan.block import Block, Entry, PlannedSet
from setwright.publish.block_file import block_to_json
from setwright.services.block_check import block_faults
from setwright.services.deeds import restrict
from setwright.services.lifting import lift_restriction, no_more_reps

JOINTS = ("my elbow is sore", "sore shoulder", "knee flexion over 60")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "first.json").write_bytes(block_to_json(made_block()))
    return tmp_path


def sore(folder: Path, text: str = "my elbow is sore", set_by: str = "") -> tuple[Path, Block, str]:
    """The block under a restriction from week 2, its file, and the id of the restriction."""
    changed = restrict(folder / "first.json", text, from_week=2, set_by=set_by)
    path = folder / "sore.json"
    path.write_bytes(block_to_json(changed))
    return path, changed, changed.inputs.trainee.restrictions[-1].id


def entries(block: Block, first: int) -> Iterator[tuple[tuple[int, str, str], Entry]]:
    for week in block.weeks[first - 1 :]:
        for session in week.sessions:
            for part in session.parts:
                for entry in part.entries:
                    yield (week.number, session.day, part.part), entry


def load(entry: Entry) -> float | None:
    return entry.sets[-1].load_kg


@pytest.mark.parametrize("text", JOINTS)
def test_a_lifted_restriction_brings_the_block_back(text: str, folder: Path) -> None:
    """Referee: the first revision, entry by entry; loads under those of before in the first week back."""
    path, changed, name = sore(folder, text)
    assert changed.changes

    back = lift_restriction(path, name, folder / "first.json", from_week=3)

    assert back.inputs.trainee.restrictions == ()
    assert (back.revision, back.parent) == (3, changed.id)
    assert back.weeks[:2] == changed.weeks[:2], "weeks that are done stay"
    was = [(where, entry.exercise) for where, entry in entries(made_block(), 3)]
    assert [(where, entry.exercise) for where, entry in entries(back, 3)] == was
    in_sore = {where: {one.exercise for at, one in entries(changed, 3) if at == where} for where, _ in was}
    for (where, new), (_, old) in zip(entries(back, 3), entries(made_block(), 3), strict=True):
        assert new.dials == old.dials
        if new.exercise in in_sore[where]:
            continue
        before, now = load(old), load(new)
        assert (before is None) == (now is None)
        if where[0] == 3 and where[2] not in ("warm-up", "loaded-mobility"):
            fewer_reps = (new.sets[-1].reps or (0, 0))[1] < (old.sets[-1].reps or (0, 0))[1]
            lower = before is not None and now is not None and now <= 0.9 * before
            shorter = (new.sets[-1].time_s or 0) < (old.sets[-1].time_s or 0)
            assert lower or fewer_reps or shorter or len(new.sets) < len(old.sets), (new.exercise, old.sets, new.sets)
        if before is not None and now is not None:
            assert now <= before
        assert (new.sets[-1].reps or (0, 0))[1] <= (old.sets[-1].reps or (0, 0))[1], "no load is made up for by reps"
    assert all("lifted" in one.why and one.from_ and one.to for one in back.changes)
    assert {one.week for one in back.changes} <= {3, 4}
    assert block_faults(back, "back.json", catalogue()) == []
    for week in back.weeks[2:]:
        for session in week.sessions:
            assert session.minutes_cap is None or session.minutes <= session.minutes_cap + 1e-6


def test_what_a_lighter_load_spares_stays_in_reserve() -> None:
    """Up to four left, as at a sore joint. Referee: common practice, no published source."""
    planned = PlannedSet("work", (10, 15), rir=3.0, rpe=7.0, load_kg=10.0)
    light = replace(planned, reps=(16, 21), load_kg=7.5, note="The next load is heavier: more reps instead.")

    made = no_more_reps(light, planned)

    assert (made.reps, made.rir, made.rpe, made.load_kg, made.note) == ((10, 15), 4.0, 6.0, 7.5, "")
    assert no_more_reps(replace(planned, reps=(8, 10), load_kg=9.0), planned).reps == (8, 10)


def test_what_the_restriction_never_touched_keeps_its_sets(folder: Path) -> None:
    path, changed, name = sore(folder)
    back = lift_restriction(path, name, folder / "first.json", from_week=3)
    now = {(where, entry.exercise): entry.sets for where, entry in entries(back, 3)}
    same = [
        (where, entry)
        for where, entry in entries(changed, 3)
        if any(
            at == where and (one.exercise, one.dials) == (entry.exercise, entry.dials)
            for at, one in entries(made_block(), 3)
        )
    ]
    assert len(same) > 5
    for where, entry in same:
        assert now[where, entry.exercise] == entry.sets


def test_another_restriction_holds_on(folder: Path) -> None:
    path, _, name = sore(folder)
    both = restrict(path, "knee flexion over 60", from_week=2)
    path.write_bytes(block_to_json(both))

    back = lift_restriction(path, name, folder / "first.json", from_week=3)

    assert [one.joint for one in back.inputs.trainee.restrictions] == ["knee"]
    assert block_faults(back, "back.json", catalogue()) == []


def test_the_block_before_is_found_in_the_records(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, _, _ = sore(folder)
    records = ["--records", str(folder / "records")]
    assert run(["accept", str(folder / "first.json"), *records]) == 0
    assert run(["accept", str(path), *records]) == 0
    capsys.readouterr()

    assert run(["restrict", str(path), "--lift", "elbow", *records, "--from-week", "3", "--json"]) == 0

    found = json.loads(capsys.readouterr().out)
    assert found["changes"] and found["block"]["inputs"]["trainee"]["restrictions"] == []


@pytest.mark.parametrize(
    ("arguments", "piece"),
    [
        (["--lift", "hip"], "--lift: found 'hip'; allowed: a restriction of this block"),
        (["--lift", "elbow"], "--before FILE, or --records"),
        (["--lift", "elbow", "--before", "sore.json"], "a block from before the restriction"),
        (["--lift", "elbow", "--restriction", "knee"], "one of --restriction"),
        ([], "one of --restriction"),
    ],
)
def test_a_lift_that_cannot_be_is_refused(
    arguments: list[str], piece: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _, _ = sore(folder)
    assert run(["restrict", str(path), *(str(folder / one) if "." in one else one for one in arguments)]) == 2
    assert piece in " ".join(capsys.readouterr().err.split())


def test_a_restriction_is_lifted_by_who_set_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, _, _ = sore(folder, set_by="the physiotherapist")
    lift = ["restrict", str(path), "--lift", "elbow", "--before", str(folder / "first.json"), "--from-week", "3"]

    assert run(lift) == 2
    assert "A restriction is lifted by who set it." in " ".join(capsys.readouterr().err.split())
    assert run([*lift, "--set-by", "coach"]) == 2
    assert run([*lift, "--set-by", "Physiotherapist", "--json"]) == 0


def test_an_exercise_taken_out_for_pain_stays_out(folder: Path) -> None:
    """Something other than the restriction took it out, so lifting does not bring it back."""
    path, changed, name = sore(folder)
    was = [(where, one.exercise, one.dials) for where, one in entries(made_block(), 3)]
    stood = [(w, one) for w, one in entries(changed, 3) if w[2] == "assistance" and (w, one.exercise, one.dials) in was]
    gone = stood[0][1].exercise
    weeks = tuple(
        replace(
            week,
            sessions=tuple(
                replace(
                    session,
                    parts=tuple(
                        replace(part, entries=tuple(one for one in part.entries if one.exercise != gone))
                        for part in session.parts
                    ),
                )
                for session in week.sessions
            ),
        )
        for week in changed.weeks
    )
    path.write_bytes(block_to_json(replace(changed, weeks=weeks)))

    back = lift_restriction(path, name, folder / "first.json", from_week=3)

    assert all(entry.exercise != gone for _, entry in entries(back, 3))
