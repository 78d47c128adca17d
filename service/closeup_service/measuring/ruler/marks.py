"""Following a scale mark by mark from a start, in both directions, and measuring every mark on many lines.

Each mark is compared with the picture of one mark: least squares on  value = h S(w - d) + b + c w  over one period,
linearised in d, gives height, displacement and how well it fits. Uneven light is b and c; it does not move the mark.
"""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from closeup_service.measuring.ruler.fit import Fit, ScaleModel, fit_scale
from closeup_service.measuring.ruler.likeness import compare_with_mark
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.start import SHAPE, Start, make_symmetric

WIDE = 2.4
"""Lines are laid out to so many times the half-width of the strip to each side, to see where marks end."""
INNER = 0.8
LEAST_FIT = 0.5
FIRST_FIT = 0.3
"""The same before the picture of one mark is known well."""
MOST_SHIFT = 0.3
MOST_TIPPED = 0.6
"""Light that changes so much over a period, against a mark's height, is an edge (the end of the ruler), not a mark."""
LEAST_ALIKE = 0.7
LEAST_LINES = 0.4
"""Share of the lines within the strip that must see a mark."""
MOST_MARKS = 1200
STEPS_ALONG = 5
"""Newton's steps to a mark from the start; from nearby fewer do."""
ROUNDS = 14
WIDEST = 18.0
"""Marks longer than so many periods are a pattern, not a scale."""
WILD = 0.15


class Scale(Struct, frozen=True):
    """A scale as followed so far.

    Parameters
    ----------
    model : number of the mark over the picture
    start : where it was found; its direction is the frame of `offset` and `slope`
    offset, slope, half_width : middle of the marks across the ruler [px], at the start and per px along; and its half
    shape : picture of one mark
    first, last : numbers of the outermost marks found
    """

    model: ScaleModel
    start: Start
    offset: float
    slope: float
    half_width: float
    shape: Floats
    first: int
    last: int
    fit: Fit | None = None
    contrast: float = 0.0

    @property
    def period(self) -> float:
        """Pixels between marks, on the whole."""
        first, last = self.distances_of(np.array([self.first, self.last]))
        return float((last - first) / max(self.last - self.first, 1))

    def distances_of(self, numbers: NDArray[np.int64]) -> Floats:
        """How far from the start, in its direction, the marks of these numbers lie [px]."""
        return self.model.distance_to_mark(
            self.start.x, self.start.y, self.start.along, numbers.astype(float), STEPS_ALONG
        )

    def places_abreast(self, along: Floats, lines: Floats | float = 0.0) -> tuple[Floats, Floats]:
        """Places abreast of the start [px], as far across as lines, in half-widths from the middle, are so far along."""
        across = self.offset + self.slope * along + self.half_width * lines
        u_x, u_y = self.start.along
        return self.start.x - across * u_y, self.start.y + across * u_x


class Marks(Struct, frozen=True):
    """Marks (columns) measured on lines (rows).

    Parameters
    ----------
    numbers, lines : of the marks; and of the lines, in half-widths from the middle of the strip
    x, y : where the mark was measured [px]
    along : of the mark from the start [px]
    height : of the mark over its ground [grey steps], positive as the scale's marks are
    fit : share of the variation that the mark explains
    inside : whether it lies in the picture with its surroundings
    seen : whether it counts as a mark
    values : the samples, over one period
    period : local, of each mark [px]
    """

    numbers: NDArray[np.int64]
    lines: Floats
    x: Floats
    y: Floats
    along: Floats
    height: Floats
    fit: Floats
    inside: NDArray[np.bool_]
    seen: NDArray[np.bool_]
    values: NDArray[np.float32]
    period: Floats

    @property
    def inner_lines(self) -> NDArray[np.bool_]:
        """Lines well within the strip."""
        return np.abs(self.lines) <= INNER

    @property
    def is_found(self) -> NDArray[np.bool_]:
        """Marks that enough of the inner lines see."""
        rows = self.inner_lines
        return np.asarray(self.seen[rows].sum(axis=0) >= np.maximum(LEAST_LINES * self.inside[rows].sum(axis=0), 2))

    def scale_marks(self, scale: Scale) -> NDArray[np.bool_]:
        """Marks from the first to the last of the scale."""
        return (self.numbers >= scale.first) & (self.numbers <= scale.last)

    def found_marks(self, scale: Scale) -> NDArray[np.bool_]:
        """Those of the scale's marks that are found."""
        return self.scale_marks(scale) & self.is_found

    def points_on(self, scale: Scale) -> NDArray[np.bool_]:
        """Where lines well within the strip see a found mark of the scale."""
        return self.seen & self.found_marks(scale) & self.inner_lines[:, None]


