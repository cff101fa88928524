"""The house keeps its own rules: no hosts, no machine paths, pure rooms, no early heavy imports."""

from __future__ import annotations

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PURE = ("body", "catalogue", "people", "strength", "dose", "plan", "review", "publish")
# Written in pieces so that this file does not hold what it looks for.
HOSTS = re.compile(
    "|".join(["py" + r"pi\.o" + "rg", "python" + "hosted", r"registry\.np" + "mjs", r"deb\.deb" + "ian"])
)
PATHS = re.compile("|".join(["/wo" + "rk/", "/fa" + "rm/", "bash_" + "jobs", "/ro" + "ot/"]))


def tracked_files() -> list[Path]:
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout
    return [ROOT / name for name in listing.decode().split("\0") if name and (ROOT / name).is_file()]


def text_of(path: Path) -> str:
    data = path.read_bytes()
    return "" if b"\0" in data else data.decode("utf-8", errors="replace")


@pytest.mark.parametrize("pattern", [HOSTS, PATHS], ids=["registry-host", "machine-path"])
def test_no_tracked_file_names_a(pattern: re.Pattern[str]) -> None:
    files = tracked_files()
    assert len(files) > 20, "git lists no files: the check would be empty"

    guilty = [str(path.relative_to(ROOT)) for path in files if pattern.search(text_of(path))]

    assert guilty == []


@pytest.mark.parametrize("room", PURE)
def test_a_pure_room_knows_no_clock_file_network_or_global_chance(room: str) -> None:
    """Referee: the abstract syntax tree. Packaged data (importlib.resources) is allowed."""
    barred_modules = {
        "socket",
        "urllib",
        "http",
        "requests",
        "subprocess",
        "pathlib",
        "os",
        "time",
        "random",
        "django",
    }
    barred_calls = {"open", "today", "now", "utcnow", "getenv", "urandom"}
    sources = list((ROOT / "src" / "setwright" / room).rglob("*.py"))
    assert sources

    guilty = []
    for source in sources:
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names = {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                names = {(node.module or "").split(".")[0]}
            elif isinstance(node, ast.Call):
                call = node.func
                name = call.id if isinstance(call, ast.Name) else call.attr if isinstance(call, ast.Attribute) else ""
                if name in barred_calls:
                    guilty.append(f"{source.name}:{node.lineno} calls {name}")
                continue
            else:
                continue
            guilty += [f"{source.name}:{node.lineno} imports {name}" for name in names & barred_modules]

    assert guilty == []
