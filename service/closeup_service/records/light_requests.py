"""Requests of `light`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Literal, Required

from closeup_service.gear.kit import Kit
from closeup_service.records.shared_requests import (
    Camera,
    DetailFields,
    EffectiveFNumberRequest,
    Element,
    ExposureFields,
    MountingField,
    PrintFields,
    SensorFields,
    SettingsFields,
    Solve,
    SurroundingsFields,
)


class Planned(SettingsFields, MountingField, total=False):
    """What changes in the planned frame; the unknown is left out."""

    effective_f_number: float
    f_number: float
    magnification: float
    pupil_magnification: float


class FrameSetUp(DetailFields, PrintFields, total=False):
    """A set-up that a frame is taken with."""

    camera: Required[Camera]
    train: Required[Sequence[Element]]
    depth_of_field_model: Literal["combined", "geometric", "wave", "contrast"]
    subject_depth_mm: float
    solve: Solve


class ExposureRequest(SurroundingsFields, ExposureFields, total=False):
    """A frame that was right, what changes in the next, and which setting is to be found."""

    planned: Planned
    reference_set_up: FrameSetUp
    planned_set_up: FrameSetUp
    kit: Kit


class FlashRequest(SurroundingsFields, MountingField, total=False):
    """The flash's guide number, and what is known of aperture, distance, power and number of flashes."""

    guide_number_m: float
    guide_numbers_m: Sequence[float]
    heads: int
    iso: float
    f_number: float
    effective_f_number: float
    flash_distance_mm: float
    flash_distances_mm: Sequence[float]
    flash_power_fraction: float
    pops: int
    transmission: float
    source_diameter_mm: float
    magnification: float
    pupil_magnification: float


class ClearOpeningRequest(EffectiveFNumberRequest, SensorFields, total=False):
    """One lens at a magnification, what the frame shows, and where the opening stands."""

    focal_length_mm: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float
    subject_diagonal_mm: float
    distance_mm: float
    distances_mm: Sequence[float]
    distance_from_subject_mm: float
    opening_diameter_mm: float
