"""The optical train: any row of thick parts and gaps, reduced by ray matrices.

A ray is (height y, slope u). A gap t is the matrix [[1, t], [0, 1]], a thick part from its first to its second principal
plane [[1, 0], [-1/f, 1]]. Sources: H. Kogelnik and T. Li, *Applied Optics* 5 (1966) 1550; A. Gerrard and J. M. Burch,
*Introduction to Matrix Methods in Optics* (both from memory).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from closeup_service.optics.arithmetic import Arithmetic, Real
from closeup_service.optics.errors import ApertureImpossible, FocusedAtInfinity, NoRealSubject, Undetermined
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.optics.lens import ThickLens

INFINITY_FOCUS = 1e-9
"""A magnification below this is focus on infinity (rounding alone leaves about 1e-16)."""


@dataclass(frozen=True, slots=True)
class Stop:
    """A round opening `offset` mm behind the second principal plane of its part, of `radius` mm."""

    offset: Real
    radius: Real


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the train between two joining faces; lengths in mm, None where unknown.

    `power` is 1/f, `powered` false for a mere tube. `needs` maps what is unknown ("front_gap", "separation",
    "rear_gap", "stop") to the JSON pointer of the member that would determine it. `marked_f_number` is the number on
    the ring, as marked.
    """

    pointer: str
    power: Real
    front_gap: Real | None
    separation: Real | None
    rear_gap: Real | None
    stops: tuple[Stop, ...] = ()
    marked_f_number: Real | None = None
    needs: Mapping[str, str] = field(default_factory=dict)
    powered: bool = True

    @property
    def length(self) -> Real | None:
        """Face to face, mm."""
        if self.front_gap is None or self.separation is None or self.rear_gap is None:
            return None
        return self.front_gap + self.separation + self.rear_gap


def lens_part(
    lens: ThickLens, pointer: str, marked_f_number: Real | None, needs: Mapping[str, str] | None = None
) -> Part:
    """Part of a thick lens as it stands; its stop is its exit pupil, when the f-number is known."""
    f = lens.focal_length
    stop = Stop(f * (1 - lens.pupil_magnification), lens.exit_pupil / 2)
    return Part(
        pointer,
        1 / f,
        lens.front_gap,
        lens.separation,
        lens.rear_gap,
        () if marked_f_number is None else (stop,),
        marked_f_number,
        needs or {},
    )


def spacer_part(pointer: str, length: Real, clear_diameter: Real | None = None) -> Part:
    """Tube, ring or bellows; its clear diameter is a stop at both faces."""
    stops = () if clear_diameter is None else (Stop(0.0, clear_diameter / 2), Stop(length, clear_diameter / 2))
    return Part(pointer, 0.0, 0.0, 0.0, length, stops, powered=False)


@dataclass(frozen=True, slots=True)
class Matrix:
    """Ray matrix [[a, b], [c, d]] from the first principal plane of the first powered part."""

    a: Real
    b: Real
    c: Real
    d: Real

    def after_gap(self, gap: Real) -> "Matrix":
        """Return the matrix up to `gap` mm further on."""
        return Matrix(self.a + gap * self.c, self.b + gap * self.d, self.c, self.d)

    def after_power(self, power: Real) -> "Matrix":
        """Return the matrix behind a part of the given power [1/mm]."""
        return Matrix(self.a, self.b, self.c - power * self.a, self.d - power * self.b)


@dataclass(frozen=True, slots=True)
class Aperture:
    """The stop that limits the axial cone, seen from the subject.

    `inverse_pupil_distance` is 1/z [1/mm], z from the subject to the entrance pupil; `part` its index in the train.
    """

    numerical_aperture: Real
    inverse_pupil_distance: Real
    part: Real


@dataclass(frozen=True, slots=True)
class Trace:
    """What the train does with the sensor where it stands. Lengths in mm.

    `signed_magnification` is positive when the image is inverted. `subject_distance` runs from the subject to the first
    principal plane of the first powered part, `front_to_plane` from the train's front face to that plane.
    """

    signed_magnification: Real
    subject_distance: Real
    front_to_plane: Real | None
    planes_to_sensor: Real | None
    matrix: Matrix
    aperture: Aperture | None
    needs: Mapping[str, tuple[str, ...]]


