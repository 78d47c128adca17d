"""`/v1/kit`: a kit to check, and a kit as it is listed."""

from typing import ClassVar, get_args

from marshmallow import RAISE, fields, validate

from closeup_service.estimates.lens_members import ESTIMABLE
from closeup_service.gear.kit import Origin
from closeup_service.gear.kit_building import Members
from closeup_service.gear.kit_faults import MOST_PARTS
from closeup_service.schemas.answers import CODE_PATTERN, TEXT, AnswerSchema, OpenSchema
from closeup_service.schemas.fields import Id, RequestSchema, Text, declared_fields, quantity, result
from closeup_service.schemas.kit import KitCameraSchema, KitField, KitSchema, group, kit_revision
from closeup_service.schemas.kit_lens import OWN, KitLensSchema, SettingSchema, setting_list
from closeup_service.schemas.known_lens import KnownLensFields
from closeup_service.schemas.lens_mounting import MOUNTINGS
from closeup_service.schemas.lens_uncertainty import LensUncertaintySchema
from closeup_service.schemas.sensor import SensorId, with_measures

ORIGINS = get_args(Origin)
MOST_INCOMPLETE = 200
"""Lenses that lack data of which so many are told, some milliseconds each."""
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


SINCE_THE_FIRST_RELEASE = ("degrees_of_freedom", "scatter_covariance")
"""Members of an uncertainty that clients of 1.0.0 do not know, so that no listing of a kit shows them."""


NOT_LISTED = tuple(declared_fields(KnownLensFields))
"""Members of a setting that clients of 1.0.0 do not know: what counts where lens data are estimated."""


class ListedUncertaintySchema(LensUncertaintySchema):
    """What of a lens is uncertain, and the covariance, as a kit lists them."""

    class Meta:
        """The members of 1.0.0."""

        unknown = RAISE
        exclude = SINCE_THE_FIRST_RELEASE


class ListedSettingSchema(SettingSchema):
    """A setting as it is listed, with the members that it had in 1.0.0."""

    takes_null = False

    class Meta(SettingSchema.Meta):
        """What counts where lens data are estimated is in whole_kit."""

        exclude: ClassVar[tuple[str, ...]] = (*SettingSchema.Meta.exclude, *NOT_LISTED)

    uncertainty = fields.Nested(ListedUncertaintySchema)


class ListedLensSchema(KitLensSchema):
    """A lens as it is listed: every setting stands in its settings."""

    takes_null = False

    class Meta(KitLensSchema.Meta):
        """What a lens of one setting may state itself is listed with its setting."""

        exclude: ClassVar[tuple[str, ...]] = (*KitLensSchema.Meta.exclude, *OWN)

    settings = setting_list(required=True, schema=ListedSettingSchema)


class ListedCameraSchema(KitCameraSchema):
    """A camera as it is listed: a sensor that the catalogue got after 1.0.0 by its measures."""

    takes_null = False

    sensor = SensorId("Sensor format", known=SENSORS_BY_ID)


class ListedKitSchema(KitSchema):
    """What a studio owns, or might buy, as it was read; a kit again."""

    cameras = group(ListedCameraSchema, "Cameras.")
    lenses = group(ListedLensSchema, "Lenses.")


def as_listed(kit: Members) -> dict[str, object]:
    """Kit as it was read, in the words that its listing promises."""
    cameras = [camera_as_listed(camera) for camera in kit["cameras"]]
    return {**kit, "cameras": cameras, "lenses": [lens_as_listed(lens) for lens in kit["lenses"]]}


def lens_as_listed(lens: Members) -> dict[str, object]:
    """Lens of a kit with its settings as they are listed."""
    return {**lens, "settings": [setting_as_listed(setting) for setting in lens["settings"]]}


def setting_as_listed(setting: Members) -> dict[str, object]:
    """Setting with what is listed of it, and of its uncertainty."""
    listed = {name: value for name, value in setting.items() if name not in NOT_LISTED}
    if "uncertainty" in listed:
        stated = listed["uncertainty"].items()
        listed["uncertainty"] = {name: value for name, value in stated if name not in SINCE_THE_FIRST_RELEASE}
    return listed


def camera_as_listed(camera: Members) -> dict[str, object]:
    """Camera with a sensor that a client of the first release knows, by its id or by its measures."""
    return dict(camera) if camera.get("sensor") in (None, *SENSORS_BY_ID) else with_measures(dict(camera))


class KitListing(fields.Field[Members]):
    """A kit as it was read, its defaults filled in."""


class WholeKit(fields.Field[Members]):
    """A kit as it was read, with whatever a kit may hold by now."""


class KitRequest(RequestSchema):
    """A kit to check; without one, this studio's is listed. What lenses lack is told at one set-up."""

    camera = Id("Camera of the kit on which lenses that lack data are told; assumed the first.")
    mounting = Text(MOUNTINGS, metadata={"description": "Which way round they stand on it; assumed reversed."})
    extension_mm = quantity(
        "extension_mm", meaning="Everything between them and the camera: rings, adapters, bellows; assumed 0."
    )
    kit = KitField()


class IncompleteLens(OpenSchema):
    """A lens at a setting that lacks data, and what that costs at one set-up."""

    id = fields.String(required=True, validate=TEXT, metadata={"description": "Id of the lens."})
    setting = fields.String(required=True, validate=TEXT, metadata={"description": "Id of its setting."})
    missing = fields.List(
        fields.String(validate=validate.OneOf(ESTIMABLE)),
        required=True,
        validate=validate.Length(1, len(ESTIMABLE)),
        metadata={"description": "Data of the element lens that are not known."},
    )
    lens_class = fields.String(
        required=True,
        validate=(validate.Length(1, 64), validate.Regexp(CODE_PATTERN)),
        metadata={"description": "Class by which it is estimated, stated or assumed."},
    )
    magnification = result(
        "magnification",
        meaning="Magnification in the set-up asked about, the median of such lenses; null where they differ too much to tell, "
        "or cannot be used so.",
    )
    low = result("magnification", meaning="Lower end of its range, which holds 95 of 100 such lenses.")
    high = result("magnification", meaning="Upper end of its range.")
    next_measurement = fields.String(
        required=True,
        validate=TEXT,
        metadata={"description": "What to measure first, and what that leaves of the range, in a sentence."},
    )


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
            "description": "The same kit with what kit leaves out for clients of 1.0.0: degrees_of_freedom and "
            "scatter_covariance of lenses, what counts where lens data are estimated, ids of newer sensors. Present where "
            "there are any. Send this one as a kit."
        }
    )
    incomplete_lenses = fields.List(
        fields.Nested(IncompleteLens),
        validate=validate.Length(1, MOST_INCOMPLETE),
        metadata={
            "description": "Lenses that lack planes or pupils, each setting by itself, and what that costs in the set-up asked "
            "about. Present where there are any."
        },
    )
