"""The published forms of ``keep``, ``kept`` and ``group`` with ``--json``."""

from __future__ import annotations

from typing import Any

from setwright.publish.schemas import closed, listed, number

DRAFT = "https://json-schema.org/draft/2020-12/schema"
TEXT: dict[str, Any] = {"type": "string"}


def kept_one() -> dict[str, Any]:
    """One kept session."""
    return closed(
        file={**TEXT, "description": "the text, as the path that was given or found"},
        title={**TEXT, "description": "as it is written, placeholders and all"},
        weeks={"type": "integer", "minimum": 1},
        sessions=number(1, 7, "sessions a week", whole=True),
        exercises=listed({**TEXT, "description": "slug, in the order written"}),
        placeholders=listed({**TEXT, "description": "as it is written, like {step: pull-up}"}),
    )


def keep_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``keep --json``: the session that was kept."""
    return {"$schema": DRAFT, "title": "Setwright kept session, version 1", **kept_one()}


def kept_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``kept --json``: the sessions of a folder that were looked for, by file name."""
    return {"$schema": DRAFT, "title": "Setwright kept sessions, version 1", **listed(kept_one())}


def group_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``group --json``: what was written, and who stands on the sheet."""
    whole = closed(
        folder={**TEXT, "description": "where the files were written"},
        files={**listed(TEXT), "description": "names in that folder"},
        people={**listed(TEXT), "description": "as they are called on the sheet, in its order"},
    )
    return {"$schema": DRAFT, "title": "Setwright group sheet, version 1", **whole}
