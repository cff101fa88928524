"""Kill -9 at any moment loses nothing that was confirmed, and doubles nothing that was sent again.

The real server, over HTTP, with several phones that log at once; all of its processes are killed in the middle, it is
started again, the phones send what was not confirmed once more. Referee: the rows of the data base, read past the
framework.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
import uuid
from contextlib import closing
from typing import Any

import pytest
from installation import Installation

from setwright.records import sqlite_file

START_WITHIN_S, ANSWER_WITHIN_S = 60, 20
COOKIE = """
from django.test import Client
client = Client()
client.force_login(models.Trainee.objects.get(slug="ode").user)
print(client.cookies["sessionid"].value, models.Trainee.objects.get(slug="ode").id)
"""


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Server:
    """``setwright serve`` on an installation, in a process group of its own."""

    def __init__(self, hall: Installation) -> None:
        self.hall, self.port = hall, free_port()
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Starts it and waits until it answers."""
        command = [sys.executable, "-m", "setwright.cli.main", "serve", "--data", str(self.hall.folder)]
        command += ["--port", str(self.port)]
        self.process = subprocess.Popen(
            command,
            env=self.hall.environment,
            start_new_session=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        end = time.monotonic() + START_WITHIN_S
        while time.monotonic() < end:
            try:
                ask(self.port, "GET", "/token/", "", None)
                return
            except OSError:
                assert self.process.poll() is None, "the server ended by itself"
                time.sleep(0.1)
        raise AssertionError("the server does not answer")

    def kill(self) -> None:
        """Kill -9 of all of its processes at once."""
        assert self.process is not None
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.process = None


def ask(port: int, method: str, path: str, cookie: str, body: Any, token: str = "") -> tuple[int, Any, str]:
    """One request on a connection of its own: status, JSON, and the token cookie that came with it."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=ANSWER_WITHIN_S)
    headers = {"Cookie": f"sessionid={cookie}; csrftoken={token}", "Content-Type": "application/json"}
    if token:
        headers["X-CSRFToken"] = token
    try:
        connection.request(method, path, None if body is None else json.dumps(body), headers)
        answer = connection.getresponse()
        given = answer.getheader("Set-Cookie", "")
        found = given.split("csrftoken=")[1].split(";")[0] if "csrftoken=" in given else token
        return answer.status, json.loads(answer.read()), found
    except (http.client.HTTPException, json.JSONDecodeError) as broken:
        raise ConnectionError("the answer was cut off") from broken
    finally:
        connection.close()


class Phone(threading.Thread):
    """Logs sets one after the other until it is told to stop; what is not confirmed is sent again, as the page does."""

    def __init__(self, server: Server, cookie: str, trainee: str, number: int) -> None:
        super().__init__(daemon=True)
        self.server, self.cookie, self.trainee, self.number = server, cookie, trainee, number
        self.sent: list[str] = []
        self.confirmed: list[str] = []
        self.refused: list[Any] = []
        self.is_done = threading.Event()

    def run(self) -> None:
        """The phone at work."""
        token, waiting = "", []
        while waiting or not self.is_done.is_set():
            if not waiting:
                waiting = [self.row()]
            try:
                if not token:
                    _, _, token = ask(self.server.port, "GET", "/token/", self.cookie, None)
                path = f"/t/{self.trainee}/log/"
                status, answer, token = ask(self.server.port, "POST", path, self.cookie, {"rows": waiting}, token)
            except OSError:
                time.sleep(0.05)
                continue
            if status != 200 or answer["refused"]:
                self.refused.append((status, answer))
                return
            self.confirmed += answer["kept"]
            waiting = [one for one in waiting if one["row"] not in answer["kept"]]

    def row(self) -> dict[str, Any]:
        """The next set."""
        key = str(uuid.uuid4())
        self.sent.append(key)
        done = {"date": "2026-11-23", "session": "mon", "exercise": "back_squat", "set": len(self.sent) % 90 + 1}
        return {"row": key, **done, "load_kg": 60.0, "reps": 5, "rir": 2}


def kept_keys(hall: Installation) -> list[str]:
    """The keys of all rows of the log."""
    with closing(hall.connect()) as connection:
        cursor = connection.cursor()
        cursor.execute("select key from records_logrow")
        return [key for (key,) in cursor.fetchall()]


def log_and_kill(hall: Installation, kills: int, seed: int) -> None:
    """Phones log, the server is killed again and again; then every promise is held against the data base."""
    chance, server = random.Random(seed), Server(hall)
    cookie, trainee = hall.python(COOKIE).split()
    phones = [Phone(server, cookie, trainee, number) for number in range(4)]
    try:
        server.start()
        for one in phones:
            one.start()
        for _ in range(kills):
            before = sum(len(one.confirmed) for one in phones)
            end = time.monotonic() + START_WITHIN_S
            while sum(len(one.confirmed) for one in phones) == before and time.monotonic() < end:
                time.sleep(0.02)
            time.sleep(chance.uniform(0.0, 1.0))
            server.kill()
            confirmed = [key for one in phones for key in list(one.confirmed)]
            assert confirmed and not set(confirmed) - set(kept_keys(hall)), f"lost, seed {seed}"
            server.start()
        for one in phones:
            one.is_done.set()
            one.join(START_WITHIN_S)
    finally:
        for one in phones:
            one.is_done.set()
        if server.process is not None:
            server.kill()

    sent = [key for one in phones for key in one.sent]
    kept = kept_keys(hall)
    assert not [one.refused for one in phones if one.refused]
    assert not any(one.is_alive() for one in phones)
    assert len(sent) > kills, "nothing was logged"
    assert sorted(kept) == sorted(sent), f"seed {seed}: each set that was sent is kept exactly once"
    if not hall.database:
        assert sqlite_file.damage_of(hall.folder / "setwright.sqlite3") == ""


def test_nothing_confirmed_is_lost_when_the_server_is_killed(hall: Installation) -> None:
    log_and_kill(hall, kills=1, seed=1)


@pytest.mark.long
def test_nothing_confirmed_is_lost_when_the_server_is_killed_again_and_again(hall: Installation) -> None:
    log_and_kill(hall, kills=8, seed=2)
