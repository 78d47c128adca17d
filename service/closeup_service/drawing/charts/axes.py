"""Axes of charts: their ends, their ticks and the words of those."""

from collections.abc import Iterable, Sequence
from math import ceil, floor, inf, log, log10

from msgspec import Struct

from closeup_service.advice.figures import decimal, ratio

DECADE = 10.0
LADDER = (1.0, 2.0, 5.0)
STEPS = 5
"""Steps of an even axis, about."""
MOST_TICKS = 8
MARGIN = 0.03
"""Room beyond the values at the ends of an axis, as a share of it."""
NARROW = 0.02
"""Values that differ by a smaller share than this are drawn as one level."""
ROUNDING = 1e-6
NOTHING = 1e-200
"""So little is none."""
SUPERSCRIPTS = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


class Tick(Struct, frozen=True):
    """A place on an axis that is named."""

    value: float
    label: str


class Axis(Struct, frozen=True):
    """From one value to another, evenly or by equal factors; ticks in the order in which their labels are wanted."""

    low: float
    high: float
    ticks: tuple[Tick, ...]
    logarithmic: bool = False

    def share(self, value: float) -> float:
        """Where a value lies between the ends, from 0 to 1; beyond them less or more."""
        if self.logarithmic:
            return log(value / self.low) / log(self.high / self.low) if value > 0 else -inf
        return (value - self.low) / (self.high - self.low)


def axis_for(values: Iterable[float | None], *, ratios: bool = False) -> Axis | None:
    """Axis for a curve: by equal factors where it spans more than a decade; None where it has no value."""
    known = [value for value in values if value is not None]
    if not known:
        return None
    if min(known) > NOTHING and max(known) / min(known) > DECADE:
        return factor_axis(min(known), max(known), ratios)
    return even_axis(min(known), max(known))


def even_axis(low: float, high: float, narrow: float = NARROW) -> Axis:
    """Axis with round ticks that begin and end it."""
    size = max(abs(low), abs(high))
    if high - low <= max(narrow * size, NOTHING):
        room = NARROW * size if size > NOTHING else 1.0
        low, high = low - room, high + room
    step = round_step((high - low) / STEPS)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    places = [number * step for number in range(first, max(last, first + 1) + 1)]
    return Axis(places[0], places[-1], tuple(Tick(place, even_label(place, step)) for place in places))


def tight_axis(low: float, high: float, margin: float = MARGIN) -> Axis:
    """Axis that ends a little beyond its values, with round ticks within."""
    even = even_axis(low, high, ROUNDING)
    if high - low <= max(ROUNDING * max(abs(low), abs(high)), NOTHING):
        return even
    room = max(MARGIN, margin) * (high - low)
    ends = (low - room, high + room)
    return Axis(*ends, tuple(tick for tick in even.ticks if ends[0] <= tick.value <= ends[1]))


def round_step(step: float) -> float:
    """Least of 1, 2, 5, 10, ... that is not below a step."""
    decade = 10.0 ** floor(log10(step))
    return next((rung * decade for rung in LADDER if rung * decade >= step * (1 - 1e-9)), 10 * decade)


def factor_axis(low: float, high: float, ratios: bool = False) -> Axis:
    """Axis by equal factors from one of 1, 2, 5, 10, ... to another; over many decades whole ones alone are named."""
    rungs = [rung * 10.0**power for power in range(floor(log10(low)) - 1, ceil(log10(high)) + 2) for rung in LADDER]
    first = max(rung for rung in rungs if rung <= low * (1 + 1e-9))
    last = min(rung for rung in rungs if rung >= high * (1 - 1e-9))
    within = [rung for rung in rungs if first <= rung <= last]
    named = within if len(within) <= MOST_TICKS else decades(within)
    return Axis(
        first, last, tuple(Tick(rung, (ratio if ratios and is_usual(rung) else figure)(rung)) for rung in named), True
    )


def is_usual(magnification: float) -> bool:
    """Whether people write a magnification as a ratio."""
    return 1e-5 <= magnification <= 1e5


def decades(rungs: Sequence[float]) -> list[float]:
    """Whole decades, or every so many of them, among the rungs."""
    whole = [rung for rung in rungs if abs(log10(rung) - round(log10(rung))) < 1e-6]
    return whole[:: ceil(len(whole) / MOST_TICKS)]


def aperture_axis(marks: Sequence[tuple[float, float]], first: float | None = None) -> Axis:
    """Axis of an aperture ring by equal factors: exact f-numbers, named as engraved; full stops are wanted first."""
    room = 2 ** (1 / 12)
    low, high = marks[0][0] / room, marks[-1][0] * room
    wanted = sorted(marks, key=lambda mark: (mark[1] != first, full_stop_difference(mark[0]), mark[0]))
    return Axis(low, high, tuple(Tick(exact, f"{nominal:g}") for exact, nominal in wanted), True)


def full_stop_difference(f_number: float) -> float:
    """How far an f-number lies from a full stop, in stops."""
    stops = 2 * log(f_number, 2)
    return round(abs(stops - round(stops)), 2)


def even_label(value: float, step: float) -> str:
    """Number with as many decimals as the step between ticks has."""
    if abs(value) < step / 2:
        return "0"
    if step >= 1e5 or step < 1e-5 or abs(value) >= 1e6:
        return figure(value)
    decimals = max(0, -floor(log10(step) + 1e-9))
    return write_signed(f"{value:.{decimals}f}")


def figure(value: float) -> str:
    """Number of a few digits, with a power of ten where it is very large or small."""
    if value == 0 or 1e-3 <= abs(value) < 1e6:
        return write_signed(decimal(value))
    power = floor(log10(abs(value)) + 1e-9)
    mantissa = decimal(value / 10.0**power)
    times = {"1": "", "-1": "-"}.get(mantissa, f"{mantissa}·")
    return write_signed(f"{times}10{str(power).translate(SUPERSCRIPTS)}")


def write_signed(text: str) -> str:
    """Text with a true minus sign."""
    return text.replace("-", "−")
