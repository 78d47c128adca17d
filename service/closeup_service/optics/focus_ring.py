"""Focus stacks by the focus ring or the rear standard: the magnification, and with it the depth, changes from frame to frame.

The ring carries the whole lens before a camera that stands still; on a bellows the front standard does the same, also with
a lens that is reversed. The rear standard carries the sensor behind a lens that stands still. Both move by f |dm|: the
image distance is f (1 + m). With steps of equal length the tightest place sets them all. Every sum is paraxial and follows
by algebra from s = f (1 + 1/m) and subject to sensor = f (2 + m + 1/m) + h.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from typing import cast

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from closeup_service.language import tr
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT, Arithmetic, Columns, FloatArray, R, Real, absolute
from closeup_service.optics.depth import depth_limits
from closeup_service.optics.errors import NoRealSubject
from closeup_service.optics.quadrature import nodes
from closeup_service.optics.sharpness import Criterion
from closeup_service.optics.stack import ROUNDING, Stack, least_overlap, refuse_too_many, step_over

SAMPLES, ROUNDS = 65, 3
"""Magnifications that are looked at in a row, and how often the gap between two of them is looked at again."""

TABLE = 129
"""Magnifications in the table of the contrast model."""

NODES, WEIGHTS = nodes(48)
NUMPY = Columns(0)
"""Arithmetic of arrays for sums that refuse nothing."""

HalfDepth = Callable[[FloatArray], FloatArray]


class Lens(Struct, frozen=True):
    """One lens as it stands (a reversed one turned), and its half depth [mm] at each magnification of the stack."""

    focal_length: float
    pupil_magnification: float
    half_depth: HalfDepth

    def depths(self, magnification: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Depth before and behind the plane of focus [mm] at each magnification; infinite where unlimited."""
        # A float beside a column is a number of either kind, which mypy does not find by itself.
        focal_length = cast("Real", self.focal_length)
        inverse = formulas.inverse_entrance_pupil_distance(focal_length, magnification, self.pupil_magnification)
        with np.errstate(divide="ignore"):
            columns = Columns(len(magnification))
            depth = depth_limits(self.half_depth(magnification), magnification, inverse, columns)
        return np.asarray(depth.front), np.asarray(depth.rear)


def half_depth_along(
    criterion: Criterion, f_number: float, pupil_magnification: float, ends: tuple[float, float]
) -> HalfDepth:
    """Half depth [mm] at magnifications between the two ends, for a lens as it stands.

    The contrast model, which scans and bisects for each magnification, is tabulated: logarithm of the defocus against that
    of the magnification, with straight lines between. A table over a ratio of 1.5 is good to 1e-6, over 100 to 2e-4.

    Parameters
    ----------
    f_number : float, marked f-number
    pupil_magnification : float, exit over entrance pupil, as the lens stands
    ends : two floats, magnifications at both ends

    Returns
    -------
    HalfDepth, half depth in mm at magnifications
    """

    def half_depth(magnification: R, arithmetic: Arithmetic[R]) -> R | None:
        effective = formulas.effective_f_number(f_number, magnification, pupil_magnification)
        return criterion.half_depth(effective, magnification, arithmetic)

    def directly(magnification: FloatArray) -> FloatArray:
        columns = Columns(len(magnification))
        found = half_depth(magnification, columns)
        for index in np.flatnonzero(columns.problem != "")[:1]:
            half_depth(float(magnification[index]), POINT)
        return np.asarray(found)

    if criterion.model != "contrast":
        return directly
    magnifications = np.geomspace(min(ends), max(ends), TABLE)
    logarithms = np.log(magnifications)
    defocus = np.log(directly(magnifications) * magnifications * magnifications)

    def from_the_table(magnification: FloatArray) -> FloatArray:
        found = np.exp(np.interp(np.log(magnification), logarithms, defocus))
        return np.asarray(found / (magnification * magnification))

    return from_the_table


def magnification_by_rear_standard(nearest: R, shift: R) -> R:
    """Magnification focused on a plane farther away, `shift` being that over the focal length: the rear standard moves.

    Parameters
    ----------
    nearest : float or array, magnification focused on the nearest plane, sensor/subject
    shift : float or array, distance of the plane behind the nearest over the focal length, ratio

    Returns
    -------
    float or array, sensor/subject
    """
    return 1 / (1 / nearest + shift)


