"""Kilograms inside, kg or lb at the face: how masses are printed, and how sentences that hold masses are put.

1 lb = 0.45359237 kg exactly (NIST Special Publication 811, appendix B; international agreement of 1959; from memory).
Masses are kept to the gram, so a sum of many plates is off by some grams; pounds are printed as the plates say them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from setwright.body.units import LB_KG

Unit = Literal["kg", "lb"]
# Loads are sums of pieces kept to the gram: within this of a quarter pound, the quarter is what the plates say.
NEAR_LB = 0.03

NUMBER = r"\d+(?:\.\d+)?"
MASS = re.compile(
    # A change a week, with its range in brackets that names no unit of its own.
    rf"(?P<rate>[+-]{NUMBER}) (?P<rate_unit>kg|lb) a week \((?P<word>between )?(?P<from>[+-]{NUMBER})"
    rf"(?P<join> and | to )(?P<upto>[+-]{NUMBER})\)"
    # A range: between 60 and 75 kg, 60 to 75 kg, 60-75 kg.
    rf"|(?:(?P<between>\bbetween )(?P<low>{NUMBER}) and |(?<![\w.])(?P<first>{NUMBER})(?P<dash> to |-|–))"
    rf"(?P<high>{NUMBER})[ -]?(?P<range_unit>kg|lb)\b(?!/[mc])"
    # One mass, or a sum of pieces: 82.5 kg, 20-kg, + 20 + 5 kg.
    rf"|(?<![\w.])(?P<sum>{NUMBER}(?: \+ {NUMBER})*)(?P<space>[ -]?)(?P<unit>kg|lb)\b(?!/[mc])"
)
# Pieces to take: "20 + 5 a side", "12.5 on the end", "pin at 45 + 2.5". Their numbers stand alone.
PIECES = re.compile(
    rf"(?P<side>{NUMBER}(?: \+ {NUMBER})*)(?= (?:a side|on the end)\b)|(?<=pin at )(?P<pin>{NUMBER}(?: \+ {NUMBER})*)"
)


def to_lb(kg: float) -> float:
    """Pounds of a mass in kilograms."""
    return kg / LB_KG


def short(value: float, places: int = 2) -> str:
    """A number with at most some decimals and no needless zero."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def in_number(kg: float, unit: Unit) -> float:
    """The number of a mass in a unit, as a plate or a scale says it: 45 for a 45 lb plate kept as 20.412 kg."""
    if unit == "kg":
        return round(kg, 2)
    pounds = to_lb(kg)
    quarter = round(4 * pounds) / 4
    return quarter if abs(pounds - quarter) <= NEAR_LB else round(pounds, 1)


def number_text(kg: float, unit: Unit = "kg") -> str:
    """The number of a mass without its unit.

    >>> number_text(20.412, "lb"), number_text(82.5), number_text(174.636), number_text(20, "lb")
    ('45', '82.5', '174.64', '44.1')
    """
    return short(in_number(kg, unit))


def mass_text(kg: float, unit: Unit = "kg") -> str:
    """A mass as printed.

    >>> mass_text(82.5), mass_text(174.636, "lb")
    ('82.5 kg', '385 lb')
    """
    return f"{number_text(kg, unit)} {unit}"


def range_numbers(low: str, high: str, factor: float, unit: Unit) -> tuple[str, str]:
    """Both ends of a range as printed, from its numbers as written.

    Pounds are whole, as an estimate deserves; numbers kept to the gram are loads, and say what their plates say.
    factor : kilograms of one of the unit the numbers are in
    """

    def end(number: str) -> str:
        kg = float(number) * factor
        is_load = len(number.partition(".")[2]) >= 3
        return number_text(kg, unit) if unit == "kg" or is_load else short(to_lb(kg), 0)

    ends = end(low), end(high)
    if ends[0] == ends[1] and float(low) < float(high):
        return short(to_lb(float(low) * factor), 1), short(to_lb(float(high) * factor), 1)
    return ends


def range_text(low_kg: float, high_kg: float, unit: Unit = "kg", join: str = " and ") -> str:
    """An estimated range of masses, in whole numbers.

    >>> range_text(68.2, 74.8, "lb"), range_text(68.2, 74.8, join=" to ")
    ('150 and 165 lb', '68 to 75 kg')
    """
    low, high = (low_kg, high_kg) if unit == "kg" else (to_lb(low_kg), to_lb(high_kg))
    return f"{short(low, 0)}{join}{short(high, 0)} {unit}"


def change_text(kg: float, unit: Unit = "kg") -> str:
    """A gain or loss with its sign and one decimal, without the unit."""
    value = round(kg if unit == "kg" else to_lb(kg), 1) + 0.0  # no minus before a nought
    return f"{value:+.1f}"


@lru_cache(maxsize=8192)
def in_unit(text: str, unit: Unit) -> str:
    """A sentence with every mass in it put in one unit; all else stays as it is.

    Masses are numbers before ``kg`` or ``lb``: alone, in sums, in ranges, in changes a week. Done twice it changes
    nothing more. Leaves out numbers without a unit (see ``pieces_in_unit``) and units such as kg/m.

    >>> in_unit("Find your load: start here, then 74.844 kg. It lies between 68.2 and 74.8 kg.", "lb")
    'Find your load: start here, then 165 lb. It lies between 150 and 165 lb.'
    """

    def kilograms(number: str, named: str) -> float:
        return float(number) * (LB_KG if named == "lb" else 1.0)

    def put(found: re.Match[str]) -> str:
        if found["rate"]:
            named = found["rate_unit"]
            if named == unit:
                return found[0]
            rate, low, high = (change_text(kilograms(found[key], named), unit) for key in ("rate", "from", "upto"))
            return f"{rate} {unit} a week ({found['word'] or ''}{low}{found['join']}{high})"
        if found["high"]:
            named = found["range_unit"]
            if named == unit == "lb":
                return found[0]
            low, high, join = found["low"] or found["first"], found["high"], found["dash"] or " and "
            if float(low) > float(high):  # no range: two numbers that happen to stand side by side
                return f"{found['between'] or ''}{low}{join}{mass_text(kilograms(high, named), unit)}"
            low, high = range_numbers(low, high, kilograms("1", named), unit)
            return f"{found['between'] or ''}{low}{join}{high} {unit}"
        named = found["unit"]
        if named == unit == "lb":
            return found[0]
        numbers = (number_text(kilograms(one, named), unit) for one in found["sum"].split(" + "))
        return " + ".join(numbers) + found["space"] + unit

    return MASS.sub(put, text)


@lru_cache(maxsize=8192)
def pieces_in_unit(pieces: str, own: Unit, shown: Unit) -> str:
    """What to take, as the plates, bells and pins are named in the place; the unit is said where it isn't the shown.

    own : what the plates of the place say; shown : the unit of the sheet

    >>> pieces_in_unit("20.412 + 11.34 + 4.536 a side", "lb", "lb")
    '45 + 25 + 10 a side'
    >>> pieces_in_unit("20 + 5 a side", "kg", "lb"), pieces_in_unit("2 dumbbells of 18.1437 kg", "lb", "lb")
    ('20 + 5 kg a side', '2 dumbbells of 40 lb')
    """
    named = "" if own == shown else f" {own}"

    def put(found: re.Match[str]) -> str:
        return " + ".join(number_text(float(one), own) for one in found[0].split(" + ")) + named

    return in_unit(PIECES.sub(put, pieces), own)
