"""`/v1/scale-reading`."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import TYPE_CHECKING, TypedDict

from msgspec import Struct

from closeup_service.advice import scale_remarks
from closeup_service.advice.figures import ratio
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.measuring import scale_reading as measuring
from closeup_service.operations.measure.scale_reading.schemas import (
    READING_ERRORS,
    ScaleReadingAnswer,
    ScaleReadingRequest,
    by_places,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.optics.motion import UM_PER_MM
from closeup_service.schemas.fields import with_assumed
from closeup_service.schemas.used_sensor import UsedWidth, used_width_mm
from closeup_service.worked.board import Step
from closeup_service.worked.measuring import scale_reading_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

Notes = list[Remark]

ASSUMED_DIVISION_MM = 1.0
ASSUMED_SPAN_PX = 2.0
"""Span of a pixel either way, taken as the finest division of a place in the picture."""
NO_ERROR = {"scale_error": "ruler", "pitch_error": "sensor", "tilt_error_deg": "tilt"}
FROM_THE_RULER = ("reading", "ruler", "tilt")


class Frame(Struct, frozen=True):
    """What the frame is on the sensor [mm]: between the marks, its used width, one pixel of the picture."""

    image_mm: float
    width_mm: float | None
    pixel_mm: float | None


def answer(asked: requests.ScaleReadingRequest) -> answers.ScaleReadingAnswer:
    """Magnification that the ruler shows, with the budget of its uncertainty."""
    assumed = assumptions(asked)
    data = with_assumed(asked, assumed)
    frame = frame_of(asked)
    ruler_mm = abs(asked["last_mark_mm"] - asked["first_mark_mm"])
    m = measuring.magnification(frame.image_mm, ruler_mm, data["tilt_deg"])
    parts = relative_parts(data, ruler_mm)
    relative = measuring.combined_uncertainty(parts.values())
    low, high = measuring.interval(m, relative)
    shares = measuring.shares(parts)
    dominant = max(parts, key=lambda source: parts[source]) if relative else None
    return {
        "magnification": m,
        "ratio": ratio(m),
        "magnification_uncertainty": m * relative,
        "relative_uncertainty": relative,
        "magnification_low": low,
        "magnification_high": high,
        "ruler_length_mm": ruler_mm,
        **subject(asked, frame, m, parts),
        "dominant": dominant,
        "contributions": [
            {"source": source, "relative_uncertainty": parts[source], "variance_share": shares[source]}
            for source in parts
        ],
        "assumed": assumed,
        "remarks": [
            *uncertainty_notes(asked, assumed, dominant, shares),
            *scale_remarks.wide_uncertainty(relative, low is None),
            *shortcut_notes(asked, frame),
            *undetermined_results(what_is_missing(asked, frame)),
        ],
        "cautions": [],
    }


def assumptions(asked: requests.ScaleReadingRequest) -> dict[str, float | str]:
    """What is assumed of the reading, and that no error was stated beside it."""
    assumed: dict[str, float | str] = {"tilt_deg": 0.0, **dict.fromkeys(NO_ERROR, 0.0)}
    if not any(name in asked for name in READING_ERRORS):
        if by_places(asked):
            assumed["reading_error_px"] = measuring.division_uncertainty(ASSUMED_SPAN_PX)
        else:
            assumed["finest_division_mm"] = ASSUMED_DIVISION_MM
            division = asked.get("finest_division_mm", ASSUMED_DIVISION_MM)
            assumed["reading_error_mm"] = measuring.division_uncertainty(division)
    return {name: value for name, value in assumed.items() if name not in asked}


def frame_of(asked: requests.ScaleReadingRequest) -> Frame:
    """Find what the frame is on the sensor."""
    used, count = used_width_mm(asked), asked.get("image_width_px")
    pitch = pitch_mm(asked)
    pixel = measuring.picture_pixel(pitch, used, count)
    if by_places(asked):
        assert pixel is not None
        return Frame(distance_px(asked) * pixel, count * pixel if count else used, pixel)
    if used is None:
        assert count is not None
        assert pixel is not None
        used = count * pixel
    return Frame(used, used, used / count if count else None)


def pitch_mm(asked: UsedWidth) -> float | None:
    """Pixel pitch of the sensor, mm."""
    return asked["pixel_pitch_um"] / UM_PER_MM if "pixel_pitch_um" in asked else None


def distance_px(asked: requests.ScaleReadingRequest) -> float:
    """Distance between the two marks in the picture, pixels."""
    if "distance_px" in asked:
        return float(asked["distance_px"])
    across = asked["last_mark_x_px"] - asked["first_mark_x_px"]
    return hypot(across, asked["last_mark_y_px"] - asked["first_mark_y_px"])


def relative_parts(data: requests.ScaleReadingRequest, ruler_mm: float) -> dict[str, float]:
    """Relative standard uncertainty that each source adds to the magnification."""
    if "reading_error_px" in data:
        reading = measuring.two_mark_uncertainty(data["reading_error_px"], distance_px(data))
    else:
        reading = measuring.two_mark_uncertainty(data["reading_error_mm"], ruler_mm)
    return {
        "reading": reading,
        "ruler": data["scale_error"],
        "sensor": data["pitch_error"],
        "tilt": measuring.tilt_uncertainty(data["tilt_deg"], data["tilt_error_deg"]),
    }


class Subject(TypedDict):
    """What of the subject fills the frame."""

    scale_px_per_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None
    subject_width_uncertainty_mm: float | None


def subject(asked: requests.ScaleReadingRequest, frame: Frame, m: float, parts: Mapping[str, float]) -> Subject:
    """What of the subject fills the frame, and how many pixels of the picture draw one of its mm.

    Where the frame is counted in pixels, or the ruler spans it, the sensor cancels and so does its error.
    """
    width, height = frame.width_mm, height_mm(asked, frame)
    cancels = not by_places(asked) or "image_width_px" in asked
    relative = measuring.combined_uncertainty(parts[source] for source in (FROM_THE_RULER if cancels else parts))
    return {
        "scale_px_per_mm": None if frame.pixel_mm is None else m / frame.pixel_mm,
        "subject_width_mm": None if width is None else width / m,
        "subject_height_mm": None if height is None else height / m,
        "subject_width_uncertainty_mm": None if width is None else width / m * relative,
    }


def height_mm(asked: requests.ScaleReadingRequest, frame: Frame) -> float | None:
    """Height of the frame on the sensor, mm: by the picture's pixels, or the whole sensor's with its crop."""
    if "image_height_px" in asked:
        return None if frame.pixel_mm is None else float(asked["image_height_px"] * frame.pixel_mm)
    if "used_width_mm" in asked or "sensor_height_mm" not in asked:
        return None
    return float(asked["sensor_height_mm"] / asked.get("crop_factor", 1.0))


def what_is_missing(asked: requests.ScaleReadingRequest, frame: Frame) -> dict[str, tuple[str, ...]]:
    """Each result that is open, and the member that would settle it."""
    missing: dict[str, tuple[str, ...]] = {}
    if frame.pixel_mm is None:
        missing["scale_px_per_mm"] = ("/image_width_px",)
    if frame.width_mm is None:
        missing |= dict.fromkeys(("subject_width_mm", "subject_width_uncertainty_mm"), ("/image_width_px",))
    if height_mm(asked, frame) is None:
        needs = [name for name in ("image_width_px", "image_height_px") if name not in asked]
        missing["subject_height_mm"] = tuple(f"/{name}" for name in needs)
    return missing


def uncertainty_notes(
    asked: requests.ScaleReadingRequest,
    assumed: Mapping[str, float | str],
    dominant: str | None,
    shares: Mapping[str, float],
) -> Notes:
    """Where the uncertainty comes from, and what would lessen it."""
    notes = []
    error = assumed.get("reading_error_px", assumed.get("reading_error_mm"))
    if isinstance(error, float):
        division = asked.get("finest_division_mm", ASSUMED_DIVISION_MM)
        notes.append(scale_remarks.assumed_reading_error(by_places(asked), error, division))
    notes += scale_remarks.uncounted_errors([name for name in NO_ERROR if name in assumed])
    return notes + scale_remarks.dominant_source(dominant, shares[dominant] if dominant else 0.0)


def shortcut_notes(asked: requests.ScaleReadingRequest, frame: Frame) -> Notes:
    """What the trade's shortcuts would make of this frame."""
    tilt = asked.get("tilt_deg", 0.0)
    notes = scale_remarks.ignored_tilt(measuring.foreshortened_length(1.0, tilt), tilt > 0)
    if "pixel_pitch_um" in asked and by_places(asked):
        notes += scale_remarks.scaled_picture(frame.pixel_mm, pitch_mm(asked))
        if frame.pixel_mm == pitch_mm(asked) and used_width_mm(asked) is None:
            notes.append(scale_remarks.assumed_full_resolution())
        return notes
    return notes + scale_remarks.whole_width_shortcut(used_width_mm(asked), asked.get("sensor_width_mm"))


