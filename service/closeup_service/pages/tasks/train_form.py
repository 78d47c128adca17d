"""From the fields of a form to the train of a set-up document, and back from its pointers to the fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, cast

from msgspec import Struct, field
from msgspec.structs import replace

from closeup_service.gear.kit import Face, Kit, Lens, Spacer
from closeup_service.operations.set_up.table.schemas import with_member
from closeup_service.pages.pointers import is_pointer, with_values
from closeup_service.pages.task import Answers, Members, NotReady, Request
from closeup_service.pages.tasks.known_lens import known_lens

if TYPE_CHECKING:
    from closeup_service.records.answers import Solved

CAMERA_NAMES = (
    "register_mm",
    "sensor",
    "sensor_width_mm",
    "sensor_height_mm",
    "pixel_pitch_um",
    "circle_of_confusion_mm",
)
LENS_NAMES = (
    *("focal_length_mm", "pupil_magnification", "front_principal_plane_mm"),
    *("rear_principal_plane_mm", "principal_plane_separation_mm", "front_protrusion_mm"),
)
OF_ANY_LENS = ("reversed", "f_number", "focusing_extension_mm")
WHOLE = (
    "subject_depth_mm",
    "depth_of_field_model",
    "wavelength_nm",
    "sensor_detail_lp_per_mm",
    "subject_detail_lp_per_mm",
)
TARGETS = ("magnification", "subject_width_mm", "working_distance_mm")
BETWEEN = ":"
"""Between a lens's id and that of its setting."""


class Train(Struct):
    """A train as the form describes it, and which field each of its members comes from."""

    members: Members
    elements: list[dict[str, object]] = field(default_factory=list)
    places: dict[str, str] = field(default_factory=dict)
    open_length: str | None = None

    def add(self, kind: str, values: Mapping[str, tuple[str, object]], place: str) -> None:
        """Add an element; `values` are its members with the field that each comes from, `place` the field of the rest."""
        start = f"/train/{len(self.elements)}"
        self.elements.append({"element": kind} | {name: value for name, (_, value) in values.items()})
        self.places[start] = place
        self.places |= {f"{start}/{name}": source for name, (source, _) in values.items()}

    def typed_members(self, names: Mapping[str, str]) -> dict[str, tuple[str, object]]:
        """Members that the form gives: name of the member -> field and value."""
        return {name: (source, self.members[source]) for name, source in names.items() if source in self.members}

    def part(self, source: str, names: Mapping[str, str] | None = None) -> None:
        """Add the part of the kit that a field chooses."""
        use, _, setting = str(self.members[source]).partition(BETWEEN)
        chosen = {"use": (source, use)} | ({"setting": (source, setting)} if setting else {})
        self.add("kit-part", chosen | self.typed_members(names or {}), source)

    def leave_open(self, member: str) -> None:
        """Name the length of the last element as the one to solve for."""
        self.open_length = f"/train/{len(self.elements) - 1}/{member}"


