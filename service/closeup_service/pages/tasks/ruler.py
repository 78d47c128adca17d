"""Measure a ruler: by two marks and their places in the picture, or by the photograph itself."""

from closeup_service.gear.kit import Kit
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.measure.scale_bar.schemas import ScaleBarRequest
from closeup_service.operations.measure.scale_photo.schemas import ScalePhotoRequest
from closeup_service.operations.measure.scale_reading.schemas import ScaleReadingRequest
from closeup_service.pages.task import (
    Answers,
    Drawing,
    Example,
    Group,
    Members,
    Request,
    Step,
    Table,
    Task,
    inputs,
    members_for,
    same_names,
)
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.schemas.fields import declared_fields

READING = declared_fields(ScaleReadingRequest)
PHOTO = declared_fields(ScalePhotoRequest)
BAR = declared_fields(ScaleBarRequest)
ON_PAPER = {"colour": "black", "outline_colour": "none", "scale_basis": "measured"}
IN_FRAME: JsonDict = {"sensor": SENSOR}


def scale_bar(members: Members, answers: Answers, kit: Kit) -> Request | None:
    """Ask for a bar for the picture, where the scale in its pixels is known."""
    del kit
    reading = answers.get("readScale") or answers.get("readScalePhoto") or {}
    width = reading.get("image_width_px", members.get("image_width_px"))
    scale = reading.get("scale_px_per_mm")
    return Request({"scale_px_per_mm": scale, "image_width_px": width, **ON_PAPER}) if scale and width else None


BAR_DRAWING = Drawing(
    "drawScaleBar",
    scale_bar,
    "Scale bar of a round length for this picture",
    ("bar_length_um", "bar_length_px"),
)

PHOTOGRAPH = Task(
    slug="ruler",
    stage="measure",
    title="Measure a ruler",
    question="Let the service find the marks",
    lead="Send a photograph of a ruler; it is read in memory and kept nowhere. What is not sure is refused.",
    description="",
    groups=(
        Group(
            "Photograph",
            inputs(
                PHOTO,
                *("photo", "tick_pitch_mm", "pixel_pitch_um", "sensor"),
                photo={"own_label": "photograph of the ruler"},
                **IN_FRAME,
            ),
        ),
        Group(
            "More about ruler and sensor",
            inputs(
                PHOTO,
                *("used_width_mm", "crop_factor", "perspective_distance_mm", "largest_tilt_deg"),
                *("scale_error", "pitch_error", "accept_plain_marks", "accept_pitch", "marks_are", "leg"),
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "readScalePhoto",
            lambda members, answers, kit: Request({**members_for(PHOTO, members), "overlay": True}),
            (
                *("magnification", "magnification_low", "magnification_high", "scale_px_per_mm", "subject_width_mm"),
                *("subject_height_mm", "marks_used", "tilt_deg", "distortion", "lateral_colour_um", "fall_off_stops"),
            ),
            (Table("zones", "Sharpness, zone by zone", ("zone", "edge_width_um", "edge_width_px", "edges")),),
            dear=True,
        ),
    ),
    first=("magnification", "scale_px_per_mm", "subject_width_mm"),
    examples=(),
    drawings=(BAR_DRAWING,),
    posted=True,
)

TASK = Task(
    slug="ruler",
    stage="measure",
    title="Measure a ruler",
    question="Which magnification does this frame of a ruler show?",
    lead="Read the ruler at both edges of the frame, or tell how far apart two of its marks stand in the picture.",
    description=(
        "Read the magnification of a close-up from a frame of a ruler: by two marks and their distance in pixels, or from the "
        "photograph itself, with its uncertainty."
    ),
    groups=(
        Group(
            "Two marks",
            inputs(
                READING,
                *("first_mark_mm", "last_mark_mm", "distance_px", "pixel_pitch_um", "sensor"),
                distance_px={
                    "own_hint": "In the picture, along the ruler. Leave it out for marks at the two edges of the frame."
                },
                first_mark_mm={"own_hint": "What the ruler reads there."},
                last_mark_mm={"own_hint": "What the ruler reads there."},
                **IN_FRAME,
            ),
        ),
        Group(
            "Places of the marks, and the picture",
            inputs(
                READING,
                *("first_mark_x_px", "first_mark_y_px", "last_mark_x_px", "last_mark_y_px"),
                *("image_width_px", "image_height_px", "crop_factor", "used_width_mm"),
            ),
            aside=True,
        ),
        Group(
            "How sure each figure is",
            inputs(
                READING,
                *("reading_error_mm", "reading_error_px", "finest_division_mm", "scale_error", "pitch_error"),
                *("tilt_deg", "tilt_error_deg"),
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "readScale",
            same_names(READING),
            (
                *("magnification", "magnification_low", "magnification_high", "relative_uncertainty"),
                *("scale_px_per_mm", "subject_width_mm", "subject_height_mm", "ruler_length_mm"),
            ),
            (
                Table(
                    "contributions",
                    "What the uncertainty is made of",
                    ("source", "relative_uncertainty", "variance_share"),
                ),
            ),
        ),
    ),
    first=("magnification", "scale_px_per_mm", "subject_width_mm"),
    examples=(
        Example(
            "Marks 0 and 20 mm stand 4800 pixels apart, pixels of 3.9 µm",
            {
                "first_mark_mm": "0",
                "last_mark_mm": "20 mm",
                "distance_px": "4800",
                "pixel_pitch_um": "3.9",
                "image_width_px": "6000",
                "image_height_px": "4000",
            },
        ),
        Example(
            "From edge to edge the frame shows 12.5 to 27.5 mm, sensor 23.5 × 15.6 mm",
            {"first_mark_mm": "12,5", "last_mark_mm": "27,5", "sensor": "23.5x15.6"},
        ),
    ),
    drawings=(BAR_DRAWING,),
    photograph=PHOTOGRAPH,
)