def begin(picture: Pyramid, start: Start) -> Scale:
    """Return a scale of even marks about the start."""
    unit, (u_x, u_y) = picture.half_diagonal, start.along
    a1, a2 = u_x * unit / start.period, u_y * unit / start.period
    a0 = -((start.x - picture.centre[0]) * u_x + (start.y - picture.centre[1]) * u_y) / start.period
    model = ScaleModel(np.array([a0, a1, a2, 0.0, 0.0, 0.0]), picture.centre, unit)
    return Scale(model, start, 0.0, 0.0, start.half_width, start.shape, -3, 3)


def measure_marks(
    picture: Pyramid,
    scale: Scale,
    numbers: NDArray[np.int64],
    lines: Floats,
    samples: int = SHAPE,
    bundle: int = 1,
    detail: float = 30.0,
    least_fit: float = LEAST_FIT,
) -> Marks:
    """Measure marks on lines; `bundle` neighbouring lines are averaged into one.

    Parameters
    ----------
    picture, scale : where to look
    numbers : of the marks, shape (marks,)
    lines : across the strip [half-widths from the middle], shape (lines,)
    samples : for each period
    bundle : how many lines are averaged
    detail : pixels of the level for each period, at least
    least_fit : share of the variation that a mark must explain

    Returns
    -------
    Marks : arrays of shape (lines / bundle, marks)
    """
    start, model = scale.start, scale.model
    u_x, u_y = start.along
    on_axis = scale.distances_of(numbers)
    base_x, base_y = scale.places_abreast(on_axis, lines[:, None])
    near_x, near_y = base_x + on_axis * u_x, base_y + on_axis * u_y
    along = on_axis + model.distance_to_mark(near_x, near_y, start.along, numbers.astype(float), 2)
    x, y = base_x + along * u_x, base_y + along * u_y
    by_x, by_y = model.gradient(x, y)
    period = 1 / np.maximum(np.abs(by_x * u_x + by_y * u_y), 1e-6)
    window = np.linspace(-0.5, 0.5, samples)
    level = picture.choose_level(float(np.median(period)), detail)
    away = period[..., None] * window
    values = level.sample(x[..., None] + away * u_x, y[..., None] + away * u_y)
    width, height = picture.size
    reach_x, reach_y = 0.45 * period * abs(u_x), 0.45 * period * abs(u_y)
    inside = (x > reach_x) & (x < width - 1 - reach_x) & (y > reach_y) & (y < height - 1 - reach_y)
    if bundle > 1:
        values = values.reshape(-1, bundle, *values.shape[1:]).mean(axis=1)
        inside = np.asarray(inside.reshape(-1, bundle, len(numbers)).all(axis=1))
        x, y, along, period = (part.reshape(-1, bundle, len(numbers)).mean(axis=1) for part in (x, y, along, period))
        lines = lines.reshape(-1, bundle).mean(axis=1)
    return compare_samples(scale, numbers, lines, x, y, along, inside, values, period, least_fit)


def compare_samples(
    scale: Scale,
    numbers: NDArray[np.int64],
    lines: Floats,
    x: Floats,
    y: Floats,
    along: Floats,
    inside: NDArray[np.bool_],
    values: NDArray[np.float32],
    period: Floats,
    least_fit: float,
) -> Marks:
    """Compare the samples with the picture of one mark.

    Parameters
    ----------
    lines : across the strip, from the middle [half-widths], shape (lines,)
    x, y : where each mark was sampled [px], shape (lines, marks)
    along : place of each mark from the start [px], shape (lines, marks)
    values : grey steps, shape (lines, marks, samples)
    period : local, of each mark [px], shape (lines, marks)
    least_fit : share of the variation that a mark must explain

    Returns
    -------
    Marks : arrays of shape (lines, marks)
    """
    like = compare_with_mark(scale, values)
    seen = inside & (like.height > 0) & (like.fit > least_fit) & (np.abs(like.shift) < MOST_SHIFT)
    seen &= ~(np.abs(like.slope) > MOST_TIPPED * like.height)
    move = np.where(seen, like.shift, 0.0) * period
    u_x, u_y = scale.start.along
    return Marks(
        numbers,
        lines,
        x + move * u_x,
        y + move * u_y,
        along + move,
        like.height,
        like.fit.astype(float),
        inside,
        seen,
        values,
        period,
    )


