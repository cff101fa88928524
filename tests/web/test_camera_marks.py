"""What a camera wrote leaves a photo and a clip; every byte of the picture stays.

Referee: the published layouts, written out here byte by byte: JPEG segments (ITU-T T.81, annex B) with an Exif segment
(CIPA DC-008, 4.5 to 4.6: TIFF header, directory, GPS directory), PNG chunks (RFC 2083), RIFF chunks of WebP (RFC 9649),
boxes of MP4 (ISO/IEC 14496-12, 8); all from memory. That browsers see the same picture is tried in ``tests/browser``.
"""

from __future__ import annotations

import struct
import zlib
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from setwright.records import models
from setwright.services.camera_marks import turned, without_marks

SECRET = b"INVENTED-PLACE 52.1N"


def tiff(orientation: int, order: str = ">") -> bytes:
    """An Exif body: header, a directory with Make, Orientation and a pointer to GPS, and the words of both."""
    head = (b"II" if order == "<" else b"MM") + struct.pack(f"{order}HI", 42, 8)
    words = SECRET + b"\x00"
    after = 8 + 2 + 3 * 12 + 4
    make = struct.pack(f"{order}HHII", 0x010F, 2, len(words), after)
    turn = struct.pack(f"{order}HHIHH", 0x0112, 3, 1, orientation, 0)
    gps = struct.pack(f"{order}HHII", 0x8825, 4, 1, after + len(words))
    place = struct.pack(f"{order}HHHII", 1, 0x001B, 7, len(words), after) + bytes(4)
    return head + struct.pack(f"{order}H", 3) + make + turn + gps + bytes(4) + words + place


def segment(marker: int, body: bytes) -> bytes:
    """One segment of a JPEG."""
    return bytes([0xFF, marker]) + struct.pack(">H", len(body) + 2) + body


JFIF = segment(0xE0, b"JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00")
COLOURS = segment(0xE2, b"ICC_PROFILE\x00\x01\x01" + bytes(20))
ADOBE = segment(0xEE, b"Adobe\x00d\x00\x00\x00\x00\x01")
FRAME = segment(0xC2, bytes(11))
TABLES = segment(0xDB, bytes(65))
SCAN = segment(0xDA, bytes(6)) + b"\x12\xff\x00\x34\xff\xd0\x56"  # a stuffed byte and a restart inside
SECOND = segment(0xC4, bytes(19)) + segment(0xDA, bytes(6)) + b"\x78\x9a"
END = b"\xff\xd9"
PICTURE = COLOURS + ADOBE + TABLES + FRAME + SCAN + SECOND + END


def jpeg(orientation: int = 1, order: str = ">") -> bytes:
    """A JPEG with everything a camera may add, before and after the picture."""
    marks = segment(0xE1, b"Exif\x00\x00" + tiff(orientation, order))
    marks += segment(0xE1, b"http://ns.adobe.com/xap/1.0/\x00" + SECRET) + segment(0xED, b"Photoshop 3.0\x00" + SECRET)
    marks += segment(0xFE, SECRET) + segment(0xE2, b"MPF\x00" + SECRET)
    return b"\xff\xd8" + JFIF + marks + b"\xff" + PICTURE + SECRET  # a fill byte before a segment is allowed


def chunk(name: bytes, body: bytes) -> bytes:
    """One chunk of a PNG."""
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def test_a_jpeg_keeps_its_picture_and_colours_to_the_byte_and_nothing_else() -> None:
    assert without_marks(jpeg(), "image/jpeg") == b"\xff\xd8" + JFIF + PICTURE


@pytest.mark.parametrize("order", ["<", ">"], ids=["little end first", "big end first"])
@pytest.mark.parametrize("orientation", [3, 6, 8])
def test_how_a_photo_is_turned_stays_alone(orientation: int, order: str) -> None:
    made = without_marks(jpeg(orientation, order), "image/jpeg")

    exif = made.index(b"Exif\x00\x00") + 6
    assert turned(made[exif:]) == orientation
    assert SECRET not in made and made.endswith(PICTURE)
    assert len(made) == len(b"\xff\xd8" + JFIF + PICTURE) + 4 + 6 + 26  # one segment, one directory of one entry
    assert without_marks(made, "image/jpeg") == made


