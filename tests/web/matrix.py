"""Who may open what, as a table: one entry for every address of the application, held against the application itself.

Two ideas carry this module. One: the addresses come from the application; a new one without an entry fails the test.
Two: each entry that changes something carries what a form would send, so that a check that is missing is seen in the
data, not only in the status.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.core.files.base import ContentFile
from django.test import Client
from django.urls import get_resolver
from django.utils import timezone
from practice import PASSWORD, Gym

from setwright.records import models
from setwright.services.desk.people import keep_trainee
from setwright.services.desk.practice import invite, take_invitation

EVERYBODY = frozenset({"nobody", "trainee", "other trainee", "coach", "other coach", "owner", "stranger"})
LOGGED_IN = EVERYBODY - {"nobody"}
COACHES = frozenset({"coach", "other coach", "owner", "stranger"})
OF_THE_PRACTICE = frozenset({"coach", "other coach", "owner"})
THEIR_COACH = frozenset({"coach"})
SELF_OR_COACH = frozenset({"trainee", "coach"})
SELF = frozenset({"trainee"})
TRAINEES = frozenset({"trainee", "other trainee"})
OWNER, OWNERS = frozenset({"owner"}), frozenset({"owner", "stranger"})
NOBODY_AT_ALL: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Entry:
    """Who may open an address; what a form or a phone sends there; whether that changes the data for those who may.

    sends : a form, or a value that goes as JSON where ``is_json``; ``{name}`` stands for one of ``things``
    may_lack : those who may open it can lack what it shows, and are told "not there" then
    """

    who: frozenset[str]
    sends: Mapping[str, Any] = field(default_factory=dict)
    changes: bool = False
    is_json: bool = False
    may_lack: bool = False


@dataclass(frozen=True)
class World:
    """The invented practice with everybody in it, and one of everything that an address can name."""

    gym: Gym
    users: Mapping[str, Any]
    names: Mapping[str, Any]

    def browser(self, role: str) -> Client:
        """A browser in which somebody of a role is logged in, and has just given the password once more."""
        client = Client()
        if role != "nobody":
            client.force_login(self.users[role])
            client.post("/in/reauthenticate/", {"password": PASSWORD})
        return client

    def ask(self, browser: Client, method: str, route: str, entry: Entry) -> Any:
        """One request, with what the entry sends."""
        address = address_of(route, self.names)
        if method == "get":
            return browser.get(address)
        if entry.is_json:
            return browser.generic(method.upper(), address, json.dumps(entry.sends), content_type="application/json")
        if method == "post":
            return browser.post(address, {key: str(one).format(**self.names) for key, one in entry.sends.items()})
        return browser.generic(method.upper(), address)


# What each role must never read: the names of those who are not theirs.
SECRET_NAMES = {
    "nobody": ("Ode Invented", "Una Invented", "Pim Invented"),
    "trainee": ("Una Invented", "Pim Invented"),
    "other trainee": ("Ode Invented", "Pim Invented"),
    "coach": ("Pim Invented",),
    "other coach": ("Ode Invented", "Una Invented", "Pim Invented"),
    "owner": ("Ode Invented", "Una Invented", "Pim Invented"),
    "stranger": ("Ode Invented", "Una Invented"),
}


def make_world(gym: Gym, intake: str, place: str) -> World:
    """Everybody: an owner without trainees, a coach with two, another coach, and those of another practice."""
    from setwright.services.desk.people import keep_place

    owner, row = gym.coach, gym.trainee
    coach_user = take_invitation(invite(owner, "Cara").secret, "cara", PASSWORD)
    other_user = take_invitation(invite(owner, "Dora").secret, "dora", PASSWORD)
    coach = models.Coach.objects.get(user=coach_user)
    row.coach = coach
    row.save(update_fields=["coach"])
    una = keep_trainee(coach, intake)
    una_user = take_invitation(invite(coach, una.name, una).secret, "una", PASSWORD)
    keep_place(owner, place)
    users = {
        "trainee": row.user,
        "other trainee": una_user,
        "coach": coach_user,
        "other coach": other_user,
        "owner": owner.user,
        "stranger": gym.stranger.user,
    }
    return World(gym, users, things(gym, coach, row))


def things(gym: Gym, coach: models.Coach, row: models.Trainee) -> dict[str, Any]:
    """One of everything that an address can name, all of the one trainee."""
    from setwright.services.desk.hours import new_hour
    from setwright.services.desk.importing import keep_upload, read_sheets
    from setwright.services.desk.kept_sessions import keep_session

    job = models.Job.objects.create(practice=row.practice, trainee=row, deed="adapt", asked={}, by=coach.user)
    note = row.notes.create(id=uuid.uuid4(), day=gym.today, text="knees ache", is_from_coach=False)
    cue = models.Cue(practice=row.practice, trainee=row, exercise="back_squat", text="knees out", file_type="image/png")
    cue.file.save("squat.png", ContentFile(b"picture"))
    (table,) = read_sheets("old.csv", b"date,exercise,reps\n2026-01-05,back squat,5\n")
    session = gym.block.weeks[0].sessions[0]
    open_for_coach = invite(gym.coach, "Edda")
    hour = new_hour(coach, [row], "shed", timezone.now(), by_number=False)
    return {
        "trainee_id": row.id,
        "block_id": gym.block.id,
        "week": gym.block.weeks[0].number,
        "weekday": session.day,
        "on": gym.today.isoformat(),
        "job_id": job.id,
        "hour_id": hour.id,
        "note_id": note.id,
        "cue_id": cue.id,
        "coach_id": coach.id,
        "kind": "csv",
        "kept_slug": keep_session(gym.coach, "Block: Evening\nback squat 3 x 5\n"),
        "share_id": row.shares.create(what="notes", digest="d" * 64).id,
        "invitation_id": open_for_coach.invitation.id,
        "secret": "no-such-secret",
        "upload": keep_upload(row, "old.csv", table, coach.user),
        "place": "yard",
        "place_version": models.Document.objects.get(practice=row.practice, kind="place", slug="yard").id,
        "pk": key_of(row.user),
    }


def key_of(user: Any) -> int:
    """A passkey of a user, as it stands in the data base after it was added."""
    from allauth.mfa.models import Authenticator

    data = {"name": "Key", "credential": made_key()}
    return int(Authenticator.objects.create(user=user, type=Authenticator.Type.WEBAUTHN, data=data).pk)


def made_key() -> dict[str, Any]:
    """What a browser sends for a new passkey, with a key of its own."""
    from cryptography.hazmat.primitives.asymmetric import ec
    from fido2.cose import ES256
    from fido2.utils import websafe_encode
    from fido2.webauthn import Aaguid, AttestationObject, AttestedCredentialData, AuthenticatorData

    public = ES256.from_cryptography_key(ec.generate_private_key(ec.SECP256R1()).public_key())
    name, flags = b"k" * 16, AuthenticatorData.FLAG.UP | AuthenticatorData.FLAG.AT
    credential = AttestedCredentialData.create(Aaguid.NONE, name, public)
    said = AttestationObject.create("none", AuthenticatorData.create(b"h" * 32, flags, 0, credential), {})
    client = json.dumps({"type": "webauthn.create", "challenge": "eA", "origin": "http://localhost"}).encode()
    response = {"clientDataJSON": websafe_encode(client), "attestationObject": websafe_encode(bytes(said))}
    return {"id": websafe_encode(name), "rawId": websafe_encode(name), "type": "public-key", "response": response}


def routes() -> Iterator[str]:
    """Every address of the application, as it is written in the code."""

    def below(patterns: Any, before: str) -> Iterator[str]:
        for one in patterns:
            path = before + str(one.pattern)
            if hasattr(one, "url_patterns"):
                yield from below(one.url_patterns, path)
            else:
                yield path

    return below(get_resolver().url_patterns, "")


def address_of(route: str, names: Mapping[str, Any]) -> str:
    """The address of a route with something in every place that wants it."""
    found = route
    given = dict(names)
    given["slug"] = given["upload"] if route.startswith("t/") else given["place"]
    for name, value in given.items():
        for kind in ("uuid", "str", "int"):
            found = found.replace(f"<{kind}:{name}>", str(value))
        found = found.replace(f"<{name}>", str(value))
    assert "<" not in found, f"{route}: tell matrix.things what stands in it"
    return "/" + found


def is_shut(answer: Any) -> bool:
    """True for an answer that gives nothing away: not there, the log-in, or a method that nobody may use there."""
    if answer.status_code in (302, 303):
        return answer["Location"].split("?")[0] in ("/in/login/", "/start/")
    return answer.status_code in (401, 404, 405)


def text_of(answer: Any) -> str:
    """All that an answer says."""
    data = b"".join(answer.streaming_content) if answer.streaming else answer.content
    return data.decode("utf-8", errors="replace") + " ".join(f"{key}: {value}" for key, value in answer.items())
