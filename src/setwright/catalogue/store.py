"""The catalogue as a value: exercises and progressions by slug, with old slugs still answered."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, ValuesView
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from setwright.catalogue.exercise import Exercise, Progression


@dataclass(frozen=True)
class Catalogue:
    """All exercises (variants too) and progressions by slug; ``renames`` maps an old slug to its new one.

    ``own``: texts of a coach's own files that are part of it, by path; empty for the packaged catalogue.
    """

    exercises: Mapping[str, Exercise]
    progressions: Mapping[str, Progression] = field(default_factory=lambda: MappingProxyType({}))
    renames: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    own: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    _memory: dict[object, float] = field(default_factory=dict, init=False, repr=False, compare=False)

    def remember(self, key: object, make: Callable[[], float]) -> float:
        """A number about exercises of this catalogue, reckoned once; ``key`` names the idea and the slugs."""
        if key not in self._memory:
            self._memory[key] = make()
        return self._memory[key]

    def get(self, slug: str) -> Exercise:
        """The exercise of a slug, following renames.

        Raises LookupError with the nearest slugs when there is none.
        """
        found = self.exercises.get(self.renames.get(slug, slug))
        if found is None:
            from difflib import get_close_matches

            near = get_close_matches(slug, list(self.exercises), n=3, cutoff=0.5)
            hint = f" Nearest: {', '.join(near)}." if near else ""
            raise LookupError(f"No exercise {slug!r} in the catalogue.{hint}")
        return found

    def step_of(self, slug: str) -> tuple[str, int] | None:
        """The progression of which this exercise is a step, and the number of the step; None if of none."""
        exercise = self.get(slug)
        if exercise.progression is None or exercise.progression not in self.progressions:
            return None
        for step in self.progressions[exercise.progression].steps:
            if step.exercise == exercise.slug:
                return exercise.progression, step.number
        return None

    def without(self, names: Collection[str]) -> Catalogue:
        """The catalogue without some exercises, named by slug or by the exercise that they are variants of."""
        if not names:
            return self
        kept = {slug: one for slug, one in self.exercises.items() if not {slug, one.base} & set(names)}
        return replace(self, exercises=kept)

    def values(self) -> ValuesView[Exercise]:
        """The exercises, in the order of their slugs."""
        return self.exercises.values()

    def __contains__(self, slug: object) -> bool:
        return slug in self.exercises or slug in self.renames

    def __iter__(self) -> Iterator[str]:
        return iter(self.exercises)

    def __len__(self) -> int:
        return len(self.exercises)
