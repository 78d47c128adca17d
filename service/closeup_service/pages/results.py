"""Results as rows: label, number as people say it, and what they are based on: every number that went in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, TypedDict

from marshmallow import Schema, fields
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import figures
from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Camera, Kit, Lens, Objective, Part, Setting
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.form import Form
from closeup_service.pages.task import Input, Members, value_at
from closeup_service.schemas.describing import choice_words, label, pointer_words, unit, without_unit, write_in_words
from closeup_service.schemas.fields import AnyField, Number

if TYPE_CHECKING:
    from closeup_service.records.answers import Answer

GIVEN = "given"
ASSUMED = "assumed"
RECKONED = "reckoned"
PARTLY_ASSUMED = "reckoned, partly assumed"
ESTIMATED = "estimated"
MEASURE = "measure first"
TOO_WIDE = "range too wide to tell"
NOTHING = "–"
LABELS: Mapping[str, str] = {
    "solved/value": "length found",
    "marked_as": "new setting, as marked",
    "best/nominal_f_number": "mark with most contrast at both ends",
    "best/end_contrast": "contrast that it leaves at both ends",
    "planned/effective_f_number": "effective f-number of the new frame",
    "reference/effective_f_number": "effective f-number of the earlier frame",
    "nominal_f_number": "mark with the sharpest ends of the depth",
    "sampling": "what limits the detail",
    "total_mm": "depth of field",
    "magnification_low": "magnification, low end (95 %)",
    "magnification_high": "magnification, high end (95 %)",
    "edge_width_um": "width of an edge",
    "nearest": "nearest that can be had",
    "asked": "wished for",
    "miss": "misses by",
    "parts": "parts, subject first",
    "chains/0/extension_mm": "thickness of the rings, the first way",
    "infinity_extension_mm": "thickness that keeps infinity focus",
    "openings/0/full_diameter_mm": "least hole for the whole frame",
    "openings/0/axial_diameter_mm": "least hole for the middle of the frame",
    "openings/0/clips": "what your hole cuts off",
    "other_nominal_f_number": "mark to set on the other camera",
}
MEANINGS: Mapping[str, str] = {"solved/value": "Of what was left open, between its two faces; it reaches the target."}
AS_THEY_STAND = ("marked_as", "ratio", "parts", "name")
"""Texts that are no codes of the API."""
FROM_CATALOGUE: Mapping[str, str] = {
    "published": "from the catalogue, a published size",
    "from-memory": "from the catalogue, from memory",
    "common-practice": "from the catalogue, common practice",
}
SENSOR_FIELDS = ("sensor", "other_sensor")
NOT_CALIBRATED = "from the kit, not calibrated"
ENGRAVED = "from the kit, as its maker states"
OF_ITS_MOUNT = "from the kit, of its mount"
IN_THE_DOCUMENT = "given in the document"
NOT_USED = "not used"
ASSUMED_DIGITS = 4
"""Significant digits of what was assumed: some of it, such as a share of the sensor's diagonal, is worked out."""
PART_MEMBERS = (
    *("register_mm", "sensor_width_mm", "sensor_height_mm", "pixel_pitch_um", "circle_of_confusion_mm"),
    *("focal_length_mm", "pupil_magnification", "front_principal_plane_mm", "rear_principal_plane_mm"),
    *("principal_plane_separation_mm", "front_protrusion_mm", "length_mm", "power_dpt", "factor", "added_length_mm"),
    *("magnification", "numerical_aperture", "tube_lens_focal_length_mm", "tube_length_mm", "working_distance_mm"),
)


class Row(Struct, frozen=True):
    """One number with its words: as people say it, more exactly, in inches, and what it stands on."""

    name: str
    label: str
    value: str
    number: float | None = None
    unit: str = ""
    exact: str = ""
    inches: str = ""
    spread: str = ""
    between: str = ""
    """Range in which it lies, where it rests on estimates."""
    basis: str = ""
    meaning: str = ""
    place: int | None = None
    """Place among the results that are shown first, if it is one of them."""


class WorkedStep(Struct, frozen=True):
    """One step of a sum as it is written on the board; `numbers` is empty where the formula stands in words."""

    label: str
    formula: str
    numbers: str
    source: str


class StepMembers(TypedDict):
    """Step of an answer."""

    quantity: str
    formula: str
    numbers: str | None
    source: str


def worked_step(step: StepMembers) -> WorkedStep:
    """Write a step of an answer for people."""
    return WorkedStep(label_of(step["quantity"]), step["formula"], step["numbers"] or "", step["source"])


