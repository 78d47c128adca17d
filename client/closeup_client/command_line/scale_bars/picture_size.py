"""Size of a photograph as seen, read from the head of its file: JPEG, PNG, TIFF."""

import struct

PNG = b"\x89PNG\r\n\x1a\n"
JPEG = b"\xff\xd8"
EXIF = b"Exif\x00\x00"
WIDTH, HEIGHT, ORIENTATION = 256, 257, 274
SHORT = 3
TURNED = range(5, 9)
"""Orientations whose rows are columns as seen (EXIF 2.3)."""

FRAME_MARKERS = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
ALONE = frozenset([0x01, *range(0xD0, 0xD9)])
APP1 = 0xE1


def picture_size(content: bytes) -> tuple[int, int] | None:
    """Width and height as seen [px]; None where the head does not tell."""
    try:
        if content.startswith(PNG):
            return png_size(content)
        if content.startswith(JPEG):
            return jpeg_size(content)
        tags = tiff_tags(content)
        return seen(tags[WIDTH], tags[HEIGHT], tags.get(ORIENTATION, 1))
    except (struct.error, KeyError):
        return None


def png_size(content: bytes) -> tuple[int, int]:
    """Size by the header (PNG, 11.2.1), turned as an eXIf chunk says, wherever that stands."""
    width, height = struct.unpack_from(">II", content, 16)
    place, orientation = len(PNG), 1
    while place + 8 <= len(content):
        length, kind = struct.unpack_from(">I4s", content, place)
        if kind == b"eXIf":
            orientation = tiff_tags(content[place + 8 : place + 8 + length]).get(ORIENTATION, 1)
        place += 12 + length
    return seen(width, height, orientation)


def jpeg_size(content: bytes) -> tuple[int, int] | None:
    """Size by the frame header (ITU-T T.81, B.2.2), turned as EXIF says."""
    place, orientation = 2, 1
    while content[place : place + 1] == b"\xff":
        (marker,) = content[place + 1 : place + 2] or b"\x00"
        if marker in ALONE or marker == 0xFF:
            place += 1 if marker == 0xFF else 2
            continue
        (length,) = struct.unpack_from(">H", content, place + 2)
        if marker in FRAME_MARKERS:
            height, width = struct.unpack_from(">HH", content, place + 5)
            return seen(width, height, orientation)
        block = content[place + 4 : place + 2 + length]
        if marker == APP1 and block.startswith(EXIF):
            orientation = tiff_tags(block.removeprefix(EXIF)).get(ORIENTATION, 1)
        place += 2 + length
    return None


def tiff_tags(content: bytes) -> dict[int, int]:
    """Single numbers of the first directory (TIFF 6.0, section 2); empty where this is no TIFF."""
    order = {b"II": "<", b"MM": ">"}.get(content[:2])
    if order is None:
        return {}
    (begin,) = struct.unpack_from(f"{order}I", content, 4)
    (count,) = struct.unpack_from(f"{order}H", content, begin)
    found = {}
    for number in range(count):
        tag, kind = struct.unpack_from(f"{order}HH", content, begin + 2 + 12 * number)
        (value,) = struct.unpack_from(f"{order}H" if kind == SHORT else f"{order}I", content, begin + 10 + 12 * number)
        found[tag] = value
    return found


def seen(width: int, height: int, orientation: int) -> tuple[int, int]:
    """Size as seen of one as stored."""
    return (height, width) if orientation in TURNED else (width, height)
