"""A folder of pages over loopback, for one person on one machine."""

from __future__ import annotations

import errno
import functools
import http.server
import json
import sys
from pathlib import Path

from setwright.faults import Fault, InputFaults

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8321
LAST_PORT = 65535


class QuietPages(http.server.SimpleHTTPRequestHandler):
    """Serves files without listing folders and without a line for each request."""

    def log_message(self, format: str, *args: object) -> None:
        """Says nothing."""

    def list_directory(self, path: object) -> None:
        """No listings: a folder without an index page is not found."""
        self.send_error(404, "There is no page here.")

    def end_headers(self) -> None:
        """Adds headers that keep the pages to themselves."""
        self.send_header("Cache-Control", "no-cache")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header(
            "Content-Security-Policy", "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:"
        )
        super().end_headers()


def free_port(port: int | None) -> int:
    """The port that was named, or the usual one, or the next free one after it.

    Raises InputFaults where the named one is none or busy.
    """
    import socket

    if port is not None and not 1 <= port <= LAST_PORT:
        raise InputFaults([Fault("--port", "", str(port), f"a whole number from 1 to {LAST_PORT}")])
    for candidate in (port,) if port is not None else range(USUAL_PORT, USUAL_PORT + 20):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((LOOPBACK, candidate))
            except OSError:
                continue
            return candidate
    hint = "Leave --port out, and a free one is taken."
    raise InputFaults([Fault("--port", "", f"{port or USUAL_PORT}, which is in use", "a free port", hint)])


def make_server(folder: Path, port: int, exact: bool = False) -> http.server.ThreadingHTTPServer:
    """A server of a folder on loopback; the next free port where the wanted one is busy, unless it must be ``exact``.

    Raises InputFaults where the folder has no index page, or the port is none or busy.
    """
    if not 1 <= port <= LAST_PORT:
        raise InputFaults([Fault("--port", "", str(port), f"a whole number from 1 to {LAST_PORT}")])
    if not (folder / "index.html").is_file():
        raise InputFaults(
            [Fault(str(folder), "", "no index.html", "a folder that setwright wrote", "Make one: setwright demo out")]
        )
    handler = functools.partial(QuietPages, directory=str(folder))
    others = () if exact else (*range(port + 1, min(port + 20, LAST_PORT + 1)), 0)
    for candidate in (port, *others):
        try:
            return http.server.ThreadingHTTPServer((LOOPBACK, candidate), handler)
        except OSError as error:
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            why = "in use" if error.errno == errno.EADDRINUSE else "kept for the machine's owner"
    hint = "Leave --port out, and a free one is taken."
    raise InputFaults([Fault("--port", "", f"{port}, which is {why}", "a free port", hint)])


def serve_folder(folder: Path, port: int | None = None, as_json: bool = False) -> None:
    """Serves until it is stopped, the address printed first; a port that is named is taken, or refused.

    as_json : the address as JSON on standard output, the words on standard error
    """
    server = make_server(folder, USUAL_PORT if port is None else port, exact=port is not None)
    address = f"http://{LOOPBACK}:{server.server_address[1]}/"
    if as_json:
        print(json.dumps({"address": address, "folder": str(folder)}), flush=True)
    print(
        f"Open {address}  (this machine only; stop with Ctrl-C)", flush=True, file=sys.stderr if as_json else sys.stdout
    )
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
    finally:
        server.server_close()
