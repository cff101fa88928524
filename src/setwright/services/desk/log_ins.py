"""The log-ins of one person: how many devices hold one, and the end of all of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.utils import timezone


def open_log_ins(user: Any) -> Iterator[Session]:
    """The sessions in which a user is logged in. Each is opened to see whose it is: a few microseconds for each."""
    for one in Session.objects.filter(expire_date__gt=timezone.now()).iterator():
        if one.get_decoded().get(SESSION_KEY) == str(user.pk):
            yield one


def end_log_ins(user: Any) -> int:
    """Ends every log-in of a user, on every device; gives how many."""
    ended = [one.pk for one in open_log_ins(user)]
    Session.objects.filter(pk__in=ended).delete()
    return len(ended)
