"""The reference and the planned frame of `/v1/exposure`: settings, and one lens or the effective f-number."""

from collections.abc import Mapping

from marshmallow import ValidationError, validates_schema

from closeup_service.language import tr
from closeup_service.schemas.fields import RequestSchema, quantity, whole
from closeup_service.schemas.lens_mounting import MountingField

SETTINGS = ("exposure_time_s", "iso", "flash_power", "flash_distance_mm")
"""Settings that only count where both frames have them."""

FLASH_MEMBERS = ("flash_power", "flash_distance_mm", "source_diameter_mm", "flash_transmission", "pops")
ONE_LENS = ("f_number", "magnification", "pupil_magnification", "mounting")


class SettingsFields(RequestSchema):
    """What is set beside the lens; in the planned frame, what is left out stays as in the reference."""

    exposure_time_s = quantity("exposure_time_s")
    iso = quantity("iso")
    flash_power = quantity("flash_power")
    flash_distance_mm = quantity("flash_distance_mm")
    source_diameter_mm = quantity("source_diameter_mm")
    pops = whole("pops")
    transmission = quantity(
        "transmission", meaning="Share of the light that filters before or in the lens let through, all together."
    )
    flash_transmission = quantity("flash_transmission")
    filter_stops = quantity("filter_stops")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_filters(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Filters by their transmission or in stops."""
        del data, kwargs
        names = ("transmission", "filter_stops")
        if all(name in original for name in names):
            raise ValidationError(
                {name: [tr("Give the filters by transmission or in stops, not both.")] for name in names}
            )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def size_with_a_distance(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A source's size counts against its distance."""
        del data, kwargs
        if "source_diameter_mm" in original and not self.distance_elsewhere and "flash_distance_mm" not in original:
            raise ValidationError(
                tr("Needed with source_diameter_mm: the one counts against the other."), "flash_distance_mm"
            )

    distance_elsewhere = False
    """Whether the distance may stand in the reference instead."""


class FrameFields(SettingsFields, MountingField):
    """Settings with the aperture: the effective f-number, or the mark of one lens at a magnification."""

    effective_f_number = quantity("effective_f_number")
    f_number = quantity("f_number")
    magnification = quantity("magnification")
    pupil_magnification = quantity("pupil_magnification")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_aperture(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The effective f-number says it all; nothing of the lens stands beside it."""
        del data, kwargs
        if "effective_f_number" in original and any(name in original for name in ONE_LENS):
            text = tr("Give the effective f-number, or the lens it follows from, not both.")
            raise ValidationError({name: [text] for name in ("effective_f_number", *ONE_LENS) if name in original})


class ReferenceSchema(FrameFields):
    """The frame that was right: its settings, and its aperture unless a set-up gives it."""


class PlannedSchema(FrameFields):
    """What changes in the planned frame; the unknown is left out."""

    distance_elsewhere = True


class PlannedSettingsSchema(SettingsFields):
    """What changes in the planned frame beside the set-up; the unknown is left out."""

    distance_elsewhere = True
