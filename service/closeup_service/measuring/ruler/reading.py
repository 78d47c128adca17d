"""Reading the scale of a photograph of a ruler: the one entry, `read_ruler`."""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.language import tr
from closeup_service.measuring.ruler import result
from closeup_service.measuring.ruler.baseline import align_strip, rows_of_ends
from closeup_service.measuring.ruler.choice import choose_scale, other_leg, refine_candidates
from closeup_service.measuring.ruler.colour import fall_off, lateral_colour
from closeup_service.measuring.ruler.fit import Fit
from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import Picture, Plane, Pyramid, pyramid
from closeup_service.measuring.ruler.proof import Proved
from closeup_service.measuring.ruler.records import (
    Leg,
    Measured,
    OtherLeg,
    Point,
    RulerReading,
    Tilt,
    Wanted,
    ZoneSharpness,
)
from closeup_service.measuring.ruler.refusals import refuse_doubtful
from closeup_service.measuring.ruler.settling import settle_scale
from closeup_service.measuring.ruler.sharpness import nine_zones
from closeup_service.measuring.ruler.tilt import tilt_of
from closeup_service.measuring.ruler.view import view
from closeup_service.optics.errors import NoScaleFound, TooBlurred, TooFewMarks

MOST_UNCERTAIN = 0.0065
SMALLEST_SIDE = 96
MOST_BLUR = 0.25
LEAST_BLUR_PX = 4.0
"""Blur of a few pixels is every lens's and camera's own."""


class Laid(Struct, frozen=True):
    """A scale that was found, measured until it stays, and what follows for its plane; `reading` is in the middle."""

    scale: Scale
    marks: Marks
    fit: Fit
    line: tuple[Point, Point]
    reading: Measured
    keystone: Measured
    tilt: Tilt
    distortion: Measured


def read_ruler(
    image: Plane | Picture,
    tick_pitch_mm: float,
    *,
    perspective_distance_mm: float | None = None,
    largest_tilt_deg: float | None = None,
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
    largest_tilt_deg : that the ruler may have along itself, either way; assumed where the picture does not tell the tilt
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
            tr(
                "The picture is smaller than {smallest_side} pixels one way. Send it as the camera made it, not "
                "reduced.",
                smallest_side=SMALLEST_SIDE,
            )
        )
    picture = pyramid(image)
    wanted = Wanted(tick_pitch_mm, accept_plain_marks, accept_pitch, filled_blocks, leg)
    levels = float(np.iinfo(image.dtype.name).max) + 1
    begun = refine_candidates(picture, levels)
    found = choose_scale(picture, begun, wanted)
    laid = describe_scale(picture, found, wanted, perspective_distance_mm, largest_tilt_deg)
    refuse_uncertain(laid, found)
    sharpness = nine_zones(picture, laid.scale, laid.marks, wanted.period_mm)
    refuse_blurred(sharpness, laid.scale.period, found.pitch.fits)
    refuse_doubtful(found, wanted)
    other = other_leg(picture, begun, found, wanted)
    return replace(
        reading_of(picture, levels, found, laid, wanted.period_mm, sharpness),
        lateral_colour=lateral_colour(image, picture, laid.scale, laid.marks, laid.line),
        other_leg=None
        if other is None
        else describe_leg(picture, other, wanted, perspective_distance_mm, largest_tilt_deg),
    )


def reading_of(
    picture: Pyramid,
    levels: float,
    found: Proved,
    laid: Laid,
    period_mm: float,
    sharpness: tuple[ZoneSharpness | None, ...],
) -> RulerReading:
    """Put together what is told of a scale that is read for sure, but for its colours and its other leg.

    Parameters
    ----------
    levels : number of grey steps of the picture
    period_mm : from mark to mark of what repeats in the picture [mm]
    """
    scale, marks, line = laid.scale, laid.marks, laid.line
    return RulerReading(
        pixels_per_mm=result.add_tilt_uncertainty(laid.reading, laid.tilt),
        reading_uncertainty=laid.reading.relative_uncertainty,
        square_on_pixels_per_mm=result.scale_square_on(laid.reading, laid.tilt),
        mean_pixels_per_mm=result.mean_scale(scale, line, period_mm),
        direction_deg=result.direction_deg(line),
        marks_used=found.verdict.marks,
        pitch=found.pitch,
        keystone_per_mm=laid.keystone,
        tilt=laid.tilt,
        distortion_percent=laid.distortion,
        sharpness=sharpness,
        lateral_colour=None,
        fall_off_stops=fall_off(picture, scale, marks, line, levels),
        dark_marks=scale.start.dark,
        marks=result.middles(scale, marks),
        line=line,
        centre=picture.centre,
    )


