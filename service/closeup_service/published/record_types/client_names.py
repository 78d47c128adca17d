"""What the client calls its records, where that does not follow from the schemas: the names that release 1.0.0 promised."""

from collections.abc import Mapping

from marshmallow import Schema, fields

from closeup_service.operations.chart.chart_schemas import ChartAnswer
from closeup_service.operations.light.clear_opening.schemas import OpeningSchema
from closeup_service.operations.light.exposure.frame_schemas import (
    PlannedSchema,
    PlannedSettingsSchema,
    ReferenceSchema,
    SettingsFields,
)
from closeup_service.operations.light.exposure.schemas import (
    ExposureFields,
    ExposureMembers,
    ExposureOfSetUpSchema,
    StopsSchema,
)
from closeup_service.operations.measure.lens_calibration.answer_schemas import LensEstimate, LensMembers
from closeup_service.operations.measure.lens_calibration.schemas import CalibrationFields, MeasuredLensFields
from closeup_service.operations.measure.scale_bar.schemas import ScaleBarRequest
from closeup_service.operations.measure.scale_photo.schemas import ScalePhotoRequest
from closeup_service.operations.plan.ring_chains.schemas import RingChainsRequest
from closeup_service.operations.plan.search.schemas import SearchRequest
from closeup_service.operations.refer.catalogue.schemas import RecordSchema
from closeup_service.operations.registry import operations
from closeup_service.operations.set_up.depth_of_field.schemas import DepthOfFieldRequest, DepthSchema
from closeup_service.operations.set_up.diffraction.schemas import DiffractionMembers
from closeup_service.operations.set_up.drawing.schemas import PlacesMembers, SetUpDrawingAnswer, SetUpDrawingRequest
from closeup_service.operations.set_up.effective_f_number.schemas import EffectiveFNumberRequest
from closeup_service.operations.set_up.evaluate.schemas import (
    RigFields,
    SetUpExpandedUncertainty,
    SetUpRequest,
    UncertainFields,
)
from closeup_service.operations.set_up.format_equivalence.schemas import FormatEquivalenceRequest
from closeup_service.operations.set_up.optimum_aperture.schemas import RingFields
from closeup_service.operations.set_up.table.schemas import TableRequest
from closeup_service.operations.shoot.focus_stack.schemas import FocusStackRequest
from closeup_service.operations.shoot.motion_blur.schemas import MotionBlurRequest
from closeup_service.published.record_types.shape import Part
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.drawn import DrawnFields
from closeup_service.schemas.fields import AnyField, RequestSchema, Text
from closeup_service.schemas.flash_scale import FlashScaleSchema
from closeup_service.schemas.known_lens import EstimatedLensFields, KnownLensFields
from closeup_service.schemas.lens_mounting import MountingField
from closeup_service.schemas.lens_uncertainty import LensUncertaintySchema
from closeup_service.schemas.sensor import SensorFields
from closeup_service.schemas.sharpness import DetailFields, LightFields, PrintFields
from closeup_service.schemas.surroundings import SurroundingsFields
from closeup_service.schemas.train import ELEMENTS
from closeup_service.schemas.used_sensor import UsedSensorFields
from closeup_service.schemas.worked_steps import InputSchema, taking_steps, telling_steps

SHARED_NAMES: Mapping[type[Schema], str] = {
    MountingField: "MountingFields",
    KnownLensFields: "KnownLensFields",
    EstimatedLensFields: "EstimatedLensFields",
    SensorFields: "SensorFields",
    SurroundingsFields: "SurroundingsFields",
    LightFields: "LightFields",
    DetailFields: "DetailFields",
    PrintFields: "PrintFields",
    DrawnFields: "ChartFields",
    SettingsFields: "FrameSettings",
    ExposureFields: "ExposureSettings",
    EffectiveFNumberRequest: "MarkedAperture",
    DepthOfFieldRequest: "SharpnessFields",
    FocusStackRequest: "StackFields",
    CalibrationFields: "MeasuredFrames",
    SetUpRequest: "WholeSetUp",
    AnswerSchema: "Answer",
    ChartAnswer: "ChartAnswer",
    PlacesMembers: "PlacesAnswer",
    RecordSchema: "Record",
    LensEstimate: "LensEstimate",
    LensMembers: "LensMembers",
}
"""Schemas that others are derived from, whose records are public; of all others the members are told where they are taken."""

OWN_NAMES: Mapping[type[Schema], str] = {
    SetUpDrawingRequest: "DrawingFields",
    SetUpDrawingAnswer: "DrawingAnswer",
    ExposureOfSetUpSchema: "ExposureOfSetUpFields",
    PlannedSettingsSchema: "FrameSettings",
    ReferenceSchema: "Frame",
    PlannedSchema: "Frame",
    OpeningSchema: "ClearOpening",
    DepthSchema: "DepthOfField",
    DiffractionMembers: "Diffraction",
    ExposureMembers: "Exposure",
    StopsSchema: "StopsBySetting",
    InputSchema: "StepInput",
    SetUpExpandedUncertainty: "SetUpUncertainty",
}
"""Records of objects in requests and answers that are not called after their schema."""

