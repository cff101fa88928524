"""One logged set as evidence: what kind of statement it is, and what the kinds mean."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

Kind = Literal["called", "failure", "lower-bound", "easy", "test"]
KINDS: tuple[Kind, ...] = ("called", "failure", "lower-bound", "easy", "test")


@dataclass(frozen=True)
class SetEvidence:
    """One set as evidence: the whole load moved (kg, body part included), and what it says about repetitions.

    kind : ``called`` (reps + rir were possible, with error), ``failure`` (the next repetition failed; with 0 reps
        not even one), ``lower-bound`` (at least reps were possible), ``easy`` (felt easy, no number called),
        ``test`` (a best of a test or competition: at least this, and rarely much more)
    number : 1 for the first set of the lift on that day; rest_s : rest before it, None where nobody wrote it down
    guess_sd : extra doubt about the load, in log (bands and machines that help)
    held_kg : the load of a hold, whose ``load_kg`` is the greatest load that it speaks for; 0 where nothing was held
    strange : so far from all that was known that it waits for a check; it keeps a trace of its weight
    is_rote : a call that has been the same for some sets, as somebody calls who repeats the plan
    is_echo : a bound that an earlier set of these weeks has given already; it tires, and tells nothing new
    """

    date: date
    load_kg: float
    reps: float
    kind: Kind
    rir: float = 0.0
    number: int = 1
    rest_s: float | None = None
    guess_sd: float = 0.0
    held_kg: float = 0.0
    strange: bool = False
    is_echo: bool = False
    is_rote: bool = False
