"""A studio's kit, checked: what it owns, with the faces by which the parts join.

Every record here comes from a kit file whose faults have been found already, so that nothing has to be checked again.
Members are named as in the kit file and the vocabulary; None is not known. Lengths in mm.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.catalogue import MOUNTS, Mount
from closeup_service.optics.aperture_series import Mark

Origin = Literal["demo", "file", "request"]
Gender = Literal["external", "internal", "lens", "body"]
Mounting = Literal["normal", "reversed"]

PLUGS = ("external", "lens")
"""The sides that enter: an external (male) thread, the lens's side of a mount."""

OTHER_GENDER: Mapping[Gender, Gender] = {
    "external": "internal",
    "internal": "external",
    "lens": "body",
    "body": "lens",
}


class Face(Struct, frozen=True):
    """One joining face: a thread with its gender, or a mount with its side; the other of the two is None.

    `coupling` is what two faces must share to join. A mount that is a thread couples by that thread, whatever its
    register: its body side is the internal thread, its lens side the external one.
    """

    thread: str | None
    mount: str | None
    gender: Gender
    coupling: str

    @property
    def plug(self) -> bool:
        """Whether this face enters the other."""
        return self.gender in PLUGS

    def joins(self, other: "Face") -> bool:
        """Whether the two faces can be joined."""
        return self.coupling == other.coupling and self.plug != other.plug

    def counterpart(self) -> "Face":
        """The face that joins this one: the other gender of its thread, the other side of its mount."""
        return replace(self, gender=OTHER_GENDER[self.gender])


def thread_face(thread: str, gender: Gender) -> Face:
    """Face with a thread of the catalogue; `gender` is "external" or "internal"."""
    return Face(thread, None, gender, f"thread {thread}")


def mount_face(mount: Mount, side: Gender) -> Face:
    """Face with a mount; `side` is "lens" or "body"."""
    coupling = f"mount {mount.id}" if mount.thread is None else f"thread {mount.thread}"
    return Face(None, mount.id, side, coupling)


class Part(Struct, frozen=True, kw_only=True):
    """What the studio notes of every part."""

    id: str
    name: str
    available: bool = True
    owned: bool = True
    price: float | None = None
    serial_number: str | None = None
    location: str | None = None
    calibrated_on: str | None = None


class Camera(Part, frozen=True, kw_only=True):
    """Camera; its register is its mount's, its flange the body side."""

    mount: str
    register_mm: float
    flange: Face
    sensor: str | None
    sensor_width_mm: float
    sensor_height_mm: float
    pixel_pitch_um: float | None = None
    circle_of_confusion_mm: float | None = None


class EdgeWidth(Struct, frozen=True, kw_only=True):
    """Width of a sharp edge as measured on the sensor [um], and how the lens stood."""

    measured_edge_width_um: float
    magnification: float
    f_number: float
    mounting: Mounting


class BarrelData(Struct, frozen=True, kw_only=True):
    """What stands on a lens's barrel, and what was measured of it: it counts where lens data are estimated."""

    lens_class: str | None = None
    widest_f_number: float | None = None
    zoom_from_mm: float | None = None
    zoom_to_mm: float | None = None
    barrel_length_mm: float | None = None
    barrel_length_uncertainty_mm: float | None = None
    entrance_pupil_depth_mm: float | None = None
    entrance_pupil_depth_uncertainty_mm: float | None = None
    entrance_pupil_diameter_mm: float | None = None
    exit_pupil_diameter_mm: float | None = None
    pupil_ratio_uncertainty: float | None = None
    measured: Sequence[Mapping[str, object]] | None = None


