"""A whole form: sections of fields, what is shown of it on a page, and which fault belongs to which field."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import tomli_w

from setwright.faults import Fault
from setwright.web.forms.fields import REST, Counts, Field, Measure, Named, Rows, Run, Sub, Week, show_all, take_all
from setwright.web.forms.typed import Typed


@dataclass(frozen=True)
class Section:
    """Fields under one heading. ``optional``: folded up while nothing stands in it."""

    slug: str
    title: str
    fields: tuple[Field, ...]
    help: str = ""
    optional: bool = False


@dataclass(frozen=True)
class Form:
    """The form of one kind of document."""

    sections: tuple[Section, ...]
    suggestions: Mapping[str, Sequence[str]]

    @property
    def fields(self) -> tuple[Field, ...]:
        """Every field, in order."""
        return tuple(one for section in self.sections for one in section.fields)

    def typed_from(self, table: Mapping[str, Any]) -> Typed:
        """The texts of a document."""
        typed = Typed()
        show_all(self.fields, table, typed)
        return typed

    def table_from(self, typed: Typed) -> dict[str, Any]:
        """The document that was typed."""
        return take_all(self.fields, typed)

    def toml_from(self, typed: Typed) -> str:
        """The document that was typed, as the text of a file."""
        return tomli_w.dumps(self.table_from(typed))

    def blanks(self) -> dict[str, dict[str, list[str]]]:
        """What stands in a new row of each list."""
        return {one.key: one.blank_row() for one in self.fields if isinstance(one, Rows)}

    def carries(self) -> set[str]:
        """The fields of rows that a new row takes over from the one above."""
        return {name for one in self.fields if isinstance(one, Rows) for name in one.carries}


def identity_of(name: str) -> str:
    """The id of a field on its page."""
    return "f-" + re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")


def sentence_at_field(fault: Fault) -> str:
    """A fault as it is said beside its field, where the place needs no naming."""
    if fault.found.startswith(("nothing", "no ")):
        text = "This is needed." if "this key is" in fault.allowed else f"Needed here: {fault.allowed}."
    else:
        text = f"Found {fault.found}; allowed: {fault.allowed}."
    hint = fault.hint
    if "quotes" in hint or "key" in hint:
        hint = ""
    return f"{text} {hint}".strip()


class Faults:
    """The faults of a document by the field that they belong to, with the rows as they stand on the page."""

    def __init__(self, form: Form, typed: Typed, faults: Sequence[Fault]) -> None:
        self.by_name: dict[str, list[str]] = {}
        self.proposals: dict[str, list[str]] = {}
        self.elsewhere: list[Fault] = []
        rows: dict[str, Sequence[object]] = {
            one.key: one.filled(typed, "") for one in form.fields if isinstance(one, Rows | Week)
        }
        names = dict(reversed(names_of(form.fields)))  # the first field that knows a path has it
        for fault in faults:
            name = self.name_for(fault.path, rows, names)
            if name is None:
                self.elsewhere.append(fault)
            else:
                self.by_name.setdefault(name, []).append(sentence_at_field(fault))

    @staticmethod
    def name_for(path: str, rows: Mapping[str, Sequence[object]], names: Mapping[str, str]) -> str | None:
        """The field that a path belongs to, or None: the path itself, or what is nearest above it."""
        hit = re.match(r"([a-z_]+)\[(\d+)\](.*)", path)
        start: str = ""
        number: object = 0
        if hit and hit[1] in rows and int(hit[2]) <= len(rows[hit[1]]):
            number = rows[hit[1]][int(hit[2]) - 1]
            start, path = f"{hit[1]}[].", hit[3].lstrip(".")
        while path:
            if start + path in names:
                return names[start + path].replace("[]", f"[{number}]")
            path = re.sub(r"(\[\d+\]|\.?[^.\[]+)$", "", path)
        return f"{start.removesuffix('[].')}[{number}]" if start else None

    def at(self, name: str) -> list[str]:
        """What is wrong with a field."""
        return self.by_name.get(name, [])

    def within(self, start: str) -> bool:
        """True when anything below a path is wrong."""
        return any(name.startswith(start) for name in self.by_name)


def names_of(fields: Sequence[Field], start: str = "") -> list[tuple[str, str]]:
    """Every path that a fault may name, with the name of its field below the row it stands in."""
    found: list[tuple[str, str]] = []
    for one in fields:
        if isinstance(one, Rows):
            found.append((start + one.key, start + one.key))
            found += [(f"{one.key}[].{path}", f"{one.key}[].{name}") for path, name in names_of(one.every)]
        elif isinstance(one, Week):
            found.append((start + one.key, start + one.key))
            found += [(f"{one.key}[].{key}", f"{one.key}[].{key}") for key in ("minutes", "place")]
        elif isinstance(one, Sub):
            inner = one.fields[0] if one.fields else one
            found.append((start + one.key, f"{start}{one.key}.{inner.key}"))
            found += names_of(one.fields, f"{start}{one.key}.")
        elif isinstance(one, Counts):
            found.append((start + one.key, start + one.key))
            found += [(f"{start}{one.key}.{word}", f"{start}{one.key}.{word}") for word, _ in one.choices]
        elif isinstance(one, Run):
            for part in one.parts():
                found += [(start + name, start + part.key) for name in part.names()]
            found += [(start + name, start + "from") for name in one.names() if name.startswith("mass")]
        else:
            found += [(start + name, start + one.key) for name in one.names()]
    return found


@dataclass(frozen=True)
class Shown:
    """A form as a page shows it: sections of plain values."""

    sections: list[dict[str, Any]]
    suggestions: dict[str, Sequence[str]]
    summary: list[dict[str, str]]
    elsewhere: list[Fault]
    rest: str

    @property
    def count(self) -> int:
        """How many things are wrong."""
        return len(self.summary) + len(self.elsewhere)

    @property
    def lists(self) -> list[tuple[str, Sequence[str]]]:
        """What the fields suggest, by the name of the list."""
        return list(self.suggestions.items())


def shown(form: Form, typed: Typed, faults: Sequence[Fault] = (), focus: str = "") -> Shown:
    """What a page shows of a form with what was typed and what is wrong."""
    found = Faults(form, typed, faults)
    page = Page(typed, found, focus)
    sections = []
    for one in form.sections:
        items = page.items(one.fields, "")
        is_filled = any(item["is_filled"] for item in items)
        is_wrong = any(item["is_wrong"] for item in items)
        sections.append(
            {
                "slug": one.slug,
                "title": one.title,
                "help": one.help,
                "items": items,
                "folds": one.optional,
                "is_open": not one.optional or is_filled or is_wrong or any(item["has_focus"] for item in items),
            }
        )
    summary = [
        {"id": identity_of(name), "label": page.labels.get(name, name), "says": text}
        for name, texts in found.by_name.items()
        for text in texts
    ]
    return Shown(sections, dict(form.suggestions), summary, found.elsewhere, typed.texts.get(REST, [""])[-1])


class Page:
    """Turns fields into the values that the templates show."""

    def __init__(self, typed: Typed, faults: Faults, focus: str) -> None:
        self.typed, self.faults, self.focus = typed, faults, focus
        self.labels: dict[str, str] = {}

    def items(self, fields: Sequence[Field], at: str) -> list[dict[str, Any]]:
        """The values of some fields."""
        return [self.item(one, at) for one in fields]

    def item(self, one: Field, at: str) -> dict[str, Any]:
        """The values of a field."""
        name = at + one.key
        text = self.typed.get(name)
        self.labels[name] = one.label
        values: dict[str, Any] = {
            "kind": one.kind,
            "name": name,
            "id": identity_of(name),
            "label": one.label,
            "help": one.help,
            "wide": one.wide,
            "text": text,
            "faults": self.faults.at(name),
            "is_wrong": self.faults.within(name),
            "has_focus": bool(self.focus) and (self.focus == name or self.focus.startswith(name + "[")),
            "is_filled": bool(text) and (one.usual is None or text != one.text_of(one.usual)),
            "unit": getattr(one, "unit", ""),
            "suggests": getattr(one, "suggests", ""),
        }
        if hasattr(one, "choices"):
            chosen = set(self.typed.all(name))
            values["choices"] = [{"value": word, "says": says, "is_on": word in chosen} for word, says in one.choices]
            values["empty"] = getattr(one, "empty", None)
            values["strange"] = text if one.kind == "choice" and text and text not in dict(one.choices) else ""
        if isinstance(one, Named) and values["faults"]:
            values["proposals"] = one.proposals(text)
        if isinstance(one, Counts):
            self.add_counts(values, one, name)
        elif isinstance(one, Week):
            self.add_week(values, one, name)
        elif isinstance(one, Run):
            values["parts"] = [self.item(part, at) for part in one.parts()]
            values["is_filled"] = any(part["text"] for part in values["parts"])
            values["is_wrong"] = any(part["is_wrong"] for part in values["parts"])
        elif isinstance(one, Sub):
            values["items"] = self.items(one.fields, f"{name}.")
            values["is_filled"] = any(item["is_filled"] for item in values["items"])
            values["folds"], values["is_open"] = one.folds, values["is_filled"] or values["is_wrong"]
            values["rest"] = self.typed.texts.get(f"{name}.{REST}", [""])[-1]
        elif isinstance(one, Rows):
            self.add_rows(values, one, name)
        return values

    def add_counts(self, values: dict[str, Any], one: Counts, name: str) -> None:
        """A number for each word."""
        values["counts"] = [
            {
                "name": f"{name}.{word}",
                "id": identity_of(f"{name}.{word}"),
                "label": says,
                "text": self.typed.get(f"{name}.{word}"),
                "faults": self.faults.at(f"{name}.{word}"),
            }
            for word, says in one.choices
        ]
        self.labels.update({count["name"]: count["label"] for count in values["counts"]})
        values["is_filled"] = any(count["text"] for count in values["counts"])

    def add_week(self, values: dict[str, Any], one: Week, name: str) -> None:
        """A row for each day."""
        filled = one.filled(self.typed, name.removesuffix(one.key))
        values["days"] = []
        for day, says in one.days:
            minutes, place = f"{name}[{day}].minutes", f"{name}[{day}].place"
            self.labels |= {minutes: f"{says}, minutes", place: f"{says}, place"}
            chosen = self.typed.get(place)
            values["days"].append(
                {
                    "says": says,
                    "minutes": minutes,
                    "minutes_id": identity_of(minutes),
                    "text": self.typed.get(minutes),
                    "place": place,
                    "place_id": identity_of(place),
                    "places": [{"value": word, "says": said, "is_on": word == chosen} for word, said in one.places],
                    "strange": chosen if chosen and chosen not in dict(one.places) else "",
                    "faults": [*self.faults.at(minutes), *self.faults.at(place)],
                }
            )
        values["is_filled"] = bool(filled)
        only = len(one.places) == 1 and not any(day["strange"] for day in values["days"])
        values["place"] = one.places[0][1] if only else ""

    def add_rows(self, values: dict[str, Any], one: Rows, name: str) -> None:
        """The rows of a list."""
        rows = []
        for place, number in enumerate(self.typed.rows(name), start=1):
            at = f"{name}[{number}]."
            more = self.items(one.more, at)
            title = f"{one.one[:1].upper()}{one.one[1:]} {place}"
            self.labels[at.removesuffix(".")] = title
            rows.append(
                {
                    "path": at.removesuffix("."),
                    "id": identity_of(at),
                    "title": title,
                    "items": self.items(one.fields, at),
                    "more": more,
                    "more_open": any(item["is_filled"] or item["is_wrong"] for item in more),
                    "faults": self.faults.at(at.removesuffix(".")),
                    "rest": self.typed.texts.get(at + REST, [""])[-1],
                }
            )
        values["rows"] = rows
        values["one"] = one.one
        values["is_filled"] = bool(one.filled(self.typed, name.removesuffix(one.key)))


__all__ = ["Form", "Measure", "Section", "Shown", "identity_of", "shown"]
