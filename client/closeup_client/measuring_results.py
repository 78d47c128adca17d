"""What the service answers of rulers, photographs and measured lenses: lengths in mm, edges in um, uncertainties one sigma."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from closeup_client.answer import Answer, Remark, WorkedAnswer
from closeup_client.elements import Lens


@dataclass(frozen=True, kw_only=True)
class Contribution:
    """What one source of error adds: `reading`, `ruler`, `sensor` or `tilt`."""

    source: str
    relative_uncertainty: float
    variance_share: float


@dataclass(frozen=True, kw_only=True)
class ScaleReadingAnswer(WorkedAnswer):
    """The magnification that a ruler shows, with its standard uncertainty and the interval that holds it at 95 %."""

    magnification: float
    ratio: str
    magnification_uncertainty: float
    relative_uncertainty: float
    magnification_low: float | None
    magnification_high: float
    ruler_length_mm: float
    scale_px_per_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None
    subject_width_uncertainty_mm: float | None
    dominant: str | None
    contributions: tuple[Contribution, ...]


@dataclass(frozen=True, kw_only=True)
class ZoneSharpness:
    """Sharpness in one zone of the frame, such as `top-left`: the width of the marks' edges from 10 to 90 %."""

    zone: str
    edge_width_um: float | None
    edge_width_px: float | None
    edges: int


@dataclass(frozen=True, kw_only=True)
class ColourShift:
    """How far red and blue stand from green at one end of the visible scale, positive away from the middle."""

    x_px: float
    y_px: float
    red_shift_px: float
    blue_shift_px: float


@dataclass(frozen=True, kw_only=True)
class OtherLeg:
    """The leg of an L-shaped ruler at right angles to the one read: its scale as seen, direction and marks."""

    scale_px_per_mm: float
    scale_uncertainty_px_per_mm: float
    direction_deg: float
    marks_used: int


@dataclass(frozen=True, kw_only=True)
class ScalePhotoAnswer(Answer):
    """What a photograph of a ruler tells; `overlay` is a PNG file of the photograph with what was found drawn over it."""

    scale_px_per_mm: float
    scale_uncertainty_px_per_mm: float
    scale_low_px_per_mm: float | None
    scale_high_px_per_mm: float
    mean_scale_px_per_mm: float
    magnification: float | None
    ratio: str | None
    magnification_uncertainty: float | None
    relative_uncertainty: float
    magnification_low: float | None
    magnification_high: float | None
    subject_width_mm: float
    subject_height_mm: float
    contributions: tuple[Contribution, ...]
    assumed_tilt_uncertainty: float | None = None
    tilt_deg: float | None
    tilt_uncertainty_deg: float | None
    keystone: float
    distortion: float
    distortion_uncertainty: float
    lateral_colour_um: float | None
    red_scale_difference: float | None
    blue_scale_difference: float | None
    fall_off_stops: float | None
    zones: tuple[ZoneSharpness, ...]
    colour_shifts: tuple[ColourShift, ...]
    marks_used: int
    direction_deg: float
    other_leg: OtherLeg | None = None
    dark_marks: bool
    suggested_tick_pitch_mm: float | None
    image_width_px: float
    image_height_px: float
    bits_in_file: int
    bits_used: int
    overlay: bytes | None = field(repr=False)


@dataclass(frozen=True, kw_only=True)
class ComparedFrame:
    """One photograph of a comparison; `sharpness_score` is 1 for the sharpest in every zone."""

    frame: int
    sharpness_score: float | None
    scale_px_per_mm: float
    scale_difference: float
    magnification: float | None
    relative_uncertainty: float
    tilt_deg: float | None
    distortion: float
    lateral_colour_um: float | None
    fall_off_stops: float | None
    marks_used: int


@dataclass(frozen=True, kw_only=True)
class ComparedZone:
    """One zone of a comparison: the sharpest photograph there, by number from 1, and the edges of all."""

    zone: str
    best_frame: int | None
    edge_widths_um: tuple[float | None, ...]


