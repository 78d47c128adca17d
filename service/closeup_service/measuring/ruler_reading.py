"""Reading the scale of a photograph of a ruler: the one entry, `read_ruler`."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring import ruler_result
from closeup_service.measuring.ruler_baseline import laid_along, rows_of_ends
from closeup_service.measuring.ruler_choice import chosen
from closeup_service.measuring.ruler_colour import fall_off, lateral_colour
from closeup_service.measuring.ruler_picture import Picture, pyramid
from closeup_service.measuring.ruler_records import Measured, RulerReading, ZoneSharpness
from closeup_service.measuring.ruler_settling import settled
from closeup_service.measuring.ruler_sharpness import nine_zones
from closeup_service.measuring.ruler_tilt import tilt_of
from closeup_service.measuring.ruler_view import view
from closeup_service.optics.errors import NoScaleFound, TooBlurred, TooFewMarks

MOST_UNCERTAIN = 0.0065
SMALLEST_SIDE = 96
MOST_BLUR = 0.25
LEAST_BLUR_PX = 4.0
"""Blur of a few pixels is every lens's and camera's own."""


def read_ruler(
    image: NDArray[Any] | Picture,
    tick_pitch_mm: float,
    *,
    perspective_distance_mm: float | None = None,
    largest_tilt_deg: float | None = None,
) -> RulerReading:
    """Read the ruler in a picture: grey (rows, columns) or colour (rows, columns, red-green-blue), uint8 or uint16.

    Parameters
    ----------
    image : the picture, as decoded, not scaled; larger than about 100 pixels each way
    tick_pitch_mm : distance between neighbouring marks, the finest on the ruler [mm]
    perspective_distance_mm : from the entrance pupil to the subject plane [mm]; gives the tilt
    largest_tilt_deg : that the ruler may have along itself, either way; assumed where the picture does not tell the tilt

    Raises
    ------
    NoScaleFound, TooFewMarks, TooBlurred : where no reading is sure
    """
    if min(image.shape[:2]) < SMALLEST_SIDE:
        raise NoScaleFound(
            f"The picture is smaller than {SMALLEST_SIDE} pixels one way. Send it as the camera made it, not reduced."
        )
    depth = float(np.iinfo(image.dtype).max) + 1
    picture = pyramid(image)
    found = chosen(picture, depth, tick_pitch_mm)
    scale, marks, fit = settled(picture, found.scale, found.marks, found.fit)
    rows = rows_of_ends(picture, scale, marks)
    seen, unit, count = view(fit, rows), fit.model.unit, found.verdict.marks
    line = ruler_result.ruler_line(laid_along(scale, rows))
    distortion = ruler_result.distortion(fit, line)
    reading = ruler_result.middle_scale(seen, unit, tick_pitch_mm, count, distortion.value)
    if reading.relative > MOST_UNCERTAIN:
        raise TooFewMarks(
            f"The {count} marks seen leave the scale in the middle uncertain by more than {MOST_UNCERTAIN:.2%}. "
            "Show more of the ruler, on both sides of the middle, and in focus."
        )
    keystone = ruler_result.keystone_per_mm(seen, unit, reading.value, count)
    half = Measured(keystone.value / 2, keystone.uncertainty / 2)
    tilt = tilt_of(seen, half, perspective_distance_mm, largest_tilt_deg)
    sharpness = nine_zones(picture, scale, marks, tick_pitch_mm)
    refuse_blurred(sharpness, scale.period, found.pitch.fits)
    return RulerReading(
        pixels_per_mm=ruler_result.as_seen(reading, tilt),
        reading_uncertainty=reading.relative,
        square_on_pixels_per_mm=ruler_result.square_on(reading, tilt),
        mean_pixels_per_mm=ruler_result.mean_scale(scale, line, tick_pitch_mm),
        direction_deg=ruler_result.direction_deg(line),
        marks_used=count,
        pitch=found.pitch,
        keystone_per_mm=keystone,
        tilt=tilt,
        distortion_percent=distortion,
        sharpness=sharpness,
        lateral_colour=lateral_colour(image, picture, scale, marks, line),
        fall_off_stops=fall_off(picture, scale, marks, line, depth),
        dark_marks=scale.start.dark,
        marks=ruler_result.middles(scale, marks),
        line=line,
        centre=picture.centre,
    )


def refuse_blurred(sharpness: tuple[ZoneSharpness | None, ...], period_px: float, fits: bool | None) -> None:
    """Refuse where every zone is so blurred that finer marks between those seen would have vanished."""
    widths = [zone.edge_width_px for zone in sharpness if zone is not None]
    if widths and not fits and min(widths) > max(MOST_BLUR * period_px, LEAST_BLUR_PX):
        raise TooBlurred(
            f"The marks are blurred over {min(widths):.0f} pixels and stand {period_px:.0f} pixels apart, and no longer marks "
            "tell which they are: finer ones between them may be lost. Focus on the ruler, or stop down."
        )
