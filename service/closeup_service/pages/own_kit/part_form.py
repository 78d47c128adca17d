"""A part of a kit and its form: what it states as texts of fields, and back from what was typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from msgspec import Struct
from werkzeug.datastructures import MultiDict

from closeup_service.language import tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages import form
from closeup_service.pages.asking import Members, Studio
from closeup_service.pages.elsewhere import plain_number
from closeup_service.pages.form import Fault, Form, text_of
from closeup_service.pages.own_kit import joints
from closeup_service.pages.own_kit.kinds import FRONT, REAR, kind_of
from closeup_service.pages.own_kit.kit_text import MISSING, fault_in_words
from closeup_service.pages.own_kit.lens_kind import JOINT as LENS_JOINT
from closeup_service.pages.own_kit.lens_kind import OF_ONE_SETTING, setting_field
from closeup_service.pages.own_kit.names import as_id
from closeup_service.pages.own_kit.part_fields import Kind
from closeup_service.pages.task import Task
from closeup_service.schemas.describing import write_in_words

Texts: TypeAlias = Mapping[str, tuple[str, ...]]
ENDS = {"front": FRONT, "rear": REAR}
LENS_JOINTS = {"mount": joints.MOUNT, "rear_thread": joints.THREAD}
SETTINGS = "settings"


class PartForm(Struct, frozen=True):
    """The form of a part: its group, its fields, and what was typed into them."""

    group: str
    kind: Kind
    settings: int
    given: Form


def blank(group: str) -> Texts:
    """Texts of a new part."""
    return {name: (text,) for name, text in kind_of(group, 0).usual.items()}


def texts_of(group: str, part: Members) -> Texts:
    """What a part states, as the fields of its form hold it."""
    return {name: (text,) for name, text in pairs_of(group, part)}


def pairs_of(group: str, part: Members) -> Iterator[tuple[str, str]]:
    """Each field with its text."""
    for name, value in part.items():
        if name in ENDS and isinstance(value, Mapping):
            yield from zip(ENDS[name], joints.texts_of_face(value), strict=True)
        elif group == "lenses" and name in LENS_JOINTS:
            yield LENS_JOINT, f"{LENS_JOINTS[name]}{joints.BETWEEN}{value}"
        elif name == SETTINGS and isinstance(value, list):
            for place, setting in enumerate(value):
                yield from ((setting_field(place, each), text_of(held)) for each, held in setting.items())
        elif isinstance(value, str | int | float):
            yield name, text_of(value)


def count_settings(part: Members) -> int:
    """How many settings a lens lists; a lens of one setting shows its data as its own."""
    listed = part.get(SETTINGS)
    return len(listed) if isinstance(listed, list) else 0


def read(group: str, settings: int, texts: MultiDict[str, str] | Texts, studio: Studio) -> PartForm:
    """Read the form of a part."""
    kind = kind_of(group, settings)
    sent = texts if isinstance(texts, MultiDict) else MultiDict((name, text) for name in texts for text in texts[name])
    own = MultiDict((name, text) for name, text in sent.items(multi=True) if name in kind.names)
    task = Task("kit", "plan", "", "", "", "", kind.groups, (), (), ())
    return PartForm(group, kind, settings, form.read(task, form.sent_texts(own, task)[0], studio))


def part_of(asked: PartForm, before: Members) -> dict[str, object]:
    """Part that the form describes; what it has no field for stays as it was."""
    values = asked.given.values
    shown = shown_members(asked)
    part = {name: value for name, value in before.items() if name not in shown or value is True}
    part |= {name: value for name, value in values.items() if name in asked.kind.names and is_plain(name)}
    for end, (joint, side) in ENDS.items():
        if joint in values:
            part[end] = joints.face_of(str(values[joint]), str(values.get(side, "")))
    if LENS_JOINT in values:
        kind, _, name = str(values[LENS_JOINT]).partition(joints.BETWEEN)
        part[next(member for member, joint in LENS_JOINTS.items() if joint == kind)] = name
    if asked.settings:
        part[SETTINGS] = list(settings_of(asked, before))
    plain: dict[str, object] = plain_number(part)  # type: ignore[assignment]
    return plain


def is_plain(name: str) -> bool:
    """Whether a field is a member of the part under the same name."""
    return name not in (*FRONT, *REAR, LENS_JOINT) and "/" not in name


def shown_members(asked: PartForm) -> set[str]:
    """Members of a part that its form decides."""
    shown = {name for name in asked.kind.names if is_plain(name)}
    shown |= {end for end, names in ENDS.items() if names[0] in asked.kind.names}
    shown |= {"mount", "rear_thread"} if LENS_JOINT in asked.kind.names else set()
    return shown | ({SETTINGS, *OF_ONE_SETTING} if asked.settings else {SETTINGS})


def settings_of(asked: PartForm, before: Members) -> Iterator[dict[str, object]]:
    """Settings that the form describes; one of which nothing is said is none."""
    listed = before.get(SETTINGS)
    for place in range(asked.settings):
        prefix = setting_field(place, "")
        said = {
            name.removeprefix(prefix): value for name, value in asked.given.values.items() if name.startswith(prefix)
        }
        if said:
            held = listed[place] if isinstance(listed, list) and place < len(listed) else {}
            shown = {name.removeprefix(prefix) for name in asked.kind.names if name.startswith(prefix)}
            kept = {name: value for name, value in held.items() if name not in shown}
            yield {**kept, "id": as_id(str(said.pop("id", f"setting-{place + 1}"))), **said}


def note_missing(asked: PartForm) -> None:
    """Say which fields the part needs; the first setting of a lens at least."""
    given, needed = asked.given, asked.kind.needed
    blanks = {name.rpartition("/")[0] for name in needed if "/" in name} - {
        name.rpartition("/")[0] for name in given.typed
    }
    for name in needed:
        if name not in given.typed and (name.rpartition("/")[0] not in blanks or name.startswith("settings/0/")):
            given.refuse(tr(MISSING), name)


def note_refused(asked: PartForm, refused: Refusal, start: str) -> None:
    """Lay what is wrong with a part at its fields; `start` is its place in the kit."""
    found = []
    for pointer, text in refused.faults:
        member = pointer.removeprefix(start).strip("/") if pointer.startswith(f"{start}/") else ""
        found.append(Fault(fault_in_words(text), field_of(asked, member)))
    asked.given.add(found or [Fault(write_in_words(refused.detail))])


def field_of(asked: PartForm, member: str) -> str:
    """Field that decides a member; none where there is none."""
    end = member.partition("/")[0]
    if end in ENDS:
        return ENDS[end][1 if member.endswith(("side", "gender")) else 0]
    if asked.group == "lenses" and member in LENS_JOINTS:
        return LENS_JOINT
    known = asked.kind.names
    if member == SETTINGS:
        return "focal_length_mm"
    return member if member in known else "name" if member in ("id", "") else ""
