"""The screens that pages are tried on, and how the browser is started."""

from __future__ import annotations

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
