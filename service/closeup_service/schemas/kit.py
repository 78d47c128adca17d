"""A studio's kit: what a kit file, or the member `kit` of a request, may hold."""

import json
from collections.abc import Callable, Mapping
from functools import cache
from itertools import chain, islice
from typing import Any, TypeAlias, Unpack

from marshmallow import RAISE, ValidationError, fields, post_load, validate, validates_schema

from closeup_service.gear.kit import Kit, Origin
from closeup_service.gear.kit_building import demo_text, kit_of, say_words
from closeup_service.gear.kit_faults import MOST_PARTS, PART_GROUPS, Path, faults_of
from closeup_service.gear.kit_physics import impossible_parts
from closeup_service.language import ENGLISH, later, mark, speaking, spoken, tr
from closeup_service.schemas.fields import DescribedOptions, Id, Pattern, RequestSchema, Text, load, quantity
from closeup_service.schemas.items import MOST_FAULTS, Items, is_enough_found
from closeup_service.schemas.kit_fields import MOUNT_BY_ID, THREAD_BY_ID, PartFields, Reference, Words
from closeup_service.schemas.kit_lens import KitLensSchema
from closeup_service.schemas.sensor import SensorFields, states_sensor
from closeup_service.schemas.train import CloseUpLensSchema, ObjectiveSchema, TeleconverterSchema

__all__ = [
    "FACE",
    "GENDERS",
    "SIDES",
    "KitCameraSchema",
    "KitField",
    "KitSchema",
    "Reference",
    "demo_kit",
    "demo_kit_in",
    "group",
    "is_one_face",
    "kit_revision",
    "read_kit",
    "studio_kit",
]

Members: TypeAlias = dict[str, object]
Faults: TypeAlias = "dict[str | int, Faults] | list[str]"
"""What is wrong, by the steps of the path that leads to it."""

_CURRENCY = mark("Give three capital letters (ISO 4217), such as EUR.")


class OwnMountSchema(RequestSchema):
    """A mount that the catalogue does not hold, under an open name."""

    id = Id("Name to use in this kit; none of the catalogue's.", required=True)
    name = Words(200, "Name for people.", required=True)
    register_mm = quantity("register_mm", required=True, meaning="Register: flange to sensor.")
    thread = Reference("Its thread in /v1/catalogue/threads, where it is one; else it is a bayonet.")


GENDERS, SIDES = ("external", "internal"), ("lens", "body")
FACE = ("thread", "gender", "mount", "side")
"""What a face is stated by: the first two, or the last two."""


def is_one_face(members: Mapping[str, object], of: str = "") -> bool:
    """Whether a thread with its gender, or a mount with its side, is stated, whole and alone; `of` begins the names."""
    given = tuple(name for name in FACE if of + name in members)
    return given in (FACE[:2], FACE[2:])


