"""Typed values: what people write for a number, turned into the number that the service is strict about."""

import math
import re
from collections.abc import Mapping
from decimal import Decimal

from closeup_client.command_line.figures import with_signs
from closeup_client.command_line.operation import Field
from closeup_client.command_line.usual_names import Unclear, register_named, sensor_named

FACTORS: Mapping[str, Mapping[str, str]] = {
    "mm": {"mm": "1", "cm": "10", "m": "1000", "um": "0.001", "µm": "0.001", "μm": "0.001"}
    | dict.fromkeys(("in", '"', "″"), "25.4"),
    "m": {"m": "1"},
    "um": {"um": "1", "µm": "1", "μm": "1", "nm": "0.001", "mm": "1000"},
    "nm": {"nm": "1", "um": "1000", "µm": "1000", "μm": "1000"},
    "s": {"s": "1", "ms": "0.001"},
    "dpt": {"dpt": "1", "D": "1"},
    "stops": {"stops": "1", "stop": "1"},
    "": {"%": "0.01"},
}
"""Units that may stand behind a number, by the unit of the field, and what each multiplies by."""

NUMBER = r"[-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?"
WITH_UNIT = re.compile(rf"({NUMBER})\s*([A-Za-zµμ%\"″]*)", re.ASCII)
INCHES = re.compile(r"(?:(\d+)[-\s]+)?(\d+)/(\d+)\s*(?:in|\"|″)", re.ASCII)
"""Inches as rulers and rings have them, such as 1/2in or 1-1/2in."""
QUOTIENT = re.compile(rf"({NUMBER})\s*([:/])\s*({NUMBER})\s*(s?)", re.ASCII)
TIMES = re.compile(rf"({NUMBER})\s*[x×]|[x×]\s*({NUMBER})", re.ASCII)
F_NUMBER = re.compile(rf"(?:[fF]\s*/?|1\s*:)\s*({NUMBER})", re.ASCII)
SIZE = re.compile(r"(\d+(?:[.,]\d+)?)\s*[xX×]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?", re.ASCII)
THOUSANDS = re.compile(r"[-+−]?[1-9]\d{0,2},\d{3}", re.ASCII)
REGISTER, SENSOR = "register_mm", "sensor"
FACTOR_NAMES = ("magnification", "factor")
LONGEST = 60
SHUTTER_TIMES = ("exposure_time_s", "sync_time_s")
BARE = re.compile(r"\d+", re.ASCII)


class WholeSeconds(float):
    """Seconds of a shutter that were typed without a unit: on a camera's dial, 125 is 1/125 s."""


class BadValue(ValueError):
    """A value that cannot be read, and what would be right."""


def number(text: str, field: Field) -> float:
    """Return the number that a person wrote for a field.

    Raises
    ------
    BadValue
        Where it is none, or could mean two things.
    """
    written = text.strip()
    if len(written) > LONGEST:
        raise BadValue("this is too long for a number.")
    try:
        value = float(scaled_number(written, field))
    except ArithmeticError:
        value = math.inf
    if not math.isfinite(value):
        raise BadValue(f"{written} is too large for a number.")
    return value


def scaled_number(written: str, field: Field) -> Decimal:
    """Read the number in the unit of the field, exact until the last step."""
    if field.name.endswith("f_number") and (match := F_NUMBER.fullmatch(written)):
        return plain(match[1])
    if field.name in FACTOR_NAMES and (match := TIMES.fullmatch(written)):
        return plain(match[1] or match[2])
    if (match := QUOTIENT.fullmatch(written)) and field.unit in (match[4], "s"):
        return quotient(match[1], match[3], written)
    if field.unit == "mm" and (match := INCHES.fullmatch(written)):
        return (Decimal(match[1] or 0) + quotient(match[2], match[3], written)) * factor("in", field)
    match = WITH_UNIT.fullmatch(written)
    if match is None and field.name.endswith(REGISTER) and (register := register_of(written)) is not None:
        return register
    if match is None:
        raise BadValue(f"{written!r} is not a number{hint(field)}.")
    return plain(match[1]) * factor(match[2], field)


