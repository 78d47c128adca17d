"""Photographs decoded: JPEG, PNG and TIFF by Pillow, with limits that hold before anything is decoded.

A file is known by its first bytes, whatever its name or declared type. Nothing but size, depth, colours and orientation is
taken from it: whatever else it holds (time, place, owner) never leaves this module.
"""

import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO

import numpy as np
from msgspec import Struct
from PIL import Image, ImageFile, JpegImagePlugin, PngImagePlugin, TiffImagePlugin
from PIL.TiffImagePlugin import BITSPERSAMPLE, PLANAR_CONFIGURATION

from closeup_service.language import tr
from closeup_service.measuring.ruler.picture import Pixels
from closeup_service.operations.asking import effort
from closeup_service.operations.photographs.memory import give_back
from closeup_service.operations.photographs.refused import PhotographRefused, PhotographTooLarge
from closeup_service.operations.photographs.stored_picture import Box, Source, StoredPicture
from closeup_service.schemas.upload import Upload

READERS: tuple[tuple[bytes, type[ImageFile.ImageFile]], ...] = (
    (b"\xff\xd8\xff", JpegImagePlugin.JpegImageFile),
    (b"\x89PNG\r\n\x1a\n", PngImagePlugin.PngImageFile),
    (b"II*\x00", TiffImagePlugin.TiffImageFile),
    (b"MM\x00*", TiffImagePlugin.TiffImageFile),
)
LEAST_SIDE = 100
MOST_SCANS = 40
"""Scans of a progressive JPEG; about ten are common, and a thousand would cost minutes."""

MOST_CHUNKS = 20_000
"""Chunks of a PNG; 40 MB in the usual ones of 8 kB are 5,000, and a million would cost seconds."""
FIRST_CHUNK, CHUNK_FRAME = 8, 12
"""Place of the first chunk in a PNG, and the bytes of each beside its data."""

MOST_TILE_PIXELS = 1 << 24

SCAN = b"\xff\xda"
DEPTH_OF_PNG = 24
"""Place of the bit depth in a PNG, within the IHDR chunk that always comes first (PNG, 11.2.1)."""
SEPARATE = 2
"""Planar configuration of a TIFF that stores each colour by itself (TIFF 6.0, section 8)."""
ORIENTATION = 0x0112

GREY = ("1", "L", "LA", "La")
COLOUR = ("P", "PA", "RGB", "RGBA", "RGBa", "RGBX", "CMYK", "YCbCr")
GREY_16 = ("I;16", "I;16L", "I;16B", "I;16N")


class Photograph(Struct, frozen=True):
    """A decoded photograph, upright.

    Parameters
    ----------
    picture : grey (rows, columns) or colour (rows, columns, red-green-blue), uint8 or uint16
    bits_in_file, bits_used : bits of each colour, as stored and as decoded
    further : whether the file holds further pictures, which are left aside
    """

    picture: StoredPicture
    bits_in_file: int
    bits_used: int
    further: bool

    @property
    def width_px(self) -> int:
        """Columns."""
        return self.picture.shape[1]

    @property
    def height_px(self) -> int:
        """Rows."""
        return self.picture.shape[0]

    @property
    def in_colour(self) -> bool:
        """Whether it has three colours."""
        return len(self.picture.shape) == 3

    @property
    def pixels(self) -> Pixels:
        """All pixels as one array."""
        return self.picture.pixels()


def decoded(upload: Upload, pointer: str) -> Photograph:
    """Decode a photograph and turn it upright.

    Raises
    ------
    PhotographRefused
        Where the file is no photograph that can be read, or too large a one.
    """
    effort.at_end(give_back)
    with whatever_decoders_raise(pointer), decoders_on_our_terms():
        image = opened(upload, pointer)
        refuse_size(image.size, upload.most_pixels, pointer)
        refuse_large_tiles(image, pointer)
        return photograph(image, upload.content, pointer)


@contextmanager
def decoders_on_our_terms() -> Iterator[None]:
    """Set aside the decoder's own limit of pixels, which counts bytes of deep pixels as pixels, and its warnings."""
    kept = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        Image.MAX_IMAGE_PIXELS = kept


@contextmanager
def whatever_decoders_raise(pointer: str) -> Iterator[None]:
    """Turn the errors of decoders, which a hostile file can make of any kind, into a refusal."""
    try:
        yield
    except PhotographRefused:
        raise
    except Exception as error:
        text = tr("The photograph is damaged or cut short: it cannot be decoded. Save or send it again.")
        raise PhotographRefused("photo-damaged", text, pointer) from error


def opened(upload: Upload, pointer: str) -> ImageFile.ImageFile:
    """Read the head of the file, by the format that its first bytes are of."""
    reader = next((reader for magic, reader in READERS if upload.content.startswith(magic)), None)
    if reader is None:
        raise PhotographRefused("photo-format", tr("This is no JPEG, PNG or TIFF file, by its first bytes."), pointer)
    if reader is JpegImagePlugin.JpegImageFile and upload.content.count(SCAN) > MOST_SCANS:
        text = tr(
            "This JPEG comes in more than {most_scans} scans: save it again, not progressive.", most_scans=MOST_SCANS
        )
        raise PhotographRefused("photo-format", text, pointer)
    if reader is PngImagePlugin.PngImageFile and has_many_chunks(upload.content):
        text = tr(
            "This PNG comes in more than {most_chunks} chunks: save it again with larger ones.", most_chunks=MOST_CHUNKS
        )
        raise PhotographRefused("photo-format", text, pointer)
    return reader(BytesIO(upload.content))