def field_at(schema: Schema, path: str) -> AnyField | None:
    """Field of an answer's schema at a path; of a list, that of its items."""
    name, _, rest = path.partition("/")
    if name.isdigit():
        return field_at(schema, rest)
    found = schema.fields.get(name)
    inner = found.inner if isinstance(found, fields.List) else found
    if rest and isinstance(inner, fields.Nested):
        return field_at(inner.schema, rest)
    return inner


def label_of(path: str) -> str:
    """Words for a result."""
    return LABELS.get(path) or LABELS.get(path.rpartition("/")[2]) or label(path.rpartition("/")[2])


def write_value(value: object, name: str, unit_of_it: str) -> str:
    """Write a value of an answer for people."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return figures.figure(value, name, unit_of_it)
    if isinstance(value, list):
        return " + ".join(write_value(each, name, unit_of_it) for each in value)
    return str(value) if name in AS_THEY_STAND else choice_words(str(value))


def row(schema: Schema, answer: Members, path: str, given: Members, first: tuple[str, ...]) -> Row | None:
    """Row of the result at a path; None where the answer leaves it out, or does not determine it."""
    value, described = value_at(answer, path), field_at(schema, path)
    if described is None or (value is None and not is_untold(answer, path)):
        return None
    name, unit_of_it = path.rpartition("/")[2], unit(described)
    number = float(value) if isinstance(described, Number) and isinstance(value, float | int) else None
    plain = Row(
        name=name,
        label=label_of(path),
        value=write_value(value if number is None else number, name, unit_of_it),
        number=number,
        unit=unit_of_it,
        exact="" if number is None else figures.format_exact(number, name, unit_of_it),
        inches=figures.inches(number) if number is not None and unit_of_it == "mm" else "",
        spread=spread(answer, name, unit_of_it),
        basis=basis(name, value, answer, given),
        meaning=write_in_words(MEANINGS.get(path) or without_unit(described.metadata.get("description", ""))),
        place=first.index(path) if path in first else None,
    )
    ends = range_at(answer, path)
    if value is None:
        return replace(plain, value=MEASURE, spread="", basis=TOO_WIDE)
    return plain if ends is None else row_in_range(plain, value, ends, unit_of_it)


def range_at(answer: Members, path: str) -> tuple[float, float] | None:
    """Ends of the range of a result; None where it does not rest on estimates."""
    ranges = answer.get("ranges")
    ends = ranges.get(path.replace("/", ".")) if isinstance(ranges, Mapping) else None
    return None if ends is None else (ends["low"], ends["high"])


def row_in_range(plain: Row, value: object, ends: tuple[float, float], unit_of_it: str) -> Row:
    """Row of a result that is known within a range."""
    assert isinstance(value, float | int)
    told = figures.figure_in_range(value, *ends, plain.name, unit_of_it)
    inches = " to ".join(map(figures.inches, ends)) if plain.inches else ""
    return replace(plain, value=told.about, exact="", inches=inches, spread="", between=told.between, basis=ESTIMATED)


def is_untold(answer: Members, path: str) -> bool:
    """Whether a result is not told because lenses of the class differ too much."""
    untold = answer.get("measure_first")
    return isinstance(untold, list) and path.replace("/", ".") in untold


def spread(answer: Members, name: str, unit_of_it: str) -> str:
    """Half the 95 % interval of a result where the answer tells it, else its standard uncertainty."""
    known = value_at(answer, f"expanded_uncertainty/{name}")
    if isinstance(known, float):
        return f"± {figures.add_unit(decimal(known, 2), unit_of_it)} (95 %)"
    known = value_at(answer, f"uncertainty/{name}")
    if name == "magnification" and isinstance(answer.get("magnification_uncertainty"), float):
        known = answer["magnification_uncertainty"]
    return f"± {figures.add_unit(decimal(known, 2), unit_of_it)}" if isinstance(known, float) else ""


def basis(name: str, value: object, answer: Members, given: Members) -> str:
    """What a result stands on: given, assumed, or reckoned, perhaps with something assumed."""
    if given.get(name) == value:
        return GIVEN
    assumed = answer.get("assumed")
    if isinstance(assumed, Mapping) and assumed.get(name) == value:
        return ASSUMED
    return PARTLY_ASSUMED if assumed else RECKONED


class Stand(Struct, frozen=True):
    """One number that went in: what it is of, and where it comes from."""

    label: str
    value: str
    basis: str
    inches: str = ""
    between: str = ""


def describe_basis(form: Form, documents: Iterable[Members], answers: Iterable[Answer], kit: Kit) -> list[Stand]:
    """Everything that a result stands on, each once: what is given, what the kit and the catalogue state, what is assumed."""
    found = [*typed_lines(form), *sensor_lines(form), *kit_lines(documents, kit), *assumption_lines(answers)]
    return list(dict.fromkeys(found))


def typed_lines(form: Form) -> Iterator[Stand]:
    """What was typed or chosen."""
    for each in form.task.inputs:
        if each.name not in form.values or each.is_file or each.is_document:
            continue
        value, basis = form.values[each.name], IN_THE_DOCUMENT if each.is_pointer else GIVEN
        if each.name in form.unused:
            basis = NOT_USED
        if each.is_number:
            told = figures.format_stated(value, each.member, each.unit)
            beside = figures.inches(value) if each.unit == "mm" else ""
            yield Stand(each.label, told, basis, beside)
        elif each.member not in ("use", *SENSOR_FIELDS):
            yield Stand(each.label, chosen_words(each, value), basis)


def chosen_words(wanted: Input, value: object) -> str:
    """What was chosen, in the words of the list that it was chosen from."""
    listed = wanted.own_choices if isinstance(wanted.own_choices, tuple) else ()
    told = next((each.label for each in listed if each.value == value), None)
    return told or write_value(value, wanted.member, "")


def sensor_lines(form: Form) -> Iterator[Stand]:
    """Sizes of sensors that were chosen by their formats."""
    for each in form.task.inputs:
        sensor = SENSORS.get(str(form.values.get(each.name, ""))) if each.member in SENSOR_FIELDS else None
        if sensor is not None:
            size = f"{decimal(sensor.width_mm, 4)} × {decimal(sensor.height_mm, 4)} mm"
            yield Stand(label(each.member), size, FROM_CATALOGUE[sensor.source_status])


def kit_lines(documents: Iterable[Members], kit: Kit) -> Iterator[Stand]:
    """What the kit states of its parts that are used."""
    for document in documents:
        camera = document.get("camera", {})
        if isinstance(camera, Mapping) and camera.get("use") in kit.cameras_by_id:
            yield from part_lines(kit.cameras_by_id[camera["use"]])
        train = document.get("train")
        for element in train if isinstance(train, list | tuple) else ():
            part = kit.by_id.get(element.get("use", "")) if isinstance(element, Mapping) else None
            if isinstance(part, Lens):
                yield from lens_lines(part, element.get("setting"))
            elif part is not None:
                yield from part_lines(part)


def part_lines(part: Part) -> Iterator[Stand]:
    """What the kit states of a part."""
    if isinstance(part, Objective):
        source = ENGRAVED
    elif isinstance(part, Camera):
        source = "from the kit"
    else:
        source = describe_calibration(part.calibrated_on)
    yield from record_lines(part, part.name, source)


def lens_lines(lens: Lens, setting_id: str | None) -> Iterator[Stand]:
    """What the kit states of a lens at its setting."""
    setting = lens.setting(setting_id) if setting_id else lens.settings[0]
    if setting is not None:
        yield from record_lines(setting, lens.name, describe_calibration(setting.calibrated_on or lens.calibrated_on))


def describe_calibration(calibrated_on: str | None) -> str:
    """Say whether the studio measured a part."""
    return f"measured by the studio on {calibrated_on}" if calibrated_on else NOT_CALIBRATED


def record_lines(record: Part | Setting, name: str, source: str) -> Iterator[Stand]:
    """Numbers of a record of the kit."""
    for member in PART_MEMBERS:
        value = getattr(record, member, None)
        if isinstance(value, float | int):
            told = figures.format_stated(float(value), member, VOCABULARY[member].unit)
            beside = figures.inches(value) if VOCABULARY[member].unit == "mm" else ""
            basis = OF_ITS_MOUNT if member == "register_mm" else source
            yield Stand(f"{label(member)}, {name}", told, basis, beside)


def assumption_lines(answers: Iterable[Answer]) -> Iterator[Stand]:
    """What the operations assumed."""
    for answer in answers:
        for name, value in answer.get("assumed", {}).items():
            member = name.rpartition("/")[2]
            yield Stand(words_for(name), assumed_value(member, value), ASSUMED)


def words_for(name: str) -> str:
    """Words for what was assumed, by its name or its JSON pointer."""
    return pointer_words(name) if name.startswith("/") else label(name)


def assumed_value(member: str, value: object) -> str:
    """Value that was assumed, as people say it."""
    known = VOCABULARY.get(member)
    number = float(value) if isinstance(value, int) and not isinstance(value, bool) else value
    unit = known.unit if known else ""
    if isinstance(number, float):
        return figures.format_stated(number, member, unit, ASSUMED_DIGITS)
    return write_value(number, member, unit)
