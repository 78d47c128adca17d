"""From the fields of a bench to the set-up document, and back from its pointers to the fields."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from msgspec import Struct, field
from msgspec.structs import replace

from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.operations.set_up.evaluate.schemas import TARGETS, CameraSchema, SetUpRequest
from closeup_service.operations.set_up.table.schemas import with_member
from closeup_service.pages.task import Answers, Members, NotReady, Request
from closeup_service.pages.tasks.known_lens import ESTIMATE, FRAME_FIELDS, KNOWN, known_lens
from closeup_service.pages.workbench.bench import CHOSEN, FIND, name_of, place_in
from closeup_service.pages.workbench.cards import MORE
from closeup_service.pages.workbench.documents import LIMITS
from closeup_service.pages.workbench.kinds import BETWEEN, KIT_PART, Kind, element_of, kind_of
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN

if TYPE_CHECKING:
    from closeup_service.records.answers import Solved

CAMERA_NAMES = tuple(name for name in declared_fields(CameraSchema) if name != "use")
NOT_OF_THE_WHOLE = ("camera", "train", "solve", "exposure", "clear_opening", "kit", "show_steps", ESTIMATE_UNKNOWN)
OF_THE_WHOLE = tuple(name for name in declared_fields(SetUpRequest) if name not in NOT_OF_THE_WHOLE)
"""Members of a set-up that are one thing to type."""
COUNT_IF_ESTIMATED = (*KNOWN, *FRAME_FIELDS.values())
REGISTER, CAMERA = "register_mm", "camera"
NO_PART = mark("Choose a lens of the kit, or describe one.")
NO_CHOICE = mark("Choose what this part is.")
TWICE = mark("What was kept from the document states this too. Leave one of them out.")
BLANK_LENGTH = mark("Give this length, or give a target below: then it is calculated.")
NOTHING_BLANK = mark("Leave the bellows, or a tube, without a length: that length is found.")
SEVERAL_BLANK = mark("Several lengths are blank: give all but one, or choose which is to be found.")
NO_SUCH_LENGTH = mark("Choose one of the lengths of the list.")
ONE_TARGET = mark("Give one target at a time.")


class Train(Struct):
    """A train as the bench describes it, and which field each of its members comes from."""

    members: Members
    kit: Kit
    elements: list[dict[str, object]] = field(default_factory=list)
    places: dict[str, str] = field(default_factory=dict)
    open_lengths: dict[str, str] = field(default_factory=dict)
    """Pointers of lengths that are blank, and the field of each."""
    twice: list[str] = field(default_factory=list)
    """Fields that state what was kept from the document too."""

    def add(self, number: int, part: Members) -> None:
        """Add one part."""
        chosen = str(part.get(CHOSEN, ""))
        start = f"/train/{len(self.elements)}"
        said = self.list_said(number, part, start)
        kept = cast("Members", part.get(MORE, {}))
        self.twice += [name_of(number, name) for name in kept if name in said]
        self.places |= {f"{start}/{name}": name_of(number, MORE) for name in kept}
        self.places |= {f"{start}/{name}": name_of(number, name) for name in part if name not in (CHOSEN, MORE)}
        self.places |= {start: name_of(number), f"{start}/use": name_of(number), f"{start}/setting": name_of(number)}
        self.elements.append({"element": element_of(chosen), **chosen_members(chosen), **kept, **said})
        self.note_open(number, start, self.elements[-1], kind_of(chosen, self.kit))

    def list_said(self, number: int, part: Members, start: str) -> dict[str, object]:
        """What the fields of a part say."""
        said = {name: value for name, value in part.items() if name not in (CHOSEN, MORE)}
        if element_of(str(part.get(CHOSEN, ""))) != "lens":
            return said
        known = describe_known(part, self.members, self.kit)
        self.places |= {f"{start}{pointer}": place_of(number, name) for pointer, name in known.places.items()}
        return {name: value for name, value in said.items() if name not in COUNT_IF_ESTIMATED} | {**known.members}

    def note_open(self, number: int, start: str, element: Members, kind: Kind | None) -> None:
        """Note a length that is blank."""
        if kind is not None and "length_mm" in kind.asked and "length_mm" not in element:
            self.open_lengths[f"{start}/length_mm"] = name_of(number, "length_mm")


def chosen_members(chosen: str) -> dict[str, object]:
    """Members that say which part of the kit it is."""
    if element_of(chosen) != KIT_PART:
        return {}
    use, _, setting = chosen.partition(BETWEEN)
    return {"use": use, "setting": setting} if setting else {"use": use}


def describe_known(part: Members, members: Members, kit: Kit) -> Request:
    """What is known of a typed lens beside its data; a ruler was photographed with this camera."""
    held = kit.cameras_by_id.get(str(members.get(CAMERA)))
    register = members.get(REGISTER, None if held is None else held.register_mm)
    mounting = "reversed" if part.get("reversed") else "normal"
    return known_lens({**part, ESTIMATE: members.get(ESTIMATE)}, mounting, register, REGISTER)


def place_of(number: int, name: str) -> str:
    """Field behind what is known of a lens: the camera's, or one of the part."""
    return REGISTER if name == REGISTER else name_of(number, name)


