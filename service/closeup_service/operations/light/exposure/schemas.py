"""`/v1/exposure`: from a frame that was right to the setting that makes the next one right."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import tr
from closeup_service.operations.light.exposure.frame_schemas import (
    FLASH_MEMBERS,
    SETTINGS,
    PlannedSettingsSchema,
    ReferenceSchema,
)
from closeup_service.operations.light.exposure.light_schemas import (
    AmbientLightSchema,
    AmbientSchema,
    FinderLightSchema,
    FinderSchema,
)
from closeup_service.optics.exposure import CONTINUOUS, FLASH, LIGHTS
from closeup_service.schemas.answers import CODE_PATTERN, AnswerSchema, OpenSchema
from closeup_service.schemas.fields import RequestSchema, Text, numbers, quantity, result
from closeup_service.schemas.flash_scale import FlashScaleSchema, power_fault
from closeup_service.schemas.kit import kit_revision

if TYPE_CHECKING:
    from closeup_service.records import requests

UNKNOWNS = ("exposure_time_s", "iso", "flash_power", "flash_distance_mm", "f_number")
WAYS = ("iso", "f_number", "flash_distance_mm", "pops", "transmission")
MOST_MAGNIFICATIONS = 100
MARK_TEXT = (validate.Length(1, 16), validate.Regexp(r"^[0-9f/.+]+$"))

Faults = dict[str, object]


class ExposureFields(RequestSchema):
    """What every exposure is reckoned from, beside the planned frame."""

    reference = fields.Nested(ReferenceSchema, required=True)
    unknown = Text(UNKNOWNS, required=True, metadata={"description": "Setting of the planned frame to solve."})  # type: ignore[assignment]
    light = Text(
        LIGHTS,
        metadata={
            "description": "Light that exposes the frames: flash (assumed where anything of a flash is given), or continuous."
        },
    )
    flash_scale = fields.Nested(FlashScaleSchema)
    sync_time_s = quantity("sync_time_s")
    ambient = fields.Nested(AmbientSchema)
    finder = fields.Nested(FinderSchema)
    magnifications = numbers("magnification", MOST_MAGNIFICATIONS)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def settings_in_both_frames(
        self, data: requests.ExposureFields, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A setting that changes, or is solved, must be known of the reference; the unknown is left open in the plan."""
        del kwargs
        if not all(isinstance(original.get(name, {}), Mapping) for name in ("reference", "planned")):
            return
        reference, planned = (members_of(original, name) for name in ("reference", "planned"))
        unknown = data.get("unknown")
        faults: Faults = {}
        for name in SETTINGS:
            if name in reference:
                continue
            if name == unknown:
                faults[name] = [tr("Needed: the new value is reckoned from that of the reference frame.")]
            elif name == "flash_distance_mm" and "source_diameter_mm" in planned:
                faults[name] = [tr("Needed: the planned source's size counts against its distance.")]
            elif name in planned and not (name == "exposure_time_s" and light_of(data, original) == FLASH):
                faults[name] = [tr("Given for the planned frame, so it counts: give that of the reference frame too.")]
        problems: Faults = {"reference": faults} if faults else {}
        if unknown in planned:
            problems["planned"] = {unknown: [tr("Leave it out: it is the unknown.")]}
        if problems:
            raise ValidationError(problems)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def members_of_the_light(
        self, data: requests.ExposureFields, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """No shutter changes a flash's light; nothing of a flash counts in continuous light."""
        del kwargs
        light, unknown = light_of(data, original), data.get("unknown")
        if light == FLASH and unknown == "exposure_time_s":
            text = tr(
                "The shutter does not change a flash's light: solve for another setting, or give light continuous.",
            )
            raise ValidationError(text, "unknown")
        if light != CONTINUOUS:
            return
        faults: Faults = {}
        text = tr("Belongs to a flash: leave it out, or give light flash.")
        for frame in ("reference", "planned"):
            wrong = {name: [text] for name in FLASH_MEMBERS if name in members_of(original, frame)}
            if wrong:
                faults[frame] = wrong
        faults |= {name: [text] for name in ("flash_scale", "sync_time_s", "ambient") if name in original}
        if unknown in FLASH_MEMBERS:
            faults["unknown"] = [tr("There is no flash to set: solve for another setting, or give light flash.")]
        if faults:
            raise ValidationError(faults)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def widest_mark_of_the_finder(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The lens's widest mark is not narrower than a frame's."""
        del original, kwargs
        fault = finder_fault(data)
        if fault:
            raise ValidationError({"finder": {"least_f_number": [fault]}})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def powers_of_the_scale(
        self, data: requests.ExposureFields, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Powers are what the scale can mean, and within the head's range."""
        del original, kwargs
        scale = data.get("flash_scale", {})
        faults: Faults = {}
        for frame in ("reference", "planned"):
            power = members_of(data, frame).get("flash_power")
            fault = power_fault(scale, power) if isinstance(power, float) else None
            if fault:
                faults[frame] = {"flash_power": [fault]}
        if faults:
            raise ValidationError(faults)


def finder_fault(data: Mapping[str, object]) -> str | None:
    """What is wrong with the widest mark: the picture cannot be taken wider open."""
    widest = members_of(data, "finder").get("least_f_number")
    marks = [members_of(data, frame).get("f_number") for frame in ("reference", "planned")]
    if not isinstance(widest, float) or all(not isinstance(mark, float) or mark >= widest for mark in marks):
        return None
    return tr("The frames are taken wider open than that: give the lens's widest mark.")


def members_of(original: Mapping[str, object], frame: str) -> Mapping[str, object]:
    """Members of a frame, or of another group; none where it is no object."""
    sent = original.get(frame, {})
    return sent if isinstance(sent, Mapping) else {}


def light_of(data: Mapping[str, object], original: Mapping[str, object]) -> str | None:
    """Light of the frames, stated or by what is given; None where it was stated wrongly."""
    if "light" in original:
        light = data.get("light")
        return light if isinstance(light, str) else None
    frames = [members_of(original, name) for name in ("reference", "planned")]
    of_flash = any(name in frame for frame in frames for name in FLASH_MEMBERS) or data.get("unknown") in FLASH_MEMBERS
    return FLASH if of_flash or "flash_scale" in original else CONTINUOUS


class ExposureOfSetUpSchema(ExposureFields):
    """An exposure whose planned frame is taken with the set-up of the document."""

    planned = fields.Nested(PlannedSettingsSchema)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def aperture_of_the_reference(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The reference needs its aperture."""
        del data, kwargs
        faults = lens_faults(members_of(original, "reference"))
        if faults and "reference" in original:
            raise ValidationError({"reference": faults})


def lens_faults(lens: Mapping[str, object], but: tuple[str, ...] = ()) -> Faults:
    """What is missing of the aperture of a frame."""
    if "effective_f_number" in lens:
        return {}
    needed = [name for name in ("f_number", "magnification") if name not in lens and name not in but]
    return {name: [tr("Needed, or the effective f-number in its place.")] for name in needed}


class PowerWay(OpenSchema):
    """One way to close the gap, with the power at the end of its range."""

    setting = fields.String(
        required=True,
        validate=validate.OneOf(WAYS),
        metadata={"description": "What to change instead."},
    )
    value = result("value", nullable=False)
    nominal_value = result("nominal_value")


class FlashPowerSchema(OpenSchema):
    """The power against the head's range; present when power is the unknown."""

    nearest_power = result("nearest_power", nullable=False)
    missing_stops = result("missing_stops", nullable=False)
    below_full_stops = result("flash_power_stops")
    ways = fields.List(
        fields.Nested(PowerWay),
        required=True,
        validate=validate.Length(0, len(WAYS)),
        metadata={"description": "Each alone closes the gap; empty where there is none."},
    )


class StopsSchema(OpenSchema):
    """Light gained by each setting that a frame states."""

    aperture_stops = result("aperture_stops", nullable=False)
    transmission_stops = result("transmission_stops", nullable=False)
    iso_stops = result("iso_stops", nullable=False, required=False)
    exposure_time_stops = result("exposure_time_stops", nullable=False, required=False)
    power_stops = result("power_stops", nullable=False, required=False)
    flash_distance_stops = result("flash_distance_stops", nullable=False, required=False)
    pops_stops = result("pops_stops", nullable=False, required=False)


class FrameLightSchema(OpenSchema):
    """The aperture of a frame."""

    effective_f_number = result("effective_f_number", nullable=False)
    light_loss_stops = result("light_loss_stops")


class PlannedFrameSchema(FrameLightSchema):
    """The planned frame with the setting that was solved; settings that no frame states are left out."""

    f_number = result("f_number", nullable=False, required=False)
    exposure_time_s = result("exposure_time_s", nullable=False, required=False)
    iso = result("iso", nullable=False, required=False)
    flash_power = result("flash_power", nullable=False, required=False)
    flash_distance_mm = result("flash_distance_mm", nullable=False, required=False)


class ExposureRow(OpenSchema):
    """The planned frame at one magnification; nulls, and a code, where it cannot be."""

    magnification = result("magnification", nullable=False)
    length_mm = result("length_mm", meaning="Length of the set-up that was solved for it; null for one lens.")
    effective_f_number = result("effective_f_number")
    light_loss_stops = result("light_loss_stops")
    difference_stops = result("difference_stops")
    value = result("value")
    nominal_value = result("nominal_value")
    missing_stops = result(
        "missing_stops", meaning="Light that the head's range misses at this power; null for others."
    )
    problem = fields.String(
        required=True,
        allow_none=True,
        validate=[validate.Length(1, 64), validate.Regexp(CODE_PATTERN)],
        metadata={"description": "Why there is no such frame; null where there is one."},
    )


class ExposureMembers(OpenSchema):
    """The new setting, and what each change does to the light."""

    unknown = fields.String(  # type: ignore[assignment]  # the name is fixed; marshmallow lifts fields off the class
        required=True, validate=validate.OneOf(UNKNOWNS), metadata={"description": "Setting that was solved."}
    )
    value = result("value", nullable=False)
    nominal_value = result("nominal_value")
    marked_as = fields.String(
        required=True,
        allow_none=True,
        validate=MARK_TEXT,
        metadata={"description": "The nearest marked value as it is engraved or shown, such as 1/60 or f/16."},
    )
    nominal_difference_stops = result("nominal_difference_stops")
    difference_stops = result("difference_stops")
    light = fields.String(
        required=True, validate=validate.OneOf(LIGHTS), metadata={"description": "Light that exposes the frames."}
    )
    stops = fields.Nested(StopsSchema, required=True)
    reference = fields.Nested(FrameLightSchema, required=True)
    planned = fields.Nested(PlannedFrameSchema, required=True)
    within_sync_time = fields.Boolean(
        metadata={
            "description": "Whether the planned shutter is open long enough for a flash, where both times are known."
        }
    )
    flash_power = fields.Nested(FlashPowerSchema)
    ambient = fields.Nested(AmbientLightSchema)
    finder = fields.Nested(FinderLightSchema)
    rows = fields.List(
        fields.Nested(ExposureRow),
        required=True,
        validate=validate.Length(0, MOST_MAGNIFICATIONS),
        metadata={"description": "The planned frame at each of the magnifications; empty when none are given."},
    )


class ExposureAnswer(ExposureMembers, AnswerSchema):
    """The new setting, with what was assumed and what is worth knowing."""

    kit_revision = kit_revision(required=False)
