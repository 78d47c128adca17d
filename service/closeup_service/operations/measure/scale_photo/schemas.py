"""`/v1/scale-reading/photo` and `/comparison`: what photographs of a ruler tell."""

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import later, mark, tr
from closeup_service.operations.measure.scale_reading.schemas import SOURCES, Contribution
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import Flag, Text, quantity, result
from closeup_service.schemas.items import Items
from closeup_service.schemas.upload import EncodedPicture, PhotographFile, PictureWanted
from closeup_service.schemas.used_sensor import UsedSensorFields, states_used_width

ZONES = tuple(
    f"{row}-{column}" if (row, column) != ("middle", "middle") else "middle"
    for row in ("top", "middle", "bottom")
    for column in ("left", "middle", "right")
)
"""The frame in three rows of three, row by row from the top left."""

LINES, BLOCKS = "lines", "blocks"
MARKS_ARE = (LINES, BLOCKS)
LEGS = ("level", "upright")

FEWEST_FRAMES, MOST_FRAMES = 2, 6
MOST_SIDE_PX = 500_000_000
MOST_PICTURE = 12_000_000
"""Characters of an overlay: 1600 pixels each way, three bytes for each, hardly compressed, in base64."""

A_PHOTOGRAPH = (
    "Photograph of a ruler: JPEG, PNG or TIFF, turned upright; grey is read with up to 16 bits, colour with 8."
)


def count(description: str, least: int = 0, most: int = MOST_SIDE_PX) -> fields.Integer:
    """Field of an answer for a whole number."""
    rule = validate.Range(least, most)
    return fields.Integer(required=True, validate=rule, metadata={"description": description, "format": "int32"})


