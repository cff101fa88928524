"""The API as one service: session log-in and the token of the pages, every refusal as sentences."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError
from ninja.security import SessionAuth

from setwright.faults import InputFaults, NoPlan
from setwright.web.api.operations import router
from setwright.web.faults import ways_out

WORDS = """The deeds of the pages for programs. Log in as on the pages: the session cookie says who asks, and what
changes something carries the token of /token/ in the header X-CSRFToken. What is not yours is not there (404)."""

api = NinjaAPI(
    title="Setwright",
    version="1",
    description=WORDS,
    auth=SessionAuth(),
    docs_url=None,  # its page would fetch scripts from elsewhere
    urls_namespace="api",
)
api.add_router("", router)


def refused(request: HttpRequest, status: int, title: str, lines: list[str]) -> HttpResponse:
    """A refusal as the declared shape."""
    return api.create_response(request, {"title": title, "faults": lines}, status=status)


@api.exception_handler(InputFaults)
def wrong_input(request: HttpRequest, error: InputFaults) -> HttpResponse:
    """An input that can't be taken."""
    return refused(request, 400, "That can't be taken as it is", [one.sentence() for one in error.faults])


@api.exception_handler(NoPlan)
def no_plan(request: HttpRequest, error: NoPlan) -> HttpResponse:
    """Hard rules that no plan can satisfy."""
    return refused(request, 409, "No plan is possible", [*error.conflict, *ways_out(error)])


@api.exception_handler(Http404)
def not_there(request: HttpRequest, error: Http404) -> HttpResponse:
    """What is not there, or not for you: the same words for both."""
    return refused(request, 404, "There is nothing of that", ["It may have moved, or it is not yours to see."])


@api.exception_handler(LookupError)
def missing(request: HttpRequest, error: LookupError) -> HttpResponse:
    """A thing that a deed did not find. A key or index that was missed is our own fault, and stays one."""
    if isinstance(error, KeyError | IndexError):
        raise error
    return refused(request, 404, "There is nothing of that", [str(error)])


@api.exception_handler(AuthenticationError)
def nobody(request: HttpRequest, error: AuthenticationError) -> HttpResponse:
    """Nobody is logged in, or the token is missing."""
    return refused(request, 401, "Nobody is logged in", ["Log in under /in/login/, and send the token of /token/."])


@api.exception_handler(HttpError)
def said_by_library(request: HttpRequest, error: HttpError) -> HttpResponse:
    """What the library refuses before our code is reached, like a body that is no JSON."""
    return refused(request, error.status_code, "That can't be read", [str(error)])


@api.exception_handler(ValidationError)
def misshapen(request: HttpRequest, error: ValidationError) -> HttpResponse:
    """Values of another kind than the description says, each by its place."""
    return refused(request, 422, "That is not of the described shape", [place_of(one) for one in error.errors])


def place_of(one: dict[str, Any]) -> str:
    """One wrong value: where, and what is wanted."""
    return f"{'.'.join(str(part) for part in one.get('loc', ()))}: {one.get('msg', '')}"
