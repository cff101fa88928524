"""Cues of the coach: a form, a list, and the files, served only to those who may see them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import BinaryIO
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from setwright.faults import InputFaults
from setwright.publish.words import name_of
from setwright.records import models
from setwright.records.data_base import current_of
from setwright.services.desk.cues import cues_for, keep_cue, take_away
from setwright.services.gather import catalogue
from setwright.web.access import coached, may_see_cue, require_coach

PIECE = 65_536
RANGE = re.compile(r"bytes=(\d*)-(\d*)$")


@require_http_methods(["GET", "POST"])
def cues(request: HttpRequest, trainee_id: UUID) -> HttpResponse:
    """The cues that one trainee sees, and a form for one more."""
    row, coach = coached(request, trainee_id), require_coach(request)
    if request.method == "POST":
        given = request.POST
        whom = None if given.get("whom") == "all" else row
        try:
            keep_cue(coach, whom, given.get("exercise", ""), given.get("text", ""), request.FILES.get("file"))
        except InputFaults as wrong:
            return cues_page(request, row, status=400, faults=wrong.faults, given=given)
        messages.success(request, "It stands with the exercise now.")
        return redirect("cues", row.id)
    return cues_page(request, row)


def cues_page(request: HttpRequest, row: models.Trainee, status: int = 200, **more: object) -> HttpResponse:
    """The page of the cues: the exercises of the block first."""
    known, block = catalogue(), current_of(row)
    slugs = {
        entry.exercise
        for week in (() if block is None else block.weeks)
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
    }
    values = {
        "row": row,
        "cues": [{"cue": one, "name": name_of(one.exercise, known)} for one in cues_for(row)],
        "exercises": sorted((name_of(slug, known), slug) for slug in slugs),
        "others": sorted((known.get(slug).name, slug) for slug in known if slug not in slugs),
        **more,
    }
    return render(request, "cues.html", values, status=status)


@require_POST
def take_cue_away(request: HttpRequest, trainee_id: UUID, cue_id: int) -> HttpResponse:
    """Takes a cue away."""
    row = coached(request, trainee_id)
    found = cues_for(row).filter(id=cue_id).first()
    if found is None:
        raise Http404
    take_away(found, request.user)
    return redirect("cues", row.id)


@require_GET
@cache_control(private=True, max_age=86400)
def cue_file(request: HttpRequest, cue_id: int) -> HttpResponse | StreamingHttpResponse:
    """The photo or clip of a cue; a part of it where a player asks for one (RFC 9110, section 14)."""
    cue = may_see_cue(request, cue_id)
    try:
        file = cue.file.open("rb")
    except (FileNotFoundError, ValueError):
        raise Http404 from None
    size = cue.file.size
    first, last, status = wanted(request.headers.get("range", ""), size)
    if first > last:
        file.close()
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    file.seek(first)
    answer = StreamingHttpResponse(pieces(file, last - first + 1), status=status, content_type=cue.file_type)
    answer["Content-Length"] = str(last - first + 1)
    answer["Accept-Ranges"] = "bytes"
    answer["Content-Disposition"] = "inline"
    if status == 206:
        answer["Content-Range"] = f"bytes {first}-{last}/{size}"
    return answer


def wanted(header: str, size: int) -> tuple[int, int, int]:
    """First and last byte that a range header asks for, and the status of the answer; first > last where it is beyond.

    >>> wanted("", 100), wanted("bytes=10-19", 100), wanted("bytes=-5", 100), wanted("bytes=200-", 100)
    ((0, 99, 200), (10, 19, 206), (95, 99, 206), (200, 99, 416))
    """
    found = RANGE.match(header)
    if not found or found[0] == "bytes=-":
        return 0, size - 1, 200
    if not found[1]:
        return max(0, size - int(found[2])), size - 1, 206
    first = int(found[1])
    last = min(int(found[2]), size - 1) if found[2] else size - 1
    return first, last, 206 if first < size else 416


def pieces(file: BinaryIO, left: int) -> Iterator[bytes]:
    """So many bytes of an open file, in pieces; the file is closed at the end."""
    with file:
        while left > 0 and (data := file.read(min(PIECE, left))):
            left -= len(data)
            yield data