def first_powered(parts: Sequence[Part]) -> int:
    """Index of the first part that is not a mere tube."""
    for index, part in enumerate(parts):
        if part.powered:
            return index
    raise Undetermined("The train holds no lens: add one.", "/train")


def chain(parts: Sequence[Part], first: int) -> list[Matrix]:
    """Matrices from the first powered part's first principal plane to behind each part's second one."""
    matrix = Matrix(1.0, 0.0, 0.0, 1.0).after_power(parts[first].power)
    matrices = [matrix]
    for before, part in zip(parts[first:], parts[first + 1 :], strict=False):
        gap = known(before, "rear_gap") + known(part, "front_gap")
        matrix = matrix.after_gap(gap).after_power(part.power)
        matrices.append(matrix)
    return matrices


def matrix_to_sensor(parts: Sequence[Part], last: Matrix, camera_register: Real) -> Matrix:
    """Extend the matrix behind the last part to the sensor; its a is the magnification with the sign turned."""
    return last.after_gap(known(parts[-1], "rear_gap") + camera_register)


def known(part: Part, gap: str) -> Real:
    """Return the gap's length, or refuse and name the member that would determine it."""
    length: Real | None = getattr(part, gap)
    if length is None:
        member = part.needs[gap]
        raise Undetermined(f"The magnification is not determined without {member}. {how_to_find(member)}", member)
    return length


def trace(parts: Sequence[Part], camera_register: Real, arithmetic: Arithmetic) -> Trace:
    """Reduce a train, subject first, before a sensor `camera_register` mm behind its last face."""
    first = first_powered(parts)
    matrices = chain(parts, first)
    last = matrices[-1]
    sensor = matrix_to_sensor(parts, last, camera_register)
    pointers = tuple(part.pointer for part in parts)
    arithmetic.refuse(
        abs(sensor.a) < INFINITY_FOCUS,
        FocusedAtInfinity,
        "The train is focused at infinity: the magnification is zero. Add extension.",
        *pointers,
    )
    distance = -sensor.b / sensor.a
    if sum(part.powered for part in parts) == 1:
        refuse_virtual_subject_of_one_lens(sensor, last, pointers, arithmetic)
    else:
        refuse_virtual_subject(distance, front_to_plane(parts, first), parts[first], pointers, arithmetic)
    needs = collect_needs(parts, first)
    return Trace(
        signed_magnification=-sensor.a,
        subject_distance=distance,
        front_to_plane=front_to_plane(parts, first),
        planes_to_sensor=planes_to_sensor(parts, first, camera_register),
        matrix=last,
        aperture=None if "stop" in needs else governing_aperture(parts, first, matrices, distance, arithmetic),
        needs=needs,
    )


def refuse_virtual_subject_of_one_lens(
    sensor: Matrix, last: Matrix, pointers: tuple[str, ...], arithmetic: Arithmetic
) -> None:
    """Refuse what would be an erect image: the sensor stands before the lens's infinity focus.

    That focus lies -a/c behind the second principal plane, so the sensor falls short of it by -sensor.a/c.
    """
    erect = sensor.a > 0
    arithmetic.refuse(
        erect & (last.c >= 0),
        NoRealSubject,
        "No real subject plane: this part spreads light instead of gathering it. Put a lens into the train.",
        *pointers,
    )
    arithmetic.refuse(
        erect,
        NoRealSubject,
        "No real subject plane: the sensor stands {short:.4g} mm before the lens's focus for infinity. "
        "Add more extension than that, or use a shorter focal length.",
        *pointers,
        short=-sensor.a / last.c,
    )


def refuse_virtual_subject(
    distance: Real, to_plane: Real | None, front: Part, pointers: tuple[str, ...], arithmetic: Arithmetic
) -> None:
    """Refuse a subject behind the front of several parts; before their first principal plane is not before the glass.

    That plane can lie in front of the glass, as in a retrofocus lens reversed, and a real subject between the two.
    """
    if to_plane is None:
        arithmetic.refuse(
            distance <= 0,
            Undetermined,
            "The subject would lie {behind:.4g} mm behind the front part's first principal plane: whether that is before its "
            "glass is not determined without {member}. {hint}",
            front.needs["front_gap"],
            behind=-distance,
            member=front.needs["front_gap"],
            hint=how_to_find(front.needs["front_gap"]),
        )
    else:
        arithmetic.refuse(
            (distance <= 0) & (distance <= to_plane),
            NoRealSubject,
            "No real subject plane: it would lie {behind:.4g} mm behind the front of the set-up. "
            "Add extension, or use a stronger lens in front.",
            *pointers,
            behind=to_plane - distance,
        )