def excess_above_life_size(nearest: R, shift: R) -> R:
    """By how much m + 1/m exceeds 2, its least, focused on a plane farther away: the whole lens moves.

    Parameters
    ----------
    nearest : float or array, magnification focused on the nearest plane, sensor/subject
    shift : float or array, distance of the plane behind the nearest over the focal length, ratio

    Returns
    -------
    float or array, ratio; negative where the lens cannot focus on that plane
    """
    return (nearest - 1) * (nearest - 1) / nearest + shift


def larger_magnification(above_two: R, arithmetic: Arithmetic[R]) -> R:
    """Larger m of the two whose m + 1/m exceeds 2 by so much; the other is 1/m."""
    return 1 + (above_two + arithmetic.sqrt(above_two * (above_two + 4))) / 2


def image_travel(focal_length: R, magnification: R, other: R) -> R:
    """Travel of the image, and of the ring or standard, between two magnifications [mm] = f |dm|."""
    return focal_length * absolute(magnification - other)


class Focusing(Struct, frozen=True):
    """Where the plane of focus goes as the ring, or the rear standard, moves.

    `nearest` is the magnification focused on the nearest plane of the subject. Above 1:1 a ring that carries the whole lens
    moves it out, not in, to focus farther away; just at 1:1 it moves in.
    """

    focal_length: float
    nearest: float
    lens_moves: bool

    def magnification(self, position: Real) -> FloatArray:
        """Magnification focused on a plane `position` [mm] behind the nearest; negative is nearer still.

        Rear standard: 1/m = 1/m1 + x/f. Whole lens, camera fixed: m + 1/m = m1 + 1/m1 + x/f, which has no solution where
        the right side is below 2: subject and sensor are never nearer to each other than at 1:1.
        """
        # A float beside a column is a number of either kind, which mypy does not find by itself.
        m, shift = cast("Real", self.nearest), np.asarray(position, dtype=float) / self.focal_length
        if not self.lens_moves:
            return np.asarray(magnification_by_rear_standard(m, shift))
        above_two = excess_above_life_size(m, shift)
        if np.any(above_two < 0):
            raise NoRealSubject(
                tr(
                    "Neither focus ring nor front standard can focus so near with the camera where it is: at 1:1 subject "
                    "and sensor are as near to each other as they can be. Move the camera on a rail, or the rear "
                    "standard.",
                ),
                "subject_depth_mm",
            )
        larger = larger_magnification(above_two, NUMPY)
        return np.asarray(larger if self.nearest > 1 else 1 / larger)

    def position(self, magnification: Real) -> FloatArray:
        """Plane of focus behind the nearest [mm]: f (m1 - m) / (m m1); whole lens f (m1 - m) (1 / (m m1) - 1)."""
        product = self.nearest * np.asarray(magnification, dtype=float)
        return np.asarray(
            self.focal_length * (self.nearest - magnification) * (1 / product - (1 if self.lens_moves else 0))
        )

    def slope(self, magnification: FloatArray) -> FloatArray:
        """How far the plane of focus goes for a change of magnification, |dx/dm| [mm]."""
        inverse_square = 1 / (magnification * magnification)
        return np.asarray(self.focal_length * np.abs(inverse_square - (1 if self.lens_moves else 0)))


