"""`/v1/scale-reading/photo`."""

from __future__ import annotations

from base64 import b64decode, b64encode
from collections.abc import Sequence
from io import BytesIO
from math import hypot
from typing import TYPE_CHECKING, Literal, Required, TypedDict

from PIL import Image

from closeup_service.advice import photo_remarks, scale_remarks
from closeup_service.advice.figures import ratio
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.measuring import scale_reading as measuring
from closeup_service.measuring.ruler.overlay import draw_overlay
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.measuring.ruler.records import Measured, RulerReading
from closeup_service.operations.asking.effort import in_turn
from closeup_service.operations.asking.media_types import PNG
from closeup_service.operations.measure.scale_photo.examples import PHOTO_EXAMPLES
from closeup_service.operations.measure.scale_photo.schemas import (
    BLOCKS,
    LINES,
    ZONES,
    ScalePhotoAnswer,
    ScalePhotoRequest,
)
from closeup_service.operations.measure.scale_reading.operation import pitch_mm
from closeup_service.operations.operation import Operation
from closeup_service.operations.photographs.decoding import Photograph, decoded
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.motion import UM_PER_MM
from closeup_service.schemas.used_sensor import UsedWidth, used_width_mm

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


class Asked(UsedWidth, total=False):
    """How one photograph is to be read, whether alone or in a comparison."""

    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: Literal["lines", "blocks"]
    leg: Literal["level", "upright"]


NO_ERROR = ("scale_error", "pitch_error")
BY_MARKS = {None: None, LINES: False, BLOCKS: True}
OF_THE_SCALE = ("reading", "ruler", "tilt")
OF_THE_SENSOR = ("magnification", "ratio", "magnification_uncertainty", "magnification_low", "magnification_high")


def answer(asked: requests.ScalePhotoRequest) -> answers.ScalePhotoAnswer:
    """Read the ruler in the photograph."""
    with in_turn(asked["photo"].patience):
        photograph = decoded(asked["photo"], "/photo")
        reading = reading_of(photograph, asked, "/photo")
        picture = overlay(photograph, reading) if asked.get("overlay") else None
    return told(asked, photograph, reading, picture)


def reading_of(photograph: Photograph, asked: Asked, pointer: str) -> RulerReading:
    """Read the ruler; what is refused points to the photograph."""
    try:
        return read_ruler(
            photograph.picture,
            asked["tick_pitch_mm"],
            perspective_distance_mm=asked.get("perspective_distance_mm"),
            largest_tilt_deg=asked.get("largest_tilt_deg"),
            accept_plain_marks=asked.get("accept_plain_marks", False),
            accept_pitch=asked.get("accept_pitch", False),
            filled_blocks=BY_MARKS[asked.get("marks_are")],
            leg=asked.get("leg"),
        )
    except OpticsError as error:
        raise type(error)(str(error), *(error.members or (pointer,))) from None


def told(
    asked: Asked, photograph: Photograph, reading: RulerReading, overlay: str | None = None
) -> answers.ScalePhotoAnswer:
    """Return all members of the answer."""
    scale = square_on(reading)
    parts = relative_parts(asked, reading)
    of_scale = measuring.combined_uncertainty(parts[source] for source in OF_THE_SCALE)
    low, high = measuring.interval(scale.value, of_scale)
    shares = measuring.shares(parts)
    names = [name for name in NO_ERROR if name not in asked and (name == "scale_error" or pixel_mm(asked, photograph))]
    return {
        "scale_px_per_mm": scale.value,
        "scale_uncertainty_px_per_mm": scale.value * of_scale,
        "scale_low_px_per_mm": low,
        "scale_high_px_per_mm": high,
        "mean_scale_px_per_mm": reading.mean_pixels_per_mm.value,
        **magnified(asked, photograph, scale.value, measuring.combined_uncertainty(parts.values())),
        "relative_uncertainty": of_scale,
        "assumed_tilt_uncertainty": reading.tilt.assumed_uncertainty,
        "subject_width_mm": photograph.width_px / scale.value,
        "subject_height_mm": photograph.height_px / scale.value,
        "contributions": [
            {"source": source, "relative_uncertainty": parts[source], "variance_share": shares[source]}
            for source in ("reading", "ruler", "sensor", "tilt")
        ],
        **faults_of_the_lens(reading),
        "zones": zones(reading),
        "marks_used": reading.marks_used,
        "direction_deg": reading.direction_deg,
        **other_leg(reading),
        "dark_marks": reading.dark_marks,
        "suggested_tick_pitch_mm": asked["tick_pitch_mm"] if reading.pitch.fits else reading.pitch.suggested_pitch_mm,
        "image_width_px": float(photograph.width_px),
        "image_height_px": float(photograph.height_px),
        "bits_in_file": photograph.bits_in_file,
        "bits_used": photograph.bits_used,
        "assumed": {**dict.fromkeys(names, 0.0), **assumed_tilt(asked, reading)},
        "remarks": remarks(asked, photograph, reading, names),
        "cautions": [],
        "overlay": overlay,
    }