class Setting(BarrelData, frozen=True, kw_only=True):
    """A lens as it is at one zoom setting or calibration; what the lens states for all settings is filled in.

    `register_mm` is that of the lens's mount, None where the setting states its rear principal plane. `marks` are the stops
    of the ring, empty where the kit does not state them. `focusing_travel_mm` is the greatest focusing extension.
    `uncertainty` is {"parameters": [names], "covariance": rows}.
    """

    id: str
    focal_length_mm: float
    pupil_magnification: float | None = None
    front_principal_plane_mm: float | None = None
    register_mm: float | None = None
    rear_principal_plane_mm: float | None = None
    principal_plane_separation_mm: float | None = None
    front_diameter_mm: float | None = None
    front_protrusion_mm: float | None = None
    image_circle_mm: float | None = None
    marks: tuple[Mark, ...] = ()
    focusing_travel_mm: float | None = None
    sharp_from_f_number: float | None = None
    measured_edge_width: EdgeWidth | None = None
    calibrated_on: str | None = None
    uncertainty: Mapping[str, object] | None = None


class Lens(Part, frozen=True, kw_only=True):
    """Lens with its settings; `front` is its filter thread, `rear` its mount's lens side or its own external thread."""

    mount: str | None
    register_mm: float | None
    front: Face | None
    rear: Face
    settings: tuple[Setting, ...]
    mass_g: float | None = None

    def setting(self, setting_id: str) -> Setting | None:
        """Return the setting of that id, if there is one."""
        return next((setting for setting in self.settings if setting.id == setting_id), None)


RingKind = Literal["reversing-ring", "step-ring", "mount-adapter"]


class Spacer(Part, frozen=True, kw_only=True):
    """What stands between two parts and has no glass: `front` looks to the subject as drawn, `rear` to the camera."""

    front: Face
    rear: Face
    clear_diameter_mm: float | None = None


class Tube(Spacer, frozen=True, kw_only=True):
    """Tube or helicoid at one length."""

    length_mm: float


class Bellows(Spacer, frozen=True, kw_only=True):
    """Bellows, with the range of lengths between its faces."""

    minimum_length_mm: float
    maximum_length_mm: float


class Ring(Spacer, frozen=True, kw_only=True):
    """Reversing ring, step-up or step-down ring, or mount adapter; its thickness counts as extension."""

    kind: RingKind
    length_mm: float


class CloseUpLens(Part, frozen=True, kw_only=True):
    """Close-up lens; `rear`, the external thread, goes into the lens's filter thread, `front` takes the next."""

    front: Face
    rear: Face
    power_dpt: float | None = None
    focal_length_mm: float | None = None
    length_mm: float | None = None
    front_principal_plane_mm: float | None = None
    rear_principal_plane_mm: float | None = None


class Converter(Part, frozen=True, kw_only=True):
    """Teleconverter; its front is the body side of its mount, its rear the lens side, its register the mount's."""

    mount: str
    front: Face
    rear: Face
    factor: float
    register_mm: float
    added_length_mm: float | None = None
    focal_length_mm: float | None = None


class Objective(Part, frozen=True, kw_only=True):
    """Microscope objective; `rear` is its shoulder's external thread."""

    rear: Face
    magnification: float
    numerical_aperture: float
    tube_lens_focal_length_mm: float | None = None
    tube_length_mm: float | None = None
    focal_length_mm: float | None = None
    working_distance_mm: float | None = None
    parfocal_distance_mm: float | None = None
    field_number_mm: float | None = None


TrainPart: TypeAlias = Lens | Tube | Bellows | Ring | CloseUpLens | Converter | Objective
"""What can stand in a train."""


MOST_PARALLEL = 64
"""Of rings that do the same, owned or not, the shortest so many are kept: more than the longest list of chains can use."""

Open: TypeAlias = tuple[str, bool]
"""What an open face is to the next ring: its coupling, and whether it is a plug."""

RingTable: TypeAlias = Mapping[Open, tuple[tuple[Ring, Face], ...]]
"""Rings by the open face that takes them, each with the face then left open."""


def open_of(face: Face) -> Open:
    """What the next ring meets."""
    return face.coupling, face.plug


