"""The public edition: nothing of a person is in it, places are told apart honestly, the talk fills its minutes.

Referees: pypdfium2 for paper, ``html.parser`` and ``json`` of Python for pages, the vocabulary of schema.org.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from typing import Any

import pytest
from made_block import BRIEF, GYM, PERSON, estimates_of, made_block

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.faults import InputFaults
from setwright.people.place import Band, Place
from setwright.people.restriction_text import parse_restriction
from setwright.people.trainee import Goal, RangeMeasure
from setwright.plan.block import Block
from setwright.plan.design import design_block
from setwright.plan.gates import judge
from setwright.plan.pace import PACES
from setwright.plan.public import BARE, public_edition
from setwright.publish.block_file import block_to_dict
from setwright.publish.public_words import edition_words, effort_words
from setwright.publish.talk_outline import STEP_S, WORDS_A_MINUTE, shared_out, talk_outline
from setwright.services.public_edition import edition_of, personal_in, public_files

HOTEL = Place(
    "hotel-room",
    "A hotel room",
    bands=(Band("narrow", loop=True), Band("wide", heavy=True)),
    fixtures={"door": 1, "chair_bench": 1},
    invented=True,
)
EMPTY = Place("meadow", "A meadow", invented=True)


@cache
def told_block() -> Block:
    """The block of somebody of whom much is known: a limit with its reason, measures, wishes, a rare name."""
    knee = replace(
        parse_restriction("knee bends to 60 degrees"),
        id="lim-7731",
        reason="Torn meniscus of March, Quarkbeck clinic",
        set_by="Dr. Zelnik",
    )
    person = replace(
        PERSON,
        id="wendeline-x",
        name="Wendeline Quorrabee",
        birth_year=1987,
        body_mass_kg=71.3,
        stature_m=1.683,
        restrictions=(knee,),
        goals=(Goal("strength", "bench_bb", 1, target=93.5, unit="kg"),),
        range_measures=(RangeMeasure(PERSON.baselines[0].date, "knee_to_wall", 7.25, "cm"),),
        steps=(),
    )
    brief = replace(BRIEF, title="Wendeline after the knee", lifts=(), skill=None)
    return design_block(person, (GYM,), brief, catalogue(), estimates_of(person), limit=1.5)


def strings_in(value: object) -> Iterator[str]:
    """Every text below a value of JSON."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from strings_in(one)
    elif isinstance(value, list):
        for one in value:
            yield from strings_in(one)


def numbers_in(value: object) -> Iterator[float]:
    """Every number below a value of JSON."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        yield value
    elif isinstance(value, (dict, list)):
        for one in value.values() if isinstance(value, dict) else value:
            yield from numbers_in(one)


def everything_personal(block: Block) -> set[str]:
    """All free text of the inputs and the reasons, and the figures of the person, as they would be printed.

    Figures of two digits (2.5 years, 2.5 min of rest) tell of nobody, so those of three and more are looked for.
    """
    whole = block_to_dict(block)
    inputs: Any = whole["inputs"]
    person = inputs["trainee"]
    free = {one for one in strings_in(person) if one not in catalogue() and re.search(r"[A-Z .\d]", one)}
    free |= {person["id"], inputs["brief"]["title"], inputs["places"][0]["name"], block.id}
    free |= set(person["name"].split())
    figures = {f"{one:g}" for one in numbers_in(person) if one != int(one) and one > 1}
    free |= {one for one in figures if len(one) > 3}
    free.add(str(person["birth_year"]))
    for week in block.weeks:
        for session in week.sessions:
            free |= {entry.why for part in session.parts for entry in part.entries if entry.why}
    return {one for one in free if len(one) > 2 and one not in ("none", "strength")}


def words_of(block: Block, places: tuple[Place, ...] = ()) -> dict[str, Any]:
    edition = public_edition(block, catalogue(), places)
    talks = [talk_outline(edition, one, catalogue()) for one in edition.sessions]
    return edition_words(edition, talks, catalogue())


def text_of_pdf(data: bytes) -> str:
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def all_text(files: dict[str, bytes]) -> str:
    """All that the files say, marks of a page left as they are; only the lines of drawn figures are left out."""
    page = re.sub(r"<symbol.*?</symbol>|viewBox=\"[^\"]*\"", "", files["public.html"].decode(), flags=re.DOTALL)
    return page + files["public.txt"].decode() + text_of_pdf(files["public.pdf"])


def test_the_search_for_what_is_personal_finds_it_where_it_stands() -> None:
    """Guard of the guard: the ordinary page of the block holds the name, a reason and loads."""
    from setwright.publish.page import block_page

    page = block_page(told_block(), catalogue())
    found = {one for one in everything_personal(told_block()) if one in page}

    assert {"Quorrabee", "Dr. Zelnik", "Torn meniscus of March, Quarkbeck clinic"} <= found
    assert re.search(r"\d kg\b", page)


@pytest.mark.parametrize("made", [told_block, made_block], ids=["told", "plain"])
def test_nothing_of_the_person_and_no_load_is_in_any_file(made: Any) -> None:
    block = made()
    said = all_text(public_files(block, (HOTEL, EMPTY)))

    assert len(said) > 5000
    assert {one for one in everything_personal(block) if one in said} == set()
    assert not re.search(r"\d\s*(kg|lb)\b", said)


def test_a_limit_leaves_no_trace_in_how_an_exercise_is_set() -> None:
    """A cropped range, one side only, raised heels: all of them somebody's own."""
    dials = [
        key
        for session in public_edition(told_block(), catalogue()).sessions
        for one in session.entries
        for _, entry in one.by_week
        for key in entry.dials
    ]

    cropped = [
        entry
        for week in told_block().weeks
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
        if "range_deg" in entry.dials
    ]
    assert cropped, "the block of the test has no cropped entry: it would show nothing"
    assert not {"range_deg", "range_of", "side"} & set(dials)


