"""`/v1/diffraction`: what diffraction costs on the sensor and on the subject."""

from marshmallow import fields, validate

from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.optics.diffraction import SAMPLING
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.fields import numbers, quantity, result
from closeup_service.schemas.sensor import SensorFields
from closeup_service.schemas.sharpness import LightFields, PrintFields

MOST_DETAILS = 50


class DiffractionRequest(EffectiveFNumberRequest, LightFields, PrintFields, SensorFields):
    """One lens at a marked f-number and a magnification, and what is known of the sensor."""

    circle_of_confusion_mm = quantity("circle_of_confusion_mm")
    pixel_pitch_um = quantity("pixel_pitch_um")
    sensor_details_lp_per_mm = numbers("sensor_detail_lp_per_mm", MOST_DETAILS)
    subject_details_lp_per_mm = numbers("subject_detail_lp_per_mm", MOST_DETAILS)


class DetailContrast(OpenSchema):
    """Contrast of one detail in the plane of focus."""

    sensor_detail_lp_per_mm = result("sensor_detail_lp_per_mm", nullable=False)
    subject_detail_lp_per_mm = result("subject_detail_lp_per_mm", nullable=False)
    contrast = result("contrast", meaning="Contrast that diffraction leaves.", nullable=False)
    contrast_with_pixels = result("contrast", meaning="Contrast that diffraction and the pixels leave.")


def detail_rows() -> fields.List[dict[str, object]]:
    """Contrasts of the details asked for."""
    return fields.List(
        fields.Nested(DetailContrast),
        required=True,
        validate=validate.Length(0, 2 * MOST_DETAILS),
        metadata={"description": "Contrast of each detail asked for, coarsest first."},
    )


class DiffractionMembers(OpenSchema):
    """What diffraction leaves in the plane of focus."""

    wavelength_nm = result("wavelength_nm", nullable=False)
    airy_diameter_um = result("airy_diameter_um")
    subject_airy_diameter_um = result("subject_airy_diameter_um")
    sensor_resolution_um = result("sensor_resolution_um")
    subject_resolution_um = result("subject_resolution_um")
    sensor_cutoff_lp_per_mm = result("sensor_cutoff_lp_per_mm")
    subject_cutoff_lp_per_mm = result("subject_cutoff_lp_per_mm")
    nyquist_lp_per_mm = result("nyquist_lp_per_mm")
    nyquist_contrast = result("nyquist_contrast")
    filled_share = result("filled_share")
    sampling = fields.String(
        required=True,
        allow_none=True,
        validate=validate.OneOf((*SAMPLING, None)),
        metadata={"description": "Whether the pixels or diffraction limit the detail."},
    )


class DiffractionAnswer(DiffractionMembers, AnswerSchema):
    """What diffraction costs here, and from which marked aperture on it costs more than it gives."""

    effective_f_number = result("effective_f_number", nullable=False)
    numerical_aperture = result("numerical_aperture", nullable=False)
    details = detail_rows()
    filled_megapixels = result("filled_megapixels")
    largest_useful_f_number = result("largest_useful_f_number")
