"""Photographs decoded: every form, every depth, every orientation."""

import zlib
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageOps

from closeup_service.operations.photographs import decoding
from closeup_service.operations.photographs.decoding import Photograph, decoded
from closeup_service.operations.photographs.refused import PhotographRefused, PhotographTooLarge
from closeup_service.schemas.upload import Upload
from photograph_files import (
    HEIGHT,
    WIDTH,
    differences,
    in_mode,
    lzw_bytes,
    pixels,
    png_of_16_bits,
    saved,
    tiff,
    tiles,
)

MOST = 60_000_000
DEEP = pixels(16)


def read(content: bytes, most: int = MOST) -> Photograph:
    return decoded(Upload(content, most), "/photo")


def packed(values: Any, order: str = "<") -> bytes:
    return bytes(values.astype(f"{order}u2").tobytes())


@pytest.mark.parametrize(
    ("form", "options"),
    [("PNG", {}), ("TIFF", {}), ("TIFF", {"compression": "tiff_lzw"}), ("TIFF", {"compression": "tiff_adobe_deflate"})],
)
@pytest.mark.parametrize("values", [pixels(8), pixels(8, 1), pixels(16, 1)], ids=["colour", "grey", "grey of 16 bits"])
def test_lossless_files_give_the_pixels_that_were_saved(form: str, options: dict[str, str], values: Any) -> None:
    photograph = read(saved(values, form, **options))
    assert np.array_equal(photograph.pixels, values)
    assert photograph.pixels.dtype == values.dtype
    assert photograph.bits_used == photograph.bits_in_file == 8 * values.itemsize
    assert photograph.in_colour == (values.ndim == 3)


@pytest.mark.parametrize("options", [{}, {"progressive": True}])
def test_a_jpeg_gives_nearly_the_pixels_that_were_saved(options: dict[str, bool]) -> None:
    smooth = np.linspace(20, 200, WIDTH).astype(np.uint8)[None, :].repeat(HEIGHT, 0)
    photograph = read(saved(smooth, "JPEG", quality=95, **options))
    assert photograph.pixels.shape == smooth.shape
    assert np.abs(photograph.pixels.astype(int) - smooth).max() <= 4


@pytest.mark.parametrize(
    "content",
    [
        tiff([packed(DEEP)], WIDTH, HEIGHT),
        tiff([packed(DEEP, ">")], WIDTH, HEIGHT, ">"),
        tiff([packed(DEEP[top : top + 40]) for top in (0, 40, 80)], WIDTH, HEIGHT),
        tiff([zlib.compress(packed(DEEP))], WIDTH, HEIGHT, compression=8),
        tiff([zlib.compress(packed(differences(DEEP), ">"))], WIDTH, HEIGHT, ">", compression=8, predictor=2),
        tiff([lzw_bytes(packed(DEEP), WIDTH * 6)], WIDTH, HEIGHT, compression=5),
        tiff([lzw_bytes(packed(differences(DEEP)), WIDTH * 6)], WIDTH, HEIGHT, compression=5, predictor=2),
        tiff([packed(tile) for tile in tiles(DEEP, 64)], WIDTH, HEIGHT, tile=64),
        tiff(
            [zlib.compress(packed(differences(tile))) for tile in tiles(DEEP, 64)],
            WIDTH, HEIGHT, tile=64, compression=8, predictor=2,
        ),
        tiff([packed(np.dstack([DEEP, DEEP[..., :1]]))], WIDTH, HEIGHT, samples=4),
        png_of_16_bits(DEEP),
    ],
    ids=[
        "plain", "big end", "strips", "deflate", "differences", "lzw", "lzw of differences", "tiles", "all", "alpha", "png",
    ],
)  # fmt: skip
def test_16_bits_in_colour_are_reduced_to_8_and_that_is_known(content: bytes) -> None:
    photograph = read(content)
    assert (photograph.bits_in_file, photograph.bits_used) == (16, 8)
    assert photograph.pixels.dtype == np.uint8
    assert np.array_equal(photograph.pixels, DEEP >> 8)


@pytest.mark.parametrize("compression", [1, 8], ids=["plain", "deflate"])
def test_colours_in_planes_of_16_bits_are_refused_with_what_to_do(compression: int) -> None:
    planes = np.moveaxis(DEEP, 2, 0)
    blocks = [zlib.compress(packed(plane)) if compression == 8 else packed(plane) for plane in planes]
    with pytest.raises(PhotographRefused, match="colours interleaved") as refusal:
        read(tiff(blocks, WIDTH, HEIGHT, planar=2, compression=compression))
    assert refusal.value.code == "photo-colours"


