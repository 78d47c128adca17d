"""What counts as sharp: the blur, light and detail fields that several resources share."""

from collections.abc import Mapping

from marshmallow import ValidationError, validates_schema

from closeup_service.language import mark, tr
from closeup_service.optics.sharpness import MODELS
from closeup_service.schemas.fields import RequestSchema, Text, quantity
from closeup_service.schemas.sensor import SensorFields, states_sensor

LIGHTS = ("one-wavelength", "white")
PRINT_FIELDS = ("print_width_mm", "viewing_distance_mm", "acuity_arcmin")


def model_field() -> Text:
    """Model of the depth of field."""
    return Text(
        MODELS,
        metadata={
            "description": "Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, "
            "assumed), or the depth over which a detail keeps a contrast."
        },
    )


class LightFields(RequestSchema):
    """Light of the sums, and the pixels' part in the contrast."""

    wavelength_nm = quantity("wavelength_nm")
    light = Text(
        LIGHTS, metadata={"description": "Light of the contrast sums: the one wavelength (assumed), or white light."}
    )
    pixel_fill = quantity("pixel_fill")


class DetailFields(LightFields):
    """The detail whose contrast counts."""

    sensor_detail_lp_per_mm = quantity("sensor_detail_lp_per_mm")
    subject_detail_lp_per_mm = quantity("subject_detail_lp_per_mm")
    contrast = quantity("contrast")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_detail(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The detail on the sensor or on the subject, not both."""
        del data, kwargs
        names = ("sensor_detail_lp_per_mm", "subject_detail_lp_per_mm")
        if all(name in original for name in names):
            text = tr("Give the detail on the sensor or on the subject, not both.")
            raise ValidationError({name: [text] for name in names})


class PrintFields(RequestSchema):
    """The finished print, as a way to the blur criterion."""

    print_width_mm = quantity("print_width_mm")
    viewing_distance_mm = quantity("viewing_distance_mm")
    acuity_arcmin = quantity("acuity_arcmin")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def print_as_a_whole(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """The viewer's fields mean nothing without the print, the print nothing without the sensor."""
        del data, kwargs
        if "print_width_mm" not in original:
            if any(name in original for name in PRINT_FIELDS):
                raise ValidationError(tr("Needed with the viewing distance or acuity."), "print_width_mm")
            return
        camera, place = original.get("camera", original), "camera" if "camera" in original else None
        if not isinstance(camera, Mapping):
            return
        faults = print_faults(camera)
        if faults:
            raise ValidationError({place: faults, "print_width_mm": [ONE_BLUR]} if place else faults)


ONE_BLUR = mark("Give the blur on the sensor, or the print it follows from with the sensor, not both.")


def print_faults(camera: Mapping[str, object]) -> dict[str, list[str]]:
    """What stands against finding the blur from the print: a blur that is given, or no sensor."""
    if "circle_of_confusion_mm" in camera:
        return {"circle_of_confusion_mm": [ONE_BLUR]}
    if not states_sensor(camera):
        return {"sensor": [tr("Needed to find the blur on the sensor from the print.")]}
    return {}


class SharpnessFields(DetailFields, PrintFields, SensorFields):
    """Everything that a model of sharpness can be measured by, for the flat resources."""

    circle_of_confusion_mm = quantity("circle_of_confusion_mm")
    pixel_pitch_um = quantity("pixel_pitch_um")
    model = model_field()

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def measure_of_the_model(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Each model needs its own measure."""
        del kwargs
        model = data.get("model", MODELS[0])
        if model == "contrast":
            refuse_without_detail(original)
        elif model != "wave" and "circle_of_confusion_mm" not in original and not states_sensor(original):
            raise ValidationError(
                tr("Give the blur you accept on the sensor, or the sensor to assume its diagonal / 1500."),
                "circle_of_confusion_mm",
            )


def refuse_without_detail(original: Mapping[str, object]) -> None:
    """The contrast model needs a detail to be measured by."""
    if not {"sensor_detail_lp_per_mm", "subject_detail_lp_per_mm"} & set(original):
        raise ValidationError(
            tr(
                "The contrast model needs a detail: give its line pairs per mm on the sensor or on the subject.",
            ),
            "sensor_detail_lp_per_mm",
        )
