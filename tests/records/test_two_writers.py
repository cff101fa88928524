"""Several writers on the embedded data base: each waits for its turn, nobody gets a fault, nothing is lost.

The real server (several workers and threads) with phones that log, a coach who writes, and another program that holds
the lock of the data base again and again. Referee: the rows of the data base, read past the framework.
"""

from __future__ import annotations

import sqlite3
import threading
import time
from contextlib import closing
from typing import Any

import pytest
from installation import Installation
from test_kill import Phone, Server, ask, kept_keys

COOKIES = """
from django.test import Client
ode = models.Trainee.objects.get(slug="ode")
for user in (ode.user, ode.coach.user):
    client = Client()
    client.force_login(user)
    print(client.cookies["sessionid"].value)
print(ode.id)
"""
PRAGMAS = """
from django.db import connection
with connection.cursor() as cursor:
    for name in ("journal_mode", "synchronous", "busy_timeout", "foreign_keys"):
        print(cursor.execute(f"pragma {name}").fetchone()[0])
print(connection.transaction_mode)
"""
HELD_S, FREE_S, TIMES, LOG_FOR_S = 1.0, 0.2, 2, 3.0


class Coach(threading.Thread):
    """A coach who writes words to a trainee, one note after the other."""

    def __init__(self, server: Server, cookie: str, trainee: str) -> None:
        super().__init__(daemon=True)
        self.server, self.cookie, self.trainee = server, cookie, trainee
        self.answers: list[int] = []
        self.is_done = threading.Event()

    def run(self) -> None:
        """The coach at work."""
        note = {"day": "2026-11-23", "text": "well done"}
        while not self.is_done.is_set():
            _, _, token = ask(self.server.port, "GET", "/token/", self.cookie, None)
            key = f"00000000-0000-4000-8000-{len(self.answers):012d}"
            body = {"rows": [], "notes": [{**note, "id": key}]}
            status, _, _ = ask(self.server.port, "POST", f"/t/{self.trainee}/log/", self.cookie, body, token)
            self.answers.append(status)


def hold_the_lock(hall: Installation) -> None:
    """Another program that writes: it keeps everybody waiting again and again."""
    with closing(sqlite3.connect(hall.folder / "setwright.sqlite3", timeout=20, isolation_level=None)) as other:
        for _ in range(TIMES):
            other.execute("begin immediate")
            time.sleep(HELD_S)
            other.execute("rollback")
            time.sleep(FREE_S)


def test_the_embedded_data_base_waits_and_is_sure_of_its_disk(hall: Installation) -> None:
    """WAL lets people read while one writes; a transaction takes the lock at its start, so that it never has to give
    up in the middle; a commit is on the disk. Source: SQLite's documentation of its pragmas, from memory."""
    if hall.database:
        pytest.skip("a server keeps the data of this run")

    told = hall.python(PRAGMAS).split()

    assert told == ["wal", "2", "20000", "1", "IMMEDIATE"]


def test_writers_at_the_same_time_wait_for_one_another(hall: Installation) -> None:
    server = Server(hall)
    trainee_cookie, coach_cookie, trainee = hall.python(COOKIES).split()
    phones = [Phone(server, trainee_cookie, trainee, number) for number in range(6)]
    coach = Coach(server, coach_cookie, trainee)
    everybody: list[Any] = [*phones, coach]
    try:
        server.start()
        started = time.monotonic()
        for one in everybody:
            one.start()
        if not hall.database:
            hold_the_lock(hall)
        time.sleep(max(0.0, started + LOG_FOR_S - time.monotonic()))
        for one in everybody:
            one.is_done.set()
            one.join(30)
    finally:
        for one in everybody:
            one.is_done.set()
        if server.process is not None:
            server.kill()

    sent = [key for one in phones for key in one.sent]
    assert not [one.refused for one in phones if one.refused]
    assert not any(one.is_alive() for one in everybody)
    assert len(sent) > len(phones) and len(coach.answers) > 1
    assert set(coach.answers) == {200}
    assert sorted(kept_keys(hall)) == sorted(sent)
