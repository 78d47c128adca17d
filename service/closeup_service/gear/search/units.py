"""Units: the glass of a search, each as light meets it from its first principal plane to its rear face.

A ray that starts on the axis at slope u, s before that plane, has there the height s u; every opening and iris behind is
the height that it has there, b + a s for u = 1 (`optics.aperture`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, TypeVar, cast

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.kit import CloseUpLens, Converter, Face, Kit, Lens, Objective, Part, Setting
from closeup_service.gear.kit_parts import (
    CLOSE_UP_LENS_MEMBERS,
    CONVERTER_MEMBERS,
    LENS_MEMBERS,
    OBJECTIVE_MEMBERS,
    known_members,
)
from closeup_service.gear.search.joints import Joint, Joints, Use
from closeup_service.optics.aperture_series import stop_down
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.matrices import Matrix
from closeup_service.set_ups.elements import EYEPIECE_SEAT_MM, Builder

if TYPE_CHECKING:
    from closeup_service.records import requests

Owned = TypeVar("Owned", bound=Part)

Row = tuple[float, float, float]
"""An opening: a, b, and its radius [mm]."""

STOPPED_DOWN = 2.0
"""A lens of unknown sharpness is assumed best about two stops down from its widest mark (common practice, no source)."""


class Iris(Struct, frozen=True):
    """An iris: a, b, its radius at f/1 [mm], and the marks of its ring."""

    a: float
    b: float
    radius: float
    marks: tuple[float, ...]
    sharp_from: float | None
    best_mark: float


def best_mark_of(setting: Setting) -> float:
    """Mark at which a lens is sharpest by itself: what the kit states, or else about two stops from the widest.

    Returns
    -------
    float, f-number
    """
    if setting.sharp_from_f_number is not None:
        return setting.sharp_from_f_number
    return stop_down(setting.marks[0].nominal, STOPPED_DOWN, setting.marks).nominal


class Unit(Struct, frozen=True):
    """Parts with glass, joined; NaN where a length is not known.

    `matrix` runs from the first principal plane to the rear face, `front_gap` from the front face to that plane, `length`
    from that plane to the rear face, along the axis. `reach` is how far something stands out before the front face.
    `design` is the length from the rear face to the sensor that alone is right, NaN where any is. `powered` counts the
    parts with glass; `infinity` marks an objective that wants parallel light behind it.
    """

    uses: tuple[Use, ...]
    rings: tuple[str, ...]
    matrix: Matrix
    front_gap: float
    length: float
    reach: float
    rear: Face
    iris: Iris | None
    openings: tuple[Row, ...] = ()
    powered: int = 1
    design: float = math.nan
    infinity: bool = False


def number_of(value: float | None) -> float:
    """What is not known is NaN.

    Parameters
    ----------
    value : float or None, in any unit

    Returns
    -------
    float, in the same unit
    """
    return math.nan if value is None else value


def lens_units(kit: Kit, camera_register: float, *, reversed_: bool) -> Iterator[tuple[Lens, Unit]]:
    """Yield every lens at every setting, as mounted normally or turned round; those without marks are left out.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm
    """
    for lens in usable_parts(kit.lenses):
        rear = lens.front if reversed_ else lens.rear
        if rear is None:
            continue
        for setting in lens.settings:
            if setting.marks:
                yield lens, lens_unit(lens, setting, rear, camera_register, reversed_)


def lens_unit(lens: Lens, setting: Setting, rear: Face, camera_register: float, reversed_: bool) -> Unit:
    """One lens at one setting, focused at infinity.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm

    Returns
    -------
    Unit, lengths in mm
    """
    element = {"element": "lens", "f_number": 1.0, "reversed": reversed_, **known_members(setting, LENS_MEMBERS)}
    use: Use = {"use": lens.id}
    if len(lens.settings) > 1:
        use["setting"] = setting.id
    if reversed_:
        use["reversed"] = True
    part = Builder(camera_register, POINT, {}).part(cast("requests.Lens", element), "")
    matrix = Matrix(1.0, 0.0, -part.power, 1.0)
    stop = part.stops[0]
    place = matrix.cross_gap(stop.offset)
    marks = tuple(mark.nominal for mark in setting.marks)
    return Unit(
        (use,),
        (),
        matrix.cross_gap(number_of(part.rear_gap)),
        number_of(part.front_gap),
        number_of(part.separation) + number_of(part.rear_gap),
        max(0.0, setting.front_protrusion_mm or 0.0),
        rear,
        Iris(place.a, place.b, stop.radius, marks, setting.sharp_from_f_number, best_mark_of(setting)),
    )


def close_up_unit(lens: CloseUpLens, camera_register: float) -> Unit:
    """One close-up lens.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm

    Returns
    -------
    Unit, lengths in mm
    """
    element = {"element": "close-up-lens", **known_members(lens, CLOSE_UP_LENS_MEMBERS)}
    return plain_unit(lens.id, element, lens.rear, camera_register)


def converter_unit(converter: Converter, camera_register: float) -> Unit:
    """One converter.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm

    Returns
    -------
    Unit, lengths in mm
    """
    element = {"element": "teleconverter", **known_members(converter, CONVERTER_MEMBERS)}
    return plain_unit(converter.id, element, converter.rear, camera_register)


def objective_unit(objective: Objective, camera_register: float) -> Unit:
    """One microscope objective; a finite-conjugate one of unknown focal length has its design length.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm

    Returns
    -------
    Unit, lengths in mm
    """
    element = {"element": "objective", **known_members(objective, OBJECTIVE_MEMBERS)}
    unit = plain_unit(objective.id, element, objective.rear, camera_register)
    if objective.tube_length_mm is None:
        return replace(unit, infinity=True)
    own = objective.focal_length_mm is not None
    return replace(unit, design=math.nan if own else objective.tube_length_mm - EYEPIECE_SEAT_MM)


def plain_unit(part_id: str, element: Mapping[str, object], rear: Face, camera_register: float) -> Unit:
    """Unit of an element without an iris of its own ring.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm

    Returns
    -------
    Unit, lengths in mm
    """
    part = Builder(camera_register, POINT, {}).part(cast("requests.Element", element), "")
    matrix = Matrix(1.0, 0.0, -part.power, 1.0)
    rear_gap = number_of(part.rear_gap)
    places = [(matrix.cross_gap(stop.offset), stop.radius) for stop in part.stops]
    return Unit(
        ({"use": part_id},),
        (),
        matrix.cross_gap(rear_gap),
        number_of(part.front_gap),
        number_of(part.separation) + rear_gap,
        0.0,
        rear,
        None,
        tuple((place.a, place.b, radius) for place, radius in places),
    )


def usable_parts(parts: Iterable[Owned]) -> list[Owned]:
    """Parts that are owned and at hand, by id."""
    return sorted((part for part in parts if part.owned and part.available), key=lambda part: part.id)


def join_units(first: Unit, joint: Joint, second: Unit) -> Unit:
    """Unit of two with a joint between them; the first one's iris is left out of it."""
    matrix = first.matrix
    to_second = joint.length + second.front_gap
    before = matrix.cross_gap(to_second)
    openings = list(first.openings)
    for place, radius in joint.openings:
        at = matrix.cross_gap(place)
        openings.append((at.a, at.b, radius))
    openings += [(*opening_seen_through(a, b, before), radius) for a, b, radius in second.openings]
    iris = second.iris
    if iris is not None:
        a, b = opening_seen_through(iris.a, iris.b, before)
        iris = replace(iris, a=a, b=b)
    rear = second.matrix
    return Unit(
        (*first.uses, *joint.uses, *second.uses),
        (*first.rings, *joint.ids, *second.rings),
        Matrix(
            rear.a * before.a + rear.b * before.c,
            rear.a * before.b + rear.b * before.d,
            rear.c * before.a + rear.d * before.c,
            rear.c * before.b + rear.d * before.d,
        ),
        first.front_gap,
        first.length + to_second + second.length,
        first.reach,
        second.rear,
        iris,
        tuple(openings),
        first.powered + second.powered,
        second.design,
        second.infinity,
    )