def square_on(reading: RulerReading) -> Measured:
    """Scale in the middle: freed of the tilt where that is known, else as seen."""
    return reading.square_on_pixels_per_mm or reading.pixels_per_mm


def relative_parts(asked: Asked, reading: RulerReading) -> dict[str, float]:
    """Relative standard uncertainty that each source adds."""
    return {
        "reading": reading.reading_uncertainty,
        "ruler": asked.get("scale_error", 0.0),
        "sensor": asked.get("pitch_error", 0.0),
        "tilt": reading.tilt.shortening,
    }


def assumed_tilt(asked: Asked, reading: RulerReading) -> dict[str, float]:
    """Largest tilt, where it was assumed and counts."""
    largest = reading.tilt.largest_deg
    return {} if largest is None or asked.get("largest_tilt_deg") == largest else {"largest_tilt_deg": largest}


class Magnified(TypedDict):
    """The magnification with its uncertainty; null where the size of a pixel on the sensor is not known."""

    magnification: float | None
    ratio: str | None
    magnification_uncertainty: float | None
    magnification_low: float | None
    magnification_high: float | None


def magnified(asked: Asked, photograph: Photograph, scale: float, relative: float) -> Magnified:
    """Magnification with its uncertainty, where the size of a pixel on the sensor is known."""
    pixel = pixel_mm(asked, photograph)
    if pixel is None:
        return {
            "magnification": None,
            "ratio": None,
            "magnification_uncertainty": None,
            "magnification_low": None,
            "magnification_high": None,
        }
    m = scale * pixel
    low, high = measuring.interval(m, relative)
    return {
        "magnification": m,
        "ratio": ratio(m),
        "magnification_uncertainty": m * relative,
        "magnification_low": low,
        "magnification_high": high,
    }


def pixel_mm(asked: Asked, photograph: Photograph) -> float | None:
    """Size on the sensor of one pixel; the sensor's width lies along the photograph's longer side."""
    longer = max(photograph.width_px, photograph.height_px)
    return measuring.picture_pixel(pitch_mm(asked), used_width_mm(asked), longer)


class Faults(TypedDict):
    """Tilt, keystone, distortion, lateral colour, fall-off; null where the photograph does not tell."""

    tilt_deg: float | None
    tilt_uncertainty_deg: float | None
    keystone: float
    distortion: float
    distortion_uncertainty: float
    lateral_colour_um: float | None
    red_scale_difference: float | None
    blue_scale_difference: float | None
    fall_off_stops: float | None
    colour_shifts: Sequence[answers.ColourShift]


def faults_of_the_lens(reading: RulerReading) -> Faults:
    """Tilt, keystone, distortion, lateral colour, fall-off."""
    colour = reading.lateral_colour
    (x1, y1), (x2, y2) = reading.line
    seen_mm = hypot(x2 - x1, y2 - y1) / reading.mean_pixels_per_mm.value
    return {
        "tilt_deg": None if reading.tilt_deg is None else reading.tilt_deg.value,
        "tilt_uncertainty_deg": None if reading.tilt_deg is None else reading.tilt_deg.uncertainty,
        "keystone": reading.keystone_per_mm.value * seen_mm,
        "distortion": reading.distortion_percent.value / 100,
        "distortion_uncertainty": reading.distortion_percent.uncertainty / 100,
        "lateral_colour_um": lateral_colour_um(reading),
        "red_scale_difference": None if colour is None else colour.red_scale_percent.value / 100,
        "blue_scale_difference": None if colour is None else colour.blue_scale_percent.value / 100,
        "fall_off_stops": reading.fall_off_stops,
        "colour_shifts": [
            {
                "x_px": end.place[0],
                "y_px": end.place[1],
                "red_shift_px": end.red_minus_green_px,
                "blue_shift_px": end.blue_minus_green_px,
            }
            for end in (() if colour is None else colour.ends)
        ],
    }


class SecondLeg(TypedDict, total=False):
    """The other leg, where the ruler has one."""

    other_leg: answers.OtherLeg


def other_leg(reading: RulerReading) -> SecondLeg:
    """Tell of the other leg of an L-shaped ruler, where there is one."""
    leg = reading.other_leg
    if leg is None:
        return {}
    told: answers.OtherLeg = {
        "scale_px_per_mm": leg.pixels_per_mm.value,
        "scale_uncertainty_px_per_mm": leg.pixels_per_mm.uncertainty,
        "direction_deg": leg.direction_deg,
        "marks_used": leg.marks_used,
    }
    return {"other_leg": told}


