"""The elements of a train: one closed schema each, told apart by `element`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import mark, tr
from closeup_service.schemas.fields import REQUIRED, Flag, Id, Number, RequestSchema, Text, exactly_one, load, quantity
from closeup_service.schemas.known_lens import KnownLensFields
from closeup_service.schemas.lens_uncertainty import LensUncertaintySchema, refuse_absent_parameters

if TYPE_CHECKING:
    from closeup_service.records import requests


class LensSchema(KnownLensFields):
    """Camera, enlarger or any other thick lens."""

    element = Text(("lens",), required=True, metadata={"description": "Kind of element."})
    focal_length_mm = quantity("focal_length_mm", required=True)
    f_number = quantity("f_number")
    pupil_magnification = quantity("pupil_magnification")
    front_principal_plane_mm = quantity("front_principal_plane_mm")
    register_mm = quantity("register_mm", meaning="Register of the mount that the lens was made for.")
    rear_principal_plane_mm = quantity("rear_principal_plane_mm")
    principal_plane_separation_mm = quantity("principal_plane_separation_mm")
    focusing_extension_mm = quantity("focusing_extension_mm")
    reversed = Flag(metadata={"description": "Whether the lens stands back to front; if not given, it does not."})
    front_diameter_mm = quantity("front_diameter_mm")
    front_protrusion_mm = quantity("front_protrusion_mm")
    image_circle_mm = quantity("image_circle_mm")
    uncertainty = fields.Nested(LensUncertaintySchema)

    @validates_schema
    def uncertain_in_what_it_gives(self, data: requests.Lens, **kwargs: object) -> None:
        """Only what the lens gives can be uncertain."""
        del kwargs
        refuse_absent_parameters(data)


class SpacerSchema(RequestSchema):
    """Any tube, ring, bellows, helicoid or adapter."""

    element = Text(("spacer",), required=True, metadata={"description": "Kind of element."})
    length_mm = quantity(
        "length_mm", meaning="Length between its two faces; required, but left out where solve names it."
    )
    clear_diameter_mm = quantity("clear_diameter_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def length_given(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Its length; where solve names it, its place has been held already."""
        del data, kwargs
        if "length_mm" not in original:
            raise ValidationError(REQUIRED, "length_mm")


class CloseUpLensSchema(RequestSchema):
    """Supplementary lens screwed to the front; power or focal length."""

    element = Text(("close-up-lens",), required=True, metadata={"description": "Kind of element."})
    power_dpt = quantity("power_dpt")
    focal_length_mm = quantity("focal_length_mm")
    length_mm = quantity("length_mm")
    front_principal_plane_mm = quantity("front_principal_plane_mm")
    rear_principal_plane_mm = quantity("rear_principal_plane_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def power_or_focal_length(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """One statement of its strength."""
        del kwargs
        exactly_one(original, "power_dpt", "focal_length_mm")


class TeleconverterSchema(RequestSchema):
    """Negative lens between lens and camera."""

    element = Text(("teleconverter",), required=True, metadata={"description": "Kind of element."})
    factor = quantity("factor", required=True)
    added_length_mm = quantity("added_length_mm")
    focal_length_mm = Number(
        validate=validate.Range(
            -5000.0, -0.5, error=mark("Give a number from -5000 to -0.5 mm: a converter's focal length is negative.")
        ),
        metadata={
            "description": "Focal length of the converter, negative; assumed that of a thin one. [mm]",
            "x-unit": "mm",
            "format": "double",
        },
    )
    register_mm = quantity("register_mm", meaning="Register it is made for; assumed the camera's.")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def length_or_focal_length(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Its added length, or its focal length, or both."""
        del kwargs
        if "added_length_mm" not in original and "focal_length_mm" not in original:
            raise ValidationError(tr("Give the length it adds, or its focal length."), "added_length_mm")


class ObjectiveSchema(RequestSchema):
    """Microscope objective, infinity-corrected or of finite conjugates, as engraved."""

    element = Text(("objective",), required=True, metadata={"description": "Kind of element."})
    magnification = quantity("magnification", required=True, meaning="Magnification as engraved.")
    numerical_aperture = quantity("numerical_aperture", required=True)
    tube_lens_focal_length_mm = quantity("tube_lens_focal_length_mm")
    tube_length_mm = quantity("tube_length_mm")
    focal_length_mm = quantity("focal_length_mm", meaning="Focal length of a finite-conjugate objective.")
    working_distance_mm = quantity("working_distance_mm", meaning="Front glass to subject, as its maker states it.")
    parfocal_distance_mm = quantity("parfocal_distance_mm")
    field_number_mm = quantity("field_number_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def rating(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Infinity or finite; only the finite one may state a focal length of its own."""
        del kwargs
        exactly_one(original, "tube_lens_focal_length_mm", "tube_length_mm")
        if "tube_lens_focal_length_mm" in original and "focal_length_mm" in original:
            raise ValidationError(
                tr("It follows from the rated tube lens and the magnification: leave it out."), "focal_length_mm"
            )


class KitPartSchema(RequestSchema):
    """A part of the kit; what is said of its use depends on the part."""

    element = Text(("kit-part",), required=True, metadata={"description": "Kind of element."})
    use = Id("Id of the part in the kit.", required=True)
    reversed = Flag(metadata={"description": "Whether a lens stands back to front; if not given, it does not."})
    f_number = quantity("f_number")
    setting = Id("Id of the lens's setting; needed where it has several.")
    length_mm = quantity("length_mm", meaning="How far bellows are drawn out; left out where solve names it.")
    focusing_extension_mm = quantity("focusing_extension_mm")


ELEMENTS: Mapping[str, RequestSchema] = {
    "lens": LensSchema(),
    "spacer": SpacerSchema(),
    "close-up-lens": CloseUpLensSchema(),
    "teleconverter": TeleconverterSchema(),
    "objective": ObjectiveSchema(),
    "kit-part": KitPartSchema(),
}


class Element(fields.Field[dict[str, object]]):
    """One element of a train, by the schema that `element` names."""

    def _deserialize(self, value: object, attr: str | None, data: object, **kwargs: object) -> dict[str, object]:
        del attr, data, kwargs
        if not isinstance(value, Mapping):
            raise ValidationError(tr("Give an object with the member element."))
        schema = self.schema_named_by(value)
        if schema is None:
            raise ValidationError({"element": [tr("Give one of: {choices}.", choices=", ".join(ELEMENTS))]})
        return load(schema, value)

    def schema_named_by(self, value: object) -> RequestSchema | None:
        """Schema of an element by its kind; None where it names none."""
        kind = value.get("element") if isinstance(value, Mapping) else None
        return ELEMENTS.get(kind) if isinstance(kind, str) else None
