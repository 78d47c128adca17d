"""`/v1/lens-calibration`: what a lens really is, from frames of a ruler at known extensions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, TypeAlias, cast

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.estimates import readings
from closeup_service.language import later, mark, tr
from closeup_service.schemas.fields import RequestSchema, Text, declared_fields, missing_companions, quantity
from closeup_service.schemas.items import Items
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, KnownLensFields, estimate_flag
from closeup_service.schemas.lens_mounting import MountingField

if TYPE_CHECKING:
    from closeup_service.records import requests

ERROR_MODELS = ("constant", "relative")
MOST_FRAMES, MOST_SETTINGS = 100, 20
EXTENSIONS: tuple[Literal["extension_mm", "focusing_extension_mm"], ...] = ("extension_mm", "focusing_extension_mm")
DISTANCES = ("working_distance", "subject_to_sensor")
LENS_MEMBERS = {
    "focal_length_uncertainty_mm": ("focal_length_mm", mark("without it there is nothing that it could belong to")),
    "exit_pupil_diameter_mm": ("entrance_pupil_diameter_mm", mark("the pupil magnification is the ratio of the two")),
    "entrance_pupil_diameter_uncertainty_mm": ("entrance_pupil_diameter_mm", mark("it is the uncertainty of that")),
    "exit_pupil_diameter_uncertainty_mm": ("exit_pupil_diameter_mm", mark("it is the uncertainty of that")),
    "reference_light_loss_stops": ("reference_f_number", mark("the stops are counted from it")),
    "reference_f_number": ("reference_light_loss_stops", mark("the f-number looked for lies so many stops from it")),
    "reference_light_loss_uncertainty_stops": ("reference_light_loss_stops", mark("it is the uncertainty of that")),
}
"""Each member of a lens that counts for nothing without another: that other, and why."""

Faults = dict[Any, Any]
Lens: TypeAlias = "requests.MeasuredLensFields | requests.ZoomSetting"


class CalibrationFrameSchema(RequestSchema):
    """One frame of a ruler: how far the lens was extended, and what was read."""

    extension_mm = quantity(
        "extension_mm", meaning="Rings, tubes, bellows and adapters between lens and camera; assumed 0 beside focusing."
    )
    focusing_extension_mm = quantity("focusing_extension_mm")
    magnification = quantity("magnification", required=True)
    magnification_uncertainty = quantity(
        "magnification_uncertainty",
        meaning="Standard uncertainty of the magnification, as from /v1/scale-reading.",
    )
    working_distance_mm = quantity("working_distance_mm")
    working_distance_uncertainty_mm = quantity("working_distance_uncertainty_mm")
    subject_to_sensor_mm = quantity("subject_to_sensor_mm")
    subject_to_sensor_uncertainty_mm = quantity("subject_to_sensor_uncertainty_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def complete(self, data: requests.CalibrationFields, original: Mapping[str, object], **kwargs: object) -> None:
        """An extension of some kind; and a distance with its uncertainty, by which it is weighed."""
        del data, kwargs
        found: Faults = {}
        if not any(name in original for name in EXTENSIONS):
            found["extension_mm"] = [tr("Give extension_mm, focusing_extension_mm, or both, which then add up.")]
        for name in DISTANCES:
            value, uncertainty = f"{name}_mm", f"{name}_uncertainty_mm"
            if value in original and uncertainty not in original:
                found[uncertainty] = [
                    tr("Needed with {value}, which is weighed by it against the magnifications.", value=value)
                ]
            elif uncertainty in original and value not in original:
                found[value] = [
                    tr("Needed with {uncertainty}: it is the uncertainty of that.", uncertainty=uncertainty)
                ]
        if found:
            raise ValidationError(found)


def frames_field(required: bool) -> fields.List[dict[str, object]]:
    """Frames of one lens."""
    return Items(
        fields.Nested(CalibrationFrameSchema),
        required=required,
        validate=validate.Length(
            1, MOST_FRAMES, error=later("Give 1 to {most_frames} frames.", most_frames=MOST_FRAMES)
        ),
        metadata={"description": "Frames of a ruler at different extensions; three or more tell their own scatter."},
    )


class MeasuredLensFields(RequestSchema):
    """Frames and pupils of one lens at one setting."""

    frames = frames_field(required=False)
    focal_length_mm = quantity(
        "focal_length_mm", meaning="Focal length, known beforehand; one frame alone needs it, more frames find it."
    )
    focal_length_uncertainty_mm = quantity("focal_length_uncertainty_mm")
    entrance_pupil_diameter_mm = quantity("entrance_pupil_diameter_mm")
    entrance_pupil_diameter_uncertainty_mm = quantity("entrance_pupil_diameter_uncertainty_mm")
    exit_pupil_diameter_mm = quantity("exit_pupil_diameter_mm")
    exit_pupil_diameter_uncertainty_mm = quantity("exit_pupil_diameter_uncertainty_mm")
    reference_f_number = quantity("reference_f_number")
    reference_light_loss_stops = quantity("reference_light_loss_stops")
    reference_light_loss_uncertainty_stops = quantity("reference_light_loss_uncertainty_stops")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def companions(self, data: requests.CalibrationFields, original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse a member that counts for nothing without another, and two statements of the f-number."""
        del data, kwargs
        found = missing_companions(original, LENS_MEMBERS)
        if "reference_f_number" in original and "entrance_pupil_diameter_mm" in original:
            text = tr(
                "Find the f-number from the entrance pupil or from the light against a known one, not from both.",
            )
            found.setdefault("reference_f_number", []).append(text)
        if found:
            raise ValidationError(found)

    @validates_schema
    def require_enough_frames(self, data: requests.CalibrationFields, **kwargs: object) -> None:
        """Uncertainties for all frames or none; a focal length for one frame, for more only where it can be weighed."""
        del kwargs
        frames: Sequence[requests.CalibrationFrame] = data.get("frames", [])
        bare = [index for index, frame in enumerate(frames) if "magnification_uncertainty" not in frame]
        if bare and len(bare) < len(frames):
            text = tr("Give it for every frame or for none: without it the scatter of the frames is taken.")
            raise ValidationError({"frames": {index: {"magnification_uncertainty": [text]} for index in bare}})
        if len(frames) == 1 and "focal_length_mm" not in data:
            text = tr("One frame cannot tell it: give it, or add a frame at another extension.")
            raise ValidationError(text, "focal_length_mm")

    @validates_schema
    def refuse_needless_focal_length(self, data: requests.CalibrationFields, **kwargs: object) -> None:
        """Frames that tell the focal length by their scatter leave nothing to weigh another one by."""
        del kwargs
        frames: Sequence[requests.CalibrationFrame] = data.get("frames", [])
        bare = any("magnification_uncertainty" not in frame for frame in frames)
        if len(frames) > 1 and bare and "focal_length_mm" in data:
            text = tr(
                "Several frames tell it themselves: leave it out, or weigh it by magnification_uncertainty in every "
                "frame.",
            )
            raise ValidationError(text, "focal_length_mm")


