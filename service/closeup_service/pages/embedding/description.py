"""What the custom element needs to know of one sum in one language: fields, units, bounds, results and messages."""

from collections.abc import Iterator

from marshmallow import validate

from closeup_service.advice.figures import WHOLE_FROM, capitalize, decimal, kind_of
from closeup_service.gear.catalogue import SENSORS
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.embedding.messages import (
    SOURCE,
    catalogue,
    cautions,
    decimal_sign,
    label,
    message,
    unit_sign,
)
from closeup_service.pages.embedding.sums import Sum
from closeup_service.pages.typed_numbers import SHUTTER_TIMES
from closeup_service.schemas.fields import AnyField, declared_fields

FORMAT = 1
"""Format of the description; a released script reads the one that it was written for, so members are only ever added."""

EXAMPLES = {"magnification": "2:1", "f_number": "5.6", "exposure_time_s": "1/125", "flash_power_fraction": "1/8"}
EXTENTS = {
    "front_depth_mm": ("front_extent",),
    "rear_depth_mm": ("rear_extent",),
    "total_mm": ("front_extent", "rear_extent"),
}
"""Members of an answer that say whether a depth is unlimited."""
ISOLATED, END = "\u2066", "\u2069"
"""Around what is read from left to right on pages of any direction (Unicode, UAX 9)."""
DEFAULTS = {"mounting": "normal"}

NUMBER = r"[-+]?(\d+([.,]\d*)?|[.,]\d+)"
"""A number with a decimal point or comma. Here and below is what the element reads, in patterns of scripts; the frame's form is
read by `pages/typed_numbers.py`, which reads all of this alike, and more."""
STRIP = {"f-number": r"^(f\s*/?|1\s*:)\s*", "ratio": r"^[x×]\s*|\s*[x×]$"}
"""What people write around a number, by its kind."""
DIVIDE = {"ratio": "[:/]", "time": "/", "fraction": "/"}
CERTAIN = {".": r"(?![-+]?[1-9]\d{0,2},\d{3}$).*", ",": r"(?![-+]?[1-9]\d{0,2}\.\d{3}$).*"}
"""What cannot be taken for a number with thousands apart, by the decimal sign of the language."""


def description(asked: Sum, language: str, version: str) -> dict[str, object]:
    """Everything about one sum, as JSON for the element."""
    return {
        "format": FORMAT,
        "version": version,
        "sum": asked.name,
        "path": asked.path,
        "lang": language,
        "title": message(language, f"sum.{asked.name}"),
        "messages": messages(language),
        "cautions": cautions(language),
        "fields": [field(asked, name, language) for name in asked.members],
        "results": [result(name, language) for name in asked.results],
        "labels": {name: describe_label(name, language) for name in named_members(asked)},
        "names": {name: shorten(label(SOURCE, name)[0]) for name in named_members(asked)},
    }


def messages(language: str) -> dict[str, str]:
    """Messages of the calculator, and the patterns of numbers in this language."""
    known = catalogue(language)
    said = {key: text for key, text in known.items() if not key.startswith("sum.")}
    return said | {"number": NUMBER, "certain": CERTAIN[decimal_sign(language)]}


def field(asked: Sum, name: str, language: str) -> dict[str, object]:
    """One field of the form."""
    rule = declared_fields(asked.request)[name]
    described = {
        "name": name,
        **describe_label(name, language),
        "required": rule.required,
        "more": name in asked.more,
        "default": DEFAULTS.get(name, ""),
    }
    if name not in VOCABULARY:
        return described | {"choices": choices(rule, name, language), "example": ""}
    low, high = bounds_of(name)
    return described | {
        **describe_number(name, language),
        "minimum": low,
        "maximum": high,
        "strip": strip(name, language),
        "divide": DIVIDE.get(kind(name), ""),
        "refusal": describe_bounds(name, language),
        "example": example(name, language),
        "doubt": doubt(name, language),
    }


def doubt(name: str, language: str) -> str:
    """What is said of whole seconds without a unit, where they may be meant as one over them; empty for other fields."""
    words = capitalize(shorten(label(language, name)[0]))
    return f"{words}: {catalogue(language)['doubt']}" if name in SHUTTER_TIMES else ""


def example(name: str, language: str) -> str:
    """How a value may be typed, where there is more to it than a number."""
    if name not in EXAMPLES:
        return ""
    return message(language, "such_as", example=EXAMPLES[name].replace(".", decimal_sign(language)))


def choices(rule: AnyField, name: str, language: str) -> list[dict[str, str]]:
    """Choices of a text with their words, and none of them where nothing is preset."""
    none = [] if name in DEFAULTS else [{"value": "", "label": message(language, "not_given")}]
    known = [choice for each in rule.validators if isinstance(each, validate.OneOf) for choice in each.choices]
    return none + [{"value": choice, "label": words_of(choice, language)} for choice in known]


def words_of(choice: str, language: str) -> str:
    """Words of one choice: a sensor by its size, others from the catalogue."""
    sensor = SENSORS.get(choice)
    if sensor is None:
        return message(language, f"choice.{choice}")
    width, height = (f"{side:g}".replace(".", decimal_sign(language)) for side in (sensor.width_mm, sensor.height_mm))
    return f"{ISOLATED}{message(language, 'size', width=width, height=height)}{END}"


def result(name: str, language: str) -> dict[str, object]:
    """One line of the results."""
    extents = {"extents": list(EXTENTS[name])} if name in EXTENTS else {}
    return {"name": name, **describe_label(name, language), **describe_number(name, language), **extents}


def describe_number(name: str, language: str) -> dict[str, object]:
    """How a number is said, and its unit."""
    return {"kind": kind(name), "unit": unit_sign(language, name), "whole_from": WHOLE_FROM.get(kind(name), 0)}


def kind(name: str) -> str:
    """How a number of this name is said."""
    return kind_of(name, VOCABULARY[name].unit if name in VOCABULARY else "")


def strip(name: str, language: str) -> str:
    """Pattern of what people write around a number of this name, its unit included."""
    unit = unit_sign(language, name)
    return "|".join(filter(None, [STRIP.get(kind(name), ""), rf"\s*{unit.replace('/', '[/]')}$" if unit else ""]))


def describe_bounds(name: str, language: str) -> str:
    """Say which numbers are taken."""
    low, high = (decimal(bound, 6).replace(".", decimal_sign(language)) for bound in bounds_of(name))
    return message(language, "out_of_bounds", minimum=low, maximum=f"{high} {unit_sign(language, name)}".rstrip())


def bounds_of(name: str) -> tuple[float, float]:
    """Inclusive bounds of a quantity that can be given."""
    quantity = VOCABULARY[name]
    assert quantity.minimum is not None
    assert quantity.maximum is not None
    return quantity.minimum, quantity.maximum


def describe_label(name: str, language: str) -> dict[str, object]:
    """Label of a member, marked with its language where that is not the one asked for; unit and kind beside a number."""
    text, spoken = label(language, name)
    marked = {} if spoken == language else {"lang": spoken}
    return {"label": capitalize(text), **marked, **(describe_number(name, language) if name in VOCABULARY else {})}


def named_members(asked: Sum) -> Iterator[str]:
    """Every member that an answer may assume, or a text may name."""
    return iter(dict.fromkeys([*declared_fields(asked.request), *asked.results]))


def shorten(text: str) -> str:
    """Label without the other trade word."""
    return text.partition(" (")[0]
