"""Ends: what stands between the stack and the sensor, nothing but the camera, or a converter before it."""

from collections.abc import Iterator

from msgspec import Struct

from closeup_service.gear.kit import Face
from closeup_service.gear.search.joints import Joint, Joints, Use
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.units import Row, Unit, converter_unit, opening_seen_through, usable_parts
from closeup_service.optics.matrices import Matrix


class End(Struct, frozen=True):
    """What stands behind the stack. `matrix` runs from the stack to the sensor; `front` is the face towards the stack."""

    front: Face
    uses: tuple[Use, ...]
    rings: frozenset[str]
    matrix: Matrix
    length: float
    openings: tuple[Row, ...]
    powered: int

    @property
    def image(self) -> float:
        """How far behind its front face the stack's image stands that reaches the sensor [mm]."""
        return float(self.matrix.b / self.matrix.a)


def ends_of(request: Request, joints: Joints) -> Iterator[End]:
    """Yield what can stand behind a stack."""
    camera = request.camera
    register = camera.register_mm
    yield End(camera.flange, (), frozenset(), Matrix(1.0, register, 0.0, 1.0), register, (), 0)
    if not request.allows("converter"):
        return
    for converter in usable_parts(request.kit.converters):
        joint = joints.seek_between(converter.rear, camera.flange)
        if joint is not None:
            yield add_converter(converter.front, converter_unit(converter, register), joint, register)


def add_converter(front: Face, unit: Unit, joint: Joint, register: float) -> End:
    """Converter before the camera.

    Parameters
    ----------
    register : float, flange to sensor, mm

    Returns
    -------
    End, lengths in mm
    """
    before = Matrix(1.0, unit.front_gap, 0.0, 1.0)
    a, b = opening_seen_through(unit.matrix.a, unit.matrix.b, before)
    c, d = opening_seen_through(unit.matrix.c, unit.matrix.d, before)
    behind = Matrix(a, b, c, d)
    openings = []
    for place, radius in joint.openings:
        at = behind.cross_gap(place)
        openings.append((at.a, at.b, radius))
    sensor = behind.cross_gap(joint.length + register)
    length = unit.front_gap + unit.length + joint.length + register
    return End(front, (*unit.uses, *joint.uses), frozenset(joint.ids), sensor, length, tuple(openings), 1)
