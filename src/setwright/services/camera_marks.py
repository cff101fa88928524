"""A photo or a clip without what the camera wrote into it: place, time, device, names, thumbnails. Bytes in, bytes out.

Two ideas carry this module. One: nothing is decoded or compressed anew; parts that no picture needs are left out of a
photo, and in a clip they are overwritten where they stand, so that no other part moves. Two: what can't be read part by
part is refused, since nobody could say what is in it. How a photo is turned stays, alone.

Source of the layouts: JPEG, ITU-T T.81 (1992), annex B; Exif 2.3 (CIPA DC-008), sections 4.5 and 4.6; PNG, RFC 2083 and
the W3C recommendation's chunk eXIf; WebP, RFC 9649; MP4, ISO/IEC 14496-12, sections 4.2 and 8; all from memory.
Leaves out: WebM clips, whose tags stay; what the picture itself shows.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable, Iterator, Mapping

EXIF = b"Exif\x00\x00"
ICC = b"ICC_PROFILE\x00"
ORIENTATION, SHORT, UPRIGHT = 0x0112, 3, 1
TURNED = range(2, 9)
JFIF, ADOBE = 0xE0, 0xEE  # of the application's own segments, those that a decoder needs
SOI, EOI, SOS, APP1, APP2, COMMENT = 0xD8, 0xD9, 0xDA, 0xE1, 0xE2, 0xFE
APPLICATION = range(0xE0, 0xF0)
ALONE = {0x01, *range(0xD0, 0xD8)}  # markers without a length
PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
PNG_KEPT = {
    *(b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"cICP", b"sBIT", b"bKGD"),
    *(b"pHYs", b"hIST", b"acTL", b"fcTL", b"fdAT"),
}
WEBP_MARKS = {b"EXIF": 0x08, b"XMP ": 0x04}  # chunks that go, and their flags in VP8X
BOXES_INSIDE = {b"moov", b"trak", b"mdia"}
BOXES_GONE = {b"udta", b"meta", b"uuid"}
BOXES_TIMED = {b"mvhd", b"tkhd", b"mdhd"}
STILL_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis"}


def without_marks(data: bytes, kind: str) -> bytes:
    """The file of a photo or clip without what the camera wrote. ``kind``: its media type.

    Raises ValueError where its parts can't be read.
    """
    clean = CLEANERS.get(kind)
    try:
        return data if clean is None else clean(data)
    except (struct.error, IndexError) as error:
        raise ValueError("it ends in the middle of a part") from error


def turned(tiff: bytes) -> int:
    """How a picture is turned (1 to 8) by the first directory of its TIFF data; 1 where that is not said or unsound."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None or len(tiff) < 8:
        return UPRIGHT
    (at,) = struct.unpack_from(f"{order}I", tiff, 4)
    if at + 2 > len(tiff):
        return UPRIGHT
    (count,) = struct.unpack_from(f"{order}H", tiff, at)
    for number in range(count):
        entry = at + 2 + 12 * number
        if entry + 12 > len(tiff):
            break
        tag, kind, _, value = struct.unpack_from(f"{order}HHIH", tiff, entry)
        if (tag, kind) == (ORIENTATION, SHORT):
            return value if value in TURNED else UPRIGHT
    return UPRIGHT


def only_turned(value: int) -> bytes:
    """TIFF data that says how a picture is turned and nothing else."""
    return b"MM\x00*" + struct.pack(">IHHHIHHI", 8, 1, ORIENTATION, SHORT, 1, value, 0, 0)


def clean_jpeg(data: bytes) -> bytes:
    """A JPEG with its picture, its colours and how it is turned; comments and what follows the picture go."""
    kept, value = [b"\xff\xd8"], UPRIGHT
    for marker, segment in jpeg_segments(data):
        body = segment[4:]
        if marker == APP1 and body.startswith(EXIF):
            value = turned(body[len(EXIF) :])
        is_mark = marker == COMMENT or (marker in APPLICATION and marker not in (JFIF, ADOBE))
        if not is_mark or (marker == APP2 and body.startswith(ICC)):
            kept.append(segment)
    if value != UPRIGHT:
        body = EXIF + only_turned(value)
        kept.insert(1, b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body)
    return b"".join(kept)


