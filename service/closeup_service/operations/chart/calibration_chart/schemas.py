"""`/v1/charts/calibration`: what was read against the lens fitted to it."""

from marshmallow import fields, validate

from closeup_service.operations.chart.chart_schemas import ChartAnswer
from closeup_service.operations.measure.lens_calibration.answer_schemas import FrameResidual
from closeup_service.operations.measure.lens_calibration.schemas import (
    MOST_FRAMES,
    MOST_SETTINGS,
    CalibrationFields,
)
from closeup_service.schemas.answers import MOST_NOTES, OpenSchema, RemarkSchema
from closeup_service.schemas.drawn import DrawnFields
from closeup_service.schemas.fields import result


class CalibrationChartRequest(CalibrationFields, DrawnFields):
    """Frames of one lens, or of a zoom, as /v1/lens-calibration takes them."""


class CalibrationChartRow(FrameResidual):
    """One frame, and the fitted lens at its extension."""

    fitted_magnification = result("fitted_magnification", nullable=False)


class CalibrationChartLens(OpenSchema):
    """One lens: its frames in the order of their extensions, and the focal length fitted to them."""

    setting = result("setting", meaning="Setting of the zoom; null for a single lens.")
    focal_length_mm = result("focal_length_mm")
    rows = fields.List(
        fields.Nested(CalibrationChartRow),
        required=True,
        validate=validate.Length(1, MOST_FRAMES),
        metadata={"description": "One row a frame, the shortest extension first."},
    )
    remarks = fields.List(
        fields.Nested(RemarkSchema),
        required=True,
        validate=validate.Length(0, MOST_NOTES),
        metadata={"description": "What is worth knowing about this setting of a zoom."},
    )


class CalibrationChartAnswer(ChartAnswer):
    """Every frame against the lens fitted; of a zoom at every setting."""

    lenses = fields.List(
        fields.Nested(CalibrationChartLens),
        required=True,
        validate=validate.Length(1, MOST_SETTINGS),
        metadata={"description": "The one lens, or the lens at each setting of the zoom, in the order given."},
    )
