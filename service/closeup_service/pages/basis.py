"""What a result stands on: every number that went in, with where it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Camera, Kit, Lens, Objective, Part, Setting
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.form import Form
from closeup_service.pages.results import ASSUMED, GIVEN, write_value
from closeup_service.pages.task import Members
from closeup_service.pages.words import pointer_words
from closeup_service.schemas.describing import label

if TYPE_CHECKING:
    from closeup_service.records.answers import Answer

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


class Stand(Struct, frozen=True):
    """One number that went in: what it is of, and where it comes from."""

    label: str
    value: str
    basis: str
    inches: str = ""


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
            yield Stand(each.label, write_value(value, each.member, ""), basis)


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
