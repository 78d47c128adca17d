"""Solving one open length of a set-up for a target.

In every gap the ray matrix is affine, so the magnification is affine in an open length and the distance of the subject
is a quotient of two affine functions: both are solved in closed form from the train at two lengths.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import NoRealSubject, NoSolution, OpticsError, Undetermined
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.optics.matrices import first_powered, sensor_behind
from closeup_service.optics.set_up import SetUp, build_parts, evaluate
from closeup_service.optics.train import front_to_plane

Document = Mapping[str, Any]

PROBE_MM = 100.0
NO_EFFECT = 1e-12
AGREEMENT = 1e-6


@dataclass(frozen=True, slots=True)
class Solved:
    """The document with its open length filled in, the length [mm], and what the set-up then does."""

    document: Document
    value: float
    set_up: SetUp


@dataclass(frozen=True, slots=True)
class Affine:
    """start + slope x length."""

    start: float
    slope: float


@dataclass(frozen=True, slots=True)
class OpenLength:
    """A set-up document with one length left open, named by its JSON pointer."""

    document: Document
    pointer: str

    def filled(self, value: float) -> Document:
        """Return the document with the open length set to `value` mm."""
        _, index, member = self.pointer.lstrip("/").split("/")
        train = list(self.document["train"])
        train[int(index)] = {**train[int(index)], member: value}
        return {**self.document, "train": train}

    def affine(self) -> tuple[Affine, Affine, Affine | None]:
        """Matrix members a and b to the sensor, and the front face's distance to the first plane, in the length."""
        at_zero, at_probe = self.at(0.0), self.at(PROBE_MM)
        a, b, front = (
            None if low is None or high is None else Affine(low, (high - low) / PROBE_MM)
            for low, high in zip(at_zero, at_probe, strict=True)
        )
        assert a is not None
        assert b is not None
        return a, b, front

    def at(self, value: float) -> tuple[float, float, float | None]:
        """Matrix members a, b to the sensor and the front distance, at one length."""
        document = self.filled(value)
        parts = build_parts(document, POINT, {})
        sensor = sensor_behind(parts, document["camera"]["register_mm"], POINT)
        return sensor.a, sensor.b, front_to_plane(parts, first_powered(parts))


def solve(document: Document, pointer: str, target: str, wanted: float, minimum: float, maximum: float) -> Solved:
    """Find the open length for which `target` is `wanted`.

    Parameters
    ----------
    document : set-up document; the member at `pointer` may be absent
    pointer : JSON pointer of a spacer's length_mm or a lens's focusing_extension_mm
    target : "magnification", "working_distance_mm" or "subject_width_mm"
    wanted : value of the target
    minimum, maximum : range of the open length, mm

    Raises
    ------
    NoSolution
        With the nearest attainable value, or because the length does not matter.
    """
    open_length = OpenLength(document, pointer)
    refused: OpticsError | None = None
    for value in candidates(open_length, target, wanted):
        if not minimum <= value <= maximum:
            continue
        filled = open_length.filled(value)
        try:
            set_up = evaluate(filled)
        except NoRealSubject:
            continue
        except OpticsError as error:
            refused = refused or error
            continue
        if abs(getattr(set_up, target) - wanted) <= AGREEMENT * wanted:
            return Solved(filled, value, set_up)
    if refused is not None:
        raise refused
    raise nearest(open_length, target, wanted, minimum, maximum)


def candidates(open_length: OpenLength, target: str, wanted: float) -> list[float]:
    """Lengths that reach the target by the affine equations, the inverted image first."""
    a, b, front = open_length.affine()
    if target == "working_distance_mm":
        if front is None:
            pointer = "/train/0/front_principal_plane_mm"
            raise Undetermined(f"The working distance is not determined. {how_to_find(pointer)}", pointer)
        return [linear_root(*working_distance_equation(a, b, front, wanted), open_length, target)]
    magnification = wanted
    if target == "subject_width_mm":
        magnification = open_length.document["camera"]["sensor_width_mm"] / wanted
    return [linear_root(a.start + sign * magnification, a.slope, open_length, target) for sign in (1, -1)]


def working_distance_equation(a: Affine, b: Affine, front: Affine, wanted: float) -> tuple[float, float]:
    """Start and slope of b + (wanted + front) a = 0; front and a never depend on the same length."""
    reach = wanted + front.start
    return b.start + reach * a.start, b.slope + reach * a.slope + front.slope * a.start


def linear_root(start: float, slope: float, open_length: OpenLength, target: str) -> float:
    """Root of start + slope x = 0; refused when the length has no effect."""
    if abs(slope) < NO_EFFECT:
        raise NoSolution(
            f"This length does not matter for {target}: {attained(open_length, target, 0.0)}. "
            "Leave another length open.",
            "/solve/unknown",
        )
    return -start / slope


def attained(open_length: OpenLength, target: str, value: float) -> str:
    """What the target is at one length, in words."""
    try:
        return f"it is {getattr(evaluate(open_length.filled(value)), target):.6g} whatever the length"
    except OpticsError as error:
        return f"{error}"


def nearest(open_length: OpenLength, target: str, wanted: float, minimum: float, maximum: float) -> OpticsError:
    """Return the refusal that states the nearest attainable value, at one end of the range."""
    ends: list[tuple[float, float]] = []
    refusal: OpticsError | None = None
    for value in (minimum, maximum):
        try:
            ends.append((getattr(evaluate(open_length.filled(value)), target), value))
        except OpticsError as error:
            refusal = error
    if not ends and refusal is not None:
        return refusal
    reached, at = min(ends, key=lambda end: abs(end[0] - wanted))
    return NoSolution(
        f"No length from {minimum:g} to {maximum:g} mm gives {target} {wanted:.6g}: the nearest attainable is "
        f"{reached:.6g}, at {at:g} mm.",
        f"/solve/target/{target}",
        "/solve/unknown",
    )
