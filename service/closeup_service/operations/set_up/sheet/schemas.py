"""`/v1/set-ups/sheet`: everything about a set-up on one printable side."""

from collections.abc import Mapping
from typing import ClassVar

from marshmallow import fields, post_load, validate

from closeup_service.operations.light.exposure.schemas import ExposureMembers
from closeup_service.operations.set_up.depth_of_field.schemas import DepthSchema
from closeup_service.operations.set_up.drawing.schemas import PlacesMembers
from closeup_service.operations.set_up.evaluate.schemas import MOST_STACK_FRAMES, SetUpRequest
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas.answers import TEXT
from closeup_service.schemas.fields import Loaded, result
from closeup_service.schemas.kit_fields import Words

SENT = "sent"
"""Under this name a loaded request holds what was sent, the kit aside."""
LONGEST_LINK = 6000


class SheetRequest(SetUpRequest):
    """The set-up document of /v1/set-ups/evaluate, and what stands above the sheet."""

    loaded: ClassVar[Loaded] = {SENT: "Mapping[str, object]"}

    heading = Words(80, "What stands above the sheet; assumed the set-up in a few words.")

    @post_load(pass_original=True)
    def keep_what_was_sent(
        self, data: dict[str, object], original: Mapping[str, object], **kwargs: object
    ) -> dict[str, object]:
        """Keep what was sent, for the link that asks for the same again."""
        del kwargs
        return {**data, SENT: {name: value for name, value in original.items() if name != "kit"}}


class SheetAnswer(PlacesMembers):
    """What the sheet tells; the sheet itself is the same answer as text/html."""

    heading = fields.String(required=True, validate=TEXT, metadata={"description": "What stands above the sheet."})
    effective_f_number = result("effective_f_number")
    light_loss_stops = result("light_loss_stops")
    optimum_f_number = result("optimum_f_number")
    depth_of_field = fields.Nested(DepthSchema, required=True)
    stack_frames = fields.Integer(
        required=True,
        allow_none=True,
        validate=validate.Range(1, MOST_STACK_FRAMES),
        metadata={"description": VOCABULARY["stack_frames"].meaning, "format": "int64"},
    )
    stack_step_mm = result("stack_step_mm")
    exposure = fields.Nested(ExposureMembers)
    link = fields.String(
        required=True,
        allow_none=True,
        validate=[validate.Length(1, LONGEST_LINK), validate.Regexp(r"^/[!-~]*$")],
        metadata={
            "description": "Address, from the service's own, that asks for this sheet again; null where it would be too long, "
            "or a kit was sent with the request.",
        },
    )
