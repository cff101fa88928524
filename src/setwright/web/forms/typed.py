"""What was typed into a form, by the names of its fields.

Two ideas carry this module. One: the name of a field is the path that a fault would name (``baselines[2].reps``).
Two: buttons that only change the form (one more row, one less, this name was meant) work on what was typed, before
anything is read.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

MOST_ROWS = 400


@dataclass
class Typed:
    """Texts by the name of their field; a field that is not there was left empty."""

    texts: dict[str, list[str]] = field(default_factory=dict)

    def get(self, name: str, otherwise: str = "") -> str:
        """The text of a field, without spaces around it."""
        found = self.texts.get(name)
        return found[-1].strip() if found else otherwise

    def all(self, name: str) -> list[str]:
        """Every text of a field that may be there several times."""
        return [one for one in self.texts.get(name, ()) if one]

    def put(self, name: str, *texts: str) -> None:
        """Sets a field."""
        self.texts[name] = list(texts)

    def rows(self, at: str) -> list[int]:
        """The numbers of the rows of a list that were sent, in order."""
        pattern = re.compile(rf"{re.escape(at)}\[(\d{{1,4}})\]\.")
        found = {int(hit[1]) for name in self.texts if (hit := pattern.match(name))}
        return sorted(found)[:MOST_ROWS]

    def without_row(self, at: str, number: int) -> None:
        """Takes a row out."""
        start = f"{at}[{number}]."
        self.texts = {name: texts for name, texts in self.texts.items() if not name.startswith(start)}


def typed_of(given: Mapping[str, Iterable[str]]) -> Typed:
    """What a request brought: a ``QueryDict`` or any mapping to lists."""
    lists = given.lists() if hasattr(given, "lists") else given.items()
    return Typed({name: [str(one) for one in texts] for name, texts in lists})


@dataclass(frozen=True)
class Pressed:
    """A button that changes the form only: ``more`` a list, ``less`` a row, ``meant`` a name for a field."""

    deed: str
    at: str
    value: str = ""


def pressed(typed: Typed) -> Pressed | None:
    """The button that was pressed, or None where the whole form was sent."""
    for deed in ("more", "less", "meant"):
        said = typed.get(deed)
        if said:
            at, _, value = said.partition("=")
            return Pressed(deed, at, value)
    return None


ROW = re.compile(r"(.+)\[(\d{1,4})\]")


def apply_button(
    typed: Typed, button: Pressed, blanks: Mapping[str, Mapping[str, Sequence[str]]], carries: Container[str] = ()
) -> str:
    """Changes what was typed as a button says; gives the name of the field where the cursor goes next.

    blanks : for each list, by its path, the fields of a new row with what stands in them
    carries : fields that a new row takes over from the row above
    """
    if button.deed == "meant":
        typed.put(button.at, button.value)
        return button.at
    if button.deed == "less":
        hit = ROW.fullmatch(button.at)
        if hit:
            typed.without_row(hit[1], int(hit[2]))
        return ""
    if button.at not in blanks:
        return ""
    last = max(typed.rows(button.at), default=0)
    number = last + 1
    for name, texts in blanks[button.at].items():
        carried = typed.texts.get(f"{button.at}[{last}].{name}", []) if name in carries else []
        typed.put(f"{button.at}[{number}].{name}", *(carried or texts))
    return f"{button.at}[{number}].{next(iter(blanks[button.at]), '')}"
