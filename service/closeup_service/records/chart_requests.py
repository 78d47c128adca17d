"""Requests of `chart`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from typing import Any, Required

from closeup_service.gear.kit import Kit
from closeup_service.records.shared_requests import DrawnFields, FocusStackRequest, LensCalibrationRequest, RingFields


class SetUpChartRequest(DrawnFields, total=False):
    """A set-up, one member of which varies."""

    kit: Kit
    document: Required[Mapping[str, Any]]
    given: Required[float | str | None]


class ApertureChartRequest(SetUpChartRequest, RingFields, total=False):
    """A set-up, and the marks of the ring that is turned."""

    along: str


class MagnificationChartRequest(SetUpChartRequest, total=False):
    """A set-up, and the length that varies."""

    along: Required[str]
    minimum: float
    maximum: float
    points: int


class StackChartRequest(FocusStackRequest, DrawnFields, total=False):
    """A focus stack as /v1/focus-stack takes it."""


class CalibrationChartRequest(LensCalibrationRequest, DrawnFields, total=False):
    """Frames of one lens, or of a zoom, as /v1/lens-calibration takes them."""