def steps(asked: requests.ScaleReadingRequest, answer: answers.ScaleReadingAnswer) -> list[Step]:
    """Steps of the reading."""
    return scale_reading_steps(asked, answer, frame_of(asked).pixel_mm, by_places(asked))


OPERATION = Operation(
    operation_id="readScale",
    path="/v1/scale-reading",
    tag="measure",
    summary="Magnification and its uncertainty from a frame of a ruler",
    description=(
        "Two marks of a ruler: read at the left and right edges of the frame (then their difference fills the sensor's used "
        "width), or anywhere in it with their places, or their distance, in pixels of the picture. Errors are standard "
        "uncertainties and combine by the law of propagation (JCGM 100, GUM); the interval holds 95 %."
    ),
    answer=answer,
    answer_type=ScaleReadingAnswer,
    request_type=ScaleReadingRequest,
    steps=steps,
    examples=(
        Example(
            "ruler-across-the-frame",
            "A steel rule read at both edges of the frame, lens reversed on its bellows (invented kit)",
            {
                "first_mark_mm": 20.2,
                "last_mark_mm": 35.2,
                "sensor": "23.5x15.6",
                "reading_error_mm": 0.1,
                "scale_error": 0.0005,
                "tilt_error_deg": 2,
            },
        ),
        Example(
            "marks-in-a-small-copy",
            "Two marks of a slanting rule in a copy of the frame 1500 pixels wide (invented kit)",
            {
                "first_mark_mm": 3,
                "last_mark_mm": 15,
                "first_mark_x_px": 140.5,
                "first_mark_y_px": 402,
                "last_mark_x_px": 1330.5,
                "last_mark_y_px": 476,
                "sensor": "23.5x15.6",
                "image_width_px": 1500,
                "image_height_px": 996,
                "reading_error_px": 0.7,
                "tilt_deg": 5,
                "tilt_error_deg": 1,
            },
        ),
        Example(
            "lichen-in-video-mode",
            "Marks 2 mm apart in a video frame that uses a part of the sensor (invented kit)",
            {
                "first_mark_mm": 7,
                "last_mark_mm": 9,
                "distance_px": 2410,
                "sensor": "23.5x15.6",
                "crop_factor": 1.5,
                "image_width_px": 3840,
                "image_height_px": 2160,
            },
        ),
    ),
)
