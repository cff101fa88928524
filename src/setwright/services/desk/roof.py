"""The roof over several coaches: what the practice is called, who works in it, who is responsible for whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Count, Q
from django.utils import timezone

from setwright.faults import Fault, InputFaults
from setwright.records import models
from setwright.services.desk.practice import note

WORDS = ("trainee", "client", "athlete", "member", "student", "lifter")
LONGEST_WORD, LONGEST_NAME = 30, 120


@transaction.atomic
def change_practice(coach: models.Coach, name: str, word: str, unit: str) -> None:
    """What the practice is called, what its people are called, and the unit of numbers without one.

    Raises InputFaults with what is wrong; only the owner changes it.
    """
    faults = []
    if not coach.is_owner:
        faults.append(Fault("practice", "", "a coach who is not its owner", "its owner"))
    if not 1 <= len(name.strip()) <= LONGEST_NAME:
        faults.append(Fault("practice", "name", repr(name), f"1 to {LONGEST_NAME} letters"))
    plain = word.strip().lower()
    if not 2 <= len(plain) <= LONGEST_WORD or not plain.replace(" ", "").replace("-", "").isalpha():
        allowed = f"one word for whom you coach, of at most {LONGEST_WORD} letters: {', '.join(WORDS)}..."
        faults.append(Fault("practice", "word", repr(word), allowed))
    if unit not in ("kg", "lb"):
        faults.append(Fault("practice", "unit", repr(unit), "kg, lb"))
    if faults:
        raise InputFaults(faults)
    practice = coach.practice
    practice.name, practice.word_for_trainee, practice.unit = name.strip(), plain, unit
    practice.save(update_fields=["name", "word_for_trainee", "unit"])
    note(practice, coach.user, "changed the practice")


def coaches_of(practice: models.Practice) -> list[models.Coach]:
    """Who works in the practice, with how many trainees each is responsible for (``count``)."""
    counted = Count("trainees", filter=Q(trainees__erased_at=None))
    found = models.Coach.objects.filter(practice=practice, left_at=None).annotate(count=counted)
    return list(found.select_related("user").order_by("name"))


def other_coaches(coach: models.Coach) -> list[models.Coach]:
    """The other coaches of a coach's practice."""
    return [one for one in coaches_of(coach.practice) if one.id != coach.id]


def open_invitations(practice: models.Practice) -> list[models.Invitation]:
    """Links for coaches that nobody has used yet."""
    rows = models.Invitation.objects.filter(practice=practice, trainee=None, used_at=None)
    return list(rows.filter(expires_at__gt=timezone.now()).order_by("-made_at"))


@transaction.atomic
def withdraw_invitation(coach: models.Coach, invitation_id: int) -> None:
    """Ends a link for a coach that nobody has used. LookupError where there is none."""
    found = [one for one in open_invitations(coach.practice) if one.id == invitation_id]
    if not coach.is_owner or not found:
        raise LookupError("no open link of that kind")
    found[0].expires_at = timezone.now()
    found[0].save(update_fields=["expires_at"])
    note(coach.practice, coach.user, "withdrew an invitation")


def coach_by_id(practice: models.Practice, coach_id: Any) -> models.Coach:
    """A coach who works in the practice. LookupError for any other."""
    for one in coaches_of(practice):
        if str(one.id) == str(coach_id):
            return one
    raise LookupError("no coach of that kind works in this practice")


@transaction.atomic
def hand_over(coach: models.Coach, row: models.Trainee, to_id: Any) -> models.Coach:
    """Makes another coach of the practice responsible for a trainee; the one before sees them no longer.

    LookupError where there is no such coach.
    """
    to = coach_by_id(coach.practice, to_id)
    row.coach = to
    row.save(update_fields=["coach"])
    note(coach.practice, coach.user, "handed a trainee over", row, to.name)
    return to


@transaction.atomic
def leave(owner: models.Coach, leaving: models.Coach, heir: models.Coach | None) -> int:
    """Ends a coach's work in the practice; their trainees go to another coach. Gives how many went.

    owner : who does it: the owner, or the leaving coach. Raises InputFaults where the owner would leave, or nobody
    takes over trainees that are there.
    """
    if leaving.is_owner:
        allowed = "a coach who is not the owner"
        raise InputFaults([Fault("practice", "leave", "its owner", allowed, "Make somebody else the owner first.")])
    if not owner.is_owner and owner.id != leaving.id:
        raise InputFaults([Fault("practice", "leave", "another coach", "the owner, or the one who leaves")])
    rows = models.Trainee.objects.filter(coach=leaving, erased_at=None)
    count = rows.count()
    if count and (heir is None or heir.id == leaving.id or heir.left_at is not None):
        found = f"{count} trainees without a coach"
        raise InputFaults([Fault("practice", "heir", found, "another coach who takes them over")])
    if heir is not None:
        for row in rows:
            note(owner.practice, owner.user, "handed a trainee over", row, heir.name)
        models.Trainee.objects.filter(coach=leaving).update(coach=heir)
    else:
        models.Trainee.objects.filter(coach=leaving).update(coach=owner)  # tombstones only
    leaving.left_at = timezone.now()
    leaving.save(update_fields=["left_at"])
    if not models.Trainee.objects.filter(user=leaving.user, erased_at=None).exists():
        leaving.user.is_active = False
        leaving.user.save(update_fields=["is_active"])
    note(owner.practice, owner.user, "ended a coach's work", about=leaving.name)
    return count


@transaction.atomic
def make_owner(owner: models.Coach, other: models.Coach) -> None:
    """Hands the practice to another coach of it."""
    if not owner.is_owner or other.practice_id != owner.practice_id or other.left_at is not None:
        raise InputFaults([Fault("practice", "owner", "another coach", "the owner, and a coach who works there")])
    owner.is_owner, other.is_owner = False, True
    owner.save(update_fields=["is_owner"])
    other.save(update_fields=["is_owner"])
    note(owner.practice, owner.user, "handed the practice over", about=other.name)


@dataclass(frozen=True)
class Deed:
    """One line of the audit trail for a coach: ``whom`` is empty where it was about nobody, or somebody not theirs."""

    at: datetime
    who: str
    deed: str
    whom: str
    about: str


def newest_deeds(coach: models.Coach, count: int = 30) -> list[Deed]:
    """The last lines of the audit trail, without the names of those who are not this coach's."""
    rows = models.AuditEntry.objects.filter(practice=coach.practice).select_related("trainee").order_by("-id")[:count]
    names = dict(models.Coach.objects.filter(practice=coach.practice).values_list("user_id", "name"))
    return [deed_for(coach, one, names) for one in rows]


def deed_for(coach: models.Coach, one: models.AuditEntry, names: Mapping[Any, str]) -> Deed:
    """One line of the audit trail for a coach. names : of the coaches of the practice, by their users."""
    is_theirs = one.trainee is not None and one.trainee.coach_id == coach.id
    whom = one.trainee.name if one.trainee is not None and is_theirs else ""
    somebody = "Somebody" if one.by_id is None else f"A {coach.practice.word_for_trainee}"
    return Deed(one.at, names.get(one.by_id, whom or somebody), one.deed, whom, one.about)
