"""The two published questionnaires of the morning, as data: their questions, steps, and which end is good."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Scale:
    """One questionnaire: its questions, the lowest and highest answer, the step between answers, which end is good."""

    name: str
    also_called: tuple[str, ...]
    questions: tuple[str, ...]
    low: float
    high: float
    step: float
    good_is_high: bool
    source: str
    how_known: str

    @property
    def steps_words(self) -> str:
        """The answers allowed, in words."""
        steps = "whole numbers" if self.step == 1 else f"steps of {self.step:g}"
        return f"{self.low:g} to {self.high:g} in {steps}"

    def allows(self, answer: object) -> bool:
        """True for an answer on the scale."""
        if isinstance(answer, bool) or not isinstance(answer, (int, float)):
            return False
        return self.low <= answer <= self.high and ((answer - self.low) / self.step).is_integer()

    @property
    def lowest_sum(self) -> float:
        """The smallest sum of all answers."""
        return self.low * len(self.questions)

    @property
    def highest_sum(self) -> float:
        """The largest sum of all answers."""
        return self.high * len(self.questions)


@cache
def scales() -> dict[str, Scale]:
    """Every questionnaire by its name, as packaged (``data/wellness.toml``)."""
    text = resources.files("setwright.review").joinpath("data", "wellness.toml").read_text(encoding="utf-8")
    made = {}
    for name, row in tomllib.loads(text).items():
        row = {**row, "also_called": tuple(row["also_called"]), "questions": tuple(row["questions"])}
        made[name] = Scale(name, **row)
    return made
