"""Answers of `set up`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Required, TypedDict

from closeup_service.operations.set_up.table.schemas import AnyColumn
from closeup_service.records.shared_answers import Answer, Depth, ExposureMembers, Opening


class WorkingDistanceAnswer(Answer, total=False):
    """The distances of the subject."""

    working_distance_mm: Required[float | None]
    subject_distance_mm: Required[float]
    subject_to_sensor_mm: Required[float | None]


class EffectiveFNumberAnswer(Answer, total=False):
    """The effective aperture and the light it costs."""

    effective_f_number: Required[float]
    light_loss_stops: Required[float]
    exposure_factor: Required[float]
    numerical_aperture: Required[float]


class DepthOfFieldAnswer(Depth, Answer, total=False):
    """Depth of field, with the effective f-number and the blur criterion it stands on."""

    effective_f_number: Required[float]
    circle_of_confusion_mm: Required[float | None]


class DiffractionMembers(TypedDict, total=False):
    """What diffraction leaves in the plane of focus."""

    wavelength_nm: Required[float]
    airy_diameter_um: Required[float | None]
    subject_airy_diameter_um: Required[float | None]
    sensor_resolution_um: Required[float | None]
    subject_resolution_um: Required[float | None]
    sensor_cutoff_lp_per_mm: Required[float | None]
    subject_cutoff_lp_per_mm: Required[float | None]
    nyquist_lp_per_mm: Required[float | None]
    nyquist_contrast: Required[float | None]
    filled_share: Required[float | None]
    sampling: Required[str | None]


class DetailContrast(TypedDict, total=False):
    """Contrast of one detail in the plane of focus."""

    sensor_detail_lp_per_mm: Required[float]
    subject_detail_lp_per_mm: Required[float]
    contrast: Required[float]
    contrast_with_pixels: Required[float | None]


class DiffractionAnswer(DiffractionMembers, Answer, total=False):
    """What diffraction costs here, and from which marked aperture on it costs more than it gives."""

    effective_f_number: Required[float]
    numerical_aperture: Required[float]
    details: Required[Sequence[DetailContrast]]
    filled_megapixels: Required[float | None]
    largest_useful_f_number: Required[float | None]


class ApertureContrast(TypedDict, total=False):
    """One mark of the ring, and what it leaves of the detail; as best, the one with the most left at the ends, if any."""

    nominal_f_number: Required[float]
    f_number: Required[float]
    effective_f_number: Required[float]
    middle_contrast: Required[float]
    ends_resolved: Required[bool]
    end_contrast: Required[float]


class OptimumApertureAnswer(Answer, total=False):
    """The best aperture by the closed form, and the contrast-best of the ring for the detail."""

    effective_f_number: Required[float]
    f_number: Required[float]
    nominal_f_number: Required[float]
    sensor_detail_lp_per_mm: Required[float | None]
    best: ApertureContrast
    curve: Required[Sequence[ApertureContrast]]
    advice: Required[str | None]


class FormatEquivalenceAnswer(Answer, total=False):
    """What to set on the other camera, and what stays as it is."""

    format_ratio: Required[float]
    other_magnification: Required[float]
    other_f_number: Required[float]
    other_nominal_f_number: Required[float | None]
    other_extension_mm: Required[float | None]
    same_perspective_focal_length_mm: Required[float | None]
    effective_f_number: Required[float]
    other_effective_f_number: Required[float]
    numerical_aperture: Required[float]
    circle_of_confusion_mm: Required[float]
    other_circle_of_confusion_mm: Required[float]
    other_exposure_factor: Required[float]
    other_exposure_stops: Required[float]


class Solved(TypedDict, total=False):
    """The open length, solved; present when one was asked for."""

    pointer: Required[str]
    value: Required[float]


class RigFields(TypedDict, total=False):
    """What a set-up is as a whole."""

    magnification: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    subject_to_sensor_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    numerical_aperture: Required[float | None]
    light_loss_stops: Required[float | None]


class UncertainFields(RigFields, total=False):
    """One number for each result that can be uncertain; the depths are those of depth_of_field."""

    front_depth_mm: Required[float | None]
    rear_depth_mm: Required[float | None]
    total_mm: Required[float | None]
    depth_of_focus_mm: Required[float | None]
    optimum_effective_f_number: Required[float | None]
    optimum_f_number: Required[float | None]


class SetUpUncertainty(UncertainFields, total=False):
    """Standard uncertainty of each result, from what the lenses state; null where it has none."""


class SetUpExpandedUncertainty(UncertainFields, total=False):
    """Half the 95 % interval of each result, which reaches from the result less this to the result and this."""


class SetUpAnswer(Answer, total=False):
    """Everything about one set-up; null where the document does not determine it."""

    magnification: Required[float]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    subject_to_sensor_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    numerical_aperture: Required[float | None]
    light_loss_stops: Required[float | None]
    aperture_stop: Required[int | None]
    depth_of_field: Required[Depth]
    diffraction: Required[DiffractionMembers]
    optimum_effective_f_number: Required[float | None]
    optimum_f_number: Required[float | None]
    stack_frames: Required[int | None]
    stack_step_mm: Required[float | None]
    allowed_movement_um: Required[float | None]
    solved: Solved
    exposure: ExposureMembers
    clear_opening: Opening
    uncertainty: SetUpUncertainty
    expanded_uncertainty: SetUpExpandedUncertainty
    kit_revision: str


class DrawnPart(TypedDict, total=False):
    """One part of the side view, subject first."""

    pointer: Required[str]
    kind: Required[str]
    name: Required[str]
    settings: Required[str]
    start_mm: Required[float]
    end_mm: Required[float]
    length_known: Required[bool]
    diameter_mm: Required[float]
    diameter_known: Required[bool]
    clear_diameter_mm: Required[float | None]


class PlacesMembers(Answer, total=False):
    """Where everything stands along the axis; null where the document does not determine it."""

    magnification: Required[float]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    subject_to_sensor_mm: Required[float | None]
    flange_mm: Required[float]
    sensor_mm: Required[float]
    entrance_pupil_mm: Required[float | None]
    entrance_pupil_diameter_mm: Required[float | None]
    parts: Required[Sequence[DrawnPart]]
    solved: Solved
    kit_revision: str


class SetUpDrawingAnswer(PlacesMembers, total=False):
    """The data beside the drawing of a set-up."""

    scale_broken: Required[bool]


class FrameDrawingAnswer(Answer, total=False):
    """How the subject fills the frame, and how much of its depth is sharp."""

    magnification: Required[float]
    frame_width_mm: Required[float]
    frame_height_mm: Required[float]
    subject_width_mm: Required[float]
    subject_height_mm: Required[float]
    filled_width_share: Required[float]
    filled_height_share: Required[float]
    filled_area_share: Required[float]
    overflows: Required[bool]
    depth_of_field: Required[Depth]
    sharp_depth_share: Required[float | None]
    solved: Solved
    kit_revision: str


class SheetAnswer(PlacesMembers, total=False):
    """What the sheet tells; the sheet itself is the same answer as text/html."""

    heading: Required[str]
    effective_f_number: Required[float | None]
    light_loss_stops: Required[float | None]
    optimum_f_number: Required[float | None]
    depth_of_field: Required[Depth]
    stack_frames: Required[int | None]
    stack_step_mm: Required[float | None]
    exposure: ExposureMembers
    link: Required[str | None]


class TableAnswer(Answer, total=False):
    """Results by columns; null where a row is impossible, or the set-up does not determine them."""

    rows: Required[int]
    columns: Required[Mapping[str, AnyColumn | Sequence[float | str | None]]]
    problem: Required[Sequence[str | None]]
    kit_revision: str
