"""`/v1/cautions`: every caution there is."""

from marshmallow import fields, validate

from closeup_service.schemas.answers import MOST_NOTES, TEXT, CautionSchema, OpenSchema


class CautionRecordSchema(CautionSchema):
    """A caution in general words, and when it applies."""

    applies_to = fields.String(required=True, validate=TEXT, metadata={"description": "What it applies to."})


class CautionsAnswer(OpenSchema):
    """All cautions, people first."""

    records = fields.List(
        fields.Nested(CautionRecordSchema),
        required=True,
        validate=validate.Length(1, MOST_NOTES),
        metadata={"description": "All records."},
    )