def describe_scale(
    picture: Pyramid,
    found: Proved,
    wanted: Wanted,
    perspective_distance_mm: float | None,
    largest_tilt_deg: float | None,
) -> Laid:
    """Measure a scale until it stays, and tell how its plane is seen.

    Parameters
    ----------
    perspective_distance_mm : from the entrance pupil to the subject plane [mm], or None
    largest_tilt_deg : that the ruler may have along itself, either way [degrees], or None
    """
    scale, marks, fit = settle_scale(picture, found.scale, found.marks, found.fit)
    rows = rows_of_ends(picture, scale, marks)
    seen, unit, count = view(fit, rows), fit.model.unit, found.verdict.marks
    line = result.ruler_line(align_strip(scale, rows))
    distortion = result.distortion(fit, line)
    reading = result.middle_scale(seen, unit, wanted.period_mm, count, distortion.value)
    keystone = result.keystone_per_mm(seen, unit, reading.value, count)
    half = Measured(keystone.value / 2, keystone.uncertainty / 2)
    tilt = tilt_of(seen, half, perspective_distance_mm, largest_tilt_deg)
    return Laid(scale, marks, fit, line, reading, keystone, tilt, distortion)


def describe_leg(
    picture: Pyramid,
    found: Proved,
    wanted: Wanted,
    perspective_distance_mm: float | None,
    largest_tilt_deg: float | None,
) -> OtherLeg | None:
    """Tell of the other leg of an L-shaped ruler, where its scale is as sure as that of the first must be.

    Parameters
    ----------
    perspective_distance_mm : from the entrance pupil to the subject plane [mm], or None
    largest_tilt_deg : that the ruler may have along itself, either way [degrees], or None
    """
    laid = describe_scale(picture, found, wanted, perspective_distance_mm, largest_tilt_deg)
    if laid.reading.relative_uncertainty > MOST_UNCERTAIN:
        return None
    seen = result.add_tilt_uncertainty(laid.reading, laid.tilt)
    return OtherLeg(seen, result.direction_deg(laid.line), found.verdict.marks)


def refuse_uncertain(laid: Laid, found: Proved) -> None:
    """Refuse where the marks leave the scale in the middle too uncertain."""
    if laid.reading.relative_uncertainty > MOST_UNCERTAIN:
        raise TooFewMarks(
            tr(
                "The {marks} marks seen leave the scale in the middle uncertain by more than {most_uncertain:.2%}. "
                "Show more of the ruler, on both sides of the middle, and in focus.",
                marks=found.verdict.marks,
                most_uncertain=MOST_UNCERTAIN,
            )
        )


def refuse_blurred(sharpness: tuple[ZoneSharpness | None, ...], period_px: float, fits: bool | None) -> None:
    """Refuse where every zone is so blurred that finer marks between those seen would have vanished.

    Parameters
    ----------
    period_px : from mark to mark [px]

    Raises
    ------
    TooBlurred
        Where even the sharpest zone is so blurred, and no longer marks fit the pitch.
    """
    widths = [zone.edge_width_px for zone in sharpness if zone is not None]
    if widths and not fits and min(widths) > max(MOST_BLUR * period_px, LEAST_BLUR_PX):
        raise TooBlurred(
            tr(
                "The marks are blurred over {widths:.0f} pixels and stand {period_px:.0f} pixels apart, and no "
                "longer marks tell which they are: finer ones between them may be lost. Focus on the ruler, or stop "
                "down.",
                widths=min(widths),
                period_px=period_px,
            )
        )