def test_a_png_loses_texts_times_and_what_follows_it() -> None:
    picture = [chunk(b"IHDR", bytes(13)), chunk(b"pHYs", bytes(9)), chunk(b"IDAT", b"abc"), chunk(b"IEND", b"")]
    marks = [chunk(b"tEXt", SECRET), chunk(b"iTXt", SECRET), chunk(b"tIME", bytes(7)), chunk(b"eXIf", tiff(6))]
    data = b"\x89PNG\r\n\x1a\n" + picture[0] + b"".join(marks) + b"".join(picture[1:]) + SECRET

    made = without_marks(data, "image/png")

    assert SECRET not in made
    turn = made[made.index(b"eXIf") + 4 :]
    assert turned(turn) == 6 and len(turn) > 26
    for one in picture:
        assert one in made
    assert len(made) == 8 + sum(map(len, picture)) + 12 + 26


def test_a_webp_loses_its_marks_and_their_flags() -> None:
    def part(name: bytes, body: bytes) -> bytes:
        return name + struct.pack("<I", len(body)) + body + bytes(len(body) % 2)

    def riff(*parts: bytes) -> bytes:
        whole = b"WEBP" + b"".join(parts)
        return b"RIFF" + struct.pack("<I", len(whole)) + whole

    colours, picture = part(b"ICCP", bytes(4)), part(b"VP8 ", b"abc")
    marks = (part(b"EXIF", tiff(1)), part(b"XMP ", SECRET))

    made = without_marks(riff(part(b"VP8X", b"\x2c" + bytes(9)), colours, picture, *marks), "image/webp")

    assert made == riff(part(b"VP8X", b"\x20" + bytes(9)), colours, picture)


def test_a_clip_keeps_its_length_and_every_byte_but_place_device_and_time() -> None:
    def box(name: bytes, *inside: bytes) -> bytes:
        body = b"".join(inside)
        return struct.pack(">I4s", 8 + len(body), name) + body

    def clip(time: bytes, words: bytes, name: bytes) -> bytes:
        head = box(b"mvhd", bytes(4), time, time, b"\x00\x00\x03\xe8" + bytes(84))
        long = box(b"tkhd", b"\x01" + bytes(3), time, time, time, time, bytes(84))
        track = box(b"trak", long, box(b"mdia", box(b"mdhd", bytes(4), time, time, bytes(12)), box(b"minf", b"kept")))
        return box(b"ftyp", b"mp42" + bytes(4)) + box(b"moov", head, track, box(name, words)) + box(b"mdat", b"frames")

    data = clip(b"TIME", b"\xa9xyz" + SECRET, b"udta")

    made = without_marks(data, "video/mp4")

    assert made == clip(bytes(4), bytes(4 + len(SECRET)), b"free")


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("image/jpeg", jpeg()[:40]),
        ("image/jpeg", b"\xff\xd8" + JFIF + TABLES + SCAN),
        ("image/jpeg", b"\xff\xd8" + JFIF + b"junk"),
        ("image/png", b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", bytes(13))),
        ("image/webp", b"RIFF\xff\x00\x00\x00WEBPVP8 "),
        ("video/mp4", b"\x00\x00\x00\x18ftypmp42" + bytes(4)),
        ("video/mp4", struct.pack(">I4sI4s", 16, b"moov", 99, b"udta")),
    ],
)
def test_what_cannot_be_read_part_by_part_is_refused(kind: str, data: bytes) -> None:
    with pytest.raises(ValueError, match=r"."):
        without_marks(data, kind)


def test_an_uploaded_photo_is_kept_without_its_place_and_a_broken_one_not_at_all(gym: Any) -> None:
    browser, at = gym.as_coach(), f"/t/{gym.trainee.id}/cues/"
    given = {"exercise": "back_squat", "text": "Knees out", "whom": "one"}

    answer = browser.post(at, {**given, "file": SimpleUploadedFile("x.jpg", jpeg(6))})
    assert answer.status_code == 302
    with models.Cue.objects.get().file.open("rb") as file:
        kept = file.read()
    assert SECRET not in kept and kept == without_marks(jpeg(6), "image/jpeg")

    broken = browser.post(at, {**given, "file": SimpleUploadedFile("x.jpg", jpeg()[:60])})
    assert broken.status_code == 400 and "can&#x27;t be read" in broken.content.decode()
    still = browser.post(at, {**given, "file": SimpleUploadedFile("x.mp4", b"\x00\x00\x00\x18ftypheic" + bytes(12))})
    assert still.status_code == 400
    assert models.Cue.objects.count() == 1
