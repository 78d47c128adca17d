"""Files of photographs in every form that is read, and in some that are not."""

import struct
import zlib
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

WIDTH, HEIGHT = 150, 120


def pixels(bits: int = 8, channels: int = 3) -> NDArray[Any]:
    """Smooth colours with a little of everything in the low bits."""
    rows, columns, which = np.mgrid[0:HEIGHT, 0:WIDTH, 0:channels]
    values = (rows * 211 + columns * 307 + which * 5003 + rows * columns) % 2**bits
    found: NDArray[Any] = values.squeeze().astype(np.uint8 if bits == 8 else np.uint16)
    return found


def saved(image: Image.Image | NDArray[Any], form: str, **options: Any) -> bytes:
    written = BytesIO()
    (image if isinstance(image, Image.Image) else Image.fromarray(image)).save(written, form, **options)
    return written.getvalue()


def in_mode(mode: str) -> Image.Image:
    return Image.fromarray(pixels()).convert(mode)


def png_of_16_bits(values: NDArray[np.uint16]) -> bytes:
    """PNG in colour with 16 bits, written by hand, since Pillow writes none (PNG, sections 5, 11 and 12)."""
    height, width = values.shape[:2]
    rows = b"".join(b"\x00" + row.astype(">u2").tobytes() for row in values)
    head = struct.pack(">IIBBBBB", width, height, 16, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        chunk(*each) for each in ((b"IHDR", head), (b"IDAT", zlib.compress(rows)), (b"IEND", b""))
    )


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def tiff(
    blocks: list[bytes], width: int, height: int, order: str = "<", samples: int = 3, tile: int = 0, **tags: int
) -> bytes:
    """TIFF with 16 bits a sample from compressed blocks, written by hand (TIFF 6.0, section 2)."""
    places = [8 + sum(map(len, blocks[:index])) for index in range(len(blocks))]
    after = places[-1] + len(blocks[-1])
    after += after % 2
    bits_at, places_at = after, after + 2 * samples
    sizes_at = places_at + 4 * len(blocks)
    directory_at = sizes_at + 4 * len(blocks)
    entries = {
        256: (4, 1, width), 257: (4, 1, height), 258: (3, samples, bits_at), 259: (3, 1, tags.get("compression", 1)),
        262: (3, 1, 2), 277: (3, 1, samples), 284: (3, 1, tags.get("planar", 1)), 317: (3, 1, tags.get("predictor", 1)),
    }  # fmt: skip
    if "orientation" in tags:
        entries[274] = (3, 1, tags["orientation"])
    if samples > 3:
        entries[338] = (3, 1, 2)
    many = len(blocks) > 1
    offsets, counts = (places_at, sizes_at) if many else (places[0], len(blocks[0]))
    if tile:
        entries |= {322: (4, 1, tile), 323: (4, 1, tile), 324: (4, len(blocks), offsets), 325: (4, len(blocks), counts)}
    else:
        entries |= {273: (4, len(blocks), offsets), 278: (4, 1, height // len(blocks)), 279: (4, len(blocks), counts)}
    written = bytearray(
        {"<": b"II", ">": b"MM"}[order] + struct.pack(f"{order}HI", 42, directory_at) + b"".join(blocks)
    )
    written += b"\x00" * (after - len(written)) + struct.pack(f"{order}{samples}H", *[16] * samples)
    written += struct.pack(f"{order}{2 * len(blocks)}I", *places, *map(len, blocks))
    written += struct.pack(f"{order}H", len(entries))
    for tag, (kind, count, value) in sorted(entries.items()):
        written += struct.pack(f"{order}HHI", tag, kind, count)
        written += struct.pack(f"{order}HH", value, 0) if kind == 3 and count == 1 else struct.pack(f"{order}I", value)
    return bytes(written + struct.pack(f"{order}I", tags.get("following", 0)))


def differences(values: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """Each sample less the one to the left (TIFF 6.0, section 14)."""
    return np.diff(values, axis=1, prepend=np.zeros_like(values[:, :1]))


def tiles(values: NDArray[np.uint16], side: int) -> list[NDArray[np.uint16]]:
    height, width = (-(-size // side) * side for size in values.shape[:2])
    padded = np.zeros((height, width, values.shape[2]), np.uint16)
    padded[: values.shape[0], : values.shape[1]] = values
    return [padded[y : y + side, x : x + side] for y in range(0, height, side) for x in range(0, width, side)]


def lzw_bytes(data: bytes, width: int) -> bytes:
    """Bytes compressed by LZW, taken out of a grey TIFF that Pillow writes in one strip."""
    grey = np.frombuffer(data, np.uint8).reshape(-1, width)
    file = saved(grey, "TIFF", compression="tiff_lzw", tiffinfo={278: grey.shape[0]})
    tags = Image.open(BytesIO(file)).tag_v2  # type: ignore[attr-defined]
    assert len(tags[273]) == 1
    return file[tags[273][0] : tags[273][0] + tags[279][0]]
