"""Sharpness over the frame, from the marks: how wide the lens blurs an edge.

A mark is a bar: two edges a mark's width apart, blurred by the lens, taken as means over pixels. That is fitted, so the width
is the blur's own: neither a mark narrower than the blur nor the size of a pixel changes it.
"""

from collections.abc import Sequence
from math import ceil, hypot

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from closeup_service.measuring.ruler.blurred_bar import Profile, fit_bar
from closeup_service.measuring.ruler.fit import ScaleModel
from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.records import ZoneSharpness

ZONES = 3
FEWEST_POINTS = 6
UM_PER_MM = 1000.0
MOST_POINTS = 240
MOST_PIXELS = 60_000
"""Pixels that are looked at in a zone."""
FINEST_CELL_PX = 0.25
MOST_CELLS = 120
TELLING = 2
"""So many zones tell the width of the marks."""
LEAST_SPREAD_PX = 0.01


class Points(Struct, frozen=True):
    """Places seen on marks: where, and the number of the mark."""

    x: Floats
    y: Floats
    number: NDArray[np.int64]

    def select(self, chosen: NDArray[np.intp]) -> "Points":
        """Return some of them."""
        return Points(self.x[chosen], self.y[chosen], self.number[chosen])


def nine_zones(picture: Pyramid, scale: Scale, marks: Marks, pitch_mm: float) -> tuple[ZoneSharpness | None, ...]:
    """Edge widths in three by three zones of the frame, row by row; None where too few marks are seen.

    The marks of one scale are equally wide, so their width is that of all zones together: by itself, a zone as blurred as a
    mark is wide hardly tells the two apart.

    Parameters
    ----------
    picture, scale, marks : as measured
    pitch_mm : between neighbouring marks [mm]

    Returns
    -------
    tuple : nine zones with edge widths [px] and on the subject
    """
    zones = [zone if len(zone.x) >= FEWEST_POINTS else None for zone in split_by_zone(picture, scale, marks)]
    seen = [None if zone is None else profile(picture, scale, zone) for zone in zones]
    share = common_share(seen)
    return tuple(
        None if zone is None or one is None else zone_sharpness(one, share, pitch_mm, 2 * len(zone.x))
        for zone, one in zip(zones, seen, strict=True)
    )


def split_by_zone(picture: Pyramid, scale: Scale, marks: Marks) -> list[Points]:
    """Points seen on marks, zone by zone."""
    use = marks.points_on(scale)
    seen = Points(marks.x[use], marks.y[use], np.broadcast_to(marks.numbers, use.shape)[use])
    width, height = picture.size
    column = np.clip((seen.x * ZONES / width).astype(int), 0, ZONES - 1)
    row = np.clip((seen.y * ZONES / height).astype(int), 0, ZONES - 1)
    return [seen.select(np.nonzero(row * ZONES + column == zone)[0]) for zone in range(ZONES * ZONES)]


def common_share(profiles: Sequence[Profile | None]) -> float | None:
    """Width of the marks over their period, by the fullest profiles as far as each is sure; None where none tells it."""
    most = sorted((one for one in profiles if one is not None), key=lambda one: -float(one.weight.sum()))[:TELLING]
    found = [(one.period, bar) for one in most if (bar := fit_bar(one)) is not None]
    if not found:
        return None
    weights = [(period / max(bar.width_spread, LEAST_SPREAD_PX)) ** 2 for period, bar in found]
    return float(np.average([bar.width / period for period, bar in found], weights=weights))


def zone_sharpness(seen: Profile, share: float | None, pitch_mm: float, edges: int) -> ZoneSharpness | None:
    """Edge width in a zone: across the marks, and on the subject by the spacing across the marks.

    Parameters
    ----------
    share : width of the marks over their period, where that is known
    pitch_mm : from mark to mark of what repeats in the picture [mm]
    edges : number of edges seen

    Returns
    -------
    ZoneSharpness or None : edge widths on the picture [px] and on the subject [um]
    """
    bar = None if share is None else fit_bar(seen, share)
    if bar is None:
        return None
    return ZoneSharpness(bar.edge_width, bar.edge_width * UM_PER_MM * pitch_mm / seen.period, edges)


def profile(picture: Pyramid, scale: Scale, points: Points) -> Profile:
    """Mean values of pixels by their distance across the marks, over one period about each mark.

    Pixels are taken as they are, where they are: values between them would be blurred once more. What a mark is off as a whole,
    as its division or the model is, is taken off its pixels.
    """
    plane, model = picture.levels[0].plane, scale.model
    period = float(np.median(1 / np.hypot(*model.gradient(points.x, points.y))))
    count = min(len(points.x), MOST_POINTS, max(int(MOST_PIXELS / period), FEWEST_POINTS))
    points = points.select(np.linspace(0, len(points.x) - 1, count).astype(int))
    by_x, by_y = (part[:, None] for part in model.gradient(points.x, points.y))
    steep = np.hypot(by_x, by_y)
    steps = np.arange(-ceil(0.5 * period), ceil(0.5 * period) + 1)
    column = np.rint(points.x[:, None] + steps * by_x / steep).astype(int)
    row = np.rint(points.y[:, None] + steps * by_y / steep).astype(int)
    height, width = plane.shape
    inside = (column >= 0) & (column < width) & (row >= 0) & (row < height)
    off = (model.numbers(column, row) - (points.number + mark_residuals(model, points))[:, None]) / steep
    inside &= np.abs(off) <= 0.5 * period
    values = plane[row[inside], column[inside]].astype(float)
    return average_in_cells(off[inside], -values if scale.start.dark else values, period)


def mark_residuals(model: ScaleModel, points: Points) -> Floats:
    """How far the mark of each point lies off its number, on the mean of its points [marks]."""
    away = model.numbers(points.x, points.y) - points.number
    ordinal = points.number - points.number.min()
    return np.asarray((np.bincount(ordinal, away) / np.maximum(np.bincount(ordinal), 1))[ordinal])


def average_in_cells(off: Floats, values: Floats, period: float) -> Profile:
    """Mean values in cells along the period.

    Parameters
    ----------
    off : distances across the marks, from the middle of a mark [px], shape (n,)
    values : grey steps, shape (n,)
    period : [px]

    Returns
    -------
    Profile : distances [px] and grey steps
    """
    cells = min(max(ceil(period / FINEST_CELL_PX), 1), MOST_CELLS)
    place = np.clip(((off / period + 0.5) * cells).astype(int), 0, cells - 1)
    counts = np.bincount(place, minlength=cells).astype(float)
    there = counts > 0
    sums = [np.bincount(place, part, cells)[there] / counts[there] for part in (off, values)]
    return Profile(sums[0], sums[1], counts[there], period, hypot(1.0, period / cells))
