"""What can stand on the bench: parts of the kit and parts that are typed in, and which of their data are asked for."""

from collections.abc import Mapping

from marshmallow import fields
from msgspec import Struct

from closeup_service.gear.kit import Bellows, Kit, Lens, TrainPart
from closeup_service.language import mark, tr
from closeup_service.pages.tasks.known_lens import FRAME_FIELDS, KNOWN
from closeup_service.schemas.fields import AnyField, Flag, Number, Whole
from closeup_service.schemas.train import ELEMENTS

TYPED = "typed_"
"""Before the kind of a part that is typed in; no id of a kit holds such a sign."""
KIT_PART = "kit-part"
BETWEEN = ":"
"""Between a lens's id and that of its setting."""
NEVER = ELEMENT, USE, SETTING = ("element", "use", "setting")
"""What a part is, not what is said of it."""


class Kind(Struct, frozen=True):
    """A kind of part: its element in a document, its name, and the members that are asked for, first and folded."""

    element: str
    words: str
    asked: tuple[str, ...] = ()
    folded: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """Its name in the language that is spoken; a part of the kit is called as there."""
        return self.words if self.element == KIT_PART else tr(self.words)

    @property
    def turns(self) -> bool:
        """Whether it can stand reversed."""
        return "reversed" in self.asked

    @property
    def lengths(self) -> tuple[str, ...]:
        """Lengths that can be found for a target."""
        return tuple(name for name in (*self.asked, *self.folded) if name in ("length_mm", "focusing_extension_mm"))


LENS_DATA = (
    *("front_principal_plane_mm", "register_mm", "pupil_magnification", "principal_plane_separation_mm"),
    *("rear_principal_plane_mm", "front_protrusion_mm", "focusing_extension_mm"),
)
KINDS: Mapping[str, Kind] = {
    each.element: each
    for each in (
        Kind(
            "lens",
            mark("lens"),
            ("focal_length_mm", "f_number", "reversed"),
            (*LENS_DATA, *KNOWN, *FRAME_FIELDS.values()),
        ),
        Kind("spacer", mark("tube, ring or bellows"), ("length_mm",)),
        Kind("close-up-lens", mark("close-up lens"), ("power_dpt", "focal_length_mm")),
        Kind("teleconverter", mark("converter"), ("factor", "added_length_mm"), ("focal_length_mm", "register_mm")),
        Kind(
            "objective",
            mark("microscope objective"),
            ("magnification", "numerical_aperture", "tube_lens_focal_length_mm", "tube_length_mm"),
            ("working_distance_mm", "focal_length_mm"),
        ),
    )
}
"""Kinds that are typed in, by their elements."""
USUAL = f"{TYPED}lens"
"""What stands on an empty bench."""


def kind_of(chosen: str, kit: Kit) -> Kind | None:
    """Kind of what was chosen; None where there is no such thing."""
    if chosen.startswith(TYPED):
        return KINDS.get(chosen.removeprefix(TYPED))
    part = part_of_kit(chosen, kit)
    return None if part is None else kind_of_kit_part(part)


def part_of_kit(chosen: str, kit: Kit) -> TrainPart | None:
    """Part of the kit that was chosen, at whatever setting."""
    return kit.by_id.get(chosen.partition(BETWEEN)[0])


def kind_of_kit_part(part: TrainPart) -> Kind:
    """What is asked of the use of a part of the kit."""
    if isinstance(part, Lens):
        return Kind(KIT_PART, part.name, ("f_number", "reversed"), ("focusing_extension_mm",))
    return Kind(KIT_PART, part.name, ("length_mm",) if isinstance(part, Bellows) else ())


def element_of(chosen: str) -> str:
    """Element of a document that a choice becomes."""
    return chosen.removeprefix(TYPED) if chosen.startswith(TYPED) else KIT_PART


def find_field(element: str, member: str) -> AnyField | None:
    """Field of a member that is one thing to type or to choose; where the element has none, that of another one."""
    known = ELEMENTS.get(element, ELEMENTS[KIT_PART])
    for schema in (known, *ELEMENTS.values()):
        found = schema.fields.get(member)
        if found is not None and member not in NEVER and isinstance(found, Number | Whole | Flag | fields.String):
            return found
    return None
