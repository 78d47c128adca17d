"""A lens of a kit: its faces, its ring, and its settings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar, TypeAlias

from marshmallow import RAISE, ValidationError, fields, post_load, validate, validates_schema

from closeup_service.language import later, tr
from closeup_service.optics.aperture_series import SERIES
from closeup_service.schemas.fields import Id, RequestSchema, Text, declared_fields, numbers, quantity
from closeup_service.schemas.items import Items
from closeup_service.schemas.kit_fields import MOUNT_BY_ID, Day, PartFields, Reference
from closeup_service.schemas.lens_mounting import MOUNTINGS
from closeup_service.schemas.lens_uncertainty import refuse_absent_parameters
from closeup_service.schemas.train import LensSchema

if TYPE_CHECKING:
    from closeup_service.records import requests

Members: TypeAlias = dict[str, object]

MOST_APERTURES = 60
MOST_SETTINGS = 100
ONLY = "only"
"""Id of the setting of a lens that states its data itself."""


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


class OwnFields(LensSchema):
    """What each setting states for itself, as the element lens describes it."""

    class Meta:
        """What belongs to the use, not to the lens, is left out."""

        unknown = RAISE
        exclude: ClassVar[tuple[str, ...]] = ("element", "reversed", "f_number", "focusing_extension_mm")

    @validates_schema
    def uncertain_in_what_it_gives(self, data: requests.Lens, **kwargs: object) -> None:
        """Only what the setting gives can be uncertain; its rear plane may follow from the lens's mount."""
        del kwargs
        refuse_absent_parameters(data, "rear_principal_plane_mm")


OWN = tuple(name for name in declared_fields(OwnFields) if name not in declared_fields(BarrelFields))
"""What a lens with one setting may state itself, in place of its settings."""


class SettingSchema(BarrelFields, OwnFields):
    """A lens at one zoom setting or calibration, as the element lens describes it."""

    class Meta(OwnFields.Meta):
        """As its members' own."""

    id = Id("Name of the setting, one of its kind in this lens.", required=True)


def setting_list(
    more: str = "", *, required: bool = False, schema: type[SettingSchema] = SettingSchema
) -> fields.List[Members]:
    """Field for the settings of a lens."""
    return Items(
        fields.Nested(schema),
        required=required,
        validate=validate.Length(
            1, MOST_SETTINGS, error=later("Give 1 to {most_settings} settings.", most_settings=MOST_SETTINGS)
        ),
        metadata={"description": f"Zoom settings or calibrations, each with its own data.{more}"},
    )


class KitLensSchema(PartFields, BarrelFields, OwnFields):
    """A lens: its mount or rear thread, its filter thread, and its settings, or the data of its only one."""

    class Meta(OwnFields.Meta):
        """As its members' own."""

    mount = Reference(MOUNT_BY_ID + " Its register is the lens's.")
    rear_thread = Reference("Rear thread of a lens without a mount of its own, such as an enlarging lens.")
    front_thread = Reference("Filter thread, by its id in /v1/catalogue/threads.")
    mass_g = quantity("mass_g")
    focal_length_mm = quantity("focal_length_mm", meaning="Focal length of a lens that lists no settings.")
    settings = setting_list(
        " A lens of one setting may leave them out and state focal_length_mm and what else is known itself; it is listed with "
        f"the setting {ONLY}."
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def settings_or_one(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """The data stand in the settings, or in the lens itself."""
        del data, kwargs
        given = [name for name in OWN if name in original]
        if "settings" in original and given:
            text = tr(
                "The lens lists settings: give this in each of them, or leave the settings out and give all of it "
                "here.",
            )
            raise ValidationError({name: [text] for name in given})
        if "settings" not in original and "focal_length_mm" not in original:
            text = tr(
                "Give the settings, each with its focal_length_mm; or, for a lens of one setting, focal_length_mm "
                "here.",
            )
            raise ValidationError({name: [text] for name in ("settings", "focal_length_mm")})

    @post_load
    def with_settings(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """List the only setting like any other."""
        del kwargs
        if "settings" in data:
            return data
        common = {name: value for name, value in data.items() if name not in OWN}
        own = {name: data[name] for name in OWN if name in data}
        return {**common, "settings": [{"id": ONLY, **own}]}
