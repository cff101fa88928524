"""What every page knows: who is there, and what the practice calls its people."""

from __future__ import annotations

from ipaddress import ip_address

from django.http import HttpRequest

from setwright.web.access import coach_of, trainee_of


def everywhere(request: HttpRequest) -> dict[str, object]:
    """Coach or trainee who asks, the practice's word for a trainee, and whether the address has a name."""
    has_name = is_name(request.get_host().rsplit(":", 1)[0])
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"coach": None, "own_trainee": None, "word": "trainee", "has_name": has_name}
    coach = coach_of(user)
    trainee = None if coach is not None else trainee_of(user)
    practice = coach.practice if coach is not None else trainee.practice if trainee is not None else None
    word = practice.word_for_trainee if practice is not None else "trainee"
    return {"coach": coach, "own_trainee": trainee, "word": word, "has_name": has_name}


def is_name(host: str) -> bool:
    """True for the name of a host; a passkey can't be made for a bare number.

    >>> is_name("localhost"), is_name("127.0.0.1"), is_name("[::1]")
    (True, False, False)
    """
    try:
        ip_address(host.strip("[]"))
    except ValueError:
        return True
    return False
