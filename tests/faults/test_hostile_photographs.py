"""Damaged and hostile files: refused with a 4xx, whatever they are, within time and memory."""

import random
import resource
import struct
import time
import zlib
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient
from PIL import Image, PngImagePlugin

from closeup_service.operations.photographs.decoding import decoded
from closeup_service.operations.photographs.refused import PhotographRefused
from closeup_service.schemas.upload import Upload
from photograph_files import HEIGHT, WIDTH, chunk, in_mode, pixels, png_of_16_bits, saved, tiff
from uploads import sent

PATH = "/v1/scale-reading/photo"
MOST_PIXELS = 60_000_000
LONGEST_S = 5.0
MOST_MB = 600.0
"""Growth of the peak over all hostile files; an honest photograph of 60 megapixels needs about as much."""

DEEP = pixels(16)
GOOD = {
    "jpeg": saved(pixels(), "JPEG"),
    "progressive": saved(pixels(), "JPEG", progressive=True),
    "cmyk": saved(in_mode("CMYK"), "JPEG"),
    "png": saved(pixels(), "PNG"),
    "palette": saved(in_mode("P"), "PNG"),
    "deep png": png_of_16_bits(DEEP),
    "tiff": saved(pixels(), "TIFF"),
    "lzw": saved(pixels(), "TIFF", compression="tiff_lzw"),
    "deep tiff": tiff([zlib.compress(DEEP.tobytes())], WIDTH, HEIGHT, compression=8),
}


def tried(content: bytes) -> str | None:
    """Code of the refusal, or None where the file was decoded after all."""
    try:
        photograph = decoded(Upload(content, MOST_PIXELS), "/photo")
    except PhotographRefused as refusal:
        return refusal.code or refusal.slug
    assert photograph.pixels.dtype in (np.uint8, np.uint16)
    return None


def post(api: FlaskClient, content: bytes) -> Any:
    return sent(api, PATH, [content], tick_pitch_mm=1)


