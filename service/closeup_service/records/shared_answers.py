"""Answers of operations of several kinds, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Required, TypedDict


class Remark(TypedDict, total=False):
    """Something worth knowing about an answer."""

    code: Required[str]
    text: Required[str]


class Caution(Remark, total=False):
    """A usual caution, deferring to makers' instructions, local rules and qualified people."""

    concerns: Required[str]


class Answer(TypedDict, total=False):
    """Answers name what they assumed and carry remarks and cautions."""

    assumed: Required[Mapping[str, float | str]]
    remarks: Required[Sequence[Remark]]
    cautions: Required[Sequence[Caution]]


class Depth(TypedDict, total=False):
    """Depth of field by one model."""

    model: Required[str]
    front_depth_mm: Required[float | None]
    rear_depth_mm: Required[float | None]
    front_extent: Required[str]
    rear_extent: Required[str]
    total_mm: Required[float | None]
    depth_of_focus_mm: Required[float | None]


class Stops(TypedDict, total=False):
    """Light gained by each setting that a frame states."""

    aperture_stops: Required[float]
    transmission_stops: Required[float]
    iso_stops: float
    exposure_time_stops: float
    power_stops: float
    flash_distance_stops: float
    pops_stops: float


class FrameLight(TypedDict, total=False):
    """The aperture of a frame."""

    effective_f_number: Required[float]
    light_loss_stops: Required[float | None]


class PlannedFrame(FrameLight, total=False):
    """The planned frame with the setting that was solved; settings that no frame states are left out."""

    f_number: float
    exposure_time_s: float
    iso: float
    flash_power: float
    flash_distance_mm: float


class PowerWay(TypedDict, total=False):
    """One way to close the gap, with the power at the end of its range."""

    setting: Required[str]
    value: Required[float]
    nominal_value: Required[float | None]


class FlashPower(TypedDict, total=False):
    """The power against the head's range; present when power is the unknown."""

    nearest_power: Required[float]
    missing_stops: Required[float]
    below_full_stops: Required[float | None]
    ways: Required[Sequence[PowerWay]]


class AmbientLight(TypedDict, total=False):
    """Ambient light under the flash; present when asked for."""

    under_flash_stops: Required[float | None]
    black_without_flash: Required[bool | None]
    ambient_share: Required[float | None]
    flash_share: Required[float | None]
    ambient_blur_um: float | None


class FinderLight(TypedDict, total=False):
    """How dim the finder is; present when asked for."""

    focusing_loss_stops: Required[float | None]
    taking_loss_stops: Required[float | None]
    modelling_light_factor: Required[float | None]


class ExposureRow(TypedDict, total=False):
    """The planned frame at one magnification; nulls, and a code, where it cannot be."""

    magnification: Required[float]
    length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    light_loss_stops: Required[float | None]
    difference_stops: Required[float | None]
    value: Required[float | None]
    nominal_value: Required[float | None]
    missing_stops: Required[float | None]
    problem: Required[str | None]


class ExposureMembers(TypedDict, total=False):
    """The new setting, and what each change does to the light."""

    unknown: Required[str]
    value: Required[float]
    nominal_value: Required[float | None]
    marked_as: Required[str | None]
    nominal_difference_stops: Required[float | None]
    difference_stops: Required[float | None]
    light: Required[str]
    stops: Required[Stops]
    reference: Required[FrameLight]
    planned: Required[PlannedFrame]
    within_sync_time: bool
    flash_power: FlashPower
    ambient: AmbientLight
    finder: FinderLight
    rows: Required[Sequence[ExposureRow]]


class Opening(TypedDict, total=False):
    """What the picture's rays need in one plane; what a given opening takes there is null without it."""

    distance_mm: Required[float | None]
    distance_from_subject_mm: Required[float]
    full_diameter_mm: Required[float]
    axial_diameter_mm: Required[float]
    chief_diameter_mm: Required[float]
    clears: Required[bool | None]
    clips: Required[str | None]
    lit_field_share: Required[float | None]
    axial_loss_stops: Required[float | None]


class FrameResidual(TypedDict, total=False):
    """One frame against the fitted lens."""

    extension_mm: Required[float]
    magnification: Required[float]
    magnification_residual: Required[float]
    magnification_uncertainty: Required[float | None]
    standardised_residual: Required[float | None]
    outlier: Required[bool]
    working_distance_residual_mm: Required[float | None]
    subject_to_sensor_residual_mm: Required[float | None]
