"""Numbers in texts for people: so many significant digits, without powers of ten."""

from decimal import Decimal


def plain(value: float, digits: int = 3) -> str:
    """Write a number to so many significant digits, 1200 and not 1.2e+03."""
    text = f"{Decimal(f'{value:.{digits - 1}e}'):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def ratio(magnification: float, digits: int = 3) -> str:
    """Write a magnification to so many significant digits as the trade does: 2:1, or 1:1.57."""
    return f"{plain(magnification, digits)}:1" if magnification >= 1 else f"1:{plain(1 / magnification, digits)}"
