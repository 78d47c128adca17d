"""Ray matrices along a train of parts.

A ray is (height y, slope u). A gap t is the matrix [[1, t], [0, 1]], a thick part from its first to its second principal
plane [[1, 0], [-1/f, 1]]. Sources: H. Kogelnik and T. Li, *Applied Optics* 5 (1966) 1550; A. Gerrard and J. M. Burch,
*Introduction to Matrix Methods in Optics* (both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, overload

from msgspec import Struct

from closeup_service.language import tr
from closeup_service.optics.arithmetic import Arithmetic, Condition, R, Real, absolute
from closeup_service.optics.errors import Undetermined
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.optics.parts import Part

INFINITY_FOCUS = 1e-9
"""A magnification below this is focus on infinity (rounding alone leaves about 1e-16)."""


class Matrix(Struct, Generic[R], frozen=True):
    """Ray matrix [[a, b], [c, d]] from the first principal plane of the first powered part."""

    a: R
    b: R
    c: R
    d: R

    def cross_gap(self, gap: R) -> Matrix[R]:
        """Return the matrix up to `gap` mm further on.

        Parameters
        ----------
        gap : float or array, mm
        """
        return Matrix(self.a + gap * self.c, self.b + gap * self.d, self.c, self.d)

    def height(self, distance: R) -> R:
        """Height for a slope of 1 from the axial point `distance` mm before the first plane, mm.

        Parameters
        ----------
        distance : float or array, mm

        Returns
        -------
        float or array, mm
        """
        return self.b + self.a * distance

    @property
    def subject_distance(self) -> R:
        """Distance before the first plane of the subject that is sharp here, mm."""
        return -self.b / self.a

    def refract(self, power: R) -> Matrix[R]:
        """Return the matrix behind a part of the given power [1/mm]."""
        return Matrix(self.a, self.b, self.c - power * self.a, self.d - power * self.b)


class Chain(Struct, Generic[R], frozen=True):
    """Matrices behind each part's second principal plane, from the first powered part on.

    `loose` is the index in the train of the first part whose distance from the one before is unknown, which only parallel
    light between the two allows; `gap` names the members that would determine it.
    """

    matrices: tuple[Matrix[R], ...]
    loose: int | None
    gap: tuple[str, ...]


def first_powered_part(parts: Sequence[Part[R]]) -> int:
    """Index of the first part that is not a mere tube."""
    for index, part in enumerate(parts):
        if part.powered:
            return index
    raise Undetermined(tr("The train holds no lens: add one."), "train")


def chain_matrices(parts: Sequence[Part[R]], first: int, camera_register: R, arithmetic: Arithmetic[R]) -> Chain[R]:
    """Matrices from the first powered part's first principal plane to behind each part's second one.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm

    Returns
    -------
    Chain, lengths in mm
    """
    start: Matrix[R] = Matrix(1.0, 0.0, 0.0, 1.0)
    matrix = start.refract(parts[first].power)
    matrices = [matrix]
    loose: int | None = None
    gap: tuple[str, ...] = ()
    for index, part in enumerate(parts[first + 1 :], first + 1):
        before = parts[index - 1]
        missing = missing_members(before, part)
        if missing:
            refuse_unless_parallel(parts[index:], camera_register, missing, arithmetic)
            if loose is None:
                loose, gap = index, missing
        length: R = take_unknown_as_zero(before.rear_gap) + take_unknown_as_zero(part.front_gap)
        matrix = matrix.cross_gap(length).refract(part.power)
        matrices.append(matrix)
    return Chain(tuple(matrices), loose, gap)


@overload
def take_unknown_as_zero(gap: float | None) -> float: ...


@overload
def take_unknown_as_zero(gap: Real | None) -> Real: ...


def take_unknown_as_zero(gap: Real | None) -> Real:
    """Take an unknown gap as none; allowed only where its length does not matter.

    Parameters
    ----------
    gap : float or array or None, mm

    Returns
    -------
    float or array, mm
    """
    return 0.0 if gap is None else gap


def missing_members(before: Part[R], part: Part[R]) -> tuple[str, ...]:
    """Members that would determine the gap between two parts; empty when it is known."""
    missing = []
    if before.rear_gap is None:
        missing.append(before.needs["rear_gap"])
    if part.front_gap is None:
        missing.append(part.needs["front_gap"])
    return tuple(missing)


def refuse_unless_parallel(
    behind: Sequence[Part[R]], camera_register: R, missing: tuple[str, ...], arithmetic: Arithmetic[R]
) -> None:
    """Refuse an unknown gap unless light crosses it parallel: then neither magnification nor distance depends on it.

    It does when what lies behind the gap is focused at infinity.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm
    """
    focus = infinity_focus_miss(behind, camera_register, arithmetic)
    arithmetic.refuse(focus, Undetermined, undetermined_text(missing), *missing)


def infinity_focus_miss(behind: Sequence[Part[R]], camera_register: R, arithmetic: Arithmetic[R]) -> Condition:
    """Whether these parts are not focused at infinity.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm
    """
    if not any(part.powered for part in behind):
        return True
    return absolute(sensor_matrix(behind, camera_register, arithmetic).a) >= INFINITY_FOCUS


def sensor_matrix(parts: Sequence[Part[R]], camera_register: R, arithmetic: Arithmetic[R]) -> Matrix[R]:
    """Matrix from the first powered part to the sensor.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm

    Returns
    -------
    Matrix, lengths in mm
    """
    chained = chain_matrices(parts, first_powered_part(parts), camera_register, arithmetic)
    return matrix_to_sensor(parts, chained.matrices[-1], camera_register)


def undetermined_text(missing: Sequence[str]) -> str:
    """Say what the magnification waits for, and how to find it."""
    hints = " ".join(dict.fromkeys(filter(None, map(how_to_find, missing))))
    return tr(
        "The magnification is not determined without {missing}. {hints}", missing=tr(" and ").join(missing), hints=hints
    ).strip()


def matrix_to_sensor(parts: Sequence[Part[R]], last: Matrix[R], camera_register: R) -> Matrix[R]:
    """Extend the matrix behind the last part to the sensor; its a is the magnification with the sign turned.

    Parameters
    ----------
    camera_register : float or array, flange to sensor, mm

    Returns
    -------
    Matrix, lengths in mm
    """
    return last.cross_gap(require_gap(parts[-1], "rear_gap") + camera_register)


def require_gap(part: Part[R], gap: str) -> R:
    """Return the gap's length, or refuse and name the member that would determine it.

    Returns
    -------
    float or array, mm

    Raises
    ------
    Undetermined
        Where the gap is not known.
    """
    length: R | None = getattr(part, gap)
    if length is None:
        raise Undetermined(undetermined_text([part.needs[gap]]), part.needs[gap])
    return length
