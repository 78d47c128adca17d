"""From an element of the set-up document to a part of the train.

The builders take mappings in the vocabulary of the document, floats or columns alike. What they assume they write into
`assumed`, keyed by JSON pointer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic

from msgspec import Struct

from closeup_service.language import mark
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import Arithmetic, R, absolute
from closeup_service.optics.errors import Contradiction, Undetermined
from closeup_service.optics.lens import ThickLens
from closeup_service.optics.parts import Part, Stop, lens_part, spacer_part
from closeup_service.set_ups.criterion import Assumed

if TYPE_CHECKING:
    from closeup_service.records import requests

EYEPIECE_SEAT_MM = 10.0
"""The intermediate image of a finite-conjugate objective lies this far inside the tube's end (ISO 9345, from memory)."""

PARFOCAL_MM = 45.0
"""The usual parfocal distance of finite-conjugate objectives (ISO 9345, from memory)."""

DESIGN_LENGTH_TOLERANCE_MM = 0.5
"""A finite-conjugate objective of unknown focal length is taken at its engraved magnification within this."""

AGREEMENT_MM = 0.01
"""Two statements of the same plane may differ by rounding of published figures."""

OTHER_REGISTER_MM = 2.0
"""A lens measured so far from the register of its mount has another mount: infinity stops are set with a play of some tenths
of a millimetre (common practice, no source)."""


class Builder(Struct, Generic[R], frozen=True):
    """Turns elements into parts before a camera of the given register [mm]."""

    camera_register: R
    arithmetic: Arithmetic[R]
    assumed: Assumed[R]

    def part(self, element: requests.Element[R], pointer: str) -> Part[R]:
        """Build one element's part; parts of a kit have become plain ones before."""
        if element["element"] == "lens":
            return build_lens(self, element, pointer)
        if element["element"] == "spacer":
            return build_spacer(self, element, pointer)
        if element["element"] == "close-up-lens":
            return build_close_up_lens(self, element, pointer)
        if element["element"] == "teleconverter":
            return build_teleconverter(self, element, pointer)
        if element["element"] == "objective":
            return build_objective(self, element, pointer)
        raise KeyError(element["element"])

    def take(self, value: R | None, pointer: str, default: R) -> R:
        """Take the member's value, or the default, which is noted as assumed."""
        if value is None:
            self.assumed[pointer] = default
            return default
        return value


def build_lens(builder: Builder[R], element: requests.Lens[R], pointer: str) -> Part[R]:
    """Lens on its mount or turned round, at its infinity stop or focused nearer."""
    f = element["focal_length_mm"]
    f_number = element.get("f_number")
    rear_plane = rear_principal_plane(builder, element, pointer)
    carried = builder.take(element.get("focusing_extension_mm"), f"{pointer}/focusing_extension_mm", 0.0)
    pupil_magnification = builder.take(element.get("pupil_magnification"), f"{pointer}/pupil_magnification", 1.0)
    lens = ThickLens.from_marks(
        f,
        1.0 if f_number is None else f_number,
        pupil_magnification,
        front_gap=element.get("front_principal_plane_mm"),
        separation=element.get("principal_plane_separation_mm"),
        rear_gap=None if rear_plane is None else rear_gap_of_lens(carried, rear_plane),
    )
    front, rear = f"{pointer}/front_principal_plane_mm", f"{pointer}/register_mm"
    if element.get("reversed"):
        lens, front, rear = lens.reverse(), rear, front
    needs = {
        kind: member
        for kind, value, member in (
            ("front_gap", lens.front_gap, front),
            ("separation", lens.separation, f"{pointer}/principal_plane_separation_mm"),
            ("rear_gap", lens.rear_gap, rear),
            ("stop", f_number, f"{pointer}/f_number"),
        )
        if value is None
    }
    part = lens_part(lens, pointer, f_number, needs)
    if part.length is not None:
        builder.arithmetic.refuse(
            part.length <= 0,
            Contradiction,
            mark(
                "These planes would make the lens {length:.4g} mm long from rim to flange: one of them is wrong.",
            ),
            *(f"{pointer}/{name}" for name in ("front_principal_plane_mm", "principal_plane_separation_mm")),
            length=part.length,
        )
    return part


def rear_gap_of_lens(carried: R, rear_plane: R) -> R:
    """Rear principal plane to mount flange [mm] of a lens carried out so far to focus; at infinity the plane lies there.

    Parameters
    ----------
    carried : float or array, run out to focus, mm
    rear_plane : float or array, flange to rear principal plane at infinity, mm

    Returns
    -------
    float or array, mm
    """
    return carried - rear_plane


