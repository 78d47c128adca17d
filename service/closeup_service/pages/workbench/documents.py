"""A set-up document as the fields of a bench; what has no field is kept beside them, part by part."""

import json
from collections.abc import Mapping, Sequence

from marshmallow import Schema, fields

from closeup_service.language import mark
from closeup_service.operations.set_up.evaluate.schemas import (
    MOST_ELEMENTS,
    TARGETS,
    CameraSchema,
    SetUpRequest,
    SolveSchema,
)
from closeup_service.pages import form
from closeup_service.pages.elsewhere import plain_number, write_value
from closeup_service.pages.task import Members
from closeup_service.pages.tasks.known_lens import ESTIMATE, FRAME_FIELDS, MEASURED
from closeup_service.pages.typed_numbers import CannotRead, number
from closeup_service.pages.workbench.bench import CHOSEN, OPEN, Bench, Part, Texts
from closeup_service.pages.workbench.cards import MORE
from closeup_service.pages.workbench.kinds import BETWEEN, ELEMENT, KIT_PART, SETTING, TYPED, USE
from closeup_service.schemas.describing import unit
from closeup_service.schemas.fields import AnyField, Flag, Number, Whole
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.schemas.train import ELEMENTS

CAMERA, SET_UP, SOLVE = CameraSchema(), SetUpRequest(), SolveSchema()
LIMITS = {
    "minimum": ("find_minimum", mark("least length to find")),
    "maximum": ("find_maximum", mark("greatest length to find")),
}
"""Members of a solve that bound the length to find, with their fields and the words beside these."""
REGISTER = "camera_register_mm"
SOLVED = "solve"
APART = ("camera", "train", "solve", ESTIMATE_UNKNOWN)


def bench_of(document: Members) -> Bench | None:
    """Bench that holds a document whole; None where none can."""
    camera, train = document.get("camera"), document.get("train")
    if not isinstance(camera, Mapping) or not isinstance(train, Sequence) or not 0 < len(train) <= MOST_ELEMENTS:
        return None
    if not all(isinstance(each, Mapping) and isinstance(each.get(ELEMENT), str) for each in train):
        return None
    if not all(each[ELEMENT] in ELEMENTS for each in train):
        return None
    bench = Bench([part_of(each, camera) for each in train])
    more: dict[str, object] = {}
    lay_camera(bench, camera, more)
    lay_solve(bench, document, more)
    lay_whole(bench, document, more)
    if more:
        bench.rest[MORE] = (write(more),)
    return bench


def part_of(element: Members, camera: Members) -> Part:
    """One element as a part."""
    kind = str(element[ELEMENT])
    part: Part = {CHOSEN: (write_choice(element),)}
    said = {name: value for name, value in element.items() if name not in (ELEMENT, *chosen_members(element))}
    frame = ruler_texts(said.get(MEASURED), camera)
    if frame:
        part |= frame
        del said[MEASURED]
    texts, kept = split(said, ELEMENTS[kind])
    part |= texts
    if kept:
        part[MORE] = (write(kept),)
    return part


def write_choice(element: Members) -> str:
    """What a part is: its id in the kit with its setting, or its kind."""
    if USE not in chosen_members(element):
        return f"{TYPED}{element[ELEMENT]}"
    return BETWEEN.join(str(element[name]) for name in chosen_members(element))


def chosen_members(element: Members) -> tuple[str, ...]:
    """Members that say which part of the kit it is."""
    if element[ELEMENT] != KIT_PART or not is_id(element.get(USE)):
        return ()
    return (USE, SETTING) if is_id(element.get(SETTING)) else (USE,)


def is_id(value: object) -> bool:
    """Whether a value can be an id: no sign of our own is in it."""
    return isinstance(value, str) and value == value.strip() != "" and BETWEEN not in value and TYPED not in value


def ruler_texts(measured: object, camera: Members) -> Part:
    """The one photograph of a ruler that has fields; nothing where it says more, or there are several."""
    if not isinstance(measured, Sequence) or len(measured) != 1 or not isinstance(measured[0], Mapping):
        return {}
    frame = measured[0]
    if set(frame) != {*FRAME_FIELDS, REGISTER} or frame[REGISTER] != camera.get("register_mm"):
        return {}
    return {name: (write_value(frame[member]),) for member, name in FRAME_FIELDS.items()}


