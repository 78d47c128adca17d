"""Lateral colour and the fall-off of light, along the scale that is seen."""

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.marks import Marks, Scale
from closeup_service.measuring.ruler.picture import GREEN, Floats, Picture, Plane, Pyramid, as_picture, bilinear
from closeup_service.measuring.ruler.profiles import mean_of, places_of, points_of, window_of
from closeup_service.measuring.ruler.records import EndShift, LateralColour, Measured, Point

RED, BLUE = 0, 2
BLOCKS = 8
FEWEST_BLOCKS = 4
CLIPPED = 0.98
LEAST_REACH = 0.2
MOST_RESIDUE_STOPS = 0.1


def lateral_colour(
    image: Plane | Picture, picture: Pyramid, scale: Scale, marks: Marks, line: tuple[Point, Point]
) -> LateralColour | None:
    """How red and blue are shifted from green along the scale; None for grey, or where the marks are too few.

    Parameters
    ----------
    image : at full size, grey (rows, columns) or colour (rows, columns, 3)
    picture : its levels, in green
    scale, marks : as measured
    line : ends of the scale [px]

    Returns
    -------
    LateralColour or None : shifts of red and blue
    """
    if len(image.shape) == 2:
        return None
    x, y, along, period = points_of(scale, marks)
    order = np.argsort(along)
    blocks = [
        block
        for block in np.array_split(order, min(BLOCKS, len(set(np.round(along / period).tolist()))))
        if len(block) >= 6
    ]
    if len(blocks) < FEWEST_BLOCKS:
        return None
    places = np.array([float(along[block].mean()) for block in blocks])
    shifts = {}
    for channel in (RED, BLUE):
        shifts[channel] = np.array(
            [shift(image, channel, scale, x[block], y[block], float(np.median(period))) for block in blocks]
        )
    if all(not shifted.any() for shifted in shifts.values()):
        return None
    red, blue = fit_line(places, shifts[RED]), fit_line(places, shifts[BLUE])
    foot = ruler_place(scale, picture.centre)
    ends = tuple(end_shift(scale, end, foot, red, blue) for end in line)
    return LateralColour((ends[0], ends[1]), as_percent(red), as_percent(blue))


def ruler_place(scale: Scale, place: Point) -> float:
    """Place along the ruler from its start [px]."""
    return (place[0] - scale.start.x) * scale.start.along[0] + (place[1] - scale.start.y) * scale.start.along[1]


Line = tuple[float, float, float]
"""Value at the start, slope, and the slope's uncertainty."""


def end_shift(scale: Scale, place: Point, foot: float, red: Line, blue: Line) -> EndShift:
    """Shifts at one end, positive away from the middle of the picture.

    Parameters
    ----------
    foot : place along the ruler abreast of the picture's middle, from the start [px]
    red, blue : shift at the start [px], its slope along the ruler [px per px], and the slope's uncertainty

    Returns
    -------
    EndShift : shifts [px]
    """
    at = ruler_place(scale, place)
    outwards = 1.0 if at >= foot else -1.0
    return EndShift(place, outwards * (red[0] + red[1] * at), outwards * (blue[0] + blue[1] * at))


def as_percent(line: Line) -> Measured:
    """Return a slope as difference of scale."""
    return Measured(100 * line[1], 100 * line[2])


def shift(image: Plane | Picture, channel: int, scale: Scale, x: Floats, y: Floats, period: float) -> float:
    """How far a colour's marks lie from green's, along the ruler [px], by least squares on green's mean mark."""
    window = window_of(period)
    colours, places = as_picture(image), places_of(scale, x, y, window)
    green, other = (mean_of(sample_channel(colours, each, *places), scale, window) for each in (GREEN, channel))
    if np.array_equal(green, other):
        return 0.0
    basis = np.stack([green, np.gradient(green, window), np.ones(len(window)), window], 1)
    height, slope, _, _ = np.linalg.lstsq(basis, other, rcond=None)[0]
    return float(-slope / height) if abs(height) > 1e-6 else 0.0


