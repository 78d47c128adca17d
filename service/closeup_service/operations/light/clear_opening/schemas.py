"""`/v1/clear-opening`: how wide a hood, guard, ring light or diffuser hole must be where it stands."""

from collections.abc import Mapping

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import tr
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import RequestSchema, exactly_one, numbers, quantity, result
from closeup_service.schemas.sensor import SensorFields, names_of_the_sensor

MOST_DISTANCES = 100
CLIPS = ("nothing", "corners", "axis")
DISTANCES = ("distance_mm", "distances_mm", "distance_from_subject_mm")
FROM_FRONT = DISTANCES[:2]


class ClearOpeningRequest(EffectiveFNumberRequest, SensorFields):
    """One lens at a magnification, what the frame shows, and where the opening stands."""

    focal_length_mm = quantity("focal_length_mm", required=True)
    front_principal_plane_mm = quantity("front_principal_plane_mm")
    lens_register_mm = quantity("lens_register_mm")
    focusing_extension_mm = quantity("focusing_extension_mm")
    subject_diagonal_mm = quantity("subject_diagonal_mm")
    distance_mm = quantity("distance_mm")
    distances_mm = numbers("distance_mm", MOST_DISTANCES)
    distance_from_subject_mm = quantity("distance_from_subject_mm")
    opening_diameter_mm = quantity("opening_diameter_mm")

    def needs_register(self, members: Mapping[str, object]) -> bool:
        """A distance from the front of a reversed lens begins at its mount."""
        return any(name in members for name in FROM_FRONT)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_distance(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse no distance, and two statements of it."""
        del data, kwargs
        exactly_one(original, *DISTANCES)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_field(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse no field, and two statements of it."""
        del data, kwargs
        by_sensor = [name for name in names_of_the_sensor() if name in original]
        if "subject_diagonal_mm" in original and by_sensor:
            text = tr("Give what the frame shows once: subject_diagonal_mm, or the sensor.")
            raise ValidationError({name: [text] for name in ("subject_diagonal_mm", *by_sensor)})
        if "subject_diagonal_mm" not in original and not by_sensor:
            text = tr("Give the diagonal of what the frame shows, or the sensor, by which it follows.")
            raise ValidationError(text, "subject_diagonal_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_where_the_front_is(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A distance from the front needs the front: its plane for a normal lens, its register for a reversed one."""
        del kwargs
        from_front = next((name for name in FROM_FRONT if name in original), None)
        needed = "lens_register_mm" if data.get("mounting") == "reversed" else "front_principal_plane_mm"
        if from_front is not None and needed not in original:
            text = tr(
                "Needed with {from_front}: it says where the front is. Or give distance_from_subject_mm.",
                from_front=from_front,
            )
            raise ValidationError(text, needed)


class OpeningOfSetUpSchema(RequestSchema):
    """Where an opening stands before the front of the set-up, and how wide it is."""

    distance_mm = quantity("distance_mm", required=True)
    opening_diameter_mm = quantity("opening_diameter_mm")


class OpeningSchema(OpenSchema):
    """What the picture's rays need in one plane; what a given opening takes there is null without it."""

    distance_mm = result("distance_mm", meaning="Plane of the opening, before the front joining face of the lens.")
    distance_from_subject_mm = result(
        "distance_from_subject_mm", meaning="Plane of the opening, from the subject plane.", nullable=False
    )
    full_diameter_mm = result("full_diameter_mm", nullable=False)
    axial_diameter_mm = result("axial_diameter_mm", nullable=False)
    chief_diameter_mm = result("chief_diameter_mm", nullable=False)
    clears = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={"description": "Whether the opening given loses no light anywhere in the frame."},
    )
    clips = fields.String(
        required=True,
        allow_none=True,
        validate=validate.OneOf((*CLIPS, None)),
        metadata={"description": "What the opening given clips: nothing, the corners alone, or the axis too."},
    )
    lit_field_share = result("lit_field_share")
    axial_loss_stops = result("axial_loss_stops")


class ClearOpeningAnswer(AnswerSchema):
    """The openings, and the field and the pupil that they stand between."""

    subject_diagonal_mm = result("subject_diagonal_mm", nullable=False)
    working_distance_mm = result("working_distance_mm")
    entrance_pupil_distance_mm = result("entrance_pupil_distance_mm", nullable=False)
    entrance_pupil_diameter_mm = result(
        "entrance_pupil_diameter_mm",
        meaning="Diameter of the entrance pupil, as seen from the subject.",
        nullable=False,
    )
    effective_f_number = result("effective_f_number", nullable=False)
    numerical_aperture = result("numerical_aperture", nullable=False)
    openings = fields.List(
        fields.Nested(OpeningSchema),
        required=True,
        validate=validate.Length(1, MOST_DISTANCES),
        metadata={"description": "One row for each distance, in the order given."},
    )