def test_every_variant_can_be_done_in_its_place_and_nothing_good_is_said() -> None:
    known = catalogue()
    edition = public_edition(made_block(), known, (GYM, HOTEL, EMPTY))
    seen = {"same": 0, "other": 0, "none": 0}

    for session in edition.sessions:
        for one in session.entries:
            for place, variant in zip(edition.places, one.variants, strict=True):
                if variant.entry is None:
                    seen["none"] += 1
                    assert variant.ways, one.first.exercise
                    continue
                seen["same" if variant.is_same else "other"] += 1
                tokens = expand_tokens(place.tokens())
                assert judge(known.get(variant.entry.exercise), (), tokens, None).allowed
                stays = variant.entry.exercise == one.first.exercise
                assert stays == (variant.is_same or (variant.kept, variant.lost) == BARE)
    assert min(seen.values()) >= 3, seen


def test_a_stand_in_serves_once_where_another_one_is_good() -> None:
    from setwright.plan.public import TWICE

    edition = public_edition(made_block(), catalogue(), (HOTEL,))
    for session in edition.sessions:
        done = [one.variants[0] for one in session.entries if one.part != "warm-up"]
        names = [each.entry.exercise for each in done if each.entry is not None]
        twice = [each for each in done if TWICE in each.lost]
        assert len(names) - len(set(names)) <= len(twice)


@pytest.mark.parametrize("minutes", [12, 20, 45.5])
def test_the_talk_fills_its_minutes_and_each_stretch_can_be_spoken_in_its_time(minutes: float) -> None:
    edition = public_edition(made_block(), catalogue(), (HOTEL,), (1,))
    for session in edition.sessions:
        talk = talk_outline(edition, session, catalogue(), minutes)

        assert sum(one.seconds for one in talk) == minutes * 60
        assert [one.start_s for one in talk] == [sum(b.seconds for b in talk[:n]) for n in range(len(talk))]
        for one in talk:
            words = len(" ".join([one.title, *(each.text for each in one.says)]).split())
            assert words / WORDS_A_MINUTE * 60 <= one.seconds
        named = [one.first.exercise for one in session.entries if one.part != "warm-up"]
        assert len(talk) == len(named) + 3  # effort, warm-up, each entry, the end


