"""A studio's kit: what a kit file, or the member `kit` of a request, may hold."""

import json
import re
from collections.abc import Mapping
from datetime import date
from functools import cache
from itertools import islice
from typing import Any

from marshmallow import RAISE, ValidationError, fields, post_load, validate, validates_schema

from closeup_service.gear.kit import Kit, Origin
from closeup_service.gear.kit_building import demo_text, kit_of
from closeup_service.gear.kit_faults import MOST_PARTS, faults_of
from closeup_service.optics.aperture_series import SERIES
from closeup_service.schemas.fields import Flag, Id, Number, Pattern, RequestSchema, Text, load, numbers, quantity
from closeup_service.schemas.lens_mounting import MOUNTINGS
from closeup_service.schemas.lens_uncertainty import refuse_absent_parameters
from closeup_service.schemas.sensor import SensorFields, states_sensor
from closeup_service.schemas.train import CloseUpLensSchema, LensSchema, ObjectiveSchema, TeleconverterSchema

MOST_FAULTS = 200
"""Faults between parts are sought no further; an answer lists fewer."""

MOST_APERTURES = 60
MOST_SETTINGS = 100
DATE_PATTERN = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
REFERENCE = (validate.Length(1, 64), Pattern(r"^[0-9A-Za-z][0-9A-Za-z./-]*$", error="This is no id."))


class Words(fields.String):
    """A JSON string of one line."""

    def __init__(self, most: int, description: str, **kwargs: Any) -> None:
        refusal = f"Give 1 to {most} characters on one line."
        super().__init__(
            validate=[validate.Length(1, most, error=refusal), Pattern(r"^[^\x00-\x1f]*$", error=refusal)],
            error_messages={"invalid": refusal, "null": refusal},
            metadata={"description": description},
            **kwargs,
        )


class Reference(fields.String):
    """Id of a mount or thread; whether there is one is checked with the whole kit."""

    def __init__(self, description: str, **kwargs: Any) -> None:
        super().__init__(
            validate=REFERENCE,
            error_messages={"invalid": "Give an id.", "null": "Give an id."},
            metadata={"description": description},
            **kwargs,
        )


class Day(fields.String):
    """A date as ISO 8601 writes it, kept as text."""

    def __init__(self, description: str) -> None:
        super().__init__(
            validate=[validate.Length(10, 10), Pattern(DATE_PATTERN, flags=re.ASCII)],
            error_messages={"invalid": _DAY, "null": _DAY},
            metadata={"description": description, "format": "date"},
        )

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        try:
            if re.fullmatch(DATE_PATTERN[1:-1], value, re.ASCII) and date.fromisoformat(value):
                return str(value)
        except (TypeError, ValueError):
            pass
        raise ValidationError(_DAY)


_CURRENCY = "Give three capital letters (ISO 4217), such as EUR."
_DAY = "Give a date that exists, as year-month-day, such as 2030-05-17."
_MOUNT = "Mount, by its id in /v1/catalogue/mounts or among the kit's own."
_THREAD = "Thread, by its id in /v1/catalogue/threads."


def price(description: str) -> Number:
    """Field for a price in the kit's currency."""
    return Number(
        validate=validate.Range(0, 1e7, error="Give a number from 0 to 10000000."),
        metadata={"description": description, "format": "double", "x-unit": "1"},
    )


