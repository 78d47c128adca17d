"""Where a request holds lenses that are to be estimated, and the request with the data of one possible lens put in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeAlias, cast

from msgspec import Struct

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.families import VIEW_ENLARGING
from closeup_service.estimates.joint import Joint, draw_together
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.lens_members import ESTIMABLE, read_known_lens, stated_data
from closeup_service.estimates.ranges import Range
from closeup_service.language import tr
from closeup_service.optics.errors import Undetermined
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.set_ups.pointers import place_refusal

if TYPE_CHECKING:
    from closeup_service.optics.arithmetic import FloatArray
    from closeup_service.records import requests

Path: TypeAlias = "tuple[str | int, ...]"
Members: TypeAlias = "Mapping[str, object]"

FOCAL_LENGTH = "focal_length_mm"


class Place(Struct, frozen=True):
    """An object of a request that holds data of a lens: which data are to be put in, and which register is assumed there."""

    path: Path
    lens: KnownLens
    wanted: tuple[str, ...]
    takes_focal_length: bool
    register: tuple[str, float] | None = None
    known_at: Path = ()
    """Path of the object that says what is known of the lens."""

    @property
    def pointer(self) -> str:
        """JSON pointer of the object; empty for the request itself."""
        return pointer_of(self.path)

    @property
    def names(self) -> tuple[str, ...]:
        """Data that are put in."""
        takes_focal_length = self.takes_focal_length and self.lens.front_plane_mm is None
        return (*self.wanted, FOCAL_LENGTH) if takes_focal_length else self.wanted

    def data(self, joint: Joint) -> dict[str, FloatArray]:
        """What is put in for the members drawn, as columns."""
        drawn = joint.drawn[self.lens]
        return {name: drawn.datum(name) for name in self.names}

    def ranges(self, joint: Joint) -> dict[str, Range]:
        """Range of each datum that is put in."""
        found = joint.ranges[self.lens]
        return {name: found[name] for name in self.names}

    def medians(self, joint: Joint) -> dict[str, float]:
        """Median of each datum that is put in."""
        return {name: each.value for name, each in self.ranges(joint).items()}

    @property
    def assumed(self) -> dict[str, float]:
        """Register that is assumed, by its name or pointer."""
        if self.register is None:
            return {}
        name, value = self.register
        return {f"{self.pointer}/{name}" if self.path else name: value}

    @property
    def lens_data(self) -> dict[str, float]:
        """What is put in whatever lens it is."""
        return {} if self.register is None else dict([self.register])


def list_one_lens(request: Members, taken: Sequence[str], frames: Sequence[str]) -> Iterator[Place]:
    """Places of the one lens of a quantity: the request itself, and frames within it that state the lens's pupils.

    `taken` names the members that the request may have.
    """
    members: requests.EffectiveFNumberRequest = cast("requests.EffectiveFNumberRequest", request)
    if FOCAL_LENGTH not in members:
        return
    stated = stated_data(request)
    lens = read_known_lens(members, members["focal_length_mm"], members.get("lens_register_mm"), stated)
    wanted = tuple(name for name in ESTIMABLE if name in taken and name not in request)
    if wanted:
        is_assumed = members.get("mounting") == "reversed" and lens.register_mm is None
        register = ("lens_register_mm", lens.flange_mm) if is_assumed else None
        yield Place((), lens, wanted, FOCAL_LENGTH in taken, register)
    for frame in frames:
        inner = request.get(frame)
        if isinstance(inner, Mapping) and states_one_lens(inner) and "pupil_magnification" not in inner:
            yield Place((frame,), lens, ("pupil_magnification",), takes_focal_length=False)


def states_one_lens(frame: Mapping[str, object]) -> bool:
    """Whether a frame states its aperture by one lens."""
    return "effective_f_number" not in frame and ("f_number" in frame or "magnification" in frame)


def list_train(document: requests.FrameSetUp, path: Path = ()) -> Iterator[Place]:
    """Places of the lenses of a train that lack data."""
    for index, element in enumerate(document["train"]):
        if element["element"] != "lens":
            continue
        wanted = tuple(name for name in ESTIMABLE if name not in element)
        if wanted:
            place = place_in_train(document, element, (*path, "train", index), wanted)
            refuse_without_mount(element, place.pointer)
            yield place


def place_in_train(document: requests.FrameSetUp, element: requests.Lens, path: Path, wanted: tuple[str, ...]) -> Place:
    """Place of one lens of a train; a lens on its mount without a register is taken to be made for this camera."""
    register = element.get("register_mm")
    f = element["focal_length_mm"]
    rear = element.get("rear_principal_plane_mm")
    if register is None and rear is not None:
        register = rear + f
    stated = stated_data(element)
    on_camera = register is None and not element.get("reversed") and element.get("lens_class") is None
    lens = read_known_lens(element, f, document["camera"]["register_mm"] if on_camera else register, stated)
    is_assumed = "register_mm" not in element and rear is None
    return Place(path, lens, wanted, True, ("register_mm", lens.flange_mm) if is_assumed else None, path)


def draw_places(places: Sequence[Place], most: int | None = None) -> Joint:
    """Draw members of the lenses of all places together; at most so many.

    Raises
    ------
    Contradiction
        Where what is known of a lens cannot be of one lens, with pointers to where that stands.
    """
    for place in places:
        place_refusal(pointer_of(place.known_at), partial(estimate_lens, place.lens))
    return draw_together([place.lens for place in places], most)


def pointer_of(path: Path) -> str:
    """JSON pointer of a path; empty for the request itself."""
    return "".join(f"/{step}" for step in path)


def refuse_without_mount(element: requests.Lens, pointer: str) -> None:
    """Refuse a lens without a mount of its own that stands on its rear, at a place that nothing tells."""
    placed = "register_mm" in element or "rear_principal_plane_mm" in element or element.get("reversed")
    if element.get("lens_class") == VIEW_ENLARGING.name and not placed:
        member = f"{pointer}/register_mm"
        raise Undetermined(
            tr("Where a lens without a mount of its own stands is not known. {member}", member=how_to_find(member)),
            member,
        )


def put(value: object, path: Path, data: Mapping[str, object]) -> object:
    """Request with data put into the object at a path."""
    if not path:
        return {**cast(Members, value), **data}
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        entries = list(cast("Sequence[object]", value))
        entries[step] = put(entries[step], rest, data)
        return entries
    members = cast(Members, value)
    return {**members, step: put(members[step], rest, data)}
