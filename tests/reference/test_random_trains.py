"""Random trains: the core against the ray-matrix library `raytracing`.

To the library a lens is what it is made of: two thin components with a round iris between them. To the core it is what
its maker would state: focal length, principal planes, f-number and pupil magnification, which the library finds for the
single lens. Then both are asked what the whole train does.
"""

from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import ApertureImpossible, NoRealSubject
from closeup_service.optics.lens import ThickLens
from closeup_service.optics.parts import Part, lens_part, spacer_part
from closeup_service.optics.train import Trace, trace
from ray_matrices import ProbedPath, raytracing
from thoroughness import up_to

SAME = 1e-9
"""Relative agreement: rounding of two different chains of matrices, some nearly telescopic."""

Pieces = list[Any]


@dataclass(frozen=True)
class MadeLens:
    """Two thin components, an iris between them, room before and behind; lengths in mm."""

    before: float
    first: float
    to_iris: float
    iris: float
    from_iris: float
    second: float
    behind: float
    reversed_: bool

    def pieces(self) -> Pieces:
        """What the lens is made of, as light meets it when mounted normally."""
        return [
            raytracing.Space(d=self.before),
            raytracing.Lens(f=self.first),
            raytracing.Space(d=self.to_iris),
            raytracing.Aperture(diameter=self.iris),
            raytracing.Space(d=self.from_iris),
            raytracing.Lens(f=self.second),
            raytracing.Space(d=self.behind),
        ]

    def in_train(self) -> Pieces:
        """What the lens is made of, as light meets it here."""
        return self.pieces()[::-1] if self.reversed_ else self.pieces()

    def part(self, pointer: str) -> Part:
        """Describe the lens to the core by what the library finds for it alone."""
        path = ProbedPath(self.pieces())
        backwards = ProbedPath(self.pieces()[::-1])
        focal_length = path.effectiveFocalLengths().f1
        front, rear = path.principalPlanePositions(z=0)
        f_number = focal_length / path.entrancePupil().diameter
        pupil_ratio = backwards.entrancePupil().diameter / path.entrancePupil().diameter
        lens = ThickLens.from_marks(focal_length, f_number, pupil_ratio, front, rear - front, path.L - rear)
        return lens_part(lens.reverse() if self.reversed_ else lens, pointer, f_number)


