"""From a set-up document that names parts of a kit to a plain one.

Each part of the kit becomes one plain element in its place, so that places in the train stay what they are; a fault of the
plain document is laid at what was sent: the member itself, or the id of the part that states it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final, TypeAlias, TypeVar, cast

import numpy as np
import numpy.typing as npt
from msgspec import Struct, field

from closeup_service.estimates.lens_members import ESTIMATE_UNKNOWN
from closeup_service.gear.engravings import engravings
from closeup_service.gear.errors import Fault, KitRefuses
from closeup_service.gear.kit import (
    BarrelData,
    Bellows,
    CloseUpLens,
    Converter,
    Kit,
    Lens,
    Objective,
    Ring,
    Setting,
    TrainPart,
    Tube,
)
from closeup_service.gear.kit_faults import nearest_names
from closeup_service.language import mark, tr
from closeup_service.optics.arithmetic import Real
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.set_ups.pointers import as_pointer

if TYPE_CHECKING:
    from closeup_service.records import requests

    SetUpDocument: TypeAlias = requests.FrameSetUp | requests.FrameSetUp[Real]
    TrainElement: TypeAlias = requests.Element | requests.Element[Real]
    KitPart: TypeAlias = requests.KitPart | requests.KitPart[Real]

Sent = TypeVar("Sent", bound="SetUpDocument")
"""A set-up document as it was sent; without parts of a kit it is of the same kind."""

KIT_PART: Final = "kit-part"
CAMERA_MEMBERS = (
    "register_mm",
    "sensor_width_mm",
    "sensor_height_mm",
    "pixel_pitch_um",
    "circle_of_confusion_mm",
)
LENS_MEMBERS = (
    "focal_length_mm",
    "pupil_magnification",
    "front_principal_plane_mm",
    "register_mm",
    "rear_principal_plane_mm",
    "principal_plane_separation_mm",
    "front_diameter_mm",
    "front_protrusion_mm",
    "image_circle_mm",
    "uncertainty",
    *BarrelData.__struct_fields__,
)
CLOSE_UP_LENS_MEMBERS = (
    "power_dpt",
    "focal_length_mm",
    "length_mm",
    "front_principal_plane_mm",
    "rear_principal_plane_mm",
)
CONVERTER_MEMBERS = ("factor", "added_length_mm", "focal_length_mm", "register_mm")
OBJECTIVE_MEMBERS = (
    "magnification",
    "numerical_aperture",
    "tube_lens_focal_length_mm",
    "tube_length_mm",
    "focal_length_mm",
    "working_distance_mm",
    "parfocal_distance_mm",
    "field_number_mm",
)
USE_OF_LENS: Final = ("reversed", "f_number", "focusing_extension_mm")
USE_MEMBERS = ("reversed", "f_number", "setting", "length_mm", "focusing_extension_mm")
"""What a kit-part may say of its use; which of them apply depends on the part."""


def uses_kit(document: SetUpDocument) -> bool:
    """Whether the document names anything of a kit."""
    return "use" in document["camera"] or any(element["element"] == KIT_PART for element in document["train"])


def missing_parts(document: SetUpDocument, kit: Kit) -> list[str]:
    """Parts used that are not owned, or not at hand."""
    used = [kit.by_id[element["use"]] for element in document["train"] if element["element"] == KIT_PART]
    cameras = [kit.cameras_by_id[document["camera"]["use"]]] if "use" in document["camera"] else []
    return [part.id for part in (*cameras, *used) if not (part.owned and part.available)]


def expand(document: Sent, kit: Kit, *, estimating: bool = False) -> Sent:
    """Write the document without parts of a kit; a solve on one gets the part's range.

    `estimating` says that lens data are estimated, as `estimate_unknown` of the document does.

    Raises
    ------
    KitRefuses
        With every fault, at what was sent.
    """
    work = Expansion(kit, open_length_of(document), estimating=estimating or asks_estimates(document))
    plain = work.document(document)
    faults = [*work.faults, *((beyond.pointer, beyond.text) for beyond in work.beyond)]
    if faults:
        raise KitRefuses(faults)
    return plain


def expand_rows(document: Sent, kit: Kit) -> tuple[Sent, list[Beyond]]:
    """Write a document of columns without parts of a kit; what some rows set beyond a part is told and not refused.

    Raises
    ------
    KitRefuses
        With every fault that is not of single rows, at what was sent.
    """
    work = Expansion(kit, open_length_of(document), estimating=asks_estimates(document))
    plain = work.document(document)
    if work.faults:
        raise KitRefuses(work.faults)
    return plain, work.beyond


def asks_estimates(document: SetUpDocument) -> bool:
    """Whether the document asks that lens data be estimated."""
    return cast("Mapping[str, object]", document).get(ESTIMATE_UNKNOWN) is True


def open_length_of(document: SetUpDocument) -> str | None:
    """JSON pointer of the open length, if there is one."""
    return document["solve"]["unknown"] if "solve" in document else None


@contextmanager
def place_faults_as_sent(document: SetUpDocument) -> Iterator[None]:
    """Lay the faults of the plain document at the members that were sent."""
    try:
        yield
    except OpticsError as error:
        raise type(error)(
            str(error), *dict.fromkeys(sent_member(document, as_pointer(member)) for member in error.members)
        ) from error


def sent_member(document: SetUpDocument, pointer: str) -> str:
    """Member of the document as it was sent that is behind a member of the plain one."""
    steps = pointer.split("/")[1:]
    if steps[:1] == ["camera"] and len(steps) > 1 and "use" in document["camera"]:
        return pointer if steps[1] in document["camera"] else "/camera/use"
    if steps[:1] == ["train"] and len(steps) > 2:
        element = document["train"][int(steps[1])]
        if element["element"] == KIT_PART and steps[2] not in (*element, *open_members(document, steps[1])):
            return f"/train/{steps[1]}/use"
    return pointer


def open_members(document: SetUpDocument, index: str) -> list[str]:
    """Member of this element that is left out to be solved for."""
    pointer = open_length_of(document) or ""
    return [pointer.rsplit("/", 1)[1]] if pointer.startswith(f"/train/{index}/") else []


class Beyond(Struct, frozen=True):
    """Rows of a column that lie beyond what the part allows, the column's pointer, and what would be right."""

    pointer: str
    text: str
    rows: npt.NDArray[np.bool_]


