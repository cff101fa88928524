"""Every private link of a coach that opens something now: of their trainees, and of the screens of their hours.

The owner of a practice sees, and may end, the screens of everybody there: they hang in the practice's own rooms.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.utils import timezone

from setwright.records import models
from setwright.services.desk.sharing import is_open, said_of


@dataclass(frozen=True)
class OpenLinks:
    """The links of trainees with what each shows and for whom, the newest first; and the hours whose screen is open."""

    shares: tuple[tuple[models.Share, str], ...]
    boards: tuple[models.FloorHour, ...]


def open_links_of(coach: models.Coach) -> OpenLinks:
    """What is open now, of the people that a coach is responsible for; for an owner the screens of all coaches too."""
    now = timezone.now()
    found = models.Share.objects.filter(trainee__coach=coach, trainee__erased_at=None, withdrawn_at=None)
    shares = [one for one in found.select_related("trainee").order_by("-id") if is_open(one, now)]
    hours = coach.practice.hours if coach.is_owner else coach.hours
    boards = hours.filter(open_until__gt=now).exclude(digest="").select_related("coach").order_by("-begins_at")
    return OpenLinks(tuple((one, said_of(one)) for one in shares), tuple(boards))
