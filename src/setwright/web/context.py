"""What every page knows: who is there, and what the practice calls its people."""

from __future__ import annotations

from django.http import HttpRequest

from setwright.web.access import coach_of, trainee_of


def everywhere(request: HttpRequest) -> dict[str, object]:
    """Coach or trainee who asks, and the practice's word for a trainee."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"coach": None, "own_trainee": None, "word": "trainee"}
    coach = coach_of(user)
    trainee = None if coach is not None else trainee_of(user)
    practice = coach.practice if coach is not None else trainee.practice if trainee is not None else None
    word = practice.word_for_trainee if practice is not None else "trainee"
    return {"coach": coach, "own_trainee": trainee, "word": word}
