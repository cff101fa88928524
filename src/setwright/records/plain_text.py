"""Text that every data base keeps: no NUL, no half of a character pair.

PostgreSQL refuses both, SQLite takes them; a set that holds one is kept all the same, with the usual mark (U+FFFD)
where it stood.
"""

from __future__ import annotations

import re
from typing import Any

UNKEPT = re.compile("[\0\ud800-\udfff]")
MARK = "\N{REPLACEMENT CHARACTER}"


def keepable(value: Any) -> Any:
    """The same value of texts, lists and tables, with a mark in the place of each character that can't be kept.

    >>> keepable({"note": "a" + chr(0), "reps": 5})["reps"], len(keepable("a" + chr(0)))
    (5, 2)
    """
    if isinstance(value, str):
        return UNKEPT.sub(MARK, value)
    if isinstance(value, dict):
        return {keepable(key): keepable(one) for key, one in value.items()}
    if isinstance(value, list):
        return [keepable(one) for one in value]
    return value
