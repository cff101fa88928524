"""Refuses a form or an address with a NUL in it, before anything else sees it: no person types one, no data base of
ours keeps one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

API = "/api/"  # answers for itself, in its own shapes
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")


class PlainText:
    """Answers 400 where an address or a form holds a NUL."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer of what stands behind, or the refusal."""
        lists = [values for _, values in request.GET.lists()]
        if request.method == "POST" and request.content_type in FORMS:
            lists += [values for _, values in request.POST.lists()]
        is_page = not request.path.startswith(API)
        if is_page and ("\0" in request.path or has_nul(lists)):
            lines = ["It holds a character that can't be kept (NUL). Type it again."]
            return render(request, "fault.html", {"title": "That can't be taken as it is", "lines": lines}, status=400)
        return self.get_response(request)


def has_nul(lists: Iterable[Iterable[str]]) -> bool:
    """True where a text of some lists holds a NUL."""
    return any("\0" in one for some in lists for one in some)
