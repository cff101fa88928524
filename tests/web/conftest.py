"""An invented practice in a data base of its own (``practice``)."""

from __future__ import annotations

from typing import Any

import pytest
from practice import Gym, make_gym, plain


@pytest.fixture(autouse=True)
def plain_settings(settings: Any) -> None:
    """Static files without a manifest, quick passwords."""
    plain(settings)


@pytest.fixture
def gym(db: None) -> Gym:
    """The invented practice, and another one beside it."""
    return make_gym()
