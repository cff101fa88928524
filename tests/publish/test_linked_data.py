"""The public page for machines, read as linked data.

Referee: rdflib, a library for RDF: its reader of JSON-LD 1.1, and the names of schema.org that come with it. The
context is given here: ``https://schema.org`` would be fetched, and says the same of these names (every name without a
prefix is one of the vocabulary; its file jsonldcontext.json, from memory).
"""

from __future__ import annotations

import json
from html.parser import HTMLParser
from typing import Any

import pytest
from made_block import GYM, PERSON, START, estimates_of
from rdflib import RDF, BNode, Graph, Literal, URIRef
from rdflib.namespace import SDO

from setwright.catalogue.load import catalogue
from setwright.plan.block import Block
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.services.deeds import plain_brief
from setwright.services.public_edition import public_files

TEXT = """Monday
front squat 4 x 5-6 @ RPE 8, rest 3 min
A bench press 3 x 6-8 @ RIR 2
A seated cable row 3 x 8-10 @ RIR 2
plank 3 x 30 s
Thursday
deadlift 3 x 4-5 @ RIR 2
overhead press 3 x 6-8 @ RIR 2
farmer's carry 3 x 20 m
"""
CONTEXT = {"@vocab": str(SDO)}


def invented_block() -> Block:
    """Two days written for the invented person of these tests."""
    written = read_block_text(TEXT, catalogue())
    brief = plain_brief("Two days", written.weeks, 2, START)
    return fit_written(written, PERSON, (GYM,), brief, catalogue(), estimates_of())


class DataOfPage(HTMLParser):
    """The text of the element for machines."""

    def __init__(self) -> None:
        super().__init__()
        self.is_in, self.text = False, ""

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.is_in = tag == "script"

    def handle_endtag(self, tag: str) -> None:
        self.is_in = False

    def handle_data(self, data: str) -> None:
        self.text += data if self.is_in else ""


def data_of_page() -> dict[str, Any]:
    reader = DataOfPage()
    files = public_files(invented_block(), title="Two days of lifting", formats=("html",))
    reader.feed(files["public.html"].decode())
    found: dict[str, Any] = json.loads(reader.text)
    return found


def graph_of(data: dict[str, Any]) -> Graph:
    """The statements in the data of a page."""
    assert data["@context"] == "https://schema.org"
    return Graph().parse(data=json.dumps({**data, "@context": CONTEXT}), format="json-ld")


def unknown_names(graph: Graph) -> set[str]:
    """Types and properties that the vocabulary does not have."""
    used = {str(p) for p in graph.predicates()} - {str(RDF.type)} | {str(o) for o in graph.objects(None, RDF.type)}
    return {one for one in used if not one.startswith(str(SDO)) or one.removeprefix(str(SDO)) not in SDO}


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    return data_of_page()


def test_every_name_on_the_page_is_one_of_the_vocabulary(data: dict[str, Any]) -> None:
    graph = graph_of(data)

    assert len(graph) > 100
    assert unknown_names(graph) == set()


def test_a_name_that_is_none_is_noticed(data: dict[str, Any]) -> None:
    assert unknown_names(graph_of({**data, "loadInKilograms": 80})) == {f"{SDO}loadInKilograms"}
    assert unknown_names(graph_of({**data, "@type": "Workout"})) == {f"{SDO}Workout"}


def test_nothing_of_the_page_is_lost_on_the_way_to_statements(data: dict[str, Any]) -> None:
    """A reader drops a key that it can't place: as many types and values come out as went in."""

    def counted(value: Any) -> tuple[int, int]:
        if isinstance(value, list):
            pairs = [counted(one) for one in value]
        elif isinstance(value, dict):
            pairs = [(1, 0), *(counted(one) for key, one in value.items() if not key.startswith("@"))]
        else:
            return 0, 1
        return sum(nodes for nodes, _ in pairs), sum(values for _, values in pairs)

    graph = graph_of(data)
    nodes, values = counted(data)

    assert nodes > 20
    assert len(list(graph.subjects(RDF.type))) == nodes
    assert sum(isinstance(one, Literal) for one in graph.objects()) == values
    assert not [one for one in graph.subjects() if not isinstance(one, (BNode, URIRef))]


def test_the_sessions_and_their_repetitions_can_be_asked_for(data: dict[str, Any]) -> None:
    """Referee: SPARQL over the statements against the block itself."""
    graph = graph_of(data)
    rows = graph.query(
        """PREFIX s: <https://schema.org/>
        SELECT ?session ?name ?low ?high WHERE {
            ?whole s:name "Two days of lifting"; s:hasPart ?part .
            ?part s:name ?session; s:hasPart ?entry .
            ?entry a s:ExercisePlan; s:name ?name; s:repetitions [s:minValue ?low; s:maxValue ?high] }"""
    )
    asked = {(str(row.name).lower(), int(row.low), int(row.high)) for row in rows}  # type: ignore[union-attr]
    block = invented_block()
    planned = {
        one.working_sets[0].reps
        for session in block.weeks[0].sessions
        for part in session.parts
        for one in part.entries
        if one.working_sets
    }

    assert len(asked) >= 4
    assert {(low, high) for _, low, high in asked} <= planned
    assert all(low < high for _, low, high in asked)
