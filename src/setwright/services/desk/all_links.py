"""Every private link of a coach that opens something now: of their trainees, and of the screens of their hours."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils import timezone

from setwright.records import models
from setwright.services.desk.sharing import SAID, is_open


@dataclass(frozen=True)
class OpenLinks:
    """The links of trainees with what each shows, the newest first; and the hours whose screen is open."""

    shares: tuple[tuple[models.Share, str], ...]
    boards: tuple[models.FloorHour, ...]


def open_links_of(coach: models.Coach) -> OpenLinks:
    """What is open now, of the people that a coach is responsible for."""
    now = timezone.now()
    found = models.Share.objects.filter(trainee__coach=coach, trainee__erased_at=None, withdrawn_at=None)
    shares = [one for one in found.select_related("trainee").order_by("-id") if is_open(one, now)]
    boards = coach.hours.filter(open_until__gt=now).exclude(digest="").order_by("-begins_at")
    return OpenLinks(tuple((one, SAID.get(one.what, one.what)) for one in shares), tuple(boards))
