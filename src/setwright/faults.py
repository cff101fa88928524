"""The tree of our own errors. Faces translate each once into an exit code and a sentence.

    SetwrightError
      InputFaults (ValueError)      a file or an argument is wrong: exit code 2, all faults at once
      NoPlan                        hard rules cannot be met, or clearance is missing: exit code 3

What the trade expects (a stall, a missed day, a wish that does not fit) is a result, not one of these.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class SetwrightError(Exception):
    """Root of every error that is not a bug."""


@dataclass(frozen=True)
class Fault:
    """One fault of an input: where, what was found, what is allowed, and what to try.

    ``path`` is the way inside the file (``baselines[2].reps``); empty for the file as a whole.
    """

    file: str
    path: str
    found: str
    allowed: str
    hint: str = ""

    def sentence(self) -> str:
        """The fault in one line, for people."""
        where = f"{self.file}: {self.path}" if self.path else self.file
        text = f"{where}: found {self.found}; allowed: {self.allowed}."
        return f"{text} {self.hint}" if self.hint else text


class InputFaults(SetwrightError, ValueError):
    """An input is wrong. Carries every fault that was found, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        if not self.faults:
            raise ValueError("InputFaults needs at least one fault")
        super().__init__("\n".join(fault.sentence() for fault in self.faults))


@dataclass(frozen=True)
class Repair:
    """One change that makes a plan possible, and what it costs, in a coach's words.

    ``minutes``: minutes a week that are given more, or of wished work that goes; None where it is no matter of minutes.
    """

    what: str
    costs: str = ""
    minutes: float | None = None

    def sentence(self) -> str:
        """Both in one line."""
        return f"{self.what}: {self.costs}" if self.costs else self.what


class NoPlan(SetwrightError):
    """No plan can satisfy the hard rules, or clearance is missing.

    ``conflict`` is the smallest conflicting set of wishes found, in a coach's words; ``repairs`` are ways out that were
    tried, the cheapest first, any one of them enough; ``repair`` the first of them in words, or empty.
    """

    def __init__(self, conflict: Iterable[str], repair: str = "", repairs: Iterable[Repair] = ()) -> None:
        self.conflict = tuple(conflict)
        self.repairs = tuple(repairs) or ((Repair(repair),) if repair else ())
        self.repair = repair or (self.repairs[0].sentence() if self.repairs else "")
        text = "No plan is possible:\n" + "\n".join(f"  - {line}" for line in self.conflict)
        if len(self.repairs) > 1:
            text += "\n  What would help, the cheapest first; any one is enough:"
            text += "".join(f"\n  {number}. {one.sentence()}" for number, one in enumerate(self.repairs, start=1))
        elif self.repairs:
            text += f"\n  What would help: {self.repairs[0].sentence()}"
        super().__init__(text)

    def as_data(self) -> dict[str, object]:
        """What ``--json`` prints: the conflict, and the ways out, the cheapest first."""
        repairs = [{"what": one.what, "costs": one.costs, "minutes": one.minutes} for one in self.repairs]
        return {"conflict": list(self.conflict), "repairs": repairs}
