"""The next set, as one says it on the gym floor."""

from __future__ import annotations

from setwright.publish.units import Unit, in_unit, mass_text
from setwright.publish.words import span
from setwright.review.next_set import NextSet


def advice_text(name: str, number: int, of: int, advice: NextSet | None, then: str, unit: Unit = "kg") -> str:
    """``Barbell back squat, set 2 of 3 next: 102.5 kg x 5-6. 2 more left in you than planned: more load.``"""
    title = name[:1].upper() + name[1:]
    after = f" Then {then}." if then else ""
    if advice is None:
        return f"{title}: set {number} of {of} was the last." + (after or " The session is done.")
    why = advice.why[:1].upper() + advice.why[1:].rstrip(".") + "."
    if advice.stop:
        return f"{title}: STOP. {in_unit(why, unit)}{after}"
    pieces = [] if advice.load_kg is None else [mass_text(advice.load_kg, unit)]
    if advice.reps is not None:
        pieces.append(f"x {span(*advice.reps)}")
    if advice.hold_s is not None:
        pieces.append(f"{advice.hold_s:g} s hold")
    take = f" ({advice.pieces})" if advice.pieces and unit == "kg" else ""
    return f"{title}, set {number + 1} of {of}: {' '.join(pieces) or 'as planned'}{take}. {in_unit(why, unit)}"
