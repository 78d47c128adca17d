"""A lens known only in part, as an ensemble of thick lenses: one for every record of its class.

The ensemble of a class follows from its statistics and the engravings; what was measured moves every member by the linear
update with perturbed readings (G. Evensen, *Data Assimilation: The Ensemble Kalman Filter*, ch. 4, from memory). The same lens
always gives the same ensemble.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import permutations
from statistics import NormalDist

import numpy as np
from msgspec import Struct

from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.estimates.readings import Member, Reading, list_readings
from closeup_service.estimates.statistics import statistics
from closeup_service.language import tr
from closeup_service.optics.arithmetic import BoolArray, FloatArray
from closeup_service.optics.errors import Contradiction

TURN = 0.7548776662466927
"""Fraction by which successive members turn; its powers serve successive readings, so that together they fill space evenly."""

QUESTIONABLE = 4.0
"""A reading so many standard deviations from what its class lets expect is questioned."""

CONTRADICTORY = 5.0
"""Two readings of which one lies so many standard deviations from what the other lets expect are not of one lens."""

LEAST_SPREAD = 1e-12
"""Spread below which a datum is the same for all members [mm, or a ratio]."""

MOST_KEPT = 64
"""Ensembles kept for the next request."""


class Unexpected(Struct, frozen=True):
    """A reading that hardly any lens of the class would give, and what 95 of 100 of them would."""

    name: str
    value: float
    usual: Range


class Ensemble(Struct, frozen=True):
    """Thick lenses that a lens may be, each with its weight; lengths in mm, columns of shape (members,).

    `front_plane` runs from the front rim to the front principal plane, `separation` on to the rear one, both at infinity focus;
    `pupil_magnification` is exit over entrance pupil, of the lens mounted normally.
    """

    lens: KnownLens
    weights: FloatArray
    focal_length: FloatArray
    front_plane: FloatArray
    separation: FloatArray
    pupil_magnification: FloatArray
    unexpected: tuple[Unexpected, ...] = ()

    @property
    def size(self) -> int:
        """How many members it has."""
        return len(self.weights)

    @property
    def member(self) -> Member:
        """Its members, as readings see them."""
        depth = self.front_plane + self.focal_length * (1 / self.pupil_magnification - 1)
        return Member(self.front_plane, depth, self.separation, self.focal_length)


class Prior(Struct, frozen=True):
    """Members before anything was measured: rows a, pe, h [mm] and true over engraved focal length, and their weights."""

    columns: FloatArray
    weights: FloatArray
    inflate: float


@lru_cache(maxsize=MOST_KEPT)
def estimate_lens(lens: KnownLens) -> Ensemble:
    """Make the ensemble of a lens.

    Raises
    ------
    Contradiction
        Where what is stated and measured cannot be of one lens.
    """
    before = prior(lens)
    readings = list_readings(lens)
    if not readings:
        return put_together(before.columns, before.weights, lens)
    expected = expect(readings, before, lens)
    unexpected = question(readings, expected, before.weights)
    refuse_contradictions(readings, expected, before.weights)
    return narrow(before, lens, readings, expected, unexpected)


def narrow(
    before: Prior,
    lens: KnownLens,
    readings: Sequence[Reading],
    expected: FloatArray,
    unexpected: tuple[Unexpected, ...] = (),
) -> Ensemble:
    """Move the ensemble of a lens by readings; `expected` is what each would be for every member.

    Parameters
    ----------
    expected : array, each reading of each member, in the unit of the reading, shape (readings, members)

    Returns
    -------
    Ensemble, lengths in mm
    """
    columns = put_stated(update(before, readings, expected), lens)
    columns, weights = keep_possible(columns, before.weights, lens)
    return put_together(columns, weights, lens, unexpected)


def expect(readings: Sequence[Reading], before: Prior, lens: KnownLens) -> FloatArray:
    """What each reading would be for every member, shape (readings, members).

    Returns
    -------
    array, each row in the unit of its reading: mm, or ratio
    """
    member = member_of(before.columns, lens)
    return np.array([reading.calculate(member) for reading in readings])


def put_together(
    columns: FloatArray, weights: FloatArray, lens: KnownLens, unexpected: tuple[Unexpected, ...] = ()
) -> Ensemble:
    """Ensemble of members by their rows.

    Parameters
    ----------
    columns : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)
    weights : array, of the members, sum 1, shape (members,)

    Returns
    -------
    Ensemble, lengths in mm
    """
    member = member_of(columns, lens)
    pupil = 1 / member.inverse_pupil_ratio
    if lens.pupil_magnification is not None:
        pupil = np.full_like(pupil, lens.pupil_magnification)
    return Ensemble(lens, weights, member.focal_length, member.front_plane, member.separation, pupil, unexpected)


def prior(lens: KnownLens) -> Prior:
    """Members by class and engravings alone: those of all its classes, the members of a class sharing its weight equally."""
    blocks, weights, inflate, total = [], [], 0.0, 0.0
    for lens_class, weight in lens.family.branches(lens.focal_length_mm):
        columns = lens_class.columns(lens.focal_length_mm, lens.f_number, lens.zoom_position)
        if lens.front_plane_mm is not None:
            columns[3] = 1.0  # data of the lens itself go with its true focal length
        kept, shares = keep_possible(columns, np.ones(columns.shape[1]), lens)
        blocks.append(kept)
        weights.append(shares * weight)
        inflate, total = inflate + weight * lens_class.inflate, total + weight
    return Prior(np.concatenate(blocks, axis=1), np.concatenate(weights) / total, inflate / total)


def member_of(columns: FloatArray, lens: KnownLens) -> Member:
    """Members by their rows.

    Parameters
    ----------
    columns : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)

    Returns
    -------
    Member, lengths in mm
    """
    return Member(columns[0], columns[1], columns[2], columns[3] * lens.focal_length_mm)


def keep_possible(columns: FloatArray, weights: FloatArray, lens: KnownLens) -> tuple[FloatArray, FloatArray]:
    """Drop members that no lens could be, and let the others share the weight; where none could be, keep what comes nearest.

    Parameters
    ----------
    columns : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)
    weights : array, of the members, shape (members,)

    Returns
    -------
    two arrays: the columns that are kept, in the same units, and their weights, sum 1
    """
    possible = find_possible(columns, lens)
    if not possible.any():
        columns = hold_pupils(columns, lens)
        possible = np.ones_like(possible)
    kept = weights[possible]
    return columns[:, possible], kept / kept.sum()


def find_possible(columns: FloatArray, lens: KnownLens) -> BoolArray:
    """Which members a lens could be.

    Parameters
    ----------
    columns : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)

    Returns
    -------
    array of bool, shape (members,)
    """
    drop, member = statistics().drop, member_of(columns, lens)
    inverse = member.inverse_pupil_ratio
    length = member.barrel_length(lens.flange_mm)
    low, high = drop.inverse_pupil_ratio
    possible: BoolArray = (inverse >= low) & (inverse <= high)
    possible &= (member.pupil_depth > drop.entrance_pupil_depth_mm) & (length > drop.barrel_length_mm)
    return possible


def hold_pupils(columns: FloatArray, lens: KnownLens) -> FloatArray:
    """Members whose pupils are held to what lenses have: data of a lens unlike its class leave no other of them.

    Parameters
    ----------
    columns : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)

    Returns
    -------
    array, of the same shape and units
    """
    held, member = columns.copy(), member_of(columns, lens)
    inverse = np.clip(member.inverse_pupil_ratio, *statistics().drop.inverse_pupil_ratio)
    held[1] = member.front_plane + member.focal_length * (inverse - 1)
    return held


def spread(values: FloatArray, others: FloatArray, weights: FloatArray) -> FloatArray:
    """Weighted covariances of rows of values with rows of others, shape (values, others).

    Parameters
    ----------
    values, others : array, each row in its own unit, shape (rows, members)
    weights : array, of the members, sum 1, shape (members,)

    Returns
    -------
    array, in the product of the units of the two rows
    """
    centred = values - (values @ weights)[:, None]
    found: FloatArray = (centred * weights) @ (others - (others @ weights)[:, None]).T
    return found


def question(readings: Sequence[Reading], expected: FloatArray, weights: FloatArray) -> tuple[Unexpected, ...]:
    """Readings that hardly any lens of the class would give.

    Parameters
    ----------
    expected : array, each reading of each member, in the unit of the reading, shape (readings, members)
    weights : array, of the members, sum 1, shape (members,)
    """
    deviations = np.sqrt(np.diag(spread(expected, expected, weights)) + errors_of(readings) ** 2)
    off = np.abs(values_of(readings) - expected @ weights) > QUESTIONABLE * deviations
    usual = weighted_ranges(expected, weights)
    return tuple(
        Unexpected(reading.name, *reading.compare(usual[index])) for index, reading in enumerate(readings) if off[index]
    )


def refuse_contradictions(readings: Sequence[Reading], expected: FloatArray, weights: FloatArray) -> None:
    """Refuse two readings that each alone could be, and together cannot be of one lens.

    Parameters
    ----------
    expected : array, each reading of each member, in the unit of the reading, shape (readings, members)
    weights : array, of the members, sum 1, shape (members,)

    Raises
    ------
    Contradiction
        With both figures.
    """
    covariance = spread(expected, expected, weights) + np.diag(errors_of(readings) ** 2)
    off = values_of(readings) - expected @ weights
    for first, second in permutations(range(len(readings)), 2):
        share = covariance[second, first] / covariance[first, first]
        deviation = np.sqrt(covariance[second, second] - share * covariance[second, first])
        alone = max(abs(off[each]) / np.sqrt(covariance[each, each]) for each in (first, second))
        measured = not (readings[first].is_stated and readings[second].is_stated)
        if measured and alone <= QUESTIONABLE and abs(off[second] - share * off[first]) > CONTRADICTORY * deviation:
            expect = float(expected[second] @ weights + share * off[first])
            one, other = readings[first], readings[second]
            raise Contradiction(
                tr(
                    "{name} of {value:.4g} leads to {name_2} of about {expect:.4g}; {value_2:.4g} was given. They cannot "
                    "be of one lens: measure again.",
                    name=one.name,
                    value=one.show(one.value),
                    name_2=other.name,
                    expect=other.show(expect),
                    value_2=other.show(other.value),
                ),
                one.name,
                other.name,
            )


def values_of(readings: Sequence[Reading]) -> FloatArray:
    """Values that were read.

    Returns
    -------
    array, each in the unit of its reading: mm, or ratio, shape (readings,)
    """
    return np.array([reading.value for reading in readings])


def errors_of(readings: Sequence[Reading]) -> FloatArray:
    """Their standard errors.

    Returns
    -------
    array, each in the unit of its reading: mm, or ratio, shape (readings,)
    """
    return np.array([reading.error for reading in readings])


def update(before: Prior, readings: Sequence[Reading], expected: FloatArray) -> FloatArray:
    """Move every member towards what was read, by the covariances of the ensemble.

    Parameters
    ----------
    expected : array, each reading of each member, in the unit of the reading, shape (readings, members)

    Returns
    -------
    array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)
    """
    columns, weights = before.columns, before.weights
    errors = errors_of(readings)
    perturbed = expected + errors[:, None] * np.array([perturbation(each.turn, columns.shape[1]) for each in readings])
    within = spread(expected, expected, weights) + np.diag(errors**2)
    gain = np.linalg.solve(within, spread(expected, columns, weights)).T
    moved: FloatArray = columns + gain @ (values_of(readings)[:, None] - perturbed)
    mean = (moved @ weights)[:, None]
    widened: FloatArray = mean + inflation(before, moved)[:, None] * (moved - mean)
    return widened


def inflation(before: Prior, moved: FloatArray) -> FloatArray:
    """Factors by which moved members spread again, since the class has few records; no reading makes them wider than before.

    Parameters
    ----------
    moved : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)

    Returns
    -------
    array, ratios, shape (4,)
    """
    was, now = (np.sqrt(np.diag(spread(columns, columns, before.weights))) for columns in (before.columns, moved))
    factors: FloatArray = np.clip(was / np.maximum(now, LEAST_SPREAD), 1.0, before.inflate)
    return factors


@lru_cache(maxsize=MOST_KEPT)
def perturbation(turn: int, members: int) -> FloatArray:
    """Fixed normal numbers for one reading, shape (members,).

    Returns
    -------
    array, in standard errors
    """
    shares = ((np.arange(members) + 0.5) * TURN**turn) % 1.0 * 0.998 + 0.001
    return np.array([NormalDist().inv_cdf(share) for share in shares.tolist()])


def put_stated(columns: FloatArray, lens: KnownLens) -> FloatArray:
    """Put what the lens itself states in place of what was estimated.

    Parameters
    ----------
    columns : array, rows a, pe, h, mm, and true over engraved focal length, ratio, shape (4, members)

    Returns
    -------
    array, of the same shape and units
    """
    columns = columns.copy()
    if lens.front_plane_mm is not None:
        columns[0], columns[3] = lens.front_plane_mm, 1.0
    if lens.separation_mm is not None:
        columns[2] = lens.separation_mm
    if lens.pupil_magnification is not None:
        focal_length = columns[3] * lens.focal_length_mm
        columns[1] = columns[0] + focal_length * (1 / lens.pupil_magnification - 1)
    return columns
