"""A bar blurred by a lens and taken as means over pixels, fitted to the profile of a mark.

With E the edge as the lens blurs it and p the width of a pixel, a bar of width w about x = 0 is seen as

    S(x) = F(x + w / 2) - F(x - w / 2),   F(x) = (G(x + p / 2) - G(x - p / 2)) / p,   G the integral of E.

Of two blurs, a disk of even light (defocus, by geometry) and a normal one, that which fits better is taken. With s the
standard deviation of the line across which the light of a point is summed, these are, with u = x / s or x / (2 s):

    normal   E = Phi(u),                                  G = s (u Phi(u) + phi(u)),   rises from 10 to 90 % in 2.563 s
    disk     E = 1/2 + (u sqrt(1 - u^2) + asin u) / pi,   G by its integral,           rises from 10 to 90 % in 2.748 s
"""

from math import erf, log, pi, sqrt

import numpy as np
from msgspec import Struct

from closeup_service.measuring.ruler.picture import Floats

REACH = 6.0
"""Standard deviations within which a blur is followed."""
FINE = 400
"""Places to a standard deviation at which blurs are tabulated."""

TOWARDS = (-1, 0, 1)
"""Marks of the neighbourhood, in periods."""
SIZES = 14
"""Sizes of blur that fits are begun from."""
WIDTHS = (0.25, 0.5, 0.8, 1.0)
"""Widths of the bar that fits are begun from, over the profile's at half its height."""
LEAST_BLUR_PX, SHARPEST_PX = 0.15, 0.02
"""Least standard deviation of a blur that a fit is begun from, and that it may end at."""
MOST_BLUR = 0.4
LITTLE = 0.12
"""Of the period: fits with a known width are begun from the best blur below it too, since a disk of more can pass for it."""
OF_EVEN = sqrt(12)
"""A bar is so many standard deviations wide."""
NARROWEST, WIDEST = 0.03, 0.7
"""Of the period."""
NARROWEST_PX = 0.3
ROUNDS = 15
ENOUGH = 1e-4
STEP = 3e-3
FIRST_DAMPING = 1e-3
MORE_DAMPING = (1.0, 30.0, 1e3, 3e4, 1e6)
TINY = 1e-9


class Profile(Struct, frozen=True):
    """Mean values across a mark.

    Parameters
    ----------
    away : from its middle [px]
    values : grey steps, the mark above its ground
    weight : how many pixels each is the mean of
    period : to the next mark [px]
    pixel : width over which values are means [px]
    """

    away: Floats
    values: Floats
    weight: Floats
    period: float
    pixel: float


class Bar(Struct, frozen=True):
    """A bar that fits.

    Parameters
    ----------
    width, width_spread : of the bar, and its standard uncertainty [px]
    blur : standard deviation of the blur [px]
    rest : weighted sum of squares that it leaves
    rise : of an edge from 10 to 90 %, over the standard deviation
    """

    width: float
    width_spread: float
    blur: float
    rest: float
    rise: float

    @property
    def edge_width(self) -> float:
        """Distance in which an edge, blurred as the bar is, rises from 10 to 90 % of its height [px]."""
        return self.rise * self.blur


class Blur(Struct, frozen=True, eq=False):
    """A blur: the integral G of its edge, tabulated for s = 1, and the rise of the edge from 10 to 90 %, over s."""

    table: Floats
    rise: float

    def integral(self, u: Floats) -> Floats:
        """G, between the places of the table by straight lines; beyond, none on one side and u on the other.

        Parameters
        ----------
        u : distance from the edge over the standard deviation of the blur

        Returns
        -------
        array : of the shape of u, over the standard deviation too
        """
        place = np.clip((u + REACH) * FINE, 0, len(self.table) - 1)
        low = np.minimum(place.astype(np.intp), len(self.table) - 2)
        inside = self.table[low] + (place - low) * (self.table[low + 1] - self.table[low])
        return np.asarray(inside + np.maximum(u - REACH, 0))


