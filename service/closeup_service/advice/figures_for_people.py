"""Numbers as people say them: sensible digits, ratios, f-numbers and stops in thirds, marked times, inches beside."""

import re
from math import log2

from closeup_service.advice.figures import in_percent, plain, ratio
from closeup_service.optics.aperture_series import nearest, ring
from closeup_service.optics.nominal_series import nominal

MM_PER_INCH = 25.4
DIGITS, INTERVAL_DIGITS, STATED_DIGITS = 3, 5, 6
"""Significant digits of a result, of an end of an interval, and of what was stated."""
THIRDS = ("", "⅓", "⅔")
SIGNS = {"um": "µm", "deg": "°", "arcmin": "′"}
SHARES = ("contrast", "filled_share", "relative_uncertainty", "variance_share", "keystone", "distortion", "overlap")
POWERS = ("flash_power", "flash_power_fraction")
"""Shares of full power, which are said as one over a number."""
ENDS = ("_low", "_high")
"""Ends of an interval, whose digits must tell them apart."""
MARKED = ("f_number", "nominal_f_number")
"""What stands on the lens itself: rings go by halves as well as by thirds."""
ON_THE_MARK = 0.012
"""Relative difference up to which an f-number counts as the mark itself: engraved numbers are rounded so far."""
THOUSANDS = re.compile(r"(?<=\d)(?=(?:\d{3})+$)")
FULL_STOPS = ring("full", 0.5, 256.0)


def figure(value: float, name: str, unit: str) -> str:
    """Write a quantity with its unit, in the way that people of the trade say it."""
    told = as_marked(value, name, unit) if value > 0 else ""
    if told:
        return told
    if unit == "stops":
        return stops(value)
    if is_share(name, unit):
        return with_unit(in_percent(value), "%")
    return as_number(value, name, unit, INTERVAL_DIGITS if name.endswith(ENDS) else DIGITS)


def stated(value: float, name: str, unit: str, digits: int = STATED_DIGITS) -> str:
    """Write a quantity that went into a sum: as it was stated, not rounded to a mark as a result is."""
    if is_ratio(name) and value > 0:
        return ratio(value, digits)
    if name.endswith("f_number"):
        return f"f/{plain(value, digits)}"
    if (unit == "s" or name in POWERS) and 0 < value < 1 and is_whole(1 / value):
        return with_unit(f"1/{round(1 / value)}", unit)
    return as_number(value, name, unit, digits)


def as_number(value: float, name: str, unit: str, digits: int = DIGITS) -> str:
    """Write a number with its unit, a share in per cent as it was stated."""
    if is_share(name, unit):
        return with_unit(plain(100 * value, digits), "%")
    return with_unit(plain(value, digits), unit)


def is_share(name: str, unit: str) -> bool:
    """Whether a quantity is a share, which people say in per cent."""
    return not unit and (name in SHARES or name.endswith(("contrast", "_error")))


def is_whole(value: float) -> bool:
    """Whether a number is a whole one, but for the digits of what was typed."""
    return abs(value - round(value)) <= 10.0**-STATED_DIGITS * value


def as_marked(value: float, name: str, unit: str) -> str:
    """Write what is said as a ratio, by its nearest mark or as one over a number; nothing for other quantities."""
    if is_ratio(name):
        return ratio(value)
    if name in MARKED:
        return f"f/{plain(value)}"
    if name.endswith("f_number"):
        return f_number(value)
    if name in POWERS and value < 1:
        return one_over(value)
    return seconds(value) if unit == "s" else ""


def is_ratio(name: str) -> bool:
    """Whether a quantity is a magnification, which people say as a ratio; that of pupils they do not."""
    return name.endswith("magnification") and "pupil" not in name


def exact(value: float, name: str, unit: str) -> str:
    """Write the same as a plain number, where `figure` rounds to a mark or speaks in ratios; else nothing."""
    if is_ratio(name):
        return f"{plain(value)}×" if value < 1 else ""
    shown = figure(value, name, unit)
    if name.endswith("f_number"):
        return "" if shown == f"f/{plain(value, 4)}" else plain(value)
    if unit == "stops":
        return "" if shown.split()[0] == as_number(value, name, "") else as_number(value, name, "")
    if unit == "s" or name in POWERS:
        return (
            "" if shown in (stated(value, name, unit), as_number(value, name, unit)) else as_number(value, name, unit)
        )
    return ""


def f_number(value: float) -> str:
    """Write an f-number by its nearest mark: f/16, f/16⅓ a third of a stop smaller; an engraved one as engraved."""
    third = nearest(ring("third", 0.5, 256.0), value)
    if abs(third.nominal / value - 1) < ON_THE_MARK / 2 or not 0.5 <= value <= 256:
        return f"f/{plain(value) if not 0.5 <= value <= 256 else f'{third.nominal:g}'}"
    steps = round(6 * log2(value / FULL_STOPS[0].exact))
    full = FULL_STOPS[min(steps // 3, len(FULL_STOPS) - 1)]
    return f"f/{full.nominal:g}{THIRDS[steps % 3]}"


def stops(value: float) -> str:
    """Write a difference of light in stops and thirds."""
    whole, thirds = divmod(round(3 * abs(value)), 3)
    if value and not whole and not thirds:
        return with_unit(plain(value), "stops")
    number = f"{whole or ''}{THIRDS[thirds]}" or "0"
    sign = "−" if value < 0 and number != "0" else ""
    return f"{sign}{number} {'stop' if number in ('1', *THIRDS[1:]) else 'stops'}"


def one_over(value: float) -> str:
    """Write what is smaller than 1 as one over a number, as shutters and flashes do."""
    return f"1/{plain(1 / value, 2 if 1 / value < 100 else 3)}"


def seconds(value: float) -> str:
    """Write an exposure time by its nearest mark."""
    found = nominal("exposure_time_s", value)
    return f"{found[1] if found else plain(value)} s"


def with_unit(number: str, unit: str) -> str:
    """Put the unit behind a number, with its sign."""
    sign = SIGNS.get(unit, unit)
    return f"{number}{'' if sign in ('°', '′') else ' '}{sign}".strip().replace("-", "−", 1)


def spaced(value: float) -> str:
    """Write a plain number, its thousands apart."""
    whole, point, rest = with_unit(plain(value, STATED_DIGITS), "").partition(".")
    return THOUSANDS.sub("\u202f", whole) + point + rest


def inches(value_mm: float) -> str:
    """Write a length in inches."""
    return with_unit(plain(value_mm / MM_PER_INCH), "in")


def with_capital(text: str) -> str:
    """Text that begins a line; an f-number keeps its small letter."""
    return text if text.startswith(("f-", "f/")) else text[:1].upper() + text[1:]
