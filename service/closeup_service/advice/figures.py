"""Numbers as they are written for people: sensible digits without powers of ten, ratios, f-numbers and stops in thirds.

`decimal`, `percent` and `ratio` write numbers within texts; `figure` a result, rounded to the mark that stands on the lens
or the camera; `figure_in_range` one that is known within a range; `format_stated` what was stated, not rounded to a mark;
`format_kind` a number of the embedded calculators, in the decimal sign of their language.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from math import floor, log2, log10
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.language import mark, tr, with_decimal_sign
from closeup_service.optics.aperture_series import marks_of_ring, nearest_mark
from closeup_service.optics.nominal_series import nominal_mark

if TYPE_CHECKING:
    from closeup_service.records import answers

LEAST_SHARE = 1e-4
"""A share below a hundredth of a per cent is none that a photograph shows: people need not read its digits."""

FINEST_PLACES = 3
"""Places of a share in per cent."""
MM_PER_INCH = 25.4
DIGITS, INTERVAL_DIGITS, STATED_DIGITS = 3, 5, 6
"""Significant digits of a result, of an end of an interval, and of what was stated."""
FEWEST_DIGITS = 2
"""Significant digits of a figure within a range, at least."""
QUARTERS = 4
THIRDS = ("", "1/3", "2/3")
SIGNS = {"um": "µm", "deg": "°", "arcmin": "′"}
UNITS_IN_WORDS = (mark("stops"), mark("pixels"), mark("px"), mark("megapixels"), mark("lp/mm"))
SHARES = ("contrast", "filled_share", "relative_uncertainty", "variance_share", "keystone", "distortion", "overlap")
POWERS = ("flash_power", "flash_power_fraction")
"""Shares of full power, which are said as one over a number."""
ENDS = ("_low", "_high")
"""Ends of an interval, whose digits must tell them apart."""
ENGRAVED = "nominal_f_number"
ON_THE_MARK = 0.012
"""Relative difference up to which an f-number counts as the mark itself: engraved numbers are rounded so far."""
BEFORE_A_UNIT = re.compile(r"(?<=\d) (?=(?:mm|µm|stops?|Blenden?|s|m)\b)")
THOUSANDS = re.compile(r"(?<=\d)(?=(?:\d{3})+$)")
FULL_STOPS, MARKS = marks_of_ring("full", 0.5, 256.0), marks_of_ring("third", 0.5, 256.0)
WHOLE_FROM = {"time": 0.3, "fraction": 1.0}
"""Values of a kind from which on `format_kind` writes them as they are; smaller ones as one over something."""


def decimal(value: float, digits: int = 3) -> str:
    """Write a number to so many significant digits, 1200 and not 1.2e+03, with the decimal sign of the language."""
    return with_decimal_sign(plain_decimal(value, digits))


def plain_decimal(value: float, digits: int = 3) -> str:
    """Write a number to so many significant digits with a decimal point, for texts that are said later and for programs."""
    text = f"{Decimal(f'{value:.{digits - 1}e}'):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def percent(share: float, digits: int = 3) -> str:
    """Write the number of per cents to so many significant digits, none of them finer than a photograph can show."""
    if share == 0:
        return "0"
    if abs(share) < LEAST_SHARE:
        return tr("less than {least_share}", least_share=decimal(100 * LEAST_SHARE))
    before_the_point = floor(log10(abs(100 * share))) + 1
    return decimal(100 * share, min(digits, before_the_point + FINEST_PLACES))


def ratio(magnification: float, digits: int = 3) -> str:
    """Write a magnification to so many significant digits as the trade does: 2:1, or 1:1.57."""
    return f"{decimal(magnification, digits)}:1" if magnification >= 1 else f"1:{decimal(1 / magnification, digits)}"


def with_range(value: float, ends: answers.Range | None, write: Callable[[float, int], str]) -> str:
    """Write a figure, with its range where it has one: about 2.1:1, between 1.7:1 and 2.5:1."""
    if ends is None:
        return write(value, DIGITS)
    digits = digits_apart(ends["low"], ends["high"])
    return tr(
        "about {value}, between {low} and {high}",
        value=write(value, digits),
        low=write(ends["low"], digits),
        high=write(ends["high"], digits),
    )


def write_ends(ends: answers.Range, write: Callable[[float, int], str]) -> str:
    """Write the ends of a range alone: 52 to 61."""
    digits = digits_apart(ends["low"], ends["high"])
    return tr("{low} to {high}", low=write(ends["low"], digits), high=write(ends["high"], digits))


def with_ends(value: float, ends: answers.Range | None, write: Callable[[float, int], str], unit: str = "") -> str:
    """Write a figure with its unit, and its range in brackets where it has one: 57 mm (55 to 60)."""
    told = write(value, DIGITS if ends is None else digits_apart(ends["low"], ends["high"]))
    in_brackets = "" if ends is None else f"({write_ends(ends, write)})"
    return " ".join(filter(None, (told, unit, in_brackets)))


def digits_apart(low: float, high: float) -> int:
    """Significant digits that tell the ends of a range apart, two at least."""
    size = max(abs(low), abs(high))
    if low == high or not size:
        return DIGITS
    return min(max(FEWEST_DIGITS, leading_place(size) - find_last_place(low, high) + 1), STATED_DIGITS)


def figure(value: float, name: str, unit: str) -> str:
    """Write a quantity with its unit, in the way that people of the trade say it."""
    told = format_marked(value, name, unit) if value > 0 else ""
    if told:
        return told
    if unit == "stops":
        return stops(value)
    if is_share(name, unit):
        return add_unit(percent(value), "%")
    return as_number(value, name, unit, INTERVAL_DIGITS if name.endswith(ENDS) else DIGITS)


class InRange(Struct, frozen=True):
    """A figure that lies within a range, as people say it: about 2.1:1, between 1.7:1 and 2.5:1."""

    about: str
    between: str
    """Empty where the ends differ by less than people say."""


def figure_in_range(value: float, low: float, high: float, name: str, unit: str) -> InRange:
    """Write a figure and its range with as many digits as tell the ends apart, marks where those do."""
    if is_said_by_marks(name, unit) and figure(low, name, unit) != figure(high, name, unit):
        about, least, most = (figure(each, name, unit) for each in (value, low, high))
    else:
        about, least, most = (
            figure_to_place(each, find_last_place(low, high), name, unit) for each in (value, low, high)
        )
    if least == most:
        return InRange(about, "")
    return InRange(
        tr("about {about}", about=about),
        tr("between {least} and {most}", least=drop_shared_unit(least, most), most=most),
    )


def is_said_by_marks(name: str, unit: str) -> bool:
    """Whether people set a quantity by marks that they know: a time, stops, a fraction of full power."""
    return unit == "stops" or kind_of(name, unit) in ("time", "fraction")


def find_last_place(low: float, high: float) -> int:
    """Power of ten of the last digit that is worth saying between two ends: at most a quarter of their distance."""
    return floor(log10((high - low) / QUARTERS))


def figure_to_place(value: float, place: int, name: str, unit: str) -> str:
    """Write a quantity to the digit of this power of ten, to two digits at least."""
    digits = min(max(FEWEST_DIGITS, leading_place(value) - place + 1), STATED_DIGITS) if value else 1
    kind = kind_of(name, unit)
    if kind == "ratio" and value > 0:
        return ratio(value, digits)
    if kind == "f-number":
        return f"f/{decimal(value, digits)}"
    return as_number(value, name, unit, digits)


def leading_place(value: float) -> int:
    """Power of ten of the first digit of a number."""
    return floor(log10(abs(value)))


def drop_shared_unit(least: str, most: str) -> str:
    """Lower end of a range without its unit, where the upper end has the same one."""
    _, space, unit = most.rpartition(" ")
    return least.removesuffix(f"{space}{unit}") if space else least


def format_stated(value: float, name: str, unit: str, digits: int = STATED_DIGITS) -> str:
    """Write a quantity that went into a sum: as it was stated, not rounded to a mark as a result is."""
    kind = kind_of(name, unit)
    if kind == "ratio" and value > 0:
        return ratio(value, digits)
    if kind == "f-number":
        return f"f/{decimal(value, digits)}"
    if kind in ("time", "fraction") and 0 < value < 1 and is_whole(1 / value):
        return add_unit(f"1/{round(1 / value)}", unit)
    return as_number(value, name, unit, digits)


def as_number(value: float, name: str, unit: str, digits: int = DIGITS) -> str:
    """Write a number with its unit, a share in per cent as it was stated."""
    if is_share(name, unit):
        return add_unit(decimal(100 * value, digits), "%")
    return add_unit(decimal(value, digits), unit)


def is_share(name: str, unit: str) -> bool:
    """Whether a quantity is a share, which people say in per cent."""
    return not unit and (name in SHARES or name.endswith(("contrast", "_error")))


def is_whole(value: float) -> bool:
    """Whether a number is a whole one, but for the digits of what was typed."""
    return abs(value - round(value)) <= 10.0**-STATED_DIGITS * value


def format_marked(value: float, name: str, unit: str) -> str:
    """Write what is said as a ratio, by its nearest mark or as one over a number; nothing for other quantities."""
    kind = kind_of(name, unit)
    if kind == "ratio":
        return ratio(value)
    if kind == "f-number":
        return f_number(value)
    if kind == "fraction":
        return format_reciprocal(value) if value < 1 else ""
    return seconds(value) if kind == "time" else ""


def kind_of(name: str, unit: str) -> str:
    """How people say a quantity: as an f-number, a ratio, a time, a fraction, or as the number that it is."""
    if name.endswith("f_number"):
        return "f-number"
    if name.endswith("magnification") and "pupil" not in name:
        return "ratio"
    if name in POWERS:
        return "fraction"
    return "time" if unit == "s" else "number"


def format_kind(value: float, kind: str, decimal_sign: str = ".") -> str:
    """Write a number of this kind without its unit, as the embedded calculators do."""
    if kind == "ratio" and value > 0:
        text = ratio(value)
    elif kind == "f-number":
        text = f"f/{decimal(value)}"
    else:
        text = format_reciprocal(value) if 0 < value < WHOLE_FROM.get(kind, 0) else decimal(value)
    return text.replace(".", decimal_sign)


def format_exact(value: float, name: str, unit: str) -> str:
    """Write the same as a plain number, where `figure` rounds to a mark or speaks in ratios; else nothing."""
    kind = kind_of(name, unit)
    if kind == "ratio":
        return f"{decimal(value)}×" if value < 1 else ""
    shown = figure(value, name, unit)
    if kind == "f-number":
        return ""
    number = as_number(value, name, "" if unit == "stops" else unit)
    if unit == "stops":
        return "" if shown.rpartition(" ")[0] == number else number
    if kind in ("time", "fraction"):
        return "" if shown in (format_stated(value, name, unit), number) else number
    return ""


def f_number(value: float) -> str:
    """Write an f-number as a decimal number; one that is engraved as it is engraved."""
    engraved = nearest_mark(MARKS, value)
    return with_decimal_sign(f"f/{engraved.nominal:g}") if is_on_mark(value) else f"f/{decimal(value)}"


def is_on_mark(value: float) -> bool:
    """Whether an f-number is one that is engraved, but for the rounding of what is engraved."""
    return abs(nearest_mark(MARKS, value).nominal / value - 1) < ON_THE_MARK / 2


def words_of_mark(value: float, name: str) -> str:
    """Say beside an f-number where its nearest third of a stop lies on a ring; nothing where it is engraved itself."""
    if (
        not name.endswith("f_number")
        or name == ENGRAVED
        or is_on_mark(value)
        or not MARKS[0].exact <= value <= MARKS[-1].exact
    ):
        return ""
    steps = round(6 * log2(value / FULL_STOPS[0].exact))
    full = FULL_STOPS[min(steps // 3, len(FULL_STOPS) - 1)]
    third = THIRDS[steps % 3]
    text = mark("about {third} stop beyond f/{full:g}") if third else mark("about f/{full:g}")
    return tr(text, third=third, full=full.nominal)


def stops(value: float) -> str:
    """Write a difference of light in stops and thirds."""
    whole, thirds = divmod(round(3 * abs(value)), 3)
    if value and not whole and not thirds:
        return add_unit(decimal(value), "stops")
    number = " ".join(filter(None, (str(whole or ""), THIRDS[thirds]))) or "0"
    sign = "−" if value < 0 and number != "0" else ""
    text = mark("{number} stop") if number in ("1", *THIRDS[1:]) else mark("{number} stops")
    return tr(text, number=sign + number)


def format_reciprocal(value: float) -> str:
    """Write what is smaller than 1 as one over a number, as shutters and flashes do."""
    return f"1/{decimal(1 / value, 2 if 1 / value < 100 else 3)}"


def seconds(value: float) -> str:
    """Write an exposure time by its nearest mark."""
    found = nominal_mark("exposure_time_s", value)
    return f"{with_decimal_sign(found[1]) if found else decimal(value)} s"


def add_unit(number: str, unit: str) -> str:
    """Put the unit behind a number, with its sign."""
    sign = SIGNS.get(unit) or unit_in_words(unit)
    return f"{number}{'' if sign in ('°', '′') else ' '}{sign}".strip().replace("-", "−", 1)


def unit_in_words(unit: str) -> str:
    """Unit as people write it: most are the same in every language, and those that are words are translated."""
    return tr(unit) if unit in UNITS_IN_WORDS else unit


def space_thousands(value: float) -> str:
    """Write a plain number, its thousands apart."""
    whole, point, rest = add_unit(plain_decimal(value, STATED_DIGITS), "").partition(".")
    return THOUSANDS.sub("\u202f", whole) + with_decimal_sign(point + rest)


def tie_units(text: str) -> str:
    """Text in which no line breaks between a number and its unit."""
    return BEFORE_A_UNIT.sub("\u00a0", text)


def inches(value_mm: float) -> str:
    """Write a length in inches."""
    return add_unit(decimal(value_mm / MM_PER_INCH), "in")


def capitalize(text: str) -> str:
    """Text that begins a line; an f-number keeps its small letter."""
    return text if text.startswith(("f-", "f/")) else text[:1].upper() + text[1:]