class FaceSchema(RequestSchema):
    """One joining face: a thread with its gender, or a mount with its side."""

    thread = Reference(THREAD_BY_ID)
    gender = Text(GENDERS, metadata={"description": "External (male) or internal (female) thread."})
    mount = Reference(MOUNT_BY_ID)
    side = Text(SIDES, metadata={"description": "Side of the mount: as on a lens, or as on a camera body."})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def thread_or_mount(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """A thread goes with a gender, a mount with a side."""
        del data, kwargs
        if not is_one_face(original):
            raise ValidationError(tr("Give a thread with its gender, or a mount with its side."))


class KitCameraSchema(PartFields, SensorFields):
    """A camera: its mount, whose register it has, and its sensor."""

    mount = Reference(MOUNT_BY_ID, required=True)
    pixel_pitch_um = quantity("pixel_pitch_um")
    circle_of_confusion_mm = quantity("circle_of_confusion_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_some_sensor(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """A camera has a sensor."""
        del data, kwargs
        if not states_sensor(original):
            raise ValidationError(tr("Give the sensor by its id, or by its width and height."), "sensor")

    @post_load
    def measures_of_the_sensor(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """Keep the id: a kit is listed as it was read."""
        del kwargs
        return data


class SpacerFields(PartFields):
    """A part without glass, with its two faces."""

    takes_null = False

    front = fields.Nested(FaceSchema, required=True)
    rear = fields.Nested(FaceSchema, required=True)
    clear_diameter_mm = quantity("clear_diameter_mm")


class TubeSchema(SpacerFields):
    """A tube or ring of one length."""

    length_mm = quantity("length_mm", required=True)


class BellowsSchema(SpacerFields):
    """Bellows or a helicoid, with the range between its faces."""

    minimum_length_mm = quantity("length_mm", required=True, meaning="Least length between the faces.")
    maximum_length_mm = quantity("length_mm", required=True, meaning="Greatest length between the faces.")


class RingSchema(SpacerFields):
    """A reversing ring, a step-up or step-down ring, or a mount adapter."""

    length_mm = quantity("length_mm", required=True, meaning="Thickness between its faces; it counts as extension.")


class KitCloseUpLensSchema(PartFields, CloseUpLensSchema):
    """A close-up lens by its thread."""

    takes_null = False

    class Meta:
        """The kit's group says the kind."""

        unknown = RAISE
        exclude = ("element",)

    thread = Reference("External thread, which goes into the lens's filter thread.", required=True)
    front_thread = Reference("Internal thread at its front; assumed the same.")


class ConverterSchema(PartFields, TeleconverterSchema):
    """A converter between the two sides of its mount, whose register it is made for."""

    takes_null = False

    class Meta:
        """The register is the mount's."""

        unknown = RAISE
        exclude = ("element", "register_mm")

    mount = Reference(MOUNT_BY_ID, required=True)


class KitObjectiveSchema(PartFields, ObjectiveSchema):
    """A microscope objective by its shoulder's thread."""

    takes_null = False

    class Meta:
        """The kit's group says the kind."""

        unknown = RAISE
        exclude = ("element",)

    thread = Reference("External thread at its shoulder, by its id in /v1/catalogue/threads.", required=True)


def group(kind: type[RequestSchema], what: str) -> fields.List[Members]:
    """Field for the parts of one kind; assumed none."""
    return Items(
        fields.Nested(kind),
        load_default=list,
        validate=validate.Length(0, MOST_PARTS, error=later("Give at most {most_parts} parts.", most_parts=MOST_PARTS)),
        error_messages={"invalid": mark("Give a list of parts.")},
        metadata={"description": what},
    )


class KitSchema(RequestSchema):
    """What a studio owns, or might buy: at most 5000 parts in all, every id once."""

    name = Words(200, "Whose kit it is.", required=True)
    currency = fields.String(
        validate=[validate.Length(3, 3, error=_CURRENCY), Pattern("^[A-Z]{3}$", error=_CURRENCY)],
        error_messages={"invalid": _CURRENCY, "null": _CURRENCY},
        metadata={"description": "Currency of the prices, by ISO 4217."},
    )
    mounts = group(OwnMountSchema, "Mounts that the catalogue does not hold.")
    cameras = group(KitCameraSchema, "Cameras.")
    lenses = group(KitLensSchema, "Lenses.")
    tubes = group(TubeSchema, "Tubes of one length.")
    bellows = group(BellowsSchema, "Bellows and helicoids.")
    reversing_rings = group(RingSchema, "Rings from an external filter thread to the lens's side of a mount.")
    step_rings = group(RingSchema, "Rings from thread to thread: step-up, step-down, coupling.")
    mount_adapters = group(RingSchema, "Rings from mount to mount.")
    close_up_lenses = group(KitCloseUpLensSchema, "Close-up lenses.")
    converters = group(ConverterSchema, "Teleconverters.")
    objectives = group(KitObjectiveSchema, "Microscope objectives.")

    def load(self, data: object, **kwargs: Any) -> dict[str, object]:
        """Refuse a kit of too many parts before any is looked at."""
        if isinstance(data, Mapping):
            refuse_many_parts(data)
        return super().load(data, **kwargs)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_whole_kit(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """What shows only when parts are held against each other, the catalogue and physics."""
        del data, kwargs
        if is_enough_found():
            return
        messages: dict[str | int, Faults] = {}
        for path, text in islice(chain(faults_of(original), impossible_parts(original)), MOST_FAULTS):
            note(messages, path, text)
        if messages:
            raise ValidationError(messages)


def refuse_many_parts(kit: Mapping[str, object]) -> None:
    """Refuse more parts than one kit may hold, or more mounts of its own."""
    parts = sum(len(listed) for group in PART_GROUPS if isinstance(listed := kit.get(group), list))
    if parts > MOST_PARTS:
        text = tr("A kit of {parts} parts: at most {most_parts} are allowed.", parts=parts, most_parts=MOST_PARTS)
        raise ValidationError(text)
    mounts = kit.get("mounts")
    if isinstance(mounts, list) and len(mounts) > MOST_PARTS:
        raise ValidationError(tr("Give at most {most_parts} parts.", most_parts=MOST_PARTS), "mounts")


def note(messages: dict[str | int, Faults], path: Path, text: str) -> None:
    """Add what is wrong at the end of a path."""
    at = messages
    for step in path[:-1]:
        inner = at.setdefault(step, {})
        assert isinstance(inner, dict)
        at = inner
    texts = at.setdefault(path[-1], [])
    assert isinstance(texts, list)
    texts.append(text)


def read_kit(raw: Mapping[str, object], origin: Origin) -> Kit:
    """Check a kit and build its records.

    Raises
    ------
    ValidationError
        With every fault.
    """
    return kit_of(load(KitSchema(), raw), origin)


def kit_revision(*, required: bool = True) -> fields.String:
    """Field of an answer for the revision of the kit that it used."""
    return fields.String(
        required=required,
        validate=[validate.Length(32, 32), Pattern("^[0-9a-f]{32}$")],
        metadata={"description": "Revision of the kit that was used: a hash that changes with what the kit says."},
    )


def demo_kit() -> Kit:
    """Return the invented kit that ships with the package, for a studio that names none, in the language that is spoken."""
    return demo_kit_in(spoken())


@cache
def demo_kit_in(language: str) -> Kit:
    """Return the invented kit with its names in a language."""
    raw: Members = json.loads(demo_text())
    if language != ENGLISH:
        with speaking(language):
            raw = say_words(raw)
    return read_kit(raw, "demo")


def studio_kit(own: Kit | None) -> Callable[[str], Kit]:
    """Give the kit of a studio in a language: its own as it is written, or else the demo kit."""
    return demo_kit_in if own is None else lambda language: own


class KitField(fields.Nested):
    """The kit to use instead of this studio's own, as the whole kit file."""

    def __init__(self, **kwargs: Unpack[DescribedOptions]) -> None:
        super().__init__(KitSchema, **kwargs)

    def _deserialize(
        self,
        value: object,
        attr: str | None,
        data: Mapping[str, object] | None,
        partial: object = None,
        **kwargs: object,
    ) -> Kit:
        del partial, kwargs
        listing: Members = super()._deserialize(value, attr, data)
        return kit_of(listing, "request")
