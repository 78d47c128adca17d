"""The cards of a bench: for each part its fields, its sliders, and what it may be exchanged for."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from closeup_service.gear.kit import Bellows, Kit, Lens, Part
from closeup_service.language import mark, tr
from closeup_service.operations.asking import strict_json
from closeup_service.optics.aperture_series import USUAL_SERIES, Mark, marks_of_ring
from closeup_service.pages.task import Choice, Input
from closeup_service.pages.tasks.common import yes_or_no
from closeup_service.pages.tasks.known_lens import CLASSES, RULER_FIELDS
from closeup_service.pages.workbench.bench import CHOSEN, Texts, choice_of, name_of
from closeup_service.pages.workbench.kinds import (
    BETWEEN,
    KINDS,
    KIT_PART,
    TYPED,
    Kind,
    element_of,
    find_field,
    kind_of,
    part_of_kit,
)
from closeup_service.pages.workbench.laid_out import Card, Shelf, Slide
from closeup_service.schemas.describing import label
from closeup_service.schemas.fields import Flag, declared_fields
from closeup_service.schemas.train import KitPartSchema

MORE = "more"
"""Member that holds what was stated of a part and has no field."""
USE = declared_fields(KitPartSchema)["use"]
USUAL_MARKS = marks_of_ring(USUAL_SERIES, 1.4, 32)
TUBE_TO_MM = 200.0
"""How far the slider of a tube goes whose length is typed."""
WORDS: Mapping[tuple[str, str], tuple[str, str]] = {
    ("spacer", "length_mm"): (
        mark("length"),
        mark("Of all rings and tubes here, added up. Leave it blank to find the length for a target."),
    ),
    (KIT_PART, "length_mm"): (
        mark("drawn out to"),
        mark("Between its two faces. Leave it blank to find the length for a target."),
    ),
    ("lens", "register_mm"): (mark("lens register"), mark("Of the mount that the lens was made for.")),
    ("close-up-lens", "power_dpt"): (mark("power"), ""),
    ("close-up-lens", "focal_length_mm"): (mark("or focal length"), mark("Of the close-up lens.")),
    ("lens", "pupil_magnification"): (mark("pupil magnification"), mark("Exit pupil over entrance pupil.")),
    ("lens", "barrel_length_mm"): (mark("length of the barrel"), ""),
    ("lens", "entrance_pupil_depth_mm"): (mark("depth of the iris"), ""),
    ("lens", "entrance_pupil_diameter_mm"): (mark("pupil from the front"), ""),
    ("lens", "exit_pupil_diameter_mm"): (mark("pupil from the rear"), ""),
    ("lens", "lens_class"): (
        mark("lens class"),
        mark("Assumed from the register, and whether the lens zooms, if not given."),
    ),
}
"""Label and hint of a field, where those of the vocabulary do not say enough."""
REVERSED = (mark("reversed"), mark("The front of the lens faces the camera."))
KEPT = mark("kept from the document: {names}")
RULERS = {each.name: each for each in RULER_FIELDS}


def cards(parts: Sequence[Mapping[str, Texts]], kit: Kit) -> tuple[Card, ...]:
    """Every part as a card."""
    return tuple(card(number, part, kit) for number, part in enumerate(parts, 1))


def card(number: int, part: Mapping[str, Texts], kit: Kit) -> Card:
    """One part with the fields of its kind, and with any other that was given."""
    chosen = choice_of(part)
    kind = kind_of(chosen, kit) or Kind(element_of(chosen) if chosen else KIT_PART, chosen or tr("part"))
    known = (CHOSEN, MORE, *kind.asked, *kind.folded)
    others = [member for member in part if member not in known and find_field(kind.element, member)]
    return Card(
        number=number,
        title=kind.title,
        chosen=chosen,
        chooser=Input(name_of(number), "use", USE, mark("part"), own_choices=flat_shelf),
        asked=tuple(
            limit_to_part(each, part_of_kit(chosen, kit)) for each in fields_of(number, kind.element, kind.asked)
        ),
        folded=tuple(fields_of(number, kind.element, (*kind.folded, *others))),
        kept=kept_inputs(name_of(number, MORE), part.get(MORE, ())),
        slides=dict(slides(number, chosen, kind, kit)),
        turns=kind.turns,
        is_reversed=part.get("reversed", ("no",))[0] not in ("no", "false", "off"),
    )


def limit_to_part(asked: Input, part: object) -> Input:
    """Field of a part of the kit, with the range that the part has."""
    if isinstance(part, Bellows) and asked.member == "length_mm":
        return replace(asked, own_range=(part.minimum_length_mm, part.maximum_length_mm))
    return asked


def kept_inputs(name: str, texts: Texts) -> tuple[Input, ...]:
    """Field of what a document states and no other field holds; none where that is nothing."""
    return tuple(Input(name, MORE, USE, kept_words(text), is_document=True) for text in texts[:1])


def kept_words(text: str) -> str:
    """Say what is kept."""
    try:
        kept = strict_json.loads(text.encode("utf-8", "surrogatepass"))
    except ValueError:
        kept = {}
    names = ", ".join(map(label, kept)) if isinstance(kept, Mapping) else ""
    return tr(KEPT, names=names or "?")


def fields_of(number: int, element: str, members: Sequence[str]) -> Iterator[Input]:
    """Fields for these members of a part."""
    for member in members:
        own = RULERS.get(member)
        field = find_field(element, member)
        if own is not None:
            yield replace(own, name=name_of(number, member))
        elif field is not None:
            words, hint = REVERSED if member == "reversed" else WORDS.get((element, member), (label(member), ""))
            choices = CLASSES if member == "lens_class" else None
            if isinstance(field, Flag) and member != "reversed":
                yield Input(name_of(number, member), member, field, words, hint, yes_or_no)
            else:
                yield Input(name_of(number, member), member, field, words, hint, choices)


def slides(number: int, chosen: str, kind: Kind, kit: Kit) -> Iterator[tuple[str, Slide]]:
    """Sliders of a part: how far bellows are drawn out, and the marks of an aperture ring."""
    part = part_of_kit(chosen, kit)
    if isinstance(part, Bellows):
        yield name_of(number, "length_mm"), Slide(part.minimum_length_mm, part.maximum_length_mm)
    elif kind is KINDS["spacer"]:
        yield name_of(number, "length_mm"), Slide(0.0, TUBE_TO_MM)
    if "f_number" in kind.asked:
        yield name_of(number, "f_number"), Slide(marks=tuple(mark.nominal for mark in marks_on(part, chosen)))


def marks_on(part: object, chosen: str) -> tuple[Mark, ...]:
    """Marks of the ring of a lens of the kit, else the usual ones."""
    if not isinstance(part, Lens):
        return USUAL_MARKS
    setting = part.setting(chosen.partition(BETWEEN)[2]) or part.settings[0]
    return setting.marks or USUAL_MARKS


def shelves(kit: Kit) -> tuple[Shelf, ...]:
    """Everything that can be put on the bench, by sorts: what is typed in first."""
    typed = tuple(Choice(f"{TYPED}{kind.element}", tr("{part}, typed in", part=kind.title)) for kind in KINDS.values())
    of_kit = (
        (tr("Lenses of the kit"), lenses(kit)),
        (tr("Rings and tubes of the kit"), part_choices((*kit.rings, *kit.tubes))),
        (tr("Bellows of the kit"), part_choices(kit.bellows)),
        (tr("Close-up lenses of the kit"), part_choices(kit.close_up_lenses)),
        (tr("Converters of the kit"), part_choices(kit.converters)),
        (tr("Objectives of the kit"), part_choices(kit.objectives)),
    )
    return (
        Shelf(tr("Typed in"), typed),
        *(Shelf(title, tuple(choices)) for title, choices in of_kit if choices),
    )


def flat_shelf(kit: Kit) -> list[Choice]:
    """Everything that can be put on the bench."""
    return [choice for shelf in shelves(kit) for choice in shelf.choices]


def part_choices(parts: Sequence[Part]) -> list[Choice]:
    """Parts of the kit that can be used."""
    return [
        Choice(part.id, part.name if part.available else tr("{name} (not at hand)", name=part.name))
        for part in parts
        if part.owned
    ]


def lenses(kit: Kit) -> list[Choice]:
    """Lenses of the kit, at each of their settings."""
    return [
        Choice(
            f"{each.id}{BETWEEN}{setting.id}" if len(each.settings) > 1 else each.id,
            f"{each.name}, {setting.id}" if len(each.settings) > 1 else each.name,
        )
        for each in kit.lenses
        if each.owned
        for setting in each.settings
    ]


def length_choices(parts: Sequence[Mapping[str, Texts]], kit: Kit) -> tuple[Choice, ...]:
    """Lengths that can be found for a target."""
    found = []
    for number, part in enumerate(parts, 1):
        kind = kind_of(choice_of(part), kit)
        if kind is not None:
            found += [Choice(name_of(number, each), length_words(number, kind, each)) for each in kind.lengths]
    return tuple(found)


def length_words(number: int, kind: Kind, member: str) -> str:
    """Words for one length of a part."""
    words = tr("length") if member == "length_mm" else label(member)
    return f"{number}. {kind.title}: {words}"
