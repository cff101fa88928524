"""The kinds of fields of a form. Each goes three ways: from a document to texts, from texts to a document, to a page.

A field never judges: what can't be understood goes into the document as it was typed, and the reader of the document
says what is wrong.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, ClassVar

import tomli_w

from setwright.catalogue.names import match_name
from setwright.catalogue.store import Catalogue
from setwright.web.forms.typed import Typed

Table = dict[str, Any]
Choices = Sequence[tuple[str, str]]
NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")


def number_text(value: object) -> str:
    """A number as people write it."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return "" if value is None else str(value)
    return f"{value:.6g}"


def number_of(text: str) -> int | float | str:
    """The number in a text, a comma understood as a point; the text itself where it is none."""
    if not NUMBER.fullmatch(text):
        return text
    plain = text.replace(",", ".")
    return float(plain) if "." in plain else int(plain)


@dataclass(frozen=True)
class Field:
    """A field with one text. ``key``: its key in the document; ``usual``: the value that need not be written."""

    key: str
    label: str
    help: str = ""
    usual: Any = None
    wide: bool = False
    kind: ClassVar[str] = "text"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """Puts what a document says into the texts."""
        if self.key in table:
            typed.put(at + self.key, self.text_of(table[self.key]))
        elif self.usual is not None:
            typed.put(at + self.key, self.text_of(self.usual))

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """Puts what was typed into a document."""
        text = typed.get(at + self.key)
        if text:
            table[self.key] = self.value_of(text)

    def holds(self) -> tuple[str, ...]:
        """The keys of a document that this field takes care of."""
        return (self.key,)

    def text_of(self, value: Any) -> str:
        """A value as text."""
        return number_text(value)

    def value_of(self, text: str) -> Any:
        """A text as value."""
        return text

    def blank(self) -> dict[str, list[str]]:
        """What stands in the field of a new row."""
        return {self.key: [] if self.usual is None else [self.text_of(self.usual)]}

    def names(self) -> tuple[str, ...]:
        """The paths below the table, as a fault may name them, that belong to this field."""
        return (self.key,)


@dataclass(frozen=True)
class Name(Field):
    """The name from which an id is made: a missing id is a missing name."""

    kind: ClassVar[str] = "named"

    def names(self) -> tuple[str, ...]:
        """The name, and the id."""
        return (self.key, "id")


@dataclass(frozen=True)
class Long(Field):
    """A text of several lines."""

    kind: ClassVar[str] = "long"


@dataclass(frozen=True)
class Number(Field):
    """A number; ``unit`` stands behind it."""

    unit: str = ""
    kind: ClassVar[str] = "number"

    def value_of(self, text: str) -> Any:
        """The number, or the text where it is none."""
        return number_of(text.removesuffix(self.unit).strip() if self.unit else text)


@dataclass(frozen=True)
class Numbers(Field):
    """Several numbers with commas: one for each week."""

    kind: ClassVar[str] = "number"

    def text_of(self, value: Any) -> str:
        """The numbers with commas."""
        return ", ".join(map(number_text, value)) if isinstance(value, list) else str(value)

    def value_of(self, text: str) -> Any:
        """A list."""
        return [number_of(one) for one in re.split(r"[,;]\s+|\s+", text.strip()) if one]


@dataclass(frozen=True)
class Pair(Field):
    """From and to in one field: ``4-6``."""

    kind: ClassVar[str] = "number"

    def text_of(self, value: Any) -> str:
        """Both ends, or the one."""
        if isinstance(value, (list, tuple)) and len(value) == 2:
            low, high = map(number_text, value)
            return low if low == high else f"{low}-{high}"
        return number_text(value)

    def value_of(self, text: str) -> Any:
        """A list of two numbers."""
        ends = [one for one in re.split(r"\s*(?:-|\u2013|to)\s*", text) if one]
        found = [number_of(one) for one in ends]
        return found[0] if len(found) == 1 else found


@dataclass(frozen=True)
class Day(Field):
    """A date."""

    kind: ClassVar[str] = "date"

    def text_of(self, value: Any) -> str:
        """As a browser wants it."""
        return value.isoformat() if isinstance(value, date) else str(value)

    def value_of(self, text: str) -> Any:
        """A date, or the text where it is none."""
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text


