"""The ruler's own line in the picture, by the ends of its marks.

Marks of a ruler tilted about two axes do not stand square to its line in the picture, so the line is measured, not taken from
the marks. The ends on the base, and those of the shortest marks, lie in two rows. Each is straight once distortion is taken
out, and continued it meets the vanishing line of the ruler's plane where every other line along the ruler does (Hartley and
Zisserman, Multiple View Geometry, 2nd ed., section 8.6, from memory).
"""

from math import atan2, cos, hypot, pi, sin

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from closeup_service.measuring.ruler.fit import ScaleModel
from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import Floats, Pyramid

REACH = 2.4
"""Ends are looked for up to so many half-widths from the middle of a mark."""
STEP = 0.5
"""Samples along a mark are so many pixels apart, of the size of the picture that is looked at."""
MOST_STEPS = 1500
BLUNT = 0.05
"""So many half-widths to each side are averaged to find an end, and looked at to place it."""
LEAST_BLUNT = 4
UPRIGHT, FLAT = 0.3, 0.3
"""Before an end the height differs from the mark's by up to so much of it, and beyond it from the ground's."""
BESIDE = 0.5
"""The ground is seen so many periods beside a mark."""
CORE = 0.5
"""The height of a mark is its median over so many half-widths about its middle."""
DETAIL = 30.0
FEWEST_ENDS = 5
LEAST_SHARE = 0.4
"""A row holds so many of the ends on its side: half of the marks are the shortest at least, or nearly."""
MOST_APART = 4.0
"""Two rows agree up to so many standard uncertainties."""
CLOSE_PX = 1.0
CLOSE_SHARE = 0.03
"""Ends belong to a row up to so many pixels, or so many half-widths, from it."""
MOST_PAIRS = 900
APART = 0.4
"""A row is tried through two ends that lie so much of its length apart."""
ROUNDS = 4
LEAST_SPREAD_PX = 0.05
ALIKE = 1.3
"""Neighbouring ends err alike: a row is so many times as uncertain as ends by chance would leave it (found on drawn scenes)."""
NEARLY = 1e-3
"""Angle up to which two rows agree anyhow [rad]."""
ROUGH = 0.2
"""Where no row of ends is seen, the strip's edges are uncertain by so many half-widths."""


class Row(Struct, frozen=True):
    """A straight row along the ruler, undistorted, about the middle of the picture in units of half its diagonal.

    Parameters
    ----------
    x, y : its middle
    angle : of its direction, towards growing numbers [rad]
    angle_spread, across_spread : standard uncertainties of the angle [rad] and of the middle, across the row
    ends : how many lie in it
    """

    x: float
    y: float
    angle: float
    angle_spread: float
    across_spread: float
    ends: int

    def shift(self, turn: float, across: float) -> "Row":
        """Return the row turned about its middle and moved across.

        Parameters
        ----------
        turn : angle [rad]
        across : square to the row, towards +y where its angle is 0 [half-diagonals]

        Returns
        -------
        Row : lengths in half-diagonals
        """
        x, y = self.x - across * sin(self.angle), self.y + across * cos(self.angle)
        return replace(self, x=x, y=y, angle=self.angle + turn)

    def centre_angle(self, g_x: float, g_y: float) -> float:
        """Angle [rad] of the line along the ruler through the middle of the picture, 1 + g X = 0 being the vanishing line.

        With row L + s d, both lines meet at s = -(1 + g L) / (g d): the direction is (1 + g L) d - (g d) L.
        """
        d_x, d_y = cos(self.angle), sin(self.angle)
        near, run = 1 + g_x * self.x + g_y * self.y, g_x * d_x + g_y * d_y
        return atan2(near * d_y - run * self.y, near * d_x - run * self.x)


def rows_of_ends(picture: Pyramid, scale: Scale, marks: Marks) -> tuple[Row, ...]:
    """Rows in which the marks end, on both sides or one; where neither is seen, the strip's middle, roughly."""
    found = [fit_row(*side, scale) for side in mark_ends(picture, scale, marks)]
    rows = [row for row in found if row is not None]
    if len(rows) == 2 and not are_parallel(rows[0], rows[1], scale.model):
        rows = [max(rows, key=lambda row: row.ends)]
    return tuple(rows) or (middle_of_strip(scale),)


def are_parallel(one: Row, other: Row, model: ScaleModel) -> bool:
    """Whether two rows have one direction in the middle of the picture, as far as they are known."""
    apart = one.centre_angle(*model.parameters[3:5]) - other.centre_angle(*model.parameters[3:5])
    apart = (apart + pi) % (2 * pi) - pi
    return abs(apart) < MOST_APART * hypot(one.angle_spread, other.angle_spread) + NEARLY