@dataclass(frozen=True)
class ThinElement:
    """A close-up lens or a negative element without a stop."""

    focal_length: float

    def in_train(self) -> Pieces:
        """The element for the library."""
        return [raytracing.Lens(f=self.focal_length)]

    def part(self, pointer: str) -> Part:
        """The element for the core."""
        return Part(pointer, 1 / self.focal_length, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Tube:
    """A gap, with or without a clear diameter."""

    length: float
    clear_diameter: float | None

    def in_train(self) -> Pieces:
        """The tube for the library."""
        gap = raytracing.Space(d=self.length)
        if self.clear_diameter is None:
            return [gap]
        return [
            raytracing.Aperture(diameter=self.clear_diameter),
            gap,
            raytracing.Aperture(diameter=self.clear_diameter),
        ]

    def part(self, pointer: str) -> Part:
        """The tube for the core."""
        return spacer_part(pointer, self.length, self.clear_diameter)


Element = MadeLens | ThinElement | Tube


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths in mm."""
    return st.floats(low, high, allow_nan=False)


FACES = {
    "before": lengths(0, 20),
    "to_iris": lengths(1, 10),
    "iris": lengths(2, 20),
    "from_iris": lengths(1, 10),
    "behind": lengths(0, 20),
    "reversed_": st.booleans(),
}
GAUSS_TYPE = st.builds(MadeLens, first=lengths(30, 200), second=lengths(30, 200), **FACES)
RETROFOCUS_TYPE = st.builds(MadeLens, first=lengths(-200, -60), second=lengths(15, 40), **FACES)
TELEPHOTO_TYPE = st.builds(MadeLens, first=lengths(25, 60), second=lengths(-300, -90), **FACES)
LENS = GAUSS_TYPE | RETROFOCUS_TYPE | TELEPHOTO_TYPE
THIN = st.builds(ThinElement, lengths(60, 500) | lengths(-500, -60))
TUBE = st.builds(Tube, lengths(0, 60), st.none() | lengths(10, 60))


@st.composite
def trains(draw: st.DrawFn) -> list[Element]:
    """One to four lenses and thin elements, at least one with an iris, each with a tube behind it, and one before all."""
    powered = [draw(LENS), *draw(st.lists(LENS | THIN, max_size=3))]
    order = draw(st.permutations(powered))
    return [draw(TUBE), *(element for lens in order for element in (lens, draw(TUBE)))]


def library_path(train: list[Element], to_sensor: float) -> Any:
    """The whole train for the library, from its front face to the sensor."""
    pieces = [piece for element in train for piece in element.in_train()]
    return ProbedPath([*pieces, raytracing.Space(d=to_sensor)])


def core_parts(train: list[Element]) -> list[Part]:
    """The whole train for the core."""
    return [element.part(f"/train/{index}") for index, element in enumerate(train)]


def from_the_subject(train: list[Element], to_sensor: float, distance: float) -> Any:
    """The whole train for the library, from the subject to the sensor."""
    pieces = [piece for element in train for piece in element.in_train()]
    return ProbedPath([raytracing.Space(d=distance), *pieces, raytracing.Space(d=to_sensor)])


def parts_with_a_stop_at(train: list[Element], position: float) -> set[int]:
    """Elements with an opening that far behind the front face of the train."""
    found, face = set(), 0.0
    for index, element in enumerate(train):
        for piece in element.in_train():
            if isinstance(piece, raytracing.Aperture) and abs(face - position) < 1e-6:
                found.add(index)
            face += piece.L
    return found


def assert_same_cone(traced: Trace, train: list[Element], path: Any, distance: float) -> None:
    """Compare the governing stop, the cones on both sides and the entrance pupil."""
    assert traced.aperture is not None
    up = path.marginalRays(y=0).up
    assert traced.aperture.numerical_aperture == pytest.approx(abs(up.theta), rel=SAME)
    effective = abs(traced.signed_magnification) / (2 * traced.aperture.numerical_aperture)
    assert effective == pytest.approx(1 / (2 * abs((path * up).theta)), rel=1e-6)
    stop = path.apertureStop()
    assert traced.aperture.part in parts_with_a_stop_at(train, stop.z - distance)
    pupil = path.entrancePupil().z
    assert traced.aperture.inverse_pupil_distance * pupil == pytest.approx(1, rel=1e-6)


NEARER_THAN_THE_PLANE: list[Element] = [
    MadeLens(0.0, 25.0, 1.0, 2.0, 1.0, -90.0, 0.0, False),
    Tube(0.0, None),
    MadeLens(0.0, -185.0, 2.0, 2.0, 10.0, 15.0, 8.0, True),
    Tube(0.0, None),
    ThinElement(60.0),
    Tube(0.0, None),
    MadeLens(12.0, 30.0, 1.0, 2.0, 1.0, 30.0, 0.0, True),
    Tube(0.0, None),
]
"""A real subject between the front face and a first principal plane that lies before it."""


@example(train=NEARER_THAN_THE_PLANE, to_sensor=5.0)
@settings(max_examples=up_to(300), deadline=None)
@given(train=trains(), to_sensor=lengths(5, 150))
def test_random_trains_do_what_the_ray_matrix_library_says(train: list[Element], to_sensor: float) -> None:
    image = library_path(train, to_sensor)
    assume(abs(image.A) > 1e-3)
    distance = image.backwardConjugate().d
    path = from_the_subject(train, to_sensor, distance)
    try:
        traced = trace(core_parts(train), to_sensor, POINT)
    except NoRealSubject:
        assert distance <= 0
        return
    except ApertureImpossible:
        assert abs(path.marginalRays(y=0).up.theta) >= 1
        return
    assert traced.front_to_plane is not None
    assert traced.subject_distance - traced.front_to_plane == pytest.approx(distance, rel=SAME, abs=1e-6)
    assert traced.signed_magnification == pytest.approx(-path.magnification().transverse, rel=SAME)
    if distance > 0:
        assert_same_cone(traced, train, path, distance)
