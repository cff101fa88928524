"""What the first visitor asks for is read before anybody asks; tried in a process of its own, as a server starts."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from setwright.web.reading_ahead import TEMPLATES

MAKE = (
    "import os, pathlib; from setwright.web.running import prepare; prepare(pathlib.Path(os.environ['SETWRIGHT_DATA']))"
)
LOOK = """
import sys
from setwright.web.wsgi import application
before = set(sys.modules)
from django.db import connections
from django.template import engines
from django.test import Client
(loader,) = engines["django"].engine.template_loaders
kept = len(loader.get_template_cache)
print(connections["default"].connection)
answer = Client().get("/in/login/", secure=True, headers={"host": "127.0.0.1"})
print(answer.status_code, kept, len(loader.get_template_cache) - kept)
pages = ("setwright.web.views", "setwright.services")
print([one for one in set(sys.modules) - before if one.startswith(pages)])
"""


def test_the_first_page_finds_its_code_and_its_templates_read(tmp_path: Path) -> None:
    here = {one: value for one, value in os.environ.items() if one != "SETWRIGHT_DATABASE"}
    here |= {"SETWRIGHT_DATA": str(tmp_path / "data"), "DJANGO_SETTINGS_MODULE": "setwright.settings"}
    subprocess.run([sys.executable, "-c", MAKE], env=here, check=True)

    told = subprocess.run([sys.executable, "-c", LOOK], env=here, check=True, capture_output=True, text=True)

    connection, counts, late = told.stdout.splitlines()
    status, kept, more = map(int, counts.split())
    assert connection == "None"  # workers that part after it would share what is open
    assert (status, more, late) == (200, 0, "[]") and kept >= len(list(TEMPLATES.rglob("*.html")))
