"""A document on a page: a form and, as a second door, its text. What was typed stays whatever is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import tomli_w
from django.http import HttpRequest, HttpResponse

from setwright.faults import Fault, InputFaults
from setwright.people.toml_file import read_toml
from setwright.web.forms.form import Form, shown
from setwright.web.forms.typed import Typed, apply_button, pressed, typed_of


@dataclass(frozen=True)
class Standing:
    """The document as it stands: its text, and which version that is; empty for a new one.

    ``before`` gives the text of an older version by its name.
    """

    text: str = ""
    version: str = ""
    before: Callable[[str], str] = lambda version: ""


Table = Mapping[str, Any]
Keep = Callable[[str], HttpResponse]
Show = Callable[[dict[str, Any], int], HttpResponse]


def edit(
    request: HttpRequest,
    form: Form,
    stands: Standing,
    keep: Keep,
    show: Show,
    finish: Callable[[dict[str, Any]], Table] = lambda table: table,
    first: Table | None = None,
) -> HttpResponse:
    """Answers for a page with a form.

    keep : takes the text of a document and gives where to go next; raises InputFaults with every fault
    show : the page with the values that a template needs, and its status
    finish : adds to a typed document what need not be typed (an id); first : a new document as the form opens
    """
    table = dict(read_toml(stands.text, "document")) if stands.text else dict(first or {})
    if request.method != "POST":
        return show(values(form, form.typed_from(table), stands), 200)
    typed = typed_of(request.POST)
    if typed.get("deed") == "text" or ("text" in typed.texts and "deed" not in typed.texts):
        return kept_text(typed, form, table, stands, keep, show)
    button = pressed(typed)
    if button is not None:
        focus = apply_button(typed, button, form.blanks(), form.carries())
        return show(values(form, typed, stands, focus=focus), 200)
    try:
        made = finish(form.table_from(typed))
        return keep(tomli_w.dumps(merged(form, made, table, typed, stands)))
    except InputFaults as wrong:
        return show(values(form, typed, stands, wrong.faults), 400)


def kept_text(typed: Typed, form: Form, table: Table, stands: Standing, keep: Keep, show: Show) -> HttpResponse:
    """Keeps what came by the second door, the text as it is."""
    text = typed.texts.get("text", [""])[-1].replace("\r\n", "\n")
    try:
        if stands.version and typed.get("version") != stands.version:
            raise InputFaults([changed_since("text")])
        return keep(text)
    except InputFaults as wrong:
        found = values(form, form.typed_from(table), stands)
        return show({**found, "text": text, "faults": wrong.faults}, 400)


def values(
    form: Form, typed: Typed, stands: Standing, faults: tuple[Fault, ...] = (), focus: str = ""
) -> dict[str, Any]:
    """What the templates of a form need."""
    return {"form": shown(form, typed, faults, focus), "version": stands.version, "text": stands.text}


def merged(form: Form, made: Table, now: Table, typed: Typed, stands: Standing) -> Table:
    """What was typed, with what others changed since the page was opened. InputFaults where both changed the same."""
    version = typed.get("version")
    if version == stands.version:
        return made
    old = stands.before(version)
    if not old:
        raise InputFaults([changed_since("")])
    base = through(form, dict(read_toml(old, "document")))
    newest = through(form, now)
    found: dict[str, Any] = {}
    faults = []
    for key in dict.fromkeys((*made, *newest, *base)):
        mine, theirs, was = made.get(key), newest.get(key), base.get(key)
        if mine not in (theirs, was) and theirs != was:
            faults.append(changed_since(key))
        chosen = theirs if mine == was else mine
        if chosen is not None:
            found[key] = chosen
    if faults:
        raise InputFaults(faults)
    return found


def through(form: Form, table: Table) -> dict[str, Any]:
    """A document as the form would write it."""
    return form.table_from(form.typed_from(table))


def changed_since(path: str) -> Fault:
    """That somebody else was quicker."""
    hint = "Open the page anew in a second window to see what stands there now, then bring yours in."
    return Fault("document", path, "a change by somebody else since you opened this page", "what stands now", hint)
