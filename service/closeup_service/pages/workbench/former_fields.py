"""Addresses of the first release, with a field for each place of a part: they become parts; what counted for nothing stays."""

from collections.abc import Iterable, Iterator

from closeup_service.gear.kit import Face, Kit, Lens, Spacer
from closeup_service.operations.set_up.evaluate.schemas import TARGETS
from closeup_service.pages.task import Typed
from closeup_service.pages.tasks.known_lens import FRAME_FIELDS, KNOWN
from closeup_service.pages.workbench.bench import CHOSEN, Part, Texts
from closeup_service.pages.workbench.kinds import BETWEEN, TYPED

LENS_DATA = {
    "focal_length_mm": "focal_length_mm",
    "pupil_magnification": "pupil_magnification",
    "front_principal_plane_mm": "front_principal_plane_mm",
    "rear_principal_plane_mm": "rear_principal_plane_mm",
    "principal_plane_separation_mm": "principal_plane_separation_mm",
    "front_protrusion_mm": "front_protrusion_mm",
    "lens_register_mm": "register_mm",
}
"""Fields that made a lens, and its members."""
OF_ANY_LENS = ("reversed", "f_number", "focusing_extension_mm")
OF_A_TYPED_LENS = (*KNOWN, *FRAME_FIELDS.values())
CLOSE_UP = {"close_up_power_dpt": "power_dpt", "close_up_focal_length_mm": "focal_length_mm"}
FORMER_MEMBERS = {**LENS_DATA, **CLOSE_UP, "bellows_mm": "length_mm", "tube_mm": "length_mm"}
FORMER = (
    *("before", *CLOSE_UP, "lens", *LENS_DATA, *OF_ANY_LENS, *OF_A_TYPED_LENS),
    *("part", "bellows", "bellows_mm", "tube_mm", "converter"),
)
"""Every field of the first release that described parts."""


def parts_of(typed: dict[str, Texts], kit: Kit) -> list[Part]:
    """Take the fields of the first release out of what was typed and make the parts of them that it made."""
    return [*front(typed), *lenses(typed, kit), *rear(typed)]


def take(typed: dict[str, Texts], names: dict[str, str]) -> Part:
    """Take these fields out, under the names of their members."""
    return {member: typed.pop(name) for name, member in names.items() if name in typed}


def front(typed: dict[str, Texts]) -> Iterator[Part]:
    """What stood before the lens."""
    if "before" in typed:
        yield {CHOSEN: typed.pop("before")}
    close_up = take(typed, CLOSE_UP)
    if close_up:
        yield {CHOSEN: (f"{TYPED}close-up-lens",)} | close_up


def lenses(typed: dict[str, Texts], kit: Kit) -> Iterator[Part]:
    """Return the lens of the kit, the typed one, and the rings that join behind the first of them."""
    held = typed.get("lens", ())
    turned = bool(typed.get("reversed"))
    if held:
        yield {CHOSEN: typed.pop("lens")} | take(typed, {name: name for name in OF_ANY_LENS})
    if any(name in typed for name in LENS_DATA):
        marks = {} if held else take(typed, {name: name for name in OF_ANY_LENS})
        known = take(typed, {name: name for name in OF_A_TYPED_LENS})
        yield {CHOSEN: (f"{TYPED}lens",)} | take(typed, LENS_DATA) | marks | known
    for use in order_rings(typed.pop("part", ()), "".join(held), turned, kit):
        yield {CHOSEN: (use,)}


def order_rings(uses: Iterable[str], lens: str, turned: bool, kit: Kit) -> list[str]:
    """Rings and tubes in the order in which they join behind the lens; what joins nothing comes last."""
    waiting, ordered = list(uses), []
    held = kit.by_id.get(lens.partition(BETWEEN)[0])
    face = (held.front if turned else held.rear) if isinstance(held, Lens) else None
    while face is not None:
        joined = next(((use, ends) for use in waiting for ends in ends_of(kit, use) if face.joins(ends[0])), None)
        if joined is None:
            break
        ordered.append(joined[0])
        waiting.remove(joined[0])
        face = joined[1][1]
    return ordered + waiting


def ends_of(kit: Kit, use: str) -> tuple[tuple[Face, Face], ...]:
    """Both ways to take a ring or tube: the face that is taken, and the one that is left."""
    part = kit.by_id.get(use)
    return ((part.front, part.rear), (part.rear, part.front)) if isinstance(part, Spacer) else ()


def rear(typed: dict[str, Texts]) -> Iterator[Part]:
    """Bellows, typed tubes and a converter; a tube was left open where a target was given and nothing else was open."""
    is_open = any(f"target_{name}" in typed for name in TARGETS)
    if "bellows" in typed:
        is_open = is_open and "bellows_mm" in typed
        yield {CHOSEN: typed.pop("bellows")} | take(typed, {"bellows_mm": "length_mm"})
    if is_open or "tube_mm" in typed:
        yield {CHOSEN: (f"{TYPED}spacer",)} | take(typed, {"tube_mm": "length_mm"})
    if "converter" in typed:
        yield {CHOSEN: typed.pop("converter")}


def is_former(typed: Typed) -> bool:
    """Whether an address is one of the first release that described parts."""
    return any(name in FORMER for name in typed)
