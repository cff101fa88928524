"""A folder of pages over loopback, for one person on one machine."""

from __future__ import annotations

import errno
import functools
import http.server
import sys
from pathlib import Path

from setwright.faults import Fault, InputFaults

LOOPBACK = "127.0.0.1"


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


def make_server(folder: Path, port: int) -> http.server.ThreadingHTTPServer:
    """A server of a folder on loopback; the next free port where the wanted one is busy.

    Raises InputFaults where the folder has no index page.
    """
    if not (folder / "index.html").is_file():
        raise InputFaults(
            [Fault(str(folder), "", "no index.html", "a folder that setwright wrote", "Make one: setwright demo out")]
        )
    handler = functools.partial(QuietPages, directory=str(folder))
    for candidate in (*range(port, port + 20), 0):
        try:
            return http.server.ThreadingHTTPServer((LOOPBACK, candidate), handler)
        except OSError as error:
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
    raise InputFaults([Fault("--port", "", str(port), "a free port")])


def serve_folder(folder: Path, port: int) -> None:
    """Serves until it is stopped, the address printed first."""
    server = make_server(folder, port)
    address = f"http://{LOOPBACK}:{server.server_address[1]}/"
    print(f"Open {address}  (this machine only; stop with Ctrl-C)", flush=True)
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
    finally:
        server.server_close()
