"""The optical train: any row of thick parts and gaps before a sensor, reduced to what it does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Generic

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics.aperture import Aperture, find_aperture_stop
from closeup_service.optics.arithmetic import Arithmetic, Condition, R, absolute
from closeup_service.optics.errors import FocusedAtInfinity, NoRealSubject, Undetermined
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.optics.matrices import (
    INFINITY_FOCUS,
    Chain,
    Matrix,
    chain_matrices,
    first_powered_part,
    matrix_to_sensor,
    missing_members,
    require_gap,
)
from closeup_service.optics.parts import Part


class Trace(Struct, Generic[R], frozen=True):
    """What the train does with the sensor where it stands. Lengths in mm.

    `signed_magnification` is positive when the image is inverted. `subject_distance` runs from the subject to the first
    principal plane of the first powered part, `front_to_plane` from the train's front face to that plane.
    """

    signed_magnification: R
    subject_distance: R
    front_to_plane: R | None
    planes_to_sensor: R | None
    aperture: Aperture[R] | None
    needs: Mapping[str, tuple[str, ...]]


def trace(parts: Sequence[Part[R]], camera_register: R, arithmetic: Arithmetic[R]) -> Trace[R]:
    """Reduce a train, subject first, before a sensor `camera_register` mm behind its last face.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm

    Returns
    -------
    Trace, lengths in mm

    Raises
    ------
    FocusedAtInfinity
        Where no subject at a finite distance is in focus.
    """
    first = first_powered_part(parts)
    chained = chain_matrices(parts, first, camera_register, arithmetic)
    last = chained.matrices[-1]
    sensor = matrix_to_sensor(parts, last, camera_register)
    labels = tuple(part.label for part in parts)
    arithmetic.refuse(
        absolute(sensor.a) < INFINITY_FOCUS,
        FocusedAtInfinity,
        mark(
            "The train is focused at infinity: the magnification is zero. Add extension.",
        ),
        *labels,
    )
    distance = sensor.subject_distance
    if sum(part.powered for part in parts) == 1:
        refuse_virtual_subject_of_one_lens(sensor, last, labels, arithmetic)
    else:
        inverted = sensor.a < 0
        refuse_virtual_subject(
            distance, front_to_plane_distance(parts, first), parts[first], inverted, labels, arithmetic
        )
    needs = collect_needs(parts, first, chained)
    return Trace(
        signed_magnification=-sensor.a,
        subject_distance=distance,
        front_to_plane=front_to_plane_distance(parts, first),
        planes_to_sensor=None if "length" in needs else planes_to_sensor_distance(parts, first, camera_register),
        aperture=None if "stop" in needs else find_aperture_stop(parts, first, chained, distance, arithmetic),
        needs=needs,
    )


def refuse_virtual_subject_of_one_lens(
    sensor: Matrix[R], last: Matrix[R], labels: tuple[str, ...], arithmetic: Arithmetic[R]
) -> None:
    """Refuse what would be an erect image: the sensor stands before the lens's infinity focus.

    That focus lies -a/c behind the second principal plane, so the sensor falls short of it by -sensor.a/c.

    Raises
    ------
    NoRealSubject
        Where the image would be erect.
    """
    erect = sensor.a > 0
    arithmetic.refuse(
        erect & (last.c >= 0),
        NoRealSubject,
        mark(
            "No real subject plane: this part spreads light instead of gathering it. Put a lens into the train.",
        ),
        *labels,
    )
    arithmetic.refuse(
        erect,
        NoRealSubject,
        mark(
            "No real subject plane: the sensor stands {short:.4g} mm before the lens's focus for infinity. Add "
            "more extension than that, or use a shorter focal length.",
        ),
        *labels,
        short=-sensor.a / last.c,
    )


def refuse_virtual_subject(
    distance: R,
    to_plane: R | None,
    front: Part[R],
    inverted: Condition,
    labels: tuple[str, ...],
    arithmetic: Arithmetic[R],
) -> None:
    """Refuse a subject behind the front of several parts; before their first principal plane is not before the glass.

    That plane can lie in front of the glass, as in a retrofocus lens reversed, and a real subject between the two. Of a
    virtual subject the image is inverted just where the parts behind are focused too near for a front part that gathers.

    Parameters
    ----------
    distance : float or array, subject to first principal plane, mm
    to_plane : float or array or None, front face to first principal plane, mm
    inverted : bool or array, whether the image is inverted

    Raises
    ------
    NoRealSubject
        Where the subject is virtual.
    Undetermined
        Where the place of the front glass is not known.
    """
    if to_plane is None:
        arithmetic.refuse(
            distance <= 0,
            Undetermined,
            mark(
                "The subject would lie {behind:.4g} mm behind the front part's first principal plane: whether that "
                "is before its glass is not determined without {member}. {hint}",
            ),
            front.needs["front_gap"],
            behind=-distance,
            member=front.needs["front_gap"],
            hint=how_to_find(front.needs["front_gap"]),
        )
    else:
        virtual = (distance <= 0) & (distance <= to_plane)
        too_near = mark(
            "No real subject plane: it would lie {behind:.4g} mm behind the front of the set-up. The parts behind the front "
            "one are focused too near for it: use less extension or a shorter gap."
        )
        not_near = mark(
            "No real subject plane: it would lie {behind:.4g} mm behind the front of the set-up. Add extension behind, or "
            "use a stronger lens in front."
        )
        arithmetic.refuse(virtual & inverted, NoRealSubject, too_near, *labels, behind=to_plane - distance)
        arithmetic.refuse(virtual, NoRealSubject, not_near, *labels, behind=to_plane - distance)


def front_to_plane_distance(parts: Sequence[Part[R]], first: int) -> R | None:
    """Front face of the train to the first principal plane of the first powered part, mm.

    Returns
    -------
    float or array or None, mm
    """
    front_gap = parts[first].front_gap
    if front_gap is None:
        return None
    return front_gap + sum(require_gap(part, "rear_gap") for part in parts[:first])


def planes_to_sensor_distance(parts: Sequence[Part[R]], first: int, camera_register: R) -> R:
    """First principal plane of the first powered part to the sensor, mm, where every gap and separation is known.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm

    Returns
    -------
    float or array, mm
    """
    gaps = (require_gap(before, "rear_gap") + require_gap(part, "front_gap") for before, part in pairs(parts, first))
    separations = (require_gap(part, "separation") for part in parts[first:])
    return sum(gaps, require_gap(parts[-1], "rear_gap") + camera_register) + sum(separations)


def pairs(parts: Sequence[Part[R]], first: int) -> list[tuple[Part[R], Part[R]]]:
    """Neighbours, from the first powered part on."""
    return list(zip(parts[first:], parts[first + 1 :], strict=False))


def collect_needs(parts: Sequence[Part[R]], first: int, chained: Chain[R]) -> dict[str, tuple[str, ...]]:
    """Which members would determine what the train leaves open: front gap, length, stops, pupil."""
    needs: dict[str, tuple[str, ...]] = {}
    if parts[first].front_gap is None:
        needs["front_gap"] = (parts[first].needs["front_gap"],)
    gaps: list[str] = [member for before, part in pairs(parts, first) for member in missing_members(before, part)]
    separations: list[str] = [part.needs["separation"] for part in parts if "separation" in part.needs]
    if gaps or separations:
        needs["length"] = (*gaps, *separations)
    stops = tuple(part.needs["stop"] for part in parts if "stop" in part.needs)
    if stops:
        needs["stop"] = stops
    elif not any(part.stops for part in parts):
        needs["stop"] = ("train",)
    elif "front_gap" in needs and any(part.stops for part in parts[:first]):
        needs["stop"] = needs["front_gap"]
    if chained.gap:
        needs["pupil"] = chained.gap
    return needs
