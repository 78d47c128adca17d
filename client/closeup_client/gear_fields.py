"""What a kit, chains of rings and a search over a kit can be asked with: lengths in mm."""

from collections.abc import Mapping, Sequence
from typing import Any, Literal, Required, TypeAlias, TypedDict

from closeup_client.shared_fields import SensorFields

Gender: TypeAlias = Literal["external", "internal"]
MountSide: TypeAlias = Literal["lens", "body"]
Kit: TypeAlias = Mapping[str, Any]
SearchModel: TypeAlias = Literal["combined", "geometric", "wave"]
Arrangement: TypeAlias = Literal[
    "normal", "reversed", "tubes", "bellows", "close-up-lens", "converter", "coupled", "objective"
]


class KitFields(TypedDict, total=False):
    """A kit to use instead of the studio's own, as a kit file holds it."""

    kit: Kit


class SearchCamera(SensorFields, total=False):
    """The camera: `use`, the id of one in the kit; or its mount and its sensor."""

    use: str
    mount: str
    pixel_pitch_um: float
    circle_of_confusion_mm: float


class SearchFields(KitFields, total=False):
    """The subject, the camera, what is wished for, and what may be used; the subject's width, its height or both."""

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
    arrangements: Sequence[Arrangement]
    tolerance: float
    best: int
    apertures_per_set_up: int
    budget: float
    depth_of_field_model: SearchModel
    wavelength_nm: float


class RingChainsFields(KitFields, total=False):
    """The two ends, each a thread with its gender or a mount with its side; the lens's front, to tell what is narrower."""

    from_thread: str
    from_gender: Gender
    from_mount: str
    from_side: MountSide
    to_thread: str
    to_gender: Gender
    to_mount: str
    to_side: MountSide
    front_diameter_mm: float
    most: int
