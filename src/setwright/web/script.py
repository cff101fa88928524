"""Values in a page for the scripts of it."""

from __future__ import annotations

import json
from typing import Any

from django.utils.safestring import SafeString, mark_safe


def as_script(values: Any) -> SafeString:
    r"""Values as JSON that can stand in a script element: no text in it can end the element.

    >>> print(as_script({"said": "</script>"}))
    {"said":"\u003C/script\u003E"}
    """
    text = json.dumps(values, separators=(",", ":"))
    return mark_safe(text.replace("<", "\\u003C").replace(">", "\\u003E").replace("&", "\\u0026"))
