"""Photographs that are made to cost: bombs, endless directories, countless chunks; every one within the limits of an upload."""

import io
import struct
import zlib

import numpy as np
from PIL import Image

from photograph_files import HEIGHT, WIDTH, chunk, pixels, tiff

SIDE = 7700
"""Of a square just below 60 megapixels."""
MANY_CHUNKS = 1_500_000
MANY_TAGS = 65_000


def png_bomb() -> bytes:
    """A whole frame of black in some kilobytes."""
    head = struct.pack(">IIBBBBB", SIDE, SIDE, 8, 2, 0, 0, 0)
    packer = zlib.compressobj(9)
    row = bytes(1 + 3 * SIDE)
    data = b"".join(packer.compress(row) for _ in range(SIDE)) + packer.flush()
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def png_of_many_chunks() -> bytes:
    """A small picture behind countless chunks that nobody knows."""
    whole = io.BytesIO()
    pixels_of = Image.fromarray(np.zeros((HEIGHT, WIDTH), np.uint8))
    pixels_of.save(whole, "PNG")
    head, rest = whole.getvalue()[:33], whole.getvalue()[33:]
    return head + chunk(b"prIv", b"a") * MANY_CHUNKS + rest


def png_of_many_texts() -> bytes:
    """A small picture behind countless texts of different names."""
    whole = io.BytesIO()
    Image.fromarray(np.zeros((HEIGHT, WIDTH), np.uint8)).save(whole, "PNG")
    head, rest = whole.getvalue()[:33], whole.getvalue()[33:]
    return head + b"".join(chunk(b"tEXt", b"k%d\0v" % number) for number in range(MANY_CHUNKS // 3)) + rest


def tiff_of_many_tags() -> bytes:
    """A directory as long as one may be, each entry of a few hundred bytes far behind it."""
    content = tiff([pixels(16).tobytes()], WIDTH, HEIGHT)
    (place,) = struct.unpack_from("<I", content, 4)
    (count,) = struct.unpack_from("<H", content, place)
    own = content[place + 2 : place + 2 + 12 * count]
    size = 500
    begin = len(content) + 2 + 12 * (count + MANY_TAGS - 1000) + 4
    number: int = min(MANY_TAGS, 65_535) - count - 1000
    entries = b"".join(struct.pack("<HHII", 1000 + tag, 1, size, begin + size * tag) for tag in range(number))
    directory = struct.pack("<H", count + number) + own + entries + struct.pack("<I", 0)
    return content[:4] + struct.pack("<I", len(content)) + content[8:] + directory + b"\x01" * (size * number)


def tiff_bomb() -> bytes:
    """A whole frame of black in strips that unfold."""
    strip = zlib.compress(bytes(6 * SIDE * SIDE), 9)
    return tiff([strip], SIDE, SIDE, compression=8)


def jpeg_frame() -> bytes:
    """A whole frame of one grey, in colour."""
    whole = io.BytesIO()
    Image.new("RGB", (SIDE, SIDE), (90, 90, 90)).save(whole, "JPEG", quality=30)
    return whole.getvalue()


MADE = {
    "PNG bomb": png_bomb,
    "PNG of many chunks": png_of_many_chunks,
    "PNG of many texts": png_of_many_texts,
    "TIFF of many tags": tiff_of_many_tags,
    "TIFF bomb": tiff_bomb,
    "JPEG of a whole frame": jpeg_frame,
}
