"""The service worker, served from the root so that it may answer for every page; and a fresh token for queued rows."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

MODULES = ("day", "session", "hurt", "next", "dom", "timers", "kept", "pocket", "queue", "idb")
KEPT = (
    *("setwright/app.css", "setwright/day.css", "setwright/icon.svg"),
    *(f"setwright/{one}.js" for one in MODULES),
)
INSIDE = ("setwright/idb.js", "setwright/queue.js")  # modules that the worker itself runs


@require_GET
@never_cache
def script(request: HttpRequest) -> HttpResponse:
    """The worker with the hashed names of the files that the session needs without a network."""
    names = [staticfiles_storage.url(one) for one in KEPT if finders.find(one)]
    body = "\n".join([*(as_plain_script(text_of(one)) for one in INSIDE), text_of("setwright/worker.js")])
    version = hashlib.sha256((body + json.dumps(names)).encode()).hexdigest()[:12]
    head = f"const KEPT = {json.dumps(names)}, VERSION = {json.dumps(version)};\n"
    answer = HttpResponse(head + body, content_type="text/javascript; charset=utf-8")
    answer["Service-Worker-Allowed"] = "/"
    return answer


def text_of(name: str) -> str:
    """The text of a static file."""
    return Path(str(finders.find(name))).read_text(encoding="utf-8")


def as_plain_script(text: str) -> str:
    """A module as a script: workers that import modules are not to be had in every browser.

    >>> as_plain_script('import { a } from "./a.js";\\nexport function b() { return a; }\\nexport { b };\\n').strip()
    'function b() { return a; }'
    """
    without = re.sub(r"^import .*;\n|^export \{.*\};\n", "", text, flags=re.MULTILINE)
    return re.sub(r"^export (?=async |function |const |class )", "", without, flags=re.MULTILINE)


@require_GET
@never_cache
def token(request: HttpRequest) -> JsonResponse:
    """A fresh token for rows that waited on the phone; says whether somebody is logged in."""
    return JsonResponse({"token": get_token(request), "known": request.user.is_authenticated})