def lateral_colour_um(reading: RulerReading) -> float | None:
    """Greatest shift of red or blue at the two ends, um on the subject."""
    if reading.lateral_colour is None:
        return None
    shifts = [s for end in reading.lateral_colour.ends for s in (end.red_minus_green_px, end.blue_minus_green_px)]
    return max(map(abs, shifts)) / reading.mean_pixels_per_mm.value * UM_PER_MM


def zones(reading: RulerReading) -> list[answers.ZoneSharpness]:
    """Sharpness zone by zone."""
    return [
        {
            "zone": name,
            "edge_width_um": found.edge_width_um if found else None,
            "edge_width_px": found.edge_width_px if found else None,
            "edges": found.edges if found else 0,
        }
        for name, found in zip(ZONES, reading.sharpness, strict=True)
    ]


def remarks(asked: Asked, photograph: Photograph, reading: RulerReading, no_error: list[str]) -> list[Remark]:
    """What is worth knowing about the reading."""
    pixel, notes = pixel_mm(asked, photograph), of_the_file(photograph)
    pitch = reading.pitch
    notes += photo_remarks.longer_marks(
        pitch.fits, pitch.longer_every, asked["tick_pitch_mm"], pitch.suggested_pitch_mm
    )
    if pitch.fits is None:
        notes.append(photo_remarks.unchecked_pitch())
    if pixel is None:
        notes += undetermined_results(dict.fromkeys(OF_THE_SENSOR, ("/pixel_pitch_um",)))
    elif used_width_mm(asked) is not None and photograph.height_px > photograph.width_px:
        notes.append(photo_remarks.turned_frame())
    elif used_width_mm(asked) is None:
        notes.append(scale_remarks.assumed_full_resolution())
    notes += scale_remarks.scaled_picture(pixel, pitch_mm(asked))
    notes += scale_remarks.uncounted_errors(no_error)
    return notes + of_the_frame(reading)


def of_the_file(photograph: Photograph) -> list[Remark]:
    """What was left aside of the file."""
    notes = photo_remarks.reduced_bit_depth(photograph.bits_in_file, photograph.bits_used)
    return [*notes, photo_remarks.further_pictures()] if photograph.further else notes


def of_the_frame(reading: RulerReading) -> list[Remark]:
    """What the frame does not show."""
    notes = []
    tilt = reading.tilt
    if tilt.measured is None and tilt.largest_deg is not None:
        notes.append(photo_remarks.unknown_tilt(tilt.shortening, tilt.largest_deg))
    elif tilt.largest_deg is not None:
        notes.append(photo_remarks.limited_tilt(tilt.largest_deg))
    if tilt.contradicted:
        notes.append(photo_remarks.contradicted_tilt())
    if tilt.shows_two_axes:
        notes.append(photo_remarks.tilt_about_two_axes(tilt.least_deg, tilt.measured is not None))
    if reading.lateral_colour is None:
        notes.append(photo_remarks.grey_photograph())
    if reading.fall_off_stops is None:
        notes.append(photo_remarks.uneven_ground())
    empty = [name for name, found in zip(ZONES, reading.sharpness, strict=True) if found is None]
    return [*notes, *photo_remarks.zones_without_marks(empty), photo_remarks.edge_direction()]


def overlay(photograph: Photograph, reading: RulerReading) -> str:
    """Draw what was found, with nothing in the file but pixels."""
    written = BytesIO()
    Image.fromarray(draw_overlay(photograph.picture, reading)).save(written, "PNG", compress_level=3)
    return b64encode(written.getvalue()).decode("ascii")


def as_png(asked: requests.ScalePhotoRequest, answered: answers.ScalePhotoAnswer) -> bytes:
    """Return the overlay alone."""
    del asked
    return b64decode(answered["overlay"] or "")


OPERATION = Operation(
    operation_id="readScalePhoto",
    path="/v1/scale-reading/photo",
    tag="measure",
    summary="Scale, magnification and faults of the lens from a photograph of a ruler",
    description=(
        "Finds the ruler in the photograph and its marks to a fraction of a pixel: scale in the middle along the ruler, with "
        "pixel_pitch_um or the sensor the magnification, both with their uncertainty; tilt, radial distortion, sharpness in "
        "nine zones, lateral colour and fall-off of light. Refuses where no reading is sure; even marks that nothing else "
        "shows to be a scale are read with accept_plain_marks. Accept: image/png gives the photograph with what was found "
        "drawn over it. The photograph is kept nowhere, and of what its file says beside the picture only the orientation "
        "is read."
    ),
    answer=answer,
    answer_type=ScalePhotoAnswer,
    request_type=ScalePhotoRequest,
    renderers={PNG: as_png},
    rendered_with={"overlay": True},
    examples=PHOTO_EXAMPLES,
)
