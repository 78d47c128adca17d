"""Faults in the words of the page: what to enter at which field, where an operation speaks of the members of its request."""

import re
from collections.abc import Mapping, Sequence

from msgspec import Struct

from closeup_service.advice.figures import capitalize, decimal
from closeup_service.pages.part_names import name_parts
from closeup_service.pages.task import Input, Members, Task
from closeup_service.schemas.describing import pointer_words, write_in_words


class Said(Struct, frozen=True):
    """A fault in words of the page, and the field that it stands at."""

    text: str
    name: str


class Rule(Struct, frozen=True):
    """What the page says in place of a text that it matches whole; `{missing}` asks for the field, `instead` names another."""

    found: str
    said: str
    instead: str = ""


MISSING = "{missing}"
RULES: Sequence[Rule] = (
    Rule(r"This member is required\.", MISSING),
    Rule(r"Needed, or the effective f-number in its place\.", MISSING),
    Rule(r"Give one of: .*", "Choose one of the list."),
    Rule(r"Give a share of full power .*", "Enter a share of full power, such as 1/64."),
    Rule(
        r"Give the blur you accept on the sensor, or the sensor to assume its diagonal / 1500\.",
        "Choose the sensor of your camera, or enter the circle of confusion that you accept.",
        "sensor",
    ),
    Rule(
        r"Give the sensor by its id or by its width and height, not both\.",
        "Choose a sensor of the list, or enter its width and height; not both.",
    ),
    Rule(
        r"The kit states it: leave it out\.",
        "The part of the kit has a value of its own. Leave this field blank, or choose no part of the kit.",
    ),
    Rule(
        r"The kit has no (?:camera|part|mount) (?P<id>.*?)(?:;.*|\.)",
        "The kit has no “{id}”. Choose one of the list.",
    ),
    Rule(
        r"There is no (?P<what>mount|thread) (?P<id>.*?); see .*",
        "There is no {what} “{id}”. Choose one of the list.",
    ),
    Rule(r"Needed: the two sensors are compared\. .*", "{missing} The two sensors are compared."),
    Rule(
        r"Counts for method \w+ only: .*",
        "This counts only where something else moves. Leave this field blank, or change what moves.",
    ),
    Rule(r"[\w-]+ goes from (?P<range>.*)\.", "Enter a number from {range}."),
    Rule(
        r"A flat subject needs no depth: .*",
        "A flat subject needs no depth: leave this field blank.",
    ),
    Rule(
        r"Given for the planned frame, so it counts: .*",
        "{missing} The new frame states this setting, so that of the frame that was right counts too.",
    ),
    Rule(
        r"Needed: the new value is (?:reckoned|calculated) from that of the reference frame\.",
        "{missing} The new setting is calculated from it.",
    ),
    Rule(
        r"The shutter does not change a flash's light: .*",
        "The exposure time does not change the light of a flash. Choose another setting to find.",
    ),
    Rule(
        r"Give the aperture \(.*\) or the distance of the flash: the other follows\.",
        "Enter the flash distance, or the marked f-number: the other follows.",
    ),
    Rule(
        r"Give exactly one of: magnification, subject_width_mm\.",
        MISSING,
        "measured_magnification",
    ),
    Rule(r"Give the subject's width, its height, or both.*", MISSING),
    Rule(r"The train holds no lens: add one\.", "Add a lens."),
    Rule(r"The train is focused at infinity: (?P<rest>.*)", "The set-up is focused at infinity: {rest}"),
    Rule(
        r"The (?P<result>[^.]*) (?:is|are) not determined without (?P<names>.*?)\.(?: (?P<how>.*))?",
        "Enter the {names}: without it the {result} cannot be calculated. {how}",
    ),
    Rule(r"The (?P<result>.*) is not determined\.(?: (?P<how>.*))?", "The {result} cannot be calculated. {how}"),
    Rule(
        r"Needed with the viewing distance or acuity\.",
        "{missing} Viewing distance and acuity count for a print only.",
    ),
    Rule(
        r"Needed for marks read at the edges: .*",
        "{missing} It is needed for marks at the edges of the frame. For other marks, enter the distance between them.",
    ),
    Rule(
        r"Needed to turn pixels into mm on the sensor: .*",
        "{missing} The pixel pitch, or the sensor and the width of the picture, say how large a pixel is.",
    ),
    Rule(
        r"Give both places in full: .*",
        "Enter all four places of the two marks, or the distance of the marks alone.",
    ),
    Rule(
        r"Give the sensor, or its width and height, to find .*",
        "Choose the sensor, or enter its width and height.",
    ),
    Rule(
        r"register_mm less focal_length_mm puts .*",
        "The register of the lens and its rear principal plane contradict each other. Enter one of the two.",
    ),
    Rule(
        r"No length from (?P<range>.*) gives (?P<what>.*) (?P<wanted>[\d.e+-]+): the nearest attainable is "
        r"(?P<nearest>[\d.e+-]+), at (?P<length>.*)\.",
        "With lengths from {range} the {what} cannot be {wanted}. The nearest is {nearest}, at {length}.",
    ),
    Rule(
        r"Needed with (?P<other>[^.:]*)(?::.*|\.)",
        "{missing} It is needed together with “{other}”.",
    ),
    Rule(r"Needed (?P<why>to|for) (?P<rest>.*)", "{missing} It is needed {why} {rest}"),
)
"""In their order; the first that matches is said."""
COMPILED = tuple((re.compile(rule.found, re.DOTALL), rule) for rule in RULES)
MISSING_ANYWHERE = "Enter what is missing here."
LONG_NUMBER = re.compile(r"\d+\.\d{3,}")
IMPERATIVE = re.compile(r"\b([Gg])ive\b")


def put_in_words(text: str, task: Task, name: str, pointer: str, asked: Members) -> Said:
    """Fault of an operation in words of the page; `pointer` leads to what the page has no field of its own for."""
    parts = name_parts(asked)
    said, place = find_words(text, task, name)
    told = write_in_words(said, labels_of(task), parts)
    told = LONG_NUMBER.sub(lambda found: decimal(float(found[0])), told)
    if pointer:
        told = f"{capitalize(pointer_words(pointer, parts))}: {told}"
    return Said(told, place)


def find_words(text: str, task: Task, name: str) -> tuple[str, str]:
    """What the page says in place of a text, still with names of members, and the field to say it at."""
    for pattern, rule in COMPILED:
        match = pattern.fullmatch(text)
        if match:
            given = {key: value or "" for key, value in match.groupdict().items()}
            instead = rule.instead if find(task, rule.instead) else name
            return rule.said.format(missing=ask_for(find(task, instead)), **given).strip(), instead
    return IMPERATIVE.sub(lambda found: "Enter" if found[1] == "G" else "enter", text), name


def ask_for(wanted: Input | None) -> str:
    """What to do at a field that is blank and needed."""
    return MISSING_ANYWHERE if wanted is None else wanted.missing


def find(task: Task, name: str) -> Input | None:
    """Field of this name; None where there is none."""
    return next((each for each in task.inputs if each.name == name), None)


def labels_of(task: Task) -> Mapping[str, str]:
    """Words beside the fields, by the members that they stand for."""
    return {each.member: each.label for each in reversed(task.inputs) if each.name == each.member}
