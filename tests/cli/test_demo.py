"""The whole job on the invented roster, as `make run` does it. Takes half a minute, so it runs with `make test-all`."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.plan.gates import judge
from setwright.publish.season_json import season_json
from setwright.review.as_json import review_json
from setwright.services.adapting import adapt
from setwright.services.demo import GUESTS, run_demo
from setwright.services.gather import load_block
from setwright.services.review_files import reviewed
from setwright.services.season import next_brief_text, season

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    run_demo(folder)
    return folder


def test_every_link_of_every_page_leads_to_a_file(out: Path) -> None:
    checked = 0
    for page in out.rglob("*.html"):
        for href in re.findall(r'href="([^"#:]+)"', page.read_text(encoding="utf-8")):
            assert (page.parent / href).exists(), (page, href)
            checked += 1
    assert checked > 300


def test_no_block_of_the_demo_crosses_a_restriction_or_the_minutes(out: Path) -> None:
    files = sorted(out.rglob("block.json"))
    assert len(files) == 2 * len(GUESTS) + 2
    for file in files:
        block = load_block(file)
        places = {place.id: place for place in block.inputs.places}
        for week in block.weeks[-1:]:
            for session in week.sessions:
                assert session.minutes_cap is None or session.minutes <= session.minutes_cap + 1e-6
                tokens = expand_tokens(places[session.place].tokens())
                for part in session.parts:
                    for entry in part.entries:
                        verdict = judge(
                            catalogue().get(entry.exercise),
                            block.inputs.trainee.restrictions,
                            tokens,
                            block.inputs.trainee,
                            entry.dials,
                        )
                        assert verdict.allowed, (file, entry.exercise, verdict.reasons)


def test_the_truth_behind_the_logs_is_written_down(out: Path) -> None:
    for guest in GUESTS:
        truth = json.loads((out / guest.id / "truth.json").read_text(encoding="utf-8"))
        assert truth["seed"] == guest.seed and truth["lifts"]
        assert (out / guest.id / "log.csv").read_text(encoding="utf-8").count("\n") > 20


@pytest.mark.parametrize("guest", [one.id for one in GUESTS])
def test_the_demo_says_what_the_verbs_say(out: Path, guest: str) -> None:
    """Referee: review, adapt and season on the files that the demo wrote, as a coach would type them."""
    folder, person = out / guest, out / "files" / "people" / f"{guest}.toml"
    block, log = folder / "block.json", folder / "log.csv"
    wanted = out / "files" / "seasons" / f"{guest}.toml"

    review = review_json(reviewed(block, [log]).review)
    assert review["findings"] and json.loads(json.dumps(review)) == json.loads((folder / "review.json").read_bytes())
    assert adapt(block, [log]).block.id == load_block(folder / "adapted" / "block.json").id
    found = season(person, wanted if wanted.is_file() else None, [log], [block])
    assert json.loads(json.dumps(season_json(found.view))) == json.loads((folder / "season.json").read_bytes())
    assert next_brief_text(found) == (folder / "next-brief.toml").read_text(encoding="utf-8")


def test_a_trainee_sees_no_chance_where_the_coach_wants_none(out: Path) -> None:
    shown, hidden = ((out / one / "season-trainee.html").read_text(encoding="utf-8") for one in ("dunja", "marit"))

    assert "chance in 10" in shown
    assert "Seated cable row" in hidden and "chance in 10" not in hidden and "8 times in 10" not in hidden


def test_the_same_files_twice(out: Path, tmp_path: Path) -> None:
    """Law: the same values give the same bytes."""
    run_demo(tmp_path)
    for path in sorted(out.rglob("*")):
        if path.is_file():
            assert path.read_bytes() == (tmp_path / path.relative_to(out)).read_bytes(), path