def mark_ends(picture: Pyramid, scale: Scale, marks: Marks) -> tuple[tuple[Floats, Floats], ...]:
    """Places [px] where marks end, on one side and on the other: where half of their height is lost."""
    model, column = scale.model, np.nonzero(marks.found_marks(scale))[0]
    use = marks.points_on(scale)[:, column]
    seen = np.maximum(use.sum(axis=0), 1)
    x, y = ((use * part[:, column]).sum(axis=0) / seen for part in (marks.x, marks.y))
    by_x, by_y = model.gradient(x, y)
    steep = np.hypot(by_x, by_y)
    off = (model.numbers(x, y) - marks.numbers[column]) / steep
    across_x, across_y = (by_x / steep)[:, None], (by_y / steep)[:, None]
    level = picture.choose_level(scale.period, DETAIL)
    count = int(min(REACH * scale.half_width / (STEP * level.factor), MOST_STEPS))
    away = np.linspace(-REACH, REACH, 2 * count + 1) * scale.half_width
    on_x = (x - off * across_x[:, 0])[:, None] - away * across_y
    on_y = (y - off * across_y[:, 0])[:, None] + away * across_x
    height = heights(picture, scale, (on_x, on_y), (across_x / steep[:, None], across_y / steep[:, None]))
    usual = np.median(height[:, np.abs(away) <= CORE * scale.half_width], axis=1)
    share = height / np.maximum(usual, 1e-6)[:, None]
    blunt = max(int(BLUNT / REACH * count), LEAST_BLUNT)
    sides = (slice(count, None), slice(count, None, -1))
    return tuple(fall_places(share[:, side], on_x[:, side], on_y[:, side], blunt) for side in sides)


def heights(picture: Pyramid, scale: Scale, place: tuple[Floats, Floats], period: tuple[Floats, Floats]) -> Floats:
    """Height of the marks over their ground on both sides [grey steps]; none of a number beyond the picture."""
    (x, y), (width, height) = place, picture.size
    level = picture.choose_level(scale.period, DETAIL)
    here, before, after = (
        level.sample(x + share * period[0], y + share * period[1]).astype(float) for share in (0.0, -BESIDE, BESIDE)
    )
    over = (0.5 * (before + after) - here) * (1.0 if scale.start.dark else -1.0)
    return np.asarray(np.where((x > 1) & (x < width - 2) & (y > 1) & (y < height - 2), over, np.nan))


def fall_places(share: Floats, x: Floats, y: Floats, blunt: int) -> tuple[Floats, Floats]:
    """Places where shares of a mark's height fall from one to none; none for marks that leave the picture or end unclearly.

    The fall is found on means over `blunt` samples to each side, and placed by the sum of the shares about it.

    Parameters
    ----------
    share : height over the mark's usual height, from its middle outwards, shape (marks, samples)
    x, y : places of the samples [px], shape (marks, samples)
    blunt : number of samples

    Returns
    -------
    tuple : x and y of the ends that are found [px]
    """
    wide = 2 * blunt + 1
    mean = sliding_window_view(share, wide, axis=1).mean(axis=2)
    end = np.argmax(~(mean >= 0.5), axis=1) + blunt
    mark = np.nonzero((end > 3 * blunt) & (end < share.shape[1] - 3 * blunt))[0]
    end = end[mark]
    about = share[mark[:, None], end[:, None] + np.arange(-3 * blunt, 3 * blunt + 1)]
    before, beyond = about[:, :blunt].mean(axis=1), about[:, -blunt:].mean(axis=1)
    clear = (np.abs(before - 1) < UPRIGHT) & (np.abs(beyond) < FLAT)
    mark, end, about, before, beyond = (part[clear] for part in (mark, end, about, before, beyond))
    lost = (about - beyond[:, None]).sum(axis=1) / (before - beyond)
    place = end - 3 * blunt - 0.5 + lost
    low = np.floor(place).astype(int)
    rest = place - low
    return x[mark, low] * (1 - rest) + x[mark, low + 1] * rest, y[mark, low] * (1 - rest) + y[mark, low + 1] * rest


def undistort(model: ScaleModel, x: Floats, y: Floats) -> Floats:
    """Places as columns about the middle in units of half the diagonal, distortion taken out.

    Parameters
    ----------
    x, y : places in the picture [px], shape (n,)

    Returns
    -------
    array : shape (n, 2) [half-diagonals]
    """
    u, v = model.normalise(x, y)
    return np.asarray(np.stack([u, v], 1) * (1 + model.parameters[5] * (u * u + v * v))[:, None])


