"""What is known of a lens whose planes and pupils are not: its engravings, and what can be measured in two minutes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar, Final, cast

from marshmallow import ValidationError, fields, validate, validates_schema
from marshmallow.schema import SchemaMeta

from closeup_service.advice.figures import decimal
from closeup_service.estimates import families, lens_members
from closeup_service.estimates.readings import MOST_FRAMES
from closeup_service.language import later, mark, tr
from closeup_service.schemas.fields import Flag, RequestSchema, Text, exactly_one, missing_companions, quantity
from closeup_service.schemas.items import Items
from closeup_service.schemas.lens_mounting import MOUNTINGS
from closeup_service.schemas.quick_acceptance import concerning

if TYPE_CHECKING:
    from closeup_service.records import requests

LENS_CLASSES: Final = families.NAMES
ESTIMATE_UNKNOWN = lens_members.ESTIMATE_UNKNOWN

KNOWN_OF_A_LENS = (
    "lens_class",
    "widest_f_number",
    "zoom_from_mm",
    "zoom_to_mm",
    "barrel_length_mm",
    "barrel_length_uncertainty_mm",
    "entrance_pupil_depth_mm",
    "entrance_pupil_depth_uncertainty_mm",
    "entrance_pupil_diameter_mm",
    "exit_pupil_diameter_mm",
    "pupil_ratio_uncertainty",
    "measured",
)
"""Members that tell what is known of a lens."""

COMPANIONS = {
    "zoom_from_mm": ("zoom_to_mm", mark("both ends say where the zoom stands")),
    "zoom_to_mm": ("zoom_from_mm", mark("both ends say where the zoom stands")),
    "entrance_pupil_diameter_mm": ("exit_pupil_diameter_mm", mark("the ratio of both counts")),
    "barrel_length_uncertainty_mm": ("barrel_length_mm", mark("it is the uncertainty of that")),
    "entrance_pupil_depth_uncertainty_mm": ("entrance_pupil_depth_mm", mark("it is the uncertainty of that")),
    "pupil_ratio_uncertainty": ("exit_pupil_diameter_mm", mark("it is the uncertainty of the ratio of both pupils")),
}
"""Each member that counts for nothing without another: that other, and why."""


def estimate_flag() -> Flag:
    """Field that asks for estimates."""
    return Flag(
        metadata={
            "description": "Whether lens data that are not given are estimated from published designs of the lens's class, so "
            "that answers give ranges; assumed false."
        }
    )


class MeasuredMagnification(RequestSchema):
    """A photograph of a ruler: the magnification it shows, and how the lens stood, focused on infinity."""

    mounting = Text(MOUNTINGS, required=True, metadata={"description": "Which way round the lens stood."})
    extension_mm = quantity("extension_mm", required=True, meaning="Rings, adapters and bellows behind the lens.")
    camera_register_mm = quantity("camera_register_mm", required=True)
    magnification = quantity("magnification", meaning="Magnification that was read.")
    subject_width_mm = quantity("subject_width_mm", meaning="Length of the ruler over the width of the frame.")
    sensor_width_mm = quantity("sensor_width_mm", meaning="Used width of the sensor; needed with subject_width_mm.")
    magnification_uncertainty = quantity("magnification_uncertainty")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_magnification(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The magnification itself, or what fills the frame."""
        del data, kwargs
        if exactly_one(original, "magnification", "subject_width_mm") == "magnification":
            return
        if "sensor_width_mm" not in original:
            raise ValidationError(tr("Needed with subject_width_mm."), "sensor_width_mm")


class EstimatesLast(SchemaMeta):
    """Lists what is known of a lens behind the members that a schema states itself."""

    listed_last: tuple[str, ...]

    def __new__(mcs, name: str, bases: tuple[type, ...], attrs: dict[str, object]) -> EstimatesLast:
        """Make the class, and put its fields in order."""
        own = [each for each, value in attrs.items() if isinstance(value, fields.Field)]
        made = cast("EstimatesLast", super().__new__(mcs, name, bases, attrs))
        listed: tuple[str, ...] = getattr(made, "listed_last", ())
        last = made.listed_last = (
            listed if "listed_last" in attrs else tuple(each for each in listed if each not in own)
        )
        declared = made._declared_fields
        inherited = dict.fromkeys(each for base in reversed(bases) for each in getattr(base, "_declared_fields", ()))
        first = [each for each in inherited if each not in own and each not in last]
        made._declared_fields = {
            each: declared[each] for each in dict.fromkeys((*first, *own, *last)) if each in declared
        }
        return made


