"""The fields of a set-up that came as a document: what can be changed in it, part by part, each by its JSON pointer.

A field is offered where one member of the document is one thing that can be typed or chosen: what the document states, and
what people change most. Whatever else it holds stays as it is and is offered nowhere.
"""

from collections.abc import Iterator, Mapping, Sequence

from marshmallow import Schema, fields

from closeup_service.gear.kit import Kit, Lens
from closeup_service.operations.registry import operation_named
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS
from closeup_service.pages.task import Choice, Group, Input, Members
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.schemas.describing import choice_words, label, pointer_words
from closeup_service.schemas.fields import AnyField, Flag, Number, Whole
from closeup_service.schemas.train import ELEMENTS

NEVER = ("element", "use", "setting", "unknown", "show_steps", "estimate_unknown")
"""What a part is, and what is asked: another one is another document."""
OF_A_LENS = ("reversed", "f_number", "focusing_extension_mm")
OF_A_CAMERA = ("pixel_pitch_um", "circle_of_confusion_mm")
OF_A_CAMERA_OF_THE_KIT = ("circle_of_confusion_mm",)
APART = ("camera", "train", "kit")
SCALARS = (str, int, float)
KINDS = {"spacer": "tube, ring or bellows", "close-up-lens": "close-up lens", "kit-part": "part of the kit"}


def groups_of(document: Members, kit: Kit, of_the_whole: Sequence[str]) -> tuple[Group, ...]:
    """Fields of a document, subject first; `of_the_whole` are offered even where it leaves them out."""
    found = [camera(document), *parts(document, kit)]
    whole = offer_fields(
        set_up(), {name: each for name, each in document.items() if name not in APART}, "", of_the_whole
    )
    found.append(Group("What counts as sharp, and what is wanted", tuple(whole), aside=True))
    return tuple(group for group in found if group.inputs)


def set_up() -> Schema:
    """Schema of a set-up document."""
    schema = operation_named("evaluateSetUp").request_schema
    assert schema is not None
    return schema


def camera(document: Members) -> Group:
    """Fields of the camera."""
    held, schema = document.get("camera"), inner_schema(set_up().fields["camera"])
    if not isinstance(held, Mapping) or schema is None:
        return Group("Camera", ())
    offers = OF_A_CAMERA_OF_THE_KIT if "use" in held else OF_A_CAMERA
    return Group("Camera", tuple(offer_fields(schema, held, "/camera", offers)))


def parts(document: Members, kit: Kit) -> Iterator[Group]:
    """Fields of each part of the train."""
    train = document.get("train")
    if not isinstance(train, list) or len(train) > MOST_ELEMENTS:
        return
    open_length = solve_pointer(document)
    for place, element in enumerate(train):
        schema = ELEMENTS.get(str(element.get("element"))) if isinstance(element, Mapping) else None
        if schema is None:
            continue
        start = f"/train/{place}"
        offers = OF_A_LENS if is_lens(element, kit) else ()
        inputs = tuple(each for each in offer_fields(schema, element, start, offers) if each.name != open_length)
        yield Group(f"Part {place + 1}: {name_of(element, kit)}", inputs)


def solve_pointer(document: Members) -> object:
    """Pointer of the length that the document leaves open."""
    solve = document.get("solve")
    return solve.get("unknown") if isinstance(solve, Mapping) else None


def is_lens(element: Members, kit: Kit) -> bool:
    """Whether the part is a lens, typed or of the kit."""
    return element["element"] == "lens" or isinstance(kit.by_id.get(str(element.get("use"))), Lens)


def name_of(element: Members, kit: Kit) -> str:
    """What people call the part."""
    part = kit.by_id.get(str(element.get("use")))
    kind = str(element["element"])
    return part.name if part is not None else KINDS.get(kind, choice_words(kind))


def offer_fields(schema: Schema, held: Members, start: str, also: Sequence[str] = ()) -> Iterator[Input]:
    """Fields for what is held, and for these others, in the order of the schema; what is nested is gone into."""
    for member, described in schema.fields.items():
        value, pointer = held.get(member), f"{start}/{member}"
        nested = inner_schema(described)
        if nested is not None and isinstance(value, Mapping):
            yield from offer_fields(nested, value, pointer)
        elif is_typed(described) and member not in NEVER and (isinstance(value, SCALARS) or member in also):
            yield field_at(pointer, member, described)


def inner_schema(described: AnyField) -> Schema | None:
    """Schema of a nested object."""
    return described.schema if isinstance(described, fields.Nested) else None


def is_typed(described: AnyField) -> bool:
    """Whether a value is one thing to type or to choose."""
    return isinstance(described, Number | Whole | Flag | fields.String)


def field_at(pointer: str, member: str, described: AnyField) -> Input:
    """Field for the member at a pointer."""
    choices = yes_or_no if isinstance(described, Flag) else SENSOR["own_choices"] if member == "sensor" else None
    words = pointer_words(pointer) if pointer.count("/") > 1 and not pointer.startswith("/camera") else label(member)
    return Input(pointer, member, described, words, own_choices=choices)


def yes_or_no(kit: Kit) -> list[Choice]:
    """Both answers; a box that is not ticked would send none."""
    del kit
    return [Choice("yes", "yes"), Choice("no", "no")]