def test_more_minutes_never_say_less_and_cautions_are_said_in_the_shortest_talk() -> None:
    edition = public_edition(made_block(), catalogue(), (), (1,), "mon")
    session = edition.sessions[0]
    with pytest.raises(InputFaults) as short:
        talk_outline(edition, session, catalogue(), 1)
    least = int(re.search(r"(\d+) minutes or more", str(short.value))[1])  # type: ignore[index]

    tight, wide = (talk_outline(edition, session, catalogue(), one) for one in (least, 60))

    assert all(len(a.says) <= len(b.says) for a, b in zip(tight, wide, strict=True))
    said = " ".join(each.text for one in tight for each in one.says if each.kind == "careful")
    cautions = {one for entry in session.entries for one in entry.first.cautions}
    assert cautions
    assert not [one for one in cautions if one not in said]


def test_time_is_shared_out_to_the_last_step_by_weight() -> None:
    """Referee: the largest-remainder method by hand: 7 steps by 4, 2 and 1; then 5 steps by three equals."""
    assert shared_out(7 * STEP_S, [4, 2, 1]) == [4 * STEP_S, 2 * STEP_S, STEP_S]
    assert shared_out(5 * STEP_S, [1, 1, 1]) == [2 * STEP_S, 2 * STEP_S, STEP_S]


# Which property may stand at which type, with what in it; source: schema.org/ExercisePlan (seen: its own properties),
# step and totalTime of a HowTo, the ends of a QuantitativeValue (seen second-hand, in documentation made from the
# vocabulary); what they have from /CreativeWork and /Thing (from memory). The names themselves: test_linked_data.
VOCABULARY: dict[str, dict[str, tuple[type | str, ...]]] = {
    "ExercisePlan": {
        "name": (str,),
        "description": (str,),
        "inLanguage": (str,),
        "hasPart": ("ExercisePlan", "HowTo"),
        "activityDuration": ("Duration",),
        "activityFrequency": (str,),
        "additionalVariable": (str,),
        "exerciseType": (str,),
        "intensity": (str,),
        "repetitions": (int, "QuantitativeValue"),
        "restPeriods": (str,),
    },
    "HowTo": {"name": (str,), "totalTime": ("Duration",), "step": ("HowToStep",)},
    "HowToStep": {"name": (str,), "text": (str,), "position": (int,)},
    "QuantitativeValue": {"minValue": (int,), "maxValue": (int,)},
}
DURATION = re.compile(r"PT(\d+M)?(\d+S)?")  # ISO 8601


class LinkedData(HTMLParser):
    """The JSON-LD of a page, and whether every element is closed in order."""

    VOID = ("meta", "br", "link", "img", "input", "hr")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.found: list[str] = []
        self.links: list[str] = []
        self.ids: list[str] = []
        self.in_data = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("href", "src")]
        self.ids += [value or "" for name, value in attrs if name == "id"]
        if tag == "script":
            assert dict(attrs) == {"type": "application/ld+json"}
            self.in_data = True

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag
        self.in_data = False

    def handle_data(self, data: str) -> None:
        if self.in_data:
            self.found.append(data)


def page_of(**asked: Any) -> LinkedData:
    reader = LinkedData()
    reader.feed(public_files(made_block(), (HOTEL,), formats=("html",), **asked)["public.html"].decode())
    return reader


def check_node(node: dict[str, Any]) -> int:
    """Holds one node against the table; gives how many there are below it, itself included."""
    allowed = VOCABULARY[node["@type"]]
    count = 1
    for key, value in node.items():
        if key in ("@type", "@context"):
            continue
        assert key in allowed, f"{node['@type']} has no {key}"
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, dict):
                assert one["@type"] in allowed[key]
                count += check_node(one)
            elif allowed[key] == ("Duration",):
                assert DURATION.fullmatch(one) and one != "PT"
            else:
                assert type(one) in allowed[key], (key, one)
    return count


@pytest.mark.parametrize("asked", [{}, {"weeks": (1,), "day": "mon"}], ids=["block", "session"])
def test_machines_find_the_session_in_a_known_vocabulary(asked: dict[str, Any]) -> None:
    page = page_of(**asked)
    (text,) = page.found
    data = json.loads(text)

    assert data["@context"] == "https://schema.org"
    assert check_node(data) > 10
    assert "Person" not in text and "author" not in text


def test_a_page_stands_alone_and_is_closed_in_order() -> None:
    page = page_of()

    assert page.open == []
    assert {"#talk-1", "#places-1"} <= set(page.links)
    assert {one.removeprefix("#") for one in page.links} <= set(page.ids)
    assert len(page.ids) == len(set(page.ids))


