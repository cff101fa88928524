"""What goes out of a block with conditioning says the format of each bout, not its movements alone.

Referees: fhir.resources (R4B) and icalendar read the files; of the public page, the headings of its plain text.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, time

import pytest
from conditioning_floor import block_of
from fhir.resources.R4B.bundle import Bundle
from icalendar import Calendar

from setwright.catalogue.load import catalogue
from setwright.publish.calendar_file import block_calendar
from setwright.publish.clinic_bundle import Outgoing, clinic_bundle, clinic_values
from setwright.services.public_edition import public_files
from setwright.strength.logged import Log

TEXT = """Mon
back squat 2 x 5 @ 7

every minute on the minute for 6 min: 5 push-ups, 8 bodyweight squats

rower 20 min, talk test: whole sentences
"""
SAID = ["Every minute on the minute for 6 min", "Steady work, so that you can say whole sentences"]


def clinic() -> str:
    block, may = block_of(TEXT), Outgoing("Probe")
    data = json.loads(clinic_bundle(block, clinic_values(block, Log(), (), may), may, catalogue()))
    plan = next(
        one.resource for one in Bundle.model_validate(data).entry if one.resource.get_resource_type() == "CarePlan"
    )
    return str(plan.activity[0].detail.description)


def dates() -> str:
    event = Calendar.from_ical(
        block_calendar(block_of(TEXT), catalogue(), time(18), datetime(2026, 1, 1, tzinfo=UTC))
    ).walk("VEVENT")[0]
    return str(event["DESCRIPTION"])


@pytest.mark.parametrize("told", [clinic, dates])
def test_a_session_says_the_heading_of_each_bout_once_before_its_movements(told: Callable[[], str]) -> None:
    lines = told().splitlines()

    at = [lines.index(one) for one in SAID]
    assert lines[at[0] + 1 : at[0] + 3] == ["push-up: 5 reps", "bodyweight squat: 8 reps"]
    assert at[1] == at[0] + 3 and lines[at[1] + 1].startswith("rowing machine")


def test_the_page_for_machines_says_of_each_movement_which_bout_it_is_of() -> None:
    files = public_files(block_of(TEXT), title="Mixed", formats=("html", "txt"))
    page, text = files["public.html"].decode(), files["public.txt"].decode()
    data = json.loads(page.partition('<script type="application/ld+json">')[2].partition("</script>")[0])

    told = {one["name"]: one.get("additionalVariable", "") for one in data["hasPart"]}

    assert all(one in text for one in SAID)
    assert told["Push-up"] == f"5 reps; {SAID[0]}" and told["Bodyweight squat"] == f"8 reps; {SAID[0]}"
    assert told["Rowing machine"].endswith(f"; {SAID[1]}")
    assert ";" not in told["Barbell back squat"]