PLACES = np.linspace(-REACH, REACH, int(2 * REACH * FINE) + 1)


def normal_integral() -> Blur:
    """G = u Phi(u) + phi(u)."""
    below = np.array([0.5 * (1 + erf(u / sqrt(2))) for u in PLACES.tolist()])
    return Blur(PLACES * below + np.exp(-0.5 * PLACES * PLACES) / sqrt(2 * pi), 2 * 1.281552)


def disk_integral() -> Blur:
    """Of a disk of radius 2, whose standard deviation across a line is 1."""
    u = np.clip(0.5 * PLACES, -1, 1)
    root = np.sqrt(1 - u * u)
    integral = u + 2 * (root - root**3 / 3 + u * np.arcsin(u)) / pi
    return Blur(integral + np.maximum(np.abs(PLACES) - 2, 0) * (PLACES > 0), 4 * 0.687053)


BLURS: tuple[Blur, ...] = (disk_integral(), normal_integral())


def bars(profile: Profile, blur: Blur, shapes: Floats) -> Floats:
    """Bars of height 1, and their neighbours a period away, blurred and seen by pixels; a row for each shape.

    A shape is log of the blur's standard deviation, width of the bar, and its middle.

    Parameters
    ----------
    shapes : ln of the blur's standard deviation [px], width [px] and middle [px], shape (shapes, 3)

    Returns
    -------
    array : height over that of the bar, shape (shapes, places)
    """
    s, width, middle = np.exp(shapes[:, :1]), shapes[:, 1:2], shapes[:, 2:]
    half, pixel = width / 2, profile.pixel / 2
    sides = np.stack([half + pixel, half - pixel, pixel - half, -half - pixel])
    places = np.concatenate([sides - neighbour * profile.period for neighbour in TOWARDS])
    signs = np.array([1.0, -1.0, -1.0, 1.0] * len(TOWARDS))
    integrals = blur.integral((places + (profile.away - middle)) / s)
    return np.asarray(np.tensordot(signs, integrals, 1) * s / profile.pixel)


def fit_bar(profile: Profile, share: float | None = None) -> Bar | None:
    """Fit a bar of each blur and take the better, with its width a share of the period where that is known.

    Much blur of a narrow bar resembles little of a wide one, so a fit may end at the one in place of the other: what is found
    is tried again with the two changed for each other, at the same spread as a whole. None where nothing rises.
    """
    found = [
        one
        for blur in BLURS
        for shape in initial_shapes(profile, blur, share)
        for one in fit_shapes(profile, blur, shape, share)
    ]
    if not found:
        return None
    best = min(found, key=lambda one: one.rest)
    if share is None:
        changed = np.array([log(max(best.width / OF_EVEN, SHARPEST_PX)), best.blur * OF_EVEN, 0.0])
        found += [one for blur in BLURS for one in fit_shapes(profile, blur, bound_shapes(changed, profile), None)]
    return min(found, key=lambda one: one.rest)


def initial_shapes(profile: Profile, blur: Blur, share: float | None) -> list[Floats]:
    """Shapes to begin from: bars from a quarter to all of the width at half the height, each with its best blur.

    Parameters
    ----------
    share : width of the bar over the period, where that is known

    Returns
    -------
    list : ln of the blur's standard deviation [px], width [px] and middle [px] of each
    """
    sizes = np.log(np.geomspace(LEAST_BLUR_PX, MOST_BLUR * profile.period, SIZES))
    widths = np.array([share * profile.period]) if share else np.array(WIDTHS) * half_height_width(profile)
    lattice = np.stack(np.broadcast_arrays(sizes[:, None], widths, 0.0), -1)
    left = residuals_of(profile, blur, lattice.reshape(-1, 3))[0].reshape(lattice.shape[:2])
    shapes = [lattice[left[:, place].argmin(), place] for place in range(len(widths))]
    if share:
        little = int((sizes < np.log(LITTLE * profile.period)).sum())
        shapes.append(lattice[left[: max(little, 1), 0].argmin(), 0])
    return shapes


