"""Heart rates and critical power as a coach reads them, and as JSON."""

from __future__ import annotations

from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.publish.bout_words import pace_clock
from setwright.publish.words import name_of
from setwright.strength.critical_power import CriticalRate, Fit
from setwright.strength.endurance import Endurance
from setwright.strength.heart_rate import HeartZones, Zone
from setwright.strength.spread import Spread

UNITS = {"power": ("W", "kJ"), "speed": ("m/s", "m")}


def endurance_lines(found: Endurance, catalogue: Catalogue) -> list[str]:
    """A paragraph for heart rates, then one for each exercise with all-out efforts."""
    zones = found.zones
    lines = [
        f"Heart rate, from {'the ' if zones.basis == 'age equation' else 'a '}{zones.basis}; "
        f"highest {spread_text(zones.maximum)}, beats a minute:",
        *(f"- {zone_text(zone)}" for zone in zones.zones),
        f"{zones.rests_on} {zones.caution}",
    ]
    for rate in found.rates:
        lines += rate_lines(rate, catalogue)
    return lines


def spread_text(one: Spread, places: int = 0) -> str:
    """A number with its range: ``186 (172 to 199)``."""
    return f"{one.mean:.{places}f} ({one.p10:.{places}f} to {one.p90:.{places}f})"


def zone_text(zone: Zone) -> str:
    """One class: ``moderate: 119 (110 to 128) to 141 (131 to 151); talk: ...``."""
    if zone.low is None:
        span = f"up to {spread_text(zone.high)}" if zone.high is not None else "any"
    elif zone.high is None:
        span = f"from {spread_text(zone.low)}"
    else:
        span = f"{spread_text(zone.low)} to {spread_text(zone.high)}"
    return f"{zone.name}: {span}; you can say {zone.talk}"


def rate_lines(one: CriticalRate, catalogue: Catalogue) -> list[str]:
    """Critical power or speed of one exercise, or why there is none."""
    name = name_of(one.exercise, catalogue)
    title = f"Critical {one.measure}, {name}"
    if not one.fits:
        left = f" Not used: {'; '.join(one.unused)}." if one.unused else ""
        return [f"{title}: not told. {one.why_not}{left}"]
    lines = [f"{title}: {fit_text(one.fits[0], one)}."]
    if len(one.fits) > 1:
        lines.append(f"- with a third number: {fit_text(one.fits[1], one)}")
    elif one.why_not_three:
        lines.append(f"- no third number: {one.why_not_three}")
    forms = "; ".join(f"{form} {rate_text(value, one)}" for form, value in one.other_forms)
    lines.append(f"- the straight lines through the same efforts say: {forms}")
    lines += [f"- {note}" for note in one.notes]
    lines += [f"- not used: {text}" for text in one.unused]
    return lines


def fit_text(fit: Fit, of: CriticalRate) -> str:
    """One fit: the critical rate, the reserve, and the most of an instant where it has one."""
    if of.measure == "power":
        text = f"{spread_text(fit.critical)} W, and {scaled(fit.reserve, 1000.0, 1)} kJ above it"
        return text + ("" if fit.most is None else f", {spread_text(fit.most)} W at most")
    slow, fast = pace_clock(1000.0 / fit.critical.p10), pace_clock(1000.0 / fit.critical.p90)
    text = f"{spread_text(fit.critical, 2)} m/s, {pace_clock(1000.0 / fit.critical.mean)} per km ({fast} to {slow})"
    text += f", and {spread_text(fit.reserve)} m above it"
    return text + ("" if fit.most is None else f", {spread_text(fit.most, 1)} m/s at most")


def scaled(one: Spread, by: float, places: int) -> str:
    """A spread in another unit."""
    return spread_text(Spread(one.mean / by, one.p10 / by, one.p90 / by, one.sd / by), places)


def rate_text(value: float, of: CriticalRate) -> str:
    """A rate with its unit."""
    return f"{value:.0f} W" if of.measure == "power" else f"{value:.2f} m/s"


def endurance_json(found: Endurance) -> dict[str, Any]:
    """The published form: ``heart_rate`` and ``critical``."""
    return {"heart_rate": zones_json(found.zones), "critical": [rate_json(one) for one in found.rates]}


def zones_json(found: HeartZones) -> dict[str, Any]:
    """The classes; beats a minute."""
    return {
        "basis": found.basis,
        "maximum": found.maximum.as_json(),
        "zones": [
            {
                "name": one.name,
                "from": None if one.low is None else one.low.as_json(),
                "to": None if one.high is None else one.high.as_json(),
                "talk": one.talk,
            }
            for one in found.zones
        ],
        "rests_on": found.rests_on,
        "caution": found.caution,
    }


def rate_json(one: CriticalRate) -> dict[str, Any]:
    """Critical power in W and J, or speed in m/s and m."""
    return {
        "exercise": one.exercise,
        "measure": one.measure,
        "fits": [
            {
                "parameters": fit.parameters,
                "critical": fit.critical.as_json(),
                "reserve": fit.reserve.as_json(),
                "most": None if fit.most is None else fit.most.as_json(),
                "scatter": round(fit.scatter, 4),
                "efforts": fit.efforts,
            }
            for fit in one.fits
        ],
        "why_not": one.why_not or None,
        "why_not_three": one.why_not_three or None,
        "other_forms": {form: round(value, 3) for form, value in one.other_forms},
        "efforts": [
            {"date": row.date.isoformat(), "rate": round(row.rate, 3), "time_s": round(row.time_s, 1)}
            for row in one.trials
        ],
        "notes": list(one.notes),
        "unused": list(one.unused),
    }