def test_a_title_cannot_end_the_data_of_machines() -> None:
    """HTML: an element script ends at the first end tag in it; so none may stand in the data."""
    page = page_of(title="Legs </script><script>alert(1)</script> & more")

    assert json.loads(page.found[0])["name"] == "Legs </script><script>alert(1)</script> & more"


def test_a_title_or_place_that_tells_of_somebody_is_refused() -> None:
    with pytest.raises(InputFaults, match="the trainee's name"):
        edition_of(told_block(), (), (), "", "Legs with wendeline")
    with pytest.raises(InputFaults, match="the joint of a limitation"):
        edition_of(told_block(), (), (), "", "Strong after the knee")
    with pytest.raises(InputFaults, match="--place"):
        edition_of(told_block(), (replace(HOTEL, name="Quorrabee's garage"),))
    assert personal_in("Three lifts for a hotel", told_block()) == []


def test_weeks_that_ask_the_same_are_said_once() -> None:
    edition = public_edition(made_block(), catalogue())
    entries = [one for session in edition.sessions for one in session.entries]

    for one in entries:
        weeks = [week for run, _ in one.by_week for week in run]
        assert weeks == sorted(set(weeks))
        assert all(a != b for (_, a), (_, b) in zip(one.by_week, one.by_week[1:], strict=False))
    assert any(len(one.by_week) > 1 for one in entries)


def test_each_week_names_the_load_that_its_own_effort_leaves() -> None:
    """Referee: what can be lifted is what is done and what is left, for each row by itself."""
    data = words_of(made_block())
    rows = [
        row
        for session in data["sessions"]
        for part in session["parts"]
        for e in part["entries"]
        for row in e["by_week"]
    ]
    told = [row for row in rows if row["load"]]

    assert len({row["load"] for row in told}) > 2
    for row in told:
        low, high = (int(one) for one in re.search(r"x (\d+)-(\d+)", row["dose"]).groups())  # type: ignore[union-attr]
        left = float(re.search(r"about ([\d.]+) left", row["dose"])[1])  # type: ignore[index]
        said = [int(one) for one in re.findall(r"\d+", row["load"])]
        assert said[0] <= low + left and high + left <= said[-1]
        assert said[-1] - said[0] <= high - low + 1


def test_conditioning_says_how_hard_it_is_in_every_place() -> None:
    edition = public_edition(made_block(), catalogue(), (GYM, HOTEL, EMPTY))
    pieces = [one for s in edition.sessions for one in s.entries if one.part == "conditioning"]

    assert pieces
    for one in pieces:
        for entry in (one.first, *(each.entry for each in one.variants if each.entry is not None)):
            assert effort_words(entry) in PACES


def test_nobody_walks_in_pieces_of_seconds() -> None:
    """Referee: 4 pieces of 40 s with rests of 60 s are 400 s; in whole minutes 7."""
    block = written("Block: Bike\nDay 1\nConditioning\nstationary bike 4 x 40 s, rest 60 s; brisk, not all-out\n")
    (session,) = public_edition(block, catalogue(), (EMPTY,)).sessions
    (bike,) = [one for one in session.entries if one.part == "conditioning"]
    there = bike.variants[0].entry

    assert there is not None and there.exercise == "walk"
    assert [one.time_s for one in there.sets] == [420.0]
    assert effort_words(there) == "brisk, not all-out"


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("us-letter", (612.0, 792.0))])
def test_paper_has_its_size_and_every_movement_with_its_talk(paper: Any, size: tuple[float, float]) -> None:
    """Referees: ISO 216 and ANSI Letter (from memory); pypdfium2 reads the text back."""
    import pypdfium2

    made = public_files(made_block(), (HOTEL,), (1,), "mon", paper=paper, formats=("pdf",))["public.pdf"]
    text = " ".join(text_of_pdf(made).split())

    assert pypdfium2.PdfDocument(made)[0].get_size() == pytest.approx(size, abs=0.6)
    for one in public_edition(made_block(), catalogue(), (), (1,), "mon").sessions[0].entries:
        name = catalogue().get(one.first.exercise).name
        assert text.lower().count(name) >= 2
    assert "The talk, in 20 minutes" in text and "What for:" in text