@pytest.mark.parametrize("name", GOOD)
def test_files_cut_short_anywhere_are_refused_or_read(name: str) -> None:
    content = GOOD[name]
    assert tried(content) is None
    codes = [tried(content[: len(content) * part // 50]) for part in range(50)]
    assert set(codes) <= {"photo-damaged", "photo-format", None}
    assert codes[0] == "photo-format"
    assert codes.count(None) <= 2


@pytest.mark.parametrize("name", GOOD)
def test_files_with_flipped_bytes_are_refused_or_read(name: str) -> None:
    draw = random.Random(20)
    started, before = time.monotonic(), peak_mb()
    for number in range(150):
        content = bytearray(GOOD[name])
        within = len(content) if number % 2 else min(len(content), 300)
        for _ in range(draw.randint(1, 10)):
            content[draw.randrange(within)] = draw.randrange(256)
        tried(bytes(content))
    assert time.monotonic() - started < 150 * LONGEST_S
    assert peak_mb() - before < MOST_MB


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def png_head(width: int, height: int, data: bytes = b"") -> bytes:
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IDAT", zlib.compress(data)) if data else b""
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


def jpeg_of_many_scans() -> bytes:
    """A progressive file whose last scan comes a thousand times."""
    content = GOOD["progressive"]
    last = content.rindex(b"\xff\xda")
    return content[:last] + content[last:-2] * 1000 + content[-2:]


def jpeg_of_size(width: int, height: int) -> bytes:
    content = bytearray(GOOD["jpeg"])
    place = content.index(b"\xff\xc0")
    content[place + 5 : place + 9] = struct.pack(">HH", height, width)
    return bytes(content)


def looping_tiff() -> bytes:
    content = tiff([DEEP.tobytes()], WIDTH, HEIGHT)
    (directory,) = struct.unpack_from("<I", content, 4)
    return content[:-4] + struct.pack("<I", directory)


def endless_directories() -> bytes:
    """Half a million empty directories, each leading to the next, behind the picture's own."""
    content = tiff([DEEP.tobytes()], WIDTH, HEIGHT)
    chain = b"".join(struct.pack("<HI", 0, len(content) + 6 * number) for number in range(1, 500_000))
    return content[:-4] + struct.pack("<I", len(content)) + chain + struct.pack("<HI", 0, 0)


def many_pages() -> bytes:
    page = Image.new("L", (WIDTH, HEIGHT), 99)
    return saved(page, "TIFF", save_all=True, append_images=[page] * 300, compression="tiff_deflate")


def text_bomb() -> bytes:
    told = PngImagePlugin.PngInfo()
    for number in range(200):
        told.add_text(f"key{number}", "a" * 900_000, zip=True)
    return saved(pixels(), "PNG", pnginfo=told)


HOSTILE = {
    "nothing": (b"", "photo-format"),
    "a few letters": (b"photograph", "photo-format"),
    "a magic alone": (b"\xff\xd8\xff", "photo-damaged"),
    "an archive named otherwise": (b"PK\x03\x04" + b"\x00" * 1000, "photo-format"),
    "a drawing with a script": (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "photo-format"),
    "another form of picture": (saved(pixels(), "GIF"), "photo-format"),
    "PostScript": (saved(pixels(), "EPS"), "photo-format"),
    "a TIFF of larger addresses": (b"II\x2b\x00" + b"\x08\x00\x00\x00" * 20, "photo-format"),
    "two billion pixels wide": (png_head(2**31 - 1, 2**31 - 1), "content-too-large"),
    "a whole frame from nothing": (png_head(7700, 7700), "photo-damaged"),
    "a whole frame from a line": (png_head(7700, 7700, b"\x00" * 30_000), "photo-damaged"),
    "no width": (png_head(0, 500), "photo-damaged"),
    "a wide JPEG from little data": (jpeg_of_size(65500, 65500), "content-too-large"),
    "a thousand scans": (jpeg_of_many_scans(), "photo-format"),
    "text that unfolds": (text_bomb(), "photo-damaged"),
    "huge tiles": (tiff([b"\x00" * 1000], WIDTH, HEIGHT, tile=100_000), "photo-format"),
    "colours in planes": (tiff([DEEP.tobytes()], WIDTH, HEIGHT, planar=2), "photo-colours"),
    "strips beyond the end": (tiff([DEEP.tobytes()], WIDTH, 10 * HEIGHT), "photo-damaged"),
    "data that unfold": (tiff([zlib.compress(b"\x00" * 50_000_000)], WIDTH, HEIGHT, compression=8), None),
    "directories in a circle": (looping_tiff(), None),
    "directories without end": (endless_directories(), None),
    "three hundred pages": (many_pages(), None),
    "a JPEG with an archive behind it": (GOOD["jpeg"] + b"PK\x03\x04" * 1000, None),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_refused_within_time_and_memory(name: str) -> None:
    content, code = HOSTILE[name]
    started, before = time.monotonic(), peak_mb()
    assert tried(content) == code
    assert time.monotonic() - started < LONGEST_S
    assert peak_mb() - before < MOST_MB


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_answered_with_a_problem(api: FlaskClient, name: str) -> None:
    content, code = HOSTILE[name]
    answer = post(api, content)
    assert answer.status_code == (413 if code == "content-too-large" else 422)
    assert answer.content_type == "application/problem+json"
    assert [fault["pointer"] for fault in answer.get_json()["errors"]] == ["/photo"]
    if code == "content-too-large":
        assert answer.get_json()["type"] == "/problems/content-too-large"
    elif code is None:
        assert answer.get_json()["type"] == "/problems/no-sure-reading"
    else:
        assert (answer.get_json()["type"], answer.get_json()["code"]) == ("/problems/photo-not-readable", code)


@pytest.mark.parametrize("name", GOOD)
@pytest.mark.parametrize("part", [0.1, 0.5, 0.9])
def test_a_file_cut_short_is_answered_with_a_problem(api: FlaskClient, name: str, part: float) -> None:
    answer = post(api, GOOD[name][: int(len(GOOD[name]) * part)])
    assert answer.status_code == 422
    assert answer.get_json()["code"] in (
        "photo-damaged",
        "photo-format",
        "no-scale-found",
        "too-few-marks",
        "too-blurred",
    )


def test_a_broken_exif_block_is_no_reason_to_refuse() -> None:
    content = saved(pixels(), "JPEG", exif=b"Exif\x00\x00II*\x00\xff\xff\xff\xff")
    assert tried(content) is None
