"""From a small TOML file to checked values: every fault at once, each with its path, and the nearest known key.

A shape is a mapping of keys to readers. A reader takes what was found and gives a value, or adds faults.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from setwright.catalogue.names import nearest
from setwright.faults import Fault, InputFaults

MOST_BYTES = 1_000_000
INCH_M = 0.0254
REQUIRED = object()


def decode_text(data: bytes, file: str, most: int = MOST_BYTES) -> str:
    """The text of a file, or one clear fault: too big, binary, not UTF-8."""
    if len(data) > most:
        found = f"{len(data) / 1e6:.1f} MB"
        raise InputFaults([Fault(file, "", found, f"a text file of at most {most / 1e6:g} MB")])
    if b"\0" in data:
        raise InputFaults([Fault(file, "", "binary data", "a text file in UTF-8")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        where = f"a byte that is no UTF-8 at position {error.start}"
        raise InputFaults([Fault(file, "", where, "a text file in UTF-8")]) from None


def read_toml(text: str, file: str) -> dict[str, Any]:
    """The tables of a TOML text; an empty one and a syntax error are one fault each."""
    if not text.strip():
        raise InputFaults([Fault(file, "", "an empty file", "the keys of the template")])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputFaults(
            [
                Fault(
                    file,
                    "",
                    f"no TOML: {error}",
                    "TOML, as in the template",
                    "Text needs quotes, dates are 2026-09-07.",
                )
            ]
        ) from None


def as_meant(value: str, choices: Sequence[str], meant: Callable[[str], str] | None) -> str:
    """The choice that a text means, whatever its capitals; the text itself where it means none."""
    if meant is None or value in choices:
        return value
    small = value.strip().lower()
    return next((one for one in (small, meant(small)) if one in choices), value)


@dataclass
class Reader:
    """Reads one table: takes keys one by one, remembers which were taken, collects faults with their paths."""

    table: Mapping[str, Any]
    file: str
    path: str
    faults: list[Fault]
    taken: set[str] = field(default_factory=set)
    known: list[str] = field(default_factory=list)

    def at(self, key: str) -> str:
        """The path of a key."""
        return f"{self.path}.{key}" if self.path else key

    def fault(self, key: str, found: object, allowed: str, hint: str = "") -> None:
        """Adds a fault at a key."""
        shown = found if isinstance(found, str) and found.startswith(("nothing", "no ")) else repr(found)
        self.faults.append(Fault(self.file, self.at(key), str(shown), allowed, hint))

    def get(self, key: str, default: Any = None) -> Any:
        """The raw value, ``default`` where missing; ``REQUIRED`` makes missing a fault."""
        self.taken.add(key)
        self.known.append(key)
        if key in self.table:
            return self.table[key]
        if default is REQUIRED:
            self.fault(key, "nothing", "a value: this key is required")
            return None
        return default

    def has(self, key: str) -> bool:
        """True when the table holds the key."""
        return key in self.table

    def text(
        self,
        key: str,
        default: Any = "",
        allowed: Iterable[str] | None = None,
        what: str = "",
        meant: Callable[[str], str] | None = None,
    ) -> str:
        """A text, one of ``allowed`` where given; ``meant`` turns other words, in small letters, into those."""
        value = self.get(key, default)
        if value is None:
            return ""
        if not isinstance(value, str) or (default is REQUIRED and not value.strip()):
            self.fault(key, value, what or "a text in quotes")
            return ""
        if allowed is not None and value:
            choices = list(allowed)
            value = as_meant(value, choices, meant)
            if value not in choices:
                close = nearest(value, choices, 3)
                shown = what or (", ".join(choices) if len(choices) <= 12 else "a name that the catalogue knows")
                self.fault(key, value, shown, f"Nearest: {', '.join(close)}." if close else "")
                return ""
        return value

    def unit(self, key: str, default: str, allowed: Sequence[str]) -> str:
        """A unit, one of ``allowed``; another word for one of them, or of its kind, is a fault that names it."""
        value = self.get(key, default)
        if isinstance(value, str) and (value in allowed or value == default):
            return value
        near = nearest_unit(value, allowed) if isinstance(value, str) else ""
        self.fault(key, value, ", ".join(allowed), f"Nearest: {near}." if near else "")
        return default

    def number(
        self, key: str, low: float, high: float, unit: str = "", default: Any = None, whole: bool = False
    ) -> float | None:
        """A number within limits, or None."""
        value = self.get(key, default)
        if value is None:
            return None
        kind = "a whole number" if whole else "a number"
        allowed = f"{kind} from {low:g} to {high:g} {unit}".rstrip()
        bad = isinstance(value, bool) or not isinstance(value, (int, float))
        if bad or not low <= value <= high or (whole and value != int(value)):  # limits first: nan has no int
            hint = "Write the number without quotes and without its unit." if isinstance(value, str) else ""
            self.fault(key, value, allowed, hint)
            return None
        return float(value)

    def flag(self, key: str, default: bool = False) -> bool:
        """true or false."""
        value = self.get(key, default)
        if not isinstance(value, bool):
            self.fault(key, value, "true or false")
            return default
        return value

    def day(self, key: str, default: Any = None) -> date | None:
        """A date."""
        value = self.get(key, default)
        if value is None:
            return None
        if isinstance(value, datetime) or not isinstance(value, date):
            self.fault(key, value, "a date like 2026-09-07, without quotes")
            return None
        return value

    def pair(
        self, key: str, low: float, high: float, default: Any, unit: str = "", whole: bool = True
    ) -> tuple[float, float]:
        """Two rising numbers, or one number for both."""
        value = self.get(key, default)
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            value = [value, value]
        fine = (
            isinstance(value, (list, tuple))
            and len(value) == 2
            and all(isinstance(one, (int, float)) and not isinstance(one, bool) for one in value)
            and low <= value[0] <= value[1] <= high
            and (not whole or all(one == int(one) for one in value))
        )
        if not fine:
            self.fault(key, value, f"two rising numbers from {low:g} to {high:g} {unit}".rstrip() + ", like [4, 6]")
            return (float(default[0]), float(default[1]))
        return (float(value[0]), float(value[1]))

    def words(
        self,
        key: str,
        allowed: Iterable[str] | None = None,
        what: str = "",
        meant: Callable[[str], str] | None = None,
    ) -> tuple[str, ...]:
        """A list of texts, each one of ``allowed`` where given; ``meant`` as in ``text``."""
        value = self.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.fault(key, value, 'a list of texts, like ["back_squat"]')
            return ()
        if allowed is not None:
            choices = list(allowed)
            value = [as_meant(one, choices, meant) for one in value]
            for number, one in enumerate(value, start=1):
                if one not in choices:
                    close = nearest(one, choices, 3)
                    shown = what or (", ".join(choices) if len(choices) <= 12 else "a name that the catalogue knows")
                    self.faults.append(
                        Fault(
                            self.file,
                            f"{self.at(key)}[{number}]",
                            repr(one),
                            shown,
                            f"Nearest: {', '.join(close)}." if close else "",
                        )
                    )
        return tuple(value)

    def sub(self, key: str, required: bool = False) -> Reader | None:
        """A table below, or None."""
        value = self.get(key, REQUIRED if required else None)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault(key, value, f"a table: [{self.at(key)}]")
            return None
        return Reader(value, self.file, self.at(key), self.faults)

    def each(self, key: str, read: Callable[[Reader], Any], required: bool = False) -> tuple[Any, ...]:
        """A list of tables, each read by ``read``; counted from 1 in paths. None results are left out."""
        value = self.get(key, REQUIRED if required else [])
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.fault(key, value, f"a list of tables: [[{self.at(key)}]]")
            return ()
        if required and not value:
            self.fault(key, value, "at least one")
        found = []
        for number, one in enumerate(value, start=1):
            reader = Reader(one, self.file, f"{self.at(key)}[{number}]", self.faults)
            before = len(self.faults)
            made = read(reader)
            reader.close()
            if made is not None and len(self.faults) == before:
                found.append(made)
        return tuple(found)

    def close(self, aliases: Mapping[str, str] | None = None) -> None:
        """Every key that nobody asked for is a fault, with the nearest known one."""
        for key in self.table:
            if key in self.taken:
                continue
            hint = (aliases or {}).get(key, "")
            if not hint:
                close = nearest(key, self.known, 1)
                hint = f"Did you mean {close[0]}?" if close else ""
            self.faults.append(
                Fault(self.file, self.at(key), "an unknown key", ", ".join(dict.fromkeys(self.known)), hint)
            )


# Words for units, and the units of the same kind that files know.
UNIT_WORDS = {
    **dict.fromkeys(("lbs", "pound", "pounds", "stone", "stones", "st", "oz", "ounces"), "lb"),
    **dict.fromkeys(("kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "g", "gram", "grams"), "kg"),
    **dict.fromkeys(("mm", "centimetre", "centimetres", "centimeter", "centimeters", "cms"), "cm"),
    **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("inch", "inches", "ft", "foot", "feet"), "in"),
    **dict.fromkeys(("degree", "degrees", "rad", "radians"), "deg"),
}


def nearest_unit(word: str, known: Sequence[str]) -> str:
    """The known unit that a word means, is spelled like, or is of a kind with; empty where there is none."""
    plain = word.strip().lower()
    meant = plain if plain in known else UNIT_WORDS.get(plain, "")
    if meant == "in" and "in" not in known:
        meant = "cm"
    if meant in known:
        return meant
    return next(iter(nearest(plain, known, 1)), "")


def one_of_units(
    reader: Reader, name: str, units: Mapping[str, tuple[float, float, float]], required: bool
) -> float | None:
    """A measure that may be written in several units (``body_mass_kg`` or ``body_mass_lb``), in the first one's.

    units : suffix -> (factor to the inner unit, lowest, highest in that unit)
    """
    given = [suffix for suffix in units if reader.has(f"{name}_{suffix}")]
    for suffix in units:
        reader.known.append(f"{name}_{suffix}")
        reader.taken.add(f"{name}_{suffix}")
    if len(given) > 1:
        reader.fault(
            f"{name}_{given[1]}",
            reader.table[f"{name}_{given[1]}"],
            f"only one of {', '.join(f'{name}_{s}' for s in given)}",
        )
        return None
    if not given:
        for bare in dict.fromkeys((name, name.replace("body_mass", "weight"), name.replace("stature", "height"))):
            written = [key for key in reader.table if key == bare or key.startswith(f"{bare}_")]
            for key in written:
                reader.taken.add(key)
                near = nearest_unit(key.removeprefix(bare).removeprefix("_"), tuple(units))
                keys = " or ".join(f"{name}_{suffix}" for suffix in units)
                hint = f"Nearest: {name}_{near}." if near else ""
                reader.fault(key, reader.table[key], f"{keys}, a number: the unit stands in the key", hint)
            if written:
                return None
        if required:
            keys = " or ".join(f"{name}_{suffix}" for suffix in units)
            reader.fault(f"{name}_{next(iter(units))}", "nothing", f"{keys}: this key is required")
        return None
    suffix = given[0]
    factor, low, high = units[suffix]
    value = reader.number(f"{name}_{suffix}", low, high, suffix)
    return None if value is None else value * factor


def finish(faults: Sequence[Fault]) -> None:
    """Raises all faults at once, if there are any."""
    if faults:
        raise InputFaults(faults)
