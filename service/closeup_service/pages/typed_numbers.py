"""What people type into a form or a calculator, read as the number that an operation is strict about.

The words of units are read in every language. A form reads numbers alike in all of them, since its address has to mean the
same in each; the calculators read them as their own language writes them.
"""

import math
import re
from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from closeup_service.advice.figures import MM_PER_INCH, add_unit, decimal
from closeup_service.language import tr

UNITS: Mapping[str, Mapping[str, str]] = {
    "mm": {
        **dict.fromkeys(("mm", "millimetre", "millimetres"), "1"),
        **dict.fromkeys(("in", "inch", "inches", "Zoll", '"', "″", "”"), str(MM_PER_INCH)),
        **dict.fromkeys(("um", "µm", "μm"), "0.001"),
        "cm": "10",
        "m": "1000",
    },
    "m": {"m": "1", "cm": "0.01", "ft": "0.3048"},
    "um": {**dict.fromkeys(("um", "µm", "μm"), "1"), "nm": "0.001", "mm": "1000"},
    "nm": {**dict.fromkeys(("um", "µm", "μm"), "1000"), "nm": "1"},
    "s": {**dict.fromkeys(("s", "sec", '"', "″", "”"), "1"), "ms": "0.001", "min": "60"},
    "dpt": dict.fromkeys(("dpt", "D", "dioptre", "dioptres", "Dioptrie", "Dioptrien"), "1"),
    "stops": dict.fromkeys(("stops", "stop", "EV", "Blende", "Blenden"), "1"),
    "px": dict.fromkeys(("px", "pixel", "pixels", "Pixel"), "1"),
    "deg": dict.fromkeys(("°", "deg"), "1"),
    "arcmin": dict.fromkeys(("'", "′", "arcmin"), "1"),
    "lp/mm": dict.fromkeys(("lp/mm", "Lp/mm"), "1"),
    "V": {"V": "1"},
    "mm/s": {"mm/s": "1", "cm/s": "10", "m/s": "1000"},
    "rad/s": {"rad/s": "1"},
    "Hz": {"Hz": "1"},
    "px/mm": {"px/mm": "1"},
    "": {"%": "0.01"},
}
"""Units that may stand behind a number, by the unit of the field, and what each multiplies by."""

NUMBER = r"[-+−]?(?:\d{1,40}(?:[.,]\d{0,40})?|[.,]\d{1,40})(?:[eE][-+]?\d{1,4})?"
WITH_UNIT = re.compile(rf"({NUMBER})\s*(\D*)", re.ASCII)
RATIO = re.compile(rf"({NUMBER})\s*:\s*({NUMBER})", re.ASCII)
FRACTION = re.compile(rf"(?:(\d{{1,9}})\s+)?({NUMBER})\s*/\s*({NUMBER})\s*(\D*)", re.ASCII)
SECONDS_SHOWN = re.compile(r"(\d{1,4})[\"″”](\d)", re.ASCII)
"""Seconds with a decimal as cameras show them: 0"3 is 0.3 s."""
TIMES = re.compile(r"^[x×]\s*|\s*[x×]$")
F_NUMBER = re.compile(rf"(?:[fF]\s*/?|1\s*:)\s*({NUMBER})", re.ASCII)
THOUSANDS = {
    ".": re.compile(r"[-+−]?[1-9]\d{0,2},\d{3}", re.ASCII),
    ",": re.compile(r"[-+−]?[1-9]\d{0,2}\.\d{3}", re.ASCII),
}
"""What may be a number with its thousands apart, by the decimal sign of the language."""
LONGEST = 60
SHUTTER_TIMES = ("exposure_time_s", "sync_time_s")
BARE = re.compile(r"\d{1,6}", re.ASCII)
RATIOS = ("magnification", "factor")
FRACTIONS = ("s", "mm", "")
"""Units whose numbers people write as a fraction: 1/125 s, 1 1/2 in, 1/64 of the power."""


class CannotRead(ValueError):
    """What was typed is no such number; says what would be right. `key` names the message of the calculators."""

    def __init__(self, message: str, key: str = "not_a_number") -> None:
        super().__init__(message)
        self.key = key


class Spelling(Struct, frozen=True):
    """How a language writes numbers: its decimal sign, and its word for the unit of the field."""

    decimal_sign: str = "."
    unit: str = ""


ENGLISH = Spelling()


