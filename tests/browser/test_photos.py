"""A photo without what the camera wrote is the same picture. Referee: the decoders of Chromium, pixel by pixel."""

from __future__ import annotations

import base64
import struct
import zlib
from typing import Any

import pytest
from screens import PHONE
from test_camera_marks import SECRET, chunk, segment, tiff

from setwright.services.camera_marks import without_marks

DRAWN = """(kind) => {
  const board = document.createElement("canvas");
  board.width = 40; board.height = 24;
  const pen = board.getContext("2d");
  pen.fillStyle = "#c33"; pen.fillRect(0, 0, 40, 24);
  pen.fillStyle = "#28c"; pen.fillRect(3, 5, 20, 7);
  return board.toDataURL(kind).split(",")[1];
}"""
SEEN = """async ([kind, data]) => {
  const picture = new Image();
  picture.src = `data:${kind};base64,${data}`;
  await picture.decode();
  const board = document.createElement("canvas");
  board.width = picture.naturalWidth; board.height = picture.naturalHeight;
  const pen = board.getContext("2d");
  pen.drawImage(picture, 0, 0);
  return [board.width, board.height, ...pen.getImageData(0, 0, board.width, board.height).data];
}"""


def with_marks(data: bytes, kind: str) -> bytes:
    """The picture as a camera would leave it: turned by a quarter, with a place."""
    if kind == "image/jpeg":
        return data[:2] + segment(0xE1, b"Exif\x00\x00" + tiff(6)) + segment(0xFE, SECRET) + data[2:] + SECRET
    if kind == "image/png":
        return data[:33] + chunk(b"eXIf", tiff(6)) + chunk(b"tEXt", SECRET) + data[33:]
    rest = data[30:] if data[12:16] == b"VP8X" else data[12:]
    flags = (data[20] if data[12:16] == b"VP8X" else 0) | 0x08
    size = (39).to_bytes(3, "little") + (23).to_bytes(3, "little")
    head, body = struct.pack("<IB", 10, flags) + bytes(3) + size, tiff(6)
    whole = b"WEBPVP8X" + head + rest + b"EXIF" + struct.pack("<I", len(body)) + body + bytes(len(body) % 2)
    return b"RIFF" + struct.pack("<I", len(whole)) + whole


@pytest.mark.parametrize("kind", ["image/jpeg", "image/png", "image/webp"])
def test_the_browser_sees_the_same_picture_turned_the_same_way(opened: Any, kind: str) -> None:
    page = opened(PHONE)
    page.goto("/in/login/")
    marked = with_marks(base64.b64decode(page.evaluate(DRAWN, kind)), kind)
    clean = without_marks(marked, kind)
    assert SECRET in marked and SECRET not in clean

    before, after = (page.evaluate(SEEN, [kind, base64.b64encode(one).decode()]) for one in (marked, clean))

    assert before == after and len(before) == 2 + 40 * 24 * 4
    assert zlib.crc32(bytes(before[2:])) != zlib.crc32(bytes(len(before) - 2))
