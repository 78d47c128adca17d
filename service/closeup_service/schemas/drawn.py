"""What every drawing and chart takes."""

from closeup_service.schemas.fields import RequestSchema, whole

ASSUMED_WIDTH_PX = 360


class DrawnFields(RequestSchema):
    """How it is drawn; it changes no number."""

    width_px = whole("width_px")
