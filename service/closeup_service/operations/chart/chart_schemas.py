"""What every chart answers."""

from marshmallow import fields

from closeup_service.schemas.answers import TEXT, AnswerSchema


class ChartAnswer(AnswerSchema):
    """A chart's data are its rows; what they show is said in words."""

    title = fields.String(
        required=True, validate=TEXT, metadata={"description": "What the chart shows, as its drawing is called."}
    )
    finding = fields.String(
        required=True, validate=TEXT, metadata={"description": "What is to be seen in it, as its drawing is described."}
    )
