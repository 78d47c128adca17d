"""What every chart takes beside the request of the operation that it stands on, and what every chart answers."""

from marshmallow import fields

from closeup_service.schemas.answers import TEXT, AnswerSchema
from closeup_service.schemas.fields import RequestSchema, whole

WIDTH_PX = 360


class ChartFields(RequestSchema):
    """How the chart is drawn; it changes no number."""

    width_px = whole("width_px")


class ChartAnswer(AnswerSchema):
    """A chart's data are its rows; what they show is said in words."""

    title = fields.String(
        required=True, validate=TEXT, metadata={"description": "What the chart shows, as its drawing is called."}
    )
    finding = fields.String(
        required=True, validate=TEXT, metadata={"description": "What is to be seen in it, as its drawing is described."}
    )
