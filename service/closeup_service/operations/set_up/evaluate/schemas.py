"""The set-up document, and the answer of `/v1/set-ups/evaluate`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, post_load, pre_load, validate, validates_schema

from closeup_service.language import later, mark, tr
from closeup_service.operations.light.clear_opening.schemas import OpeningOfSetUpSchema, OpeningSchema
from closeup_service.operations.light.exposure.schemas import ExposureMembers, ExposureOfSetUpSchema
from closeup_service.operations.set_up.depth_of_field.schemas import DepthSchema
from closeup_service.operations.set_up.diffraction.schemas import DiffractionMembers
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.answers import OpenSchema
from closeup_service.schemas.estimated import EstimatedAnswerSchema
from closeup_service.schemas.fields import (
    REQUIRED,
    Id,
    Pattern,
    RequestSchema,
    exactly_one,
    open_result,
    quantity,
    result,
)
from closeup_service.schemas.items import Items
from closeup_service.schemas.kit import KitField, kit_revision
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, estimate_flag
from closeup_service.schemas.sensor import SensorFields, names_of_the_sensor, states_sensor
from closeup_service.schemas.sharpness import DetailFields, PrintFields, model_field, refuse_without_detail
from closeup_service.schemas.surroundings import SurroundingsFields
from closeup_service.schemas.train import Element

if TYPE_CHECKING:
    from closeup_service.records import requests

MOST_ELEMENTS = 32
MOST_STACK_FRAMES = 10**12
TARGETS = ("magnification", "working_distance_mm", "subject_width_mm")
UNKNOWN_PATTERN = r"^/train/(0|[1-9][0-9]?)/(length_mm|focusing_extension_mm)$"
UNKNOWN_REFUSAL = mark(
    "Give the JSON pointer of a spacer's length_mm or a lens's focusing_extension_mm, such as /train/1/length_mm.",
)
POINTER_LENGTH = validate.Length(1, 64)
OPEN_LENGTHS = {"length_mm": "spacer", "focusing_extension_mm": "lens"}
"""Element that has each open length; a kit-part may be either."""


STATED_BY_KIT = (*names_of_the_sensor(), "pixel_pitch_um")
"""What a camera of the kit states itself, beside its mount."""


class CameraSchema(SensorFields):
    """The camera: one of the kit's, or its register and what is known of its sensor."""

    use = Id("Id of a camera in the kit; beside it only circle_of_confusion_mm may be given.")
    register_mm = quantity("register_mm", meaning="Mount flange to sensor; required, unless use names a camera.")
    pixel_pitch_um = quantity("pixel_pitch_um")
    circle_of_confusion_mm = quantity("circle_of_confusion_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def kit_or_measures(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """A camera of the kit states its measures itself; any other states its register."""
        del data, kwargs
        if "use" in original:
            refuse_stated_by_kit(original, "register_mm")
        elif "register_mm" not in original:
            raise ValidationError(REQUIRED, "register_mm")


def refuse_stated_by_kit(original: Mapping[str, object], of_the_mount: str) -> None:
    """Refuse what a camera of the kit states itself: what is said of its mount, and its measures."""
    stated = [name for name in (of_the_mount, *STATED_BY_KIT) if name in original]
    if stated:
        raise ValidationError({name: [tr("The kit states it: leave it out.")] for name in stated})


class TargetSchema(RequestSchema):
    """What the open length is to reach: exactly one member."""

    magnification = quantity("magnification")
    working_distance_mm = quantity("working_distance_mm")
    subject_width_mm = quantity("subject_width_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_exactly_one_target(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """One target at a time."""
        del kwargs
        exactly_one(original, *TARGETS)


def pointer_field(pattern: str, refusal: str, meaning: str, *, required: bool = False) -> fields.String:
    """Field of the request for a JSON pointer into the train."""
    return fields.String(
        validate=[POINTER_LENGTH, Pattern(pattern, error=refusal)],
        error_messages={"invalid": refusal, "null": refusal},
        metadata={"description": meaning},
        required=required,
    )


class SolveSchema(RequestSchema):
    """Solve one open length of the train, left out there, for a target."""

    unknown = pointer_field(  # type: ignore[assignment]  # the name is fixed; marshmallow lifts fields off the class
        UNKNOWN_PATTERN,
        UNKNOWN_REFUSAL,
        "JSON pointer of the open length, in mm, which is left out of the train.",
        required=True,
    )
    minimum = quantity("length_mm", meaning="Least length allowed, in mm; assumed the part's, or 0.")
    maximum = quantity(
        "length_mm", meaning="Greatest length allowed, in mm; assumed the part's, or the vocabulary's bound."
    )
    target = fields.Nested(TargetSchema, required=True)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def range_in_order(self, data: requests.Solve, original: Mapping[str, object], **kwargs: object) -> None:
        """The least length is not above the greatest."""
        del kwargs
        if data.get("minimum", 0.0) > data.get("maximum", float("inf")):
            raise ValidationError(tr("The minimum is above the maximum."), "minimum")


class SetUpRequest(SurroundingsFields, DetailFields, PrintFields):
    """An optical train, from the subject to the camera."""

    camera = fields.Nested(CameraSchema, required=True)
    train = Items(
        Element(),
        required=True,
        validate=validate.Length(1, MOST_ELEMENTS, error=later("Give 1 to {most} elements.", most=MOST_ELEMENTS)),
        metadata={"description": "What light passes, subject first."},
    )
    depth_of_field_model = model_field()
    subject_depth_mm = quantity("subject_depth_mm")
    solve = fields.Nested(SolveSchema)
    exposure = fields.Nested(ExposureOfSetUpSchema)
    clear_opening = fields.Nested(OpeningOfSetUpSchema)
    estimate_unknown = estimate_flag()
    kit = KitField()

    @pre_load
    def hold_the_open_length(self, data: Mapping[str, object], **kwargs: object) -> Mapping[str, object]:
        """Hold the place of the open length with its least value, so that the train validates as a whole."""
        del kwargs
        place = open_length(data)
        if place is None:
            return data
        index, member = place
        train = elements_of(data)
        element = train[index]
        assert isinstance(element, Mapping)
        train[index] = {**element, member: VOCABULARY[member].minimum}
        return {**data, "train": train}

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def measure_of_the_model(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The contrast model needs its detail."""
        del kwargs
        if data.get("depth_of_field_model") == "contrast":
            refuse_without_detail(original)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def open_length_is_open(
        self, data: requests.SetUpRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The unknown must name a length of this train that is left out."""
        del kwargs
        pointer = data.get("solve", {}).get("unknown")
        if pointer is None or "train" not in data:
            return
        _, index, member = pointer.lstrip("/").split("/")
        element = dict(enumerate(elements_of(original))).get(int(index))
        if not isinstance(element, Mapping) or element.get("element") not in (OPEN_LENGTHS[member], "kit-part"):
            text = tr(
                "There is no {open_lengths} at /train/{index} with a {member} to solve.",
                open_lengths=OPEN_LENGTHS[member],
                index=index,
                member=member,
            )
            raise ValidationError({"solve": {"unknown": [text]}})
        if member in element:
            text = tr("Leave {pointer} out of the train: it is the unknown.", pointer=pointer)
            raise ValidationError({"solve": {"unknown": [text]}})
        target, camera = data["solve"].get("target", {}), original.get("camera")
        if not isinstance(camera, Mapping):
            return
        if "subject_width_mm" in target and "use" not in camera and not states_sensor(camera):
            raise ValidationError({"camera": {"sensor": [tr("Needed to solve for a subject width.")]}})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def table_of_exposures(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """A table of exposures across magnifications needs a length that changes for them."""
        del data, kwargs
        exposure = original.get("exposure")
        if isinstance(exposure, Mapping) and "magnifications" in exposure and "solve" not in original:
            raise ValidationError(
                tr("Needed with the exposure's magnifications: which length changes for them."), "solve"
            )

    @post_load
    def range_of_the_open_length(self, data: requests.SetUpRequest, **kwargs: object) -> requests.SetUpRequest:
        """Fill in the range of the open length; that of a part of the kit is the part's."""
        del kwargs
        if "solve" in data:
            _, _, index, member = data["solve"]["unknown"].split("/")
            if data["train"][int(index)]["element"] == "kit-part":
                return data
            bounds = VOCABULARY[member]
            assert bounds.minimum is not None
            assert bounds.maximum is not None
            data["solve"].setdefault("minimum", bounds.minimum)
            data["solve"].setdefault("maximum", bounds.maximum)
        return data


def elements_of(document: Mapping[str, object]) -> list[object]:
    """Elements of the train as they were sent; none where it is no list."""
    train = document.get("train")
    return list(train) if isinstance(train, list | tuple) else []


def open_length(document: Mapping[str, object]) -> tuple[int, str] | None:
    """Place (index, member) of the open length, when the document names one that it leaves out."""
    solve = document.get("solve")
    pointer = solve.get("unknown") if isinstance(solve, Mapping) else None
    place = re.fullmatch(UNKNOWN_PATTERN, pointer) if isinstance(pointer, str) else None
    if place is None:
        return None
    element = dict(enumerate(elements_of(document))).get(int(place[1]))
    return None if not isinstance(element, Mapping) or place[2] in element else (int(place[1]), place[2])


class SolvedSchema(OpenSchema):
    """The open length, solved; present when one was asked for."""

    pointer = fields.String(
        required=True,
        validate=[POINTER_LENGTH, validate.Regexp(UNKNOWN_PATTERN)],
        metadata={"description": "JSON pointer of the length solved, in mm."},
    )
    value = open_result("length_mm", ESTIMATE_UNKNOWN, meaning="The length found, in mm.")


class RigFields(OpenSchema):
    """What a set-up is as a whole."""

    magnification = result("magnification")
    subject_width_mm = result("subject_width_mm")
    subject_height_mm = result("subject_height_mm")
    working_distance_mm = result("working_distance_mm")
    clearance_mm = result("clearance_mm")
    subject_to_sensor_mm = result("subject_to_sensor_mm")
    rig_length_mm = result("rig_length_mm")
    effective_f_number = result("effective_f_number")
    numerical_aperture = result("numerical_aperture")
    light_loss_stops = result("light_loss_stops")


class UncertainFields(RigFields):
    """One number for each result that can be uncertain; the depths are those of depth_of_field."""

    front_depth_mm = result("front_depth_mm")
    rear_depth_mm = result("rear_depth_mm")
    total_mm = result("total_mm")
    depth_of_focus_mm = result("depth_of_focus_mm")
    optimum_effective_f_number = result("optimum_effective_f_number")
    optimum_f_number = result("optimum_f_number")


class SetUpUncertainty(UncertainFields):
    """Standard uncertainty of each result, from what the lenses state; null where it has none."""


class SetUpExpandedUncertainty(UncertainFields):
    """Half the 95 % interval of each result, which reaches from the result less this to the result and this.

    It is 1.96 standard uncertainties, or more where a lens's uncertainty has few degrees of freedom; null where uncertainty is.
    """


class SetUpAnswer(RigFields, EstimatedAnswerSchema):
    """Everything about one set-up; null where the document does not determine it."""

    magnification = open_result("magnification", ESTIMATE_UNKNOWN)
    aperture_stop = fields.Integer(
        required=True,
        allow_none=True,
        validate=validate.Range(0, MOST_ELEMENTS - 1),
        metadata={"description": "Index in the train of the part whose stop governs.", "format": "int32"},
    )
    depth_of_field = fields.Nested(DepthSchema, required=True)
    diffraction = fields.Nested(DiffractionMembers, required=True)
    optimum_effective_f_number = result("optimum_effective_f_number")
    optimum_f_number = result("optimum_f_number")
    stack_frames = fields.Integer(
        required=True,
        allow_none=True,
        validate=validate.Range(1, MOST_STACK_FRAMES),
        metadata={"description": VOCABULARY["stack_frames"].meaning, "format": "int64"},
    )
    stack_step_mm = result("stack_step_mm")
    allowed_movement_um = result("allowed_movement_um")
    solved = fields.Nested(SolvedSchema)
    exposure = fields.Nested(ExposureMembers)
    clear_opening = fields.Nested(OpeningSchema)
    uncertainty = fields.Nested(SetUpUncertainty)
    expanded_uncertainty = fields.Nested(SetUpExpandedUncertainty)
    kit_revision = kit_revision(required=False)