@dataclass(frozen=True)
class Choice(Field):
    """One of some words. ``empty``: the words for no answer, or None where there must be one."""

    choices: Choices = ()
    empty: str | None = ""
    number: bool = False
    kind: ClassVar[str] = "choice"

    def value_of(self, text: str) -> Any:
        """The word, or the number."""
        return number_of(text) if self.number else text


@dataclass(frozen=True)
class YesNo(Field):
    """A question that must be answered: yes or no."""

    kind: ClassVar[str] = "yes-no"

    def text_of(self, value: Any) -> str:
        """yes or no."""
        return "yes" if value is True else "no" if value is False else str(value)

    def value_of(self, text: str) -> Any:
        """True or False."""
        return {"yes": True, "no": False}.get(text, text)


@dataclass(frozen=True)
class Flag(Field):
    """A tick. ``usual`` says what holds where the document says nothing."""

    usual: Any = False
    wide: bool = True
    kind: ClassVar[str] = "flag"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """Ticked or not."""
        typed.put(at + self.key, *(["yes"] if table.get(self.key, self.usual) is True else []))

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """Only what is not usual is written."""
        ticked = typed.get(at + self.key) == "yes"
        if ticked != self.usual:
            table[self.key] = ticked

    def blank(self) -> dict[str, list[str]]:
        """Ticked where that is usual."""
        return {self.key: ["yes"] if self.usual else []}


@dataclass(frozen=True)
class Ticks(Field):
    """Several of some words."""

    choices: Choices = ()
    kind: ClassVar[str] = "ticks"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """The ticked ones."""
        value = table.get(self.key, [])
        typed.put(at + self.key, *(str(one) for one in (value if isinstance(value, list) else [value])))

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """A list, where any is ticked."""
        found = typed.all(at + self.key)
        if found:
            table[self.key] = found


@dataclass(frozen=True)
class Words(Field):
    """Several words with commas."""

    known: Callable[[str], str] = str
    shown: Callable[[str], str] = str
    suggests: str = ""
    kind: ClassVar[str] = "text"

    def text_of(self, value: Any) -> str:
        """The words with commas."""
        return ", ".join(self.shown(str(one)) for one in value) if isinstance(value, list) else str(value)

    def value_of(self, text: str) -> Any:
        """A list."""
        return [self.known(one.strip()) for one in re.split(r"[,;\n]", text) if one.strip()]


@dataclass(frozen=True)
class Named(Field):
    """A name that a list suggests. ``known`` gives what the document holds for it, ``shown`` the name for that."""

    known: Callable[[str], str] = str
    shown: Callable[[str], str] = str
    suggests: str = ""
    catalogue: Catalogue | None = None
    kind: ClassVar[str] = "named"

    def text_of(self, value: Any) -> str:
        """The name."""
        return self.shown(str(value))

    def value_of(self, text: str) -> Any:
        """What the document holds."""
        return self.known(text)

    def proposals(self, text: str) -> list[str]:
        """Names that may be meant, best first."""
        if self.catalogue is None or not text:
            return []
        return [self.shown(slug) for slug in match_name(text, self.catalogue).proposals]


UNIT = re.compile(r"\s*([-+]?\d+(?:[.,]\d+)?)\s*([a-zA-Z\"']*)\s*")
UNIT_WORDS = {"lbs": "lb", "kgs": "kg", "kilo": "kg", "kilos": "kg", "pounds": "lb", "pound": "lb", '"': "in"}


