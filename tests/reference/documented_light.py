"""The light behind a front part by the formulas of the textbook: how far the camera must stand to fill the frame.

A ray that comes in parallel to the axis at height 1 meets the sensor at height -m, m being positive when the image is
inverted; the height is a straight line over the length between the front part and what stands before the camera.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from documented_parts import MOUNTING_MM, Element, Front, Piece, Tail


@dataclass(frozen=True)
class Thick:
    """An element as power and the distances from its faces to its principal planes [mm]."""

    power: float
    before: float
    behind: float


def thick(element: Element) -> Thick:
    """Planes of an element; an unknown one is taken as 0, which matters to nobody where only infinity focus is sought."""
    return {
        "lens": thick_lens,
        "spacer": lambda spacer: Thick(0.0, 0.0, spacer["length_mm"]),
        "close-up-lens": thick_close_up_lens,
        "teleconverter": thick_converter,
        "objective": thick_objective,
    }[element["element"]](element)


def thick_lens(lens: Element) -> Thick:
    focal_length = lens["focal_length_mm"]
    rear = lens["register_mm"] - focal_length if "register_mm" in lens else lens.get("rear_principal_plane_mm", 0.0)
    planes = lens.get("front_principal_plane_mm", 0.0), -rear
    return Thick(1 / focal_length, *(reversed(planes) if lens.get("reversed") else planes))


def thick_close_up_lens(lens: Element) -> Thick:
    power = lens["power_dpt"] / 1000 if "power_dpt" in lens else 1 / lens["focal_length_mm"]
    return Thick(power, lens.get("front_principal_plane_mm", 0.0), -lens.get("rear_principal_plane_mm", 0.0))


def thick_converter(converter: Element) -> Thick:
    """u = f (1 - k) / k, v = k u; object and image lie at the register behind the two faces."""
    k, register = converter["factor"], converter["register_mm"]
    f = converter.get("focal_length_mm")
    f = -k * converter["added_length_mm"] / (k - 1) ** 2 if f is None else f
    u = f * (1 - k) / k
    return Thick(1 / f, register - u, k * u - register)


def thick_objective(objective: Element) -> Thick:
    if "tube_lens_focal_length_mm" in objective:
        f = objective["tube_lens_focal_length_mm"] / objective["magnification"]
        return Thick(1 / f, 0.0, f)
    image = objective["tube_length_mm"] - MOUNTING_MM
    m = objective["magnification"]
    f = objective.get("focal_length_mm") or (objective.get("parfocal_distance_mm", 45.0) + image) / (m + 2 + 1 / m)
    return Thick(1 / f, 0.0, f * (1 + m) - image)


def height_at_sensor(front: Sequence[Piece], length: float, tail: Sequence[Piece], register: float) -> float:
    """Height on the sensor of a ray that comes in parallel at height 1."""
    height, slope, first = 1.0, 0.0, True
    gap = Thick(0.0, 0.0, length)
    for part in [*(thick(piece.element) for piece in front), gap, *(thick(piece.element) for piece in tail)]:
        height += 0.0 if first else slope * part.before
        slope -= part.power * height
        height += slope * part.behind
        first = first and part.power == 0
    return height + slope * register


def lengths_for(
    front: Sequence[Piece], tail: Sequence[Piece], register: float, heights: Sequence[float]
) -> list[float]:
    """Lengths between front and tail at which the ray meets the sensor at these heights."""
    at_0 = height_at_sensor(front, 0.0, tail, register)
    per_mm = height_at_sensor(front, 1.0, tail, register) - at_0
    return [(height - at_0) / per_mm for height in heights] if abs(per_mm) > 1e-12 else []


def wanted_lengths(front: Front, tail: Tail, register: float, magnification: float) -> list[float]:
    """Total lengths to which a bellows is drawn out."""
    if front.design_mm is not None:
        return [front.design_mm - register]
    if front.infinity is not None:
        return lengths_for(front.pieces[front.infinity :], tail.pieces, register, [0.0])
    upright = [magnification] if glasses((*front.pieces, *tail.pieces)) > 1 else []
    return lengths_for(front.pieces, tail.pieces, register, [-magnification, *upright])


def glasses(pieces: Sequence[Piece]) -> int:
    """How many parts have glass."""
    return sum(piece.element["element"] != "spacer" for piece in pieces)


def image_distance(behind: Sequence[Element], register: float) -> float:
    """From the face before a converter, or nothing, and rings to the point on the axis that they image on the sensor [mm]."""
    if not behind or behind[0]["element"] == "spacer":
        return register + length_of(behind)
    converter = thick(behind[0])
    image = converter.behind + register + length_of(behind[1:])
    return converter.before + 1 / (1 / image - converter.power)


def length_of(spacers: Sequence[Element]) -> float:
    """Length of spacers together [mm]."""
    return math.fsum(spacer["length_mm"] for spacer in spacers)


def cone(spacers: Sequence[Element], to_image: float) -> float:
    """Width of the cone of light that a row lets through: the least of its clear diameters over distance from the image."""
    widest, distance = math.inf, to_image
    for spacer in reversed(spacers):
        clear = spacer.get("clear_diameter_mm")
        for face in (distance, distance + spacer["length_mm"]):
            if clear is not None and face > 0:
                widest = min(widest, clear / face)
        distance += spacer["length_mm"]
    return widest
