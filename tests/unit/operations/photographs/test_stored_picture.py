"""What is fetched of a decoded photograph, and that it is the same by every way."""

from typing import Any

import numpy as np
import pytest
from PIL import Image

from closeup_service.measuring.ruler.picture import GREEN
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.operations.photographs.decoding import decoded
from closeup_service.operations.photographs.stored_picture import Box, Source, StoredPicture
from closeup_service.schemas.upload import Upload
from photograph_files import HEIGHT, WIDTH, in_mode, pixels, saved, tiff
from ruler_pictures import as_pixels, ruler

DEEP = pixels(16)
PARTS = [(slice(None), slice(None)), (slice(3, 40), slice(70, 75)), (slice(100, None), slice(0, 1))]


def picture_of(content: bytes) -> StoredPicture:
    return decoded(Upload(content, 60_000_000), "/photo").picture


def turned(orientation: int) -> dict[str, Any]:
    exif = Image.Exif()
    exif[0x0112] = orientation
    return {"exif": exif}


def check_parts(picture: StoredPicture) -> None:
    whole = picture.pixels()
    assert picture.shape == whole.shape
    assert picture.dtype == whole.dtype
    channels = whole if whole.ndim == 3 else whole[..., None].repeat(3, axis=2)
    assert np.array_equal(picture.plane(), channels[..., GREEN])
    for rows, columns in PARTS:
        for channel in range(3):
            assert np.array_equal(picture.part(channel, rows, columns), channels[rows, columns, channel])


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("form", ["PNG", "TIFF", "JPEG"])
def test_parts_are_parts_of_the_upright_whole(form: str, orientation: int) -> None:
    check_parts(picture_of(saved(pixels(), form, **turned(orientation))))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_parts_keep_their_16_bits(orientation: int) -> None:
    content = tiff([DEEP.astype("<u2").tobytes()], WIDTH, HEIGHT, orientation=orientation)
    check_parts(picture_of(content))


@pytest.mark.parametrize("mode", ["L", "P", "RGBA", "CMYK"])
def test_other_colours_are_fetched_in_parts_too(mode: str) -> None:
    check_parts(picture_of(saved(in_mode(mode), "TIFF")))


def test_of_red_and_blue_only_what_lies_about_the_marks_is_fetched() -> None:
    image = as_pixels(ruler(1500, 1000, 60.0, direction_deg=0.0))
    fetched = {0: 0, 1: 0, 2: 0}

    def of_channel(box: Box, channel: int) -> Any:
        left, top, right, bottom = box
        fetched[channel] += (right - left) * (bottom - top)
        return image[top:bottom, left:right, channel]

    def everything(box: Box) -> Any:
        raise AssertionError("all channels are fetched together")

    picture = StoredPicture(Source(3, np.uint8, (1500, 1000), 1, everything, of_channel))
    reading = read_ruler(picture, 0.5)
    assert fetched[GREEN] == 1500 * 1000
    assert 0 < fetched[0] < 0.3 * 1500 * 1000
    assert 0 < fetched[2] < 0.3 * 1500 * 1000
    in_memory = read_ruler(image, 0.5)
    assert reading.pixels_per_mm == in_memory.pixels_per_mm
    assert reading.lateral_colour == in_memory.lateral_colour