@dataclass(frozen=True)
class Measure(Field):
    """A number whose unit stands in the key (``mass_kg``, ``mass_lb``): a bare number is in the first unit."""

    units: tuple[str, ...] = ("kg", "lb")
    kind: ClassVar[str] = "number"

    @property
    def unit(self) -> str:
        """The unit of a bare number."""
        return self.units[0]

    def holds(self) -> tuple[str, ...]:
        """The key with every unit."""
        return tuple(f"{self.key}_{unit}" for unit in self.units)

    def names(self) -> tuple[str, ...]:
        """The key with and without a unit."""
        return (self.key, *self.holds())

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """The number; with its unit where that is not the usual one."""
        for unit in self.units:
            key = f"{self.key}_{unit}"
            if key in table:
                text = number_text(table[key])
                typed.put(at + self.key, text if unit == self.unit else f"{text} {unit}")

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """The number under the key of its unit; what is none, under the usual key."""
        text = typed.get(at + self.key)
        if not text:
            return
        hit = UNIT.fullmatch(text)
        if hit is None:
            table[f"{self.key}_{self.unit}"] = text
            return
        word = hit[2].lower()
        unit = UNIT_WORDS.get(word, word) or self.unit
        table[f"{self.key}_{unit}"] = number_of(hit[1])


@dataclass(frozen=True)
class Run(Field):
    """Pieces of one mass, or a run of them: from, to, step. One mass where only the first is filled."""

    units: tuple[str, ...] = ("kg", "lb")
    kind: ClassVar[str] = "run"

    def parts(self) -> tuple[Measure, Measure, Measure]:
        """The three fields."""
        return (
            Measure("from", self.label, self.help, units=self.units),
            Measure("to", "To", units=self.units),
            Measure("step", "Steps of", units=self.units),
        )

    def holds(self) -> tuple[str, ...]:
        """The keys of a run and of a single mass."""
        single = tuple(f"mass_{unit}" for unit in self.units)
        return (*single, *(key for part in self.parts() for key in part.holds()))

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """A single mass stands in the first field."""
        for unit in self.units:
            if f"mass_{unit}" in table:
                self.parts()[0].show({f"from_{unit}": table[f"mass_{unit}"]}, typed, at)
        for part in self.parts():
            part.show(table, typed, at)

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """A run where any of the later fields is filled."""
        first, last, step = self.parts()
        if typed.get(at + "to") or typed.get(at + "step"):
            for part in (first, last, step):
                part.take(typed, at, table)
            return
        found: Table = {}
        first.take(typed, at, found)
        table.update({key.replace("from_", "mass_"): value for key, value in found.items()})

    def blank(self) -> dict[str, list[str]]:
        """Three empty fields."""
        return {"from": [], "to": [], "step": []}

    def names(self) -> tuple[str, ...]:
        """Faults of a single mass stand at the first field."""
        return (*(name for part in self.parts() for name in part.names()), "mass", *self.holds())


@dataclass(frozen=True)
class Counts(Field):
    """A table of numbers by word: how many of each fixture, the largest angle of each motion."""

    choices: Choices = ()
    unit: str = ""
    kind: ClassVar[str] = "counts"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """A list of words counts one each."""
        value = table.get(self.key, {})
        if isinstance(value, list):
            value = {one: value.count(one) for one in value}
        if isinstance(value, Mapping):
            for word, count in value.items():
                typed.put(f"{at}{self.key}.{word}", number_text(count))

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """Only what is filled in."""
        found = {word: number_of(text) for word, _ in self.choices if (text := typed.get(f"{at}{self.key}.{word}"))}
        if found:
            table[self.key] = found

    def blank(self) -> dict[str, list[str]]:
        """Nothing counted."""
        return {f"{self.key}.{word}": [] for word, _ in self.choices}


@dataclass(frozen=True)
class Sub(Field):
    """A table of its own below: a clearance. It is there once any of its fields is filled.

    ``always``: there even where nothing is; ``folds``: folded up while nothing stands in it
    """

    fields: tuple[Field, ...] = ()
    always: bool = False
    folds: bool = False
    kind: ClassVar[str] = "sub"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """Its fields."""
        below = table.get(self.key, {})
        show_all(self.fields, below if isinstance(below, Mapping) else {}, typed, f"{at}{self.key}.")

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """The table, where anything in it is filled."""
        found = take_all(self.fields, typed, f"{at}{self.key}.")
        if found or self.always:
            table[self.key] = found

    def blank(self) -> dict[str, list[str]]:
        """Its fields, blank."""
        return {f"{self.key}.{name}": texts for one in self.fields for name, texts in one.blank().items()}


