"""The steps of a worked sum, and the member that asks for them: added to the schemas of every operation that has steps."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

from marshmallow import Schema, fields, validate
from msgspec.structs import asdict

from closeup_service.schemas.answers import TEXT, OpenSchema
from closeup_service.schemas.fields import Flag, Number, declared_fields
from closeup_service.schemas.quick_acceptance import Held
from closeup_service.worked.board import Step

SHOW_STEPS, STEPS = "show_steps", "steps"
MOST_STEPS, MOST_INPUTS = 2000, 16
MEANING = "Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false."


def text(description: str, *, nullable: bool = False) -> fields.String:
    """Field of one line of text."""
    return fields.String(required=True, allow_none=nullable, validate=TEXT, metadata={"description": description})


def unit() -> fields.String:
    """Field of a unit."""
    return fields.String(
        required=True,
        validate=[validate.Length(0, 16), validate.Regexp(r"^[a-zA-Z0-9/]*$")],
        metadata={"description": "Its unit; empty for a ratio or a count."},
    )


class InputSchema(OpenSchema):
    """One number that is put into a formula."""

    symbol = text("Symbol in the formula.")
    quantity = text("What it stands for: a name of the vocabulary, or words.")
    value = Number(required=True, metadata={"description": "Its value, in full.", "format": "double"})
    unit = unit()


class StepSchema(OpenSchema):
    """One step of a worked sum, as a teacher writes it on the board."""

    quantity = text("What is found: a name of the vocabulary, or words.")
    symbol = text("Its symbol; an underscore begins an index.")
    formula = text("The formula that was used, or in words how the value is found where no closed formula gives it.")
    numbers = text(
        "The formula with numbers put in and its result, rounded so that a pocket calculator comes to it; null beside words.",
        nullable=True,
    )
    result = Number(required=True, metadata={"description": "The result, in full.", "format": "double"})
    unit = unit()
    source = text("Where the formula is from.")
    inputs = fields.List(
        fields.Nested(InputSchema),
        required=True,
        validate=validate.Length(0, MOST_INPUTS),
        metadata={"description": "The numbers put in, in the order of the formula."},
    )


def taking_steps(schema: type[Schema]) -> type[Schema]:
    """Request schema that takes `show_steps` too."""
    return extended(schema, SHOW_STEPS, Flag(metadata={"description": MEANING}))


def telling_steps(schema: type[Schema]) -> type[Schema]:
    """Answer schema that may tell the steps."""
    told = fields.List(
        fields.Nested(StepSchema),
        validate=validate.Length(0, MOST_STEPS),
        metadata={"description": "The steps of the sum, in their order; present where show_steps is true."},
    )
    return extended(schema, STEPS, told)


def extended(schema: type[Schema], name: str, field: fields.Field[Held]) -> type[Schema]:
    """Schema of the same name with one member more; whatever nests the original, or is derived from it, does not have it."""
    return schema if name in declared_fields(schema) else extend(schema, {name: field})


def extend(schema: type[Schema], more: Mapping[str, fields.Field[Held]]) -> type[Schema]:
    """Schema of the same name with more members; whatever nests the original, or is derived from it, does not have them."""
    members = {"__doc__": schema.__doc__, "__module__": schema.__module__, **more}
    metaclass: Any = type(schema)
    return cast(type[Schema], metaclass(schema.__name__, (schema,), members))


def members_of(steps: Sequence[Step]) -> list[dict[str, object]]:
    """Write steps as members of an answer."""
    return [{**asdict(step), "inputs": [asdict(each) for each in step.inputs]} for step in steps]
