"""Solving one open length of a set-up for a target.

In every gap the ray matrix is affine, so the magnification is affine in an open length and the distance of the subject
is a quotient of two affine functions: both are solved in closed form from the train at two lengths.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from msgspec import Struct

from closeup_service.language import mark, tr
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import NoRealSubject, NoSolution, OpticsError, Undetermined
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.optics.matrices import first_powered_part, sensor_matrix
from closeup_service.optics.train import front_to_plane_distance
from closeup_service.set_ups.set_up import SetUp, build_parts, evaluate, put_member

if TYPE_CHECKING:
    from closeup_service.records import requests

PROBE_MM = 100.0
"""The train is taken at this length and at none: two points of each straight line."""

NO_EFFECT = 1e-12
"""A slope below this is what rounding leaves of none."""

ROUNDING_MM = 1e-9
"""So little beyond the range is within it."""

SCAN, HALVINGS = 64, 50
"""Steps in which the range is searched for where the set-up can be, and halvings that place the edge between two."""

AGREEMENT = 1e-6
"""A length that misses the target by a greater share does not reach it."""


class Solved(Struct, frozen=True):
    """The document with its open length filled in, the length [mm], and what the set-up then does."""

    document: requests.FrameSetUp
    value: float
    set_up: SetUp


class Target(Struct, frozen=True):
    """What is asked of an open length: its pointer, its range [mm], the result that is to be reached, and its value."""

    pointer: str
    name: str
    wanted: float
    minimum: float
    maximum: float

    @classmethod
    def from_request(cls, request: requests.Solve) -> Target:
        """Target of a request with its range filled in."""
        [(name, wanted)] = cast("Mapping[str, float]", request["target"]).items()
        return cls(request["unknown"], name, wanted, request["minimum"], request["maximum"])


class Affine(Struct, frozen=True):
    """start + slope x length."""

    start: float
    slope: float


class OpenLength(Struct, frozen=True):
    """A set-up document with one length left open, named by its JSON pointer."""

    document: requests.FrameSetUp
    pointer: str

    def fill(self, value: float) -> requests.FrameSetUp:
        """Return the document with the open length set to `value` mm."""
        _, index, member = self.pointer.lstrip("/").split("/")
        train = list(self.document["train"])
        train[int(index)] = put_member(train[int(index)], member, value)
        return {**self.document, "train": train}

    def affine_members(self) -> tuple[Affine, Affine, Affine | None]:
        """Matrix members a and b to the sensor, and the front face's distance to the first plane, in the length."""
        at_zero, at_probe = self.matrix_members(0.0), self.matrix_members(PROBE_MM)
        a, b, front = (
            None if low is None or high is None else Affine(low, (high - low) / PROBE_MM)
            for low, high in zip(at_zero, at_probe, strict=True)
        )
        assert a is not None
        assert b is not None
        return a, b, front

    def front_member(self) -> str:
        """Member that would determine where the front part's glass is."""
        parts = build_parts(self.fill(0.0), POINT, {})
        return parts[first_powered_part(parts)].needs["front_gap"]

    def target_value(self, target: str, value: float) -> float | OpticsError:
        """Value of the target at one length, or why there is none."""
        try:
            found: float = getattr(evaluate(self.fill(value)), target)
        except OpticsError as error:
            return error
        return found

    def matrix_members(self, value: float) -> tuple[float, float, float | None]:
        """Matrix members a, b to the sensor and the front distance, at one length."""
        document = self.fill(value)
        parts = build_parts(document, POINT, {})
        sensor = sensor_matrix(parts, document["camera"]["register_mm"], POINT)
        return sensor.a, sensor.b, front_to_plane_distance(parts, first_powered_part(parts))


def solve(
    document: requests.FrameSetUp, pointer: str, target: str, wanted: float, minimum: float, maximum: float
) -> Solved:
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
    for candidate in candidates(open_length, target, wanted):
        value = min(max(candidate, minimum), maximum)
        if abs(value - candidate) > ROUNDING_MM:
            continue
        filled = open_length.fill(value)
        try:
            set_up = evaluate(filled)
        except NoRealSubject:
            continue
        except OpticsError as error:
            refused = refused or error
            continue
        if abs(getattr(set_up, target) - wanted) <= AGREEMENT * wanted:
            return Solved(filled, value, set_up)
    raise nearest_refusal(open_length, target, wanted, (minimum, maximum), refused)


