"""`/v1/lens-estimate`: what is known of one lens, what that leaves open, and what to measure next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.estimates.families import NAMES
from closeup_service.estimates.next_measurements import KINDS
from closeup_service.estimates.standing_lens import FIGURES
from closeup_service.language import tr
from closeup_service.schemas.answers import TEXT, AnswerSchema, OpenSchema
from closeup_service.schemas.estimated import EstimatedDatum, coverage_field
from closeup_service.schemas.fields import Number, Text, quantity
from closeup_service.schemas.known_lens import KnownLensFields
from closeup_service.schemas.lens_mounting import MOUNTINGS

if TYPE_CHECKING:
    from closeup_service.records import requests

MOST_COUNT = 100_000
BASES = ("lens-class", "measured", "stated")


class LensEstimateRequest(KnownLensFields):
    """What is known of one lens; and where wanted the set-up it is for, and the figure that matters there."""

    focal_length_mm = quantity(
        "focal_length_mm",
        required=True,
        meaning="Focal length as engraved; of a zoom the one it is set to. With front_principal_plane_mm the true one.",
    )
    lens_register_mm = quantity("lens_register_mm")
    front_principal_plane_mm = quantity("front_principal_plane_mm")
    principal_plane_separation_mm = quantity("principal_plane_separation_mm")
    pupil_magnification = quantity("pupil_magnification")
    mounting = Text(MOUNTINGS, metadata={"description": "Which way round the lens is to stand; assumed reversed."})
    camera_register_mm = quantity(
        "camera_register_mm", meaning="Register of the camera; assumed 44 mm, for a lens on its mount the lens's own."
    )
    extension_mm = quantity("extension_mm", meaning="Rings, adapters and bellows behind the lens; assumed none.")
    f_number = quantity("f_number", meaning="f-number marked on the lens; needed for the effective f-number.")
    figure = Text(FIGURES, metadata={"description": "Figure of the set-up that matters; assumed magnification."})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_f_number(
        self, data: requests.LensEstimateRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The effective f-number is that of a mark."""
        del kwargs
        if data.get("figure") == "effective_f_number" and "f_number" not in original:
            raise ValidationError(tr("Needed where figure is effective_f_number."), "f_number")


class LensDatum(EstimatedDatum):
    """A datum of a lens as far as it is known: its median, and its range; both ends are the value where it was stated."""

    based_on = fields.String(
        required=True,
        validate=validate.OneOf(BASES),
        metadata={
            "description": "What it is based on: published designs of the lens's class alone, those narrowed by what was "
            "measured of this lens, or what was stated as its datum."
        },
    )


class KnownData(OpenSchema):
    """Everything that is known of a lens, measured or not."""

    focal_length_mm = fields.Nested(LensDatum, required=True)
    front_principal_plane_mm = fields.Nested(LensDatum, required=True)
    principal_plane_separation_mm = fields.Nested(LensDatum, required=True)
    pupil_magnification = fields.Nested(LensDatum, required=True)
    entrance_pupil_depth_mm = fields.Nested(LensDatum, required=True)
    barrel_length_mm = fields.Nested(LensDatum, required=True)


def figure_number(description: str, *, nullable: bool = False) -> Number:
    """Number in the unit of the figure that matters."""
    return Number(required=True, allow_none=nullable, metadata={"description": description, "format": "double"})


class EstimatedFigure(OpenSchema):
    """The figure that matters, with its range; null where such lenses differ too much to tell it."""

    name = fields.String(
        required=True, validate=validate.OneOf(FIGURES), metadata={"description": "Which figure it is."}
    )
    value = figure_number("Median.", nullable=True)
    low = figure_number("Lower end of the range; null where the range has none.", nullable=True)
    high = figure_number("Upper end of the range; null where the range has none.", nullable=True)


class NextMeasurement(OpenSchema):
    """Something that could be measured, and what it would bring."""

    kind = fields.String(
        required=True, validate=validate.OneOf(KINDS), metadata={"description": "What would be measured."}
    )
    members = fields.List(
        fields.String(validate=(validate.Length(1, 64), validate.Regexp(r"^[a-z_]+$"))),
        required=True,
        validate=validate.Length(1, 4),
        metadata={"description": "Members of the request that take what was read."},
    )
    how = fields.String(required=True, validate=TEXT, metadata={"description": "How it is done."})
    minutes = fields.Integer(
        required=True,
        validate=validate.Range(1, 60),
        metadata={"description": "About how long it takes.", "format": "int32"},
    )
    mounting = fields.String(
        validate=validate.OneOf(MOUNTINGS),
        metadata={"description": "Of a frame of a ruler: which way round the lens stands; present with measured."},
    )
    extension_mm = Number(
        metadata={"description": "Of a frame of a ruler: the extension [mm]; present with measured.", "x-unit": "mm"}
    )
    camera_register_mm = Number(
        metadata={
            "description": "Of a frame of a ruler: register of the camera [mm]; present with measured.",
            "x-unit": "mm",
        }
    )
    expected_width = figure_number(
        "Width of the range that can be expected after it, in the unit of the figure; null where the range stays open.",
        nullable=True,
    )
    remaining_share = figure_number("That width over the present one, at most 1: the less the better.")


class LensEstimateAnswer(AnswerSchema):
    """One lens as far as it is known, and what to measure next, best first."""

    lens_class = fields.String(
        required=True,
        validate=validate.OneOf(NAMES),
        metadata={"description": "Class of the lens, of /v1/catalogue/lens-classes."},
    )
    members = fields.Integer(
        required=True,
        validate=validate.Range(1, MOST_COUNT),
        metadata={"description": "Possible lenses that the ranges are over.", "format": "int32"},
    )
    designs = fields.Integer(
        required=True,
        validate=validate.Range(1, MOST_COUNT),
        metadata={"description": "Patents that they come from.", "format": "int32"},
    )
    coverage = coverage_field(required=True)
    lens = fields.Nested(KnownData, required=True)
    figure = fields.Nested(EstimatedFigure, required=True)
    narrows = fields.String(
        required=True,
        validate=validate.OneOf(FIGURES),
        metadata={
            "description": "Figure by which next_measurements are ranked: the one that matters, or the magnification where "
            "that one is open at an end."
        },
    )
    next_measurements = fields.List(
        fields.Nested(NextMeasurement),
        required=True,
        validate=validate.Length(0, len(KINDS)),
        metadata={
            "description": "What could be measured and is not yet, best first; empty where the figure is certain."
        },
    )
