"""A score of conditioning in the trade's words: ``5 rounds + 12 reps``, ``8:41``, ``9 of 10``, ``cap, 4 rounds + 3``.

What is read is kept as it was written; this only says what it means.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

ALLOWED = "a score like '5 rounds + 12 reps', '8:41', '9 of 10', '140 reps', or 'cap, 4 rounds + 3 reps'"
MOST = 10_000


@dataclass(frozen=True)
class Score:
    """What a score says; None for what it does not tell.

    rounds, reps : whole rounds, and repetitions of the round begun (or all of them, where no rounds are told)
    time_s : how long the work took; of : rounds or minutes planned; is_capped : the cap came before the end
    """

    rounds: int | None = None
    reps: int | None = None
    time_s: float | None = None
    of: int | None = None
    is_capped: bool = False

    @property
    def said(self) -> str:
        """The score in one way of saying it."""
        if self.time_s is not None:
            minutes, rest = divmod(round(self.time_s, 1), 60)
            return f"{int(minutes)}:{rest:04.1f}".removesuffix(".0")
        if self.of is not None:
            return f"{self.rounds} of {self.of}"
        rounds = "" if self.rounds is None else "1 round" if self.rounds == 1 else f"{self.rounds} rounds"
        reps = "" if not self.reps else "1 rep" if self.reps == 1 else f"{self.reps} reps"
        text = " + ".join(one for one in (rounds, reps) if one) or "0 reps"
        return f"cap, {text}" if self.is_capped else text


def read_score(text: str) -> Score | None:
    """The score of a text, or None where it says none.

    >>> read_score("5+12"), read_score("8:41").time_s, read_score("9/10").of
    (Score(rounds=5, reps=12, time_s=None, of=None, is_capped=False), 521.0, 10)
    """
    plain = re.sub(r"\s+", " ", text.strip().lower())
    cap = re.match(r"(?:time )?cap(?:ped)?\b[\s,:+-]*(?:at \S+\s*)?", plain)
    if cap:
        found = read_score(plain[cap.end() :]) if plain[cap.end() :] else Score(rounds=0)
        return None if found is None or found.time_s is not None else Score(found.rounds, found.reps, is_capped=True)
    for pattern, made in (
        (ROUNDS, of_rounds),
        (CLOCK, of_clock),
        (SPELLED, of_words),
        (PART, of_part),
        (REPS, of_reps),
    ):
        found_at = re.fullmatch(pattern, plain)
        if found_at:
            score = made(found_at)
            return score if is_within(score) else None
    return None


ROUNDS = r"(?P<n>\d+) ?(?:(?:rounds?|rds?|r)(?: ?(?:\+|and|,) ?(?P<m>\d+) ?(?:reps?)?)?|\+ ?(?P<k>\d+) ?(?:reps?)?)"
CLOCK = r"(?:(?P<h>\d{1,2}):)?(?P<m>\d{1,3}):(?P<s>[0-5]\d(?:[.,]\d)?)(?: ?min)?"
SPELLED = r"(?:(?P<m>\d{1,3}) ?min(?:utes?)?)?[ ,]*(?:(?P<s>\d{1,4}(?:[.,]\d)?) ?s(?:ec(?:onds?)?)?)?"
PART = r"(?P<n>\d+) ?(?:of|/|out of) ?(?P<of>\d+)(?: (?:rounds|minutes|min))?"
REPS = r"(?P<n>\d+) ?reps?"


def of_rounds(found: re.Match[str]) -> Score:
    """Rounds and what was begun."""
    return Score(rounds=int(found["n"]), reps=int(found["m"] or found["k"] or 0))


def of_clock(found: re.Match[str]) -> Score:
    """A time on the clock."""
    return Score(time_s=3600.0 * int(found["h"] or 0) + 60.0 * int(found["m"]) + float(found["s"].replace(",", ".")))


def of_words(found: re.Match[str]) -> Score:
    """A time in words; no time at all is out of reach."""
    return Score(time_s=60.0 * int(found["m"] or 0) + float((found["s"] or "0").replace(",", ".")))


def of_part(found: re.Match[str]) -> Score:
    """So many of so many."""
    return Score(rounds=int(found["n"]), of=int(found["of"]))


def of_reps(found: re.Match[str]) -> Score:
    """Repetitions in all."""
    return Score(reps=int(found["n"]))


def is_within(score: Score) -> bool:
    """False for numbers that can be no score."""
    if score.time_s is not None:
        return 1.0 <= score.time_s <= 36_000.0
    if score.of is not None:
        return 0 <= (score.rounds or 0) <= score.of <= MOST and score.of > 0
    return (score.rounds or 0) <= MOST and (score.reps or 0) <= MOST
