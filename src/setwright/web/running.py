"""Starts the application on this machine: tables, static files, a worker for long jobs, and the web server."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from setwright.services.opening import silent_data_base, start_framework
from setwright.services.serving_lock import hold_shared

ADDRESS = "127.0.0.1"
WEB_WORKERS, WEB_THREADS = 2, 8


def prepare(data: Path) -> None:
    """Names the folder of the data and starts the framework; creates or renews the tables and the static files.

    Raises InputFaults where the data base does not answer.
    """
    start_framework(data)
    from django.core.management import call_command
    from django.db.utils import OperationalError

    try:
        call_command("migrate", verbosity=0, interactive=False)
    except OperationalError as error:
        raise silent_data_base(error) from None
    call_command("createcachetable", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)


def fill_if_empty(demo: Path, say: Callable[[str], None]) -> None:
    """The invented roster in an empty data base; says the log-ins, which are kept nowhere else."""
    from setwright.services.desk.filling import fill

    for one in fill(demo, say):
        say(f"Log in as {one.who}: {one.username}   password: {one.password}")


def answers(port: int) -> bool:
    """True once somebody listens at a port of this machine."""
    with socket.socket() as probe:
        return probe.connect_ex((ADDRESS, port)) == 0


def run(data: Path, port: int, say: Callable[[str], None]) -> int:
    """Runs on the data of a folder until it is stopped; gives the exit code of the web server."""
    jobs = [sys.executable, "-m", "django", "db_worker", "--interval", "0.3", "--no-reload"]
    web = [
        *(sys.executable, "-m", "gunicorn", "setwright.web.wsgi:application"),
        *("--bind", f"{ADDRESS}:{port}", "--workers", str(WEB_WORKERS), "--threads", str(WEB_THREADS)),
        *("--no-control-socket", "--log-level", "warning", "--preload"),
    ]
    held = hold_shared(data)
    worker = subprocess.Popen(jobs, pass_fds=(held,))
    server = subprocess.Popen(web, pass_fds=(held,))

    def stop(number: int, frame: object) -> None:
        server.terminate()

    signal.signal(signal.SIGTERM, stop)
    try:
        while server.poll() is None and not answers(port):
            time.sleep(0.1)
        if server.poll() is None:
            say(f"Open http://{ADDRESS}:{port}/  (this machine only; stop with Ctrl-C)")
        while True:
            try:
                return server.wait(timeout=1.0)
            except subprocess.TimeoutExpired:
                if worker.poll() is not None:
                    worker = subprocess.Popen(jobs, pass_fds=(held,))
    except KeyboardInterrupt:
        say("Stopped.")
        return 0
    finally:
        for one in (server, worker):
            one.terminate()
        for one in (server, worker):
            one.wait()