def has_many_chunks(content: bytes) -> bool:
    """Whether a PNG comes in more chunks than any program writes; each is read by itself (PNG, 5.3)."""
    place = FIRST_CHUNK
    for _ in range(MOST_CHUNKS):
        if place + CHUNK_FRAME > len(content):
            return False
        place += CHUNK_FRAME + int.from_bytes(content[place : place + 4], "big")
    return place < len(content)


def refuse_size(size: tuple[int, int], most_pixels: int, pointer: str) -> None:
    """Refuse a photograph by the size in its head, before anything is decoded."""
    width, height = size
    if width * height > most_pixels:
        text = tr(
            "The photograph has {width} x {height} pixels; up to {most_pixels:g} megapixels are read here. Cut "
            "it, or scale it down by a known factor.",
            width=width,
            height=height,
            most_pixels=most_pixels / 1e6,
        )
        raise PhotographTooLarge(None, text, pointer)
    if min(width, height) < LEAST_SIDE:
        text = tr(
            "The photograph has {width} x {height} pixels; a reading needs {least_side} at least each way.",
            width=width,
            height=height,
            least_side=LEAST_SIDE,
        )
        raise PhotographRefused("photo-too-small", text, pointer)


def refuse_large_tiles(image: Image.Image, pointer: str) -> None:
    """Refuse a TIFF whose tiles, which are decoded whole, are larger than any that are of use."""
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        tile = [int(image.tag_v2.get(tag, 1)) for tag in (TiffImagePlugin.TILEWIDTH, TiffImagePlugin.TILELENGTH)]
        if tile[0] * tile[1] > MOST_TILE_PIXELS:
            raise PhotographRefused(
                "photo-format",
                tr("The tiles of this TIFF are too large: {tile} x {tile_2}.", tile=tile[0], tile_2=tile[1]),
                pointer,
            )


def photograph(image: Image.Image, content: bytes, pointer: str) -> Photograph:
    """Decode the pixels."""
    stored = bits_of(image, content)
    further = bool(image.tag_v2.next) if isinstance(image, TiffImagePlugin.TiffImageFile) else False
    picture = StoredPicture(source_of(image, pointer))
    bits = 8 * picture.dtype.itemsize
    return Photograph(picture, stored, min(bits, stored), further)


def bits_of(image: Image.Image, content: bytes) -> int:
    """Bits of each colour as the file states them."""
    if isinstance(image, PngImagePlugin.PngImageFile):
        return int(content[DEPTH_OF_PNG])
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        return int(max(image.tag_v2.get(BITSPERSAMPLE, (1,))))
    return 8


def source_of(image: Image.Image, pointer: str) -> Source:
    """Where the pixels come from; alpha is left aside."""
    refuse_deep_planes(image, pointer)
    turn = 1 if isinstance(image, TiffImagePlugin.TiffImageFile) else orientation_of(image)  # Pillow turns TIFF itself
    if image.mode in GREY_16:
        return Source(1, np.uint16, image.size, turn, lambda box: np.asarray(image.crop(box)))
    if image.mode == "RGB":
        return Source(3, np.uint8, image.size, turn, lambda box: np.asarray(image.crop(box)), one_of(image))
    if image.mode in (*GREY, *COLOUR):
        wanted = "L" if image.mode in GREY else "RGB"
        return Source(len(wanted), np.uint8, image.size, turn, lambda box: np.asarray(image.crop(box).convert(wanted)))
    text = tr(
        "Photographs are read in grey or colour with up to 16 bits each: save this one so, in red, green and blue.",
    )
    raise PhotographRefused("photo-colours", text, pointer)


def refuse_deep_planes(image: Image.Image, pointer: str) -> None:
    """Refuse a TIFF that stores each colour by itself with 16 bits: Pillow would take its bytes for pixels of 8 bits."""
    if not isinstance(image, TiffImagePlugin.TiffImageFile) or image.mode in GREY_16:
        return
    planar, bits = (image.tag_v2.get(tag, (1,)) for tag in (PLANAR_CONFIGURATION, BITSPERSAMPLE))
    if planar == SEPARATE and max(bits) > 8:
        text = tr(
            "This TIFF stores each colour by itself with more than 8 bits: save it with the colours interleaved.",
        )
        raise PhotographRefused("photo-colours", text, pointer)


def orientation_of(image: Image.Image) -> int:
    """How the camera was held (EXIF orientation, 1 to 8); upright where that cannot be read."""
    try:
        found = image.getexif().get(ORIENTATION, 1)
    except Exception:  # a broken EXIF block is no reason to refuse a photograph
        return 1
    return found if isinstance(found, int) and 1 <= found <= 8 else 1


def one_of(image: Image.Image) -> Callable[[Box, int], Pixels]:
    """Quick way to one channel of red, green and blue."""

    def packed(box: Box, channel: int) -> Pixels:
        found = image.crop(box)
        return np.frombuffer(found.tobytes("raw", "RGB"[channel]), np.uint8).reshape(found.size[::-1])

    return packed
