"""Drawing a scale bar, as SVG with its exact length and as PNG in whole pixels, both on a transparent ground."""

from functools import cache
from io import BytesIO
from math import ceil, floor
from typing import TypeAlias
from xml.sax.saxutils import escape, quoteattr

from msgspec import Struct
from PIL import Image, ImageColor, ImageDraw, ImageFont

from closeup_service.drawing.svg import text_width
from closeup_service.language import tr
from closeup_service.optics.errors import OpticsError

MOST_PIXELS = 8_000_000
NO_COLOUR = "none"
MICRO = "µ"
STEM_DESCENT = 0.22
"""Descent of the micro sign over the font's size."""

Colour: TypeAlias = tuple[int, ...] | None


class DrawingTooLarge(OpticsError):
    """A drawing of more pixels than a picture of this service has."""

    code = "drawing-too-large"


class Bar(Struct, frozen=True):
    """What is drawn: lengths in pixels; the label is empty where none is wanted, the outline's colour `none` likewise."""

    length_px: float
    height_px: float
    label: str
    font_size_px: float
    colour: str
    outline_colour: str
    title: str
    description: str

    @property
    def outline_px(self) -> float:
        """Thickness of the outline."""
        return 0.0 if self.outline_colour == NO_COLOUR else max(1.0, self.height_px / 6)

    @property
    def drawn_px(self) -> int:
        """Length in whole pixels."""
        return max(1, round(self.length_px))


def svg(bar: Bar) -> str:
    """Return the bar as SVG in one line; the rectangle of the class `bar` has exactly its length."""
    edge = bar.outline_px
    width = max(bar.length_px, text_width(bar.label, bar.font_size_px)) + 2 * edge
    top = edge + (1.3 * bar.font_size_px if bar.label else 0.0)
    height = top + bar.height_px + edge
    left = (width - bar.length_px) / 2
    rectangle = f'x="{left!r}" y="{top!r}" width="{bar.length_px!r}" height="{bar.height_px!r}"'
    outline = (
        f'<rect x="{left - edge!r}" y="{top - edge!r}" width="{bar.length_px + 2 * edge!r}" '
        f'height="{bar.height_px + 2 * edge!r}" fill={quoteattr(bar.outline_colour)}/>'
        if edge
        else ""
    )
    label = (
        f'<text x="{width / 2!r}" y="{edge + bar.font_size_px!r}" font-size="{bar.font_size_px!r}" text-anchor="middle" '
        f'font-family="sans-serif" fill={quoteattr(bar.colour)} stroke={quoteattr(bar.outline_colour)} '
        f'stroke-width="{2 * edge!r}" stroke-linejoin="round" paint-order="stroke">{escape(bar.label)}</text>'
        if bar.label
        else ""
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width!r}" height="{height!r}" viewBox="0 0 {width!r} {height!r}" '
        f'role="img" aria-label={quoteattr(bar.title)}><title>{escape(bar.title)}</title>'
        f"<desc>{escape(bar.description)}</desc>{outline}"
        f'<rect class="bar" {rectangle} fill={quoteattr(bar.colour)}/>{label}</svg>'
    )


