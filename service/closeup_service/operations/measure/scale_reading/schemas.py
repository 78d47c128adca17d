"""`/v1/scale-reading`: what magnification a frame of a ruler shows, and how uncertain it is."""

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import tr
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import quantity, result
from closeup_service.schemas.used_sensor import UsedSensorFields, states_used_width

POSITIONS = ("first_mark_x_px", "first_mark_y_px", "last_mark_x_px", "last_mark_y_px")
READING_ERRORS = ("reading_error_mm", "reading_error_px")
SOURCES = ("reading", "ruler", "sensor", "tilt")


class ScaleReadingRequest(UsedSensorFields):
    """Two marks of a ruler: read at both edges of the frame, or with their places in the picture in pixels."""

    first_mark_mm = quantity("first_mark_mm", required=True)
    last_mark_mm = quantity("last_mark_mm", required=True)
    first_mark_x_px = quantity("first_mark_x_px")
    first_mark_y_px = quantity("first_mark_y_px")
    last_mark_x_px = quantity("last_mark_x_px")
    last_mark_y_px = quantity("last_mark_y_px")
    distance_px = quantity("distance_px")
    image_height_px = quantity("image_height_px")
    reading_error_mm = quantity("reading_error_mm")
    reading_error_px = quantity("reading_error_px")
    finest_division_mm = quantity("finest_division_mm")
    scale_error = quantity("scale_error")
    pitch_error = quantity("pitch_error")
    tilt_deg = quantity("tilt_deg")
    tilt_error_deg = quantity("tilt_error_deg")

    @validates_schema(skip_on_field_errors=False)
    def require_two_marks(self, data: Mapping[str, Any], **kwargs: object) -> None:
        """Refuse two marks that are one, on the ruler or in the picture."""
        del kwargs
        faults: dict[str, list[str]] = {}
        first, last = data.get("first_mark_mm"), data.get("last_mark_mm")
        if first is not None and first == last:
            text = tr("The two marks are the same: read two different marks of the ruler.")
            faults |= {"first_mark_mm": [text], "last_mark_mm": [text]}
        places = [data.get(name) for name in POSITIONS]
        if None not in places and places[:2] == places[2:]:
            text = tr("The two marks stand in the same place: give the places of two different marks.")
            faults |= {name: [text] for name in POSITIONS}
        if faults:
            raise ValidationError(faults)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_places(
        self, data: object, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Both places in full, or the distance between them, or neither."""
        del data, kwargs
        given = [name for name in POSITIONS if name in original]
        if given and "distance_px" in original:
            text = tr("Give the places of the two marks or their distance in pixels, not both.")
            raise ValidationError({name: [text] for name in ("distance_px", *given)})
        if given and len(given) < len(POSITIONS):
            text = tr("Give both places in full: {positions}; or distance_px alone.", positions=", ".join(POSITIONS))
            raise ValidationError({name: [text] for name in POSITIONS if name not in original})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def places_within_the_picture(
        self, data: Mapping[str, Any], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse places beyond the picture's edge, and a height without the width."""
        del kwargs
        if "image_height_px" in original and "image_width_px" not in original:
            raise ValidationError(tr("Needed with image_height_px: give the picture's size in full."), "image_width_px")
        sides = {"x": data.get("image_width_px"), "y": data.get("image_height_px")}
        faults = {
            name: [tr("This lies beyond the picture's edge at {sides:g} pixels.", sides=sides[name[-4]])]
            for name in POSITIONS
            if name in data and sides[name[-4]] is not None and data[name] > sides[name[-4]]
        }
        if faults:
            raise ValidationError(faults)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_what_the_route_needs(self, data: object, original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse marks that nothing turns into a length on the sensor."""
        del data, kwargs
        width = states_used_width(original)
        pitch, count = ("pixel_pitch_um" in original, "image_width_px" in original)
        if by_places(original):
            if not pitch and not (width and count):
                raise ValidationError(missing_for_places(width, count))
        elif not width and not (pitch and count):
            raise ValidationError(missing_for_edges(pitch, count))

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_reading_error(self, data: object, original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse two statements of the reading error, and one that does not fit how the marks were read."""
        del data, kwargs
        given = [name for name in READING_ERRORS if name in original]
        if len(given) > 1:
            text = tr("Give the reading error once, in mm on the ruler or in pixels of the picture.")
            raise ValidationError({name: [text] for name in given})
        if "reading_error_px" in original and not by_places(original):
            text = tr("Marks read at the edges of the frame have no places in pixels: give reading_error_mm.")
            raise ValidationError(text, "reading_error_px")
        if "finest_division_mm" in original and (given or by_places(original)):
            text = tr(
                "It counts only where the reading error is assumed from it, for marks read at the edges: leave it out.",
            )
            raise ValidationError(text, "finest_division_mm")


def by_places(original: Mapping[str, object]) -> bool:
    """Whether the marks have places in the picture; else they were read at its two edges."""
    return any(name in original for name in ("distance_px", *POSITIONS))


def missing_for_places(width: bool, count: bool) -> dict[str, list[str]]:
    """Name what turns a distance in pixels into one on the sensor."""
    text = tr(
        "Needed to turn pixels into mm on the sensor: pixel_pitch_um, or the sensor's width with image_width_px.",
    )
    if count:
        return {"sensor": [text]}
    return {"image_width_px": [text]} if width else {"pixel_pitch_um": [text]}


def missing_for_edges(pitch: bool, count: bool) -> dict[str, list[str]]:
    """Name what tells the width of the frame on the sensor."""
    text = tr(
        "Needed for marks read at the edges: the sensor, used_width_mm, or pixel_pitch_um with "
        "image_width_px. Marks within the frame need their places or distance_px.",
    )
    if pitch:
        return {"image_width_px": [text]}
    return {"pixel_pitch_um": [text]} if count else {"sensor": [text]}


class Contribution(OpenSchema):
    """What one source of error adds: its relative standard uncertainty, and its share of the combined variance."""

    source = fields.String(
        required=True, validate=validate.OneOf(SOURCES), metadata={"description": "Source of the error."}
    )
    relative_uncertainty = result("relative_uncertainty", nullable=False)
    variance_share = result("variance_share", nullable=False)


class ScaleReadingAnswer(AnswerSchema):
    """The magnification that the ruler shows, its uncertainty, and where that comes from."""

    magnification = result("magnification", nullable=False)
    ratio = fields.String(
        required=True,
        validate=[validate.Length(3, 40), validate.Regexp(r"^[0-9.]+:[0-9.]+$")],
        metadata={"description": "The magnification as a ratio, sensor to subject, such as 1:1.57."},
    )
    magnification_uncertainty = result("magnification_uncertainty", nullable=False)
    relative_uncertainty = result("relative_uncertainty", nullable=False)
    magnification_low = result("magnification_low")
    magnification_high = result("magnification_high", nullable=False)
    ruler_length_mm = result("ruler_length_mm", nullable=False)
    scale_px_per_mm = result("scale_px_per_mm")
    subject_width_mm = result("subject_width_mm")
    subject_height_mm = result("subject_height_mm")
    subject_width_uncertainty_mm = result("subject_width_uncertainty_mm")
    dominant = fields.String(
        required=True,
        allow_none=True,
        validate=validate.OneOf((*SOURCES, None)),
        metadata={"description": "Source that adds most to the uncertainty; null where there is none."},
    )
    contributions = fields.List(
        fields.Nested(Contribution),
        required=True,
        validate=validate.Length(len(SOURCES), len(SOURCES)),
        metadata={"description": "What each source adds: reading of the marks, ruler, sensor, tilt."},
    )
