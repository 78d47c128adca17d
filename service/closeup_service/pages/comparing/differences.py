"""How far one figure is from another, in words: stops, times as large, or more and less in its unit."""

from closeup_service.advice import figures
from closeup_service.language import mark, tr
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.exposure import gain_stops
from closeup_service.optics.formulas import light_loss_stops
from closeup_service.pages.results import Row

EQUAL, OTHER = mark("the same"), mark("different")
BY_STOPS = ("iso",)
COUNTED_DIGITS = 9
ABOUT = mark("about {difference}")
TIMES = mark("{factor} times as large")
MORE, LESS = mark("{amount} more"), mark("{amount} less")
FEWER = mark("{amount} fewer")
SMALLER_OPENING, LARGER_OPENING = mark("{amount} smaller opening"), mark("{amount} larger opening")
LONGER, SHORTER = mark("{amount} longer"), mark("{amount} shorter")
POINTS = mark("{amount} percentage points")


def tell_difference(first: Row, second: Row) -> str:
    """Say how the second figure differs from the first."""
    if is_shown_alike(first, second):
        return tr(EQUAL)
    before, after = number_of(first), number_of(second)
    if before is None or after is None:
        return tr(OTHER)
    if first.number is None:
        return count(after - before)
    told = difference(before, after, second.name, second.unit)
    return tr(ABOUT, difference=told) if first.between or second.between else told


def is_shown_alike(first: Row, second: Row) -> bool:
    """Whether two figures read the same."""
    return (first.value, first.exact, first.spread, first.between) == (
        *(second.value, second.exact, second.spread, second.between),
    )


def number_of(row: Row) -> float | None:
    """Number of a row; a count is written as one."""
    return float(row.value) if row.number is None and row.value.isdecimal() else row.number


def count(amount: float) -> str:
    """Say a difference of what is counted."""
    return tr(MORE if amount > 0 else FEWER, amount=figures.decimal(abs(amount), COUNTED_DIGITS))


def difference(before: float, after: float, name: str, unit: str) -> str:
    """Say how one number of a quantity differs from another."""
    kind = figures.kind_of(name, unit)
    if before > 0 and after > 0:
        if kind == "f-number":
            return tell_stops(light_loss_stops(after, before, POINT), SMALLER_OPENING, LARGER_OPENING)
        if kind == "time":
            return tell_stops(gain_stops(after, before, POINT), LONGER, SHORTER)
        if kind == "fraction" or name in BY_STOPS:
            return tell_stops(gain_stops(after, before, POINT), MORE, LESS)
        if kind == "ratio" or name.endswith("factor"):
            return tr(TIMES, factor=figures.decimal(after / before))
    return tell_amount(after - before, name, unit)


def tell_stops(amount: float, more: str, less: str) -> str:
    """Say a difference in stops."""
    return tr(more if amount > 0 else less, amount=figures.stops(abs(amount)))


def tell_amount(amount: float, name: str, unit: str) -> str:
    """Say a difference in the unit of the quantity."""
    size = abs(amount)
    if unit == "stops":
        told = figures.stops(size)
    elif figures.is_share(name, unit):
        told = tr(POINTS, amount=figures.decimal(100 * size, 2))
    else:
        told = figures.as_number(size, name, unit)
    return tr(MORE if amount > 0 else LESS, amount=told)
