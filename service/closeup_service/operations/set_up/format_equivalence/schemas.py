"""`/v1/format-equivalence`: the same framing and the same depth on a sensor of another size."""

from collections.abc import Mapping
from typing import ClassVar

from marshmallow import ValidationError, post_load, validates_schema

from closeup_service.language import tr
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.optics.equivalence import FRAMING_BY
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import Loaded, RequestSchema, Text, quantity, result
from closeup_service.schemas.lens_mounting import MOUNTINGS
from closeup_service.schemas.sensor import (
    SensorFields,
    SensorId,
    names_of_the_sensor,
    refuse_two_statements,
    with_measures,
)

OTHER = "other_"


class OtherSensorFields(RequestSchema):
    """`other_sensor`, or `other_sensor_width_mm` and `other_sensor_height_mm`; loading turns the id into the measures."""

    loaded: ClassVar[Loaded] = {"other_sensor": None}

    other_sensor = SensorId("The other sensor's format", OTHER)
    other_sensor_width_mm = quantity("other_sensor_width_mm")
    other_sensor_height_mm = quantity("other_sensor_height_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_other_sensor(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse two statements of the other sensor, or half of one."""
        del data, kwargs
        refuse_two_statements(original, OTHER)

    @post_load
    def measures_of_the_other_sensor(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """Replace the id by width and height."""
        del kwargs
        return with_measures(data, OTHER)


class OtherLensFields(RequestSchema):
    """The other camera, and the lens on it; each datum is that of this one's lens where nothing is said."""

    other_mounting = Text(
        MOUNTINGS,
        metadata={"description": "Which way round the lens stands on the other camera; assumed as on this one."},
    )
    other_pupil_magnification = quantity("other_pupil_magnification")
    other_focal_length_mm = quantity("other_focal_length_mm")
    other_lens_register_mm = quantity("other_lens_register_mm")
    other_front_principal_plane_mm = quantity("other_front_principal_plane_mm")
    other_focusing_extension_mm = quantity("other_focusing_extension_mm")
    other_camera_register_mm = quantity("other_camera_register_mm")


class FormatEquivalenceRequest(EffectiveFNumberRequest, SensorFields, OtherSensorFields, OtherLensFields):
    """One lens on this sensor at a marked f-number and a magnification, the other sensor, and what is known of the lenses."""

    framing_by = Text(
        FRAMING_BY,
        metadata={"description": "What of the frame shows as much of the subject on both sensors; assumed width."},
    )
    circle_of_confusion_mm = quantity("circle_of_confusion_mm", meaning="Blur accepted on this sensor, as a diameter.")
    focal_length_mm = quantity("focal_length_mm")
    lens_register_mm = quantity("lens_register_mm")
    front_principal_plane_mm = quantity("front_principal_plane_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_two_sensors(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse to compare with a sensor that is not stated."""
        del data, kwargs
        stated = [names_of_the_sensor(of) for of in ("", OTHER)]
        text = tr("Needed: the two sensors are compared. Give it by its id, or its width and height.")
        missing = {names[0]: [text] for names in stated if not any(name in original for name in names)}
        if missing:
            raise ValidationError(missing)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_both_registers_or_neither(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse one register alone, with the lens mounted normally on the other camera."""
        del kwargs
        if data.get("other_mounting", data.get("mounting")) == "reversed":
            return
        own = "lens_register_mm" if "other_focal_length_mm" not in original else "other_lens_register_mm"
        given = [name for name in (own, "other_lens_register_mm") if name in original]
        if bool(given) != ("other_camera_register_mm" in original):
            absent = "other_camera_register_mm" if given else own
            raise ValidationError(tr("Give both registers, or neither: their difference counts as extension."), absent)


class FormatEquivalenceAnswer(AnswerSchema):
    """What to set on the other camera, and what stays as it is."""

    format_ratio = result("format_ratio", nullable=False)
    other_magnification = result("other_magnification", nullable=False)
    other_f_number = result("other_f_number", nullable=False)
    other_nominal_f_number = result("other_nominal_f_number")
    other_extension_mm = result("other_extension_mm")
    same_perspective_focal_length_mm = result("same_perspective_focal_length_mm")
    effective_f_number = result("effective_f_number", meaning="Effective f-number on this sensor.", nullable=False)
    other_effective_f_number = result("other_effective_f_number", nullable=False)
    numerical_aperture = result(
        "numerical_aperture",
        meaning="Sine of the half angle of the light from the subject, the same on both.",
        nullable=False,
    )
    circle_of_confusion_mm = result(
        "circle_of_confusion_mm", meaning="Blur accepted on this sensor, as a diameter.", nullable=False
    )
    other_circle_of_confusion_mm = result("other_circle_of_confusion_mm", nullable=False)
    other_exposure_factor = result("other_exposure_factor", nullable=False)
    other_exposure_stops = result("other_exposure_stops", nullable=False)
