"""Figures for people: as many digits as are sensible, in the way photographers say them."""

import re
from collections.abc import Mapping
from decimal import Decimal

DIGITS = 4
SHORT_DIGITS = 3
FEWEST_BEFORE_POWER = 1e-4
MOST_BEFORE_POWER = 1e9
SIGNS = {"um": "µm"}
UNIT_WORD = re.compile(r"(?<![\w/-])um(?![\w-])")


def figure(value: float, digits: int = DIGITS) -> str:
    """Write a number to so many significant digits, without powers of ten where they can be done without."""
    if value == 0:
        return "0"
    if not FEWEST_BEFORE_POWER <= abs(value) < MOST_BEFORE_POWER:
        return f"{value:.{digits}g}"
    text = f"{Decimal(f'{value:.{digits - 1}e}'):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def magnification(value: float) -> str:
    """Write a magnification as a number and as a ratio."""
    return f"{figure(value, SHORT_DIGITS)} ({ratio(value)})"


def ratio(value: float) -> str:
    """Write a magnification as the trade says it."""
    return f"{figure(value, SHORT_DIGITS)}:1" if value >= 1 else f"1:{figure(1 / value, SHORT_DIGITS)}"


def f_number(value: float) -> str:
    """Write an f-number as the barrel does."""
    return f"f/{figure(value, SHORT_DIGITS)}"


def measured(value: float, name: str, unit: str) -> str:
    """Write a quantity of this name with its unit."""
    if name == "magnification" and value > 0:
        return magnification(value)
    if name.endswith("f_number"):
        return f_number(value)
    return f"{figure(value)} {SIGNS.get(unit, unit)}".rstrip()


def with_range(value: float, ends: Mapping[str, float], name: str, unit: str) -> str:
    """Write a median with the range that it lies in."""
    if name == "magnification" and value > 0:
        return f"about {ratio(value)}, {ratio(ends['low'])} to {ratio(ends['high'])}"
    mark = "f/" if name.endswith("f_number") else ""
    middle, low, high = (f"{mark}{figure(each, SHORT_DIGITS)}" for each in (value, ends["low"], ends["high"]))
    return f"about {middle}, {low} to {high} {SIGNS.get(unit, unit)}".rstrip()


def with_signs(text: str) -> str:
    """Text in which units bear their signs, as values do."""
    return UNIT_WORD.sub(SIGNS["um"], text)
