"""The icons of the pages as PNG, drawn after `icon.svg`: `python tests/support/draw_icons.py` writes them anew."""

from pathlib import Path

from PIL import Image, ImageChops, ImageDraw

STATIC = Path(__file__).parents[2] / "service" / "closeup_service" / "pages" / "static"
GROUND, LIGHT = "#2c5c3b", "#fbfaf6"
FINER = 4
"""Pixels drawn for each pixel of a side, for smooth edges."""
UNITS = 32.0
"""Side of the drawing in `icon.svg`."""
LENS_CENTRES = (12 - 135**0.5, 12 + 135**0.5)
"""Where the two faces of radius 16 have their centres: they meet 11 above and below the axis (16^2 - 11^2 = 135)."""


def scaled(side: int, *corners: float) -> tuple[float, ...]:
    return tuple(corner * side / UNITS for corner in corners)


def disc(side: int, centre: float) -> Image.Image:
    mask = Image.new("L", (side, side))
    ImageDraw.Draw(mask).ellipse(scaled(side, centre - 16, 0, centre + 16, 32), fill=255)
    return mask


def icon(side: int, corner: float) -> Image.Image:
    """Draw the icon; corners of the ground are rounded by so many units."""
    fine = side * FINER
    picture = Image.new("RGBA", (fine, fine))
    pen = ImageDraw.Draw(picture)
    pen.rounded_rectangle((0, 0, fine - 1, fine - 1), scaled(fine, corner)[0], fill=GROUND)
    pen.rectangle(scaled(fine, 20, 14.5, 28, 17.5), fill=LIGHT)
    lens = ImageChops.multiply(*(disc(fine, centre) for centre in LENS_CENTRES))
    picture.paste(LIGHT, mask=lens)
    return picture.resize((side, side), Image.Resampling.BOX)


if __name__ == "__main__":
    for name, side, corner in (("icon-192", 192, 6), ("icon-512", 512, 6), ("icon-maskable", 512, 0)):
        icon(side, corner).save(STATIC / f"{name}.png", optimize=True)