def front_to_plane(parts: Sequence[Part], first: int) -> Real | None:
    """Front face of the train to the first principal plane of the first powered part, mm."""
    front_gap = parts[first].front_gap
    if front_gap is None:
        return None
    return front_gap + sum(known(part, "rear_gap") for part in parts[:first])


def planes_to_sensor(parts: Sequence[Part], first: int, camera_register: Real) -> Real | None:
    """First principal plane of the first powered part to the sensor, mm; None where a separation is unknown."""
    total = parts[-1].rear_gap + camera_register
    for index, part in enumerate(parts[first:], first):
        if part.separation is None:
            return None
        total = total + part.separation
        if index > first:
            total = total + parts[index - 1].rear_gap + part.front_gap
    return total


def collect_needs(parts: Sequence[Part], first: int) -> dict[str, tuple[str, ...]]:
    """Which members would determine what the train leaves open: front gap, separations, stops."""
    needs: dict[str, tuple[str, ...]] = {}
    if parts[first].front_gap is None:
        needs["front_gap"] = (parts[first].needs["front_gap"],)
    for kind in ("separation", "stop"):
        members = tuple(part.needs[kind] for part in parts if kind in part.needs)
        if members:
            needs[kind] = members
    if "stop" not in needs and "front_gap" in needs and any(part.stops for part in parts[:first]):
        needs["stop"] = needs["front_gap"]
    if "stop" not in needs and not any(part.stops for part in parts):
        needs["stop"] = ("/train",)
    return needs


def stops_seen(parts: Sequence[Part], first: int, matrices: Sequence[Matrix]) -> list[tuple[int, Matrix, Real]]:
    """Every stop as (part, matrix from the first principal plane to its plane, radius mm)."""
    seen = []
    for index, part in enumerate(parts[first:], first):
        for stop in part.stops:
            seen.append((index, matrices[index - first].after_gap(stop.offset), stop.radius))
    to_plane = known(parts[first], "front_gap") if any(part.stops for part in parts[:first]) else 0.0
    for index in range(first - 1, -1, -1):
        to_plane = to_plane + known(parts[index], "rear_gap")
        for stop in parts[index].stops:
            seen.append((index, Matrix(1.0, stop.offset - to_plane, 0.0, 1.0), stop.radius))
    return seen


def governing_aperture(
    parts: Sequence[Part], first: int, matrices: Sequence[Matrix], distance: Real, arithmetic: Arithmetic
) -> Aperture:
    """Return the stop that limits the cone from the axial subject point.

    A ray that leaves the axis at slope u meets a stop at height B u, B = b + a s. The stop with the greatest |B|/r
    governs, u = r/|B| is the sine of the cone's half angle, and its image lies z = B/a from the subject.
    """
    governing: Real = 0.0
    inverse_distance: Real = 0.0
    governing_part: Real = -1
    for index, to_stop, radius in stops_seen(parts, first, matrices):
        height = to_stop.b + to_stop.a * distance
        reach = abs(height) / radius
        limits = reach > governing
        governing = arithmetic.where(limits, reach, governing)
        safe_height = arithmetic.where(height == 0, 1.0, height)
        inverse_distance = arithmetic.where(limits, to_stop.a / safe_height, inverse_distance)
        governing_part = arithmetic.where(limits, index, governing_part)
    refuse_wide_aperture(parts, governing, arithmetic)
    return Aperture(1 / governing, inverse_distance, governing_part)


def refuse_wide_aperture(parts: Sequence[Part], inverse_aperture: Real, arithmetic: Arithmetic) -> None:
    """Refuse a numerical aperture of 1 or more: air admits none."""
    arithmetic.refuse(
        inverse_aperture <= 1,
        ApertureImpossible,
        "The numerical aperture on the subject's side would be 1 or more, which air does not admit. "
        "Use a larger f-number, or check the focal length.",
        *(part.pointer for part in parts if part.stops),
    )
