"""`/v1/working-distance`: where the subject stands, how long the whole is."""

from collections.abc import Mapping

from marshmallow import ValidationError, validates_schema

from closeup_service.language import tr
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import quantity, result
from closeup_service.schemas.known_lens import EstimatedLensFields
from closeup_service.schemas.lens_mounting import MountingField


class WorkingDistanceRequest(MountingField, EstimatedLensFields):
    """One lens at a magnification."""

    focal_length_mm = quantity("focal_length_mm", required=True)
    magnification = quantity("magnification", required=True)
    front_principal_plane_mm = quantity("front_principal_plane_mm")
    lens_register_mm = quantity("lens_register_mm")
    focusing_extension_mm = quantity("focusing_extension_mm")
    principal_plane_separation_mm = quantity("principal_plane_separation_mm")

    def needs_register(self, members: Mapping[str, object]) -> bool:
        """A reversed lens is measured from its mount."""
        del members
        return True

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def register_of_a_reversed_lens(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A reversed lens is measured from its mount, so its register is needed."""
        del kwargs
        if data.get("mounting") == "reversed" and "lens_register_mm" not in original:
            raise ValidationError(tr("Needed for a reversed lens."), "lens_register_mm")


class WorkingDistanceAnswer(AnswerSchema):
    """The distances of the subject."""

    working_distance_mm = result("working_distance_mm")
    subject_distance_mm = result("subject_distance_mm", nullable=False)
    subject_to_sensor_mm = result("subject_to_sensor_mm")
