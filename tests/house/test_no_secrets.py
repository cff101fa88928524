"""No secret stands in the project: no key, no token, no data base, no password but those of invented people in tests.

Patterns: PEM private keys (RFC 7468), JSON web tokens (RFC 7519), the documented prefixes of common services' tokens.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOOKED_AT = ("src", "tests", "docs", "benchmarks", "requirements", ".ci")
SECRETS = re.compile(
    r"-----BEGIN [A-Z ]*PRIVATE KEY-----"
    r"|\beyJ[A-Za-z0-9_-]{15,}\.eyJ[A-Za-z0-9_-]{15,}\."
    r"|\b(?:gh[pousr]_[A-Za-z0-9]{30,}|AKIA[A-Z0-9]{16}|xox[abpr]-[A-Za-z0-9-]{20,}|sk_live_[A-Za-z0-9]{16,})"
    r"|(?i:secret_key|password|api_key)[\"']?\s*[:=]\s*[\"'][A-Za-z0-9+/_=-]{24,}[\"']"
)
NEVER = ("secret-key", ".env", ".sqlite3", ".pem", ".p12", ".kdbx")


def files() -> Iterator[Path]:
    """Every file of the project, without what is built beside it."""
    yield from (one for one in ROOT.iterdir() if one.is_file())
    for name in LOOKED_AT:
        yield from (one for one in (ROOT / name).rglob("*") if one.is_file() and "__pycache__" not in one.parts)


def test_no_file_holds_a_secret() -> None:
    found = [
        f"{one.relative_to(ROOT)}: {match[0][:40]}"
        for one in files()
        if one != Path(__file__) and one.stat().st_size < 5_000_000
        for match in SECRETS.finditer(one.read_text(encoding="utf-8", errors="ignore"))
    ]
    found += [str(one.relative_to(ROOT)) for one in files() if one.name.endswith(NEVER)]

    assert not found


@pytest.mark.parametrize(
    "text",
    [
        "-----BEGIN " + "PRIVATE KEY-----",
        "ghp_" + "a1" * 18,
        "SECRET_KEY = '" + "k3y" * 12 + "'",
    ],
)
def test_the_search_sees_a_secret(text: str) -> None:
    assert SECRETS.search(text)
