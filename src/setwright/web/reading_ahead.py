"""Reads what every page is made of: three seconds that else the first visitor of each worker waits for."""

from __future__ import annotations

from pathlib import Path

from django.template.loader import get_template
from django.urls import get_resolver

from setwright.services.gather import catalogue

TEMPLATES = Path(__file__).parent / "templates"


def read_ahead() -> None:
    """Loads the pages with all they import, the catalogue and the templates. Nothing is asked of the data base."""
    _ = get_resolver().reverse_dict  # every route, and so every page
    catalogue()
    for path in sorted(TEMPLATES.rglob("*.html")):
        get_template(str(path.relative_to(TEMPLATES)))