def request(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the whole set-up: the document that was sent, or the parts in their order."""
    del answers
    if "document" in members:
        return request_from_document(members)
    train = Train(members)
    front_part(train)
    lens(train, kit)
    rear_parts(train, kit)
    document: dict[str, object] = {"camera": camera(members), "train": train.elements}
    document |= {name: members[name] for name in WHOLE if name in members}
    target = {name: members[f"target_{name}"] for name in TARGETS if f"target_{name}" in members}
    asked = Request(document, train.places | fixed_places(members))
    if not train.elements:
        raise NotReady("Choose a lens of the kit, or describe one.", "lens", asked)
    if not target:
        return asked
    solve = {"target": target, "unknown": open_length(train, asked, *target)}
    return replace(asked, members={**document, "solve": solve})


def request_from_document(members: Members) -> Request:
    """Ask for the set-up that came as a document, with what its fields hold."""
    typed = {name: value for name, value in members.items() if is_pointer(name)}
    return Request(with_values(members["document"], typed), {name: name for name in typed}, "document")


def order_rings(members: Members, kit: Kit) -> list[str]:
    """Rings and tubes that were ticked, in the order in which they join behind the lens; what joins nothing comes last."""
    waiting = list(cast("Iterable[str]", members.get("part", ())))
    held = kit.by_id.get(str(members.get("lens", "")).partition(BETWEEN)[0])
    face = (held.front if members.get("reversed") else held.rear) if isinstance(held, Lens) else None
    ordered: list[str] = []
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


def open_length(train: Train, asked: Request, target: str, *more: str) -> str:
    """Length to find for the one target that is given; what is `asked` besides is judged all the same."""
    if train.open_length is None:
        raise NotReady(
            "Leave the bellows, or the other tubes, without a length: that length is found.", f"target_{target}", asked
        )
    if more:
        solve = {"target": {target: train.members[f"target_{target}"]}, "unknown": train.open_length}
        one = replace(asked, members={**asked.members, "solve": solve})
        raise NotReady("Give one target at a time.", f"target_{more[0]}", one)
    return train.open_length


def fixed_places(members: Members) -> dict[str, str]:
    """Fields behind what does not depend on the parts."""
    own = "camera" if "camera" in members else "register_mm"
    found = {f"/camera/{name}": name for name in CAMERA_NAMES if name != "register_mm"}
    found |= {"/camera/use": "camera", "/camera/register_mm": own, "/camera": own, "/train": "lens"}
    found |= {f"/solve/target/{name}": f"target_{name}" for name in TARGETS}
    return found | {"/solve": "tube_mm", "/solve/unknown": "tube_mm"}


def solved_length(answers: Answers) -> Solved | None:
    """The length that was found; None where none was open, or none can be told."""
    solved = cast("Solved | None", answers["evaluateSetUp"].get("solved"))
    return None if solved is None or solved["value"] is None else solved


def settle_length(members: Members, answers: Answers, kit: Kit) -> Request:
    """The same set-up with the length that was found in its place, for what takes no open one."""
    built = request(members, answers, kit)
    solved = solved_length(answers)
    document = {name: value for name, value in built.members.items() if name != "solve"}
    return Request(with_member(document, solved["pointer"], solved["value"]) if solved else document)


def camera(members: Members) -> dict[str, object]:
    """Camera of the kit, or what is typed of one."""
    typed = {name: members[name] for name in CAMERA_NAMES if name in members}
    return ({"use": members["camera"]} if "camera" in members else {}) | typed


def front_part(train: Train) -> None:
    """What stands before the lens: an objective or a close-up lens."""
    if "before" in train.members:
        train.part("before")
    typed = train.typed_members({"power_dpt": "close_up_power_dpt", "focal_length_mm": "close_up_focal_length_mm"})
    if typed:
        train.add("close-up-lens", typed, next(iter(typed.values()))[0])


def lens(train: Train, kit: Kit) -> None:
    """The lens, of the kit or typed."""
    if "lens" in train.members:
        train.part("lens", {name: name for name in OF_ANY_LENS})
    names = {name: name for name in LENS_NAMES} | {"register_mm": "lens_register_mm"}
    typed = train.typed_members(names)
    if typed:
        marks = {} if "lens" in train.members else train.typed_members({name: name for name in OF_ANY_LENS})
        known = describe_known(train.members, "reversed" in marks and bool(marks["reversed"][1]), kit)
        said = {name: (known.places[f"/{name}"], value) for name, value in known.members.items()}
        start = f"/train/{len(train.elements)}"
        train.add("lens", typed | marks | said, "focal_length_mm")
        train.places |= {f"{start}{pointer}": name for pointer, name in known.places.items()}
        train.places[f"{start}/register_mm"] = "lens_register_mm"


def describe_known(members: Members, is_reversed: bool, kit: Kit) -> Request:
    """What is known of a typed lens beside its data; a ruler was photographed with this camera."""
    held = kit.cameras_by_id.get(str(members.get("camera")))
    register = members.get("register_mm", None if held is None else held.register_mm)
    return known_lens(members, "reversed" if is_reversed else "normal", register, "register_mm")


def rear_parts(train: Train, kit: Kit) -> None:
    """Rings, tubes, bellows and converter behind the lens; the bellows, or the typed tube, may be left open."""
    solving = any(f"target_{name}" in train.members for name in TARGETS)
    for use in order_rings(train.members, kit):
        train.add("kit-part", {"use": ("part", use)}, "part")
    if "bellows" in train.members:
        train.part("bellows", {"length_mm": "bellows_mm"})
        if solving and "bellows_mm" not in train.members:
            train.leave_open("length_mm")
    if "tube_mm" in train.members or (solving and train.open_length is None):
        train.add("spacer", train.typed_members({"length_mm": "tube_mm"}), "tube_mm")
        if solving and train.open_length is None and "tube_mm" not in train.members:
            train.leave_open("length_mm")
    if "converter" in train.members:
        train.part("converter")
