"""How `/v1/kit` lists a kit: in the members that 1.0.0 promised, whose clients may know no others."""

from collections.abc import Mapping
from typing import Any, get_args

from marshmallow import RAISE, fields, validate

from closeup_service.gear.kit import Origin
from closeup_service.gear.kit_faults import MOST_PARTS
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import RequestSchema
from closeup_service.schemas.kit import (
    KitField,
    KitLensSchema,
    KitSchema,
    SettingSchema,
    group,
    kit_revision,
    setting_list,
)
from closeup_service.schemas.lens_uncertainty import LensUncertaintySchema

ORIGINS = get_args(Origin)

SINCE_THE_FIRST_RELEASE = ("degrees_of_freedom", "scatter_covariance")
"""Members that clients of 1.0.0 do not know, so that no listing of a kit shows them."""


class ListedUncertaintySchema(LensUncertaintySchema):
    """What of a lens is uncertain, and the covariance, as a kit lists them."""

    class Meta:
        """The members of 1.0.0."""

        unknown = RAISE
        exclude = SINCE_THE_FIRST_RELEASE


class ListedSettingSchema(SettingSchema):
    """A setting as it is listed: its uncertainty has the members that it had in 1.0.0."""

    uncertainty = fields.Nested(ListedUncertaintySchema)


class ListedLensSchema(KitLensSchema):
    """A lens as it is listed."""

    settings = setting_list(ListedSettingSchema)


class ListedKitSchema(KitSchema):
    """A kit as it is listed."""

    lenses = group(ListedLensSchema, "Lenses.")


def as_listed(kit: Mapping[str, Any]) -> dict[str, Any]:
    """Kit as clients of 1.0.0 know it, its lenses without the members that came later."""
    return {**kit, "lenses": [lens_as_listed(lens) for lens in kit["lenses"]]} if "lenses" in kit else dict(kit)


def lens_as_listed(lens: Mapping[str, Any]) -> dict[str, Any]:
    """Lens of a kit with the uncertainties of its settings as they are listed."""
    return {**lens, "settings": [setting_as_listed(setting) for setting in lens["settings"]]}


def setting_as_listed(setting: Mapping[str, Any]) -> dict[str, Any]:
    """Setting with its uncertainty as it is listed."""
    if "uncertainty" not in setting:
        return dict(setting)
    kept = {name: value for name, value in setting["uncertainty"].items() if name not in SINCE_THE_FIRST_RELEASE}
    return {**setting, "uncertainty": kept}


class KitListing(fields.Field[Any]):
    """A kit as it was read, its defaults filled in."""


class WholeKit(fields.Field[Any]):
    """A kit as it was read, with whatever a kit may hold by now."""


class KitRequest(RequestSchema):
    """A kit to check; without one, this studio's is listed."""

    kit = KitField()


class KitAnswer(AnswerSchema):
    """A kit as it was read, its defaults filled in, and its revision."""

    revision = kit_revision()
    origin = fields.String(
        required=True,
        validate=validate.OneOf(ORIGINS),
        metadata={"description": "Where it is from: the invented demo kit, this studio's file, or the request."},
    )
    parts = fields.Integer(
        required=True,
        validate=validate.Range(0, MOST_PARTS),
        metadata={"description": "How many parts it has, cameras among them.", "format": "int32"},
    )
    kit = KitListing(required=True)
    whole_kit = WholeKit(
        metadata={
            "description": "The same kit with degrees_of_freedom and scatter_covariance of its lenses, which kit leaves out "
            "for clients of 1.0.0; present where there are any. Send this one as a kit."
        }
    )