def sample_channel(colours: Picture, channel: int, x: Floats, y: Floats) -> NDArray[np.float32]:
    """Values of a colour between its pixels, of which only those about the places are fetched.

    Parameters
    ----------
    x, y : places [px]

    Returns
    -------
    array : grey steps, of the shape of x and y
    """
    height, width = colours.shape[:2]
    x, y = np.clip(x, 0, width - 1.001), np.clip(y, 0, height - 1.001)
    left, top = int(x.min()), int(y.min())
    plane = colours.part(channel, slice(top, int(y.max()) + 2), slice(left, int(x.max()) + 2))
    return bilinear(plane, x - left, y - top)


def fit_line(places: Floats, values: Floats) -> Line:
    """Straight line through values by least squares.

    Parameters
    ----------
    places : along the ruler from the start [px], shape (n,)
    values : shifts [px], shape (n,)

    Returns
    -------
    tuple : shift at the start [px], slope [px per px], and the slope's standard uncertainty
    """
    spread = places - places.mean()
    square = float((spread * spread).sum())
    slope = float((spread * values).sum() / square)
    rest = values - values.mean() - slope * spread
    free = max(len(places) - 2, 1)
    return float(values.mean() - slope * places.mean()), slope, float(np.sqrt((rest * rest).sum() / free / square))


def fall_off(picture: Pyramid, scale: Scale, marks: Marks, line: tuple[Point, Point], depth: float) -> float | None:
    """How much darker the ground is at the farther end of the scale than in the middle [stops], uneven light taken off.

    log2 of the light = a + b s + q r^2 along the scale: s is uneven light, r^2 the fall-off. Values are taken as coded by
    sRGB (IEC 61966-2-1). None on dark grounds, where the ground is clipped or restless, or where the scale does not reach
    out on both sides of the middle.

    Parameters
    ----------
    picture : in green or grey
    scale, marks : as measured
    line : ends of the scale [px]
    depth : number of grey steps of the picture

    Returns
    -------
    float or None : fall-off [stops], positive where the end is darker
    """
    run = marks.found_marks(scale)
    rows = marks.inner_lines
    foot = ruler_place(scale, picture.centre)
    reach = [ruler_place(scale, end) - foot for end in line]
    unit = picture.half_diagonal
    if not scale.start.dark or min(-reach[0], reach[1]) < LEAST_REACH * unit or run.sum() < 8:
        return None
    tail = max(marks.values.shape[-1] // 12, 1)
    ground = np.concatenate([marks.values[..., :tail], marks.values[..., -tail:]], axis=-1)[rows][:, run].mean(axis=-1)
    level = np.median(ground, axis=0) / (depth - 1)
    if np.mean(level > CLIPPED) > 0.02 or level.min() < 0.02:
        return None
    stops = np.log2(linear_light(level))
    along = (np.median(marks.along[rows][:, run], axis=0) - foot) / unit
    u = (np.median(marks.x[rows][:, run], axis=0) - picture.centre[0]) / unit
    v = (np.median(marks.y[rows][:, run], axis=0) - picture.centre[1]) / unit
    basis = np.stack([np.ones(len(along)), along, u * u + v * v], 1)
    kept = np.ones(len(along), bool)
    parts = np.zeros(3)
    for _ in range(4):
        parts = np.linalg.lstsq(basis[kept], stops[kept], rcond=None)[0]
        away = np.abs(stops - basis @ parts)
        kept = away < max(3 * float(np.median(away)), 0.02)
    if float(np.median(away)) > MOST_RESIDUE_STOPS or kept.mean() < 0.6:
        return None
    farther = max(np.hypot(end[0] - picture.centre[0], end[1] - picture.centre[1]) for end in line)
    return float(-parts[2] * (farther / unit) ** 2)


def linear_light(level: Floats) -> Floats:
    """Light from values coded by sRGB, both from 0 to 1 (IEC 61966-2-1, from memory).

    Parameters
    ----------
    level : coded values, 0 to 1, any shape

    Returns
    -------
    array : light, 0 to 1, of the same shape
    """
    return np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)
