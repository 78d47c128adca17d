"""What surrounds the picture: lamps, mains power, the kind of subject. No sum needs it; it decides which cautions apply."""

from collections.abc import Mapping
from typing import ClassVar

from marshmallow import ValidationError, validates_schema

from closeup_service.language import mark
from closeup_service.schemas.fields import Flag, RequestSchema, Text, missing_companions, quantity, whole

SUBJECT_KINDS = ("still", "living", "person", "wet-specimen", "fluid-specimen")
LIGHT_SOURCES = ("sun", "lamp", "ultraviolet-lamp", "laser")
Companions = Mapping[str, tuple[str, str]]
NEEDED_WITH: Companions = {
    "least_lamp_distance_mm": ("modelling_lamp_distance_mm", mark("the one is held against the other")),
    "trigger_limit_v": ("trigger_voltage_v", mark("the one is held against the other")),
}
"""Each member that counts for nothing without another: that other, and why."""


class SurroundingsFields(RequestSchema):
    """All optional, and none changes a number: they decide which cautions the answer carries."""

    companions: ClassVar[Companions] = NEEDED_WITH
    """Those of the whole request; one with more of its own adds them."""

    subject_kind = Text(
        SUBJECT_KINDS,
        metadata={
            "description": "What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in "
            "preserving fluid."
        },
    )
    light_source = Text(
        LIGHT_SOURCES, metadata={"description": "What lights the subject beside any flash, for the cautions."}
    )
    mains_powered = Flag(metadata={"description": "Whether a lamp or flash runs on mains power, for the cautions."})
    modelling_lamp_distance_mm = quantity("modelling_lamp_distance_mm")
    least_lamp_distance_mm = quantity("least_lamp_distance_mm")
    duty_limit_pops = whole("duty_limit_pops")
    old_flash = Flag(
        metadata={
            "description": "Whether the flash is an old unit whose trigger voltage is not known, for the cautions."
        }
    )
    trigger_voltage_v = quantity("trigger_voltage_v")
    trigger_limit_v = quantity("trigger_limit_v")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def with_companions(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse a member that counts for nothing, or cannot be reckoned with, without another."""
        del data, kwargs
        missing = missing_companions(original, self.companions)
        if missing:
            raise ValidationError(missing)