@dataclass(frozen=True, kw_only=True)
class ScaleComparisonAnswer(Answer):
    """Which of several photographs of a ruler is sharpest, by number from 1, zone by zone and over all."""

    best_frame: int | None
    frames: tuple[ComparedFrame, ...]
    zones: tuple[ComparedZone, ...]


@dataclass(frozen=True, kw_only=True)
class ScaleBarAnswer(WorkedAnswer):
    """The bar's length on the subject, in the finished picture and on the print; `svg` is the bar itself."""

    bar_length_um: float
    bar_px: float
    drawn_px: float
    bar_share: float
    label: str
    caption: str
    scale_px_per_mm: float
    subject_width_mm: float
    bar_uncertainty_um: float | None
    depth_scale_change: float | None
    print_bar_mm: float | None
    print_magnification: float | None
    svg: str


@dataclass(frozen=True, kw_only=True)
class LensEstimate:
    """One number for each quantity of a measured lens; None where it is not determined."""

    focal_length_mm: float | None
    front_principal_plane_mm: float | None
    rear_principal_plane_mm: float | None
    extension_at_infinity_mm: float | None
    pupil_magnification: float | None
    principal_plane_separation_mm: float | None
    f_number_estimate: float | None


@dataclass(frozen=True, kw_only=True)
class FrameResidual:
    """One frame against the fitted lens."""

    extension_mm: float
    magnification: float
    magnification_residual: float
    magnification_uncertainty: float | None
    standardised_residual: float | None
    outlier: bool
    working_distance_residual_mm: float | None
    subject_to_sensor_residual_mm: float | None


@dataclass(frozen=True, kw_only=True)
class AddedFrames:
    """So many further frames at one extension."""

    extension_mm: float
    frames: int


@dataclass(frozen=True, kw_only=True)
class MeasuredUncertainty:
    """Covariance of what a measured lens is uncertain in, row by row.

    `scatter_covariance` is the part that rests on the frames' scatter, with its `degrees_of_freedom`; None where all
    uncertainties were stated.
    """

    parameters: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]
    degrees_of_freedom: float | None = None
    scatter_covariance: tuple[tuple[float, ...], ...] | None = None


@dataclass(frozen=True, kw_only=True)
class MeasuredLens:
    """The lens as an element of a train; `part` is that element."""

    element: str
    focal_length_mm: float
    front_principal_plane_mm: float | None = None
    register_mm: float | None = None
    rear_principal_plane_mm: float | None = None
    principal_plane_separation_mm: float | None = None
    pupil_magnification: float | None = None
    f_number: float | None = None
    reversed: bool | None = None
    uncertainty: MeasuredUncertainty | None = None
    raw: Mapping[str, Any] = field(repr=False, compare=False)

    @property
    def part(self) -> Lens:
        """Part of a train, ready for `evaluate`."""
        return cast(Lens, dict(self.raw))


@dataclass(frozen=True, kw_only=True)
class LensMembers(LensEstimate):
    """A lens measured, with its standard uncertainties, 95 % intervals and what the frames say of themselves."""

    uncertainty: LensEstimate
    lower_95: LensEstimate
    upper_95: LensEstimate
    parameters: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]
    degrees_of_freedom: int | None
    chi_square: float | None
    residuals: tuple[FrameResidual, ...]
    repeats_to_halve: int | None
    frames_to_halve: tuple[AddedFrames, ...]
    lens: MeasuredLens | None = None


@dataclass(frozen=True, kw_only=True)
class SettingLens(LensMembers):
    """The lens at one setting of a zoom."""

    setting: float
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, kw_only=True)
class LensCalibrationAnswer(LensMembers, WorkedAnswer):
    """The lens measured; of a zoom the one interpolated, and under `settings` every one that was measured."""

    settings: tuple[SettingLens, ...]
