"""What every chart answers."""

from marshmallow import fields

from closeup_service.schemas.answers import TEXT, AnswerSchema
from closeup_service.schemas.estimated import EstimatedMembers


class ChartAnswer(AnswerSchema):
    """A chart's data are its rows; what they show is said in words."""

    title = fields.String(
        required=True, validate=TEXT, metadata={"description": "What the chart shows, as its drawing is called."}
    )
    finding = fields.String(
        required=True, validate=TEXT, metadata={"description": "What is to be seen in it, as its drawing is described."}
    )


class EstimatedChartAnswer(EstimatedMembers, ChartAnswer):
    """A chart of a set-up whose lens data may be estimated; ranges are named such as `rows.0.magnification`."""
