"""`/v1/optimum-aperture`: which aperture to set for a subject this deep."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import tr
from closeup_service.optics.aperture_series import SERIES
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import RequestSchema, Text, numbers, quantity, result
from closeup_service.schemas.known_lens import EstimatedLensFields
from closeup_service.schemas.lens_mounting import MountingField
from closeup_service.schemas.sensor import SensorFields
from closeup_service.schemas.sharpness import DetailFields, PrintFields

if TYPE_CHECKING:
    from closeup_service.records import requests

MOST_APERTURES = 60
ADVICE = ("one-frame", "stack", "coarser-detail")
RING_ENDS = {"least_f_number": 2.8, "greatest_f_number": 22.0}
"""Ends of the ring, as they are assumed where they are not stated."""

DEPTH_MODELS = ("combined", "geometric", "wave")
"""Models of the depth of field, the one that is assumed first."""

RING_FIELDS = ("aperture_series", *RING_ENDS)


class RingFields(RequestSchema):
    """Marks of the aperture ring: a list, or a series between two ends."""

    aperture_series = Text(SERIES, metadata={"description": "Steps of the aperture ring; assumed third."})
    least_f_number = quantity("least_f_number")
    greatest_f_number = quantity("greatest_f_number")
    f_numbers = numbers("f_number", MOST_APERTURES)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_ring(self, data: requests.RingFields, original: Mapping[str, object], **kwargs: object) -> None:
        """A list of apertures, or a series between two ends."""
        del kwargs
        given = [name for name in RING_FIELDS if name in original]
        if "f_numbers" in original and given:
            text = tr("Give the ring as a list of f_numbers, or as a series between two ends, not both.")
            raise ValidationError({name: [text] for name in ("f_numbers", *given)})
        stated = [name for name in RING_ENDS if name in original]
        if not all(name in data for name in stated):
            return
        least, greatest = ends_of(data)
        if least > greatest:
            raise ValidationError(swapped(stated), stated[0])


def ends_of(ring: requests.RingFields) -> tuple[float, float]:
    """Widest and narrowest mark of a series, those assumed where they are not stated."""
    return (
        ring.get("least_f_number", RING_ENDS["least_f_number"]),
        ring.get("greatest_f_number", RING_ENDS["greatest_f_number"]),
    )


def swapped(stated: list[str]) -> str:
    """Say that the ends of a ring are swapped, or what the one that is stated lies beyond."""
    if len(stated) == len(RING_ENDS):
        return tr("The widest aperture has the smaller f-number: these ends are swapped.")
    other = next(name for name in RING_ENDS if name not in stated)
    return tr(
        "Give {other} too: f/{ring_ends:g} is assumed for it, which this lies beyond.",
        other=other,
        ring_ends=RING_ENDS[other],
    )


class BlurFields(PrintFields, SensorFields):
    """The blur that is accepted, for the aperture whose depth of field covers the subject."""

    circle_of_confusion_mm = quantity("circle_of_confusion_mm")
    model = Text(
        DEPTH_MODELS,
        metadata={"description": "Model of the depth of field for covering_f_number; assumed combined."},
    )


class OptimumApertureRequest(MountingField, DetailFields, RingFields, BlurFields, EstimatedLensFields):
    """A subject's depth at a magnification, the detail and the blur that count, and the ring's own apertures."""

    subject_depth_mm = quantity("subject_depth_mm", required=True)
    magnification = quantity("magnification", required=True)
    pupil_magnification = quantity("pupil_magnification")
    focal_length_mm = quantity("focal_length_mm")
    pixel_pitch_um = quantity("pixel_pitch_um")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_a_depth_at_all(
        self, data: requests.OptimumApertureRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A flat subject has no best aperture by depth."""
        del original, kwargs
        if data.get("subject_depth_mm") == 0:
            raise ValidationError(
                tr(
                    "A flat subject needs no depth: set the aperture at which the lens itself is sharpest, and see "
                    "/v1/diffraction for what stopping down costs.",
                ),
                "subject_depth_mm",
            )


class ApertureContrast(OpenSchema):
    """One mark of the ring, and what it leaves of the detail; as best, the one with the most left at the ends, if any."""

    nominal_f_number = result("nominal_f_number", nullable=False)
    f_number = result("f_number", meaning="Exact f-number that the engraved one stands for.", nullable=False)
    effective_f_number = result("effective_f_number", nullable=False)
    middle_contrast = result("middle_contrast", nullable=False)
    ends_resolved = fields.Boolean(
        required=True,
        metadata={
            "description": "Whether the detail is still there at the ends: its contrast has not yet fallen to zero."
        },
    )
    end_contrast = result("end_contrast", nullable=False)


class OptimumApertureAnswer(AnswerSchema):
    """The best aperture by the closed form, and the contrast-best of the ring for the detail."""

    effective_f_number = result("effective_f_number", nullable=False)
    f_number = result("f_number", meaning="Marked f-number that gives it.", nullable=False)
    nominal_f_number = result("nominal_f_number", meaning="Mark of the ring nearest to that.", nullable=False)
    covering_f_number = result("covering_f_number", nullable=False, required=False)
    sensor_detail_lp_per_mm = result("sensor_detail_lp_per_mm")
    best = fields.Nested(ApertureContrast)
    curve = fields.List(
        fields.Nested(ApertureContrast),
        required=True,
        validate=validate.Length(0, MOST_APERTURES),
        metadata={"description": "Contrast against aperture, one row a mark; empty without a detail."},
    )
    advice = fields.String(
        required=True,
        allow_none=True,
        validate=validate.OneOf((*ADVICE, None)),
        metadata={"description": "Whether one frame reaches the contrast asked for, a stack does, or neither."},
    )
