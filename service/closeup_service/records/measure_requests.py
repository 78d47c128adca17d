"""Requests of `measure`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Literal, Required

from closeup_service.records.shared_requests import SensorFields
from closeup_service.schemas.upload import Upload


class UsedSensorFields(SensorFields, total=False):
    """The sensor as `SensorFields`, all of it or a part; the pixel pitch; and the picture's width in pixels."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    image_width_px: float


class ScaleReadingRequest(UsedSensorFields, total=False):
    """Two marks of a ruler: read at both edges of the frame, or with their places in the picture in pixels."""

    first_mark_mm: Required[float]
    last_mark_mm: Required[float]
    first_mark_x_px: float
    first_mark_y_px: float
    last_mark_x_px: float
    last_mark_y_px: float
    distance_px: float
    image_height_px: float
    reading_error_mm: float
    reading_error_px: float
    finest_division_mm: float
    scale_error: float
    pitch_error: float
    tilt_deg: float
    tilt_error_deg: float


class ScalePhotoRequest(SensorFields, total=False):
    """A photograph of a ruler, and the pitch of its finest marks."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: Literal["lines", "blocks"]
    leg: Literal["level", "upright"]
    photo: Required[Upload]
    overlay: bool


class ScaleComparisonRequest(SensorFields, total=False):
    """Two to six photographs of the same ruler at the same magnification, in order, and the pitch of its finest marks."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    tick_pitch_mm: Required[float]
    perspective_distance_mm: float
    largest_tilt_deg: float
    scale_error: float
    pitch_error: float
    accept_plain_marks: bool
    accept_pitch: bool
    marks_are: Literal["lines", "blocks"]
    leg: Literal["level", "upright"]
    photo: Required[Sequence[Upload]]


class ScaleBarRequest(SensorFields, total=False):
    """The scale by one of three routes, what became of the picture since, and how the bar is to look."""

    crop_factor: float
    used_width_mm: float
    pixel_pitch_um: float
    image_width_px: Required[float]
    magnification: float
    scale_px_per_mm: float
    subject_width_mm: float
    cropped_width_px: float
    finished_width_px: float
    relative_uncertainty: float
    scale_basis: Literal["measured", "computed"]
    share: float
    bar_length_um: float
    subject_depth_mm: float
    perspective_distance_mm: float
    print_width_mm: float
    colour: str
    outline_colour: str
    show_label: bool
    bar_height_px: float
    font_size_px: float