def candidates(open_length: OpenLength, target: str, wanted: float) -> list[float]:
    """Lengths that reach the target by the affine equations, the inverted image first.

    Parameters
    ----------
    wanted : float, value of the target

    Returns
    -------
    floats, mm

    Raises
    ------
    Undetermined
        Where the place of the front glass is not known.
    """
    a, b, front = open_length.affine_members()
    if target == "working_distance_mm":
        if front is None:
            pointer = open_length.front_member()
            raise Undetermined(
                tr("The working distance is not determined. {pointer}", pointer=how_to_find(pointer)), pointer
            )
        return [linear_root(*working_distance_equation(a, b, front, wanted), open_length, target)]
    magnification = wanted
    if target == "subject_width_mm":
        magnification = open_length.document["camera"]["sensor_width_mm"] / wanted
    return [linear_root(a.start + sign * magnification, a.slope, open_length, target) for sign in (1, -1)]


def working_distance_equation(a: Affine, b: Affine, front: Affine, wanted: float) -> tuple[float, float]:
    """Start and slope of b + (wanted + front) a = 0; front and a never depend on the same length.

    Parameters
    ----------
    wanted : float, value of the target
    """
    reach = wanted + front.start
    return b.start + reach * a.start, b.slope + reach * a.slope + front.slope * a.start


def linear_root(start: float, slope: float, open_length: OpenLength, target: str) -> float:
    """Root of start + slope x = 0; refused when the length has no effect.

    Parameters
    ----------
    start : float, value at length 0
    slope : float, change of the value per mm

    Returns
    -------
    float, mm

    Raises
    ------
    NoSolution
        Where the length has no effect.
    """
    if abs(slope) < NO_EFFECT:
        raise NoSolution(
            tr(
                "This length does not matter for {target}: {open_length}. Leave another length open.",
                target=target,
                open_length=describe_target(open_length, target, 0.0),
            ),
            "/solve/unknown",
        )
    return -start / slope


def describe_target(open_length: OpenLength, target: str, value: float) -> str:
    """What the target is at one length, in words.

    Parameters
    ----------
    value : float, open length, mm
    """
    reached = open_length.target_value(target, value)
    return (
        str(reached)
        if isinstance(reached, OpticsError)
        else tr("it is {reached:.6g} whatever the length", reached=reached)
    )


def nearest_refusal(
    open_length: OpenLength, target: str, wanted: float, span: tuple[float, float], refused: OpticsError | None
) -> OpticsError:
    """Return the refusal that states the nearest attainable value and its length.

    Between the lengths at which the set-up can be at all the target rises or falls throughout, so that it is nearest at
    one of their ends.

    Parameters
    ----------
    wanted : float, value of the target
    span : two floats, range of the open length, mm
    """
    ends = attainable_ends(open_length, target, *span)
    if not ends:
        reason = refused or open_length.target_value(target, span[1])
        return reason if isinstance(reason, OpticsError) else NoSolution(str(reason), "/solve/unknown")
    reached, at = min(ends, key=lambda end: abs(end[0] - wanted))
    return NoSolution(
        tr(
            mark(
                "No length from {least:g} to {greatest:g} mm gives {target} {wanted:.6g}: the nearest attainable is "
                "{reached:.6g}, at {at:.6g} mm. Beyond that: {refused}"
            )
            if refused
            else mark(
                "No length from {least:g} to {greatest:g} mm gives {target} {wanted:.6g}: the nearest attainable is "
                "{reached:.6g}, at {at:.6g} mm."
            ),
            least=span[0],
            greatest=span[1],
            target=target,
            wanted=wanted,
            reached=reached,
            at=at,
            refused=refused,
        ),
        f"/solve/target/{target}",
        "/solve/unknown",
    )


def attainable_ends(open_length: OpenLength, target: str, minimum: float, maximum: float) -> list[tuple[float, float]]:
    """Target and length at the ends of every stretch of lengths at which the set-up can be.

    Parameters
    ----------
    minimum : float, least open length, mm
    maximum : float, greatest open length, mm

    Returns
    -------
    pairs of floats, value of the target, and length in mm
    """
    lengths = [minimum + (maximum - minimum) * step / SCAN for step in range(SCAN + 1)]
    possible = [not isinstance(open_length.target_value(target, length), OpticsError) for length in lengths]
    found = {length for length, can_be in ((lengths[0], possible[0]), (lengths[-1], possible[-1])) if can_be}
    for low, high, low_can, high_can in zip(lengths, lengths[1:], possible, possible[1:], strict=False):
        if low_can != high_can:
            found.add(edge(open_length, target, low if low_can else high, high if low_can else low))
    values = [(open_length.target_value(target, length), length) for length in sorted(found)]
    return [(value, length) for value, length in values if not isinstance(value, OpticsError)]


def edge(open_length: OpenLength, target: str, inside: float, outside: float) -> float:
    """Last length, from an attainable one towards one that is not, at which the set-up can be.

    Parameters
    ----------
    inside : float, attainable length, mm
    outside : float, length that is not attainable, mm

    Returns
    -------
    float, mm
    """
    for _ in range(HALVINGS):
        middle = (inside + outside) / 2
        if isinstance(open_length.target_value(target, middle), OpticsError):
            outside = middle
        else:
            inside = middle
    return inside
