"""`/v1/set-ups/drawing`: the set-up in side view, and the data beside it."""

from marshmallow import fields, validate

from closeup_service.gear.outlines import KINDS
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS, POINTER_LENGTH, SetUpRequest, SolvedSchema
from closeup_service.schemas.answers import TEXT, OpenSchema
from closeup_service.schemas.drawn import DrawnFields
from closeup_service.schemas.estimated import EstimatedAnswerSchema
from closeup_service.schemas.fields import open_result, result
from closeup_service.schemas.kit import kit_revision
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN


class SetUpDrawingRequest(SetUpRequest, DrawnFields):
    """The set-up document of /v1/set-ups/evaluate, and how wide it is to be drawn."""


class DrawnPart(OpenSchema):
    """One part of the side view, subject first."""

    pointer = fields.String(
        required=True,
        validate=[POINTER_LENGTH, validate.Regexp(r"^/train/[0-9]+$")],
        metadata={"description": "JSON pointer of the part in the document."},
    )
    kind = fields.String(
        required=True, validate=validate.OneOf(KINDS), metadata={"description": "What it is drawn as."}
    )
    name = fields.String(required=True, validate=TEXT, metadata={"description": "Its name in words."})
    settings = fields.String(
        required=True,
        validate=[validate.Length(0, 500), TEXT[1]],
        metadata={"description": "What is set on it, or how it stands, in words; empty where nothing is."},
    )
    start_mm = result("length_mm", meaning="Subject plane to its front joining face.", nullable=False)
    end_mm = result("length_mm", meaning="Subject plane to its rear joining face.", nullable=False)
    length_known = fields.Boolean(
        required=True, metadata={"description": "Whether its length is known, not chosen for the drawing."}
    )
    diameter_mm = result("front_diameter_mm", meaning="Outer diameter as drawn.", nullable=False)
    diameter_known = fields.Boolean(
        required=True, metadata={"description": "Whether the outer diameter is known, not chosen for the drawing."}
    )
    clear_diameter_mm = result("clear_diameter_mm")


class PlacesMembers(EstimatedAnswerSchema):
    """Where everything stands along the axis; null where the document does not determine it.

    Where lens data are estimated, parts, flange, sensor and entrance pupil stand as a lens in the middle of them puts them.
    """

    magnification = open_result("magnification", ESTIMATE_UNKNOWN)
    subject_width_mm = result("subject_width_mm")
    subject_height_mm = result("subject_height_mm")
    working_distance_mm = result("working_distance_mm")
    clearance_mm = result("clearance_mm")
    rig_length_mm = result("rig_length_mm")
    subject_to_sensor_mm = result("subject_to_sensor_mm")
    flange_mm = result("length_mm", meaning="Subject plane to the camera's flange, as drawn.", nullable=False)
    sensor_mm = result("length_mm", meaning="Subject plane to the sensor, as drawn.", nullable=False)
    entrance_pupil_mm = result(
        "length_mm", meaning="Subject plane to the entrance pupil; null where it is not determined, or at infinity."
    )
    entrance_pupil_diameter_mm = result("clear_diameter_mm", meaning="Diameter of the entrance pupil.")
    parts = fields.List(
        fields.Nested(DrawnPart),
        required=True,
        validate=validate.Length(1, MOST_ELEMENTS),
        metadata={"description": "The parts, subject first."},
    )
    solved = fields.Nested(SolvedSchema)
    kit_revision = kit_revision(required=False)


class SetUpDrawingAnswer(PlacesMembers):
    """The data beside the drawing of a set-up."""

    scale_broken = fields.Boolean(
        required=True, metadata={"description": "Whether a piece of the way to the subject is left out of the drawing."}
    )
