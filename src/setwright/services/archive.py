"""Files as one ZIP, the same bytes for the same files."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

STAMP = (1980, 1, 1, 0, 0, 0)  # no clock in the file


def packed(files: Mapping[str, bytes]) -> bytes:
    """Files as a ZIP, the same bytes for the same files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(zipfile.ZipInfo(name, STAMP), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()
