"""Apertures: what each arrangement that fills the frame does at every mark of its rings."""

import numpy as np
from msgspec import Struct

from closeup_service.gear.search.framing import Framed, magnification_of
from closeup_service.gear.search.request import Request
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import BoolArray, Columns, FloatArray, IntArray, Real
from closeup_service.optics.depth import depth_limits
from closeup_service.optics.formulas import LEAST_EFFECTIVE_F_NUMBER
from closeup_service.optics.sharpness import Criterion
from closeup_service.optics.stack import usual_frames

TIE = 1e-9
ROWS_PER_BLOCK = 200_000


class Distances(Struct, frozen=True):
    """What does not depend on the aperture, row by row; NaN where it is not known. `reach` is |B|/r of the fixed openings."""

    rows: Framed
    magnification: FloatArray
    working: FloatArray
    clearance: FloatArray
    rig: FloatArray
    possible: BoolArray
    reach: FloatArray
    inverse_pupil: FloatArray
    iris: FloatArray
    iris_pupil: FloatArray
    front_iris: FloatArray
    front_pupil: FloatArray

    def take_rows(self, index: IntArray) -> "Distances":
        """Some of the rows."""
        others = (getattr(self, name)[index] for name in Distances.__struct_fields__ if name != "rows")
        return Distances(self.rows.take_rows(index), *others)


def distances_of(request: Request, rows: Framed) -> Distances:
    """Distances and openings of every row."""
    fronts, end = rows.fronts, rows.end
    a, b, c, d = (getattr(fronts, name)[rows.front] for name in "abcd")
    b_stack = b + rows.length * d
    signed = magnification_of(rows)
    subject = (end.matrix.a * b_stack + end.matrix.b * d) / signed
    front_gap, length = fronts.front_gap[rows.front], fronts.length[rows.front]
    working = subject - front_gap
    several = fronts.powered[rows.front] + end.powered > 1
    beyond = (subject <= 0) & ((subject <= front_gap) | np.isnan(front_gap))
    possible = np.where(several, ~beyond, signed > 0) & ~(working <= 0)
    reach, pupil = fixed_reach(rows, subject, a, b, c, d)
    iris, iris_pupil = heights(fronts.iris[rows.front], subject)
    front_iris, front_pupil = heights(fronts.front_iris[rows.front], subject)
    loose = fronts.loose[rows.front]
    return Distances(
        rows,
        np.abs(signed),
        working,
        working - fronts.reach[rows.front],
        front_gap + length + rows.length + end.length,
        possible,
        reach,
        pupil,
        np.where(np.isnan(iris), -1.0, iris),
        np.where(loose, np.nan, iris_pupil),
        np.where(np.isnan(front_iris), -1.0, front_iris),
        front_pupil,
    )


def heights(stop: FloatArray, subject: FloatArray) -> tuple[FloatArray, FloatArray]:
    """|B|/r of openings at f/1, and 1/z to their images.

    Parameters
    ----------
    stop : array, a, ratio, b, mm, and radius, mm, of each opening, shape (..., 3)
    subject : array, subject to first principal plane, mm

    Returns
    -------
    two arrays, ratio and 1/mm
    """
    height = stop[..., 1] + stop[..., 0] * subject
    return np.abs(height) / stop[..., 2], stop[..., 0] / np.where(height == 0, 1.0, height)


