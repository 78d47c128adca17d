"""What every answer carries."""

from typing import Any

from marshmallow import EXCLUDE, Schema, fields, validate

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


class Assumed(fields.Field[Any]):
    """Value used for each datum that was not given: a number or a word, by name or by JSON pointer."""


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

    assumed = Assumed(required=True)
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
