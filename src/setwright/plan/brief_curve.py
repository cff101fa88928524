"""The curve of effort and volume in a brief file: week by week, or from first to last week."""

from __future__ import annotations

from dataclasses import dataclass

from setwright.people.toml_file import Reader
from setwright.plan.weeks import easier_than_before

USUAL_RPE = (6.5, 8.5)
USUAL_DELOAD = 4


@dataclass(frozen=True)
class Curve:
    """What a brief says of effort and volume over its weeks; the fields are those of ``Brief``."""

    rpe: tuple[float, float]
    rpe_is_default: bool
    deload_every: int
    rpe_by_week: tuple[float, ...]
    sets_by_week: tuple[float, ...]
    easy_weeks: tuple[int, ...] | None


def read_curve(reader: Reader, weeks: int | None) -> Curve:
    """The curve; every fault of it goes to the reader. ``weeks`` is None where the brief's own number is wrong."""
    is_set = reader.has("rpe")
    by_week = reader.has("rpe_by_week")
    rpe = reader.pair("rpe", 1, 10, USUAL_RPE, whole=False)
    every = reader.number("deload_every", 0, 12, "weeks", whole=True, default=USUAL_DELOAD)
    efforts = read_numbers(reader, "rpe_by_week", 1, 10, weeks)
    shares = read_numbers(reader, "sets_by_week", 0.2, 1, weeks, "Write 0.75 for three quarters of the hardest week.")
    easy = read_easy_weeks(reader, weeks)
    if is_set and by_week:
        reader.fault("rpe_by_week", reader.table["rpe_by_week"], "rpe or rpe_by_week, not both")
    if shares and max(shares) < 1:
        reader.fault("sets_by_week", list(shares), "shares of the hardest week, so one of them is 1")
    if reader.has("deload_every") and (easy is not None or by_week or reader.has("sets_by_week")):
        reader.fault(
            "deload_every", reader.table["deload_every"], "nothing here: easy_weeks = [4] names the easier weeks", WHY
        )
    if easy is None and (efforts or shares):
        easy = easier_than_before(efforts, shares)
    if efforts:
        rpe = (efforts[0], max(efforts))
    return Curve(rpe, not is_set and not by_week, int(every or 0), efforts, shares, easy)


WHY = "A curve by week says itself which weeks are easier."


def read_numbers(
    reader: Reader, key: str, low: float, high: float, weeks: int | None, hint: str = ""
) -> tuple[float, ...]:
    """One number for each week, or nothing where the key is missing or wrong."""
    value = reader.get(key)
    if value is None:
        return ()
    fine = (
        isinstance(value, list)
        and all(isinstance(one, (int, float)) and not isinstance(one, bool) and low <= one <= high for one in value)
        and (weeks is None or len(value) == weeks)
    )
    if not fine:
        count = f"{weeks} numbers" if weeks is not None else "numbers"
        found = f"{len(value)} of them: {value!r}" if isinstance(value, list) and len(value) != weeks else value
        shown = f"nothing that fits, {found}" if isinstance(found, str) else found
        reader.fault(key, shown, f"{count} from {low:g} to {high:g}, one for each week", hint)
        return ()
    return tuple(float(one) for one in value)


def read_easy_weeks(reader: Reader, weeks: int | None) -> tuple[int, ...] | None:
    """The numbers of the easier weeks in order; an empty list means none, None that the brief does not say."""
    value = reader.get("easy_weeks")
    if value is None:
        return None
    last = weeks if weeks is not None else 12
    whole = isinstance(value, list) and all(type(one) is int and 1 <= one <= last for one in value)
    if not whole or len(set(value)) != len(value):
        reader.fault("easy_weeks", value, f"numbers of weeks from 1 to {last}, each once, like [4]")
        return None
    if weeks is not None and len(value) >= weeks:
        reader.fault("easy_weeks", value, "at least one week that is not easier")
        return None
    return tuple(sorted(value))