def number(text: str, name: str, unit: str, spelling: Spelling = ENGLISH) -> float:
    """Return the number that a person typed for a quantity of the vocabulary.

    Raises
    ------
    CannotRead
        Where it is none, or could mean two things.
    """
    written = text.strip()
    if len(written) > LONGEST:
        raise CannotRead(tr("This is too long for a number."))
    try:
        value = float(read_exact(written, name, unit, spelling))
    except (ArithmeticError, ValueError) as error:
        if isinstance(error, CannotRead):
            raise
        raise CannotRead(too_large(written)) from None
    if not math.isfinite(value):
        raise CannotRead(too_large(written))
    return value


def too_large(written: str) -> str:
    """Say that no number is so large."""
    return tr("“{written}” is too large for a number.", written=written)


def readings_of_a_time(text: str, name: str) -> tuple[tuple[str, str], ...]:
    """Two exposure times that a whole number may mean, as typed and in words: 125 on a camera is 1/125 s. Else none."""
    shown = text.strip()
    if not is_doubtful(shown, name):
        return ()
    return ((f"1/{shown}", f"1/{shown} s"), (f"{shown} s", f"{shown} s"))


def is_doubtful(text: str, name: str) -> bool:
    """Whether whole seconds of a shutter were typed without a unit, which may be meant as one over them."""
    return name in SHUTTER_TIMES and BARE.fullmatch(text.strip()) is not None and int(text) > 1


def read_exact(written: str, name: str, unit: str, spelling: Spelling) -> Decimal:
    """Read the number in the unit of the field, exact until the last step."""
    sign = spelling.decimal_sign
    bare = TIMES.sub("", written) if name in RATIOS else written
    if name.endswith("f_number") and (match := F_NUMBER.fullmatch(bare)):
        return read_decimal(match[1], sign)
    if name in RATIOS and (match := RATIO.fullmatch(bare)):
        return read_quotient(match[1], match[2], written, sign)
    if unit in FRACTIONS and (match := FRACTION.fullmatch(bare)):
        whole = Decimal(match[1] or 0)
        return (whole + read_quotient(match[2], match[3], written, sign)) * factor(match[4], name, unit, spelling)
    if unit == "s" and (match := SECONDS_SHOWN.fullmatch(bare)):
        return Decimal(f"{match[1]}.{match[2]}")
    match = WITH_UNIT.fullmatch(bare)
    if match is None:
        raise CannotRead(tr("“{written}” is not a number. {hint}", written=written, hint=hint(name, unit)))
    return read_decimal(match[1], sign) * factor(match[2], name, unit, spelling)


def read_decimal(written: str, sign: str) -> Decimal:
    """Read a number with a decimal point or a decimal comma."""
    if THOUSANDS[sign].fullmatch(written):
        whole, rest = re.split("[.,]", written)
        text = tr(
            "“{written}” can be read in two ways: write {whole}{rest} or {whole}{sign}{rest}.",
            written=written,
            whole=whole,
            sign=sign,
            rest=rest,
        )
        raise CannotRead(text, "ambiguous")
    return Decimal(written.replace(",", ".").replace("−", "-"))


def read_quotient(above: str, below: str, written: str, sign: str) -> Decimal:
    """Read a ratio such as 2:1, or a fraction such as 1/125."""
    divisor = read_decimal(below, sign)
    if divisor == 0:
        raise CannotRead(tr("“{written}” divides by zero.", written=written))
    return read_decimal(above, sign) / divisor


def factor(written: str, name: str, unit: str, spelling: Spelling) -> Decimal:
    """Factor of the unit written, to that of the field."""
    given = written.strip()
    if not given or given.casefold() == spelling.unit.casefold():
        return Decimal(1)
    known = UNITS.get(unit, {})
    if given not in known:
        raise CannotRead(tr("“{given}” is no unit that is read here. {hint}", given=given, hint=hint(name, unit)))
    return Decimal(known[given])


def hint(name: str, unit: str) -> str:
    """Say how such a number may be written."""
    if name.endswith("f_number"):
        return tr("Write 5.6 or f/5.6.")
    if name in RATIOS:
        return tr("Write 2, 2:1, 1:4 or 2x.")
    if name == "iso":
        return tr("Write a number such as 400.")
    if unit == "mm":
        return tr("Write 35, 35 mm, 3.5 cm or 1.5 in.")
    if unit == "s":
        return tr("Write 1/125, 0.5 or 2 s.")
    return tr("Write a number such as {number}.", number=add_unit(decimal(5.6), unit))
