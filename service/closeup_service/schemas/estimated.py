"""What answers say of figures that rest on estimated lens data."""

from __future__ import annotations

from copy import copy

from marshmallow import Schema, fields, validate

from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import Number, declared_fields
from closeup_service.schemas.worked_steps import extend

MOST_UNTOLD = 500
DOTTED_NAME = r"^[a-z0-9_.]+$"
SOURCES = ("lens-class", "measured")


class RangeSchema(OpenSchema):
    """Ends between which a figure lies with the coverage stated."""

    low = Number(required=True, metadata={"description": "Lower end, in the unit of the figure.", "format": "double"})
    high = Number(required=True, metadata={"description": "Upper end, in the unit of the figure.", "format": "double"})


class EstimatedDatum(RangeSchema):
    """A datum of a lens that was estimated: its median, and its range."""

    value = Number(required=True, metadata={"description": "Median of the estimate.", "format": "double"})
    based_on = fields.String(
        required=True,
        validate=validate.OneOf(SOURCES),
        metadata={
            "description": "What the estimate is based on: published designs of the lens's class alone, or those narrowed by "
            "what was measured of this lens."
        },
    )


def coverage_field(*, required: bool) -> Number:
    """Share of lenses within the ranges."""
    present = "" if required else "; present with ranges"
    return Number(
        required=required,
        metadata={
            "description": f"Share of the lenses of the class for which a figure lies within its range{present}.",
            "format": "double",
        },
    )


class EstimatedMembers(OpenSchema):
    """Ranges, where `estimate_unknown` was asked for and anything was estimated."""

    coverage = coverage_field(required=False)
    estimated = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(EstimatedDatum),
        metadata={"description": "Each datum of a lens that was estimated, by its JSON pointer, with its range."},
    )
    ranges = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(RangeSchema),
        metadata={
            "description": "Range of each figure that depends on estimated data, by its dotted name; the figure itself is the "
            "median. A figure without a range does not depend on them."
        },
    )
    measure_first = fields.List(
        fields.String(validate=(validate.Length(1, 128), validate.Regexp(DOTTED_NAME))),
        validate=validate.Length(0, MOST_UNTOLD),
        metadata={
            "description": "Dotted names of figures that are null because lenses of the class differ too much to tell one."
        },
    )


class EstimatedAnswerSchema(EstimatedMembers, AnswerSchema):
    """An answer that tells ranges where anything was estimated."""


def telling_estimates(schema: type[Schema]) -> type[Schema]:
    """Answer schema that may tell estimates."""
    return extend(schema, {name: copy(field) for name, field in declared_fields(EstimatedMembers).items()})
