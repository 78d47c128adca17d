"""`/v1/flash`: by guide number, whichever is open of aperture, distance, power and number of flashes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import numbers, quantity, result, whole
from closeup_service.schemas.known_lens import EstimatedLensFields
from closeup_service.schemas.lens_mounting import MountingField
from closeup_service.schemas.surroundings import NEEDED_WITH, SurroundingsFields

if TYPE_CHECKING:
    from closeup_service.records import requests

MOST_HEADS = 20
MOST_POPS = int(VOCABULARY["pops"].maximum or 0)
GUIDE_NUMBERS = ("guide_number_m", "guide_numbers_m")
APERTURES = ("f_number", "effective_f_number")
DISTANCES = ("flash_distance_mm", "flash_distances_mm")

COMPANIONS = {
    **NEEDED_WITH,
    "f_number": ("magnification", mark("what the marked aperture really is depends on it; or give effective_f_number")),
    "pupil_magnification": ("magnification", mark("without it the pupils count for nothing")),
    "heads": ("guide_number_m", mark("it counts equal heads; unequal ones stand in guide_numbers_m")),
    "flash_distances_mm": ("guide_numbers_m", mark("one distance belongs to each head")),
}
"""Each member that counts for nothing without another: that other, and why."""


class FlashRequest(SurroundingsFields, MountingField, EstimatedLensFields):
    """The flash's guide number, and what is known of aperture, distance, power and number of flashes."""

    companions = COMPANIONS

    guide_number_m = quantity("guide_number_m")
    guide_numbers_m = numbers("guide_number_m", MOST_HEADS)
    heads = whole("heads", meaning="Equal flash heads at equal distance; assumed 1.")
    iso = quantity("iso", meaning="ISO speed set on the camera, or of the film; assumed 100.")
    f_number = quantity("f_number")
    effective_f_number = quantity("effective_f_number")
    flash_distance_mm = quantity("flash_distance_mm")
    flash_distances_mm = numbers("flash_distance_mm", MOST_HEADS)
    flash_power_fraction = quantity(
        "flash_power_fraction",
        meaning="Share of the flash's full energy; where aperture and distance are given and it is not, it is solved for, else "
        "assumed 1.",
    )
    pops = whole(
        "pops",
        meaning="Flashes fired while the shutter is open; where aperture, distance and power are given and it is not, it is "
        "solved for, else assumed 1.",
    )
    transmission = quantity(
        "transmission", meaning="Share of the light that filters and diffusers let through, all together; assumed 1."
    )
    source_diameter_mm = quantity("source_diameter_mm")
    magnification = quantity("magnification")
    pupil_magnification = quantity("pupil_magnification")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_each_thing_once(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Refuse no guide number, and two statements of guide number, aperture or distance."""
        del data, kwargs
        faults: dict[str, list[str]] = {}
        for names in (GUIDE_NUMBERS, APERTURES, DISTANCES):
            if all(name in original for name in names):
                faults |= {
                    name: [tr("Give {first} or {second}, not both.", first=names[0], second=names[1])] for name in names
                }
        if not any(name in original for name in GUIDE_NUMBERS):
            faults["guide_number_m"] = [tr("Give the guide number of the flash; of unequal heads, guide_numbers_m.")]
        if faults:
            raise ValidationError(faults)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_open(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse a request that leaves both aperture and distance open."""
        del data, kwargs
        if not any(name in original for name in (*APERTURES, *DISTANCES)):
            text = tr(
                "Give the aperture (f_number or effective_f_number) or the distance of the flash: the other follows.",
            )
            raise ValidationError({name: [text] for name in ("f_number", "flash_distance_mm")})

    @validates_schema(skip_on_field_errors=False)
    def require_a_distance_for_each_head(self, data: requests.FlashRequest, **kwargs: object) -> None:
        """Refuse lists of heads and distances that do not match."""
        del kwargs
        heads, distances = data.get("guide_numbers_m"), data.get("flash_distances_mm")
        if heads is not None and distances is not None and len(heads) != len(distances):
            text = tr(
                "Give as many distances as guide numbers: here {distances} and {heads}.",
                distances=len(distances),
                heads=len(heads),
            )
            raise ValidationError(text, "flash_distances_mm")


class FlashAnswer(AnswerSchema):
    """What to set, and how far off the exposure is with it."""

    f_number = result("f_number", meaning="Marked f-number to set; null without magnification.")
    nominal_f_number = result(
        "nominal_f_number", meaning="Engraved f-number nearest to it, in thirds of a stop; null beyond every ring."
    )
    effective_f_number = result("effective_f_number", nullable=False)
    light_loss_stops = result("light_loss_stops")
    flash_distance_mm = result("flash_distance_mm", meaning="Flash to the subject; null where each head has its own.")
    flash_power_fraction = result(
        "flash_power_fraction",
        meaning="Share of the flash's full energy; above 1 it is needed and not to be had.",
        nullable=False,
    )
    flash_power_stops = result(
        "flash_power_stops",
        meaning="How far below full power that is; negative where more than full power is needed.",
        nullable=False,
    )
    pops = fields.Integer(
        required=True,
        validate=validate.Range(1, MOST_POPS),
        metadata={"description": VOCABULARY["pops"].meaning, "format": "int32"},
    )
    pops_exact = result("pops_exact", nullable=False)
    exposure_difference_stops = result(
        "exposure_difference_stops",
        meaning="Light on the sensor against the right amount, with whole flashes and no more than full power; positive is too "
        "much.",
        nullable=False,
    )
    guide_number_at_iso_m = result("guide_number_at_iso_m", nullable=False)
    inverse_square_error = result("inverse_square_error")
    inverse_square_error_stops = result("inverse_square_error_stops")
