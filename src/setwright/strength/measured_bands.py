"""Bands that a log names, as what was measured of them: a colour or a name alone says nothing about force."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from setwright.people.place import Band, Place
from setwright.strength.logged import Log


def plain(name: str) -> str:
    """A band's name without what people write in different ways: case, and the word band.

    >>> plain("Green band")
    'green'
    """
    return " ".join(word for word in name.casefold().split() if word != "band")


def calibration(band: Band) -> dict[str, float | str]:
    """The lever dials of a band that was measured; empty for one that was not."""
    if band.rest_cm is None or band.hung_kg is None or band.hung_cm is None:
        return {}
    return {
        "band_rest_cm": band.rest_cm,
        "band_test_kg": band.hung_kg,
        "band_test_cm": band.hung_cm,
        "band_known": "measured",
    }


def measured_bands(places: Sequence[Place]) -> Mapping[str, Mapping[str, float | str]]:
    """Lever dials of the measured bands by their plain name; the first place that has one wins."""
    found: dict[str, Mapping[str, float | str]] = {}
    for place in places:
        for band in place.bands:
            if calibration(band):
                found.setdefault(plain(band.name), calibration(band))
    return found


def with_measured_bands(log: Log, places: Sequence[Place]) -> Log:
    """The log with the lever dials of a measured band where a set names one (``assistance = "green"``).

    Sets that say kilograms of help, or name a band that was never measured, stay as they are.
    """
    bands = measured_bands(places)
    if not bands:
        return log
    sets = []
    for done in log.sets:
        name = done.dials.get("assistance")
        lever = bands.get(plain(name)) if isinstance(name, str) and done.load_kg is None else None
        sets.append(done if lever is None else replace(done, dials={**done.dials, **lever}))
    return replace(log, sets=tuple(sets))
