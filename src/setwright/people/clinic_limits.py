"""A restriction as an extension of FHIR, and back: every field with a name and a typed value.

Others who read the file need none of it: the sentence beside it says the same. Nothing here changes the meaning of
the element it stands in, so it is no modifier extension.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from setwright.people.clinic_codes import OWN, UCUM
from setwright.people.trainee import Clearance, Restriction

URL = f"{OWN}/restriction"
TEXTS = ("id", "joint", "side", "level", "reason", "set_by")
LISTS = ("actions", "positions", "spine", "wanted")
NUMBERS = ("grip_max", "impact_max")
DAYS = ("since", "review_on")


def limit_extension(one: Restriction) -> dict[str, Any]:
    """A restriction as one extension that holds an extension for each field that says something."""
    found = [valued(key, "String", getattr(one, key)) for key in TEXTS if getattr(one, key)]
    found += [valued(key, "String", word) for key in LISTS for word in getattr(one, key)]
    found += [valued(key, "Integer", getattr(one, key)) for key in NUMBERS if getattr(one, key) is not None]
    found += [valued(key, "Date", getattr(one, key).isoformat()) for key in DAYS if getattr(one, key) is not None]
    found += [angle_extension(motion, most) for motion, most in one.max_angles.items()]
    if one.needs_clearance:
        found.append(valued("needs_clearance", "Boolean", True))
    if one.clearance is not None:
        found.append(clearance_extension(one.clearance))
    return {"url": URL, "extension": found}


def valued(url: str, kind: str, value: object) -> dict[str, Any]:
    """An extension that holds one value."""
    return {"url": url, f"value{kind}": value}


def angle_extension(motion: str, most: float) -> dict[str, Any]:
    """The largest angle of a motion, degrees."""
    angle = {"value": most, "unit": "degrees", "system": UCUM, "code": "deg"}
    return {"url": "max_angles", "extension": [valued("motion", "String", motion), valued("angle", "Quantity", angle)]}


def clearance_extension(one: Clearance) -> dict[str, Any]:
    """A clearance."""
    found = [valued("who", "String", one.who), valued("given_on", "Date", one.given_on.isoformat())]
    if one.scope:
        found.append(valued("scope", "String", one.scope))
    if one.expires_on is not None:
        found.append(valued("expires_on", "Date", one.expires_on.isoformat()))
    if one.pain_up_to is not None:
        found.append(valued("pain_up_to", "Integer", one.pain_up_to))
    return {"url": "clearance", "extension": found}


def value_of(extension: Mapping[str, Any]) -> Any:
    """The one value of an extension, None where it has none."""
    return next((value for key, value in extension.items() if key.startswith("value")), None)


def below(extension: Mapping[str, Any]) -> dict[str, Any]:
    """The values of the extensions inside one, by their names."""
    return {str(one.get("url")): value_of(one) for one in extension.get("extension") or () if isinstance(one, Mapping)}


def limit_in(extension: Mapping[str, Any]) -> Restriction:
    """The restriction of an extension that ``limit_extension`` made. Raises ValueError or KeyError for another."""
    inside = [one for one in extension.get("extension") or () if isinstance(one, Mapping)]
    single = below(extension)
    angles: dict[str, float] = {}
    cleared: Clearance | None = None
    for one in inside:
        held = below(one)
        if one.get("url") == "max_angles":
            if held["angle"].get("code") != "deg":
                raise ValueError(f"an angle in {held['angle'].get('code')!r}, not in deg")
            angles[str(held["motion"])] = float(held["angle"]["value"])
        elif one.get("url") == "clearance":
            expires = held.get("expires_on")
            cleared = Clearance(
                str(held["who"]),
                date.fromisoformat(held["given_on"]),
                str(held.get("scope", "")),
                None if expires is None else date.fromisoformat(expires),
                held.get("pain_up_to"),
            )
    lists = {key: tuple(str(value_of(one)) for one in inside if one.get("url") == key) for key in LISTS}
    days = {key: date.fromisoformat(single[key]) if key in single else None for key in DAYS}
    return Restriction(
        **{key: str(single[key]) for key in TEXTS if key in single},  # type: ignore[arg-type]
        **lists,  # type: ignore[arg-type]
        **{key: single.get(key) for key in NUMBERS},  # type: ignore[arg-type]
        **days,  # type: ignore[arg-type]
        max_angles=angles,
        needs_clearance=bool(single.get("needs_clearance", False)),
        clearance=cleared,
    )