def register_of(written: str) -> Decimal | None:
    """Register of the mount of a name; None where there is no such mount."""
    try:
        register = register_named(written)
    except Unclear as error:
        raise BadValue(str(error)) from None
    return None if register is None else Decimal(repr(register))


def plain(written: str) -> Decimal:
    """Read a number with a decimal point or a decimal comma."""
    if THOUSANDS.fullmatch(written):
        joined, pointed = written.replace(",", ""), written.replace(",", ".")
        raise BadValue(f"{written} can be read in two ways: write {joined} or {pointed}.")
    return Decimal(written.replace(",", ".").replace("−", "-"))


def quotient(above: str, below: str, written: str) -> Decimal:
    """Read a ratio such as 2:1, or a fraction such as 1/125."""
    divisor = plain(below)
    if divisor == 0:
        raise BadValue(f"{written} divides by zero.")
    return plain(above) / divisor


def factor(unit: str, field: Field) -> Decimal:
    """Factor of the unit written, to that of the field."""
    if not unit:
        return Decimal(1)
    known = FACTORS.get(field.unit, {})
    if unit not in known:
        raise BadValue(f"it takes {with_signs(field.unit) or 'a number without a unit'}, not {unit}{hint(field)}.")
    return Decimal(known[unit])


def hint(field: Field) -> str:
    """Say how such a number may be written, where there is more than one way."""
    if field.name.endswith("f_number"):
        return "; write 5.6 or f/5.6"
    if field.name in FACTOR_NAMES:
        return "; write 2, 2:1 or 2x"
    if field.name.endswith(REGISTER):
        return ", and no mount; write 45.46, or a mount of closeup mounts such as M42"
    return ""


def choice(text: str, field: Field) -> str:
    """Return a word as the service spells it; unknown words pass, since the service refuses them best."""
    by_small = {spelled(as_size(known)): known for known in field.choices}
    by_small |= {typed(small): known for small, known in by_small.items()}
    word = spelled(as_size(text.strip())).removeprefix("marked-")
    return by_small.get(word) or usual_choice(text.strip(), field)


def usual_choice(text: str, field: Field) -> str:
    """Sensor format of a usual name; any other word as it is."""
    if field.name != SENSOR:
        return text
    try:
        return sensor_named(text) or text
    except Unclear as error:
        raise BadValue(str(error)) from None


def as_size(text: str) -> str:
    """Write a width and a height, such as 23,5 × 15,60, in the plainest way; any other text as it is."""
    match = SIZE.fullmatch(text)
    return "x".join(f"{plain(side).normalize():f}" for side in match.groups()) if match else text


UNIT_AT_END = re.compile(r"-(mm|um|nm|dpt|s)$")
"""End of a vocabulary name, which people leave out."""


def typed(name: str) -> str:
    """Vocabulary name as people type it: with hyphens, without its unit."""
    return UNIT_AT_END.sub("", name.replace("_", "-"))


def spelled(word: str) -> str:
    """Word in small letters, with hyphens between its parts."""
    return re.sub(r"[\s_]+", "-", word.lower())


FLAGS = {"yes": True, "true": True, "no": False, "false": False}


def scalar(text: str, field: Field) -> float | int | str | bool:
    """Return the value of a field from its text."""
    if field.kind == "text":
        return choice(text, field)
    if field.kind == "flag":
        return flag(text)
    value = number(text, field)
    if field.kind == "whole":
        return whole(value)
    return WholeSeconds(value) if is_in_doubt(text, field) and value > 1 else value


def is_in_doubt(text: str, field: Field) -> bool:
    """Whether a time may have been meant as one over what was typed."""
    return field.name in SHUTTER_TIMES and BARE.fullmatch(text.strip()) is not None


def flag(text: str) -> bool:
    """Read yes or no."""
    try:
        return FLAGS[text.strip().lower()]
    except KeyError:
        raise BadValue(f"{text!r} is neither yes nor no.") from None


def whole(value: float) -> int:
    """Return a whole number, if it is one."""
    if value != int(value):
        raise BadValue(f"{value:g} is not a whole number.")
    return int(value)
