"""Practices and who works in them: the first coach, invitations, log-ins."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.records import models

INVITATION_DAYS = 14
USERNAME = "letters, digits and . _ -, 3 to 60 of them"


def digest_of(secret: str) -> str:
    """What is kept of a secret link: enough to know it again, not enough to open it."""
    return hashlib.sha256(secret.encode()).hexdigest()


def note(practice: models.Practice, by: Any, deed: str, trainee: models.Trainee | None = None, about: str = "") -> None:
    """Adds a line to the audit trail."""
    models.AuditEntry.objects.create(practice=practice, by=by, deed=deed, trainee=trainee, about=about[:200])


def new_user(username: str, password: str, name: str) -> Any:
    """A log-in with a checked name and password. Raises InputFaults with what is wrong."""
    users = get_user_model().objects
    faults = []
    if not 3 <= len(username) <= 60 or not all(letter.isalnum() or letter in "._-" for letter in username):
        faults.append(Fault("log-in", "username", repr(username), USERNAME))
    elif users.filter(username__iexact=username).exists():
        faults.append(Fault("log-in", "username", f"{username!r}, which is taken", "a name that nobody has yet"))
    try:
        validate_password(password, get_user_model()(username=username, first_name=name))
    except ValidationError as error:
        faults += [Fault("log-in", "password", "a password that is refused", one) for one in error.messages]
    if faults:
        raise InputFaults(faults)
    return users.create_user(username=username, password=password, first_name=name[:150])


@transaction.atomic
def found_practice(name: str, coach_name: str, username: str, password: str) -> models.Coach:
    """A new practice with its first coach, who owns it."""
    user = new_user(username, password, coach_name)
    practice = models.Practice.objects.create(name=name.strip()[:120] or "My practice")
    coach = models.Coach.objects.create(user=user, practice=practice, name=coach_name[:120] or username, is_owner=True)
    note(practice, user, "founded the practice")
    return coach


@dataclass(frozen=True)
class Invited:
    """An invitation and its secret, which is shown once and kept nowhere."""

    invitation: models.Invitation
    secret: str


@transaction.atomic
def invite(coach: models.Coach, name: str, trainee: models.Trainee | None = None) -> Invited:
    """A link for a trainee of this coach, or for another coach of the practice. Older open links of them end."""
    if trainee is None and not coach.is_owner:
        raise InputFaults([Fault("invitation", "for", "another coach", "a trainee: only the owner invites coaches")])
    if trainee is not None:
        trainee.invitations.filter(used_at=None).update(expires_at=timezone.now())
    secret = secrets.token_urlsafe(24)
    made = models.Invitation.objects.create(
        practice=coach.practice,
        trainee=trainee,
        name=name[:120],
        digest=digest_of(secret),
        expires_at=timezone.now() + timedelta(days=INVITATION_DAYS),
    )
    note(coach.practice, coach.user, "invited", trainee)
    return Invited(made, secret)


def open_invitation(secret: str) -> models.Invitation | None:
    """The invitation of a link, while it is open; None where it is used, over or unknown."""
    found = models.Invitation.objects.filter(digest=digest_of(secret), used_at=None).first()
    return found if found is not None and found.expires_at > timezone.now() else None


@transaction.atomic
def take_invitation(secret: str, username: str, password: str) -> Any:
    """The log-in that an invited person makes; the link is used up. Raises InputFaults where it is not open."""
    found = models.Invitation.objects.select_for_update().filter(digest=digest_of(secret), used_at=None).first()
    if found is None or found.expires_at <= timezone.now():
        raise InputFaults([Fault("invitation", "", "a link that is used or over", "an open link: ask your coach")])
    user = new_user(username, password, found.name)
    if found.trainee is None:
        models.Coach.objects.create(user=user, practice=found.practice, name=found.name or username)
    else:
        old, found.trainee.user = found.trainee.user, user
        found.trainee.save(update_fields=["user"])
        if old is not None:
            old.is_active = False
            old.save(update_fields=["is_active"])
    found.used_at = timezone.now()
    found.save(update_fields=["used_at"])
    note(found.practice, user, "took an invitation", found.trainee)
    return user
