"""`/v1/ring-chains`: which rings join one thread or mount to another, and how long the chain is."""

from collections.abc import Mapping

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.gear.ring_chains import MOST_PARTS
from closeup_service.language import tr
from closeup_service.schemas.answers import TEXT, AnswerSchema, OpenSchema
from closeup_service.schemas.fields import RequestSchema, Text, Whole, quantity, result
from closeup_service.schemas.kit import FACE, GENDERS, SIDES, KitField, is_one_face, kit_revision
from closeup_service.schemas.kit_fields import Reference

MOST_CHAINS = 50
INFINITY_FOCUS = ("kept", "too-long", "too-short")
MOUNT = "by its id in /v1/catalogue/mounts or among the kit's own"


class RingChainsRequest(RequestSchema):
    """The two ends: each a thread with its gender, or a mount with its side."""

    from_thread = Reference("Thread at the start, by its id in /v1/catalogue/threads.")
    from_gender = Text(GENDERS, metadata={"description": "Gender of that thread: a lens's filter thread is internal."})
    from_mount = Reference(f"Mount at the start, {MOUNT}.")
    from_side = Text(SIDES, metadata={"description": "Side of that mount: as on a lens, or as on a camera body."})
    to_thread = Reference("Thread at the end, by its id in /v1/catalogue/threads.")
    to_gender = Text(GENDERS, metadata={"description": "Gender of that thread."})
    to_mount = Reference(f"Mount at the end, {MOUNT}.")
    to_side = Text(SIDES, metadata={"description": "Side of that mount: as on a lens, or as on a camera body."})
    front_diameter_mm = quantity("front_diameter_mm")
    most = Whole(1, MOST_CHAINS, "How many chains to list at most; assumed 5.")
    kit = KitField()

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_two_ends(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """Each end is stated once, and whole."""
        del data, kwargs
        faults: dict[str, list[str]] = {}
        for end in ("from", "to"):
            if not is_one_face(original, f"{end}_"):
                text = tr("Give {end}_thread with {end}_gender, or {end}_mount with {end}_side.", end=end)
                given = [name for name in (f"{end}_{part}" for part in FACE) if name in original]
                faults |= {name: [text] for name in given or (f"{end}_thread", f"{end}_mount")}
        if faults:
            raise ValidationError(faults)


def names(what: str) -> fields.List[str]:
    """Field of an answer for rings by their names."""
    return fields.List(
        fields.String(validate=TEXT),
        required=True,
        validate=validate.Length(0, MOST_PARTS),
        metadata={"description": what},
    )


class RingChain(OpenSchema):
    """One chain, from the start to the end."""

    rings = names("The rings in order: ids of the kit, and descriptions of rings of standard sizes.")
    buy = names("Those of them that must be bought.")
    extension_mm = result(
        "extension_mm", meaning="Total thickness; null where that of a ring to be bought is not known, see assumed."
    )
    steps_below = fields.Integer(
        required=True,
        validate=validate.Range(0, MOST_PARTS),
        metadata={"description": "Threads on the way below the lens's own.", "format": "int32"},
    )
    narrowest_mm = result(
        "clear_diameter_mm", meaning="Narrowest opening: a clear diameter, or a thread where none is known."
    )
    infinity_focus = fields.String(
        required=True,
        allow_none=True,
        validate=validate.OneOf((*INFINITY_FOCUS, None)),
        metadata={"description": "Whether a lens keeps infinity focus; null but between a lens's and a body's mount."},
    )


class RingChainsAnswer(AnswerSchema):
    """The chains that join the two ends, best first; none where nothing does."""

    chains = fields.List(
        fields.Nested(RingChain),
        required=True,
        validate=validate.Length(0, MOST_CHAINS),
        metadata={"description": "Fewest parts first, then without steps below the lens's own thread, then shortest."},
    )
    infinity_extension_mm = result(
        "length_mm",
        meaning="Thickness that keeps infinity focus: register of the lens's mount less the camera's; null between other ends.",
    )
    kit_revision = kit_revision()
