"""What every answer carries."""

from marshmallow import Schema, fields, validate

CODE_PATTERN = "^[a-z][a-z0-9-]*$"
MOST_NOTES = 50
WHOM = ("people", "animals", "gear")


class RemarkSchema(Schema):
    """Something worth knowing about an answer."""

    code = fields.String(
        required=True,
        validate=[validate.Regexp(CODE_PATTERN), validate.Length(1, 64)],
        metadata={"description": "Stable name of the remark."},
    )
    text = fields.String(
        required=True,
        validate=validate.Length(1, 2000),
        metadata={"description": "The remark in plain words."},
    )


class CautionSchema(RemarkSchema):
    """A usual caution, deferring to makers' instructions, local rules and qualified people."""

    concerns = fields.String(
        required=True, validate=validate.OneOf(WHOM), metadata={"description": "Whom it concerns."}
    )


class AnswerSchema(Schema):
    """Answers name what they assumed and carry remarks and cautions."""

    assumed = fields.Dict(
        keys=fields.String(),
        required=True,
        metadata={
            "description": "Value used for each datum that was not given: by name, in a set-up by JSON pointer.",
            "maxProperties": 500,
        },
    )
    remarks = fields.List(
        fields.Nested(RemarkSchema),
        required=True,
        validate=validate.Length(max=MOST_NOTES),
        metadata={"description": "What is worth knowing about this answer."},
    )
    cautions = fields.List(
        fields.Nested(CautionSchema),
        required=True,
        validate=validate.Length(max=MOST_NOTES),
        metadata={"description": "The usual cautions that apply here, people first."},
    )
