"""`/v1/set-ups/search`: which set-ups of a kit fill the frame with a subject, and how well."""

from collections.abc import Mapping

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.gear.search.request import APERTURES, ARRANGEMENTS, BEST
from closeup_service.gear.search.score import CRITERIA, WISHES
from closeup_service.language import later, tr
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS, refuse_stated_by_kit
from closeup_service.optics.sharpness import MODELS
from closeup_service.schemas.answers import TEXT, AnswerSchema, OpenSchema
from closeup_service.schemas.estimated import EstimatedMembers
from closeup_service.schemas.fields import (
    REQUIRED,
    Id,
    Number,
    RequestSchema,
    Text,
    Whole,
    declared_fields,
    open_result,
    quantity,
    result,
)
from closeup_service.schemas.items import Items
from closeup_service.schemas.kit import KitField, Reference, kit_revision
from closeup_service.schemas.kit_lens import MOST_APERTURES
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, estimate_flag
from closeup_service.schemas.sensor import SensorFields, states_sensor

MOST_HITS = 100
MOST_FRONT = 50
MOST_WISHED_FRAMES = 10_000
SIZES = ("subject_width_mm", "subject_height_mm")
MOST_COUNTED = 2**53 - 1


class SearchCamera(SensorFields):
    """The camera: one of the kit's, or its mount and its sensor."""

    use = Id("Id of a camera in the kit; beside it only circle_of_confusion_mm may be given.")
    mount = Reference(
        "Mount by its id in /v1/catalogue/mounts or among the kit's own; required, unless use names a camera."
    )
    pixel_pitch_um = quantity("pixel_pitch_um")
    circle_of_confusion_mm = quantity("circle_of_confusion_mm")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def kit_or_measures(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """A camera of the kit states its measures itself; any other states its mount and its sensor."""
        del data, kwargs
        if "use" in original:
            refuse_stated_by_kit(original, "mount")
            return
        missing = [] if "mount" in original else ["mount"]
        missing += [] if states_sensor(original) else ["sensor"]
        if missing:
            raise ValidationError({name: [REQUIRED] for name in missing})


class SearchRequest(RequestSchema):
    """The subject, the camera, what is wished for, and what may be used."""

    subject_width_mm = quantity("subject_width_mm", meaning="Width of the subject, along the sensor's width.")
    subject_height_mm = quantity("subject_height_mm", meaning="Height of the subject, along the sensor's height.")
    magnification = quantity(
        "magnification", meaning="Magnification wanted, in place of the subject's width and height."
    )
    subject_depth_mm = quantity("subject_depth_mm")
    camera = fields.Nested(SearchCamera, required=True)
    least_working_distance_mm = quantity("least_working_distance_mm")
    least_clearance_mm = quantity(
        "clearance_mm",
        meaning="Least clearance before what stands out in front that will do; assumed 0 where the clearance is known.",
    )
    largest_subject_resolution_um = quantity("largest_subject_resolution_um")
    most_stack_frames = Whole(
        1,
        MOST_WISHED_FRAMES,
        "Most frames of a stack over the subject's depth that will do; 1 asks for a single frame, absent any number will do.",
    )
    largest_light_loss_stops = quantity("largest_light_loss_stops")
    longest_rig_mm = quantity("longest_rig_mm")
    arrangements = Items(
        Text(ARRANGEMENTS),
        validate=validate.Length(
            1, len(ARRANGEMENTS), error=later("Give 1 to {most} arrangements.", most=len(ARRANGEMENTS))
        ),
        metadata={"description": "How parts may stand; assumed all."},
    )
    tolerance = quantity("tolerance")
    best = Whole(1, MOST_HITS, f"How many hits to list at most; assumed {BEST}.")
    apertures_per_set_up = Whole(
        1,
        MOST_APERTURES,
        f"How many apertures of one set-up to list among the hits at most; assumed {APERTURES}.",
    )
    budget = quantity("budget")
    depth_of_field_model = Text(
        tuple(model for model in MODELS if model != "contrast"),
        metadata={"description": "Model of the depth of field; combined is assumed. Contrast is for one set-up."},
    )
    wavelength_nm = quantity("wavelength_nm")
    estimate_unknown = estimate_flag()
    kit = KitField()

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_a_subject(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """The subject has a width, a height, or both, or a magnification is wanted; only a deep one takes frames to stack."""
        del data, kwargs
        faults: dict[str, list[str]] = {}
        sizes = [name for name in SIZES if name in original]
        if not sizes and "magnification" not in original:
            faults["subject_width_mm"] = [
                tr("Give the subject's width, its height, or both; or the magnification wanted.")
            ]
        if sizes and "magnification" in original:
            faults |= {
                name: [tr("Give the subject's size or the magnification, not both.")]
                for name in (*sizes, "magnification")
            }
        if "most_stack_frames" in original and "subject_depth_mm" not in original:
            faults["subject_depth_mm"] = [tr("Needed with most_stack_frames.")]
        if faults:
            raise ValidationError(faults)


class SetUpDocumentField(fields.Field[dict[str, object]]):
    """A complete set-up document, which /v1/set-ups/evaluate takes as it is."""


class Criteria(OpenSchema):
    """What makes up a score; less is better."""

    framing = result("score", meaning="How far the frame is from the subject's size.", nullable=False)
    aperture = result("score", meaning="How far the aperture is from the best one.", nullable=False)
    detail = result("score", meaning="How coarse the resolved detail is.", nullable=False)
    working_distance = result("score", meaning="How near the subject stands.", nullable=False)
    light = result("score", meaning="How much light is lost.", nullable=False)
    frames = result("score", meaning="How many frames are stacked.", nullable=False)
    parts = result("score", meaning="How many parts and rings there are.", nullable=False)


assert tuple(declared_fields(Criteria)) == CRITERIA


class SearchHit(EstimatedMembers):
    """One set-up that fills the frame, with its figures as /v1/set-ups/evaluate gives them."""

    parts = fields.List(
        fields.String(validate=TEXT),
        required=True,
        validate=validate.Length(1, MOST_ELEMENTS),
        metadata={"description": "Parts by their ids with what is chosen of each, subject first."},
    )
    score = result("score", nullable=False)
    criteria = fields.Nested(Criteria, required=True)
    magnification = open_result("magnification", ESTIMATE_UNKNOWN)
    subject_width_mm = open_result("subject_width_mm", ESTIMATE_UNKNOWN)
    subject_height_mm = open_result("subject_height_mm", ESTIMATE_UNKNOWN)
    working_distance_mm = result("working_distance_mm")
    clearance_mm = result("clearance_mm")
    rig_length_mm = result("rig_length_mm")
    effective_f_number = result("effective_f_number")
    light_loss_stops = result("light_loss_stops")
    subject_resolution_um = result("subject_resolution_um")
    total_mm = result("total_mm")
    stack_frames = fields.Integer(
        required=True,
        allow_none=True,
        validate=validate.Range(1, MOST_COUNTED),
        metadata={"description": "Frames of a stack over the subject's depth.", "format": "int64"},
    )
    document = SetUpDocumentField(required=True)
    kit_document = SetUpDocumentField()
    chance = Number(
        validate=validate.Range(0, 1),
        metadata={
            "description": "Share of the lenses that the estimated ones may be with which the set-up of the document fills the "
            "frame within the tolerance; present where a lens is estimated.",
            "format": "double",
        },
    )


def of_the_wish(what: str, *, nullable: bool = True) -> Number:
    """Field of an answer for a number in the unit of the wish that it is about."""
    meta = {"description": f"{what}, in the wish's own unit.", "format": "double"}
    return Number(required=True, allow_none=nullable, metadata=meta)


class Relaxation(OpenSchema):
    """A wish that nothing meets, and what comes nearest to it."""

    wish = fields.String(
        required=True,
        validate=validate.OneOf((*WISHES, "tolerance")),
        metadata={"description": "Member of the request to relax."},
    )
    asked = of_the_wish("What was asked", nullable=False)
    nearest = of_the_wish("What the nearest set-up reaches")
    miss = of_the_wish("By how much that misses")
    hit = fields.Nested(SearchHit, required=True)


class Purchase(OpenSchema):
    """One part that closes the gap when it is bought."""

    part = fields.String(required=True, validate=TEXT, metadata={"description": "Id in the kit, or the part in words."})
    in_kit = fields.Boolean(required=True, metadata={"description": "Whether the kit lists it, as not owned."})
    price = result("price")
    hit = fields.Nested(SearchHit, required=True)


def counted(what: str) -> fields.Integer:
    """Field of an answer for a count."""
    return fields.Integer(
        required=True, validate=validate.Range(0, MOST_COUNTED), metadata={"description": what, "format": "int64"}
    )


def listed(what: str, most: int) -> fields.List[dict[str, object]]:
    """Field of an answer for several hits."""
    return fields.List(
        fields.Nested(SearchHit), required=True, validate=validate.Length(0, most), metadata={"description": what}
    )


class SearchAnswer(AnswerSchema):
    """What was found, best first; the Pareto front; and, where nothing meets the wishes, what would."""

    magnification = result("magnification", meaning="Magnification that fills the frame exactly.", nullable=False)
    arrangements = counted(
        "Arrangements of the kit's parts that were gone through: front parts times stacks of different length behind them."
    )
    framed = counted("Arrangements that fill the frame.")
    meeting = counted("Set-ups, each an arrangement at one mark, that meet every wish.")
    hits = listed("The best by score.", MOST_HITS)
    pareto = listed(
        "Set-ups that none beats in working distance, resolved detail and light loss at once, best score first.",
        MOST_FRONT,
    )
    relaxations = fields.List(
        fields.Nested(Relaxation),
        required=True,
        validate=validate.Length(0, len(WISHES) + 1),
        metadata={"description": "Where nothing meets all wishes: which to relax, and by how much."},
    )
    purchase = fields.Nested(Purchase)
    kit_revision = kit_revision()
