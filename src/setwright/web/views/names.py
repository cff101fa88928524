"""Names to choose from: some of them at once, and anybody by a part of the name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.http import HttpRequest

MOST_NAMES = 100  # a list that a thumb gets through
FIND = "find"  # the deed of a form that looks for a name and keeps what was ticked


def names_values(request: HttpRequest, everybody: Any, always: Iterable[Any] = ()) -> dict[str, Any]:
    """What a page with names to choose from shows: those with a part that was asked for, else the first of them.

    always : the ids of people who are listed whatever was asked for
    """
    asked = (request.POST.get("find") or request.GET.get("find") or "").strip()[:100]
    always = list(always)
    found = everybody.filter(name__icontains=asked) if asked else everybody
    ids = list(found.exclude(id__in=always).order_by("name", "id").values_list("id", flat=True)[: MOST_NAMES + 1])
    return {
        "names": everybody.filter(id__in=[*always, *ids[:MOST_NAMES]]).order_by("name", "id"),
        "find": asked,
        "is_found": bool(ids),
        "has_more": len(ids) > MOST_NAMES,
        "may_find": bool(asked) or len(ids) > MOST_NAMES,
    }
