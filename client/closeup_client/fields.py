"""What each operation can be asked with: the keyword arguments of the client's methods, checked by type checkers.

Lengths are in mm, wavelengths in nm, pixels in um; the unit ends the name and ratios have none. Members that are not
marked as required are optional to the type; which of them belong together, the service says.
"""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict, Unpack

from closeup_client.elements import Element

Mounting: TypeAlias = Literal["normal", "reversed"]
DepthModel: TypeAlias = Literal["geometric"]


class SensorFields(TypedDict, total=False):
    """The sensor, by its id in the catalogue or by both its measures."""

    sensor: str
    sensor_width_mm: float
    sensor_height_mm: float


class MountingFields(TypedDict, total=False):
    """Which way round the lens stands; assumed normal."""

    mounting: Mounting


class MagnificationFields(SensorFields, MountingFields, total=False):
    """Exactly one of the first four, with the lens data that this route needs."""

    subject_width_mm: float
    subject_height_mm: float
    extension_mm: float
    working_distance_mm: float
    focal_length_mm: float
    focusing_extension_mm: float
    lens_register_mm: float
    camera_register_mm: float
    front_principal_plane_mm: float


class WorkingDistanceFields(MountingFields, total=False):
    """One lens at a magnification; `lens_register_mm` is needed where it is reversed."""

    focal_length_mm: Required[float]
    magnification: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    principal_plane_separation_mm: float


class EffectiveFNumberFields(MountingFields, total=False):
    """One lens at a marked f-number and a magnification."""

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float


class DepthOfFieldFields(EffectiveFNumberFields, SensorFields, total=False):
    """The same, with the blur accepted on the sensor or with the sensor to assume it from."""

    circle_of_confusion_mm: float
    focal_length_mm: float
    model: DepthModel
    wavelength_nm: float


class Camera(SensorFields, total=False):
    """The camera: its register (mount flange to sensor), and what is known of its sensor."""

    register_mm: Required[float]
    pixel_pitch_um: float
    circle_of_confusion_mm: float


class Target(TypedDict, total=False):
    """What the open length is to reach: exactly one."""

    magnification: float
    working_distance_mm: float
    subject_width_mm: float


class Solve(TypedDict, total=False):
    """The open length, by the JSON pointer of the member left out of the train, its range in mm, and its target."""

    unknown: Required[str]
    minimum: float
    maximum: float
    target: Required[Target]


class SetUpFields(TypedDict, total=False):
    """The set-up document: a camera, and the train that light passes, subject first."""

    camera: Required[Camera]
    train: Required[Sequence[Element]]
    wavelength_nm: float
    depth_of_field_model: DepthModel
    subject_depth_mm: float
    solve: Solve


def camera(**known: Unpack[Camera]) -> Camera:
    """Camera with its register in mm, and its sensor by id or measures where known."""
    return known


def solve(**wanted: Unpack[Solve]) -> Solve:
    """Ask for an open length, such as `solve(unknown="/train/1/length_mm", target={"magnification": 2})`."""
    return wanted
