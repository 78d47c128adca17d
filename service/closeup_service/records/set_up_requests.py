"""Requests of `set up`, as they are loaded.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Literal, Required, TypedDict

from closeup_service.gear.kit import Kit
from closeup_service.operations.set_up.table.schemas import AnyColumn
from closeup_service.records.shared_requests import (
    Camera,
    DetailFields,
    DrawnFields,
    EffectiveFNumberRequest,
    Element,
    ExposureFields,
    LightFields,
    MountingField,
    PrintFields,
    RingFields,
    SensorFields,
    SettingsFields,
    Solve,
    SurroundingsFields,
)


class WorkingDistanceRequest(MountingField, total=False):
    """One lens at a magnification."""

    focal_length_mm: Required[float]
    magnification: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float
    principal_plane_separation_mm: float


class DiffractionRequest(EffectiveFNumberRequest, LightFields, PrintFields, SensorFields, total=False):
    """One lens at a marked f-number and a magnification, and what is known of the sensor."""

    circle_of_confusion_mm: float
    pixel_pitch_um: float
    sensor_details_lp_per_mm: Sequence[float]
    subject_details_lp_per_mm: Sequence[float]


class OptimumApertureRequest(MountingField, DetailFields, RingFields, total=False):
    """A subject's depth at a magnification, the detail that counts, and the ring's own apertures."""

    subject_depth_mm: Required[float]
    magnification: Required[float]
    pupil_magnification: float
    focal_length_mm: float
    pixel_pitch_um: float


class OtherSensorFields(TypedDict, total=False):
    """`other_sensor`, or `other_sensor_width_mm` and `other_sensor_height_mm`; loading turns the id into the measures."""

    other_sensor_width_mm: float
    other_sensor_height_mm: float


class OtherLensFields(TypedDict, total=False):
    """The other camera, and the lens on it; each datum is that of this one's lens where nothing is said."""

    other_mounting: Literal["normal", "reversed"]
    other_pupil_magnification: float
    other_focal_length_mm: float
    other_lens_register_mm: float
    other_front_principal_plane_mm: float
    other_focusing_extension_mm: float
    other_camera_register_mm: float


class FormatEquivalenceRequest(EffectiveFNumberRequest, SensorFields, OtherSensorFields, OtherLensFields, total=False):
    """One lens on this sensor at a marked f-number and a magnification, the other sensor, and what is known of the lenses."""

    framing_by: Literal["width", "height", "diagonal"]
    circle_of_confusion_mm: float
    focal_length_mm: float
    lens_register_mm: float
    front_principal_plane_mm: float


class PlannedSettings(SettingsFields, total=False):
    """What changes in the planned frame beside the set-up; the unknown is left out."""


class ExposureOfSetUp(ExposureFields, total=False):
    """An exposure whose planned frame is taken with the set-up of the document."""

    planned: PlannedSettings


class OpeningOfSetUp(TypedDict, total=False):
    """Where an opening stands before the front of the set-up, and how wide it is."""

    distance_mm: Required[float]
    opening_diameter_mm: float


class SetUpRequest(SurroundingsFields, DetailFields, PrintFields, total=False):
    """An optical train, from the subject to the camera."""

    camera: Required[Camera]
    train: Required[Sequence[Element]]
    depth_of_field_model: Literal["combined", "geometric", "wave", "contrast"]
    subject_depth_mm: float
    solve: Solve
    exposure: ExposureOfSetUp
    clear_opening: OpeningOfSetUp
    kit: Kit


class SetUpDrawingRequest(SetUpRequest, DrawnFields, total=False):
    """The set-up document of /v1/set-ups/evaluate, and how wide it is to be drawn."""


class FrameDrawingRequest(SetUpRequest, DrawnFields, total=False):
    """The set-up document of /v1/set-ups/evaluate, the subject's measures, and how wide it is to be drawn."""

    subject_width_mm: Required[float]
    subject_height_mm: float


class SheetRequest(SetUpRequest, total=False):
    """The set-up document of /v1/set-ups/evaluate, and what stands above the sheet."""

    heading: str
    sent: Required[Mapping[str, Any]]


class TableRequest(TypedDict, total=False):
    """A set-up, the columns of its members that vary, and what is asked of every row."""

    kit: Kit
    columns: Required[Mapping[str, AnyColumn]]
    fields: Required[Sequence[str]]
    document: Required[Mapping[str, Any]]
