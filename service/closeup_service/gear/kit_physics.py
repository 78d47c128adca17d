"""What the physics refuses of one part of a kit, whatever it is joined to: every set-up with such a part would fail.

Each part is built as a set-up builds it, from the kit as it was read; what is missing, or is no number within its bounds, is
told at that member by the checks of members.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, cast

from closeup_service.gear.kit_faults import (
    Fault,
    Members,
    all_registers,
    number_of,
    plane_faults,
    rows,
    settings_of,
    word_of,
)
from closeup_service.gear.kit_parts import CLOSE_UP_LENS_MEMBERS, CONVERTER_MEMBERS, LENS_MEMBERS, OBJECTIVE_MEMBERS
from closeup_service.language import mark, tr
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.elements import Builder
from closeup_service.set_ups.pointers import as_pointer

if TYPE_CHECKING:
    from closeup_service.records import requests

GLASS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "close_up_lenses": (mark("close-up-lens"), CLOSE_UP_LENS_MEMBERS),
    "converters": (mark("teleconverter"), CONVERTER_MEMBERS),
    "objectives": (mark("objective"), OBJECTIVE_MEMBERS),
}
"""Element that each group of parts with glass becomes, and its members."""

NEEDED: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "lens": (("focal_length_mm",),),
    "close-up-lens": (("power_dpt", "focal_length_mm"),),
    "teleconverter": (("factor",), ("added_length_mm", "focal_length_mm")),
    "objective": (("magnification",), ("numerical_aperture",), ("tube_lens_focal_length_mm", "tube_length_mm")),
}
"""One member of each row is needed to build the element."""

ANY_REGISTER_MM = 45.0
"""Register of the camera before which parts are built; no part alone fails by it."""


def impossible_parts(kit: Members) -> Iterator[Fault]:
    """Every part that no set-up can hold, with the paths to the members that make it impossible."""
    for group, (kind, names) in GLASS.items():
        for index, part in rows(kit, group):
            element = cast("requests.Element", {"element": kind, **numbers(part, names)})
            for path, text in refusals(element, part_name(kind, part)):
                yield (group, index, *path), text
    registers = all_registers(kit)
    for index, lens in rows(kit, "lenses"):
        for path, text in lens_refusals(lens, registers):
            yield ("lenses", index, *path), text


def lens_refusals(lens: Members, registers: Mapping[str, float | None]) -> Iterator[Fault]:
    """What is refused of a lens at each of its settings."""
    register = registers.get(word_of(lens, "mount") or "")
    for path, setting in settings_of(lens):
        if any(plane_faults(setting, register)):
            continue
        element = cast("requests.Lens", {"element": "lens", **numbers(setting, LENS_MEMBERS)})
        if "rear_principal_plane_mm" not in element and register is not None:
            element.setdefault("register_mm", register)
        at = tr(", setting {id}", id=setting["id"]) if path and word_of(setting, "id") else ""
        for rest, text in refusals(element, part_name(mark("lens"), lens) + at):
            yield (*path, *rest), f"{text} {describe_check(element)}"


def refusals(element: requests.Element, what: str) -> Iterator[Fault]:
    """What the physics refuses of one element."""
    if not all(any(name in element for name in row) for row in NEEDED[element["element"]]):
        return
    try:
        Builder(ANY_REGISTER_MM, POINT, {}).part(element, "")
    except OpticsError as error:
        for member in map(as_pointer, error.members):
            yield (member.removeprefix("/"),), f"{what}: {error}"
    except ArithmeticError:
        return


def numbers(part: Members, names: tuple[str, ...]) -> dict[str, object]:
    """Members of a part that are numbers."""
    return {name: value for name in names if (value := number_of(part, name)) is not None}


def part_name(kind: str, part: Members) -> str:
    """Words for a part: its kind and its id."""
    return tr("The {kind} {id}", kind=tr(kind), id=(word_of(part, "id") or "")[:64]).rstrip()


def describe_check(element: requests.Lens) -> str:
    """Say where the planes of a lens come from."""
    own, register = element.get("rear_principal_plane_mm"), element.get("register_mm")
    focal_length = element.get("focal_length_mm")
    rear = tr("Its rear plane is as stated")
    if own is None and register is not None and focal_length is not None:
        rear = tr(
            "Its rear plane lies {register:.6g} mm behind the flange, register less focal length",
            register=register - focal_length,
        )
    return tr(
        "{rear}. Check front_principal_plane_mm (rim to plane, positive inwards), "
        "principal_plane_separation_mm (negative where the planes are crossed), the focal length, and the "
        "mount; leave out what is not measured.",
        rear=rear,
    )
