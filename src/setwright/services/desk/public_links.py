"""A public edition behind a link: made from one revision of a block, with an end, private or for everybody."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, TypeVar

from django.db import transaction
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.plan.public import PublicEdition
from setwright.publish.catalogue_figure import Drawn
from setwright.publish.linked_data import in_a_page, linked_data
from setwright.publish.page import figures_of
from setwright.publish.public_report import public_pdf, public_text
from setwright.publish.public_words import edition_name, edition_words
from setwright.publish.talk_outline import USUAL_MINUTES, TalkItem, talk_outline
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
    about = asked_about(block, said)
    faults = []
    if said.get("days", "") not in DAYS_OPEN:
        faults.append(Fault("link", "open for", repr(said.get("days")), ", ".join(DAYS_OPEN.values())))
    if len(open_links(row)) >= MOST_OPEN:
        faults.append(Fault("link", "", f"{MOST_OPEN} open links", f"fewer than {MOST_OPEN}", "Withdraw one first."))
    title = ""
    try:
        title = looked_at(row, block, said).title
    except InputFaults as wrong:
        faults += wrong.faults
    if faults:
        raise InputFaults(faults)
    secret = secrets.token_urlsafe(SECRET_BYTES)
    days = said.get("days", "")
    made = models.Share.objects.create(
        trainee=row,
        what=PUBLIC,
        name=title[:120],
        digest=digest_of(secret),
        about=about,
        expires_at=timezone.now() + timedelta(days=int(days)) if days else None,
    )
    note(row.practice, by, "made a link to a public edition", row, "for everybody" if about["everybody"] else "private")
    return Shared(made, secret)


def asked_about(block: Block, said: dict[str, Any]) -> dict[str, Any]:
    """What a form asks for, as it is kept with a link."""
    return {
        "block": block.id,
        "week": said.get("week", ""),
        "day": said.get("day", ""),
        "title": str(said.get("title", "")).strip(),
        "talk": said.get("talk") or f"{USUAL_MINUTES}",
        "places": list(said.get("places", ())),
        "everybody": said.get("everybody") == "yes",
    }


def looked_at(row: models.Trainee, block: Block, said: dict[str, Any]) -> Made:
    """The edition that a form asks for, before there is a link. Raises InputFaults in the words of the form."""
    try:
        return made_edition(row, block, asked_about(block, said))
    except InputFaults as wrong:
        raise InputFaults(
            Fault(SAYS.get(one.file, one.file), one.path, one.found, one.allowed, one.hint) for one in wrong.faults
        ) from None


SAYS = {"--title": "title", "--place": "place", "--week": "week", "--day": "day", "--talk": "minutes of the talk"}


@dataclass(frozen=True)
class Made:
    """A public edition with the talk through each of its sessions, and its title."""

    edition: PublicEdition
    talks: tuple[tuple[TalkItem, ...], ...]
    title: str


def made_edition(row: models.Trainee, block: Block, about: dict[str, Any]) -> Made:
    """The public edition that a form or a link asks for. Raises InputFaults."""
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
    talks = tuple(talk_outline(edition, one, known, minutes) for one in edition.sessions)
    return Made(edition, talks, about["title"] or edition_name(edition, known))


def page_of(made: Made) -> dict[str, Any]:
    """The edition in ready sentences, with figures and the data for machines."""
    known = catalogue()
    data = edition_words(made.edition, made.talks, known, made.title)
    figures: list[Drawn] = figures_of([part for one in data["sessions"] for part in one["parts"]], known)
    linked = in_a_page(linked_data(made.edition, data["title"], made.talks, known))
    return {**data, "figures": figures, "linked": linked}


def paper_of(made: Made) -> bytes:
    """The edition on paper."""
    return public_pdf(made.edition, made.talks, catalogue(), made.title)


def text_of(made: Made) -> str:
    """The edition as plain text."""
    return public_text(made.edition, made.talks, catalogue(), made.title)


Form = TypeVar("Form")
REMEMBERED: dict[tuple[int, int, str], Any] = {}
MOST_REMEMBERED = 64


def edition_behind(share: models.Share, form: Callable[[Made], Form]) -> Form | None:
    """What a link shows, in one form; None where its block is no longer there.

    Anybody can ask for it again and again, so it is remembered until a place changes.
    """
    found = share.trainee.revisions.filter(block=share.about.get("block", "")).first()
    if found is None:
        return None
    newest = (
        models.Document.objects.filter(practice=share.trainee.practice).order_by("-id").values_list("id", flat=True)
    )
    key = (share.id, newest.first() or 0, form.__name__)
    made: Form = REMEMBERED.pop(key, None) or form(made_edition(share.trainee, block_of(found), share.about))
    REMEMBERED[key] = made
    while len(REMEMBERED) > MOST_REMEMBERED:
        REMEMBERED.pop(next(iter(REMEMBERED)), None)
    return made
