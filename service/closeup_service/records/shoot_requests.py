"""Requests of `shoot`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from typing import Literal, Required

from closeup_service.records.shared_requests import MountingField, SensorFields, SurroundingsFields


class MotionBlurRequest(SensorFields, MountingField, SurroundingsFields, total=False):
    """At least one motion, how long light falls, and the blur that is allowed where the reverse is wanted."""

    magnification: Required[float]
    sideways_speed_mm_s: float
    axial_speed_mm_s: float
    rotation_rad_s: float
    rotation_distance_mm: float
    vibration_amplitude_um: float
    vibration_frequency_hz: float
    focal_length_mm: float
    pupil_magnification: float
    exposure_time_s: float
    flash_t01_s: float
    flash_t05_s: float
    flash_shape: Literal["exponential", "cut"]
    ambient_share: float
    pixel_pitch_um: float
    depth_mm: float
    allowed_blur_um: float
    allowed_blur_pixels: float
    circle_of_confusion_mm: float