def jpeg_segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """The segments of a JPEG after its start, each with its marker; a scan goes with the segment that begins it."""
    if data[:2] != b"\xff\xd8":
        raise ValueError("it does not begin like a JPEG")
    at = 2
    while True:
        if data[at] != 0xFF:
            raise ValueError(f"no segment begins at byte {at}")
        while data[at + 1] == 0xFF:  # fill bytes
            at += 1
        marker = data[at + 1]
        if marker == EOI:
            yield marker, data[at : at + 2]
            return
        end = at + 2
        if marker not in ALONE:
            (length,) = struct.unpack_from(">H", data, end)
            end += length
            if length < 2 or end > len(data):
                raise ValueError(f"the segment at byte {at} is cut off")
        if marker == SOS:
            end = end_of_scan(data, end)
        yield marker, data[at:end]
        at = end


def end_of_scan(data: bytes, at: int) -> int:
    """Where the next segment begins after the coded data of a scan."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0:
            raise ValueError("the picture is cut off")
        if data[at + 1] not in (0x00, *range(0xD0, 0xD8)):
            return at
        at += 2


def clean_png(data: bytes) -> bytes:
    """A PNG with its picture, its colours and how it is turned; texts, times and what follows the picture go."""
    if data[:8] != PNG_SIGNATURE:
        raise ValueError("it does not begin like a PNG")
    kept, at = [PNG_SIGNATURE], 8
    while True:
        (length,) = struct.unpack_from(">I", data, at)
        name, end = data[at + 4 : at + 8], at + 12 + length
        if end > len(data):
            raise ValueError(f"the chunk at byte {at} is cut off")
        if name in PNG_KEPT:
            kept.append(data[at:end])
        elif name == b"eXIf" and (value := turned(data[at + 8 : end - 4])) != UPRIGHT:
            chunk = b"eXIf" + only_turned(value)
            kept.append(struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk)))
        if name == b"IEND":
            return b"".join(kept)
        at = end


def clean_webp(data: bytes) -> bytes:
    """A WebP with its picture, its colours and how it is turned."""
    if data[:4] != b"RIFF" or data[8:12] != b"WEBP":
        raise ValueError("it does not begin like a WebP")
    (size,) = struct.unpack_from("<I", data, 4)
    end_of_file, kept, at, value = 8 + size, [], 12, UPRIGHT
    if end_of_file > len(data):
        raise ValueError("it is cut off")
    while at < end_of_file:
        name, (length,) = data[at : at + 4], struct.unpack_from("<I", data, at + 4)
        end = at + 8 + length
        if end > end_of_file:
            raise ValueError(f"the chunk at byte {at} is cut off")
        if name == b"EXIF":
            value = turned(data[at + 8 : end].removeprefix(EXIF))
        elif name not in WEBP_MARKS:
            kept.append((name, data[at + 8 : end]))
        at = end + length % 2
    if value != UPRIGHT:
        kept.append((b"EXIF", only_turned(value)))
    names = {name for name, _ in kept}
    gone = sum(flag for name, flag in WEBP_MARKS.items() if name not in names)
    parts = [webp_chunk(name, bytes([body[0] & ~gone]) + body[1:] if name == b"VP8X" else body) for name, body in kept]
    whole = b"WEBP" + b"".join(parts)
    return b"RIFF" + struct.pack("<I", len(whole)) + whole


def webp_chunk(name: bytes, body: bytes) -> bytes:
    """One chunk with its length, filled up to an even one."""
    return name + struct.pack("<I", len(body)) + body + b"\x00" * (len(body) % 2)


def clean_mp4(data: bytes) -> bytes:
    """An MP4 whose user data, tags and times are overwritten; every other byte stays where it is."""
    made = bytearray(data)
    overwrite(made, 0, len(made))
    return bytes(made)


def overwrite(made: bytearray, at: int, end: int) -> None:
    """Overwrites what the camera wrote in the boxes from one byte to another."""
    while at < end:
        size, name = struct.unpack_from(">I4s", made, at)
        head = 8
        if size == 1:
            (size,) = struct.unpack_from(">Q", made, at + 8)
            head = 16
        size = size or end - at
        if size < head or at + size > end:
            raise ValueError(f"the box at byte {at} is cut off")
        if name in BOXES_GONE:
            made[at + 4 : at + 8] = b"free"
            made[at + head : at + size] = bytes(size - head)
        elif name in BOXES_INSIDE:
            overwrite(made, at + head, at + size)
        elif name in BOXES_TIMED:
            times = 16 if made[at + head] == 1 else 8  # when it was made and changed, in a long or a short form
            made[at + head + 4 : at + head + 4 + times] = bytes(times)
        at += size


CLEANERS: Mapping[str, Callable[[bytes], bytes]] = {
    "image/jpeg": clean_jpeg,
    "image/png": clean_png,
    "image/webp": clean_webp,
    "video/mp4": clean_mp4,
}