def request(members: Members, answers: Answers, kit: Kit) -> Request:
    """Ask for the whole set-up: the document that was sent, or the parts in their order."""
    del answers
    if "document" in members:
        return Request(cast("Members", members["document"]), {}, "document")
    train = Train(members, kit)
    for number, part in sort_parts(members).items():
        train.add(number, part)
    kept = cast("dict[str, object]", members.get(MORE, {}))
    document = {**kept, CAMERA: camera(members, kept), "train": train.elements}
    document |= {name: members[name] for name in OF_THE_WHOLE if name in members}
    if members.get(ESTIMATE) is False:
        document[ESTIMATE_UNKNOWN] = False
    asked = Request(document, {**fixed_places(members), **{f"/{name}": MORE for name in kept}, **train.places})
    refuse_what_is_missing(train, asked)
    return with_target(train, asked)


def sort_parts(members: Members) -> dict[int, dict[str, object]]:
    """Values by the parts that they are of, in their order."""
    parts: dict[int, dict[str, object]] = {}
    for name, value in members.items():
        place = place_in(name)
        if place is not None:
            parts.setdefault(place[0], {})[place[1]] = value
    return dict(sorted(parts.items()))


def camera(members: Members, kept: Members) -> dict[str, object]:
    """Camera of the kit, or what is typed of one."""
    typed = {name: members[name] for name in CAMERA_NAMES if name in members}
    use = {"use": members[CAMERA]} if CAMERA in members else {}
    return {**cast("Members", kept.get(CAMERA, {})), **use, **typed}


def fixed_places(members: Members) -> dict[str, str]:
    """Fields behind what does not depend on the parts."""
    own = "camera" if CAMERA in members else "register_mm"
    found = {f"/camera/{name}": name for name in CAMERA_NAMES if name != "register_mm"}
    found |= {"/camera/use": "camera", "/camera/register_mm": "register_mm", "/camera": own, "/train": name_of(1)}
    found |= {f"/solve/target/{name}": f"target_{name}" for name in TARGETS}
    found |= {f"/solve/{member}": name for member, (name, _) in LIMITS.items()}
    return found | {"/solve": FIND}


def refuse_what_is_missing(train: Train, asked: Request) -> None:
    """Refuse a bench without parts, a part that is not said to be anything, and what is stated twice."""
    if not train.elements:
        raise NotReady(tr(NO_PART), name_of(1), asked)
    for number, part in sort_parts(train.members).items():
        if CHOSEN not in part:
            raise NotReady(tr(NO_CHOICE), name_of(number))
    for name in train.twice:
        raise NotReady(tr(TWICE), name, asked)


def with_target(train: Train, asked: Request) -> Request:
    """The same with the length to find, where a target is given."""
    members = train.members
    target = {name: members[f"target_{name}"] for name in TARGETS if f"target_{name}" in members}
    if not target:
        for name in () if "solve" in asked.members else train.open_lengths.values():
            raise NotReady(tr(BLANK_LENGTH), name, asked)
        return asked
    first, *more = target
    limits = {member: members[name] for member, (name, _) in LIMITS.items() if name in members}
    unknown = length_to_find(train, asked, first)
    solve = {**limits, "target": {first: target[first]}, "unknown": unknown}
    found = FIND if FIND in members else train.open_lengths.get(unknown, FIND)
    places = {**asked.places, "/solve/unknown": found}
    one = replace(asked, members={**asked.members, "solve": solve}, places=places)
    if more:
        raise NotReady(tr(ONE_TARGET), f"target_{more[0]}", one)
    return one


def length_to_find(train: Train, asked: Request, target: str) -> str:
    """Pointer of the length to find: the one that was chosen, or the one that is blank."""
    if FIND in train.members:
        return pointer_to(str(train.members[FIND]), train, asked)
    if not train.open_lengths:
        raise NotReady(tr(NOTHING_BLANK), f"target_{target}", asked)
    if len(train.open_lengths) > 1:
        raise NotReady(tr(SEVERAL_BLANK), FIND, asked)
    return next(iter(train.open_lengths))


def pointer_to(wanted: str, train: Train, asked: Request) -> str:
    """Pointer to what a field of a part says."""
    place, numbers = place_in(wanted), list(sort_parts(train.members))
    if place is None or place[0] not in numbers:
        raise NotReady(tr(NO_SUCH_LENGTH), FIND, asked)
    return f"/train/{numbers.index(place[0])}/{place[1]}"


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
