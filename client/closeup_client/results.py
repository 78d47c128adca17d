"""What the service answers, as frozen records: lengths in mm, blur in um, ratios without a unit, light in stops.

A member is None where the request does not determine it; a remark then names what is missing. Members that a newer
service adds are found in `raw`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something worth knowing about an answer: a stable code, and plain words."""

    code: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Remark):
    """A usual caution, and whom it concerns: `people`, `animals` or `gear`."""

    concerns: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What every answer carries: `assumed` gives the value used for each datum that was not given."""

    assumed: Mapping[str, Any] = field(hash=False)
    remarks: tuple[Remark, ...]
    cautions: tuple[Caution, ...]
    raw: Mapping[str, Any] = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class MagnificationAnswer(Answer):
    """The magnification (sensor over subject), the extension that gives it, and what fills the frame."""

    magnification: float
    extension_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingDistanceAnswer(Answer):
    """Distances of the subject: from the front joining face, the front principal plane, and the sensor."""

    working_distance_mm: float | None
    subject_distance_mm: float
    subject_to_sensor_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectiveFNumberAnswer(Answer):
    """The effective aperture, and the light it costs against the marked one."""

    effective_f_number: float
    light_loss_stops: float
    exposure_factor: float
    numerical_aperture: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthOfField:
    """Depth by one model; each extent is `finite`, `unlimited` or `undetermined`, and its depth None unless finite."""

    model: str
    front_depth_mm: float | None
    rear_depth_mm: float | None
    front_extent: str
    rear_extent: str
    total_mm: float | None
    depth_of_focus_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthOfFieldAnswer(Answer):
    """Members of `DepthOfField`, with the effective f-number and the blur criterion that they stand on."""

    model: str
    front_depth_mm: float | None
    rear_depth_mm: float | None
    front_extent: str
    rear_extent: str
    total_mm: float | None
    depth_of_focus_mm: float | None
    effective_f_number: float
    circle_of_confusion_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Diffraction:
    """What diffraction alone leaves of a point: Airy diameter on the sensor, resolution on the subject."""

    wavelength_nm: float
    airy_diameter_um: float | None
    subject_resolution_um: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The open length: its JSON pointer in the document, and its value in mm."""

    pointer: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpAnswer(Answer):
    """Everything about one set-up; `aperture_stop` is the index in the train of the part whose stop governs."""

    magnification: float
    subject_width_mm: float | None
    subject_height_mm: float | None
    working_distance_mm: float | None
    clearance_mm: float | None
    subject_to_sensor_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    numerical_aperture: float | None
    light_loss_stops: float | None
    aperture_stop: int | None
    depth_of_field: DepthOfField
    diffraction: Diffraction
    solved: Solved | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What every record of the catalogue says of itself, its source included."""

    id: str
    names: tuple[str, ...]
    source: str
    source_status: str
    raw: Mapping[str, Any] = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorRecord(Record):
    """A sensor or film format by its picture area, in mm."""

    width_mm: float
    height_mm: float
    diagonal_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MountRecord(Record):
    """A lens mount: its register and throat in mm, and its thread in the catalogue where it is one."""

    register_mm: float
    kind: str
    throat_mm: float | None
    thread: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadRecord(Record):
    """A thread of a filter, mount or objective: major diameter and pitch in mm."""

    diameter_mm: float
    pitch_mm: float
    use: str
