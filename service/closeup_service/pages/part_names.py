"""What people call the parts of a set-up: “the lens of 28 mm” instead of its place in the request."""

from collections.abc import Mapping, Sequence

from closeup_service.advice.figures import decimal
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.pages.asking import Members
from closeup_service.pages.task import number_of, value_at
from closeup_service.schemas.describing import choice_words

KINDS: Mapping[str, str] = {"spacer": mark("tube or ring"), "kit-part": mark("part of the kit")}
TRAIN, KIND, OF_KIT = "train", "element", "use"
LENGTHS = ("focal_length_mm", "length_mm")


def name_parts_with(members: Members, kit: Kit) -> Sequence[str]:
    """Name of each part of a set-up in a request; a part of the kit is called as there, not by its id."""
    train = value_at(members, TRAIN)
    held = train if isinstance(train, list | tuple) else ()
    return name_parts({TRAIN: [with_name(each, kit) for each in held]})


def with_name(element: object, kit: Kit) -> object:
    """Element of a train with the name of a part of the kit in place of its id."""
    part = kit.by_id.get(str(element[OF_KIT])) if isinstance(element, Mapping) and OF_KIT in element else None
    return element if part is None else {OF_KIT: part.name}


def name_parts(members: Members) -> Sequence[str]:
    """Name of each part of a set-up in a request; none where the request holds no set-up."""
    train = value_at(members, TRAIN)
    held = train if isinstance(train, list | tuple) else ()
    return tuple(name_part(each) if isinstance(each, Mapping) else tr("the part") for each in held)


def name_part(element: Members) -> str:
    """Name of one part."""
    if OF_KIT in element:
        return tr("“{id}”", id=value_at(element, OF_KIT))
    kind = str(value_at(element, KIND) or "part")
    words = tr(KINDS[kind]) if kind in KINDS else choice_words(kind)
    lengths = [number_of(element, name) for name in LENGTHS if name in element]
    if not lengths or lengths[0] is None:
        return tr("the {part}", part=words)
    return tr("the {part} of {length} mm", part=words, length=decimal(lengths[0]))