def fit_row(x: Floats, y: Floats, scale: Scale) -> Row | None:
    """Row through most of the ends: longer marks end elsewhere. None where too few lie in one.

    Parameters
    ----------
    x, y : places of the ends [px], shape (n,)

    Returns
    -------
    Row or None : lengths in half-diagonals
    """
    place = undistort(scale.model, x, y)
    if len(place) < FEWEST_ENDS:
        return None
    unit = scale.model.unit
    close = max(CLOSE_PX, CLOSE_SHARE * scale.half_width) / unit
    kept = find_collinear(place, close)
    for _ in range(ROUNDS):
        if kept.sum() < max(FEWEST_ENDS, LEAST_SHARE * len(place)):
            return None
        middle, direction, spread = fit_direction(place[kept], LEAST_SPREAD_PX / unit)
        away = (place - middle) @ np.array([-direction[1], direction[0]])
        kept = np.abs(away) < max(3 * spread, 0.2 * close)
    run = (place[kept] - middle) @ direction
    toward = 1.0 if direction @ np.array(scale.start.along) >= 0 else -1.0
    return Row(
        float(middle[0]),
        float(middle[1]),
        atan2(toward * direction[1], toward * direction[0]),
        ALIKE * spread / float(np.sqrt((run * run).sum())),
        ALIKE * spread / float(np.sqrt(kept.sum())),
        int(kept.sum()),
    )


def find_collinear(place: Floats, close: float) -> NDArray[np.bool_]:
    """Which places lie close to the line, through two of them well apart, to which most are close.

    Parameters
    ----------
    place : undistorted, in order along the ruler, shape (n, 2) [half-diagonals]
    close : distance from the line [half-diagonals]

    Returns
    -------
    array : of bool, shape (n,)
    """
    one, other = np.triu_indices(len(place), max(int(APART * len(place)), 1))
    chosen = np.linspace(0, len(one) - 1, min(len(one), MOST_PAIRS)).astype(int)
    begin, run = place[one[chosen]], place[other[chosen]] - place[one[chosen]]
    square_to = np.stack([-run[:, 1], run[:, 0]], 1) / np.maximum(np.hypot(run[:, 0], run[:, 1]), 1e-9)[:, None]
    away = np.abs(square_to @ place.T - (square_to * begin).sum(axis=1)[:, None]) / close
    best = int(np.argmin(np.minimum(away, 1).sum(axis=1)))
    return np.asarray(away[best] < 1)


def fit_direction(place: Floats, least: float) -> tuple[Floats, Floats, float]:
    """Middle and direction of the line nearest to places, and their scatter about it, at least so much.

    Parameters
    ----------
    place : undistorted, shape (n, 2) [half-diagonals]
    least : least scatter [half-diagonals]

    Returns
    -------
    tuple : middle [half-diagonals], unit vector, and standard deviation across the line [half-diagonals]
    """
    middle = place.mean(axis=0)
    rest = place - middle
    direction = np.linalg.svd(rest, full_matrices=False)[2][0]
    away = rest @ np.array([-direction[1], direction[0]])
    free = max(len(place) - 2, 1)
    return middle, direction, max(float(np.sqrt((1 + 2 / free) * (away * away).sum() / free)), least)


def middle_of_strip(scale: Scale) -> Row:
    """Row of the strip's middle as it was followed, as uncertain as its edges are rough."""
    along = scale.distances_of(np.array([scale.first, scale.last]))
    base_x, base_y = scale.places_abreast(along)
    u_x, u_y = scale.start.along
    place = undistort(scale.model, base_x + along * u_x, base_y + along * u_y)
    run = place[1] - place[0]
    rough = ROUGH * scale.half_width / scale.model.unit
    middle = place.mean(axis=0)
    length = hypot(*run)
    return Row(float(middle[0]), float(middle[1]), atan2(run[1], run[0]), min(2 * rough / length, pi / 8), rough, 0)


def align_strip(scale: Scale, rows: tuple[Row, ...]) -> Scale:
    """Return the scale with the middle of its strip parallel to the rows, turned about the middle of its length."""
    x, y = (sum(part(row.angle) / row.angle_spread**2 for row in rows) for part in (cos, sin))
    u_x, u_y = scale.start.along
    slope = (u_x * y - u_y * x) / (u_x * x + u_y * y)
    half_way = float(scale.distances_of(np.array([scale.first, scale.last])).mean())
    return replace(scale, slope=slope, offset=scale.offset + (scale.slope - slope) * half_way)
