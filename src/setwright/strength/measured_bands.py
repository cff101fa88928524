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


def measured_bands(places: Sequence[Place]) -> Mapping[str, Band]:
    """Bands with a calibration by their plain name; the first place that has one wins."""
    found: dict[str, Band] = {}
    for place in places:
        for band in place.bands:
            if band.rest_cm is not None and band.hung_kg is not None and band.hung_cm is not None:
                found.setdefault(plain(band.name), band)
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
        band = bands.get(plain(name)) if isinstance(name, str) and done.load_kg is None else None
        if band is None:
            sets.append(done)
            continue
        lever = {
            "band_rest_cm": band.rest_cm,
            "band_test_kg": band.hung_kg,
            "band_test_cm": band.hung_cm,
            "band_known": "measured",
        }
        sets.append(replace(done, dials={**done.dials, **lever}))
    return replace(log, sets=tuple(sets))