def test_grey_of_16_bits_is_one_plane_however_it_is_called() -> None:
    grey = pixels(16, 1)
    assert np.array_equal(read(saved(grey, "TIFF", compression="tiff_lzw", tiffinfo={284: 2})).pixels, grey)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("form", ["PNG", "TIFF", "JPEG"])
def test_a_photograph_is_turned_as_its_camera_was(form: str, orientation: int) -> None:
    """Against Pillow's own turning."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    content = saved(pixels(), form, exif=exif)
    upright = ImageOps.exif_transpose(Image.open(BytesIO(content)))
    photograph = read(content)
    assert np.array_equal(photograph.pixels, np.asarray(upright))
    assert photograph.pixels.flags.c_contiguous
    assert (photograph.width_px, photograph.height_px) == upright.size


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_tiff_of_16_bits_is_turned_too(orientation: int) -> None:
    """Against the turning of the same pixels in 8 bits."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    upright = read(saved((DEEP >> 8).astype(np.uint8), "PNG", exif=exif))
    assert np.array_equal(read(tiff([packed(DEEP)], WIDTH, HEIGHT, orientation=orientation)).pixels, upright.pixels)


@pytest.mark.parametrize(
    ("mode", "form", "channels"),
    [
        ("1", "PNG", 1), ("L", "PNG", 1), ("LA", "PNG", 1), ("P", "PNG", 3), ("RGBA", "PNG", 3), ("RGBA", "TIFF", 3),
        ("CMYK", "JPEG", 3), ("CMYK", "TIFF", 3), ("1", "TIFF", 1), ("P", "TIFF", 3), ("YCbCr", "TIFF", 3),
    ],
)  # fmt: skip
def test_other_colours_become_grey_or_red_green_blue(mode: str, form: str, channels: int) -> None:
    photograph = read(saved(in_mode(mode), form))
    assert photograph.pixels.dtype == np.uint8
    assert photograph.pixels.shape == ((HEIGHT, WIDTH) if channels == 1 else (HEIGHT, WIDTH, 3))


@pytest.mark.parametrize(
    "content",
    [saved(in_mode("F"), "TIFF"), saved(in_mode("I"), "TIFF"), saved(in_mode("LAB"), "TIFF")],
    ids=["floats", "32 bits", "another colour space"],
)
def test_colours_that_are_not_read_are_told(content: bytes) -> None:
    with pytest.raises(PhotographRefused) as refusal:
        read(content)
    assert refusal.value.code == "photo-colours"
    assert refusal.value.members == ("/photo",)


def test_only_the_first_of_several_pictures_is_read_and_that_is_known() -> None:
    second = Image.fromarray(255 - pixels())
    photograph = read(saved(Image.fromarray(pixels()), "TIFF", save_all=True, append_images=[second]))
    assert np.array_equal(photograph.pixels, pixels())
    assert photograph.further
    assert not read(saved(pixels(), "TIFF")).further


def test_a_photograph_of_too_many_pixels_is_refused_before_it_is_decoded(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise AssertionError("decoded")

    monkeypatch.setattr(decoding, "photograph", fail)
    with pytest.raises(PhotographTooLarge, match="150 x 120 pixels"):
        read(saved(pixels(), "PNG"), most=WIDTH * HEIGHT - 1)
    with pytest.raises(AssertionError, match="decoded"):
        decoded_without_net(saved(pixels(), "PNG"), WIDTH * HEIGHT)


def decoded_without_net(content: bytes, most: int) -> None:
    try:
        read(content, most)
    except PhotographRefused as refusal:
        raise AssertionError(str(refusal.__cause__)) from refusal


def test_a_photograph_of_too_few_pixels_is_refused() -> None:
    with pytest.raises(PhotographRefused) as refusal:
        read(saved(pixels()[:99], "PNG"))
    assert refusal.value.code == "photo-too-small"


def test_the_decoders_own_limit_is_left_as_it_was() -> None:
    before = Image.MAX_IMAGE_PIXELS
    read(saved(pixels(), "PNG"))
    with pytest.raises(PhotographRefused):
        read(saved(pixels(), "PNG")[:200])
    assert before == Image.MAX_IMAGE_PIXELS
