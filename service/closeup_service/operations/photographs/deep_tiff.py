"""TIFF in colour with 16 bits: Pillow would keep 8 of them.

Pillow's decoder (libtiff) reads any bytes as grey of 8 bits. So the file gets a second directory, which calls its pixels
grey and its rows as wide as they have bytes, and the colours are put together from the bytes. Compressions undone that way
are those that know nothing of colours: none, LZW, Deflate, PackBits.
"""

import struct
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import TiffImagePlugin
from PIL.TiffImagePlugin import (
    BITSPERSAMPLE,
    COMPRESSION,
    IMAGELENGTH,
    IMAGEWIDTH,
    PHOTOMETRIC_INTERPRETATION,
    PLANAR_CONFIGURATION,
    PREDICTOR,
    ROWSPERSTRIP,
    SAMPLEFORMAT,
    SAMPLESPERPIXEL,
    STRIPBYTECOUNTS,
    STRIPOFFSETS,
    TILEBYTECOUNTS,
    TILELENGTH,
    TILEOFFSETS,
    TILEWIDTH,
)

from closeup_service.operations.photographs.stored_picture import Box, Source

Pixels = NDArray[np.uint16]

PLACES = (STRIPOFFSETS, STRIPBYTECOUNTS, TILEOFFSETS, TILEBYTECOUNTS)
KEPT = (IMAGELENGTH, COMPRESSION, ROWSPERSTRIP, TILELENGTH, *PLACES)
BYTES_OF_16_BITS = 2
RED_GREEN_BLUE = 2
DIFFERENCES = 2
"""Predictor that stores each sample as its difference from the one to the left (TIFF 6.0, section 14)."""

SHORT, LONG = 3, 4
ORIENTATION = 0x0112


def orientation_of(image: Any) -> int:
    """How the camera was held (EXIF orientation, 1 to 8); upright where that cannot be read."""
    try:
        found = image.getexif().get(ORIENTATION, 1)
    except Exception:  # a broken EXIF block is no reason to refuse a photograph
        return 1
    return found if isinstance(found, int) and 1 <= found <= 8 else 1


def is_16_bit_colour(image: TiffImagePlugin.TiffImageFile) -> bool:
    """Whether the pixels are red, green and blue of 16 bits, with or without more."""
    tags = image.tag_v2
    return (
        image.mode in ("RGB", "RGBA", "RGBX", "RGBa")
        and set(tags.get(BITSPERSAMPLE, ())) == {16}
        and set(tags.get(SAMPLEFORMAT, (1,))) == {1}
        and tags.get(PHOTOMETRIC_INTERPRETATION) == RED_GREEN_BLUE
    )


def colours_of_16_bits(image: TiffImagePlugin.TiffImageFile, content: bytes) -> Source:
    """Red, green and blue of every pixel, all bits kept."""
    tags = image.tag_v2
    samples, width, height = tags[SAMPLESPERPIXEL], tags[IMAGEWIDTH], tags[IMAGELENGTH]
    if tags.get(PLANAR_CONFIGURATION, 1) != 1:
        raise ValueError("colours apart in planes")
    grey = TiffImagePlugin.TiffImageFile(BytesIO(as_grey_bytes(content, samples)))
    if grey.mode != "L" or grey.size != (width * samples * BYTES_OF_16_BITS, height):
        raise ValueError("rows of another length than stated")
    grey.load()
    order, predicted, tile = "<" if content[:2] == b"II" else ">", tags.get(PREDICTOR, 1), tags.get(TILEWIDTH, width)

    def colours(box: Box) -> Pixels:
        left, top, right, bottom = box
        stored = np.asarray(grey.crop((0, top, grey.size[0], bottom)))
        found: Pixels = (
            stored.view(f"{order}u2").reshape(bottom - top, width, samples)[..., :3].astype(np.uint16, copy=False)
        )
        return (summed(found, tile) if predicted == DIFFERENCES else found)[:, left:right]

    return Source(3, np.uint16, (width, height), orientation_of(image), colours)


def summed(differences: Pixels, block: int) -> Pixels:
    """Undo the differences along the rows, which begin anew with every tile."""
    colours = np.empty(differences.shape, np.uint16)
    for left in range(0, differences.shape[1], block):
        part = differences[:, left : left + block]
        np.cumsum(part, axis=1, dtype=np.uint16, out=colours[:, left : left + block])
    return colours


def as_grey_bytes(data: bytes, samples: int) -> bytes:
    """File with a directory at its end that states the bytes of its pixels as grey of 8 bits."""
    order = "<" if data[:2] == b"II" else ">"
    wide = samples * BYTES_OF_16_BITS
    entries = {
        tag: entry for tag, entry in entries_of(data, order).items() if tag in KEPT or tag in (IMAGEWIDTH, TILEWIDTH)
    }
    for tag in (IMAGEWIDTH, TILEWIDTH):
        if tag in entries:
            entries[tag] = struct.pack(f"{order}HHII", tag, LONG, 1, number_in(entries[tag], order) * wide)
    for tag, value in ((BITSPERSAMPLE, 8), (PHOTOMETRIC_INTERPRETATION, 1), (SAMPLESPERPIXEL, 1)):
        entries[tag] = struct.pack(f"{order}HHIHxx", tag, SHORT, 1, value)
    padded = data + b"\x00" * (len(data) % 2)
    directory = struct.pack(f"{order}H", len(entries)) + b"".join(entries[tag] for tag in sorted(entries))
    return padded[:4] + struct.pack(f"{order}I", len(padded)) + padded[8:] + directory + b"\x00\x00\x00\x00"


def entries_of(data: bytes, order: str) -> dict[int, bytes]:
    """Entries of the first directory, as stored (TIFF 6.0, section 2)."""
    (begin,) = struct.unpack_from(f"{order}I", data, 4)
    (count,) = struct.unpack_from(f"{order}H", data, begin)
    found: dict[int, Any] = {}
    for number in range(count):
        entry = data[begin + 2 + 12 * number : begin + 14 + 12 * number]
        found[struct.unpack(f"{order}H", entry[:2])[0]] = entry
    return found


def number_in(entry: bytes, order: str) -> int:
    """Single number that an entry states."""
    kind = struct.unpack(f"{order}H", entry[2:4])[0]
    number: int = struct.unpack(
        f"{order}H" if kind == SHORT else f"{order}I", entry[8:10] if kind == SHORT else entry[8:]
    )[0]
    return number
