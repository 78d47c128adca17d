"""Reading the scale of a photograph of a ruler: the one entry, `read_ruler`."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring import ruler_result
from closeup_service.measuring.ruler_choice import chosen, other_leg, starts
from closeup_service.measuring.ruler_colour import fall_off, lateral_colour
from closeup_service.measuring.ruler_picture import pyramid
from closeup_service.measuring.ruler_proof import Proved
from closeup_service.measuring.ruler_records import Leg, OtherLeg, RulerReading, Wanted, ZoneSharpness
from closeup_service.measuring.ruler_refusals import refuse_doubtful
from closeup_service.measuring.ruler_sharpness import nine_zones
from closeup_service.optics.errors import NoScaleFound, TooBlurred, TooFewMarks

MOST_UNCERTAIN = 0.01
SMALLEST_SIDE = 96
MOST_BLUR = 0.25
LEAST_BLUR_PX = 4.0
"""Blur of a few pixels is every lens's and camera's own."""


def read_ruler(
    image: NDArray[Any],
    tick_pitch_mm: float,
    *,
    perspective_distance_mm: float | None = None,
    accept_plain_marks: bool = False,
    accept_pitch: bool = False,
    filled_blocks: bool | None = None,
    leg: Leg | None = None,
) -> RulerReading:
    """Read the ruler in a picture: grey (rows, columns) or colour (rows, columns, red-green-blue), uint8 or uint16.

    Parameters
    ----------
    image : the picture, as decoded, not scaled; larger than about 100 pixels each way
    tick_pitch_mm : distance between neighbouring marks, the finest on the ruler; length of a filled block [mm]
    perspective_distance_mm : from the entrance pupil to the subject plane [mm]; gives the tilt
    accept_plain_marks : read even marks of one length although nothing else shows that they are a scale
    accept_pitch : take the pitch as given although the longer marks speak against it
    filled_blocks : whether the scale is blocks, alternately dark and light, each one pitch long
    leg : which leg of an L-shaped scale is read

    Raises
    ------
    NoScaleFound, PlainMarks, BlocksOrLines, PitchContradicted, TwoScales, TooFewMarks, TooBlurred : where no reading is sure
    """
    if min(image.shape[:2]) < SMALLEST_SIDE:
        raise NoScaleFound(
            f"The picture is smaller than {SMALLEST_SIDE} pixels one way. Send it as the camera made it, not reduced."
        )
    depth = float(np.iinfo(image.dtype).max) + 1
    picture = pyramid(image)
    wanted = Wanted(tick_pitch_mm, accept_plain_marks, accept_pitch, filled_blocks, leg)
    begun = starts(picture, depth)
    found = chosen(picture, begun, wanted)
    pitch_mm = wanted.period_mm
    scale, marks, fit = found.scale, found.marks, found.fit
    line = ruler_result.ruler_line(scale)
    reading = ruler_result.middle_scale(fit, pitch_mm, found.verdict, line)
    if reading.relative > MOST_UNCERTAIN:
        raise TooFewMarks(
            f"The {found.verdict.marks} marks seen leave the scale in the middle uncertain by more than {MOST_UNCERTAIN:.0%}. "
            "Show more of the ruler, on both sides of the middle, and in focus."
        )
    keystone = ruler_result.keystone_per_mm(fit, reading.value)
    tilt = ruler_result.tilt_deg(keystone, perspective_distance_mm)
    sharpness = nine_zones(picture, scale, marks, pitch_mm)
    refuse_blurred(sharpness, scale.period, found.pitch.fits)
    refuse_doubtful(found, wanted)
    return RulerReading(
        pixels_per_mm=reading if tilt else ruler_result.with_usual_tilt(reading),
        reading_uncertainty=reading.relative,
        square_on_pixels_per_mm=ruler_result.square_on(reading, tilt),
        mean_pixels_per_mm=ruler_result.mean_scale(scale, line, pitch_mm),
        direction_deg=ruler_result.direction_deg(line),
        marks_used=found.verdict.marks,
        pitch=found.pitch,
        keystone_per_mm=keystone,
        tilt_deg=tilt,
        distortion_percent=ruler_result.distortion(fit, line),
        sharpness=sharpness,
        lateral_colour=lateral_colour(image, picture, scale, marks, line),
        fall_off_stops=fall_off(picture, scale, marks, line, depth),
        dark_marks=scale.start.dark,
        marks=ruler_result.middles(scale, marks),
        line=line,
        centre=picture.centre,
        other_leg=leg_told(other_leg(picture, begun, found, wanted), pitch_mm),
    )


def leg_told(one: Proved | None, pitch_mm: float) -> OtherLeg | None:
    """Tell of the other leg of an L-shaped ruler, where its scale is as sure as that of the first must be."""
    if one is None:
        return None
    line = ruler_result.ruler_line(one.scale)
    reading = ruler_result.middle_scale(one.fit, pitch_mm, one.verdict, line)
    if reading.relative > MOST_UNCERTAIN:
        return None
    return OtherLeg(ruler_result.with_usual_tilt(reading), ruler_result.direction_deg(line), one.verdict.marks)


def refuse_blurred(sharpness: tuple[ZoneSharpness | None, ...], period_px: float, fits: bool | None) -> None:
    """Refuse where every zone is so blurred that finer marks between those seen would have vanished."""
    widths = [zone.edge_width_px for zone in sharpness if zone is not None]
    if widths and not fits and min(widths) > max(MOST_BLUR * period_px, LEAST_BLUR_PX):
        raise TooBlurred(
            f"The marks are blurred over {min(widths):.0f} pixels and stand {period_px:.0f} pixels apart, and no longer marks "
            "tell which they are: finer ones between them may be lost. Focus on the ruler, or stop down."
        )
