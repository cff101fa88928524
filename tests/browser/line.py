"""A line between a phone and the server that can be cut and mended: the only honest way to be without a network."""

from __future__ import annotations

import socket
import threading
from contextlib import suppress


class Line:
    """Forwards every connection from a port of its own to another one; ``cut`` ends all of them at once."""

    def __init__(self, host: str, port: int) -> None:
        self.to = (host, port)
        self.is_deaf = False  # what comes back is lost
        self.open: set[socket.socket] = set()
        self.listener: socket.socket | None = None
        self.port = 0
        self.mend()

    @property
    def url(self) -> str:
        """The address to open."""
        return f"http://localhost:{self.port}"

    def mend(self) -> None:
        """Listens again, on the same port."""
        listener = socket.socket()
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", self.port))
        listener.listen(64)
        self.listener, self.port = listener, listener.getsockname()[1]
        threading.Thread(target=self._take, args=(listener,), daemon=True).start()

    def cut(self) -> None:
        """Ends every connection, and refuses new ones."""
        if self.listener is not None:
            with suppress(OSError):
                self.listener.shutdown(socket.SHUT_RDWR)
            self.listener.close()
            self.listener = None
        for one in list(self.open):
            with suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
            one.close()
        self.open.clear()

    def _take(self, listener: socket.socket) -> None:
        while True:
            try:
                near, _ = listener.accept()
                far = socket.create_connection(self.to)
            except OSError:
                return
            self.open |= {near, far}
            threading.Thread(target=self._pump, args=(near, far, False), daemon=True).start()
            threading.Thread(target=self._pump, args=(far, near, True), daemon=True).start()

    def _pump(self, one: socket.socket, other: socket.socket, is_back: bool) -> None:
        with suppress(OSError):
            while data := one.recv(65536):
                if not (is_back and self.is_deaf):
                    other.sendall(data)
        for each in (one, other):
            self.open.discard(each)
            with suppress(OSError):
                each.close()