def drop_unlikely(marks: Marks) -> Marks:
    """Drop what is far fainter, far stronger, or far less like a mark than marks usually are here."""
    rows = marks.inner_lines
    heights = marks.height[rows][marks.seen[rows]]
    usual = float(np.median(heights)) if heights.size else 0.0
    fits = marks.fit[rows][marks.seen[rows]]
    least = LEAST_ALIKE * float(np.median(fits)) if fits.size else 0.0
    return replace(
        marks, seen=marks.seen & (marks.height > 0.25 * usual) & (marks.height < 4 * usual) & (marks.fit > least)
    )


def run_of(numbers: NDArray[np.int64], found: NDArray[np.bool_], first: int, last: int) -> tuple[int, int]:
    """Extend first and last over the marks found, as long as half of each next six is there, and over gaps (glare)."""
    there = dict(zip(numbers.tolist(), found.tolist(), strict=True))
    for _ in range(3):
        last = edge_of(there, last, 1, last - first)
        first = edge_of(there, first, -1, last - first)
    return first, last


def edge_of(there: dict[int, bool], edge: int, step: int, length: int) -> int:
    """Last mark in one direction. A gap much shorter than the stretch known is leapt over where five marks stand beyond."""
    while True:
        ahead = [edge + step * i for i in range(1, 7)]
        present = [number for number in ahead if there.get(number, False)]
        if present and len(present) >= 0.5 * sum(number in there for number in ahead):
            edge = present[0]
            continue
        leap = next(
            (
                i
                for i in range(2, max(length // 2, 2))
                if all(there.get(edge + step * (i + j), False) for j in range(5))
            ),
            None,
        )
        if leap is None:
            return edge
        edge += step * leap


def follow_scale(picture: Pyramid, start: Start) -> Scale | None:
    """Follow the scale from its start to both ends; None where it breaks off at once."""
    scale = begin(picture, start)
    lines = np.linspace(-WIDE, WIDE, 25)
    reach, idle = 3, 0
    for turn in range(ROUNDS):
        numbers = visible_numbers(picture, scale, np.arange(scale.first - reach, scale.last + reach + 1))
        if len(numbers) < 3:
            return None
        marks = drop_unlikely(
            measure_marks(picture, scale, numbers, lines, 17, least_fit=LEAST_FIT if turn > 1 else FIRST_FIT)
        )
        grown = update_scale(scale, marks)
        if grown is None:
            return None
        idle = idle + 1 if (grown.first >= scale.first and grown.last <= scale.last) else 0
        stable = abs(grown.half_width / scale.half_width - 1) < 0.1
        scale = grown
        if turn > 1 and (2 * scale.half_width > WIDEST * scale.period or (scale.fit and scale.fit.scatter > WILD)):
            return None
        if turn > 1 and idle and stable and (idle > 1 or (numbers[0] >= scale.first and numbers[-1] <= scale.last)):
            break
        reach = (
            int(max(4, 0.5 * (scale.last - scale.first))) if not idle else int(max(8, 0.6 * (scale.last - scale.first)))
        )
    return scale


def visible_numbers(picture: Pyramid, scale: Scale, numbers: NDArray[np.int64]) -> NDArray[np.int64]:
    """Those of the numbers whose marks lie in the picture, on the middle of the strip; only a run about the start."""
    along = scale.distances_of(numbers)
    base_x, base_y = scale.places_abreast(along)
    x, y = base_x + along * scale.start.along[0], base_y + along * scale.start.along[1]
    width, height = picture.size
    inside = (x > 0) & (x < width - 1) & (y > 0) & (y < height - 1)
    inside &= np.gradient(along) > 0 if len(along) > 1 else True
    middle = int(np.argmin(np.abs(numbers - (scale.first + scale.last) // 2)))
    if not inside[middle]:
        return numbers[:0]
    gaps = np.nonzero(~inside)[0]
    low = gaps[gaps < middle].max(initial=-1) + 1
    high = gaps[gaps > middle].min(initial=len(numbers))
    return numbers[low:high][:MOST_MARKS]


def update_scale(scale: Scale, marks: Marks) -> Scale | None:
    """Return the scale with model, strip and picture of a mark renewed from what was measured."""
    first, last = run_of(marks.numbers, marks.is_found, *centre_run(marks, scale))
    scale = replace(scale, first=first, last=last)
    run, use = marks.found_marks(scale), marks.points_on(scale)
    if run.sum() < 3:
        return None
    number = np.broadcast_to(marks.numbers, use.shape)[use]
    fit = fit_scale(scale.model, marks.x[use], marks.y[use], number)
    scale = replace(
        scale,
        model=fit.model,
        fit=fit,
        shape=mean_shape(scale, marks, use),
        contrast=float(np.median(marks.height[use])),
    )
    return fit_strip(scale, marks, run)


def centre_run(marks: Marks, scale: Scale) -> tuple[int, int]:
    """First and last mark found within the stretch known before."""
    known = marks.numbers[marks.found_marks(scale)]
    middle = (scale.first + scale.last) // 2
    return (int(known[0]), int(known[-1])) if len(known) else (middle, middle)


def mean_shape(scale: Scale, marks: Marks, use: NDArray[np.bool_]) -> Floats:
    """Return the picture of one mark as it is on the whole, mixed with the one before.

    Returns
    -------
    array : one mark over a period, its lowest 0 and its middle 1, shape (samples,)
    """
    values = marks.values[use].astype(float)
    level = values - values.mean(axis=-1, keepdims=True)
    mean = np.median(level / np.maximum(marks.height[use], 1e-6)[:, None], axis=0) * (-1.0 if scale.start.dark else 1.0)
    fine = np.interp(np.linspace(-0.5, 0.5, SHAPE), np.linspace(-0.5, 0.5, values.shape[-1]), mean)
    return make_symmetric(fine)


def fit_strip(scale: Scale, marks: Marks, run: NDArray[np.bool_]) -> Scale:
    """Lay the strip where the marks are: its middle a straight line through the middles of stretches, its width theirs."""
    columns = np.nonzero(run)[0]
    middles, halves, places = [], [], []
    for block in np.array_split(columns, min(8, max(1, len(columns) // 5))):
        share = marks.seen[:, block].mean(axis=1)
        low, high = stretch(share > 0.65 * share[marks.inner_lines].max(initial=0.1), marks.lines)
        if high > low:
            middles.append(0.5 * (low + high))
            halves.append(0.5 * (high - low))
            places.append(float(np.mean(marks.along[:, block])))
    if not middles:
        return scale
    half = float(np.median(halves))
    shifts = np.array(middles) * scale.half_width
    slope = 0.0
    if len(middles) >= 2:
        spread = np.array(places) - np.mean(places)
        slope = float((spread * (shifts - shifts.mean())).sum() / (spread * spread).sum())
    offset = float(np.median(shifts - slope * np.array(places)))
    half_width = scale.half_width * float(np.clip(half, 0.5, 2.0))
    return replace(scale, offset=scale.offset + offset, slope=scale.slope + slope, half_width=half_width)


def stretch(good: NDArray[np.bool_], lines: Floats) -> tuple[float, float]:
    """Lowest and highest line of the unbroken stretch of good lines about the middle; a single bad line is passed over.

    Parameters
    ----------
    good : which lines are, shape (lines,)
    lines : in rising order, from the middle [half-widths], shape (lines,)

    Returns
    -------
    tuple : half a step beyond both [half-widths]
    """
    order = np.argsort(np.abs(lines))
    middle = next((int(i) for i in order if good[i] and abs(lines[i]) <= 1), None)
    if middle is None:
        return 0.0, 0.0
    low = high = middle
    while low > 0 and (good[low - 1] or (low > 1 and good[low - 2])):
        low -= 1
    while high < len(good) - 1 and (good[high + 1] or (high < len(good) - 2 and good[high + 2])):
        high += 1
    gap = 0.5 * float(lines[1] - lines[0])
    return float(lines[low]) - gap, float(lines[high]) + gap