@dataclass(frozen=True)
class Rows(Field):
    """A list of tables: rows that can be added and taken out. ``one`` names a row; ``start`` rows stand ready."""

    fields: tuple[Field, ...] = ()
    one: str = "row"
    start: int = 0
    more: tuple[Field, ...] = field(default=())  # of each row, behind "more"
    carries: tuple[str, ...] = ()  # fields that a new row takes over from the one above
    kind: ClassVar[str] = "rows"

    @property
    def every(self) -> tuple[Field, ...]:
        """All fields of a row."""
        return self.fields + self.more

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """The rows of the document, at least those that stand ready."""
        rows = table.get(self.key, [])
        rows = [one for one in rows if isinstance(one, Mapping)] if isinstance(rows, list) else []
        for number, one in enumerate(rows, start=1):
            show_all(self.every, one, typed, f"{at}{self.key}[{number}].")
        for number in range(len(rows) + 1, self.start + 1):
            for name, texts in self.blank_row().items():
                typed.put(f"{at}{self.key}[{number}].{name}", *texts)

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """The rows in which anything was filled in."""
        found = [take_all(self.every, typed, f"{at}{self.key}[{one}].") for one in self.filled(typed, at)]
        if found:
            table[self.key] = found

    def filled(self, typed: Typed, at: str) -> list[int]:
        """The numbers of the rows that are not as blank as a new one."""
        usual = self.blank_row()

        def is_filled(number: int) -> bool:
            start = f"{at}{self.key}[{number}]."
            names = [name for name in typed.texts if name.startswith(start)]
            return any(
                typed.all(name) != [one for one in usual.get(name.removeprefix(start), ()) if one]
                for name in names
                if name.removeprefix(start) not in self.carries
            )

        return [one for one in typed.rows(f"{at}{self.key}") if is_filled(one)]

    def blank_row(self) -> dict[str, list[str]]:
        """What stands in a new row."""
        return {name: texts for one in self.every for name, texts in one.blank().items()}

    def blank(self) -> dict[str, list[str]]:
        """A list inside a row has no rows yet."""
        return {}


@dataclass(frozen=True)
class Week(Field):
    """The days of a week as seven rows: minutes and place where the day is one to train on."""

    days: Choices = ()
    places: Choices = ()
    kind: ClassVar[str] = "week"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """Each day of the document in its row."""
        for one in table.get(self.key, []):
            start = f"{at}{self.key}[{one.get('day')}]."
            for key in ("minutes", "place"):
                if key in one:
                    typed.put(start + key, number_text(one[key]))

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """The days with minutes, in order; a single place is that of all days."""
        found = []
        for day in self.filled(typed, at):
            start = f"{at}{self.key}[{day}]."
            row: Table = {"day": day, "minutes": number_of(typed.get(start + "minutes"))}
            place = typed.get(start + "place") or (self.places[0][0] if len(self.places) == 1 else "")
            found.append({**row, "place": place} if place else row)
        if found:
            table[self.key] = found

    def filled(self, typed: Typed, at: str) -> list[str]:
        """The days on which there are minutes."""
        return [day for day, _ in self.days if typed.get(f"{at}{self.key}[{day}].minutes")]


REST = "_kept"  # the hidden field for keys that the form does not know


def show_all(fields: Sequence[Field], table: Mapping[str, Any], typed: Typed, at: str = "") -> None:
    """Puts a table into the texts of its fields; keys that no field knows are kept as they are."""
    for one in fields:
        one.show(table, typed, at)
    known = {key for one in fields for key in one.holds()}
    rest = {key: value for key, value in table.items() if key not in known}
    if rest:
        typed.put(at + REST, tomli_w.dumps(rest))


def take_all(fields: Sequence[Field], typed: Typed, at: str = "") -> Table:
    """The table that was typed, with the keys that the form does not know."""
    found: Table = {}
    for one in fields:
        one.take(typed, at, found)
    try:
        rest = tomllib.loads(typed.texts.get(at + REST, [""])[-1])
    except tomllib.TOMLDecodeError:
        rest = {}
    return {**rest, **found}