def rings_by_coupling(rings: Iterable[Ring]) -> RingTable:
    """Table of these rings; most can be used both ways."""
    alike: dict[tuple[Open, Open, bool], list[tuple[Ring, Face]]] = {}
    for ring in sorted(rings, key=order_of_ring):
        ways = {((taken.coupling, not taken.plug), open_of(left)): left for taken, left in ways_of(ring)}
        for (takes, leaves), left in ways.items():
            same = alike.setdefault((takes, leaves, ring.owned), [])
            if len(same) < MOST_PARALLEL:
                same.append((ring, left))
    table: dict[Open, list[tuple[Ring, Face]]] = {}
    for (takes, _, _), same in alike.items():
        table.setdefault(takes, []).extend(same)
    return {takes: tuple(choices) for takes, choices in table.items()}


def order_of_ring(ring: Ring) -> tuple[float, float, str]:
    """Order of rings that do the same; a clear diameter that is not known limits nothing.

    Returns
    -------
    tuple, length in mm, clear diameter in mm with its sign changed, and id
    """
    return ring.length_mm, -math.inf if ring.clear_diameter_mm is None else -ring.clear_diameter_mm, ring.id


def ways_of(ring: Ring) -> tuple[tuple[Face, Face], ...]:
    """Both ways to use a ring: the face that is taken, and the one that is left."""
    return (ring.front, ring.rear), (ring.rear, ring.front)


def merge_own_mounts(mounts: Iterable[Mount]) -> Mapping[str, Mount]:
    """Mounts of the catalogue and a kit's own, by id."""
    return {**MOUNTS, **{mount.id: mount for mount in mounts}}


class Kit(Struct, frozen=True, dict=True):
    """The whole kit.

    `mounts` are its own beside the catalogue's. `revision` changes with what the kit says, not with how its file is laid
    out. `listing` is the kit as it was read, with its defaults filled in, ready for JSON.
    """

    name: str
    origin: Origin
    revision: str
    listing: Mapping[str, object]
    currency: str | None = None
    mounts: tuple[Mount, ...] = ()
    cameras: tuple[Camera, ...] = ()
    lenses: tuple[Lens, ...] = ()
    tubes: tuple[Tube, ...] = ()
    bellows: tuple[Bellows, ...] = ()
    reversing_rings: tuple[Ring, ...] = ()
    step_rings: tuple[Ring, ...] = ()
    mount_adapters: tuple[Ring, ...] = ()
    close_up_lenses: tuple[CloseUpLens, ...] = ()
    converters: tuple[Converter, ...] = ()
    objectives: tuple[Objective, ...] = ()

    @property
    def rings(self) -> tuple[Ring, ...]:
        """Reversing rings, step rings and mount adapters."""
        return self.reversing_rings + self.step_rings + self.mount_adapters

    def parts(self) -> Iterator[TrainPart]:
        """Everything that can stand in a train."""
        yield from self.lenses
        yield from self.tubes
        yield from self.bellows
        yield from self.rings
        yield from self.close_up_lenses
        yield from self.converters
        yield from self.objectives

    @cached_property
    def by_id(self) -> Mapping[str, TrainPart]:
        """Every part of a train by its id."""
        return {part.id: part for part in self.parts()}

    @property
    def number_of_parts(self) -> int:
        """Cameras and everything that can stand in a train."""
        return len(self.cameras) + len(self.by_id)

    @cached_property
    def rings_by_coupling(self) -> RingTable:
        """Table of the usable rings: owned and at hand."""
        return rings_by_coupling(ring for ring in self.rings if ring.owned and ring.available)

    @cached_property
    def cameras_by_id(self) -> Mapping[str, Camera]:
        """Every camera by its id."""
        return {camera.id: camera for camera in self.cameras}

    @cached_property
    def all_mounts(self) -> Mapping[str, Mount]:
        """The catalogue's mounts and the kit's own, by id."""
        return merge_own_mounts(self.mounts)
