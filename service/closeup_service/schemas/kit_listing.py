"""`/v1/kit`: a kit to check, and a kit as it is listed."""

from typing import Any, get_args

from marshmallow import fields, validate

from closeup_service.gear.kit import Origin
from closeup_service.gear.kit_faults import MOST_PARTS
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import RequestSchema
from closeup_service.schemas.kit import KitField, KitSchema, group, kit_revision
from closeup_service.schemas.kit_lens import OWN, KitLensSchema, setting_list

ORIGINS = get_args(Origin)


class ListedLensSchema(KitLensSchema):
    """A lens as it is listed: every setting stands in its settings."""

    class Meta(KitLensSchema.Meta):
        """What a lens of one setting may state itself is listed with its setting."""

        exclude = (*KitLensSchema.Meta.exclude, *OWN)

    settings = setting_list(required=True)


class ListedKitSchema(KitSchema):
    """What a studio owns, or might buy, as it was read; a kit again."""

    lenses = group(ListedLensSchema, "Lenses.")


class KitListing(fields.Field[Any]):
    """A kit as it was read, its defaults filled in."""


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
