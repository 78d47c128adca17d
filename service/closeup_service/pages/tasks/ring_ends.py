"""The two ends that rings join, as a form asks for them: parts of the kit, threads or mounts."""

from collections.abc import Sequence
from typing import TypedDict, cast

from closeup_service.gear.catalogue import THREADS
from closeup_service.gear.kit import Face, Kit
from closeup_service.language import mark, tr
from closeup_service.pages.task import Choice, Members, NotReady
from closeup_service.pages.tasks.gear_choices import lens_of


class RingForm(TypedDict, total=False):
    """Fields of the form that name parts of the kit, and how the lens stands."""

    lens: str
    mounting: str
    onto: str


STARTS = ("lens", "from_thread", "from_mount")
ENDS = ("onto", "to_mount", "to_thread")
ONE_START = mark("Choose one start: a lens of the kit, the filter thread, or the mount of the lens.")
ONE_END = mark("Choose one end: a camera or bellows of the kit, the mount of the camera, or a thread.")
USUAL = {"from_gender": "internal", "from_side": "lens", "to_gender": "internal", "to_side": "body"}
"""A filter thread is internal; a lens meets a camera's side."""


def sole_field(members: Members, names: Sequence[str]) -> str:
    """The one of these fields that is given."""
    given = [name for name in names if name in members]
    if len(given) == 1:
        return given[0]
    where = names[0] if not given else given[1]
    raise NotReady(tr(ONE_START if names is STARTS else ONE_END), where)


def start_members(members: Members, field: str, kit: Kit) -> dict[str, object]:
    """The lens's end: its filter thread where it stands reversed, else its mount."""
    if field != "lens":
        return stated_end(members, field, "from_", kit)
    form: RingForm = cast("RingForm", members)
    lens = lens_of(kit, form["lens"])
    if lens is None:
        raise NotReady(tr("The kit has no such lens."), "lens")
    face = lens.rear if form.get("mounting") == "normal" else lens.front
    if face is None:
        raise NotReady(tr("The kit does not state this lens's filter thread: choose the thread itself."), "lens")
    return face_members(face, "from_")


def end_members(members: Members, field: str, kit: Kit) -> dict[str, object]:
    """The camera's end, or that of the bellows."""
    if field != "onto":
        return stated_end(members, field, "to_", kit)
    form: RingForm = cast("RingForm", members)
    face = {**faces_of_cameras(kit), **faces_of_bellows(kit)}.get(form["onto"])
    if face is None:
        raise NotReady(tr("The kit has no such camera or bellows."), "onto")
    return face_members(face, "to_")


def stated_end(members: Members, field: str, end: str, kit: Kit) -> dict[str, object]:
    """A thread with its gender, or a mount with its side."""
    if members[field] not in (THREADS if field.endswith("thread") else kit.all_mounts):
        raise NotReady(tr("Choose one of the list."), field)
    other = f"{end}gender" if field.endswith("thread") else f"{end}side"
    return {field: members[field], other: members.get(other, USUAL[other])}


def face_members(face: Face, end: str) -> dict[str, object]:
    """A face of a part of the kit, as a request names it."""
    if face.mount is not None:
        return {f"{end}mount": face.mount, f"{end}side": face.gender}
    return {f"{end}thread": face.thread, f"{end}gender": face.gender}


def faces_of_cameras(kit: Kit) -> dict[str, Face]:
    """Face of each camera of the kit."""
    return {each.id: each.flange for each in kit.cameras}


def faces_of_bellows(kit: Kit) -> dict[str, Face]:
    """Front of each bellows of the kit."""
    return {each.id: each.front for each in kit.bellows}


def cameras_and_bellows(kit: Kit) -> list[Choice]:
    """What a lens can be joined to."""
    return [Choice(each.id, each.name) for each in (*kit.cameras, *(each for each in kit.bellows if each.owned))]
