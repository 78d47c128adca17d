"""`/v1/effective-f-number`: what the marked aperture really is."""

from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import quantity, result
from closeup_service.schemas.known_lens import EstimatedLensFields
from closeup_service.schemas.lens_mounting import MountingField


class EffectiveFNumberRequest(MountingField, EstimatedLensFields):
    """One lens at a marked f-number and a magnification."""

    f_number = quantity("f_number", required=True)
    magnification = quantity("magnification", required=True)
    pupil_magnification = quantity("pupil_magnification")


class EffectiveFNumberAnswer(AnswerSchema):
    """The effective aperture and the light it costs."""

    effective_f_number = result("effective_f_number", nullable=False)
    light_loss_stops = result("light_loss_stops", nullable=False)
    exposure_factor = result("exposure_factor", nullable=False)
    numerical_aperture = result("numerical_aperture", nullable=False)
