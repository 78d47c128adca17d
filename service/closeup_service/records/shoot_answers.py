"""Answers of `shoot`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Required

from closeup_service.records.shared_answers import Answer, Depth


class MotionBlurAnswer(Answer, total=False):
    """Blur by each motion and together, and the longest time and the largest motions within the allowed blur."""

    blur_time_s: Required[float]
    sensor_blur_um: Required[float]
    subject_blur_um: Required[float]
    sensor_blur_pixels: Required[float | None]
    sideways_blur_um: Required[float | None]
    rotation_blur_um: Required[float | None]
    vibration_blur_um: Required[float | None]
    axial_movement_um: Required[float | None]
    axial_verdict: Required[str]
    flash_share: Required[float | None]
    ambient_share: Required[float | None]
    ambient_blur_um: Required[float | None]
    allowed_blur_um: Required[float | None]
    longest_time_s: Required[float | None]
    largest_sideways_speed_mm_s: Required[float | None]
    largest_rotation_rad_s: Required[float | None]
    largest_amplitude_um: Required[float | None]
    longest_axial_time_s: Required[float | None]
    largest_axial_speed_mm_s: Required[float | None]


class FocusStackAnswer(Answer, total=False):
    """The frames of the stack, the step, and what changes along it."""

    frames: Required[int]
    frames_end_to_end: Required[int]
    frames_varying_step: Required[int]
    step_mm: Required[float | None]
    travel_mm: Required[float]
    overlap: Required[float | None]
    positions_mm: Required[Sequence[float]]
    magnification_nearest: Required[float]
    magnification_farthest: Required[float]
    magnification_change: Required[float]
    image_travel_mm: Required[float]
    perspective_change: Required[float | None]
    least_clearance_mm: Required[float | None]
    total_time_s: Required[float | None]
    depth_of_field: Required[Depth]
    effective_f_number: Required[float]
    circle_of_confusion_mm: Required[float | None]
