"""What is answered of `shoot`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from closeup_client.records.shared_answers import DepthOfField, EstimatedDatum, Range, WorkedAnswer


@dataclass(frozen=True, kw_only=True, repr=False)
class MotionBlurAnswer(WorkedAnswer):
    """Blur by each motion and together, and the longest time and the largest motions within the allowed blur.

    What belongs to a motion that was not given is null.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    blur_time_s : number
        Time that counts for the blur: the shutter's, or the flash's t0.1. [s]
    sensor_blur_um : number
        Blur on the sensor by all motions together. [um]
    subject_blur_um : number
        The same blur, measured on the subject. [um]
    sensor_blur_px : number or None
        The same blur, in pixels of the sensor. [px]
    sensor_blur_pixels : number or None
        The same as sensor_blur_px, under its former name. [pixels]
    sideways_blur_um : number or None
        Blur on the sensor by sideways movement. [um]
    rotation_blur_um : number or None
        Blur on the sensor by rotation of the camera. [um]
    vibration_blur_um : number or None
        Greatest blur on the sensor by vibration. [um]
    axial_movement_um : number or None
        Movement along the axis while light falls. [um]
    axial_verdict : text
        Whether the axial movement is no longer than the depth; undetermined where either was not given. One of: within-
        depth, beyond-depth, undetermined.
    flash_share : number or None
        Share of the picture's light that comes from the flash.
    ambient_share : number or None
        Share of the picture's light that falls through the whole exposure time, not from the flash.
    ambient_blur_um : number or None
        Blur on the sensor by light that falls through the whole exposure time: the ghost beside a flash. [um]
    allowed_blur_um : number or None
        Blur by movement that is allowed on the sensor. [um]
    longest_time_s : number or None
        Longest time within the allowed blur; None where none is too long. [s]
    largest_sideways_speed_mm_s : number or None
        Largest sideways speed within the allowed blur. [mm/s]
    largest_rotation_rad_s : number or None
        Largest rotation within the allowed blur. [rad/s]
    largest_amplitude_um : number or None
        Largest amplitude within the allowed blur. [um]
    longest_axial_time_s : number or None
        Longest time in which axial movement stays in depth. [s]
    largest_axial_speed_mm_s : number or None
        Largest axial speed within the depth. [mm/s]
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    blur_time_s: float
    sensor_blur_um: float
    subject_blur_um: float
    sensor_blur_px: float | None = None
    sensor_blur_pixels: float | None
    sideways_blur_um: float | None
    rotation_blur_um: float | None
    vibration_blur_um: float | None
    axial_movement_um: float | None
    axial_verdict: str
    flash_share: float | None
    ambient_share: float | None
    ambient_blur_um: float | None
    allowed_blur_um: float | None
    longest_time_s: float | None
    largest_sideways_speed_mm_s: float | None
    largest_rotation_rad_s: float | None
    largest_amplitude_um: float | None
    longest_axial_time_s: float | None
    largest_axial_speed_mm_s: float | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class FocusStackAnswer(WorkedAnswer):
    """The frames of the stack, the step, and what changes along it.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    frames : whole number
        Frames that cover the subject's depth without a gap.
    frames_end_to_end : whole number
        Frames with a plane of focus on both ends of the subject's depth, by the same rule.
    frames_varying_step : whole number
        Frames that cover the subject's depth if each step were as long as the depth there allows.
    step_mm : number or None
        Step between frames, of what moves: the rail, the lens or the rear standard; None with a single frame. [mm]
    travel_mm : number
        Travel from the first frame to the last, of what is moved. [mm]
    overlap : number or None
        Least share of the depth between neighbours that both are sharp over, with this step; None with a single frame.
    positions_mm : tuple of number
        Plane of focus of each frame, from the subject's nearest point away from the lens.
    magnification_nearest : number
        Magnification focused on the nearest plane.
    magnification_farthest : number
        Magnification focused on the farthest plane.
    magnification_change : number
        Magnification focused on the farthest plane over that on the nearest, less 1.
    image_travel_mm : number
        How far the image moves along the axis, against the lens, from the subject's nearest to its farthest plane. [mm]
    perspective_change : number or None
        Growth of detail in the farthest plane from the frame focused on the nearest plane to that on the farthest, by
        the entrance pupil's movement alone.
    least_clearance_mm : number or None
        What is left before the subject's nearest point in the frame in which the lens is nearest to it. [mm]
    total_time_s : number or None
        Time that the whole stack takes. [s]
    depth_of_field : DepthOfField
        Depth of field by one model.
    effective_f_number : number
        f-number that the sensor really sees, 1/(2 sin u').
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    frames: int
    frames_end_to_end: int
    frames_varying_step: int
    step_mm: float | None
    travel_mm: float
    overlap: float | None
    positions_mm: tuple[float, ...]
    magnification_nearest: float
    magnification_farthest: float
    magnification_change: float
    image_travel_mm: float
    perspective_change: float | None
    least_clearance_mm: float | None
    total_time_s: float | None
    depth_of_field: DepthOfField
    effective_f_number: float
    circle_of_confusion_mm: float | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
