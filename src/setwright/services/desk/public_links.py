"""A public edition behind a link: made from one revision of a block, with an end, private or for everybody."""

from __future__ import annotations

import secrets
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.publish.catalogue_figure import Drawn
from setwright.publish.linked_data import in_a_page, linked_data
from setwright.publish.page import figures_of
from setwright.publish.public_words import edition_words
from setwright.publish.talk_outline import USUAL_MINUTES, talk_outline
from setwright.records import models
from setwright.records.data_base import block_of
from setwright.services.desk.people import places_of
from setwright.services.desk.practice import digest_of, note
from setwright.services.desk.sharing import DAYS_OPEN, MOST_OPEN, PUBLIC, SECRET_BYTES, Shared, open_links
from setwright.services.gather import catalogue
from setwright.services.public_edition import MOST_PLACES, edition_of


@transaction.atomic
def make_public_link(row: models.Trainee, block: Block, said: dict[str, Any], by: Any) -> Shared:
    """A link to the public edition of a block, as a form asks for it. Raises InputFaults.

    said : ``week`` and ``day`` (empty: all), ``title``, ``talk`` minutes, ``places`` (ids), ``days`` it is open,
        ``everybody`` ("yes": search engines may keep it)
    """
    about = {
        "block": block.id,
        "week": said.get("week", ""),
        "day": said.get("day", ""),
        "title": str(said.get("title", "")).strip(),
        "talk": said.get("talk") or f"{USUAL_MINUTES}",
        "places": list(said.get("places", ())),
        "everybody": said.get("everybody") == "yes",
    }
    faults = []
    if said.get("days", "") not in DAYS_OPEN:
        faults.append(Fault("link", "open for", repr(said.get("days")), ", ".join(DAYS_OPEN.values())))
    if len(open_links(row)) >= MOST_OPEN:
        faults.append(Fault("link", "", f"{MOST_OPEN} open links", f"fewer than {MOST_OPEN}", "Withdraw one first."))
    try:
        public_values(row, block, about)
    except InputFaults as wrong:
        faults += [
            Fault(SAYS.get(one.file, one.file), one.path, one.found, one.allowed, one.hint) for one in wrong.faults
        ]
    if faults:
        raise InputFaults(faults)
    secret = secrets.token_urlsafe(SECRET_BYTES)
    days = said.get("days", "")
    made = models.Share.objects.create(
        trainee=row,
        what=PUBLIC,
        name=about["title"][:120],
        digest=digest_of(secret),
        about=about,
        expires_at=timezone.now() + timedelta(days=int(days)) if days else None,
    )
    note(row.practice, by, "made a link to a public edition", row, "for everybody" if about["everybody"] else "private")
    return Shared(made, secret)


SAYS = {"--title": "title", "--place": "place", "--week": "week", "--day": "day", "--talk": "minutes of the talk"}


def public_values(row: models.Trainee, block: Block, about: dict[str, Any]) -> dict[str, Any]:
    """The public edition in ready sentences, with figures and the data for machines. Raises InputFaults."""
    known, here = catalogue(), places_of(row.practice)
    faults = []
    lacking = [one for one in about["places"] if one not in here]
    if lacking:
        faults.append(Fault("--place", "", repr(lacking[0]), "a place of the practice: " + ", ".join(here)))
    if len(about["places"]) > MOST_PLACES:
        faults.append(Fault("--place", "", f"{len(about['places'])} places", f"at most {MOST_PLACES} side by side"))
    week = str(about["week"])
    if week and not week.isdigit():
        faults.append(Fault("--week", "", repr(week), "the number of a week"))
    try:
        minutes = float(str(about["talk"]).replace(",", "."))
    except ValueError:
        faults.append(Fault("--talk", "", repr(about["talk"]), "a number of minutes"))
    if faults:
        raise InputFaults(faults)
    places = [here[one] for one in dict.fromkeys(about["places"])]
    edition = edition_of(block, places, (int(week),) if week else (), str(about["day"]), about["title"])
    talks = [talk_outline(edition, one, known, minutes) for one in edition.sessions]
    data = edition_words(edition, talks, known, about["title"])
    figures: list[Drawn] = figures_of([part for one in data["sessions"] for part in one["parts"]], known)
    linked = in_a_page(linked_data(edition, data["title"], talks, known))
    return {**data, "figures": figures, "linked": linked}


REMEMBERED: dict[tuple[int, int], dict[str, Any]] = {}
MOST_REMEMBERED = 32


def edition_behind(share: models.Share) -> dict[str, Any] | None:
    """What a link shows; None where its block is no longer there.

    Anybody can ask for it again and again, so it is remembered until a place changes.
    """
    found = share.trainee.revisions.filter(block=share.about.get("block", "")).first()
    if found is None:
        return None
    newest = (
        models.Document.objects.filter(practice=share.trainee.practice).order_by("-id").values_list("id", flat=True)
    )
    key = (share.id, newest.first() or 0)
    values = REMEMBERED.pop(key, None) or public_values(share.trainee, block_of(found), share.about)
    REMEMBERED[key] = values
    while len(REMEMBERED) > MOST_REMEMBERED:
        REMEMBERED.pop(next(iter(REMEMBERED)), None)
    return dict(values)
