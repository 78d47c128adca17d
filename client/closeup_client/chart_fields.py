"""What each chart can be asked with: what the operation takes on which it stands, and how it is drawn."""

from collections.abc import Sequence
from typing import Required, TypedDict

from closeup_client.fields import ApertureSeries, SetUpDocument, StackFields
from closeup_client.gear_fields import KitFields
from closeup_client.measuring_fields import MeasuredFrames


class ChartFields(TypedDict, total=False):
    """How wide a chart is drawn, in pixels; it changes no number."""

    width_px: int


class ApertureChartFields(SetUpDocument, KitFields, ChartFields, total=False):
    """A set-up, the ring as for the best aperture, and `along`, the JSON pointer of the f-number turned through it."""

    along: str
    aperture_series: ApertureSeries
    least_f_number: float
    greatest_f_number: float
    f_numbers: Sequence[float]


class MagnificationChartFields(SetUpDocument, KitFields, ChartFields, total=False):
    """A set-up, `along`, the JSON pointer of the length that varies, and from where to where, in mm."""

    along: Required[str]
    minimum: float
    maximum: float
    points: int


class StackChartFields(StackFields, ChartFields, total=False):
    """A focus stack."""


class CalibrationChartFields(MeasuredFrames, ChartFields, total=False):
    """Frames of one lens, or of a zoom."""
