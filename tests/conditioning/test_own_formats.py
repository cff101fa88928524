"""A coach's own format of conditioning: one small file, named on a line by its words, checked with every fault."""

from __future__ import annotations

import json
import tomllib
from importlib import resources

import pytest

from setwright.catalogue.load import catalogue, catalogue_with
from setwright.cli.main import run
from setwright.faults import InputFaults
from setwright.plan.bout import Bout
from setwright.plan.formats import BUILT_IN, formats_of, packaged_formats, read_format
from setwright.plan.shorthand import read_block_text
from setwright.services.gather import sure_kind_of
from setwright.services.templates import template_text

TEXT = template_text("format")
OWN = catalogue_with((("formats/station-intervals.toml", TEXT),))


def test_the_template_is_a_format_that_reads() -> None:
    one = read_format("formats/station-intervals.toml", TEXT)

    assert one.like == "intervals" and (one.usual.rounds, one.usual.work_s, one.usual.rest_s) == (10, 30.0, 30.0)
    assert sure_kind_of(TEXT) == "format"


@pytest.mark.parametrize("line", ["bike, station intervals", "row, ten by thirty"])
def test_it_is_named_on_a_line_by_its_words(line: str) -> None:
    (entry,) = read_block_text(line, OWN).template.sessions[0].entries
    scheme = entry.schemes[0]

    assert entry.exercise in ("bike", "rower") and entry.bouts == (Bout("station-intervals", rounds=10),)
    assert scheme is not None and (scheme.sets, scheme.time_s, scheme.rest_s) == (10, 30.0, 30.0)


def test_it_travels_with_the_catalogue_and_touches_no_exercise() -> None:
    assert set(formats_of(OWN)) - set(packaged_formats()) == {"station-intervals"}
    assert set(OWN.exercises) == set(catalogue().exercises)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (('like = "intervals"', 'like = "sprints"'), "like: found 'sprints'; allowed: rounds-for-time"),
        (("fatigue = 3.0", "fatigue = 30"), "fatigue: found 30; allowed: a number from 0 to 10 hard sets"),
        (('growth = "rounds"', 'grows = "rounds"'), "grows: found an unknown key"),
        (("rounds = 10", "rounds = 0"), "usual.rounds: found 0"),
    ],
)
def test_a_wrong_file_names_its_fault(change: tuple[str, str], expected: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_format("formats/station-intervals.toml", TEXT.replace(*change))

    assert expected in str(caught.value)


def test_a_built_in_format_keeps_its_name_and_words_belong_to_one() -> None:
    with pytest.raises(InputFaults, match="which is built in"):
        formats_of(catalogue_with(((f"formats/{BUILT_IN[0]}.toml", TEXT.replace('"intervals"', f'"{BUILT_IN[0]}"')),)))
    with pytest.raises(InputFaults, match="a word that intervals does not answer to"):
        formats_of(catalogue_with((("formats/mine.toml", TEXT.replace("ten by thirty", "repeats")),)))


def test_other_numbers_beside_a_format_with_its_own_are_a_fault() -> None:
    with pytest.raises(InputFaults, match="its numbers are its own"):
        read_block_text("bike 6 x 40 s, station intervals", OWN)


def test_the_shelf_lists_every_format_with_what_it_means(capsys: pytest.CaptureFixture[str]) -> None:
    """Referee: the files themselves, read by the standard library."""
    assert run(["catalogue", "--formats", "--json"]) == 0
    rows = {one["format"]: one for one in json.loads(capsys.readouterr().out)}
    folder = resources.files("setwright.plan").joinpath("data", "formats")
    files = {one.name.removesuffix(".toml"): tomllib.loads(one.read_text("utf-8")) for one in folder.iterdir()}

    assert set(rows) == set(files) and len(rows) >= 8
    assert all(rows[name][key] == files[name][key] for name in files for key in ("what", "rule", "fatigue", "log"))
    assert rows["as-many-rounds"]["shared_by_movements"] and not rows["steady"]["shared_by_movements"]
    assert run(["catalogue", "--formats"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "Score: rounds + reps of the round begun" in text and "Also called EMOM" in text
