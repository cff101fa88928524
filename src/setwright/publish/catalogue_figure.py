"""A small figure of a catalogue entry, posed from its body position and its joint angles."""

from __future__ import annotations

from setwright.catalogue.exercise import Exercise


def entry_figure(exercise: Exercise) -> str | None:
    """The figure of an exercise as SVG, or None where a picture would mislead."""
    return None