WITH_STEPS = tuple(operation for operation in operations() if operation.steps is not None)

PARTS = (
    Part(
        name="SetUpDocument",
        role="request",
        source=TableRequest,
        but=("columns", "fields", "kit"),
        of=(SetUpRequest,),
        doc="A camera, and the train that light passes, subject first.",
    ),
    Part(
        name="UsedSensorFields",
        role="request",
        source=UsedSensorFields,
        but=("image_width_px",),
        doc="The sensor, or the part of it that the picture uses, and its pixel pitch.",
    ),
    Part(
        name="MeasuredLensFields",
        role="request",
        source=MeasuredLensFields,
        but=("frames",),
        doc="What was measured of one lens beside its frames; one frame alone needs `focal_length_mm`.",
    ),
    Part(
        name="StepsFields",
        role="request",
        source=taking_steps(RequestSchema),
        of=tuple(type(operation.request_schema) for operation in WITH_STEPS if operation.request_schema is not None),
        doc="Whether the answer tells its steps.",
    ),
    Part(
        name="WorkedAnswer",
        role="answer",
        source=telling_steps(AnswerSchema),
        of=tuple(type(operation.answer_schema) for operation in WITH_STEPS),
        doc="An answer that tells its steps where `show_steps` was asked for; else there are none.",
    ),
    Part(
        name="SetUpResults",
        role="answer",
        source=UncertainFields,
        but=("magnification", "front_depth_mm", "rear_depth_mm", "total_mm", "depth_of_focus_mm"),
        of=(RigFields,),
        doc="What a set-up comes to, or the uncertainty of that.",
    ),
    *(
        Part(
            name=f"{type(schema).__name__.removesuffix('Schema')}Fields",
            role="request",
            source=type(schema),
            but=("element",),
            doc=f"What is known of the element `{kind}`.",
        )
        for kind, schema in ELEMENTS.items()
    ),
)
"""Records that are part of others, without a schema of their own."""

SHOWS_ITSELF = "RawAnswer"
BEYOND: Mapping[str, tuple[str, str]] = {
    "Answer": ("closeup_client.raw", SHOWS_ITSELF),
    "Record": ("closeup_client.raw", "Raw"),
    "CautionRecord": ("closeup_client.raw", "Raw"),
    "MeasuredLens": ("closeup_client.raw", "RawLens"),
}
"""Records with a base of the client's own, by its module and name: what they do beyond holding what was answered."""

CHOICES: Mapping[str, tuple[type[Schema], str]] = {
    "Mounting": (MountingField, "mounting"),
    "FlashShape": (MotionBlurRequest, "flash_shape"),
    "DepthModel": (SetUpRequest, "depth_of_field_model"),
    "Light": (LightFields, "light"),
    "LightSource": (SurroundingsFields, "light_source"),
    "SubjectKind": (SurroundingsFields, "subject_kind"),
    "StackMethod": (FocusStackRequest, "method"),
    "RingMoves": (FocusStackRequest, "ring_moves"),
    "FramingBy": (FormatEquivalenceRequest, "framing_by"),
    "ApertureSeries": (RingFields, "aperture_series"),
    "FrameLightKind": (ExposureFields, "light"),
    "PowerKind": (FlashScaleSchema, "kind"),
    "Setting": (ExposureFields, "unknown"),
    "Gender": (RingChainsRequest, "from_gender"),
    "MountSide": (RingChainsRequest, "from_side"),
    "SearchModel": (SearchRequest, "depth_of_field_model"),
    "Arrangement": (SearchRequest, "arrangements"),
    "ErrorModel": (CalibrationFields, "error_model"),
    "ScaleBasis": (ScaleBarRequest, "scale_basis"),
    "MarksAre": (ScalePhotoRequest, "marks_are"),
    "Leg": (ScalePhotoRequest, "leg"),
    "LensParameter": (LensUncertaintySchema, "parameters"),
}
"""Closed lists of words that have a name, each by a member that takes one of them."""


def choices_of(field: AnyField) -> tuple[str, ...]:
    """Words that a field takes, one of a closed list; none where it takes other values."""
    inner = field.inner if isinstance(field, fields.List) else field
    if not isinstance(inner, Text):
        return ()
    return tuple(next(rule.choices for rule in inner.validators if hasattr(rule, "choices")))


WORDS = {choices_of(schema().fields[name]): alias for alias, (schema, name) in CHOICES.items()}
"""Name of each closed list, by its words."""