class Expansion(Struct):
    """Works through one document, gathering faults, those of single rows apart."""

    kit: Kit
    open_length: str | None
    estimating: bool = False
    faults: list[Fault] = field(default_factory=list)
    beyond: list[Beyond] = field(default_factory=list)

    def document(self, document: Sent) -> Sent:
        """Write the whole document without parts of a kit."""
        camera = self.camera(document["camera"])
        train = [self.element(element, f"/train/{index}") for index, element in enumerate(document["train"])]
        plain: dict[str, object] = {**document, "camera": camera, "train": train}
        if "solve" in document:
            plain["solve"] = self.solve(document["solve"], document["train"])
        return cast("Sent", plain)

    def camera(self, members: requests.Camera | requests.Camera[Real]) -> Mapping[str, object]:
        """Camera of the kit, or the members as they are."""
        if "use" not in members:
            return members
        camera = self.kit.cameras_by_id.get(members["use"])
        if camera is None:
            self.refuse("/camera/use", describe_absent_part(members["use"], self.kit.cameras_by_id, "camera"))
            return {}
        return known_members(camera, CAMERA_MEMBERS) | {name: value for name, value in members.items() if name != "use"}

    def element(self, element: TrainElement, pointer: str) -> Mapping[str, object]:
        """Plain element of a part of the kit, or the element as it is."""
        if element["element"] != KIT_PART:
            return element
        part = self.kit.by_id.get(element["use"])
        if part is None:
            self.refuse(f"{pointer}/use", describe_absent_part(element["use"], self.kit.by_id, mark("part")))
            return element
        kind = KINDS[type(part)]
        for name in USE_MEMBERS:
            if name in element and name not in kind.members:
                is_open = f"{pointer}/{name}" == self.open_length
                where, advice = (
                    ("/solve/unknown", tr("solve another")) if is_open else (f"{pointer}/{name}", tr("leave it out"))
                )
                text = tr(
                    "There is no {name} to choose on a {kind}: {advice}.", name=name, kind=tr(kind.name), advice=advice
                )
                self.refuse(where, text)
        return kind.build(self, part, element, pointer)

    def lens(self, lens: Lens, element: KitPart, pointer: str) -> dict[str, object]:
        """Lens at its setting, as it is used."""
        used = {name: element[name] for name in USE_OF_LENS if name in element}
        setting = self.setting(lens, element, pointer)
        if setting is None:
            return {"element": "lens", **used}
        marks, f_number = setting.marks, element.get("f_number")
        if marks and f_number is not None:
            ends = marks[0].nominal, marks[-1].nominal
            text = tr(
                "The ring of {id} runs from f/{least:g} to f/{greatest:g}.", id=lens.id, least=ends[0], greatest=ends[1]
            )
            self.refuse_beyond(f_number, ends, f"{pointer}/f_number", text)
        extension = element.get("focusing_extension_mm")
        travel = 0.0, setting.focusing_travel_mm
        self.refuse_outside(extension, f"{pointer}/focusing_extension_mm", travel, lens.id)
        engraved = engravings(lens, setting) if self.estimating else {}
        return {"element": "lens", **known_members(setting, LENS_MEMBERS), **engraved, **used}

    def setting(self, lens: Lens, element: KitPart, pointer: str) -> Setting | None:
        """Setting that the element names, or the only one that the lens has."""
        found = setting_of(lens, element)
        if found is None:
            ids = ", ".join(setting.id for setting in lens.settings)
            text = (
                mark("The lens {id} has no such setting; there are {settings}.")
                if "setting" in element
                else mark("The lens {id} has several settings: give one of {settings}.")
            )
            self.refuse(f"{pointer}/setting", tr(text, id=lens.id, settings=ids))
        return found

    def spacer(self, part: Tube | Ring, element: KitPart, pointer: str) -> dict[str, object]:
        """Tube or ring of its one length."""
        del element, pointer
        return {"element": "spacer", **known_members(part, ("length_mm", "clear_diameter_mm"))}

    def bellows(self, part: Bellows, element: KitPart, pointer: str) -> dict[str, object]:
        """Bellows drawn out to the length given."""
        if "length_mm" not in element:
            text = tr(
                "Say how far the bellows are drawn out: {minimum_length_mm:g} to {maximum_length_mm:g} mm.",
                minimum_length_mm=part.minimum_length_mm,
                maximum_length_mm=part.maximum_length_mm,
            )
            self.refuse(f"{pointer}/length_mm", text)
            return {"element": "spacer", "length_mm": part.minimum_length_mm}
        ends = part.minimum_length_mm, part.maximum_length_mm
        self.refuse_outside(element["length_mm"], f"{pointer}/length_mm", ends, part.id)
        return {"element": "spacer", "length_mm": element["length_mm"], **known_members(part, ("clear_diameter_mm",))}

    def close_up_lens(self, part: CloseUpLens, element: KitPart, pointer: str) -> dict[str, object]:
        """Close-up lens."""
        del element, pointer
        return {"element": "close-up-lens", **known_members(part, CLOSE_UP_LENS_MEMBERS)}

    def converter(self, part: Converter, element: KitPart, pointer: str) -> dict[str, object]:
        """Converter, with the register of its mount."""
        del element, pointer
        return {"element": "teleconverter", **known_members(part, CONVERTER_MEMBERS)}

    def objective(self, part: Objective, element: KitPart, pointer: str) -> dict[str, object]:
        """Microscope objective."""
        del element, pointer
        return {"element": "objective", **known_members(part, OBJECTIVE_MEMBERS)}

    def refuse_outside(self, value: Real | None, pointer: str, span: tuple[float, float | None], part_id: str) -> None:
        """Refuse a length beyond the part's range, unless it is the open one.

        Parameters
        ----------
        value : float or array or None, mm
        span : float, and float or None, least and greatest length of the part, mm
        """
        least, greatest = span
        if value is None or greatest is None or pointer == self.open_length:
            return
        text = tr("{part_id} goes from {least:g} to {greatest:g} mm.", part_id=part_id, least=least, greatest=greatest)
        self.refuse_beyond(value, (least, greatest), pointer, text)

    def refuse_beyond(self, value: Real, ends: tuple[float, float], pointer: str, text: str) -> None:
        """Refuse a value beyond the part's ends; of a column note the rows.

        Parameters
        ----------
        value : float or array, length in mm, or f-number
        ends : two floats, in the unit of the value
        """
        outside = (value < ends[0]) | (value > ends[1])
        if isinstance(outside, np.ndarray) and outside.any():
            self.beyond.append(Beyond(pointer, text, outside))
        elif not isinstance(outside, np.ndarray) and outside:
            self.refuse(pointer, text)

    def solve(self, solve: requests.Solve, train: Sequence[TrainElement]) -> requests.Solve:
        """Range of the open length: what is asked, within what the part allows."""
        _, _, index, member = solve["unknown"].split("/")
        least, greatest = self.span(train[int(index)], member)
        for name, value in (("minimum", solve.get("minimum")), ("maximum", solve.get("maximum"))):
            if value is not None and not least <= value <= greatest:
                self.refuse(
                    f"/solve/{name}",
                    tr("The part goes from {least:g} to {greatest:g} mm.", least=least, greatest=greatest),
                )
        return {**solve, "minimum": solve.get("minimum", least), "maximum": solve.get("maximum", greatest)}

    def span(self, element: TrainElement, member: str) -> tuple[float, float]:
        """Range of a length of a part of the kit; of any length where the part sets none.

        Returns
        -------
        two floats, mm
        """
        if element["element"] == KIT_PART:
            part = self.kit.by_id.get(element["use"])
            if isinstance(part, Bellows) and member == "length_mm":
                return part.minimum_length_mm, part.maximum_length_mm
            if isinstance(part, Lens) and member == "focusing_extension_mm":
                setting = setting_of(part, element)
                if setting is not None and setting.focusing_travel_mm is not None:
                    return 0.0, setting.focusing_travel_mm
        bounds = VOCABULARY[member]
        return bounds.minimum or 0.0, bounds.maximum or math.inf

    def refuse(self, pointer: str, text: str) -> None:
        """Note a fault."""
        self.faults.append((pointer, text))


