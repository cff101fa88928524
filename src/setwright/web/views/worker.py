"""The service worker, served from the root so that it may answer for every page; and a fresh token for queued rows."""

from __future__ import annotations

import json

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

KEPT = ("setwright/app.css", "setwright/day.js", "setwright/queue.js", "setwright/idb.js", "setwright/figures.svg")


@require_GET
@never_cache
def script(request: HttpRequest) -> HttpResponse:
    """The worker with the hashed names of the files that the session needs without a network."""
    path = finders.find("setwright/worker.js")
    with open(path, encoding="utf-8") as file:
        text = file.read()
    names = [staticfiles_storage.url(one) for one in KEPT if finders.find(one)]
    answer = HttpResponse(f"const KEPT = {json.dumps(names)};\n{text}", content_type="text/javascript")
    answer["Service-Worker-Allowed"] = "/"
    return answer


@require_GET
@never_cache
def token(request: HttpRequest) -> JsonResponse:
    """A fresh token for rows that waited on the phone; says whether somebody is logged in."""
    return JsonResponse({"token": get_token(request), "known": request.user.is_authenticated})
