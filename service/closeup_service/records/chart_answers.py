"""Answers of `chart`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Required, TypedDict

from closeup_service.records.shared_answers import Answer, FrameResidual, Remark


class ChartAnswer(Answer, total=False):
    """A chart's data are its rows; what they show is said in words."""

    title: Required[str]
    finding: Required[str]


class ApertureChartRow(TypedDict, total=False):
    """One mark of the ring; null where the set-up does not determine it, or cannot be."""

    nominal_f_number: Required[float]
    f_number: Required[float]
    effective_f_number: Required[float | None]
    middle_contrast: Required[float | None]
    end_contrast: Required[float | None]
    ends_resolved: Required[bool | None]
    total_mm: Required[float | None]
    subject_resolution_um: Required[float | None]
    problem: Required[str | None]


class ApertureChartAnswer(ChartAnswer, total=False):
    """What each mark of the ring gives, and the best of them for the subject's depth."""

    along: Required[str]
    rows: Required[Sequence[ApertureChartRow]]
    best_nominal_f_number: Required[float | None]
    best_by: Required[str | None]
    optimum_f_number: Required[float | None]
    kit_revision: str


class MagnificationChartRow(TypedDict, total=False):
    """One length; null where the set-up does not determine it, or cannot be."""

    length_mm: Required[float]
    magnification: Required[float | None]
    working_distance_mm: Required[float | None]
    problem: Required[str | None]


class MagnificationChartAnswer(ChartAnswer, total=False):
    """What each length gives."""

    along: Required[str]
    rows: Required[Sequence[MagnificationChartRow]]
    kit_revision: str


class StackChartRow(TypedDict, total=False):
    """One frame; where its depth is unlimited on one side, the end there is null."""

    position_mm: Required[float]
    sharp_from_mm: Required[float | None]
    sharp_to_mm: Required[float | None]
    front_extent: Required[str]
    rear_extent: Required[str]
    overlap_with_next: Required[float | None]


class StackChartAnswer(ChartAnswer, total=False):
    """Every frame of the stack with what is sharp in it."""

    frames: Required[int]
    subject_depth_mm: Required[float]
    step_mm: Required[float | None]
    rows: Required[Sequence[StackChartRow]]


class CalibrationChartRow(FrameResidual, total=False):
    """One frame, and the fitted lens at its extension."""

    fitted_magnification: Required[float]


class CalibrationChartLens(TypedDict, total=False):
    """One lens: its frames in the order of their extensions, and the focal length fitted to them."""

    setting: Required[float | None]
    focal_length_mm: Required[float | None]
    rows: Required[Sequence[CalibrationChartRow]]
    remarks: Required[Sequence[Remark]]


class CalibrationChartAnswer(ChartAnswer, total=False):
    """Every frame against the lens fitted; of a zoom at every setting."""

    lenses: Required[Sequence[CalibrationChartLens]]