class Ring(Struct, frozen=True):
    """A lens and its way of focusing, before a subject of some depth [mm], with the overlap asked for."""

    lens: Lens
    focusing: Focusing
    subject_depth: float
    overlap: float

    def stack(self) -> Stack:
        """Fewest frames, in steps of equal length of the ring or the standard, that cover the subject without a gap."""
        focal_length, nearest = self.focusing.focal_length, self.focusing.nearest
        farthest = float(self.focusing.magnification(self.subject_depth))
        first, last = self.covering_ends(farthest)
        alone = self.focusing.position(last) <= self.focusing.position(first)
        if alone:
            first = last = (first + last) / 2
        moves = 0 if alone else self.fewest_moves(first, last)
        refuse_too_many(moves + 1)
        magnifications = np.linspace(first, last, moves + 1)
        travel = image_travel(focal_length, first, last)
        outward = max(first, last) - nearest if self.focusing.lens_moves else 0.0
        front, rear = self.lens.depths(magnifications)
        return Stack(
            positions=np.clip(self.focusing.position(magnifications), 0.0, self.subject_depth),
            front=front,
            rear=rear,
            step=step_over(travel, moves + 1) if moves else None,
            travel=travel,
            overlap=max(0.0, self.overlap_at(magnifications)) if moves else None,
            end_to_end=self.fewest_moves(nearest, farthest) + 1,
            varying_step=min(moves, self.varying_moves(first, last)) + 1,
            image_travel=image_travel(focal_length, nearest, farthest),
            advance=focal_length * outward,
        )

    def covering_ends(self, farthest: float) -> tuple[float, float]:
        """Magnifications of the farthest plane of focus that still covers the subject's nearest point, and of the reverse.

        Parameters
        ----------
        farthest : float, magnification focused on the subject's farthest point, sensor/subject

        Returns
        -------
        two floats, sensor/subject
        """

        def covers_nearest(magnification: FloatArray) -> npt.NDArray[np.bool_]:
            return np.asarray(self.lens.depths(magnification)[0] >= self.focusing.position(magnification))

        def covers_farthest(magnification: FloatArray) -> npt.NDArray[np.bool_]:
            reach = self.focusing.position(magnification) + self.lens.depths(magnification)[1]
            return np.asarray(reach >= self.subject_depth)

        nearest = self.focusing.nearest
        return find_last(covers_nearest, nearest, farthest), find_last(covers_farthest, farthest, nearest)

    def moves_per_magnification(self, magnification: FloatArray) -> FloatArray:
        """Steps per change of magnification, each as long as the depth there allows."""
        front, rear = self.lens.depths(magnification)
        return np.asarray(self.focusing.slope(magnification) / ((1 - self.overlap) * (front + rear)))

    def fewest_moves(self, m_first: float, m_last: float) -> int:
        """Fewest moves of equal length from one plane of focus to another with the overlap asked for.

        Parameters
        ----------
        m_first, m_last : float, magnifications focused on the two planes, sensor/subject

        Returns
        -------
        int, number of moves
        """
        densest = np.max(self.moves_per_magnification(np.linspace(m_first, m_last, SAMPLES)))
        expected = abs(m_first - m_last) * float(densest)
        refuse_too_many(expected)
        moves = max(1, ceil(expected - ROUNDING))
        while (excess := self.excess(m_first, m_last, moves)) > 1 + ROUNDING:
            moves = max(moves + 1, ceil(moves * excess - ROUNDING))
            refuse_too_many(moves)
        if moves == 1 or self.excess(m_first, m_last, moves - 1) > 1 + ROUNDING:
            return moves
        too_few, enough = 0, moves - 1
        while enough - too_few > 1:
            middle = (too_few + enough) // 2
            if self.excess(m_first, m_last, middle) > 1 + ROUNDING:
                too_few = middle
            else:
                enough = middle
        return enough

    def excess(self, m_first: float, m_last: float, moves: int) -> float:
        """Longest of so many moves of equal length over the longest that keeps the overlap there; 1 just keeps it.

        Parameters
        ----------
        m_first, m_last : float, magnifications focused on the first and last plane, sensor/subject

        Returns
        -------
        float, ratio
        """
        return (1 - self.overlap_at(np.linspace(m_first, m_last, moves + 1))) / (1 - self.overlap)

    def overlap_at(self, magnifications: FloatArray) -> float:
        """Least overlap between neighbours.

        Parameters
        ----------
        magnifications : array, focused on one plane after another, sensor/subject

        Returns
        -------
        float, share of the depth; negative where there is a gap
        """
        return least_overlap(self.focusing.position(magnifications), *self.lens.depths(magnifications))

    def varying_moves(self, m_first: float, m_last: float) -> int:
        """Moves if each were as long as the depth allows: the integral of `moves_per_magnification`.

        For the geometric model and the rear standard it is p f ln((p + m2) / (p + m1)) / (2 c N (1 - o)).

        Parameters
        ----------
        m_first, m_last : float, magnifications focused on the first and last plane, sensor/subject

        Returns
        -------
        int, number of moves
        """
        half = abs(m_first - m_last) / 2
        density = self.moves_per_magnification((m_first + m_last) / 2 + half * NODES)
        return max(0, ceil(half * float(density @ WEIGHTS) - ROUNDING))


def find_last(holds: Callable[[FloatArray], npt.NDArray[np.bool_]], start: float, end: float) -> float:
    """Last of the magnifications from start to end up to which the condition holds without a break; it holds at the start.

    Parameters
    ----------
    start, end : float, magnifications, sensor/subject

    Returns
    -------
    float, sensor/subject
    """
    for _ in range(ROUNDS):
        points = np.linspace(start, end, SAMPLES)
        fails = ~holds(points)
        if not fails.any():
            return end
        index = max(1, int(np.argmax(fails)))
        start, end = float(points[index - 1]), float(points[index])
    return start