class ZoomSettingSchema(MeasuredLensFields):
    """One setting of a zoom: a lens of its own."""

    setting = quantity("setting", required=True)
    frames = frames_field(required=True)


class CalibrationFields(MeasuredLensFields, MountingField):
    """Frames of one lens, or of a zoom at several settings."""

    camera_register_mm = quantity("camera_register_mm")
    lens_register_mm = quantity(
        "lens_register_mm",
        meaning="Register of the mount that the lens was made for; held against the frames, with the play of the infinity stop "
        "as its standard uncertainty.",
    )
    infinity_stop_play_mm = quantity("infinity_stop_play_mm")
    error_model = Text(
        ERROR_MODELS,
        metadata={
            "description": "Where no uncertainties are given: whether all magnifications err alike, or in proportion to their "
            "size. Assumed constant."
        },
    )
    least_extension_mm = quantity("least_extension_mm")
    greatest_extension_mm = quantity("greatest_extension_mm")
    settings = Items(
        fields.Nested(ZoomSettingSchema),
        validate=validate.Length(
            2, MOST_SETTINGS, error=later("Give 2 to {most_settings} settings.", most_settings=MOST_SETTINGS)
        ),
        metadata={"description": "Settings of a zoom, instead of frames."},
    )
    interpolate_at = quantity("setting", meaning="Setting within those measured whose lens is wanted.")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_lens_or_a_zoom(
        self, data: requests.CalibrationFields, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Frames, or settings that hold them."""
        del data, kwargs
        if "settings" not in original:
            if "frames" not in original:
                raise ValidationError(tr("Give frames, or the settings of a zoom that hold them."), "frames")
            if "interpolate_at" in original:
                raise ValidationError(tr("Needed with interpolate_at: a setting lies between others."), "settings")
            return
        own = [name for name in declared_fields(MeasuredLensFields) if name in original]
        if own:
            raise ValidationError({name: [tr("With settings, give it within each of them.")] for name in own})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def registers(self, data: requests.CalibrationFields, original: Mapping[str, object], **kwargs: object) -> None:
        """A reversed lens is measured from the camera's register; the play of a stop is that of a lens with a register."""
        del kwargs
        if "infinity_stop_play_mm" in original and "lens_register_mm" not in original:
            raise ValidationError(
                tr("Needed with infinity_stop_play_mm: it is the play about that register."), "lens_register_mm"
            )
        if data.get("mounting") == "reversed" and "camera_register_mm" not in original:
            text = tr("Needed for a lens mounted reversed: its front plane is measured from the sensor.")
            raise ValidationError(text, "camera_register_mm")

    @validates_schema
    def range_in_order(self, data: requests.CalibrationFields, **kwargs: object) -> None:
        """The least extension is not above the greatest."""
        del kwargs
        if data.get("least_extension_mm", 0.0) > data.get("greatest_extension_mm", float("inf")):
            raise ValidationError(tr("The least extension is above the greatest."), "least_extension_mm")

    @validates_schema
    def frames_tell_apart(self, data: requests.CalibrationFields, **kwargs: object) -> None:
        """Several frames stand at different extensions, and the error model serves where no uncertainties do."""
        del kwargs
        reversed_ = data.get("mounting") == "reversed"
        found: Faults = faults_of_frames(data, reversed_)
        within = {index: faults_of_frames(each, reversed_) for index, each in enumerate(data.get("settings", []))}
        if any(within.values()):
            found["settings"] = {index: faults for index, faults in within.items() if faults}
        if "error_model" in data and all("magnification_uncertainty" in frame for frame in every_frame(data)):
            found["error_model"] = [tr("The frames state their own uncertainties: leave it out.")]
        if found:
            raise ValidationError(found)

    @validates_schema
    def settings_apart(self, data: requests.CalibrationFields, **kwargs: object) -> None:
        """Settings are told apart, and the one wanted lies within them."""
        del kwargs
        marks = [each["setting"] for each in data.get("settings", [])]
        twice = [index for index, mark in enumerate(marks) if mark in marks[:index]]
        if twice:
            text = tr("This setting is given already: put all its frames together.")
            raise ValidationError({"settings": {index: {"setting": [text]} for index in twice}})
        if marks and "interpolate_at" in data and not min(marks) <= data["interpolate_at"] <= max(marks):
            text = tr(
                "Give a setting from {least:g} to {most:g}: beyond those measured nothing is known of the lens.",
                least=min(marks),
                most=max(marks),
            )
            raise ValidationError(text, "interpolate_at")


class LensCalibrationRequest(CalibrationFields, KnownLensFields):
    """Frames of one lens, or of a zoom at several settings; or one frame, and what is known of the lens."""

    estimate_unknown = estimate_flag()

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_entrance_pupil(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Leave it to the calibration, which needs both pupils whatever else is given."""

    @validates_schema
    def refuse_needless_focal_length(self, data: requests.CalibrationFields, **kwargs: object) -> None:
        """Where lens data are estimated the focal length is the engraved one, which frames are weighed with."""
        estimating = cast("Mapping[str, object]", data).get(ESTIMATE_UNKNOWN) is True
        if not estimating:
            super().refuse_needless_focal_length(data, **kwargs)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_known_lens(
        self, data: requests.LensCalibrationRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Estimates are of one lens, by its engraved focal length, from as many frames as are weighed."""
        del data, kwargs
        if original.get(ESTIMATE_UNKNOWN) is not True:
            return
        if "settings" in original:
            text = tr(
                "Estimates are of one lens: send each setting by itself, as frames with focal_length_mm.",
            )
            raise ValidationError(text, ESTIMATE_UNKNOWN)
        frames, measured = (list_of(original, name) for name in ("frames", "measured"))
        if "focal_length_mm" not in original and len(frames) != 1:
            raise ValidationError(tr("Needed with estimate_unknown: the focal length as engraved."), "focal_length_mm")
        if "focal_length_uncertainty_mm" in original:
            text = tr(
                "Leave it out with estimate_unknown: how far lenses differ from what is engraved is part of the "
                "estimate.",
            )
            raise ValidationError(text, "focal_length_uncertainty_mm")
        if len(frames) + len(measured) > readings.MOST_FRAMES:
            raise ValidationError(
                tr("Give at most {most_frames} frames with estimate_unknown.", most_frames=readings.MOST_FRAMES),
                "frames",
            )


def list_of(original: Mapping[str, object], name: str) -> Sequence[object]:
    """List of a request as it was sent; empty where there is none."""
    found = original.get(name)
    return found if isinstance(found, list) else []


def every_frame(data: requests.CalibrationFields) -> list[requests.CalibrationFrame]:
    """Frames of the lens, or of all settings."""
    return [*data.get("frames", []), *(frame for each in data.get("settings", []) for frame in each["frames"])]


def faults_of_frames(lens: Lens, reversed_: bool) -> Faults:
    """What is wrong with one lens's frames as they stand together."""
    frames: Sequence[requests.CalibrationFrame] = lens.get("frames", [])
    if reversed_:
        text = tr(
            "Needed for a lens mounted reversed: its focus ring does not change the magnification there; 0 "
            "without rings.",
        )
        bare = {index: {"extension_mm": [text]} for index, frame in enumerate(frames) if "extension_mm" not in frame}
        if bare:
            return {"frames": bare}
    names = EXTENSIONS[:1] if reversed_ else EXTENSIONS
    places = [sum(frame.get(name, 0.0) for name in names) for frame in frames]
    known = "focal_length_mm" in lens
    if len(places) < 2 or known or max(places) - min(places) > 1e-9 * max(places):
        return {}
    text = tr(
        "All frames stand at the same extension, which cannot tell the focal length: add one at another.",
    )
    at = [next(name for name in names if name in frame) for frame in frames]
    return {"frames": {index: {name: [text]} for index, name in enumerate(at)}}
