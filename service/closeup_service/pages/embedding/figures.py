"""Numbers as people type and say them, in the decimal sign of their language."""

import math
import re

from closeup_service.advice.figures import plain, ratio
from closeup_service.advice.figures_for_people import SIGNS, one_over
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.embedding.messages import catalogue, message

KINDS = {"magnification": "ratio", "flash_power_fraction": "fraction"}
NUMBER = r"[-+]?(\d+([.,]\d*)?|[.,]\d+)"
"""A number with a decimal point or comma; here and below as both Python and scripts read patterns."""
STRIP = {"f-number": r"^(f\s*/?|1\s*:)\s*", "ratio": r"^[x×]\s*|\s*[x×]$"}
"""What people write around a number, by its kind."""
DIVIDE = {"ratio": "[:/]", "time": "/", "fraction": "/"}
CERTAIN = {".": r"(?![-+]?[1-9]\d{0,2},\d{3}$).*", ",": r"(?![-+]?[1-9]\d{0,2}\.\d{3}$).*"}
"""What cannot be taken for a number with thousands apart, by the decimal sign of the language."""
WHOLE_FROM = {"time": 0.3, "fraction": 1.0}
"""Values of a kind from which on they are said as they are; smaller ones as one over something."""
LONGEST_TEXT = 40


class BadText(ValueError):
    """A text that is no number, by the key of the message that says so."""

    def __init__(self, key: str) -> None:
        super().__init__(key)
        self.key = key


def kind_of(name: str) -> str:
    """How a number of this name is said: f-number, ratio, time, fraction, or as it is."""
    if name.endswith("f_number"):
        return "f-number"
    return KINDS.get(name) or ("time" if name in VOCABULARY and VOCABULARY[name].unit == "s" else "number")


def unit_sign(name: str, language: str) -> str:
    """Unit of a quantity as people write it."""
    unit = VOCABULARY[name].unit if name in VOCABULARY else ""
    return catalogue(language).get(f"unit.{unit}", SIGNS.get(unit, unit))


def read_number(text: str, name: str, language: str) -> float:
    """Return the number that a person typed for a quantity.

    Raises
    ------
    BadText
        Where it is none, or can be read in two ways.
    """
    kind = kind_of(name)
    bare = re.sub(strip(name, language), "", text.strip().replace("−", "-"), flags=re.IGNORECASE)
    parts = [part.strip() for part in (re.split(DIVIDE[kind], bare) if kind in DIVIDE else [bare])]
    if len(text) > LONGEST_TEXT or len(parts) > 2 or not all(re.fullmatch(NUMBER, part, re.ASCII) for part in parts):
        raise BadText("not_a_number")
    if not all(re.fullmatch(CERTAIN[catalogue(language)["decimal_sign"]], part) for part in parts):
        raise BadText("ambiguous")
    above, below = (float(part.replace(",", ".")) for part in (*parts, "1")[:2])
    if below == 0 or not math.isfinite(above / below):
        raise BadText("not_a_number")
    return above / below


def strip(name: str, language: str) -> str:
    """Pattern of what people write around a number of this name, its unit included."""
    unit = unit_sign(name, language)
    return "|".join(filter(None, [STRIP.get(kind_of(name), ""), rf"\s*{unit.replace('/', '[/]')}$" if unit else ""]))


def write_number(value: float, name: str, language: str) -> str:
    """Write a number as one says it, with its unit."""
    return f"{write_figure(value, name, language)} {unit_sign(name, language)}".rstrip()


def write_figure(value: float, name: str, language: str) -> str:
    """Write a number as one says it."""
    kind = kind_of(name)
    if kind == "ratio" and value > 0:
        text = ratio(value)
    elif kind == "f-number":
        text = f"f/{plain(value)}"
    elif 0 < value < WHOLE_FROM.get(kind, 0):
        text = one_over(value)
    else:
        text = plain(value)
    return text.replace(".", catalogue(language)["decimal_sign"])


def describe_bounds(name: str, language: str) -> str:
    """Say which numbers are taken."""
    low, high = (plain(bound, 6).replace(".", catalogue(language)["decimal_sign"]) for bound in bounds_of(name))
    return message(language, "out_of_bounds", minimum=low, maximum=f"{high} {unit_sign(name, language)}".rstrip())


def bounds_of(name: str) -> tuple[float, float]:
    """Inclusive bounds of a quantity that can be given."""
    quantity = VOCABULARY[name]
    assert quantity.minimum is not None
    assert quantity.maximum is not None
    return quantity.minimum, quantity.maximum
