"""How many digits a worked sum shows: enough that a pocket calculator comes to the result shown."""

from collections.abc import Callable, Mapping
from math import floor, isfinite, log10

from closeup_service.advice import figures

RESULT_DIGITS = 4
EXACT_DIGITS = 8
"""A number that is written exactly with no more digits than these is written exactly."""

MOST_DIGITS = 17
NOTHING, NEAR_NOTHING = 1e-12, 5e-5
"""A result below the first is what rounding leaves of none; rounded numbers may come to as much as the second."""


def plain(value: float, digits: int) -> str:
    """Write a number to so many significant digits, as texts do, but with a minus sign and not a hyphen."""
    return figures.plain_decimal(value, digits).replace("-", "−")


def exact(value: float, most: int) -> str | None:
    """Write a number that so few digits write exactly, up to the last digits that rounding leaves; else None."""
    if value == 0 or abs(value - float(f"{value:.{most - 1}e}")) <= 1e-14 * abs(value):
        return plain(value, most)
    return None


def result_text(value: float) -> str:
    """Write a result: a whole number in full, others to four significant digits, and no digit before the point left out."""
    if abs(value) < NOTHING:
        return "0"
    if value.is_integer() and abs(value) < 10**EXACT_DIGITS:
        return plain(value, EXACT_DIGITS)
    return plain(value, max(RESULT_DIGITS, floor(log10(abs(value))) + 1))


def input_text(value: float, digits: int) -> str:
    """Write a number put in: exactly where that is short, else to so many digits."""
    return exact(value, EXACT_DIGITS) or plain(value, digits)


def read(text: str) -> float:
    """Read a number that was written here."""
    return float(text.replace("−", "-"))


def tolerance(value: float, text: str) -> float:
    """Half of the last place of a result as shown, four significant digits at least."""
    places = len(text.partition(".")[2])
    least = 0.5 * 10.0**-places
    if abs(value) < NOTHING:
        return NEAR_NOTHING
    return min(least, 0.5 * 10.0 ** (floor(log10(abs(value))) - RESULT_DIGITS + 1))


def texts_for(
    result: float, values: Mapping[str, float], evaluate: Callable[[Mapping[str, float]], float]
) -> dict[str, str]:
    """Texts of the numbers put in, with the fewest digits that give the result within what is shown of it."""
    shown = result_text(result)
    texts: dict[str, str] = {}
    for digits in range(RESULT_DIGITS, MOST_DIGITS + 1):
        texts = {name: input_text(value, digits) for name, value in values.items()}
        try:
            found = evaluate({name: read(text) for name, text in texts.items()})
        except (ArithmeticError, ValueError):
            continue
        if isinstance(found, int | float) and isfinite(found) and abs(found - read(shown)) <= tolerance(result, shown):
            break
    return texts
