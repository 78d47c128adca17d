"""What a result is based on: every number that went in, and whether it was given, assumed, from the kit, or not used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from string import ascii_lowercase
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from closeup_service.advice import figures
from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Camera, Kit, Lens, Objective, Part, Setting
from closeup_service.language import later, mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.assumed import is_touched
from closeup_service.pages.form import Form
from closeup_service.pages.part_names import name_parts_with
from closeup_service.pages.task import Input, Members
from closeup_service.schemas.describing import choice_words, label, pointer_words

if TYPE_CHECKING:
    from closeup_service.records.answers import Answer

GIVEN = mark("given")
ASSUMED = mark("assumed")
FROM_CATALOGUE: Mapping[str, str] = {
    "published": mark("from the catalogue, a published size"),
    "from-memory": mark("from the catalogue, from memory"),
    "common-practice": mark("from the catalogue, common practice"),
}
SENSOR_FIELDS = ("sensor", "other_sensor")
FROM_THE_KIT = mark("from the kit")
NOT_CALIBRATED = mark("from the kit, not calibrated")
ENGRAVED = mark("from the kit, as its maker states")
OF_ITS_MOUNT = mark("from the kit, of its mount")
NOT_USED = mark("not used for this")
NOT_DECISIVE = mark("given; the other side decides")
"""Of a width and a height: the frame is filled by one of them."""
OF_A_PART = "/train/"
ALL = mark("all")
"""What a search assumes of its arrangements, which is no choice of a field."""
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
    origin: str
    """Where it comes from, in words that `basis` says."""
    inches: str = ""
    between: str = ""
    mark: str = ""
    """Letter by which results name what was assumed."""
    place: str = ""
    """Pointer to a datum of a part, which other set-ups call by another name."""

    @property
    def basis(self) -> str:
        """Where it comes from, in the language that is spoken."""
        return tr(self.origin)


class WentIn(Struct, frozen=True):
    """What went into an answer: the values that were typed, the lines of the basis, and the names of its parts."""

    given: Members = {}
    stands: Sequence[Stand] = ()
    parts: Sequence[str] = ()


def describe_basis(form: Form, documents: Sequence[Members], answers: Sequence[Answer], kit: Kit) -> list[Stand]:
    """Everything that a result is based on, each once: given, of the kit and the catalogue, assumed; what was not used last.

    `documents` are the requests that `answers` answer.
    """
    found = [
        *typed_lines(form, documents, kit),
        *sensor_lines(form),
        *kit_lines(documents, kit),
        *assumption_lines(documents, answers, kit),
    ]
    return with_marks(sorted(dict.fromkeys(found), key=lambda each: each.origin == NOT_USED))


def with_marks(stands: Iterable[Stand]) -> list[Stand]:
    """Lines with a letter for each that was assumed, as far as there are letters."""
    letters = iter(ascii_lowercase)
    return [replace(each, mark=next(letters, "")) if each.origin == ASSUMED else each for each in stands]


def assumptions_of(answer: Members, path: str, went_in: WentIn) -> tuple[Stand, ...]:
    """Lines of what an answer assumed that the result at this path is known to depend on."""
    assumed = answer.get("assumed")
    names = assumed.items() if isinstance(assumed, Mapping) else ()
    touching = {assumption(name, value, went_in.parts) for name, value in names if is_touched(path, name, answer)}
    return tuple(each for each in went_in.stands if each.mark and replace(each, mark="") in touching)


def typed_lines(form: Form, documents: Sequence[Members], kit: Kit) -> Iterator[Stand]:
    """What was typed or chosen."""
    for each in form.task.inputs:
        if each.name not in form.values or each.is_file or each.is_document:
            continue
        value, basis = form.values[each.name], GIVEN
        if each.name in form.unused:
            basis = NOT_USED
        elif each.name in form.task.weighed and not any(each.name in document for document in documents):
            basis = NOT_DECISIVE
        if each.is_number:
            told = figures.format_stated(value, each.member, each.unit)
            beside = figures.inches(value) if each.unit == "mm" else ""
            yield Stand(each.label, told, basis, beside)
        elif each.member not in ("use", *SENSOR_FIELDS) or basis == NOT_USED:
            yield Stand(each.label, chosen_words(each, value, kit), basis)


def chosen_words(wanted: Input, value: object, kit: Kit) -> str:
    """What was chosen, in the words of the list that it was chosen from."""
    chosen = value if isinstance(value, list) else [value]
    told = [each.label for each in wanted.choices(kit) or () if each.value in chosen]
    return ", ".join(told) or in_words(value)


def in_words(value: object) -> str:
    """Words for a value that is no number."""
    if isinstance(value, bool):
        return tr("yes") if value else tr("no")
    return choice_words(str(value))


def sensor_lines(form: Form) -> Iterator[Stand]:
    """Sizes of sensors that were chosen by their formats."""
    for each in form.task.inputs:
        used = each.member in SENSOR_FIELDS and each.name not in form.unused
        sensor = SENSORS.get(str(form.values.get(each.name, ""))) if used else None
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
        source = FROM_THE_KIT
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
    return later("measured by the studio on {date}", date=calibrated_on) if calibrated_on else NOT_CALIBRATED


def record_lines(record: Part | Setting, name: str, source: str) -> Iterator[Stand]:
    """Numbers of a record of the kit."""
    for member in PART_MEMBERS:
        value = getattr(record, member, None)
        if isinstance(value, float | int):
            told = figures.format_stated(float(value), member, VOCABULARY[member].unit)
            beside = figures.inches(value) if VOCABULARY[member].unit == "mm" else ""
            basis = OF_ITS_MOUNT if member == "register_mm" else source
            yield Stand(f"{label(member)}, {name}", told, basis, beside)


def assumption_lines(documents: Iterable[Members], answers: Iterable[Answer], kit: Kit) -> Iterator[Stand]:
    """What the operations assumed."""
    for document, answer in zip(documents, answers, strict=True):
        parts = name_parts_with(document, kit)
        for name, value in answer.get("assumed", {}).items():
            yield assumption(name, value, parts)


def assumption(name: str, value: object, parts: Sequence[str]) -> Stand:
    """Line for what was assumed under a name or a JSON pointer; `parts` are the names of the parts of the set-up."""
    words = pointer_words(name, parts) if name.startswith("/") else label(name)
    place = name if name.startswith(OF_A_PART) else ""
    return Stand(words, assumed_value(name.rpartition("/")[2], value, parts), ASSUMED, place=place)


def assumed_value(member: str, value: object, parts: Sequence[str]) -> str:
    """Value that was assumed, as people say it."""
    known = VOCABULARY.get(member)
    number = float(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if isinstance(number, float):
        return figures.format_stated(number, member, known.unit if known else "", ASSUMED_DIGITS)
    return pointer_words(str(value), parts) if str(value).startswith("/") else in_words(value)