def rear_principal_plane(builder: Builder[R], element: requests.Lens[R], pointer: str) -> R | None:
    """Mount flange to rear principal plane [mm], positive towards the camera, at infinity focus.

    A lens that focuses infinity on its own mount has it register - focal length behind its flange, exactly.

    Returns
    -------
    float or array or None, mm

    Raises
    ------
    Contradiction
        Where register and plane cannot both be true.
    """
    given: R | None = element.get("rear_principal_plane_mm")
    register = element.get("register_mm")
    if register is None:
        return given
    by_register: R = formulas.rear_plane(register, element["focal_length_mm"])
    if given is not None:
        builder.arithmetic.refuse(
            absolute(given - by_register) > AGREEMENT_MM,
            Contradiction,
            mark(
                "register_mm less focal_length_mm puts the rear principal plane at {by_register:.6g} mm, "
                "rear_principal_plane_mm at {given:.6g} mm. Give one of the two.",
            ),
            f"{pointer}/register_mm",
            f"{pointer}/rear_principal_plane_mm",
            by_register=by_register,
            given=given,
        )
    return by_register


def build_spacer(builder: Builder[R], element: requests.Spacer[R], pointer: str) -> Part[R]:
    """Tube, ring, bellows, helicoid or adapter."""
    del builder
    return spacer_part(pointer, element["length_mm"], element.get("clear_diameter_mm"))


def build_close_up_lens(builder: Builder[R], element: requests.CloseUpLens[R], pointer: str) -> Part[R]:
    """Supplementary close-up lens: power in dioptres or focal length; thin unless its planes are given."""
    power = element.get("power_dpt")
    power = 1 / element["focal_length_mm"] if power is None else power_of_dioptres(power)
    length = builder.take(element.get("length_mm"), f"{pointer}/length_mm", 0.0)
    front = builder.take(element.get("front_principal_plane_mm"), f"{pointer}/front_principal_plane_mm", 0.0)
    rear = builder.take(element.get("rear_principal_plane_mm"), f"{pointer}/rear_principal_plane_mm", 0.0)
    return Part(pointer, power, front, length - front + rear, -rear)


def power_of_dioptres(dioptres: R) -> R:
    """Power [1/mm] of so many dioptres.

    Parameters
    ----------
    dioptres : float or array, 1/m
    """
    return dioptres / 1000


def build_teleconverter(builder: Builder[R], element: requests.Teleconverter[R], pointer: str) -> Part[R]:
    """Negative lens of factor k between lens and camera.

    It takes the image u = ft (1 - k)/k behind its first principal plane and puts it k u behind the second, both at the
    register behind its faces. Thin: ft = -k added/(k - 1)^2. Source: W. J. Smith, *Modern Optical Engineering*, ch. 2
    (from memory); proved against a real negative element.
    """
    k = element["factor"]
    added, f = element.get("added_length_mm"), element.get("focal_length_mm")
    if f is None:
        assert added is not None
        f = builder.take(element.get("focal_length_mm"), f"{pointer}/focal_length_mm", converter_focal_length(k, added))
    if added is None:
        added = builder.take(element.get("added_length_mm"), f"{pointer}/added_length_mm", -f * (k - 1) * (k - 1) / k)
    register = builder.take(element.get("register_mm"), f"{pointer}/register_mm", builder.camera_register)
    to_object = f * (1 - k) / k
    to_image = k * to_object
    front_gap, rear_gap = register - to_object, to_image - register
    return Part(pointer, 1 / f, front_gap, added - front_gap - rear_gap, rear_gap)


def converter_focal_length(factor: R, added_length: R) -> R:
    """Focal length [mm] of a thin converter that makes the whole so much longer [mm].

    Parameters
    ----------
    factor : float or array, of the converter, above 1
    added_length : float or array, mm

    Returns
    -------
    float or array, mm
    """
    return -factor * added_length / ((factor - 1) * (factor - 1))


def build_objective(builder: Builder[R], element: requests.Objective[R], pointer: str) -> Part[R]:
    """Microscope objective, its stop in its rear focal plane, so that its numerical aperture is as engraved."""
    if element.get("tube_lens_focal_length_mm") is not None:
        return infinity_objective(builder, element, pointer)
    return finite_objective(builder, element, pointer)


def infinity_objective(builder: Builder[R], element: requests.Objective[R], pointer: str) -> Part[R]:
    """Infinity-corrected objective: focal length = rated tube lens / magnification; rear focal plane at the shoulder."""
    f = infinity_focal_length(element["tube_lens_focal_length_mm"], element["magnification"])
    return objective_part(builder, element, pointer, f, f, rear_gap=f)


