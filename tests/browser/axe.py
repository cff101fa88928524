"""What axe-core (through ``axe-playwright-python``) finds on a page."""

from __future__ import annotations

from importlib import resources
from typing import Any

AXE = resources.files("axe_playwright_python").joinpath("axe.min.js")


def violations(page: Any) -> list[str]:
    """What axe-core finds on a page, in words."""
    page.evaluate(AXE.read_text())
    found = page.evaluate("() => axe.run()")["violations"]
    return [f"{one['id']}: {one['help']}: {[node['html'][:120] for node in one['nodes'][:3]]}" for one in found]