def known_members(record: object, names: tuple[str, ...]) -> dict[str, object]:
    """Members of a record that are known."""
    return {name: value for name in names if (value := getattr(record, name)) is not None}


def setting_of(lens: Lens, element: KitPart) -> Setting | None:
    """Setting that the element names, or the only one that the lens has; None where it names none rightly."""
    if "setting" in element:
        return lens.setting(element["setting"])
    return lens.settings[0] if len(lens.settings) == 1 else None


def describe_absent_part(name: str, there_are: Mapping[str, object], what: str) -> str:
    """Say that the kit has no such part, and which ids are near."""
    near = nearest_names(name, there_are) or sorted(there_are)[:5]
    hint = tr("near to it: {near}", near=", ".join(near)) if near else tr("it has no {what} at all", what=tr(what))
    return tr("The kit has no {what} {name}; {hint}.", what=tr(what), name=name, hint=hint)


class Kind(Struct, frozen=True):
    """Name of a kind of part for people, what may be said of its use, and how it becomes a plain element."""

    name: str
    members: tuple[str, ...]
    build: Callable[[Expansion, Any, KitPart, str], dict[str, object]]


KINDS: Mapping[type[TrainPart], Kind] = {
    Lens: Kind(mark("lens"), ("reversed", "f_number", "setting", "focusing_extension_mm"), Expansion.lens),
    Tube: Kind(mark("tube"), (), Expansion.spacer),
    Ring: Kind(mark("ring"), (), Expansion.spacer),
    Bellows: Kind(mark("bellows"), ("length_mm",), Expansion.bellows),
    CloseUpLens: Kind(mark("close-up lens"), (), Expansion.close_up_lens),
    Converter: Kind(mark("converter"), (), Expansion.converter),
    Objective: Kind(mark("objective"), (), Expansion.objective),
}
