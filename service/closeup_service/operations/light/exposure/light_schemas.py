"""Ambient light beside the flash, and the finder: what `/v1/exposure` takes and gives of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validates_schema

from closeup_service.language import tr
from closeup_service.schemas.answers import OpenSchema
from closeup_service.schemas.fields import RequestSchema, exactly_one, quantity, result

if TYPE_CHECKING:
    from closeup_service.records import requests


class AmbientSchema(RequestSchema):
    """Ambient light: a meter's exposure value, or a test frame without flash, at the planned settings unless it says else."""

    exposure_value = quantity("exposure_value")
    below_mid_grey_stops = quantity("below_mid_grey_stops")
    exposure_time_s = quantity("exposure_time_s", meaning="Exposure time of the test frame; assumed the planned.")
    iso = quantity("iso", meaning="ISO speed of the test frame; assumed the planned.")
    effective_f_number = quantity("effective_f_number", meaning="That of the test frame; assumed the planned.")
    black_stops = quantity("black_stops")
    sideways_speed_mm_s = quantity("sideways_speed_mm_s")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def meter_or_test_frame(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """One reading of the ambient light; settings of a test frame go with a test frame."""
        del data, kwargs
        exactly_one(original, "exposure_value", "below_mid_grey_stops")
        stray = [name for name in ("exposure_time_s", "iso", "effective_f_number") if name in original]
        if "exposure_value" in original and stray:
            text = tr("Belongs to a test frame: leave it out beside a meter's exposure value.")
            raise ValidationError({name: [text] for name in stray})


class FinderSchema(RequestSchema):
    """The lens's widest mark, and the mark at which one looks and focuses."""

    least_f_number = quantity("least_f_number", required=True, meaning="Widest mark of the lens.")
    focusing_f_number = quantity("focusing_f_number")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def refuse_wider_than_the_widest(
        self, data: requests.Finder, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Nobody looks through a wider aperture than the lens has."""
        del original, kwargs
        if data.get("focusing_f_number", 1e9) < data.get("least_f_number", 0.0):
            raise ValidationError(tr("Wider than the lens's widest mark: give a larger number."), "focusing_f_number")


class AmbientLightSchema(OpenSchema):
    """Ambient light under the flash; present when asked for."""

    under_flash_stops = result("under_flash_stops")
    black_without_flash = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={"description": "Whether the planned frame would be black without flash."},
    )
    ambient_share = result("ambient_share")
    flash_share = result("flash_share")
    ambient_blur_um = result("ambient_blur_um", required=False)


class FinderLightSchema(OpenSchema):
    """How dim the finder is; present when asked for."""

    focusing_loss_stops = result("focusing_loss_stops")
    taking_loss_stops = result("taking_loss_stops")
    modelling_light_factor = result("modelling_light_factor")
