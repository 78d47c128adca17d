"""Answers of `measure`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Required, TypedDict

from closeup_service.records.shared_answers import Answer, FrameResidual, Remark


class Contribution(TypedDict, total=False):
    """What one source of error adds: its relative standard uncertainty, and its share of the combined variance."""

    source: Required[str]
    relative_uncertainty: Required[float]
    variance_share: Required[float]


class ScaleReadingAnswer(Answer, total=False):
    """The magnification that the ruler shows, its uncertainty, and where that comes from."""

    magnification: Required[float]
    ratio: Required[str]
    magnification_uncertainty: Required[float]
    relative_uncertainty: Required[float]
    magnification_low: Required[float | None]
    magnification_high: Required[float]
    ruler_length_mm: Required[float]
    scale_px_per_mm: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    subject_width_uncertainty_mm: Required[float | None]
    dominant: Required[str | None]
    contributions: Required[Sequence[Contribution]]


class ZoneSharpness(TypedDict, total=False):
    """Sharpness in one zone; null where it shows too few marks."""

    zone: Required[str]
    edge_width_um: Required[float | None]
    edge_width_px: Required[float | None]
    edges: Required[int]


class ColourShift(TypedDict, total=False):
    """Lateral colour at one end of the visible scale."""

    x_px: Required[float]
    y_px: Required[float]
    red_shift_px: Required[float]
    blue_shift_px: Required[float]


class OtherLeg(TypedDict, total=False):
    """The leg of an L-shaped ruler at right angles to the one read."""

    scale_px_per_mm: Required[float]
    scale_uncertainty_px_per_mm: Required[float]
    direction_deg: Required[float]
    marks_used: Required[int]


class ScalePhotoAnswer(Answer, total=False):
    """What the photograph of a ruler tells: scale, magnification, their uncertainty, and the lens's faults."""

    scale_px_per_mm: Required[float]
    scale_uncertainty_px_per_mm: Required[float]
    scale_low_px_per_mm: Required[float | None]
    scale_high_px_per_mm: Required[float]
    mean_scale_px_per_mm: Required[float]
    magnification: Required[float | None]
    ratio: Required[str | None]
    magnification_uncertainty: Required[float | None]
    relative_uncertainty: Required[float]
    assumed_tilt_uncertainty: float
    magnification_low: Required[float | None]
    magnification_high: Required[float | None]
    subject_width_mm: Required[float]
    subject_height_mm: Required[float]
    contributions: Required[Sequence[Contribution]]
    tilt_deg: Required[float | None]
    tilt_uncertainty_deg: Required[float | None]
    keystone: Required[float]
    distortion: Required[float]
    distortion_uncertainty: Required[float]
    lateral_colour_um: Required[float | None]
    red_scale_difference: Required[float | None]
    blue_scale_difference: Required[float | None]
    fall_off_stops: Required[float | None]
    zones: Required[Sequence[ZoneSharpness]]
    colour_shifts: Required[Sequence[ColourShift]]
    marks_used: Required[int]
    direction_deg: Required[float]
    other_leg: OtherLeg
    dark_marks: Required[bool]
    suggested_tick_pitch_mm: Required[float | None]
    image_width_px: Required[float]
    image_height_px: Required[float]
    bits_in_file: Required[int]
    bits_used: Required[int]
    overlay: Required[str | None]


class ComparedFrame(TypedDict, total=False):
    """One photograph of a comparison."""

    frame: Required[int]
    sharpness_score: Required[float | None]
    scale_px_per_mm: Required[float]
    scale_difference: Required[float]
    magnification: Required[float | None]
    relative_uncertainty: Required[float]
    tilt_deg: Required[float | None]
    distortion: Required[float]
    lateral_colour_um: Required[float | None]
    fall_off_stops: Required[float | None]
    marks_used: Required[int]


class ComparedZone(TypedDict, total=False):
    """One zone of a comparison."""

    zone: Required[str]
    best_frame: Required[int | None]
    edge_widths_um: Required[Sequence[float | None]]


class ScaleComparisonAnswer(Answer, total=False):
    """Which of several photographs of a ruler is sharpest, zone by zone and over all, and how else they differ."""

    best_frame: Required[int | None]
    frames: Required[Sequence[ComparedFrame]]
    zones: Required[Sequence[ComparedZone]]


class ScaleBarAnswer(Answer, total=False):
    """The bar's length on the subject, in the finished picture and on the print, and the bar itself as SVG."""

    bar_length_um: Required[float]
    bar_px: Required[float]
    drawn_px: Required[float]
    bar_share: Required[float]
    label: Required[str]
    caption: Required[str]
    scale_px_per_mm: Required[float]
    subject_width_mm: Required[float]
    bar_uncertainty_um: Required[float | None]
    depth_scale_change: Required[float | None]
    print_bar_mm: Required[float | None]
    print_magnification: Required[float | None]
    svg: Required[str]


class LensEstimate(TypedDict, total=False):
    """One number for each quantity of a measured lens; null where it is not determined."""

    focal_length_mm: Required[float | None]
    front_principal_plane_mm: Required[float | None]
    rear_principal_plane_mm: Required[float | None]
    extension_at_infinity_mm: Required[float | None]
    pupil_magnification: Required[float | None]
    principal_plane_separation_mm: Required[float | None]
    f_number_estimate: Required[float | None]


class AddedFrames(TypedDict, total=False):
    """So many further frames at one extension."""

    extension_mm: Required[float]
    frames: Required[int]


class MeasuredUncertainty(TypedDict, total=False):
    """Standard uncertainties of a lens and how they go together."""

    parameters: Required[Sequence[str]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: float
    scatter_covariance: Sequence[Sequence[float]]


class MeasuredLens(TypedDict, total=False):
    """The lens as an element of a train: it can be pasted as it is."""

    element: Required[str]
    focal_length_mm: Required[float]
    front_principal_plane_mm: float
    register_mm: float
    rear_principal_plane_mm: float
    principal_plane_separation_mm: float
    pupil_magnification: float
    f_number: float
    reversed: bool
    uncertainty: MeasuredUncertainty


class LensMembers(LensEstimate, total=False):
    """A lens measured, with standard uncertainties, intervals, and what the frames say of themselves."""

    uncertainty: Required[LensEstimate]
    lower_95: Required[LensEstimate]
    upper_95: Required[LensEstimate]
    parameters: Required[Sequence[str]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: Required[int | None]
    chi_square: Required[float | None]
    residuals: Required[Sequence[FrameResidual]]
    repeats_to_halve: Required[int | None]
    frames_to_halve: Required[Sequence[AddedFrames]]
    lens: MeasuredLens


class SettingLens(LensMembers, total=False):
    """The lens at one setting of a zoom."""

    setting: Required[float]
    remarks: Required[Sequence[Remark]]


class LensCalibrationAnswer(LensMembers, Answer, total=False):
    """The lens measured; of a zoom the one at interpolate_at, and every setting for itself."""

    settings: Required[Sequence[SettingLens]]