class FrameFields(UsedSensorFields):
    """The ruler, and the sensor where the magnification is wanted; the picture's pixels are counted in the photograph."""

    class Meta(UsedSensorFields.Meta):
        """Leave out what the photograph says itself."""

        exclude = ("image_width_px",)

    tick_pitch_mm = quantity("tick_pitch_mm", required=True)
    perspective_distance_mm = quantity("perspective_distance_mm")
    largest_tilt_deg = quantity("largest_tilt_deg")
    scale_error = quantity("scale_error")
    pitch_error = quantity("pitch_error")
    accept_plain_marks = Flag(
        metadata={
            "description": "Whether even marks of one length are read although nothing else shows that they are a scale: no "
            "longer marks in order, no numerals, not 12 or more thin lines with straight ends on a blank ground; assumed "
            "false."
        }
    )
    accept_pitch = Flag(
        metadata={
            "description": "Whether tick_pitch_mm is right although the longer marks speak for another pitch; assumed false."
        }
    )
    marks_are = Text(
        MARKS_ARE,
        metadata={
            "description": "What the marks are where the picture does not tell: lines, each a mark; or blocks, alternately "
            "dark and light, each as long as tick_pitch_mm."
        },
    )
    leg = Text(
        LEGS,
        metadata={
            "description": "Which leg of an L-shaped ruler is read: the one nearer to the rows of the picture, or upright."
        },
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def errors_of_what_is_given(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """Refuse an error of the sensor's measures without any."""
        del data, kwargs
        if "pitch_error" in original and "pixel_pitch_um" not in original and not states_used_width(original):
            raise ValidationError(tr("It counts only with pixel_pitch_um or the sensor: leave it out."), "pitch_error")


class ScalePhotoRequest(FrameFields):
    """A photograph of a ruler, and the pitch of its finest marks."""

    photo = PhotographFile(required=True, metadata={"description": A_PHOTOGRAPH})
    overlay = PictureWanted(
        metadata={
            "description": "the photograph with what was found drawn over it; given in base64 where true, assumed false."
        }
    )


class ScaleComparisonRequest(FrameFields):
    """Two to six photographs of the same ruler at the same magnification, in order, and the pitch of its finest marks."""

    photo = Items(
        PhotographFile(metadata={"description": A_PHOTOGRAPH}),
        required=True,
        validate=validate.Length(
            FEWEST_FRAMES,
            MOST_FRAMES,
            error=later("Send {fewest} to {most} photographs to compare.", fewest=FEWEST_FRAMES, most=MOST_FRAMES),
        ),
        error_messages={"required": mark("This part is required: send the photographs as files, a part for each.")},
        metadata={"description": "The photographs, in order: a part of this name for each."},
    )


def zone_name() -> fields.String:
    """Field of an answer for the name of a zone."""
    text = "Zone of the frame, three rows of three."
    return fields.String(required=True, validate=validate.OneOf(ZONES), metadata={"description": text})


class ZoneSharpness(OpenSchema):
    """Sharpness in one zone; null where it shows too few marks."""

    zone = zone_name()
    edge_width_um = result("edge_width_um")
    edge_width_px = result("edge_width_px")
    edges = count("Edges of marks that this is the middle value of.")


class ColourShift(OpenSchema):
    """Lateral colour at one end of the visible scale."""

    x_px = result("x_px", nullable=False)
    y_px = result("y_px", nullable=False)
    red_shift_px = result("red_shift_px", nullable=False)
    blue_shift_px = result("blue_shift_px", nullable=False)


class OtherLeg(OpenSchema):
    """The leg of an L-shaped ruler at right angles to the one read."""

    scale_px_per_mm = result(
        "scale_px_per_mm",
        nullable=False,
        meaning="Pixels that draw one mm of the subject, in the middle of the picture, along this leg, as seen.",
    )
    scale_uncertainty_px_per_mm = result("scale_uncertainty_px_per_mm", nullable=False)
    direction_deg = result("direction_deg", nullable=False)
    marks_used = count("Marks of this leg that its reading is based on.")


class ScalePhotoAnswer(AnswerSchema):
    """What the photograph of a ruler tells: scale, magnification, their uncertainty, and the lens's faults."""

    scale_px_per_mm = result(
        "scale_px_per_mm",
        nullable=False,
        meaning="Pixels that draw one mm of the subject, in the middle of the picture, along the ruler; freed of the tilt "
        "where that is known.",
    )
    scale_uncertainty_px_per_mm = result("scale_uncertainty_px_per_mm", nullable=False)
    scale_low_px_per_mm = result("scale_low_px_per_mm")
    scale_high_px_per_mm = result("scale_high_px_per_mm", nullable=False)
    mean_scale_px_per_mm = result("mean_scale_px_per_mm", nullable=False)
    magnification = result("magnification")
    ratio = fields.String(
        required=True,
        allow_none=True,
        validate=[validate.Length(3, 40), validate.Regexp(r"^[0-9.]+:[0-9.]+$")],
        metadata={"description": "The magnification as a ratio, sensor to subject, such as 1:1.57."},
    )
    magnification_uncertainty = result("magnification_uncertainty")
    relative_uncertainty = result("relative_uncertainty", nullable=False, meaning="Relative uncertainty of the scale.")
    assumed_tilt_uncertainty = result("assumed_tilt_uncertainty", nullable=False, required=False)
    magnification_low = result("magnification_low")
    magnification_high = result("magnification_high")
    subject_width_mm = result("subject_width_mm", nullable=False)
    subject_height_mm = result("subject_height_mm", nullable=False)
    contributions = fields.List(
        fields.Nested(Contribution),
        required=True,
        validate=validate.Length(len(SOURCES), len(SOURCES)),
        metadata={"description": "What each source adds: reading of the marks, ruler, sensor, tilt."},
    )
    tilt_deg = result("tilt_deg", meaning="Tilt of the ruler along itself, positive where its last mark is nearer.")
    tilt_uncertainty_deg = result("tilt_uncertainty_deg")
    keystone = result("keystone", nullable=False)
    distortion = result("distortion", nullable=False)
    distortion_uncertainty = result("distortion_uncertainty", nullable=False)
    lateral_colour_um = result("lateral_colour_um")
    red_scale_difference = result("red_scale_difference")
    blue_scale_difference = result("blue_scale_difference")
    fall_off_stops = result("fall_off_stops")
    zones = fields.List(
        fields.Nested(ZoneSharpness),
        required=True,
        validate=validate.Length(len(ZONES), len(ZONES)),
        metadata={"description": "Sharpness zone by zone, row by row from the top left."},
    )
    colour_shifts = fields.List(
        fields.Nested(ColourShift),
        required=True,
        validate=validate.Length(0, 2),
        metadata={"description": "Lateral colour at both ends of the visible scale; none for a grey photograph."},
    )
    marks_used = count("Marks of the ruler that the reading stands on.")
    direction_deg = result("direction_deg", nullable=False)
    other_leg = fields.Nested(OtherLeg)
    dark_marks = Flag(required=True, metadata={"description": "Whether the marks are dark on light."})
    suggested_tick_pitch_mm = result("suggested_tick_pitch_mm")
    image_width_px = result("image_width_px", nullable=False)
    image_height_px = result("image_height_px", nullable=False)
    bits_in_file = count("Bits of each colour as stored in the file.", 1, 64)
    bits_used = count("Bits of each colour that the reading was made from: 8 in colour, up to 16 in grey.", 1, 16)
    overlay = EncodedPicture(
        required=True,
        allow_none=True,
        validate=[validate.Length(1, MOST_PICTURE), validate.Regexp(r"^[A-Za-z0-9+/]+={0,2}$")],
        metadata={
            "description": "The photograph with what was found drawn over it, as PNG in base64; null unless asked for."
        },
    )


class ComparedFrame(OpenSchema):
    """One photograph of a comparison."""

    frame = count("Number of the photograph, in the order sent, from 1.", 1, MOST_FRAMES)
    sharpness_score = result("sharpness_score")
    scale_px_per_mm = result("scale_px_per_mm", nullable=False)
    scale_difference = result("scale_difference", nullable=False)
    magnification = result("magnification")
    relative_uncertainty = result("relative_uncertainty", nullable=False, meaning="Relative uncertainty of the scale.")
    tilt_deg = result("tilt_deg", meaning="Tilt of the ruler along itself, positive where its last mark is nearer.")
    distortion = result("distortion", nullable=False)
    lateral_colour_um = result("lateral_colour_um")
    fall_off_stops = result("fall_off_stops")
    marks_used = count("Marks of the ruler that the reading stands on.")


def frame_number(description: str) -> fields.Integer:
    """Field of an answer for the number of one of the photographs, null for none."""
    return fields.Integer(
        required=True,
        allow_none=True,
        validate=validate.Range(1, MOST_FRAMES),
        metadata={"description": description, "format": "int32"},
    )


class ComparedZone(OpenSchema):
    """One zone of a comparison."""

    zone = zone_name()
    best_frame = frame_number("Photograph that is sharpest here; null where fewer than two show enough marks.")
    edge_widths_um = fields.List(
        result("edge_width_um"),
        required=True,
        validate=validate.Length(FEWEST_FRAMES, MOST_FRAMES),
        metadata={"description": "Width of the edges in each photograph; null where it shows too few marks here."},
    )


class ScaleComparisonAnswer(AnswerSchema):
    """Which of several photographs of a ruler is sharpest, zone by zone and over all, and how else they differ."""

    best_frame = frame_number("Photograph with the highest sharpness_score; null where no zone is in all of them.")
    frames = fields.List(
        fields.Nested(ComparedFrame),
        required=True,
        validate=validate.Length(FEWEST_FRAMES, MOST_FRAMES),
        metadata={"description": "Each photograph, in the order sent."},
    )
    zones = fields.List(
        fields.Nested(ComparedZone),
        required=True,
        validate=validate.Length(len(ZONES), len(ZONES)),
        metadata={"description": "Sharpness zone by zone, row by row from the top left."},
    )