class PartFields(RequestSchema):
    """What the studio notes of every part."""

    id = Id("Name by which a train uses it; one of its kind in the whole kit.", required=True)
    name = Words(200, "Name for people.", required=True)
    available = Flag(metadata={"description": "Whether it is at hand; assumed true."})
    owned = Flag(metadata={"description": "Whether the studio owns it; assumed true."})
    price = price("What it costs, in the kit's currency.")
    serial_number = Words(100, "Number engraved on it.")
    location = Words(200, "Where it is kept.")
    calibrated_on = Day("Day on which its data were measured.")

    @post_load
    def owned_and_at_hand(self, data: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
        """What a kit lists is the studio's and at hand, unless it says otherwise."""
        del kwargs
        return {"available": True, "owned": True} | data


class OwnMountSchema(RequestSchema):
    """A mount that the catalogue does not hold, under an open name."""

    id = Id("Name to use in this kit; none of the catalogue's.", required=True)
    name = Words(200, "Name for people.", required=True)
    register_mm = quantity("register_mm", required=True, meaning="Register: flange to sensor.")
    thread = Reference("Its thread in /v1/catalogue/threads, where it is one; else it is a bayonet.")


GENDERS, SIDES = ("external", "internal"), ("lens", "body")
FACE = ("thread", "gender", "mount", "side")
"""What a face is stated by: the first two, or the last two."""


def is_one_face(members: Mapping[str, Any], of: str = "") -> bool:
    """Whether a thread with its gender, or a mount with its side, is stated, whole and alone; `of` begins the names."""
    given = tuple(name for name in FACE if of + name in members)
    return given in (FACE[:2], FACE[2:])


class FaceSchema(RequestSchema):
    """One joining face: a thread with its gender, or a mount with its side."""

    thread = Reference(_THREAD)
    gender = Text(GENDERS, metadata={"description": "External (male) or internal (female) thread."})
    mount = Reference(_MOUNT)
    side = Text(SIDES, metadata={"description": "Side of the mount: as on a lens, or as on a camera body."})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def thread_or_mount(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """A thread goes with a gender, a mount with a side."""
        del data, kwargs
        if not is_one_face(original):
            raise ValidationError("Give a thread with its gender, or a mount with its side.")


class KitCameraSchema(PartFields, SensorFields):
    """A camera: its mount, whose register it has, and its sensor."""

    mount = Reference(_MOUNT, required=True)
    pixel_pitch_um = quantity("pixel_pitch_um")
    circle_of_confusion_mm = quantity("circle_of_confusion_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def some_sensor(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """A camera has a sensor."""
        del data, kwargs
        if not states_sensor(original):
            raise ValidationError("Give the sensor by its id, or by its width and height.", "sensor")

    @post_load
    def measures_of_the_sensor(self, data: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
        """Keep the id: a kit is listed as it was read."""
        del kwargs
        return data


class EdgeWidthSchema(RequestSchema):
    """A sharp edge's width, measured on the sensor, and how the lens stood."""

    measured_edge_width_um = quantity("measured_edge_width_um", required=True)
    magnification = quantity("magnification", required=True)
    f_number = quantity("f_number", required=True)
    mounting = Text(MOUNTINGS, required=True, metadata={"description": "Which way round it stood."})


class BarrelFields(RequestSchema):
    """What a lens may state once for all settings, or a setting for itself."""

    aperture_series = Text(SERIES, metadata={"description": "Steps of the aperture ring; assumed third."})
    least_f_number = quantity("least_f_number", meaning="Widest aperture of the ring.")
    greatest_f_number = quantity("greatest_f_number", meaning="Smallest aperture of the ring.")
    f_numbers = numbers("f_number", MOST_APERTURES)
    front_diameter_mm = quantity("front_diameter_mm")
    front_protrusion_mm = quantity("front_protrusion_mm")
    image_circle_mm = quantity("image_circle_mm")
    focusing_travel_mm = quantity("focusing_travel_mm")
    sharp_from_f_number = quantity("f_number", meaning="Marked f-number from which the lens is known to be sharp.")
    measured_edge_width = fields.Nested(EdgeWidthSchema)
    calibrated_on = Day("Day on which these data were measured.")


class SettingSchema(BarrelFields, LensSchema):
    """A lens at one zoom setting or calibration, as the element lens describes it."""

    class Meta:
        """What belongs to the use, not to the lens, is left out."""

        unknown = RAISE
        exclude = ("element", "reversed", "f_number", "focusing_extension_mm")

    id = Id("Name of the setting, one of its kind in this lens.", required=True)

    @validates_schema
    def uncertain_in_what_it_gives(self, data: Mapping[str, Any], **kwargs: Any) -> None:
        """Only what the setting gives can be uncertain; its rear plane may follow from the lens's mount."""
        del kwargs
        refuse_absent_parameters({**data, "rear_principal_plane_mm": None})


def setting_list(schema: type[SettingSchema]) -> fields.List[Any]:
    """Field for the settings of a lens."""
    return fields.List(
        fields.Nested(schema),
        required=True,
        validate=validate.Length(1, MOST_SETTINGS, error=f"Give 1 to {MOST_SETTINGS} settings."),
        metadata={"description": "Zoom settings or calibrations, each with its own data."},
    )


class KitLensSchema(PartFields, BarrelFields):
    """A lens: its mount or rear thread, its filter thread, and at least one setting."""

    mount = Reference(_MOUNT + " Its register is the lens's.")
    rear_thread = Reference("Rear thread of a lens without a mount of its own, such as an enlarging lens.")
    front_thread = Reference("Filter thread, by its id in /v1/catalogue/threads.")
    mass_g = quantity("mass_g")
    settings = setting_list(SettingSchema)


class SpacerFields(PartFields):
    """A part without glass, with its two faces."""

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

    class Meta:
        """The kit's group says the kind."""

        unknown = RAISE
        exclude = ("element",)

    thread = Reference("External thread, which goes into the lens's filter thread.", required=True)
    front_thread = Reference("Internal thread at its front; assumed the same.")


class ConverterSchema(PartFields, TeleconverterSchema):
    """A converter between the two sides of its mount, whose register it is made for."""

    class Meta:
        """The register is the mount's."""

        unknown = RAISE
        exclude = ("element", "register_mm")

    mount = Reference(_MOUNT, required=True)


class KitObjectiveSchema(PartFields, ObjectiveSchema):
    """A microscope objective by its shoulder's thread."""

    class Meta:
        """The kit's group says the kind."""

        unknown = RAISE
        exclude = ("element",)

    thread = Reference("External thread at its shoulder, by its id in /v1/catalogue/threads.", required=True)


def group(kind: type[RequestSchema], what: str) -> fields.List[Any]:
    """Field for the parts of one kind; assumed none."""
    return fields.List(
        fields.Nested(kind),
        load_default=list,
        validate=validate.Length(0, MOST_PARTS, error=f"Give at most {MOST_PARTS} parts."),
        error_messages={"invalid": "Give a list of parts."},
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

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def whole_kit(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """What shows only when parts are held against each other, the catalogue and physics."""
        del data, kwargs
        messages: dict[Any, Any] = {}
        for path, text in islice(faults_of(original), MOST_FAULTS):
            at: dict[Any, Any] = messages
            for step in path[:-1]:
                at = at.setdefault(step, {})
            at.setdefault(path[-1], []).append(text)
        if messages:
            raise ValidationError(messages)


def read_kit(raw: Mapping[str, Any], origin: Origin) -> Kit:
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


@cache
def demo_kit() -> Kit:
    """Return the invented kit that ships with the package, for a studio that names none."""
    return read_kit(json.loads(demo_text()), "demo")


class KitField(fields.Nested):
    """The kit to use instead of this studio's own, as the whole kit file."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(KitSchema, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Any, partial: Any = None, **kwargs: Any) -> Kit:
        del partial
        listing = super()._deserialize(value, attr, data, **kwargs)
        return kit_of(listing, "request")
