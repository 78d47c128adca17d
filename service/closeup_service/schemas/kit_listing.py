"""`/v1/kit`: a kit to check, and a kit as it is listed."""

from collections.abc import Mapping
from typing import Any, ClassVar, get_args

from marshmallow import fields, validate

from closeup_service.gear.kit import Origin
from closeup_service.gear.kit_faults import MOST_PARTS
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import RequestSchema
from closeup_service.schemas.kit import KitCameraSchema, KitField, KitSchema, group, kit_revision
from closeup_service.schemas.kit_lens import OWN, KitLensSchema, setting_list
from closeup_service.schemas.sensor import SensorId, with_measures

ORIGINS = get_args(Origin)
SENSORS_BY_ID = (
    *(
        "121x97",
        "84x56",
        "67x56",
        "56x56",
        "56x41.5",
        "53.4x40.0",
        "43.8x32.9",
        "36x24",
        "24x24",
        "24.89x18.66",
        "24x18",
    ),
    *("23.5x15.6", "22.3x14.9", "17.3x13.0", "12.8x9.6", "13.2x8.8", "12.52x7.41", "10.26x7.49", "8.8x6.6", "7.6x5.7"),
    *("7.18x5.32", "6.4x4.8", "6.17x4.55", "5.76x4.29", "4.8x3.6"),
)
"""Ids of sensors that a listing may hold: those of 1.0.0, whose clients know no other."""


class ListedLensSchema(KitLensSchema):
    """A lens as it is listed: every setting stands in its settings."""

    class Meta(KitLensSchema.Meta):
        """What a lens of one setting may state itself is listed with its setting."""

        exclude: ClassVar[tuple[str, ...]] = (*KitLensSchema.Meta.exclude, *OWN)

    settings = setting_list(required=True)


class ListedCameraSchema(KitCameraSchema):
    """A camera as it is listed: a sensor that the catalogue got after 1.0.0 by its measures."""

    sensor = SensorId("Sensor format", known=SENSORS_BY_ID)


class ListedKitSchema(KitSchema):
    """What a studio owns, or might buy, as it was read; a kit again."""

    cameras = group(ListedCameraSchema, "Cameras.")
    lenses = group(ListedLensSchema, "Lenses.")


def as_listed(kit: Mapping[str, Any]) -> dict[str, Any]:
    """Kit as it was read, in the words that its listing promises."""
    return {**kit, "cameras": [camera_as_listed(camera) for camera in kit["cameras"]]}


def camera_as_listed(camera: Mapping[str, Any]) -> dict[str, Any]:
    """Camera with a sensor that a client of the first release knows, by its id or by its measures."""
    return dict(camera) if camera.get("sensor") in (None, *SENSORS_BY_ID) else with_measures(dict(camera))


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