def png(bar: Bar) -> bytes:
    """Return the bar as PNG; its length and thickness are rounded to whole pixels."""
    edge = round(bar.outline_px)
    lettering = Lettering(bar.label, max(1, round(bar.font_size_px)), edge)
    length, thickness = bar.drawn_px, max(1, round(bar.height_px))
    left, top, right, bottom = lettering.box()
    above = bottom - top + thickness if bar.label else 0
    width, height = max(length + 2 * edge, right - left), above + thickness + 2 * edge
    refuse_too_large(width, height)
    picture = Image.new("RGBA", (width, height), (0, 0, 0, 0))
    pen = ImageDraw.Draw(picture)
    x, y = (width - length) // 2, above + edge
    outline = colour_of(bar.outline_colour)
    pen.rectangle((x - edge, y - edge, x + length - 1 + edge, y + thickness - 1 + edge), fill=outline)
    pen.rectangle((x, y, x + length - 1, y + thickness - 1), fill=colour_of(bar.colour))
    lettering.write(pen, ((width - right + left) // 2 - left, -top), colour_of(bar.colour), outline)
    written = BytesIO()
    picture.save(written, "PNG")
    return written.getvalue()


class Lettering(Struct, frozen=True):
    """A label in the font that Pillow brings, which has no micro sign: a u is drawn, with the sign's stem before it."""

    text: str
    size: int
    edge: int

    def box(self) -> tuple[int, int, int, int]:
        """Left, top, right and bottom of the letters with their outline, from the beginning of their baseline."""
        if not self.text:
            return 0, 0, 0, 0
        left, top, right, bottom = font_of(self.size).getbbox(self.letters, anchor="ls", stroke_width=self.edge)
        lowest = max(bottom, self.descent + self.edge + 1) if MICRO in self.text else bottom
        return floor(left), floor(top), ceil(right), ceil(lowest)

    @property
    def letters(self) -> str:
        """Text without what the font lacks."""
        return self.text.replace(MICRO, "u")

    @property
    def descent(self) -> int:
        """How far the stem of the micro sign reaches below the baseline."""
        return max(1, round(STEM_DESCENT * self.size))

    def write(self, pen: ImageDraw.ImageDraw, place: tuple[int, int], colour: Colour, outline: Colour) -> None:
        """Write with the beginning of the baseline at this place; the stem's outline goes below the letters, it above."""
        stem = self.stem(place) if MICRO in self.text else None
        if stem and outline:
            x1, y1, x2, y2 = stem
            pen.rectangle((x1 - self.edge, y1, x2 + self.edge, y2 + self.edge), fill=outline)
        pen.text(
            place,
            self.letters,
            font=font_of(self.size),
            fill=colour,
            anchor="ls",
            stroke_width=self.edge,
            stroke_fill=outline,
        )
        if stem:
            pen.rectangle(stem, fill=colour)

    def stem(self, place: tuple[int, int]) -> tuple[float, float, float, float]:
        """Rectangle of the stem, as wide as an l, from the middle of the u downwards."""
        font = font_of(self.size)
        x = place[0] + font.getlength(self.text.partition(MICRO)[0])
        left, top, _, _ = ink("u", self.size)
        l_left, _, l_right, _ = ink("l", self.size)
        x1 = round(x + left)
        return x1, place[1] + top // 2, x1 + l_right - l_left - 1, place[1] + self.descent


def refuse_too_large(width: int, height: int) -> None:
    """Refuse a picture that would take too much memory."""
    if width * height > MOST_PIXELS:
        raise DrawingTooLarge(
            tr(
                "This bar would be a picture of {width} x {height} pixels; PNG is drawn up to {most_pixels} in all. "
                "Accept image/svg+xml, which has no such limit, or ask for a shorter or thinner bar.",
                width=width,
                height=height,
                most_pixels=MOST_PIXELS,
            ),
            "",
        )


@cache
def font_of(size: int) -> ImageFont.FreeTypeFont:
    """Font of the drawings, the one that Pillow brings with FreeType."""
    font = ImageFont.load_default(size)
    assert isinstance(font, ImageFont.FreeTypeFont)
    return font


@cache
def ink(letter: str, size: int) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of what a letter covers, from the beginning of its baseline."""
    sheet = Image.new("L", (3 * size, 3 * size))
    ImageDraw.Draw(sheet).text((size, 2 * size), letter, font=font_of(size), fill=255, anchor="ls")
    left, top, right, bottom = sheet.getbbox() or (size, size, size + 1, 2 * size)
    return left - size, top - 2 * size, right - size, bottom - 2 * size


def colour_of(name: str) -> Colour:
    """Colour in red, green, blue; None for none."""
    return None if name == NO_COLOUR else ImageColor.getrgb(name)