def fixed_reach(
    rows: Framed, subject: FloatArray, a: FloatArray, b: FloatArray, c: FloatArray, d: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Greatest |B|/r over the fixed openings, and 1/z to that one's image; 0 where there is none.

    Parameters
    ----------
    subject : array, subject to first principal plane, mm
    a, b, c, d : array, matrix of the front from its first principal plane to its rear face, ratio, mm, 1/mm and ratio

    Returns
    -------
    two arrays, ratio and 1/mm
    """
    reach, pupil = np.zeros(len(subject)), np.zeros(len(subject))
    loose = rows.fronts.loose[rows.front]
    for place in range(rows.fronts.openings.shape[1]):
        own, seen = heights(rows.fronts.openings[rows.front, place], subject)
        known = ~loose | (place < rows.fronts.before_gap[rows.front])
        reach, pupil = limiting_opening(reach, pupil, own, np.where(known, seen, np.nan))
    for place in range(rows.stacks.openings.shape[1]):
        opening = rows.stacks.openings[rows.stack, place]
        x = opening[:, 0] + opening[:, 1] * (rows.length - rows.stacks.shortest[rows.stack])
        own, seen = heights(np.stack([a + x * c, b + x * d, opening[:, 2]], axis=1), subject)
        reach, pupil = limiting_opening(reach, pupil, own, np.where(loose, np.nan, seen))
    for x, y, radius in rows.end.openings:
        at_a, at_b = a + rows.length * c, b + rows.length * d
        stop = np.stack([x * at_a + y * c, x * at_b + y * d, np.full(len(a), radius)], axis=1)
        own, seen = heights(stop, subject)
        reach, pupil = limiting_opening(reach, pupil, own, np.where(loose, np.nan, seen))
    return reach, pupil


def limiting_opening(
    reach: FloatArray, pupil: FloatArray, other: FloatArray, other_pupil: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The opening that limits more.

    Parameters
    ----------
    reach, other : array, |B|/r of the two openings, ratio
    pupil, other_pupil : array, 1/z to their images, 1/mm

    Returns
    -------
    two arrays, ratio and 1/mm
    """
    more = other > reach
    return np.where(more, other, reach), np.where(more, other_pupil, pupil)


class Figures(Struct, frozen=True):
    """Every row at every mark. `row` is the place in `distances`; NaN is a mark that is not there, or not known.

    `as_if_marked` is the mark at which the iris would limit the light as much as what does.
    """

    distances: Distances
    row: IntArray
    f_number: FloatArray
    front_f_number: FloatArray
    effective: FloatArray
    numerical_aperture: FloatArray
    light_loss: FloatArray
    resolution: FloatArray
    depth: FloatArray
    frames: FloatArray
    sharp_known: BoolArray
    best_mark: FloatArray
    as_if_marked: FloatArray
    governed_by_lens: BoolArray

    def of(self, name: str) -> FloatArray:
        """A figure of the distances, for every row here.

        Returns
        -------
        array, in the unit of the figure: mm, 1/mm or ratio
        """
        found: FloatArray = getattr(self.distances, name)[self.row]
        return found

    def take_rows(self, index: IntArray) -> "Figures":
        """Some of the rows."""
        others = (getattr(self, name)[index] for name in Figures.__struct_fields__ if name != "distances")
        return Figures(self.distances, *others)


class Limits(Struct, frozen=True):
    """Which stop limits the light with each setting of the rings.

    `row` is that of the distances, `own` and `other` the marks set on both rings, `reach` |B|/r of the stop that limits and
    `inverse_pupil` 1/z to its image;
    `by_lens` and `by_front` say whether it is that of a ring, `as_if_marked` the mark at which the iris would limit
    the light as much, `needless` whether the ring that varies does not limit it.
    """

    row: IntArray
    own: FloatArray
    other: FloatArray
    reach: FloatArray
    inverse_pupil: FloatArray
    by_lens: BoolArray
    by_front: BoolArray
    as_if_marked: FloatArray
    needless: BoolArray


def limits_of(distances: Distances) -> Limits:
    """Which stop limits the light, for every row at every mark of its rings."""
    fronts = distances.rows.fronts
    row, own, other, lens_varies = set_marks(distances.rows.front, fronts.marks, fronts.front_marks)
    rho, front_rho = distances.iris[row] * own, distances.front_iris[row] * other
    rho, front_rho = np.where(np.isnan(rho), -1.0, rho), np.where(np.isnan(front_rho), -1.0, front_rho)
    reach = np.maximum(np.maximum(rho, front_rho), distances.reach[row])
    by_lens = (rho >= reach) & (rho >= 0)
    by_front = ~by_lens & (front_rho >= reach) & (front_rho >= 0)
    of_fixed = np.where(by_front, distances.front_pupil[row], distances.inverse_pupil[row])
    inverse_pupil = np.where(by_lens, distances.iris_pupil[row], of_fixed)
    needless = (lens_varies >= 0) & (np.where(lens_varies == 1, rho, front_rho) < reach * (1 - TIE))
    as_if_marked = np.where(by_front, other, own * reach / rho)
    return Limits(row, own, other, reach, inverse_pupil, by_lens, by_front, as_if_marked, needless)


def figures_of(request: Request, criterion: Criterion, distances: Distances) -> Figures:
    """What every row does at every mark of its rings; marks that do not limit the light are left out but the widest."""
    limits = limits_of(distances)
    fronts, front, row = distances.rows.fronts, distances.rows.front[limits.row], limits.row
    marked_number = np.where(limits.by_lens, limits.own, np.where(limits.by_front, limits.other, np.nan))
    m = distances.magnification[row]
    na = 1 / limits.reach
    effective = np.asarray(formulas.effective_by_numerical_aperture(m, na))
    wavelength: Real = criterion.wavelength_nm
    arithmetic = Columns(len(row))
    half = criterion.half_depth(effective, m, arithmetic)
    depth = depth_limits(half, m, limits.inverse_pupil, arithmetic) if half is not None else None
    total = np.full(len(row), np.nan) if depth is None else np.asarray(depth.total)
    good = (limits.reach > 1) & (effective >= LEAST_EFFECTIVE_F_NUMBER) & ~limits.needless & distances.possible[row]
    figures = Figures(
        distances,
        row,
        limits.own,
        limits.other,
        np.asarray(effective),
        np.asarray(na),
        np.asarray(formulas.light_loss_stops(effective, marked_number, arithmetic)),
        np.asarray(formulas.subject_resolution_um(na, wavelength)),
        total,
        frames_of(total, request.subject_depth_mm, arithmetic),
        np.where(limits.by_front, fronts.front_sharp_known[front], fronts.sharp_known[front]),
        np.where(limits.by_front, fronts.front_best_mark[front], fronts.best_mark[front]),
        limits.as_if_marked,
        limits.by_lens,
    )
    return figures.take_rows(np.flatnonzero(good))


def set_marks(
    front: IntArray, marks: FloatArray, front_marks: FloatArray
) -> tuple[IntArray, FloatArray, FloatArray, IntArray]:
    """Rows, one for each setting of the rings: one ring varies while the other stays wide open.

    Returns the place of the row, both f-numbers, and which ring is stopped down: 1 the lens's, 0 the front one's, -1 none.

    Parameters
    ----------
    marks, front_marks : array, f-numbers of the rings of each front, filled up with NaN, shape (fronts, marks)
    """
    own, other = ((~np.isnan(each)).sum(axis=1)[front] for each in (marks, front_marks))
    count = np.maximum(own, 1) + np.maximum(other - 1, 0)
    row = np.repeat(np.arange(len(front)), count)
    within = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    by_lens = within < np.maximum(own, 1)[row]
    number = pick_marks(marks, front[row], np.where(by_lens, within, 0))
    front_number = pick_marks(front_marks, front[row], np.where(by_lens, 0, within - np.maximum(own, 1)[row] + 1))
    return row, number, front_number, np.where(within == 0, -1, by_lens.astype(int))


def pick_marks(marks: FloatArray, front: IntArray, place: IntArray) -> FloatArray:
    """Marks by their places; NaN where there are none.

    Parameters
    ----------
    marks : array, f-numbers, shape (fronts, marks)

    Returns
    -------
    array, f-numbers, shape (rows,)
    """
    if not marks.shape[1]:
        return np.full(len(front), np.nan)
    found: FloatArray = marks[front, place]
    return found


def frames_of(total: FloatArray, whole: float | None, arithmetic: Columns) -> FloatArray:
    """Frames of a stack on a rail; NaN without a subject's depth, or where the depth of field is not known.

    Parameters
    ----------
    total : array, depth of field of one frame, mm
    whole : float or None, depth of the subject, mm

    Returns
    -------
    array, number of frames
    """
    frames = np.nan if whole is None else usual_frames(total, whole, arithmetic)
    return np.broadcast_to(frames, len(total))
