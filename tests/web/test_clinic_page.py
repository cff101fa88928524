"""The page for the clinic: only what was allowed goes out, what comes in is shown first and taken by rows."""

from __future__ import annotations

import json
import re
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from fhir.resources.R4B.bundle import Bundle

from setwright.records import models
from setwright.services.desk.people import person_of

MASS = {
    "resourceType": "Observation",
    "status": "final",
    "code": {"coding": [{"system": "http://loinc.org", "code": "29463-7"}]},
    "effectiveDateTime": "2026-09-01",
    "valueQuantity": {"value": 71.5, "system": "http://unitsofmeasure.org", "code": "kg"},
}
LIMIT = {
    "resourceType": "ServiceRequest",
    "status": "active",
    "intent": "order",
    "doNotPerform": True,
    "code": {"text": "Left knee flexion over 60 degrees"},
    "requester": {"display": "Invented Physiotherapist"},
}
LETTER = {"resourceType": "Condition", "code": {"text": "<b>Invented</b>"}}


def sent(*resources: dict[str, Any]) -> SimpleUploadedFile:
    """A file of a clinic."""
    bundle = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": one} for one in resources]}
    return SimpleUploadedFile("clinic.json", json.dumps(bundle).encode())


def address(gym: Any) -> str:
    return f"/t/{gym.trainee.id}/clinic/"


def hidden(page: str) -> dict[str, str]:
    """What the form below the preview carries."""
    return {
        key: unescape(value) for key, value in re.findall(r'type="hidden" name="(name|text)" value="([^"]*)"', page)
    }


def test_the_file_holds_the_pseudonym_and_nothing_that_was_not_allowed(gym: Any) -> None:
    """Referee: fhir.resources (R4B) reads the file."""
    answer = gym.as_coach().post(address(gym), {"deed": "write", "who": "pseudonym", "pseudonym": "P-17"})

    assert answer.status_code == 200 and answer["Content-Type"] == "application/fhir+json"
    assert "attachment" in answer["Content-Disposition"] and "no-store" in answer["Cache-Control"]
    text = answer.content.decode()
    assert len(Bundle.model_validate_json(text).entry) > 2
    assert "P-17" in text and gym.trainee.name not in text and "72514-3" not in text
    assert models.AuditEntry.objects.filter(trainee=gym.trainee, deed="wrote a file for a clinic").count() == 1


def test_their_name_goes_out_only_where_it_is_chosen(gym: Any) -> None:
    text = gym.as_coach().post(address(gym), {"deed": "write", "who": "name"}).content.decode()
    refused = gym.as_coach().post(address(gym), {"deed": "write", "who": "pseudonym", "pseudonym": " "})

    assert gym.trainee.name in text
    assert refused.status_code == 400 and "a pseudonym" in refused.content.decode()


def test_what_comes_in_is_shown_and_nothing_is_kept(gym: Any) -> None:
    before = gym.trainee.documents.count()

    page = gym.as_coach().post(address(gym), {"deed": "look", "file": sent(MASS, LIMIT, LETTER)}).content.decode()

    assert "Knee flexion under load: 60 degrees at most." in page and "71.5 kg" in page
    assert "Invented Physiotherapist" in page and "names nobody" in page
    assert "&lt;b&gt;Invented" in page and "<b>Invented" not in page
    assert "checked" not in page.split('id="brings"')[1]
    assert gym.trainee.documents.count() == before


def test_only_ticked_rows_are_taken(gym: Any) -> None:
    browser, old = gym.as_coach(), person_of(gym.trainee).trainee
    page = browser.post(address(gym), {"deed": "look", "file": sent(MASS, LIMIT)}).content.decode()
    assert len(hidden(page)) == 2

    nothing = browser.post(address(gym), {"deed": "take", **hidden(page)})
    assert nothing.status_code == 400 and person_of(gym.trainee).trainee == old
    answer = browser.post(address(gym), {"deed": "take", "row": ["1"], **hidden(page)})

    assert answer.status_code == 302
    new = person_of(gym.trainee).trainee
    assert new.body_mass_kg == old.body_mass_kg
    (limit,) = new.restrictions[len(old.restrictions) :]
    assert (limit.joint, limit.side, limit.set_by) == ("knee", "left", "Invented Physiotherapist")
    again = browser.post(address(gym), {"deed": "look", "file": sent(MASS, LIMIT)}).content.decode()
    assert "there already" in again


def test_a_new_limit_goes_out_before_any_block_keeps_it(gym: Any) -> None:
    browser = gym.as_coach()
    page = browser.post(address(gym), {"deed": "look", "file": sent(LIMIT)}).content.decode()
    browser.post(address(gym), {"deed": "take", "row": ["1"], **hidden(page)})

    text = browser.post(address(gym), {"deed": "write", "who": "name"}).content.decode()

    assert "Knee flexion under load: 60 degrees at most." in text


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"{", "no JSON"),
        (b"\xff\xfe", "UTF-8"),
        (b"{}", "a FHIR R4 Bundle"),
        (b" " * 2_000_001, "2.0 MB"),
        (b"", "no JSON"),
    ],
)
def test_what_can_not_be_read_is_one_sentence(gym: Any, data: bytes, says: str) -> None:
    answer = gym.as_coach().post(address(gym), {"deed": "look", "file": SimpleUploadedFile("clinic.json", data)})

    assert answer.status_code == 400 and says in unescape(answer.content.decode())