def opening_seen_through(a: float, b: float, before: Matrix) -> tuple[float, float]:
    """Row of an opening of the second unit, seen from before the first one.

    Parameters
    ----------
    a : float, ratio
    b : float, mm

    Returns
    -------
    two floats, a as ratio and b in mm
    """
    return a * before.a + b * before.c, a * before.b + b * before.d


def attachments(
    kit: Kit, joints: Joints, camera_register: float, single: bool, coupled: bool, objective: bool
) -> Iterator[Unit]:
    """Yield what can stand before a lens mounted normally: close-up lenses and pairs, a reversed lens, an objective.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm
    """
    if single:
        yield from close_ups(kit, joints, camera_register)
    if coupled:
        for _, unit in lens_units(kit, camera_register, reversed_=True):
            yield unit
    if objective:
        for one in usable_parts(kit.objectives):
            unit = objective_unit(one, camera_register)
            if unit.infinity:
                yield unit


def close_ups(kit: Kit, joints: Joints, camera_register: float) -> Iterator[Unit]:
    """Yield every close-up lens, and every pair of two of them in either order.

    Parameters
    ----------
    camera_register : float, flange to sensor, mm
    """
    lenses = usable_parts(kit.close_up_lenses)
    units = [close_up_unit(lens, camera_register) for lens in lenses]
    yield from units
    for front, front_unit in zip(lenses, units, strict=True):
        for lens, unit in zip(lenses, units, strict=True):
            joint = joints.seek_between(front.rear, lens.front) if lens is not front else None
            if joint is not None:
                yield join_units(front_unit, joint, unit)