def test_the_same_edition_has_the_same_bytes() -> None:
    asked = {"places": (HOTEL,), "weeks": (1,), "day": "mon"}

    assert public_files(made_block(), **asked) == public_files(made_block(), **asked)  # type: ignore[arg-type]


EVERYTHING = """Block: All of it
Monday
back squat top set of 5 @ RPE 8, then 3 x 5 at 10 % less
A bench press 3 x 5 @ 62.5 kg
A seated cable row 3 x 10 @ RIR 2
leg extension 2 x 12, rest-pause
dumbbell curl 3 x 12, drop set
bench press 3 x (2+2+2) @ 80 %, 20 s inside
wall sit 3 x 20 s at 60 degrees + 20 s at 90 degrees
farmer's carry 4 x 20 m
Conditioning
bike 5 x 3 min at 187 watts, rest 2 min
rower 20 min, heart rate 141-152

as many rounds as possible in 12 min:
goblet squat 8 reps @ 12 kg
push-up 10 reps
"""


@cache
def written_block() -> Block:
    """A block written by hand with every kind of set and targets of somebody's own."""
    return written(EVERYTHING.replace("leg extension", "leg press"))


def written(text: str) -> Block:
    """A block written by hand for the invented person, from one day a week on."""
    from setwright.plan.shorthand import read_block_text
    from setwright.plan.written import fit_written
    from setwright.services.deeds import plain_brief

    brief = plain_brief("All of it", 1, 1, BRIEF.start)
    return fit_written(read_block_text(text, catalogue()), PERSON, (GYM,), brief, catalogue(), estimates_of())


def test_every_kind_of_set_is_published_without_loads_and_targets_of_somebodys_own() -> None:
    files = public_files(written_block(), (HOTEL,), talk=40)
    said = all_text(files)

    assert not re.search(r"\d\s*(kg|lb)\b", said)
    assert not re.search(r"\b(187|141|152)\b", said) and "watts" not in said
    text = files["public.txt"].decode()
    for one in ("1 x 5, then 3 x 5", "2 + 2 + 2 with 20 s inside", "drop the load", "4 x 20 m", "As many rounds"):
        assert one in text, one


def test_every_kind_of_set_is_kept_and_stands_on_the_sheet_of_a_group() -> None:
    from setwright.publish.group_sheet import Participant, group_data, group_pdf
    from setwright.services.kept import read_for, text_to_keep

    block = written_block()
    text = text_to_keep(block)
    again, _ = read_for(text, PERSON, (GYM,), days=("mon",))
    entries = [e for part in block.weeks[0].sessions[0].parts if part.part != "warm-up" for e in part.entries]
    data = group_data([Participant("Ada", block, block.weeks[0], block.weeks[0].sessions[0])], BRIEF.start, catalogue())

    assert " kg" not in text and not re.search(r"\b(187|141|152)\b", text)
    assert [e.exercise for e in again.template.sessions[0].entries] == [e.exercise for e in entries]
    assert len(text_of_pdf(group_pdf(data, catalogue()))) > 300


@pytest.mark.long
@pytest.mark.parametrize("guest", ["marit", "dunja", "joris", "selma", "tarek"])
def test_nothing_of_anybody_of_the_demo_is_in_their_public_edition(guest: str, tmp_path: Any) -> None:
    from setwright.services.deeds import design
    from setwright.services.demo import unpack

    data = unpack(tmp_path)
    block = design(data / "people" / f"{guest}.toml", data / "briefs" / f"{guest}.toml")
    said = all_text(public_files(block, (HOTEL, EMPTY)))

    assert {one for one in everything_personal(block) if one in said} == set()
    assert not re.search(r"\d\s*(kg|lb)\b", said)


def test_what_stays_without_its_load_says_so() -> None:
    """Referee: the room, which has nothing that could be weighed."""
    block = written("Block: Lunges\nDay 1\nwalking lunge 3 x 8-12\npull-up 3 x 5\npush-up 3 x 10\n")
    (session,) = public_edition(block, catalogue(), (GYM, EMPTY)).sessions
    at = {one.first.exercise: one.variants for one in session.entries}

    here, bare = at["walk_lunge"]
    assert here.is_same and not bare.is_same and bare.entry == here.entry
    assert bare.lost.startswith("its load")
    assert at["pushup"][1].is_same  # never had one