def split(said: Members, schema: Schema) -> tuple[dict[str, Texts], dict[str, object]]:
    """Texts of what a field can hold exactly, and the rest as it is."""
    texts: dict[str, Texts] = {}
    kept: dict[str, object] = {}
    for name, value in said.items():
        text = text_of(value, schema.fields.get(name), name)
        if text is None:
            kept[name] = value
        else:
            texts[name] = (text,)
    return texts, kept


def text_of(value: object, described: AnyField | None, name: str) -> str | None:
    """Text that a field holds for a value, from which just this value is read; None where there is none."""
    if isinstance(described, Flag):
        return (form.YES if value else form.NO)[0] if isinstance(value, bool) else None
    if isinstance(described, Number | Whole):
        return number_text(value, described, name)
    plain = isinstance(described, fields.String) and isinstance(value, str)
    return str(value) if plain and value == str(value).strip() != "" else None


def number_text(value: object, described: AnyField, name: str) -> str | None:
    """Text of a number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    text = write_value(value)
    try:
        return text if number(text, name, unit(described)) == value else None
    except CannotRead:
        return None


def lay_camera(bench: Bench, camera: Members, more: dict[str, object]) -> None:
    """Lay the camera into its fields."""
    texts, kept = split(camera, CAMERA)
    if USE in texts:
        texts["camera"] = texts.pop(USE)
    bench.rest |= texts
    if kept:
        more["camera"] = kept


def lay_solve(bench: Bench, document: Members, more: dict[str, object]) -> None:
    """Lay the target and the length to find into their fields; a solve that they cannot hold is kept whole."""
    if SOLVED not in document:
        return
    solve = document[SOLVED]
    found = texts_of_solve(bench, solve) if isinstance(solve, Mapping) else None
    if found is None:
        more[SOLVED] = solve
    else:
        bench.rest |= found


def texts_of_solve(bench: Bench, solve: Members) -> dict[str, Texts] | None:
    """Texts of a solve; None where it says what no field does."""
    target, steps = solve.get("target"), str(solve.get("unknown")).split("/")
    limits, kept = split({name: value for name, value in solve.items() if name in LIMITS}, SOLVE)
    if kept or not isinstance(target, Mapping) or not set(solve) <= {"target", "unknown", *LIMITS}:
        return None
    inner = fields_within(SOLVE.fields["target"])
    texts, kept = split(target, inner)
    if kept or not texts or not set(texts) <= set(TARGETS) or not is_place(steps, len(bench.parts)):
        return None
    bench.parts[int(steps[2])][OPEN] = (steps[3],)
    named = {f"target_{name}": text for name, text in texts.items()}
    return named | {LIMITS[name][0]: text for name, text in limits.items()}


def fields_within(described: object) -> Schema:
    """Schema of a nested object."""
    assert isinstance(described, fields.Nested)
    found = described.schema
    assert isinstance(found, Schema)
    return found


def is_place(steps: Sequence[str], most: int) -> bool:
    """Whether the steps of a pointer lead to a member of a part."""
    return len(steps) == 4 and steps[1] == "train" and steps[2].isdecimal() and int(steps[2]) < most


def lay_whole(bench: Bench, document: Members, more: dict[str, object]) -> None:
    """Lay all else into its fields."""
    texts, kept = split({name: value for name, value in document.items() if name not in APART}, SET_UP)
    bench.rest |= texts
    more |= kept
    if document.get(ESTIMATE_UNKNOWN) is False:
        bench.rest[ESTIMATE] = (form.NO[0],)
    elif document.get(ESTIMATE_UNKNOWN, True) is not True:
        more[ESTIMATE_UNKNOWN] = document[ESTIMATE_UNKNOWN]


def write(kept: Members) -> str:
    """What has no field, as an address holds it."""
    return json.dumps(plain_number(kept), separators=(",", ":"), ensure_ascii=False)
