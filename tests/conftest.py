"""Lets every test folder share the small invented block; the application's data go to a folder of their own."""

from __future__ import annotations

import atexit
import os
import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "publish"))

if "SETWRIGHT_DATA" not in os.environ:
    os.environ["SETWRIGHT_DATA"] = tempfile.mkdtemp(prefix="setwright-tests-")
    atexit.register(shutil.rmtree, os.environ["SETWRIGHT_DATA"], ignore_errors=True)
os.environ["DJANGO_SETTINGS_MODULE"] = "setwright.settings"
