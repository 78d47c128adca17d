"""Requests of `plan`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from closeup_service.gear.kit import Kit
from closeup_service.records.shared_requests import MountingField, SensorFields


class MagnificationRequest(SensorFields, MountingField, total=False):
    """Exactly one of the four routes, with what that route needs."""

    subject_width_mm: float
    subject_height_mm: float
    extension_mm: float
    working_distance_mm: float
    focal_length_mm: float
    focusing_extension_mm: float
    lens_register_mm: float
    camera_register_mm: float
    front_principal_plane_mm: float


class RingChainsRequest(TypedDict, total=False):
    """The two ends: each a thread with its gender, or a mount with its side."""

    from_thread: str
    from_gender: Literal["external", "internal"]
    from_mount: str
    from_side: Literal["lens", "body"]
    to_thread: str
    to_gender: Literal["external", "internal"]
    to_mount: str
    to_side: Literal["lens", "body"]
    front_diameter_mm: float
    most: int
    kit: Kit


class SearchCamera(SensorFields, total=False):
    """The camera: one of the kit's, or its mount and its sensor."""

    use: str
    mount: str
    pixel_pitch_um: float
    circle_of_confusion_mm: float


class SearchRequest(TypedDict, total=False):
    """The subject, the camera, what is wished for, and what may be used."""

    subject_width_mm: float
    subject_height_mm: float
    subject_depth_mm: float
    camera: Required[SearchCamera]
    least_working_distance_mm: float
    least_clearance_mm: float
    largest_subject_resolution_um: float
    most_stack_frames: int
    largest_light_loss_stops: float
    longest_rig_mm: float
    arrangements: Sequence[str]
    tolerance: float
    best: int
    apertures_per_set_up: int
    budget: float
    depth_of_field_model: Literal["combined", "geometric", "wave"]
    wavelength_nm: float
    kit: Kit
