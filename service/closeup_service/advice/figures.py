"""Numbers in texts for people: so many significant digits, without powers of ten."""

from decimal import Decimal
from math import floor, log10

LEAST_SHARE = 1e-4
"""A share below a hundredth of a per cent is none that a photograph shows: people need not read its digits."""

FINEST_PLACES = 3
"""Places of a share in per cent."""


def plain(value: float, digits: int = 3) -> str:
    """Write a number to so many significant digits, 1200 and not 1.2e+03."""
    text = f"{Decimal(f'{value:.{digits - 1}e}'):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def in_percent(share: float, digits: int = 3) -> str:
    """Write the number of per cents to so many significant digits, none of them finer than a photograph can show."""
    if share == 0:
        return "0"
    if abs(share) < LEAST_SHARE:
        return f"less than {plain(100 * LEAST_SHARE)}"
    before_the_point = floor(log10(abs(100 * share))) + 1
    return plain(100 * share, min(digits, before_the_point + FINEST_PLACES))


def ratio(magnification: float, digits: int = 3) -> str:
    """Write a magnification to so many significant digits as the trade does: 2:1, or 1:1.57."""
    return f"{plain(magnification, digits)}:1" if magnification >= 1 else f"1:{plain(1 / magnification, digits)}"
