"""A real browser on the invented practice: a phone and a desk, each with nobody or somebody logged in.

Jobs are done at once, in the request that asks for them. Every request that leaves the machine fails the test.
"""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # the browser's driver keeps a loop in this thread

from cookies import log_in_cookie
from line import Line
from practice import Gym, make_gym, plain
from screens import DESK, FLAGS, PHONE


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """The browser, started once."""
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=15_000)  # a machine with other work to do is slow, not wrong
    with sync_playwright() as driver:
        path = shutil.which("chromium") or shutil.which("chromium-browser")
        assert path, "no chromium: make browser"
        browser = driver.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(autouse=True)
def plain_settings(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Static files without a manifest, quick passwords, jobs at once."""
    plain(settings)
    jobs_at_once(monkeypatch)


def jobs_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every job is done in the request that asks for it."""
    from setwright.records import models
    from setwright.services.desk import jobs

    class AtOnce:
        @classmethod
        def using(cls, **_: int) -> type[AtOnce]:
            return cls

        @staticmethod
        def enqueue(job_id: str) -> None:
            models.Job.objects.filter(id=job_id).update(state=models.Job.RUNNING)
            jobs.run_here(job_id)

    monkeypatch.setattr(jobs, "do_job", AtOnce)


@pytest.fixture
def gym(transactional_db: None) -> Gym:
    """The invented practice."""
    return make_gym()


@pytest.fixture
def opened(chromium: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """Opens a page: ``opened(PHONE, user)``; nobody is logged in where no user is given."""
    contexts = []
    outside: list[str] = []

    def open_page(size: dict[str, int] = DESK, user: Any = None, **more: Any) -> Any:
        context = chromium.new_context(viewport=size, base_url=live_server.url, **more)
        contexts.append(context)
        if user is not None:
            context.add_cookies([log_in_cookie(user, live_server.url)])
        page = context.new_page()
        home = live_server.url

        def look(request: Any) -> None:
            if not request.url.startswith((home, "data:", "blob:")):
                outside.append(request.url)

        page.on("request", look)
        return page

    yield open_page
    for one in contexts:
        one.close()
    assert not outside, f"asked elsewhere: {outside}"


@pytest.fixture
def line(live_server: Any) -> Iterator[Line]:
    """The line to the server; it can be cut."""
    at = urlsplit(live_server.url)
    made = Line("127.0.0.1" if at.hostname == "localhost" else str(at.hostname), int(at.port or 80))
    yield made
    made.cut()


@pytest.fixture
def phone(chromium: Any, line: Line) -> Iterator[Callable[..., Any]]:
    """A phone with somebody logged in: ``phone(user)``; each is a browser of its own."""
    contexts = []

    def take(user: Any, **more: Any) -> Any:
        context = chromium.new_context(viewport=PHONE, base_url=line.url, has_touch=True, **more)
        contexts.append(context)
        context.add_cookies([log_in_cookie(user, line.url)])
        page = context.new_page()
        page.set_default_timeout(20_000)
        return page

    yield take
    for one in contexts:
        one.close()
    time.sleep(0.2)  # what was asked last is answered under the settings of this test, not of the next