class KnownLensFields(RequestSchema, metaclass=EstimatesLast):
    """What stands on the barrel, and what was measured; it counts where lens data are estimated."""

    listed_last: ClassVar[tuple[str, ...]] = KNOWN_OF_A_LENS

    lens_class = Text(
        LENS_CLASSES,
        metadata={
            "description": "Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom."
        },
    )
    widest_f_number = quantity("widest_f_number")
    zoom_from_mm = quantity("zoom_from_mm")
    zoom_to_mm = quantity("zoom_to_mm")
    barrel_length_mm = quantity("barrel_length_mm")
    barrel_length_uncertainty_mm = quantity("barrel_length_uncertainty_mm")
    entrance_pupil_depth_mm = quantity("entrance_pupil_depth_mm")
    entrance_pupil_depth_uncertainty_mm = quantity("entrance_pupil_depth_uncertainty_mm")
    entrance_pupil_diameter_mm = quantity("entrance_pupil_diameter_mm")
    exit_pupil_diameter_mm = quantity(
        "exit_pupil_diameter_mm",
        meaning="Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or "
        "wide open with widest_f_number.",
    )
    pupil_ratio_uncertainty = quantity("pupil_ratio_uncertainty")
    measured = Items(
        fields.Nested(MeasuredMagnification),
        validate=validate.Length(
            1, MOST_FRAMES, error=later("Give 1 to {most_frames} frames.", most_frames=MOST_FRAMES)
        ),
        metadata={
            "description": "Photographs of a ruler taken with this lens at its infinity stop, each with its magnification."
        },
    )

    @concerning(*COMPANIONS, "exit_pupil_diameter_mm")
    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_what_belongs_together(
        self, data: requests.KnownLensFields, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse half a statement, and a zoom that ends before it begins."""
        del kwargs
        missing = missing_companions(original, COMPANIONS) | missing_entrance_pupil(original)
        if missing:
            raise ValidationError(missing)
        refuse_ends_of_zoom(data, original.get("focal_length_mm"))


def missing_entrance_pupil(original: Mapping[str, object]) -> dict[str, list[str]]:
    """An exit pupil counts by its ratio to the entrance pupil, measured or by the widest f-number."""
    if "exit_pupil_diameter_mm" not in original or {"entrance_pupil_diameter_mm", "widest_f_number"} & {*original}:
        return {}
    text = tr(
        "Needed with exit_pupil_diameter_mm: their ratio counts. Or measure wide open and give widest_f_number.",
    )
    return {"entrance_pupil_diameter_mm": [text]}


MOST_OFF_THE_MARK = 0.1
"""How far a true focal length may lie beyond the ends of a zoom as engraved: no lens of the statistics is further off."""


def refuse_ends_of_zoom(data: requests.KnownLensFields, focal_length: object) -> None:
    """Refuse a zoom that ends before it begins, and a focal length [mm] that it does not have."""
    start, end = data.get("zoom_from_mm"), data.get("zoom_to_mm")
    if start is None or end is None:
        return
    if start >= end:
        raise ValidationError(tr("A zoom begins at its shorter focal length: these ends are swapped."), "zoom_from_mm")
    off = 1 + MOST_OFF_THE_MARK
    if isinstance(focal_length, int | float) and not start / off <= focal_length <= end * off:
        text = tr(
            "Give a focal length that the zoom has, from {start} to {end} mm.", start=decimal(start), end=decimal(end)
        )
        raise ValidationError(text, "focal_length_mm")


HELD = {"front_principal_plane_mm": 0.0}
"""What holds the place of lens data that are to be estimated while a request is checked."""

HELD_REGISTER_MM = 45.0


class EstimatedLensFields(KnownLensFields):
    """The one lens of a quantity, whose unknown data may be estimated."""

    listed_last = ("focal_length_mm", "lens_register_mm", ESTIMATE_UNKNOWN, *KNOWN_OF_A_LENS)

    estimate_unknown = estimate_flag()
    focal_length_mm = quantity("focal_length_mm", meaning="Focal length; as engraved, where lens data are estimated.")
    lens_register_mm = quantity("lens_register_mm")

    holds_with = ESTIMATE_UNKNOWN

    def needs_register(self, members: Mapping[str, object]) -> bool:
        """Whether a reversed lens of which all else is known cannot be calculated without its register."""
        del members
        return False

    def placeholders(self, data: Mapping[str, object]) -> dict[str, float]:
        """Places that are held: of a plane, and of the register of a reversed lens."""
        mounted: requests.MountingField = cast("requests.MountingField", data)
        register = {"lens_register_mm": HELD_REGISTER_MM} if mounted.get("mounting") == "reversed" else {}
        held = {**HELD, **register} if "focal_length_mm" in data else {}
        return {name: value for name, value in held.items() if name in self.fields and name not in data}
