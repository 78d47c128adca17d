"""What repeats beside a scale, at its own period or at another: rows of cloth, the other edge of the ruler, finer marks."""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from closeup_service.measuring.ruler.fit import ScaleModel
from closeup_service.measuring.ruler.marks import INNER, Scale, measure_marks
from closeup_service.measuring.ruler.picture import Floats, Pyramid
from closeup_service.measuring.ruler.start import SHAPE, Start, make_symmetric

STRONG = 0.45
PRESENT = 0.75
GOES_ON = 1.7
"""A band so many times as wide as the marks are long is no band of marks."""
SAMPLES = 13
MOST_LINES = 160
NEIGHBOURS = 25
"""So many marks to each side of the middle are looked at."""


class Bands(Struct, frozen=True):
    """The wave of one period on lines beside one another.

    Parameters
    ----------
    across : of each line from the middle of the scale [half-widths]
    mean : complex mean of the wave over the marks [grey steps]
    sizes : of the wave at every mark, a row per line
    known : share of the marks that lie in the picture
    inside : which do
    step : between lines [px]
    """

    across: Floats
    mean: NDArray[np.complex128]
    sizes: Floats
    known: Floats
    inside: NDArray[np.bool_]
    step: float

    def present_share(self, least: float) -> Floats:
        """Share of the marks on each line that swing at least so much.

        Parameters
        ----------
        least : size of the wave [grey steps]

        Returns
        -------
        array : shares, 0 to 1, shape (lines,)
        """
        count = np.maximum(self.inside.sum(axis=1), 1)
        return np.asarray((self.inside & (self.sizes > least)).sum(axis=1) / count)


def bands(picture: Pyramid, scale: Scale, reach: float) -> Bands:
    """Lay lines out to a reach [px] on both sides of a scale and take the wave of its period on each."""
    middle = (scale.first + scale.last) // 2
    numbers = np.arange(max(scale.first, middle - NEIGHBOURS), min(scale.last, middle + NEIGHBOURS) + 1)
    period = scale.period
    step = max(min(max(0.25 * scale.half_width, 0.12 * period), 0.5 * period), reach / MOST_LINES)
    count = int(reach / step)
    lines = np.arange(-count, count + 1, dtype=np.float64) * step / scale.half_width
    seen = measure_marks(picture, scale, numbers, lines, SAMPLES)
    window = np.linspace(-0.5, 0.5, SAMPLES)
    even = np.stack([np.ones(SAMPLES), window], 1)
    turns: NDArray[np.complex128] = np.exp(-2j * np.pi * window)
    wave = turns @ (np.eye(SAMPLES) - even @ np.linalg.pinv(even))
    swings = seen.values @ wave
    total = np.maximum(seen.inside.sum(axis=1), 1)
    mean: NDArray[np.complex128] = np.where(seen.inside, swings, 0).sum(axis=1)
    return Bands(lines, mean / total, np.abs(swings), seen.inside.mean(axis=1), seen.inside, step)


def count_repeats(picture: Pyramid, scale: Scale) -> tuple[int, bool]:
    """How many bands of marks of this period lie beside one another, and whether they go on or one adjoins in opposite phase.

    A ruler has one or two. Cloth, bricks and chequers repeat, or go on beyond what interrupts them.

    Returns
    -------
    tuple : number of bands, and whether they go on or adjoin in opposite phase
    """
    seen = bands(picture, scale, max(14 * scale.half_width, 8 * scale.period))
    own = seen.mean[np.abs(seen.across) <= INNER].mean()
    size = max(abs(own), 1e-9)
    strong = (np.abs(seen.mean) > STRONG * size) & (seen.present_share(0.3 * size) > PRESENT) & (seen.known >= 0.5)
    against = strong & ((seen.mean * np.conj(own)).real < -STRONG * size * size)
    least = max(2, int(0.5 * scale.half_width / seen.step))
    close = max(2, int(0.3 * scale.half_width / seen.step))
    found = runs(strong, least)
    longest = max((end - begin for begin, end in found), default=0) * seen.step
    goes_on = longest > GOES_ON * 2 * scale.half_width + 2 * seen.step
    return len(found), goes_on or len(runs(against & (np.abs(seen.across) < 2.5), close)) > 0


def runs(good: NDArray[np.bool_], least: int) -> list[tuple[int, int]]:
    """Begin and end of the unbroken runs of at least so many."""
    edges = np.diff(np.concatenate([[0], good.astype(int), [0]]))
    pairs = zip(np.nonzero(edges > 0)[0].tolist(), np.nonzero(edges < 0)[0].tolist(), strict=True)
    return [(begin, end) for begin, end in pairs if end - begin >= least]


def scale_period(scale: Scale, ratio: float) -> Scale:
    """Return the scale as if its marks stood at `ratio` of their period."""
    parameters = scale.model.parameters.copy()
    parameters[:3] /= ratio
    model = ScaleModel(parameters, scale.model.centre, scale.model.unit)
    return replace(scale, model=model, first=int(np.ceil(scale.first / ratio)), last=int(np.floor(scale.last / ratio)))


def find_neighbouring_start(picture: Pyramid, scale: Scale, ratio: float) -> Start | None:
    """Look beside a scale for another, at `ratio` of its period: on its ruler's other edge, or between its marks.

    Parameters
    ----------
    picture : searched
    scale : known scale
    ratio : period of the other over its own

    Returns
    -------
    Start or None : on a mark of the other scale
    """
    other = scale_period(scale, ratio)
    if other.last - other.first < 4 or other.period < 2.5:
        return None
    seen = bands(picture, other, min(30 * other.period + 4 * scale.half_width, picture.half_diagonal))
    size = np.abs(seen.mean)
    together = np.where(seen.known > 0.5, size, 0) * (seen.present_share(0.4 * size.max()) > PRESENT)
    found = runs(together > 0.5 * together.max(initial=0.0), 2) if together.any() else []
    if not found:
        return None
    begin, end = max(found, key=lambda run: float(together[run[0] : run[1]].sum()))
    return start_on_band(other, seen, begin, end)


def start_on_band(other: Scale, seen: Bands, begin: int, end: int) -> Start:
    """Set a start on a mark in the middle of a band."""
    phase = float(np.angle(seen.mean[begin:end].sum()))
    start, (u_x, u_y) = other.start, other.start.along
    sign = 0.5 if start.dark else 0.0
    along = other.distances_of(np.array([(other.first + other.last) // 2]))
    place = along + (((-phase / (2 * np.pi) + sign) + 0.5) % 1 - 0.5) * other.period
    base_x, base_y = other.places_abreast(place, float(seen.across[begin:end].mean()))
    window = np.linspace(-0.5, 0.5, SHAPE)
    return Start(
        float((base_x + place * u_x)[0]),
        float((base_y + place * u_y)[0]),
        start.along,
        other.period,
        0.5 * (end - begin) * seen.step,
        make_symmetric(np.exp(-0.5 * (window / 0.12) ** 2)),
        start.dark,
        0.0,
    )
