"""The request of `/v1/exposure`, in which each frame may be taken with a whole set-up."""

from collections.abc import Mapping

from marshmallow import ValidationError, fields, validates_schema

from closeup_service.language import mark, tr
from closeup_service.operations.light.exposure.frame_schemas import ONE_LENS, PlannedSchema
from closeup_service.operations.light.exposure.same_mark import is_any_mark
from closeup_service.operations.light.exposure.schemas import ExposureFields, Faults, lens_faults, members_of
from closeup_service.operations.set_up.evaluate.schemas import SetUpRequest
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.kit import KitField
from closeup_service.schemas.known_lens import EstimatedLensFields
from closeup_service.schemas.surroundings import SurroundingsFields

LENS_MEMBERS = ("effective_f_number", *ONE_LENS)
SET_UP_OR_LENS = mark("Give the set-up, or the lens, not both.")


class FrameSetUp(SetUpRequest):
    """A set-up that a frame is taken with."""

    class Meta(SetUpRequest.Meta):
        """Only what bears on the light; a set-up's own exposure has no place here."""

        exclude = ("exposure", "clear_opening", "estimate_unknown", "kit", *declared_fields(SurroundingsFields))


class ExposureRequest(SurroundingsFields, ExposureFields, EstimatedLensFields):
    """A frame that was right, what changes in the next, and which setting is to be found."""

    planned = fields.Nested(PlannedSchema)
    reference_set_up = fields.Nested(FrameSetUp)
    planned_set_up = fields.Nested(FrameSetUp)
    kit = KitField()

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def aperture_of_each_frame(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """Each frame has one statement of its aperture; the planned lens differs from the reference's as it says."""
        del kwargs
        if not all(isinstance(original.get(name, {}), Mapping) for name in ("reference", "planned")):
            return
        if "reference" not in original:
            return
        open_mark = ("f_number",) if data.get("unknown") == "f_number" or is_any_mark(original) else ()
        faults: Faults = {}
        for frame, lens, open_members in (
            ("reference", members_of(original, "reference"), open_mark if is_any_mark(original) else ()),
            ("planned", planned_lens(original), open_mark),
        ):
            wrong = frame_faults(original, frame, lens, open_members)
            if wrong and not (faults and not members_of(original, "planned")):
                faults[frame] = wrong
        if faults:
            raise ValidationError(faults)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_what_a_table_needs(
        self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A table wants a lens, or a set-up with an open length; a mark to find wants one too."""
        del data, kwargs
        set_up = planned_set_up(original)
        stated = "effective_f_number" in planned_lens(original)
        faults: Faults = {}
        if "magnifications" in original and set_up is not None and "solve" not in set_up:
            faults["planned_set_up"] = {"solve": [tr("Needed with magnifications: which length changes for them.")]}
        elif "magnifications" in original and set_up is None and stated:
            faults["magnifications"] = [tr("An effective f-number says nothing of the lens: give its mark and pupils.")]
        if original.get("unknown") == "f_number" and set_up is None and stated:
            faults["unknown"] = [
                tr("An effective f-number has no mark to set: give magnification and pupils of the lens.")
            ]
        if faults:
            raise ValidationError(faults)


def planned_set_up(original: Mapping[str, object]) -> Mapping[str, object] | None:
    """Set-up of the planned frame as it was sent: its own, or the reference's where the plan states no lens."""
    states_lens = any(name in members_of(original, "planned") for name in LENS_MEMBERS)
    name = "planned_set_up" if "planned_set_up" in original or states_lens else "reference_set_up"
    sent = original.get(name)
    return sent if isinstance(sent, Mapping) else None


def planned_lens(original: Mapping[str, object]) -> dict[str, object]:
    """Lens of the planned frame as it was sent: the reference's, with what the plan changes."""
    reference, planned = (
        {name: value for name, value in members_of(original, frame).items() if name in LENS_MEMBERS}
        for frame in ("reference", "planned")
    )
    if "effective_f_number" in planned or ("effective_f_number" in reference and planned):
        return planned
    return {**reference, **planned}


def frame_faults(
    original: Mapping[str, object], frame: str, lens: Mapping[str, object], but: tuple[str, ...]
) -> Faults:
    """What is wrong with the aperture of a frame: nothing stated, or a lens beside a set-up."""
    own = [name for name in LENS_MEMBERS if name in members_of(original, frame)]
    if f"{frame}_set_up" in original:
        return {name: [SET_UP_OR_LENS] for name in own}
    if frame == "planned" and planned_set_up(original) is not None:
        return {}
    return lens_faults(lens, but)