def half_height_width(profile: Profile) -> float:
    """How wide the profile is at half its height [px], at least as one of its cells."""
    low, high = np.percentile(profile.values, [5, 95])
    return max(float((profile.values > 0.5 * (low + high)).mean()) * profile.period, profile.pixel)


def fit_shapes(profile: Profile, blur: Blur, shape: Floats, share: float | None) -> list[Bar]:
    """Fit from a shape by least squares (Gauss, Newton, Marquardt); height, ground and its slope are solved for.

    Parameters
    ----------
    shape : ln of the blur's standard deviation [px], width [px] and middle [px]
    share : width of the bar over the period, where that is known: then the width stays

    Returns
    -------
    list : one bar, or none where it does not rise
    """
    steps = STEP * np.diag([1.0, profile.period, profile.period])
    free = np.array([True, share is None, True])
    damping, square = FIRST_DAMPING, np.eye(3)
    for _ in range(ROUNDS):
        left, rest, _ = residuals_of(profile, blur, np.vstack([shape, shape + steps]))
        columns = (rest[1:] - rest[0]).T / np.diag(steps) * free
        square, fall = columns.T @ columns, columns.T @ rest[0]
        trials = damping * np.array(MORE_DAMPING)
        changes = [np.linalg.solve(square + each * np.diag(np.diag(square) + TINY), -fall) for each in trials]
        tried = bound_shapes(shape + np.stack(changes), profile)
        news = residuals_of(profile, blur, tried)[0]
        best = int(news.argmin())
        if news[best] >= left[0]:
            break
        shape, damping = tried[best], trials[best] / 10
        if news[best] > (1 - ENOUGH) * left[0]:
            break
    left, _, height = residuals_of(profile, blur, shape[None])
    if height[0] <= 0:
        return []
    of_width = float(np.linalg.inv(square + TINY * np.eye(3))[1, 1]) * float(left[0]) / max(len(profile.away) - 6, 1)
    unsure = 0.0 if share else sqrt(of_width)
    return [Bar(float(shape[1]), unsure, float(np.exp(shape[0])), float(left[0]), blur.rise)]


def bound_shapes(shapes: Floats, profile: Profile) -> Floats:
    """Keep log blur, width and middle within what can be told.

    Parameters
    ----------
    shapes : ln of the blur's standard deviation [px], width [px] and middle [px], shape (..., 3)

    Returns
    -------
    array : of the same shape and units
    """
    low = np.array([np.log(SHARPEST_PX), min(NARROWEST_PX, NARROWEST * profile.period), -0.25 * profile.period])
    high = np.array([np.log(MOST_BLUR * profile.period), WIDEST * profile.period, 0.25 * profile.period])
    return np.clip(shapes, low, high)


def residuals_of(profile: Profile, blur: Blur, shapes: Floats) -> tuple[Floats, Floats, Floats]:
    """Weighted sum of squares that each shape leaves, the weighted rests, and the heights.

    Parameters
    ----------
    shapes : ln of the blur's standard deviation [px], width [px] and middle [px], shape (shapes, 3)

    Returns
    -------
    tuple : sums [grey steps^2], rests times the root of their weight [grey steps], and heights [grey steps]
    """
    seen = bars(profile, blur, shapes)
    root = np.sqrt(profile.weight)
    ground = np.broadcast_to(np.stack([np.ones(len(root)), profile.away / profile.period]), (len(shapes), 2, len(root)))
    columns = np.concatenate([seen[:, None], ground], 1) * root
    square = columns @ columns.transpose(0, 2, 1) + TINY * np.eye(3)
    parts = np.linalg.solve(square, columns @ (profile.values * root)[:, None])[..., 0]
    rest = (parts[:, None] @ columns)[:, 0] - profile.values * root
    return (rest * rest).sum(axis=1), rest, parts[:, 0]