def finite_objective(builder: Builder[R], element: requests.Objective[R], pointer: str) -> Part[R]:
    """Objective made to throw its image at the engraved magnification a fixed distance behind its shoulder."""
    engraved = element["magnification"]
    image_distance = behind_shoulder(element["tube_length_mm"])
    builder.assumed[f"{pointer}/image_distance_mm"] = image_distance
    f = element.get("focal_length_mm")
    if f is None:
        parfocal = builder.take(element.get("parfocal_distance_mm"), f"{pointer}/parfocal_distance_mm", PARFOCAL_MM)
        f = finite_focal_length(parfocal, image_distance, engraved)
        builder.assumed[f"{pointer}/focal_length_mm"] = f
    return objective_part(
        builder, element, pointer, f, f * (1 + 1 / engraved), rear_gap=f * (1 + engraved) - image_distance
    )


def infinity_focal_length(tube_lens_focal_length: R, magnification: R) -> R:
    """Focal length [mm] of an objective that has this magnification with its rated tube lens.

    Parameters
    ----------
    tube_lens_focal_length : float or array, mm
    magnification : float or array, sensor/subject
    """
    return tube_lens_focal_length / magnification


def behind_shoulder(tube_length: R) -> R:
    """Image of a finite-conjugate objective behind its shoulder [mm].

    Parameters
    ----------
    tube_length : float or array, mm

    Returns
    -------
    float or array, mm
    """
    return tube_length - EYEPIECE_SEAT_MM


def finite_focal_length(parfocal: R, image_distance: R, magnification: R) -> R:
    """Focal length [mm] of an objective, thin, that throws its image at that magnification so far behind its shoulder.

    Parameters
    ----------
    parfocal : float or array, mm
    image_distance : float or array, image behind the shoulder, mm
    magnification : float or array, sensor/subject
    """
    return (parfocal + image_distance) / (magnification + 2 + 1 / magnification)


def objective_part(
    builder: Builder[R], element: requests.Objective[R], pointer: str, f: R, subject_distance: R, rear_gap: R
) -> Part[R]:
    """Part from front glass to shoulder; its working distance places the front plane, its parfocal distance the length.

    Parameters
    ----------
    f : float or array, focal length, mm
    subject_distance : float or array, subject to first principal plane, mm
    rear_gap : float or array, rear principal plane to shoulder, mm

    Returns
    -------
    Part, lengths in mm

    Raises
    ------
    Contradiction
        Where the lengths of the objective contradict each other.
    """
    working_distance = element.get("working_distance_mm")
    parfocal = element.get("parfocal_distance_mm")
    if working_distance is not None and parfocal is not None:
        builder.arithmetic.refuse(
            parfocal <= working_distance,
            Contradiction,
            mark(
                "An objective that is sharp {parfocal:.4g} mm before its shoulder cannot leave {free:.4g} mm free "
                "before its glass: one of the two is wrong.",
            ),
            f"{pointer}/parfocal_distance_mm",
            f"{pointer}/working_distance_mm",
            parfocal=parfocal,
            free=working_distance,
        )
    needs = {}
    front_gap = separation = None
    if working_distance is None:
        needs["front_gap"] = f"{pointer}/working_distance_mm"
    else:
        front_gap = subject_distance - working_distance
    if parfocal is None:
        needs["separation"] = f"{pointer}/parfocal_distance_mm"
    else:
        separation = parfocal - subject_distance - rear_gap
    return Part(
        pointer,
        1 / f,
        front_gap,
        separation,
        rear_gap,
        (objective_stop(f, element["numerical_aperture"]),),
        needs=needs,
    )


def objective_stop(f: R, numerical_aperture: R) -> Stop[R]:
    """Stop of an objective in its rear focal plane.

    Parameters
    ----------
    f : float or array, focal length, mm
    numerical_aperture : float or array, as engraved

    Returns
    -------
    Stop, mm
    """
    return Stop(f, f * numerical_aperture)


def refuse_off_design(
    element: requests.Objective[R], pointer: str, image_distance: R, arithmetic: Arithmetic[R]
) -> None:
    """Refuse a finite-conjugate objective of unknown focal length away from the image distance it was made for.

    Parameters
    ----------
    image_distance : float or array, image behind the shoulder, mm

    Raises
    ------
    Undetermined
        Where the image distance is not the design's.
    """
    design = behind_shoulder(element["tube_length_mm"])
    arithmetic.refuse(
        absolute(image_distance - design) > DESIGN_LENGTH_TOLERANCE_MM,
        Undetermined,
        mark(
            "The sensor stands {at:.4g} mm behind the objective's shoulder, and it was made for {design:.4g} mm. "
            "Give focal_length_mm to use it there, or change the length between them.",
        ),
        f"{pointer}/focal_length_mm",
        at=image_distance,
        design=design,
    )
