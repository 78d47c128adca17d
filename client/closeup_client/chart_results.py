"""What the service answers of charts: the rows that they are drawn from, and what is to be seen in them."""

from dataclasses import dataclass

from closeup_client.answer import Answer, Remark
from closeup_client.measuring_results import FrameResidual


@dataclass(frozen=True, kw_only=True)
class ChartAnswer(Answer):
    """What a chart is called, and its main finding in words."""

    title: str
    finding: str


@dataclass(frozen=True, kw_only=True)
class ApertureChartRow:
    """One mark of the ring; None where the set-up does not determine it, or cannot be, and then `problem` says why."""

    nominal_f_number: float
    f_number: float
    effective_f_number: float | None
    middle_contrast: float | None
    end_contrast: float | None
    ends_resolved: bool | None
    total_mm: float | None
    subject_resolution_um: float | None
    problem: str | None


@dataclass(frozen=True, kw_only=True)
class ApertureChartAnswer(ChartAnswer):
    """What each mark of the ring gives; `best_by` says whether contrast or the closed form tells the best."""

    along: str
    rows: tuple[ApertureChartRow, ...]
    best_nominal_f_number: float | None
    best_by: str | None
    optimum_f_number: float | None
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class MagnificationChartRow:
    """One length in mm; None where the set-up does not determine it, or cannot be, and then `problem` says why."""

    length_mm: float
    magnification: float | None
    working_distance_mm: float | None
    problem: str | None


@dataclass(frozen=True, kw_only=True)
class MagnificationChartAnswer(ChartAnswer):
    """What each length gives, the shortest first."""

    along: str
    rows: tuple[MagnificationChartRow, ...]
    kit_revision: str | None = None


@dataclass(frozen=True, kw_only=True)
class StackChartRow:
    """One frame, in mm behind the subject's nearest point; an end is None where the depth is unlimited there."""

    position_mm: float
    sharp_from_mm: float | None
    sharp_to_mm: float | None
    front_extent: str
    rear_extent: str
    overlap_with_next: float | None


@dataclass(frozen=True, kw_only=True)
class StackChartAnswer(ChartAnswer):
    """Every frame of a stack; `step_mm` is None where one frame is enough."""

    frames: int
    subject_depth_mm: float
    step_mm: float | None
    rows: tuple[StackChartRow, ...]


@dataclass(frozen=True, kw_only=True)
class CalibrationChartRow(FrameResidual):
    """One frame, and the fitted lens at its extension."""

    fitted_magnification: float


@dataclass(frozen=True, kw_only=True)
class CalibrationChartLens:
    """One lens; `setting` is None where it is no zoom."""

    setting: float | None
    focal_length_mm: float | None
    rows: tuple[CalibrationChartRow, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, kw_only=True)
class CalibrationChartAnswer(ChartAnswer):
    """The lens, or the lens at each setting of a zoom, with its frames."""

    lenses: tuple[CalibrationChartLens, ...]
