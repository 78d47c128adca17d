"""What every answer carries."""

from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields, validate

CODE_PATTERN = "^[a-z][a-z0-9-]*$"
MOST_NOTES = 50
TEXT = (validate.Length(1, 2000), validate.Regexp(r"^[^\x00-\x1f]*$"))
"""Bounds of every sentence of an answer: one line."""

WHOM = ("people", "animals", "gear")


class OpenSchema(Schema):
    """An object of an answer: newer services may add members, which readers leave aside."""

    class Meta:
        """Leave room to grow."""

        unknown = EXCLUDE


class NumberOrText(fields.Field[Any]):
    """A number, or a word where the assumption is a choice."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        del attr, data, kwargs
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise ValidationError("Give a number or a text.")
        return value


class RemarkSchema(OpenSchema):
    """Something worth knowing about an answer."""

    code = fields.String(
        required=True,
        validate=[validate.Regexp(CODE_PATTERN), validate.Length(1, 64)],
        metadata={"description": "Stable name of the remark."},
    )
    text = fields.String(
        required=True,
        validate=TEXT,
        metadata={"description": "The remark in plain words."},
    )


class CautionSchema(RemarkSchema):
    """A usual caution, deferring to makers' instructions, local rules and qualified people."""

    concerns = fields.String(
        required=True, validate=validate.OneOf(WHOM), metadata={"description": "Whom it concerns."}
    )


class AnswerSchema(OpenSchema):
    """Answers name what they assumed and carry remarks and cautions."""

    assumed = fields.Dict(
        keys=fields.String(),
        values=NumberOrText(),
        required=True,
        metadata={
            "description": "Value used for each datum that was not given: by name, in a set-up by JSON pointer.",
            "maxProperties": 500,
        },
    )
    remarks = fields.List(
        fields.Nested(RemarkSchema),
        required=True,
        validate=validate.Length(0, MOST_NOTES),
        metadata={"description": "What is worth knowing about this answer."},
    )
    cautions = fields.List(
        fields.Nested(CautionSchema),
        required=True,
        validate=validate.Length(0, MOST_NOTES),
        metadata={"description": "The usual cautions that apply here, people first."},
    )
