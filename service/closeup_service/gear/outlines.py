"""What the parts of a set-up look like from the side: kind, name, settings and diameters, known or chosen for a drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.advice.figures import decimal
from closeup_service.gear.kit import Bellows, Kit, Ring
from closeup_service.language import tr
from closeup_service.set_ups.along_axis import Axis, Placed

if TYPE_CHECKING:
    from closeup_service.records import requests

KINDS = ("lens", "tube", "ring", "bellows", "close-up-lens", "teleconverter", "objective")
USUAL_DIAMETERS_MM = {
    "lens": 50.0,
    "tube": 54.0,
    "ring": 56.0,
    "bellows": 70.0,
    "close-up-lens": 54.0,
    "teleconverter": 60.0,
    "objective": 30.0,
}
"""Outer diameters for drawings (common practice, no source)."""
WALL_MM = 4.0
"""Wall of a tube whose clear diameter is known, for drawings."""
RIM_MM, HOLDS = 3.0, 1.2
"""Where no diameter is known a part is drawn wider than the glass or the light in it, by this rim and by this factor."""


class Outline(Struct, frozen=True, kw_only=True):
    """One part seen from the side; `settings` is what is set on it, in words."""

    pointer: str
    kind: str
    name: str
    settings: str
    start_mm: float
    end_mm: float
    diameter_mm: float
    diameter_known: bool
    clear_diameter_mm: float | None
    glass_diameter_mm: float | None
    first_plane_mm: float | None
    second_plane_mm: float | None
    protrusion_mm: float
    reversed: bool
    length_known: bool

    @property
    def in_words(self) -> str:
        """Name and settings."""
        return ", ".join(filter(None, (self.name, self.settings)))


def outlines(sent: requests.FrameSetUp, document: requests.FrameSetUp, axis: Axis, kit: Kit | None) -> list[Outline]:
    """Outlines of the parts of a set-up: as it was sent, written out and solved, and along its axis."""
    solved = sent["solve"]["unknown"] if "solve" in sent else None
    listed = zip(sent["train"], document["train"], axis.parts, strict=True)
    return [outline(given, element, placed, kit, solved) for given, element, placed in listed]


def outline(
    given: requests.Element, element: requests.Element, placed: Placed, kit: Kit | None, solved: str | None
) -> Outline:
    """Outline of one part."""
    part = kit.by_id.get(given["use"]) if kit is not None and given["element"] == "kit-part" else None
    chosen = given.get("setting") if given["element"] == "kit-part" else None
    kind = kind_of(element, part, f"{placed.pointer}/length_mm" == solved)
    height = 0.0 if placed.ray_height_mm is None else abs(placed.ray_height_mm)
    known = known_diameter(element)
    glass = glass_diameter(element, height) if placed.powered else None
    return Outline(
        pointer=placed.pointer,
        kind=kind,
        name=name_of(given if element["element"] == "lens" else element, kind) if part is None else part.name,
        settings=", ".join(settings(element, kind, chosen)),
        start_mm=placed.start_mm,
        end_mm=placed.end_mm,
        diameter_mm=drawn_diameter(element, kind, 2.2 * height if glass is None else glass) if known is None else known,
        diameter_known=known is not None,
        clear_diameter_mm=clear_diameter(element),
        glass_diameter_mm=glass,
        first_plane_mm=placed.first_plane_mm if placed.powered else None,
        second_plane_mm=placed.second_plane_mm if placed.powered else None,
        protrusion_mm=element.get("front_protrusion_mm", 0.0) if element["element"] == "lens" else 0.0,
        reversed=element["element"] == "lens" and bool(element.get("reversed")),
        length_known=placed.length_known,
    )


def kind_of(element: requests.Element, part: object, is_solved: bool) -> str:
    """Kind of part; a length that is solved for is drawn out, as bellows are."""
    if element["element"] != "spacer":
        return element["element"]
    if isinstance(part, Ring):
        return "ring"
    return "bellows" if isinstance(part, Bellows) or (part is None and is_solved) else "tube"


def known_diameter(element: requests.Element) -> float | None:
    """Outer diameter that the document states [mm]."""
    return element.get("front_diameter_mm") if element["element"] == "lens" else None


def clear_diameter(element: requests.Element) -> float | None:
    """Clear diameter that the document states [mm]."""
    return element.get("clear_diameter_mm") if element["element"] == "spacer" else None


def drawn_diameter(element: requests.Element, kind: str, inside: float) -> float:
    """Outer diameter for a drawing: the usual one, or what holds the glass or the light inside [mm].

    Parameters
    ----------
    inside : float, diameter of what it holds, mm

    Returns
    -------
    float, mm
    """
    clear = clear_diameter(element)
    if clear is not None:
        return float(clear + 2 * WALL_MM)
    return max(USUAL_DIAMETERS_MM[kind], HOLDS * inside, inside + 2 * RIM_MM)


def glass_diameter(element: requests.Element, ray_height: float) -> float:
    """Diameter of the glass for a drawing: it passes the pupil and the axial cone, within a known front [mm].

    Parameters
    ----------
    ray_height : float, height of the marginal ray, mm

    Returns
    -------
    float, mm
    """
    if element["element"] == "objective":
        return max(2.2 * ray_height, 8.0)
    f_number = element.get("f_number") if element["element"] == "lens" else None
    pupil = element["focal_length_mm"] / f_number if element["element"] == "lens" and f_number is not None else 0.0
    wanted = max(1.05 * pupil, 2.1 * ray_height, 0.6 * USUAL_DIAMETERS_MM["lens"])
    front = known_diameter(element)
    return float(wanted if front is None else min(wanted, 0.9 * front))


def name_of(element: requests.Element, kind: str) -> str:
    """Name of a part in words, by what it is made to do; what is drawn out has its length among its settings."""
    if element["element"] == "lens":
        return tr("Lens, {focal_length_mm} mm", focal_length_mm=decimal(element["focal_length_mm"]))
    if element["element"] == "spacer":
        return (
            tr("Bellows or helicoid")
            if kind == "bellows"
            else tr("Tube or ring, {length_mm} mm", length_mm=decimal(element["length_mm"]))
        )
    if element["element"] == "close-up-lens":
        return close_up_lens_name(element)
    if element["element"] == "teleconverter":
        return tr("Converter, {factor}x", factor=decimal(element["factor"]))
    if element["element"] == "objective":
        return tr(
            "Objective, {magnification}x / {numerical_aperture}",
            magnification=decimal(element["magnification"]),
            numerical_aperture=decimal(element["numerical_aperture"]),
        )
    raise KeyError(element["element"])


def close_up_lens_name(element: requests.CloseUpLens) -> str:
    """Close-up lens by its power, or its focal length."""
    if "power_dpt" in element:
        return tr("Close-up lens, {power_dpt} dpt", power_dpt=decimal(element["power_dpt"]))
    return tr("Close-up lens, {focal_length_mm} mm", focal_length_mm=decimal(element["focal_length_mm"]))


def settings(element: requests.Element, kind: str, setting: str | None) -> list[str]:
    """What is set on a part, or how it stands, in words."""
    told = []
    if element["element"] == "lens" and element.get("reversed"):
        told.append(tr("reversed"))
    if element["element"] == "lens" and element.get("f_number") is not None:
        told.append(f"f/{decimal(element['f_number'])}")
    if setting:
        told.append(tr("setting {setting}", setting=setting))
    if element["element"] == "lens" and element.get("focusing_extension_mm"):
        told.append(
            tr(
                "focused {focusing_extension_mm} mm out",
                focusing_extension_mm=decimal(element["focusing_extension_mm"]),
            )
        )
    if element["element"] == "spacer" and kind == "bellows":
        told.append(tr("drawn out to {length_mm} mm", length_mm=decimal(element["length_mm"], 4)))
    return told


def drawn_diameters(parts: Sequence[Outline]) -> dict[str, float]:
    """Diameters that were chosen for the drawing, by JSON pointer.

    Returns
    -------
    dict of floats, mm
    """
    return {f"{part.pointer}/drawn_diameter_mm": part.diameter_mm for part in parts if not part.diameter_known}
