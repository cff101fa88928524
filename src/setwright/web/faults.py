"""A mistake of a user becomes a sentence on a page, or JSON, never a trace; ours a plain page and a line in the log."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from setwright.faults import InputFaults, NoPlan


class FaultPages:
    """Turns our own errors into answers: 400 for a wrong input, 409 where no plan is possible, 404 for what is not."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer of what stands behind; a page for an address that only takes what a form sends."""
        answer = self.get_response(request)
        if answer.status_code == 405 and not answer.content:
            lines = ["It only takes what a form sends. Go back, and use the button there."]
            told = self.shown(request, "This is no page of its own", lines, 405)
            told["Allow"] = answer.get("Allow", "")
            return told
        return answer

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The answer for one of our own errors; None leaves any other to the framework."""
        if isinstance(error, InputFaults):
            lines = [fault.sentence() for fault in error.faults]
            return self.shown(request, "That can't be taken as it is", lines, 400)
        if isinstance(error, NoPlan):
            return self.shown(request, "No plan is possible", [*error.conflict, *ways_out(error)], 409)
        if isinstance(error, LookupError) and not isinstance(error, KeyError | IndexError):
            return self.shown(request, "There is nothing of that", [str(error)], 404)
        return None

    def shown(self, request: HttpRequest, title: str, lines: list[str], status: int) -> HttpResponse:
        """The lines as a page, or as JSON where JSON was sent or asked for."""
        if "json" in request.headers.get("accept", "") or request.content_type == "application/json":
            return JsonResponse({"title": title, "faults": lines}, status=status)
        return render(request, "fault.html", {"title": title, "lines": lines}, status=status)


def ways_out(error: NoPlan) -> list[str]:
    """What would help, as lines."""
    return [f"What would help: {one.sentence()}" for one in error.repairs]
