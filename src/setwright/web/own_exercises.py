"""Each request is answered with the own exercises of the practice that asks, and of no other."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from setwright.services.desk.own_exercises import practice_exercises
from setwright.services.own import only_here
from setwright.web.access import practice_of


class OwnExercises:
    """Puts the own exercises of who asks in force while they are answered."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer of what stands behind."""
        practice = practice_of(request.user)
        with only_here({}) if practice is None else practice_exercises(practice):
            return self.get_response(request)
